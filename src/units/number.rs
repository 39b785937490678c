//! Reading the number at the head of a text.

/// A number and how many bytes of the text it takes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Scanned {
    pub(super) value: f64,
    pub(super) len: usize,
}

/// Why no number was read; `len` is how many bytes look like one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Fault {
    /// The text does not begin with a number.
    Missing,
    /// `NaN` or `inf`, spelled.
    Spelled { len: usize },
    /// Too large for the arithmetic.
    TooLarge { len: usize },
    /// Not zero, yet too small to be told from it.
    TooSmall { len: usize },
    /// A fraction over zero.
    OverZero { len: usize },
}

/// Reads `6`, `-0.5`, `.5`, `5.`, `1e5`, `1/2`, `2 1/2`, `2-1/2` and `2½` at the head of `text`.
pub(super) fn scan(text: &str) -> Result<Scanned, Fault> {
    let (negative, sign_len) = sign(text);
    let body = tail(text, sign_len);
    let unsigned = match mixed(body) {
        Some(read) => read,
        None => decimal(body),
    };
    let grown = |len: usize| len + sign_len;
    match unsigned {
        Ok(Scanned { value, len }) => {
            Ok(Scanned { value: if negative { -value } else { value }, len: grown(len) })
        }
        Err(Fault::Missing) => Err(Fault::Missing),
        Err(Fault::Spelled { len }) => Err(Fault::Spelled { len: grown(len) }),
        Err(Fault::TooLarge { len }) => Err(Fault::TooLarge { len: grown(len) }),
        Err(Fault::TooSmall { len }) => Err(Fault::TooSmall { len: grown(len) }),
        Err(Fault::OverZero { len }) => Err(Fault::OverZero { len: grown(len) }),
    }
}

/// Whether a number could begin here, sign apart.
pub(super) fn begins_number(text: &str) -> bool {
    let mut chars = text.chars();
    match chars.next() {
        Some('.') => chars.next().is_some_and(|c| c.is_ascii_digit()),
        Some(c) => c.is_ascii_digit() || vulgar(c).is_some(),
        None => false,
    }
}

/// The text from byte `from` on; empty if there is no such place.
pub(super) fn tail(text: &str, from: usize) -> &str {
    text.get(from..).unwrap_or_default()
}

/// Number of leading ASCII digits.
pub(super) fn digits(text: &str) -> usize {
    text.bytes().take_while(u8::is_ascii_digit).count()
}

fn sign(text: &str) -> (bool, usize) {
    match text.chars().next() {
        Some('-') => (true, 1),
        Some('+') => (false, 1),
        // The minus sign of typesetting, three bytes long.
        Some(minus @ '\u{2212}') => (true, minus.len_utf8()),
        _ => (false, 0),
    }
}

/// A number with a fraction in it, `None` if there is no fraction at the head of the text.
fn mixed(body: &str) -> Option<Result<Scanned, Fault>> {
    if let Some(fraction) = fraction(body) {
        return Some(finish(0.0, &fraction, 0));
    }
    let whole_len = digits(body);
    if whole_len == 0 {
        return None;
    }
    let after = tail(body, whole_len);
    let gap = match after.chars().next()? {
        '-' => 1,
        c if c.is_whitespace() => after.len() - after.trim_start().len(),
        c if vulgar(c).is_some() => 0,
        _ => return None,
    };
    let fraction = fraction(tail(after, gap))?;
    // `2 3/2` is two numbers rather than a way to write three and a half.
    if fraction.numerator >= fraction.denominator && fraction.denominator > 0.0 {
        return None;
    }
    let whole: f64 = body.get(..whole_len)?.parse().ok()?;
    Some(finish(whole, &fraction, whole_len + gap))
}

struct Parts {
    numerator: f64,
    denominator: f64,
    len: usize,
}

fn finish(whole: f64, fraction: &Parts, before: usize) -> Result<Scanned, Fault> {
    let len = before + fraction.len;
    if fraction.denominator <= 0.0 {
        return Err(Fault::OverZero { len });
    }
    let value = whole + fraction.numerator / fraction.denominator;
    if value.is_finite() { Ok(Scanned { value, len }) } else { Err(Fault::TooLarge { len }) }
}

