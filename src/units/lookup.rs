//! From the spelling of a unit to its row in the table.

use super::free_air::ReferenceState;
use super::table::{Dimension, Mark, UNITS, Unit};

/// A unit with what its spelling, marks behind it included, says about kind or state.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Found {
    pub(super) unit: &'static Unit,
    pub(super) mark: Mark,
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Lookup {
    Found(Found),
    /// Two units differ in nothing but capitals, and neither is written exactly.
    Ambiguous(&'static Unit, &'static Unit),
    /// Kind or state is said twice, as in `psig abs`.
    SaidTwice {
        first: Mark,
        second: Mark,
    },
    Unknown,
}

/// Words behind a unit. The longer come before the shorter that they end in.
const SUFFIXES: [(&str, Mark); 20] = [
    ("(gauge)", Mark::Gauge),
    ("(g)", Mark::Gauge),
    (" gauge", Mark::Gauge),
    (" g", Mark::Gauge),
    ("(absolute)", Mark::Absolute),
    ("(abs)", Mark::Absolute),
    ("(a)", Mark::Absolute),
    (" absolute", Mark::Absolute),
    (" abs.", Mark::Absolute),
    (" abs", Mark::Absolute),
    (" a", Mark::Absolute),
    ("(anr)", Mark::FreeAir(ReferenceState::Anr)),
    (" anr", Mark::FreeAir(ReferenceState::Anr)),
    ("(normal)", Mark::FreeAir(ReferenceState::Normal)),
    (" normal", Mark::FreeAir(ReferenceState::Normal)),
    ("(inlet)", Mark::FreeAir(ReferenceState::Inlet)),
    (" inlet", Mark::FreeAir(ReferenceState::Inlet)),
    (" fad", Mark::FreeAir(ReferenceState::Inlet)),
    ("(standard)", Mark::FreeAir(ReferenceState::Standard)),
    (" standard", Mark::FreeAir(ReferenceState::Standard)),
];

/// No spelling with its suffix is longer; what is, need not be searched for.
const LONGEST: usize = 40;

/// Finds a unit among the dimensions that `accept` lets through: as written, then without regard to
/// capitals, then with a word such as `abs` or `ANR` taken off.
pub(super) fn find(text: &str, accept: &dyn Fn(Dimension) -> bool) -> Lookup {
    if text.len() > 3 * LONGEST {
        return Lookup::Unknown;
    }
    find_key(&normalised(text), accept)
}

fn find_key(key: &str, accept: &dyn Fn(Dimension) -> bool) -> Lookup {
    if key.is_empty() || key.len() > LONGEST {
        return Lookup::Unknown;
    }
    let listed = find_listed(key, accept);
    if listed != Lookup::Unknown {
        return listed;
    }
    let Some((base, mark)) = strip_suffix(key) else { return Lookup::Unknown };
    match find_key(base, &|dimension| accept(dimension) && suits(mark, dimension)) {
        Lookup::Found(Found { unit, mark: Mark::Plain }) => Lookup::Found(Found { unit, mark }),
        Lookup::Found(Found { mark: first, .. }) => Lookup::SaidTwice { first, second: mark },
        other => other,
    }
}

fn find_listed(key: &str, accept: &dyn Fn(Dimension) -> bool) -> Lookup {
    let candidates = || UNITS.iter().filter(|unit| accept(unit.dimension));
    let found = |unit: &'static Unit| Lookup::Found(Found { unit, mark: unit.mark });
    if let Some(exact) = candidates().find(|unit| unit.spelling == key) {
        return found(exact);
    }
    let mut folded = candidates().filter(|unit| unit.spelling.eq_ignore_ascii_case(key));
    let Some(first) = folded.next() else { return Lookup::Unknown };
    let rival = folded.find(|unit| unit.dimension == first.dimension && !unit.same_meaning(first));
    rival.map_or_else(|| found(first), |other| Lookup::Ambiguous(first, other))
}

