//! Whether a wall is so thin that it could buckle before the section yields.

use uom::si::f64::{Length, Pressure, Ratio};
use uom::si::pressure::megapascal;
use uom::si::ratio::ratio;

use super::{Axis, Shape};
use crate::Result;
use crate::frame::material::{Family, Material};
use crate::guard::require;

/// Limits of class 3, as multiples of `eps = sqrt(235 MPa / fy)` or of its square.
///
/// Source: EN 1993-1-1:2005, table 5.2 (figures from memory).
mod limit {
    /// c/t of a part held at both edges, in uniform compression.
    pub(super) const INTERNAL_COMPRESSION: f64 = 42.0;
    /// c/t of a part held at both edges, in bending.
    pub(super) const INTERNAL_BENDING: f64 = 124.0;
    /// c/t of a part held at one edge, in compression.
    pub(super) const OUTSTAND: f64 = 14.0;
    /// h/t of the leg of an angle.
    pub(super) const ANGLE_LEG: f64 = 15.0;
    /// (b + h)/(2 t) of an angle.
    pub(super) const ANGLE_SUM: f64 = 11.5;
    /// d/t of a round tube, of `eps` squared.
    pub(super) const ROUND: f64 = 90.0;
}

/// The rule by which walls are judged, for the reader.
pub const RULE: &str = "c/t <= 42 eps (compressed wall), 124 eps (wall in bending), 14 eps (free flange), \
h/t <= 15 eps and (b + h)/(2 t) <= 11.5 eps (angle), d/t <= 90 eps^2 (round tube), eps = sqrt(235 MPa / fy); \
EN 1993-1-1:2005, table 5.2, class 3";

/// The judgement of the walls of a section.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Walls {
    /// Solid, or thick enough for the extreme fibre to yield before a wall buckles.
    Stout,
    /// A wall is so thin that it may buckle first: the strength of the section is not judged.
    NotJudged {
        /// Which wall.
        part: &'static str,
        /// Its width over its thickness.
        slenderness: Ratio,
        /// The limit that it would have to keep.
        limit: Ratio,
    },
    /// The rule is one for carbon steel and does not speak of this metal.
    OtherMetal {
        /// Slenderness of the wall that is the most slender for its kind.
        slenderness: Ratio,
    },
}

/// How the section is loaded, which decides which walls are compressed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Loading {
    /// Bending about an axis.
    Bending(Axis),
    /// Compression along the beam.
    Compression,
}

/// Judges the walls of a section by the limits of class 3.
///
/// `c` is the flat width between the corners, taken as `b - 3 t` for a tube with rounded corners and `b - 2 t`
/// for a sharp one, and as the width outside web and root radius for a flange. See [`RULE`]. Not judged:
/// crushing under a concentrated load, and metals other than carbon steel.
///
/// # Errors
/// [`Error::OutOfRange`](crate::Error::OutOfRange) for dimensions that give no slenderness, and as
/// [`Material::check`]. Whether they make a section at all is for [`Shape::section`] to say.
///
/// # Example
/// ```
/// use lungful::answers::steel_grade;
/// use lungful::frame::section::{Axis, Corners, Shape, wall::{Loading, Walls, judge}};
/// use uom::si::{f64::Length, length::millimeter};
/// let mm = Length::new::<millimeter>;
/// let steel = steel_grade("S235").ok_or("no such grade")?;
/// let tube = |wall| Shape::SquareTube { side: mm(100.0), wall: mm(wall), corners: Corners::ColdFormed };
/// let bent = Loading::Bending(Axis::Level);
/// assert_eq!(judge(&tube(3.0), &steel, bent)?, Walls::Stout); // (100 - 9)/3 = 30.3 <= 42
/// assert!(matches!(judge(&tube(2.0), &steel, bent)?, Walls::NotJudged { .. })); // (100 - 6)/2 = 47
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn judge(shape: &Shape, material: &Material, loading: Loading) -> Result<Walls> {
    material.check()?;
    let eps = epsilon(material.yield_strength);
    let walls = slendernesses(shape, loading, eps);
    let Some(worst) =
        walls.into_iter().flatten().max_by(|a, b| (a.value / a.limit).total_cmp(&(b.value / b.limit)))
    else {
        return Ok(Walls::Stout);
    };
    require(worst.value.is_finite(), "slenderness of a wall", worst.value, "", "that of real dimensions")?;
    let slenderness = Ratio::new::<ratio>(worst.value);
    Ok(if material.family != Family::CarbonSteel {
        Walls::OtherMetal { slenderness }
    } else if worst.value <= worst.limit * (1.0 + 1e-9) {
        Walls::Stout
    } else {
        Walls::NotJudged { part: worst.part, slenderness, limit: Ratio::new::<ratio>(worst.limit) }
    })
}

/// `eps = sqrt(235 MPa / fy)`.
fn epsilon(yield_strength: Pressure) -> f64 {
    (Pressure::new::<megapascal>(235.0) / yield_strength).value.sqrt()
}

struct Slenderness {
    part: &'static str,
    value: f64,
    limit: f64,
}

