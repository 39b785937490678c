//! Why a text is not the quantity that is needed, in words that say how to mend it.

use std::ops::Range;

use super::display::significant;
use super::lookup::{self, Lookup};
use super::number::{self, Fault};
use super::parse::{Amount, QuantityError, Reader};
use super::table::{Dimension, GRAVITY, Mark, POUND_FORCE, System, Unit, usual};
use super::tolerance::separator;

impl Reader<'_> {
    pub(super) fn number_fault(&self, fault: Fault, span: Range<usize>) -> QuantityError {
        let shown =
            |len: usize| (span.start..span.start + len, self.at(span.start..span.start + len).to_owned());
        match fault {
            Fault::Missing => {
                let written = self.at(span.clone());
                let reason = if written.is_empty() {
                    "a number is missing".to_owned()
                } else {
                    format!("`{written}` does not begin with a number")
                };
                self.fail(span, reason, Some(self.example("6")))
            }
            Fault::Spelled { len } => {
                let (at, number) = shown(len);
                self.fail(
                    at,
                    format!("`{number}` is not a number to calculate with"),
                    Some(self.example("6")),
                )
            }
            Fault::TooLarge { len } => {
                let (at, number) = shown(len);
                self.fail(at, format!("`{number}` is too large to calculate with"), None)
            }
            Fault::TooSmall { len } => {
                let (at, number) = shown(len);
                let hint = "write `0` if nothing is meant".to_owned();
                self.fail(at, format!("`{number}` is too small to be told from zero"), Some(hint))
            }
            Fault::OverZero { len } => {
                let (at, number) = shown(len);
                self.fail(at, format!("the fraction `{number}` divides by zero"), None)
            }
        }
    }

    /// Signs inside a number that mean different things to different readers, and ranges.
    pub(super) fn number_goes_on(&self, head: &Amount, rest: Range<usize>) -> Option<QuantityError> {
        let after = self.at(rest.clone());
        let first = after.chars().next()?;
        let next = number::tail(after, first.len_utf8());
        let grouped = number::digits(next) == 3;
        if first == '.' && !next.starts_with('.') && number::begins_number(next) {
            let end = self.end_of_number(rest.start);
            let written = self.at(head.number_span.start..end).to_owned();
            return Some(self.fail(
                head.number_span.start..end,
                format!("`{written}` has two decimal points"),
                Some("write one decimal point and no separators between thousands".into()),
            ));
        }
        if first == ',' && number::begins_number(next) {
            return Some(self.comma(head, rest));
        }
        let separator = match first {
            '_' if number::begins_number(next) => "underscores",
            // `1'000 mm` too: no one writes 000 inches behind a foot.
            '\'' | '’' if grouped => "apostrophes",
            space if space.is_whitespace() && grouped && self.in_thousands(head) => "spaces",
            _ => return self.range(head, rest),
        };
        let end = self.end_of_number(rest.start);
        let joined: String = self
            .at(head.number_span.start..end)
            .chars()
            .filter(|c| c.is_ascii_digit() || "+-.".contains(*c))
            .collect();
        Some(self.fail(
            head.number_span.start..end,
            format!("`{}` has {separator} inside the number", self.at(head.number_span.start..end)),
            Some(format!("write `{}`", self.with_unit(&joined, end))),
        ))
    }

    fn comma(&self, head: &Amount, rest: Range<usize>) -> QuantityError {
        let end = self.end_of_number(rest.start);
        let at = head.number_span.start..end;
        let written = self.at(at.clone());
        let mut groups = written.split(',');
        let lead = groups.next().unwrap_or_default();
        let thousands = groups.clone().all(|group| group.split('.').next().is_some_and(|g| g.len() == 3));
        let without: String = written.chars().filter(|c| *c != ',').collect();
        let decimal = written.replace(',', ".");
        let one_comma = groups.count() == 1 && !written.contains('.');
        let lead_is_zero = lead.trim_start_matches(['+', '-']) == "0";
        let hint = match (thousands && !lead_is_zero, one_comma) {
            (true, true) => format!(
                "write `{}` without a separator between thousands, or `{}` if a decimal is meant",
                self.with_unit(&without, end),
                self.with_unit(&decimal, end)
            ),
            (true, false) => {
                format!("write `{}` without separators between thousands", self.with_unit(&without, end))
            }
            (false, true) => format!("write `{}`", self.with_unit(&decimal, end)),
            (false, false) => "write one decimal point and no separators between thousands".to_owned(),
        };
        let reason = format!("`{written}` has a comma; the decimal sign is the point");
        self.fail(at, reason, Some(hint))
    }

    /// `6-8 bar`, `6 to 8 bar`, `6..8 bar`.
    fn range(&self, head: &Amount, rest: Range<usize>) -> Option<QuantityError> {
        let after = self.at(rest.clone()).trim_start();
        let upper_text = ["to ", "...", "..", "-", "\u{2013}", "\u{2014}"]
            .iter()
            .find_map(|sign| after.strip_prefix(sign))?
            .trim_start();
        let upper = number::scan(upper_text).ok().filter(|_| number::begins_number(upper_text))?;
        let written = number::tail(upper_text, upper.len).trim();
        let unit = if written.is_empty() {
            usual(self.wanted).first().copied().unwrap_or_default()
        } else {
            written
        };
        let figure =
            |value: f64| significant(value, 6).map(|number| format!("{number} {unit}").trim_end().to_owned());
        let middle = figure(f64::midpoint(head.number, upper.value));
        let half = figure((upper.value - head.number) / 2.0).filter(|_| upper.value >= head.number);
        let hint = middle.zip(half).map_or_else(
            || "write the middle and half the width, such as `7 bar +- 1 bar`".to_owned(),
            |(middle, half)| format!("write the middle and half the width: `{middle} +- {half}`"),
        );
        Some(self.fail(head.span.clone(), "a range is not read".into(), Some(hint)))
    }

    /// Where digits, points and separators from `from` on end.
    fn end_of_number(&self, from: usize) -> usize {
        let mut end = from;
        let mut pending = 0;
        for c in number::tail(self.text, from).chars() {
            if c.is_ascii_digit() {
                end += pending + 1;
                pending = 0;
            } else if pending == 0 && (matches!(c, '.' | ',' | '_' | '\'' | '’') || c.is_whitespace()) {
                pending = c.len_utf8();
            } else {
                break;
            }
        }
        end
    }

    /// One to three digits, as before a separator of thousands.
    fn in_thousands(&self, head: &Amount) -> bool {
        let written = self.at(head.number_span.clone()).trim_start_matches(['+', '-']);
        (1..=3).contains(&written.len()) && number::digits(written) == written.len()
    }

    /// A number with the unit that was written behind it.
    fn with_unit(&self, number: &str, from: usize) -> String {
        let behind = number::tail(self.text, from);
        let unit = separator(behind).and_then(|mark| behind.get(..mark.start)).unwrap_or(behind).trim();
        if unit.is_empty() { number.to_owned() } else { format!("{number} {unit}") }
    }

    /// Why the rest of the text, which holds one word or more and no second number, is no unit.
    pub(super) fn not_a_unit(&self, head: &Amount, rest: Range<usize>) -> QuantityError {
        let unit_span = self.trimmed(rest);
        let elsewhere = lookup::find(self.at(unit_span.clone()), &|_| true);
        if elsewhere != Lookup::Unknown {
            return self.unit_fault(head, unit_span, elsewhere);
        }
        if let Some(error) = self.trailing(head, &unit_span) {
            return error;
        }
        let written = self.at(unit_span.clone()).to_owned();
        let close = lookup::closest(&written, &|dimension| self.accepts(dimension));
        let names_a_state = self.wanted == Dimension::FreeAirFlow && lookup::begins_with_a_state(&written);
        let keeps_a_state =
            !close.is_empty() && close.iter().all(|unit| matches!(unit.mark, Mark::FreeAir(_)));
        let hint = if names_a_state && !keeps_a_state {
            STATES.to_owned()
        } else if close.is_empty() {
            self.write_in()
        } else {
            let spellings: Vec<_> = close.iter().map(|unit| format!("`{}`", unit.spelling)).collect();
            let spellings: Vec<_> = spellings.iter().map(String::as_str).collect();
            format!("did you mean {}? {}", listed(&spellings), self.write_in())
        };
        self.fail(unit_span, format!("`{written}` is not a unit known here"), Some(hint))
    }

    /// `6 bar please`: a unit, and words behind it.
    fn trailing(&self, head: &Amount, unit_span: &Range<usize>) -> Option<QuantityError> {
        let written = self.at(unit_span.clone());
        let ends = written.char_indices().filter(|(_, c)| c.is_whitespace() || *c == '(').map(|(at, _)| at);
        let known = ends.take(4).filter(|&end| {
            let part = written.get(..end).unwrap_or_default();
            matches!(lookup::find(part, &|_| true), Lookup::Found(_))
        });
        let end = unit_span.start + known.last()?;
        let extra = self.trimmed(end..unit_span.end);
        let reason = format!(
            "`{}` after `{}` is not understood",
            self.at(extra.clone()),
            self.at(head.number_span.start..end)
        );
        Some(self.fail(extra, reason, Some(self.write_in())))
    }

    pub(super) fn unit_fault(&self, head: &Amount, rest: Range<usize>, fault: Lookup) -> QuantityError {
        let unit_span = self.trimmed(rest);
        let written = self.at(head.number_span.start..unit_span.end).to_owned();
        let unit_written = self.at(unit_span.clone()).to_owned();
        match fault {
            Lookup::Ambiguous(one, other) => self.fail(
                unit_span,
                format!("`{unit_written}` may mean `{}` or `{}`", one.spelling, other.spelling),
                Some(format!("capitals matter here: write `{}` or `{}`", one.spelling, other.spelling)),
            ),
            Lookup::SaidTwice { first, second } => {
                let (reason, hint) = if first == second {
                    (format!("`{unit_written}` says {} twice", said(first)), "say it once")
                } else {
                    let both = format!("`{unit_written}` says both {} and {}", said(first), said(second));
                    (both, "keep the one that is meant")
                };
                self.fail(unit_span, reason, Some(hint.to_owned()))
            }
            Lookup::Found(found) => {
                let reason = format!(
                    "`{written}` is {}; {} is needed",
                    found.unit.dimension.words(),
                    self.wanted.words()
                );
                let hint = wrong_dimension_hint(head.si(found.unit), found.unit, self.wanted);
                self.fail(
                    head.number_span.start..unit_span.end,
                    reason,
                    Some(hint.unwrap_or_else(|| self.write_in())),
                )
            }
            Lookup::Unknown => {
                self.fail(unit_span, format!("`{unit_written}` is not a unit known here"), None)
            }
        }
    }
}

