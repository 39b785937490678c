//! The one list of units that a person may write.

use super::free_air::ReferenceState;

/// What kind of quantity a text or a figure is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[non_exhaustive]
pub enum Dimension {
    /// Pressure; whether gauge, absolute or a difference is said by the field. SI base: Pa.
    Pressure,
    /// Length, m.
    Length,
    /// Area, m2.
    Area,
    /// Volume, m3.
    Volume,
    /// Mass, kg.
    Mass,
    /// Force, N.
    Force,
    /// Volume flow of free air at the unit's reference state, m3/s.
    FreeAirFlow,
    /// Mass flow, kg/s. Accepted wherever a free-air flow is.
    MassFlow,
    /// A point on the temperature scale, K.
    Temperature,
    /// Time, s.
    Time,
    /// Plane angle, rad.
    Angle,
    /// Electric potential, V.
    Voltage,
    /// Electric current, A.
    Current,
    /// Electric charge, C (a battery's ampere-hours).
    Charge,
    /// Power, W.
    Power,
    /// Energy, J.
    Energy,
    /// A share: percent or a plain fraction, 1.
    Fraction,
    /// Sonic conductance C of ISO 6358, m3/(s Pa) at ANR.
    Conductance,
    /// Volume of free air, m3 ANR. For figures that are shown.
    FreeAirVolume,
    /// Events in a time, 1/s, shown per hour.
    Rate,
    /// Speed, m/s.
    Speed,
    /// A plain number without a unit.
    Number,
}

/// What a spelling says beyond its size.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mark {
    /// Nothing: `bar` and `psi` take the kind of their field, `L/min` the field's reference state.
    Plain,
    /// Marked gauge: `psig`, `bar(g)`.
    Gauge,
    /// Marked absolute: `psia`, `bar(a)`, `kPa abs`.
    Absolute,
    /// Tied to a reference state: `L/min ANR`, `NL/min`, `scfm`.
    FreeAir(ReferenceState),
}
