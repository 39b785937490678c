//! Where the regulator belongs.

use serde::Serialize;

use super::{closing, lines, pressure};
use crate::answers::Answers;
use crate::report::{Default, Lift, Report, StepRow};
use crate::rig::{AirSource, Rig};
use crate::sizing::regulator_setpoint::{LowerBound, UpperBound};
use crate::units::Dimension;
use crate::units::display::{show_at_least, show_at_most};

/// The report of `setpoint`.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(missing_docs, reason = "named by quantity and unit")]
pub struct SetPoint<'a> {
    pub schema: u32,
    pub load_force_n: f64,
    pub load_pressure_pa_gauge: f64,
    pub needed_pressure_pa_gauge: f64,
    pub worst_travel_m: f64,
    pub set_point: Ends,
    pub defaults: &'a [Default],
    pub cautions: &'a [String],
    #[serde(skip_serializing_if = "Option::is_none")]
    pub working: Option<&'a [StepRow]>,
    #[serde(skip)]
    droop_pa: f64,
    #[serde(skip)]
    bottle: bool,
}

/// The window.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(missing_docs, reason = "named by quantity and unit")]
pub struct Ends {
    pub low_pa_gauge: f64,
    pub low_from: &'static str,
    pub high_pa_gauge: f64,
    pub high_from: &'static str,
    pub recommended_pa_gauge: Option<f64>,
    pub set_pa_gauge: Option<f64>,
    pub set_is_inside: Option<bool>,
    pub opening_bore_m: Option<f64>,
}

impl<'a> SetPoint<'a> {
    /// The report of a window.
    #[must_use]
    pub fn new(report: &'a Report, rig: &Rig, answers: &Answers) -> Self {
        let window = &answers.window;
        let Lift { load_force_n, load_pressure_pa_gauge, needed_pressure_pa_gauge, worst_travel_m, .. } =
            report.lift;
        let given = rig.is_given("regulator.set");
        Self {
            schema: report.schema,
            load_force_n,
            load_pressure_pa_gauge,
            needed_pressure_pa_gauge,
            worst_travel_m,
            set_point: Ends {
                low_pa_gauge: window.low.pascals(),
                low_from: match window.low_from {
                    LowerBound::LoadRatio => "load ratio at its limit, and droop",
                    LowerBound::Motion => "bare motion against friction, and droop",
                },
                high_pa_gauge: window.high.pascals(),
                high_from: match window.high_from {
                    UpperBound::CylinderRating => "cylinder rating, less the setting tolerance",
                    UpperBound::LineRating => "line rating, less the setting tolerance",
                    UpperBound::LineRelief => "relief after the regulator, less the setting tolerance",
                    UpperBound::CutIn => "cut-in, less headroom",
                },
                recommended_pa_gauge: report.set_point.recommended_pa_gauge,
                set_pa_gauge: given.then_some(report.set_point.set_pa_gauge),
                set_is_inside: given.then(|| answers.set_point_holds()),
                opening_bore_m: report.set_point.opening_bore_m,
            },
            defaults: &report.defaults,
            cautions: &report.cautions,
            working: report.working.as_deref(),
            droop_pa: rig.regulator.droop.value,
            bottle: matches!(rig.source, AirSource::Bottle { .. }),
        }
    }

    /// Text for a terminal.
    #[must_use]
    pub fn text(&self, report: &Report, width: usize) -> String {
        let ends = &self.set_point;
        let bar = |pascals| pressure(report, pascals);
        let mut rows = Vec::new();
        let open = ends.low_pa_gauge <= ends.high_pa_gauge;
        rows.push((
            "Set point",
            match (open, report.recommended_shown_pa_gauge) {
                (true, Some(set)) => format!("{} recommended", bar(set)),
                (true, None) => "the window is open, but narrower than one step of the scale".to_owned(),
                (false, _) => ends.opening_bore_m.map_or_else(
                    || "none fits, and no bore opens the window: nothing is left above the droop".to_owned(),
                    |bore| {
                        format!(
                            "none fits; a bore of {} or more opens the window",
                            show_at_least(bore, Dimension::Length, report.units)
                        )
                    },
                ),
            },
        ));
        rows.push((
            "At least",
            format!(
                "{} ({})",
                show_at_least(ends.low_pa_gauge, Dimension::Pressure, report.units),
                ends.low_from
            ),
        ));
        rows.push((
            "At most",
            format!(
                "{} ({})",
                show_at_most(ends.high_pa_gauge, Dimension::Pressure, report.units),
                ends.high_from
            ),
        ));
        if let Some(set) = ends.set_pa_gauge {
            let place =
                if ends.set_is_inside == Some(true) { "inside the window" } else { "outside the window" };
            rows.push(("Set to", format!("{}, {place}", bar(set))));
        }
        let (load, need) = (self.load_pressure_pa_gauge, self.needed_pressure_pa_gauge);
        rows.push((
            "Load",
            format!(
                "{} without friction, {} with it, at the worst point of the travel; droop {}",
                bar(load),
                bar(need),
                bar(self.droop_pa)
            ),
        ));
        let mut out = String::new();
        lines(&mut out, &rows, width);
        out.push_str("Pressures are gauge.\n\n");
        let mut notes = Vec::new();
        if self.bottle {
            notes.push("no compressor is given, so cut-in does not bound the set point".to_owned());
        }
        closing(&mut out, report, &notes, width);
        out
    }
}
