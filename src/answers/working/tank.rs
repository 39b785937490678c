//! What the tank holds, what a stroke takes, and the counts.

use uom::si::f64::{Length, Mass, MassDensity, Volume};

use super::{Amount, Bench, Step};
use crate::Result;
use crate::air::gas::Isentrope;
use crate::answers::Starts;
use crate::answers::supply::draw;
use crate::formulas::{
    AIR_PER_STROKE, DEAD_VOLUME, FREE_AIR, QUICK_GAS, STROKES_AT_FULL_PRESSURE, STROKES_UNTIL_STALL,
    SWEPT_VOLUME, TANK_CONTENT, TANK_FOR_STROKES, TANK_LEAK, USABLE_AIR,
};
use crate::rig::AirSource;
use crate::sizing::cylinder_force::Action;
use crate::sizing::tank_capacity::{AirReturn, Count, Demand, StrokeAir, count_quick, count_slow};
use crate::units::GaugePressure;

/// The volumes that one stroke fills and the pressures it fills them to.
#[derive(Debug, Clone, Copy)]
struct Stroke {
    used: Length,
    raise: Volume,
    lower: Option<AirReturn>,
    dead: Volume,
    end: GaugePressure,
    air: StrokeAir,
}

/// Names of the figures that are counted from one start.
#[derive(Debug, Clone, Copy)]
struct Names {
    usable: &'static str,
    full: &'static str,
    stall: &'static str,
    /// Density at the pressure needed at the point that holds a stroke up.
    need: &'static str,
    full_quick: &'static str,
    stall_quick: &'static str,
}

const FROM_CUT_OUT: Names = Names {
    usable: "usable air",
    full: "strokes at full pressure, from cut-out",
    stall: "strokes until stall, from cut-out",
    need: "density at the pressure that stops a stroke, from cut-out",
    full_quick: "strokes at full pressure, from cut-out, quick gas",
    stall_quick: "strokes until stall, from cut-out, quick gas",
};

const FROM_CUT_IN: Names = Names {
    usable: "usable air, from cut-in",
    full: "strokes at full pressure, from cut-in",
    stall: "strokes until stall, from cut-in",
    need: "density at the pressure that stops a stroke, from cut-in",
    full_quick: "strokes at full pressure, from cut-in, quick gas",
    stall_quick: "strokes until stall, from cut-in, quick gas",
};

const FROM_BOTTLE: Names = Names {
    usable: "usable air",
    full: "strokes at full pressure, from a full bottle",
    stall: "strokes until stall, from a full bottle",
    need: "density at the pressure that stops a stroke, from a full bottle",
    full_quick: "strokes at full pressure, from a full bottle, quick gas",
    stall_quick: "strokes until stall, from a full bottle, quick gas",
};

