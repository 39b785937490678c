//! The answers of a rig: everything that `check` says, before it is put into words or numbers for a reader.
//!
//! [`evaluate`] goes from the load to the battery in the order in which a builder asks; [`Check`]s then hold
//! the answers to their limits.

mod bore;
mod check;
mod checks;
mod faults;
mod hazards;
mod joint;
mod lift;
mod pressure_order;
pub mod rehearsal;
mod remarks;
#[cfg(test)]
mod sample;
mod states;
mod steels;
mod stored;
mod structure;
mod stuck_open;
mod supply;
mod times;
mod working;

pub use bore::{BoreAnswer, BoreChoice, Place, Series, bore, standard_bores};
pub use check::{Check, CheckId, Piece, Sentence, Verdict, weakest};
pub use faults::{Fault, Figure};
pub use hazards::{Hazards, Protector, hazards};
pub use joint::{Links, PinAnswer, WeldAnswer};
pub use lift::Lift;
pub use pressure_order::{Gap, PressureOrder, Rung};
pub(crate) use pressure_order::{WINDOW_HIGH, WINDOW_LOW};
pub use remarks::{cautions, notes};
pub use states::State;
pub use steels::{StockTube, steel_grade, steel_grades, stock_tubes};
pub use stored::{Rule, Store};
pub use structure::{BeamAnswer, NetHeight, Rod, Structure, WorstStand};
pub use supply::{
    AirUse, BatteryUse, DeliveryNeeded, Fill, Starts, StrokeCounts, Strokes, TankLeak, describes_strokes,
};
pub use times::{
    Growth, HeldBackBy, LowerAnswer, QuickLifts, RaiseAnswer, RodSideHolds, SlowLift, Times, WantedValve,
    raise_growth,
};
pub use working::{Input, Step, bore_working, fault_working, session_working, working};

use uom::si::f64::{Energy, Length};

use crate::Result;
use crate::air::gas::Isotherm;
use crate::rig::Rig;
use crate::sizing::regulator_setpoint::Window;
use crate::sizing::stored_energy::stored_energy;

/// Name of the check that holds the set point to its window.
const SET_POINT_IN_WINDOW: &str = "set point in window";

/// Everything that is said of a rig.
#[derive(Debug, Clone, PartialEq)]
pub struct Answers {
    /// What the cylinders must give and can give.
    pub lift: Lift,
    /// Where the regulator belongs.
    pub window: Window,
    /// The bore that would open an empty window, if the window is empty and a bore does.
    pub opening_bore: Option<Length>,
    /// What a stroke takes and the tank holds.
    pub air: AirUse,
    /// How many strokes one fill gives.
    pub strokes: Strokes,
    /// How long filling takes; `None` without a compressor.
    pub fill: Option<Fill>,
    /// What a stroke draws, and how many strokes a charge gives.
    pub battery: BatteryUse,
    /// What the leak of the tank does; `None` where none is stated.
    pub leak: Option<TankLeak>,
    /// What the load does to rods, frame and stand.
    pub structure: Structure,
    /// How long raising and lowering take.
    pub times: Times,
    /// Energy stored in the full tank.
    pub stored: Energy,
    /// Every check, in the order in which the air flows back from the load.
    pub checks: Vec<Check>,
}

impl Answers {
    /// A check by its name.
    #[must_use]
    pub fn check(&self, id: &str) -> Option<&Check> {
        self.checks.iter().find(|check| check.id == id)
    }

    /// Whether a leg over centre bears the raised load, as the check of its lock finds.
    pub(crate) fn locks_itself(&self) -> bool {
        self.check("over-centre lock")
            .is_some_and(|check| matches!(check.verdict, Verdict::Pass | Verdict::Caution))
    }

    /// Whether a window is open and the set point stands in it, stated tolerances counted.
    #[must_use]
    pub fn set_point_holds(&self) -> bool {
        self.window.is_open()
            && self.check(SET_POINT_IN_WINDOW).is_none_or(|check| check.verdict != Verdict::Fail)
    }

    /// Whether one fill gives the strokes wanted; if none are wanted, whether it gives any.
    #[must_use]
    pub fn strokes_suffice(&self, rig: &Rig) -> bool {
        let counts = self.strokes.from_cut_out.slow;
        match rig.cycle.strokes_wanted {
            Some(wanted) => counts.full_pressure >= wanted,
            None => counts.until_stall > 0,
        }
    }

    /// Whether the pump reaches cut-out and keeps up the rate wanted, if one is.
    #[must_use]
    pub fn fill_suffices(&self) -> bool {
        self.fill.as_ref().is_some_and(|fill| {
            let kept_up = fill.delivery_for_rate.is_none_or(|needed| needed.times.value <= 1.0 + 1e-9);
            fill.stalls_at.is_none() && kept_up
        })
    }

    /// The verdict on the rig: that of its worst check.
    #[must_use]
    pub fn verdict(&self) -> Verdict {
        weakest(&self.checks).map_or(Verdict::NotJudged, |check| check.verdict)
    }
}

/// Answers every question of a rig.
///
/// # Errors
/// [`Error::OutOfRange`](crate::Error::OutOfRange) if a state leaves the gas equation (150 K to 600 K, up to
/// 35 MPa).
pub fn evaluate(rig: &Rig) -> Result<Answers> {
    let isotherm = Isotherm::new(rig.site.temperature)?;
    let travel = rig.travel()?;
    let lift = lift::lift(rig, &travel);
    let window = lift::set_point_window(rig, &lift);
    let opening_bore = (!window.is_open())
        .then(|| window.opening_bore(&rig.cylinders, &lift.worst, &rig.regulator, rig.limits.load_ratio))
        .flatten();
    let (air, strokes) = supply::air_and_strokes(rig, &travel, &lift, &isotherm)?;
    let fill = supply::fill(rig, &air, &strokes, &isotherm)?;
    let battery = supply::battery(rig, &air, fill.as_ref());
    let structure = structure::structure(rig, &travel, lift.worst.force)?;
    let times = times::times(rig, &travel, &lift, &strokes.tank_after)?;
    let stored = stored_energy(
        rig.full_pressure().to_absolute(rig.site.atmosphere)?,
        rig.tank.volume,
        rig.site.atmosphere,
    );
    let mut answers = Answers {
        lift,
        window,
        opening_bore,
        air,
        strokes,
        fill,
        battery,
        leak: supply::tank_leak(rig, &isotherm)?,
        structure,
        times,
        stored,
        checks: Vec::with_capacity(24),
    };
    answers.checks = checks::all(rig, &travel, &answers, &isotherm)?;
    Ok(answers)
}
