//! Mistakes of TOML syntax, in the words of somebody who has never heard of TOML.

use std::collections::BTreeSet;
use std::ops::Range;

use toml::de::{DeTable, DeValue, Error};

use super::problem::{Problem, shown};
use super::text_index::TextIndex;

/// What the syntax mistakes leave behind.
#[derive(Debug, Default)]
pub(super) struct Damage {
    /// What to tell.
    pub(super) problems: Vec<Problem>,
    /// Lines whose values cannot be trusted.
    pub(super) lines: BTreeSet<usize>,
    /// From this byte on nothing can be trusted.
    pub(super) cut: Option<usize>,
    /// Lines whose key may be lost, so that a missing field proves nothing.
    pub(super) suspects: BTreeSet<usize>,
}

impl Damage {
    /// Whether a value that starts at this byte has already been reported.
    pub(super) fn covers(&self, start: usize, index: &TextIndex) -> bool {
        self.cut.is_some_and(|cut| start >= cut) || self.lines.contains(&index.line(start))
    }
}

/// Sorts out the errors of the parser: one for each line, none that only follows from another.
pub(super) fn damage(index: &TextIndex, table: &DeTable<'_>, mut errors: Vec<Error>) -> Damage {
    let mut damage = Damage::default();
    errors.sort_by_key(|error| error.span().map_or(0, |span| span.start));
    if let Some(open) = errors.iter().find_map(|error| unclosed(error, index, table)) {
        let (problem, start) = open;
        damage.problems.push(problem);
        damage.cut = Some(start);
        damage.suspects.insert(index.line(start));
    }
    for error in errors {
        let span = error.span().unwrap_or(0..0);
        if damage.cut.is_some_and(|cut| span.start >= cut) {
            continue;
        }
        let line = index.line(span.start);
        if error.message() == "duplicate key" {
            damage.problems.push(duplicate(index, span));
        } else if damage.lines.insert(line) {
            damage.problems.push(explain(error.message(), span, index));
            if !error.message().starts_with("invalid comment character") {
                damage.suspects.insert(line);
            }
        }
    }
    damage
}

/// A bracket or a heading that is not closed swallows the rest of the file.
fn unclosed(error: &Error, index: &TextIndex, table: &DeTable<'_>) -> Option<(Problem, usize)> {
    let span = error.span().unwrap_or(0..0);
    let message = error.message();
    let rest = "the rest of the file is read once this is mended";
    if message.starts_with("unclosed table") || message.starts_with("unclosed array table") {
        let start = index.line_start(span.start);
        let heading = shown(index.line_text(span.start).trim());
        let brackets = if message.starts_with("unclosed array") { "]]" } else { "]" };
        let problem = Problem::new(index.place(span), format!("the heading `{heading}` is not closed"))
            .hint(format!("end it with `{brackets}`; {rest}"));
        return Some((problem, start));
    }
    if message.contains("recursion") || message.contains("cannot recurse") {
        let start = index.line_start(span.start);
        let problem = Problem::new(index.place(span), "brackets or dotted keys are nested too deeply")
            .hint("no value of a rig file has more than two brackets inside each other");
        return Some((problem, start));
    }
    let closing = if message.starts_with("unclosed array") {
        "]"
    } else if message.starts_with("unclosed inline table") {
        "}"
    } else {
        return None;
    };
    let (key, opened) = swallowing(table, index.text().len())?;
    let line = index.line_text(opened.start);
    let column = opened.start - index.line_start(opened.start);
    let end = opened.start + line.len().saturating_sub(column);
    let problem =
        Problem::new(index.place(opened.start..end), format!("the value of `{}` is not closed", shown(&key)))
            .label(format!("opened here, no `{closing}` follows"))
            .hint(format!("close it with `{closing}`; {rest}"));
    Some((problem, opened.start))
}

/// The value that runs on to the end of the text.
fn swallowing(table: &DeTable<'_>, end: usize) -> Option<(String, Range<usize>)> {
    table.iter().find_map(|(key, value)| {
        let span = value.span();
        match value.get_ref() {
            DeValue::Array(_) if span.end + 2 >= end => Some((key.get_ref().to_string(), span)),
            DeValue::Table(_) if span.end + 2 >= end && span.start > key.span().end => {
                Some((key.get_ref().to_string(), span))
            }
            DeValue::Table(inner) => swallowing(inner, end),
            _ => None,
        }
    })
}

