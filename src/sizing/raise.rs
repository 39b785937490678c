//! How long the raise takes.
//!
//! Quasi-static: the pistons move so slowly that their air always stands at the pressure that balances
//! load and friction, at the temperature of the site. Flow from the regulator through the line then fixes
//! the speed. Left out: inertia, stick-slip and the heating of the air as it fills; air that has no time to
//! give off its heat fills up to 1.4 times faster.

use uom::si::f64::{Length, ThermodynamicTemperature, Time};
use uom::si::length::meter;
use uom::si::time::second;

use super::flow_curve::FlowCurve;
use super::piston_path::{Air, Chamber, SpeedAt, Stand, TravelPoint, speed_at, stands};
use super::regulator_flow::{RegulatorFlow, Source};
use crate::air::flow::law::Law;
use crate::air::flow::series::{Line, SteadyFlow, flow_from, inlet};
use crate::units::{AbsolutePressure, pressure::pascals};
use crate::{Result, guard};

/// Where the air for a raise comes from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Feed<'a> {
    /// The regulator.
    pub regulator: &'a RegulatorFlow,
    /// What lies between regulator and cylinders: valve, fittings, hose.
    pub line: &'a Line,
    /// Pressure of the surroundings.
    pub atmosphere: AbsolutePressure,
    /// Temperature of the air.
    pub temperature: ThermodynamicTemperature,
}

/// The outcome of a raise.
#[derive(Debug, Clone, PartialEq)]
pub enum Raise {
    /// The load arrives.
    Completes(RaiseTimes),
    /// The load stops where the pressure it needs is not below that of the regulator.
    Stalls {
        /// First travel at which it cannot go on.
        travel: Length,
    },
}

/// Times and speeds of a raise that completes.
#[derive(Debug, Clone, PartialEq)]
pub struct RaiseTimes {
    /// From opening the valve to the first motion.
    pub delay: Time,
    /// From the first motion to the end of the path.
    pub moving: Time,
    /// Where the pistons are slowest, of the points given.
    pub slowest: Option<SpeedAt>,
    /// Where the pistons are fastest, of the points given.
    pub fastest: Option<SpeedAt>,
    /// Speeds at the points given, two at a corner of the pressure.
    pub speeds: Vec<SpeedAt>,
    /// What limits the speed at the slowest place.
    pub limit: Limit,
    /// First travel at which the needed pressure falls so fast that the trapped air alone drives the
    /// pistons: from there on the load leaps, and no time is counted until air is needed again.
    pub leaps: Option<Length>,
}

/// What holds a raise back.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Limit {
    /// The droop of the regulator.
    Regulator,
    /// An element of the line, counted from 0.
    Element(usize),
}

impl RaiseTimes {
    /// From opening the valve to the end of the path.
    #[must_use]
    pub fn total(&self) -> Time {
        self.delay + self.moving
    }
}

