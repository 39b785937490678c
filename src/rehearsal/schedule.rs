//! What is done with the rig, and when.

use uom::si::f64::Time;

/// What the hand on the valves does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Action {
    /// Cap side to the regulator; a driven rod side is open.
    Raise,
    /// All valves closed.
    Hold,
    /// Cap side open; a driven rod side to the regulator.
    Lower,
    /// Both sides open.
    Rest,
}

/// When an action ends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Until {
    /// After a time.
    Elapsed(Time),
    /// When the travel is done: the target after a raise, the start after a lowering; at the latest after
    /// `within`.
    Arrived {
        /// The latest end.
        within: Time,
    },
    /// When besides nothing moves, each side is level with its supply or with the open (to a ten-thousandth)
    /// and its air back at the temperature of the site (to 0.1 K), that of a tank on which a side hangs below
    /// the set point included; at the latest after `within`.
    Settled {
        /// The latest end.
        within: Time,
    },
    /// When so much time has gone since the start of the cycle; at once if it has gone already.
    CycleTime(Time),
}

/// One action and its end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Task {
    /// What is done.
    pub action: Action,
    /// When it ends.
    pub until: Until,
}

/// Actions that repeat.
#[derive(Debug, Clone, PartialEq)]
pub struct Schedule {
    /// One cycle.
    pub cycle: Vec<Task>,
    /// How often the cycle is worked.
    pub times: u32,
}

/// The usual cycle: raise, hold, lower, rest.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pattern {
    /// Longest that a raise may take; the valve is closed when the load has arrived.
    pub raise_within: Time,
    /// How long the load is held.
    pub hold: Time,
    /// Longest that lowering may take.
    pub lower_within: Time,
    /// From one raise to the next.
    pub every: Time,
    /// How often.
    pub times: u32,
}

impl Pattern {
    /// The pattern as a schedule.
    ///
    /// ```
    /// # use lungful::rehearsal::{Action, Pattern};
    /// # use uom::si::{f64::Time, time::second};
    /// let s = Time::new::<second>;
    /// let day = Pattern { raise_within: s(30.0), hold: s(5.0), lower_within: s(30.0), every: s(72.0), times: 400 };
    /// let schedule = day.schedule();
    /// assert_eq!((schedule.cycle.len(), schedule.times), (4, 400)); // 400 * 72 s = 8 h
    /// assert_eq!(schedule.cycle[0].action, Action::Raise);
    /// ```
    #[must_use]
    pub fn schedule(&self) -> Schedule {
        Schedule {
            cycle: vec![
                Task { action: Action::Raise, until: Until::Arrived { within: self.raise_within } },
                Task { action: Action::Hold, until: Until::Elapsed(self.hold) },
                Task { action: Action::Lower, until: Until::Arrived { within: self.lower_within } },
                Task { action: Action::Rest, until: Until::CycleTime(self.every) },
            ],
            times: self.times,
        }
    }
}