/// How a reference state is written. Which one `slpm` or the like means differs from maker to maker.
const STATES: &str = "a reference state is written `L/min ANR` (20 degC), `NL/min` (0 degC) or `scfm` (68 degF); \
                      ask the data sheet which one is meant";

/// A mark in a word.
pub(super) const fn said(mark: Mark) -> &'static str {
    use super::free_air::ReferenceState::{Anr, Inlet, Normal, Standard};
    match mark {
        Mark::Plain => "nothing",
        Mark::Gauge => "gauge",
        Mark::Absolute => "absolute",
        Mark::FreeAir(Anr) => "ANR",
        Mark::FreeAir(Normal) => "normal",
        Mark::FreeAir(Standard) => "standard",
        Mark::FreeAir(Inlet) => "inlet",
    }
}

/// `bar, kPa or psi`.
pub(super) fn listed(words: &[&str]) -> String {
    match words {
        [] => String::new(),
        [only] => (*only).to_owned(),
        [most @ .., last] => format!("{} or {last}", most.join(", ")),
    }
}

/// The cure for the mix-ups that are common enough to have one of their own.
pub(super) fn wrong_dimension_hint(si: f64, unit: &Unit, wanted: Dimension) -> Option<String> {
    let us = unit.system == System::Us;
    Some(match (unit.dimension, wanted) {
        (Dimension::Mass, Dimension::Force) => {
            let weight = si * GRAVITY;
            let weight = if us { figure(weight / POUND_FORCE, "lbf")? } else { figure(weight, "N")? };
            format!("its weight is `{weight}`; write that, or use a field that takes a mass")
        }
        (Dimension::Force, Dimension::Mass) => {
            let mass = si / GRAVITY;
            let mass = if us { figure(mass * GRAVITY / POUND_FORCE, "lb")? } else { figure(mass, "kg")? };
            format!("the mass with that weight is `{mass}`; write that, or use a field that takes a force")
        }
        (Dimension::Energy, Dimension::Charge) => {
            "divide watt-hours by the battery's voltage: 240 Wh at 24 V are 10 Ah".to_owned()
        }
        (Dimension::Angle, Dimension::Temperature) => "write degC, degF or K".to_owned(),
        (Dimension::Temperature, Dimension::Angle) => "write deg or rad".to_owned(),
        _ => return None,
    })
}

