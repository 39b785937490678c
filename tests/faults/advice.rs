//! What the advice must never say.

use lungful::answers::{LowerAnswer, Verdict, weakest};
use lungful::report::{Report, terminal, words};
use lungful::units::UnitSystem;

use super::{BARE, edited, fault, judged, text};

#[test]
fn no_advice_raises_the_relief_valve_above_the_rating() {
    for (cut_out, relief) in [("8 bar", "8.2 bar"), ("9.5 bar", "9.6 bar"), ("9.9 bar", "10 bar")] {
        let said = text(&edited(
            BARE,
            &[
                ("cut-out = \"8 bar\"", &format!("cut-out = \"{cut_out}\"")),
                ("relief = \"9 bar\"", &format!("relief = \"{relief}\"")),
            ],
        ));
        for after in said.split("raise `tank.relief` to ").skip(1) {
            let bar: f64 = after.split(' ').next().unwrap().parse().unwrap();
            assert!(bar <= 10.0, "cut-out {cut_out}, relief {relief}: {bar} bar above the rating of 10 bar");
        }
    }
}

#[test]
fn the_order_stacks_tolerance_and_gauge() {
    let stacked = edited(
        BARE,
        &[
            ("cut-out = \"8 bar\"", "cut-out = \"8 bar +- 0.2 bar\""),
            ("relief = \"9 bar\"", "relief = \"9 bar +- 3 %\"\ngauge-error = \"0.1 bar\""),
        ],
    );
    let (_, _, found) = judged(&stacked);
    let rung = |name: &str| found.order.rungs.iter().find(|rung| rung.name == name).unwrap().clone();
    assert!((rung("cut-out").high_pa - 8.3e5).abs() < 1e-6);
    assert!((rung("cut-in").low_pa - 6.9e5).abs() < 1e-6);
    // A relief valve is stamped, not set by the gauge.
    assert!((rung("relief opens").low_pa - 8.73e5).abs() < 1e-6);
    assert!((rung("relief, full lift").high_pa - 1.1 * 9.27e5).abs() < 1e-6);
    let gap = found.order.gaps.iter().find(|gap| gap.lower == "cut-out and 10 %").unwrap();
    // 8.73 - 1.1 * 8.3 = -0.4 bar
    assert!((gap.room_pa + 0.4e5).abs() < 1.0, "{}", gap.room_pa);
    assert_eq!(gap.verdict, Verdict::Fail);
}

#[test]
fn the_pressures_stand_from_high_to_low() {
    let rungs = judged(BARE).2.order.rungs;
    assert!(rungs.windows(2).all(|pair| pair[0].middle_pa >= pair[1].middle_pa));
    for name in [
        "load",
        "needed to move it",
        "set point",
        "window, lower end",
        "window, upper end",
        "cut-in",
        "cut-out",
        "relief opens",
        "relief, full lift",
        "receiver rating",
        "cylinder rating",
        "line rating",
    ] {
        assert!(rungs.iter().any(|rung| rung.name == name), "{name}");
    }
}

#[test]
fn every_fault_is_looked_at() {
    let ids: Vec<String> = judged(BARE).2.faults.iter().map(|fault| fault.check.id.to_string()).collect();
    for id in [
        "regulator stuck open",
        "regulator stuck closed",
        "pressure switch stuck closed",
        "relief valve stuck shut",
        "check valve leaks back",
        "raise valve stuck open",
        "raise valve stuck shut",
        "lower valve stuck open",
        "lower valve stuck shut",
        "electric power lost",
        "hose off at the valve",
        "hose off at the cylinders",
        "torn hose whips",
        "one cylinder lost",
        "load lost while raised",
        "load 25 % above plan",
        "tank gone cold",
        "air left after all off",
    ] {
        assert!(ids.iter().any(|found| found == id), "{id}");
    }
    assert_eq!(ids.len(), 18);
}

