//! What a rehearsal says.

use uom::si::f64::{Energy, Length, Mass, Pressure, Ratio, ThermodynamicTemperature, Time, Velocity, Volume};

use super::moment::Moment;
use super::trace::Row;
use crate::units::GaugePressure;

/// Below this the water in the air can freeze where it leaves.
pub const FREEZING_K: f64 = 273.15;

/// The outcome of a session.
#[derive(Debug, Clone, PartialEq)]
pub struct Rehearsal {
    /// Every raise, in order.
    pub lifts: Vec<Lift>,
    /// How the session ended.
    pub end: SessionEnd,
    /// Time worked.
    pub time: Time,
    /// By how much it is longer than the times by the clock allow, where tasks end by it.
    pub behind: Time,
    /// The pump, if there is one.
    pub pump: Option<PumpWork>,
    /// Tank pressure and temperature at the end.
    pub tank_pressure: GaugePressure,
    /// Temperature of the air in the tank at the end.
    pub tank_temperature: ThermodynamicTemperature,
    /// Lowest pressure that the tank came to.
    pub lowest_tank_pressure: GaugePressure,
    /// Most that a held load sank, and by how much the air of that hold cooled; `None` if nothing was held.
    pub largest_drift: Option<Length>,
    /// Coldest air that left a cylinder, before it expands in the valve; `None` if none was let out.
    pub coldest_exhaust: Option<ThermodynamicTemperature>,
    /// The same in the narrowest place of a choked path: `T * 2/(k + 1)`, with `k = 1.4` 0.833 of it.
    pub coldest_in_valve: Option<ThermodynamicTemperature>,
    /// When the relief valve of the tank first blew.
    pub relief_blew: Option<Time>,
    /// When that of the line did.
    pub line_relief_blew: Option<Time>,
    /// Highest pressure on a driven rod side, at the ends of the steps; `None` without one.
    pub highest_rod_pressure: Option<GaugePressure>,
    /// Past half way up the first raise that comes so far, at the end of the step that passes it.
    pub half_way_up: Option<Moment>,
    /// Past half way down the first lowering that comes so far, likewise.
    pub half_way_down: Option<Moment>,
    /// Air that the cylinders took from the tank.
    pub air_used: Mass,
    /// The same as free air (ANR).
    pub free_air_used: Volume,
    /// Where the energy went.
    pub energy: Ledger,
    /// Fastest travel of the pistons outward and inward, runaways left out.
    pub fastest_out: Velocity,
    /// Fastest travel inward.
    pub fastest_in: Velocity,
    /// Jerks in which the load ran away from its balance.
    pub jerks: u32,
    /// How well the books close.
    pub balance: Balance,
    /// Steps that were taken and refused.
    pub steps: Steps,
    /// Rows of the trace, if one was asked for.
    pub trace: Vec<Row>,
}

/// How a session ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SessionEnd {
    /// The schedule was worked to its end.
    Done,
    /// A lift failed, and the session was to end there.
    LiftFailed,
}

/// One raise and what followed it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lift {
    /// Counted from 1.
    pub number: u32,
    /// When it began.
    pub start: Time,
    /// Tank pressure then.
    pub tank_before: GaugePressure,
    /// Lowest tank pressure during the raise.
    pub tank_lowest: GaugePressure,
    /// Tank pressure at the end of the raise.
    pub tank_after_raise: GaugePressure,
    /// Tank pressure before the next raise, or at the end.
    pub tank_after: GaugePressure,
    /// Pressure on the cap side at the end of the raise.
    pub cap_after_raise: GaugePressure,
    /// From the opening of the valve to the first movement; `None` if nothing moved.
    pub delay: Option<Time>,
    /// From the opening of the valve to the arrival; `None` if it did not arrive.
    pub raise_time: Option<Time>,
    /// From the opening of the lowering valve to the arrival at the start.
    pub lower_time: Option<Time>,
    /// Where the pistons stood as the time for coming down was over, if they were not down by then.
    pub stays_at: Option<Length>,
    /// Travel reached.
    pub travel: Length,
    /// How it went.
    pub outcome: Outcome,
    /// Whether the pressure at the end of the raise is enough to move on there.
    pub(super) ends_strong: bool,
}

