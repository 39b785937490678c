//! Load ratio, set point and height.

use uom::si::f64::Ratio;

use super::{at_least_bar, at_most, bar, ends, spread};
use crate::Result;
use crate::answers::check::{CAUTION_MARGIN, above, below, judge, sentence};
use crate::answers::lift::{BreaksLoose, Hardest, breaks_loose, ceilings, hardest};
use crate::answers::{Answers, Check, Lift, Piece, SET_POINT_IN_WINDOW, Sentence, Verdict};
use crate::rig::{AirSource, Rig};
use crate::sizing::regulator_setpoint::{LowerBound, UpperBound, Window, window};
use crate::units::{Dimension, GaugePressure};

const LOAD_RATIO: &str = "load ratio";
const BREAKS_LOOSE: &str = "breaks loose";
const HEIGHT: &str = "lift height";
/// How pistons are made to start at less.
const EASIER: &str = "fit seals and grease that stick less (`cylinders.breakaway`), and work the pistons up and down without the load before it comes on";

pub(super) fn checks(rig: &Rig, answers: &Answers, checks: &mut Vec<Check>) -> Result<()> {
    let hardest = hardest(rig, &answers.lift)?;
    checks.push(load_ratio(rig, answers));
    checks.push(set_point(rig, answers, &hardest));
    checks.extend(breaks_loose(rig, &hardest).map(|start| starts(rig, answers, &start)));
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
fn set_point(rig: &Rig, answers: &Answers, hardest: &Hardest) -> Check {
    let set = ends(rig, "regulator.set", rig.regulator.set);
    let (worst, low) = (unfavourable_low(rig, hardest), answers.window);
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
    Check {
        id: SET_POINT_IN_WINDOW.into(),
        verdict: judge(margin),
        value: Some(value),
        limit: Some(limit),
        margin: margin.is_finite().then_some(margin),
        dimension: Dimension::Pressure,
        advice,
    }
}

/// Pistons that have stood must come loose at the set point: nothing flows while they stand, so that a droop that grows with
/// the flow does not count. One of which no flow is stated does, here as in the raise time.
fn starts(rig: &Rig, answers: &Answers, start: &BreaksLoose) -> Check {
    let set = ends(rig, "regulator.set", rig.regulator.set);
    let droop = if rig.regulator.rated_flow.is_some() { 0.0 } else { rig.regulator.droop.value };
    let value = start.pressure.pascals();
    let limit = set.low - droop;
    let mut check = at_most(BREAKS_LOOSE, value, limit, Dimension::Pressure, Sentence::default());
    check.advice = match check.verdict {
        Verdict::Pass if start.multiple > Ratio::from(1.0) => sentence![
            "the air starts a load that has stood anywhere on its way, and as it comes loose it jerks"
        ],
        Verdict::Pass => sentence!["the air starts a load that has stood anywhere on its way"],
        Verdict::Caution => sentence![
            "little to spare: standing for longer, cold or age may hold it; raise the set point or the bore, or ",
            EASIER
        ],
        _ => {
            let mut cures = sentence!["the load stays where it has stood: "];
            let spread = spread(rig, "regulator.set");
            let raised = value + droop + spread;
            let highest = unfavourable_high(rig, &answers.window).pascals();
            // Written to 0.01 bar upwards.
            if answers.window.is_open() && raised + 1e3 + spread <= highest {
                cures.0.extend(sentence!["raise `regulator.set` to ", at_least_bar(raised), ", or "].0);
            }
            if let Some(bore) = start.bore_for(GaugePressure::new(crate::units::pressure::pascals(limit))) {
                let bore = Piece::AtLeast(bore.value + rig.tolerance("cylinders.bore"), Dimension::Length);
                cures.0.extend(sentence!["take a bore of ", bore, ", or "].0);
            }
            cures.0.push(EASIER.into());
            cures
        }
    };
    check
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
fn unfavourable_low(rig: &Rig, hardest: &Hardest) -> GaugePressure {
    let mut regulator = rig.regulator;
    regulator.droop.value += rig.tolerance("regulator.droop");
    let limit = rig.limits.load_ratio - Ratio::from(rig.tolerance("limits.load-ratio"));
    let worst = &hardest.worst;
    window(worst.load_pressure, worst.needed_pressure, &regulator, limit, &ceilings(rig)).low
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

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;
    use uom::si::f64::{Force, Pressure};
    use uom::si::force::newton;

    use super::*;
    use crate::answers::evaluate;
    use crate::answers::sample::{dough_tipper, hive_cart};
    use crate::report::words;
    use crate::units::UnitSystem;

    /// Load force of the hive cart: 9.80665 * (0.9 * 100 + 12) / 0.9 N.
    const FORCE: f64 = 1_111.420_333;
    /// Two pistons of 50 mm.
    const AREA: f64 = 3.926_990_817e-3;

    fn check(rig: &Rig, breakaway: f64) -> Check {
        let mut rig = Rig { breakaway: Some(Ratio::from(breakaway)), ..rig.clone() };
        // With the flow at which it droops, so that it does not droop without one.
        rig.regulator.rated_flow =
            Some(uom::si::f64::MassRate::new::<uom::si::mass_rate::gram_per_second>(5.0));
        evaluate(&rig).unwrap().check(BREAKS_LOOSE).unwrap().clone()
    }

    fn says(check: &Check) -> String {
        words(&check.advice, UnitSystem::Metric)
    }

    #[test]
    fn what_starts_a_load_by_pencil() {
        // analytic: (F/A) / (1 - 3 * 0.08), against the 5.5 bar of the set point, no droop taken off.
        let start = check(&hive_cart(), 3.0);
        assert_relative_eq!(start.value.unwrap(), FORCE / AREA / 0.76, max_relative = 1e-8);
        assert_relative_eq!(start.limit.unwrap(), 5.5e5, max_relative = 1e-12);
        assert_eq!(start.verdict, Verdict::Pass);
        // A droop of which no flow is stated counts, as it does in the raise time.
        let unstated = evaluate(&Rig { breakaway: Some(Ratio::from(3.0)), ..hive_cart() }).unwrap();
        assert_relative_eq!(
            unstated.check(BREAKS_LOOSE).unwrap().limit.unwrap(),
            5.2e5,
            max_relative = 1e-12
        );
        assert!(says(&start).contains("it jerks"));
        assert!(!says(&check(&hive_cart(), 1.0)).contains("it jerks"));
        // 2.8302 bar / (1 - 0.48) = 5.443 bar: 1 % is left. With 7 it is 6.432 bar.
        assert_eq!(check(&hive_cart(), 6.0).verdict, Verdict::Caution);
        assert_eq!(check(&hive_cart(), 7.0).verdict, Verdict::Fail);
        // As in motion: the needed pressure.
        let needed = evaluate(&hive_cart()).unwrap().lift.worst.needed_pressure;
        assert_relative_eq!(check(&hive_cart(), 1.0).value.unwrap(), needed.pascals(), max_relative = 1e-12);
    }

    #[test]
    fn back_pressure_springs_and_the_whole_travel_count() {
        let mut rig = hive_cart();
        rig.cylinders.action = crate::sizing::cylinder_force::Action::Double;
        rig.cylinders.return_spring = Force::new::<newton>(150.0);
        // analytic: both springs at the end of the stroke, 0.2 bar on the ring of (50^2 - 20^2)/50^2.
        let load = (FORCE + 300.0) / AREA;
        let start = check(&rig, 2.5);
        assert_relative_eq!(start.value.unwrap(), (load + 0.2e5 * 0.84) / 0.8, max_relative = 1e-8);
        rig.cylinders.back_pressure = Pressure::default();
        assert_relative_eq!(check(&rig, 2.5).value.unwrap(), load / 0.8, max_relative = 1e-8);
    }

    #[test]
    fn each_tolerance_counts_against_the_start() {
        let mut rig = hive_cart();
        rig.tolerances.extend([("load.mass", 10.0), ("cylinders.friction", 0.02), ("regulator.set", 0.2e5)]);
        let start = check(&rig, 3.0);
        // analytic: 9.80665 * (0.9 * 110 + 12) / 0.9 N, friction 10 %.
        let force = 9.806_65 * 111.0 / 0.9;
        assert_relative_eq!(start.value.unwrap(), force / AREA / 0.7, max_relative = 1e-8);
        assert_relative_eq!(start.limit.unwrap(), 5.3e5, max_relative = 1e-12);
    }

    #[test]
    fn what_is_not_stated_is_not_judged_and_no_cure_breaks_a_rating() {
        assert!(evaluate(&hive_cart()).unwrap().check(BREAKS_LOOSE).is_none());
        assert!(says(&check(&hive_cart(), 7.0)).contains("raise `regulator.set` to 6.4"));
        // 2.8302 bar / (1 - 0.72) = 10.1 bar is beyond the parts: a bore of 50 mm (10.108/5.5)^0.5 = 67.783 mm is not.
        let far = says(&check(&hive_cart(), 9.0));
        assert!(!far.contains("regulator.set") && far.contains("take a bore of 67.79 mm"), "{far}");
        // Nothing helps where the back-pressure alone holds the pistons.
        let mut held = dough_tipper();
        held.cylinders.back_pressure = Pressure::new::<uom::si::pressure::bar>(2.0);
        let held = says(&check(&held, 9.0));
        assert!(!held.contains("bore") && held.contains("seals and grease"), "{held}");
    }
}
