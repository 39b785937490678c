//! Whether the rig tips over.

use uom::si::f64::{Acceleration, Angle, Force, Length, Mass, Ratio, Torque};
use uom::si::ratio::ratio;
use uom::si::torque::newton_meter;

use super::travel::standard_gravity;
use crate::frame::quantity::{length_or_none, real_length};
use crate::{Error, Result, guard};

/// A mass and the place of its centre of gravity.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Weight {
    /// The mass.
    pub mass: Mass,
    /// Height of its centre of gravity above the ground.
    pub height: Length,
    /// How far it lies to the right of the middle of the base; negative to the left.
    pub right: Length,
    /// How far it lies in front of the middle of the base; negative behind.
    pub front: Length,
}

/// What a rig stands on, and what acts on it at one point of the travel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stand<'a> {
    /// Width of the base, from the leftmost to the rightmost point of support.
    pub width: Length,
    /// Depth of the base, from front to back.
    pub depth: Length,
    /// The load and the parts of the rig.
    pub weights: &'a [Weight],
    /// Slope of the ground; taken to fall towards each edge in turn.
    pub slope: Angle,
    /// Side force, taken to push towards each edge in turn: a hand, wind, a jolt.
    pub side_force: Force,
    /// Height at which it pushes.
    pub side_force_height: Length,
}

/// An edge of the base.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Edge {
    /// Right edge.
    Right,
    /// Left edge.
    Left,
    /// Front edge.
    Front,
    /// Rear edge.
    Rear,
}

/// How firmly a rig stands over one edge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stability {
    /// The edge over which it would tip.
    pub edge: Edge,
    /// Moment of what holds it down.
    pub restoring: Torque,
    /// Moment of what turns it over.
    pub overturning: Torque,
    /// Restoring over overturning moment, below 1 when it tips; `None` if nothing turns it over.
    pub factor: Option<Ratio>,
}

/// What the stability factor leaves out, for the reader.
pub const CAUTION: &str = "the ground is taken to be hard and the base stiff; a wheel that sinks, a load that \
slides or swings, and a rig that slides before it tips are not judged";

const EDGES: [Edge; 4] = [Edge::Right, Edge::Left, Edge::Front, Edge::Rear];

