//! What a tank holds, what a stroke takes, and how many strokes one fill gives.

mod count;
mod demand;
mod gas;

pub use count::{Count, MOST_STROKES, count_quick, count_slow};
pub use demand::{Demand, Demands, Span};

use uom::si::f64::{Length, Mass, MassRate, Volume};

use super::cylinder_force::{Cylinders, piston_area};
use crate::Result;
use crate::air::flow::Restriction;
use crate::air::gas::Isotherm;
use crate::units::{AbsolutePressure, GaugePressure};

/// A receiver or bottle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tank {
    /// Inside volume.
    pub volume: Volume,
    /// Highest pressure it is rated for.
    pub rating: GaugePressure,
    /// Opening pressure of its relief valve, if it has one.
    pub relief: Option<GaugePressure>,
    /// What the relief valve passes at its opening pressure, if known.
    pub relief_capacity: Option<MassRate>,
    /// Where it leaks, if that is known.
    pub leak: Option<Restriction>,
}

/// The line from the valve to the cylinders (for a double-acting set: one such line a side).
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Line {
    /// Inside diameter and total length of the hose, if given.
    pub hose: Option<Hose>,
    /// Highest pressure that hose and fittings are rated for, if known.
    pub rating: Option<GaugePressure>,
    /// Opening pressure of a second relief valve after the regulator, if there is one.
    pub relief: Option<GaugePressure>,
    /// What that relief valve passes at its opening pressure, if known.
    pub relief_capacity: Option<MassRate>,
    /// The narrowest passage while raising, if known.
    pub raise: Option<Restriction>,
    /// The narrowest passage while lowering, if known.
    pub lower: Option<Restriction>,
    /// The same with its throttle opened as far as it goes, if known.
    pub lower_wide: Option<Restriction>,
    /// What lets air into the rod side of double-acting cylinders; one like `raise` if not known.
    pub rod_fill: Option<Restriction>,
    /// What lets it out again; one like `lower` if not known.
    pub rod_vent: Option<Restriction>,
    /// What the air meets between valve and hose.
    pub fittings: Vec<Fitting>,
}

/// A fitting, a silencer or a check valve in the line.
#[derive(Debug, Clone, PartialEq)]
pub struct Fitting {
    /// What its builder calls it.
    pub name: String,
    /// On which way the air passes it.
    pub way: Way,
    /// How many alike stand one after the other.
    pub count: u32,
    /// One of them.
    pub restriction: Restriction,
}

/// A way of the air.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Way {
    /// Into the cylinders.
    Up,
    /// Out of them.
    Down,
    /// Both.
    Both,
}

impl Line {
    /// The fittings on the way up or down, in file order, as often as they stand there.
    pub fn fittings_on(&self, way: Way) -> impl Iterator<Item = &Fitting> {
        let there = move |fitting: &&Fitting| fitting.way == way || fitting.way == Way::Both;
        let often = |fitting| std::iter::repeat_n(fitting, fitting_count(fitting));
        self.fittings.iter().filter(there).flat_map(often)
    }
}

fn fitting_count(fitting: &Fitting) -> usize {
    usize::try_from(fitting.count).unwrap_or(usize::MAX)
}

/// A hose by its inside diameter and its total length.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hose {
    /// Inside diameter.
    pub bore: Length,
    /// Total length between the valve and the cylinders.
    pub length: Length,
}

/// The pressure that is left in the cylinders when the load has arrived.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum EndPressure {
    /// The valve is held open: the piston rests on its stop and the cylinders fill to the set point.
    SetPoint,
    /// The valve is closed as the load arrives: the cylinders hold what the load needs.
    Load,
}

/// One stroke as the tank sees it: volumes to fill and pressures to fill them to.
#[derive(Debug, Clone)]
pub struct StrokeDraw<'a> {
    /// Volume swept while raising, all cylinders: `N A s_used`.
    pub raise: Volume,
    /// The air return of a double-acting set.
    pub lower: Option<AirReturn>,
    /// Dead volume on the cap side.
    pub dead: Volume,
    /// Set point.
    pub set: AbsolutePressure,
    /// Pressure at which the valve is closed as the load arrives; `None` if it is held open until the set
    /// point is reached.
    pub end: Option<AbsolutePressure>,
    /// Pressure of the site, which the dead volume holds before each stroke.
    pub atmosphere: AbsolutePressure,
    /// What must be reached on the way for the stroke to complete.
    pub demand: Demands<'a>,
}

