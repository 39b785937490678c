//! How fast up, how fast down, and how hard the stops are hit.

use super::{at_least, at_most};
use crate::answers::check::sentence;
use crate::answers::{Answers, Check, HeldBackBy, LowerAnswer, Piece, RaiseAnswer, Sentence, Verdict};
use crate::rig::Rig;
use crate::sizing::cylinder_force::Action;
use crate::units::Dimension;

pub(super) fn checks(rig: &Rig, answers: &Answers, checks: &mut Vec<Check>) {
    checks.push(raise_time(rig, answers));
    checks.push(first_slow_lift(rig, answers));
    checks.push(lower_speed(rig, answers));
    checks.extend(lower_wide(rig, answers));
    checks.push(stop_energy(rig, answers));
}

/// Something that holds a raise back could not be followed: its time is one at the least, which may break a limit but does
/// not keep to it.
fn is_at_the_least(raise: Option<RaiseAnswer>) -> bool {
    matches!(raise, Some(RaiseAnswer::Arrives { left_out: true, .. }))
}

/// What is not followed, in words.
fn left_out(rig: &Rig) -> &'static str {
    if rig.cylinders.action == Action::Double && rig.line.lower.or(rig.line.rod_vent).is_none() {
        "the air leaving the rod side holds the load back besides: describe what it leaves through, `line.rod-vent`, or state `cylinders.back-pressure`"
    } else {
        "what holds it back besides could not be followed to its end: time the built rig"
    }
}

fn raise_time(rig: &Rig, answers: &Answers) -> Check {
    const ID: &str = "raise time";
    let unknown = |advice| Check::not_judged(ID, Dimension::Time, advice);
    match answers.times.worst_raise() {
        None => unknown(sentence![
            "find the C and b, the Cv, the Kv or the effective area of the raise valve and enter `line.raise`; or time the built rig, empty and loaded"
        ]),
        Some(RaiseAnswer::Stalls(travel)) => Check {
            id: ID.into(),
            verdict: Verdict::Fail,
            value: None,
            limit: rig.limits.raise_time.map(|limit| limit.value),
            margin: None,
            dimension: Dimension::Time,
            advice: sentence![
                "the raise stops at a travel of ",
                (travel.value, Dimension::Length),
                ": the regulator holds no more than the load needs there; raise `regulator.set` or the bore"
            ],
        },
        Some(RaiseAnswer::Arrives { total, held_back_by, rod_side, .. }) => {
            let Some(limit) = rig.limits.raise_time else {
                return unknown(sentence![
                    "it takes ",
                    (total.value, Dimension::Time),
                    "; say how long it may take: `limits.raise-time`"
                ]);
            };
            let mut check = at_most(ID, total.value, limit.value, Dimension::Time, Sentence::default());
            if check.verdict != Verdict::Fail && is_at_the_least(answers.times.worst_raise()) {
                return unknown(sentence![
                    "it takes ",
                    (total.value, Dimension::Time),
                    " at the least: ",
                    left_out(rig)
                ]);
            }
            let by = held_back_by.words(rig).into_owned();
            check.advice = match (check.verdict, held_back_by) {
                (Verdict::Pass, HeldBackBy::RodSide) => sentence!["held back by ", by],
                (Verdict::Pass, _) => sentence!["held back by ", by, " where it is slowest"],
                (_, HeldBackBy::RodSide) => {
                    sentence!["held back by ", by, ": a wider `line.rod-vent` helps"]
                }
                _ => sentence!["held back by ", by, ": a wider one helps, or a higher set point"],
            };
            if check.verdict == Verdict::Pass
                && let Some(holds) = rod_side
                && holds.after_return.is_none_or(|time| time > limit)
            {
                check.verdict = Verdict::Caution;
                check.advice = match holds.after_return {
                    Some(time) => sentence![
                        "right after a lowering, with the return air still on the rod side, it takes up to ",
                        (time.value, Dimension::Time),
                        ": leave that air time to go, or fit a wider `line.rod-vent`"
                    ],
                    None => sentence![
                        "right after a lowering, with the return air still on the rod side, it does not come up: leave that air time to go"
                    ],
                };
            }
            check
        }
    }
}

