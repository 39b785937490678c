//! Cross-sections and metals, by dimensions or by name.

use uom::si::f64::Length;

use super::inner::Inner;
use super::value::Written;
use super::{Reported, Resolver};
use crate::Error;
use crate::answers::{steel_grade, steel_grades, stock_tubes};
use crate::frame::material::Material;
use crate::frame::section::{Axis, Corners, Shape};
use crate::rig::document::Stated;
use crate::rig::fields::{SECTIONS, SectionKeys, ways_to_write};
use crate::rig::problem::{Problem, shown};
use crate::rig::tree::{Node, Value};
use crate::rig::unknown::closest;

impl<'d> Resolver<'d> {
    /// A metal by the name of its grade.
    pub(super) fn steel_of(&mut self, written: Written<'d>) -> Result<Option<Material>, Reported> {
        let Some(name) = self.text_of(written)? else { return Ok(None) };
        if let Some(material) = steel_grade(&name) {
            return Ok(Some(material));
        }
        let grades = steel_grades();
        let names: Vec<&str> = grades.iter().map(|grade| grade.name.as_str()).collect();
        let lower: Vec<String> = names.iter().map(|name| name.to_lowercase()).collect();
        let lower: Vec<&str> = lower.iter().map(String::as_str).collect();
        let near = closest(&name.trim().to_lowercase(), &lower);
        let near = near.and_then(|near| names.iter().find(|name| name.to_lowercase() == near));
        let hint = match near {
            Some(near) => format!("did you mean \"{near}\"? The grades are {}", names.join(", ")),
            None => format!("the grades are {}", names.join(", ")),
        };
        let message =
            format!("`{}` is \"{}\", a grade that is not in the list", written.field.path, shown(&name));
        let place = match written.stated {
            Stated::File(node) => self.document.place(node.span.clone()),
            _ => self.place_of(written.field.path),
        };
        Err(self.report(Problem::new(place, message).hint(hint)))
    }

    /// The section under the key `section` of a beam or of a part, or `arm-section` of a linkage.
    pub(super) fn section(&mut self, owner: Inner<'d>) -> Result<(Shape, Axis), Reported> {
        let section = match section_of(owner) {
            Some(node @ Node { value: Value::Table(_), .. }) => {
                let arms = owner.table == "linkage";
                let table = if arms { "linkage.arm-section" } else { "frame.section" };
                Inner { node, table, what: "this section" }
            }
            // That it is no table has been reported.
            Some(_) => return Err(Reported(())),
            None => return Err(self.no_section(owner)),
        };
        let kind = self.required_word_in(section, "frame.section.kind")?;
        let keys = SECTIONS.iter().find(|keys| keys.kind == kind).ok_or(Reported(()))?;
        let foreign = self.keys_of_other_sections(section, keys);
        let axis = self.axis(section, kind);
        let shape = match section.entry("size") {
            Some(_) => self.stock_shape(section, keys),
            None => self.shape(section, kind),
        };
        foreign?;
        let (shape, axis) = (shape?, axis?);
        shape.section().map_err(|error| self.section_misfit(owner, &error))?;
        Ok((shape, axis))
    }

    fn no_section(&mut self, owner: Inner<'d>) -> Reported {
        if self.document.is_incomplete() || self.document.is_meant(&format!("{}.section", owner.table)) {
            return Reported(());
        }
        let way = ways_to_write("frame.section").first().copied().unwrap_or_default();
        let problem =
            Problem::new(self.place_in(owner), format!("{} has no `section` with a `kind`", owner.what))
                .label("shape of the cross-section")
                .hint(format!("add a line such as `{way}`"));
        self.report(problem)
    }

    fn keys_of_other_sections(&mut self, section: Inner<'d>, keys: &SectionKeys) -> Result<(), Reported> {
        let mut outcome = Ok(());
        for node in section.keys() {
            let key = node.key.as_str();
            let known = SECTIONS.iter().any(|keys| keys.needs.contains(&key) || keys.takes.contains(&key));
            if !known || keys.needs.contains(&key) || keys.takes.contains(&key) {
                continue;
            }
            let message = format!("`{key}` is given, but a section of kind \"{}\" has none", keys.kind);
            let hint = format!("delete it; this kind has {}", keys.needs.join(", "));
            let place = self.document.place(node.key_span.clone());
            outcome = Err(self.report(Problem::new(place, message).hint(hint)));
        }
        outcome
    }

