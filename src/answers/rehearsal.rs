//! A working session of a rig: the rig file joined to the [`rehearsal`](crate::rehearsal) in time.
//!
//! [`plan`] says what a rehearsal would need and takes; [`rehearse`] works it.

use uom::si::f64::{HeatTransfer, Length, MassRate, Pressure, Ratio, ThermalConductance, Time};
use uom::si::time::second;

use super::check::sentence;
use super::times::{hose_restriction, in_a_row, rod_passages, share_in_motion, way_down, way_up};
use super::{Lift, Sentence, lift};
use crate::air::flow::Restriction;
use crate::rehearsal::{
    Action, AfterFailure, AirModel, FillCount, FillPattern, Heat, Lift as RehearsedLift, Outcome, Part,
    PumpSide, RegulatorSide, Rehearsal, Relief, RodSide, Schedule, Session, Settings, TankSide, Task, Until,
    cylinder_heat_transfer, rehearse_observed, strokes_on_one_fill, tank_conductance,
};
use crate::rig::{AirSource, Pause, Rig, RigTask, TaskGroup};
use crate::sizing::cylinder_force::Action as Driven;
use crate::sizing::linkage::Travel;
use crate::sizing::tank_capacity::{EndPressure, dead_volume};
use crate::units::{Dimension, GaugePressure};
use crate::{Error, StopReason};

/// Lifts of a rehearsal if nobody says how many.
const USUAL_LIFTS: u32 = 10;
/// How long each load is held if nobody says it, in s.
const USUAL_HOLD_S: f64 = 5.0;
/// When a raise or a lowering is given up if nobody says it, in s.
const USUAL_PATIENCE_S: f64 = 60.0;
/// Friction to start over that in motion, if nobody says it.
const AS_IN_MOTION: f64 = 1.0;
/// Most lifts of one rehearsal.
pub const MOST_LIFTS: u32 = 100_000;
/// Most rows of a trace, so that it fits in memory.
const MOST_ROWS: f64 = 500_000.0;
/// Rows that the plot is drawn from.
const PLOT_ROWS: f64 = 720.0;
/// Share of the supply below which cylinders are still filling.
const LEVEL: f64 = 0.99;
/// Share of its pressure that a tank may lack at the end and still count as full.
const PAID_FOR: f64 = 0.01;
/// Share of a session that rounding may add to it.
const LATE: f64 = 1e-6;
/// Share of a session by which it must fall behind its pace to be told first.
const TOLD_FIRST: f64 = 1e-3;

/// How much is worked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Extent {
    /// As many lifts as the rig file says.
    AsTheRigSays,
    /// This many lifts.
    Lifts(u32),
    /// The lifts of this time, at the number an hour of the rig.
    For(Time),
}

/// A figure without which nothing can be rehearsed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Lack {
    /// Path of its field.
    pub field: &'static str,
    /// What it is needed for.
    pub why: &'static str,
    /// How to give it.
    pub cure: &'static str,
}

/// Why nothing was rehearsed.
#[derive(Debug, Clone, PartialEq)]
pub enum NotRehearsed {
    /// The rig does not say enough.
    Lacks(Vec<Lack>),
    /// More lifts than one rehearsal takes.
    TooManyLifts {
        /// As many as it takes.
        most: u32,
    },
    /// More lifts than the tasks of the rig file make.
    NotSoManyTasks {
        /// As many as they make.
        lifts: u32,
    },
    /// A time was asked for, but the tasks of the rig file say how long it takes.
    TasksSayHowLong,
    /// A trace of so many rows.
    TooManyRows {
        /// As many as there may be.
        most: f64,
        /// Shortest step that would do.
        step: Time,
    },
    /// The calculation left its range.
    Calculation(Error),
    /// The run could not be carried to its end.
    Stopped {
        /// When.
        time: Time,
        /// Why.
        reason: StopReason,
    },
}

