//! The receiver or bottle, and the line behind the regulator.

use uom::si::f64::{Length, MassRate, Ratio};

use super::compressor::SourceKind;
use super::value::Flow;
use super::{Reported, Resolver};
use crate::air::flow::conversion::{
    FLOW_COEFFICIENT_CRITICAL_RATIO, flow_coefficient_metric, flow_coefficient_us, orifice,
};
use crate::air::flow::{self, Restriction};
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
        let raise = self.passage(
            "line.raise",
            [
                "line.raise.C",
                "line.raise.b",
                "line.raise.Cv",
                "line.raise.Kv",
                "line.raise.bore",
                "line.raise.discharge",
            ],
        );
        let lower = self.passage(
            "line.lower",
            [
                "line.lower.C",
                "line.lower.b",
                "line.lower.Cv",
                "line.lower.Kv",
                "line.lower.bore",
                "line.lower.discharge",
            ],
        );
        Ok(Line {
            hose: hose?,
            rating: rating?,
            relief: relief?,
            relief_capacity: relief_capacity?,
            raise: raise?,
            lower: lower?,
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

    /// The narrowest passage of one way: C and b, or Cv, or Kv, or a bore.
    fn passage(
        &mut self,
        table: &'static str,
        [c, b, cv, kv, bore, discharge]: [&'static str; 6],
    ) -> Result<Option<Restriction>, Reported> {
        let conductance = self.optional::<Conductance>(c);
        let ratio = self.number(b);
        let flow_coefficient = self.number(cv);
        let flow_factor = self.number(kv);
        let hole = self.optional::<Length>(bore);
        let (conductance, ratio, hole) = (conductance?, ratio?, hole?);
        let (flow_coefficient, flow_factor) = (flow_coefficient?, flow_factor?);
        let usual = Ratio::from(FLOW_COEFFICIENT_CRITICAL_RATIO);
        let restriction = match (conductance, ratio, flow_coefficient, flow_factor, hole) {
            (Some(Conductance(si)), Some(b), None, None, None) => {
                flow::Conductance::from_si(si).and_then(|c| Restriction::new(c, Ratio::from(b)))
            }
            (None, None, Some(cv), None, None) => flow_coefficient_us(cv, usual),
            (None, None, None, Some(kv), None) => flow_coefficient_metric(kv, usual),
            (None, None, None, None, Some(hole)) => orifice(hole, self.with_default(discharge)?),
            (None, None, None, None, None) if !self.is_stated(table) || self.document.is_incomplete() => {
                return Ok(None);
            }
            _ => {
                let ways = [
                    conductance.is_some() || ratio.is_some(),
                    flow_coefficient.is_some(),
                    flow_factor.is_some(),
                    hole.is_some(),
                ];
                let how_many = ways.into_iter().filter(|way| *way).count();
                let message = match how_many {
                    0 => format!("`{table}` says nothing about the passage"),
                    1 if conductance.is_some() => format!("`{table}` has `C` without `b`"),
                    1 => format!("`{table}` has `b` without `C`"),
                    _ => format!("`{table}` describes the same passage in {how_many} ways"),
                };
                let write = "write one of { C = \"2.1 L/(s bar)\", b = 0.3 }, { Cv = 0.5 }, { Kv = 0.43 }, { bore = \"4 mm\" }";
                let problem = Problem::new(self.place_of(table), message).hint(write);
                return Err(self.report(problem));
            }
        };
        restriction
            .map(Some)
            .map_err(|error| self.report(Problem::new(self.place_of(table), error.to_string())))
    }
}

/// Sonic conductance in its SI unit.
#[derive(Clone, Copy)]
struct Conductance(f64);

impl super::value::FromSi for Conductance {
    fn from_si(si: f64) -> Self {
        Self(si)
    }
}
