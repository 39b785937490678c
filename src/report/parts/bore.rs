//! Which standard bore lifts the load.

use serde::Serialize;

use super::{closing, figure, lines, pressure};
use crate::answers::{BoreAnswer, Place};
use crate::report::terminal::grid;
use crate::report::{Default, Report, StepRow};
use crate::rig::Rig;
use crate::units::Dimension;
use crate::units::display::show_at_least;

/// The report of `bore`.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(missing_docs, reason = "named by quantity and unit")]
pub struct Bore<'a> {
    pub schema: u32,
    pub load_force_n: f64,
    pub cylinders: u32,
    pub set_pa_gauge: f64,
    pub moving_pressure_pa_gauge: f64,
    pub limit_load_ratio: f64,
    pub bore_m: Option<f64>,
    pub choices: Vec<Choice>,
    pub defaults: &'a [Default],
    pub cautions: &'a [String],
    #[serde(skip_serializing_if = "Option::is_none")]
    pub working: Option<&'a [StepRow]>,
}

/// A standard bore.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(missing_docs, reason = "named by quantity and unit")]
pub struct Choice {
    pub series: String,
    pub name: String,
    pub bore_m: f64,
    pub place: &'static str,
    pub suffices: bool,
    pub load_ratio: f64,
    pub needed_pressure_pa_gauge: f64,
    pub thrust_n: f64,
}

impl<'a> Bore<'a> {
    /// The report of a choice of bores.
    #[must_use]
    pub fn new(report: &'a Report, rig: &Rig, answer: &BoreAnswer) -> Self {
        Self {
            schema: report.schema,
            load_force_n: report.lift.load_force_n,
            cylinders: rig.cylinders.count,
            set_pa_gauge: report.set_point.set_pa_gauge,
            moving_pressure_pa_gauge: report.lift.moving_pressure_pa_gauge,
            limit_load_ratio: rig.limits.load_ratio.value,
            bore_m: answer.exact.map(|bore| bore.value),
            choices: answer
                .choices
                .iter()
                .map(|choice| Choice {
                    series: choice.series.clone(),
                    name: choice.name.clone(),
                    bore_m: choice.bore.value,
                    place: match choice.place {
                        Place::NextSmaller => "next smaller",
                        Place::Smallest => "smallest that does",
                        Place::NextLarger => "next larger",
                    },
                    suffices: choice.suffices,
                    load_ratio: choice.load_ratio.value,
                    needed_pressure_pa_gauge: choice.needed_pressure.pascals(),
                    thrust_n: choice.thrust.value,
                })
                .collect(),
            defaults: &report.defaults,
            cautions: &report.cautions,
            working: report.working.as_deref(),
        }
    }

    /// Text for a terminal.
    #[must_use]
    pub fn text(&self, report: &Report, width: usize) -> String {
        let mut out = String::new();
        let force = figure(report, self.load_force_n, Dimension::Force);
        let bore = match (
            self.bore_m,
            self.choices.iter().find(|choice| choice.place == "smallest that does"),
        ) {
            (None, _) => {
                "none: the pressure left after droop, friction and back-pressure moves nothing".to_owned()
            }
            (Some(bore), None) => format!(
                "at least {}, more than the largest of the series; take more cylinders or a higher set point",
                show_at_least(bore, Dimension::Length, report.units)
            ),
            (Some(bore), Some(choice)) => {
                format!(
                    "{} is the smallest that does; at least {}",
                    choice.name,
                    show_at_least(bore, Dimension::Length, report.units)
                )
            }
        };
        let rows = [
            ("Bore", bore),
            (
                "Force",
                match self.cylinders {
                    1 => format!("{force} from one cylinder, at the worst point of the travel"),
                    count => {
                        format!("{force} from {count} cylinders together, at the worst point of the travel")
                    }
                },
            ),
            (
                "Pressure",
                format!(
                    "{} while moving (set point {} less droop), load ratio at most {}",
                    pressure(report, self.moving_pressure_pa_gauge),
                    pressure(report, self.set_pa_gauge),
                    figure(report, self.limit_load_ratio, Dimension::Fraction)
                ),
            ),
        ];
        lines(&mut out, &rows, width);
        let table = self.choices.iter().map(|choice| {
            vec![
                choice.name.clone(),
                choice.place.to_owned(),
                figure(report, choice.load_ratio, Dimension::Fraction),
                pressure(report, choice.needed_pressure_pa_gauge),
                figure(report, choice.thrust_n, Dimension::Force),
            ]
        });
        let head = ["Bore", "Place", "Load ratio", "Pressure needed", "Thrust at set point"];
        out.push_str(&grid(&head, table, &[2, 3, 4], width));
        out.push_str("Pressures are gauge. Thrust is that of all cylinders, without friction.\n\n");
        closing(&mut out, report, &[], width);
        out
    }
}
