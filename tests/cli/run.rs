//! Running the program, and what it gave back. A part of the tests beside this file.

use std::io::Write as _;
use std::process::{Command, Output, Stdio};

/// The program with an empty standard input, in the root of the repository.
pub(crate) fn lungful(arguments: &[&str]) -> Output {
    command(env!("CARGO_BIN_EXE_lungful")).args(arguments).output().unwrap()
}

/// The program with a text on standard input.
pub(crate) fn lungful_reading(input: &str, arguments: &[&str]) -> Output {
    let mut command = command(env!("CARGO_BIN_EXE_lungful"));
    command.args(arguments).stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped());
    let mut child = command.spawn().unwrap();
    // A wrong command line is answered before anything is read.
    let _ = child.stdin.take().unwrap().write_all(input.as_bytes());
    child.wait_with_output().unwrap()
}

/// A program in the root of the repository, its words without colour.
pub(crate) fn command(program: &str) -> Command {
    let mut command = Command::new(program);
    command.current_dir(env!("CARGO_MANIFEST_DIR")).env("NO_COLOR", "1").stdin(Stdio::null());
    command
}

/// Its exit code.
#[track_caller]
pub(crate) fn code(output: &Output) -> i32 {
    output.status.code().unwrap_or_else(|| panic!("ended by a signal: {output:?}"))
}

/// Its standard output.
pub(crate) fn out(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

/// Its standard error.
pub(crate) fn err(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}
