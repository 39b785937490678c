//! The atmosphere at the altitude of the site, and standard gravity.
//!
//! U.S. Standard Atmosphere, 1976 (NOAA, NASA, USAF; NOAA-S/T 76-1562), lowest layer. It is the average
//! of a mid-latitude year: the barometer of a day differs by some 3 %, so where the pressure of the place
//! is known, that is the better figure.

use std::marker::PhantomData;

use uom::si::f64::{Acceleration, Length, ThermodynamicTemperature};
use uom::si::thermodynamic_temperature::kelvin;

use crate::units::{AbsolutePressure, pressure::pascals};
use crate::{Result, guard};

/// Standard acceleration of gravity, 9.80665 m/s2 (3rd General Conference on Weights and Measures, 1901;
/// also `g_0` of the standard atmosphere). The weight of a mass is taken with it everywhere.
pub const STANDARD_GRAVITY: Acceleration =
    Acceleration { dimension: PhantomData, units: PhantomData, value: GRAVITY_M_PER_S2 };

const GRAVITY_M_PER_S2: f64 = 9.806_65;
/// `r_0`, effective radius of the Earth, m.
const EARTH_RADIUS_M: f64 = 6_356_766.0;
/// `R*`, gas constant of this atmosphere, J/(kmol K). Newer values differ; the tables are made with this one.
const GAS_CONSTANT_J_PER_KMOL_K: f64 = 8_314.32;
/// `M_0`, molar mass of air at sea level, kg/kmol.
const MOLAR_MASS_KG_PER_KMOL: f64 = 28.9644;
/// `T_0`, temperature at sea level, K.
const SEA_LEVEL_TEMPERATURE_K: f64 = 288.15;
/// `p_0`, pressure at sea level, Pa.
const SEA_LEVEL_PRESSURE_PA: f64 = 101_325.0;
/// `L`, change of temperature with geopotential height, K/m.
const LAPSE_RATE_K_PER_M: f64 = -0.006_5;
/// `g_0 M_0 / (R* -L)`, about 5.2559.
const EXPONENT: f64 =
    GRAVITY_M_PER_S2 * MOLAR_MASS_KG_PER_KMOL / (GAS_CONSTANT_J_PER_KMOL_K * -LAPSE_RATE_K_PER_M);

/// Lowest and highest geometric altitude, m. The lapse rate holds to 11 km of geopotential height, which
/// is a little higher; the deepest dry land lies at -430 m.
const LOWEST_ALTITUDE_M: f64 = -500.0;
const HIGHEST_ALTITUDE_M: f64 = 11_000.0;

/// Pressure of the standard atmosphere at a geometric altitude (height above mean sea level, as on a map).
///
/// `p = p_0 (T/T_0)^(g_0 M_0 / (R* -L))` with `T` from [`temperature`]; `p_0` = 101 325 Pa, `T_0` =
/// 288.15 K, `g_0` = 9.80665 m/s2, `M_0` = 28.9644 kg/kmol, `R*` = 8314.32 J/(kmol K), `L` = -6.5 K/km.
///
/// Source: U.S. Standard Atmosphere, 1976, equation (33a). Valid from -500 m to 11 km.
///
/// # Errors
/// [`Error::OutOfRange`](crate::Error::OutOfRange) below -500 m and above 11 km.
///
/// # Example
/// At 2000 m: `H = 6356766 * 2000 / 6358766 = 1999.37 m`, `T = 288.15 - 0.0065 * 1999.37 = 275.154 K`,
/// `p = 101325 * (275.154/288.15)^5.25588 = 79 501 Pa`.
/// ```
/// # use lungful::air::atmosphere::pressure;
/// # use uom::si::{f64::Length, length::meter};
/// let site = pressure(Length::new::<meter>(2000.0))?;
/// assert!((site.pascals() - 79_501.0).abs() < 1.0);
/// # Ok::<(), lungful::Error>(())
/// ```
pub fn pressure(altitude: Length) -> Result<AbsolutePressure> {
    let temperature_ratio = temperature(altitude)?.value / SEA_LEVEL_TEMPERATURE_K;
    AbsolutePressure::new(pascals(SEA_LEVEL_PRESSURE_PA * temperature_ratio.powf(EXPONENT)))
}

