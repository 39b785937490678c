//! Every check of a rig, from the load back to the battery.

mod charge;
mod force;
mod order;
mod supply;

use super::{Answers, Check, Sentence, check::sentence};
use crate::Result;
use crate::air::gas::Isotherm;
use crate::rig::{Linkage, Rig};
use crate::units::{Dimension, GaugePressure};

/// All checks, in the order in which they are listed.
pub(super) fn all(rig: &Rig, answers: &Answers, air: &Isotherm) -> Result<Vec<Check>> {
    let mut checks = Vec::with_capacity(24);
    force::checks(rig, answers, &mut checks);
    order::checks(rig, air, &mut checks)?;
    supply::checks(rig, answers, &mut checks);
    charge::checks(rig, answers, &mut checks);
    later(rig, &mut checks);
    Ok(checks)
}

/// What this version does not judge, so that nobody takes silence for a pass.
fn later(rig: &Rig, checks: &mut Vec<Check>) {
    if let Linkage::NotFollowed { kind } = rig.linkage {
        checks.push(Check::not_judged(
            "linkage",
            Dimension::Number,
            sentence![
                "this version does not follow a ",
                kind,
                ": find the force at the cylinders at the worst point of the travel and enter it as a direct load"
            ],
        ));
    }
    let not_yet: [(&'static str, Dimension, &'static str); 3] = [
        (
            "rod column",
            Dimension::Force,
            "this version does not judge buckling of the rod: have it worked out",
        ),
        (
            "frame",
            Dimension::Fraction,
            "this version does not judge the frame: have it worked out, and measure how far it bends under load",
        ),
        (
            "raise and lower times",
            Dimension::Time,
            "this version does not judge valves and hoses: time the built rig, empty and loaded",
        ),
    ];
    for (id, dimension, advice) in not_yet {
        checks.push(Check::not_judged(id, dimension, sentence![advice]));
    }
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
fn at_most(id: &'static str, value: f64, limit: f64, dimension: Dimension, advice: Sentence) -> Check {
    judged(id, value, limit, super::check::below(value, limit), dimension, advice)
}

/// A check against a lower limit.
fn at_least(id: &'static str, value: f64, limit: f64, dimension: Dimension, advice: Sentence) -> Check {
    judged(id, value, limit, super::check::above(value, limit), dimension, advice)
}

fn judged(
    id: &'static str,
    value: f64,
    limit: f64,
    margin: f64,
    dimension: Dimension,
    advice: Sentence,
) -> Check {
    Check {
        id,
        verdict: super::check::judge(margin),
        value: Some(value),
        limit: Some(limit),
        margin: margin.is_finite().then_some(margin),
        dimension,
        advice,
    }
}

/// A pressure in a sentence.
fn bar(pascals: f64) -> (f64, Dimension) {
    (pascals, Dimension::Pressure)
}
