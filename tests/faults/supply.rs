//! Pump, switch, relief valve and regulator: what must not pass.

use std::f64::consts::FRAC_PI_4;

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
    // That it slams is known all the same.
    assert_eq!(unknown.check.verdict, Verdict::Caution);
    assert!(advice(&unknown).contains("closed-length") && advice(&unknown).contains("slams"));
    let slow = one(
        &[
            ("rating = \"7.9 bar\"\nraise", "rating = \"12 bar\"\nraise"),
            ("rating = \"7.9 bar\"\nfriction", "rating = \"12 bar\"\nfriction"),
            ("closed-length = \"550 mm\"", ""),
            ("raise = { C = \"1 L/", "raise = { C = \"0.1 L/"),
        ],
        STUCK_OPEN,
    );
    assert_eq!(slow.check.verdict, Verdict::NotJudged);
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

/// A rig whose parts bear the full tank, without a hose, so that only the raise valve is in the way.
const WIDE: [(&str, &str); 3] = [
    ("rating = \"7.9 bar\"\nraise", "rating = \"9 bar\"\nraise"),
    ("rating = \"7.9 bar\"\nfriction", "rating = \"9 bar\"\nfriction"),
    ("hose-bore = \"6 mm\"\nhose-length = \"1 m\"\n", ""),
];

#[test]
fn analytic_the_way_up_on_a_regulator_stuck_open() {
    // Mass balance: v = q R T / (p A), q = C rho_0 p1 f by ISO 6358 at 20 degC, p1 = 8 bar and the site.
    let (area, site, upstream) = (2.0 * FRAC_PI_4 * 0.05 * 0.05, 101_325.0, 8e5 + 101_325.0);
    let speed = |mass: f64| {
        let inside = mass * 9.806_65 / area / 0.9 + site;
        let over = ((inside / upstream - 0.3) / 0.7).max(0.0);
        let flow = 1e-8 * 1.185 * upstream * (1.0 - over * over).sqrt();
        flow * 287.05 * 293.15 / (inside * area)
    };
    let (loaded, empty) = (speed(120.0), speed(20.0));
    let stuck = one(&WIDE, STUCK_OPEN);
    let of = |name: &str| super::figure(&stuck, name);
    assert_relative_eq!(of("speed up at most, loaded or empty"), empty, max_relative = 1e-4);
    // The heavier platform is slower; the lighter hits harder here.
    let blow = (60.0 * loaded * loaded).max(10.0 * empty * empty);
    assert_relative_eq!(of("blow at the upper stop, at most"), blow, max_relative = 2e-4);
    assert!((21.0..22.0).contains(&blow), "{blow}");
    assert_relative_eq!(of("time to the top, at least"), 0.4 / empty, max_relative = 0.2);
    // 8 bar push 3141.6 N; 120 kg need 1176.8 N.
    assert_relative_eq!(
        of("of that beyond what the load needs"),
        8e5 * area - 120.0 * 9.806_65,
        max_relative = 1e-9
    );
    // The parts bear it, and yet it slams.
    assert_eq!(stuck.check.verdict, Verdict::Caution);
    assert!(advice(&stuck).contains("slams"), "{}", advice(&stuck));
    let with_stops = |energy: &str| {
        let text = format!("{}[limits]\nstop-energy = \"{energy}\"\n", edited(BARE, &WIDE));
        fault(&judged(&text).2, STUCK_OPEN).check
    };
    let hard = with_stops("20 J");
    assert_eq!((hard.verdict, hard.limit), (Verdict::Fail, Some(20.0)));
    assert_relative_eq!(hard.value.unwrap(), blow, max_relative = 2e-4);
    assert_eq!(with_stops("25 J").verdict, Verdict::Caution);
    // Nothing is said of the raise valve: nothing is known of the way up.
    let mut silent = WIDE.to_vec();
    silent.push(("raise = { C = \"1 L/(s bar)\", b = 0.3 }\n", ""));
    let silent = one(&silent, STUCK_OPEN);
    assert_eq!(silent.check.verdict, Verdict::NotJudged);
    assert!(advice(&silent).contains("line.raise"));
    let mut slow = WIDE.to_vec();
    slow.push(("raise = { C = \"1 L/", "raise = { C = \"0.1 L/"));
    assert_eq!(one(&slow, STUCK_OPEN).check.verdict, Verdict::Pass);
}

