//! A scissor of one or several stages.

mod statics;

use std::f64::consts::FRAC_PI_2;
use std::ops::Sub;

use uom::si::f64::{Angle, Length, Mass};

use super::motion::{
    DeadPoint, Forces, Motion, NEAREST_DEAD, Opening, Pose, Stop, angle, dead_point, deg, deg_at_most,
    length, mass, mm, mm_at_most, refuse, signed_length, turned_open,
};
use super::plane::{ArmFrom, Pin, Place, Vector, meters};
use crate::Result;

/// Least `dL/dtheta` of the cylinder, as a share of the arm. Below it the cylinders would push with a hundred
/// times the weight, and play decides which way the arms go.
const LEAST_LEVERAGE: f64 = 0.01;

/// Most stages that a scissor may have.
const MOST_STAGES: u32 = 20;

/// Point that a cylinder holds on to. The fixed foot is the origin, `x` points to the sliding foot.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Anchor {
    /// A point on the base.
    Base {
        /// From the fixed foot towards the sliding foot.
        x: Length,
        /// Above the feet; below is negative.
        y: Length,
    },
    /// A point on an arm.
    Arm {
        /// Side on which that arm has its lower end.
        from: ArmFrom,
        /// Stage, counted from 1 at the base.
        stage: u32,
        /// Distance from the arm's lower end, along it.
        distance: Length,
        /// Distance off the line of the arm, positive upwards.
        offset: Length,
    },
}

/// How the cylinder drives a scissor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ScissorDrive {
    /// Level on the base, anchored beyond the sliding foot: it pushes the sliding foot towards the fixed one.
    SlidingFoot,
    /// Between two points, of which at least one is on an arm.
    Between {
        /// Where the cylinder starts.
        foot: Anchor,
        /// Where it pushes.
        pin: Anchor,
    },
}

/// Shape of a scissor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ScissorGeometry {
    /// Pairs of crossing arms, one above the other.
    pub stages: u32,
    /// Length of an arm, from end pin to end pin; the arms cross at mid length.
    pub arm_length: Length,
    /// Angle of the arms above horizontal at the start.
    pub start_angle: Angle,
    /// Angle of the arms at a stop, if there is one.
    pub end_angle: Option<Angle>,
    /// How the cylinder drives it.
    pub drive: ScissorDrive,
    /// Pin-to-pin length of the closed cylinder, if known. A longer start draws the rod out, which comes off the
    /// stroke.
    pub closed_length: Option<Length>,
    /// Mass of one arm, both sides of the table together; zero to leave it out.
    pub arm_mass: Mass,
}

/// A scissor over a stroke.
///
/// With `n` stages, arms `a` at angle `theta`: `h = n a (sin(theta) - sin(theta0))`. A level cylinder at the
/// sliding foot gives `a cos(theta) = a cos(theta0) - x`, so `r = n / tan(theta)`. A cylinder between two
/// points has `L = |v|` with `v(theta)` the vector from foot to pin, and
/// `r = n a cos(theta) L / (v . dv/dtheta)`. Equal arms raise `m n^2 a cos(theta) dtheta/dx` in all.
///
/// Source: virtual work, plane geometry. Rigid arms that cross at mid length.
///
/// ```
/// # use lungful::sizing::linkage::{Linkage, Scissor, ScissorDrive, ScissorGeometry};
/// # use uom::si::{angle::degree, f64::{Angle, Length, Mass}, length::millimeter};
/// # let mm = Length::new::<millimeter>;
/// let geometry = ScissorGeometry {
///     stages: 1,
///     arm_length: mm(800.0),
///     start_angle: Angle::new::<degree>(45.0),
///     end_angle: None,
///     drive: ScissorDrive::SlidingFoot,
///     closed_length: None,
///     arm_mass: Mass::default(),
/// };
/// let scissor = Linkage::Scissor(Scissor::new(&geometry, mm(100.0))?);
/// // At 45 degrees 1 / tan(theta) = 1.
/// assert!((scissor.ratio(mm(0.0)).value - 1.0).abs() < 1e-12);
/// # Ok::<(), lungful::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scissor {
    stages: u32,
    arm: f64,
    start: f64,
    end_angle: f64,
    /// Angle at which the cylinder no longer raises the platform.
    furthest: f64,
    end: f64,
    arm_mass: f64,
    start_length: f64,
    drive: Drive,
    /// Of a cylinder between two points.
    turned: Option<Turned>,
}

