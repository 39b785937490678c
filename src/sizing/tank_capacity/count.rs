//! How many strokes one fill gives.

use std::borrow::Cow;

use uom::si::f64::{Mass, MassDensity, Volume};

use super::gas::{Gas, Quick, Slow};
use super::{AirReturn, Demand, StrokeDraw};
use crate::Result;
use crate::air::gas::{Isentrope, Isotherm};
use crate::units::AbsolutePressure;

/// A count stops here; a rig that makes more strokes on one fill is not limited by its tank.
pub const MOST_STROKES: u32 = 100_000;

/// Tank pressures are kept for so many strokes.
const MOST_PRESSURES: usize = 10_000;

/// Share of the absolute pressure by which a pressure may miss its mark and still count, so that a stroke that
/// ends exactly on the mark does not hang on rounding.
const SLACK: f64 = 1e-9;

/// How many strokes one fill gives.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Count {
    /// Strokes after which the tank still stands at or above set point and headroom.
    pub full_pressure: u32,
    /// Strokes that still complete.
    pub until_stall: u32,
    /// Tank pressure after each stroke that completes, for the first ten thousand.
    pub tank_after: Vec<AbsolutePressure>,
    /// Tank pressure after the last stroke at full pressure.
    pub after_full_pressure: Option<AbsolutePressure>,
}

/// Counts strokes with the tank back at the temperature of the site between them (slow gas).
///
/// Each stroke takes its air from a tank of volume `tank` that starts at `start`; nothing refills it. A
/// stroke is *at full pressure* if the tank stands at or above `full_until` after it. A stroke *completes*
/// if `p_s >= need` holds at every demand, where `p_s` is the lesser of the set point and the pressure
/// common to tank and cylinders with the piston there (mass conserved). Below the set point the cylinders
/// end at the common pressure, and an air return takes its air at the pressure at which tank and rod side
/// settle; a return that settles at or below the atmosphere ends the count.
///
/// Source: mass balance, real-gas density. Not covered: heat of a fast fill (start from a tank that is at
/// the temperature of the site), leaks.
///
/// # Errors
/// [`Error::OutOfRange`](crate::Error::OutOfRange) for a state outside the gas equation.
///
/// ```
/// # use lungful::air::gas::Isotherm;
/// # use lungful::sizing::tank_capacity::{Demand, StrokeDraw, count_slow};
/// # use lungful::units::{AbsolutePressure, pressure::pascals};
/// # use uom::si::f64::{ThermodynamicTemperature, Volume};
/// # use uom::si::{thermodynamic_temperature::kelvin, volume::liter};
/// # let bar = |value: f64| AbsolutePressure::new(pascals(value * 1e5));
/// # let air = Isotherm::new(ThermodynamicTemperature::new::<kelvin>(293.15))?;
/// let liters = |value| Volume::new::<liter>(value);
/// let draw = StrokeDraw {
///     raise: liters(1.0),
///     lower: None,
///     dead: liters(0.0),
///     set: bar(6.0)?,
///     end: None,
///     atmosphere: bar(1.0)?,
///     demand: vec![Demand { swept: liters(1.0), need: bar(4.0)? }],
/// };
/// // 10 L from 11 bar (absolute): each full stroke takes 6 bar L of 110, so 11.0, 10.4, ... 6.8 after 7;
/// // after 8 the tank is at 6.2. From there it settles: 6.2 * 10/11 = 5.64, 5.12, 4.66, 4.24, then 3.85 < 4.
/// let count = count_slow(&draw, liters(10.0), bar(11.0)?, bar(6.5)?, &air)?;
/// assert_eq!((count.full_pressure, count.until_stall), (7, 12));
/// # Ok::<(), lungful::Error>(())
/// ```
pub fn count_slow(
    draw: &StrokeDraw,
    tank: Volume,
    start: AbsolutePressure,
    full_until: AbsolutePressure,
    air: &Isotherm,
) -> Result<Count> {
    let gas = Slow { air, tank };
    let full = air.density(start)? * tank;
    Ok(count(draw, &gas, full, air.density(draw.atmosphere)?, full_until)?.unwrap_or_default())
}

/// Counts strokes without rewarming (quick gas): the cautious bound.
///
/// As [`count_slow`], but the gas left in the tank expands isentropically along `line` from its start, and
/// the air of a stroke is counted at the tank's temperature at the end of that stroke. `None` if a tank
/// state that the count looks at, the failing stroke's included, is below 150 K.
///
/// # Errors
/// As [`count_slow`].
pub fn count_quick(
    draw: &StrokeDraw,
    tank: Volume,
    full_until: AbsolutePressure,
    air: &Isotherm,
    line: &Isentrope,
) -> Result<Option<Count>> {
    count(draw, &Quick { line, tank }, line.start(), air.density(draw.atmosphere)?, full_until)
}

