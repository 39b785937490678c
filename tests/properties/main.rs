//! Properties that hold for whole families of inputs.

#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "what does not hold fails the test"
)]

mod cures;
mod extremes;
mod fill_time;
mod frame;
mod linkage;
mod mass_balance;
mod more_and_less;
mod parser;
mod rigs;
mod said;
mod sample;
mod sessions;
mod unit_systems;
