//! How long raising and lowering take, and how fast the load comes down.

mod in_time;

use std::borrow::Cow;

use uom::si::f64::{Energy, Force, Length, Mass, MassRate, Pressure, Ratio, Time, Velocity};

use super::Answers;
use super::lift::{Lift, at_least_open};
use crate::Result;
use crate::air::flow::conversion::{
    ROUNDED_DISCHARGE_COEFFICIENT, SHARP_DISCHARGE_COEFFICIENT, orifice, orifice_bore,
};
use crate::air::flow::hose::hose;
use crate::air::flow::series::{Line, SteadyFlow};
use crate::air::flow::{Conductance, Restriction};
use crate::rehearsal::{RodSide, SingleLift, ThenLower};
use crate::rig::Rig;
use crate::sizing::cylinder_force::Action;
use crate::sizing::linkage::Travel;
use crate::sizing::lowering::{Exhaust, Lowering, WantedLowering, end_energy, fall_speed};
use crate::sizing::piston_path::{Chamber, SpeedAt, TravelPoint};
use crate::sizing::raise::{Feed, Limit, Raise};
use crate::sizing::regulator_flow::{Droop, RegulatorFlow};
use crate::sizing::tank_capacity::{EndPressure, Way};
use crate::sizing::travel::{Load, standard_gravity};
use crate::units::{AbsolutePressure, GaugePressure};
use in_time::{Followed, followed, lift_in_time, rod_side_is_unknown};
pub(super) use in_time::{half_way_up, in_a_row, rod_passages};

/// Points on each smooth stretch of the travel.
pub(super) const STEPS: u32 = 24;

/// Steps along which the energy of a leap is added up.
const LEAP_STEPS: u32 = 200;

/// Shares of the capacity at which it is said how long a raise takes.
const SHARES_OF_CAPACITY: [f64; 5] = [0.5, 0.8, 0.9, 0.95, 1.0];

/// How long raising and lowering take.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Times {
    /// The raise of the load; `None` without data of the raise valve.
    pub raise: Option<RaiseAnswer>,
    /// The raise of the moving parts alone.
    pub raise_empty: Option<RaiseAnswer>,
    /// The raise of the load at the heavy end of its tolerance; `None` where none is stated.
    pub raise_heaviest: Option<RaiseAnswer>,
    /// The way down; `None` without data of the lower valve.
    pub lower: Option<LowerAnswer>,
    /// The way down of the moving parts alone.
    pub lower_empty: Option<LowerAnswer>,
    /// The way down of the load at the heavy end of its tolerance; `None` where none is stated.
    pub lower_heaviest: Option<LowerAnswer>,
    /// Highest speed of the heaviest load with the lower valve opened as far as it goes; `None` where
    /// that is not described.
    pub lower_wide: Option<Velocity>,
    /// Highest speed of the load if a hose comes off at the cylinders; `None` without a hose.
    pub torn_hose: Option<Velocity>,
    /// Lifts of one fill before the first slow one; `None` without data of the raise valve, or where nothing
    /// says what is slow.
    pub quick_lifts: Option<QuickLifts>,
}

impl Times {
    /// The raise of the heaviest load that the rig is to take.
    #[must_use]
    pub fn worst_raise(&self) -> Option<RaiseAnswer> {
        self.raise_heaviest.or(self.raise)
    }

    /// The way down of the heaviest load that the rig is to take.
    #[must_use]
    pub fn worst_lower(&self) -> Option<LowerAnswer> {
        self.lower_heaviest.or(self.lower)
    }

    /// The way down of the empty platform, where that is the faster of the two.
    #[must_use]
    pub fn faster_empty(&self) -> Option<LowerAnswer> {
        let speed = |lower: Option<LowerAnswer>| match lower {
            Some(LowerAnswer::Arrives { fastest, .. }) => fastest,
            _ => Velocity::default(),
        };
        self.lower_empty.filter(|_| speed(self.lower_empty) > speed(self.worst_lower()) * (1.0 + 1e-9))
    }
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
        held_back_by: HeldBackBy,
        /// Speed of the load on arrival, at most.
        fastest: Velocity,
        /// Energy that the stop must take at that speed.
        end_energy: Energy,
        /// Travel from which the trapped air alone drives the load, if there is one.
        leaps: Option<Length>,
        /// What the air on the rod side does; `None` where it was not followed.
        rod_side: Option<RodSideHolds>,
        /// Whether something that holds it back besides could not be followed: the time is then one at the least.
        left_out: bool,
    },
    /// It stops at this travel.
    Stalls(Length),
}

/// How the air on the rod side of double-acting cylinders holds a raise back.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RodSideHolds {
    /// What it adds to the time.
    pub adds: Time,
    /// Pressure on the cap side as the raise ends.
    pub arrives_at: GaugePressure,
    /// Highest pressure on the rod side, also where the return air stood there at first.
    pub highest: GaugePressure,
    /// Time of a raise that begins while the return air still stands on the rod side; `None` where it does not arrive.
    pub after_return: Option<Time>,
}

