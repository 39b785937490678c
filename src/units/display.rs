//! Showing a quantity in the unit that a builder would use.

/// Which family of units figures are shown in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum UnitSystem {
    /// bar, mm, L, kg, N, degC.
    #[default]
    Metric,
    /// psi, in, gal, lb, lbf, degF.
    Us,
}

use super::table::{self, Dimension};

/// What stands for a figure that is not finite. No result should be one.
const NOT_FINITE: &str = "-";

/// A quantity for a table or a sentence: the unit a builder would use, three to four significant digits.
///
/// Pressures come without their kind and flows without their reference state; the caller says it once per
/// table. A value that is not finite shows as `-`.
///
/// ```
/// use lungful::units::{Dimension, display::{UnitSystem, show}};
/// assert_eq!(show(550_000.0, Dimension::Pressure, UnitSystem::Metric), "5.5 bar");
/// assert_eq!(show(550_000.0, Dimension::Pressure, UnitSystem::Us), "79.8 psi"); // 550000 / 6894.757
/// assert_eq!(show(372.0, Dimension::Time, UnitSystem::Metric), "6 min 12 s");
/// ```
#[must_use]
pub fn show(si: f64, dimension: Dimension, system: UnitSystem) -> String {
    if !si.is_finite() {
        return NOT_FINITE.to_owned();
    }
    if dimension == Dimension::Time {
        return time(si);
    }
    let scale = scale(si, dimension, system);
    let value = (si - scale.offset) / scale.factor;
    join(&scale.digits.write(value), scale.unit)
}

/// A quantity with seven significant digits, for a worked figure that somebody redoes by hand. Times are in s.
///
/// ```
/// use lungful::units::{Dimension, display::{UnitSystem, show_exact}};
/// assert_eq!(show_exact(550_000.0, Dimension::Pressure, UnitSystem::Us), "79.77076 psi");
/// ```
#[must_use]
pub fn show_exact(si: f64, dimension: Dimension, system: UnitSystem) -> String {
    if !si.is_finite() {
        return NOT_FINITE.to_owned();
    }
    let scale = scale(si, dimension, system);
    let value = (si - scale.offset) / scale.factor;
    significant(value, 7).map_or_else(|| NOT_FINITE.to_owned(), |text| join(&text, scale.unit))
}

fn join(number: &str, unit: &str) -> String {
    if unit.is_empty() { number.to_owned() } else { format!("{number} {unit}") }
}

/// How many digits a figure gets.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Digits {
    /// So many significant ones.
    Significant(i32),
    /// At most so many decimals and four significant digits; two significant digits below a tenth.
    Decimals(i32),
}

impl Digits {
    fn write(self, value: f64) -> String {
        let digits = match self {
            Self::Significant(count) => return significant(value, count).unwrap_or_default(),
            Self::Decimals(_) if value.abs() < 0.1 => return significant(value, 2).unwrap_or_default(),
            Self::Decimals(most) => most.min(3 - magnitude(value)),
        };
        fixed(value, digits)
    }
}

struct Scale {
    unit: &'static str,
    factor: f64,
    offset: f64,
    digits: Digits,
}

