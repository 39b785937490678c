//! Quantities of the strength of materials that have no name among the common ones.

use uom::si::f64::{Area, Force, Length, Pressure};
use uom::si::force::newton;
use uom::si::length::meter;
use uom::si::{ISQ, Quantity, SI};
use uom::typenum::{N2, P1, P3, P4, Z0};

use crate::guard;
use crate::{Error, Misfit, Result};

/// Second moment of area, m4.
pub type SecondMoment = Quantity<ISQ<P4, Z0, Z0, Z0, Z0, Z0, Z0>, SI<f64>, f64>;

/// Bending stiffness `E I`, N m2.
pub type Rigidity = Quantity<ISQ<P3, P1, N2, Z0, Z0, Z0, Z0>, SI<f64>, f64>;

/// Force per length, N/m: a force divided by a length.
pub type LineLoad = Quantity<ISQ<Z0, P1, N2, Z0, Z0, Z0, Z0>, SI<f64>, f64>;

/// Second moment of area from a number in cm4, the unit of section tables.
///
/// ```
/// use lungful::frame::quantity::{second_moment_cm4, in_cm4};
/// assert!((in_cm4(second_moment_cm4(19.5)) - 19.5).abs() < 1e-12);
/// ```
#[must_use]
pub fn second_moment_cm4(number: f64) -> SecondMoment {
    let square_centimetre = Area::new::<uom::si::area::square_centimeter>(1.0);
    number * square_centimetre * square_centimetre
}

/// Second moment of area as a number in cm4.
#[must_use]
pub fn in_cm4(second_moment: SecondMoment) -> f64 {
    second_moment.value * 1e8
}

/// Force per length from a number in N/m.
#[must_use]
pub fn newtons_per_metre(number: f64) -> LineLoad {
    Force::new::<newton>(number) / Length::new::<meter>(1.0)
}

/// Bending stiffness `E I` of one part.
///
/// ```
/// use lungful::frame::quantity::{rigidity, second_moment_cm4};
/// use uom::si::{f64::Pressure, pressure::gigapascal};
/// let stiffness = rigidity(Pressure::new::<gigapascal>(210.0), second_moment_cm4(10.0));
/// assert!((stiffness.value - 21_000.0).abs() < 1e-6); // 210e9 Pa * 10e-8 m4, in N m2
/// ```
#[must_use]
pub fn rigidity(modulus: Pressure, second_moment: SecondMoment) -> Rigidity {
    modulus * second_moment
}

/// Shortest and longest length that a part of a rig is taken to have, m. Beyond them a slip of the unit is
/// certain, and fourth powers stay far from the ends of the number range within them.
const SHORTEST_M: f64 = 1e-6;
const LONGEST_M: f64 = 1e3;

/// Refuses a length that no part of a rig has.
pub(crate) fn real_length(quantity: &'static str, length: Length) -> Result<()> {
    let holds = (SHORTEST_M..=LONGEST_M).contains(&length.value);
    guard::require(holds, quantity, length.value, "m", "between 0.000001 m and 1000 m")
}

/// Refuses a length below zero or beyond what a part of a rig has.
pub(crate) fn length_or_none(quantity: &'static str, length: Length) -> Result<()> {
    if length == Length::default() { Ok(()) } else { real_length(quantity, length) }
}

/// Whether a length is at most another. Rounding in the conversion of units must not refuse a limit that is met.
pub(crate) fn at_most(length: Length, limit: Length) -> bool {
    length.value <= limit.value * (1.0 + 1e-12)
}

/// Refuses a length that does not fit, and says which limit it would have to keep.
pub(crate) fn fits(
    holds: bool,
    quantity: &'static str,
    length: Length,
    limit: Length,
    requirement: &'static str,
) -> Result<()> {
    let misfit = Misfit { length, limit, is_least: false };
    if holds { Ok(()) } else { Err(Error::DoesNotFit { quantity, misfit, requirement }) }
}

/// As [`fits`], for a limit that must be reached.
pub(crate) fn reaches(
    holds: bool,
    quantity: &'static str,
    length: Length,
    limit: Length,
    requirement: &'static str,
) -> Result<()> {
    let misfit = Misfit { length, limit, is_least: true };
    if holds { Ok(()) } else { Err(Error::DoesNotFit { quantity, misfit, requirement }) }
}

/// Refuses a stress or modulus that is not above zero and within what any solid has.
pub(crate) fn real_stress(quantity: &'static str, stress: Pressure) -> Result<()> {
    let holds = (1.0..=1e13).contains(&stress.value);
    guard::require(holds, quantity, stress.value, "Pa", "between 1 Pa and 10 TPa")
}
