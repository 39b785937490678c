//! How many strokes one fill gives.

use uom::si::f64::{Mass, MassDensity, Volume};

use super::gas::{Gas, Quick, Slow};
use super::{AirReturn, Demand, Span, StrokeDraw};
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
    /// A demand that the stroke after the last one does not meet, if that is what ends the count.
    pub unmet: Option<Demand>,
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
///     demand: vec![Demand { swept: liters(1.0), need: bar(4.0)? }].into(),
/// };
/// // 10 L from 11 bar (absolute): each full stroke takes 6 bar L of 110, so 11.0, 10.4, ... 6.8 after 7;
/// // after 8 the tank is at 6.2. From there it settles: 6.2 * 10/11 = 5.64, 5.12, 4.66, 4.24, then 3.85 < 4.
/// let count = count_slow(&draw, liters(10.0), bar(11.0)?, bar(6.5)?, &air)?;
/// assert_eq!((count.full_pressure, count.until_stall), (7, 12));
/// # Ok::<(), lungful::Error>(())
/// ```
pub fn count_slow(
    draw: &StrokeDraw<'_>,
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
    draw: &StrokeDraw<'_>,
    tank: Volume,
    full_until: AbsolutePressure,
    air: &Isotherm,
    line: &Isentrope,
) -> Result<Option<Count>> {
    count(draw, &Quick { line, tank }, line.start(), air.density(draw.atmosphere)?, full_until)
}

/// Halvings after which a span whose ends are met counts as met: its need then lies off a straight line by no more
/// than rounding.
const MOST_HALVINGS: u32 = 8;

/// Whether needs are met.
enum Met {
    All,
    /// This one is not.
    Not(Demand),
    /// A state below 150 K.
    TooCold,
}

/// A stroke, or half of one.
enum Half<S> {
    /// The tank afterwards, and its pressure.
    Done(S, AbsolutePressure),
    /// It does not complete; the demand that is not met, if it is one of those.
    Stalls(Option<Demand>),
    /// A state below 150 K.
    TooCold,
}

/// What is the same for every stroke of a count.
struct Strokes<'a, G: Gas> {
    draw: &'a StrokeDraw<'a>,
    gas: &'a G,
    /// Density of the air of the site.
    outside: MassDensity,
    /// Air in the dead volume of the cap side before it is filled.
    before: Mass,
    set: G::Level,
    /// Pressure at which the raise ends if the tank can give it.
    end: AbsolutePressure,
    end_level: G::Level,
    highest_need: Option<AbsolutePressure>,
    /// Whether cylinders at their end pressure, and a tank above the set point, meet every need.
    all_met_at_the_end: bool,
}

