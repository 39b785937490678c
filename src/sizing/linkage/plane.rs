//! Places, forces and the names of pins and members in the plane of a linkage.

use std::fmt;
use std::ops::{Add, Mul, Neg, Sub};

use uom::si::angle::radian;
use uom::si::f64::{Angle, Force, Length};
use uom::si::force::newton;
use uom::si::length::meter;

/// A place in the plane of the linkage: `x` to the right, `y` up, from the origin that the linkage names.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Place {
    /// To the right of the origin.
    pub x: Length,
    /// Above the origin.
    pub y: Length,
}

/// A force in the plane of the linkage.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct PlaneForce {
    /// To the right.
    pub x: Force,
    /// Up.
    pub y: Force,
}

impl PlaneForce {
    /// Size of the force, whatever its direction.
    #[must_use]
    pub fn size(&self) -> Force {
        Force::new::<newton>(self.x.value.hypot(self.y.value))
    }
}

/// A point at which members are joined or held.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Pin {
    /// Fixed pivot of a lever.
    Pivot,
    /// End of the cylinder that is fixed or lower.
    CylinderFoot,
    /// End of the cylinder that pushes.
    CylinderPin,
    /// Where the load rests.
    LoadPoint,
    /// Foot of a folding leg.
    Foot,
    /// Knee of a folding leg.
    Knee,
    /// Guided top of a folding leg.
    Top,
    /// Pinned foot of a scissor.
    FixedFoot,
    /// Sliding foot of a scissor.
    SlidingFoot,
    /// Pin at which the two arms of a stage cross, stages counted from 1 at the base.
    Centre(u32),
    /// Joint between a stage and the one above it, over the fixed foot.
    FixedSide(u32),
    /// Joint between a stage and the one above it, over the sliding foot.
    SlidingSide(u32),
    /// Pin that holds the platform, over the fixed foot.
    PlatformPin,
    /// Roller under the platform, over the sliding foot.
    PlatformRoller,
}

impl fmt::Display for Pin {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Pivot => out.write_str("pivot"),
            Self::CylinderFoot => out.write_str("cylinder foot"),
            Self::CylinderPin => out.write_str("cylinder pin"),
            Self::LoadPoint => out.write_str("load point"),
            Self::Foot => out.write_str("foot"),
            Self::Knee => out.write_str("knee"),
            Self::Top => out.write_str("top"),
            Self::FixedFoot => out.write_str("fixed foot"),
            Self::SlidingFoot => out.write_str("sliding foot"),
            Self::Centre(stage) => write!(out, "centre pin of stage {stage}"),
            Self::FixedSide(stage) => write!(out, "joint above stage {stage}, fixed side"),
            Self::SlidingSide(stage) => write!(out, "joint above stage {stage}, sliding side"),
            Self::PlatformPin => out.write_str("platform pin"),
            Self::PlatformRoller => out.write_str("platform roller"),
        }
    }
}

/// The side of a scissor on which an arm has its lower end.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ArmFrom {
    /// Over the fixed foot; the arm rises towards the sliding side.
    FixedSide,
    /// Over the sliding foot; the arm rises towards the fixed side.
    SlidingSide,
}

/// A rigid part of a linkage.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Member {
    /// The cylinder or cylinders.
    Cylinder,
    /// The lever.
    Lever,
    /// Link of a folding leg between foot and knee.
    LowerLink,
    /// Link of a folding leg between knee and top.
    UpperLink,
    /// Arm of a scissor.
    Arm {
        /// Where it starts.
        from: ArmFrom,
        /// Stage, counted from 1 at the base.
        stage: u32,
    },
    /// Platform of a scissor.
    Platform,
}

impl fmt::Display for Member {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Cylinder => out.write_str("cylinder"),
            Self::Lever => out.write_str("lever"),
            Self::LowerLink => out.write_str("lower link"),
            Self::UpperLink => out.write_str("upper link"),
            Self::Arm { from: ArmFrom::FixedSide, stage } => {
                write!(out, "arm of stage {stage} from the fixed side")
            }
            Self::Arm { from: ArmFrom::SlidingSide, stage } => {
                write!(out, "arm of stage {stage} from the sliding side")
            }
            Self::Platform => out.write_str("platform"),
        }
    }
}

/// What a force on a member comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Cause {
    /// The pin there.
    Pin(Pin),
    /// The member's own weight.
    Weight,
}

/// One force on one member.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ForceOn {
    /// The member it acts on.
    pub member: Member,
    /// What it comes from.
    pub cause: Cause,
    /// Where it acts.
    pub at: Place,
    /// The force.
    pub force: PlaneForce,
}

/// The force that passes through a pin.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reaction {
    /// The pin.
    pub pin: Pin,
    /// Member on which the force is taken; the other side gets the opposite.
    pub member: Member,
    /// The force on that member.
    pub force: PlaneForce,
}

/// Length from SI.
pub(super) fn meters(value: f64) -> Length {
    Length::new::<meter>(value)
}

/// Force from SI.
pub(super) fn newtons(value: f64) -> Force {
    Force::new::<newton>(value)
}

/// Angle from SI.
pub(super) fn radians(value: f64) -> Angle {
    Angle::new::<radian>(value)
}

/// A vector of raw SI numbers: metres or newtons.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Vector {
    pub(super) x: f64,
    pub(super) y: f64,
}

impl Vector {
    pub(super) const fn new(x: f64, y: f64) -> Self {
        Self { x, y }
    }

    pub(super) const fn down(size: f64) -> Self {
        Self { x: 0.0, y: -size }
    }

    /// Unit vector at an angle above the x axis.
    pub(super) fn at(angle: f64) -> Self {
        let (sin, cos) = angle.sin_cos();
        Self { x: cos, y: sin }
    }

    pub(super) fn dot(self, other: Self) -> f64 {
        self.x * other.x + self.y * other.y
    }

    /// Moment of `other` about the origin when it acts at `self`.
    pub(super) fn cross(self, other: Self) -> f64 {
        self.x * other.y - self.y * other.x
    }

    pub(super) fn length(self) -> f64 {
        self.x.hypot(self.y)
    }

    /// Turned anticlockwise by the angle with this cosine and sine.
    pub(super) fn turned(self, cos: f64, sin: f64) -> Self {
        Self { x: self.x * cos - self.y * sin, y: self.x * sin + self.y * cos }
    }

    pub(super) fn place(self) -> Place {
        Place { x: meters(self.x), y: meters(self.y) }
    }

    pub(super) fn force(self) -> PlaneForce {
        PlaneForce { x: newtons(self.x), y: newtons(self.y) }
    }
}

impl Add for Vector {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self { x: self.x + other.x, y: self.y + other.y }
    }
}

impl Sub for Vector {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self { x: self.x - other.x, y: self.y - other.y }
    }
}

impl Neg for Vector {
    type Output = Self;
    fn neg(self) -> Self {
        Self { x: -self.x, y: -self.y }
    }
}

impl Mul<f64> for Vector {
    type Output = Self;
    fn mul(self, by: f64) -> Self {
        Self { x: self.x * by, y: self.y * by }
    }
}
