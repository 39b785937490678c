//! Each protection changes the verdict of the faults that it should, and of no other.

use std::collections::BTreeSet;

use lungful::answers::{Hazards, Verdict};
use lungful::report::words;
use lungful::units::UnitSystem;

use super::{BARE, edited, fault, judged};

const HOSES: [&str; 2] = ["hose off at the cylinders", "hose off at the valve"];

struct Row {
    /// Text that is replaced in the bare rig.
    edits: &'static [(&'static str, &'static str)],
    /// What stands in `[protection]`.
    protection: &'static str,
    /// The field that the report must name.
    field: Option<&'static str>,
    /// Faults whose verdict changes.
    changes: &'static [&'static str],
}

const TABLE: &[Row] = &[
    Row { edits: &[], protection: "", field: None, changes: &[] },
    Row {
        edits: &[("rating = \"7.9 bar\"\nraise", "rating = \"7.9 bar\"\nrelief = \"6.5 bar\"\nraise")],
        protection: "",
        field: Some("line.relief"),
        changes: &["regulator stuck open"],
    },
    Row {
        edits: &[
            ("rating = \"7.9 bar\"\nraise", "rating = \"9 bar\"\nraise"),
            ("rating = \"7.9 bar\"\nfriction", "rating = \"9 bar\"\nfriction"),
        ],
        protection: "",
        field: None,
        changes: &["regulator stuck open"],
    },
    Row {
        edits: &[("lower-unpowered = \"open\"", "lower-unpowered = \"shut\"")],
        protection: "",
        field: None,
        changes: &["electric power lost"],
    },
    Row {
        edits: &[],
        protection: "port-throttle = { bore = \"1 mm\" }",
        field: Some("protection.port-throttle"),
        changes: &["lower valve stuck open", "hose off at the cylinders", "hose off at the valve"],
    },
    Row {
        edits: &[],
        protection: "lock = \"in the port\"",
        field: Some("protection.lock"),
        changes: &[
            "electric power lost",
            "lower valve stuck open",
            "hose off at the cylinders",
            "hose off at the valve",
        ],
    },
    Row {
        edits: &[],
        protection: "lock = \"in the line\"",
        field: Some("protection.lock"),
        changes: &["electric power lost", "lower valve stuck open", "hose off at the valve"],
    },
    Row {
        edits: &[],
        protection: "support = \"latch\"",
        field: Some("protection.support"),
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
        protection: "support = \"pin\"",
        field: Some("protection.support"),
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
        field: Some("protection.hose-restraint"),
        changes: &["torn hose whips"],
    },
    Row {
        edits: &[],
        protection: "shut-off = \"fitted\"",
        // The load of this rig rises slower than its limit: with a hand valve or without, it takes a person.
        field: Some("protection.shut-off"),
        changes: &[],
    },
    Row {
        edits: &[],
        protection: "dump = \"both\"",
        field: Some("protection.dump"),
        changes: &["air left after all off"],
    },
    Row {
        // The cylinders of this rig empty themselves without power.
        edits: &[],
        protection: "dump = \"tank\"",
        field: Some("protection.dump"),
        changes: &["air left after all off"],
    },
    Row { edits: &[], protection: "dump = \"cylinders\"", field: Some("protection.dump"), changes: &[] },
    Row {
        edits: &[],
        protection: "second-check = \"fitted\"",
        field: Some("protection.second-check"),
        changes: &["check valve leaks back"],
    },
    Row {
        edits: &[],
        protection: "second-switch = \"8.5 bar\"",
        field: Some("protection.second-switch"),
        changes: &["pressure switch stuck closed", "relief valve stuck shut"],
    },
    Row {
        // What is written as not there changes nothing.
        edits: &[],
        protection: "lock = \"none\"\nsupport = \"none\"\ndump = \"none\"\nhose-restraint = \"none\"\nshut-off = \"none\"\nsecond-check = \"none\"",
        field: None,
        changes: &[],
    },
];

fn verdicts(hazards: &Hazards) -> BTreeSet<(String, &'static str)> {
    hazards.faults.iter().map(|fault| (fault.check.id.to_string(), fault.check.verdict.word())).collect()
}

#[test]
fn each_protection_changes_its_faults_and_no_other() {
    let bare = verdicts(&judged(BARE).2);
    for row in TABLE {
        let text = format!("{}[protection]\n{}\n", edited(BARE, row.edits), row.protection);
        let found = judged(&text).2;
        let changed: BTreeSet<String> =
            verdicts(&found).difference(&bare).map(|(id, _)| id.clone()).collect();
        let expected: BTreeSet<String> = row.changes.iter().map(|id| (*id).to_owned()).collect();
        assert_eq!(changed, expected, "{:?} {}", row.edits, row.protection);
        let listed: Vec<_> = found.protectors.iter().map(|protector| protector.field).collect();
        assert_eq!(listed, row.field.into_iter().collect::<Vec<_>>(), "{}", row.protection);
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