impl From<Error> for NotRehearsed {
    fn from(error: Error) -> Self {
        match error {
            Error::Simulation { time_s, reason } => {
                Self::Stopped { time: Time::new::<second>(time_s), reason }
            }
            error => Self::Calculation(error),
        }
    }
}

/// A figure that the rehearsal takes because the rig does not say it.
#[derive(Debug, Clone, PartialEq)]
pub struct Taken {
    /// What it is; the path of its field where it has one.
    pub name: &'static str,
    /// Its value.
    pub value: Sentence,
}

/// What will be worked, and what is taken for it.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// What is done, and when.
    pub schedule: Schedule,
    /// Lifts in it.
    pub lifts: u32,
    /// Longest time that it can last.
    pub longest: Time,
    /// Figures that the rig does not say.
    pub taken: Vec<Taken>,
    /// What is left out, and what would bring it in.
    pub notes: Vec<Sentence>,
    pub(super) raise: Restriction,
    pub(super) lower: Restriction,
    pub(super) rod_side: Option<RodSide>,
    pub(super) regulator: RegulatorSide,
}

/// A session that was worked.
#[derive(Debug, Clone, PartialEq)]
pub struct Rehearsed {
    /// What came of it, its trace included.
    pub rehearsal: Rehearsal,
    /// The first lift that fails or is slow, and why, or that all arrive; and by how much the session falls behind its
    /// pace, if it does.
    pub headline: Sentence,
    /// What happened that is no part of a good session.
    pub notes: Vec<Sentence>,
    /// Height by which a lift that arrives has raised the load: the lift asked for where the valve shuts on
    /// arrival, else all that the travel gives.
    pub height: Length,
    /// Height by which the whole travel would raise it.
    pub whole_height: Length,
    /// Lifts that were to be made.
    pub lifts_wanted: u32,
    /// Lifts that arrived, late ones included.
    pub lifts_arrived: u32,
    /// Time of the first raise.
    pub first_raise: Option<Time>,
    /// Longest time of a raise that arrived.
    pub slowest_raise: Option<Time>,
    /// By how much the session lasted longer than its pace allows; `None` if it kept it, or has none.
    pub behind_pace: Option<Time>,
    /// Share of the energy from the battery that reached the load; `None` if it is not known.
    pub battery_to_load: Option<Ratio>,
    /// By how much the tank stands lower at the end than at the start: air that no battery paid for in this session.
    pub tank_gave: Option<Pressure>,
    /// Whether what is left in the battery counts what the pump drew.
    pub knows_battery: bool,
}

impl Rehearsed {
    /// Whether every lift arrived, none later than the limit stated, and came down again in its time.
    #[must_use]
    pub fn is_good(&self) -> bool {
        let worked = &self.rehearsal;
        worked.first_failed().is_none()
            && worked.first_slow().is_none()
            && worked.first_that_stays().is_none()
    }
}

