//! Closed forms, and loads that change along the travel.

use approx::assert_relative_eq;
use uom::si::angle::degree;
use uom::si::f64::{Angle, Force, Length, Mass, Pressure, Ratio, Volume};
use uom::si::force::newton;
use uom::si::length::millimeter;
use uom::si::mass::kilogram;
use uom::si::ratio::ratio;

use super::*;
use crate::sizing::cylinder_force::{Action, Cylinders};
use crate::sizing::travel::{Load, STANDARD_GRAVITY_M_PER_S2};
use crate::units::GaugePressure;
use crate::units::pressure::pascals;

pub(super) fn mm(value: f64) -> Length {
    Length::new::<millimeter>(value)
}

fn deg(value: f64) -> Angle {
    Angle::new::<degree>(value)
}

fn kg(value: f64) -> Mass {
    Mass::new::<kilogram>(value)
}

fn cylinders(stroke: f64, spring: f64) -> Cylinders {
    Cylinders {
        count: 2,
        bore: mm(50.0),
        rod: mm(20.0),
        stroke: mm(stroke),
        action: Action::Single,
        rating: GaugePressure::new(pascals(10e5)),
        friction: Ratio::new::<ratio>(0.1),
        clearance: Volume::default(),
        return_spring: Force::new::<newton>(spring),
        back_pressure: Pressure::default(),
    }
}

fn load(mass: f64, take_up: f64) -> Load {
    Load {
        mass: kg(mass),
        share: Ratio::new::<ratio>(0.8),
        moving: kg(15.0),
        lift: mm(50.0),
        take_up: mm(take_up),
    }
}

fn lever() -> LeverGeometry {
    LeverGeometry {
        foot_x: mm(300.0),
        foot_y: mm(-400.0),
        pin_arm: mm(300.0),
        pin_offset: deg(0.0),
        load_arm: mm(900.0),
        start_angle: deg(0.0),
        end_angle: None,
        closed_length: None,
        arm_mass: kg(0.0),
        arm_centre: mm(0.0),
        arm_centre_offset: deg(0.0),
    }
}

fn leg() -> FoldingLegGeometry {
    FoldingLegGeometry {
        lower_link: mm(420.0),
        upper_link: mm(380.0),
        lower_bracket: Bracket { from_knee: mm(180.0), offset: mm(0.0) },
        upper_bracket: Bracket { from_knee: mm(240.0), offset: mm(0.0) },
        guide_offset: mm(0.0),
        start_angle: deg(55.0),
        stop_angle: None,
        legs: 1,
        closed_length: None,
        lower_mass: kg(0.0),
        upper_mass: kg(0.0),
    }
}

fn scissor(drive: ScissorDrive) -> ScissorGeometry {
    ScissorGeometry {
        stages: 1,
        arm_length: mm(800.0),
        start_angle: deg(12.0),
        end_angle: None,
        drive,
        closed_length: None,
        arm_mass: kg(0.0),
    }
}

fn ratio_at(linkage: &Linkage, travel: f64) -> f64 {
    linkage.ratio(mm(travel)).value
}

#[test]
fn moments_about_the_pivot_give_the_lever_its_ratio() {
    let at_start =
        |geometry: &LeverGeometry| ratio_at(&Linkage::Lever(Lever::new(geometry, mm(100.0)).unwrap()), 0.0);
    // analytic: level lever, load arm over the distance from the pivot to the cylinder's line
    // pin between pivot and load, cylinder upright: 900 / 300
    assert_relative_eq!(at_start(&lever()), 3.0, max_relative = 1e-13);
    // cylinder leaning: foot (0, -400), pin (300, 0), line at 300 * 400 / 500 = 240 from the pivot: 900 / 240
    assert_relative_eq!(at_start(&LeverGeometry { foot_x: mm(0.0), ..lever() }), 3.75, max_relative = 1e-13);
    // load between pivot and pin: 250 / 300
    let between = LeverGeometry { load_arm: mm(250.0), ..lever() };
    assert_relative_eq!(at_start(&between), 250.0 / 300.0, max_relative = 1e-13);
    // pivot between: the pin behind it is pushed down from above, 900 / 300
    let behind = LeverGeometry { foot_x: mm(-300.0), foot_y: mm(400.0), pin_offset: deg(180.0), ..lever() };
    assert_relative_eq!(at_start(&behind), 3.0, max_relative = 1e-13);
    // bell crank: the pin right above the pivot, pushed level from the right: 900 / 300
    let crank = LeverGeometry { foot_x: mm(500.0), foot_y: mm(300.0), pin_offset: deg(90.0), ..lever() };
    assert_relative_eq!(at_start(&crank), 3.0, max_relative = 1e-13);
    // load arm at 60 degrees: its level reach is half
    let steep = LeverGeometry { start_angle: deg(60.0), pin_offset: deg(-60.0), ..lever() };
    assert_relative_eq!(at_start(&steep), 1.5, max_relative = 1e-13);
}

#[test]
fn a_lever_ends_at_its_stop_or_at_its_stroke() {
    let stopped = LeverGeometry { end_angle: Some(deg(30.0)), ..lever() };
    let free = Linkage::Lever(Lever::new(&lever(), mm(150.0)).unwrap());
    assert_relative_eq!(free.end().get::<millimeter>(), 150.0, max_relative = 1e-12);
    // analytic: pin at 300 (cos 30, sin 30) = (259.8076, 150), foot (300, -400): 551.4670 mm less 400
    let long = Linkage::Lever(Lever::new(&stopped, mm(300.0)).unwrap());
    assert_relative_eq!(long.end().get::<millimeter>(), 151.467_0, epsilon = 1e-3);
    assert_relative_eq!(long.height(mm(1e6)).get::<millimeter>(), 450.0, max_relative = 1e-12);
    assert_relative_eq!(long.angle(long.end()).unwrap().get::<degree>(), 30.0, max_relative = 1e-12);
}

