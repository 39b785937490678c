//! Whatever figures go in, what comes out is an error or finite, and nothing panics or hangs.

use lungful::air::gas::{Expansion, Isentrope, Isotherm, State};
use lungful::air::{atmosphere, reference};
use lungful::answers::{evaluate, fault_working, hazards, working};
use lungful::report::{Report, document, terminal};
use lungful::rig::fields::{Bound, FIELDS, Kind};
use lungful::rig::{AirSource, Document, Overrides, Rig, Source};
use lungful::sizing::compressor_fill_time::{Compressor, Delivery, Intake, Pump, kept_up_rate};
use lungful::sizing::stored_energy::stored_energy;
use lungful::sizing::tank_capacity::{AirReturn, Demand, StrokeDraw, count_quick, count_slow};
use lungful::units::{
    AbsolutePressure, FreeAirFlow, GaugePressure, ReferenceState, UnitSystem, pressure::pascals,
};
use proptest::prelude::*;
use uom::si::f64::{
    Energy, Length, Mass, MassDensity, MassRate, Ratio, ThermodynamicTemperature, Time, Volume, VolumeRate,
};

use super::said::assert_finite;

/// Any number: none, tiny, huge, not a number, of either sign, and sober ones.
fn number() -> impl Strategy<Value = f64> {
    prop_oneof![
        prop::sample::select(vec![
            0.0,
            -0.0,
            1e-320,
            1e-9,
            1.0,
            1e9,
            1e300,
            f64::MAX,
            f64::INFINITY,
            f64::NAN,
            -1.0,
            -1e300,
            f64::NEG_INFINITY,
        ]),
        any::<f64>(),
        -10.0..2000.0_f64,
        1e4..4e7_f64,
    ]
}

/// A pressure as the type allows it: finite and above zero.
fn absolute() -> impl Strategy<Value = AbsolutePressure> {
    number().prop_filter_map("no absolute pressure", |pa| AbsolutePressure::new(pascals(pa)).ok())
}

fn gauge() -> impl Strategy<Value = GaugePressure> {
    number().prop_map(|pa| GaugePressure::new(pascals(pa)))
}

fn temperature(value: f64) -> ThermodynamicTemperature {
    ThermodynamicTemperature { value, ..ThermodynamicTemperature::default() }
}

fn volume(value: f64) -> Volume {
    Volume { value, ..Volume::default() }
}

fn mass_rate(value: f64) -> MassRate {
    MassRate { value, ..MassRate::default() }
}

fn density(value: f64) -> MassDensity {
    MassDensity { value, ..MassDensity::default() }
}

/// A result that is given is finite.
#[track_caller]
fn error_or_finite<T: std::fmt::Debug>(result: lungful::Result<T>) {
    if let Ok(value) = result {
        assert_finite(&value);
    }
}

fn delivery() -> impl Strategy<Value = Delivery> {
    let intake = || {
        prop_oneof![
            number().prop_map(|rate| Intake::Mass(mass_rate(rate))),
            number()
                .prop_map(|rate| Intake::InletVolume(VolumeRate { value: rate, ..VolumeRate::default() })),
        ]
    };
    prop_oneof![
        prop::collection::vec((gauge(), intake()), 0..5).prop_map(Delivery::Points),
        (intake(), gauge(), number()).prop_map(|(open, stall, index)| Delivery::OpenAndStall {
            open,
            stall,
            index
        }),
    ]
}

