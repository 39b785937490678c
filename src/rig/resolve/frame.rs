//! The beams of the frame.

use uom::si::f64::{Length, Ratio};
use uom::si::ratio::ratio;

use super::inner::Inner;
use super::value::FromSi;
use super::{Reported, Resolver};
use crate::frame::beam::Support;
use crate::frame::reinforcement::{Bond, Member, Part, Position};
use crate::rig::document::Stated;
use crate::rig::problem::{Problem, shown};
use crate::rig::tree::{Node, Value};
use crate::rig::{Carries, FrameBeam};
use crate::units::Dimension;
use crate::units::display::{UnitSystem, show, show_at_most, show_exact};

/// More beams than any rig bears its load on.
const MOST: usize = 100;

/// More parts than a beam can be made of.
const MOST_PARTS: usize = 10;

impl<'d> Resolver<'d> {
    /// The beams of the frame.
    ///
    /// # Errors
    /// If a beam is described wrongly.
    pub fn frame(&mut self) -> Result<Vec<FrameBeam>, Reported> {
        let items = match self.document.stated("frame") {
            Stated::File(Node { value: Value::List(items), .. }) => items,
            Stated::Absent => return Ok(Vec::new()),
            // That it is no list of tables has been reported.
            _ => return Err(Reported(())),
        };
        self.given.insert("frame");
        if items.len() > MOST {
            let message = format!("the frame has {} beams; at most {MOST} are read", items.len());
            let place = self.place_of("frame");
            return Err(
                self.report(Problem::new(place, message).hint("describe only the beams that bear the load"))
            );
        }
        let beams: Vec<_> =
            items.iter().map(|node| self.beam(Inner { node, table: "frame", what: "this beam" })).collect();
        let beams = beams.into_iter().collect::<Result<Vec<_>, _>>()?;
        for (number, beam) in beams.iter().enumerate() {
            if beams.iter().take(number).any(|other| other.name == beam.name) {
                return Err(self.same_name(items.get(number), &beam.name));
            }
        }
        Ok(beams)
    }

    /// Checks name the beam that they judge.
    fn same_name(&mut self, node: Option<&'d Node>, name: &str) -> Reported {
        let Some(node) = node else { return Reported(()) };
        let beam = Inner { node, table: "frame", what: "this beam" };
        let problem = Problem::new(
            self.place_of_key(beam, "name"),
            format!("two beams are called \"{}\"", shown(name)),
        );
        self.report(
            problem.hint("give each beam a name of its own, such as \"left fork\" and \"right fork\""),
        )
    }

    fn beam(&mut self, beam: Inner<'d>) -> Result<FrameBeam, Reported> {
        let name = self.name(beam, "frame.name");
        let span = self.required_in::<Length>(beam, "frame.span");
        let support = self.support(beam);
        let loads = if let (Ok(span), Ok(support)) = (span, support) {
            self.loads(beam, span, support)
        } else {
            if beam.entry("loads").is_none() {
                let _ = self.required_in::<Ratio>(beam, "frame.load-share");
            }
            Err(Reported(()))
        };
        let carries = self.word_in(beam, "frame.carries", "load");
        let dynamic_factor = self.dynamic_factor(beam, "frame.dynamic-factor");
        let own_weight = self.word_in(beam, "frame.own-weight", "left out");
        let height_lost = self.default_in(beam, "frame.height-lost", "100 %");
        let name_of_part = name.clone().unwrap_or_default();
        let member = self.member(beam, name_of_part);
        Ok(FrameBeam {
            name: name?,
            support: support?,
            span: span?,
            member: member?,
            loads: loads?,
            carries: if carries? == "load" { Carries::Load } else { Carries::CylinderForce },
            dynamic_factor: dynamic_factor?,
            own_weight: own_weight? == "counted",
            height_lost: height_lost?,
        })
    }

