//! Beams, sections and columns: statics and plain sense hold for every one of them.

#![allow(clippy::unwrap_used, reason = "an input within range that is refused fails the test")]

use approx::assert_relative_eq;
use lungful::answers::steel_grade;
use lungful::frame::beam::{Beam, Loads, PointLoad, Response, Support};
use lungful::frame::quantity::{Rigidity, newtons_per_metre, rigidity, second_moment_cm4};
use lungful::frame::reinforcement::{Bond, Member, Part, Position};
use lungful::frame::section::{Axis, Corners, Shape};
use lungful::sizing::rod_column::{Column, Ends};
use lungful::units::parse::parse;
use lungful::units::pressure::pascals;
use lungful::units::{Dimension, UnitSystem};
use proptest::prelude::*;
use uom::si::f64::{Force, Length, Ratio};
use uom::si::force::newton;
use uom::si::length::{meter, millimeter};
use uom::si::ratio::ratio;

fn m(value: f64) -> Length {
    Length::new::<meter>(value)
}

fn mm(value: f64) -> Length {
    Length::new::<millimeter>(value)
}

fn stiffness(cm4: f64) -> Rigidity {
    rigidity(pascals(210e9), second_moment_cm4(cm4))
}

/// Place as a share of the length, and force in N.
type Points = Vec<(f64, f64)>;

fn supports() -> impl Strategy<Value = Support> {
    prop_oneof![
        Just(Support::Cantilever),
        Just(Support::SimplySupported),
        Just(Support::FixedBothEnds),
        Just(Support::Propped),
        (0.0..1.5).prop_map(|overhang| Support::Overhanging { overhang: m(overhang) }),
    ]
}

fn points() -> impl Strategy<Value = Points> {
    prop::collection::vec((0.0..=1.0, -2000.0..2000.0), 0..6)
}

#[track_caller]
fn respond(beam: &Beam, points: &Points, uniform: f64) -> Response {
    let length = beam.length();
    let points: Vec<PointLoad> = points
        .iter()
        .map(|&(share, force)| PointLoad { at: share * length, force: Force::new::<newton>(force) })
        .collect();
    let loads = Loads {
        points: &points,
        uniform: newtons_per_metre(uniform),
        dynamic_factor: Ratio::new::<ratio>(1.0),
    };
    beam.respond(&loads).unwrap()
}

/// Sum of the sizes of all loads, what rounding scales with.
fn size(beam: &Beam, points: &Points, uniform: f64) -> f64 {
    points.iter().map(|point| point.1.abs()).sum::<f64>() + uniform.abs() * beam.length().value + 1e-6
}

/// Lengths that fit each other, and some that fit nothing.
fn dimension() -> impl Strategy<Value = Length> {
    prop_oneof![
        8 => (-3.0..1.0_f64).prop_map(|power| m(10_f64.powf(power))),
        1 => prop::sample::select(vec![0.0, -1.0, 1e-6, 1e3, 1e-300, 1e300, f64::NAN, f64::INFINITY]).prop_map(m),
    ]
}

