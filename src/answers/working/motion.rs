//! How fast up, how fast down, and how hard the stops are hit.

use uom::si::f64::{Energy, Force, Ratio, Velocity};

use super::{Bench, Step};
use crate::Result;
use crate::answers::times::{
    Passing, fastest_of_lowering, half_way_up, hose_restriction, return_push, sinking_force,
    slowest_of_raise, way_down,
};
use crate::answers::{LowerAnswer, RaiseAnswer};
use crate::formulas::{
    FIRST_SLOW_LIFT, HOSE_CONDUCTANCE, LOWERING_SPEED, RAISE_DOUBLE_ACTING, RAISE_TIME, STOP_ENERGY,
    VALVE_FLOW, WANTED_VALVE,
};
use crate::sizing::cylinder_force::{Action, piston_area, rod_side_area};
use crate::sizing::linkage::Travel;

impl Bench<'_> {
    /// Up, down, and the blows at the stops.
    pub(super) fn motion(&self, steps: &mut Vec<Step>) -> Result<()> {
        let rig = self.rig;
        if rig.line.raise.is_none() && rig.line.lower.is_none() {
            return Ok(());
        }
        if let (Some(hose), Some(restriction)) = (rig.line.hose, hose_restriction(rig)) {
            steps.push(
                Step::new("conductance of the hose", &HOSE_CONDUCTANCE, restriction.conductance())
                    .with("D", hose.bore)
                    .with("L", hose.length),
            );
        }
        let travel = rig.travel()?;
        self.up(&travel, steps)?;
        self.down(&travel, steps)
    }

    fn up(&self, travel: &Travel<'_>, steps: &mut Vec<Step>) -> Result<()> {
        let (rig, times) = (self.rig, &self.answers.times);
        let Some(RaiseAnswer::Arrives { delay, total, fastest, end_energy, rod_side, .. }) = times.raise
        else {
            return Ok(());
        };
        if let Some(holds) = rod_side {
            self.up_against_the_rod_side(travel, steps)?;
            steps.push(
                Step::new("raise time", &RAISE_DOUBLE_ACTING, total)
                    .with("t_0", total - holds.adds)
                    .with("t_rod", holds.adds),
            );
        } else if let Some((passing, is_even)) = slowest_of_raise(rig, travel, &self.answers.lift)? {
            steps.push(
                self.flow(format!("flow through {} where the raise is slowest", passing.name), &passing),
            );
            if is_even {
                let speed = self.piston_speed(&passing, Force::default());
                steps.push(
                    Step::new("speed of the pistons on the way up", &RAISE_TIME, speed)
                        .with("q", passing.flow)
                        .with("T", rig.site.temperature)
                        .with("p", passing.inside)
                        .with("A", rig.cylinders.cap_area()),
                );
                steps.push(
                    Step::new("raise time", &RAISE_TIME, total)
                        .with("t_delay", delay)
                        .with("x", self.answers.lift.stroke_used)
                        .with("v", speed),
                );
            }
        }
        if let Some(tank) = times.quick_lifts.filter(|quick| quick.slow.is_some()).and_then(|quick| {
            let place = usize::try_from(quick.count).ok()?;
            self.answers.strokes.tank_after.get(place).copied()
        }) {
            let tank = tank.to_gauge(rig.site.atmosphere);
            steps.push(
                Step::new("pressure for the first slow lift", &FIRST_SLOW_LIFT, tank.min(rig.regulator.set))
                    .with("p_set", rig.regulator.set)
                    .with("p_tank", tank),
            );
        }
        steps.push(self.blow("blow at the upper stop", fastest, end_energy));
        Ok(())
    }

    /// Half way up, with the pressures on both sides of the pistons as they are then.
    fn up_against_the_rod_side(&self, travel: &Travel<'_>, steps: &mut Vec<Step>) -> Result<()> {
        let (rig, site) = (self.rig, &self.rig.site);
        let Some((moment, raise, rod_side)) = half_way_up(rig, travel, &self.answers.lift)? else {
            return Ok(());
        };
        let droop = match rig.regulator.rated_flow {
            Some(rated) => rig.regulator.droop * (moment.supplied / rated).value,
            None => rig.regulator.droop,
        };
        let outlet = (rig.regulator.set - droop).to_absolute(site.atmosphere)?;
        let there = |name: &str, restriction, before, behind, flow| Passing {
            name: name.to_owned(),
            restriction,
            before,
            behind,
            flow,
            inside: moment.cap.pressure,
            travel: moment.travel,
        };
        let open = site.atmosphere;
        for passing in [
            there("valve and hose", raise, outlet, moment.cap.pressure, moment.cap.comes),
            there(
                "the way out of the rod side",
                rod_side.exhaust,
                moment.rod.to_absolute(open)?,
                open,
                moment.rod_goes,
            ),
        ] {
            steps.push(self.flow(format!("flow through {} past half way up", passing.name), &passing));
        }
        steps.push(self.balance("pressure on the cap side past half way up".into(), &moment)?);
        Ok(())
    }

    fn down(&self, travel: &Travel<'_>, steps: &mut Vec<Step>) -> Result<()> {
        let (rig, times) = (self.rig, &self.answers.times);
        let Some(LowerAnswer::Arrives { fastest, steady, end_energy, wanted, .. }) = times.lower else {
            return Ok(());
        };
        let Some((passing, taken_up)) = fastest_of_lowering(rig, travel, &self.answers.lift, times.raise)?
        else {
            return Ok(());
        };
        let site = rig.site.atmosphere;
        let force = sinking_force(rig, passing.travel, travel.force(passing.travel));
        let push = return_push(rig);
        let mut step = Step::new(
            "pressure of the sinking load",
            &LOWERING_SPEED,
            rig.cylinders.sinking_pressure(force, push),
        )
        .with("F", force)
        .with("N", rig.cylinders.count)
        .with("A_1", piston_area(rig.cylinders.bore))
        .with("mu", rig.cylinders.friction);
        if rig.cylinders.action == Action::Double {
            step = step
                .with("p_set", rig.regulator.set)
                .with("A_r", rod_side_area(rig.cylinders.bore, rig.cylinders.rod));
        }
        // The force at a step of the load is that on one side of it, which need not be the fastest.
        if passing.inside == rig.cylinders.sinking_pressure(force, push).to_absolute(site)? {
            steps.push(step);
        }
        steps.push(self.flow(format!("flow through {} where it sinks fastest", passing.name), &passing));
        let ratio = travel.linkage().ratio(passing.travel).abs();
        let speed = self.piston_speed(&passing, taken_up) * ratio;
        steps.push(
            Step::new(
                // Return air may make the load drop faster at first.
                if fastest > steady {
                    "lowering speed once the air bears the load"
                } else {
                    "lowering speed"
                },
                &LOWERING_SPEED,
                speed,
            )
            .with("q", passing.flow)
            .with("T", rig.site.temperature)
            .with("p_sink", passing.inside)
            .with("A", rig.cylinders.cap_area())
            .with("F_x", taken_up)
            .with("r", ratio),
        );
        if let (Some(wanted), Some(limit), Some(valve)) = (wanted, rig.limits.lower_speed, rig.line.lower) {
            let piston: Velocity = limit / ratio;
            let flow = passing.flow * (piston / self.piston_speed(&passing, taken_up));
            let mut before = Some(passing.inside.pascals());
            for element in way_down(rig)? {
                let law = element.law();
                before = before.and_then(|inlet| law.outlet(flow.value, inlet, rig.site.temperature.value));
            }
            if let Some(before) = before {
                let share = valve.law().share(before, site.pascals());
                let before = crate::units::AbsolutePressure::new(crate::units::pressure::pascals(before))?;
                steps.push(
                    Step::new("throttle for the speed wanted", &WANTED_VALVE, wanted.conductance)
                        .with("v", piston)
                        .with("p_sink", passing.inside)
                        .with("A", rig.cylinders.cap_area())
                        .with("F_x", taken_up)
                        .with("T", rig.site.temperature)
                        .with("p1", before)
                        .with("f", Ratio::from(share)),
                );
            }
        }
        steps.push(self.blow("blow at the lower stop", steady, end_energy));
        Ok(())
    }

    fn flow(&self, figure: String, passing: &Passing) -> Step {
        let restriction = &passing.restriction;
        Step::new(figure, &VALVE_FLOW, passing.flow)
            .with("C", restriction.conductance())
            .with("b", restriction.critical_ratio().value)
            .with("m", restriction.subsonic_index().value)
            .with_some("p_c", restriction.cracking_pressure())
            .with("p1", passing.before)
            .with("p2", passing.behind)
            .with("T", self.rig.site.temperature)
    }

    /// Speed of the pistons, where the air takes up `taken_up` as its pressure changes.
    fn piston_speed(&self, passing: &Passing, taken_up: Force) -> Velocity {
        let rt = crate::air::gas::GAS_CONSTANT_J_PER_KG_K * self.rig.site.temperature.value;
        let force = passing.inside.above_vacuum() * self.rig.cylinders.cap_area() + taken_up;
        Velocity::new::<uom::si::velocity::meter_per_second>(passing.flow.value * rt / force.value)
    }

    fn blow(&self, figure: &'static str, speed: Velocity, energy: Energy) -> Step {
        let load = self.rig.load;
        Step::new(figure, &STOP_ENERGY, energy)
            .with("share", load.share)
            .with("m", load.mass)
            .with("m_moving", load.moving)
            .with("v", speed)
    }
}
