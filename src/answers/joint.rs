//! What the load does to links, pins and welds.

use uom::si::f64::{Force, Length, Pressure, Ratio, Torque};

use super::structure::{root, thrust_on_stop};
use crate::Result;
use crate::frame::joint::{FilletWeld, PinStress, TubeWeld, WeldForce, weld_strength};
use crate::frame::section::wall::{Loading, Walls, judge};
use crate::rig::{PinForce, Rig, RigPin, RigWeld, TubeLoad, WeldJoint};
use crate::sizing::linkage::{Member, Strut, Travel, WorstThrough};
use crate::sizing::rod_column::{Column, Critical, Ends};

/// The link or arm of the linkage that is nearest to buckling.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Links {
    /// Which it is.
    pub member: Member,
    /// Its length from pin to pin.
    pub length: Length,
    /// Greatest thrust along it, of all arms side by side.
    pub thrust: Force,
    /// Equal arms side by side that share the thrust.
    pub side_by_side: u32,
    /// Critical force of one arm.
    pub critical: Critical,
    /// Critical force of all arms over the thrust.
    pub safety: Ratio,
    /// A wall too thin for the strength to be judged: what it is, its slenderness and its limit.
    pub thin_wall: Option<(&'static str, Ratio, Ratio)>,
}

/// A pin under its greatest force.
#[derive(Debug, Clone, PartialEq)]
pub struct PinAnswer {
    /// Its name.
    pub name: String,
    /// Where in the linkage the force is greatest; `None` for a force that is given.
    pub through: Option<WorstThrough>,
    /// Force on this one pin, dynamic factor counted.
    pub force: Force,
    /// Stresses in pin and plates.
    pub stress: PinStress,
    /// The worst of stress over strength.
    pub ratio: Ratio,
}

/// A weld under its load.
#[derive(Debug, Clone, PartialEq)]
pub struct WeldAnswer {
    /// Its name.
    pub name: String,
    /// Force on it.
    pub force: Force,
    /// Moment on it; zero for straight fillets.
    pub moment: Torque,
    /// Stress in the throat.
    pub stress: Pressure,
    /// Strength of the weld, and stress over it; `None` where no rule gives the strength.
    pub strength: Option<(Pressure, Ratio)>,
}

/// The link nearest to buckling, if it is said what the links are made of and one is under thrust.
pub(super) fn links(rig: &Rig, struts: &[Strut]) -> Result<Option<Links>> {
    let Some(arms) = &rig.arms else { return Ok(None) };
    let section = arms.shape.section()?;
    let thin_wall = match judge(&arms.shape, &arms.material, Loading::Compression)? {
        Walls::NotJudged { part, slenderness, limit } => Some((part, slenderness, limit)),
        _ => None,
    };
    let mut worst: Option<Links> = None;
    for strut in struts {
        let column = Column::of(&section, &arms.material, strut.length, Ends::PinnedBoth);
        let critical = column.critical()?;
        let Some(safety) = critical.safety(strut.thrust / f64::from(arms.side_by_side)) else { continue };
        if worst.is_none_or(|known| safety < known.safety) {
            worst = Some(Links {
                member: strut.member,
                length: strut.length,
                thrust: strut.thrust,
                side_by_side: arms.side_by_side,
                critical,
                safety,
                thin_wall,
            });
        }
    }
    Ok(worst)
}

/// A pin under its greatest force.
pub(super) fn pin(rig: &Rig, pin: &RigPin, travel: &Travel<'_>) -> Result<PinAnswer> {
    let (through, force) = match &pin.force {
        PinForce::Given(force) => (None, *force),
        PinForce::Through { pins, shared_by } => {
            let on_the_way = travel.worst_through(pins);
            let on_a_stop = thrust_on_stop(rig).and_then(|thrust| travel.through_on_stop(pins, thrust));
            let worst = match (on_the_way, on_a_stop) {
                (Some(way), Some(stop)) if stop.force > way.force => Some(stop),
                (way, _) => way,
            };
            (worst, worst.map_or_else(Force::default, |worst| worst.force / f64::from(*shared_by)))
        }
    };
    let force = force * pin.dynamic_factor;
    let stress = pin.joint.stress(force)?;
    Ok(PinAnswer { name: pin.name.clone(), through, force, stress, ratio: stress.worst_ratio() })
}

/// A weld under its load; a cantilever's root bears what the beam bears, dynamic factor counted.
pub(super) fn weld(rig: &Rig, weld: &RigWeld, travel: &Travel<'_>, worst: Force) -> Result<WeldAnswer> {
    let (force, moment, stress) = match &weld.joint {
        WeldJoint::Fillet { weld, force } => {
            let stress = weld.stress(&WeldForce { across: *force, ..WeldForce::default() })?;
            (*force, Torque::default(), stress)
        }
        WeldJoint::Tube { weld, load } => {
            let (force, moment) = match load {
                TubeLoad::Force { force, arm } => (*force, Torque::from(*force * *arm)),
                TubeLoad::Root(name) => root(rig, name, travel, worst)?,
            };
            (force, moment, weld.stress(force, moment)?)
        }
    };
    let strength = weld_strength(&weld.material).map(|strength| (strength, stress / strength));
    Ok(WeldAnswer { name: weld.name.clone(), force, moment, stress, strength })
}

/// What the checks of a rig's welds leave out, each once.
pub(super) fn weld_cautions(rig: &Rig) -> impl Iterator<Item = &'static str> {
    let has = |tube: bool| rig.welds.iter().any(|weld| matches!(weld.joint, WeldJoint::Tube { .. }) == tube);
    [(false, FilletWeld::CAUTION), (true, TubeWeld::CAUTION)]
        .into_iter()
        .filter_map(move |(tube, caution)| has(tube).then_some(caution))
}

#[cfg(test)]
mod tests;
