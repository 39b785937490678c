//! What the travel needs to know of a linkage, whatever its kind.

use std::f64::consts::PI;

use uom::si::f64::{Angle, Length};

use super::plane::{Cause, ForceOn, Member, Pin, Place, Reaction, Vector, radians};
use crate::units::Dimension;
use crate::units::display::{UnitSystem, show, show_at_least, show_at_most};
use crate::{Error, Result};

/// Closest that a linkage may come to a dead point, in radians (about 0.006 degrees). Nearer than this no
/// workshop can set an angle, and forces there grow without bound.
pub(super) const NEAREST_DEAD: f64 = 1e-4;

/// Longest length that a geometry may have, in m, so that no square of it overflows.
const MOST_LENGTH: f64 = 1000.0;
/// Shortest length that a geometry may have, in m.
const LEAST_LENGTH: f64 = 1e-6;
/// Greatest mass of an arm, in kg.
const MOST_MASS: f64 = 1e9;

/// Where a linkage stands at one travel, in SI base units.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Pose {
    /// Angle that describes the linkage; 0 if it has none.
    pub(super) angle: f64,
    /// Height h of the load point above its start.
    pub(super) height: f64,
    /// `r = dh/dx`.
    pub(super) ratio: f64,
    /// `sum m_i dh_i/dx` over the arms.
    pub(super) arms: f64,
    /// `sum m_i (h_i - h_i0)` over the arms.
    pub(super) arms_raised: f64,
}

/// How a pin force is counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Side {
    /// The side that stands for the pin.
    First,
    /// The opposite force on the other member.
    Other,
}

/// Receives the forces on the members one by one. Straight members start with one end and close with the
/// other.
pub(super) struct Forces<'a> {
    pub(super) each: &'a mut dyn FnMut(ForceOn, Side),
}

impl Forces<'_> {
    pub(super) fn pin(&mut self, side: Side, member: Member, pin: Pin, at: Vector, force: Vector) {
        let force = ForceOn { member, cause: Cause::Pin(pin), at: at.place(), force: force.force() };
        (self.each)(force, side);
    }

    /// A member without weight of its own is not told of one.
    pub(super) fn weight(&mut self, member: Member, at: Vector, weight: f64) {
        if weight > 0.0 {
            let force = Vector::down(weight).force();
            (self.each)(ForceOn { member, cause: Cause::Weight, at: at.place(), force }, Side::Other);
        }
    }

    /// A cylinder that pushes with `thrust` from `foot` towards `pin`.
    pub(super) fn cylinder(&mut self, foot: Vector, pin: Vector, push: Vector) {
        self.pin(Side::First, Member::Cylinder, Pin::CylinderFoot, foot, push);
        self.pin(Side::First, Member::Cylinder, Pin::CylinderPin, pin, -push);
    }
}

impl ForceOn {
    /// This force as that of its pin.
    pub(super) fn reaction(&self) -> Option<Reaction> {
        match self.cause {
            Cause::Pin(pin) => Some(Reaction { pin, member: self.member, force: self.force }),
            Cause::Weight => None,
        }
    }
}

/// A linkage with one degree of freedom. Lengths in m, forces in N, travel within `0..=end`.
pub(super) trait Motion {
    /// Where the linkage stands.
    fn pose(&self, travel: f64) -> Pose;
    /// Travel at which the stroke or the stop ends.
    fn end(&self) -> f64;
    /// Travel at which the load is highest.
    fn top(&self) -> f64 {
        self.end()
    }
    /// Travel, up to the top, at which the load has risen to `height`; `None` above the top.
    fn travel_at(&self, height: f64) -> Option<f64>;
    /// Travel past the top at which the load has come down to `height`.
    fn travel_back_at(&self, _height: f64) -> Option<f64> {
        None
    }
    /// Whether `r` is the same all along.
    fn is_even(&self) -> bool {
        false
    }
    /// Pins and their places.
    fn pins(&self, travel: f64) -> Vec<(Pin, Place)>;
    /// Every force on every member, with the weight `load` on the load point; `pose` is that of the travel.
    ///
    /// With an `efficiency` below 1 the cylinder pushes against the friction in the joints too. The forces on a
    /// member still add up; their moments are made up by that friction. Which joint of a scissor has how much of
    /// it is not known: below the platform all forces are those of a frictionless one with a load so much heavier.
    fn statics(&self, travel: f64, pose: &Pose, load: f64, efficiency: f64, forces: &mut Forces<'_>);
    /// Dead points and the angle left to each.
    fn dead_points(&self) -> Vec<DeadPoint>;
    /// Pin-to-pin length of the cylinder, if it is known.
    fn cylinder_length(&self, travel: f64) -> Option<f64>;
}

/// A position in which a linkage can no longer be moved, or no longer moves the load.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DeadPoint {
    /// What lines up there.
    pub name: &'static str,
    /// Angle left to it where the travel comes nearest; negative once it is passed.
    pub left: Angle,
    /// Travel at which it comes nearest.
    pub travel: Length,
}

