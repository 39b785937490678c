//! How fast a compressor fills the tank, and what rate of strokes it keeps up.

mod stretch;

use uom::si::f64::{
    ElectricCurrent, ElectricPotential, Energy, Mass, MassDensity, MassRate, Pressure, Ratio, Time, Volume,
    VolumeRate,
};

use crate::air::gas::Isotherm;
use crate::units::pressure::pascals;
use crate::units::{AbsolutePressure, GaugePressure};
use crate::{Result, guard};
use stretch::Stretch;

/// Sea-level pressure at which a stall pressure is stated. Source: US Standard Atmosphere 1976.
const SEA_LEVEL_PA: f64 = 101_325.0;

/// A small piston compressor with its pressure switch.
#[derive(Debug, Clone, PartialEq)]
pub struct Compressor {
    /// Delivery against pressure.
    pub delivery: Delivery,
    /// Pressure at which the switch starts the pump.
    pub cut_in: GaugePressure,
    /// Pressure at which the switch stops the pump.
    pub cut_out: GaugePressure,
    /// Share of the time for which the pump may run.
    pub duty: Ratio,
    /// Supply voltage, if known.
    pub volts: Option<ElectricPotential>,
    /// Current against tank pressure, ascending, if known.
    pub current: Option<Vec<(GaugePressure, ElectricCurrent)>>,
    /// Longest run that the pump may make, if known.
    pub max_run: Option<Time>,
}

/// How much a pump delivers at a tank pressure.
#[derive(Debug, Clone, PartialEq)]
pub enum Delivery {
    /// Measured points in ascending pressure, linear between them; constant below the first, zero above
    /// the last.
    Points(Vec<(GaugePressure, Intake)>),
    /// Open-flow delivery and the pressure at which the pump stalls at sea level.
    OpenAndStall {
        /// Delivery against no pressure.
        open: Intake,
        /// Stall pressure, gauge, at 101 325 Pa.
        stall: GaugePressure,
        /// Index of compression n.
        index: f64,
    },
}

/// What a pump takes in: a volume of the site's air (the usual case), or a mass.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Intake {
    /// Volume of the site's own air (ISO 1217).
    InletVolume(VolumeRate),
    /// Mass, independent of the site.
    Mass(MassRate),
}

impl Intake {
    /// Mass taken in where the air has the density `inlet`.
    #[must_use]
    pub fn mass_rate(self, inlet: MassDensity) -> MassRate {
        match self {
            Self::InletVolume(volume_rate) => volume_rate * inlet,
            Self::Mass(mass_rate) => mass_rate,
        }
    }
}

/// A compressor at its site.
///
/// The tank is taken to stay at the temperature of the site (slow filling); the air that the pump takes in
/// is the site's own, dry.
#[derive(Debug, Clone)]
pub struct Pump<'a> {
    compressor: &'a Compressor,
    air: &'a Isotherm,
    atmosphere: AbsolutePressure,
    inlet: MassDensity,
}

/// One run of the pump from a pressure to a higher one.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Run {
    /// How long it takes.
    pub time: Time,
    /// What it draws, if voltage and current are known.
    pub energy: Option<Energy>,
}

impl std::ops::Add for Run {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self { time: self.time + other.time, energy: self.energy.zip(other.energy).map(|(a, b)| a + b) }
    }
}

/// Volumetric efficiency of a piston compressor with clearance: `eta = 1 + c - c r^(1/n)`.
///
/// `c` is the clearance as a share of the swept volume, `r` the ratio of outlet to inlet pressure
/// (absolute), `n` the index of compression. May be negative past the stall ratio.
///
/// Source: textbook result for re-expansion of the clearance volume, for instance Joel, Basic Engineering
/// Thermodynamics, chapter 14. Not covered: leakage past the rings, heating of the inlet air.
///
/// ```
/// # use lungful::sizing::compressor_fill_time::volumetric_efficiency;
/// // c 0.05, ratio 7, n 1.2: 1.05 - 0.05 * 7^(1/1.2) = 0.797
/// assert!((volumetric_efficiency(0.05, 7.0, 1.2) - 0.797).abs() < 5e-4);
/// ```
#[must_use]
pub fn volumetric_efficiency(clearance: f64, ratio: f64, index: f64) -> f64 {
    1.0 + clearance - clearance * ratio.powf(1.0 / index)
}

