//! Wrong rig files and wrong flags: what a builder reads when something does not fit.
//!
//! The snapshots are our own words, kept so that a change of wording is seen; they prove nothing else.
//! `INSTA_UPDATE=always cargo test --test wrong_input` writes them again; review the difference as code.

#![allow(clippy::unwrap_used, clippy::panic, reason = "helpers of tests")]

use std::fs;
use std::path::{Path, PathBuf};

use lungful::rig::{Document, Overrides, Problems, Reported, Resolver, Source};
use proptest::prelude::*;

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fixtures/wrong")
}

/// The wrong rig files, in the order of their names.
fn wrong_files() -> Vec<PathBuf> {
    let mut files: Vec<_> = fs::read_dir(folder()).unwrap().map(|entry| entry.unwrap().path()).collect();
    files.retain(|file| file.extension().is_some_and(|extension| extension == "toml"));
    files.sort();
    files
}

fn problems_of(source: Result<Source, Problems>) -> Problems {
    let source = match source {
        Ok(source) => source,
        Err(problems) => return problems,
    };
    let read = Document::read(Some(&source), &Overrides::none()).rig();
    read.err().unwrap_or_else(|| panic!("{} reads well", source.name()))
}

#[test]
fn each_wrong_file_is_answered_as_before() {
    let files = wrong_files();
    assert!(files.len() >= 200, "{} files", files.len());
    let mut settings = insta::Settings::clone_current();
    settings.set_snapshot_path(folder().join("snapshots"));
    settings.set_prepend_module_to_snapshot(false);
    settings.set_omit_expression(true);
    settings.bind(|| {
        for file in files {
            let name = file.file_stem().unwrap().to_str().unwrap();
            let text = fs::read_to_string(&file).unwrap();
            let problems = problems_of(Ok(Source::new(&format!("{name}.toml"), &text)));
            insta::assert_snapshot!(name, problems.to_string());
        }
    });
}

#[test]
fn one_mistake_gives_one_problem() {
    for file in wrong_files() {
        let name = file.file_stem().unwrap().to_str().unwrap().to_owned();
        if SEVERAL.contains(&name.as_str()) {
            continue;
        }
        let problems = problems_of(Source::read(&file));
        assert_eq!(problems.len(), 1, "{problems}");
        let problem = problems.iter().next().unwrap();
        assert!(problem.hint.is_some(), "{problems}");
        let has_place = problem.line().is_some() || ["empty", "remarks-only"].contains(&name.as_str());
        assert!(has_place, "{problems}");
    }
}

/// Files that hold more than one mistake.
const SEVERAL: &[&str] = &[
    "a-table-of-numbers",
    "kind-quantity-for-number",
    "linkage-missing-fields",
    "load-profile-swapped",
    "missing-battery-fields",
    "missing-beam-fields",
    "missing-several-fields",
    "not-a-rig-file",
    "points-numbers-without-units",
    "scissor-points-at-a-sliding-foot",
    "several-mistakes-at-once",
    "task-several-mistakes",
];

#[track_caller]
fn says(source: Result<Source, Problems>, words: &str) {
    let text = problems_of(source).to_string();
    assert!(text.contains(words), "{text}");
    assert!(text.len() < 30_000, "{} bytes of messages", text.len());
}

/// The smallest rig that is complete.
const SMALL: &str = "[tank]\nvolume = \"4 L\"\nrating = \"300 bar\"\nfilled-to = \"200 bar\"\n[regulator]\nset = \"6 bar\"\n\
    [cylinders]\ncount = 1\nbore = \"50 mm\"\nrod = \"20 mm\"\nstroke = \"400 mm\"\naction = \"single\"\n\
    rating = \"10 bar\"\n[load]\nmass = \"80 kg\"\nlift = \"300 mm\"\n";

fn is_good(bytes: &[u8]) -> bool {
    let source = Source::from_bytes("rig.toml", bytes).unwrap();
    Document::read(Some(&source), &Overrides::none()).rig().is_ok()
}

