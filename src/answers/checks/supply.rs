//! Strokes and rate wanted, and whether the compressor keeps up.

use super::{at_least, at_most, bar};
use crate::answers::check::{judge, sentence};
use crate::answers::{Answers, Check, Fill, Piece, Sentence, Verdict};
use crate::rig::{AirSource, Rig};
use crate::sizing::compressor_fill_time::{Compressor, Delivery};
use crate::units::Dimension;

pub(super) fn checks(rig: &Rig, answers: &Answers, checks: &mut Vec<Check>) {
    checks.push(strokes_wanted(rig, answers));
    if let (AirSource::Compressor(compressor), Some(fill)) = (&rig.source, &answers.fill) {
        checks.push(reaches_cut_out(compressor, fill));
        checks.push(rate_wanted(rig, compressor, answers, fill));
        checks.push(duty(compressor, fill));
    }
}

/// Against the count from cut-out at full pressure: the strokes that lift as the set point says.
fn strokes_wanted(rig: &Rig, answers: &Answers) -> Check {
    const ID: &str = "strokes wanted";
    let strokes = &answers.strokes;
    let Some(wanted) = rig.cycle.strokes_wanted else {
        let advice = sentence!["say how many strokes one fill must give: `cycle.strokes-wanted`"];
        return Check::not_judged(ID, Dimension::Number, advice);
    };
    let counted = strokes.from_cut_out.slow.full_pressure;
    let mut check =
        at_least(ID, f64::from(counted), f64::from(wanted), Dimension::Number, Sentence::default());
    check.advice = match (check.verdict, answers.air.tank_for_strokes_wanted) {
        _ if !answers.lift.moves() => {
            sentence!["the cylinders do not move the load at this set point, so no stroke counts"]
        }
        (Verdict::Fail, Some(tank)) => sentence![
            "a tank of ",
            Piece::AtLeast(tank.value, Dimension::Volume),
            " gives them at full pressure; a valve closed as the load arrives takes less air"
        ],
        (Verdict::Fail, None) => {
            sentence!["the full tank does not stand above set point and headroom, so no tank is large enough"]
        }
        _ => sentence![
            "at full pressure from a full tank that has come to the temperature of the site; until stall: ",
            (f64::from(strokes.from_cut_out.slow.until_stall), Dimension::Number)
        ],
    };
    check
}

fn reaches_cut_out(compressor: &Compressor, fill: &Fill) -> Check {
    const ID: &str = "compressor reaches cut-out";
    let (stall, cut_out) = (fill.stall.pascals(), compressor.cut_out.pascals());
    let mut check = at_least(ID, stall, cut_out, Dimension::Pressure, Sentence::default());
    if fill.stalls_at.is_some() {
        check.verdict = Verdict::Fail;
        check.advice = sentence![
            "the pump stalls at ",
            bar(stall),
            " and never switches off: lower `compressor.cut-out`, or take a pump that delivers beyond it"
        ];
        return check;
    }
    if matches!(compressor.delivery, Delivery::Points(_)) {
        // The last point is where the data end, not where the pump stalls: nothing to be close to.
        check.verdict = Verdict::Pass;
        check.margin = None;
        check.advice = sentence!["the delivery points reach cut-out"];
    } else {
        check.verdict = judge(check.margin.unwrap_or(f64::NAN));
        check.advice = sentence!["on this site the pump stalls at ", bar(stall)];
    }
    check
}

fn rate_wanted(rig: &Rig, compressor: &Compressor, answers: &Answers, fill: &Fill) -> Check {
    const ID: &str = "rate wanted";
    let Some(wanted) = rig.cycle.per_hour else {
        let advice = sentence!["say how many strokes an hour must give, all day: `cycle.per-hour`"];
        return Check::not_judged(ID, Dimension::PerHour, advice);
    };
    let Some(kept_up) = fill.strokes_per_hour_kept_up else {
        let advice = sentence!["the pump stalls before cut-out, so no rate is kept up"];
        return Check::not_judged(ID, Dimension::PerHour, advice);
    };
    let mut check = at_least(ID, kept_up, wanted, Dimension::PerHour, Sentence::default());
    check.advice = match check.verdict {
        Verdict::Fail => sentence![
            "the pump must deliver ",
            Piece::AtLeast(wanted / kept_up, Dimension::Number),
            if compressor.duty.value < 1.0 {
                " times as much, or run at a higher duty if it is built for it"
            } else {
                " times as much, or the tank be filled between sessions"
            }
        ],
        Verdict::Caution => sentence!["barely: a leak or a worn pump takes more; count on fewer"],
        _ if !answers.lift.moves() => {
            sentence!["the pump makes the air good, but the cylinders do not move the load"]
        }
        _ => sentence!["mean over the switch band, at the duty given"],
    };
    check
}

fn duty(compressor: &Compressor, fill: &Fill) -> Check {
    const ID: &str = "compressor duty";
    let Some(longest) = [fill.from_empty, fill.band, fill.after_strokes]
        .into_iter()
        .flatten()
        .max_by(|a, b| a.value.total_cmp(&b.value))
    else {
        let advice = sentence!["the pump stalls before cut-out and runs without end"];
        return Check::not_judged(ID, Dimension::Time, advice);
    };
    let Some(max_run) = compressor.max_run else {
        return Check::not_judged(
            ID,
            Dimension::Time,
            sentence![
                "find the longest run the pump may make and enter `compressor.max-run`: a fill takes ",
                (longest.value, Dimension::Time)
            ],
        );
    };
    let mut check = at_most(ID, longest.value, max_run.value, Dimension::Time, Sentence::default());
    check.advice = match check.verdict {
        Verdict::Fail => {
            sentence![
                "fill in stages with pauses to cool, take a smaller tank, or a pump made for longer runs"
            ]
        }
        _ => sentence!["the longest run is the fill from empty"],
    };
    check
}
