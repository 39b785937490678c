//! What a check says of a linkage, against calculations of its own.

#![allow(clippy::unwrap_used, clippy::panic, reason = "what does not hold fails the test")]

use std::f64::consts::{FRAC_PI_4, PI};

use approx::assert_relative_eq;
use lungful::answers::{Answers, Check, Verdict, evaluate};
use lungful::report::words;
use lungful::rig::{Document, Overrides, Problems, Rig, Source};
use lungful::units::UnitSystem;

const FOLDING_LEG: &str = include_str!("../../examples/folding-leg-riser.toml");

const LEVER: &str = include_str!("../../examples/lever-tipper.toml");

const SCISSOR: &str = include_str!("../../examples/scissor-table.toml");

const G: f64 = 9.806_65;

/// A rig file with whole lines replaced by their key; an empty line deletes.
#[track_caller]
fn edited(text: &str, edits: &[(&str, &str)]) -> String {
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    for (key, line) in edits {
        let found = lines.iter_mut().find(|old| old.starts_with(&format!("{key} =")));
        *found.unwrap_or_else(|| panic!("no `{key}` in the file")) = (*line).to_owned();
    }
    lines.join("\n")
}

fn read(text: &str) -> Result<Rig, Problems> {
    Document::read(Some(&Source::new("test.toml", text)), &Overrides::none()).rig()
}

#[track_caller]
fn judged(text: &str) -> (Rig, Answers) {
    let rig = read(text).unwrap_or_else(|problems| panic!("{problems}\n{text}"));
    let answers = evaluate(&rig).unwrap();
    (rig, answers)
}

#[track_caller]
fn check(answers: &Answers, id: &str) -> Check {
    answers.check(id).unwrap_or_else(|| panic!("no check `{id}`")).clone()
}

const LOW_STOP: [(&str, &str); 11] = [
    ("stop-angle", "stop-angle = \"195 deg\""),
    ("stroke", "stroke = \"313 mm\""),
    ("mass", "mass = \"130 kg\""),
    ("rod", "rod = \"50 mm\""),
    ("lift", "lift = \"200 mm\""),
    ("closed-length", ""),
    ("rod-steel", ""),
    ("tube-outside", ""),
    ("tube-wall", ""),
    ("tube-length", ""),
    ("tube-steel", ""),
];

/// Hand calculation: knee at 195 deg, links a = b = 450 mm, brackets at 330 mm along and 60 mm inward.
/// `H = sqrt(2 a^2 (1 - cos))`, `r = a^2 sin / H * L / (c d sin(psi))` with `psi = 195 deg - 2 atan(60/330)`; of each
/// link half goes with the knee at `H/2`, so that the links of one leg rise as one of them at `H`.
fn hand_pull(kappa_deg: f64, mass: f64) -> f64 {
    let kappa = kappa_deg * PI / 180.0;
    let (a, c) = (0.45_f64, 0.33_f64.hypot(0.06));
    let psi = kappa - 2.0 * (0.06_f64 / 0.33).atan();
    let height = (2.0 * a * a * (1.0 - kappa.cos())).sqrt();
    let length = (2.0 * c * c * (1.0 - psi.cos())).sqrt();
    let ratio = a * a * kappa.sin() / height * length / (c * c * psi.sin());
    // Two legs; centres of the links at H/4 and 3 H/4: 3 kg at a quarter and three quarters.
    let links = 2.0 * 3.0 * (0.25 + 0.75) * ratio;
    -G * ((mass + 25.0) * ratio + links) / 0.9
}