/// What a rehearsal of a rig would do and take.
///
/// # Errors
/// [`NotRehearsed::Lacks`] names every figure that is missing.
pub fn plan(rig: &Rig, extent: Extent) -> Result<Plan, NotRehearsed> {
    let mut lacks = Vec::new();
    let passages = (rig.line.raise, rig.line.lower);
    if passages.0.is_none() {
        lacks.push(Lack {
            field: "line.raise",
            why: "how fast the load rises follows from it",
            cure: "add `raise = { C = \"2.1 L/(s bar)\", b = 0.3 }` to [line], or { Cv = 0.5 }, { Kv = 0.43 }, { bore = \"4 mm\" }",
        });
    }
    if passages.1.is_none() {
        lacks.push(Lack {
            field: "line.lower",
            why: "how fast the load comes down follows from it",
            cure: "add `lower = { bore = \"1.2 mm\" }` to [line], or the C and b, Cv or Kv of the valve",
        });
    }
    let regulator = regulator(rig);
    if regulator.is_none() {
        lacks.push(Lack {
            field: "regulator.rated-flow",
            why: "a droop says nothing in time without the flow for which it is stated",
            cure: "add `rated-flow = \"400 L/min\"` to [regulator], from the data sheet that states the droop",
        });
    }
    let mut taken = Vec::new();
    let schedule = if rig.tasks.is_empty() {
        pattern(rig, extent, &mut lacks, &mut taken)
    } else {
        Some(tasks(rig, extent, &mut taken)?)
    };
    let (Some(raise), Some(lower), Some(regulator), Some(schedule)) =
        (passages.0, passages.1, regulator, schedule)
    else {
        return Err(NotRehearsed::Lacks(lacks));
    };
    let lifts = schedule.lifts();
    if lifts.max(schedule.passes()) > MOST_LIFTS {
        return Err(NotRehearsed::TooManyLifts { most: MOST_LIFTS });
    }
    taken.extend(taken_anyway(rig));
    Ok(Plan {
        longest: schedule.longest(),
        schedule,
        lifts,
        taken,
        notes: notes(rig),
        raise: in_a_row(way_up(rig, raise))?,
        lower: in_a_row([way_down(rig)?.as_slice(), &[lower]].concat())?,
        rod_side: rod_passages(rig)?,
        regulator,
    })
}

/// A time of `[cycle]`; where it is not said, the usual one, which is listed.
fn or(taken: &mut Vec<Taken>, name: &'static str, said: Option<Time>, usual: f64) -> Time {
    said.unwrap_or_else(|| {
        taken.push(Taken { name, value: sentence![(usual, Dimension::Time)] });
        Time::new::<second>(usual)
    })
}

/// When a raise and when a lowering ends.
fn ends(rig: &Rig, taken: &mut Vec<Taken>) -> (Until, Until) {
    let said = &rig.cycle.rehearsal;
    let raise_within = or(taken, "cycle.raise-within", said.raise_within, USUAL_PATIENCE_S);
    let lower_within = or(taken, "cycle.lower-within", said.lower_within, USUAL_PATIENCE_S);
    let until = |within| match rig.cycle.end_pressure {
        EndPressure::SetPoint => Until::Settled { within },
        EndPressure::Load => Until::Arrived { within },
    };
    (until(raise_within), until(lower_within))
}

/// Raise, hold, lower, rest, as `[cycle]` says; `None` if it does not say enough.
fn pattern(rig: &Rig, extent: Extent, lacks: &mut Vec<Lack>, taken: &mut Vec<Taken>) -> Option<Schedule> {
    let (times, end) = pace(rig, extent, lacks)?;
    let said = &rig.cycle.rehearsal;
    if extent == Extent::AsTheRigSays && said.lifts.is_none() {
        taken.push(Taken {
            name: "cycle.lifts",
            value: sentence![(f64::from(USUAL_LIFTS), Dimension::Number)],
        });
    }
    let hold = or(taken, "cycle.hold", said.hold, USUAL_HOLD_S);
    let (raised, lowered) = ends(rig, taken);
    let cycle = vec![
        Task { action: Action::Raise, until: raised },
        Task { action: Action::Hold, until: Until::Elapsed(hold) },
        Task { action: Action::Lower, until: lowered },
        Task { action: Action::Rest, until: end },
    ];
    Some(Schedule::repeated(cycle, times))
}

/// The tasks of the rig file, or those of as many lifts as are asked for.
fn tasks(rig: &Rig, extent: Extent, taken: &mut Vec<Taken>) -> Result<Schedule, NotRehearsed> {
    let (raised, lowered) = ends(rig, taken);
    let pause = |pause: &Pause| match *pause {
        Pause::For(time) => Until::Elapsed(time),
        Pause::Until(time) => Until::CycleTime(time),
    };
    let task = |task: &RigTask| match task {
        RigTask::Raise => Task { action: Action::Raise, until: raised },
        RigTask::Hold(end) => Task { action: Action::Hold, until: pause(end) },
        RigTask::Lower => Task { action: Action::Lower, until: lowered },
        RigTask::Rest(end) => Task { action: Action::Rest, until: pause(end) },
    };
    let part = |group: &TaskGroup| Part { cycle: group.tasks.iter().map(task).collect(), times: group.times };
    let whole = Schedule { parts: rig.tasks.iter().map(part).collect() };
    match extent {
        Extent::AsTheRigSays => Ok(whole),
        Extent::Lifts(lifts) if lifts <= whole.lifts() => Ok(whole.first(lifts)),
        Extent::Lifts(_) => Err(NotRehearsed::NotSoManyTasks { lifts: whole.lifts() }),
        Extent::For(_) => Err(NotRehearsed::TasksSayHowLong),
    }
}

