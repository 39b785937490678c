//! The program as a person meets it: each command, its exit code, its text.
//!
//! Snapshots are our own output, kept so that a change is seen; they prove nothing else.
//! `INSTA_UPDATE=always cargo test --test commands` writes them again; review the difference as code.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may fail by panic, in its helpers too")]

mod run;

use std::path::Path;
use std::process::Output;

use run::{code, command, err, lungful, lungful_reading, out};

fn check_from_standard_input(rig: &str) -> Output {
    lungful_reading(rig, &["check", "-"])
}

/// A line of shell in which `$LUNGFUL` is the program.
fn shell(script: &str) -> Output {
    command("bash").args(["-c", script]).env("LUNGFUL", env!("CARGO_BIN_EXE_lungful")).output().unwrap()
}

fn snapshots() -> insta::Settings {
    let mut settings = insta::Settings::clone_current();
    settings.set_snapshot_path(Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fixtures/snapshots"));
    settings.set_prepend_module_to_snapshot(false);
    settings.set_omit_expression(true);
    settings
}

fn examples() -> Vec<String> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples");
    let mut names: Vec<String> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .filter(|name| Path::new(name).extension().is_some_and(|extension| extension == "toml"))
        .collect();
    names.sort();
    names
}

#[test]
fn each_example_is_judged_as_before() {
    let examples = examples();
    assert!(examples.len() >= 3);
    snapshots().bind(|| {
        for name in examples {
            let path = format!("examples/{name}");
            for units in ["metric", "us"] {
                let output = lungful(&["check", &path, "--units", units]);
                assert!(code(&output) <= 1, "{}", err(&output));
                let stem = name.trim_end_matches(".toml");
                insta::assert_snapshot!(format!("check-{stem}-{units}"), out(&output));
            }
        }
    });
}

#[test]
fn json_holds_the_same_answers_in_either_units() {
    for name in examples() {
        let json = |units| -> serde_json::Value {
            let output = lungful(&["check", &format!("examples/{name}"), "--json", "--units", units]);
            let mut value: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
            // Sentences are in the units asked for; numbers are not.
            for check in value["checks"].as_array_mut().unwrap() {
                check["advice"] = serde_json::Value::Null;
            }
            value["notes"] = serde_json::Value::Null;
            value["cautions"] = serde_json::Value::Null;
            for (table, words) in [("faults", "happens"), ("faults", "advice"), ("states", "load")] {
                for row in value[table].as_array_mut().unwrap() {
                    row[words] = serde_json::Value::Null;
                }
            }
            for gap in value["pressure_order"]["gaps"].as_array_mut().unwrap() {
                gap["advice"] = serde_json::Value::Null;
            }
            value
        };
        assert_eq!(json("metric"), json("us"), "{name}");
    }
}

#[test]
fn each_wrong_command_line_is_answered_as_before() {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fixtures/wrong_command_lines.txt");
    let lines = std::fs::read_to_string(file).unwrap();
    let mut answers = String::new();
    let mut count = 0;
    for line in lines.lines().filter(|line| !line.starts_with('#')) {
        let script = format!("exec \"$LUNGFUL\" {line}");
        let output = shell(&script);
        assert_eq!(code(&output), 2, "{line}\n{}{}", out(&output), err(&output));
        assert_eq!(out(&output), "", "{line}: a result beside an error");
        answers += &["$ lungful ", line, "\n", &err(&output), "\n"].concat();
        count += 1;
    }
    assert!(count >= 45, "only {count} lines");
    snapshots().bind(|| insta::assert_snapshot!("wrong-command-lines", answers));
}

#[test]
fn the_exit_code_says_how_it_ended() {
    assert_eq!(code(&lungful(&["check"])), 0);
    assert_eq!(code(&lungful(&["check", "no-such-file.toml"])), 2);
    // 900 kg on two 50 mm cylinders: 8829 N / 3927 mm2 = 22.5 bar, far above 5.5 bar.
    let heavy = lungful(&[
        "strokes",
        "--mass",
        "900 kg",
        "--bore",
        "50 mm",
        "--count",
        "2",
        "--stroke",
        "400 mm",
        "--set",
        "5.5 bar",
        "--volume",
        "15 L",
        "--filled-to",
        "9 bar",
    ]);
    assert_eq!(code(&heavy), 1);
    assert!(out(&heavy).contains("does not move the load"));
}

