//! Single values: texts, words, numbers, quantities.

use uom::si::f64::{
    Angle, Area, ElectricCharge, ElectricCurrent, ElectricPotential, Energy, Force, HeatTransfer, Length,
    Mass, MassRate, Power, Pressure, Ratio, ThermalConductance, ThermodynamicTemperature, Time, Velocity,
    Volume, VolumeRate,
};
use uom::si::{
    angle::radian, area::square_meter, electric_charge::coulomb, electric_current::ampere,
    electric_potential::volt, energy::joule, force::newton, heat_transfer::watt_per_square_meter_kelvin,
    length::meter, mass::kilogram, mass_rate::kilogram_per_second, power::watt, pressure::pascal,
    ratio::ratio, thermal_conductance::watt_per_kelvin, thermodynamic_temperature::kelvin, time::second,
    velocity::meter_per_second, volume::cubic_meter, volume_rate::cubic_meter_per_second,
};

use super::{Reported, Resolver, flag_place};
use crate::rig::DefaultUsed;
use crate::rig::document::Stated;
use crate::rig::fields::{self, Bound, Field, Kind, Measure, Need, PressureKind, range_said_as, range_words};
use crate::rig::problem::{Place, Problem, is_hidden, shown};
use crate::rig::tree::{Node, Value};
use crate::rig::unknown::closest;
use crate::units::display::{UnitSystem, show, show_at_least, show_at_most};
use crate::units::parse::{Quantity, parse};
use crate::units::table::{System, units_for};
use crate::units::{Dimension, FreeAirFlow, GaugePressure, Mark, ReferenceState};

/// Longest name that a table of results can show.
pub(in crate::rig) const LONGEST_TEXT: usize = 100;

/// A type that a quantity of a field becomes, from its SI base unit.
pub(super) trait FromSi {
    fn from_si(si: f64) -> Self;
}

macro_rules! from_si {
    ($($quantity:ident: $unit:ident),* $(,)?) => {
        $(impl FromSi for $quantity {
            fn from_si(si: f64) -> Self {
                Self::new::<$unit>(si)
            }
        })*
    };
}

from_si! {
    Angle: radian,
    Area: square_meter,
    ElectricCharge: coulomb,
    ElectricCurrent: ampere,
    ElectricPotential: volt,
    Energy: joule,
    Force: newton,
    HeatTransfer: watt_per_square_meter_kelvin,
    Length: meter,
    Mass: kilogram,
    Power: watt,
    Pressure: pascal,
    Ratio: ratio,
    ThermalConductance: watt_per_kelvin,
    ThermodynamicTemperature: kelvin,
    Time: second,
    Velocity: meter_per_second,
    Volume: cubic_meter,
}

impl FromSi for GaugePressure {
    fn from_si(si: f64) -> Self {
        Self::new(Pressure::new::<pascal>(si))
    }
}

/// A flow of air as it was given.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Flow {
    /// By volume, at the stated reference state, or at the one that the field takes for granted.
    Volume(FreeAirFlow),
    /// By mass.
    Mass(MassRate),
}

/// A value of the file or of a flag, on its way to be understood.
#[derive(Debug, Clone, Copy)]
pub(super) struct Written<'d> {
    pub(super) field: &'static Field,
    pub(super) stated: Stated<'d>,
}