#[test]
fn what_is_no_rig_file_is_refused_in_words() {
    let bytes = |bytes: &[u8]| Source::from_bytes("rig.toml", bytes);
    says(bytes(&[0x7f, b'E', b'L', b'F', 0, 0xff, 0xfe]), "stands in no UTF-8 text");
    says(bytes(b"title = \"a\0b\""), "byte 11 (line 1) is 0x00");
    says(bytes(&vec![b'#'; 50 * 1024 * 1024]), "larger than 1 MiB");
    says(bytes(&b"x\n".repeat(50_000)), "problems in");
    says(bytes(&b"[a]\n".repeat(50_000)), "problems in");
    says(bytes(format!("a = {}", "[".repeat(30_000)).as_bytes()), "nested too deeply");
    says(bytes(format!("a = {}", "{a=".repeat(30_000)).as_bytes()), "nested too deeply");
    says(bytes(format!("[{}a]", "a.".repeat(30_000)).as_bytes()), "nested too deeply");
    says(bytes(format!("{}a = 1", "a.".repeat(30_000)).as_bytes()), "nested too deeply");
    says(bytes(format!("title = \"{}\"", "x".repeat(200_000)).as_bytes()), "at most 100 characters");
    says(bytes(format!("{} = 1", "x".repeat(200_000)).as_bytes()), "stands before the first table");
    says(bytes(format!("[tank]\nvolume = \"{}\"", "9".repeat(200_000)).as_bytes()), "tank.volume");
    says(bytes(format!("[cylinders]\ncount = {}", "9".repeat(200_000)).as_bytes()), "whole number");
    says(bytes(b"[linkage]\nkind = \"lever\"\na = 1.5\n"), "there is no key `a` in [linkage]");
    says(bytes("\u{202e}[tank]".as_bytes()), "problem");
}

#[test]
fn harmless_differences_of_text_files_are_accepted() {
    assert!(is_good(SMALL.as_bytes()));
    assert!(is_good(format!("\u{feff}{SMALL}").as_bytes()), "byte order mark");
    assert!(is_good(SMALL.replace('\n', "\r\n").as_bytes()), "line ends of two characters");
    assert!(is_good(SMALL.trim_end().as_bytes()), "no last line end");
    assert!(is_good(SMALL.replace(" = ", "=").as_bytes()), "no spaces");
    assert!(is_good(SMALL.replace('"', "'").as_bytes()), "single quotes");
}

#[test]
fn wrong_flags_are_answered_as_before() {
    let mut flags = Overrides::none();
    flags.set("load.mass", "80 bar");
    flags.set("cylinders.count", "two");
    flags.set("regulator.set", "");
    let problems = Document::read(None, &flags)
        .resolve(|resolver: &mut Resolver<'_>| -> Result<(), Reported> {
            let load = resolver.load();
            let cylinders = resolver.cylinders();
            let regulator = resolver.regulator();
            load.map(drop).and(cylinders.map(drop)).and(regulator.map(drop))
        })
        .unwrap_err();
    let mut settings = insta::Settings::clone_current();
    settings.set_snapshot_path(folder().join("snapshots"));
    settings.set_prepend_module_to_snapshot(false);
    settings.set_omit_expression(true);
    settings.bind(|| insta::assert_snapshot!("flags", problems.to_string()));
}

proptest! {
    /// Any text at all is read or refused, in order and without a panic.
    #[test]
    fn any_text_is_answered(text in ".*") {
        answer(&text);
    }

    /// Texts out of the pieces of rig files come further than any text at all.
    #[test]
    fn any_pieces_are_answered(pieces in prop::collection::vec(prop::sample::select(PIECES), 0..24)) {
        answer(&pieces.concat());
    }

    /// A good file with one stretch of it replaced.
    #[test]
    fn any_change_is_answered(
        good in prop::sample::select(GOOD),
        start in 0usize..2400,
        length in 0usize..40,
        new in "[ -~\n]{0,8}",
    ) {
        let start = start.min(good.len());
        let end = (start + length).min(good.len());
        prop_assume!(good.is_char_boundary(start) && good.is_char_boundary(end));
        answer(&format!("{}{new}{}", &good[..start], &good[end..]));
    }
}

