//! How long raising and lowering take, and how fast the load comes down.

use uom::si::f64::{Energy, Length, Ratio, Time, Velocity};

use super::lift::{Lift, at_least_open};
use crate::Result;
use crate::air::flow::conversion::{ROUNDED_DISCHARGE_COEFFICIENT, orifice};
use crate::air::flow::hose::hose;
use crate::air::flow::series::Line;
use crate::air::flow::{Conductance, Restriction};
use crate::rig::Rig;
use crate::sizing::cylinder_force::Action;
use crate::sizing::linkage::Travel;
use crate::sizing::lowering::{Exhaust, Lowering, WantedLowering, end_energy, fall_speed, sinking_pressure};
use crate::sizing::piston_path::{Chamber, SpeedAt, TravelPoint};
use crate::sizing::raise::{Feed, Limit, Raise};
use crate::sizing::regulator_flow::{Droop, RegulatorFlow};
use crate::sizing::travel::Load;
use crate::units::GaugePressure;

/// Points on each smooth stretch of the travel.
pub(super) const STEPS: u32 = 24;

/// How long raising and lowering take.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Times {
    /// The raise of the load; `None` without data of the raise valve.
    pub raise: Option<RaiseAnswer>,
    /// The raise of the moving parts alone.
    pub raise_empty: Option<RaiseAnswer>,
    /// The way down; `None` without data of the lower valve, or with an air return.
    pub lower: Option<LowerAnswer>,
    /// Highest speed of the load if a hose comes off at the cylinders; `None` without a hose, or with an air
    /// return.
    pub torn_hose: Option<Velocity>,
}

/// The outcome of a raise.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum RaiseAnswer {
    /// The load arrives.
    Arrives {
        /// From opening the valve to the first motion.
        delay: Time,
        /// From opening the valve to the end.
        total: Time,
        /// What holds it back where it is slowest.
        held_back_by: &'static str,
        /// Speed of the load on arrival, at most.
        fastest: Velocity,
        /// Energy that the stop must take at that speed.
        end_energy: Energy,
        /// Travel from which the trapped air alone drives the load, if there is one.
        leaps: Option<Length>,
    },
    /// It stops at this travel.
    Stalls(Length),
}

/// The outcome of a lowering.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum LowerAnswer {
    /// The load comes down.
    Arrives {
        /// From opening the valve to the end.
        total: Time,
        /// Highest speed of the load on the way.
        fastest: Velocity,
        /// Energy that the lower stop must take at that speed.
        end_energy: Energy,
        /// Conductance of a lower valve that keeps to the speed wanted, if one is wanted and one does.
        wanted: Option<Conductance>,
        /// Travel from which the load drops on trapped air, if there is one.
        drops: Option<Length>,
    },
    /// Friction holds it at this travel.
    Sticks(Length),
}

/// How long raising and lowering take.
pub(super) fn times(rig: &Rig, travel: &Travel<'_>, lift: &Lift) -> Result<Times> {
    let empty_load = Load { mass: rig.load.mass * 0.0, ..rig.load };
    let raise_empty = match rig.line.raise {
        Some(_) if rig.load.moving.value > 0.0 => {
            raise(rig, &rig.travel_of(&empty_load)?, lift.stroke_used, empty_load)?
        }
        _ => None,
    };
    Ok(Times {
        raise: raise(rig, travel, lift.stroke_used, rig.load)?,
        raise_empty,
        lower: lower(rig, travel, lift)?,
        torn_hose: torn_hose(rig, travel, lift)?,
    })
}

pub(super) fn chamber(rig: &Rig) -> Chamber {
    Chamber { area: rig.cylinders.cap_area(), dead_volume: rig.dead_volume() }
}

/// The hose as a restriction, if it is one of the sizes that the formula covers.
pub(super) fn hose_restriction(rig: &Rig) -> Option<Restriction> {
    rig.line.hose.and_then(|data| hose(data.bore, data.length).ok())
}

/// What the air meets on its way up behind the regulator: valve and hose.
pub(super) fn way_up(rig: &Rig, valve: Restriction) -> Vec<Restriction> {
    std::iter::once(valve).chain(hose_restriction(rig)).collect()
}

/// What the air meets on its way down before the lower valve: throttles in the ports, and hose.
pub(super) fn way_down(rig: &Rig) -> Result<Vec<Restriction>> {
    Ok(port_throttle(rig)?.into_iter().chain(hose_restriction(rig)).collect())
}

/// Weight on the lifting points and moving parts in motion, as a mass.
pub(super) fn moving_mass(load: Load) -> uom::si::f64::Mass {
    load.share * load.mass + load.moving
}

/// Speed of the load where the pistons move at a speed.
fn of_load(travel: &Travel<'_>, at: Option<SpeedAt>) -> Velocity {
    at.map_or(Velocity::default(), |at| at.speed * travel.linkage().ratio(at.travel).abs())
}

