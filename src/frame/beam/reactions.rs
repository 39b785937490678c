//! Closed formulas for what each kind of support gives. Raw SI numbers, private to the beam.

use super::Support;

/// What is known at the left end, and the reaction of the other support.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(super) struct Start {
    /// Upward force of the left support, N.
    pub(super) force: f64,
    /// Moment in the beam at the left end, N m.
    pub(super) moment: f64,
    /// Slope at the left end times E I, N m2.
    pub(super) tilt: f64,
    /// Upward force of the other support, N.
    pub(super) other_force: f64,
    /// Moment in the beam at the other support where it is built in, N m.
    pub(super) other_moment: f64,
    /// Place of a support within the length, m.
    pub(super) inner_support: Option<f64>,
}

impl Start {
    /// Sum over the loads: P at a, b = L - a from the right end, q over the whole length.
    ///
    /// Source: beam tables of any text on mechanics of materials; each is the integral of `E I w'' = -M` with
    /// the conditions of its supports.
    pub(super) fn of(support: Support, span: f64, length: f64, points: &[(f64, f64)], q: f64) -> Self {
        let sum =
            |term: &dyn Fn(f64, f64) -> f64| points.iter().map(|&(a, p)| p * term(a, span - a)).sum::<f64>();
        let l = span;
        match support {
            Support::Cantilever => Self {
                force: sum(&|_, _| 1.0) + q * l,
                moment: -sum(&|a, _| a) - 0.5 * q * l * l,
                ..Self::default()
            },
            Support::SimplySupported => Self {
                force: sum(&|_, b| b) / l + 0.5 * q * l,
                other_force: sum(&|a, _| a) / l + 0.5 * q * l,
                // (L2 - b2) = a (L + b) keeps the digits of a load near the left end.
                tilt: sum(&|a, b| a * b * (l + b)) / (6.0 * l) + q * l * l * l / 24.0,
                ..Self::default()
            },
            Support::FixedBothEnds => Self {
                force: sum(&|a, b| b * b * (3.0 * a + b)) / (l * l * l) + 0.5 * q * l,
                moment: -sum(&|a, b| a * b * b) / (l * l) - q * l * l / 12.0,
                other_force: sum(&|a, b| a * a * (a + 3.0 * b)) / (l * l * l) + 0.5 * q * l,
                other_moment: -sum(&|a, b| a * a * b) / (l * l) - q * l * l / 12.0,
                ..Self::default()
            },
            Support::Propped => Self {
                force: sum(&|_, b| b * (3.0 * l * l - b * b)) / (2.0 * l * l * l) + 0.625 * q * l,
                moment: -sum(&|a, b| a * b * (l + b)) / (2.0 * l * l) - 0.125 * q * l * l,
                other_force: sum(&|a, _| a * a * (3.0 * l - a)) / (2.0 * l * l * l) + 0.375 * q * l,
                ..Self::default()
            },
            Support::Overhanging { .. } => {
                // A load beyond the span turns the beam about the second support: b is negative there, the left
                // support pulls, and the span bends as under an end moment P b.
                let beyond = length - span;
                let couple = 0.5 * q * beyond * beyond;
                let tilt = |a: f64, b: f64| if b >= 0.0 { a * b * (l + b) } else { l * l * b };
                Self {
                    force: sum(&|_, b| b) / l + 0.5 * q * l - couple / l,
                    other_force: sum(&|a, _| a) / l + 0.5 * q * length * length / l,
                    tilt: sum(&tilt) / (6.0 * l) + q * l * l * l / 24.0 - couple * l / 6.0,
                    inner_support: Some(span),
                    ..Self::default()
                }
            }
        }
    }
}
