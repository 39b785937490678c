//! Raises that have to be followed in time: those that the air on the rod side of double-acting cylinders holds back,
//! and those that more friction holds at first than on the way.

use uom::si::f64::{Length, MassRate, Pressure, Ratio, Time};
use uom::si::mass_rate::kilogram_per_second;
use uom::si::time::second;

use super::{hose_restriction, way_down, way_up};
use crate::air::flow::Restriction;
use crate::air::flow::series::Line;
use crate::answers::lift::Lift;
use crate::rehearsal::{
    AirModel, Heat, Moment, RegulatorSide, RodSide, Session, Settings, SingleLift, TankSide, ThenLower,
    single_lift,
};
use crate::rig::Rig;
use crate::sizing::cylinder_force::Action;
use crate::sizing::linkage::Travel;
use crate::sizing::tank_capacity::{Way, dead_volume};
use crate::units::GaugePressure;
use crate::{Error, Result};

/// Ratio of pressures at which one restriction meets valve and hose in a row, besides choked flow: about that
/// of a load that rises at 70 % of its thrust.
const MET_AT: f64 = 0.8;

/// Volume of a supply whose pressure a raise does not lower, by that of the cylinders.
const ENDLESS: f64 = 1e6;

/// Time after which a raise has come to a stop, in s.
const LONGEST_RAISE_S: f64 = 1e5;

/// The passages of the rod side of double-acting cylinders; `None` where no air is led there or nothing describes them.
/// Unless the rig says otherwise, the air comes in through one like `line.raise` and leaves through one like `line.lower`.
pub(in crate::answers) fn rod_passages(rig: &Rig) -> Result<Option<RodSide>> {
    let fill = rig.line.rod_fill.or(rig.line.raise);
    let vent = rig.line.rod_vent.or(rig.line.lower);
    let (Action::Double, Some(fill), Some(vent)) = (rig.cylinders.action, fill, vent) else {
        return Ok(None);
    };
    let fittings = rig.line.fittings_on(Way::Down).map(|fitting| fitting.restriction);
    let way_out = hose_restriction(rig).into_iter().chain(fittings).chain([vent]).collect();
    let exhaust = in_a_row(way_out)?;
    // A check valve holds its cracking pressure there from the first return on.
    let start = GaugePressure::new(exhaust.opens_at()).min(rig.regulator.set);
    Ok(Some(RodSide { supply: in_a_row(way_up(rig, fill))?, exhaust, start }))
}

/// Passages in a row as one.
pub(in crate::answers) fn in_a_row(elements: Vec<Restriction>) -> Result<Restriction> {
    Line::new(elements)?.as_one(Ratio::from(MET_AT))
}

/// Half way up a raise in which the air on the rod side was followed, with its passages.
pub(in crate::answers) fn half_way_up(
    rig: &Rig,
    travel: &Travel<'_>,
    lift: &Lift,
) -> Result<Option<(Moment, Restriction, RodSide)>> {
    let (Some(valve), Some(Followed { rod_side: Some(rod_side) })) = (rig.line.raise, followed(rig)?) else {
        return Ok(None);
    };
    let of = Followed { rod_side: Some(rod_side) };
    let worked = lift_in_time(rig, travel, of, rig.regulator.set, lift.stroke_used, ThenLower::No)?;
    let raise = in_a_row(way_up(rig, valve))?;
    Ok(worked.and_then(|worked| worked.half_way).map(|moment| (moment, raise, rod_side)))
}

/// What a lift in time follows.
#[derive(Debug, Clone, Copy)]
pub(super) struct Followed {
    /// The passages of the rod side; without them it is open, or at the back-pressure stated.
    pub(super) rod_side: Option<RodSide>,
}

/// Whether a raise has to be followed in time: for the air on the rod side, unless a stated back-pressure alone stands
/// for that, or for pistons that stick.
pub(super) fn followed(rig: &Rig) -> Result<Option<Followed>> {
    let sticks = rig.breakaway.is_some_and(|breakaway| breakaway > Ratio::from(1.0));
    let is_stated = rig.is_given("cylinders.back-pressure") && rig.line.rod_vent.is_none();
    let rod_side = if is_stated { None } else { rod_passages(rig)? };
    Ok((sticks || rod_side.is_some()).then_some(Followed { rod_side }))
}

/// Whether air leaves the rod side on the way up and nothing says how.
pub(super) fn rod_side_is_unknown(rig: &Rig) -> Result<bool> {
    let is_stated = rig.is_given("cylinders.back-pressure");
    Ok(rig.cylinders.action == Action::Double && !is_stated && rod_passages(rig)?.is_none())
}

/// A lift that follows the pressures on the pistons in time, all air at the temperature of the site, from a supply that
/// does not fall; `None` where the calculation does not come to an end.
pub(super) fn lift_in_time(
    rig: &Rig,
    travel: &Travel<'_>,
    of: Followed,
    set: GaugePressure,
    end: Length,
    then: ThenLower,
) -> Result<Option<SingleLift>> {
    let Some(raise) = rig.line.raise else { return Ok(None) };
    let lower = match rig.line.lower {
        Some(valve) => in_a_row([way_down(rig)?.as_slice(), &[valve]].concat())?,
        // Shut on the way up, and no way down is asked for.
        None => raise,
    };
    let regulator = match rig.regulator.rated_flow {
        Some(rated_flow) => RegulatorSide { set, droop: rig.regulator.droop, rated_flow },
        None => RegulatorSide {
            set: set - rig.regulator.droop,
            droop: Pressure::default(),
            rated_flow: MassRate::new::<kilogram_per_second>(1.0),
        },
    };
    let dead = rig.dead_volume();
    let swept = rig.cylinders.cap_area() * rig.cylinders.stroke;
    let session = Session {
        atmosphere: rig.site.atmosphere,
        temperature: rig.site.temperature,
        air: AirModel::Ideal,
        tank: TankSide {
            volume: ENDLESS * (dead + swept),
            start: set + rig.regulator.droop,
            heat: Heat::Perfect,
            relief: None,
            leak: None,
        },
        pump: None,
        battery: None,
        regulator,
        raise: in_a_row(way_up(rig, raise))?,
        lower,
        line_relief: None,
        rod_side: of.rod_side,
        dead: dead_volume(&rig.cylinders, rig.line.hose.as_ref()),
        drawn_out: rig.drawn_out(),
        cylinders: &rig.cylinders,
        travel,
        target: Some(end),
        breakaway: rig.breakaway.unwrap_or(Ratio::from(1.0)),
        cylinder_heat: Heat::Perfect,
    };
    match single_lift(&session, Time::new::<second>(LONGEST_RAISE_S), then, &Settings::default()) {
        Ok(worked) => Ok(Some(worked)),
        Err(Error::Simulation { .. }) => Ok(None),
        Err(error) => Err(error),
    }
}
