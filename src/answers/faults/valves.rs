//! Raise valve, lower valve, and the loss of their power.

use uom::si::f64::Velocity;

use super::rise::{Rising, rising};
use super::{Case, Fall, Fault, on_shut_in_air, plain};
use crate::Result;
use crate::answers::check::sentence;
use crate::answers::checks::at_most;
use crate::answers::times::{driven_fall, falling_through, heaviest, return_push, way_down};
use crate::answers::{LowerAnswer, Verdict};
use crate::rig::{Lock, Unpowered};
use crate::units::Dimension;

pub(super) fn faults(case: &Case<'_>, faults: &mut Vec<Fault>) -> Result<()> {
    let speed = through_lower_valve(case)?;
    faults.push(raise_stuck_open(case)?);
    faults.push(raise_stuck_shut(case));
    faults.push(lower_stuck_open(case, speed));
    faults.push(lower_stuck_shut(case));
    faults.push(power_lost(case, speed)?);
    Ok(())
}

/// Speed of the load with the lower valve open, if its data are known: that of an ordinary way down, as the
/// table of states shows it, but no more than a free fall with the push of the return air. A load that friction may
/// hold counts as one that it does not.
fn through_lower_valve(case: &Case<'_>) -> Result<Option<Velocity>> {
    let Some(valve) = case.rig.line.lower else { return Ok(None) };
    let way_out = [way_down(case.rig)?.as_slice(), &[valve]].concat();
    let heavy = heaviest(case.rig);
    let steady = falling_through(case.rig, &case.rig.travel_of(&heavy)?, &case.answers.lift, way_out)?;
    Ok(Some(match case.answers.times.worst_lower() {
        Some(LowerAnswer::Arrives { fastest, .. }) => {
            fastest.min(driven_fall(&case.answers.lift, case.rig.load, return_push(case.rig))?)
        }
        _ => steady,
    }))
}

fn raise_stuck_open(case: &Case<'_>) -> Result<Fault> {
    const ID: &str = "raise valve stuck open";
    let happens = sentence!["the platform rises by itself to the end of the stroke and cannot be lowered"];
    let by_hand =
        sentence!["somebody must shut the supply off by hand, then lower: keep that valve within reach"];
    let fit =
        sentence!["fit a hand valve before the raise valve that shuts off and vents (`protection.shut-off`)"];
    let shut_off = case.rig.protection.shut_off;
    let advice = if shut_off { by_hand } else { fit };
    let rising = rising(case, None)?;
    let fault = match rising {
        Rising::NotKnown => plain(
            ID,
            Verdict::NotJudged,
            Dimension::Speed,
            happens,
            sentence!["find the C and b, the Cv or the Kv of the raise valve: `line.raise`"],
        ),
        // As far as it goes, it goes by itself.
        Rising::Stalls => plain(
            ID,
            Verdict::Caution,
            Dimension::Speed,
            sentence!["the platform rises by itself as far as the set point takes it, and cannot be lowered"],
            advice,
        ),
        Rising::Arrives(rise) => {
            let limit = case.rig.limits.fall_speed.value;
            let mut check = at_most(ID, rise.fastest.value, limit, Dimension::Speed, advice);
            if let Some(blow) = rise.too_hard(&case.rig.limits, &check) {
                check = blow;
            }
            // Slow or fast, a person has to stop it; what is too hard for the stops is so with a hand valve too.
            if check.verdict == Verdict::Pass || (shut_off && check.dimension == Dimension::Speed) {
                check.verdict = Verdict::Caution;
            }
            if shut_off && check.verdict == Verdict::Caution {
                check.margin = None;
            }
            Fault { check, happens, figures: rising.figures() }
        }
    };
    Ok(fault)
}

fn raise_stuck_shut(case: &Case<'_>) -> Fault {
    on_shut_in_air(
        case,
        "raise valve stuck shut",
        sentence!["the load does not rise; a raised load stays on the air shut in and can be lowered"],
        sentence!["lower the load, shut off and vent before the valve is opened"],
    )
}

