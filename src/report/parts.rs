//! Reports of the single questions, each a part of what `check` says plus what it alone asks.

mod bore;
mod faults;
mod fill;
mod rehearsal;
mod set_point;
mod strokes;

pub use bore::Bore;
pub use faults::Faults;
pub use fill::Fill;
pub use rehearsal::Rehearsal;
pub use set_point::SetPoint;
pub use strokes::Strokes;

use std::fmt::Write as _;

use super::Report;
use super::terminal::{emphasis, list, wrapped};
use crate::units::Dimension;
use crate::units::display::show;

/// Lines `name  sentence`, the names in bold.
fn lines(out: &mut String, rows: &[(&str, String)], width: usize) {
    let bold = emphasis();
    let column = rows.iter().map(|(name, _)| name.len()).max().unwrap_or(0) + 2;
    for (name, sentence) in rows {
        let _ = write!(out, "  {bold}{name:<column$}{bold:#}");
        out.push_str(wrapped(sentence, width, column + 2).trim_start());
        out.push('\n');
    }
    out.push('\n');
}

/// Working, defaults, notes and cautions, as at the end of every report.
fn closing(out: &mut String, report: &Report, notes: &[String], width: usize) {
    super::formula::steps_text(out, report, width);
    super::terminal::defaults(out, report, width);
    list(out, "Notes", notes, width);
    list(out, "Cautions", &report.cautions, width);
}

fn figure(report: &Report, value: f64, dimension: Dimension) -> String {
    show(value, dimension, report.units)
}

fn pressure(report: &Report, pascals: f64) -> String {
    figure(report, pascals, Dimension::Pressure)
}
