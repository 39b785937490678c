//! Worked examples of beams, and random beams by finite elements.
//!
//! `tests/fixtures/beams/finite_elements.json` is made by `finite_elements.py` beside it, which says how.

use approx::assert_relative_eq;
use lungful::frame::beam::{Beam, Loads, PointLoad, Response, Support};
use lungful::frame::quantity::{newtons_per_metre, rigidity, second_moment_cm4};
use lungful::frame::section::Shape;
use lungful::units::pressure::pascals;
use serde_json::Value;
use uom::si::f64::{Force, Length, Ratio};
use uom::si::force::newton;
use uom::si::length::{inch, meter, millimeter};
use uom::si::ratio::ratio;

use super::figure::{PRINTED_DIGIT, Row, compare, force, length};

pub(crate) const FIXTURE: &str = include_str!("../fixtures/beams/finite_elements.json");

const PSI: f64 = 6_894.757_293_168_361;

#[track_caller]
pub(crate) fn number(row: &Value, key: &str) -> f64 {
    row[key].as_f64().unwrap_or_else(|| panic!("{key} of {row}"))
}

#[track_caller]
fn respond(beam: &Beam, points: &[PointLoad], uniform: f64) -> Response {
    let loads =
        Loads { points, uniform: newtons_per_metre(uniform), dynamic_factor: Ratio::new::<ratio>(1.0) };
    beam.respond(&loads).unwrap()
}

#[test]
fn published_load_in_the_middle() {
    // Wentzell, Example 3.2: 3000 lb on 36 in, bar of 2 x 2 in, E = 30e6 psi.
    let bar = Shape::SquareBar { side: length("2 in") }.section().unwrap();
    let beam = Beam {
        support: Support::SimplySupported,
        span: length("36 in"),
        rigidity: rigidity(pascals(30e6 * PSI), bar.level.second_moment),
    };
    let answer = respond(&beam, &[PointLoad { at: length("18 in"), force: force("3000 lbf") }], 0.0);
    let stress = answer.max_moment.value.value / bar.level.elastic_modulus.value;
    compare([
        Row {
            source: "Wentzell, Example 3.2, stress (psi)",
            expected: 20_250.0,
            tolerance: 0.5,
            reason: PRINTED_DIGIT,
            found: stress / PSI,
        },
        Row {
            source: "Wentzell, Example 3.2, deflection (in), printed 0.07",
            expected: 0.07,
            tolerance: 0.005,
            reason: PRINTED_DIGIT,
            found: answer.max_deflection.value.get::<inch>(),
        },
    ]);
}

#[test]
fn published_cantilever_under_uniform_load() {
    // Pytel & Kiusalaas, Example 6.1: 400 lb/ft on 8 ft, I = 285 in4, S = 45.6 in3, E = 29e6 psi.
    let beam = Beam {
        support: Support::Cantilever,
        span: length("8 ft"),
        rigidity: rigidity(pascals(29e6 * PSI), second_moment_cm4(285.0 * 2.54_f64.powi(4))),
    };
    let answer = respond(&beam, &[], force("400 lbf").value / length("1 ft").value);
    let stress = answer.max_moment.value.value.abs() / (45.6 * 0.0254_f64.powi(3));
    compare([
        Row {
            source: "Pytel & Kiusalaas, Example 6.1, deflection (in)",
            expected: 0.0428,
            tolerance: 0.000_05,
            reason: PRINTED_DIGIT,
            found: answer.max_deflection.value.get::<inch>(),
        },
        Row {
            source: "Pytel & Kiusalaas, Example 6.1, stress (psi)",
            expected: 3368.0,
            tolerance: 0.5,
            reason: PRINTED_DIGIT,
            found: stress / PSI,
        },
    ]);
}

