//! Every formula of the program in words: what it answers, the formula, its symbols, where it comes from,
//! where it holds and what people get wrong about it.
//!
//! These are the formulas that the code works with, written so that a reader can redo a figure by hand;
//! [`answers::working`](crate::answers::working) puts the numbers of a rig into them.

mod air;
mod column;
mod compressor;
mod energy;
mod faults;
mod force;
mod limits;
mod linkage;
mod motion;
mod rehearsal;
mod set_point;
mod steel;
mod strokes;
mod tank;
mod travel;

pub use air::{AIR_DENSITY, ATMOSPHERE, FREE_AIR, GAUGE_AND_ABSOLUTE};
pub use column::{ROD_COLUMN, SLENDER_LINKS, STEPPED_COLUMN};
pub use compressor::{
    DELIVERY, DELIVERY_NEEDED, DUTY, FILL_TIME, KEPT_UP_RATE, STALL, VOLUMETRIC_EFFICIENCY,
};
pub use energy::{BAND_ENERGY, ENERGY_PER_STROKE, STORED_ENERGY, STROKES_PER_CHARGE};
pub use faults::{
    COLD_TANK, CYLINDER_LOST, FALLING_LOAD, LOAD_LOST, OVERLOAD, RISING_PLATFORM, SINGLE_FAULTS,
    STUCK_SWITCH, TORN_HOSE, of_fault,
};
pub use force::{
    BREAKING_LOOSE, CAPACITY, LIFT_HEIGHT, LOAD, LOAD_PRESSURE, LOAD_RATIO, MOVING_PRESSURE, NEEDED_PRESSURE,
    RATED_CAPACITY, THRUST,
};
pub use limits::{PRESSURE_ORDER, RELIEF_CAPACITY, STUCK_REGULATOR, TOLERANCES, VERDICTS};
pub use linkage::{DEAD_POINT, FOLDING_LEG, LEVER, OVER_CENTRE_LOCK, SCISSOR, SCISSOR_FEET, TAKE_UP};
pub use motion::{
    CONDUCTANCE, FIRST_SLOW_LIFT, HOSE_CONDUCTANCE, LOWERING_SPEED, RAISE_DOUBLE_ACTING, RAISE_TIME,
    STOP_ENERGY, VALVE_FLOW, WANTED_VALVE,
};
pub use rehearsal::{HEAT_EXCHANGE, LOAD_MOTION, REGULATOR_DROOP, TANK_ENERGY};
pub use set_point::{BORE, SET_POINT};
pub use steel::{BEAM, DEFLECTION, PIN_AND_WELD, REINFORCEMENT, SECTION, THIN_WALLS};
pub use strokes::{QUICK_GAS, STROKES_AT_FULL_PRESSURE, STROKES_UNTIL_STALL, TANK_FOR_STROKES};
pub use tank::{AIR_PER_STROKE, DEAD_VOLUME, SWEPT_VOLUME, TANK_CONTENT, TANK_LEAK, USABLE_AIR};
pub use travel::{LIFT_ALONG_THE_TRAVEL, NET_HEIGHT, TIPPING, WORK_BALANCE};

/// A formula and all that a reader needs to use it.
#[derive(Debug, PartialEq, Eq)]
pub struct Formula {
    /// Its name on the command line: lower case, words joined by hyphens.
    pub topic: &'static str,
    /// Its name in a heading.
    pub title: &'static str,
    /// What it answers, in one plain sentence.
    pub asks: &'static str,
    /// The formula, ASCII, one relation a line.
    pub expression: &'static str,
    /// Symbols of the expression and what they stand for, constants with their value.
    pub symbols: &'static [(&'static str, &'static str)],
    /// Where it comes from.
    pub source: &'static str,
    /// Where it holds, and what it leaves out.
    pub validity: &'static str,
    /// What people get wrong here; empty where nothing stands out.
    pub mistakes: &'static str,
}

