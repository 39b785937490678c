//! A pin through three plates.

use std::f64::consts::{FRAC_PI_4, PI};

use uom::si::f64::{Area, Force, Length, Pressure, Ratio, Torque, Volume};

use crate::frame::material::Material;
use crate::frame::quantity::{length_or_none, real_length};
use crate::{Result, guard};

/// A pin in double shear: a middle plate between two outer ones.
#[derive(Debug, Clone, PartialEq)]
pub struct Pin {
    /// Diameter d.
    pub diameter: Length,
    /// Thickness b of the middle plate.
    pub middle: Length,
    /// Thickness a of each outer plate.
    pub outer: Length,
    /// Clear gap c between the middle plate and each outer one.
    pub gap: Length,
    /// Metal of the pin.
    pub pin: Material,
    /// Metal of the plates.
    pub plates: Material,
}

/// Stresses at a pin, and each over the strength that meets it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PinStress {
    /// Shear stress in the pin.
    pub shear: Pressure,
    /// Shear stress over `Sy / sqrt(3)` of the pin.
    pub shear_ratio: Ratio,
    /// Bending moment in the pin.
    pub moment: Torque,
    /// Bending stress in the pin.
    pub bending: Pressure,
    /// Bending stress over the yield strength of the pin.
    pub bending_ratio: Ratio,
    /// Pressure on the middle plate.
    pub middle_bearing: Pressure,
    /// Pressure on the outer plates.
    pub outer_bearing: Pressure,
    /// The greater pressure over the lower yield strength of pin and plates.
    pub bearing_ratio: Ratio,
}

impl Pin {
    /// What the check leaves out, for the reader.
    pub const CAUTION: &'static str = "tearing of a plate beyond the hole, wear, play in the hole and a pull \
that is not square to the pin are not judged; keep at least one and a half diameters from the hole to the edge, \
and secure the pin against coming out";

    /// Stresses under a force across the pin.
    ///
    /// Shear on two faces `tau = F/(2 pi/4 d2)`, bending `M = F/8 (b + 4 c + 2 a)` and `sigma = 32 M/(pi d3)`,
    /// bearing `F/(d b)` in the middle and `F/(2 d a)` outside. Shear yields at `Sy/sqrt(3)` (distortion
    /// energy).
    ///
    /// Source: statics; the moment by EN 1993-1-8:2005, 3.13.2 and figure 3.11 (from memory), which takes the
    /// force as spread evenly over each plate.
    ///
    /// # Errors
    /// [`Error::OutOfRange`](crate::Error::OutOfRange) if a dimension, a metal or the force is not real.
    ///
    /// # Example
    /// ```
    /// use lungful::{answers::steel_grade, frame::joint::Pin};
    /// use uom::si::{f64::{Force, Length}, force::kilonewton, length::millimeter, pressure::megapascal};
    /// let mm = Length::new::<millimeter>;
    /// let steel = steel_grade("S355").ok_or("no such grade")?;
    /// let pin = Pin { diameter: mm(16.0), middle: mm(10.0), outer: mm(6.0), gap: mm(1.0), pin: steel.clone(), plates: steel };
    /// let stress = pin.stress(Force::new::<kilonewton>(8.0))?;
    /// assert!((stress.shear.get::<megapascal>() - 19.894).abs() < 1e-3); // 8000/(2 * 201.06 mm2)
    /// assert!((stress.bending.get::<megapascal>() - 64.656).abs() < 1e-3); // 1000 * 26 mm over pi/32 * 4096 mm3
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn stress(&self, force: Force) -> Result<PinStress> {
        real_length("pin diameter", self.diameter)?;
        real_length("thickness of the middle plate", self.middle)?;
        real_length("thickness of the outer plates", self.outer)?;
        length_or_none("gap between the plates", self.gap)?;
        self.pin.check()?;
        self.plates.check()?;
        let size = force.abs();
        guard::require(
            size.value <= 1e12,
            "force on the pin",
            force.value,
            "N",
            "a finite force below 1e12 N",
        )?;
        let d = self.diameter;
        let face: Area = FRAC_PI_4 * d * d;
        let shear: Pressure = size / (2.0 * face);
        let moment: Torque = (size / 8.0 * (self.middle + 4.0 * self.gap + 2.0 * self.outer)).into();
        let modulus: Volume = PI / 32.0 * d * d * d;
        let bending: Pressure = size / 8.0 * (self.middle + 4.0 * self.gap + 2.0 * self.outer) / modulus;
        let middle_bearing: Pressure = size / (d * self.middle);
        let outer_bearing: Pressure = size / (2.0 * d * self.outer);
        let (own, plates) = (self.pin.yield_strength, self.plates.yield_strength);
        let weaker = if own < plates { own } else { plates };
        let bearing = greater(middle_bearing, outer_bearing);
        Ok(PinStress {
            shear,
            shear_ratio: 3.0_f64.sqrt() * (shear / own),
            moment,
            bending,
            bending_ratio: bending / own,
            middle_bearing,
            outer_bearing,
            bearing_ratio: bearing / weaker,
        })
    }
}

/// The greater of two pressures.
fn greater(a: Pressure, b: Pressure) -> Pressure {
    if a > b { a } else { b }
}

impl PinStress {
    /// The greater pressure on a plate.
    #[must_use]
    pub fn greatest_bearing(&self) -> Pressure {
        greater(self.middle_bearing, self.outer_bearing)
    }

    /// The greatest of the ratios, with the square sum of bending and shear (EN 1993-1-8:2005, 3.13.2, where
    /// both act at one place; cautious, since they peak at different ones).
    #[must_use]
    pub fn worst_ratio(&self) -> Ratio {
        let together = self.bending_ratio.value.hypot(self.shear_ratio.value);
        Ratio { value: together.max(self.bearing_ratio.value), ..self.bearing_ratio }
    }
}
