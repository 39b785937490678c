//! Showing a quantity in the unit that a builder would use.

use super::table::{self, Dimension};

/// Which family of units figures are shown in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum UnitSystem {
    /// bar, mm, L, kg, N, degC.
    #[default]
    Metric,
    /// psi, in, gal, lb, lbf, degF.
    Us,
}

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
    // Near the end of f64 a smaller unit makes the number overflow.
    if value.is_finite() { join(&scale.digits.write(value), scale.unit) } else { NOT_FINITE.to_owned() }
}

/// A lower limit that a reader is to keep: as [`show`], never below the value itself.
///
/// ```
/// use lungful::units::{Dimension, display::{UnitSystem, show, show_at_least}};
/// assert_eq!(show(0.048_652, Dimension::Length, UnitSystem::Metric), "48.65 mm"); // a hair too thin
/// assert_eq!(show_at_least(0.048_652, Dimension::Length, UnitSystem::Metric), "48.66 mm");
/// ```
#[must_use]
pub fn show_at_least(si: f64, dimension: Dimension, system: UnitSystem) -> String {
    // A hair (1e-9 of the last digit) is forgiven, so that a round limit stays round.
    directed(si, dimension, system, |steps| (steps - 1e-9).ceil())
}

/// An upper limit that a reader is to keep: as [`show`], never above the value itself.
///
/// ```
/// use lungful::units::{Dimension, display::{UnitSystem, show_at_most}};
/// assert_eq!(show_at_most(666_666.7, Dimension::Pressure, UnitSystem::Metric), "6.66 bar");
/// ```
#[must_use]
pub fn show_at_most(si: f64, dimension: Dimension, system: UnitSystem) -> String {
    directed(si, dimension, system, |steps| (steps + 1e-9).floor())
}

fn directed(si: f64, dimension: Dimension, system: UnitSystem, whole: impl Fn(f64) -> f64) -> String {
    let scale = scale(si, dimension, system);
    let value = (si - scale.offset) / scale.factor;
    if !value.is_finite() || dimension == Dimension::Time {
        return show(si, dimension, system);
    }
    let decimals = scale.digits.decimals(value).max(0);
    let step = 10_f64.powi(-decimals);
    join(&fixed(whole(value / step) * step, decimals), scale.unit)
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

/// Energy of a battery, in watt-hours whatever the units: a battery is bought and charged by them.
///
/// ```
/// use lungful::units::display::show_watt_hours;
/// assert_eq!(show_watt_hours(1_093_000.0), "303.6 Wh"); // over 3600
/// assert_eq!(show_watt_hours(72e6), "20 kWh");
/// ```
#[must_use]
pub fn show_watt_hours(joules: f64) -> String {
    let (unit, factor) = if joules.abs() >= 1e4 * table::HOUR { ("kWh", 1000.0) } else { ("Wh", 1.0) };
    let value = joules / (factor * table::HOUR);
    if value.is_finite() { join(&Digits::Significant(4).write(value), unit) } else { NOT_FINITE.to_owned() }
}

fn join(number: &str, unit: &str) -> String {
    if unit.is_empty() { number.to_owned() } else { format!("{number} {unit}") }
}

/// How many digits a figure gets.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Digits {
    /// So many significant ones.
    Significant(i32),
    /// At most so many decimals, with two to four significant digits.
    Decimals(i32),
    /// So many decimals whatever the size, for a scale whose zero is a place like any other.
    Fixed(i32),
}

/// Below this a figure is what rounding left of zero.
const NOTHING: f64 = 1e-9;

impl Digits {
    /// Decimals that a value is written with; negative where whole digits alone are more than are asked for.
    fn decimals(self, value: f64) -> i32 {
        match self {
            Self::Significant(_) | Self::Decimals(_) if value.abs() < NOTHING => 0,
            Self::Fixed(decimals) => decimals,
            Self::Significant(count) => count - 1 - magnitude(value),
            Self::Decimals(most) => most.min(3 - magnitude(value)).max(1 - magnitude(value)),
        }
    }