/// Whether a mark can stand behind a unit of the dimension.
fn suits(mark: Mark, dimension: Dimension) -> bool {
    match mark {
        Mark::Plain => true,
        Mark::Gauge | Mark::Absolute => dimension == Dimension::Pressure,
        Mark::FreeAir(_) => matches!(dimension, Dimension::FreeAirFlow | Dimension::FreeAirVolume),
    }
}

fn strip_suffix(key: &str) -> Option<(&str, Mark)> {
    SUFFIXES.iter().find_map(|&(suffix, mark)| {
        let at = key.len().checked_sub(suffix.len())?;
        let fits = key.get(at..)?.eq_ignore_ascii_case(suffix);
        fits.then(|| key.get(..at).map(|base| (base.trim_end(), mark))).flatten()
    })
}

/// A spelling as the table has it: superscripts, typographic quotes, middle dots and spaces made plain.
pub(super) fn normalised(text: &str) -> String {
    let mut key = String::with_capacity(text.len());
    for c in text.trim().chars() {
        let plain = match c {
            '^' | '\u{200b}' | '\u{feff}' => continue,
            '²' => '2',
            '³' => '3',
            'º' | '˚' => '°',
            '℃' => {
                key.push_str("°C");
                continue;
            }
            '℉' => {
                key.push_str("°F");
                continue;
            }
            'µ' | 'μ' => 'u',
            'ℓ' => 'L',
            '′' | '’' | '‘' => '\'',
            '″' | '”' | '“' => '"',
            '\u{2044}' | '\u{2215}' => '/',
            '·' | '⋅' | '∙' | '*' | '×' => ' ',
            c if c.is_whitespace() => ' ',
            c => c,
        };
        // A space means something between words only, not beside a stroke, a bracket or a degree sign.
        let idle_space = plain == ' ' && (key.is_empty() || key.ends_with([' ', '/', '(', '°']));
        if idle_space {
            continue;
        }
        if matches!(plain, '/' | '(' | ')') && key.ends_with(' ') {
            key.pop();
        }
        key.push(plain);
    }
    key.truncate(key.trim_end().len());
    if key.ends_with("''") {
        key.truncate(key.len() - 2);
        key.push('"');
    }
    key
}

/// The units that were probably meant, if any is close. Where units of another kind or state are as close,
/// there is one of each, so that nobody is led to drop a mark: `psiq` may be `psi`, `psig` or `psia`.
pub(super) fn closest(text: &str, accept: &dyn Fn(Dimension) -> bool) -> Vec<&'static Unit> {
    let key = normalised(text).to_lowercase();
    if key.is_empty() || key.len() > LONGEST {
        return Vec::new();
    }
    // One slip in a short word, two in a long one.
    let allowed = if key.chars().count() < 5 { 1 } else { 2 };
    let near: Vec<(usize, &'static Unit)> = UNITS
        .iter()
        .filter(|unit| accept(unit.dimension) && unit.spelling.len() > 1)
        .map(|unit| (strsim::damerau_levenshtein(&key, &unit.spelling.to_lowercase()), unit))
        .filter(|&(distance, unit)| distance <= allowed && distance < unit.spelling.len())
        .collect();
    let least = near.iter().map(|&(distance, _)| distance).min();
    let mut meant: Vec<&'static Unit> = Vec::new();
    for unit in near.into_iter().filter(|&(distance, _)| Some(distance) == least).map(|(_, unit)| unit) {
        if meant.iter().all(|other| other.mark != unit.mark) {
            meant.push(unit);
        }
    }
    meant
}

