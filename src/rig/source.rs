//! The text of a rig file, and the reading of it. Nothing else in the library opens a file.

use std::fs::File;
use std::io::{self, Read};
use std::path::Path;
use std::sync::Arc;

use super::problem::{Place, Problem, Problems, shown};

/// Largest rig file: far above any real one, far below what could exhaust the machine.
const LARGEST_BYTES: u64 = 1024 * 1024;

/// The text of a rig file and its name in messages.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Source {
    name: Arc<str>,
    text: Arc<str>,
}

impl Source {
    /// A text that is already at hand.
    #[must_use]
    pub fn new(name: &str, text: &str) -> Self {
        // The byte order mark that some editors write says nothing about the rig.
        let text = text.strip_prefix('\u{feff}').unwrap_or(text);
        Self { name: shown(name).into(), text: text.into() }
    }

    /// The demonstration rig that is built in.
    #[must_use]
    pub fn demo() -> Self {
        Self::new("the built-in demonstration rig", include_str!("../../data/demo.toml"))
    }

    /// Reads the file at `path`, or standard input if the path is `-`.
    ///
    /// # Errors
    /// A problem that says what to do, if the file cannot be opened, is larger than 1 MiB or is not text.
    pub fn read(path: &Path) -> Result<Self, Problems> {
        if path.as_os_str() == "-" {
            return Self::from_reader("standard input", io::stdin().lock());
        }
        let name = path.display().to_string();
        if path.is_dir() {
            let problem = Problem::new(Place::Whole, "this is a folder, not a rig file")
                .hint("name the rig file in it, such as rig.toml");
            return Err(Self::unreadable(&name, problem));
        }
        let file = File::open(path).map_err(|error| Self::unreadable(&name, cannot_read(&error)))?;
        Self::from_reader(&name, file)
    }

    /// Reads a rig file from an open stream.
    ///
    /// # Errors
    /// As [`read`](Self::read).
    pub fn from_reader(name: &str, reader: impl Read) -> Result<Self, Problems> {
        let mut bytes = Vec::new();
        let read = reader.take(LARGEST_BYTES + 1).read_to_end(&mut bytes);
        read.map_err(|error| Self::unreadable(name, cannot_read(&error)))?;
        Self::from_bytes(name, &bytes)
    }

    /// Takes the bytes of a rig file for text.
    ///
    /// # Errors
    /// As [`read`](Self::read).
    pub fn from_bytes(name: &str, bytes: &[u8]) -> Result<Self, Problems> {
        if u64::try_from(bytes.len()).is_ok_and(|length| length > LARGEST_BYTES) {
            let problem =
                Problem::new(Place::Whole, "the file is larger than 1 MiB; a rig file has a few kilobytes")
                    .hint("is this the right file? `lungful new` writes a rig file to start from");
            return Err(Self::unreadable(name, problem));
        }
        // A zero byte is UTF-8 by the letter, but no text has one.
        let zero = bytes.iter().position(|byte| *byte == 0);
        match (std::str::from_utf8(bytes), zero) {
            (Ok(text), None) => Ok(Self::new(name, text)),
            (Ok(_), Some(zero)) => Err(Self::unreadable(name, not_text(bytes, zero))),
            (Err(error), _) => Err(Self::unreadable(name, not_text(bytes, error.valid_up_to()))),
        }
    }

    fn unreadable(name: &str, problem: Problem) -> Problems {
        Problems::new(Some(Self::new(name, "")), vec![problem])
    }

    /// The name of the file in messages.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// The text.
    #[must_use]
    pub fn text(&self) -> &str {
        &self.text
    }
}

fn cannot_read(error: &io::Error) -> Problem {
    let (message, hint) = match error.kind() {
        io::ErrorKind::NotFound => (
            "there is no such file".to_owned(),
            "check the name and the folder; `lungful new` writes a rig file to start from",
        ),
        io::ErrorKind::PermissionDenied => (
            "you have no permission to read this file".to_owned(),
            "allow reading it, or copy it to your folder",
        ),
        _ => (format!("the file cannot be read: {error}"), "check the disk and the name of the file"),
    };
    Problem::new(Place::Whole, message).hint(hint)
}

fn not_text(bytes: &[u8], offset: usize) -> Problem {
    let before = bytes.get(..offset).unwrap_or_default();
    let line = before.split(|byte| *byte == b'\n').count();
    let wide = bytes.starts_with(&[0xff, 0xfe]) || bytes.starts_with(&[0xfe, 0xff]);
    if wide {
        return Problem::new(Place::Whole, "the file is UTF-16 text; a rig file is UTF-8 text")
            .hint("save it again with the encoding UTF-8");
    }
    let byte = bytes.get(offset).copied().unwrap_or_default();
    let message = format!("byte {} (line {line}) is 0x{byte:02x}, which stands in no UTF-8 text", offset + 1);
    Problem::new(Place::Whole, message).hint(
        "save the file as UTF-8 text in a plain text editor; a word processor or table file cannot be read",
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn refusal(bytes: &[u8]) -> String {
        Source::from_bytes("rig.toml", bytes).unwrap_err().iter().next().unwrap().message.clone()
    }

    #[test]
    fn a_byte_order_mark_is_dropped() {
        assert_eq!(Source::from_bytes("rig.toml", b"\xef\xbb\xbfa = 1").unwrap().text(), "a = 1");
    }

    #[test]
    fn what_is_no_text_is_refused_with_its_place() {
        assert!(refusal(b"a = 1\nb = \"5 \xb0C\"").starts_with("byte 14 (line 2) is 0xb0"));
        assert!(refusal(b"\xff\xfea\0").contains("UTF-16"));
    }

    #[test]
    fn a_huge_file_is_refused_without_reading_it_all() {
        let endless = io::repeat(b'#');
        let problems = Source::from_reader("rig.toml", endless).unwrap_err();
        assert!(problems.to_string().contains("larger than 1 MiB"));
    }

    #[test]
    fn a_folder_and_a_missing_file_are_named() {
        let folder = tempfile::tempdir().unwrap();
        assert!(Source::read(folder.path()).unwrap_err().to_string().contains("folder"));
        let missing = folder.path().join("no.toml");
        assert!(Source::read(&missing).unwrap_err().to_string().contains("no such file"));
    }
}