/// A length for a message.
pub(super) fn mm(value: f64) -> String {
    show(value, Dimension::Length, UnitSystem::Metric)
}

/// An angle for a message.
pub(super) fn deg(value: f64) -> String {
    show(value, Dimension::Angle, UnitSystem::Metric)
}

/// A length that a stroke is to keep below, for a message.
pub(super) fn mm_at_most(value: f64) -> String {
    show_at_most(value, Dimension::Length, UnitSystem::Metric)
}

/// A length that is to be reached, for a message.
pub(super) fn mm_at_least(value: f64) -> String {
    show_at_least(value, Dimension::Length, UnitSystem::Metric)
}

/// An angle that is still met, for a message.
pub(super) fn deg_at_most(value: f64) -> String {
    show_at_most(value, Dimension::Angle, UnitSystem::Metric)
}

/// Refuses a length or angle that does not fit the others.
pub(super) fn refuse<T>(
    quantity: &'static str,
    value: String,
    problem: impl Into<String>,
    fix: impl Into<String>,
) -> Result<T> {
    Err(Error::Geometry { quantity, value, problem: problem.into(), fix: fix.into() })
}

/// A length that has to be there.
pub(super) fn length(quantity: &'static str, value: Length) -> Result<f64> {
    let value = value.value;
    if (LEAST_LENGTH..=MOST_LENGTH).contains(&value) {
        return Ok(value);
    }
    refuse(quantity, mm(value), "it is no length of a linkage", "give a length above 0 and up to 1 km")
}

/// A length that may be zero or point the other way.
pub(super) fn signed_length(quantity: &'static str, value: Length) -> Result<f64> {
    let value = value.value;
    if (-MOST_LENGTH..=MOST_LENGTH).contains(&value) {
        return Ok(value);
    }
    refuse(quantity, mm(value), "it is no length of a linkage", "give a length of up to 1 km either way")
}

/// An angle within one turn either way.
pub(super) fn angle(quantity: &'static str, value: Angle) -> Result<f64> {
    let value = value.value;
    if (-2.0 * PI..=2.0 * PI).contains(&value) {
        return Ok(value);
    }
    refuse(quantity, deg(value), "it is no angle of a linkage", "give an angle within 360 deg either way")
}

/// A mass of an arm, which may be zero.
pub(super) fn mass(quantity: &'static str, value: uom::si::f64::Mass) -> Result<f64> {
    let value = value.value;
    if (0.0..=MOST_MASS).contains(&value) {
        return Ok(value);
    }
    let shown = show(value, Dimension::Mass, UnitSystem::Metric);
    refuse(quantity, shown, "it is no mass of an arm", "give 0 or more, up to a million tonnes")
}

/// The cylinder must fit between its pins at the start.
pub(super) fn fits_closed(start_length: f64, closed: Option<Length>) -> Result<()> {
    let Some(closed) = closed else { return Ok(()) };
    let closed = length("closed-length", closed)?;
    // Rounding of the drawing: a micrometre in a metre.
    if start_length >= closed * (1.0 - 1e-6) {
        return Ok(());
    }
    refuse(
        "closed-length",
        mm(closed),
        format!("at the start only {} lie between the cylinder's pins", mm(start_length)),
        format!(
            "set the pins {} further apart, start at a greater angle, or take a cylinder of at most {}",
            mm(closed - start_length),
            mm(start_length)
        ),
    )
}

