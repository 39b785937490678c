//! Conductance from other figures of flow capacity.
//!
//! None of these figures says where the flow chokes, so each conversion asks for a critical pressure
//! ratio `b`; [`NOZZLE_CRITICAL_RATIO`] and [`FLOW_COEFFICIENT_CRITICAL_RATIO`] name the usual ones.

use uom::si::f64::{Area, Length, Ratio};

use super::law::{REFERENCE_DENSITY_KG_PER_M3, REFERENCE_TEMPERATURE_K};
use super::{Conductance, Restriction};
use crate::air::gas::GAS_CONSTANT_J_PER_KG_K;
use crate::sizing::cylinder_force::piston_area;
use crate::{Result, guard};

/// Critical pressure ratio of a frictionless nozzle: `(2/(k + 1))^(k/(k - 1))` with `k = 1.4`. With it the
/// law of ISO 6358 stays within 0.4 % of choked flow of the isentropic nozzle formula.
pub const NOZZLE_CRITICAL_RATIO: f64 = 0.528_281_787_717_174;
/// Critical pressure ratio for which the ISO 6358 law is the flow-coefficient formula of the trade,
/// `Q = 22.7 Cv sqrt((p_1 - p_2) p_2/T_1)`, point by point: `4 r (1 - r) = 1 - ((r - 0.5)/0.5)^2`.
pub const FLOW_COEFFICIENT_CRITICAL_RATIO: f64 = 0.5;
/// Discharge coefficient of a hole with rounded entrance. Source: notes to the orifice discharge table of
/// the Compressed Air and Gas Handbook type (a reprint was read).
pub const ROUNDED_DISCHARGE_COEFFICIENT: f64 = 0.97;
/// Discharge coefficient of a sharp-edged hole. Source: the same; other tables give 0.61 to 0.65.
pub const SHARP_DISCHARGE_COEFFICIENT: f64 = 0.65;

/// Ratio of specific heats of air.
const HEAT_RATIO: f64 = 1.4;
/// One US gallon a minute, m3/s: 231 cubic inches in 60 s.
const GALLON_PER_MINUTE: f64 = 231.0 * 0.0254 * 0.0254 * 0.0254 / 60.0;
/// One pound-force per square inch, Pa.
const PSI_PA: f64 = 0.453_592_37 * 9.806_65 / (0.0254 * 0.0254);
/// Density of the water of the definition of Cv (60 degF), kg/m3.
const WATER_DENSITY_KG_PER_M3: f64 = 999.0;

/// A frictionless nozzle of the given throat area: `C = S psi / (rho_0 sqrt(T_0))`,
/// `psi = sqrt(k/R) (2/(k + 1))^((k + 1)/(2 (k - 1))) = 0.04042 s sqrt(K)/m`.
///
/// `S` is called effective area on data sheets; `C` in L/(s bar) is then close to `S/5` in mm2.
/// Source: choked isentropic flow of an ideal gas with `k = 1.4`, any textbook of gas dynamics (NACA
/// Report 1135, 1953); reference state of ISO 6358.
///
/// # Errors
/// [`Error::OutOfRange`](crate::Error::OutOfRange) unless the area is finite and above zero, or as
/// [`Restriction::new`].
///
/// # Example
/// ```
/// # use lungful::air::flow::conversion::{NOZZLE_CRITICAL_RATIO, effective_area};
/// # use uom::si::{area::square_millimeter, f64::{Area, Ratio}, ratio::ratio};
/// let b = Ratio::new::<ratio>(NOZZLE_CRITICAL_RATIO);
/// let valve = effective_area(Area::new::<square_millimeter>(5.0), b)?;
/// // 5e-6 * 0.040415 / (1.185 * 17.1216) = 9.960e-9 m3/(s Pa), that is 0.996 L/(s bar)
/// assert!((valve.conductance().si() - 9.960e-9).abs() < 1e-12);
/// # Ok::<(), lungful::Error>(())
/// ```
pub fn effective_area(area: Area, critical_ratio: Ratio) -> Result<Restriction> {
    guard::positive("effective area", area.value, "m2")?;
    Restriction::new(Conductance::from_si(area.value * conductance_of_area())?, critical_ratio)
}

