//! What a volume of free air weighs: density of air at the reference states.
//!
//! | state | density of air |
//! |---|---|
//! | ANR | 1.185 kg/m3, the figure that ISO 8778 and ISO 6358 give with it |
//! | normal | dry air at 273.15 K and 101 325 Pa, from the [equation of state](super::gas) |
//! | standard | dry air at 68 degF and 14.696 psia, from the equation of state |
//! | inlet | dry air of the site, at its own pressure and temperature |

use uom::si::f64::{Mass, MassDensity, MassRate, ThermodynamicTemperature, VolumeRate};
use uom::si::mass_density::kilogram_per_cubic_meter;
use uom::si::thermodynamic_temperature::kelvin;

use super::gas;
use crate::units::{AbsolutePressure, FreeAirFlow, FreeAirVolume, ReferenceState, pressure::pascals};
use crate::{Result, guard};

/// Density of ANR air (ISO 8778): 20 degC, 100 kPa, 65 % relative humidity, kg/m3. Moist air at that state
/// comes to 1.182; the standards fix this figure by convention.
const ANR_DENSITY_KG_PER_M3: f64 = 1.185;
/// Pressure of the normal state (DIN 1343), and of the air in which pumps are rated, Pa.
const NORMAL_PRESSURE_PA: f64 = 101_325.0;
/// Temperature of the normal state (DIN 1343), K.
const NORMAL_TEMPERATURE_K: f64 = 273.15;
/// One pound-force per square inch: 0.45359237 kg * 9.80665 m/s2 / (0.0254 m)^2, Pa.
const PSI_PA: f64 = 0.453_592_37 * 9.806_65 / (0.0254 * 0.0254);
/// Pressure of the standard state, Pa.
const STANDARD_PRESSURE_PA: f64 = 14.696 * PSI_PA;
/// 68 degF = 20 degC: temperature of the standard state, and of the air in which pumps are rated, K.
const ROOM_TEMPERATURE_K: f64 = 293.15;

/// Density of the air in a volume that is counted at `reference`. `inlet_density` is that of the site's
/// own air; see [`gas::density`].
///
/// # Errors
/// [`Error::OutOfRange`](crate::Error::OutOfRange) unless `inlet_density` is finite and above zero.
///
/// # Example
/// ```
/// # use lungful::{air::reference::density, units::ReferenceState};
/// # use uom::si::{f64::MassDensity, mass_density::kilogram_per_cubic_meter};
/// let site = MassDensity::new::<kilogram_per_cubic_meter>(1.1);
/// assert_eq!(density(ReferenceState::Anr, site)?.value, 1.185);
/// assert_eq!(density(ReferenceState::Inlet, site)?, site);
/// // normal: 101325 * 0.02896546 / (8.31451 * 273.15) = 1.29228, and Z = 0.99939
/// assert!((density(ReferenceState::Normal, site)?.value - 1.29228 / 0.99939).abs() < 1e-4);
/// # Ok::<(), lungful::Error>(())
/// ```
pub fn density(reference: ReferenceState, inlet_density: MassDensity) -> Result<MassDensity> {
    guard::positive("density of the site's air", inlet_density.value, "kg/m3")?;
    match reference {
        ReferenceState::Anr => Ok(anr_density()),
        ReferenceState::Normal => dry_air(NORMAL_PRESSURE_PA, NORMAL_TEMPERATURE_K),
        ReferenceState::Standard => dry_air(STANDARD_PRESSURE_PA, ROOM_TEMPERATURE_K),
        ReferenceState::Inlet => Ok(inlet_density),
    }
}

/// Mass flow of a flow of free air: `m' = Q rho_ref`.
///
/// # Errors
/// As [`density`].
///
/// # Example
/// 60 L/min (ANR) is one litre, 1.185 g, a second.
/// ```
/// # use lungful::{air::reference::mass_rate, units::{FreeAirFlow, ReferenceState}};
/// # use uom::si::{f64::{MassDensity, VolumeRate}, mass_density::kilogram_per_cubic_meter};
/// # use uom::si::{mass_rate::gram_per_second, volume_rate::liter_per_minute};
/// let site = MassDensity::new::<kilogram_per_cubic_meter>(1.1);
/// let valve = FreeAirFlow::new(VolumeRate::new::<liter_per_minute>(60.0), ReferenceState::Anr);
/// assert!((mass_rate(valve, site)?.get::<gram_per_second>() - 1.185).abs() < 1e-12);
/// # Ok::<(), lungful::Error>(())
/// ```
pub fn mass_rate(flow: FreeAirFlow, inlet_density: MassDensity) -> Result<MassRate> {
    Ok(flow.volume_rate() * density(flow.reference(), inlet_density)?)
}

