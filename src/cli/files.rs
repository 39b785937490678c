//! Files that are either whole or not there.

use std::io::{self, BufWriter, Write};
use std::path::Path;

use super::Stop;

/// Whether a file may be written: no folder, and nothing that would be lost unless `force` says so. `example`
/// is a name that would do.
pub(super) fn may_write(path: &Path, force: bool, example: &str) -> Result<(), Stop> {
    let refuse = |message: String, hint: String| Err(Stop::Request { message, hint });
    if path.is_dir() {
        return refuse(
            format!("`{}` is a folder", path.display()),
            format!("name the file to write, such as {example}"),
        );
    }
    if path.exists() && !force {
        return refuse(
            format!("`{}` is already there", path.display()),
            "name another file, or give --force to replace it".to_owned(),
        );
    }
    Ok(())
}

/// Whether two names stand for one file that is there.
pub(super) fn are_one(one: &Path, other: &Path) -> bool {
    one.canonicalize().ok().zip(other.canonicalize().ok()).is_some_and(|(one, other)| one == other)
}

/// The folder of a file.
fn folder(path: &Path) -> &Path {
    path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."))
}

/// Why a file could not be written, without the name of the temporary one.
fn reason(path: &Path, error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::NotFound | io::ErrorKind::NotADirectory if !folder(path).is_dir() => {
            "there is no such folder".to_owned()
        }
        io::ErrorKind::PermissionDenied => "you have no permission to write there".to_owned(),
        io::ErrorKind::StorageFull => "the disk is full".to_owned(),
        io::ErrorKind::IsADirectory => "it is a folder".to_owned(),
        _ => {
            let words = error.to_string();
            let words = words.split_once(" at path ").map_or(words.as_str(), |(words, _)| words);
            format!("the system makes no file there, it says \"{words}\"")
        }
    }
}

/// Writes a file so that it is either whole or not there: into a temporary file beside it, then renamed.
pub(super) fn write_whole(
    path: &Path,
    content: impl FnOnce(&mut dyn Write) -> io::Result<()>,
) -> Result<(), Stop> {
    written(path, content).map_err(|error| Stop::Request {
        message: format!("`{}` cannot be written: {}", path.display(), reason(path, &error)),
        hint: "check that the folder is there and that you may write in it".to_owned(),
    })
}

fn written(path: &Path, content: impl FnOnce(&mut dyn Write) -> io::Result<()>) -> io::Result<()> {
    let mut file = tempfile::Builder::new().prefix(".lungful-").tempfile_in(folder(path))?;
    let mut buffer = BufWriter::new(&mut file);
    content(&mut buffer)?;
    buffer.flush()?;
    drop(buffer);
    file.as_file().sync_all()?;
    // A temporary file is for its owner alone; a rig file or a trace is not secret.
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        file.as_file().set_permissions(std::fs::Permissions::from_mode(0o644))?;
    }
    file.persist(path).map_err(|error| error.error)?;
    Ok(())
}
