//! What helps around the program: schema, completions, manual page.

use std::io::Write;

use clap::CommandFactory as _;

use super::args::Cli;
use super::{Status, Stop};
use crate::report::document;
use crate::rig::schema::schema as rig_schema;

pub(super) fn schema(out: &mut impl Write) -> Result<Status, Stop> {
    write!(out, "{}", document::pretty(&rig_schema()))?;
    Ok(Status::Fine)
}

pub(super) fn completions(shell: clap_complete::Shell, out: &mut impl Write) -> Result<Status, Stop> {
    // Made in memory first: the generator gives up on a write error.
    let mut script = Vec::new();
    clap_complete::generate(shell, &mut Cli::command(), "lungful", &mut script);
    out.write_all(&script)?;
    Ok(Status::Fine)
}

pub(super) fn man(out: &mut impl Write) -> Result<Status, Stop> {
    let mut page = Vec::new();
    clap_mangen::Man::new(Cli::command()).render(&mut page)?;
    out.write_all(&page)?;
    Ok(Status::Fine)
}
