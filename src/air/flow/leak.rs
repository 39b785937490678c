//! A leak from the pressure that a closed volume loses.
//!
//! A leak whose size is known is an [`orifice`](super::conversion::orifice).

use uom::si::f64::{MassRate, Pressure, Ratio, ThermodynamicTemperature, Time, Volume};

use super::{Conductance, Restriction};
use crate::air::gas::{self, GAS_CONSTANT_J_PER_KG_K};
use crate::quadrature::integral;
use crate::units::AbsolutePressure;
use crate::{Result, guard};

/// A timed fall of pressure in a closed volume that leaks into the atmosphere.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PressureFall {
    /// The volume, hoses included.
    pub volume: Volume,
    /// Temperature of the air, the same at both readings: wait until a filled tank has cooled.
    pub temperature: ThermodynamicTemperature,
    /// Pressure at the first reading.
    pub from: AbsolutePressure,
    /// Pressure at the second reading.
    pub to: AbsolutePressure,
    /// Time between the readings.
    pub time: Time,
    /// Pressure of the surroundings.
    pub atmosphere: AbsolutePressure,
}

/// What a [`PressureFall`] says about the leak.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Leak {
    /// Mean loss over the test, from the content of the volume (real gas): `V (rho_1 - rho_2)/t`.
    pub mean: MassRate,
    /// Loss at the second reading.
    pub now: MassRate,
    /// The restriction that would leak so.
    pub restriction: Restriction,
}

impl PressureFall {
    /// The leak: `C = V/(R T t) * integral from p_2 to p_1 of dp / (rho_0 p sqrt(T_0/T) f(p_atm/p))`.
    ///
    /// That is `V ln(p_1/p_2) / (R T rho_0 sqrt(T_0/T) t)` while the leak stays choked. Source: content of
    /// the volume (ideal gas, one temperature) and the law of ISO 6358.
    ///
    /// `critical_ratio` says where the leak chokes; 0.5 suits a hole, and above 2 bar gauge it hardly
    /// matters.
    ///
    /// # Errors
    /// [`Error::OutOfRange`](crate::Error::OutOfRange) unless volume and time are finite and above zero, the
    /// temperature is one at which [`gas::density`] answers, and `from > to > atmosphere`.
    ///
    /// # Example
    /// A 10 L tank at 20 degC falls from 9 to 8 bar gauge in 600 s.
    /// ```
    /// # use lungful::air::flow::leak::PressureFall;
    /// # use lungful::units::{AbsolutePressure, pressure::pascals};
    /// # use uom::si::{f64::{Ratio, ThermodynamicTemperature, Time, Volume}, ratio::ratio, time::second};
    /// # use uom::si::{mass_rate::milligram_per_second, thermodynamic_temperature::kelvin, volume::liter};
    /// let bar = |value: f64| AbsolutePressure::new(pascals(value * 1e5));
    /// let test = PressureFall {
    ///     volume: Volume::new::<liter>(10.0),
    ///     temperature: ThermodynamicTemperature::new::<kelvin>(293.15),
    ///     from: bar(10.0)?,
    ///     to: bar(9.0)?,
    ///     time: Time::new::<second>(600.0),
    ///     atmosphere: bar(1.0)?,
    /// };
    /// let leak = test.leak(Ratio::new::<ratio>(0.5))?;
    /// // C = 0.01 ln(10/9) / (287.05 * 293.15 * 1.185 * 600) = 1.7610e-11 m3/(s Pa)
    /// assert!((leak.restriction.conductance().si() - 1.7610e-11).abs() < 1e-15);
    /// // now: 1.7610e-11 * 1.185 * 9e5 = 18.78 mg/s
    /// assert!((leak.now.get::<milligram_per_second>() - 18.78).abs() < 0.01);
    /// # Ok::<(), lungful::Error>(())
    /// ```
    pub fn leak(&self, critical_ratio: Ratio) -> Result<Leak> {
        guard::positive("leaking volume", self.volume.value, "m3")?;
        guard::positive("time between the readings", self.time.value, "s")?;
        let (first, second) = (self.from.pascals(), self.to.pascals());
        let readings = "below the pressure at the first reading and above that of the surroundings";
        let falls = first > second && second > self.atmosphere.pascals();
        guard::require(falls, "pressure at the second reading", second, "Pa", readings)?;
        let lost = gas::density(self.from, self.temperature)? - gas::density(self.to, self.temperature)?;
        let unit = Restriction::new(Conductance::from_si(1.0)?, critical_ratio)?;
        let through_unit =
            time_of_fall(unit, self.volume, self.temperature, (self.from, self.to), self.atmosphere);
        let conductance = Conductance::from_si((through_unit / self.time).value)?;
        let restriction = Restriction::new(conductance, critical_ratio)?;
        let now = restriction.mass_flow(self.to, self.atmosphere, self.temperature)?;
        Ok(Leak { mean: lost * self.volume / self.time, now, restriction })
    }
}

