//! Raise and lower times in numbers.

use serde::Serialize;

use crate::answers::{LowerAnswer, RaiseAnswer, Times as Answered};

/// How long raising and lowering take; `None` where valves and hoses are not described.
#[derive(Debug, Clone, PartialEq, Serialize, Default)]
#[allow(missing_docs, reason = "named by quantity and unit")]
pub struct Times {
    pub raise_s: Option<f64>,
    pub lower_s: Option<f64>,
    /// Highest speed of the load on the way down.
    pub lower_speed_m_per_s: Option<f64>,
    /// From opening the valve to the first motion.
    pub raise_delay_s: Option<f64>,
    /// The moving parts alone.
    pub raise_empty_s: Option<f64>,
    pub raise_speed_m_per_s: Option<f64>,
    pub held_back_by: Option<&'static str>,
    pub stalls_at_travel_m: Option<f64>,
    pub end_energy_up_j: Option<f64>,
    pub end_energy_down_j: Option<f64>,
    /// Highest speed of the load if a hose comes off at the cylinders.
    pub torn_hose_speed_m_per_s: Option<f64>,
    /// Travel from which the load leaps on trapped air while rising.
    pub leaps_at_travel_m: Option<f64>,
    /// Travel from which the load drops on trapped air while sinking.
    pub drops_at_travel_m: Option<f64>,
}

impl Times {
    pub(super) fn new(times: &Answered) -> Self {
        let mut row =
            Self { torn_hose_speed_m_per_s: times.torn_hose.map(|speed| speed.value), ..Self::default() };
        match times.raise {
            Some(RaiseAnswer::Arrives { delay, total, held_back_by, fastest, end_energy, leaps }) => {
                row.raise_s = Some(total.value);
                row.raise_delay_s = Some(delay.value);
                row.held_back_by = Some(held_back_by);
                row.raise_speed_m_per_s = Some(fastest.value);
                row.end_energy_up_j = Some(end_energy.value);
                row.leaps_at_travel_m = leaps.map(|travel| travel.value);
            }
            Some(RaiseAnswer::Stalls(travel)) => row.stalls_at_travel_m = Some(travel.value),
            None => {}
        }
        if let Some(RaiseAnswer::Arrives { total, .. }) = times.raise_empty {
            row.raise_empty_s = Some(total.value);
        }
        if let Some(LowerAnswer::Arrives { total, fastest, end_energy, drops, .. }) = times.lower {
            row.lower_s = Some(total.value);
            row.lower_speed_m_per_s = Some(fastest.value);
            row.end_energy_down_j = Some(end_energy.value);
            row.drops_at_travel_m = drops.map(|travel| travel.value);
        }
        row
    }
}
