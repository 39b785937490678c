//! What is noted while a session runs.

#![allow(clippy::indexing_slicing, reason = "arrays of fixed length, indices bounded by constants")]

use uom::si::energy::joule;
use uom::si::f64::{Energy, Length, Mass, Ratio, ThermodynamicTemperature, Time, Velocity};
use uom::si::length::meter;
use uom::si::mass::kilogram;
use uom::si::ratio::ratio;
use uom::si::thermodynamic_temperature::kelvin;
use uom::si::time::second;
use uom::si::velocity::meter_per_second;

use super::answers::{Balance, Ledger, Lift, Outcome, PumpWork, Rehearsal, SessionEnd, Steps};
use super::events::{Jump, energy_held, mass_held};
use super::integrator::{Method, Step};
use super::model::{Plant, Position, Setting, View};
use super::moment::Moment;
use super::schedule::Action;
use super::session::{Session, Settings};
use super::state::{
    COMPRESSION, DRAWN, ELECTRIC, ENTHALPY_IN, ENTHALPY_OUT, FRICTION, HEAT_IN, MASS_IN, MASS_OUT,
    PISTON_WORK, State, TIME, TRAVEL,
};
use super::trace::Row;
use crate::sizing::piston_path::{SpeedAt, Stand, speed_at};
use crate::units::GaugePressure;
use crate::units::pressure::pascals;
use crate::{Error, Result, StopReason};

/// Residual above which a run is refused.
const MOST_RESIDUAL: f64 = 1e-6;
/// Excess over the atmosphere below which what leaves is too little to cool anything.
const BREATH: f64 = 1.05;
/// Share of the supply's pressure at which the cap side has come level with it.
const LEVEL: f64 = 0.999;
/// Pace below which a speed is that of a runaway.
const RUNAWAY_PACE: f64 = 0.05;

/// A raise that is under way.
#[derive(Debug, Clone, Copy)]
struct OpenTask {
    action: Action,
    begin: f64,
    moved: Option<f64>,
    arrived: Option<f64>,
    tank_before: f64,
    tank_lowest: f64,
    travel: f64,
}

/// Notes of a session.
pub(super) struct Records<'a> {
    session: &'a Session<'a>,
    start: State,
    pub(super) steps: Steps,
    lifts: Vec<Lift>,
    cycle_from: usize,
    late: f64,
    behind: f64,
    half_way_up: Option<Moment>,
    half_way_down: Option<Moment>,
    relief_blew: Option<f64>,
    line_relief_blew: Option<f64>,
    open: OpenTask,
    slow_after: f64,
    lowest_tank: f64,
    drift: Option<f64>,
    coldest: Option<f64>,
    useful: f64,
    jerk_loss: f64,
    jerks: u32,
    fastest: (f64, f64),
    /// Speeds outward by travel, if they are kept.
    speeds: Option<Vec<SpeedAt>>,
    leaps: Option<f64>,
    /// Most energy that a jerk outward destroys.
    leap_energy: f64,
    highest_rod: f64,
    pump_since: Option<f64>,
    pump_on: f64,
    pump_starts: u32,
    pump_trips: u32,
    longest_run: f64,
    largest_sag: Option<f64>,
    battery_empty: Option<f64>,
    trace_every: Option<f64>,
    trace_next: f64,
    trace: Vec<Row>,
}

fn seconds(value: f64) -> Time {
    Time::new::<second>(value)
}

fn joules(value: f64) -> Energy {
    Energy::new::<joule>(value)
}

fn meters(value: f64) -> Length {
    Length::new::<meter>(value)
}

fn kelvins(value: f64) -> ThermodynamicTemperature {
    ThermodynamicTemperature::new::<kelvin>(value)
}

