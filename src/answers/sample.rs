//! Rigs for the tests of this module. Their figures are round so that a test can be redone by hand.

use std::collections::{BTreeMap, BTreeSet};

use uom::si::f64::{
    Angle, ElectricCharge, ElectricCurrent, ElectricPotential, Force, Length, Mass, Power, Ratio,
    ThermodynamicTemperature, Time, Volume, VolumeRate,
};
use uom::si::{
    angle::degree, electric_charge::ampere_hour, electric_current::ampere, electric_potential::volt,
    force::newton, length::meter, length::millimeter, mass::kilogram, power::watt, ratio::percent,
    thermodynamic_temperature::degree_celsius, time::minute, volume::liter, volume::milliliter,
    volume_rate::liter_per_minute,
};

use crate::air::atmosphere;
use crate::rig::{AirSource, Cycle, Limits, Rig, RigLinkage, RodColumn, Site};
use crate::sizing::battery::Battery;
use crate::sizing::compressor_fill_time::{Compressor, Delivery, Intake};
use crate::sizing::cylinder_force::{Action, Cylinders};
use crate::sizing::linkage::{Direct, Linkage, Profile};
use crate::sizing::regulator_setpoint::Regulator;
use crate::sizing::rod_column::Ends;
use crate::sizing::tank_capacity::{EndPressure, Hose, Line, Tank};
use crate::sizing::travel::Load;
use crate::units::{GaugePressure, pressure::pascals};

pub(super) fn bar(value: f64) -> GaugePressure {
    GaugePressure::new(pascals(value * 1e5))
}

fn inlet(value: f64) -> Intake {
    Intake::InletVolume(VolumeRate::new::<liter_per_minute>(value))
}

fn mm(value: f64) -> Length {
    Length::new::<millimeter>(value)
}

/// Two single-acting cylinders under a hive cart at 250 m, fed by a small compressor and a battery.
pub(super) fn hive_cart() -> Rig {
    let altitude = Length::new::<meter>(250.0);
    Rig {
        title: "Hive cart".to_owned(),
        site: Site {
            atmosphere: atmosphere::pressure(altitude).unwrap(),
            altitude: Some(altitude),
            temperature: ThermodynamicTemperature::new::<degree_celsius>(25.0),
        },
        source: AirSource::Compressor(Compressor {
            delivery: Delivery::OpenAndStall { open: inlet(32.0), stall: bar(14.0), index: 1.2 },
            cut_in: bar(8.0),
            cut_out: bar(10.0),
            duty: Ratio::new::<percent>(50.0),
            volts: Some(ElectricPotential::new::<volt>(24.0)),
            current: Some(vec![
                (bar(0.0), ElectricCurrent::new::<ampere>(6.0)),
                (bar(10.0), ElectricCurrent::new::<ampere>(11.0)),
            ]),
            max_run: Some(Time::new::<minute>(10.0)),
        }),
        tank: Tank {
            volume: Volume::new::<liter>(10.0),
            rating: bar(12.0),
            relief: Some(bar(11.0)),
            relief_capacity: None,
        },
        regulator: Regulator {
            set: bar(5.5),
            droop: pascals(0.3e5),
            headroom: pascals(0.5e5),
            tolerance: Ratio::new::<percent>(5.0),
            max_inlet: Some(bar(16.0)),
            rated_flow: None,
        },
        line: Line {
            hose: Some(Hose { bore: mm(6.0), length: Length::new::<meter>(1.5) }),
            rating: Some(bar(10.0)),
            relief: None,
            relief_capacity: None,
            raise: None,
            lower: None,
        },
        cylinders: Cylinders {
            count: 2,
            bore: mm(50.0),
            rod: mm(20.0),
            stroke: mm(400.0),
            action: Action::Single,
            rating: bar(10.0),
            friction: Ratio::new::<percent>(8.0),
            clearance: Volume::new::<milliliter>(15.0),
            return_spring: Force::default(),
            back_pressure: pascals(0.2e5),
        },
        linkage: RigLinkage {
            kind: "direct",
            shape: Linkage::Direct(Direct::new(mm(400.0)).unwrap()),
            efficiency: Ratio::new::<percent>(90.0),
            profile: Profile::whole(),
        },
        load: Load {
            mass: Mass::new::<kilogram>(100.0),
            share: Ratio::new::<percent>(90.0),
            moving: Mass::new::<kilogram>(12.0),
            lift: mm(380.0),
            take_up: mm(10.0),
        },
        battery: Some(Battery {
            volts: ElectricPotential::new::<volt>(24.0),
            capacity: ElectricCharge::new::<ampere_hour>(20.0),
            usable: Ratio::new::<percent>(80.0),
            steady_load: Power::new::<watt>(10.0),
            strokes_wanted: Some(40),
        }),
        cycle: Cycle { end_pressure: EndPressure::SetPoint, strokes_wanted: Some(3), per_hour: Some(20.0) },
        limits: Limits {
            load_ratio: Ratio::new::<percent>(70.0),
            column_safety: Ratio::from(3.0),
            yield_ratio: Ratio::new::<percent>(66.0),
            stability: Ratio::from(1.5),
            dead_point: Angle::new::<degree>(5.0),
            raise_time: None,
            lower_speed: None,
            fall_speed: uom::si::f64::Velocity::new::<uom::si::velocity::millimeter_per_second>(250.0),
            stop_energy: None,
        },
        tolerances: BTreeMap::new(),
        defaults: Vec::new(),
        rod: RodColumn {
            closed_length: Some(mm(550.0)),
            ends: Ends::PinnedBoth,
            material: super::steel_grade("S355").unwrap(),
            tube: None,
        },
        frame: Vec::new(),
        base: None,
        sink_and_play: mm(0.0),
        protection: crate::rig::Protection::default(),
        given: BTreeSet::new(),
    }
}

/// Double-acting cylinders with springs, delivery by points, valve closed as the load arrives, a relief valve
/// after the regulator, tolerances.
pub(super) fn dough_tipper() -> Rig {
    let mut rig = hive_cart();
    rig.site.altitude = None;
    let AirSource::Compressor(compressor) = &mut rig.source else { return rig };
    compressor.delivery =
        Delivery::Points(vec![(bar(0.0), inlet(30.0)), (bar(4.0), inlet(22.0)), (bar(12.0), inlet(12.0))]);
    rig.cylinders.action = Action::Double;
    rig.cylinders.return_spring = Force::new::<newton>(25.0);
    rig.line.relief = Some(bar(7.0));
    rig.load.lift = mm(300.0);
    rig.cycle.end_pressure = EndPressure::Load;
    rig.cycle.per_hour = None;
    rig.tolerances.insert("line.relief", 0.3e5);
    rig
}

/// A bottle in place of the compressor, no hose, no battery, the worst cylinders for their load.
pub(super) fn stage_riser() -> Rig {
    let mut rig = hive_cart();
    rig.source = AirSource::Bottle { filled_to: bar(200.0) };
    rig.tank.volume = Volume::new::<liter>(3.0);
    rig.tank.rating = bar(230.0);
    rig.line.hose = None;
    rig.line.rating = None;
    rig.battery = None;
    rig.cylinders.rating = bar(5.0);
    rig.cylinders.bore = mm(45.0);
    rig
}
