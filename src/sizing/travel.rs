//! The load, and the point of the travel that asks most of the cylinders.
//!
//! [`linkage::Travel`](super::linkage::Travel) follows the load along the travel.

use uom::si::acceleration::meter_per_second_squared;
use uom::si::f64::{Acceleration, Force, Length, Mass, Ratio};

use crate::units::GaugePressure;

/// Standard acceleration of free fall, m/s2. Source: 3rd CGPM (1901), exact by definition.
pub const STANDARD_GRAVITY_M_PER_S2: f64 = 9.806_65;

/// What has to be raised.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Load {
    /// Mass of the load, all of it.
    pub mass: Mass,
    /// Share of its weight that rests on the lifting points.
    pub share: Ratio,
    /// Mass of the moving parts of the rig, borne over the whole travel.
    pub moving: Mass,
    /// Height by which the load must rise.
    pub lift: Length,
    /// Free height before the load is borne.
    pub take_up: Length,
}

/// The point of the travel at which the cylinders must give most.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WorstPoint {
    /// Travel at which the force is first at its highest.
    pub travel: Length,
    /// Force needed there from all cylinders.
    pub force: Force,
    /// `F / (N A)` there.
    pub load_pressure: GaugePressure,
    /// Pressure needed there, with friction and back-pressure.
    pub needed_pressure: GaugePressure,
}

/// Standard acceleration of free fall.
#[must_use]
pub fn standard_gravity() -> Acceleration {
    Acceleration::new::<meter_per_second_squared>(STANDARD_GRAVITY_M_PER_S2)
}
