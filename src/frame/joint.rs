//! Joints.
