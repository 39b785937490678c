//! Cross-sections of tubes, bars, angles and channels: what their dimensions make of them.

mod outline;
mod parts;
mod shape;
mod torsion;
pub mod wall;

pub use outline::Outline;
pub use shape::{Corners, Shape};
use uom::si::f64::{Area, Length, LinearMassDensity, Volume};

use super::material::Material;
use super::quantity::SecondMoment;

/// The axis about which a section bends. An upright load bends a level beam about its level axis.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Axis {
    /// The level axis: the load acts along the height.
    Level,
    /// The upright axis: the load acts along the width.
    Upright,
}

/// What a section does when it bends about one axis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bending {
    /// Second moment of area I.
    pub second_moment: SecondMoment,
    /// Elastic section modulus `Wel = I / c`, with c the greater distance to an extreme fibre.
    pub elastic_modulus: Volume,
    /// Plastic section modulus Wpl.
    pub plastic_modulus: Volume,
    /// Radius of gyration `i = sqrt(I / A)`.
    pub radius_of_gyration: Length,
    /// Distance from the centroid to the extreme fibre above (about the upright axis: to the right).
    pub fibre_above: Length,
    /// Distance from the centroid to the extreme fibre below (about the upright axis: to the left).
    pub fibre_below: Length,
}

/// The properties of a cross-section.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Section {
    /// Area of the metal.
    pub area: Area,
    /// Bending about the level axis.
    pub level: Bending,
    /// Bending about the upright axis.
    pub upright: Bending,
    /// Product of inertia about the centroid; zero where either axis is one of symmetry.
    pub product_moment: SecondMoment,
    /// Torsion constant It of a closed tube or a round bar; `None` for shapes whose torsion is not followed.
    pub torsion_constant: Option<SecondMoment>,
    /// Torsion modulus Ct of the same shapes.
    pub torsion_modulus: Option<Volume>,
    /// Greatest width.
    pub width: Length,
    /// Greatest height.
    pub height: Length,
}

impl Bending {
    /// The greater of the two distances to an extreme fibre.
    #[must_use]
    pub fn extreme_fibre(&self) -> Length {
        if self.fibre_above > self.fibre_below { self.fibre_above } else { self.fibre_below }
    }
}

impl Section {
    /// Bending about an axis.
    #[must_use]
    pub const fn about(&self, axis: Axis) -> &Bending {
        match axis {
            Axis::Level => &self.level,
            Axis::Upright => &self.upright,
        }
    }

    /// Mass per length, `A * rho`.
    #[must_use]
    pub fn mass_per_length(&self, material: &Material) -> LinearMassDensity {
        self.area * material.density
    }

    /// The least second moment about any axis through the centroid, which governs buckling:
    /// `(Ix + Iy)/2 - sqrt(((Ix - Iy)/2)^2 + Ixy^2)`. Source: Mohr's circle of inertia.
    #[must_use]
    pub fn least_second_moment(&self) -> SecondMoment {
        let (level, upright) = (self.level.second_moment, self.upright.second_moment);
        let middle = 0.5 * (level + upright);
        let half = 0.5 * (level - upright).value;
        let radius = half.hypot(self.product_moment.value);
        let least = middle.value - radius;
        SecondMoment { value: least.max(0.0), ..middle }
    }
}
