//! Comparison with figures from outside this program, one file a topic.
//!
//! Each expected figure names its source. The prefix of a test says how good that source is:
//! `published_` (printed in the source named), `analytic_` (closed form), `cross_checked_` (another
//! program, its version and script kept in `tests/fixtures`), `from_memory_` (printed somewhere, but the
//! print was not at hand).

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test may fail by panic, in its helpers too"
)]

mod atmosphere;
mod beams;
mod bores;
mod columns;
mod compressors;
mod consumption;
mod cylinders;
mod double_acting;
mod figure;
mod flow;
mod flow_fixture;
mod free_air;
mod gas_laws;
mod independent;
mod isentropic_flow;
mod real_gas;
mod real_gas_fixture;
mod receivers;
mod sections;
mod stored_energy;
mod units;
mod work;