#[test]
fn a_leg_that_the_rod_sides_cannot_pull_back_fails() {
    let text = edited(FOLDING_LEG, &LOW_STOP);
    let (_, answers) = judged(&text);
    let check_ = check(&answers, "pull back over straight");
    assert_eq!(check_.verdict, Verdict::Fail);
    assert_relative_eq!(check_.value.unwrap(), hand_pull(195.0, 130.0), max_relative = 1e-6);
    // 5 bar less 0.3 bar of droop, a tenth of friction, two rings of 63 and 50 mm.
    let there = 2.0 * FRAC_PI_4 * (0.063_f64.powi(2) - 0.05_f64.powi(2)) * 4.7e5 * 0.9;
    assert_relative_eq!(check_.limit.unwrap(), there, max_relative = 1e-9);
    // The bore that it asks for, as printed, is enough.
    for units in [UnitSystem::Metric, UnitSystem::Us] {
        let advice = words(&check_.advice, units);
        let figure: Vec<_> = advice.split("bore of at least ").nth(1).unwrap().split(' ').take(2).collect();
        let bore = format!("bore = \"{}\"", figure.join(" "));
        let (_, cured) = judged(&edited(&text, &[("bore", &bore), ("rating", "rating = \"12 bar\"")]));
        assert_ne!(check(&cured, "pull back over straight").verdict, Verdict::Fail, "{bore}");
    }
    // As drawn, six degrees past straight with a thin rod, it comes back.
    let (_, answers) = judged(FOLDING_LEG);
    let good = check(&answers, "pull back over straight");
    assert_eq!(good.verdict, Verdict::Pass);
    assert_relative_eq!(good.value.unwrap(), hand_pull(186.0, 80.0), max_relative = 1e-6);
    // A cylinder that only pushes is cautioned by its lock.
    let single = edited(FOLDING_LEG, &[("action", "action = \"single\""), ("back-pressure", "")]);
    assert!(judged(&single).1.check("pull back over straight").is_none());
}

#[test]
fn a_bracket_beyond_its_link_is_refused() {
    let short = edited(FOLDING_LEG, &[("upper-link", "upper-link = \"250 mm\"")]);
    let problems = read(&short).unwrap_err().to_string();
    assert!(problems.contains("`linkage.upper-bracket` is 330 mm"), "{problems}");
    assert!(problems.contains("the link is only 250 mm long"), "{problems}");
    let other = edited(FOLDING_LEG, &[("lower-link", "lower-link = \"320 mm\"")]);
    assert!(read(&other).unwrap_err().to_string().contains("`linkage.lower-bracket` is 330 mm"));
    // At the very end of the link it may sit.
    let at_the_end = edited(
        FOLDING_LEG,
        &[
            ("lower-link", "lower-link = \"330 mm\""),
            ("upper-link", "upper-link = \"330 mm\""),
            ("lift", "lift = \"150 mm\""),
        ],
    );
    assert!(read(&at_the_end).is_ok());
}

#[test]
fn a_ramp_that_never_ends_is_refused() {
    // By hand: 900 mm (sin(32 deg) + sin(5 deg)) = 476.93 + 78.44 = 555.4 mm.
    let with =
        |lines: &str| read(&LEVER.replace("lift = \"500 mm\"", &format!("lift = \"500 mm\"\n{lines}")));
    let problems = with("ramp = \"2 m\"").unwrap_err().to_string();
    assert!(problems.contains("`load.ramp` is 2000 mm: the load rises by 555.4 mm"), "{problems}");
    assert!(problems.contains("make it at most 555.3 mm"), "{problems}");
    let later = with("ramp = \"530 mm\"\ntake-up = \"30 mm\"").unwrap_err().to_string();
    assert!(later.contains("at most 525.3 mm, take-up and ramp together at most 555.3 mm"), "{later}");
    assert!(with("ramp = \"525.3 mm\"\ntake-up = \"30 mm\"").is_ok());
}

/// A sine of -5 deg and its angle back differ in the last digit: the load must not stand below the ground for it.
#[test]
fn a_load_on_the_ground_stands_on_it_at_the_start() {
    let (rig, _) = judged(&edited(LEVER, &[("load-height", "load-height = \"0 mm\"")]));
    let none = uom::si::f64::Length::default();
    assert!(rig.linkage.shape.height(none) == none);
    for text in [FOLDING_LEG, SCISSOR] {
        assert!(judged(text).0.linkage.shape.height(none) == none);
    }
}