impl<'a> Records<'a> {
    pub(super) fn new(plant: &Plant, session: &'a Session<'a>, settings: &Settings, start: &State) -> Self {
        let tank = plant.view(start).tank.pressure;
        let trace_every =
            settings.trace_every.map(|time| time.value).filter(|every| every.is_finite() && *every > 0.0);
        Self {
            session,
            start: *start,
            steps: Steps::default(),
            lifts: Vec::new(),
            cycle_from: 0,
            late: 0.0,
            behind: 0.0,
            half_way_up: None,
            half_way_down: None,
            relief_blew: None,
            line_relief_blew: None,
            open: OpenTask {
                action: Action::Rest,
                begin: 0.0,
                moved: None,
                arrived: None,
                tank_before: tank,
                tank_lowest: tank,
                travel: 0.0,
            },
            slow_after: settings.slow_after.map_or(f64::INFINITY, |time| time.value),
            lowest_tank: tank,
            drift: None,
            coldest: None,
            useful: 0.0,
            jerk_loss: 0.0,
            jerks: 0,
            fastest: (0.0, 0.0),
            speeds: None,
            leaps: None,
            leap_energy: 0.0,
            highest_rod: f64::NEG_INFINITY,
            pump_since: None,
            pump_on: 0.0,
            pump_starts: 0,
            pump_trips: 0,
            longest_run: 0.0,
            largest_sag: None,
            battery_empty: None,
            trace_every,
            trace_next: 0.0,
            trace: Vec::new(),
        }
    }

    /// Keeps the speed outward at the end of each step.
    pub(super) fn keep_speeds(&mut self) {
        self.speeds = Some(Vec::new());
    }

    /// The speeds kept.
    pub(super) fn take_speeds(&mut self) -> Vec<SpeedAt> {
        self.speeds.take().unwrap_or_default()
    }

    /// Highest pressure that a driven rod side has come to.
    pub(super) fn highest_rod(&self, plant: &Plant) -> Option<GaugePressure> {
        (self.highest_rod > 0.0).then(|| GaugePressure::new(pascals(self.highest_rod - plant.atmosphere)))
    }

    /// Travel of the first jerk outward, and the most energy that one destroys.
    pub(super) fn leap(&self) -> Option<(Length, Energy)> {
        self.leaps.map(|from| (meters(from), joules(self.leap_energy.max(0.0))))
    }

    pub(super) fn begin(&mut self, action: Action, state: &State, plant: &Plant) {
        if action == Action::Raise {
            self.end_cycle(state, plant);
        }
        let tank = plant.view(state).tank.pressure;
        self.open = OpenTask {
            action,
            begin: state[TIME],
            moved: None,
            arrived: None,
            tank_before: tank,
            tank_lowest: tank,
            travel: state[TRAVEL],
        };
    }

    pub(super) fn moves(&mut self, time: f64) {
        self.open.moved.get_or_insert(time);
    }

    pub(super) fn arrived(&mut self, time: f64) {
        self.open.arrived.get_or_insert(time);
    }

    pub(super) fn count(&mut self, method: Method) {
        match method {
            Method::Explicit => self.steps.explicit += 1,
            Method::Stiff => self.steps.stiff += 1,
        }
    }

    /// Looks at a step about to be accepted; `view` is that of its end.
    pub(super) fn record(
        &mut self,
        step: &Step,
        view: &View,
        before: &State,
        setting: &Setting,
        plant: &Plant,
    ) {
        let tank = view.tank.pressure;
        self.lowest_tank = self.lowest_tank.min(tank);
        self.open.tank_lowest = self.open.tank_lowest.min(tank);
        for (relief, pressure, blew) in [
            (plant.relief, tank, &mut self.relief_blew),
            (plant.line_relief, view.cap.pressure, &mut self.line_relief_blew),
        ] {
            if relief.is_some_and(|(opens, _)| pressure > opens) {
                blew.get_or_insert(step.end[TIME]);
            }
        }
        let mut leaves = |open: bool, pressure: f64, temperature: f64| {
            if open && pressure > BREATH * plant.atmosphere {
                self.coldest = Some(self.coldest.map_or(temperature, |coldest| coldest.min(temperature)));
            }
        };
        leaves(setting.valves.cap_open, view.cap.pressure, view.cap.temperature);
        if let Some(rod) = &view.rod {
            leaves(setting.valves.rod_open, rod.pressure, rod.temperature);
        }
        if let Some(rod) = &view.rod {
            self.highest_rod = self.highest_rod.max(rod.pressure);
        }
        let (from, to) = (before[TRAVEL], step.end[TRAVEL]);
        if to > from {
            self.useful += plant.course.raised(to) - plant.course.raised(from);
        }
        if matches!(setting.position, Position::Rising | Position::Falling)
            && step.end_rates[TIME] > RUNAWAY_PACE
        {
            let speed = step.end_rates[TRAVEL] / step.end_rates[TIME];
            self.fastest.0 = self.fastest.0.max(speed);
            if let Some(speeds) = &mut self.speeds {
                speeds.extend(speed_at((Stand { travel: to, pressure: view.cap.pressure }, speed)));
            }
            self.fastest.1 = self.fastest.1.max(-speed);
        }
        let half = 0.5 * plant.target;
        let (half_way, there) = match setting.position {
            Position::Rising => (&mut self.half_way_up, from < half && half <= to),
            Position::Falling => (&mut self.half_way_down, to <= half && half < from),
            _ => (&mut self.half_way_up, false),
        };
        if there && half_way.is_none() {
            *half_way = plant.moment(setting, &step.end, &step.end_rates).ok();
        }
        if self.trace_every.is_some() {
            self.sample(step, before, setting, plant);
        }
    }