/// The drive with its points resolved.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Drive {
    SlidingFoot { closed: Option<f64> },
    Between { foot: Point, pin: Point },
}

/// A point that moves with the angle: `fixed + cos(theta) * by_cos + sin(theta) * by_sin`.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Point {
    fixed: Vector,
    by_cos: Vector,
    by_sin: Vector,
    /// The arm it sits on.
    arm: Option<(ArmFrom, u32)>,
}

impl Point {
    fn at(&self, cos: f64, sin: f64) -> Vector {
        self.fixed + self.by_cos * cos + self.by_sin * sin
    }

    fn rate(&self, cos: f64, sin: f64) -> Vector {
        self.by_sin * cos - self.by_cos * sin
    }
}

impl Sub for Point {
    type Output = Self;
    /// From one point to another, on no arm.
    fn sub(self, other: Self) -> Self {
        Self {
            fixed: self.fixed - other.fixed,
            by_cos: self.by_cos - other.by_cos,
            by_sin: self.by_sin - other.by_sin,
            arm: None,
        }
    }
}

/// Length of a cylinder from foot to pin, `along` at each angle, and `dL/dtheta`.
fn cylinder(along: &Point, theta: f64) -> (f64, f64) {
    let (sin, cos) = theta.sin_cos();
    let now = along.at(cos, sin);
    let length = now.length();
    (length, now.dot(along.rate(cos, sin)) / length.max(f64::MIN_POSITIVE))
}

impl Scissor {
    /// A scissor over a stroke of its cylinders.
    ///
    /// # Errors
    /// [`Error::Geometry`](crate::Error::Geometry) if a length or angle is out of range, a point is not on
    /// its arm, the cylinder would lower the platform or does not fit at the start, or the stroke runs into
    /// a dead point or does not reach the stop.
    pub fn new(geometry: &ScissorGeometry, stroke: Length) -> Result<Self> {
        let stages = geometry.stages;
        if !(1..=MOST_STAGES).contains(&stages) {
            let problem = "a scissor has between 1 and 20 stages";
            return refuse("stages", stages.to_string(), problem, "count the pairs of crossing arms");
        }
        let arm = length("arm-length", geometry.arm_length)?;
        let start = start_angle(geometry.start_angle)?;
        let stop = geometry.end_angle.map(|stop| stop_angle(start, stop)).transpose()?;
        let arm_mass = mass("arm-mass", geometry.arm_mass)?;
        let (drive, turned, start_length) = match geometry.drive {
            ScissorDrive::SlidingFoot => {
                let closed =
                    geometry.closed_length.map(|closed| length("closed-length", closed)).transpose()?;
                (Drive::SlidingFoot { closed }, None, closed.unwrap_or_default())
            }
            ScissorDrive::Between { foot, pin } => {
                let foot = point("cylinder-foot", &foot, stages, arm)?;
                let pin = point("cylinder-pin", &pin, stages, arm)?;
                let along = pin - foot;
                let (start_length, rate) = cylinder(&along, start);
                raises(start_length, rate, arm)?;
                let turned = Turned::new(along, start, start);
                (Drive::Between { foot, pin }, Some(turned), start_length)
            }
        };
        let between_pins = if turned.is_some() { start_length } else { f64::INFINITY };
        let opening = Opening::new(between_pins, stroke, geometry.closed_length)?;
        let mut scissor = Self {
            stages,
            arm,
            start,
            end_angle: start,
            furthest: start,
            end: opening.stroke,
            arm_mass,
            start_length,
            drive,
            turned,
        };
        scissor.furthest = scissor.furthest_angle();
        let (end_angle, end) = scissor.reach(&opening, stop)?;
        scissor.end_angle = end_angle;
        scissor.end = scissor.travel_of(end_angle).min(end);
        scissor.turned = turned.map(|turned| Turned::new(turned.along, start, scissor.end_angle));
        Ok(scissor)
    }

