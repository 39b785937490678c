//! What can hurt somebody, in numbers and sentences.

use serde::Serialize;

use super::words;
use crate::answers::{Fault, Gap, Hazards, PressureOrder, Protector, Rule, Rung, State, Store};
use crate::answers::{WINDOW_HIGH, WINDOW_LOW};
use crate::units::display::{show, show_at_least, show_at_most};
use crate::units::{Dimension, UnitSystem};

/// Every pressure on one scale.
#[derive(Debug, Clone, PartialEq, Serialize, Default)]
#[allow(missing_docs, reason = "named by what they hold")]
pub struct Order {
    /// The highest first.
    pub rungs: Vec<RungRow>,
    /// The worst first.
    pub gaps: Vec<GapRow>,
}

/// A pressure with the ends of its interval.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(missing_docs, reason = "named by quantity and unit")]
pub struct RungRow {
    pub name: &'static str,
    pub field: Option<&'static str>,
    pub low_pa_gauge: f64,
    pub middle_pa_gauge: f64,
    pub high_pa_gauge: f64,
    pub is_rating: bool,
}

/// Two neighbours of the order.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(missing_docs, reason = "named by quantity and unit")]
pub struct GapRow {
    pub lower: &'static str,
    pub upper: &'static str,
    pub verdict: &'static str,
    /// Room between the unfavourable ends, what must lie between taken off.
    pub room_pa: f64,
    pub wanted_pa: f64,
    pub margin: f64,
    pub advice: String,
}

/// A single fault.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(missing_docs, reason = "as of a check")]
pub struct FaultRow {
    pub id: String,
    pub verdict: &'static str,
    pub value: Option<f64>,
    pub limit: Option<f64>,
    pub margin: Option<f64>,
    pub unit: &'static str,
    pub happens: String,
    pub advice: String,
    pub figures: Vec<FigureRow>,
    /// Fields of the rig file that protect here.
    pub protected_by: Vec<&'static str>,
    /// Topic of `explain` behind it.
    pub topic: &'static str,
    #[serde(skip)]
    pub dimension: Dimension,
}

/// A number that follows from a fault.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(missing_docs, reason = "named by what they hold")]
pub struct FigureRow {
    pub name: &'static str,
    pub value: f64,
    pub unit: &'static str,
    #[serde(skip)]
    pub dimension: Dimension,
}

/// Valves and load in one phase.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(missing_docs, reason = "named by what they hold")]
pub struct StateRow {
    pub phase: &'static str,
    pub raise_valve: &'static str,
    pub lower_valve: &'static str,
    pub lock: &'static str,
    pub load: String,
}

/// A field that protects.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[allow(missing_docs, reason = "named by what they hold")]
pub struct ProtectorRow {
    pub field: &'static str,
    /// Faults that it bears on.
    pub against: &'static [&'static str],
}

/// Energy in the air of a part.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(missing_docs, reason = "named by quantity and unit")]
pub struct StoreRow {
    pub part: &'static str,
    pub pressure_pa_gauge: f64,
    pub volume_m3: f64,
    pub isentropic_j: f64,
    pub pressure_test_j: f64,
    /// Height from which 75 kg fall with that energy.
    pub fall_of_75_kg_m: f64,
}

/// A published threshold.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(missing_docs, reason = "named by what they hold")]
pub struct RuleRow {
    pub document: &'static str,
    pub clause: &'static str,
    pub jurisdiction: &'static str,
    pub about: &'static str,
    pub value: f64,
    /// None where the rule holds for every size.
    pub threshold: Option<f64>,
    pub unit: &'static str,
    pub above: bool,
    /// How its text was seen: empty for the text itself.
    pub standing: &'static str,
    /// What to do, which is to read the rule.
    pub advice: String,
}

