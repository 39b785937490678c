//! Parts that carry a bending moment together: a bar inside a tube, a second tube, plates on the sides.

use uom::si::area::square_meter;
use uom::si::f64::{Area, Length, LinearMassDensity, Pressure, Ratio, Torque};
use uom::si::length::meter;
use uom::si::pressure::pascal;
use uom::si::ratio::ratio;

use super::material::{Material, Place};
use super::quantity::{LineLoad, Rigidity, rigidity, second_moment_cm4};
use super::section::{Axis, Bending, Outline, Section, Shape};
use crate::sizing::travel::standard_gravity;
use crate::{Error, Result, guard};

/// How the parts of a member hold together.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Bond {
    /// They lie against each other and bend together, but slide on each other.
    Unjoined,
    /// They are welded along their length so that they act as one.
    Welded,
}

/// Where a further part goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Position {
    /// In the hole of the first part, in its middle.
    Inside,
    /// Against the top of what is there.
    OnTop,
    /// Against the bottom of what is there.
    Below,
    /// At the side, level with the middle of the first part.
    Beside,
}

/// A part of a member.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// What to call it.
    pub name: String,
    /// Its shape.
    pub shape: Shape,
    /// Its own axis about which it bends in the member; [`Axis::Upright`] lays it on its side.
    pub axis: Axis,
    /// Its metal.
    pub material: Material,
}

/// A part at its place.
#[derive(Debug, Clone, PartialEq)]
struct Placed {
    part: Part,
    section: Section,
    /// Height of its centroid above that of the first part.
    height: Length,
    /// Whether it is the first part or nested in it.
    nested: bool,
}

/// A beam's cross-section of one or more parts, bent about its level axis.
///
/// A part that goes over the whole beam counts; one that covers only some of it must not be added.
#[derive(Debug, Clone, PartialEq)]
pub struct Member {
    bond: Bond,
    parts: Vec<Placed>,
    top: Length,
    bottom: Length,
}

/// What one part bears.
#[derive(Debug, Clone, PartialEq)]
pub struct PartStress {
    /// The part.
    pub name: String,
    /// Its share of the moment; in a welded member what it would take by its own stiffness and the pull or
    /// push along it, so the shares add up to one.
    pub share: Ratio,
    /// Greatest stress in its extreme fibre, never negative.
    pub stress: Pressure,
    /// Stress over yield strength.
    pub yield_ratio: Ratio,
}

impl Member {
    /// A member of one part.
    ///
    /// # Errors
    /// As [`Shape::section`] and [`Material::check`].
    pub fn new(part: Part, bond: Bond) -> Result<Self> {
        part.material.check()?;
        let section = part.shape.section()?;
        let bending = section.about(part.axis);
        let (top, bottom) = (bending.fibre_above, -bending.fibre_below);
        let placed = Placed { part, section, height: Length::default(), nested: true };
        Ok(Self { bond, parts: vec![placed], top, bottom })
    }

    /// The member with a further part.
    ///
    /// # Errors
    /// As [`Shape::section`] and [`Material::check`]; [`Error::OutOfRange`] if a part is to go inside a first part
    /// that has no hole, [`Error::DoesNotFit`] if it does not fit into it, or would meet another part there.
    pub fn with(mut self, part: Part, position: Position) -> Result<Self> {
        part.material.check()?;
        let section = part.shape.section()?;
        let bending = section.about(part.axis);
        let (above, below) = (bending.fibre_above, bending.fibre_below);
        let height = match position {
            Position::Inside => {
                self.check_inside(&part)?;
                Length::default()
            }
            Position::OnTop => self.top + below,
            Position::Below => self.bottom - above,
            Position::Beside => Length::default(),
        };
        let (top, bottom) = (height + above, height - below);
        self.top = if top > self.top { top } else { self.top };
        self.bottom = if bottom < self.bottom { bottom } else { self.bottom };
        self.parts.push(Placed { part, section, height, nested: position == Position::Inside });
        Ok(self)
    }

