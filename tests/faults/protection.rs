//! Each protection changes the verdict of the faults that it should, and of no other.

use std::collections::BTreeSet;

use lungful::answers::{Hazards, Verdict};
use lungful::report::{Report, words};
use lungful::units::UnitSystem;

use super::{BARE, edited, fault, judged, text};

const KILN: &str = include_str!("../../examples/kiln-shelf-lift.toml");

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
        ],
    },
    Row {
        // Not judged without the second field, a caution with it.
        edits: &[],
        protection: "lock = \"in the port\"\nlock-unpowered = \"shut\"",
        fields: &["protection.lock"],
        changes: &[
            "electric power lost",
            "lower valve stuck open",
            "hose off at the cylinders",
            "hose off at the valve",
        ],
    },
    Row {
        // A lock that opens with the power keeps the load up as long as there is power.
        edits: &[],
        protection: "lock = \"in the port\"\nlock-unpowered = \"open\"",
        fields: &["protection.lock"],
        changes: &["lower valve stuck open", "hose off at the cylinders", "hose off at the valve"],
    },
    Row {
        edits: &[],
        protection: "lock = \"in the line\"",
        fields: &["protection.lock"],
        changes: &["electric power lost", "lower valve stuck open", "hose off at the valve"],
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
        // The platform is up before anybody reaches it.
        edits: &[],
        protection: "shut-off = \"fitted\"",
        fields: &["protection.shut-off"],
        changes: &[],
    },
    Row {
        // The air stays until a person lets it out.
        edits: &[],
        protection: "dump = \"both\"",
        fields: &["protection.dump"],
        changes: &[],
    },
    Row { edits: &[], protection: "dump = \"tank\"", fields: &["protection.dump"], changes: &[] },
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
        // A throttle bounds the speed with the latch out as well, but nothing stops the fall; a lock does.
        for (bound, verdict) in [
            ("port-throttle = { bore = \"1 mm\" }", Verdict::Caution),
            ("lock = \"in the port\"", Verdict::Pass),
        ] {
            let found = with(&format!("support = \"latch\"\n{bound}"));
            assert_eq!(fault(&found, id).check.verdict, verdict, "{id} {bound}");
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
    // At 1 L/(s bar) the platform is up before anybody reaches the valve; at a tenth of that it is slow.
    for (conductance, verdict) in [("1", Verdict::Fail), ("0.1", Verdict::Caution)] {
        let opens =
            edited(&opens, &[("raise = { C = \"1 L/", &format!("raise = {{ C = \"{conductance} L/"))]);
        assert_eq!(fault(&judged(&opens).2, "electric power lost").check.verdict, Verdict::Fail);
        let shut_off = format!("{opens}[protection]\nshut-off = \"fitted\"\n");
        assert_eq!(fault(&judged(&shut_off).2, "electric power lost").check.verdict, verdict);
    }
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
        ("raise-unpowered = \"shut\"\n", "1", Verdict::Caution),
        ("raise-unpowered = \"open\"\n", "0.1", Verdict::Fail),
        ("raise-unpowered = \"stays\"\n", "0.1", Verdict::Caution),
        ("raise-unpowered = \"open\"\n", "1", Verdict::Fail),
        ("raise-unpowered = \"stays\"\n", "1", Verdict::Fail),
        ("", "1", Verdict::NotJudged),
    ] {
        let valve = format!("raise = {{ C = \"{conductance} L/");
        let text = edited(BARE, &[("raise-unpowered = \"shut\"\n", raise), ("raise = { C = \"1 L/", &valve)]);
        let locked = format!("{text}[protection]\nlock = \"in the port\"\nlock-unpowered = \"shut\"\n");
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

/// The built-in example with both valves opened by springs.
fn kiln_with_both_open() -> String {
    edited(KILN, &[("raise-unpowered = \"shut\"", "raise-unpowered = \"open\"")])
}

/// hand calculation: what comes through the raise valve, `C p_1 sqrt(1 - ((r - b)/(1 - b))^2)` with `r = p/p_1`, goes
/// out choked through the hole, `C_out p`, so `k = C_out/C` gives `1 - ((r - b)/(1 - b))^2 = k^2 r^2`. The sharp hole of
/// 1.5 mm has `C_out = 0.65 A sqrt(R T_0) 1.2^-3 sqrt(1.4) / (R T_0 rho_0)`, 0.229 L/(s bar) at 293.15 K.
#[test]
fn analytic_the_line_stands_where_both_flows_are_the_same() {
    let (raise, b) = (1.5e-8, 0.3);
    let hole = std::f64::consts::FRAC_PI_4 * 1.5e-3 * 1.5e-3;
    let (gas, rho) = (287.05 * 293.15_f64, 1e5 / (287.05 * 293.15));
    let lower = 0.65 * hole * (1.4 / gas).sqrt() / 1.2_f64.powi(3) / rho;
    assert!((lower - 0.229e-8).abs() < 0.002e-8, "{lower}");
    let (k, d) = (lower / raise, 1.0 - b);
    // (1/d^2 + k^2) r^2 - 2 b/d^2 r + b^2/d^2 - 1 = 0
    let (two, one, none) = (1.0 / (d * d) + k * k, b / (d * d), b * b / (d * d) - 1.0);
    let ratio = (one + (one * one - two * none).sqrt()) / two;
    // The site at 300 m: 97.77 kPa.
    let line = ratio * 5.9777 - 0.9777;
    assert!((line - 4.95).abs() < 0.005, "{line}");
    let lost = fault(&judged(&kiln_with_both_open()).2, "electric power lost");
    let happens = words(&lost.happens, UnitSystem::Metric);
    assert!(happens.contains(&format!("stands at up to {line:.2} bar")), "{happens}");
    // 110 kg on 2 cylinders of 50 mm: 1078.7 N / 3927 mm2 / 0.9 = 3.05 bar
    assert!(happens.contains("where 3.05 bar moves the load: it rises by itself"), "{happens}");
    assert_eq!(lost.check.verdict, Verdict::Fail);
    // A hole of 8 mm empties it faster than a tenth of the raise valve fills it.
    let drains = edited(
        &kiln_with_both_open(),
        &[("C = \"1.5 L", "C = \"0.15 L"), ("lower = { bore = \"1.5 mm\" }", "lower = { bore = \"8 mm\" }")],
    );
    let lost = fault(&judged(&drains).2, "electric power lost");
    let happens = words(&lost.happens, UnitSystem::Metric);
    assert!(happens.contains("it comes down by itself, and an empty platform may rise"), "{happens}");
}

#[test]
fn both_valves_open_are_never_milder_than_the_raise_valve_open() {
    let rank = |verdict| {
        [Verdict::Pass, Verdict::NotJudged, Verdict::Caution, Verdict::Fail]
            .iter()
            .position(|one| *one == verdict)
    };
    for conductance in ["1.5", "0.1", "0.01"] {
        let both = edited(&kiln_with_both_open(), &[("C = \"1.5 L", &format!("C = \"{conductance} L"))]);
        let alone = edited(&both, &[("lower-unpowered = \"open\"", "lower-unpowered = \"shut\"")]);
        for protection in [
            "",
            "support = \"latch\"",
            "support = \"pin\"",
            "lock = \"in the port\"",
            "lock = \"in the port\"\nlock-unpowered = \"shut\"",
            "shut-off = \"fitted\"",
            "shut-off = \"fitted\"\nsupport = \"latch\"",
            "port-throttle = { bore = \"0.3 mm\" }\nshut-off = \"fitted\"",
        ] {
            let of = |text: &str| {
                fault(&judged(&format!("{text}[protection]\n{protection}\n")).2, "electric power lost").check
            };
            let (both, alone) = (of(&both), of(&alone));
            assert!(
                rank(both.verdict) >= rank(alone.verdict),
                "{conductance} {protection}: {both:?} {alone:?}"
            );
            let advice = words(&both.advice, UnitSystem::Metric);
            let place = |field: &str| advice.find(field).unwrap();
            assert!(place("line.raise-unpowered") < place("line.lower-unpowered"), "{advice}");
        }
    }
}

#[test]
fn the_state_without_power_is_that_of_the_fault() {
    for text in rigs().chain([kiln_with_both_open()]) {
        let found = judged(&text).2;
        let state = found.states.iter().find(|state| state.phase == "power off").unwrap();
        assert_eq!(state.load, fault(&found, "electric power lost").happens);
    }
}

#[test]
fn a_lock_counts_without_power_only_as_the_file_says() {
    for (lock, support, verdict) in [
        ("", "none", Verdict::NotJudged),
        ("lock-unpowered = \"shut\"", "none", Verdict::Caution),
        ("lock-unpowered = \"open\"", "none", Verdict::Fail),
        ("lock-unpowered = \"stays\"", "none", Verdict::Fail),
        // What a latch holds is at worst what it does not hold on the way down.
        ("", "latch", Verdict::Caution),
        ("lock-unpowered = \"shut\"", "latch", Verdict::Pass),
        ("lock-unpowered = \"open\"", "latch", Verdict::Caution),
    ] {
        let text = format!("{BARE}[protection]\nlock = \"in the port\"\nsupport = \"{support}\"\n{lock}\n");
        let found = judged(&text).2;
        assert_eq!(fault(&found, "electric power lost").check.verdict, verdict, "{lock} {support}");
        let state = found.states.iter().find(|state| state.phase == "power off").unwrap();
        let word = lock.split('"').nth(1).unwrap_or("not stated");
        assert_eq!(state.lock, word);
    }
}

#[test]
fn what_rests_on_air_alone_is_no_pass() {
    let lock = format!("{BARE}[protection]\nlock = \"in the port\"\nlock-unpowered = \"shut\"\n");
    let shut = edited(&lock, &[("lower-unpowered = \"open\"", "lower-unpowered = \"shut\"")]);
    for text in [&lock, &shut] {
        let found = judged(text).2;
        for id in [
            "electric power lost",
            "lower valve stuck open",
            "regulator stuck closed",
            "raise valve stuck shut",
            HOSES[0],
            HOSES[1],
        ] {
            assert_eq!(fault(&found, id).check.verdict, Verdict::Caution, "{id}");
        }
    }
}

#[test]
fn the_air_of_a_tank_that_a_person_empties_is_a_caution() {
    for (lower, advice) in [("open", "empty the tank by hand"), ("shut", "empty both by hand")] {
        let text = edited(BARE, &[("lower-unpowered = \"open\"", &format!("lower-unpowered = \"{lower}\""))]);
        let left =
            fault(&judged(&format!("{text}[protection]\ndump = \"both\"\n")).2, "air left after all off");
        assert_eq!(left.check.verdict, Verdict::Caution);
        let said = words(&left.check.advice, UnitSystem::Metric);
        assert!(said.starts_with(advice), "{said}");
    }
}

#[test]
fn a_latch_is_named_in_every_state_that_it_holds() {
    let shut = edited(BARE, &[("lower-unpowered = \"open\"", "lower-unpowered = \"shut\"")]);
    for (support, holds) in [("latch", "the latch holds it"), ("pin", "the pin holds it once it is set")] {
        let found = judged(&format!("{shut}[protection]\nsupport = \"{support}\"\n")).2;
        let state = found.states.iter().find(|state| state.phase == "power off").unwrap();
        let said = words(&state.load, UnitSystem::Metric);
        assert!(said.ends_with(holds), "{said}");
    }
}

#[test]
fn until_its_pin_is_set_air_alone_holds_a_load() {
    let with = |support: &str| text(&format!("{BARE}[protection]\nsupport = \"{support}\"\n"));
    let alone = "this rig holds its load by air alone";
    assert!(with("pin").contains(&format!("Until its pin is set {alone}")));
    assert!(!with("latch").contains(alone));
}

const SPRINGS: &str = "raise-unpowered = \"shut\"\nlower-unpowered = \"open\"\n";

/// A lower valve that stays open lets the load on its way down go on, as fast as the way out of the air allows.
#[test]
fn a_throttle_bears_on_a_loss_of_power() {
    let id = "electric power lost";
    let stays = edited(BARE, &[(SPRINGS, "raise-unpowered = \"shut\"\nlower-unpowered = \"stays\"\n")]);
    assert_eq!(fault(&judged(&stays).2, id).check.verdict, Verdict::Fail);
    let throttled = judged(&format!("{stays}[protection]\nport-throttle = {{ bore = \"1 mm\" }}\n")).2;
    assert_eq!(fault(&throttled, id).check.verdict, Verdict::Caution);
    let [protector] = throttled.protectors.as_slice() else { panic!("{:?}", throttled.protectors) };
    assert!(protector.field == "protection.port-throttle" && protector.faults.contains(&id));
}

/// What is explained is what happens: the load comes down, the platform goes up, or neither.
#[test]
fn a_loss_of_power_is_explained_by_the_way_the_load_goes() {
    let (open, slow) = ("raise = { C = \"1 L/", "raise = { C = \"0.1 L/");
    for (springs, valve, protection, topic) in [
        ("raise-unpowered = \"shut\"\nlower-unpowered = \"open\"\n", open, "", "falling-load"),
        ("raise-unpowered = \"open\"\nlower-unpowered = \"shut\"\n", open, "", "rising-platform"),
        ("raise-unpowered = \"open\"\nlower-unpowered = \"shut\"\n", slow, "", "rising-platform"),
        ("raise-unpowered = \"stays\"\nlower-unpowered = \"shut\"\n", open, "", "rising-platform"),
        ("raise-unpowered = \"shut\"\nlower-unpowered = \"stays\"\n", open, "", "falling-load"),
        // A wide way in and a hole of 4 mm out, 1.9 L/(s bar) by its area: the line stays up.
        (
            "raise-unpowered = \"open\"\nlower-unpowered = \"open\"\n",
            "raise = { C = \"9 L/",
            "",
            "rising-platform",
        ),
        ("raise-unpowered = \"shut\"\nlower-unpowered = \"shut\"\n", open, "", "single-faults"),
        ("", open, "", "single-faults"),
        (SPRINGS, open, "lock = \"in the port\"\nlock-unpowered = \"shut\"\n", "single-faults"),
    ] {
        let text = edited(BARE, &[(SPRINGS, springs), (open, valve)]);
        let (rig, answers, found) = judged(&format!("{text}[protection]\n{protection}"));
        let lost = fault(&found, "electric power lost");
        assert_eq!(lost.formula.topic, topic, "{springs}{valve}{protection}{:?}", lost.happens);
        let report = Report::new(&rig, &answers, UnitSystem::Metric).with_hazards(&found);
        let row = report.faults.iter().find(|row| row.id == "electric power lost");
        assert_eq!(row.map(|row| row.topic), Some(topic));
    }
}
