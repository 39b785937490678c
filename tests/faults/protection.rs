//! Each protection changes the verdict of the faults that it should, and of no other.

use std::collections::BTreeSet;

use lungful::answers::{Hazards, Verdict};
use lungful::report::words;
use lungful::units::UnitSystem;

use super::{BARE, edited, fault, judged};

const HOSES: [&str; 2] = ["hose off at the cylinders", "hose off at the valve"];

/// What a relief valve after the regulator brings with it.
const OWN_FAULT: &str = "line relief stuck shut";

struct Row {
    /// Text that is replaced in the bare rig.
    edits: &'static [(&'static str, &'static str)],
    /// What stands in `[protection]`.
    protection: &'static str,
    /// The fields that the report must name.
    fields: &'static [&'static str],
    /// Faults whose verdict changes.
    changes: &'static [&'static str],
}

const TABLE: &[Row] = &[
    Row { edits: &[], protection: "", fields: &[], changes: &[] },
    Row {
        edits: &[("rating = \"7.9 bar\"\nraise", "rating = \"7.9 bar\"\nrelief = \"6.5 bar\"\nraise")],
        protection: "",
        fields: &["line.relief"],
        changes: &["regulator stuck open"],
    },
    Row {
        // Passes more than the open regulator, but the platform still slams: no more than a caution.
        edits: &[
            ("tolerance = \"5 %\"", "tolerance = \"5 %\"\nwide-open-flow = \"10 g/s\""),
            (
                "rating = \"7.9 bar\"\nraise",
                "rating = \"7.9 bar\"\nrelief = \"6.5 bar\"\nrelief-capacity = \"12 g/s\"\nraise",
            ),
        ],
        protection: "",
        fields: &["line.relief", "line.relief-capacity"],
        changes: &["regulator stuck open"],
    },
    Row {
        edits: &[
            ("rating = \"7.9 bar\"\nraise", "rating = \"9 bar\"\nraise"),
            ("rating = \"7.9 bar\"\nfriction", "rating = \"9 bar\"\nfriction"),
        ],
        protection: "",
        fields: &[],
        changes: &["regulator stuck open"],
    },
    Row {
        edits: &[("lower-unpowered = \"open\"", "lower-unpowered = \"shut\"")],
        protection: "",
        fields: &[],
        changes: &["electric power lost"],
    },
    Row {
        edits: &[],
        protection: "port-throttle = { bore = \"1 mm\" }",
        fields: &["protection.port-throttle"],
        changes: &["lower valve stuck open", "hose off at the cylinders", "hose off at the valve"],
    },
    Row {
        edits: &[],
        protection: "lock = \"in the port\"",
        fields: &["protection.lock"],
        changes: &[
            "electric power lost",
            "lower valve stuck open",
            "hose off at the cylinders",
            "hose off at the valve",
            "regulator stuck closed",
            "raise valve stuck shut",
        ],
    },
    Row {
        edits: &[],
        protection: "lock = \"in the line\"",
        fields: &["protection.lock"],
        changes: &[
            "electric power lost",
            "lower valve stuck open",
            "hose off at the valve",
            "regulator stuck closed",
            "raise valve stuck shut",
        ],
    },
    Row {
        edits: &[],
        protection: "support = \"latch\"",
        fields: &["protection.support"],
        changes: &[
            "electric power lost",
            "lower valve stuck open",
            "hose off at the cylinders",
            "hose off at the valve",
            "one cylinder lost",
            // What rests on shut-in air alone no longer does.
            "regulator stuck closed",
            "raise valve stuck shut",
        ],
    },
    Row {
        edits: &[],
        protection: "support = \"pin\"",
        fields: &["protection.support"],
        changes: &[
            "electric power lost",
            "lower valve stuck open",
            "hose off at the cylinders",
            "hose off at the valve",
            "one cylinder lost",
        ],
    },
    Row {
        edits: &[],
        protection: "hose-restraint = \"fitted\"",
        fields: &["protection.hose-restraint"],
        changes: &["torn hose whips"],
    },
    Row {
        edits: &[],
        protection: "shut-off = \"fitted\"",
        fields: &["protection.shut-off"],
        changes: &["raise valve stuck open"],
    },
    Row {
        edits: &[],
        protection: "dump = \"both\"",
        fields: &["protection.dump"],
        changes: &["air left after all off"],
    },
    Row {
        // The cylinders of this rig empty themselves without power.
        edits: &[],
        protection: "dump = \"tank\"",
        fields: &["protection.dump"],
        changes: &["air left after all off"],
    },
    Row { edits: &[], protection: "dump = \"cylinders\"", fields: &["protection.dump"], changes: &[] },
    Row {
        edits: &[],
        protection: "second-check = \"fitted\"",
        fields: &["protection.second-check"],
        changes: &["check valve leaks back"],
    },
    Row {
        edits: &[],
        protection: "second-switch = \"8.5 bar\"",
        fields: &["protection.second-switch"],
        changes: &["pressure switch stuck closed", "relief valve stuck shut"],
    },
    Row {
        // What is written as not there changes nothing.
        edits: &[],
        protection: "lock = \"none\"\nsupport = \"none\"\ndump = \"none\"\nhose-restraint = \"none\"\nshut-off = \"none\"\nsecond-check = \"none\"",
        fields: &[],
        changes: &[],
    },
];

