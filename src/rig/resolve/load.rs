//! The load, and what stands between it and the cylinders.

use uom::si::f64::{Force, Mass};

use super::{Choice, Reported, Resolver};
use crate::rig::Linkage;
use crate::rig::document::Stated;
use crate::rig::problem::{Problem, shown};
use crate::rig::tree::{Node, Value};
use crate::sizing::travel::{Load, standard_gravity};
use crate::units::Dimension;
use crate::units::parse::parse;

/// Dimensions of the further keys of a linkage: lengths and angles, masses of its members, shares.
const LINKAGE_DIMENSIONS: [Dimension; 4] =
    [Dimension::Length, Dimension::Angle, Dimension::Mass, Dimension::Fraction];

impl Resolver<'_> {
    /// The load.
    ///
    /// # Errors
    /// If a field is missing or wrong.
    pub fn load(&mut self) -> Result<Load, Reported> {
        let mass = self.load_mass();
        let share = self.with_default("load.share");
        let moving = self.with_default("load.moving");
        let lift = self.required("load.lift");
        let take_up = self.with_default("load.take-up");
        Ok(Load { mass: mass?, share: share?, moving: moving?, lift: lift?, take_up: take_up? })
    }

    /// The mass of the load; `force` stands for mass = force/g, and so does its tolerance.
    fn load_mass(&mut self) -> Result<Mass, Reported> {
        match self.either("load.mass", "load.force", "the load is said by one of the two") {
            Ok(Choice::Second) => {
                let force: Force = self.required("load.force")?;
                if let Some(half_width) = self.tolerances.remove("load.force") {
                    self.tolerances.insert("load.mass", half_width / standard_gravity().value);
                }
                Ok(force / standard_gravity())
            }
            Ok(_) => self.required("load.mass"),
            Err(reported) => {
                let _ = self.optional::<Mass>("load.mass");
                let _ = self.optional::<Force>("load.force");
                Err(reported)
            }
        }
    }

    /// What stands between the cylinders and the load.
    ///
    /// # Errors
    /// If a field is wrong.
    pub fn linkage(&mut self) -> Result<Linkage, Reported> {
        let kind = self.word("linkage.kind");
        let efficiency = self.optional("linkage.efficiency");
        let kind = if let Some(kind) = kind? {
            kind
        } else {
            self.note_default("linkage.kind", "direct");
            "direct"
        };
        let further = self.further_keys(kind);
        let default = if kind == "direct" { "100 %" } else { "90 %" };
        let efficiency = match efficiency? {
            Some(efficiency) => efficiency,
            None => self.default_of("linkage.efficiency", default)?,
        };
        further?;
        if kind == "direct" { Ok(Linkage::Direct { efficiency }) } else { Ok(Linkage::NotFollowed { kind }) }
    }

    /// The lengths and angles of a linkage have no fixed names yet; their form is checked.
    fn further_keys(&mut self, kind: &'static str) -> Result<(), Reported> {
        let Stated::File(Node { value: Value::Table(nodes), .. }) = self.document.stated("linkage") else {
            return Ok(());
        };
        let mut outcome = Ok(());
        for node in nodes.iter().filter(|node| !matches!(node.key.as_str(), "kind" | "efficiency")) {
            let place = self.document.place(node.key_span.clone());
            let name = shown(&node.key);
            let problem = if kind == "direct" {
                let near = super::super::unknown::closest(&node.key, &["kind", "efficiency"]);
                let hint = match near {
                    Some(near) => format!("did you mean `{near}`?"),
                    None => "a direct push has no lengths of its own; for another linkage write its `kind`, \
                             such as kind = \"lever\""
                        .to_owned(),
                };
                Problem::new(place, format!("there is no key `{name}` in [linkage] of a direct push"))
                    .hint(hint)
            } else if is_linkage_value(&node.value) {
                continue;
            } else {
                let message = format!(
                    "`linkage.{name}` is {}; it must be a length or an angle with its unit",
                    told(&node.value)
                );
                Problem::new(self.document.place(node.span.clone()), message)
                    .hint("write it in quotes, such as \"250 mm\" or \"35 deg\"; a point is [\"40 mm\", \"120 mm\"]")
            };
            outcome = Err(self.report(problem));
        }
        outcome
    }
}

fn told(value: &Value) -> String {
    match value {
        Value::Text(text) => format!("\"{}\"", shown(text)),
        Value::Number(number) => format!("{}, a number without a unit", shown(number)),
        other => other.words().to_owned(),
    }
}

fn is_linkage_value(value: &Value) -> bool {
    match value {
        Value::Text(text) => LINKAGE_DIMENSIONS.iter().any(|dimension| parse(text, *dimension).is_ok()),
        // A number of levels or of pairs of arms.
        Value::Number(number) => number.parse::<u32>().is_ok_and(|count| (1..=100).contains(&count)),
        Value::List(parts) => {
            parts.len() == 2
                && parts.iter().all(
                    |part| matches!(&part.value, Value::Text(text) if parse(text, Dimension::Length).is_ok()),
                )
        }
        Value::Broken => true,
        Value::Boolean(_) | Value::Date | Value::Table(_) => false,
    }
}
