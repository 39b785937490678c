//! Worked examples of the air that cylinders take.

use lungful::air::gas::{self, Isotherm};
use lungful::sizing::compressor_fill_time::{Intake, kept_up_rate};
use lungful::sizing::cylinder_force::{piston_area, rod_side_area};
use lungful::sizing::tank_capacity::{AirReturn, Demands, StrokeAir, StrokeDraw};
use lungful::units::AbsolutePressure;
use uom::si::area::square_inch;
use uom::si::f64::{Area, Mass, Ratio, Volume};
use uom::si::ratio::percent;
use uom::si::volume::{cubic_foot, cubic_inch, cubic_meter};

use super::figure::{
    PRINTED_DIGIT, Row, absolute, area, compare, flow, gauge, length, temperature, time, volume,
};

/// What stands around the cylinder: the sources count free air at this state.
struct Ambient {
    pressure: &'static str,
    temperature: &'static str,
}

/// The sources that give no temperature take the same one on both sides.
const US: Ambient = Ambient { pressure: "14.7 psia", temperature: "68 degF" };
const METRIC: Ambient = Ambient { pressure: "101 kPa abs", temperature: "20 degC" };

impl Ambient {
    #[track_caller]
    fn to_absolute(&self, reading: &str) -> AbsolutePressure {
        gauge(reading).to_absolute(absolute(self.pressure)).unwrap()
    }

    /// Air of one stroke without dead volume.
    #[track_caller]
    fn stroke(&self, raise: Volume, lower: Option<Volume>, set: AbsolutePressure, inside: &str) -> StrokeAir {
        let draw = StrokeDraw {
            raise,
            lower: lower.map(|swept| AirReturn { swept, dead: Volume::default() }),
            dead: Volume::default(),
            set,
            end: None,
            atmosphere: absolute(self.pressure),
            demand: Demands::default(),
        };
        draw.stroke_air(&Isotherm::new(temperature(inside)).unwrap()).unwrap()
    }

    #[track_caller]
    fn free_air(&self, mass: Mass) -> Volume {
        mass / gas::density(absolute(self.pressure), temperature(self.temperature)).unwrap()
    }
}

#[test]
fn published_consumption_on_the_cap_side() {
    let two_by_ten: Volume = piston_area(length("2 in")) * length("10 in");
    let two_by_ten = US.stroke(two_by_ten, None, US.to_absolute("80 psig"), US.temperature).total();
    let metric: Volume = area("20.3 cm2") * length("25.4 cm");
    let metric = METRIC.stroke(metric, None, absolute("653 kPa abs"), METRIC.temperature).total();
    let swept = US.stroke(volume("0.327 ft3"), None, absolute("104.7 psia"), US.temperature).total();
    compare([
        Row {
            source: "Sullivan, Fluid Power Theory & Applications, 4th ed., Example 15.5, 40 strokes/min (cfm)",
            expected: 4.685,
            tolerance: 0.0105,
            reason: "0.0005 printed; ideal gas in the source, Z is 0.9977 inside and 0.9996 outside",
            found: 40.0 * US.free_air(two_by_ten).get::<cubic_foot>(),
        },
        Row {
            source: "Sullivan, Example 15.5 in SI units (m3/min)",
            expected: 0.133,
            tolerance: 0.0008,
            reason: "0.0005 printed and 0.0003 of real gas",
            found: 40.0 * METRIC.free_air(metric).get::<cubic_meter>(),
        },
        Row {
            source: "Sullivan, Example 16.7, 0.327 ft3/min swept (ft3/min)",
            expected: 2.33,
            tolerance: 0.005,
            reason: PRINTED_DIGIT,
            found: US.free_air(swept).get::<cubic_foot>(),
        },
    ]);
}

