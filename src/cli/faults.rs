//! `lungful faults`: what happens if one thing fails.

use std::io::Write;

use super::args::{Global, RigFile};
use super::check::{read, status};
use super::{Screen, Status, Stop};
use crate::answers::{evaluate, hazards};
use crate::report::{Report, document, parts, terminal};
use crate::rig::{Document, Overrides, Source};

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
    let found = hazards(&rig, &answers)?;
    let units = global.units.map_or_else(|| document.habit(), Into::into);
    let report = Report::new(&rig, &answers, units).with_hazards(&found);
    if global.json {
        write!(out, "{}", document::pretty(&parts::Faults::new(&report, found.verdict())))?;
    } else {
        write!(out, "{}", terminal::faults_text(&report, screen.columns()))?;
    }
    Ok(status(found.verdict()))
}
