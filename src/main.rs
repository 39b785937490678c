//! The command line of Lungful.

fn main() {}