    /// Factor for the jolt of starting and stopping, of a beam or a pin.
    pub(super) fn dynamic_factor(&mut self, item: Inner<'d>, path: &'static str) -> Result<Ratio, Reported> {
        let written = self.written_in(item, path)?;
        let factor = self.number_of(written)?.unwrap_or_else(|| {
            self.note_default(path, "1");
            1.0
        });
        Ok(Ratio::new::<ratio>(factor))
    }

    fn support(&mut self, beam: Inner<'d>) -> Result<Support, Reported> {
        let path = "frame.overhang";
        let word = self.required_word_in(beam, "frame.support");
        let overhang = self.optional_in::<Length>(beam, path);
        let (word, overhang) = (word?, overhang?);
        if word == "overhanging" {
            let Some(overhang) = overhang else { return Err(self.missing_in(beam, path)) };
            return Ok(Support::Overhanging { overhang });
        }
        if overhang.is_some() {
            let message = format!("this beam has an `overhang`, but its support is \"{word}\"");
            let problem = Problem::new(self.place_of_key(beam, "overhang"), message)
                .hint("delete the line, or write support = \"overhanging\"");
            return Err(self.report(problem));
        }
        Ok(match word {
            "simply supported" => Support::SimplySupported,
            "fixed both ends" => Support::FixedBothEnds,
            "propped" => Support::Propped,
            _ => Support::Cantilever,
        })
    }

    /// Places and shares of the force.
    fn loads(
        &mut self,
        beam: Inner<'d>,
        span: Length,
        support: Support,
    ) -> Result<Vec<(Length, Ratio)>, Reported> {
        let length = match support {
            Support::Overhanging { overhang } => span + overhang,
            _ => span,
        };
        let written = self.written_in(beam, "frame.loads")?;
        if beam.entry("loads").is_none() && !matches!(written.stated, Stated::Broken) {
            return self.single_load(beam, span, length, support);
        }
        let also = ["load-share", "at"].into_iter().find_map(|key| beam.entry(key));
        if let Some(node) = also {
            let message =
                format!("this beam has `loads` and `{}`; each says by itself where the load is", node.key);
            let place = self.document.place(node.key_span.clone());
            return Err(self.report(Problem::new(place, message).hint("delete one of the two")));
        }
        let Some(pairs) = self.point_pairs_of(written)? else { return Err(Reported(())) };
        let loads: Vec<_> =
            pairs.iter().map(|(at, share)| (Length::from_si(at.si), Ratio::from_si(share.si))).collect();
        if let Some((at, _)) = loads.iter().find(|(at, _)| beyond(*at, length)) {
            return Err(self.off_the_beam(beam, "loads", *at, length));
        }
        let sum: f64 = loads.iter().map(|(_, share)| share.value).sum();
        if sum > 1.0 + 1e-9 {
            let message = format!(
                "the shares of `loads` add up to {}; the beam carries at most the whole force",
                shown_share(sum)
            );
            let problem = Problem::new(self.place_of_key(beam, "loads"), message)
                .hint("each share is a share of the whole force; make them add up to 100 % or less");
            return Err(self.report(problem));
        }
        Ok(loads)
    }

    fn single_load(
        &mut self,
        beam: Inner<'d>,
        span: Length,
        length: Length,
        support: Support,
    ) -> Result<Vec<(Length, Ratio)>, Reported> {
        let share = self.required_in(beam, "frame.load-share");
        let at = if let Some(at) = self.optional_in(beam, "frame.at")? {
            at
        } else {
            self.note_default("frame.at", "the free end, the end of an overhang, else the middle");
            match support {
                Support::Cantilever | Support::Overhanging { .. } => length,
                _ => 0.5 * span,
            }
        };
        if beyond(at, length) {
            return Err(self.off_the_beam(beam, "at", at, length));
        }
        Ok(vec![(at, share?)])
    }

    fn off_the_beam(&mut self, beam: Inner<'d>, key: &str, at: Length, length: Length) -> Reported {
        let units = self.document.habit();
        let end = show_at_most(length.value, Dimension::Length, units);
        let shown = show(at.value, Dimension::Length, units);
        let place = if shown == end { show_exact(at.value, Dimension::Length, units) } else { shown };
        let message = format!("a load stands at {place}, but this beam is only {end} long");
        let problem = Problem::new(self.place_of_key(beam, key), message)
            .hint("places count from the left end; a cantilever is built in there");
        self.report(problem)
    }

