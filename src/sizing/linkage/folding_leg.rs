//! A folding leg: two links with a knee, straightened by a cylinder across the knee.

use std::f64::consts::PI;

use uom::si::f64::{Angle, Length, Mass};

use super::motion::{
    DeadPoint, Forces, Motion, NEAREST_DEAD, Opening, Pose, Side, Stop, Triangle, angle, dead_point, deg,
    deg_at_most, length, mass, mm, mm_at_most, mm_beside, refuse, signed_length, turned_open,
};
use super::plane::{Member, Pin, Place, Vector, radians};
use crate::Result;
use crate::sizing::travel::STANDARD_GRAVITY_M_PER_S2;

/// Furthest that a knee may be set past straight, in radians (30 degrees).
const MOST_PAST_STRAIGHT: f64 = PI / 6.0;

/// Where a cylinder holds on to a link of a folding leg.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bracket {
    /// Distance from the knee, measured along the link.
    pub from_knee: Length,
    /// Distance off the line of the link, positive towards the inside of the fold.
    pub offset: Length,
}

/// Shape of a folding leg. The foot is the origin; the knee points to the side of positive `x` until the leg
/// is straight.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FoldingLegGeometry {
    /// Link from foot to knee.
    pub lower_link: Length,
    /// Link from knee to top.
    pub upper_link: Length,
    /// Cylinder bracket on the lower link.
    pub lower_bracket: Bracket,
    /// Cylinder bracket on the upper link.
    pub upper_bracket: Bracket,
    /// How far the upright guide of the top lies from the foot, to the side of the knee; zero is right
    /// above the foot.
    pub guide_offset: Length,
    /// Angle between the links at the start; 180 degrees is straight.
    pub start_angle: Angle,
    /// Angle between the links at a stop, if there is one. Above 180 degrees the leg stands over centre.
    pub stop_angle: Option<Angle>,
    /// Equal legs that share load and cylinders evenly.
    pub legs: u32,
    /// Pin-to-pin length of the closed cylinder, if known. A longer start draws the rod out, which comes off the
    /// stroke.
    pub closed_length: Option<Length>,
    /// Mass of the lower link of one leg, all its side plates together, its centre at mid length; zero to leave it out.
    pub lower_mass: Mass,
    /// Mass of the upper link of one leg, all its side plates together, its centre at mid length; zero to leave it out.
    pub upper_mass: Mass,
}

/// How a leg that passes straight is held by its own load.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OverCentre {
    /// Angle past straight at the end of the travel.
    pub past: Angle,
    /// Height by which the load must rise again before the leg can fold.
    pub rise_to_unlock: Length,
}

/// A folding leg over a stroke.
///
/// With links `a` and `b`, knee angle `kappa`, guide offset `e`, height `H` of the top above the foot,
/// brackets at distances `c` and `d` from the knee (straight lines, offsets included) and `psi` the angle
/// that they subtend there: `H^2 = a^2 + b^2 - 2 a b cos(kappa) - e^2`, `L^2 = c^2 + d^2 - 2 c d cos(psi)`
/// and `r = (a b sin(kappa) / H) (L / (c d sin(psi)))`; with brackets on the lines of the links
/// `r = (a b / H) (L / (c d))`.
///
/// Source: law of cosines twice, its derivative. Rigid parts, foot and top in plane.
///
/// ```
/// # use lungful::sizing::linkage::{Bracket, FoldingLeg, FoldingLegGeometry, Linkage};
/// # use uom::si::{angle::degree, f64::{Angle, Length, Mass}, length::millimeter};
/// # let mm = Length::new::<millimeter>;
/// # let degrees = Angle::new::<degree>;
/// let bracket = Bracket { from_knee: mm(200.0), offset: mm(0.0) };
/// let geometry = FoldingLegGeometry {
///     lower_link: mm(400.0),
///     upper_link: mm(400.0),
///     lower_bracket: bracket,
///     upper_bracket: bracket,
///     guide_offset: mm(0.0),
///     start_angle: degrees(60.0),
///     stop_angle: None,
///     legs: 1,
///     closed_length: None,
///     lower_mass: Mass::default(),
///     upper_mass: Mass::default(),
/// };
/// let leg = Linkage::FoldingLeg(FoldingLeg::new(&geometry, mm(150.0))?);
/// // At 60 degrees H = 400 mm and L = 200 mm: (400 * 400 / 400) (200 / (200 * 200)) = 2.
/// assert!((leg.ratio(mm(0.0)).value - 2.0).abs() < 1e-12);
/// # Ok::<(), lungful::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FoldingLeg {
    links: Triangle,
    guide: f64,
    /// Brackets, from the knee along the link and inward.
    brackets: (Vector, Vector),
    cylinder: Triangle,
    /// `kappa - psi`.
    inset: f64,
    start_length: f64,
    start: f64,
    /// Sine and cosine of half of it.
    half_start: (f64, f64),
    start_height: f64,
    /// Height of the knee above the foot at the start.
    start_knee: f64,
    end: f64,
    legs: u32,
    masses: (f64, f64),
}