#[test]
fn each_exit_code_is_the_one_that_the_readme_states() {
    let guarded = "examples/kiln-shelf-lift-guarded.toml";
    let ends = |arguments: &[&str], expected: i32, words: &str| {
        let output = lungful(arguments);
        assert_eq!(code(&output), expected, "{arguments:?} {}", err(&output));
        let text = out(&output).split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(text.contains(words), "{arguments:?} {text}");
    };
    ends(&["check", guarded], 0, "guarded: caution.");
    ends(&["check", "examples/dough-tipper.toml"], 0, "11 checks are not judged");
    ends(&["check", "examples/bench-lift.toml"], 1, ": fail.");
    ends(&["faults", guarded], 0, "guarded: caution.");
    ends(&["faults", "examples/kiln-shelf-lift.toml"], 1, ": fail.");
    // 120 kg at rest want 3 bar of two 50 mm cylinders, 1.57 L: half a litre at 9 bar would fill them to 1.4 bar.
    let small =
        ["--mass", "120 kg", "--bore", "50 mm", "--count", "2", "--stroke", "400 mm", "--set", "5.5 bar"];
    let strokes = |volume, wanted: &[&'static str]| {
        [&["strokes"][..], &small, &["--filled-to", "9 bar", "--volume", volume], wanted].concat()
    };
    ends(&strokes("15 L", &[]), 0, "Strokes from");
    ends(&strokes("15 L", &["--strokes-wanted", "50"]), 1, "Strokes from");
    ends(&strokes("0.5 L", &[]), 1, "full 0 0");
    let heavy = ["--mass", "900000 kg", "--set", "5.5 bar"];
    ends(&[&["bore"][..], &heavy].concat(), 1, "");
    ends(&[&["setpoint", "--bore", "50 mm", "--cylinder-rating", "10 bar"][..], &heavy].concat(), 1, "");
    ends(&["setpoint", "examples/hive-cart.toml"], 0, "Set point");
    let fill = |stall| {
        [
            "fill",
            "--volume",
            "10 L",
            "--open",
            "32 L/min",
            "--cut-in",
            "8 bar",
            "--cut-out",
            "10 bar",
            "--stall",
            stall,
        ]
    };
    ends(&fill("14 bar"), 0, "to cut-out");
    ends(&fill("9 bar"), 1, "it never switches off");
    ends(&["rehearse", "examples/crate-lift.toml", "--lifts", "2"], 0, "all 2 lifts arrive");
}

#[test]
fn a_rig_can_come_from_standard_input() {
    let piped = check_from_standard_input(include_str!("../../data/demo.toml"));
    assert_eq!(code(&piped), 0);
    assert_eq!(out(&piped), out(&lungful(&["check"])), "the demo rig is built in");
}

