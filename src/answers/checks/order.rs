//! Every pressure in its place. A stated tolerance counts against the rig: each value is taken at the
//! unfavourable end of its interval.

use uom::si::f64::Length;

use super::{
    as_free_air, at_least, at_least_bar, at_most, at_most_bar, bar, creep, crept_set, ends, full, spread,
};
use crate::Result;
use crate::air::gas::Isotherm;
use crate::answers::check::{judge_with, sentence};
use crate::answers::faults::{relief_duty, relief_passes, strongest};
use crate::answers::stuck_open::{LineRelief, StuckOpen, line_relief_for, stuck_open};
use crate::answers::times::{heaviest, sinking_path};
use crate::answers::{Check, Piece, RaiseAnswer, Sentence, Times, Verdict};
use crate::rig::{AirSource, Rig};
use crate::sizing::compressor_fill_time::{Compressor, Pump};
use crate::sizing::cylinder_force::Action;
use crate::units::{Dimension, GaugePressure};

/// Relief valves open at least this far above cut-out. Common practice, no source.
pub(in crate::answers) const RELIEF_ABOVE_CUT_OUT: f64 = 1.10;

pub(super) fn checks(rig: &Rig, air: &Isotherm, checks: &mut Vec<Check>) -> Result<()> {
    match &rig.source {
        AirSource::Compressor(compressor) => {
            checks.push(cut_in_above_set_point(rig, compressor));
            checks.push(cut_out_above_cut_in(rig, compressor));
            if let Some(relief) = rig.tank.relief {
                checks.push(relief_above_cut_out(rig, compressor, relief));
                checks.push(relief_within_rating(rig, relief));
                checks.push(relief_capacity(rig, compressor, relief, air)?);
            }
        }
        AirSource::Bottle { filled_to } => {
            checks.push(bottle_within_rating(rig, *filled_to));
            checks.push(match rig.tank.relief {
                Some(relief) => relief_within_rating(rig, relief),
                None => Check::not_judged(
                    "relief within rating",
                    Dimension::Pressure,
                    sentence!["find out how the bottle is protected against over-pressure, and enter `tank.relief` if it is a valve"],
                ),
            });
        }
    }
    parts_at_set_point(rig, checks);
    parts_with_regulator_stuck_open(rig, checks)?;
    checks.push(regulator_inlet(rig));
    Ok(())
}

fn cut_in_above_set_point(rig: &Rig, compressor: &Compressor) -> Check {
    let cut_in = ends(rig, "compressor.cut-in", compressor.cut_in).low;
    let set = ends(rig, "regulator.set", rig.regulator.set).high;
    let headroom = rig.regulator.headroom.value + rig.tolerance("regulator.headroom");
    let limit = set + headroom;
    let mut check =
        at_least("cut-in above set point", cut_in, limit, Dimension::Pressure, Sentence::default());
    // What to write in the file: the tolerances that counted against it come on top.
    let raise_to = limit + spread(rig, "compressor.cut-in");
    let lower_to = cut_in - headroom - spread(rig, "regulator.set");
    check.advice = match check.verdict {
        Verdict::Fail => sentence![
            "just before the pump starts the regulator is starved: lower `regulator.set` to ",
            at_most_bar(lower_to),
            " or raise `compressor.cut-in` to ",
            at_least_bar(raise_to),
            if raise_to >= compressor.cut_out.pascals() { ", and cut-out above that" } else { "" }
        ],
        Verdict::Caution => sentence![
            "barely enough inlet just before the pump starts: raise `compressor.cut-in` if the load slows down there"
        ],
        _ => sentence!["the regulator keeps its inlet: set point and headroom are ", bar(limit)],
    };
    check
}

