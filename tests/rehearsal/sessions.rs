//! What a session answers: which lift fails, what the pump and the battery do, what drifts and freezes.

use approx::assert_relative_eq;
use lungful::rehearsal::{
    Action, AfterFailure, AirModel, Mode, Outcome, Pattern, Schedule, SessionEnd, Settings, Task, Until,
};
use lungful::{Error, StopReason};

use crate::rig::{Bench, battery, compressor, gauge, s};

fn task(action: Action, seconds: f64) -> Task {
    Task { action, until: Until::Elapsed(s(seconds)) }
}

fn every_72_s(times: u32) -> Schedule {
    Pattern { raise_within: s(30.0), hold: s(5.0), lower_within: s(30.0), every: s(72.0), times }.schedule()
}

fn pumped() -> Bench {
    Bench {
        air: AirModel::Real,
        pump: Some(compressor(32e-3 / 60.0, 1.4e6, 8e5, 1e6)),
        battery: Some(battery(200.0, 10.0)),
        ..Bench::default()
    }
}

#[test]
fn a_day_of_lifts_is_worked_to_its_end() {
    let done = pumped().run(&every_72_s(400), &Settings::default()).unwrap();
    assert_eq!((done.end, done.lifts.len()), (SessionEnd::Done, 400));
    assert!(done.first_failed().is_none() && done.lifts.iter().all(|lift| lift.lower_time.is_some()));
    assert_relative_eq!(done.time.value, 28_800.0, epsilon = 1e-6);
    let pump = done.pump.unwrap();
    // A switch with a band of 2 bar starts a few times an hour, not at every lift and not never.
    assert!(pump.starts > 20 && pump.starts < 200, "{pump:?}");
    // The tank never falls a whole lift below cut-in.
    assert!(done.lowest_tank_pressure > gauge(6.5e5), "{:?}", done.lowest_tank_pressure);
    // Over the day what the pump delivers is what the lifts take: 85 kg m g h each.
    assert_relative_eq!(done.energy.useful.value, 400.0 * 85.0 * 9.806_65 * 0.4, max_relative = 1e-9);
    let electric = done.energy.electric.unwrap().value;
    // 24 V and 6 A to 11 A while on: the mean power lies between.
    let mean = electric / pump.on.value;
    assert!(mean > 24.0 * 6.0 && mean < 24.0 * 11.0, "{mean}");
    let left = done.energy.battery_left.unwrap().value;
    let usable = 24.0 * 200.0 * 3600.0 * 0.8;
    assert_relative_eq!(left, usable - electric - 10.0 * 28_800.0, max_relative = 1e-9);
    // Energy goes down the chain.
    assert!(
        electric > done.energy.compression.value && done.energy.compression.value > done.energy.useful.value
    );
    assert!(done.energy.lost.value > 0.0 && done.jerks == 0);
}

#[test]
fn the_first_lift_to_fail_is_named() {
    let bench = Bench { tank: 0.004, ..Bench::default() };
    let settings = Settings { after_failure: AfterFailure::Stop, ..Settings::default() };
    let done = bench.run(&every_72_s(50), &settings).unwrap();
    let failed = *done.first_failed().unwrap();
    assert_eq!(done.end, SessionEnd::LiftFailed);
    assert_eq!(failed.number as usize, done.lifts.len());
    assert!(failed.number > 2 && failed.raise_time.is_none());
    assert_eq!(failed.outcome, Outcome::Stalled);
    assert!(failed.travel.value < 0.4);
    // Each lift left less.
    assert!(done.lifts.windows(2).all(|pair| pair[1].tank_before < pair[0].tank_before));
    // Worked on, the rig tries all fifty.
    let all = bench.run(&every_72_s(50), &Settings::default()).unwrap();
    assert_eq!((all.end, all.lifts.len()), (SessionEnd::Done, 50));
}

#[test]
fn lifts_become_slow_before_they_fail() {
    let bench = Bench { tank: 0.006, ..Bench::default() };
    let fresh = bench.run(&every_72_s(1), &Settings::default()).unwrap().lifts[0].raise_time.unwrap();
    let settings = Settings { slow_after: Some(1.05 * fresh), ..Settings::default() };
    let done = bench.run(&every_72_s(50), &settings).unwrap();
    let (slow, failed) = (done.first_slow().unwrap(), done.first_failed().unwrap());
    assert!(slow.number > 1 && slow.number < failed.number, "{} {}", slow.number, failed.number);
    assert!(slow.raise_time.unwrap() > 1.05 * fresh);
}