#[test]
fn a_valve_that_is_not_given_by_c_and_b_is_named_with_what_that_may_cost() {
    let rig = include_str!("../../examples/crate-lift.toml");
    let note = |raise: &str, lower: &str| {
        let rig =
            rig.replace("{ C = \"0.5 L/(s bar)\", b = 0.3 }", raise).replace("{ bore = \"1.5 mm\" }", lower);
        let text = out(&check_from_standard_input(&rig));
        let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
        let (before, _) = text.split_once(": a measured C may differ by a fifth")?;
        before.rsplit_once(" - ").map(|(_, note)| note.to_owned())
    };
    let measured = "{ C = \"0.2 L/(s bar)\", b = 0.3 }";
    assert_eq!(note(measured, measured), None);
    for (valve, words) in [
        ("{ Cv = 0.05 }", "Cv"),
        ("{ Kv = 0.043, b = 0.3 }", "Kv"),
        ("{ area = \"1 mm2\" }", "effective area"),
        ("{ bore = \"1.2 mm\" }", "bore"),
    ] {
        let of = |line: &str| format!("`line.{line}` ({words})");
        let said = |valves: &str| Some(format!("C and b of {valves} are converted"));
        assert_eq!(note(valve, measured), said(&of("raise")));
        assert_eq!(note(measured, valve), said(&of("lower")));
        assert_eq!(note(valve, valve), said(&format!("{}, {}", of("raise"), of("lower"))));
    }
    let without =
        rig.replace("raise = { C = \"0.5 L/(s bar)\", b = 0.3 }\nlower = { bore = \"1.5 mm\" }\n", "");
    assert!(!out(&check_from_standard_input(&without)).contains("are converted"));
    assert!(out(&lungful(&["explain", "raise-time"])).contains("off by a fifth"));
}

#[test]
fn the_leak_of_a_tank_is_told_in_numbers_and_words() {
    let rig = include_str!("../../examples/crate-lift.toml");
    let leaks = rig
        .replace("volume = \"12 L\"", "volume = \"12 L\"\nleak = { fall = \"0.5 bar\", time = \"30 min\" }");
    let json = |text: &str| -> serde_json::Value {
        let output = lungful_reading(text, &["check", "-", "--json"]);
        let mut report: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
        report["fill"]["leak"].take()
    };
    assert!(json(rig).is_null());
    let leak = json(&leaks);
    let number = |key: &str| leak[key].as_f64().unwrap_or_else(|| panic!("{key}: {leak}"));
    let near = |key: &str, wanted: f64| assert!((number(key) / wanted - 1.0).abs() < 1e-4, "{key}: {leak}");
    // analytic: p = p_1 exp(-t/tau), so that tau = 30 min / ln(p_1 / (p_1 - 0.5 bar)) whatever the volume is; it falls at
    // first by p_1/tau and stands for tau ln(p_1/p_2). 120 m: 101325 (1 - 2.25577e-5 * 120)^5.25588 = 99891 Pa, at
    // 18 degC.
    let site = 101_325.0 * (1.0 - 2.255_77e-5 * 120.0_f64).powf(5.255_88);
    let (full, cut_in) = (9.5e5 + site, 7.5e5 + site);
    let tau = 1800.0 / (full / (full - 0.5e5)).ln();
    near("fall_pa_per_s", full / tau);
    near("stands_s", tau * (full / cut_in).ln());
    near("conductance_m3_per_s_pa", 0.012 / (tau * 1.185 * 287.05 * (293.15 * 291.15_f64).sqrt()));
    near("critical_ratio", 0.5);
    assert!((0.0..1.0).contains(&number("share_of_delivery")));
    // 1.04989 MPa / 36889 s * 3600 s = 1.0246 bar an hour.
    let text = out(&check_from_standard_input(&leaks)).split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.contains("the full tank falls at first by 1.02 bar an hour, and the leak alone"), "{text}");
}

#[test]
fn legs_past_straight_are_judged_with_any_load() {
    // Past straight the legs pull the cylinders out: a need below nothing is held at nothing, not refused.
    let example = include_str!("../../examples/folding-leg-riser.toml");
    for mass in [1, 60, 82, 90, 200, 5000] {
        for valve in ["set point", "load"] {
            let rig = example
                .replace("mass = \"80 kg\"", &format!("mass = \"{mass} kg\""))
                .replace("end-pressure = \"set point\"", &format!("end-pressure = \"{valve}\""));
            assert!(rig.contains(&format!("mass = \"{mass} kg\"")) && rig.contains(&format!("\"{valve}\"")));
            let output = check_from_standard_input(&rig);
            assert!(code(&output) < 2, "{mass} kg, {valve}: {}", err(&output));
            // A valve that closes as soon as the load has risen stops short of the lock.
            assert!(valve == "set point" || code(&output) == 1, "{mass} kg, {valve}");
        }
    }
}

