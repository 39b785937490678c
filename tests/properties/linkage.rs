//! Linkages keep work, lengths and equilibrium for any shape.

use std::collections::BTreeMap;

use approx::assert_relative_eq;
use lungful::air::gas::Isotherm;
use lungful::sizing::cylinder_force::{Action, Cylinders};
use lungful::sizing::linkage::{
    Anchor, ArmFrom, Bracket, Cause, Direct, FoldingLeg, FoldingLegGeometry, ForceOn, Lever, LeverGeometry,
    Linkage, Member, Pin, Profile, Scissor, ScissorDrive, ScissorGeometry, Travel,
};
use lungful::sizing::tank_capacity::{Demand, Demands, Span, StrokeDraw, count_slow};
use lungful::sizing::travel::Load;
use lungful::units::{AbsolutePressure, GaugePressure, pressure::pascals};
use proptest::prelude::*;
use uom::si::angle::degree;
use uom::si::f64::{Angle, Force, Length, Mass, Pressure, Ratio, ThermodynamicTemperature, Volume};
use uom::si::force::newton;
use uom::si::length::meter;
use uom::si::mass::kilogram;
use uom::si::ratio::ratio;
use uom::si::thermodynamic_temperature::kelvin;

fn m(value: f64) -> Length {
    Length::new::<meter>(value)
}

fn deg(value: f64) -> Angle {
    Angle::new::<degree>(value)
}

fn kg(value: f64) -> Mass {
    Mass::new::<kilogram>(value)
}

/// Shorter and shorter strokes until one fits. A shape that refuses them all is drawn again.
fn fit<T>(make: impl Fn(Length) -> lungful::Result<T>, stroke: f64) -> Option<T> {
    [1.0, 0.6, 0.35, 0.2, 0.1].iter().find_map(|share| make(m(share * stroke)).ok())
}

/// Levers with the pin anywhere around the pivot; the foot is turned back from the pin by 8 to 150 degrees.
fn lever() -> impl Strategy<Value = Linkage> {
    let shape = (-60.0..40.0, -180.0..180.0, 8.0..150.0, 0.1..0.8, 0.1..0.9, 0.2..1.5);
    let arm = (0.0..20.0, 0.0..0.8, -90.0..90.0);
    let ends = (0.1..0.6, prop::option::of(1.0..60.0));
    (shape, arm, ends).prop_filter_map("a lever that fits", |(shape, arm, (stroke, turn))| {
        let (start, offset, back, pin_arm, foot, load_arm) = shape;
        let foot_angle = f64::to_radians(start + offset - back);
        let geometry = LeverGeometry {
            foot_x: m(foot * foot_angle.cos()),
            foot_y: m(foot * foot_angle.sin()),
            pin_arm: m(pin_arm),
            pin_offset: deg(offset),
            load_arm: m(load_arm),
            start_angle: deg(start),
            end_angle: turn.map(|turn| deg(f64::min(start + turn, 90.0))),
            closed_length: None,
            arm_mass: kg(arm.0),
            arm_centre: m(arm.1),
            arm_centre_offset: deg(arm.2),
        };
        fit(|stroke| Lever::new(&geometry, stroke), stroke).map(Linkage::Lever)
    })
}

fn folding_leg() -> impl Strategy<Value = Linkage> {
    let bracket = || (0.1..0.4, -0.02..0.08);
    let shape = (0.3..0.8, 0.3..0.8, -0.05..0.05, 30.0..150.0, bracket(), bracket());
    let rest = (1_u32..4, 0.0..8.0, 0.0..8.0, 0.1..0.6, prop::option::of(155.0..190.0));
    (shape, rest).prop_filter_map("a leg that fits", |(shape, rest)| {
        let (lower_link, upper_link, guide, start, lower, upper) = shape;
        let (legs, lower_mass, upper_mass, stroke, stop) = rest;
        let geometry = FoldingLegGeometry {
            lower_link: m(lower_link),
            upper_link: m(upper_link),
            lower_bracket: Bracket { from_knee: m(lower.0), offset: m(lower.1) },
            upper_bracket: Bracket { from_knee: m(upper.0), offset: m(upper.1) },
            guide_offset: m(guide),
            start_angle: deg(start),
            stop_angle: stop.map(deg),
            legs,
            closed_length: None,
            lower_mass: kg(lower_mass),
            upper_mass: kg(upper_mass),
        };
        fit(|stroke| FoldingLeg::new(&geometry, stroke), stroke).map(Linkage::FoldingLeg)
    })
}

