//! What stands between the cylinders and the load.

use uom::si::f64::{Angle, Length, Mass, Ratio};

use super::inner::Inner;
use super::{Reported, Resolver};
use crate::Error;
use crate::rig::document::Stated;
use crate::rig::fields::{self, kinds_with, ways_to_write};
use crate::rig::problem::Problem;
use crate::rig::tree::{Node, Value};
use crate::rig::{LinkArms, RigLinkage, Track};
use crate::sizing::cylinder_force::Cylinders;
use crate::sizing::linkage::{
    Anchor, ArmFrom, Bracket, Direct, FoldingLeg, FoldingLegGeometry, Lever, LeverGeometry, Linkage, Profile,
    Scissor, ScissorDrive, ScissorGeometry, Travel,
};
use crate::sizing::travel::Load;
use crate::units::Dimension;
use crate::units::display::{UnitSystem, show, show_at_least, show_at_most, show_exact};

/// A linkage as the file describes it, before it is laid out for a stroke.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Described {
    kind: &'static str,
    efficiency: Ratio,
    geometry: Geometry,
    track: Track,
}

#[derive(Debug, Clone, Copy, PartialEq)]
enum Geometry {
    Direct,
    Lever(LeverGeometry),
    FoldingLeg(FoldingLegGeometry),
    Scissor(ScissorGeometry),
}

