//! A rig as the calculations see it: every value typed, every default filled in and listed.

use std::collections::{BTreeMap, BTreeSet};

use uom::si::f64::{
    Angle, Energy, Force, HeatTransfer, Length, Ratio, ThermalConductance, ThermodynamicTemperature, Time,
    Velocity, Volume,
};

use super::Protection;
use super::joint::{LinkArms, RigPin, RigWeld};
use super::task::TaskGroup;
use crate::Result;
use crate::frame::{beam::Support, material::Material, reinforcement::Member};
use crate::sizing::battery::Battery;
use crate::sizing::compressor_fill_time::Compressor;
use crate::sizing::cylinder_force::Cylinders;
use crate::sizing::linkage::{Linkage, Pin, Profile, Travel};
use crate::sizing::regulator_setpoint::Regulator;
use crate::sizing::rod_column::Ends;
use crate::sizing::tank_capacity::{AirReturn, EndPressure, Line, Tank, dead_volume};
use crate::sizing::tipping::Weight;
use crate::sizing::travel::Load;
use crate::units::{AbsolutePressure, GaugePressure};

/// A whole rig, from the air source to the load.
#[derive(Debug, Clone, PartialEq)]
pub struct Rig {
    /// What its builder calls it.
    pub title: String,
    /// Where it works.
    pub site: Site,
    /// Where its air comes from.
    pub source: AirSource,
    /// Receiver or bottle.
    pub tank: Tank,
    /// Regulator.
    pub regulator: Regulator,
    /// Line from the valve to the cylinders.
    pub line: Line,
    /// The cylinders.
    pub cylinders: Cylinders,
    /// Friction of their seals to start, as a multiple of that in motion, if it is stated; 1 or more, and with that
    /// friction less than the whole thrust.
    pub breakaway: Option<Ratio>,
    /// What stands between the cylinders and the load.
    pub linkage: RigLinkage,
    /// The load.
    pub load: Load,
    /// Battery, if the rig has one.
    pub battery: Option<Battery>,
    /// How the rig is worked.
    pub cycle: Cycle,
    /// What a rehearsal works, in groups; empty where `cycle` says it.
    pub tasks: Vec<TaskGroup>,
    /// Limits that the checks hold it to.
    pub limits: Limits,
    /// Stated tolerances: field path to half width in the SI base unit of the field.
    pub tolerances: BTreeMap<&'static str, f64>,
    /// Defaults that filled in for what the file does not say, in file order.
    pub defaults: Vec<DefaultUsed>,
    /// What is needed to judge the rods.
    pub rod: RodColumn,
    /// The beams of the frame.
    pub frame: Vec<FrameBeam>,
    /// What links and arms of the linkage are made of, if it is said.
    pub arms: Option<LinkArms>,
    /// Pins to be judged.
    pub pins: Vec<RigPin>,
    /// Welds to be judged.
    pub welds: Vec<RigWeld>,
    /// What the rig stands on, if it is described.
    pub base: Option<Base>,
    /// By how much feet sink and joints give under load, taken off the height gained.
    pub sink_and_play: Length,
    /// What keeps a single fault from hurting somebody.
    pub protection: Protection,
    /// Paths of all fields that the file or a flag gives, so that a check can tell what is not said from
    /// what is said but not judged by this version.
    pub given: BTreeSet<&'static str>,
}

/// The place where the rig works.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Site {
    /// Pressure of the atmosphere there.
    pub atmosphere: AbsolutePressure,
    /// Altitude from which that pressure follows; `None` where a barometer gives it.
    pub altitude: Option<Length>,
    /// Temperature of the air, and of the tank at rest.
    pub temperature: ThermodynamicTemperature,
}

/// Where the air comes from.
#[derive(Debug, Clone, PartialEq)]
pub enum AirSource {
    /// A compressor on the rig fills the tank.
    Compressor(Compressor),
    /// A bottle filled elsewhere.
    Bottle {
        /// Pressure at which the count starts.
        filled_to: GaugePressure,
    },
}

/// What stands between the cylinders and the load.
#[derive(Debug, Clone, PartialEq)]
pub struct RigLinkage {
    /// Its `kind` in the rig file: `direct`, `lever`, `folding-leg`, `scissor`.
    pub kind: &'static str,
    /// Its geometry, laid out for the stroke of the cylinders.
    pub shape: Linkage,
    /// Share of the cylinders' work that reaches the load.
    pub efficiency: Ratio,
    /// How the load comes on as it rises.
    pub profile: Profile,
    /// What holds the feet of a scissor down.
    pub track: Track,
}

