//! The report as text for a terminal.

mod faults;
mod ladder;
mod style;
mod table;

use std::fmt::Write as _;

pub use faults::faults_text;
pub use style::{emphasis, plain_width, verdict_style, wrapped};
pub use table::grid;

use super::{CheckRow, Counts, Default, Report};
use crate::units::Dimension;
use crate::units::display::{show, show_at_least, show_at_most};

/// Text of a report, `width` columns wide, with colour codes that the writer may strip.
///
/// The order is that in which a builder asks: the verdict and the weakest link, the four headline answers,
/// the checks, what is not judged, the defaults used, notes, cautions.
#[must_use]
pub fn text(report: &Report, width: usize) -> String {
    let mut out = String::new();
    verdict_line(&mut out, report);
    headline(&mut out, report, width);
    check_table(&mut out, report, width);
    faults::worst(&mut out, report, width);
    travel(&mut out, report, width);
    not_judged(&mut out, report, width);
    super::formula::steps_text(&mut out, report, width);
    defaults(&mut out, report, width);
    list(&mut out, "Notes", &report.notes, width);
    list(&mut out, "Cautions", &report.cautions, width);
    out
}

fn verdict_line(out: &mut String, report: &Report) {
    let style = verdict_style(report.verdict);
    let _ = write!(out, "{}: {style}{}{style:#}", report.title, report.verdict);
    if let Some(weakest) = &report.weakest {
        let _ = write!(out, ". Weakest link: {weakest}");
        let margin = report.checks.iter().find(|check| check.id == *weakest).and_then(|check| check.margin);
        if let Some(margin) = margin {
            let _ = write!(out, ", margin {}", percent(margin));
        }
    }
    let counted = |verdict: &str| report.checks.iter().filter(|check| check.verdict == verdict).count();
    let fails = counted("fail");
    if fails > 1 {
        let _ = write!(out, ". {fails} checks fail");
    }
    match counted("not judged") {
        0 => out.push_str(".\n\n"),
        1 => out.push_str(". 1 check is not judged.\n\n"),
        open => {
            let _ = write!(out, ". {open} checks are not judged.\n\n");
        }
    }
}

fn percent(fraction: f64) -> String {
    let digits = usize::from(fraction.abs() < 1.0);
    let text = format!("{:.digits$} %", fraction * 100.0);
    if text == "-0.0 %" { "0.0 %".to_owned() } else { text }
}

fn headline(out: &mut String, report: &Report, width: usize) {
    for (name, sentence) in [
        ("Lifts", lifts(report)),
        ("Regulator", regulator(report)),
        ("Strokes", strokes(report)),
        ("Filling", filling(report)),
        ("Moving", moving(report)),
    ] {
        if sentence.is_empty() {
            continue;
        }
        let bold = emphasis();
        let _ = write!(out, "  {bold}{name:<11}{bold:#}");
        out.push_str(wrapped(&sentence, width, 13).trim_start());
        out.push('\n');
    }
    out.push('\n');
}

fn figure(report: &Report, value: f64, dimension: Dimension) -> String {
    show(value, dimension, report.units)
}

fn lifts(report: &Report) -> String {
    let lift = &report.lift;
    let mass = |kilograms| figure(report, kilograms, Dimension::Mass);
    let limit = |kilograms| show_at_most(kilograms, Dimension::Mass, report.units);
    let height = lift.net_height_m.map_or_else(String::new, |net| {
        format!(
            "; net height {} of {}",
            figure(report, net, Dimension::Length),
            figure(report, lift.height_m, Dimension::Length)
        )
    });
    format!(
        "{} rated, {} at the very most; the load is {}, load ratio {}{height}",
        limit(lift.rated_capacity_kg),
        limit(lift.capacity_kg),
        mass(report.load_mass_kg),
        figure(report, lift.load_ratio, Dimension::Fraction)
    )
}

