//! The rig file: from text to a [`Rig`].

mod model;

pub use model::{AirSource, Cycle, DefaultUsed, Limits, Linkage, Rig, Site};