impl Feed<'_> {
    /// Time of a raise along `path`.
    ///
    /// `t = integral of dm/q(p)`, `m = p V/(R T)`, `V = V_dead + A x`, first at zero travel from the
    /// atmosphere to the pressure that starts the motion (the delay), then along the path. At constant
    /// needed pressure the speed is `v = q(p) R T/(p A)`. The flow `q(p)` from the regulator through the
    /// line into a chamber at `p` is that of [`Line::flow`], with the outlet of the regulator falling as
    /// [`RegulatorFlow`] says.
    ///
    /// Source: mass balance of an ideal gas at one temperature; ISO 6358.
    ///
    /// # Errors
    /// [`Error::OutOfRange`](crate::Error::OutOfRange) for an area, temperature or dead volume that cannot
    /// be, fewer than two points, or travel that falls from point to point.
    ///
    /// # Example
    /// 6 bar at the regulator, a valve of 1 L/(s bar) that chokes at `b = 0.5`, 20 cm2 of piston, 0.3 m at
    /// 1.5 bar gauge: always choked, so 8.295 g/s (free air: 7 L/s).
    /// ```
    /// # use lungful::air::flow::{Conductance, Restriction, series::Line};
    /// # use lungful::sizing::{piston_path::{Chamber, TravelPoint}, raise::{Feed, Raise}};
    /// # use lungful::sizing::regulator_flow::{Droop, RegulatorFlow};
    /// # use lungful::units::{AbsolutePressure, GaugePressure, pressure::pascals};
    /// # use uom::si::{area::square_centimeter, f64::{Area, Length, Pressure, Ratio}, length::meter};
    /// # use uom::si::{f64::{ThermodynamicTemperature, Volume}, ratio::ratio, time::second};
    /// # use uom::si::{thermodynamic_temperature::kelvin, volume::liter};
    /// let valve = Restriction::new(Conductance::from_si(1e-8)?, Ratio::new::<ratio>(0.5))?;
    /// let (line, gauge) = (Line::new(vec![valve])?, |bar: f64| GaugePressure::new(pascals(bar * 1e5)));
    /// let regulator =
    ///     RegulatorFlow { set: gauge(6.0), droop: Droop::Constant(Pressure::default()), seat: None };
    /// let feed = Feed {
    ///     regulator: &regulator,
    ///     line: &line,
    ///     atmosphere: AbsolutePressure::new(pascals(1e5))?,
    ///     temperature: ThermodynamicTemperature::new::<kelvin>(293.15),
    /// };
    /// let chamber = Chamber {
    ///     area: Area::new::<square_centimeter>(20.0),
    ///     dead_volume: Volume::new::<liter>(0.1),
    /// };
    /// let at = |m: f64| TravelPoint { travel: Length::new::<meter>(m), pressure: gauge(1.5) };
    /// let Raise::Completes(times) = feed.raise(&chamber, &[at(0.0), at(0.3)])? else { panic!() };
    /// // 0.6 L * 2.5e5 Pa / (287.05 * 293.15) = 1.7826 g; 1.7826 / 8.295 = 0.2149 s
    /// assert!((times.moving.get::<second>() - 0.2149).abs() < 1e-4);
    /// // 0.1 L * 1.5e5 Pa / (287.05 * 293.15) / 8.295e-3 = 0.0215 s before it moves
    /// assert!((times.delay.get::<second>() - 0.0215).abs() < 1e-4);
    /// # Ok::<(), lungful::Error>(())
    /// ```
    pub fn raise(&self, chamber: &Chamber, path: &[TravelPoint]) -> Result<Raise> {
        let air = Air::new(chamber, self.temperature.value)?;
        let source = self.regulator.source(self.atmosphere, self.temperature)?;
        let stands = stands(path, self.atmosphere)?;
        let closed = self.laws().map(Law::cracking).sum::<f64>();
        if let Some(stall) = stands.iter().find(|stand| source.outlet(0.0) <= stand.pressure + closed) {
            return Ok(Raise::Stalls { travel: Length::new::<meter>(stall.travel) });
        }
        let Some(first) = stands.first().copied() else {
            return Ok(Raise::Stalls { travel: Length::default() });
        };
        let at_rest = Stand { pressure: self.atmosphere.pascals(), ..first };
        let flow = FlowCurve::inwards(
            |pressure: f64| self.flow(&source, pressure),
            &self.laws(),
            |flow| source.outlet(flow),
            stands.iter().map(|stand| stand.pressure).fold(0.0, f64::max),
            self.temperature.value,
        );
        let delay = air.run(&[at_rest, first], &flow, 1.0);
        let run = air.run(&stands, &flow, 1.0);
        let total = delay.time + run.time;
        guard::require(total.is_finite(), "time of raising", total, "s", "a finite number")?;
        let slowest = if run.slowest.1.is_finite() { run.slowest.0 } else { first };
        Ok(Raise::Completes(RaiseTimes {
            delay: Time::new::<second>(delay.time),
            moving: Time::new::<second>(run.time),
            slowest: speed_at(run.slowest),
            fastest: speed_at(run.fastest),
            speeds: run.speeds,
            limit: self.limit(flow.at(slowest.pressure), slowest.pressure),
            leaps: run.outruns.map(Length::new::<meter>),
        }))
    }

    /// Steady flow into a chamber at `pressure`, with the outlet of the regulator; none if the regulator is not
    /// above that pressure.
    ///
    /// # Errors
    /// As [`raise`](Self::raise).
    pub fn steady(&self, pressure: AbsolutePressure) -> Result<Option<(AbsolutePressure, SteadyFlow)>> {
        let source = self.regulator.source(self.atmosphere, self.temperature)?;
        let flow = self.flow(&source, pressure.pascals());
        if flow <= 0.0 {
            return Ok(None);
        }
        let outlet = inlet(self.laws(), flow, pressure.pascals(), self.temperature.value);
        let outlet = AbsolutePressure::new(pascals(outlet.max(source.outlet(flow))))?;
        self.line.flow(outlet, pressure, self.temperature).map(|steady| Some((outlet, steady)))
    }

    /// Mass flow in kg/s into a chamber at `pressure`; 0 if the regulator is not above it.
    fn flow(&self, source: &Source, pressure: f64) -> f64 {
        flow_from(&self.laws(), |flow| source.outlet(flow), pressure, self.temperature.value)
    }

    /// The laws of the line from the cylinder up.
    fn laws(&self) -> impl DoubleEndedIterator<Item = &Law> + Clone {
        self.line.laws().iter().rev()
    }

    /// The first choked element that the air meets; else what takes the greatest pressure drop.
    fn limit(&self, flow: f64, pressure: f64) -> Limit {
        let upstream = inlet(self.laws(), flow, pressure, self.temperature.value);
        let droop = self.regulator.set.pascals() + self.atmosphere.pascals() - upstream;
        let mut outlet = pressure;
        let (mut limit, mut greatest) = (Limit::Regulator, droop);
        let mut choked = false;
        for (place, law) in self.line.laws().iter().enumerate().rev() {
            let inlet = law.inlet(flow, outlet, self.temperature.value);
            let is_choked = law.is_choked(inlet, outlet);
            if is_choked || (!choked && inlet - outlet > greatest) {
                (limit, greatest, choked) = (Limit::Element(place), inlet - outlet, is_choked);
            }
            outlet = inlet;
        }
        limit
    }
}