fn cut_out_above_cut_in(rig: &Rig, compressor: &Compressor) -> Check {
    let cut_out = ends(rig, "compressor.cut-out", compressor.cut_out).low;
    let cut_in = ends(rig, "compressor.cut-in", compressor.cut_in).high;
    let mut check =
        at_least("cut-out above cut-in", cut_out, cut_in, Dimension::Pressure, Sentence::default());
    check.advice = match check.verdict {
        Verdict::Pass => sentence!["the switch has a band of ", bar(cut_out - cut_in)],
        Verdict::Fail => sentence![
            "with their tolerances the two may cross, and the pump may never stop or never start: set them further apart"
        ],
        _ => sentence![
            "the switch has a band of only ",
            bar(cut_out - cut_in),
            ", so the pump starts often: set cut-in lower or cut-out higher"
        ],
    };
    check
}

fn relief_above_cut_out(rig: &Rig, compressor: &Compressor, relief: GaugePressure) -> Check {
    let relief = ends(rig, "tank.relief", relief).low;
    let limit = RELIEF_ABOVE_CUT_OUT * ends(rig, "compressor.cut-out", compressor.cut_out).high;
    let mut check = at_least("relief above cut-out", relief, limit, Dimension::Pressure, Sentence::default());
    check.advice = match check.verdict {
        Verdict::Fail => sentence![
            "the relief valve may weep before the switch stops the pump: lower `compressor.cut-out` to ",
            at_most_bar(relief / RELIEF_ABOVE_CUT_OUT - spread(rig, "compressor.cut-out")),
            ", or set the valve to ",
            at_least_bar(limit + rig.tolerance("tank.relief")),
            " if the receiver's rating allows"
        ],
        Verdict::Caution => sentence![
            "close to 10 % above cut-out (common practice, no source): watch that the valve stays shut when the pump stops"
        ],
        _ => sentence!["10 % above cut-out is ", bar(limit), " (common practice, no source)"],
    };
    check
}

/// Passes at equality: a relief valve is meant to be set at the rating at the highest.
fn relief_within_rating(rig: &Rig, relief: GaugePressure) -> Check {
    let relief = ends(rig, "tank.relief", relief).high;
    let rating = ends(rig, "tank.rating", rig.tank.rating).low;
    let mut check = at_most("relief within rating", relief, rating, Dimension::Pressure, Sentence::default());
    check.verdict = judge_with(check.margin.unwrap_or(f64::NAN), 0.0);
    check.advice = match check.verdict {
        Verdict::Fail => sentence![
            "the receiver can burst before its valve opens: fit a relief valve set at ",
            at_most_bar(rating - rig.tolerance("tank.relief")),
            " or lower; do not use the rig until then"
        ],
        _ => sentence!["the relief valve opens at or below the rating of the receiver"],
    };
    check
}

fn relief_capacity(
    rig: &Rig,
    compressor: &Compressor,
    relief: GaugePressure,
    air: &Isotherm,
) -> Result<Check> {
    const ID: &str = "relief capacity";
    let compressor = &strongest(rig, compressor);
    let pump = Pump::new(compressor, air, rig.site.atmosphere)?;
    let (at, delivery) = relief_duty(rig, &pump, relief);
    let Some(capacity) = relief_passes(rig) else {
        return Ok(Check::not_judged(
            ID,
            Dimension::MassFlow,
            joined([
                sentence![
                    "find out what the relief valve passes and enter `tank.relief-capacity`: the pump delivers ",
                    (delivery.value, Dimension::MassFlow)
                ],
                as_free_air(delivery.value),
                sentence![" at ", bar(at.pascals())],
            ]),
        ));
    };
    let mut check = at_least(ID, capacity.value, delivery.value, Dimension::MassFlow, Sentence::default());
    if delivery.value <= 0.0 {
        // A pump that delivers nothing at that pressure cannot outrun any valve.
        check.verdict = Verdict::Pass;
    }
    // What to write in the file: the tolerance that counted against it comes on top.
    let needed = delivery.value + rig.tolerance("tank.relief-capacity");
    check.advice = match check.verdict {
        Verdict::Fail => joined([
            sentence![
                "the pump outruns the relief valve: fit one that passes ",
                Piece::AtLeast(needed, Dimension::MassFlow)
            ],
            as_free_air(needed),
            sentence![" at ", bar(relief.pascals())],
        ]),
        _ => joined([
            sentence!["compared with the delivery at ", bar(at.pascals())],
            as_free_air(delivery.value),
            sentence![],
        ]),
    };
    Ok(check)
}

