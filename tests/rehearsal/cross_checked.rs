//! Sessions against scipy's `solve_ivp` (Radau, rtol 1e-10), see `tests/fixtures/rehearsal/twin.py`.
//!
//! The twin is written from the equations with pressures as states and events of its own. Both follow the
//! same law of flow, the soft seat of the regulator included.

use lungful::rehearsal::{Action, Mode, Rehearsal, Schedule, Settings, Task, Until};
use lungful::sizing::linkage::{Lever, LeverGeometry, Linkage};
use serde_json::Value;
use uom::si::angle::degree;
use uom::si::f64::{Angle, Length, Mass};
use uom::si::length::meter;

use crate::rig::{Bench, compressor, s};

const CASES: &str = include_str!("../fixtures/rehearsal/cases.json");

/// Agreement asked for, as a share of each figure; travel as a share of the stroke.
const TOLERANCE: f64 = 1e-5;

fn pair(value: &Value) -> (f64, f64) {
    (value[0].as_f64().unwrap(), value[1].as_f64().unwrap())
}

fn lever(value: &Value, stroke: f64) -> Linkage {
    let length = |name: &str| Length::new::<meter>(value[name].as_f64().unwrap());
    let angle = |name: &str| Angle::new::<degree>(value[name].as_f64().unwrap());
    let geometry = LeverGeometry {
        foot_x: length("foot_x"),
        foot_y: length("foot_y"),
        pin_arm: length("pin_arm"),
        pin_offset: angle("pin_offset"),
        load_arm: length("load_arm"),
        start_angle: angle("start"),
        end_angle: None,
        closed_length: None,
        arm_mass: Mass::default(),
        arm_centre: Length::default(),
        arm_centre_offset: Angle::default(),
    };
    Linkage::Lever(Lever::new(&geometry, Length::new::<meter>(stroke)).unwrap())
}

/// The rig of a case: the defaults of [`Bench`] are those of the twin.
fn bench(given: &Value) -> Bench {
    let mut bench = Bench::default();
    let stroke = given.get("stroke").and_then(Value::as_f64).unwrap_or(bench.stroke);
    for (name, value) in given.as_object().unwrap() {
        let number = value.as_f64().unwrap_or(f64::NAN);
        match name.as_str() {
            "atmosphere" => bench.atmosphere = number,
            "temperature" => (bench.temperature, bench.outlet) = (number, number),
            "tank" => bench.tank = number,
            "start" => bench.start = number,
            "tank_heat" => bench.tank_heat = number,
            "cylinder_heat" => bench.cylinder_heat = number,
            "droop" => bench.droop = number,
            "rated" => bench.rated = number,
            "raise_" => bench.raise = pair(value),
            "lower" => bench.lower = pair(value),
            "rod_side" => bench.rod_side = Some((pair(&value[0]), pair(&value[1]))),
            "dead" => bench.dead = number,
            "count" => bench.count = u32::try_from(value.as_u64().unwrap()).unwrap(),
            "stroke" => bench.stroke = number,
            "breakaway" => bench.breakaway = number,
            "spring" => bench.spring = number,
            "mass" => bench.mass = number,
            "moving" => bench.moving = number,
            "take_up" => bench.take_up = number,
            "efficiency" => bench.efficiency = number,
            "lever" => bench.linkage = Some(lever(value, stroke)),
            "leak" => bench.leak = Some(pair(value)),
            "relief" => bench.relief = Some(pair(value)),
            "line_relief" => bench.line_relief = Some(pair(value)),
            "pump" => {
                let of = |key: &str| value[key].as_f64().unwrap();
                bench.pump = Some(compressor(of("open"), of("stall"), of("cut_in"), of("cut_out")));
                bench.outlet = of("outlet");
            }
            other => panic!("the twin has a field that is not followed here: {other}"),
        }
    }
    bench
}

fn run(case: &Value, tolerance: f64, traced: bool) -> (Bench, Rehearsal) {
    let bench = bench(&case["given"]);
    let time = |index: usize| Until::Elapsed(s(case["times"][index].as_f64().unwrap()));
    let actions = [Action::Raise, Action::Hold, Action::Lower, Action::Rest];
    let cycle = actions.iter().enumerate().map(|(at, &action)| Task { action, until: time(at) }).collect();
    let settings = Settings {
        tolerance,
        trace_every: traced.then(|| s(case["every"].as_f64().unwrap())),
        ..Settings::default()
    };
    let done = bench.run(&Schedule::repeated(cycle, 1), &settings).unwrap();
    (bench, done)
}

