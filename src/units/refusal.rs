//! Words for refusals.

use super::table::{Dimension, GRAVITY, POUND_FORCE, System, Unit};

/// `bar, kPa or psi`.
pub(super) fn listed(words: &[&str]) -> String {
    match words {
        [] => String::new(),
        [only] => (*only).to_owned(),
        [most @ .., last] => format!("{} or {last}", most.join(", ")),
    }
}

/// The cure for the mix-ups that are common enough to have one of their own.
pub(super) fn wrong_dimension_hint(si: f64, unit: &Unit, wanted: Dimension) -> Option<String> {
    let us = unit.system == System::Us;
    Some(match (unit.dimension, wanted) {
        (Dimension::Mass, Dimension::Force) => {
            let weight = si * GRAVITY;
            let weight = if us { figure(weight / POUND_FORCE, "lbf")? } else { figure(weight, "N")? };
            format!("its weight is `{weight}`; write that, or use a field that takes a mass")
        }
        (Dimension::Force, Dimension::Mass) => {
            let mass = si / GRAVITY;
            let mass = if us { figure(mass * GRAVITY / POUND_FORCE, "lb")? } else { figure(mass, "kg")? };
            format!("the mass with that weight is `{mass}`; write that, or use a field that takes a force")
        }
        (Dimension::Energy, Dimension::Charge) => {
            "divide watt-hours by the battery's voltage: 240 Wh at 24 V are 10 Ah".to_owned()
        }
        (Dimension::Angle, Dimension::Temperature) => "write degC, degF or K".to_owned(),
        (Dimension::Temperature, Dimension::Angle) => "write deg or rad".to_owned(),
        _ => return None,
    })
}

fn figure(value: f64, unit: &str) -> Option<String> {
    let text = super::display::significant(value, 4)?;
    Some(format!("{text} {unit}"))
}