proptest! {
    #[test]
    fn properties_of_air(kelvin in number(), rho in number(), pressure in absolute()) {
        error_or_finite(State::at(temperature(kelvin), density(rho)));
        error_or_finite(Isentrope::through(pressure, temperature(kelvin)));
        if let Ok(air) = Isotherm::new(temperature(kelvin)) {
            error_or_finite(air.density(pressure));
            error_or_finite(air.pressure(density(rho)));
            error_or_finite(air.pressure_slope(density(rho)));
        }
        let line = Isentrope::through(AbsolutePressure::new(pascals(1e6)).unwrap(), temperature(293.15)).unwrap();
        if let Ok(Expansion::To(state)) = line.state(density(rho), temperature(kelvin)) {
            assert_finite(&state);
        }
    }

    #[test]
    fn atmosphere_and_free_air(height in number(), flow in number(), rho in number()) {
        let height = Length { value: height, ..Length::default() };
        error_or_finite(atmosphere::pressure(height));
        error_or_finite(atmosphere::temperature(height));
        for state in [ReferenceState::Anr, ReferenceState::Normal, ReferenceState::Standard, ReferenceState::Inlet] {
            let flow = FreeAirFlow::new(VolumeRate { value: flow, ..VolumeRate::default() }, state);
            let _ = (reference::density(state, density(rho)), reference::mass_rate(flow, density(rho)));
            let _ = reference::intake(flow);
        }
    }

    #[test]
    fn a_pump_of_any_delivery(
        delivery in delivery(),
        ends in (gauge(), gauge()),
        site in absolute(),
        tank in number(),
    ) {
        let compressor = Compressor {
            delivery,
            cut_in: ends.0,
            cut_out: ends.1,
            duty: Ratio::from(tank),
            volts: None,
            current: None,
            max_run: None,
        };
        let air = Isotherm::new(temperature(293.15)).unwrap();
        if let Ok(pump) = Pump::new(&compressor, &air, site) {
            let _ = (pump.stall(), pump.stalls_at(), pump.relief_duty(ends.0));
            error_or_finite(pump.run(volume(tank), ends.0, ends.1));
        }
        let (mass, time) = (Mass { value: tank, ..Mass::default() }, Time { value: tank, ..Time::default() });
        let _ = kept_up_rate(Ratio::from(tank), mass, time, mass);
    }

    #[test]
    fn stored_energy_of_any_vessel(vessel in absolute(), site in absolute(), size in 0.0..1e4_f64) {
        let Energy { value, .. } = stored_energy(vessel, volume(size), site);
        prop_assert!(!value.is_nan() && value >= 0.0);
    }

    /// Every pair of figures of a rig set to anything that its types can hold.
    #[test]
    fn a_rig_of_any_figures(first in (0..PLACES.len(), number()), second in (0..PLACES.len(), number())) {
        let mut rig = demo();
        for (place, value) in [first, second] {
            *PLACES[place](&mut rig) = value;
        }
        if let Ok(answers) = evaluate(&rig) {
            let _ = working(&rig, &answers);
            let report = Report::new(&rig, &answers, UnitSystem::Us);
            let _ = (terminal::text(&report, 100), document::json(&report));
        }
    }
}

/// At such a pressure the density is below the smallest number.
#[test]
fn air_of_no_density_is_refused() {
    let pressure = AbsolutePressure::new(pascals(1e-320)).unwrap();
    assert!(Isotherm::new(temperature(293.15)).unwrap().density(pressure).is_err());
    assert!(Isentrope::through(pressure, temperature(293.15)).is_err());
}

#[test]
fn a_fill_without_end_is_refused() {
    let gauge = |pa| GaugePressure::new(pascals(pa));
    let compressor = Compressor {
        delivery: Delivery::Points(vec![(gauge(1e6), Intake::Mass(mass_rate(1e-320)))]),
        cut_in: gauge(5e5),
        cut_out: gauge(8e5),
        duty: Ratio::from(1.0),
        volts: None,
        current: None,
        max_run: None,
    };
    let air = Isotherm::new(temperature(293.15)).unwrap();
    let pump = Pump::new(&compressor, &air, AbsolutePressure::new(pascals(1e5)).unwrap()).unwrap();
    assert!(pump.run(volume(0.01), compressor.cut_in, compressor.cut_out).is_err());
}

fn demo() -> Rig {
    Document::read(Some(&Source::demo()), &Overrides::none()).rig().unwrap()
}

fn compressor(rig: &mut Rig) -> &mut Compressor {
    match &mut rig.source {
        AirSource::Compressor(compressor) => compressor,
        AirSource::Bottle { .. } => panic!("the demonstration has a compressor"),
    }
}