/// A stroke, or half of one.
enum Half<S> {
    /// The tank afterwards, and its pressure.
    Done(S, AbsolutePressure),
    /// It does not complete.
    Stalls,
    /// A state below 150 K.
    TooCold,
}

/// What is the same for every stroke of a count.
struct Strokes<'a, G: Gas> {
    draw: &'a StrokeDraw,
    gas: &'a G,
    /// Density of the air of the site.
    outside: MassDensity,
    /// Air in the dead volume of the cap side before it is filled.
    before: Mass,
    set: G::Level,
    /// Pressure at which the raise ends if the tank can give it.
    end: AbsolutePressure,
    end_level: G::Level,
    /// The demands that no later one covers: the need falls as the pistons advance.
    demand: Cow<'a, [Demand]>,
    highest_need: Option<AbsolutePressure>,
    /// Whether cylinders at their end pressure, and a tank above the set point, meet every need.
    all_met_at_the_end: bool,
}

fn count<G: Gas>(
    draw: &StrokeDraw,
    gas: &G,
    start: G::State,
    outside: MassDensity,
    full_until: AbsolutePressure,
) -> Result<Option<Count>> {
    let strokes = Strokes::new(draw, gas, outside)?;
    let mut count = Count::default();
    let mut state = start;
    let mut pressure = gas.pressure(start)?;
    let mut all_full = true;
    while count.until_stall < MOST_STROKES {
        (state, pressure) = match strokes.raise(state, pressure)? {
            Half::Done(after, pressure) => (after, pressure),
            Half::Stalls => break,
            Half::TooCold => return Ok(None),
        };
        let mut returns = true;
        if let Some(back) = draw.lower {
            let Some((after, left, side)) = strokes.lower(state, pressure, back)? else { return Ok(None) };
            (state, pressure) = (after, left);
            returns = side > draw.atmosphere;
        }
        count.until_stall += 1;
        if count.tank_after.len() < MOST_PRESSURES {
            count.tank_after.push(pressure);
        }
        all_full &= reaches(pressure, full_until);
        if all_full {
            count.full_pressure += 1;
            count.after_full_pressure = Some(pressure);
        }
        if !returns {
            break;
        }
    }
    Ok(Some(count))
}

impl<'a, G: Gas> Strokes<'a, G> {
    fn new(draw: &'a StrokeDraw, gas: &'a G, outside: MassDensity) -> Result<Self> {
        let end = draw.end.unwrap_or(draw.set);
        let demand = uncovered(&draw.demand);
        let highest_need = demand.first().map(|demand| demand.need);
        Ok(Self {
            draw,
            gas,
            outside,
            before: outside * draw.dead,
            set: gas.level(draw.set)?,
            end,
            end_level: gas.level(end)?,
            demand,
            highest_need,
            all_met_at_the_end: end <= draw.set && highest_need.is_none_or(|need| reaches(end, need)),
        })
    }

    /// The raise of one stroke from a tank in `state` at `pressure`.
    fn raise(&self, state: G::State, pressure: AbsolutePressure) -> Result<Half<G::State>> {
        let Self { draw, gas, before, .. } = *self;
        if self.all_met_at_the_end
            && let Some((after, left)) =
                self.give_with_ease(state, pressure, (self.raised(), before), self.end_level)?
        {
            return Ok(Half::Done(after, left));
        }
        let Some(settled) = gas.settle(state, self.raised(), before)? else {
            let past = self.give_and_stay(state, (self.raised(), before), self.end_level)?;
            let needs_met = self.highest_need.is_none_or(|need| reaches(draw.set, need));
            return Ok(match past {
                Some((after, left)) if needs_met => Half::Done(after, left),
                _ => Half::TooCold,
            });
        };
        let common = gas.pressure(settled)?;
        // The common pressure falls as the pistons advance: if its end is enough for every need, all are met.
        let met = match self.highest_need {
            None => true,
            Some(need) if !reaches(draw.set, need) => false,
            Some(need) if reaches(common, need) => true,
            Some(_) => match self.meets(state, &self.demand)? {
                Some(met) => met,
                None => return Ok(Half::TooCold),
            },
        };
        // A valve that is closed as the load arrives waits for its pressure.
        if !met || (draw.end.is_some() && !reaches(common, self.end)) {
            return Ok(Half::Stalls);
        }
        // Within the slack the tank may miss its mark by a hair; then both stand at one pressure.
        if common < self.end {
            return Ok(Half::Done(settled, common));
        }
        self.done(gas.give(state, self.raised(), before, self.end_level)?)
    }

