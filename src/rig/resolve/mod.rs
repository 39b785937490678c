//! From what the file and the flags say to typed parts of a rig.

mod base;
mod compressor;
mod cylinders;
mod drive;
mod frame;
mod inner;
mod joint;
mod linkage;
mod load;
mod passage;
mod plan;
mod points;
mod protection;
mod rod;
mod section;
mod site;
mod tank;
mod task;
mod value;

#[cfg(test)]
mod tests;

pub(super) use task::SAID_BY_TASKS;
pub(super) use value::LONGEST_TEXT;

use std::collections::{BTreeMap, BTreeSet};

use uom::si::f64::{Length, MassDensity};

use super::document::{Document, MOST, Stated};
use super::fields::{self, Field, Need};
use super::problem::{Place, Problem};
use super::tree::{Node, Value};
use super::{DefaultUsed, Rig, Site};
use crate::sizing::linkage::Linkage;

/// A part could not be had; why stands in the list of problems.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Reported(());

/// Parts of a rig with what was assumed for them.
#[derive(Debug, Clone, PartialEq)]
pub struct Resolved<T> {
    /// The parts asked for.
    pub value: T,
    /// Defaults that filled in, in the order of asking.
    pub defaults: Vec<DefaultUsed>,
    /// Stated tolerances: field path to half width in the SI base unit of the model.
    pub tolerances: BTreeMap<&'static str, f64>,
    /// Paths of the fields that the file or a flag gives.
    pub given: BTreeSet<&'static str>,
}

/// Answers requests for parts of a rig, and keeps what is wrong and what was assumed.
///
/// Each part may be asked for alone. A part whose fields are missing or wrong is [`Reported`].
#[derive(Debug)]
pub struct Resolver<'d> {
    document: &'d Document,
    problems: Vec<Problem>,
    defaults: Vec<DefaultUsed>,
    tolerances: BTreeMap<&'static str, f64>,
    given: BTreeSet<&'static str>,
    site: Option<Result<Site, Reported>>,
}

impl<'d> Resolver<'d> {
    pub(super) fn new(document: &'d Document) -> Self {
        Self {
            document,
            problems: Vec::new(),
            defaults: Vec::new(),
            tolerances: BTreeMap::new(),
            given: BTreeSet::new(),
            site: None,
        }
    }

    /// Every part of a rig, and the rules between them.
    ///
    /// # Errors
    /// If any part is missing or wrong.
    pub fn rig(&mut self) -> Result<Rig, Reported> {
        let title = self.text("title");
        let site = self.site();
        let source = self.air_source();
        let mut tank = self.tank();
        let regulator = self.regulator();
        let line = self.line();
        let cylinders = self.cylinders();
        let rod_side = match (&line, &cylinders) {
            (Ok(line), Ok(cylinders)) => self.rod_side(line, cylinders.action),
            _ => Ok(()),
        };
        let breakaway = self.breakaway(cylinders.as_ref().ok());
        if let (Ok(site), Ok(source), Ok(tank)) = (&site, &source, &mut tank) {
            tank.leak = self.tank_leak(site, source, tank.volume).ok().flatten();
        }
        let closed_length = self.closed_length(cylinders.as_ref().ok());
        let described = self.described_linkage();
        let load = self.load_and_profile();
        let linkage = match (&cylinders, described, closed_length, &load) {
            (Ok(cylinders), Ok(described), Ok(closed), Ok((load, profile))) => {
                self.laid_out(described, cylinders, closed, load, profile.clone())
            }
            _ => Err(Reported(())),
        };
        let arms = self.arms();
        let pins_of_linkage = match (&linkage, &cylinders, &load) {
            (Ok(linkage), Ok(cylinders), Ok((load, _))) => linkage.loaded_pins(cylinders, load),
            _ => None,
        };
        let load = load.map(|(load, _)| load);
        let rod_is_known = match (&linkage, closed_length) {
            (Ok(linkage), Ok(closed)) => {
                closed.is_some() || linkage.shape.cylinder_length(Length::default()).is_some()
            }
            _ => false,
        };
        let rod = self.rod_column(closed_length.unwrap_or_default(), rod_is_known, cylinders.as_ref().ok());
        let sink_and_play = self.with_default("load.sink-and-play");
        let frame = self.frame();
        let protection = self.protection();
        let pins = self.pins(pins_of_linkage.as_deref());
        let welds = self.welds(frame.as_deref().ok());
        let is_lever = linkage.as_ref().is_ok_and(|linkage| matches!(linkage.shape, Linkage::Lever(_)));
        let base = self.base(load.as_ref().ok(), is_lever);
        let battery = self.battery();
        let cycle = self.cycle();
        let tasks = self.tasks();
        let limits = self.limits();
        rod_side?;
        let (linkage, frame, base) = (linkage?, frame?, base?);
        let (arms, pins, welds) = (arms?, pins?, welds?);
        self.defaults.retain(|default| match default.field {
            "limits.column-safety" => {
                rod_is_known || arms.is_some() || matches!(linkage.shape, Linkage::FoldingLeg(_))
            }
            "limits.yield-ratio" => !frame.is_empty() || !pins.is_empty(),
            "limits.stability" => base.is_some(),
            "limits.dead-point" => !matches!(linkage.shape, Linkage::Direct(_)),
            _ => true,
        });
        Ok(Rig {
            title: title?,
            site: site?,
            source: source?,
            tank: tank?,
            regulator: regulator?,
            line: line?,
            cylinders: cylinders?,
            breakaway: breakaway?,
            linkage,
            load: load?,
            battery: battery?,
            cycle: cycle?,
            tasks: tasks?,
            limits: limits?,
            rod: rod?,
            frame,
            arms,
            pins,
            welds,
            base,
            sink_and_play: sink_and_play?,
            protection: protection?,
            tolerances: BTreeMap::new(),
            defaults: Vec::new(),
            given: BTreeSet::new(),
        })
    }

