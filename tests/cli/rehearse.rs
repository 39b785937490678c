//! `lungful rehearse` as a person meets it. Figures are held to what the rig file says, worked by hand.

#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test may fail by panic, in its helpers too"
)]

mod run;

use std::path::Path;
use std::process::Output;

use run::{code, err, lungful, lungful_reading, out};
use serde_json::Value;

const CRATE_LIFT: &str = include_str!("../../examples/crate-lift.toml");

/// Standard gravity, m/s2.
const G: f64 = 9.806_65;
/// Load and moving parts of the crate lift, kg.
const RAISED_KG: f64 = 70.0 + 14.0;
/// Area of its piston: pi/4 * (63 mm)^2.
const AREA_M2: f64 = 3.117_245e-3;
/// Gauge pressure that its load needs, with 8 % friction.
const NEEDED_PA: f64 = RAISED_KG * G / AREA_M2 / 0.92;

fn rehearse(rig: &str, arguments: &[&str]) -> Output {
    lungful_reading(rig, &[&["rehearse", "-"], arguments].concat())
}

fn session(output: &Output) -> Value {
    let mut value: Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(value["schema"], 1);
    value["rehearsal"].take()
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("not a number: {value}"))
}

#[track_caller]
fn assert_within(value: &Value, low: f64, high: f64) {
    let value = number(value);
    assert!(low <= value && value <= high, "{low} {value} {high}");
}

fn replaced(pairs: &[(&str, &str)]) -> String {
    pairs.iter().fold(CRATE_LIFT.to_owned(), |text, (from, to)| {
        assert!(text.contains(from), "{from}");
        text.replace(from, to)
    })
}

#[test]
fn a_good_session_keeps_the_books_that_its_rig_file_implies() {
    let output = rehearse(CRATE_LIFT, &["--json"]);
    assert_eq!(code(&output), 0, "{}", err(&output));
    let done = session(&output);
    assert_eq!((&done["lifts_wanted"], &done["lifts_arrived"]), (&20.into(), &20.into()));
    assert!(done["first_failed"].is_null() && done["first_slow"].is_null());
    // 20 an hour, 20 lifts: an hour.
    assert_within(&done["time_s"], 3599.0, 3601.0);
    // Each lift ends between the 390 mm asked for and the 400 mm of the stroke.
    let work = |height: f64| 20.0 * RAISED_KG * G * height;
    assert_within(&done["energy"]["on_load_j"], work(0.390) * (1.0 - 1e-9), work(0.400));
    // 5 W for that time, and 24 V * 20 Ah * 80 % less what was drawn.
    assert_within(&done["energy"]["steady_j"], 17_995.0, 18_005.0);
    let drawn = number(&done["energy"]["pump_j"]) + number(&done["energy"]["steady_j"]);
    let left = 24.0 * 20.0 * 3600.0 * 0.8 - drawn;
    assert_within(&done["energy"]["battery_left_j"], left - 1.0, left + 1.0);
    // Each stroke takes (p_needed (V + V_dead) - p_site V_dead)/(R T), p_site of 120 m, 99.9 kPa, T of 18 degC,
    // V_dead of 20 mL and 1.5 m of 6 mm hose: 5.85 g. Cold air from the tank is denser by its 3 %.
    let (swept, dead, site) = (AREA_M2 * 0.390, 62.4e-6, 99.9e3);
    let stroke = ((NEEDED_PA + site) * (swept + dead) - site * dead) / (287.05 * 291.15);
    assert_within(&done["air_used_kg"], 20.0 * stroke * 0.995, 20.0 * stroke * 1.03);
    // The pump runs between cut-in and cut-out, and tank and battery can be told from one another.
    assert_within(&done["tank_lowest_pa_gauge"], NEEDED_PA, 7.5e5);
    assert_within(&done["compressor"]["on_s"], 60.0, 1800.0);
    for residual in ["mass", "energy", "work"] {
        assert_within(&done["balance"][residual], 0.0, 1e-6);
    }
    assert_eq!(done["lifts"].as_array().unwrap().len(), 20);
}

