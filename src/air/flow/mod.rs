//! Air through valves, fittings, hoses and leaks.
//!
//! A restriction is described by two measured figures, sonic conductance `C` and critical pressure ratio
//! `b` (ISO 6358-1:2013):
//!
//! `q = C rho_0 p_1 sqrt(T_0/T_1) f(p_2/p_1)`
//!
//! `f = 1` up to `p_2/p_1 = b` (choked: the outlet no longer matters), and above it
//! `f = (1 - ((p_2/p_1 - b)/(1 - p_c/p_1 - b))^2)^m`
//!
//! | symbol | meaning |
//! |---|---|
//! | `q` | mass flow |
//! | `p_1`, `T_1` | total pressure (absolute) and temperature of the air upstream |
//! | `p_2` | total pressure downstream |
//! | `rho_0`, `T_0` | 1.185 kg/m3 and 293.15 K: the reference state of conductance (ANR) |
//! | `m` | subsonic index, 0.5 unless it was measured |
//! | `p_c` | cracking pressure of a check valve, else 0 |
//!
//! **Near equal pressures** the law has an infinite slope, and air in truth turns laminar. Above
//! `p_2/p_1 = 0.999` flow is therefore taken as proportional to the pressure drop (Sanville, "A new method
//! of specifying the flow capacity of pneumatic fluid power valves", 1971, and simulation practice, which
//! puts the joint between 0.995 and 0.999; the document was not at hand).
//!
//! The edition of ISO 6358 was not at hand; the law is as general simulation documentation quotes it.
//! Ideal gas: below 20 bar and at room temperature that is within 1 % of real air.

pub mod conversion;
pub mod hose;
pub(crate) mod law;
pub mod leak;
pub mod series;

use uom::si::f64::{MassRate, Pressure, Ratio, ThermodynamicTemperature, VolumeRate};

use crate::units::AbsolutePressure;
use crate::{Result, guard};
use law::{Law, Path};

/// Subsonic index `m` where none was measured. Source: ISO 6358:1989, where it is the only value; the
/// first choice of ISO 6358-1:2013.
pub const USUAL_SUBSONIC_INDEX: f64 = 0.5;

/// Sonic conductance C: free air (ANR) passed by a choked restriction, by absolute pressure upstream.
///
/// ```
/// # use lungful::air::flow::Conductance;
/// # use lungful::units::pressure::pascals;
/// # use uom::si::{f64::VolumeRate, volume_rate::liter_per_second};
/// let valve = Conductance::new(VolumeRate::new::<liter_per_second>(2.1), pascals(1e5))?;
/// assert!((valve.si() - 2.1e-8).abs() < 1e-20); // 2.1 L/s by bar = 0.0021 m3/s by 100 000 Pa
/// # Ok::<(), lungful::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Conductance(f64);

impl Conductance {
    /// Conductance as a flow of free air (ANR) at an upstream pressure above vacuum.
    ///
    /// # Errors
    /// [`Error::OutOfRange`](crate::Error::OutOfRange) unless their quotient is finite and above zero.
    pub fn new(free_air: VolumeRate, upstream: Pressure) -> Result<Self> {
        Self::from_si((free_air / upstream).value)
    }

    /// Conductance in m3/(s Pa).
    ///
    /// # Errors
    /// [`Error::OutOfRange`](crate::Error::OutOfRange) unless finite and above zero.
    pub fn from_si(value: f64) -> Result<Self> {
        guard::positive("conductance", value, "m3/(s Pa)")?;
        Ok(Self(value))
    }

    /// Number of m3/(s Pa).
    #[must_use]
    pub const fn si(self) -> f64 {
        self.0
    }
}

/// Anything that air is pressed through.
///
/// ```
/// # use lungful::air::flow::{Conductance, Restriction};
/// # use lungful::units::{AbsolutePressure, pressure::pascals};
/// # use uom::si::{f64::{Ratio, ThermodynamicTemperature}, mass_rate::gram_per_second, ratio::ratio};
/// # use uom::si::thermodynamic_temperature::kelvin;
/// let valve = Restriction::new(Conductance::from_si(2e-8)?, Ratio::new::<ratio>(0.3))?;
/// let bar = |value: f64| AbsolutePressure::new(pascals(value * 1e5));
/// let room = ThermodynamicTemperature::new::<kelvin>(293.15);
/// // Choked: 2e-8 * 1.185 * 6e5 = 14.22 g/s, whatever the outlet below 0.3 * 6 bar.
/// assert!((valve.mass_flow(bar(6.0)?, bar(1.0)?, room)?.get::<gram_per_second>() - 14.22).abs() < 1e-9);
/// // At 3.9 bar: u = (0.65 - 0.3)/0.7 = 0.5, f = sqrt(0.75) = 0.8660.
/// let part = valve.mass_flow(bar(6.0)?, bar(3.9)?, room)?;
/// assert!((part.get::<gram_per_second>() - 14.22 * 0.8660254).abs() < 1e-6);
/// // Back: the same, with a minus.
/// assert_eq!(valve.mass_flow(bar(3.9)?, bar(6.0)?, room)?, -part);
/// # Ok::<(), lungful::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Restriction {
    conductance: Conductance,
    critical_ratio: Ratio,
    index: f64,
    cracking: Option<Pressure>,
    /// What check valves before and behind it take off, where it stands for a line.
    drops: Option<(Pressure, Pressure)>,
}

