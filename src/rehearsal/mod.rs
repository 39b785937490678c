//! A working session in time: battery, pump, tank, regulator, valves, cylinders and load together.
//!
//! Statics says whether a load goes up. This says when, how fast it comes down, and what the fifth lift of
//! the afternoon looks like.
//!
//! **Air.** Tank, cap side (with its hose) and a driven rod side are volumes with a mass and a temperature of
//! their own. `p = rho R T Z(rho)` with `Z` of real dry air at the temperature of the site, heat capacity of
//! the site. Between them air flows by ISO 6358; the regulator's outlet falls with flow,
//! `p = set - droop q/q_rated`, and is never above the tank. Each volume exchanges heat with surroundings of
//! one temperature.
//!
//! **Motion.** The forces on the pistons balance while they move; the speed is what flow, heat and the shape
//! of the linkage make of that balance. Inertia is left out: the load of a small rig rises at some 0.1 m/s,
//! where its energy of motion is a thousandth of that of its height, and the oscillation of a load on its air
//! dies in the seals. Without inertia a rig with no moving mass, or with no dead volume, is as easy as any
//! other. Where a balance does not exist, since the load comes off or a linkage gives way faster than the air
//! can follow, the load runs away to the next balance in no time; that is counted as a jerk and its energy as
//! lost.
//!
//! **Friction.** Seals take a share of thrust: of the cap side on the way out, of both sides on the way in.
//! The linkage takes `1 - eta` of the work both ways. Held between both, a load stands still. To start,
//! friction may be a multiple of that (breakaway).
//!
//! **Not covered:** inertia and shock at the stops, pressure waves in hoses, moisture, cooling by throttling
//! (real air cools some 0.2 K for each bar that it is throttled by), ageing of the battery.
//!
//! Between its modes (resting, rising, held, falling, at stop) the run stops at the moment of change, found by
//! taking the step anew until it ends there. Mass, energy of the air and work on the pistons are booked
//! alongside; a run whose books are off by more than 1e-6 is repeated with finer steps, three times at most,
//! and then refused.

mod air_law;
mod answers;
mod course;
mod events;
mod fill;
mod integrator;
mod model;
mod moment;
mod records;
mod run;
mod schedule;
mod session;
mod setup;
mod single;
mod state;
#[cfg(test)]
mod tests;
mod thermal;
mod trace;

pub use answers::{Balance, FREEZING_K, Ledger, Lift, Outcome, PumpWork, Rehearsal, SessionEnd, Steps};
pub use fill::{FillCount, FillPattern, strokes_on_one_fill};
pub use moment::{Moment, Side};
pub use schedule::{Action, Part, Pattern, Schedule, Task, Until};
pub use session::{
    AfterFailure, AirModel, Heat, PumpSide, RegulatorSide, Relief, RodSide, Session, Settings, TankSide,
    cylinder_heat_transfer, tank_conductance, tank_heat_transfer,
};
pub use single::{SingleLift, ThenLower, single_lift};
pub use trace::{Mode, Row};

use crate::guard::require;
use crate::{Error, Result, StopReason};
use model::Plant;
use run::Run;

