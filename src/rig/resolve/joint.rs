//! Pins and welds.

use uom::si::f64::{Force, Length};

use super::inner::Inner;
use super::{Reported, Resolver};
use crate::Error;
use crate::answers::steel_grade;
use crate::frame::beam::Support;
use crate::frame::joint::{FilletWeld, Pin, TubeWeld, WeldForce, throat};
use crate::frame::material::Material;
use crate::rig::document::Stated;
use crate::rig::problem::{Problem, shown};
use crate::rig::tree::{Node, Value};
use crate::rig::unknown::closest;
use crate::rig::{FrameBeam, PinForce, RigPin, RigWeld, TubeLoad, WeldJoint};
use crate::sizing::linkage;
use crate::units::Dimension;
use crate::units::display::{show, show_at_least};

/// More pins or welds than anybody describes.
const MOST: usize = 100;

/// What plates are made of unless it is said: the weakest of the structural steels.
const USUAL_PLATE: &str = "S235";

impl<'d> Resolver<'d> {
    /// The pins. `of_linkage` are those that the linkage has, if it is known.
    ///
    /// # Errors
    /// If a pin is described wrongly.
    pub(super) fn pins(&mut self, of_linkage: Option<&[linkage::Pin]>) -> Result<Vec<RigPin>, Reported> {
        let items = self.repeated("pin", "this pin", MOST, "describe only the pins that bear most")?;
        let pins: Vec<_> = items.iter().map(|item| self.pin(*item, of_linkage)).collect();
        let pins = pins.into_iter().collect::<Result<Vec<_>, _>>()?;
        self.own_names(&items, "pin.name", pins.iter().map(|pin| pin.name.as_str()))?;
        Ok(pins)
    }

    /// The welds. `beams` are those of the frame, if they are known.
    ///
    /// # Errors
    /// If a weld is described wrongly.
    pub(super) fn welds(&mut self, beams: Option<&[FrameBeam]>) -> Result<Vec<RigWeld>, Reported> {
        let items = self.repeated("weld", "this weld", MOST, "describe only the welds that bear most")?;
        let welds: Vec<_> = items.iter().map(|item| self.weld(*item, beams)).collect();
        let welds = welds.into_iter().collect::<Result<Vec<_>, _>>()?;
        self.own_names(&items, "weld.name", welds.iter().map(|weld| weld.name.as_str()))?;
        Ok(welds)
    }

