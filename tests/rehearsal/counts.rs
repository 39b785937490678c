//! The strokes of one fill, worked in time, against the slow and the quick count.

use lungful::air::gas::{Isentrope, Isotherm};
use lungful::rehearsal::{AirModel, FillCount, FillPattern, Settings, strokes_on_one_fill};
use lungful::sizing::tank_capacity::{
    AirReturn, Count, Demand, EndPressure, StrokeDraw, count_quick, count_slow,
};
use lungful::units::{AbsolutePressure, pressure::pascals};
use uom::si::f64::{ThermodynamicTemperature, Volume};
use uom::si::thermodynamic_temperature::kelvin;
use uom::si::volume::cubic_meter;

use crate::random::Draw;
use crate::rig::{Bench, gauge, s};

fn absolute(bench: &Bench, gauge_pa: f64) -> AbsolutePressure {
    AbsolutePressure::new(pascals(gauge_pa + bench.atmosphere)).unwrap()
}

/// Pressure needed at the end of the stroke.
fn need(bench: &Bench) -> f64 {
    let force =
        (bench.mass + bench.moving) * 9.806_65 / bench.efficiency + f64::from(bench.count) * bench.spring;
    let ring = 1.0 - (bench.rod / bench.bore).powi(2);
    (force / bench.area() + bench.back_pressure * ring) / (1.0 - bench.friction)
}

/// The two counts from full, and the pressure up to which a stroke is at full pressure.
fn counts(bench: &Bench, end: EndPressure, headroom: f64) -> (Count, Option<Count>) {
    let volume = |value: f64| Volume::new::<cubic_meter>(value);
    let swept = bench.area() * bench.stroke;
    let ring = swept * (1.0 - (bench.rod / bench.bore).powi(2));
    let draw = StrokeDraw {
        raise: volume(swept),
        lower: bench.rod_side.map(|_| AirReturn { swept: volume(ring), dead: volume(bench.dead) }),
        dead: volume(bench.dead),
        set: absolute(bench, bench.set),
        end: match end {
            EndPressure::SetPoint => None,
            EndPressure::Load => Some(absolute(bench, need(bench))),
        },
        atmosphere: absolute(bench, 0.0),
        demand: vec![Demand { swept: volume(swept), need: absolute(bench, need(bench)) }].into(),
    };
    let site = ThermodynamicTemperature::new::<kelvin>(bench.temperature);
    let air = Isotherm::new(site).unwrap();
    let (start, full) = (absolute(bench, bench.start), absolute(bench, bench.set + headroom));
    let slow = count_slow(&draw, volume(bench.tank), start, full, &air).unwrap();
    let line = Isentrope::through(start, site).unwrap();
    let quick = count_quick(&draw, volume(bench.tank), full, &air, &line).unwrap();
    (slow, quick)
}

fn rehearsed(bench: &Bench, end: EndPressure, headroom: f64, rest: f64) -> FillCount {
    let pattern = FillPattern {
        end_pressure: end,
        raise_within: s(1e5),
        lower_within: s(900.0),
        rest: s(rest),
        full_until: gauge(bench.set + headroom),
        most: 2000,
    };
    bench.with(|session| strokes_on_one_fill(session, &pattern, &Settings::default())).unwrap()
}

/// A rig that moves at its moving pressure, as the counts ask for.
fn drawn(draw: &mut Draw) -> (Bench, f64) {
    let mut bench = Bench {
        air: AirModel::Real,
        atmosphere: draw.even(0.75e5, 1.03e5),
        temperature: draw.even(265.0, 310.0),
        set: draw.even(2.5e5, 8e5),
        bore: draw.log(0.025, 0.1),
        stroke: draw.even(0.1, 0.8),
        friction: draw.even(0.02, 0.15),
        spring: if draw.chance(0.3) { draw.even(0.0, 60.0) } else { 0.0 },
        ..Bench::default()
    };
    bench.droop = draw.even(0.02, 0.1) * bench.set;
    let swept = bench.area() * bench.stroke;
    bench.dead = draw.even(0.01, 0.3) * swept;
    bench.tank = swept * draw.log(4.0, 40.0);
    bench.start = if draw.chance(0.1) { draw.even(3e6, 1.5e7) } else { draw.even(1.05, 2.0) * bench.set };
    if bench.start > 2e6 {
        bench.tank = swept * draw.even(0.8, 2.0);
    }
    let thrust = bench.area() * (bench.set - bench.droop) * (1.0 - bench.friction) - bench.spring;
    let raised = draw.even(0.2, 0.97) * thrust / 9.806_65;
    (bench.mass, bench.moving) = (0.9 * raised, 0.1 * raised);
    let size = bench.area() / 2e-3;
    bench.raise = (size * draw.log(2e-9, 2e-8), draw.even(0.1, 0.5));
    bench.lower = (size * draw.log(2e-9, 2e-8), draw.even(0.1, 0.5));
    bench.rated = size * 5e-3;
    if draw.chance(0.3) {
        bench.rod_side = Some((bench.raise, bench.lower));
    }
    (bench, draw.even(0.1, 0.5) * 1e5)
}