#[cfg(test)]
mod tests {
    use std::marker::PhantomData;

    use approx::assert_relative_eq;
    use uom::si::area::square_meter;
    use uom::si::f64::{Area, MassRate, Pressure, Ratio, Volume};
    use uom::si::mass_rate::kilogram_per_second;
    use uom::si::thermodynamic_temperature::kelvin;
    use uom::si::volume::cubic_meter;

    use super::*;
    use crate::air::flow::{Conductance, Restriction};
    use crate::sizing::regulator_flow::Droop;
    use crate::units::GaugePressure;

    fn chamber() -> Chamber {
        Chamber { area: Area::new::<square_meter>(4e-3), dead_volume: Volume::new::<cubic_meter>(2e-4) }
    }

    fn regulator(droop: Droop) -> RegulatorFlow {
        RegulatorFlow { set: GaugePressure::new(pascals(6e5)), droop, seat: None }
    }

    fn linear() -> Droop {
        Droop::Linear { droop: pascals(0.5e5), rated: MassRate::new::<kilogram_per_second>(4e-3) }
    }

    fn line(pairs: &[(f64, f64)]) -> Line {
        let element = |&(conductance, ratio): &(f64, f64)| {
            Restriction::new(Conductance::from_si(conductance).unwrap(), Ratio::from(ratio)).unwrap()
        };
        Line::new(pairs.iter().map(element).collect()).unwrap()
    }

    fn point(travel: f64, bar: f64) -> TravelPoint {
        TravelPoint { travel: Length::new::<meter>(travel), pressure: GaugePressure::new(pascals(bar * 1e5)) }
    }

    #[track_caller]
    fn raise(droop: Droop, line: &Line, path: &[TravelPoint]) -> Raise {
        let regulator = regulator(droop);
        let feed = Feed {
            regulator: &regulator,
            line,
            atmosphere: AbsolutePressure::new(pascals(1e5)).unwrap(),
            temperature: ThermodynamicTemperature::new::<kelvin>(293.15),
        };
        feed.raise(&chamber(), path).unwrap()
    }

    #[track_caller]
    fn times(droop: Droop, line: &Line, path: &[TravelPoint]) -> RaiseTimes {
        match raise(droop, line, path) {
            Raise::Completes(times) => times,
            Raise::Stalls { travel } => panic!("stalls at {travel:?}"),
        }
    }

