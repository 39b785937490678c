//! `lungful rehearse`: a working session in time.

use std::io::Write;
use std::path::Path;

use uom::si::f64::Time;
use uom::si::time::second;

use super::args::{Global, RehearseArgs};
use super::check::{Evaluated, evaluated};
use super::files::{are_one, may_write, write_whole};
use super::progress::Progress;
use super::{Screen, Status, Stop};
use crate::answers::rehearsal::{Extent, NotRehearsed, plan, rehearse};
use crate::answers::{session_working, working};
use crate::rehearsal::Row;
use crate::report::{Report, document, parts};
use crate::rig::{Document, Place, Problem, Problems};
use crate::units::display::{UnitSystem, show};
use crate::units::{Dimension, parse::parse};

/// Time between the rows of a trace if nobody says it, in s.
const USUAL_STEP_S: f64 = 1.0;
/// Topics whose working stands below a rehearsal, besides what moves in time.
const FIGURES: &[&str] = &["dead-volume", "tank-content"];

/// How a trace is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Form {
    Csv,
    Json,
}

pub(super) fn run(
    args: &RehearseArgs,
    global: Global,
    out: &mut impl Write,
    err: &mut impl Write,
    screen: Screen,
) -> Result<Status, Stop> {
    let time = args.time.as_deref().map(|text| time_of("--for", text)).transpose()?;
    let step = args.step.as_deref().map(|text| time_of("--step", text)).transpose()?;
    let trace = args.trace.as_deref().map(|path| trace_file(path, args)).transpose()?;
    let extent = match (args.lifts, time) {
        (Some(lifts), _) => Extent::Lifts(lifts),
        (None, Some(time)) => Extent::For(time),
        (None, None) => Extent::AsTheRigSays,
    };
    let Evaluated { document, rig, answers, units } = evaluated(Some(&args.rig), global)?;
    let plan = plan(&rig, extent).map_err(|error| stop(error, &document))?;
    let every = trace.map(|_| step.unwrap_or_else(|| Time::new::<second>(USUAL_STEP_S)));
    let mut progress = Progress::new(&mut *err, screen.error_stream_is_terminal, plan.lifts);
    let worked = rehearse(&rig, &plan, every, &mut |done, of| progress.done(done, of));
    progress.clear();
    let worked = worked.map_err(|error| stop(error, &document))?;
    if let Some((path, form)) = trace {
        let rows = &worked.rehearsal.trace;
        write_whole(path, |file| write_trace(file, form, rows))?;
        writeln!(err, "wrote {} rows to {}", rows.len(), path.display())?;
    }
    let mut report = Report::new(&rig, &answers, units);
    if global.working {
        let mut steps = working(&rig, &answers)?;
        steps.retain(|step| FIGURES.contains(&step.formula.topic));
        steps.extend(session_working(&rig, &answers, &plan, &worked)?);
        report = report.with_working(&steps);
    }
    let part = parts::Rehearsal::new(&report, &plan, &worked);
    if global.json {
        write!(out, "{}", document::pretty(&part))?;
    } else {
        write!(out, "{}", part.text(&report, screen.columns()))?;
    }
    Ok(if worked.is_good() { Status::Fine } else { Status::Fails })
}

fn write_trace(file: &mut dyn Write, form: Form, rows: &[Row]) -> std::io::Result<()> {
    match form {
        Form::Csv => {
            writeln!(file, "{}", Row::csv_head())?;
            rows.iter().try_for_each(|row| writeln!(file, "{}", row.csv()))
        }
        Form::Json => {
            write!(file, "[")?;
            for (number, row) in rows.iter().enumerate() {
                write!(file, "{}\n{}", if number == 0 { "" } else { "," }, row.json())?;
            }
            writeln!(file, "\n]")
        }
    }
}

/// The file of a trace, in which nothing that is worth keeping stands, and its form.
fn trace_file<'a>(path: &'a Path, args: &RehearseArgs) -> Result<(&'a Path, Form), Stop> {
    let form = form(path)?;
    if are_one(path, &args.rig) {
        return Err(Stop::Request {
            message: format!("`{}` is the rig file itself", path.display()),
            hint: "name another file for the trace".to_owned(),
        });
    }
    may_write(path, args.force, "course.csv")?;
    Ok((path, form))
}

/// How a trace is written, by the ending of its name.
fn form(path: &Path) -> Result<Form, Stop> {
    let ending = path.extension().and_then(|ending| ending.to_str()).map(str::to_ascii_lowercase);
    match ending.as_deref() {
        Some("csv") => Ok(Form::Csv),
        Some("json") => Ok(Form::Json),
        _ => Err(Stop::Request {
            message: format!("`{}` does not say how the trace is to be written", path.display()),
            hint: "let its name end in .csv or .json".to_owned(),
        }),
    }
}

/// A time above 0 from a flag.
fn time_of(flag: &str, text: &str) -> Result<Time, Stop> {
    let place = || Place::Flag { flag: flag.to_owned(), text: text.to_owned() };
    let hint = "give a time with its unit, such as '0.5 s', '10 min' or '8 h'";
    let refuse = |message: String| Problems::from(Problem::new(place(), message).hint(hint));
    match parse(text, Dimension::Time) {
        Ok(quantity) if quantity.si > 0.0 => Ok(Time::new::<second>(quantity.si)),
        Ok(_) => Err(refuse(format!("`{flag}` is not above 0")).into()),
        Err(error) => Err(refuse(format!("`{flag}`: {error}")).into()),
    }
}

fn stop(error: NotRehearsed, document: &Document) -> Stop {
    match error {
        NotRehearsed::Lacks(lacks) => {
            let problem = |lack: crate::answers::rehearsal::Lack| {
                Problem::new(Place::Whole, format!("`{}` is missing: {}", lack.field, lack.why))
                    .hint(lack.cure)
            };
            document.problems(lacks.into_iter().map(problem).collect()).into()
        }
        NotRehearsed::TooManyLifts { most } => Stop::Request {
            message: "these are more lifts than one rehearsal takes".to_owned(),
            hint: format!("ask for at most {most}"),
        },
        NotRehearsed::NotSoManyTasks { lifts } => Stop::Request {
            message: format!("the tasks of the rig file make {lifts} lifts, fewer than asked for"),
            hint: format!("ask for at most {lifts}, or let do = \"repeat\" work the tasks more often"),
        },
        NotRehearsed::TasksSayHowLong => Stop::Request {
            message: "the tasks of the rig file say how long the session lasts".to_owned(),
            hint: "leave out `--for`, or ask with `--lifts` for the first of its lifts".to_owned(),
        },
        NotRehearsed::TooManyRows { most, step } => Stop::Request {
            message: format!("the trace would have more than {most} rows"),
            hint: format!(
                "give a step of at least {}, or fewer lifts",
                show(step.value, Dimension::Time, UnitSystem::Metric)
            ),
        },
        NotRehearsed::Calculation(error) => error.into(),
        NotRehearsed::Stopped { time, reason } => Stop::Request {
            message: format!(
                "the rehearsal stopped at {}: {reason}",
                show(time.value, Dimension::Time, UnitSystem::Metric)
            ),
            hint: "look for a figure that is far from that of a real rig: a volume, a valve, a friction"
                .to_owned(),
        },
    }
}