fn lower_stuck_open(case: &Case<'_>, speed: Option<Velocity>) -> Fault {
    const ID: &str = "lower valve stuck open";
    if case.rig.protection.lock != Lock::None {
        return plain(
            ID,
            Verdict::Pass,
            Dimension::Speed,
            sentence!["the line empties; the lock keeps the air of the cylinders until its own signal comes"],
            sentence!["see that lock and lower valve are worked by signals of their own"],
        );
    }
    Fall {
        id: ID,
        happens: sentence!["a raised load comes down through the lower valve and cannot be held"],
        speed,
        unknown: sentence!["find the C and b, the Cv, the Kv or the bore of the lower valve: `line.lower`"],
        advice: if drops_at_first(case) {
            sentence![
                "the return air makes the load drop before the air under it bears both: feed the return from a regulator of its own, set lower, or throttle it; a lock (`protection.lock`) holds the load while nothing lets it down"
            ]
        } else {
            sentence![
                "throttle the way out at the cylinders (`protection.port-throttle`), or fit a lock there (`protection.lock`)"
            ]
        },
        never: false,
    }
    .judged(case)
}

/// Whether a way down would keep to the limit but for the drop as the return air comes on.
fn drops_at_first(case: &Case<'_>) -> bool {
    let limit = case.rig.limits.fall_speed;
    matches!(case.answers.times.worst_lower(),
        Some(LowerAnswer::Arrives { fastest, steady, .. }) if steady <= limit && limit < fastest)
}

fn lower_stuck_shut(case: &Case<'_>) -> Fault {
    // With a hand valve or without one it takes a person.
    let advice = if case.rig.protection.dump.empties_cylinders() {
        sentence!["somebody must let the load down by the hand valve at the cylinders, a little at a time"]
    } else {
        sentence![
            "fit a hand valve with a gauge that lets the cylinders down (`protection.dump`); never loosen a fitting under load"
        ]
    };
    let mut fault = plain(
        "lower valve stuck shut",
        Verdict::Caution,
        Dimension::Pressure,
        sentence!["a raised load stays up and nothing lets it down"],
        advice,
    );
    fault.figures.push(super::held(case));
    fault
}

fn power_lost(case: &Case<'_>, speed: Option<Velocity>) -> Result<Fault> {
    const ID: &str = "electric power lost";
    let protection = &case.rig.protection;
    Ok(match (protection.raise_unpowered, protection.lower_unpowered) {
        // A lower valve that opens is bad news, whatever the raise valve does; so is a raise valve that opens,
        // unless the lower valve opens as well.
        (_, Some(Unpowered::Open)) => dumped(case, speed)?,
        (Some(Unpowered::Open), _) => raised(case)?,
        (None, _) | (_, None) => plain(
            ID,
            Verdict::NotJudged,
            Dimension::Speed,
            sentence!["it depends on what springs do to the valves"],
            sentence![
                "pull the plug with an empty platform, see what each valve does, and enter `line.raise-unpowered` and `line.lower-unpowered`"
            ],
        ),
        (Some(Unpowered::Shut), Some(Unpowered::Shut)) => on_shut_in_air(
            case,
            ID,
            sentence!["both valves shut: the load stays where it is, on the air shut in"],
            sentence!["it sinks as air leaks or cools: support it before anybody comes near"],
        ),
        _ => motion_goes_on(case, speed)?,
    })
}

/// A valve stays as it is, and with it the motion under way: what fails where that valve sticks open fails here.
fn motion_goes_on(case: &Case<'_>, speed: Option<Velocity>) -> Result<Fault> {
    const ID: &str = "electric power lost";
    let stays = Some(Unpowered::Stays);
    let mut stuck = Vec::new();
    if case.rig.protection.lower_unpowered == stays {
        stuck.push(lower_stuck_open(case, speed));
    }
    if case.rig.protection.raise_unpowered == stays {
        stuck.push(raise_stuck_open(case)?);
    }
    let happens = sentence!["a valve stays as it is, so a motion under way goes on to its end"];
    stuck.retain(|fault: &Fault| fault.check.verdict == Verdict::Fail);
    let room = |fault: &Fault| fault.check.margin.unwrap_or(f64::NEG_INFINITY);
    if let Some(mut worst) = stuck.into_iter().min_by(|one, two| room(one).total_cmp(&room(two))) {
        worst.check.id = ID.into();
        worst.check.advice = sentence![
            "take valves that springs shut (`line.raise-unpowered = \"shut\"`, `line.lower-unpowered = \"shut\"`): the motion goes on faster or hits its stop harder than it may"
        ];
        worst.happens = happens;
        return Ok(worst);
    }
    Ok(plain(
        ID,
        Verdict::Caution,
        Dimension::Speed,
        happens,
        sentence!["take valves that springs shut, or keep a hand valve within reach that stops the motion"],
    ))
}

