//! What happens if: one fault at a time, each with what follows and what to do.
//!
//! Each fault takes every stated value at its unfavourable end, as the pressure-order checks do. A fault that
//! lacks data is not judged and says what to find out.

mod hose;
mod load;
mod rest;
mod rise;
mod supply;
mod valves;

pub(super) use load::{HALF_WAY, OVERLOAD, heavy, least_moving, lost_spring};
pub(super) use rest::COLD_K;
pub(super) use rise::speed_by_push;
pub(super) use supply::{relief_duty, relief_passes, strongest};
use uom::si::f64::Velocity;

use super::check::sentence;
use super::checks::at_most;
use super::{Answers, Check, Sentence, Verdict};
use crate::Result;
use crate::air::gas::Isotherm;
use crate::formulas::{FALLING_LOAD, Formula, SINGLE_FAULTS, of_fault};
use crate::rig::{Lock, Rig, Support};
use crate::sizing::cylinder_force::Action;
use crate::sizing::linkage::Travel;
use crate::units::Dimension;

/// What one fault does.
#[derive(Debug, Clone, PartialEq)]
pub struct Fault {
    /// Name, verdict, the figure that is judged, its limit, and what to do.
    pub check: Check,
    /// What happens.
    pub happens: Sentence,
    /// What else follows, in numbers.
    pub figures: Vec<Figure>,
    /// What it is worked out by.
    pub formula: &'static Formula,
}

impl Fault {
    /// A fault that is worked out as its name says.
    fn new(check: Check, happens: Sentence, figures: Vec<Figure>) -> Self {
        let formula = of_fault(&check.id);
        Self { check, happens, figures, formula }
    }
}

/// A number that follows from a fault.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Figure {
    /// What it is.
    pub name: &'static str,
    /// Its value in the SI base unit of its dimension.
    pub value: f64,
    /// What kind of quantity it is.
    pub dimension: Dimension,
}

/// Faults of one verdict that [`harm`] does not tell apart stand in this order: what is likely and hurts most comes
/// first. Estimate of our own.
const ORDER: &[&str] = &[
    "electric power lost",
    "pressure switch stuck closed",
    "regulator stuck open",
    "relief valve stuck shut",
    "line relief stuck shut",
    "lower valve stuck open",
    "hose off at the cylinders",
    "hose off at the valve",
    "one cylinder lost",
    "load lost while raised",
    "load 25 % above plan",
    "raise valve stuck open",
    "torn hose whips",
    "check valve leaks back",
    "tank gone cold",
    "lower valve stuck shut",
    "air left after all off",
    "regulator stuck closed",
    "raise valve stuck shut",
];

/// What the faults are worked out from.
#[derive(Clone, Copy)]
struct Case<'a> {
    rig: &'a Rig,
    travel: &'a Travel<'a>,
    answers: &'a Answers,
    air: &'a Isotherm,
}

/// Every single fault of a rig, the worst first.
pub(super) fn faults(
    rig: &Rig,
    travel: &Travel<'_>,
    answers: &Answers,
    air: &Isotherm,
) -> Result<Vec<Fault>> {
    let case = Case { rig, travel, answers, air };
    let mut faults = Vec::with_capacity(ORDER.len());
    supply::faults(&case, &mut faults)?;
    valves::faults(&case, &mut faults)?;
    hose::faults(&case, &mut faults)?;
    load::faults(&case, &mut faults)?;
    rest::faults(&case, &mut faults)?;
    let place = |fault: &Fault| ORDER.iter().position(|id| *id == fault.check.id).unwrap_or(ORDER.len());
    faults.sort_by(|a, b| {
        severity(b.check.verdict)
            .cmp(&severity(a.check.verdict))
            .then_with(|| harm(&a.check).cmp(&harm(&b.check)))
            .then_with(|| beyond(&b.check).total_cmp(&beyond(&a.check)))
            .then(place(a).cmp(&place(b)))
    });
    Ok(faults)
}