    /// The innermost part so far takes the new one.
    fn check_inside(&self, part: &Part) -> Result<()> {
        let refuse = |value: &str, requirement| {
            Err(Error::OutOfRange { quantity: "inner part", value: value.to_owned(), requirement })
        };
        let host = self.parts.iter().rev().find(|placed| placed.nested);
        let Some((hole, axis)) = host.and_then(|host| Some((host.part.shape.hole()?, host.part.axis))) else {
            let around = host.map_or("nothing", |host| host.part.shape.name());
            return refuse(&format!("in a {around}"), "placed in a tube, which has a hole");
        };
        let Some(outline) = part.shape.outline() else {
            return refuse(part.shape.name(), "a bar or a tube");
        };
        lying(outline, part.axis).goes_into(&lying(hole, axis))
    }

    /// How the parts hold together.
    #[must_use]
    pub const fn bond(&self) -> Bond {
        self.bond
    }

    /// The parts, in the order in which they were added.
    pub fn parts(&self) -> impl Iterator<Item = &Part> {
        self.parts.iter().map(|placed| &placed.part)
    }

    /// Heights of the middles of the parts above that of the first, in the order in which they were added.
    pub fn heights(&self) -> impl Iterator<Item = Length> {
        self.parts.iter().map(|placed| placed.height)
    }

    /// The outer edge as it lies in the beam, of a member that is one tube or bar with flat sides; `None` for others.
    #[must_use]
    pub fn outline(&self) -> Option<Outline> {
        let [Placed { part, .. }] = self.parts.as_slice() else { return None };
        match part.shape {
            Shape::RoundTube { .. } | Shape::RoundBar { .. } => None,
            _ => Some(lying(part.shape.outline()?, part.axis)),
        }
    }

    /// Height over all.
    #[must_use]
    pub fn height(&self) -> Length {
        self.top - self.bottom
    }

    /// Area of all parts.
    #[must_use]
    pub fn area(&self) -> Area {
        self.parts.iter().map(|placed| placed.section.area).fold(Area::new::<square_meter>(0.0), |a, b| a + b)
    }

    /// Mass per length of all parts.
    #[must_use]
    pub fn mass_per_length(&self) -> LinearMassDensity {
        let masses = self.parts.iter().map(|placed| placed.section.mass_per_length(&placed.part.material));
        masses.fold(LinearMassDensity::default(), |a, b| a + b)
    }

    /// Weight per length of all parts, a uniform load on the beam itself.
    #[must_use]
    pub fn weight_per_length(&self) -> LineLoad {
        self.mass_per_length() * standard_gravity()
    }