#[test]
fn an_upright_lever_carries_any_mass() {
    // Pin at the end of a 300 mm arm, foot (300, -400): upright the pin stands at (0, 300) and the cylinder is
    // sqrt(300^2 + 700^2) = 761.577 mm long, so 361.577 mm further than the 400 mm of the start.
    let geometry = LeverGeometry { end_angle: Some(deg(90.0)), ..lever() };
    let linkage = Linkage::Lever(Lever::new(&geometry, mm(380.0)).unwrap());
    let (cylinders, load) = (cylinders(380.0, 0.0), load(100.0, 0.0));
    let travel =
        Travel::new(&cylinders, &load, linkage, &Profile::whole(), Ratio::new::<ratio>(1.0)).unwrap();
    let force = Force::new::<newton>(5000.0);
    // analytic: r = l cos(90 deg) = 0 but for rounding; the cylinder raises nothing there
    assert!(linkage.ratio(travel.end()).value.abs() < 1e-14);
    assert_eq!(travel.capacity_at(travel.end(), force), None);
    assert_eq!(travel.points(3, force).last().unwrap().capacity, None);
    assert!(travel.capacity_at(0.99 * travel.end(), force).is_some());
}

#[test]
fn a_folding_leg_follows_its_closed_form() {
    let leg = Linkage::FoldingLeg(FoldingLeg::new(&leg(), mm(200.0)).unwrap());
    for step in 0..=20 {
        let travel = f64::from(step) * 10.0;
        let third = leg.cylinder_length(mm(travel)).unwrap().get::<millimeter>();
        // analytic: r = (a b / H) (L / (c d)), H from the law of cosines with the knee angle of the cylinder
        let cos = (180.0_f64.powi(2) + 240.0_f64.powi(2) - third * third) / (2.0 * 180.0 * 240.0);
        let height = (420.0_f64.powi(2) + 380.0_f64.powi(2) - 2.0 * 420.0 * 380.0 * cos).sqrt();
        let expected = (420.0 * 380.0 / height) * (third / (180.0 * 240.0));
        assert_relative_eq!(ratio_at(&leg, travel), expected, max_relative = 1e-12);
        // virtual work of the top: it stands H above the foot
        let top = leg.pins(mm(travel)).iter().find(|pin| pin.0 == Pin::Top).unwrap().1;
        assert_relative_eq!(top.y.get::<millimeter>(), height, max_relative = 1e-12);
    }
}

#[test]
fn a_leg_past_straight_is_locked() {
    let inside = Bracket { from_knee: mm(200.0), offset: mm(60.0) };
    let geometry = FoldingLegGeometry {
        lower_link: mm(400.0),
        upper_link: mm(400.0),
        lower_bracket: inside,
        upper_bracket: inside,
        start_angle: deg(110.0),
        stop_angle: Some(deg(186.0)),
        ..leg()
    };
    let leg = Linkage::FoldingLeg(FoldingLeg::new(&geometry, mm(200.0)).unwrap());
    let lock = leg.over_centre().unwrap();
    assert_relative_eq!(lock.past.get::<degree>(), 6.0, max_relative = 1e-9);
    // analytic: two links of 400 mm stand 800 sin(kappa / 2) high: 800 (1 - cos(3 deg))
    let drop = 800.0 * (1.0 - 3.0_f64.to_radians().cos());
    assert_relative_eq!(lock.rise_to_unlock.get::<millimeter>(), drop, max_relative = 1e-9);
    let straight = leg.dead_points().iter().find(|point| point.name == "knee straight").copied().unwrap();
    assert_relative_eq!(straight.left.get::<degree>(), -6.0, max_relative = 1e-9);
    assert!(leg.top() < leg.end());
    assert!(leg.ratio(leg.end()).value < 0.0);
    assert_relative_eq!(leg.ratio(leg.top()).value, 0.0, epsilon = 1e-9);
    // From straight on the load comes down, so that it rises highest on the way.
    let highest = 800.0 - 800.0 * 55.0_f64.to_radians().sin();
    assert_relative_eq!(leg.height(leg.top()).get::<millimeter>(), highest, max_relative = 1e-12);
}

