//! What the steel (or the aluminium) is able to bear.

use uom::si::f64::{Length, MassDensity, Pressure, Ratio};
use uom::si::ratio::ratio;

use super::quantity::real_stress;
use crate::{Result, guard};

/// The family of a metal, on which rules beyond plain bending depend.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Family {
    /// Carbon steel.
    CarbonSteel,
    /// Stainless steel.
    StainlessSteel,
    /// Aluminium alloy.
    Aluminium,
}

/// A metal. The grades of `data/steels.toml` are read by
/// [`answers::steel_grades`](crate::answers::steel_grades).
#[derive(Debug, Clone, PartialEq)]
pub struct Material {
    /// Name of the grade.
    pub name: String,
    /// Family.
    pub family: Family,
    /// Least yield (or 0.2 % proof) strength.
    pub yield_strength: Pressure,
    /// Least tensile strength; `None` if not known.
    pub tensile_strength: Option<Pressure>,
    /// Yield strength beside a weld where welding softens the metal; `None` where it does not.
    pub weld_yield_strength: Option<Pressure>,
    /// Modulus of elasticity E.
    pub modulus: Pressure,
    /// Density.
    pub density: MassDensity,
    /// Greatest thickness for which the strengths hold; `None` if not known.
    pub up_to_thickness: Option<Length>,
    /// Where the figures come from.
    pub source: String,
}

impl Material {
    /// Refuses a material whose figures cannot be those of a metal.
    ///
    /// # Errors
    /// [`Error::OutOfRange`](crate::Error::OutOfRange) naming the figure.
    pub fn check(&self) -> Result<()> {
        real_stress("yield strength", self.yield_strength)?;
        real_stress("modulus of elasticity", self.modulus)?;
        for strength in self.tensile_strength.into_iter().chain(self.weld_yield_strength) {
            real_stress("strength", strength)?;
        }
        let density = self.density.value;
        let holds = (1.0..=1e5).contains(&density);
        guard::require(holds, "density", density, "kg/m3", "between 1 kg/m3 and 100000 kg/m3")
    }

    /// Yield strength to judge by: that beside a weld where there is one.
    ///
    /// Aluminium in a hardened temper loses about half of its strength within some 30 mm of a weld; steels of
    /// this table lose none.
    #[must_use]
    pub fn yield_strength_at(&self, place: Place) -> Pressure {
        match place {
            Place::Plain => self.yield_strength,
            Place::BesideWeld => self.weld_yield_strength.unwrap_or(self.yield_strength),
        }
    }

    /// Yield ratio of a stress: `|sigma| / Sy`.
    #[must_use]
    pub fn yield_ratio(&self, stress: Pressure, place: Place) -> Ratio {
        Ratio::new::<ratio>((stress / self.yield_strength_at(place)).value.abs())
    }
}

/// Whether a place in a beam lies beside a weld.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Place {
    /// Away from welds.
    Plain,
    /// At a weld or within some 30 mm of one.
    BesideWeld,
}
