//! How the air left in a tank behaves while some of it goes to the cylinders: back at the temperature of the
//! site (slow), or expanding without heat (quick).
//!
//! Both take masses and volumes as numbers in kg and m3, since a count runs through thousands of states.

use uom::si::f64::{Mass, MassDensity, Ratio, ThermodynamicTemperature, Volume};
use uom::si::mass::kilogram;
use uom::si::mass_density::kilogram_per_cubic_meter;
use uom::si::thermodynamic_temperature::kelvin;

use crate::air::gas::{Expansion, Isentrope, Isotherm, State};
use crate::units::AbsolutePressure;
use crate::{Error, Result};

/// Range of the gas equation.
const LOWEST_TEMPERATURE_K: f64 = 150.0;
const HIGHEST_TEMPERATURE_K: f64 = 600.0;
/// Relative step at which Newton's iteration ends.
const SETTLED: f64 = 1e-12;
const MOST_STEPS: usize = 60;

/// A tank that gives air to a volume.
pub(super) trait Gas {
    /// State of the air in the tank.
    type State: Copy;
    /// A pressure to fill a volume to, with what can be worked out of it once.
    type Level: Copy;

    /// Inside volume of the tank.
    fn tank(&self) -> Volume;
    /// A pressure to fill to.
    fn level(&self, pressure: AbsolutePressure) -> Result<Self::Level>;
    /// Pressure in the tank.
    fn pressure(&self, state: Self::State) -> Result<AbsolutePressure>;
    /// The tank when it and `volume`, which held `before`, have come to one pressure; `None` if too cold.
    fn settle(&self, state: Self::State, volume: Volume, before: Mass) -> Result<Option<Self::State>>;
    /// The tank after it has filled `volume`, which held `before`, to `level`, for a tank that can.
    /// `None` if too cold.
    fn give(
        &self,
        state: Self::State,
        volume: Volume,
        before: Mass,
        level: Self::Level,
    ) -> Result<Option<Self::State>>;
}

/// The tank is back at the temperature of the site before and after each stroke.
#[derive(Debug, Clone, Copy)]
pub(super) struct Slow<'a> {
    pub(super) air: &'a Isotherm,
    pub(super) tank: Volume,
}

impl Gas for Slow<'_> {
    type State = Mass;
    type Level = MassDensity;

    fn tank(&self) -> Volume {
        self.tank
    }

    fn level(&self, pressure: AbsolutePressure) -> Result<MassDensity> {
        self.air.density(pressure)
    }

    fn pressure(&self, state: Mass) -> Result<AbsolutePressure> {
        self.air.pressure(state / self.tank)
    }

    fn settle(&self, state: Mass, volume: Volume, before: Mass) -> Result<Option<Mass>> {
        Ok(Some((state + before) * (self.tank / (self.tank + volume))))
    }

    fn give(&self, state: Mass, volume: Volume, before: Mass, level: MassDensity) -> Result<Option<Mass>> {
        let left = state - (level * volume - before);
        Ok(Some(if left > Mass::default() { left } else { Mass::new::<kilogram>(f64::MIN_POSITIVE) }))
    }
}

/// The air left in the tank expands along one isentrope; what a stroke takes is counted at the temperature of
/// the tank at the end of that stroke.
#[derive(Debug, Clone, Copy)]
pub(super) struct Quick<'a> {
    pub(super) line: &'a Isentrope,
    pub(super) tank: Volume,
}

impl Gas for Quick<'_> {
    type State = State;
    type Level = AbsolutePressure;

    fn tank(&self) -> Volume {
        self.tank
    }

    fn level(&self, pressure: AbsolutePressure) -> Result<AbsolutePressure> {
        Ok(pressure)
    }

    fn pressure(&self, state: State) -> Result<AbsolutePressure> {
        state.pressure()
    }

    fn settle(&self, state: State, volume: Volume, before: Mass) -> Result<Option<State>> {
        let density: MassDensity = (state.density() * self.tank + before) / (self.tank + volume);
        let guess = cooled(state, density);
        Ok(match self.line.state(density, guess)? {
            Expansion::To(state) => Some(state),
            Expansion::TooCold => None,
        })
    }

    /// Newton's iteration in cylinder density and ln T for `s(rho_tank, T) = s_0` and `p(rho_cyl, T) = p`,
    /// where `rho_tank` follows from the mass balance.
    fn give(
        &self,
        state: State,
        volume: Volume,
        before: Mass,
        pressure: AbsolutePressure,
    ) -> Result<Option<State>> {
        let total = state.density() * self.tank + before;
        let share: f64 = (volume / self.tank).value;
        let all_in_cylinder: MassDensity = total / volume;
        let left_with = |filled: MassDensity| (total - filled * volume) / self.tank;
        // First guess: density in proportion to pressure, then to the temperature that this leaves besides.
        let proportional = state.density() * (pressure / state.pressure()?);
        let warm = lesser(proportional, 0.5 * all_in_cylinder);
        let cooling: Ratio = state.temperature() / cooled(state, left_with(warm));
        let mut filled = lesser(proportional * cooling, 0.5 * all_in_cylinder);
        let mut temperature = cooled(state, left_with(filled));
        for _ in 0..MOST_STEPS {
            let isotherm = Isotherm::new(temperature)?;
            let left = left_with(filled);
            let (tank, cylinder) = (isotherm.state(left)?, isotherm.state(filled)?);
            let entropy_excess = (tank.entropy() - self.line.entropy()).value;
            let pressure_excess = (cylinder.pressure()? - pressure).value;
            // Rows of the Jacobian in (rho_cyl, ln T).
            let (s_rho, s_t) =
                (-tank.entropy_slope().value / left.value * share, tank.isochoric_heat_capacity().value);
            let (p_rho, p_t) = (cylinder.pressure_slope().value, cylinder.thermal_pressure().value);
            let determinant = s_rho * p_t - s_t * p_rho;
            let density_step = (s_t * pressure_excess - p_t * entropy_excess) / determinant;
            let log_step = (p_rho * entropy_excess - s_rho * pressure_excess) / determinant;
            if (density_step / filled.value).abs() < SETTLED && log_step.abs() < SETTLED {
                return Ok(Some(tank));
            }
            if temperature.value <= LOWEST_TEMPERATURE_K && log_step < 0.0 {
                return Ok(None);
            }
            // Neither side may be emptied by one step.
            let next = MassDensity::new::<kilogram_per_cubic_meter>(filled.value + density_step);
            filled = lesser(next, 0.5 * (filled + all_in_cylinder));
            if filled < 0.05 * proportional {
                filled = 0.05 * proportional;
            }
            temperature = within_range(temperature.value * log_step.exp());
        }
        Err(Error::NoConvergence {
            calculation: "quick draw from the tank",
            inputs: format!(
                "{} kg at {} K to {} Pa absolute",
                total.value,
                state.temperature().value,
                pressure.pascals()
            ),
        })
    }
}

/// A guess for the temperature at another density: an ideal gas with k = 1.4.
fn cooled(state: State, density: MassDensity) -> ThermodynamicTemperature {
    let ratio: f64 = (density / state.density()).value.max(0.0);
    within_range(state.temperature().value * ratio.powf(0.4))
}

fn within_range(temperature_k: f64) -> ThermodynamicTemperature {
    ThermodynamicTemperature::new::<kelvin>(temperature_k.clamp(LOWEST_TEMPERATURE_K, HIGHEST_TEMPERATURE_K))
}

fn lesser(a: MassDensity, b: MassDensity) -> MassDensity {
    if b < a { b } else { a }
}
