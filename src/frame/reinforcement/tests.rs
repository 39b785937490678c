//! Members whose stiffness and stress can be redone by hand.

use approx::assert_relative_eq;
use uom::si::length::millimeter;
use uom::si::torque::newton_meter;

use super::*;
use crate::answers::steel_grade;
use crate::frame::section::Corners;

fn mm(value: f64) -> Length {
    Length::new::<millimeter>(value)
}

fn part(name: &str, shape: Shape, grade: &str) -> Part {
    Part { name: name.to_owned(), shape, axis: Axis::Level, material: steel_grade(grade).unwrap() }
}

fn tube() -> Part {
    part("tube", Shape::SquareTube { side: mm(50.0), wall: mm(3.0), corners: Corners::Sharp }, "S235")
}

fn moment(value: f64) -> Torque {
    Torque::new::<newton_meter>(value)
}

/// I of the sharp tube 50 x 50 x 3, mm4.
const TUBE: f64 = (6_250_000.0 - 3_748_096.0) / 12.0;

#[test]
fn a_bar_inside_takes_moment_by_its_stiffness() {
    let bar = part("bar", Shape::SquareBar { side: mm(40.0) }, "S235");
    let member = Member::new(tube(), Bond::Unjoined).unwrap().with(bar, Position::Inside).unwrap();
    let bar_mm4 = 2_560_000.0 / 12.0;
    assert_relative_eq!(member.rigidity().value, 210e9 * (TUBE + bar_mm4) * 1e-12, max_relative = 1e-12);
    let stresses = member.stresses(moment(-500.0), Place::Plain).unwrap();
    // M E c / sum(E I) = 500e3 N mm * 25 mm or 20 mm / sum(I).
    assert_relative_eq!(
        stresses[0].stress.value,
        500e3 * 25.0 / (TUBE + bar_mm4) * 1e6,
        max_relative = 1e-12
    );
    assert_relative_eq!(
        stresses[1].stress.value,
        500e3 * 20.0 / (TUBE + bar_mm4) * 1e6,
        max_relative = 1e-12
    );
    assert_relative_eq!(stresses[1].share.value, bar_mm4 / (TUBE + bar_mm4), max_relative = 1e-12);
    assert_relative_eq!(
        stresses[0].yield_ratio.value,
        stresses[0].stress.value / 235e6,
        max_relative = 1e-12
    );
}

#[test]
fn a_plate_welded_on_top_moves_the_axis() {
    // Flat 50 x 10 on the tube: centroid (500 * 30)/(564 + 500) above that of the tube.
    let flat = part("plate", Shape::FlatBar { width: mm(50.0), height: mm(10.0) }, "S235");
    let member = Member::new(tube(), Bond::Welded).unwrap().with(flat, Position::OnTop).unwrap();
    let middle: f64 = 500.0 * 30.0 / 1064.0;
    let sum = TUBE + 564.0 * middle.powi(2) + 50.0 * 1000.0 / 12.0 + 500.0 * (30.0 - middle).powi(2);
    assert_relative_eq!(member.rigidity().value, 210e9 * sum * 1e-12, max_relative = 1e-12);
    assert_relative_eq!(member.height().value, 0.06, max_relative = 1e-12);
    let stresses = member.stresses(moment(800.0), Place::Plain).unwrap();
    assert_relative_eq!(stresses[0].stress.value, 800e3 * (25.0 + middle) / sum * 1e6, max_relative = 1e-12);
    assert_relative_eq!(stresses[1].stress.value, 800e3 * (35.0 - middle) / sum * 1e6, max_relative = 1e-12);
    // The moment at which the worst part yields gives it a ratio of 1.
    let at_yield = member.stresses(member.yield_moment(Place::Plain), Place::Plain).unwrap();
    assert_relative_eq!(at_yield[0].yield_ratio.value, 1.0, max_relative = 1e-12);
}

#[test]
fn two_metals_weld_by_their_stiffness() {
    // Equal flats of 210 and 70 GPa, one on the other, h = 10: axis at 10 * 70/280 = 2.5 above the first;
    // E I = b h3/12 (E1 + E2) + b h (E1 2.5^2 + E2 7.5^2).
    let flat = |grade| part(grade, Shape::FlatBar { width: mm(40.0), height: mm(10.0) }, grade);
    let member =
        Member::new(flat("S235"), Bond::Welded).unwrap().with(flat("6061-T6"), Position::OnTop).unwrap();
    let expected = 40.0 * 1000.0 / 12.0 * 280e3 + 400.0 * (210e3 * 6.25 + 70e3 * 56.25);
    assert_relative_eq!(member.rigidity().value, expected * 1e-6, max_relative = 1e-12);
}

#[test]
fn a_flat_on_its_side_stands_up() {
    let lying = Part {
        axis: Axis::Upright,
        ..part("flat", Shape::FlatBar { width: mm(60.0), height: mm(5.0) }, "S235")
    };
    let member = Member::new(lying, Bond::Unjoined).unwrap();
    assert_relative_eq!(
        member.rigidity().value,
        210e9 * 5.0 * 216_000.0 / 12.0 * 1e-12,
        max_relative = 1e-12
    );
    assert_relative_eq!(member.height().value, 0.06, max_relative = 1e-12);
}

#[test]
fn what_does_not_go_inside_is_refused() {
    let member = || Member::new(tube(), Bond::Unjoined).unwrap();
    let bar = |side| part("bar", Shape::SquareBar { side: mm(side) }, "S235");
    let error = member().with(bar(45.0), Position::Inside).unwrap_err();
    assert_eq!(
        error.to_string(),
        "width of the inner part is 45 mm, and the limit is 44 mm here; it must be small enough for the hole and its rounded corners"
    );
    // A tube in the tube has room for a bar; the bar has none.
    let inner =
        part("inner", Shape::SquareTube { side: mm(40.0), wall: mm(2.0), corners: Corners::Sharp }, "S235");
    let nested = member().with(inner, Position::Inside).unwrap();
    assert!(nested.clone().with(bar(37.0), Position::Inside).is_err());
    let full = nested.with(bar(36.0), Position::Inside).unwrap();
    let error = full.with(bar(5.0), Position::Inside).unwrap_err();
    assert_eq!(
        error.to_string(),
        "inner part is in a square bar; it must be placed in a tube, which has a hole"
    );
}

#[test]
fn a_weld_softens_aluminium() {
    let bar = part("bar", Shape::SquareBar { side: mm(30.0) }, "6061-T6");
    let member = Member::new(bar, Bond::Unjoined).unwrap();
    let softened = member.yield_moment(Place::BesideWeld) / member.yield_moment(Place::Plain);
    assert_relative_eq!(softened.value, 115.0 / 240.0, max_relative = 1e-12);
}
