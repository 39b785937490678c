//! How fast the load comes down, and how hard it lands.
//!
//! Quasi-static, as the [raise](super::raise): the load presses the air out through the lower valve, at the
//! pressure that balances load less friction. The same calculation with another [`Exhaust`] answers what
//! happens with the lower valve opened wide (its open conductance) and with the hose torn off at the
//! cylinder (the open port as an orifice).

use uom::si::f64::{Energy, Length, Mass, Ratio, ThermodynamicTemperature, Time, Velocity};
use uom::si::length::meter;
use uom::si::time::second;
use uom::si::velocity::meter_per_second;

use super::flow_curve::FlowCurve;
use super::piston_path::{Air, Chamber, SpeedAt, Stand, TravelPoint, speed_at, stands};
use super::travel::standard_gravity;
use crate::air::flow::law::Law;
use crate::air::flow::series::{Line, inlet, mass_flow};
use crate::air::flow::{Conductance, Restriction};
use crate::units::{AbsolutePressure, GaugePressure};
use crate::{Result, guard};

/// Share of a pressure by which another may be lower and still be level with it: rounding.
const LEVEL: f64 = 1e-9;

/// The way of the air from the cylinders into the open.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Exhaust<'a> {
    /// Hose, lower valve, silencer, in the order in which the air meets them.
    pub line: &'a Line,
    /// Pressure of the surroundings.
    pub atmosphere: AbsolutePressure,
    /// Temperature of the air.
    pub temperature: ThermodynamicTemperature,
}

/// The outcome of a lowering.
#[derive(Debug, Clone, PartialEq)]
pub enum Lowering {
    /// The load comes down.
    Completes(LoweringTimes),
    /// The load stops where it presses no air out: friction holds it, or nothing rests on the pistons.
    Sticks {
        /// Highest travel at which it cannot go on.
        travel: Length,
    },
}

/// Times and speeds of a lowering that completes.
#[derive(Debug, Clone, PartialEq)]
pub struct LoweringTimes {
    /// From opening the valve until the held pressure has fallen so far that the load starts.
    pub delay: Time,
    /// From the first motion to the end of the path.
    pub moving: Time,
    /// Where the pistons are slowest, of the points given.
    pub slowest: Option<SpeedAt>,
    /// Where the pistons are fastest, of the points given.
    pub fastest: Option<SpeedAt>,
    /// Speeds at the points given, two at a corner of the pressure.
    pub speeds: Vec<SpeedAt>,
    /// Speed on arrival at the lower end; none if the load [drops](Self::drops) there.
    pub arrival: Option<SpeedAt>,
    /// First travel at which the balancing pressure rises so fast on the way down that the air is only
    /// compressed, not let out: there the load drops, and no time is counted.
    pub drops: Option<Length>,
}

/// Energy that the stops must take: `E = m v^2/2`, `m` the moving mass and `v` its speed.
///
/// ```
/// # use lungful::sizing::lowering::end_energy;
/// # use uom::si::{energy::joule, f64::{Mass, Velocity}, mass::kilogram, velocity::meter_per_second};
/// let energy = end_energy(Mass::new::<kilogram>(140.0), Velocity::new::<meter_per_second>(0.2));
/// assert!((energy.get::<joule>() - 2.8).abs() < 1e-12); // 70 * 0.04
/// ```
#[must_use]
pub fn end_energy(mass: Mass, speed: Velocity) -> Energy {
    0.5 * mass * speed * speed
}

/// Highest speed at which the stops take no more than `limit`: `v = sqrt(2 E/m)`.
///
/// # Errors
/// [`Error::OutOfRange`](crate::Error::OutOfRange) unless mass and limit are finite and above zero.
///
/// ```
/// # use lungful::sizing::lowering::speed_for_energy;
/// # use uom::si::{energy::joule, f64::{Energy, Mass}, mass::kilogram, velocity::meter_per_second};
/// let speed = speed_for_energy(Energy::new::<joule>(2.8), Mass::new::<kilogram>(140.0))?;
/// assert!((speed.get::<meter_per_second>() - 0.2).abs() < 1e-12);
/// # Ok::<(), lungful::Error>(())
/// ```
pub fn speed_for_energy(limit: Energy, mass: Mass) -> Result<Velocity> {
    guard::positive("energy that the stops take", limit.value, "J")?;
    guard::positive("moving mass", mass.value, "kg")?;
    Ok((2.0 * limit / mass).sqrt())
}

