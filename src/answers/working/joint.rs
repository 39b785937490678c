//! Links, pins and welds.

use uom::si::f64::Length;

use super::{Amount, Bench, Step};
use crate::Result;
use crate::answers::{Links, PinAnswer, WeldAnswer};
use crate::formulas::{PIN_AND_WELD, SLENDER_LINKS};
use crate::frame::joint::{correlation_factor, weld_strength};
use crate::rig::{LinkArms, RigPin, RigWeld, WeldJoint};

impl Bench<'_> {
    pub(super) fn joints(&self, steps: &mut Vec<Step>) -> Result<()> {
        let structure = &self.answers.structure;
        if let (Some(arms), Some(links)) = (&self.rig.arms, &structure.links) {
            slender(arms, links, steps)?;
        }
        for (pin, answer) in self.rig.pins.iter().zip(&structure.pins) {
            stresses(pin, answer, steps);
        }
        for (weld, answer) in self.rig.welds.iter().zip(&structure.welds) {
            throat(weld, answer, steps);
        }
        Ok(())
    }
}

fn slender(arms: &LinkArms, links: &Links, steps: &mut Vec<Step>) -> Result<()> {
    let section = arms.shape.section()?;
    steps.push(
        Step::new("critical force of a link", &SLENDER_LINKS, links.critical.force)
            .with("E", Amount::stress(arms.material.modulus))
            .with("I", section.least_second_moment())
            .with("L", links.length)
            .with("A", section.area)
            .with("Sy", Amount::stress(arms.material.yield_strength)),
    );
    steps.push(
        Step::new("safety of the links", &SLENDER_LINKS, links.safety.value)
            .with("P_crit", links.critical.force)
            .with("n", links.side_by_side)
            .with("T", links.thrust),
    );
    Ok(())
}

fn stresses(pin: &RigPin, answer: &PinAnswer, steps: &mut Vec<Step>) {
    let (joint, stress, name) = (&pin.joint, &answer.stress, &pin.name);
    let across = |figure: &str, amount| {
        Step::new(format!("{figure}, {name}"), &PIN_AND_WELD, Amount::stress(amount))
            .with("F", answer.force)
            .with("d", joint.diameter)
    };
    steps.push(across("shear stress of the pin", stress.shear));
    steps.push(
        across("bending stress of the pin", stress.bending)
            .with("b", joint.middle)
            .with("c", joint.gap)
            .with("a", joint.outer),
    );
    let in_the_middle = stress.middle_bearing > stress.outer_bearing;
    let bearing = stress.greatest_bearing();
    let step = across("greatest pressure on the plates", bearing);
    steps.push(if in_the_middle { step.with("b", joint.middle) } else { step.with("a", joint.outer) });
    let (own, plates) = (joint.pin.yield_strength, joint.plates.yield_strength);
    steps.push(
        Step::new(format!("stress over strength of the pin, {name}"), &PIN_AND_WELD, answer.ratio)
            .with("tau", Amount::stress(stress.shear))
            .with("sigma", Amount::stress(stress.bending))
            .with("Sy", Amount::stress(own))
            .with("p_most", Amount::stress(bearing))
            .with("Sy_least", Amount::stress(if own < plates { own } else { plates })),
    );
}

fn throat(weld: &RigWeld, answer: &WeldAnswer, steps: &mut Vec<Step>) {
    let step = Step::new(
        format!("stress in the throat, {}", weld.name),
        &PIN_AND_WELD,
        Amount::stress(answer.stress),
    );
    steps.push(match &weld.joint {
        WeldJoint::Fillet { weld, force } => {
            let counts: Length = weld.length - f64::from(weld.open_ends) * weld.throat;
            step.with("F_w", *force).with("a_w", weld.throat).with("l_w", counts)
        }
        WeldJoint::Tube { weld, .. } => step
            .with("V", answer.force)
            .with("M_w", answer.moment)
            .with("a_w", weld.throat)
            .with("B", weld.width)
            .with("H", weld.height),
    });
    if let (Some(strength), Some(tensile)) = (weld_strength(&weld.material), weld.material.tensile_strength) {
        steps.push(
            Step::new(
                format!("strength of the weld, {}", weld.name),
                &PIN_AND_WELD,
                Amount::stress(strength),
            )
            .with("fu", Amount::stress(tensile))
            .with("beta_w", correlation_factor(&weld.material)),
        );
    }
}
