//! Air at one temperature.

use uom::si::available_energy::joule_per_kilogram;
use uom::si::f64::{AvailableEnergy, MassDensity, ThermodynamicTemperature};
use uom::si::mass_density::kilogram_per_cubic_meter;
use uom::si::thermodynamic_temperature::kelvin;

use super::equation::{
    self, GAS_CONSTANT_J_PER_KG_K, REDUCING_DENSITY_KG_PER_M3, REDUCING_TEMPERATURE_K, Row, Scaled,
};
use super::{HIGHEST_DENSITY_KG_PER_M3, State, require_density, require_pressure, require_temperature};
use crate::units::{AbsolutePressure, pressure::pascals};
use crate::{Error, Result};

/// Air at one temperature: all that depends on temperature alone is worked out once.
///
/// A tank that has come back to the temperature of the site moves along one isotherm, so a stroke count
/// needs one of these and then only densities and pressures.
///
/// `p = rho R T (1 + delta d(alpha_r)/d(delta)) / M`; symbols and source in the [module](super).
///
/// # Example
/// ```
/// # use lungful::{air::gas::Isotherm, units::{AbsolutePressure, pressure::pascals}};
/// # use uom::si::{f64::ThermodynamicTemperature, thermodynamic_temperature::kelvin};
/// let air = Isotherm::new(ThermodynamicTemperature::new::<kelvin>(293.15))?;
/// let tank = AbsolutePressure::new(pascals(1_000_000.0))?;
/// let density = air.density(tank)?;
/// // Z = 0.99654: the ideal gas law alone would give 11.8838 kg/m3
/// assert!((density.value - 11.8838 / 0.99654).abs() < 1e-3);
/// assert!((air.pressure(density)? - tank).value.abs() < 1e-6);
/// # Ok::<(), lungful::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Isotherm {
    temperature_k: f64,
    /// `R T / M`, J/kg.
    specific_rt: f64,
    ideal: Scaled<f64>,
    residual: Scaled<Row>,
}

/// Upper end of the bracket.
const HIGHEST_DELTA: f64 = HIGHEST_DENSITY_KG_PER_M3 / REDUCING_DENSITY_KG_PER_M3;
/// A Newton step below this share leaves an error of its square, far below rounding.
const LAST_STEP: f64 = 1e-9;
const MOST_STEPS: usize = 80;

impl Isotherm {
    /// Air at `temperature`.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] outside 150 K to 600 K.
    pub fn new(temperature: ThermodynamicTemperature) -> Result<Self> {
        require_temperature(temperature.value)?;
        Ok(Self::at(temperature.value))
    }

    /// As [`new`](Self::new) for a temperature that is known to be within range.
    pub(super) fn at(temperature_k: f64) -> Self {
        let tau = REDUCING_TEMPERATURE_K / temperature_k;
        let ln_tau = tau.ln();
        Self {
            temperature_k,
            specific_rt: GAS_CONSTANT_J_PER_KG_K * temperature_k,
            ideal: equation::ideal(tau, ln_tau),
            residual: equation::temperature_rows(tau, ln_tau),
        }
    }

    /// The temperature.
    #[must_use]
    pub fn temperature(&self) -> ThermodynamicTemperature {
        ThermodynamicTemperature::new::<kelvin>(self.temperature_k)
    }

    /// Pressure at a density.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] unless `density` is above zero and the pressure at most 35 MPa.
    pub fn pressure(&self, density: MassDensity) -> Result<AbsolutePressure> {
        require_density(density.value)?;
        let delta = density.value / REDUCING_DENSITY_KG_PER_M3;
        let residual = equation::sum(&equation::density_rows(delta).first, &self.residual.value);
        let pressure_pa = density.value * self.specific_rt * (1.0 + residual);
        require_pressure(pressure_pa)?;
        AbsolutePressure::new(pascals(pressure_pa))
    }

    /// Slope `dp/d(rho)` at constant temperature; an `AvailableEnergy` is Pa m3/kg.
    ///
    /// # Errors
    /// As [`pressure`](Self::pressure).
    pub fn pressure_slope(&self, density: MassDensity) -> Result<AvailableEnergy> {
        require_density(density.value)?;
        let (reduced_pressure, slope) = self.reduced_pressure(density.value / REDUCING_DENSITY_KG_PER_M3);
        require_pressure(REDUCING_DENSITY_KG_PER_M3 * self.specific_rt * reduced_pressure)?;
        Ok(AvailableEnergy::new::<joule_per_kilogram>(self.specific_rt * slope))
    }