impl Bench<'_> {
    pub(super) fn tank(&self, steps: &mut Vec<Step>) -> Result<()> {
        let (rig, use_) = (self.rig, &self.answers.air);
        let names = match rig.source {
            AirSource::Compressor(_) => FROM_CUT_OUT,
            AirSource::Bottle { .. } => FROM_BOTTLE,
        };
        let full = rig.full_pressure();
        let low = rig.regulator.set + rig.regulator.headroom;
        let full_density = self.density(full)?;
        steps.push(self.density_step("density in the full tank", full)?);
        steps.push(
            Step::new("tank content", &TANK_CONTENT, use_.tank_full)
                .with("rho_full", full_density)
                .with("V", rig.tank.volume),
        );
        if let (Some(leak), Some(does)) = (rig.tank.leak, self.answers.leak) {
            let (before, behind) = (full.to_absolute(rig.site.atmosphere)?, rig.site.atmosphere);
            steps.push(
                Step::new("fall of the full tank at first, with its leak", &TANK_LEAK, does.first_fall)
                    .with("p_1", before)
                    .with("t", does.within)
                    .with("C", Amount::conductance(leak.conductance()))
                    .with("T", rig.site.temperature)
                    .with("f", leak.law().share(before.pascals(), behind.pascals()))
                    .with("V", rig.tank.volume),
            );
        }
        if let (Some(leak), Some(stands)) = (rig.tank.leak, self.answers.leak.and_then(|leak| leak.stands)) {
            let to = match &rig.source {
                AirSource::Compressor(compressor) => compressor.cut_in,
                AirSource::Bottle { .. } => low,
            };
            steps.push(
                Step::new("the tank stands with its leak", &TANK_LEAK, stands)
                    .with("V", rig.tank.volume)
                    .with("p_1", full.to_absolute(rig.site.atmosphere)?)
                    .with("p_2", to.to_absolute(rig.site.atmosphere)?)
                    .with("C", Amount::conductance(leak.conductance()))
                    .with("T", rig.site.temperature),
            );
        }
        steps.push(self.density_step("density at set point and headroom", low)?);
        steps.push(self.usable(names.usable, use_.usable, full_density)?);
        let stroke = self.stroke();
        self.air_per_stroke(&stroke, steps)?;
        if let (Some(tank), Some(wanted)) = (use_.tank_for_strokes_wanted, rig.cycle.strokes_wanted) {
            steps.push(
                Step::new("tank for the strokes wanted", &TANK_FOR_STROKES, tank)
                    .with("n_wanted", wanted)
                    .with("m_stroke", stroke.air.total())
                    .with("rho_full", full_density)
                    .with("rho_low", self.density(low)?),
            );
        }
        self.counts(&stroke, names, steps)
    }

    /// The stroke that the answers count.
    fn stroke(&self) -> Stroke {
        let (rig, lift) = (self.rig, &self.answers.lift);
        let used = lift.stroke_used;
        Stroke {
            used,
            raise: rig.cylinders.cap_area() * used,
            lower: (rig.cylinders.action == Action::Double).then(|| rig.air_return(used)),
            dead: rig.dead_volume(),
            end: lift.held_pressure(rig),
            air: self.answers.air.stroke,
        }
    }

    fn usable(&self, figure: &'static str, usable: Mass, start: MassDensity) -> Result<Step> {
        let low = self.rig.regulator.lowest_inlet();
        Ok(Step::new(figure, &USABLE_AIR, usable)
            .with("rho_full", start)
            .with("rho_low", self.density(low)?)
            .with("V", self.rig.tank.volume))
    }

    fn air_per_stroke(&self, stroke: &Stroke, steps: &mut Vec<Step>) -> Result<()> {
        let (cylinders, set) = (&self.rig.cylinders, self.rig.regulator.set);
        let hose = self.rig.line.hose;
        steps.push(
            Step::new("dead volume", &DEAD_VOLUME, stroke.dead)
                .with("N", cylinders.count)
                .with("V_c", cylinders.clearance)
                .with("D", cylinders.bore)
                .with("x_0", self.rig.drawn_out())
                .with("d_hose", hose.map(|hose| hose.bore).unwrap_or_default())
                .with("L_hose", hose.map(|hose| hose.length).unwrap_or_default()),
        );
        let swept = |figure, volume| {
            Step::new(figure, &SWEPT_VOLUME, volume)
                .with("N", cylinders.count)
                .with("D", cylinders.bore)
                .with("s_used", stroke.used)
        };
        steps.push(swept("swept volume, raise", stroke.raise));
        steps.extend(stroke.lower.map(|back| {
            Step::new("dead volume of the return", &DEAD_VOLUME, back.dead)
                .with("N", cylinders.count)
                .with("V_c", cylinders.clearance)
                .with("D", cylinders.bore)
                .with("d", cylinders.rod)
                .with("s", cylinders.stroke)
                .with("x_0", self.rig.drawn_out())
                .with("s_used", stroke.used)
                .with("d_hose", hose.map(|hose| hose.bore).unwrap_or_default())
                .with("L_hose", hose.map(|hose| hose.length).unwrap_or_default())
        }));
        steps.extend(
            stroke.lower.map(|back| swept("swept volume, return", back.swept).with("d", cylinders.rod)),
        );
        if stroke.end != set {
            steps.push(self.density_step("density at the end pressure", stroke.end)?);
        }
        if stroke.end == set || stroke.lower.is_some() {
            steps.push(self.density_step("density at the set point", set)?);
        }
        let atmosphere = self.air.density(self.rig.site.atmosphere)?;
        let set_density = stroke.lower.map(|_| self.density(set)).transpose()?;
        steps.push(
            Step::new("air per stroke", &AIR_PER_STROKE, stroke.air.total())
                .with("rho_end", self.density(stroke.end)?)
                .with("V_s", stroke.raise)
                .with("V_dead", stroke.dead)
                .with("rho_atm", atmosphere)
                .with_some("rho_set", set_density)
                .with_some("V_r", stroke.lower.map(|back| back.swept))
                .with_some("V_rest", stroke.lower.map(|back| back.dead)),
        );
        let free = self.answers.air.stroke_free_air.volume();
        steps.push(
            Step::new("air per stroke as free air", &FREE_AIR, Amount::free_air(free))
                .with("m", stroke.air.total()),
        );
        Ok(())
    }

    /// The counts, if the cylinders move the load at all.
    fn counts(&self, stroke: &Stroke, names: Names, steps: &mut Vec<Step>) -> Result<()> {
        let (lift, strokes) = (&self.answers.lift, &self.answers.strokes);
        if !lift.moves() {
            return Ok(());
        }
        let full = self.rig.full_pressure();
        self.counts_from(stroke, full, self.answers.air.usable, strokes.from_cut_out, names, steps)?;
        if let (Some(starts), AirSource::Compressor(compressor)) = (strokes.from_cut_in, &self.rig.source) {
            let low = self.density(self.rig.regulator.lowest_inlet())?;
            let start = self.density(compressor.cut_in)?;
            let between = if start > low { start - low } else { MassDensity::default() };
            let usable: Mass = between * self.rig.tank.volume;
            steps.push(self.density_step("density at cut-in", compressor.cut_in)?);
            steps.push(self.usable(FROM_CUT_IN.usable, usable, start)?);
            self.counts_from(stroke, compressor.cut_in, usable, starts, FROM_CUT_IN, steps)?;
        }
        Ok(())
    }

    #[allow(clippy::too_many_arguments, reason = "one place, each argument of a type of its own")]
    fn counts_from(
        &self,
        stroke: &Stroke,
        start: GaugePressure,
        usable: Mass,
        starts: Starts,
        names: Names,
        steps: &mut Vec<Step>,
    ) -> Result<()> {
        let (tank, set) = (self.rig.tank.volume, self.rig.regulator.set);
        let atmosphere = self.air.density(self.rig.site.atmosphere)?;
        steps.push(
            Step::new(names.full, &STROKES_AT_FULL_PRESSURE, starts.slow.full_pressure)
                .with("m_usable", usable)
                .with("m_stroke", stroke.air.total()),
        );
        let start_mass: Mass = self.density(start)? * tank;
        let absolute = |pressure: GaugePressure| pressure.to_absolute(self.rig.site.atmosphere);
        let lowest = absolute(self.rig.regulator.lowest_inlet())?;
        let begin = absolute(start)?;
        let travel = self.rig.travel()?;
        let draw = draw(self.rig, &travel, &self.answers.lift)?;
        let stops = self.point_that_stops(&count_slow(&draw, tank, begin, lowest, &self.air)?)?;
        steps.push(self.density_step(names.need, stops.need.to_gauge(self.rig.site.atmosphere))?);
        let returns = stroke.lower.is_some();
        steps.push(
            Step::new(names.stall, &STROKES_UNTIL_STALL, starts.slow.until_stall)
                .with("m_start", start_mass)
                .with("V", tank)
                .with("V_x", stops.swept)
                .with("V_s", stroke.raise)
                .with("V_dead", stroke.dead)
                .with("rho_atm", atmosphere)
                .with("rho_need", self.air.density(stops.need)?)
                .with("rho_end", self.density(stroke.end)?)
                .with("m_raise", stroke.air.raise)
                .with_some("V_r", stroke.lower.map(|back| back.swept))
                .with_some("V_rest", stroke.lower.map(|back| back.dead))
                .with_some("rho_set", returns.then(|| self.density(set)).transpose()?)
                .with_some("m_return", returns.then_some(stroke.air.lower)),
        );
        let Some(quick) = starts.quick else { return Ok(()) };
        let line = Isentrope::through(begin, self.rig.site.temperature)?;
        let counted = count_quick(&draw, tank, lowest, &self.air, &line)?.unwrap_or_default();
        let stops = self.point_that_stops(&counted)?;
        for (figure, count, mark, swept) in [
            (names.full_quick, quick.full_pressure, ("p_low", lowest), None),
            (names.stall_quick, quick.until_stall, ("p_need", stops.need), Some(stops.swept)),
        ] {
            steps.push(
                Step::new(figure, &QUICK_GAS, count)
                    .with("p_start", absolute(start)?)
                    .with("T", self.rig.site.temperature)
                    .with("V", tank)
                    .with("V_s", stroke.raise)
                    .with("V_dead", stroke.dead)
                    .with("rho_atm", atmosphere)
                    .with("p_end", absolute(stroke.end)?)
                    .with_some("V_r", stroke.lower.map(|back| back.swept))
                    .with_some("V_rest", stroke.lower.map(|back| back.dead))
                    .with_some("p_set", returns.then(|| absolute(set)).transpose()?)
                    .with(mark.0, mark.1)
                    .with_some("V_x", swept),
            );
        }
        Ok(())
    }

    /// The point of the travel that ends a count; the end of the stroke if the count ends there or elsewhere.
    fn point_that_stops(&self, count: &Count) -> Result<Demand> {
        let need = self.answers.lift.end_pressure.to_absolute(self.rig.site.atmosphere)?;
        let swept = self.rig.cylinders.cap_area() * self.answers.lift.stroke_used;
        Ok(count.unmet.unwrap_or(Demand { swept, need }))
    }
}
