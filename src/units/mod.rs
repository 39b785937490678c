//! Typed quantities, and the reading and showing of them.
//!
//! Units appear at the edge only: text becomes a quantity in [`parse`], a quantity becomes text in
//! [`display`]. In between travel the types of `uom`, and the two kinds of pressure and the free-air
//! types of this module.

pub mod display;
pub mod free_air;
mod lookup;
mod number;
pub mod parse;
pub mod pressure;
mod refusal;
mod si;
pub mod table;
mod tolerance;

pub use display::UnitSystem;
pub use free_air::{FreeAirFlow, FreeAirVolume, ReferenceState};
pub use parse::{Quantity, QuantityError};
pub use pressure::{AbsolutePressure, GaugePressure};
pub use table::{Dimension, Mark};