fn figure(value: f64, unit: &str) -> Option<String> {
    let text = significant(value, 4)?;
    Some(format!("{text} {unit}"))
}

#[cfg(test)]
mod tests {
    use super::super::parse::parse;
    use super::*;

    /// Text, wanted dimension, reason, hint (empty for none), and the words underlined.
    type Case = (&'static str, Dimension, &'static str, &'static str, &'static str);

    #[track_caller]
    fn refused(cases: &[Case]) {
        for &(text, wanted, reason, hint, underlined) in cases {
            let error = parse(text, wanted).expect_err(text);
            assert_eq!(error.reason, reason, "{text}");
            assert_eq!(error.hint.as_deref().unwrap_or_default(), hint, "{text}");
            assert_eq!(&text[error.span.clone()], underlined, "{text}");
            assert_eq!(error.text, text);
        }
    }

    const A_PRESSURE: &str = "write a pressure in bar, kPa, MPa or psi";
    const SOME_PRESSURE: &str = "write a number and a unit, for example `6 bar`";

    #[test]
    fn no_number_to_read() {
        use Dimension::{Number, Pressure};
        refused(&[
            ("", Pressure, "there is nothing written here", SOME_PRESSURE, ""),
            ("  ", Pressure, "there is nothing written here", SOME_PRESSURE, "  "),
            ("psi", Pressure, "`psi` does not begin with a number", SOME_PRESSURE, "psi"),
            (
                " about 6 bar",
                Pressure,
                "`about 6 bar` does not begin with a number",
                SOME_PRESSURE,
                "about 6 bar",
            ),
            ("--5 bar", Pressure, "`--5 bar` does not begin with a number", SOME_PRESSURE, "--5 bar"),
            ("six", Number, "`six` does not begin with a number", "write a number, for example `6`", "six"),
            ("NaN psi", Pressure, "`NaN` is not a number to calculate with", SOME_PRESSURE, "NaN"),
            ("-inf bar", Pressure, "`-inf` is not a number to calculate with", SOME_PRESSURE, "-inf"),
            (
                "\u{221e} bar",
                Pressure,
                "`\u{221e}` is not a number to calculate with",
                SOME_PRESSURE,
                "\u{221e}",
            ),
        ]);
    }

