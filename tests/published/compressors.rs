//! Worked examples of volumetric efficiency and free-air delivery of a piston compressor.

use lungful::air::gas;
use lungful::sizing::compressor_fill_time::volumetric_efficiency;
use lungful::sizing::cylinder_force::piston_area;
use uom::si::f64::Volume;
use uom::si::volume::{cubic_centimeter, cubic_meter};

use super::figure::{PRINTED_DIGIT, Row, absolute, compare, length, temperature, volume};

/// Density of the air at the cylinder's inlet over that of the air in which delivery is counted.
#[track_caller]
fn inlet_over_free(inlet: (&str, &str), free: (&str, &str)) -> f64 {
    let density = |(pressure, at)| gas::density(absolute(pressure), temperature(at)).unwrap();
    (density(inlet) / density(free)).value
}

#[track_caller]
fn pressure_ratio(outlet: &str, inlet: &str) -> f64 {
    (absolute(outlet) / absolute(inlet)).value
}

#[test]
fn published_volumetric_efficiency() {
    let clearance = volume("100 cm3") / volume("2000 cm3");
    compare([
        Row {
            source: "Nag, Engineering Thermodynamics, Example 18.2 (%)",
            expected: 78.6,
            tolerance: 0.05,
            reason: PRINTED_DIGIT,
            found: 100.0 * volumetric_efficiency(clearance.value, 8.0, 1.25),
        },
        Row {
            source: "Arasu, Thermal Engineering, Example 5.4 (%)",
            expected: 79.7,
            tolerance: 0.05,
            reason: PRINTED_DIGIT,
            found: 100.0 * volumetric_efficiency(0.05, pressure_ratio("7 bar(a)", "1 bar(a)"), 1.2),
        },
        Row {
            source: "Somasundaram, Example 9.5, clearance 0.05",
            expected: 0.748,
            tolerance: 0.0005,
            reason: PRINTED_DIGIT,
            found: volumetric_efficiency(0.05, 10.0, 1.0 / 0.781_25),
        },
        Row {
            source: "Somasundaram, Example 9.5, clearance 0.10",
            expected: 0.496,
            tolerance: 0.0005,
            reason: PRINTED_DIGIT,
            found: volumetric_efficiency(0.10, 10.0, 1.0 / 0.781_25),
        },
    ]);
}

#[test]
fn published_free_air_delivery() {
    // Joel, Basic Engineering Thermodynamics, Example 14.1: bore 200 mm, stroke 300 mm, 500 rev/min, clearance
    // 5 %, n 1.3, 97 kPa and 20 degC in, 550 kPa out; free air at 101.325 kPa, 15 degC.
    let swept: Volume = piston_area(length("200 mm")) * length("300 mm");
    let breathed = volumetric_efficiency(0.05, pressure_ratio("550 kPa abs", "97 kPa abs"), 1.3);
    let to_free = inlet_over_free(("97 kPa abs", "20 degC"), ("101.325 kPa abs", "15 degC"));
    // Nag, Example 18.2: 2000 cm3 swept, 100 cm3 clearance, ratio 8, n 1.25, 800 rev/min.
    let nag = volume("2000 cm3") * volumetric_efficiency(0.05, 8.0, 1.25);
    // Arasu, Example 5.4: 1 bar and 310 K in, ambient 1.01325 bar and 288 K.
    let arasu = volumetric_efficiency(0.05, 7.0, 1.2)
        * inlet_over_free(("1 bar(a)", "310 K"), ("1.01325 bar(a)", "288 K"));
    compare([
        Row {
            source: "Joel, Example 14.1 (m3/min)",
            expected: 3.814,
            tolerance: 0.001,
            reason: "0.0005 printed; the source counts degC from -273 (1e-5) and takes an ideal gas (1e-4)",
            found: 500.0 * swept.get::<cubic_meter>() * breathed * to_free,
        },
        Row {
            source: "Joel, Example 14.1, efficiency referred to free air (%)",
            expected: 80.9,
            tolerance: 0.05,
            reason: PRINTED_DIGIT,
            found: 100.0 * breathed * to_free,
        },
        Row {
            source: "Nag, Example 18.2 (m3/min)",
            expected: 1.26,
            tolerance: 0.005,
            reason: PRINTED_DIGIT,
            found: 800.0 * nag.get::<cubic_centimeter>() / 1e6,
        },
        Row {
            source: "Arasu, Example 5.4, efficiency referred to ambient air (%)",
            expected: 73.1,
            tolerance: 0.05,
            reason: PRINTED_DIGIT,
            found: 100.0 * arasu,
        },
    ]);
}
