//! No air is lost or made while strokes are counted.

use approx::assert_relative_eq;
use lungful::air::gas::Isotherm;
use lungful::sizing::tank_capacity::{AirReturn, Demand, StrokeDraw, count_slow};
use lungful::units::{AbsolutePressure, pressure::pascals};
use proptest::option;
use proptest::prelude::*;
use uom::si::f64::{Mass, ThermodynamicTemperature, Volume};
use uom::si::thermodynamic_temperature::kelvin;
use uom::si::volume::liter;

/// Of the content at the start.
const RELATIVE: f64 = 1e-12;

#[derive(Debug, Clone)]
struct Case {
    draw: StrokeDraw<'static>,
    tank: Volume,
    start: AbsolutePressure,
    full_until: AbsolutePressure,
    air: Isotherm,
}

fn bar(value: f64) -> AbsolutePressure {
    AbsolutePressure::new(pascals(value * 1e5)).unwrap()
}

fn case() -> impl Strategy<Value = Case> {
    let draw = (0.1..5.0_f64, option::of(0.3..1.0_f64), 0.0..0.3_f64, any::<bool>(), 0.7..1.05_f64);
    let pressures = (2.5..9.0_f64, 0.1..1.0_f64, 1.0..4.0_f64, 0.0..0.3_f64);
    (draw, pressures, 1.5..40.0_f64, 253.15..318.15_f64).prop_map(
        |((swept, lower, dead, closes, site), (set, need, full, headroom), size, temperature)| {
            let raise = Volume::new::<liter>(swept);
            // The need lies between the atmosphere and the set point.
            let need = bar(site + need * (set - site));
            Case {
                draw: StrokeDraw {
                    raise,
                    lower: lower.map(|share| AirReturn {
                        swept: raise * share,
                        dead: raise * (dead + 0.4 * (1.0 - share)),
                    }),
                    dead: raise * dead,
                    set: bar(set),
                    end: closes.then_some(need),
                    atmosphere: bar(site),
                    demand: vec![Demand { swept: raise, need }].into(),
                },
                tank: raise * size,
                start: bar(set * full),
                full_until: bar(set * (1.0 + headroom)),
                air: Isotherm::new(ThermodynamicTemperature::new::<kelvin>(temperature)).unwrap(),
            }
        },
    )
}

impl Case {
    /// Tank pressures, that of the start first.
    fn pressures(&self) -> Vec<AbsolutePressure> {
        let count = count_slow(&self.draw, self.tank, self.start, self.full_until, &self.air).unwrap();
        [self.start].into_iter().chain(count.tank_after).collect()
    }

    fn mass(&self, pressure: AbsolutePressure, volume: Volume) -> Mass {
        self.air.density(pressure).unwrap() * volume
    }

    /// Air that one side has taken when it ends at the pressure `end`.
    fn taken(&self, swept: Volume, dead: Volume, end: AbsolutePressure) -> Mass {
        self.mass(end, swept + dead) - self.mass(self.draw.atmosphere, dead)
    }

    /// The tank before a return that left it at `after`, and what the return took.
    fn before_return(&self, after: AbsolutePressure) -> (AbsolutePressure, Mass) {
        let Some(back) = self.draw.lower else { return (after, Mass::default()) };
        let taken = self.taken(back.swept, back.dead, lesser(after, self.draw.set));
        (self.air.pressure((self.mass(after, self.tank) + taken) / self.tank).unwrap(), taken)
    }
}

fn lesser(a: AbsolutePressure, b: AbsolutePressure) -> AbsolutePressure {
    if a < b { a } else { b }
}

proptest! {
    /// Every stroke on its own, at full pressure and in the falling part, where the cylinders end at the
    /// pressure of the tank.
    #[test]
    fn what_leaves_the_tank_is_in_the_cylinders(case in case()) {
        let full = case.mass(case.start, case.tank);
        for pair in case.pressures().windows(2) {
            let (before, after) = (case.mass(pair[0], case.tank), case.mass(pair[1], case.tank));
            let (between, returned) = case.before_return(pair[1]);
            let end = lesser(between, case.draw.end.unwrap_or(case.draw.set));
            let raised = case.taken(case.draw.raise, case.draw.dead, end);
            assert_relative_eq!(
                (before - after).value,
                (raised + returned).value,
                epsilon = RELATIVE * full.value
            );
        }
    }

    /// All strokes at full pressure together take their number times the air of one.
    #[test]
    fn strokes_at_full_pressure_add_up(case in case()) {
        let count = count_slow(&case.draw, case.tank, case.start, case.full_until, &case.air).unwrap();
        let each = case.draw.stroke_air(&case.air).unwrap().total();
        let full = case.mass(case.start, case.tank);
        let left = case.mass(count.after_full_pressure.unwrap_or(case.start), case.tank);
        let taken = f64::from(count.full_pressure) * each;
        assert_relative_eq!((full - left).value, taken.value, epsilon = RELATIVE * full.value);
        // One more would leave too little, or would not complete.
        let next = (left - each) / case.tank;
        let falls_short = next.value <= 0.0 || case.air.pressure(next).unwrap() < case.full_until;
        prop_assert!(falls_short || count.until_stall == count.full_pressure);
    }
}
