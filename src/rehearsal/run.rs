//! The session itself: steps, events, tasks, records.

#![allow(clippy::indexing_slicing, reason = "arrays of fixed length, indices bounded by constants")]

use uom::si::f64::Time;

use super::events::{
    BALANCED, BATTERY, CAP_CORNER, CLOCK, CORNER_BAND, CUT_IN, CUT_OUT, EVENTS, GOAL, Goal, INWARD, MARK,
    OUTWARD, ROD_CORNER, RUNAWAY, STANDSTILL, Watch,
};
use super::integrator::{Method, Rates, Step, size_of_error};
use super::model::{Motion, Plant, Position, Running, Setting, Valves, View};
use super::records::Records;
use super::schedule::{Action, Task, Until};
use super::session::{Session, Settings};
use super::state::{CORE, State, TIME, TRAVEL};
use super::thermal::ThermalCutOut;
use crate::{Error, Result, StopReason};

/// An event that is this close (in the unit of its scale) has happened.
const HIT: f64 = 1e-10;
/// A goal this close is reached.
const REACHED: f64 = -2.0 * HIT;
/// Steps taken anew to end one at an event; a handful do unless the event is seen in a jump.
const MOST_TRIALS: u32 = 40;
/// More steps than any working day of any rig should take.
const MOST_STEPS: u64 = 20_000_000;
/// Share of the travel that counts as getting on between two changes.
const PROGRESS: f64 = 1e-4;
/// Changes between resting and moving within one task.
const MOST_CHANGES: u32 = 20_000;
/// Product of width and decay at which the explicit method is at the edge of its stability.
const EDGE: f64 = 2.0;
/// Product below which the explicit method does better.
const CALM: f64 = 1.0;
/// Steps, less those that speak against it, that decide on the method.
const IN_A_ROW: u32 = 4;

/// A session under way.
pub(super) struct Run<'a> {
    pub(super) plant: &'a Plant,
    pub(super) setting: Setting,
    pub(super) state: State,
    pub(super) records: Records<'a>,
    pub(super) thermal: Option<ThermalCutOut>,
    watch: Watch,
    rates: State,
    known_events: Option<[f64; EVENTS]>,
    scale: State,
    tolerance: f64,
    method: Method,
    width: f64,
    in_a_row: u32,
    changes: u32,
    /// Where the load last got on, and how often more it has stopped or started without.
    last_change: f64,
    in_place: u32,
    /// The goal of the task was the last event.
    at_goal: bool,
}

/// Valves of an action.
fn valves(action: Action) -> Valves {
    let closed = Valves { cap_supply: false, cap_open: false, rod_supply: false, rod_open: false };
    match action {
        Action::Raise => Valves { cap_supply: true, rod_open: true, ..closed },
        Action::Hold => closed,
        Action::Lower => Valves { cap_open: true, rod_supply: true, ..closed },
        Action::Rest => Valves { cap_open: true, rod_open: true, ..closed },
    }
}

/// Direction of a motion along the travel.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Way {
    Out,
    In,
}

impl Way {
    fn sign(self) -> f64 {
        match self {
            Self::Out => 1.0,
            Self::In => -1.0,
        }
    }

    fn position(self) -> Position {
        match self {
            Self::Out => Position::Rising,
            Self::In => Position::Falling,
        }
    }
}

impl<'a> Run<'a> {
    pub(super) fn new(plant: &'a Plant, session: &'a Session<'a>, settings: &Settings) -> Self {
        let state = plant.start(session.tank.start.pascals() + plant.atmosphere);
        let battery =
            session.battery.map(|battery| (battery.usable_energy().value, battery.steady_load.value));
        let setting = Setting {
            position: Position::Bottom,
            valves: valves(Action::Rest),
            running: false,
            cap_above: true,
            rod_above: true,
            outward: 0,
            inward: 0,
        };
        let force_scale =
            plant.course.largest.max(plant.cap.area * (plant.set - plant.atmosphere)).max(f64::MIN_POSITIVE);
        let watch = Watch {
            goal: Goal::None,
            clock: 0.0,
            demand: false,
            allowed: true,
            battery,
            outward_bias: 0.0,
            inward_bias: 0.0,
            force_scale,
        };
        Self {
            plant,
            setting,
            records: Records::new(plant, session, settings, &state),
            state,
            thermal: plant.pump.as_ref().and_then(|pump| pump.thermal).and_then(ThermalCutOut::new),
            watch,
            rates: state,
            known_events: None,
            scale: plant.scale(),
            tolerance: settings.tolerance,
            method: Method::Explicit,
            width: 0.0,
            in_a_row: 0,
            changes: 0,
            last_change: f64::NEG_INFINITY,
            in_place: 0,
            at_goal: false,
        }
    }

