//! What helps around the program: schema, completions, manual page.

use std::io::{self, Write};

use clap::{Command, CommandFactory as _};
use clap_mangen::Man;
use clap_mangen::roff::Roff;

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
    out.write_all(&page()?)?;
    Ok(Status::Fine)
}

/// One page for the program and all its commands, since one page is what `man` prints.
fn page() -> io::Result<Vec<u8>> {
    let whole = Cli::command();
    let commands: Vec<Command> = whole.get_subcommands().cloned().collect();
    let top = Man::new(whole);
    let mut page = Vec::new();
    top.render_title(&mut page)?;
    top.render_name_section(&mut page)?;
    top.render_synopsis_section(&mut page)?;
    top.render_description_section(&mut page)?;
    top.render_options_section(&mut page)?;
    for command in commands {
        let name = format!("lungful {}", command.get_name());
        let mut heading = Roff::new();
        heading.control("SH", [name.to_uppercase().as_str()]);
        heading.to_writer(&mut page)?;
        // Its help flag is the one of the top.
        page.extend(part(&Man::new(command.bin_name(name).disable_help_flag(true)))?);
    }
    top.render_extra_section(&mut page)?;
    top.render_version_section(&mut page)?;
    Ok(page)
}

/// A command as part of the page: the sections that it would have on a page of its own, one level down.
fn part(command: &Man) -> io::Result<Vec<u8>> {
    let mut sections = Vec::new();
    command.render_description_section(&mut sections)?;
    command.render_synopsis_section(&mut sections)?;
    command.render_options_section(&mut sections)?;
    let text = String::from_utf8_lossy(&sections);
    let mut part = String::new();
    for line in text.lines() {
        match line.strip_prefix(".SH ") {
            Some("DESCRIPTION") => {}
            Some(heading) => part.extend([".SS ", heading, "\n"]),
            None => part.extend([line, "\n"]),
        }
    }
    Ok(part.into_bytes())
}
