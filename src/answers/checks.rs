//! Every check of a rig, from the load back to the battery.

mod charge;
mod force;
mod joint;
mod linkage;
pub(super) mod order;
mod structure;
mod supply;
mod times;

use uom::si::f64::Ratio;

use super::check::sentence;
use super::{Answers, Check, CheckId, Piece, Sentence, Verdict};
use crate::Result;
use crate::air::flow::law::REFERENCE_DENSITY_KG_PER_M3;
use crate::air::gas::Isotherm;
use crate::rig::{AirSource, Rig};
use crate::sizing::linkage::Travel;
use crate::units::{Dimension, GaugePressure};

/// All checks, in the order in which they are listed.
pub(super) fn all(rig: &Rig, travel: &Travel<'_>, answers: &Answers, air: &Isotherm) -> Result<Vec<Check>> {
    let mut checks = Vec::with_capacity(28);
    force::checks(rig, answers, &mut checks)?;
    linkage::checks(rig, travel, answers, &mut checks);
    structure::checks(rig, answers, &mut checks);
    order::checks(rig, air, &mut checks)?;
    checks.extend(order::rod_side(rig, &answers.times));
    checks.extend(order::cap_side(rig, answers.lift.stroke_used)?);
    supply::checks(rig, answers, &mut checks);
    charge::checks(rig, answers, &mut checks);
    times::checks(rig, answers, &mut checks);
    Ok(checks)
}

/// A gauge pressure at the ends of its stated tolerance.
#[derive(Debug, Clone, Copy)]
pub(super) struct Ends {
    pub(super) low: f64,
    pub(super) high: f64,
}

/// Half width of a field's spread with the gauge by which it is set.
pub(super) fn spread(rig: &Rig, field: &str) -> f64 {
    let gauge = match field {
        "compressor.cut-in" | "compressor.cut-out" | "tank.filled-to" | "protection.second-switch" => {
            rig.protection.tank_gauge_error
        }
        "regulator.set" => rig.protection.set_gauge_error,
        _ => return rig.tolerance(field),
    };
    rig.tolerance(field) + gauge.value
}

/// The ends of the interval that is stated for a field and for the gauge by which it is set: the value itself
/// where none is.
pub(super) fn ends(rig: &Rig, field: &str, pressure: GaugePressure) -> Ends {
    let half = spread(rig, field);
    Ends { low: pressure.pascals() - half, high: pressure.pascals() + half }
}

/// Pressure of the full tank: where the switch stops the pump, or to what the bottle is filled.
pub(super) fn full(rig: &Rig) -> Ends {
    match &rig.source {
        AirSource::Compressor(compressor) => ends(rig, "compressor.cut-out", compressor.cut_out),
        AirSource::Bottle { filled_to } => ends(rig, "tank.filled-to", *filled_to),
    }
}

/// Factor by which a set point may creep up.
pub(super) fn creep(rig: &Rig) -> f64 {
    1.0 + rig.regulator.tolerance.value + rig.tolerance("regulator.tolerance")
}

/// Highest pressure at which a working regulator may stand: its set point at the high end, crept up.
pub(super) fn crept_set(rig: &Rig) -> f64 {
    ends(rig, "regulator.set", rig.regulator.set).high * creep(rig)
}

/// A check, not judged where a wall is too thin for its strength: what it is, its slenderness and its limit. A thin
/// wall may be weaker than its stress says, never stronger: it stands in the way of a pass only.
fn unless_too_thin(check: Check, wall: Option<(&'static str, Ratio, Ratio)>, before: &'static str) -> Check {
    let Some((part, slenderness, limit)) = wall.filter(|_| check.verdict != Verdict::Fail) else {
        return check;
    };
    Check::not_judged(
        check.id,
        check.dimension,
        sentence![
            "the ",
            part,
            " is so thin (",
            (slenderness.value, Dimension::Number),
            " times its thickness, limit ",
            (limit.value, Dimension::Number),
            ") that it may buckle before ",
            before,
            ": have it worked out, or take a thicker wall"
        ],
    )
}

/// A check against an upper limit.
pub(super) fn at_most(
    id: impl Into<CheckId>,
    value: f64,
    limit: f64,
    dimension: Dimension,
    advice: Sentence,
) -> Check {
    judged(id, value, limit, super::check::below(value, limit), dimension, advice)
}

/// A check against a lower limit.
pub(super) fn at_least(
    id: impl Into<CheckId>,
    value: f64,
    limit: f64,
    dimension: Dimension,
    advice: Sentence,
) -> Check {
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

/// A mass flow as a reader finds it in a data sheet and enters it: in brackets, as free air of the state that a flow
/// without one has, rounded up.
pub(super) fn as_free_air(kilograms_per_second: f64) -> Sentence {
    sentence![
        " (",
        Piece::AtLeast(kilograms_per_second / REFERENCE_DENSITY_KG_PER_M3, Dimension::FreeAirFlow),
        " of free air, ANR)"
    ]
}

/// A pressure that a reader is to keep at or above.
pub(super) fn at_least_bar(pascals: f64) -> Piece {
    Piece::AtLeast(pascals, Dimension::Pressure)
}

/// A pressure that a reader is to keep at or below.
pub(super) fn at_most_bar(pascals: f64) -> Piece {
    Piece::AtMost(pascals, Dimension::Pressure)
}

/// A pressure in a sentence.
pub(super) fn bar(pascals: f64) -> (f64, Dimension) {
    (pascals, Dimension::Pressure)
}