#[test]
fn analytic_an_empty_platform_goes_up_faster_than_a_loaded_one() {
    let edits = [
        ("hose-bore = \"6 mm\"\nhose-length = \"1 m\"\n", ""),
        ("raise = { C = \"1 L/", "raise = { C = \"0.2 L/"),
    ];
    // As above at 5 less 0.3 bar: 20 kg give 0.0555 MPa, choked. 120 kg alone would stay below the limit.
    let area = 2.0 * FRAC_PI_4 * 0.05 * 0.05;
    let inside = 20.0 * 9.806_65 / area / 0.9 + 101_325.0;
    let upstream = 4.7e5 + 101_325.0;
    assert!(inside / upstream < 0.3, "choked");
    let by_hand = 0.2e-8 * 1.185 * upstream * 287.05 * 293.15 / (inside * area);
    let stuck = one(&edits, "raise valve stuck open").check;
    assert_relative_eq!(stuck.value.unwrap(), by_hand, max_relative = 1e-4);
    // A set point that lifts nothing to the top still lifts the platform.
    let weak = one(&[("mass = \"100 kg\"", "mass = \"900 kg\"")], "raise valve stuck open").check;
    assert_ne!(weak.verdict, Verdict::Pass);
    assert!(weak.value.is_some(), "the empty platform gets there");
    // Nor does a platform that stops half way stay where it was.
    let nothing = one(
        &[("mass = \"100 kg\"", "mass = \"900 kg\""), ("moving = \"20 kg\"", "moving = \"800 kg\"")],
        "raise valve stuck open",
    );
    assert_eq!((nothing.check.verdict, nothing.check.value), (Verdict::Caution, None));
}

#[test]
fn analytic_what_comes_through_the_open_seat() {
    // 1e-8 * 1.185 * 901325 * (1 - ((7.51325/9.01325 - 0.3)/0.7)^2)^0.5 = 6.913e-3 kg/s at 20 degC
    let open = 1e-8 * 1.185 * 901_325.0 * (1.0 - ((751_325.0_f64 / 901_325.0 - 0.3) / 0.7).powi(2)).sqrt();
    assert_relative_eq!(open, 6.913e-3, max_relative = 1e-3);
    let with = |regulator: &str, capacity: &str| {
        let text = edited(
            BARE,
            &[
                ("tolerance = \"5 %\"", &format!("tolerance = \"5 %\"\n{regulator}")),
                (
                    "rating = \"7.9 bar\"\nraise",
                    &format!("rating = \"7.9 bar\"\nrelief = \"6.5 bar\"\n{capacity}\nraise"),
                ),
            ],
        );
        let (_, answers, found) = judged(&text);
        (answers.check("line relief capacity").unwrap().clone(), fault(&found, STUCK_OPEN).check, answers)
    };
    let seat = "seat = { C = \"1 L/(s bar)\", b = 0.3 }";
    let (check, stuck, _) = with(seat, "relief-capacity = \"8 g/s\"");
    assert_relative_eq!(check.limit.unwrap(), open, max_relative = 1e-9);
    assert_eq!((check.verdict, check.value), (Verdict::Pass, Some(8e-3)));
    assert_relative_eq!(stuck.value.unwrap(), 1.1 * 6.5e5, max_relative = 1e-12);
    // Outrun, the valve holds nothing, here as in the list of checks.
    let (check, stuck, answers) = with(seat, "relief-capacity = \"6 g/s\"");
    assert_eq!((check.verdict, stuck.verdict, stuck.value), (Verdict::Fail, Verdict::Fail, Some(8e5)));
    assert_eq!(answers.check("cylinders, regulator stuck open").unwrap().value, Some(8e5));
    // The greater of the two counts; each at its unfavourable end.
    let (check, ..) = with(
        "wide-open-flow = \"9 g/s +- 1 g/s\"\nseat = { bore = \"0.1 mm\" }",
        "relief-capacity = \"12 g/s +- 1 g/s\"",
    );
    assert_relative_eq!(check.limit.unwrap(), 10e-3, max_relative = 1e-9);
    assert_relative_eq!(check.value.unwrap(), 11e-3, max_relative = 1e-9);
    for (regulator, capacity, asks) in [
        ("", "", "regulator.wide-open-flow"),
        ("", "relief-capacity = \"8 g/s\"", "regulator.seat"),
        (seat, "", "line.relief-capacity"),
    ] {
        let (check, stuck, _) = with(regulator, capacity);
        assert_eq!(check.verdict, Verdict::NotJudged);
        assert!(words(&check.advice, UnitSystem::Metric).contains(asks), "{asks}");
        assert_eq!(stuck.verdict, Verdict::Caution, "{regulator} {capacity}");
    }
}

