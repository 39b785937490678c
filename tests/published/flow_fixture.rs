//! Series of restrictions, raise times and hoses against an independent calculation.
//!
//! `tests/fixtures/flow.py` writes the figures from the equations with scipy: another way round for the
//! series (from the inlet down), ordinary differential equations for the raise, gas dynamics for the hose.

use approx::assert_relative_eq;
use lungful::air::flow::hose::hose;
use lungful::air::flow::series::Line;
use lungful::air::flow::{Conductance, Restriction};
use lungful::sizing::piston_path::{Chamber, TravelPoint};
use lungful::sizing::raise::{Feed, Raise};
use lungful::sizing::regulator_flow::{Droop, RegulatorFlow};
use lungful::units::{AbsolutePressure, GaugePressure, pressure::pascals};
use uom::si::area::square_meter;
use uom::si::f64::{Area, Length, MassRate, Ratio, ThermodynamicTemperature, Volume};
use uom::si::length::meter;
use uom::si::mass_rate::kilogram_per_second;
use uom::si::thermodynamic_temperature::kelvin;
use uom::si::volume::cubic_meter;

/// Lines of a fixture after its comment and head.
fn lines(fixture: &'static str) -> impl Iterator<Item = Vec<&'static str>> {
    fixture.lines().filter(|line| !line.starts_with('#')).skip(1).map(|line| line.split(',').collect())
}

fn numbers(text: &str, separator: char) -> Vec<f64> {
    text.split(separator).map(|number| number.parse().unwrap()).collect()
}

fn restriction(conductance: f64, critical_ratio: f64) -> Restriction {
    Restriction::new(Conductance::from_si(conductance).unwrap(), Ratio::from(critical_ratio)).unwrap()
}

#[test]
fn cross_checked_series() {
    let mut count = 0;
    for fields in lines(include_str!("../fixtures/flow_series.csv")) {
        let given = numbers(&fields[..4].join(","), ',');
        let elements = fields[4].split(';').map(|element| {
            let of = numbers(element, ' ');
            restriction(of[0], of[1]).with_subsonic_index(of[2]).unwrap()
        });
        let line = Line::new(elements.collect()).unwrap();
        let absolute = |value| AbsolutePressure::new(pascals(value)).unwrap();
        let air = ThermodynamicTemperature::new::<kelvin>(given[2]);
        let found = line.flow(absolute(given[0]), absolute(given[1]), air).unwrap();
        // Both solve to rounding; next to equal pressures the flow moves a thousand times faster than they do.
        assert_relative_eq!(found.mass_flow.value, given[3], max_relative = 1e-9);
        count += 1;
    }
    assert_eq!(count, 24);
}

#[test]
fn cross_checked_raise_times() {
    let mut count = 0;
    for fields in lines(include_str!("../fixtures/flow_raise.csv")) {
        let given = numbers(&fields.join(","), ',');
        let [
            atmosphere,
            temperature,
            set,
            droop,
            rated,
            c1,
            b1,
            c2,
            b2,
            area,
            dead,
            stroke,
            first,
            last,
            delay,
            moving,
        ] = given[..]
        else {
            panic!("{given:?}")
        };
        let regulator = RegulatorFlow {
            set: GaugePressure::new(pascals(set)),
            droop: Droop::Linear {
                droop: pascals(droop),
                rated: MassRate::new::<kilogram_per_second>(rated),
            },
            seat: None,
        };
        let line = Line::new(vec![restriction(c1, b1), restriction(c2, b2)]).unwrap();
        let feed = Feed {
            regulator: &regulator,
            line: &line,
            atmosphere: AbsolutePressure::new(pascals(atmosphere)).unwrap(),
            temperature: ThermodynamicTemperature::new::<kelvin>(temperature),
        };
        let chamber =
            Chamber { area: Area::new::<square_meter>(area), dead_volume: Volume::new::<cubic_meter>(dead) };
        let point = |travel: f64, gauge: f64| TravelPoint {
            travel: Length::new::<meter>(travel),
            pressure: GaugePressure::new(pascals(gauge)),
        };
        let path = [point(0.0, first), point(stroke, last)];
        let Raise::Completes(times) = feed.raise(&chamber, &path).unwrap() else { panic!("stalls") };
        // The script's table of flow against pressure is good to about 1e-8.
        assert_relative_eq!(times.delay.value, delay, max_relative = 1e-7);
        assert_relative_eq!(times.moving.value, moving, max_relative = 1e-7);
        count += 1;
    }
    assert_eq!(count, 12);
}

#[test]
fn cross_checked_hose_formula_is_on_the_slow_side_of_gas_dynamics() {
    let mut count = 0;
    for fields in lines(include_str!("../fixtures/flow_hose.csv")) {
        let given = numbers(&fields.join(","), ',');
        let found = hose(Length::new::<meter>(given[0]), Length::new::<meter>(given[1])).unwrap();
        let excess = given[3] / found.conductance().si() - 1.0;
        // An empirical formula against a smooth tube: real hoses are rougher, and their ends narrower.
        assert!((0.0..0.16).contains(&excess), "{given:?}: {excess}");
        count += 1;
    }
    assert_eq!(count, 72);
}
