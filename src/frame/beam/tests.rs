//! Closed forms that a reader finds in any beam table, and refusals.

use approx::assert_relative_eq;
use uom::si::f64::Pressure;
use uom::si::pressure::pascal;

use super::*;
use crate::frame::quantity::{newtons_per_metre, rigidity, second_moment_cm4};

const L: f64 = 1.7;
const P: f64 = 900.0;
const Q: f64 = 250.0;

fn ei() -> Rigidity {
    rigidity(Pressure::new::<pascal>(210e9), second_moment_cm4(12.0))
}

fn beam(support: Support) -> Beam {
    Beam { support, span: Length::new::<meter>(L), rigidity: ei() }
}

#[track_caller]
fn respond(support: Support, points: &[(f64, f64)], q: f64) -> Response {
    beam(support).respond(&loads(&points_of(points), q, 1.0)).unwrap()
}

fn points_of(points: &[(f64, f64)]) -> Vec<PointLoad> {
    points
        .iter()
        .map(|&(at, force)| PointLoad { at: Length::new::<meter>(at), force: Force::new::<newton>(force) })
        .collect()
}

fn loads(points: &[PointLoad], q: f64, factor: f64) -> Loads<'_> {
    Loads { points, uniform: newtons_per_metre(q), dynamic_factor: Ratio::new::<ratio>(factor) }
}

/// Rounding of a few dozen operations.
const ROUNDING: f64 = 1e-12;

/// Checks moment, its place, deflection and its place; the place of a greatest value is flat, good to half of
/// the digits.
#[track_caller]
fn expect(response: &Response, moment: (f64, f64), deflection: (f64, f64)) {
    let (m, d) = (&response.max_moment, &response.max_deflection);
    assert_relative_eq!(m.value.value, moment.0, max_relative = ROUNDING);
    assert_relative_eq!(m.at.value, moment.1, epsilon = 1e-7);
    assert_relative_eq!(d.value.value * ei().value, deflection.0, max_relative = ROUNDING);
    assert_relative_eq!(d.at.value, deflection.1, epsilon = 1e-7);
}

#[test]
fn a_load_at_the_usual_place() {
    let half = L / 2.0;
    expect(&respond(Support::Cantilever, &[(L, P)], 0.0), (-P * L, 0.0), (P * L.powi(3) / 3.0, L));
    expect(
        &respond(Support::SimplySupported, &[(half, P)], 0.0),
        (P * L / 4.0, half),
        (P * L.powi(3) / 48.0, half),
    );
    expect(
        &respond(Support::FixedBothEnds, &[(half, P)], 0.0),
        (-P * L / 8.0, 0.0),
        (P * L.powi(3) / 192.0, half),
    );
    // Propped, load in the middle: -3 P L/16 at the wall; greatest deflection sqrt(1/5) P L3/(48 E I) at
    // L/sqrt(5) from the prop.
    let from_prop = L / 5.0_f64.sqrt();
    expect(
        &respond(Support::Propped, &[(half, P)], 0.0),
        (-3.0 * P * L / 16.0, 0.0),
        (P * L.powi(3) / (48.0 * 5.0_f64.sqrt()), L - from_prop),
    );
}

#[test]
fn a_uniform_load() {
    let half = L / 2.0;
    let (l2, l4) = (Q * L * L, Q * L.powi(4));
    expect(&respond(Support::Cantilever, &[], Q), (-l2 / 2.0, 0.0), (l4 / 8.0, L));
    expect(&respond(Support::SimplySupported, &[], Q), (l2 / 8.0, half), (5.0 * l4 / 384.0, half));
    expect(&respond(Support::FixedBothEnds, &[], Q), (-l2 / 12.0, 0.0), (l4 / 384.0, half));
    // Propped: w' = 0 at x/L = (15 - sqrt(33))/16 from the wall; E I w = q x2 (3 L2 - 5 L x + 2 x2)/48.
    let x = L * (15.0 - 33.0_f64.sqrt()) / 16.0;
    expect(
        &respond(Support::Propped, &[], Q),
        (-l2 / 8.0, 0.0),
        (Q * x * x * (3.0 * L * L - 5.0 * L * x + 2.0 * x * x) / 48.0, x),
    );
}

