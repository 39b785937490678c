//! Worked examples of the gas laws: gauge or absolute, air that is shut in, heated, or turned into free air.

use lungful::air::gas::{self, Isotherm};
use lungful::sizing::compressor_fill_time::Intake;
use lungful::sizing::cylinder_force::piston_area;
use lungful::units::{AbsolutePressure, Dimension};
use uom::si::f64::{Mass, ThermodynamicTemperature, Volume};
use uom::si::mass::kilogram;
use uom::si::volume::{cubic_inch, cubic_meter, gallon};

use super::figure::{PRINTED_DIGIT, Row, absolute, compare, flow, gauge, length, si, temperature, volume};

// Real over ideal result, CoolProp 8.0.0, fluid 'Air': see `tests/fixtures/ideal_gas_departure.py`.
const GENERAL_LAW: f64 = 1.031_84;
const GENERAL_LAW_METRIC: f64 = 1.032_36;
const HEATED_BOTTLE: f64 = 1.070_43;
const ISOTHERMAL_DELIVERY: f64 = 1.064_57;

/// Pounds per square inch in a pressure difference.
fn psi(pressure: uom::si::f64::Pressure) -> f64 {
    pressure.value / si("1 psi", Dimension::Pressure)
}

#[track_caller]
fn mass(pressure: AbsolutePressure, volume: Volume, temperature: ThermodynamicTemperature) -> Mass {
    gas::density(pressure, temperature).unwrap() * volume
}

#[track_caller]
fn pressure(mass: Mass, volume: Volume, temperature: ThermodynamicTemperature) -> AbsolutePressure {
    Isotherm::new(temperature).unwrap().pressure(mass / volume).unwrap()
}

/// Air that is shut in, before or after a change.
struct Shut {
    volume: Volume,
    temperature: &'static str,
}

/// Gauge pressure in psi after air at `start` has come to another volume and temperature; 14.7 psia outside.
#[track_caller]
fn psig_after(start: &str, before: &Shut, after: &Shut) -> f64 {
    let site = absolute("14.7 psia");
    let start = gauge(start).to_absolute(site).unwrap();
    let shut_in = mass(start, before.volume, temperature(before.temperature));
    let end = pressure(shut_in, after.volume, temperature(after.temperature));
    psi(end.to_gauge(site).above_atmosphere())
}

#[test]
fn published_gas_laws_at_the_pressures_of_a_rig() {
    let at = |volume: Volume, temperature| Shut { volume, temperature };
    let (one, half) = (volume("20 gal"), volume("10 gal"));
    let blocked = volume("20 in3");
    let swept: Volume = piston_area(length("2 in")) * length("4 in");
    let heated: Volume = mass(absolute("34.7 psia"), blocked, temperature("60 degF"))
        / gas::density(absolute("34.7 psia"), temperature("120 degF")).unwrap();
    let receiver = gas::density(absolute("139.7 psia"), temperature("90 degF")).unwrap();
    let ambient = gas::density(absolute("14.7 psia"), temperature("70 degF")).unwrap();
    let hot = mass(absolute("1.4 MPa abs"), volume("1 m3"), temperature("280 degC"));
    compare([
        Row {
            source: "Esposito, Fluid Power with Applications, Example 13-1 (Boyle, psig)",
            expected: 78.7,
            tolerance: 0.25,
            reason: "0.05 printed; ideal gas in the source, Z falls by 0.0016 to 0.0018 (0.17 of 93.4 psia)",
            found: psig_after("20 psig", &at(blocked, "70 degF"), &at(blocked - swept, "70 degF")),
        },
        Row {
            source: "Esposito, Example 13-2 (Charles at 20 psig, in3)",
            expected: 22.3,
            tolerance: 0.05,
            reason: PRINTED_DIGIT,
            found: heated.get::<cubic_inch>(),
        },
        Row {
            source: "Esposito, Example 13-3 (closed vessel heated, psig)",
            expected: 26.7,
            tolerance: 0.05,
            reason: PRINTED_DIGIT,
            found: psig_after("20 psig", &at(one, "60 degF"), &at(one, "160 degF")),
        },
        Row {
            source: "Esposito, Example 13-6 (free air of 30 cfm at 125 psig, cfm)",
            expected: 275.0,
            tolerance: 0.6,
            reason: "0.5 printed, and Z = 0.9982 at 139.7 psia, 90 degF against 0.9996 outside",
            found: 30.0 * (receiver / ambient).value,
        },
        Row {
            source: "Sullivan, Fluid Power Theory & Applications, 4th ed., Example 15.1 (Boyle, psig)",
            expected: 54.7,
            tolerance: 0.1,
            reason: "0.05 printed; ideal gas in the source, Z falls by 0.0009 (0.06 of 69.4 psia)",
            found: psig_after("20 psig", &at(one, "70 degF"), &at(half, "70 degF")),
        },
        Row {
            source: "Joel, Basic Engineering Thermodynamics, Example 5.6 (kg in 0.03 m3)",
            expected: 0.118,
            tolerance: 0.0018,
            reason: "R is 0.29 kJ/(kg K) in the source, 1 % above that of air; 0.0005 printed",
            found: mass(absolute("350 kPa abs"), volume("0.03 m3"), temperature("35 degC")).get::<kilogram>(),
        },
        Row {
            source: "Joel, Example 5.11 (volume of 0.675 kg, m3)",
            expected: 0.0765,
            tolerance: 0.0005,
            reason: "0.00005 printed; ideal gas in the source, Z = 1.0055 at 1.4 MPa, 280 degC",
            found: 0.675 / hot.get::<kilogram>(),
        },
        Row {
            source: "Joel, Example 5.11 (kPa after expansion to four times the volume, 92 degC)",
            expected: 231.0,
            tolerance: 0.85,
            reason: "0.5 printed, and 92 degC is printed to half a degree, which is 0.14 %",
            found: pressure(
                Mass::new::<kilogram>(0.675),
                Volume::new::<cubic_meter>(4.0 * 0.0765),
                temperature("92 degC"),
            )
            .pascals()
                / 1e3,
        },
    ]);
}