/// How many lifts, and when a cycle ends.
fn pace(rig: &Rig, extent: Extent, lacks: &mut Vec<Lack>) -> Option<(u32, Until)> {
    let cycle = &rig.cycle;
    let every = cycle.per_hour.map(|rate| Time::new::<second>(3600.0 / rate));
    let end = match (every, cycle.rehearsal.rest) {
        (Some(every), _) => Some(Until::CycleTime(every)),
        (None, Some(rest)) => Some(Until::Elapsed(rest)),
        (None, None) => None,
    };
    let times = match extent {
        Extent::AsTheRigSays => Some(cycle.rehearsal.lifts.unwrap_or(USUAL_LIFTS)),
        Extent::Lifts(lifts) => Some(lifts),
        Extent::For(time) => every.map(|every| {
            let lifts = (time / every).value.ceil().clamp(1.0, f64::from(u32::MAX));
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped")]
            let lifts = lifts as u32;
            lifts
        }),
    };
    if end.is_none() || times.is_none() {
        lacks.push(Lack {
            field: "cycle.per-hour",
            why: if end.is_none() {
                "the pace of the session follows from it"
            } else {
                "how many lifts a time holds follows from it; with `cycle.rest` alone that depends on how long each takes"
            },
            cure: match (end, extent) {
                (None, Extent::AsTheRigSays | Extent::Lifts(_)) => {
                    "add `per-hour = 20` or `rest = \"1 min\"` to [cycle]"
                }
                (None, Extent::For(_)) => "add `per-hour = 20` to [cycle]",
                (Some(_), _) => {
                    "add `per-hour = 20` to [cycle], or ask for a number of lifts instead of a time"
                }
            },
        });
    }
    times.zip(end)
}

/// The regulator in time; a droop of nothing needs no flow.
fn regulator(rig: &Rig) -> Option<RegulatorSide> {
    let regulator = &rig.regulator;
    let rated_flow = match regulator.rated_flow {
        Some(rated) => rated,
        None if regulator.droop <= Pressure::default() => {
            MassRate::new::<uom::si::mass_rate::kilogram_per_second>(1.0)
        }
        None => return None,
    };
    Some(RegulatorSide { set: regulator.set, droop: regulator.droop, rated_flow })
}

/// A relief valve whose capacity is known.
fn relief(opens: Option<GaugePressure>, capacity: Option<MassRate>) -> Option<Relief> {
    opens.zip(capacity).map(|(opens, capacity)| Relief { opens, capacity })
}

/// Heat transfer in the cylinders: as stated, else the usual one.
pub(super) fn cylinder_heat(rig: &Rig) -> HeatTransfer {
    rig.cycle.rehearsal.cylinder_heat.unwrap_or_else(cylinder_heat_transfer)
}

/// Heat exchange of the tank: as stated, else that of bare steel.
pub(super) fn tank_heat(rig: &Rig) -> ThermalConductance {
    rig.cycle.rehearsal.tank_heat.unwrap_or_else(|| tank_conductance(rig.tank.volume))
}