    fn sample(&mut self, step: &Step, before: &State, setting: &Setting, plant: &Plant) {
        let Some(every) = self.trace_every else { return };
        let (from, to) = (before[TIME], step.end[TIME]);
        while self.trace_next <= to {
            let target = self.trace_next;
            let (mut low, mut high) = (0.0, 1.0);
            let mut share = if to > from { ((target - from) / (to - from)).clamp(0.0, 1.0) } else { 1.0 };
            // Time is nearly even within a step; a few bisected secants find the place where it is not.
            for _ in 0..50 {
                let miss = step.one_at(share, TIME) - target;
                if miss.abs() <= 1e-12 * target.max(1.0) {
                    break;
                }
                if miss > 0.0 {
                    high = share;
                } else {
                    low = share;
                }
                let secant = share - miss / (to - from).max(f64::MIN_POSITIVE);
                share = if secant > low && secant < high { secant } else { 0.5 * (low + high) };
            }
            let state = step.at(share);
            let row = self.row(&state, setting, plant);
            self.trace.push(row);
            // Counted, not added up, so that rows stay on their marks.
            #[allow(clippy::cast_precision_loss, reason = "rows fit in memory")]
            let rows = self.trace.len() as f64;
            self.trace_next = rows * every;
        }
    }

    fn row(&self, state: &State, setting: &Setting, plant: &Plant) -> Row {
        let view = plant.view(state);
        let gauge = |pressure: f64| pressure - plant.atmosphere;
        let steady = self.session.battery.map_or(0.0, |battery| battery.steady_load.value);
        Row {
            time_s: state[TIME],
            action: self.open.action,
            mode: setting.position.into(),
            tank_pa_gauge: gauge(view.tank.pressure),
            tank_k: view.tank.temperature,
            cap_pa_gauge: gauge(view.cap.pressure),
            cap_k: view.cap.temperature,
            rod_pa_gauge: view.rod.map(|rod| gauge(rod.pressure)),
            rod_k: view.rod.map(|rod| rod.temperature),
            travel_m: state[TRAVEL],
            height_m: self.session.travel.height(meters(state[TRAVEL])).value,
            pump_on: setting.running,
            drawn_j: state[ELECTRIC] + steady * state[TIME],
        }
    }

    pub(super) fn jerk(&mut self, jump: &Jump, before: &State, plant: &Plant) {
        let (from, to) = (before[TRAVEL], jump.state[TRAVEL]);
        if to > from {
            self.useful += plant.course.raised(to) - plant.course.raised(from);
        }
        if to > from {
            self.leaps.get_or_insert(from);
            self.leap_energy = self.leap_energy.max(jump.lost);
        }
        self.jerk_loss += jump.lost;
        if jump.distance > 0.0 {
            self.jerks += 1;
        }
    }

    pub(super) fn pump(&mut self, runs: bool, tripped: bool, view: &View, time: f64, plant: &Plant) {
        if runs {
            self.pump_since = Some(time);
            self.pump_starts += 1;
            return;
        }
        self.close_run(time);
        self.pump_trips += u32::from(tripped);
        let cooled = plant.air.pressure(view.tank.mass / plant.tank_volume, plant.temperature);
        let sag = view.tank.pressure - cooled;
        self.largest_sag = Some(self.largest_sag.map_or(sag, |largest| largest.max(sag)));
    }

    fn close_run(&mut self, time: f64) {
        if let Some(since) = self.pump_since.take() {
            self.pump_on += time - since;
            self.longest_run = self.longest_run.max(time - since);
        }
    }

    pub(super) fn battery_empty(&mut self, time: f64) {
        self.battery_empty = Some(time);
    }

