//! The outer edge of a shape and the hole in it: what fits inside what.

use uom::si::f64::Length;

use super::super::quantity::{at_most, fits};
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
    /// [`Error::DoesNotFit`](crate::Error::DoesNotFit) naming the dimension that is too large, and the limit at which
    /// its corners clear those of the hole too: of both sides where they are equal, else with the other side as it is.
    pub fn goes_into(&self, hole: &Self) -> Result<()> {
        if self.clears(hole) {
            return Ok(());
        }
        let shrunk = |across: f64, up: f64| {
            let (width, height) = (across * self.width, up * self.height);
            let half = 0.5 * if width < height { width } else { height };
            let is_round = self.radius >= 0.5 * self.width;
            let radius = if is_round || self.radius > half { half } else { self.radius };
            Self { width, height, radius }
        };
        let width = |limit: Length| too_large("width of the inner part", self.width, limit);
        let height = |limit: Length| too_large("height of the inner part", self.height, limit);
        let both = greatest(|share| shrunk(share, share).clears(hole));
        if self.width == self.height {
            return width(both * self.width);
        }
        let across = greatest(|share| shrunk(share, 1.0).clears(hole));
        let up = greatest(|share| shrunk(1.0, share).clears(hole));
        if self.width > hole.width && across > 0.0 {
            width(across * self.width)
        } else if up > 0.0 {
            height(up * self.height)
        } else if across > 0.0 {
            width(across * self.width)
        } else {
            width(both * self.width)
        }
    }

    fn clears(&self, hole: &Self) -> bool {
        let beyond = |part: Length, hole_side: Length| {
            let offset = (0.5 * part - self.radius) - (0.5 * hole_side - hole.radius);
            offset.value.max(0.0)
        };
        let offset = beyond(self.width, hole.width).hypot(beyond(self.height, hole.height));
        let corners =
            self.radius >= hole.radius || offset + self.radius.value <= hole.radius.value * (1.0 + 1e-12);
        at_most(self.width, hole.width) && at_most(self.height, hole.height) && corners
    }
}

fn too_large(quantity: &'static str, is: Length, limit: Length) -> Result<()> {
    fits(false, quantity, is, limit, "small enough for the hole and its rounded corners")
}

/// The greatest share that still fits, by halving; 0 if none does.
fn greatest(fits: impl Fn(f64) -> bool) -> f64 {
    let (mut good, mut bad) = (0.0, 1.0);
    for _ in 0..60 {
        let middle = 0.5 * (good + bad);
        if fits(middle) { good = middle } else { bad = middle }
    }
    if good > 1e-9 { good } else { 0.0 }
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

    #[test]
    fn the_limit_that_is_named_clears_the_corners() {
        // A square bar in a hole of 26 mm with corners of 2 mm: 2 (11 + 2/sqrt 2) = 24.828 mm.
        let hole = outline(26.0, 26.0, 2.0);
        let said = outline(27.0, 27.0, 0.0).goes_into(&hole).unwrap_err().to_string();
        assert!(said.contains("27 mm, and the limit is 24.82 mm"), "{said}");
        // A flat of 20 mm stays clear of the corners: the whole width of the hole is there.
        let said = outline(27.0, 20.0, 0.0).goes_into(&hole).unwrap_err().to_string();
        assert!(said.contains("27 mm, and the limit is 26 mm"), "{said}");
        // As wide as the hole it must end below the arcs: 2 * 13 mm.
        let said = outline(20.0, 27.0, 0.0).goes_into(&outline(20.0, 30.0, 2.0)).unwrap_err().to_string();
        assert!(said.contains("height of the inner part is 27 mm, and the limit is 26 mm"), "{said}");
        // 25.5 mm reach 1.75 mm beyond the middle of the arc: sqrt(2^2 - 1.75^2) = 0.9682 mm are left, so that
        // 2 (11 + 0.9682) = 23.936 mm go in.
        let said = outline(25.5, 25.0, 0.0).goes_into(&hole).unwrap_err().to_string();
        assert!(said.contains("25 mm, and the limit is 23.93 mm"), "{said}");
        // A round bar has the width of the hole.
        let said = outline(27.0, 27.0, 13.5).goes_into(&hole).unwrap_err().to_string();
        assert!(said.contains("limit is 26 mm"), "{said}");
    }
}
