//! What the load does to rods, frame and stand, and what height is left.

use std::borrow::Cow;

use uom::si::f64::{Force, Length, Mass, Pressure, Ratio, Torque};

use super::joint::{self, Links, PinAnswer, WeldAnswer};
use super::stuck_open::stuck_open;
use crate::Result;
use crate::frame::beam::{Beam, Loads, PointLoad, Response};
use crate::frame::material::Place;
use crate::frame::quantity::rigidity;
use crate::frame::section::Shape;
use crate::frame::section::wall::{Loading, Walls, judge};
use crate::rig::{Carries, CylinderTube, FrameBeam, LoadSide, Rig};
use crate::sizing::cylinder_force::piston_area;
use crate::sizing::linkage::{Linkage, Pin, Strut, Travel};
use crate::sizing::rod_column::{Column, Critical, SteppedColumn};
use crate::sizing::tipping::{Stability, Stand, Weight, worst_along};
use crate::sizing::travel::standard_gravity;
use crate::units::GaugePressure;

/// Rounds of the search for the height at which load and deflection agree.
const MOST_ROUNDS: u32 = 60;

/// Points of the travel at which the stand is looked at.
const STAND_POINTS: u32 = 24;

/// What the load does to rods, frame and stand.
#[derive(Debug, Clone, PartialEq)]
pub struct Structure {
    /// The rods as columns; `None` if their length is not known.
    pub rod: Option<Rod>,
    /// Slender members of the linkage and the thrust along them where it is greatest.
    pub struts: Vec<Strut>,
    /// The link nearest to buckling; `None` if it is not said what the links are made of.
    pub links: Option<Links>,
    /// The beams of the frame.
    pub beams: Vec<BeamAnswer>,
    /// The pins.
    pub pins: Vec<PinAnswer>,
    /// The welds.
    pub welds: Vec<WeldAnswer>,
    /// Where the rig stands worst along the travel; `None` if the base is not described.
    pub stand: Option<WorstStand>,
    /// Height that is left after take-up, deflection, sink and play; `None` if no frame is described.
    pub net_height: Option<NetHeight>,
}

/// A rod as a column, extended.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rod {
    /// Length between the pins, rod out.
    pub length: Length,
    /// Critical force of one rod.
    pub critical: Critical,
    /// Whether the tube was counted as the stiffer part that it is.
    pub stepped: bool,
    /// Push of one cylinder at the set point.
    pub push_at_set: Force,
    /// Push of one cylinder at the pressure of a regulator stuck open.
    pub push_at_fault: Force,
    /// Critical force over the push at the set point.
    pub safety_at_set: Ratio,
    /// Critical force over the push at the fault.
    pub safety_at_fault: Ratio,
}

