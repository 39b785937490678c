//! Comparison with outside figures, each with its source beside it.

mod units;