/// `1/2` or `½` at the head of the text.
fn fraction(text: &str) -> Option<Parts> {
    let first = text.chars().next()?;
    if let Some((numerator, denominator)) = vulgar(first) {
        return Some(Parts { numerator, denominator, len: first.len_utf8() });
    }
    let top = digits(text);
    let slash = tail(text, top).chars().next().filter(|c| matches!(c, '/' | '\u{2044}'))?;
    let bottom_from = top + slash.len_utf8();
    let bottom = digits(tail(text, bottom_from));
    let len = bottom_from + bottom;
    Some(Parts {
        numerator: text.get(..top)?.parse().ok()?,
        denominator: text.get(bottom_from..len)?.parse().ok()?,
        len,
    })
}

const fn vulgar(c: char) -> Option<(f64, f64)> {
    Some(match c {
        '½' => (1.0, 2.0),
        '¼' => (1.0, 4.0),
        '¾' => (3.0, 4.0),
        '⅛' => (1.0, 8.0),
        '⅜' => (3.0, 8.0),
        '⅝' => (5.0, 8.0),
        '⅞' => (7.0, 8.0),
        _ => return None,
    })
}

fn decimal(body: &str) -> Result<Scanned, Fault> {
    let whole = digits(body);
    let after_whole = tail(body, whole);
    // `6..8` is a range, not `6.` and `.8`.
    let point = after_whole.starts_with('.') && !after_whole.starts_with("..");
    let decimals = if point { digits(tail(after_whole, 1)) } else { 0 };
    if whole + decimals == 0 {
        return Err(spelled(body).map_or(Fault::Missing, |len| Fault::Spelled { len }));
    }
    let mantissa_len = whole + usize::from(point) + decimals;
    let len = mantissa_len + exponent(tail(body, mantissa_len));
    let value: f64 = body.get(..len).and_then(|number| number.parse().ok()).ok_or(Fault::Missing)?;
    let mantissa_is_zero = !body.bytes().take(mantissa_len).any(|b| matches!(b, b'1'..=b'9'));
    if !value.is_finite() {
        Err(Fault::TooLarge { len })
    } else if value == 0.0 && !mantissa_is_zero {
        Err(Fault::TooSmall { len })
    } else {
        Ok(Scanned { value, len })
    }
}

/// Length of an exponent, zero where an `e` belongs to the unit.
fn exponent(text: &str) -> usize {
    if !text.starts_with(['e', 'E']) {
        return 0;
    }
    let sign = usize::from(tail(text, 1).starts_with(['+', '-']));
    match digits(tail(text, 1 + sign)) {
        0 => 0,
        count => 1 + sign + count,
    }
}

fn spelled(text: &str) -> Option<usize> {
    let word = text.chars().take_while(|c| c.is_alphabetic() || *c == '\u{221e}').collect::<String>();
    let known = ["nan", "inf", "infinity", "\u{221e}"].contains(&word.to_lowercase().as_str());
    known.then_some(word.len())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_read_to_their_end() {
        // Expected values: arithmetic.
        for (text, value, len) in [
            ("6 bar", 6.0, 1),
            ("-0.5", -0.5, 4),
            ("\u{2212}2 C", -2.0, 4),
            (".5 bar", 0.5, 2),
            ("5. bar", 5.0, 2),
            ("1e5 Pa", 1e5, 3),
            ("1.5E-3m", 1.5e-3, 6),
            ("5eV", 5.0, 1),
            ("1/2 in", 0.5, 3),
            ("2 1/2 in", 2.5, 5),
            ("2-1/2 in", 2.5, 5),
            ("-2 1/2 in", -2.5, 6),
            ("2½ in", 2.5, 3),
            ("¾\"", 0.75, 2),
            ("2 3/2 in", 2.0, 1),
            ("4 1/h", 4.0, 1),
            ("60/min", 60.0, 2),
            ("6..8", 6.0, 1),
        ] {
            assert_eq!(scan(text), Ok(Scanned { value, len }), "{text}");
        }
    }

    #[test]
    fn what_is_no_number_is_told_apart() {
        for (text, fault) in [
            ("", Fault::Missing),
            ("bar", Fault::Missing),
            (".", Fault::Missing),
            ("--5", Fault::Missing),
            ("nand 5", Fault::Missing),
            ("NaN psi", Fault::Spelled { len: 3 }),
            ("-inf", Fault::Spelled { len: 4 }),
            ("1e400 bar", Fault::TooLarge { len: 5 }),
            ("1e-400 bar", Fault::TooSmall { len: 6 }),
            ("1/0 in", Fault::OverZero { len: 3 }),
            ("2 1/0 in", Fault::OverZero { len: 5 }),
        ] {
            assert_eq!(scan(text), Err(fault), "{text}");
        }
    }
}
