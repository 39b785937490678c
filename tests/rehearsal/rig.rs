//! A rig for tests, every figure of it open to change.

use lungful::Result;
use lungful::air::flow::{Conductance, Restriction};
use lungful::rehearsal::{
    AirModel, Heat, PumpSide, RegulatorSide, Rehearsal, Relief, RodSide, Schedule, Session, Settings,
    TankSide, rehearse,
};
use lungful::sizing::battery::Battery;
use lungful::sizing::compressor_fill_time::{Compressor, Delivery, Intake};
use lungful::sizing::cylinder_force::{Action, Cylinders};
use lungful::sizing::linkage::{Direct, Linkage, Profile, Travel};
use lungful::sizing::travel::Load;
use lungful::units::{AbsolutePressure, GaugePressure, pressure::pascals};
use uom::si::area::square_meter;
use uom::si::electric_charge::ampere_hour;
use uom::si::electric_current::ampere;
use uom::si::electric_potential::volt;
use uom::si::f64::{
    Area, ElectricCharge, ElectricCurrent, ElectricPotential, Force, HeatTransfer, Length, Mass, MassRate,
    Power, Pressure, Ratio, ThermalConductance, ThermodynamicTemperature, Time, Volume, VolumeRate,
};
use uom::si::force::newton;
use uom::si::heat_transfer::watt_per_square_meter_kelvin;
use uom::si::length::meter;
use uom::si::mass::kilogram;
use uom::si::mass_rate::kilogram_per_second;
use uom::si::power::watt;
use uom::si::thermal_conductance::watt_per_kelvin;
use uom::si::thermodynamic_temperature::kelvin;
use uom::si::time::second;
use uom::si::volume::cubic_meter;
use uom::si::volume_rate::cubic_meter_per_second;

/// All in SI base units; pressures gauge.
#[derive(Debug, Clone)]
pub(crate) struct Bench {
    pub(crate) atmosphere: f64,
    pub(crate) temperature: f64,
    pub(crate) air: AirModel,
    pub(crate) tank: f64,
    pub(crate) start: f64,
    /// None: none; infinite: perfect.
    pub(crate) tank_heat: f64,
    pub(crate) cylinder_heat: f64,
    pub(crate) relief: Option<(f64, f64)>,
    pub(crate) line_relief: Option<(f64, f64)>,
    pub(crate) leak: Option<(f64, f64)>,
    pub(crate) pump: Option<Compressor>,
    pub(crate) outlet: f64,
    pub(crate) battery: Option<Battery>,
    pub(crate) set: f64,
    pub(crate) droop: f64,
    pub(crate) rated: f64,
    pub(crate) raise: (f64, f64),
    pub(crate) lower: (f64, f64),
    /// Supply and exhaust of the rod side.
    pub(crate) rod_side: Option<((f64, f64), (f64, f64))>,
    pub(crate) dead: f64,
    pub(crate) drawn_out: f64,
    pub(crate) count: u32,
    pub(crate) bore: f64,
    pub(crate) rod: f64,
    pub(crate) stroke: f64,
    pub(crate) friction: f64,
    pub(crate) breakaway: f64,
    pub(crate) spring: f64,
    pub(crate) back_pressure: f64,
    pub(crate) mass: f64,
    pub(crate) moving: f64,
    pub(crate) take_up: f64,
    pub(crate) efficiency: f64,
    pub(crate) target: Option<f64>,
    pub(crate) linkage: Option<Linkage>,
    pub(crate) profile: Profile,
}

impl Default for Bench {
    /// A direct lift of 80 kg by one 50 mm cylinder from a 10 L tank.
    fn default() -> Self {
        Self {
            atmosphere: 1e5,
            temperature: 293.15,
            air: AirModel::Ideal,
            tank: 0.01,
            start: 9e5,
            tank_heat: 1.5,
            cylinder_heat: 40.0,
            relief: None,
            line_relief: None,
            leak: None,
            pump: None,
            outlet: 293.15,
            battery: None,
            set: 6e5,
            droop: 3e4,
            rated: 5e-3,
            raise: (1e-8, 0.3),
            lower: (5e-9, 0.3),
            rod_side: None,
            dead: 5e-5,
            drawn_out: 0.0,
            count: 1,
            bore: 0.05,
            rod: 0.02,
            stroke: 0.4,
            friction: 0.1,
            breakaway: 1.0,
            spring: 0.0,
            back_pressure: 0.0,
            mass: 80.0,
            moving: 5.0,
            take_up: 0.0,
            efficiency: 1.0,
            target: None,
            linkage: None,
            profile: Profile::whole(),
        }
    }
}

pub(crate) fn s(value: f64) -> Time {
    Time::new::<second>(value)
}

pub(crate) fn gauge(value: f64) -> GaugePressure {
    GaugePressure::new(pascals(value))
}

pub(crate) fn restriction((conductance, ratio): (f64, f64)) -> Restriction {
    Restriction::new(Conductance::from_si(conductance).unwrap(), Ratio::from(ratio)).unwrap()
}