/// The volume of ANR air that has a given mass: `V = m / (1.185 kg/m3)`.
///
/// # Example
/// ```
/// # use lungful::air::reference::anr_volume;
/// # use uom::si::{f64::Mass, mass::gram, volume::liter};
/// let stroke = anr_volume(Mass::new::<gram>(2.37));
/// assert!((stroke.volume().get::<liter>() - 2.0).abs() < 1e-12);
/// ```
#[must_use]
pub fn anr_volume(mass: Mass) -> FreeAirVolume {
    FreeAirVolume::new(mass / anr_density(), ReferenceState::Anr)
}

/// The volume of its surroundings that a pump swallows, from its stated delivery:
/// `Q_in = Q rho_ref / rho(101 325 Pa, 293.15 K)`, and `Q` itself where that is an inlet volume.
///
/// A piston pump moves volume, not mass: the same pump on a mountain delivers less air. A delivery written
/// with a reference state was measured or converted at sea level, so it is brought back to the inlet
/// volume there, dry air at 20 degC and one atmosphere taken; the pump swallows that volume anywhere
/// (ISO 1217 states deliveries so). The inlet state is a convention of this program, since data sheets
/// with a reference state do not print it.
///
/// # Errors
/// None for a finite flow; the equation of state is asked within its range.
///
/// # Example
/// Air at 293.15 K, 101 325 Pa has 1.2046 kg/m3; a delivery of 30 L/min (ANR) is `30 * 1.185/1.2046`.
/// ```
/// # use lungful::{air::reference::intake, units::{FreeAirFlow, ReferenceState}};
/// # use uom::si::{f64::VolumeRate, volume_rate::liter_per_minute};
/// let stated = FreeAirFlow::new(VolumeRate::new::<liter_per_minute>(30.0), ReferenceState::Anr);
/// assert!((intake(stated)?.get::<liter_per_minute>() - 29.512).abs() < 1e-2);
/// # Ok::<(), lungful::Error>(())
/// ```
pub fn intake(delivery: FreeAirFlow) -> Result<VolumeRate> {
    if delivery.reference() == ReferenceState::Inlet {
        return Ok(delivery.volume_rate());
    }
    let rating_air = dry_air(NORMAL_PRESSURE_PA, ROOM_TEMPERATURE_K)?;
    Ok(mass_rate(delivery, rating_air)? / rating_air)
}

fn anr_density() -> MassDensity {
    MassDensity::new::<kilogram_per_cubic_meter>(ANR_DENSITY_KG_PER_M3)
}

fn dry_air(pressure_pa: f64, temperature_k: f64) -> Result<MassDensity> {
    let pressure = AbsolutePressure::new(pascals(pressure_pa))?;
    gas::density(pressure, ThermodynamicTemperature::new::<kelvin>(temperature_k))
}

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;
    use uom::si::volume_rate::cubic_meter_per_second;

    use super::*;

    fn site() -> MassDensity {
        MassDensity::new::<kilogram_per_cubic_meter>(0.9)
    }

    fn flow(reference: ReferenceState) -> FreeAirFlow {
        FreeAirFlow::new(VolumeRate::new::<cubic_meter_per_second>(2.0), reference)
    }

    #[test]
    fn only_inlet_air_depends_on_the_site() {
        for reference in [ReferenceState::Anr, ReferenceState::Normal, ReferenceState::Standard] {
            assert_eq!(density(reference, site()).unwrap(), density(reference, site() * 2.0).unwrap());
        }
        assert_relative_eq!(mass_rate(flow(ReferenceState::Inlet), site()).unwrap().value, 1.8);
    }

    #[test]
    fn standard_air_is_the_air_in_which_pumps_are_rated() {
        // 14.696 psi is 101 325.35 Pa, 3.5e-6 above one atmosphere, and both are at 20 degC.
        let inlet = intake(flow(ReferenceState::Standard)).unwrap();
        assert_relative_eq!(inlet.value, 2.0, max_relative = 4e-6);
    }

    #[test]
    fn intake_keeps_the_mass_at_sea_level() {
        let rating_air = dry_air(101_325.0, 293.15).unwrap();
        for reference in
            [ReferenceState::Anr, ReferenceState::Normal, ReferenceState::Standard, ReferenceState::Inlet]
        {
            let swallowed = intake(flow(reference)).unwrap() * rating_air;
            let stated = mass_rate(flow(reference), rating_air).unwrap();
            assert_relative_eq!(swallowed.value, stated.value, max_relative = 1e-15);
        }
    }

    #[test]
    fn density_of_the_site_must_be_a_density() {
        for value in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            let density_of_site = MassDensity::new::<kilogram_per_cubic_meter>(value);
            assert!(density(ReferenceState::Anr, density_of_site).is_err(), "{value}");
        }
    }
}
