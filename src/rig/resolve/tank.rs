//! The receiver or bottle, and the line behind the regulator.

use uom::si::f64::{MassRate, Pressure, Ratio, Time, Volume};

use super::compressor::SourceKind;
use super::value::Flow;
use super::{Reported, Resolver};
use crate::air::flow::Restriction;
use crate::air::flow::leak::PressureFall;
use crate::air::reference;
use crate::rig::problem::Problem;
use crate::rig::{AirSource, Site};
use crate::sizing::tank_capacity::{Hose, Line, Tank};
use crate::units::display::{show, show_at_most};
use crate::units::{Dimension, GaugePressure, ReferenceState};

/// Where a leak by a measured fall of pressure chokes: as a hole does.
const HOLE_CRITICAL_RATIO: f64 = 0.5;

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
        Ok(Tank {
            volume: volume?,
            rating: rating?,
            relief: relief?,
            relief_capacity: relief_capacity?,
            leak: None,
        })
    }

    /// Where the tank leaks: as a passage, or from a fall of its pressure that was measured, in the volume of the tank
    /// alone.
    ///
    /// # Errors
    /// If a field is wrong.
    pub(super) fn tank_leak(
        &mut self,
        site: &Site,
        source: &AirSource,
        volume: Volume,
    ) -> Result<Option<Restriction>, Reported> {
        let passage = self.passage_or("tank.leak", |resolver| {
            ["tank.leak.fall", "tank.leak.time", "tank.leak.from"].iter().any(|path| resolver.is_stated(path))
        });
        let fall = self.optional::<Pressure>("tank.leak.fall");
        let time = self.optional::<Time>("tank.leak.time");
        let from = self.optional::<GaugePressure>("tank.leak.from");
        let (passage, fall, time, from) = (passage?, fall?, time?, from?);
        let place = self.place_of("tank.leak");
        let refuse = |resolver: &mut Self, message: &str| {
            let hint = "write what was measured, { fall = \"0.5 bar\", time = \"30 min\" }, or a hole, { bore = \"0.1 mm\" }";
            Err(resolver.report(Problem::new(place, message).hint(hint)))
        };
        match (passage, fall, time) {
            (passage, None, None) if from.is_none() => Ok(passage),
            (Some(_), ..) => refuse(self, "`tank.leak` describes the same leak as a passage and by its fall"),
            (None, Some(fall), Some(time)) => {
                let full = match source {
                    AirSource::Compressor(compressor) => compressor.cut_out,
                    AirSource::Bottle { filled_to } => *filled_to,
                };
                let from = from.unwrap_or(full);
                let place = self.place_of("tank.leak.fall");
                if fall <= Pressure::default() || fall >= from.above_atmosphere() {
                    let units = self.document.habit();
                    let message = format!(
                        "`tank.leak.fall` is {}; it must be above zero and below the {} from which it fell",
                        show(fall.value, Dimension::Pressure, units),
                        show_at_most(from.pascals(), Dimension::Pressure, units)
                    );
                    let hint = "give the fall itself, not the pressure that was left";
                    return Err(self.report(Problem::new(place, message).hint(hint)));
                }
                let pressure = |gauge: GaugePressure| gauge.to_absolute(site.atmosphere);
                let leak = pressure(from).and_then(|first| {
                    let test = PressureFall {
                        volume,
                        temperature: site.temperature,
                        from: first,
                        to: pressure(from - fall)?,
                        time,
                        atmosphere: site.atmosphere,
                    };
                    test.leak(Ratio::from(HOLE_CRITICAL_RATIO))
                });
                self.fits(leak.map(|leak| leak.restriction), place).map(Some)
            }
            (None, ..) => refuse(self, "a fall of the tank's pressure needs `fall` and `time`"),
        }
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
        let rod_fill = self.passage("line.rod-fill");
        let rod_vent = self.passage("line.rod-vent");
        let fittings = self.fittings();
        Ok(Line {
            hose: hose?,
            rating: rating?,
            relief: relief?,
            relief_capacity: relief_capacity?,
            raise: raise?,
            lower: lower?,
            lower_wide: lower_wide?,
            rod_fill: rod_fill?,
            rod_vent: rod_vent?,
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