    #[test]
    fn numbers_beyond_the_arithmetic() {
        use Dimension::{Length, Mass, Pressure};
        refused(&[
            ("1e400 Pa", Pressure, "`1e400` is too large to calculate with", "", "1e400"),
            ("1e308 t", Mass, "`1e308 t` is too large to calculate with", "", "1e308 t"),
            ("1 kg +- 1e308 t", Mass, "`1e308 t` is too large to calculate with", "", "1e308 t"),
            (
                "1e-400 m",
                Length,
                "`1e-400` is too small to be told from zero",
                "write `0` if nothing is meant",
                "1e-400",
            ),
            ("1/0 in", Length, "the fraction `1/0` divides by zero", "", "1/0"),
        ]);
    }

    #[test]
    fn signs_inside_a_number() {
        use Dimension::{Fraction, Length, Pressure};
        refused(&[
            (
                "1,5 bar",
                Pressure,
                "`1,5` has a comma; the decimal sign is the point",
                "write `1.5 bar`",
                "1,5",
            ),
            (
                "0,125 m",
                Length,
                "`0,125` has a comma; the decimal sign is the point",
                "write `0.125 m`",
                "0,125",
            ),
            ("1,5", Fraction, "`1,5` has a comma; the decimal sign is the point", "write `1.5`", "1,5"),
            (
                "1,000 psi",
                Pressure,
                "`1,000` has a comma; the decimal sign is the point",
                "write `1000 psi` without a separator between thousands, or `1.000 psi` if a decimal is meant",
                "1,000",
            ),
            (
                "1,234,567.5 Pa",
                Pressure,
                "`1,234,567.5` has a comma; the decimal sign is the point",
                "write `1234567.5 Pa` without separators between thousands",
                "1,234,567.5",
            ),
            (
                "1.000,5 bar",
                Pressure,
                "`1.000,5` has a comma; the decimal sign is the point",
                "write one decimal point and no separators between thousands",
                "1.000,5",
            ),
            ("1 000 psi", Pressure, "`1 000` has spaces inside the number", "write `1000 psi`", "1 000"),
            (
                "1\u{2009}000 psi",
                Pressure,
                "`1\u{2009}000` has spaces inside the number",
                "write `1000 psi`",
                "1\u{2009}000",
            ),
            ("1_000 psi", Pressure, "`1_000` has underscores inside the number", "write `1000 psi`", "1_000"),
            ("1'000 mm", Length, "`1'000` has apostrophes inside the number", "write `1000 mm`", "1'000"),
            (
                "1.2.3 bar",
                Pressure,
                "`1.2.3` has two decimal points",
                "write one decimal point and no separators between thousands",
                "1.2.3",
            ),
        ]);
    }

