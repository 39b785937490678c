//! The linkage at its worst point, what it leaves over at its end, and the work that goes through it.

use uom::si::f64::{Angle, Length};

use super::{Bench, Step};
use crate::Result;
use crate::formulas::{FOLDING_LEG, LEVER, LIFT_ALONG_THE_TRAVEL, SCISSOR, WORK_BALANCE};
use crate::sizing::linkage::{Linkage, Pin, Place, Scissor, Travel};

const RATIO: &str = "ratio of the linkage at the worst point";
const HEIGHT: &str = "height gained";

impl Bench<'_> {
    pub(super) fn linkage(&self, steps: &mut Vec<Step>) -> Result<()> {
        let travel = self.rig.travel()?;
        let at = self.answers.lift.worst.travel;
        match travel.linkage() {
            // The height of a direct load is its stroke, which is said with the capacity.
            Linkage::Direct(_) => {}
            Linkage::Lever(_) => self.lever(&travel, at, steps),
            Linkage::FoldingLeg(_) => self.folding_leg(&travel, at, steps),
            Linkage::Scissor(scissor) => self.scissor(&travel, scissor, at, steps),
        }
        self.along(&travel, steps);
        Ok(())
    }

    fn lever(&self, travel: &Travel<'_>, at: Length, steps: &mut Vec<Step>) {
        let linkage = travel.linkage();
        let pins = Pins::of(linkage, at);
        let load_arm = pins.between(Pin::Pivot, Pin::LoadPoint);
        steps.push(
            Step::new(RATIO, &LEVER, linkage.ratio(at).value)
                .with_some("p", pins.between(Pin::Pivot, Pin::CylinderPin))
                .with_some("f", pins.between(Pin::Pivot, Pin::CylinderFoot))
                .with_some("L", linkage.cylinder_length(at))
                .with_some("l", load_arm)
                .with_some("theta", linkage.angle(at)),
        );
        let (start, end) = ends(travel);
        steps.push(
            Step::new(HEIGHT, &LEVER, self.answers.lift.height)
                .with_some("l", load_arm)
                .with_some("theta0", start)
                .with_some("theta", end),
        );
    }

    fn folding_leg(&self, travel: &Travel<'_>, at: Length, steps: &mut Vec<Step>) {
        let linkage = travel.linkage();
        let pins = Pins::of(linkage, at);
        let links = |step: Step| {
            step.with_some("a", pins.between(Pin::Foot, Pin::Knee))
                .with_some("b", pins.between(Pin::Knee, Pin::Top))
                .with_some("e", pins.place(Pin::Top).map(|top| top.x))
        };
        steps.push(
            links(Step::new(RATIO, &FOLDING_LEG, linkage.ratio(at).value))
                .with_some("kappa", linkage.angle(at))
                .with_some("c", pins.between(Pin::Knee, Pin::CylinderFoot))
                .with_some("d", pins.between(Pin::Knee, Pin::CylinderPin))
                .with_some("L", linkage.cylinder_length(at)),
        );
        let (start, end) = ends(travel);
        steps.push(
            links(Step::new(HEIGHT, &FOLDING_LEG, self.answers.lift.height))
                .with_some("kappa0", start)
                .with_some("kappa", end),
        );
    }

    fn scissor(&self, travel: &Travel<'_>, scissor: &Scissor, at: Length, steps: &mut Vec<Step>) {
        let linkage = travel.linkage();
        let vector = scissor.cylinder_vector(at);
        let arms = |step: Step| step.with("n", scissor.stages()).with("a", scissor.arm_length());
        steps.push(
            arms(Step::new(RATIO, &SCISSOR, linkage.ratio(at).value))
                .with_some("theta", linkage.angle(at))
                .with_some("v_x", vector.map(|(along, _)| along.x))
                .with_some("v_y", vector.map(|(along, _)| along.y))
                .with_some("w_x", vector.map(|(_, rate)| rate.x))
                .with_some("w_y", vector.map(|(_, rate)| rate.y)),
        );
        let (start, end) = ends(travel);
        steps.push(
            arms(Step::new(HEIGHT, &SCISSOR, self.answers.lift.height))
                .with_some("theta0", start)
                .with_some("theta", end),
        );
    }

    /// Force and energy left over at the end, and the balance of work.
    fn along(&self, travel: &Travel<'_>, steps: &mut Vec<Step>) {
        let (cylinders, lift) = (&self.rig.cylinders, &self.answers.lift);
        let double = self.double_acting();
        steps.push(
            Step::new("force available", &LIFT_ALONG_THE_TRAVEL, lift.available)
                .with("N", cylinders.count)
                .with("D", cylinders.bore)
                .with("p_move", lift.moving_pressure)
                .with("mu", cylinders.friction)
                .with_some("p_back", double.map(|()| self.back_pressure()))
                .with_some("d", double.map(|()| cylinders.rod)),
        );
        steps.push(
            Step::new("spare force at the end", &LIFT_ALONG_THE_TRAVEL, lift.spare_at_end)
                .with("F_avail", lift.available)
                .with("F_end", travel.force(travel.end())),
        );
        let work = travel.work_balance();
        let eta = self.rig.linkage.efficiency;
        steps.push(
            Step::new("energy at the stop, at most", &LIFT_ALONG_THE_TRAVEL, lift.energy_at_stop)
                .with("F_avail", lift.available)
                .with("x_end", travel.end())
                .with("E_load", work.on_load)
                .with("E_arms", work.on_arms)
                .with("eta", eta)
                .with("E_springs", work.in_springs),
        );
        steps.push(
            Step::new("work of the cylinders", &WORK_BALANCE, work.by_cylinders)
                .with("E_load", work.on_load)
                .with("E_arms", work.on_arms)
                .with("eta", eta),
        );
    }
}

/// The angle of the linkage at start and end of the travel.
fn ends(travel: &Travel<'_>) -> (Option<Angle>, Option<Angle>) {
    let linkage = travel.linkage();
    (linkage.angle(Length::default()), linkage.angle(travel.end()))
}

/// The pins of a linkage at one travel.
struct Pins(Vec<(Pin, Place)>);

impl Pins {
    fn of(linkage: &Linkage, at: Length) -> Self {
        Self(linkage.pins(at))
    }

    fn place(&self, pin: Pin) -> Option<Place> {
        self.0.iter().find(|(known, _)| *known == pin).map(|&(_, place)| place)
    }

    fn between(&self, one: Pin, other: Pin) -> Option<Length> {
        let (one, other) = (self.place(one)?, self.place(other)?);
        Some((one.x - other.x).hypot(one.y - other.y))
    }
}
