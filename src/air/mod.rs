//! Air: the gas itself, the atmosphere of the site, and the reference states of free air.

pub mod atmosphere;
pub mod flow;
pub mod gas;
pub mod reference;
