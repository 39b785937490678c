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
use super::number::{self, Scanned};
use super::refusal::listed;
use super::table::{Dimension, Mark, PLAIN_FRACTION, PLAIN_NUMBER, Unit, usual};
use super::tolerance::separator;

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
pub(super) const DEPTH: u8 = 3;

/// One number with what stands behind it.
pub(super) struct Amount {
    /// The number as written, without unit.
    pub(super) number: f64,
    pub(super) number_span: Range<usize>,
    pub(super) span: Range<usize>,
    pub(super) unit: Option<Found>,
    /// What the smaller parts of a compound add, in SI.
    more: f64,
}

impl Amount {
    /// In SI, as a point on the scale of `unit`.
    pub(super) fn si(&self, unit: &Unit) -> f64 {
        unit.scaled(self.number) + unit.offset + self.more
    }

    /// In SI, as a difference, for which the zero of the scale plays no part.
    pub(super) fn difference(&self, unit: &Unit) -> f64 {
        unit.scaled(self.number) + self.more
    }
}

pub(super) struct Reader<'a> {
    pub(super) text: &'a str,
    pub(super) wanted: Dimension,
}

impl Reader<'_> {
    pub(super) fn fail(&self, span: Range<usize>, reason: String, hint: Option<String>) -> QuantityError {
        QuantityError { text: self.text.to_owned(), reason, hint, span }
    }

    pub(super) fn at(&self, span: Range<usize>) -> &str {
        self.text.get(span).unwrap_or_default()
    }

    pub(super) fn trimmed(&self, span: Range<usize>) -> Range<usize> {
        let part = self.at(span.clone());
        let start = span.start + (part.len() - part.trim_start().len());
        start..start + part.trim().len()
    }

    /// A flow of free air may be given by its mass.
    pub(super) fn accepts(&self, dimension: Dimension) -> bool {
        dimension == self.wanted
            || (self.wanted == Dimension::FreeAirFlow && dimension == Dimension::MassFlow)
    }

    pub(super) fn example(&self, number: &str) -> String {
        match usual(self.wanted).first() {
            Some(unit) => format!("write a number and a unit, for example `{number} {unit}`"),
            None => format!("write a number, for example `{number}`"),
        }
    }

    /// `write a pressure in bar, kPa, MPa or psi`.
    pub(super) fn write_in(&self) -> String {
        let units = usual(self.wanted);
        if units.is_empty() {
            "write the number alone, without a unit".into()
        } else if self.wanted == Dimension::Fraction {
            "write a share in percent, such as `70 %`, or as a fraction, such as `0.7`".into()
        } else {
            format!("write {} in {}", self.wanted.words(), listed(units))
        }
    }

    pub(super) fn amount(&self, span: Range<usize>, depth: u8) -> Result<Amount, QuantityError> {
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
            let reason = "there are two numbers where one is needed".to_owned();
            reader.fail(second..rest.end, reason, Some(reader.example("6")))
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
        let small = self.unit_or_plain(&tail)?;
        if small.unit.factor >= found.unit.factor {
            return Err(two_numbers(self));
        }
        let part = tail.difference(small.unit);
        // `-6 ft 2 in` is minus the whole of it.
        let more = if head.number.is_sign_negative() { -part } else { part };
        Ok(Amount { unit: Some(found), more, ..head })
    }

    pub(super) fn unit_or_plain(&self, amount: &Amount) -> Result<Found, QuantityError> {
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

    pub(super) fn too_large(&self, span: Range<usize>) -> QuantityError {
        let reason = format!("`{}` is too large to calculate with", self.at(span.clone()));
        self.fail(span, reason, None)
    }

    pub(super) fn quantity(
        &self,
        amount: &Amount,
        found: Found,
        tolerance: Option<f64>,
    ) -> Result<Quantity, QuantityError> {
        // Adding zero turns -0 into 0.
        let si = amount.si(found.unit) + 0.0;
        if !si.is_finite() {
            return Err(self.too_large(amount.span.clone()));
        }
        Ok(Quantity { si, dimension: found.unit.dimension, mark: found.mark, tolerance, unit: found.unit })
    }
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

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;

    use super::*;
    use crate::units::ReferenceState::{Anr, Inlet, Normal, Standard};

    // A few roundings of f64.
    const ROUNDING: f64 = 1e-14;

    #[track_caller]
    fn reads(text: &str, wanted: Dimension, si: f64) -> Quantity {
        let quantity = parse(text, wanted).unwrap_or_else(|error| panic!("{error}"));
        assert_relative_eq!(quantity.si, si, max_relative = ROUNDING);
        quantity
    }

    #[test]
    fn number_and_unit_with_and_without_a_space() {
        // Analytic: 150 lbf/in2.
        let psi = 4.448_221_615_260_5 / 0.000_645_16;
        for text in [
            "150 psi",
            "150psi",
            "  150  psi ",
            "150\u{a0}psi",
            "150 PSI",
            "+150 psi",
            "1.5e2 psi",
            "150. psi",
        ] {
            reads(text, Dimension::Pressure, 150.0 * psi);
        }
        reads(".5 bar", Dimension::Pressure, 50_000.0);
        reads("1e5 Pa", Dimension::Pressure, 1e5);
        reads("-0.2 bar", Dimension::Pressure, -20_000.0);
        reads("60 l/min", Dimension::FreeAirFlow, 0.001);
        reads("2.1 L/(s\u{b7}bar)", Dimension::Conductance, 2.1e-8);
        reads("10 cm\u{b2}", Dimension::Area, 0.001);
        reads("5 MM", Dimension::Length, 0.005);
        reads("3 kgf/cm\u{b2}", Dimension::Pressure, 294_199.5);
    }

    #[test]
    fn minus_zero_is_zero() {
        assert!(reads("-0 bar", Dimension::Pressure, 0.0).si.is_sign_positive());
    }

    #[test]
    fn fractions_and_compounds_of_the_workshop() {
        // Analytic, with the inch of 25.4 mm.
        reads("1/2 in", Dimension::Length, 0.0127);
        reads("2 1/2 in", Dimension::Length, 0.0635);
        reads("2-1/2\"", Dimension::Length, 0.0635);
        reads("2\u{bd}\u{2033}", Dimension::Length, 0.0635);
        reads("6 ft 2 in", Dimension::Length, 74.0 * 0.0254);
        reads("5'3 1/2\"", Dimension::Length, 63.5 * 0.0254);
        reads("-6 ft 2 in", Dimension::Length, -74.0 * 0.0254);
        reads("2 h 5 min 10 s", Dimension::Time, 7510.0);
        reads("3 lb 8 oz", Dimension::Mass, 3.5 * 0.453_592_37);
        reads("1/2", Dimension::Fraction, 0.5);
        reads("4 1/h", Dimension::Rate, 4.0 / 3600.0);
    }

    #[test]
    fn temperatures_are_points_on_a_scale() {
        // Analytic: 0 degC = 32 degF = 273.15 K; -40 is the same on both.
        for text in ["0 degC", "32 degF", "273.15 K", "0 \u{b0}C", "32\u{b0}F", "0 C", "32 F", "0 deg C"] {
            reads(text, Dimension::Temperature, 273.15);
        }
        reads("-40 degF", Dimension::Temperature, 233.15);
    }

    #[test]
    fn kind_and_state_are_kept_as_written() {
        for (text, mark) in [
            ("6 bar", Mark::Plain),
            ("6 barg", Mark::Gauge),
            ("6 bar (g)", Mark::Gauge),
            ("90 psig", Mark::Gauge),
            ("90 psi gauge", Mark::Gauge),
            ("105 psia", Mark::Absolute),
            ("7 bar(a)", Mark::Absolute),
            ("700 kPa abs", Mark::Absolute),
            ("29.9 inHg absolute", Mark::Absolute),
        ] {
            assert_eq!(parse(text, Dimension::Pressure).unwrap().mark, mark, "{text}");
        }
        for (text, mark) in [
            ("32 L/min", Mark::Plain),
            ("32 L/min ANR", Mark::FreeAir(Anr)),
            ("32 L/min (ANR)", Mark::FreeAir(Anr)),
            ("32 NL/min", Mark::FreeAir(Normal)),
            ("2 Nm\u{b3}/h", Mark::FreeAir(Normal)),
            ("2 m3/h normal", Mark::FreeAir(Normal)),
            ("1.1 SCFM", Mark::FreeAir(Standard)),
            ("1.1 CFM", Mark::Plain),
            ("1.1 cfm inlet", Mark::FreeAir(Inlet)),
            ("1.1 cfm FAD", Mark::FreeAir(Inlet)),
        ] {
            let quantity = parse(text, Dimension::FreeAirFlow).unwrap();
            assert_eq!((quantity.mark, quantity.dimension), (mark, Dimension::FreeAirFlow), "{text}");
        }
    }

    #[test]
    fn a_flow_of_free_air_may_be_a_mass_flow() {
        let quantity = reads("3.6 kg/h +- 10 %", Dimension::FreeAirFlow, 0.001);
        assert_eq!(quantity.dimension, Dimension::MassFlow);
        assert_relative_eq!(quantity.tolerance.unwrap(), 0.0001, max_relative = ROUNDING);
    }

    #[test]
    fn shares_come_in_percent_or_plain() {
        assert_eq!(reads("70 %", Dimension::Fraction, 0.7).unit.spelling, "%");
        assert_eq!(reads("0.7", Dimension::Fraction, 0.7).unit.spelling, "");
        reads("70 percent", Dimension::Fraction, 0.7);
        reads("1.2", Dimension::Number, 1.2);
    }

    #[test]
    fn whole_parts_of_a_unit_are_exactly_rounded() {
        // Analytic: the f64 nearest to the decimal is what the compiler makes of the literal.
        #[allow(clippy::float_cmp, reason = "exactly rounded is what is claimed")]
        for (text, wanted, si) in [
            ("70 %", Dimension::Fraction, 0.7),
            ("7 %", Dimension::Fraction, 0.07),
            ("57 %", Dimension::Fraction, 0.57),
            ("35 mm", Dimension::Length, 0.035),
            ("17 mL", Dimension::Volume, 17e-6),
            ("30 L/min", Dimension::FreeAirFlow, 0.0005),
            ("0.3 bar", Dimension::Pressure, 30_000.0),
        ] {
            assert_eq!(parse(text, wanted).unwrap().si, si, "{text}");
        }
    }

    #[test]
    fn what_is_recommended_can_be_read() {
        for unit in crate::units::table::UNITS {
            for usual in usual(unit.dimension) {
                parse(&format!("1 {usual}"), unit.dimension).unwrap_or_else(|error| panic!("{error}"));
            }
        }
    }
}