/// Unit, size and digits for a value.
fn scale(si: f64, dimension: Dimension, system: UnitSystem) -> Scale {
    let size = si.abs();
    let plain = |unit, factor, digits| Scale { unit, factor, offset: 0.0, digits };
    let four = |unit, factor| plain(unit, factor, Digits::Significant(4));
    let three = |unit, factor| plain(unit, factor, Digits::Significant(3));
    let us = system == UnitSystem::Us;
    match dimension {
        Dimension::Pressure if us => plain("psi", table::PSI, Digits::Decimals(1)),
        Dimension::Pressure => plain("bar", table::BAR, Digits::Decimals(2)),
        Dimension::Length if us && size > 10.0 * table::FOOT => four("ft", table::FOOT),
        Dimension::Length if us => four("in", table::INCH),
        Dimension::Length if size > 10.0 => four("m", 1.0),
        Dimension::Length => four("mm", 0.001),
        Dimension::Area if us => four("in2", table::INCH * table::INCH),
        Dimension::Area => four("cm2", 1e-4),
        Dimension::Volume if us && size < 0.5 * table::GALLON && size > 0.0 => four("in3", table::CUBIC_INCH),
        Dimension::Volume if us => four("gal", table::GALLON),
        Dimension::Volume if size < 1e-4 && size > 0.0 => four("mL", 1e-6),
        Dimension::Volume if size < 10.0 => four("L", table::LITRE),
        Dimension::Volume => four("m3", 1.0),
        Dimension::FreeAirVolume if us => four("ft3 ANR", table::CUBIC_FOOT),
        Dimension::FreeAirVolume if size < 10.0 => four("L ANR", table::LITRE),
        Dimension::FreeAirVolume => four("m3 ANR", 1.0),
        Dimension::Mass if us && size < 0.5 * table::POUND && size > 0.0 => four("oz", table::OUNCE),
        Dimension::Mass if us => four("lb", table::POUND),
        Dimension::Mass if size < 1.0 && size > 0.0 => four("g", 0.001),
        Dimension::Mass => four("kg", 1.0),
        Dimension::Force if us => four("lbf", table::POUND_FORCE),
        Dimension::Force if size > 10_000.0 => four("kN", 1000.0),
        Dimension::Force => four("N", 1.0),
        Dimension::FreeAirFlow if us => four("cfm", table::CUBIC_FOOT / table::MINUTE),
        Dimension::FreeAirFlow => four("L/min", table::LITRE / table::MINUTE),
        Dimension::MassFlow if us => four("lb/min", table::POUND / table::MINUTE),
        Dimension::MassFlow => four("g/s", 0.001),
        Dimension::Temperature if us => Scale {
            unit: "degF",
            factor: table::FAHRENHEIT,
            offset: table::FAHRENHEIT_ZERO,
            digits: Digits::Decimals(1),
        },
        Dimension::Temperature => {
            Scale { unit: "degC", factor: 1.0, offset: table::ICE_POINT, digits: Digits::Decimals(1) }
        }
        Dimension::Time => four("s", 1.0),
        Dimension::Angle => plain("deg", table::DEGREE, Digits::Decimals(2)),
        Dimension::Voltage => four("V", 1.0),
        Dimension::Current => four("A", 1.0),
        Dimension::Charge => four("Ah", table::HOUR),
        Dimension::Power if size > 10_000.0 => four("kW", 1000.0),
        Dimension::Power => four("W", 1.0),
        Dimension::Energy if us => four("ft lbf", table::FOOT_POUND),
        Dimension::Energy if size >= 1e7 => four("MJ", 1e6),
        Dimension::Energy if size >= 1e4 => four("kJ", 1000.0),
        Dimension::Energy => four("J", 1.0),
        Dimension::Fraction if size >= 0.1 => plain("%", 0.01, Digits::Decimals(0)),
        Dimension::Fraction => plain("%", 0.01, Digits::Decimals(1)),
        Dimension::Conductance => four("L/(s bar)", table::LITRE_PER_SECOND_BAR),
        Dimension::Rate if size * table::HOUR >= 100.0 => {
            plain("per hour", 1.0 / table::HOUR, Digits::Decimals(0))
        }
        Dimension::Rate => plain("per hour", 1.0 / table::HOUR, Digits::Decimals(1)),
        Dimension::Speed if us => three("in/s", table::INCH),
        Dimension::Speed => three("mm/s", 0.001),
        Dimension::Density if us => four("lb/ft3", table::POUND / table::CUBIC_FOOT),
        Dimension::Density => four("kg/m3", 1.0),
        Dimension::Number => four("", 1.0),
    }
}

/// Seconds below two minutes, then minutes and seconds, from two hours on hours and minutes.
fn time(seconds: f64) -> String {
    let sign = if seconds < 0.0 { "-" } else { "" };
    let size = seconds.abs();
    let parts = |total: f64, small: f64, large_unit: &str, small_unit: &str| {
        let large = (total / small).floor();
        let left = total - large * small;
        if left >= 1.0 {
            format!("{sign}{large:.0} {large_unit} {left:.0} {small_unit}")
        } else {
            format!("{sign}{large:.0} {large_unit}")
        }
    };
    if size < 120.0 {
        join(&Digits::Significant(3).write(seconds), "s")
    } else if size.round() < 2.0 * table::HOUR {
        parts(size.round(), 60.0, "min", "s")
    } else if size < 1e9 {
        parts((size / 60.0).round(), 60.0, "h", "min")
    } else {
        join(&Digits::Significant(4).write(seconds / table::HOUR), "h")
    }
}

/// Position of the first digit: 0 for 1 to 9, 1 for 10 to 99, -1 for 0.1 to 0.9. Zero counts as 0.
fn magnitude(value: f64) -> i32 {
    if value == 0.0 || !value.is_finite() {
        return 0;
    }
    #[allow(
        clippy::cast_possible_truncation,
        reason = "the logarithm of a finite f64 lies within -324 and 309"
    )]
    let power = value.abs().log10().floor() as i32;
    power
}

/// A number with `count` significant digits, whole digits never cut, zeros behind the point dropped. `None`
/// for what is not finite.
pub(super) fn significant(value: f64, count: i32) -> Option<String> {
    if !value.is_finite() {
        return None;
    }
    let power = magnitude(value);
    if !(-6..=9).contains(&power) {
        let places = usize::try_from(count - 1).unwrap_or(0);
        return Some(format!("{value:.places$e}"));
    }
    Some(fixed(value, count - 1 - power))
}

/// A number with so many decimals, or fewer where they are zeros; never `-0`.
fn fixed(value: f64, decimals: i32) -> String {
    let places = usize::try_from(decimals).unwrap_or(0);
    let text = format!("{value:.places$}");
    let text = if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.') } else { &text };
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}
