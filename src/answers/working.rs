//! Working (stub until the formulas land).
use crate::Result;
use crate::answers::Answers;
use crate::formulas::Formula;
use crate::rig::Rig;
use crate::units::Dimension;
/// A step.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// a
    pub figure: &'static str,
    /// a
    pub formula: &'static Formula,
    /// a
    pub inputs: Vec<Input>,
    /// a
    pub result: Option<(f64, Dimension)>,
}
/// An input.
#[derive(Debug, Clone, PartialEq)]
pub struct Input {
    /// a
    pub symbol: &'static str,
    /// a
    pub value: f64,
    /// a
    pub dimension: Dimension,
    /// a
    pub kind: &'static str,
}
/// Working.
/// # Errors
/// none
pub fn working(_: &Rig, _: &Answers) -> Result<Vec<Step>> {
    Ok(Vec::new())
}