/// Temperature of the standard atmosphere at a geometric altitude.
///
/// `T = T_0 + L H` with the geopotential height `H = r_0 z / (r_0 + z)`, `r_0` = 6 356 766 m, `z` the
/// altitude. It is only part of the standard: the air of a site has the temperature that is stated for it.
///
/// Source: U.S. Standard Atmosphere, 1976, equations (18) and (23). Valid from -500 m to 11 km.
///
/// # Errors
/// As [`pressure`].
///
/// # Example
/// ```
/// # use lungful::air::atmosphere::temperature;
/// # use uom::si::{f64::Length, length::meter};
/// let air = temperature(Length::new::<meter>(2000.0))?;
/// assert!((air.value - (288.15 - 0.0065 * 1999.37)).abs() < 1e-3);
/// # Ok::<(), lungful::Error>(())
/// ```
pub fn temperature(altitude: Length) -> Result<ThermodynamicTemperature> {
    let altitude_m = altitude.value;
    guard::require(
        (LOWEST_ALTITUDE_M..=HIGHEST_ALTITUDE_M).contains(&altitude_m),
        "altitude",
        altitude_m,
        "m",
        "from -500 m to 11 000 m, the lowest layer of the standard atmosphere",
    )?;
    let geopotential_m = EARTH_RADIUS_M * altitude_m / (EARTH_RADIUS_M + altitude_m);
    Ok(ThermodynamicTemperature::new::<kelvin>(SEA_LEVEL_TEMPERATURE_K + LAPSE_RATE_K_PER_M * geopotential_m))
}

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;
    use uom::si::length::meter;

    use super::*;
    use crate::Error;

    fn pascals_at(altitude_m: f64) -> f64 {
        pressure(Length::new::<meter>(altitude_m)).unwrap().pascals()
    }

    #[test]
    fn sea_level_is_exact() {
        assert_relative_eq!(pascals_at(0.0), 101_325.0, max_relative = 1e-15);
        assert_relative_eq!(STANDARD_GRAVITY.value, 9.806_65, max_relative = 0.0);
    }

    #[test]
    fn pressure_balances_the_weight_of_the_air() {
        // dp/dH = -rho g_0 with rho = p M_0 / (R* T): the equation that the closed form solves. H runs
        // slower than z by (r_0/(r_0+z))^2.
        for altitude_m in [-400.0, 0.0, 1500.0, 10_000.0] {
            let step = 1.0;
            let slope = (pascals_at(altitude_m + step) - pascals_at(altitude_m - step)) / (2.0 * step);
            let air_temperature_k = temperature(Length::new::<meter>(altitude_m)).unwrap().value;
            let density = pascals_at(altitude_m) * 28.9644 / (8314.32 * air_temperature_k);
            let gravity = 9.806_65 * (6_356_766.0_f64 / (6_356_766.0 + altitude_m)).powi(2);
            // Central difference over 1 m of a curve with a scale of 8 km: 1e-8; rounding 1e-10.
            assert_relative_eq!(slope, -density * gravity, max_relative = 1e-7);
        }
    }

    #[test]
    fn altitudes_outside_the_layer_are_refused() {
        for altitude_m in [-500.1, 11_000.1, f64::NAN, f64::INFINITY, -7e6] {
            let refused = pressure(Length::new::<meter>(altitude_m));
            assert!(matches!(refused, Err(Error::OutOfRange { quantity: "altitude", .. })), "{altitude_m}");
        }
        assert!(pascals_at(-500.0) > pascals_at(11_000.0));
    }
}
