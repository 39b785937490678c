//! Areas put together from rectangles and rounded corners, and their moments in closed form.
//!
//! Every cross-section of this crate is a sum of such parts, some of them taken away: a rounded rectangle is
//! a rectangle less four corner pieces, a circle the same with corners as large as half the side, a tube an
//! outline less a hole. Raw numbers are metres, private to this folder.

use std::f64::consts::{FRAC_PI_4, PI};

/// One part: `sign` is +1 for metal and -1 for what is taken away.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Part {
    sign: f64,
    form: Form,
}

#[derive(Debug, Clone, Copy, PartialEq)]
enum Form {
    Rectangle {
        x: (f64, f64),
        y: (f64, f64),
    },
    /// What lies between a square corner at (`x`, `y`) and the quarter circle of `radius` that rounds it.
    /// `toward` holds the signs of the directions from the corner into the square.
    Corner {
        x: f64,
        y: f64,
        toward: (f64, f64),
        radius: f64,
    },
}

/// Area and its moments about the axes of the coordinates.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Moments {
    pub(super) area: f64,
    /// Integral of x.
    pub(super) first_x: f64,
    /// Integral of y.
    pub(super) first_y: f64,
    /// Integral of x2.
    pub(super) second_x: f64,
    /// Integral of y2.
    pub(super) second_y: f64,
    /// Integral of x y.
    pub(super) product: f64,
}

/// Four equal corner radii of a rectangle given by its limits, as metal (`sign` +1) or as a hole (-1).
pub(super) fn rounded(x: (f64, f64), y: (f64, f64), radius: f64, sign: f64) -> [Part; 5] {
    let corner = |x, y, toward| Part { sign: -sign, form: Form::Corner { x, y, toward, radius } };
    [
        Part { sign, form: Form::Rectangle { x, y } },
        corner(x.0, y.0, (1.0, 1.0)),
        corner(x.1, y.0, (-1.0, 1.0)),
        corner(x.0, y.1, (1.0, -1.0)),
        corner(x.1, y.1, (-1.0, -1.0)),
    ]
}

/// A rectangle of metal.
pub(super) fn rectangle(x: (f64, f64), y: (f64, f64)) -> Part {
    Part { sign: 1.0, form: Form::Rectangle { x, y } }
}

/// A corner piece: `sign` +1 fills an inner corner, -1 rounds an outer one.
pub(super) fn corner(at: (f64, f64), toward: (f64, f64), radius: f64, sign: f64) -> Part {
    Part { sign, form: Form::Corner { x: at.0, y: at.1, toward, radius } }
}

impl Part {
    pub(super) fn moments(&self) -> Moments {
        let plain = match self.form {
            Form::Rectangle { x, y } => rectangle_moments(x, y),
            Form::Corner { x, y, toward, radius } => corner_moments(x, y, toward, radius),
        };
        let Moments { area, first_x, first_y, second_x, second_y, product } = plain;
        let s = self.sign;
        Moments {
            area: s * area,
            first_x: s * first_x,
            first_y: s * first_y,
            second_x: s * second_x,
            second_y: s * second_y,
            product: s * product,
        }
    }

    /// The part with the two coordinates exchanged.
    pub(super) fn turned(&self) -> Self {
        let form = match self.form {
            Form::Rectangle { x, y } => Form::Rectangle { x: y, y: x },
            Form::Corner { x, y, toward, radius } => {
                Form::Corner { x: y, y: x, toward: (toward.1, toward.0), radius }
            }
        };
        Self { form, ..*self }
    }

    /// Area below `level`, and the integral of y over it.
    fn below(&self, level: f64) -> (f64, f64) {
        let (area, first) = match self.form {
            Form::Rectangle { x, y } => {
                let top = level.clamp(y.0, y.1);
                let area = (x.1 - x.0) * (top - y.0);
                (area, area * f64::midpoint(y.0, top))
            }
            Form::Corner { y, toward, radius, .. } if toward.1 > 0.0 => {
                let (area, depth) = corner_strip((level - y).clamp(0.0, radius), radius);
                (area, y * area + depth)
            }
            Form::Corner { y, radius, .. } => {
                let (whole, whole_depth) = corner_strip(radius, radius);
                let (above, above_depth) = corner_strip((y - level).clamp(0.0, radius), radius);
                let area = whole - above;
                (area, y * area - (whole_depth - above_depth))
            }
        };
        (self.sign * area, self.sign * first)
    }
}

fn rectangle_moments(x: (f64, f64), y: (f64, f64)) -> Moments {
    let (width, height) = (x.1 - x.0, y.1 - y.0);
    let (middle_x, middle_y) = (f64::midpoint(x.0, x.1), f64::midpoint(y.0, y.1));
    let area = width * height;
    Moments {
        area,
        first_x: area * middle_x,
        first_y: area * middle_y,
        second_x: area * (width * width / 12.0 + middle_x * middle_x),
        second_y: area * (height * height / 12.0 + middle_y * middle_y),
        product: area * middle_x * middle_y,
    }
}

