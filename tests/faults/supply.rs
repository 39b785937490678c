//! Pump, switch, relief valve and regulator: what must not pass.

use approx::assert_relative_eq;
use lungful::answers::{Fault, Verdict};
use lungful::report::words;
use lungful::units::UnitSystem;

use super::{BARE, edited, fault, judged};

fn one(edits: &[(&str, &str)], id: &str) -> Fault {
    fault(&judged(&edited(BARE, edits)).2, id)
}

fn advice(fault: &Fault) -> String {
    words(&fault.check.advice, UnitSystem::Metric)
}

const STUCK_OPEN: &str = "regulator stuck open";
const SWITCH: &str = "pressure switch stuck closed";

#[test]
fn rods_that_may_buckle_fail_with_the_regulator() {
    // Relieved to 1.1 * 6 bar = 6.6 bar: push 6.6e5 * pi/4 * 0.05^2 = 1295.9 N on each rod. By Euler a rod of
    // 12 mm and 0.95 m bears pi^2 * 210e9 * pi/64 * 0.012^4 / 0.95^2 = 2337.5 N, 1.80 times that, below 3.
    let relief = ("rating = \"7.9 bar\"\nraise", "rating = \"7.9 bar\"\nrelief = \"6 bar\"\nraise");
    let stout = one(&[relief], STUCK_OPEN);
    assert_eq!(stout.check.verdict, Verdict::Caution);
    let thin = one(&[relief, ("rod = \"20 mm\"", "rod = \"12 mm\"")], STUCK_OPEN);
    assert_eq!(thin.check.verdict, Verdict::Fail);
    let safety =
        thin.figures.iter().find(|figure| figure.name == "safety of the rods against buckling").unwrap();
    assert_relative_eq!(safety.value, 2337.5 / 1295.9, max_relative = 1e-3);
    let unknown = one(
        &[
            ("rating = \"7.9 bar\"\nraise", "rating = \"12 bar\"\nraise"),
            ("rating = \"7.9 bar\"\nfriction", "rating = \"12 bar\"\nfriction"),
            ("closed-length = \"550 mm\"", ""),
        ],
        STUCK_OPEN,
    );
    assert_eq!(unknown.check.verdict, Verdict::NotJudged);
    assert!(advice(&unknown).contains("closed-length"));
}

#[test]
fn an_error_of_the_gauge_counts_in_every_fault() {
    // Cut-out 8 bar read on a gauge that may be 0.5 bar wrong is 8.5 bar at the cylinders.
    let parts = [
        ("rating = \"7.9 bar\"\nraise", "rating = \"8.2 bar\"\nraise"),
        ("rating = \"7.9 bar\"\nfriction", "rating = \"8.2 bar\"\nfriction"),
    ];
    assert_ne!(one(&parts, STUCK_OPEN).check.verdict, Verdict::Fail);
    let gauge = ("relief = \"9 bar\"", "relief = \"9 bar\"\ngauge-error = \"0.5 bar\"");
    let worse = one(&[parts[0], parts[1], gauge], STUCK_OPEN);
    assert_eq!(worse.check.verdict, Verdict::Fail);
    assert_relative_eq!(worse.check.value.unwrap(), 8.5e5, max_relative = 1e-12);
}

#[test]
fn a_tank_above_the_inlet_of_the_regulator_fails() {
    // The relief valve of 9 bar lets 9.9 bar stand.
    let capacity = ("relief = \"9 bar\"", "relief = \"9 bar\"\nrelief-capacity = \"1 g/s\"");
    assert_eq!(one(&[capacity], SWITCH).check.verdict, Verdict::Pass);
    let weak = one(&[capacity, ("max-inlet = \"16 bar\"", "max-inlet = \"9.5 bar\"")], SWITCH);
    assert_eq!(weak.check.verdict, Verdict::Fail);
    assert_relative_eq!(weak.check.limit.unwrap(), 9.5e5);
    let unknown = one(&[capacity, ("max-inlet = \"16 bar\"\n", "")], SWITCH);
    assert_eq!(unknown.check.verdict, Verdict::NotJudged);
    assert!(advice(&unknown).contains("regulator.max-inlet"));
}

#[test]
fn a_relief_valve_that_is_too_small_earns_no_room_above_the_rating() {
    // A pump that stalls at 10.5 bar, rating 10 bar: within 1.1 times the rating, which only a valve that
    // passes the delivery may use.
    let edits = [
        (
            "delivery = { points = [[\"0 bar\", \"0.5 g/s\"], [\"20 bar\", \"0.5 g/s\"]] }",
            "delivery = { points = [[\"0 bar\", \"0.5 g/s\"], [\"10.5 bar\", \"0 g/s\"]] }",
        ),
        ("relief = \"9 bar\"", "relief = \"9 bar\"\nrelief-capacity = \"0.001 g/s\""),
    ];
    let small = one(&edits, SWITCH);
    assert_eq!(small.check.verdict, Verdict::Fail);
    assert_relative_eq!(small.check.value.unwrap(), 10.5e5, max_relative = 1e-9);
    assert_relative_eq!(small.check.limit.unwrap(), 10e5);
}

#[test]
fn a_pump_that_stalls_as_the_valve_blows_caps_the_pressure() {
    // Full lift at 9.9 bar is not reached by a pump that stalls at 9.5 bar.
    let edits = [
        (
            "delivery = { points = [[\"0 bar\", \"0.5 g/s\"], [\"20 bar\", \"0.5 g/s\"]] }",
            "delivery = { points = [[\"0 bar\", \"0.5 g/s\"], [\"9.5 bar\", \"0 g/s\"]] }",
        ),
        ("relief = \"9 bar\"", "relief = \"9 bar\"\nrelief-capacity = \"1 g/s\""),
    ];
    assert_relative_eq!(one(&edits, SWITCH).check.value.unwrap(), 9.5e5, max_relative = 1e-9);
}

#[test]
fn a_second_switch_above_the_relief_valve_changes_nothing() {
    let capacity = ("relief = \"9 bar\"", "relief = \"9 bar\"\nrelief-capacity = \"1 g/s\"");
    let late = ("[load]", "[protection]\nsecond-switch = \"11 bar\"\n[load]");
    let (without, with) = (one(&[capacity], SWITCH), one(&[capacity, late], SWITCH));
    assert_eq!(without.check.verdict, with.check.verdict);
    assert_eq!(without.check.value, with.check.value);
    // Advised below the relief valve, not only below the rating.
    let stuck = one(&[], "relief valve stuck shut");
    assert!(advice(&stuck).contains("set at 9 bar or lower"), "{}", advice(&stuck));
}

#[test]
fn no_relief_valve_is_advised_that_would_blow_in_ordinary_work() {
    // Crept up, the set point stands at 5.25 bar; cylinders of 5.6 bar ask for 5.6/1.1 = 5.09 bar at most.
    let tight = [
        ("rating = \"7.9 bar\"\nfriction", "rating = \"5.6 bar\"\nfriction"),
        ("rating = \"7.9 bar\"\nraise", "rating = \"12 bar\"\nraise"),
    ];
    let said = advice(&one(&tight, STUCK_OPEN));
    assert!(said.contains("no relief valve fits"), "{said}");
    let said = advice(&one(&[], STUCK_OPEN));
    assert!(said.contains("set at 7.18 bar or lower"), "{said}");
}
