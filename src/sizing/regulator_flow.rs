//! How the outlet of a regulator falls as air flows through it.

use uom::si::f64::{MassRate, Pressure, ThermodynamicTemperature};

use crate::air::flow::Restriction;
use crate::air::flow::law::Law;
use crate::units::{AbsolutePressure, GaugePressure, pressure::pascals};
use crate::{Result, guard};

/// What is known of the fall of the outlet below the set point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Droop {
    /// One figure, taken at any flow that moves a load: the cautious reading of a droop without its flow.
    Constant(Pressure),
    /// In proportion to the flow: `droop * q/q_rated`.
    Linear {
        /// Droop at the rated flow.
        droop: Pressure,
        /// Flow at which the droop is stated; see [`air::reference::mass_rate`](crate::air::reference::mass_rate).
        rated: MassRate,
    },
}

/// The fully open seat of a regulator and the air before it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Seat {
    /// The seat, wide open.
    pub restriction: Restriction,
    /// Pressure before the regulator, the tank's.
    pub inlet: AbsolutePressure,
}

/// A regulator with its flow characteristic.
///
/// The outlet follows `p_set - droop(q)` until the seat stands wide open, and then what the seat lets
/// through; choked, it passes no more at any outlet pressure. Real characteristics start with a step and
/// bend down at high flow; the straight line joins the two figures that data sheets give.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RegulatorFlow {
    /// Set point, no flow.
    pub set: GaugePressure,
    /// Fall below it.
    pub droop: Droop,
    /// The seat, if it is known.
    pub seat: Option<Seat>,
}

impl RegulatorFlow {
    /// Outlet pressure at a flow; none if that is more than the regulator can pass.
    ///
    /// # Errors
    /// [`Error::OutOfRange`](crate::Error::OutOfRange) for a droop below zero, a rated flow not above
    /// zero, a flow below zero, a set point below vacuum, or a temperature not above zero.
    ///
    /// # Example
    /// 6 bar, 0.5 bar droop at 10 g/s: at 4 g/s it gives 6 - 0.2 bar.
    /// ```
    /// # use lungful::sizing::regulator_flow::{Droop, RegulatorFlow};
    /// # use lungful::units::{AbsolutePressure, GaugePressure, pressure::pascals};
    /// # use uom::si::{f64::{MassRate, ThermodynamicTemperature}, mass_rate::gram_per_second};
    /// # use uom::si::thermodynamic_temperature::kelvin;
    /// let grams = MassRate::new::<gram_per_second>;
    /// let regulator = RegulatorFlow {
    ///     set: GaugePressure::new(pascals(6e5)),
    ///     droop: Droop::Linear { droop: pascals(0.5e5), rated: grams(10.0) },
    ///     seat: None,
    /// };
    /// let site = AbsolutePressure::new(pascals(1e5))?;
    /// let outlet = regulator.outlet(grams(4.0), site, ThermodynamicTemperature::new::<kelvin>(293.15))?;
    /// assert!((outlet.unwrap().pascals() - 6.8e5).abs() < 1e-6); // 5.8 bar gauge
    /// # Ok::<(), lungful::Error>(())
    /// ```
    pub fn outlet(
        &self,
        flow: MassRate,
        atmosphere: AbsolutePressure,
        temperature: ThermodynamicTemperature,
    ) -> Result<Option<AbsolutePressure>> {
        let value = flow.value;
        guard::require(
            value.is_finite() && value >= 0.0,
            "flow",
            value,
            "kg/s",
            "finite and not below zero",
        )?;
        let outlet = self.source(atmosphere, temperature)?.outlet(flow.value);
        if outlet > 0.0 { AbsolutePressure::new(pascals(outlet)).map(Some) } else { Ok(None) }
    }

    /// The characteristic on bare numbers.
    pub(crate) fn source(
        &self,
        atmosphere: AbsolutePressure,
        temperature: ThermodynamicTemperature,
    ) -> Result<Source> {
        guard::positive("temperature of the air", temperature.value, "K")?;
        let set = self.set.to_absolute(atmosphere)?.pascals();
        let (at_rest, fall) = match self.droop {
            Droop::Constant(droop) => {
                require_droop(droop)?;
                (set - droop.value, 0.0)
            }
            Droop::Linear { droop, rated } => {
                require_droop(droop)?;
                guard::positive("rated flow of the regulator", rated.value, "kg/s")?;
                (set, droop.value / rated.value)
            }
        };
        let seat = self.seat.map(|seat| (seat.restriction.law(), seat.inlet.pascals(), temperature.value));
        Ok(Source { at_rest, fall, seat })
    }
}

