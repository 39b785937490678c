//! What keeps a single fault from hurting somebody, and what the parts do by themselves.

use uom::si::f64::{MassRate, Pressure};

use crate::air::flow::Restriction;
use crate::units::GaugePressure;

/// What the rig file says of protection. What it does not say is taken as not there.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Protection {
    /// Throttle in the port of each cylinder, for the air on its way out.
    pub port_throttle: Option<Restriction>,
    /// Check valve at the cylinders that only a signal of its own opens.
    pub lock: Lock,
    /// What holds the load without air.
    pub support: Support,
    /// Whether the hoses are held so that a torn end cannot whip.
    pub hose_restraint: bool,
    /// Hand valve that shuts off the supply to the raise valve.
    pub shut_off: bool,
    /// What a hand valve with a gauge lets out.
    pub dump: Dump,
    /// A second check valve between pump and tank.
    pub second_check: bool,
    /// Tank pressure at which a second switch stops the pump, if there is one.
    pub second_switch: Option<GaugePressure>,
    /// What the raise valve does without power, if that is known.
    pub raise_unpowered: Option<Unpowered>,
    /// What the lower valve does without power, if that is known.
    pub lower_unpowered: Option<Unpowered>,
    /// What the lock does without power, if that is known.
    pub lock_unpowered: Option<Unpowered>,
    /// What the regulator passes when it is wide open on a full tank, if known.
    pub wide_open_flow: Option<MassRate>,
    /// The seat of the regulator, wide open, if known.
    pub regulator_seat: Option<Restriction>,
    /// By how much the gauge on the tank may be wrong.
    pub tank_gauge_error: Pressure,
    /// By how much the gauge after the regulator may be wrong.
    pub set_gauge_error: Pressure,
    /// What the receiver is made of, if that is said.
    pub material: Option<TankMaterial>,
    /// Who is near the rig, if that is said.
    pub people: Option<People>,
}

/// Where a lock stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Lock {
    /// There is none.
    #[default]
    None,
    /// In the port of each cylinder: no hose between lock and cylinder.
    InPort,
    /// In the line: hose between lock and cylinder.
    InLine,
}

/// What holds a raised load without air.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Support {
    /// Nothing.
    #[default]
    None,
    /// A pin or prop that somebody sets once the load is up.
    Pin,
    /// A latch that falls in by itself all along the way.
    Latch,
}

/// What a hand valve lets out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Dump {
    /// There is none.
    #[default]
    None,
    /// The air of the tank.
    Tank,
    /// The air of the cylinders, from the cylinders' side of any lock.
    Cylinders,
    /// Both.
    Both,
}

impl Dump {
    /// Whether the tank can be emptied by hand.
    #[must_use]
    pub const fn empties_tank(self) -> bool {
        matches!(self, Self::Tank | Self::Both)
    }

    /// Whether the cylinders can be emptied by hand.
    #[must_use]
    pub const fn empties_cylinders(self) -> bool {
        matches!(self, Self::Cylinders | Self::Both)
    }
}

/// What a valve does when its power is lost.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unpowered {
    /// A spring opens it.
    Open,
    /// A spring shuts it.
    Shut,
    /// It stays as it is.
    Stays,
}

impl Unpowered {
    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Open => "open",
            Self::Shut => "shut",
            Self::Stays => "stays",
        }
    }
}

/// What a receiver is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TankMaterial {
    /// Steel.
    Steel,
    /// Stainless steel.
    Stainless,
    /// Aluminium.
    Aluminium,
    /// Fibre wound on a liner.
    Composite,
    /// Plastic.
    Plastic,
}

/// Who is near the rig while it works.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum People {
    /// Nobody: worked from afar.
    None,
    /// People who know the rig.
    Workers,
    /// Anybody.
    Public,
}