#[test]
fn a_relief_valve_that_opens_in_time_and_blows_above_the_rating() {
    // Opens at 7.5 bar, below the 7.9 bar of the parts; blowing it stands at 8.25 bar, above the full tank of 8.
    let relief = ("rating = \"7.9 bar\"\nraise", "rating = \"7.9 bar\"\nrelief = \"7.5 bar\"\nraise");
    let (_, answers, found) = judged(&edited(BARE, &[relief]));
    let check = answers.check("cylinders, regulator stuck open").unwrap();
    assert_eq!((check.verdict, check.value), (Verdict::Caution, Some(7.5e5)));
    // 7.9 / 1.1 = 7.181
    assert!(words(&check.advice, UnitSystem::Metric).contains("set at 7.18 bar or lower"));
    let stuck = fault(&found, STUCK_OPEN).check;
    assert_eq!((stuck.verdict, stuck.value), (Verdict::Fail, Some(8e5)));
    let lower = ("rating = \"7.9 bar\"\nraise", "rating = \"7.9 bar\"\nrelief = \"7.18 bar\"\nraise");
    let (_, answers, found) = judged(&edited(BARE, &[lower]));
    assert_eq!(answers.check("cylinders, regulator stuck open").unwrap().verdict, Verdict::Pass);
    assert_ne!(fault(&found, STUCK_OPEN).check.verdict, Verdict::Fail);
}

#[test]
fn analytic_no_air_moves_a_platform_faster_than_its_push() {
    // Work and energy: (5 bar A - 20 kg g) 0.4 m on 20 kg, without friction; 120 kg take more of it.
    let area = 2.0 * FRAC_PI_4 * 0.05 * 0.05;
    let work = |mass: f64| (5e5 * area - mass * 9.806_65) * 0.4;
    let wide = one(
        &[
            ("raise = { C = \"1 L/", "raise = { C = \"400 L/"),
            ("hose-bore = \"6 mm\"\nhose-length = \"1 m\"\n", ""),
        ],
        "raise valve stuck open",
    );
    let fastest = (2.0 * work(20.0) / 20.0).sqrt();
    assert_relative_eq!(wide.check.value.unwrap(), fastest, max_relative = 1e-9);
    assert_relative_eq!(
        super::figure(&wide, "blow at the upper stop, at most"),
        work(20.0),
        max_relative = 1e-9
    );
    assert_relative_eq!(
        super::figure(&wide, "time to the top, at least"),
        0.4 / fastest,
        max_relative = 1e-9
    );
}

#[test]
fn a_relief_valve_whose_flow_nobody_knows_is_no_pass() {
    // Slow enough that only the pressure is left to judge: 1.1 * 6.5 bar, below 7.9 bar.
    let edits = [
        ("raise = { C = \"1 L/", "raise = { C = \"0.1 L/"),
        ("rating = \"7.9 bar\"\nraise", "rating = \"7.9 bar\"\nrelief = \"6.5 bar\"\nraise"),
    ];
    let unknown = one(&edits, STUCK_OPEN);
    assert_eq!(unknown.check.verdict, Verdict::Caution);
    assert!(advice(&unknown).contains("regulator.wide-open-flow"));
}

#[test]
fn analytic_a_stop_of_the_linkage_bears_the_whole_push() {
    // The lever meets its stop before the cylinder does. Stuck open and held by the relief valve at 1.1 * 8 bar the
    // cylinder of 80 mm pushes with 4423 N; a cantilever of 200 mm of S235 that holds it yields below
    // a = (6 F L / Sy)^(1/3) = 28.3 mm.
    let push = 8.8e5 * FRAC_PI_4 * 0.08 * 0.08;
    let side = (6.0 * push * 0.2 / 235e6_f64).cbrt() * 1e3;
    assert!((28.2..28.4).contains(&side), "{side}");
    let with = |side: f64| {
        let beam = format!(
            "[[frame]]\nname = \"foot bearer\"\nsupport = \"cantilever\"\nspan = \"200 mm\"\nload-share = \"100 %\"\n\
             carries = \"cylinder force\"\nsection = {{ kind = \"square bar\", side = \"{side:.6} mm\" }}\nsteel = \"S235\"\n\n[[pin]]"
        );
        let lever = include_str!("../../examples/lever-tipper.toml");
        fault(&judged(&edited(lever, &[("[[pin]]", &beam)])).2, STUCK_OPEN)
    };
    let weak = with(side * 0.999);
    assert_eq!(weak.check.verdict, Verdict::Fail, "{}", advice(&weak));
    assert!(
        advice(&weak)
            .starts_with("the beam `foot bearer` may bend for good when the linkage comes to its stop")
    );
    assert_ne!(with(side * 1.001).check.verdict, Verdict::Fail);
}