/// Whether the spelling of a flow begins with the letter of a standard or normal state, as `slpm` and `Nl`
/// do. No flow without a state is spelled so.
pub(super) fn begins_with_a_state(text: &str) -> bool {
    let key = normalised(text).to_lowercase();
    let Some(rest) = key.strip_prefix(['s', 'n']) else { return false };
    key.starts_with("st") || key.starts_with("no") || rest.trim_start().starts_with(['l', 'm', 'c', 'f', 'd'])
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pressure(dimension: Dimension) -> bool {
        dimension == Dimension::Pressure
    }

    #[test]
    fn typography_is_made_plain() {
        for (typed, plain) in [
            ("kgf/cm²", "kgf/cm2"),
            ("m^3", "m3"),
            ("L / (s·bar)", "L/(s bar)"),
            ("ft\u{a0}lbf", "ft lbf"),
            ("bar (g)", "bar(g)"),
            ("° C", "°C"),
            ("℉", "°F"),
            ("″", "\""),
            ("''", "\""),
        ] {
            assert_eq!(normalised(typed), plain, "{typed}");
        }
    }

    #[test]
    fn every_spelling_finds_its_own_row() {
        for unit in UNITS {
            let found = find(unit.spelling, &|dimension| dimension == unit.dimension);
            assert_eq!(found, Lookup::Found(Found { unit, mark: unit.mark }), "{}", unit.spelling);
        }
    }

    #[test]
    fn kind_words_work_behind_every_pressure_unit() {
        for unit in
            UNITS.iter().filter(|unit| unit.dimension == Dimension::Pressure && unit.mark == Mark::Plain)
        {
            for (suffix, mark) in SUFFIXES.iter().filter(|(_, mark)| suits(*mark, Dimension::Pressure)) {
                let text = format!("{}{suffix}", unit.spelling);
                assert_eq!(find(&text, &pressure), Lookup::Found(Found { unit, mark: *mark }), "{text}");
            }
        }
    }

    #[test]
    fn capitals_are_forgiven_only_where_nothing_hangs_on_them() {
        assert!(matches!(find("PSI", &pressure), Lookup::Found(found) if found.unit.spelling == "psi"));
        assert!(matches!(find("Bar", &pressure), Lookup::Found(found) if found.unit.spelling == "bar"));
        assert!(matches!(find("MPa", &pressure), Lookup::Found(found) if found.unit.factor > 1.0));
        assert!(matches!(find("mPa", &pressure), Lookup::Found(found) if found.unit.factor < 1.0));
        assert!(matches!(find("MPA", &pressure), Lookup::Ambiguous(..)));
    }

    #[test]
    fn no_two_rows_of_a_dimension_share_a_spelling() {
        for (index, unit) in UNITS.iter().enumerate() {
            let twin = UNITS
                .iter()
                .skip(index + 1)
                .find(|other| other.dimension == unit.dimension && other.spelling == unit.spelling);
            assert_eq!(twin, None);
        }
    }

    #[test]
    fn a_slip_is_traced_to_a_unit() {
        let spellings = |text| closest(text, &pressure).iter().map(|unit| unit.spelling).collect::<Vec<_>>();
        assert_eq!(spellings("psj"), ["psi"]);
        assert_eq!(spellings("bor"), ["bar"]);
        assert!(spellings("furlong").is_empty());
    }

    #[test]
    fn no_mark_is_dropped_on_the_way() {
        let spellings = |text| closest(text, &pressure).iter().map(|unit| unit.spelling).collect::<Vec<_>>();
        assert_eq!(spellings("psiq"), ["psi", "psig", "psia"]);
        assert_eq!(spellings("baar"), ["bar", "bara"]);
        for text in ["slpm", "SLM", "sl/min", "nlpm", "sccm", "Sm3/h", "std L/min", "normal litres"] {
            assert!(begins_with_a_state(text), "{text}");
        }
        for unit in UNITS {
            let is_plain_flow = unit.dimension == Dimension::FreeAirFlow && unit.mark == Mark::Plain;
            assert!(!(is_plain_flow && begins_with_a_state(unit.spelling)), "{}", unit.spelling);
        }
    }
}