    pub(super) fn time(&self) -> f64 {
        self.state[TIME]
    }

    fn running(&self) -> Running<'a> {
        Running { plant: self.plant, setting: self.setting }
    }

    fn stop(&self, reason: StopReason) -> Error {
        Error::Simulation { time_s: self.time(), reason }
    }

    /// Works one task; whether its goal was reached.
    pub(super) fn task(&mut self, task: &Task, cycle_start: f64) -> Result<bool> {
        let begin = self.time();
        let travel_done = match task.action {
            Action::Raise => Goal::Outward(self.plant.target),
            Action::Lower => Goal::Home,
            Action::Hold | Action::Rest => Goal::None,
        };
        let seconds = |time: Time| if time.value.is_finite() { time.value.max(0.0) } else { 0.0 };
        let (goal, end) = match task.until {
            Until::Elapsed(time) => (Goal::None, begin + seconds(time)),
            Until::CycleTime(time) => (Goal::None, cycle_start + seconds(time)),
            Until::Arrived { within } => (travel_done, begin + seconds(within)),
            Until::Settled { within } => {
                (Goal::Settled { outward: task.action == Action::Raise }, begin + seconds(within))
            }
        };
        if let Until::CycleTime(_) = task.until {
            self.records.late_by(begin - end);
        }
        // A raise or lowering without a goal of its own is still told when it arrives.
        let arrival = travel_done;
        self.setting.valves = valves(task.action);
        self.watch.goal = goal;
        (self.changes, self.in_place, self.at_goal) = (0, 0, false);
        self.records.begin(task.action, &self.state, self.plant);
        self.switch();
        self.enter()?;
        let mut reached = false;
        loop {
            self.note_arrival(arrival);
            let near = || self.plant.goal(&self.setting, goal, &self.state) >= REACHED;
            if goal != Goal::None && (self.at_goal || near()) {
                reached = true;
                break;
            }
            if self.time() >= end {
                break;
            }
            self.advance(end)?;
        }
        self.note_arrival(arrival);
        self.records.finish(&self.setting, &self.state, self.plant);
        Ok(reached)
    }

    fn note_arrival(&mut self, arrival: Goal) {
        if arrival != Goal::None && self.plant.goal(&self.setting, arrival, &self.state) >= REACHED {
            self.records.arrived(self.state[TIME]);
        }
    }

    /// One step, up to the next event.
    fn advance(&mut self, end: f64) -> Result<()> {
        let now = self.time();
        self.watch.clock = self.thermal.as_ref().map_or(end, |thermal| thermal.next(now).min(end));
        let moving = matches!(self.setting.position, Position::Rising | Position::Falling);
        let left = self.watch.clock - now;
        let mut last;
        let running = self.running();
        // Events of the last step still hold if nothing has changed since.
        let before = match self.known_events.take() {
            Some(known) => known,
            None => self.events(&self.state, &self.plant.view(&self.state), Motion::of(&self.rates)),
        };
        let mut step = loop {
            let mut width = self.width;
            if !moving && width >= left {
                (width, last) = (left, true);
            } else {
                last = false;
            }
            if width.is_nan() || width <= 1e-14 * now.max(1e-2) {
                if left <= 1e-12 * now.max(1.0) {
                    // What is left is below the grain of the clock.
                    self.state[TIME] = self.watch.clock;
                    return self.clock_is_up();
                }
                return Err(self.stop(StopReason::StepTooSmall));
            }
            let step = Step::take(&running, self.method, &self.state, &self.rates, width, &self.scale);
            let size = size_of_error(&step.error, &self.state, &step.end, &self.scale, self.tolerance);
            // An end outside the range of the model shows as no number.
            let sound = step.end.iter().all(|value| value.is_finite())
                && step.end_rates.iter().take(TIME + 1).all(|value| value.is_finite());
            let factor = 0.9 * size.max(1e-10).powf(-1.0 / self.method.error_order());
            if size <= 1.0 && sound {
                self.width = width * factor.clamp(0.2, 6.0);
                break step;
            }
            self.records.steps.refused += 1;
            // At the edge of its stability the explicit method is refused every few steps.
            if self.method == Method::Explicit && step.stiffness > EDGE {
                self.in_a_row += 2;
            }
            self.width = width * if sound && size.is_finite() { factor.clamp(0.1, 0.9) } else { 0.1 };
        };
        let stiffness = step.stiffness;
        let mut fired = None;
        let mut view = self.plant.view(&step.end);
        let after = self.events(&step.end, &view, Motion::of(&step.end_rates));
        if let Some((share, event)) = self.first_crossing(&step, &before, &after) {
            step = self.locate(step, share, event);
            view = self.plant.view(&step.end);
            last = false;
            fired = Some(event);
        }
        if last {
            step.end[TIME] = self.watch.clock;
        }
        self.records.record(&step, &view, &self.state, &self.setting, self.plant);
        self.state = step.end;
        self.rates = step.end_rates;
        self.known_events = (fired.is_none() && !last).then_some(after);
        self.records.count(self.method);
        // Not before: a step that is taken anew for an event has been found good with this method alone.
        self.choose_method(stiffness);
        if self.records.steps.total() > MOST_STEPS {
            return Err(self.stop(StopReason::TooManySteps { limit: MOST_STEPS }));
        }
        if let Some(thermal) = &mut self.thermal {
            thermal.advance(self.setting.running, self.state[TIME]);
        }
        if let Some(event) = fired {
            // An event that rounding keeps from being met to the last digit has happened all the same.
            self.at_goal = event == GOAL;
            if event == CLOCK {
                self.state[TIME] = self.watch.clock;
            }
            self.records.steps.events += 1;
            self.happen(event, &before)?;
        }
        if self.state[TIME] >= self.watch.clock - HIT {
            self.state[TIME] = self.state[TIME].max(self.watch.clock);
            return self.clock_is_up();
        }
        Ok(())
    }

    fn clock_is_up(&mut self) -> Result<()> {
        let now = self.time();
        let Some(thermal) = &mut self.thermal else { return Ok(()) };
        thermal.advance(self.setting.running, now);
        if thermal.switch() {
            self.switch();
            self.enter()?;
        }
        Ok(())
    }

    fn choose_method(&mut self, stiffness: f64) {
        let (leave, other) = match self.method {
            Method::Explicit => (stiffness > EDGE, Method::Stiff),
            Method::Stiff => (stiffness < CALM, Method::Explicit),
        };
        self.in_a_row = if leave { self.in_a_row + 1 } else { self.in_a_row.saturating_sub(1) };
        if self.in_a_row >= IN_A_ROW {
            self.method = other;
            self.in_a_row = 0;
        }
    }

    fn events(&self, state: &State, view: &View, motion: Motion) -> [f64; EVENTS] {
        self.plant.events(&self.setting, &self.watch, state, view, motion)
    }

    /// One event at a share of a step.
    fn event_at(&self, step: &Step, share: f64, event: usize) -> f64 {
        let state = step.at(share);
        // The motion asks for all flows; other events do without it.
        let motion = match event {
            STANDSTILL | RUNAWAY => self.plant.motion(&self.setting, &state),
            _ => Motion::of(&step.end_rates),
        };
        self.events(&state, &self.plant.view(&state), motion)[event]
    }

    /// The first event that the step runs into, and the share of the step at which it lies.
    fn first_crossing(
        &self,
        step: &Step,
        before: &[f64; EVENTS],
        after: &[f64; EVENTS],
    ) -> Option<(f64, usize)> {
        let mut first: Option<(f64, usize)> = None;
        for event in 0..EVENTS {
            if before[event] < 0.0 && after[event] >= 0.0 {
                let value = |share: f64| self.event_at(step, share, event);
                let share = root(value, (0.0, before[event]), (1.0, after[event]));
                if first.is_none_or(|(earliest, _)| share < earliest) {
                    first = Some((share, event));
                }
            }
        }
        first
    }

    /// The step shortened so that it ends at the event. The interpolation gives a first guess; the step is
    /// then taken anew, so that its end has the full order of the method.
    fn locate(&self, whole: Step, share: f64, event: usize) -> Step {
        let running = self.running();
        let take = |share: f64| {
            let width = share * whole.width;
            let step = Step::take(&running, self.method, &self.state, &self.rates, width, &self.scale);
            let view = self.plant.view(&step.end);
            let value = self.events(&step.end, &view, Motion::of(&step.end_rates))[event];
            (step, value)
        };
        let mut guess = share.clamp(1e-12, 1.0);
        let (mut step, mut value) = take(guess);
        let mut earlier: Option<(f64, f64)> = None;
        // The event lies between these two.
        let (mut low, mut high) = (0.0, 1.0);
        for _ in 0..MOST_TRIALS {
            if value.abs() <= HIT || value.is_nan() {
                break;
            }
            if value < 0.0 {
                low = guess;
            } else {
                high = guess;
            }
            // Secant, from the second look on; the slope of the first comes from the interpolation.
            let (other, other_value) = earlier.unwrap_or_else(|| {
                let near = (guess - 1e-4).max(0.5 * guess);
                (near, self.event_at(&step, near / guess, event))
            });
            let slope = (value - other_value) / (guess - other);
            let secant = guess - value / slope;
            let next = if secant > low && secant < high { secant } else { 0.5 * (low + high) };
            if (next - guess).abs() <= 1e-15 {
                break;
            }
            earlier = Some((guess, value));
            guess = next;
            (step, value) = take(guess);
        }
        if step.end.iter().all(|value| value.is_finite()) { step } else { whole }
    }

    /// What follows from an event, and from others at the same moment.
    fn happen(&mut self, event: usize, before: &[f64; EVENTS]) -> Result<()> {
        self.changes += 1;
        if self.changes > MOST_CHANGES {
            return Err(self.stop(StopReason::TooManyChanges { limit: MOST_CHANGES }));
        }
        let travel = self.state[TRAVEL];
        if (travel - self.last_change).abs() > PROGRESS * self.plant.course.end {
            (self.last_change, self.in_place) = (travel, self.in_place.saturating_sub(3));
        } else {
            self.in_place += 1;
        }
        let now = self.events(&self.state, &self.plant.view(&self.state), Motion::of(&self.rates));
        let due = |kind: usize| kind == event || (before[kind] < 0.0 && now[kind] >= -HIT);
        if due(CAP_CORNER) {
            self.setting.cap_above = !self.setting.cap_above;
        }
        if due(ROD_CORNER) {
            self.setting.rod_above = !self.setting.rod_above;
        }
        if due(CUT_OUT) {
            self.watch.demand = false;
        }
        if due(CUT_IN) {
            self.watch.demand = true;
        }
        if due(BATTERY) {
            self.watch.battery = None;
            self.watch.allowed = false;
            self.records.battery_empty(self.state[TIME]);
        }
        self.switch();
        let way = match self.setting.position {
            Position::Rising => Some(Way::Out),
            Position::Falling => Some(Way::In),
            _ => None,
        };
        match way {
            Some(way) if due(MARK) => self.pass(way),
            Some(way) if due(STANDSTILL) => {
                self.halt(way);
                self.rest_or_move(Some(way));
            }
            Some(way) if due(RUNAWAY) => self.run_away(way),
            None if due(OUTWARD) || due(INWARD) => self.rest_or_move(None),
            _ => {}
        }
        self.enter()
    }

    /// Sets the pump by its switch, the thermal cut-out and the battery.
    fn switch(&mut self) {
        let Some(pump) = &self.plant.pump else { return };
        let view = self.plant.view(&self.state);
        let gauge = view.tank.pressure - self.plant.atmosphere;
        if gauge <= pump.cut_in {
            self.watch.demand = true;
        } else if gauge >= pump.cut_out {
            self.watch.demand = false;
        }
        let cool = self.thermal.as_ref().is_none_or(|thermal| !thermal.tripped());
        let runs = self.watch.demand && self.watch.allowed && cool;
        if runs != self.setting.running {
            self.setting.running = runs;
            if let Some(thermal) = &mut self.thermal {
                thermal.set_running(runs);
            }
            let tripped = !cool;
            self.records.pump(runs, tripped, &view, self.state[TIME], self.plant);
        }
    }

    /// Prepares for the next step after anything has changed.
    fn enter(&mut self) -> Result<()> {
        self.changes += 1;
        if self.changes > MOST_CHANGES {
            return Err(self.stop(StopReason::TooManyChanges { limit: MOST_CHANGES }));
        }
        match self.setting.position {
            Position::Rising => self.still_moving(Way::Out),
            Position::Falling => self.still_moving(Way::In),
            _ => self.rest_or_move(None),
        }
        self.rates = self.running().rates(&self.state);
        self.known_events = None;
        self.method = Method::Explicit;
        self.in_a_row = 0;
        // First width: a hundredth of the time in which the fastest state would change by all of itself.
        let mut fastest = 0.0_f64;
        for index in 0..CORE {
            let size = self.state[index].abs() + self.scale[index];
            fastest = fastest.max((self.rates[index] / size).abs());
        }
        self.width = if fastest > 0.0 { (0.01 / fastest).min(1.0) } else { 1.0 };
        Ok(())
    }

    fn still_moving(&mut self, way: Way) {
        let motion = self.plant.motion(&self.setting, &self.state);
        if motion.pace <= 0.0 {
            self.run_away(way);
        } else if way.sign() * motion.plain_speed <= 0.0 {
            self.halt(way);
            self.rest_or_move(Some(way));
        }
    }

    /// Holds the pistons where they are.
    fn halt(&mut self, way: Way) {
        match way {
            Way::Out => self.setting.inward = self.setting.outward,
            Way::In => self.setting.outward = self.setting.inward,
        }
        self.setting.position = Position::Held;
    }

    /// Force left over to move on, with the friction of starting or of moving.
    fn left(&self, way: Way, friction: f64) -> f64 {
        let view = self.plant.view(&self.state);
        let travel = self.state[TRAVEL];
        match way {
            Way::Out => self.plant.left_outward(&view, travel, self.setting.outward, friction),
            Way::In => self.plant.left_inward(&view, travel, self.setting.inward, friction),
        }
    }

    fn tolerance_of_force(&self) -> f64 {
        BALANCED * self.watch.force_scale
    }

    /// Without friction, a load that the air just carries would start and stop by the rounding of each step.
    /// The more often it has done so in one place, the more it must be driven to start again.
    fn grip(&self) -> f64 {
        const MOST: u32 = 16;
        f64::from(1_u32 << self.in_place.saturating_sub(4).min(MOST))
    }

    /// From rest: starts to move where the forces say so. `halted` is the way on which the speed has just
    /// come to zero; it is not tried again.
    fn rest_or_move(&mut self, halted: Option<Way>) {
        (self.setting.inward, self.setting.outward) = self.plant.course.around(self.state[TRAVEL]);
        let starting = self.plant.starting_friction();
        for way in [Way::Out, Way::In] {
            let blocked = match way {
                Way::Out => self.setting.position == Position::Top,
                Way::In => self.setting.position == Position::Bottom,
            };
            if blocked || halted == Some(way) || self.left(way, starting) < -self.tolerance_of_force() {
                continue;
            }
            if self.left(way, self.plant.friction) > 4.0 * self.tolerance_of_force() {
                self.run_away(way);
                return;
            }
            if self.sets_off(way) {
                return;
            }
        }
        // It breaks loose once the force has grown past what it is now.
        let tolerance = self.tolerance_of_force();
        let more = tolerance * self.grip();
        let bias = |left: f64| if left >= -tolerance { left.max(0.0) + more } else { 0.0 };
        self.watch.outward_bias = bias(self.left(Way::Out, starting));
        self.watch.inward_bias = bias(self.left(Way::In, starting));
    }

    /// Sets off from a place of balance, if the air drives that way.
    fn sets_off(&mut self, way: Way) -> bool {
        let (cap, rod) = self.plant.corners(way.position(), &self.plant.view(&self.state));
        // At a corner to the last digits, as with a side at the atmosphere, it goes up from there.
        let near = CORNER_BAND * self.plant.atmosphere * self.plant.cap.area;
        let moving = Setting {
            position: way.position(),
            cap_above: cap >= -near,
            rod_above: rod >= -near,
            ..self.setting
        };
        let Motion { plain_speed, pace } = self.plant.motion(&moving, &self.state);
        // A billionth of the travel in a second, once it has started here in vain.
        let slowest = 1e-9 * self.plant.course.end * (self.grip() - 1.0);
        if pace > 0.0 && way.sign() * plain_speed > slowest {
            self.records.moves(self.state[TIME]);
            self.setting = moving;
            // Away from a step of the load both laws are that of the stretch that is being passed.
            match way {
                Way::Out => self.setting.inward = self.setting.outward,
                Way::In => self.setting.outward = self.setting.inward,
            }
            return true;
        }
        false
    }

    /// The pistons have come to the end of a stretch.
    fn pass(&mut self, way: Way) {
        self.state[TRAVEL] = self.plant.next_mark(&self.setting);
        match way {
            Way::Out if self.setting.outward + 1 >= self.plant.course.count() => {
                self.setting.inward = self.setting.outward;
                self.setting.position = Position::Top;
            }
            Way::Out => {
                self.setting.inward = self.setting.outward;
                self.setting.outward += 1;
            }
            Way::In if self.setting.inward == 0 => {
                self.setting.outward = 0;
                self.setting.position = Position::Bottom;
            }
            Way::In => {
                self.setting.outward = self.setting.inward;
                self.setting.inward -= 1;
            }
        }
        if matches!(self.setting.position, Position::Top | Position::Bottom) {
            self.rest_or_move(Some(way));
            return;
        }
        let left = self.left(way, self.plant.friction);
        if left > 4.0 * self.tolerance_of_force() {
            self.run_away(way);
        } else if left < -4.0 * self.tolerance_of_force() {
            self.setting.position = Position::Held;
            self.rest_or_move(Some(way));
        } else {
            match way {
                Way::Out => self.setting.inward = self.setting.outward,
                Way::In => self.setting.outward = self.setting.inward,
            }
        }
    }

    /// The load runs away to the next balance.
    fn run_away(&mut self, way: Way) {
        self.records.moves(self.state[TIME]);
        let jump = self.running().jump(&self.state, way == Way::Out, self.watch.force_scale);
        self.records.jerk(&jump, &self.state, self.plant);
        self.state = jump.state;
        let (from, to) = self.plant.course.ends(jump.stretch);
        let travel = self.state[TRAVEL];
        let end = self.plant.course.end;
        let near = 1e-12 * end;
        (self.setting.outward, self.setting.inward) = (jump.stretch, jump.stretch);
        if way == Way::Out && travel >= end - near {
            self.setting.position = Position::Top;
        } else if way == Way::In && travel <= near {
            self.setting.position = Position::Bottom;
        } else {
            self.setting.position = Position::Held;
            if way == Way::Out && travel <= from + near {
                self.setting.inward = jump.stretch.saturating_sub(1);
            }
            if way == Way::In && travel >= to - near {
                self.setting.outward = (jump.stretch + 1).min(self.plant.course.count() - 1);
            }
            // A jump of nothing would be tried again and again.
            let moved = jump.distance > near;
            let strong = self.left(way, self.plant.friction) > -4.0 * self.tolerance_of_force();
            if moved && strong && self.sets_off(way) {
                return;
            }
        }
        self.rest_or_move(Some(way));
    }
}

/// A root of a function that is below zero at the first point and not below at the second, by false
/// position with the Illinois rule.
fn root(function: impl Fn(f64) -> f64, first: (f64, f64), second: (f64, f64)) -> f64 {
    let ((mut low, mut low_value), (mut high, mut high_value)) = (first, second);
    let mut side = 0;
    for _ in 0..60 {
        if high - low <= 1e-13 || high_value == 0.0 {
            break;
        }
        let middle = (low * high_value - high * low_value) / (high_value - low_value);
        let middle = if middle > low && middle < high { middle } else { 0.5 * (low + high) };
        let value = function(middle);
        if value.abs() <= 1e-12 {
            return middle;
        }
        if value < 0.0 {
            (low, low_value) = (middle, value);
            if side == -1 {
                high_value *= 0.5;
            }
            side = -1;
        } else {
            (high, high_value) = (middle, value);
            if side == 1 {
                low_value *= 0.5;
            }
            side = 1;
        }
    }
    high
}