#[test]
fn a_lift_that_fails_is_named_with_its_reason() {
    // 120 lifts an hour are more than the pump keeps up (`fill` says some 84).
    let rig = replaced(&[("per-hour = 20", "per-hour = 120")]);
    let output = rehearse(&rig, &["--lifts", "80", "--json"]);
    assert_eq!(code(&output), 1, "{}", err(&output));
    let done = session(&output);
    let first = usize::try_from(done["first_failed"].as_u64().unwrap()).unwrap();
    let lift = &done["lifts"][first - 1];
    assert!(lift["outcome"] == "stalled" || lift["outcome"] == "out of time", "{lift}");
    assert!(lift["raise_s"].is_null());
    // It fails where the tank comes down to what the load needs.
    assert_within(&lift["tank_lowest_pa_gauge"], 0.97 * NEEDED_PA, 1.03 * NEEDED_PA);
    let headline = done["headline"].as_str().unwrap();
    assert!(headline.starts_with(&format!("lift {first} of 80 fails: the tank")), "{headline}");
    assert!(headline.ends_with(" behind its pace"), "{headline}");
    // 80 lifts at that pace are 40 min; what fails holds the next one up.
    let late = number(&done["time_s"]) - 2400.0;
    assert!(late > 1.0);
    assert_within(&done["behind_pace_s"], late - 1e-6, late + 1e-6);
    let text = out(&rehearse(&rig, &["--lifts", "80"]));
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.contains(&format!("lift {first} of 80 fails")), "{text}");
}

#[test]
fn to_fall_behind_the_pace_alone_is_no_failure() {
    // 600 an hour are 6 s each; the hold alone takes 10 s.
    let output = rehearse(&replaced(&[("per-hour = 20", "per-hour = 600")]), &["--lifts", "2", "--json"]);
    assert_eq!(code(&output), 0, "{}", err(&output));
    let done = session(&output);
    assert!(number(&done["behind_pace_s"]) > 8.0);
    let headline = done["headline"].as_str().unwrap();
    assert!(headline.starts_with("all 2 lifts arrive; the session falls "), "{headline}");
    assert!(headline.ends_with(" s behind its pace"), "{headline}");
    // One that keeps its pace says nothing of it.
    let kept = session(&rehearse(CRATE_LIFT, &["--lifts", "2", "--json"]));
    assert_eq!(kept["headline"], "all 2 lifts arrive");
}

#[test]
fn a_lift_later_than_its_limit_is_slow() {
    let rig = replaced(&[("raise-time = \"10 s\"", "raise-time = \"1 s\"")]);
    let output = rehearse(&rig, &["--lifts", "2", "--json"]);
    assert_eq!(code(&output), 1);
    let done = session(&output);
    assert_eq!(done["first_slow"], 1);
    assert!(done["first_failed"].is_null());
    // A load far too heavy: 900 kg need 31 bar.
    let heavy = replaced(&[("mass = \"70 kg\"", "mass = \"900 kg\"")]);
    let output = rehearse(&heavy, &["--lifts", "1"]);
    assert_eq!(code(&output), 1);
    assert!(out(&output).contains("does not move the load"), "{}", out(&output));
}

#[test]
fn the_reason_tells_a_narrow_valve_and_an_empty_battery_apart() {
    let headline = |pairs: &[(&str, &str)]| {
        let output = rehearse(&replaced(pairs), &["--json"]);
        assert_eq!(code(&output), 1, "{}", err(&output));
        session(&output)["headline"].as_str().unwrap().to_owned()
    };
    // A ten-thousandth of the valve: 5e-5 L/(s bar) at 6.4 bar pass 0.02 L of free air in the 60 s, of 4.9 L.
    let narrow = headline(&[("C = \"0.5 L/(s bar)\"", "C = \"0.00005 L/(s bar)\"")]);
    assert!(narrow.contains("still on its way when its time is over"), "{narrow}");
    // 0.01 Ah at 24 V and 80 % are 691 J: 138 s of the steady load alone.
    let empty = headline(&[("capacity = \"20 Ah\"", "capacity = \"0.01 Ah\"")]);
    assert!(empty.contains("the battery is empty after"), "{empty}");
}