fn count<G: Gas>(
    draw: &StrokeDraw<'_>,
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
            Half::Stalls(unmet) => {
                count.unmet = unmet;
                break;
            }
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
    fn new(draw: &'a StrokeDraw<'_>, gas: &'a G, outside: MassDensity) -> Result<Self> {
        let end = draw.end.unwrap_or(draw.set);
        let highest_need = draw.demand.highest();
        Ok(Self {
            draw,
            gas,
            outside,
            before: outside * draw.dead,
            set: gas.level(draw.set)?,
            end,
            end_level: gas.level(end)?,
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
        // The supply falls as the pistons advance: if its end is enough for every need, all are met.
        let easy = common.min(draw.set);
        if self.highest_need.is_some_and(|need| !reaches(easy, need)) {
            match self.meets(state, draw.demand.spans())? {
                Met::All => {}
                Met::Not(demand) => return Ok(Half::Stalls(Some(demand))),
                Met::TooCold => return Ok(Half::TooCold),
            }
        }
        // A valve that is closed as the load arrives waits for its pressure.
        if draw.end.is_some() && !reaches(common, self.end) {
            return Ok(Half::Stalls(None));
        }
        // Within the slack the tank may miss its mark by a hair; then both stand at one pressure.
        if common < self.end {
            return Ok(Half::Done(settled, common));
        }
        self.done(gas.give(state, self.raised(), before, self.end_level)?)
    }

    /// Whether a tank in `state` meets every need in a `part` of the demands.
    ///
    /// The supply falls on the way. If the last supply is enough for the highest need, all between are met; if
    /// not, each half is looked at by itself.
    fn meets(&self, state: G::State, part: &[Span]) -> Result<Met> {
        let (Some(first), Some(last)) = (part.first(), part.last()) else { return Ok(Met::All) };
        let Some(supply) = self.supply(state, last.to)? else { return Ok(Met::TooCold) };
        if reaches(supply, first.most) {
            return Ok(Met::All);
        }
        if !reaches(supply, last.to.need) {
            return Ok(Met::Not(last.to));
        }
        if part.len() == 1 {
            return match self.supply(state, first.from)? {
                None => Ok(Met::TooCold),
                Some(supply) if !reaches(supply, first.from.need) => Ok(Met::Not(first.from)),
                Some(_) => self.meets_within(state, first, MOST_HALVINGS),
            };
        }
        let (near, far) = part.split_at(part.len() / 2);
        match self.meets(state, near)? {
            Met::All => self.meets(state, far),
            other => Ok(other),
        }
    }

    /// As [`meets`](Self::meets), for one span whose ends are met.
    fn meets_within(&self, state: G::State, span: &Span, halvings: u32) -> Result<Met> {
        let halves = self.draw.demand.halves(span).filter(|_| halvings > 0);
        let Some([near, far]) = halves else { return Ok(Met::All) };
        let Some(middle) = self.supply(state, near.to)? else { return Ok(Met::TooCold) };
        if !reaches(middle, near.to.need) {
            return Ok(Met::Not(near.to));
        }
        let Some(end) = self.supply(state, far.to)? else { return Ok(Met::TooCold) };
        for (supply, half) in [(middle, near), (end, far)] {
            if !reaches(supply, half.most) {
                match self.meets_within(state, &half, halvings - 1)? {
                    Met::All => {}
                    other => return Ok(other),
                }
            }
        }
        Ok(Met::All)
    }

    /// Pressure at a demand: that common to tank and cylinders, or the set point where the tank has more; `None`
    /// if too cold.
    fn supply(&self, state: G::State, there: Demand) -> Result<Option<AbsolutePressure>> {
        let settled = self.gas.settle(state, there.swept + self.draw.dead, self.before)?;
        settled.map(|state| Ok(self.gas.pressure(state)?.min(self.draw.set))).transpose()
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

/// `pressure >= mark`, to one part in 1e9.
fn reaches(pressure: AbsolutePressure, mark: AbsolutePressure) -> bool {
    pressure.pascals() >= mark.pascals() * (1.0 - SLACK)
}

#[cfg(test)]
mod tests {
    use uom::si::f64::ThermodynamicTemperature;
    use uom::si::thermodynamic_temperature::kelvin;
    use uom::si::volume::liter;

    use super::*;
    use crate::sizing::tank_capacity::Demands;
    use crate::units::pressure::pascals;

    fn bar(value: f64) -> AbsolutePressure {
        AbsolutePressure::new(pascals(value * 1e5)).unwrap()
    }

    #[test]
    fn a_need_between_the_ends_of_a_span_ends_the_count() {
        let liters = Volume::new::<liter>;
        let at = |swept: f64, need: f64| Demand { swept: liters(swept), need: bar(need) };
        // 3 bar at both ends, 5.5 bar half way, where the pistons of three quarters of a litre have swept 0.375
        let law = |_: usize, swept: Volume| {
            let part = swept.get::<liter>() / 0.75;
            bar(3.0 + 10.0 * part * (1.0 - part))
        };
        let span = Span::between(at(0.0, 3.0), at(0.75, 3.0), pascals(2.6e5), 0);
        let draw = StrokeDraw {
            raise: liters(1.0),
            lower: None,
            dead: liters(0.0),
            set: bar(6.0),
            end: None,
            atmosphere: bar(1.0),
            demand: Demands::new(vec![span, Span::point(at(1.0, 3.0))], law),
        };
        let air = Isotherm::new(ThermodynamicTemperature::new::<kelvin>(293.15)).unwrap();
        let count = count_slow(&draw, liters(10.0), bar(11.0), bar(6.5), &air).unwrap();
        // By hand, ideal gas: after 8 strokes of 6 bar L the tank is at 6.2 bar. Half way 6.2 * 10/10.375 = 5.98
        // bar is enough, and it ends at 6.2 * 10/11 = 5.64. Then 5.43 is too little half way.
        assert_eq!(count.until_stall, 9);
        let unmet = count.unmet.unwrap();
        assert!((unmet.swept.get::<liter>() - 0.375).abs() < 0.1 && unmet.need > bar(5.2), "{unmet:?}");
    }
}
