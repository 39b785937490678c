//! A figure of a source beside what the program makes of the same inputs, and the reading of those inputs.
//!
//! Inputs stand in the tables as the source writes them and pass through the program's own reader of
//! quantities, kind of pressure included.
//!
//! The worked examples of textbooks are quoted from public notebooks that rework them and print the results
//! (the textbook companions of the FOSSEE project), not from the books themselves; an edition is named where
//! the notebook names it.

use lungful::units::parse::parse;
use lungful::units::{AbsolutePressure, Dimension, GaugePressure, Mark, pressure::pascals};
use uom::si::f64::{Area, Force, Length, ThermodynamicTemperature, Time, Volume, VolumeRate};

/// One row of a table of expected figures.
pub(crate) struct Row {
    /// Where `expected` is printed.
    pub(crate) source: &'static str,
    /// In the unit of the source.
    pub(crate) expected: f64,
    /// Absolute, in the unit of the source.
    pub(crate) tolerance: f64,
    /// Why the tolerance is what it is.
    pub(crate) reason: &'static str,
    /// What the program finds, in the unit of the source.
    pub(crate) found: f64,
}

/// Half of the last digit printed is all that is allowed.
pub(crate) const PRINTED_DIGIT: &str = "half of the last digit printed";

#[track_caller]
pub(crate) fn compare<const N: usize>(rows: [Row; N]) {
    for Row { source, expected, tolerance, reason, found } in rows {
        assert!(
            (found - expected).abs() <= tolerance,
            "{source}: {expected} expected within {tolerance} ({reason}), {found} found"
        );
    }
}

/// A written quantity in the SI base unit of its dimension.
#[track_caller]
pub(crate) fn si(text: &str, dimension: Dimension) -> f64 {
    parse(text, dimension).unwrap().si
}

/// A gauge pressure; the text must say so.
#[track_caller]
pub(crate) fn gauge(text: &str) -> GaugePressure {
    let read = parse(text, Dimension::Pressure).unwrap();
    assert_eq!(read.mark, Mark::Gauge, "`{text}` is not marked gauge");
    GaugePressure::new(pascals(read.si))
}

/// An absolute pressure; the text must say so.
#[track_caller]
pub(crate) fn absolute(text: &str) -> AbsolutePressure {
    let read = parse(text, Dimension::Pressure).unwrap();
    assert_eq!(read.mark, Mark::Absolute, "`{text}` is not marked absolute");
    AbsolutePressure::new(pascals(read.si)).unwrap()
}

#[track_caller]
pub(crate) fn length(text: &str) -> Length {
    Length::new::<uom::si::length::meter>(si(text, Dimension::Length))
}

#[track_caller]
pub(crate) fn area(text: &str) -> Area {
    Area::new::<uom::si::area::square_meter>(si(text, Dimension::Area))
}

#[track_caller]
pub(crate) fn volume(text: &str) -> Volume {
    Volume::new::<uom::si::volume::cubic_meter>(si(text, Dimension::Volume))
}

#[track_caller]
pub(crate) fn force(text: &str) -> Force {
    Force::new::<uom::si::force::newton>(si(text, Dimension::Force))
}

#[track_caller]
pub(crate) fn temperature(text: &str) -> ThermodynamicTemperature {
    ThermodynamicTemperature::new::<uom::si::thermodynamic_temperature::kelvin>(si(
        text,
        Dimension::Temperature,
    ))
}

#[track_caller]
pub(crate) fn time(text: &str) -> Time {
    Time::new::<uom::si::time::second>(si(text, Dimension::Time))
}

/// A volume flow; the state at which it is counted is the caller's to know.
#[track_caller]
pub(crate) fn flow(text: &str) -> VolumeRate {
    VolumeRate::new::<uom::si::volume_rate::cubic_meter_per_second>(si(text, Dimension::FreeAirFlow))
}
