//! A number with its kind, ready to be shown in either unit system.

use uom::si::f64::{
    Angle, Area, ElectricCharge, ElectricPotential, Energy, Force, HeatTransfer, Length, Mass, MassDensity,
    MassRate, Power, Pressure, Ratio, ThermalConductance, ThermodynamicTemperature, Time, Torque, Velocity,
    Volume, VolumeRate,
};

use crate::air::flow::Conductance;
use crate::frame::quantity::{Rigidity, SecondMoment};

use crate::units::{AbsolutePressure, Dimension, GaugePressure};

/// A number in the base unit of its dimension.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Amount {
    pub(super) value: f64,
    pub(super) dimension: Dimension,
    /// `gauge`, `abs` or `difference` for a pressure, else empty.
    pub(super) kind: &'static str,
}

impl Amount {
    /// A count of events in an hour.
    pub(super) const fn per_hour(value: f64) -> Self {
        Self { value, dimension: Dimension::PerHour, kind: "" }
    }

    /// A volume of free air at the ANR state.
    pub(super) fn free_air(volume: Volume) -> Self {
        Self { value: volume.value, dimension: Dimension::FreeAirVolume, kind: "" }
    }

    /// A stress, a strength or a modulus of elasticity.
    pub(super) fn stress(stress: Pressure) -> Self {
        Self { value: stress.value, dimension: Dimension::Stress, kind: "" }
    }

    /// An absolute pressure in Pa.
    pub(super) const fn absolute(value: f64) -> Self {
        Self::pressure(value, "abs")
    }

    /// The sonic conductance of a valve.
    pub(super) fn conductance(conductance: Conductance) -> Self {
        Self { value: conductance.si(), dimension: Dimension::Conductance, kind: "" }
    }

    const fn pressure(value: f64, kind: &'static str) -> Self {
        Self { value, dimension: Dimension::Pressure, kind }
    }
}

impl From<GaugePressure> for Amount {
    fn from(pressure: GaugePressure) -> Self {
        Self::pressure(pressure.pascals(), "gauge")
    }
}

impl From<AbsolutePressure> for Amount {
    fn from(pressure: AbsolutePressure) -> Self {
        Self::pressure(pressure.pascals(), "abs")
    }
}

/// A plain pressure is a difference.
impl From<Pressure> for Amount {
    fn from(pressure: Pressure) -> Self {
        Self::pressure(pressure.value, "difference")
    }
}

impl From<f64> for Amount {
    fn from(value: f64) -> Self {
        Self { value, dimension: Dimension::Number, kind: "" }
    }
}

impl From<Conductance> for Amount {
    fn from(conductance: Conductance) -> Self {
        Self { value: conductance.si(), dimension: Dimension::Conductance, kind: "" }
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
                Self { value: quantity.value, dimension: Dimension::$dimension, kind: "" }
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
    ThermalConductance => HeatExchange,
    HeatTransfer => HeatTransfer,
    Velocity => Speed,
    Energy => Energy,
    Ratio => Fraction,
    Angle => Angle,
    Area => Area,
    Torque => Moment,
    SecondMoment => SecondMoment,
    Rigidity => Stiffness,
}