/// Clearance with which a pump stalls at a stated sea-level pressure:
/// `c = 1 / (((stall + 101325 Pa) / 101325 Pa)^(1/n) - 1)`.
///
/// That is the `c` for which [`volumetric_efficiency`] is zero at that ratio. It stands for everything that
/// takes delivery away, not for the clearance that one could measure.
///
/// ```
/// # use lungful::sizing::compressor_fill_time::stall_clearance;
/// # use lungful::units::{GaugePressure, pressure::pascals};
/// // stall at 9 atmospheres above the site, n 1: ratio 10, c = 1/9
/// let clearance = stall_clearance(GaugePressure::new(pascals(9.0 * 101_325.0)), 1.0);
/// assert!((clearance - 1.0 / 9.0).abs() < 1e-12);
/// ```
#[must_use]
pub fn stall_clearance(stall: GaugePressure, index: f64) -> f64 {
    let ratio = (stall.pascals() + SEA_LEVEL_PA) / SEA_LEVEL_PA;
    1.0 / (ratio.powf(1.0 / index) - 1.0)
}

impl<'a> Pump<'a> {
    /// A compressor at a site whose air follows `air` at the pressure `atmosphere`.
    ///
    /// # Errors
    /// [`Error::OutOfRange`](crate::Error::OutOfRange) if the gas equation does not cover the site.
    pub fn new(compressor: &'a Compressor, air: &'a Isotherm, atmosphere: AbsolutePressure) -> Result<Self> {
        Ok(Self { compressor, air, atmosphere, inlet: air.density(atmosphere)? })
    }

    /// Mass delivered at a tank pressure; zero from the stall on.
    ///
    /// From points: linear between them, the first value below the first, zero above the last. From open
    /// flow and stall: open flow times [`volumetric_efficiency`] at `r = p / p_atm`.
    #[must_use]
    pub fn mass_rate(&self, tank: GaugePressure) -> MassRate {
        match &self.compressor.delivery {
            Delivery::Points(points) => {
                let last = points.last().map(|&(pressure, _)| pressure);
                if last.is_none_or(|last| tank > last) {
                    return MassRate::default();
                }
                interpolate(points, tank, |intake| intake.mass_rate(self.inlet)).unwrap_or_default()
            }
            Delivery::OpenAndStall { open, stall, index } => {
                let ratio = (tank.pascals() + self.atmosphere.pascals()) / self.atmosphere.pascals();
                let efficiency = volumetric_efficiency(stall_clearance(*stall, *index), ratio, *index);
                open.mass_rate(self.inlet) * efficiency.max(0.0)
            }
        }
    }

    /// Lowest tank pressure at which the delivery is zero.
    ///
    /// A stall pressure stated at sea level keeps its pressure ratio on site:
    /// `p = (stall + 101325 Pa) p_atm / 101325 Pa - p_atm`.
    #[must_use]
    pub fn stall(&self) -> GaugePressure {
        match &self.compressor.delivery {
            Delivery::Points(points) => {
                let first_zero = points
                    .iter()
                    .find(|(_, intake)| intake.mass_rate(self.inlet) <= MassRate::default())
                    .or(points.last());
                first_zero.map_or(GaugePressure::new(Pressure::default()), |&(pressure, _)| pressure)
            }
            Delivery::OpenAndStall { stall, .. } => {
                let site = self.atmosphere.pascals();
                let absolute = (stall.pascals() + SEA_LEVEL_PA) * (site / SEA_LEVEL_PA);
                GaugePressure::new(pascals(absolute - site))
            }
        }
    }