/// Lifts in time from a full tank against the strokes wanted.
fn first_slow_lift(rig: &Rig, answers: &Answers) -> Check {
    const ID: &str = "first slow lift";
    let unknown = |advice| Check::not_judged(ID, Dimension::Number, advice);
    if answers.times.raise.is_none() {
        return unknown(sentence![
            "find the C and b, the Cv, the Kv or the effective area of the raise valve and enter `line.raise`"
        ]);
    }
    let Some(quick) = answers.times.quick_lifts else {
        return unknown(sentence![
            "say from what time on a raise is slow: `limits.raise-time`, or `cycle.raise-within`"
        ]);
    };
    let limit = (quick.limit.value, Dimension::Time);
    let said = match quick.slow {
        _ if !answers.lift.moves() => {
            sentence!["the cylinders do not move the load at this set point, so no lift counts"]
        }
        None => sentence!["every lift until the stall arrives within ", limit],
        Some(slow) => {
            let mut said = sentence![
                (f64::from(quick.count), Dimension::Number),
                " in time; lift ",
                (f64::from(quick.count) + 1.0, Dimension::Number),
                ", with ",
                (slow.supply.pascals(), Dimension::Pressure),
                " left, "
            ];
            said.0.extend(match slow.time {
                Some(time) => sentence!["takes ", (time.value, Dimension::Time), "; the limit is ", limit].0,
                None => sentence!["may stop on its way; the limit is ", limit].0,
            });
            said
        }
    };
    let Some(wanted) = rig.cycle.strokes_wanted else {
        let mut advice = said;
        advice
            .0
            .extend(sentence!["; say how many lifts in time one fill must give: `cycle.strokes-wanted`"].0);
        return unknown(advice);
    };
    let check = at_least(ID, f64::from(quick.count), f64::from(wanted), Dimension::Number, said.clone());
    if check.verdict != Verdict::Fail && is_at_the_least(answers.times.worst_raise()) {
        let mut advice = said;
        advice.0.extend(sentence![", at best: ", left_out(rig)].0);
        return unknown(advice);
    }
    check
}

fn lower_speed(rig: &Rig, answers: &Answers) -> Check {
    const ID: &str = "lowering speed";
    let unknown = |advice| Check::not_judged(ID, Dimension::Speed, advice);
    let empty = answers.times.faster_empty();
    let who = if empty.is_some() { "the empty platform" } else { "the load" };
    match empty.or_else(|| answers.times.worst_lower()) {
        None => unknown(sentence![
            "find the C and b, the Cv, the Kv, the effective area or the bore of the lower valve and enter `line.lower`"
        ]),
        Some(LowerAnswer::Sticks(travel)) => unknown(sentence![
            "friction may hold the load at a travel of ",
            (travel.value, Dimension::Length),
            ": see that it comes down on the built rig"
        ]),
        Some(LowerAnswer::Arrives { fastest, steady, dropping, wanted, .. }) => {
            let Some(limit) = rig.limits.lower_speed else {
                return unknown(sentence![
                    who,
                    " comes down at up to ",
                    (fastest.value, Dimension::Speed),
                    "; say how fast it may: `limits.lower-speed`"
                ]);
            };
            let mut check = at_most(ID, fastest.value, limit.value, Dimension::Speed, Sentence::default());
            let drops = dropping > limit || fastest.value > steady.value * (1.0 + 1e-9);
            check.advice = match (check.verdict, wanted) {
                (Verdict::Pass, _) => sentence!["highest speed of ", who, " on the way down"],
                // No lower valve changes this; whether it is wide besides is a second step.
                _ if drops => sentence![
                    "the return air makes ",
                    who,
                    " drop before the air under it bears both: feed the return from a regulator of its own, set lower, or throttle it (`line.rod-fill`)"
                ],
                (Verdict::Caution, _) => sentence![
                    "close to the limit: watch it on the built rig, loaded, from a low height first"
                ],
                (_, Some(wanted)) => sentence![
                    "a lower valve of C ",
                    Piece::AtMost(wanted.conductance.si(), Dimension::Conductance),
                    ", as a sharp-edged hole of ",
                    Piece::AtMost(wanted.hole.value, Dimension::Length),
                    " has it, keeps to the limit: throttle it at the cylinder's port"
                ],
                (_, None) => sentence!["throttle the way down at the cylinder's port"],
            };
            check
        }
    }
}

