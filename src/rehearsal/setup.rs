//! From quantities to the numbers of the model, with every input checked.

use uom::si::f64::{HeatTransfer, MassDensity, ThermalConductance};

use super::air_law::{AirLaw, GAS_CONSTANT, absolute};
use super::course::Course;
use super::model::{Delivery, Exchange, Plant, Pump, Rod, Side};
use super::session::{AirModel, Heat, Relief, Session};
use super::state::{CAP_ENERGY, CAP_MASS, ROD_ENERGY, ROD_MASS, STATES, State, TANK_ENERGY, TANK_MASS};
use crate::Result;
use crate::air::gas::Isotherm;
use crate::guard::{positive, require};
use crate::sizing::compressor_fill_time::{self, Compressor, stall_clearance};
use crate::sizing::cylinder_force::Action;

/// Where the gas equation ends, in Pa absolute.
const GAS_EQUATION_ENDS_PA: f64 = 35e6;

/// Share of the volume swept that stays when a piston is against its end.
const LEAST_DEAD_SHARE: f64 = 1e-4;

impl Session<'_> {
    /// The rig in numbers.
    pub(super) fn plant(&self) -> Result<Plant> {
        self.check()?;
        let atmosphere = self.atmosphere.pascals();
        let temperature = self.temperature.value;
        let air = match self.air {
            AirModel::Ideal => AirLaw::ideal(),
            AirModel::Real => {
                let pump = self.pump.map_or(0.0, |pump| pump.compressor.cut_out.pascals());
                let relief = self.tank.relief.map_or(0.0, |relief| 1.2 * relief.opens.pascals());
                let reached = self.tank.start.pascals().max(pump).max(self.regulator.set.pascals());
                // A margin for air that warms and a relief valve that blows, as far as the gas equation goes.
                let most = 1.05 * reached.max(relief) + atmosphere;
                let covered = most.min(GAS_EQUATION_ENDS_PA.max(reached + atmosphere));
                AirLaw::real(self.temperature, self.atmosphere, absolute(covered)?)?
            }
        };
        let cylinders = self.cylinders;
        let count = f64::from(cylinders.count);
        let stroke = cylinders.stroke.value;
        let bore = cylinders.bore.value;
        let drawn_out = self.drawn_out.value;
        let by_travel = count * std::f64::consts::PI * bore;
        // `behind` is the length behind pistons that are at the start of the travel on this side.
        let side = |area: f64, behind: f64| {
            let dead = self.dead.value.max(LEAST_DEAD_SHARE * area * stroke);
            Side {
                area,
                dead: dead + area * behind,
                wall: 2.0 * area + by_travel * behind,
                wall_by_travel: by_travel,
            }
        };
        let (cap_area, ring_area) = (cylinders.cap_area().value, cylinders.ring_area().value);
        let rod = self.rod_side.map(|paths| Rod {
            side: side(ring_area, 0.0),
            stroke: stroke - drawn_out,
            supply: paths.supply.path(),
            exhaust: paths.exhaust.path(),
            start: paths.start.pascals() + atmosphere,
        });
        let course = Course::new(self.travel);
        let end = course.end;
        Ok(Plant {
            air,
            atmosphere,
            temperature,
            tank_volume: self.tank.volume.value,
            tank_heat: tank_exchange(self.tank.heat)?,
            relief: self.tank.relief.map(|relief| relief_law(relief, atmosphere)),
            line_relief: self.line_relief.map(|relief| relief_law(relief, atmosphere)),
            leak: self.tank.leak.map(|leak| leak.law()),
            pump: self.pump.map(|pump| self.pump(pump.compressor, pump.outlet.value)).transpose()?,
            set: self.regulator.set.pascals() + atmosphere,
            droop: self.regulator.droop.value / self.regulator.rated_flow.value,
            raise: self.raise.path(),
            lower: self.lower.path(),
            rod,
            cap: side(cap_area, drawn_out),
            cylinder_heat: cylinder_exchange(self.cylinder_heat)?,
            course,
            target: self.target.map_or(end, |target| target.value.min(end)),
            friction: cylinders.friction.value,
            breakaway: self.breakaway.value,
            back_force: match cylinders.action {
                Action::Single => 0.0,
                Action::Double => ring_area * cylinders.back_pressure.value,
            },
        })
    }

    fn check(&self) -> Result<()> {
        positive("tank volume", self.tank.volume.value, "m3")?;
        positive("set point", self.regulator.set.pascals(), "Pa gauge")?;
        positive("rated flow of the regulator", self.regulator.rated_flow.value, "kg/s")?;
        positive("bore", self.cylinders.bore.value, "m")?;
        positive("stroke", self.cylinders.stroke.value, "m")?;
        positive("number of cylinders", f64::from(self.cylinders.count), "")?;
        let not_negative = |quantity, value: f64, unit| {
            require(value.is_finite() && value >= 0.0, quantity, value, unit, "finite and 0 or more")
        };
        not_negative("start pressure of the tank", self.tank.start.pascals(), "Pa gauge")?;
        not_negative("droop", self.regulator.droop.value, "Pa")?;
        not_negative("dead volume", self.dead.value, "m3")?;
        not_negative("back-pressure", self.cylinders.back_pressure.value, "Pa")?;
        let (bore, rod) = (self.cylinders.bore.value, self.cylinders.rod.value);
        require(rod >= 0.0 && rod < bore, "rod diameter", rod, "m", "0 or more and below the bore")?;
        let friction = self.cylinders.friction.value;
        require((0.0..1.0).contains(&friction), "friction", friction, "of thrust", "from 0 to below 1")?;
        let breakaway = self.breakaway.value;
        let rule = "at least 1, and times the friction below 1";
        require(
            breakaway >= 1.0 && friction * breakaway < 1.0,
            "breakaway friction",
            breakaway,
            "times that in motion",
            rule,
        )?;
        require(
            self.rod_side.is_none() || self.cylinders.action == Action::Double,
            "paths of the rod side",
            2.0,
            "given",
            "given for double-acting cylinders only",
        )?;
        if let Some(rod_side) = self.rod_side {
            not_negative("start pressure of the rod side", rod_side.start.pascals(), "Pa gauge")?;
        }
        for relief in [self.tank.relief, self.line_relief].into_iter().flatten() {
            positive("opening pressure of the relief valve", relief.opens.pascals(), "Pa gauge")?;
            positive("capacity of the relief valve", relief.capacity.value, "kg/s")?;
        }
        let (drawn_out, left) = (self.drawn_out.value, self.cylinders.stroke.value - self.travel.end().value);
        require(
            drawn_out >= 0.0 && drawn_out <= left * (1.0 + 1e-9) + 1e-9,
            "rods drawn out at the start",
            drawn_out,
            "m",
            "0 or more, with room for the travel beyond",
        )?;
        if let Some(target) = self.target {
            positive("target travel", target.value, "m")?;
        }
        if let Some(battery) = self.battery {
            positive("usable energy of the battery", battery.usable_energy().value, "J")?;
            not_negative("steady load", battery.steady_load.value, "W")?;
        }
        Ok(())
    }

    fn pump(&self, compressor: &Compressor, outlet: f64) -> Result<Pump> {
        positive("temperature of the air delivered", outlet, "K")?;
        let (cut_in, cut_out) = (compressor.cut_in.pascals(), compressor.cut_out.pascals());
        require(cut_in > 0.0 && cut_in < cut_out, "cut-in", cut_in, "Pa gauge", "above 0 and below cut-out")?;
        let inlet: MassDensity = match self.air {
            AirModel::Real => Isotherm::new(self.temperature)?.density(self.atmosphere)?,
            AirModel::Ideal => MassDensity::new::<uom::si::mass_density::kilogram_per_cubic_meter>(
                self.atmosphere.pascals() / (GAS_CONSTANT * self.temperature.value),
            ),
        };
        let delivery = match &compressor.delivery {
            compressor_fill_time::Delivery::Points(points) => Delivery::Points(
                points.iter().map(|(at, intake)| (at.pascals(), intake.mass_rate(inlet).value)).collect(),
            ),
            compressor_fill_time::Delivery::OpenAndStall { open, stall, index } => {
                positive("stall pressure", stall.pascals(), "Pa gauge")?;
                positive("index of compression", *index, "")?;
                Delivery::OpenAndStall {
                    open: open.mass_rate(inlet).value,
                    clearance: stall_clearance(*stall, *index),
                    inverse_index: 1.0 / index,
                }
            }
        };
        let power = match (compressor.volts, &compressor.current) {
            (Some(volts), Some(current)) => {
                current.iter().map(|(at, current)| (at.pascals(), (volts * *current).value)).collect()
            }
            _ => Vec::new(),
        };
        let duty = compressor.duty.value;
        require(duty > 0.0 && duty <= 1.0, "duty", duty, "", "above 0 and at most 1")?;
        let thermal = compressor.max_run.map(|run| (run.value, run.value * (1.0 - duty) / duty));
        if let Some((run, _)) = thermal {
            positive("longest run of the pump", run, "s")?;
        }
        Ok(Pump { delivery, power, cut_in, cut_out, outlet, thermal })
    }
}

