//! Formulas in words, and the working of figures.

use std::borrow::Cow;
use std::fmt::Write as _;

use serde::Serialize;

use super::Report;
use super::terminal::{emphasis, grid, wrapped};
use crate::answers::Step;
use crate::formulas::{FORMULAS, Formula};
use crate::units::Dimension;
use crate::units::display::show_exact;

/// One figure with its formula, the numbers put in and its source.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(missing_docs, reason = "named by what they hold")]
pub struct StepRow {
    pub figure: Cow<'static, str>,
    pub topic: &'static str,
    pub formula: &'static str,
    pub inputs: Vec<InputRow>,
    pub result: Option<f64>,
    pub unit: Option<&'static str>,
    pub kind: &'static str,
    pub source: &'static str,
    #[serde(skip)]
    dimension: Option<Dimension>,
}

/// A number put in, in the SI unit beside it.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(missing_docs, reason = "named by what they hold")]
pub struct InputRow {
    pub symbol: &'static str,
    pub meaning: &'static str,
    pub value: f64,
    pub unit: &'static str,
    pub kind: &'static str,
    #[serde(skip)]
    dimension: Dimension,
}

impl StepRow {
    /// A step as a row of the report.
    #[must_use]
    pub fn new(step: &Step) -> Self {
        let meaning =
            |symbol: &str| step.formula.symbols.iter().find(|row| row.0 == symbol).map_or("", |row| row.1);
        Self {
            figure: step.figure.clone(),
            topic: step.formula.topic,
            formula: step.formula.expression,
            inputs: step
                .inputs
                .iter()
                .map(|input| InputRow {
                    symbol: input.symbol,
                    meaning: meaning(input.symbol),
                    value: input.value,
                    unit: input.dimension.si_unit(),
                    kind: input.kind,
                    dimension: input.dimension,
                })
                .collect(),
            result: step.result.map(|result| result.0),
            unit: step.result.map(|result| result.1.si_unit()),
            kind: step.result_kind,
            source: step.formula.source,
            dimension: step.result.map(|result| result.1),
        }
    }
}

/// The working of a report, if it carries one.
pub(super) fn steps_text(out: &mut String, report: &Report, width: usize) {
    let Some(steps) = &report.working else { return };
    let bold = emphasis();
    let _ = writeln!(out, "{bold}Working{bold:#}");
    for step in steps {
        let _ = write!(out, "  {bold}{}{bold:#}", step.figure);
        if let Some((value, dimension)) = step.result.zip(step.dimension) {
            let figure = show_exact(value, dimension, report.units);
            let _ = write!(out, " = {}", with_kind(&figure, step.kind));
        }
        out.push('\n');
        for line in step.formula.lines() {
            let _ = writeln!(out, "      {line}");
        }
        let inputs: Vec<String> = step
            .inputs
            .iter()
            .map(|input| {
                let figure = show_exact(input.value, input.dimension, report.units);
                format!("{} = {}", input.symbol, with_kind(&figure, input.kind))
            })
            .collect();
        if !inputs.is_empty() {
            let _ = writeln!(out, "{}", wrapped(&format!("with {}", inputs.join(", ")), width, 4));
        }
        let _ = writeln!(out, "{}", wrapped(&format!("source: {}", step.source), width, 4));
    }
    out.push('\n');
}

/// A figure and whether it is gauge, absolute or a difference.
fn with_kind(figure: &str, kind: &str) -> String {
    if kind.is_empty() { figure.to_owned() } else { format!("{figure} {kind}") }
}

/// A formula as JSON.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[allow(missing_docs, reason = "as in `formulas::Formula`")]
pub struct Entry {
    pub topic: &'static str,
    pub title: &'static str,
    pub asks: &'static str,
    pub expression: &'static str,
    pub symbols: Vec<Symbol>,
    pub source: &'static str,
    pub validity: &'static str,
    pub mistakes: &'static str,
}

/// A symbol of a formula.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[allow(missing_docs, reason = "named by what they hold")]
pub struct Symbol {
    pub symbol: &'static str,
    pub meaning: &'static str,
}

/// A formula as JSON.
#[must_use]
pub fn entry(formula: &'static Formula) -> Entry {
    Entry {
        topic: formula.topic,
        title: formula.title,
        asks: formula.asks,
        expression: formula.expression,
        symbols: formula.symbols.iter().map(|&(symbol, meaning)| Symbol { symbol, meaning }).collect(),
        source: formula.source,
        validity: formula.validity,
        mistakes: formula.mistakes,
    }
}

/// All formulas as JSON.
#[must_use]
pub fn all() -> Vec<Entry> {
    FORMULAS.iter().map(|formula| entry(formula)).collect()
}

/// All topics, each with what it answers.
#[must_use]
pub fn list(width: usize) -> String {
    let rows = FORMULAS.iter().map(|formula| vec![formula.topic.to_owned(), formula.asks.to_owned()]);
    let mut out = grid(&["Topic", "What it answers"], rows, &[], width);
    out.push_str("`lungful explain TOPIC` shows formula, symbols, source and range.\n");
    out
}

/// A formula for a terminal.
#[must_use]
pub fn text(formula: &Formula, width: usize) -> String {
    let bold = emphasis();
    let mut out = String::new();
    let _ = writeln!(out, "{bold}{}{bold:#} ({})", formula.title, formula.topic);
    let _ = writeln!(out, "{}\n", wrapped(formula.asks, width, 0));
    for line in formula.expression.lines() {
        let _ = writeln!(out, "    {line}");
    }
    out.push('\n');
    let column = formula.symbols.iter().map(|row| row.0.chars().count()).max().unwrap_or(0) + 2;
    for (symbol, meaning) in formula.symbols {
        let _ = write!(out, "  {symbol:<column$}");
        out.push_str(wrapped(meaning, width, column + 2).trim_start());
        out.push('\n');
    }
    for (name, words) in
        [("Source", formula.source), ("Holds", formula.validity), ("Mistakes", formula.mistakes)]
    {
        if !words.is_empty() {
            let _ = write!(out, "\n{bold}{name}{bold:#}\n{}\n", wrapped(words, width, 2));
        }
    }
    out
}
