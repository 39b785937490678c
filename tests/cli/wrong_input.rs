//! Wrong rig files and wrong flags: what a builder reads when something does not fit.
//!
//! The snapshots are our own words, kept so that a change of wording is seen; they prove nothing else.
//! `INSTA_UPDATE=always cargo test --test wrong_input` writes them again; review the difference as code.

#![allow(clippy::unwrap_used, reason = "helpers of tests")]

use std::fs;
use std::path::{Path, PathBuf};

use lungful::rig::{Document, Overrides, Problems, Reported, Resolver, Source};

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fixtures/wrong")
}

fn problems_of(source: Result<Source, Problems>) -> Problems {
    let source = match source {
        Ok(source) => source,
        Err(problems) => return problems,
    };
    Document::read(Some(&source), &Overrides::none()).rig().unwrap_err()
}

#[test]
fn each_wrong_file_is_answered_as_before() {
    let mut files: Vec<_> = fs::read_dir(folder()).unwrap().map(|entry| entry.unwrap().path()).collect();
    files.retain(|file| file.extension().is_some_and(|extension| extension == "toml"));
    files.sort();
    assert!(files.len() >= 100, "{} files", files.len());
    let mut settings = insta::Settings::clone_current();
    settings.set_snapshot_path(folder().join("snapshots"));
    settings.set_prepend_module_to_snapshot(false);
    settings.set_omit_expression(true);
    settings.bind(|| {
        for file in files {
            let name = file.file_stem().unwrap().to_str().unwrap();
            let text = fs::read_to_string(&file).unwrap();
            let problems = problems_of(Ok(Source::new(&format!("{name}.toml"), &text)));
            insta::assert_snapshot!(name, problems.to_string());
        }
    });
}

#[test]
fn one_mistake_gives_one_problem() {
    for file in fs::read_dir(folder()).unwrap() {
        let file = file.unwrap().path();
        let name = file.file_stem().unwrap().to_str().unwrap().to_owned();
        if file.is_dir() || SEVERAL.contains(&name.as_str()) {
            continue;
        }
        let problems = problems_of(Source::read(&file));
        assert_eq!(problems.len(), 1, "{problems}");
        let problem = problems.iter().next().unwrap();
        assert!(problem.hint.is_some(), "{problems}");
        let has_place = problem.line().is_some() || ["empty", "remarks-only"].contains(&name.as_str());
        assert!(has_place, "{problems}");
    }
}

/// Files that hold more than one mistake.
const SEVERAL: &[&str] = &[
    "a-table-of-numbers",
    "kind-quantity-for-number",
    "missing-battery-fields",
    "missing-beam-fields",
    "missing-several-fields",
    "not-a-rig-file",
    "points-numbers-without-units",
    "several-mistakes-at-once",
];