/// A spring opens the raise valve.
fn raised(case: &Case<'_>) -> Result<Fault> {
    let happens = sentence!["a spring opens the raise valve: the load rises by itself"];
    let stuck = raise_stuck_open(case)?;
    if stuck.check.verdict == Verdict::Fail {
        let mut fault = Fault { happens, ..stuck };
        fault.check.id = "electric power lost".into();
        fault.check.advice =
            sentence!["take a raise valve that a spring shuts (`line.raise-unpowered = \"shut\"`)"];
        return Ok(fault);
    }
    let (verdict, advice) = if case.rig.protection.shut_off {
        (
            Verdict::Caution,
            sentence![
                "shut the supply off by hand whenever the rig is left; better take a raise valve that a spring shuts"
            ],
        )
    } else {
        (
            Verdict::Fail,
            sentence!["take a raise valve that a spring shuts (`line.raise-unpowered = \"shut\"`)"],
        )
    };
    Ok(plain("electric power lost", verdict, Dimension::Speed, happens, advice))
}

/// A spring opens the lower valve.
fn dumped(case: &Case<'_>, speed: Option<Velocity>) -> Result<Fault> {
    let mut fault = dumped_alone(case, speed);
    // Past an open lower valve it rises no faster than with that valve shut, which is what can be said.
    let may_rise = matches!(case.rig.protection.raise_unpowered, Some(Unpowered::Open | Unpowered::Stays));
    if may_rise && fault.check.verdict != Verdict::Fail {
        let mut stuck = raise_stuck_open(case)?;
        if stuck.check.verdict == Verdict::Fail {
            stuck.check.id = fault.check.id;
            stuck.check.advice =
                sentence!["take a raise valve that a spring shuts (`line.raise-unpowered = \"shut\"`)"];
            stuck.happens = sentence![
                "a spring opens the lower valve, and the raise valve may stand open: the supply blows through, and the platform may rise"
            ];
            return Ok(stuck);
        }
    }
    // What passes so far does so with the raise valve shut.
    if fault.check.verdict == Verdict::Pass {
        let (verdict, advice) = match case.rig.protection.raise_unpowered {
            Some(Unpowered::Shut) => return Ok(fault),
            None => (
                Verdict::NotJudged,
                sentence!["see what the raise valve does without power, and enter `line.raise-unpowered`"],
            ),
            Some(Unpowered::Open | Unpowered::Stays) => (
                Verdict::Caution,
                sentence![
                    "the raise valve may stand open and feed the line past the open lower valve, so the platform may rise: take one that a spring shuts"
                ],
            ),
        };
        fault.check.verdict = verdict;
        fault.check.margin = None;
        fault.check.advice = advice;
        if case.rig.protection.raise_unpowered == Some(Unpowered::Open) {
            fault.happens =
                sentence!["springs open both valves: the supply blows through, and the platform may rise"];
        }
    }
    Ok(fault)
}

/// The same with the raise valve shut.
fn dumped_alone(case: &Case<'_>, speed: Option<Velocity>) -> Fault {
    const ID: &str = "electric power lost";
    let protection = &case.rig.protection;
    if protection.lock != Lock::None {
        return plain(
            ID,
            Verdict::Pass,
            Dimension::Speed,
            sentence!["a spring opens the lower valve and the line empties; the lock keeps the load up"],
            sentence!["see that the lock's own signal goes away with the power"],
        );
    }
    Fall {
        id: ID,
        happens: sentence!["a spring opens the lower valve: a held load comes down by itself"],
        speed,
        unknown: sentence![],
        advice: sentence![
            "take a lower valve that a spring shuts (`line.lower-unpowered = \"shut\"`), or a lock at the cylinders (`protection.lock`)"
        ],
        never: true,
    }
    .judged(case)
}
