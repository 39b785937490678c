//! Conductance of a hose from its bore and length.

use uom::si::f64::{Length, Ratio};

use super::{Conductance, Restriction};
use crate::{Result, guard};

/// A smooth hose, entrance included.
///
/// `C = 0.029 D^2 / sqrt(L/D^1.25 + 510)` in m3/(s Pa), `b = 474 C/D^2`, with bore `D` and length `L` in m.
///
/// `510` stands for the entrance, the rest for friction that falls slowly as the bore grows.
///
/// Source: the tube formula of Eckersten as pneumatics textbooks quote it (Beater, Pneumatic Drives,
/// Springer 2007); written down from memory, so taken as a weak source. Checked against adiabatic flow
/// with friction in a smooth tube (Fanno flow, entrance loss 0.5) for bores of 2.5 to 13 mm, lengths of
/// 0.2 to 10 m and 4 to 8 bar: that passes 2 to 16 % more, so the formula is on the slow side. Fittings
/// and bends are not part of it.
///
/// # Errors
/// [`Error::OutOfRange`](crate::Error::OutOfRange) unless the bore is from 1 to 50 mm and the length finite
/// and not below zero: the figures of the formula hold for the hoses of small rigs.
///
/// # Example
/// ```
/// # use lungful::air::flow::hose::hose;
/// # use uom::si::{f64::Length, length::{meter, millimeter}};
/// let hose = hose(Length::new::<millimeter>(6.0), Length::new::<meter>(1.0))?;
/// // D^1.25 = 0.0016699, so 0.029 * 3.6e-5 / sqrt(598.8 + 510) = 3.135e-8 m3/(s Pa), 3.1 L/(s bar)
/// assert!((hose.conductance().si() - 3.135e-8).abs() < 1e-11);
/// // 474 * 3.135e-8 / 3.6e-5 = 0.413
/// assert!((hose.critical_ratio().value - 0.413).abs() < 1e-3);
/// # Ok::<(), lungful::Error>(())
/// ```
pub fn hose(bore: Length, length: Length) -> Result<Restriction> {
    let (bore_m, length_m) = (bore.value, length.value);
    guard::require(
        (1e-3..=50e-3).contains(&bore_m),
        "bore of the hose",
        bore_m,
        "m",
        "from 0.001 m to 0.05 m",
    )?;
    guard::require(
        length_m.is_finite() && length_m >= 0.0,
        "length of the hose",
        length_m,
        "m",
        "finite and not below zero",
    )?;
    let square = bore_m * bore_m;
    let conductance = 0.029 * square / (length_m / bore_m.powf(1.25) + 510.0).sqrt();
    Restriction::new(Conductance::from_si(conductance)?, Ratio::from(474.0 * conductance / square))
}

#[cfg(test)]
mod tests {
    use uom::si::length::{meter, millimeter};

    use super::*;

    #[test]
    fn longer_or_narrower_passes_less() {
        let of = |bore, length| hose(Length::new::<millimeter>(bore), Length::new::<meter>(length)).unwrap();
        assert!(of(6.0, 2.0).conductance() < of(6.0, 1.0).conductance());
        assert!(of(5.0, 1.0).conductance() < of(6.0, 1.0).conductance());
        // A short one is a nozzle: C = 0.029/sqrt(510) D^2, b = 474 * 0.029/sqrt(510) = 0.609.
        assert!((of(6.0, 0.0).critical_ratio().value - 0.6087).abs() < 1e-4);
    }

    #[test]
    fn what_cannot_be_is_refused() {
        for (bore, length) in [(0.0, 1.0), (0.1, 1.0), (f64::NAN, 1.0), (0.006, -1.0), (0.006, f64::NAN)] {
            assert!(hose(Length::new::<meter>(bore), Length::new::<meter>(length)).is_err());
        }
    }
}