impl Plant {
    /// Tank and rod side at their start, all else at the atmosphere, everything at the temperature of the site.
    pub(super) fn start(&self, tank_pressure: f64) -> State {
        #![allow(clippy::indexing_slicing, reason = "an array of fixed length")]
        let mut state = [0.0; STATES];
        let content = |pressure: f64, volume: f64| {
            let mass = self.air.density(pressure, self.temperature) * volume;
            (mass, mass * self.air.cv * self.temperature)
        };
        (state[TANK_MASS], state[TANK_ENERGY]) = content(tank_pressure, self.tank_volume);
        (state[CAP_MASS], state[CAP_ENERGY]) = content(self.atmosphere, self.cap.dead);
        (state[ROD_MASS], state[ROD_ENERGY]) = match &self.rod {
            Some(rod) => content(rod.start, rod.volume(0.0)),
            None => (1.0, 1.0),
        };
        state
    }

    /// What counts as small for each state.
    pub(super) fn scale(&self) -> State {
        #![allow(clippy::indexing_slicing, reason = "an array of fixed length")]
        // A tenth of a thousandth of what a side holds when the pistons are out and at the atmosphere.
        const SMALL: f64 = 1e-4;
        let density = self.air.density(self.atmosphere, self.temperature);
        let energy = self.air.cv * self.temperature;
        let mut scale = [1.0; STATES];
        let cap = density * (self.cap.dead + SMALL * self.cap.area * self.course.end);
        (scale[CAP_MASS], scale[CAP_ENERGY]) = (cap, cap * energy);
        if let Some(rod) = &self.rod {
            let mass = density * (rod.side.dead + SMALL * rod.side.area * self.course.end);
            (scale[ROD_MASS], scale[ROD_ENERGY]) = (mass, mass * energy);
        }
        let tank = SMALL * density * self.tank_volume;
        (scale[TANK_MASS], scale[TANK_ENERGY]) = (tank, tank * energy);
        scale[super::state::TRAVEL] = 0.01 * self.course.end;
        let work = self.cap.area * self.atmosphere * self.course.end;
        (scale[super::state::PISTON_WORK], scale[super::state::FRICTION]) = (work, work);
        scale
    }
}

/// Opening pressure, absolute, and flow by pressure above it.
fn relief_law(relief: Relief, atmosphere: f64) -> (f64, f64) {
    let opens = relief.opens.pascals();
    (opens + atmosphere, relief.capacity.value / (0.1 * opens))
}

fn tank_exchange(heat: Heat<ThermalConductance>) -> Result<Exchange> {
    exchange(match heat {
        Heat::None => Some(0.0),
        Heat::Rate(rate) => Some(rate.value),
        Heat::Perfect => None,
    })
}

fn cylinder_exchange(heat: Heat<HeatTransfer>) -> Result<Exchange> {
    exchange(match heat {
        Heat::None => Some(0.0),
        Heat::Rate(rate) => Some(rate.value),
        Heat::Perfect => None,
    })
}

fn exchange(rate: Option<f64>) -> Result<Exchange> {
    let Some(rate) = rate else { return Ok(Exchange::Perfect) };
    let rule = "finite and 0 or more";
    require(rate.is_finite() && rate >= 0.0, "rate of heat exchange", rate, "W/K or W/(m2 K)", rule)?;
    Ok(Exchange::Rate(rate))
}
