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
use crate::frame::beam::Support;
use crate::frame::joint;
use crate::frame::material::Material;
use crate::frame::reinforcement::{Bond, Member, Part, Position};
use crate::frame::section::{Axis, Corners, Shape};
use crate::rig::{
    AirSource, Base, Carries, Cycle, CylinderTube, Document, FrameBeam, Limits, LinkArms, LoadSide,
    Overrides, PinForce, Rig, RigLinkage, RigPin, RigWeld, RodColumn, Site, Source, TubeLoad, WeldJoint,
};
use crate::sizing::battery::Battery;
use crate::sizing::compressor_fill_time::{Compressor, Delivery, Intake};
use crate::sizing::cylinder_force::{Action, Cylinders};
use crate::sizing::linkage::{
    self, Anchor, ArmFrom, Bracket, Direct, FoldingLeg, FoldingLegGeometry, Lever, LeverGeometry, Linkage,
    Profile, Scissor, ScissorDrive, ScissorGeometry,
};
use crate::sizing::regulator_setpoint::Regulator;
use crate::sizing::rod_column::Ends;
use crate::sizing::tank_capacity::{EndPressure, Hose, Line, Tank};
use crate::sizing::tipping::Weight;
use crate::sizing::travel::Load;
use crate::units::{GaugePressure, pressure::pascals};

pub(super) fn bar(value: f64) -> GaugePressure {
    GaugePressure::new(pascals(value * 1e5))
}

/// One cylinder of 80 mm and 100 mm under a load, as a rig file says it, and what else the file says.
#[track_caller]
pub(super) fn one_cylinder(mass: &str, lift: &str, further: &str) -> Rig {
    let text = format!(
        r#"[tank]
volume = "4 L"
rating = "300 bar"
filled-to = "200 bar"
[regulator]
set = "6 bar"
[cylinders]
count = 1
bore = "80 mm"
rod = "25 mm"
stroke = "100 mm"
action = "single"
rating = "10 bar"
[load]
mass = "{mass}"
lift = "{lift}"
{further}"#
    );
    let rig = Document::read(Some(&Source::new("rig.toml", &text)), &Overrides::none()).rig();
    rig.unwrap_or_else(|problems| panic!("{problems}"))
}

fn inlet(value: f64) -> Intake {
    Intake::InletVolume(VolumeRate::new::<liter_per_minute>(value))
}

fn mm(value: f64) -> Length {
    Length::new::<millimeter>(value)
}

fn limits() -> Limits {
    Limits {
        load_ratio: Ratio::new::<percent>(70.0),
        column_safety: Ratio::from(3.0),
        yield_ratio: Ratio::new::<percent>(66.0),
        stability: Ratio::from(1.5),
        dead_point: Angle::new::<degree>(5.0),
        raise_time: None,
        lower_speed: None,
        fall_speed: uom::si::f64::Velocity::new::<uom::si::velocity::millimeter_per_second>(250.0),
        stop_energy: None,
    }
}

fn battery() -> Battery {
    Battery {
        volts: ElectricPotential::new::<volt>(24.0),
        capacity: ElectricCharge::new::<ampere_hour>(20.0),
        usable: Ratio::new::<percent>(80.0),
        steady_load: Power::new::<watt>(10.0),
        strokes_wanted: Some(40),
    }
}

