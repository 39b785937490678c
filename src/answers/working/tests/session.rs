//! The moments of a session, done again by hand. Expected values are analytic: the expressions of the formulas.

use std::collections::{BTreeMap, BTreeSet};
use std::f64::consts::PI;

use crate::answers::rehearsal::{Extent, plan, rehearse};
use crate::answers::{Step, evaluate, session_working};
use crate::rig::{Document, Overrides, Rig, Source};

/// Gas constant as the formulas print it; good to 1e-7.
const R: f64 = 287.0491;

/// A rig file, with what a session needs where it does not say it.
fn whole(text: &str) -> Rig {
    let mut text = text.to_owned();
    for (key, heading, line) in [
        ("raise ", "[line]\n", "raise = { C = \"1.5 L/(s bar)\", b = 0.3 }\n"),
        ("lower ", "[line]\n", "lower = { bore = \"2 mm\" }\n"),
        ("rated-flow ", "[regulator]\n", "rated-flow = \"500 L/min\"\n"),
        ("per-hour ", "[cycle]\n", "per-hour = 10\n"),
    ] {
        if !text.lines().any(|line| line.starts_with(key)) {
            assert!(text.contains(heading), "{heading}");
            text = text.replace(heading, &format!("{heading}{line}"));
        }
    }
    Document::read(Some(&Source::new("rig.toml", &text)), &Overrides::none()).rig().unwrap()
}

fn steps(rig: &Rig) -> Vec<Step> {
    let plan = plan(rig, Extent::Lifts(1)).unwrap();
    let worked = rehearse(rig, &plan, None, &mut |_, _| {}).unwrap();
    session_working(rig, &evaluate(rig).unwrap(), &plan, &worked).unwrap()
}

fn rigs() -> Vec<Rig> {
    let crate_lift = include_str!("../../../../examples/crate-lift.toml");
    let dough_tipper = include_str!("../../../../examples/dough-tipper.toml");
    let given = [
        ("volume = \"12 L\"", "volume = \"12 L\"\nheat-exchange = \"3 W/K\""),
        (
            "clearance = \"20 mL\"",
            "clearance = \"20 mL\"\nheat-transfer = \"60 W/(m2 K)\"\nreturn-spring = \"90 N\"",
        ),
        ("max-run = \"10 min\"", "max-run = \"10 min\"\noutlet = \"60 degC\""),
        ("cut-in = \"7.5 bar\"", "cut-in = \"9.4 bar\""),
        ("relief = \"7 bar\"", "relief = \"2.9 bar\""),
    ];
    let changed = given.iter().fold(crate_lift.to_owned(), |text, (from, to)| {
        assert!(text.contains(from), "{from}");
        text.replace(from, to)
    });
    vec![
        whole(crate_lift),
        whole(&changed),
        // Its tank falls below the set point.
        whole(
            &crate_lift
                .replace("set = \"5.5 bar\"", "set = \"9.49 bar\"")
                .replace("droop = \"0.4 bar\"", "droop = \"0 bar\""),
        ),
        whole(dough_tipper),
        // More back-pressure is stated than the exhaust of the rod side builds up.
        whole(&dough_tipper.replace("back-pressure = \"0.4 bar\"", "back-pressure = \"2.5 bar\"")),
        whole(include_str!("../../../../examples/scissor-table.toml")),
        whole(include_str!("../../../../examples/folding-leg-riser.toml")),
        whole(include_str!("../../../../examples/lever-tipper.toml")),
    ]
}

