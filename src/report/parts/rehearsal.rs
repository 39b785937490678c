//! What a working session comes to.

use std::fmt::Write as _;

use serde::Serialize;

use super::{closing, figure, lines, pressure};
use crate::answers::rehearsal::{Plan, Rehearsed, Taken};
use crate::rehearsal::{Lift, Outcome};
use crate::report::plot::{Marks, Plot};
use crate::report::terminal::{emphasis, list, wrapped};
use crate::report::{Default, Report, StepRow, words};
use crate::units::Dimension;
use crate::units::display::{show_at_most, show_watt_hours};

/// The report of `rehearse`.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(missing_docs, reason = "named by what they hold")]
pub struct Rehearsal<'a> {
    pub schema: u32,
    pub title: &'a str,
    pub rehearsal: Session,
    pub defaults: &'a [Default],
    pub notes: Vec<String>,
    pub cautions: &'a [String],
    #[serde(skip_serializing_if = "Option::is_none")]
    pub working: Option<&'a [StepRow]>,
    /// Points of the tank pressure: time in s, gauge pressure in Pa.
    #[serde(skip)]
    tank: Vec<(f64, f64)>,
    #[serde(skip)]
    set_pa_gauge: f64,
}

/// A session in numbers; `None` where the rig does not say.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(missing_docs, reason = "named by quantity and unit")]
pub struct Session {
    pub good: bool,
    pub headline: String,
    /// Height of a lift that arrives.
    pub height_m: f64,
    /// Height that the whole travel gives.
    pub whole_height_m: f64,
    pub lifts_wanted: u32,
    pub lifts_arrived: u32,
    pub first_failed: Option<u32>,
    pub first_slow: Option<u32>,
    pub time_s: f64,
    /// By how much it lasted longer than the pace allows.
    pub behind_pace_s: Option<f64>,
    pub first_raise_s: Option<f64>,
    pub slowest_raise_s: Option<f64>,
    pub tank_lowest_pa_gauge: f64,
    pub tank_last_pa_gauge: f64,
    pub tank_last_k: f64,
    /// `None` without a compressor.
    pub compressor: Option<Compressor>,
    /// Most that a held load sank; less than nothing if each rose, by this or more.
    pub drift_m: Option<f64>,
    pub coldest_exhaust_k: Option<f64>,
    pub coldest_in_valve_k: Option<f64>,
    pub may_freeze: bool,
    pub air_used_kg: f64,
    pub air_used_anr_m3: f64,
    pub energy: Energy,
    pub jerks: u32,
    /// What is not accounted for, as a share of what went through.
    pub balance: Balance,
    pub lifts: Vec<LiftRow>,
    /// Figures that the rig does not say.
    pub taken: Vec<TakenRow>,
}

/// What the compressor did.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[allow(missing_docs, reason = "named by quantity and unit")]
pub struct Compressor {
    pub on_s: f64,
    pub on_share: f64,
    pub starts: u32,
    pub thermal_cut_outs: u32,
    pub longest_run_s: f64,
    /// Fall of the tank after a stop, as its air cools; `null` if the pump never stopped.
    pub sag_pa: Option<f64>,
    pub battery_empty_s: Option<f64>,
}

/// Where the energy went.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[allow(missing_docs, reason = "named by quantity and unit")]
pub struct Energy {
    pub pump_j: Option<f64>,
    pub steady_j: f64,
    pub battery_left_j: Option<f64>,
    pub compression_j: f64,
    pub stored_gain_j: f64,
    pub on_load_j: f64,
    pub friction_j: f64,
    pub lost_j: f64,
    pub battery_to_load: Option<f64>,
    pub tank_gave_pa: Option<f64>,
}

/// Residuals of the books.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[allow(missing_docs, reason = "named by what is balanced")]
pub struct Balance {
    pub mass: f64,
    pub energy: f64,
    pub work: f64,
}