#[test]
fn flags_stand_before_the_file() {
    let with = |extra: &[&str]| {
        let mut arguments = vec!["strokes", "examples/hive-cart.toml", "--json"];
        arguments.extend(extra);
        let value: serde_json::Value = serde_json::from_slice(&lungful(&arguments).stdout).unwrap();
        value["strokes"]["from_cut_out"]["full_pressure"].as_u64().unwrap()
    };
    assert!(with(&["--volume", "40 L"]) > with(&[]));
}

#[test]
fn new_writes_a_file_that_check_takes_and_replaces_none() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("my-rig.toml");
    let path = path.to_str().unwrap();
    assert_eq!(code(&lungful(&["new", path])), 0);
    let checked = lungful(&["check", path]);
    assert!(out(&checked).starts_with("My rig: pass."), "{}", out(&checked));
    assert!(!out(&checked).contains("caution "), "a new rig file starts without a caution");
    let again = lungful(&["new", path]);
    assert_eq!(code(&again), 2);
    assert!(err(&again).contains("already there"));
    std::fs::write(path, "mine").unwrap();
    assert_eq!(code(&lungful(&["new", path, "--force"])), 0);
    assert_ne!(std::fs::read_to_string(path).unwrap(), "mine");
    let printed = lungful(&["new", "-"]);
    assert!(out(&printed).contains("[cylinders]"));
    assert!(!Path::new(env!("CARGO_MANIFEST_DIR")).join("-").exists(), "`-` is standard output");
    let left: Vec<_> = std::fs::read_dir(folder.path()).unwrap().collect();
    assert_eq!(left.len(), 1, "no temporary file is left");
}

#[test]
fn the_tools_print_what_they_promise() {
    let schema: serde_json::Value = serde_json::from_slice(&lungful(&["schema"]).stdout).unwrap();
    assert_eq!(schema["$schema"], "https://json-schema.org/draft/2020-12/schema");
    for shell in ["bash", "zsh", "fish", "elvish", "powershell"] {
        assert!(out(&lungful(&["completions", shell])).contains("setpoint"), "{shell}");
    }
    assert!(out(&lungful(&["explain"])).contains("load-ratio"));
}

#[test]
fn what_answers_no_question_heeds_no_option_of_an_answer() {
    let same = |arguments: &[&str], options: &[&str]| {
        let plain = lungful(arguments);
        let with = lungful(&[arguments, options].concat());
        assert_eq!((code(&plain), code(&with)), (0, 0), "{arguments:?} {options:?}");
        assert_eq!(out(&plain), out(&with), "{arguments:?} {options:?}");
    };
    let all = ["--json", "--working", "--units", "us"];
    for arguments in [&["new", "-"][..], &["schema"], &["man"], &["completions", "bash"]] {
        same(arguments, &all);
    }
    same(&["explain", "load-ratio"], &["--working", "--units", "us"]);
    assert!(out(&lungful(&["explain", "load-ratio", "--json"])).starts_with('{'));
}

#[test]
fn the_manual_page_holds_every_command_and_flag() {
    let page = out(&lungful(&["man"]));
    assert!(page.starts_with(".ie"));
    assert!(!page.contains("(1)\n") && !page.contains("lungful\\-bore"), "a page that does not exist");
    for command in [
        "check",
        "faults",
        "bore",
        "setpoint",
        "strokes",
        "fill",
        "rehearse",
        "new",
        "explain",
        "schema",
        "completions",
    ] {
        assert!(page.contains(&format!("LUNGFUL {}", command.to_uppercase())), "{command}");
        // What stands in the help of a command stands on the page.
        let help = out(&lungful(&[command, "--help"]));
        let mut flags = 0;
        for word in
            help.split_whitespace().filter_map(|word| word.strip_prefix("--")).filter(|word| !word.is_empty())
        {
            let flag: String = word.chars().take_while(|c| c.is_ascii_alphanumeric() || *c == '-').collect();
            assert!(page.contains(&format!("\\-\\-{}", flag.replace('-', "\\-"))), "{command} --{flag}");
            flags += 1;
        }
        assert!(flags >= 3, "{command}");
    }
    assert!(page.contains("an aid, not an approval"));
}

