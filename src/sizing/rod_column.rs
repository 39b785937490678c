//! Buckling of piston rods, legs and cylinders stretched to their full length.

use std::f64::consts::PI;

use uom::si::f64::{Area, Force, Length, Pressure, Ratio};
use uom::si::force::newton;
use uom::si::ratio::ratio;

use crate::frame::material::Material;
use crate::frame::quantity::{Rigidity, SecondMoment, length_or_none, real_length};
use crate::frame::section::{Section, Shape};
use crate::{Result, guard};

/// How the ends of a column are held.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Ends {
    /// A pin at each end: K = 1.
    PinnedBoth,
    /// Built in at one end, free at the other: K = 2.
    FixedAndFree,
    /// Built in at one end, a pin at the other: K = 0.7 (0.699 by theory; 0.8 in practice).
    FixedAndPinned,
    /// Built in at both ends: K = 0.5 (0.65 in practice, since no weld or flange holds quite still).
    FixedBoth,
    /// An effective length factor K of the reader's own.
    Factor(Ratio),
}

impl Ends {
    /// Effective length factor K: the column buckles like a pinned one of length `K L`.
    ///
    /// Source: any text on mechanics of materials; practical values after the recommended design values of
    /// the AISC specification (from memory, 0.65 checked against a worked example).
    #[must_use]
    pub fn factor(&self) -> Ratio {
        match *self {
            Self::PinnedBoth => Ratio::new::<ratio>(1.0),
            Self::FixedAndFree => Ratio::new::<ratio>(2.0),
            Self::FixedAndPinned => Ratio::new::<ratio>(0.7),
            Self::FixedBoth => Ratio::new::<ratio>(0.5),
            Self::Factor(factor) => factor,
        }
    }

    /// The factor for ends as they are built, not as theory has them; never below [`factor`](Self::factor).
    #[must_use]
    pub fn practical_factor(&self) -> Ratio {
        match *self {
            Self::FixedAndFree => Ratio::new::<ratio>(2.1),
            Self::FixedAndPinned => Ratio::new::<ratio>(0.8),
            Self::FixedBoth => Ratio::new::<ratio>(0.65),
            Self::PinnedBoth | Self::Factor(_) => self.factor(),
        }
    }
}

/// A straight column of one cross-section under a central push.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Column {
    /// Length L between the ends.
    pub length: Length,
    /// Area A.
    pub area: Area,
    /// Least second moment of area I.
    pub second_moment: SecondMoment,
    /// Modulus of elasticity E.
    pub modulus: Pressure,
    /// Yield strength Sy.
    pub yield_strength: Pressure,
    /// How the ends are held.
    pub ends: Ends,
}

/// Which formula gave the critical force.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Regime {
    /// Slender: it buckles while elastic.
    Euler,
    /// Stocky: yielding takes part.
    Johnson,
}

/// The force at which a column gives way.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Critical {
    /// The critical force.
    pub force: Force,
    /// The elastic critical force by itself.
    pub elastic: Force,
    /// Which formula holds.
    pub regime: Regime,
}

impl Critical {
    /// Safety factor under a push; `None` without one.
    #[must_use]
    pub fn safety(&self, push: Force) -> Option<Ratio> {
        let factor = (self.force / push).value;
        (push > Force::default() && factor.is_finite()).then(|| Ratio::new::<ratio>(factor))
    }
}

/// What the critical forces of this file leave out, for the reader.
pub const CAUTION: &str = "a real rod is bent a little, pushed off its centre and loose in its guides, so it \
gives way below the critical force; keep a safety factor of 3 or more, and do not count a side force as borne";

/// Slenderness at which Euler and Johnson meet: `Cc = sqrt(2 pi^2 E / Sy)`, to be compared with `K L / r`.
///
/// Source: Johnson's parabola drawn tangent to Euler's curve; any text on machine design.
///
/// # Errors
/// [`Error::OutOfRange`](crate::Error::OutOfRange) if modulus or yield strength is not above zero.
///
/// ```
/// use lungful::sizing::rod_column::transition_slenderness;
/// use uom::si::{f64::Pressure, pressure::megapascal};
/// let mpa = Pressure::new::<megapascal>;
/// let cc = transition_slenderness(mpa(210_000.0), mpa(235.0))?;
/// assert!((cc.value - 132.82).abs() < 0.01); // sqrt(2 * 9.8696 * 210000/235)
/// # Ok::<(), lungful::Error>(())
/// ```
pub fn transition_slenderness(modulus: Pressure, yield_strength: Pressure) -> Result<Ratio> {
    guard::positive("modulus of elasticity", modulus.value, "Pa")?;
    guard::positive("yield strength", yield_strength.value, "Pa")?;
    let slenderness = PI * (2.0 * (modulus / yield_strength).value).sqrt();
    guard::require(slenderness.is_finite(), "modulus of elasticity", modulus.value, "Pa", "that of a metal")?;
    Ok(Ratio::new::<ratio>(slenderness))
}