fn bottle_within_rating(rig: &Rig, filled_to: GaugePressure) -> Check {
    let filled = ends(rig, "tank.filled-to", filled_to).high;
    let rating = ends(rig, "tank.rating", rig.tank.rating).low;
    let mut check =
        at_most("filled-to within rating", filled, rating, Dimension::Pressure, Sentence::default());
    // A bottle is meant to be filled to its rating.
    check.verdict = judge_with(check.margin.unwrap_or(f64::NAN), 0.0);
    check.advice = match check.verdict {
        Verdict::Fail => {
            sentence!["never fill the bottle above ", at_most_bar(rating - spread(rig, "tank.filled-to"))]
        }
        _ => sentence!["filled at or below its rating"],
    };
    check
}

/// The parts after the regulator: name, rating if known, field, and the two checks that it gets.
fn parts(rig: &Rig) -> [(Option<f64>, &'static str, [&'static str; 2]); 2] {
    let low = |rating: Option<GaugePressure>, field| rating.map(|rating| ends(rig, field, rating).low);
    [
        (
            low(Some(rig.cylinders.rating), "cylinders.rating"),
            "`cylinders.rating`",
            ["cylinders at set point", "cylinders, regulator stuck open"],
        ),
        (
            low(rig.line.rating, "line.rating"),
            "`line.rating`",
            ["line at set point", "line, regulator stuck open"],
        ),
    ]
}

/// The least rating of the parts after the regulator, and its field.
fn least_rating(rig: &Rig) -> Option<(f64, &'static str)> {
    let ratings =
        parts(rig).into_iter().filter_map(|(rating, field, _)| rating.map(|rating| (rating, field)));
    ratings.min_by(|one, two| one.0.total_cmp(&two.0))
}

fn parts_at_set_point(rig: &Rig, checks: &mut Vec<Check>) {
    let highest = crept_set(rig);
    for (rating, field, [id, _]) in parts(rig) {
        checks.push(match rating {
            Some(rating) => {
                let mut check = at_most(id, highest, rating, Dimension::Pressure, Sentence::default());
                check.advice = match check.verdict {
                    Verdict::Fail => sentence![
                        "lower `regulator.set` to ",
                        at_most_bar(rating / creep(rig) - spread(rig, "regulator.set")),
                        " or fit parts with a higher ",
                        field
                    ],
                    Verdict::Caution => sentence![
                        "close to ",
                        field,
                        ": watch the gauge for a set point that creeps up while nothing moves"
                    ],
                    _ => sentence!["with its tolerance the regulator may stand at ", bar(highest)],
                };
                check
            }
            None => unknown_rating(id, field),
        });
    }
}

/// The rod side of double-acting cylinders while they push against its air: with nothing let out, the set point on the whole
/// piston stands against the ring alone. That takes a vent that is shut, so it is a caution; a raise whose vent lets it
/// come so far is a failure.
pub(super) fn rod_side(rig: &Rig, times: &Times) -> Option<Check> {
    const ID: &str = "rod side, vent shut";
    if rig.cylinders.action != Action::Double {
        return None;
    }
    let (rating, field) = least_rating(rig)?;
    let areas = rig.cylinders.cap_area() / rig.cylinders.ring_area();
    let highest = crept_set(rig) * areas.value;
    let mut check = at_most(ID, highest, rating, Dimension::Pressure, Sentence::default());
    let worked =
        [times.raise, times.raise_empty, times.raise_heaviest].into_iter().filter_map(|raise| match raise {
            Some(RaiseAnswer::Arrives { rod_side: Some(holds), .. }) => Some(holds.highest.pascals()),
            _ => None,
        });
    let reached = worked.fold(0.0, f64::max);
    check.advice = match check.verdict {
        Verdict::Fail if reached > rating => sentence![
            "a raise, at the latest one right after a lowering, brings the air on the rod side to ",
            bar(reached),
            ": fit a wider vent (`line.rod-vent`), or parts with a higher ",
            field
        ],
        Verdict::Fail => {
            check.verdict = Verdict::Caution;
            sentence![
                "the whole piston pushes on the air around the rod: a vent that is shut, blocked or throttled too far brings it above ",
                field,
                ". Throttle with a screw that cannot shut it, fit a relief valve there, or parts with a higher rating"
            ]
        }
        Verdict::Caution => sentence!["close to ", field, " if the vent of the rod side is shut or blocked"],
        _ => sentence!["the whole piston pushes on the air around the rod, and the parts bear that"],
    };
    Some(check)
}