fn anchor(stages: u32, arm: f64) -> impl Strategy<Value = Anchor> {
    let base = (-0.3..1.2, -0.2..0.05).prop_map(|(x, y)| Anchor::Base { x: m(x), y: m(y) });
    let side = prop::sample::select(vec![ArmFrom::FixedSide, ArmFrom::SlidingSide]);
    let on_arm = (side, 1..=stages, 0.0..1.0, -0.1..0.1).prop_map(move |(from, stage, share, offset)| {
        Anchor::Arm { from, stage, distance: m(share * arm), offset: m(offset) }
    });
    prop_oneof![base, on_arm]
}

fn scissor() -> impl Strategy<Value = Linkage> {
    (1_u32..5, 0.4..1.2)
        .prop_flat_map(|(stages, arm)| {
            let between = (anchor(stages, arm), anchor(stages, arm))
                .prop_map(|(foot, pin)| ScissorDrive::Between { foot, pin });
            let drive = prop_oneof![1 => Just(ScissorDrive::SlidingFoot), 3 => between];
            let rest = (8.0..60.0, prop::option::of(30.0..85.0), 0.0..6.0, 0.05..0.5);
            (Just((stages, arm)), drive, rest)
        })
        .prop_filter_map("a scissor that fits", |((stages, arm), drive, (start, end, arm_mass, stroke))| {
            let geometry = ScissorGeometry {
                stages,
                arm_length: m(arm),
                start_angle: deg(start),
                end_angle: end.map(deg),
                drive,
                closed_length: None,
                arm_mass: kg(arm_mass),
            };
            fit(|stroke| Scissor::new(&geometry, stroke), stroke).map(Linkage::Scissor)
        })
}

fn direct() -> impl Strategy<Value = Linkage> {
    (0.05..1.0).prop_map(|stroke| Linkage::Direct(Direct::new(m(stroke)).unwrap()))
}

/// Linkages that keep clear of dead points, so that finite differences and quadrature have digits left: three
/// degrees at either end, and on the way no ratio far above the mean.
fn linkage() -> impl Strategy<Value = Linkage> {
    prop_oneof![1 => direct(), 3 => lever(), 3 => folding_leg(), 4 => scissor()].prop_filter(
        "clear of dead points",
        |linkage| {
            let near =
                |name: &str, left: f64| !matches!(name, "knee straight" | "load arm upright") && left < 3.0;
            let mean = (linkage.height(linkage.top()) / linkage.top()).value;
            linkage.end() > m(0.01)
                && !linkage.dead_points().iter().any(|point| near(point.name, point.left.get::<degree>()))
                && along(linkage, 100).all(|travel| linkage.ratio(travel).value < 6.0 * mean)
        },
    )
}

#[derive(Debug, Clone)]
struct Case {
    cylinders: Cylinders,
    load: Load,
    linkage: Linkage,
    profile: Profile,
    efficiency: f64,
}

impl Case {
    fn travel(&self) -> Travel<'_> {
        let efficiency = Ratio::new::<ratio>(self.efficiency);
        Travel::new(&self.cylinders, &self.load, self.linkage, &self.profile, efficiency).unwrap()
    }
}

