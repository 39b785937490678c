//! The compressor, or the bottle that stands in for it.

use uom::si::f64::ElectricCurrent;

use super::value::{Flow, FromSi, as_flow};
use super::{Choice, Reported, Resolver};
use crate::air::reference;
use crate::rig::AirSource;
use crate::rig::problem::{Place, Problem};
use crate::sizing::compressor_fill_time::{Compressor, Delivery, Intake};
use crate::units::{GaugePressure, ReferenceState};

/// Where the air comes from, as far as the words of the file go.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum SourceKind {
    Compressor,
    Bottle,
    Both,
    Neither,
}

impl Resolver<'_> {
    pub(super) fn source_kind(&self) -> SourceKind {
        match (self.has_table("compressor"), self.is_stated("tank.filled-to")) {
            (true, false) => SourceKind::Compressor,
            (false, true) => SourceKind::Bottle,
            (false, false) => SourceKind::Neither,
            // A flag overrules the file.
            (true, true) => match (self.document.has_flag_in("compressor"), self.is_flag("tank.filled-to")) {
                (true, false) => SourceKind::Compressor,
                (false, true) => SourceKind::Bottle,
                _ => SourceKind::Both,
            },
        }
    }

    /// Where the air comes from: `[compressor]`, or `tank.filled-to`.
    ///
    /// # Errors
    /// If both or neither are given, or what is given is wrong.
    pub fn air_source(&mut self) -> Result<AirSource, Reported> {
        match self.source_kind() {
            SourceKind::Compressor => Ok(AirSource::Compressor(self.compressor()?)),
            SourceKind::Bottle => Ok(AirSource::Bottle { filled_to: self.required("tank.filled-to")? }),
            SourceKind::Both => {
                let _ = self.compressor();
                let _ = self.optional::<GaugePressure>("tank.filled-to");
                let message = "`tank.filled-to` is for a bottle, but this rig has a [compressor]";
                let hint = if self.document.source().is_some() {
                    "delete this line, or the whole table [compressor]"
                } else {
                    "leave out `--filled-to`, or all flags of the compressor"
                };
                let problem = Problem::new(self.place_of("tank.filled-to"), message).hint(hint);
                Err(self.report(problem))
            }
            SourceKind::Neither if self.document.is_incomplete() || self.is_lost("tank.filled-to") => {
                Err(Reported(()))
            }
            SourceKind::Neither => {
                let message = "the rig has no source of air: neither [compressor] nor `tank.filled-to`";
                let hint = if self.document.source().is_some() {
                    "add the table [compressor] with delivery, cut-in and cut-out, or for a bottle a line such as \
                     `filled-to = \"200 bar\"` under [tank]"
                } else {
                    "give `--cut-in` and `--cut-out` for a compressor, or `--filled-to` for a bottle"
                };
                let problem = Problem::new(self.place_of_table("tank.filled-to"), message).hint(hint);
                Err(self.report(problem))
            }
        }
    }

    /// The compressor and its pressure switch.
    ///
    /// # Errors
    /// If a field is missing or wrong.
    pub fn compressor(&mut self) -> Result<Compressor, Reported> {
        let delivery = self.delivery();
        let cut_in = self.required("compressor.cut-in");
        let cut_out = self.required("compressor.cut-out");
        let duty = self.with_default("compressor.duty");
        let volts = self.optional("compressor.volts");
        let current = self.points("compressor.current");
        let max_run = self.optional("compressor.max-run");
        let (cut_in, cut_out): (GaugePressure, GaugePressure) = (cut_in?, cut_out?);
        if cut_out <= cut_in {
            let message = format!(
                "`compressor.cut-out` ({}) must be above `compressor.cut-in` ({})",
                self.said("compressor.cut-out"),
                self.said("compressor.cut-in"),
            );
            let problem = Problem::new(self.place_of("compressor.cut-out"), message)
                .hint("the switch starts the pump at cut-in and stops it at cut-out; are the two swapped?");
            return Err(self.report(problem));
        }
        let current = current?.map(|points| {
            points.into_iter().map(|(pressure, y)| (pressure, ElectricCurrent::from_si(y.si))).collect()
        });
        Ok(Compressor {
            delivery: delivery?,
            cut_in,
            cut_out,
            duty: duty?,
            volts: volts?,
            current,
            max_run: max_run?,
        })
    }

    /// Delivery against pressure.
    ///
    /// # Errors
    /// If it is missing or wrong.
    fn delivery(&mut self) -> Result<Delivery, Reported> {
        let reason = "the curve is given by points, or by open and stall";
        let by_open = self.either("compressor.delivery.open", "compressor.delivery.points", reason)?;
        let by_stall = self.either("compressor.delivery.stall", "compressor.delivery.points", reason)?;
        match (by_open, by_stall) {
            (Choice::Second, _) | (_, Choice::Second) => self.delivery_points(),
            (Choice::Neither, Choice::Neither) => Err(self.no_delivery()),
            _ => self.open_and_stall(),
        }
    }

    fn no_delivery(&mut self) -> Reported {
        let path = "compressor.delivery";
        if self.document.is_incomplete() {
            return Reported(());
        }
        let hint = "add `delivery = { open = \"32 L/min\", stall = \"14 bar\" }`, or points: \
                    `delivery = { points = [[\"0 bar\", \"32 L/min\"], [\"8 bar\", \"15 L/min\"]] }`";
        let (message, place) = if self.is_stated(path) {
            (
                "`compressor.delivery` says nothing: neither `open` and `stall` nor `points`",
                self.place_of(path),
            )
        } else if self.document.source().is_some() {
            ("`compressor.delivery` is missing", self.place_of_table(path))
        } else {
            let problem = Problem::new(Place::Whole, "`compressor.delivery` is missing")
                .hint("give `--open \"32 L/min\" --stall \"14 bar\"`, or name a rig file");
            return self.report(problem);
        };
        if matches!(
            self.document.stated(path),
            crate::rig::document::Stated::Broken | crate::rig::document::Stated::Lost
        ) {
            return Reported(());
        }
        self.report(Problem::new(place, message).hint(hint))
    }

    fn open_and_stall(&mut self) -> Result<Delivery, Reported> {
        let path = "compressor.delivery.open";
        let open = self.flow(path, ReferenceState::Inlet);
        let stall = self.required("compressor.delivery.stall");
        let index = self.number("compressor.index");
        let open = match open? {
            Some((flow, quantity)) => {
                let intake = self.intake(path, flow)?;
                let scale = if quantity.si > 0.0 { intake_si(intake) / quantity.si } else { 1.0 };
                self.note_tolerance(path, Some(quantity), scale);
                intake
            }
            None => return Err(self.missing_path(path)),
        };
        let index = if let Some(index) = index? {
            index
        } else {
            self.note_default("compressor.index", "1.2");
            DEFAULT_INDEX
        };
        // The volumetric efficiency has the exponent 1/n; at n = 1 the formula still holds.
        Ok(Delivery::OpenAndStall { open, stall: stall?, index })
    }

    fn delivery_points(&mut self) -> Result<Delivery, Reported> {
        let path = "compressor.delivery.points";
        let Some(points) = self.points(path)? else { return Err(self.missing_path(path)) };
        if points.iter().all(|(_, delivery)| delivery.si <= 0.0) {
            let problem =
                Problem::new(self.place_of(path), format!("every point of `{path}` delivers nothing"))
                    .hint("the first point of a pump is its free-air delivery at 0 bar");
            return Err(self.report(problem));
        }
        let mut curve = Vec::new();
        for (pressure, delivery) in points {
            curve.push((pressure, self.intake(path, as_flow(&delivery, ReferenceState::Inlet))?));
        }
        Ok(Delivery::Points(curve))
    }

    fn intake(&mut self, path: &str, flow: Flow) -> Result<Intake, Reported> {
        match flow {
            Flow::Mass(mass) => Ok(Intake::Mass(mass)),
            Flow::Volume(flow) => {
                let intake = reference::intake(flow);
                let place = self.place_of(path);
                let intake = intake.map_err(|error| self.report(Problem::new(place, error.to_string())));
                Ok(Intake::InletVolume(intake?))
            }
        }
    }
}

/// As the field table has it.
const DEFAULT_INDEX: f64 = 1.2;

fn intake_si(intake: Intake) -> f64 {
    match intake {
        Intake::InletVolume(volume) => volume.value,
        Intake::Mass(mass) => mass.value,
    }
}
