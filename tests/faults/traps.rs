//! Rigs with one deliberate trap each: it is found, named first, and its advice is right.

use lungful::answers::Verdict;

use super::{edited, fault, judged, text};

const GUARDED: &str = include_str!("../../examples/kiln-shelf-lift-guarded.toml");
const FIRST_BUILT: &str = include_str!("../../examples/kiln-shelf-lift.toml");

#[test]
fn a_relief_valve_one_mark_above_the_rating() {
    let trap = edited(GUARDED, &[("relief = \"10.5 bar +- 3 %\"", "relief = \"11.2 bar\"")]);
    let (_, answers, found) = judged(&trap);
    let first = &found.order.gaps[0];
    assert_eq!((first.lower, first.upper, first.verdict), ("relief opens", "receiver rating", Verdict::Fail));
    assert!((first.room_pa + 0.2e5).abs() < 1.0);
    let said = text(&trap);
    assert!(
        said.contains("First pressure order, relief opens below receiver rating: too small by 0.2 bar: lower `tank.relief` to 11 bar"),
        "{said}"
    );
    assert_eq!(lungful::answers::weakest(&answers.checks).unwrap().id, "relief within rating");
    // With its advice taken the gap is gone.
    let cured = edited(&trap, &[("11.2 bar", "11 bar")]);
    assert!(judged(&cured).2.order.gaps.iter().all(|gap| gap.verdict != Verdict::Fail));
}

#[test]
fn a_set_point_whose_tolerance_crosses_the_cylinder_rating() {
    let trap = edited(
        GUARDED,
        &[
            ("set = \"5 bar\"", "set = \"5 bar +- 0.2 bar\""),
            ("rating = \"10 bar\"\nfriction", "rating = \"5.3 bar\"\nfriction"),
        ],
    );
    let (_, answers, found) = judged(&trap);
    let first = &found.order.gaps[0];
    assert_eq!((first.lower, first.upper), ("set point, crept up", "cylinder rating"));
    // 5.2 bar crept up by 5 % is 5.46 bar
    assert!((first.room_pa + 0.16e5).abs() < 1.0, "{}", first.room_pa);
    // 5 % below 5.3 bar, less creep and spread: 0.95 * 5.3 / 1.05 - 0.2 = 4.595 bar, above the 4.22 bar of the load
    assert!(
        text(&trap)
            .contains("lower `regulator.set` to 4.59 bar, or fit a part rated 5.75 bar (`cylinders.rating`)")
    );
    assert_eq!(answers.check("cylinders at set point").unwrap().verdict, Verdict::Fail);
    let cured = edited(&trap, &[("set = \"5 bar +-", "set = \"4.59 bar +-")]);
    assert!(judged(&cured).2.order.gaps.iter().all(|gap| gap.verdict == Verdict::Pass));
}

#[test]
fn a_cut_in_below_the_set_point() {
    let trap = edited(GUARDED, &[("cut-in = \"7 bar +- 0.2 bar\"", "cut-in = \"4.8 bar +- 0.2 bar\"")]);
    let (_, _, found) = judged(&trap);
    let first = &found.order.gaps[0];
    assert_eq!((first.lower, first.upper, first.verdict), ("set point", "cut-in", Verdict::Fail));
    // 4.6 - 5 - 0.5
    assert!((first.room_pa + 0.9e5).abs() < 1.0);
    // The set point cannot go below what the load needs: 5.5 / 0.95 + 0.2 = 5.99 bar is the only way.
    let said = text(&trap);
    assert!(
        said.contains("set point below cut-in: too small by 0.9 bar: raise `compressor.cut-in` to 5.99 bar."),
        "{said}"
    );
    let cured = edited(&trap, &[("4.8 bar +-", "5.99 bar +-")]);
    assert!(judged(&cured).2.order.gaps.iter().all(|gap| gap.verdict == Verdict::Pass));
}

#[test]
fn a_spring_that_drops_a_held_load() {
    let said = text(FIRST_BUILT);
    assert!(said.contains("First electric power lost: "), "{said}");
    assert!(said.contains("electric power lost fail 58.3 mm/s"), "{said}");
    assert!(
        said.contains("take a lower valve that a spring shuts (`line.lower-unpowered = \"shut\"`)"),
        "{said}"
    );
    let state = judged(FIRST_BUILT).2.states.into_iter().find(|state| state.phase == "power off").unwrap();
    assert_eq!((state.raise, state.lower), ("shut", "open"));
    // Air alone holds it then, and leaks.
    let cured = edited(FIRST_BUILT, &[("lower-unpowered = \"open\"", "lower-unpowered = \"shut\"")]);
    assert_eq!(fault(&judged(&cured).2, "electric power lost").check.verdict, Verdict::Caution);
}

