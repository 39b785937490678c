//! One lift in time, where only its times and speeds are asked for.

use uom::si::f64::{Energy, Length, Pressure, Time};

use super::moment::Moment;
use super::run::Run;
use super::schedule::{Action, Task, Until};
use super::session::{Session, Settings};
use super::{answers::SessionEnd, balanced};
use crate::Result;
use crate::sizing::piston_path::SpeedAt;
use crate::units::GaugePressure;

/// Times and speeds of one lift.
#[derive(Debug, Clone, PartialEq)]
pub struct SingleLift {
    /// From the opening of the valve to the first movement; `None` if nothing moved.
    pub delay: Option<Time>,
    /// From the opening of the valve to the arrival; `None` if it did not arrive in the time given.
    pub raise_time: Option<Time>,
    /// From the opening of the lower valve to the arrival at the start; `None` if that was not asked for or reached.
    pub lower_time: Option<Time>,
    /// Travel reached.
    pub travel: Length,
    /// Pressure on the cap side as the raise ends.
    pub cap_pressure: GaugePressure,
    /// Highest pressure on a driven rod side on the way up.
    pub highest_rod_pressure: Option<GaugePressure>,
    /// Speeds of the pistons on the way up at the ends of the steps, runaways left out.
    pub speeds: Vec<SpeedAt>,
    /// Travel at which the load first runs away from its balance on the way up, and the most energy that such a leap
    /// leaves to be destroyed, friction included.
    pub leap: Option<(Length, Energy)>,
    /// Past half way up, at the end of the step that passes it.
    pub half_way: Option<Moment>,
}

/// What follows a raise.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ThenLower {
    /// Nothing.
    No,
    /// The way down, at once, with the pressure of the arrival.
    OnArrival,
    /// The way down, once both sides are level with what they are open to.
    OnceLevel,
}

