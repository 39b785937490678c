//! Forces in the joints of a scissor, from the platform down.

use super::super::motion::{Forces, Pose, Side};
use super::super::plane::{ArmFrom, Member, Pin, Vector};
use super::{Drive, Scissor};
use crate::sizing::travel::STANDARD_GRAVITY_M_PER_S2;

/// The forces that act on one arm besides its pins, gathered at its centre.
#[derive(Debug, Clone, Copy, Default)]
struct Gathered {
    force: Vector,
    /// Moment about the centre pin.
    moment: f64,
}

impl Gathered {
    fn add(&mut self, from_centre: Vector, force: Vector) {
        self.force = self.force + force;
        self.moment += from_centre.cross(force);
    }
}

/// A force of the cylinder on an arm.
#[derive(Clone, Copy)]
struct Pushed {
    arm: (ArmFrom, u32),
    pin: Pin,
    at: Vector,
    force: Vector,
}

impl Scissor {
    /// Each stage has four unknown forces at its lower ends and two in its centre pin, and three equations
    /// for each of its two arms: solved from the platform, on which the load rests over the middle of the
    /// arms, down to the feet. Both sides of the table are taken together. With friction all but what
    /// the platform rests on is that of a load and arms heavier by `1/eta`.
    pub(super) fn forces(&self, pose: &Pose, load: f64, efficiency: f64, forces: &mut Forces<'_>) {
        let (sin, cos) = pose.turn;
        let (across, up) = (self.arm * cos, self.arm * sin);
        let platform_load = load;
        let load = load / efficiency;
        let gravity = STANDARD_GRAVITY_M_PER_S2 / efficiency;
        let weight = self.arm_mass * gravity;
        let thrust = load * pose.ratio + gravity * pose.arms;
        let (foot, pin) = self.cylinder_ends(cos, sin);
        let along = pin - foot;
        let push = along * (thrust / along.length());
        let pushed = self.pushed(foot, pin, push);
        forces.cylinder(foot, pin, push);
        self.platform(platform_load, across, up, forces);

        // On the upper ends of the stage at hand: of the arm from the sliding side, over the fixed foot, and
        // of the arm from the fixed side, over the sliding foot.
        let mut on_top = (Vector::down(0.5 * load), Vector::down(0.5 * load));
        for stage in (1..=self.stages).rev() {
            let base = f64::from(stage - 1) * up;
            let centre = Vector::new(0.5 * across, base + 0.5 * up);
            let mut rising = Gathered::default();
            let mut falling = Gathered::default();
            rising.add(Vector::new(0.5 * across, 0.5 * up), on_top.1);
            falling.add(Vector::new(-0.5 * across, 0.5 * up), on_top.0);
            rising.add(Vector::default(), Vector::down(weight));
            falling.add(Vector::default(), Vector::down(weight));
            for one in pushed.iter().flatten().filter(|one| one.arm.1 == stage) {
                let arm = if one.arm.0 == ArmFrom::FixedSide { &mut rising } else { &mut falling };
                arm.add(one.at - centre, one.force);
            }
            let below = self.below(&rising, &falling, cos, sin);
            let on_rising = -(rising.force + below.0);
            self.stage(
                stage,
                &StageForces { on_top, below, on_rising, pushed: &pushed, weight },
                pose,
                forces,
            );
            on_top = (-below.0, -below.1);
        }
    }

    /// Forces on the lower ends over the fixed and over the sliding foot.
    ///
    /// Moments about the centre pin give `cos fy - sin fx` of either arm; sums of both arms give the rest.
    fn below(&self, rising: &Gathered, falling: &Gathered, cos: f64, sin: f64) -> (Vector, Vector) {
        let total = -(rising.force + falling.force);
        let half = 0.5 * self.arm;
        let (rising_moment, falling_moment) = (rising.moment / half, -falling.moment / half);
        let difference = (total.y * cos - rising_moment - falling_moment) / sin;
        let fixed_x = 0.5 * (total.x + difference);
        let sliding_x = 0.5 * (total.x - difference);
        (
            Vector::new(fixed_x, (rising_moment + sin * fixed_x) / cos),
            Vector::new(sliding_x, (falling_moment - sin * sliding_x) / cos),
        )
    }

    fn pushed(&self, foot: Vector, pin: Vector, push: Vector) -> [Option<Pushed>; 2] {
        match &self.drive {
            Drive::SlidingFoot { .. } => {
                let arm = (ArmFrom::SlidingSide, 1);
                [Some(Pushed { arm, pin: Pin::CylinderPin, at: pin, force: push }), None]
            }
            Drive::Between { foot: from, pin: to, .. } => [
                from.arm.map(|arm| Pushed { arm, pin: Pin::CylinderFoot, at: foot, force: -push }),
                to.arm.map(|arm| Pushed { arm, pin: Pin::CylinderPin, at: pin, force: push }),
            ],
        }
    }

    fn platform(&self, load: f64, across: f64, up: f64, forces: &mut Forces<'_>) {
        let height = f64::from(self.stages) * up;
        let half = Vector::new(0.0, 0.5 * load);
        let middle = Vector::new(0.5 * across, height);
        forces.pin(Side::First, Member::Platform, Pin::PlatformPin, Vector::new(0.0, height), half);
        forces.pin(Side::First, Member::Platform, Pin::LoadPoint, middle, Vector::down(load));
        forces.pin(Side::First, Member::Platform, Pin::PlatformRoller, Vector::new(across, height), half);
    }

    /// Tells the forces on the two arms of a stage.
    fn stage(&self, stage: u32, solved: &StageForces<'_>, pose: &Pose, forces: &mut Forces<'_>) {
        let (sin, cos) = pose.turn;
        let (across, up) = (self.arm * cos, self.arm * sin);
        let base = f64::from(stage - 1) * up;
        let centre = Vector::new(0.5 * across, base + 0.5 * up);
        let (fixed_below, sliding_below) = if stage == 1 {
            (Pin::FixedFoot, Pin::SlidingFoot)
        } else {
            (Pin::FixedSide(stage - 1), Pin::SlidingSide(stage - 1))
        };
        let (fixed_above, sliding_above) = if stage == self.stages {
            (Pin::PlatformPin, Pin::PlatformRoller)
        } else {
            (Pin::FixedSide(stage), Pin::SlidingSide(stage))
        };
        let arms = [
            (
                ArmFrom::FixedSide,
                (fixed_below, Vector::new(0.0, base), solved.below.0),
                (sliding_above, Vector::new(across, base + up), solved.on_top.1),
                (Side::First, solved.on_rising),
            ),
            (
                ArmFrom::SlidingSide,
                (sliding_below, Vector::new(across, base), solved.below.1),
                (fixed_above, Vector::new(0.0, base + up), solved.on_top.0),
                (Side::Other, -solved.on_rising),
            ),
        ];
        for (from, lower, upper, (side, at_centre)) in arms {
            let member = Member::Arm { from, stage };
            forces.pin(Side::First, member, lower.0, lower.1, lower.2);
            forces.pin(side, member, Pin::Centre(stage), centre, at_centre);
            forces.weight(member, centre, solved.weight);
            for one in solved.pushed.iter().flatten().filter(|one| one.arm == (from, stage)) {
                forces.pin(Side::Other, member, one.pin, one.at, one.force);
            }
            forces.pin(Side::Other, member, upper.0, upper.1, upper.2);
        }
    }
}

/// The forces of one stage, once solved.
struct StageForces<'a> {
    on_top: (Vector, Vector),
    below: (Vector, Vector),
    on_rising: Vector,
    pushed: &'a [Option<Pushed>; 2],
    weight: f64,
}
