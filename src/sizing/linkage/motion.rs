//! What the travel needs to know of a linkage, whatever its kind.

use std::f64::consts::PI;

use uom::si::f64::{Angle, Length};

use super::plane::{Cause, ForceOn, Member, Pin, Place, Reaction, Vector, radians};
use crate::units::Dimension;
use crate::units::display::{UnitSystem, show, show_at_least, show_at_most, show_exact};
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
    /// Its sine and cosine.
    pub(super) turn: (f64, f64),
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

/// A length beside another that it differs from, for a message: digits enough to see by how much.
pub(super) fn mm_beside(value: f64, other: f64) -> String {
    let shown = mm(value);
    if shown == mm(other) { show_exact(value, Dimension::Length, UnitSystem::Metric) } else { shown }
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
        self.third_by((0.5 * angle).sin())
    }

    /// The same by the sine of half the angle.
    pub(super) fn third_by(&self, half: f64) -> f64 {
        let (p, q) = self.sides;
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

/// A cylinder between its pins, from the start of the travel on.
#[derive(Debug, Clone, Copy)]
pub(super) struct Opening {
    /// Between the pins at the start; without bound where the cylinder itself says how far.
    between_pins: f64,
    pub(super) stroke: f64,
    closed: Option<f64>,
}

impl Opening {
    pub(super) fn new(between_pins: f64, stroke: Length, closed: Option<Length>) -> Result<Self> {
        let closed = closed.map(|closed| length("closed-length", closed)).transpose()?;
        Ok(Self { between_pins, stroke: length("stroke", stroke)?, closed })
    }

    /// How far the rod stands out at the start: a closed cylinder shorter than the distance of its pins is drawn out.
    fn drawn_out(&self) -> f64 {
        let closed = self.closed.filter(|_| self.between_pins.is_finite());
        closed.map_or(0.0, |closed| (self.between_pins - closed).max(0.0))
    }

    /// The end of the travel, at the stop or else where the stroke ends, and the longest stroke that the linkage
    /// takes.
    ///
    /// `limit` is the travel at which the linkage comes to a limit of its own, which a stop keeps it from; whether
    /// the end lies below it is not looked at.
    pub(super) fn end(
        &self,
        stop: Option<&Stop>,
        limit: f64,
        angle_at: impl Fn(f64) -> f64,
    ) -> Result<(f64, f64)> {
        self.fits_closed(stop, limit)?;
        let longest = self.closed.unwrap_or(self.between_pins).min(self.between_pins);
        let most = if stop.is_some() { longest } else { longest.min(limit + self.drawn_out()) };
        self.longer_than_stroke(most)?;
        let reach = self.stroke - self.drawn_out();
        let Some(stop) = stop else {
            if reach < LEAST_LENGTH {
                return self.too_short(None, limit, None);
            }
            return Ok((reach, most));
        };
        // Rounding of the drawing: a micrometre in a metre.
        if stop.travel > self.stroke * (1.0 + 1e-6) {
            return self.stop_is_not_met(stop, longest, angle_at(reach.max(0.0)));
        }
        if self.between_pins.is_finite()
            && self.between_pins + stop.travel > (self.between_pins + reach) * (1.0 + 1e-6)
        {
            return self.too_short(Some(stop), limit, (reach > 0.0).then(|| angle_at(reach)));
        }
        Ok((stop.travel.min(reach), most))
    }

    /// The cylinder must fit between its pins at the start.
    fn fits_closed(&self, stop: Option<&Stop>, limit: f64) -> Result<()> {
        let start = self.between_pins;
        // Rounding of the drawing: a micrometre in a metre.
        let Some(closed) = self.closed.filter(|closed| start < closed * (1.0 - 1e-6)) else { return Ok(()) };
        let apart = format!("set the pins {} further apart", mm_at_least(closed - start));
        refuse(
            "closed-length",
            mm_beside(closed, start),
            format!("at the start only {} lie between the cylinder's pins", mm_beside(start, closed)),
            match self.lengths_that_fit(stop, limit) {
                Some(lengths) => format!("{apart}, start at a greater angle, or take {lengths}"),
                None => format!("{apart}, or start at a greater angle"),
            },
        )
    }

    /// The closed lengths that fit at the start, and reach the end with this stroke, in words; `None` if there are
    /// none.
    fn lengths_that_fit(&self, stop: Option<&Stop>, limit: f64) -> Option<String> {
        let start = self.between_pins;
        let (least, most) = match stop {
            Some(stop) => (start + stop.travel - self.stroke, start),
            None => (start - self.stroke, start.min(start + limit - self.stroke)),
        };
        if most <= self.stroke || least > most {
            return None;
        }
        Some(if least > self.stroke && stop.is_some() {
            format!("a closed length from {} to {}", mm_at_least(least), mm_at_most(most))
        } else {
            let above = self.stroke.max(least);
            format!("a closed length above {} and up to {}", mm(above), mm_at_most(most))
        })
    }

    /// A closed cylinder is longer than its stroke, so that the start must leave more than that between the pins.
    /// `most` is the longest stroke that the linkage takes.
    fn longer_than_stroke(&self, most: f64) -> Result<()> {
        let (start, stroke) = (self.between_pins, self.stroke);
        if start > stroke {
            return Ok(());
        }
        refuse(
            "stroke",
            mm_beside(stroke, start),
            format!(
                "at the start only {} lie between the cylinder's pins, and a closed cylinder is longer than its stroke",
                mm_beside(start, stroke)
            ),
            format!(
                "use less than {} of stroke, or set the pins further apart at the start",
                mm_at_most(most)
            ),
        )
    }

    /// The cylinder, closed length and stroke, must be long enough for the stop, or without one for its start.
    fn too_short<T>(&self, stop: Option<&Stop>, limit: f64, ends: Option<f64>) -> Result<T> {
        let closed = self.closed.unwrap_or(self.between_pins);
        let reach = closed + self.stroke;
        let needed = self.between_pins + stop.map_or(0.0, |stop| stop.travel);
        let place = stop.map_or_else(|| "start".to_owned(), |stop| format!("stop (`{}`)", stop.quantity));
        let problem = format!(
            "with its stroke the cylinder reaches {}, but {} lie between its pins at the {place}",
            mm_beside(reach, needed),
            mm_beside(needed, reach)
        );
        let mut ways = vec![format!("set the pins {} closer at the start", mm_at_least(needed - reach))];
        ways.extend(self.lengths_that_fit(stop, limit).map(|lengths| format!("take {lengths}")));
        // A rod is longer than its stroke.
        let stroke = needed - closed;
        if stroke < closed {
            let word = if stop.is_some() { "of at least" } else { "above" };
            ways.push(format!("take a stroke {word} {}", mm_at_least(stroke)));
        }
        ways.extend(ends.map(|angle| format!("set the stop at {} or below", deg_at_most(angle))));
        let last = ways.pop().unwrap_or_default();
        refuse("closed-length", mm(closed), problem, format!("{}, or {last}", ways.join(", ")))
    }

    /// A stop that the stroke never reaches would be no stop: whoever relies on it must know.
    fn stop_is_not_met<T>(&self, stop: &Stop, longest: f64, ends: f64) -> Result<T> {
        let stroke = stop.travel + self.drawn_out();
        let needed = mm_at_least(stroke);
        let stop_earlier = format!("set the stop at {} or below, or delete it", deg_at_most(ends));
        let fix = if stroke >= longest {
            format!("set the pins further apart at the start and take a longer stroke, or {stop_earlier}")
        } else {
            format!("take a stroke of at least {needed}, or {stop_earlier}")
        };
        let problem = format!(
            "the stroke of {} ends with {} at {}; the stop takes {needed} of stroke",
            mm(self.stroke),
            stop.what,
            deg(ends)
        );
        refuse(stop.quantity, deg(stop.angle), problem, fix)
    }
}
