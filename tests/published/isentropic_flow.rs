//! Air that expands without loss from rest to a Mach number, against the tables for k = 1.4.
//!
//! Thin air at room temperature is nearly that gas, so its isentrope, enthalpy and speed of sound together must
//! give the tables.

use lungful::air::gas::{Expansion, Isentrope, State};
use uom::si::f64::MassDensity;

use super::figure::{absolute, temperature};

/// Half of the fourth digit, 0.5e-4, and that k of thin air is 1.400 at 300 K but 1.401 at 250 K: with 1.4005 the
/// closed forms move by up to 1.8e-4.
const TOLERANCE: f64 = 2.5e-4;

/// The state on `line` at which the air that started from rest has a Mach number.
#[track_caller]
fn at_mach(line: &Isentrope, mach: f64) -> State {
    let rest = line.start();
    // Mach number falls with density: bisection.
    let (mut low, mut high) = (0.5 * rest.density(), rest.density());
    let mut found = rest;
    for _ in 0..60 {
        let middle: MassDensity = 0.5 * (low + high);
        let Expansion::To(state) = line.state(middle, found.temperature()).unwrap() else {
            panic!("too cold")
        };
        let speed = (2.0 * (rest.enthalpy() - state.enthalpy()).value).max(0.0).sqrt();
        if speed > mach * state.speed_of_sound().value {
            low = middle;
        } else {
            high = middle;
        }
        found = state;
    }
    found
}

#[derive(Default)]
struct Row {
    source: &'static str,
    mach: f64,
    pressure: f64,
    density: Option<f64>,
    temperature: Option<f64>,
    /// A/A*.
    area: f64,
}

#[test]
fn published_tables_of_isentropic_flow() {
    const DATA_BOOK: &str = "Aeronautical Engineer's Data Book, appendix 4";
    const FLOW_TABLES: &str = "compressible-flow tables of a textbook, k = 1.4";
    let line = Isentrope::through(absolute("1 kPa abs"), temperature("300 K")).unwrap();
    let rest = line.start();
    let flux = |state: State, mach: f64| state.density().value * mach * state.speed_of_sound().value;
    let choked = flux(at_mach(&line, 1.0), 1.0);
    let row = |source, mach, pressure, area| Row { source, mach, pressure, area, ..Row::default() };
    for row in [
        row(DATA_BOOK, 0.05, 0.9983, 11.5914),
        row(DATA_BOOK, 0.10, 0.9930, 5.8218),
        Row { density: Some(0.8852), temperature: Some(0.9524), ..row(FLOW_TABLES, 0.50, 0.8430, 1.3398) },
        row(FLOW_TABLES, 0.60, 0.7840, 1.1882),
        row(DATA_BOOK, 0.87, 0.6106, 1.0153),
        row(FLOW_TABLES, 0.90, 0.5913, 1.0089),
        row(DATA_BOOK, 0.95, 0.5595, 1.0021),
        row(DATA_BOOK, 0.99, 0.5345, 1.0001),
        Row { density: Some(0.6339), temperature: Some(0.8333), ..row(DATA_BOOK, 1.0, 0.5283, 1.0) },
    ] {
        let state = at_mach(&line, row.mach);
        let pressure = (state.pressure().unwrap() / rest.pressure().unwrap()).value;
        let checks = [
            ("p/p_t", Some(row.pressure), pressure),
            ("rho/rho_t", row.density, (state.density() / rest.density()).value),
            ("T/T_t", row.temperature, state.temperature().value / rest.temperature().value),
            ("A/A*", Some(row.area), choked / flux(state, row.mach)),
        ];
        for (what, expected, found) in checks {
            let Some(expected) = expected else { continue };
            // A/A* grows without bound towards rest, so there the tolerance is relative.
            let tolerance = TOLERANCE * expected.max(1.0);
            assert!(
                (found - expected).abs() <= tolerance,
                "{}: {what} at Mach {} is {expected} within {tolerance}, {found} found",
                row.source,
                row.mach
            );
        }
    }
}
