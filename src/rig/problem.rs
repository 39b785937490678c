//! What is wrong with a rig file or with a flag, and where.

use std::fmt;
use std::ops::Range;

use super::source::Source;

/// One thing that is wrong with the input.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problem {
    /// Where it stands.
    pub place: Place,
    /// What is wrong: the field, the value, the rule.
    pub message: String,
    /// A few words beside the mark in the text.
    pub label: Option<String>,
    /// How to mend it.
    pub hint: Option<String>,
}

/// Where a problem stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Place {
    /// In the text of the rig file.
    Text {
        /// Line, from 1.
        line: usize,
        /// Column in characters, from 1.
        column: usize,
        /// Bytes of the text.
        span: Range<usize>,
    },
    /// In the value of a command-line flag.
    Flag {
        /// The flag with its dashes.
        flag: String,
        /// Its value as typed.
        text: String,
    },
    /// In the input as a whole: a file that cannot be read, a value that nothing gives.
    Whole,
}

impl Problem {
    /// A problem at a place.
    #[must_use]
    pub fn new(place: Place, message: impl Into<String>) -> Self {
        Self { place, message: message.into(), label: None, hint: None }
    }

    /// The same with words beside the mark.
    #[must_use]
    pub fn label(mut self, label: impl Into<String>) -> Self {
        self.label = Some(label.into());
        self
    }

    /// The same with a way to mend it.
    #[must_use]
    pub fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hint = Some(hint.into());
        self
    }

    /// Line in the rig file, if it stands in one.
    #[must_use]
    pub fn line(&self) -> Option<usize> {
        match self.place {
            Place::Text { line, .. } => Some(line),
            _ => None,
        }
    }

    /// Column in characters, if it stands in a rig file.
    #[must_use]
    pub fn column(&self) -> Option<usize> {
        match self.place {
            Place::Text { column, .. } => Some(column),
            _ => None,
        }
    }
}

impl Place {
    /// Order of reporting: the file from top to bottom, then what is not in it, then the flags.
    fn order(&self) -> (u8, usize, &str) {
        match self {
            Self::Text { span, .. } => (0, span.start, ""),
            Self::Whole => (1, 0, ""),
            Self::Flag { flag, .. } => (2, 0, flag),
        }
    }
}

/// All that is wrong with the input, in the order in which it stands there.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problems {
    source: Option<Source>,
    list: Vec<Problem>,
    /// Whether there are more, which were not looked for or are not kept.
    cut: bool,
}

/// Problems beyond this number are not kept.
pub(super) const MOST: usize = 200;

impl Problems {
    /// Sorts the problems, drops repetitions, and keeps the first 200.
    #[must_use]
    pub fn new(source: Option<Source>, mut list: Vec<Problem>) -> Self {
        list.sort_by(|a, b| a.place.order().cmp(&b.place.order()));
        list.dedup();
        let cut = list.len() > MOST;
        list.truncate(MOST);
        Self { source, list, cut }
    }

    /// The problems, in the order in which they stand in the input.
    pub fn iter(&self) -> std::slice::Iter<'_, Problem> {
        self.list.iter()
    }

    /// How many are kept.
    #[must_use]
    pub fn len(&self) -> usize {
        self.list.len()
    }

    /// Whether there is none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.list.is_empty()
    }

    /// Whether there are more than are kept.
    pub(super) const fn is_cut(&self) -> bool {
        self.cut
    }

    /// The rig file that was read, if there was one.
    #[must_use]
    pub fn source(&self) -> Option<&Source> {
        self.source.as_ref()
    }

    /// The text for a person: each problem with its line of the file and the fix, and a closing count.
    #[must_use]
    pub fn render(&self, style: Style) -> String {
        super::render::problems(self, style)
    }
}

/// Whether a text may carry colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Style {
    /// Letters only.
    Plain,
    /// With the colours of a terminal.
    Coloured,
}

impl<'a> IntoIterator for &'a Problems {
    type Item = &'a Problem;
    type IntoIter = std::slice::Iter<'a, Problem>;
    fn into_iter(self) -> Self::IntoIter {
        self.iter()
    }
}

impl From<Problem> for Problems {
    fn from(problem: Problem) -> Self {
        Self::new(None, vec![problem])
    }
}

impl fmt::Display for Problems {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(&self.render(Style::Plain))
    }
}

impl std::error::Error for Problems {}

/// A text from the input as it may be shown: control characters escaped, cut to a length that does not
/// flood a terminal.
#[must_use]
pub(crate) fn shown(text: &str) -> String {
    const LONGEST: usize = 60;
    let mut safe = String::new();
    for (count, character) in text.chars().enumerate() {
        if count == LONGEST {
            safe.push_str("...");
            break;
        }
        if is_hidden(character) {
            safe.extend(character.escape_unicode());
        } else {
            safe.push(character);
        }
    }
    safe
}

/// Characters that change how a terminal shows the rest: control characters and the marks that turn the
/// direction of writing.
#[must_use]
pub(crate) fn is_hidden(character: char) -> bool {
    character.is_control()
        || matches!(character,
            '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{2069}' | '\u{feff}')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn problems_stand_in_file_order_and_once() {
        let at = |start| Place::Text { line: 1, column: start + 1, span: start..start + 1 };
        let list = vec![
            Problem::new(Place::Whole, "whole"),
            Problem::new(at(5), "later"),
            Problem::new(at(2), "sooner"),
            Problem::new(at(5), "later"),
        ];
        let messages: Vec<_> = Problems::new(None, list).iter().map(|p| p.message.clone()).collect();
        assert_eq!(messages, ["sooner", "later", "whole"]);
    }

    #[test]
    fn a_shown_text_cannot_move_the_cursor_or_flood() {
        assert_eq!(shown("a\u{1b}[2Jb"), "a\\u{1b}[2Jb");
        assert_eq!(shown(&"x".repeat(1000)).len(), 63);
    }
}