/// What a fault that fails does, the worst first: the receiver is above its rating, what stands after the regulator
/// is, the load moves each time that a plug is pulled, a speed or a blow is too great, the rest. Estimate of our own:
/// parts tear and stick seldom, power is lost every other day.
fn harm(check: &Check) -> u8 {
    match (check.id.as_ref(), check.dimension) {
        _ if check.verdict != Verdict::Fail => 0,
        ("pressure switch stuck closed" | "relief valve stuck shut", _) => 0,
        ("regulator stuck open", Dimension::Pressure) => 1,
        ("electric power lost", _) => 2,
        (_, Dimension::Speed | Dimension::Energy) => 3,
        _ => 4,
    }
}

/// By how many times a speed that fails is beyond its limit; of a blow the root, as it grows with the square of the
/// speed. What is not known counts as just beyond.
fn beyond(check: &Check) -> f64 {
    let ratio = check.value.zip(check.limit).map_or(1.0, |(value, limit)| value / limit);
    match (check.verdict, check.dimension) {
        (Verdict::Fail, Dimension::Speed) => ratio,
        (Verdict::Fail, Dimension::Energy) => ratio.max(0.0).sqrt(),
        _ => 0.0,
    }
}

/// What is not known stands above what is known to do no harm.
fn severity(verdict: Verdict) -> u8 {
    match verdict {
        Verdict::Fail => 3,
        Verdict::Caution => 2,
        Verdict::NotJudged => 1,
        Verdict::Pass => 0,
    }
}

fn figure(name: &'static str, value: f64, dimension: Dimension) -> Figure {
    Figure { name, value, dimension }
}

/// Pressure in the cylinders of a raised load.
fn held(case: &Case<'_>) -> Figure {
    let pressure = case.answers.lift.held_pressure(case.rig);
    figure("air shut in the cylinders", pressure.pascals(), Dimension::Pressure)
}

/// Whether something other than the air between the valves holds a raised load all the time: a latch, or a lock
/// at the cylinders.
fn held_without_air(case: &Case<'_>) -> bool {
    let protection = &case.rig.protection;
    protection.support == Support::Latch || protection.lock != Lock::None
}

/// Whether a leg over centre bears the raised load, as the check of its lock finds.
fn locks_itself(case: &Case<'_>) -> bool {
    case.answers.locks_itself()
}