fn regulator(report: &Report) -> String {
    let set_point = &report.set_point;
    let pressure = |pascals| figure(report, pascals, Dimension::Pressure);
    let (low, high) = (set_point.low_pa_gauge, set_point.high_pa_gauge);
    if low > high {
        let opening = set_point.opening_bore_m.map_or(String::new(), |bore| {
            format!("; a bore of {} opens it", show_at_least(bore, Dimension::Length, report.units))
        });
        return format!(
            "no set point fits: at least {} to lift, at most {} for the rest of the rig{opening}; set to {}",
            show_at_least(low, Dimension::Pressure, report.units),
            show_at_most(high, Dimension::Pressure, report.units),
            pressure(set_point.set_pa_gauge)
        );
    }
    let recommended = report
        .recommended_shown_pa_gauge
        .map_or_else(|| "no round figure between".to_owned(), |set| format!("recommended {}", pressure(set)));
    format!(
        "window {} to {}, {recommended}; set to {}",
        show_at_least(low, Dimension::Pressure, report.units),
        show_at_most(high, Dimension::Pressure, report.units),
        pressure(set_point.set_pa_gauge)
    )
}

fn strokes(report: &Report) -> String {
    let full = &report.strokes.from_cut_out;
    let start = if report.fill.has_compressor { "from cut-out" } else { "from a full bottle" };
    let mut sentence = format!("{start} {}", counts(full));
    if let Some(cut_in) = &report.strokes.from_cut_in {
        let _ = write!(sentence, "; from cut-in {}", counts(cut_in));
    }
    let air = report.air.per_stroke_anr_m3;
    let _ = write!(sentence, "; {} a stroke", figure(report, air, Dimension::FreeAirVolume));
    sentence
}

fn counts(counts: &Counts) -> String {
    let quick = match (counts.full_pressure_quick, counts.until_stall_quick) {
        (Some(full), Some(stall)) => format!(" (quick gas {full} and {stall})"),
        _ => String::new(),
    };
    format!("{} at full pressure, {} until stall{quick}", counts.full_pressure, counts.until_stall)
}

fn filling(report: &Report) -> String {
    let fill = &report.fill;
    if !fill.has_compressor {
        return "no compressor: filled elsewhere".to_owned();
    }
    if let Some(stall) = fill.stalls_at_pa_gauge {
        let stall = figure(report, stall, Dimension::Pressure);
        return format!("the pump stalls at {stall}, at or below cut-out, and never switches off");
    }
    let time = |seconds: Option<f64>| {
        seconds.map_or_else(|| "-".to_owned(), |seconds| figure(report, seconds, Dimension::Time))
    };
    let mut sentence =
        format!("{} from empty, {} from cut-in", time(fill.from_empty_s), time(fill.cut_in_to_cut_out_s));
    if fill.after_strokes_s.is_some() {
        let _ = write!(sentence, ", {} after the strokes at full pressure", time(fill.after_strokes_s));
    }
    if let Some(rate) = fill.strokes_per_hour_kept_up {
        let _ = write!(sentence, "; keeps up {}", figure(report, rate, Dimension::PerHour));
    }
    sentence
}

/// How fast up and down; empty where valves are not described.
fn moving(report: &Report) -> String {
    let times = &report.times;
    let time = |seconds| figure(report, seconds, Dimension::Time);
    let speed = |speed| figure(report, speed, Dimension::Speed);
    let mut parts = Vec::new();
    if let Some(raise) = times.raise_s {
        let empty = times.raise_empty_s.map_or_else(String::new, |empty| format!(" ({} empty)", time(empty)));
        parts.push(format!("up in {}{empty}", time(raise)));
        if let Some(adds) = times.raise_rod_side_adds_s {
            parts.push(format!("of that {} for the air leaving the rod side", time(adds)));
        }
        if let Some(by) = &times.held_back_by {
            parts.push(format!("held back by {by}"));
        }
    }
    if let Some(travel) = times.stalls_at_travel_m {
        parts.push(format!(
            "stops on the way up at a travel of {}",
            figure(report, travel, Dimension::Length)
        ));
    }
    if let Some((lower, fastest)) = times.lower_s.zip(times.lower_speed_m_per_s) {
        let empty = match (times.lower_empty_s, times.lower_empty_sticks_at_travel_m) {
            (Some(empty), _) => format!(" ({} empty)", time(empty)),
            (None, Some(_)) => " (friction may hold it empty)".to_owned(),
            (None, None) => String::new(),
        };
        parts.push(format!("down in {}{empty} at up to {}", time(lower), speed(fastest)));
    }
    if let Some(wide) = times.lower_wide_speed_m_per_s {
        parts.push(format!("at up to {} with the lower valve opened wide", speed(wide)));
    }
    let by_load: Vec<String> = times
        .raise_by_load
        .iter()
        .map(|row| {
            let raise = row.raise_s.map_or_else(|| "never".to_owned(), |raise| format!("in {}", time(raise)));
            format!("{:.0} % {raise}", 100.0 * row.share_of_capacity)
        })
        .collect();
    if !by_load.is_empty() {
        parts.push(format!("with shares of the very most: {}", by_load.join(", ")));
    }
    parts.join("; ")
}