/// Where the lower valve can be opened wider than it is: against what a fault may do.
fn lower_wide(rig: &Rig, answers: &Answers) -> Option<Check> {
    let speed = answers.times.lower_wide?;
    let limit = rig.limits.fall_speed;
    let mut check =
        at_most("lower valve opened wide", speed.value, limit.value, Dimension::Speed, Sentence::default());
    check.advice = match check.verdict {
        Verdict::Fail => {
            sentence![
                "a turn of its screw lets the load fall: put a fixed throttle into the ports (`protection.port-throttle`)"
            ]
        }
        _ => sentence!["opened as far as it goes, the valve lets the load down no faster than a fault may"],
    };
    Some(check)
}

/// The harder of the two blows against what the stops take.
fn stop_energy(rig: &Rig, answers: &Answers) -> Check {
    const ID: &str = "blow at the stops";
    let times = &answers.times;
    let up = [times.worst_raise(), times.raise_empty].into_iter().filter_map(|raise| match raise {
        Some(RaiseAnswer::Arrives { end_energy, .. }) => Some(end_energy),
        _ => None,
    });
    let down = [times.worst_lower(), times.lower_empty].into_iter().filter_map(|lower| match lower {
        Some(LowerAnswer::Arrives { end_energy, .. }) => Some(end_energy),
        _ => None,
    });
    let unknown = |advice| Check::not_judged(ID, Dimension::Energy, advice);
    let Some(hardest) = up.chain(down).reduce(uom::si::f64::Energy::max) else {
        return unknown(sentence![
            "needs the data of the raise and lower valves: `line.raise`, `line.lower`"
        ]);
    };
    let Some(limit) = rig.limits.stop_energy else {
        return unknown(sentence![
            "find what the end stops take at each blow and enter `limits.stop-energy`: they may see ",
            (hardest.value, Dimension::Energy)
        ]);
    };
    let mut check = at_most(ID, hardest.value, limit.value, Dimension::Energy, Sentence::default());
    check.advice = match check.verdict {
        Verdict::Fail => sentence!["throttle the end of the way, or fit stops or dampers that take more"],
        _ => sentence!["moving mass at its highest speed, up or down"],
    };
    check
}

#[cfg(test)]
mod tests {
    use super::*;
    use uom::si::f64::Time;
    use uom::si::time::second;

    use crate::answers::evaluate;
    use crate::rig::{Document, Overrides, Source};

    fn double_acting() -> Rig {
        let text = include_str!("../../../examples/crate-lift.toml");
        let mut rig = Document::read(Some(&Source::new("rig.toml", text)), &Overrides::none()).rig().unwrap();
        rig.cylinders.action = Action::Double;
        rig.cylinders.return_spring = uom::si::f64::Force::default();
        rig.cycle.strokes_wanted = Some(1);
        rig.limits.raise_time = Some(Time::new::<second>(1e3));
        rig
    }

    fn verdicts(rig: &Rig) -> [Verdict; 2] {
        let answers = evaluate(rig).unwrap();
        ["raise time", "first slow lift"].map(|id| answers.check(id).unwrap().verdict)
    }

    /// Where nothing says how the air leaves the rod side, a time that leaves it out is no pass.
    #[test]
    fn an_unknown_rod_side_lets_no_raise_pass() {
        let mut rig = double_acting();
        let vent = rig.line.lower.take();
        assert_eq!(verdicts(&rig), [Verdict::NotJudged; 2]);
        let Some(RaiseAnswer::Arrives { total, rod_side: None, .. }) = evaluate(&rig).unwrap().times.raise
        else {
            panic!("it arrives")
        };
        let mut slow = rig.clone();
        slow.limits.raise_time = Some(total / 2.0);
        assert_eq!(verdicts(&slow), [Verdict::Fail; 2], "too slow even without it");
        let mut stated = rig.clone();
        stated.given.insert("cylinders.back-pressure");
        assert_eq!(verdicts(&stated), [Verdict::Pass; 2], "stated");
        rig.line.rod_vent = vent;
        assert_eq!(verdicts(&rig), [Verdict::Pass; 2], "described");
    }