    /// Density at a pressure, to rounding.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] above 35 MPa and at pressures whose density is zero as a number;
    /// [`Error::NoConvergence`] if the iteration does not settle,
    /// which no state in range is known to cause.
    pub fn density(&self, pressure: AbsolutePressure) -> Result<MassDensity> {
        Ok(self.density_and_slope(pressure)?.0)
    }

    /// Density at a pressure, and `dp/d(rho)` there, for the price of the density.
    ///
    /// # Errors
    /// As [`density`](Self::density).
    pub fn density_and_slope(&self, pressure: AbsolutePressure) -> Result<(MassDensity, AvailableEnergy)> {
        require_pressure(pressure.pascals())?;
        let target = pressure.pascals() / (self.specific_rt * REDUCING_DENSITY_KG_PER_M3);
        let (mut low, mut high) = (0.0, HIGHEST_DELTA);
        let mut delta = self.first_guess(target);
        for _ in 0..MOST_STEPS {
            let (reduced_pressure, slope) = self.reduced_pressure(delta);
            let excess = reduced_pressure - target;
            // The pressure rises with density above the critical temperature, so the sign of the excess
            // says on which side the answer lies.
            if excess > 0.0 {
                high = delta;
            } else {
                low = delta;
            }
            let newton = delta - excess / slope;
            if (newton - delta).abs() <= LAST_STEP * delta {
                let density_kg_per_m3 = newton * REDUCING_DENSITY_KG_PER_M3;
                // The smallest pressures that a number holds leave nothing of the density.
                require_density(density_kg_per_m3)?;
                // The slope is that of a point within the last step, which changes it by less than that share.
                return Ok((
                    MassDensity::new::<kilogram_per_cubic_meter>(density_kg_per_m3),
                    AvailableEnergy::new::<joule_per_kilogram>(self.specific_rt * slope),
                ));
            }
            delta = if newton > low && newton < high { newton } else { 0.5 * (low + high) };
        }
        Err(Error::NoConvergence {
            calculation: "air density",
            inputs: format!("{} Pa absolute, {} K", pressure.pascals(), self.temperature_k),
        })
    }

    /// All properties at a density.
    ///
    /// # Errors
    /// As [`pressure`](Self::pressure).
    pub fn state(&self, density: MassDensity) -> Result<State> {
        require_density(density.value)?;
        let state = self.state_at(density.value);
        require_pressure(state.pressure_pa)?;
        Ok(state)
    }

    /// As [`state`](Self::state), density unguarded, pressure unchecked.
    pub(super) fn state_at(&self, density_kg_per_m3: f64) -> State {
        let delta = density_kg_per_m3 / REDUCING_DENSITY_KG_PER_M3;
        let density = equation::density_rows(delta);
        let (ideal, residual) = (&self.ideal, &self.residual);
        let a_d = equation::sum(&density.first, &residual.value);
        let a_dd = equation::sum(&density.second, &residual.value);
        let a_dt = equation::sum(&density.first, &residual.first);
        let a = ideal.value + delta.ln() + equation::sum(&density.value, &residual.value);
        let a_t = ideal.first + equation::sum(&density.value, &residual.first);
        let a_tt = ideal.second + equation::sum(&density.value, &residual.second);
        State {
            temperature_k: self.temperature_k,
            density_kg_per_m3,
            pressure_pa: density_kg_per_m3 * self.specific_rt * (1.0 + a_d),
            dp_drho: self.specific_rt * (1.0 + 2.0 * a_d + a_dd),
            dp_dt: density_kg_per_m3 * GAS_CONSTANT_J_PER_KG_K * (1.0 + a_d - a_dt),
            entropy: GAS_CONSTANT_J_PER_KG_K * (a_t - a),
            internal_energy: self.specific_rt * a_t,
            heat_capacity_v: -GAS_CONSTANT_J_PER_KG_K * a_tt,
        }
    }

    /// `p / (rho_red R T)` and its derivative in `delta`.
    fn reduced_pressure(&self, delta: f64) -> (f64, f64) {
        let density = equation::density_rows(delta);
        let a_d = equation::sum(&density.first, &self.residual.value);
        let a_dd = equation::sum(&density.second, &self.residual.value);
        (delta * (1.0 + a_d), 1.0 + 2.0 * a_d + a_dd)
    }

    /// Second virial coefficient and the ideal gas law: good to a percent or so at the pressures of a
    /// receiver.
    fn first_guess(&self, target: f64) -> f64 {
        let [plain, _, _, _, _, damped_1, _, _, _, damped_2, _, _, damped_3, _] = self.residual.value;
        let second_virial = plain + damped_1 + damped_2 + damped_3;
        (target / (1.0 + second_virial * target).max(0.5)).min(0.5 * HIGHEST_DELTA)
    }
}
