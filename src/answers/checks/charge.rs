//! The battery.

use super::at_least;
use crate::answers::check::sentence;
use crate::answers::{Answers, Check, Piece, Sentence, Verdict};
use crate::rig::{AirSource, Rig};
use crate::units::Dimension;

pub(super) fn checks(rig: &Rig, answers: &Answers, checks: &mut Vec<Check>) {
    let Some(battery) = &rig.battery else { return };
    checks.push(strokes_per_charge(rig, answers, battery.strokes_wanted));
    if let AirSource::Compressor(compressor) = &rig.source
        && let Some(volts) = compressor.volts
        && volts != battery.volts
    {
        checks.push(Check {
            id: "supply voltage".into(),
            verdict: Verdict::Caution,
            value: Some(volts.value),
            limit: Some(battery.volts.value),
            margin: None,
            dimension: Dimension::Voltage,
            advice: sentence![
                "the pump is made for ",
                (volts.value, Dimension::Voltage),
                " and the battery gives ",
                (battery.volts.value, Dimension::Voltage),
                ": match them, or put a converter between and count its loss"
            ],
        });
    }
}

fn strokes_per_charge(rig: &Rig, answers: &Answers, wanted: Option<u32>) -> Check {
    const ID: &str = "strokes per charge";
    let Some(strokes) = answers.battery.strokes_per_charge else {
        let stalls = answers.fill.as_ref().is_some_and(|fill| fill.stalls_at.is_some());
        let advice = if stalls {
            sentence!["the pump stalls before cut-out, so a stroke has no energy of its own"]
        } else if matches!(rig.source, AirSource::Bottle { .. }) {
            sentence!["a bottle draws nothing from the battery; the steady load alone is not counted"]
        } else {
            sentence![
                "measure the pump's current at several pressures and enter `compressor.volts` and `compressor.current`"
            ]
        };
        return Check::not_judged(ID, Dimension::Number, advice);
    };
    let Some(wanted) = wanted else {
        let advice = sentence!["say how many strokes one charge must give: `battery.strokes-wanted`"];
        return Check::not_judged(ID, Dimension::Number, advice);
    };
    let mut check = at_least(ID, strokes, f64::from(wanted), Dimension::Number, Sentence::default());
    check.advice = match check.verdict {
        Verdict::Fail => sentence![
            "take a battery of ",
            Piece::AtLeast(f64::from(wanted) / strokes, Dimension::Number),
            " times the capacity, or charge in between"
        ],
        _ => sentence!["of a battery at its full capacity; cold and age take some of it"],
    };
    check
}