    /// The pressure at which the pump stalls, if it does so at or below cut-out.
    #[must_use]
    pub fn stalls_at(&self) -> Option<GaugePressure> {
        let reaches = self.mass_rate(self.compressor.cut_out) > MassRate::default()
            && self.stall() >= self.compressor.cut_out;
        (!reaches).then(|| self.stall())
    }

    /// Electric power at a tank pressure, if voltage and current are known: `P = U I(p)`.
    pub(crate) fn power_w(&self, tank: GaugePressure) -> Option<f64> {
        let volts = self.compressor.volts?;
        let points = self.compressor.current.as_ref()?;
        let current = interpolate(points, tank, |current| current).unwrap_or_default();
        Some((volts * current).value)
    }

    /// The run that brings a tank of volume `V` from one pressure to another:
    /// `t = V * integral of (d rho / d p) / m(p) dp`, energy the same integral weighted with `U I(p)`.
    ///
    /// `m(p)` is the mass delivered. Isothermal tank, real-gas density. Between break points of the tables
    /// the integral is taken by an eight-point Gauss-Legendre rule over a variable in which the integrand
    /// stays smooth up to the stall. Zero if `to` is not above `from`.
    ///
    /// Source: mass balance of the tank.
    ///
    /// # Errors
    /// [`Error::OutOfRange`](crate::Error::OutOfRange) if the delivery reaches zero on the way, a pressure is
    /// outside the gas equation, or the time is beyond what a number holds.
    pub fn run(&self, volume: Volume, from: GaugePressure, to: GaugePressure) -> Result<Run> {
        let mut time_s = 0.0;
        let mut energy_j = self.power_w(from).map(|_| 0.0);
        let mut start = from;
        while start < to {
            let end = self.next_break(start).map_or(to, |next| next.min(to));
            for (gauge_pa, step_over_rate) in self.stretch(start, end)?.nodes() {
                let pressure = GaugePressure::new(pascals(gauge_pa));
                let (_, slope) = self.air.density_and_slope(pressure.to_absolute(self.atmosphere)?)?;
                let seconds = volume.value * step_over_rate / slope.value;
                time_s += seconds;
                energy_j = energy_j.zip(self.power_w(pressure)).map(|(sum, power)| sum + power * seconds);
            }
            start = end;
        }
        for (quantity, sum, unit) in
            [("time of a fill", time_s, "s"), ("energy of a fill", energy_j.unwrap_or_default(), "J")]
        {
            guard::require(sum.is_finite(), quantity, sum, unit, "a finite number")?;
        }
        Ok(Run {
            time: Time::new::<uom::si::time::second>(time_s),
            energy: energy_j.map(Energy::new::<uom::si::energy::joule>),
        })
    }

    /// The next break point of the delivery or current tables above a pressure.
    fn next_break(&self, above: GaugePressure) -> Option<GaugePressure> {
        let delivery = match &self.compressor.delivery {
            Delivery::Points(points) => points.iter().map(|point| point.0).find(|&p| p > above),
            Delivery::OpenAndStall { .. } => None,
        };
        let current =
            self.compressor.current.iter().flatten().map(|point| point.0).find(|&pressure| pressure > above);
        match (delivery, current) {
            (Some(a), Some(b)) => Some(a.min(b)),
            (a, b) => a.or(b),
        }
    }

    /// The stretch between two pressures that have no break point between them.
    fn stretch(&self, from: GaugePressure, to: GaugePressure) -> Result<Stretch> {
        let (ends, rates) = ([from.pascals(), to.pascals()], [from, to].map(|p| self.mass_rate(p).value));
        for rate in rates {
            guard::positive("delivery while filling", rate, "kg/s")?;
        }
        Ok(match &self.compressor.delivery {
            Delivery::Points(_) => Stretch::linear(ends, rates),
            Delivery::OpenAndStall { open, stall, index } => Stretch::clearance(
                ends,
                rates,
                self.atmosphere.pascals(),
                open.mass_rate(self.inlet).value,
                stall_clearance(*stall, *index),
                *index,
            ),
        })
    }

