//! How the rig is worked, and the limits it is held to.

use uom::si::f64::Ratio;
use uom::si::ratio::ratio;

use super::{Reported, Resolver};
use crate::rig::{Cycle, Limits, RehearsalCycle};
use crate::sizing::tank_capacity::EndPressure;

impl Resolver<'_> {
    /// How the rig is worked.
    ///
    /// # Errors
    /// If a field is wrong.
    pub fn cycle(&mut self) -> Result<Cycle, Reported> {
        let end_pressure = self.word("cycle.end-pressure");
        let strokes_wanted = self.count("cycle.strokes-wanted");
        let per_hour = self.number("cycle.per-hour");
        let rehearsal = self.rehearsal_cycle();
        let end_pressure = match end_pressure? {
            Some("load") => EndPressure::Load,
            Some(_) => EndPressure::SetPoint,
            None => {
                self.note_default("cycle.end-pressure", "set point");
                EndPressure::SetPoint
            }
        };
        Ok(Cycle {
            end_pressure,
            strokes_wanted: strokes_wanted?,
            per_hour: per_hour?,
            rehearsal: rehearsal?,
        })
    }

    fn rehearsal_cycle(&mut self) -> Result<RehearsalCycle, Reported> {
        let lifts = self.count("cycle.lifts");
        let hold = self.optional("cycle.hold");
        let rest = self.optional("cycle.rest");
        let raise_within = self.optional("cycle.raise-within");
        let lower_within = self.optional("cycle.lower-within");
        let outlet = self.optional("compressor.outlet");
        let tank_heat = self.optional("tank.heat-exchange");
        let cylinder_heat = self.optional("cylinders.heat-transfer");
        Ok(RehearsalCycle {
            lifts: lifts?,
            hold: hold?,
            rest: rest?,
            raise_within: raise_within?,
            lower_within: lower_within?,
            outlet: outlet?,
            tank_heat: tank_heat?,
            cylinder_heat: cylinder_heat?,
        })
    }

    /// Limits that the checks hold the rig to.
    ///
    /// # Errors
    /// If a field is wrong.
    pub fn limits(&mut self) -> Result<Limits, Reported> {
        let load_ratio = self.with_default("limits.load-ratio");
        let column_safety = self.number_or("limits.column-safety");
        let yield_ratio = self.with_default("limits.yield-ratio");
        let stability = self.number_or("limits.stability");
        let dead_point = self.with_default("limits.dead-point");
        let raise_time = self.optional("limits.raise-time");
        let lower_speed = self.optional("limits.lower-speed");
        let fall_speed = self.with_default("limits.fall-speed");
        let stop_energy = self.optional("limits.stop-energy");
        Ok(Limits {
            load_ratio: load_ratio?,
            column_safety: Ratio::new::<ratio>(column_safety?),
            yield_ratio: yield_ratio?,
            stability: Ratio::new::<ratio>(stability?),
            dead_point: dead_point?,
            raise_time: raise_time?,
            lower_speed: lower_speed?,
            fall_speed: fall_speed?,
            stop_energy: stop_energy?,
        })
    }
}