/// A round hole: the [effective area](effective_area) `S = Cd pi/4 d^2`, choking at
/// [`NOZZLE_CRITICAL_RATIO`].
///
/// `Cd` is the discharge coefficient, see [`ROUNDED_DISCHARGE_COEFFICIENT`] and
/// [`SHARP_DISCHARGE_COEFFICIENT`]. Real sharp edges have a `Cd` that grows from 0.6 at small drops to
/// 0.85 far below the critical ratio; one figure is an approximation.
///
/// # Errors
/// [`Error::OutOfRange`](crate::Error::OutOfRange) unless the bore is finite and above zero and
/// `0 < Cd <= 1`.
///
/// # Example
/// A leak of 1 mm with `Cd = 1`:
/// ```
/// # use lungful::air::flow::conversion::orifice;
/// # use uom::si::{f64::{Length, Ratio}, length::millimeter, ratio::ratio};
/// let leak = orifice(Length::new::<millimeter>(1.0), Ratio::new::<ratio>(1.0))?;
/// // 0.7854 mm2 * 0.040415 / (1.185 * 17.1216) = 0.1564 L/(s bar)
/// assert!((leak.conductance().si() - 0.1564e-8).abs() < 1e-12);
/// # Ok::<(), lungful::Error>(())
/// ```
pub fn orifice(bore: Length, discharge_coefficient: Ratio) -> Result<Restriction> {
    guard::positive("bore", bore.value, "m")?;
    require_discharge_coefficient(discharge_coefficient)?;
    effective_area(discharge_coefficient * piston_area(bore), Ratio::from(NOZZLE_CRITICAL_RATIO))
}

/// Bore of the round hole that has a conductance; the inverse of [`orifice`]:
/// `d = sqrt(4 C rho_0 sqrt(T_0) / (pi psi Cd))`.
///
/// # Errors
/// [`Error::OutOfRange`](crate::Error::OutOfRange) unless `0 < Cd <= 1`.
///
/// # Example
/// ```
/// # use lungful::air::flow::conversion::{orifice, orifice_bore};
/// # use uom::si::{f64::{Length, Ratio}, length::millimeter, ratio::ratio};
/// let cd = Ratio::new::<ratio>(0.65);
/// let hole = orifice(Length::new::<millimeter>(1.2), cd)?;
/// assert!((orifice_bore(hole.conductance(), cd)?.get::<millimeter>() - 1.2).abs() < 1e-12);
/// # Ok::<(), lungful::Error>(())
/// ```
pub fn orifice_bore(conductance: Conductance, discharge_coefficient: Ratio) -> Result<Length> {
    require_discharge_coefficient(discharge_coefficient)?;
    let area = Area::new::<uom::si::area::square_meter>(conductance.si() / conductance_of_area());
    Ok((area / discharge_coefficient / std::f64::consts::FRAC_PI_4).sqrt())
}

/// A valve by its flow coefficient Cv: the US gallons of water a minute that 1 psi drives through it.
///
/// `C = Cv K sqrt((1 - b)/2) / (rho_0 sqrt(R T_0))`, `K = 1 gal/min * sqrt(rho_water / 1 psi)`: at small
/// drops the law of ISO 6358 then passes the mass that the water figure promises, `Cv K sqrt(rho dp)`.
/// With `b = 0.5` this is the formula of the trade at every pressure ratio and `C = 3.49 Cv` in
/// L/(s bar); a valve that chokes earlier has more conductance for the same Cv (`4.13 Cv` at `b = 0.3`),
/// so a measured `b` should be given with it. The factor 4 seen in practice is between the two.
///
/// Source: definition of Cv (ISA-75.01, IEC 60534-2-1); the match to ISO 6358 is derived here.
///
/// # Errors
/// [`Error::OutOfRange`](crate::Error::OutOfRange) unless Cv is finite and above zero, or as
/// [`Restriction::new`].
///
/// # Example
/// ```
/// # use lungful::air::flow::conversion::{FLOW_COEFFICIENT_CRITICAL_RATIO, flow_coefficient_us};
/// # use uom::si::{f64::Ratio, ratio::ratio};
/// let valve = flow_coefficient_us(0.5, Ratio::new::<ratio>(FLOW_COEFFICIENT_CRITICAL_RATIO))?;
/// // K = 6.3090e-5 * sqrt(999/6894.76) = 2.4015e-5 m2; 0.5 K * 0.5 / (1.185 * 290.08) = 1.747e-8
/// assert!((valve.conductance().si() - 1.747e-8).abs() < 1e-11);
/// # Ok::<(), lungful::Error>(())
/// ```
pub fn flow_coefficient_us(cv: f64, critical_ratio: Ratio) -> Result<Restriction> {
    guard::positive("Cv", cv, "")?;
    water_area(cv * GALLON_PER_MINUTE * (WATER_DENSITY_KG_PER_M3 / PSI_PA).sqrt(), critical_ratio)
}

