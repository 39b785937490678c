//! Time of a full evaluation in library form, and of its parts.

#![allow(missing_docs, clippy::unwrap_used, reason = "a benchmark, not an interface")]

use divan::{Bencher, black_box};
use lungful::answers::evaluate;
use lungful::report::{Report, document, terminal};
use lungful::rig::{Document, Overrides, Rig, Source};
use lungful::units::UnitSystem;

fn main() {
    divan::main();
}

fn rig(text: &str) -> Rig {
    Document::read(Some(&Source::new("bench.toml", text)), &Overrides::none()).rig().unwrap()
}

/// The examples, so that every kind of rig is timed.
const RIGS: &[(&str, &str)] = &[
    ("hive-cart", include_str!("../../examples/hive-cart.toml")),
    ("stage-riser", include_str!("../../examples/stage-riser.toml")),
    ("bottle", include_str!("../../examples/dough-tipper.toml")),
];

#[divan::bench(args = RIGS.iter().map(|rig| rig.0))]
fn evaluate_rig(bencher: Bencher, name: &str) {
    let text = RIGS.iter().find(|rig| rig.0 == name).unwrap().1;
    let rig = rig(text);
    bencher.bench(|| evaluate(black_box(&rig)));
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
