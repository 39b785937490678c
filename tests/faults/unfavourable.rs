//! What is dangerous, or takes a person, or is not known, is no pass.

use lungful::answers::Verdict;

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
