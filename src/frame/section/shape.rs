//! Shapes by their dimensions, and the making of a section from them.

use uom::si::area::square_meter;
use uom::si::f64::{Area, Length, Volume};
use uom::si::length::meter;
use uom::si::volume::cubic_meter;

use super::super::quantity::{SecondMoment, at_most, fits, length_or_none, real_length, second_moment_cm4};
use super::parts::{self, Part};
use super::{Bending, Outline, Section, torsion};
use crate::Result;

/// How the corners of a square or rectangular tube are rounded.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Corners {
    /// Cold formed: outer radius 2 t and inner t up to 6 mm of wall, 2.5 t and 1.5 t up to 10 mm, 3 t and 2 t
    /// above. Source: EN 10219-2:2006, annex B.
    ColdFormed,
    /// Hot finished: outer radius 1.5 t, inner t. Source: EN 10210-2:2006, annex A.
    HotFinished,
    /// Sharp, inside and outside.
    Sharp,
    /// Measured radii.
    Radii {
        /// Outer radius.
        outer: Length,
        /// Inner radius.
        inner: Length,
    },
}

impl Corners {
    /// Outer and inner radius for a wall.
    #[must_use]
    pub fn radii(&self, wall: Length) -> (Length, Length) {
        // Half a micrometre over the limit is still the nominal wall.
        let up_to = |limit_mm: f64| wall.value <= limit_mm * 1e-3 + 5e-7;
        match *self {
            Self::ColdFormed if up_to(6.0) => (2.0 * wall, wall),
            Self::ColdFormed if up_to(10.0) => (2.5 * wall, 1.5 * wall),
            Self::ColdFormed => (3.0 * wall, 2.0 * wall),
            Self::HotFinished => (1.5 * wall, wall),
            Self::Sharp => (Length::default(), Length::default()),
            Self::Radii { outer, inner } => (outer, inner),
        }
    }

    /// Thickest wall at which the corners of a rule go into half of the smaller side; `None` where no rule makes
    /// them thick.
    fn thickest_wall(self, half: Length) -> Option<Length> {
        let mm = Length::new::<uom::si::length::millimeter>;
        let lesser = |one: Length, other: Length| if one < other { one } else { other };
        // Outer radius k t within half, inner (k - 1) t within what the wall leaves: the same.
        match self {
            Self::ColdFormed if half / 3.0 > mm(10.0) => Some(half / 3.0),
            Self::ColdFormed if half / 2.5 > mm(6.0) => Some(lesser(half / 2.5, mm(10.0))),
            Self::ColdFormed => Some(lesser(half / 2.0, mm(6.0))),
            Self::HotFinished => Some(half / 2.0),
            Self::Sharp | Self::Radii { .. } => None,
        }
    }
}

/// A cross-section by its dimensions. Width is level, height upright; turn a section by exchanging them, or
/// read the properties about the other [`Axis`](super::Axis).
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Shape {
    /// Square tube.
    SquareTube {
        /// Outside width and height.
        side: Length,
        /// Wall thickness t.
        wall: Length,
        /// Corner radii.
        corners: Corners,
    },
    /// Rectangular tube.
    RectangularTube {
        /// Outside width.
        width: Length,
        /// Outside height.
        height: Length,
        /// Wall thickness t.
        wall: Length,
        /// Corner radii.
        corners: Corners,
    },
    /// Round tube.
    RoundTube {
        /// Outside diameter.
        diameter: Length,
        /// Wall thickness t.
        wall: Length,
    },
    /// Solid square bar.
    SquareBar {
        /// Width and height.
        side: Length,
    },
    /// Flat or rectangular bar, solid.
    FlatBar {
        /// Width.
        width: Length,
        /// Height.
        height: Length,
    },
    /// Solid round bar.
    RoundBar {
        /// Diameter.
        diameter: Length,
    },
    /// Angle: a level leg at the bottom, an upright leg at the left.
    Angle {
        /// Length of the level leg.
        width: Length,
        /// Length of the upright leg.
        height: Length,
        /// Thickness of both legs.
        thickness: Length,
        /// Radius of the inner corner; zero for sharp.
        root_radius: Length,
        /// Radius at the inner edge of each toe; zero for sharp.
        toe_radius: Length,
    },
    /// Channel with parallel flanges: an upright web at the left, a flange to the right at top and bottom.
    Channel {
        /// Width of the flanges, over the web.
        width: Length,
        /// Height over the flanges.
        height: Length,
        /// Thickness of the web.
        web: Length,
        /// Thickness of the flanges.
        flange: Length,
        /// Radius of the inner corners; zero for sharp.
        root_radius: Length,
    },
}