/// By itself it does nothing; what it guards against is bounded by ratings alone.
#[test]
fn a_line_relief_that_sticks_shut_is_found_by_a_test_alone() {
    const ID: &str = "line relief stuck shut";
    let with = |line: &str, cylinders: &str| {
        edited(
            BARE,
            &[
                ("rating = \"7.9 bar\"\nraise", &format!("{line}relief = \"6.5 bar\"\nraise")),
                ("rating = \"7.9 bar\"\nfriction", &format!("rating = \"{cylinders}\"\nfriction")),
            ],
        )
    };
    // The tank is full at 8 bar.
    for (line, cylinders, verdict) in [
        ("rating = \"8 bar\"\n", "8 bar", Verdict::Pass),
        ("rating = \"7.9 bar\"\n", "8 bar", Verdict::Caution),
        ("rating = \"8 bar\"\n", "7.9 bar", Verdict::Caution),
        ("", "8 bar", Verdict::Caution),
    ] {
        let found = fault(&judged(&with(line, cylinders)).2, ID);
        assert_eq!(found.check.verdict, verdict, "{line} {cylinders}");
    }
    assert!(judged(BARE).2.faults.iter().all(|fault| fault.check.id != ID), "there is none");
}

const FIRST_BUILT: &str = include_str!("../../examples/kiln-shelf-lift.toml");

/// The first number after some words.
#[track_caller]
fn number(said: &str, after: &str) -> f64 {
    let (_, rest) = said.split_once(after).unwrap_or_else(|| panic!("no `{after}` in {said}"));
    rest.split(' ').next().unwrap().trim_end_matches([',', ';', '.']).parse().unwrap()
}

fn kiln(edits: &[(&str, &str)]) -> String {
    edited(FIRST_BUILT, edits)
}

#[test]
fn a_relief_valve_as_advised_holds_at_every_lower_setting() {
    let trap = kiln(&[("relief = \"10.5 bar +- 3 %\"", "relief = \"11.5 bar\"")]);
    let stuck = fault(&judged(&trap).2, SWITCH);
    assert_eq!(stuck.check.verdict, Verdict::Fail);
    let said = advice(&stuck);
    let (bar, passes) = (number(&said, "set at "), number(&said, "passes "));
    for setting in [bar, 10.5, 10.0, 9.6] {
        let cured = edited(
            &trap,
            &[
                ("relief = \"11.5 bar\"", &format!("relief = \"{setting} bar\"")),
                ("\"400 L/min ANR\"", &format!("\"{passes} g/s\"")),
            ],
        );
        assert_eq!(fault(&judged(&cured).2, SWITCH).check.verdict, Verdict::Pass, "{setting} bar, {said}");
    }
}

#[test]
fn a_second_switch_is_advised_only_where_it_acts() {
    // The relief valve of 10.5 bar may open at 10.185 bar; 10 % above 10.815 bar is 11.8965 bar.
    let trap = kiln(&[("max-inlet = \"16 bar\"", "max-inlet = \"11.5 bar\"")]);
    let stuck = fault(&judged(&trap).2, SWITCH);
    assert_eq!(stuck.check.verdict, Verdict::Fail);
    let said = advice(&stuck);
    assert_relative_eq!(number(&said, "(`protection.second-switch`) set at "), 10.18);
    assert_relative_eq!(number(&said, "take one made for "), 11.9);
    let cured = format!("{trap}\n[protection]\nsecond-switch = \"10.18 bar\"\n");
    let (_, _, found) = judged(&cured);
    assert_eq!(fault(&found, SWITCH).check.verdict, Verdict::Pass);
    assert_eq!(found.tight_gaps().count(), 0, "{:#?}", found.tight_gaps().collect::<Vec<_>>());
    // A valve set exactly at the switch opens as that stops the pump.
    let meet = edited(&cured, &[("10.5 bar +- 3 %", "10.18 bar")]);
    assert_eq!(fault(&judged(&meet).2, SWITCH).check.verdict, Verdict::Pass);
}