/// Works one lift on a rig at the start of its session: up to the target of its travel and, where asked for, down again,
/// each until `within` is over at most.
///
/// # Errors
/// As [`rehearse`](super::rehearse).
///
/// # Example
/// 12.75 kg (125 N) on 10 cm2, 5 cm2 around the rod, over 0.4 m without friction; 6 bar come in through 0.2 L/(s bar), and
/// what is on the rod side leaves through 0.2333 L/(s bar), both with `b = 0.5`, at 20 degC.
/// ```
/// # use lungful::air::flow::{Conductance, Restriction};
/// # use lungful::rehearsal::*;
/// # use lungful::sizing::cylinder_force::{Action as Driven, Cylinders};
/// # use lungful::sizing::linkage::{Direct, Linkage, Profile, Travel};
/// # use lungful::sizing::travel::Load;
/// # use lungful::units::{AbsolutePressure, GaugePressure, pressure::pascals};
/// # use uom::si::f64::*;
/// # use uom::si::{length::millimeter, mass::kilogram, mass_rate::gram_per_second, volume::liter};
/// # use uom::si::{thermodynamic_temperature::degree_celsius, time::second};
/// # let bar = |value: f64| GaugePressure::new(pascals(value * 1e5));
/// # let mm = Length::new::<millimeter>;
/// # let cylinders = Cylinders {
/// #     count: 1,
/// #     bore: mm(35.682),
/// #     rod: mm(25.231),
/// #     stroke: mm(400.0),
/// #     action: Driven::Double,
/// #     rating: bar(10.0),
/// #     friction: Ratio::from(0.0),
/// #     clearance: Volume::default(),
/// #     return_spring: Force::default(),
/// #     back_pressure: Pressure::default(),
/// # };
/// # let load = Load {
/// #     mass: Mass::new::<kilogram>(12.7465),
/// #     share: Ratio::from(1.0),
/// #     moving: Mass::default(),
/// #     lift: mm(400.0),
/// #     take_up: mm(0.0),
/// # };
/// # let direct = Linkage::Direct(Direct::new(mm(400.0))?);
/// # let travel = Travel::new(&cylinders, &load, direct, &Profile::whole(), Ratio::from(1.0))?;
/// # let valve = |c: f64| Restriction::new(Conductance::from_si(c)?, Ratio::from(0.5));
/// let session = Session {
/// #     atmosphere: AbsolutePressure::new(pascals(1e5))?,
/// #     temperature: ThermodynamicTemperature::new::<degree_celsius>(20.0),
///     air: AirModel::Ideal,
/// #     tank: TankSide {
/// #         volume: Volume::new::<liter>(1e6),
/// #         start: bar(9.0),
/// #         heat: Heat::Perfect,
/// #         relief: None,
/// #         leak: None,
/// #     },
/// #     pump: None,
/// #     battery: None,
/// #     regulator: RegulatorSide {
/// #         set: bar(6.0),
/// #         droop: pascals(0.0),
/// #         rated_flow: MassRate::new::<gram_per_second>(5.0),
/// #     },
///     raise: valve(0.2e-8)?,
/// #     lower: valve(1e-8)?,
/// #     line_relief: None,
///     rod_side: Some(RodSide { supply: valve(1e-8)?, exhaust: valve(0.2333e-8)?, start: bar(0.0) }),
/// #     dead: Volume::new::<liter>(0.01),
/// #     drawn_out: mm(0.0),
/// #     cylinders: &cylinders,
/// #     travel: &travel,
/// #     target: None,
/// #     breakaway: Ratio::from(1.0),
///     cylinder_heat: Heat::Perfect,
///     // ...
/// };
/// let raise = single_lift(&session, Time::new::<second>(60.0), ThenLower::No, &Settings::default())?;
/// // Without the rod side 125 N/10 cm2 = 1.25 bar would do. What is held in excess presses on 5 cm2 of air:
/// let end = raise.cap_pressure.pascals() + 1e5;
/// assert!(end > 2.25e5 && end < 3.5e5);
/// // Choked as it comes in, so 0.2e-8 * 1.185 * 7e5 = 1.659 g/s all the way: the time is what it takes to bring in what
/// // is there at the end, in 0.4 L and a dead volume of 0.01 L that held 1 bar at first.
/// let by_hand = (end * 0.41e-3 - 1e5 * 0.01e-3) / (287.05 * 293.15) / 1.659e-3;
/// assert!((raise.raise_time.unwrap().get::<second>() / by_hand - 1.0).abs() < 1e-3);
/// // The forces balance on the way.
/// let half_way = raise.half_way.unwrap();
/// let force = (half_way.cap.pressure.pascals() - 1e5) * 1e-3 - half_way.rod.pascals() * 0.5e-3;
/// assert!((force - 125.0).abs() < 0.1, "{force} N");
/// # Ok::<(), lungful::Error>(())
/// ```
pub fn single_lift(
    session: &Session<'_>,
    within: Time,
    then: ThenLower,
    settings: &Settings,
) -> Result<SingleLift> {
    let plant = session.plant()?;
    balanced(settings, |settings| {
        let mut run = Run::new(&plant, session, settings);
        run.records.keep_speeds();
        let up = match then {
            ThenLower::OnceLevel => Until::Settled { within },
            ThenLower::No | ThenLower::OnArrival => Until::Arrived { within },
        };
        run.task(&Task { action: Action::Raise, until: up }, 0.0)?;
        let (speeds, leap) = (run.records.take_speeds(), run.records.leap());
        let highest_rod_pressure = run.records.highest_rod(&plant);
        let arrived = run.records.last_lift().is_some_and(|lift| lift.outcome.arrived());
        if then != ThenLower::No && arrived {
            let down = Task { action: Action::Lower, until: Until::Arrived { within } };
            run.task(&down, run.time())?;
        }
        let (state, lift) = (run.state, run.records.last_lift().copied());
        // The books of one lift must close as well.
        let whole = run.records.answers(&state, &plant, SessionEnd::Done)?;
        Ok(SingleLift {
            delay: lift.and_then(|lift| lift.delay),
            raise_time: lift.and_then(|lift| lift.raise_time),
            lower_time: lift.and_then(|lift| lift.lower_time),
            travel: lift.map(|lift| lift.travel).unwrap_or_default(),
            cap_pressure: lift.map_or(GaugePressure::new(Pressure::default()), |lift| lift.cap_after_raise),
            highest_rod_pressure,
            speeds,
            leap,
            half_way: whole.half_way_up,
        })
    })
}
