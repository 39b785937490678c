//! Time of a full evaluation in library form, and of its parts.

#![allow(missing_docs, clippy::unwrap_used, reason = "a benchmark, not an interface")]

use divan::{Bencher, black_box};
use lungful::answers::evaluate;
use lungful::frame::beam::{Beam, Loads, PointLoad, Support};
use lungful::frame::quantity::{self, newtons_per_metre};
use lungful::frame::section::{Corners, Shape};
use lungful::report::{Report, document, terminal};
use lungful::rig::{Document, Overrides, Rig, Source};
use lungful::units::UnitSystem;
use lungful::units::pressure::pascals;
use uom::si::f64::{Force, Length, Ratio};
use uom::si::force::newton;
use uom::si::length::meter;
use uom::si::ratio::ratio;

fn main() {
    divan::main();
}

fn rig(text: &str) -> Rig {
    Document::read(Some(&Source::new("bench.toml", text)), &Overrides::none()).rig().unwrap()
}

/// The examples, so that every kind of rig is timed.
const RIGS: &[(&str, &str)] = &[
    ("demo", include_str!("../../data/demo.toml")),
    ("hive-cart", include_str!("../../examples/hive-cart.toml")),
    ("stage-riser", include_str!("../../examples/stage-riser.toml")),
    ("bottle", include_str!("../../examples/dough-tipper.toml")),
    ("double-acting", include_str!("../../examples/tray-hoist.toml")),
    ("lever", include_str!("../../examples/lever-tipper.toml")),
    ("folding-leg", include_str!("../../examples/folding-leg-riser.toml")),
    ("scissor", include_str!("../../examples/scissor-table.toml")),
];

/// The rigs with a linkage, whose travel is worth a sweep.
const LINKAGES: [&str; 3] = ["lever", "folding-leg", "scissor"];

fn rig_named(name: &str) -> Rig {
    rig(RIGS.iter().find(|rig| rig.0 == name).unwrap().1)
}

#[divan::bench(args = RIGS.iter().map(|rig| rig.0))]
fn evaluate_rig(bencher: Bencher, name: &str) {
    let rig = rig_named(name);
    bencher.bench(|| evaluate(black_box(&rig)));
}

/// Two hundred points of the travel, each with force, pressures, capacity and the forces in all pins.
#[divan::bench(args = LINKAGES)]
fn sweep_of_the_travel(bencher: Bencher, name: &str) {
    let rig = rig_named(name);
    let thrust = rig.cylinders.thrust(rig.regulator.set);
    bencher.bench(|| black_box(&rig).travel().map(|travel| travel.points(200, black_box(thrust))));
}

/// All answers and checks, and the same sweep.
#[divan::bench(args = LINKAGES)]
fn evaluate_and_sweep(bencher: Bencher, name: &str) {
    let rig = rig_named(name);
    bencher.bench(|| {
        let rig = black_box(&rig);
        let answers = evaluate(rig).unwrap();
        let points = rig.travel().unwrap().points(200, rig.cylinders.thrust(rig.regulator.set));
        (answers, points)
    });
}

#[divan::bench]
fn evaluate_demo(bencher: Bencher) {
    let rig = Document::read(Some(&Source::demo()), &Overrides::none()).rig().unwrap();
    bencher.bench(|| evaluate(black_box(&rig)));
}

#[divan::bench]
fn read_demo(bencher: Bencher) {
    let source = Source::demo();
    bencher.bench(|| Document::read(Some(black_box(&source)), &Overrides::none()).rig());
}

#[divan::bench]
fn report_demo_as_text(bencher: Bencher) {
    let rig = Document::read(Some(&Source::demo()), &Overrides::none()).rig().unwrap();
    let answers = evaluate(&rig).unwrap();
    bencher.bench(|| terminal::text(&Report::new(&rig, black_box(&answers), UnitSystem::Metric), 110));
}

#[divan::bench]
fn report_demo_as_json(bencher: Bencher) {
    let rig = Document::read(Some(&Source::demo()), &Overrides::none()).rig().unwrap();
    let answers = evaluate(&rig).unwrap();
    bencher.bench(|| document::json(&Report::new(&rig, black_box(&answers), UnitSystem::Metric)));
}

/// One load, the middle of everything that a search over frames does.
#[divan::bench(args = ["cantilever", "simply supported", "fixed", "propped", "overhanging"])]
fn beam_with_one_load(bencher: Bencher, name: &str) {
    let support = match name {
        "cantilever" => Support::Cantilever,
        "simply supported" => Support::SimplySupported,
        "fixed" => Support::FixedBothEnds,
        "propped" => Support::Propped,
        _ => Support::Overhanging { overhang: Length::new::<meter>(0.3) },
    };
    let beam = Beam {
        support,
        span: Length::new::<meter>(1.0),
        rigidity: quantity::rigidity(pascals(210e9), quantity::second_moment_cm4(10.0)),
    };
    let points = [PointLoad { at: Length::new::<meter>(0.4), force: Force::new::<newton>(1200.0) }];
    let loads =
        Loads { points: &points, uniform: newtons_per_metre(30.0), dynamic_factor: Ratio::new::<ratio>(1.0) };
    bencher.bench(|| black_box(&beam).respond(black_box(&loads)));
}

#[divan::bench]
fn section_of_a_square_tube(bencher: Bencher) {
    let mm = Length::new::<uom::si::length::millimeter>;
    let tube = Shape::SquareTube { side: mm(40.0), wall: mm(3.0), corners: Corners::ColdFormed };
    bencher.bench(|| black_box(&tube).section());
}
