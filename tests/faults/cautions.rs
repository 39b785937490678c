//! Cautions chosen from the rig.

use lungful::answers::{Verdict, cautions};
use lungful::report::words;
use lungful::units::UnitSystem;

use super::{BARE, edited, rig};

fn said(text: &str) -> String {
    {
        let rig = rig(text);
        cautions(&rig, &lungful::answers::evaluate(&rig).unwrap())
    }
    .iter()
    .map(|caution| words(caution, UnitSystem::Metric))
    .collect::<Vec<_>>()
    .join("\n")
}

#[test]
fn a_load_held_by_air_alone_is_named() {
    assert!(said(BARE).contains("This rig holds its load by air alone"));
    let locked = said(&format!("{BARE}[protection]\nlock = \"in the port\"\n"));
    assert!(!locked.contains("This rig holds its load by air alone"));
    assert!(locked.contains("air alone still holds the load"));
    let latched = said(&format!("{BARE}[protection]\nsupport = \"latch\"\n"));
    assert!(
        !latched.contains("alone still holds") && !latched.contains("This rig holds its load by air alone")
    );
    // What is true of every rig stays.
    assert!(latched.contains("a load that only air holds"));
}

#[test]
fn a_receiver_above_the_threshold_is_named_with_its_rule() {
    // 10 bar times 10 L is 100 bar L; 4.9 L stay below 50 bar L.
    assert!(said(BARE).contains("Rating times volume of the receiver is 100 bar L, above the 50 bar L at which Directive 2014/29/EU (Annex III, 1.1)"));
    assert!(!said(&edited(BARE, &[("\"10 L\"", "\"4.9 L\"")])).contains("bar L"));
}

#[test]
fn a_bottle_beyond_the_directive_on_simple_vessels_is_sent_to_the_other() {
    let high = said(&edited(BARE, &[("rating = \"10 bar\"\nrelief", "rating = \"200 bar\"\nrelief")]));
    assert!(high.contains("beyond the 30 bar") && high.contains("2014/68/EU"));
    assert!(!high.contains("above the 50 bar L"));
}

#[test]
fn a_plastic_receiver_is_named() {
    let of = |material: &str| {
        said(&edited(
            BARE,
            &[("volume = \"10 L\"", &format!("volume = \"10 L\"\nmaterial = \"{material}\""))],
        ))
    };
    assert!(of("plastic").contains("The receiver is of plastic"));
    // The directive on simple vessels covers steel and aluminium: Article 2.
    assert!(of("steel").contains("2014/29/EU") && !of("plastic").contains("2014/29/EU"));
    assert!(of("plastic").starts_with("The receiver is of plastic"));
    // 10 bar times 10 L; the clause of the general directive is from memory.
    for material in ["plastic", "composite"] {
        assert!(
            of(material)
                .contains("100 bar L, above the 50 bar L at which Directive 2014/68/EU (Article 4(1)(a)(i)")
        );
    }
    let rules = |material: &str| {
        let text =
            edited(BARE, &[("volume = \"10 L\"", &format!("volume = \"10 L\"\nmaterial = \"{material}\""))]);
        super::judged(&text).2.rules.iter().filter(|rule| rule.document.contains("2014/29/EU")).count()
    };
    assert_eq!((rules("steel"), rules("aluminium"), rules("plastic"), rules("composite")), (4, 4, 0, 0));
    assert!(!of("steel").contains("plastic"));
}

#[test]
fn people_near_are_named() {
    let with = |people: &str| said(&format!("{BARE}[site]\npeople = \"{people}\"\n"));
    assert!(with("public").contains("Anybody may come near this rig"));
    assert!(with("workers").contains("People are near this rig"));
    assert!(!with("none").contains("near this rig"));
}

#[test]
fn a_vessel_that_is_not_simple_keeps_the_threshold_of_the_general_directive() {
    let row = |text: &str| {
        let rules = super::judged(text).2.rules;
        rules
            .into_iter()
            .find(|rule| rule.clause.starts_with("Article 4(1)"))
            .map(|rule| (rule.threshold, rule.above))
    };
    let of = |material: &str| {
        edited(BARE, &[("volume = \"10 L\"", &format!("volume = \"10 L\"\nmaterial = \"{material}\""))])
    };
    assert_eq!(row(&of("plastic")), Some((Some(50.0), true)));
    assert_eq!(row(&of("composite")), Some((Some(50.0), true)));
    assert_eq!(row(&of("steel")), None);
    assert_eq!(row(BARE), None);
    let high = edited(BARE, &[("rating = \"10 bar\"\nrelief", "rating = \"200 bar\"\nrelief")]);
    assert_eq!(row(&high), Some((Some(50.0), true)));
    // 4.9 L at 10 bar are 49 bar L; 1 L at 200 bar is not more than 1 L.
    assert_eq!(row(&edited(&of("plastic"), &[("10 L", "4.9 L")])), Some((Some(50.0), false)));
    assert_eq!(row(&edited(&high, &[("10 L", "1 L")])), Some((Some(50.0), false)));
}

#[test]
fn a_plastic_receiver_never_passes_the_cold() {
    let of = |material: &str| {
        let text = edited(BARE, &[("volume = \"10 L\"", &format!("volume = \"10 L\"\n{material}"))]);
        super::fault(&super::judged(&text).2, "tank gone cold").check
    };
    assert_eq!((of("").verdict, of("material = \"steel\"").verdict), (Verdict::Pass, Verdict::Pass));
    let plastic = of("material = \"plastic\"");
    assert_eq!(plastic.verdict, Verdict::Caution);
    assert!(words(&plastic.advice, UnitSystem::Metric).contains("brittle"));
}
