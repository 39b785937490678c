//! What air is pressed through: valves, fittings, throttles.

use uom::si::f64::{Area, Length, Pressure, Ratio};

use super::inner::Inner;
use super::value::{FromSi, Written};
use super::{Reported, Resolver};
use crate::Error;
use crate::air::flow::conversion::{
    FLOW_COEFFICIENT_CRITICAL_RATIO, NOZZLE_CRITICAL_RATIO, effective_area, flow_coefficient_metric,
    flow_coefficient_us, orifice,
};
use crate::air::flow::{Conductance, Restriction};
use crate::rig::fields;
use crate::rig::problem::{Place, Problem};
use crate::sizing::tank_capacity::{Fitting, Way};

/// Most fittings of a line.
const MOST_FITTINGS: usize = 50;

/// Where a passage is described: its path in the field table, and the table in a list that holds it, if one does.
#[derive(Clone, Copy)]
struct At<'d> {
    table: &'static str,
    inner: Option<Inner<'d>>,
}

impl<'d> Resolver<'d> {
    /// The narrowest passage of one way: C and b, or Cv, or Kv, or an effective area, or a bore.
    pub(super) fn passage(&mut self, table: &'static str) -> Result<Option<Restriction>, Reported> {
        self.passage_at(At { table, inner: None })
    }

    /// A passage of a table that may say it another way.
    pub(super) fn passage_or(
        &mut self,
        table: &'static str,
        other_way: impl Fn(&Self) -> bool,
    ) -> Result<Option<Restriction>, Reported> {
        let keys = ["C", "b", "m", "Cv", "Kv", "area", "bore", "discharge"];
        let says_it = keys.iter().any(|key| self.is_stated(&format!("{table}.{key}")));
        if !says_it && other_way(self) { Ok(None) } else { self.passage(table) }
    }

    /// What stands between valve and hose.
    pub(super) fn fittings(&mut self) -> Result<Vec<Fitting>, Reported> {
        let items =
            self.repeated("line.fitting", "this fitting", MOST_FITTINGS, "join those alike by `count`")?;
        let fittings: Vec<_> = items.into_iter().map(|item| self.fitting(item)).collect();
        fittings.into_iter().collect()
    }

    fn fitting(&mut self, item: Inner<'d>) -> Result<Fitting, Reported> {
        let name = self.written_in(item, "line.fitting.name").and_then(|written| self.text_of(written));
        let way = self.written_in(item, "line.fitting.way").and_then(|written| self.word_of(written));
        let count = self.written_in(item, "line.fitting.count").and_then(|written| self.count_of(written));
        let cracking = self.optional_in::<Pressure>(item, "line.fitting.cracking");
        let restriction = self.passage_at(At { table: item.table, inner: Some(item) })?;
        let Some(restriction) = restriction else { return Err(self.missing_in(item, "line.fitting.Kv")) };
        let way = match way? {
            Some("up") => Way::Up,
            Some("down") => Way::Down,
            _ => Way::Both,
        };
        let restriction = match cracking? {
            None => restriction,
            Some(_) if way == Way::Both => {
                let problem = Problem::new(
                    self.place_of_key(item, "cracking"),
                    "a check valve passes air one way only, and this one stands on both",
                )
                .hint("add `way = \"up\"` or `way = \"down\"`");
                return Err(self.report(problem));
            }
            Some(cracking) => {
                let place = self.place_of_key(item, "cracking");
                self.fits(restriction.with_cracking_pressure(cracking), place)?
            }
        };
        Ok(Fitting {
            name: name?.unwrap_or_else(|| "fitting".to_owned()),
            way,
            count: count?.unwrap_or(1),
            restriction,
        })
    }