fn taken_anyway(rig: &Rig) -> Vec<Taken> {
    let said = &rig.cycle.rehearsal;
    let mut taken = Vec::new();
    if said.tank_heat.is_none() {
        taken.push(Taken {
            name: "tank.heat-exchange",
            value: sentence![(tank_heat(rig).value, Dimension::HeatExchange)],
        });
    }
    if said.cylinder_heat.is_none() {
        taken.push(Taken {
            name: "cylinders.heat-transfer",
            value: sentence![(cylinder_heat_transfer().value, Dimension::HeatTransfer)],
        });
    }
    if matches!(rig.source, AirSource::Compressor(_)) && said.outlet.is_none() {
        taken.push(Taken {
            name: "compressor.outlet",
            value: sentence![(rig.site.temperature.value, Dimension::Temperature)],
        });
    }
    if rig.breakaway.is_none() {
        taken.push(Taken {
            name: "cylinders.breakaway",
            value: sentence![(AS_IN_MOTION, Dimension::Number), " (friction to start is that in motion)"],
        });
    }
    taken
}

fn notes(rig: &Rig) -> Vec<Sentence> {
    let mut notes = Vec::new();
    if let AirSource::Compressor(compressor) = &rig.source {
        if compressor.max_run.is_none() && compressor.duty < Ratio::from(1.0) {
            notes.push(sentence![
                "The duty of the pump is not worked, since nothing says when its thermal cut-out stops it: give `compressor.max-run`."
            ]);
        }
        if compressor.volts.is_none() || compressor.current.is_none() {
            notes.push(sentence![
                "What the pump draws is not judged: give `compressor.volts` and `compressor.current`."
            ]);
        }
        if rig.tank.relief_capacity.is_none() {
            notes.push(sentence![
                "The relief valve of the tank is left out: give `tank.relief-capacity` to have it blow."
            ]);
        }
    }
    if rig.line.relief.is_some() && rig.line.relief_capacity.is_none() {
        notes.push(sentence![
            "The relief valve of the line is left out, so that nothing bounds the pressure on a load that is held or pressed down: give `line.relief-capacity` to have it blow."
        ]);
    }
    match rig.line.hose {
        None => notes.push(sentence![
            "The hose holds nothing back, since its size is not given: `line.hose-bore` and `line.hose-length`."
        ]),
        Some(_) if hose_restriction(rig).is_none() => notes.push(sentence![
            "The hose holds nothing back, since its size is outside the formula; its volume counts."
        ]),
        Some(_) => {}
    }
    if rig.limits.raise_time.is_none() {
        notes.push(sentence!["No lift is judged slow: give `limits.raise-time`."]);
    }
    if rig.cycle.per_hour.is_some() && !rig.tasks.is_empty() {
        notes.push(sentence!["The tasks set the pace; `cycle.per-hour` counts for `check` alone."]);
    }
    if rig.cycle.per_hour.is_some() && rig.cycle.rehearsal.rest.is_some() {
        notes.push(sentence!["`cycle.rest` is not used, since `cycle.per-hour` sets the pace."]);
    }
    if rig.cylinders.action == Driven::Double {
        match (rig.line.rod_fill, rig.line.rod_vent) {
            (None, None) => notes.push(sentence![
                "The rod side is taken to fill through a passage like `line.raise` and to empty through one like `line.lower`: give `line.rod-fill` and `line.rod-vent` if they are others."
            ]),
            (None, Some(_)) => notes.push(sentence![
                "The rod side is taken to fill through a passage like `line.raise`: give `line.rod-fill` if it is another."
            ]),
            (Some(_), None) => notes.push(sentence![
                "The rod side is taken to empty through a passage like `line.lower`: give `line.rod-vent` if it is another."
            ]),
            (Some(_), Some(_)) => {}
        }
    }
    notes
}

