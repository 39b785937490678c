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
    /// When so much time has gone since the start of this pass of its cycle; at once if it has gone already.
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

/// Tasks that repeat.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// One cycle.
    pub cycle: Vec<Task>,
    /// How often the cycle is worked.
    pub times: u32,
}

/// All that is worked, one part after the other.
#[derive(Debug, Clone, PartialEq)]
pub struct Schedule {
    /// The parts.
    pub parts: Vec<Part>,
}

impl Part {
    fn raises(&self) -> u32 {
        let raises = self.cycle.iter().filter(|task| task.action == Action::Raise).count();
        u32::try_from(raises).unwrap_or(u32::MAX)
    }
}

impl Schedule {
    /// One cycle, worked over and over.
    #[must_use]
    pub fn repeated(cycle: Vec<Task>, times: u32) -> Self {
        Self { parts: vec![Part { cycle, times }] }
    }

    /// Passes of all cycles together.
    #[must_use]
    pub fn passes(&self) -> u32 {
        self.parts.iter().fold(0, |sum, part| sum.saturating_add(part.times))
    }

    /// Raises in it.
    #[must_use]
    pub fn lifts(&self) -> u32 {
        let raises = |part: &Part| part.raises().saturating_mul(part.times);
        self.parts.iter().fold(0, |sum, part| sum.saturating_add(raises(part)))
    }

    /// The same up to where the raise after the first `lifts` would begin.
    ///
    /// ```
    /// # use lungful::rehearsal::{Action, Part, Schedule, Task, Until};
    /// # use uom::si::{f64::Time, time::second};
    /// let task = |action| Task { action, until: Until::Elapsed(Time::new::<second>(20.0)) };
    /// let round = vec![task(Action::Raise), task(Action::Lower), task(Action::Raise), task(Action::Lower)];
    /// let cut = Schedule::repeated(round.clone(), 10).first(5);
    /// // Two rounds of two lifts, then one lift.
    /// assert_eq!(cut.parts[0], Part { cycle: round.clone(), times: 2 });
    /// assert_eq!(cut.parts[1], Part { cycle: round[..2].to_vec(), times: 1 });
    /// assert_eq!((cut.lifts(), cut.passes()), (5, 3));
    /// ```
    #[must_use]
    pub fn first(mut self, lifts: u32) -> Self {
        let mut left = lifts;
        let mut parts = Vec::new();
        for mut part in std::mem::take(&mut self.parts) {
            let raises = part.raises();
            let whole = left.checked_div(raises).unwrap_or(part.times).min(part.times);
            left -= raises * whole;
            let cut = whole < part.times;
            if whole > 0 {
                parts.push(Part { cycle: part.cycle.clone(), times: whole });
            }
            if cut {
                let mut begun = 0;
                part.cycle.retain(|task| {
                    begun += u32::from(task.action == Action::Raise);
                    begun <= left
                });
                if !part.cycle.is_empty() {
                    parts.push(Part { times: 1, ..part });
                }
                break;
            }
        }
        Self { parts }
    }

    /// Longest time that it can last.
    #[must_use]
    pub fn longest(&self) -> Time {
        let pass = |part: &Part| {
            part.cycle.iter().fold(Time::default(), |time, task| match task.until {
                Until::Elapsed(lasts) => time + lasts,
                Until::Arrived { within } | Until::Settled { within } => time + within,
                Until::CycleTime(end) => time.max(end),
            })
        };
        self.parts.iter().map(|part| pass(part) * f64::from(part.times)).fold(Time::default(), |a, b| a + b)
    }
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
    /// assert_eq!((schedule.parts[0].cycle.len(), schedule.lifts()), (4, 400));
    /// assert_eq!(schedule.longest(), s(400.0 * 72.0)); // 8 h
    /// ```
    #[must_use]
    pub fn schedule(&self) -> Schedule {
        Schedule::repeated(
            vec![
                Task { action: Action::Raise, until: Until::Arrived { within: self.raise_within } },
                Task { action: Action::Hold, until: Until::Elapsed(self.hold) },
                Task { action: Action::Lower, until: Until::Arrived { within: self.lower_within } },
                Task { action: Action::Rest, until: Until::CycleTime(self.every) },
            ],
            self.times,
        )
    }
}