impl Resolver<'_> {
    /// What the file says about the linkage.
    pub(super) fn described_linkage(&mut self) -> Result<Described, Reported> {
        let kind = self.word("linkage.kind");
        let efficiency = self.optional("linkage.efficiency");
        let kind = if let Some(kind) = kind? {
            kind
        } else {
            self.no_kind_but_its_keys()?;
            self.note_default("linkage.kind", "direct");
            "direct"
        };
        let foreign = self.keys_of_other_kinds(kind);
        let default = if kind == "direct" { "100 %" } else { "90 %" };
        let efficiency = match efficiency? {
            Some(efficiency) => efficiency,
            None => self.default_of("linkage.efficiency", default)?,
        };
        let geometry = match kind {
            "lever" => self.lever().map(Geometry::Lever),
            "folding-leg" => self.folding_leg().map(Geometry::FoldingLeg),
            "scissor" => self.scissor().map(Geometry::Scissor),
            _ => Ok(Geometry::Direct),
        };
        let track = if kind == "scissor" { self.track() } else { Ok(Track::default()) };
        foreign?;
        Ok(Described { kind, efficiency, geometry: geometry?, track: track? })
    }

    /// Keys of a linkage without its kind are one mistake, not as many as there are keys.
    fn no_kind_but_its_keys(&mut self) -> Result<(), Reported> {
        let Stated::File(Node { value: Value::Table(nodes), .. }) = self.document.stated("linkage") else {
            return Ok(());
        };
        let owned: Vec<_> =
            nodes.iter().filter(|node| !kinds_with(&node.key).is_empty() && node.key != "kind").collect();
        let (Some(first), false) = (owned.first(), self.document.is_meant("linkage.kind")) else {
            return Ok(());
        };
        let all = kinds_with(&first.key);
        let fits = |kind: &&&str| owned.iter().all(|node| kinds_with(&node.key).contains(*kind));
        let kinds: Vec<_> = all.iter().filter(fits).map(|kind| format!("kind = \"{kind}\"")).collect();
        let message = format!("`linkage.kind` is missing: `{}` is no key of a direct push", first.key);
        let hint = if kinds.is_empty() {
            "add the `kind` of your linkage".to_owned()
        } else {
            format!("add {}", kinds.join(" or "))
        };
        Err(self.report(Problem::new(self.place_of_table("linkage.kind"), message).hint(hint)))
    }

    /// Each kind of linkage has keys of its own.
    fn keys_of_other_kinds(&mut self, kind: &'static str) -> Result<(), Reported> {
        let Stated::File(Node { value: Value::Table(nodes), .. }) = self.document.stated("linkage") else {
            return Ok(());
        };
        let mut outcome = Ok(());
        for node in nodes {
            let kinds = kinds_with(&node.key);
            if kinds.is_empty() || kinds.contains(&kind) {
                continue;
            }
            let owners = kinds.iter().map(|kind| with_article(kind)).collect::<Vec<_>>().join(" or ");
            let message =
                format!("`linkage.{}` belongs to {owners}, not to {}", node.key, with_article(kind));
            let hint = match kinds.as_slice() {
                [only] => format!("delete the line, or write kind = \"{only}\""),
                _ if kind == "direct" => "delete the line, or write the `kind` of your linkage".to_owned(),
                _ => "delete the line".to_owned(),
            };
            let place = self.document.place(node.key_span.clone());
            outcome = Err(self.report(Problem::new(place, message).hint(hint)));
        }
        outcome
    }

    /// A quantity that some kinds of linkage may leave out.
    fn or<T: super::value::FromSi>(
        &mut self,
        path: &'static str,
        default: &'static str,
    ) -> Result<T, Reported> {
        match self.optional(path)? {
            Some(value) => Ok(value),
            None => self.default_of(path, default),
        }
    }

    fn lever(&mut self) -> Result<LeverGeometry, Reported> {
        let foot = self.needed_pair("linkage.foot");
        let pin_arm = self.required("linkage.pin-arm");
        let pin_offset = self.or("linkage.pin-offset", "0 deg");
        let load_arm = self.required("linkage.load-arm");
        let start_angle = self.required("linkage.start-angle");
        let end_angle = self.optional("linkage.end-angle");
        let arm_mass: Result<Mass, _> = self.or("linkage.arm-mass", "0 kg");
        let weighs = arm_mass.is_ok_and(|mass| mass > Mass::default());
        let (arm_centre, arm_centre_offset) = if weighs {
            (self.required("linkage.arm-centre"), self.or("linkage.arm-centre-offset", "0 deg"))
        } else {
            let centre = self.optional::<Length>("linkage.arm-centre");
            let offset = self.optional::<Angle>("linkage.arm-centre-offset");
            (centre.map(Option::unwrap_or_default), offset.map(Option::unwrap_or_default))
        };
        let (foot_x, foot_y) = foot?;
        Ok(LeverGeometry {
            foot_x,
            foot_y,
            pin_arm: pin_arm?,
            pin_offset: pin_offset?,
            load_arm: load_arm?,
            start_angle: start_angle?,
            end_angle: end_angle?,
            closed_length: None,
            arm_mass: arm_mass?,
            arm_centre: arm_centre?,
            arm_centre_offset: arm_centre_offset?,
        })
    }

    fn folding_leg(&mut self) -> Result<FoldingLegGeometry, Reported> {
        let bracket = |(from_knee, offset)| Bracket { from_knee, offset };
        let lower_link = self.required("linkage.lower-link");
        let upper_link = self.required("linkage.upper-link");
        let lower_bracket = self.needed_pair("linkage.lower-bracket").map(bracket);
        let upper_bracket = self.needed_pair("linkage.upper-bracket").map(bracket);
        let guide_offset = self.or("linkage.guide-offset", "0 mm");
        let start_angle = self.required("linkage.start-angle");
        let stop_angle = self.optional("linkage.stop-angle");
        let legs = self.count("linkage.legs");
        let lower_mass = self.or("linkage.lower-mass", "0 kg");
        let upper_mass = self.or("linkage.upper-mass", "0 kg");
        let legs = legs?.unwrap_or_else(|| {
            self.note_default("linkage.legs", "1");
            1
        });
        Ok(FoldingLegGeometry {
            lower_link: lower_link?,
            upper_link: upper_link?,
            lower_bracket: lower_bracket?,
            upper_bracket: upper_bracket?,
            guide_offset: guide_offset?,
            start_angle: start_angle?,
            stop_angle: stop_angle?,
            legs,
            closed_length: None,
            lower_mass: lower_mass?,
            upper_mass: upper_mass?,
        })
    }

    fn scissor(&mut self) -> Result<ScissorGeometry, Reported> {
        let stages = self.count("linkage.stages");
        let stages = stages.and_then(|stages| stages.ok_or_else(|| self.missing_path("linkage.stages")));
        let arm_length = self.required("linkage.arm-length");
        let start_angle = self.required("linkage.start-angle");
        let end_angle = self.optional("linkage.end-angle");
        let arm_mass = self.or("linkage.arm-mass", "0 kg");
        let drive = match self.word("linkage.drive") {
            Ok(Some("between")) => self.between(),
            Ok(Some(_)) => self.no_points_beside_sliding_foot(),
            Ok(None) => Err(self.missing_path("linkage.drive")),
            Err(reported) => Err(reported),
        };
        Ok(ScissorGeometry {
            stages: stages?,
            arm_length: arm_length?,
            start_angle: start_angle?,
            end_angle: end_angle?,
            drive: drive?,
            closed_length: None,
            arm_mass: arm_mass?,
        })
    }

    fn track(&mut self) -> Result<Track, Reported> {
        let path = "linkage.track";
        Ok(match self.word(path)? {
            Some("captive") => Track::Captive,
            Some(_) => Track::Open,
            None => {
                self.note_default(path, "open");
                Track::Open
            }
        })
    }

    /// What links and arms are made of, if it is said.
    ///
    /// # Errors
    /// If it is described wrongly, or in part.
    pub(super) fn arms(&mut self) -> Result<Option<LinkArms>, Reported> {
        let (section_path, steel_path, count_path) =
            ("linkage.arm-section", "linkage.arm-steel", "linkage.arms-side-by-side");
        // For another kind of linkage, these keys have been reported.
        let kind = match self.document.stated("linkage.kind") {
            Stated::Flag(text) => text,
            Stated::File(Node { value: Value::Text(text), .. }) => text.as_str(),
            _ => "direct",
        };
        if !kinds_with("arm-section").iter().any(|with| with.eq_ignore_ascii_case(kind.trim())) {
            return Ok(None);
        }
        let steel = self.written(steel_path).and_then(|written| self.steel_of(written));
        let side_by_side = self.count(count_path);
        let section = match (self.document.stated("linkage"), self.stated(section_path)) {
            (Stated::File(node), Stated::File(_)) => {
                let owner = Inner { node, table: "linkage", what: "this linkage" };
                Some(self.section(owner).map(|(shape, _)| shape))
            }
            (_, Stated::Absent) => None,
            _ => return Err(Reported(())),
        };
        let Some(section) = section else {
            let alone = [steel_path, count_path].into_iter().find(|path| self.is_stated(path));
            let (Some(path), false) = (alone, self.document.is_incomplete()) else { return Ok(None) };
            let message = format!("`{path}` is given without `arm-section`, whose buckling it is for");
            let way = ways_to_write(section_path).first().copied().unwrap_or_default();
            let problem = Problem::new(self.place_of(path), message)
                .hint(format!("delete the line, or add a line such as `{way}`"));
            return Err(self.report(problem));
        };
        let (steel, side_by_side) = (steel?, side_by_side?);
        let side_by_side = side_by_side.unwrap_or_else(|| {
            self.note_default(count_path, "1");
            1
        });
        let Some(material) = steel else {
            if self.document.is_incomplete() || self.document.is_meant(steel_path) {
                return Err(Reported(()));
            }
            let message = "`linkage.arm-section` is given without `arm-steel`";
            let problem = Problem::new(self.place_of(section_path), message)
                .hint("add a line such as `arm-steel = \"S235\"`");
            return Err(self.report(problem));
        };
        Ok(Some(LinkArms { shape: section?, material, side_by_side }))
    }

    fn no_points_beside_sliding_foot(&mut self) -> Result<ScissorDrive, Reported> {
        let mut outcome = Ok(ScissorDrive::SlidingFoot);
        for path in ["linkage.foot", "linkage.pin"] {
            if self.is_stated(path) {
                let message = format!(
                    "`{path}` is given, but a level cylinder at the sliding foot has no points to choose"
                );
                let problem = Problem::new(self.place_of(path), message)
                    .hint("delete the line, or write drive = \"between\"");
                outcome = Err(self.report(problem));
            }
        }
        outcome
    }

    fn between(&mut self) -> Result<ScissorDrive, Reported> {
        let foot = self.anchor(
            "linkage.foot",
            [
                "linkage.foot.base",
                "linkage.foot.arm",
                "linkage.foot.stage",
                "linkage.foot.distance",
                "linkage.foot.offset",
            ],
        );
        let pin = self.anchor(
            "linkage.pin",
            [
                "linkage.pin.base",
                "linkage.pin.arm",
                "linkage.pin.stage",
                "linkage.pin.distance",
                "linkage.pin.offset",
            ],
        );
        let (foot, pin) = (foot?, pin?);
        if let (Anchor::Base { .. }, Anchor::Base { .. }) = (foot, pin) {
            let message =
                "`linkage.foot` and `linkage.pin` are both on the base, so that the cylinder moves nothing";
            let problem = Problem::new(self.place_of("linkage.pin"), message).hint(
                "put the pin on an arm: pin = { arm = \"sliding side\", stage = 1, distance = \"600 mm\" }",
            );
            return Err(self.report(problem));
        }
        Ok(ScissorDrive::Between { foot, pin })
    }

    /// A point of a scissor: on the base, or on an arm.
    fn anchor(
        &mut self,
        table: &'static str,
        [base, arm, stage, distance, offset]: [&'static str; 5],
    ) -> Result<Anchor, Reported> {
        let ways = || format!("write {}", ways_to_write(table).join(" or "));
        let node = match self.stated(table) {
            Stated::File(node) => node,
            Stated::Absent if !self.document.is_incomplete() => {
                let message = format!("`{table}` is missing: a cylinder between two points needs both");
                return Err(self.report(Problem::new(self.place_of_table(table), message).hint(ways())));
            }
            _ => return Err(Reported(())),
        };
        if !matches!(node.value, Value::Table(_)) {
            let message =
                format!("`{table}` is {}; for a scissor it must be a table in braces", node.value.words());
            let place = self.document.place(node.span.clone());
            return Err(self.report(Problem::new(place, message).hint(ways())));
        }
        let what = if table == "linkage.foot" { "`linkage.foot`" } else { "`linkage.pin`" };
        let inner = Inner { node, table, what };
        let (on_base, on_arm) = (inner.entry("base"), inner.entry("arm"));
        let extra = ["arm", "stage", "distance", "offset"].iter().any(|key| inner.entry(key).is_some());
        match (on_base.is_some(), on_arm.is_some()) {
            (true, false) if !extra => {
                let written = self.written_in(inner, base)?;
                let Some((x, y)) = self.pair_of(written)? else { return Err(Reported(())) };
                Ok(Anchor::Base { x, y })
            }
            (false, true) => {
                let from = self.required_word_in(inner, arm);
                let stage_written = self.written_in(inner, stage)?;
                let stage_read = self.count_of(stage_written);
                let distance = self.required_in(inner, distance);
                let offset = self.default_in(inner, offset, "0 mm");
                let Some(stage) = stage_read? else { return Err(self.missing_in(inner, stage)) };
                let from = if from? == "fixed side" { ArmFrom::FixedSide } else { ArmFrom::SlidingSide };
                Ok(Anchor::Arm { from, stage, distance: distance?, offset: offset? })
            }
            (false, false) if self.document.is_meant(base) || self.document.is_meant(arm) => {
                Err(Reported(()))
            }
            (either, _) => {
                let message = if either {
                    format!("`{table}` stands on the base and on an arm at once")
                } else {
                    format!("`{table}` says neither `base` nor `arm`")
                };
                let problem = Problem::new(self.place_in(inner), message).hint(ways());
                Err(self.report(problem))
            }
        }
    }

    /// A pair of lengths that must be given.
    fn needed_pair(&mut self, path: &'static str) -> Result<(Length, Length), Reported> {
        let written = self.written(path)?;
        match self.pair_of(written)? {
            Some(pair) => Ok(pair),
            None => Err(self.missing_path(path)),
        }
    }

    /// The linkage laid out for the stroke of its cylinders, and held to its load.
    pub(super) fn laid_out(
        &mut self,
        described: Described,
        cylinders: &Cylinders,
        closed_length: Option<Length>,
        load: &Load,
        profile: Profile,
    ) -> Result<RigLinkage, Reported> {
        let Described { kind, efficiency, geometry, track } = described;
        let stroke = cylinders.stroke;
        if let Geometry::FoldingLeg(FoldingLegGeometry { legs, .. }) = geometry {
            self.each_leg_has_its_cylinders(legs, cylinders.count)?;
        }
        let shape = match geometry {
            Geometry::Direct => Direct::new(stroke).map(Linkage::Direct),
            Geometry::Lever(geometry) => {
                Lever::new(&LeverGeometry { closed_length, ..geometry }, stroke).map(Linkage::Lever)
            }
            Geometry::FoldingLeg(geometry) => {
                FoldingLeg::new(&FoldingLegGeometry { closed_length, ..geometry }, stroke)
                    .map(Linkage::FoldingLeg)
            }
            Geometry::Scissor(geometry) => {
                Scissor::new(&ScissorGeometry { closed_length, ..geometry }, stroke).map(Linkage::Scissor)
            }
        };
        let shape = shape.map_err(|error| self.misfit(error))?;
        Travel::new(cylinders, load, shape, &profile, efficiency)
            .map(drop)
            .map_err(|error| self.misfit(error))?;
        self.comes_on_within_the_rise(&profile, &shape, load.take_up)?;
        Ok(RigLinkage { kind, shape, efficiency, profile, track })
    }

    /// A row above the reachable height is never borne, yet it may set the mass of the load; nor is all of a load
    /// whose ramp ends there.
    fn comes_on_within_the_rise(
        &mut self,
        profile: &Profile,
        shape: &Linkage,
        take_up: Length,
    ) -> Result<(), Reported> {
        let rise = shape.height(shape.top());
        let row = profile.highest();
        // A row at the very top stays, whatever rounding says: a micrometre in a metre.
        if row + take_up <= rise * (1.0 + 1e-6) {
            return Ok(());
        }
        let units = self.document.habit();
        let length_of = |length: Length| show(length.value, Dimension::Length, units);
        let less = if take_up > Length::default() {
            format!(" less {} of take-up", length_of(take_up))
        } else {
            String::new()
        };
        if profile.heaviest().is_none() {
            return Err(self.ramp_beyond_the_rise(row, rise, take_up));
        }
        let path = "load.profile";
        let message = format!(
            "`{path}` has a row at {}, which is never reached: the load rises by {}{less}",
            length_of(row),
            length_of(rise)
        );
        let problem = Problem::new(self.place_of(path), message).hint(format!(
            "end the table at {} with the mass borne there, or make the stroke longer",
            show_at_most((rise - take_up).value, Dimension::Length, units)
        ));
        Err(self.report(problem))
    }

    fn ramp_beyond_the_rise(&mut self, ramp: Length, rise: Length, take_up: Length) -> Reported {
        let path = "load.ramp";
        let units = self.document.habit();
        let length_of = |length: Length| show(length.value, Dimension::Length, units);
        let at_most = |length: Length| show_at_most(length.value, Dimension::Length, units);
        let most = at_most(rise - take_up);
        let (after, limit) = if take_up > Length::default() {
            let both = at_most(rise);
            (
                format!(" after {} of take-up", length_of(take_up)),
                format!("make it at most {most}, take-up and ramp together at most {both}"),
            )
        } else {
            (String::new(), format!("make it at most {most}"))
        };
        let message = format!(
            "`{path}` is {}{after}: the load rises by {} and never comes on in full",
            length_of(ramp),
            length_of(rise)
        );
        let problem =
            Problem::new(self.place_of(path), message).hint(format!("{limit}, or the stroke longer"));
        self.report(problem)
    }

    /// The knee of each leg is opened by a cylinder of its own, or by as many as that of any other leg.
    fn each_leg_has_its_cylinders(&mut self, legs: u32, count: u32) -> Result<(), Reported> {
        if legs == 0 || count.is_multiple_of(legs) {
            return Ok(());
        }
        let message = format!(
            "`cylinders.count` is {count} for {legs} legs (`linkage.legs`); each leg has its cylinders across its \
             own knee, all legs alike"
        );
        let below = count / legs * legs;
        let counts = if below > 0 { format!("{below} or {}", below + legs) } else { legs.to_string() };
        let problem = Problem::new(self.place_of("cylinders.count"), message)
            .hint(format!("give {counts} cylinders, or as many legs as have a cylinder"));
        Err(self.report(problem))
    }

    /// A length or an angle that does not fit the others, at its line.
    pub(super) fn misfit(&mut self, error: Error) -> Reported {
        let Error::Geometry { quantity, value, problem, fix } = error else {
            let place = self.place_of("linkage.kind");
            return self.report(Problem::new(place, error.to_string()));
        };
        let (path, name) = field_of(quantity);
        let place = self.place_of(path);
        let said = |text: String| match self.document.habit() {
            UnitSystem::Metric => text,
            UnitSystem::Us => lengths_in_inches(&text),
        };
        let (value, problem, fix) = (said(value), said(problem), said(fix));
        // The two values of the foot stand under one key.
        let fix = fix.replace("`foot-y`", "its second value").replace("this `foot-x`", "this first value");
        self.report(Problem::new(place, format!("{name} is {value}: {problem}")).hint(fix))
    }
}

