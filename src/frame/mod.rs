//! The steel of a rig: cross-sections, materials, beams, parts that help one another, joints.
//!
//! Nothing here reads a file or knows a rig. Lengths, forces and stresses are typed; loads count positive
//! downwards, deflections downwards, moments positive where the beam sags.

pub mod material;
pub mod quantity;
pub mod reinforcement;
pub mod section;