    /// analytic: a rod of half the area of its piston doubles the pressure around it.
    #[test]
    fn a_vent_that_is_shut_multiplies_the_pressure() {
        let mut rig = double_acting();
        rig.cylinders.rod = rig.cylinders.bore * 0.5_f64.sqrt();
        rig.line.rating = None;
        let judged = |rig: &Rig| evaluate(rig).unwrap().check("rod side, vent shut").cloned();
        let bound = 2.0 * rig.regulator.set.pascals() * (1.0 + rig.regulator.tolerance.value);
        let rated = |pascals: f64| crate::units::GaugePressure::new(crate::units::pressure::pascals(pascals));
        rig.cylinders.rating = rated(1.1 * bound);
        let check = judged(&rig).unwrap();
        approx::assert_relative_eq!(check.value.unwrap(), bound, max_relative = 1e-12);
        assert_eq!(check.verdict, Verdict::Pass);
        rig.cylinders.rating = rated(0.9 * bound);
        rig.line.rod_vent = rig.line.raise;
        assert_eq!(judged(&rig).unwrap().verdict, Verdict::Caution, "a vent that is open");
        // A light load on a vent that is all but shut.
        rig.load.mass *= 0.01;
        rig.load.moving *= 0.01;
        let conductance = crate::air::flow::Conductance::from_si(1e-10).unwrap();
        let shut = crate::air::flow::Restriction::new(conductance, uom::si::f64::Ratio::from(0.3));
        rig.line.rod_vent = Some(shut.unwrap());
        rig.cylinders.friction = uom::si::f64::Ratio::default();
        let check = judged(&rig).unwrap();
        assert_eq!(check.verdict, Verdict::Fail, "{check:?} {:?}", evaluate(&rig).unwrap().times.raise);
        assert!(format!("{:?}", check.advice).contains("wider vent"));
        rig.cylinders.action = Action::Single;
        assert_eq!(judged(&rig), None);
    }

    /// analytic: without friction the air under the pistons bears `F/A + p_set A_r/A`.
    #[test]
    fn load_and_return_air_press_together() {
        let mut rig = double_acting();
        rig.cylinders.friction = uom::si::f64::Ratio::default();
        rig.linkage.efficiency = uom::si::f64::Ratio::from(1.0);
        let (cap, ring) = (rig.cylinders.cap_area().value, rig.cylinders.ring_area().value);
        let weight = 9.806_65 * (rig.load.share.value * rig.load.mass.value + rig.load.moving.value);
        let set = rig.regulator.set.pascals() * (1.0 + rig.regulator.tolerance.value);
        let by_hand = (weight + set * ring) / cap;
        rig.line.rating = None;
        for (share, verdict) in [(0.99, Verdict::Fail), (1.03, Verdict::Caution), (1.2, Verdict::Pass)] {
            let rating = crate::units::pressure::pascals(share * by_hand);
            rig.cylinders.rating = crate::units::GaugePressure::new(rating);
            let check = evaluate(&rig).unwrap().check("cylinders on the way down").unwrap().clone();
            approx::assert_relative_eq!(check.value.unwrap(), by_hand, max_relative = 1e-9);
            assert_eq!(check.verdict, verdict);
        }
    }

    /// A limit that the raise keeps with the rod side open to the air, and breaks with the air there.
    #[test]
    fn the_air_on_the_rod_side_is_judged() {
        let mut rig = double_acting();
        let Some(RaiseAnswer::Arrives { total, rod_side: Some(holds), .. }) =
            evaluate(&rig).unwrap().times.raise
        else {
            panic!("it is followed")
        };
        assert!(holds.adds > 0.1 * total);
        rig.limits.raise_time = Some(total - 0.5 * holds.adds);
        assert_eq!(verdicts(&rig), [Verdict::Fail; 2]);
        // In time from a vented rod side, too late with the return air still there.
        let after_return = holds.after_return.unwrap();
        assert!(after_return > 1.2 * total);
        rig.limits.raise_time = Some(1.1 * total);
        assert_eq!(verdicts(&rig), [Verdict::Caution, Verdict::Pass]);
        rig.limits.raise_time = Some(1.1 * after_return);
        assert_eq!(verdicts(&rig), [Verdict::Pass; 2]);
    }

    #[test]
    fn a_single_acting_load_close_to_its_limit_is_not_said_to_drop() {
        let text = include_str!("../../../examples/crate-lift.toml");
        let speed_of = |rig: &Rig| match evaluate(rig).unwrap().times.worst_lower() {
            Some(LowerAnswer::Arrives { fastest, .. }) => fastest,
            other => panic!("{other:?}"),
        };
        let mut rig = Document::read(Some(&Source::new("rig.toml", text)), &Overrides::none()).rig().unwrap();
        rig.limits.lower_speed = Some(speed_of(&rig) / 0.98);
        let check = evaluate(&rig).unwrap().check("lowering speed").unwrap().clone();
        assert_eq!(check.verdict, Verdict::Caution);
        let said = format!("{:?}", check.advice);
        assert!(said.contains("close to the limit") && !said.contains("return air"), "{said}");
    }
}