proptest! {
    #[test]
    fn reactions_hold_the_loads(
        support in supports(), span in 0.1..4.0, points in points(), q in -500.0..500.0,
    ) {
        let beam = Beam { support, span: m(span), rigidity: stiffness(10.0) };
        let answer = respond(&beam, &points, q);
        let length = beam.length().value;
        let size = size(&beam, &points, q);
        let load: f64 = points.iter().map(|point| point.1).sum::<f64>() + q * length;
        let up: f64 = answer.reactions().map(|reaction| reaction.force.value).sum();
        assert_relative_eq!(up, load, epsilon = 1e-12 * size);
        // Moments about the left end; a moment in the beam at a built-in left end turns one way, at a built-in
        // right end the other.
        let turned: f64 =
            points.iter().map(|point| point.1 * point.0 * length).sum::<f64>() + 0.5 * q * length * length;
        let held: f64 = answer
            .reactions()
            .map(|reaction| {
                let sign = if reaction.at.value > 0.0 { 1.0 } else { -1.0 };
                reaction.force.value * reaction.at.value + sign * reaction.moment.value
            })
            .sum();
        assert_relative_eq!(held, turned, epsilon = 1e-12 * size * length.max(length * length / span));
    }

    #[test]
    fn supports_do_not_give(
        support in supports(), span in 0.1..4.0, points in points(), q in -500.0..500.0,
    ) {
        let beam = Beam { support, span: m(span), rigidity: stiffness(10.0) };
        let answer = respond(&beam, &points, q);
        let scale = size(&beam, &points, q) * beam.length().value.powi(3) / beam.rigidity.value;
        for reaction in answer.reactions() {
            let there = answer.at(reaction.at).unwrap();
            assert_relative_eq!(there.deflection.value, 0.0, epsilon = 1e-12 * scale);
            if reaction.moment.value != 0.0 {
                assert_relative_eq!(there.slope.value, 0.0, epsilon = 1e-12 * scale / span);
            }
        }
    }

    #[test]
    fn a_mirrored_load_bends_a_symmetric_beam_as_its_mirror_image(
        fixed in any::<bool>(), span in 0.1..4.0, points in points(), q in -500.0..500.0, share in 0.0..=1.0,
    ) {
        let support = if fixed { Support::FixedBothEnds } else { Support::SimplySupported };
        let beam = Beam { support, span: m(span), rigidity: stiffness(10.0) };
        let mirrored: Points = points.iter().map(|&(share, force)| (1.0 - share, force)).collect();
        let (one, other) = (respond(&beam, &points, q), respond(&beam, &mirrored, q));
        let here = one.at(share * m(span)).unwrap();
        let there = other.at((1.0 - share) * m(span)).unwrap();
        let size = size(&beam, &points, q);
        let scale = size * span.powi(3) / beam.rigidity.value;
        assert_relative_eq!(here.deflection.value, there.deflection.value, epsilon = 1e-12 * scale);
        assert_relative_eq!(here.slope.value, -there.slope.value, epsilon = 1e-12 * scale / span);
        assert_relative_eq!(here.moment.value, there.moment.value, epsilon = 1e-12 * size * span);
    }

    #[test]
    fn two_loads_add_up(
        support in supports(), span in 0.1..4.0, first in points(), second in points(), share in 0.0..=1.0,
        q in -500.0..500.0,
    ) {
        let beam = Beam { support, span: m(span), rigidity: stiffness(10.0) };
        let both: Points = first.iter().chain(&second).copied().collect();
        let place = share * beam.length();
        let at = |points: &Points, q| respond(&beam, points, q).at(place).unwrap();
        let (one, other, together) = (at(&first, q), at(&second, 0.0), at(&both, q));
        let size = size(&beam, &both, q);
        let length = beam.length().value;
        let scale = size * length.powi(3) / beam.rigidity.value * (length / span);
        assert_relative_eq!(
            together.deflection.value,
            one.deflection.value + other.deflection.value,
            epsilon = 1e-12 * scale
        );
        assert_relative_eq!(
            together.moment.value,
            one.moment.value + other.moment.value,
            epsilon = 1e-12 * size * length * (length / span)
        );
    }

    #[test]
    fn no_place_is_beyond_the_greatest(
        support in supports(), span in 0.1..4.0, points in points(), q in -500.0..500.0, share in 0.0..=1.0,
    ) {
        let beam = Beam { support, span: m(span), rigidity: stiffness(10.0) };
        let answer = respond(&beam, &points, q);
        let here = answer.at(share * beam.length()).unwrap();
        let within = |value: f64, greatest: f64, scale: f64| value.abs() <= greatest.abs() * (1.0 + 1e-9) + 1e-12 * scale;
        let size = size(&beam, &points, q) * (beam.length().value / span).max(1.0);
        let length = beam.length().value;
        prop_assert!(within(here.shear.value, answer.max_shear.value.value, size));
        prop_assert!(within(here.moment.value, answer.max_moment.value.value, size * length));
        prop_assert!(within(
            here.deflection.value,
            answer.max_deflection.value.value,
            size * length.powi(3) / beam.rigidity.value
        ));
        // And the greatest is what the beam has at the place named.
        let there = answer.at(answer.max_deflection.at).unwrap();
        assert_relative_eq!(there.deflection.value, answer.max_deflection.value.value, max_relative = 1e-9,
            epsilon = 1e-12 * size * length.powi(3) / beam.rigidity.value);
    }

    #[test]
    fn a_stiffer_section_never_bends_more(
        support in supports(), span in 0.1..4.0, points in points(), cm4 in 0.1..100.0, more in 1.0..10.0,
    ) {
        let deflection = |cm4| {
            let beam = Beam { support, span: m(span), rigidity: stiffness(cm4) };
            respond(&beam, &points, 100.0).max_deflection.value.abs()
        };
        prop_assert!(deflection(cm4 * more) <= deflection(cm4) * (1.0 + 1e-12));
    }

    #[test]
    fn more_wall_is_never_weaker(side in 20.0..120.0, share in 0.02..0.4, more in 1.0..1.2) {
        let tube = |share: f64| {
            Shape::SquareTube { side: mm(side), wall: mm(side * share), corners: Corners::Sharp }
                .section()
                .unwrap()
        };
        let (thin, thick) = (tube(share), tube(share * more));
        prop_assert!(thick.area >= thin.area);
        // Holds for sharp corners only: standard radii grow with the wall and take metal off where it counts most.
        prop_assert!(thick.level.second_moment >= thin.level.second_moment);
        prop_assert!(thin.level.plastic_modulus >= thin.level.elastic_modulus);
    }

    #[test]
    fn any_dimensions_give_finite_figures_or_a_refusal(
        a in dimension(), b in dimension(), c in dimension(), d in dimension(), e in dimension(),
    ) {
        let corners = Corners::Radii { outer: d, inner: e };
        for shape in [
            Shape::SquareTube { side: a, wall: b, corners },
            Shape::RectangularTube { width: a, height: b, wall: c, corners },
            Shape::RectangularTube { width: a, height: b, wall: c, corners: Corners::ColdFormed },
            Shape::RoundTube { diameter: a, wall: b },
            Shape::SquareBar { side: a },
            Shape::FlatBar { width: a, height: b },
            Shape::RoundBar { diameter: a },
            Shape::Angle { width: a, height: b, thickness: c, root_radius: d, toe_radius: e },
            Shape::Channel { width: a, height: b, web: c, flange: d, root_radius: e },
        ] {
            let Ok(section) = shape.section() else { continue };
            for bending in [section.level, section.upright] {
                for figure in [
                    bending.second_moment.value,
                    bending.elastic_modulus.value,
                    bending.plastic_modulus.value,
                    bending.radius_of_gyration.value,
                ] {
                    prop_assert!(figure.is_finite() && figure > 0.0, "{shape:?} {bending:?}");
                }
            }
            prop_assert!(section.torsion_constant.is_none_or(|it| it.value.is_finite() && it.value > 0.0), "{shape:?}");
            prop_assert!(section.least_second_moment().value.is_finite());
        }
    }

    #[test]
    fn a_section_turned_is_the_same_section(width in 10.0..100.0, height in 10.0..100.0, share in 0.05..0.4) {
        let wall = mm(share * f64::min(width, height));
        let angle = |width, height| {
            Shape::Angle { width: mm(width), height: mm(height), thickness: wall, root_radius: 0.3 * wall, toe_radius: 0.2 * wall }
                .section()
                .unwrap()
        };
        let (one, other) = (angle(width, height), angle(height, width));
        assert_relative_eq!(one.level.second_moment.value, other.upright.second_moment.value, max_relative = 1e-10);
        assert_relative_eq!(one.level.plastic_modulus.value, other.upright.plastic_modulus.value, max_relative = 1e-10);
        assert_relative_eq!(one.least_second_moment().value, other.least_second_moment().value, max_relative = 1e-9);
        prop_assert!(one.least_second_moment() <= one.level.second_moment);
    }

    #[test]
    fn welding_never_weakens_and_shares_add_up(
        width in 20.0..80.0, height in 20.0..80.0, plate in 2.0..10.0, moment in -2000.0..2000.0, count in 1_usize..4,
    ) {
        let steel = steel_grade("S235").unwrap();
        let part = |shape| Part { name: "part".to_owned(), shape, axis: Axis::Level, material: steel.clone() };
        let tube = Shape::RectangularTube {
            width: mm(width), height: mm(height), wall: mm(2.0), corners: Corners::ColdFormed,
        };
        let member = |bond| {
            let positions = [Position::OnTop, Position::Below, Position::Beside];
            let flat = Shape::FlatBar { width: mm(width), height: mm(plate) };
            positions.into_iter().take(count).fold(Member::new(part(tube), bond).unwrap(), |member, position| {
                member.with(part(flat), position).unwrap()
            })
        };
        let (loose, welded) = (member(Bond::Unjoined), member(Bond::Welded));
        prop_assert!(welded.rigidity() >= loose.rigidity());
        for member in [loose, welded] {
            let moment = uom::si::f64::Torque::new::<uom::si::torque::newton_meter>(moment);
            let stresses = member.stresses(moment, lungful::frame::material::Place::Plain).unwrap();
            let sum: f64 = stresses.iter().map(|part| part.share.value).sum();
            assert_relative_eq!(sum, 1.0, max_relative = 1e-12);
        }
    }

    #[test]
    fn a_thicker_rod_never_buckles_earlier_nor_a_longer_one_later(
        diameter in 5.0..60.0, length in 0.05..3.0, more in 1.0..2.0,
    ) {
        let steel = steel_grade("S355").unwrap();
        let force = |diameter, length| {
            Column::rod(mm(diameter), &steel, m(length), Ends::PinnedBoth).unwrap().critical().unwrap().force
        };
        prop_assert!(force(diameter * more, length) >= force(diameter, length) * (1.0 - 1e-12));
        prop_assert!(force(diameter, length * more) <= force(diameter, length) * (1.0 + 1e-12));
    }
}

