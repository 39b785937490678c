//! Dead points, the lock of a leg, the feet of a scissor, and the height that is left.

use std::f64::consts::FRAC_PI_4;

use uom::si::f64::Area;

use super::{at_least, at_most};
use crate::answers::check::sentence;
use crate::answers::{Answers, Check, Piece, Sentence, Verdict};
use crate::rig::{Rig, Track};
use crate::sizing::cylinder_force::Action;
use crate::sizing::linkage::{Linkage, Pin, Travel};
use crate::units::Dimension;

/// A leg that must lock stands at least so far past straight, in radians: 2 degrees. Estimate of our own.
const LEAST_PAST_STRAIGHT: f64 = 2.0 * std::f64::consts::PI / 180.0;

pub(super) fn checks(rig: &Rig, travel: &Travel<'_>, answers: &Answers, checks: &mut Vec<Check>) {
    checks.extend(dead_point(rig, travel));
    checks.extend(over_centre(rig, travel, answers));
    checks.extend(pull_over_straight(rig, travel, answers));
    checks.extend(feet_of_the_scissor(rig, travel));
    checks.push(net_height(rig, answers));
}

/// The dead point that comes nearest. A leg that is meant to pass straight is judged by its lock instead.
fn dead_point(rig: &Rig, travel: &Travel<'_>) -> Option<Check> {
    let locks = travel.linkage().over_centre().is_some();
    let nearest = travel
        .linkage()
        .dead_points()
        .into_iter()
        .filter(|point| !(locks && point.name == "knee straight"))
        .min_by(|a, b| a.left.value.total_cmp(&b.left.value))?;
    let limit = rig.limits.dead_point.value;
    let mut check = at_least("dead point", nearest.left.value, limit, Dimension::Angle, Sentence::default());
    check.advice = match check.verdict {
        Verdict::Pass => sentence!["nearest: ", nearest.name],
        _ => sentence![
            nearest.name,
            " at a travel of ",
            (nearest.travel.value, Dimension::Length),
            ": near there the linkage jams or no longer moves the load; change its angles"
        ],
    };
    Some(check)
}

fn over_centre(rig: &Rig, travel: &Travel<'_>, answers: &Answers) -> Option<Check> {
    let lock = travel.linkage().over_centre()?;
    let mut check = at_least(
        "over-centre lock",
        lock.past.value,
        LEAST_PAST_STRAIGHT,
        Dimension::Angle,
        Sentence::default(),
    );
    if answers.lift.stroke_used < travel.end() * (1.0 - 1e-9) {
        check.verdict = Verdict::Fail;
        check.advice = sentence![
            "the valve is closed as the load arrives, before the leg passes straight: it does not lock; hold the valve open (`cycle.end-pressure`)"
        ];
        return Some(check);
    }
    if check.verdict == Verdict::Pass && rig.cylinders.action == Action::Single {
        check.verdict = Verdict::Caution;
        check.advice = sentence![
            "nothing pulls the leg back over straight: a single-acting cylinder only pushes, so plan how it is unlocked; the load must rise by ",
            (lock.rise_to_unlock.value, Dimension::Length)
        ];
        return Some(check);
    }
    check.advice = match check.verdict {
        Verdict::Fail => {
            sentence!["a leg so little past straight can fold when it is knocked: move its stop further over"]
        }
        _ => sentence![
            "the load must rise by ",
            (lock.rise_to_unlock.value, Dimension::Length),
            " before the leg can fold; a pin or latch must hold it besides"
        ],
    };
    Some(check)
}