/// Lifts from a full tank, the pump off, before the first slow one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct QuickLifts {
    /// How many arrive in time.
    pub count: u32,
    /// Longest time of a raise that is not slow.
    pub limit: Time,
    /// The first slow one; `None` where every lift until the stall arrives in time.
    pub slow: Option<SlowLift>,
}

/// A lift that takes too long.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SlowLift {
    /// Pressure that the regulator is fed with, taken as that of the tank after the lift; at most the set point.
    pub supply: GaugePressure,
    /// Time of the raise; `None` where it stalls.
    pub time: Option<Time>,
}

impl RaiseAnswer {
    /// The same as a time at the least.
    fn at_the_least(mut self) -> Self {
        if let Self::Arrives { left_out, .. } = &mut self {
            *left_out = true;
        }
        self
    }
}

/// What holds a raise back.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HeldBackBy {
    /// The droop of the regulator.
    Regulator,
    /// The raise valve.
    RaiseValve,
    /// The fitting of this place on the way up.
    Fitting(usize),
    /// The hose.
    Hose,
    /// The air that leaves the rod side: without it the raise would take less than half the time.
    RodSide,
}

impl HeldBackBy {
    fn of(rig: &Rig, limit: Limit) -> Self {
        match limit {
            Limit::Regulator => Self::Regulator,
            Limit::Element(0) => Self::RaiseValve,
            Limit::Element(place) if place <= rig.line.fittings_on(Way::Up).count() => {
                Self::Fitting(place - 1)
            }
            Limit::Element(_) => Self::Hose,
        }
    }

    /// What it is, in words.
    #[must_use]
    pub fn words(self, rig: &Rig) -> Cow<'static, str> {
        match self {
            Self::Regulator => "the regulator".into(),
            Self::RaiseValve => "the raise valve".into(),
            Self::Fitting(place) => match rig.line.fittings_on(Way::Up).nth(place) {
                Some(fitting) => format!("the {}", fitting.name).into(),
                None => "a fitting".into(),
            },
            Self::Hose => "the hose".into(),
            Self::RodSide => "the air leaving the rod side".into(),
        }
    }
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
        /// The same once the air under it bears it; lower where return air makes it drop at first.
        steady: Velocity,
        /// Speed at which return air makes it drop at first; none where the air under it bears both.
        dropping: Velocity,
        /// Energy that the lower stop must take at that speed.
        end_energy: Energy,
        /// A lower valve that keeps to the speed wanted, if one is wanted and one does.
        wanted: Option<WantedValve>,
        /// Travel from which the load drops on trapped air, if there is one.
        drops: Option<Length>,
    },
    /// Friction holds it at this travel.
    Sticks(Length),
}

/// A lower valve that keeps to a speed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WantedValve {
    /// Its conductance, with the critical ratio of the lower valve.
    pub conductance: Conductance,
    /// The sharp-edged hole of that conductance.
    pub hole: Length,
}

/// How long the raise of a share of the capacity takes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Growth {
    /// Share of the capacity.
    pub share: Ratio,
    /// Mass of the load.
    pub mass: Mass,
    /// Time of its raise; `None` where it stalls.
    pub time: Option<Time>,
}

/// How long raising and lowering take.
pub(super) fn times(
    rig: &Rig,
    travel: &Travel<'_>,
    lift: &Lift,
    tank_after: &[AbsolutePressure],
) -> Result<Times> {
    let (raise, lower) = up_and_down(rig, travel, lift, rig.load)?;
    let quick_lifts = quick_lifts(rig, travel, lift, raise, tank_after)?;
    let mut times = Times { raise, lower, quick_lifts, ..Times::default() };
    if rig.load.moving.value > 0.0 {
        let empty = empty(rig);
        (times.raise_empty, times.lower_empty) = up_and_down(rig, &rig.travel_of(&empty)?, lift, empty)?;
    }
    let heaviest = heaviest(rig);
    if heaviest.mass > rig.load.mass {
        let travel = rig.travel_of(&heaviest)?;
        (times.raise_heaviest, times.lower_heaviest) = up_and_down(rig, &travel, lift, heaviest)?;
        times.lower_wide = lower_wide(rig, &travel, lift)?;
        times.torn_hose = torn_hose(rig, &travel, lift)?;
    } else {
        times.lower_wide = lower_wide(rig, travel, lift)?;
        times.torn_hose = torn_hose(rig, travel, lift)?;
    }
    Ok(times)
}

/// The moving parts alone.
fn empty(rig: &Rig) -> Load {
    Load { mass: Mass::default(), ..rig.load }
}

/// The load at the heavy end of its stated tolerance.
pub(super) fn heaviest(rig: &Rig) -> Load {
    let mass = rig.load.mass + Mass::new::<uom::si::mass::kilogram>(rig.tolerance("load.mass"));
    Load { mass, ..rig.load }
}

