//! What can hurt somebody: the order of the pressures, every single fault, the state of every valve, the energy
//! that waits in the air, and what protects.

use super::checks::ends;
use super::faults::{Fault, faults};
use super::pressure_order::{Gap, PressureOrder, pressure_order};
use super::states::{State, states};
use super::stored::{Rule, Store, rules, stores};
use super::stuck_open::{LineRelief, stuck_open};
use super::{Answers, Verdict};
use crate::Result;
use crate::air::gas::Isotherm;
use crate::rig::Rig;

/// What can hurt somebody.
#[derive(Debug, Clone, PartialEq)]
pub struct Hazards {
    /// Every pressure on one scale.
    pub order: PressureOrder,
    /// Every single fault, the worst first.
    pub faults: Vec<Fault>,
    /// Each valve in each phase.
    pub states: Vec<State>,
    /// Energy in the air of each part.
    pub stores: Vec<Store>,
    /// Rules that the receiver brings up.
    pub rules: Vec<Rule>,
    /// What protects.
    pub protectors: Vec<Protector>,
}

/// Something in the rig that keeps a fault from hurting somebody.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Protector {
    /// Field of the rig file.
    pub field: &'static str,
    /// Faults that it bears on.
    pub faults: &'static [&'static str],
}

/// The fault that tells a lock in the port from one in the line.
const AT_CYLINDERS: &str = "hose off at the cylinders";

/// A fault that tells a latch from a pin.
const SHUT_IN: &str = "regulator stuck closed";

/// Every field that protects, with the faults whose verdict or whose way out it can change.
const PROTECTORS: &[Protector] = &[
    Protector { field: "line.relief", faults: &["regulator stuck open"] },
    Protector { field: "line.relief-capacity", faults: &["regulator stuck open"] },
    Protector {
        field: "protection.port-throttle",
        faults: &[
            "electric power lost",
            "lower valve stuck open",
            "hose off at the cylinders",
            "hose off at the valve",
        ],
    },
    Protector {
        field: "protection.lock",
        faults: &["electric power lost", "lower valve stuck open", AT_CYLINDERS, "hose off at the valve"],
    },
    // In the line it keeps nothing from the hose behind it.
    Protector {
        field: "protection.lock",
        faults: &["electric power lost", "lower valve stuck open", "hose off at the valve"],
    },
    Protector {
        field: "protection.support",
        faults: &[
            "electric power lost",
            "lower valve stuck open",
            AT_CYLINDERS,
            "hose off at the valve",
            "one cylinder lost",
            "tank gone cold",
            SHUT_IN,
            "raise valve stuck shut",
        ],
    },
    // A pin waits for somebody to set it.
    Protector {
        field: "protection.support",
        faults: &[
            "electric power lost",
            "lower valve stuck open",
            AT_CYLINDERS,
            "hose off at the valve",
            "one cylinder lost",
            "tank gone cold",
        ],
    },
    Protector { field: "protection.hose-restraint", faults: &["torn hose whips"] },
    Protector { field: "protection.shut-off", faults: &["raise valve stuck open", "electric power lost"] },
    Protector { field: "protection.dump", faults: &["lower valve stuck shut", "air left after all off"] },
    Protector { field: "protection.second-check", faults: &["check valve leaks back"] },
    Protector {
        field: "protection.second-switch",
        faults: &["pressure switch stuck closed", "relief valve stuck shut"],
    },
];

/// What can hurt somebody with a rig whose answers are known.
///
/// # Errors
/// [`Error::OutOfRange`](crate::Error::OutOfRange) if a state leaves the gas equation (150 K to 600 K, up to
/// 35 MPa).
///
/// # Example
/// ```
/// use lungful::answers::{Verdict, evaluate, hazards};
/// use lungful::rig::{Document, Overrides, Source};
///
/// let rig = Document::read(Some(&Source::demo()), &Overrides::none()).rig()?;
/// let found = hazards(&rig, &evaluate(&rig)?)?;
/// // Nothing in the built-in rig holds the load when its hose comes off.
/// let hose = found.faults.iter().find(|fault| fault.check.id == "hose off at the cylinders");
/// assert!(hose.is_some_and(|fault| fault.check.verdict == Verdict::Fail));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn hazards(rig: &Rig, answers: &Answers) -> Result<Hazards> {
    let air = Isotherm::new(rig.site.temperature)?;
    let travel = rig.travel()?;
    let faults = faults(rig, &travel, answers, &air)?;
    Ok(Hazards {
        order: pressure_order(rig, answers)?,
        states: states(rig, answers, &faults),
        faults,
        stores: stores(rig)?,
        rules: rules(rig),
        protectors: protectors(rig)?,
    })
}

/// What of [`PROTECTORS`] the file says is there and acts: a second switch set above the relief valve, or a relief
/// valve after the regulator that opens above the tank or is outrun, protects from nothing.
fn protectors(rig: &Rig) -> Result<Vec<Protector>> {
    use crate::rig::{Dump, Lock, Support};
    let protection = &rig.protection;
    let line_relief = stuck_open(rig)?.relief;
    let is_there = |protector: &Protector| match protector.field {
        "protection.port-throttle" => protection.port_throttle.is_some(),
        "protection.lock" if protector.faults.contains(&AT_CYLINDERS) => protection.lock == Lock::InPort,
        "protection.lock" => protection.lock == Lock::InLine,
        "protection.support" if protector.faults.contains(&SHUT_IN) => protection.support == Support::Latch,
        "protection.support" => protection.support == Support::Pin,
        "protection.hose-restraint" => protection.hose_restraint,
        "protection.shut-off" => protection.shut_off,
        "protection.dump" => protection.dump != Dump::None,
        "protection.second-check" => protection.second_check,
        "protection.second-switch" => protection.second_switch.is_some_and(|second| {
            let stops = ends(rig, "protection.second-switch", second).high;
            rig.tank.relief.is_none_or(|relief| stops < ends(rig, "tank.relief", relief).low)
        }),
        "line.relief" => matches!(line_relief, LineRelief::Holds | LineRelief::MayHold),
        _ => line_relief == LineRelief::Holds,
    };
    Ok(PROTECTORS.iter().filter(|protector| is_there(protector)).copied().collect())
}

impl Hazards {
    /// The worst verdict of gaps and faults; not judged only if nothing is.
    #[must_use]
    pub fn verdict(&self) -> Verdict {
        let gaps = self.order.gaps.iter().map(|gap| gap.verdict);
        gaps.chain(self.faults.iter().map(|fault| fault.check.verdict)).max().unwrap_or(Verdict::NotJudged)
    }

    /// Gaps that are too small or nearly so, the worst first.
    pub fn tight_gaps(&self) -> impl Iterator<Item = &Gap> {
        self.order.gaps.iter().filter(|gap| gap.verdict != Verdict::Pass)
    }
}
