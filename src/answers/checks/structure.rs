//! Rods, beams and the stand.

use super::{at_least, at_most, joint, unless_too_thin};
use crate::answers::check::sentence;
use crate::answers::structure::{WorstStand, beam_check};
use crate::answers::{Answers, BeamAnswer, Check, Sentence, Verdict};
use crate::rig::Rig;
use crate::sizing::tipping::Edge;
use crate::units::Dimension;

pub(super) fn checks(rig: &Rig, answers: &Answers, checks: &mut Vec<Check>) {
    rod(rig, answers, checks);
    joint::links(rig, answers, checks);
    frame(rig, answers, checks);
    joint::pins(rig, answers, checks);
    joint::welds(answers, checks);
    checks.push(stand(rig, answers));
}

/// Safety of the rods at the set point and at the pressure of a regulator stuck open.
fn rod(rig: &Rig, answers: &Answers, checks: &mut Vec<Check>) {
    let ids = ["rod column", "rod column, regulator stuck open"];
    let Some(rod) = &answers.structure.rod else {
        for id in ids {
            checks.push(Check::not_judged(
                id,
                Dimension::Number,
                sentence!["measure the closed cylinder from pin to pin and enter `cylinders.closed-length`"],
            ));
        }
        return;
    };
    let limit = rig.limits.column_safety.value;
    for (id, safety, push) in
        [(ids[0], rod.safety_at_set, rod.push_at_set), (ids[1], rod.safety_at_fault, rod.push_at_fault)]
    {
        let mut check = at_least(id, safety.value, limit, Dimension::Number, Sentence::default());
        check.advice = match check.verdict {
            Verdict::Fail => sentence![
                "over ",
                (rod.length.value, Dimension::Length),
                " the rod bows out at ",
                (rod.critical.force.value, Dimension::Force),
                " and may see ",
                (push.value, Dimension::Force),
                ": take a thicker rod, a shorter stroke or better held ends"
            ],
            _ => sentence![
                "a push of ",
                (push.value, Dimension::Force),
                " against ",
                (rod.critical.force.value, Dimension::Force),
                " at which a straight rod bows out"
            ],
        };
        checks.push(check);
    }
}

fn frame(rig: &Rig, answers: &Answers, checks: &mut Vec<Check>) {
    if answers.structure.beams.is_empty() {
        checks.push(Check::not_judged(
            "frame",
            Dimension::Fraction,
            sentence!["describe the beams that carry the load, one [[frame]] each"],
        ));
    }
    for beam in &answers.structure.beams {
        checks.push(beam_yield(rig, beam));
    }
}

fn beam_yield(rig: &Rig, beam: &BeamAnswer) -> Check {
    let id = beam_check(&beam.name);
    let limit = rig.limits.yield_ratio.value;
    let mut check = at_most(id, beam.yield_ratio.value, limit, Dimension::Fraction, Sentence::default());
    check.advice = match check.verdict {
        Verdict::Fail => sentence![
            "stress ",
            (beam.stress.value, Dimension::Stress),
            " in ",
            beam.part.clone(),
            ", bends ",
            (beam.deflection.value, Dimension::Length),
            ": take a deeper section, a shorter span, or reinforce it"
        ],
        _ => sentence![
            "stress ",
            (beam.stress.value, Dimension::Stress),
            " in ",
            beam.part.clone(),
            ", bends ",
            (beam.deflection.value, Dimension::Length)
        ],
    };
    unless_too_thin(check, beam.thin_wall, "the steel yields")
}

fn stand(rig: &Rig, answers: &Answers) -> Check {
    const ID: &str = "tipping";
    let Some(WorstStand { travel: at, load: on_it, stability }) = answers.structure.stand else {
        return Check::not_judged(
            ID,
            Dimension::Number,
            sentence!["describe what the rig stands on and where its weights are: [base]"],
        );
    };
    // A rig whose load hangs out to one side may be weakest to the other without it.
    let is_empty = on_it.mass <= rig.load.moving * (1.0 + 1e-9);
    let with = if is_empty { ", without the load" } else { ", with the load" };
    let edge = match stability.edge {
        Edge::Right => "right",
        Edge::Left => "left",
        Edge::Front => "front",
        Edge::Rear => "rear",
    };
    let limit = rig.limits.stability.value;
    let Some(factor) = stability.factor else {
        return Check::not_judged(
            ID,
            Dimension::Number,
            sentence![
                "on level ground with no push nothing turns it over: say a slope or a side force that it must bear"
            ],
        );
    };
    let mut check = at_least(ID, factor.value, limit, Dimension::Number, Sentence::default());
    check.advice = match check.verdict {
        Verdict::Fail => sentence![
            "it tips over its ",
            edge,
            " edge at a travel of ",
            (at.value, Dimension::Length),
            with,
            ": widen the base, lower the weights, or do not use it on such ground"
        ],
        _ => sentence![
            "weakest over its ",
            edge,
            " edge, at a travel of ",
            (at.value, Dimension::Length),
            with
        ],
    };
    check
}
