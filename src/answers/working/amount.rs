//! A number with its kind, ready to be shown in either unit system.

use uom::si::f64::{
    ElectricCharge, ElectricPotential, Energy, Force, Length, Mass, MassDensity, MassRate, Power, Pressure,
    Ratio, ThermodynamicTemperature, Time, Volume, VolumeRate,
};

use crate::units::{AbsolutePressure, Dimension, GaugePressure};

/// Which kind of pressure a pressure is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum PressureKind {
    /// Above the atmosphere of the place.
    Gauge,
    /// Above vacuum.
    Absolute,
    /// Between two pressures: a droop, a headroom.
    Difference,
}

impl PressureKind {
    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Gauge => "gauge",
            Self::Absolute => "abs",
            Self::Difference => "difference",
        }
    }
}

/// A number in the base unit of its dimension.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Amount {
    /// The number.
    pub value: f64,
    /// What kind of quantity it is.
    pub dimension: Dimension,
    /// Which kind of pressure, for a pressure.
    pub kind: Option<PressureKind>,
}

impl Amount {
    /// A count of events in an hour.
    pub(super) const fn per_hour(value: f64) -> Self {
        Self { value, dimension: Dimension::PerHour, kind: None }
    }

    /// A volume of free air at the ANR state.
    pub(super) fn free_air(volume: Volume) -> Self {
        Self { value: volume.value, dimension: Dimension::FreeAirVolume, kind: None }
    }

    const fn pressure(value: f64, kind: PressureKind) -> Self {
        Self { value, dimension: Dimension::Pressure, kind: Some(kind) }
    }
}

impl From<GaugePressure> for Amount {
    fn from(pressure: GaugePressure) -> Self {
        Self::pressure(pressure.pascals(), PressureKind::Gauge)
    }
}

impl From<AbsolutePressure> for Amount {
    fn from(pressure: AbsolutePressure) -> Self {
        Self::pressure(pressure.pascals(), PressureKind::Absolute)
    }
}

/// A plain pressure is a difference.
impl From<Pressure> for Amount {
    fn from(pressure: Pressure) -> Self {
        Self::pressure(pressure.value, PressureKind::Difference)
    }
}

impl From<f64> for Amount {
    fn from(value: f64) -> Self {
        Self { value, dimension: Dimension::Number, kind: None }
    }
}

impl From<u32> for Amount {
    fn from(count: u32) -> Self {
        f64::from(count).into()
    }
}

macro_rules! amounts {
    ($($quantity:ty => $dimension:ident),* $(,)?) => {
        $(impl From<$quantity> for Amount {
            fn from(quantity: $quantity) -> Self {
                Self { value: quantity.value, dimension: Dimension::$dimension, kind: None }
            }
        })*
    };
}

amounts! {
    Length => Length,
    Volume => Volume,
    Mass => Mass,
    Force => Force,
    MassDensity => Density,
    MassRate => MassFlow,
    VolumeRate => FreeAirFlow,
    ThermodynamicTemperature => Temperature,
    Time => Time,
    ElectricPotential => Voltage,
    ElectricCharge => Charge,
    Power => Power,
    Energy => Energy,
    Ratio => Fraction,
}
