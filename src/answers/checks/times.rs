//! How fast up, how fast down, and how hard the stops are hit.

use super::at_most;
use crate::answers::check::sentence;
use crate::answers::{Answers, Check, LowerAnswer, Piece, RaiseAnswer, Sentence, Verdict};
use crate::rig::Rig;
use crate::sizing::cylinder_force::Action;
use crate::units::Dimension;

pub(super) fn checks(rig: &Rig, answers: &Answers, checks: &mut Vec<Check>) {
    checks.push(raise_time(rig, answers));
    checks.push(lower_speed(rig, answers));
    checks.push(stop_energy(rig, answers));
}

fn raise_time(rig: &Rig, answers: &Answers) -> Check {
    const ID: &str = "raise time";
    let unknown = |advice| Check::not_judged(ID, Dimension::Time, advice);
    match answers.times.raise {
        None => unknown(sentence![
            "find the C and b, the Cv or the Kv of the raise valve and enter `line.raise`; or time the built rig, empty and loaded"
        ]),
        Some(RaiseAnswer::Stalls(travel)) => Check {
            id: ID.into(),
            verdict: Verdict::Fail,
            value: None,
            limit: rig.limits.raise_time.map(|limit| limit.value),
            margin: None,
            dimension: Dimension::Time,
            advice: sentence![
                "the raise stops at a travel of ",
                (travel.value, Dimension::Length),
                ": the regulator holds no more than the load needs there; raise `regulator.set` or the bore"
            ],
        },
        Some(RaiseAnswer::Arrives { total, held_back_by, .. }) => {
            let Some(limit) = rig.limits.raise_time else {
                return unknown(sentence![
                    "it takes ",
                    (total.value, Dimension::Time),
                    "; say how long it may take: `limits.raise-time`"
                ]);
            };
            let mut check = at_most(ID, total.value, limit.value, Dimension::Time, Sentence::default());
            check.advice = match check.verdict {
                Verdict::Pass => sentence!["held back by ", held_back_by, " where it is slowest"],
                _ => sentence!["held back by ", held_back_by, ": a wider one helps, or a higher set point"],
            };
            check
        }
    }
}

fn lower_speed(rig: &Rig, answers: &Answers) -> Check {
    const ID: &str = "lowering speed";
    let unknown = |advice| Check::not_judged(ID, Dimension::Speed, advice);
    match answers.times.lower {
        None if rig.cylinders.action == Action::Double => unknown(sentence![
            "an air return is not followed yet: time the way down of the built rig, loaded, from a low height first"
        ]),
        None => unknown(sentence![
            "find the C and b, the Cv, the Kv or the bore of the lower valve and enter `line.lower`"
        ]),
        Some(LowerAnswer::Sticks(travel)) => unknown(sentence![
            "friction may hold the load at a travel of ",
            (travel.value, Dimension::Length),
            ": see that it comes down on the built rig"
        ]),
        Some(LowerAnswer::Arrives { fastest, wanted, .. }) => {
            let Some(limit) = rig.limits.lower_speed else {
                return unknown(sentence![
                    "it comes down at up to ",
                    (fastest.value, Dimension::Speed),
                    "; say how fast it may: `limits.lower-speed`"
                ]);
            };
            let mut check = at_most(ID, fastest.value, limit.value, Dimension::Speed, Sentence::default());
            check.advice = match (check.verdict, wanted) {
                (Verdict::Pass, _) => sentence!["highest speed of the load on the way down"],
                (_, Some(wanted)) => sentence![
                    "a lower valve of C ",
                    Piece::AtMost(wanted.si(), Dimension::Conductance),
                    " keeps to the limit: throttle it at the cylinder's port"
                ],
                (_, None) => sentence!["throttle the way down at the cylinder's port"],
            };
            check
        }
    }
}

/// The harder of the two blows against what the stops take.
fn stop_energy(rig: &Rig, answers: &Answers) -> Check {
    const ID: &str = "blow at the stops";
    let up = match answers.times.raise {
        Some(RaiseAnswer::Arrives { end_energy, .. }) => Some(end_energy),
        _ => None,
    };
    let down = match answers.times.lower {
        Some(LowerAnswer::Arrives { end_energy, .. }) => Some(end_energy),
        _ => None,
    };
    let unknown = |advice| Check::not_judged(ID, Dimension::Energy, advice);
    let Some(hardest) = up.into_iter().chain(down).reduce(uom::si::f64::Energy::max) else {
        return unknown(sentence![
            "needs the data of the raise and lower valves: `line.raise`, `line.lower`"
        ]);
    };
    let Some(limit) = rig.limits.stop_energy else {
        return unknown(sentence![
            "find what the end stops take at each blow and enter `limits.stop-energy`: they may see ",
            (hardest.value, Dimension::Energy)
        ]);
    };
    let mut check = at_most(ID, hardest.value, limit.value, Dimension::Energy, Sentence::default());
    check.advice = match check.verdict {
        Verdict::Fail => sentence!["throttle the end of the way, or fit stops or dampers that take more"],
        _ => sentence!["moving mass at its highest speed, up or down"],
    };
    check
}
