//! The strokes of one fill of every example, worked in time, against the two counts.

use std::path::Path;

use lungful::answers::evaluate;
use lungful::answers::rehearsal::strokes_in_time;
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
