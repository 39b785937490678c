//! The report as JSON.
//!
//! Keys are those of [`Report`], in its order. Numbers are in SI base units with the unit in the key; gauge
//! pressures end in `_pa_gauge`, absolute ones in `_pa_abs`. `null` stands where the rig does not say.
//! Keys may be added in later versions, none is renamed while `schema` is 1.

use serde::Serialize;

use super::Report;

/// The report as indented JSON with a closing line break.
#[must_use]
pub fn json(report: &Report) -> String {
    pretty(report)
}

/// Any answer as indented JSON with a closing line break.
///
/// The types of this crate always serialise: their keys are fixed words and a number that is not finite
/// becomes `null`.
#[must_use]
pub fn pretty(value: &impl Serialize) -> String {
    let mut text = serde_json::to_string_pretty(value).unwrap_or_default();
    text.push('\n');
    text
}