/// The rigs of the table.
pub(crate) fn rigs() -> impl Iterator<Item = String> {
    TABLE.iter().map(|row| format!("{}[protection]\n{}\n", edited(BARE, row.edits), row.protection))
}

fn verdicts(hazards: &Hazards) -> BTreeSet<(String, &'static str)> {
    hazards.faults.iter().map(|fault| (fault.check.id.to_string(), fault.check.verdict.word())).collect()
}

#[test]
fn each_protection_changes_its_faults_and_no_other() {
    let bare = verdicts(&judged(BARE).2);
    for (row, text) in TABLE.iter().zip(rigs()) {
        let found = judged(&text).2;
        let changed: BTreeSet<String> = verdicts(&found)
            .difference(&bare)
            .map(|(id, _)| id.clone())
            .filter(|id| id != OWN_FAULT)
            .collect();
        let expected: BTreeSet<String> = row.changes.iter().map(|id| (*id).to_owned()).collect();
        assert_eq!(changed, expected, "{:?} {}", row.edits, row.protection);
        let listed: Vec<_> = found.protectors.iter().map(|protector| protector.field).collect();
        assert_eq!(listed, row.fields, "{}", row.protection);
        for protector in &found.protectors {
            for id in &changed {
                assert!(protector.faults.contains(&id.as_str()), "{} says nothing of {id}", protector.field);
            }
        }
    }
}

#[test]
fn a_latch_is_out_on_the_way_down() {
    let with = |protection: &str| judged(&format!("{BARE}[protection]\n{protection}\n")).2;
    for id in HOSES {
        assert_eq!(fault(&with("support = \"pin\""), id).check.verdict, Verdict::Caution, "{id}");
        let latched = fault(&with("support = \"latch\""), id);
        assert_eq!(latched.check.verdict, Verdict::Caution, "{id}");
        assert!(words(&latched.happens, UnitSystem::Metric).contains("on the way down it is out"));
        // What sits in the port bounds the speed with the latch out as well.
        for bound in ["port-throttle = { bore = \"1 mm\" }", "lock = \"in the port\""] {
            let found = with(&format!("support = \"latch\"\n{bound}"));
            assert_eq!(fault(&found, id).check.verdict, Verdict::Pass, "{id} {bound}");
        }
    }
    assert_eq!(fault(&with("support = \"latch\""), "one cylinder lost").check.verdict, Verdict::Caution);
}

#[test]
fn a_relief_valve_after_the_regulator_must_pass_what_it_lets_through() {
    let with = |capacity: &str| {
        let text = edited(
            BARE,
            &[
                ("tolerance = \"5 %\"", "tolerance = \"5 %\"\nwide-open-flow = \"10 g/s\""),
                // Slow enough that only the pressure is left to judge.
                ("raise = { C = \"1 L/", "raise = { C = \"0.1 L/"),
                (
                    "rating = \"7.9 bar\"\nraise",
                    &format!(
                        "rating = \"7.9 bar\"\nrelief = \"6.5 bar\"\nrelief-capacity = \"{capacity}\"\nraise"
                    ),
                ),
            ],
        );
        fault(&judged(&text).2, "regulator stuck open").check
    };
    assert_eq!(with("12 g/s").verdict, Verdict::Pass);
    let outrun = with("8 g/s");
    assert_eq!((outrun.verdict, outrun.value), (Verdict::Fail, Some(8e5)));
}

