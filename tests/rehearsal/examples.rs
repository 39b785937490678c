//! The strokes of one fill of every example, worked in time, against the two counts.

use std::path::Path;

use lungful::answers::rehearsal::{Extent, plan, rehearse, strokes_in_time};
use lungful::answers::{LowerAnswer, evaluate};
use lungful::rig::{Document, Overrides, Rig, Source};
use lungful::sizing::tank_capacity::EndPressure;

use crate::rig::s;

/// The rig of a file, valves and rated flow added where it says none.
fn whole(name: &str, text: &str) -> Rig {
    let mut text = text.to_owned();
    let mut add = |key: &str, table: &str, line: &str| {
        if !text.lines().any(|line| line.starts_with(key)) {
            let heading = format!("[{table}]\n");
            assert!(text.contains(&heading), "{name}: {table}");
            text = text.replace(&heading, &format!("{heading}{line}\n"));
        }
    };
    add("raise ", "line", "raise = { C = \"1.5 L/(s bar)\", b = 0.3 }");
    add("lower ", "line", "lower = { bore = \"2 mm\" }");
    add("rated-flow ", "regulator", "rated-flow = \"500 L/min\"");
    add("per-hour ", "cycle", "per-hour = 10");
    Document::read(Some(&Source::new(name, &text)), &Overrides::none()).rig().unwrap()
}

#[test]
fn strokes_of_every_example_lie_between_the_counts() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples");
    let (mut rigs, mut held) = (0, 0);
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_none_or(|extension| extension != "toml") {
            continue;
        }
        let name = path.file_name().unwrap().to_str().unwrap().to_owned();
        let rig = whole(&name, &std::fs::read_to_string(&path).unwrap());
        let counts = evaluate(&rig).unwrap().strokes.from_cut_out;
        let low = counts.quick.map_or((0, 0), |quick| (quick.full_pressure, quick.until_stall));
        let high = (counts.slow.full_pressure, counts.slow.until_stall);
        let got = strokes_in_time(&rig, s(30.0), 500).unwrap();
        let got = (got.full_pressure, got.until_stall);
        rigs += 1;
        if rig.cycle.end_pressure == EndPressure::SetPoint {
            held += 1;
            assert!(low.0 <= got.0 && got.0 <= high.0, "{name}: {low:?} {got:?} {high:?}");
            assert!(low.1 <= got.1 && got.1 <= high.1, "{name}: {low:?} {got:?} {high:?}");
        } else {
            // Closed as the load arrives, the air may still be warm: see `counts`.
            let most = high.1 + 1 + high.1 / 10;
            assert!(low.1 <= got.1 && got.1 <= most, "{name}: {low:?} {got:?} {high:?}");
        }
    }
    assert!(rigs >= 8 && held >= 5, "{rigs} {held}");
}

#[test]
fn throttles_in_the_ports_count_in_a_session_too() {
    // Far narrower than the lower valve, they alone say how long the way down takes: `check` and a session agree
    // but for the heat that the sinking air takes up.
    let example = include_str!("../../examples/crate-lift.toml");
    assert!(!example.contains("[protection]"));
    let throttle = "\n[protection]\nport-throttle = { C = \"0.05 L/(s bar)\", b = 0.3 }\n";
    let (open, _) = lowered(example);
    let (throttled, by_check) = lowered(&format!("{example}{throttle}"));
    assert!(throttled > 2.0 * open, "{throttled} s against {open} s");
    assert!((throttled / by_check - 1.0).abs() < 0.1, "{throttled} s against {by_check} s");
}

/// Seconds of the first lowering, in a session and by the answers of `check`.
fn lowered(text: &str) -> (f64, f64) {
    let rig = Document::read(Some(&Source::new("rig.toml", text)), &Overrides::none()).rig().unwrap();
    let worked = rehearse(&rig, &plan(&rig, Extent::Lifts(1)).unwrap(), None, &mut |_, _| {}).unwrap();
    let Some(LowerAnswer::Arrives { total, .. }) = evaluate(&rig).unwrap().times.lower else {
        panic!("it comes down")
    };
    (worked.rehearsal.lifts[0].lower_time.unwrap().value, total.value)
}