/// The sources take an ideal gas. At 70 bar and above that is wrong by some percent, so here the print is first
/// multiplied by what real air does to it.
#[test]
fn cross_checked_published_gas_laws_at_the_pressures_of_a_bottle() {
    let at = |volume: Volume, temperature| Shut { volume, temperature };
    let bottle = volume("10 L");
    let general =
        psig_after("1000 psig", &at(volume("2000 in3"), "100 degF"), &at(volume("1500 in3"), "200 degF"));
    let metric = {
        let site = absolute("1 bar(a)");
        let start = gauge("70 bar(g)").to_absolute(site).unwrap();
        let shut_in = mass(start, volume("12900 cm3"), temperature("37.8 degC"));
        pressure(shut_in, volume("9680 cm3"), temperature("93.3 degC")).pascals() / 1e5
    };
    let heated = psig_after("2000 psig", &at(bottle, "80 degF"), &at(bottle, "250 degF"));
    // The volume, at the pressure of the precharge, of a bottle that gives 5 gal between two pressures.
    let delivering = {
        let air = Isotherm::new(temperature("68 degF")).unwrap();
        let site = absolute("14.7 psia");
        let density = |text| air.density(gauge(text).to_absolute(site).unwrap()).unwrap();
        let (precharge, full, low) = (density("1500 psig"), density("3000 psig"), density("2000 psig"));
        (volume("5 gal") / (precharge / low - precharge / full)).get::<gallon>()
    };
    let absolute_zero = "the source counts degF from -460, not -459.67: 1e-4 of the pressure";
    compare([
        Row {
            source: "Esposito, Example 13-4 (general gas law, psia)",
            expected: (1579.8 + 14.7) * GENERAL_LAW,
            tolerance: 0.25,
            reason: absolute_zero,
            found: general + 14.7,
        },
        Row {
            source: "Esposito, Example 13-5 (general gas law, bar absolute)",
            expected: 111.5 * GENERAL_LAW_METRIC,
            tolerance: 0.05 * GENERAL_LAW_METRIC,
            reason: PRINTED_DIGIT,
            found: metric,
        },
        Row {
            source: "Sullivan, 4th ed., Example 15.3 (bottle heated, psia)",
            expected: (2634.257 + 14.7) * HEATED_BOTTLE,
            tolerance: 0.45,
            reason: absolute_zero,
            found: heated + 14.7,
        },
        Row {
            source: "Sullivan, 4th ed., Example 12.4 (isothermal delivery, gal)",
            expected: 20.049 * ISOTHERMAL_DELIVERY,
            tolerance: 0.002,
            reason: "0.0005 printed, and the factor is noted to 5e-6",
            found: delivering,
        },
    ]);
}

#[test]
fn published_free_air_of_an_intake() {
    // Somasundaram, Example 9.1: 100 m3/min at 305 K, 1.013 bar (absolute) are 115.73 kg/min, with
    // R = 0.287 kJ/(kg K).
    let inlet = gas::density(absolute("1.013 bar(a)"), temperature("305 K")).unwrap();
    let intake = Intake::InletVolume(flow("100 m3/min"));
    compare([Row {
        source: "Somasundaram, Example 9.1 (kg/min)",
        expected: 115.73,
        tolerance: 0.05,
        reason: "R rounded to 0.287 (2e-4) and Z = 0.9998",
        found: intake.mass_rate(inlet).get::<uom::si::mass_rate::kilogram_per_minute>(),
    }]);
}
