//! A piston on its way: where it stands, what pressure it holds, and the air behind it.

use uom::si::f64::{Area, Length, MassRate, ThermodynamicTemperature, Velocity, Volume};
use uom::si::length::meter;
use uom::si::velocity::meter_per_second;

use super::flow_curve::FlowCurve;
use crate::air::gas::GAS_CONSTANT_J_PER_KG_K;
use crate::quadrature::integral;
use crate::root;
use crate::units::{AbsolutePressure, GaugePressure};
use crate::{Error, Result, guard};

/// The driven side of all cylinders together.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Chamber {
    /// Area of all pistons together.
    pub area: Area,
    /// Volume at zero travel, hoses after the valve included.
    pub dead_volume: Volume,
}

impl Chamber {
    /// Speed at which a flow moves the pistons at a constant pressure: `v = q R T/(p A)`.
    ///
    /// Source: mass balance of an ideal gas at one temperature.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for an area or a temperature that cannot be.
    ///
    /// ```
    /// # use lungful::sizing::piston_path::Chamber;
    /// # use lungful::units::{AbsolutePressure, pressure::pascals};
    /// # use uom::si::{area::square_centimeter, f64::{Area, MassRate, ThermodynamicTemperature, Volume}};
    /// # use uom::si::{mass_rate::gram_per_second, thermodynamic_temperature::kelvin, velocity::meter_per_second};
    /// let chamber = Chamber { area: Area::new::<square_centimeter>(40.0), dead_volume: Volume::default() };
    /// let flow = MassRate::new::<gram_per_second>(1.0);
    /// let room = ThermodynamicTemperature::new::<kelvin>(293.15);
    /// let speed = chamber.steady_speed(flow, AbsolutePressure::new(pascals(3e5))?, room)?;
    /// // 0.001 * 287.05 * 293.15 / (3e5 * 4e-3) = 0.07012 m/s
    /// assert!((speed.get::<meter_per_second>() - 0.07012).abs() < 1e-5);
    /// # Ok::<(), lungful::Error>(())
    /// ```
    pub fn steady_speed(
        &self,
        flow: MassRate,
        pressure: AbsolutePressure,
        temperature: ThermodynamicTemperature,
    ) -> Result<Velocity> {
        let air = Air::new(self, temperature.value)?;
        Ok(Velocity::new::<meter_per_second>(air.steady_speed(flow.value, pressure.pascals())))
    }
}

/// The pressure that balances the load at one point of the travel.
///
/// Between points it is taken as linear. Two points with the same travel are a step, as when the load is
/// borne from the take-up on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TravelPoint {
    /// Travel of the pistons.
    pub travel: Length,
    /// Pressure that balances the load there, friction counted against the motion.
    pub pressure: GaugePressure,
}

/// A speed of the pistons and where they have it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SpeedAt {
    /// Travel.
    pub travel: Length,
    /// Speed, of the pistons: times `dh/dx` of the linkage for that of the load.
    pub speed: Velocity,
}

/// A point in SI base units, the pressure absolute.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Stand {
    pub(crate) travel: f64,
    pub(crate) pressure: f64,
}

/// A chamber on bare numbers, its air at one temperature.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Air {
    area: f64,
    dead_volume: f64,
    specific_rt: f64,
}

/// Time and speeds along a path.
#[derive(Debug, Clone)]
pub(crate) struct Run {
    pub(crate) time: f64,
    /// Slowest place; its speed is infinite where nothing moved.
    pub(crate) slowest: (Stand, f64),
    /// Fastest place; its speed is 0 where nothing moved.
    pub(crate) fastest: (Stand, f64),
    /// Speeds at both ends of each leg that needs a flow there.
    pub(crate) speeds: Vec<SpeedAt>,
    /// Speed at the end of the last leg that moved; none where the air needed no flow there.
    pub(crate) arrival: Option<(Stand, f64)>,
    /// First travel at which the trapped air moves the piston without any flow.
    pub(crate) outruns: Option<f64>,
}

impl Air {
    pub(crate) fn new(chamber: &Chamber, temperature_k: f64) -> Result<Self> {
        guard::positive("piston area", chamber.area.value, "m2")?;
        guard::positive("temperature of the air", temperature_k, "K")?;
        let dead_volume = chamber.dead_volume.value;
        guard::require(
            dead_volume.is_finite() && dead_volume >= 0.0,
            "dead volume",
            dead_volume,
            "m3",
            "finite and not below zero",
        )?;
        let specific_rt = GAS_CONSTANT_J_PER_KG_K * temperature_k;
        Ok(Self { area: chamber.area.value, dead_volume, specific_rt })
    }

    /// The stands that are left, from the top down, when the air shut in at `held` is pressed together until it bears
    /// what presses on it: `p V` stays, and above that travel no air has to leave.
    pub(crate) fn pressed_together(&self, stands: &[Stand], held: f64) -> Vec<Stand> {
        let content = |stand: &Stand| stand.pressure * (self.area * stand.travel + self.dead_volume);
        let Some(first) = stands.first() else { return Vec::new() };
        let shut_in = content(&Stand { pressure: held, ..*first });
        let Some(below) = stands.iter().position(|stand| content(stand) <= shut_in) else {
            return stands.last().copied().into_iter().collect();
        };
        let (Some(from), Some(to)) = (stands.get(below.saturating_sub(1)), stands.get(below)) else {
            return stands.to_vec();
        };
        let between = |share: f64| Stand {
            travel: (to.travel - from.travel) * share + from.travel,
            pressure: (to.pressure - from.pressure) * share + from.pressure,
        };
        let share = root::in_unit_interval(|share| shut_in - content(&between(share)), 1e-12);
        std::iter::once(between(share)).chain(stands.iter().skip(below).copied()).collect()
    }

