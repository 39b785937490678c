//! The greatest force through a pin and the greatest thrust along a link, over the whole travel.

use uom::si::f64::{Force, Length};

use super::Travel;
use super::extremes::{Peak, quickly_highest};
use super::motion::{Pose, Side};
use super::plane::{Cause, ForceOn, Member, Pin, meters, newtons};
use super::strut::{Strut, strut};
use super::travel::Stretch;

/// The greatest force through a pin along the travel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WorstThrough {
    /// The pin.
    pub pin: Pin,
    /// Travel at which the force is greatest.
    pub travel: Length,
    /// The force.
    pub force: Force,
}

impl Travel<'_> {
    /// The pins that carry a force, each once.
    #[must_use]
    pub fn loaded_pins(&self) -> Vec<Pin> {
        let mut pins = Vec::new();
        for one in self.forces_on_members(Length::default()) {
            match one.cause {
                Cause::Pin(pin) if !pins.contains(&pin) => pins.push(pin),
                _ => {}
            }
        }
        pins
    }

    /// The greatest force through any of `pins` along the travel; `None` if the linkage has none of them.
    ///
    /// That of rigid parts, with the cylinders pushing against the friction in the joints too: the forces on a
    /// lever or a leg add up with `1/eta` of the frictionless push; of a scissor all below the
    /// platform are `1/eta` of the frictionless ones. Return springs push within the cylinder and load no pin. All cylinders and both sides of the rig
    /// together (of a folding leg: one leg).
    ///
    /// Where the linkage meets a stop before the stroke ends, its cylinders push against that stop with all
    /// that their pressure gives; this is not counted, see [`through_on_stop`](Self::through_on_stop).
    #[must_use]
    pub fn worst_through(&self, pins: &[Pin]) -> Option<WorstThrough> {
        let each = self.worst_of_each(pins, |one| one.force.size().value);
        each.into_iter().reduce(|known, other| if other.force > known.force { other } else { known })
    }

    /// The greatest force with which each of `pins` must be held down along the travel, as in
    /// [`worst_through`](Self::worst_through); without those that never lift.
    ///
    /// A foot or roller that only rests on its track can take no such force: it lifts off, and the linkage folds.
    #[must_use]
    pub fn worst_hold_down(&self, pins: &[Pin]) -> Vec<WorstThrough> {
        let mut worst = self.worst_of_each(pins, |one| -one.force.y.value);
        // A billionth of the load is rounding.
        let heaviest = self.heaviest();
        worst.retain(|worst| worst.force > 1e-9 * heaviest);
        worst
    }

    /// The greatest size for each of the pins that the linkage has.
    fn worst_of_each(&self, pins: &[Pin], size_of: impl Fn(&ForceOn) -> f64) -> Vec<WorstThrough> {
        let loaded = self.loaded_pins();
        let pins: Vec<Pin> = pins.iter().copied().filter(|pin| loaded.contains(pin)).collect();
        // The forces at a pose are worked out once for all pins.
        let sizes_at = |stretch: &Stretch, travel: f64, pose: &Pose| {
            let mut sizes = vec![0.0_f64; pins.len()];
            self.statics_at(stretch, (travel, pose), &mut |one, side| {
                let counts = |pin: &Pin| side == Side::First && one.cause == Cause::Pin(*pin);
                for (_, size) in pins.iter().zip(&mut sizes).filter(|(pin, _)| counts(pin)) {
                    *size = size.max(size_of(&one));
                }
            });
            sizes
        };
        let mut peaks: Vec<Option<Peak>> = vec![None; pins.len()];
        for (stretch, poses) in self.sampled() {
            let rows: Vec<Vec<f64>> =
                some(poses).map(|(travel, pose)| sizes_at(stretch, *travel, pose)).collect();
            for (index, known) in peaks.iter_mut().enumerate() {
                let of_pin = |row: &Vec<f64>| row.get(index).copied().unwrap_or_default();
                let sizes: Vec<f64> = rows.iter().map(of_pin).collect();
                let peak = quickly_highest(stretch.from, stretch.to, &sizes, |travel| {
                    of_pin(&sizes_at(stretch, travel, &self.pose(travel)))
                });
                *known = Some(known.map_or(peak, |known| known.higher(peak)));
            }
        }
        let worst = |(&pin, peak): (&Pin, Option<Peak>)| {
            peak.map(|peak| WorstThrough { pin, travel: meters(peak.at), force: newtons(peak.value) })
        };
        pins.iter().zip(peaks).filter_map(worst).collect()
    }

    /// The force through those of `pins` that are the cylinders' own, where the linkage rests on its stop at the end
    /// of the travel and all cylinders together press on with `thrust`; `None` if there are none of them. What other
    /// pins bear depends on where the stop is.
    #[must_use]
    pub fn through_on_stop(&self, pins: &[Pin], thrust: Force) -> Option<WorstThrough> {
        let pin = *pins.iter().find(|pin| matches!(pin, Pin::CylinderFoot | Pin::CylinderPin))?;
        let force = thrust / f64::from(self.linkage().drives());
        Some(WorstThrough { pin, travel: self.end(), force })
    }

    /// Straight members that are under thrust somewhere along the travel, each where its thrust is greatest, the
    /// friction in the joints counted as in [`worst_through`](Self::worst_through);
    /// without lever, platform and cylinder.
    #[must_use]
    pub fn worst_struts(&self) -> Vec<Strut> {
        let mut worst: Vec<Strut> = Vec::new();
        let mut forces: Vec<ForceOn> = Vec::with_capacity(32);
        let mut room = Vec::with_capacity(8);
        for (stretch, poses) in self.sampled() {
            for (travel, pose) in some(poses) {
                forces.clear();
                self.statics_at(stretch, (*travel, pose), &mut |one, _| forces.push(one));
                for one in forces.chunk_by(|one, next| one.member == next.member) {
                    if one.first().is_some_and(|force| force.member != Member::Cylinder) {
                        keep_worse(&mut worst, strut(one, None, &mut room));
                    }
                }
            }
        }
        worst.retain(|strut| strut.thrust > Force::default());
        worst
    }
}

/// Every fourth pose, both ends among them: forces in a linkage change smoothly.
fn some(poses: &[(f64, Pose)]) -> impl Iterator<Item = &(f64, Pose)> {
    let step = if poses.len() % 4 == 1 { 4 } else { 1 };
    poses.iter().step_by(step)
}

fn keep_worse(worst: &mut Vec<Strut>, strut: Option<Strut>) {
    let Some(strut) = strut else { return };
    match worst.iter_mut().find(|known| known.member == strut.member) {
        Some(known) if strut.thrust > known.thrust => *known = strut,
        Some(_) => {}
        None => worst.push(strut),
    }
}
