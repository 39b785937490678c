//! A check: an answer held to a limit, with a sentence that says what to do.

use std::borrow::Cow;

use crate::units::Dimension;

/// Below this margin a check that passes is a caution, unless it states its own. Estimate of our own.
pub(super) const CAUTION_MARGIN: f64 = 0.05;

/// Rounding that is forgiven at a limit.
const MARGIN_SLACK: f64 = 1e-9;

/// What a check comes to, from best to worst; `NotJudged` stands outside that order.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Verdict {
    /// Not enough is known. Never a pass.
    NotJudged,
    /// Within its limit with room to spare.
    Pass,
    /// Within its limit, but close to it.
    Caution,
    /// Beyond its limit.
    Fail,
}

impl Verdict {
    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::NotJudged => "not judged",
            Self::Pass => "pass",
            Self::Caution => "caution",
            Self::Fail => "fail",
        }
    }
}

/// Which check it is, by its name in tables and JSON.
pub type CheckId = Cow<'static, str>;

/// An answer held to a limit.
#[derive(Debug, Clone, PartialEq)]
pub struct Check {
    /// Name of the check.
    pub id: CheckId,
    /// What it comes to.
    pub verdict: Verdict,
    /// The answer, in the base unit of `dimension`.
    pub value: Option<f64>,
    /// The limit it is held to.
    pub limit: Option<f64>,
    /// Room left, as a fraction of the limit; negative beyond it.
    pub margin: Option<f64>,
    /// What kind of quantity value and limit are.
    pub dimension: Dimension,
    /// What to do.
    pub advice: Sentence,
}

/// A sentence whose figures are still quantities, so that it can be read in either unit system.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Sentence(pub Vec<Piece>);

/// A piece of a sentence.
#[derive(Debug, Clone, PartialEq)]
pub enum Piece {
    /// Fixed words.
    Words(&'static str),
    /// Words made for this rig, such as the name of a beam.
    Name(String),
    /// A figure in the base unit of its dimension.
    Figure(f64, Dimension),
    /// A figure that must not be undercut: shown rounded up.
    AtLeast(f64, Dimension),
    /// A figure that must not be exceeded: shown rounded down.
    AtMost(f64, Dimension),
}

impl From<&'static str> for Piece {
    fn from(words: &'static str) -> Self {
        Self::Words(words)
    }
}

impl From<String> for Piece {
    fn from(name: String) -> Self {
        Self::Name(name)
    }
}

impl From<(f64, Dimension)> for Piece {
    fn from((value, dimension): (f64, Dimension)) -> Self {
        Self::Figure(value, dimension)
    }
}

/// A [`Sentence`] from words and `(figure, dimension)` pairs.
macro_rules! sentence {
    ($($piece:expr),* $(,)?) => {
        $crate::answers::Sentence(vec![$($crate::answers::Piece::from($piece)),*])
    };
}
pub(crate) use sentence;

/// Verdict on a margin with the usual band of caution.
pub(super) fn judge(margin: f64) -> Verdict {
    judge_with(margin, CAUTION_MARGIN)
}

/// Verdict on a margin: fail below zero, caution below `caution`.
pub(super) fn judge_with(margin: f64, caution: f64) -> Verdict {
    if margin.is_nan() || margin < -MARGIN_SLACK {
        Verdict::Fail
    } else if margin < caution - MARGIN_SLACK {
        Verdict::Caution
    } else {
        Verdict::Pass
    }
}

/// Room below an upper limit: `(limit - value) / limit`.
pub(super) fn below(value: f64, limit: f64) -> f64 {
    (limit - value) / limit
}

/// Room above a lower limit: `(value - limit) / limit`.
pub(super) fn above(value: f64, limit: f64) -> f64 {
    (value - limit) / limit
}

impl Check {
    /// A check that lacks data, with what to find out.
    pub(super) fn not_judged(id: impl Into<CheckId>, dimension: Dimension, advice: Sentence) -> Self {
        Self {
            id: id.into(),
            verdict: Verdict::NotJudged,
            value: None,
            limit: None,
            margin: None,
            dimension,
            advice,
        }
    }
}

/// The weakest link: of the checks with the worst verdict the one with the least margin; the first of equals.
///
/// A check that is not judged is never the weakest. A caution without a figure counts as margin zero.
#[must_use]
pub fn weakest(checks: &[Check]) -> Option<&Check> {
    let judged = || checks.iter().filter(|check| check.verdict != Verdict::NotJudged);
    let worst = judged().map(|check| check.verdict).max()?;
    let room = |check: &Check| {
        check.margin.unwrap_or(if check.verdict == Verdict::Pass { f64::INFINITY } else { 0.0 })
    };
    judged().filter(|check| check.verdict == worst).min_by(|a, b| room(a).total_cmp(&room(b)))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(id: &'static str, verdict: Verdict, margin: Option<f64>) -> Check {
        let mut check = Check::not_judged(id, Dimension::Fraction, Sentence::default());
        check.verdict = verdict;
        check.margin = margin;
        check
    }

    #[test]
    fn a_margin_is_judged_with_a_hair_of_slack() {
        assert_eq!(judge(-1e-8), Verdict::Fail);
        assert_eq!(judge(-1e-10), Verdict::Caution);
        assert_eq!(judge(0.049), Verdict::Caution);
        assert_eq!(judge((400.0 - 380.0) / 400.0), Verdict::Pass);
        assert_eq!(judge(f64::NAN), Verdict::Fail);
        assert_eq!(judge_with(0.0, 0.0), Verdict::Pass);
    }

    #[test]
    fn the_weakest_link_is_the_least_margin_of_the_worst_verdict() {
        let checks = [
            check("a", Verdict::Pass, Some(0.06)),
            check("b", Verdict::Caution, Some(0.04)),
            check("c", Verdict::Caution, Some(0.02)),
            check("d", Verdict::NotJudged, None),
        ];
        assert_eq!(weakest(&checks).map(|check| check.id.as_ref()), Some("c"));
        assert_eq!(weakest(&checks[3..]), None);
    }
}