impl Column {
    /// A column of a section, which buckles about its weakest axis: a leg, a strut, a rod.
    ///
    /// Angles and channels may twist out of line at less than this; that is not judged.
    #[must_use]
    pub fn of(section: &Section, material: &Material, length: Length, ends: Ends) -> Self {
        Self {
            length,
            area: section.area,
            second_moment: section.least_second_moment(),
            modulus: material.modulus,
            yield_strength: material.yield_strength,
            ends,
        }
    }

    /// A solid round rod over its length between the pins.
    ///
    /// # Errors
    /// [`Error::OutOfRange`](crate::Error::OutOfRange) if the diameter is not a real length.
    pub fn rod(diameter: Length, material: &Material, length: Length, ends: Ends) -> Result<Self> {
        Ok(Self::of(&Shape::RoundBar { diameter }.section()?, material, length, ends))
    }

    /// Slenderness `K L / r`, with `r = sqrt(I / A)`.
    ///
    /// # Errors
    /// As [`critical`](Self::critical).
    pub fn slenderness(&self) -> Result<Ratio> {
        self.check()?;
        let radius = (self.second_moment / self.area).value.sqrt();
        let slenderness = self.ends.factor().value * self.length.value / radius;
        guard::positive("slenderness", slenderness, "")?;
        Ok(Ratio::new::<ratio>(slenderness))
    }

    /// Critical force: Euler's `pi^2 E I / (K L)^2` where `K L / r >= Cc`, else Johnson's
    /// `A Sy (1 - Sy (K L / r)^2 / (4 pi^2 E))`; see [`transition_slenderness`].
    ///
    /// Source: any text on machine design. Valid for a straight column under a central push, without local
    /// buckling of thin walls; [`CAUTION`] says what it leaves out.
    ///
    /// # Errors
    /// [`Error::OutOfRange`](crate::Error::OutOfRange) naming the dimension or figure that is not real.
    ///
    /// # Example
    /// ```
    /// use lungful::answers::steel_grade;
    /// use lungful::sizing::rod_column::{Column, Ends, Regime};
    /// use uom::si::{f64::Length, force::newton, length::millimeter};
    /// let mm = Length::new::<millimeter>;
    /// let steel = steel_grade("S355").ok_or("no such grade")?;
    /// let rod = Column::rod(mm(20.0), &steel, mm(950.0), Ends::PinnedBoth)?;
    /// let critical = rod.critical()?;
    /// assert_eq!(critical.regime, Regime::Euler);
    /// // pi^2 * 210e9 * (pi/64 * 0.02^4) / 0.95^2
    /// assert!((critical.force.get::<newton>() - 18_037.0).abs() < 1.0);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn critical(&self) -> Result<Critical> {
        self.check()?;
        let effective = self.ends.factor().value * self.length;
        let elastic: Force = PI * PI * (self.modulus * self.second_moment) / (effective * effective);
        critical(elastic, self.area, self.yield_strength)
    }

    fn check(&self) -> Result<()> {
        real_length("length of the column", self.length)?;
        guard::positive("area of the column", self.area.value, "m2")?;
        guard::positive("second moment of the column", self.second_moment.value, "m4")?;
        guard::positive("modulus of elasticity", self.modulus.value, "Pa")?;
        let factor = self.ends.factor().value;
        guard::require((0.01..=100.0).contains(&factor), "end factor K", factor, "", "between 0.01 and 100")
    }
}

/// Johnson's parabola in terms of forces: with `Py = A Sy`, slenderness is beyond `Cc` just where the elastic
/// force is below `Py / 2`, and the parabola is `Py (1 - Py / (4 Pe))`.
fn critical(elastic: Force, area: Area, yield_strength: Pressure) -> Result<Critical> {
    guard::positive("elastic critical force", elastic.value, "N")?;
    guard::positive("yield strength", yield_strength.value, "Pa")?;
    let squash: Force = area * yield_strength;
    guard::positive("squash load", squash.value, "N")?;
    Ok(if elastic <= 0.5 * squash {
        Critical { force: elastic, elastic, regime: Regime::Euler }
    } else {
        let force = squash * (1.0 - (squash / elastic).value / 4.0);
        Critical { force, elastic, regime: Regime::Johnson }
    })
}