fn profile(rise: f64) -> impl Strategy<Value = Profile> {
    let rows = prop::collection::vec((0.0..1.0, 0.0..200.0), 1..5);
    let table = rows.prop_filter_map("some mass", move |mut rows: Vec<(f64, f64)>| {
        rows.sort_by(|one, other| one.0.total_cmp(&other.0));
        if rows.first().is_none_or(|row| row.1 < 1.0) {
            return None;
        }
        // A step in the middle of the first stretch.
        let step = rows.first().map(|row| (row.0, row.1 * 0.5));
        rows.splice(1..1, step);
        let rows: Vec<_> = rows.iter().map(|row| (m(row.0 * rise), kg(row.1))).collect();
        Profile::table(&rows).ok()
    });
    prop_oneof![
        Just(Profile::whole()),
        (0.05..1.5).prop_map(move |share| Profile::ramp(m(share * rise)).unwrap()),
        table,
    ]
}

fn case() -> impl Strategy<Value = Case> {
    linkage().prop_flat_map(|linkage| {
        let rise = linkage.height(linkage.top()).value;
        let masses = (1.0..400.0, 0.2..1.0, 0.0..40.0, prop_oneof![Just(0.0), 0.01..0.6]);
        let rest = (prop_oneof![Just(0.0), 1.0..80.0], 0.5..1.0);
        (Just(linkage), profile(rise), masses, rest).prop_map(
            move |(linkage, profile, (mass, share, moving, take_up), (spring, efficiency))| Case {
                cylinders: Cylinders {
                    count: 2,
                    bore: m(0.05),
                    rod: m(0.02),
                    stroke: linkage.end() * 1.25,
                    action: Action::Single,
                    rating: GaugePressure::new(pascals(10e5)),
                    friction: Ratio::new::<ratio>(0.1),
                    clearance: Volume::default(),
                    return_spring: Force::new::<newton>(spring),
                    back_pressure: Pressure::default(),
                },
                load: Load {
                    mass: profile.heaviest().unwrap_or_else(|| kg(mass)),
                    share: Ratio::new::<ratio>(share),
                    moving: kg(moving),
                    lift: m(0.3 * rise),
                    take_up: m(take_up * rise),
                },
                linkage,
                profile,
                efficiency,
            },
        )
    })
}

fn along(linkage: &Linkage, count: u32) -> impl Iterator<Item = Length> + '_ {
    (0..=count).map(move |step| linkage.end() * (f64::from(step) / f64::from(count)))
}

fn moment(force: &ForceOn) -> f64 {
    force.at.x.value * force.force.y.value - force.at.y.value * force.force.x.value
}

#[track_caller]
fn in_equilibrium(forces: &[ForceOn]) {
    // Sizes against which a rest counts: the greatest force, and that at the greatest distance.
    let size = forces.iter().map(|force| force.force.size().value).fold(1e-9, f64::max);
    let reach = forces.iter().map(|force| force.at.x.value.hypot(force.at.y.value)).fold(1e-9, f64::max);
    for members in forces.chunk_by(|one, next| one.member == next.member) {
        let sum = |part: &dyn Fn(&ForceOn) -> f64| members.iter().map(part).sum::<f64>();
        assert_relative_eq!(sum(&|f| f.force.x.value) / size, 0.0, epsilon = 1e-9);
        assert_relative_eq!(sum(&|f| f.force.y.value) / size, 0.0, epsilon = 1e-9);
        let turning = sum(&moment) / (size * reach);
        assert!(turning.abs() <= 1e-9, "turns by {turning}: {members:?}");
    }
    let mut pins: BTreeMap<String, Vec<&ForceOn>> = BTreeMap::new();
    for force in forces {
        if let Cause::Pin(pin) = force.cause {
            pins.entry(pin.to_string()).or_default().push(force);
        }
    }
    for (pin, pair) in pins {
        if let [one, other] = pair[..] {
            let gap = (one.force.x + other.force.x).value.hypot((one.force.y + other.force.y).value);
            let apart = (one.at.x - other.at.x).value.hypot((one.at.y - other.at.y).value);
            // The load is given to the lever, link or platform by no other member.
            assert!(gap <= 1e-9 * size && apart <= 1e-12, "{pin}: {one:?} {other:?}");
        }
    }
}

