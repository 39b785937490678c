//! Unit conversions of NIST Special Publication 811 (2008), appendix B.8, printed to seven digits there.

use approx::assert_relative_eq;
use lungful::units::{Dimension, parse::parse};

/// Half a unit in the seventh digit, the last that is printed, for a number that begins with 1.
const SEVEN_DIGITS: f64 = 5e-7;

struct Row {
    text: &'static str,
    dimension: Dimension,
    si: f64,
}

const fn row(text: &'static str, dimension: Dimension, si: f64) -> Row {
    Row { text, dimension, si }
}

#[test]
fn published_conversions_of_sp_811() {
    for Row { text, dimension, si } in [
        row("1 psi", Dimension::Pressure, 6.894_757e3),
        row("1 in", Dimension::Length, 2.54e-2),
        row("1 lbf", Dimension::Force, 4.448_222),
        row("1 ft3", Dimension::Volume, 2.831_685e-2),
        row("1 cfm", Dimension::FreeAirFlow, 4.719_474e-4),
        row("1 gal", Dimension::Volume, 3.785_412e-3),
        row("1 inHg", Dimension::Pressure, 3.386_389e3),
        row("1 hp", Dimension::Power, 7.456_999e2),
        row("1 Btu", Dimension::Energy, 1.055_056e3),
        row("1 kgf", Dimension::Force, 9.806_65),
        row("1 kgf/cm2", Dimension::Pressure, 9.806_65e4),
        row("1 atm", Dimension::Pressure, 1.013_25e5),
        row("1 torr", Dimension::Pressure, 1.333_224e2),
        row("1 lb", Dimension::Mass, 4.535_924e-1),
        row("1 ft lbf", Dimension::Energy, 1.355_818),
        row("1 ksi", Dimension::Pressure, 6.894_757e6),
        row("1 inH2O", Dimension::Pressure, 2.490_889e2),
        row("1 in3", Dimension::Volume, 1.638_706e-5),
    ] {
        let read = parse(text, dimension).unwrap();
        assert_relative_eq!(read.si, si, max_relative = SEVEN_DIGITS);
    }
}

/// The same publication, pound per cubic foot: a quotient of two rows of the table.
#[test]
fn published_density_of_sp_811() {
    let pound = parse("1 lb", Dimension::Mass).unwrap().si;
    let cubic_foot = parse("1 ft3", Dimension::Volume).unwrap().si;
    assert_relative_eq!(pound / cubic_foot, 16.018_46, max_relative = SEVEN_DIGITS);
}

/// The exact definition, to the last digits that f64 holds.
#[test]
fn analytic_psi() {
    let psi = parse("1 psi", Dimension::Pressure).unwrap().si;
    assert_relative_eq!(psi, 4.448_221_615_260_5 / 0.000_645_16, max_relative = 1e-12);
}