    /// The pressure at which a relief valve's duty is taken: its opening pressure where the delivery is
    /// known there, else the highest pressure below it at which it is.
    ///
    /// Points: the opening pressure, or the last point if that is lower. Open flow and stall: the opening
    /// pressure, or the lesser of it and cut-out if the pump stalls before it opens.
    #[must_use]
    pub fn relief_duty(&self, relief: GaugePressure) -> (GaugePressure, MassRate) {
        let pressure = match &self.compressor.delivery {
            Delivery::Points(points) => points.last().map_or(relief, |last| last.0.min(relief)),
            Delivery::OpenAndStall { .. } if self.stall() < relief => relief.min(self.compressor.cut_out),
            Delivery::OpenAndStall { .. } => relief,
        };
        (pressure, self.mass_rate(pressure))
    }
}

/// Strokes per second that the pump keeps up all day: `n = duty * (band mass / band time) / stroke mass`.
///
/// The band is that of the pressure switch, cut-in to cut-out. Source: mass balance.
///
/// ```
/// # use lungful::sizing::compressor_fill_time::kept_up_rate;
/// # use uom::si::{f64::{Mass, Ratio, Time}, mass::gram, ratio::percent, time::second};
/// let grams = |value| Mass::new::<gram>(value);
/// let rate = kept_up_rate(Ratio::new::<percent>(50.0), grams(20.0), Time::new::<second>(60.0), grams(10.0));
/// assert!((rate * 3600.0 - 60.0).abs() < 1e-9); // 0.5 * 20/60 g/s / 10 g = 1 a minute
/// ```
#[must_use]
pub fn kept_up_rate(duty: Ratio, band_mass: Mass, band_time: Time, stroke_mass: Mass) -> f64 {
    let mean: MassRate = band_mass / band_time;
    let strokes: uom::si::f64::Frequency = duty * mean / stroke_mass;
    strokes.value
}