    const NO_DROOP: Droop =
        Droop::Constant(Pressure { dimension: PhantomData, units: PhantomData, value: 0.0 });
    #[test]
    fn choked_filling_is_linear_in_pressure() {
        // analytic: q = 1e-8 * 1.185 * 7e5 up to half of 7 bar; V dp/(R T q)
        let delay = |bar| times(NO_DROOP, &line(&[(1e-8, 0.5)]), &[point(0.0, bar), point(0.1, bar)]).delay;
        let expected = 2e-4 * 1e5 / (287.049 * 293.15) / (1e-8 * 1.185 * 7e5);
        assert_relative_eq!(delay(1.0).value, expected, max_relative = 2e-6);
        assert_relative_eq!(delay(2.0).value, 2.0 * expected, max_relative = 2e-6);
    }

    #[test]
    fn subsonic_filling_matches_its_closed_form() {
        // analytic: with b = 0.5 the flow is 2 q* sqrt(r (1 - r)), so the integral of dr from 0.5 to r is
        // asin(2 r - 1)/2. From choking at 3.5 bar to r = 0.9 of 7 bar.
        let delay = times(NO_DROOP, &line(&[(1e-8, 0.5)]), &[point(0.0, 5.3), point(0.1, 5.3)]).delay;
        let choked_part = 0.5 - 1.0 / 7.0;
        let scale = 2e-4 * 7e5 / (287.049 * 293.15) / (1e-8 * 1.185 * 7e5);
        let expected = scale * (choked_part + 0.5 * 0.8_f64.asin());
        assert_relative_eq!(delay.value, expected, max_relative = 2e-6);
    }

    #[test]
    fn points_that_rounding_puts_out_of_order_are_one_place() {
        // A stretch cut into steps ends a last digit beyond the start of the next one.
        let beyond = f64::from_bits(0.1_f64.to_bits() + 1);
        let path = |end: f64| [point(0.0, 1.0), point(end, 1.0), point(0.1, 2.0), point(0.2, 2.0)];
        let line = line(&[(1e-8, 0.5)]);
        let total = |end: f64| times(NO_DROOP, &line, &path(end)).total().value;
        assert_relative_eq!(total(beyond), total(0.1), max_relative = 1e-12);
        let regulator = regulator(NO_DROOP);
        let feed = Feed {
            regulator: &regulator,
            line: &line,
            atmosphere: AbsolutePressure::new(pascals(1e5)).unwrap(),
            temperature: ThermodynamicTemperature::new::<kelvin>(293.15),
        };
        assert!(feed.raise(&chamber(), &path(0.1001)).is_err());
    }

    #[test]
    fn a_pressure_that_grows_along_the_travel_takes_the_mass_it_needs() {
        // analytic: always choked, so time is mass over flow: (p2 V2 - p1 V1)/(R T q)
        let found = times(NO_DROOP, &line(&[(1e-8, 0.5)]), &[point(0.0, 0.5), point(0.2, 2.0)]);
        let mass = (3e5 * (2e-4 + 4e-3 * 0.2) - 1.5e5 * 2e-4) / (287.049 * 293.15);
        assert_relative_eq!(found.moving.value, mass / (1e-8 * 1.185 * 7e5), max_relative = 2e-6);
        assert_eq!(found.leaps, None);
        assert!(found.slowest.unwrap().speed < found.fastest.unwrap().speed);
    }

    #[test]
    fn a_step_at_the_take_up_takes_its_own_time() {
        let line = line(&[(1e-8, 0.5)]);
        let found =
            times(NO_DROOP, &line, &[point(0.0, 0.2), point(0.05, 0.2), point(0.05, 2.0), point(0.3, 2.0)]);
        let mass = (3e5 * (2e-4 + 4e-3 * 0.3) - 1.2e5 * 2e-4) / (287.049 * 293.15);
        assert_relative_eq!(found.moving.value, mass / (1e-8 * 1.185 * 7e5), max_relative = 2e-6);
    }

    #[test]
    fn a_needed_pressure_that_drops_makes_the_load_leap() {
        let found = times(NO_DROOP, &line(&[(1e-8, 0.5)]), &[point(0.0, 4.0), point(0.01, 1.0)]);
        assert_eq!(found.leaps, Some(Length::default()));
        assert!(found.moving.value.is_finite() && found.moving.value >= 0.0);
    }

