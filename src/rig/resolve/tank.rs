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
        let relief_capacity = self.relief_capacity("tank.relief-capacity");
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
        let relief_capacity = self.relief_capacity("line.relief-capacity");
        let raise = self.passage(
            "line.raise",
            ["line.raise.C", "line.raise.b", "line.raise.Cv", "line.raise.Kv", "line.raise.bore"],
        );
        let lower = self.passage(
            "line.lower",
            ["line.lower.C", "line.lower.b", "line.lower.Cv", "line.lower.Kv", "line.lower.bore"],
        );
        raise?;
        lower?;
        Ok(Line { hose: hose?, rating: rating?, relief: relief?, relief_capacity: relief_capacity? })
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

    fn relief_capacity(&mut self, path: &'static str) -> Result<Option<MassRate>, Reported> {
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

    /// The narrowest passage of one way, checked for its form: C and b, or Cv, or Kv, or a bore.
    fn passage(
        &mut self,
        table: &'static str,
        [c, b, cv, kv, bore]: [&'static str; 5],
    ) -> Result<(), Reported> {
        let conductance = self.optional::<Conductance>(c);
        let ratio = self.number(b);
        let flow_coefficient = self.number(cv);
        let flow_factor = self.number(kv);
        let hole = self.optional::<uom::si::f64::Length>(bore);
        let (conductance, ratio) = (conductance?.is_some(), ratio?.is_some());
        let ways =
            [conductance || ratio, flow_coefficient?.is_some(), flow_factor?.is_some(), hole?.is_some()];
        let how_many = ways.into_iter().filter(|way| *way).count();
        let write = "write one of { C = \"2.1 L/(s bar)\", b = 0.3 }, { Cv = 0.5 }, { Kv = 0.43 }, { bore = \"4 mm\" }";
        let message = match how_many {
            0 if self.is_stated(table) && !self.document.is_incomplete() => {
                format!("`{table}` says nothing about the passage")
            }
            1 if conductance != ratio => {
                let (given, other) = if conductance { ("C", "b") } else { ("b", "C") };
                format!("`{table}` has `{given}` without `{other}`")
            }
            0 | 1 => return Ok(()),
            _ => format!("`{table}` describes the same passage in {how_many} ways"),
        };
        let problem = Problem::new(self.place_of(table), message).hint(write);
        Err(self.report(problem))
    }
}

/// Sonic conductance, which is only checked so far.
struct Conductance;

impl super::value::FromSi for Conductance {
    fn from_si(_si: f64) -> Self {
        Self
    }
}
