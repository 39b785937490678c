//! What can hurt somebody, as text.

use std::fmt::Write as _;

use super::ladder::drawing;
use super::{defaults, emphasis, grid, list, percent, verdict_style, wrapped};
use crate::report::{FaultRow, Report};
use crate::units::display::show;
use crate::units::{Dimension, UnitSystem};

/// Faults that `check` shows.
const WORST: usize = 3;

/// Text of `faults`, `width` columns wide, with colour codes that the writer may strip.
#[must_use]
pub fn faults_text(report: &Report, width: usize) -> String {
    let mut out = String::new();
    first(&mut out, report, width);
    order(&mut out, report, width);
    all(&mut out, report, width);
    states(&mut out, report, width);
    protection(&mut out, report, width);
    energy(&mut out, report, width);
    rules(&mut out, report, width);
    crate::report::formula::steps_text(&mut out, report, width);
    defaults(&mut out, report, width);
    list(&mut out, "Cautions", &report.cautions, width);
    out
}

/// The worst faults, for `check`.
pub(super) fn worst(out: &mut String, report: &Report, width: usize) {
    if report.faults.is_empty() {
        return;
    }
    heading(out, "If one thing fails, the worst three");
    for fault in report.faults.iter().take(WORST) {
        one(out, report, fault, width);
    }
    let text = format!(
        "`lungful faults` shows all {}, the order of the pressures and the state of every valve. They do not \
         count in the verdict above.",
        report.faults.len()
    );
    out.push_str(&wrapped(&text, width, 2));
    out.push_str("\n\n");
}

fn heading(out: &mut String, text: &str) {
    let bold = emphasis();
    let _ = writeln!(out, "{bold}{text}{bold:#}");
}

fn one(out: &mut String, report: &Report, fault: &FaultRow, width: usize) {
    let judged = judged(report, fault);
    let text = format!(
        "{}: {}{judged}. {}. {}.",
        fault.id,
        fault.verdict,
        capital(&fault.happens),
        capital(&fault.advice)
    );
    out.push_str("  - ");
    out.push_str(wrapped(&text, width, 4).trim_start());
    out.push('\n');
}

