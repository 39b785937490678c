//! Every check of a rig, from the load back to the battery.

mod charge;
mod force;
mod joint;
mod linkage;
mod order;
mod structure;
mod supply;
mod times;

use super::{Answers, Check, CheckId, Piece, Sentence};
use crate::Result;
use crate::air::gas::Isotherm;
use crate::rig::Rig;
use crate::sizing::linkage::Travel;
use crate::units::{Dimension, GaugePressure};

/// All checks, in the order in which they are listed.
pub(super) fn all(rig: &Rig, travel: &Travel<'_>, answers: &Answers, air: &Isotherm) -> Result<Vec<Check>> {
    let mut checks = Vec::with_capacity(28);
    force::checks(rig, answers, &mut checks)?;
    linkage::checks(rig, travel, answers, &mut checks);
    structure::checks(rig, answers, &mut checks);
    order::checks(rig, air, &mut checks)?;
    supply::checks(rig, answers, &mut checks);
    charge::checks(rig, answers, &mut checks);
    times::checks(rig, answers, &mut checks);
    Ok(checks)
}

/// A gauge pressure at the ends of its stated tolerance.
#[derive(Debug, Clone, Copy)]
struct Ends {
    low: f64,
    high: f64,
}

/// The ends of the interval that is stated for a field: the value itself where none is.
fn ends(rig: &Rig, field: &str, pressure: GaugePressure) -> Ends {
    let half = rig.tolerance(field);
    Ends { low: pressure.pascals() - half, high: pressure.pascals() + half }
}

/// A check against an upper limit.
fn at_most(id: impl Into<CheckId>, value: f64, limit: f64, dimension: Dimension, advice: Sentence) -> Check {
    judged(id, value, limit, super::check::below(value, limit), dimension, advice)
}

/// A check against a lower limit.
fn at_least(id: impl Into<CheckId>, value: f64, limit: f64, dimension: Dimension, advice: Sentence) -> Check {
    judged(id, value, limit, super::check::above(value, limit), dimension, advice)
}

fn judged(
    id: impl Into<CheckId>,
    value: f64,
    limit: f64,
    margin: f64,
    dimension: Dimension,
    advice: Sentence,
) -> Check {
    Check {
        id: id.into(),
        verdict: super::check::judge(margin),
        value: Some(value),
        limit: Some(limit),
        margin: margin.is_finite().then_some(margin),
        dimension,
        advice,
    }
}

/// A pressure that a reader is to keep at or above.
fn at_least_bar(pascals: f64) -> Piece {
    Piece::AtLeast(pascals, Dimension::Pressure)
}

/// A pressure that a reader is to keep at or below.
fn at_most_bar(pascals: f64) -> Piece {
    Piece::AtMost(pascals, Dimension::Pressure)
}

/// A pressure in a sentence.
fn bar(pascals: f64) -> (f64, Dimension) {
    (pascals, Dimension::Pressure)
}
