//! The gas law of the time domain.
//!
//! `p = rho R T Z(rho)`, `u = cv T`, with `Z` that of real dry air at the temperature of the site and `cv`
//! its heat capacity there.
//!
//! A gas whose compressibility depends on density alone has an internal energy that depends on temperature
//! alone, so the two laws go together without contradiction. At the temperature of the site the density is
//! that of real air: with heat exchanged fast the strokes of a fill are those of the slow count. Without
//! heat exchange this gas cools less than real air (whose `dp/dT` at constant density is above `p/T`), so it
//! stays on the near side of the quick count. What it leaves out is cooling by throttling (Joule-Thomson):
//! about 0.2 K a bar, 2 K from a receiver, some 35 K from a full bottle.
//! At 11 bar and 50 K below the site the density is off by 1 %.

use uom::si::f64::ThermodynamicTemperature;

use crate::Result;
use crate::air::gas::Isotherm;
use crate::units::AbsolutePressure;
use crate::units::pressure::pascals;

/// Gas constant of the equation of state over the molar mass of dry air, J/(kg K). Source: see
/// [`air::gas`](crate::air::gas).
pub(super) const GAS_CONSTANT: f64 = 8.314_51 / 0.028_965_46;

/// Terms of the polynomial `(Z - 1)/rho`.
const TERMS: usize = 7;

/// Air by density and temperature. SI base units.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct AirLaw {
    /// Heat capacity at constant volume.
    pub(super) cv: f64,
    /// `Z = 1 + rho * sum c_i rho^i`; none for an ideal gas.
    coefficients: Option<[f64; TERMS]>,
}

impl AirLaw {
    /// An ideal gas with `cv = 5/2 R`, so that `cp/cv = 1.4`.
    pub(super) const fn ideal() -> Self {
        Self { cv: 2.5 * GAS_CONSTANT, coefficients: None }
    }

    /// Real air, fitted at one temperature up to a pressure. The fit passes through Chebyshev nodes in
    /// density; up to 20 bar it is exact to 1e-10, up to 350 bar to 1e-5.
    pub(super) fn real(
        temperature: ThermodynamicTemperature,
        atmosphere: AbsolutePressure,
        highest: AbsolutePressure,
    ) -> Result<Self> {
        let air = Isotherm::new(temperature)?;
        let cv = air.state(air.density(atmosphere)?)?.isochoric_heat_capacity().value;
        let top = air.density(highest)?.value;
        let mut nodes = [0.0; TERMS];
        let mut values = [0.0; TERMS];
        for (index, (node, value)) in nodes.iter_mut().zip(&mut values).enumerate() {
            #[allow(clippy::cast_precision_loss, reason = "a handful")]
            let angle = std::f64::consts::PI * (index as f64 + 0.5) / TERMS as f64;
            *node = 0.5 * (1.0 + angle.cos());
            let density = uom::si::f64::MassDensity::new::<uom::si::mass_density::kilogram_per_cubic_meter>(
                *node * top,
            );
            let ideal_pa = density.value * GAS_CONSTANT * temperature.value;
            *value = (air.pressure(density)?.pascals() / ideal_pa - 1.0) / density.value;
        }
        Ok(Self { cv, coefficients: Some(through(&nodes, &values, top)) })
    }

    /// `Z` and `rho dZ/d(rho)`.
    pub(super) fn compressibility(&self, density: f64) -> (f64, f64) {
        let Some(coefficients) = &self.coefficients else { return (1.0, 0.0) };
        let (mut sum, mut slope) = (0.0, 0.0);
        for coefficient in coefficients.iter().rev() {
            slope = slope * density + sum;
            sum = sum * density + coefficient;
        }
        (1.0 + density * sum, density * (sum + density * slope))
    }

    /// Density at a pressure and temperature.
    pub(super) fn density(&self, pressure_pa: f64, temperature_k: f64) -> f64 {
        let ideal = pressure_pa / (GAS_CONSTANT * temperature_k);
        let mut density = ideal;
        // Newton's iteration on rho Z(rho) = p/(R T), whose slope is near 1.
        for _ in 0..50 {
            let (z, slope) = self.compressibility(density);
            let step = (density * z - ideal) / (z + slope);
            density -= step;
            if step.abs() <= 1e-15 * density.abs() {
                break;
            }
        }
        density
    }

    /// Pressure at a density and temperature.
    pub(super) fn pressure(&self, density: f64, temperature_k: f64) -> f64 {
        density * GAS_CONSTANT * temperature_k * self.compressibility(density).0
    }

    /// `R/cv`.
    pub(super) fn work_share(&self) -> f64 {
        GAS_CONSTANT / self.cv
    }
}

/// Polynomial through the values, by Newton's divided differences, as coefficients of `rho = top * node`.
fn through(nodes: &[f64; TERMS], values: &[f64; TERMS], top: f64) -> [f64; TERMS] {
    #![allow(clippy::indexing_slicing, reason = "arrays of the same fixed length")]
    let mut differences = *values;
    for order in 1..TERMS {
        for index in (order..TERMS).rev() {
            differences[index] =
                (differences[index] - differences[index - 1]) / (nodes[index] - nodes[index - order]);
        }
    }
    let mut coefficients = [0.0; TERMS];
    for index in (0..TERMS).rev() {
        // Multiply by (u - node) and add the difference.
        for power in (1..TERMS).rev() {
            coefficients[power] = coefficients[power - 1] - nodes[index] * coefficients[power];
        }
        coefficients[0] = differences[index] - nodes[index] * coefficients[0];
    }
    let mut scale = 1.0;
    for coefficient in &mut coefficients {
        *coefficient *= scale;
        scale /= top;
    }
    coefficients
}

/// An absolute pressure from pascals.
pub(super) fn absolute(pressure_pa: f64) -> Result<AbsolutePressure> {
    AbsolutePressure::new(pascals(pressure_pa))
}

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;
    use uom::si::thermodynamic_temperature::kelvin;

    use super::*;

    fn law(highest_pa: f64) -> (AirLaw, Isotherm) {
        let site = ThermodynamicTemperature::new::<kelvin>(293.15);
        let law = AirLaw::real(site, absolute(1e5).unwrap(), absolute(highest_pa).unwrap()).unwrap();
        (law, Isotherm::new(site).unwrap())
    }

    #[test]
    fn fit_follows_the_equation_of_state() {
        for (highest_pa, tolerance) in [(2e6, 1e-10), (3.3e7, 1e-5)] {
            let (law, air) = law(highest_pa);
            for step in 1..=50 {
                let pressure_pa = highest_pa * f64::from(step) / 50.0;
                let density = air.density(absolute(pressure_pa).unwrap()).unwrap().value;
                assert_relative_eq!(law.density(pressure_pa, 293.15), density, max_relative = tolerance);
                assert_relative_eq!(law.pressure(density, 293.15), pressure_pa, max_relative = tolerance);
            }
        }
    }

    #[test]
    fn slope_agrees_with_differences() {
        let (law, _) = law(3e7);
        for density in [1.0, 10.0, 100.0, 300.0] {
            let step = 1e-4 * density;
            let [low, high] = [-step, step].map(|d| law.compressibility(density + d).0);
            // Truncation of a central difference over 1e-4 is 1e-8 of the curvature.
            let slope = density * (high - low) / (2.0 * step);
            assert_relative_eq!(law.compressibility(density).1, slope, epsilon = 1e-8);
        }
    }
}