/// Speed of a free fall through `height`, `v = sqrt(2 g h)`: what a load driven by its weight alone cannot
/// exceed. A quasi-static speed above it means that the air hardly holds the load.
///
/// # Errors
/// [`Error::OutOfRange`](crate::Error::OutOfRange) unless the height is finite and not below zero.
///
/// ```
/// # use lungful::sizing::lowering::fall_speed;
/// # use uom::si::{f64::Length, length::meter, velocity::meter_per_second};
/// let speed = fall_speed(Length::new::<meter>(0.4))?;
/// assert!((speed.get::<meter_per_second>() - 2.801).abs() < 1e-3); // sqrt(2 * 9.80665 * 0.4)
/// # Ok::<(), lungful::Error>(())
/// ```
pub fn fall_speed(height: Length) -> Result<Velocity> {
    let value = height.value;
    guard::require(value.is_finite() && value >= 0.0, "height", value, "m", "finite and not below zero")?;
    Ok((2.0 * standard_gravity() * height).sqrt())
}

impl Exhaust<'_> {
    /// Speed of the pistons at a constant pressure: `v = q(p) R T/(p A)`, 0 at the atmosphere or below.
    ///
    /// Source: mass balance of an ideal gas at one temperature; ISO 6358.
    ///
    /// # Errors
    /// [`Error::OutOfRange`](crate::Error::OutOfRange) for an area or a temperature that cannot be.
    ///
    /// # Example
    /// A choked hole lets the load down at a speed that hardly depends on the load: `C rho_0 R T/A`.
    /// ```
    /// # use lungful::air::flow::{Conductance, Restriction, series::Line};
    /// # use lungful::sizing::{lowering::Exhaust, piston_path::Chamber};
    /// # use lungful::units::{AbsolutePressure, GaugePressure, pressure::pascals};
    /// # use uom::si::{area::square_centimeter, f64::{Area, Ratio, ThermodynamicTemperature, Volume}};
    /// # use uom::si::{ratio::ratio, thermodynamic_temperature::kelvin, velocity::meter_per_second};
    /// let valve = Restriction::new(Conductance::from_si(2e-9)?, Ratio::new::<ratio>(0.5))?;
    /// let exhaust = Exhaust {
    ///     line: &Line::new(vec![valve])?,
    ///     atmosphere: AbsolutePressure::new(pascals(1e5))?,
    ///     temperature: ThermodynamicTemperature::new::<kelvin>(293.15),
    /// };
    /// let chamber =
    ///     Chamber { area: Area::new::<square_centimeter>(40.0), dead_volume: Volume::default() };
    /// for bar in [1.0, 2.0, 4.0] {
    ///     let speed = exhaust.steady_speed(&chamber, GaugePressure::new(pascals(bar * 1e5)))?;
    ///     // 2e-9 * 1.185 * 287.05 * 293.15 / 4e-3 = 0.04986 m/s
    ///     assert!((speed.get::<meter_per_second>() - 0.04986).abs() < 1e-5);
    /// }
    /// # Ok::<(), lungful::Error>(())
    /// ```
    pub fn steady_speed(&self, chamber: &Chamber, pressure: GaugePressure) -> Result<Velocity> {
        let air = Air::new(chamber, self.temperature.value)?;
        let pressure = pressure.to_absolute(self.atmosphere)?.pascals();
        let flow = self.flow(pressure);
        let speed = air.steady_speed(flow, pressure);
        guard::require(speed.is_finite(), "lowering speed", speed, "m/s", "a finite number")?;
        Ok(Velocity::new::<meter_per_second>(speed))
    }

    /// Time of a lowering from the end of `path` to its start; `path` in ascending travel, with the pressure
    /// that the sinking load keeps up ([`sinking_pressure`](super::cylinder_force::Cylinders::sinking_pressure)), and `held` the pressure before the valve opens.
    ///
    /// `t = integral of -dm/q(p)`, `m = p V/(R T)`: first at full travel from `held` to the pressure that
    /// lets the load start (the delay), then along the path. If `held` is lower, as when return air comes on, the
    /// load [drops](LoweringTimes::drops) until the air shut in bears it, `p V` staying the same.
    ///
    /// # Errors
    /// As [`Feed::raise`](super::raise::Feed::raise).
    pub fn lower(&self, chamber: &Chamber, path: &[TravelPoint], held: GaugePressure) -> Result<Lowering> {
        let air = Air::new(chamber, self.temperature.value)?;
        let mut stands = stands(path, self.atmosphere)?;
        stands.reverse();
        let held = held.to_absolute(self.atmosphere)?.pascals();
        let closed = self.atmosphere.pascals() + self.line.laws().iter().map(Law::cracking).sum::<f64>();
        if let Some(stuck) = stands.iter().find(|stand| stand.pressure <= closed) {
            return Ok(Lowering::Sticks { travel: Length::new::<meter>(stuck.travel) });
        }
        let Some(first) = stands.first().copied() else {
            return Ok(Lowering::Sticks { travel: Length::default() });
        };
        let drops_at_once = held < first.pressure * (1.0 - LEVEL);
        if drops_at_once {
            stands = air.pressed_together(&stands, held);
        }
        let start = stands.first().copied().unwrap_or(first);
        let at_rest = Stand { pressure: if drops_at_once { start.pressure } else { held }, ..start };
        let flow = FlowCurve::outwards(
            |pressure: f64| self.flow(pressure),
            self.line.laws(),
            self.atmosphere.pascals(),
            stands.iter().map(|stand| stand.pressure).fold(f64::INFINITY, f64::min),
            self.temperature.value,
        );
        let delay = air.run(&[at_rest, start], &flow, -1.0);
        let run = air.run(&stands, &flow, -1.0);
        let total = delay.time + run.time;
        guard::require(total.is_finite(), "time of lowering", total, "s", "a finite number")?;
        Ok(Lowering::Completes(LoweringTimes {
            delay: Time::new::<second>(delay.time),
            moving: Time::new::<second>(run.time),
            slowest: speed_at(run.slowest),
            fastest: speed_at(run.fastest),
            speeds: run.speeds,
            arrival: run.arrival.and_then(speed_at),
            drops: drops_at_once.then_some(first.travel).or(run.outruns).map(Length::new::<meter>),
        }))
    }

    /// Mass flow in kg/s from a chamber at `pressure`.
    fn flow(&self, pressure: f64) -> f64 {
        mass_flow(self.line.laws(), pressure, self.atmosphere.pascals(), self.temperature.value).max(0.0)
    }
}

