//! How fast a compressor fills the tank, and what rate of strokes it keeps up.

use uom::si::f64::{ElectricCurrent, ElectricPotential, MassRate, Ratio, Time, VolumeRate};

use crate::units::GaugePressure;

/// A small piston compressor with its pressure switch.
#[derive(Debug, Clone, PartialEq)]
pub struct Compressor {
    /// Delivery against pressure.
    pub delivery: Delivery,
    /// Pressure at which the switch starts the pump.
    pub cut_in: GaugePressure,
    /// Pressure at which the switch stops the pump.
    pub cut_out: GaugePressure,
    /// Share of the time for which the pump may run.
    pub duty: Ratio,
    /// Supply voltage, if known.
    pub volts: Option<ElectricPotential>,
    /// Current against tank pressure, ascending, if known.
    pub current: Option<Vec<(GaugePressure, ElectricCurrent)>>,
    /// Longest run that the pump may make, if known.
    pub max_run: Option<Time>,
}

/// How much a pump delivers at a tank pressure.
#[derive(Debug, Clone, PartialEq)]
pub enum Delivery {
    /// Measured points in ascending pressure, linear between them; constant below the first, zero above
    /// the last.
    Points(Vec<(GaugePressure, Intake)>),
    /// Open-flow delivery and the pressure at which the pump stalls at sea level.
    OpenAndStall {
        /// Delivery against no pressure.
        open: Intake,
        /// Stall pressure, gauge, at 101 325 Pa.
        stall: GaugePressure,
        /// Index of compression n.
        index: f64,
    },
}

/// What a pump takes in: a volume of the site's air (the usual case), or a mass.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Intake {
    /// Volume of the site's own air (ISO 1217).
    InletVolume(VolumeRate),
    /// Mass, independent of the site.
    Mass(MassRate),
}
