//! Force, pressures and the set point.

use std::borrow::Cow;

use uom::si::f64::{Force, Length, Pressure, Ratio};

use super::{Bench, Step};
use crate::Result;
use crate::answers::lift::{BreaksLoose, Hardest, breaks_loose, ceilings, hardest};
use crate::answers::{BoreAnswer, Lift};
use crate::formulas::{
    BORE, BREAKING_LOOSE, CAPACITY, Formula, LIFT_HEIGHT, LOAD, LOAD_PRESSURE, LOAD_RATIO, MOVING_PRESSURE,
    NEEDED_PRESSURE, RATED_CAPACITY, SET_POINT, THRUST,
};
use crate::rig::Rig;
use crate::sizing::cylinder_force::{Action, Cylinders};
use crate::sizing::linkage::{Limit, Linkage, Travel};
use crate::sizing::regulator_setpoint::Window;
use crate::sizing::travel::standard_gravity;
use crate::units::GaugePressure;

impl Bench<'_> {
    pub(super) fn lift(&self, steps: &mut Vec<Step>) -> Result<()> {
        let regulator = &self.rig.regulator;
        let lift = &self.answers.lift;
        let travel = self.rig.travel()?;
        self.load(lift, &hardest(self.rig, lift)?, &travel, steps);
        steps.push(
            Step::new("moving pressure", &MOVING_PRESSURE, regulator.moving_pressure())
                .with("p_set", regulator.set)
                .with("droop", regulator.droop),
        );
        let cylinders = &self.rig.cylinders;
        steps.push(
            Step::new("theoretical thrust at the set point", &THRUST, cylinders.thrust(regulator.set))
                .with("N", cylinders.count)
                .with("D", cylinders.bore)
                .with("p_set", regulator.set),
        );
        self.capacity(lift, &travel, steps);
        self.set_point(lift, &self.answers.window, steps);
        Ok(())
    }

    /// Says that the rod side counts.
    pub(super) fn double_acting(&self) -> Option<()> {
        (self.rig.cylinders.action == Action::Double).then_some(())
    }

    /// What the arms of the linkage ask at a travel, before its efficiency: `g sum m_i dh_i/dx`.
    pub(super) fn arms(&self, travel: &Travel<'_>, at: Length) -> Force {
        let spring = self.rig.cylinders.spring_force(at);
        let raised = (travel.force(at) - spring) * self.rig.linkage.efficiency;
        raised - travel.weight(at) * travel.linkage().ratio(at)
    }

    /// The travel at which a figure holds: `at` itself, or a hair before it where the load steps down there and
    /// the greatest force is that before the step.
    fn held_at(&self, at: Length, holds: impl Fn(Length) -> bool) -> Length {
        let before = at - 1e-11 * self.rig.cylinders.stroke;
        if !holds(at) && holds(before) { before } else { at }
    }

    /// Share of the load that is borne at a travel.
    fn borne(&self, travel: &Travel<'_>, at: Length) -> Ratio {
        let load = &self.rig.load;
        let whole: Force = load.share * load.mass * standard_gravity();
        (travel.weight(at) - load.moving * standard_gravity()) / whole
    }

    /// Rod-side pressure while raising: none for single-acting cylinders, whatever is stated.
    pub(super) fn back_pressure(&self) -> Pressure {
        back_pressure(&self.rig.cylinders)
    }

    fn load(&self, lift: &Lift, hardest: &Hardest, travel: &Travel<'_>, steps: &mut Vec<Step>) {
        let (cylinders, load) = (&self.rig.cylinders, &self.rig.load);
        let at =
            self.held_at(lift.worst.travel, |at| is_near(travel.force(at).value, lift.worst.force.value));
        let arms = self.arms(travel, at);
        let spring = present(cylinders.return_spring);
        steps.push(
            Step::new("load force", &LOAD, lift.worst.force)
                .with("share", load.share)
                .with("m", load.mass)
                .with("borne", self.borne(travel, at))
                .with("m_moving", load.moving)
                .with("r", travel.linkage().ratio(at).value)
                .with_some("F_arms", present(arms))
                .with("eta", self.rig.linkage.efficiency)
                .with("N", cylinders.count)
                .with_some("F_s", spring)
                .with_some("x", spring.map(|_| at))
                .with_some("s", spring.map(|_| cylinders.stroke)),
        );
        steps.push(
            Step::new("load pressure", &LOAD_PRESSURE, lift.worst.load_pressure)
                .with("F", lift.worst.force)
                .with("N", cylinders.count)
                .with("D", cylinders.bore),
        );
        steps.push(self.needed("needed pressure", lift.worst.load_pressure, lift.worst.needed_pressure));
        if let Some(start) = breaks_loose(self.rig, hardest) {
            let BreaksLoose { cylinders, load_pressure, multiple, pressure, .. } = start;
            let double = self.double_acting();
            steps.push(
                Step::new("pressure that breaks the load loose", &BREAKING_LOOSE, pressure)
                    .with("p_load", load_pressure)
                    .with_some("p_back", double.map(|()| back_pressure(&cylinders)))
                    .with_some("D", double.map(|()| cylinders.bore))
                    .with_some("d", double.map(|()| cylinders.rod))
                    .with("k", multiple.value)
                    .with("mu", cylinders.friction),
            );
        }
    }

    /// The pressure needed for a load pressure.
    pub(super) fn needed(
        &self,
        figure: impl Into<Cow<'static, str>>,
        load: GaugePressure,
        needed: GaugePressure,
    ) -> Step {
        let cylinders = &self.rig.cylinders;
        let double = self.double_acting();
        Step::new(figure, &NEEDED_PRESSURE, needed)
            .with("p_load", load)
            .with_some("p_back", double.map(|()| self.back_pressure()))
            .with_some("D", double.map(|()| cylinders.bore))
            .with_some("d", double.map(|()| cylinders.rod))
            .with("mu", cylinders.friction)
    }

    fn capacity(&self, lift: &Lift, travel: &Travel<'_>, steps: &mut Vec<Step>) {
        let (cylinders, load) = (&self.rig.cylinders, &self.rig.load);
        if lift.load_ratio.value.is_finite() {
            steps.push(
                Step::new("load ratio", &LOAD_RATIO, lift.load_ratio)
                    .with("p_load", lift.worst.load_pressure)
                    .with("p_move", lift.moving_pressure),
            );
        }
        let spring = present(cylinders.return_spring);
        let double = self.double_acting();
        let common = |figure, formula: &'static Formula, result, at: Length| {
            Step::new(figure, formula, result)
                .with("N", cylinders.count)
                .with("D", cylinders.bore)
                .with("p_move", lift.moving_pressure)
                .with_some("F_s", spring)
                .with_some("x", spring.map(|_| at))
                .with_some("s", spring.map(|_| cylinders.stroke))
                .with("eta", self.rig.linkage.efficiency)
                .with("m_moving", load.moving)
                .with("r", travel.linkage().ratio(at).value)
                .with_some("F_arms", present(self.arms(travel, at)))
                .with("borne", self.borne(travel, at))
                .with("share", load.share)
        };
        let rated_force = cylinders.thrust(lift.moving_pressure) * self.rig.limits.load_ratio;
        let lifts = |limit: Limit, force: Force| {
            let mass = |at| travel.capacity_at(at, force).unwrap_or_default().value;
            self.held_at(limit.travel, |at| is_near(mass(at), limit.capacity.value))
        };
        let capacity_at = lifts(travel.limit(lift.available), lift.available);
        let rated_at = lifts(travel.limit(rated_force), rated_force);
        steps.push(
            common("capacity", &CAPACITY, lift.capacity, capacity_at)
                .with_some("d", double.map(|()| cylinders.rod))
                .with("mu", cylinders.friction)
                .with_some("p_back", double.map(|()| self.back_pressure())),
        );
        steps.push(
            common("rated capacity", &RATED_CAPACITY, lift.rated_capacity, rated_at)
                .with("L", self.rig.limits.load_ratio)
                .with("m_cap", lift.capacity),
        );
        if matches!(travel.linkage(), Linkage::Direct(_)) {
            steps.push(Step::new("height gained", &LIFT_HEIGHT, lift.height).with("s", cylinders.stroke));
        }
    }

    fn set_point(&self, lift: &Lift, window: &Window, steps: &mut Vec<Step>) {
        let regulator = &self.rig.regulator;
        let (limit, ceilings) = (self.rig.limits.load_ratio, ceilings(self.rig));
        steps.push(
            Step::new("set-point window, lower end", &SET_POINT, window.low)
                .with("p_load", lift.worst.load_pressure)
                .with("L", limit)
                .with("p_need", lift.worst.needed_pressure)
                .with("droop", regulator.droop),
        );
        steps.push(
            Step::new("set-point window, upper end", &SET_POINT, window.high)
                .with("p_cylinder", ceilings.cylinder_rating)
                .with_some("p_line", ceilings.line_rating)
                .with_some("p_line_relief", ceilings.line_relief)
                .with("t", regulator.tolerance)
                .with_some("p_cut_in", ceilings.cut_in)
                .with_some("headroom", ceilings.cut_in.map(|_| regulator.headroom)),
        );
        if let Some(recommended) = window.recommended() {
            steps.push(
                Step::new("set point recommended", &SET_POINT, recommended)
                    .with("low", window.low)
                    .with("high", window.high),
            );
        }
        if let Some(bore) = self.answers.opening_bore {
            let step = Step::new("bore that opens the set-point window", &BORE, bore);
            steps.push(bore_inputs(step, self.rig, lift.worst.force, window.high - regulator.droop));
        }
    }
}