impl Shape {
    /// The thickness on which the strength of its metal depends: that of the thickest wall, or of a solid bar
    /// across its thin way.
    ///
    /// ```
    /// use lungful::frame::section::Shape;
    /// use uom::si::{f64::Length, length::millimeter};
    /// let mm = Length::new::<millimeter>;
    /// assert_eq!(Shape::FlatBar { width: mm(40.0), height: mm(8.0) }.thickness(), mm(8.0));
    /// assert_eq!(Shape::RoundTube { diameter: mm(40.0), wall: mm(3.0) }.thickness(), mm(3.0));
    /// ```
    #[must_use]
    pub fn thickness(&self) -> Length {
        match *self {
            Self::SquareTube { wall, .. }
            | Self::RectangularTube { wall, .. }
            | Self::RoundTube { wall, .. } => wall,
            Self::SquareBar { side } => side,
            Self::FlatBar { width, height } => {
                if width < height {
                    width
                } else {
                    height
                }
            }
            Self::RoundBar { diameter } => diameter,
            Self::Angle { thickness, .. } => thickness,
            Self::Channel { web, flange, .. } => {
                if web > flange {
                    web
                } else {
                    flange
                }
            }
        }
    }

    /// What to call the shape.
    #[must_use]
    pub const fn name(&self) -> &'static str {
        match self {
            Self::SquareTube { .. } => "square tube",
            Self::RectangularTube { .. } => "rectangular tube",
            Self::RoundTube { .. } => "round tube",
            Self::SquareBar { .. } => "square bar",
            Self::FlatBar { .. } => "flat bar",
            Self::RoundBar { .. } => "round bar",
            Self::Angle { .. } => "angle",
            Self::Channel { .. } => "channel",
        }
    }

    /// The properties of the section.
    ///
    /// Area, second moments and plastic moduli are exact for the outline described: rectangles and quarter
    /// circles, added and taken away. Rolled angles and channels differ a little from it where their flanges
    /// taper. Torsion is given for closed tubes (thin-wall theory) and round bars only.
    ///
    /// Sources: geometry; rules of corner radii as [`Corners`] says; torsion EN 10219-2:2006, annex B.
    ///
    /// # Errors
    /// [`Error::OutOfRange`](crate::Error::OutOfRange) if a dimension is not a real length;
    /// [`Error::DoesNotFit`](crate::Error::DoesNotFit) if a wall is too thick for the side, or if a radius does not
    /// fit; the text says what would.
    ///
    /// # Example
    /// ```
    /// use lungful::frame::{quantity::in_cm4, section::{Corners, Shape}};
    /// use uom::si::{area::square_centimeter, f64::Length, length::millimeter};
    /// let mm = Length::new::<millimeter>;
    /// let tube = Shape::SquareTube { side: mm(50.0), wall: mm(3.0), corners: Corners::Sharp }.section()?;
    /// assert!((tube.area.get::<square_centimeter>() - 5.64).abs() < 1e-9); // 5.0^2 - 4.4^2
    /// assert!((in_cm4(tube.level.second_moment) - 20.849_2).abs() < 1e-9); // (5.0^4 - 4.4^4)/12
    /// # Ok::<(), lungful::Error>(())
    /// ```
    pub fn section(&self) -> Result<Section> {
        match *self {
            Self::SquareTube { side, wall, corners } => rectangular_tube(side, side, wall, corners),
            Self::RectangularTube { width, height, wall, corners } => {
                rectangular_tube(width, height, wall, corners)
            }
            Self::RoundTube { diameter, wall } => round_tube(diameter, wall),
            Self::SquareBar { side } => flat_bar(side, side),
            Self::FlatBar { width, height } => flat_bar(width, height),
            Self::RoundBar { diameter } => {
                real_length("bar diameter", diameter)?;
                Ok(with_round_torsion(symmetric(diameter, diameter, &disc(diameter, 1.0))))
            }
            Self::Angle { width, height, thickness, root_radius, toe_radius } => {
                angle(width, height, thickness, root_radius, toe_radius)
            }
            Self::Channel { width, height, web, flange, root_radius } => {
                channel(width, height, web, flange, root_radius)
            }
        }
    }

    /// The outer edge; `None` for angles and channels, which are no rounded rectangle.
    #[must_use]
    pub fn outline(&self) -> Option<Outline> {
        let none = Length::default();
        Some(match *self {
            Self::SquareTube { side, wall, corners } => {
                Outline { width: side, height: side, radius: corners.radii(wall).0 }
            }
            Self::RectangularTube { width, height, wall, corners } => {
                Outline { width, height, radius: corners.radii(wall).0 }
            }
            Self::RoundTube { diameter, .. } | Self::RoundBar { diameter } => {
                Outline { width: diameter, height: diameter, radius: 0.5 * diameter }
            }
            Self::SquareBar { side } => Outline { width: side, height: side, radius: none },
            Self::FlatBar { width, height } => Outline { width, height, radius: none },
            Self::Angle { .. } | Self::Channel { .. } => return None,
        })
    }

    /// The hole of a tube; `None` for shapes without one.
    #[must_use]
    pub fn hole(&self) -> Option<Outline> {
        let (width, height, wall, inner) = match *self {
            Self::SquareTube { side, wall, corners } => (side, side, wall, corners.radii(wall).1),
            Self::RectangularTube { width, height, wall, corners } => {
                (width, height, wall, corners.radii(wall).1)
            }
            Self::RoundTube { diameter, wall } => (diameter, diameter, wall, 0.5 * diameter - wall),
            _ => return None,
        };
        Some(Outline { width: width - 2.0 * wall, height: height - 2.0 * wall, radius: inner })
    }

    /// What the beam formulas leave out for this shape, in sentences for the reader.
    #[must_use]
    pub fn cautions(&self) -> &'static [&'static str] {
        match self {
            Self::Angle { .. } => &[
                "an angle bends sideways too under an upright load unless it is held; its stress is then higher than shown",
            ],
            Self::Channel { .. } => &[
                "a channel twists unless the load acts through its shear centre, which lies outside the web; twist is not judged",
            ],
            Self::FlatBar { width, height } if height.value > 3.0 * width.value => {
                &["a tall flat bar can tip over sideways under load; this is not judged"]
            }
            _ => &[],
        }
    }
}