/// Value at `at` of a table in ascending pressure: linear between points, constant beyond either end.
fn interpolate<X: Copy, Y>(
    points: &[(GaugePressure, X)],
    at: GaugePressure,
    value: impl Fn(X) -> Y,
) -> Option<Y>
where
    Y: std::ops::Add<Output = Y> + std::ops::Sub<Output = Y> + std::ops::Mul<Ratio, Output = Y> + Copy,
{
    let above = points.iter().position(|&(pressure, _)| pressure >= at);
    let (index, upper) = match above {
        Some(index) => (index, points.get(index)?),
        None => return points.last().map(|&(_, y)| value(y)),
    };
    let Some(lower) = index.checked_sub(1).and_then(|index| points.get(index)) else {
        return Some(value(upper.1));
    };
    let share = (at - lower.0) / (upper.0 - lower.0);
    let (low, high) = (value(lower.1), value(upper.1));
    Some(low + (high - low) * share)
}

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;
    use uom::si::electric_current::ampere;
    use uom::si::electric_potential::volt;
    use uom::si::f64::ThermodynamicTemperature;
    use uom::si::mass_rate::gram_per_second;
    use uom::si::thermodynamic_temperature::kelvin;
    use uom::si::volume::liter;

    use super::*;

    fn bar(value: f64) -> GaugePressure {
        GaugePressure::new(pascals(value * 1e5))
    }

    fn grams(value: f64) -> Intake {
        Intake::Mass(MassRate::new::<gram_per_second>(value))
    }

    fn compressor(delivery: Delivery) -> Compressor {
        Compressor {
            delivery,
            cut_in: bar(6.0),
            cut_out: bar(8.0),
            duty: Ratio::from(1.0),
            volts: Some(ElectricPotential::new::<volt>(12.0)),
            current: Some(vec![(bar(0.0), ElectricCurrent::new::<ampere>(10.0))]),
            max_run: None,
        }
    }

    fn air() -> Isotherm {
        Isotherm::new(ThermodynamicTemperature::new::<kelvin>(293.15)).unwrap()
    }

    fn site() -> AbsolutePressure {
        AbsolutePressure::new(pascals(90_000.0)).unwrap()
    }

    #[test]
    fn points_are_joined_by_lines_and_end_at_the_last() {
        let compressor = compressor(Delivery::Points(vec![(bar(2.0), grams(1.0)), (bar(6.0), grams(0.5))]));
        let air = air();
        let pump = Pump::new(&compressor, &air, site()).unwrap();
        let at = |pressure: f64| pump.mass_rate(bar(pressure)).get::<gram_per_second>();
        assert_relative_eq!(at(0.0), 1.0, max_relative = 1e-15);
        assert_relative_eq!(at(3.0), 0.875, max_relative = 1e-12);
        assert_relative_eq!(at(6.0), 0.5, max_relative = 1e-15);
        assert_eq!(pump.mass_rate(bar(6.01)), MassRate::default());
        assert_eq!(pump.stalls_at(), Some(bar(6.0)), "cut-out is above the last point");
        assert_eq!(pump.relief_duty(bar(9.0)).0, bar(6.0));
        assert_eq!(pump.relief_duty(bar(5.0)).0, bar(5.0));
    }

    #[test]
    fn a_pump_stalls_at_the_same_ratio_on_a_mountain() {
        let stall = GaugePressure::new(pascals(9.0 * 101_325.0));
        let delivery = Delivery::OpenAndStall { open: grams(1.0), stall, index: 1.2 };
        let compressor = compressor(delivery);
        let air = air();
        let pump = Pump::new(&compressor, &air, site()).unwrap();
        // analytic: ratio 10, so 9 times 90 kPa above the site
        assert_relative_eq!(pump.stall().pascals(), 810_000.0, max_relative = 1e-12);
        assert_eq!(pump.stalls_at(), None);
        assert_eq!(pump.relief_duty(bar(9.0)).0, bar(8.0), "stalls before it opens, so cut-out counts");
        assert_eq!(pump.relief_duty(bar(8.05)).0, bar(8.05));
    }

    #[test]
    fn a_constant_mass_flow_fills_in_mass_over_flow() {
        let delivery = Delivery::Points(vec![(bar(0.0), grams(0.5)), (bar(10.0), grams(0.5))]);
        let compressor = compressor(delivery);
        let air = air();
        let pump = Pump::new(&compressor, &air, site()).unwrap();
        let volume = Volume::new::<liter>(10.0);
        let run = pump.run(volume, bar(0.0), bar(8.0)).unwrap();
        let content = |pressure: GaugePressure| {
            air.density(pressure.to_absolute(site()).unwrap()).unwrap().value * 0.010
        };
        let expected = (content(bar(8.0)) - content(bar(0.0))) / 0.5e-3;
        assert_relative_eq!(run.time.value, expected, max_relative = 1e-12);
        // 12 V and 10 A all the way
        assert_relative_eq!(run.energy.unwrap().value, 120.0 * expected, max_relative = 1e-12);
        assert_eq!(pump.run(volume, bar(8.0), bar(8.0)).unwrap().time, Time::default());
    }

    #[test]
    fn a_run_into_the_stall_is_refused() {
        let delivery = Delivery::Points(vec![(bar(0.0), grams(0.5)), (bar(7.0), grams(0.0))]);
        let compressor = compressor(delivery);
        let air = air();
        let pump = Pump::new(&compressor, &air, site()).unwrap();
        assert!(pump.run(Volume::new::<liter>(10.0), bar(0.0), bar(8.0)).is_err());
    }
}