/// How the time of a raise grows up to the capacity: near it most of the time goes into the last few percent.
/// Empty without data of the raise valve.
///
/// # Errors
/// As [`evaluate`](super::evaluate).
///
/// ```
/// use lungful::answers::{evaluate, raise_growth};
/// use lungful::rig::{Document, Overrides, Source};
///
/// let rig = Document::read(Some(&Source::demo()), &Overrides::none()).rig()?;
/// let growth = raise_growth(&rig, &evaluate(&rig)?)?;
/// assert!(growth.iter().is_sorted_by(|a, b| a.mass < b.mass));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn raise_growth(rig: &Rig, answers: &Answers) -> Result<Vec<Growth>> {
    let lift = &answers.lift;
    if rig.line.raise.is_none() || lift.capacity <= Mass::default() || !lift.capacity.value.is_finite() {
        return Ok(Vec::new());
    }
    let row = |share: f64| {
        let mass = share * lift.capacity;
        let load = Load { mass, ..rig.load };
        let time = match raise(rig, &rig.travel_of(&load)?, lift.stroke_used, load)? {
            Some(RaiseAnswer::Arrives { total, .. }) => Some(total),
            _ => None,
        };
        Ok(Growth { share: Ratio::from(share), mass, time })
    };
    SHARES_OF_CAPACITY.into_iter().map(row).collect()
}

pub(super) fn chamber(rig: &Rig) -> Chamber {
    Chamber { area: rig.cylinders.cap_area(), dead_volume: rig.dead_volume() }
}

/// The hose as a restriction, if it is one of the sizes that the formula covers.
pub(super) fn hose_restriction(rig: &Rig) -> Option<Restriction> {
    rig.line.hose.and_then(|data| hose(data.bore, data.length).ok())
}

/// What the air meets on its way up behind the regulator: valve, fittings and hose.
pub(super) fn way_up(rig: &Rig, valve: Restriction) -> Vec<Restriction> {
    let fittings = rig.line.fittings_on(Way::Up).map(|fitting| fitting.restriction);
    std::iter::once(valve).chain(fittings).chain(hose_restriction(rig)).collect()
}

/// What the air meets on its way down before the lower valve: throttles in the ports, hose and fittings.
pub(super) fn way_down(rig: &Rig) -> Result<Vec<Restriction>> {
    let fittings = rig.line.fittings_on(Way::Down).map(|fitting| fitting.restriction);
    Ok(port_throttle(rig)?.into_iter().chain(hose_restriction(rig)).chain(fittings).collect())
}

/// Weight on the lifting points and moving parts in motion, as a mass.
pub(super) fn moving_mass(load: Load) -> Mass {
    load.share * load.mass + load.moving
}

/// Share of the work of a lift above which the energy of motion is told: the times leave it out.
const NAMED_MOTION: f64 = 0.1;

/// Energy of a load in motion as a share of the work that lifts it, where it is too much to be left out.
pub(super) fn share_in_motion(load: Load, height: Length, speed: Velocity) -> Option<Ratio> {
    let mass = moving_mass(load);
    let work: Energy = mass * standard_gravity() * height;
    let share = end_energy(mass, speed) / work;
    (work > Energy::default() && share > Ratio::from(NAMED_MOTION)).then_some(share)
}

/// Speed of the load where the pistons move at a speed.
fn of_load(travel: &Travel<'_>, at: &SpeedAt) -> Velocity {
    at.speed * travel.linkage().ratio(at.travel).abs()
}

/// Where the load is fastest, which need not be where the pistons are, and its speed there.
fn fastest_of_load(travel: &Travel<'_>, speeds: &[SpeedAt]) -> Option<(SpeedAt, Velocity)> {
    let of_load = speeds.iter().map(|at| (*at, of_load(travel, at)));
    of_load.max_by(|one, two| one.1.value.total_cmp(&two.1.value))
}

/// The regulator while air flows, set to `set`.
fn regulator(rig: &Rig, set: GaugePressure) -> RegulatorFlow {
    let droop = match rig.regulator.rated_flow {
        Some(rated) => Droop::Linear { droop: rig.regulator.droop, rated },
        None => Droop::Constant(rig.regulator.droop),
    };
    RegulatorFlow { set, droop, seat: None }
}

/// The pressure needed along the way up.
fn rising_path(travel: &Travel<'_>, end: Length) -> Vec<TravelPoint> {
    travel
        .needed_along(end, STEPS)
        .into_iter()
        .map(|point| TravelPoint { travel: point.travel, pressure: at_least_open(point.need) })
        .collect()
}

