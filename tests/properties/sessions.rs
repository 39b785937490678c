//! Any rig that could be built, valves added, can be rehearsed: it ends with finite answers, and its lifts are
//! as many as were asked for.

use lungful::air::flow::{Conductance, Restriction};
use lungful::answers::evaluate;
use lungful::answers::rehearsal::{Extent, NotRehearsed, plan, rehearse};
use lungful::report::{Report, parts};
use lungful::units::UnitSystem;
use proptest::prelude::*;
use uom::si::f64::{MassRate, Ratio, Time};
use uom::si::mass_rate::gram_per_second;
use uom::si::time::second;

use super::rigs::any_rig;
use super::said::assert_finite;
use super::sample::METRIC;

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn every_rig_can_be_rehearsed(
        rig in any_rig(),
        (raise, lower) in (-9.5..-7.0_f64, -9.5..-7.0_f64),
        rated in 1.0..20.0_f64,
        rest in 0.0..120.0_f64,
    ) {
        let mut rig = rig.rig(METRIC);
        let valve = |exponent: f64| {
            Restriction::new(Conductance::from_si(10_f64.powf(exponent)).unwrap(), Ratio::from(0.3)).unwrap()
        };
        (rig.line.raise, rig.line.lower) = (None, None);
        let Err(NotRehearsed::Lacks(lacks)) = plan(&rig, Extent::Lifts(4)) else { panic!("valves are missing") };
        prop_assert!(lacks.len() >= 2);
        (rig.line.raise, rig.line.lower) = (Some(valve(raise)), Some(valve(lower)));
        rig.regulator.rated_flow = Some(MassRate::new::<gram_per_second>(rated));
        rig.cycle.rehearsal.rest = Some(Time::new::<second>(rest));
        let plan = plan(&rig, Extent::Lifts(4)).unwrap();
        let worked = rehearse(&rig, &plan, None, &mut |_, _| {}).unwrap();
        assert_finite(&worked);
        prop_assert_eq!(worked.rehearsal.lifts.len(), 4);
        prop_assert!(worked.rehearsal.time <= plan.longest * (1.0 + 1e-9));
        let answers = evaluate(&rig).unwrap();
        for units in [UnitSystem::Metric, UnitSystem::Us] {
            let report = Report::new(&rig, &answers, units);
            let text = parts::Rehearsal::new(&report, &plan, &worked).text(&report, 100);
            prop_assert!(!text.contains("NaN") && !text.contains("not finite"), "{}", text);
        }
    }
}
