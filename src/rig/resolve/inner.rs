//! Tables that stand in a list, or in the place of a value: their fields are asked for within them.

use super::value::{FromSi, Written};
use super::{Reported, Resolver};
use crate::rig::document::Stated;
use crate::rig::fields;
use crate::rig::problem::{Place, Problem};
use crate::rig::tree::{Node, Value};

/// Such a table.
#[derive(Debug, Clone, Copy)]
pub(super) struct Inner<'d> {
    pub(super) node: &'d Node,
    /// Its path in the field table.
    pub(super) table: &'static str,
    /// What it is, for messages: `this beam`.
    pub(super) what: &'static str,
}

impl<'d> Inner<'d> {
    /// The value of a key, if it is there.
    pub(super) fn entry(&self, key: &str) -> Option<&'d Node> {
        let Value::Table(nodes) = &self.node.value else { return None };
        nodes.iter().find(|node| node.key == key)
    }

    /// The keys that it has.
    pub(super) fn keys(&self) -> impl Iterator<Item = &'d Node> + use<'d> {
        let nodes: &[Node] = match &self.node.value {
            Value::Table(nodes) => nodes,
            _ => &[],
        };
        nodes.iter()
    }
}

impl<'d> Resolver<'d> {
    /// A field of it as written. `path` is that of the field table and begins with the path of the table.
    pub(super) fn written_in(&self, inner: Inner<'d>, path: &'static str) -> Result<Written<'d>, Reported> {
        let field = fields::field(path).ok_or(Reported(()))?;
        let stated = match (&inner.node.value, inner.entry(field.key())) {
            (_, Some(node)) if matches!(node.value, Value::Broken) => Stated::Broken,
            (_, Some(node)) => Stated::File(node),
            (Value::Table(_), None) if self.document.is_meant(path) => Stated::Broken,
            (Value::Table(_), None) => Stated::Absent,
            _ => Stated::Lost,
        };
        Ok(Written { field, stated })
    }

    pub(super) fn optional_in<T: FromSi>(
        &mut self,
        inner: Inner<'d>,
        path: &'static str,
    ) -> Result<Option<T>, Reported> {
        let written = self.written_in(inner, path)?;
        Ok(self.quantity(written)?.map(|quantity| T::from_si(quantity.si)))
    }

    pub(super) fn required_in<T: FromSi>(
        &mut self,
        inner: Inner<'d>,
        path: &'static str,
    ) -> Result<T, Reported> {
        match self.optional_in(inner, path)? {
            Some(value) => Ok(value),
            None => Err(self.missing_in(inner, path)),
        }
    }

    /// A quantity with a default, which is noted.
    pub(super) fn default_in<T: FromSi>(
        &mut self,
        inner: Inner<'d>,
        path: &'static str,
        default: &'static str,
    ) -> Result<T, Reported> {
        match self.optional_in(inner, path)? {
            Some(value) => Ok(value),
            None => self.default_of(path, default),
        }
    }

    /// A word with a default, which is noted.
    pub(super) fn word_in(
        &mut self,
        inner: Inner<'d>,
        path: &'static str,
        default: &'static str,
    ) -> Result<&'static str, Reported> {
        let written = self.written_in(inner, path)?;
        Ok(self.word_of(written)?.unwrap_or_else(|| {
            self.note_default(path, default);
            default
        }))
    }

    pub(super) fn required_word_in(
        &mut self,
        inner: Inner<'d>,
        path: &'static str,
    ) -> Result<&'static str, Reported> {
        let written = self.written_in(inner, path)?;
        match self.word_of(written)? {
            Some(word) => Ok(word),
            None => Err(self.missing_in(inner, path)),
        }
    }

    /// Reports a key that must be there.
    pub(super) fn missing_in(&mut self, inner: Inner<'d>, path: &'static str) -> Reported {
        let (Some(field), false) = (fields::field(path), self.document.is_incomplete()) else {
            return Reported(());
        };
        let message = format!("{} has no `{}`", inner.what, field.key());
        let label = match field.need {
            fields::Need::Depends(rule) => format!("{}; {rule}", super::lower_first(field.doc)),
            _ => super::lower_first(field.doc),
        };
        let line = format!("{} = {}", field.key(), field.example);
        let hint = if self.is_heading(inner.node) {
            format!("add a line such as `{line}`")
        } else {
            format!("add `{line}` or the like between its braces")
        };
        let problem = Problem::new(self.place_in(inner), message).label(label).hint(hint);
        self.report(problem)
    }

    /// Where it starts.
    pub(super) fn place_in(&self, inner: Inner<'_>) -> Place {
        self.document.place(self.heading(inner.node))
    }

    /// Where a key of it stands; where it starts without that key.
    pub(super) fn place_of_key(&self, inner: Inner<'_>, key: &str) -> Place {
        match inner.entry(key) {
            Some(node) => self.document.place(node.span.clone()),
            None => self.place_in(inner),
        }
    }
}
