//! Curves given by points.

use uom::si::f64::Length;

use super::value::{FromSi, Written};
use super::{Reported, Resolver};
use crate::rig::document::Stated;
use crate::rig::fields::{Field, Kind, Measure, Order};
use crate::rig::problem::{Problem, shown};
use crate::rig::tree::{Node, Value};
use crate::units::parse::Quantity;
use crate::units::{Dimension, GaugePressure};

/// More points than any data sheet has.
const MOST: usize = 200;

/// A point: two quantities as read.
pub(super) type Pair = (Quantity, Quantity);

impl<'d> Resolver<'d> {
    /// Pairs of tank pressure and another quantity, the pressures ascending; `None` if left out.
    pub(super) fn points(
        &mut self,
        path: &'static str,
    ) -> Result<Option<Vec<(GaugePressure, Quantity)>>, Reported> {
        let pairs = self.point_pairs(path)?;
        let pressures =
            |pairs: Vec<_>| pairs.into_iter().map(|(x, y): Pair| (GaugePressure::from_si(x.si), y)).collect();
        Ok(pairs.map(pressures))
    }

    /// Pairs of any two quantities; `None` if left out.
    pub(super) fn point_pairs(&mut self, path: &'static str) -> Result<Option<Vec<Pair>>, Reported> {
        let written = self.written(path)?;
        self.point_pairs_of(written)
    }

    pub(super) fn point_pairs_of(&mut self, written: Written<'d>) -> Result<Option<Vec<Pair>>, Reported> {
        let (field, path) = (written.field, written.field.path);
        let Kind::Points { x, y, fewest, order } = field.kind else { return Err(Reported(())) };
        let node = match written.stated {
            Stated::Absent => return Ok(None),
            Stated::Broken | Stated::Lost => return Err(Reported(())),
            Stated::Flag(text) => return self.points_of_flag(field, [&x, &y], fewest, text).map(Some),
            Stated::File(node) => node,
        };
        let Value::List(items) = &node.value else {
            if matches!(node.value, Value::Broken) {
                return Err(Reported(()));
            }
            let message = format!("`{path}` is {}; it must be a list of pairs", node.value.words());
            return Err(self.points_problem(field, node, message));
        };
        if items.len() < fewest || items.len() > MOST {
            let message =
                format!("`{path}` has {}; it must have from {fewest} to {MOST}", pairs_words(items.len()));
            return Err(self.points_problem(field, node, message));
        }
        if let Some(item) = items.iter().find(|item| !matches!(item.value, Value::List(_))) {
            let message = format!(
                "a point of `{path}` is {}; each point must be a pair in brackets",
                item.value.words()
            );
            return Err(self.points_problem(field, item, message));
        }
        let pairs: Vec<_> = items.iter().map(|item| self.pair(field, &x, &y, item)).collect();
        let pairs = pairs.into_iter().collect::<Result<Vec<_>, _>>()?;
        self.in_order(field, order, items, &pairs)?;
        Ok(Some(pairs))
    }

    /// A list of two lengths; a second one that is left out is zero.
    pub(super) fn pair_of(&mut self, written: Written<'d>) -> Result<Option<(Length, Length)>, Reported> {
        let (field, path) = (written.field, written.field.path);
        let Kind::Pair { measure, fewest } = field.kind else { return Err(Reported(())) };
        let node = match written.stated {
            Stated::Absent => return Ok(None),
            Stated::File(node) => node,
            _ => return Err(Reported(())),
        };
        let Value::List(items) = &node.value else {
            if matches!(node.value, Value::Broken) {
                return Err(Reported(()));
            }
            let message = format!("`{path}` is {}; it must be a list of two lengths", node.value.words());
            return Err(self.points_problem(field, node, message));
        };
        let (first, second) = match items.as_slice() {
            [first, second] => (first, Some(second)),
            [first] if fewest == 1 => (first, None),
            _ => {
                let message = format!("`{path}` has {}; it must have two", values_words(items.len()));
                return Err(self.points_problem(field, node, message));
            }
        };
        let first = self.coordinate(field, &measure, first);
        let second = second.map(|second| self.coordinate(field, &measure, second)).transpose();
        let length = |quantity: Quantity| Length::from_si(quantity.si);
        Ok(Some((length(first?), second?.map_or_else(Length::default, length))))
    }