fn raise(rig: &Rig, travel: &Travel<'_>, end: Length, load: Load) -> Result<Option<RaiseAnswer>> {
    let Some(valve) = rig.line.raise else { return Ok(None) };
    let line = Line::new(way_up(rig, valve))?;
    let droop = match rig.regulator.rated_flow {
        Some(rated) => Droop::Linear { droop: rig.regulator.droop, rated },
        None => Droop::Constant(rig.regulator.droop),
    };
    let regulator = RegulatorFlow { set: rig.regulator.set, droop, seat: None };
    let feed = Feed {
        regulator: &regulator,
        line: &line,
        atmosphere: rig.site.atmosphere,
        temperature: rig.site.temperature,
    };
    let path: Vec<TravelPoint> = travel
        .needed_along(end, STEPS)
        .into_iter()
        .map(|point| TravelPoint { travel: point.travel, pressure: at_least_open(point.need) })
        .collect();
    Ok(Some(match feed.raise(&chamber(rig), &path)? {
        Raise::Stalls { travel } => RaiseAnswer::Stalls(travel),
        Raise::Completes(times) => {
            let fastest = of_load(travel, times.fastest);
            RaiseAnswer::Arrives {
                delay: times.delay,
                total: times.total(),
                held_back_by: match times.limit {
                    Limit::Regulator => "the regulator",
                    Limit::Element(0) => "the raise valve",
                    Limit::Element(_) => "the hose",
                },
                fastest,
                end_energy: end_energy(moving_mass(load), fastest),
                leaps: times.leaps,
            }
        }
    }))
}

/// The pressure that the sinking load keeps up along the travel: friction of linkage and seals against it.
pub(super) fn sinking_path(rig: &Rig, travel: &Travel<'_>, end: Length) -> Vec<TravelPoint> {
    let efficiency = rig.linkage.efficiency;
    let cap_area = rig.cylinders.cap_area();
    travel
        .forces_along(end, STEPS)
        .into_iter()
        .map(|(at, force)| {
            let spring = rig.cylinders.spring_force(at);
            let raised = (force - spring) * efficiency;
            let sinking = GaugePressure::new((raised * efficiency + spring) / cap_area);
            TravelPoint { travel: at, pressure: sinking_pressure(sinking, rig.cylinders.friction) }
        })
        .collect()
}

fn lower(rig: &Rig, travel: &Travel<'_>, lift: &Lift) -> Result<Option<LowerAnswer>> {
    let Some(valve) = rig.line.lower else { return Ok(None) };
    if rig.cylinders.action == Action::Double {
        return Ok(None);
    }
    let before = way_down(rig)?;
    let line = Line::new([before.as_slice(), &[valve]].concat())?;
    let exhaust = Exhaust { line: &line, atmosphere: rig.site.atmosphere, temperature: rig.site.temperature };
    let path = sinking_path(rig, travel, lift.stroke_used);
    Ok(Some(match exhaust.lower(&chamber(rig), &path, lift.held_pressure(rig))? {
        Lowering::Sticks { travel } => LowerAnswer::Sticks(travel),
        Lowering::Completes(times) => {
            let fastest = of_load(travel, times.fastest);
            LowerAnswer::Arrives {
                total: times.delay + times.moving,
                fastest,
                end_energy: end_energy(moving_mass(rig.load), fastest),
                wanted: wanted_valve(rig, travel, &path, times.fastest, &before)?,
                drops: times.drops,
            }
        }
    }))
}

/// The lower valve that would keep to the speed wanted where the load is fastest now.
fn wanted_valve(
    rig: &Rig,
    travel: &Travel<'_>,
    path: &[TravelPoint],
    fastest: Option<SpeedAt>,
    before: &[Restriction],
) -> Result<Option<Conductance>> {
    let (Some(limit), Some(fastest), Some(valve)) = (rig.limits.lower_speed, fastest, rig.line.lower) else {
        return Ok(None);
    };
    let ratio = travel.linkage().ratio(fastest.travel).abs();
    let point = path.iter().find(|point| point.travel >= fastest.travel);
    let (Some(point), true) = (point, ratio > Ratio::default()) else { return Ok(None) };
    let wanted = WantedLowering {
        speed: limit / ratio,
        pressure: point.pressure,
        before,
        after: &[],
        atmosphere: rig.site.atmosphere,
        temperature: rig.site.temperature,
    };
    wanted.conductance(&chamber(rig), valve.critical_ratio())
}

/// Highest speed of the load if the hose comes off at the cylinders and their ports stand open: that of the
/// air through a hole of the hose's bore, but no more than a free fall.
fn torn_hose(rig: &Rig, travel: &Travel<'_>, lift: &Lift) -> Result<Option<Velocity>> {
    let Some(hose) = rig.line.hose else { return Ok(None) };
    // The air on the rod side of a double-acting cylinder is not followed.
    if hose.bore <= Length::default() || rig.cylinders.action == Action::Double {
        return Ok(None);
    }
    let mut way_out: Vec<Restriction> = port_throttle(rig)?.into_iter().collect();
    way_out.push(open_end(hose.bore)?);
    falling_through(rig, travel, lift, way_out).map(Some)
}

/// A hole as wide as a hose, where the hose has come off.
pub(super) fn open_end(bore: Length) -> Result<Restriction> {
    orifice(bore, Ratio::from(ROUNDED_DISCHARGE_COEFFICIENT))
}