/// A beam of the frame under its share of the load.
#[derive(Debug, Clone, PartialEq)]
pub struct BeamAnswer {
    /// Its name.
    pub name: String,
    /// Greatest force that it carries, without the dynamic factor.
    pub force: Force,
    /// Force of the load at rest that it carries.
    pub force_at_rest: Force,
    /// Greatest bending moment, dynamic factor counted.
    pub moment: Torque,
    /// Greatest stress in the part that is worst off, dynamic factor counted.
    pub stress: Pressure,
    /// That part.
    pub part: String,
    /// Stress over yield strength there.
    pub yield_ratio: Ratio,
    /// Greatest deflection, at rest.
    pub deflection: Length,
    /// Deflection under the load, at rest.
    pub deflection_at_load: Length,
    /// A wall too thin for the strength to be judged: what it is, its slenderness and its limit.
    pub thin_wall: Option<(&'static str, Ratio, Ratio)>,
}

/// What the load does to rods, frame and stand.
/// `worst` is the greatest force of all cylinders.
pub(super) fn structure(rig: &Rig, travel: &Travel<'_>, worst: Force) -> Result<Structure> {
    let beams = rig
        .frame
        .iter()
        .map(|beam| answer(beam, carried(beam, travel, worst), at_worst(rig, beam, travel, worst)));
    let struts = travel.worst_struts();
    Ok(Structure {
        rod: rod(rig, travel)?,
        links: joint::links(rig, &struts)?,
        struts,
        beams: beams.collect::<Result<_>>()?,
        pins: rig.pins.iter().map(|pin| joint::pin(rig, pin, travel)).collect::<Result<_>>()?,
        welds: rig.welds.iter().map(|weld| joint::weld(rig, weld, travel, worst)).collect::<Result<_>>()?,
        stand: stand(rig, travel)?,
        net_height: (!rig.frame.is_empty()).then(|| net_height(rig, travel)).transpose()?,
    })
}

/// Greatest force of which a beam carries its share; `worst` is that of all cylinders.
fn carried(beam: &FrameBeam, travel: &Travel<'_>, worst: Force) -> Force {
    match beam.carries {
        Carries::Load => travel.heaviest(),
        Carries::CylinderForce => worst,
    }
}

/// Force on a beam in its worst moment. Where the linkage comes to rest on a stop of its own before the
/// cylinders do, they press on with their whole thrust, and the beams that hold them bear it.
fn at_worst(rig: &Rig, beam: &FrameBeam, travel: &Travel<'_>, worst: Force) -> Force {
    let carried = carried(beam, travel, worst);
    match thrust_on_stop(rig) {
        Some(thrust) if beam.carries == Carries::CylinderForce => carried.max(thrust),
        _ => carried,
    }
}

/// Thrust of all cylinders at the set point, with which they press on where the linkage comes to rest on a stop of
/// its own before they do; `None` if it does not.
pub(super) fn thrust_on_stop(rig: &Rig) -> Option<Force> {
    rig.meets_stop().then(|| rig.cylinders.thrust(rig.regulator.set))
}

/// Shear force and moment at the root of the cantilever of this name, dynamic factor counted.
pub(super) fn root(rig: &Rig, name: &str, travel: &Travel<'_>, worst: Force) -> Result<(Force, Torque)> {
    let Some(beam) = rig.frame.iter().find(|beam| beam.name == name) else {
        return Ok((Force::default(), Torque::default()));
    };
    let response = response(beam, at_worst(rig, beam, travel, worst), beam.dynamic_factor)?;
    let at_root = response.reactions().next();
    Ok(at_root.map_or_else(Default::default, |root| (root.force.abs(), root.moment.abs())))
}

fn rod(rig: &Rig, travel: &Travel<'_>) -> Result<Option<Rod>> {
    let cylinders = &rig.cylinders;
    let by_linkage = travel.linkage().cylinder_length(travel.end());
    let by_data = rig.rod.closed_length.map(|closed| closed + travel.end());
    let Some(length) = by_linkage.or(by_data) else { return Ok(None) };
    let material = &rig.rod.material;
    let (critical, stepped) = match &rig.rod.tube {
        Some(tube) if tube.length < length => (stepped(rig, tube, length)?.critical()?, true),
        _ => (Column::rod(cylinders.rod, material, length, rig.rod.ends)?.critical()?, false),
    };
    let push = |pressure: GaugePressure| piston_area(cylinders.bore) * pressure.above_atmosphere();
    let (push_at_set, push_at_fault) = (push(rig.regulator.set), push(stuck_open(rig)?.opens));
    Ok(critical.safety(push_at_set).zip(critical.safety(push_at_fault)).map(
        |(safety_at_set, safety_at_fault)| Rod {
            length,
            critical,
            stepped,
            push_at_set,
            push_at_fault,
            safety_at_set,
            safety_at_fault,
        },
    ))
}

fn stepped(rig: &Rig, tube: &CylinderTube, length: Length) -> Result<SteppedColumn> {
    let tube_section = Shape::RoundTube { diameter: tube.outside, wall: tube.wall }.section()?;
    let rod_section = Shape::RoundBar { diameter: rig.cylinders.rod }.section()?;
    let material = &rig.rod.material;
    Ok(SteppedColumn {
        tube_length: tube.length,
        tube: rigidity(tube.material.modulus, tube_section.least_second_moment()),
        rod_length: length - tube.length,
        rod: rigidity(material.modulus, rod_section.least_second_moment()),
        rod_area: rod_section.area,
        rod_yield_strength: material.yield_strength,
    })
}

/// A beam's answer to its share of a force.
fn response(beam: &FrameBeam, force: Force, dynamic_factor: Ratio) -> Result<Response> {
    let points: Vec<PointLoad> =
        beam.loads.iter().map(|&(at, share)| PointLoad { at, force: force * share }).collect();
    let own = beam.member.weight_per_length();
    let uniform = if beam.own_weight { own } else { 0.0 * own };
    let shape = Beam { support: beam.support, span: beam.span, rigidity: beam.member.rigidity() };
    shape.respond(&Loads { points: &points, uniform, dynamic_factor })
}

/// Deflection under the load that comes down most.
fn under_load(beam: &FrameBeam, response: &Response) -> Result<Length> {
    let mut most = Length::default();
    for &(at, share) in &beam.loads {
        let deflection = response.at(at)?.deflection;
        if share > Ratio::default() && deflection.abs() > most.abs() {
            most = deflection;
        }
    }
    Ok(most)
}

/// A beam under the `force` of the load at rest and the `greatest` that it may see.
fn answer(beam: &FrameBeam, force: Force, greatest: Force) -> Result<BeamAnswer> {
    let moving = response(beam, greatest, beam.dynamic_factor)?;
    let resting = response(beam, force, Ratio::from(1.0))?;
    let moment = moving.max_moment.value;
    let stresses = beam.member.stresses(moment, Place::Plain)?;
    let worst = stresses.into_iter().reduce(|a, b| if b.yield_ratio > a.yield_ratio { b } else { a });
    let share = beam.loads.iter().map(|load| load.1).fold(Ratio::default(), |sum, share| sum + share);
    let mut thin_wall = None;
    for part in beam.member.parts() {
        if let Walls::NotJudged { part, slenderness, limit } =
            judge(&part.shape, &part.material, Loading::Bending(part.axis))?
        {
            thin_wall = Some((part, slenderness, limit));
        }
    }
    Ok(BeamAnswer {
        name: beam.name.clone(),
        force: greatest * share,
        force_at_rest: force * share,
        moment,
        stress: worst.as_ref().map_or(Pressure::default(), |part| part.stress),
        part: worst.as_ref().map_or_else(String::new, |part| part.name.clone()),
        yield_ratio: worst.map_or(Ratio::default(), |part| part.yield_ratio),
        deflection: resting.max_deflection.value,
        deflection_at_load: under_load(beam, &resting)?,
        thin_wall,
    })
}

/// How a frame under load and the height reached settle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NetHeight {
    /// Travel that is left for the linkage.
    pub reached: Length,
    /// Travel that the cylinders would give on a stiff frame without a stop of the linkage.
    pub cylinders_reach: Length,
    /// By how much beams that carry the cylinders give way along them.
    pub lost_by_cylinders: Length,
    /// By how much beams that carry the load come down.
    pub lost_by_load: Length,
    /// Height that is left.
    pub net: Length,
}