#[test]
fn what_is_missing_is_named_with_its_cure() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let bottle = std::fs::read_to_string(root.join("examples/dough-tipper.toml")).unwrap();
    let output = rehearse(&bottle, &[]);
    assert_eq!(code(&output), 2);
    assert_eq!(out(&output), "");
    let text = err(&output);
    for (field, cure) in [
        ("`line.raise` is missing", "raise = {"),
        ("`line.lower` is missing", "lower = {"),
        ("`regulator.rated-flow` is missing", "rated-flow = \"400 L/min\""),
        ("`cycle.per-hour` is missing", "per-hour = 20"),
        ("4 problems", "standard input"),
    ] {
        assert!(text.contains(field) && text.contains(cure), "{field}: {text}");
    }
    // With these it works: a bottle, a double-acting cylinder, a lever.
    let whole = bottle
        .replace("[line]\n", "[line]\nraise = { Cv = 0.4 }\nlower = { bore = \"2 mm\" }\n")
        .replace("[regulator]\n", "[regulator]\nrated-flow = \"600 L/min\"\n")
        .replace("[cycle]\n", "[cycle]\nrest = \"30 s\"\n");
    let output = rehearse(&whole, &["--lifts", "3", "--json"]);
    assert_eq!(code(&output), 0, "{}{}", out(&output), err(&output));
    let done = session(&output);
    assert!(done["compressor"].is_null() && done["energy"]["pump_j"].is_null());
    // A time holds no number of lifts where only the rest is said.
    let output = rehearse(&whole, &["--for", "1 h"]);
    assert_eq!(code(&output), 2);
    let text = err(&output);
    assert!(
        text.contains("a number of lifts instead of a time") && text.contains("`cycle.rest` alone"),
        "{text}"
    );
    assert!(out(&rehearse("", &["--help"])).contains("`cycle.per-hour` of the rig, which it needs"));
    // Without any pace, one that does not help is not offered.
    let output = rehearse(&bottle, &["--for", "1 h"]);
    assert!(err(&output).contains("per-hour = 20") && !err(&output).contains("rest ="), "{}", err(&output));
}

#[test]
fn what_the_pump_draws_is_not_judged_without_its_current() {
    let rig = replaced(&[("current = [[\"0 bar\", \"7 A\"], [\"10 bar\", \"13 A\"]]\n", "")]);
    let output = rehearse(&rig, &["--lifts", "2", "--json"]);
    let done = session(&output);
    assert!(done["energy"]["battery_left_j"].is_null() && done["energy"]["battery_to_load"].is_null());
    assert!(out(&rehearse(&rig, &["--lifts", "2"])).contains("is not judged: give `compressor.volts`"));
}

/// Three lifts by the clock, a break, and a load that stays up.
const TASKS: &str = "
[[task]]
do = \"raise\"
[[task]]
do = \"hold\"
for = \"10 s\"
[[task]]
do = \"lower\"
[[task]]
do = \"rest\"
until = \"2 min\"
[[task]]
do = \"repeat\"
times = 3
[[task]]
do = \"rest\"
for = \"10 min\"
[[task]]
do = \"raise\"
[[task]]
do = \"hold\"
for = \"1 min\"
";

/// The crate lift with tasks in place of its pattern.
fn with_tasks(tasks: &str) -> String {
    replaced(&[("lifts = 20\nhold = \"10 s\"\n", "")]) + tasks
}

fn starts(done: &Value) -> Vec<f64> {
    done["lifts"].as_array().unwrap().iter().map(|lift| number(&lift["start_s"])).collect()
}

#[track_caller]
fn assert_all_within(values: &[f64], wanted: &[f64]) {
    assert_eq!(values.len(), wanted.len(), "{values:?}");
    for (value, wanted) in values.iter().zip(wanted) {
        assert!((value - wanted).abs() < 1e-6, "{values:?} {wanted}");
    }
}

#[test]
fn tasks_are_worked_in_their_order_and_by_their_clock() {
    let rig = with_tasks(TASKS);
    let output = rehearse(&rig, &["--json"]);
    assert_eq!(code(&output), 0, "{}", err(&output));
    let done = session(&output);
    assert_eq!((&done["lifts_wanted"], &done["lifts_arrived"]), (&4.into(), &4.into()));
    // Every 2 min, three times, then 10 min of rest: 3 * 120 s + 600 s.
    assert_all_within(&starts(&done), &[0.0, 120.0, 240.0, 960.0]);
    let last = &done["lifts"][3];
    assert!(last["lower_s"].is_null());
    let end = 960.0 + number(&last["raise_s"]) + 60.0;
    assert_within(&done["time_s"], end - 1e-6, end + 1e-6);
    // A lift learns the pressure before the next one.
    for pair in done["lifts"].as_array().unwrap().windows(2) {
        assert_eq!(pair[0]["tank_after_pa_gauge"], pair[1]["tank_before_pa_gauge"]);
    }
    assert!(done["behind_pace_s"].is_null());
    let text = out(&rehearse(&rig, &[]));
    assert!(text.contains("The tasks set the pace; `cycle.per-hour` counts for `check` alone."), "{text}");
    assert!(!text.contains("cycle.lifts =") && !text.contains("cycle.hold ="), "{text}");
}