/// One lift.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[allow(missing_docs, reason = "named by quantity and unit")]
pub struct LiftRow {
    pub number: u32,
    pub outcome: &'static str,
    pub start_s: f64,
    pub raise_s: Option<f64>,
    pub lower_s: Option<f64>,
    pub travel_m: f64,
    pub tank_before_pa_gauge: f64,
    pub tank_lowest_pa_gauge: f64,
    pub tank_after_pa_gauge: f64,
}

/// Share of a height by which two differ that are one.
const SAME_HEIGHT: f64 = 1e-9;
/// Drift of a held load that nobody sees, in m.
const UNSEEN_M: f64 = 1e-6;
/// Why the air behind a shut valve lifts on.
const WHY_IT_RISES: &str = "A held load rises after the valve shuts: air from the tank is cold, takes up heat and \
    takes more room, and air at a pressure above what the load needs by then expands. Leave room above the load.";

/// What a held load does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Drift {
    Sinks,
    Stays,
    Rises,
}

impl Drift {
    /// By how far it sinks; less than nothing is a rise.
    fn of(drift_m: f64) -> Self {
        if drift_m.abs() < UNSEEN_M {
            Self::Stays
        } else if drift_m > 0.0 {
            Self::Sinks
        } else {
            Self::Rises
        }
    }
}

/// A figure that the rig does not say, and what was taken.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(missing_docs, reason = "named by what they hold")]
pub struct TakenRow {
    pub name: &'static str,
    pub value: String,
}

const fn outcome(outcome: Outcome) -> &'static str {
    match outcome {
        Outcome::Arrived => "arrived",
        Outcome::Slow => "slow",
        Outcome::Stalled => "stalled",
        Outcome::OutOfTime => "out of time",
    }
}

fn lift_row(lift: &Lift) -> LiftRow {
    LiftRow {
        number: lift.number,
        outcome: outcome(lift.outcome),
        start_s: lift.start.value,
        raise_s: lift.raise_time.map(|time| time.value),
        lower_s: lift.lower_time.map(|time| time.value),
        travel_m: lift.travel.value,
        tank_before_pa_gauge: lift.tank_before.pascals(),
        tank_lowest_pa_gauge: lift.tank_lowest.pascals(),
        tank_after_pa_gauge: lift.tank_after.pascals(),
    }
}

impl Session {
    fn new(plan: &Plan, worked: &Rehearsed, report: &Report) -> Self {
        let done = &worked.rehearsal;
        let energy = &done.energy;
        Self {
            good: worked.is_good(),
            headline: words(&worked.headline, report.units),
            height_m: worked.height.value,
            whole_height_m: worked.whole_height.value,
            lifts_wanted: worked.lifts_wanted,
            lifts_arrived: worked.lifts_arrived,
            first_failed: done.first_failed().map(|lift| lift.number),
            first_slow: done.first_slow().map(|lift| lift.number),
            time_s: done.time.value,
            behind_pace_s: worked.behind_pace.map(|time| time.value),
            first_raise_s: worked.first_raise.map(|time| time.value),
            slowest_raise_s: worked.slowest_raise.map(|time| time.value),
            tank_lowest_pa_gauge: done.lowest_tank_pressure.pascals(),
            tank_last_pa_gauge: done.tank_pressure.pascals(),
            tank_last_k: done.tank_temperature.value,
            compressor: done.pump.map(|pump| Compressor {
                on_s: pump.on.value,
                on_share: pump.share.value,
                starts: pump.starts,
                thermal_cut_outs: pump.cut_outs,
                longest_run_s: pump.longest_run.value,
                sag_pa: pump.largest_sag.map(|sag| sag.value),
                battery_empty_s: pump.battery_empty.map(|time| time.value),
            }),
            drift_m: done.largest_drift.map(|drift| drift.value),
            coldest_exhaust_k: done.coldest_exhaust.map(|coldest| coldest.value),
            coldest_in_valve_k: done.coldest_in_valve.map(|coldest| coldest.value),
            may_freeze: done.may_freeze(),
            air_used_kg: done.air_used.value,
            air_used_anr_m3: done.free_air_used.value,
            energy: Energy {
                pump_j: energy.electric.map(|energy| energy.value),
                steady_j: energy.steady.value,
                battery_left_j: energy
                    .battery_left
                    .filter(|_| worked.knows_battery)
                    .map(|energy| energy.value),
                compression_j: energy.compression.value,
                stored_gain_j: energy.stored.value,
                on_load_j: energy.useful.value,
                friction_j: energy.friction.value,
                lost_j: energy.lost.value,
                battery_to_load: worked.battery_to_load.map(|share| share.value),
                tank_gave_pa: worked.tank_gave.map(|gave| gave.value),
            },
            jerks: done.jerks,
            balance: Balance {
                mass: done.balance.mass,
                energy: done.balance.energy,
                work: done.balance.work,
            },
            lifts: done.lifts.iter().map(lift_row).collect(),
            taken: plan
                .taken
                .iter()
                .map(|Taken { name, value }| TakenRow { name, value: words(value, report.units) })
                .collect(),
        }
    }
}