    #[test]
    fn more_than_one_number() {
        use Dimension::{Number, Pressure, Time};
        let two = "there are two numbers where one is needed";
        let range = "a range is not read";
        refused(&[
            ("6 bar 7 bar", Pressure, two, SOME_PRESSURE, "7 bar"),
            ("6 7 bar", Pressure, two, SOME_PRESSURE, "7 bar"),
            ("5 min 6 min", Time, two, "write a number and a unit, for example `6 s`", "6 min"),
            ("6 min 12", Time, "`12` has no unit", "write a time in s, min or h, for example `12 s`", "12"),
            ("6-8 bar", Pressure, range, "write the middle and half the width: `7 bar +- 1 bar`", "6-8 bar"),
            (
                "6 to 8 bar",
                Pressure,
                range,
                "write the middle and half the width: `7 bar +- 1 bar`",
                "6 to 8 bar",
            ),
            (
                "0.1..0.4 bar",
                Pressure,
                range,
                "write the middle and half the width: `0.25 bar +- 0.15 bar`",
                "0.1..0.4 bar",
            ),
            ("1-2", Number, range, "write the middle and half the width: `1.5 +- 0.5`", "1-2"),
            (
                "6 bar +- 1 bar +- 2 bar",
                Pressure,
                "in the tolerance, there are two numbers where one is needed",
                SOME_PRESSURE,
                "2 bar",
            ),
        ]);
    }