    /// Closes the task under way.
    pub(super) fn finish(&mut self, setting: &Setting, state: &State, plant: &Plant) {
        let view = plant.view(state);
        let gauge = |pressure: f64| GaugePressure::new(pascals(pressure - plant.atmosphere));
        let open = self.open;
        match open.action {
            Action::Raise => {
                let travel = state[TRAVEL];
                let left = plant.left_outward(&view, travel, setting.outward, plant.friction);
                // Level with its supply, the load at most creeps on as the tank warms.
                let driven = view.cap.pressure < LEVEL * plant.level(&view, true);
                let raise_time = open.arrived.map(|arrived| arrived - open.begin);
                let outcome = match raise_time {
                    Some(time) if time <= self.slow_after => Outcome::Arrived,
                    Some(_) => Outcome::Slow,
                    None if setting.position == Position::Rising && driven => Outcome::OutOfTime,
                    None => Outcome::Stalled,
                };
                self.lifts.push(Lift {
                    number: u32::try_from(self.lifts.len() + 1).unwrap_or(u32::MAX),
                    start: seconds(open.begin),
                    tank_before: gauge(open.tank_before),
                    tank_lowest: gauge(open.tank_lowest),
                    tank_after_raise: gauge(view.tank.pressure),
                    tank_after: gauge(view.tank.pressure),
                    cap_after_raise: gauge(view.cap.pressure),
                    delay: open.moved.map(|moved| seconds(moved - open.begin)),
                    raise_time: raise_time.map(seconds),
                    lower_time: None,
                    stays_at: None,
                    travel: meters(travel),
                    outcome,
                    ends_strong: left >= -1e-6 * plant.course.largest,
                });
            }
            Action::Hold => {
                let height = |travel: f64| self.session.travel.height(meters(travel)).value;
                let drift = height(open.travel) - height(state[TRAVEL]);
                self.drift = Some(self.drift.map_or(drift, |largest| largest.max(drift)));
            }
            Action::Lower if open.arrived.is_none() => {
                // One that has not gone up has nothing to come down from.
                if let Some(lift) = self.lifts.last_mut() {
                    lift.stays_at = Some(meters(state[TRAVEL])).filter(|_| lift.outcome.arrived());
                }
            }
            Action::Lower => {
                if let (Some(lift), Some(arrived)) = (self.lifts.last_mut(), open.arrived)
                    && lift.lower_time.is_none()
                {
                    lift.lower_time = Some(seconds(arrived - open.begin));
                }
            }
            Action::Rest => {}
        }
    }

    /// A task begins so long after it should have ended; less than nothing if it is in time.
    pub(super) fn late_by(&mut self, late: f64) {
        self.late = late.max(0.0);
    }

    /// Closes a pass of a cycle: what it is late by pushes back all that follows.
    pub(super) fn end_pass(&mut self) {
        self.behind += std::mem::take(&mut self.late);
    }

    /// The lifts up to now learn the pressure that the tank came to before the next one.
    pub(super) fn end_cycle(&mut self, state: &State, plant: &Plant) {
        let tank = GaugePressure::new(pascals(plant.view(state).tank.pressure - plant.atmosphere));
        for lift in self.lifts.iter_mut().skip(self.cycle_from) {
            lift.tank_after = tank;
        }
        self.cycle_from = self.lifts.len();
    }

    /// The last lift.
    pub(super) fn last_lift(&self) -> Option<&Lift> {
        self.lifts.last()
    }

    /// How well the books close.
    fn balance(&self, state: &State, plant: &Plant) -> Balance {
        let mass_gain = mass_held(plant, state) - mass_held(plant, &self.start);
        let mass = mass_gain - (state[MASS_IN] - state[MASS_OUT]);
        let energy_gain = energy_held(plant, state) - energy_held(plant, &self.start);
        let energy =
            energy_gain - (state[ENTHALPY_IN] - state[ENTHALPY_OUT] + state[HEAT_IN] - state[PISTON_WORK]);
        let rod_area = plant.rod.as_ref().map_or(0.0, |rod| rod.side.area);
        let against_air = plant.atmosphere * (plant.cap.area - rod_area) * state[TRAVEL];
        let spent = plant.course.stored(state[TRAVEL]) + state[FRICTION] + self.jerk_loss;
        let work = state[PISTON_WORK] - against_air - spent;
        let turnover = (2.0 * self.useful + state[FRICTION] + self.jerk_loss)
            .max(plant.cap.area * plant.atmosphere * plant.course.end);
        Balance {
            mass: mass.abs() / (mass_held(plant, &self.start) + state[MASS_IN]),
            energy: energy.abs() / (energy_held(plant, &self.start) + state[ENTHALPY_IN]),
            work: work.abs() / turnover,
        }
    }

