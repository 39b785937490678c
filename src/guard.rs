//! Private guards for the arguments of public functions.

use crate::{Error, Result};

/// Refuses anything but a finite number above zero. `value` is in the SI base unit named by `unit`.
pub(crate) fn positive(quantity: &'static str, value: f64, unit: &str) -> Result<()> {
    require(value.is_finite() && value > 0.0, quantity, value, unit, "a finite number above zero")
}

/// Refuses what breaks `requirement`.
pub(crate) fn require(
    holds: bool,
    quantity: &'static str,
    value: f64,
    unit: &str,
    requirement: &'static str,
) -> Result<()> {
    if holds {
        Ok(())
    } else {
        Err(Error::OutOfRange { quantity, value: format!("{value} {unit}"), requirement })
    }
}