impl FoldingLeg {
    /// A folding leg over a stroke of its cylinders.
    ///
    /// # Errors
    /// [`Error::Geometry`](crate::Error::Geometry) if a length or angle is out of range, the links do not
    /// reach the guide, the cylinder does not fit at the start or would fold the leg, or the stroke runs
    /// into a dead point of the cylinder or does not reach the stop.
    pub fn new(geometry: &FoldingLegGeometry, stroke: Length) -> Result<Self> {
        let links = (length("lower-link", geometry.lower_link)?, length("upper-link", geometry.upper_link)?);
        let lower = bracket("lower-bracket", &geometry.lower_bracket, links.0)?;
        let upper = bracket("upper-bracket", &geometry.upper_bracket, links.1)?;
        let start = start_angle(geometry.start_angle)?;
        let cylinder = Triangle { sides: (lower.length(), upper.length()) };
        let inset = lower.y.atan2(lower.x) + upper.y.atan2(upper.x);
        let start_psi = start - inset;
        if start_psi < NEAREST_DEAD {
            return refuse(
                "start-angle",
                deg(start),
                format!("the brackets already take {} of it, so that they meet or cross", deg(inset)),
                format!("start above {}, or bring the brackets closer to the links", deg(inset)),
            );
        }
        if start_psi > PI - NEAREST_DEAD {
            return refuse(
                "start-angle",
                deg(start),
                "the cylinder's line lies outside the knee, so that a longer cylinder folds the leg",
                format!("start below {}, or set the brackets to the inside of the fold", deg(PI + inset)),
            );
        }
        let start_length = cylinder.third(start_psi);
        let opening = Opening::new(start_length, stroke, geometry.closed_length)?;
        if geometry.legs == 0 {
            return refuse("legs", "0".to_owned(), "nothing would stand under the load", "give at least 1");
        }
        let mut leg = Self {
            links: Triangle { sides: links },
            guide: signed_length("guide-offset", geometry.guide_offset)?,
            brackets: (lower, upper),
            cylinder,
            inset,
            start_length,
            start,
            half_start: (0.5 * start).sin_cos(),
            start_height: 0.0,
            start_knee: 0.0,
            end: opening.stroke,
            legs: geometry.legs,
            masses: (mass("lower-mass", geometry.lower_mass)?, mass("upper-mass", geometry.upper_mass)?),
        };
        leg.start_height = leg.reaches_guide(start)?;
        leg.start_knee = leg.knee_height(start.sin_cos(), leg.start_height);
        leg.end = leg.reach(&opening, geometry.stop_angle)?;
        Ok(leg)
    }

    /// Height of the top at a knee angle, or why the links do not get there.
    fn reaches_guide(&self, kappa: f64) -> Result<f64> {
        let apart = self.links.third(kappa);
        // Nearly level, the leg wedges against its guide; a hundredth of its reach is far below any real leg.
        if apart * apart > self.guide * self.guide + 1e-4 * apart * apart && apart > 1e-6 {
            return Ok(self.height_of(kappa));
        }
        refuse(
            "guide-offset",
            mm(self.guide),
            format!("with the knee at {} foot and top are only {} apart", deg(kappa), mm(apart)),
            "bring the guide closer to the foot, make the links unequal by less, or open the knee further",
        )
    }

