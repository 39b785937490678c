//! Links, pins and welds of a rig.

use uom::si::f64::{Force, Length, Ratio};

use crate::frame::joint::{FilletWeld, Pin, TubeWeld};
use crate::frame::material::Material;
use crate::frame::section::Shape;
use crate::sizing::linkage;

/// What the links of a folding leg or the arms of a scissor are made of.
#[derive(Debug, Clone, PartialEq)]
pub struct LinkArms {
    /// Cross-section of one arm.
    pub shape: Shape,
    /// Its metal.
    pub material: Material,
    /// Equal arms side by side that share the thrust.
    pub side_by_side: u32,
}

/// A pin of the rig.
#[derive(Debug, Clone, PartialEq)]
pub struct RigPin {
    /// What its builder calls it.
    pub name: String,
    /// Pin and plates.
    pub joint: Pin,
    /// Where its force comes from.
    pub force: PinForce,
    /// Factor on the force for the jolt of starting and stopping.
    pub dynamic_factor: Ratio,
}

/// The force on a pin of the rig.
#[derive(Debug, Clone, PartialEq)]
pub enum PinForce {
    /// As the builder gives it.
    Given(Force),
    /// The greatest through any of these pins of the linkage along the travel.
    Through {
        /// Pins of the linkage.
        pins: Vec<linkage::Pin>,
        /// Equal pins side by side that share the force.
        shared_by: u32,
    },
}

/// A weld of the rig.
#[derive(Debug, Clone, PartialEq)]
pub struct RigWeld {
    /// What its builder calls it.
    pub name: String,
    /// The weld and what it bears.
    pub joint: WeldJoint,
    /// Metal of the weaker part that it joins.
    pub material: Material,
}

/// A weld and what it bears.
#[derive(Debug, Clone, PartialEq)]
pub enum WeldJoint {
    /// Straight fillets under a force.
    Fillet {
        /// The fillets together.
        weld: FilletWeld,
        /// The force on them, in whatever direction.
        force: Force,
    },
    /// A tube welded all round.
    Tube {
        /// The weld.
        weld: TubeWeld,
        /// What bends it.
        load: TubeLoad,
    },
}

/// What bears on a tube welded all round to a plate.
#[derive(Debug, Clone, PartialEq)]
pub enum TubeLoad {
    /// A force across the tube at a distance from the weld.
    Force {
        /// The force.
        force: Force,
        /// Its distance from the weld.
        arm: Length,
    },
    /// The root of the cantilever of this name.
    Root(String),
}
