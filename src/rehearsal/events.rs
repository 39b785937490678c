//! Moments at which the rig changes its way of working, and what follows from each.

#![allow(clippy::indexing_slicing, reason = "arrays of fixed length, indices bounded by constants")]

use super::model::{Exchange, Motion, Plant, Position, Running, Setting, View};
use super::state::{CAP_ENERGY, ELECTRIC, HEAT_IN, PISTON_WORK, ROD_ENERGY, State, TANK_MASS, TIME, TRAVEL};

/// Kinds of events.
pub(super) const EVENTS: usize = 12;
/// The switch stops the pump.
pub(super) const CUT_OUT: usize = 0;
/// The switch starts the pump.
pub(super) const CUT_IN: usize = 1;
/// The battery is empty.
pub(super) const BATTERY: usize = 2;
/// The pistons break loose outward.
pub(super) const OUTWARD: usize = 3;
/// The pistons break loose inward.
pub(super) const INWARD: usize = 4;
/// A stretch of the travel ends.
pub(super) const MARK: usize = 5;
/// The speed comes down to zero.
pub(super) const STANDSTILL: usize = 6;
/// The load runs away.
pub(super) const RUNAWAY: usize = 7;
/// The task is done.
pub(super) const GOAL: usize = 8;
/// Time is up.
pub(super) const CLOCK: usize = 9;

/// The cap side passes a corner of the law of friction.
pub(super) const CAP_CORNER: usize = 10;
/// The rod side passes one.
pub(super) const ROD_CORNER: usize = 11;

/// How far beyond a corner, as a share of the atmosphere on the piston, the other law takes over.
pub(super) const CORNER_BAND: f64 = 1e-6;
/// Value of an event that cannot happen.
const IDLE: f64 = -1.0;
/// Share of the largest force below which forces count as balanced.
pub(super) const BALANCED: f64 = 1e-8;
/// Level to which a settled side agrees with its neighbour.
const SETTLED_PRESSURE: f64 = 1e-4;
/// And to which its air agrees with the site, K.
const SETTLED_TEMPERATURE: f64 = 0.1;

/// What a task is waiting for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Goal {
    /// Only the clock.
    None,
    /// A travel on the way out.
    Outward(f64),
    /// The pistons at the start.
    Home,
    /// Rest on the driven side, at a place where the task may end.
    Settled { outward: bool },
}

/// What decides over events besides the state.
#[derive(Debug, Clone, Copy)]
pub(super) struct Watch {
    pub(super) goal: Goal,
    /// The time to stop at.
    pub(super) clock: f64,
    /// The switch asks for air.
    pub(super) demand: bool,
    /// The pump may run.
    pub(super) allowed: bool,
    /// Usable energy of the battery, while it is not empty, and its steady load.
    pub(super) battery: Option<(f64, f64)>,
    /// Forces left over when the pistons came to rest, from which they break loose.
    pub(super) outward_bias: f64,
    pub(super) inward_bias: f64,
    /// Force by which forces are measured.
    pub(super) force_scale: f64,
}

impl Plant {
    /// The pressure that the driven side settles to.
    pub(super) fn level(&self, view: &View, outward: bool) -> f64 {
        if outward { self.set.min(view.tank.pressure) } else { self.atmosphere }
    }

    /// How far the goal is: zero or above when it is reached.
    pub(super) fn goal(&self, setting: &Setting, goal: Goal, state: &State) -> f64 {
        match goal {
            Goal::None => IDLE,
            Goal::Outward(target) => (state[TRAVEL] - target) / self.course.end,
            Goal::Home => -state[TRAVEL] / self.course.end,
            Goal::Settled { outward } => {
                if matches!(setting.position, Position::Rising | Position::Falling) {
                    return IDLE;
                }
                let view = self.view(state);
                let level = self.level(&view, outward);
                let mut pressure = (view.cap.pressure / level - 1.0).abs();
                let mut temperature = (view.cap.temperature - self.temperature).abs();
                // Below the set point the side is level with the tank, and not at rest before the tank is.
                let fed = setting.valves.cap_supply || setting.valves.rod_supply;
                if fed && view.tank.pressure < self.set && self.tank_heat != Exchange::Rate(0.0) {
                    temperature = temperature.max((view.tank.temperature - self.temperature).abs());
                }
                if let Some(rod) = view.rod {
                    // The air return ends level with the regulator, a raise and a rest with the open.
                    let level = self.level(&view, setting.valves.rod_supply);
                    pressure = pressure.max((rod.pressure / level - 1.0).abs());
                    temperature = temperature.max((rod.temperature - self.temperature).abs());
                }
                let pressure = 1.0 - pressure / SETTLED_PRESSURE;
                let temperature = 1.0 - temperature / SETTLED_TEMPERATURE;
                if self.cylinder_heat == Exchange::Rate(0.0) { pressure } else { pressure.min(temperature) }
            }
        }
    }

