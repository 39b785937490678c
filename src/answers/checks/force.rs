//! Load ratio, set point and height.

use uom::si::f64::Ratio;

use super::{at_least_bar, at_most, bar, ends, spread};
use crate::Result;
use crate::answers::check::{CAUTION_MARGIN, above, below, judge, sentence};
use crate::answers::lift::ceilings;
use crate::answers::{Answers, Check, Lift, Piece, SET_POINT_IN_WINDOW, Sentence, Verdict};
use crate::rig::{AirSource, Rig, RigLinkage};
use crate::sizing::linkage::Travel;
use crate::sizing::regulator_setpoint::{LowerBound, UpperBound, Window, window};
use crate::units::{Dimension, GaugePressure};

const LOAD_RATIO: &str = "load ratio";
const HEIGHT: &str = "lift height";

pub(super) fn checks(rig: &Rig, answers: &Answers, checks: &mut Vec<Check>) -> Result<()> {
    checks.push(load_ratio(rig, answers));
    checks.push(set_point(rig, answers)?);
    checks.push(height(rig, &answers.lift));
    Ok(())
}

fn load_ratio(rig: &Rig, answers: &Answers) -> Check {
    let lift = &answers.lift;
    let limit = rig.limits.load_ratio.value;
    let value = lift.load_ratio.value;
    let mut check = at_most(LOAD_RATIO, value, limit, Dimension::Fraction, Sentence::default());
    let rated = Piece::AtMost(lift.rated_capacity.value, Dimension::Mass);
    check.advice = match check.verdict {
        Verdict::Pass => sentence!["the load may grow to ", rated, " before the ratio is at its limit"],
        Verdict::Caution => sentence!["near its limit: the load must not grow beyond ", rated],
        _ => too_heavy(rig, answers),
    };
    check
}

/// What brings the load ratio within its limit: a higher set point only if the parts bear one.
fn too_heavy(rig: &Rig, answers: &Answers) -> Sentence {
    let (lift, window) = (&answers.lift, &answers.window);
    let mut sentence = Sentence::default();
    let bore = if window.is_open() {
        let low = Piece::AtLeast(window.low.pascals(), Dimension::Pressure);
        sentence.0.extend(["raise `regulator.set` to ".into(), low, ", or ".into()]);
        rig.cylinders.bore_for(lift.worst.force, lift.moving_pressure, rig.limits.load_ratio)
    } else {
        answers.opening_bore
    };
    if let Some(bore) = bore {
        let bore = Piece::AtLeast(bore.value, Dimension::Length);
        sentence.0.extend(["take a bore of ".into(), bore, ", or ".into()]);
    }
    let rated = Piece::AtMost(lift.rated_capacity.value, Dimension::Mass);
    sentence.0.extend(["take load off down to ".into(), rated]);
    sentence
}

/// The window check: every stated tolerance counts against the rig.
fn set_point(rig: &Rig, answers: &Answers) -> Result<Check> {
    let set = ends(rig, "regulator.set", rig.regulator.set);
    let (worst, low) = (unfavourable_low(rig, &answers.lift)?, answers.window);
    let high = unfavourable_high(rig, &low);
    let (over_low, under_high) = (above(set.low, worst.pascals()), below(set.high, high.pascals()));
    let (value, limit, margin) = if over_low <= under_high {
        (set.low, worst.pascals(), over_low)
    } else {
        (set.high, high.pascals(), under_high)
    };
    let unfavourable = Window { low: worst, high, ..low };
    let mut advice = window_advice(answers, &unfavourable, over_low <= under_high, judge(margin));
    if !unfavourable.is_open() && unfavourable.high_from == UpperBound::CutIn {
        advice.0.extend(higher_cut_in(rig, worst.pascals()).0);
    }
    Ok(Check {
        id: SET_POINT_IN_WINDOW.into(),
        verdict: judge(margin),
        value: Some(value),
        limit: Some(limit),
        margin: margin.is_finite().then_some(margin),
        dimension: Dimension::Pressure,
        advice,
    })
}

fn window_advice(answers: &Answers, window: &Window, low_binds: bool, verdict: Verdict) -> Sentence {
    let low_reason = match window.low_from {
        LowerBound::LoadRatio => "the load ratio",
        LowerBound::Motion => "friction",
    };
    let high_reason = match window.high_from {
        UpperBound::CylinderRating => "`cylinders.rating`",
        UpperBound::LineRating => "`line.rating`",
        UpperBound::LineRelief => "`line.relief`",
        UpperBound::CutIn => "`compressor.cut-in`",
    };
    if !window.is_open() {
        let mut sentence = sentence![
            "no set point fits: ",
            low_reason,
            " asks for ",
            bar(window.low.pascals()),
            ", ",
            high_reason,
            " allows ",
            bar(window.high.pascals())
        ];
        if let Some(bore) = answers.opening_bore {
            sentence.0.extend([
                "; a bore of ".into(),
                Piece::AtLeast(bore.value, Dimension::Length),
                " or more opens the window".into(),
            ]);
        }
        return sentence;
    }
    let between = |lead: &'static str| {
        sentence![
            lead,
            Piece::AtLeast(window.low.pascals(), Dimension::Pressure),
            " (",
            low_reason,
            ") to ",
            Piece::AtMost(window.high.pascals(), Dimension::Pressure),
            " (",
            high_reason,
            ")"
        ]
    };
    match (verdict, low_binds) {
        (Verdict::Pass, _) => between("the window is "),
        (Verdict::Fail, true) => between("raise `regulator.set` into the window "),
        (Verdict::Fail, false) => between("lower `regulator.set` into the window "),
        (_, true) => between("close to the lower end of the window "),
        (_, false) => between("close to the upper end of the window "),
    }
}