/// All formulas, from the load back to the battery, then the rules of judging.
pub static FORMULAS: &[&Formula] = &[
    &GAUGE_AND_ABSOLUTE,
    &ATMOSPHERE,
    &AIR_DENSITY,
    &FREE_AIR,
    &LOAD,
    &LOAD_PRESSURE,
    &NEEDED_PRESSURE,
    &BREAKING_LOOSE,
    &MOVING_PRESSURE,
    &THRUST,
    &LOAD_RATIO,
    &CAPACITY,
    &RATED_CAPACITY,
    &LIFT_HEIGHT,
    &LEVER,
    &FOLDING_LEG,
    &SCISSOR,
    &TAKE_UP,
    &DEAD_POINT,
    &OVER_CENTRE_LOCK,
    &SCISSOR_FEET,
    &LIFT_ALONG_THE_TRAVEL,
    &WORK_BALANCE,
    &ROD_COLUMN,
    &STEPPED_COLUMN,
    &SLENDER_LINKS,
    &SECTION,
    &REINFORCEMENT,
    &BEAM,
    &DEFLECTION,
    &THIN_WALLS,
    &PIN_AND_WELD,
    &NET_HEIGHT,
    &TIPPING,
    &SET_POINT,
    &BORE,
    &SWEPT_VOLUME,
    &DEAD_VOLUME,
    &AIR_PER_STROKE,
    &TANK_CONTENT,
    &TANK_LEAK,
    &USABLE_AIR,
    &STROKES_AT_FULL_PRESSURE,
    &STROKES_UNTIL_STALL,
    &QUICK_GAS,
    &TANK_FOR_STROKES,
    &VOLUMETRIC_EFFICIENCY,
    &DELIVERY,
    &STALL,
    &FILL_TIME,
    &KEPT_UP_RATE,
    &DELIVERY_NEEDED,
    &DUTY,
    &BAND_ENERGY,
    &ENERGY_PER_STROKE,
    &STROKES_PER_CHARGE,
    &STORED_ENERGY,
    &CONDUCTANCE,
    &HOSE_CONDUCTANCE,
    &VALVE_FLOW,
    &RAISE_TIME,
    &RAISE_DOUBLE_ACTING,
    &FIRST_SLOW_LIFT,
    &LOWERING_SPEED,
    &WANTED_VALVE,
    &STOP_ENERGY,
    &TANK_ENERGY,
    &HEAT_EXCHANGE,
    &LOAD_MOTION,
    &REGULATOR_DROOP,
    &PRESSURE_ORDER,
    &RELIEF_CAPACITY,
    &STUCK_REGULATOR,
    &SINGLE_FAULTS,
    &STUCK_SWITCH,
    &FALLING_LOAD,
    &RISING_PLATFORM,
    &CYLINDER_LOST,
    &LOAD_LOST,
    &OVERLOAD,
    &COLD_TANK,
    &TORN_HOSE,
    &TOLERANCES,
    &VERDICTS,
];

/// Topics that [`nearest`] names at most.
const MOST_NEAREST: usize = 5;

/// Likeness (0 to 1) from which a topic counts as near. Estimate of our own: lets a slip in every third
/// letter through.
const NEAR: f64 = 0.65;

/// The formula of a topic. Capitals, spaces and underscores do not matter.
///
/// ```
/// # use lungful::formulas::find;
/// assert_eq!(find("Load ratio").map(|formula| formula.topic), Some("load-ratio"));
/// assert!(find("perpetual-motion").is_none());
/// ```
#[must_use]
pub fn find(topic: &str) -> Option<&'static Formula> {
    let wanted = as_topic(topic);
    FORMULAS.iter().copied().find(|formula| formula.topic == wanted)
}