#[test]
fn a_raise_cut_short_is_out_of_time() {
    let cycle = vec![task(Action::Raise, 0.5), task(Action::Rest, 10.0)];
    let done = Bench::default().run(&Schedule::repeated(cycle, 1), &Settings::default()).unwrap();
    assert_eq!(done.lifts[0].outcome, Outcome::OutOfTime);
    let heavy = Bench { mass: 500.0, ..Bench::default() };
    let done = heavy.run(&every_72_s(1), &Settings::default()).unwrap();
    assert_eq!((done.lifts[0].outcome, done.lifts[0].delay), (Outcome::Stalled, None));
}

#[test]
fn a_hot_pump_is_held_off_to_its_duty() {
    let mut bench = pumped();
    let pump = bench.pump.as_mut().unwrap();
    pump.duty = 0.5.into();
    pump.max_run = Some(s(60.0));
    // A leak keeps the pump busy.
    bench.leak = Some((6e-10, 0.3));
    let done = bench.run(&Schedule::repeated(vec![task(Action::Rest, 3600.0)], 1), &Settings::default());
    let pump = done.unwrap().pump.unwrap();
    assert!(pump.cut_outs > 5, "{pump:?}");
    assert_relative_eq!(pump.longest_run.value, 60.0, epsilon = 1e-6);
    // From cold to cut-out and back, over and over: half of the time, but for a run begun or left off.
    assert!((pump.share.value - 0.5).abs() < 0.02, "{pump:?}");
}

#[test]
fn an_empty_battery_stops_the_pump_for_good() {
    let mut bench = pumped();
    bench.battery = Some(battery(0.4, 10.0));
    bench.start = 0.0;
    let done = bench.run(&every_72_s(10), &Settings::default()).unwrap();
    let pump = done.pump.unwrap();
    let empty = pump.battery_empty.unwrap();
    assert!(pump.on <= empty + s(1e-9), "{pump:?}");
    assert!(done.energy.battery_left.unwrap().value <= 0.0);
    // Usable energy is what pump and steady load drew until then.
    let drawn = done.energy.electric.unwrap().value + 10.0 * empty.value;
    assert_relative_eq!(drawn, 24.0 * 0.4 * 3600.0 * 0.8, max_relative = 1e-8);
}

#[test]
fn a_held_load_sinks_as_its_air_cools() {
    // Without friction nothing but air carries the load; a large dead volume is hot from filling.
    let mut bench = Bench { friction: 0.0, dead: 5e-4, target: Some(0.2), ..Bench::default() };
    let cycle = vec![
        Task { action: Action::Raise, until: Until::Arrived { within: s(30.0) } },
        task(Action::Hold, 300.0),
        Task { action: Action::Lower, until: Until::Arrived { within: s(30.0) } },
    ];
    let schedule = Schedule::repeated(cycle, 1);
    let settings = Settings { trace_every: Some(s(0.05)), ..Settings::default() };
    let done = bench.run(&schedule, &settings).unwrap();
    let drift = done.largest_drift.unwrap().value;
    // At constant pressure the volume follows the temperature: V = V_1 T_0/T_1.
    let arrived = done.lifts[0].raise_time.unwrap().value;
    let row = done.trace.iter().find(|row| row.time_s >= arrived).unwrap();
    let volume = bench.dead + bench.area() * row.travel_m;
    let expected = volume * (1.0 - 293.15 / row.cap_k) / bench.area();
    // The row is up to 0.05 s late, in which some heat has gone.
    assert_relative_eq!(drift, expected, max_relative = 0.02, epsilon = 1e-4);
    assert!(drift > 0.01, "{drift}");
    // Seals hold it.
    bench.friction = 0.15;
    assert_relative_eq!(bench.run(&schedule, &settings).unwrap().largest_drift.unwrap().value, 0.0);
}

#[test]
fn exhaust_without_heat_from_the_walls_is_cold() {
    let mut bench = Bench { cylinder_heat: 0.0, ..Bench::default() };
    let cold = bench.run(&every_72_s(1), &Settings::default()).unwrap();
    // From 7 bar at some 310 K to the pressure of the load, then to near 1 bar: far below freezing.
    assert!(cold.may_freeze() && cold.coldest_exhaust.unwrap().value < 240.0);
    let in_valve = cold.coldest_in_valve.unwrap().value / cold.coldest_exhaust.unwrap().value;
    assert_relative_eq!(in_valve, 1.0 / 1.2, max_relative = 1e-12);
    bench.cylinder_heat = f64::INFINITY;
    assert!(!bench.run(&every_72_s(1), &Settings::default()).unwrap().may_freeze());
}