#[test]
fn a_slow_drop_without_power_is_a_drop_all_the_same() {
    let slow = edited(FIRST_BUILT, &[("lower = { bore = \"1.5 mm\" }", "lower = { bore = \"0.3 mm\" }")]);
    let lost = fault(&judged(&slow).2, "electric power lost").check;
    assert!(lost.value.unwrap() < 0.01, "{:?}", lost.value);
    assert_eq!(lost.verdict, Verdict::Fail);
}

/// A receiver that may burst stands before every fall, a fall at each loss of power before those of a part that
/// tears or sticks, and of these the fastest before the slowest.
#[test]
fn what_fails_hardest_is_named_first() {
    let trap =
        edited(FIRST_BUILT, &[("relief-capacity = \"400 L/min ANR\"", "relief-capacity = \"5 L/min ANR\"")]);
    let found = judged(&trap).2;
    let failing = found.faults.iter().filter(|fault| fault.check.verdict == Verdict::Fail);
    let ids: Vec<_> = failing.map(|fault| fault.check.id.to_string()).collect();
    assert_eq!(
        ids,
        [
            "pressure switch stuck closed",
            // 58 mm/s, but each time that the plug is pulled
            "electric power lost",
            // 2475, 1410 and 1289 mm/s against 250 mm/s
            "hose off at the cylinders",
            "raise valve stuck open",
            "hose off at the valve",
            "one cylinder lost"
        ]
    );
    assert!(text(&trap).contains("First pressure switch stuck closed"));
    let speeds: Vec<_> = found.faults[2..5].iter().map(|fault| fault.check.value.unwrap()).collect();
    assert!(speeds.is_sorted_by(|one, two| one > two), "{speeds:?}");
}

#[test]
fn a_receiver_above_its_rating_stands_before_a_cylinder() {
    // 5.25 bar is 3 % above 5.1 bar, 11.2 bar only 1.8 % above 11 bar.
    let trap = edited(
        GUARDED,
        &[
            ("relief = \"10.5 bar +- 3 %\"", "relief = \"11.2 bar\""),
            ("rating = \"10 bar\"\nfriction", "rating = \"5.1 bar\"\nfriction"),
        ],
    );
    let gaps = judged(&trap).2.order.gaps;
    assert_eq!((gaps[0].lower, gaps[0].upper), ("relief opens", "receiver rating"));
    assert_eq!((gaps[1].lower, gaps[1].upper), ("set point, crept up", "cylinder rating"));
    assert!(gaps[1].margin < gaps[0].margin);
    assert!(text(&trap).contains("First pressure order, relief opens below receiver rating"));
}

#[test]
fn one_fault_and_several_are_told_apart() {
    let said = text(FIRST_BUILT);
    assert!(said.contains("5 fail, 10 are cautions, 1 is not judged."), "{said}");
}

#[test]
fn the_guarded_twin_has_none_of_them() {
    let found = judged(GUARDED).2;
    assert_eq!(found.verdict(), Verdict::Caution, "{:#?}", found.tight_gaps().collect::<Vec<_>>());
    assert_eq!(found.tight_gaps().count(), 0);
    // What is left takes a person.
    let cautions: Vec<_> = found
        .faults
        .iter()
        .filter(|fault| fault.check.verdict == Verdict::Caution)
        .map(|fault| fault.check.id.to_string())
        .collect();
    assert_eq!(
        cautions,
        [
            "one cylinder lost",
            "load lost while raised",
            "raise valve stuck open",
            "lower valve stuck shut",
            "air left after all off"
        ]
    );
    assert_eq!(judged(FIRST_BUILT).2.verdict(), Verdict::Fail);
}

#[test]
fn what_can_burst_stands_before_what_works_badly() {
    // The relief valve opens 0.2 bar above the rating, and 10 % above cut-out is 11.9 bar, by more above the valve.
    let trap = edited(
        GUARDED,
        &[
            ("relief = \"10.5 bar +- 3 %\"", "relief = \"11.2 bar\""),
            ("cut-out = \"8.5 bar +- 0.2 bar\"", "cut-out = \"10.8 bar\""),
            ("second-switch = \"9.5 bar +- 0.2 bar\"", ""),
        ],
    );
    let gaps = judged(&trap).2.order.gaps;
    assert_eq!((gaps[0].lower, gaps[0].upper), ("relief opens", "receiver rating"));
    assert_eq!((gaps[1].lower, gaps[1].upper), ("cut-out and 10 %", "relief opens"));
    assert!(gaps[1].margin < gaps[0].margin);
}

