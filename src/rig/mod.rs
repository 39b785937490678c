//! The rig file: from text to a [`Rig`].

mod model;

pub use model::{AirSource, Battery, Cycle, DefaultUsed, Limits, Linkage, Rig, Site};