#[test]
fn a_take_up_is_a_stop_on_the_way() {
    let bench = Bench { take_up: 0.05, ..Bench::default() };
    let settings = Settings { trace_every: Some(s(0.005)), ..Settings::default() };
    let done = bench.run(&every_72_s(1), &settings).unwrap();
    let held = done.trace.iter().find(|row| row.mode == Mode::Held).unwrap();
    assert_relative_eq!(held.travel_m, 0.05, epsilon = 1e-12);
    for mode in [Mode::Resting, Mode::Rising, Mode::AtStop, Mode::Falling] {
        assert!(done.trace.iter().any(|row| row.mode == mode), "{mode:?}");
    }
}

#[test]
fn a_load_that_breaks_loose_jerks() {
    let done =
        Bench { breakaway: 2.0, ..Bench::default() }.run(&every_72_s(1), &Settings::default()).unwrap();
    // Once up and once down.
    assert_eq!(done.jerks, 2);
    assert!(done.energy.jerks.value > 0.0);
    assert!(done.balance.work < 1e-6);
}

#[test]
fn rows_stand_on_their_marks() {
    let settings = Settings { trace_every: Some(s(0.25)), ..Settings::default() };
    let done = pumped().run(&every_72_s(2), &settings).unwrap();
    assert_eq!(done.trace.len(), 4 * 144 + 1);
    for (number, row) in done.trace.iter().enumerate() {
        let mark = 0.25 * f64::from(u32::try_from(number).unwrap());
        assert_relative_eq!(row.time_s, mark, epsilon = 1e-9);
        assert!(row.travel_m >= -1e-12 && row.travel_m <= 0.4 + 1e-12);
    }
    // Rows do not change the run.
    let plain = pumped().run(&every_72_s(2), &Settings::default()).unwrap();
    assert_eq!((plain.lifts, plain.steps), (done.lifts, done.steps));
}

#[test]
fn a_finer_tolerance_comes_to_the_same() {
    let of = |tolerance| {
        let settings = Settings { tolerance, ..Settings::default() };
        pumped().run(&every_72_s(3), &settings).unwrap().lifts[2]
    };
    let (coarse, fine) = (of(1e-7), of(1e-10));
    assert_relative_eq!(
        coarse.raise_time.unwrap().value,
        fine.raise_time.unwrap().value,
        max_relative = 1e-5
    );
    assert_relative_eq!(coarse.tank_after.pascals(), fine.tank_after.pascals(), max_relative = 1e-5);
}

#[test]
fn what_no_rig_has_is_refused() {
    let refused = |bench: Bench| match bench.run(&every_72_s(1), &Settings::default()) {
        Err(Error::OutOfRange { quantity, .. }) => quantity,
        other => panic!("{other:?}"),
    };
    assert_eq!(refused(Bench { tank: 0.0, ..Bench::default() }), "tank volume");
    assert_eq!(refused(Bench { tank: f64::NAN, ..Bench::default() }), "tank volume");
    assert_eq!(refused(Bench { set: -1.0, ..Bench::default() }), "set point");
    assert_eq!(refused(Bench { breakaway: 0.5, ..Bench::default() }), "breakaway friction");
    assert_eq!(refused(Bench { friction: 1.0, ..Bench::default() }), "friction");
    assert_eq!(refused(Bench { tank_heat: -1.0, ..Bench::default() }), "rate of heat exchange");
    assert_eq!(refused(Bench { start: f64::INFINITY, ..Bench::default() }), "start pressure of the tank");
    let settings = Settings { tolerance: 0.0, ..Settings::default() };
    let tolerance = Bench::default().run(&every_72_s(1), &settings);
    assert!(matches!(tolerance, Err(Error::OutOfRange { quantity: "tolerance", .. })));
}

#[test]
fn a_stop_says_why_and_when() {
    let reason = StopReason::Unbalanced { quantity: "mass", residual: 2.5e-6 };
    let text = Error::Simulation { time_s: 12.5, reason }.to_string();
    assert_eq!(
        text,
        "the rehearsal stopped at 12.5 s: the balance of mass is off by 2.5e-6 of its turnover; at most 1e-6 \
         is accepted"
    );
}
