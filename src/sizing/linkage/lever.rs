//! A lever on a fixed pivot, raised by a cylinder.

use std::f64::consts::{FRAC_PI_2, PI};

use uom::si::f64::{Angle, Length, Mass};

use super::motion::{
    DeadPoint, Forces, Motion, NEAREST_DEAD, Opening, Pose, Side, Stop, Triangle, angle, dead_point, deg,
    deg_at_most, length, mass, mm, mm_at_least, mm_at_most, mm_beside, refuse, signed_length, turned_open,
};
use super::plane::{Member, Pin, Place, Vector};
use crate::Result;
use crate::sizing::travel::STANDARD_GRAVITY_M_PER_S2;

/// Shape of a lever. The pivot is the origin, `x` points to the side of the load, `y` up; a positive angle
/// turns from `x` towards `y`.
///
/// The pin may sit between pivot and load, beyond the load, or on the far side of the pivot.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LeverGeometry {
    /// Cylinder foot, to the load's side of the pivot.
    pub foot_x: Length,
    /// Cylinder foot, above the pivot; below is negative.
    pub foot_y: Length,
    /// Distance from the pivot to the cylinder pin.
    pub pin_arm: Length,
    /// Angle from the load arm to the pin arm; 180 degrees puts the pin straight behind the pivot.
    pub pin_offset: Angle,
    /// Distance from the pivot to the load point.
    pub load_arm: Length,
    /// Angle of the load arm above horizontal at the start; below is negative.
    pub start_angle: Angle,
    /// Angle of the load arm at a stop, if there is one.
    pub end_angle: Option<Angle>,
    /// Pin-to-pin length of the closed cylinder, if known. A longer start draws the rod out, which comes off the
    /// stroke.
    pub closed_length: Option<Length>,
    /// Mass of the lever itself, all its side plates together; zero to leave it out.
    pub arm_mass: Mass,
    /// Distance from the pivot to the lever's centre of mass.
    pub arm_centre: Length,
    /// Angle from the load arm to that centre.
    pub arm_centre_offset: Angle,
}

/// A lever that raises its load over a stroke.
///
/// With `p` the pin arm, `f` the distance from pivot to foot, `L = L0 + x` the length of the cylinder and
/// `gamma` the angle at the pivot between foot and pin, `L^2 = p^2 + f^2 - 2 p f cos(gamma)` and the load
/// arm `l` at angle `theta` turns with `gamma`, so that `h = l (sin(theta) - sin(theta0))` and
/// `r = l cos(theta) L / (p f sin(gamma))`.
///
/// Source: law of cosines, its derivative. Rigid parts; the load stays on its point.
///
/// ```
/// # use lungful::sizing::linkage::{Lever, LeverGeometry, Linkage};
/// # use uom::si::{angle::degree, f64::{Angle, Length, Mass}, length::millimeter};
/// # let mm = Length::new::<millimeter>;
/// # let degrees = Angle::new::<degree>;
/// let geometry = LeverGeometry {
///     foot_x: mm(300.0),
///     foot_y: mm(-400.0),
///     pin_arm: mm(300.0),
///     pin_offset: degrees(0.0),
///     load_arm: mm(900.0),
///     start_angle: degrees(0.0),
///     end_angle: None,
///     closed_length: None,
///     arm_mass: Mass::default(),
///     arm_centre: mm(0.0),
///     arm_centre_offset: degrees(0.0),
/// };
/// let lever = Linkage::Lever(Lever::new(&geometry, mm(150.0))?);
/// // The cylinder stands upright under a level lever: the ratio is that of the arms, 900 / 300.
/// assert!((lever.ratio(mm(0.0)).value - 3.0).abs() < 1e-12);
/// # Ok::<(), lungful::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lever {
    foot: Vector,
    triangle: Triangle,
    start_length: f64,
    start_gamma: f64,
    load_arm: f64,
    pin_offset: f64,
    start: f64,
    end: f64,
    arm_mass: f64,
    arm_centre: f64,
    arm_centre_offset: f64,
}