fn check_table(out: &mut String, report: &Report, width: usize) {
    // What needs attention stands on top; within a verdict the order is that of the report.
    let judged: Vec<&CheckRow> = ["fail", "caution", "pass"]
        .iter()
        .flat_map(|verdict| report.checks.iter().filter(move |check| check.verdict == *verdict))
        .collect();
    if judged.is_empty() {
        return;
    }
    let rows = judged.iter().map(|check| {
        let quantity = |value: Option<f64>| {
            value.map_or_else(|| "-".to_owned(), |value| show(value, check.dimension, report.units))
        };
        vec![
            check.id.clone(),
            check.verdict.to_owned(),
            quantity(check.value),
            quantity(check.limit),
            check.margin.map_or_else(|| "-".to_owned(), percent),
            check.advice.clone(),
        ]
    });
    let head = ["Check", "Verdict", "Value", "Limit", "Margin", "What it says"];
    out.push_str(&grid(&head, rows, &[2, 3, 4], width));
    out.push_str("Pressures are gauge.\n\n");
}

/// Every second point of the travel of a linkage; a direct push is the same all along.
fn travel(out: &mut String, report: &Report, width: usize) {
    if report.travel.iter().all(|point| point.angle_rad.is_none()) {
        return;
    }
    let quantity = |value, dimension| show(value, dimension, report.units);
    let rows = report.travel.iter().step_by(2).map(|point| {
        vec![
            quantity(point.travel_m, Dimension::Length),
            quantity(point.height_m, Dimension::Length),
            point.angle_rad.map_or_else(|| "-".to_owned(), |angle| quantity(angle, Dimension::Angle)),
            quantity(point.ratio, Dimension::Number),
            quantity(point.force_n, Dimension::Force),
            quantity(point.needed_pressure_pa_gauge, Dimension::Pressure),
            point
                .capacity_kg
                .map_or_else(|| "any".to_owned(), |mass| show_at_most(mass, Dimension::Mass, report.units)),
        ]
    });
    let head = ["Travel", "Height", "Angle", "Ratio", "Force", "Pressure needed", "Lifts at most"];
    let bold = emphasis();
    let _ = writeln!(out, "{bold}Along the travel{bold:#}");
    out.push_str(&grid(&head, rows, &[0, 1, 2, 3, 4, 5, 6], width));
    let lift = &report.lift;
    let line = format!(
        "Ratio is height gained for travel; force is that of all cylinders. At the end {} is spare, and the load \
         may arrive with up to {} if nothing throttles it.",
        quantity(lift.spare_force_at_end_n, Dimension::Force),
        quantity(lift.energy_at_stop_j, Dimension::Energy)
    );
    out.push_str(&wrapped(&line, width, 0));
    out.push_str("\n\n");
}

fn not_judged(out: &mut String, report: &Report, width: usize) {
    let rows: Vec<String> = report
        .checks
        .iter()
        .filter(|check| check.verdict == "not judged")
        .map(|check| format!("{}: {}", check.id, check.advice))
        .collect();
    list(out, "Not judged, and what to find out", &rows, width);
}

pub(super) fn defaults(out: &mut String, report: &Report, width: usize) {
    let rows: Vec<String> = report.defaults.iter().map(default_text).collect();
    if rows.is_empty() {
        return;
    }
    let bold = emphasis();
    let _ = writeln!(out, "{bold}Defaults used{bold:#}");
    out.push_str(&wrapped(&rows.join(", "), width, 2));
    out.push_str("\n\n");
}

fn default_text(default: &Default) -> String {
    let shown = default.shown.as_ref().map_or_else(String::new, |shown| format!(" ({shown})"));
    format!("{} = {}{shown}", default.field, default.value)
}

/// A heading and its points.
pub fn list(out: &mut String, heading: &str, rows: &[String], width: usize) {
    if rows.is_empty() {
        return;
    }
    let bold = emphasis();
    let _ = writeln!(out, "{bold}{heading}{bold:#}");
    for row in rows {
        out.push_str("  - ");
        out.push_str(wrapped(row, width, 4).trim_start());
        out.push('\n');
    }
    out.push('\n');
}
