//! Dry air as a real gas against printed tables.

use approx::assert_abs_diff_eq;
use lungful::air::gas::{self, State};
use lungful::units::{AbsolutePressure, pressure::pascals};
use uom::si::f64::ThermodynamicTemperature;
use uom::si::thermodynamic_temperature::kelvin;

/// Molar mass of dry air in g/mol, to put our figures into the units of the tables.
const MOLAR_MASS: f64 = 28.965_46;

fn absolute(megapascals: f64) -> AbsolutePressure {
    AbsolutePressure::new(pascals(megapascals * 1e6)).unwrap()
}

fn kelvins(value: f64) -> ThermodynamicTemperature {
    ThermodynamicTemperature::new::<kelvin>(value)
}

#[track_caller]
fn state(temperature_k: f64, pressure_mpa: f64) -> State {
    let density = gas::density(absolute(pressure_mpa), kelvins(temperature_k)).unwrap();
    State::at(kelvins(temperature_k), density).unwrap()
}

#[test]
fn published_single_phase_table() {
    // Lemmon, Jacobsen, Penoncello, Friend, J. Phys. Chem. Ref. Data 29(3), 331 (2000), Table A2, p. 366,
    // the one row within our range, as quoted by the tests of the iapws library for Python.
    // Tolerance: half of the last digit printed.
    let air = state(500.0, 0.2);
    let mole_per_liter = air.density().value / MOLAR_MASS;
    assert_abs_diff_eq!(mole_per_liter, 0.048_077, epsilon = 0.5e-6);
    let per_mole = MOLAR_MASS / 1000.0;
    assert_abs_diff_eq!(air.isochoric_heat_capacity().value * per_mole, 21.51, epsilon = 0.005);
    assert_abs_diff_eq!(air.isobaric_heat_capacity().value * per_mole, 29.84, epsilon = 0.005);
    assert_abs_diff_eq!(air.speed_of_sound().value, 446.6, epsilon = 0.05);
}

/// Compressibility factors along one isotherm; pressures in MPa.
struct Isotherm {
    source: &'static str,
    temperature_k: f64,
    factors: &'static [(f64, f64)],
    tolerance: f64,
}

impl Isotherm {
    #[track_caller]
    fn check(&self) {
        for &(pressure_mpa, expected) in self.factors {
            let factor =
                gas::compressibility(absolute(pressure_mpa), kelvins(self.temperature_k)).unwrap().value;
            assert!(
                (factor - expected).abs() <= self.tolerance,
                "{}: Z at {} K, {pressure_mpa} MPa is {factor}, expected {expected}",
                self.source,
                self.temperature_k
            );
        }
    }
}

const COOLPROP: &str = "CoolProp 8.0.0, fluid 'Air'";
/// Half of the last digit noted.
const FIFTH_DIGIT: f64 = 0.5e-5;

#[test]
fn cross_checked_compressibility_at_room_temperature() {
    for isotherm in [
        Isotherm {
            source: COOLPROP,
            temperature_k: 288.15,
            factors: &[
                (0.1, 0.99958),
                (1.0, 0.99605),
                (2.0, 0.99267),
                (5.0, 0.98565),
                (10.0, 0.98420),
                (20.0, 1.02122),
                (30.0, 1.10105),
            ],
            tolerance: FIFTH_DIGIT,
        },
        Isotherm {
            source: COOLPROP,
            temperature_k: 293.15,
            factors: &[
                (0.1, 0.99963),
                (0.5, 0.99820),
                (1.0, 0.99654),
                (1.5, 0.99502),
                (2.0, 0.99363),
                (3.0, 0.99123),
                (5.0, 0.98791),
                (10.0, 0.98814),
                (15.0, 1.00101),
                (20.0, 1.02602),
                (25.0, 1.06124),
                (30.0, 1.10428),
            ],
            tolerance: FIFTH_DIGIT,
        },
        Isotherm {
            source: COOLPROP,
            temperature_k: 298.15,
            factors: &[
                (0.1, 0.99968),
                (1.0, 0.99700),
                (2.0, 0.99453),
                (5.0, 0.99002),
                (10.0, 0.99180),
                (20.0, 1.03049),
                (30.0, 1.10731),
            ],
            tolerance: FIFTH_DIGIT,
        },
        Isotherm {
            source: COOLPROP,
            temperature_k: 300.0,
            factors: &[
                (1.0, 0.99716),
                (2.0, 0.99484),
                (5.0, 0.99076),
                (10.0, 0.99308),
                (20.0, 1.03207),
                (30.0, 1.10838),
            ],
            tolerance: FIFTH_DIGIT,
        },
    ] {
        isotherm.check();
    }
}

#[test]
fn cross_checked_density() {
    // CoolProp 8.0.0, fluid 'Air'; (K, MPa, kg/m3, half of the last digit noted).
    for (temperature_k, pressure_mpa, expected, tolerance) in [
        (273.15, 0.101_325, 1.29307, 0.5e-5),
        (288.15, 0.101_325, 1.22554, 0.5e-5),
        (293.15, 0.1, 1.18882, 0.5e-5),
        (300.0, 1.0, 11.6455, 0.5e-4),
        (300.0, 2.0, 23.3452, 0.5e-4),
        (300.0, 5.0, 58.6036, 0.5e-4),
        (300.0, 10.0, 116.933, 0.5e-3),
        (300.0, 20.0, 225.031, 0.5e-3),
        (300.0, 30.0, 314.308, 0.5e-3),
    ] {
        let density = gas::density(absolute(pressure_mpa), kelvins(temperature_k)).unwrap();
        assert_abs_diff_eq!(density.value, expected, epsilon = tolerance);
    }
}

#[test]
fn cross_checked_heat_capacity_of_room_air() {
    // CoolProp 8.0.0, fluid 'Air', half of the last digit noted.
    let air = state(293.15, 0.1);
    let cp = air.isobaric_heat_capacity().value;
    let cv = air.isochoric_heat_capacity().value;
    assert_abs_diff_eq!(cp, 1006.12, epsilon = 0.005);
    assert_abs_diff_eq!(cv, 717.66, epsilon = 0.005);
    assert_abs_diff_eq!(air.speed_of_sound().value, 343.34, epsilon = 0.005);
}

#[test]
fn from_memory_compressibility_of_another_data_set() {
    // Table of compressibility factors of air, Perry's Chemical Engineers' Handbook (6th ed., 1984, p. 3-162),
    // 300 K. It rests on older data than this equation, which claims 0.1 %.
    Isotherm {
        source: "Perry's Chemical Engineers' Handbook, from memory",
        temperature_k: 300.0,
        factors: &[
            (0.1, 0.9999),
            (0.5, 0.9987),
            (1.0, 0.9974),
            (2.0, 0.9950),
            (4.0, 0.9917),
            (6.0, 0.9901),
            (8.0, 0.9903),
            (10.0, 0.9930),
            (15.0, 1.0074),
            (20.0, 1.0326),
            (25.0, 1.0669),
            (30.0, 1.1089),
        ],
        tolerance: 1e-3,
    }
    .check();
}