/// A lowering that is to run at a given speed, and what its air passes besides the restriction sought.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WantedLowering<'a> {
    /// Speed of the pistons.
    pub speed: Velocity,
    /// Pressure that the sinking load keeps up.
    pub pressure: GaugePressure,
    /// What the air passes before the restriction: port, hose.
    pub before: &'a [Restriction],
    /// What it passes after it: a silencer.
    pub after: &'a [Restriction],
    /// Pressure of the surroundings.
    pub atmosphere: AbsolutePressure,
    /// Temperature of the air.
    pub temperature: ThermodynamicTemperature,
}

impl WantedLowering<'_> {
    /// Conductance of the restriction that gives the wanted speed, with the `critical_ratio` it will have;
    /// none if the rest of the line alone is too narrow for that speed.
    ///
    /// `C = q sqrt(T/T_0)/(rho_0 p_1 f(p_2/p_1))` with `q = v p A/(R T)`, `p_1` the pressure that the
    /// elements before leave, `p_2` the one that those after ask for.
    /// [`orifice_bore`](crate::air::flow::conversion::orifice_bore) turns it into a hole.
    ///
    /// # Errors
    /// [`Error::OutOfRange`](crate::Error::OutOfRange) unless the speed is finite and above zero, or for an
    /// area, temperature or critical ratio that cannot be.
    ///
    /// # Example
    /// The 0.04986 m/s of [`steady_speed`](Exhaust::steady_speed) ask for its 2e-9 m3/(s Pa).
    /// ```
    /// # use lungful::sizing::{lowering::WantedLowering, piston_path::Chamber};
    /// # use lungful::units::{AbsolutePressure, GaugePressure, pressure::pascals};
    /// # use uom::si::{area::square_centimeter, f64::{Area, Ratio, ThermodynamicTemperature, Velocity, Volume}};
    /// # use uom::si::{ratio::ratio, thermodynamic_temperature::kelvin, velocity::meter_per_second};
    /// let wanted = WantedLowering {
    ///     speed: Velocity::new::<meter_per_second>(0.04986),
    ///     pressure: GaugePressure::new(pascals(2e5)),
    ///     before: &[],
    ///     after: &[],
    ///     atmosphere: AbsolutePressure::new(pascals(1e5))?,
    ///     temperature: ThermodynamicTemperature::new::<kelvin>(293.15),
    /// };
    /// let chamber =
    ///     Chamber { area: Area::new::<square_centimeter>(40.0), dead_volume: Volume::default() };
    /// let found = wanted.conductance(&chamber, Ratio::new::<ratio>(0.5))?.unwrap();
    /// assert!((found.si() - 2e-9).abs() < 1e-13);
    /// # Ok::<(), lungful::Error>(())
    /// ```
    pub fn conductance(&self, chamber: &Chamber, critical_ratio: Ratio) -> Result<Option<Conductance>> {
        guard::positive("wanted lowering speed", self.speed.value, "m/s")?;
        let air = Air::new(chamber, self.temperature.value)?;
        let temperature_k = self.temperature.value;
        let pressure = self.pressure.to_absolute(self.atmosphere)?.pascals();
        let flow = air.steady_flow(self.speed.value, pressure);
        let mut before = Some(pressure);
        for element in self.before {
            before = before.and_then(|inlet| element.law().outlet(flow, inlet, temperature_k));
        }
        let after: Vec<Law> = self.after.iter().rev().map(Restriction::law).collect();
        let outlet = inlet(after.iter(), flow, self.atmosphere.pascals(), temperature_k);
        let unit = Restriction::new(Conductance::from_si(1.0)?, critical_ratio)?.law();
        match before {
            Some(inlet) if inlet > outlet => {
                Conductance::from_si(flow / unit.forward(inlet, outlet, temperature_k)).map(Some)
            }
            _ => Ok(None),
        }
    }
}

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;
    use uom::si::area::square_meter;
    use uom::si::f64::{Area, Volume};
    use uom::si::thermodynamic_temperature::kelvin;
    use uom::si::volume::cubic_meter;

    use super::*;
    use crate::air::flow::conversion::orifice;
    use crate::units::pressure::pascals;

    fn chamber() -> Chamber {
        Chamber { area: Area::new::<square_meter>(4e-3), dead_volume: Volume::new::<cubic_meter>(2e-4) }
    }

    fn site() -> AbsolutePressure {
        AbsolutePressure::new(pascals(1e5)).unwrap()
    }

    fn room() -> ThermodynamicTemperature {
        ThermodynamicTemperature::new::<kelvin>(293.15)
    }

    fn element(conductance: f64, ratio: f64) -> Restriction {
        Restriction::new(Conductance::from_si(conductance).unwrap(), Ratio::from(ratio)).unwrap()
    }

    fn gauge(bar: f64) -> GaugePressure {
        GaugePressure::new(pascals(bar * 1e5))
    }

    fn point(travel: f64, bar: f64) -> TravelPoint {
        TravelPoint { travel: Length::new::<meter>(travel), pressure: gauge(bar) }
    }

    fn lower(elements: &[Restriction], path: &[TravelPoint], held: f64) -> Lowering {
        let line = Line::new(elements.to_vec()).unwrap();
        let exhaust = Exhaust { line: &line, atmosphere: site(), temperature: room() };
        exhaust.lower(&chamber(), path, gauge(held)).unwrap()
    }

    #[track_caller]
    fn times(elements: &[Restriction], path: &[TravelPoint], held: f64) -> LoweringTimes {
        match lower(elements, path, held) {
            Lowering::Completes(times) => times,
            Lowering::Sticks { travel } => panic!("sticks at {travel:?}"),
        }
    }

    #[test]
    fn choked_blow_down_before_the_motion_is_exponential() {
        // analytic: dp/dt = -C rho0 R T p/V at T0, so t = V/(C rho0 R T) ln(7/3)
        let found =
            times(&[element(2e-9, 0.3)], &[point(0.0, 2.0 + 1.0 / 3.0), point(0.3, 2.0 + 1.0 / 3.0)], 6.0);
        let expected =
            (2e-4 + 4e-3 * 0.3) / (2e-9 * 1.185 * 287.049 * 293.15) * (7.0_f64 / (3.0 + 1.0 / 3.0)).ln();
        assert_relative_eq!(found.delay.value, expected, max_relative = 2e-6);
    }

    #[test]
    fn a_choked_hole_lowers_at_one_speed() {
        // analytic: v = C rho0 R T/A, no pressure in it
        let speed = 2e-9 * 1.185 * 287.049 * 293.15 / 4e-3;
        for bar in [2.5, 4.0, 6.0] {
            let found = times(&[element(2e-9, 0.3)], &[point(0.0, bar), point(0.3, bar)], bar);
            assert_relative_eq!(found.moving.value, 0.3 / speed, max_relative = 2e-6);
            assert_relative_eq!(found.fastest.unwrap().speed.value, speed, max_relative = 2e-6);
            assert_relative_eq!(found.arrival.unwrap().speed.value, speed, max_relative = 2e-6);
            assert_eq!(found.delay, Time::default());
        }
    }

    #[test]
    fn the_restriction_found_gives_the_speed_with_hose_and_silencer() {
        let (hose, silencer) = (element(2e-8, 0.3), element(5e-9, 0.5));
        for (bar, speed) in [(0.3, 0.02), (2.0, 0.05), (5.0, 0.1)] {
            let wanted = WantedLowering {
                speed: Velocity::new::<meter_per_second>(speed),
                pressure: gauge(bar),
                before: &[hose],
                after: &[silencer],
                atmosphere: site(),
                temperature: room(),
            };
            let found = wanted.conductance(&chamber(), Ratio::from(0.45)).unwrap().unwrap();
            let valve = Restriction::new(found, Ratio::from(0.45)).unwrap();
            let line = Line::new(vec![hose, valve, silencer]).unwrap();
            let exhaust = Exhaust { line: &line, atmosphere: site(), temperature: room() };
            let back = exhaust.steady_speed(&chamber(), gauge(bar)).unwrap();
            assert_relative_eq!(back.value, speed, max_relative = 1e-9);
        }
        let too_fast = WantedLowering {
            speed: Velocity::new::<meter_per_second>(2.0),
            pressure: gauge(2.0),
            before: &[hose],
            after: &[silencer],
            atmosphere: site(),
            temperature: room(),
        };
        assert_eq!(too_fast.conductance(&chamber(), Ratio::from(0.45)).unwrap(), None);
    }

    #[test]
    fn a_torn_hose_lowers_far_faster_than_the_valve() {
        let port = orifice(Length::new::<meter>(8e-3), Ratio::from(0.97)).unwrap();
        let path = [point(0.0, 3.0), point(0.3, 3.0)];
        let valve = times(&[element(2e-8, 0.3), element(2e-9, 0.3)], &path, 3.0);
        let torn = times(&[port], &path, 3.0);
        // analytic: a choked line moves as its conductance, here 2e-9 almost alone against that of the port
        let gain = torn.fastest.unwrap().speed / valve.fastest.unwrap().speed;
        assert_relative_eq!(gain.value, port.conductance().si() / 2e-9, max_relative = 0.02);
    }

    #[test]
    fn an_empty_platform_may_stick() {
        let path = [point(0.0, 0.0), point(0.1, 0.0), point(0.1, 2.0), point(0.3, 2.0)];
        let stuck = Lowering::Sticks { travel: Length::new::<meter>(0.1) };
        assert_eq!(lower(&[element(2e-9, 0.3)], &path, 6.0), stuck);
    }

    /// analytic: 3 bar (absolute) of 1.4 L bear 4 bar in 1.05 L, at a travel of 0.2125 m of 0.3 m; from there on a
    /// choked hole at `C rho0 R T/A`.
    #[test]
    fn air_held_below_what_presses_on_it_is_pressed_together_first() {
        let found = times(&[element(2e-9, 0.3)], &[point(0.0, 3.0), point(0.3, 3.0)], 2.0);
        let speed = 2e-9 * 1.185 * 287.049 * 293.15 / 4e-3;
        assert_relative_eq!(found.moving.value, 0.2125 / speed, max_relative = 2e-6);
        assert_eq!((found.delay, found.drops), (Time::default(), Some(Length::new::<meter>(0.3))));
    }

    #[test]
    fn a_pressure_that_grows_on_the_way_down_makes_the_load_drop() {
        let found = times(&[element(2e-9, 0.3)], &[point(0.0, 5.0), point(0.01, 1.0)], 1.0);
        assert!(found.drops.is_some());
        assert!(found.moving.value.is_finite());
    }
}