/// The cap side of double-acting cylinders on an ordinary way down: load and return air press on it together, and behind a
/// narrow lower valve it comes to what bears both.
pub(super) fn cap_side(rig: &Rig, stroke_used: Length) -> Result<Option<Check>> {
    const ID: &str = "cylinders on the way down";
    if rig.cylinders.action != Action::Double {
        return Ok(None);
    }
    let Some((rating, field)) = least_rating(rig) else { return Ok(None) };
    let push = rig.cylinders.ring_area() * crate::units::pressure::pascals(crept_set(rig));
    let heaviest = heaviest(rig);
    let travel = rig.travel_of(&heaviest)?;
    let path = sinking_path(rig, &travel, stroke_used, push);
    let highest = path.iter().map(|point| point.pressure.pascals()).fold(0.0, f64::max);
    let mut check = at_most(ID, highest, rating, Dimension::Pressure, Sentence::default());
    check.advice = match check.verdict {
        Verdict::Fail => sentence![
            "load and return air press on the air under the pistons together, above ",
            field,
            ": feed the return from a regulator of its own, set lower, fit `line.relief` at the cylinders, or parts with a higher rating"
        ],
        Verdict::Caution => sentence!["close to ", field, " as load and return air press together"],
        _ => sentence!["what load and return air press together, behind a narrow lower valve"],
    };
    Ok(Some(check))
}

/// A regulator that sticks open: where the tank's pressure, or the relief valve after the regulator, stands to the
/// ratings as it opens. Blowing, that valve lets the pressure come 10 % above its setting; the check is a caution
/// where that passes the rating.
fn parts_with_regulator_stuck_open(rig: &Rig, checks: &mut Vec<Check>) -> Result<()> {
    let stuck = stuck_open(rig)?;
    let (fault, blows) = (stuck.opens.pascals(), stuck.blows.pascals());
    for (rating, field, [_, id]) in parts(rig) {
        checks.push(match rating {
            Some(rating) => {
                let mut check = at_most(id, fault, rating, Dimension::Pressure, Sentence::default());
                let passed_blowing = blows > rating * (1.0 + 1e-9);
                if passed_blowing && check.verdict == Verdict::Pass {
                    check.verdict = Verdict::Caution;
                }
                // Set for what `faults` holds to the rating as well, so that one change mends both.
                let set_at = line_relief_for(rig, rating).map(|set_at| {
                    sentence!["a relief valve after the regulator (`line.relief`) set at ", at_most_bar(set_at), " or lower, or "]
                });
                let cure = set_at.unwrap_or_default();
                check.advice = match check.verdict {
                    Verdict::Fail if stuck.relief == LineRelief::Outrun => sentence![
                        "the relief valve after the regulator passes less than the open regulator, so the part sees ",
                        bar(fault),
                        ": fit a wider valve, or parts with a higher ",
                        field
                    ],
                    Verdict::Fail => joined([
                        sentence!["a stuck regulator puts ", bar(fault), " on it: fit "],
                        cure,
                        sentence!["parts with a higher ", field],
                    ]),
                    _ if passed_blowing => joined([
                        sentence![
                            "the relief valve after the regulator opens at ",
                            bar(fault),
                            " but may let ",
                            bar(blows),
                            " stand while it blows: fit "
                        ],
                        cure,
                        sentence!["parts with a higher ", field],
                    ]),
                    _ if stuck.is_relieved() => sentence![
                        "the relief valve after the regulator opens at ",
                        bar(fault),
                        " and holds it to ",
                        bar(blows),
                        " if it passes what comes"
                    ],
                    _ => sentence!["it bears the pressure of the full tank, ", bar(fault)],
                };
                check
            }
            None => unknown_rating(id, field),
        });
    }
    if stuck.relief != LineRelief::Idle {
        checks.push(line_relief_capacity(rig, &stuck));
    }
    Ok(())
}