#[test]
fn a_load_at_the_end_of_an_overhang() {
    let c = 0.6;
    let response = respond(Support::Overhanging { overhang: Length::new::<meter>(c) }, &[(L + c, P)], 0.0);
    let reactions: Vec<Reaction> = response.reactions().collect();
    assert_relative_eq!(reactions[0].force.value, -P * c / L, max_relative = ROUNDING);
    assert_relative_eq!(reactions[1].force.value, P * (L + c) / L, max_relative = ROUNDING);
    // P c2 (L + c)/3 at the end.
    expect(&response, (-P * c, L), (P * c * c * (L + c) / 3.0, L + c));
    // The span lifts by P c L2/(9 sqrt(3)) at L/sqrt(3).
    let lifted = response.at(Length::new::<meter>(L / 3.0_f64.sqrt())).unwrap();
    assert_relative_eq!(
        lifted.deflection.value * ei().value,
        -P * c * L * L / (9.0 * 3.0_f64.sqrt()),
        max_relative = ROUNDING
    );
}

#[test]
fn slope_and_deflection_at_a_load_off_the_middle() {
    let (a, b) = (0.5, L - 0.5);
    let response = respond(Support::SimplySupported, &[(a, P)], 0.0);
    let there = response.at(Length::new::<meter>(a)).unwrap();
    // P a2 b2/(3 L) and P a b (b - a)/(3 L).
    assert_relative_eq!(
        there.deflection.value * ei().value,
        P * a * a * b * b / (3.0 * L),
        max_relative = ROUNDING
    );
    assert_relative_eq!(
        there.slope.value * ei().value,
        P * a * b * (b - a) / (3.0 * L),
        max_relative = ROUNDING
    );
    // P b (L2 - b2)^1.5/(9 sqrt(3) L) at sqrt((L2 - b2)/3) from the far end for b > L/2, with b and a exchanged.
    let flat = L * L - a * a;
    expect(
        &response,
        (P * a * b / L, a),
        (P * a * flat.powf(1.5) / (9.0 * 3.0_f64.sqrt() * L), L - (flat / 3.0).sqrt()),
    );
}

#[test]
fn a_jolt_multiplies_everything() {
    let points = points_of(&[(0.4, P), (1.1, -P)]);
    let still = beam(Support::Propped).respond(&loads(&points, Q, 1.0)).unwrap();
    let jolted = beam(Support::Propped).respond(&loads(&points, Q, 1.5)).unwrap();
    assert_relative_eq!(
        jolted.max_moment.value.value,
        1.5 * still.max_moment.value.value,
        max_relative = ROUNDING
    );
    assert_relative_eq!(
        jolted.max_deflection.value.value,
        1.5 * still.max_deflection.value.value,
        max_relative = ROUNDING
    );
}

#[test]
fn no_load_no_answer_but_zero() {
    let response = respond(Support::Propped, &[], 0.0);
    assert_eq!(response.max_deflection.value, Length::default());
    assert_eq!(response.max_moment.value, Torque::default());
}

#[test]
fn what_is_no_beam_is_refused() {
    let point = |at, force| points_of(&[(at, force)]);
    let refused = |points: &[PointLoad], q: f64, factor: f64| {
        assert!(beam(Support::SimplySupported).respond(&loads(points, q, factor)).is_err());
    };
    for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
        refused(&point(bad, P), 0.0, 1.0);
        refused(&point(0.5, bad), 0.0, 1.0);
        refused(&[], bad, 1.0);
        refused(&[], 0.0, bad);
        let span = Beam { span: Length::new::<meter>(bad), ..beam(Support::Cantilever) };
        assert!(span.respond(&loads(&[], Q, 1.0)).is_err());
    }
    refused(&point(L + 0.001, P), 0.0, 1.0);
    refused(&point(-0.001, P), 0.0, 1.0);
    refused(&[], Q, 0.9);
    // Loads whose deflection is beyond the number range.
    refused(&point(0.5, 1e308), 1e308, 1e6);
    assert!(respond(Support::Cantilever, &[(L, P)], 0.0).at(Length::new::<meter>(L + 0.1)).is_err());
}