    /// Angle of the arms at which stroke or stop ends, and the travel there.
    fn reach(&self, opening: &Opening, stop: Option<f64>) -> Result<(f64, f64)> {
        let furthest = self.furthest;
        let upright = furthest >= FRAC_PI_2 - 2.0 * NEAREST_DEAD;
        let raises = self.travel_of(furthest);
        if let Some(stop) = stop.filter(|&stop| stop > furthest) {
            return refuse(
                "end-angle",
                deg(stop),
                format!("with the arms at {} the cylinder no longer raises the platform", deg(furthest)),
                format!("set the stop below {}, or move foot or pin", deg_at_most(furthest)),
            );
        }
        let stop = stop.map(|angle| Stop {
            quantity: "end-angle",
            what: "the arms",
            angle,
            travel: self.travel_of(angle),
        });
        let turned = self.turned.map(|turned| Turned::new(turned.along, self.start, furthest));
        let angle_at = |travel| self.angle_at(travel, turned.as_ref()).0;
        let (end, most) = opening.end(stop.as_ref(), raises, angle_at)?;
        if end > raises {
            let why = if upright {
                format!("the arms stand upright after {} of travel", mm(raises))
            } else {
                format!("with the arms at {} the cylinder no longer raises the platform", deg(furthest))
            };
            return refuse(
                "stroke",
                mm(opening.stroke),
                why,
                format!(
                    "use at most {} of stroke, or set a stop (`end-angle`) before that",
                    mm_at_most(most)
                ),
            );
        }
        match stop {
            Some(stop) if stop.travel <= end => Ok((stop.angle, end)),
            _ => Ok((angle_at(end), end)),
        }
    }

    /// First angle past the start at which the cylinder no longer raises the platform, or nearly upright.
    fn furthest_angle(&self) -> f64 {
        /// Steps of well below a degree, in which the cylinder's lever arm cannot turn back unseen but for
        /// a hair.
        const STEPS: u32 = 256;
        let upright = FRAC_PI_2 - NEAREST_DEAD;
        let Some(Turned { along, .. }) = &self.turned else { return upright };
        let raises = |theta: f64| cylinder(along, theta).1 > LEAST_LEVERAGE * self.arm;
        let at = |step: u32| self.start + (upright - self.start) * f64::from(step) / f64::from(STEPS);
        let Some(step) = (1..=STEPS).find(|&step| !raises(at(step))) else { return upright };
        let (mut good, mut bad) = (at(step - 1), at(step));
        for _ in 0..60 {
            let middle = 0.5 * (good + bad);
            if raises(middle) { good = middle } else { bad = middle }
        }
        good
    }

    fn travel_of(&self, theta: f64) -> f64 {
        match &self.turned {
            // a (cos(theta0) - cos(theta)) as a product, exact near the start
            None => 2.0 * self.arm * (0.5 * (theta + self.start)).sin() * (0.5 * (theta - self.start)).sin(),
            Some(Turned { along, .. }) => cylinder(along, theta).0 - self.start_length,
        }
    }

    /// Angle of the arms at a travel, its sine and its cosine; a cylinder between two points is `turned` round
    /// over a bracket that holds the angle.
    fn angle_at(&self, travel: f64, turned: Option<&Turned>) -> (f64, f64, f64) {
        if let Some(turned) = turned {
            return turned.angle(self.start_length + travel);
        }
        // 1 - cos(theta) = 2 sin^2(theta/2) keeps the digits of a low scissor.
        let half = (0.5 * self.start).sin();
        let squared = half * half + travel / (2.0 * self.arm);
        let theta = 2.0 * squared.clamp(0.0, 1.0).sqrt().asin();
        let (sin, cos) = theta.sin_cos();
        (theta, sin, cos)
    }

    /// `dtheta/dx` at a travel and the angle there: `L / (v . dv/dtheta)` for a cylinder between two points.
    fn rate(&self, travel: f64, sin: f64, cos: f64) -> f64 {
        match &self.turned {
            None => 1.0 / (self.arm * sin),
            Some(Turned { along, .. }) => {
                (self.start_length + travel) / along.at(cos, sin).dot(along.rate(cos, sin))
            }
        }
    }
}

