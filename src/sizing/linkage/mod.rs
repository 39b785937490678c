//! Linkages between the cylinders and the load: where their parts stand, what ratio they give, what their
//! pins carry.
//!
//! All cylinders push. A linkage has one degree of freedom, the cylinder travel `x`, from the closed cylinder
//! at 0 to the end of the stroke or to a stop; `h(x)` is the height of the load above its start and
//! `r = dh/dx`, both from the geometry alone. A travel outside that range stands for its nearer end.
//!
//! [`Travel`] puts load, linkage and cylinders together.
//!
//! Forces in pins are those of rigid parts without friction, all cylinders and both sides of the rig taken
//! together in one plane (of a folding leg: one leg, with its share of load and cylinders). The greatest forces
//! over the travel count the friction in the joints, as [`Travel::worst_through`] says.

mod demand;
mod direct;
mod extremes;
mod folding_leg;
mod lever;
mod motion;
mod plane;
mod profile;
mod scissor;
mod strut;
#[cfg(test)]
mod tests;
mod travel;
mod worst;

pub use demand::{DemandPoint, DemandSpan};
pub use direct::Direct;
pub use folding_leg::{Bracket, FoldingLeg, FoldingLegGeometry, OverCentre};
pub use lever::{Lever, LeverGeometry};
pub use motion::DeadPoint;
pub use plane::{ArmFrom, Cause, ForceOn, Member, Pin, Place, PlaneForce, Reaction};
pub use profile::Profile;
pub use scissor::{Anchor, Scissor, ScissorDrive, ScissorGeometry};
pub use strut::Strut;
pub use travel::{Limit, Travel, TravelPoint, WorkBalance};
pub use worst::WorstThrough;

use uom::si::f64::{Angle, Length, Ratio};

use motion::Motion;
use plane::{meters, radians};

/// What stands between the cylinders and the load.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Linkage {
    /// The cylinders push the load themselves.
    Direct(Direct),
    /// A lever on a fixed pivot.
    Lever(Lever),
    /// One or several folding legs.
    FoldingLeg(FoldingLeg),
    /// A scissor.
    Scissor(Scissor),
}

impl Linkage {
    fn motion(&self) -> &dyn Motion {
        match self {
            Self::Direct(direct) => direct,
            Self::Lever(lever) => lever,
            Self::FoldingLeg(leg) => leg,
            Self::Scissor(scissor) => scissor,
        }
    }

    /// A travel within the range of the linkage, in m; what is no number is the start.
    fn within(&self, travel: Length) -> f64 {
        let travel = travel.value;
        if travel > 0.0 { travel.min(self.motion().end()) } else { 0.0 }
    }

    /// Travel at which the motion ends: the full stroke, or less if a stop comes first.
    #[must_use]
    pub fn end(&self) -> Length {
        meters(self.motion().end())
    }

    /// Travel at which the load is highest: the end, unless a leg passes straight.
    #[must_use]
    pub fn top(&self) -> Length {
        meters(self.motion().top())
    }

    /// Height h of the load above its start at travel `x`.
    #[must_use]
    pub fn height(&self, travel: Length) -> Length {
        meters(self.motion().pose(self.within(travel)).height)
    }

    /// `r = dh/dx` at travel `x`; negative where the load comes down.
    #[must_use]
    pub fn ratio(&self, travel: Length) -> Ratio {
        Ratio::from(self.motion().pose(self.within(travel)).ratio)
    }

    /// Angle at travel `x`: of the load arm or of the scissor's arms above horizontal, or of the knee between
    /// its links. None for a direct push.
    #[must_use]
    pub fn angle(&self, travel: Length) -> Option<Angle> {
        match self {
            Self::Direct(_) => None,
            _ => Some(radians(self.motion().pose(self.within(travel)).angle)),
        }
    }

    /// First travel at which the load stands at `height` above its start; `None` above the top.
    #[must_use]
    pub fn travel_at(&self, height: Length) -> Option<Length> {
        let height = height.value;
        if height <= 0.0 {
            return Some(meters(0.0));
        }
        self.motion().travel_at(height).map(meters)
    }

    /// Pins and their places at travel `x`, for a drawing.
    #[must_use]
    pub fn pins(&self, travel: Length) -> Vec<(Pin, Place)> {
        self.motion().pins(self.within(travel))
    }

    /// Dead points and the angle left to each.
    #[must_use]
    pub fn dead_points(&self) -> Vec<DeadPoint> {
        self.motion().dead_points()
    }

    /// Pin-to-pin length of the cylinder at travel `x`, for the rod column, where the geometry tells it.
    #[must_use]
    pub fn cylinder_length(&self, travel: Length) -> Option<Length> {
        self.motion().cylinder_length(self.within(travel)).map(meters)
    }

    /// Equal drives side by side of which one is described: the legs of a folding leg, else one.
    #[must_use]
    pub fn drives(&self) -> u32 {
        match self {
            Self::FoldingLeg(leg) => leg.legs(),
            _ => 1,
        }
    }

    /// How the load locks a folding leg that passes straight.
    #[must_use]
    pub fn over_centre(&self) -> Option<OverCentre> {
        match self {
            Self::FoldingLeg(leg) => leg.over_centre(),
            _ => None,
        }
    }
}
