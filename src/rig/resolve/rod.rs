//! The cylinder as a column.

use uom::si::f64::Length;

use super::{Reported, Resolver};
use crate::answers::steel_grade;
use crate::frame::material::Material;
use crate::rig::problem::Problem;
use crate::rig::{CylinderTube, RodColumn};
use crate::sizing::cylinder_force::Cylinders;
use crate::sizing::rod_column::Ends;

/// What most rods are made of, and of the steels of the list one that is not too good. Common practice.
const USUAL_ROD: &str = "C45 normalised";

/// The four fields of the tube.
const TUBE: [&str; 4] =
    ["cylinders.tube-outside", "cylinders.tube-wall", "cylinders.tube-length", "cylinders.tube-steel"];

impl Resolver<'_> {
    /// Pin-to-pin length of the closed cylinder, longer than its stroke.
    pub(super) fn closed_length(
        &mut self,
        cylinders: Option<&Cylinders>,
    ) -> Result<Option<Length>, Reported> {
        let path = "cylinders.closed-length";
        let (Some(length), Some(cylinders)) = (self.optional::<Length>(path)?, cylinders) else {
            return Ok(None);
        };
        if length > cylinders.stroke {
            return Ok(Some(length));
        }
        let message = format!(
            "`{path}` ({}) must be more than `cylinders.stroke` ({})",
            self.said(path),
            self.said("cylinders.stroke"),
        );
        let problem = Problem::new(self.place_of(path), message).hint(
            "measure from pin to pin with the rod drawn in; rod and tube each are longer than the stroke",
        );
        Err(self.report(problem))
    }

    /// What is needed to judge the rods. Defaults are noted only where `known` says that a rod has a length to
    /// be judged by.
    pub(super) fn rod_column(
        &mut self,
        closed_length: Option<Length>,
        known: bool,
        cylinders: Option<&Cylinders>,
    ) -> Result<RodColumn, Reported> {
        let ends = self.word("cylinders.ends");
        let steel = self.written("cylinders.rod-steel").and_then(|written| self.steel_of(written));
        let tube = self.tube(cylinders, closed_length);
        let ends = ends?;
        let tube = tube?;
        if let (Some(_), Some(other)) = (&tube, ends.filter(|ends| *ends != "pinned both")) {
            let path = "cylinders.ends";
            let message = format!(
                "`{path}` is \"{other}\" beside the data of a tube; rod and tube together are judged as a column \
                 that is pinned at both ends"
            );
            let problem = Problem::new(self.place_of(path), message).hint(
                "delete the line, or delete the four lines of the tube to judge the rod over the whole length",
            );
            return Err(self.report(problem));
        }
        let ends = match ends {
            Some("fixed and free") => Ends::FixedAndFree,
            Some("fixed and pinned") => Ends::FixedAndPinned,
            Some("fixed both") => Ends::FixedBoth,
            Some(_) => Ends::PinnedBoth,
            None => {
                if known {
                    self.note_default("cylinders.ends", "pinned both");
                }
                Ends::PinnedBoth
            }
        };
        let material: Material = if let Some(material) = steel? {
            material
        } else {
            if known {
                self.note_default("cylinders.rod-steel", USUAL_ROD);
            }
            steel_grade(USUAL_ROD).ok_or(Reported(()))?
        };
        Ok(RodColumn { closed_length, ends, material, tube })
    }

    fn tube(
        &mut self,
        cylinders: Option<&Cylinders>,
        closed_length: Option<Length>,
    ) -> Result<Option<CylinderTube>, Reported> {
        let [outside_path, wall_path, length_path, steel_path] = TUBE;
        let outside = self.optional::<Length>(outside_path);
        let wall = self.optional::<Length>(wall_path);
        let length = self.optional::<Length>(length_path);
        let steel = self.written(steel_path).and_then(|written| self.steel_of(written));
        let (outside, wall, length, material) = match (outside?, wall?, length?, steel?) {
            (None, None, None, None) => return Ok(None),
            (Some(outside), Some(wall), Some(length), Some(material)) => (outside, wall, length, material),
            _ => return Err(self.part_of_a_tube()),
        };
        let bore = cylinders.map_or_else(Length::default, |cylinders| cylinders.bore);
        if outside - 2.0 * wall < bore * (1.0 - 1e-9) || outside <= 2.0 * wall {
            let message = format!(
                "`{outside_path}` ({}) less two walls ({} each) is less than `cylinders.bore` ({})",
                self.said(outside_path),
                self.said(wall_path),
                self.said("cylinders.bore"),
            );
            let problem = Problem::new(self.place_of(outside_path), message)
                .hint("the bore goes inside the tube: outside diameter = bore + two walls");
            return Err(self.report(problem));
        }
        if closed_length.is_some_and(|closed| length >= closed) {
            let message = format!(
                "`{length_path}` ({}) must be less than `cylinders.closed-length` ({})",
                self.said(length_path),
                self.said("cylinders.closed-length"),
            );
            let problem = Problem::new(self.place_of(length_path), message).hint(
                "the tube ends where the rod leaves it; the closed length goes on to the pin of the rod",
            );
            return Err(self.report(problem));
        }
        Ok(Some(CylinderTube { outside, wall, length, material }))
    }

    fn part_of_a_tube(&mut self) -> Reported {
        if self.document.is_incomplete() {
            return Reported(());
        }
        let key = |path: &&str| format!("`{}`", path.rsplit('.').next().unwrap_or(path));
        let (given, missing): (Vec<&str>, Vec<&str>) = TUBE.iter().partition(|path| self.is_stated(path));
        let Some(first) = given.first() else { return Reported(()) };
        let message =
            format!("`{first}` is given without {}", missing.iter().map(key).collect::<Vec<_>>().join(", "));
        let problem = Problem::new(self.place_of(first), message)
            .hint("give all four of the tube, or none: without them the rod is judged over the whole length");
        self.report(problem)
    }
}