/// A raise through `valve` with the regulator set to `set`.
fn raise_at(rig: &Rig, valve: Restriction, set: GaugePressure, path: &[TravelPoint]) -> Result<Raise> {
    let line = Line::new(way_up(rig, valve))?;
    let feed = Feed {
        regulator: &regulator(rig, set),
        line: &line,
        atmosphere: rig.site.atmosphere,
        temperature: rig.site.temperature,
    };
    feed.raise(&chamber(rig), path)
}

/// The way up and the way down of a load, followed in time where the rig asks for that.
fn up_and_down(
    rig: &Rig,
    travel: &Travel<'_>,
    lift: &Lift,
    load: Load,
) -> Result<(Option<RaiseAnswer>, Option<LowerAnswer>)> {
    let (raise, worked) = worked_raise(rig, travel, lift.stroke_used, load, true)?;
    let lower = lower(rig, travel, lift, load, raise, worked.as_ref())?;
    Ok((raise, lower))
}

/// The way up alone.
fn raise(rig: &Rig, travel: &Travel<'_>, end: Length, load: Load) -> Result<Option<RaiseAnswer>> {
    Ok(worked_raise(rig, travel, end, load, false)?.0)
}

/// A raise, and the lift that was followed in time for it; `whole` asks for its way down and for what the return air does
/// to the next raise as well.
fn worked_raise(
    rig: &Rig,
    travel: &Travel<'_>,
    end: Length,
    load: Load,
    whole: bool,
) -> Result<(Option<RaiseAnswer>, Option<SingleLift>)> {
    let unhindered = unhindered_raise(rig, travel, end, load)?;
    let Some(least @ RaiseAnswer::Arrives { delay: short_delay, total, held_back_by, .. }) = unhindered
    else {
        return Ok((unhindered, None));
    };
    let unknown = rod_side_is_unknown(rig)?;
    let least = if unknown { least.at_the_least() } else { least };
    let Some(of) = followed(rig)? else { return Ok((Some(least), None)) };
    let is_driven_down = rig.cylinders.action == Action::Single || of.rod_side.is_some();
    let then = match rig.cycle.end_pressure {
        _ if !whole || rig.line.lower.is_none() || !is_driven_down => ThenLower::No,
        EndPressure::Load => ThenLower::OnArrival,
        EndPressure::SetPoint => ThenLower::OnceLevel,
    };
    let set = rig.regulator.set;
    let Some(worked) = lift_in_time(rig, travel, of, set, end, then)? else {
        return Ok((Some(least.at_the_least()), None));
    };
    let (Some(delay), Some(in_time)) = (worked.delay, worked.raise_time) else {
        return Ok((Some(RaiseAnswer::Stalls(worked.travel)), None));
    };
    let mass = moving_mass(load);
    let steady = fastest_of_load(travel, &worked.speeds).map(|(_, speed)| speed).unwrap_or_default();
    let leap = worked.leap.map(|(_, energy)| energy).unwrap_or_default();
    let moving = total - short_delay;
    let adds = (in_time - delay - moving).max(Time::default());
    let rod_side = match of.rod_side.zip(worked.highest_rod_pressure) {
        Some((passages, highest)) => {
            let full = Followed { rod_side: Some(RodSide { start: set, ..passages }) };
            let after_return =
                if whole { lift_in_time(rig, travel, full, set, end, ThenLower::No)? } else { None };
            let then = after_return.as_ref().and_then(|worked| worked.highest_rod_pressure);
            Some(RodSideHolds {
                adds,
                arrives_at: worked.cap_pressure,
                highest: then.map_or(highest, |then| highest.max(then)),
                after_return: after_return.and_then(|worked| worked.raise_time),
            })
        }
        None => None,
    };
    // No air gives more than the set point does all along.
    let most = travel.energy_at_stop(rig.cylinders.thrust(set)).max(Energy::default());
    let end_energy = end_energy(mass, steady).max(leap).min(most);
    let raise = RaiseAnswer::Arrives {
        delay,
        total: in_time,
        held_back_by: if rod_side.is_some() && adds > moving { HeldBackBy::RodSide } else { held_back_by },
        fastest: if mass > Mass::default() { speed_of(end_energy, mass) } else { steady },
        end_energy,
        leaps: worked.leap.map(|(from, _)| from),
        rod_side,
        left_out: unknown,
    };
    Ok((Some(raise), Some(worked)))
}

/// Speed of a mass with that energy of motion.
fn speed_of(energy: Energy, mass: Mass) -> Velocity {
    if mass > Mass::default() { (2.0 * energy / mass).sqrt() } else { Velocity::default() }
}

