//! Slender members under thrust, for a column check.

use uom::si::f64::{Force, Length};

use super::Travel;
use super::plane::{ForceOn, Member, Vector, meters, newtons};

/// A straight member under thrust.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Strut {
    /// The member.
    pub member: Member,
    /// Free length between its end pins.
    pub length: Length,
    /// Greatest thrust along it, from pin to pin; 0 if it is pulled all along.
    pub thrust: Force,
}

impl Travel<'_> {
    /// Straight members and the thrust along each at travel `x`, without friction. A lever and a platform
    /// bend rather than buckle and are left out, as is a cylinder of unknown length.
    #[must_use]
    pub fn struts(&self, travel: Length) -> Vec<Strut> {
        let cylinder = self.linkage().cylinder_length(travel);
        let forces = self.forces_on_members(travel);
        let members = forces.chunk_by(|one, next| one.member == next.member);
        let mut room = Vec::new();
        members.filter_map(|forces| strut(forces, cylinder, &mut room)).collect()
    }
}

/// The strut that bears `forces`; `room` is for its own use.
pub(super) fn strut(
    forces: &[ForceOn],
    cylinder: Option<Length>,
    room: &mut Vec<(f64, f64)>,
) -> Option<Strut> {
    let raw = |force: &ForceOn| {
        let at = Vector::new(force.at.x.value, force.at.y.value);
        (at, Vector::new(force.force.x.value, force.force.y.value))
    };
    let (first, last) = (forces.first()?, forces.last()?);
    let member = first.member;
    let span = raw(last).0 - raw(first).0;
    let apart = span.length();
    let length = match member {
        Member::Lever | Member::Platform => return None,
        Member::Cylinder => cylinder?,
        _ => meters(apart),
    };
    let axis = if apart > 0.0 { span * (1.0 / apart) } else { Vector::new(0.0, 1.0) };
    room.clear();
    room.extend(forces.iter().map(raw).map(|(at, force)| (at.dot(axis), force.dot(axis))));
    // A handful of forces: to go through them again for each costs less than to sort them.
    let up_to = |place: f64| room.iter().filter(|(at, _)| *at <= place).map(|(_, force)| force).sum::<f64>();
    let thrust = room.iter().map(|(at, _)| up_to(*at)).fold(0.0, f64::max);
    Some(Strut { member, length, thrust: newtons(thrust) })
}
