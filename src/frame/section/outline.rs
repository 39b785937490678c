//! The outer edge of a shape and the hole in it: what fits inside what.

use uom::si::f64::Length;

use super::super::quantity::fits;
use crate::Result;

/// A rounded rectangle, about its own middle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Outline {
    /// Width.
    pub width: Length,
    /// Height.
    pub height: Length,
    /// Corner radius: zero for sharp corners, half the side for a circle.
    pub radius: Length,
}

impl Outline {
    /// Refuses an outline that does not go into the hole when both have the same middle.
    ///
    /// A corner less round than that of the hole touches first: its arc, centred `d` beyond the centre of the
    /// hole's arc, fits while `|d| + r_part <= r_hole`.
    ///
    /// # Errors
    /// [`Error::OutOfRange`](crate::Error::OutOfRange) naming the dimension that is too large, and the limit.
    pub fn goes_into(&self, hole: &Self) -> Result<()> {
        fits(
            self.width <= hole.width,
            "width of the inner part",
            self.width,
            hole.width,
            "no wider than the hole",
        )?;
        fits(
            self.height <= hole.height,
            "height of the inner part",
            self.height,
            hole.height,
            "no higher than the hole",
        )?;
        let beyond = |part: Length, hole_side: Length| {
            let offset = (0.5 * part - self.radius) - (0.5 * hole_side - hole.radius);
            offset.value.max(0.0)
        };
        let offset = beyond(self.width, hole.width).hypot(beyond(self.height, hole.height));
        let holds =
            self.radius >= hole.radius || offset + self.radius.value <= hole.radius.value * (1.0 + 1e-12);
        fits(
            holds,
            "corner radius of the inner part",
            self.radius,
            hole.radius,
            "rounded as much as the corners of the hole, or the part smaller so that its corners clear them",
        )
    }
}

#[cfg(test)]
mod tests {
    use uom::si::length::millimeter;

    use super::*;

    fn outline(width: f64, height: f64, radius: f64) -> Outline {
        let mm = Length::new::<millimeter>;
        Outline { width: mm(width), height: mm(height), radius: mm(radius) }
    }

    #[test]
    fn a_square_bar_fits_a_round_hole_by_its_diagonal() {
        // 30 * sqrt(2) = 42.43
        assert!(outline(30.0, 30.0, 0.0).goes_into(&outline(42.5, 42.5, 21.25)).is_ok());
        assert!(outline(30.0, 30.0, 0.0).goes_into(&outline(42.4, 42.4, 21.2)).is_err());
    }

    #[test]
    fn a_round_bar_fits_a_square_hole_of_its_diameter() {
        assert!(outline(34.0, 34.0, 17.0).goes_into(&outline(34.0, 34.0, 3.0)).is_ok());
        assert!(outline(34.1, 34.1, 17.05).goes_into(&outline(34.0, 34.0, 3.0)).is_err());
    }

    #[test]
    fn sharp_corners_catch_in_rounded_ones() {
        // The hole's corner cuts off 3 (1 - 1/sqrt 2) = 0.879 mm per side along the axes.
        assert!(outline(34.0, 34.0, 0.0).goes_into(&outline(34.0, 34.0, 3.0)).is_err());
        assert!(outline(32.2, 32.2, 0.0).goes_into(&outline(34.0, 34.0, 3.0)).is_ok());
    }
}
