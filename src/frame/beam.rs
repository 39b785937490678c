//! Straight beams of one cross-section under point loads and a uniform load.

mod pieces;
mod reactions;

use uom::si::f64::{Force, Length, Ratio, Torque};
use uom::si::force::newton;
use uom::si::length::meter;
use uom::si::ratio::ratio;
use uom::si::torque::newton_meter;

use self::pieces::{Piece, pieces};
use self::reactions::Start;
use super::quantity::{LineLoad, Rigidity, length_or_none, real_length};
use crate::{Result, guard};

/// How a beam is held. Positions count from the left end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Support {
    /// Built in at the left end, free at the right.
    Cantilever,
    /// Resting on both ends.
    SimplySupported,
    /// Built in at both ends.
    FixedBothEnds,
    /// Built in at the left end, resting on the right.
    Propped,
    /// Resting on the left end and at the end of the span, and going on beyond it.
    Overhanging {
        /// Length beyond the second support.
        overhang: Length,
    },
}

/// A straight beam of one cross-section.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Beam {
    /// How it is held.
    pub support: Support,
    /// Free length; for an overhanging beam the distance of the supports.
    pub span: Length,
    /// Bending stiffness E I.
    pub rigidity: Rigidity,
}

/// A load at a point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PointLoad {
    /// Distance from the left end.
    pub at: Length,
    /// Load, positive downwards.
    pub force: Force,
}

/// The loads of a beam.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Loads<'a> {
    /// Loads at points, in any order.
    pub points: &'a [PointLoad],
    /// Load over the whole length, such as the beam's own weight.
    pub uniform: LineLoad,
    /// Factor on all loads for the jolt of starting and stopping; 1 for a load at rest.
    pub dynamic_factor: Ratio,
}

/// What a support gives.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reaction {
    /// Distance from the left end.
    pub at: Length,
    /// Force on the beam, positive upwards.
    pub force: Force,
    /// Moment in the beam where it is built in, positive where the beam sags; zero at a rest.
    pub moment: Torque,
}

/// State of a beam at one place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Station {
    /// Shear force, positive where the left part is pushed up; at a load, that just right of it.
    pub shear: Force,
    /// Bending moment, positive where the beam sags.
    pub moment: Torque,
    /// Slope, positive where the beam goes down to the right.
    pub slope: Ratio,
    /// Deflection, positive downwards.
    pub deflection: Length,
}

/// A greatest value and its place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Peak<Q> {
    /// The value, with its sign.
    pub value: Q,
    /// Distance from the left end.
    pub at: Length,
}

/// How a beam answers its loads.
#[derive(Debug, Clone, PartialEq)]
pub struct Response {
    left: Reaction,
    right: Option<Reaction>,
    pieces: Vec<Piece>,
    uniform: f64,
    rigidity: f64,
    length: Length,
    /// Greatest shear force by size.
    pub max_shear: Peak<Force>,
    /// Greatest bending moment by size.
    pub max_moment: Peak<Torque>,
    /// Greatest deflection by size.
    pub max_deflection: Peak<Length>,
}

impl Beam {
    /// Length of the whole beam.
    #[must_use]
    pub fn length(&self) -> Length {
        match self.support {
            Support::Overhanging { overhang } => self.span + overhang,
            _ => self.span,
        }
    }

