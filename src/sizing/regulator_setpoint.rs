//! The pressure window in which the regulator may be set.

use uom::si::f64::{Pressure, Ratio};

use crate::units::GaugePressure;

/// A regulator and how it is set.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Regulator {
    /// Set point, no flow.
    pub set: GaugePressure,
    /// Fall of the outlet below the set point while air flows.
    pub droop: Pressure,
    /// How far the inlet must stay above the set point.
    pub headroom: Pressure,
    /// How far above the set point the outlet may creep, as a share of it.
    pub tolerance: Ratio,
    /// Highest inlet pressure, if known.
    pub max_inlet: Option<GaugePressure>,
}
