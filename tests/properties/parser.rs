//! The reader of quantities holds its word for any text.

#![allow(clippy::unwrap_used, reason = "a text that cannot be read fails the test")]

use approx::assert_relative_eq;
use lungful::units::display::{UnitSystem, show, show_exact};
use lungful::units::table::UNITS;
use lungful::units::{Dimension, parse::parse};
use proptest::prelude::*;

fn dimension() -> impl Strategy<Value = Dimension> {
    let mut all: Vec<Dimension> =
        UNITS.iter().map(|unit| unit.dimension).chain([Dimension::Number]).collect();
    all.dedup();
    prop::sample::select(all)
}

/// Texts that come close to quantities, so that the deeper branches are reached.
fn scraps() -> impl Strategy<Value = String> {
    let scrap = prop::sample::select(vec![
        "6", "1.5", "1,5", ".", ",", "-", "+", "+-", "±", "/", "1/2", "½", "e", "1e5", "1e308", "1e-400",
        " ", "\u{a0}", "\u{2009}", "bar", "psi", "(g)", " abs", "kg", "t", "%", "in", "ft", "'", "\"", "″",
        "h", "min", "m", "m3", "²", "°C", "K", "L/min", " ANR", "to ", "..", "000", "_", "NaN", "inf", "−",
        "é", "🜁",
    ]);
    prop::collection::vec(scrap, 0..12).prop_map(|scraps| scraps.concat())
}

fn holds_its_word(text: &str, wanted: Dimension) {
    match parse(text, wanted) {
        Ok(quantity) => {
            assert!(quantity.si.is_finite());
            assert!(quantity.tolerance.is_none_or(|half| half.is_finite() && half >= 0.0));
            let mass_for_volume =
                (wanted, quantity.dimension) == (Dimension::FreeAirFlow, Dimension::MassFlow);
            assert!(quantity.dimension == wanted || mass_for_volume);
        }
        Err(error) => {
            assert!(text.get(error.span.clone()).is_some(), "{:?} in {text:?}", error.span);
            assert!(!error.reason.is_empty());
        }
    }
}

proptest! {
    #[test]
    fn any_text_is_read_or_refused_with_a_place_in_it(text in any::<String>(), wanted in dimension()) {
        holds_its_word(&text, wanted);
    }

    #[test]
    fn near_misses_are_read_or_refused_with_a_place_in_them(text in scraps(), wanted in dimension()) {
        holds_its_word(&text, wanted);
    }

    #[test]
    fn a_number_and_a_unit_give_their_product(
        value in -1e9..1e9_f64,
        index in 0..UNITS.len(),
        space in prop::sample::select(vec!["", " ", "  ", "\u{a0}"]),
    ) {
        let unit = &UNITS[index];
        // `4` and `1/h` written together are the fraction 41/h to any reader.
        prop_assume!(!unit.spelling.starts_with('1') || !space.is_empty());
        let read = parse(&format!("{value}{space}{}", unit.spelling), unit.dimension).unwrap();
        assert_relative_eq!(read.si, value * unit.factor + unit.offset, max_relative = 1e-14, epsilon = 1e-30);
    }

    #[test]
    fn any_figure_is_shown_and_read_again(si in prop::num::f64::ANY, wanted in dimension()) {
        for system in [UnitSystem::Metric, UnitSystem::Us] {
            for shown in [show(si, wanted, system), show_exact(si, wanted, system)] {
                let lower = shown.to_lowercase();
                prop_assert!(!lower.contains("nan") && !lower.contains("inf") && !lower.starts_with("-0 "), "{}", shown);
                // The largest figures round up past the arithmetic.
                if si.is_finite() && si.abs() < 1e300 {
                    prop_assert!(parse(&shown, wanted).is_ok(), "{}", shown);
                }
            }
        }
    }
}
