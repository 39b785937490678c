//! `lungful check`: a whole rig.

use std::io::Write;
use std::path::Path;

use super::args::{Global, RigFile};
use super::{Screen, Status, Stop};
use crate::answers::{Answers, Verdict, evaluate, hazards, raise_growth, working};
use crate::report::{Report, document, terminal};
use crate::rig::{Document, Overrides, Rig, Source};
use crate::units::UnitSystem;

/// Points along the travel that the JSON carries.
const TRAVEL_POINTS: u32 = 21;

pub(super) fn run(
    file: &RigFile,
    global: Global,
    out: &mut impl Write,
    screen: Screen,
) -> Result<Status, Stop> {
    let Evaluated { rig, answers, units, .. } = evaluated(file.rig.as_deref(), global)?;
    let mut report = Report::new(&rig, &answers, units)
        .with_travel(&rig.travel()?.points(TRAVEL_POINTS, answers.lift.available))
        .with_growth(&raise_growth(&rig, &answers)?)
        .with_hazards(&hazards(&rig, &answers)?);
    if global.working {
        report = report.with_working(&working(&rig, &answers)?);
    }
    if global.json {
        write!(out, "{}", document::json(&report))?;
    } else {
        write!(out, "{}", terminal::text(&report, screen.columns()))?;
    }
    Ok(status(answers.verdict()))
}

/// A rig file with its answers.
pub(super) struct Evaluated {
    pub(super) document: Document,
    pub(super) rig: Rig,
    pub(super) answers: Answers,
    pub(super) units: UnitSystem,
}

/// The answers of the rig file that was named; of the demo rig if none was.
pub(super) fn evaluated(path: Option<&Path>, global: Global) -> Result<Evaluated, Stop> {
    let source = read(path)?.unwrap_or_else(Source::demo);
    let document = Document::read(Some(&source), &Overrides::none());
    let rig = document.rig()?;
    let answers = evaluate(&rig)?;
    let units = global.units.map_or_else(|| document.habit(), Into::into);
    Ok(Evaluated { document, rig, answers, units })
}

/// The rig file that was named.
pub(super) fn read(path: Option<&Path>) -> Result<Option<Source>, Stop> {
    Ok(path.map(Source::read).transpose()?)
}

/// A failed check is a result with an exit code of its own.
pub(super) fn status(verdict: Verdict) -> Status {
    if verdict == Verdict::Fail { Status::Fails } else { Status::Fine }
}
