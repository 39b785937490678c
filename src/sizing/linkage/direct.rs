//! Cylinders that push the load themselves.

use uom::si::f64::Length;

use super::motion::{DeadPoint, Forces, Motion, Pose, length};
use super::plane::{Pin, Place, Vector};
use crate::Result;

/// A direct push, upright: `h = x`, `r = 1`. The origin is the point on which the load rests at the start.
///
/// ```
/// # use lungful::sizing::linkage::{Direct, Linkage};
/// # use uom::si::{f64::Length, length::millimeter};
/// let mm = Length::new::<millimeter>;
/// let direct = Linkage::Direct(Direct::new(mm(400.0))?);
/// assert_eq!(direct.height(mm(150.0)), mm(150.0));
/// # Ok::<(), lungful::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Direct {
    stroke: f64,
}

impl Direct {
    /// A direct push over a stroke.
    ///
    /// # Errors
    /// [`Error::Geometry`](crate::Error::Geometry) for a stroke that is not above zero and up to 1 km.
    pub fn new(stroke: Length) -> Result<Self> {
        Ok(Self { stroke: length("stroke", stroke)? })
    }
}

impl Motion for Direct {
    fn pose(&self, travel: f64) -> Pose {
        Pose { angle: 0.0, turn: (0.0, 1.0), height: travel, ratio: 1.0, arms: 0.0, arms_raised: 0.0 }
    }

    fn end(&self) -> f64 {
        self.stroke
    }

    fn travel_at(&self, height: f64) -> Option<f64> {
        (height <= self.stroke).then_some(height)
    }

    fn is_even(&self) -> bool {
        true
    }

    fn pins(&self, travel: f64) -> Vec<(Pin, Place)> {
        vec![(Pin::CylinderPin, Vector::new(0.0, travel).place())]
    }

    fn statics(&self, travel: f64, _pose: &Pose, load: f64, efficiency: f64, forces: &mut Forces<'_>) {
        forces.cylinder(Vector::default(), Vector::new(0.0, travel), Vector::new(0.0, load / efficiency));
    }

    fn dead_points(&self) -> Vec<DeadPoint> {
        Vec::new()
    }

    fn cylinder_length(&self, _travel: f64) -> Option<f64> {
        None
    }
}
