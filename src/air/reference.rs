//! Density of air at the reference states of free air.