impl Stand<'_> {
    /// Stability about the worst edge.
    ///
    /// About an edge at distance `d` from the centre of gravity (counted along the ground, negative when it
    /// lies outside), on ground that falls by `theta` towards it:
    /// `restoring = sum of m g d cos(theta) over the masses inside`,
    /// `overturning = sum of m g |d| cos(theta) over those outside + sum of m g h sin(theta) + F hF`.
    ///
    /// Source: equilibrium of moments about the edge. Valid while the base stays flat on hard ground; the
    /// worst direction is one square to an edge, so slope and side force are both taken towards it.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] if the base has no size, nothing has weight, or a
    /// figure is not real.
    ///
    /// # Example
    /// ```
    /// use lungful::sizing::tipping::{Edge, Stand, Weight};
    /// use uom::si::{angle::degree, f64::{Angle, Force, Length, Mass}, length::meter, mass::kilogram};
    /// let m = Length::new::<meter>;
    /// let cart = Weight { mass: Mass::new::<kilogram>(100.0), height: m(0.5), right: m(0.0), front: m(0.0) };
    /// let stand = Stand {
    ///     width: m(0.6),
    ///     depth: m(1.0),
    ///     weights: &[cart],
    ///     slope: Angle::new::<degree>(5.0),
    ///     side_force: Force::default(),
    ///     side_force_height: m(0.0),
    /// };
    /// let worst = stand.stability()?;
    /// assert!(matches!(worst.edge, Edge::Left | Edge::Right));
    /// let factor = worst.factor.ok_or("nothing turns it over")?;
    /// assert!((factor.value - 6.858).abs() < 0.001); // 0.3/(0.5 tan 5 deg)
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn stability(&self) -> Result<Stability> {
        self.check()?;
        let [first, others @ ..] = EDGES.map(|edge| self.about(edge));
        let worst = others.into_iter().fold(first, |a, b| if b.is_worse_than(&a) { b } else { a });
        let sum = (worst.restoring + worst.overturning).value;
        guard::require(
            sum.is_finite(),
            "moment about an edge",
            sum,
            "N m",
            "finite: masses and forces are too large",
        )?;
        Ok(worst)
    }

    /// Slope at which the rig tips over its worst edge without a side force; zero if it tips on level ground.
    ///
    /// `tan(theta) = sum(m d) / sum(m h)`.
    ///
    /// # Errors
    /// As [`stability`](Self::stability).
    pub fn tipping_slope(&self) -> Result<Angle> {
        self.check()?;
        let height: f64 = self.weights.iter().map(|weight| weight.mass.value * weight.height.value).sum();
        let arm = |edge| -> f64 {
            self.weights.iter().map(|weight| weight.mass.value * self.distance(weight, edge).value).sum()
        };
        let least = EDGES.map(arm).into_iter().fold(f64::INFINITY, f64::min);
        let angle = least.max(0.0).atan2(height);
        guard::require(angle.is_finite(), "tipping slope", angle, "rad", "finite: masses are too large")?;
        Ok(Angle::new::<uom::si::angle::radian>(angle))
    }

    /// Distance of a centre of gravity inside an edge.
    fn distance(&self, weight: &Weight, edge: Edge) -> Length {
        match edge {
            Edge::Right => 0.5 * self.width - weight.right,
            Edge::Left => 0.5 * self.width + weight.right,
            Edge::Front => 0.5 * self.depth - weight.front,
            Edge::Rear => 0.5 * self.depth + weight.front,
        }
    }

    fn about(&self, edge: Edge) -> Stability {
        let gravity: Acceleration = standard_gravity();
        let (sin, cos) = self.slope.value.sin_cos();
        let push = (self.side_force * self.side_force_height).value;
        let (mut restoring, mut overturning) = (0.0, push);
        for weight in self.weights {
            let force: Force = weight.mass * gravity;
            let arm = cos * self.distance(weight, edge).value * force.value;
            restoring += arm.max(0.0);
            overturning += (-arm).max(0.0) + (force * weight.height).value * sin;
        }
        let factor = restoring / overturning;
        Stability {
            edge,
            restoring: Torque::new::<newton_meter>(restoring),
            overturning: Torque::new::<newton_meter>(overturning),
            factor: (overturning > 0.0 && factor.is_finite()).then(|| Ratio::new::<ratio>(factor)),
        }
    }

    fn check(&self) -> Result<()> {
        real_length("width of the base", self.width)?;
        real_length("depth of the base", self.depth)?;
        length_or_none("height of the side force", self.side_force_height)?;
        let slope = self.slope.value;
        guard::require(
            (0.0..1.5).contains(&slope),
            "slope of the ground",
            slope,
            "rad",
            "from 0 to 1.5 rad",
        )?;
        let force = self.side_force.value;
        guard::require(
            force.is_finite() && force >= 0.0,
            "side force",
            force,
            "N",
            "a finite number, not below zero",
        )?;
        let mut sum = 0.0;
        for weight in self.weights {
            let mass = weight.mass.value;
            guard::require(
                mass.is_finite() && mass >= 0.0,
                "mass",
                mass,
                "kg",
                "a finite number, not below zero",
            )?;
            sum += mass;
            length_or_none("height of a centre of gravity", weight.height)?;
            for offset in [weight.right, weight.front] {
                length_or_none("offset of a centre of gravity", offset.abs())?;
            }
        }
        guard::positive("mass of rig and load together", sum, "kg")
    }
}

impl Stability {
    /// Whether this one tips before the other. Without anything that turns it over it never does; then the
    /// lesser restoring moment counts as worse.
    fn is_worse_than(&self, other: &Self) -> bool {
        match (self.factor, other.factor) {
            (Some(own), Some(others)) => own < others,
            (Some(_), None) => true,
            (None, Some(_)) => false,
            (None, None) => self.restoring < other.restoring,
        }
    }
}