    /// Reactions, forces, moments and deflections.
    ///
    /// Reactions come from the closed formulas of each case; between loads the deflection is the exact quartic
    /// `E I w = E I w0 + E I w0' s - M0 s2/2 - V0 s3/6 + q s4/24`, joined from the left end on. Nothing is
    /// approximated within the theory.
    ///
    /// Source: Euler-Bernoulli beam, any text on mechanics of materials. Valid for slender beams (length above
    /// about ten heights; shear deflection is left out), small slopes, supports that do not give, and stress
    /// below yield.
    ///
    /// # Errors
    /// [`Error::OutOfRange`](crate::Error::OutOfRange) if a length or the stiffness is not real, if a load is
    /// not finite or lies beside the beam, or if the dynamic factor is below 1.
    ///
    /// # Example
    /// ```
    /// use lungful::frame::{beam::{Beam, Loads, PointLoad, Support}, quantity};
    /// use uom::si::{f64::{Force, Length, Pressure, Ratio}, force::newton, length::millimeter};
    /// use uom::si::{pressure::gigapascal, ratio::ratio, torque::newton_meter};
    /// let mm = Length::new::<millimeter>;
    /// let rigidity = quantity::rigidity(Pressure::new::<gigapascal>(210.0), quantity::second_moment_cm4(10.0));
    /// let fork = Beam { support: Support::Cantilever, span: mm(400.0), rigidity };
    /// let load = PointLoad { at: mm(400.0), force: Force::new::<newton>(600.0) };
    /// let loads = Loads { points: &[load], uniform: Default::default(), dynamic_factor: Ratio::new::<ratio>(1.0) };
    /// let answer = fork.respond(&loads)?;
    /// assert!((answer.max_moment.value.get::<newton_meter>() + 240.0).abs() < 1e-9); // -600 N * 0.4 m
    /// // 600 * 0.4^3/(3 * 210e9 * 10e-8) = 0.6095 mm
    /// assert!((answer.max_deflection.value.get::<millimeter>() - 0.609_52).abs() < 1e-5);
    /// # Ok::<(), lungful::Error>(())
    /// ```
    pub fn respond(&self, loads: &Loads<'_>) -> Result<Response> {
        self.check(loads)?;
        let (length, factor) = (self.length().value, loads.dynamic_factor.value);
        let mut points: Vec<(f64, f64)> =
            loads.points.iter().map(|load| (load.at.value.min(length), factor * load.force.value)).collect();
        points.sort_by(|a, b| a.0.total_cmp(&b.0));
        let uniform = factor * loads.uniform.value;
        let start = Start::of(self.support, self.span.value, length, &points, uniform);
        let pieces = pieces(&start, &points, uniform, length);
        let rigidity = self.rigidity.value;
        let peaks = pieces::peaks(&pieces, uniform);
        let deflection = peaks.sag.0 / rigidity;
        let finite =
            [start.force, start.other_force, peaks.shear.0, peaks.moment.0, deflection, start.other_moment];
        guard::require(
            finite.iter().all(|value| value.is_finite()),
            "deflection of the beam",
            deflection,
            "m",
            "finite: the loads or the length must be smaller, or the beam stiffer",
        )?;
        let reaction = |at, force, moment| Reaction {
            at,
            force: Force::new::<newton>(force),
            moment: Torque::new::<newton_meter>(moment),
        };
        Ok(Response {
            left: reaction(Length::default(), start.force, start.moment),
            right: (self.support != Support::Cantilever)
                .then(|| reaction(self.span, start.other_force, start.other_moment)),
            pieces,
            uniform,
            rigidity,
            length: self.length(),
            max_shear: Peak {
                value: Force::new::<newton>(peaks.shear.0),
                at: Length::new::<meter>(peaks.shear.1),
            },
            max_moment: Peak {
                value: Torque::new::<newton_meter>(peaks.moment.0),
                at: Length::new::<meter>(peaks.moment.1),
            },
            max_deflection: Peak {
                value: Length::new::<meter>(deflection),
                at: Length::new::<meter>(peaks.sag.1),
            },
        })
    }

    fn check(&self, loads: &Loads<'_>) -> Result<()> {
        real_length("span", self.span)?;
        if let Support::Overhanging { overhang } = self.support {
            length_or_none("overhang", overhang)?;
        }
        guard::positive("bending stiffness", self.rigidity.value, "N m2")?;
        let factor = loads.dynamic_factor.value;
        guard::require(
            (1.0..=1e6).contains(&factor),
            "dynamic factor",
            factor,
            "",
            "1 for a load at rest, or more",
        )?;
        let uniform = loads.uniform.value;
        guard::require(uniform.is_finite(), "uniform load", uniform, "N/m", "a finite number")?;
        // A load written as the length in another unit may miss the end by rounding.
        let end = self.length().value * (1.0 + 1e-12);
        for load in loads.points {
            let (at, force) = (load.at.value, load.force.value);
            guard::require((0.0..=end).contains(&at), "place of a load", at, "m", "on the beam")?;
            guard::require(force.is_finite(), "load on a beam", force, "N", "a finite number")?;
        }
        Ok(())
    }
}

impl Response {
    /// The supports, from the left.
    pub fn reactions(&self) -> impl Iterator<Item = Reaction> {
        std::iter::once(self.left).chain(self.right)
    }

    /// State of the beam at a distance from the left end.
    ///
    /// # Errors
    /// [`Error::OutOfRange`](crate::Error::OutOfRange) if that place is not on the beam.
    pub fn at(&self, place: Length) -> Result<Station> {
        let at = place.value;
        let holds = (0.0..=self.length.value * (1.0 + 1e-12)).contains(&at);
        guard::require(holds, "place on a beam", at, "m", "within its length")?;
        let index = self.pieces.partition_point(|piece| piece.at <= at).saturating_sub(1);
        let state =
            self.pieces.get(index).map(|piece| piece.state(at - piece.at, self.uniform)).unwrap_or_default();
        Ok(Station {
            shear: Force::new::<newton>(state.shear),
            moment: Torque::new::<newton_meter>(state.moment),
            slope: Ratio::new::<ratio>(state.tilt / self.rigidity),
            deflection: Length::new::<meter>(state.sag / self.rigidity),
        })
    }
}

#[cfg(test)]
mod tests;