/// A leg past straight comes back only if the rod sides pull it over, the load a little up with it.
fn pull_over_straight(rig: &Rig, travel: &Travel<'_>, answers: &Answers) -> Option<Check> {
    travel.linkage().over_centre()?;
    let cylinders = &rig.cylinders;
    if cylinders.action == Action::Single {
        return None;
    }
    let (needed, moving) = (travel.greatest_pull(), answers.lift.moving_pressure);
    let there = cylinders.pulled_force(moving);
    let mut check = at_most(
        "pull back over straight",
        needed.value,
        there.value,
        Dimension::Force,
        sentence!["what the rod sides give; the load is raised a little before it comes down"],
    );
    if check.verdict != Verdict::Pass {
        // Ar = needed / (N p (1 - mu)), by the bore with this rod or by the rod in this bore.
        let area: Area = cylinders.ring_area() / f64::from(cylinders.count) * (needed / there);
        let (bore, rod) = (cylinders.bore * cylinders.bore, cylinders.rod * cylinders.rod);
        let rings = area / FRAC_PI_4;
        let mut advice = sentence!["the rod sides give too little to pull the leg back over straight: "];
        if check.verdict == Verdict::Caution {
            advice = sentence!["the rod sides hardly give enough to pull the leg back over straight: "];
        }
        if bore > rings {
            let thinner = Piece::AtMost((bore - rings).sqrt().value, Dimension::Length);
            advice.0.extend(["take a rod of at most ".into(), thinner, ", ".into()]);
        }
        let wider = Piece::AtLeast((rod + rings).sqrt().value, Dimension::Length);
        advice.0.extend([
            "take a bore of at least ".into(),
            wider,
            " with this rod, or set `stop-angle` closer to straight".into(),
        ]);
        check.advice = advice;
    }
    Some(check)
}

/// A cylinder that pushes up on an arm may lift a foot, which a plain roller cannot hold.
fn feet_of_the_scissor(rig: &Rig, travel: &Travel<'_>) -> Option<Check> {
    const ID: &str = "feet of the scissor";
    if !matches!(travel.linkage(), Linkage::Scissor(_)) {
        return None;
    }
    let pins = [Pin::SlidingFoot, Pin::FixedFoot, Pin::PlatformRoller];
    let lifted = travel.worst_hold_down(&pins);
    let greatest = lifted.iter().map(|worst| worst.force.value).fold(0.0, f64::max);
    let mut check = Check::not_judged(ID, Dimension::Force, Sentence::default());
    check.value = Some(greatest);
    if lifted.is_empty() {
        check.verdict = Verdict::Pass;
        check.advice = sentence![
            "feet and roller press on what they stand on along the whole travel, with this load in the middle"
        ];
        return Some(check);
    }
    let mut advice = Sentence::default();
    for (index, worst) in lifted.iter().enumerate() {
        let before = if index == 0 { "the " } else { ", the " };
        advice.0.extend([
            before.into(),
            worst.pin.to_string().into(),
            " must be held down with up to ".into(),
            Piece::AtLeast(worst.force.value, Dimension::Force),
        ]);
    }
    let rest = match (rig.linkage.track, rig.is_given("linkage.track")) {
        (Track::Captive, _) => {
            check.verdict = Verdict::Pass;
            "; the captive track and its bolts must bear that"
        }
        (Track::Open, true) => {
            check.verdict = Verdict::Fail;
            ": on an open track it lifts off and the table folds; hold it from above (`linkage.track = \"captive\"`), or \
             move the cylinder so that it pushes less upright"
        }
        (Track::Open, false) => {
            check.verdict = Verdict::Caution;
            ": on a plain roller it lifts off and the table folds; build a track that holds it from above, and say so \
             with `linkage.track = \"captive\"`"
        }
    };
    advice.0.push(rest.into());
    check.advice = advice;
    Some(check)
}

fn net_height(rig: &Rig, answers: &Answers) -> Check {
    const ID: &str = "net height";
    let Some(net) = answers.structure.net_height.map(|height| height.net) else {
        return Check::not_judged(
            ID,
            Dimension::Length,
            sentence![
                "describe the beams that carry the load ([[frame]]): what they bend is taken off the height"
            ],
        );
    };
    let lift = rig.load.lift.value;
    let mut check = at_least(ID, net.value, lift, Dimension::Length, Sentence::default());
    check.advice = match check.verdict {
        Verdict::Fail => sentence![
            "bending, take-up, sink and play eat ",
            (answers.lift.height.value - net.value, Dimension::Length),
            " of the height: stiffen the frame or take a longer stroke"
        ],
        _ => sentence![
            "what is left of ",
            (answers.lift.height.value, Dimension::Length),
            " after take-up, bending, sink and play"
        ],
    };
    check
}
