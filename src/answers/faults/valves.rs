//! Raise valve, lower valve, and the loss of their power.

use uom::si::f64::Velocity;

use super::rise::{Rising, rising};
use super::{Case, Fall, Fault, locks_itself, on_shut_in_air, plain, raised_load, severity};
use crate::Result;
use crate::air::flow::series::Line;
use crate::answers::check::sentence;
use crate::answers::checks::{at_most, bar};
use crate::answers::times::{driven_fall, falling_through, heaviest, return_push, way_down};
use crate::answers::{LowerAnswer, Sentence, Verdict};
use crate::rig::{Lock, Rig, Unpowered};
use crate::root::in_unit_interval;
use crate::sizing::tank_capacity::Way;
use crate::units::{AbsolutePressure, Dimension, GaugePressure, pressure::pascals};

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

/// Time within which nobody is taken to see what happens, reach a hand valve and shut it. Common practice, no source.
const REACTION_S: f64 = 3.0;

fn raise_stuck_open(case: &Case<'_>) -> Result<Fault> {
    const ID: &str = "raise valve stuck open";
    let happens = sentence!["the platform rises by itself to the end of the stroke and cannot be lowered"];
    // Vented before the stuck valve, a held load comes down backwards through it.
    let by_hand = sentence![
        "somebody must shut the supply off by hand and not vent it, then lower slowly by the lower valve: keep that hand valve within reach"
    ];
    let fit = sentence![
        "fit a hand valve before the raise valve that shuts off the supply and does not vent it (`protection.shut-off`)"
    ];
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
            } else if check.verdict == Verdict::Fail {
                let mut lead = sentence![
                    "throttle the raise valve or its line (`line.raise`) until it goes up no faster than the limit: it is up in ",
                    (rise.time.value, Dimension::Time),
                    "; then "
                ];
                lead.0.append(&mut check.advice.0);
                check.advice = lead;
                // A hand valve cures only what takes longer than to reach it.
                if shut_off && rise.time.value >= REACTION_S {
                    check.verdict = Verdict::Caution;
                }
            } else if check.verdict == Verdict::Pass {
                // Slow, a person has to stop it all the same.
                check.verdict = Verdict::Caution;
            }
            if shut_off && check.verdict == Verdict::Caution {
                check.margin = None;
            }
            Fault::new(check, happens, rising.figures())
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
    if case.rig.protection.lock != Lock::None {
        return on_shut_in_air(
            case,
            LOWER_STUCK_OPEN,
            sentence!["the line empties; the lock keeps the air of the cylinders until its own signal comes"],
            sentence![
                "see that lock and lower valve are worked by signals of their own, and hold the load by a latch (`protection.support`): the air behind the lock leaks and cools"
            ],
        );
    }
    let_down(case, speed).judged(case)
}

const LOWER_STUCK_OPEN: &str = "lower valve stuck open";

