//! The command line of Lungful.

use std::io::{self, IsTerminal as _};
use std::process::ExitCode;

use lungful::cli::{self, Screen};

fn main() -> ExitCode {
    let stdout = anstream::stdout();
    let screen = Screen {
        width: terminal_size::terminal_size().map(|(width, _)| usize::from(width.0)),
        colour_on_error_stream: anstream::AutoStream::choice(&io::stderr()) != anstream::ColorChoice::Never
            && io::stderr().is_terminal(),
        error_stream_is_terminal: io::stderr().is_terminal(),
    };
    let status = cli::run(std::env::args_os(), &mut stdout.lock(), &mut anstream::stderr().lock(), screen);
    ExitCode::from(status.code())
}