    #[test]
    fn units_that_are_missing_or_unknown() {
        use Dimension::{Angle, Conductance, Length, Pressure, Volume};
        refused(&[
            (
                "6",
                Pressure,
                "`6` has no unit",
                "write a pressure in bar, kPa, MPa or psi, for example `6 bar`",
                "6",
            ),
            (
                "0.5",
                Length,
                "`0.5` has no unit",
                "write a length in mm, cm, m, in or ft, for example `0.5 mm`",
                "0.5",
            ),
            (
                "6 bor",
                Pressure,
                "`bor` is not a unit known here",
                "did you mean `bar`? write a pressure in bar, kPa, MPa or psi",
                "bor",
            ),
            (
                "20 litters",
                Volume,
                "`litters` is not a unit known here",
                "did you mean `liters`? write a volume in L, mL, cm3, in3 or gal",
                "litters",
            ),
            ("6 furlong", Pressure, "`furlong` is not a unit known here", A_PRESSURE, "furlong"),
            ("6 bar please", Pressure, "`please` after `6 bar` is not understood", A_PRESSURE, "please"),
            (
                "2.1 L/s bar",
                Conductance,
                "`bar` after `2.1 L/s` is not understood",
                "write a sonic conductance in L/(s bar), dm3/(s bar) or m3/(s Pa)",
                "bar",
            ),
            (
                "0.6 MPA",
                Pressure,
                "`MPA` may mean `MPa` or `mPa`",
                "capitals matter here: write `MPa` or `mPa`",
                "MPA",
            ),
            (
                "90 psig abs",
                Pressure,
                "`psig abs` says both gauge and absolute",
                "keep the one that is meant",
                "psig abs",
            ),
            ("6 bar(g) gauge", Pressure, "`bar(g) gauge` says gauge twice", "say it once", "bar(g) gauge"),
            (
                "5 furlong",
                Angle,
                "`furlong` is not a unit known here",
                "write an angle in deg or rad",
                "furlong",
            ),
        ]);
    }

    #[test]
    fn a_hint_keeps_kind_and_state() {
        use Dimension::{FreeAirFlow, Pressure};
        refused(&[
            ("50 slpm", FreeAirFlow, "`slpm` is not a unit known here", STATES, "slpm"),
            ("50 slm", FreeAirFlow, "`slm` is not a unit known here", STATES, "slm"),
            ("50 sl/min", FreeAirFlow, "`sl/min` is not a unit known here", STATES, "sl/min"),
            (
                "50 nl/mim",
                FreeAirFlow,
                "`nl/mim` is not a unit known here",
                "did you mean `NL/min`? write a flow of free air in L/min, L/min ANR, NL/min, m3/h, cfm, scfm or g/s",
                "nl/mim",
            ),
            (
                "90 psiq",
                Pressure,
                "`psiq` is not a unit known here",
                "did you mean `psi`, `psig` or `psia`? write a pressure in bar, kPa, MPa or psi",
                "psiq",
            ),
        ]);
    }

    #[test]
    fn right_unit_for_another_quantity() {
        use Dimension::{
            Charge, Force, Fraction, FreeAirFlow, Mass, MassFlow, Number, Pressure, Temperature, Volume,
        };
        refused(&[
            (
                "20 kg",
                Force,
                "`20 kg` is a mass; a force is needed",
                // 20 * 9.80665 = 196.133
                "its weight is `196.1 N`; write that, or use a field that takes a mass",
                "20 kg",
            ),
            (
                "44 lb",
                Force,
                "`44 lb` is a mass; a force is needed",
                "its weight is `44 lbf`; write that, or use a field that takes a mass",
                "44 lb",
            ),
            (
                "200 N",
                Mass,
                "`200 N` is a force; a mass is needed",
                // 200 / 9.80665 = 20.3943
                "the mass with that weight is `20.39 kg`; write that, or use a field that takes a force",
                "200 N",
            ),
            ("20 kg", Pressure, "`20 kg` is a mass; a pressure is needed", A_PRESSURE, "20 kg"),
            (
                "32 L",
                FreeAirFlow,
                "`32 L` is a volume; a flow of free air is needed",
                "write a flow of free air in L/min, L/min ANR, NL/min, m3/h, cfm, scfm or g/s",
                "32 L",
            ),
            (
                "32 L/min",
                MassFlow,
                "`32 L/min` is a flow of free air; a mass flow is needed",
                "write a mass flow in g/s, kg/s, kg/h or lb/min",
                "32 L/min",
            ),
            (
                "10 L ANR",
                Volume,
                "`10 L ANR` is a volume of free air; a volume is needed",
                "write a volume in L, mL, cm3, in3 or gal",
                "10 L ANR",
            ),
            (
                "20 deg",
                Temperature,
                "`20 deg` is an angle; a temperature is needed",
                "write degC, degF or K",
                "20 deg",
            ),
            (
                "240 Wh",
                Charge,
                "`240 Wh` is an energy; an electric charge is needed",
                "divide watt-hours by the battery's voltage: 240 Wh at 24 V are 10 Ah",
                "240 Wh",
            ),
            (
                "20 kg",
                Fraction,
                "`20 kg` is a mass; a share is needed",
                "write a share in percent, such as `70 %`, or as a fraction, such as `0.7`",
                "20 kg",
            ),
            (
                "5 kg",
                Number,
                "`5 kg` is a mass; a plain number is needed",
                "write the number alone, without a unit",
                "5 kg",
            ),
        ]);
    }