fn cycle() -> Cycle {
    Cycle {
        end_pressure: EndPressure::SetPoint,
        strokes_wanted: Some(3),
        per_hour: Some(20.0),
        rehearsal: crate::rig::RehearsalCycle::default(),
    }
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
            leak: None,
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
            lower_wide: None,
            rod_fill: None,
            rod_vent: None,
            fittings: Vec::new(),
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
        breakaway: None,
        linkage: RigLinkage {
            track: crate::rig::Track::default(),
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
        battery: Some(battery()),
        cycle: cycle(),
        tasks: Vec::new(),
        limits: limits(),
        tolerances: BTreeMap::new(),
        defaults: Vec::new(),
        rod: RodColumn {
            closed_length: Some(mm(550.0)),
            ends: Ends::PinnedBoth,
            material: super::steel_grade("S355").unwrap(),
            tube: None,
        },
        frame: Vec::new(),
        arms: None,
        pins: Vec::new(),
        welds: Vec::new(),
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

/// A lever behind one slanting cylinder set, a load that comes on over a ramp, stepped rods, a frame of several
/// beams and a base that the load leans out of.
pub(super) fn lever_tipper() -> Rig {
    lever_tipper_up_to(None)
}

/// The same with a stop for its arm.
pub(super) fn lever_tipper_up_to(end_angle: Option<Angle>) -> Rig {
    let mut rig = hive_cart();
    let geometry = LeverGeometry {
        foot_x: mm(300.0),
        foot_y: mm(-600.0),
        pin_arm: mm(400.0),
        pin_offset: degrees(0.0),
        load_arm: mm(600.0),
        start_angle: degrees(-10.0),
        end_angle,
        closed_length: Some(mm(530.0)),
        arm_mass: Mass::new::<kilogram>(10.0),
        arm_centre: mm(300.0),
        arm_centre_offset: degrees(5.0),
    };
    rig.linkage.kind = "lever";
    rig.linkage.shape = Linkage::Lever(Lever::new(&geometry, mm(400.0)).unwrap());
    rig.rod.closed_length = geometry.closed_length;
    rig.linkage.profile = Profile::ramp(mm(50.0)).unwrap();
    rig.cylinders.return_spring = Force::new::<newton>(20.0);
    rig.rod.tube = Some(CylinderTube {
        outside: mm(55.0),
        wall: mm(2.5),
        length: mm(480.0),
        material: super::steel_grade("S235").unwrap(),
    });
    rig.sink_and_play = mm(4.0);
    let tube = |width, height| Shape::RectangularTube {
        width: mm(width),
        height: mm(height),
        wall: mm(3.0),
        corners: Corners::ColdFormed,
    };
    let square = Shape::SquareTube { side: mm(50.0), wall: mm(3.0), corners: Corners::ColdFormed };
    let fork = Member::new(part("fork", square), Bond::Unjoined).unwrap();
    let lying = Part { axis: Axis::Upright, ..part("sill", tube(30.0, 50.0)) };
    let sill = Member::new(lying, Bond::Unjoined).unwrap();
    let rail = part("rail", tube(40.0, 60.0));
    let flat = part("flat", Shape::FlatBar { width: mm(40.0), height: mm(8.0) });
    let double = Member::new(rail, Bond::Welded).unwrap().with(flat, Position::OnTop).unwrap();
    let bar = Member::new(part("bar", Shape::RoundBar { diameter: mm(45.0) }), Bond::Unjoined).unwrap();
    let hollow = part("tube", Shape::SquareTube { side: mm(50.0), wall: mm(4.0), corners: Corners::Sharp });
    let core = part("core", Shape::SquareBar { side: mm(40.0) });
    let stuffed = Member::new(hollow, Bond::Unjoined).unwrap().with(core, Position::Inside).unwrap();
    let whole = Ratio::from(1.0);
    let beam = |name: &str, support, span: f64, member, at: f64, carries| FrameBeam {
        name: name.to_owned(),
        support,
        span: mm(span),
        member,
        loads: vec![(mm(at), whole)],
        carries,
        dynamic_factor: Ratio::from(1.25),
        own_weight: false,
        height_lost: whole,
    };
    let (load, push) = (Carries::Load, Carries::CylinderForce);
    let own_weight = |beam| FrameBeam { own_weight: true, ..beam };
    rig.frame = vec![
        beam("fork", Support::Cantilever, 400.0, fork, 400.0, load),
        own_weight(beam("double rail", Support::SimplySupported, 900.0, double, 450.0, load)),
        beam("cross bar", Support::SimplySupported, 500.0, bar, 180.0, push),
        own_weight(beam("stuffed tube", Support::Cantilever, 350.0, stuffed, 300.0, load)),
        beam("sill", Support::FixedBothEnds, 700.0, sill, 300.0, load),
    ];
    rig.base = Some(Base {
        width: mm(700.0),
        depth: mm(800.0),
        slope: degrees(4.0),
        side_force: Force::new::<newton>(100.0),
        side_force_height: mm(900.0),
        rig: Weight {
            mass: Mass::new::<kilogram>(150.0),
            height: mm(400.0),
            right: mm(20.0),
            front: mm(-50.0),
        },
        load: Weight {
            mass: Mass::new::<kilogram>(0.0),
            height: mm(500.0),
            right: mm(0.0),
            front: mm(430.0),
        },
        load_side: LoadSide::Front,
    });
    let weld = |name: &str, joint| RigWeld {
        name: name.to_owned(),
        joint,
        material: super::steel_grade("S235").unwrap(),
    };
    let lug = joint::FilletWeld { throat: mm(3.0), length: mm(80.0), open_ends: 2 };
    let round = joint::TubeWeld { width: mm(50.0), height: mm(50.0), throat: mm(3.0) };
    rig.welds = vec![
        weld("lug", WeldJoint::Fillet { weld: lug, force: Force::new::<newton>(4000.0) }),
        weld("root of the fork", WeldJoint::Tube { weld: round, load: TubeLoad::Root("fork".to_owned()) }),
    ];
    rig
}

/// Two folding legs that pass straight and lock, double acting.
pub(super) fn folding_riser() -> Rig {
    let mut rig = hive_cart();
    let bracket = Bracket { from_knee: mm(500.0), offset: mm(80.0) };
    let geometry = FoldingLegGeometry {
        lower_link: mm(800.0),
        upper_link: mm(760.0),
        lower_bracket: bracket,
        upper_bracket: Bracket { offset: mm(60.0), ..bracket },
        guide_offset: mm(30.0),
        start_angle: degrees(100.0),
        stop_angle: Some(degrees(183.0)),
        legs: 2,
        closed_length: Some(mm(605.0)),
        lower_mass: Mass::new::<kilogram>(4.0),
        upper_mass: Mass::new::<kilogram>(3.0),
    };
    rig.linkage.kind = "folding-leg";
    rig.linkage.shape = Linkage::FoldingLeg(FoldingLeg::new(&geometry, mm(400.0)).unwrap());
    rig.rod.closed_length = geometry.closed_length;
    rig.cylinders.action = Action::Double;
    rig.load.lift = mm(300.0);
    rig.cycle.end_pressure = EndPressure::Load;
    let (s235, s355) = (super::steel_grade("S235").unwrap(), super::steel_grade("S355").unwrap());
    rig.arms = Some(LinkArms {
        shape: Shape::FlatBar { width: mm(40.0), height: mm(10.0) },
        material: s235.clone(),
        side_by_side: 2,
    });
    let pin = |name: &str, middle: f64, plates: &Material, force| RigPin {
        name: name.to_owned(),
        joint: joint::Pin {
            diameter: mm(16.0),
            middle: mm(middle),
            outer: mm(6.0),
            gap: mm(1.0),
            pin: s355.clone(),
            plates: plates.clone(),
        },
        force,
        dynamic_factor: Ratio::from(1.2),
    };
    rig.pins = vec![
        pin("knee", 10.0, &s235, PinForce::Through { pins: vec![linkage::Pin::Knee], shared_by: 2 }),
        pin("eye", 20.0, &s355, PinForce::Given(Force::new::<newton>(3000.0))),
    ];
    rig
}

/// A scissor on a level cylinder, whose start asks most, with a load that grows lighter on its way.
pub(super) fn scissor_table() -> Rig {
    let mut rig = hive_cart();
    rig.linkage.kind = "scissor";
    rig.linkage.shape = scissor(ScissorDrive::SlidingFoot);
    let kilograms = Mass::new::<kilogram>;
    rig.linkage.profile = Profile::table(&[
        (mm(0.0), kilograms(40.0)),
        (mm(200.0), kilograms(40.0)),
        (mm(200.0), kilograms(25.0)),
    ])
    .unwrap();
    rig.load.mass = kilograms(40.0);
    rig.load.take_up = mm(0.0);
    rig
}

/// A scissor on a cylinder between base and arm.
pub(super) fn inclined_scissor() -> Rig {
    let mut rig = scissor_table();
    let foot = Anchor::Base { x: mm(850.0), y: mm(-100.0) };
    let pin = Anchor::Arm { from: ArmFrom::FixedSide, stage: 1, distance: mm(600.0), offset: mm(20.0) };
    rig.linkage.shape = scissor(ScissorDrive::Between { foot, pin });
    rig.linkage.profile = Profile::whole();
    rig
}

fn scissor(drive: ScissorDrive) -> Linkage {
    let geometry = ScissorGeometry {
        stages: 1,
        arm_length: mm(900.0),
        start_angle: degrees(20.0),
        end_angle: None,
        drive,
        closed_length: None,
        arm_mass: Mass::new::<kilogram>(3.0),
    };
    Linkage::Scissor(Scissor::new(&geometry, mm(400.0)).unwrap())
}

fn part(name: &str, shape: Shape) -> Part {
    let material = super::steel_grade("S235").unwrap();
    Part { name: name.to_owned(), shape, axis: Axis::Level, material }
}

fn degrees(value: f64) -> Angle {
    Angle::new::<degree>(value)
}