#[test]
fn every_topic_is_explained_with_its_source() {
    for formula in lungful::formulas::FORMULAS {
        let output = lungful(&["explain", formula.topic]);
        assert_eq!(code(&output), 0);
        assert!(out(&output).contains("Source"), "{}", formula.topic);
    }
}

#[test]
fn cautions_are_in_every_report() {
    let bore: &[&str] = &["bore", "--mass", "80 kg", "--set", "6 bar"];
    let window: &[&str] = &["setpoint", "examples/hive-cart.toml"];
    let strokes: &[&str] = &["strokes", "examples/hive-cart.toml"];
    let fill: &[&str] = &["fill", "examples/hive-cart.toml"];
    for command in [&["check"], &["faults"], bore, window, strokes, fill] {
        let text = out(&lungful(command)).split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(text.contains("a load that only air holds"), "{command:?}");
        assert!(text.contains("an aid, not an approval"), "{command:?}");
        let mut json = command.to_vec();
        json.push("--json");
        let value: serde_json::Value = serde_json::from_slice(&lungful(&json).stdout).unwrap();
        assert!(value["cautions"].as_array().unwrap().len() >= 4, "{command:?}");
    }
}

#[test]
fn a_closed_pipe_is_no_error() {
    let script = "\"$LUNGFUL\" check --working | head -1";
    let output = shell(script);
    assert_eq!(err(&output), "");
}

#[test]
fn every_example_shows_its_faults() {
    for name in examples() {
        let path = format!("examples/{name}");
        let output = lungful(&["faults", &path, "--json"]);
        assert!(code(&output) <= 1, "{}", err(&output));
        let value: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
        assert_eq!(code(&output) == 1, value["verdict"] == "fail", "{name}");
        assert!(value["faults"].as_array().unwrap().len() >= 13, "{name}");
        assert_eq!(value["states"].as_array().unwrap().len(), 5, "{name}");
        let checked: serde_json::Value =
            serde_json::from_slice(&lungful(&["check", &path, "--json"]).stdout).unwrap();
        for key in ["faults", "pressure_order", "states", "protection", "rules"] {
            assert_eq!(checked[key], value[key], "{name}: {key}");
        }
        // The worst three stand in `check`.
        let text = out(&lungful(&["check", &path])).split_whitespace().collect::<Vec<_>>().join(" ");
        for fault in value["faults"].as_array().unwrap().iter().take(3) {
            let line = format!("- {}: {}", fault["id"].as_str().unwrap(), fault["verdict"].as_str().unwrap());
            assert!(text.contains(&line), "{name}: {line}");
        }
    }
}

#[test]
fn nothing_is_ever_called_safe() {
    let mut texts = vec![out(&lungful(&["new"])), out(&lungful(&["man"])), out(&lungful(&["schema"]))];
    for name in examples() {
        let path = format!("examples/{name}");
        for command in [["check", &path], ["faults", &path]] {
            for extra in ["--units=metric", "--units=us", "--json", "--working"] {
                texts.push(out(&lungful(&[command[0], command[1], extra])));
            }
        }
        texts.push(std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(&path)).unwrap());
    }
    for formula in lungful::formulas::FORMULAS {
        texts.push(out(&lungful(&["explain", formula.topic])));
    }
    for text in texts {
        let text = text.to_lowercase().split_whitespace().collect::<Vec<_>>().join(" ");
        for words in ["is safe", "are safe", "safe to", "safely", "harmless", "no danger", "approved"] {
            for (at, _) in text.match_indices(words) {
                let around = text.get(at.saturating_sub(60)..(at + 60).min(text.len())).unwrap_or("");
                // The one place that warns of taking a small tank for harmless.
                assert!(around.contains("taking a small tank for harmless"), "`{words}`: {around}");
            }
        }
    }
}