/// The length of a cylinder between two points, turned round: the angle of the arms by it.
///
/// With `q = v . v` the square of the length, `q' = 2 v . v'` and `q'' = 2 (v' . v' - v . u)`, `u` the part of `v`
/// that turns. Halley's rule starts from the polynomial of the fifth order that meets the angle and its first two
/// derivatives by `q`, `1/q'` and `-q''/q'^3`, at both ends; one or two steps do as a rule.
///
/// Source: Press et al., Numerical Recipes, 3rd ed., 9.4 (Halley); the polynomial is Hermite's.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Turned {
    along: Point,
    /// Angles that bracket those asked for.
    angles: (f64, f64),
    /// Square of the length at the first, and how much more it is at the second.
    squares: (f64, f64),
    /// The angle by the share of that: factors of its powers, the highest first.
    powers: [f64; 6],
}

impl Turned {
    fn new(along: Point, low: f64, high: f64) -> Self {
        let (from, to) = (squared(&along, low.sin_cos()), squared(&along, high.sin_cos()));
        let width = to.0 - from.0;
        let derivatives = |(_, rate, bend): (f64, f64, f64)| {
            let slope = width / rate;
            (slope, -bend / rate * slope * slope)
        };
        let ((slope, bend), (last_slope, last_bend)) = (derivatives(from), derivatives(to));
        let rise = high - low - slope - 0.5 * bend;
        let steeper = last_slope - slope - bend;
        let more_bent = last_bend - bend;
        let powers = [
            6.0 * rise - 3.0 * steeper + 0.5 * more_bent,
            -15.0 * rise + 7.0 * steeper - more_bent,
            10.0 * rise - 4.0 * steeper + 0.5 * more_bent,
            0.5 * bend,
            slope,
            low,
        ];
        Self { along, angles: (low, high), squares: (from.0, width), powers }
    }

    fn guess(&self, wanted: f64) -> f64 {
        let (low, high) = self.angles;
        let share = (wanted - self.squares.0) / self.squares.1;
        let guess = self.powers.iter().fold(0.0, |sum, factor| sum * share + factor);
        // A bracket of no width, or a slope without bound at a dead point.
        if guess >= low && guess <= high { guess } else { 0.5 * (low + high) }
    }

    /// The angle, its sine and its cosine for a length.
    fn angle(&self, length: f64) -> (f64, f64, f64) {
        /// A step below which the next, by the cube of it, is lost in rounding where the length bends little.
        const SETTLED: f64 = 4e-6;
        /// Where it bends much, the next step is a quarter of this at most.
        const NEXT: f64 = 1e-15;
        let wanted = length * length;
        let (mut low, mut high) = self.angles;
        let mut theta = self.guess(wanted);
        for _ in 0..60 {
            let (sin, cos) = theta.sin_cos();
            let (square, rate, bend) = squared(&self.along, (sin, cos));
            let over = square - wanted;
            if over > 0.0 {
                high = theta;
            } else {
                low = theta;
            }
            let halley = theta - over * rate / (rate * rate - 0.5 * over * bend);
            // An angle at an end of the bracket may come out on either side of it.
            let inside = halley >= low - SETTLED && halley <= high + SETTLED;
            let next = if inside { halley.clamp(low, high) } else { 0.5 * (low + high) };
            let turn = next - theta;
            let bent = over * bend / (rate * rate);
            if inside && turn.abs() <= SETTLED && turn.abs() * bent * bent <= NEXT {
                let half = 0.5 * turn * turn;
                return (next, sin + turn * cos - half * sin, cos - turn * sin - half * cos);
            }
            theta = next;
        }
        let (sin, cos) = theta.sin_cos();
        (theta, sin, cos)
    }
}

/// Square of the length of `along` at the sine and cosine of the angle, and its first two derivatives.
fn squared(along: &Point, (sin, cos): (f64, f64)) -> (f64, f64, f64) {
    let (now, rate) = (along.at(cos, sin), along.rate(cos, sin));
    (now.dot(now), 2.0 * now.dot(rate), 2.0 * (rate.dot(rate) - now.dot(now - along.fixed)))
}

