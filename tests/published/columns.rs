//! Worked examples of columns, and stepped columns by finite elements.

use approx::assert_relative_eq;
use lungful::frame::material::{Family, Material};
use lungful::frame::quantity::{Rigidity, SecondMoment, rigidity, second_moment_cm4};
use lungful::frame::section::Shape;
use lungful::sizing::rod_column::{Column, Ends, Regime, SteppedColumn, transition_slenderness};
use uom::si::f64::{Area, Length, MassDensity, Pressure, Ratio};
use uom::si::length::{inch, meter};
use uom::si::pressure::{gigapascal, megapascal};
use uom::si::ratio::ratio;

use super::beams::{FIXTURE, number};
use super::figure::{PRINTED_DIGIT, Row, area, compare, length};
use lungful::units::pressure::pascals;

/// psi, in4 and lbf in SI, from the exact inch, pound and standard gravity.
const PSI: f64 = 6_894.757_293_168_361;
const INCH4: f64 = 0.0254 * 0.0254 * 0.0254 * 0.0254;
const POUND_FORCE: f64 = 4.448_221_615_260_5;

fn metal(modulus: Pressure, yield_strength: Pressure) -> Material {
    Material {
        name: "of the example".to_owned(),
        family: Family::CarbonSteel,
        yield_strength,
        tensile_strength: None,
        weld_yield_strength: None,
        modulus,
        density: MassDensity::new::<uom::si::mass_density::kilogram_per_cubic_meter>(7850.0),
        up_to_thickness: None,
        source: String::new(),
    }
}

fn in4(value: f64) -> SecondMoment {
    second_moment_cm4(value * INCH4 * 1e8)
}

#[test]
fn published_slender_link() {
    // Wentzell, Example 3.5.
    let steel = metal(pascals(30e6 * PSI), pascals(42_000.0 * PSI));
    let link = Column::rod(length("5/8 in"), &steel, length("30 in"), Ends::PinnedBoth).unwrap();
    let critical = link.critical().unwrap();
    assert_eq!(critical.regime, Regime::Euler);
    let radius = (link.second_moment / link.area).value.sqrt();
    compare([
        Row {
            source: "Wentzell, Example 3.5, slenderness",
            expected: 192.0,
            tolerance: 0.005,
            reason: PRINTED_DIGIT,
            found: link.slenderness().unwrap().value,
        },
        Row {
            source: "Wentzell, Example 3.5, radius of gyration (in)",
            expected: 0.16,
            tolerance: 0.005,
            reason: PRINTED_DIGIT,
            found: Length::new::<meter>(radius).get::<inch>(),
        },
        Row {
            source: "Wentzell, Example 3.5, transition",
            expected: 118.74,
            tolerance: 0.005,
            reason: PRINTED_DIGIT,
            found: transition_slenderness(steel.modulus, steel.yield_strength).unwrap().value,
        },
        Row {
            source: "Wentzell, Example 3.5, critical force (lbf)",
            expected: 2464.16,
            tolerance: 0.005,
            reason: PRINTED_DIGIT,
            found: critical.force.value / POUND_FORCE,
        },
    ]);
}

#[test]
fn published_stocky_column() {
    // Wentzell, Example 3.6, with the practical 0.65 for both ends fixed and a factor of 2.
    let column = Column {
        length: length("60 in"),
        area: area("2.26 in2"),
        second_moment: in4(0.764),
        modulus: pascals(30e6 * PSI),
        yield_strength: pascals(36_000.0 * PSI),
        ends: Ends::Factor(Ends::FixedBoth.practical_factor()),
    };
    let critical = column.critical().unwrap();
    assert_eq!(critical.regime, Regime::Johnson);
    compare([
        Row {
            source: "Wentzell, Example 3.6, slenderness",
            expected: 67.08,
            tolerance: 0.005,
            reason: PRINTED_DIGIT,
            found: column.slenderness().unwrap().value,
        },
        Row {
            source: "Wentzell, Example 3.6, transition",
            expected: 128.25,
            tolerance: 0.005,
            reason: PRINTED_DIGIT,
            found: transition_slenderness(column.modulus, column.yield_strength).unwrap().value,
        },
        Row {
            source: "Wentzell, Example 3.6, allowable force (lbf)",
            expected: 35_116.52,
            tolerance: 0.005,
            reason: PRINTED_DIGIT,
            found: critical.force.value / POUND_FORCE / 2.0,
        },
    ]);
}

