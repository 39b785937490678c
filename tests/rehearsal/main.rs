//! Sessions in time against closed forms, another solver and themselves.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test may fail by panic, in its helpers too"
)]

mod closed_forms;
mod counts;
mod cross_checked;
mod examples;
mod linkages;
mod random;
mod rig;
mod sessions;
