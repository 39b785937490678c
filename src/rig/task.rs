//! What is done with the rig, task by task.

use uom::si::f64::Time;

/// What the hand on the valves does.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum RigTask {
    /// Raises the load until it has arrived.
    Raise,
    /// Holds it, all valves shut.
    Hold(Pause),
    /// Lets it down.
    Lower,
    /// Leaves the rig alone, the load down.
    Rest(Pause),
}

/// How long a hold or a rest lasts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Pause {
    /// For a time.
    For(Time),
    /// Until so much time has gone since the first task of its group; no time at all if it has gone already.
    Until(Time),
}

/// Tasks that are worked over and over: those up to a `repeat`, or those after the last one.
#[derive(Debug, Clone, PartialEq)]
pub struct TaskGroup {
    /// The tasks, in order.
    pub tasks: Vec<RigTask>,
    /// How often they are worked.
    pub times: u32,
}
