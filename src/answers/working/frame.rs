//! The beams of the frame: section, stiffness, moment, stress, deflection.
//!
//! A moment or a deflection is shown where it has a closed form that a reader can redo: one load on a
//! cantilever or on a beam that rests on both ends.

use uom::si::f64::{Force, Length, Ratio};

use super::{Amount, Bench, Step};
use crate::Result;
use crate::answers::BeamAnswer;
use crate::formulas::{BEAM, DEFLECTION, REINFORCEMENT, SECTION};
use crate::frame::beam::Support;
use crate::frame::material::Place;
use crate::frame::reinforcement::{Bond, Member, Part};
use crate::frame::section::{Axis, Shape};
use crate::rig::FrameBeam;

impl Bench<'_> {
    pub(super) fn frame(&self, steps: &mut Vec<Step>) -> Result<()> {
        for (beam, answer) in self.rig.frame.iter().zip(&self.answers.structure.beams) {
            section(beam, steps)?;
            stiffness(beam, steps)?;
            let single = Single::of(beam, answer);
            if let Some(single) = &single {
                moment(beam, single, answer, steps);
            }
            stress(beam, answer, steps)?;
            if let Some(single) = &single {
                deflection(beam, single, answer, steps);
            }
        }
        Ok(())
    }
}

/// Second moment of a section of one part, where its shape has a short formula.
fn section(beam: &FrameBeam, steps: &mut Vec<Step>) -> Result<()> {
    let parts: Vec<&Part> = beam.member.parts().collect();
    let [part] = parts.as_slice() else { return Ok(()) };
    let bending = *part.shape.section()?.about(part.axis);
    let step = Step::new(named("second moment", beam), &SECTION, bending.second_moment);
    let sides = |step: Step, width: Length, height: Length| match part.axis {
        Axis::Level => step.with("b", width).with("h", height),
        Axis::Upright => step.with("b", height).with("h", width),
    };
    let tube = |step: Step, wall: Length, (outer, inner): (Length, Length)| {
        step.with("t", wall).with("R_o", outer).with("R_i", inner)
    };
    steps.push(match part.shape {
        Shape::SquareTube { side, wall, corners } => tube(sides(step, side, side), wall, corners.radii(wall)),
        Shape::RectangularTube { width, height, wall, corners } => {
            tube(sides(step, width, height), wall, corners.radii(wall))
        }
        Shape::RoundTube { diameter, wall } => step.with("D", diameter).with("t", wall),
        Shape::RoundBar { diameter } => step.with("D", diameter),
        Shape::SquareBar { side } => sides(step, side, side),
        Shape::FlatBar { width, height } => sides(step, width, height),
        Shape::Angle { .. } | Shape::Channel { .. } => return Ok(()),
    });
    Ok(())
}