/// A cylinder stretched out, as a column of two parts in line: a stiff tube and a slender rod, a pin at each
/// outer end, continuous where they meet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SteppedColumn {
    /// Length of the tube from its pin to where the rod leaves it.
    pub tube_length: Length,
    /// Bending stiffness of the tube.
    pub tube: Rigidity,
    /// Length of the rod from there to its pin.
    pub rod_length: Length,
    /// Bending stiffness of the rod.
    pub rod: Rigidity,
    /// Area of the rod, the weaker of the two.
    pub rod_area: Area,
    /// Yield strength of the rod.
    pub rod_yield_strength: Pressure,
}

impl SteppedColumn {
    /// Elastic critical force of a column of two parts, pinned at both ends.
    ///
    /// Bent out by y, each part obeys `E I y'' = -P y`, so `y1 = A sin(k1 x)` from the one pin and
    /// `y2 = B sin(k2 x)` from the other, `k = sqrt(P / E I)`. Equal deflection and opposite slope (each counted
    /// from its own pin) where they meet give
    /// `tan(k1 L1)/k1 + tan(k2 L2)/k2 = 0`, solved here as `k1 cot(k1 L1) + k2 cot(k2 L2) = 0`, whose left side
    /// falls steadily from `1/L1 + 1/L2` at P = 0 to minus infinity where the first of the `k L` is pi: one
    /// root, the least critical force.
    ///
    /// Source: derivation above; the same equation stands in texts on elastic stability. Valid while tube and
    /// rod stay in line where they meet: play in the guides lowers the force.
    ///
    /// # Errors
    /// [`Error::OutOfRange`](crate::Error::OutOfRange) naming the length or stiffness that is not real.
    pub fn elastic_critical(&self) -> Result<Force> {
        length_or_none("length of the tube", self.tube_length)?;
        real_length("length of the rod", self.rod_length)?;
        guard::positive("stiffness of the tube", self.tube.value, "N m2")?;
        guard::positive("stiffness of the rod", self.rod.value, "N m2")?;
        let (l1, l2) = (self.tube_length.value, self.rod_length.value);
        let (b1, b2) = (self.tube.value, self.rod.value);
        let alone = |l: f64, b: f64| PI * PI * b / (l * l);
        if self.tube_length == Length::default() {
            return Ok(Force::new::<newton>(alone(l2, b2)));
        }
        // Below the critical force k1 cot + k2 cot is positive; times both sines it has no poles.
        let holds = |force: f64| {
            let (k1, k2) = ((force / b1).sqrt(), (force / b2).sqrt());
            let (sin1, cos1) = (k1 * l1).sin_cos();
            let (sin2, cos2) = (k2 * l2).sin_cos();
            k1 * cos1 * sin2 + k2 * cos2 * sin1 > 0.0
        };
        // The whole length of the weaker part buckles at no more, each part alone between pins at no less.
        let mut low = alone(l1 + l2, b1.min(b2)) * (1.0 - 1e-9);
        let mut high = alone(l1, b1).min(alone(l2, b2)).min(alone(l1 + l2, b1.max(b2)) * (1.0 + 1e-9));
        guard::require(
            high.is_finite() && low > 0.0,
            "stiffness of the rod",
            b2,
            "N m2",
            "that of a rod of metal, as its length is",
        )?;
        for _ in 0..100 {
            let middle = f64::midpoint(low, high);
            if middle <= low || middle >= high {
                break;
            }
            if holds(middle) {
                low = middle;
            } else {
                high = middle;
            }
        }
        Ok(Force::new::<newton>(f64::midpoint(low, high)))
    }

    /// Critical force with yielding: Johnson's parabola on the area of the rod where the elastic force is
    /// above half of its squash load.
    ///
    /// The parabola is one for columns of one section; its use with the elastic force of a stepped one is an
    /// estimate on the cautious side for a tube that is stiffer than its rod.
    ///
    /// # Errors
    /// As [`elastic_critical`](Self::elastic_critical), and if area or strength is not above zero.
    ///
    /// # Example
    /// ```
    /// use lungful::frame::quantity::{rigidity, second_moment_cm4};
    /// use lungful::sizing::rod_column::SteppedColumn;
    /// use uom::si::{area::square_millimeter, f64::{Area, Length, Pressure}, force::newton};
    /// use uom::si::{length::millimeter, pressure::{gigapascal, megapascal}};
    /// let mm = Length::new::<millimeter>;
    /// let same = rigidity(Pressure::new::<gigapascal>(210.0), second_moment_cm4(2.0));
    /// let column = SteppedColumn {
    ///     tube_length: mm(400.0),
    ///     tube: same,
    ///     rod_length: mm(600.0),
    ///     rod: same,
    ///     rod_area: Area::new::<square_millimeter>(500.0),
    ///     rod_yield_strength: Pressure::new::<megapascal>(355.0),
    /// };
    /// // Equal parts are one column of 1 m: pi^2 * 4200 N m2 / 1 m2.
    /// assert!((column.critical()?.force.get::<newton>() - 41_452.34).abs() < 0.01);
    /// # Ok::<(), lungful::Error>(())
    /// ```
    pub fn critical(&self) -> Result<Critical> {
        guard::positive("area of the rod", self.rod_area.value, "m2")?;
        critical(self.elastic_critical()?, self.rod_area, self.rod_yield_strength)
    }
}

