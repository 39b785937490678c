//! A rig file that has been read: its tree, its flags, and what is wrong with its form.

use std::collections::BTreeSet;
use std::ops::Range;

use toml::de::DeTable;

use super::overrides::{Fallback, Overrides};
use super::problem::{self, Place, Problem, Problems};
use super::resolve::{Reported, Resolved, Resolver};
use super::source::Source;
use super::syntax::{self, Damage};
use super::text_index::TextIndex;
use super::tree::{self, Node, Value};
use super::{Rig, fields, unknown};
use crate::units::table::System;
use crate::units::{UnitSystem, parse::parse};

/// Problems beyond this number are not looked for: one more than is kept, to know that there are more.
pub(super) const MOST: usize = problem::MOST + 1;

/// A rig file and the flags that stand before it, read but not yet understood.
///
/// ```
/// use lungful::rig::{Document, Overrides, Source};
///
/// let source = Source::new("short.toml", "[load]\nmass = \"120 kg\"\nlift = \"380 mm\"");
/// let document = Document::read(Some(&source), &Overrides::none());
/// let load = document.resolve(|resolver| resolver.load())?;
/// assert_eq!(load.value.mass.value, 120.0);
/// assert!(load.defaults.iter().any(|default| default.field == "load.share")); // each default that was used
/// # Ok::<(), lungful::rig::Problems>(())
/// ```
#[derive(Debug, Clone)]
pub struct Document {
    source: Option<Source>,
    overrides: Overrides,
    index: TextIndex,
    root: Vec<Node>,
    problems: Vec<Problem>,
    meant: BTreeSet<String>,
    incomplete: bool,
}

