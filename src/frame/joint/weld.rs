//! Fillet welds by the stress in their throat.

use std::f64::consts::FRAC_1_SQRT_2;

use uom::si::f64::{Area, Force, Length, Pressure, Torque, Volume};
use uom::si::force::newton;

use crate::frame::material::{Family, Material};
use crate::frame::quantity::{reaches, real_length};
use crate::{Result, guard};

/// Partial factor for welds. Source: EN 1993-1-8:2005, table 2.1 (from memory).
const WELD_FACTOR: f64 = 1.25;

/// A fillet weld, or several in line with the same force on each length.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FilletWeld {
    /// Throat a, the height of the triangle of weld metal.
    pub throat: Length,
    /// Length of all welds together, whose force is shared.
    pub length: Length,
    /// Ends that are not carried round a corner; each takes one throat off the length.
    pub open_ends: u32,
}

/// Force on a weld, in parts square to each other.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct WeldForce {
    /// Along the weld.
    pub along: Force,
    /// Across the weld, in the plane of the plate.
    pub across: Force,
    /// Out of the plane of the plate.
    pub out: Force,
}

/// A tube welded all round to a plate.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TubeWeld {
    /// Outside width of the tube.
    pub width: Length,
    /// Outside height of the tube, along the shear force.
    pub height: Length,
    /// Throat a of the weld.
    pub throat: Length,
}

/// Throat of a fillet weld with equal legs: `a = z / sqrt(2)`.
///
/// ```
/// use lungful::frame::joint::throat;
/// use uom::si::{f64::Length, length::millimeter};
/// assert!((throat(Length::new::<millimeter>(5.0)).get::<millimeter>() - 3.5355).abs() < 1e-4);
/// ```
#[must_use]
pub fn throat(leg: Length) -> Length {
    leg * FRAC_1_SQRT_2
}

/// Correlation factor of a structural steel: 0.8 up to S235, 0.85 up to S275, 0.9 above.
///
/// Source: EN 1993-1-8:2005, table 4.1 (from memory); 1.0 applies to S420 and S460, and to stainless steel by
/// EN 1993-1-4.
#[must_use]
pub fn correlation_factor(material: &Material) -> f64 {
    let mpa = material.yield_strength.value / 1e6;
    match material.family {
        Family::CarbonSteel if mpa <= 240.0 => 0.8,
        Family::CarbonSteel if mpa <= 280.0 => 0.85,
        Family::CarbonSteel if mpa <= 360.0 => 0.9,
        _ => 1.0,
    }
}

/// Design strength of a fillet weld on its throat: `fu / (sqrt(3) beta_w gamma_M2)`, with `gamma_M2` = 1.25.
///
/// Source: EN 1993-1-8:2005, 4.5.3.3, simplified method (from memory). `fu` is the tensile strength of the
/// weaker part joined, `beta_w` its [`correlation_factor`]. For weld metal that matches the part. Loads are to
/// carry the safety factor of the reader's rules; it is not in the strength.
///
/// `None` for aluminium, where welds are weaker than their surroundings and this rule does not hold, and for a
/// metal whose tensile strength is not known.
///
/// ```
/// use lungful::{answers::steel_grade, frame::joint::weld_strength};
/// use uom::si::pressure::megapascal;
/// let strength = steel_grade("S235").and_then(|steel| weld_strength(&steel)).ok_or("no strength")?;
/// assert!((strength.get::<megapascal>() - 207.846).abs() < 1e-3); // 360/(1.7320508 * 0.8 * 1.25)
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[must_use]
pub fn weld_strength(material: &Material) -> Option<Pressure> {
    if material.family == Family::Aluminium {
        return None;
    }
    let shear = 3.0_f64.sqrt() * correlation_factor(material) * WELD_FACTOR;
    material.tensile_strength.map(|strength| strength / shear)
}

impl FilletWeld {
    /// The shortest length that may be counted: six throats and 30 mm at least, and a throat for each open end.
    #[must_use]
    pub fn shortest(&self) -> Length {
        self.least_that_counts() + f64::from(self.open_ends) * self.throat
    }

    fn least_that_counts(&self) -> Length {
        let (six, thirty) = (6.0 * self.throat, Length::new::<uom::si::length::millimeter>(30.0));
        if six > thirty { six } else { thirty }
    }

    /// What the check leaves out, for the reader.
    pub const CAUTION: &'static str = "a sound weld, full penetration at the root and matching weld metal are \
taken for granted; bending across the weld, fatigue and the metal beside the weld are not judged";