#[test]
fn tasks_that_fall_behind_their_clock_say_by_how_much() {
    // Each pass is to be over 2 s after the hold, less than the lowering takes.
    let rig = with_tasks(&TASKS.replace("for = \"10 s\"", "until = \"10 s\"").replace("2 min", "12 s"));
    let done = session(&rehearse(&rig, &["--json"]));
    let late: f64 = (0..3).map(|lift| number(&done["lifts"][lift]["lower_s"]) - 2.0).sum();
    assert!(late > 3.0);
    assert_within(&done["behind_pace_s"], late - 1e-6, late + 1e-6);
    assert_all_within(&starts(&done)[3..], &[36.0 + late + 600.0]);
}

#[test]
fn of_tasks_the_first_lifts_can_be_asked_for_but_no_more_and_no_time() {
    let rig = with_tasks(TASKS);
    for (lifts, wanted) in [("2", 240.0), ("3", 960.0)] {
        let done = session(&rehearse(&rig, &["--lifts", lifts, "--json"]));
        assert_eq!(done["lifts_wanted"].to_string(), lifts);
        assert_within(&done["time_s"], wanted - 1e-6, wanted + 1e-6);
    }
    assert_eq!(out(&rehearse(&rig, &["--lifts", "4"])), out(&rehearse(&rig, &[])));
    for (arguments, cure) in [
        (["--lifts", "5"], "ask for at most 4, or let do = \"repeat\""),
        (["--for", "1 h"], "leave out `--for`"),
    ] {
        let output = rehearse(&rig, &arguments);
        assert_eq!((code(&output), out(&output).as_str()), (2, ""));
        assert!(err(&output).contains(cure), "{}", err(&output));
    }
    // 4 lifts in a round that is worked 100000 times.
    let many = format!("{TASKS}[[task]]\ndo = \"lower\"\n[[task]]\ndo = \"repeat\"\ntimes = 100000\n");
    let output = rehearse(&with_tasks(&many), &[]);
    assert_eq!(code(&output), 2);
    assert!(err(&output).contains("more lifts than one rehearsal takes"), "{}", err(&output));
}

#[test]
fn the_tasks_of_the_readme_can_be_worked() {
    let readme = include_str!("../../README.md");
    let tasks = readme.split("```toml").find(|block| block.contains("[[task]]")).unwrap();
    let done = session(&rehearse(&with_tasks(tasks.split("```").next().unwrap()), &["--json"]));
    // Five lifts by the clock, then a rest: 5 * 120 s + 600 s.
    assert_all_within(&starts(&done), &[0.0, 120.0, 240.0, 360.0, 480.0]);
    assert_within(&done["time_s"], 1200.0 - 1e-6, 1200.0 + 1e-6);
}

#[test]
fn tasks_need_no_pace_of_the_cycle() {
    let rig = with_tasks(TASKS).replace("per-hour = 20\n", "");
    let output = rehearse(&rig, &[]);
    assert_eq!(code(&output), 0, "{}", err(&output));
    assert!(!out(&output).contains("The tasks set the pace"));
}

#[test]
fn a_time_at_the_pace_of_the_rig_is_a_number_of_lifts() {
    let by_time = rehearse(CRATE_LIFT, &["--for", "30 min", "--json"]);
    let by_number = rehearse(CRATE_LIFT, &["--lifts", "10", "--json"]);
    assert_eq!(out(&by_time), out(&by_number));
}

#[test]
fn each_default_is_listed_with_its_value() {
    let rig = replaced(&[("lifts = 20\n", ""), ("hold = \"10 s\"\n", "")]);
    let text = out(&rehearse(&rig, &[])).split_whitespace().collect::<Vec<_>>().join(" ");
    for taken in [
        "cycle.lifts = 10",
        "cycle.hold = 5 s",
        "cycle.raise-within = 60 s",
        "cycle.lower-within = 60 s",
        "tank.heat-exchange = 1.887 W/K", // 36 W/(m2 K) * (0.012 m3)^(2/3)
        "cylinders.heat-transfer = 40 W/(m2 K)",
        "compressor.outlet = 18 degC",
        "cylinders.breakaway = 1 (friction to start is that in motion)",
    ] {
        assert!(text.contains(taken), "{taken}: {text}");
    }
    assert!(text.contains("a load that only air holds") && text.contains("an aid, not an approval"));
}

