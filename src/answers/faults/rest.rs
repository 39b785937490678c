//! The air itself: a cold tank, and what is left when all is off.

use uom::si::f64::{Energy, ThermodynamicTemperature};
use uom::si::thermodynamic_temperature::kelvin;

use super::{Case, Fault, figure, plain};
use crate::Result;
use crate::air::gas::Isotherm;
use crate::answers::check::sentence;
use crate::answers::checks::{at_least, ends, full};
use crate::answers::{Sentence, Verdict};
use crate::rig::{AirSource, Lock, Support, TankMaterial, Unpowered};
use crate::sizing::stored_energy::stored_energy;
use crate::sizing::tank_capacity::EndPressure;
use crate::units::{Dimension, GaugePressure, pressure::pascals};

/// By how much the tank cools, in K.
pub(in crate::answers) const COLD_K: f64 = 15.0;

pub(super) fn faults(case: &Case<'_>, faults: &mut Vec<Fault>) -> Result<()> {
    faults.push(cold_tank(case)?);
    faults.push(air_left(case)?);
    Ok(())
}

/// The air of the full tank, and that shut in the cylinders, at the same mass and 15 K less.
fn cold_tank(case: &Case<'_>) -> Result<Fault> {
    const ID: &str = "tank gone cold";
    let rig = case.rig;
    let warm_k = rig.site.temperature.value;
    let cold = Isotherm::new(ThermodynamicTemperature::new::<kelvin>(warm_k - COLD_K))?;
    let least = full(rig).low;
    let full = GaugePressure::new(pascals(least.max(0.0))).to_absolute(rig.site.atmosphere)?;
    let left = cold.pressure(case.air.density(full)?)?.to_gauge(rig.site.atmosphere);
    let set = ends(rig, "regulator.set", rig.regulator.set).high;
    let wanted = set + rig.regulator.headroom.value + rig.tolerance("regulator.headroom");
    let mut check = at_least(ID, left.pascals(), wanted, Dimension::Pressure, Sentence::default());
    check.advice = match check.verdict {
        Verdict::Fail => sentence![
            "filled warm, it does not lift cold: fill it where it is used, or fill it higher if its rating allows"
        ],
        _ => sentence!["it still stands above set point and headroom; count on fewer strokes"],
    };
    let happens = sentence![
        "a full tank that cools from ",
        (warm_k, Dimension::Temperature),
        " to ",
        (warm_k - COLD_K, Dimension::Temperature),
        " falls to ",
        (left.pascals(), Dimension::Pressure)
    ];
    if rig.protection.material == Some(TankMaterial::Plastic) && check.verdict != Verdict::Fail {
        check.verdict = Verdict::Caution;
        check.advice = sentence![
            "plastic turns brittle in cold and may burst into splinters: do not fill it or move it cold; take a receiver of steel or aluminium made for air"
        ];
    }
    let mut figures = Vec::new();
    if rig.cycle.end_pressure == EndPressure::Load {
        // Ideal gas at the constant pressure of the load: the shut-in volume shrinks as its temperature does.
        let area = rig.cylinders.cap_area();
        let shut_in = area * case.answers.lift.stroke_used + rig.dead_volume();
        let sinks = (shut_in * (COLD_K / warm_k) / area).min(case.answers.lift.stroke_used);
        figures.push(figure("a held load sinks, in travel", sinks.value, Dimension::Length));
        // No lock keeps air from shrinking.
        if check.verdict == Verdict::Pass && rig.protection.support == Support::None && sinks.value > 0.0 {
            check.verdict = Verdict::Caution;
            check.advice = sentence![
                "the tank still has enough; but a load held by shut-in air sinks by up to ",
                (sinks.value, Dimension::Length),
                " of travel as it cools: hold it by a pin or a latch (`protection.support`)"
            ];
        }
    }
    Ok(Fault::new(check, happens, figures))
}

/// What is still under pressure when switch, valves and pump are off.
fn air_left(case: &Case<'_>) -> Result<Fault> {
    const ID: &str = "air left after all off";
    let rig = case.rig;
    let atmosphere = rig.site.atmosphere;
    let in_tank = case.answers.stored;
    let vents = rig.protection.lower_unpowered == Some(Unpowered::Open) && rig.protection.lock == Lock::None;
    let held = case.answers.lift.held_pressure(rig);
    let shut_in = rig.cylinders.cap_area() * case.answers.lift.stroke_used + rig.dead_volume();
    let in_cylinders = if vents {
        Energy::default()
    } else {
        stored_energy(held.to_absolute(atmosphere)?, shut_in, atmosphere)
    };
    let dump = rig.protection.dump;
    // The valve of a bottle shuts its air in, but somebody has to shut it, and the air stays.
    let tank_is_in_hand = dump.empties_tank();
    let bottle = matches!(rig.source, AirSource::Bottle { .. });
    let cylinders_are = dump.empties_cylinders() || vents;
    let happens = if vents {
        sentence!["the tank stays full; the cylinders empty themselves"]
    } else {
        sentence!["the tank stays full, and the cylinders keep ", (held.pascals(), Dimension::Pressure)]
    };
    let (verdict, advice) = match (tank_is_in_hand, cylinders_are) {
        // It stays until a person lets it out.
        (true, true) if vents => (
            Verdict::Caution,
            sentence!["empty the tank by hand and read the gauges of tank and cylinders before any work"],
        ),
        (true, true) => {
            (Verdict::Caution, sentence!["empty both by hand and read the gauges before any work"])
        }
        (true, false) => (
            Verdict::Caution,
            sentence!["fit a hand valve with a gauge that empties the cylinders (`protection.dump`)"],
        ),
        (false, _) if bottle => (
            Verdict::Caution,
            sentence![
                "somebody must shut the valve of the bottle: its air stays in it; fit hand valves with gauges that empty what is after it (`protection.dump`)"
            ],
        ),
        (false, true) => (
            Verdict::Caution,
            sentence!["fit a hand valve with a gauge that empties the tank (`protection.dump`)"],
        ),
        (false, false) => (
            Verdict::Caution,
            sentence!["fit hand valves with gauges that empty tank and cylinders (`protection.dump`)"],
        ),
    };
    let mut fault = plain(ID, verdict, Dimension::Energy, happens, advice);
    fault.check.value = Some((in_tank + in_cylinders).value);
    fault.figures = vec![
        figure("tank stands at", rig.full_pressure().pascals(), Dimension::Pressure),
        figure("in the tank", in_tank.value, Dimension::Energy),
    ];
    if !vents {
        fault.figures.push(figure("in cylinders and hose", in_cylinders.value, Dimension::Energy));
        fault.figures.push(figure("volume shut in there", shut_in.value, Dimension::Volume));
    }
    Ok(fault)
}
