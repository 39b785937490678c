//! What is said of any rig is complete, finite and consistent with itself.

use lungful::answers::{evaluate, working};
use lungful::report::{Report, document, terminal};
use lungful::units::UnitSystem;
use proptest::prelude::*;
use serde_json::Value;

use super::rigs::any_rig;
use super::sample::METRIC;

/// JSON writes what is not a number as null, so the look goes to the values themselves.
#[track_caller]
pub(crate) fn assert_finite(value: &impl std::fmt::Debug) {
    let text = format!("{value:?}");
    let strange = text.split(|c: char| !c.is_alphanumeric()).find(|word| ["NaN", "inf"].contains(word));
    assert_eq!(strange, None, "{text}");
}

/// The least margin among the worst verdicts, from the written checks alone.
fn weakest(checks: &[Value]) -> Option<&str> {
    let of = |verdict: &str| checks.iter().filter(|check| check["verdict"] == verdict).collect::<Vec<_>>();
    let worst = ["fail", "caution", "pass"].map(of).into_iter().find(|checks| !checks.is_empty())?;
    let room = |check: &Value| match check["margin"].as_f64() {
        Some(margin) => margin,
        None if check["verdict"] == "pass" => f64::INFINITY,
        None => 0.0,
    };
    let least = worst.iter().map(|check| room(check)).fold(f64::INFINITY, f64::min);
    worst.into_iter().find(|check| room(check) <= least).and_then(|check| check["id"].as_str())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(128))]

    #[test]
    fn every_figure_is_finite(rig in any_rig()) {
        let rig = rig.rig(METRIC);
        let answers = evaluate(&rig).unwrap();
        assert_finite(&answers);
        assert_finite(&working(&rig, &answers).unwrap());
        assert_finite(&Report::new(&rig, &answers, UnitSystem::Metric));
    }

    #[test]
    fn the_report_names_every_check_at_any_width(rig in any_rig(), width in 40..200_usize) {
        let rig = rig.rig(METRIC);
        let answers = evaluate(&rig).unwrap();
        let steps = working(&rig, &answers).unwrap();
        for units in [UnitSystem::Metric, UnitSystem::Us] {
            let report = Report::new(&rig, &answers, units).with_working(&steps);
            let text = terminal::text(&report, width);
            prop_assert!(!text.contains("NaN") && !text.split_whitespace().any(|word| word == "inf"), "{}", text);
            for check in &report.checks {
                prop_assert!(!check.advice.trim().is_empty(), "{}", check.id);
                // Columns narrower than this break words.
                let whole = width < 100 || check.id.split_whitespace().all(|word| text.contains(word));
                prop_assert!(whole, "{} is left out:\n{}", check.id, text);
            }
        }
    }

    #[test]
    fn verdict_and_weakest_link_follow_from_the_checks(rig in any_rig()) {
        let json = rig.json(METRIC);
        let checks = json["checks"].as_array().unwrap();
        prop_assert_eq!(json["weakest"].as_str(), weakest(checks));
        let named = checks.iter().find(|check| check["id"] == json["weakest"]);
        prop_assert_eq!(&json["verdict"], &named.unwrap()["verdict"]);
        for check in checks {
            let not_judged = check["verdict"] == "not judged";
            prop_assert!(!not_judged || check["value"].is_null() && check["margin"].is_null(), "{}", check);
            prop_assert!(not_judged || !check["value"].is_null(), "{}", check);
            prop_assert!(check["advice"].as_str().is_some_and(|advice| !advice.trim().is_empty()));
        }
    }

    #[test]
    fn the_json_holds_the_figures_of_the_report(rig in any_rig()) {
        let rig = rig.rig(METRIC);
        let answers = evaluate(&rig).unwrap();
        let report = Report::new(&rig, &answers, UnitSystem::Metric);
        let json: Value = serde_json::from_str(&document::json(&report)).unwrap();
        let strokes = answers.strokes.tank_after.len();
        prop_assert_eq!(json["strokes"]["tank_pa_gauge"].as_array().unwrap().len(), strokes);
        let counted = answers.strokes.from_cut_out.slow.until_stall;
        prop_assert_eq!(usize::try_from(counted).unwrap(), strokes);
        prop_assert!(counted < 1500, "{} strokes: the rigs are out of proportion", counted);
    }
}