#[test]
fn a_step_of_the_load_counts_on_the_way_down_too() {
    let inside = Bracket { from_knee: mm(200.0), offset: mm(60.0) };
    let geometry = FoldingLegGeometry {
        lower_link: mm(400.0),
        upper_link: mm(400.0),
        lower_bracket: inside,
        upper_bracket: inside,
        start_angle: deg(110.0),
        stop_angle: Some(deg(186.0)),
        ..leg()
    };
    let linkage = Linkage::FoldingLeg(FoldingLeg::new(&geometry, mm(200.0)).unwrap());
    // The leg tops out 800 (1 - sin(55 deg)) = 144.678 mm up and comes down by 1.096 mm; the load changes half a
    // millimetre below the top.
    let rows = [(mm(0.0), kg(80.0)), (mm(144.18), kg(80.0)), (mm(144.18), kg(20.0))];
    let (cylinders, load) = (cylinders(200.0, 0.0), load(80.0, 0.0));
    let profile = Profile::table(&rows).unwrap();
    let travel = Travel::new(&cylinders, &load, linkage, &profile, Ratio::new::<ratio>(0.9)).unwrap();
    let kilograms = |at| travel.weight(at).value / STANDARD_GRAVITY_M_PER_S2;
    // analytic: 0.8 * 80 + 15 below, 0.8 * 20 + 15 above
    assert_relative_eq!(kilograms(mm(10.0)), 79.0, max_relative = 1e-12);
    assert_relative_eq!(kilograms(linkage.top()), 31.0, max_relative = 1e-12);
    assert_relative_eq!(kilograms(travel.end()), 79.0, max_relative = 1e-12);
    // The knee passes the step again when it is as far past straight as it was before it: both sides of
    // 800 sin(kappa / 2) = 800 sin(55 deg) + 144.18.
    let half = ((800.0 * 55.0_f64.to_radians().sin() + 144.18) / 800.0).asin().to_degrees();
    let knee = |at| linkage.angle(at).unwrap().get::<degree>();
    let steps = f64::from(2_000);
    let along = (0..2_000).map(|step| travel.end() * (f64::from(step) / steps));
    for at in along.filter(|at| (knee(*at) - 180.0).abs() < 15.0) {
        let light = (knee(at) - 180.0).abs() < 180.0 - 2.0 * half;
        assert_relative_eq!(kilograms(at), if light { 31.0 } else { 79.0 }, max_relative = 1e-12);
    }
    assert!(travel.work_balance().gap().value.abs() < 1e-12);
}

#[test]
fn one_stage_with_a_level_cylinder_asks_for_weight_over_tangent() {
    let cylinders = cylinders(150.0, 0.0);
    let load = load(100.0, 0.0);
    for stages in 1..=3 {
        let geometry = ScissorGeometry { stages, ..scissor(ScissorDrive::SlidingFoot) };
        let linkage = Linkage::Scissor(Scissor::new(&geometry, mm(150.0)).unwrap());
        let travel =
            Travel::new(&cylinders, &load, linkage, &Profile::whole(), Ratio::new::<ratio>(1.0)).unwrap();
        for x in [0.0, 37.0, 90.0, 150.0] {
            // analytic: the sliding foot stands at a cos(theta) = 800 cos(12 deg) - x; virtual work of n stages
            // gives F = n W / tan(theta), W = (0.8 * 100 + 15) g
            let theta = ((800.0 * 12.0_f64.to_radians().cos() - x) / 800.0).acos();
            let weight = 95.0 * STANDARD_GRAVITY_M_PER_S2;
            let expected = f64::from(stages) * weight / theta.tan();
            assert_relative_eq!(travel.force(mm(x)).value, expected, max_relative = 1e-12);
        }
        assert_eq!(travel.worst().travel, mm(0.0));
    }
}

#[test]
fn a_cylinder_between_arms_follows_its_closed_form() {
    let top_end = Anchor::Arm { from: ArmFrom::SlidingSide, stage: 1, distance: mm(800.0), offset: mm(0.0) };
    let foot = Anchor::Base { x: mm(0.0), y: mm(0.0) };
    let upright = scissor(ScissorDrive::Between { foot, pin: top_end });
    let linkage = Linkage::Scissor(Scissor::new(&upright, mm(160.0)).unwrap());
    // analytic: from the fixed foot to the end right above it the cylinder is the height: r = 1
    for x in [0.0, 111.0, 160.0] {
        assert_relative_eq!(ratio_at(&linkage, x), 1.0, max_relative = 1e-12);
        assert_relative_eq!(linkage.height(mm(x)).get::<millimeter>(), x, epsilon = 1e-9);
    }
    // analytic: pin at distance s on that arm, L^2 = (a - s)^2 cos^2 + s^2 sin^2, so that
    // r = n a cos / (dL/dtheta) = n L / ((2 s - a) sin)
    let part_way = Anchor::Arm { from: ArmFrom::SlidingSide, stage: 1, distance: mm(600.0), offset: mm(0.0) };
    let geometry = ScissorGeometry { stages: 2, ..scissor(ScissorDrive::Between { foot, pin: part_way }) };
    let linkage = Linkage::Scissor(Scissor::new(&geometry, mm(200.0)).unwrap());
    for x in [0.0, 60.0, 200.0] {
        let theta = linkage.angle(mm(x)).unwrap().value;
        let third = (200.0 * theta.cos()).hypot(600.0 * theta.sin());
        assert_relative_eq!(linkage.cylinder_length(mm(x)).unwrap().value * 1e3, third, max_relative = 1e-12);
        assert_relative_eq!(ratio_at(&linkage, x), 2.0 * third / (400.0 * theta.sin()), max_relative = 1e-12);
    }
}

#[test]
fn forces_of_a_symmetric_stage_are_those_found_by_hand() {
    let linkage = Linkage::Scissor(Scissor::new(&scissor(ScissorDrive::SlidingFoot), mm(150.0)).unwrap());
    let (cylinders, load) = (cylinders(150.0, 0.0), load(100.0, 0.0));
    let travel =
        Travel::new(&cylinders, &load, linkage, &Profile::whole(), Ratio::new::<ratio>(1.0)).unwrap();
    let weight = 95.0 * STANDARD_GRAVITY_M_PER_S2;
    for point in travel.points(7, Force::default()) {
        let through = |pin| point.reactions.iter().find(|reaction| reaction.pin == pin).unwrap().force;
        // analytic: by symmetry the feet carry half the weight each, and moments of an arm about its centre
        // give the centre pin the whole cylinder force, level
        assert_relative_eq!(through(Pin::SlidingFoot).x.value, 0.0, epsilon = 1e-9 * weight);
        assert_relative_eq!(through(Pin::SlidingFoot).y.value, 0.5 * weight, max_relative = 1e-9);
        assert_relative_eq!(through(Pin::FixedFoot).y.value, 0.5 * weight, max_relative = 1e-9);
        assert_relative_eq!(through(Pin::Centre(1)).x.value, -point.force.value, max_relative = 1e-9);
        assert_relative_eq!(through(Pin::Centre(1)).y.value, 0.0, epsilon = 1e-9 * weight);
    }
}