impl Restriction {
    /// A restriction with [`USUAL_SUBSONIC_INDEX`], open in both directions.
    ///
    /// # Errors
    /// [`Error::OutOfRange`](crate::Error::OutOfRange) unless `0 <= critical_ratio <= 0.99`. Measured ones
    /// lie between 0.1 and 0.6.
    pub fn new(conductance: Conductance, critical_ratio: Ratio) -> Result<Self> {
        guard::require(
            (0.0..=0.99).contains(&critical_ratio.value),
            "critical pressure ratio",
            critical_ratio.value,
            "",
            "from 0 to 0.99",
        )?;
        Ok(Self { conductance, critical_ratio, index: USUAL_SUBSONIC_INDEX, cracking: None, drops: None })
    }

    /// The same with a measured subsonic index `m`.
    ///
    /// # Errors
    /// [`Error::OutOfRange`](crate::Error::OutOfRange) unless it is from 0.2 to 2. Measured ones lie
    /// between 0.4 and 0.7.
    pub fn with_subsonic_index(self, index: f64) -> Result<Self> {
        guard::require((0.2..=2.0).contains(&index), "subsonic index", index, "", "from 0.2 to 2")?;
        Ok(Self { index, ..self })
    }

    /// The same as a check valve: closed until the pressure drop exceeds `cracking`, closed backwards.
    ///
    /// With a cracking pressure that leaves less than 0.001 of the inlet pressure between closing and
    /// choking, the valve goes from closed to choked within that 0.001.
    ///
    /// # Errors
    /// [`Error::OutOfRange`](crate::Error::OutOfRange) unless it is finite and not below zero.
    pub fn with_cracking_pressure(self, cracking: Pressure) -> Result<Self> {
        let value = cracking.value;
        guard::require(
            value.is_finite() && value >= 0.0,
            "cracking pressure",
            value,
            "Pa",
            "finite and not below zero",
        )?;
        Ok(Self { cracking: Some(cracking), ..self })
    }

    /// The same without its check valve.
    #[must_use]
    pub(crate) fn without_cracking_pressure(self) -> Self {
        Self { cracking: None, ..self }
    }

    /// So many alike side by side as one: `C` times their number.
    ///
    /// # Errors
    /// [`Error::OutOfRange`](crate::Error::OutOfRange) for none.
    pub fn side_by_side(self, count: u32) -> Result<Self> {
        let conductance = Conductance::from_si(self.conductance.si() * f64::from(count))?;
        Ok(Self { conductance, ..self })
    }

    /// Sonic conductance C.
    #[must_use]
    pub const fn conductance(&self) -> Conductance {
        self.conductance
    }

    /// Critical pressure ratio b.
    #[must_use]
    pub const fn critical_ratio(&self) -> Ratio {
        self.critical_ratio
    }

    /// Subsonic index m.
    #[must_use]
    pub fn subsonic_index(&self) -> Ratio {
        Ratio::from(self.index)
    }

    /// Cracking pressure, none where it is open in both directions.
    #[must_use]
    pub const fn cracking_pressure(&self) -> Option<Pressure> {
        self.cracking
    }

    /// Mass flow from `upstream` to `downstream`, negative when it runs back; the law of the
    /// [module](self). `temperature` is that of the air on the side it comes from.
    ///
    /// # Errors
    /// [`Error::OutOfRange`](crate::Error::OutOfRange) unless the temperature is finite and above zero.
    pub fn mass_flow(
        &self,
        upstream: AbsolutePressure,
        downstream: AbsolutePressure,
        temperature: ThermodynamicTemperature,
    ) -> Result<MassRate> {
        guard::positive("temperature of the air", temperature.value, "K")?;
        let side = |pressure: AbsolutePressure| (pressure.pascals(), temperature.value);
        kilograms_per_second(self.path().mass_flow(side(upstream), side(downstream)))
    }

    /// Whether the flow is choked, so that a lower outlet pressure would pass no more.
    #[must_use]
    pub fn choked(&self, upstream: AbsolutePressure, downstream: AbsolutePressure) -> bool {
        let (one, two) = (upstream.pascals(), downstream.pascals());
        self.law().is_choked(one.max(two), one.min(two))
    }

    /// The same with check valves before and behind it that take these pressures off.
    pub(crate) fn between_check_valves(self, before: Pressure, behind: Pressure) -> Self {
        Self { drops: Some((before, behind)), ..self }
    }

    /// Drop that opens it, check valves before and behind it included.
    pub(crate) fn opens_at(&self) -> Pressure {
        let (before, behind) = self.drops.unwrap_or_default();
        self.cracking.unwrap_or_default() + before + behind
    }

    /// Law and check valves on bare numbers.
    pub(crate) fn path(&self) -> Path {
        let drops = self.drops.map(|(before, behind)| (before.value, behind.value));
        Path { law: self.law(), drops }
    }

    /// The law on bare numbers, without the check valves of a line that it stands for.
    pub(crate) fn law(&self) -> Law {
        let cracking_pa = self.cracking.map(|pressure| pressure.value);
        Law::new(self.conductance.0, self.critical_ratio.value, self.index, cracking_pa)
    }
}

/// A mass flow, unless the figures given are so large that it overflows.
fn kilograms_per_second(value: f64) -> Result<MassRate> {
    guard::require(value.is_finite(), "mass flow", value, "kg/s", "a finite number")?;
    Ok(MassRate::new::<uom::si::mass_rate::kilogram_per_second>(value))
}

#[cfg(test)]
mod tests;