/// Most energy that a load gains as it leaps from a travel: the air behind it expands without more coming in, at the
/// temperature of the site.
fn leap_energy(rig: &Rig, travel: &Travel<'_>, from: Length, end: Length) -> Result<Energy> {
    let chamber = chamber(rig);
    let site = rig.site.atmosphere;
    let held = at_least_open(travel.needed_pressure(from)).to_absolute(site)?.above_vacuum();
    let volume = |at: Length| chamber.dead_volume + chamber.area * at;
    let step = (end - from) / f64::from(LEAP_STEPS);
    let spare = |index: u32| {
        let at = from + step * f64::from(index);
        let pressure = held * (volume(from) / volume(at)) - site.above_vacuum();
        let push = pressure * chamber.area * (Ratio::from(1.0) - rig.cylinders.friction);
        push - chamber.area * rig.cylinders.back_pressure_on_cap() - travel.force(at)
    };
    let (mut energy, mut most) = (Energy::default(), Energy::default());
    for index in 0..LEAP_STEPS {
        energy += 0.5 * (spare(index) + spare(index + 1)) * step;
        most = most.max(energy);
    }
    Ok(most)
}

/// A raise that the air on the rod side does not hold back, but for a stated back-pressure.
pub(super) fn unhindered_raise(
    rig: &Rig,
    travel: &Travel<'_>,
    end: Length,
    load: Load,
) -> Result<Option<RaiseAnswer>> {
    let Some(valve) = rig.line.raise else { return Ok(None) };
    Ok(Some(match raise_at(rig, valve, rig.regulator.set, &rising_path(travel, end))? {
        Raise::Stalls { travel } => RaiseAnswer::Stalls(travel),
        Raise::Completes(times) => {
            let steady = fastest_of_load(travel, &times.speeds).map(|(_, speed)| speed).unwrap_or_default();
            let leap = match times.leaps {
                Some(from) => leap_energy(rig, travel, from, end)?,
                None => Energy::default(),
            };
            let mass = moving_mass(load);
            RaiseAnswer::Arrives {
                delay: times.delay,
                total: times.total(),
                held_back_by: HeldBackBy::of(rig, times.limit),
                fastest: steady.max(speed_of(leap, mass)),
                end_energy: end_energy(mass, steady).max(leap),
                leaps: times.leaps,
                rod_side: None,
                left_out: false,
            }
        }
    }))
}

/// Lifts before the first slow one. The pressure of the tank only falls, and a raise takes the longer the lower it
/// is, so the lifts in time stand at the start of the list.
fn quick_lifts(
    rig: &Rig,
    travel: &Travel<'_>,
    lift: &Lift,
    at_set_point: Option<RaiseAnswer>,
    tank_after: &[AbsolutePressure],
) -> Result<Option<QuickLifts>> {
    let limit = [rig.limits.raise_time, rig.cycle.rehearsal.raise_within].into_iter().flatten();
    let (Some(valve), Some(limit), Some(at_set_point)) =
        (rig.line.raise, limit.reduce(Time::min), at_set_point)
    else {
        return Ok(None);
    };
    let path = rising_path(travel, lift.stroke_used);
    let supply = |tank: AbsolutePressure| tank.to_gauge(rig.site.atmosphere).min(rig.regulator.set);
    let followed = followed(rig)?;
    let time = |tank: AbsolutePressure| -> Result<Option<Time>> {
        let supply = supply(tank);
        Ok(match (raise_at(rig, valve, supply, &path)?, followed) {
            (Raise::Stalls { .. }, _) => None,
            (Raise::Completes(times), None) => Some(times.total()),
            // Where it does not come to an end it counts as a stall.
            (Raise::Completes(_), Some(of)) => {
                lift_in_time(rig, travel, of, supply, lift.stroke_used, ThenLower::No)?
                    .and_then(|worked| worked.raise_time)
            }
        })
    };
    let in_time = |time: Option<Time>| time.is_some_and(|time| time <= limit);
    let now = match at_set_point {
        RaiseAnswer::Arrives { total, .. } => Some(total),
        RaiseAnswer::Stalls(_) => None,
    };
    let at_set = tank_after.iter().take_while(|tank| supply(**tank) >= rig.regulator.set).count();
    let (mut good, mut bad) = if in_time(now) { (at_set, tank_after.len()) } else { (0, 0) };
    while good < bad {
        let middle = good + (bad - good) / 2;
        match tank_after.get(middle) {
            Some(tank) if in_time(time(*tank)?) => good = middle + 1,
            _ => bad = middle,
        }
    }
    let slow = match tank_after.get(good) {
        Some(tank) => Some(SlowLift { supply: supply(*tank), time: time(*tank)? }),
        None => None,
    };
    Ok(Some(QuickLifts { count: u32::try_from(good).unwrap_or(u32::MAX), limit, slow }))
}

/// How air passes what holds it back at one point of the travel.
#[derive(Debug)]
pub(super) struct Passing {
    /// What holds it back, in words.
    pub(super) name: String,
    /// The same as a restriction.
    pub(super) restriction: Restriction,
    /// Pressure before it.
    pub(super) before: AbsolutePressure,
    /// Pressure behind it.
    pub(super) behind: AbsolutePressure,
    /// The flow.
    pub(super) flow: MassRate,
    /// Pressure in the cylinders.
    pub(super) inside: AbsolutePressure,
    /// The point.
    pub(super) travel: Length,
}

