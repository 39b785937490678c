//! Dry air as a real gas.
//!
//! At 300 bar air is a tenth less dense than the ideal gas law says, at 100 bar a hundredth more; a tank
//! content from `p V = m R T` is wrong by that much. The equation used here is that of Lemmon, Jacobsen,
//! Penoncello and Friend, "Thermodynamic properties of air and mixtures of nitrogen, argon, and oxygen
//! from 60 to 2000 K at pressures to 2000 MPa", J. Phys. Chem. Ref. Data 29(3), 331 (2000): air as one
//! pseudo-pure fluid whose Helmholtz energy `a` is
//!
//! `a/(R T) = alpha_0(delta, tau) + alpha_r(delta, tau)`, `delta = rho/rho_red`, `tau = T_red/T`
//!
//! | symbol | value | meaning |
//! |---|---|---|
//! | R | 8.31451 J/(mol K) | molar gas constant of the publication |
//! | M | 28.96546 g/mol | molar mass of dry air |
//! | `T_red` | 132.6312 K | reducing temperature |
//! | `rho_red` | 10.4477 mol/dm3 | reducing density |
//!
//! All other properties are derivatives of it, so they agree with each other to rounding.
//!
//! **Validity.** Here 150 K to 600 K and up to 35 MPa absolute, where air has one phase; anything else
//! is refused. The publication gives 0.1 % uncertainty in density up to 873 K and 70 MPa, 0.2 % in
//! speed of sound and 1 % in heat capacity. Water vapour is not part of it.
//!
//! Which type to use: [`density`] for a single figure; [`Isotherm`] for many figures at one temperature;
//! [`State`] for everything at one point; [`Isentrope`] for an expansion without heat.

mod equation;
mod isentrope;
mod isotherm;
mod state;

use std::marker::PhantomData;

use uom::si::f64::{MassDensity, Ratio, ThermodynamicTemperature};

pub use isentrope::{Expansion, Isentrope};
pub use isotherm::Isotherm;
pub use state::State;

use crate::units::AbsolutePressure;
use crate::{Result, guard};
pub(crate) use equation::GAS_CONSTANT_J_PER_KG_K;

/// Lowest temperature, K: above the critical region at every pressure, so that air has one phase.
const LOWEST_TEMPERATURE_K: f64 = 150.0;
/// Lowest temperature at which anything here answers, 150 K: an iteration of a caller's own that would go
/// below it has left the range (an [`Isentrope`] says [`Expansion::TooCold`] there).
pub const LOWEST_TEMPERATURE: ThermodynamicTemperature =
    ThermodynamicTemperature { dimension: PhantomData, units: PhantomData, value: LOWEST_TEMPERATURE_K };
/// Highest temperature, K.
const HIGHEST_TEMPERATURE_K: f64 = 600.0;
/// Highest absolute pressure, Pa.
const HIGHEST_PRESSURE_PA: f64 = 35.0e6;
/// Densest that any iteration looks, kg/m3: at 150 K and 35 MPa air has 704 kg/m3.
const HIGHEST_DENSITY_KG_PER_M3: f64 = 900.0;

/// Density of dry air.
///
/// Solves `p = rho R T (1 + delta d(alpha_r)/d(delta)) / M` for `rho`; see the [module](self) for
/// symbols, source and uncertainty.
///
/// # Errors
/// [`Error::OutOfRange`](crate::Error::OutOfRange) outside 150 K to 600 K or above 35 MPa.
///
/// # Example
/// The ideal gas law gives `1e5 * 0.02896546 / (8.31451 * 293.15) = 1.18838 kg/m3`; air at this state is
/// 0.04 % denser.
/// ```
/// # use lungful::{air::gas::density, units::{AbsolutePressure, pressure::pascals}};
/// # use uom::si::{f64::ThermodynamicTemperature, mass_density::kilogram_per_cubic_meter, thermodynamic_temperature::kelvin};
/// let pressure = AbsolutePressure::new(pascals(100_000.0))?;
/// let density = density(pressure, ThermodynamicTemperature::new::<kelvin>(293.15))?;
/// assert!((density.get::<kilogram_per_cubic_meter>() - 1.18838 * 1.00037).abs() < 1e-5);
/// # Ok::<(), lungful::Error>(())
/// ```
pub fn density(pressure: AbsolutePressure, temperature: ThermodynamicTemperature) -> Result<MassDensity> {
    Isotherm::new(temperature)?.density(pressure)
}