    /// All events: each is below zero before it happens and zero when it does.
    ///
    /// `view` and `motion` are those of the state; the motion says no more than [`STANDSTILL`] and [`RUNAWAY`].
    pub(super) fn events(
        &self,
        setting: &Setting,
        watch: &Watch,
        state: &State,
        view: &View,
        motion: Motion,
    ) -> [f64; EVENTS] {
        let mut events = [IDLE; EVENTS];
        if let Some(pump) = &self.pump {
            let gauge = view.tank.pressure - self.atmosphere;
            if watch.demand {
                events[CUT_OUT] = (gauge - pump.cut_out) / self.atmosphere;
            } else {
                events[CUT_IN] = (pump.cut_in - gauge) / self.atmosphere;
            }
        }
        if let Some((usable, steady)) = watch.battery {
            events[BATTERY] = (state[ELECTRIC] + steady * state[TIME]) / usable - 1.0;
        }
        let travel = state[TRAVEL];
        let starting = self.starting_friction();
        match setting.position {
            Position::Rising | Position::Falling => {
                let rising = setting.position == Position::Rising;
                let sign = if rising { 1.0 } else { -1.0 };
                let mark = self.next_mark(setting);
                events[MARK] = sign * (travel - mark) / self.course.end;
                events[STANDSTILL] = -sign * motion.plain_speed;
                events[RUNAWAY] = -motion.pace;
                let (cap, rod) = self.corners(setting.position, view);
                let unit = self.atmosphere * self.cap.area;
                let way =
                    |above: bool, thrust: f64| (if above { -thrust } else { thrust }) / unit - CORNER_BAND;
                events[CAP_CORNER] = way(setting.cap_above, cap);
                events[ROD_CORNER] = way(setting.rod_above, rod);
                events[CLOCK] = state[TIME] - watch.clock;
            }
            position => {
                if position != Position::Top {
                    let left = self.left_outward(view, travel, setting.outward, starting);
                    events[OUTWARD] = (left - watch.outward_bias) / watch.force_scale;
                }
                if position != Position::Bottom {
                    let left = self.left_inward(view, travel, setting.inward, starting);
                    events[INWARD] = (left - watch.inward_bias) / watch.force_scale;
                }
            }
        }
        events[GOAL] = self.goal(setting, watch.goal, state);
        events
    }

    /// Where the stretch that is being passed ends.
    pub(super) fn next_mark(&self, setting: &Setting) -> f64 {
        match setting.position {
            Position::Rising => self.course.ends(setting.outward).1,
            _ => self.course.ends(setting.inward).0,
        }
    }
}

/// Where a load that runs away comes to balance.
#[derive(Debug, Clone, Copy)]
pub(super) struct Jump {
    /// State there.
    pub(super) state: State,
    /// Stretch there.
    pub(super) stretch: usize,
    /// Work that the jerk destroys, its friction included.
    pub(super) lost: f64,
    /// How far it went.
    pub(super) distance: f64,
}