    /// The tables of a list; `cure` is for one that is longer than `most`.
    pub(super) fn repeated(
        &mut self,
        table: &'static str,
        what: &'static str,
        most: usize,
        cure: &str,
    ) -> Result<Vec<Inner<'d>>, Reported> {
        let items = match self.document.stated(table) {
            Stated::File(Node { value: Value::List(items), .. }) => items,
            Stated::Absent => return Ok(Vec::new()),
            // That it is no list of tables has been reported.
            _ => return Err(Reported(())),
        };
        self.given.insert(table);
        if items.len() > most {
            let message = format!("the rig has {} tables [[{table}]]; at most {most} are read", items.len());
            let problem = Problem::new(self.place_of(table), message).hint(cure);
            return Err(self.report(problem));
        }
        Ok(items.iter().map(|node| Inner { node, table, what }).collect())
    }

    /// Checks name what they judge, so that no two may have one name.
    fn own_names<'n>(
        &mut self,
        items: &[Inner<'d>],
        path: &'static str,
        names: impl Iterator<Item = &'n str>,
    ) -> Result<(), Reported> {
        let mut seen: Vec<&str> = Vec::new();
        for (item, name) in items.iter().zip(names) {
            if seen.contains(&name) {
                let table = path.trim_end_matches(".name");
                let message = format!("two {table}s are called \"{}\"", shown(name));
                let problem = Problem::new(self.place_of_key(*item, "name"), message)
                    .hint(format!("give each {table} a name of its own"));
                return Err(self.report(problem));
            }
            seen.push(name);
        }
        Ok(())
    }

    pub(super) fn name(&mut self, item: Inner<'d>, path: &'static str) -> Result<String, Reported> {
        let written = self.written_in(item, path)?;
        match self.text_of(written)? {
            Some(name) => Ok(name),
            None => Err(self.missing_in(item, path)),
        }
    }

    pub(super) fn steel(&mut self, item: Inner<'d>, path: &'static str) -> Result<Material, Reported> {
        let written = self.written_in(item, path)?;
        match self.steel_of(written)? {
            Some(material) => Ok(material),
            None => Err(self.missing_in(item, path)),
        }
    }

    fn pin(&mut self, pin: Inner<'d>, of_linkage: Option<&[linkage::Pin]>) -> Result<RigPin, Reported> {
        let name = self.name(pin, "pin.name");
        let diameter = self.required_in(pin, "pin.diameter");
        let steel = self.steel(pin, "pin.steel");
        let plates = self.required_in(pin, "pin.plates");
        let tongue = self.required_in(pin, "pin.tongue");
        let gap = self.default_in(pin, "pin.gap", "0 mm");
        let plate_steel = self.written_in(pin, "pin.plate-steel").and_then(|written| self.steel_of(written));
        let force = self.pin_force(pin, of_linkage);
        let dynamic_factor = self.dynamic_factor(pin, "pin.dynamic-factor")?;
        let plate_steel = if let Some(material) = plate_steel? {
            material
        } else {
            self.note_default("pin.plate-steel", USUAL_PLATE);
            steel_grade(USUAL_PLATE).ok_or(Reported(()))?
        };
        let joint = Pin {
            diameter: diameter?,
            middle: tongue?,
            outer: plates?,
            gap: gap?,
            pin: steel?,
            plates: plate_steel,
        };
        Ok(RigPin { name: name?, joint, force: force?, dynamic_factor })
    }

    fn pin_force(
        &mut self,
        pin: Inner<'d>,
        of_linkage: Option<&[linkage::Pin]>,
    ) -> Result<PinForce, Reported> {
        let place = self.written_in(pin, "pin.where").and_then(|written| self.text_of(written));
        let force = self.optional_in::<Force>(pin, "pin.force");
        let shared_by = self.written_in(pin, "pin.shared-by").and_then(|written| self.count_of(written));
        match (place?, force?, shared_by?) {
            (Some(_), Some(_), _) => {
                let message = "`where` and `force` are both given; each says by itself what the pin bears";
                let problem =
                    Problem::new(self.place_of_key(pin, "force"), message).hint("delete one of the two");
                Err(self.report(problem))
            }
            (None, Some(_), Some(_)) => {
                let message = "`shared-by` is given without `where`; a `force` is that of one pin";
                let problem = Problem::new(self.place_of_key(pin, "shared-by"), message)
                    .hint("delete the line, and let `force` be what this one pin bears");
                Err(self.report(problem))
            }
            (None, Some(force), None) => Ok(PinForce::Given(force)),
            (Some(place), None, shared_by) => {
                let shared_by = shared_by.unwrap_or_else(|| {
                    self.note_default("pin.shared-by", "1");
                    1
                });
                let pins = self.pins_at(pin, &place, of_linkage.ok_or(Reported(()))?)?;
                Ok(PinForce::Through { pins, shared_by })
            }
            (None, None, _) => {
                if self.document.is_incomplete() {
                    return Err(Reported(()));
                }
                let message = "this pin has neither `where` nor `force`";
                let hint = match of_linkage.and_then(<[_]>::first) {
                    Some(first) => format!("add `where = \"{first}\"` or the like, or `force = \"1200 N\"`"),
                    None => "add `force = \"1200 N\"` or the like".to_owned(),
                };
                let problem = Problem::new(self.place_in(pin), message).hint(hint);
                Err(self.report(problem))
            }
        }
    }

    /// The pins of the linkage that a name stands for.
    fn pins_at(
        &mut self,
        pin: Inner<'d>,
        name: &str,
        of_linkage: &[linkage::Pin],
    ) -> Result<Vec<linkage::Pin>, Reported> {
        let wanted = name.trim().to_lowercase();
        let fits = |pin: &linkage::Pin| {
            let any_centre = wanted == CENTRE && matches!(pin, linkage::Pin::Centre(_));
            any_centre || pin.to_string() == wanted
        };
        let pins: Vec<_> = of_linkage.iter().copied().filter(fits).collect();
        if !pins.is_empty() {
            return Ok(pins);
        }
        let mut names: Vec<String> = of_linkage.iter().map(ToString::to_string).collect();
        if names.iter().any(|name| name.starts_with(CENTRE)) {
            names.push(CENTRE.to_owned());
        }
        let words: Vec<&str> = names.iter().map(String::as_str).collect();
        let list = words.iter().map(|word| format!("\"{word}\"")).collect::<Vec<_>>().join(", ");
        let message = format!("`pin.where` is \"{}\", a pin that this linkage does not have", shown(name));
        let hint = match closest(&wanted, &words) {
            Some(near) => format!("did you mean \"{near}\"? Its pins are {list}"),
            None => format!("its pins are {list}; for another pin give its `force`"),
        };
        let problem = Problem::new(self.place_of_key(pin, "where"), message).hint(hint);
        Err(self.report(problem))
    }

    fn weld(&mut self, weld: Inner<'d>, beams: Option<&[FrameBeam]>) -> Result<RigWeld, Reported> {
        let name = self.name(weld, "weld.name");
        let throat = self.throat(weld);
        let steel = self.steel(weld, "weld.steel");
        let length = self.optional_in::<Length>(weld, "weld.length");
        let joint = match (length, weld.entry("tube")) {
            (Err(reported), _) => Err(reported),
            (Ok(Some(_)), Some(_)) => {
                let message = "`length` and `tube` are both given; a tube welded all round says its length";
                let problem =
                    Problem::new(self.place_of_key(weld, "length"), message).hint("delete one of the two");
                Err(self.report(problem))
            }
            (Ok(Some(length)), None) => self.fillet(weld, throat, length),
            (Ok(None), Some(node)) => self.tube_weld(weld, node, throat, beams),
            (Ok(None), None) if self.document.is_incomplete() || self.document.is_meant("weld.tube") => {
                Err(Reported(()))
            }
            (Ok(None), None) => {
                let problem = Problem::new(self.place_in(weld), "this weld has neither `length` nor `tube`")
                    .hint("add `length = \"120 mm\"`, or for a tube welded all round `tube = { width = \"40 mm\", height = \"60 mm\" }`");
                Err(self.report(problem))
            }
        };
        throat?;
        Ok(RigWeld { name: name?, joint: joint?, material: steel? })
    }

    fn throat(&mut self, weld: Inner<'d>) -> Result<Length, Reported> {
        let given = self.optional_in::<Length>(weld, "weld.throat");
        let leg = self.optional_in::<Length>(weld, "weld.leg");
        match (given?, leg?) {
            (Some(given), None) => Ok(given),
            (None, Some(leg)) => Ok(throat(leg)),
            (Some(_), Some(_)) => {
                let message = "`throat` and `leg` are both given; the throat is 0.707 of the leg";
                let problem =
                    Problem::new(self.place_of_key(weld, "leg"), message).hint("delete one of the two");
                Err(self.report(problem))
            }
            (None, None) if self.document.is_incomplete() => Err(Reported(())),
            (None, None) => {
                let problem = Problem::new(self.place_in(weld), "this weld has neither `throat` nor `leg`")
                    .hint("add `throat = \"3 mm\"`, the height of its triangle, or `leg = \"4 mm\"`");
                Err(self.report(problem))
            }
        }
    }

    fn fillet(
        &mut self,
        weld: Inner<'d>,
        throat: Result<Length, Reported>,
        length: Length,
    ) -> Result<WeldJoint, Reported> {
        for (key, reason) in [
            ("beam", "the root of a beam is bent, and a length of weld says nothing of that"),
            ("arm", "a length of weld is judged by the force alone"),
        ] {
            if weld.entry(key).is_some() {
                let message = format!("`{key}` is given without `tube`: {reason}");
                let problem = Problem::new(self.place_of_key(weld, key), message).hint(
                    "write `tube = { width = \"40 mm\", height = \"60 mm\" }` instead of `length`, or delete the line",
                );
                return Err(self.report(problem));
            }
        }
        let open_ends = self.written_in(weld, "weld.open-ends").and_then(|written| self.count_of(written));
        let force = self.required_in(weld, "weld.force");
        let open_ends = open_ends?.unwrap_or_else(|| {
            self.note_default("weld.open-ends", "2");
            2
        });
        let fillet = FilletWeld { throat: throat?, length, open_ends };
        if let Err(error) = fillet.stress(&WeldForce::default()) {
            let key = if weld.entry("length").is_some() { "length" } else { "throat" };
            let units = self.document.habit();
            let message = match error {
                Error::DoesNotFit { quantity, misfit, requirement } => {
                    format!("`weld.length`: {quantity} is {}; it must be {requirement}", misfit.words(units))
                }
                error => format!("`weld.length`: {error}"),
            };
            let shortest = show_at_least(fillet.shortest().value, Dimension::Length, units);
            let problem = Problem::new(self.place_of_key(weld, key), message).hint(format!(
                "a shorter weld must not be counted: write length = \"{shortest}\" or more if it can be so long, or \
                 make its throat thinner"
            ));
            return Err(self.report(problem));
        }
        Ok(WeldJoint::Fillet { weld: fillet, force: force? })
    }

    fn tube_weld(
        &mut self,
        weld: Inner<'d>,
        node: &'d Node,
        throat: Result<Length, Reported>,
        beams: Option<&[FrameBeam]>,
    ) -> Result<WeldJoint, Reported> {
        if !matches!(node.value, Value::Table(_)) {
            // That it is no table has been reported.
            return Err(Reported(()));
        }
        if weld.entry("open-ends").is_some() {
            let message = "`open-ends` is given without `length`; a tube is welded all round";
            let problem = Problem::new(self.place_of_key(weld, "open-ends"), message).hint("delete the line");
            return Err(self.report(problem));
        }
        let tube = Inner { node, table: "weld.tube", what: "this tube" };
        let width = self.required_in(tube, "weld.tube.width");
        let height = self.required_in(tube, "weld.tube.height");
        let load = self.tube_load(weld, beams);
        let (width, height, load) = (width?, height?, load?);
        if let (TubeLoad::Root(name), Some(beams)) = (&load, beams) {
            self.tube_is_that_of_its_beam(tube, (width, height), name, beams)?;
        }
        Ok(WeldJoint::Tube { weld: TubeWeld { width, height, throat: throat? }, load })
    }

    /// The weld round the root of a plain tube or bar goes along its outline. What other shapes and reinforced beams
    /// are welded along is for their builder to say.
    fn tube_is_that_of_its_beam(
        &mut self,
        tube: Inner<'d>,
        (width, height): (Length, Length),
        name: &str,
        beams: &[FrameBeam],
    ) -> Result<(), Reported> {
        let Some(outline) =
            beams.iter().find(|beam| beam.name == name).and_then(|beam| beam.member.outline())
        else {
            return Ok(());
        };
        // Sizes of a table of inches in millimetres, and the other way round.
        let alike = |one: Length, other: Length| (one - other).abs() <= 0.01 * other;
        if alike(width, outline.width) && alike(height, outline.height) {
            return Ok(());
        }
        let units = self.document.habit();
        let shown_length = |length: Length| show(length.value, Dimension::Length, units);
        let message = format!(
            "`weld.tube` is {} wide and {} high, but the beam \"{}\" at whose root it lies is {} wide and {} high",
            shown_length(width),
            shown_length(height),
            shown(name),
            shown_length(outline.width),
            shown_length(outline.height)
        );
        let hint = format!(
            "write tube = {{ width = \"{}\", height = \"{}\" }}, or give `force` and `arm` instead of `beam`",
            shown_length(outline.width),
            shown_length(outline.height)
        );
        Err(self.report(Problem::new(self.place_in(tube), message).hint(hint)))
    }

    fn tube_load(&mut self, weld: Inner<'d>, beams: Option<&[FrameBeam]>) -> Result<TubeLoad, Reported> {
        let beam = self.written_in(weld, "weld.beam").and_then(|written| self.text_of(written));
        let force = self.optional_in::<Force>(weld, "weld.force");
        let arm = self.optional_in::<Length>(weld, "weld.arm");
        match (beam?, force?, arm?) {
            (Some(_), Some(_), _) => {
                let message = "`beam` and `force` are both given; each says by itself what the weld bears";
                let problem =
                    Problem::new(self.place_of_key(weld, "force"), message).hint("delete one of the two");
                Err(self.report(problem))
            }
            (Some(_), None, Some(_)) => {
                let message = "`arm` is given without `force`; the beam says where its load is";
                let problem = Problem::new(self.place_of_key(weld, "arm"), message).hint("delete the line");
                Err(self.report(problem))
            }
            (Some(beam), None, None) => self.root_of(weld, beam, beams.ok_or(Reported(()))?),
            (None, Some(force), Some(arm)) => Ok(TubeLoad::Force { force, arm }),
            (None, Some(_), None) => Err(self.missing_in(weld, "weld.arm")),
            (None, None, _) if self.document.is_incomplete() => Err(Reported(())),
            (None, None, _) => {
                let message = "this weld has neither `beam` nor `force`";
                let problem = Problem::new(self.place_in(weld), message).hint(
                    "add `beam` with the name of a cantilever among the [[frame]] tables, or `force` and `arm`",
                );
                Err(self.report(problem))
            }
        }
    }

    fn root_of(&mut self, weld: Inner<'d>, name: String, beams: &[FrameBeam]) -> Result<TubeLoad, Reported> {
        let place = self.place_of_key(weld, "beam");
        let found = beams.iter().find(|beam| beam.name == name);
        let cantilevers: Vec<&str> = beams
            .iter()
            .filter(|beam| beam.support == Support::Cantilever)
            .map(|beam| beam.name.as_str())
            .collect();
        let message = match found {
            Some(beam) if beam.support == Support::Cantilever => return Ok(TubeLoad::Root(name)),
            Some(_) => format!("`weld.beam` is \"{}\", a beam that is no cantilever", shown(&name)),
            None => format!("`weld.beam` is \"{}\", but no [[frame]] has that name", shown(&name)),
        };
        let hint = match (closest(&name, &cantilevers), cantilevers.first()) {
            (Some(near), _) => format!("did you mean \"{}\"?", shown(near)),
            (None, Some(_)) => {
                let list: Vec<_> = cantilevers.iter().map(|name| format!("\"{}\"", shown(name))).collect();
                format!("the cantilevers are {}", list.join(", "))
            }
            (None, None) => "give `force` and `arm` instead".to_owned(),
        };
        Err(self.report(Problem::new(place, message).hint(hint)))
    }
}

/// Stands for the middle pins of all stages.
const CENTRE: &str = "centre pin";