/// The limit that a refused length is given, as a reader would type it in.
fn limit_as_typed(error: &lungful::Error, units: UnitSystem) -> Option<Length> {
    let lungful::Error::DoesNotFit { misfit, .. } = error else { return None };
    let words = misfit.words(units);
    let (_, limit) = words.split_once("the limit is ")?;
    let read = parse(limit.strip_suffix(" here")?, Dimension::Length).ok()?;
    Some(m(read.si))
}

proptest! {
    #[test]
    fn a_limit_that_is_typed_in_is_accepted(
        sixteenths in 8_u32..200,
        wall_mils in 100_u32..6000,
        radii in (1_u32..4000, 1_u32..1000),
        hot in any::<bool>(),
        us in any::<bool>(),
    ) {
        let inches = |number: f64| Length::new::<uom::si::length::inch>(number);
        let units = if us { UnitSystem::Us } else { UnitSystem::Metric };
        let side = inches(f64::from(sixteenths) / 16.0);
        let corners = if hot { Corners::HotFinished } else { Corners::ColdFormed };
        let tube = |wall: Length| Shape::SquareTube { side, wall, corners }.section();
        if let Err(error) = tube(inches(f64::from(wall_mils) / 1000.0)) {
            let limit = limit_as_typed(&error, units).unwrap();
            prop_assert!(tube(limit).is_ok(), "{}: {:?}", error, tube(limit));
        }
        let wall = inches(0.01);
        let (outer, inner) = (inches(f64::from(radii.0) / 1000.0), inches(f64::from(radii.1) / 1000.0));
        let rounded = |outer: Length| {
            Shape::SquareTube { side, wall, corners: Corners::Radii { outer, inner } }.section()
        };
        let is_at_most = "at most half of the smaller side";
        match rounded(outer) {
            Err(error @ lungful::Error::DoesNotFit { quantity: "outer corner radius", requirement, .. })
                if requirement == is_at_most =>
            {
                let limit = limit_as_typed(&error, units).unwrap();
                let again = rounded(limit).err().map(|error| error.to_string());
                prop_assert!(again.is_none_or(|said| !said.ends_with(is_at_most)), "{}", error);
            }
            _ => {}
        }
    }
}