impl Passing {
    /// The element at `place` of a line through which `steady` goes from `first` to `last`.
    fn new(
        name: String,
        line: &Line,
        place: usize,
        steady: &SteadyFlow,
        (first, last): (AbsolutePressure, AbsolutePressure),
        (inside, travel): (AbsolutePressure, Length),
    ) -> Option<Self> {
        let between = |place: usize| steady.pressures.get(place).copied();
        Some(Self {
            name,
            restriction: *line.elements().get(place)?,
            before: place.checked_sub(1).and_then(between).unwrap_or(first),
            behind: between(place).unwrap_or(last),
            flow: steady.mass_flow,
            inside,
            travel,
        })
    }
}

/// Where a raise that arrives is slowest, and whether the needed pressure is the same all along.
pub(super) fn slowest_of_raise(
    rig: &Rig,
    travel: &Travel<'_>,
    lift: &Lift,
) -> Result<Option<(Passing, bool)>> {
    let Some(valve) = rig.line.raise else { return Ok(None) };
    let path = rising_path(travel, lift.stroke_used);
    let Raise::Completes(times) = raise_at(rig, valve, rig.regulator.set, &path)? else { return Ok(None) };
    let point = times.slowest.and_then(|slowest| path.iter().find(|point| point.travel >= slowest.travel));
    let Some(point) = point else { return Ok(None) };
    let is_even = path.iter().all(|other| other.pressure == point.pressure);
    let inside = point.pressure.to_absolute(rig.site.atmosphere)?;
    let line = Line::new(way_up(rig, valve))?;
    let feed = Feed {
        regulator: &regulator(rig, rig.regulator.set),
        line: &line,
        atmosphere: rig.site.atmosphere,
        temperature: rig.site.temperature,
    };
    let Some((outlet, steady)) = feed.steady(inside)? else { return Ok(None) };
    let place = match times.limit {
        Limit::Regulator => 0,
        Limit::Element(place) => place,
    };
    let name = HeldBackBy::of(rig, Limit::Element(place)).words(rig).into_owned();
    let there = (inside, point.travel);
    Ok(Passing::new(name, &line, place, &steady, (outlet, inside), there).map(|passing| (passing, is_even)))
}

/// Where a lowering that arrives is fastest, and `V dp/dx` there: what the air in the cylinders takes up of the flow
/// as its pressure changes.
pub(super) fn fastest_of_lowering(
    rig: &Rig,
    travel: &Travel<'_>,
    lift: &Lift,
    raise: Option<RaiseAnswer>,
) -> Result<Option<(Passing, Force)>> {
    let Some(valve) = rig.line.lower else { return Ok(None) };
    let line = Line::new([way_down(rig)?.as_slice(), &[valve]].concat())?;
    let exhaust = Exhaust { line: &line, atmosphere: rig.site.atmosphere, temperature: rig.site.temperature };
    let path = sinking_path(rig, travel, lift.stroke_used, return_push(rig));
    let Lowering::Completes(times) =
        exhaust.lower(&chamber(rig), &path, held_before(rig, travel, lift, raise))?
    else {
        return Ok(None);
    };
    let fastest = fastest_of_load(travel, &times.speeds);
    let point = fastest.and_then(|(at, _)| path.iter().find(|point| point.travel >= at.travel));
    let Some(point) = point else { return Ok(None) };
    let inside = point.pressure.to_absolute(rig.site.atmosphere)?;
    let steady = line.flow(inside, rig.site.atmosphere, rig.site.temperature)?;
    let mut names: Vec<String> = Vec::new();
    names.extend(rig.protection.port_throttle.map(|_| "the throttles in the ports".to_owned()));
    names.extend(hose_restriction(rig).map(|_| "the hose".to_owned()));
    names.extend(rig.line.fittings_on(Way::Down).map(|fitting| format!("the {}", fitting.name)));
    let place = steady.limiting.unwrap_or(names.len());
    let name = names.get(place).cloned().unwrap_or_else(|| "the lower valve".to_owned());
    let chamber = chamber(rig);
    // Of the legs that meet there, the one on which it is fastest.
    let taken_up = path
        .iter()
        .zip(path.iter().skip(1))
        .filter(|(one, two)| two.travel > one.travel)
        .filter(|(one, two)| one.travel == point.travel || two.travel == point.travel)
        .map(|(one, two)| {
            let rise = (two.pressure - one.pressure) / (two.travel - one.travel);
            (chamber.dead_volume + chamber.area * point.travel) * rise
        })
        .filter(|taken_up: &Force| *taken_up + inside.above_vacuum() * chamber.area > Force::default())
        .reduce(Force::min)
        .unwrap_or_default();
    let there = (inside, point.travel);
    let passing = Passing::new(name, &line, place, &steady, (inside, rig.site.atmosphere), there);
    Ok(passing.map(|passing| (passing, taken_up)))
}