    /// Travel at which stroke or stop ends.
    fn reach(&self, opening: &Opening, stop: Option<Angle>) -> Result<f64> {
        let stroke = opening.stroke;
        let stop = stop.map(|stop| self.stop_angle(stop)).transpose()?;
        let in_line = self.cylinder.third(PI - NEAREST_DEAD) - self.start_length;
        let furthest = self.travel_to(PI + MOST_PAST_STRAIGHT).unwrap_or(f64::INFINITY);
        let limit = in_line.min(furthest);
        let angle_at = |travel| self.pose(travel).angle;
        let (end, most) = opening.end(stop.as_ref(), limit, angle_at)?;
        if end > in_line {
            return refuse(
                "stroke",
                mm(stroke),
                format!(
                    "it opens the cylinder to {}, but it is in line with the knee at {}",
                    mm_beside(self.start_length + end, self.start_length + in_line),
                    mm_beside(self.start_length + in_line, self.start_length + end)
                ),
                format!(
                    "use at most {} of stroke, set a stop (`stop-angle`) below {}, or offset the brackets to \
                     the inside",
                    mm_at_most(most),
                    deg((PI + self.inset).min(PI + MOST_PAST_STRAIGHT))
                ),
            );
        }
        let kappa = self.pose(end).angle;
        if kappa > PI + MOST_PAST_STRAIGHT + 1e-9 {
            return refuse(
                "stroke",
                mm(stroke),
                format!("it opens the knee to {}", deg(kappa)),
                format!(
                    "use at most {} of stroke, or set a stop (`stop-angle`) near 180 deg",
                    mm_at_most(most)
                ),
            );
        }
        self.reaches_guide(kappa)?;
        Ok(end)
    }

    /// Travel at which the knee stands at an angle; `None` if the cylinder is in line with it before that.
    fn travel_to(&self, kappa: f64) -> Option<f64> {
        let psi = kappa - self.inset;
        (psi <= PI - NEAREST_DEAD).then(|| self.cylinder.third(psi) - self.start_length)
    }

    fn stop_angle(&self, stop: Angle) -> Result<Stop> {
        let stop = angle("stop-angle", stop)?;
        if stop <= self.start {
            return refuse(
                "stop-angle",
                deg(stop),
                format!("the knee starts at {}", deg(self.start)),
                "set the stop above the start",
            );
        }
        if stop > PI + MOST_PAST_STRAIGHT + 1e-12 {
            return refuse(
                "stop-angle",
                deg(stop),
                "so far past straight the leg has folded the other way",
                "set the stop at 210 deg or below",
            );
        }
        let Some(travel) = self.travel_to(stop) else {
            let furthest = PI - NEAREST_DEAD + self.inset;
            return refuse(
                "stop-angle",
                deg(stop),
                format!("with the knee at {} the cylinder is in line with it", deg(furthest)),
                format!("set the stop below {}, or offset the brackets to the inside", deg_at_most(furthest)),
            );
        };
        Ok(Stop { quantity: "stop-angle", what: "the knee", angle: stop, travel })
    }

    fn height_of(&self, kappa: f64) -> f64 {
        self.height_at(self.links.third(kappa))
    }

    /// Height of the top with foot and top so far apart.
    fn height_at(&self, apart: f64) -> f64 {
        ((apart - self.guide) * (apart + self.guide)).max(0.0).sqrt()
    }

    /// Knee angle below or at straight for a height of the top.
    fn kappa_of(&self, height: f64) -> f64 {
        self.links.angle(height.hypot(self.guide)).0
    }

    fn travel_of(&self, kappa: f64) -> f64 {
        (self.cylinder.third(kappa - self.inset) - self.start_length).clamp(0.0, self.end)
    }

    /// Equal legs that share load and cylinders evenly.
    pub(super) fn legs(&self) -> u32 {
        self.legs
    }

    /// How the leg is locked by its load, if it passes straight.
    #[must_use]
    pub fn over_centre(&self) -> Option<OverCentre> {
        let kappa = self.pose(self.end).angle;
        (kappa > PI).then(|| OverCentre {
            past: radians(kappa - PI),
            rise_to_unlock: super::plane::meters(self.height_of(PI) - self.height_of(kappa)),
        })
    }