#[test]
fn a_direct_push_follows_its_formula() {
    for (spring, take_up) in [(0.0, 0.0), (0.0, 20.0), (25.0, 20.0)] {
        let (cylinders, load) = (cylinders(400.0, spring), load(120.0, take_up));
        let linkage = Linkage::Direct(Direct::new(cylinders.stroke).unwrap());
        let efficiency = Ratio::new::<ratio>(0.9);
        let travel = Travel::new(&cylinders, &load, linkage, &Profile::whole(), efficiency).unwrap();
        // analytic: (share * mass * borne + moving) g / eta + N F_s x / s
        let by_hand = |x: f64| {
            let borne = if x < take_up { 0.0 } else { load.share.value * load.mass.value };
            let springs = f64::from(cylinders.count) * cylinders.return_spring.value * x / 400.0;
            (borne + load.moving.value) * STANDARD_GRAVITY_M_PER_S2 / 0.9 + springs
        };
        for x in [0.0, 19.9, 20.0, 133.0, 400.0] {
            assert_relative_eq!(travel.force(mm(x)).value, by_hand(x), max_relative = 1e-12);
            assert_eq!(travel.height(mm(x)), mm(x));
        }
        let worst = travel.worst();
        let at = if spring > 0.0 { 400.0 } else { take_up };
        assert_eq!(worst.travel, mm(at));
        assert_relative_eq!(worst.force.value, by_hand(400.0), max_relative = 1e-12);
        // The mass found for that force is the load itself; a force below the moving parts lifts none.
        assert_relative_eq!(travel.load_for(worst.force).value, load.mass.value, max_relative = 1e-12);
        assert_eq!(travel.load_for(Force::new::<newton>(10.0)), Mass::default());
        // Straight on each stretch, and so nowhere above the higher end.
        let demand = travel.demand_spans(cylinders.stroke);
        assert_eq!(demand.len(), if take_up > 0.0 { 2 } else { 1 });
        assert!(demand.iter().all(|span| span.above.value == 0.0));
        assert_eq!(demand.last().unwrap().to.travel, cylinders.stroke);
    }
}

#[test]
fn the_worst_point_counts_steps_corners_and_tops_between() {
    let (cylinders, load) = (cylinders(400.0, 0.0), load(100.0, 30.0));
    let linkage = Linkage::Direct(Direct::new(cylinders.stroke).unwrap());
    let one = Ratio::new::<ratio>(1.0);
    let worst = |profile: &Profile| Travel::new(&cylinders, &load, linkage, profile, one).unwrap().worst();
    // Set down half way: the whole load up to 30 + 200 mm, then a quarter of it.
    let rows = [(mm(0.0), kg(40.0)), (mm(200.0), kg(80.0)), (mm(200.0), kg(20.0))];
    let step_down = worst(&Profile::table(&rows).unwrap());
    assert_relative_eq!(step_down.travel.get::<millimeter>(), 230.0, max_relative = 1e-12);
    // analytic: (0.8 * 100 + 15) g just before the step
    assert_relative_eq!(step_down.force.value, 95.0 * STANDARD_GRAVITY_M_PER_S2, max_relative = 1e-12);
    // A ramp is whole at 30 + 120 mm.
    let ramp = worst(&Profile::ramp(mm(120.0)).unwrap());
    assert_relative_eq!(ramp.travel.get::<millimeter>(), 150.0, max_relative = 1e-9);

    // The reach of the load is greatest level, the moment arm of the cylinder's line falls before and after:
    // the force has its top on the way. Compared with a fine search of the moment balance F = W reach / arm.
    let geometry =
        LeverGeometry { foot_x: mm(100.0), foot_y: mm(-600.0), start_angle: deg(-35.0), ..lever() };
    let linkage = Linkage::Lever(Lever::new(&geometry, mm(390.0)).unwrap());
    let no_take_up = self::load(100.0, 0.0);
    let travel = Travel::new(&cylinders, &no_take_up, linkage, &Profile::whole(), one).unwrap();
    let (p, foot, l) = (0.3_f64, (0.1_f64, -0.6_f64), 0.9_f64);
    let fine = (0..=200_000).map(|step| {
        let theta = -35.0_f64.to_radians() + f64::from(step) * 1e-5;
        let pin = (p * theta.cos(), p * theta.sin());
        let third = (pin.0 - foot.0).hypot(pin.1 - foot.1);
        let arm = (foot.0 * pin.1 - foot.1 * pin.0) / third;
        (l * theta.cos() / arm, third)
    });
    let start = linkage.cylinder_length(mm(0.0)).unwrap().value;
    let end = start + linkage.end().value;
    let top = fine.filter(|&(_, third)| third <= end).map(|found| found.0).fold(0.0, f64::max);
    let worst = travel.worst();
    assert!(worst.travel > mm(100.0) && worst.travel < mm(350.0));
    assert_relative_eq!(worst.force.value, 95.0 * STANDARD_GRAVITY_M_PER_S2 * top, max_relative = 1e-9);
}

