//! What one fault does, against calculations of its own; what protects; the traps that must be found.

#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "what does not hold fails the test"
)]

mod advice;
mod cautions;
mod numbers;
mod overload;
mod protection;
mod supply;
mod traps;
mod unfavourable;
mod working;

use lungful::answers::{Answers, Fault, Hazards, evaluate, hazards};
use lungful::report::{Report, terminal};
use lungful::rig::{Document, Overrides, Rig, Source};
use lungful::units::UnitSystem;

/// A rig with round numbers and nothing that protects.
pub(crate) const BARE: &str = r#"
title = "Round numbers"
[compressor]
delivery = { points = [["0 bar", "0.5 g/s"], ["20 bar", "0.5 g/s"]] }
cut-in = "7 bar"
cut-out = "8 bar"
[tank]
volume = "10 L"
rating = "10 bar"
relief = "9 bar"
[regulator]
set = "5 bar"
droop = "0.3 bar"
headroom = "0.5 bar"
tolerance = "5 %"
max-inlet = "16 bar"
[line]
hose-bore = "6 mm"
hose-length = "1 m"
rating = "7.9 bar"
raise = { C = "1 L/(s bar)", b = 0.3 }
lower = { bore = "4 mm" }
raise-unpowered = "shut"
lower-unpowered = "open"
[cylinders]
count = 2
bore = "50 mm"
rod = "20 mm"
stroke = "400 mm"
action = "single"
rating = "7.9 bar"
friction = "10 %"
closed-length = "550 mm"
[load]
mass = "100 kg"
moving = "20 kg"
lift = "380 mm"
"#;

/// A rig file with some of its text replaced.
#[track_caller]
pub(crate) fn edited(text: &str, edits: &[(&str, &str)]) -> String {
    edits.iter().fold(text.to_owned(), |text, (old, new)| {
        assert!(text.contains(old), "`{old}` is not in the file");
        text.replacen(old, new, 1)
    })
}

#[track_caller]
pub(crate) fn rig(text: &str) -> Rig {
    Document::read(Some(&Source::new("test.toml", text)), &Overrides::none())
        .rig()
        .unwrap_or_else(|problems| panic!("{problems}\n{text}"))
}

#[track_caller]
pub(crate) fn judged(text: &str) -> (Rig, Answers, Hazards) {
    let rig = rig(text);
    let answers = evaluate(&rig).unwrap();
    let found = hazards(&rig, &answers).unwrap();
    (rig, answers, found)
}

#[track_caller]
pub(crate) fn fault(hazards: &Hazards, id: &str) -> Fault {
    hazards
        .faults
        .iter()
        .find(|fault| fault.check.id == id)
        .unwrap_or_else(|| panic!("no fault `{id}`"))
        .clone()
}

#[track_caller]
pub(crate) fn figure(fault: &Fault, name: &str) -> f64 {
    fault
        .figures
        .iter()
        .find(|figure| figure.name == name)
        .unwrap_or_else(|| panic!("no figure `{name}`"))
        .value
}

/// The text of `faults` on one line.
#[track_caller]
pub(crate) fn text(text: &str) -> String {
    let (rig, answers, found) = judged(text);
    let report = Report::new(&rig, &answers, UnitSystem::Metric).with_hazards(&found);
    let plain: String = terminal::faults_text(&report, 150)
        .split('\u{1b}')
        .enumerate()
        .map(|(piece, text)| match text.split_once('m') {
            Some((_, after)) if piece > 0 => after,
            _ => text,
        })
        .collect();
    plain.split_whitespace().collect::<Vec<_>>().join(" ")
}
