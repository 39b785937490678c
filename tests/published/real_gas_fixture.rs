//! Dry air as a real gas against an independent program, row by row.
//!
//! `tests/fixtures/coolprop_air.csv` is made by `coolprop_air.py` beside it, which says what a row means.

use std::collections::HashMap;

use approx::assert_relative_eq;
use lungful::air::gas::{self, Expansion, Isentrope, Isotherm, State};
use lungful::units::{AbsolutePressure, pressure::pascals};
use uom::si::f64::{MassDensity, ThermodynamicTemperature};
use uom::si::mass_density::kilogram_per_cubic_meter;
use uom::si::thermodynamic_temperature::kelvin;

const FIXTURE: &str = include_str!("../fixtures/coolprop_air.csv");

struct Row {
    fields: HashMap<&'static str, &'static str>,
}

impl Row {
    #[track_caller]
    fn number(&self, column: &str) -> f64 {
        self.fields[column].parse().unwrap_or_else(|_| panic!("{column} of {:?}", self.fields))
    }

    fn temperature(&self) -> ThermodynamicTemperature {
        kelvins(self.number("t_k"))
    }

    fn density(&self) -> MassDensity {
        MassDensity::new::<kilogram_per_cubic_meter>(self.number("rho_kg_per_m3"))
    }

    fn pressure(&self) -> AbsolutePressure {
        absolute(self.number("p_pa"))
    }

    /// 250 K to 350 K: everything that a rig meets.
    fn is_core(&self) -> bool {
        (250.0..=350.0).contains(&self.number("t_k"))
    }
}

fn kelvins(value: f64) -> ThermodynamicTemperature {
    ThermodynamicTemperature::new::<kelvin>(value)
}

fn absolute(value: f64) -> AbsolutePressure {
    AbsolutePressure::new(pascals(value)).unwrap()
}

#[track_caller]
fn rows(kind: &str, at_least: usize) -> Vec<Row> {
    let mut lines = FIXTURE.lines().filter(|line| !line.starts_with('#'));
    let head: Vec<_> = lines.next().unwrap().split(',').collect();
    let rows: Vec<_> = lines
        .map(|line| Row { fields: head.iter().copied().zip(line.split(',')).collect() })
        .filter(|row| row.fields["kind"] == kind)
        .collect();
    assert!(rows.len() >= at_least, "only {} rows of {kind}", rows.len());
    rows
}

#[test]
fn cross_checked_compressibility() {
    let rows = rows("state", 300);
    assert!(rows.iter().filter(|row| row.is_core()).count() >= 200);
    for row in rows {
        let factor = gas::compressibility(row.pressure(), row.temperature()).unwrap().value;
        // Same equation, so rounding alone would do. Near 150 K and 5 MPa the slope dp/drho is small and
        // lifts the rounding of the pressure by a factor of ten or so.
        assert_relative_eq!(
            factor,
            row.number("z"),
            max_relative = if row.is_core() { 1e-13 } else { 1e-12 }
        );
    }
}

#[test]
fn cross_checked_properties() {
    // Entropy counts from 300 K, 101 325 Pa in the fixture.
    let zero = Isentrope::through(absolute(101_325.0), kelvins(300.0)).unwrap().entropy();
    for row in rows("state", 300) {
        let air = State::at(row.temperature(), row.density()).unwrap();
        // Explicit formulas on both sides; rounding, raised by cancellation near 150 K.
        assert_relative_eq!(air.pressure().unwrap().pascals(), row.number("p_pa"), max_relative = 1e-13);
        for (ours, column) in [
            (air.isochoric_heat_capacity().value, "cv_j_per_kg_k"),
            (air.isobaric_heat_capacity().value, "cp_j_per_kg_k"),
            (air.speed_of_sound().value, "w_m_per_s"),
        ] {
            assert_relative_eq!(ours, row.number(column), max_relative = 1e-12);
        }
        // Entropies are differences of figures of some 4000 J/(kg K): absolute 1e-15 of that, ten times.
        assert_relative_eq!((air.entropy() - zero).value, row.number("s_j_per_kg_k"), epsilon = 4e-11);
    }
}

#[test]
fn cross_checked_isotherm() {
    for row in rows("state", 300) {
        let isotherm = Isotherm::new(row.temperature()).unwrap();
        let pressure = isotherm.pressure(row.density()).unwrap();
        assert_relative_eq!(pressure.pascals(), row.number("p_pa"), max_relative = 1e-13);
        let density = isotherm.density(row.pressure()).unwrap();
        assert_relative_eq!(density.value, row.density().value, max_relative = 1e-12);
    }
}

#[test]
fn cross_checked_isentrope() {
    for row in rows("isentrope", 150) {
        let start = kelvins(row.number("start_t_k"));
        let line = Isentrope::through(absolute(row.number("start_p_pa")), start).unwrap();
        let Expansion::To(air) = line.state(row.density(), start).unwrap() else {
            panic!("too cold: {:?}", row.fields)
        };
        // Both searches end at 1e-13 or so, both entropies are rounded at 1e-15 of some 4000 J/(kg K).
        assert_relative_eq!(air.temperature().value, row.number("t_k"), max_relative = 1e-12);
        assert_relative_eq!(air.pressure().unwrap().pascals(), row.number("p_pa"), max_relative = 1e-12);
    }
}
