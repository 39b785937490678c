//! Air at one temperature and density.

use uom::si::available_energy::joule_per_kilogram;
use uom::si::f64::{
    AvailableEnergy, MassDensity, Pressure, SpecificHeatCapacity, ThermodynamicTemperature, Velocity,
};
use uom::si::mass_density::kilogram_per_cubic_meter;
use uom::si::specific_heat_capacity::joule_per_kilogram_kelvin;
use uom::si::thermodynamic_temperature::kelvin;
use uom::si::velocity::meter_per_second;

use super::Isotherm;
use crate::Result;
use crate::units::{AbsolutePressure, pressure::pascals};

/// Air at one temperature and density, all properties from one evaluation.
///
/// With `a = alpha_0 + alpha_r`, subscripts for `delta d/d(delta)` and `tau d/d(tau)`, and `R` per mass:
///
/// | property | formula |
/// |---|---|
/// | pressure | `p = rho R T (1 + a_d)` (residual part) |
/// | entropy | `s = R (a_t - a)` |
/// | internal energy | `u = R T a_t` |
/// | enthalpy | `h = u + p/rho` |
/// | heat capacity at constant volume | `cv = -R a_tt` |
/// | heat capacity at constant pressure | `cp = cv + T (dp/dT)^2 / (rho^2 dp/drho)` |
/// | speed of sound | `w^2 = (cp/cv) dp/drho` |
///
/// Entropy and energies count from the zero of the publication: only differences mean anything.
/// Source and validity: see the [module](super).
///
/// # Example
/// At a low pressure air has `cv` near `5/2 R = 717.6 J/(kg K)`, and `cp` is larger by `R`.
/// ```
/// # use lungful::air::gas::State;
/// # use uom::si::{f64::{MassDensity, ThermodynamicTemperature}, mass_density::kilogram_per_cubic_meter};
/// # use uom::si::{specific_heat_capacity::joule_per_kilogram_kelvin, thermodynamic_temperature::kelvin};
/// let temperature = ThermodynamicTemperature::new::<kelvin>(293.15);
/// let air = State::at(temperature, MassDensity::new::<kilogram_per_cubic_meter>(0.001))?;
/// let cv = air.isochoric_heat_capacity().get::<joule_per_kilogram_kelvin>();
/// let cp = air.isobaric_heat_capacity().get::<joule_per_kilogram_kelvin>();
/// assert!((cv - 717.6).abs() < 1.0);
/// assert!((cp - cv - 8.31451 / 0.02896546).abs() < 0.01);
/// # Ok::<(), lungful::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct State {
    pub(super) temperature_k: f64,
    pub(super) density_kg_per_m3: f64,
    pub(super) pressure_pa: f64,
    /// J/kg
    pub(super) dp_drho: f64,
    /// Pa/K
    pub(super) dp_dt: f64,
    /// J/(kg K)
    pub(super) entropy: f64,
    /// J/kg
    pub(super) internal_energy: f64,
    /// J/(kg K)
    pub(super) heat_capacity_v: f64,
}

impl State {
    /// Air at `temperature` and `density`. For several densities at one temperature, take
    /// [`Isotherm::state`].
    ///
    /// # Errors
    /// [`Error::OutOfRange`](crate::Error::OutOfRange) outside 150 K to 600 K, for a density of zero or
    /// below, and above 35 MPa.
    pub fn at(temperature: ThermodynamicTemperature, density: MassDensity) -> Result<Self> {
        Isotherm::new(temperature)?.state(density)
    }

    /// Temperature T.
    #[must_use]
    pub fn temperature(&self) -> ThermodynamicTemperature {
        ThermodynamicTemperature::new::<kelvin>(self.temperature_k)
    }

    /// Density rho.
    #[must_use]
    pub fn density(&self) -> MassDensity {
        MassDensity::new::<kilogram_per_cubic_meter>(self.density_kg_per_m3)
    }

    /// Pressure p.
    ///
    /// # Errors
    /// None for a state in range; the type demands a pressure above zero.
    pub fn pressure(&self) -> Result<AbsolutePressure> {
        AbsolutePressure::new(pascals(self.pressure_pa))
    }

    /// `dp/d(rho)` at constant temperature (Pa m3/kg = J/kg).
    #[must_use]
    pub fn pressure_slope(&self) -> AvailableEnergy {
        AvailableEnergy::new::<joule_per_kilogram>(self.dp_drho)
    }

    /// `T dp/dT` at constant density: the rise of pressure per relative rise of temperature, which is the
    /// pressure itself for an ideal gas.
    #[must_use]
    pub fn thermal_pressure(&self) -> Pressure {
        pascals(self.temperature_k * self.dp_dt)
    }

    /// Specific entropy s.
    #[must_use]
    pub fn entropy(&self) -> SpecificHeatCapacity {
        SpecificHeatCapacity::new::<joule_per_kilogram_kelvin>(self.entropy)
    }

    /// `rho ds/d(rho)` at constant temperature, `-(dp/dT)/rho` (Maxwell): `-R` for an ideal gas.
    #[must_use]
    pub fn entropy_slope(&self) -> SpecificHeatCapacity {
        SpecificHeatCapacity::new::<joule_per_kilogram_kelvin>(-self.dp_dt / self.density_kg_per_m3)
    }

    /// Specific internal energy u.
    #[must_use]
    pub fn internal_energy(&self) -> AvailableEnergy {
        AvailableEnergy::new::<joule_per_kilogram>(self.internal_energy)
    }

    /// Specific enthalpy h.
    #[must_use]
    pub fn enthalpy(&self) -> AvailableEnergy {
        AvailableEnergy::new::<joule_per_kilogram>(
            self.internal_energy + self.pressure_pa / self.density_kg_per_m3,
        )
    }

    /// Heat capacity at constant volume, which is also `T ds/dT` at constant density.
    #[must_use]
    pub fn isochoric_heat_capacity(&self) -> SpecificHeatCapacity {
        SpecificHeatCapacity::new::<joule_per_kilogram_kelvin>(self.heat_capacity_v)
    }

    /// Heat capacity at constant pressure.
    #[must_use]
    pub fn isobaric_heat_capacity(&self) -> SpecificHeatCapacity {
        SpecificHeatCapacity::new::<joule_per_kilogram_kelvin>(self.heat_capacity_p())
    }

    /// Speed of sound.
    #[must_use]
    pub fn speed_of_sound(&self) -> Velocity {
        Velocity::new::<meter_per_second>(
            (self.heat_capacity_p() / self.heat_capacity_v * self.dp_drho).sqrt(),
        )
    }

    fn heat_capacity_p(&self) -> f64 {
        let expansion = self.dp_dt / self.density_kg_per_m3;
        self.heat_capacity_v + self.temperature_k * expansion * expansion / self.dp_drho
    }
}
