//! Energy that compressed air gives up if its vessel lets go.

use uom::si::f64::{Energy, Volume};

use crate::units::AbsolutePressure;

/// Ratio of the heat capacities of air, k, at room conditions. Source: handbook value for dry air.
const HEAT_CAPACITY_RATIO: f64 = 1.4;

/// Energy released when the air in a vessel expands to the atmosphere without heat from outside:
/// `E = p1 V / (k - 1) * (1 - (p0/p1)^((k-1)/k))`.
///
/// `p1` is the absolute pressure in the vessel, `p0` that of the site, `V` the volume, `k` = 1.4. With
/// `k` put in this is the pressure-test formula `E = 2.5 p1 V (1 - (p0/p1)^0.286)`.
///
/// Source: isentropic expansion of an ideal gas; ASME PCC-2, Article 501, Eq. II-2. Above some 100 bar the
/// ideal gas is a rough guide only. Zero where the vessel stands at or below the atmosphere.
///
/// ```
/// # use lungful::sizing::stored_energy::stored_energy;
/// # use lungful::units::{AbsolutePressure, pressure::pascals};
/// # use uom::si::{energy::kilojoule, f64::Volume, volume::liter};
/// let vessel = AbsolutePressure::new(pascals(1.1e6))?;
/// let site = AbsolutePressure::new(pascals(101_000.0))?;
/// let energy = stored_energy(vessel, Volume::new::<liter>(20.0), site);
/// assert!((energy.get::<kilojoule>() - 27.22).abs() < 0.05); // 2.5 * 1.1e6 * 0.02 * (1 - 0.5052)
/// # Ok::<(), lungful::Error>(())
/// ```
#[must_use]
pub fn stored_energy(vessel: AbsolutePressure, volume: Volume, site: AbsolutePressure) -> Energy {
    if vessel <= site {
        return Energy::default();
    }
    let exponent = (HEAT_CAPACITY_RATIO - 1.0) / HEAT_CAPACITY_RATIO;
    let left = (site / vessel).value.powf(exponent);
    vessel.above_vacuum() * volume / (HEAT_CAPACITY_RATIO - 1.0) * (1.0 - left)
}

/// Energy by the formula of the pressure-test standard, its constants as printed:
/// `E = 2.5 Pt V (1 - (Pa/Pt)^0.286)`, `Pa` = 101 000 Pa.
///
/// `Pt` is the absolute pressure in the vessel, `V` its volume. It differs from [`stored_energy`] by the
/// rounded exponent and by the pressure of the site, which it takes as that at sea level.
///
/// Source: ASME PCC-2, Article 501, Eq. II-2 (a reprint of the equation; the standard was not at hand).
/// Zero where the vessel stands at or below `Pa`.
///
/// ```
/// # use lungful::sizing::stored_energy::pressure_test_energy;
/// # use lungful::units::{AbsolutePressure, pressure::pascals};
/// # use uom::si::{energy::kilojoule, f64::Volume, volume::liter};
/// let vessel = AbsolutePressure::new(pascals(1.1e6))?;
/// let energy = pressure_test_energy(vessel, Volume::new::<liter>(20.0));
/// assert!((energy.get::<kilojoule>() - 27.22).abs() < 0.01); // 2.5 * 1.1e6 * 0.02 * (1 - 0.5051)
/// # Ok::<(), lungful::Error>(())
/// ```
#[must_use]
pub fn pressure_test_energy(vessel: AbsolutePressure, volume: Volume) -> Energy {
    const AMBIENT_PA: f64 = 101_000.0;
    if vessel.pascals() <= AMBIENT_PA {
        return Energy::default();
    }
    let left = (AMBIENT_PA / vessel.pascals()).powf(0.286);
    2.5 * vessel.above_vacuum() * volume * (1.0 - left)
}

#[cfg(test)]
mod tests {
    use uom::si::volume::liter;

    use super::*;
    use crate::units::pressure::pascals;

    #[test]
    fn nothing_is_stored_at_the_pressure_of_the_site() {
        let site = AbsolutePressure::new(pascals(95_000.0)).unwrap();
        let lower = AbsolutePressure::new(pascals(90_000.0)).unwrap();
        let volume = Volume::new::<liter>(10.0);
        assert_eq!(stored_energy(site, volume, site), Energy::default());
        assert_eq!(stored_energy(lower, volume, site), Energy::default());
    }
}