#[test]
fn links_are_raised_with_the_load() {
    let geometry = ScissorGeometry { stages: 2, arm_mass: kg(6.0), ..scissor(ScissorDrive::SlidingFoot) };
    let linkage = Linkage::Scissor(Scissor::new(&geometry, mm(150.0)).unwrap());
    let (cylinders, load) = (cylinders(150.0, 0.0), load(0.0, 0.0));
    let travel =
        Travel::new(&cylinders, &load, linkage, &Profile::whole(), Ratio::new::<ratio>(0.5)).unwrap();
    // analytic: four arms of 6 kg, centres at 1/2 and 3/2 of a stage: 12 kg (1/2 + 3/2) = 24 kg a stage height,
    // and 15 kg at two stage heights; each stage height has the ratio 1 / tan(theta); efficiency one half
    let expected = (24.0 + 30.0) * STANDARD_GRAVITY_M_PER_S2 / 12.0_f64.to_radians().tan() / 0.5;
    assert_relative_eq!(travel.force(mm(0.0)).value, expected, max_relative = 1e-12);
}

#[test]
fn the_energy_at_the_stop_is_what_the_work_leaves() {
    let (cylinders, load) = (cylinders(400.0, 50.0), load(100.0, 100.0));
    let linkage = Linkage::Direct(Direct::new(cylinders.stroke).unwrap());
    let travel =
        Travel::new(&cylinders, &load, linkage, &Profile::whole(), Ratio::new::<ratio>(0.8)).unwrap();
    let force = Force::new::<newton>(1500.0);
    // analytic: 1500 * 0.4 - ((15 * 0.4 + 80 * 0.3) g / 0.8 + 100 * 0.4 / 2)
    let expected = 600.0 - (30.0 * STANDARD_GRAVITY_M_PER_S2 / 0.8 + 20.0);
    assert_relative_eq!(travel.energy_at_stop(force).value, expected, max_relative = 1e-12);
    assert_eq!(travel.energy_at_stop(Force::new::<newton>(100.0)), uom::si::f64::Energy::default());
    // analytic: at the end 95 g / 0.8 + 100
    let spare = 1500.0 - 95.0 * STANDARD_GRAVITY_M_PER_S2 / 0.8 - 100.0;
    assert_relative_eq!(travel.spare_at_end(force).value, spare, max_relative = 1e-12);
}

#[test]
fn a_span_knows_the_need_within() {
    let linkage = Linkage::Scissor(Scissor::new(&scissor(ScissorDrive::SlidingFoot), mm(150.0)).unwrap());
    let (cylinders, load) = (cylinders(150.0, 0.0), load(100.0, 0.0));
    let travel =
        Travel::new(&cylinders, &load, linkage, &Profile::whole(), Ratio::new::<ratio>(1.0)).unwrap();
    let spans = travel.demand_spans(mm(100.3));
    assert_eq!(spans.first().unwrap().from.travel, mm(0.0));
    assert_relative_eq!(spans.last().unwrap().to.travel.value, 0.1003, max_relative = 1e-12);
    for pair in spans.windows(2) {
        assert_eq!(pair[0].to, pair[1].from);
    }
    for span in spans {
        let middle = 0.5 * (span.from.travel + span.to.travel);
        assert_eq!(travel.need_by_law(span.law, middle), travel.needed_pressure(middle));
    }
}

#[test]
fn links_are_under_thrust() {
    let linkage =
        Linkage::FoldingLeg(FoldingLeg::new(&FoldingLegGeometry { legs: 2, ..leg() }, mm(200.0)).unwrap());
    let (cylinders, load) = (cylinders(200.0, 0.0), load(100.0, 0.0));
    let travel =
        Travel::new(&cylinders, &load, linkage, &Profile::whole(), Ratio::new::<ratio>(1.0)).unwrap();
    let struts = travel.struts(mm(0.0));
    let of = |member| struts.iter().find(|strut| strut.member == member).unwrap();
    assert_relative_eq!(of(Member::LowerLink).length.get::<millimeter>(), 420.0, max_relative = 1e-12);
    assert_relative_eq!(of(Member::UpperLink).length.get::<millimeter>(), 380.0, max_relative = 1e-12);
    // analytic: two legs share the cylinders' force
    let half = 0.5 * travel.force(mm(0.0)).value;
    assert_relative_eq!(of(Member::Cylinder).thrust.value, half, max_relative = 1e-12);
    // analytic: from foot to bracket the link carries half the weight along its slope; the foot stands at
    // angle alpha under the top, sin(alpha) = b sin(55 deg) / H
    let height = travel.linkage().pins(mm(0.0)).iter().find(|pin| pin.0 == Pin::Top).unwrap().1.y.value;
    let sine = 0.38 * 55.0_f64.to_radians().sin() / height;
    let along = 0.5 * 95.0 * STANDARD_GRAVITY_M_PER_S2 * (1.0 - sine * sine).sqrt();
    // analytic: from bracket to knee it carries the knee force along its slope instead
    let point = travel.points(1, Force::default()).remove(0);
    let knee = point.reactions.iter().find(|reaction| reaction.pin == Pin::Knee).unwrap().force;
    let pins = travel.linkage().pins(mm(0.0));
    let knee_at = pins.iter().find(|pin| pin.0 == Pin::Knee).unwrap().1;
    let above = (knee.x.value * knee_at.x.value + knee.y.value * knee_at.y.value) / 0.42;
    assert!(above < along);
    assert_relative_eq!(of(Member::LowerLink).thrust.value, along, max_relative = 1e-12);
    // The upper link is pressed most at its top, by the load and the guide.
    let top = point.reactions.iter().find(|reaction| reaction.pin == Pin::Top).unwrap().force;
    let top_at = pins.iter().find(|pin| pin.0 == Pin::Top).unwrap().1;
    let slope = ((top_at.x - knee_at.x).value / 0.38, (top_at.y - knee_at.y).value / 0.38);
    let pressed = -(top.x.value * slope.0 + top.y.value * slope.1);
    assert_relative_eq!(of(Member::UpperLink).thrust.value, pressed, max_relative = 1e-12);
}

