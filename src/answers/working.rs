//! How each figure comes about: the formula, the numbers put in, and what comes out.
//!
//! Every number is one that the answers were worked out with, so a reader can take a pocket calculator and
//! arrive at the same figure.

mod amount;
mod faults;
mod frame;
mod joint;
mod lift;
mod linkage;
mod motion;
mod pump;
mod session;
mod structure;
mod tank;

use std::borrow::Cow;

use amount::Amount;
pub use faults::fault_working;
pub use lift::bore_working;
pub use session::session_working;
use uom::si::f64::MassDensity;

use super::Answers;
use crate::Result;
use crate::air::gas::{Isotherm, compressibility};
use crate::formulas::{AIR_DENSITY, ATMOSPHERE, Formula, STORED_ENERGY};
use crate::rig::Rig;
use crate::units::{Dimension, GaugePressure, pressure::pascals};

/// One figure with its working.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// What the figure is.
    pub figure: Cow<'static, str>,
    /// The formula that gives it.
    pub formula: &'static Formula,
    /// The numbers put in, by the symbols of the formula.
    pub inputs: Vec<Input>,
    /// What comes out, in the base unit of its dimension.
    pub result: Option<(f64, Dimension)>,
    /// Which kind of pressure comes out, as for [`Input::kind`].
    pub result_kind: &'static str,
}

/// A number put into a formula.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Input {
    /// Its symbol in the formula.
    pub symbol: &'static str,
    /// Its value, in the base unit of its dimension.
    pub value: f64,
    /// What kind of quantity it is.
    pub dimension: Dimension,
    /// `gauge`, `abs` or `difference` for a pressure, else empty.
    pub kind: &'static str,
}

impl Step {
    fn new(
        figure: impl Into<Cow<'static, str>>,
        formula: &'static Formula,
        result: impl Into<Amount>,
    ) -> Self {
        let Amount { value, dimension, kind } = result.into();
        Self {
            figure: figure.into(),
            formula,
            inputs: Vec::new(),
            result: Some((value, dimension)),
            result_kind: kind,
        }
    }

    fn with(mut self, symbol: &'static str, amount: impl Into<Amount>) -> Self {
        let Amount { value, dimension, kind } = amount.into();
        self.inputs.push(Input { symbol, value, dimension, kind });
        self
    }

    fn with_some(self, symbol: &'static str, amount: Option<impl Into<Amount>>) -> Self {
        match amount {
            Some(amount) => self.with(symbol, amount),
            None => self,
        }
    }
}

/// The working of every headline figure of a rig, in the order in which `check` shows them. A figure that
/// the rig does not have (a battery's, a stalled pump's) has no step.
///
/// # Errors
/// [`Error::OutOfRange`](crate::Error::OutOfRange) as [`evaluate`](super::evaluate).
pub fn working(rig: &Rig, answers: &Answers) -> Result<Vec<Step>> {
    let bench = Bench { rig, answers, air: Isotherm::new(rig.site.temperature)? };
    let mut steps = Vec::with_capacity(48);
    bench.site(&mut steps)?;
    bench.lift(&mut steps)?;
    bench.linkage(&mut steps)?;
    bench.structure(&mut steps)?;
    bench.tank(&mut steps)?;
    bench.pump(&mut steps)?;
    bench.motion(&mut steps)?;
    bench.faults(&mut steps)?;
    Ok(steps)
}

/// What all steps draw on.
#[derive(Debug)]
struct Bench<'a> {
    rig: &'a Rig,
    answers: &'a Answers,
    air: Isotherm,
}

impl Bench<'_> {
    fn density(&self, pressure: GaugePressure) -> Result<MassDensity> {
        self.air.density(pressure.to_absolute(self.rig.site.atmosphere)?)
    }

    fn density_step(&self, figure: &'static str, pressure: GaugePressure) -> Result<Step> {
        let site = &self.rig.site;
        let absolute = pressure.to_absolute(site.atmosphere)?;
        let factor = compressibility(absolute, site.temperature)?.value;
        Ok(Step::new(figure, &AIR_DENSITY, self.density(pressure)?)
            .with("p", pressure)
            .with("p_atm", site.atmosphere)
            .with("Z", factor)
            .with("T", site.temperature))
    }

    fn site(&self, steps: &mut Vec<Step>) -> Result<()> {
        let site = &self.rig.site;
        if let Some(altitude) = site.altitude {
            steps.push(
                Step::new("pressure of the atmosphere", &ATMOSPHERE, site.atmosphere).with("z", altitude),
            );
        }
        steps.push(self.density_step("density of the air of the site", GaugePressure::new(pascals(0.0)))?);
        Ok(())
    }

    /// What waits in the tank, and what comes through if the regulator fails.
    fn faults(&self, steps: &mut Vec<Step>) -> Result<()> {
        let (rig, full) = (self.rig, self.rig.full_pressure());
        steps.push(
            Step::new("energy stored in the full tank", &STORED_ENERGY, self.answers.stored)
                .with("p", full)
                .with("p_atm", rig.site.atmosphere)
                .with("V", rig.tank.volume),
        );
        steps.push(self.stuck_regulator()?);
        self.relief(steps)
    }
}

#[cfg(test)]
mod tests;