fn rectangular_tube(width: Length, height: Length, wall: Length, corners: Corners) -> Result<Section> {
    real_length("tube width", width)?;
    real_length("tube height", height)?;
    real_length("tube wall", wall)?;
    let half = 0.5 * if width < height { width } else { height };
    if let Some(thickest) = corners.thickest_wall(half) {
        let (outer, inner) = corners.radii(wall);
        let holds = at_most(outer, half) && at_most(inner, half - wall);
        let requirement =
            "so thin that its rounded corners have room; a tube with sharp corners may be thicker";
        fits(holds, "tube wall", wall, thickest, requirement)?;
    }
    fits(wall < half, "tube wall", wall, half, "less than half of the smaller side")?;
    let (outer, inner) = corners.radii(wall);
    length_or_none("outer corner radius", outer)?;
    length_or_none("inner corner radius", inner)?;
    fits(at_most(outer, half), "outer corner radius", outer, half, "at most half of the smaller side")?;
    let room = half - wall;
    fits(
        at_most(inner, room),
        "inner corner radius",
        inner,
        room,
        "at most half of the smaller side of the hole",
    )?;
    fits(
        at_most(inner, outer),
        "inner corner radius",
        inner,
        outer,
        "no larger than the outer corner radius",
    )?;
    // Along the diagonal the metal is sqrt(2) t - (sqrt(2) - 1)(ro - ri) thick.
    let longest = inner + (2.0 + std::f64::consts::SQRT_2) * wall;
    fits(
        outer < longest,
        "outer corner radius",
        outer,
        longest,
        "small enough to leave metal at the corner",
    )?;
    let (x, y) = (0.5 * width.value, 0.5 * height.value);
    let t = wall.value;
    let mut all = [parts::rectangle((0.0, 0.0), (0.0, 0.0)); 10];
    let rim = parts::rounded((-x, x), (-y, y), outer.value, 1.0);
    let hole = parts::rounded((t - x, x - t), (t - y, y - t), inner.value, -1.0);
    for (place, part) in all.iter_mut().zip(rim.into_iter().chain(hole)) {
        *place = part;
    }
    let (constant, modulus) = torsion::rectangular(width.value, height.value, t, outer.value, inner.value);
    Ok(Section {
        torsion_constant: Some(fourth_power(constant)),
        torsion_modulus: Some(Volume::new::<cubic_meter>(modulus)),
        ..symmetric(width, height, &all)
    })
}