    fn write(self, value: f64) -> String {
        match self {
            Self::Significant(count) if value.abs() >= NOTHING => {
                significant(value, count).unwrap_or_default()
            }
            _ => fixed(value, self.decimals(value)),
        }
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
            digits: Digits::Fixed(1),
        },
        Dimension::Temperature => {
            Scale { unit: "degC", factor: 1.0, offset: table::ICE_POINT, digits: Digits::Fixed(1) }
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
        Dimension::Fraction => plain("%", 0.01, Digits::Decimals(1)),
        Dimension::Conductance => four("L/(s bar)", table::LITRE_PER_SECOND_BAR),
        Dimension::Rate if size * table::HOUR >= 100.0 => {
            plain("per hour", 1.0 / table::HOUR, Digits::Decimals(0))
        }
        Dimension::Rate => plain("per hour", 1.0 / table::HOUR, Digits::Decimals(1)),
        Dimension::PerHour if size >= 100.0 => plain("per hour", 1.0, Digits::Decimals(0)),
        Dimension::PerHour => plain("per hour", 1.0, Digits::Decimals(1)),
        Dimension::Speed if us => three("in/s", table::INCH),
        Dimension::Speed => three("mm/s", 0.001),
        Dimension::Stress if us => four("psi", table::PSI),
        Dimension::Stress => four("MPa", 1e6),
        Dimension::Moment if us => four("lbf ft", table::FOOT_POUND),
        Dimension::Moment => four("N m", 1.0),
        Dimension::SecondMoment if us => four("in4", table::INCH.powi(4)),
        Dimension::SecondMoment => four("cm4", 1e-8),
        Dimension::Stiffness if us => four("lbf in2", table::POUND_FORCE * table::INCH * table::INCH),
        Dimension::Stiffness => four("N m2", 1.0),
        Dimension::HeatExchange if us => four("Btu/(h degF)", table::BTU_PER_HOUR_AND_DEGREE),
        Dimension::HeatExchange => four("W/K", 1.0),
        Dimension::HeatTransfer if us => {
            four("Btu/(h ft2 degF)", table::BTU_PER_HOUR_AND_DEGREE / (table::FOOT * table::FOOT))
        }
        Dimension::HeatTransfer => four("W/(m2 K)", 1.0),
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
        let text = format!("{value:.places$e}");
        let (mantissa, exponent) = text.split_once('e').unwrap_or((&text, "0"));
        return Some(format!("{}e{exponent}", without_idle_zeros(mantissa)));
    }
    Some(fixed(value, count - 1 - power))
}