#[test]
fn a_line_relief_that_blows_above_a_rating_is_a_caution_of_the_order() {
    // 1.1 times 7 bar is 7.7 bar, above the 7.5 bar of the line: 7.5 / 1.1 = 6.81 bar.
    let trap =
        edited(GUARDED, &[("rating = \"10 bar\"\nraise", "rating = \"7.5 bar\"\nrelief = \"7 bar\"\nraise")]);
    let found = judged(&trap).2;
    let gap = found
        .order
        .gaps
        .iter()
        .find(|gap| (gap.lower, gap.upper) == ("line relief, full lift", "line rating"))
        .unwrap();
    assert_eq!(gap.verdict, Verdict::Caution);
    assert!((gap.room_pa + 0.2e5).abs() < 1.0);
    assert!(text(&trap).contains("lower `line.relief` to 6.81 bar"));
}

#[test]
fn no_advice_lifts_a_line_relief_above_what_the_parts_bear_as_it_blows() {
    // 1.1 times 4.87 bar is 5.36 bar, above the 5.2 bar of the cylinders: the highest is 5.2 / 1.1 = 4.727 bar.
    let trap = edited(
        FIRST_BUILT,
        &[
            ("rating = \"10 bar\"\nfriction", "rating = \"5.2 bar\"\nfriction"),
            ("set = \"5 bar\"", "set = \"4.4 bar\""),
            ("raise = {", "relief = \"4.72 bar\"\nraise = {"),
        ],
    );
    let said = text(&trap);
    assert!(!said.contains("raise `line.relief`"), "{said}");
    // 0.95 * 4.72 / 1.05 = 4.2705 bar
    assert!(said.contains("lower `regulator.set` to 4.27 bar"), "{said}");
    let (_, _, before) = judged(&trap);
    let (_, _, found) = judged(&edited(&trap, &[("set = \"4.4 bar\"", "set = \"4.27 bar\"")]));
    let stuck = |found: &lungful::answers::Hazards| fault(found, "regulator stuck open").check.verdict;
    assert_eq!((stuck(&before), stuck(&found)), (Verdict::Caution, Verdict::Caution));
    let gap = found.order.gaps.iter().find(|gap| gap.upper == "line relief opens").unwrap();
    assert_eq!(gap.verdict, Verdict::Pass);
    // Where the full tank itself stays below the parts, the setting has no such bound.
    let stout = edited(&trap, &[("5.2 bar", "9 bar")]);
    assert!(text(&stout).contains("raise `line.relief` to 4.87 bar"), "{}", text(&stout));
}

#[test]
fn a_relief_valve_that_blows_above_the_inlet_limit_is_a_caution_of_the_order() {
    // 1.1 times 10.815 bar is 11.8965 bar, above 11.5 bar; 11.5 / 1.1 - 0.315 = 10.139 bar is the highest setting.
    let trap = edited(FIRST_BUILT, &[("max-inlet = \"16 bar\"", "max-inlet = \"11.5 bar\"")]);
    let (_, _, found) = judged(&trap);
    let named = ("relief, full lift", "regulator inlet limit");
    let gap = found.order.gaps.iter().find(|gap| (gap.lower, gap.upper) == named).unwrap();
    assert_eq!(gap.verdict, Verdict::Caution);
    assert!((gap.room_pa + 0.3965e5).abs() < 1.0, "{}", gap.room_pa);
    assert!(text(&trap).contains("lower `tank.relief` to 10.13 bar"), "{}", text(&trap));
    let cured = judged(&edited(&trap, &[("10.5 bar +- 3 %", "10.13 bar +- 3 %")])).2;
    assert!(
        cured.order.gaps.iter().all(|gap| (gap.lower, gap.upper) != named || gap.verdict == Verdict::Pass)
    );
    assert_eq!(fault(&cured, "pressure switch stuck closed").check.verdict, Verdict::Pass);
    // It now stands close above cut-out, and may not go up again: 0.95 * (10.13 - 0.3039) / 1.1 - 0.2 = 8.286 bar.
    let lowered = edited(&trap, &[("10.5 bar +- 3 %", "10.13 bar +- 3 %")]);
    let said = text(&lowered);
    assert!(said.contains("lower `compressor.cut-out` to 8.28 bar"), "{said}");
    assert!(!said.contains("raise `tank.relief`"), "{said}");
    let cured = judged(&edited(&lowered, &[("8.5 bar +-", "8.28 bar +-")])).2;
    assert_eq!(cured.tight_gaps().count(), 0, "{:#?}", cured.tight_gaps().collect::<Vec<_>>());
    // A pump that stalls at 11.4 bar never gets there.
    let stalls = edited(&trap, &[("stall = \"13 bar\"", "stall = \"11.4 bar\"")]);
    assert!(judged(&stalls).2.order.gaps.iter().all(|gap| (gap.lower, gap.upper) != named));
}