/// Push of the return air on the pistons while they come down: that of the set point on the rod side of
/// double-acting cylinders.
pub(super) fn return_push(rig: &Rig) -> Force {
    match rig.cylinders.action {
        Action::Single => Force::default(),
        Action::Double => rig.cylinders.ring_area() * rig.regulator.set.above_atmosphere(),
    }
}

/// The pressure that the sinking load keeps up along the travel, with a `push` of the return air: friction of
/// linkage and seals against it.
pub(super) fn sinking_path(rig: &Rig, travel: &Travel<'_>, end: Length, push: Force) -> Vec<TravelPoint> {
    let pressure = |(at, force): (Length, Force)| TravelPoint {
        travel: at,
        pressure: rig.cylinders.sinking_pressure(sinking_force(rig, at, force), push),
    };
    travel.forces_along(end, STEPS).into_iter().map(pressure).collect()
}

/// Force with which a load that takes `force` to raise at a travel sinks.
pub(super) fn sinking_force(rig: &Rig, at: Length, force: Force) -> Force {
    let efficiency = rig.linkage.efficiency;
    let spring = rig.cylinders.spring_force(at);
    (force - spring) * efficiency * efficiency + spring
}

/// Pressure shut in the cylinders of a raised load whose rod side had time to empty.
fn held_pressure(rig: &Rig, travel: &Travel<'_>, lift: &Lift) -> GaugePressure {
    match rig.cycle.end_pressure {
        EndPressure::SetPoint => rig.regulator.set,
        EndPressure::Load => at_least_open(travel.needed_pressure(lift.stroke_used)),
    }
}

/// Pressure on the cap side when the lower valve opens: where the valve was shut as the load arrived, that which the
/// raise ended with, the air on the rod side included.
fn held_before(rig: &Rig, travel: &Travel<'_>, lift: &Lift, raise: Option<RaiseAnswer>) -> GaugePressure {
    let held = held_pressure(rig, travel, lift);
    match raise {
        Some(RaiseAnswer::Arrives { rod_side: Some(holds), .. })
            if rig.cycle.end_pressure == EndPressure::Load =>
        {
            held.max(holds.arrives_at)
        }
        _ => held,
    }
}

/// The way down; its time is that of the lift that was followed in time, if one was. The drop as return air comes on is
/// that of a load whose rod side had time to empty, whatever the raise left there.
fn lower(
    rig: &Rig,
    travel: &Travel<'_>,
    lift: &Lift,
    load: Load,
    raise: Option<RaiseAnswer>,
    worked: Option<&SingleLift>,
) -> Result<Option<LowerAnswer>> {
    let Some(valve) = rig.line.lower else { return Ok(None) };
    let before = way_down(rig)?;
    let line = Line::new([before.as_slice(), &[valve]].concat())?;
    let exhaust = Exhaust { line: &line, atmosphere: rig.site.atmosphere, temperature: rig.site.temperature };
    let path = sinking_path(rig, travel, lift.stroke_used, return_push(rig));
    let held = held_before(rig, travel, lift, raise);
    Ok(Some(match exhaust.lower(&chamber(rig), &path, held)? {
        Lowering::Sticks { travel } => LowerAnswer::Sticks(travel),
        Lowering::Completes(times) => {
            let dropping = drop_speed(rig, travel, lift, load)?;
            let fastest = fastest_of_load(travel, &times.speeds);
            let steady = fastest.map(|(_, speed)| speed).unwrap_or_default();
            let place = fastest.map(|(at, _)| at);
            LowerAnswer::Arrives {
                total: worked.and_then(|worked| worked.lower_time).unwrap_or(times.delay + times.moving),
                fastest: steady.max(dropping),
                steady,
                dropping,
                end_energy: end_energy(moving_mass(load), steady),
                // No lower valve keeps a drop to the limit.
                wanted: match rig.limits.lower_speed {
                    Some(limit) if dropping > limit => None,
                    _ => wanted_valve(rig, travel, &path, place, &before, &exhaust)?,
                },
                drops: times.drops,
            }
        }
    }))
}