/// What opens a window that cut-in closes: a cut-in that leaves the regulator its headroom above the set point, which
/// itself must move the load.
fn higher_cut_in(rig: &Rig, lowest: f64) -> Sentence {
    let AirSource::Compressor(compressor) = &rig.source else { return Sentence::default() };
    let set = ends(rig, "regulator.set", rig.regulator.set);
    let moves = set.low >= lowest * (1.0 + CAUTION_MARGIN);
    // Written to 0.01 bar upwards.
    let set_to = lowest * (1.0 + CAUTION_MARGIN) + spread(rig, "regulator.set");
    let highest = if moves { set.high } else { set_to + 1e3 + spread(rig, "regulator.set") };
    let headroom = rig.regulator.headroom.value + rig.tolerance("regulator.headroom");
    let share = 1.0 - CAUTION_MARGIN;
    let cut_in =
        (highest / share + headroom).max((highest + headroom) / share) + spread(rig, "compressor.cut-in");
    let mut advice = sentence!["; raise `compressor.cut-in` to ", at_least_bar(cut_in)];
    let cut_out = ends(rig, "compressor.cut-out", compressor.cut_out).low;
    if cut_in + spread(rig, "compressor.cut-in") >= cut_out {
        advice.0.push(", with cut-out above that".into());
    }
    if !moves {
        advice.0.extend(sentence![" and `regulator.set` to ", at_least_bar(set_to)].0);
    }
    advice
}

/// Lower end of the window with every stated tolerance at its unfavourable end.
fn unfavourable_low(rig: &Rig, lift: &Lift) -> Result<GaugePressure> {
    let RigLinkage { shape, efficiency, profile, .. } = &rig.linkage;
    let up = |field: &str| rig.tolerance(field);
    let mut load = rig.load;
    load.mass.value += up("load.mass");
    load.moving.value += up("load.moving");
    load.share = (load.share + Ratio::from(up("load.share"))).min(Ratio::from(1.0));
    let mut cylinders = rig.cylinders;
    cylinders.return_spring.value += up("cylinders.return-spring");
    cylinders.friction += Ratio::from(up("cylinders.friction"));
    cylinders.back_pressure.value += up("cylinders.back-pressure");
    cylinders.bore.value -= up("cylinders.bore");
    let mut regulator = rig.regulator;
    regulator.droop.value += up("regulator.droop");
    let least = *efficiency - Ratio::from(up("linkage.efficiency"));
    // Where no tolerance touches the force, its worst point is known.
    let worst = if (&cylinders, &load, &least) == (&rig.cylinders, &rig.load, efficiency) {
        lift.worst
    } else {
        Travel::new(&cylinders, &load, *shape, profile, least)?.worst()
    };
    let limit = rig.limits.load_ratio - Ratio::from(up("limits.load-ratio"));
    Ok(window(worst.load_pressure, worst.needed_pressure, &regulator, limit, &ceilings(rig)).low)
}

/// Upper end of the window with every stated tolerance at its unfavourable end.
fn unfavourable_high(rig: &Rig, middle: &Window) -> GaugePressure {
    let mut ceilings = ceilings(rig);
    let lower = |pressure: &mut GaugePressure, field: &str| {
        *pressure = *pressure - crate::units::pressure::pascals(spread(rig, field));
    };
    lower(&mut ceilings.cylinder_rating, "cylinders.rating");
    for (pressure, field) in [
        (&mut ceilings.line_rating, "line.rating"),
        (&mut ceilings.line_relief, "line.relief"),
        (&mut ceilings.cut_in, "compressor.cut-in"),
    ] {
        if let Some(pressure) = pressure {
            lower(pressure, field);
        }
    }
    let mut regulator = rig.regulator;
    regulator.headroom.value += rig.tolerance("regulator.headroom");
    regulator.tolerance += Ratio::from(rig.tolerance("regulator.tolerance"));
    window(middle.low, middle.low, &regulator, Ratio::from(1.0), &ceilings).high
}

fn height(rig: &Rig, lift: &Lift) -> Check {
    let wanted = rig.load.lift + rig.load.take_up;
    let mut check = at_most(HEIGHT, wanted.value, lift.height.value, Dimension::Length, Sentence::default());
    let spare = lift.height - wanted;
    check.advice = match check.verdict {
        Verdict::Fail => sentence![
            "the stroke gives ",
            (lift.height.value, Dimension::Length),
            ": the load must rise by ",
            (wanted.value, Dimension::Length),
            ", take-up included; take a longer stroke, longer still where parts bend or sink"
        ],
        _ => sentence![
            (spare.value, Dimension::Length),
            " of height to spare before anything bends, sinks or plays"
        ],
    };
    check
}
