//! Whole rigs against an independent calculation.
//!
//! Cross-checked: `tests/fixtures/reference/reference_model.py` was written from the meaning of each answer
//! alone, by somebody who had not seen this code, with CoolProp (real-gas air), scipy quadrature and bracketing
//! root finders. Versions stand in the head of `answers.json`, rules that could be read in two ways in the
//! README beside it.

use lungful::answers::evaluate;
use lungful::report::{Report, document};
use lungful::rig::{Document, Overrides, Source};
use lungful::units::UnitSystem;
use serde_json::Value;

/// Both calculations solve the same equations to rounding; the quadratures and root finders of the reference
/// stop at about 1e-10.
const RELATIVE: f64 = 1e-8;

/// Differences of pressures near zero: the same 1e-10 of some 10 bar.
const ABSOLUTE: f64 = 1e-3;

fn reference() -> Value {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/fixtures/reference/answers.json");
    serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap()
}

fn ours(name: &str) -> Value {
    let path = format!("{}/tests/fixtures/reference/rigs/{name}", env!("CARGO_MANIFEST_DIR"));
    let source = Source::read(path.as_ref()).unwrap_or_else(|problems| panic!("{problems}"));
    let rig = Document::read(Some(&source), &Overrides::none())
        .rig()
        .unwrap_or_else(|problems| panic!("{problems}"));
    let answers = evaluate(&rig).unwrap();
    let report = Report::new(&rig, &answers, UnitSystem::Metric);
    serde_json::from_str(&document::json(&report)).unwrap()
}

/// Compares every key of `theirs` with the same key of `ours`.
fn compare(path: &str, theirs: &Value, ours: &Value, wrong: &mut Vec<String>) {
    match (theirs, ours) {
        (Value::Object(fields), _) => {
            for (key, value) in fields {
                compare(&format!("{path}.{key}"), value, &ours[key], wrong);
            }
        }
        (Value::Array(a), Value::Array(b)) if a.len() == b.len() => {
            for (index, (a, b)) in a.iter().zip(b).enumerate() {
                compare(&format!("{path}[{index}]"), a, b, wrong);
            }
        }
        (Value::Number(a), Value::Number(b)) => {
            if (a.is_i64() || a.is_u64()) && b.is_u64() {
                if a.as_i64() != b.as_i64() {
                    wrong.push(format!("{path}: {a} here {b}"));
                }
                return;
            }
            let (a, b) = (a.as_f64().unwrap(), b.as_f64().unwrap());
            let near_zero = path.contains("_pa_gauge") && (a - b).abs() < ABSOLUTE;
            if (a - b).abs() > RELATIVE * a.abs() && !near_zero {
                wrong.push(format!("{path}: {a} here {b}"));
            }
        }
        (a, b) if a == b => {}
        (a, b) => wrong.push(format!("{path}: {a} here {b}")),
    }
}

#[test]
fn cross_checked_answers_of_whole_rigs() {
    let reference = reference();
    let rigs = reference["rigs"].as_array().unwrap();
    assert!(rigs.len() >= 80);
    let mut wrong = Vec::new();
    for rig in rigs {
        let name = rig["rig"].as_str().unwrap();
        let ours = ours(name);
        for block in ["site", "lift", "set_point", "air", "strokes", "fill", "battery", "energy"] {
            compare(&format!("{name} {block}"), &rig["answers"][block], &ours[block], &mut wrong);
        }
    }
    assert!(wrong.is_empty(), "{} differ:\n{}", wrong.len(), wrong.join("\n"));
}

/// Check of the reference and ours, where both judge it.
const CHECKS: &[(&str, &str)] = &[
    ("load ratio", "load ratio"),
    ("set point in window", "set point in window"),
    ("cut-in above set point + headroom", "cut-in above set point"),
    ("cut-out above cut-in", "cut-out above cut-in"),
    ("relief above cut-out", "relief above cut-out"),
    ("relief within rating", "relief within rating"),
    ("relief capacity", "relief capacity"),
    ("strokes wanted", "strokes wanted"),
    ("rate wanted", "rate wanted"),
    ("compressor duty", "compressor duty"),
    ("strokes per charge", "strokes per charge"),
];

#[test]
fn cross_checked_margins_and_verdicts() {
    let reference = reference();
    let mut wrong = Vec::new();
    let mut compared = 0;
    for rig in reference["rigs"].as_array().unwrap() {
        let name = rig["rig"].as_str().unwrap();
        let ours = ours(name);
        for theirs in rig["answers"]["checks"].as_array().unwrap() {
            let Some((_, id)) = CHECKS.iter().find(|pair| pair.0 == theirs["id"]) else { continue };
            let Some(mine) = ours["checks"].as_array().unwrap().iter().find(|check| check["id"] == *id)
            else {
                wrong.push(format!("{name}: no check {id}"));
                continue;
            };
            compared += 1;
            // A pump that delivers nothing at the relief pressure: judged here, left open there.
            let dead_pump = *id == "relief capacity" && mine["limit"] == 0.0;
            if dead_pump && theirs["verdict"] == "not judged" {
                continue;
            }
            if theirs["verdict"] != mine["verdict"] {
                wrong.push(format!("{name} {id}: {} here {}", theirs["verdict"], mine["verdict"]));
            }
            compare(&format!("{name} {id} margin"), &theirs["margin"], &mine["margin"], &mut wrong);
        }
    }
    assert!(compared > 500, "only {compared} checks were compared");
    assert!(wrong.is_empty(), "{} differ:\n{}", wrong.len(), wrong.join("\n"));
}
