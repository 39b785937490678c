//! What is dangerous, or takes a person, or is not known, is no pass.

use lungful::answers::Verdict;
use lungful::report::words;
use lungful::units::UnitSystem;

use super::{BARE, edited, fault, judged};

#[test]
fn a_load_that_rises_by_itself_is_held_to_the_speed_limit() {
    let with = |conductance: &str, protection: &str| {
        let valve = format!("raise = {{ C = \"{conductance} L/(s bar)\"");
        let text = edited(BARE, &[("raise = { C = \"1 L/(s bar)\"", &valve)]);
        fault(&judged(&format!("{text}[protection]\n{protection}\n")).2, "raise valve stuck open").check
    };
    // 4e-8 m3/(s Pa) let in 4e-8 * 571e3 Pa = 23 NL/s, 5 L/s at 435 kPa, over 39.3 cm2: 1.3 m/s less what the hose
    // takes; forty times narrower is slower than 1.3/40 m/s.
    let fast = with("4", "");
    assert!(fast.value.unwrap() > 0.25, "{:?}", fast.value);
    assert_eq!((fast.verdict, fast.limit), (Verdict::Fail, Some(0.25)));
    let slow = with("0.1", "");
    assert!(slow.value.unwrap() < 0.05, "{:?}", slow.value);
    assert_eq!(slow.verdict, Verdict::Caution);
    for conductance in ["4", "0.1"] {
        let by_hand = with(conductance, "shut-off = \"fitted\"");
        assert_eq!(by_hand.verdict, Verdict::Caution, "a person has to shut it off");
    }
}

#[test]
fn a_hand_valve_that_lets_a_load_down_takes_a_person() {
    let by_hand = judged(&format!("{BARE}[protection]\ndump = \"both\"\n")).2;
    assert_eq!(fault(&by_hand, "lower valve stuck shut").check.verdict, Verdict::Caution);
}

const SPRINGS: &str = "raise-unpowered = \"shut\"\nlower-unpowered = \"open\"\n";

#[test]
fn one_valve_that_a_spring_opens_is_enough_to_know() {
    for (springs, verdict, load) in [
        ("raise-unpowered = \"open\"\n", Verdict::Fail, "rises by itself"),
        ("lower-unpowered = \"open\"\n", Verdict::Fail, "comes down by itself"),
        ("raise-unpowered = \"shut\"\n", Verdict::NotJudged, "not known"),
        ("lower-unpowered = \"shut\"\n", Verdict::NotJudged, "not known"),
    ] {
        let found = judged(&edited(BARE, &[(SPRINGS, springs)])).2;
        assert_eq!(fault(&found, "electric power lost").check.verdict, verdict, "{springs}");
        let state = found.states.iter().find(|state| state.phase == "power off").unwrap();
        let said = words(&state.load, UnitSystem::Metric);
        assert!(said.starts_with(load), "{springs}: {said}");
    }
    let opens = edited(BARE, &[(SPRINGS, "raise-unpowered = \"open\"\n")]);
    let by_hand = judged(&format!("{opens}[protection]\nshut-off = \"fitted\"\n")).2;
    assert_eq!(fault(&by_hand, "electric power lost").check.verdict, Verdict::Caution);
}

#[test]
fn air_alone_sinks_when_both_valves_shut() {
    let shut = edited(BARE, &[(SPRINGS, "raise-unpowered = \"shut\"\nlower-unpowered = \"shut\"\n")]);
    for (protection, verdict) in [
        ("", Verdict::Caution),
        ("support = \"pin\"", Verdict::Caution),
        ("support = \"latch\"", Verdict::Pass),
        ("lock = \"in the port\"", Verdict::Pass),
    ] {
        let found = judged(&format!("{shut}[protection]\n{protection}\n")).2;
        assert_eq!(fault(&found, "electric power lost").check.verdict, verdict, "{protection}");
    }
}

#[test]
fn the_fall_of_a_double_acting_cylinder_is_not_judged() {
    let double = edited(BARE, &[("action = \"single\"", "action = \"double\"")]);
    let of = |protection: &str, id: &str| {
        fault(&judged(&format!("{double}[protection]\n{protection}\n")).2, id).check
    };
    for id in ["hose off at the cylinders", "hose off at the valve", "lower valve stuck open"] {
        // A throttle that would bound the fall of a single-acting one does not bound this.
        for protection in ["", "port-throttle = { bore = \"0.3 mm\" }"] {
            let fall = of(protection, id);
            assert_eq!((fall.verdict, fall.value), (Verdict::NotJudged, None), "{id} {protection}");
            assert!(words(&fall.advice, UnitSystem::Metric).contains("rod side is not followed"), "{id}");
        }
        for support in ["latch", "pin"] {
            let held = of(&format!("support = \"{support}\""), id);
            assert_eq!(held.verdict, Verdict::Caution, "{id} {support}");
        }
        assert_eq!(of("lock = \"in the port\"", id).verdict, Verdict::Pass, "{id}");
    }
    assert_eq!(of("", "electric power lost").verdict, Verdict::Fail, "a held load comes down");
    assert_eq!(judged(&double).1.times.torn_hose, None);
}