    /// The answers.
    pub(super) fn answers(mut self, state: &State, plant: &Plant, end: SessionEnd) -> Result<Rehearsal> {
        let time = state[TIME];
        self.close_run(time);
        let balance = self.balance(state, plant);
        for (quantity, residual) in
            [("mass", balance.mass), ("energy", balance.energy), ("work", balance.work)]
        {
            if residual.is_nan() || residual > MOST_RESIDUAL {
                return Err(Error::Simulation {
                    time_s: time,
                    reason: StopReason::Unbalanced { quantity, residual },
                });
            }
        }
        let view = plant.view(state);
        let gauge = |pressure: f64| GaugePressure::new(pascals(pressure - plant.atmosphere));
        let exergy = |pressure: f64| {
            let times = pressure / plant.atmosphere;
            pressure * plant.tank_volume * (times.ln() - 1.0 + 1.0 / times)
        };
        let stored = exergy(view.tank.pressure) - exergy(plant.view(&self.start).tank.pressure);
        let steady = self.session.battery.map_or(0.0, |battery| battery.steady_load.value * time);
        let knows_power = plant.pump.as_ref().is_some_and(|pump| !pump.power.is_empty());
        let rod_area = plant.rod.as_ref().map_or(0.0, |rod| rod.side.area);
        let against_air = plant.atmosphere * (plant.cap.area - rod_area) * state[TRAVEL];
        let compression = state[COMPRESSION];
        let energy = Ledger {
            electric: knows_power.then(|| joules(state[ELECTRIC])),
            steady: joules(steady),
            battery_left: self
                .session
                .battery
                .map(|battery| battery.usable_energy() - joules(state[ELECTRIC] + steady))
                .map(|left| left.max(Energy::default())),
            compression: joules(compression),
            stored: joules(stored),
            useful: joules(self.useful),
            pistons: joules(state[PISTON_WORK] - against_air),
            friction: joules(state[FRICTION]),
            jerks: joules(self.jerk_loss),
            lost: joules(compression - stored - self.useful),
        };
        let air_used = Mass::new::<kilogram>(state[DRAWN]);
        let highest_rod_pressure = self.highest_rod(plant);
        Ok(Rehearsal {
            lifts: self.lifts,
            end,
            time: seconds(time),
            behind: seconds(self.behind),
            highest_rod_pressure,
            half_way_up: self.half_way_up,
            half_way_down: self.half_way_down,
            relief_blew: self.relief_blew.map(seconds),
            line_relief_blew: self.line_relief_blew.map(seconds),
            pump: plant.pump.as_ref().map(|_| PumpWork {
                on: seconds(self.pump_on),
                share: Ratio::new::<ratio>(if time > 0.0 { self.pump_on / time } else { 0.0 }),
                starts: self.pump_starts,
                cut_outs: self.pump_trips,
                longest_run: seconds(self.longest_run),
                largest_sag: self.largest_sag.map(pascals),
                battery_empty: self.battery_empty.map(seconds),
            }),
            tank_pressure: gauge(view.tank.pressure),
            tank_temperature: kelvins(view.tank.temperature),
            lowest_tank_pressure: gauge(self.lowest_tank),
            largest_drift: self.drift.map(meters),
            coldest_exhaust: self.coldest.map(kelvins),
            // Static temperature at the speed of sound: 2/(k + 1) of that at rest.
            coldest_in_valve: self.coldest.map(|coldest| {
                let ratio_of_heats = 1.0 + plant.air.work_share();
                kelvins(coldest * 2.0 / (ratio_of_heats + 1.0))
            }),
            free_air_used: crate::air::reference::anr_volume(air_used).volume(),
            air_used,
            energy,
            fastest_out: Velocity::new::<meter_per_second>(self.fastest.0),
            fastest_in: Velocity::new::<meter_per_second>(self.fastest.1),
            jerks: self.jerks,
            balance,
            steps: self.steps,
            trace: self.trace,
        })
    }
}

impl Steps {
    /// Accepted steps.
    #[must_use]
    pub const fn total(&self) -> u64 {
        self.explicit + self.stiff
    }
}
