//! Slender links, pins and welds.

use super::{at_least, at_most, unless_too_thin};
use crate::answers::check::sentence;
use crate::answers::{Answers, Check, Links, PinAnswer, Sentence, Verdict, WeldAnswer};
use crate::rig::Rig;
use crate::units::Dimension;

const LINKS: &str = "slender links";

/// Links and arms under thrust, as far as their cross-section is known.
pub(super) fn links(rig: &Rig, answers: &Answers, checks: &mut Vec<Check>) {
    if let Some(links) = &answers.structure.links {
        checks.push(judged_links(rig, links));
        return;
    }
    let struts = answers.structure.struts.iter();
    let worst = struts.max_by(|a, b| (a.thrust * a.length).value.total_cmp(&(b.thrust * b.length).value));
    if let Some(strut) = worst {
        checks.push(Check::not_judged(
            LINKS,
            Dimension::Number,
            sentence![
                "enter `linkage.arm-section` and `linkage.arm-steel`: the ",
                strut.member.to_string(),
                " bears a thrust of ",
                (strut.thrust.value, Dimension::Force),
                " over ",
                (strut.length.value, Dimension::Length)
            ],
        ));
    }
}

fn judged_links(rig: &Rig, links: &Links) -> Check {
    let limit = rig.limits.column_safety.value;
    let mut check = at_least(LINKS, links.safety.value, limit, Dimension::Number, Sentence::default());
    let mut words = sentence![
        "the ",
        links.member.to_string(),
        " bears a thrust of ",
        (links.thrust.value, Dimension::Force),
        "; an arm of ",
        (links.length.value, Dimension::Length),
        " bows out at ",
        (links.critical.force.value, Dimension::Force)
    ];
    if links.side_by_side > 1 {
        words.0.extend(sentence![", and ", f64::from(links.side_by_side).to_string(), " share it"].0);
    }
    let rest = if check.verdict == Verdict::Fail {
        ": take a stouter section, a shorter link, or more arms side by side; its bending is not judged"
    } else {
        "; what bends it, such as a bracket or a pin between its ends, is not judged"
    };
    words.0.push(rest.into());
    check.advice = words;
    unless_too_thin(check, links.thin_wall, "the link does")
}

/// Stress over strength in pins and their plates.
pub(super) fn pins(rig: &Rig, answers: &Answers, checks: &mut Vec<Check>) {
    checks.extend(answers.structure.pins.iter().map(|pin| judged_pin(rig, pin)));
}

fn judged_pin(rig: &Rig, pin: &PinAnswer) -> Check {
    let limit = rig.limits.yield_ratio.value;
    let id = format!("pin: {}", pin.name);
    let mut check = at_most(id, pin.ratio.value, limit, Dimension::Fraction, Sentence::default());
    let stress = &pin.stress;
    let plates = stress.bearing_ratio.value >= pin.ratio.value;
    let mut words = sentence!["a force of ", (pin.force.value, Dimension::Force)];
    if let Some(through) = pin.through {
        let at = (through.travel.value, Dimension::Length);
        words.0.extend(sentence![" from the ", through.pin.to_string(), " at a travel of ", at].0);
    }
    words.0.extend(
        sentence![
            ": shear ",
            (stress.shear.value, Dimension::Stress),
            ", bending ",
            (stress.bending.value, Dimension::Stress),
            ", bearing ",
            (stress.greatest_bearing().value, Dimension::Stress)
        ]
        .0,
    );
    if check.verdict == Verdict::Fail {
        words.0.push(
            if plates {
                "; the plates give way first: make them thicker, or the pin"
            } else {
                "; the pin gives way first: take a thicker one, or set the plates closer"
            }
            .into(),
        );
    }
    check.advice = words;
    check
}

/// Stress in welds over their strength.
pub(super) fn welds(answers: &Answers, checks: &mut Vec<Check>) {
    checks.extend(answers.structure.welds.iter().map(judged_weld));
}

fn judged_weld(weld: &WeldAnswer) -> Check {
    let id = format!("weld: {}", weld.name);
    let Some((strength, ratio)) = weld.strength else {
        return Check::not_judged(
            id,
            Dimension::Fraction,
            sentence!["no rule at hand gives the strength of a weld in this metal: have it worked out"],
        );
    };
    let mut check = at_most(id, ratio.value, 1.0, Dimension::Fraction, Sentence::default());
    let mut words = sentence![
        "stress ",
        (weld.stress.value, Dimension::Stress),
        " in the throat, strength ",
        (strength.value, Dimension::Stress)
    ];
    if check.verdict == Verdict::Fail {
        words.0.push(": make the weld thicker or longer, or the part that it holds deeper".into());
    }
    check.advice = words;
    check
}