/// A pump by inlet flow in m3/s, without a current.
pub(crate) fn compressor(open: f64, stall: f64, cut_in: f64, cut_out: f64) -> Compressor {
    Compressor {
        delivery: Delivery::OpenAndStall {
            open: Intake::InletVolume(VolumeRate::new::<cubic_meter_per_second>(open)),
            stall: gauge(stall),
            index: 1.2,
        },
        cut_in: gauge(cut_in),
        cut_out: gauge(cut_out),
        duty: Ratio::from(1.0),
        volts: Some(ElectricPotential::new::<volt>(24.0)),
        current: Some(vec![
            (gauge(0.0), ElectricCurrent::new::<ampere>(6.0)),
            (gauge(1e6), ElectricCurrent::new::<ampere>(11.0)),
        ]),
        max_run: None,
    }
}

pub(crate) fn battery(ampere_hours: f64, steady: f64) -> Battery {
    Battery {
        volts: ElectricPotential::new::<volt>(24.0),
        capacity: ElectricCharge::new::<ampere_hour>(ampere_hours),
        usable: Ratio::from(0.8),
        steady_load: Power::new::<watt>(steady),
        strokes_wanted: None,
    }
}

impl Bench {
    /// Builds the session and hands it to `use_`.
    pub(crate) fn with<T>(&self, use_: impl FnOnce(&Session<'_>) -> Result<T>) -> Result<T> {
        let action = if self.rod_side.is_some() { Action::Double } else { Action::Single };
        let cylinders = Cylinders {
            count: self.count,
            bore: Length::new::<meter>(self.bore),
            rod: Length::new::<meter>(self.rod),
            stroke: Length::new::<meter>(self.stroke),
            action,
            rating: gauge(1e6),
            friction: Ratio::from(self.friction),
            clearance: Volume::default(),
            return_spring: Force::new::<newton>(self.spring),
            back_pressure: Pressure::new::<uom::si::pressure::pascal>(self.back_pressure),
        };
        let load = Load {
            mass: Mass::new::<kilogram>(self.mass),
            share: Ratio::from(1.0),
            moving: Mass::new::<kilogram>(self.moving),
            lift: Length::new::<meter>(self.stroke),
            take_up: Length::new::<meter>(self.take_up),
        };
        let linkage = match self.linkage {
            Some(linkage) => linkage,
            None => Linkage::Direct(Direct::new(cylinders.stroke)?),
        };
        let travel = Travel::new(&cylinders, &load, linkage, &self.profile, Ratio::from(self.efficiency))?;
        let session = Session {
            atmosphere: AbsolutePressure::new(pascals(self.atmosphere))?,
            temperature: ThermodynamicTemperature::new::<kelvin>(self.temperature),
            air: self.air,
            tank: TankSide {
                volume: Volume::new::<cubic_meter>(self.tank),
                start: gauge(self.start),
                heat: heat(self.tank_heat, ThermalConductance::new::<watt_per_kelvin>(self.tank_heat)),
                relief: self.relief.map(relief),
                leak: self.leak.map(restriction),
            },
            pump: self.pump.as_ref().map(|compressor| PumpSide {
                compressor,
                outlet: ThermodynamicTemperature::new::<kelvin>(self.outlet),
            }),
            battery: self.battery.as_ref(),
            regulator: RegulatorSide {
                set: gauge(self.set),
                droop: pascals(self.droop),
                rated_flow: MassRate::new::<kilogram_per_second>(self.rated),
            },
            raise: restriction(self.raise),
            lower: restriction(self.lower),
            line_relief: self.line_relief.map(relief),
            rod_side: self.rod_side.map(|(supply, exhaust)| RodSide {
                supply: restriction(supply),
                exhaust: restriction(exhaust),
                start: GaugePressure::new(pascals(0.0)),
            }),
            dead: Volume::new::<cubic_meter>(self.dead),
            drawn_out: Length::new::<meter>(self.drawn_out),
            cylinders: &cylinders,
            travel: &travel,
            target: self.target.map(Length::new::<meter>),
            breakaway: Ratio::from(self.breakaway),
            cylinder_heat: heat(
                self.cylinder_heat,
                HeatTransfer::new::<watt_per_square_meter_kelvin>(self.cylinder_heat),
            ),
        };
        use_(&session)
    }

    pub(crate) fn run(&self, schedule: &Schedule, settings: &Settings) -> Result<Rehearsal> {
        self.with(|session| rehearse(session, schedule, settings))
    }

    pub(crate) fn area(&self) -> f64 {
        let area = Area::new::<square_meter>(
            f64::from(self.count) * std::f64::consts::FRAC_PI_4 * self.bore * self.bore,
        );
        area.value
    }
}

fn relief((opens, capacity): (f64, f64)) -> Relief {
    Relief { opens: gauge(opens), capacity: MassRate::new::<kilogram_per_second>(capacity) }
}

fn heat<Q>(number: f64, rate: Q) -> Heat<Q> {
    if number == 0.0 {
        Heat::None
    } else if number.is_infinite() {
        Heat::Perfect
    } else {
        Heat::Rate(rate)
    }
}