    fn stand(&self, pose: &Pose) -> Stand {
        let (a, b) = self.links.sides;
        let (sin, cos) = pose.turn;
        let top = Vector::new(self.guide, self.start_height + pose.height);
        let apart = top.length();
        // The knee as seen from the foot: turned to the right of the line from foot to top.
        let towards_top = top * (1.0 / apart);
        let knee = towards_top.turned((a - b * cos) / apart, -b * sin / apart) * a;
        let down = knee * (-1.0 / a);
        let up = (top - knee) * (1.0 / b);
        // Inward is clockwise from the lower link and anticlockwise from the upper one.
        let (lower, upper) = self.brackets;
        Stand {
            knee,
            top,
            foot_bracket: knee + down.turned(lower.x, -lower.y),
            top_bracket: knee + up.turned(upper.x, upper.y),
        }
    }
}

/// Places of the pins; the foot is the origin.
struct Stand {
    knee: Vector,
    top: Vector,
    foot_bracket: Vector,
    top_bracket: Vector,
}

/// A bracket on a link of a length: as far from the knee as its other end at most.
fn bracket(quantity: &'static str, bracket: &Bracket, link: f64) -> Result<Vector> {
    let along = length(quantity, bracket.from_knee)?;
    if along > link {
        let problem = format!("from the knee on, the link is only {} long", mm(link));
        return refuse(quantity, mm(along), problem, "measure from the knee, along the link");
    }
    Ok(Vector::new(along, signed_length(quantity, bracket.offset)?))
}

fn start_angle(start: Angle) -> Result<f64> {
    let start = angle("start-angle", start)?;
    if (NEAREST_DEAD..=PI - NEAREST_DEAD).contains(&start) {
        return Ok(start);
    }
    refuse(
        "start-angle",
        deg(start),
        "the knee of a folded leg stands between 0 deg (flat together) and 180 deg (straight)",
        "measure the angle between the two links",
    )
}

impl Motion for FoldingLeg {
    fn pose(&self, travel: f64) -> Pose {
        let third = self.start_length + travel;
        let (psi, sin_psi) = self.cylinder.angle(third);
        let turned = turned_open(travel, psi + self.inset - self.start);
        let kappa = self.start + turned;
        let (c, d) = self.cylinder.sides;
        let (a, b) = self.links.sides;
        let rate = third / (c * d * sin_psi);
        // Half of the turn and half of the start add up to half of the knee angle, and so on: one sine for all.
        let (turn_sin, turn_cos) = (0.5 * turned).sin_cos();
        let (start_sin, start_cos) = self.half_start;
        let half_sin = start_sin * turn_cos + start_cos * turn_sin;
        let half_cos = start_cos * turn_cos - start_sin * turn_sin;
        let height = self.height_at(self.links.third_by(half_sin));
        // H^2 - H0^2 = 2 a b (cos(kappa0) - cos(kappa)), as a product so that small rises keep their digits.
        let squares = 4.0 * a * b * (start_sin * half_cos + start_cos * half_sin) * turn_sin;
        let risen = squares / (height + self.start_height);
        let (sin, cos) = (2.0 * half_sin * half_cos, 1.0 - 2.0 * half_sin * half_sin);
        let ratio = a * b * sin / height * rate;
        let (arms, arms_raised) = self.links_raised((sin, cos), height, risen, ratio, rate);
        Pose { angle: kappa, turn: (sin, cos), height: risen, ratio, arms, arms_raised }
    }

    fn end(&self) -> f64 {
        self.end
    }

    fn top(&self) -> f64 {
        if PI - self.inset < PI - NEAREST_DEAD { self.travel_of(PI) } else { self.end }
    }

    fn travel_at(&self, height: f64) -> Option<f64> {
        let reached = height <= self.pose(self.top()).height;
        reached.then(|| self.travel_of(self.kappa_of(self.start_height + height)).min(self.top()))
    }

    fn travel_back_at(&self, height: f64) -> Option<f64> {
        let lowest = self.pose(self.end).height;
        let passed = self.top() < self.end && height >= lowest;
        let travel = || self.travel_of(2.0 * PI - self.kappa_of(self.start_height + height));
        passed.then(|| travel().max(self.top()))
    }

    fn pins(&self, travel: f64) -> Vec<(Pin, Place)> {
        let stand = self.stand(&self.pose(travel));
        vec![
            (Pin::Foot, Place::default()),
            (Pin::Knee, stand.knee.place()),
            (Pin::Top, stand.top.place()),
            (Pin::CylinderFoot, stand.foot_bracket.place()),
            (Pin::CylinderPin, stand.top_bracket.place()),
        ]
    }