impl Plan {
    /// The rig of this plan, ready to work.
    fn session<'a>(&self, rig: &'a Rig, travel: &'a Travel<'a>, lift: &Lift) -> Session<'a> {
        let said = &rig.cycle.rehearsal;
        let target: Option<Length> =
            (rig.cycle.end_pressure == EndPressure::Load).then_some(lift.stroke_used);
        Session {
            atmosphere: rig.site.atmosphere,
            temperature: rig.site.temperature,
            air: AirModel::Real,
            tank: TankSide {
                volume: rig.tank.volume,
                start: rig.full_pressure(),
                heat: Heat::Rate(tank_heat(rig)),
                relief: relief(rig.tank.relief, rig.tank.relief_capacity),
                leak: rig.tank.leak,
            },
            pump: match &rig.source {
                AirSource::Compressor(compressor) => {
                    Some(PumpSide { compressor, outlet: said.outlet.unwrap_or(rig.site.temperature) })
                }
                AirSource::Bottle { .. } => None,
            },
            battery: rig.battery.as_ref(),
            regulator: self.regulator,
            raise: self.raise,
            lower: self.lower,
            line_relief: relief(rig.line.relief, rig.line.relief_capacity),
            rod_side: self.rod_side,
            dead: dead_volume(&rig.cylinders, rig.line.hose.as_ref()),
            drawn_out: rig.drawn_out(),
            cylinders: &rig.cylinders,
            travel,
            target,
            breakaway: rig.breakaway.unwrap_or(Ratio::from(AS_IN_MOTION)),
            cylinder_heat: Heat::Rate(cylinder_heat(rig)),
        }
    }

    /// Time between the rows that are kept: the step asked for, else one that a plot can be drawn from.
    fn step(&self, asked: Option<Time>) -> Result<Time, NotRehearsed> {
        let step = asked.unwrap_or(self.longest / PLOT_ROWS);
        if (self.longest / step).value <= MOST_ROWS {
            return Ok(step);
        }
        Err(NotRehearsed::TooManyRows { most: MOST_ROWS, step: self.longest / MOST_ROWS })
    }
}

/// Works a plan on its rig; `trace_every` is the time between rows of the trace. `progress` is told after each
/// pass of the tasks how many of how many are done.
///
/// # Errors
/// [`NotRehearsed::TooManyRows`], [`NotRehearsed::Calculation`] and [`NotRehearsed::Stopped`].
pub fn rehearse(
    rig: &Rig,
    plan: &Plan,
    trace_every: Option<Time>,
    progress: &mut dyn FnMut(u32, u32),
) -> Result<Rehearsed, NotRehearsed> {
    let travel = rig.travel()?;
    let lift = lift::lift(rig, &travel);
    let session = plan.session(rig, &travel, &lift);
    let settings = Settings {
        trace_every: Some(plan.step(trace_every)?),
        slow_after: rig.limits.raise_time,
        after_failure: AfterFailure::CarryOn,
        ..Settings::default()
    };
    let rehearsal = rehearse_observed(&session, &plan.schedule, &settings, progress)?;
    let arrived = rehearsal.lifts.iter().filter(|lift| lift.outcome.arrived()).count();
    let times = || rehearsal.lifts.iter().filter_map(|lift| lift.raise_time);
    let energy = &rehearsal.energy;
    let spent = energy.electric.map(|electric| electric + energy.steady);
    Ok(Rehearsed {
        headline: headline(rig, plan, &rehearsal),
        notes: [blown(rig, &rehearsal), pressed(rig, &rehearsal), too_quick(rig, &travel, &rehearsal)]
            .concat(),
        height: travel.height(lift.stroke_used) - rig.load.take_up,
        whole_height: lift.height - rig.load.take_up,
        lifts_wanted: plan.lifts,
        lifts_arrived: u32::try_from(arrived).unwrap_or(u32::MAX),
        first_raise: rehearsal.lifts.first().and_then(|lift| lift.raise_time),
        slowest_raise: times().reduce(Time::max),
        behind_pace: behind_pace(&rehearsal),
        battery_to_load: spent.filter(|spent| spent.value > 0.0).map(|spent| energy.useful / spent),
        tank_gave: Some(rig.full_pressure() - rehearsal.tank_pressure)
            .filter(|gave| *gave > PAID_FOR * rig.full_pressure().above_atmosphere()),
        knows_battery: energy.electric.is_some() || matches!(rig.source, AirSource::Bottle { .. }),
        rehearsal,
    })
}

