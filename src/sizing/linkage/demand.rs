//! The points of the travel that decide whether a stroke completes.

use uom::si::f64::{Force, Length, Pressure};

use super::Travel;
use super::motion::Pose;
use super::plane::{meters, newtons};
use crate::units::GaugePressure;

/// A pressure that must be there when the piston has come so far.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DemandPoint {
    /// Travel.
    pub travel: Length,
    /// Pressure needed there, with friction and back-pressure.
    pub need: GaugePressure,
}

/// Part of the travel on which the need changes smoothly.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DemandSpan {
    /// Where it begins.
    pub from: DemandPoint,
    /// Where it ends.
    pub to: DemandPoint,
    /// By how much the need may rise above that of its higher end.
    pub above: Pressure,
    /// Law of the need, for [`Travel::need_by_law`].
    pub law: usize,
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
                // The end itself: rounding may put the last step beside it.
                let at =
                    if step == count { to } else { from + (to - from) * f64::from(step) / f64::from(count) };
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

    /// Spans up to `until`, in order of travel, with the pressure needed at their ends and how far it may rise above
    /// the higher one between them; [`need_by_law`](Self::need_by_law) gives the need within.
    ///
    /// A stretch over which the load changes smoothly is cut into even steps. What the need rises by within one is
    /// taken from its second differences, doubled, and no need is above that of the [`worst`](Self::worst) point.
    #[must_use]
    pub fn demand_spans(&self, until: Length) -> Vec<DemandSpan> {
        let until = until.value;
        let worst = self.worst().needed_pressure;
        let mut spans = Vec::new();
        for (law, (stretch, poses)) in self.sampled().enumerate().filter(|(_, sample)| sample.0.from < until)
        {
            let point = |travel: f64, pose: &Pose| DemandPoint {
                travel: meters(travel),
                need: self.need_for(newtons(self.force_at(stretch, travel, pose))),
            };
            let points: Vec<DemandPoint> = poses.iter().map(|(travel, pose)| point(*travel, pose)).collect();
            let bends: Vec<Pressure> = points
                .windows(3)
                .map(|three| match three {
                    [one, two, three] => ((one.need - two.need) - (two.need - three.need)).abs(),
                    _ => Pressure::default(),
                })
                .collect();
            let bend_at = |index: usize| bends.get(index).copied().unwrap_or_default();
            for (index, pair) in points.windows(2).enumerate() {
                let &[from, mut to] = pair else { continue };
                if from.travel.value >= until {
                    break;
                }
                if to.travel.value > until {
                    to = DemandPoint { travel: meters(until), need: self.need_in(stretch, until) };
                }
                let bend = bend_at(index.wrapping_sub(1)).max(bend_at(index));
                let above = (0.25 * bend).min(worst - from.need.max(to.need));
                spans.push(DemandSpan { from, to, above, law });
            }
        }
        spans
    }

    /// Pressure needed at a travel by the law of a [span](Self::demand_spans).
    #[must_use]
    pub fn need_by_law(&self, law: usize, travel: Length) -> GaugePressure {
        let need_in = |stretch| self.need_in(stretch, self.linkage().within(travel));
        self.stretches().get(law).map_or_else(|| self.needed_pressure(travel), need_in)
    }
}