impl<'d> Resolver<'d> {
    pub(super) fn written(&mut self, path: &'static str) -> Result<Written<'d>, Reported> {
        // A path that the table does not hold is a fault of this program; the tests ask for every one.
        let field = fields::field(path).ok_or(Reported(()))?;
        Ok(Written { field, stated: self.stated(path) })
    }

    /// A quantity that must be given.
    pub(super) fn required<T: FromSi>(&mut self, path: &'static str) -> Result<T, Reported> {
        match self.optional(path)? {
            Some(value) => Ok(value),
            None => Err(self.missing_path(path)),
        }
    }

    pub(super) fn missing_path(&mut self, path: &'static str) -> Reported {
        match fields::field(path) {
            Some(field) => self.missing(field),
            None => Reported(()),
        }
    }

    /// A quantity that may be left out.
    pub(super) fn optional<T: FromSi>(&mut self, path: &'static str) -> Result<Option<T>, Reported> {
        let written = self.written(path)?;
        let quantity = self.quantity(written)?;
        self.note_tolerance(path, quantity, 1.0);
        Ok(quantity.map(|quantity| T::from_si(quantity.si)))
    }

    /// A quantity for which the field table has a default.
    pub(super) fn with_default<T: FromSi>(&mut self, path: &'static str) -> Result<T, Reported> {
        if let Some(value) = self.optional(path)? {
            return Ok(value);
        }
        let Some(Field { need: Need::Default(default), .. }) = fields::field(path) else {
            return Err(Reported(()));
        };
        self.default_of(path, default)
    }

    /// Uses a default and notes it.
    pub(super) fn default_of<T: FromSi>(
        &mut self,
        path: &'static str,
        default: &'static str,
    ) -> Result<T, Reported> {
        let Some(Field { kind: Kind::Quantity(measure), .. }) = fields::field(path) else {
            return Err(Reported(()));
        };
        let quantity = parse(default, measure.dimension).map_err(|_| Reported(()))?;
        self.note_default(path, default);
        Ok(T::from_si(quantity.si))
    }

    pub(super) fn note_default(&mut self, field: &'static str, value: &'static str) {
        if !self.defaults.iter().any(|used| used.field == field) {
            self.defaults.push(DefaultUsed { field, value });
        }
    }

    /// Keeps a stated tolerance; `scale` brings it from the field's SI unit to that of the model.
    pub(super) fn note_tolerance(&mut self, path: &'static str, quantity: Option<Quantity>, scale: f64) {
        if let Some(half_width) = quantity.and_then(|quantity| quantity.tolerance) {
            self.tolerances.insert(path, half_width * scale);
        }
    }

    /// A flow of air; a volume without a reference state is counted at `plain`. Gives the number of SI units
    /// of its own kind beside it.
    pub(super) fn flow(
        &mut self,
        path: &'static str,
        plain: ReferenceState,
    ) -> Result<Option<(Flow, Quantity)>, Reported> {
        let written = self.written(path)?;
        Ok(self.quantity(written)?.map(|quantity| (as_flow(&quantity, plain), quantity)))
    }

    /// A quantity of any place: read, turned into the kind of its field, and held to its range.
    pub(super) fn quantity(&mut self, written: Written<'d>) -> Result<Option<Quantity>, Reported> {
        let Kind::Quantity(measure) = written.field.kind else { return Err(Reported(())) };
        let Some((text, place)) = self.quoted(written)? else { return Ok(None) };
        self.measured(written.field, &measure, &text, &place).map(Some)
    }

    /// The text of a value that must stand in quotes, and its place.
    fn quoted(&mut self, written: Written<'d>) -> Result<Option<(String, Place)>, Reported> {
        let field = written.field;
        match written.stated {
            Stated::Absent => Ok(None),
            Stated::Broken | Stated::Lost => Err(Reported(())),
            Stated::Flag(text) => Ok(Some((text.to_owned(), flag_place(field.path, text)))),
            Stated::File(node) => self.quoted_in_file(field, node).map(Some),
        }
    }

    pub(super) fn quoted_in_file(&mut self, field: &Field, node: &Node) -> Result<(String, Place), Reported> {
        let place = self.document.place(node.span.clone());
        match (&node.value, field.kind) {
            (Value::Text(text), _) => Ok((text.clone(), place)),
            (Value::Broken, _) => Err(Reported(())),
            (Value::Number(number), Kind::Quantity(measure)) => {
                let message = format!("`{}` is {}, a number without a unit", field.path, shown(number));
                let problem = Problem::new(place, message).hint(unit_hint(field, measure.dimension));
                Err(self.report(problem))
            }
            (value, kind) => {
                let needed = match kind {
                    Kind::Quantity(measure) => format!("{} with its unit", measure.dimension.words()),
                    _ => "a text".to_owned(),
                };
                let message =
                    format!("`{}` is {}; it must be {needed}, in quotes", field.path, value.words());
                let problem =
                    Problem::new(place, message).hint(format!("write {} = {}", field.key(), field.example));
                Err(self.report(problem))
            }
        }
    }

    /// Reads a quantity, turns it into the kind of its field and holds it to its range.
    pub(super) fn measured(
        &mut self,
        field: &Field,
        measure: &Measure,
        text: &str,
        place: &Place,
    ) -> Result<Quantity, Reported> {
        let read = parse(text, measure.dimension);
        let quantity = read.map_err(|error| {
            let value = shown(text);
            let reason = shorter(&error.reason);
            let message =
                if error.reason.contains(text) && text.len() <= value.len() && !text.trim().is_empty() {
                    format!("`{}`: {reason}", field.path)
                } else {
                    format!("`{}` is \"{value}\": {reason}", field.path)
                };
            let hint = confused_hint(field, text)
                .or_else(|| grade_hint(measure, text))
                .or(error.hint)
                .unwrap_or_else(|| unit_hint(field, measure.dimension));
            self.report(Problem::new(place.clone(), message).hint(shorter(&hint)))
        })?;
        let quantity = self.of_field_kind(field, measure, quantity, text, place)?;
        self.within_range(field, measure, quantity, text, place)
    }

    /// A pressure as gauge, absolute or difference, whichever the field holds.
    fn of_field_kind(
        &mut self,
        field: &Field,
        measure: &Measure,
        quantity: Quantity,
        text: &str,
        place: &Place,
    ) -> Result<Quantity, Reported> {
        let value = shown(text);
        match (measure.pressure, quantity.mark) {
            (PressureKind::Gauge, Mark::Absolute) => {
                let atmosphere = self.site()?.atmosphere.pascals();
                Ok(Quantity { si: quantity.si - atmosphere, ..quantity })
            }
            (PressureKind::Difference, Mark::Absolute) => {
                let message =
                    format!("`{}` is {value}, an absolute pressure; it must be a difference", field.path);
                let hint = format!("write it without `abs` or `(a)`, for example {}", field.example);
                Err(self.report(Problem::new(place.clone(), message).hint(hint)))
            }
            (PressureKind::Absolute, Mark::Gauge) => {
                let message = format!(
                    "`{}` is {value}, a gauge pressure; a barometer shows an absolute one",
                    field.path
                );
                let hint =
                    format!("write the absolute pressure at the place itself, for example {}", field.example);
                Err(self.report(Problem::new(place.clone(), message).hint(hint)))
            }
            _ => Ok(quantity),
        }
    }

    fn within_range(
        &mut self,
        field: &Field,
        measure: &Measure,
        quantity: Quantity,
        text: &str,
        place: &Place,
    ) -> Result<Quantity, Reported> {
        // A mass flow is held to the range of the volume flow of the same air.
        let scale = if quantity.dimension == Dimension::MassFlow { ANR_DENSITY_KG_PER_M3 } else { 1.0 };
        let low = bound_si(measure.low, measure.dimension) * scale;
        let high = bound_si(measure.high, measure.dimension) * scale;
        let mut rule = range_in(quantity.unit.system, measure);
        if measure.pressure == PressureKind::Gauge && quantity.mark == Mark::Absolute {
            rule.push_str(" gauge");
        }
        if !(lies_above(quantity.si, measure.low, low) && lies_below(quantity.si, measure.high, high)) {
            let message = format!("`{}` is {}; it must be {rule}", field.path, shown(text));
            let problem = Problem::new(place.clone(), message).hint(range_hint(field, measure, &quantity));
            return Err(self.report(problem));
        }
        let Some(half) = quantity.tolerance else { return Ok(quantity) };
        let lowest = snapped(quantity.si - half, low, quantity.si);
        let highest = snapped(quantity.si + half, high, quantity.si);
        let beyond = if !lies_above(lowest, measure.low, low) {
            Some(("down", lowest))
        } else if !lies_below(highest, measure.high, high) {
            Some(("up", highest))
        } else {
            None
        };
        let Some((way, end)) = beyond else { return Ok(quantity) };
        let system = if quantity.unit.system == System::Us { UnitSystem::Us } else { UnitSystem::Metric };
        let message = format!(
            "the tolerance of `{}` in {} reaches {way} to {}; both ends must be {rule}",
            field.path,
            shown(text),
            show(end, quantity.dimension, system),
        );
        let hint = "write a smaller tolerance, or the middle of what is possible and half its width";
        Err(self.report(Problem::new(place.clone(), message).hint(hint)))
    }

    /// A free text.
    pub(super) fn text(&mut self, path: &'static str) -> Result<String, Reported> {
        let written = self.written(path)?;
        match (self.text_of(written)?, written.field.need) {
            (Some(text), _) => Ok(text),
            (None, Need::Default(default)) => Ok(default.to_owned()),
            (None, _) => Err(self.missing(written.field)),
        }
    }

    pub(super) fn text_of(&mut self, written: Written<'d>) -> Result<Option<String>, Reported> {
        let Some((text, place)) = self.quoted(written)? else { return Ok(None) };
        let rule = if text.trim().is_empty() {
            "it must not be empty".to_owned()
        } else if text.chars().count() > LONGEST_TEXT {
            format!("it must have at most {LONGEST_TEXT} characters")
        } else if text.chars().any(is_hidden) {
            "it must be one line without control characters".to_owned()
        } else {
            return Ok(Some(text));
        };
        let message = format!("`{}` is \"{}\"; {rule}", written.field.path, shown(&text));
        let hint = if text.chars().any(is_hidden) {
            "leave out backslashes, which have a special meaning in a text".to_owned()
        } else {
            example_hint(written.field, &place)
        };
        Err(self.report(Problem::new(place, message).hint(hint)))
    }

    /// One of the words of a field, or `None` if it is left out.
    pub(super) fn word(&mut self, path: &'static str) -> Result<Option<&'static str>, Reported> {
        let written = self.written(path)?;
        self.word_of(written)
    }

    pub(super) fn word_of(&mut self, written: Written<'d>) -> Result<Option<&'static str>, Reported> {
        let Kind::Words(words) = written.field.kind else { return Err(Reported(())) };
        let Some((text, place)) = self.quoted(written)? else { return Ok(None) };
        let plain = text.trim().to_lowercase();
        if let Some(word) = words.iter().find(|word| **word == plain) {
            return Ok(Some(word));
        }
        let joined = plain.replace([' ', '_'], "-");
        let near = words
            .iter()
            .find(|word| word.replace(' ', "-") == joined || plain.split_whitespace().next() == Some(**word))
            .copied()
            .or_else(|| closest(&plain, words));
        let list = words.iter().map(|word| format!("\"{word}\"")).collect::<Vec<_>>().join(", ");
        let message = format!("`{}` is \"{}\"; it must be one of {list}", written.field.path, shown(&text));
        let hint = match near {
            Some(near) => format!("did you mean \"{near}\"?"),
            None => written.field.doc.to_owned(),
        };
        Err(self.report(Problem::new(place, message).hint(hint)))
    }

    /// A whole number, or `None` if it is left out.
    pub(super) fn count(&mut self, path: &'static str) -> Result<Option<u32>, Reported> {
        let written = self.written(path)?;
        self.count_of(written)
    }

    pub(super) fn count_of(&mut self, written: Written<'d>) -> Result<Option<u32>, Reported> {
        let path = written.field.path;
        let Kind::Count { low, high } = written.field.kind else { return Err(Reported(())) };
        let Some((text, place)) = self.bare(written)? else { return Ok(None) };
        // TOML allows underscores between digits and a plus sign.
        let digits = text.trim().replace('_', "");
        match digits.parse::<u32>() {
            Ok(number) if (low..=high).contains(&number) => Ok(Some(number)),
            _ => {
                let message =
                    format!("`{path}` is {}; it must be a whole number from {low} to {high}", shown(&text));
                let hint = example_hint(written.field, &place);
                Err(self.report(Problem::new(place, message).hint(hint)))
            }
        }
    }

    /// A plain number for which the field table has a default.
    pub(super) fn number_or(&mut self, path: &'static str) -> Result<f64, Reported> {
        if let Some(number) = self.number(path)? {
            return Ok(number);
        }
        let Some(Field { need: Need::Default(default), .. }) = fields::field(path) else {
            return Err(Reported(()));
        };
        self.note_default(path, default);
        default.parse().map_err(|_| Reported(()))
    }

    /// A plain number, or `None` if it is left out.
    pub(super) fn number(&mut self, path: &'static str) -> Result<Option<f64>, Reported> {
        let written = self.written(path)?;
        self.number_of(written)
    }

    pub(super) fn number_of(&mut self, written: Written<'d>) -> Result<Option<f64>, Reported> {
        let path = written.field.path;
        let Kind::Number { low, high } = written.field.kind else { return Err(Reported(())) };
        let Some((text, place)) = self.bare(written)? else { return Ok(None) };
        let value = text.trim().replace('_', "").parse::<f64>().unwrap_or(f64::NAN);
        let (lowest, highest) = (plain_number(low), plain_number(high));
        if lies_above(value, low, lowest) && lies_below(value, high, highest) {
            return Ok(Some(value));
        }
        let message = format!("`{path}` is {}; it must be a number {}", shown(&text), range_words(low, high));
        let hint = example_hint(written.field, &place);
        Err(self.report(Problem::new(place, message).hint(hint)))
    }

    /// The text of a number that stands without quotes in the file, and its place.
    fn bare(&mut self, written: Written<'d>) -> Result<Option<(String, Place)>, Reported> {
        let field = written.field;
        let node = match written.stated {
            Stated::Absent => return Ok(None),
            Stated::Broken | Stated::Lost => return Err(Reported(())),
            Stated::Flag(text) => return Ok(Some((text.to_owned(), flag_place(field.path, text)))),
            Stated::File(node) => node,
        };
        let place = self.document.place(node.span.clone());
        let needed =
            if matches!(field.kind, Kind::Count { .. }) { "a whole number" } else { "a plain number" };
        match &node.value {
            Value::Number(number) => Ok(Some((number.clone(), place))),
            Value::Broken => Err(Reported(())),
            Value::Text(text) => {
                let message = format!(
                    "`{}` is the text \"{}\"; it must be {needed}, without quotes and unit",
                    field.path,
                    shown(text)
                );
                let hint = format!("write {} = {}", field.key(), field.example);
                Err(self.report(Problem::new(place, message).hint(hint)))
            }
            value => {
                let message = format!("`{}` is {}; it must be {needed}", field.path, value.words());
                let hint = format!("write {} = {}", field.key(), field.example);
                Err(self.report(Problem::new(place, message).hint(hint)))
            }
        }
    }
}

/// Density by which a mass flow is compared with a volume flow when only the size matters (ISO 8778).
const ANR_DENSITY_KG_PER_M3: f64 = 1.185;

/// A quantity of air flow as what it is.
pub(super) fn as_flow(quantity: &Quantity, plain: ReferenceState) -> Flow {
    if quantity.dimension == Dimension::MassFlow {
        return Flow::Mass(MassRate::new::<kilogram_per_second>(quantity.si));
    }
    let reference = match quantity.mark {
        Mark::FreeAir(reference) => reference,
        _ => plain,
    };
    Flow::Volume(FreeAirFlow::new(VolumeRate::new::<cubic_meter_per_second>(quantity.si), reference))
}

/// The end of a range in SI. The tests read every one; an end that cannot be read would let nothing through.
fn bound_si(bound: Bound, dimension: Dimension) -> f64 {
    parse(bound.text(), dimension).map_or(f64::NAN, |quantity| quantity.si)
}

fn plain_number(bound: Bound) -> f64 {
    bound.text().parse().unwrap_or(f64::NAN)
}

/// Rounding in the conversion of units must not push a value over an end that it was meant to meet.
const SLACK: f64 = 1e-12;

/// An end of a spread, put onto the end of the range where only rounding keeps the two apart. The rounding is
/// that of the `value` in the middle.
fn snapped(reached: f64, end: f64, value: f64) -> f64 {
    if (reached - end).abs() <= SLACK * value.abs() { end } else { reached }
}

fn lies_above(value: f64, bound: Bound, end: f64) -> bool {
    match bound {
        Bound::Included(_) => value >= end - SLACK * end.abs(),
        Bound::Excluded(_) => value > end,
    }
}

fn lies_below(value: f64, bound: Bound, end: f64) -> bool {
    match bound {
        Bound::Included(_) => value <= end + SLACK * end.abs(),
        Bound::Excluded(_) => value < end,
    }
}

/// The range in the family of units that the value was written in, each end rounded to the side on which it is kept.
fn range_in(system: System, measure: &Measure) -> String {
    if system != System::Us {
        return range_words(measure.low, measure.high);
    }
    let dimension = measure.dimension;
    let least = show_at_least(bound_si(measure.low, dimension), dimension, UnitSystem::Us);
    let most = show_at_most(bound_si(measure.high, dimension), dimension, UnitSystem::Us);
    range_said_as(measure.low, measure.high, &least, &most)
}

fn range_hint(field: &Field, measure: &Measure, quantity: &Quantity) -> String {
    if measure.pressure == PressureKind::Absolute {
        return "a barometer here is the absolute pressure at the place itself, not the sea-level figure of a \
                forecast"
            .to_owned();
    }
    if measure.dimension == Dimension::Pressure && quantity.mark == Mark::Absolute && quantity.si < 0.0 {
        return "an absolute pressure below that of the atmosphere is a vacuum; is it a gauge pressure?"
            .to_owned();
    }
    let turned = -quantity.si;
    let fits_turned = lies_above(turned, measure.low, bound_si(measure.low, measure.dimension))
        && lies_below(turned, measure.high, bound_si(measure.high, measure.dimension));
    if quantity.si < 0.0 && measure.dimension != Dimension::Temperature && fits_turned {
        return format!("{}; write it without the minus sign", lower_doc(field));
    }
    format!("{}; an example is {}", lower_doc(field), field.example)
}

fn lower_doc(field: &Field) -> String {
    super::lower_first(field.doc)
}

/// What to write, in the file or as a flag.
fn example_hint(field: &Field, place: &Place) -> String {
    match place {
        Place::Flag { flag, .. } => format!("give `{flag} {}`", field.example),
        _ => format!("write {} = {}", field.key(), field.example),
    }
}

/// What to write where a unit is missing.
fn unit_hint(field: &Field, dimension: Dimension) -> String {
    let start = format!("write {} in quotes with its unit, for example {}", dimension.words(), field.example);
    match units_for(dimension).as_slice() {
        [] | [_] => start,
        units => format!("{start}; units: {}", units.join(", ")),
    }
}

/// The cure for a value that belongs in another field.
fn confused_hint(field: &Field, text: &str) -> Option<String> {
    let confused = field.confused.iter().find(|(dimension, _)| parse(text, *dimension).is_ok());
    confused.map(|(_, hint)| (*hint).to_owned())
}

/// A slope in percent, as the angle that it is.
fn grade_hint(measure: &Measure, text: &str) -> Option<String> {
    if measure.dimension != Dimension::Angle || !text.contains('%') {
        return None;
    }
    let rise = parse(text, Dimension::Fraction).ok()?.si;
    let angle = show(rise.atan(), Dimension::Angle, UnitSystem::Metric);
    Some(format!(
        "a rise of {} over the length is an angle of {angle}; write \"{angle}\"",
        shown(text.trim())
    ))
}

/// A message of the unit reader, which repeats what was written, cut to what a terminal can take.
fn shorter(message: &str) -> String {
    const LONGEST: usize = 300;
    let mut short: String = message
        .chars()
        .map(|character| if is_hidden(character) { '\u{fffd}' } else { character })
        .take(LONGEST)
        .collect();
    if message.chars().count() > LONGEST {
        short.push_str("...");
    }
    short
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rig::fields::FIELDS;

    #[test]
    fn every_end_of_every_range_can_be_read() {
        for field in FIELDS {
            let measures = match field.kind {
                Kind::Quantity(measure) | Kind::Pair { measure, .. } => vec![measure],
                Kind::Points { x, y, .. } => vec![x, y],
                Kind::Number { low, high } => {
                    assert!(plain_number(low) < plain_number(high), "{}", field.path);
                    vec![]
                }
                _ => vec![],
            };
            for measure in measures {
                let low = bound_si(measure.low, measure.dimension);
                let high = bound_si(measure.high, measure.dimension);
                assert!(low < high, "{}", field.path);
            }
        }
    }

    #[test]
    fn every_end_that_is_printed_in_us_units_keeps_to_the_range() {
        let is_in = |said: &str, measure: &Measure| {
            let si = parse(said, measure.dimension).map_or(f64::NAN, |quantity| quantity.si);
            let (low, high) =
                (bound_si(measure.low, measure.dimension), bound_si(measure.high, measure.dimension));
            // What is not allowed itself is announced by `above` and `below`.
            (si >= low - SLACK * low.abs()) && (si <= high + SLACK * high.abs())
        };
        for field in FIELDS {
            let Kind::Quantity(measure) = field.kind else { continue };
            let range = range_in(System::Us, &measure);
            let plain = ["from ", "at least ", "above "].iter().find_map(|word| range.strip_prefix(word));
            let ends = plain.and_then(|ends| {
                [" to ", " and below ", " and at most "].iter().find_map(|between| ends.split_once(between))
            });
            let (low, high) = ends.unwrap_or_else(|| panic!("{}: {range}", field.path));
            assert!(is_in(low, &measure) && is_in(high, &measure), "{}: {range}", field.path);
            assert_eq!(range.starts_with("above"), matches!(measure.low, Bound::Excluded(_)), "{range}");
        }
    }

    #[test]
    fn every_default_is_a_value_of_its_field() {
        for field in FIELDS {
            if let (Kind::Quantity(measure), Need::Default(default)) = (field.kind, field.need) {
                assert!(parse(default, measure.dimension).is_ok(), "{}: {default}", field.path);
            }
        }
    }
}
