//! Advice cures: a figure that a check asks for, taken as it is printed, makes that check pass or at least
//! no longer fail.

use lungful::answers::{Answers, Verdict, evaluate};
use lungful::report::words;
use lungful::rig::{Document, Overrides, Rig, Source};
use lungful::units::UnitSystem;

/// The demonstration with some fields changed.
fn rig(changes: &[(&str, &str)]) -> Rig {
    let mut overrides = Overrides::none();
    for (path, text) in changes {
        overrides.set(path, text);
    }
    Document::read(Some(&Source::demo()), &overrides)
        .rig()
        .unwrap_or_else(|problems| panic!("{changes:?}\n{problems}"))
}

fn answers(changes: &[(&str, &str)]) -> Answers {
    evaluate(&rig(changes)).unwrap()
}

/// The number and unit that follow `lead` in the advice of a check.
fn figure(answers: &Answers, id: &str, lead: &str, units: UnitSystem) -> Option<String> {
    let advice = words(&answers.check(id).unwrap().advice, units);
    let rest = advice.split(lead).nth(1)?;
    let mut parts = rest.split_whitespace();
    let (number, unit) = (parts.next()?, parts.next()?);
    Some(format!("{number} {}", unit.trim_end_matches([',', ';', '.', ':'])))
}

#[track_caller]
fn cures(base: &[(&str, &str)], id: &str, lead: &str, field: &str) {
    let before = answers(base);
    assert_eq!(before.check(id).unwrap().verdict, Verdict::Fail, "{base:?} does not fail {id}");
    for units in [UnitSystem::Metric, UnitSystem::Us] {
        let Some(figure) = figure(&before, id, lead, units) else {
            panic!("{base:?}: no `{lead}` in: {}", words(&before.check(id).unwrap().advice, units))
        };
        let mut cured = base.to_vec();
        cured.retain(|(path, _)| *path != field);
        cured.push((field, &figure));
        let after = answers(&cured);
        assert_ne!(
            after.check(id).unwrap().verdict,
            Verdict::Fail,
            "{id}: {field} = {figure} does not cure {base:?}"
        );
    }
}

#[test]
fn load_ratio() {
    for mass in ["131 kg", "137.3 kg", "141.7 kg", "150.01 kg", "158.9 kg"] {
        let base = [("load.mass", mass)];
        cures(&base, "load ratio", "take load off down to ", "load.mass");
        cures(&base, "load ratio", "take a bore of ", "cylinders.bore");
        cures(&base, "load ratio", "raise `regulator.set` to ", "regulator.set");
    }
    // No set point fits: only bore and load are offered.
    let shut = answers(&[("load.mass", "420 kg")]);
    assert!(!shut.window.is_open());
    assert_eq!(figure(&shut, "load ratio", "raise `regulator.set` to ", UnitSystem::Metric), None);
    cures(&[("load.mass", "420 kg")], "load ratio", "take load off down to ", "load.mass");
}

#[test]
fn breaks_loose() {
    // Without a flow for its droop the regulator is short of it at rest as well.
    let short = [("cylinders.breakaway", "5"), ("cylinders.friction", "8 %")];
    cures(&short, "breaks loose", "raise `regulator.set` to ", "regulator.set");
    cures(&short, "breaks loose", "take a bore of ", "cylinders.bore");
    let rated = ("regulator.rated-flow", "400 L/min");
    for breakaway in ["5.2", "5.7", "5.93"] {
        let base = [("cylinders.breakaway", breakaway), ("cylinders.friction", "8 %"), rated];
        cures(&base, "breaks loose", "raise `regulator.set` to ", "regulator.set");
        cures(&base, "breaks loose", "take a bore of ", "cylinders.bore");
    }
    // The set point with its own tolerance.
    let base = [
        ("cylinders.breakaway", "5.5"),
        ("cylinders.friction", "8 %"),
        ("regulator.set", "5.4 bar +- 0.1 bar"),
        rated,
    ];
    let before = answers(&base);
    let to = figure(&before, "breaks loose", "raise `regulator.set` to ", UnitSystem::Metric).unwrap();
    let cured = answers(&[base[0], base[1], rated, ("regulator.set", &format!("{to} +- 0.1 bar"))]);
    assert_ne!(cured.check("breaks loose").unwrap().verdict, Verdict::Fail, "{to}");
    assert_ne!(cured.check("set point in window").unwrap().verdict, Verdict::Fail, "{to}");
}

#[test]
fn strokes_wanted() {
    for wanted in ["5", "7", "12", "31"] {
        let base = [("cycle.strokes-wanted", wanted)];
        cures(&base, "strokes wanted", "a tank of ", "tank.volume");
    }
}

#[test]
fn pressures_in_order() {
    for set in ["7.3 bar", "7.11 bar +- 0.13 bar"] {
        let base = [("regulator.set", set), ("compressor.cut-in", "7.5 bar +- 0.2 bar")];
        let before = answers(&base);
        // The cure is the middle to write; the tolerance of the field comes with it.
        let to = figure(&before, "cut-in above set point", "lower `regulator.set` to ", UnitSystem::Metric)
            .unwrap();
        let tolerance = set.find("+-").map_or("", |at| &set[at..]);
        let cured = format!("{to} {tolerance}");
        let after = answers(&[("regulator.set", cured.as_str()), base[1]]);
        assert_ne!(after.check("cut-in above set point").unwrap().verdict, Verdict::Fail, "{cured}");
    }
    let base = [("tank.relief", "10.2 bar"), ("compressor.cut-out", "9.5 bar")];
    cures(&base, "relief above cut-out", "lower `compressor.cut-out` to ", "compressor.cut-out");
    cures(&base, "relief above cut-out", "or set the valve to ", "tank.relief");
    cures(&[("tank.relief", "12.3 bar")], "relief within rating", "a relief valve set at ", "tank.relief");
    cures(
        &[("regulator.set", "9.8 bar")],
        "cylinders at set point",
        "lower `regulator.set` to ",
        "regulator.set",
    );
    let stuck = [("line.relief", "10.3 bar"), ("compressor.cut-out", "10.9 bar"), ("tank.relief", "12 bar")];
    cures(&stuck, "cylinders, regulator stuck open", "(`line.relief`) set at ", "line.relief");
}