/// Distance between two pins, if the linkage has both.
fn between(linkage: &Linkage, travel: Length, one: Pin, other: Pin) -> Option<f64> {
    let pins = linkage.pins(travel);
    let place = |wanted| pins.iter().find(|pin| pin.0 == wanted).map(|pin| pin.1);
    let (one, other) = (place(one)?, place(other)?);
    Some((one.x - other.x).value.hypot((one.y - other.y).value))
}

proptest! {
    // Many shapes drawn at random cannot be built.
    #![proptest_config(ProptestConfig {
        cases: 192,
        max_global_rejects: 200_000,
        max_local_rejects: 2_000_000,
        ..ProptestConfig::default()
    })]

    #[test]
    fn work_is_kept(case in case()) {
        let balance = case.travel().work_balance();
        assert!(balance.gap().value.abs() <= 1e-9, "{balance:?}");
    }

    #[test]
    fn the_ratio_is_the_slope_of_the_height(linkage in linkage()) {
        let step = linkage.end() * 1e-5;
        for travel in along(&linkage, 12).skip(1).take(11) {
            let slope = (linkage.height(travel + step) - linkage.height(travel - step)) / (2.0 * step);
            let given = linkage.ratio(travel).value;
            assert_relative_eq!(slope.value, given, max_relative = 1e-7, epsilon = 1e-7);
        }
    }

    #[test]
    fn every_member_is_in_equilibrium(case in case()) {
        let travel = case.travel();
        for at in along(&case.linkage, 7) {
            in_equilibrium(&travel.forces_on_members(at));
        }
    }

    #[test]
    fn the_sliding_foot_of_a_scissor_slides(case in case()) {
        // The roller takes no sideways force beyond that of a cylinder on it, which only the true thrust gives.
        let travel = case.travel();
        for at in along(&case.linkage, 7) {
            let forces = travel.forces_on_members(at);
            let size = forces.iter().map(|force| force.force.size().value).fold(1e-9, f64::max);
            for force in forces.iter().filter(|force| force.cause == Cause::Pin(Pin::SlidingFoot)) {
                assert_relative_eq!(force.force.x.value / size, 0.0, epsilon = 1e-9);
            }
        }
    }

    #[test]
    fn links_keep_their_length(linkage in linkage()) {
        let start = Length::default();
        let pairs = [
            (Pin::Foot, Pin::Knee), (Pin::Knee, Pin::Top), (Pin::Pivot, Pin::CylinderPin),
            (Pin::Pivot, Pin::LoadPoint), (Pin::FixedFoot, Pin::Centre(1)), (Pin::Centre(1), Pin::SlidingSide(1)),
            (Pin::Knee, Pin::CylinderFoot), (Pin::Knee, Pin::CylinderPin),
        ];
        for travel in along(&linkage, 5) {
            for (one, other) in pairs {
                if let Some(at_start) = between(&linkage, start, one, other) {
                    let now = between(&linkage, travel, one, other).unwrap();
                    assert_relative_eq!(now, at_start, max_relative = 1e-9);
                }
            }
            if let Some(length) = linkage.cylinder_length(travel) {
                let drawn = between(&linkage, travel, Pin::CylinderFoot, Pin::CylinderPin).unwrap();
                assert_relative_eq!(drawn, length.value, max_relative = 1e-9);
            }
        }
    }

    #[test]
    fn a_height_is_found_again(linkage in linkage(), share in 0.0..1.0) {
        let travel = linkage.top() * share;
        let height = linkage.height(travel);
        let found = linkage.travel_at(height).unwrap();
        assert_relative_eq!(linkage.height(found).value, height.value, max_relative = 1e-9, epsilon = 1e-12);
        let above = linkage.height(linkage.top()) * 1.001 + m(1e-6);
        assert_eq!(linkage.travel_at(above), None);
    }

    #[test]
    fn no_point_asks_more_than_the_worst(case in case()) {
        let travel = case.travel();
        let worst = travel.worst().force.value;
        for at in along(&case.linkage, 997) {
            let force = travel.force(at).value;
            assert!(force <= worst + 1e-9 * worst.abs(), "{force} at {at:?}, worst {worst}");
        }
    }

    #[test]
    fn the_load_for_a_force_asks_for_that_force(case in case(), grow in 1.05..3.0) {
        let travel = case.travel();
        let force = travel.worst().force * grow;
        let limit = travel.limit(force);
        let mut loaded = case.clone();
        loaded.load.mass = limit.capacity;
        // A heavier load can only ask for more, and the force is above what the rig needs already.
        if limit.capacity > case.load.mass {
            let worst = loaded.travel().worst().force;
            assert_relative_eq!(worst.value, force.value, max_relative = 1e-9);
        }
        for at in along(&case.linkage, 97) {
            if let Some(capacity) = travel.capacity_at(at, force) {
                assert!(capacity.value >= limit.capacity.value * (1.0 - 1e-9));
            }
        }
    }

    #[test]
    fn demand_spans_cover_the_travel(case in case(), share in 0.3..1.0) {
        let travel = case.travel();
        let until = case.linkage.end() * share;
        let spans = travel.demand_spans(until);
        let slack = 1e-9 * travel.worst().needed_pressure.pascals().abs();
        for at in along(&case.linkage, 499).filter(|at| *at <= until) {
            let need = travel.needed_pressure(at).pascals();
            let span = spans.iter().rev().find(|span| span.from.travel <= at).unwrap();
            let most = span.from.need.max(span.to.need).pascals() + span.above.value;
            prop_assert!(at <= span.to.travel + m(1e-12));
            prop_assert!(need <= most + slack, "{need} above {most} at {at:?}");
        }
    }

    /// Against the same count with the need at ten thousand single places.
    #[test]
    fn strokes_are_counted_as_from_many_points(case in case(), spare in 1.0001..3.0, size in 1.0..30.0) {
        let travel = case.travel();
        let site = AbsolutePressure::new(pascals(101_325.0)).unwrap();
        let area = m(0.1) * m(0.1);
        let end = case.linkage.end();
        let open = |need: GaugePressure| need.max(GaugePressure::new(pascals(0.0))).to_absolute(site).unwrap();
        let worst = open(travel.worst().needed_pressure);
        // The cylinders of a case may be of any size; here the pressures are brought into the range of air.
        let scale = 4e5 / (worst.pascals() - site.pascals()).max(1.0);
        let scaled = move |need: GaugePressure| {
            AbsolutePressure::new(pascals(site.pascals() + (open(need).pascals() - site.pascals()) * scale)).unwrap()
        };
        let at = |travel, need| Demand { swept: area * travel, need: scaled(need) };
        let spans = travel.demand_spans(end);
        let corners: Vec<Demand> = spans
            .iter()
            .flat_map(|span| [span.from, span.to])
            .map(|point| at(point.travel, point.need))
            .collect();
        let spans = spans.iter().map(|span| {
            let (from, to) = (span.from, span.to);
            Span::between(at(from.travel, from.need), at(to.travel, to.need), span.above * scale, span.law)
        });
        let sweep = &travel;
        let exact =
            Demands::new(spans.collect(), move |law, swept| scaled(sweep.need_by_law(law, swept / area)));
        // With the places where the load changes its law: between two others they would be missed.
        let even = along(&case.linkage, 10_000).map(|place| at(place, travel.needed_pressure(place)));
        let points: Vec<Demand> = even.chain(corners).collect();
        let air = Isotherm::new(ThermodynamicTemperature::new::<kelvin>(293.15)).unwrap();
        let set = AbsolutePressure::new(pascals(site.pascals() + 4e5 * spare)).unwrap();
        let tank = area * end * size;
        let count = |demand: Demands<'_>| {
            let draw = StrokeDraw {
                raise: area * end, lower: None, dead: area * end * 0.1, set, end: None, atmosphere: site, demand,
            };
            let start = AbsolutePressure::new(pascals(2e6)).unwrap();
            count_slow(&draw, tank, start, set, &air).unwrap()
        };
        let (exact, many) = (count(exact), count(points.into()));
        // The points may miss a smooth top between two of them by so little that one stroke more is rare.
        prop_assert_eq!(exact.until_stall, many.until_stall);
        prop_assert_eq!(exact.full_pressure, many.full_pressure);
    }

    #[test]
    fn nothing_but_numbers_leaves(case in case(), travel in any::<f64>()) {
        let sweep = case.travel();
        let at = m(travel);
        let point = (sweep.force(at).value, sweep.height(at).value, sweep.needed_pressure(at).pascals());
        assert!(point.0.is_finite() && point.1.is_finite() && point.2.is_finite());
        for point in sweep.points(9, Force::new::<newton>(1000.0)) {
            assert!(point.force.is_finite() && point.ratio.value.is_finite());
            assert!(point.capacity.is_none_or(Mass::is_finite));
            assert!(point.reactions.iter().all(|reaction| reaction.force.size().is_finite()));
        }
        for strut in sweep.struts(at) {
            assert!(strut.length.is_finite() && strut.thrust.is_finite() && strut.member != Member::Lever);
        }
    }

    #[test]
    fn any_numbers_give_a_linkage_or_a_refusal(raw in prop::array::uniform8(prop_oneof![any::<f64>(), -2.0..2.0])) {
        let [a, b, c, d, e, f, g, h] = raw;
        let lever = LeverGeometry {
            foot_x: m(a), foot_y: m(b), pin_arm: m(c), pin_offset: deg(d * 90.0), load_arm: m(e),
            start_angle: deg(f * 45.0), end_angle: None, closed_length: None, arm_mass: kg(0.0),
            arm_centre: m(0.0), arm_centre_offset: deg(0.0),
        };
        let leg = FoldingLegGeometry {
            lower_link: m(a), upper_link: m(b), lower_bracket: Bracket { from_knee: m(c), offset: m(d) },
            upper_bracket: Bracket { from_knee: m(e), offset: m(f) }, guide_offset: m(0.1 * f),
            start_angle: deg(g * 90.0), stop_angle: None, legs: 1, closed_length: None,
            lower_mass: kg(1.0), upper_mass: kg(1.0),
        };
        let pin = Anchor::Arm { from: ArmFrom::FixedSide, stage: 1, distance: m(a), offset: m(b) };
        let scissor = ScissorGeometry {
            stages: 2, arm_length: m(c), start_angle: deg(d * 45.0), end_angle: Some(deg(e * 45.0)),
            drive: ScissorDrive::Between { foot: Anchor::Base { x: m(f), y: m(g) }, pin },
            closed_length: None, arm_mass: kg(1.0),
        };
        let stroke = m(h);
        let built = [
            Lever::new(&lever, stroke).map(Linkage::Lever),
            FoldingLeg::new(&leg, stroke).map(Linkage::FoldingLeg),
            Scissor::new(&scissor, stroke).map(Linkage::Scissor),
        ];
        for linkage in built.into_iter().flatten() {
            for travel in along(&linkage, 8) {
                assert!(linkage.height(travel).is_finite() && linkage.ratio(travel).is_finite());
                for (_, place) in linkage.pins(travel) {
                    assert!(place.x.is_finite() && place.y.is_finite());
                }
            }
        }
    }
}