/// Length of a cylinder from pin to pin with its rod out: closed length and stroke.
///
/// ```
/// use lungful::sizing::rod_column::extended_length;
/// use uom::si::{f64::Length, length::millimeter};
/// let mm = Length::new::<millimeter>;
/// assert!((extended_length(mm(550.0), mm(400.0)).get::<millimeter>() - 950.0).abs() < 1e-9);
/// ```
#[must_use]
pub fn extended_length(closed: Length, stroke: Length) -> Length {
    closed + stroke
}

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;
    use uom::si::length::meter;

    use super::*;
    use crate::frame::quantity::{rigidity, second_moment_cm4};
    use crate::units::pressure::pascals;

    fn column(length_m: f64) -> Column {
        let section = Shape::RoundBar { diameter: Length::new::<meter>(0.02) }.section().unwrap();
        Column {
            length: Length::new::<meter>(length_m),
            area: section.area,
            second_moment: section.least_second_moment(),
            modulus: pascals(210e9),
            yield_strength: pascals(355e6),
            ends: Ends::PinnedBoth,
        }
    }

    #[test]
    fn the_two_formulas_meet_at_the_transition() {
        let cc = transition_slenderness(pascals(210e9), pascals(355e6)).unwrap().value;
        // r = d/4 of a round bar.
        let length = cc * 0.005;
        let (slender, stocky) = (column(length * (1.0 + 1e-9)), column(length * (1.0 - 1e-9)));
        let (slender, stocky) = (slender.critical().unwrap(), stocky.critical().unwrap());
        assert_eq!((slender.regime, stocky.regime), (Regime::Euler, Regime::Johnson));
        // A relative step of 2e-9 in length is one of 4e-9 in force.
        assert_relative_eq!(slender.force.value, stocky.force.value, max_relative = 1e-8);
    }

    #[test]
    fn the_form_in_forces_is_the_form_in_slenderness() {
        let short = column(0.3);
        let slenderness = short.slenderness().unwrap().value;
        let squash = short.area.value * 355e6;
        let johnson = squash * (1.0 - 355e6 * slenderness * slenderness / (4.0 * PI * PI * 210e9));
        assert_relative_eq!(short.critical().unwrap().force.value, johnson, max_relative = 1e-13);
    }

    #[test]
    fn each_end_condition_scales_by_the_square_of_its_factor() {
        let pinned = column(2.0).critical().unwrap().elastic.value;
        for (ends, k) in [(Ends::FixedAndFree, 2.0), (Ends::FixedAndPinned, 0.7), (Ends::FixedBoth, 0.5)] {
            let held = Column { ends, ..column(2.0) }.critical().unwrap().elastic.value;
            assert_relative_eq!(held, pinned / (k * k), max_relative = 1e-13);
            assert!(ends.practical_factor() >= ends.factor());
        }
    }

    #[test]
    fn a_stiffer_tube_never_lowers_the_critical_force() {
        let stepped = |tube_cm4: f64| SteppedColumn {
            tube_length: Length::new::<meter>(0.5),
            tube: rigidity(pascals(210e9), second_moment_cm4(tube_cm4)),
            rod_length: Length::new::<meter>(0.4),
            rod: rigidity(pascals(210e9), second_moment_cm4(1.0)),
            rod_area: Area::new::<uom::si::area::square_centimeter>(3.0),
            rod_yield_strength: pascals(355e6),
        };
        let forces: Vec<f64> = [0.01, 0.1, 1.0, 3.0, 10.0, 1e3, 1e7]
            .map(|i| stepped(i).elastic_critical().unwrap().value)
            .to_vec();
        assert!(forces.windows(2).all(|pair| pair[0] < pair[1]), "{forces:?}");
        // A rigid tube: the column turns about its pin, k L1 + tan(k L2) = 0 with k of the rod.
        let k = (forces[6] / (210e9 * 1e-8)).sqrt();
        assert_relative_eq!(k * 0.5, -(k * 0.4).tan(), max_relative = 1e-5);
    }

    #[test]
    fn what_is_no_column_is_refused() {
        for bad in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            assert!(column(bad).critical().is_err());
            assert!(Column { yield_strength: pascals(bad), ..column(1.0) }.critical().is_err());
        }
    }
}