impl<'a> Rehearsal<'a> {
    /// The report of a session.
    #[must_use]
    pub fn new(report: &'a Report, plan: &Plan, worked: &Rehearsed) -> Self {
        let rises =
            worked.rehearsal.largest_drift.is_some_and(|drift| Drift::of(drift.value) == Drift::Rises);
        Self {
            schema: report.schema,
            title: &report.title,
            rehearsal: Session::new(plan, worked, report),
            defaults: &report.defaults,
            notes: plan
                .notes
                .iter()
                .chain(&worked.notes)
                .map(|note| words(note, report.units))
                .chain(rises.then(|| WHY_IT_RISES.to_owned()))
                .collect(),
            cautions: &report.cautions,
            working: report.working.as_deref(),
            tank: worked.rehearsal.trace.iter().map(|row| (row.time_s, row.tank_pa_gauge)).collect(),
            set_pa_gauge: report.set_point.set_pa_gauge,
        }
    }

    /// Text for a terminal.
    #[must_use]
    pub fn text(&self, report: &Report, width: usize) -> String {
        let mut out = String::new();
        let headline = format!("{}: {}.", self.title, self.rehearsal.headline);
        out.push_str(&wrapped(&headline, width, 0));
        out.push_str("\n\n");
        lines(&mut out, &self.figures(report), width);
        self.plot(&mut out, report, width);
        if report.working.is_some() {
            self.balance(&mut out, width);
        }
        let taken: Vec<String> =
            self.rehearsal.taken.iter().map(|row| format!("{} = {}", row.name, row.value)).collect();
        let bold = emphasis();
        let _ = writeln!(out, "{bold}Taken for the rehearsal{bold:#}");
        out.push_str(&wrapped(&taken.join(", "), width, 2));
        out.push_str("\n\n");
        closing(&mut out, report, &self.notes, width);
        out
    }