/// Works a schedule on a rig.
///
/// # Example
/// 40 kg on one 50 mm cylinder, raised once by 300 mm and let down again.
/// ```
/// # use lungful::air::flow::{Conductance, Restriction};
/// # use lungful::rehearsal::*;
/// # use lungful::sizing::cylinder_force::{Action as Driven, Cylinders};
/// # use lungful::sizing::linkage::{Direct, Linkage, Profile, Travel};
/// # use lungful::sizing::travel::Load;
/// # use lungful::units::{AbsolutePressure, GaugePressure, pressure::pascals};
/// # use uom::si::f64::*;
/// # use uom::si::{length::millimeter, mass::kilogram, mass_rate::gram_per_second, volume::liter};
/// # use uom::si::{thermodynamic_temperature::degree_celsius, time::second};
/// # let bar = |value: f64| GaugePressure::new(pascals(value * 1e5));
/// # let mm = Length::new::<millimeter>;
/// let cylinders = Cylinders {
///     count: 1,
///     bore: mm(50.0),
///     rod: mm(20.0),
///     stroke: mm(300.0),
///     action: Driven::Single,
///     rating: bar(10.0),
///     friction: Ratio::from(0.1),
///     clearance: Volume::default(),
///     return_spring: Force::default(),
///     back_pressure: Pressure::default(),
/// };
/// let load = Load {
///     mass: Mass::new::<kilogram>(40.0),
///     share: Ratio::from(1.0),
///     moving: Mass::default(),
///     lift: mm(300.0),
///     take_up: mm(0.0),
/// };
/// let direct = Linkage::Direct(Direct::new(mm(300.0))?);
/// let travel = Travel::new(&cylinders, &load, direct, &Profile::whole(), Ratio::from(1.0))?;
/// let valve = |c: f64| Restriction::new(Conductance::from_si(c)?, Ratio::from(0.3));
/// let volume = Volume::new::<liter>(5.0);
/// let session = Session {
///     atmosphere: AbsolutePressure::new(pascals(1e5))?,
///     temperature: ThermodynamicTemperature::new::<degree_celsius>(20.0),
///     air: AirModel::Real,
///     tank: TankSide {
///         volume,
///         start: bar(9.0),
///         heat: Heat::Rate(tank_conductance(volume)),
///         relief: None,
///         leak: None,
///     },
///     pump: None,
///     battery: None,
///     regulator: RegulatorSide {
///         set: bar(5.0),
///         droop: pascals(0.3e5),
///         rated_flow: MassRate::new::<gram_per_second>(5.0),
///     },
///     raise: valve(1e-8)?,
///     lower: valve(4e-9)?,
///     line_relief: None,
///     rod_side: None,
///     dead: Volume::new::<liter>(0.05),
///     drawn_out: mm(0.0),
///     cylinders: &cylinders,
///     travel: &travel,
///     target: None,
///     breakaway: Ratio::from(1.0),
///     cylinder_heat: Heat::Rate(cylinder_heat_transfer()),
/// };
/// # let s = Time::new::<second>;
/// let once = Pattern { raise_within: s(20.0), hold: s(5.0), lower_within: s(20.0), every: s(60.0), times: 1 };
/// let done = rehearse(&session, &once.schedule(), &Settings::default())?;
/// assert!(done.lifts[0].outcome.arrived());
/// // 40 kg * 9.80665 m/s2 * 0.3 m
/// assert!((done.energy.useful.value - 117.68).abs() < 0.01);
/// # Ok::<(), lungful::Error>(())
/// ```
///
/// # Errors
/// [`Error::OutOfRange`] for a figure that no rig has;
/// [`Error::Simulation`] if the run cannot be carried to its end or its books do
/// not close.
pub fn rehearse(session: &Session<'_>, schedule: &Schedule, settings: &Settings) -> Result<Rehearsal> {
    rehearse_observed(session, schedule, settings, &mut |_, _| {})
}

/// As [`rehearse`], telling after each pass of a cycle how many of how many are done.
///
/// # Errors
/// As [`rehearse`].
pub fn rehearse_observed(
    session: &Session<'_>,
    schedule: &Schedule,
    settings: &Settings,
    progress: &mut dyn FnMut(u32, u32),
) -> Result<Rehearsal> {
    let tolerance = settings.tolerance;
    require((1e-12..=1e-3).contains(&tolerance), "tolerance", tolerance, "", "from 1e-12 to 1e-3")?;
    let plant = session.plant()?;
    balanced(settings, |settings| work(session, &plant, schedule, settings, progress))
}

/// Repeats a run with finer steps if its books do not close. One in a thousand rigs drawn at random needs it:
/// one that stands for long on the edge between two laws.
fn balanced<T>(settings: &Settings, mut run: impl FnMut(&Settings) -> Result<T>) -> Result<T> {
    let unbalanced = |result: &Result<T>| {
        matches!(result, Err(Error::Simulation { reason: StopReason::Unbalanced { .. }, .. }))
    };
    let mut finer = *settings;
    let mut result = run(&finer);
    for _ in 0..3 {
        if !unbalanced(&result) {
            break;
        }
        finer.tolerance = (finer.tolerance / 20.0).max(1e-12);
        result = run(&finer);
    }
    result
}

fn work(
    session: &Session<'_>,
    plant: &Plant,
    schedule: &Schedule,
    settings: &Settings,
    progress: &mut dyn FnMut(u32, u32),
) -> Result<Rehearsal> {
    let mut run = Run::new(plant, session, settings);
    let mut end = SessionEnd::Done;
    let (mut done, of) = (0, schedule.passes());
    let passes = schedule.parts.iter().flat_map(|part| (0..part.times).map(|_| &part.cycle));
    'session: for cycle in passes {
        let cycle_start = run.time();
        for task in cycle {
            run.task(task, cycle_start)?;
            let failed = task.action == Action::Raise
                && run.records.last_lift().is_some_and(|lift| !lift.outcome.arrived());
            if failed && settings.after_failure == AfterFailure::Stop {
                end = SessionEnd::LiftFailed;
                break 'session;
            }
        }
        run.records.end_pass();
        done += 1;
        progress(done, of);
    }
    let state = run.state;
    run.records.end_cycle(&state, plant);
    run.records.answers(&state, plant, end)
}