#[test]
fn analytic_columns_of_textbooks() {
    // Inputs of the textbooks; the results were worked out from them, the prints not seen.
    let mpa = Pressure::new::<megapascal>;
    let tube = Shape::RoundTube { diameter: length("150 mm"), wall: length("5 mm") }.section().unwrap();
    let steel = metal(Pressure::new::<gigapascal>(200.0), mpa(250.0));
    let hibbeler = Column::of(&tube, &steel, length("7.2 m"), Ends::PinnedBoth).critical().unwrap();
    // Gere: 98 in4 over 25 ft or 21.7 in4 over the half of it, which is held in the middle.
    let gere = |second_moment: f64, feet: &str| {
        let column = Column {
            length: length(feet),
            area: area("7.61 in2"),
            second_moment: in4(second_moment),
            modulus: pascals(29e6 * PSI),
            yield_strength: pascals(42_000.0 * PSI),
            ends: Ends::PinnedBoth,
        };
        column.critical().unwrap().elastic.value / POUND_FORCE / 2.5 / 1e3
    };
    compare([
        Row {
            source: "Hibbeler, Mechanics of Materials, Example 13.1, inputs (kN)",
            expected: 228.2,
            tolerance: 0.05,
            reason: PRINTED_DIGIT,
            found: hibbeler.elastic.value / 1e3,
        },
        Row {
            source: "Gere, Mechanics of Materials, Example 11.1, inputs (1000 lbf)",
            expected: 110.4,
            tolerance: 0.05,
            reason: PRINTED_DIGIT,
            found: gere(98.0, "25 ft").min(gere(21.7, "12.5 ft")),
        },
    ]);
}

#[test]
fn analytic_t_section() {
    // Khurmi & Gupta, Example 16.1: flange 150 x 20, web 20 x 100 below it, 4 m, hinged. The lesser second
    // moment is the upright one, 20 * 150^3/12 + 100 * 20^3/12 mm4 = 569.17 cm4, against the level one; the
    // result was worked out from the inputs.
    let level = {
        let (flange, web) = (3000.0, 2000.0);
        let middle: f64 = (flange * 10.0 + web * 70.0) / (flange + web);
        150.0 * 8000.0 / 12.0
            + flange * (middle - 10.0).powi(2)
            + 20.0 * 1e6 / 12.0
            + web * (70.0 - middle).powi(2)
    };
    let upright: f64 = 20.0 * 150.0_f64.powi(3) / 12.0 + 100.0 * 8000.0 / 12.0;
    let column = Column {
        length: length("4 m"),
        area: area("50 cm2"),
        second_moment: second_moment_cm4(upright.min(level) * 1e-4),
        modulus: Pressure::new::<gigapascal>(200.0),
        yield_strength: Pressure::new::<megapascal>(250.0),
        ends: Ends::PinnedBoth,
    };
    compare([Row {
        source: "Khurmi & Gupta, Machine Design, Example 16.1, inputs (N)",
        expected: 702_181.0,
        tolerance: 300.0,
        reason: "the figure was worked out with pi2 rounded to 9.87",
        found: column.critical().unwrap().elastic.value,
    }]);
}

#[test]
fn analytic_hollow_push_rod() {
    // Khurmi & Gupta, Example 16.4: 1400 N with a factor of 2.5 over 300 mm at E = 210 kN/mm2, D = 1.25 d, gives
    // d = 6.84 mm and D = 8.55 mm.
    let wall = 0.5 * (length("8.55 mm") - length("6.84 mm"));
    let rod = Shape::RoundTube { diameter: length("8.55 mm"), wall }.section().unwrap();
    let steel = metal(Pressure::new::<gigapascal>(210.0), Pressure::new::<megapascal>(1e4));
    let critical = Column::of(&rod, &steel, length("300 mm"), Ends::PinnedBoth).critical().unwrap();
    compare([Row {
        source: "Khurmi & Gupta, Example 16.4, critical force (N)",
        expected: 3500.0,
        tolerance: 0.022 * 3500.0,
        reason: "the source rounds the force 1.63 d4 to 1.6 d4, 1.9 %, and d to 0.1 %",
        found: critical.elastic.value,
    }]);
}

#[test]
fn published_end_factors() {
    // Pytel & Kiusalaas, Examples 10.1 and 10.2; Gere, 11.6; Wentzell, Example 3.6 for the practical value.
    for (ends, expected) in [
        (Ends::PinnedBoth, 1.0),
        (Ends::FixedAndFree, 2.0),
        (Ends::FixedAndPinned, 0.7),
        (Ends::FixedBoth, 0.5),
    ] {
        assert_relative_eq!(ends.factor().value, expected, max_relative = 1e-15);
    }
    assert_relative_eq!(Ends::FixedBoth.practical_factor().value, 0.65, max_relative = 1e-15);
    let own = Ends::Factor(Ratio::new::<ratio>(0.9));
    assert_relative_eq!(own.practical_factor().value, 0.9, max_relative = 1e-15);
}

#[test]
fn cross_checked_stepped_columns() {
    let fixture: serde_json::Value = serde_json::from_str(FIXTURE).unwrap();
    let columns = fixture["columns"].as_array().unwrap();
    assert!(columns.len() >= 10);
    for column in columns {
        let stiffness = |moment: &str| -> Rigidity {
            rigidity(pascals(number(column, "modulus_pa")), second_moment_cm4(1e8 * number(column, moment)))
        };
        let stepped = SteppedColumn {
            tube_length: Length::new::<meter>(number(column, "tube_length_m")),
            tube: stiffness("tube_m4"),
            rod_length: Length::new::<meter>(number(column, "rod_length_m")),
            rod: stiffness("rod_m4"),
            rod_area: Area::new::<uom::si::area::square_meter>(1.0),
            rod_yield_strength: pascals(1e9),
        };
        // The rounding of the eigenvalue in the script is some 1e-9.
        let found = stepped.elastic_critical().unwrap().value;
        assert_relative_eq!(found, number(column, "critical_n"), max_relative = 1e-7);
    }
}