/// Force through a pin from the frictionless ones at a point: the push of the cylinders grows by `1/eta - 1`, and
/// what holds a lever or a leg against it, foot and pivot, takes that along the cylinder; a scissor bears more in
/// all.
fn with_friction(point: &TravelPoint, pin: Pin, efficiency: f64) -> f64 {
    let of = |pin| {
        point.reactions.iter().find(|one| one.pin == pin).map(|one| (one.force.x.value, one.force.y.value))
    };
    let (x, y) = of(pin).unwrap();
    // On the cylinder from its foot, and so the push on the other end.
    let (push_x, push_y) = of(Pin::CylinderFoot).unwrap();
    let more = 1.0 / efficiency - 1.0;
    let on_a_scissor = of(Pin::PlatformPin).is_some();
    match pin {
        Pin::Pivot | Pin::Knee => (x - more * push_x).hypot(y - more * push_y),
        Pin::PlatformPin | Pin::PlatformRoller | Pin::LoadPoint => x.hypot(y),
        Pin::Foot | Pin::Top if !on_a_scissor => x.hypot(y),
        _ => x.hypot(y) / efficiency,
    }
}

#[test]
fn the_greatest_forces_are_those_of_a_fine_sweep() {
    let linkages = [
        Linkage::Lever(Lever::new(&LeverGeometry { arm_mass: kg(5.0), ..lever() }, mm(150.0)).unwrap()),
        Linkage::FoldingLeg(FoldingLeg::new(&FoldingLegGeometry { legs: 2, ..leg() }, mm(200.0)).unwrap()),
        Linkage::Scissor(
            Scissor::new(&ScissorGeometry { stages: 2, ..scissor(ScissorDrive::SlidingFoot) }, mm(200.0))
                .unwrap(),
        ),
        Linkage::Direct(Direct::new(mm(200.0)).unwrap()),
    ];
    let (cylinders, load) = (cylinders(200.0, 30.0), load(100.0, 20.0));
    for linkage in linkages {
        let travel =
            Travel::new(&cylinders, &load, linkage, &Profile::whole(), Ratio::new::<ratio>(0.8)).unwrap();
        let sweep = travel.points(20_001, Force::default());
        for pin in travel.loaded_pins() {
            // Brute force over 20001 points. Just after the take-up a point may lie a step late.
            let most = sweep.iter().map(|point| with_friction(point, pin, 0.8)).fold(0.0, f64::max);
            let worst = travel.worst_through(&[pin]).unwrap();
            assert_relative_eq!(worst.force.value, most, max_relative = 2e-4);
            assert!(worst.force.value >= most * (1.0 - 1e-7), "{pin}");
        }
        let whole = Ratio::new::<ratio>(1.0);
        let frictionless = Travel::new(&cylinders, &load, linkage, &Profile::whole(), whole).unwrap();
        for strut in frictionless.worst_struts() {
            let thrusts =
                (0..=2000).flat_map(|step| travel.struts(travel.end() * (f64::from(step) / 2000.0)));
            let most = thrusts
                .filter(|one| one.member == strut.member)
                .fold(0.0_f64, |most, one| most.max(one.thrust.value));
            // A thrust between two of 17 places may be missed by the square of half a step.
            assert_relative_eq!(strut.thrust.value, most, max_relative = 2e-3);
        }
        for (strut, without) in travel.worst_struts().iter().zip(frictionless.worst_struts()) {
            assert!(strut.thrust >= without.thrust, "{strut:?}");
        }
        // Two legs share the thrust of the cylinders.
        let on_stop = travel.through_on_stop(&[Pin::Knee, Pin::CylinderPin], Force::new::<newton>(1000.0));
        let share = if matches!(linkage, Linkage::FoldingLeg(_)) { 500.0 } else { 1000.0 };
        assert_relative_eq!(on_stop.unwrap().force.value, share, max_relative = 1e-12);
        assert_eq!(travel.through_on_stop(&[Pin::Knee, Pin::Pivot], Force::new::<newton>(1000.0)), None);
        let heaviest = sweep.iter().map(|point| travel.weight(point.travel).value).fold(0.0, f64::max);
        assert_relative_eq!(travel.heaviest().value, heaviest, max_relative = 1e-12);
    }
}

#[test]
fn a_pin_that_is_not_there_bears_nothing() {
    let linkage = Linkage::Direct(Direct::new(mm(200.0)).unwrap());
    let (cylinders, load) = (cylinders(200.0, 0.0), load(100.0, 0.0));
    let whole = Ratio::new::<ratio>(1.0);
    let travel = Travel::new(&cylinders, &load, linkage, &Profile::whole(), whole).unwrap();
    assert_eq!(travel.worst_through(&[Pin::Knee]), None);
    assert_eq!(travel.loaded_pins(), [Pin::CylinderFoot, Pin::CylinderPin]);
}

#[track_caller]
fn refused<T: std::fmt::Debug>(result: crate::Result<T>, said: &str) {
    let error = result.unwrap_err().to_string();
    assert!(error.contains(said), "{error}");
}

