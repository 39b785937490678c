//! Time of one cycle and of a working day of 400 lifts, as a library call.

#![allow(missing_docs, clippy::unwrap_used, reason = "a benchmark, not an interface")]

#[path = "../rehearsal/rig.rs"]
#[allow(dead_code, reason = "shared with the tests")]
mod rig;

use divan::{Bencher, black_box};
use lungful::rehearsal::{AirModel, Pattern, Schedule, Settings};
use rig::{Bench, battery, compressor, s};

#[global_allocator]
static ALLOCATIONS: divan::AllocProfiler = divan::AllocProfiler::system();

fn main() {
    divan::main();
}

/// The rig of `tests/fixtures/rehearsal/twin.py day`.
fn bench() -> Bench {
    Bench {
        air: AirModel::Real,
        pump: Some(compressor(32e-3 / 60.0, 1.4e6, 8e5, 1e6)),
        battery: Some(battery(200.0, 10.0)),
        ..Bench::default()
    }
}

fn pattern(times: u32) -> Schedule {
    Pattern { raise_within: s(30.0), hold: s(5.0), lower_within: s(30.0), every: s(72.0), times }.schedule()
}

#[divan::bench]
fn one_cycle(bencher: Bencher) {
    let (bench, schedule) = (bench(), pattern(1));
    bencher.bench(|| black_box(&bench).run(&schedule, &Settings::default()).unwrap());
}

#[divan::bench]
fn day_of_400_lifts(bencher: Bencher) {
    let (bench, schedule) = (bench(), pattern(400));
    bencher.bench(|| black_box(&bench).run(&schedule, &Settings::default()).unwrap());
}

/// With a row each second, 28 800 of them.
#[divan::bench]
fn day_with_trace(bencher: Bencher) {
    let (bench, schedule) = (bench(), pattern(400));
    let settings = Settings { trace_every: Some(s(1.0)), ..Settings::default() };
    bencher.bench(|| black_box(&bench).run(&schedule, &settings).unwrap());
}
