//! Gauge and absolute pressure as types of their own.
//!
//! Taking a gauge reading for an absolute pressure is the commonest mistake of the trade, and at low
//! pressures it is wrong by a factor of two. A plain [`Pressure`] in this crate is a *difference*:
//! a droop, a stress, a rise.

use std::ops::{Add, Div, Sub};

use uom::si::f64::{Pressure, Ratio};
use uom::si::pressure::pascal;

use crate::{Result, guard};

/// A pressure above vacuum: finite and above zero. Gas laws and flow ratios take this one.
///
/// ```
/// # use lungful::units::{AbsolutePressure, pressure::pascals};
/// let tank = AbsolutePressure::new(pascals(900_000.0))?;
/// let site = AbsolutePressure::new(pascals(100_000.0))?;
/// assert_eq!(tank.to_gauge(site).above_atmosphere(), pascals(800_000.0));
/// assert!(tank > site); // like with like compares
/// # Ok::<(), lungful::Error>(())
/// ```
///
/// A gauge and an absolute pressure do not compare:
///
/// ```compile_fail,E0308
/// # use lungful::units::{AbsolutePressure, GaugePressure, pressure::pascals};
/// let tank = AbsolutePressure::new(pascals(900_000.0))?;
/// let reading = GaugePressure::new(pascals(800_000.0));
/// assert!(tank > reading); // mixed kinds do not
/// # Ok::<(), lungful::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct AbsolutePressure(Pressure);

/// A pressure above the atmosphere of the place, as a gauge shows it; below the atmosphere it is negative.
///
/// Cylinder force with a vented rod side, a regulator's set point and a vessel's rating are gauge pressures.
///
/// ```
/// # use lungful::units::{GaugePressure, pressure::pascals};
/// let set_point = GaugePressure::new(pascals(600_000.0));
/// let moving: GaugePressure = set_point - pascals(30_000.0); // gauge less a droop is gauge
/// assert_eq!(moving.above_atmosphere(), pascals(570_000.0));
/// ```
///
/// Gauge pressures have no ratio, since their zero is arbitrary; where a share of a set point is meant,
/// say so with [`GaugePressure::above_atmosphere`]:
///
/// ```compile_fail,E0369
/// # use lungful::units::{GaugePressure, pressure::pascals};
/// let set_point = GaugePressure::new(pascals(600_000.0));
/// let cut_out = GaugePressure::new(pascals(900_000.0));
/// let _ = cut_out / set_point;
/// ```
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct GaugePressure(Pressure);

/// A pressure (difference) from a number of pascals; the short form of `Pressure::new::<pascal>`.
#[must_use]
pub fn pascals(value: f64) -> Pressure {
    Pressure::new::<pascal>(value)
}

impl AbsolutePressure {
    /// An absolute pressure.
    ///
    /// # Errors
    /// [`Error::OutOfRange`](crate::Error::OutOfRange) unless `pressure` is finite and above zero.
    pub fn new(pressure: Pressure) -> Result<Self> {
        guard::positive("absolute pressure", pressure.value, "Pa")?;
        Ok(Self(pressure))
    }

    /// The pressure as a difference from vacuum.
    #[must_use]
    pub const fn above_vacuum(self) -> Pressure {
        self.0
    }

    /// The lower of two absolute pressures.
    #[must_use]
    pub fn min(self, other: Self) -> Self {
        if other < self { other } else { self }
    }

    /// The higher of two absolute pressures.
    #[must_use]
    pub fn max(self, other: Self) -> Self {
        if other > self { other } else { self }
    }

    /// This pressure raised by a difference; a negative one changes nothing.
    #[must_use]
    pub fn raised_by(self, difference: Pressure) -> Self {
        if difference.value > 0.0 { Self(self.0 + difference) } else { self }
    }

    /// What a gauge shows in the given atmosphere: `p_gauge = p_abs - p_atm`.
    #[must_use]
    pub fn to_gauge(self, atmosphere: Self) -> GaugePressure {
        GaugePressure(self.0 - atmosphere.0)
    }

    /// Number of pascals above vacuum.
    #[must_use]
    pub const fn pascals(self) -> f64 {
        self.0.value
    }
}

impl GaugePressure {
    /// A gauge pressure.
    #[must_use]
    pub const fn new(pressure: Pressure) -> Self {
        Self(pressure)
    }

    /// The pressure as a difference from the atmosphere of the place: what drives a piston whose other
    /// side is vented.
    #[must_use]
    pub const fn above_atmosphere(self) -> Pressure {
        self.0
    }

    /// The pressure above vacuum in the given atmosphere: `p_abs = p_gauge + p_atm`.
    ///
    /// # Errors
    /// [`Error::OutOfRange`](crate::Error::OutOfRange) if that is not above zero.
    pub fn to_absolute(self, atmosphere: AbsolutePressure) -> Result<AbsolutePressure> {
        AbsolutePressure::new(self.0 + atmosphere.0)
    }

    /// Number of pascals above the atmosphere.
    #[must_use]
    pub const fn pascals(self) -> f64 {
        self.0.value
    }

    /// The lower of two gauge pressures.
    #[must_use]
    pub fn min(self, other: Self) -> Self {
        if other < self { other } else { self }
    }

    /// The higher of two gauge pressures.
    #[must_use]
    pub fn max(self, other: Self) -> Self {
        if other > self { other } else { self }
    }
}

impl Sub for AbsolutePressure {
    type Output = Pressure;
    fn sub(self, other: Self) -> Pressure {
        self.0 - other.0
    }
}

/// The pressure ratio of gas laws and of flow.
impl Div for AbsolutePressure {
    type Output = Ratio;
    fn div(self, other: Self) -> Ratio {
        self.0 / other.0
    }
}

impl Sub for GaugePressure {
    type Output = Pressure;
    fn sub(self, other: Self) -> Pressure {
        self.0 - other.0
    }
}

impl Add<Pressure> for GaugePressure {
    type Output = Self;
    fn add(self, difference: Pressure) -> Self {
        Self(self.0 + difference)
    }
}

impl Sub<Pressure> for GaugePressure {
    type Output = Self;
    fn sub(self, difference: Pressure) -> Self {
        Self(self.0 - difference)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn absolute_pressure_refuses_what_cannot_be() {
        for value in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            assert!(AbsolutePressure::new(pascals(value)).is_err(), "{value}");
        }
    }

    #[test]
    fn gauge_and_absolute_are_one_atmosphere_apart() {
        let site = AbsolutePressure::new(pascals(94_000.0)).unwrap();
        let gauge = GaugePressure::new(pascals(220_000.0));
        let absolute = gauge.to_absolute(site).unwrap();
        assert_eq!(absolute.above_vacuum(), pascals(314_000.0));
        assert_eq!(absolute.to_gauge(site), gauge);
    }
}