/// Compressibility factor `Z = p M / (rho R T)`: 1 for an ideal gas, below 1 where air is denser than that.
///
/// # Errors
/// As [`density`].
///
/// # Example
/// A 300 bar bottle at 27 degC holds a tenth less than the ideal gas law promises.
/// ```
/// # use lungful::{air::gas::compressibility, units::{AbsolutePressure, pressure::pascals}};
/// # use uom::si::{f64::ThermodynamicTemperature, ratio::ratio, thermodynamic_temperature::kelvin};
/// let bottle = AbsolutePressure::new(pascals(30e6))?;
/// let factor = compressibility(bottle, ThermodynamicTemperature::new::<kelvin>(300.0))?;
/// assert!((factor.get::<ratio>() - 1.1084).abs() < 1e-4);
/// # Ok::<(), lungful::Error>(())
/// ```
pub fn compressibility(pressure: AbsolutePressure, temperature: ThermodynamicTemperature) -> Result<Ratio> {
    let density_kg_per_m3 = density(pressure, temperature)?.value;
    let ideal_pa = density_kg_per_m3 * GAS_CONSTANT_J_PER_KG_K * temperature.value;
    Ok(Ratio::new::<uom::si::ratio::ratio>(pressure.pascals() / ideal_pa))
}

fn require_temperature(temperature_k: f64) -> Result<()> {
    guard::require(
        (LOWEST_TEMPERATURE_K..=HIGHEST_TEMPERATURE_K).contains(&temperature_k),
        "air temperature",
        temperature_k,
        "K",
        "from 150 K to 600 K, where the equation of state for air is used",
    )
}

fn require_density(density_kg_per_m3: f64) -> Result<()> {
    guard::require(
        density_kg_per_m3 > 0.0 && density_kg_per_m3 <= HIGHEST_DENSITY_KG_PER_M3,
        "air density",
        density_kg_per_m3,
        "kg/m3",
        "above 0 and at most 900 kg/m3, where the equation of state for air is used",
    )
}