impl Lever {
    /// A lever over a stroke of its cylinder.
    ///
    /// # Errors
    /// [`Error::Geometry`](crate::Error::Geometry) if a length or angle is out of range, the cylinder would
    /// lower the load, does not fit at the start, runs into line with the pivot, carries the load past the
    /// top, or does not reach the stop.
    pub fn new(geometry: &LeverGeometry, stroke: Length) -> Result<Self> {
        let pin_arm = length("pin-arm", geometry.pin_arm)?;
        let pin_offset = angle("pin-offset", geometry.pin_offset)?;
        let start = start_angle(geometry.start_angle)?;
        let foot =
            Vector::new(signed_length("foot-x", geometry.foot_x)?, signed_length("foot-y", geometry.foot_y)?);
        let pin = Vector::at(start + pin_offset) * pin_arm;
        let triangle = Triangle { sides: (pin_arm, foot.length()) };
        let start_length = (pin - foot).length();
        turns_upward(foot, pin)?;
        let opening = Opening::new(start_length, stroke, geometry.closed_length)?;
        let start_gamma = foot.cross(pin).atan2(foot.dot(pin));
        let mut lever = Self {
            foot,
            triangle,
            start_length,
            start_gamma,
            load_arm: length("load-arm", geometry.load_arm)?,
            pin_offset,
            start,
            end: opening.stroke,
            arm_mass: mass("arm-mass", geometry.arm_mass)?,
            arm_centre: signed_length("arm-centre", geometry.arm_centre)?,
            arm_centre_offset: angle("arm-centre-offset", geometry.arm_centre_offset)?,
        };
        lever.end = lever.reach(&opening, geometry.end_angle)?;
        Ok(lever)
    }

    /// Travel at which stroke or stop ends.
    fn reach(&self, opening: &Opening, stop: Option<Angle>) -> Result<f64> {
        let stroke = opening.stroke;
        let stop = stop.map(|stop| self.stop_angle(stop)).transpose()?;
        let in_line = self.triangle.third(PI - NEAREST_DEAD) - self.start_length;
        let upright = self.travel_to(FRAC_PI_2).unwrap_or(f64::INFINITY);
        let limit = in_line.min(upright);
        let angle_at = |travel| self.pose(travel).angle;
        let (end, most) = opening.end(stop.as_ref(), limit, angle_at)?;
        if end > in_line {
            return refuse(
                "stroke",
                mm(stroke),
                format!(
                    "it opens the cylinder to {}, but foot, pivot and pin are in one line at {}",
                    mm_beside(self.start_length + end, self.start_length + in_line),
                    mm_beside(self.start_length + in_line, self.start_length + end)
                ),
                format!(
                    "use at most {} of stroke, or set a stop (`end-angle`) before that",
                    mm_at_most(most)
                ),
            );
        }
        let angle = self.pose(end).angle;
        if angle > FRAC_PI_2 + 1e-9 {
            return refuse(
                "stroke",
                mm(stroke),
                format!("it turns the load arm to {}, past upright, where the load comes down", deg(angle)),
                format!(
                    "use at most {} of stroke, or set a stop (`end-angle`) of up to 90 deg",
                    mm_at_most(most)
                ),
            );
        }
        Ok(end)
    }

    /// Travel at which the load arm stands at an angle; `None` if the cylinder is in line with the pivot
    /// before that.
    fn travel_to(&self, angle: f64) -> Option<f64> {
        let gamma = self.start_gamma + angle - self.start;
        (gamma <= PI - NEAREST_DEAD).then(|| self.triangle.third(gamma) - self.start_length)
    }