    #[test]
    fn tolerances_that_cannot_be() {
        use Dimension::{Fraction, Mass, Pressure, Temperature};
        let both = "write both in percent, `70 % +- 5 %`, or both as fractions";
        refused(&[
            (
                "6 bar +-",
                Pressure,
                "the tolerance is missing",
                "write half the width of the spread, for example `6 bar +- 5 %`",
                "+-",
            ),
            ("+- 5 %", Pressure, "a number is missing", SOME_PRESSURE, ""),
            (
                "6 +- 5 %",
                Pressure,
                "`6` has no unit",
                "write a pressure in bar, kPa, MPa or psi, for example `6 bar`",
                "6",
            ),
            (
                "6 bar +- -0.2 bar",
                Pressure,
                "a tolerance cannot be negative",
                "write half the width of the spread as a positive number",
                "-0.2 bar",
            ),
            (
                "6 bar +- -5 %",
                Pressure,
                "a tolerance cannot be negative",
                "write half the width of the spread as a positive number",
                "-5 %",
            ),
            (
                "6 bar +- NaN",
                Pressure,
                "in the tolerance, `NaN` is not a number to calculate with",
                SOME_PRESSURE,
                "NaN",
            ),
            (
                "6 bar +- 0.2 kg",
                Pressure,
                "in the tolerance, `0.2 kg` is a mass; a pressure is needed",
                A_PRESSURE,
                "0.2 kg",
            ),
            (
                "140 kg +- 1,5 kg",
                Mass,
                "in the tolerance, `1,5` has a comma; the decimal sign is the point",
                "write `1.5 kg`",
                "1,5",
            ),
            (
                "6 barg +- 0.2 bara",
                Pressure,
                "the tolerance is marked absolute, the value is gauge",
                "a tolerance is a difference: write its unit without a mark",
                "0.2 bara",
            ),
            (
                "20 degC +- 5 %",
                Temperature,
                "a percentage of a temperature has no meaning",
                "write the tolerance in K, such as `20 degC +- 2 K`",
                "5 %",
            ),
            (
                "7 bar +- 5",
                Pressure,
                "the tolerance `5` has no unit",
                "write `+- 5 %` or `+- 5 bar`, whichever is meant",
                "5",
            ),
            (
                "90 psig +- 2.5",
                Pressure,
                "the tolerance `2.5` has no unit",
                "write `+- 2.5 %` or `+- 2.5 psig`, whichever is meant",
                "2.5",
            ),
            ("20 degC +- 2", Temperature, "`2` has no unit of its own", "write `20 degC +- 2 K`", "2"),
            ("20 +- 2 K", Temperature, "`20` has no unit of its own", "write `20 degC +- 2 K`", "20"),
            ("0.7 +- 5 %", Fraction, "`0.7` has no unit of its own", both, "0.7"),
            ("70 % +- 0.05", Fraction, "`0.05` has no unit of its own", both, "0.05"),
        ]);
    }
}