fn require_pressure(pressure_pa: f64) -> Result<()> {
    // A density found at the limit itself may give a pressure that is a rounding above it.
    const ROUNDING: f64 = 1e-9;
    guard::require(
        pressure_pa > 0.0 && pressure_pa <= HIGHEST_PRESSURE_PA * (1.0 + ROUNDING),
        "air pressure",
        pressure_pa,
        "Pa absolute",
        "above 0 and at most 35 MPa absolute, where the equation of state for air is used",
    )
}

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;
    use uom::si::mass_density::kilogram_per_cubic_meter;
    use uom::si::thermodynamic_temperature::kelvin;

    use super::*;
    use crate::Error;
    use crate::units::pressure::pascals;

    fn kelvins(value: f64) -> ThermodynamicTemperature {
        ThermodynamicTemperature::new::<kelvin>(value)
    }

    fn per_cubic_meter(value: f64) -> MassDensity {
        MassDensity::new::<kilogram_per_cubic_meter>(value)
    }

    fn absolute(value: f64) -> AbsolutePressure {
        AbsolutePressure::new(pascals(value)).unwrap()
    }

    const TEMPERATURES_K: [f64; 8] = [150.0, 151.0, 170.0, 200.0, 250.0, 293.15, 400.0, 600.0];

    #[test]
    fn thin_air_is_an_ideal_gas() {
        for temperature_k in TEMPERATURES_K {
            // The second virial coefficient of air at 150 K is about -0.0026 m3/kg, so Z - 1 at 1 Pa is
            // some 1e-7 at most.
            let factor = compressibility(absolute(1.0), kelvins(temperature_k)).unwrap();
            assert_relative_eq!(factor.value, 1.0, epsilon = 1e-7);
        }
    }

    #[test]
    fn density_and_pressure_are_inverse() {
        for temperature_k in TEMPERATURES_K {
            let air = Isotherm::new(kelvins(temperature_k)).unwrap();
            for step in 0..=200 {
                let pressure_pa = 1e-3 * 35.0e9_f64.powf(f64::from(step) / 200.0);
                let density = air.density(absolute(pressure_pa)).unwrap();
                let back = air.state_at(density.value).pressure_pa;
                assert_relative_eq!(back, pressure_pa, max_relative = 1e-13);
            }
        }
    }

    #[test]
    fn pressure_rises_with_density() {
        for temperature_k in TEMPERATURES_K {
            let air = Isotherm::at(temperature_k);
            for step in 1..=900 {
                assert!(air.state_at(f64::from(step)).dp_drho > 0.0, "{step} kg/m3, {temperature_k} K");
            }
        }
    }

    #[track_caller]
    fn assert_difference(exact: f64, low: f64, high: f64, step: f64) {
        // Central difference over a relative step of 1e-4: truncation about 1e-8 of the value, more near
        // the critical region; rounding 1e-12.
        assert_relative_eq!(exact, (high - low) / (2.0 * step), max_relative = 2e-6);
    }

    #[test]
    fn slopes_agree_with_differences() {
        for temperature_k in [160.0, 200.0, 293.15, 500.0] {
            for density in [0.5, 12.0, 150.0, 330.0] {
                let here = Isotherm::at(temperature_k).state_at(density);
                let step = 1e-4 * density;
                let [low, high] = [-step, step].map(|d| Isotherm::at(temperature_k).state_at(density + d));
                assert_difference(here.dp_drho, low.pressure_pa, high.pressure_pa, step);
                // Maxwell: rho^2 ds/drho = -dp/dT, two derivatives worked out by different routes.
                assert_difference(here.entropy_slope().value / density, low.entropy, high.entropy, step);

                let step = 1e-4 * temperature_k;
                let [low, high] = [-step, step].map(|d| Isotherm::at(temperature_k + d).state_at(density));
                assert_difference(here.dp_dt, low.pressure_pa, high.pressure_pa, step);
                assert_difference(here.heat_capacity_v / temperature_k, low.entropy, high.entropy, step);
                assert_difference(here.heat_capacity_v, low.internal_energy, high.internal_energy, step);
            }
        }
    }

    #[test]
    fn work_along_an_isentrope_is_the_energy_given_off() {
        // du = p drho / rho^2 along an isentrope: Simpson's rule over 300 to 100 bar against u.
        let line = Isentrope::through(absolute(30e6), kelvins(293.15)).unwrap();
        let (full, end) = (line.start().density().value, 160.0);
        let intervals = 64;
        let width = (full - end) / f64::from(intervals);
        let mut work = 0.0;
        let mut last = line.start();
        for index in 0..=intervals {
            let density = full - width * f64::from(index);
            let Expansion::To(state) = line.state(per_cubic_meter(density), last.temperature()).unwrap()
            else {
                panic!("too cold at {density} kg/m3")
            };
            let weight = if index == 0 || index == intervals {
                1.0
            } else if index % 2 == 1 {
                4.0
            } else {
                2.0
            };
            work += weight * width / 3.0 * state.pressure_pa / (density * density);
            last = state;
        }
        let given_off = line.start().internal_energy - last.internal_energy;
        // Simpson's error falls with the fourth power of the width, here below 1e-9.
        assert_relative_eq!(work, given_off, max_relative = 1e-8);
    }

    #[test]
    fn expansion_far_down_is_too_cold_and_no_error() {
        let line = Isentrope::through(absolute(30e6), kelvins(293.15)).unwrap();
        let mut temperature = kelvins(293.15);
        let mut coldest = temperature;
        let mut ended = false;
        for step in 0..300 {
            let density = per_cubic_meter(line.start().density().value - f64::from(step));
            match line.state(density, temperature).unwrap() {
                Expansion::To(state) => {
                    assert!(!ended, "colder air cannot warm again by expanding");
                    assert!(step == 0 || state.temperature() < temperature, "{density:?}");
                    temperature = state.temperature();
                    coldest = temperature;
                }
                Expansion::TooCold => ended = true,
            }
        }
        // It must come close to 150 K before it gives up: steps of 1 kg/m3 are below 1 K here.
        assert!(ended && coldest < kelvins(151.0), "{coldest:?}");
    }

    #[test]
    fn guess_does_not_change_the_state() {
        let line = Isentrope::through(absolute(20e6), kelvins(293.15)).unwrap();
        let at = |guess| line.state(per_cubic_meter(150.0), kelvins(guess)).unwrap();
        let Expansion::To(near) = at(260.0) else { panic!("too cold") };
        for guess in [150.0, 600.0, 1.0, 1e9, f64::NAN, f64::INFINITY] {
            let Expansion::To(state) = at(guess) else { panic!("too cold from {guess}") };
            assert_relative_eq!(state.temperature_k, near.temperature_k, max_relative = 1e-12);
        }
    }

    #[test]
    fn nothing_outside_the_range_is_answered() {
        for temperature_k in [0.0, 149.999, 600.001, -1.0, f64::NAN, f64::INFINITY] {
            let refused = Isotherm::new(kelvins(temperature_k));
            assert!(matches!(refused, Err(Error::OutOfRange { quantity: "air temperature", .. })));
        }
        let air = Isotherm::new(kelvins(293.15)).unwrap();
        assert!(matches!(
            air.density(absolute(35.1e6)),
            Err(Error::OutOfRange { quantity: "air pressure", .. })
        ));
        let line = Isentrope::through(absolute(1e6), kelvins(590.0)).unwrap();
        for density in [0.0, -1.0, 600.0, 1e9, 1e200, f64::NAN, f64::INFINITY] {
            let density = per_cubic_meter(density);
            assert!(matches!(air.pressure(density), Err(Error::OutOfRange { .. })), "{density:?}");
            assert!(matches!(air.pressure_slope(density), Err(Error::OutOfRange { .. })), "{density:?}");
            assert!(matches!(air.state(density), Err(Error::OutOfRange { .. })), "{density:?}");
            let refused = line.state(density, kelvins(590.0));
            assert!(matches!(refused, Err(Error::OutOfRange { .. })), "{density:?}: {refused:?}");
        }
    }
}