fn round_tube(diameter: Length, wall: Length) -> Result<Section> {
    real_length("tube diameter", diameter)?;
    real_length("tube wall", wall)?;
    fits(wall < 0.5 * diameter, "tube wall", wall, 0.5 * diameter, "less than half of the diameter")?;
    let mut all = [parts::rectangle((0.0, 0.0), (0.0, 0.0)); 10];
    let rings = disc(diameter, 1.0).into_iter().chain(disc(diameter - 2.0 * wall, -1.0));
    for (place, part) in all.iter_mut().zip(rings) {
        *place = part;
    }
    Ok(with_round_torsion(symmetric(diameter, diameter, &all)))
}

fn flat_bar(width: Length, height: Length) -> Result<Section> {
    real_length("bar width", width)?;
    real_length("bar height", height)?;
    let (x, y) = (0.5 * width.value, 0.5 * height.value);
    Ok(symmetric(width, height, &[parts::rectangle((-x, x), (-y, y))]))
}

fn angle(width: Length, height: Length, thickness: Length, root: Length, toe: Length) -> Result<Section> {
    real_length("angle width", width)?;
    real_length("angle height", height)?;
    real_length("angle thickness", thickness)?;
    length_or_none("angle root radius", root)?;
    length_or_none("angle toe radius", toe)?;
    let shorter = if width < height { width } else { height };
    fits(thickness < shorter, "angle thickness", thickness, shorter, "less than the shorter leg")?;
    fits(at_most(toe, thickness), "angle toe radius", toe, thickness, "no larger than the thickness")?;
    let room = shorter - thickness - toe;
    fits(
        at_most(root, room),
        "angle root radius",
        root,
        room,
        "no larger than what the shorter leg leaves free",
    )?;
    let (w, h, t, r) = (width.value, height.value, thickness.value, toe.value);
    let all = [
        parts::rectangle((0.0, w), (0.0, t)),
        parts::rectangle((0.0, t), (t, h)),
        parts::corner((t, t), (1.0, 1.0), root.value, 1.0),
        parts::corner((w, t), (-1.0, -1.0), r, -1.0),
        parts::corner((t, h), (-1.0, -1.0), r, -1.0),
    ];
    Ok(section(&all, (0.0, w), (0.0, h)))
}

fn channel(width: Length, height: Length, web: Length, flange: Length, root: Length) -> Result<Section> {
    real_length("channel width", width)?;
    real_length("channel height", height)?;
    real_length("web thickness", web)?;
    real_length("flange thickness", flange)?;
    length_or_none("channel root radius", root)?;
    fits(web < width, "web thickness", web, width, "less than the width")?;
    fits(flange < 0.5 * height, "flange thickness", flange, 0.5 * height, "less than half of the height")?;
    let (beside, between) = (width - web, 0.5 * height - flange);
    let room = if beside < between { beside } else { between };
    fits(
        at_most(root, room),
        "channel root radius",
        root,
        room,
        "no larger than what web and flanges leave free",
    )?;
    let (w, y, s, t) = (width.value, 0.5 * height.value, web.value, flange.value);
    let all = [
        parts::rectangle((0.0, w), (-y, t - y)),
        parts::rectangle((0.0, w), (y - t, y)),
        parts::rectangle((0.0, s), (t - y, y - t)),
        parts::corner((s, t - y), (1.0, 1.0), root.value, 1.0),
        parts::corner((s, y - t), (1.0, -1.0), root.value, 1.0),
    ];
    Ok(section(&all, (0.0, w), (-y, y)))
}

fn disc(diameter: Length, sign: f64) -> [Part; 5] {
    let r = 0.5 * diameter.value;
    parts::rounded((-r, r), (-r, r), r, sign)
}

/// The polar second moment of a round shape is its torsion constant.
fn with_round_torsion(section: Section) -> Section {
    Section {
        torsion_constant: Some(2.0 * section.level.second_moment),
        torsion_modulus: Some(2.0 * section.level.elastic_modulus),
        ..section
    }
}

fn symmetric(width: Length, height: Length, all: &[Part]) -> Section {
    let (x, y) = (0.5 * width.value, 0.5 * height.value);
    section(all, (-x, x), (-y, y))
}

fn section(all: &[Part], x: (f64, f64), y: (f64, f64)) -> Section {
    let sum = parts::total(all);
    let (middle_x, middle_y) = (sum.first_x / sum.area, sum.first_y / sum.area);
    let mut turned = [parts::rectangle((0.0, 0.0), (0.0, 0.0)); 10];
    for (place, part) in turned.iter_mut().zip(all) {
        *place = part.turned();
    }
    Section {
        area: Area::new::<square_meter>(sum.area),
        level: bending(all, sum.area, sum.second_y, middle_y, y),
        upright: bending(&turned, sum.area, sum.second_x, middle_x, x),
        product_moment: fourth_power(sum.product - sum.area * middle_x * middle_y),
        torsion_constant: None,
        torsion_modulus: None,
        width: Length::new::<meter>(x.1 - x.0),
        height: Length::new::<meter>(y.1 - y.0),
    }
}

