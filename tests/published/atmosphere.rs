//! The standard atmosphere against printed tables, in metres and pascals and in feet and psi.

use approx::{assert_abs_diff_eq, assert_relative_eq};
use lungful::air::atmosphere::{pressure, temperature};
use uom::si::f64::Length;
use uom::si::length::{foot, meter};

/// One line of the table, in its units and with its number of digits.
struct Row {
    altitude_m: f64,
    temperature_k: f64,
    pressure_pa: f64,
    /// Half of the last digit printed.
    pressure_digit_pa: f64,
    density_kg_per_m3: f64,
    density_digit: f64,
}

#[test]
fn published_two_kilometre_table() {
    // U.S. Standard Atmosphere, 1976, table in steps of 2 km geometric altitude, as quoted by the tests of
    // the fluids library for Python.
    let row = |altitude_m, temperature_k, pressure_pa, density_kg_per_m3| Row {
        altitude_m,
        temperature_k,
        pressure_pa,
        pressure_digit_pa: if pressure_pa > 1e5 { 5.0 } else { 0.5 },
        density_kg_per_m3,
        density_digit: if density_kg_per_m3 > 1.0 { 0.5e-4 } else { 0.5e-5 },
    };
    for row in [
        row(0.0, 288.15, 1.0132e5, 1.225),
        row(2000.0, 275.15, 7.9501e4, 1.0066),
        row(4000.0, 262.17, 6.1660e4, 0.81935),
        row(6000.0, 249.19, 4.7218e4, 0.66011),
        row(10_000.0, 223.25, 2.6500e4, 0.41351),
    ] {
        let altitude = Length::new::<meter>(row.altitude_m);
        let air_temperature_k = temperature(altitude).unwrap().value;
        let air_pressure_pa = pressure(altitude).unwrap().pascals();
        assert_abs_diff_eq!(air_temperature_k, row.temperature_k, epsilon = 0.005);
        // 101 325 is a tie that the table prints as 1.0132; a hair more lets it pass.
        assert_abs_diff_eq!(air_pressure_pa, row.pressure_pa, epsilon = row.pressure_digit_pa * 1.001);
        // The table's density is that of its own ideal gas, rho = p M_0 / (R* T).
        let density = air_pressure_pa * 28.9644 / (8314.32 * air_temperature_k);
        assert_abs_diff_eq!(density, row.density_kg_per_m3, epsilon = row.density_digit);
    }
}

#[test]
fn from_memory_odd_kilometres() {
    // U.S. Standard Atmosphere, 1976, Table I; half of the last digit printed.
    for (altitude_m, hectopascals) in [(1000.0, 898.76), (3000.0, 701.21), (5000.0, 540.48)] {
        let air = pressure(Length::new::<meter>(altitude_m)).unwrap();
        assert_abs_diff_eq!(air.pascals() / 100.0, hectopascals, epsilon = 0.005);
    }
}

/// Geometric altitude of a geopotential height, `z = r_0 H / (r_0 - H)`.
fn geometric(geopotential: Length) -> Length {
    let earth_radius = Length::new::<meter>(6_356_766.0);
    earth_radius * (geopotential / (earth_radius - geopotential))
}

#[test]
fn published_table_in_feet_and_psi() {
    // ASHRAE Handbook, standard atmospheric data for altitudes, as reprinted. The print strays by up to
    // 0.0025 psi from any form of the standard atmosphere (14.175 at 1000 ft, where all give 14.1726), so
    // that much is allowed, not the last digit. At 20 000 ft it tells geometric altitude (6.7589) from
    // geopotential height (6.7534).
    for (altitude_ft, psia) in [
        (-1000.0, 15.236),
        (0.0, 14.696),
        (1000.0, 14.175),
        (2000.0, 13.664),
        (3000.0, 13.173),
        (5000.0, 12.230),
        (10_000.0, 10.108),
        (20_000.0, 6.758),
    ] {
        let air = pressure(Length::new::<foot>(altitude_ft)).unwrap();
        assert_abs_diff_eq!(air.pascals() / 6_894.757_293_168, psia, epsilon = 3e-3);
    }
}

#[test]
fn published_formula_in_feet() {
    // ASHRAE Handbook: p = 14.696 (1 - 6.8754e-6 Z)^5.2559 psia, t = 59 - 0.00356620 Z degF, Z the
    // geopotential height in ft.
    // 6.8754e-6 is good to 1e-5 of itself; five digits in 14.696: together 1e-4 of the pressure.
    for altitude_ft in [-1000.0, 0.0, 2500.0, 8000.0, 20_000.0, 35_000.0_f64] {
        let altitude = geometric(Length::new::<foot>(altitude_ft));
        let psia = 14.696 * (1.0 - 6.8754e-6 * altitude_ft).powf(5.2559);
        assert_relative_eq!(pressure(altitude).unwrap().pascals() / 6894.757, psia, max_relative = 1e-4);
        let fahrenheit = temperature(altitude).unwrap().value * 1.8 - 459.67;
        assert_abs_diff_eq!(fahrenheit, 59.0 - 0.003_566_20 * altitude_ft, epsilon = 0.01);
    }
}

#[test]
fn published_fit_in_metres() {
    // Summary of the U.S. Standard Atmosphere, 1976: p = 101325 (1 - h/44329)^5.255876 up to 11 km, h a
    // geopotential height. 44 329 m stands for T_0/-L = 44 330.8 m: 6e-5 of the pressure at 10 km.
    for altitude_m in [0.0, 500.0, 2000.0, 5000.0, 10_000.0_f64] {
        let fit = 101_325.0 * (1.0 - altitude_m / 44_329.0).powf(5.255_876);
        let air = pressure(geometric(Length::new::<meter>(altitude_m))).unwrap();
        assert_relative_eq!(air.pascals(), fit, max_relative = 1e-4);
    }
}