    /// The section of the beam with its reinforcement.
    fn member(&mut self, beam: Inner<'d>, name: String) -> Result<Member, Reported> {
        let material = self.steel(beam, "frame.steel");
        let section = self.section(beam);
        let items = self.reinforcement(beam);
        let bond = self.bond(beam);
        // What is wrong with a part is told even if the beam itself is wrong.
        let fallback = material.clone().ok();
        let parts: Vec<_> = items?.iter().map(|item| (*item, self.part(*item, fallback.clone()))).collect();
        let (shape, axis) = section?;
        let mut member = Member::new(Part { name, shape, axis, material: material? }, bond?)
            .map_err(|error| self.section_misfit(beam, &error))?;
        for (item, part) in parts {
            let (part, position) = part?;
            member = member.with(part, position).map_err(|error| self.section_misfit(item, &error))?;
        }
        Ok(member)
    }

    fn reinforcement(&mut self, beam: Inner<'d>) -> Result<Vec<Inner<'d>>, Reported> {
        let Some(node) = beam.entry("reinforcement") else { return Ok(Vec::new()) };
        let Value::List(items) = &node.value else { return Err(Reported(())) };
        if items.iter().any(|item| !matches!(item.value, Value::Table(_))) {
            // That it is no list of tables has been reported.
            return Err(Reported(()));
        }
        if items.len() > MOST_PARTS {
            let message = format!(
                "this beam has {} parts of reinforcement; at most {MOST_PARTS} are read",
                items.len()
            );
            let problem = Problem::new(self.place_of_key(beam, "reinforcement"), message)
                .hint("describe parts that act as one as one part");
            return Err(self.report(problem));
        }
        let inner =
            |node| Inner { node, table: "frame.reinforcement", what: "this part of the reinforcement" };
        Ok(items.iter().map(inner).collect())
    }

    fn bond(&mut self, beam: Inner<'d>) -> Result<Bond, Reported> {
        let path = "frame.bond";
        let written = self.written_in(beam, path)?;
        let word = self.word_of(written)?;
        let has_parts = beam.entry("reinforcement").is_some();
        match word {
            Some(_) if !has_parts => {
                let message = "this beam has a `bond`, but no `reinforcement` that it would hold";
                let problem = Problem::new(self.place_of_key(beam, "bond"), message)
                    .hint("delete the line, or add the `reinforcement`");
                Err(self.report(problem))
            }
            Some("welded") => Ok(Bond::Welded),
            Some(_) => Ok(Bond::Unjoined),
            None => {
                if has_parts {
                    self.note_default(path, "unjoined");
                }
                Ok(Bond::Unjoined)
            }
        }
    }

    fn part(
        &mut self,
        item: Inner<'d>,
        of_beam: Option<crate::frame::material::Material>,
    ) -> Result<(Part, Position), Reported> {
        let position = self.required_word_in(item, "frame.reinforcement.position");
        let name =
            self.written_in(item, "frame.reinforcement.name").and_then(|written| self.text_of(written));
        let steel =
            self.written_in(item, "frame.reinforcement.steel").and_then(|written| self.steel_of(written));
        let section = self.section(item);
        let position = position?;
        let name = name?.unwrap_or_else(|| format!("part {position}"));
        let (shape, axis) = section?;
        let material = steel?.or(of_beam).ok_or(Reported(()))?;
        let position = match position {
            "inside" => Position::Inside,
            "on top" => Position::OnTop,
            "below" => Position::Below,
            _ => Position::Beside,
        };
        Ok((Part { name, shape, axis, material }, position))
    }
}

fn beyond(at: Length, length: Length) -> bool {
    at.value > length.value * (1.0 + 1e-9)
}

fn shown_share(share: f64) -> String {
    show(share, Dimension::Fraction, UnitSystem::Metric)
}