/// Speed at which a held load drops as the return air comes on, until the air shut in bears both: that of the return
/// air through a passage like `line.raise`, at the least pressure that moves the load; none where the air bears them.
fn drop_speed(rig: &Rig, travel: &Travel<'_>, lift: &Lift, load: Load) -> Result<Velocity> {
    let push = return_push(rig);
    let top = lift.stroke_used;
    let force = sinking_force(rig, top, travel.force(top));
    let (held, site) = (held_pressure(rig, travel, lift), rig.site.atmosphere);
    if push <= Force::default() || held >= rig.cylinders.sinking_pressure(force, push) {
        return Ok(Velocity::default());
    }
    let ring = rig.cylinders.ring_area();
    let mu = rig.cylinders.friction;
    let one = Ratio::from(1.0);
    let least = (rig.cylinders.thrust(held) * (one + mu) - force) / (one - mu) / ring;
    let least = GaugePressure::new(least.max(Pressure::default())).to_absolute(site)?;
    let most = driven_fall(lift, load, push)?;
    let Some(valve) = rig.line.rod_fill.or(rig.line.raise) else { return Ok(most) };
    let line = Line::new(way_up(rig, valve))?;
    let feed = Feed {
        regulator: &regulator(rig, rig.regulator.set),
        line: &line,
        atmosphere: site,
        temperature: rig.site.temperature,
    };
    let Some((_, steady)) = feed.steady(least)? else { return Ok(Velocity::default()) };
    let rod_side = Chamber { area: ring, ..chamber(rig) };
    let speed = rod_side.steady_speed(steady.mass_flow, least, rig.site.temperature)?;
    Ok((speed * travel.linkage().ratio(top).abs()).min(most))
}

/// The lower valve that would keep to the speed wanted where the load is fastest now.
fn wanted_valve(
    rig: &Rig,
    travel: &Travel<'_>,
    path: &[TravelPoint],
    fastest: Option<SpeedAt>,
    before: &[Restriction],
    exhaust: &Exhaust<'_>,
) -> Result<Option<WantedValve>> {
    let (Some(limit), Some(fastest), Some(valve)) = (rig.limits.lower_speed, fastest, rig.line.lower) else {
        return Ok(None);
    };
    let ratio = travel.linkage().ratio(fastest.travel).abs();
    let point = path.iter().find(|point| point.travel >= fastest.travel);
    let (Some(point), true) = (point, ratio > Ratio::default()) else { return Ok(None) };
    // Part of the flow goes into the change of pressure along the way, or comes out of it.
    let share = exhaust.steady_speed(&chamber(rig), point.pressure)? / fastest.speed;
    let wanted = WantedLowering {
        speed: limit / ratio * share,
        pressure: point.pressure,
        before,
        after: &[],
        atmosphere: rig.site.atmosphere,
        temperature: rig.site.temperature,
    };
    let Some(conductance) = wanted.conductance(&chamber(rig), valve.critical_ratio())? else {
        return Ok(None);
    };
    let hole = orifice_bore(conductance, Ratio::from(SHARP_DISCHARGE_COEFFICIENT))?;
    Ok(Some(WantedValve { conductance, hole }))
}

/// Highest speed of the load with the lower valve opened as far as it goes.
fn lower_wide(rig: &Rig, travel: &Travel<'_>, lift: &Lift) -> Result<Option<Velocity>> {
    let Some(valve) = rig.line.lower_wide else { return Ok(None) };
    let way_out = [way_down(rig)?.as_slice(), &[valve]].concat();
    falling_through(rig, travel, lift, way_out).map(Some)
}

/// Highest speed of the load if the hose comes off at the cylinders and their ports stand open: that of the
/// air through a hole of the hose's bore. Double-acting cylinders are on their way down then, with the return
/// air behind them.
fn torn_hose(rig: &Rig, travel: &Travel<'_>, lift: &Lift) -> Result<Option<Velocity>> {
    let Some(hose) = rig.line.hose else { return Ok(None) };
    if hose.bore <= Length::default() {
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
    rig.protection.port_throttle.map(|one| one.side_by_side(rig.cylinders.count)).transpose()
}

/// Highest speed of the load that presses its air out through `way_out`, but no more than [`driven_fall`]. The return
/// air of double-acting cylinders pushes, as on the way down: a held load has its rod side vented and is no faster.
pub(super) fn falling_through(
    rig: &Rig,
    travel: &Travel<'_>,
    lift: &Lift,
    way_out: Vec<Restriction>,
) -> Result<Velocity> {
    let push = return_push(rig);
    let line = Line::new(way_out)?;
    let exhaust = Exhaust { line: &line, atmosphere: rig.site.atmosphere, temperature: rig.site.temperature };
    let mut fastest = Velocity::default();
    for point in sinking_path(rig, travel, lift.stroke_used, push) {
        if point.pressure > GaugePressure::new(Pressure::default()) {
            let speed = exhaust.steady_speed(&chamber(rig), point.pressure)?
                * travel.linkage().ratio(point.travel).abs();
            fastest = fastest.max(speed);
        }
    }
    Ok(fastest.min(driven_fall(lift, rig.load, push)?))
}

/// Speed of a load that nothing holds, with a `push` behind it: `v^2 = 2 g h + 2 W/m`, `W` the work of the push.
pub(super) fn driven_fall(lift: &Lift, load: Load, push: Force) -> Result<Velocity> {
    let free = fall_speed(lift.height.max(Length::default()))?;
    let mass = moving_mass(load);
    if push <= Force::default() || mass <= Mass::default() {
        return Ok(free);
    }
    Ok((free * free + 2.0 * (push * lift.stroke_used) / mass).sqrt())
}

#[cfg(test)]
mod tests;