/// The throttles in the ports of all cylinders as one, on the way out.
pub(super) fn port_throttle(rig: &Rig) -> Result<Option<Restriction>> {
    rig.protection
        .port_throttle
        .map(|one| {
            let all = Conductance::from_si(one.conductance().si() * f64::from(rig.cylinders.count))?;
            Restriction::new(all, one.critical_ratio())
        })
        .transpose()
}

/// Highest speed of the load that presses its air out through `way_out`, but no more than a free fall.
pub(super) fn falling_through(
    rig: &Rig,
    travel: &Travel<'_>,
    lift: &Lift,
    way_out: Vec<Restriction>,
) -> Result<Velocity> {
    let line = Line::new(way_out)?;
    let exhaust = Exhaust { line: &line, atmosphere: rig.site.atmosphere, temperature: rig.site.temperature };
    let mut fastest = Velocity::default();
    for point in sinking_path(rig, travel, lift.stroke_used) {
        if point.pressure.pascals() > 0.0 {
            let speed = exhaust.steady_speed(&chamber(rig), point.pressure)?
                * travel.linkage().ratio(point.travel).abs();
            fastest = fastest.max(speed);
        }
    }
    let free = fall_speed(lift.height.max(Length::default()))?;
    Ok(fastest.min(free))
}

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;

    use super::*;
    use crate::answers::evaluate;
    use crate::answers::sample::hive_cart;

    /// A valve with a conductance in L/(s bar), choked far down.
    fn valve(liters_per_second_bar: f64, b: f64) -> Restriction {
        let conductance = Conductance::from_si(liters_per_second_bar * 1e-8).unwrap();
        Restriction::new(conductance, Ratio::from(b)).unwrap()
    }

    fn with_valves() -> Rig {
        let mut rig = hive_cart();
        rig.line.hose = None;
        rig.line.raise = Some(valve(0.2, 0.5));
        rig.line.lower = Some(valve(0.05, 0.4));
        rig.load.take_up = Length::default();
        rig
    }

    /// analytic: choked flow `C rho_0 p sqrt(T_0/T)` out of a volume `A dx` at the pressure p gives
    /// `v = C rho_0 sqrt(T_0/T) R T / A`, whatever the pressure.
    #[test]
    fn a_choked_lower_valve_gives_a_speed_of_its_own() {
        let rig = with_valves();
        let Some(LowerAnswer::Arrives { fastest, .. }) = evaluate(&rig).unwrap().times.lower else {
            panic!("the load comes down")
        };
        let temperature = rig.site.temperature.value;
        let by_hand = 0.05e-8 * 1.185 * (293.15 / temperature).sqrt() * 287.049 * temperature
            / rig.cylinders.cap_area().value;
        assert_relative_eq!(fastest.value, by_hand, max_relative = 1e-6);
    }

    /// analytic: at one needed pressure the travel takes `m / q`, `m = p A s / (R T)`, with q from the set
    /// point less droop through the valve, here above its critical ratio.
    #[test]
    fn a_raise_at_one_pressure_takes_mass_over_flow() {
        let rig = with_valves();
        let answers = evaluate(&rig).unwrap();
        let Some(RaiseAnswer::Arrives { delay, total, .. }) = answers.times.raise else {
            panic!("the load arrives")
        };
        let temperature = rig.site.temperature.value;
        let site = rig.site.atmosphere.pascals();
        let up = rig.regulator.moving_pressure().pascals() + site;
        let inside = answers.lift.worst.needed_pressure.pascals() + site;
        let share = (inside / up - 0.5) / 0.5;
        assert!(share > 0.0, "above the critical ratio");
        let flow = 0.2e-8 * 1.185 * up * (293.15 / temperature).sqrt() * (1.0 - share * share).sqrt();
        let mass =
            inside * rig.cylinders.cap_area().value * rig.cylinders.stroke.value / (287.049 * temperature);
        assert_relative_eq!((total - delay).value, mass / flow, max_relative = 1e-6);
    }

    #[test]
    fn a_narrower_valve_keeps_to_the_speed_wanted() {
        let mut rig = with_valves();
        rig.limits.lower_speed = Some(Velocity::new::<uom::si::velocity::millimeter_per_second>(20.0));
        let Some(LowerAnswer::Arrives { wanted: Some(wanted), .. }) = evaluate(&rig).unwrap().times.lower
        else {
            panic!("a valve is found")
        };
        rig.line.lower = Some(Restriction::new(wanted, Ratio::from(0.4)).unwrap());
        let Some(LowerAnswer::Arrives { fastest, .. }) = evaluate(&rig).unwrap().times.lower else {
            panic!("the load comes down")
        };
        assert_relative_eq!(fastest.value, 0.020, max_relative = 1e-6);
    }

    #[test]
    fn without_valve_data_nothing_is_said() {
        let mut rig = with_valves();
        rig.line.raise = None;
        rig.line.lower = None;
        let times = evaluate(&rig).unwrap().times;
        assert_eq!((times.raise, times.lower, times.torn_hose), (None, None, None));
    }
}