/// Height that is left: `h(x) - take-up - deflection - sink and play`, where beams that carry the cylinders
/// give way along the cylinders and take that off their stroke, and the load on the others is that at the height
/// reached. Both are searched together until they agree. Where the linkage meets a stop first, the stroke that is
/// left beyond it makes up for what the beams give way.
fn net_height(rig: &Rig, travel: &Travel<'_>) -> Result<NetHeight> {
    let lost = |carries: Carries, force: Force| -> Result<Length> {
        let mut sum = Length::default();
        for beam in rig.frame.iter().filter(|beam| beam.carries == carries) {
            let resting = response(beam, force, Ratio::from(1.0))?;
            sum += under_load(beam, &resting)? * beam.height_lost;
        }
        Ok(sum)
    };
    // What is left of the travel grows with what the cylinders need not give: halving finds where both agree.
    let cylinders_reach = (rig.cylinders.stroke - rig.drawn_out()).max(travel.end());
    let left = |at: Length| -> Result<Length> {
        Ok(cylinders_reach - lost(Carries::CylinderForce, travel.force(at))? - at)
    };
    let mut reached = travel.end();
    if left(reached)? < Length::default() {
        let mut low = Length::default();
        for _ in 0..MOST_ROUNDS {
            let middle = 0.5 * (low + reached);
            if left(middle)? < Length::default() {
                reached = middle;
            } else {
                low = middle;
            }
        }
    }
    let lost_by_load = lost(Carries::Load, travel.weight(reached))?;
    Ok(NetHeight {
        reached,
        cylinders_reach,
        lost_by_cylinders: lost(Carries::CylinderForce, travel.force(reached))?,
        lost_by_load,
        net: travel.height(reached) - rig.load.take_up - lost_by_load - rig.sink_and_play,
    })
}