    fn statics(&self, travel: f64, pose: &Pose, load: f64, efficiency: f64, forces: &mut Forces<'_>) {
        let Stand { knee, top, foot_bracket, top_bracket } = self.stand(pose);
        let thrust =
            (load * pose.ratio + STANDARD_GRAVITY_M_PER_S2 * pose.arms) / (f64::from(self.legs) * efficiency);
        let push = (top_bracket - foot_bracket) * (thrust / (self.start_length + travel));
        let lower_weight = self.masses.0 * STANDARD_GRAVITY_M_PER_S2;
        let upper_weight = self.masses.1 * STANDARD_GRAVITY_M_PER_S2;
        let lower_centre = knee * 0.5;
        let upper_centre = (knee + top) * 0.5;
        let borne = Vector::down(load / f64::from(self.legs));
        // Moments about the foot for the whole leg: the guide alone holds it sideways.
        let overturning = top.x * -borne.y + upper_centre.x * upper_weight + lower_centre.x * lower_weight;
        let at_top = borne + Vector::new(-overturning / top.y, 0.0);
        let on_upper = -(at_top + push + Vector::down(upper_weight));
        let at_foot = on_upper + push - Vector::down(lower_weight);
        forces.cylinder(foot_bracket, top_bracket, push);
        forces.pin(Side::First, Member::LowerLink, Pin::Foot, Vector::default(), at_foot);
        forces.pin(Side::Other, Member::LowerLink, Pin::CylinderFoot, foot_bracket, -push);
        forces.weight(Member::LowerLink, lower_centre, lower_weight);
        forces.pin(Side::Other, Member::LowerLink, Pin::Knee, knee, -on_upper);
        forces.pin(Side::First, Member::UpperLink, Pin::Knee, knee, on_upper);
        forces.pin(Side::Other, Member::UpperLink, Pin::CylinderPin, top_bracket, push);
        forces.weight(Member::UpperLink, upper_centre, upper_weight);
        forces.pin(Side::First, Member::UpperLink, Pin::Top, top, at_top);
    }

    fn dead_points(&self) -> Vec<DeadPoint> {
        let end = self.pose(self.end).angle;
        vec![
            dead_point("brackets folded together", self.start - self.inset, 0.0),
            dead_point("cylinder in line with the knee", PI - (end - self.inset), self.end),
            dead_point("knee straight", PI - end, self.end),
        ]
    }

    fn cylinder_length(&self, travel: f64) -> Option<f64> {
        Some(self.start_length + travel)
    }
}

impl FoldingLeg {
    /// Height of the knee above the foot at the sine and cosine of the knee angle, from the pins:
    /// `((a - b cos) H - b sin e) a / D^2`.
    fn knee_height(&self, (sin, cos): (f64, f64), height: f64) -> f64 {
        let (a, b) = self.links.sides;
        let squared = height * height + self.guide * self.guide;
        a * ((a - b * cos) * height - b * sin * self.guide) / squared
    }

    /// `sum m dh/dx` and `sum m (h - h0)` of the links of all legs, at the sine and cosine of the knee angle.
    fn links_raised(
        &self,
        (sin, cos): (f64, f64),
        height: f64,
        risen: f64,
        ratio: f64,
        rate: f64,
    ) -> (f64, f64) {
        let (lower, upper) = self.masses;
        if lower <= 0.0 && upper <= 0.0 {
            return (0.0, 0.0);
        }
        let (a, b) = self.links.sides;
        let knee = self.knee_height((sin, cos), height);
        let knee_risen = knee - self.start_knee;
        let knee_ratio = {
            let squared = height * height + self.guide * self.guide;
            // Derivatives by kappa: H' = r / rate, (D^2)' = 2 a b sin.
            let height_rate = a * b * sin / height;
            let numerator_rate = b * sin * height + (a - b * cos) * height_rate - b * cos * self.guide;
            (a * numerator_rate - knee * 2.0 * a * b * sin) / squared * rate
        };
        // Centres at mid length: half the knee, and half of knee and top together.
        let both =
            |knee: f64, top: f64| f64::from(self.legs) * (lower * 0.5 * knee + upper * 0.5 * (knee + top));
        (both(knee_ratio, ratio), both(knee_risen, risen))
    }
}
