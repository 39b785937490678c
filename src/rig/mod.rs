//! The rig file: from text to a [`Rig`].
//!
//! [`Source`] holds the text, [`Overrides`] what flags say, [`Document`] both once they are read, and
//! [`Resolver`] turns them into typed parts. What is wrong comes out as [`Problems`], all at once. The facts
//! about each field stand in [`fields`].

mod document;
pub mod fields;
mod joint;
mod model;
mod overrides;
mod problem;
mod protection;
mod render;
mod resolve;
pub mod schema;
mod source;
mod syntax;
mod task;
pub mod template;
mod text_index;
mod tree;
mod unknown;

pub use document::Document;
pub use joint::{LinkArms, PinForce, RigPin, RigWeld, TubeLoad, WeldJoint};
pub use model::{
    AirSource, Base, Carries, Cycle, CylinderTube, DefaultUsed, FrameBeam, Limits, LoadSide, RehearsalCycle,
    Rig, RigLinkage, RodColumn, Site, Track,
};
pub use overrides::Overrides;
pub use problem::{Place, Problem, Problems, Style};
pub use protection::{Dump, Lock, People, Protection, Support, TankMaterial, Unpowered};
pub use resolve::{Reported, Resolved, Resolver};
pub use source::Source;
pub use task::{Pause, RigTask, TaskGroup};