/// The largest disagreement of a case as a share of each figure, and where it is.
fn worst(case: &Value, tolerance: f64) -> (f64, String) {
    let (bench, done) = run(case, tolerance, true);
    let mut worst = (0.0, String::new());
    let rows = case["rows"].as_array().unwrap();
    assert!(rows.len() > 60, "{}", rows.len());
    for (row, expected) in done.trace.iter().zip(rows) {
        let of = |index: usize| expected[index].as_f64().unwrap();
        let mut see = |what: &str, got: f64, expected: f64, scale: f64| {
            let off = (got - expected).abs() / scale;
            if off > worst.0 || off.is_nan() {
                worst = (off, format!("{what} at {} s: {got}, twin {expected}", row.time_s));
            }
        };
        see("time", row.time_s, of(0), 1.0);
        let absolute = |gauge: f64| gauge + bench.atmosphere;
        see("tank pressure", absolute(row.tank_pa_gauge), of(1), of(1));
        see("tank temperature", row.tank_k, of(2), of(2));
        see("cap pressure", absolute(row.cap_pa_gauge), of(3), of(3));
        see("cap temperature", row.cap_k, of(4), of(4));
        if let (Some(pressure), Some(temperature)) = (row.rod_pa_gauge, row.rod_k) {
            see("rod pressure", absolute(pressure), of(5), of(5));
            see("rod temperature", temperature, of(6), of(6));
        }
        see("travel", row.travel_m, of(7), bench.stroke);
    }
    // First movement, arrival and return as the twin has them.
    let time = |name: &str| {
        let events = case["events"].as_array().unwrap();
        events.iter().find(|event| event[0] == name).map(|event| event[1].as_f64().unwrap())
    };
    let lift = done.lifts[0];
    let lowered = case["times"][0].as_f64().unwrap() + case["times"][1].as_f64().unwrap();
    for (what, got, expected) in [
        ("first movement", lift.delay.map(|time| time.value), time("out")),
        ("arrival", lift.raise_time.map(|time| time.value), time("mark:top")),
        ("return", lift.lower_time.map(|time| time.value + lowered), time("mark:bottom")),
    ] {
        let (Some(got), Some(expected)) = (got, expected) else {
            assert_eq!(got.is_some(), expected.is_some(), "{what}: {got:?}, twin {expected:?}");
            continue;
        };
        let off = (got - expected).abs() / expected.max(1.0);
        if off > worst.0 {
            worst = (off, format!("{what}: {got}, twin {expected}"));
        }
    }
    worst
}

#[test]
fn cross_checked_sessions() {
    let file: Value = serde_json::from_str(CASES).unwrap();
    let cases = file["cases"].as_array().unwrap();
    assert!(cases.len() >= 12);
    for case in cases {
        let (off, place) = worst(case, 1e-9);
        assert!(off <= TOLERANCE, "{}: off by {off:e}, {place}", case["name"]);
    }
}

/// The error and the time at the usual tolerance, to be held against `twin.py equal` (run with `--release` and
/// `--nocapture`).
#[test]
fn cross_checked_error_at_the_usual_tolerance() {
    const ROUNDS: u32 = 20;
    let file: Value = serde_json::from_str(CASES).unwrap();
    let cases = file["cases"].as_array().unwrap();
    let usual = Settings::default().tolerance;
    let errors: Vec<f64> = cases.iter().map(|case| worst(case, usual).0).collect();
    let begin = std::time::Instant::now();
    for _ in 0..ROUNDS {
        for case in cases {
            run(case, usual, false);
        }
    }
    let took = begin.elapsed().as_secs_f64() / f64::from(ROUNDS);
    let largest = errors.iter().fold(0.0_f64, |largest, error| largest.max(*error));
    eprintln!("largest error {largest:.1e}, {:.3} ms for {} cases", 1e3 * took, cases.len());
    assert!(largest <= 5.0 * TOLERANCE, "{errors:?}");
}

#[test]
fn cross_checked_modes() {
    // The case that stalls stands on the way and is held there.
    let file: Value = serde_json::from_str(CASES).unwrap();
    let case =
        file["cases"].as_array().unwrap().iter().find(|case| case["name"] == "stalls half way").unwrap();
    let (_, done) = run(case, 1e-9, true);
    assert!(!done.lifts[0].outcome.arrived());
    assert!(done.trace.iter().any(|row| row.mode == Mode::Held));
}
