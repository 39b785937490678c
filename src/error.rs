//! The one error type of the library.

use uom::si::f64::Length;

use crate::units::Dimension;
use crate::units::display::{UnitSystem, show, show_at_least, show_at_most, show_exact};

/// What can go wrong in a calculation.
///
/// Mistakes in a rig file or on the command line are reported as
/// [`Problem`](crate::rig::Problem)s, which carry a place in the text.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum Error {
    /// A quantity is outside the range in which the calculation holds.
    #[error("{quantity} is {value}; it must be {requirement}")]
    OutOfRange {
        /// What the quantity is, in the words of the field.
        quantity: &'static str,
        /// Its value with its unit.
        value: String,
        /// The rule that it breaks.
        requirement: &'static str,
    },
    /// A length of a section or a weld does not fit the others.
    #[error("{quantity} is {}; it must be {requirement}", .misfit.words(UnitSystem::Metric))]
    DoesNotFit {
        /// What the length is, in the words of the field.
        quantity: &'static str,
        /// The length and its limit.
        misfit: Misfit,
        /// The rule that it breaks.
        requirement: &'static str,
    },
    /// A length, angle or count of a linkage does not fit the others.
    #[error("{quantity} is {value}: {problem}; {fix}")]
    Geometry {
        /// What does not fit, in the words of the field.
        quantity: &'static str,
        /// Its value with its unit.
        value: String,
        /// What it runs against.
        problem: String,
        /// What would fit.
        fix: String,
    },
    /// A text is not a quantity of the kind that is needed.
    #[error(transparent)]
    Quantity(#[from] crate::units::parse::QuantityError),
    /// A rehearsal could not be carried to its end.
    #[error("the rehearsal stopped at {time_s} s: {reason}")]
    Simulation {
        /// Time reached, in s.
        time_s: f64,
        /// Why.
        reason: StopReason,
    },
    /// An iteration did not settle; the inputs are printed so that it can be repeated.
    #[error("{calculation} did not settle ({inputs})")]
    NoConvergence {
        /// The calculation that was running.
        calculation: &'static str,
        /// Its inputs.
        inputs: String,
    },
}

/// A length that does not fit, and the limit that the others set it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Misfit {
    /// The length.
    pub length: Length,
    /// Its limit.
    pub limit: Length,
    /// Whether the limit is a lower one.
    pub is_least: bool,
}

impl Misfit {
    /// Both in words. The limit is rounded to the side on which it is kept, and the length has digits enough to
    /// differ from it.
    ///
    /// ```
    /// use lungful::{Misfit, units::UnitSystem};
    /// use uom::si::{f64::Length, length::millimeter};
    /// let mm = Length::new::<millimeter>;
    /// let wall = Misfit { length: mm(7.0), limit: mm(6.0), is_least: false };
    /// assert_eq!(wall.words(UnitSystem::Metric), "7 mm, and the limit is 6 mm here");
    /// // 7/25.4 = 0.275 591 and 6/25.4 = 0.236 220
    /// assert_eq!(wall.words(UnitSystem::Us), "0.2756 in, and the limit is 0.2362 in here");
    /// ```
    #[must_use]
    pub fn words(&self, units: UnitSystem) -> String {
        let rounded = if self.is_least { show_at_least } else { show_at_most };
        let limit = rounded(self.limit.value, Dimension::Length, units);
        let shown = show(self.length.value, Dimension::Length, units);
        let length =
            if shown == limit { show_exact(self.length.value, Dimension::Length, units) } else { shown };
        format!("{length}, and the limit is {limit} here")
    }
}

/// Why a rehearsal could not be carried to its end.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum StopReason {
    /// The step fell below what a clock of this precision can tell apart.
    #[error("no step is small enough for the tolerance asked for")]
    StepTooSmall,
    /// More steps than any session should need.
    #[error("more than {limit} steps")]
    TooManySteps {
        /// The limit.
        limit: u64,
    },
    /// The rig changes between resting and moving without getting on.
    #[error("more than {limit} changes between resting and moving within one action")]
    TooManyChanges {
        /// The limit.
        limit: u32,
    },
    /// The books of the run do not close.
    #[error("the balance of {quantity} is off by {residual:e} of its turnover; at most 1e-6 is accepted")]
    Unbalanced {
        /// What does not balance.
        quantity: &'static str,
        /// By how much, as a share of the turnover.
        residual: f64,
    },
}

/// Result of a calculation.
pub type Result<T, E = Error> = std::result::Result<T, E>;