/// A valve by its flow coefficient Kv: the cubic metres of water an hour that 1 bar drives through it; as
/// [`flow_coefficient_us`] with `Cv = 1.1561 Kv`.
///
/// # Errors
/// As [`flow_coefficient_us`].
///
/// # Example
/// ```
/// # use lungful::air::flow::conversion::{flow_coefficient_metric, flow_coefficient_us};
/// # use uom::si::{f64::Ratio, ratio::ratio};
/// let b = Ratio::new::<ratio>(0.5);
/// let (metric, us) = (flow_coefficient_metric(1.0, b)?, flow_coefficient_us(1.1561, b)?);
/// assert!((metric.conductance().si() / us.conductance().si() - 1.0).abs() < 1e-5);
/// # Ok::<(), lungful::Error>(())
/// ```
pub fn flow_coefficient_metric(kv: f64, critical_ratio: Ratio) -> Result<Restriction> {
    guard::positive("Kv", kv, "")?;
    water_area(kv / 3600.0 * (WATER_DENSITY_KG_PER_M3 / 1e5).sqrt(), critical_ratio)
}

/// The restriction that passes `area sqrt(rho dp)` at small drops.
fn water_area(area: f64, critical_ratio: Ratio) -> Result<Restriction> {
    let at_small_drops = (0.5 * (1.0 - critical_ratio.value)).max(0.0).sqrt();
    let speed = (GAS_CONSTANT_J_PER_KG_K * REFERENCE_TEMPERATURE_K).sqrt();
    let conductance = area * at_small_drops / (REFERENCE_DENSITY_KG_PER_M3 * speed);
    Restriction::new(Conductance::from_si(conductance)?, critical_ratio)
}

/// Conductance of a frictionless nozzle by its area, m/(s Pa).
fn conductance_of_area() -> f64 {
    let exponent = (HEAT_RATIO + 1.0) / (2.0 * (HEAT_RATIO - 1.0));
    let choked = (HEAT_RATIO / GAS_CONSTANT_J_PER_KG_K).sqrt() * (2.0 / (HEAT_RATIO + 1.0)).powf(exponent);
    choked / (REFERENCE_DENSITY_KG_PER_M3 * REFERENCE_TEMPERATURE_K.sqrt())
}

fn require_discharge_coefficient(discharge_coefficient: Ratio) -> Result<()> {
    let value = discharge_coefficient.value;
    guard::require(value > 0.0 && value <= 1.0, "discharge coefficient", value, "", "above 0, at most 1")
}

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;

    use super::*;

    #[test]
    fn the_law_stays_close_to_the_nozzle_formula() {
        // analytic: isentropic flow as a share of choked flow
        let law = effective_area(Area::default() + piston_area(Length::default()), Ratio::from(0.5));
        assert!(law.is_err());
        let law = orifice(Length::new::<uom::si::length::millimeter>(2.0), Ratio::from(1.0)).unwrap().law();
        let flux = |ratio: f64| (ratio.powf(2.0 / HEAT_RATIO) - ratio.powf(1.0 + 1.0 / HEAT_RATIO)).sqrt();
        for step in 1..=470 {
            let ratio = NOZZLE_CRITICAL_RATIO + f64::from(step) * 1e-3;
            let nozzle = flux(ratio) / flux(NOZZLE_CRITICAL_RATIO);
            assert!((law.share(1e5, ratio * 1e5) - nozzle).abs() < 4e-3, "at {ratio}");
        }
    }

    #[test]
    fn the_flow_coefficient_fixes_the_flow_at_small_drops() {
        // analytic: Cv K sqrt(rho dp), the incompressible limit, whatever the choking ratio
        let expected = 0.8 * 2.401_5e-5 * (6e5 / (287.049 * 293.15) * 3000.0_f64).sqrt();
        for critical_ratio in [0.1, 0.3, 0.5] {
            let law = flow_coefficient_us(0.8, Ratio::from(critical_ratio)).unwrap().law();
            assert_relative_eq!(law.forward(6e5, 5.97e5, 293.15), expected, max_relative = 4e-3);
        }
    }

    #[test]
    fn the_factor_of_cv_is_in_the_range_of_practice() {
        // common practice: 3.3 to 4.2 L/(s bar) for each unit of Cv, by the choking ratio taken
        for critical_ratio in [0.29, 0.4, 0.5] {
            let valve = flow_coefficient_us(1.0, Ratio::from(critical_ratio)).unwrap();
            assert!((3.3e-8..4.2e-8).contains(&valve.conductance().si()), "{critical_ratio}");
        }
    }

    #[test]
    fn what_cannot_be_is_refused() {
        for value in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            let bore = Length::new::<uom::si::length::meter>(value);
            assert!(orifice(bore, Ratio::from(0.6)).is_err(), "{value}");
            assert!(flow_coefficient_us(value, Ratio::from(0.5)).is_err(), "{value}");
            assert!(flow_coefficient_metric(value, Ratio::from(0.5)).is_err(), "{value}");
        }
        let bore = Length::new::<uom::si::length::millimeter>(1.0);
        for value in [0.0, 1.01, f64::NAN] {
            assert!(orifice(bore, Ratio::from(value)).is_err(), "{value}");
        }
        assert!(flow_coefficient_us(1.0, Ratio::from(1.5)).is_err());
    }
}
