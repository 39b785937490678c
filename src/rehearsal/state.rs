//! What the numbers of a state mean. SI base units throughout.

/// Numbers that drive the motion.
pub(super) const CORE: usize = 7;
/// Numbers whose error is held: those that drive, time, and work.
pub(super) const HELD: usize = 10;
/// All numbers.
pub(super) const STATES: usize = 18;

/// All numbers of one moment.
pub(super) type State = [f64; STATES];

/// Mass of air in the tank.
pub(super) const TANK_MASS: usize = 0;
/// Internal energy of air in the tank, from 0 K.
pub(super) const TANK_ENERGY: usize = 1;
/// Mass of air on the cap side, hose included.
pub(super) const CAP_MASS: usize = 2;
/// Internal energy of air on the cap side.
pub(super) const CAP_ENERGY: usize = 3;
/// Mass of air on the rod side; a placeholder for single-acting cylinders.
pub(super) const ROD_MASS: usize = 4;
/// Internal energy of air on the rod side.
pub(super) const ROD_ENERGY: usize = 5;
/// Travel of the cylinders.
pub(super) const TRAVEL: usize = 6;
/// Time.
pub(super) const TIME: usize = 7;
/// Work of the air on the pistons.
pub(super) const PISTON_WORK: usize = 8;
/// Work lost to seals, linkage and stated back-pressure.
pub(super) const FRICTION: usize = 9;
/// Energy drawn by the pump.
pub(super) const ELECTRIC: usize = 10;
/// Mass of air that came in: pump, and air drawn back from outside.
pub(super) const MASS_IN: usize = 11;
/// Mass of air that went out.
pub(super) const MASS_OUT: usize = 12;
/// Enthalpy of the air that came in.
pub(super) const ENTHALPY_IN: usize = 13;
/// Enthalpy of the air that went out.
pub(super) const ENTHALPY_OUT: usize = 14;
/// Heat from the surroundings.
pub(super) const HEAT_IN: usize = 15;
/// Isothermal work that is in the air delivered by the pump.
pub(super) const COMPRESSION: usize = 16;
/// Mass of air drawn from the tank by the cylinders.
pub(super) const DRAWN: usize = 17;