    /// Stress in the throat: the resultant of the force over `a l`, whatever its direction.
    ///
    /// `tau = sqrt(F1^2 + F2^2 + F3^2)/(a l)`, `l` the length less one throat for each open end.
    ///
    /// Source: EN 1993-1-8:2005, 4.5.1 and 4.5.3.3 (from memory).
    ///
    /// # Errors
    /// [`Error::OutOfRange`](crate::Error::OutOfRange) if a dimension or force is not real;
    /// [`Error::DoesNotFit`](crate::Error::DoesNotFit) if the weld is shorter than six throats or 30 mm, below which it
    /// must not be counted (EN 1993-1-8:2005, 4.5.1).
    ///
    /// # Example
    /// ```
    /// use lungful::frame::joint::{FilletWeld, WeldForce};
    /// use uom::si::{f64::{Force, Length}, force::newton, length::millimeter, pressure::megapascal};
    /// let mm = Length::new::<millimeter>;
    /// let weld = FilletWeld { throat: mm(4.0), length: mm(100.0), open_ends: 0 };
    /// let force = WeldForce {
    ///     along: Force::new::<newton>(3000.0),
    ///     out: Force::new::<newton>(4000.0),
    ///     ..WeldForce::default()
    /// };
    /// let stress = weld.stress(&force)?;
    /// assert!((stress.get::<megapascal>() - 12.5).abs() < 1e-9); // 5000 N / 400 mm2
    /// # Ok::<(), lungful::Error>(())
    /// ```
    pub fn stress(&self, force: &WeldForce) -> Result<Pressure> {
        real_length("weld throat", self.throat)?;
        real_length("weld length", self.length)?;
        let effective = self.length - f64::from(self.open_ends) * self.throat;
        let least = self.least_that_counts();
        let holds = effective.value >= least.value * (1.0 - 1e-9);
        reaches(holds, "weld length that counts", effective, least, "at least six throats and 30 mm")?;
        let resultant = force.along.value.hypot(force.across.value).hypot(force.out.value);
        guard::require(
            resultant <= 1e12,
            "force on the weld",
            resultant,
            "N",
            "a finite force below 1e12 N",
        )?;
        Ok(Force::new::<newton>(resultant) / (self.throat * effective))
    }
}

impl TubeWeld {
    /// What the check leaves out, for the reader.
    pub const CAUTION: &'static str = "a sound weld all round and a plate that does not give are taken for \
granted; fatigue and the metal beside the weld are not judged";

    /// Stress in the throat of the weld under a shear force and a bending moment: the weld as lines of width a,
    /// `tau_V = V/(2 a (b + h))`, `tau_M = M/(a (b h + h2/3))`, together `sqrt(tau_V^2 + tau_M^2)`.
    ///
    /// Source: the weld treated as a line, common practice in texts on machine design; the even spread of the
    /// shear over all four sides is theirs.
    ///
    /// # Errors
    /// [`Error::OutOfRange`](crate::Error::OutOfRange) if a dimension, force or moment is not real.
    pub fn stress(&self, shear: Force, moment: Torque) -> Result<Pressure> {
        real_length("tube width", self.width)?;
        real_length("tube height", self.height)?;
        real_length("weld throat", self.throat)?;
        guard::require(
            shear.value.abs() <= 1e12,
            "force on the weld",
            shear.value,
            "N",
            "a finite force below 1e12 N",
        )?;
        guard::require(
            moment.value.abs() <= 1e12,
            "moment on the weld",
            moment.value,
            "N m",
            "a finite moment below 1e12 N m",
        )?;
        let area: Area = 2.0 * self.throat * (self.width + self.height);
        let modulus: Volume = self.throat * (self.width * self.height + self.height * self.height / 3.0);
        let direct: Pressure = shear / area;
        let bending = moment.value / modulus.value;
        Ok(Pressure { value: direct.value.hypot(bending), ..direct })
    }
}

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;
    use uom::si::length::millimeter;
    use uom::si::torque::newton_meter;

    use super::*;

    fn mm(value: f64) -> Length {
        Length::new::<millimeter>(value)
    }

    #[test]
    fn a_weld_round_a_tube_bends_like_the_thin_tube_that_it_is() {
        // Thin walls of 0.001 mm about lines 40 x 60 mm: I of the lines from the difference of two boxes.
        let t = 1e-6;
        let weld =
            TubeWeld { width: mm(40.0), height: mm(60.0), throat: Length::new::<uom::si::length::meter>(t) };
        let box_of = |grow: f64| (0.04 + grow) * (0.06_f64 + grow).powi(3) / 12.0;
        let modulus = (box_of(t) - box_of(-t)) / 0.03;
        let stress = weld.stress(Force::default(), Torque::new::<newton_meter>(10.0)).unwrap();
        // The walls' own thickness is a share 1e-6/0.06 of the height.
        assert_relative_eq!(stress.value, 10.0 / modulus, max_relative = 1e-4);
    }

    #[test]
    fn open_ends_shorten_the_weld_until_it_no_longer_counts() {
        let force = WeldForce { across: Force::new::<newton>(1000.0), ..WeldForce::default() };
        let weld =
            |length, open_ends| FilletWeld { throat: mm(4.0), length: mm(length), open_ends }.stress(&force);
        // 1000 N over 4 mm * (50 - 8) mm.
        assert_relative_eq!(weld(50.0, 2).unwrap().value, 1000.0 / (0.004 * 0.042), max_relative = 1e-12);
        assert!(weld(30.0, 0).is_ok());
        assert!(weld(30.0, 1).is_err());
    }

    #[test]
    fn forces_that_are_not_finite_are_refused() {
        let weld = FilletWeld { throat: mm(4.0), length: mm(100.0), open_ends: 0 };
        let force = WeldForce { across: Force::new::<newton>(f64::NAN), ..WeldForce::default() };
        assert!(weld.stress(&force).is_err());
    }
}
