//! What a rehearsal is told of the rig.

use uom::si::f64::{
    HeatTransfer, Length, MassRate, Pressure, Ratio, ThermalConductance, ThermodynamicTemperature, Time,
    Volume,
};

use crate::air::flow::Restriction;
use crate::sizing::battery::Battery;
use crate::sizing::compressor_fill_time::Compressor;
use crate::sizing::cylinder_force::Cylinders;
use crate::sizing::linkage::Travel;
use crate::units::{AbsolutePressure, GaugePressure};

/// A rig at its site, ready to work: all that the time domain needs.
///
/// At the start the tank stands at [`TankSide::start`], the rod side at [`RodSide::start`], everything else at the
/// atmosphere, all air has the temperature of the surroundings, the pistons are in and the pump has not run.
#[derive(Debug, Clone)]
pub struct Session<'a> {
    /// Pressure of the surroundings.
    pub atmosphere: AbsolutePressure,
    /// Temperature of the surroundings.
    pub temperature: ThermodynamicTemperature,
    /// Gas law.
    pub air: AirModel,
    /// The tank.
    pub tank: TankSide,
    /// The pump, if one is on the rig.
    pub pump: Option<PumpSide<'a>>,
    /// The battery, if its charge counts.
    pub battery: Option<&'a Battery>,
    /// The regulator.
    pub regulator: RegulatorSide,
    /// All between regulator and cap side, as one restriction.
    pub raise: Restriction,
    /// All between cap side and the open, as one restriction.
    pub lower: Restriction,
    /// Relief valve on the line to the cap side, if its capacity is known.
    pub line_relief: Option<Relief>,
    /// The paths of the rod side; `None` leaves it open to the air, or at a stated back-pressure while the pistons rise.
    pub rod_side: Option<RodSide>,
    /// Dead volume of each driven side, all cylinders and their hose, pistons at their end. Less than a ten-thousandth of the
    /// volume swept counts as that, since no cylinder closes to nothing.
    pub dead: Volume,
    /// How far the rods stand out at the start of the travel; the rod side begins with so much less of its ring.
    pub drawn_out: Length,
    /// The cylinders. Of their figures the geometry, friction, return spring and back-pressure count here.
    pub cylinders: &'a Cylinders,
    /// The load along the travel.
    pub travel: &'a Travel<'a>,
    /// Travel at which a raise has arrived; `None` is the end of the travel.
    pub target: Option<Length>,
    /// Friction that must be overcome to start, as a multiple of that while moving; at least 1.
    pub breakaway: Ratio,
    /// Heat exchange of the air in cylinders and hose, by the area of their walls.
    pub cylinder_heat: Heat<HeatTransfer>,
}

/// The gas law of a rehearsal.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AirModel {
    /// Density of real air at the temperature of the site, heat capacity of the site (see the
    /// [module](super)).
    Real,
    /// An ideal gas with `cp/cv = 1.4`, for comparison with closed forms.
    Ideal,
}

/// Exchange of heat between air and its surroundings, `Q = k (T_site - T)` with `k` the rate.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Heat<Q> {
    /// None: the quick bound.
    None,
    /// In proportion to the difference of temperature.
    Rate(Q),
    /// So fast that the air is always at the temperature of the site: the slow bound.
    Perfect,
}

/// The tank as it works.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TankSide {
    /// Inside volume.
    pub volume: Volume,
    /// Pressure at the start.
    pub start: GaugePressure,
    /// Heat exchange, wall and outside air together; [`tank_conductance`] estimates it.
    pub heat: Heat<ThermalConductance>,
    /// Relief valve, if its capacity is known.
    pub relief: Option<Relief>,
    /// What leaks from it.
    pub leak: Option<Restriction>,
}

/// A relief valve: closed up to its opening pressure, from there in proportion to the pressure above it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Relief {
    /// Pressure at which it begins to open.
    pub opens: GaugePressure,
    /// What it passes a tenth (gauge) above that.
    pub capacity: MassRate,
}

/// The pump as it works. Its switch starts it at cut-in and stops it at cut-out; if `max_run` is given, a
/// thermal cut-out stops it after that time and holds it off so long that the stated duty comes about.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PumpSide<'a> {
    /// The compressor with its switch.
    pub compressor: &'a Compressor,
    /// Temperature of the air that it delivers into the tank.
    pub outlet: ThermodynamicTemperature,
}

/// The regulator as it works: `p = set - droop * q/q_rated`, never above the tank, never letting air back.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RegulatorSide {
    /// Set point, no flow.
    pub set: GaugePressure,
    /// Fall below the set point at rated flow.
    pub droop: Pressure,
    /// The flow for which the droop is stated.
    pub rated_flow: MassRate,
}

/// Paths of the rod side of double-acting cylinders.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RodSide {
    /// All between regulator and rod side.
    pub supply: Restriction,
    /// All between rod side and the open.
    pub exhaust: Restriction,
    /// Pressure on the rod side at the start.
    pub start: GaugePressure,
}

/// Heat that a bare steel tank in still air exchanges, by difference of temperature: `k = U * 6 V^(2/3)`
/// with `U = 6 W/(m2 K)`.
///
/// `6 V^(2/3)` is the surface of a cube of that volume, close to that of a squat cylinder. Natural
/// convection gives some 5 to 10 W/(m2 K) outside and more inside, under pressure. An estimate of our own;
/// a tank that was timed while it settled gives a better figure.
///
/// ```
/// # use lungful::rehearsal::tank_conductance;
/// # use uom::si::{f64::Volume, thermal_conductance::watt_per_kelvin, volume::liter};
/// let rate = tank_conductance(Volume::new::<liter>(8.0));
/// // 6 * 6 * 0.008^(2/3) = 36 * 0.04 = 1.44 W/K
/// assert!((rate.get::<watt_per_kelvin>() - 1.44).abs() < 1e-9);
/// ```
#[must_use]
pub fn tank_conductance(volume: Volume) -> ThermalConductance {
    ThermalConductance::new::<uom::si::thermal_conductance::watt_per_kelvin>(
        tank_heat_transfer().value * 6.0 * volume.value.max(0.0).powf(2.0 / 3.0),
    )
}

/// Heat transfer from the air in a tank to the air around it: 6 W/(m2 K), see [`tank_conductance`].
#[must_use]
pub fn tank_heat_transfer() -> HeatTransfer {
    HeatTransfer::new::<uom::si::heat_transfer::watt_per_square_meter_kelvin>(6.0)
}

/// Heat transfer between moving air and the walls of cylinder and hose: 40 W/(m2 K).
///
/// An estimate of our own; published fits to cylinders that fill and empty lie between 20 and 150.
#[must_use]
pub fn cylinder_heat_transfer() -> HeatTransfer {
    HeatTransfer::new::<uom::si::heat_transfer::watt_per_square_meter_kelvin>(40.0)
}

/// How a run is carried out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Settings {
    /// Error allowed in a step, as a share of each state; 1e-7 unless changed.
    pub tolerance: f64,
    /// Time between rows of the trace; none are kept without it.
    pub trace_every: Option<Time>,
    /// A raise that takes longer is called slow.
    pub slow_after: Option<Time>,
    /// Whether work ends with the first lift that fails.
    pub after_failure: AfterFailure,
}

/// What follows a lift that fails.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AfterFailure {
    /// The session ends.
    Stop,
    /// The schedule is worked on.
    CarryOn,
}

impl Default for Settings {
    fn default() -> Self {
        Self { tolerance: 1e-7, trace_every: None, slow_after: None, after_failure: AfterFailure::CarryOn }
    }
}
