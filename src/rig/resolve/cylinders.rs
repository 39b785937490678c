//! The cylinders.

use uom::si::f64::{Length, Pressure, Ratio};

use super::{Reported, Resolver};
use crate::rig::problem::Problem;
use crate::sizing::cylinder_force::{Action, Cylinders};
use crate::sizing::tank_capacity::Line;
use crate::units::display::{UnitSystem, show, show_at_most};
use crate::units::{Dimension, GaugePressure};

impl Resolver<'_> {
    /// The cylinders.
    ///
    /// # Errors
    /// If a field is missing or wrong, or the rod is not thinner than the bore.
    pub fn cylinders(&mut self) -> Result<Cylinders, Reported> {
        let count = self.count("cylinders.count");
        let count = count.and_then(|count| count.ok_or_else(|| self.missing_path("cylinders.count")));
        let bore = self.required("cylinders.bore");
        let rod = self.required("cylinders.rod");
        let stroke = self.required("cylinders.stroke");
        let action = self.action();
        let rating = self.required("cylinders.rating");
        let friction = self.with_default::<Ratio>("cylinders.friction");
        let clearance = self.with_default("cylinders.clearance");
        let return_spring = self.with_default("cylinders.return-spring");
        let back_pressure = match action {
            Ok(action) => self.back_pressure(action),
            Err(reported) => Err(reported),
        };
        let thinner = match (bore, rod) {
            (Ok(bore), Ok(rod)) => self.rod_within_bore(bore, rod),
            _ => Ok(()),
        };
        thinner?;
        Ok(Cylinders {
            count: count?,
            bore: bore?,
            rod: rod?,
            stroke: stroke?,
            action: action?,
            rating: rating?,
            friction: friction?,
            clearance: clearance?,
            return_spring: return_spring?,
            back_pressure: back_pressure?,
        })
    }

    /// Air goes to and from the rod side of double-acting cylinders alone.
    pub(super) fn rod_side(&mut self, line: &Line, action: Action) -> Result<(), Reported> {
        let mut fits = Ok(());
        for (path, passage, other, like) in [
            ("line.rod-fill", line.rod_fill, line.raise, "like line.raise"),
            ("line.rod-vent", line.rod_vent, line.lower, "like line.lower"),
        ] {
            match action {
                Action::Double if passage.is_none() && other.is_some() => self.note_default(path, like),
                Action::Single if passage.is_some() => {
                    let message = format!("`{path}` is given, but the cylinders are single acting");
                    let problem = Problem::new(self.place_of(path), message).hint(
                        "no air is led to the rod side of a single-acting cylinder; delete the line, or write action = \"double\"",
                    );
                    fits = Err(self.report(problem));
                }
                _ => {}
            }
        }
        fits
    }

    /// Friction to start as a multiple of that in motion; `None` if it is not said.
    ///
    /// # Errors
    /// If it is wrong, or such a friction would take all of the thrust.
    pub(super) fn breakaway(&mut self, cylinders: Option<&Cylinders>) -> Result<Option<Ratio>, Reported> {
        let path = "cylinders.breakaway";
        let breakaway = self.number(path)?;
        let (Some(breakaway), Some(cylinders)) = (breakaway, cylinders) else {
            return Ok(breakaway.map(Ratio::from));
        };
        let tolerance = self.tolerances.get("cylinders.friction").copied().unwrap_or_default();
        let friction = cylinders.friction.value + tolerance;
        if breakaway * friction < 1.0 {
            return Ok(Some(Ratio::from(breakaway)));
        }
        let message = format!(
            "`{path}` ({}) times `cylinders.friction` ({}) is {} of the thrust; it must be below 100 %",
            self.said(path),
            self.said("cylinders.friction"),
            show(breakaway * friction, Dimension::Fraction, UnitSystem::Metric),
        );
        let hint = format!(
            "no pressure would start such pistons: with this friction give less than {}; it is a multiple, so that \
             24 % to start and 8 % in motion are 3",
            show_at_most(1.0 / friction, Dimension::Number, UnitSystem::Metric)
        );
        Err(self.report(Problem::new(self.place_of(path), message).hint(hint)))
    }

    fn action(&mut self) -> Result<Action, Reported> {
        match self.word("cylinders.action")? {
            Some("double") => Ok(Action::Double),
            Some(_) => Ok(Action::Single),
            None => Err(self.missing_path("cylinders.action")),
        }
    }

    fn rod_within_bore(&mut self, bore: Length, rod: Length) -> Result<(), Reported> {
        if rod < bore {
            return Ok(());
        }
        let message = format!(
            "`cylinders.rod` ({}) must be thinner than `cylinders.bore` ({})",
            self.said("cylinders.rod"),
            self.said("cylinders.bore"),
        );
        let problem = Problem::new(self.place_of("cylinders.rod"), message)
            .hint("the bore is the inside diameter of the cylinder, the rod is what comes out of it");
        Err(self.report(problem))
    }

    /// Only a double-acting cylinder holds air on its rod side.
    fn back_pressure(&mut self, action: Action) -> Result<Pressure, Reported> {
        let path = "cylinders.back-pressure";
        if action == Action::Double {
            return Ok(self.with_default::<GaugePressure>(path)?.above_atmosphere());
        }
        let given: Option<GaugePressure> = self.optional(path)?;
        let pressure = given.map_or_else(Pressure::default, GaugePressure::above_atmosphere);
        if pressure > Pressure::default() {
            let message = format!("`{path}` is {}, but the cylinders are single acting", self.said(path));
            let problem = Problem::new(self.place_of(path), message)
                .hint("the rod side of a single-acting cylinder is open; delete the line, or write action = \"double\"");
            return Err(self.report(problem));
        }
        Ok(pressure)
    }
}
