//! The rig file as a tree of keys and values, each with its place in the text.

use std::ops::Range;

use toml::Spanned;
use toml::de::{DeArray, DeTable, DeValue};

/// A value with the places of its key and of itself.
#[derive(Debug, Clone)]
pub(super) struct Node {
    pub(super) key: String,
    pub(super) key_span: Range<usize>,
    pub(super) span: Range<usize>,
    pub(super) value: Value,
}

/// What a value is.
#[derive(Debug, Clone)]
pub(super) enum Value {
    Text(String),
    Number(String),
    Boolean(bool),
    Date,
    List(Vec<Node>),
    Table(Vec<Node>),
    /// It stands where the syntax is broken; that has been reported.
    Broken,
}

impl Value {
    /// What it is, in words.
    pub(super) const fn words(&self) -> &'static str {
        match self {
            Self::Text(_) => "a text",
            Self::Number(_) => "a number",
            Self::Boolean(true) => "`true`",
            Self::Boolean(false) => "`false`",
            Self::Date => "a date",
            Self::List(_) => "a list",
            Self::Table(_) => "a table",
            Self::Broken => "broken",
        }
    }
}

/// The entries of a table, in the order of the text. `broken` tells where the syntax is broken.
pub(super) fn entries(table: &DeTable<'_>, broken: &dyn Fn(usize) -> bool) -> Vec<Node> {
    let mut nodes: Vec<Node> = table
        .iter()
        .map(|(key, value)| Node {
            key: key.get_ref().to_string(),
            key_span: key.span(),
            span: value.span(),
            value: convert(value, broken),
        })
        .collect();
    nodes.sort_by_key(|node| node.key_span.start);
    nodes
}

fn convert(value: &Spanned<DeValue<'_>>, broken: &dyn Fn(usize) -> bool) -> Value {
    match value.get_ref() {
        DeValue::Table(table) => Value::Table(entries(table, broken)),
        DeValue::Array(array) => list(array, broken, value.span().start),
        _ if broken(value.span().start) => Value::Broken,
        DeValue::String(text) => Value::Text(text.to_string()),
        DeValue::Integer(number) if number.radix() == 10 => Value::Number(number.as_str().to_owned()),
        DeValue::Integer(number) => Value::Number(number.to_string()),
        DeValue::Float(number) => Value::Number(number.as_str().to_owned()),
        DeValue::Boolean(truth) => Value::Boolean(*truth),
        DeValue::Datetime(_) => Value::Date,
    }
}

fn list(array: &DeArray<'_>, broken: &dyn Fn(usize) -> bool, start: usize) -> Value {
    if broken(start) {
        return Value::Broken;
    }
    let nodes = array.iter().map(|value| Node {
        key: String::new(),
        key_span: value.span(),
        span: value.span(),
        value: convert(value, broken),
    });
    Value::List(nodes.collect())
}