/// Topics that somebody may have meant, the likeliest first: those that share a word with `topic` or are
/// spelled much like it. May be empty.
///
/// ```
/// # use lungful::formulas::nearest;
/// assert_eq!(nearest("laod-ratio").first(), Some(&"load-ratio"));
/// assert!(nearest("relief").contains(&"relief-capacity"));
/// ```
#[must_use]
pub fn nearest(topic: &str) -> Vec<&'static str> {
    let wanted = as_topic(topic);
    let mut near: Vec<(f64, &'static str)> = FORMULAS
        .iter()
        .map(|formula| (likeness(&wanted, formula.topic), formula.topic))
        .filter(|&(likeness, _)| likeness >= NEAR)
        .collect();
    near.sort_by(|a, b| b.0.total_cmp(&a.0));
    near.truncate(MOST_NEAREST);
    near.into_iter().map(|(_, topic)| topic).collect()
}

/// The formula behind a check, by the name of the check in tables and JSON.
///
/// ```
/// # use lungful::formulas::of_check;
/// assert_eq!(of_check("relief capacity").map(|formula| formula.topic), Some("relief-capacity"));
/// ```
#[must_use]
pub fn of_check(id: &str) -> Option<&'static Formula> {
    // The beams of the frame have names of their own.
    if id.starts_with("frame: ") {
        return Some(&BEAM);
    }
    // So have pins and welds.
    if id.starts_with("pin: ") || id.starts_with("weld: ") {
        return Some(&PIN_AND_WELD);
    }
    Some(match id {
        "load ratio" => &LOAD_RATIO,
        "set point in window" => &SET_POINT,
        "breaks loose" => &BREAKING_LOOSE,
        "lift height" => &LIFT_HEIGHT,
        "cut-in above set point"
        | "cut-out above cut-in"
        | "relief above cut-out"
        | "relief within rating"
        | "filled-to within rating"
        | "cylinders at set point"
        | "line at set point"
        | "rod side, vent shut"
        | "cylinders on the way down"
        | "regulator inlet" => &PRESSURE_ORDER,
        "relief capacity" => &RELIEF_CAPACITY,
        "cylinders, regulator stuck open" | "line, regulator stuck open" | "line relief capacity" => {
            &STUCK_REGULATOR
        }
        "strokes wanted" => &STROKES_AT_FULL_PRESSURE,
        "compressor reaches cut-out" => &STALL,
        "rate wanted" => &KEPT_UP_RATE,
        "compressor duty" => &DUTY,
        "strokes per charge" => &STROKES_PER_CHARGE,
        "supply voltage" => &BAND_ENERGY,
        "dead point" => &DEAD_POINT,
        "over-centre lock" | "pull back over straight" => &OVER_CENTRE_LOCK,
        "feet of the scissor" => &SCISSOR_FEET,
        "net height" => &NET_HEIGHT,
        "rod column" | "rod column, regulator stuck open" => &ROD_COLUMN,
        "slender links" => &SLENDER_LINKS,
        "frame" => &BEAM,
        "tipping" => &TIPPING,
        "raise time" => &RAISE_TIME,
        "first slow lift" => &FIRST_SLOW_LIFT,
        "lowering speed" | "lower valve opened wide" => &LOWERING_SPEED,
        "blow at the stops" => &STOP_ENERGY,
        _ => return None,
    })
}

fn as_topic(text: &str) -> String {
    text.trim().to_lowercase().replace([' ', '_'], "-")
}

/// 0 for strangers to 1 for equals. A whole word in common, or a start in common, beats a slip of the pen.
fn likeness(wanted: &str, topic: &str) -> f64 {
    let spelling = strsim::normalized_damerau_levenshtein(wanted, topic);
    let words = |text: &'_ str| {
        text.split('-').filter(|word| word.len() > 2 && *word != "for").map(str::to_owned).collect()
    };
    let (ours, theirs): (Vec<String>, Vec<String>) = (words(wanted), words(topic));
    let shared = ours.iter().filter(|word| theirs.iter().any(|other| alike(word, other))).count();
    if shared == 0 {
        return spelling;
    }
    #[allow(clippy::cast_precision_loss, reason = "a handful of words")]
    let share = shared as f64 / ours.len().max(theirs.len()) as f64;
    spelling.max(NEAR + (1.0 - NEAR) * 0.9 * share)
}