/// What holds feet and roller of a scissor down.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Track {
    /// Their weight alone.
    #[default]
    Open,
    /// Tracks and blocks that hold them down too.
    Captive,
}

/// What is needed to judge a rod as a column.
#[derive(Debug, Clone, PartialEq)]
pub struct RodColumn {
    /// Pin-to-pin length of the closed cylinder, if it is known.
    pub closed_length: Option<Length>,
    /// How the ends are held.
    pub ends: Ends,
    /// Metal of the rod.
    pub material: Material,
    /// The cylinder's tube, if its data are known: outside diameter, wall, and length from its pin to where the
    /// rod leaves it.
    pub tube: Option<CylinderTube>,
}

/// The tube of a cylinder as part of a column.
#[derive(Debug, Clone, PartialEq)]
pub struct CylinderTube {
    /// Outside diameter.
    pub outside: Length,
    /// Wall thickness.
    pub wall: Length,
    /// Length from the tube's pin to where the rod leaves it.
    pub length: Length,
    /// Its metal.
    pub material: Material,
}

/// A beam of the frame.
#[derive(Debug, Clone, PartialEq)]
pub struct FrameBeam {
    /// What its builder calls it.
    pub name: String,
    /// How it is held.
    pub support: Support,
    /// Free length.
    pub span: Length,
    /// Cross-section with its reinforcement.
    pub member: Member,
    /// Places and shares of the force that it carries.
    pub loads: Vec<(Length, Ratio)>,
    /// Of which force these are shares.
    pub carries: Carries,
    /// Factor on the force for what is not slow and steady.
    pub dynamic_factor: Ratio,
    /// Whether its own weight is counted.
    pub own_weight: bool,
    /// Share of its deflection under the load by which the load comes down.
    pub height_lost: Ratio,
}

/// The force that a beam takes its share of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Carries {
    /// Greatest weight on the lifting points, moving parts included.
    Load,
    /// Greatest force of all cylinders.
    CylinderForce,
}

/// What the rig stands on and where its weights are.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Base {
    /// From the leftmost to the rightmost point of support.
    pub width: Length,
    /// From back to front.
    pub depth: Length,
    /// Slope of the ground.
    pub slope: Angle,
    /// Side force.
    pub side_force: Force,
    /// Height at which it pushes.
    pub side_force_height: Length,
    /// The rig itself, without load and moving parts.
    pub rig: Weight,
    /// Centre of gravity of load and moving parts at the start of the travel; it rises with the load.
    pub load: Weight,
    /// Side of the rig to which a lever's load lies from its pivot.
    pub load_side: LoadSide,
}

/// A side of a rig.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LoadSide {
    /// Front.
    Front,
    /// Rear.
    Rear,
    /// Right.
    Right,
    /// Left.
    Left,
}

/// How the rig is worked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cycle {
    /// What is left in the cylinders when the load has arrived.
    pub end_pressure: EndPressure,
    /// Strokes wanted on one fill.
    pub strokes_wanted: Option<u32>,
    /// Strokes wanted in an hour, all day.
    pub per_hour: Option<f64>,
    /// What a rehearsal is told besides.
    pub rehearsal: RehearsalCycle,
}

/// What the file says of a rehearsal.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct RehearsalCycle {
    /// Number of lifts.
    pub lifts: Option<u32>,
    /// How long each load is held.
    pub hold: Option<Time>,
    /// Rest after each lowering.
    pub rest: Option<Time>,
    /// Longest that a raise may take before it is given up.
    pub raise_within: Option<Time>,
    /// The same of a lowering.
    pub lower_within: Option<Time>,
    /// Temperature of the air as it enters the tank.
    pub outlet: Option<ThermodynamicTemperature>,
    /// Heat exchange of the tank.
    pub tank_heat: Option<ThermalConductance>,
    /// Heat transfer in cylinders and hose.
    pub cylinder_heat: Option<HeatTransfer>,
}