/// Bending stiffness of one or two parts.
fn stiffness(beam: &FrameBeam, steps: &mut Vec<Step>) -> Result<()> {
    let parts: Vec<(&Part, Length)> = beam.member.parts().zip(beam.member.heights()).collect();
    let symbols: [[&'static str; 4]; 2] = [["E1", "I1", "A1", "y1"], ["E2", "I2", "A2", "y2"]];
    if parts.len() > symbols.len() {
        return Ok(());
    }
    let apart = parts.len() > 1 && beam.member.bond() == Bond::Welded;
    let mut step = Step::new(named("bending stiffness", beam), &REINFORCEMENT, beam.member.rigidity());
    for ((part, height), [modulus, second_moment, area, place]) in parts.into_iter().zip(symbols) {
        let section = part.shape.section()?;
        step = step
            .with(modulus, Amount::stress(part.material.modulus))
            .with(second_moment, section.about(part.axis).second_moment);
        if apart {
            step = step.with(area, section.area).with(place, height);
        }
    }
    steps.push(step);
    Ok(())
}

/// Stress and yield ratio in the part that is worst off.
fn stress(beam: &FrameBeam, answer: &BeamAnswer, steps: &mut Vec<Step>) -> Result<()> {
    let stresses = beam.member.stresses(answer.moment, Place::Plain)?;
    // The first of equals, as the answer has it.
    let worst = stresses
        .iter()
        .enumerate()
        .reduce(|a, b| if b.1.yield_ratio > a.1.yield_ratio { b } else { a })
        .map(|(index, _)| index);
    let Some((index, part)) = worst.and_then(|index| Some((index, beam.member.parts().nth(index)?))) else {
        return Ok(());
    };
    steps.push(
        Step::new(named("stress", beam), &BEAM, Amount::stress(answer.stress))
            .with("M", answer.moment.abs())
            .with("E", Amount::stress(part.material.modulus))
            .with("c", farthest_fibre(&beam.member, part, index)?)
            .with("EI", beam.member.rigidity()),
    );
    steps.push(
        Step::new(named("yield ratio", beam), &BEAM, answer.yield_ratio)
            .with("sigma", Amount::stress(answer.stress))
            .with("Sy", Amount::stress(part.material.yield_strength)),
    );
    Ok(())
}

/// Distance of a part's farthest fibre: from its own middle, or from the common axis if welded.
fn farthest_fibre(member: &Member, part: &Part, index: usize) -> Result<Length> {
    let bending = *part.shape.section()?.about(part.axis);
    let arm = member.heights().nth(index).unwrap_or_default() - member.neutral_axis();
    Ok(match member.bond() {
        Bond::Unjoined => bending.extreme_fibre(),
        Bond::Welded => {
            let (up, down) = (bending.fibre_above + arm, bending.fibre_below - arm);
            if up > down { up } else { down }
        }
    })
}

/// The one load of a beam whose moment and deflection have a closed form.
struct Single {
    force: Force,
    at: Length,
    own: Force,
    held: Held,
}

#[derive(Clone, Copy, PartialEq)]
enum Held {
    Cantilever,
    BothEnds,
}

impl Single {
    fn of(beam: &FrameBeam, answer: &BeamAnswer) -> Option<Self> {
        let &[(at, _)] = beam.loads.as_slice() else { return None };
        let held = match beam.support {
            Support::Cantilever => Held::Cantilever,
            Support::SimplySupported => Held::BothEnds,
            _ => return None,
        };
        let own =
            if beam.own_weight { beam.member.weight_per_length() * beam.span } else { Force::default() };
        Some(Self { force: answer.force, at, own, held })
    }

    /// Distance from the right end.
    fn other(&self, span: Length) -> Length {
        span - self.at
    }

    /// Whether the moment of a beam that rests on both ends is greatest at the load: the shear changes its
    /// sign there.
    fn is_greatest_at_load(&self, span: Length) -> bool {
        let left: Force = self.force * (self.other(span) / span) + 0.5 * self.own;
        let borne: Force = self.own * (self.at / span);
        left >= borne && left <= borne + self.force
    }

    fn inputs(&self, step: Step, force: Force, span: Length) -> Step {
        let own = (self.own != Force::default()).then_some(self.own);
        step.with("F", force).with("a", self.at).with_some("W", own).with("L", span)
    }
}

fn moment(beam: &FrameBeam, single: &Single, answer: &BeamAnswer, steps: &mut Vec<Step>) {
    let other = match single.held {
        Held::Cantilever => None,
        Held::BothEnds if single.is_greatest_at_load(beam.span) => Some(single.other(beam.span)),
        Held::BothEnds => return,
    };
    let step = Step::new(named("bending moment", beam), &BEAM, answer.moment.abs());
    steps.push(
        single
            .inputs(step, single.force, beam.span)
            .with_some("b", other)
            .with("phi", beam.dynamic_factor.value),
    );
}

fn deflection(beam: &FrameBeam, single: &Single, answer: &BeamAnswer, steps: &mut Vec<Step>) {
    let (stiffness, force) = (beam.member.rigidity(), answer.force_at_rest);
    let other = (single.held == Held::BothEnds).then(|| single.other(beam.span));
    let bears = beam.loads.iter().any(|load| load.1 > Ratio::default());
    if bears {
        let step =
            Step::new(named("deflection under the load", beam), &DEFLECTION, answer.deflection_at_load);
        steps.push(single.inputs(step, force, beam.span).with_some("b", other).with("EI", stiffness));
    }
    let step = Step::new(named("greatest deflection", beam), &DEFLECTION, answer.deflection);
    match other {
        None => steps.push(single.inputs(step, force, beam.span).with("EI", stiffness)),
        Some(other) if single.own == Force::default() => {
            let lesser = if single.at < other { single.at } else { other };
            let step = step.with("F", force).with("e", lesser);
            steps.push(step.with("L", beam.span).with("EI", stiffness));
        }
        Some(_) => {}
    }
}

fn named(figure: &str, beam: &FrameBeam) -> String {
    format!("{figure}, {}", beam.name)
}
