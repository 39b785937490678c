//! The points of the travel that decide whether a stroke completes.

use uom::si::f64::{Force, Length, Ratio};

use super::Travel;
use super::plane::{meters, newtons};
use super::travel::Stretch;
use crate::units::GaugePressure;

/// Fewest and most halvings of a stretch.
const HALVINGS: std::ops::RangeInclusive<u32> = 4..=14;

/// A pressure that must be there when the piston has come so far.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DemandPoint {
    /// Travel.
    pub travel: Length,
    /// Pressure needed there, with friction and back-pressure.
    pub need: GaugePressure,
}

impl Travel<'_> {
    /// Force needed from all cylinders at points up to `until`, `steps` steps on each stretch over which the
    /// load changes smoothly. Where it changes in a step, both sides are given at the same travel.
    #[must_use]
    pub fn forces_along(&self, until: Length, steps: u32) -> Vec<(Length, Force)> {
        let until = until.value;
        let count = if self.linkage().motion().is_even() { 1 } else { steps.max(1) };
        let mut points = Vec::new();
        for stretch in self.stretches().iter().filter(|stretch| stretch.from < until) {
            let (from, to) = (stretch.from, stretch.to.min(until));
            points.extend((0..=count).map(|step| {
                let at = from + (to - from) * f64::from(step) / f64::from(count);
                (meters(at), newtons(self.force_in(stretch, at)))
            }));
        }
        points
    }

    /// As [`forces_along`](Self::forces_along), the pressure needed with friction and back-pressure.
    #[must_use]
    pub fn needed_along(&self, until: Length, steps: u32) -> Vec<DemandPoint> {
        let forces = self.forces_along(until, steps).into_iter();
        forces.map(|(travel, force)| DemandPoint { travel, need: self.need_for(force) }).collect()
    }

    /// Points up to `until` that decide whether a stroke completes, in order of travel and of falling need.
    ///
    /// The pressure common to tank and cylinders falls as the piston moves, so a point is met whenever a
    /// later one asks for as much; only those that no later one covers are kept. Between two neighbours the
    /// need lies above a straight line by no more than `within` of the highest need. A direct push is
    /// decided by its last point alone.
    ///
    /// On a falling stretch 1e-6 gives some hundred points, 1e-9 up to 16 000.
    #[must_use]
    pub fn demand_points(&self, until: Length, within: Ratio) -> Vec<DemandPoint> {
        let until = until.value;
        let scale = self.worst().needed_pressure.pascals().abs();
        let allowed = within.value.abs() * scale;
        let mut all = Vec::new();
        for stretch in self.stretches().iter().filter(|stretch| stretch.from < until) {
            let end = |travel: f64| (travel, self.need_in(stretch, travel).pascals());
            let (from, to) = (end(stretch.from), end(stretch.to.min(until)));
            all.push(from);
            self.halve(stretch, (from, to), 0, allowed, &mut all);
        }
        let mut kept: Vec<DemandPoint> = Vec::new();
        for &(travel, need) in all.iter().rev() {
            if kept.last().is_none_or(|later| need > later.need.pascals()) {
                let need = GaugePressure::new(crate::units::pressure::pascals(need));
                kept.push(DemandPoint { travel: meters(travel), need });
            }
        }
        kept.reverse();
        kept
    }

    /// Adds the points after `from` up to and with `to`.
    fn halve(
        &self,
        stretch: &Stretch,
        (from, to): ((f64, f64), (f64, f64)),
        depth: u32,
        allowed: f64,
        all: &mut Vec<(f64, f64)>,
    ) {
        let travel = 0.5 * (from.0 + to.0);
        let middle = (travel, self.need_in(stretch, travel).pascals());
        let off = (middle.1 - 0.5 * (from.1 + to.1)).abs();
        let even = self.linkage().motion().is_even();
        if even || depth >= *HALVINGS.end() || (depth >= *HALVINGS.start() && off <= allowed) {
            all.push(to);
            return;
        }
        self.halve(stretch, (from, middle), depth + 1, allowed, all);
        self.halve(stretch, (middle, to), depth + 1, allowed, all);
    }
}
