//! Reading a quantity from text.
//!
//! A quantity is a number and a unit, with or without a space between: `150 psi`, `150psi`, `2 1/2 in`,
//! `1e5 Pa`, `6 ft 2 in`. Which units fit is listed in [`table`](super::table). A tolerance may follow:
//! `140 kg +- 5 %`, `6 bar ± 0.2 bar`, `6 +- 0.2 bar`.
//!
//! The decimal sign is the point. A comma, a space or an apostrophe inside a number is refused, since the same
//! sign means a decimal to one reader and thousands to another.

use std::ops::Range;

use super::lookup::{self, Found, Lookup};
use super::number::{self, Fault, Scanned};
use super::refusal::{listed, wrong_dimension_hint};
use super::table::{Dimension, Mark, PLAIN_FRACTION, PLAIN_NUMBER, Unit, usual};

/// A quantity as it was written.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Quantity {
    /// Value in the SI base unit of the dimension; finite.
    pub si: f64,
    /// The dimension found. It is the one wanted, save that a mass flow stands for a flow of free air.
    pub dimension: Dimension,
    /// Kind of pressure or state of free air that the text states.
    pub mark: Mark,
    /// Half width of the stated tolerance in the SI base unit, zero or more. For a temperature it is a
    /// difference in K, for a share it is in points (`8 % +- 2 %` is 6 % to 10 %).
    pub tolerance: Option<f64>,
    /// The unit that was written; a row without a spelling for a plain number.
    pub unit: &'static Unit,
}

/// Why a text is not a quantity of the kind that is needed.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("`{text}`: {reason}")]
pub struct QuantityError {
    /// The text as given.
    pub text: String,
    /// What is wrong with it, with the rule.
    pub reason: String,
    /// How to mend it.
    pub hint: Option<String>,
    /// The bytes of `text` that are at fault.
    pub span: Range<usize>,
}

/// Reads a quantity of the wanted dimension. The sign is read and left to the field to judge.
///
/// Capitals matter only where two units of the dimension differ in nothing else: `PSI` is `psi`, but `MPA` may
/// be `MPa` or `mPa` and is refused.
///
/// # Errors
/// [`QuantityError`] for anything that is not one number with a unit of the dimension, with the place of the
/// fault and, where there is one, the cure.
///
/// # Example
/// ```
/// use lungful::units::{Dimension, Mark, parse::parse};
///
/// let set_point = parse("100 psig +- 2 psi", Dimension::Pressure)?;
/// assert!((set_point.si - 689_475.7).abs() < 0.1); // 100 * 4.4482216152605 N / (0.0254 m)^2
/// assert_eq!(set_point.mark, Mark::Gauge);
/// assert!((set_point.tolerance.unwrap() - 13_789.5).abs() < 0.1);
///
/// let refused = parse("20 kg", Dimension::Force).unwrap_err();
/// assert_eq!(refused.reason, "`20 kg` is a mass; a force is needed");
/// assert_eq!(refused.hint.as_deref(), Some("its weight is `196.1 N`; write that, or use a field that takes a mass"));
/// # Ok::<(), lungful::units::parse::QuantityError>(())
/// ```
pub fn parse(text: &str, wanted: Dimension) -> Result<Quantity, QuantityError> {
    let reader = Reader { text, wanted };
    let all = reader.trimmed(0..text.len());
    if all.is_empty() {
        return Err(reader.fail(
            0..text.len(),
            "there is nothing written here".into(),
            Some(reader.example("6")),
        ));
    }
    match separator(text) {
        None => {
            let amount = reader.amount(all, DEPTH)?;
            let found = reader.unit_or_plain(&amount)?;
            reader.quantity(&amount, found, None)
        }
        Some(mark) => {
            let value = reader.amount(reader.trimmed(0..mark.start), DEPTH)?;
            reader.with_tolerance(&value, &mark, reader.trimmed(mark.end..text.len()))
        }
    }
}

/// Parts of a compound such as `2 h 5 min 10 s`; more would be a mistake.
const DEPTH: u8 = 3;

/// One number with what stands behind it.
struct Amount {
    /// The number as written, without unit.
    number: f64,
    number_span: Range<usize>,
    span: Range<usize>,
    unit: Option<Found>,
    /// What the smaller parts of a compound add, in SI.
    more: f64,
}

impl Amount {
    /// In SI, as a point on the scale of `unit`.
    fn si(&self, unit: &Unit) -> f64 {
        self.number * unit.factor + unit.offset + self.more
    }

