//! Every field of the rig file, once.
//!
//! The reader, the did-you-mean, the list of defaults, the JSON Schema and the template that `new` writes
//! all take their facts from [`FIELDS`] and [`TABLES`].

mod list;

pub use list::{FIELDS, TABLES};
pub(super) use list::{LINKAGE_WAYS, SECTIONS, SectionKeys, kinds_with};

use crate::units::Dimension;

/// A table of the rig file.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Table {
    /// Its path; inner tables such as `compressor.delivery` have a path of two parts.
    pub path: &'static str,
    /// Whether a rig needs it.
    pub required: bool,
    /// Whether it is written `[[name]]`, once for each thing.
    pub repeated: bool,
    /// What it describes, in one line.
    pub doc: &'static str,
}

/// A field of the rig file.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Field {
    /// Its path, `table.key`.
    pub path: &'static str,
    /// What it holds.
    pub kind: Kind,
    /// Whether it must be given.
    pub need: Need,
    /// The command-line flag that gives it, without the dashes.
    pub flag: Option<&'static str>,
    /// What it means, in one line.
    pub doc: &'static str,
    /// A value as it stands in the file, in TOML.
    pub example: &'static str,
    /// What to say when the value is of another, easily confused dimension.
    pub confused: &'static [(Dimension, &'static str)],
}

/// What a field holds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Kind {
    /// Free text.
    Text,
    /// One of these words.
    Words(&'static [&'static str]),
    /// A whole number in this range.
    Count {
        /// Lowest.
        low: u32,
        /// Highest.
        high: u32,
    },
    /// A plain number.
    Number {
        /// Lower end.
        low: Bound,
        /// Upper end.
        high: Bound,
    },
    /// A text with a unit.
    Quantity(Measure),
    /// A list of pairs, each two texts with units.
    Points {
        /// The first of each pair.
        x: Measure,
        /// The second of each pair.
        y: Measure,
        /// The fewest pairs that make sense.
        fewest: usize,
        /// How the first of each pair must follow each other.
        order: Order,
    },
    /// A list of two texts with units; the second may be left out where `fewest` is 1.
    Pair {
        /// What each of the two is.
        measure: Measure,
        /// 1 or 2.
        fewest: usize,
    },
}

/// How the points of a curve follow each other.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Order {
    /// Each above the one before.
    Rising,
    /// Each at or above the one before; two alike are a step.
    Steps,
    /// In any order.
    Any,
}

/// A physical value: its dimension and the range in which it makes sense.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Measure {
    /// Dimension.
    pub dimension: Dimension,
    /// For a pressure: against what it is counted.
    pub pressure: PressureKind,
    /// Lower end of the range.
    pub low: Bound,
    /// Upper end of the range.
    pub high: Bound,
}

/// Against what a pressure is counted when its unit does not say.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PressureKind {
    /// Against the atmosphere of the site (and what is not a pressure).
    Gauge,
    /// Against vacuum.
    Absolute,
    /// A difference between two pressures.
    Difference,
}

/// One end of a range, as text with its unit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Bound {
    /// The end itself is allowed.
    Included(&'static str),
    /// The end itself is not allowed.
    Excluded(&'static str),
}

impl Bound {
    /// The end as text.
    #[must_use]
    pub const fn text(self) -> &'static str {
        match self {
            Self::Included(text) | Self::Excluded(text) => text,
        }
    }
}

/// The range in words: `from 0 % to 100 %`.
#[must_use]
pub fn range_words(low: Bound, high: Bound) -> String {
    range_said_as(low, high, low.text(), high.text())
}

/// As [`range_words`], with the ends in words of their own.
pub(super) fn range_said_as(low: Bound, high: Bound, least: &str, most: &str) -> String {
    match (low, high) {
        (Bound::Included(_), Bound::Included(_)) => format!("from {least} to {most}"),
        (Bound::Included(_), Bound::Excluded(_)) => format!("at least {least} and below {most}"),
        (Bound::Excluded(_), Bound::Included(_)) => format!("above {least} and at most {most}"),
        (Bound::Excluded(_), Bound::Excluded(_)) => format!("above {least} and below {most}"),
    }
}

/// Whether a field must be given.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Need {
    /// Always, where its table is given.
    Required,
    /// It may be left out, and then nothing is assumed.
    Optional,
    /// It may be left out, and then this is used.
    Default(&'static str),
    /// It depends on other fields; the rule in words.
    Depends(&'static str),
}

impl Field {
    /// The path of the table that holds the field; empty for a field before the first table.
    #[must_use]
    pub fn table(&self) -> &'static str {
        self.path.rsplit_once('.').map_or("", |(table, _)| table)
    }

    /// The key within its table.
    #[must_use]
    pub fn key(&self) -> &'static str {
        self.path.rsplit_once('.').map_or(self.path, |(_, key)| key)
    }

    /// The example as a flag takes it: without the quotes of TOML, and a list of pairs without its brackets.
    #[must_use]
    pub fn example_text(&self) -> &'static str {
        // The only list that has a flag.
        if self.path == "compressor.delivery.points" {
            return "0 bar: 32 L/min, 8 bar: 15 L/min";
        }
        self.example.trim_matches('"')
    }
}

/// The field at a path.
#[must_use]
pub fn field(path: &str) -> Option<&'static Field> {
    FIELDS.iter().find(|field| field.path == path)
}

/// The table at a path.
#[must_use]
pub fn table(path: &str) -> Option<&'static Table> {
    TABLES.iter().find(|table| table.path == path)
}

/// The ways to write an inner table on one line, the usual one first; none for other tables.
#[must_use]
pub fn ways_to_write(path: &str) -> &'static [&'static str] {
    list::ON_ONE_LINE.iter().find(|(table, _)| *table == path).map_or(&[], |(_, ways)| *ways)
}

/// The table whose keys a table has: a section is described alike wherever it stands.
pub(super) fn described_as(path: &str) -> &str {
    match path {
        "frame.reinforcement.section" | "linkage.arm-section" => "frame.section",
        path => path,
    }
}

/// Keys that may stand in the table at `path` (empty: before the first table), fields and inner tables, in
/// file order.
pub fn keys_in(path: &str) -> impl Iterator<Item = &'static str> {
    let path = described_as(path);
    // A key that holds either a value or a table is named once.
    let tables = TABLES.iter().map(|table| table.path).filter(|path| field(path).is_none());
    FIELDS.iter().map(|field| field.path).chain(tables).filter_map(move |candidate| {
        let (table, key) = candidate.rsplit_once('.').unwrap_or(("", candidate));
        (table == path).then_some(key)
    })
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    #[test]
    fn paths_and_flags_are_unique() {
        let paths: BTreeSet<_> = FIELDS.iter().map(|field| field.path).collect();
        assert_eq!(paths.len(), FIELDS.len());
        let flags: Vec<_> = FIELDS.iter().filter_map(|field| field.flag).collect();
        assert_eq!(flags.iter().collect::<BTreeSet<_>>().len(), flags.len());
    }

    #[test]
    fn each_field_stands_in_a_known_table() {
        for field in FIELDS {
            assert!(field.table().is_empty() || table(field.table()).is_some(), "{}", field.path);
            assert!(!field.doc.is_empty() && !field.doc.ends_with('.'), "{}", field.path);
        }
    }

    #[test]
    fn a_range_reads_as_a_sentence() {
        let words = range_words(Bound::Included("0 %"), Bound::Excluded("100 %"));
        assert_eq!(words, "at least 0 % and below 100 %");
    }
}
