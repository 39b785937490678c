//! Strokes on one fill, counted in time.

use uom::si::f64::Time;

use super::model::Plant;
use super::run::Run;
use super::schedule::{Action, Task, Until};
use super::session::{Session, Settings};
use crate::Result;
use crate::guard::require;
use crate::sizing::tank_capacity::EndPressure;
use crate::units::GaugePressure;

/// How the strokes of one fill are made.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FillPattern {
    /// Whether the valve is held open until the air has come to rest, or closed as the load arrives.
    pub end_pressure: EndPressure,
    /// Longest that a raise, with what follows until the air is at rest, may take.
    pub raise_within: Time,
    /// The same for lowering.
    pub lower_within: Time,
    /// Rest between strokes, in which the tank warms.
    pub rest: Time,
    /// Tank pressure at or above which a stroke counts as one at full pressure.
    pub full_until: GaugePressure,
    /// Count no further than this.
    pub most: u32,
}

/// Strokes on one fill.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct FillCount {
    /// After which the tank stands at or above the pressure asked for.
    pub full_pressure: u32,
    /// That complete.
    pub until_stall: u32,
}

/// Counts the strokes that the tank gives without the pump.
///
/// With heat exchange perfect everywhere this is the slow count of
/// [`count_slow`](crate::sizing::tank_capacity::count_slow), with none at all it is not below the quick one;
/// anything between lies between. A stroke completes if the load arrives and the air, once it has come to
/// rest, still carries it on.
///
/// # Errors
/// As [`rehearse`](super::rehearse); [`Error::OutOfRange`](crate::Error::OutOfRange) if a pump is given.
pub fn strokes_on_one_fill(
    session: &Session<'_>,
    pattern: &FillPattern,
    settings: &Settings,
) -> Result<FillCount> {
    require(session.pump.is_none(), "pump", 1.0, "", "left out while the strokes of one fill are counted")?;
    let plant = session.plant()?;
    super::balanced(settings, |settings| count(session, &plant, pattern, settings))
}

fn count(
    session: &Session<'_>,
    plant: &Plant,
    pattern: &FillPattern,
    settings: &Settings,
) -> Result<FillCount> {
    let mut run = Run::new(plant, session, settings);
    let raise_until = match pattern.end_pressure {
        EndPressure::SetPoint => Until::Settled { within: pattern.raise_within },
        EndPressure::Load => Until::Arrived { within: pattern.raise_within },
    };
    let tasks = [
        Task { action: Action::Raise, until: raise_until },
        Task { action: Action::Lower, until: Until::Settled { within: pattern.lower_within } },
        Task { action: Action::Rest, until: Until::Elapsed(pattern.rest) },
    ];
    let mut count = FillCount::default();
    let mut all_full = true;
    while count.until_stall < pattern.most {
        let begin = run.time();
        let [raise, lower, rest] = &tasks;
        run.task(raise, begin)?;
        if !run.records.last_lift().is_some_and(|lift| lift.outcome.arrived() && lift.ends_strong) {
            break;
        }
        run.task(lower, begin)?;
        let home = run.records.last_lift().is_some_and(|lift| lift.lower_time.is_some());
        run.task(rest, begin)?;
        run.records.end_cycle(&run.state, plant);
        count.until_stall += 1;
        // Rounding of an iteration apart, a pressure on the mark counts.
        let tank = run.records.last_lift().map(|lift| lift.tank_after);
        let reaches = |tank: GaugePressure| {
            tank.pascals() + plant.atmosphere
                >= (pattern.full_until.pascals() + plant.atmosphere) * (1.0 - 1e-7)
        };
        all_full &= tank.is_some_and(reaches);
        if all_full {
            count.full_pressure += 1;
        }
        if !home {
            break;
        }
    }
    let state = run.state;
    // The books of a count must close as well.
    run.records.answers(&state, plant, super::answers::SessionEnd::Done)?;
    Ok(count)
}