/// The working of the smallest bore that does at the set point; no steps if no bore does.
///
/// # Errors
/// [`Error::Geometry`](crate::Error::Geometry) as [`bore`](crate::answers::bore).
pub fn bore_working(rig: &Rig, answer: &BoreAnswer) -> Result<Vec<Step>> {
    let Some(exact) = answer.exact else { return Ok(Vec::new()) };
    let force = rig.travel()?.worst().force;
    let regulator = &rig.regulator;
    let moving = regulator.moving_pressure();
    Ok(vec![
        Step::new("moving pressure", &MOVING_PRESSURE, moving)
            .with("p_set", regulator.set)
            .with("droop", regulator.droop),
        bore_inputs(Step::new("smallest bore", &BORE, exact), rig, force, moving),
    ])
}

fn bore_inputs(step: Step, rig: &Rig, force: Force, pressure: GaugePressure) -> Step {
    let cylinders = &rig.cylinders;
    step.with("F", force)
        .with("N", cylinders.count)
        .with("L", rig.limits.load_ratio)
        .with("p", pressure)
        .with("mu", cylinders.friction)
        .with("p_back", back_pressure(cylinders))
        .with("d", cylinders.rod)
}

fn back_pressure(cylinders: &Cylinders) -> Pressure {
    match cylinders.action {
        Action::Single => Pressure::default(),
        Action::Double => cylinders.back_pressure,
    }
}

/// Equal but for rounding.
fn is_near(one: f64, other: f64) -> bool {
    (one - other).abs() <= 1e-9 * other.abs()
}

/// A force that is there at all; rounding is none.
fn present(force: Force) -> Option<Force> {
    (force.abs() > Force::new::<uom::si::force::newton>(1e-9)).then_some(force)
}
