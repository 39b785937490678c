//! Rods, frame, stand and travel in numbers.

use serde::Serialize;

use crate::answers::{BeamAnswer, PinAnswer, Structure, WeldAnswer, WorstStand};
use crate::sizing::linkage::TravelPoint;
use crate::sizing::tipping::Edge;

/// The rods as columns, extended.
#[derive(Debug, Clone, PartialEq, Serialize, Default)]
#[allow(missing_docs, reason = "named by quantity and unit")]
pub struct Rod {
    pub critical_n: Option<f64>,
    /// Critical force over the push of a regulator stuck open.
    pub safety: Option<f64>,
    pub safety_at_set_point: Option<f64>,
    pub length_m: Option<f64>,
    pub push_n: Option<f64>,
}

/// A beam of the frame.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(missing_docs, reason = "named by quantity and unit")]
pub struct Beam {
    pub name: String,
    pub stress_pa: f64,
    pub yield_ratio: f64,
    pub deflection_m: f64,
    pub force_n: f64,
    pub moment_nm: f64,
    pub deflection_at_load_m: f64,
    pub part: String,
    pub judged: bool,
}

/// The link or arm that is nearest to buckling.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(missing_docs, reason = "named by quantity and unit")]
pub struct Links {
    pub member: String,
    pub length_m: f64,
    /// Of all arms side by side.
    pub thrust_n: f64,
    /// Of one arm.
    pub critical_n: f64,
    pub arms_side_by_side: u32,
    pub safety: f64,
    pub judged: bool,
}

/// A pin under its greatest force.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(missing_docs, reason = "named by quantity and unit")]
pub struct PinStresses {
    pub name: String,
    /// Pin of the linkage through which that force goes.
    pub through: Option<String>,
    pub travel_m: Option<f64>,
    pub force_n: f64,
    pub shear_pa: f64,
    pub bending_pa: f64,
    /// The greater of middle and outer plates.
    pub bearing_pa: f64,
    pub ratio: f64,
}

/// A weld under its load.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(missing_docs, reason = "named by quantity and unit")]
pub struct WeldStress {
    pub name: String,
    pub force_n: f64,
    pub moment_nm: f64,
    pub stress_pa: f64,
    pub strength_pa: Option<f64>,
    pub ratio: Option<f64>,
}

/// The least stability over the travel.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(missing_docs, reason = "named by quantity and unit")]
pub struct Stand {
    pub edge: &'static str,
    pub factor: Option<f64>,
    pub restoring_nm: f64,
    pub overturning_nm: f64,
    pub travel_m: f64,
}

/// A point of the travel.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(missing_docs, reason = "named by quantity and unit")]
pub struct TravelRow {
    pub travel_m: f64,
    pub height_m: f64,
    pub ratio: f64,
    pub angle_rad: Option<f64>,
    pub force_n: f64,
    pub load_pressure_pa_gauge: f64,
    pub needed_pressure_pa_gauge: f64,
    pub capacity_kg: Option<f64>,
    pub pins: Vec<PinRow>,
}

/// The force through a pin, frictionless.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(missing_docs, reason = "named by quantity and unit")]
pub struct PinRow {
    pub pin: String,
    pub on: String,
    pub x_n: f64,
    pub y_n: f64,
}

impl Rod {
    pub(super) fn new(structure: &Structure) -> Self {
        let rod = structure.rod.as_ref();
        Self {
            critical_n: rod.map(|rod| rod.critical.force.value),
            safety: rod.map(|rod| rod.safety_at_fault.value),
            safety_at_set_point: rod.map(|rod| rod.safety_at_set.value),
            length_m: rod.map(|rod| rod.length.value),
            push_n: rod.map(|rod| rod.push_at_fault.value),
        }
    }
}

impl Beam {
    pub(super) fn new(beam: &BeamAnswer) -> Self {
        Self {
            name: beam.name.clone(),
            stress_pa: beam.stress.value,
            yield_ratio: beam.yield_ratio.value,
            deflection_m: beam.deflection.value,
            force_n: beam.force.value,
            moment_nm: beam.moment.value,
            deflection_at_load_m: beam.deflection_at_load.value,
            part: beam.part.clone(),
            judged: beam.thin_wall.is_none(),
        }
    }
}

impl Links {
    pub(super) fn new(links: &crate::answers::Links) -> Self {
        Self {
            member: links.member.to_string(),
            length_m: links.length.value,
            thrust_n: links.thrust.value,
            critical_n: links.critical.force.value,
            arms_side_by_side: links.side_by_side,
            safety: links.safety.value,
            judged: links.thin_wall.is_none(),
        }
    }
}

impl PinStresses {
    pub(super) fn new(pin: &PinAnswer) -> Self {
        let stress = &pin.stress;
        Self {
            name: pin.name.clone(),
            through: pin.through.map(|through| through.pin.to_string()),
            travel_m: pin.through.map(|through| through.travel.value),
            force_n: pin.force.value,
            shear_pa: stress.shear.value,
            bending_pa: stress.bending.value,
            bearing_pa: stress.middle_bearing.value.max(stress.outer_bearing.value),
            ratio: pin.ratio.value,
        }
    }
}

impl WeldStress {
    pub(super) fn new(weld: &WeldAnswer) -> Self {
        Self {
            name: weld.name.clone(),
            force_n: weld.force.value,
            moment_nm: weld.moment.value,
            stress_pa: weld.stress.value,
            strength_pa: weld.strength.map(|(strength, _)| strength.value),
            ratio: weld.strength.map(|(_, ratio)| ratio.value),
        }
    }
}

impl Stand {
    pub(super) fn new(WorstStand { travel, stability, .. }: &WorstStand) -> Self {
        Self {
            edge: match stability.edge {
                Edge::Right => "right",
                Edge::Left => "left",
                Edge::Front => "front",
                Edge::Rear => "rear",
            },
            factor: stability.factor.map(|factor| factor.value),
            restoring_nm: stability.restoring.value,
            overturning_nm: stability.overturning.value,
            travel_m: travel.value,
        }
    }
}

impl TravelRow {
    pub(super) fn new(point: &TravelPoint) -> Self {
        Self {
            travel_m: point.travel.value,
            height_m: point.height.value,
            ratio: point.ratio.value,
            angle_rad: point.angle.map(|angle| angle.value),
            force_n: point.force.value,
            load_pressure_pa_gauge: point.load_pressure.pascals(),
            needed_pressure_pa_gauge: point.needed_pressure.pascals(),
            capacity_kg: point.capacity.map(|mass| mass.value),
            pins: point
                .reactions
                .iter()
                .map(|reaction| PinRow {
                    pin: reaction.pin.to_string(),
                    on: reaction.member.to_string(),
                    x_n: reaction.force.x.value,
                    y_n: reaction.force.y.value,
                })
                .collect(),
        }
    }
}