/// Which relief valves blew, and why that is not as it should be.
fn blown(rig: &Rig, rehearsal: &Rehearsal) -> Vec<Sentence> {
    let mut notes = Vec::new();
    if let Some((blew, opens)) = rehearsal.relief_blew.zip(rig.tank.relief) {
        notes.push(sentence![
            "The relief valve of the tank blows at ",
            (opens.pascals(), Dimension::Pressure),
            ", first after ",
            (blew.value, Dimension::Time),
            ": the pump switch should stop the pump below it."
        ]);
    }
    if let Some((blew, opens)) = rehearsal.line_relief_blew.zip(rig.line.relief) {
        notes.push(sentence![
            "The relief valve of the line blows at ",
            (opens.pascals(), Dimension::Pressure),
            ", first after ",
            (blew.value, Dimension::Time),
            ": the regulator gives more, air shut in warms, or the load presses on it. What it lets out no longer holds the load."
        ]);
    }
    notes
}

/// A rod side that its own pistons bring above what the cylinders are rated for.
fn pressed(rig: &Rig, rehearsal: &Rehearsal) -> Vec<Sentence> {
    let highest = rehearsal.highest_rod_pressure.filter(|highest| *highest > rig.cylinders.rating);
    let say = |highest: GaugePressure| {
        sentence![
            "The air on the rod side comes to ",
            (highest.pascals(), Dimension::Pressure),
            ", above the ",
            (rig.cylinders.rating.pascals(), Dimension::Pressure),
            " of `cylinders.rating`: the whole piston pushes on the air around the rod. Fit a wider vent (`line.rod-vent`)."
        ]
    };
    highest.map(say).into_iter().collect()
}

/// A first lift so quick that the energy of motion, which the model leaves out, counts.
fn too_quick(rig: &Rig, travel: &Travel<'_>, rehearsal: &Rehearsal) -> Vec<Sentence> {
    let share = rehearsal.half_way_up.and_then(|moment| {
        let speed = moment.speed * travel.linkage().ratio(moment.travel).abs();
        share_in_motion(rig.load, travel.height(travel.end()), speed)
    });
    let say = |share: Ratio| {
        sentence![
            "On its way up the first lift moves so quickly that its energy of motion is ",
            (share.value, Dimension::Fraction),
            " of the work that lifts it, which the rehearsal leaves out: it sets off later, arrives with more, and swings on its air. Throttle the way up."
        ]
    };
    share.map(say).into_iter().collect()
}

/// Whether a lift was given up while the cylinders were still filling.
fn still_fills(rig: &Rig, lift: &RehearsedLift) -> bool {
    let supply = lift.tank_after_raise.min(rig.regulator.set);
    lift.cap_after_raise.pascals() < LEVEL * supply.pascals()
}

/// By how much the session lasted longer than its pace allows, if it did.
fn behind_pace(rehearsal: &Rehearsal) -> Option<Time> {
    Some(rehearsal.behind).filter(|behind| *behind > rehearsal.time * LATE)
}

/// The first lift that fails or is slow, with its reason; that the battery was empty by then is one. And whether the
/// session keeps its pace.
fn headline(rig: &Rig, plan: &Plan, rehearsal: &Rehearsal) -> Sentence {
    let mut sentence = first_trouble(rig, plan, rehearsal);
    let first = rehearsal.lifts.iter().find(|lift| lift.outcome != Outcome::Arrived);
    let empty = rehearsal.pump.and_then(|pump| pump.battery_empty);
    if let Some((lift, empty)) = first.zip(empty)
        && empty <= lift.start
    {
        sentence.0.extend(sentence!["; the battery is empty after ", (empty.value, Dimension::Time)].0);
    }
    if let Some(behind) = behind_pace(rehearsal).filter(|behind| *behind > rehearsal.time * TOLD_FIRST) {
        let behind = (behind.value, Dimension::Time);
        sentence.0.extend(sentence!["; the session falls ", behind, " behind its pace"].0);
    }
    sentence
}