    fn axis(&mut self, section: Inner<'d>, kind: &str) -> Result<Axis, Reported> {
        let path = "frame.section.orientation";
        let written = self.written_in(section, path)?;
        Ok(match self.word_of(written)? {
            Some("on its side") => Axis::Upright,
            Some(_) => Axis::Level,
            None => {
                // A column buckles about its weakest axis, however it stands.
                let is_column = section.table == "linkage.arm-section";
                if !is_column && !matches!(kind, "square tube" | "round tube" | "square bar" | "round bar") {
                    self.note_default(path, "upright");
                }
                Axis::Level
            }
        })
    }

    fn corners(&mut self, section: Inner<'d>) -> Result<Corners, Reported> {
        let path = "frame.section.corners";
        let written = self.written_in(section, path)?;
        let word = self.word_of(written);
        let outer = self.optional_in::<Length>(section, "frame.section.outer-radius");
        let inner = self.optional_in::<Length>(section, "frame.section.inner-radius");
        let message = match (word?, outer?, inner?) {
            (None, Some(outer), Some(inner)) => return Ok(Corners::Radii { outer, inner }),
            (None, None, None) => {
                self.note_default(path, "cold formed");
                return Ok(Corners::ColdFormed);
            }
            (Some("hot finished"), None, None) => return Ok(Corners::HotFinished),
            (Some("sharp"), None, None) => return Ok(Corners::Sharp),
            (Some(_), None, None) => return Ok(Corners::ColdFormed),
            (Some(_), _, _) => "`corners` and measured radii are both given",
            (None, Some(_), None) => "`outer-radius` is given without `inner-radius`",
            (None, None, Some(_)) => "`inner-radius` is given without `outer-radius`",
        };
        let key = if section.entry("outer-radius").is_some() { "outer-radius" } else { "inner-radius" };
        let problem = Problem::new(self.place_of_key(section, key), message)
            .hint("give both radii, or `corners` instead of both, or nothing for a cold formed tube");
        Err(self.report(problem))
    }

    fn shape(&mut self, section: Inner<'d>, kind: &str) -> Result<Shape, Reported> {
        match kind {
            "square tube" => {
                let side = self.required_in(section, "frame.section.side");
                let wall = self.required_in(section, "frame.section.wall");
                let corners = self.corners(section);
                Ok(Shape::SquareTube { side: side?, wall: wall?, corners: corners? })
            }
            "rectangular tube" => {
                let (width, height) = self.width_and_height(section);
                let wall = self.required_in(section, "frame.section.wall");
                let corners = self.corners(section);
                Ok(Shape::RectangularTube { width: width?, height: height?, wall: wall?, corners: corners? })
            }
            "round tube" => {
                let diameter = self.required_in(section, "frame.section.diameter");
                let wall = self.required_in(section, "frame.section.wall");
                Ok(Shape::RoundTube { diameter: diameter?, wall: wall? })
            }
            "flat bar" => {
                let (width, height) = self.width_and_height(section);
                Ok(Shape::FlatBar { width: width?, height: height? })
            }
            "square bar" => Ok(Shape::SquareBar { side: self.required_in(section, "frame.section.side")? }),
            "round bar" => {
                Ok(Shape::RoundBar { diameter: self.required_in(section, "frame.section.diameter")? })
            }
            "angle" => {
                let (width, height) = self.width_and_height(section);
                let thickness = self.required_in(section, "frame.section.thickness");
                let root_radius = self.default_in(section, "frame.section.root-radius", "0 mm");
                let toe_radius = self.default_in(section, "frame.section.toe-radius", "0 mm");
                Ok(Shape::Angle {
                    width: width?,
                    height: height?,
                    thickness: thickness?,
                    root_radius: root_radius?,
                    toe_radius: toe_radius?,
                })
            }
            _ => {
                let (width, height) = self.width_and_height(section);
                let web = self.required_in(section, "frame.section.web");
                let flange = self.required_in(section, "frame.section.flange");
                let root_radius = self.default_in(section, "frame.section.root-radius", "0 mm");
                Ok(Shape::Channel {
                    width: width?,
                    height: height?,
                    web: web?,
                    flange: flange?,
                    root_radius: root_radius?,
                })
            }
        }
    }

    fn width_and_height(
        &mut self,
        section: Inner<'d>,
    ) -> (Result<Length, Reported>, Result<Length, Reported>) {
        (self.required_in(section, "frame.section.width"), self.required_in(section, "frame.section.height"))
    }

