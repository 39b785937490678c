//! What moves in time: one moment past half way up and one past half way down, done again by hand.

use std::borrow::Cow;

use uom::si::f64::{Area, Force};

use super::{Amount, Bench, Step};
use crate::Result;
use crate::air::flow::Restriction;
use crate::air::gas::Isotherm;
use crate::answers::Answers;
use crate::answers::rehearsal::{Plan, Rehearsed, cylinder_heat, tank_heat};
use crate::formulas::{HEAT_EXCHANGE, LOAD_MOTION, REGULATOR_DROOP, TANK_ENERGY, VALVE_FLOW};
use crate::rehearsal::{Moment, Side, tank_heat_transfer};
use crate::rig::Rig;
use crate::sizing::cylinder_force::Action;
use crate::units::display::{UnitSystem, show};
use crate::units::{AbsolutePressure, Dimension};

/// The working of a session: what the air, the heat, the regulator and the load do half way up the first raise
/// and half way down the first lowering that come so far.
///
/// # Errors
/// [`Error::OutOfRange`](crate::Error::OutOfRange) as [`evaluate`](crate::answers::evaluate).
pub fn session_working(rig: &Rig, answers: &Answers, plan: &Plan, worked: &Rehearsed) -> Result<Vec<Step>> {
    let bench = Bench { rig, answers, air: Isotherm::new(rig.site.temperature)? };
    let mut steps = Vec::new();
    if rig.cycle.rehearsal.tank_heat.is_none() {
        steps.push(
            Step::new("heat exchange of the tank", &HEAT_EXCHANGE, tank_heat(rig))
                .with("U", tank_heat_transfer())
                .with("V", rig.tank.volume),
        );
    }
    for (moment, way) in
        [(worked.rehearsal.half_way_up, Way::Up), (worked.rehearsal.half_way_down, Way::Down)]
    {
        if let Some(moment) = moment {
            bench.moment(&moment, way, plan, &mut steps)?;
        }
    }
    Ok(steps)
}

/// Which way the load goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Way {
    Up,
    Down,
}

impl Bench<'_> {
    fn moment(&self, moment: &Moment, way: Way, plan: &Plan, steps: &mut Vec<Step>) -> Result<()> {
        let up = way == Way::Up;
        let clock = show(moment.time.value, Dimension::Time, UnitSystem::Metric);
        let on = if up { "past half way up" } else { "past half way down" };
        let named = |figure: &str| Cow::from(format!("{figure}, {on} at {clock}"));
        let site = &self.rig.site;
        let atmosphere = site.atmosphere;
        if up {
            let regulator = &plan.regulator;
            let tank = moment.tank.pressure;
            let lost = regulator.droop * (moment.supplied / regulator.rated_flow).value;
            let outlet = (regulator.set - lost).to_absolute(atmosphere)?;
            let outlet = if outlet < tank { outlet } else { tank };
            steps.push(
                Step::new(named("behind the regulator"), &REGULATOR_DROOP, outlet.to_gauge(atmosphere))
                    .with("p_set", regulator.set)
                    .with("droop", regulator.droop)
                    .with("q", moment.supplied)
                    .with("q_rated", regulator.rated_flow)
                    .with("p_tank", tank.to_gauge(atmosphere)),
            );
            let figure = named("flow through valve and hose");
            let ends = (outlet, moment.cap.pressure);
            steps.push(flow(figure, &plan.raise, moment.cap.comes, ends, &moment.tank));
        } else if self.rig.line.relief.is_none_or(|opens| moment.cap.pressure.to_gauge(atmosphere) < opens) {
            let figure = named("flow to the open");
            let ends = (moment.cap.pressure, atmosphere);
            steps.push(flow(figure, &plan.lower, moment.cap.goes, ends, &moment.cap));
        }
        let pump = self.rig.cycle.rehearsal.outlet.unwrap_or(site.temperature);
        let (tank, cap) = (&moment.tank, &moment.cap);
        for (name, side, comes_with) in
            [("the tank", tank, (pump, tank)), ("the cylinders", cap, (tank.temperature, tank))]
        {
            let is_tank = name == "the tank";
            // On the way down the tank has no part in it.
            if is_tank && !up {
                continue;
            }
            steps.push(
                Step::new(named(&format!("pressure in {name}")), &TANK_ENERGY, side.pressure)
                    .with("m", side.mass)
                    .with("T", side.temperature)
                    .with("Z", side.compressibility.value)
                    .with("V", side.volume),
            );
            let heat = Step::new(named(&format!("heat to the air in {name}")), &HEAT_EXCHANGE, side.heat);
            let heat = if is_tank {
                heat.with("k", tank_heat(self.rig))
            } else {
                heat.with("h", cylinder_heat(self.rig))
                    .with("N", self.rig.cylinders.count)
                    .with("D", self.rig.cylinders.bore)
                    .with("x_0", self.rig.drawn_out())
                    .with("x", moment.travel)
            };
            steps.push(heat.with("T_site", site.temperature).with("T", side.temperature));
            let growth =
                Step::new(named(&format!("growth of the energy in {name}")), &TANK_ENERGY, side.growth)
                    .with("q_in", side.comes)
                    .with("T_in", comes_with.0)
                    .with("Z_in", comes_with.1.compressibility.value)
                    .with("q_out", side.goes)
                    .with("T", side.temperature)
                    .with("Z", side.compressibility.value)
                    .with("c", moment.heat_capacity)
                    .with("Q", side.heat);
            steps.push(if is_tank {
                growth
            } else {
                growth
                    .with("p", side.pressure)
                    .with("A", self.rig.cylinders.cap_area())
                    .with("v", moment.speed)
            });
        }
        steps.push(self.balance(named("pressure on the cap side"), moment)?);
        Ok(())
    }

    /// The pressure that the balance of forces asks for.
    pub(super) fn balance(&self, figure: Cow<'static, str>, moment: &Moment) -> Result<Step> {
        let (rig, at) = (self.rig, moment.travel);
        let travel = rig.travel()?;
        let count = f64::from(rig.cylinders.count);
        let spring: Force = rig.cylinders.spring_force(at);
        let arms = self.arms(&travel, at);
        let one = |all: Area| all / count;
        let double = rig.cylinders.action == Action::Double;
        Ok(Step::new(figure, &LOAD_MOTION, moment.cap.pressure.to_gauge(rig.site.atmosphere))
            .with("W", travel.weight(at))
            .with("r", travel.linkage().ratio(at).value)
            .with("F_arms", arms)
            .with("eta", rig.linkage.efficiency)
            .with("springs", spring)
            .with("N", rig.cylinders.count)
            .with("A_1", one(rig.cylinders.cap_area()))
            .with_some("A_2", double.then(|| one(rig.cylinders.ring_area())))
            .with_some("p_2", double.then_some(moment.rod))
            .with("mu", rig.cylinders.friction)
            .with("v", moment.speed))
    }
}

/// Flow through one restriction, from the pressure `p1` and the air before it to the pressure `p2`.
fn flow(
    figure: Cow<'static, str>,
    path: &Restriction,
    flow: uom::si::f64::MassRate,
    (p1, p2): (AbsolutePressure, AbsolutePressure),
    before: &Side,
) -> Step {
    Step::new(figure, &VALVE_FLOW, flow)
        .with("C", Amount::conductance(path.conductance()))
        .with("b", path.critical_ratio().value)
        .with("p1", p1)
        .with("p2", p2)
        .with("T", before.temperature)
}
