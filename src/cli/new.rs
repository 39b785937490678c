//! `lungful new`: a commented rig file.

use std::io::{self, Write};
use std::path::Path;

use super::args::NewArgs;
use super::{Status, Stop};
use crate::rig::template::template;

pub(super) fn run(new: &NewArgs, out: &mut impl Write) -> Result<Status, Stop> {
    let text = template();
    let Some(path) = new.path.as_deref().filter(|path| *path != Path::new("-")) else {
        write!(out, "{text}")?;
        return Ok(Status::Fine);
    };
    if path.is_dir() {
        return Err(Stop::Request {
            message: format!("`{}` is a folder", path.display()),
            hint: "name the file to write, such as my-rig.toml".to_owned(),
        });
    }
    if path.exists() && !new.force {
        return Err(Stop::Request {
            message: format!("`{}` is already there", path.display()),
            hint: "name another file, or give --force to replace it".to_owned(),
        });
    }
    write_whole(path, &text).map_err(|error| Stop::Request {
        message: format!("`{}` cannot be written: {}", path.display(), reason(&error)),
        hint: "check that the folder is there and that you may write in it".to_owned(),
    })?;
    writeln!(out, "wrote {}; now run: lungful check {0}", path.display())?;
    Ok(Status::Fine)
}

/// Why a file could not be written, without the name of the temporary one.
fn reason(error: &io::Error) -> &'static str {
    match error.kind() {
        io::ErrorKind::NotFound | io::ErrorKind::NotADirectory => "there is no such folder",
        io::ErrorKind::PermissionDenied => "you have no permission to write there",
        io::ErrorKind::StorageFull => "the disk is full",
        io::ErrorKind::IsADirectory => "it is a folder",
        _ => "the disk refused it",
    }
}

/// Writes a file so that it is either whole or not there: into a temporary file beside it, then renamed.
fn write_whole(path: &Path, text: &str) -> io::Result<()> {
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let mut file = tempfile::Builder::new().prefix(".lungful-").tempfile_in(folder)?;
    file.write_all(text.as_bytes())?;
    file.as_file().sync_all()?;
    // A temporary file is for its owner alone; a rig file is not secret.
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        file.as_file().set_permissions(std::fs::Permissions::from_mode(0o644))?;
    }
    file.persist(path).map_err(|error| error.error)?;
    Ok(())
}
