//! Worked examples of the work to compress air and the energy that it holds.

use lungful::air::gas::{self, Expansion, Isentrope, State};
use lungful::units::AbsolutePressure;
use uom::si::f64::{MassDensity, ThermodynamicTemperature};
use uom::si::mass_density::kilogram_per_cubic_meter;
use uom::si::thermodynamic_temperature::kelvin;

use super::figure::{Row, absolute, compare, temperature};

/// Molar mass of dry air, kg/mol.
const MOLAR_MASS: f64 = 0.028_965_46;

#[track_caller]
fn air(pressure: &str, at: &str) -> State {
    state(absolute(pressure), temperature(at))
}

#[track_caller]
fn state(pressure: AbsolutePressure, temperature: ThermodynamicTemperature) -> State {
    State::at(temperature, gas::density(pressure, temperature).unwrap()).unwrap()
}

/// Least work to compress a flow of air that is kept at one temperature: rise of `h - T s`, kJ/kg.
#[track_caller]
fn isothermal_work(from: &str, to: &str, at: &str) -> f64 {
    let free = |state: State| state.enthalpy().value - state.temperature().value * state.entropy().value;
    (free(air(to, at)) - free(air(from, at))) / 1e3
}

/// Work to compress a flow of air without heat and loss: rise of `h` along an isentrope, kJ/kg.
#[track_caller]
fn isentropic_work(from: &str, to: &str, at: &str) -> f64 {
    let line = Isentrope::through(absolute(from), temperature(at)).unwrap();
    let target = absolute(to);
    // Density at which the isentrope has the pressure wanted, by bisection up to a little more than an ideal
    // gas would need.
    let ideal = (target / absolute(from)).value.powf(1.0 / 1.4);
    let (mut low, mut high) = (line.start().density(), 1.02 * ideal * line.start().density());
    let mut end = line.start();
    for _ in 0..60 {
        let middle: MassDensity = 0.5 * (low + high);
        let Expansion::To(there) = line.state(middle, end.temperature()).unwrap() else { panic!("too cold") };
        if there.pressure().unwrap() < target {
            low = middle;
        } else {
            high = middle;
        }
        end = there;
    }
    (end.enthalpy() - line.start().enthalpy()).value / 1e3
}

#[test]
fn published_work_of_compression() {
    let ideal = "ideal gas with k = 1.4 and a rounded R in the source: 0.15 %";
    let isothermal = isothermal_work("1.013 bar(a)", "6 bar(a)", "305 K");
    let isentropic = isentropic_work("1.013 bar(a)", "6 bar(a)", "305 K");
    let inlet = gas::density(absolute("1.013 bar(a)"), temperature("305 K")).unwrap().value;
    let per_second = 100.0 * inlet / 60.0;
    compare([
        Row {
            source: "Somasundaram, Example 9.1, isothermal (kJ/kg)",
            expected: 155.7,
            tolerance: 0.25,
            reason: ideal,
            found: isothermal,
        },
        Row {
            source: "Somasundaram, Example 9.1, adiabatic (kJ/kg)",
            expected: 202.9,
            tolerance: 0.3,
            reason: ideal,
            found: isentropic,
        },
        Row {
            source: "Somasundaram, Example 9.1, isothermal power for 100 m3/min (kW)",
            expected: 300.3,
            tolerance: 0.45,
            reason: ideal,
            found: isothermal * per_second,
        },
        Row {
            source: "Somasundaram, Example 9.1, adiabatic power for 100 m3/min (kW)",
            expected: 391.4,
            tolerance: 0.6,
            reason: ideal,
            found: isentropic * per_second,
        },
        Row {
            source: "tests of the fluids library for Python, isothermal, 0.1 to 1 MPa at 300 K (J/mol)",
            expected: 5743.43,
            tolerance: 0.0015 * 5743.43,
            reason: ideal,
            found: 1e3 * MOLAR_MASS * isothermal_work("0.1 MPa abs", "1 MPa abs", "300 K"),
        },
        Row {
            source: "tests of the fluids library for Python, isentropic, 0.1 to 1 MPa from 300 K (J/mol)",
            expected: 8125.16,
            tolerance: 0.0015 * 8125.16,
            reason: ideal,
            found: 1e3 * MOLAR_MASS * isentropic_work("0.1 MPa abs", "1 MPa abs", "300 K"),
        },
    ]);
}

#[test]
fn published_heat_and_energy() {
    // Nag, Engineering Thermodynamics, Example 18.3: air at 300 K compressed to 3 bar with n = 1.3, then cooled
    // back to 300 K at that pressure.
    let compressed_k = 300.0 * 3.0_f64.powf(0.3 / 1.3);
    let hot = state(absolute("3 bar(a)"), ThermodynamicTemperature::new::<kelvin>(compressed_k));
    let intercooler = (hot.enthalpy() - air("3 bar(a)", "300 K").enthalpy()).value / 1e3;
    // Joel, Basic Engineering Thermodynamics, Example 5.12: 0.25 kg from 140 kPa, 0.15 m3 to 1400 kPa with
    // n = 1.25; the source's R of 0.287 kJ/(kg K) gives the first temperature.
    let at = |temperature_k: f64, volume_m3: f64| {
        let density = MassDensity::new::<kilogram_per_cubic_meter>(0.25 / volume_m3);
        State::at(ThermodynamicTemperature::new::<kelvin>(temperature_k), density).unwrap()
    };
    let first_k = 140.0 * 0.15 / (0.25 * 0.287);
    let first = at(first_k, 0.15);
    let second = at(first_k * 10.0_f64.powf(0.25 / 1.25), 0.15 * 10.0_f64.powf(-1.0 / 1.25));
    let rise = 0.25 * (second.internal_energy() - first.internal_energy()).value / 1e3;
    // Cengel & Boles, Thermodynamics, Example 8-7: work that 200 m3 of air at 1 MPa, 300 K could do in
    // surroundings at 100 kPa, 300 K: m (u - u0 + p0 (v - v0) - T0 (s - s0)).
    let (stored, around) = (air("1 MPa abs", "300 K"), air("100 kPa abs", "300 K"));
    let available = stored.internal_energy().value - around.internal_energy().value
        + 1e5 * (1.0 / stored.density().value - 1.0 / around.density().value)
        - 300.0 * (stored.entropy() - around.entropy()).value;
    compare([
        Row {
            source: "Nag, Example 18.3, intercooler (kJ/kg)",
            expected: 87.0,
            tolerance: 0.6,
            reason: "0.05 printed; cp is 1.005 kJ/(kg K) in the source, 1.011 in air at 3 bar, 300 to 387 K",
            found: intercooler,
        },
        Row {
            source: "Joel, Example 5.12, rise of internal energy (kJ)",
            expected: 30.73,
            tolerance: 0.1,
            reason: "cv is 0.718 kJ/(kg K) in the source; that of air rises by 2 % up to 464 K, less what 14 bar takes off",
            found: rise,
        },
        Row {
            source: "Cengel & Boles, Example 8-7 (MJ)",
            expected: 281.0,
            tolerance: 1.0,
            reason: "0.5 printed; an ideal gas gives 280.5, real air is 0.3 % denser in the tank",
            found: 200.0 * stored.density().value * available / 1e6,
        },
    ]);
}
