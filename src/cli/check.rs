//! `lungful check`: a whole rig.

use std::io::Write;
use std::path::Path;

use super::args::{Global, RigFile};
use super::{Screen, Status, Stop};
use crate::answers::{Verdict, evaluate, hazards, working};
use crate::report::{Report, document, terminal};
use crate::rig::{Document, Overrides, Source};

/// Points along the travel that the JSON carries.
const TRAVEL_POINTS: u32 = 21;

pub(super) fn run(
    file: &RigFile,
    global: Global,
    out: &mut impl Write,
    screen: Screen,
) -> Result<Status, Stop> {
    let source = read(file.rig.as_deref())?.unwrap_or_else(Source::demo);
    let document = Document::read(Some(&source), &Overrides::none());
    let rig = document.rig()?;
    let answers = evaluate(&rig)?;
    let units = global.units.map_or_else(|| document.habit(), Into::into);
    let mut report = Report::new(&rig, &answers, units)
        .with_travel(&rig.travel()?.points(TRAVEL_POINTS, answers.lift.available))
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

/// The rig file that was named.
pub(super) fn read(path: Option<&Path>) -> Result<Option<Source>, Stop> {
    Ok(path.map(Source::read).transpose()?)
}

/// A failed check is a result with an exit code of its own.
pub(super) fn status(verdict: Verdict) -> Status {
    if verdict == Verdict::Fail { Status::Fails } else { Status::Fine }
}