    fn passage_at(&mut self, at: At<'d>) -> Result<Option<Restriction>, Reported> {
        let conductance = self.measured_key::<SonicConductance>(at, "C");
        let ratio = self.number_key(at, "b");
        let index = self.number_key(at, "m");
        let flow_coefficient = self.number_key(at, "Cv");
        let flow_factor = self.number_key(at, "Kv");
        let area = self.measured_key::<Area>(at, "area");
        let hole = self.measured_key::<Length>(at, "bore");
        let (conductance, ratio, index) = (conductance?, ratio?, index?);
        let (flow_coefficient, flow_factor, area, hole) = (flow_coefficient?, flow_factor?, area?, hole?);
        let ways = [
            conductance.is_some(),
            flow_coefficient.is_some(),
            flow_factor.is_some(),
            area.is_some(),
            hole.is_some(),
        ];
        let how_many = ways.into_iter().filter(|way| *way).count();
        let table = at.table;
        let message = match how_many {
            0 if ratio.is_some() => format!("`{table}` has `b` without `C`"),
            0 if self.is_silent(at) || self.document.is_incomplete() => return Ok(None),
            0 => format!("`{table}` says nothing about the passage"),
            1 if conductance.is_some() && ratio.is_none() => format!("`{table}` has `C` without `b`"),
            1 if hole.is_some() && ratio.is_some() => {
                format!("`{table}` has `b` beside `bore`; a hole chokes where a nozzle does")
            }
            1 => String::new(),
            _ => format!("`{table}` describes the same passage in {how_many} ways"),
        };
        let place = self.place_of_passage(at);
        if !message.is_empty() {
            let write = "write one of { C = \"2.1 L/(s bar)\", b = 0.3 }, { Cv = 0.5 }, { Kv = 0.43 }, { area = \"12 mm2\" }, { bore = \"4 mm\" }";
            return Err(self.report(Problem::new(place, message).hint(write)));
        }
        let usual = if area.is_some() {
            ("0.528", NOZZLE_CRITICAL_RATIO)
        } else {
            ("0.5", FLOW_COEFFICIENT_CRITICAL_RATIO)
        };
        if let (None, None, Some(field)) = (ratio, hole, key_of(at, "b")) {
            self.note_default(field, usual.0);
        }
        let b = Ratio::from(ratio.unwrap_or(usual.1));
        let restriction = if let Some(SonicConductance(si)) = conductance {
            Conductance::from_si(si).and_then(|c| Restriction::new(c, b))
        } else if let Some(cv) = flow_coefficient {
            flow_coefficient_us(cv, b)
        } else if let Some(kv) = flow_factor {
            flow_coefficient_metric(kv, b)
        } else if let Some(area) = area {
            effective_area(area, b)
        } else {
            orifice(hole.unwrap_or_default(), self.discharge(at)?)
        };
        let restriction = restriction.and_then(|it| match index {
            Some(index) => it.with_subsonic_index(index),
            None => Ok(it),
        });
        self.fits(restriction, place).map(Some)
    }

    pub(super) fn fits(
        &mut self,
        restriction: Result<Restriction, Error>,
        place: Place,
    ) -> Result<Restriction, Reported> {
        restriction.map_err(|error| self.report(Problem::new(place, error.to_string())))
    }

    fn discharge(&mut self, at: At<'d>) -> Result<Ratio, Reported> {
        let path = key_of(at, "discharge").ok_or(Reported(()))?;
        match at.inner {
            Some(inner) => self.default_in(inner, path, "65 %"),
            None => self.with_default(path),
        }
    }

    /// Whether nothing is said of a passage at all.
    fn is_silent(&self, at: At<'d>) -> bool {
        at.inner.is_none() && !self.is_stated(at.table)
    }

    fn place_of_passage(&self, at: At<'d>) -> Place {
        match at.inner {
            Some(inner) => self.place_in(inner),
            None => self.place_of(at.table),
        }
    }

    fn written_key(&mut self, at: At<'d>, key: &str) -> Result<Written<'d>, Reported> {
        let path = key_of(at, key).ok_or(Reported(()))?;
        match at.inner {
            Some(inner) => self.written_in(inner, path),
            None => self.written(path),
        }
    }

    fn measured_key<T: FromSi>(&mut self, at: At<'d>, key: &str) -> Result<Option<T>, Reported> {
        let written = self.written_key(at, key)?;
        Ok(self.quantity(written)?.map(|quantity| T::from_si(quantity.si)))
    }

    fn number_key(&mut self, at: At<'d>, key: &str) -> Result<Option<f64>, Reported> {
        let written = self.written_key(at, key)?;
        self.number_of(written)
    }
}

/// Path of a key of a passage.
fn key_of(at: At<'_>, key: &str) -> Option<&'static str> {
    fields::field(&format!("{}.{key}", at.table)).map(|field| field.path)
}

/// Sonic conductance in its SI unit.
#[derive(Clone, Copy)]
struct SonicConductance(f64);

impl FromSi for SonicConductance {
    fn from_si(si: f64) -> Self {
        Self(si)
    }
}