#[test]
fn a_lever_that_cannot_be_is_refused_with_what_would_fit() {
    let make = |geometry: LeverGeometry, stroke: f64| Lever::new(&geometry, mm(stroke));
    refused(
        make(LeverGeometry { foot_y: mm(400.0), ..lever() }, 100.0),
        "foot-y is 400 mm: a longer cylinder would turn the load arm down; lower the foot below the line through \
         pivot and pin (`foot-y` at most -60 mm at this `foot-x`, to stay well clear of it)",
    );
    refused(make(LeverGeometry { foot_y: mm(0.0), ..lever() }, 100.0), "in one line");
    refused(
        make(LeverGeometry { pin_offset: deg(90.0), foot_x: mm(-300.0), ..lever() }, 100.0),
        "move the foot to the load's side",
    );
    refused(
        make(LeverGeometry { closed_length: Some(mm(450.0)), ..lever() }, 100.0),
        "closed-length is 450 mm: at the start only 400 mm lie between the cylinder's pins; set the pins 50 mm \
         further apart",
    );
    // analytic: foot at (0, -400), pin arm 300: in line at 700 mm, from 500 mm at the start
    refused(
        make(LeverGeometry { foot_x: mm(0.0), ..lever() }, 210.0),
        "it opens the cylinder to 710 mm, but foot, pivot and pin are in one line at 700 mm; use at most 199.9 mm",
    );
    // analytic: upright, the pin at (0, 300) is hypot(300, 700) = 761.577 mm from the foot, 361.577 of travel
    refused(make(lever(), 380.0), "past upright, where the load comes down; use at most 361.5 mm of stroke");
    refused(
        make(LeverGeometry { end_angle: Some(deg(-5.0)), ..lever() }, 100.0),
        "the load arm starts at 0 deg",
    );
    refused(make(LeverGeometry { end_angle: Some(deg(95.0)), ..lever() }, 100.0), "end-angle is 95 deg");
    refused(make(LeverGeometry { start_angle: deg(120.0), ..lever() }, 100.0), "start-angle is 120 deg");
    refused(make(LeverGeometry { pin_arm: mm(0.0), ..lever() }, 100.0), "pin-arm is 0 mm");
    refused(make(LeverGeometry { load_arm: mm(f64::NAN), ..lever() }, 100.0), "load-arm is -");
    refused(make(lever(), -3.0), "stroke is -3 mm");
}

#[test]
fn a_leg_that_cannot_be_is_refused_with_what_would_fit() {
    let make = |geometry: FoldingLegGeometry, stroke: f64| FoldingLeg::new(&geometry, mm(stroke));
    // analytic: brackets at 180 and 240 mm are in line with the knee at 420 mm; at 120 deg they are
    // sqrt(180^2 + 240^2 + 180 * 240) = 364.966 mm apart
    refused(
        make(FoldingLegGeometry { start_angle: deg(120.0), ..leg() }, 100.0),
        "it opens the cylinder to 465 mm, but it is in line with the knee at 420 mm; use at most 55.03 mm",
    );
    refused(make(FoldingLegGeometry { guide_offset: mm(600.0), ..leg() }, 100.0), "guide-offset is 600 mm");
    let outside = Bracket { from_knee: mm(100.0), offset: mm(-150.0) };
    refused(
        make(
            FoldingLegGeometry {
                lower_bracket: outside,
                upper_bracket: outside,
                start_angle: deg(90.0),
                ..leg()
            },
            100.0,
        ),
        "a longer cylinder folds the leg",
    );
    let inside = Bracket { from_knee: mm(100.0), offset: mm(150.0) };
    refused(
        make(FoldingLegGeometry { lower_bracket: inside, upper_bracket: inside, ..leg() }, 100.0),
        "meet or cross",
    );
    refused(make(FoldingLegGeometry { legs: 0, ..leg() }, 100.0), "legs is 0");
    refused(
        make(FoldingLegGeometry { stop_angle: Some(deg(50.0)), ..leg() }, 100.0),
        "the knee starts at 55 deg",
    );
    refused(
        make(FoldingLegGeometry { stop_angle: Some(deg(230.0)), ..leg() }, 100.0),
        "stop-angle is 230 deg",
    );
    refused(make(FoldingLegGeometry { start_angle: deg(185.0), ..leg() }, 100.0), "start-angle is 185 deg");
}

#[test]
fn a_scissor_that_cannot_be_is_refused_with_what_would_fit() {
    let make = |geometry: ScissorGeometry, stroke: f64| Scissor::new(&geometry, mm(stroke));
    let level = scissor(ScissorDrive::SlidingFoot);
    // analytic: 800 cos(12 deg) = 782.5 mm until the arms stand upright
    refused(make(level, 790.0), "the arms stand upright after 782.4 mm of travel");
    refused(make(ScissorGeometry { start_angle: deg(0.0), ..level }, 10.0), "start-angle is 0 deg");
    refused(make(ScissorGeometry { end_angle: Some(deg(10.0)), ..level }, 10.0), "the arms start at 12 deg");
    refused(make(ScissorGeometry { end_angle: Some(deg(90.0)), ..level }, 10.0), "end-angle is 90 deg");
    refused(make(ScissorGeometry { stages: 0, ..level }, 10.0), "stages is 0");
    let foot = Anchor::Base { x: mm(0.0), y: mm(0.0) };
    let on = |stage, distance| {
        let pin = Anchor::Arm { from: ArmFrom::SlidingSide, stage, distance: mm(distance), offset: mm(0.0) };
        scissor(ScissorDrive::Between { foot, pin })
    };
    // analytic: below mid arm, L^2 = (a - s)^2 cos^2 + s^2 sin^2 falls as the platform rises
    refused(make(on(1, 200.0), 10.0), "the cylinder would lower it");
    refused(make(on(1, 400.0), 10.0), "hardly moves with the arms");
    refused(make(on(2, 600.0), 10.0), "cylinder-pin is stage 2: the scissor has 1");
    refused(make(on(1, 900.0), 10.0), "cylinder-pin is 900 mm: the arm is only 800 mm long");
    let nowhere = ScissorDrive::Between { foot, pin: foot };
    refused(make(scissor(nowhere), 10.0), "the two ends of the cylinder meet");
}

