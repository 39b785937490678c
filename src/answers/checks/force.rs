//! Load ratio, set point and height.

use uom::si::f64::Ratio;

use super::{at_most, bar, ends};
use crate::answers::check::{above, below, judge, sentence};
use crate::answers::lift::ceilings;
use crate::answers::{Answers, Check, Lift, Sentence, Verdict};
use crate::rig::{Linkage, Rig};
use crate::sizing::regulator_setpoint::{LowerBound, UpperBound, Window, window};
use crate::sizing::travel::DirectTravel;
use crate::units::{Dimension, GaugePressure};

const LOAD_RATIO: &str = "load ratio";
const SET_POINT: &str = "set point in window";
const HEIGHT: &str = "lift height";

pub(super) fn checks(rig: &Rig, answers: &Answers, checks: &mut Vec<Check>) {
    let Some(lift) = &answers.lift else {
        let needs =
            || sentence!["needs the force along the travel, which follows from a direct linkage only"];
        checks.push(Check::not_judged(LOAD_RATIO, Dimension::Fraction, needs()));
        checks.push(Check::not_judged(SET_POINT, Dimension::Pressure, needs()));
        checks.push(Check::not_judged(HEIGHT, Dimension::Length, needs()));
        return;
    };
    checks.push(load_ratio(rig, answers, lift));
    checks.push(set_point(rig, answers));
    checks.push(height(rig, lift));
}

fn load_ratio(rig: &Rig, answers: &Answers, lift: &Lift) -> Check {
    let limit = rig.limits.load_ratio.value;
    let value = lift.load_ratio.value;
    let mut check = at_most(LOAD_RATIO, value, limit, Dimension::Fraction, Sentence::default());
    check.advice = if check.verdict == Verdict::Pass {
        sentence![
            "the load may grow to ",
            (lift.rated_capacity.value, Dimension::Mass),
            " before the ratio is at its limit"
        ]
    } else {
        let bore = rig.cylinders.bore_for(lift.worst.force, lift.moving_pressure, rig.limits.load_ratio);
        let low = answers.window.map_or(0.0, |window| window.low.pascals());
        match bore {
            Some(bore) if value > limit => sentence![
                "raise `regulator.set` to ",
                bar(low),
                " or the bore to ",
                (bore.value, Dimension::Length),
                ", or take load off down to ",
                (lift.rated_capacity.value, Dimension::Mass)
            ],
            _ => sentence![
                "at its limit: the load must not grow beyond ",
                (lift.rated_capacity.value, Dimension::Mass)
            ],
        }
    };
    check
}

/// The window check: every stated tolerance counts against the rig.
fn set_point(rig: &Rig, answers: &Answers) -> Check {
    let set = ends(rig, "regulator.set", rig.regulator.set);
    let Some((worst, low)) = unfavourable_low(rig).zip(answers.window) else {
        return Check::not_judged(SET_POINT, Dimension::Pressure, Sentence::default());
    };
    let high = unfavourable_high(rig, &low);
    let (over_low, under_high) = (above(set.low, worst.pascals()), below(set.high, high.pascals()));
    let (value, limit, margin) = if over_low <= under_high {
        (set.low, worst.pascals(), over_low)
    } else {
        (set.high, high.pascals(), under_high)
    };
    let unfavourable = Window { low: worst, high, ..low };
    let advice = window_advice(answers, &unfavourable, over_low <= under_high, judge(margin));
    Check {
        id: SET_POINT,
        verdict: judge(margin),
        value: Some(value),
        limit: Some(limit),
        margin: margin.is_finite().then_some(margin),
        dimension: Dimension::Pressure,
        advice,
    }
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
                (bore.value, Dimension::Length).into(),
                " or more opens the window".into(),
            ]);
        }
        return sentence;
    }
    let between = |lead: &'static str| {
        sentence![
            lead,
            bar(window.low.pascals()),
            " (",
            low_reason,
            ") to ",
            bar(window.high.pascals()),
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

/// Lower end of the window with every stated tolerance at its unfavourable end.
fn unfavourable_low(rig: &Rig) -> Option<GaugePressure> {
    let Linkage::Direct { efficiency } = rig.linkage else { return None };
    let up = |field: &str| rig.tolerance(field);
    let mut load = rig.load;
    load.mass.value += up("load.mass");
    load.moving.value += up("load.moving");
    load.share += Ratio::from(up("load.share"));
    let mut cylinders = rig.cylinders;
    cylinders.return_spring.value += up("cylinders.return-spring");
    cylinders.friction += Ratio::from(up("cylinders.friction"));
    cylinders.back_pressure.value += up("cylinders.back-pressure");
    cylinders.bore.value -= up("cylinders.bore");
    let mut regulator = rig.regulator;
    regulator.droop.value += up("regulator.droop");
    let efficiency = efficiency - Ratio::from(up("linkage.efficiency"));
    let worst = DirectTravel { cylinders: &cylinders, load: &load, efficiency }.worst();
    let limit = rig.limits.load_ratio - Ratio::from(up("limits.load-ratio"));
    Some(window(worst.load_pressure, worst.needed_pressure, &regulator, limit, &ceilings(rig)).low)
}

/// Upper end of the window with every stated tolerance at its unfavourable end.
fn unfavourable_high(rig: &Rig, middle: &Window) -> GaugePressure {
    let mut ceilings = ceilings(rig);
    let lower = |pressure: &mut GaugePressure, field: &str| {
        *pressure = *pressure - crate::units::pressure::pascals(rig.tolerance(field));
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
            ": take at least ",
            (wanted.value, Dimension::Length),
            " of stroke, more where parts bend or sink"
        ],
        _ => sentence![
            (spare.value, Dimension::Length),
            " of height to spare for what bends, sinks and plays; the frame is not taken off"
        ],
    };
    check
}