/// Square of side r less the quarter circle about its far corner. About the edges through the near corner:
/// area `(1 - pi/4) r2`, first moment `(5/6 - pi/4) r3`, second moment `(1 - 5 pi/16) r4`, product
/// `(19/24 - pi/4) r4`.
fn corner_moments(x: f64, y: f64, toward: (f64, f64), radius: f64) -> Moments {
    let square = radius * radius;
    let area = (1.0 - FRAC_PI_4) * square;
    let first = (5.0 / 6.0 - FRAC_PI_4) * square * radius;
    let second = (1.0 - 5.0 * PI / 16.0) * square * square;
    let (first_x, first_y) = (toward.0 * first, toward.1 * first);
    let product = toward.0 * toward.1 * (19.0 / 24.0 - FRAC_PI_4) * square * square;
    Moments {
        area,
        first_x: x * area + first_x,
        first_y: y * area + first_y,
        second_x: x * x * area + 2.0 * x * first_x + second,
        second_y: y * y * area + 2.0 * y * first_y + second,
        product: x * y * area + x * first_y + y * first_x + product,
    }
}

/// Area of a corner piece within `depth` of the edge through its corner, and the integral of the distance
/// from that edge over it. The width at distance s is `r - sqrt(r2 - (r - s)2)`.
fn corner_strip(depth: f64, radius: f64) -> (f64, f64) {
    if radius <= 0.0 {
        return (0.0, 0.0);
    }
    let rest = radius - depth;
    let chord = (radius * radius - rest * rest).max(0.0).sqrt();
    let under_arc = 0.5
        * (PI / 2.0 * radius * radius
            - rest * chord
            - radius * radius * (rest / radius).clamp(-1.0, 1.0).asin());
    let area = radius * depth - under_arc;
    let first = 0.5 * radius * depth * depth - radius * under_arc + chord * chord * chord / 3.0;
    (area, first)
}

pub(super) fn total(parts: &[Part]) -> Moments {
    parts.iter().map(Part::moments).fold(Moments::default(), |sum, part| Moments {
        area: sum.area + part.area,
        first_x: sum.first_x + part.first_x,
        first_y: sum.first_y + part.first_y,
        second_x: sum.second_x + part.second_x,
        second_y: sum.second_y + part.second_y,
        product: sum.product + part.product,
    })
}

/// Plastic modulus about a level axis, `integral of |y - y0|` with half of the area on each side of `y0`.
///
/// `centroid` is tried first: it is the axis sought in every section that is symmetric about it.
pub(super) fn plastic_modulus(parts: &[Part], centroid: f64, limits: (f64, f64)) -> f64 {
    let below = |level: f64| {
        parts
            .iter()
            .map(|part| part.below(level))
            .fold((0.0, 0.0), |sum, part| (sum.0 + part.0, sum.1 + part.1))
    };
    let (area, first) = below(limits.1);
    let half = 0.5 * area;
    let mut level = centroid;
    if (below(level).0 - half).abs() > 1e-12 * area {
        let (mut low, mut high) = limits;
        // Each halving gains one bit; 60 reach the last digit.
        for _ in 0..60 {
            level = f64::midpoint(low, high);
            if below(level).0 < half {
                low = level;
            } else {
                high = level;
            }
        }
    }
    let (area_below, first_below) = below(level);
    (first - 2.0 * first_below) - level * (area - 2.0 * area_below)
}

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;

    use super::*;

    #[test]
    fn four_corners_of_half_the_side_leave_a_circle() {
        let parts = rounded((-1.0, 1.0), (-1.0, 1.0), 1.0, 1.0);
        let sum = total(&parts);
        // Circle of radius 1: area pi, I = pi/4, plastic modulus 4/3. Rounding of a few operations.
        assert_relative_eq!(sum.area, PI, max_relative = 1e-14);
        assert_relative_eq!(sum.second_x, PI / 4.0, max_relative = 1e-14);
        assert_relative_eq!(sum.second_y, PI / 4.0, max_relative = 1e-14);
        assert_relative_eq!(plastic_modulus(&parts, 0.0, (-1.0, 1.0)), 4.0 / 3.0, max_relative = 1e-14);
    }

    #[test]
    fn closed_moments_of_a_corner_match_a_sum_over_strips() {
        // Midpoint sum over 20 000 strips; the square-root edge limits it to about 1e-6.
        let part = corner((0.3, -0.2), (-1.0, 1.0), 0.5, 1.0);
        let moments = part.moments();
        let strips = 20_000;
        let mut sum = Moments::default();
        for index in 0..strips {
            let s = (f64::from(index) + 0.5) / f64::from(strips) * 0.5;
            let width = 0.5 - (0.25 - (0.5 - s) * (0.5 - s)).sqrt();
            let (y, x) = (-0.2 + s, 0.3 - 0.5 * width);
            let area = width * 0.5 / f64::from(strips);
            sum.area += area;
            sum.first_x += area * x;
            sum.first_y += area * y;
            sum.second_x += area * (x * x + width * width / 12.0);
            sum.second_y += area * y * y;
            sum.product += area * x * y;
        }
        for (closed, summed) in [
            (moments.area, sum.area),
            (moments.first_x, sum.first_x),
            (moments.first_y, sum.first_y),
            (moments.second_x, sum.second_x),
            (moments.second_y, sum.second_y),
            (moments.product, sum.product),
        ] {
            assert_relative_eq!(closed, summed, max_relative = 1e-5);
        }
    }

    #[test]
    fn what_lies_below_the_top_is_everything() {
        for toward in [(1.0, 1.0), (-1.0, -1.0)] {
            let part = corner((0.1, 0.4), toward, 0.2, 1.0);
            let (area, first) = part.below(2.0);
            let moments = part.moments();
            assert_relative_eq!(area, moments.area, max_relative = 1e-13);
            assert_relative_eq!(first, moments.first_y, max_relative = 1e-13);
        }
    }
}
