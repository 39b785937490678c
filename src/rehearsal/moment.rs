//! All figures of one moment, so that a reader can do them again by hand.

#![allow(clippy::indexing_slicing, reason = "arrays of fixed length, indices bounded by constants")]

use uom::si::f64::{
    Area, Length, Mass, MassRate, Power, Ratio, ThermodynamicTemperature, Time, Velocity, Volume,
};
use uom::si::{
    area::square_meter, length::meter, mass::kilogram, mass_rate::kilogram_per_second, power::watt,
    ratio::ratio, thermodynamic_temperature::kelvin, time::second, velocity::meter_per_second,
    volume::cubic_meter,
};

use super::air_law::GAS_CONSTANT;
use super::model::{Gas, Plant, Setting};
use super::state::{CAP_ENERGY, State, TANK_ENERGY, TIME, TRAVEL};
use crate::Result;
use crate::units::pressure::pascals;
use crate::units::{AbsolutePressure, GaugePressure};

/// A moment while the load moves.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moment {
    /// When it is.
    pub time: Time,
    /// Travel.
    pub travel: Length,
    /// Speed of the pistons, outward.
    pub speed: Velocity,
    /// The tank and what happens to it.
    pub tank: Side,
    /// The cap side, with its hose.
    pub cap: Side,
    /// Gauge pressure against which the pistons move on the rod side.
    pub rod: GaugePressure,
    /// Air that leaves the driven rod side.
    pub rod_goes: MassRate,
    /// Flow through the regulator.
    pub supplied: MassRate,
    /// Wall that the air of the cap side touches.
    pub cap_wall: Area,
    /// Heat capacity of the air at constant volume over its gas constant.
    pub heat_capacity: f64,
}

/// A volume of air at that moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Side {
    /// Mass of air in it.
    pub mass: Mass,
    /// Volume.
    pub volume: Volume,
    /// Pressure.
    pub pressure: AbsolutePressure,
    /// Temperature.
    pub temperature: ThermodynamicTemperature,
    /// Compressibility of the air.
    pub compressibility: Ratio,
    /// Air that comes in.
    pub comes: MassRate,
    /// Air that goes out.
    pub goes: MassRate,
    /// Heat that the air takes up.
    pub heat: Power,
    /// By how much its energy grows.
    pub growth: Power,
}

impl Plant {
    /// The figures of a state in which the pistons move.
    pub(super) fn moment(&self, setting: &Setting, state: &State, rates: &State) -> Result<Moment> {
        let view = self.view(state);
        let flows = self.flows(setting, &view, state[TRAVEL]);
        let drawn = flows.cap_in + flows.rod_in;
        let growth = |energy: usize| rates[energy] / rates[TIME];
        let side = |gas: &Gas, comes: f64, goes: f64, heat: f64, growth: f64| -> Result<Side> {
            Ok(Side {
                mass: Mass::new::<kilogram>(gas.mass),
                volume: Volume::new::<cubic_meter>(gas.volume),
                pressure: AbsolutePressure::new(pascals(gas.pressure))?,
                temperature: ThermodynamicTemperature::new::<kelvin>(gas.temperature),
                compressibility: Ratio::new::<ratio>(gas.z),
                comes: MassRate::new::<kilogram_per_second>(comes),
                goes: MassRate::new::<kilogram_per_second>(goes),
                heat: Power::new::<watt>(heat),
                growth: Power::new::<watt>(growth),
            })
        };
        let tank_out = drawn + flows.leak + flows.relief;
        let cap_out = flows.cap_out + flows.line_relief;
        let rod = view.rod.map_or(0.0, |gas| gas.pressure - self.atmosphere);
        Ok(Moment {
            time: Time::new::<second>(state[TIME]),
            travel: Length::new::<meter>(state[TRAVEL]),
            speed: Velocity::new::<meter_per_second>(rates[TRAVEL] / rates[TIME]),
            tank: side(&view.tank, flows.pump, tank_out, flows.tank_heat, growth(TANK_ENERGY))?,
            cap: side(&view.cap, flows.cap_in, cap_out, flows.cap_heat, growth(CAP_ENERGY))?,
            rod: GaugePressure::new(pascals(rod.max(self.stated_back_pressure(setting)))),
            rod_goes: MassRate::new::<kilogram_per_second>(flows.rod_out),
            supplied: MassRate::new::<kilogram_per_second>(drawn),
            cap_wall: Area::new::<square_meter>(self.cap.wall_by_travel * state[TRAVEL] + self.cap.wall),
            heat_capacity: self.air.cv / GAS_CONSTANT,
        })
    }
}