fn duplicate(index: &TextIndex, span: Range<usize>) -> Problem {
    let name = shown(index.text().get(span.clone()).unwrap_or("this key"));
    let heading = index.line_text(span.start).trim_start().starts_with('[');
    if heading {
        Problem::new(index.place(span), format!("the table [{name}] is given twice"))
            .hint("put all its values under one heading")
    } else {
        Problem::new(index.place(span), format!("`{name}` is given twice in the same table"))
            .hint("keep one of the two lines")
    }
}

fn explain(message: &str, span: Range<usize>, index: &TextIndex) -> Problem {
    let text = index.text().get(span.clone()).unwrap_or("");
    let line = index.line_text(span.start);
    let value = line.split_once('=').map_or("", |(_, value)| without_comment(value).trim());
    let place = index.place(span.clone());
    let what = message.split(", expected").next().unwrap_or(message);
    match what {
        "string values must be quoted" if text.is_empty() => {
            let key = shown(line.split('=').next().unwrap_or("").trim());
            Problem::new(place, format!("`{key}` has no value"))
                .hint(format!("write `{key} = \"...\"`, or delete the line"))
        }
        "string values must be quoted"
            if text.contains(['\u{201c}', '\u{201d}', '\u{201e}', '\u{2018}', '\u{2019}']) =>
        {
            Problem::new(place, format!("{} stands in typographic quotes", shown(text)))
                .hint("use the straight quote mark \" on both sides")
        }
        "string values must be quoted" | "unexpected key or value" if is_comma_number(value) => {
            let place = whole_value(index, &span, value).unwrap_or(place);
            Problem::new(place, format!("`{}` has a comma; the decimal sign is the point", shown(value)))
                .hint(format!("write {}, and with a unit in quotes", shown(&value.replace(',', "."))))
        }
        "string values must be quoted"
        | "unexpected key or value"
        | "invalid number"
        | "invalid mantissa"
        | "unexpected leading zero"
        | "missing opening quote"
        | "invalid boolean"
        | "invalid datetime"
            if !value.is_empty() && !value.contains(['"', '[', '{']) =>
        {
            Problem::new(
                whole_value(index, &span, value).unwrap_or(place),
                format!("`{}` is not in quotes", shown(value)),
            )
            .hint(format!("write \"{}\"", shown(value)))
        }
        "unexpected key or value" => Problem::new(place, "there is something after the end of the value")
            .hint("one key and one value a line; a remark starts with #"),
        "key with no value" => {
            Problem::new(place, "this line is neither `key = value`, nor a [heading], nor a # remark")
                .hint("put `=` between key and value; a key of two words is joined by a hyphen, like max-run")
        }
        "invalid basic string" | "invalid literal string" => {
            Problem::new(place, "the text is not closed by a quote mark on its line")
                .hint("end the value with the quote mark with which it begins")
        }
        "missing escaped value" | "too few unicode value digits" | "invalid value" => {
            Problem::new(place, "a backslash has a special meaning in a text")
                .hint("leave it out, or write it twice: \\\\")
        }
        "invalid unquoted key" if text == ":" => {
            Problem::new(place, "`:` stands where `=` is needed").hint("write key = value")
        }
        "invalid unquoted key" => Problem::new(place, format!("`{}` cannot stand in a key", shown(text)))
            .hint("a line reads key = value; keys are written with a to z and hyphens"),
        "invalid comment character" => Problem::new(place, "there is a hidden control character in a remark")
            .hint("delete it; is this a text file?"),
        "carriage return must be followed by newline" => {
            Problem::new(place, "there is a stray carriage return")
                .hint("save the file with normal line ends")
        }
        other => Problem::new(place, format!("this cannot be read: {other}"))
            .hint("a line reads `key = \"value\"`; a [heading] stands alone on its line"),
    }
}

/// `2,5`: digits with one comma.
fn is_comma_number(value: &str) -> bool {
    value.contains(',') && value.chars().all(|character| character.is_ascii_digit() || character == ',')
}

/// The value without a remark that follows it.
fn without_comment(value: &str) -> &str {
    value.split('#').next().unwrap_or(value)
}

fn whole_value(index: &TextIndex, span: &Range<usize>, value: &str) -> Option<super::problem::Place> {
    let line = index.line_text(span.start);
    let equals = line.find('=')?;
    let offset = line.get(equals..)?.find(value)? + equals + index.line_start(span.start);
    Some(index.place(offset..offset + value.len()))
}
