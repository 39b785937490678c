//! What can hurt somebody.

use serde::Serialize;

use crate::answers::Verdict;
use crate::report::{Default, FaultRow, Order, ProtectorRow, Report, RuleRow, StateRow, StepRow, StoreRow};

/// The report of `faults`; its text is [`faults_text`](crate::report::terminal::faults_text).
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(missing_docs, reason = "as in the report of `check`")]
pub struct Faults<'a> {
    pub schema: u32,
    pub title: &'a str,
    /// The worst of gaps and faults.
    pub verdict: &'static str,
    pub pressure_order: &'a Order,
    pub faults: &'a [FaultRow],
    pub states: &'a [StateRow],
    pub protection: &'a [ProtectorRow],
    pub energy: &'a [StoreRow],
    pub rules: &'a [RuleRow],
    pub defaults: &'a [Default],
    pub cautions: &'a [String],
    /// How each figure comes about, if it was asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub working: Option<&'a [StepRow]>,
}

impl<'a> Faults<'a> {
    /// The report of the hazards.
    #[must_use]
    pub fn new(report: &'a Report, verdict: Verdict) -> Self {
        Self {
            schema: report.schema,
            title: &report.title,
            verdict: verdict.word(),
            pressure_order: &report.pressure_order,
            faults: &report.faults,
            states: &report.states,
            protection: &report.protection,
            energy: &report.energy.parts,
            rules: &report.rules,
            defaults: &report.defaults,
            cautions: &report.cautions,
            working: report.working.as_deref(),
        }
    }
}
