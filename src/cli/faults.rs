//! `lungful faults`: what happens if one thing fails.

use std::io::Write;

use super::args::{Global, RigFile};
use super::check::{Evaluated, evaluated, status};
use super::{Screen, Status, Stop};
use crate::answers::{fault_working, hazards};
use crate::report::{Report, document, parts, terminal};

pub(super) fn run(
    file: &RigFile,
    global: Global,
    out: &mut impl Write,
    screen: Screen,
) -> Result<Status, Stop> {
    let Evaluated { rig, answers, units, .. } = evaluated(file.rig.as_deref(), global)?;
    let found = hazards(&rig, &answers)?;
    let mut report = Report::new(&rig, &answers, units).with_hazards(&found);
    if global.working {
        report = report.with_working(&fault_working(&rig, &answers, &found)?);
    }
    if global.json {
        write!(out, "{}", document::pretty(&parts::Faults::new(&report, found.verdict())))?;
    } else {
        write!(out, "{}", terminal::faults_text(&report, screen.columns()))?;
    }
    Ok(status(found.verdict()))
}
