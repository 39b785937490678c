//! The law itself: joints, directions, inverses.

use approx::assert_relative_eq;
use uom::si::ratio::ratio;
use uom::si::thermodynamic_temperature::kelvin;

use super::*;
use crate::units::pressure::pascals;

fn absolute(value: f64) -> AbsolutePressure {
    AbsolutePressure::new(pascals(value)).unwrap()
}

fn room() -> ThermodynamicTemperature {
    ThermodynamicTemperature::new::<kelvin>(293.15)
}

fn restriction(critical_ratio: f64) -> Restriction {
    Restriction::new(Conductance::from_si(1e-8).unwrap(), Ratio::new::<ratio>(critical_ratio)).unwrap()
}

fn samples() -> Vec<Restriction> {
    let mut all = Vec::new();
    for critical_ratio in [0.0, 0.1, 0.3, 0.5, 0.528, 0.7, 0.95] {
        let plain = restriction(critical_ratio);
        all.push(plain);
        all.push(plain.with_subsonic_index(0.58).unwrap());
        all.push(plain.with_cracking_pressure(pascals(0.2e5)).unwrap());
        all.push(plain.with_cracking_pressure(pascals(4e5)).unwrap());
    }
    all
}

#[test]
fn flow_is_continuous_at_both_joints() {
    for restriction in samples() {
        let law = restriction.law();
        let mut last = law.share(6e5, 1.0);
        for step in 1..=60_000 {
            let share = law.share(6e5, f64::from(step) * 10.0);
            // Slope of the steepest linear part: 1 within 0.001 of 6 bar = 600 Pa, so 10 Pa give 1/60.
            assert!(share <= last + 1e-15 && last - share < 1.0 / 59.0, "{restriction:?} at step {step}");
            last = share;
        }
        assert!(law.share(6e5, 6e5) <= 0.0);
    }
}

#[test]
fn more_pressure_upstream_passes_more() {
    for restriction in samples() {
        let law = restriction.law();
        let mut last = 0.0;
        for step in 0..=5000 {
            let flow = law.forward(2e5 + f64::from(step) * 200.0, 2e5, 300.0);
            assert!(flow >= last, "{restriction:?} at step {step}");
            last = flow;
        }
        assert!(last > 0.0);
    }
}

#[test]
fn inverses_give_the_flow_back() {
    for restriction in samples() {
        let law = restriction.law();
        for outlet in [0.5e5, 1e5, 3e5, 5.5e5, 5.99e5, 5.995e5, 5.999e5] {
            let flow = law.forward(6e5, outlet, 310.0);
            if flow == 0.0 {
                continue;
            }
            assert_relative_eq!(law.inlet(flow, outlet, 310.0), 6e5, max_relative = 1e-12);
            let found = law.outlet(flow, 6e5, 310.0).unwrap();
            // A choked restriction answers with the highest outlet that still chokes it.
            if law.is_choked(6e5, outlet) {
                assert!(found >= outlet * (1.0 - 1e-12), "{restriction:?} at {outlet}");
            } else {
                assert_relative_eq!(found, outlet, max_relative = 1e-9);
            }
        }
        assert_eq!(law.outlet(1.0001 * law.choked_flow(6e5, 310.0), 6e5, 310.0), None);
    }
}

#[test]
fn a_check_valve_opens_at_its_cracking_pressure_and_holds_backwards() {
    let valve = restriction(0.4).with_cracking_pressure(pascals(0.5e5)).unwrap();
    let flow = |one, two| valve.mass_flow(absolute(one), absolute(two), room()).unwrap().value;
    assert!(flow(5e5, 4.5e5).abs() <= 0.0);
    assert!(flow(5e5, 4.49e5) > 0.0);
    assert!(flow(2e5, 5e5).abs() <= 0.0);
    // analytic: u = (0.8 - 0.4)/(0.9 - 0.4) = 0.8, f = 0.6
    assert_relative_eq!(flow(5e5, 4e5), 1e-8 * 1.185 * 5e5 * 0.6, max_relative = 1e-12);
}

#[test]
fn warm_air_passes_less() {
    let flow = |at| {
        let air = ThermodynamicTemperature::new::<kelvin>(at);
        restriction(0.3).mass_flow(absolute(5e5), absolute(1e5), air).unwrap().value
    };
    // analytic: sqrt(T0/T1) = 1/2 at four times the reference temperature
    assert_relative_eq!(flow(4.0 * 293.15), 0.5 * flow(293.15), max_relative = 1e-14);
}

#[test]
fn choking_is_told_in_both_directions() {
    let valve = restriction(0.3);
    assert!(valve.choked(absolute(10e5), absolute(3e5)));
    assert!(!valve.choked(absolute(10e5), absolute(3.01e5)));
    assert!(valve.choked(absolute(2e5), absolute(10e5)));
}

#[test]
fn what_cannot_be_is_refused() {
    for value in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        assert!(Conductance::from_si(value).is_err(), "{value}");
    }
    let some = Conductance::from_si(1e-8).unwrap();
    for value in [-0.1, 1.0, f64::NAN] {
        assert!(Restriction::new(some, Ratio::new::<ratio>(value)).is_err(), "{value}");
    }
    let cold = ThermodynamicTemperature::new::<kelvin>(0.0);
    assert!(restriction(0.3).mass_flow(absolute(2e5), absolute(1e5), cold).is_err());
    assert!(restriction(0.3).with_subsonic_index(f64::NAN).is_err());
    assert!(restriction(0.3).with_cracking_pressure(pascals(-1.0)).is_err());
}

#[test]
fn the_outlet_behind_a_droop_by_hand() {
    // b = 0.25 and p2/p1 = 3.5/5: u = (0.7 - 0.25)/0.75 = 0.6, so 0.8 of the choked flow. Where that takes a tenth
    // of the inlet, 0.8 of it takes 0.4 bar from a set point of 5.4 bar. The flow by its choked value rises by
    // 0.8 + u/0.8 * 0.7/0.75 = 1.5 for each inlet.
    let law = restriction(0.25).law();
    let (inlet, slope) = law.inlet_behind_droop(5.4e5, 0.1, 3.5e5);
    assert_relative_eq!(inlet, 5e5, max_relative = 1e-14);
    assert_relative_eq!(slope, 1.0 + 0.1 * 1.5, max_relative = 1e-13);
}