/// Strokes a minute that 0.0555 m3/min of free air at 101 kPa, 20 degC keep up: 44.5 mm bore, 152 mm stroke,
/// 687 kPa gauge at 27 degC. Inputs of Esposito, Example 13-13.
#[track_caller]
fn strokes_per_minute_of_a_supply() -> f64 {
    let swept: Volume = piston_area(length("44.5 mm")) * length("152 mm");
    let stroke = METRIC.stroke(swept, None, METRIC.to_absolute("687 kPa(g)"), "27 degC").total();
    let inlet = gas::density(absolute(METRIC.pressure), temperature(METRIC.temperature)).unwrap();
    let minute = time("1 min");
    let supplied: Mass = Intake::InletVolume(flow("0.0555 m3/min")).mass_rate(inlet) * minute;
    60.0 * kept_up_rate(Ratio::new::<percent>(100.0), supplied, minute, stroke)
}

#[test]
fn published_stroke_rate_of_a_supply() {
    compare([Row {
        source: "Esposito, Fluid Power with Applications, Example 13-13 (strokes/min)",
        expected: 30.0,
        tolerance: 0.0,
        reason: "printed as a whole number, rounded down",
        found: strokes_per_minute_of_a_supply().floor(),
    }]);
}

#[test]
fn published_consumption_on_the_rod_side() {
    // Fluid Power Journal, teaching column on cylinder consumption: 2 in bore, 1 in rod, 10 in stroke, 15
    // cycles/min, the return at 100 psi against a return at 20 psi.
    let ring: Area = rod_side_area(length("2 in"), length("1 in"));
    let swept: Volume = ring * length("10 in");
    let scfm = |set| {
        let air = US.stroke(Volume::default(), Some(swept), US.to_absolute(set), US.temperature);
        15.0 * US.free_air(air.lower).get::<cubic_foot>()
    };
    compare([
        Row {
            source: "Fluid Power Journal, rod-side area (in2)",
            expected: 2.356,
            tolerance: 0.0005,
            reason: PRINTED_DIGIT,
            found: ring.get::<square_inch>(),
        },
        Row {
            source: "Fluid Power Journal, rod-side volume of a cycle (in3)",
            expected: 23.56,
            tolerance: 0.005,
            reason: PRINTED_DIGIT,
            found: swept.get::<cubic_inch>(),
        },
        Row {
            source: "Fluid Power Journal, return at 100 psi (scfm)",
            expected: 1.56,
            tolerance: 0.03 * 1.56,
            reason: "the column rounds the flow to two digits before it multiplies: 1.596 unrounded",
            found: scfm("100 psig"),
        },
        Row {
            source: "Fluid Power Journal, return at 20 psi (scfm)",
            expected: 0.47,
            tolerance: 0.03 * 0.47,
            reason: "the column rounds the flow to two digits before it multiplies: 0.483 unrounded",
            found: scfm("20 psig"),
        },
    ]);
}

#[test]
fn analytic_consumption_of_warm_air() {
    // Inputs of Esposito, Example 13-12: 1.75 in bore, 6 in stroke, 30 strokes/min, 100 psig at 80 degF, free
    // air at 14.7 psia, 68 degF. Ideal gas: pi/4 1.75^2 * 6 * 30/1728 * 114.7/14.7 * 528/540 = 1.9115 scfm.
    let swept: Volume = piston_area(length("1.75 in")) * length("6 in");
    let stroke = US.stroke(swept, None, US.to_absolute("100 psig"), "80 degF").total();
    compare([Row {
        source: "formula and inputs of Esposito, Example 13-12 (scfm)",
        expected: 1.9115,
        tolerance: 0.0045,
        reason: "ideal gas in the formula, Z is 0.9977 inside and 0.9996 outside",
        found: 30.0 * US.free_air(stroke).get::<cubic_foot>(),
    }]);
}

#[test]
fn analytic_stroke_rate_of_a_supply() {
    // Ideal gas: 0.0555 / (pi/4 0.0445^2 * 0.152) * 101/788 * 300.15/293.15 = 30.81.
    compare([Row {
        source: "formula and inputs of Esposito, Example 13-13, ideal gas (strokes/min)",
        expected: 30.81,
        tolerance: 0.07,
        reason: "0.005 noted and 0.06 of real gas",
        found: strokes_per_minute_of_a_supply(),
    }]);
}
