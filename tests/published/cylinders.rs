//! Worked examples of bore, rod side and thrust.

use lungful::sizing::cylinder_force::{Action, Cylinders, rod_side_area};
use lungful::units::{Dimension, GaugePressure};
use uom::si::f64::{Force, Length, Pressure, Ratio, Volume};
use uom::si::force::{newton, pound_force};
use uom::si::length::{centimeter, inch};
use uom::si::ratio::percent;
use uom::si::volume::cubic_inch;

use super::figure::{PRINTED_DIGIT, Row, compare, force, gauge, length, si};

/// One cylinder without losses, as the sources take it.
fn cylinder(bore: &str) -> Cylinders {
    Cylinders {
        count: 1,
        bore: length(bore),
        rod: Length::default(),
        stroke: length("1 in"),
        action: Action::Single,
        rating: gauge("3000 psig"),
        friction: Ratio::default(),
        clearance: Volume::default(),
        return_spring: Force::default(),
        back_pressure: Pressure::default(),
    }
}

#[track_caller]
fn bore_for(force_text: &str, pressure: &str) -> Length {
    let whole_thrust = Ratio::new::<percent>(100.0);
    cylinder("1 in").bore_for(force(force_text), gauge(pressure), whole_thrust).unwrap()
}

fn psi(pressure: GaugePressure) -> f64 {
    pressure.pascals() / si("1 psi", Dimension::Pressure)
}

#[test]
fn published_bore_for_a_thrust() {
    let large = bore_for("80000 lbf", "1600 psig");
    compare([
        Row {
            source: "Wentzell, Machine Design, Example 10.1 (in)",
            expected: 2.39,
            tolerance: 0.005,
            reason: PRINTED_DIGIT,
            found: bore_for("450 lbf", "100 psig").get::<inch>(),
        },
        Row {
            source: "Sullivan, Fluid Power Theory & Applications, 4th ed., Example 8.1 (in)",
            expected: 7.979,
            tolerance: 0.0005,
            reason: PRINTED_DIGIT,
            found: large.get::<inch>(),
        },
        Row {
            source: "Sullivan, Example 8.1 in SI units (cm)",
            expected: 20.266,
            tolerance: 0.0015,
            reason: "0.0005 printed, and the source converts force and pressure with five digits",
            found: large.get::<centimeter>(),
        },
    ]);
}

#[test]
fn published_rod_side() {
    let hundred = gauge("100 psig").above_atmosphere();
    let ring = rod_side_area(length("2.5 in"), length("1 in"));
    let cylinders = Cylinders { rod: length("1 in"), stroke: length("20 in"), ..cylinder("2.5 in") };
    let cycle: Volume = (cylinders.cap_area() + cylinders.ring_area()) * cylinders.stroke;
    let pulling = rod_side_area(length("3 in"), length("1.5 in"));
    compare([
        Row {
            source: "Wentzell, Example 10.1, pull at 100 psi (lbf)",
            expected: 412.0,
            tolerance: 0.5,
            reason: PRINTED_DIGIT,
            found: (hundred * ring).get::<pound_force>(),
        },
        Row {
            source: "Wentzell, Example 10.1, volume of one cycle (in3)",
            expected: 180.7,
            tolerance: 0.1,
            reason: "0.05 printed, and the book rounds each area first: its own formula gives 180.64",
            found: cycle.get::<cubic_inch>(),
        },
        Row {
            source: "Sullivan, Example 8.6, pressure on the rod side for 7500 lbf (psi)",
            expected: 1413.711,
            tolerance: 1.05,
            reason: "the print is 1.000 below the quotient of its own inputs, 7500 / (pi/4 (3^2 - 1.5^2)) = 1414.711",
            found: psi(GaugePressure::new(force("7500 lbf") / pulling)),
        },
    ]);
}

#[test]
fn published_thrust_through_two_pistons() {
    // Wentzell, Example 10.2: 100 psi on a 4 in piston that pushes a 1 in ram into oil, and the oil a 3 in piston.
    let ram = cylinder("1 in").load_pressure(cylinder("4 in").thrust(gauge("100 psig")));
    compare([
        Row {
            source: "Wentzell, Example 10.2, oil (psi)",
            expected: 1600.0,
            tolerance: 1e-6,
            reason: "a ratio of squares of whole numbers, exact but for rounding",
            found: psi(ram),
        },
        Row {
            source: "Wentzell, Example 10.2, output (lbf)",
            expected: 11_309.73,
            tolerance: 0.01,
            reason: "0.005 printed, and the pound-force here is a seven-digit one",
            found: cylinder("3 in").thrust(ram).get::<pound_force>(),
        },
    ]);
}

#[test]
fn analytic_thrust() {
    // pi/4 D^2 p: 0.785398 * 63^2 * 0.6 = 1870.35, 0.785398 * 50^2 * 0.6 = 1178.10.
    let newtons = |bore| cylinder(bore).thrust(gauge("6 bar(g)")).get::<newton>();
    compare([
        Row {
            source: "63 mm at 6 bar (N)",
            expected: 1870.35,
            tolerance: 0.01,
            reason: PRINTED_DIGIT,
            found: newtons("63 mm"),
        },
        Row {
            source: "50 mm at 6 bar (N)",
            expected: 1178.10,
            tolerance: 0.01,
            reason: PRINTED_DIGIT,
            found: newtons("50 mm"),
        },
    ]);
}