    fn stop_angle(&self, stop: Angle) -> Result<Stop> {
        let stop = angle("end-angle", stop)?;
        if stop <= self.start {
            return refuse(
                "end-angle",
                deg(stop),
                format!("the load arm starts at {}", deg(self.start)),
                "set the stop above the start",
            );
        }
        if stop > FRAC_PI_2 + 1e-12 {
            return refuse(
                "end-angle",
                deg(stop),
                "past upright the load comes down again",
                "set the stop at 90 deg or below",
            );
        }
        let Some(travel) = self.travel_to(stop) else {
            let furthest = self.start + PI - NEAREST_DEAD - self.start_gamma;
            return refuse(
                "end-angle",
                deg(stop),
                format!("with the load arm at {} foot, pivot and pin are in one line", deg(furthest)),
                format!("set the stop below {}, or move the foot", deg_at_most(furthest)),
            );
        };
        Ok(Stop { quantity: "end-angle", what: "the load arm", angle: stop, travel })
    }

    fn angle_and_rate(&self, travel: f64) -> (f64, f64) {
        let third = self.start_length + travel;
        let (gamma, sin_gamma) = self.triangle.angle(third);
        let (p, f) = self.triangle.sides;
        (self.start + turned_open(travel, gamma - self.start_gamma), third / (p * f * sin_gamma))
    }

    fn pin(&self, angle: f64) -> Vector {
        Vector::at(angle + self.pin_offset) * self.triangle.sides.0
    }
}

fn start_angle(start: Angle) -> Result<f64> {
    let start = angle("start-angle", start)?;
    if (-FRAC_PI_2..FRAC_PI_2).contains(&start) {
        return Ok(start);
    }
    refuse(
        "start-angle",
        deg(start),
        "a load arm rises between -90 deg (hanging) and 90 deg (upright)",
        "measure it above horizontal on the side of the load",
    )
}

/// Height of the foot, at its distance to the side, that leaves the lever room to turn: the arms to foot and pin stand
/// 10 degrees apart at the start, or 120 where the foot lies on the other side of the pivot, and the foot is a fifth of
/// the pin's arm off their line.
fn foot_clear_of_the_line(foot: Vector, pin: Vector) -> f64 {
    let pin_at = pin.y.atan2(pin.x);
    let mut directions = [PI / 18.0, 2.0 * PI / 3.0].into_iter().map(|apart| Vector::at(pin_at - apart));
    let to = directions.find(|to| to.x * foot.x > 0.0);
    let off = foot.x * pin.y / pin.x - 0.2 * pin.length().copysign(pin.x);
    let height = to.map_or(off, |to| foot.x * to.y / to.x);
    if pin.x > 0.0 { height.min(off) } else { height.max(off) }
}

/// The foot must lie so that a longer cylinder turns the load arm up.
fn turns_upward(foot: Vector, pin: Vector) -> Result<()> {
    let size = foot.length() * pin.length();
    if foot.length() < 1e-6 {
        return refuse("foot-x", mm(foot.x), "the foot lies on the pivot", "set it away from the pivot");
    }
    let sine = foot.cross(pin) / size;
    if sine >= NEAREST_DEAD.sin() {
        return Ok(());
    }
    let problem = if sine > -NEAREST_DEAD.sin() {
        "at the start foot, pivot and pin are in one line, so that no force turns the lever"
    } else {
        "a longer cylinder would turn the load arm down"
    };
    // The line through pivot and pin parts the plane; the foot belongs on one side of it.
    if pin.x.abs() >= 0.01 * pin.length() {
        let clear = foot_clear_of_the_line(foot, pin);
        let (side, move_to, clear) = if pin.x > 0.0 {
            ("below", "lower", format!("at most {}", mm_at_most(clear)))
        } else {
            ("above", "raise", format!("at least {}", mm_at_least(clear)))
        };
        return refuse(
            "foot-y",
            mm(foot.y),
            problem,
            format!(
                "{move_to} the foot {side} the line through pivot and pin (`foot-y` {clear} at this `foot-x`, to \
                 stay well clear of it), or swap the sides with `pin-offset`",
            ),
        );
    }
    let side = if pin.y > 0.0 { "load's side" } else { "far side" };
    refuse(
        "foot-x",
        mm(foot.x),
        problem,
        format!(
            "move the foot to the {side} of the line through pivot and pin, or swap the sides with `pin-offset`"
        ),
    )
}