/// What a reader gets, and how near the figure shown must be.
fn by_hand(step: &Step) -> (f64, f64) {
    let inputs: BTreeMap<&str, f64> = step.inputs.iter().map(|input| (input.symbol, input.value)).collect();
    let v = |symbol: &str| inputs[symbol];
    let or = |symbol: &str, default: f64| inputs.get(symbol).copied().unwrap_or(default);
    match step.formula.topic {
        "heat-exchange" if inputs.contains_key("U") => (v("U") * 6.0 * v("V").powf(2.0 / 3.0), 1e-12),
        "heat-exchange" => {
            let wall = || v("N") * (PI / 2.0 * v("D").powi(2) + PI * v("D") * (v("x_0") + v("x")));
            let k = inputs.get("k").copied().unwrap_or_else(|| v("h") * wall());
            (k * (v("T_site") - v("T")), 1e-9)
        }
        "regulator-droop" => ((v("p_set") - v("droop") * v("q") / v("q_rated")).min(v("p_tank")), 1e-12),
        "valve-flow" => {
            let ratio = v("p2") / v("p1");
            let part = ((ratio - v("b")) / (1.0 - v("b"))).max(0.0);
            let share = (1.0 - part * part).sqrt();
            // The seat of the regulator closes softly: less than a millionth off at these drops.
            (v("C") * 1.185 * v("p1") * (293.15 / v("T")).sqrt() * share, 1e-6)
        }
        "tank-energy" if inputs.contains_key("m") => (v("m") * R * v("T") * v("Z") / v("V"), 1e-6),
        "tank-energy" => {
            let comes = v("q_in") * (v("c") + v("Z_in")) * R * v("T_in");
            let goes = v("q_out") * (v("c") + v("Z")) * R * v("T");
            let work = or("p", 0.0) * or("A", 0.0) * or("v", 0.0);
            (comes - goes + v("Q") - work, 1e-6)
        }
        "load-movement" => {
            // Solved for p_1; the speed says which way it goes.
            let load = v("W") * v("r") + v("F_arms");
            let (area, ring) = (v("A_1") * v("N"), or("A_2", 0.0) * v("N") * or("p_2", 0.0));
            let pressure = if v("v") > 0.0 {
                (load / v("eta") + v("springs") + ring) / (area * (1.0 - v("mu")))
            } else {
                (load * v("eta") + v("springs") + ring * (1.0 - v("mu"))) / (area * (1.0 + v("mu")))
            };
            (pressure, 1e-5)
        }
        other => panic!("{other} is not done again"),
    }
}

#[test]
fn every_step_of_a_session_can_be_done_again() {
    let mut topics = BTreeMap::new();
    for (number, rig) in rigs().iter().enumerate() {
        let steps = steps(rig);
        let names: BTreeSet<_> = steps.iter().map(|step| step.figure.clone()).collect();
        assert_eq!(names.len(), steps.len());
        for step in steps {
            let (value, share) = by_hand(&step);
            let shown = step.result.unwrap().0;
            assert!(
                (value - shown).abs() <= share * value.abs(),
                "rig {number}, {}: {value} by hand, {shown} shown, {:?}",
                step.figure,
                step.inputs
            );
            for input in &step.inputs {
                let known = step.formula.symbols.iter().any(|&(symbol, _)| symbol == input.symbol);
                assert!(known && input.value.is_finite(), "{}: `{}`", step.figure, input.symbol);
            }
            *topics.entry(step.formula.topic).or_insert(0) += 1;
        }
    }
    // Each rig goes up and comes down.
    for (topic, fewest) in [
        ("regulator-droop", 8),
        ("valve-flow", 13),
        ("tank-energy", 35),
        ("heat-exchange", 27),
        ("load-movement", 14),
    ] {
        assert!(topics[topic] >= fewest, "{topic}: {topics:?}");
    }
}

#[test]
fn a_lift_that_does_not_move_has_no_moment() {
    let crate_lift = include_str!("../../../../examples/crate-lift.toml");
    let rig = whole(&crate_lift.replace("mass = \"70 kg\"", "mass = \"900 kg\""));
    let steps = steps(&rig);
    // Only the estimate for the tank is left.
    assert_eq!(steps.len(), 1);
    assert_eq!(steps[0].formula.topic, "heat-exchange");
}
