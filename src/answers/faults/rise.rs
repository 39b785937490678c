//! The platform goes up by itself, or harder than it is made to.

use uom::si::f64::{Energy, Length, Mass, Time, Velocity};
use uom::si::velocity::meter_per_second;

use super::load::leap;
use super::{Case, Figure, figure};
use crate::Result;
use crate::answers::check::sentence;
use crate::answers::checks::at_most;
use crate::answers::times::{moving_mass, unhindered_raise};
use crate::answers::{Check, RaiseAnswer, Verdict};
use crate::rig::{Limits, Rig};
use crate::sizing::lowering::end_energy;
use crate::sizing::travel::Load;
use crate::units::{Dimension, GaugePressure, pressure::pascals};

/// A rise to the end of the stroke.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Rising {
    /// The raise valve is not described.
    NotKnown,
    /// Neither the load nor the empty platform gets to the top.
    Stalls,
    /// One does.
    Arrives(Rise),
}

/// The worse of the loaded and the empty platform, figure by figure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Rise {
    /// Shortest time to the top.
    pub(super) time: Time,
    /// Highest speed.
    pub(super) fastest: Velocity,
    /// Hardest blow at the upper stop.
    pub(super) blow: Energy,
    /// Whether the trapped air alone drives it somewhere on the way.
    pub(super) leaps: bool,
}

/// How the platform, loaded or empty, goes up to the end of its stroke: on the working regulator, or on one that
/// is stuck open and holds `stuck` without any droop.
pub(super) fn rising(case: &Case<'_>, stuck: Option<GaugePressure>) -> Result<Rising> {
    let mut rig = case.rig.clone();
    if let Some(pressure) = stuck {
        rig.regulator.set = pressure;
        rig.regulator.droop = pascals(0.0);
        rig.regulator.rated_flow = None;
    }
    let mut lift = case.answers.lift;
    lift.stroke_used = case.travel.end();
    if rig.line.raise.is_none() {
        return Ok(Rising::NotKnown);
    }
    let empty = Load { mass: Mass::default(), ..rig.load };
    let end = lift.stroke_used;
    let mut raises = vec![(unhindered_raise(&rig, case.travel, end, rig.load)?, rig.load)];
    if empty.moving.value > 0.0 {
        raises.push((unhindered_raise(&rig, &rig.travel_of(&empty)?, end, empty)?, empty));
    }
    let mut arrivals = Vec::new();
    // Air on the rod side would slow the way up, but need not be there.
    for (raise, load) in raises {
        if let Some(RaiseAnswer::Arrives { total, fastest, leaps, .. }) = raise {
            // Pistons that stick at first leap as far as the air pushes.
            let most = speed_by_push(&rig, load)?;
            let fastest = if rig.breakaway.is_some() { most } else { fastest.min(most) };
            let blow = end_energy(moving_mass(load), fastest);
            let by_speed = if fastest.value > 0.0 { lift.height / fastest } else { total };
            arrivals.push(Rise { time: total.max(by_speed), fastest, blow, leaps: leaps.is_some() });
        }
    }
    let worse = |a: Rise, b: Rise| Rise {
        time: a.time.min(b.time),
        fastest: a.fastest.max(b.fastest),
        blow: a.blow.max(b.blow),
        leaps: a.leaps || b.leaps,
    };
    Ok(arrivals.into_iter().reduce(worse).map_or(Rising::Stalls, Rising::Arrives))
}

/// Speed that the push of the set point gives a load to the end of the stroke, without friction: no air moves it
/// faster, however much of it comes.
pub(in crate::answers) fn speed_by_push(rig: &Rig, load: Load) -> Result<Velocity> {
    let energy = work_by_push(rig, load)?;
    let mass = moving_mass(load);
    Ok(if mass.value > 0.0 {
        (2.0 * energy / mass).sqrt()
    } else {
        Velocity::new::<meter_per_second>(f64::INFINITY)
    })
}

/// What is left of the work of that push when the load has its height.
fn work_by_push(rig: &Rig, load: Load) -> Result<Energy> {
    let travel = rig.travel_of(&load)?;
    Ok(leap(&travel, rig.cylinders.thrust(rig.regulator.set), Length::default()).max(Energy::default()))
}

impl Rising {
    /// What follows, in numbers.
    pub(super) fn figures(self) -> Vec<Figure> {
        let Self::Arrives(rise) = self else { return Vec::new() };
        vec![
            figure("speed up at most, loaded or empty", rise.fastest.value, Dimension::Speed),
            figure("time to the top, at least", rise.time.value, Dimension::Time),
            figure("blow at the upper stop, at most", rise.blow.value, Dimension::Energy),
        ]
    }

    /// Tightens a verdict by the way up: a blow that the stops do not take fails; a platform that goes up faster
    /// than a load may come down by itself is a caution; a raise valve that is not described leaves it not judged.
    pub(super) fn judge_leap(self, case: &Case<'_>, check: &mut Check) {
        let limits = &case.rig.limits;
        match self {
            _ if check.verdict == Verdict::Fail => {}
            Self::NotKnown if check.verdict == Verdict::Pass => {
                check.verdict = Verdict::NotJudged;
                check.advice = sentence![
                    "how fast it then goes up is not known: find the C and b, the Cv or the Kv of the raise valve: `line.raise`"
                ];
            }
            Self::NotKnown | Self::Stalls => {}
            Self::Arrives(rise) => {
                if let Some(blow) = rise.too_hard(limits, check) {
                    *check = blow;
                } else if matches!(check.verdict, Verdict::Pass | Verdict::NotJudged)
                    && (rise.leaps || rise.fastest.value > limits.fall_speed.value * (1.0 + 1e-9))
                {
                    let slams = sentence![
                        "the platform then goes up at up to ",
                        (rise.fastest.value, Dimension::Speed),
                        " and slams: throttle the raise valve or its line, and keep hands off the way up"
                    ];
                    // What is not known stands beside what is.
                    check.advice = if check.verdict == Verdict::NotJudged {
                        let mut both = slams;
                        both.0.push("; ".into());
                        both.0.append(&mut check.advice.0);
                        both
                    } else {
                        slams
                    };
                    check.verdict = Verdict::Caution;
                }
            }
        }
    }
}

impl Rise {
    /// The check that a blow beyond what the stops take comes to, if what they take is known.
    pub(super) fn too_hard(self, limits: &Limits, check: &Check) -> Option<Check> {
        let limit = limits.stop_energy?;
        let advice = sentence![
            "the stops take less than that blow: throttle the raise valve or its line, or fit stops that take ",
            crate::answers::Piece::AtLeast(self.blow.value, Dimension::Energy)
        ];
        let blow = at_most(check.id.clone(), self.blow.value, limit.value, Dimension::Energy, advice);
        (blow.verdict == Verdict::Fail).then_some(blow)
    }
}
