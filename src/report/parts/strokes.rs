//! How many strokes one fill gives.

use std::fmt::Write as _;

use serde::Serialize;

use super::{closing, figure, lines, pressure};
use crate::answers::Answers;
use crate::report::terminal::grid;
use crate::report::{Air, Counts, Default, Report, StepRow, Strokes as StrokesBlock};
use crate::rig::Rig;
use crate::units::Dimension;
use crate::units::display::show_at_least;

/// Strokes that the terminal lists one by one.
const MOST_ROWS: usize = 40;

/// The report of `strokes`.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(missing_docs, reason = "named by quantity and unit")]
pub struct Strokes<'a> {
    pub schema: u32,
    pub air: &'a Air,
    pub strokes: &'a StrokesBlock,
    pub strokes_wanted: Option<u32>,
    pub tank_for_strokes_wanted_m3: Option<f64>,
    pub moves: bool,
    pub notes: &'a [String],
    pub defaults: &'a [Default],
    pub cautions: &'a [String],
    #[serde(skip_serializing_if = "Option::is_none")]
    pub working: Option<&'a [StepRow]>,
    #[serde(skip)]
    lowest_full_pa: f64,
}

impl<'a> Strokes<'a> {
    /// The report of the counts.
    #[must_use]
    pub fn new(report: &'a Report, rig: &Rig, answers: &Answers) -> Self {
        Self {
            schema: report.schema,
            air: &report.air,
            strokes: &report.strokes,
            strokes_wanted: rig.cycle.strokes_wanted,
            tank_for_strokes_wanted_m3: answers.air.tank_for_strokes_wanted.map(|volume| volume.value),
            moves: answers.lift.moves(),
            notes: &report.notes,
            defaults: &report.defaults,
            cautions: &report.cautions,
            working: report.working.as_deref(),
            lowest_full_pa: rig.regulator.lowest_inlet().pascals(),
        }
    }

    /// Text for a terminal.
    #[must_use]
    pub fn text(&self, report: &Report, width: usize) -> String {
        let mut out = String::new();
        let mut rows = Vec::new();
        if !self.moves {
            rows.push(("Strokes", "none: the set point less droop does not move the load".to_owned()));
        }
        let air = (self.air.per_stroke_kg, self.air.per_stroke_anr_m3);
        rows.push((
            "A stroke",
            format!(
                "takes {} of air, {} of free air",
                figure(report, air.0, Dimension::Mass),
                figure(report, air.1, Dimension::FreeAirVolume)
            ),
        ));
        rows.push((
            "The tank",
            format!(
                "holds {} when full, {} of it above set point and headroom",
                figure(report, self.air.tank_full_kg, Dimension::Mass),
                figure(report, self.air.usable_kg, Dimension::Mass)
            ),
        ));
        if let Some((wanted, tank)) = self.strokes_wanted.zip(self.tank_for_strokes_wanted_m3)
            && self.moves
        {
            rows.push((
                "Wanted",
                format!(
                    "{wanted} at full pressure: a tank of {} gives them",
                    show_at_least(tank, Dimension::Volume, report.units)
                ),
            ));
        }
        let start = if report.fill.has_compressor { "cut-out" } else { "full" };
        let counts = [(start, Some(self.strokes.from_cut_out)), ("cut-in", self.strokes.from_cut_in)];
        let table = counts.iter().filter_map(|(from, counts)| {
            let Counts { full_pressure, until_stall, full_pressure_quick, until_stall_quick } =
                counts.as_ref()?;
            let quick = |count: Option<u32>| count.map_or_else(|| "-".to_owned(), |count| count.to_string());
            Some(vec![
                (*from).to_owned(),
                full_pressure.to_string(),
                until_stall.to_string(),
                quick(*full_pressure_quick),
                quick(*until_stall_quick),
            ])
        });
        let head = [
            "Strokes from",
            "At full pressure",
            "Until stall",
            "Quick gas, full pressure",
            "Quick gas, stall",
        ];
        out.push_str(&grid(&head, table, &[1, 2, 3, 4], width));
        out.push('\n');
        lines(&mut out, &rows, width);
        self.after_each(&mut out, report, width);
        closing(&mut out, report, self.notes, width);
        out
    }

    fn after_each(&self, out: &mut String, report: &Report, width: usize) {
        let pressures = &self.strokes.tank_pa_gauge;
        if pressures.is_empty() {
            return;
        }
        let table = pressures.iter().take(MOST_ROWS).enumerate().map(|(index, &pascals)| {
            let full =
                usize::try_from(self.strokes.from_cut_out.full_pressure).is_ok_and(|full| index < full);
            vec![
                (index + 1).to_string(),
                pressure(report, pascals),
                if full { "full pressure" } else { "falling" }.to_owned(),
            ]
        });
        out.push_str(&grid(&["Stroke", "Tank after it", "Stroke at"], table, &[0, 1], width));
        if pressures.len() > MOST_ROWS {
            let _ = writeln!(out, "... and {} more; --json lists them all.", pressures.len() - MOST_ROWS);
        }
        let _ = writeln!(
            out,
            "Pressures are gauge, slow gas, pump off. Full pressure ends at {}.
",
            pressure(report, self.lowest_full_pa)
        );
    }
}
