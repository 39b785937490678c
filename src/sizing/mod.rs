//! Sizing: forces, pressures, air and time, from quantities alone.
//!
//! Nothing here reads a file, prints, or knows the time of day.

pub mod battery;
pub mod compressor_fill_time;
pub mod cylinder_force;
pub(crate) mod flow_curve;
pub mod linkage;
pub mod lowering;
pub mod piston_path;
pub mod raise;
pub mod regulator_flow;
pub mod regulator_setpoint;
pub mod rod_column;
pub mod stored_energy;
pub mod tank_capacity;
pub mod tipping;
pub mod travel;
