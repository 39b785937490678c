//! How long filling takes and what rate it keeps up.

use serde::Serialize;

use super::{closing, figure, lines, pressure};
use crate::answers::{Answers, describes_strokes};
use crate::report::{Default, Fill as FillBlock, Report, StepRow};
use crate::rig::Rig;
use crate::units::Dimension;
use crate::units::display::show_at_least;

/// The report of `fill`.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(missing_docs, reason = "named by quantity and unit")]
pub struct Fill<'a> {
    pub schema: u32,
    pub fill: FillBlock,
    pub strokes_per_hour_wanted: Option<f64>,
    /// How many times the delivery keeps up the rate wanted.
    pub delivery_for_rate_wanted: Option<f64>,
    pub open_flow_for_rate_wanted_m3_per_s: Option<f64>,
    pub defaults: &'a [Default],
    pub cautions: &'a [String],
    #[serde(skip_serializing_if = "Option::is_none")]
    pub working: Option<&'a [StepRow]>,
    #[serde(skip)]
    has_strokes: bool,
}

impl<'a> Fill<'a> {
    /// The report of the fill. What depends on the cylinders is left out where they are not given.
    #[must_use]
    pub fn new(report: &'a Report, rig: &Rig, answers: &Answers) -> Self {
        let has_strokes = describes_strokes(rig);
        let mut fill = report.fill.clone();
        if !has_strokes {
            fill.strokes_per_hour_kept_up = None;
            fill.after_strokes_s = None;
        }
        let needed = answers.fill.as_ref().filter(|_| has_strokes).and_then(|fill| fill.delivery_for_rate);
        Self {
            schema: report.schema,
            fill,
            strokes_per_hour_wanted: rig.cycle.per_hour,
            delivery_for_rate_wanted: needed.map(|needed| needed.times.value),
            open_flow_for_rate_wanted_m3_per_s: needed
                .and_then(|needed| needed.open)
                .map(|flow| flow.volume_rate().value),
            defaults: &report.defaults,
            cautions: &report.cautions,
            working: report.working.as_deref(),
            has_strokes,
        }
    }

    /// Text for a terminal.
    #[must_use]
    pub fn text(&self, report: &Report, width: usize) -> String {
        let fill = &self.fill;
        let time = |seconds: Option<f64>| {
            seconds.map_or_else(|| "-".to_owned(), |seconds| figure(report, seconds, Dimension::Time))
        };
        let mut rows = Vec::new();
        if let Some(stall) = fill.stalls_at_pa_gauge {
            rows.push((
                "Stall",
                format!(
                    "the pump stalls at {}, at or below cut-out: it never switches off",
                    pressure(report, stall)
                ),
            ));
        } else {
            rows.push(("From empty", format!("{} to cut-out", time(fill.from_empty_s))));
            rows.push(("From cut-in", format!("{} to cut-out", time(fill.cut_in_to_cut_out_s))));
            if fill.after_strokes_s.is_some() {
                rows.push((
                    "After strokes",
                    format!(
                        "{} back to cut-out after all strokes at full pressure",
                        time(fill.after_strokes_s)
                    ),
                ));
            }
        }
        if let Some(rate) = fill.strokes_per_hour_kept_up {
            rows.push((
                "Keeps up",
                format!("{} all day, at the duty given", figure(report, rate, Dimension::PerHour)),
            ));
        }
        if let Some((wanted, times)) = self.strokes_per_hour_wanted.zip(self.delivery_for_rate_wanted) {
            let open = self.open_flow_for_rate_wanted_m3_per_s.map_or_else(String::new, |flow| {
                format!(
                    ", an open flow of {} at inlet state with the same stall",
                    show_at_least(flow, Dimension::FreeAirFlow, report.units)
                )
            });
            rows.push((
                "For the rate",
                format!(
                    "{} wants {} times this delivery{open}",
                    figure(report, wanted, Dimension::PerHour),
                    show_at_least(times, Dimension::Number, report.units)
                ),
            ));
        }
        let mut out = String::new();
        lines(&mut out, &rows, width);
        out.push_str("Pressures are gauge. The tank is taken to stay at the temperature of the site.\n\n");
        let mut notes = Vec::new();
        if !self.has_strokes {
            notes.push(
                "give --bore, --stroke and --set (or a rig file) to learn what rate of strokes this keeps up"
                    .to_owned(),
            );
        }
        closing(&mut out, report, &notes, width);
        out
    }
}