#[test]
fn a_stop_that_the_stroke_does_not_reach_is_refused() {
    // analytic: the stop at 30 deg is met at 551.467 - 400 = 151.467 mm. Foot and pin lie 500 and 300 mm from the
    // pivot; 400 mm apart they subtend acos(0.6) = 53.130 deg there, 500 mm apart acos(0.3) = 72.542 deg.
    let stopped = LeverGeometry { end_angle: Some(deg(30.0)), ..lever() };
    refused(
        Lever::new(&stopped, mm(100.0)),
        "end-angle is 30 deg: the stroke of 100 mm ends with the load arm at 19.41 deg; the stop takes 151.5 mm of \
         stroke; take a stroke of at least 151.5 mm, or set the stop at 19.41 deg or below, or delete it",
    );
    assert!(Lever::new(&stopped, mm(151.5)).is_ok());
    // analytic: foot (0, -400) and pin arm 300 are in line when the arm is upright; the stop at 89.999 deg lies
    // within the hair before that
    let behind = LeverGeometry { foot_x: mm(0.0), end_angle: Some(deg(89.999)), ..lever() };
    refused(
        Lever::new(&behind, mm(100.0)),
        "foot, pivot and pin are in one line; set the stop below 89.99 deg",
    );

    // analytic: at 150 deg the brackets are sqrt(180^2 + 240^2 + 2 * 180 * 240 cos(30 deg)) = 405.986 mm apart, at
    // 120 deg 364.966 mm: 41.020 mm of stroke
    let stopped = FoldingLegGeometry { start_angle: deg(120.0), stop_angle: Some(deg(150.0)), ..leg() };
    refused(
        FoldingLeg::new(&stopped, mm(30.0)),
        "stop-angle is 150 deg: the stroke of 30 mm ends with the knee at ",
    );
    refused(FoldingLeg::new(&stopped, mm(30.0)), "take a stroke of at least 41.03 mm");
    assert!(FoldingLeg::new(&stopped, mm(41.03)).is_ok());
    let beyond = FoldingLegGeometry { stop_angle: Some(deg(183.0)), ..stopped };
    refused(FoldingLeg::new(&beyond, mm(50.0)), "set the stop below 179.9 deg");

    // analytic: 800 (cos(12 deg) - cos(60 deg)) = 382.518 mm
    let stopped = ScissorGeometry { end_angle: Some(deg(60.0)), ..scissor(ScissorDrive::SlidingFoot) };
    refused(Scissor::new(&stopped, mm(300.0)), "take a stroke of at least 382.6 mm");
    assert!(Scissor::new(&stopped, mm(382.6)).is_ok());
}

#[test]
fn a_closed_cylinder_is_longer_than_its_stroke() {
    // analytic: at the start foot and pin of the lever are 400 mm apart, the brackets of the leg 201.105 mm, and
    // the scissor's points 800 sin(12 deg) = 166.329 mm; the lever is upright after 361.577 mm
    let fix = "a closed cylinder is longer than its stroke; use less than";
    refused(Lever::new(&lever(), mm(400.0)), "stroke is 400 mm: at the start only 400 mm lie between");
    refused(Lever::new(&lever(), mm(400.0)), &format!("{fix} 361.5 mm of stroke"));
    refused(FoldingLeg::new(&leg(), mm(202.0)), &format!("{fix} 201.1 mm of stroke"));
    let foot = Anchor::Base { x: mm(0.0), y: mm(0.0) };
    let pin = Anchor::Arm { from: ArmFrom::SlidingSide, stage: 1, distance: mm(800.0), offset: mm(0.0) };
    let upright = scissor(ScissorDrive::Between { foot, pin });
    refused(Scissor::new(&upright, mm(170.0)), &format!("{fix} 166.3 mm of stroke"));
    assert!(Scissor::new(&scissor(ScissorDrive::SlidingFoot), mm(700.0)).is_ok());
}

#[test]
fn the_stroke_advised_is_one_that_is_taken() {
    // Foot and pin almost in line: what ends the lever first is being upright, not the line.
    let geometry = LeverGeometry { foot_x: mm(100.0), foot_y: mm(-500.0), ..lever() };
    let refusal = Lever::new(&geometry, mm(520.0)).unwrap_err().to_string();
    let advised = refusal.split("use at most ").nth(1).and_then(|text| text.split(" mm").next());
    let advised: f64 = advised.unwrap_or_default().parse().unwrap_or_else(|_| panic!("{refusal}"));
    assert!(Lever::new(&geometry, mm(advised)).is_ok(), "{refusal}");
}

#[test]
fn a_load_that_never_comes_to_rest_is_refused() {
    let (cylinders, load) = (cylinders(400.0, 0.0), load(100.0, 400.5));
    let linkage = Linkage::Direct(Direct::new(cylinders.stroke).unwrap());
    let one = Ratio::new::<ratio>(1.0);
    refused(
        Travel::new(&cylinders, &load, linkage, &Profile::whole(), one),
        "take-up is 400.5 mm: the linkage rises by 400 mm",
    );
    let short = Cylinders { stroke: mm(300.0), ..cylinders };
    let load = self::load(100.0, 0.0);
    refused(Travel::new(&short, &load, linkage, &Profile::whole(), one), "laid out for 400 mm");
    refused(
        Travel::new(&cylinders, &load, linkage, &Profile::whole(), Ratio::new::<ratio>(1.2)),
        "linkage efficiency",
    );
}
