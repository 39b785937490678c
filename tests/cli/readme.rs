//! The README is true: each `lungful` command in a `console` block prints what stands below it.
//!
//! `LUNGFUL_UPDATE_README=1 cargo test --test readme` writes the outputs of today into the README; read the
//! difference as you would read code.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may fail by panic, in its helpers too")]

use std::path::Path;
use std::process::Command;

/// A line of three dots stands for any number of lines.
const CUT: &str = "...";

struct Example {
    command: String,
    shown: Vec<String>,
}

/// What a command prints, run in a folder of its own with the examples in it.
fn output(command: &str, folder: &Path) -> String {
    let words = command
        .strip_prefix("cargo run --release -- ")
        .map_or_else(|| command.to_owned(), |rest| format!("lungful {rest}"));
    let program = Path::new(env!("CARGO_BIN_EXE_lungful"));
    let path = format!("{}:{}", program.parent().unwrap().display(), std::env::var("PATH").unwrap());
    let result = Command::new("bash")
        .args(["-c", &words])
        .current_dir(folder)
        .env("PATH", path)
        .env("NO_COLOR", "1")
        .output()
        .unwrap();
    assert!(result.status.code().unwrap() <= 1, "{command}: {}", String::from_utf8_lossy(&result.stderr));
    String::from_utf8(result.stdout).unwrap()
}

fn matches(shown: &[String], printed: &[&str]) -> bool {
    match shown.split_first() {
        None => printed.is_empty(),
        Some((line, rest)) if line == CUT => (0..=printed.len())
            .any(|skipped| printed.get(skipped..).is_some_and(|printed| matches(rest, printed))),
        Some((line, rest)) => {
            printed.split_first().is_some_and(|(first, after)| first == line && matches(rest, after))
        }
    }
}

fn push_line(text: &mut String, line: &str) {
    text.push_str(line);
    text.push('\n');
}

fn is_ours(command: &str) -> bool {
    command.contains("lungful ") || command.starts_with("cargo run --release -- ")
}

#[test]
fn the_readme_shows_what_the_program_prints() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(root.join("README.md")).unwrap();
    let folder = tempfile::tempdir().unwrap();
    std::fs::create_dir(folder.path().join("examples")).unwrap();
    for entry in std::fs::read_dir(root.join("examples")).unwrap() {
        let entry = entry.unwrap();
        std::fs::copy(entry.path(), folder.path().join("examples").join(entry.file_name())).unwrap();
    }
    let update = std::env::var_os("LUNGFUL_UPDATE_README").is_some();
    let mut written = String::new();
    let mut wrong = Vec::new();
    let mut lines = text.lines().peekable();
    let mut compared = 0;
    while let Some(line) = lines.next() {
        written.push_str(line);
        written.push('\n');
        if line != "```console" {
            continue;
        }
        while let Some(command) = lines.next_if(|line| line.starts_with("$ ")) {
            let mut example =
                Example { command: command.trim_start_matches("$ ").to_owned(), shown: Vec::new() };
            while let Some(line) = lines.next_if(|line| !line.starts_with("$ ") && *line != "```") {
                example.shown.push(line.to_owned());
            }
            written.push_str(command);
            written.push('\n');
            if !is_ours(&example.command) {
                example.shown.iter().for_each(|line| push_line(&mut written, line));
                continue;
            }
            compared += 1;
            let printed = output(&example.command, folder.path());
            let printed: Vec<&str> = printed.trim_end().lines().collect();
            if matches(&example.shown, &printed) {
                example.shown.iter().for_each(|line| push_line(&mut written, line));
            } else {
                wrong.push(format!("$ {}\n{}", example.command, printed.join("\n")));
                // A cut at the end keeps as many lines as stood above it.
                let kept = example.shown.iter().position(|line| line == CUT).unwrap_or(printed.len());
                printed.iter().take(kept).for_each(|line| push_line(&mut written, line));
                if kept < printed.len() {
                    written.push_str("...\n");
                }
            }
        }
    }
    assert!(compared >= 8, "only {compared} commands were found");
    if update {
        std::fs::write(root.join("README.md"), written).unwrap();
    } else {
        assert!(wrong.is_empty(), "the README is out of date:\n{}", wrong.join("\n\n"));
    }
}