/// The figure that was judged, and its limit.
fn judged(report: &Report, fault: &FaultRow) -> String {
    let figure = |value| show(value, fault.dimension, report.units);
    match (fault.value, fault.limit) {
        (Some(value), Some(limit)) => format!(", {} against {}", figure(value), figure(limit)),
        (Some(value), None) => format!(", {}", figure(value)),
        _ => String::new(),
    }
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// What is named first: a gap that is too small, else the worst fault.
fn first(out: &mut String, report: &Report, width: usize) {
    let counted = |verdict: &str| report.faults.iter().filter(|fault| fault.verdict == verdict).count();
    let gap = report.pressure_order.gaps.first().filter(|gap| gap.verdict != "pass");
    let worst = report.faults.first();
    let gap_leads = |fault: &FaultRow| fault.verdict != "fail";
    let (verdict, named) = match (gap, worst) {
        (Some(gap), fault) if gap.verdict == "fail" || fault.is_none_or(gap_leads) => {
            let text = format!("pressure order, {} below {}: {}", gap.lower, gap.upper, gap.advice);
            (gap.verdict, text)
        }
        (_, Some(fault)) if fault.verdict != "pass" => {
            (fault.verdict, format!("{}: {}. {}", fault.id, fault.happens, capital(&fault.advice)))
        }
        (_, Some(_)) => (
            "pass",
            "none of the faults looked at goes beyond its limit; others are not looked at".to_owned(),
        ),
        (_, None) => ("not judged", "nothing is known".to_owned()),
    };
    let style = verdict_style(verdict);
    let _ = write!(out, "{}: {style}{verdict}{style:#}. ", report.title);
    let _ = writeln!(
        out,
        "Of {} single faults {}, {}, {}.\n",
        report.faults.len(),
        count(counted("fail"), "fails", "fail"),
        count(counted("caution"), "is a caution", "are cautions"),
        count(counted("not judged"), "is not judged", "are not judged")
    );
    let bold = emphasis();
    let _ = write!(out, "  {bold}First{bold:#}  ");
    out.push_str(wrapped(&format!("{named}."), width, 9).trim_start());
    out.push_str("\n\n");
}

/// A number with the words that go with it.
fn count(number: usize, one: &str, many: &str) -> String {
    format!("{number} {}", if number == 1 { one } else { many })
}

fn order(out: &mut String, report: &Report, width: usize) {
    let order = &report.pressure_order;
    if order.rungs.is_empty() {
        return;
    }
    heading(out, "Order of the pressures");
    out.push_str(&drawing(order, report.units));
    out.push_str("  Gauge. `|` beside the scale: how far tolerances reach; `=`: a rating; `!`: too close to another.\n\n");
    let pressure = |value| show(value, Dimension::Pressure, report.units);
    let rows = order.rungs.iter().map(|rung| {
        vec![
            rung.name.to_owned(),
            rung.shown(rung.low_pa_gauge, report.units),
            rung.shown(rung.middle_pa_gauge, report.units),
            rung.shown(rung.high_pa_gauge, report.units),
            rung.field.map_or_else(|| "follows".to_owned(), str::to_owned),
        ]
    });
    out.push_str(&grid(&["Pressure", "Lowest", "As written", "Highest", "Set by"], rows, &[1, 2, 3], width));
    out.push('\n');
    let rows = order.gaps.iter().map(|gap| {
        vec![
            format!("{} below {}", gap.lower, gap.upper),
            gap.verdict.to_owned(),
            pressure(gap.room_pa),
            percent(gap.margin),
            gap.advice.clone(),
        ]
    });
    out.push_str(&grid(&["Gap", "Verdict", "Room", "Margin", "What to change"], rows, &[2, 3], width));
    out.push_str("Room is what is left between the unfavourable ends.\n\n");
}

fn all(out: &mut String, report: &Report, width: usize) {
    heading(out, "If one thing fails");
    let rows = report.faults.iter().map(|fault| {
        let figure = |value: Option<f64>| {
            value.map_or_else(|| "-".to_owned(), |value| show(value, fault.dimension, report.units))
        };
        let (value, limit) = (figure(fault.value), figure(fault.limit));
        vec![fault.id.clone(), fault.verdict.to_owned(), value, limit, fault.happens.clone()]
    });
    out.push_str(&grid(&["Fault", "Verdict", "Value", "Limit", "What happens"], rows, &[2, 3], width));
    out.push_str(
        "Pressures are gauge. One fault at a time; no fall is faster than weight and return air make it.\n\n",
    );
    let rows: Vec<String> = report
        .faults
        .iter()
        .map(|fault| format!("{}: {}{}", fault.id, fault.advice, figures(report, fault)))
        .collect();
    list(out, "What to do about it, and what else follows", &rows, width);
    let mut topics: Vec<_> = report.faults.iter().map(|fault| fault.topic).collect();
    topics.sort_unstable();
    topics.dedup();
    let text = format!("Formulas and sources: `lungful explain TOPIC` with {}.", topics.join(", "));
    out.push_str(&wrapped(&text, width, 0));
    out.push_str("\n\n");
}

/// What else follows, in brackets.
fn figures(report: &Report, fault: &FaultRow) -> String {
    let shown: Vec<String> = fault
        .figures
        .iter()
        .map(|figure| format!("{} {}", figure.name, show(figure.value, figure.dimension, report.units)))
        .collect();
    if shown.is_empty() { String::new() } else { format!(" ({})", shown.join("; ")) }
}

fn states(out: &mut String, report: &Report, width: usize) {
    heading(out, "Valves and load in each phase");
    let rows = report.states.iter().map(|state| {
        vec![
            state.phase.to_owned(),
            state.raise_valve.to_owned(),
            state.lower_valve.to_owned(),
            state.lock.to_owned(),
            state.load.clone(),
        ]
    });
    out.push_str(&grid(&["Phase", "Raise valve", "Lower valve", "Lock", "The load"], rows, &[], width));
    out.push('\n');
}

fn protection(out: &mut String, report: &Report, width: usize) {
    let rows: Vec<String> =
        report.protection.iter().map(|row| format!("{}: {}", row.field, row.against.join(", "))).collect();
    if rows.is_empty() {
        heading(out, "Protection");
        out.push_str("  none stated: see [protection] in `lungful new`\n\n");
    }
    list(out, "Protection, and the faults that it bears on", &rows, width);
}

fn energy(out: &mut String, report: &Report, width: usize) {
    heading(out, "Energy in the air");
    let shown = |value, dimension| show(value, dimension, report.units);
    let rows = report.energy.parts.iter().map(|part| {
        vec![
            part.part.to_owned(),
            shown(part.pressure_pa_gauge, Dimension::Pressure),
            shown(part.volume_m3, Dimension::Volume),
            shown(part.isentropic_j, Dimension::Energy),
            shown(part.pressure_test_j, Dimension::Energy),
            shown(part.fall_of_75_kg_m, Dimension::Length),
        ]
    });
    let fall = match report.units {
        UnitSystem::Us => "As a fall of 165 lb from",
        UnitSystem::Metric => "As a fall of 75 kg from",
    };
    let head = ["Part", "Pressure", "Volume", "Isentropic", "Pressure-test formula", fall];
    out.push_str(&grid(&head, rows, &[1, 2, 3, 4, 5], width));
    out.push_str("Each part at the highest pressure it is worked at, cylinders at full stroke.\n\n");
}

fn rules(out: &mut String, report: &Report, width: usize) {
    heading(out, "Rules to read for the receiver (its rating, and rating times volume)");
    let rows = report.rules.iter().map(|rule| {
        vec![
            format!("{}, {}", rule.document, rule.clause),
            rule.jurisdiction.to_owned(),
            format!("{} {}", show(rule.value, Dimension::Number, report.units), rule.unit),
            rule.advice.clone(),
        ]
    });
    out.push_str(&grid(&["Document", "Where", "This receiver", "What it sets"], rows, &[2], width));
    let text = "Thresholds are named so that you read the rule; nothing here says that a rule is met, or that one of \
them holds for you. Rules of other places are not listed: ask whoever watches over pressure vessels where you are.";
    out.push_str(&wrapped(text, width, 0));
    out.push_str("\n\n");
}
