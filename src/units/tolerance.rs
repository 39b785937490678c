//! Reading the tolerance behind a quantity: half the width of the spread.

use std::ops::Range;

use super::lookup::{self, Found, Lookup};
use super::number::{self, Scanned};
use super::parse::{Amount, DEPTH, Quantity, QuantityError, Reader};
use super::refusal::said;
use super::table::{Dimension, Mark};

/// Place of `+-`, `±` or `+/-`, blanks inside allowed.
pub(super) fn separator(text: &str) -> Option<Range<usize>> {
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

impl Reader<'_> {
    /// The value with the tolerance that stands in `span`, behind the sign at `sign`.
    pub(super) fn with_tolerance(
        &self,
        value: &Amount,
        sign: &Range<usize>,
        span: Range<usize>,
    ) -> Result<Quantity, QuantityError> {
        if span.is_empty() {
            let value = self.at(value.span.clone());
            let hint = format!("write half the width of the spread, for example `{value} +- 5 %`");
            return Err(self.fail(sign.clone(), "the tolerance is missing".into(), Some(hint)));
        }
        match self.percent(&span) {
            // Percent of a share are points: they are read as its unit.
            Some(percent) if self.wanted != Dimension::Fraction => self.relative(value, percent, span),
            _ => self.absolute(value, span),
        }
    }

    /// `+- 5 %`: a part of the value's size, of the gauge figure where the value is gauge.
    fn relative(&self, value: &Amount, percent: f64, span: Range<usize>) -> Result<Quantity, QuantityError> {
        let found = self.unit_or_plain(value)?;
        if found.unit.dimension == Dimension::Temperature {
            let hint = "write the tolerance in K, such as `20 degC +- 2 K`".to_owned();
            return Err(self.fail(span, "a percentage of a temperature has no meaning".into(), Some(hint)));
        }
        let half = value.si(found.unit).abs() * (percent / 100.0) + 0.0;
        self.can_be_a_width(half, percent, &span)?;
        self.quantity(value, found, Some(half))
    }

    /// `+- 0.2 bar`, or `6 +- 0.2 bar` with one unit for both.
    fn absolute(&self, value: &Amount, span: Range<usize>) -> Result<Quantity, QuantityError> {
        // The tolerance is of the dimension of the value, which may be a mass flow for a flow of free air.
        let wanted = value.unit.map_or(self.wanted, |found| found.unit.dimension);
        let half = Reader { text: self.text, wanted }.amount(span.clone(), DEPTH).map_err(|error| {
            QuantityError { reason: format!("in the tolerance, {}", error.reason), ..error }
        })?;
        let found = self.shared_unit(value, &half)?;
        let half_unit = half.unit.unwrap_or(Found { unit: found.unit, mark: Mark::Plain });
        if half_unit.mark != Mark::Plain && half_unit.mark != found.mark {
            let value_is = if found.mark == Mark::Plain { "not marked" } else { said(found.mark) };
            let reason = format!("the tolerance is marked {}, the value is {value_is}", said(half_unit.mark));
            let hint = "a tolerance is a difference: write its unit without a mark".to_owned();
            return Err(self.fail(span, reason, Some(hint)));
        }
        // Adding zero turns -0 into 0.
        let width = half.difference(half_unit.unit) + 0.0;
        self.can_be_a_width(width, width, &span)?;
        self.quantity(value, found, Some(width))
    }

    /// The unit of the value, which may be written once for value and tolerance. Not so where that could be
    /// misread: `20 +- 2 K` is hardly 20 K, and `0.7 +- 5 %` hardly 0.7 %.
    fn shared_unit(&self, value: &Amount, half: &Amount) -> Result<Found, QuantityError> {
        let hint = match self.wanted {
            Dimension::Temperature => Some("write `20 degC +- 2 K`"),
            Dimension::Fraction => Some("write both in percent, `70 % +- 5 %`, or both as fractions"),
            _ => None,
        };
        if let Some(hint) = hint {
            let bare = match (value.unit, half.unit) {
                (None, Some(_)) => Some(value),
                (Some(_), None) => Some(half),
                _ => None,
            };
            if let Some(bare) = bare {
                let number = self.at(bare.number_span.clone());
                let reason = format!("`{number}` has no unit of its own");
                return Err(self.fail(bare.number_span.clone(), reason, Some(hint.to_owned())));
            }
        }
        match (value.unit, half.unit) {
            (Some(own), Some(_)) => Ok(own),
            // `7 bar +- 5` may mean 5 bar, but more likely 5 %.
            (Some(own), None) => {
                let number = self.at(half.number_span.clone());
                let reason = format!("the tolerance `{number}` has no unit");
                let unit = own.unit.spelling;
                let hint = format!("write `+- {number} %` or `+- {number} {unit}`, whichever is meant");
                Err(self.fail(half.number_span.clone(), reason, Some(hint)))
            }
            (None, Some(shared)) => Ok(shared),
            (None, None) => self.unit_or_plain(value),
        }
    }

    /// The tolerance as percent, if it is one.
    fn percent(&self, span: &Range<usize>) -> Option<f64> {
        let Scanned { value, len } = number::scan(self.at(span.clone())).ok()?;
        let unit = lookup::find(self.at(span.start + len..span.end), &|d| d == Dimension::Fraction);
        matches!(unit, Lookup::Found(_)).then_some(value)
    }

    /// Refuses a half width that is negative as `written` or too large in SI.
    fn can_be_a_width(&self, half: f64, written: f64, span: &Range<usize>) -> Result<(), QuantityError> {
        if written < 0.0 {
            let hint = "write half the width of the spread as a positive number".to_owned();
            return Err(self.fail(span.clone(), "a tolerance cannot be negative".into(), Some(hint)));
        }
        if half.is_finite() { Ok(()) } else { Err(self.too_large(span.clone())) }
    }
}

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;

    use super::super::parse::parse;
    use super::*;

    #[test]
    fn half_widths_in_the_units_that_people_mix() {
        // Analytic: percent of the figure as marked, differences by the factor alone.
        for (text, wanted, si, half) in [
            ("140 kg +- 5 %", Dimension::Mass, 140.0, 7.0),
            ("-140 kg +- 5 %", Dimension::Mass, -140.0, 7.0),
            ("6 bar \u{b1} 0.2 bar", Dimension::Pressure, 600_000.0, 20_000.0),
            ("6 bar +/- 20 kPa", Dimension::Pressure, 600_000.0, 20_000.0),
            ("6bar+-0.2bar", Dimension::Pressure, 600_000.0, 20_000.0),
            ("6 +- 0.2 bar", Dimension::Pressure, 600_000.0, 20_000.0),
            ("6 barg +- 0.2 barg", Dimension::Pressure, 600_000.0, 20_000.0),
            ("6 bar + - 0.2 bar", Dimension::Pressure, 600_000.0, 20_000.0),
            ("6 bar +- 0 bar", Dimension::Pressure, 600_000.0, 0.0),
            ("6 barg +- 5 %", Dimension::Pressure, 600_000.0, 30_000.0),
            ("7 bar(a) +- 5 %", Dimension::Pressure, 700_000.0, 35_000.0),
            ("20 degC +- 2 K", Dimension::Temperature, 293.15, 2.0),
            ("68 degF +- 3 degF", Dimension::Temperature, 293.15, 5.0 / 3.0),
            ("8 % +- 2 %", Dimension::Fraction, 0.08, 0.02),
            ("0.7 +- 0.05", Dimension::Fraction, 0.7, 0.05),
            ("1.2 +- 5 %", Dimension::Number, 1.2, 0.06),
            ("6 ft 2 in +- 1/2 in", Dimension::Length, 74.0 * 0.0254, 0.0127),
        ] {
            let quantity = parse(text, wanted).unwrap_or_else(|error| panic!("{error}"));
            assert_relative_eq!(quantity.si, si, max_relative = 1e-14);
            assert_relative_eq!(quantity.tolerance.unwrap(), half, max_relative = 1e-14);
        }
    }

    #[test]
    fn a_value_alone_states_no_tolerance() {
        assert_eq!(parse("+6 bar", Dimension::Pressure).unwrap().tolerance, None);
    }
}
