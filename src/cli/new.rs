//! `lungful new`: a commented rig file.

use std::io::Write;
use std::path::Path;

use super::args::NewArgs;
use super::files::{may_write, write_whole};
use super::{Status, Stop};
use crate::rig::template::template;

pub(super) fn run(new: &NewArgs, out: &mut impl Write) -> Result<Status, Stop> {
    let text = template();
    let Some(path) = new.path.as_deref().filter(|path| *path != Path::new("-")) else {
        write!(out, "{text}")?;
        return Ok(Status::Fine);
    };
    may_write(path, new.force, "my-rig.toml")?;
    write_whole(path, |file| file.write_all(text.as_bytes()))?;
    writeln!(out, "wrote {}; now run: lungful check {0}", path.display())?;
    Ok(Status::Fine)
}
