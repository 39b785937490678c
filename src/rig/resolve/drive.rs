//! Regulator and battery.

use super::{Reported, Resolver};
use crate::rig::problem::Problem;
use crate::sizing::battery::Battery;
use crate::sizing::regulator_setpoint::Regulator;

/// Highest gauge pressure that any field takes, in Pa, so that the gas equation covers it at any site.
const HIGHEST_PA: f64 = 348e5;

impl Resolver<'_> {
    /// The regulator.
    ///
    /// # Errors
    /// If a field is missing or wrong, or nothing is left of the set point while air flows.
    pub fn regulator(&mut self) -> Result<Regulator, Reported> {
        let set = self.required("regulator.set");
        let droop = self.with_default("regulator.droop");
        let headroom = self.with_default("regulator.headroom");
        let tolerance = self.with_default("regulator.tolerance");
        let max_inlet = self.optional("regulator.max-inlet");
        let rated_flow = self.mass_flow("regulator.rated-flow");
        let regulator = Regulator {
            set: set?,
            droop: droop?,
            headroom: headroom?,
            tolerance: tolerance?,
            max_inlet: max_inlet?,
            rated_flow: rated_flow?,
        };
        if (regulator.set + regulator.headroom).pascals() > HIGHEST_PA {
            let message = format!(
                "`regulator.set` ({}) and `regulator.headroom` ({}) together are above 348 bar, where the gas \
                 equation ends",
                self.said("regulator.set"),
                self.said("regulator.headroom"),
            );
            let problem = Problem::new(self.place_of("regulator.headroom"), message)
                .hint("headroom is how far the inlet must stay above the set point, usually below 1 bar");
            return Err(self.report(problem));
        }
        if regulator.set.above_atmosphere() > regulator.droop {
            return Ok(regulator);
        }
        let message = format!(
            "`regulator.set` ({}) must be above `regulator.droop` ({}): no pressure is left while air flows",
            self.said("regulator.set"),
            self.said("regulator.droop"),
        );
        let problem = Problem::new(self.place_of("regulator.set"), message)
            .hint("raise the set point, or give the droop of your regulator");
        Err(self.report(problem))
    }

    /// The battery, if the rig has one.
    ///
    /// # Errors
    /// If a field is missing or wrong.
    pub fn battery(&mut self) -> Result<Option<Battery>, Reported> {
        if !self.has_table("battery") {
            return Ok(None);
        }
        let volts = self.required("battery.volts");
        let capacity = self.required("battery.capacity");
        let usable = self.required("battery.usable");
        let steady_load = self.with_default("battery.steady-load");
        let strokes_wanted = self.count("battery.strokes-wanted");
        Ok(Some(Battery {
            volts: volts?,
            capacity: capacity?,
            usable: usable?,
            steady_load: steady_load?,
            strokes_wanted: strokes_wanted?,
        }))
    }
}