#[test]
fn one_speed_and_one_rounding_all_over() {
    for file in [
        include_str!("../../examples/kiln-shelf-lift.toml"),
        include_str!("../../examples/crate-lift.toml"),
        include_str!("../../examples/lever-tipper.toml"),
        include_str!("../../examples/folding-leg-riser.toml"),
    ] {
        let (_, answers, found) = judged(file);
        let Some(LowerAnswer::Arrives { fastest, .. }) = answers.times.lower else { continue };
        let stuck = fault(&found, "lower valve stuck open").check;
        assert_eq!(stuck.value, Some(fastest.value));
    }
    // 1176.8 N over 3926.99 mm2 is 2.996686 bar; over 0.9 it is 3.32965 bar, over 0.7 and with droop 4.58098 bar.
    let said = text(BARE);
    assert!(said.contains("window, lower end 4.59 bar 4.59 bar 4.59 bar"), "{said}");
    let (rig, answers, _) = judged(BARE);
    let report = Report::new(&rig, &answers, UnitSystem::Metric);
    assert!(terminal::text(&report, 150).contains("window 4.59 bar to"));
}

#[test]
fn no_rig_is_called_safe() {
    let others = [
        edited(BARE, &[("action = \"single\"", "action = \"double\"")]),
        edited(BARE, &[("raise = { C = \"1 L/(s bar)\", b = 0.3 }\nlower = { bore = \"4 mm\" }\n", "")]),
        edited(BARE, &[("mass = \"100 kg\"", "mass = \"900 kg\"")]),
    ];
    for rig in super::working::rigs().into_iter().chain(super::protection::rigs()).chain(others) {
        let said = text(&rig).to_lowercase();
        for words in ["is safe", "are safe", "safe to", "safely", "harmless", "no danger", "approved"] {
            assert!(!said.contains(words), "`{words}` in {said}");
        }
        // The cautions are always there, and every fault says what to do.
        assert!(said.contains("never be under"), "{said}");
        for fault in judged(&rig).2.faults {
            assert!(!fault.happens.0.is_empty(), "{}", fault.check.id);
            assert!(!fault.check.advice.0.is_empty(), "{}", fault.check.id);
        }
    }
}

#[test]
fn the_weakest_check_of_a_low_cut_in_says_what_to_change() {
    let trap = edited(
        include_str!("../../examples/kiln-shelf-lift.toml"),
        &[("cut-in = \"7 bar +- 0.2 bar\"", "cut-in = \"4.5 bar +- 0.2 bar\"")],
    );
    let (_, answers, _) = judged(&trap);
    let first = weakest(&answers.checks).unwrap();
    let said = words(&first.advice, UnitSystem::Metric);
    // (5 bar + 0.5 bar) / 0.95 + 0.2 bar = 5.99 bar
    assert!(said.contains("raise `compressor.cut-in` to 5.99 bar"), "{}: {said}", first.id);
    let cured = judged(&edited(&trap, &[("4.5 bar +-", "5.99 bar +-")])).1;
    for id in ["set point in window", "cut-in above set point"] {
        assert_eq!(cured.check(id).unwrap().verdict, Verdict::Pass, "{id}");
    }
}

/// Nobody makes hoses and cylinders for the pressure of a bottle: to name it as a rating to buy is no advice.
#[test]
fn no_parts_are_asked_for_that_bear_a_bottle() {
    let of = |text: &str| {
        words(&fault(&judged(text).2, "line relief stuck shut").check.advice, UnitSystem::Metric)
    };
    let said = of(include_str!("../../examples/dough-tipper.toml"));
    assert!(said.contains("between the 200 bar of the bottle and the parts after it"), "{said}");
    assert!(said.contains("once a month") && !said.contains("parts rated"), "{said}");
    // A full tank of 8 bar is another matter.
    let relief = ("rating = \"7.9 bar\"\nraise", "rating = \"7.9 bar\"\nrelief = \"6.5 bar\"\nraise");
    assert!(of(&edited(BARE, &[relief])).contains("parts rated 8 bar"));
}