/// What the file or a flag says about a path.
#[derive(Debug, Clone, Copy)]
pub(super) enum Stated<'d> {
    /// Nothing.
    Absent,
    /// A flag gives it.
    Flag(&'d str),
    /// The file gives it.
    File(&'d Node),
    /// Something is there that cannot be read; that has been reported.
    Broken,
    /// Its table cannot be read, so nobody knows; that has been reported.
    Lost,
}

impl Document {
    /// Reads the text and the flags. What is wrong with their form is kept until something is asked for, so
    /// that everything is reported in one run.
    #[must_use]
    pub fn read(source: Option<&Source>, overrides: &Overrides) -> Self {
        let mut document = Self {
            source: source.cloned(),
            overrides: overrides.clone(),
            index: TextIndex::new(source.map_or("", Source::text)),
            root: Vec::new(),
            problems: Vec::new(),
            meant: BTreeSet::new(),
            incomplete: false,
        };
        if let Some(source) = source {
            document.read_text(source.text());
        }
        for given in overrides.iter() {
            if fields::field(&given.path).is_none() {
                let place = Place::Flag { flag: given.path.clone(), text: given.text.clone() };
                document.problems.push(Problem::new(place, format!("there is no field `{}`", given.path)));
            }
        }
        document
    }

    fn read_text(&mut self, text: &str) {
        let index = self.index.clone();
        let (table, errors) = DeTable::parse_recoverable(text);
        let Damage { problems, lines, cut, suspects } = syntax::damage(&index, table.get_ref(), errors);
        let damage = Damage { problems: Vec::new(), lines, cut, suspects };
        let is_broken = |start: usize| damage.covers(start, &index);
        self.root = tree::entries(table.get_ref(), &is_broken);
        let kept = key_lines(&self.root, &index);
        self.incomplete = damage.cut.is_some() || damage.suspects.iter().any(|line| !kept.contains(line));
        self.problems = problems;
        self.problems.truncate(MOST);
        if let Some(cut) = damage.cut {
            self.root.retain(|node| node.key_span.start < cut);
        }
        let left = MOST.saturating_sub(self.problems.len());
        let found = unknown::search(&self.root, &index, left);
        let on_sound_lines = |problem: &Problem| match &problem.place {
            Place::Text { span, .. } => !is_broken(span.start),
            _ => true,
        };
        self.problems.extend(found.problems.into_iter().filter(on_sound_lines));
        self.meant = found.meant;
        if self.root.is_empty() && self.problems.is_empty() {
            let only = if text.trim().is_empty() {
                "the file is empty"
            } else {
                "the file holds nothing but remarks"
            };
            self.problems
                .push(Problem::new(Place::Whole, only).hint("`lungful new` writes a rig file to start from"));
            self.incomplete = true;
        }
    }

    /// The whole rig.
    ///
    /// # Errors
    /// Everything that is wrong with the file and the flags.
    pub fn rig(&self) -> Result<Rig, Problems> {
        let Resolved { value, defaults, tolerances, given } = self.resolve(Resolver::rig)?;
        Ok(Rig { tolerances, defaults, given, ..value })
    }

    /// Those parts of a rig for which `ask` asks, for a command that needs no more than these.
    ///
    /// `ask` should ask for all parts before it gives up on one, so that all problems come out at once:
    ///
    /// ```
    /// use lungful::rig::{Document, Overrides};
    ///
    /// let mut flags = Overrides::none();
    /// flags.set("load.mass", "80 lb");
    /// flags.set("load.lift", "15 in");
    /// let document = Document::read(None, &flags);
    /// let problems = document.resolve(|resolver| {
    ///     let load = resolver.load();
    ///     let regulator = resolver.regulator();
    ///     Ok((load?, regulator?))
    /// });
    /// assert!(problems.unwrap_err().to_string().contains("`regulator.set` is missing"));
    /// ```
    ///
    /// # Errors
    /// Everything that is wrong with the form of the file, and with the parts asked for.
    pub fn resolve<'d, T>(
        &'d self,
        ask: impl FnOnce(&mut Resolver<'d>) -> Result<T, Reported>,
    ) -> Result<Resolved<T>, Problems> {
        let mut resolver = Resolver::new(self);
        let answer = ask(&mut resolver);
        let outcome = resolver.finish(answer);
        outcome.map_err(|later| {
            let problems = self.problems.iter().cloned().chain(later).collect();
            Problems::new(self.source.clone(), problems)
        })
    }

    /// Problems with what a question needs beyond the rig itself, as of this file.
    #[must_use]
    pub fn problems(&self, list: Vec<Problem>) -> Problems {
        Problems::new(self.source.clone(), list)
    }

    /// Whether a flag or the file says anything of a field or a table.
    #[must_use]
    pub fn says(&self, path: &str) -> bool {
        self.has_flag_in(path) || !matches!(self.stated(path), Stated::Absent)
    }

    /// The units in which most of what is said is written; metric where it is a draw.
    #[must_use]
    pub fn habit(&self) -> UnitSystem {
        let (mut metric, mut us) = (0_u32, 0_u32);
        for field in fields::FIELDS {
            let fields::Kind::Quantity(measure) = field.kind else { continue };
            let text = match self.stated(field.path) {
                Stated::Flag(text) => text,
                Stated::File(Node { value: Value::Text(text), .. }) => text,
                _ => continue,
            };
            match parse(text, measure.dimension).map(|quantity| quantity.unit.system) {
                Ok(System::Metric) => metric += 1,
                Ok(System::Us) => us += 1,
                _ => {}
            }
        }
        if us > metric { UnitSystem::Us } else { UnitSystem::Metric }
    }

    /// The same document with what a question takes for granted.
    #[must_use]
    pub fn with(self, overrides: Overrides) -> Self {
        Self { overrides, ..self }
    }

    /// What a field is taken to be where nothing says it.
    pub(super) fn fallback(&self, path: &str) -> Option<Fallback> {
        self.overrides.fallback(path)
    }

    /// Whether the form of the file is sound.
    pub(super) fn is_sound(&self) -> bool {
        self.problems.is_empty()
    }

    /// Whether a line that may have held a field is lost, so that nothing can be called missing.
    pub(super) const fn is_incomplete(&self) -> bool {
        self.incomplete
    }

    /// Whether a path was probably meant by a key that is misspelt, which has been reported.
    pub(super) fn is_meant(&self, path: &str) -> bool {
        self.meant.contains(path)
    }

    pub(super) const fn source(&self) -> Option<&Source> {
        self.source.as_ref()
    }

    pub(super) fn stated(&self, path: &str) -> Stated<'_> {
        if let Some(given) = self.overrides.get(path) {
            return Stated::Flag(&given.text);
        }
        let mut nodes = &self.root;
        let mut walked = String::new();
        let mut found = Stated::Absent;
        for key in path.split('.') {
            if !walked.is_empty() {
                walked.push('.');
            }
            walked.push_str(key);
            let Some(node) = nodes.iter().find(|node| node.key == key) else {
                return match (self.meant.contains(&walked), walked == path) {
                    (false, _) => Stated::Absent,
                    (true, true) => Stated::Broken,
                    (true, false) => Stated::Lost,
                };
            };
            found = if matches!(node.value, Value::Broken) { Stated::Broken } else { Stated::File(node) };
            match &node.value {
                Value::Table(inner) => nodes = inner,
                _ if walked == path => return found,
                // A table is needed here; that something else stands here has been reported.
                _ => return Stated::Lost,
            }
        }
        found
    }

    /// Whether a flag gives a field of the table.
    pub(super) fn has_flag_in(&self, table: &str) -> bool {
        self.overrides
            .iter()
            .any(|given| given.path.strip_prefix(table).is_some_and(|rest| rest.starts_with('.')))
    }

    /// Place of a span of the file.
    pub(super) fn place(&self, span: Range<usize>) -> Place {
        match &self.source {
            Some(_) => self.index.place(span),
            None => Place::Whole,
        }
    }
}

/// The lines on which a key has survived.
fn key_lines(nodes: &[Node], index: &TextIndex) -> BTreeSet<usize> {
    let mut lines = BTreeSet::new();
    for node in nodes {
        lines.insert(index.line(node.key_span.start));
        match &node.value {
            Value::Table(inner) => lines.extend(key_lines(inner, index)),
            Value::List(items) => {
                for item in items {
                    if let Value::Table(inner) = &item.value {
                        lines.extend(key_lines(inner, index));
                    }
                }
            }
            _ => {}
        }
    }
    lines
}