/// Limits that the checks hold the rig to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limits {
    /// Highest load ratio.
    pub load_ratio: Ratio,
    /// Least safety of a column against buckling.
    pub column_safety: Ratio,
    /// Highest share of the yield strength in a beam.
    pub yield_ratio: Ratio,
    /// Least ratio of holding to tipping moment.
    pub stability: Ratio,
    /// Least angle to a dead point.
    pub dead_point: Angle,
    /// Longest time a raise may take, if one is set.
    pub raise_time: Option<Time>,
    /// Highest speed at which the load may come down, if one is set.
    pub lower_speed: Option<Velocity>,
    /// Highest speed at which the load may come down after a fault.
    pub fall_speed: Velocity,
    /// Highest energy that the stops take, if one is set.
    pub stop_energy: Option<Energy>,
}

/// A default that filled in for a field that the file leaves out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DefaultUsed {
    /// Path of the field, `table.key`.
    pub field: &'static str,
    /// The value used, as it would be written in the file.
    pub value: &'static str,
}

impl RigLinkage {
    /// Its pins that carry a force; `None` if linkage, stroke and load do not fit.
    pub(super) fn loaded_pins(&self, cylinders: &Cylinders, load: &Load) -> Option<Vec<Pin>> {
        let travel = Travel::new(cylinders, load, self.shape, &self.profile, self.efficiency);
        travel.ok().map(|travel| travel.loaded_pins())
    }
}

impl Rig {
    /// Half width of the tolerance stated for a field, in its SI base unit; zero where none is stated.
    #[must_use]
    pub fn tolerance(&self, field: &str) -> f64 {
        self.tolerances.get(field).copied().unwrap_or(0.0)
    }

    /// Whether the file or a flag gives a field, or any field of a table: `is_given("line.raise")`.
    #[must_use]
    pub fn is_given(&self, path: &str) -> bool {
        self.given.iter().any(|given| {
            given.strip_prefix(path).is_some_and(|rest| rest.is_empty() || rest.starts_with('.'))
        })
    }

    /// The pressure at which a full tank stands: cut-out, or the pressure a bottle is filled to.
    #[must_use]
    pub fn full_pressure(&self) -> GaugePressure {
        match &self.source {
            AirSource::Compressor(compressor) => compressor.cut_out,
            AirSource::Bottle { filled_to } => *filled_to,
        }
    }

    /// How far the rods stand out at the start of the travel: what lies between the pins then, less the closed length;
    /// zero where either is not known.
    #[must_use]
    pub fn drawn_out(&self) -> Length {
        let start = self.linkage.shape.cylinder_length(Length::default());
        start
            .zip(self.rod.closed_length)
            .map_or_else(Length::default, |(start, closed)| (start - closed).max(Length::default()))
    }

    /// Whether the linkage meets a stop before its cylinders come to the end of their stroke.
    #[must_use]
    pub fn meets_stop(&self) -> bool {
        // Rounding of the drawing: a micrometre in a metre.
        let left = self.cylinders.stroke - self.drawn_out() - self.linkage.shape.end();
        left > 1e-6 * self.cylinders.stroke
    }

    /// Volume on the cap side that each stroke fills and vents without moving anything: clearance, hose, and what
    /// stands behind pistons that are drawn out at the start.
    #[must_use]
    pub fn dead_volume(&self) -> Volume {
        dead_volume(&self.cylinders, self.line.hose.as_ref()) + self.cylinders.cap_area() * self.drawn_out()
    }

    /// What the air return of double-acting cylinders fills after a stroke of `used`: the ring that is swept, and
    /// clearance, hose and the ring beyond the stroke, which moves nothing.
    #[must_use]
    pub fn air_return(&self, used: Length) -> AirReturn {
        let ring = self.cylinders.ring_area();
        let beyond = (self.cylinders.stroke - self.drawn_out() - used).max(Length::default());
        AirReturn {
            swept: ring * used,
            dead: dead_volume(&self.cylinders, self.line.hose.as_ref()) + ring * beyond,
        }
    }

    /// The load along the travel of its cylinders.
    ///
    /// # Errors
    /// As [`travel_of`](Self::travel_of); a rig that was read from a file has been held to that.
    pub fn travel(&self) -> Result<Travel<'_>> {
        self.travel_of(&self.load)
    }

    /// Another load along the same travel.
    ///
    /// # Errors
    /// [`Error::Geometry`](crate::Error::Geometry) if linkage, stroke and load do not fit.
    pub fn travel_of<'a>(&'a self, load: &'a Load) -> Result<Travel<'a>> {
        let RigLinkage { shape, efficiency, profile, .. } = &self.linkage;
        Travel::new(&self.cylinders, load, *shape, profile, *efficiency)
    }
}
