//! What stands after a regulator that sticks wide open.

use uom::si::f64::MassRate;
use uom::si::mass_rate::kilogram_per_second;

use super::check::CAUTION_MARGIN;
use super::checks::{creep, crept_set, ends, full, spread};
use super::pressure_order::FULL_LIFT;
use crate::Result;
use crate::rig::Rig;
use crate::units::{AbsolutePressure, GaugePressure, pressure::pascals};

/// The pressure after a regulator that sticks wide open, and what holds it.
///
/// The tank's pressure comes through, `p_full + w_full`, unless a relief valve after the regulator holds it
/// lower. It is looked at twice, for two questions:
///
/// - `opens`: where the valve begins to hold, `p_line_relief + w_line_relief`. `check` asks whether the valve is
///   set right, as it does of the valve of the receiver: it must open at or below each rating after it.
/// - `blows`: where the pressure settles, `1.10 (p_line_relief + w_line_relief)`, as a valve passes its stated flow
///   at full lift only. The faults ask what hoses, cylinders and rods see.
///
/// Both are no higher than the full tank, and both are that of the full tank if the valve is known to pass less
/// than the open regulator: then it holds nothing. Every pressure stands at the unfavourable end of its stated
/// tolerance, that of the gauge included.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct StuckOpen {
    /// Pressure at which something begins to hold it.
    pub(super) opens: GaugePressure,
    /// Pressure that it settles at.
    pub(super) blows: GaugePressure,
    /// Flow of the open regulator at its high end, if known: stated, or through its seat.
    pub(super) lets_through: Option<MassRate>,
    /// Flow of the relief valve after it at its low end, if known.
    pub(super) relief_passes: Option<MassRate>,
    /// What the relief valve after it does.
    pub(super) relief: LineRelief,
}

/// What a relief valve after the regulator does when that sticks open.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum LineRelief {
    /// There is none, or it opens no lower than the tank stands.
    Idle,
    /// It passes what the regulator lets through.
    Holds,
    /// It holds if it passes that, which is not known.
    MayHold,
    /// It passes less.
    Outrun,
}

impl StuckOpen {
    /// Whether the relief valve is counted on.
    pub(super) fn is_relieved(&self) -> bool {
        matches!(self.relief, LineRelief::Holds | LineRelief::MayHold)
    }
}

/// What stands after the regulator of a rig that sticks wide open; see [`StuckOpen`].
///
/// # Errors
/// [`Error::OutOfRange`](crate::Error::OutOfRange) if the flow through the seat cannot be worked out.
pub(super) fn stuck_open(rig: &Rig) -> Result<StuckOpen> {
    let tank = GaugePressure::new(pascals(full(rig).high));
    let relief = rig
        .line
        .relief
        .map(|relief| ends(rig, "line.relief", relief))
        .filter(|relief| relief.high < tank.pascals());
    let lets_through = wide_open_flow(rig, tank)?;
    let relief_passes = rig.line.relief_capacity.map(|passes| {
        MassRate::new::<kilogram_per_second>(passes.value - rig.tolerance("line.relief-capacity"))
    });
    let does = match (relief, relief_passes.zip(lets_through)) {
        (None, _) => LineRelief::Idle,
        (Some(_), None) => LineRelief::MayHold,
        (Some(_), Some((passes, through))) if passes < through => LineRelief::Outrun,
        (Some(_), Some(_)) => LineRelief::Holds,
    };
    let held_at = |factor: f64| match (relief, does) {
        (Some(relief), LineRelief::Holds | LineRelief::MayHold) => {
            GaugePressure::new(pascals(factor * relief.high)).min(tank)
        }
        _ => tank,
    };
    Ok(StuckOpen {
        opens: held_at(1.0),
        blows: held_at(FULL_LIFT),
        lets_through,
        relief_passes,
        relief: does,
    })
}

/// What the open regulator passes from the full tank: the greater of what is stated and what its seat passes to
/// the relief valve after it as that opens, or to the site if there is none.
fn wide_open_flow(rig: &Rig, tank: GaugePressure) -> Result<Option<MassRate>> {
    let site = rig.site.atmosphere;
    let through_seat = match rig.protection.regulator_seat {
        None => None,
        Some(seat) => {
            let after = match rig.line.relief {
                Some(relief) => GaugePressure::new(pascals(ends(rig, "line.relief", relief).low.max(0.0)))
                    .to_absolute(site)?,
                None => site,
            };
            let before: AbsolutePressure = tank.to_absolute(site)?;
            Some(seat.mass_flow(before, after, rig.site.temperature)?)
        }
    };
    let stated = rig.protection.wide_open_flow.map(|flow| {
        MassRate::new::<kilogram_per_second>(flow.value + rig.tolerance("regulator.wide-open-flow"))
    });
    Ok(match (stated, through_seat) {
        (Some(stated), Some(seat)) => Some(stated.max(seat)),
        (stated, seat) => stated.or(seat),
    })
}

/// Highest setting of a relief valve after the regulator that keeps a pressure at its full lift; none if such a
/// valve would blow in ordinary work, at the set point crept up as far as it may.
pub(super) fn line_relief_for(rig: &Rig, pressure_pa: f64) -> Option<f64> {
    let half = spread(rig, "line.relief");
    let setting = pressure_pa / FULL_LIFT - half;
    (setting >= crept_set(rig) + half).then_some(setting)
}

/// Highest set point below which a relief valve after the regulator fits that keeps a pressure at its full lift,
/// with the usual room between the set point crept up and the valve.
pub(super) fn set_point_below_relief(rig: &Rig, pressure_pa: f64) -> f64 {
    let opens = pressure_pa / FULL_LIFT - 2.0 * spread(rig, "line.relief");
    // The setting is rounded down to 0.01 bar.
    (opens - 1e3) * (1.0 - CAUTION_MARGIN) / creep(rig) - spread(rig, "regulator.set")
}