impl Running<'_> {
    /// Follows a load that runs away to the first place at which forces balance again, or to the end of the
    /// travel. It takes no time: no air flows and no heat; the air on both sides follows its isentrope (its
    /// isotherm where heat exchange is perfect). What is left of the work is destroyed.
    pub(super) fn jump(&self, state: &State, outward: bool, force_scale: f64) -> Jump {
        const SAMPLES: u32 = 64;
        // A dip this shallow before the place where forces part is an error of the integration.
        const DIP: f64 = 1e-6;
        let course = &self.plant.course;
        let mut stretch = if outward { self.setting.outward } else { self.setting.inward };
        let left = |travel: f64, stretch: usize| {
            let there = self.carried(state, travel);
            let view = self.plant.view(&there);
            if outward {
                self.plant.left_outward(&view, travel, stretch, self.plant.friction)
            } else {
                self.plant.left_inward(&view, travel, stretch, self.plant.friction)
            }
        };
        let start = state[TRAVEL];
        let mut last_driven = start;
        let end = loop {
            let (from, to) = course.ends(stretch);
            let goal = if outward { to } else { from };
            let begin = if outward { start.max(from) } else { start.min(to) };
            let stop =
                (0..=SAMPLES).map(|sample| begin + (goal - begin) * f64::from(sample) / f64::from(SAMPLES));
            let mut halted = None;
            for travel in stop {
                let force = left(travel, stretch);
                if force >= 0.0 {
                    last_driven = travel;
                } else if force < -DIP * force_scale {
                    halted = Some(travel);
                    break;
                }
            }
            if let Some(beyond) = halted {
                let (mut near, mut far) = (last_driven, beyond);
                // A step of the load lies at the start of the stretch itself.
                if left(near, stretch) < 0.0 {
                    break near;
                }
                for _ in 0..100 {
                    let middle = 0.5 * (near + far);
                    if left(middle, stretch) >= 0.0 { near = middle } else { far = middle }
                }
                break near;
            }
            last_driven = goal;
            let last = if outward { stretch + 1 >= course.count() } else { stretch == 0 };
            if last {
                break goal;
            }
            stretch = if outward { stretch + 1 } else { stretch - 1 };
        };
        let after = self.carried(state, end);
        let piston_work = after[PISTON_WORK] - state[PISTON_WORK];
        let rod_area = self.plant.rod.as_ref().map_or(0.0, |rod| rod.side.area);
        let against_air = self.plant.atmosphere * (self.plant.cap.area - rod_area) * (end - start);
        let stored = course.stored(end) - course.stored(start);
        Jump {
            state: after,
            stretch,
            lost: piston_work - against_air - stored,
            distance: (end - start).abs(),
        }
    }

    /// The state with the pistons moved at once.
    fn carried(&self, state: &State, travel: f64) -> State {
        let plant = self.plant;
        let mut after = *state;
        after[TRAVEL] = travel;
        let here = plant.view(state);
        let perfect = plant.cylinder_heat == Exchange::Perfect;
        let exponent = plant.air.work_share();
        let mut expand = |volume_before: f64, volume_after: f64, pressure: f64, energy: usize, mass: f64| {
            let growth = (volume_after / volume_before).ln();
            if perfect {
                let work = pressure * volume_before * growth;
                after[PISTON_WORK] += work;
                after[HEAT_IN] += work;
            } else {
                // Z hardly changes at the pressures of a cylinder; that of the middle is taken.
                let middle = mass / (0.5 * (volume_before + volume_after));
                let z = plant.air.compressibility(middle).0;
                let left = state[energy] * (-exponent * z * growth).exp();
                after[PISTON_WORK] += state[energy] - left;
                after[energy] = left;
            }
        };
        let cap_after = plant.cap.area * travel + plant.cap.dead;
        expand(here.cap.volume, cap_after, here.cap.pressure, CAP_ENERGY, here.cap.mass);
        if let Some((rod, gas)) = plant.rod.as_ref().zip(here.rod) {
            expand(gas.volume, rod.volume(travel), gas.pressure, ROD_ENERGY, gas.mass);
        }
        after
    }
}

/// Sum of mass in all volumes.
pub(super) fn mass_held(plant: &Plant, state: &State) -> f64 {
    let rod = if plant.rod.is_some() { state[super::state::ROD_MASS] } else { 0.0 };
    state[TANK_MASS] + state[super::state::CAP_MASS] + rod
}

/// Sum of internal energy in all volumes.
pub(super) fn energy_held(plant: &Plant, state: &State) -> f64 {
    let rod = if plant.rod.is_some() { state[ROD_ENERGY] } else { 0.0 };
    state[super::state::TANK_ENERGY] + state[CAP_ENERGY] + rod
}