#[test]
fn published_load_off_the_middle() {
    // Pytel & Kiusalaas, Example 6.3: 300 N at 2 m of 3 m, 40 x 80 mm, E = 12 GPa. The slope that the notebook
    // prints, 0.487 deg, is left out: the formula of the example gives 0.466 deg at the right end.
    let bar = Shape::FlatBar { width: length("40 mm"), height: length("80 mm") }.section().unwrap();
    let beam = Beam {
        support: Support::SimplySupported,
        span: length("3 m"),
        rigidity: rigidity(pascals(12e9), bar.level.second_moment),
    };
    let answer = respond(&beam, &[PointLoad { at: length("2 m"), force: force("300 N") }], 0.0);
    compare([Row {
        source: "Pytel & Kiusalaas, Example 6.3, greatest deflection (mm)",
        expected: 7.09,
        tolerance: 0.005,
        reason: PRINTED_DIGIT,
        found: answer.max_deflection.value.get::<millimeter>(),
    }]);
}

fn support(row: &Value) -> Support {
    match row["support"].as_str().unwrap() {
        "cantilever" => Support::Cantilever,
        "simply supported" => Support::SimplySupported,
        "fixed both ends" => Support::FixedBothEnds,
        "propped" => Support::Propped,
        "overhanging" => Support::Overhanging { overhang: Length::new::<meter>(number(row, "overhang_m")) },
        other => panic!("{other}"),
    }
}

#[test]
fn cross_checked_random_beams() {
    let fixture: Value = serde_json::from_str(FIXTURE).unwrap();
    let beams = fixture["beams"].as_array().unwrap();
    assert!(beams.len() >= 20);
    for row in beams {
        let beam = Beam {
            support: support(row),
            span: Length::new::<meter>(number(row, "span_m")),
            rigidity: number(row, "rigidity_n_m2") * rigidity(pascals(1.0), second_moment_cm4(1e8)),
        };
        let points: Vec<PointLoad> = row["points"]
            .as_array()
            .unwrap()
            .iter()
            .map(|point| PointLoad {
                at: Length::new::<meter>(number(point, "at_m")),
                force: Force::new::<newton>(number(point, "force_n")),
            })
            .collect();
        let answer = respond(&beam, &points, number(row, "uniform_n_per_m"));
        same_reactions(row, &answer);
        same_peaks(row, &answer);
    }
}

/// Reactions to 1e-9 of the greatest force and moment in the beam, which is what rounding scales with.
#[track_caller]
fn same_reactions(row: &Value, answer: &Response) {
    let (forces, moments) = (answer.max_shear.value.value.abs(), answer.max_moment.value.value.abs());
    let expected = row["reactions"].as_array().unwrap();
    assert_eq!(answer.reactions().count(), expected.len());
    for (found, expected) in answer.reactions().zip(expected) {
        assert_relative_eq!(found.at.value, number(expected, "at_m"), max_relative = 1e-15);
        assert_relative_eq!(found.force.value, number(expected, "force_n"), epsilon = 1e-9 * forces);
        assert_relative_eq!(found.moment.value, number(expected, "moment_n_m"), epsilon = 1e-9 * moments);
    }
}

/// Deflection to 1e-9 and moment to 1e-9 at stations, which are exact in the fixture; the greatest moment to
/// 1e-9, the greatest deflection to 1e-9 too, as its place is found to some 1e-7 and does not matter in first
/// order.
#[track_caller]
fn same_peaks(row: &Value, answer: &Response) {
    let (moments, deflections) =
        (answer.max_moment.value.value.abs(), answer.max_deflection.value.value.abs());
    for station in row["stations"].as_array().unwrap() {
        let found = answer.at(Length::new::<meter>(number(station, "at"))).unwrap();
        assert_relative_eq!(
            found.deflection.value,
            number(station, "deflection_m"),
            epsilon = 1e-9 * deflections
        );
        assert_relative_eq!(found.slope.value, number(station, "slope"), epsilon = 1e-8 * deflections);
        assert_relative_eq!(found.moment.value, number(station, "moment_n_m"), epsilon = 1e-9 * moments);
    }
    let (moment, deflection) = (&row["max_moment_n_m"], &row["max_deflection_m"]);
    assert_relative_eq!(answer.max_moment.value.value, number(moment, "value"), max_relative = 1e-9);
    assert_relative_eq!(answer.max_deflection.value.value, number(deflection, "value"), max_relative = 1e-9);
    assert_relative_eq!(answer.max_moment.at.value, number(moment, "at"), epsilon = 1e-4);
    assert_relative_eq!(answer.max_deflection.at.value, number(deflection, "at"), epsilon = 1e-4);
}