/// The fall through a lower valve that does not shut, no lock in its way.
fn let_down(case: &Case<'_>, speed: Option<Velocity>) -> Fall {
    Fall {
        id: LOWER_STUCK_OPEN,
        happens: sentence![raised_load(case), " comes down through the lower valve and cannot be held"],
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
}

/// Whether a way down would keep to the limit but for the drop as the return air comes on.
fn drops_at_first(case: &Case<'_>) -> bool {
    let limit = case.rig.limits.fall_speed;
    matches!(case.answers.times.worst_lower(),
        Some(LowerAnswer::Arrives { fastest, steady, .. }) if steady <= limit && limit < fastest)
}

fn lower_stuck_shut(case: &Case<'_>) -> Fault {
    // With a hand valve or without one it takes a person.
    let by_hand = case.rig.protection.dump.empties_cylinders();
    let advice = match (locks_itself(case), by_hand) {
        (true, _) => sentence![
            "emptying the cylinders does not let it down, as the leg stays over centre: prop the load, empty them by a hand valve with a gauge (`protection.dump`), pull the leg back over straight and let the load down on the prop"
        ],
        (false, true) => sentence![
            "somebody must let the load down by the hand valve at the cylinders, a little at a time"
        ],
        (false, false) => sentence![
            "fit a hand valve with a gauge that lets the cylinders down (`protection.dump`); never loosen a fitting under load"
        ],
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

const POWER_LOST: &str = "electric power lost";

fn power_lost(case: &Case<'_>, speed: Option<Velocity>) -> Result<Fault> {
    let protection = &case.rig.protection;
    Ok(match (protection.raise_unpowered, protection.lower_unpowered) {
        (Some(Unpowered::Open), Some(Unpowered::Open)) => both_open(case, speed)?,
        // A valve that opens is bad news, whatever the other does.
        (_, Some(Unpowered::Open)) => dumped(case, speed)?,
        (Some(Unpowered::Open), lower) => {
            let up = raised(case)?;
            let on = if lower == Some(Unpowered::Stays) { Some(motion_goes_on(case, speed)?) } else { None };
            // While it is lowered the lower valve stays open as well.
            match on.filter(|on| severity(on.check.verdict) > severity(up.check.verdict)) {
                Some(on) => on,
                None => up,
            }
        }
        (None, _) | (_, None) => plain(
            POWER_LOST,
            Verdict::NotJudged,
            Dimension::Speed,
            sentence!["not known: it depends on what springs do to the valves"],
            sentence![
                "pull the plug with an empty platform, see what each valve does, and enter `line.raise-unpowered` and `line.lower-unpowered`"
            ],
        ),
        (Some(Unpowered::Shut), Some(Unpowered::Shut)) => on_shut_in_air(
            case,
            POWER_LOST,
            sentence!["both valves shut: the load stays where it is, on the air shut in"],
            sentence![
                "it sinks as air leaks or cools: support it before anybody comes near (`protection.support`)"
            ],
        ),
        _ => motion_goes_on(case, speed)?,
    })
}

/// A valve stays as it is, and with it the motion under way: what fails where that valve sticks open fails here.
fn motion_goes_on(case: &Case<'_>, speed: Option<Velocity>) -> Result<Fault> {
    let stays = Some(Unpowered::Stays);
    let mut stuck = Vec::new();
    if case.rig.protection.lower_unpowered == stays {
        stuck.push(past_the_lock(case, let_down(case, speed)));
    }
    if case.rig.protection.raise_unpowered == stays {
        stuck.push(raise_stuck_open(case)?);
    }
    let happens = sentence!["a valve stays as it is, so a motion under way goes on to its end"];
    let lock_not_known = case.rig.protection.lock != Lock::None
        && case.rig.protection.lock_unpowered.is_none()
        && stuck
            .iter()
            .any(|fault| fault.check.id == LOWER_STUCK_OPEN && fault.check.verdict == Verdict::NotJudged);
    stuck.retain(|fault: &Fault| fault.check.verdict == Verdict::Fail);
    let room = |fault: &Fault| fault.check.margin.unwrap_or(f64::NEG_INFINITY);
    if let Some(mut worst) = stuck.into_iter().min_by(|one, two| room(one).total_cmp(&room(two))) {
        worst.check.id = POWER_LOST.into();
        worst.check.advice = sentence![
            "take valves that springs shut (`line.raise-unpowered = \"shut\"`, `line.lower-unpowered = \"shut\"`): the motion goes on faster or hits its stop harder than it may"
        ];
        worst.happens = happens;
        return Ok(worst);
    }
    let (verdict, advice) = if lock_not_known {
        (Verdict::NotJudged, find_lock())
    } else {
        (
            Verdict::Caution,
            sentence![
                "take valves that springs shut, or keep a hand valve within reach that stops the motion"
            ],
        )
    };
    Ok(plain(POWER_LOST, verdict, Dimension::Speed, happens, advice))
}

fn shut_raise_valve() -> Sentence {
    sentence!["take a raise valve that a spring shuts (`line.raise-unpowered = \"shut\"`)"]
}

/// A spring opens the raise valve. A hand valve cures it only where it cures one that sticks open.
fn raised(case: &Case<'_>) -> Result<Fault> {
    let mut fault = raise_stuck_open(case)?;
    fault.happens = sentence!["a spring opens the raise valve: the load rises by itself"];
    fault.check.id = POWER_LOST.into();
    let failed = fault.check.verdict == Verdict::Fail;
    if failed || !case.rig.protection.shut_off {
        fault.check.advice = shut_raise_valve();
    } else if fault.check.verdict == Verdict::Caution {
        fault.check.advice = sentence![
            "shut the supply off by hand whenever the rig is left; better take a raise valve that a spring shuts (`line.raise-unpowered = \"shut\"`)"
        ];
    }
    if !failed && !case.rig.protection.shut_off {
        fault.check.verdict = Verdict::Fail;
        fault.check.margin = None;
    }
    Ok(fault)
}

/// Springs open both valves: the worse of the two motions, and never better than the raise valve open alone. Which
/// way the load goes is told by the pressure at which both flows are the same.
fn both_open(case: &Case<'_>, speed: Option<Velocity>) -> Result<Fault> {
    let (up, down) = (raised(case)?, dumped_alone(case, speed));
    let balance = balance_of_flows(case.rig)?;
    let needed = case.rig.travel_of(&heaviest(case.rig))?.worst().needed_pressure;
    let rises = balance.is_none_or(|line| line >= needed);
    let happens = match balance {
        Some(line) => sentence![
            "springs open both valves: the supply blows through, and the line stands at up to ",
            bar(line.pascals()),
            " where ",
            bar(needed.pascals()),
            if rises {
                " moves the load: it rises by itself"
            } else {
                " moves the load: it comes down by itself, and an empty platform may rise"
            }
        ],
        None => sentence![
            "springs open both valves: the supply blows through, and the load may rise or come down by itself"
        ],
    };
    let of = |fault: &Fault| severity(fault.check.verdict);
    let mut fault = if of(&up) > of(&down) || (of(&up) == of(&down) && rises) { up } else { down };
    fault.happens = happens;
    fault.check.advice = shut_raise_valve();
    fault
        .check
        .advice
        .0
        .push(", and a lower valve that one shuts (`line.lower-unpowered = \"shut\"`)".into());
    Ok(fault)
}

/// Pressure of a line that the open raise valve feeds and the open lower valve empties, the cylinders at rest: where
/// as much comes as goes. The regulator keeps its set point, without droop; none if a valve is not described.
fn balance_of_flows(rig: &Rig) -> Result<Option<GaugePressure>> {
    let (Some(raise), Some(lower)) = (rig.line.raise, rig.line.lower) else { return Ok(None) };
    let with = |valve, way| {
        let fittings = rig.line.fittings_on(way).map(|fitting| fitting.restriction);
        Line::new(std::iter::once(valve).chain(fittings).collect())
    };
    let (feed, vent) = (with(raise, Way::Up)?, with(lower, Way::Down)?);
    let (site, warmth) = (rig.site.atmosphere, rig.site.temperature);
    let set = rig.regulator.set.to_absolute(site)?;
    let at = |share: f64| site.pascals() + share * (set.pascals() - site.pascals());
    let surplus = |share: f64| -> Result<f64> {
        let line = AbsolutePressure::new(pascals(at(share)))?;
        Ok((vent.flow(line, site, warmth)?.mass_flow - feed.flow(set, line, warmth)?.mass_flow).value)
    };
    // Both ends are known to work out, and so is what lies between.
    surplus(0.0)?;
    let share = in_unit_interval(|share| surplus(share).unwrap_or(f64::NAN), 1e-9);
    Ok(Some(AbsolutePressure::new(pascals(at(share)))?.to_gauge(site)))
}

/// A spring opens the lower valve, and none the raise valve.
fn dumped(case: &Case<'_>, speed: Option<Velocity>) -> Result<Fault> {
    let mut fault = dumped_alone(case, speed);
    // Whatever does not fail so far does so with the raise valve shut.
    if fault.check.verdict == Verdict::Fail || case.rig.protection.raise_unpowered == Some(Unpowered::Shut) {
        return Ok(fault);
    }
    if case.rig.protection.raise_unpowered.is_none() {
        fault.check.verdict = Verdict::NotJudged;
        fault.check.advice =
            sentence!["see what the raise valve does without power, and enter `line.raise-unpowered`"];
    } else {
        // Past an open lower valve it rises no faster than with that valve shut, which is what can be said.
        let mut stuck = raise_stuck_open(case)?;
        if stuck.check.verdict == Verdict::Fail {
            stuck.check.id = fault.check.id;
            stuck.check.advice = shut_raise_valve();
            stuck.happens = sentence![
                "a spring opens the lower valve, and the raise valve may stand open: the supply blows through, and the platform may rise"
            ];
            return Ok(stuck);
        }
        fault.check.verdict = Verdict::Caution;
        fault.check.advice = sentence![
            "the raise valve may stand open and feed the line past the open lower valve, so the platform may rise: take one that a spring shuts (`line.raise-unpowered = \"shut\"`)"
        ];
    }
    fault.check.margin = None;
    Ok(fault)
}

/// The same with the raise valve shut.
fn dumped_alone(case: &Case<'_>, speed: Option<Velocity>) -> Fault {
    let fall = Fall {
        id: POWER_LOST,
        happens: sentence!["a spring opens the lower valve: ", raised_load(case), " comes down by itself"],
        speed,
        unknown: sentence![],
        advice: sentence![
            "take a lower valve that a spring shuts (`line.lower-unpowered = \"shut\"`), or a lock at the cylinders that shuts without power (`protection.lock`, `protection.lock-unpowered`)"
        ],
        never: true,
    };
    past_the_lock(case, fall)
}

/// A load that only a lock keeps from coming down as power is lost: it counts if the file says that it shuts then.
fn past_the_lock(case: &Case<'_>, fall: Fall) -> Fault {
    let protection = &case.rig.protection;
    match (protection.lock, protection.lock_unpowered) {
        (Lock::None, _) | (_, Some(Unpowered::Open | Unpowered::Stays)) => fall.judged(case),
        (_, Some(Unpowered::Shut)) => on_shut_in_air(
            case,
            fall.id,
            sentence![
                "the lower valve is open and the line empties; the lock shuts without power and keeps the air of the cylinders"
            ],
            sentence![
                "the load rests on the air behind the lock, which leaks and cools: hold it by a latch (`protection.support`)"
            ],
        ),
        (_, None) => {
            let mut worst = fall.judged(case);
            if worst.check.verdict == Verdict::Fail {
                worst.check.verdict = Verdict::NotJudged;
                worst.check.margin = None;
                worst.check.advice = find_lock();
                worst.happens.0.push(", unless the lock shuts without power, which is not known".into());
            }
            worst
        }
    }
}

fn find_lock() -> Sentence {
    sentence![
        "pull the plug with an empty platform, see what the lock does, and enter `protection.lock-unpowered`"
    ]
}