    pub(super) fn finish<T>(self, answer: Result<T, Reported>) -> Result<Resolved<T>, Vec<Problem>> {
        let Self { document, mut problems, defaults, tolerances, given, .. } = self;
        match answer {
            Ok(value) if problems.is_empty() && document.is_sound() => {
                Ok(Resolved { value, defaults, tolerances, given })
            }
            Ok(_) => Err(problems),
            Err(Reported(())) => {
                if problems.is_empty() && document.is_sound() {
                    // Only a fault of this program leads here. Saying so beats a silent refusal.
                    problems.push(Problem::new(
                        Place::Whole,
                        "the rig could not be read, for a reason not noted",
                    ));
                }
                Err(problems)
            }
        }
    }

    fn report(&mut self, problem: Problem) -> Reported {
        if self.problems.len() < MOST {
            self.problems.push(problem);
        }
        Reported(())
    }

    /// What is said about a field. Notes that it is given.
    fn stated(&mut self, path: &'static str) -> Stated<'d> {
        let stated = self.document.stated(path);
        if matches!(stated, Stated::Lost) {
            return stated;
        }
        if !matches!(stated, Stated::Absent) {
            self.given.insert(path);
            return stated;
        }
        let Some(fallback) = self.document.fallback(path) else { return stated };
        if fallback.matters {
            self.note_default(path, fallback.text);
        }
        Stated::Flag(fallback.text)
    }

    fn is_stated(&self, path: &str) -> bool {
        match self.document.stated(path) {
            Stated::Lost => false,
            Stated::Absent => self.document.fallback(path).is_some(),
            _ => true,
        }
    }

    /// Whether nobody knows if it is given, since its table cannot be read.
    fn is_lost(&self, path: &str) -> bool {
        matches!(self.document.stated(path), Stated::Lost)
    }

    fn is_flag(&self, path: &str) -> bool {
        matches!(self.document.stated(path), Stated::Flag(_))
    }

    /// Whether the file or a flag gives anything of a table.
    fn has_table(&self, table: &str) -> bool {
        self.document.has_flag_in(table) || self.is_stated(table)
    }

    /// Which of two ways of saying the same thing holds. A flag overrules the file; otherwise giving both is
    /// a mistake.
    fn either(
        &mut self,
        first: &'static str,
        second: &'static str,
        reason: &str,
    ) -> Result<Choice, Reported> {
        // What a question takes for granted does not stand against what is said.
        let says = |path| !matches!(self.document.stated(path), Stated::Absent | Stated::Lost);
        match (says(first), says(second)) {
            (true, false) => return Ok(Choice::First),
            (false, true) => return Ok(Choice::Second),
            _ => {}
        }
        match (self.is_stated(first), self.is_stated(second)) {
            (true, false) => Ok(Choice::First),
            (false, true) => Ok(Choice::Second),
            (false, false) if self.is_lost(first) => Err(Reported(())),
            (false, false) => Ok(Choice::Neither),
            (true, true) => match (self.is_flag(first), self.is_flag(second)) {
                (true, false) => Ok(Choice::First),
                (false, true) => Ok(Choice::Second),
                _ => {
                    let problem = Problem::new(
                        self.place_of(second),
                        format!("`{first}` and `{second}` are both given; {reason}"),
                    );
                    Err(self.report(problem.hint("keep the one that you know better and delete the other")))
                }
            },
        }
    }

    /// Where the value of a field stands; where its table starts if it is not given.
    fn place_of(&self, path: &str) -> Place {
        match self.document.stated(path) {
            Stated::Flag(text) => flag_place(path, text),
            Stated::File(node) => self.document.place(node.span.clone()),
            Stated::Broken | Stated::Lost | Stated::Absent => self.place_of_table(path),
        }
    }

    fn place_of_table(&self, path: &str) -> Place {
        let table = path.rsplit_once('.').map_or("", |(table, _)| table);
        match (self.document.stated(table), self.document.source()) {
            (Stated::File(node), _) if !table.is_empty() => self.document.place(self.heading(node)),
            (_, Some(source)) => {
                let end = source.text().trim_end().len();
                self.document.place(end..end)
            }
            (_, None) => Place::Whole,
        }
    }

    /// The heading of a table, or its key when it is written on one line.
    fn heading(&self, node: &Node) -> std::ops::Range<usize> {
        // A table in a list has no key of its own.
        if self.is_heading(node) || node.key.is_empty() { node.span.clone() } else { node.key_span.clone() }
    }

    fn is_heading(&self, node: &Node) -> bool {
        let text = self.document.source().map_or("", |source| source.text());
        text.get(node.span.clone()).is_some_and(|written| written.starts_with('['))
    }

    /// A value as written, or the default that stands for it.
    fn said(&self, path: &str) -> String {
        match self.document.stated(path) {
            Stated::Flag(text) => super::problem::shown(text),
            Stated::File(Node { value: Value::Text(text) | Value::Number(text), .. }) => {
                super::problem::shown(text)
            }
            _ => match fields::field(path).map(|field| field.need) {
                Some(Need::Default(default)) => format!("{default} unless given"),
                _ => "not given".to_owned(),
            },
        }
    }

    /// Reports a field that must be given and is not.
    fn missing(&mut self, field: &'static Field) -> Reported {
        let top = field.path.split('.').next().unwrap_or(field.path);
        let table_state = self.document.stated(top);
        if self.document.is_incomplete() || matches!(table_state, Stated::Broken | Stated::Lost) {
            return Reported(());
        }
        let from_file = self.document.source().is_some();
        if from_file && matches!(table_state, Stated::Absent) && !self.document.has_flag_in(top) {
            return self.missing_table(top);
        }
        let flag = field.flag.map(|flag| format!("--{flag} \"{}\"", field.example_text()));
        let line = format!("{} = {}", field.key(), field.example);
        let hint = match (from_file, flag) {
            (true, Some(flag)) if field.table().contains('.') => {
                format!("add `{line}` between its braces, or give `{flag}`")
            }
            (true, Some(flag)) => {
                format!("add a line such as `{line}` under [{}], or give `{flag}`", field.table())
            }
            (true, None) => format!("add `{line}` or the like to `{}`", field.table()),
            (false, Some(flag)) => format!("give it, for example `{flag}`, or name a rig file"),
            (false, None) => "name a rig file that says it".to_owned(),
        };
        let place = self.place_of_table(field.path);
        let label = match field.need {
            Need::Depends(rule) => format!("{}; {rule}", lower_first(field.doc)),
            _ => lower_first(field.doc),
        };
        let problem = Problem::new(place, format!("`{}` is missing", field.path)).label(label);
        self.report(problem.hint(hint))
    }

    fn missing_table(&mut self, table: &'static str) -> Reported {
        let doc = fields::table(table).map_or("", |table| table.doc);
        let message = format!("the table [{table}] is missing: {}", lower_first(doc));
        if self.problems.iter().any(|problem| problem.message == message) {
            return Reported(());
        }
        let needed: Vec<_> = fields::FIELDS
            .iter()
            .filter(|field| {
                // The usual one of the fields that depend on each other.
                let usual = matches!(field.path, "load.mass" | "tank.relief");
                field.table() == table && (field.need == Need::Required || usual)
            })
            .map(|field| format!("{} = {}", field.key(), field.example))
            .collect();
        let place = self.place_of_table(table);
        let problem = Problem::new(place, message)
            .label("the file ends here")
            .hint(format!("add the heading [{table}], and under it lines such as {}", needed.join(", ")));
        self.report(problem)
    }

    /// Density of the site's own air.
    fn inlet_density(&mut self) -> Result<MassDensity, Reported> {
        let site = self.site()?;
        let density = crate::air::gas::density(site.atmosphere, site.temperature);
        density.map_err(|error| self.report(Problem::new(Place::Whole, error.to_string())))
    }
}

/// Which of two fields is given.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Choice {
    First,
    Second,
    Neither,
}

/// The place of a value given by a flag.
fn flag_place(path: &str, text: &str) -> Place {
    let flag = fields::field(path).and_then(|field| field.flag).unwrap_or(path);
    Place::Flag { flag: format!("--{flag}"), text: text.to_owned() }
}

/// A line of documentation as part of a sentence.
fn lower_first(doc: &str) -> String {
    let mut letters = doc.chars();
    match letters.next() {
        Some(first) => first.to_lowercase().chain(letters).collect(),
        None => String::new(),
    }
}