#[test]
fn a_hand_valve_is_half_a_cure_for_a_raise_valve_that_opens() {
    let opens = edited(
        BARE,
        &[
            ("raise-unpowered = \"shut\"", "raise-unpowered = \"open\""),
            ("lower-unpowered = \"open\"", "lower-unpowered = \"shut\""),
        ],
    );
    assert_eq!(fault(&judged(&opens).2, "electric power lost").check.verdict, Verdict::Fail);
    let shut_off = format!("{opens}[protection]\nshut-off = \"fitted\"\n");
    assert_eq!(fault(&judged(&shut_off).2, "electric power lost").check.verdict, Verdict::Caution);
}

#[test]
fn what_is_not_stated_is_not_judged() {
    let silent = edited(BARE, &[("raise-unpowered = \"shut\"\nlower-unpowered = \"open\"\n", "")]);
    let lost = fault(&judged(&silent).2, "electric power lost").check;
    assert_eq!((lost.verdict, lost.value), (Verdict::NotJudged, None));
}

#[test]
fn a_pin_holds_what_would_sink_as_it_cools() {
    let of = |protection: &str| {
        let text = format!("{BARE}[cycle]\nend-pressure = \"load\"\n[protection]\n{protection}\n");
        fault(&judged(&text).2, "tank gone cold").check.verdict
    };
    assert_eq!(of(""), Verdict::Caution);
    // The air of the cylinders shrinks behind a lock as well.
    assert_eq!(of("lock = \"in the port\""), Verdict::Caution);
    assert_eq!(of("support = \"pin\""), Verdict::Pass);
    assert_eq!(of("support = \"latch\""), Verdict::Pass);
}

#[test]
fn a_lock_does_not_pass_a_raise_valve_that_may_stand_open() {
    // At 1 L/(s bar) the platform goes up past 250 mm/s, at a tenth of that it does not.
    for (raise, conductance, verdict) in [
        ("raise-unpowered = \"shut\"\n", "1", Verdict::Pass),
        ("raise-unpowered = \"open\"\n", "0.1", Verdict::Caution),
        ("raise-unpowered = \"stays\"\n", "0.1", Verdict::Caution),
        ("raise-unpowered = \"open\"\n", "1", Verdict::Fail),
        ("raise-unpowered = \"stays\"\n", "1", Verdict::Fail),
        ("", "1", Verdict::NotJudged),
    ] {
        let valve = format!("raise = {{ C = \"{conductance} L/");
        let text = edited(BARE, &[("raise-unpowered = \"shut\"\n", raise), ("raise = { C = \"1 L/", &valve)]);
        let locked = format!("{text}[protection]\nlock = \"in the port\"\n");
        assert_eq!(fault(&judged(&locked).2, "electric power lost").check.verdict, verdict, "{raise}");
    }
}

#[test]
fn what_cannot_act_is_not_listed() {
    let listed = |text: &str| judged(text).2.protectors;
    let has = |protectors: &[lungful::answers::Protector], field: &str, id: &str| {
        protectors.iter().any(|row| row.field == field && row.faults.contains(&id))
    };
    let with = |protection: &str| listed(&format!("{BARE}[protection]\n{protection}\n"));
    // Set above the relief valve of 9 bar the second switch never acts.
    assert!(with("second-switch = \"9.5 bar\"").is_empty());
    // A lock in the line keeps nothing from the hose behind it.
    let id = "hose off at the cylinders";
    assert!(has(&with("lock = \"in the port\""), "protection.lock", id));
    assert!(!has(&with("lock = \"in the line\""), "protection.lock", id));
    // A pin is not yet set while the load stands on shut-in air.
    let id = "regulator stuck closed";
    assert!(has(&with("support = \"latch\""), "protection.support", id));
    assert!(!has(&with("support = \"pin\""), "protection.support", id));
    // A relief valve after the regulator that opens above the full tank, or that is outrun.
    let relief = |opens: &str| {
        edited(
            BARE,
            &[
                ("tolerance = \"5 %\"", "tolerance = \"5 %\"\nwide-open-flow = \"10 g/s\""),
                ("rating = \"7.9 bar\"\nraise", &format!("rating = \"7.9 bar\"\n{opens}\nraise")),
            ],
        )
    };
    assert!(listed(&relief("relief = \"8.5 bar\"\nrelief-capacity = \"20 g/s\"")).is_empty());
    assert!(listed(&relief("relief = \"6 bar\"\nrelief-capacity = \"5 g/s\"")).is_empty());
    assert_eq!(listed(&relief("relief = \"6 bar\"\nrelief-capacity = \"20 g/s\"")).len(), 2);
}
