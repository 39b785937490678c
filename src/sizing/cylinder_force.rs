//! The load along the travel, and what the cylinders must give and can give.

use uom::si::f64::{Force, Length, Mass, Pressure, Ratio, Volume};

use crate::units::GaugePressure;

/// Which way the cylinders are driven by air.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Action {
    /// Air raises, the load (or a spring) lowers.
    Single,
    /// Air raises and air returns.
    Double,
}

/// A set of equal cylinders side by side.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cylinders {
    /// How many share the load.
    pub count: u32,
    /// Bore D.
    pub bore: Length,
    /// Rod diameter d, below the bore.
    pub rod: Length,
    /// Full stroke s.
    pub stroke: Length,
    /// Single or double acting.
    pub action: Action,
    /// Highest pressure the cylinders are rated for.
    pub rating: GaugePressure,
    /// Seal friction as a share of thrust, 0 to below 1.
    pub friction: Ratio,
    /// Dead volume of each cylinder's cap side.
    pub clearance: Volume,
    /// Return spring force of each cylinder at full stroke; it grows from zero in proportion.
    pub return_spring: Force,
    /// Pressure left on the rod side while raising (double acting only).
    pub back_pressure: Pressure,
}

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
