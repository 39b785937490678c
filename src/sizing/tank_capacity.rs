//! What a tank holds, what a stroke takes, and how many strokes one fill gives.

use uom::si::f64::{Length, MassRate, Volume};

use crate::units::GaugePressure;

/// A receiver or bottle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tank {
    /// Inside volume.
    pub volume: Volume,
    /// Highest pressure it is rated for.
    pub rating: GaugePressure,
    /// Opening pressure of its relief valve, if it has one.
    pub relief: Option<GaugePressure>,
    /// What the relief valve passes at its opening pressure, if known.
    pub relief_capacity: Option<MassRate>,
}

/// The line from the valve to the cylinders (for a double-acting set: one such line a side).
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Line {
    /// Inside diameter and total length of the hose, if given.
    pub hose: Option<Hose>,
    /// Highest pressure that hose and fittings are rated for, if known.
    pub rating: Option<GaugePressure>,
    /// Opening pressure of a second relief valve after the regulator, if there is one.
    pub relief: Option<GaugePressure>,
    /// What that relief valve passes at its opening pressure, if known.
    pub relief_capacity: Option<MassRate>,
}

/// A hose by its inside diameter and its total length.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hose {
    /// Inside diameter.
    pub bore: Length,
    /// Total length between the valve and the cylinders.
    pub length: Length,
}

/// The pressure that is left in the cylinders when the load has arrived.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum EndPressure {
    /// The valve is held open: the piston rests on its stop and the cylinders fill to the set point.
    SetPoint,
    /// The valve is closed as the load arrives: the cylinders hold what the load needs.
    Load,
}
