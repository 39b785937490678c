//! The frame, whose beams are checked for their form and kept by name.

use super::value::Written;
use super::{Reported, Resolver};
use crate::rig::document::Stated;
use crate::rig::fields::{self, FIELDS, Kind, Need};
use crate::rig::problem::Problem;
use crate::rig::tree::{Node, Value};

/// More beams than any rig bears its load on.
const MOST: usize = 100;

impl<'d> Resolver<'d> {
    /// Names of the beams of the frame.
    ///
    /// # Errors
    /// If a beam is described wrongly.
    pub fn frame_names(&mut self) -> Result<Vec<String>, Reported> {
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
        let mut names = Vec::new();
        let mut outcome = Ok(());
        for item in items {
            match self.beam(item) {
                Ok(name) => names.push(name),
                Err(reported) => outcome = Err(reported),
            }
        }
        outcome.map(|()| names)
    }

    fn beam(&mut self, item: &'d Node) -> Result<String, Reported> {
        let mut name = String::new();
        let mut outcome = Ok(());
        for field in FIELDS.iter().filter(|field| field.path.starts_with("frame.")) {
            let written = Written { field, stated: stated_in(item, field.path) };
            let read = match (written.stated, field.kind) {
                (Stated::Absent, _) if field.need == Need::Required => {
                    Err(self.missing_in_beam(item, written))
                }
                (_, Kind::Text) => self.text_of(written).map(|text| {
                    if let (Some(text), "frame.name") = (text, field.path) {
                        name = text;
                    }
                }),
                (_, Kind::Words(_)) => self.word_of(written).map(drop),
                _ => self.quantity(written).map(drop),
            };
            outcome = outcome.and(read);
        }
        outcome.map(|()| name)
    }

    fn missing_in_beam(&mut self, item: &Node, written: Written<'_>) -> Reported {
        let field = written.field;
        if self.document.is_incomplete() {
            return Reported(());
        }
        let place = self.document.place(self.heading(item));
        let (message, hint) = if field.path == "frame.section.kind" {
            let hint = "add a line such as `section = { kind = \"square tube\", side = \"40 mm\", wall = \"3 mm\" }`";
            ("this beam has no `section` with a `kind`".to_owned(), hint.to_owned())
        } else {
            let hint = format!("add a line such as `{} = {}`", field.key(), field.example);
            (format!("this beam has no `{}`", field.key()), hint)
        };
        self.report(Problem::new(place, message).label(super::lower_first(field.doc)).hint(hint))
    }
}

/// What one beam says about a field.
fn stated_in<'d>(item: &'d Node, path: &str) -> Stated<'d> {
    let mut node = item;
    let mut walked = "frame".to_owned();
    for key in path.split('.').skip(1) {
        walked = format!("{walked}.{key}");
        let Value::Table(nodes) = &node.value else { return Stated::Lost };
        match nodes.iter().find(|node| node.key == key) {
            Some(inner) => node = inner,
            None => return Stated::Absent,
        }
        if fields::table(&walked).is_some() && !matches!(node.value, Value::Table(_)) {
            return Stated::Lost;
        }
    }
    if matches!(node.value, Value::Broken) { Stated::Broken } else { Stated::File(node) }
}