fn first_trouble(rig: &Rig, plan: &Plan, rehearsal: &Rehearsal) -> Sentence {
    let times = f64::from(plan.lifts);
    let pressure = |pressure: GaugePressure| (pressure.pascals(), Dimension::Pressure);
    let first = rehearsal.lifts.iter().find(|lift| lift.outcome != Outcome::Arrived);
    let stays = rehearsal.first_that_stays();
    let earlier = |stays: &&RehearsedLift| first.is_none_or(|lift| stays.number < lift.number);
    if let Some((lift, at)) = stays.filter(earlier).and_then(|lift| Some((lift, lift.stays_at?))) {
        return sentence![
            "lift ",
            (f64::from(lift.number), Dimension::Number),
            " of ",
            (times, Dimension::Number),
            " does not come down in its time: it stands at a travel of ",
            (at.value, Dimension::Length),
            "; friction or a check valve holds it, the lower valve is too narrow, or raise `cycle.lower-within`"
        ];
    }
    let Some(lift) = first else {
        return sentence!["all ", (times, Dimension::Number), " lifts arrive"];
    };
    let number = (f64::from(lift.number), Dimension::Number);
    let of = (times, Dimension::Number);
    match lift.outcome {
        Outcome::Slow => {
            let took = lift.raise_time.unwrap_or_default().value;
            let limit = rig.limits.raise_time.unwrap_or_default().value;
            sentence![
                "lift ",
                number,
                " of ",
                of,
                " is slow: it takes ",
                (took, Dimension::Time),
                ", the limit is ",
                (limit, Dimension::Time),
                "; the tank is down to ",
                pressure(lift.tank_lowest)
            ]
        }
        _ if lift.outcome == Outcome::OutOfTime || still_fills(rig, lift) => sentence![
            "lift ",
            number,
            " of ",
            of,
            " fails: it is still on its way when its time is over, at a travel of ",
            (lift.travel.value, Dimension::Length),
            "; valve, hose and regulator let too little air through, or raise `cycle.raise-within`"
        ],
        _ if lift.tank_after_raise.pascals() < rig.regulator.set.pascals() => sentence![
            "lift ",
            number,
            " of ",
            of,
            " fails: the tank gives no more than ",
            pressure(lift.tank_after_raise),
            ", below the set point of ",
            pressure(rig.regulator.set),
            ", and the load stands still at a travel of ",
            (lift.travel.value, Dimension::Length)
        ],
        _ => sentence![
            "lift ",
            number,
            " of ",
            of,
            " fails: the set point of ",
            pressure(rig.regulator.set),
            " does not move the load beyond a travel of ",
            (lift.travel.value, Dimension::Length)
        ],
    }
}

/// Strokes that one fill gives in time, without the pump, with `rest` between them.
///
/// It lies between the quick and the slow count of [`Strokes`](super::Strokes) where each stroke fills the
/// cylinders to the set point.
///
/// # Errors
/// As [`plan`] and [`rehearse`].
pub fn strokes_in_time(rig: &Rig, rest: Time, most: u32) -> Result<FillCount, NotRehearsed> {
    let plan = plan(rig, Extent::Lifts(1))?;
    let travel = rig.travel()?;
    let session =
        Session { pump: None, battery: None, ..plan.session(rig, &travel, &lift::lift(rig, &travel)) };
    let patience = Time::new::<second>(3600.0);
    let pattern = FillPattern {
        end_pressure: rig.cycle.end_pressure,
        raise_within: patience,
        lower_within: patience,
        rest,
        full_until: rig.regulator.set + rig.regulator.headroom,
        most,
    };
    Ok(strokes_on_one_fill(&session, &pattern, &Settings::default())?)
}
