//! Fill times add up, and agree with the closed form where there is one.

use approx::assert_relative_eq;
use lungful::air::gas::Isotherm;
use lungful::sizing::compressor_fill_time::{Compressor, Delivery, Intake, Pump};
use lungful::units::{AbsolutePressure, GaugePressure, pressure::pascals};
use proptest::prelude::*;
use uom::si::f64::{
    ElectricCurrent, ElectricPotential, MassRate, Ratio, ThermodynamicTemperature, Volume, VolumeRate,
};
use uom::si::thermodynamic_temperature::kelvin;
use uom::si::{
    electric_current::ampere, electric_potential::volt, mass_rate::gram_per_second, volume::liter,
    volume_rate::liter_per_minute,
};

fn bar(value: f64) -> GaugePressure {
    GaugePressure::new(pascals(value * 1e5))
}

fn site() -> AbsolutePressure {
    AbsolutePressure::new(pascals(97_000.0)).unwrap()
}

fn air(temperature_k: f64) -> Isotherm {
    Isotherm::new(ThermodynamicTemperature::new::<kelvin>(temperature_k)).unwrap()
}

fn compressor(delivery: Delivery, current: Vec<(GaugePressure, ElectricCurrent)>) -> Compressor {
    Compressor {
        delivery,
        cut_in: bar(8.0),
        cut_out: bar(10.0),
        duty: Ratio::from(1.0),
        volts: Some(ElectricPotential::new::<volt>(24.0)),
        current: Some(current),
        max_run: None,
    }
}

fn amperes(value: f64) -> ElectricCurrent {
    ElectricCurrent::new::<ampere>(value)
}

/// A pump that still delivers at 12 bar: falling points, some of them nearly level, or open flow and a stall
/// from just above 12 bar.
fn delivery() -> impl Strategy<Value = Delivery> {
    let inlet = |value: f64| Intake::InletVolume(VolumeRate::new::<liter_per_minute>(value));
    prop_oneof![
        (12.01..40.0_f64, 1.0..1.67_f64).prop_map(move |(stall, index)| Delivery::OpenAndStall {
            open: inlet(30.0),
            stall: bar(stall * 101_325.0 / 97_000.0),
            index,
        }),
        prop::collection::vec(0.05..1.0_f64, 1..6).prop_map(move |steps| {
            let last = 13.0 / f64::from(u32::try_from(steps.len()).unwrap());
            let (mut pressure, mut flow) = (0.0, 40.0);
            let mut points = vec![(bar(0.0), inlet(flow))];
            for step in steps {
                pressure += last;
                flow *= step;
                points.push((bar(pressure), inlet(flow)));
            }
            Delivery::Points(points)
        }),
    ]
}

/// The clearance of a pump that stalls far above cut-out is small: the delivery then bends close to no pressure.
#[test]
fn two_runs_make_one_from_no_pressure_on() {
    let open = Intake::InletVolume(VolumeRate::new::<liter_per_minute>(30.0));
    let delivery = Delivery::OpenAndStall { open, stall: bar(30.0), index: 1.18 };
    let (pump, air) = (compressor(delivery, vec![(bar(0.0), amperes(5.0))]), air(253.15));
    let pump = Pump::new(&pump, &air, site()).unwrap();
    let run = |from, to| pump.run(Volume::new::<liter>(10.0), bar(from), bar(to)).unwrap().time.value;
    assert_relative_eq!(run(0.0, 10.4), run(0.0, 0.16) + run(0.16, 10.4), max_relative = 1e-11);
}

proptest! {
    #[test]
    fn two_runs_make_one(
        delivery in delivery(),
        mut stops in prop::array::uniform3(0.0..12.0_f64),
        temperature in 253.15..318.15_f64,
    ) {
        stops.sort_by(f64::total_cmp);
        let [a, b, c] = stops.map(bar);
        let pump = compressor(delivery, vec![(bar(0.0), amperes(5.0)), (bar(7.0), amperes(9.0))]);
        let air = air(temperature);
        let pump = Pump::new(&pump, &air, site()).unwrap();
        let run = |from, to| pump.run(Volume::new::<liter>(10.0), from, to).unwrap();
        let (whole, parts) = (run(a, c), run(a, b) + run(b, c));
        assert_relative_eq!(whole.time.value, parts.time.value, max_relative = 1e-9);
        let energy = |run: lungful::sizing::compressor_fill_time::Run| run.energy.unwrap().value;
        assert_relative_eq!(energy(whole), energy(parts), max_relative = 1e-9);
    }

    /// With a constant delivery m the integral of (d rho / d p) / m is the difference of the densities over m,
    /// whatever the gas; for an ideal gas `t = V (p2 - p1) / (R T m)`, from which air departs by a percent.
    #[test]
    fn constant_delivery_has_a_closed_form(
        grams in 0.1..5.0_f64,
        from in 0.0..8.0_f64,
        rise in 0.1..4.0_f64,
        temperature in 253.15..318.15_f64,
    ) {
        let rate = MassRate::new::<gram_per_second>(grams);
        let points = vec![(bar(0.0), Intake::Mass(rate)), (bar(13.0), Intake::Mass(rate))];
        let pump = compressor(Delivery::Points(points), vec![(bar(0.0), amperes(7.0))]);
        let air = air(temperature);
        let pump = Pump::new(&pump, &air, site()).unwrap();
        let (from, to, volume) = (bar(from), bar(from + rise), Volume::new::<liter>(10.0));
        let run = pump.run(volume, from, to).unwrap();
        let density = |pressure: GaugePressure| air.density(pressure.to_absolute(site()).unwrap()).unwrap();
        let seconds = ((density(to) - density(from)) * volume / rate).value;
        assert_relative_eq!(run.time.value, seconds, max_relative = 1e-9);
        // R = 8.31451 / 0.02896546 J/(kg K)
        let ideal = volume.value * (to - from).value / (287.049 * temperature * rate.value);
        assert_relative_eq!(run.time.value, ideal, max_relative = 0.02);
        // 24 V and 7 A throughout
        assert_relative_eq!(run.energy.unwrap().value, 168.0 * seconds, max_relative = 1e-9);
    }
}