fn bending(all: &[Part], area: f64, second: f64, centroid: f64, limits: (f64, f64)) -> Bending {
    let second = second - area * centroid * centroid;
    let (above, below) = (limits.1 - centroid, centroid - limits.0);
    Bending {
        second_moment: fourth_power(second),
        elastic_modulus: Volume::new::<cubic_meter>(second / above.max(below)),
        plastic_modulus: Volume::new::<cubic_meter>(parts::plastic_modulus(all, centroid, limits)),
        radius_of_gyration: Length::new::<meter>((second / area).sqrt()),
        fibre_above: Length::new::<meter>(above),
        fibre_below: Length::new::<meter>(below),
    }
}

fn fourth_power(value: f64) -> SecondMoment {
    SecondMoment { value, ..second_moment_cm4(0.0) }
}

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;
    use uom::si::length::millimeter;

    use super::*;

    fn mm(value: f64) -> Length {
        Length::new::<millimeter>(value)
    }

    #[track_caller]
    fn refused(shape: Shape, message: &str) {
        assert_eq!(shape.section().unwrap_err().to_string(), message);
    }

    #[test]
    fn the_text_says_what_would_fit() {
        let square = |side, wall, corners| Shape::SquareTube { side: mm(side), wall: mm(wall), corners };
        refused(
            square(40.0, 22.0, Corners::Sharp),
            "tube wall is 22 mm, and the limit is 20 mm here; it must be less than half of the smaller side",
        );
        refused(
            square(20.0, 6.0, Corners::ColdFormed),
            "tube wall is 6 mm, and the limit is 5 mm here; it must be so thin that its rounded corners have room; a tube with sharp corners may be thicker",
        );
        refused(
            square(40.0, 3.0, Corners::Radii { outer: mm(3.0), inner: mm(4.0) }),
            "inner corner radius is 4 mm, and the limit is 3 mm here; it must be no larger than the outer corner radius",
        );
        // ri + (2 + sqrt 2) t = 6.828 mm is where the hole meets the rounded corner.
        refused(
            square(40.0, 2.0, Corners::Radii { outer: mm(7.0), inner: mm(0.0) }),
            "outer corner radius is 7 mm, and the limit is 6.828 mm here; it must be small enough to leave metal at the corner",
        );
        refused(
            Shape::RoundTube { diameter: mm(30.0), wall: mm(15.0) },
            "tube wall is 15 mm, and the limit is 15 mm here; it must be less than half of the diameter",
        );
    }

    #[test]
    fn corner_radii_follow_the_wall() {
        // EN 10219-2: 2 t and t, 2.5 t and 1.5 t, 3 t and 2 t; EN 10210-2: 1.5 t and t.
        for (wall, outer, inner) in
            [(6.0, 12.0, 6.0), (6.3, 15.75, 9.45), (10.0, 25.0, 15.0), (12.0, 36.0, 24.0)]
        {
            let (found_outer, found_inner) = Corners::ColdFormed.radii(mm(wall));
            assert_relative_eq!(found_outer.get::<millimeter>(), outer, max_relative = 1e-12);
            assert_relative_eq!(found_inner.get::<millimeter>(), inner, max_relative = 1e-12);
        }
        assert_eq!(Corners::HotFinished.radii(mm(4.0)), (mm(6.0), mm(4.0)));
    }

    #[test]
    fn a_round_tube_by_its_closed_form() {
        let tube = Shape::RoundTube { diameter: mm(42.4), wall: mm(3.0) }.section().unwrap();
        let (outer, inner) = (0.0424_f64, 0.0364_f64);
        let pi = std::f64::consts::PI;
        // Rounding of sums of a few parts.
        assert_relative_eq!(
            tube.area.value,
            pi / 4.0 * (outer.powi(2) - inner.powi(2)),
            max_relative = 1e-13
        );
        let second = pi / 64.0 * (outer.powi(4) - inner.powi(4));
        assert_relative_eq!(tube.level.second_moment.value, second, max_relative = 1e-13);
        assert_relative_eq!(tube.torsion_constant.unwrap().value, 2.0 * second, max_relative = 1e-13);
        let plastic = (outer.powi(3) - inner.powi(3)) / 6.0;
        assert_relative_eq!(tube.level.plastic_modulus.value, plastic, max_relative = 1e-13);
    }
}
