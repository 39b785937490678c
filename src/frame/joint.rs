//! Pins and welds: simple checks of the places where the parts of a rig meet.
//!
//! Each check says in a caution what it leaves out. Ratios are stress over strength; no safety factor is
//! inside unless the text says so.

mod pin;
mod weld;

pub use pin::{Pin, PinStress};
pub use weld::{FilletWeld, TubeWeld, WeldForce, correlation_factor, throat, weld_strength};