/// Sentences one after the other.
pub(in crate::answers) fn joined(parts: [Sentence; 3]) -> Sentence {
    Sentence(parts.into_iter().flat_map(|part| part.0).collect())
}

/// Holds the relief valve after the regulator to what comes through that wide open.
fn line_relief_capacity(rig: &Rig, stuck: &StuckOpen) -> Check {
    const ID: &str = "line relief capacity";
    let missing = match (stuck.lets_through, stuck.relief_passes) {
        (Some(through), Some(passes)) => {
            let mut check =
                at_least(ID, passes.value, through.value, Dimension::MassFlow, Sentence::default());
            check.advice = match check.verdict {
                Verdict::Fail => joined([
                    sentence![
                        "the open regulator outruns the relief valve after it: fit one that passes ",
                        Piece::AtLeast(through.value, Dimension::MassFlow)
                    ],
                    as_free_air(through.value),
                    sentence![", or a throttle before the regulator that lets less through"],
                ]),
                _ => joined([
                    sentence!["it passes what comes through the regulator wide open on a full tank"],
                    as_free_air(through.value),
                    sentence![],
                ]),
            };
            return check;
        }
        (Some(through), None) => joined([
            sentence![
                "find out what the relief valve after the regulator passes and enter `line.relief-capacity`: the open regulator lets ",
                (through.value, Dimension::MassFlow)
            ],
            as_free_air(through.value),
            sentence![" through"],
        ]),
        (None, passes) => {
            let mut ask = sentence![
                "ask for the flow of the regulator wide open at ",
                bar(full(rig).high),
                " (`regulator.wide-open-flow`) or for its seat (`regulator.seat`)"
            ];
            if passes.is_none() {
                ask.0.extend(
                    sentence![", and for what the relief valve after it passes (`line.relief-capacity`)"].0,
                );
            }
            ask
        }
    };
    Check::not_judged(ID, Dimension::MassFlow, missing)
}

fn unknown_rating(id: &'static str, field: &'static str) -> Check {
    Check::not_judged(
        id,
        Dimension::Pressure,
        sentence!["find the rating of the weakest hose or fitting after the regulator and enter ", field],
    )
}

fn regulator_inlet(rig: &Rig) -> Check {
    const ID: &str = "regulator inlet";
    let full = full(rig).high;
    let bottle = matches!(rig.source, AirSource::Bottle { .. });
    let Some(max_inlet) = rig.regulator.max_inlet else {
        let mut check = Check::not_judged(
            ID,
            Dimension::Pressure,
            sentence![
                "find the highest inlet pressure of the regulator, enter `regulator.max-inlet`: it sees ",
                bar(full)
            ],
        );
        if bottle {
            check.verdict = Verdict::Caution;
            check.value = Some(full);
        }
        return check;
    };
    let limit = ends(rig, "regulator.max-inlet", max_inlet).low;
    let mut check = at_most(ID, full, limit, Dimension::Pressure, Sentence::default());
    check.advice = match check.verdict {
        Verdict::Fail => {
            sentence![
                "fit a regulator made for an inlet of ",
                bar(full),
                " or more, or a first stage before it"
            ]
        }
        _ => sentence!["the regulator bears the pressure of the full tank"],
    };
    check
}
