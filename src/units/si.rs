//! SI base units by name, as JSON writes them.

use super::display::UnitSystem;
use super::table::{Dimension, PSI};

impl Dimension {
    /// The SI unit of raw numbers of this dimension.
    #[must_use]
    pub const fn si_unit(self) -> &'static str {
        match self {
            Self::Pressure | Self::Stress => "Pa",
            Self::Length => "m",
            Self::Area => "m2",
            Self::Volume | Self::FreeAirVolume => "m3",
            Self::Mass => "kg",
            Self::Density => "kg/m3",
            Self::HeatExchange => "W/K",
            Self::HeatTransfer => "W/(m2 K)",
            Self::Force => "N",
            Self::FreeAirFlow => "m3/s",
            Self::MassFlow => "kg/s",
            Self::Temperature => "K",
            Self::Time => "s",
            Self::Angle => "rad",
            Self::Voltage => "V",
            Self::Current => "A",
            Self::Charge => "C",
            Self::Power => "W",
            Self::Energy => "J",
            Self::Moment => "N m",
            Self::SecondMoment => "m4",
            Self::Stiffness => "N m2",
            Self::Conductance => "m3/(s Pa)",
            Self::Rate => "1/s",
            Self::PerHour => "1/h",
            Self::Speed => "m/s",
            Self::Fraction | Self::Number => "1",
        }
    }
}

impl UnitSystem {
    /// Step in which a set point is recommended to a reader of these units, in Pa: 0.1 bar or 1 psi.
    #[must_use]
    pub const fn pressure_step_pa(self) -> f64 {
        match self {
            Self::Metric => 10_000.0,
            Self::Us => PSI,
        }
    }
}