/// Good files which between them have every table.
const GOOD: &[&str] = &[
    include_str!("../fixtures/whole.toml"),
    include_str!("../../examples/lever-tipper.toml"),
    include_str!("../../examples/folding-leg-riser.toml"),
    include_str!("../../examples/scissor-table.toml"),
    include_str!("../../examples/bench-lift-reinforced.toml"),
];

const PIECES: &[&str] = &[
    "[tank]\n",
    "[[frame]]\n",
    "[[tank]]\n",
    "[load]\n",
    "[linkage]\n",
    "kind = \"lever\"\n",
    "kind = \"scissor\"\n",
    "foot",
    "[linkage.foot]\n",
    "[frame.section]\n",
    "[[frame.reinforcement]]\n",
    "[base]\n",
    "size",
    "\"40 mm x 3 mm\"",
    "\"square tube\"",
    "[\"200 mm\", \"30 mm\"]",
    "[compressor]\n",
    "[compressor.delivery]\n",
    "[line.raise]\n",
    "volume",
    "rating",
    "delivery",
    "points",
    "kind",
    "section",
    "frame",
    "tank",
    "mass",
    ".",
    " = ",
    "=",
    "\"10 L\"",
    "\"8 bar\"",
    "\"120 kg +- 5 %\"",
    "\"6 bar(a)\"",
    "[",
    "]",
    "{",
    "}",
    ", ",
    "[[\"0 bar\", \"3 A\"]]",
    "\"",
    "'",
    "\"\"\"",
    "\n",
    "\r\n",
    "\r",
    "#",
    "\0",
    "\u{e4}",
    "\u{201c}",
    "1",
    "1.5",
    "-",
    "true",
    "nan",
    "1e999",
    "1979-05-27",
    "0x1f",
    "\\",
];

/// Reads a text; whatever is wrong has a place in it and can be shown.
#[track_caller]
fn answer(text: &str) {
    let source = Source::new("rig.toml", text);
    if let Err(problems) = Document::read(Some(&source), &Overrides::none()).rig() {
        assert!(!problems.is_empty());
        let lines = text.split('\n').count();
        assert!(
            problems.iter().filter_map(lungful::rig::Problem::line).all(|line| (1..=lines).contains(&line))
        );
        assert!(problems.to_string().contains(" in rig.toml"));
    }
}

const IN_INCHES: &str = "[tank]
volume = \"1 gal\"
rating = \"4400 psi\"
filled-to = \"2900 psi\"
[regulator]
set = \"87 psi\"
[cylinders]
count = 1
bore = \"2 in\"
rod = \"0.75 in\"
stroke = \"10 in\"
action = \"single\"
rating = \"145 psi\"
[load]
mass = \"130 lb\"
lift = \"9 in\"
";

/// What is wrong with further lines of a file in inches.
fn wrong_in_inches(further: &str) -> Option<String> {
    let source = Source::new("inches.toml", &format!("{IN_INCHES}{further}"));
    let read = Document::read(Some(&source), &Overrides::none()).rig();
    read.err().map(|problems| problems.to_string())
}

/// A limit as it is printed, and what comes of it when it is typed in.
#[track_caller]
fn follows_the_limit(line: impl Fn(&str) -> String, wrong: &str, said: &str, limit: &str) {
    let problems = wrong_in_inches(&line(wrong)).unwrap();
    assert!(problems.contains(said), "{problems}");
    assert!(!problems.contains(" mm"), "{problems}");
    let after = wrong_in_inches(&line(limit));
    assert!(after.is_none(), "{limit}: {after:?}");
}

fn beam_in_inches(section: &str, further: &str) -> String {
    format!(
        "[[frame]]\nname = \"fork\"\nsupport = \"cantilever\"\nspan = \"500 mm\"\nload-share = \"50 %\"\n\
         steel = \"S235\"\nsection = {{ {section} }}\n{further}"
    )
}

