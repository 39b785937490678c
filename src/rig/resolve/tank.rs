//! The receiver or bottle, and the line behind the regulator.

use uom::si::f64::MassRate;

use super::compressor::SourceKind;
use super::value::Flow;
use super::{Reported, Resolver};
use crate::air::reference;
use crate::rig::problem::Problem;
use crate::sizing::tank_capacity::{Hose, Line, Tank};
use crate::units::ReferenceState;

impl Resolver<'_> {
    /// The receiver or bottle.
    ///
    /// # Errors
    /// If a field is missing or wrong.
    pub fn tank(&mut self) -> Result<Tank, Reported> {
        let volume = self.required("tank.volume");
        let rating = self.required("tank.rating");
        let relief = match self.source_kind() {
            SourceKind::Compressor => self.required("tank.relief").map(Some),
            _ => self.optional("tank.relief"),
        };
        let relief_capacity = self.mass_flow("tank.relief-capacity");
        Ok(Tank { volume: volume?, rating: rating?, relief: relief?, relief_capacity: relief_capacity? })
    }

    /// The line from the valve to the cylinders.
    ///
    /// # Errors
    /// If a field is wrong.
    pub fn line(&mut self) -> Result<Line, Reported> {
        let hose = self.hose();
        let rating = self.optional("line.rating");
        let relief = self.optional("line.relief");
        let relief_capacity = self.mass_flow("line.relief-capacity");
        let raise = self.passage("line.raise");
        let lower = self.passage("line.lower");
        let lower_wide = self.passage("line.lower-wide");
        let fittings = self.fittings();
        Ok(Line {
            hose: hose?,
            rating: rating?,
            relief: relief?,
            relief_capacity: relief_capacity?,
            raise: raise?,
            lower: lower?,
            lower_wide: lower_wide?,
            fittings: fittings?,
        })
    }

    fn hose(&mut self) -> Result<Option<Hose>, Reported> {
        let bore = self.optional("line.hose-bore");
        let length = self.optional("line.hose-length");
        match (bore?, length?) {
            (Some(bore), Some(length)) => Ok(Some(Hose { bore, length })),
            (None, None) => {
                self.note_default("line.hose-length", "0 m");
                Ok(None)
            }
            (Some(_), None) => Err(self.half_a_hose("line.hose-bore", "line.hose-length")),
            (None, Some(_)) => Err(self.half_a_hose("line.hose-length", "line.hose-bore")),
        }
    }

    fn half_a_hose(&mut self, given: &'static str, other: &'static str) -> Reported {
        if self.document.is_incomplete() {
            return Reported(());
        }
        let problem = Problem::new(self.place_of(given), format!("`{given}` is given without `{other}`"))
            .hint("the air in the hose needs both: give the other as well, or neither");
        self.report(problem)
    }

    /// A flow of free air, ANR unless said, as mass.
    pub(super) fn mass_flow(&mut self, path: &'static str) -> Result<Option<MassRate>, Reported> {
        let Some((flow, quantity)) = self.flow(path, ReferenceState::Anr)? else { return Ok(None) };
        let mass = match flow {
            Flow::Mass(mass) => mass,
            Flow::Volume(flow) => {
                let density = self.inlet_density()?;
                let place = self.place_of(path);
                let mass = reference::mass_rate(flow, density);
                mass.map_err(|error| self.report(Problem::new(place, error.to_string())))?
            }
        };
        let scale = if quantity.si > 0.0 { mass.value / quantity.si } else { 1.0 };
        self.note_tolerance(path, Some(quantity), scale);
        Ok(Some(mass))
    }
}