impl Motion for Lever {
    fn pose(&self, travel: f64) -> Pose {
        let (angle, rate) = self.angle_and_rate(travel);
        let (sin, cos) = angle.sin_cos();
        // A difference of sines as a product, exact near the start.
        let rise = |from: f64, turned: f64| 2.0 * (from + 0.5 * turned).cos() * (0.5 * turned).sin();
        let turned = angle - self.start;
        let (arms, arms_raised) = if self.arm_mass > 0.0 {
            let moment = self.arm_mass * self.arm_centre;
            let offset = self.arm_centre_offset;
            (moment * (angle + offset).cos() * rate, moment * rise(self.start + offset, turned))
        } else {
            (0.0, 0.0)
        };
        Pose {
            angle,
            turn: (sin, cos),
            height: self.load_arm * rise(self.start, turned),
            ratio: self.load_arm * cos * rate,
            arms,
            arms_raised,
        }
    }

    fn end(&self) -> f64 {
        self.end
    }

    fn travel_at(&self, height: f64) -> Option<f64> {
        let sine = self.start.sin() + height / self.load_arm;
        let angle = sine.clamp(-1.0, 1.0).asin();
        let travel = self.triangle.third(self.start_gamma + angle - self.start) - self.start_length;
        let reached = sine <= 1.0 && height <= self.pose(self.end).height;
        reached.then(|| travel.clamp(0.0, self.end))
    }

    fn pins(&self, travel: f64) -> Vec<(Pin, Place)> {
        let angle = self.angle_and_rate(travel).0;
        vec![
            (Pin::Pivot, Place::default()),
            (Pin::CylinderFoot, self.foot.place()),
            (Pin::CylinderPin, self.pin(angle).place()),
            (Pin::LoadPoint, (Vector::at(angle) * self.load_arm).place()),
        ]
    }

    fn statics(&self, travel: f64, pose: &Pose, load: f64, efficiency: f64, forces: &mut Forces<'_>) {
        let pin = self.pin(pose.angle);
        let thrust = (load * pose.ratio + STANDARD_GRAVITY_M_PER_S2 * pose.arms) / efficiency;
        let push = (pin - self.foot) * (thrust / (self.start_length + travel));
        let weight = self.arm_mass * STANDARD_GRAVITY_M_PER_S2;
        let pivot = Vector::new(0.0, load + weight) - push;
        forces.cylinder(self.foot, pin, push);
        forces.pin(Side::First, Member::Lever, Pin::Pivot, Vector::default(), pivot);
        forces.pin(Side::Other, Member::Lever, Pin::CylinderPin, pin, push);
        let centre = Vector::at(pose.angle + self.arm_centre_offset) * self.arm_centre;
        forces.weight(Member::Lever, centre, weight);
        let load_point = Vector::new(pose.turn.1, pose.turn.0) * self.load_arm;
        forces.pin(Side::First, Member::Lever, Pin::LoadPoint, load_point, Vector::down(load));
    }

    fn dead_points(&self) -> Vec<DeadPoint> {
        let end = self.pose(self.end).angle;
        let end_gamma = self.start_gamma + end - self.start;
        vec![
            dead_point("cylinder folded into line with the pivot", self.start_gamma, 0.0),
            dead_point("cylinder stretched into line with the pivot", PI - end_gamma, self.end),
            dead_point("load arm upright", FRAC_PI_2 - end, self.end),
        ]
    }

    fn cylinder_length(&self, travel: f64) -> Option<f64> {
        Some(self.start_length + travel)
    }
}