    /// In SI, as a difference, for which the zero of the scale plays no part.
    fn difference(&self, unit: &Unit) -> f64 {
        self.number * unit.factor + self.more
    }
}

struct Reader<'a> {
    text: &'a str,
    wanted: Dimension,
}

impl Reader<'_> {
    fn fail(&self, span: Range<usize>, reason: String, hint: Option<String>) -> QuantityError {
        QuantityError { text: self.text.to_owned(), reason, hint, span }
    }

    fn at(&self, span: Range<usize>) -> &str {
        self.text.get(span).unwrap_or_default()
    }

    fn trimmed(&self, span: Range<usize>) -> Range<usize> {
        let part = self.at(span.clone());
        let start = span.start + (part.len() - part.trim_start().len());
        start..start + part.trim().len()
    }

    /// A flow of free air may be given by its mass.
    fn accepts(&self, dimension: Dimension) -> bool {
        dimension == self.wanted
            || (self.wanted == Dimension::FreeAirFlow && dimension == Dimension::MassFlow)
    }

    fn example(&self, number: &str) -> String {
        match usual(self.wanted).first() {
            Some(unit) => format!("write a number and a unit, for example `{number} {unit}`"),
            None => format!("write a number, for example `{number}`"),
        }
    }

    /// `write a pressure in bar, kPa, MPa or psi`.
    fn write_in(&self) -> String {
        let units = usual(self.wanted);
        if units.is_empty() {
            "write the number alone, without a unit".into()
        } else {
            format!("write {} in {}", self.wanted.words(), listed(units))
        }
    }

    fn amount(&self, span: Range<usize>, depth: u8) -> Result<Amount, QuantityError> {
        let Scanned { value, len } =
            number::scan(self.at(span.clone())).map_err(|fault| self.number_fault(fault, span.clone()))?;
        let number_span = span.start..span.start + len;
        let rest = number_span.end..span.end;
        let plain = Amount { number: value, number_span, span, unit: None, more: 0.0 };
        if self.trimmed(rest.clone()).is_empty() {
            return Ok(plain);
        }
        match lookup::find(self.at(rest.clone()), &|dimension| self.accepts(dimension)) {
            Lookup::Found(found) => Ok(Amount { unit: Some(found), ..plain }),
            Lookup::Unknown => self.compound(plain, rest, depth),
            other => Err(self.unit_fault(&plain, rest, other)),
        }
    }

    /// `6 ft 2 in` and the like, or the reason why the rest of the text is no unit.
    fn compound(&self, head: Amount, rest: Range<usize>, depth: u8) -> Result<Amount, QuantityError> {
        if let Some(error) = self.number_goes_on(&head, rest.clone()) {
            return Err(error);
        }
        let Some(second) = second_number(self.at(rest.clone())).map(|at| rest.start + at) else {
            return Err(self.not_a_unit(&head, rest));
        };
        let two_numbers = |reader: &Self| {
            let hint = "write one number with one unit; a spread is written `6 bar +- 0.2 bar`";
            reader.fail(
                second..rest.end,
                "there are two numbers where one is needed".into(),
                Some(hint.into()),
            )
        };
        let joins = matches!(self.wanted, Dimension::Time | Dimension::Length | Dimension::Mass);
        if !joins || depth <= 1 {
            return Err(two_numbers(self));
        }
        let unit_span = self.trimmed(rest.start..second);
        let Lookup::Found(found) = lookup::find(self.at(unit_span.clone()), &|d| self.accepts(d)) else {
            return Err(if unit_span.is_empty() {
                two_numbers(self)
            } else {
                self.not_a_unit(&head, unit_span)
            });
        };
        let tail = self.amount(second..rest.end, depth - 1)?;
        let Some(small) = tail.unit.filter(|small| small.unit.factor < found.unit.factor) else {
            return Err(two_numbers(self));
        };
        let part = tail.difference(small.unit);
        // `-6 ft 2 in` is minus the whole of it.
        let more = if head.number.is_sign_negative() { -part } else { part };
        Ok(Amount { unit: Some(found), more, ..head })
    }

    fn number_fault(&self, fault: Fault, span: Range<usize>) -> QuantityError {
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
    fn number_goes_on(&self, head: &Amount, rest: Range<usize>) -> Option<QuantityError> {
        let after = self.at(rest.clone());
        let first = after.chars().next()?;
        let next = number::tail(after, first.len_utf8());
        let grouped = number::digits(next) == 3;
        if first == '.' && number::begins_number(next) {
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
            '\'' | '’' if grouped && self.wanted != Dimension::Length => "apostrophes",
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
        let middle = f64::midpoint(head.number, upper.value);
        let half = (upper.value - head.number) / 2.0;
        let unit = number::tail(upper_text, upper.len).trim();
        let hint = if half >= 0.0 && half.is_finite() && !unit.is_empty() {
            format!("write the middle and half the width: `{middle} {unit} +- {half} {unit}`")
        } else {
            "write the middle and half the width, such as `7 bar +- 1 bar`".to_owned()
        };
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
        let end = separator(self.text).map_or(self.text.len(), |mark| mark.start);
        let unit = self.at(from..end.max(from)).trim();
        if unit.is_empty() { number.to_owned() } else { format!("{number} {unit}") }
    }

    /// Why the rest of the text, which holds one word or more and no second number, is no unit.
    fn not_a_unit(&self, head: &Amount, rest: Range<usize>) -> QuantityError {
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
        let hint = match close {
            Some(unit) => format!("did you mean `{unit}`? {}", self.write_in()),
            None => self.write_in(),
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
            "`{}` behind `{}` is not understood",
            self.at(extra.clone()),
            self.at(head.number_span.start..end)
        );
        Some(self.fail(extra, reason, Some(self.write_in())))
    }

    fn unit_fault(&self, head: &Amount, rest: Range<usize>, fault: Lookup) -> QuantityError {
        let unit_span = self.trimmed(rest);
        let written = self.at(head.number_span.start..unit_span.end).to_owned();
        let unit_written = self.at(unit_span.clone()).to_owned();
        match fault {
            Lookup::Ambiguous(one, other) => self.fail(
                unit_span,
                format!("`{unit_written}` may mean `{}` or `{}`", one.spelling, other.spelling),
                Some(format!("capitals matter here: write `{}` or `{}`", one.spelling, other.spelling)),
            ),
            Lookup::SaidTwice { unit, first, second } => {
                let reason = if first == second {
                    format!("`{unit_written}` says {} twice", said(first))
                } else {
                    format!("`{unit_written}` says both {} and {}", said(first), said(second))
                };
                self.fail(
                    unit_span,
                    reason,
                    Some(format!("keep one of the two: `{}` says {} alone", unit.spelling, said(unit.mark))),
                )
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

    fn unit_or_plain(&self, amount: &Amount) -> Result<Found, QuantityError> {
        match (amount.unit, self.plain_unit()) {
            (Some(found), _) => Ok(found),
            (None, Some(unit)) => Ok(Found { unit, mark: Mark::Plain }),
            (None, None) => {
                let number = self.at(amount.number_span.clone());
                let example = usual(self.wanted)
                    .first()
                    .map_or(String::new(), |unit| format!(", for example `{number} {unit}`"));
                let hint = format!("{}{example}", self.write_in());
                Err(self.fail(amount.number_span.clone(), format!("`{number}` has no unit"), Some(hint)))
            }
        }
    }

    fn plain_unit(&self) -> Option<&'static Unit> {
        match self.wanted {
            Dimension::Fraction => Some(&PLAIN_FRACTION),
            Dimension::Number => Some(&PLAIN_NUMBER),
            _ => None,
        }
    }

    fn quantity(
        &self,
        amount: &Amount,
        found: Found,
        tolerance: Option<f64>,
    ) -> Result<Quantity, QuantityError> {
        let si = amount.si(found.unit);
        if !si.is_finite() || tolerance.is_some_and(|half| !half.is_finite()) {
            let written = self.at(amount.span.clone());
            return Err(self.fail(
                amount.span.clone(),
                format!("`{written}` is too large to calculate with"),
                None,
            ));
        }
        Ok(Quantity { si, dimension: found.unit.dimension, mark: found.mark, tolerance, unit: found.unit })
    }

    fn with_tolerance(
        &self,
        value: &Amount,
        mark: &Range<usize>,
        span: Range<usize>,
    ) -> Result<Quantity, QuantityError> {
        if span.is_empty() {
            let hint = format!(
                "write half the width of the spread, for example `{} +- 5 %`",
                self.at(value.span.clone())
            );
            return Err(self.fail(mark.clone(), "the tolerance is missing".into(), Some(hint)));
        }
        if let Some((percent, number_span)) = self.percent(&span) {
            if self.wanted != Dimension::Fraction {
                let found = self.unit_or_plain(value)?;
                self.not_negative(percent, &span)?;
                if found.unit.dimension == Dimension::Temperature {
                    let hint = "write the tolerance in K, such as `20 degC +- 2 K`".to_owned();
                    return Err(self.fail(
                        span,
                        "a percentage of a temperature has no meaning".into(),
                        Some(hint),
                    ));
                }
                let half = value.si(found.unit).abs() * percent / 100.0;
                return self.quantity(value, found, Some(half));
            }
            // Of a share, percent are points, whether or not the share itself is written in percent.
            debug_assert!(number_span.start >= span.start);
        }
        // The tolerance is of the dimension of the value, which may be a mass flow for a flow of free air.
        let wanted = value.unit.map_or(self.wanted, |found| found.unit.dimension);
        let half_reader = Reader { text: self.text, wanted };
        let half =
            half_reader.amount(span.clone(), DEPTH).map_err(|error| self.tolerance_fault(error, &span))?;
        self.not_negative(half.number, &span)?;
        let found = match (value.unit, half.unit) {
            (Some(found), _) => found,
            (None, Some(_)) if self.wanted == Dimension::Temperature => {
                let hint = "write `20 degC +- 2 K`".to_owned();
                return Err(self.fail(
                    value.span.clone(),
                    "the temperature itself has no unit".into(),
                    Some(hint),
                ));
            }
            (None, Some(shared)) => shared,
            (None, None) => self.unit_or_plain(value)?,
        };
        let half_unit = half.unit.unwrap_or(Found { unit: found.unit, mark: Mark::Plain });
        if half_unit.mark != Mark::Plain && half_unit.mark != found.mark {
            let reason = format!("the tolerance is marked {}, the value is not", said(half_unit.mark));
            let hint = "a tolerance is a difference: write its unit without a mark".to_owned();
            return Err(self.fail(span, reason, Some(hint)));
        }
        self.quantity(value, found, Some(half.difference(half_unit.unit)))
    }

    /// The tolerance as percent, if it is one.
    fn percent(&self, span: &Range<usize>) -> Option<(f64, Range<usize>)> {
        let Scanned { value, len } = number::scan(self.at(span.clone())).ok()?;
        let unit = lookup::find(self.at(span.start + len..span.end), &|d| d == Dimension::Fraction);
        matches!(unit, Lookup::Found(_)).then(|| (value, span.start..span.start + len))
    }

    fn not_negative(&self, number: f64, span: &Range<usize>) -> Result<(), QuantityError> {
        if number < 0.0 {
            let hint = "write half the width of the spread as a positive number".to_owned();
            return Err(self.fail(span.clone(), "a tolerance cannot be negative".into(), Some(hint)));
        }
        Ok(())
    }

    /// What is wrong with a tolerance, said so that it is not taken for a fault of the value.
    fn tolerance_fault(&self, error: QuantityError, span: &Range<usize>) -> QuantityError {
        let written = self.at(span.clone());
        QuantityError { reason: format!("in the tolerance `{written}`: {}", error.reason), ..error }
    }
}

/// Place of `+-`, `±` or `+/-`, blanks inside allowed.
fn separator(text: &str) -> Option<Range<usize>> {
    text.char_indices().find_map(|(start, c)| {
        let after = number::tail(text, start + c.len_utf8());
        let end = |left: &str| text.len() - left.len();
        match c {
            '±' => Some(start..end(after)),
            '+' => {
                let after = after.trim_start();
                let after = after.strip_prefix('/').unwrap_or(after).trim_start();
                after.strip_prefix(['-', '\u{2212}', '\u{2013}']).map(|left| start..end(left))
            }
            _ => None,
        }
    })
}

/// Where a second number begins: a digit behind a blank or behind the sign of foot or inch. The digits of
/// `m3` and `kgf/cm2` stand behind letters.
fn second_number(text: &str) -> Option<usize> {
    let mut before = None;
    for (at, c) in text.char_indices() {
        let opens = before.is_none_or(|b: char| b.is_whitespace() || matches!(b, '\'' | '"' | '′' | '″'));
        if opens && number::begins_number(number::tail(text, at)) {
            return Some(at);
        }
        before = Some(c);
    }
    None
}

/// A mark in a word.
const fn said(mark: Mark) -> &'static str {
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
