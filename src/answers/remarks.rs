//! The cautions and notes that fit a rig. Cautions can be chosen by the rig, never suppressed.

use super::check::sentence;
use super::joint::weld_cautions;
use super::{Answers, Sentence};
use crate::frame::joint::Pin;
use crate::rig::{AirSource, Rig};
use crate::sizing::compressor_fill_time::Delivery;
use crate::sizing::tank_capacity::MOST_STROKES;
use crate::units::Dimension;

/// Above this altitude delivery points measured near sea level flatter the pump.
const HIGH_SITE_M: f64 = 500.0;

/// Above this pressure, in Pa, a bottle gets cautions of its own: above what receivers of small compressors
/// are made for. Estimate of our own.
const HIGH_PRESSURE_PA: f64 = 30e5;

/// Cautions for a rig.
#[must_use]
pub fn cautions(rig: &Rig) -> Vec<Sentence> {
    let mut cautions = vec![
        sentence![
            "Never be under, or let anybody be under, a load that only air holds. Support it mechanically first."
        ],
        sentence!["Not for lifting people."],
        sentence![
            "Stored air can kill. Use receivers made and marked for air only; never block the relief valve, never set it above the receiver's rating."
        ],
        sentence![
            "Before any work on the rig: switch off and lock out, lower the load, drain the tank, vent the cylinders. Restrain hoses."
        ],
    ];
    if let AirSource::Bottle { filled_to } = &rig.source
        && filled_to.pascals() > HIGH_PRESSURE_PA
        && rig.is_given("tank.filled-to")
    {
        cautions.push(sentence![
            "A high-pressure bottle wants a regulator, hoses and fittings made for its pressure, a valve opened slowly, and filling and testing by people licensed for it."
        ]);
    }
    if let AirSource::Compressor(compressor) = &rig.source {
        if rig.defaults.iter().any(|default| default.field == "compressor.duty") {
            cautions.push(sentence![
                "No duty is stated, so the pump is taken to run without rest: small pumps are seldom built for that. Find its duty and enter `compressor.duty`."
            ]);
        }
        if matches!(compressor.delivery, Delivery::Points(_)) && is_high(rig) {
            cautions.push(sentence![
                "The delivery points are used as given. On a site above ",
                (HIGH_SITE_M, Dimension::Length),
                " a pump delivers less than points measured near sea level say: measure it on the site."
            ]);
        }
    }
    if rig.arms.is_some() {
        cautions.push(sentence![
            "Links and arms are judged against buckling alone. The arms of a scissor bend at their middle pins, and a bracket bends a link: have that worked out."
        ]);
    }
    if !rig.pins.is_empty() {
        cautions.push(sentence!["Pins: ", Pin::CAUTION, "."]);
        if rig.linkage.shape.end() < rig.cylinders.stroke {
            cautions.push(sentence![
                "The force on a pin is that of the load. A linkage that meets its stop with the valve open feels all that the set point gives: give that `force` where it is greater."
            ]);
        }
    }
    for caution in weld_cautions(rig) {
        cautions.push(sentence!["Welds: ", caution, "."]);
    }
    if !rig.frame.is_empty() {
        cautions.push(if rig.pins.is_empty() && rig.welds.is_empty() {
            sentence![
                "A frame is as strong as its welds, pins and the ground under it, which are not judged here. Prove it with a test load before it is used."
            ]
        } else {
            sentence![
                "A frame is as strong as all its welds, all its pins and the ground under it, of which only those described are judged. Prove it with a test load before it is used."
            ]
        });
    }
    cautions.push(sentence![
        "The figures are an aid, not an approval. Local rules for pressure equipment, lifting and electrics, and a qualified person, decide."
    ]);
    cautions
}

/// What a reader should know of how the figures came about.
#[must_use]
pub fn notes(rig: &Rig, answers: &Answers) -> Vec<Sentence> {
    let mut notes = Vec::new();
    if matches!(rig.source, AirSource::Compressor(_)) {
        let bare: Vec<&str> = ["compressor.cut-in", "compressor.cut-out", "tank.relief"]
            .into_iter()
            .filter(|field| rig.tolerance(field) <= 0.0 && rig.is_given(field))
            .collect();
        if !bare.is_empty() {
            let bare = bare.iter().map(|field| format!("`{field}`")).collect::<Vec<_>>().join(", ");
            notes.push(sentence![
                bare,
                ": taken as written. Switches and valves scatter; with a stated tolerance, as in \"8 bar +- 0.3 bar\", each counts at its unfavourable end"
            ]);
        }
    }
    notes.push(sentence![
        "counts start from a tank at its pressure and at the temperature of the site. After a fast fill the tank is warm and settles lower"
    ]);
    let strokes = &answers.strokes;
    let missing = |starts: &super::Starts| starts.quick.is_none();
    if missing(&strokes.from_cut_out) || strokes.from_cut_in.as_ref().is_some_and(missing) {
        notes.push(sentence![
            "no quick-gas count: drawn down so far without rewarming, the tank would fall below ",
            (150.0, Dimension::Temperature),
            ", where the gas equation ends"
        ]);
    }
    if strokes.from_cut_out.slow.until_stall >= MOST_STROKES {
        notes.push(sentence![
            "the count stops at ",
            (f64::from(MOST_STROKES), Dimension::Number),
            " strokes"
        ]);
    }
    let steady = rig.battery.is_some_and(|battery| battery.steady_load.value > 0.0);
    if steady && rig.cycle.per_hour.is_none() {
        notes.push(sentence![
            "the steady load is not in the energy of a stroke, since `cycle.per-hour` does not say how long a stroke's turn lasts"
        ]);
    }
    if rig.line.hose.is_none() {
        notes.push(sentence![
            "no hose is given, so its volume is left out of the air of a stroke: enter `line.hose-bore` and `line.hose-length`"
        ]);
    }
    notes
}

fn is_high(rig: &Rig) -> bool {
    let limit = uom::si::f64::Length::new::<uom::si::length::meter>(HIGH_SITE_M);
    crate::air::atmosphere::pressure(limit).is_ok_and(|pressure| rig.site.atmosphere < pressure)
}