#[test]
fn a_pump_that_never_stops_has_no_sag() {
    let rig = replaced(&[("volume = \"12 L\"", "volume = \"500 L\"")]);
    let output = rehearse(&rig, &["--lifts", "1", "--json"]);
    let compressor = &session(&output)["compressor"];
    assert_eq!((number(&compressor["starts"]), compressor["sag_pa"].is_null()), (0.0, true));
    assert!(!out(&rehearse(&rig, &["--lifts", "1"])).contains("Sag"));
    assert!(out(&rehearse(CRATE_LIFT, &[])).contains("Sag"));
}

#[test]
fn a_leak_of_the_tank_takes_air_between_the_lifts() {
    let tank = |line: &str| {
        let rig = replaced(&[("volume = \"12 L\"", &format!("volume = \"500 L\"{line}"))]);
        let output = rehearse(&rig, &["--lifts", "4", "--json"]);
        assert_eq!(code(&output), 0, "{}", err(&output));
        number(&session(&output)["tank_last_pa_gauge"])
    };
    let tight = tank("");
    let leaks = tank("\nleak = { fall = \"0.5 bar\", time = \"30 min\" }");
    assert!(leaks < tight - 0.05e5, "{leaks} and {tight}");
    assert!(leaks > tight - 0.5e5, "{leaks} and {tight}");
}

#[test]
fn heat_that_is_stated_takes_the_place_of_its_default() {
    let sag = |pairs: &[(&str, &str)]| {
        let output = rehearse(&replaced(pairs), &["--lifts", "12", "--json"]);
        assert_eq!(code(&output), 0, "{}", err(&output));
        number(&session(&output)["compressor"]["sag_pa"])
    };
    let usual = sag(&[]);
    // Hotter air from the pump leaves a hotter tank, a tank in the wind a cooler one.
    assert!(sag(&[("max-run = \"10 min\"", "max-run = \"10 min\"\noutlet = \"80 degC\"")]) > 1.2 * usual);
    assert!(sag(&[("volume = \"12 L\"", "volume = \"12 L\"\nheat-exchange = \"20 W/K\"")]) < 0.8 * usual);
    let stated = replaced(&[
        ("max-run = \"10 min\"", "max-run = \"10 min\"\noutlet = \"64.4 degF\""),
        ("clearance = \"20 mL\"", "clearance = \"20 mL\"\nheat-transfer = \"7.04 Btu/(h ft2 degF)\""),
    ]);
    let text = out(&rehearse(&stated, &["--lifts", "1"]));
    assert!(!text.contains("compressor.outlet") && !text.contains("heat-transfer"), "{text}");
    assert!(text.contains("tank.heat-exchange = "), "{text}");
}

#[test]
fn a_trace_has_its_columns_in_either_form() {
    let folder = tempfile::tempdir().unwrap();
    let path = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    let (csv, json) = (path("course.csv"), path("course.json"));
    for file in [&csv, &json] {
        let output = rehearse(CRATE_LIFT, &["--lifts", "2", "--trace", file, "--step", "0.5 s"]);
        assert_eq!(code(&output), 0, "{}", err(&output));
        assert!(err(&output).contains("rows to"), "{}", err(&output));
    }
    let text = std::fs::read_to_string(csv).unwrap();
    let mut lines = text.lines();
    let head: Vec<&str> = lines.next().unwrap().split(',').collect();
    let rows: Vec<Value> = serde_json::from_str(&std::fs::read_to_string(json).unwrap()).unwrap();
    // Two cycles of 180 s in steps of 0.5 s, with both ends.
    assert_eq!(rows.len(), 721);
    assert_eq!(lines.clone().count(), rows.len());
    for ((number_of_row, line), row) in (0_u32..).zip(lines).zip(&rows) {
        let row = row.as_object().unwrap();
        for column in &head {
            assert!(row.contains_key(*column), "{column}");
        }
        let cells: Vec<&str> = line.split(',').collect();
        assert_eq!(cells.len(), head.len());
        assert!(!line.contains("NaN") && !line.contains("inf"), "{line}");
        assert!((number(&row["time_s"]) - 0.5 * f64::from(number_of_row)).abs() < 1e-6, "{line}");
        assert_within(&row["tank_k"], 150.0, 400.0);
        assert_within(&row["travel_m"], -1e-9, 0.4 + 1e-9);
    }
    let left: Vec<_> = std::fs::read_dir(folder.path()).unwrap().collect();
    assert_eq!(left.len(), 2, "no temporary file is left");
}