/// How long a closed volume takes to fall from one pressure to a lower one, both above that of the surroundings,
/// through a leak alone: `t = V/(R T) * integral from p_2 to p_1 of dp / q(p)`.
///
/// That is `V ln(p_1/p_2) / (C rho_0 R sqrt(T_0 T))` while the leak stays choked. Source: content of the volume (ideal
/// gas, one temperature) and the law of ISO 6358.
pub(crate) fn time_of_fall(
    leak: Restriction,
    volume: Volume,
    temperature: ThermodynamicTemperature,
    (from, to): (AbsolutePressure, AbsolutePressure),
    atmosphere: AbsolutePressure,
) -> Time {
    let law = leak.law();
    let flow = |pressure: f64| law.forward(pressure, atmosphere.pascals(), temperature.value);
    // In ln p the integrand of a choked leak is constant.
    let per_content = integral(
        &|logarithm: f64| logarithm.exp() / flow(logarithm.exp()),
        to.pascals().ln(),
        from.pascals().ln(),
        1e-12,
    );
    Time::new::<uom::si::time::second>(
        volume.value / (GAS_CONSTANT_J_PER_KG_K * temperature.value) * per_content,
    )
}

/// By how much the pressure of a closed volume falls in a time so short that the leak stays as it is:
/// `dp = q(p) R T t / V`, never below zero.
///
/// Source: content of the volume (ideal gas, one temperature) and the law of ISO 6358.
pub(crate) fn first_fall(
    leak: Restriction,
    volume: Volume,
    temperature: ThermodynamicTemperature,
    (pressure, atmosphere): (AbsolutePressure, AbsolutePressure),
    time: Time,
) -> Pressure {
    let flow = leak.law().forward(pressure.pascals(), atmosphere.pascals(), temperature.value);
    let rate = flow * GAS_CONSTANT_J_PER_KG_K * temperature.value / volume.value;
    crate::units::pressure::pascals(rate * time.value)
}

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;
    use uom::si::thermodynamic_temperature::kelvin;
    use uom::si::time::second;
    use uom::si::volume::liter;

    use super::*;
    use crate::units::pressure::pascals;

    fn absolute(value: f64) -> AbsolutePressure {
        AbsolutePressure::new(pascals(value)).unwrap()
    }

    fn fall(from: f64, to: f64) -> PressureFall {
        PressureFall {
            volume: Volume::new::<liter>(24.0),
            temperature: ThermodynamicTemperature::new::<kelvin>(298.15),
            from: absolute(from),
            to: absolute(to),
            time: Time::new::<second>(1800.0),
            atmosphere: absolute(0.98e5),
        }
    }

    #[test]
    fn the_mean_lies_between_start_and_end_also_below_choking() {
        for (from, to) in [(9e5, 7e5), (3e5, 1.5e5), (1.3e5, 1.1e5)] {
            let leak = fall(from, to).leak(Ratio::from(0.4)).unwrap();
            let start = leak
                .restriction
                .mass_flow(absolute(from), absolute(0.98e5), ThermodynamicTemperature::new::<kelvin>(298.15))
                .unwrap();
            assert!(leak.now < leak.mean && leak.mean < start, "{from} to {to}: {leak:?}");
        }
    }

    #[test]
    fn two_tests_of_one_leak_agree() {
        // From 3 to 2 and on to 1.2 bar takes the sum of the times: analytic, the integral is additive.
        let whole = fall(3e5, 1.2e5).leak(Ratio::from(0.4)).unwrap().restriction.conductance().si();
        let one = fall(3e5, 2e5).leak(Ratio::from(0.4)).unwrap().restriction.conductance().si();
        let two = fall(2e5, 1.2e5).leak(Ratio::from(0.4)).unwrap().restriction.conductance().si();
        assert_relative_eq!(one + two, whole, max_relative = 1e-10);
    }

    #[test]
    fn readings_that_do_not_fall_are_refused() {
        for (from, to) in [(3e5, 3e5), (3e5, 4e5), (3e5, 0.98e5), (0.9e5, 0.5e5)] {
            assert!(fall(from, to).leak(Ratio::from(0.4)).is_err(), "{from} to {to}");
        }
        let mut test = fall(3e5, 2e5);
        test.time = Time::default();
        assert!(test.leak(Ratio::from(0.4)).is_err());
    }
}
