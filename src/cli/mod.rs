//! The command line: what was typed becomes a rig, its answers a report. Nothing here computes.

mod args;
mod check;
mod explain;
mod faults;
mod files;
mod flags;
mod new;
mod parts;
mod progress;
mod rehearse;
mod tools;

use std::ffi::OsString;
use std::io::{self, Write};

use clap::Parser as _;

use crate::rig::{Problems, Style};
use args::{Cli, Command};

/// Columns taken where no terminal says how many it has.
const USUAL_WIDTH: usize = 110;
/// Columns between which text stays readable.
const LEAST_WIDTH: usize = 72;
const MOST_WIDTH: usize = 150;

/// How a run ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Status {
    /// Nothing fails; cautions and what is not judged do not count.
    Fine,
    /// A check, a fault or a lift fails, or nothing does what is wanted.
    Fails,
    /// The input could not be used.
    Unusable,
}

impl Status {
    /// Exit code of the process: 0, 1 or 2.
    #[must_use]
    pub const fn code(self) -> u8 {
        match self {
            Self::Fine => 0,
            Self::Fails => 1,
            Self::Unusable => 2,
        }
    }
}

/// What is known of the terminal.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Screen {
    /// Its columns, if standard output is a terminal.
    pub width: Option<usize>,
    /// Whether messages may carry colour.
    pub colour_on_error_stream: bool,
    /// Whether messages are read on a terminal, so that a line of progress may be drawn over.
    pub error_stream_is_terminal: bool,
}

impl Screen {
    fn columns(self) -> usize {
        self.width.map_or(USUAL_WIDTH, |width| width.clamp(LEAST_WIDTH, MOST_WIDTH))
    }

    fn style(self) -> Style {
        if self.colour_on_error_stream { Style::Coloured } else { Style::Plain }
    }
}

/// Why a command stopped before its end.
enum Stop {
    /// The rig file or a flag is wrong.
    Input(Problems),
    /// A calculation left the range in which it holds.
    Calculation(crate::Error),
    /// An output could not be written.
    Output(io::Error),
    /// Anything else that is wrong with the request, with a way to mend it.
    Request { message: String, hint: String },
}

impl From<Problems> for Stop {
    fn from(problems: Problems) -> Self {
        Self::Input(problems)
    }
}

impl From<crate::Error> for Stop {
    fn from(error: crate::Error) -> Self {
        Self::Calculation(error)
    }
}

impl From<io::Error> for Stop {
    fn from(error: io::Error) -> Self {
        Self::Output(error)
    }
}

/// Runs one command line. Results go to `out`, messages to `err`.
pub fn run(
    args: impl IntoIterator<Item = OsString>,
    out: &mut impl Write,
    err: &mut impl Write,
    screen: Screen,
) -> Status {
    let cli = match Cli::try_parse_from(args) {
        Ok(cli) => cli,
        Err(error) => return usage(&error, out, err),
    };
    let outcome = match cli.command {
        Command::Check(check) => check::run(&check, cli.global, out, screen),
        Command::Faults(file) => faults::run(&file, cli.global, out, screen),
        Command::Bore(bore) => parts::bore(&bore, cli.global, out, screen),
        Command::Setpoint(part) => parts::setpoint(&part, cli.global, out, screen),
        Command::Strokes(part) => parts::strokes(&part, cli.global, out, screen),
        Command::Fill(part) => parts::fill(&part, cli.global, out, screen),
        Command::Rehearse(rehearse) => rehearse::run(&rehearse, cli.global, out, err, screen),
        Command::New(new) => new::run(&new, out),
        Command::Explain { topic } => explain::run(topic.as_deref(), cli.global, out, screen),
        Command::Schema => tools::schema(out),
        Command::Completions { shell } => tools::completions(shell, out),
        Command::Man => tools::man(out),
    };
    match outcome {
        Ok(status) => status,
        Err(stop) => report_stop(stop, err, screen),
    }
}

/// Help and version are results; a wrong command line is not.
fn usage(error: &clap::Error, out: &mut impl Write, err: &mut impl Write) -> Status {
    let styled = error.render();
    let text = styled.ansi();
    // There is nothing left to do if the stream is closed.
    if error.use_stderr() {
        let _ = write!(err, "{text}");
        Status::Unusable
    } else {
        let _ = write!(out, "{text}");
        Status::Fine
    }
}

fn report_stop(stop: Stop, err: &mut impl Write, screen: Screen) -> Status {
    let text = match stop {
        // A reader that has seen enough, such as `head`, is no failure.
        Stop::Output(error) if error.kind() == io::ErrorKind::BrokenPipe => return Status::Fine,
        Stop::Output(error) => format!("error: the output cannot be written: {error}\n"),
        Stop::Input(problems) => problems.render(screen.style()),
        Stop::Calculation(error) => format!(
            "error: {error}\nhint: the rig leaves the range of the gas equation (150 K to 600 K, up to 350 bar); check pressures and temperature\n"
        ),
        Stop::Request { message, hint } => format!("error: {message}\nhint: {hint}\n"),
    };
    let _ = write!(err, "{text}");
    Status::Unusable
}