/// Pressure of a source in Pa against the flow it gives in kg/s.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Source {
    at_rest: f64,
    fall: f64,
    seat: Option<(Law, f64, f64)>,
}

impl Source {
    /// Outlet pressure, 0 when more is asked than the source can give.
    pub(crate) fn outlet(&self, flow: f64) -> f64 {
        let governed = (self.at_rest - self.fall * flow).max(0.0);
        match self.seat {
            None => governed,
            Some((law, inlet, temperature)) => {
                law.outlet(flow, inlet, temperature).map_or(0.0, |open| open.min(governed))
            }
        }
    }
}

fn require_droop(droop: Pressure) -> Result<()> {
    let value = droop.value;
    guard::require(value.is_finite() && value >= 0.0, "droop", value, "Pa", "finite and not below zero")
}

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;
    use uom::si::f64::Ratio;
    use uom::si::mass_rate::kilogram_per_second;
    use uom::si::thermodynamic_temperature::kelvin;

    use super::*;
    use crate::air::flow::Conductance;

    fn absolute(value: f64) -> AbsolutePressure {
        AbsolutePressure::new(pascals(value)).unwrap()
    }

    fn outlet(regulator: &RegulatorFlow, flow: f64) -> Option<f64> {
        let room = ThermodynamicTemperature::new::<kelvin>(293.15);
        let flow = MassRate::new::<kilogram_per_second>(flow);
        regulator.outlet(flow, absolute(1e5), room).unwrap().map(AbsolutePressure::pascals)
    }

    #[test]
    fn the_open_seat_takes_over_and_chokes() {
        let restriction = Restriction::new(Conductance::from_si(1e-8).unwrap(), Ratio::from(0.5)).unwrap();
        let regulator = RegulatorFlow {
            set: GaugePressure::new(pascals(5e5)),
            droop: Droop::Linear { droop: pascals(1e5), rated: MassRate::new::<kilogram_per_second>(0.02) },
            seat: Some(Seat { restriction, inlet: absolute(8e5) }),
        };
        // analytic: choked 1e-8 * 1.185 * 8e5 = 9.48 g/s; half of it is governed: 6e5 - 1e5 * 4.74/20
        assert_relative_eq!(outlet(&regulator, 4.74e-3).unwrap(), 5.763e5, max_relative = 1e-12);
        // f = 0.95: u = sqrt(1 - 0.9025), outlet 8e5 (0.5 + 0.5 u) = 5.248999e5, below 6e5 - 0.4503e5
        let open = 8e5 * (0.5 + 0.5 * (1.0_f64 - 0.9025).sqrt());
        assert_relative_eq!(outlet(&regulator, 0.95 * 9.48e-3).unwrap(), open, max_relative = 1e-12);
        assert_eq!(outlet(&regulator, 9.5e-3), None);
    }

    #[test]
    fn a_constant_droop_is_taken_at_any_flow() {
        let regulator = RegulatorFlow {
            set: GaugePressure::new(pascals(5e5)),
            droop: Droop::Constant(pascals(0.3e5)),
            seat: None,
        };
        assert_relative_eq!(outlet(&regulator, 0.0).unwrap(), 5.7e5);
        assert_relative_eq!(outlet(&regulator, 1.0).unwrap(), 5.7e5);
    }

    #[test]
    fn what_cannot_be_is_refused() {
        let room = ThermodynamicTemperature::new::<kelvin>(293.15);
        for droop in [
            Droop::Constant(pascals(-1.0)),
            Droop::Constant(pascals(f64::NAN)),
            Droop::Linear { droop: pascals(1.0), rated: MassRate::default() },
        ] {
            let regulator = RegulatorFlow { set: GaugePressure::new(pascals(5e5)), droop, seat: None };
            assert!(regulator.outlet(MassRate::default(), absolute(1e5), room).is_err(), "{droop:?}");
        }
    }
}