#[test]
fn a_relief_valve_below_cut_out_goes_up_before_a_second_switch() {
    // Cut-out at 8.7 bar: 10 % above it and 5 % of room make 9.57 / 0.95 = 10.074 bar, with its 0.1 bar 10.174 bar.
    let trap = kiln(&[("10.5 bar +- 3 %", "8.4 bar +- 0.1 bar")]);
    let said = advice(&fault(&judged(&trap).2, "relief valve stuck shut"));
    let (relief, second) =
        (number(&said, "set `tank.relief` to "), number(&said, "`protection.second-switch` to "));
    assert_eq!((relief, second), (10.18, 10.07));
    let cured = format!(
        "{}\n[protection]\nsecond-switch = \"{second} bar\"\n",
        edited(&trap, &[("8.4 bar +-", &format!("{relief} bar +-"))])
    );
    let (_, _, found) = judged(&cured);
    assert_eq!(found.tight_gaps().count(), 0, "{:#?}", found.tight_gaps().collect::<Vec<_>>());
    assert_eq!(fault(&found, "relief valve stuck shut").check.verdict, Verdict::Pass);
    // A receiver of 9.5 bar leaves no room for that: cut-out goes down. 0.95 * 8.3 / 1.1 - 0.2 = 6.968 bar.
    let low = edited(&trap, &[("rating = \"11 bar\"", "rating = \"9.5 bar\"")]);
    let said = advice(&fault(&judged(&low).2, "relief valve stuck shut"));
    assert_relative_eq!(number(&said, "lower `compressor.cut-out` to "), 6.96);
    assert_relative_eq!(number(&said, "`protection.second-switch` to "), 8.3);
    let cured = format!(
        "{}\n[protection]\nsecond-switch = \"8.3 bar\"\n",
        edited(&low, &[("8.5 bar +-", "6.96 bar +-"), ("7 bar +-", "6 bar +-")])
    );
    let (_, _, found) = judged(&cured);
    assert_eq!(found.tight_gaps().count(), 0, "{:#?}", found.tight_gaps().collect::<Vec<_>>());
    assert_eq!(fault(&found, "relief valve stuck shut").check.verdict, Verdict::Pass);
}

#[test]
fn a_set_point_below_which_a_relief_valve_fits_is_named() {
    // Parts of 5.4 bar: a valve set at 5.4 / 1.1 = 4.909 bar; 0.95 * (4.909 - 0.01) / 1.05 = 4.4324 bar.
    let trap = kiln(&[
        ("rating = \"10 bar\"\nraise", "rating = \"5.4 bar\"\nraise"),
        ("rating = \"10 bar\"\nfriction", "rating = \"5.4 bar\"\nfriction"),
    ]);
    let said = advice(&fault(&judged(&trap).2, STUCK_OPEN));
    assert_relative_eq!(number(&said, "lower `regulator.set` to "), 4.43);
    assert_relative_eq!(number(&said, "(`line.relief`) set at "), 4.9);
    let cured = edited(
        &trap,
        &[("set = \"5 bar\"", "set = \"4.43 bar\""), ("raise = {", "relief = \"4.9 bar\"\nraise = {")],
    );
    let (_, _, found) = judged(&cured);
    assert_ne!(fault(&found, STUCK_OPEN).check.verdict, Verdict::Fail);
    assert_eq!(found.tight_gaps().count(), 0, "{:#?}", found.tight_gaps().collect::<Vec<_>>());
    assert!(said.contains("parts with a `line.rating` and a `cylinders.rating` of 8.7 bar"), "{said}");
    let stout = edited(&trap, &[("5.4 bar", "8.7 bar"), ("5.4 bar", "8.7 bar")]);
    assert_ne!(fault(&judged(&stout).2, STUCK_OPEN).check.verdict, Verdict::Fail);
    // Parts of 5 bar want 4.09 bar, below the 4.22 bar that move the load.
    let weak = edited(&trap, &[("5.4 bar", "5 bar"), ("5.4 bar", "5 bar")]);
    let said = advice(&fault(&judged(&weak).2, STUCK_OPEN));
    assert!(said.contains("does not move the load") && !said.contains("lower `regulator.set`"), "{said}");
}