fn slendernesses(shape: &Shape, loading: Loading, eps: f64) -> [Option<Slenderness>; 2] {
    let wall =
        |part, value: Ratio, factor: f64| Some(Slenderness { part, value: value.value, limit: factor * eps });
    let internal = |compressed: bool| {
        if compressed { limit::INTERNAL_COMPRESSION } else { limit::INTERNAL_BENDING }
    };
    // Bending about one axis compresses the walls that lie along it and bends the others.
    let along = |axis| internal(loading == Loading::Compression || loading == Loading::Bending(axis));
    match *shape {
        Shape::SquareTube { side, wall: t, corners } => {
            let value = (side - lost_to_corners(corners.radii(t).0) * t) / t;
            [wall("wall", value, limit::INTERNAL_COMPRESSION), None]
        }
        Shape::RectangularTube { width, height, wall: t, corners } => {
            let lost = lost_to_corners(corners.radii(t).0) * t;
            [
                wall("level wall", (width - lost) / t, along(Axis::Level)),
                wall("upright wall", (height - lost) / t, along(Axis::Upright)),
            ]
        }
        Shape::RoundTube { diameter, wall: t } => {
            let value = (diameter / t).value;
            [Some(Slenderness { part: "wall", value, limit: limit::ROUND * eps * eps }), None]
        }
        Shape::Angle { width, height, thickness: t, .. } => {
            let longer = if width > height { width } else { height };
            [
                wall("longer leg", longer / t, limit::ANGLE_LEG),
                wall("legs together", 0.5 * (width + height) / t, limit::ANGLE_SUM),
            ]
        }
        Shape::Channel { width, height, web, flange, root_radius } => [
            wall("flange", (width - web - root_radius) / flange, limit::OUTSTAND),
            wall("web", (height - 2.0 * (flange + root_radius)) / web, along(Axis::Upright)),
        ],
        Shape::SquareBar { .. } | Shape::FlatBar { .. } | Shape::RoundBar { .. } => [None, None],
    }
}

/// Wall thicknesses taken off a side to get its flat width.
fn lost_to_corners(outer_radius: Length) -> f64 {
    if outer_radius > Length::default() { 3.0 } else { 2.0 }
}

#[cfg(test)]
mod tests {
    use uom::si::length::millimeter;

    use super::super::Corners;
    use super::*;
    use crate::answers::steel_grade;

    fn mm(value: f64) -> Length {
        Length::new::<millimeter>(value)
    }

    #[track_caller]
    fn judged(shape: &Shape, grade: &str, loading: Loading) -> Walls {
        judge(shape, &steel_grade(grade).unwrap(), loading).unwrap()
    }

    fn is_stout(shape: &Shape, grade: &str, loading: Loading) -> bool {
        judged(shape, grade, loading) == Walls::Stout
    }

    #[test]
    fn a_tall_wall_may_be_thinner_in_bending_than_in_compression() {
        // (150 - 9)/3 = 47 for the upright wall, above 42 and below 124; (60 - 9)/3 = 17 for the level one.
        let corners = Corners::ColdFormed;
        let tube = Shape::RectangularTube { width: mm(60.0), height: mm(150.0), wall: mm(3.0), corners };
        assert!(is_stout(&tube, "S235", Loading::Bending(Axis::Level)));
        assert!(!is_stout(&tube, "S235", Loading::Bending(Axis::Upright)));
        let Walls::NotJudged { part, slenderness, limit } = judged(&tube, "S235", Loading::Compression)
        else {
            panic!("stout")
        };
        assert_eq!(part, "upright wall");
        approx::assert_relative_eq!(slenderness.value, 47.0, max_relative = 1e-12);
        approx::assert_relative_eq!(limit.value, 42.0, max_relative = 1e-12);
    }

    #[test]
    fn stronger_steel_asks_for_thicker_walls() {
        // d/t = 76.1/1 = 76.1: limit 90 for S235, 90 * 235/355 = 59.6 for S355.
        let tube = Shape::RoundTube { diameter: mm(76.1), wall: mm(1.0) };
        assert!(is_stout(&tube, "S235", Loading::Bending(Axis::Level)));
        assert!(!is_stout(&tube, "S355", Loading::Bending(Axis::Level)));
    }

    #[test]
    fn legs_and_flanges_are_free_at_one_edge() {
        let none = Length::default();
        // 50/3 = 16.7 > 15.
        let angle = Shape::Angle {
            width: mm(50.0),
            height: mm(50.0),
            thickness: mm(3.0),
            root_radius: none,
            toe_radius: none,
        };
        assert!(!is_stout(&angle, "S235", Loading::Compression));
        // (40 - 4)/2 = 18 > 14 for the flange.
        let channel = |flange| Shape::Channel {
            width: mm(40.0),
            height: mm(80.0),
            web: mm(4.0),
            flange: mm(flange),
            root_radius: none,
        };
        assert!(!is_stout(&channel(2.0), "S235", Loading::Bending(Axis::Level)));
        assert!(is_stout(&channel(3.0), "S235", Loading::Bending(Axis::Level)));
    }

    #[test]
    fn the_rule_is_one_for_carbon_steel_and_solid_bars_need_none() {
        let tube = Shape::SquareTube { side: mm(40.0), wall: mm(3.0), corners: Corners::Sharp };
        let bent = Loading::Bending(Axis::Level);
        assert!(matches!(judged(&tube, "6061-T6", bent), Walls::OtherMetal { .. }));
        assert!(is_stout(&Shape::SquareBar { side: mm(40.0) }, "6061-T6", bent));
    }
}
