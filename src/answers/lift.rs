//! How much the cylinders must give, how much they can, and where the regulator belongs.

use uom::si::f64::{Energy, Force, Length, Mass, Pressure, Ratio};

use crate::Result;
use crate::rig::{AirSource, Rig, RigLinkage};
use crate::sizing::cylinder_force::Cylinders;
use crate::sizing::linkage::Travel;
use crate::sizing::regulator_setpoint::{Ceilings, Window, window};
use crate::sizing::tank_capacity::EndPressure;
use crate::sizing::travel::WorstPoint;
use crate::units::GaugePressure;

/// What the cylinders must give and can give.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lift {
    /// The point of the travel that asks most.
    pub worst: WorstPoint,
    /// Set point less droop.
    pub moving_pressure: GaugePressure,
    /// Theoretical thrust at the set point.
    pub thrust: Force,
    /// Highest load pressure over moving pressure.
    pub load_ratio: Ratio,
    /// Load mass at which the pressure needed is the moving pressure.
    pub capacity: Mass,
    /// Load mass at which the load ratio is at its limit, never above the capacity.
    pub rated_capacity: Mass,
    /// Height gained, stroke and stops counted.
    pub height: Length,
    /// Travel that one stroke uses.
    pub stroke_used: Length,
    /// Pressure needed at the end of the stroke used; none below the atmosphere.
    pub end_pressure: GaugePressure,
    /// Force that the moving pressure gives, friction and back-pressure taken off.
    pub available: Force,
    /// Travel at which the least can be lifted.
    pub limiting_travel: Length,
    /// What is left of the available force at the end of the travel.
    pub spare_at_end: Force,
    /// Upper bound of the energy with which the load arrives at the stop, if the set point pushed without
    /// friction all along.
    pub energy_at_stop: Energy,
}

impl Lift {
    /// Pressure shut in the cylinders of a raised load: the set point, or that of the load where the valve closes
    /// as the load has risen.
    pub(super) fn held_pressure(&self, rig: &Rig) -> GaugePressure {
        match rig.cycle.end_pressure {
            EndPressure::SetPoint => rig.regulator.set,
            EndPressure::Load => self.end_pressure,
        }
    }

    /// Whether the cylinders move the load at all: highest pressure needed within the moving pressure, to
    /// one part in 1e9 of the set point.
    #[must_use]
    pub fn moves(&self) -> bool {
        let need = self.worst.needed_pressure.pascals();
        need <= self.moving_pressure.pascals() * (1.0 + 1e-9)
    }
}

/// A pressure that the cylinders may need below the atmosphere, as where a leg passes straight, is counted
/// as that of the open.
pub(super) fn at_least_open(pressure: GaugePressure) -> GaugePressure {
    pressure.max(GaugePressure::new(Pressure::default()))
}

/// What the cylinders must give and can give.
pub(super) fn lift(rig: &Rig, travel: &Travel<'_>) -> Lift {
    let worst = travel.worst();
    let moving_pressure = rig.regulator.moving_pressure();
    let available = rig.cylinders.moved_force(moving_pressure);
    let limit = travel.limit(available);
    let rated = travel.load_for(rig.cylinders.thrust(moving_pressure) * rig.limits.load_ratio);
    let stroke_used = match rig.cycle.end_pressure {
        EndPressure::SetPoint => travel.end(),
        EndPressure::Load => travel.travel_for_lift(),
    };
    Lift {
        worst,
        moving_pressure,
        available,
        thrust: rig.cylinders.thrust(rig.regulator.set),
        load_ratio: worst.load_pressure.above_atmosphere() / moving_pressure.above_atmosphere(),
        capacity: limit.capacity,
        limiting_travel: limit.travel,
        rated_capacity: if rated < limit.capacity { rated } else { limit.capacity },
        height: travel.height(travel.end()),
        stroke_used,
        end_pressure: at_least_open(travel.needed_pressure(stroke_used)),
        spare_at_end: travel.spare_at_end(available),
        energy_at_stop: travel.energy_at_stop(rig.cylinders.thrust(rig.regulator.set)),
    }
}

/// The set-point window at the middle of every stated tolerance.
pub(super) fn set_point_window(rig: &Rig, lift: &Lift) -> Window {
    window(
        lift.worst.load_pressure,
        lift.worst.needed_pressure,
        &rig.regulator,
        rig.limits.load_ratio,
        &ceilings(rig),
    )
}

/// Cylinders and worst point with every stated tolerance at its unfavourable end.
#[derive(Debug, Clone, Copy)]
pub(super) struct Hardest {
    pub(super) cylinders: Cylinders,
    pub(super) worst: WorstPoint,
}

/// The worst point with every stated tolerance at its unfavourable end.
pub(super) fn hardest(rig: &Rig, lift: &Lift) -> Result<Hardest> {
    let RigLinkage { shape, efficiency, profile, .. } = &rig.linkage;
    let up = |field: &str| rig.tolerance(field);
    let mut load = rig.load;
    load.mass.value += up("load.mass");
    load.moving.value += up("load.moving");
    load.share = (load.share + Ratio::from(up("load.share"))).min(Ratio::from(1.0));
    let mut cylinders = rig.cylinders;
    cylinders.return_spring.value += up("cylinders.return-spring");
    cylinders.friction += Ratio::from(up("cylinders.friction"));
    cylinders.back_pressure.value += up("cylinders.back-pressure");
    cylinders.bore.value -= up("cylinders.bore");
    let least = *efficiency - Ratio::from(up("linkage.efficiency"));
    // Where no tolerance touches the force, its worst point is known.
    let worst = if (&cylinders, &load, &least) == (&rig.cylinders, &rig.load, efficiency) {
        lift.worst
    } else {
        Travel::new(&cylinders, &load, *shape, profile, least)?.worst()
    };
    Ok(Hardest { cylinders, worst })
}

/// What starts pistons that stand, every stated tolerance at its unfavourable end. A load may be stopped and started
/// anywhere, so that it is the worst point of the travel that counts.
#[derive(Debug, Clone, Copy)]
pub(super) struct BreaksLoose {
    /// Friction to start as a multiple of that in motion.
    pub(super) multiple: Ratio,
    /// The cylinders as they move.
    pub(super) cylinders: Cylinders,
    pub(super) force: Force,
    /// Pressure that balances the load.
    pub(super) load_pressure: GaugePressure,
    /// Pressure that starts it.
    pub(super) pressure: GaugePressure,
}

impl BreaksLoose {
    /// Smallest bore that starts the load at a pressure.
    pub(super) fn bore_for(&self, pressure: GaugePressure) -> Option<Length> {
        self.cylinders.at_rest(self.multiple).bore_for(self.force, pressure, Ratio::from(1.0))
    }
}

/// What starts pistons that stand; `None` where the rig does not state their friction.
pub(super) fn breaks_loose(rig: &Rig, hardest: &Hardest) -> Option<BreaksLoose> {
    let multiple = rig.breakaway?;
    let Hardest { cylinders, worst } = *hardest;
    Some(BreaksLoose {
        multiple,
        cylinders,
        force: worst.force,
        load_pressure: worst.load_pressure,
        pressure: cylinders.at_rest(multiple).needed_pressure(worst.force),
    })
}

/// What bounds the set point of a rig from above.
pub(super) fn ceilings(rig: &Rig) -> Ceilings {
    Ceilings {
        cylinder_rating: rig.cylinders.rating,
        line_rating: rig.line.rating,
        line_relief: rig.line.relief,
        cut_in: match &rig.source {
            AirSource::Compressor(compressor) => Some(compressor.cut_in),
            AirSource::Bottle { .. } => None,
        },
    }
}