    /// Bending stiffness.
    ///
    /// Unjoined parts share one curvature and nothing else: `EI = sum(Ei Ii)`, no gain from their distance.
    /// Welded parts stay plane as one: `EI = sum(Ei (Ii + Ai (yi - yc)^2))`, with `yc = sum(Ei Ai yi)/sum(Ei Ai)`.
    ///
    /// Source: bending of composite beams with and without slip, any text on mechanics of materials
    /// (transformed section). Valid while the parts touch over the whole length, and the welds bear the shear
    /// between the parts.
    ///
    /// ```
    /// use lungful::answers::steel_grade;
    /// use lungful::frame::{reinforcement::{Bond, Member, Part, Position}, section::{Axis, Shape}};
    /// use uom::si::{f64::Length, length::millimeter};
    /// let mm = Length::new::<millimeter>;
    /// let steel = steel_grade("S235").ok_or("no such grade")?;
    /// let flat = Part {
    ///     name: "flat".to_owned(),
    ///     shape: Shape::FlatBar { width: mm(40.0), height: mm(10.0) },
    ///     axis: Axis::Level,
    ///     material: steel,
    /// };
    /// let pair = |bond| Member::new(flat.clone(), bond)?.with(flat.clone(), Position::OnTop);
    /// // Two of 40 x 10^3/12 against one of 40 x 20^3/12: four times as stiff.
    /// let gain = (pair(Bond::Welded)?.rigidity() / pair(Bond::Unjoined)?.rigidity()).value;
    /// assert!((gain - 4.0).abs() < 1e-12);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub fn rigidity(&self) -> Rigidity {
        let middle = self.neutral_axis();
        self.parts.iter().map(|placed| self.rigidity_of(placed, middle)).fold(no_rigidity(), |a, b| a + b)
    }

    fn rigidity_of(&self, placed: &Placed, middle: Length) -> Rigidity {
        let modulus = placed.part.material.modulus;
        let own = rigidity(modulus, placed.bending().second_moment);
        match self.bond {
            Bond::Unjoined => own,
            Bond::Welded => {
                let arm = placed.height - middle;
                own + modulus * (placed.section.area * arm * arm)
            }
        }
    }

    /// Height of the common neutral axis above the centroid of the first part, when welded:
    /// `sum(Ei Ai yi)/sum(Ei Ai)`.
    #[must_use]
    pub fn neutral_axis(&self) -> Length {
        let (weighted, sum) = self.parts.iter().fold((0.0, 0.0), |(weighted, sum), placed| {
            let stiffness = (placed.part.material.modulus * placed.section.area).value;
            (weighted + stiffness * placed.height.value, sum + stiffness)
        });
        Length::new::<meter>(weighted / sum)
    }

    /// What each part bears under a moment: `sigma_i = |M| E_i c_i / EI`, with `c_i` the distance of its
    /// farthest fibre from its own centroid when unjoined and from the common axis when welded.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] if the moment is not finite, or so large that the stress is not.
    pub fn stresses(&self, moment: Torque, place: Place) -> Result<Vec<PartStress>> {
        let size = moment.value.abs();
        let stiffness = self.rigidity();
        let middle = self.neutral_axis();
        self.parts
            .iter()
            .map(|placed| {
                let bending = placed.bending();
                let fibre = match self.bond {
                    Bond::Unjoined => bending.extreme_fibre(),
                    Bond::Welded => {
                        let arm = placed.height - middle;
                        let (up, down) = (arm + bending.fibre_above, bending.fibre_below - arm);
                        if up > down { up } else { down }
                    }
                };
                let share = (self.rigidity_of(placed, middle) / stiffness).value;
                let modulus = placed.part.material.modulus.value;
                let stress = Pressure::new::<pascal>(size * modulus * fibre.value / stiffness.value);
                let yield_ratio = placed.part.material.yield_ratio(stress, place);
                guard::require(
                    yield_ratio.value.is_finite(),
                    "bending moment",
                    moment.value,
                    "N m",
                    "a moment that some steel could bear",
                )?;
                Ok(PartStress {
                    name: placed.part.name.clone(),
                    share: Ratio::new::<ratio>(share),
                    stress,
                    yield_ratio,
                })
            })
            .collect()
    }

    /// The least moment at which a part yields.
    #[must_use]
    pub fn yield_moment(&self, place: Place) -> Torque {
        let one = Torque::new::<uom::si::torque::newton_meter>(1.0);
        let worst = self.stresses(one, place).unwrap_or_default();
        let highest = worst.iter().map(|part| part.yield_ratio.value).fold(0.0, f64::max);
        if highest > 0.0 { one / highest } else { Torque::default() }
    }

    /// What these figures leave out, for the reader.
    #[must_use]
    pub fn cautions(&self) -> Vec<&'static str> {
        let mut cautions: Vec<&'static str> =
            self.parts.iter().flat_map(|placed| placed.part.shape.cautions()).copied().collect();
        if self.parts.len() > 1 {
            cautions.push(match self.bond {
                Bond::Unjoined => {
                    "unjoined parts help only where they touch over the whole length; an inner bar that rattles or stops short helps less"
                }
                Bond::Welded => {
                    "welded parts act as one only if the welds bear the shear between them over the whole length; the welds are not judged here"
                }
            });
        }
        cautions
    }
}

impl Placed {
    fn bending(&self) -> &Bending {
        self.section.about(self.part.axis)
    }
}

/// An outline as it lies in the member.
fn lying(outline: Outline, axis: Axis) -> Outline {
    match axis {
        Axis::Level => outline,
        Axis::Upright => Outline { width: outline.height, height: outline.width, ..outline },
    }
}

fn no_rigidity() -> Rigidity {
    rigidity(Pressure::default(), second_moment_cm4(0.0))
}

#[cfg(test)]
mod tests;
