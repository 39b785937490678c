//! The same rig written in metric and in US units gives the same answers.

use proptest::prelude::*;
use serde_json::Value;

use super::rigs::any_rig;
use super::sample::{METRIC, US};

/// The two files hold the same figures to a few units in the sixteenth digit.
const RELATIVE: f64 = 1e-9;

/// The size beside which a difference counts: a gauge pressure or a margin near zero is the difference of two
/// figures of this size.
fn scale(path: &str) -> f64 {
    if path.contains("_pa_gauge") {
        1e5
    } else if path.ends_with("margin") {
        1.0
    } else {
        0.0
    }
}

/// The place of a smooth highest point is known only to the root of what its height is known to.
fn tolerance(path: &str) -> f64 {
    let is_place = [".worst_travel_m", ".limiting_travel_m"].iter().any(|place| path.ends_with(place));
    if is_place { 1e-6 } else { RELATIVE }
}

fn compare(path: &str, metric: &Value, us: &Value, wrong: &mut Vec<String>) {
    match (metric, us) {
        (Value::Object(a), Value::Object(b)) if a.len() == b.len() => {
            for (key, value) in a {
                // Sentences hold figures that are rounded to be read.
                if !["advice", "notes"].contains(&key.as_str()) {
                    compare(&format!("{path}.{key}"), value, &b[key], wrong);
                }
            }
        }
        (Value::Array(a), Value::Array(b)) if a.len() == b.len() => {
            for (index, (a, b)) in a.iter().zip(b).enumerate() {
                compare(&format!("{path}[{index}]"), a, b, wrong);
            }
        }
        (Value::Number(a), Value::Number(b)) if a.is_f64() && b.is_f64() => {
            let (a, b) = (a.as_f64().unwrap(), b.as_f64().unwrap());
            if (a - b).abs() > tolerance(path) * a.abs().max(scale(path)) {
                wrong.push(format!("{path}: {a} and {b}"));
            }
        }
        (a, b) if a == b => {}
        (a, b) => wrong.push(format!("{path}: {a} and {b}")),
    }
}

proptest! {
    #[test]
    fn metric_and_us_files_of_one_rig_say_the_same(rig in any_rig()) {
        let mut wrong = Vec::new();
        compare("", &rig.json(METRIC), &rig.json(US), &mut wrong);
        prop_assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    }
}