#[test]
fn sections_in_a_file_in_inches_are_answered_in_inches() {
    // By EN 10219-2 the outer radius is 2.5 t between 6 and 10 mm: 1.5/2/2.5 = 0.3 in. A side of 1 in keeps to 2 t,
    // whose last wall is 6/25.4 = 0.236 22 in.
    for (side, limit) in [("1.5 in", "0.3 in"), ("1 in", "0.2362 in")] {
        let tube = |wall: &str| {
            beam_in_inches(&format!("kind = \"square tube\", side = \"{side}\", wall = \"{wall}\""), "")
        };
        let said = format!("the tube wall of this beam is 0.4 in, and the limit is {limit} here");
        follows_the_limit(tube, "0.4 in", &said, limit);
    }
    // Half of the side, 1.181/2 = 0.5905 in.
    let radius = |outer: &str| {
        let radii = format!("outer-radius = \"{outer}\", inner-radius = \"0.4 in\"");
        beam_in_inches(
            &format!("kind = \"square tube\", side = \"1.181 in\", wall = \"0.12 in\", {radii}"),
            "",
        )
    };
    let said = "the outer corner radius of this beam is 0.625 in, and the limit is 0.5905 in here";
    follows_the_limit(radius, "0.625 in", said, "0.5905 in");
    // The hole of 60 mm less two walls of 4 mm, 52/25.4 = 2.047 24 in, and 52.02/25.4 = 2.048 03 in.
    let inside = |side: &str| {
        let part = format!("section = {{ kind = \"square bar\", side = \"{side}\" }}");
        beam_in_inches(
            "kind = \"square tube\", side = \"60 mm\", wall = \"4 mm\", corners = \"sharp\"",
            &format!("reinforcement = [{{ position = \"inside\", {part} }}]\n"),
        )
    };
    let said = "the width of the inner part is 2.048 in, and the limit is 2.047 in here";
    let read = wrong_in_inches(&inside("52.02 mm")).unwrap();
    assert!(read.contains(said), "{read}");
    assert_eq!(wrong_in_inches(&inside("2.047 in")), None);
}

#[test]
fn a_length_beside_its_limit_has_digits_enough_to_differ() {
    let tube = |wall: &str| {
        beam_in_inches(&format!("kind = \"square tube\", side = \"1.5 in\", wall = \"{wall}\""), "")
    };
    let said = "is 0.30002 in, and the limit is 0.3 in here";
    follows_the_limit(tube, "0.30002 in", said, "0.3 in");
}

#[test]
fn places_and_welds_in_a_file_in_inches_are_answered_in_inches() {
    // 500/25.4 = 19.685 04 in: rounded up it would lie beyond the end.
    let flat = "kind = \"flat bar\", width = \"2 in\", height = \"1 in\"";
    let at = |at: &str| beam_in_inches(flat, &format!("at = \"{at}\"\n"));
    let problems = wrong_in_inches(&at("21 in")).unwrap();
    assert!(problems.contains("a load stands at 21 in, but this beam is only 19.68 in long"), "{problems}");
    let problems = wrong_in_inches(&at("19.6852 in")).unwrap();
    assert!(problems.contains("a load stands at 19.69 in, but"), "{problems}");
    assert_eq!(wrong_in_inches(&at("19.68 in")), None);
    // 30 mm = 1.181 10 in must be left of the length less two throats: 1.4311 in.
    let weld = |length: &str| {
        format!(
            "[[weld]]\nname = \"gusset\"\nthroat = \"0.125 in\"\nlength = \"{length}\"\nforce = \"500 lbf\"\n\
             steel = \"S235\"\n"
        )
    };
    let problems = wrong_in_inches(&weld("1 in")).unwrap();
    assert!(problems.contains("counts is 0.75 in, and the limit is 1.182 in here"), "{problems}");
    assert!(problems.contains("write length = \"1.432 in\" or more"), "{problems}");
    assert_eq!(wrong_in_inches(&weld("1.432 in")), None);
    assert!(wrong_in_inches(&weld("1.431 in")).is_some());
}

#[test]
fn a_fall_of_the_tank_in_psi_is_answered_in_psi() {
    let leak = "[tank.leak]\nfall = \"3000 psi\"\ntime = \"30 min\"\n";
    let problems = wrong_in_inches(leak).unwrap();
    assert!(
        problems.contains("is 3000 psi; it must be above zero and below the 2900 psi from which"),
        "{problems}"
    );
}
