//! The raise of double-acting cylinders, whose rod side empties on the way.

use approx::assert_relative_eq;
use lungful::answers::{RaiseAnswer, evaluate};
use lungful::rig::{Document, Overrides, Source};

/// `tests/fixtures/rehearsal/double_acting.py` (numpy 2.4.6, scipy 1.17.1, LSODA at 1e-10) with the figures that it
/// prints: time, delay, pressure on the cap side on arrival. Both solve the same equations, so they agree to the error
/// of the steps taken here, 1e-7 of each pressure and travel a step.
#[test]
fn cross_checked_raise_against_the_rod_side() {
    let text = include_str!("../fixtures/rehearsal/double-acting.toml");
    let rig = Document::read(Some(&Source::new("rig.toml", text)), &Overrides::none()).rig().unwrap();
    let times = evaluate(&rig).unwrap().times;
    for (raise, expected) in [
        (times.raise, [1.106_718_65, 0.001_340_96, 423_459.19]),
        (times.raise_empty, [0.540_587_42, 0.001_340_96, 211_151.89]),
    ] {
        let Some(RaiseAnswer::Arrives { delay, total, rod_side: Some(holds), .. }) = raise else {
            panic!("{raise:?}")
        };
        let found = [total.value, delay.value, holds.arrives_at.pascals()];
        for (found, expected) in found.into_iter().zip(expected) {
            assert_relative_eq!(found, expected, max_relative = 5e-6);
        }
    }
}