/// The worst stability over the points of a travel, and the index of its point.
///
/// # Errors
/// As [`Stand::stability`], and [`Error::OutOfRange`] if there is no point.
pub fn worst_along<'a>(stands: impl IntoIterator<Item = Stand<'a>>) -> Result<(usize, Stability)> {
    let mut worst: Option<(usize, Stability)> = None;
    for (index, stand) in stands.into_iter().enumerate() {
        let here = stand.stability()?;
        if worst.as_ref().is_none_or(|(_, worst)| here.is_worse_than(worst)) {
            worst = Some((index, here));
        }
    }
    worst.ok_or_else(|| Error::OutOfRange {
        quantity: "points of the travel",
        value: "none".to_owned(),
        requirement: "one or more",
    })
}

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;
    use uom::si::angle::degree;
    use uom::si::force::newton;
    use uom::si::length::meter;
    use uom::si::mass::kilogram;

    use super::*;

    fn m(value: f64) -> Length {
        Length::new::<meter>(value)
    }

    fn weight(mass: f64, height: f64, right: f64, front: f64) -> Weight {
        Weight { mass: Mass::new::<kilogram>(mass), height: m(height), right: m(right), front: m(front) }
    }

    fn stand(weights: &[Weight], slope_deg: f64, side_n: f64) -> Stand<'_> {
        Stand {
            width: m(0.6),
            depth: m(1.0),
            weights,
            slope: Angle::new::<degree>(slope_deg),
            side_force: Force::new::<newton>(side_n),
            side_force_height: m(1.2),
        }
    }

    #[test]
    fn moments_by_hand() {
        // Level ground, 200 N at 1.2 m: 240 N m turn it over. 80 kg lie 0.2 m inside the right edge, 20 kg 0.1 m
        // outside of it: (80 * 0.2) g = 156.9064 N m restore, 20 * 0.1 * g = 19.6133 N m turn over.
        let weights = [weight(80.0, 0.5, 0.1, 0.0), weight(20.0, 1.0, 0.4, 0.0)];
        let worst = stand(&weights, 0.0, 200.0).stability().unwrap();
        assert_eq!(worst.edge, Edge::Right);
        assert_relative_eq!(worst.restoring.value, 156.906_4, max_relative = 1e-12);
        assert_relative_eq!(worst.overturning.value, 259.613_3, max_relative = 1e-12);
        assert_relative_eq!(worst.factor.unwrap().value, 156.906_4 / 259.613_3, max_relative = 1e-12);
    }

    #[test]
    fn each_edge_has_its_own_distance() {
        // 100 kg at 0.5 m, 0.2 m inside the edge at the side, 0.1 m at the front or rear.
        let sideways = 0.2 / (0.5 * 8f64.to_radians().tan());
        for (right, front, edge, factor) in [
            (0.1, 0.0, Edge::Right, sideways),
            (-0.1, 0.0, Edge::Left, sideways),
            (0.0, 0.4, Edge::Front, 0.5 * sideways),
            (0.0, -0.4, Edge::Rear, 0.5 * sideways),
        ] {
            let worst = stand(&[weight(100.0, 0.5, right, front)], 8.0, 0.0).stability().unwrap();
            assert_eq!(worst.edge, edge);
            assert_relative_eq!(worst.factor.unwrap().value, factor, max_relative = 1e-12);
        }
    }

    #[test]
    fn at_the_tipping_slope_the_factor_is_one() {
        let weights = [weight(120.0, 0.9, 0.05, -0.2), weight(40.0, 0.3, 0.0, 0.1)];
        let slope = stand(&weights, 0.0, 0.0).tipping_slope().unwrap();
        let there = Stand { slope, ..stand(&weights, 0.0, 0.0) }.stability().unwrap();
        assert_relative_eq!(there.factor.unwrap().value, 1.0, max_relative = 1e-12);
    }

    #[test]
    fn nothing_turns_over_a_rig_on_level_ground() {
        let weights = [weight(100.0, 0.9, 0.1, 0.0)];
        let worst = stand(&weights, 0.0, 0.0).stability().unwrap();
        assert_eq!((worst.factor, worst.edge), (None, Edge::Right));
    }

    #[test]
    fn the_highest_point_of_the_travel_is_the_worst() {
        let heights = [0.4, 0.7, 1.1];
        let weights = heights.map(|height| [weight(100.0, height, 0.0, 0.0)]);
        let (index, worst) = worst_along(weights.iter().map(|weights| stand(weights, 6.0, 0.0))).unwrap();
        assert_eq!(index, 2);
        assert_relative_eq!(
            worst.factor.unwrap().value,
            0.3 / (1.1 * 6f64.to_radians().tan()),
            max_relative = 1e-12
        );
        assert!(worst_along(std::iter::empty()).is_err());
    }

    #[test]
    fn figures_that_are_not_real_are_refused() {
        let good = [weight(100.0, 0.5, 0.0, 0.0)];
        assert!(stand(&[], 0.0, 0.0).stability().is_err());
        assert!(stand(&[weight(f64::NAN, 0.5, 0.0, 0.0)], 0.0, 0.0).stability().is_err());
        assert!(stand(&[weight(1.0, f64::INFINITY, 0.0, 0.0)], 0.0, 0.0).stability().is_err());
        assert!(stand(&good, 0.0, f64::NAN).stability().is_err());
        assert!(stand(&good, f64::NAN, 0.0).stability().is_err());
        assert!(Stand { width: m(0.0), ..stand(&good, 0.0, 0.0) }.stability().is_err());
    }
}
