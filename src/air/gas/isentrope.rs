//! Air that expands or is compressed without heat and without loss.

use uom::si::f64::{MassDensity, SpecificHeatCapacity, ThermodynamicTemperature};

use super::{
    HIGHEST_TEMPERATURE_K, Isotherm, LOWEST_TEMPERATURE_K, State, require_density, require_pressure,
};
use crate::units::AbsolutePressure;
use crate::{Error, Result};

/// The states that air passes when it expands without heat, all of one entropy.
///
/// Air left in a tank while some is drawn off quickly follows such a line: it cools more than the ideal
/// gas law says at first, since real air at 300 bar is stiff. Each state solves `s(rho, T) = s_0` for T.
/// Source and validity: see the [module](super).
///
/// # Example
/// An ideal gas with `k = 1.4` that expands to half its density from 293.15 K reaches
/// `293.15 / 2^0.4 = 222.2 K`. At 1 bar air is nearly that gas.
/// ```
/// # use lungful::{air::gas::{Expansion, Isentrope}, units::{AbsolutePressure, pressure::pascals}};
/// # use uom::si::{f64::ThermodynamicTemperature, thermodynamic_temperature::kelvin};
/// let site = ThermodynamicTemperature::new::<kelvin>(293.15);
/// let line = Isentrope::through(AbsolutePressure::new(pascals(100_000.0))?, site)?;
/// let half = line.start().density() / 2.0;
/// let Expansion::To(state) = line.state(half, site)? else { panic!("far above 150 K") };
/// assert!((state.temperature().get::<kelvin>() - 222.2).abs() < 0.3);
/// # Ok::<(), lungful::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Isentrope {
    start: State,
}

/// Where an expansion along an [`Isentrope`] ends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Expansion {
    /// At this state.
    To(State),
    /// Colder than 150 K, where this program has no figures: air may begin to condense not far below.
    TooCold,
}

/// Steps of `ln T` at which the iteration ends. The entropy is known to about 1e-15 of itself.
const SETTLED: f64 = 1e-13;
const MOST_STEPS: usize = 40;

impl Isentrope {
    /// The line through a pressure and temperature.
    ///
    /// # Errors
    /// As [`density`](super::density).
    pub fn through(pressure: AbsolutePressure, temperature: ThermodynamicTemperature) -> Result<Self> {
        let isotherm = Isotherm::new(temperature)?;
        Ok(Self { start: isotherm.state_at(isotherm.density(pressure)?.value) })
    }

    /// The state that the line was drawn through.
    #[must_use]
    pub const fn start(&self) -> State {
        self.start
    }

    /// The entropy of every state on the line.
    #[must_use]
    pub fn entropy(&self) -> SpecificHeatCapacity {
        self.start.entropy()
    }

    /// The state at a density. `guess` is any temperature, best that of a state nearby; it changes the
    /// number of steps, not the result.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for a density of zero or below, and where the state would be above 600 K or
    /// 35 MPa. A state below 150 K is no error but [`Expansion::TooCold`].
    pub fn state(&self, density: MassDensity, guess: ThermodynamicTemperature) -> Result<Expansion> {
        require_density(density.value)?;
        let mut temperature_k = if guess.value.is_finite() { guess.value } else { self.start.temperature_k }
            .clamp(LOWEST_TEMPERATURE_K, HIGHEST_TEMPERATURE_K);
        for _ in 0..MOST_STEPS {
            let state = Isotherm::at(temperature_k).state_at(density.value);
            // ds = cv d(ln T) at constant density, and cv hardly varies: Newton in ln T is nearly exact.
            let step = (self.start.entropy - state.entropy) / state.heat_capacity_v;
            if step.abs() < SETTLED {
                require_pressure(state.pressure_pa)?;
                return Ok(Expansion::To(state));
            }
            // Entropy rises with temperature, so at an end of the range the sign of the step decides.
            if temperature_k <= LOWEST_TEMPERATURE_K && step < 0.0 {
                return Ok(Expansion::TooCold);
            }
            if temperature_k >= HIGHEST_TEMPERATURE_K && step > 0.0 {
                return Err(Error::OutOfRange {
                    quantity: "air temperature",
                    value: format!("above {HIGHEST_TEMPERATURE_K} K at {} kg/m3", density.value),
                    requirement: "from 150 K to 600 K, where the equation of state for air is used",
                });
            }
            temperature_k = (temperature_k * step.exp()).clamp(LOWEST_TEMPERATURE_K, HIGHEST_TEMPERATURE_K);
        }
        Err(Error::NoConvergence {
            calculation: "isentropic expansion of air",
            inputs: format!(
                "from {} Pa absolute, {} K to {} kg/m3",
                self.start.pressure_pa, self.start.temperature_k, density.value
            ),
        })
    }
}