    fn figures(&self, report: &Report) -> Vec<(&'static str, String)> {
        let session = &self.rehearsal;
        let show = |value: f64, dimension: Dimension| figure(report, value, dimension);
        let time = |seconds: f64| show(seconds, Dimension::Time);
        let late = session
            .behind_pace_s
            .map_or_else(String::new, |late| format!(", {} behind the pace wanted", time(late)));
        let mut rows = vec![(
            "Lifts",
            format!(
                "{} of {} arrive, in {}{late}",
                session.lifts_arrived,
                session.lifts_wanted,
                time(session.time_s)
            ),
        )];
        let (height, whole) = (session.height_m, session.whole_height_m);
        let length = |height: f64| show(height, Dimension::Length);
        let reach = if height < whole * (1.0 - SAME_HEIGHT) {
            format!(
                "each lift takes the load up by {}, where the valve shuts; the stroke would give {}",
                length(height),
                length(whole)
            )
        } else {
            format!("each lift takes the load up by {}, all that the stroke gives", length(height))
        };
        rows.push(("Height", reach));
        if let Some((first, slowest)) = session.first_raise_s.zip(session.slowest_raise_s) {
            rows.push(("Raise", format!("{} the first, {} the slowest", time(first), time(slowest))));
        }
        rows.push((
            "Tank",
            format!(
                "{} at the lowest, {} at the end",
                pressure(report, session.tank_lowest_pa_gauge),
                pressure(report, session.tank_last_pa_gauge)
            ),
        ));
        if let Some(pump) = &session.compressor {
            let mut text = format!(
                "on for {} ({}), {}, {}; longest run {}",
                time(pump.on_s),
                show(pump.on_share, Dimension::Fraction),
                counted(pump.starts, "start"),
                counted(pump.thermal_cut_outs, "thermal cut-out"),
                time(pump.longest_run_s)
            );
            if let Some(empty) = pump.battery_empty_s {
                let _ = write!(text, "; the battery is empty after {}", time(empty));
            }
            rows.push(("Compressor", text));
            if let Some(sag) = pump.sag_pa {
                rows.push((
                    "Sag",
                    format!("{} after the pump stops, as the tank cools", pressure(report, sag)),
                ));
            }
        }
        if let Some(drift) = session.drift_m {
            let text = match Drift::of(drift) {
                Drift::Sinks => {
                    format!("{} that a held load sinks, at most", show(drift, Dimension::Length))
                }
                Drift::Stays => "a held load does not sink".to_owned(),
                Drift::Rises => format!(
                    "a held load does not sink, it rises by {} or more after the valve shuts: the least of all lifts",
                    show_at_most(-drift, Dimension::Length, report.units)
                ),
            };
            rows.push(("Drift", text));
        }
        if let Some(coldest) = session.coldest_exhaust_k {
            let freezing = if session.may_freeze {
                ": below freezing, water in the air may block the lower valve with ice"
            } else {
                ""
            };
            rows.push((
                "Exhaust",
                format!("{} at the coldest{freezing}", show(coldest, Dimension::Temperature)),
            ));
        }
        rows.push(("Air used", show(session.air_used_anr_m3, Dimension::FreeAirVolume)));
        let energy = &session.energy;
        if let Some(left) = energy.battery_left_j {
            rows.push(("Battery left", format!("{} of the usable part", show_watt_hours(left))));
        }
        rows.push(("Energy", energy_text(energy, show)));
        rows
    }

    fn plot(&self, out: &mut String, report: &Report, width: usize) {
        let plot = Plot { points: &self.tank, level: self.set_pa_gauge };
        let marks = Marks {
            value: &|value| pressure(report, value),
            place: &|place| figure(report, place, Dimension::Time),
        };
        let text = plot.text(width, &marks);
        if text.is_empty() {
            return;
        }
        let bold = emphasis();
        let _ = writeln!(out, "{bold}Tank pressure{bold:#}, gauge; the dashes are the set point");
        out.push_str(&text);
        out.push('\n');
    }

    fn balance(&self, out: &mut String, width: usize) {
        let Balance { mass, energy, work } = self.rehearsal.balance;
        let rows = vec![
            format!("mass of air: {mass:.1e} of all that was held or came in"),
            format!("energy of the air: {energy:.1e} of all that was held or came in"),
            format!("work of the pistons: {work:.1e} of all that was turned over"),
        ];
        list(out, "What the books are off by", &rows, width);
    }
}

fn counted(count: u32, noun: &str) -> String {
    let ending = if count == 1 { "" } else { "s" };
    format!("{count} {noun}{ending}")
}

/// What reached the load of what was given.
fn energy_text(energy: &Energy, show: impl Fn(f64, Dimension) -> String) -> String {
    let mut text = format!("{} of work on the load", show(energy.on_load_j, Dimension::Energy));
    if let Some((pump, share)) = energy.pump_j.zip(energy.battery_to_load) {
        let _ = write!(
            text,
            " for {} of the pump and {} of steady load: {}",
            show(pump, Dimension::Energy),
            show(energy.steady_j, Dimension::Energy),
            show(share, Dimension::Fraction)
        );
        if let Some(gave) = energy.tank_gave_pa {
            let _ = write!(text, ", besides {} from the tank", show(gave, Dimension::Pressure));
        }
    }
    text
}