#[test]
fn the_time_to_over_pressure_starts_at_the_high_end_of_cut_out() {
    // 0.5 g/s into 10 L from 8.2 bar to 9.9 bar. Ideal gas: 1.7e5 Pa * 0.010 m3 / (287.05 * 293.15 K) / 0.5e-3 kg/s
    // = 40.4 s; compressibility changes that by less than 1 %.
    let spread = [
        ("cut-out = \"8 bar\"", "cut-out = \"8 bar +- 0.2 bar\""),
        (
            "rating = \"10 bar\"\nrelief = \"9 bar\"",
            "rating = \"10 bar +- 0.1 bar\"\nrelief = \"9 bar +- 0.1 bar\"",
        ),
    ];
    let time = |id, name: &str| super::figure(&one(&spread, id), name);
    let ideal = |bar: f64| bar * 1e5 * 0.010 / (287.05 * 293.15) / 0.5e-3;
    assert_relative_eq!(
        time(SWITCH, "from cut-out to the receiver's rating, were nothing to open"),
        ideal(1.7),
        max_relative = 0.01
    );
    assert_relative_eq!(time(SWITCH, "from cut-out to the relief valve"), ideal(0.7), max_relative = 0.01);
    assert_relative_eq!(
        time(
            "relief valve stuck shut",
            "from cut-out to the receiver's rating, should the switch stick as well"
        ),
        ideal(1.7),
        max_relative = 0.01
    );
}

#[test]
fn a_pump_whose_points_end_below_the_rating_is_not_judged() {
    let points = |last: &str| {
        [
            ("[\"20 bar\", \"0.5 g/s\"]", last.to_owned()),
            ("relief = \"9 bar\"", "relief = \"9 bar\"\nrelief-capacity = \"1 g/s\"".to_owned()),
        ]
    };
    let with = |last: &str, id| {
        let edits = points(last);
        let edits: Vec<(&str, &str)> = edits.iter().map(|(old, new)| (*old, new.as_str())).collect();
        one(&edits, id)
    };
    let ends = with("[\"8.5 bar\", \"0.5 g/s\"]", SWITCH);
    assert_eq!(ends.check.verdict, Verdict::NotJudged);
    assert!(advice(&ends).contains("`compressor.delivery` end at 8.5 bar"), "{}", advice(&ends));
    assert_eq!(with("[\"10 bar\", \"0.5 g/s\"]", SWITCH).check.verdict, Verdict::Pass);
    let shut = with("[\"8.5 bar\", \"0.5 g/s\"]", "relief valve stuck shut");
    assert!(
        advice(&shut).contains("how soon both at once pass the rating is not known"),
        "{}",
        advice(&shut)
    );
}

#[test]
fn the_relief_valve_of_a_bottle_is_looked_at() {
    let bottle = |filled: &str| {
        let (_, tail) = BARE.split_once("[tank]").unwrap();
        format!("[tank]\nfilled-to = \"{filled}\"{tail}")
    };
    let shut = |filled: &str| fault(&judged(&bottle(filled)).2, "relief valve stuck shut").check;
    assert_eq!(shut("8 bar +- 0.5 bar").verdict, Verdict::Caution);
    assert_relative_eq!(shut("8 bar +- 0.5 bar").value.unwrap(), 8.5e5, max_relative = 1e-12);
    assert_eq!(shut("9.8 bar +- 0.5 bar").verdict, Verdict::Fail);
    let bare = edited(&bottle("8 bar"), &[("relief = \"9 bar\"\n", "")]);
    assert!(judged(&bare).2.faults.iter().all(|fault| fault.check.id != "relief valve stuck shut"));
}

#[test]
fn delivery_and_volume_count_at_the_end_that_leaves_least_time() {
    let rating = "from cut-out to the receiver's rating, were nothing to open";
    let time = |edits: &[(&str, &str)]| super::figure(&fault(&judged(&kiln(edits)).2, SWITCH), rating);
    let plain = time(&[]);
    // Delivery grows with the open flow at every pressure, and the mass to deliver with the volume.
    let open = time(&[("open = \"40 L/min\"", "open = \"40 L/min +- 10 %\"")]);
    assert_relative_eq!(open, plain / 1.1, max_relative = 1e-6);
    assert_relative_eq!(time(&[("\"15 L\"", "\"15 L +- 10 %\"")]), 0.9 * plain, max_relative = 1e-6);
    // A pump that stalls at 10 bar may stall at 10.1 bar, below what the valve opens at.
    let stalls = [("stall = \"13 bar\"", "stall = \"10 bar +- 0.1 bar\"")];
    let sea_level = fault(&judged(&kiln(&[("stall = \"13 bar\"", "stall = \"10.1 bar\"")])).2, SWITCH);
    assert_relative_eq!(
        fault(&judged(&kiln(&stalls)).2, SWITCH).check.value.unwrap(),
        sea_level.check.value.unwrap(),
        max_relative = 1e-9
    );
}
