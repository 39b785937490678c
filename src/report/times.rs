//! Raise and lower times in numbers.

use serde::Serialize;

use crate::answers::{Growth, LowerAnswer, RaiseAnswer, Times as Answered};
use crate::rig::Rig;

/// How long raising and lowering take; `None` where valves and hoses are not described.
#[derive(Debug, Clone, PartialEq, Serialize, Default)]
#[allow(missing_docs, reason = "named by quantity and unit")]
pub struct Times {
    pub raise_s: Option<f64>,
    pub lower_s: Option<f64>,
    /// Highest speed of the load on the way down.
    pub lower_speed_m_per_s: Option<f64>,
    /// The same once the air under it bears it; lower where return air makes it drop at first.
    pub lower_steady_speed_m_per_s: Option<f64>,
    /// From opening the valve to the first motion.
    pub raise_delay_s: Option<f64>,
    /// The moving parts alone.
    pub raise_empty_s: Option<f64>,
    /// The load at the heavy end of its tolerance; the load itself where none is stated.
    pub raise_heaviest_s: Option<f64>,
    pub raise_speed_m_per_s: Option<f64>,
    pub held_back_by: Option<String>,
    /// What the air that leaves the rod side of double-acting cylinders adds to the raise, where it is followed.
    pub raise_rod_side_adds_s: Option<f64>,
    /// The raise with the return air still on the rod side when it begins.
    pub raise_after_return_s: Option<f64>,
    /// Highest pressure on the rod side on the way up.
    pub rod_side_highest_pa_gauge: Option<f64>,
    pub stalls_at_travel_m: Option<f64>,
    /// Raises of shares of the capacity.
    pub raise_by_load: Vec<GrowthRow>,
    /// Lifts in time from a full tank, the pump off.
    pub lifts_before_slow: Option<u32>,
    /// Longest time of a lift that is not slow.
    pub slow_from_s: Option<f64>,
    pub end_energy_up_j: Option<f64>,
    pub end_energy_down_j: Option<f64>,
    /// The moving parts alone; none where friction holds them.
    pub lower_empty_s: Option<f64>,
    pub lower_empty_speed_m_per_s: Option<f64>,
    /// Travel at which friction may hold the moving parts alone.
    pub lower_empty_sticks_at_travel_m: Option<f64>,
    /// The load at the heavy end of its tolerance; the load itself where none is stated.
    pub lower_heaviest_s: Option<f64>,
    pub lower_heaviest_speed_m_per_s: Option<f64>,
    /// With the lower valve opened as far as it goes.
    pub lower_wide_speed_m_per_s: Option<f64>,
    /// Conductance of a lower valve that keeps to the speed wanted.
    pub wanted_lower_conductance_m3_per_s_pa: Option<f64>,
    /// The sharp-edged hole of that conductance.
    pub wanted_lower_hole_m: Option<f64>,
    /// Highest speed of the load if a hose comes off at the cylinders.
    pub torn_hose_speed_m_per_s: Option<f64>,
    /// Travel from which the load leaps on trapped air while rising.
    pub leaps_at_travel_m: Option<f64>,
    /// Travel from which the load drops on trapped air while sinking.
    pub drops_at_travel_m: Option<f64>,
}

/// The raise of a share of the capacity.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(missing_docs, reason = "named by quantity and unit")]
pub struct GrowthRow {
    pub share_of_capacity: f64,
    pub load_kg: f64,
    /// `None` where it comes to a stop.
    pub raise_s: Option<f64>,
}

impl GrowthRow {
    pub(super) fn new(growth: &Growth) -> Self {
        Self {
            share_of_capacity: growth.share.value,
            load_kg: growth.mass.value,
            raise_s: growth.time.map(|time| time.value),
        }
    }
}

impl Times {
    pub(super) fn new(rig: &Rig, times: &Answered) -> Self {
        let mut row = Self {
            torn_hose_speed_m_per_s: times.torn_hose.map(|speed| speed.value),
            lower_wide_speed_m_per_s: times.lower_wide.map(|speed| speed.value),
            lifts_before_slow: times.quick_lifts.map(|quick| quick.count),
            slow_from_s: times.quick_lifts.map(|quick| quick.limit.value),
            ..Self::default()
        };
        match times.raise {
            Some(RaiseAnswer::Arrives {
                delay,
                total,
                held_back_by,
                fastest,
                end_energy,
                leaps,
                rod_side,
                left_out: _,
            }) => {
                row.raise_s = Some(total.value);
                row.raise_delay_s = Some(delay.value);
                row.held_back_by = Some(held_back_by.words(rig).into_owned());
                row.raise_speed_m_per_s = Some(fastest.value);
                row.end_energy_up_j = Some(end_energy.value);
                row.raise_rod_side_adds_s = rod_side.map(|holds| holds.adds.value);
                row.raise_after_return_s =
                    rod_side.and_then(|holds| holds.after_return).map(|time| time.value);
                row.rod_side_highest_pa_gauge = rod_side.map(|holds| holds.highest.pascals());
                row.leaps_at_travel_m = leaps.map(|travel| travel.value);
            }
            Some(RaiseAnswer::Stalls(travel)) => row.stalls_at_travel_m = Some(travel.value),
            None => {}
        }
        if let Some(RaiseAnswer::Arrives { total, .. }) = times.raise_empty {
            row.raise_empty_s = Some(total.value);
        }
        if let Some(RaiseAnswer::Arrives { total, .. }) = times.worst_raise() {
            row.raise_heaviest_s = Some(total.value);
        }
        if let Some(LowerAnswer::Arrives { total, fastest, steady, end_energy, drops, .. }) = times.lower {
            row.lower_steady_speed_m_per_s = Some(steady.value);
            row.lower_s = Some(total.value);
            row.lower_speed_m_per_s = Some(fastest.value);
            row.end_energy_down_j = Some(end_energy.value);
            row.drops_at_travel_m = drops.map(|travel| travel.value);
        }
        match times.lower_empty {
            Some(LowerAnswer::Arrives { total, fastest, .. }) => {
                row.lower_empty_s = Some(total.value);
                row.lower_empty_speed_m_per_s = Some(fastest.value);
            }
            Some(LowerAnswer::Sticks(travel)) => row.lower_empty_sticks_at_travel_m = Some(travel.value),
            None => {}
        }
        if let Some(LowerAnswer::Arrives { total, fastest, wanted, .. }) = times.worst_lower() {
            row.lower_heaviest_s = Some(total.value);
            row.lower_heaviest_speed_m_per_s = Some(fastest.value);
            row.wanted_lower_conductance_m3_per_s_pa = wanted.map(|wanted| wanted.conductance.si());
            row.wanted_lower_hole_m = wanted.map(|wanted| wanted.hole.value);
        }
        row
    }
}