    /// A tube by its size in the list.
    fn stock_shape(&mut self, section: Inner<'d>, keys: &SectionKeys) -> Result<Shape, Reported> {
        let written = self.written_in(section, "frame.section.size")?;
        let Some(name) = self.text_of(written)? else { return Err(Reported(())) };
        let given = ["outer-radius", "inner-radius", "corners"];
        if let Some(key) = keys.needs.iter().chain(&given).find(|key| section.entry(key).is_some()) {
            let message = format!("this section has a `size` and `{key}`; the size says all dimensions");
            let problem = Problem::new(self.place_of_key(section, key), message)
                .hint("delete it, or give all dimensions instead of the size");
            return Err(self.report(problem));
        }
        let tubes: Vec<_> = stock_tubes().iter().filter(|tube| tube.shape.name() == keys.kind).collect();
        if let Some(tube) = tubes.iter().find(|tube| plain_size(&tube.name) == plain_size(&name)) {
            return Ok(tube.shape);
        }
        let wanted = plain_size(&name);
        let near =
            tubes.iter().min_by_key(|tube| strsim::damerau_levenshtein(&wanted, &plain_size(&tube.name)));
        let hint = near.map_or_else(
            || format!("give the dimensions: {}", keys.needs.join(", ")),
            |near| {
                format!("the nearest name is \"{}\"; or give {} instead", near.name, keys.needs.join(", "))
            },
        );
        let message =
            format!("`size` is \"{}\", which is not in the list of sizes of a {}", shown(&name), keys.kind);
        let place = self.place_of_key(section, "size");
        Err(self.report(Problem::new(place, message).hint(hint)))
    }

    /// Dimensions that make no section, or a part that does not fit, at the key if it can be told.
    pub(super) fn section_misfit(&mut self, owner: Inner<'d>, error: &Error) -> Reported {
        let Some(node) = section_of(owner) else { return Reported(()) };
        let section = Inner { node, table: "frame.section", what: "this section" };
        let said = match error {
            Error::OutOfRange { quantity, value, requirement } => {
                Some((*quantity, value.clone(), *requirement))
            }
            Error::DoesNotFit { quantity, misfit, requirement } => {
                Some((*quantity, misfit.words(self.document.habit()), *requirement))
            }
            _ => None,
        };
        let (key, message) = match said {
            Some((quantity, value, requirement)) => (
                KEYS.iter()
                    .find(|(name, key)| *name == quantity && section.entry(key).is_some())
                    .map(|(_, key)| *key),
                if quantity.contains("inner part") {
                    format!("the {quantity} is {value}; it must be {requirement}")
                } else {
                    format!("the {quantity} of {} is {value}; it must be {requirement}", owner.what)
                },
            ),
            None => (None, format!("{}: {error}", owner.what)),
        };
        let place = match key {
            Some(key) => self.place_of_key(section, key),
            None => self.document.place(node.span.clone()),
        };
        let hint = match error {
            // A part in a solid bar: no dimension is at fault.
            Error::OutOfRange { quantity: "inner part", .. } => {
                "make the beam's own `section` a tube, or write position = \"on top\", \"below\" or \"beside\""
            }
            Error::DoesNotFit { quantity: "tube wall", requirement, .. } if requirement.contains("sharp") => {
                "take a thinner wall, or write corners = \"sharp\" if the tube has no rounded corners"
            }
            _ => "change this dimension, or those that it must fit",
        };
        let problem = Problem::new(place, message).hint(hint);
        self.report(problem)
    }
}

/// The value of the key that describes a section.
fn section_of(owner: Inner<'_>) -> Option<&Node> {
    owner.entry(if owner.table == "linkage" { "arm-section" } else { "section" })
}

/// Under which keys the dimensions of the messages stand.
const KEYS: &[(&str, &str)] = &[
    ("tube width", "side"),
    ("tube width", "width"),
    ("tube height", "height"),
    ("tube wall", "wall"),
    ("tube diameter", "diameter"),
    ("outer corner radius", "outer-radius"),
    ("inner corner radius", "inner-radius"),
    ("bar width", "width"),
    ("bar width", "side"),
    ("bar height", "height"),
    ("bar diameter", "diameter"),
    ("angle width", "width"),
    ("angle height", "height"),
    ("angle thickness", "thickness"),
    ("angle root radius", "root-radius"),
    ("angle toe radius", "toe-radius"),
    ("channel width", "width"),
    ("channel height", "height"),
    ("web thickness", "web"),
    ("flange thickness", "flange"),
    ("channel root radius", "root-radius"),
    ("width of the inner part", "width"),
    ("width of the inner part", "side"),
    ("width of the inner part", "diameter"),
    ("height of the inner part", "height"),
    ("height of the inner part", "side"),
    ("height of the inner part", "diameter"),
];

/// `40 mm x 3 mm` as `40mmx3mm`, whatever sign stands between.
fn plain_size(name: &str) -> String {
    name.to_lowercase().replace(['\u{d7}', '*'], "x").split_whitespace().collect()
}
