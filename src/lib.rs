//! Lungful: how much a self-contained compressed-air lifting rig lifts at the pressure it is allowed to
//! use, how many strokes one tank fill gives, and which part is the first to fail.

pub mod air;
pub mod answers;
pub mod cli;
mod error;
pub mod formulas;
pub mod frame;
mod guard;
mod quadrature;
pub mod rehearsal;
pub mod report;
pub mod rig;
mod root;
pub mod sizing;
pub mod units;

pub use error::{Error, Misfit, Result, StopReason};
