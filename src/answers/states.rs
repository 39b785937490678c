//! What each valve does in each phase, and what the load does then.

use super::check::sentence;
use super::faults::Fault;
use super::{Answers, LowerAnswer, RaiseAnswer, Sentence};
use crate::rig::{Lock, Rig, Support, Unpowered};
use crate::sizing::cylinder_force::Action;
use crate::sizing::tank_capacity::EndPressure;
use crate::units::Dimension;

/// One phase.
#[derive(Debug, Clone, PartialEq)]
pub struct State {
    /// `raise`, `hold`, `lower`, `rest`, `power off`.
    pub phase: &'static str,
    /// Raise valve.
    pub raise: &'static str,
    /// Lower valve.
    pub lower: &'static str,
    /// Lock at the cylinders.
    pub lock: &'static str,
    /// What the load does.
    pub load: Sentence,
}

/// Every phase, in the order of a cycle; without power the load does what that fault says.
pub(super) fn states(rig: &Rig, answers: &Answers, faults: &[Fault]) -> Vec<State> {
    let lock = |word| if rig.protection.lock == Lock::None { "none" } else { word };
    let rises = match answers.times.raise {
        Some(RaiseAnswer::Arrives { total, .. }) => sentence!["rises, in ", (total.value, Dimension::Time)],
        Some(RaiseAnswer::Stalls(travel)) => {
            sentence!["rises and stops at a travel of ", (travel.value, Dimension::Length)]
        }
        None => sentence!["rises; `line.raise` would tell how fast"],
    };
    // Without return air nothing pulls a leg back over straight.
    let stays_over = answers.locks_itself()
        && match answers.times.lower {
            Some(LowerAnswer::Sticks(_)) => true,
            Some(LowerAnswer::Arrives { .. }) => false,
            None => rig.cylinders.action == Action::Single,
        };
    let sinks = match answers.times.lower {
        Some(LowerAnswer::Arrives { fastest, .. }) => {
            sentence!["comes down, at up to ", (fastest.value, Dimension::Speed)]
        }
        _ if stays_over => {
            sentence!["stays over centre until the leg is pulled back over straight, then comes down"]
        }
        Some(LowerAnswer::Sticks(travel)) => {
            sentence!["may stay at a travel of ", (travel.value, Dimension::Length)]
        }
        None => sentence!["comes down; `line.lower` would tell how fast"],
    };
    let held = match (rig.protection.support, rig.cycle.end_pressure) {
        (Support::Latch, _) => sentence!["held by the latch; air only relieves it"],
        (Support::Pin, _) => sentence!["held by the pin once it is set, by air until then"],
        (Support::None, _) if answers.locks_itself() => {
            sentence!["held over centre by the leg itself; air only keeps it against its stop"]
        }
        (Support::None, EndPressure::SetPoint) => {
            sentence![
                "held against its stop by air alone, at ",
                (rig.regulator.set.pascals(), Dimension::Pressure)
            ]
        }
        (Support::None, EndPressure::Load) => {
            sentence!["held by shut-in air alone: it sinks as air leaks or cools"]
        }
    };
    let hold_raise = match rig.cycle.end_pressure {
        EndPressure::SetPoint => "open",
        EndPressure::Load => "shut",
    };
    let state = |phase, raise, lower, lock, load| State { phase, raise, lower, lock, load };
    let unpowered = |valve: Option<Unpowered>| valve.map_or("not stated", Unpowered::word);
    let (raise_off, lower_off) = (rig.protection.raise_unpowered, rig.protection.lower_unpowered);
    let lock_off = unpowered(rig.protection.lock_unpowered);
    let lost = faults.iter().find(|fault| fault.check.id == "electric power lost");
    let without_power = lost.map(|fault| fault.happens.clone()).unwrap_or_default();
    vec![
        state("raise", "open", "shut", lock("lets air in"), rises),
        state("hold", hold_raise, "shut", lock("shut"), held),
        state("lower", "shut", "open", lock("open"), sinks),
        state(
            "rest",
            "shut",
            "shut",
            lock("shut"),
            sentence!["down on its rests; the tank still holds its air"],
        ),
        state("power off", unpowered(raise_off), unpowered(lower_off), lock(lock_off), without_power),
    ]
}
