//! The single questions: `bore`, `setpoint`, `strokes`, `fill`. Each takes flags, a rig file, or both.

use std::io::Write;

use super::args::{BoreArgs, Global, PartArgs, Series};
use super::check::read;
use super::flags::{self, Question};
use super::{Screen, Status, Stop};
use crate::answers::{
    Answers, Place, bore as choose_bore, bore_working, describes_strokes, evaluate, working,
};
use crate::report::{Report, document, parts};
use crate::rig::{Document, Rig};
use crate::sizing::cylinder_force::Action;
use crate::sizing::tank_capacity::EndPressure;
use crate::units::UnitSystem;

/// What a question is answered from.
struct Asked {
    rig: Rig,
    answers: Answers,
    units: UnitSystem,
}

fn ask<Q: Question>(part: &PartArgs<Q>, global: Global) -> Result<Asked, Stop> {
    let source = read(part.rig.as_deref())?;
    let mut overrides = part.flags.overrides.clone();
    let document = Document::read(source.as_ref(), &overrides);
    for (path, text) in Q::ASSUMED {
        overrides.assume(path, text);
    }
    for (path, text) in Q::IRRELEVANT {
        if fits(&document, path) {
            overrides.stand_in(path, text);
        }
    }
    let document = document.with(overrides);
    let mut rig = document.rig()?;
    // A default that the question does not depend on is no default of its answer.
    rig.defaults.retain(|default| Q::takes(default.field));
    needs(&rig)?;
    let answers = evaluate(&rig)?;
    Ok(Asked { rig, answers, units: global.units.map_or_else(|| document.habit(), Into::into) })
}

/// Whether a stand-in for a field makes sense beside what is said: a bottle has no compressor, a compressor no
/// filled-to, and a delivery is given in one way only.
fn fits(document: &Document, path: &str) -> bool {
    let compressor = document.says("compressor");
    match path {
        "tank.filled-to" => !compressor,
        "tank.relief" => compressor,
        "compressor.delivery.open" | "compressor.delivery.stall" => {
            compressor && !document.says("compressor.delivery.points")
        }
        _ if path.starts_with("compressor.") => compressor,
        _ => true,
    }
}

/// What a flag-only question may leave out in one case and not in another.
fn needs(rig: &Rig) -> Result<(), Stop> {
    let missing = |field: &str, why: &str, flag: &str| Stop::Request {
        message: format!("`{field}` is missing: {why}"),
        hint: format!("give {flag}, or name a rig file"),
    };
    if rig.cylinders.action == Action::Double && !rig.is_given("cylinders.rod") {
        return Err(missing(
            "cylinders.rod",
            "a double-acting cylinder has less area on the rod side",
            "--rod",
        ));
    }
    if rig.cycle.end_pressure == EndPressure::Load && !rig.is_given("load.lift") {
        return Err(missing("load.lift", "the valve is closed when the load has risen so far", "--lift"));
    }
    Ok(())
}

/// The report of the parts that a question asks for, with its working if wanted.
fn report(asked: &Asked, global: Global, figures: &[&str]) -> Result<Report, Stop> {
    let report = Report::new(&asked.rig, &asked.answers, asked.units);
    if !global.working {
        return Ok(report);
    }
    let mut steps = working(&asked.rig, &asked.answers)?;
    steps.retain(|step| figures.contains(&step.formula.topic));
    Ok(report.with_working(&steps))
}

pub(super) fn bore(
    args: &BoreArgs,
    global: Global,
    out: &mut impl Write,
    screen: Screen,
) -> Result<Status, Stop> {
    let asked = ask(&args.part, global)?;
    let wanted = args.series.unwrap_or(match asked.units {
        UnitSystem::Metric => Series::Metric,
        UnitSystem::Us => Series::Inch,
    });
    let choice = choose_bore(&asked.rig, |series| match wanted {
        Series::Metric => series.name == "metric",
        Series::Inch => series.name == "inch",
        Series::Both => true,
    });
    let choice = choice?;
    let found = choice.choices.iter().any(|choice| choice.place == Place::Smallest);
    let mut report = report(&asked, global, &["load-along-the-travel"])?;
    if global.working {
        report = report.with_more_working(&bore_working(&asked.rig, &choice)?);
    }
    let part = parts::Bore::new(&report, &asked.rig, &choice);
    if global.json {
        write!(out, "{}", document::pretty(&part))?;
    } else {
        write!(out, "{}", part.text(&report, screen.columns()))?;
    }
    Ok(if found { Status::Fine } else { Status::Fails })
}

pub(super) fn setpoint(
    args: &PartArgs<flags::Setpoint>,
    global: Global,
    out: &mut impl Write,
    screen: Screen,
) -> Result<Status, Stop> {
    let asked = ask(args, global)?;
    let topics = ["load-along-the-travel", "load-pressure", "needed-pressure", "set-point"];
    let report = report(&asked, global, &topics)?;
    let part = parts::SetPoint::new(&report, &asked.rig, &asked.answers);
    if global.json {
        write!(out, "{}", document::pretty(&part))?;
    } else {
        write!(out, "{}", part.text(&report, screen.columns()))?;
    }
    let given = asked.rig.is_given("regulator.set");
    let holds = asked.answers.window.is_open() && (!given || asked.answers.set_point_holds());
    Ok(if holds { Status::Fine } else { Status::Fails })
}

pub(super) fn strokes(
    args: &PartArgs<flags::Strokes>,
    global: Global,
    out: &mut impl Write,
    screen: Screen,
) -> Result<Status, Stop> {
    let asked = ask(args, global)?;
    let topics = [
        "dead-volume",
        "tank-content",
        "usable-air",
        "air-per-stroke",
        "strokes-at-full-pressure",
        "strokes-until-stall",
        "quick-gas",
        "tank-for-strokes",
    ];
    let report = report(&asked, global, &topics)?;
    let part = parts::Strokes::new(&report, &asked.rig, &asked.answers);
    if global.json {
        write!(out, "{}", document::pretty(&part))?;
    } else {
        write!(out, "{}", part.text(&report, screen.columns()))?;
    }
    Ok(if asked.answers.strokes_suffice(&asked.rig) { Status::Fine } else { Status::Fails })
}

pub(super) fn fill(
    args: &PartArgs<flags::Fill>,
    global: Global,
    out: &mut impl Write,
    screen: Screen,
) -> Result<Status, Stop> {
    let asked = ask(args, global)?;
    if asked.answers.fill.is_none() {
        return Err(Stop::Request {
            message: "the rig has no compressor, so nothing fills its tank".to_owned(),
            hint: "`lungful strokes` counts the strokes of a bottle".to_owned(),
        });
    }
    let topics: &[&str] = if describes_strokes(&asked.rig) {
        &["fill-time", "kept-up-rate", "delivery-needed", "stall"]
    } else {
        &["fill-time", "stall"]
    };
    let report = report(&asked, global, topics)?;
    let part = parts::Fill::new(&report, &asked.rig, &asked.answers);
    if global.json {
        write!(out, "{}", document::pretty(&part))?;
    } else {
        write!(out, "{}", part.text(&report, screen.columns()))?;
    }
    Ok(if asked.answers.fill_suffices() { Status::Fine } else { Status::Fails })
}
