//! Properties that hold for whole families of inputs.

mod parser;