impl Order {
    pub(super) fn new(order: &PressureOrder, units: UnitSystem) -> Self {
        let rung = |rung: &Rung| RungRow {
            name: rung.name,
            field: rung.field,
            low_pa_gauge: rung.low_pa,
            middle_pa_gauge: rung.middle_pa,
            high_pa_gauge: rung.high_pa,
            is_rating: rung.is_rating,
        };
        let gap = |gap: &Gap| GapRow {
            lower: gap.lower,
            upper: gap.upper,
            verdict: gap.verdict.word(),
            room_pa: gap.room_pa,
            wanted_pa: gap.wanted_pa,
            margin: gap.margin,
            advice: words(&gap.advice, units),
        };
        Self { rungs: order.rungs.iter().map(rung).collect(), gaps: order.gaps.iter().map(gap).collect() }
    }
}

impl RungRow {
    /// One of its pressures as it is shown: an end of the window, which a reader is to keep to, rounds inwards.
    pub(super) fn shown(&self, pascals: f64, units: UnitSystem) -> String {
        let show = match self.name {
            WINDOW_LOW => show_at_least,
            WINDOW_HIGH => show_at_most,
            _ => show,
        };
        show(pascals, Dimension::Pressure, units)
    }
}

impl FaultRow {
    pub(super) fn new(fault: &Fault, hazards: &Hazards, units: UnitSystem) -> Self {
        let check = &fault.check;
        let protects = |protector: &&Protector| protector.faults.contains(&check.id.as_ref());
        Self {
            id: check.id.to_string(),
            verdict: check.verdict.word(),
            value: check.value,
            limit: check.limit,
            margin: check.margin,
            unit: check.dimension.si_unit(),
            happens: words(&fault.happens, units),
            advice: words(&check.advice, units),
            figures: fault
                .figures
                .iter()
                .map(|figure| FigureRow {
                    name: figure.name,
                    value: figure.value,
                    unit: figure.dimension.si_unit(),
                    dimension: figure.dimension,
                })
                .collect(),
            protected_by: hazards
                .protectors
                .iter()
                .filter(protects)
                .map(|protector| protector.field)
                .collect(),
            topic: fault.formula.topic,
            dimension: check.dimension,
        }
    }
}

impl StateRow {
    pub(super) fn new(state: &State, units: UnitSystem) -> Self {
        Self {
            phase: state.phase,
            raise_valve: state.raise,
            lower_valve: state.lower,
            lock: state.lock,
            load: words(&state.load, units),
        }
    }
}

impl ProtectorRow {
    pub(super) fn new(protector: &Protector) -> Self {
        Self { field: protector.field, against: protector.faults }
    }
}

impl StoreRow {
    pub(super) fn new(store: &Store) -> Self {
        Self {
            part: store.part,
            pressure_pa_gauge: store.pressure.pascals(),
            volume_m3: store.volume.value,
            isentropic_j: store.isentropic.value,
            pressure_test_j: store.pressure_test.value,
            fall_of_75_kg_m: store.fall_m,
        }
    }
}

impl RuleRow {
    pub(super) fn new(rule: &Rule) -> Self {
        Self {
            document: rule.document,
            clause: rule.clause,
            jurisdiction: rule.jurisdiction,
            about: rule.about,
            value: rule.value,
            threshold: rule.threshold,
            unit: rule.unit,
            above: rule.above,
            standing: rule.standing,
            advice: rule_advice(rule),
        }
    }
}

/// What a reader is to do about a rule, which is to read it.
fn rule_advice(rule: &Rule) -> String {
    let side = if rule.above { "above" } else { "not above" };
    let held = rule.threshold.map_or_else(String::new, |threshold| {
        // Up to four digits; a threshold in psi or cubic feet is no round figure in bar or L.
        format!("{side} {} {}, ", show(threshold, Dimension::Number, UnitSystem::Metric), rule.unit)
    });
    let standing = if rule.standing.is_empty() { String::new() } else { format!(" ({})", rule.standing) };
    format!("{held}{}: read this rule{standing}", rule.about)
}