/// The load that comes down as its air goes.
fn raised_load(case: &Case<'_>) -> &'static str {
    if locks_itself(case) { "a load that is not over centre" } else { "a raised load" }
}

/// A fault after which a raised load rests on the air shut in: a caution, as air leaks and cools, unless a latch
/// holds it. A lock only shuts air in, a pin waits for somebody to set it, and a leg holds over centre only.
fn on_shut_in_air(case: &Case<'_>, id: &'static str, mut happens: Sentence, advice: Sentence) -> Fault {
    let (verdict, then) = match case.rig.protection.support {
        Support::Latch => (Verdict::Pass, Some("; as that leaks the latch holds it")),
        Support::Pin => (Verdict::Caution, Some("; the pin holds it once it is set")),
        Support::None if locks_itself(case) => (Verdict::Caution, Some("; over centre the leg holds it")),
        Support::None => (Verdict::Caution, None),
    };
    happens.0.extend(then.map(Into::into));
    let mut fault = plain(id, verdict, Dimension::Pressure, happens, advice);
    fault.figures.push(held(case));
    // Nothing falls, whatever would without the air.
    fault.formula = &SINGLE_FAULTS;
    fault
}

/// A fault that is judged by what happens, without a limit.
fn plain(
    id: &'static str,
    verdict: Verdict,
    dimension: Dimension,
    happens: Sentence,
    advice: Sentence,
) -> Fault {
    let mut check = Check::not_judged(id, dimension, advice);
    check.verdict = verdict;
    Fault::new(check, happens, Vec::new())
}

/// A load that comes down by itself.
struct Fall {
    id: &'static str,
    happens: Sentence,
    /// Its highest speed, if the way out of the air is known.
    speed: Option<Velocity>,
    /// What to find out where it is not.
    unknown: Sentence,
    /// What to do if it is too fast.
    advice: Sentence,
    /// Whether the load must not come down at any speed.
    never: bool,
}

impl Fall {
    /// The fault: a latch holds the load except on its way down, a pin does so once it is set.
    fn judged(self, case: &Case<'_>) -> Fault {
        let Self { id, mut happens, speed, unknown, advice, never } = self;
        let limit = case.rig.limits.fall_speed.value;
        if case.rig.cylinders.action == Action::Double && speed.is_some() {
            happens.0.extend(
                sentence!["; its speed is that with the return air behind it, as on the way down; held, its rod side is vented"].0,
            );
        }
        if locks_itself(case) {
            happens.0.push("; over centre the leg holds it".into());
        }
        let mut fault = match speed {
            Some(speed) => {
                let check = at_most(id, speed.value, limit, Dimension::Speed, advice.clone());
                Fault::new(check, happens.clone(), falling_figures(case, speed))
            }
            None if never => plain(id, Verdict::Fail, Dimension::Speed, happens.clone(), advice.clone()),
            None => plain(id, Verdict::NotJudged, Dimension::Speed, happens.clone(), unknown),
        };
        fault.formula = &FALLING_LOAD;
        let check = &mut fault.check;
        if never {
            check.verdict = Verdict::Fail;
            check.advice = advice;
        }
        match case.rig.protection.support {
            Support::Latch => {
                happens.0.extend(sentence!["; a latch that is in holds it, but on the way down it is out"].0);
                check.margin = None;
                let slow = speed.is_some_and(|speed| speed.value <= limit * (1.0 + 1e-9));
                check.verdict = Verdict::Caution;
                check.advice = if slow {
                    sentence![
                        "it comes down no faster than the limit with the latch out, but nothing stops it then: keep people out of its way, and see that the latch falls in at every step of the way up"
                    ]
                } else {
                    sentence![
                        "nobody within its reach while it is lowered: the latch is out then; a lock in the ports (`protection.lock`) or throttles there (`protection.port-throttle`) bound the fall"
                    ]
                };
                fault.happens = happens;
            }
            _ if check.verdict == Verdict::Fail && locks_itself(case) => {
                check.verdict = Verdict::Caution;
                check.margin = None;
                check.advice = sentence![
                    "over centre the leg holds the load; until it is there, and on the way down, nobody within its reach"
                ];
            }
            Support::Pin if check.verdict == Verdict::Fail => {
                check.verdict = Verdict::Caution;
                check.margin = None;
                check.advice = sentence![
                    "the pin holds the load once it is set; until then, and while it moves, nobody within its reach"
                ];
            }
            // Slow, but by itself, and nobody can stop it.
            _ if check.verdict == Verdict::Pass => {
                check.verdict = Verdict::Caution;
                check.advice = sentence![
                    "it comes down no faster than the limit, but nothing stops it: keep people out of its way, or hold the load by a lock (`protection.lock`) or a latch (`protection.support`)"
                ];
            }
            _ => {}
        }
        fault
    }
}

/// Energy of the fall and the time that is left to step away.
fn falling_figures(case: &Case<'_>, speed: Velocity) -> Vec<Figure> {
    let mass = super::times::moving_mass(super::times::heaviest(case.rig));
    let energy = crate::sizing::lowering::end_energy(mass, speed);
    let height = case.answers.lift.height.value;
    let mut figures = vec![figure("blow at the end of the fall", energy.value, Dimension::Energy)];
    if speed.value > 0.0 {
        figures.push(figure("time to come down, at least", height / speed.value, Dimension::Time));
    }
    figures
}