#[test]
fn a_trace_replaces_a_file_only_if_told_and_the_rig_file_never() {
    let folder = tempfile::tempdir().unwrap();
    let rig = folder.path().join("rig.csv");
    std::fs::write(&rig, CRATE_LIFT).unwrap();
    let day = folder.path().join("day.CSV");
    let run = |arguments: &[&str]| {
        lungful(&[&["rehearse", rig.to_str().unwrap(), "--lifts", "1", "--trace"], arguments].concat())
    };
    // By another name for the same folder as well.
    let around = folder.path().join(".").join("rig.csv");
    for path in [&rig, &around] {
        let output = run(&[path.to_str().unwrap(), "--force"]);
        assert_eq!(code(&output), 2);
        assert!(err(&output).contains("is the rig file itself"), "{}", err(&output));
        assert_eq!(std::fs::read_to_string(&rig).unwrap(), CRATE_LIFT);
    }
    let day = day.to_str().unwrap();
    std::fs::write(day, "mine").unwrap();
    let output = run(&[day]);
    assert_eq!(code(&output), 2);
    assert!(
        err(&output).contains("is already there") && err(&output).contains("--force"),
        "{}",
        err(&output)
    );
    assert_eq!(std::fs::read_to_string(day).unwrap(), "mine");
    assert_eq!(code(&run(&[day, "--force"])), 0);
    assert!(std::fs::read_to_string(day).unwrap().starts_with("time_s,"));
}

#[cfg(target_os = "linux")]
#[test]
fn a_folder_that_takes_no_file_is_not_called_missing() {
    let output = rehearse(CRATE_LIFT, &["--lifts", "1", "--trace", "/proc/course.csv"]);
    assert_eq!(code(&output), 2);
    let text = err(&output);
    assert!(!text.contains("no such folder") && !text.contains(".lungful-"), "{text}");
    assert!(text.contains("the system makes no file there") || text.contains("no permission"), "{text}");
}

#[test]
fn wrong_requests_are_refused_with_a_way_out() {
    for (arguments, cure) in [
        (&["--for", "8 bar"][..], "such as '0.5 s'"),
        (&["--for", "0 s"], "such as '0.5 s'"),
        (&["--for", "-1 h"], "`--for` is not above 0"),
        (&["--trace", "course.csv", "--step", "-1 s"], "`--step` is not above 0"),
        (&["--lifts", "0"], "0 is not in 1..=100000"),
        (&["--lifts", "-1"], "-1 is not in 1..=100000"),
        (&["--lifts", "3", "--for", "1 h"], "cannot be used with"),
        (&["--lifts", "200000"], "200000 is not in 1..=100000"),
        (&["--for", "10000 h"], "at most 100000"),
        (&["--trace", "course.txt"], ".csv or .json"),
        (&["--trace", "no-such-folder/course.csv", "--lifts", "1"], "no such folder"),
        (&["--trace", "course.csv", "--step", "0.000001 s"], "a step of at least"),
        (&["--step", "1 s"], "--trace"),
    ] {
        let output = rehearse(CRATE_LIFT, arguments);
        assert_eq!(code(&output), 2, "{arguments:?}");
        assert_eq!(out(&output), "", "{arguments:?}");
        assert!(err(&output).contains(cure), "{arguments:?}: {}", err(&output));
    }
}

#[test]
fn a_held_load_that_rises_is_said_to_rise_and_why() {
    // The valve shuts as the load arrives, and the cold air behind it takes up heat for 10 s.
    let text =
        |rig: &str| out(&rehearse(rig, &["--lifts", "2"])).split_whitespace().collect::<Vec<_>>().join(" ");
    let drift = |rig: &str| number(&session(&rehearse(rig, &["--lifts", "2", "--json"]))["drift_m"]);
    // At rest at the temperature of the site it would be 390 mm of 291.15 K; it comes in a few kelvins colder.
    let least = drift(CRATE_LIFT);
    assert!((-0.01..-1e-4).contains(&least), "{least}");
    let risen = text(CRATE_LIFT);
    assert!(risen.contains("a held load does not sink, it rises by"), "{risen}");
    assert!(risen.contains("or more after the valve shuts: the least of all lifts"), "{risen}");
    assert!(risen.contains("A held load rises after the valve shuts"), "{risen}");
    // Against the end of the stroke it stays.
    let at_stop = replaced(&[("end-pressure = \"load\"", "end-pressure = \"set point\"")]);
    assert!(drift(&at_stop).abs() < 1e-6);
    let stays = text(&at_stop);
    assert!(stays.contains("a held load does not sink") && !stays.contains("rises"), "{stays}");
}