/// The point of the travel at which the rig stands worst.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WorstStand {
    /// Travel there.
    pub travel: Length,
    /// What rests on the lifting points there.
    pub load: Weight,
    /// How the rig stands.
    pub stability: Stability,
}

/// The least stability over the travel, with the load and with the moving parts alone. The load rises on its
/// way, and that of a lever moves level too, as its load point does.
fn stand(rig: &Rig, travel: &Travel<'_>) -> Result<Option<WorstStand>> {
    let Some(base) = &rig.base else { return Ok(None) };
    let moving: Force = rig.load.moving * standard_gravity();
    let start = level_place(travel, Length::default());
    let mut places = Vec::new();
    let mut weights = Vec::new();
    for step in 0..=STAND_POINTS {
        let at = travel.end() * (f64::from(step) / f64::from(STAND_POINTS));
        let moved = level_place(travel, at) - start;
        let (weight, risen) = travel.weight_and_height(at);
        let height = base.load.height + risen;
        for force in [weight, moving] {
            let mass: Mass = force / standard_gravity();
            let load = match base.load_side {
                LoadSide::Front => Weight { front: base.load.front + moved, ..base.load },
                LoadSide::Rear => Weight { front: base.load.front - moved, ..base.load },
                LoadSide::Right => Weight { right: base.load.right + moved, ..base.load },
                LoadSide::Left => Weight { right: base.load.right - moved, ..base.load },
            };
            places.push(at);
            weights.push([base.rig, Weight { mass, height, ..load }]);
        }
    }
    let stands = weights.iter().map(|weights| Stand {
        width: base.width,
        depth: base.depth,
        weights,
        slope: base.slope,
        side_force: base.side_force,
        side_force_height: base.side_force_height,
    });
    let (index, stability) = worst_along(stands)?;
    let worst = places.get(index).zip(weights.get(index));
    Ok(worst.map(|(&travel, &[_, load])| WorstStand { travel, load, stability }))
}

/// Level place of a lever's load point; other linkages raise their load straight.
fn level_place(travel: &Travel<'_>, at: Length) -> Length {
    if !matches!(travel.linkage(), Linkage::Lever(_)) {
        return Length::default();
    }
    let pins = travel.linkage().pins(at);
    pins.iter().find(|(pin, _)| *pin == Pin::LoadPoint).map_or(Length::default(), |(_, place)| place.x)
}

/// Name of a check on a beam.
pub(super) fn beam_check(name: &str) -> Cow<'static, str> {
    Cow::Owned(format!("frame: {name}"))
}

#[cfg(test)]
mod tests;