/// Figures of a rig whose types leave them open.
const PLACES: &[fn(&mut Rig) -> &mut f64] = &[
    |rig| &mut rig.site.temperature.value,
    |rig| &mut compressor(rig).duty.value,
    |rig| &mut rig.regulator.droop.value,
    |rig| &mut rig.regulator.headroom.value,
    |rig| &mut rig.regulator.tolerance.value,
    |rig| &mut rig.cylinders.bore.value,
    |rig| &mut rig.cylinders.rod.value,
    |rig| &mut rig.cylinders.stroke.value,
    |rig| &mut rig.cylinders.friction.value,
    |rig| &mut rig.cylinders.clearance.value,
    |rig| &mut rig.cylinders.return_spring.value,
    |rig| &mut rig.cylinders.back_pressure.value,
    |rig| &mut rig.load.mass.value,
    |rig| &mut rig.load.share.value,
    |rig| &mut rig.load.moving.value,
    |rig| &mut rig.load.lift.value,
    |rig| &mut rig.load.take_up.value,
    |rig| &mut rig.limits.load_ratio.value,
];

/// The ends of what a rig file may hold, one field or two at a time: every figure of the report is finite.
fn ends() -> Vec<(&'static str, &'static str)> {
    let text = |bound: Bound| match bound {
        Bound::Included(text) => Some(text),
        Bound::Excluded(_) => None,
    };
    FIELDS
        .iter()
        // A huge tank and a tiny bore count a hundred thousand strokes, as a tiny stroke does.
        .filter(|field| !["tank.volume", "cylinders.bore"].contains(&field.path))
        .filter_map(|field| match field.kind {
            Kind::Quantity(measure) => Some((field, [measure.low, measure.high])),
            _ => None,
        })
        .flat_map(|(field, bounds)| bounds.into_iter().filter_map(text).map(|end| (field.path, end)))
        .collect()
}

#[track_caller]
fn read_and_judge(changes: &[(&str, &str)]) -> bool {
    let mut overrides = Overrides::none();
    for (path, text) in changes {
        overrides.set(path, text);
    }
    let Ok(rig) = Document::read(Some(&Source::demo()), &overrides).rig() else { return false };
    // Set point and headroom together may pass the end of the gas equation.
    let Ok(answers) = evaluate(&rig) else { return false };
    assert_finite(&answers);
    // What can be judged can be looked at for its faults.
    let found = hazards(&rig, &answers).unwrap_or_else(|error| panic!("{changes:?}: {error}"));
    assert_finite(&found);
    assert_finite(&Report::new(&rig, &answers, UnitSystem::Metric).with_hazards(&found));
    let steps = fault_working(&rig, &answers, &found).unwrap_or_else(|error| panic!("{changes:?}: {error}"));
    assert_finite(&steps);
    true
}

#[test]
fn a_rig_file_at_the_end_of_one_range() {
    let ends = ends();
    let judged = ends.iter().filter(|&&end| read_and_judge(&[end])).count();
    assert!(2 * judged > ends.len(), "only {judged} of {} were judged", ends.len());
}

proptest! {
    // Some of these count a hundred thousand strokes.
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn a_count_of_any_stroke(
        volumes in (number(), prop::option::of(number()), number(), number(), number()),
        pressures in (absolute(), prop::option::of(absolute()), absolute(), absolute()),
        start in (absolute(), absolute()),
    ) {
        let (raise, lower, dead, tank, swept) = volumes;
        // A tank of millions of strokes is counted to the end, which takes its time.
        prop_assume!(!(tank / raise > 1e3 && tank.is_finite()));
        let (set, end, site, need) = pressures;
        let draw = StrokeDraw {
            raise: volume(raise),
            lower: lower.map(|swept| AirReturn { swept: volume(swept), dead: volume(dead) }),
            dead: volume(dead),
            set,
            end,
            atmosphere: site,
            demand: vec![Demand { swept: volume(swept), need }].into(),
        };
        let air = Isotherm::new(temperature(293.15)).unwrap();
        error_or_finite(count_slow(&draw, volume(tank), start.0, start.1, &air));
        if let Ok(line) = Isentrope::through(start.0, temperature(293.15)) {
            error_or_finite(count_quick(&draw, volume(tank), start.1, &air, &line));
        }
    }

    #[test]
    fn a_rig_file_at_the_ends_of_three_ranges(changes in prop::sample::subsequence(ends(), 3)) {
        read_and_judge(&changes);
    }
}