/// A number with so many decimals, or fewer where they are zeros; never `-0`.
fn fixed(value: f64, decimals: i32) -> String {
    let places = usize::try_from(decimals).unwrap_or(0);
    let text = format!("{value:.places$}");
    let text = without_idle_zeros(&text);
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

fn without_idle_zeros(number: &str) -> &str {
    if number.contains('.') { number.trim_end_matches('0').trim_end_matches('.') } else { number }
}

#[cfg(test)]
mod tests {
    use UnitSystem::{Metric, Us};

    use super::super::parse::parse;
    use super::*;

    #[test]
    fn figures_as_a_builder_would_write_them() {
        // Expected texts: the value over the size of the unit, rounded by hand.
        for (si, dimension, metric, us) in [
            (550_000.0, Dimension::Pressure, "5.5 bar", "79.8 psi"),
            (30_000.0, Dimension::Pressure, "0.3 bar", "4.4 psi"),
            (400.0, Dimension::Pressure, "0.004 bar", "0.058 psi"),
            (20_050_000.0, Dimension::Pressure, "200.5 bar", "2908 psi"),
            (0.0, Dimension::Pressure, "0 bar", "0 psi"),
            (-20_000.0, Dimension::Pressure, "-0.2 bar", "-2.9 psi"),
            (0.38, Dimension::Length, "380 mm", "14.96 in"),
            (1.5, Dimension::Length, "1500 mm", "59.06 in"),
            (250.0, Dimension::Length, "250 m", "820.2 ft"),
            (0.001_963_495, Dimension::Area, "19.63 cm2", "3.043 in2"),
            (0.01, Dimension::Volume, "10 L", "2.642 gal"),
            (0.000_785_398, Dimension::Volume, "0.7854 L", "47.93 in3"),
            (1.5e-5, Dimension::Volume, "15 mL", "0.9154 in3"),
            (0.09, Dimension::FreeAirVolume, "90 L ANR", "3.178 ft3 ANR"),
            (0.000_533_333_333, Dimension::FreeAirFlow, "32 L/min", "1.13 cfm"),
            (0.000_64, Dimension::MassFlow, "0.64 g/s", "0.08466 lb/min"),
            (120.0, Dimension::Mass, "120 kg", "264.6 lb"),
            (0.015, Dimension::Mass, "15 g", "0.5291 oz"),
            (1_177.0, Dimension::Force, "1177 N", "264.6 lbf"),
            (23_562.0, Dimension::Force, "23.56 kN", "5297 lbf"),
            (298.15, Dimension::Temperature, "25 degC", "77 degF"),
            (273.15, Dimension::Temperature, "0 degC", "32 degF"),
            (59.96, Dimension::Time, "60 s", "60 s"),
            (1.234, Dimension::Time, "1.23 s", "1.23 s"),
            (120.0, Dimension::Time, "2 min", "2 min"),
            (372.4, Dimension::Time, "6 min 12 s", "6 min 12 s"),
            (7_199.7, Dimension::Time, "2 h", "2 h"),
            (7_500.0, Dimension::Time, "2 h 5 min", "2 h 5 min"),
            (std::f64::consts::FRAC_PI_4, Dimension::Angle, "45 deg", "45 deg"),
            (24.0, Dimension::Voltage, "24 V", "24 V"),
            (11.0, Dimension::Current, "11 A", "11 A"),
            (72_000.0, Dimension::Charge, "20 Ah", "20 Ah"),
            (264.0, Dimension::Power, "264 W", "264 W"),
            (8_500.0, Dimension::Energy, "8500 J", "6269 ft lbf"),
            (12_345.0, Dimension::Energy, "12.35 kJ", "9105 ft lbf"),
            (0.684, Dimension::Fraction, "68.4 %", "68.4 %"),
            (0.083, Dimension::Fraction, "8.3 %", "8.3 %"),
            (0.7, Dimension::Fraction, "70 %", "70 %"),
            (2.1e-8, Dimension::Conductance, "2.1 L/(s bar)", "2.1 L/(s bar)"),
            (4.2 / 3600.0, Dimension::Rate, "4.2 per hour", "4.2 per hour"),
            (0.065, Dimension::Speed, "65 mm/s", "2.56 in/s"),
            (250.0, Dimension::Moment, "250 N m", "184.4 lbf ft"),
            (9.324e-8, Dimension::SecondMoment, "9.324 cm4", "0.224 in4"),
            (19_580.0, Dimension::Stiffness, "19580 N m2", "6822740 lbf in2"),
            (3.0, Dimension::Number, "3", "3"),
        ] {
            assert_eq!(show(si, dimension, Metric), metric);
            assert_eq!(show(si, dimension, Us), us);
        }
    }

    #[test]
    fn nothing_shows_as_nothing() {
        for unit in table::UNITS {
            for system in [Metric, Us] {
                for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
                    assert_eq!(show(bad, unit.dimension, system), "-");
                    assert_eq!(show_exact(bad, unit.dimension, system), "-");
                }
                let zero = show(-0.0, unit.dimension, system);
                assert!(!zero.starts_with("-0"), "{zero}");
                assert!(!show_exact(-0.0, unit.dimension, system).starts_with("-0 "), "{zero}");
            }
        }
        assert_eq!(show(-1e-12, Dimension::Force, Metric), "0 N");
        assert_eq!(show(273.15 - 1e-9, Dimension::Temperature, Metric), "0 degC");
    }

    #[test]
    fn seven_digits_for_the_worked_figure() {
        // 550000 / 6894.757293, by hand.
        assert_eq!(show_exact(550_000.0, Dimension::Pressure, Us), "79.77076 psi");
        assert_eq!(show_exact(0.123_456_789, Dimension::Length, Metric), "123.4568 mm");
        assert_eq!(show_exact(372.25, Dimension::Time, Metric), "372.25 s");
        assert_eq!(show_exact(2.5e-7, Dimension::Number, Metric), "2.5e-7");
    }

    #[test]
    fn what_is_shown_can_be_read_again() {
        let sizes = [1e-3, 0.02, 0.37, 1.0, 9.996, 42.42, 118.7, 1_234.5, 7_199.6, 98_765.4, 3.3e6];
        for unit in table::UNITS {
            for si in sizes.iter().flat_map(|&size| [size, -size]) {
                for system in [Metric, Us] {
                    let shown = show(si, unit.dimension, system);
                    let read = parse(&shown, unit.dimension).unwrap_or_else(|error| panic!("{error}")).si;
                    // Two digits are the fewest shown, save for temperatures (0.05 K) and times (whole seconds).
                    let rounding =
                        if unit.dimension == Dimension::Temperature { 0.051 } else { 0.05 * si.abs() };
                    assert!((read - si).abs() <= rounding, "{si} {shown} {read}");
                    let exact = show_exact(si, unit.dimension, system);
                    let read = parse(&exact, unit.dimension).unwrap_or_else(|error| panic!("{error}")).si;
                    assert!((read - si).abs() <= 1e-6 * (si.abs() + unit.offset), "{si} {exact} {read}");
                }
            }
        }
    }
}