#[test]
fn the_height_that_is_worked_is_said() {
    let flat = |rig: &str| {
        let text = out(&rehearse(rig, &["--lifts", "1"]));
        text.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let text = flat(CRATE_LIFT);
    assert!(text.contains("by 390 mm, where the valve shuts; the stroke would give 400 mm"), "{text}");
    let whole = [("end-pressure = \"load\"", "end-pressure = \"set point\"")];
    let text = flat(&replaced(&whole));
    assert!(text.contains("takes the load up by 400 mm, all that the stroke gives"), "{text}");
    // The take-up moves the cylinder alone.
    let loose = replaced(&[("lift = \"390 mm\"", "lift = \"380 mm\"\ntake-up = \"8 mm\"")]);
    let done = session(&rehearse(&loose, &["--lifts", "1", "--json"]));
    assert_within(&done["height_m"], 0.380 - 1e-9, 0.380 + 1e-9);
    assert_within(&done["whole_height_m"], 0.392 - 1e-9, 0.392 + 1e-9);
    assert_within(&done["lifts"][0]["travel_m"], 0.388 - 1e-6, 0.400);
}

#[test]
fn a_relief_valve_of_the_line_blows_or_is_said_to_be_left_out() {
    let set_point = ("end-pressure = \"load\"", "end-pressure = \"set point\"");
    let run = |pairs: &[(&str, &str)]| {
        let text = out(&rehearse(&replaced(pairs), &["--lifts", "2"]));
        text.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let air = |pairs: &[(&str, &str)]| {
        number(&session(&rehearse(&replaced(pairs), &["--lifts", "1", "--json"]))["air_used_kg"])
    };
    // In order: it opens at 7 bar, the regulator gives 5.5 bar.
    let sound = run(&[set_point]);
    assert!(!sound.contains("relief valve of the line"), "{sound}");
    // Below the set point it blows while the raise valve is open: some air goes to waste.
    let low = [set_point, ("relief = \"7 bar\"", "relief = \"5 bar\"")];
    let text = run(&low);
    assert!(text.contains("The relief valve of the line blows at 5 bar, first after"), "{text}");
    assert!(air(&low) > 1.1 * air(&[set_point]), "{} {}", air(&low), air(&[set_point]));
    let unknown = run(&[set_point, ("relief-capacity = \"250 L/min\"\n", "")]);
    assert!(unknown.contains("The relief valve of the line is left out"), "{unknown}");
}

#[test]
fn what_is_left_in_the_battery_is_shown_in_watt_hours() {
    // 24 V * 20 Ah * 80 % are 384 Wh; two cycles of 180 s at 5 W take 0.5 Wh, and no more with the pump off.
    for units in ["metric", "us"] {
        let text = out(&rehearse(CRATE_LIFT, &["--lifts", "2", "--units", units]));
        assert!(text.contains("Battery left  383.5 Wh"), "{text}");
    }
    let json = session(&rehearse(CRATE_LIFT, &["--lifts", "2", "--json"]));
    assert_within(&json["energy"]["battery_left_j"], 383.5 * 3600.0 - 1.0, 383.5 * 3600.0 + 1.0);
}

#[test]
fn a_long_run_is_silent_where_its_errors_do_not_go_to_a_terminal() {
    // Some 30 h, which its battery does not last.
    let output = rehearse(CRATE_LIFT, &["--lifts", "600", "--json"]);
    assert_eq!(err(&output), "");
    assert_eq!(session(&output)["lifts"].as_array().unwrap().len(), 600);
}

#[test]
fn the_working_shows_what_the_books_are_off_by() {
    let text = out(&rehearse(CRATE_LIFT, &["--lifts", "2", "--working"]));
    assert!(text.contains("What the books are off by") && text.contains("mass of air"), "{text}");
    assert!(!out(&rehearse(CRATE_LIFT, &["--lifts", "2"])).contains("off by"));
    for figure in [
        "behind the regulator, past half way up at",
        "growth of the energy in the cylinders, past half way down at",
    ] {
        assert!(text.contains(figure), "{figure}: {text}");
    }
    let json: Value =
        serde_json::from_slice(&rehearse(CRATE_LIFT, &["--lifts", "2", "--working", "--json"]).stdout)
            .unwrap();
    let topics: Vec<_> = json["working"].as_array().unwrap().iter().map(|step| &step["topic"]).collect();
    for topic in ["tank-energy", "heat-exchange", "load-movement", "regulator-droop"] {
        assert!(topics.contains(&&Value::from(topic)), "{topic}: {topics:?}");
    }
}

#[test]
fn the_plot_keeps_to_its_width_and_units_change_words_only() {
    let metric = rehearse(CRATE_LIFT, &["--units", "metric"]);
    let us = rehearse(CRATE_LIFT, &["--units", "us"]);
    assert!(out(&metric).contains("bar |") && out(&us).contains("psi |"));
    assert!(out(&metric).lines().chain(out(&us).lines()).all(|line| line.chars().count() <= 110));
    let figures = |units| {
        let mut done = session(&rehearse(CRATE_LIFT, &["--json", "--units", units]));
        done["headline"] = Value::Null;
        done["taken"] = Value::Null;
        done
    };
    assert_eq!(figures("metric"), figures("us"));
}

/// A load on a large dead volume that takes up no heat, behind a passage that stays choked.
const STOOD: &str = "
[site]
barometer = \"100 kPa\"
temperature = \"20 degC\"
[tank]
volume = \"5 m3\"
rating = \"30 bar\"
filled-to = \"8 bar\"
[regulator]
set = \"6 bar\"
droop = \"0 bar\"
[line]
raise = { C = \"0.1 L/(s bar)\", b = 0.9 }
lower = { C = \"0.1 L/(s bar)\", b = 0.3 }
[cylinders]
count = 1
bore = \"50 mm\"
rod = \"20 mm\"
stroke = \"400 mm\"
action = \"single\"
rating = \"10 bar\"
friction = \"10 %\"
clearance = \"1 L\"
heat-transfer = \"0 W/(m2 K)\"
breakaway = 2
[load]
mass = \"80 kg\"
lift = \"390 mm\"
[cycle]
rest = \"1 min\"
lifts = 1
";

#[test]
fn pistons_that_have_stood_start_late_and_jerk() {
    use lungful::answers::rehearsal::{Extent, plan, rehearse};
    use lungful::rig::{Document, Overrides, Source};
    let work = |text: &str| {
        let rig = Document::read(Some(&Source::new("rig.toml", text)), &Overrides::none()).rig().unwrap();
        let plan = plan(&rig, Extent::AsTheRigSays).unwrap();
        rehearse(&rig, &plan, None, &mut |_, _| {}).unwrap().rehearsal
    };
    let at_once = STOOD.replace("breakaway = 2\n", "");
    let (stood, moves) = (work(STOOD), work(&at_once));
    // analytic: the load pressure over 1 less friction, 10 % in motion and 20 % at rest, and the pressure of a rigid
    // volume V without heat, which rises by k q R T/V while q = C rho_0 p_1 is choked: up to 0.9 of 7 bar.
    let load = 80.0 * G / (std::f64::consts::FRAC_PI_4 * 0.05 * 0.05);
    let flow = 1e-9 * 1.185 * 7e5;
    let rise = 1.4 * flow * 287.05 * 293.15 / 1e-3;
    let delay = |friction: f64| load / (1.0 - friction) / rise;
    let of = |done: &lungful::rehearsal::Rehearsal| done.lifts[0].delay.unwrap().value;
    // Air is real: its heat capacity and that of the tank's air are off by up to half a percent.
    for (done, friction) in [(&stood, 0.2), (&moves, 0.1)] {
        assert!((of(done) / delay(friction) - 1.0).abs() < 5e-3, "{} {}", of(done), delay(friction));
    }
    let later = delay(0.2) - delay(0.1);
    assert!(later > 0.5 && ((of(&stood) - of(&moves)) / later - 1.0).abs() < 5e-3);
    assert_eq!(moves.jerks, 0);
    assert!(stood.jerks >= 1 && stood.energy.jerks.value > 0.0);
    assert!(!out(&rehearse_text(STOOD)).contains("cylinders.breakaway"));
    assert!(out(&rehearse_text(&at_once)).contains("cylinders.breakaway = 1"));
}

fn rehearse_text(rig: &str) -> Output {
    let output = rehearse(rig, &[]);
    assert_eq!(code(&output), 0, "{}{}", out(&output), err(&output));
    output
}

/// A platform that stays up is no good end of a session, and the headline says so.
#[test]
fn a_lift_that_does_not_come_down_is_told() {
    let rig = CRATE_LIFT.replace("{ bore = \"1.5 mm\" }", "{ C = \"0.0005 L/(s bar)\", b = 0.3 }");
    assert_ne!(rig, CRATE_LIFT);
    let output = rehearse(&rig, &["--lifts", "2"]);
    assert_eq!(code(&output), 1);
    assert!(out(&output).contains("lift 1 of 2 does not come down in its time"), "{}", out(&output));
    assert_eq!(code(&rehearse(CRATE_LIFT, &["--lifts", "2"])), 0);
}