fn start_angle(start: Angle) -> Result<f64> {
    let start = angle("start-angle", start)?;
    if (NEAREST_DEAD..=FRAC_PI_2 - 2.0 * NEAREST_DEAD).contains(&start) {
        return Ok(start);
    }
    refuse(
        "start-angle",
        deg(start),
        "flat arms cannot be raised and upright ones are at the top",
        "start between 0 and 90 deg above horizontal, in practice above 5 deg",
    )
}

fn stop_angle(start: f64, stop: Angle) -> Result<f64> {
    let stop = angle("end-angle", stop)?;
    if stop <= start {
        let problem = format!("the arms start at {}", deg(start));
        return refuse("end-angle", deg(stop), problem, "set the stop above the start");
    }
    if stop > FRAC_PI_2 - NEAREST_DEAD {
        return refuse(
            "end-angle",
            deg(stop),
            "the arms stand upright at 90 deg",
            "set the stop below 90 deg",
        );
    }
    Ok(stop)
}

/// The cylinder must lengthen as the platform rises.
fn raises(start_length: f64, rate: f64, arm: f64) -> Result<()> {
    if start_length < 1e-6 {
        let fix = "set them apart by at least the cylinder's closed length";
        return refuse("cylinder-pin", mm(start_length), "the two ends of the cylinder meet", fix);
    }
    if rate > LEAST_LEVERAGE * arm {
        return Ok(());
    }
    let (problem, fix) = if rate < -LEAST_LEVERAGE * arm {
        (
            "the ends come closer as the platform rises, so that the cylinder would lower it",
            "move the pin higher or to the other arm, so that it moves away from the foot; swapping foot and \
             pin changes nothing",
        )
    } else {
        (
            "at the start the cylinder hardly moves with the arms, so that no force it can give raises the platform",
            "raise the pin, lower the foot, or start at a greater angle",
        )
    };
    refuse("cylinder-pin", format!("{} from the foot", mm(start_length)), problem, fix)
}

fn point(quantity: &'static str, anchor: &Anchor, stages: u32, arm: f64) -> Result<Point> {
    match *anchor {
        Anchor::Base { x, y } => Ok(Point {
            fixed: Vector::new(signed_length(quantity, x)?, signed_length(quantity, y)?),
            by_cos: Vector::default(),
            by_sin: Vector::default(),
            arm: None,
        }),
        Anchor::Arm { from, stage, distance, offset } => {
            if !(1..=stages).contains(&stage) {
                let problem = format!("the scissor has {stages} (counted from 1 at the base)");
                return refuse(quantity, format!("stage {stage}"), problem, "name one of its stages");
            }
            let along = signed_length(quantity, distance)?;
            if !(0.0..=arm).contains(&along) {
                let problem = format!("the arm is only {} long", mm(arm));
                return refuse(quantity, mm(along), problem, "measure from the arm's lower end, along it");
            }
            let off = signed_length(quantity, offset)?;
            let up = arm * f64::from(stage - 1) + along;
            let (across, lean) = match from {
                ArmFrom::FixedSide => (along, -off),
                ArmFrom::SlidingSide => (arm - along, off),
            };
            Ok(Point {
                fixed: Vector::default(),
                by_cos: Vector::new(across, off),
                by_sin: Vector::new(lean, up),
                arm: Some((from, stage)),
            })
        }
    }
}

impl Motion for Scissor {
    fn pose(&self, travel: f64) -> Pose {
        let (theta, sin, cos) = self.angle_at(travel, self.turned.as_ref());
        let rate = self.rate(travel, sin, cos);
        let stages = f64::from(self.stages);
        // sin(theta) - sin(theta0) as a product, so that small rises keep their digits.
        let (half_sin, half_cos) = (0.5 * turned_open(travel, theta - self.start)).sin_cos();
        let rise = 2.0 * self.arm * (cos * half_cos + sin * half_sin) * half_sin;
        let climb = self.arm * cos * rate;
        // Two arms a stage, their centres at (k - 1/2) a sin(theta): the sum over k is n^2.
        let arms = self.arm_mass * stages * stages;
        Pose {
            angle: theta,
            turn: (sin, cos),
            height: stages * rise,
            ratio: stages * climb,
            arms: arms * climb,
            arms_raised: arms * rise,
        }
    }