    /// Speed at which a flow moves the piston at a constant pressure: `v = q R T/(p A)`.
    pub(crate) fn steady_speed(&self, flow: f64, pressure: f64) -> f64 {
        flow * self.specific_rt / (pressure * self.area)
    }

    /// The same turned round: flow of a speed.
    pub(crate) fn steady_flow(&self, speed: f64, pressure: f64) -> f64 {
        speed * pressure * self.area / self.specific_rt
    }

    /// Runs along `stands`; `flow` is the mass flow at a chamber pressure, inwards (`gain = 1`) or outwards
    /// (`gain = -1`).
    ///
    /// Mass `m = p V/(R T)` fixes the time: `t = integral of gain dm/q(p)`, over travel and over pressure
    /// steps alike. Where `gain dm` is negative the air needs no flow, and no time is counted.
    pub(crate) fn run(&self, stands: &[Stand], flow: &FlowCurve<impl Fn(f64) -> f64>, gain: f64) -> Run {
        let nowhere = Stand { travel: 0.0, pressure: 0.0 };
        let mut run = Run {
            time: 0.0,
            slowest: (nowhere, f64::INFINITY),
            fastest: (nowhere, 0.0),
            speeds: Vec::with_capacity(2 * stands.len()),
            arrival: None,
            outruns: None,
        };
        for pair in stands.windows(2) {
            if let [from, to] = pair {
                self.leg(*from, *to, flow, gain, &mut run);
            }
        }
        run
    }

    fn leg(&self, from: Stand, to: Stand, flow: &FlowCurve<impl Fn(f64) -> f64>, gain: f64, run: &mut Run) {
        let (far, rise) = (to.travel - from.travel, to.pressure - from.pressure);
        if far == 0.0 && rise == 0.0 {
            return;
        }
        let stand =
            |share: f64| Stand { travel: far * share + from.travel, pressure: rise * share + from.pressure };
        // gain dm/d(share), linear in share.
        let need = |share: f64| {
            let at = stand(share);
            let volume = self.area * at.travel + self.dead_volume;
            gain * (at.pressure * self.area * far + volume * rise) / self.specific_rt
        };
        let (first, last) = (need(0.0), need(1.0));
        // The part of the leg on which air is needed.
        let turn = first / (first - last);
        let (start, end) = match (first > 0.0, last > 0.0) {
            (true, true) => (0.0, 1.0),
            (true, false) => (0.0, turn),
            (false, true) => (turn, 1.0),
            (false, false) => (0.0, 0.0),
        };
        if (first < 0.0 || last < 0.0) && run.outruns.is_none() {
            run.outruns = Some(stand(if first < 0.0 { 0.0 } else { turn }).travel);
        }
        if end > start {
            run.time += if rise == 0.0 {
                first / flow.at(from.pressure)
            } else {
                let rate = |share: f64| need(share).max(0.0) / flow.at(stand(share).pressure);
                // Where choking begins or ends the rate has a joint.
                let joint =
                    flow.joint().map_or(end, |joint| ((joint - from.pressure) / rise).clamp(start, end));
                integral_or_none(&rate, start, joint) + integral_or_none(&rate, joint, end)
            };
        }
        if far != 0.0 {
            run.arrival = None;
            for (share, needed) in [(0.0, first), (1.0, last)] {
                if needed > 0.0 {
                    let at = stand(share);
                    let speed = flow.at(at.pressure) * far.abs() / needed;
                    run.speeds.extend(speed_at((at, speed)));
                    if share > 0.0 {
                        run.arrival = Some((at, speed));
                    }
                    if speed < run.slowest.1 {
                        run.slowest = (at, speed);
                    }
                    if speed > run.fastest.1 {
                        run.fastest = (at, speed);
                    }
                }
            }
        }
    }
}

/// Integral over a part of a leg, which may be nothing.
fn integral_or_none(rate: &impl Fn(f64) -> f64, start: f64, end: f64) -> f64 {
    if end > start { integral(rate, start, end, 1e-9) } else { 0.0 }
}

/// Share of a travel by which rounding may move it.
const ROUNDING: f64 = 1e-12;

/// Points as stands: at least two, travel from 0 or above and never falling, pressures not below the
/// atmosphere (a load that pulls upwards needs none). Of two points that rounding alone has put out of order, the
/// later stands where the earlier does.
pub(crate) fn stands(path: &[TravelPoint], atmosphere: AbsolutePressure) -> Result<Vec<Stand>> {
    if path.len() < 2 {
        return Err(Error::OutOfRange {
            quantity: "number of points of the travel",
            value: path.len().to_string(),
            requirement: "at least 2",
        });
    }
    let mut last = 0.0;
    let mut stands = Vec::with_capacity(path.len());
    for point in path {
        let (travel, gauge) = (point.travel.value, point.pressure.pascals());
        let travel = if last - travel <= ROUNDING * last { travel.max(last) } else { travel };
        guard::require(
            travel.is_finite() && travel >= last,
            "travel of a point",
            travel,
            "m",
            "finite, not below zero and not below that of the point before",
        )?;
        guard::require(gauge.is_finite(), "pressure of a point", gauge, "Pa", "finite")?;
        last = travel;
        stands.push(Stand { travel, pressure: atmosphere.pascals() + gauge.max(0.0) });
    }
    Ok(stands)
}

pub(crate) fn speed_at((stand, speed): (Stand, f64)) -> Option<SpeedAt> {
    (speed.is_finite() && speed > 0.0).then(|| SpeedAt {
        travel: Length::new::<meter>(stand.travel),
        speed: Velocity::new::<meter_per_second>(speed),
    })
}