/// How a raise went.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outcome {
    /// It arrived.
    Arrived,
    /// It arrived later than the time allowed.
    Slow,
    /// The air could not move the load on: at the end of its time it stood still, or at most crept, level with
    /// its supply.
    Stalled,
    /// It was still being driven at the end of its time.
    OutOfTime,
}

impl Outcome {
    /// Whether the load arrived at all.
    #[must_use]
    pub const fn arrived(self) -> bool {
        matches!(self, Self::Arrived | Self::Slow)
    }
}

/// What the pump did.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PumpWork {
    /// Time on.
    pub on: Time,
    /// Share of the time on.
    pub share: Ratio,
    /// Times it was started.
    pub starts: u32,
    /// Times that the thermal cut-out stopped it.
    pub cut_outs: u32,
    /// Longest run.
    pub longest_run: Time,
    /// Most that the tank falls after a stop as its air cools to the site, nothing drawn; `None` if it never stopped.
    pub largest_sag: Option<Pressure>,
    /// When the battery was empty.
    pub battery_empty: Option<Time>,
}

/// Energy from battery to load.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ledger {
    /// Drawn by the pump; `None` if its voltage and current are not known.
    pub electric: Option<Energy>,
    /// Drawn by fans, valves and lamps.
    pub steady: Energy,
    /// Left in the battery; `None` without one.
    pub battery_left: Option<Energy>,
    /// Isothermal work in the air delivered: `integral of q R T_site ln(p/p_atm) dt`.
    pub compression: Energy,
    /// Gain of what the tank could still do, at the temperature of the site:
    /// `p V (ln(p/p_atm) - 1 + p_atm/p)`.
    pub stored: Energy,
    /// Work on load and arms while they rose, summed over all lifts.
    pub useful: Energy,
    /// Work of the air on the pistons, less that against the atmosphere.
    pub pistons: Energy,
    /// Lost to seals, linkage and back-pressure while moving.
    pub friction: Energy,
    /// Lost in jerks.
    pub jerks: Energy,
    /// The rest: `compression - stored - useful`.
    pub lost: Energy,
}

/// Residuals, each as a share of what went through.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Balance {
    /// Air: held, less what came and went.
    pub mass: f64,
    /// Energy of air: held, less enthalpy, heat and work.
    pub energy: f64,
    /// Work on the pistons, less what is stored in load and springs and lost.
    pub work: f64,
}

/// Effort of a run.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Steps {
    /// Accepted steps of the explicit method.
    pub explicit: u64,
    /// Accepted steps of the stiff method.
    pub stiff: u64,
    /// Refused steps.
    pub refused: u64,
    /// Events located.
    pub events: u64,
}

impl Rehearsal {
    /// The first lift that did not arrive.
    #[must_use]
    pub fn first_failed(&self) -> Option<&Lift> {
        self.lifts.iter().find(|lift| !lift.outcome.arrived())
    }

    /// The first lift that did not come down in its time.
    #[must_use]
    pub fn first_that_stays(&self) -> Option<&Lift> {
        self.lifts.iter().find(|lift| lift.stays_at.is_some())
    }

    /// The first lift that arrived too late.
    #[must_use]
    pub fn first_slow(&self) -> Option<&Lift> {
        self.lifts.iter().find(|lift| lift.outcome == Outcome::Slow)
    }

    /// Whether air left so cold that water in it can freeze.
    #[must_use]
    pub fn may_freeze(&self) -> bool {
        self.coldest_exhaust.is_some_and(|coldest| coldest.value < FREEZING_K)
    }
}