/// A closed cylinder is longer than its stroke, so that the start must leave more than that between the pins.
/// `most` is the longest stroke that the linkage takes.
fn longer_than_stroke(start_length: f64, stroke: f64, most: f64) -> Result<()> {
    if start_length > stroke {
        return Ok(());
    }
    refuse(
        "stroke",
        mm(stroke),
        format!(
            "at the start only {} lie between the cylinder's pins, and a closed cylinder is longer than its stroke",
            mm(start_length)
        ),
        format!("use less than {} of stroke, or set the pins further apart at the start", mm_at_most(most)),
    )
}

/// A stop of the linkage as the stroke sees it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Stop {
    /// Its field.
    pub(super) quantity: &'static str,
    /// What is at an angle there: `the knee`.
    pub(super) what: &'static str,
    /// Its angle.
    pub(super) angle: f64,
    /// Travel at which it is met.
    pub(super) travel: f64,
    /// Stroke from which on no cylinder fits between the pins at the start, if that is known.
    pub(super) too_long: Option<f64>,
}

impl Stop {
    /// A stop that the stroke never reaches would be no stop: whoever relies on it must know.
    fn is_met(&self, stroke: f64, angle_at: impl Fn(f64) -> f64) -> Result<()> {
        // Rounding of the drawing: a micrometre in a metre.
        if self.travel <= stroke * (1.0 + 1e-6) {
            return Ok(());
        }
        let ends = angle_at(stroke);
        let needed = mm_at_least(self.travel);
        let stop_earlier = format!("set the stop at {} or below, or delete it", deg_at_most(ends));
        let fix = if self.too_long.is_some_and(|long| self.travel >= long) {
            format!("set the pins further apart at the start and take a longer stroke, or {stop_earlier}")
        } else {
            format!("take a stroke of at least {needed}, or {stop_earlier}")
        };
        let problem = format!(
            "the stroke of {} ends with {} at {}; the stop takes {needed} of stroke",
            mm(stroke),
            self.what,
            deg(ends)
        );
        refuse(self.quantity, deg(self.angle), problem, fix)
    }
}

/// A dead point from raw numbers.
pub(super) fn dead_point(name: &'static str, left: f64, travel: f64) -> DeadPoint {
    DeadPoint { name, left: radians(left), travel: super::plane::meters(travel) }
}

/// The angle by which a linkage has turned open, exactly nothing at the start whatever rounding says.
pub(super) fn turned_open(travel: f64, by: f64) -> f64 {
    if travel > 0.0 { by.max(0.0) } else { 0.0 }
}

/// A triangle with two fixed sides whose third side is the cylinder: `L^2 = p^2 + q^2 - 2 p q cos(gamma)`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Triangle {
    /// Sides p and q, in m.
    pub(super) sides: (f64, f64),
}

impl Triangle {
    /// Third side for an angle; written with the half angle so that a flat triangle keeps its digits.
    pub(super) fn third(&self, angle: f64) -> f64 {
        let (p, q) = self.sides;
        let half = (0.5 * angle).sin();
        ((p - q) * (p - q) + 4.0 * p * q * half * half).sqrt()
    }

    /// Angle for a third side, and its sine. Source: half-angle form of the law of cosines.
    pub(super) fn angle(&self, third: f64) -> (f64, f64) {
        let (p, q) = self.sides;
        let difference = (p - q).abs();
        let above = ((third - difference) * (third + difference)).max(0.0);
        let below = ((p + q - third) * (p + q + third)).max(0.0);
        let angle = 2.0 * above.sqrt().atan2(below.sqrt());
        (angle, (above * below).sqrt() / (2.0 * p * q))
    }
}

/// The end of the travel, at the stop or else at the stroke, and the longest stroke that the linkage takes.
///
/// `between_pins` lies between the cylinder's pins at the start, `limit` is the travel at which the linkage comes to a
/// limit of its own, which a stop keeps it from; whether the end lies below it is not looked at.
pub(super) fn end_of_travel(
    between_pins: f64,
    stroke: f64,
    stop: Option<&Stop>,
    limit: f64,
    angle_at: impl Fn(f64) -> f64,
) -> Result<(f64, f64)> {
    let most = if stop.is_some() { between_pins } else { between_pins.min(limit) };
    longer_than_stroke(between_pins, stroke, most)?;
    let Some(stop) = stop else { return Ok((stroke, most)) };
    stop.is_met(stroke, angle_at)?;
    Ok((stop.travel.min(stroke), most))
}
