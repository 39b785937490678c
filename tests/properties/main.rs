//! Properties that hold for whole families of inputs.

mod frame;
mod parser;