    fn end(&self) -> f64 {
        self.end
    }

    fn travel_at(&self, height: f64) -> Option<f64> {
        let sine = self.start.sin() + height / (f64::from(self.stages) * self.arm);
        let theta = sine.clamp(0.0, 1.0).asin();
        let reached = sine <= 1.0 && height <= self.pose(self.end).height;
        reached.then(|| self.travel_of(theta).clamp(0.0, self.end))
    }

    fn pins(&self, travel: f64) -> Vec<(Pin, Place)> {
        let (sin, cos) = self.pose(travel).turn;
        let (across, up) = (self.arm * cos, self.arm * sin);
        let at = |pin, x: f64, level: f64| (pin, Vector::new(x, level * up).place());
        let mut pins = vec![at(Pin::FixedFoot, 0.0, 0.0), at(Pin::SlidingFoot, across, 0.0)];
        for stage in 1..=self.stages {
            let level = f64::from(stage);
            pins.push(at(Pin::Centre(stage), 0.5 * across, level - 0.5));
            if stage < self.stages {
                pins.push(at(Pin::FixedSide(stage), 0.0, level));
                pins.push(at(Pin::SlidingSide(stage), across, level));
            }
        }
        let top = f64::from(self.stages);
        pins.push(at(Pin::PlatformPin, 0.0, top));
        pins.push(at(Pin::PlatformRoller, across, top));
        let (foot, pin) = self.cylinder_ends(cos, sin);
        pins.push((Pin::CylinderFoot, foot.place()));
        pins.push((Pin::CylinderPin, pin.place()));
        pins
    }

    fn statics(&self, _travel: f64, pose: &Pose, load: f64, efficiency: f64, forces: &mut Forces<'_>) {
        self.forces(pose, load, efficiency, forces);
    }

    fn dead_points(&self) -> Vec<DeadPoint> {
        let mut points = vec![
            dead_point("arms flat", self.start, 0.0),
            dead_point("arms upright", FRAC_PI_2 - self.end_angle, self.end),
        ];
        // A level cylinder raises until the arms are upright.
        if self.furthest < FRAC_PI_2 - 2.0 * NEAREST_DEAD {
            let left = self.furthest - self.end_angle;
            points.push(dead_point("cylinder no longer raises", left, self.end));
        }
        points
    }

    fn cylinder_length(&self, travel: f64) -> Option<f64> {
        match &self.drive {
            Drive::SlidingFoot { closed } => closed.map(|closed| closed + travel),
            Drive::Between { .. } => Some(self.start_length + travel),
        }
    }
}

impl Scissor {
    /// Pairs of crossing arms, one above the other.
    #[must_use]
    pub fn stages(&self) -> u32 {
        self.stages
    }

    /// Length of an arm, from end pin to end pin.
    #[must_use]
    pub fn arm_length(&self) -> Length {
        meters(self.arm)
    }

    /// Of a cylinder between two points at travel `x`: the vector v from foot to pin, and `dv/dtheta`, its
    /// change for each radian of the arms. `None` for a level cylinder at the sliding foot.
    ///
    /// `dL/dtheta = v . dv/dtheta / L`, the travel for each radian.
    #[must_use]
    pub fn cylinder_vector(&self, travel: Length) -> Option<(Place, Place)> {
        let Some(Turned { along, .. }) = &self.turned else { return None };
        let travel = if travel.value > 0.0 { travel.value.min(self.end) } else { 0.0 };
        let (sin, cos) = self.pose(travel).turn;
        Some((along.at(cos, sin).place(), along.rate(cos, sin).place()))
    }

    /// Foot and pin of the cylinder. A level cylinder of unknown length is drawn with its closed length equal
    /// to the arm.
    fn cylinder_ends(&self, cos: f64, sin: f64) -> (Vector, Vector) {
        match &self.drive {
            Drive::SlidingFoot { closed } => {
                let foot = self.arm * self.start.cos() + closed.unwrap_or(self.arm);
                (Vector::new(foot, 0.0), Vector::new(self.arm * cos, 0.0))
            }
            Drive::Between { foot, pin, .. } => (foot.at(cos, sin), pin.at(cos, sin)),
        }
    }
}
