//! How the rig is worked, and the limits it is held to.

use super::{Reported, Resolver};
use crate::rig::{Cycle, Limits};
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
        let end_pressure = match end_pressure? {
            Some("load") => EndPressure::Load,
            Some(_) => EndPressure::SetPoint,
            None => {
                self.note_default("cycle.end-pressure", "set point");
                EndPressure::SetPoint
            }
        };
        Ok(Cycle { end_pressure, strokes_wanted: strokes_wanted?, per_hour: per_hour? })
    }

    /// Limits that the checks hold the rig to.
    ///
    /// # Errors
    /// If a field is wrong.
    pub fn limits(&mut self) -> Result<Limits, Reported> {
        Ok(Limits { load_ratio: self.with_default("limits.load-ratio")? })
    }
}