    #[test]
    fn droop_slows_and_the_time_grows_without_bound_near_full_load() {
        let line = line(&[(1e-8, 0.4), (2e-8, 0.5)]);
        let regulator = regulator(linear());
        let feed = Feed {
            regulator: &regulator,
            line: &line,
            atmosphere: AbsolutePressure::new(pascals(1e5)).unwrap(),
            temperature: ThermodynamicTemperature::new::<kelvin>(293.15),
        };
        let time = |share: f64| {
            let path = [point(0.0, 6.0 * share), point(0.3, 6.0 * share)];
            match feed.raise(&chamber(), &path).unwrap() {
                Raise::Completes(times) => Some(times.total()),
                Raise::Stalls { .. } => None,
            }
        };
        let growth = [0.0, 0.3, 0.6, 0.8, 0.95, 0.99, 0.999].map(|share| time(share).unwrap());
        assert!(growth.is_sorted_by(|one, two| one < two), "{growth:?}");
        assert!(growth[6] > 4.0 * growth[3]);
        assert_eq!(time(1.0), None);
        let path = [point(0.0, 3.0), point(0.3, 3.0)];
        assert!(times(linear(), &line, &path).moving > times(NO_DROOP, &line, &path).moving);
    }

    #[test]
    fn droop_and_line_settle_on_one_flow() {
        // analytic: p = 7e5 - 12.5e6 q and q = 1e-8 * 1.185 p when choked: q = 0.008295/(1 + 0.148125)
        let found = times(linear(), &line(&[(1e-8, 0.5)]), &[point(0.0, 1.0), point(0.1, 1.0)]);
        let flow = 0.008_295 / 1.148_125;
        let speed = flow * 287.049 * 293.15 / (2e5 * 4e-3);
        assert_relative_eq!(found.slowest.unwrap().speed.value, speed, max_relative = 2e-6);
    }

    #[test]
    fn the_limit_is_named() {
        let path = [point(0.0, 2.0), point(0.1, 2.0)];
        let narrow_first = times(NO_DROOP, &line(&[(1e-9, 0.4), (2e-8, 0.5)]), &path).limit;
        let narrow_last = times(NO_DROOP, &line(&[(2e-8, 0.4), (1e-9, 0.5)]), &path).limit;
        assert_eq!((narrow_first, narrow_last), (Limit::Element(0), Limit::Element(1)));
        assert_eq!(times(linear(), &line(&[(1e-6, 0.4)]), &path).limit, Limit::Regulator);
        // Both choked: 7 bar falls by 2.87 to 4.13 bar, then by 3.08; but only the first decides.
        let path = [point(0.0, 0.05), point(0.1, 0.05)];
        let line = line(&[(1e-9, 0.6), (1e-9 / 0.59, 0.3)]);
        assert_eq!(times(NO_DROOP, &line, &path).limit, Limit::Element(0));
    }

    #[test]
    fn too_much_load_stalls_where_it_first_does() {
        let path = [point(0.0, 2.0), point(0.1, 2.0), point(0.1, 6.0), point(0.2, 6.5)];
        let stall = Raise::Stalls { travel: Length::new::<meter>(0.1) };
        assert_eq!(raise(NO_DROOP, &line(&[(1e-8, 0.5)]), &path), stall);
    }

    #[test]
    fn what_cannot_be_is_refused() {
        let regulator = regulator(NO_DROOP);
        let line = line(&[(1e-8, 0.5)]);
        let feed = Feed {
            regulator: &regulator,
            line: &line,
            atmosphere: AbsolutePressure::new(pascals(1e5)).unwrap(),
            temperature: ThermodynamicTemperature::new::<kelvin>(293.15),
        };
        assert!(feed.raise(&chamber(), &[point(0.0, 1.0)]).is_err());
        assert!(feed.raise(&chamber(), &[point(0.2, 1.0), point(0.1, 1.0)]).is_err());
        assert!(feed.raise(&chamber(), &[point(0.0, f64::NAN), point(0.1, 1.0)]).is_err());
        let none = Chamber { area: Area::default(), ..chamber() };
        assert!(feed.raise(&none, &[point(0.0, 1.0), point(0.1, 1.0)]).is_err());
    }
}