/// Equal, one the start of the other, or one slip apart. Short words are a slip apart from anything, and
/// start anything: `format` has nothing of `for`, `airplane` nothing of `air`.
fn alike(word: &str, other: &str) -> bool {
    let slip = word.len().min(other.len()) > 3 && strsim::damerau_levenshtein(word, other) == 1;
    other.starts_with(word) || (other.len() > 3 && word.starts_with(other)) || slip
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    #[test]
    fn every_topic_is_found_under_its_own_name_only() {
        let topics: BTreeSet<&str> = FORMULAS.iter().map(|formula| formula.topic).collect();
        assert_eq!(topics.len(), FORMULAS.len(), "no topic twice");
        for formula in FORMULAS {
            assert!(std::ptr::eq(find(formula.topic).unwrap(), *formula));
            assert!(formula.topic.chars().all(|c| c.is_ascii_lowercase() || c == '-'), "{}", formula.topic);
            assert_eq!(nearest(formula.topic).first(), Some(&formula.topic));
        }
    }

    #[test]
    fn every_formula_is_complete_and_plain_ascii() {
        for formula in FORMULAS {
            let Formula { topic, title, asks, expression, symbols, source, validity, mistakes } = **formula;
            for text in [title, asks, expression, source, validity] {
                assert!(!text.trim().is_empty(), "{topic} leaves something out");
            }
            let texts = [title, asks, expression, source, validity, mistakes];
            let of_symbols = symbols.iter().flat_map(|&(symbol, meaning)| [symbol, meaning]);
            for text in texts.into_iter().chain(of_symbols) {
                assert!(text.is_ascii(), "{topic}: {text}");
                assert_eq!(text, text.trim(), "{topic}");
                assert!(!text.contains("  "), "{topic}: two blanks in {text}");
            }
            assert!(
                expression.lines().all(|line| line.len() <= 104),
                "{topic}: a line too long for a screen"
            );
            assert!(asks.ends_with('?') || asks.ends_with('.'), "{topic}: {asks}");
        }
    }

    /// Words of an expression: letters, digits and underscores in one piece.
    fn words(expression: &str) -> BTreeSet<&str> {
        expression
            .split(|c: char| !(c.is_ascii_alphanumeric() || c == '_'))
            .filter(|word| !word.is_empty())
            .collect()
    }

    #[test]
    fn every_symbol_is_used_and_none_is_unexplained() {
        for formula in FORMULAS {
            let used = words(formula.expression);
            let explained: BTreeSet<&str> = formula.symbols.iter().map(|&(symbol, _)| symbol).collect();
            assert_eq!(explained.len(), formula.symbols.len(), "{}: a symbol twice", formula.topic);
            for symbol in &explained {
                assert!(used.contains(symbol), "{}: `{symbol}` is not in the expression", formula.topic);
            }
            // A name with an underscore, and a single letter that is no unit, is a symbol.
            let units = ["K", "J", "s", "m", "a"];
            for word in used {
                let named = word.contains('_') || (word.len() == 1 && word.chars().all(char::is_alphabetic));
                if named && !units.contains(&word) {
                    assert!(explained.contains(word), "{}: `{word}` is not explained", formula.topic);
                }
            }
        }
    }

    #[test]
    fn nonsense_is_near_to_nothing() {
        assert!(nearest("xyzzy").is_empty());
        assert!(nearest("").is_empty());
        for word in
            ["foo", "bar", "baz", "hello", "help", "format", "airplane", "gasket", "weather", "banana"]
        {
            assert!(nearest(word).is_empty(), "{word}: {:?}", nearest(word));
        }
        for (slip, topic) in
            [("laod", "load-ratio"), ("boer", "bore"), ("setpiont", "set-point"), ("cap", "capacity")]
        {
            assert!(nearest(slip).contains(&topic), "{slip}: {:?}", nearest(slip));
        }
        assert!(nearest("strokes").len() > 2);
        assert_eq!(nearest("fil-time").first(), Some(&"fill-time"));
    }
}