    /// Whether a tank in `state` meets every need in a `part` of the demands; `None` if too cold.
    ///
    /// The supply falls from demand to demand as the need does. If the last supply is enough for the first
    /// need, all between are met; if not, each half is looked at by itself.
    fn meets(&self, state: G::State, part: &[Demand]) -> Result<Option<bool>> {
        let (Some(first), Some(last)) = (part.first(), part.last()) else { return Ok(Some(true)) };
        let volume = last.swept + self.draw.dead;
        let Some(there) = self.gas.settle(state, volume, self.before)? else { return Ok(None) };
        let supply = self.gas.pressure(there)?;
        if reaches(supply, first.need) {
            return Ok(Some(true));
        }
        if part.len() == 1 || !reaches(supply, last.need) {
            return Ok(Some(false));
        }
        let (near, far) = part.split_at(part.len() / 2);
        match self.meets(state, near)? {
            Some(true) => self.meets(state, far),
            other => Ok(other),
        }
    }

    /// The tank and its pressure after it has filled a side to `level`, if it stands high above all that is
    /// asked of it, as most tanks do: above the set point even then, and so all the way. `None` if it may not.
    fn give_with_ease(
        &self,
        state: G::State,
        pressure: AbsolutePressure,
        side: (Volume, Mass),
        level: G::Level,
    ) -> Result<Option<(G::State, AbsolutePressure)>> {
        let Self { draw, gas, .. } = *self;
        let thinned: f64 = (gas.tank() / (gas.tank() + side.0)).value;
        // An ideal gas with k = 1.5 falls further than air at these pressures. This only says whether to try:
        // the iteration for a quick draw is slow to find out that there is nothing to find.
        if pressure.pascals() * thinned * thinned.sqrt() < draw.set.pascals() {
            return Ok(None);
        }
        let given = self.give_and_stay(state, side, level)?;
        Ok(given.filter(|&(_, left)| left >= draw.set))
    }

    /// The tank and its pressure after it has filled a side (its volume and the air in it before) to `level`, if it then still stands at the set
    /// point; the common pressure of tank and cylinders, which may be too cold to look at, does not matter then.
    fn give_and_stay(
        &self,
        state: G::State,
        (volume, before): (Volume, Mass),
        level: G::Level,
    ) -> Result<Option<(G::State, AbsolutePressure)>> {
        // An iteration that does not settle looks for a state that a tank so far down does not have.
        let Ok(Some(after)) = self.gas.give(state, volume, before, level) else { return Ok(None) };
        let left = self.gas.pressure(after)?;
        Ok(reaches(left, self.draw.set).then_some((after, left)))
    }

    /// The air return of one stroke: tank, its pressure, and the pressure at which the side ends; `None` if
    /// too cold.
    fn lower(
        &self,
        state: G::State,
        pressure: AbsolutePressure,
        back: AirReturn,
    ) -> Result<Option<(G::State, AbsolutePressure, AbsolutePressure)>> {
        let Self { draw, gas, .. } = *self;
        let (volume, before) = (back.filled(), self.outside * back.dead);
        if let Some((after, left)) = self.give_with_ease(state, pressure, (volume, before), self.set)? {
            return Ok(Some((after, left, draw.set)));
        }
        let Some(settled) = gas.settle(state, volume, before)? else {
            let past = self.give_and_stay(state, (volume, before), self.set)?;
            return Ok(past.map(|(after, left)| (after, left, draw.set)));
        };
        let common = gas.pressure(settled)?;
        if common < draw.set {
            return Ok(Some((settled, common, common)));
        }
        let Some(after) = gas.give(state, volume, before, self.set)? else { return Ok(None) };
        Ok(Some((after, gas.pressure(after)?, draw.set)))
    }

    /// Volume that a raise fills.
    fn raised(&self) -> Volume {
        self.draw.raise + self.draw.dead
    }

    fn done(&self, after: Option<G::State>) -> Result<Half<G::State>> {
        after.map_or(Ok(Half::TooCold), |after| Ok(Half::Done(after, self.gas.pressure(after)?)))
    }
}

/// The demands that no later one covers, in order of travel and so of falling need.
fn uncovered(demand: &[Demand]) -> Cow<'_, [Demand]> {
    if demand.is_sorted_by(|one, next| one.swept <= next.swept && one.need > next.need) {
        return Cow::Borrowed(demand);
    }
    let mut all = demand.to_vec();
    all.sort_by(|one, other| other.swept.value.total_cmp(&one.swept.value));
    let mut kept: Vec<Demand> = Vec::with_capacity(all.len());
    for one in all {
        if kept.last().is_none_or(|later| one.need > later.need) {
            kept.push(one);
        }
    }
    kept.reverse();
    Cow::Owned(kept)
}

/// `pressure >= mark`, to one part in 1e9.
fn reaches(pressure: AbsolutePressure, mark: AbsolutePressure) -> bool {
    pressure.pascals() >= mark.pascals() * (1.0 - SLACK)
}