    /// Points as a flag gives them: `0 bar: 32 L/min, 8 bar: 15 L/min`, or with semicolons between them.
    fn points_of_flag(
        &mut self,
        field: &'static Field,
        [x, y]: [&Measure; 2],
        fewest: usize,
        text: &str,
    ) -> Result<Vec<Pair>, Reported> {
        let place = super::flag_place(field.path, text);
        let refuse = |message: String| {
            let hint =
                "write pairs with a colon, a comma between them, such as '0 bar: 32 L/min, 8 bar: 15 L/min'";
            Problem::new(place.clone(), message).hint(hint)
        };
        let mut points: Vec<Pair> = Vec::new();
        for pair in pairs_of(text) {
            let Some((pressure, other)) = pair.split_once(':') else {
                let message = format!("`{}`: `{}` is no pair", field.path, shown(pair.trim()));
                return Err(self.report(refuse(message)));
            };
            let pressure = self.measured(field, x, pressure.trim(), &place);
            let other = self.measured(field, y, other.trim(), &place);
            let (pressure, other) = (pressure?, other?);
            if pressure.tolerance.or(other.tolerance).is_some() {
                let message = format!(
                    "`{}` has a tolerance at `{}`; a point is read without one",
                    field.path,
                    shown(pair.trim())
                );
                let problem = Problem::new(place.clone(), message).hint("leave out the part from `+-` on");
                return Err(self.report(problem));
            }
            if points.last().is_some_and(|before| before.0.si >= pressure.si) {
                let message = format!("the pressures of `{}` do not rise from point to point", field.path);
                return Err(self.report(refuse(message)));
            }
            points.push((pressure, other));
        }
        if points.len() < fewest || points.len() > MOST {
            let message = format!(
                "`{}` has {}; it must have from {fewest} to {MOST}",
                field.path,
                pairs_words(points.len())
            );
            return Err(self.report(refuse(message)));
        }
        Ok(points)
    }

    fn points_problem(&mut self, field: &Field, node: &Node, message: String) -> Reported {
        let place = self.document.place(node.span.clone());
        self.report(Problem::new(place, message).hint(format!("write {} = {}", field.key(), field.example)))
    }

    fn pair(
        &mut self,
        field: &'static Field,
        x: &Measure,
        y: &Measure,
        item: &Node,
    ) -> Result<Pair, Reported> {
        let Value::List(parts) = &item.value else {
            return Err(Reported(()));
        };
        let [first, second] = parts.as_slice() else {
            let message =
                format!("a point of `{}` has {} values; it must be a pair", field.path, parts.len());
            return Err(self.points_problem(field, item, message));
        };
        let first = self.coordinate(field, x, first);
        let second = self.coordinate(field, y, second);
        Ok((first?, second?))
    }

    fn coordinate(
        &mut self,
        field: &'static Field,
        measure: &Measure,
        node: &Node,
    ) -> Result<Quantity, Reported> {
        // A point is read like a field of its own, so that it gives the same messages.
        let example = match measure.dimension {
            Dimension::Pressure => "\"8 bar\"",
            Dimension::Current => "\"6 A\"",
            Dimension::Length => "\"80 mm\"",
            Dimension::Mass => "\"20 kg\"",
            Dimension::Fraction => "\"30 %\"",
            _ => "\"15 L/min\"",
        };
        let doc = if matches!(field.kind, Kind::Pair { .. }) {
            field.doc
        } else if measure.dimension == Dimension::Current {
            "a pump that runs draws current at every pressure"
        } else {
            "a point of a curve"
        };
        let as_field = Field { kind: Kind::Quantity(*measure), doc, example, ..*field };
        let (text, place) = self.quoted_in_file(&as_field, node)?;
        let quantity = self.measured(&as_field, measure, &text, &place)?;
        if quantity.tolerance.is_some() {
            let message =
                format!("`{}` has a tolerance at {}; a point is read without one", field.path, shown(&text));
            return Err(self.report(Problem::new(place, message).hint("leave out the part from `+-` on")));
        }
        Ok(quantity)
    }

    fn in_order(
        &mut self,
        field: &'static Field,
        order: Order,
        items: &[Node],
        pairs: &[Pair],
    ) -> Result<(), Reported> {
        let wrong = pairs.windows(2).position(|pair| match (pair, order) {
            ([(before, _), (after, _)], Order::Rising) => after.si <= before.si,
            ([(before, _), (after, _)], Order::Steps) => after.si < before.si,
            _ => false,
        });
        let Some(item) = wrong.and_then(|before| items.get(before + 1)) else { return Ok(()) };
        let place = self.document.place(item.span.clone());
        let (message, label, hint) = if order == Order::Rising {
            (
                format!("the pressures of `{}` do not rise from point to point", field.path),
                "not above the point before it",
                "sort the points by pressure, each pressure once",
            )
        } else {
            (
                format!("the heights of `{}` fall back", field.path),
                "below the point before it",
                "sort the points by height; a step is one height twice, before and after",
            )
        };
        Err(self.report(Problem::new(place, message).label(label).hint(hint)))
    }
}

fn values_words(count: usize) -> String {
    if count == 1 { "1 value".to_owned() } else { format!("{count} values") }
}

/// The pairs of a flag. Semicolons stand between them, or else commas; a comma between two digits is a decimal
/// comma, which the reader of quantities refuses by its name.
fn pairs_of(text: &str) -> Vec<&str> {
    if text.contains(';') {
        return text.split(';').collect();
    }
    let is_digit = |letter: Option<char>| letter.is_some_and(|letter| letter.is_ascii_digit());
    let mut pairs = Vec::new();
    let mut rest = text;
    for (at, _) in text.match_indices(',') {
        let (Some(before), Some(after)) = (text.get(..at), text.get(at + 1..)) else { continue };
        if is_digit(before.chars().next_back()) && is_digit(after.chars().next()) {
            continue;
        }
        let start = text.len() - rest.len();
        pairs.push(text.get(start..at).unwrap_or_default());
        rest = after;
    }
    pairs.push(rest);
    pairs
}

fn pairs_words(count: usize) -> String {
    if count == 1 { "1 pair".to_owned() } else { format!("{count} pairs") }
}