/// A sentence with its lengths in inches. What is rounded so that it can be kept stays so.
fn lengths_in_inches(text: &str) -> String {
    let (mut out, mut rest) = (String::with_capacity(text.len()), text);
    while let Some((before, after)) = rest.split_once(" mm") {
        rest = after;
        let words = before.trim_end_matches(|c: char| c.is_ascii_digit() || c == '.' || c == '-');
        let number = before.strip_prefix(words).unwrap_or_default();
        out.push_str(words);
        let Ok(millimeters) = number.parse::<f64>() else {
            out.extend([number, " mm"]);
            continue;
        };
        let ends = |with: &[&str]| with.iter().any(|end| words.ends_with(end));
        let digits = number.chars().filter(char::is_ascii_digit).count();
        let shown = if digits > 4 {
            show_exact
        } else if ends(&["at most ", " to ", "less than "]) {
            show_at_most
        } else if ends(&["at least ", " from "]) {
            show_at_least
        } else {
            show
        };
        out.push_str(&shown(millimeters * 1e-3, Dimension::Length, UnitSystem::Us));
    }
    out.push_str(rest);
    out
}

/// The field in which a quantity of the geometry stands, and how to call it.
fn field_of(quantity: &'static str) -> (&'static str, String) {
    let path = match quantity {
        "foot-x" => return ("linkage.foot", "the first of `linkage.foot`".to_owned()),
        "foot-y" => return ("linkage.foot", "the second of `linkage.foot`".to_owned()),
        "cylinder-foot" => "linkage.foot",
        "cylinder-pin" => "linkage.pin",
        "closed-length" => "cylinders.closed-length",
        "stroke" => "cylinders.stroke",
        "take-up" => "load.take-up",
        "ramp" => "load.ramp",
        "profile" => "load.profile",
        _ => {
            let field = fields::FIELDS
                .iter()
                .find(|field| field.table() == "linkage" && field.key() == quantity)
                .map_or("linkage.kind", |field| field.path);
            return (field, format!("`linkage.{quantity}`"));
        }
    };
    (path, format!("`{path}`"))
}

fn with_article(kind: &str) -> String {
    match kind {
        "direct" => "a direct push".to_owned(),
        "folding-leg" => "a folding leg".to_owned(),
        kind => format!("a {kind}"),
    }
}