#[track_caller]
fn assert_between(number: u64, what: &str, quick: Option<&Count>, rehearsed: FillCount, slow: &Count) {
    let low = quick.map_or((0, 0), |count| (count.full_pressure, count.until_stall));
    let got = (rehearsed.full_pressure, rehearsed.until_stall);
    let high = (slow.full_pressure, slow.until_stall);
    assert!(low.0 <= got.0 && got.0 <= high.0, "rig {number}, {what}: {low:?} {got:?} {high:?}");
    assert!(low.1 <= got.1 && got.1 <= high.1, "rig {number}, {what}: {low:?} {got:?} {high:?}");
}

#[test]
fn strokes_lie_between_the_quick_and_the_slow_count() {
    let (mut differ, mut inside) = (0, 0);
    for number in 0..25 {
        let mut draw = Draw(77 + number);
        let (mut bench, headroom) = drawn(&mut draw);
        let end = EndPressure::SetPoint;
        let (slow, quick) = counts(&bench, end, headroom);
        let rest = draw.log(1.0, 600.0);
        bench.tank_heat = draw.log(0.02, 5.0);
        bench.cylinder_heat = draw.log(20.0, 200.0);
        let between = rehearsed(&bench, end, headroom, rest);
        assert_between(number, "some heat", quick.as_ref(), between, &slow);
        // With no heat the quick count is the bound.
        (bench.tank_heat, bench.cylinder_heat) = (0.0, 0.0);
        let cold = rehearsed(&bench, end, headroom, rest);
        assert_between(number, "no heat", quick.as_ref(), cold, &slow);
        if quick.is_some_and(|quick| quick.until_stall < slow.until_stall) {
            differ += 1;
            inside += u32::from(between.until_stall < slow.until_stall);
        }
    }
    // The bounds would hold idly if they were always alike.
    assert!(differ > 8, "{differ} {inside}");
}

/// Closed as the load arrives, the air may still be warm from filling the dead volume. A stroke then takes a
/// little less than the slow count says, and a few strokes in a hundred more are made; not fewer than quick.
#[test]
fn strokes_that_end_at_the_load_pressure_keep_near_the_counts() {
    for number in 0..40 {
        let mut draw = Draw(9_000 + number);
        let (mut bench, headroom) = drawn(&mut draw);
        bench.rod_side = None;
        let (slow, quick) = counts(&bench, EndPressure::Load, headroom);
        bench.tank_heat = draw.log(0.02, 5.0);
        bench.cylinder_heat = draw.log(20.0, 200.0);
        let got = rehearsed(&bench, EndPressure::Load, headroom, 600.0);
        let low = quick.map_or(0, |quick| quick.until_stall);
        let high = slow.until_stall + 1 + slow.until_stall / 10;
        assert!(low <= got.until_stall && got.until_stall <= high, "rig {number}: {low} {got:?} {high}");
    }
}

#[test]
fn fast_heat_gives_the_slow_count() {
    for number in 0..60 {
        let mut draw = Draw(4_000 + number);
        let (mut bench, headroom) = drawn(&mut draw);
        (bench.tank_heat, bench.cylinder_heat) = (f64::INFINITY, f64::INFINITY);
        for end in [EndPressure::SetPoint, EndPressure::Load] {
            let (slow, _) = counts(&bench, end, headroom);
            let got = rehearsed(&bench, end, headroom, 1.0);
            let got = (got.full_pressure, got.until_stall);
            let slow = (slow.full_pressure, slow.until_stall);
            // The rod side that empties through its valve holds the pistons back: at the moment of arrival
            // the pressure stands above what the load alone needs.
            if end == EndPressure::Load && bench.rod_side.is_some() {
                assert!(got.0 <= slow.0 && got.1 <= slow.1, "rig {number}: {got:?} {slow:?}");
            } else {
                assert_eq!(got, slow, "rig {number}, {end:?}");
            }
        }
    }
}