/// The rod side, as the return fills it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AirReturn {
    /// Volume swept: `N Ar s_used`.
    pub swept: Volume,
    /// Dead volume: clearance and hose, and the ring that the pistons leave beyond the stroke used.
    pub dead: Volume,
}

impl AirReturn {
    /// Volume that the return fills.
    #[must_use]
    pub fn filled(&self) -> Volume {
        self.swept + self.dead
    }
}

/// Air that one stroke takes from the tank.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StrokeAir {
    /// For the raise.
    pub raise: Mass,
    /// For the return; zero for single-acting cylinders.
    pub lower: Mass,
}

impl StrokeAir {
    /// Raise and return together.
    #[must_use]
    pub fn total(&self) -> Mass {
        self.raise + self.lower
    }
}

/// Dead volume on one side: `V_dead = N * clearance + pi/4 * d_hose^2 * L_hose`.
///
/// `d_hose` and `L_hose` are the inside diameter and the total length of the hose between the valve and the
/// cylinders. Source: geometry.
#[must_use]
pub fn dead_volume(cylinders: &Cylinders, hose: Option<&Hose>) -> Volume {
    let clearance = f64::from(cylinders.count) * cylinders.clearance;
    hose.map_or(clearance, |hose| clearance + piston_area(hose.bore) * hose.length)
}

impl StrokeDraw<'_> {
    /// Air of one stroke at full pressures:
    /// `m = rho(p_end) (N A s + V_dead) - rho(p_atm) V_dead`, and for an air return
    /// `rho(p_set) (N Ar s + V_rest) - rho(p_atm) V_rest` besides, with the dead volume `V_rest` of the rod side.
    ///
    /// `rho` is the real-gas density at the temperature of the site, `s` the stroke used, `p_end` the set
    /// point or the pressure at which the valve is closed. Each side starts from the atmosphere.
    ///
    /// Source: mass balance; density as in [`air::gas`](crate::air::gas).
    ///
    /// # Errors
    /// [`Error::OutOfRange`](crate::Error::OutOfRange) for a pressure above 35 MPa.
    ///
    /// ```
    /// # use lungful::air::gas::Isotherm;
    /// # use lungful::sizing::tank_capacity::{Demands, StrokeDraw};
    /// # use lungful::units::{AbsolutePressure, pressure::pascals};
    /// # use uom::si::f64::{ThermodynamicTemperature, Volume};
    /// # use uom::si::{mass::gram, thermodynamic_temperature::kelvin, volume::liter};
    /// let bar = |value: f64| AbsolutePressure::new(pascals(value * 1e5));
    /// let air = Isotherm::new(ThermodynamicTemperature::new::<kelvin>(293.15))?;
    /// let draw = StrokeDraw {
    ///     raise: Volume::new::<liter>(1.0),
    ///     lower: None,
    ///     dead: Volume::new::<liter>(0.1),
    ///     set: bar(6.0)?,
    ///     end: None,
    ///     atmosphere: bar(1.0)?,
    ///     demand: Demands::default(),
    /// };
    /// // ideal gas: 1.1884 g/L per bar, so 6 * 1.1884 * 1.1 - 1.1884 * 0.1 = 7.72 g; Z = 0.998 adds 0.02 g
    /// assert!((draw.stroke_air(&air)?.total().get::<gram>() - 7.74).abs() < 0.01);
    /// # Ok::<(), lungful::Error>(())
    /// ```
    pub fn stroke_air(&self, air: &Isotherm) -> Result<StrokeAir> {
        let taken = |swept: Volume, dead: Volume, pressure: AbsolutePressure| -> Result<Mass> {
            Ok(air.density(pressure)? * (swept + dead) - air.density(self.atmosphere)? * dead)
        };
        let back = |back: AirReturn| taken(back.swept, back.dead, self.set);
        Ok(StrokeAir {
            raise: taken(self.raise, self.dead, self.end.unwrap_or(self.set))?,
            lower: self.lower.map(back).transpose()?.unwrap_or_default(),
        })
    }
}
