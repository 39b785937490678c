//! Rods as columns, the height that is left, and the stand.

use uom::si::f64::Length;

use super::{Amount, Bench, Step};
use crate::Result;
use crate::answers::Rod;
use crate::answers::structure::{NetHeight, WorstStand};
use crate::answers::stuck_open::stuck_open;
use crate::formulas::{NET_HEIGHT, ROD_COLUMN, STEPPED_COLUMN, TIPPING};
use crate::sizing::linkage::Travel;
use crate::sizing::tipping::Edge;

impl Bench<'_> {
    pub(super) fn structure(&self, steps: &mut Vec<Step>) -> Result<()> {
        let travel = self.rig.travel()?;
        if let Some(rod) = &self.answers.structure.rod {
            self.rod(rod, &travel, steps)?;
        }
        self.frame(steps)?;
        self.joints(steps)?;
        if let Some(settled) = &self.answers.structure.net_height {
            self.net_height(&travel, settled, steps);
        }
        self.stand(steps);
        Ok(())
    }

    fn rod(&self, rod: &Rod, travel: &Travel<'_>, steps: &mut Vec<Step>) -> Result<()> {
        let (cylinders, column) = (&self.rig.cylinders, &self.rig.rod);
        let start = travel.linkage().cylinder_length(Length::default()).or(column.closed_length);
        steps.push(
            Step::new("length of the rod column", &ROD_COLUMN, rod.length)
                .with_some("L_start", start)
                .with("x_end", travel.end()),
        );
        let tube = column.tube.as_ref().filter(|_| rod.stepped);
        if let Some(tube) = tube {
            steps.push(
                Step::new("elastic critical force, tube and rod", &STEPPED_COLUMN, rod.critical.elastic)
                    .with("E1", Amount::stress(tube.material.modulus))
                    .with("D1", tube.outside)
                    .with("t", tube.wall)
                    .with("L1", tube.length)
                    .with("E2", Amount::stress(column.material.modulus))
                    .with("d", cylinders.rod)
                    .with("L2", rod.length - tube.length),
            );
        }
        let critical = Step::new("critical force of the rod", &ROD_COLUMN, rod.critical.force)
            .with("d", cylinders.rod)
            .with("Sy", Amount::stress(column.material.yield_strength));
        steps.push(match tube {
            Some(_) => critical.with("P_E", rod.critical.elastic),
            None => critical
                .with("E", Amount::stress(column.material.modulus))
                .with("K", column.ends.factor().value)
                .with("L", rod.length),
        });
        for (figure, safety, pressure) in [
            ("safety of the rod at the set point", rod.safety_at_set, self.rig.regulator.set),
            ("safety of the rod, regulator stuck open", rod.safety_at_fault, stuck_open(self.rig)?.opens),
        ] {
            steps.push(
                Step::new(figure, &ROD_COLUMN, safety.value)
                    .with("P_crit", rod.critical.force)
                    .with("D", cylinders.bore)
                    .with("p", pressure),
            );
        }
        Ok(())
    }

    fn net_height(&self, travel: &Travel<'_>, settled: &NetHeight, steps: &mut Vec<Step>) {
        if settled.lost_by_cylinders != Length::default() && settled.reached > Length::default() {
            steps.push(
                Step::new("travel left for the linkage", &NET_HEIGHT, settled.reached)
                    .with("x_end", travel.end())
                    .with("s", settled.cylinders_reach)
                    .with("w_cyl", settled.lost_by_cylinders),
            );
        }
        steps.push(
            Step::new("net height", &NET_HEIGHT, settled.net)
                .with("h", travel.height(settled.reached))
                .with("take_up", self.rig.load.take_up)
                .with("w_load", settled.lost_by_load)
                .with("sink", self.rig.sink_and_play),
        );
    }

    fn stand(&self, steps: &mut Vec<Step>) {
        let (Some(base), Some(WorstStand { load: resting, stability, .. })) =
            (&self.rig.base, self.answers.structure.stand)
        else {
            return;
        };
        let inside = |right: Length, front: Length| match stability.edge {
            Edge::Right => 0.5 * base.width - right,
            Edge::Left => 0.5 * base.width + right,
            Edge::Front => 0.5 * base.depth - front,
            Edge::Rear => 0.5 * base.depth + front,
        };
        let (rig, load) = (inside(base.rig.right, base.rig.front), inside(resting.right, resting.front));
        let masses = |step: Step| {
            step.with("theta", base.slope).with("m_rig", base.rig.mass).with("m_load", resting.mass)
        };
        let outside = |distance: Length| (distance < Length::default()).then_some(distance);
        steps.push(
            masses(Step::new("restoring moment at the worst point", &TIPPING, stability.restoring))
                .with("d_rig", rig)
                .with("d_load", load),
        );
        steps.push(
            masses(Step::new("overturning moment at the worst point", &TIPPING, stability.overturning))
                .with("h_rig", base.rig.height)
                .with("h_load", resting.height)
                .with("F_side", base.side_force)
                .with("h_side", base.side_force_height)
                .with_some("d_rig", outside(rig))
                .with_some("d_load", outside(load)),
        );
        if let Some(factor) = stability.factor {
            steps.push(
                Step::new("stability", &TIPPING, factor.value)
                    .with("restoring", stability.restoring)
                    .with("overturning", stability.overturning),
            );
        }
    }
}
