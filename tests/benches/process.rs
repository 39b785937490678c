//! Time of the whole process beside that of an empty program, made here with the same compiler.

#![allow(missing_docs, clippy::unwrap_used, reason = "a benchmark, not an interface")]

use std::path::PathBuf;
use std::process::{Command, Stdio};

use divan::Bencher;

fn main() {
    divan::main();
}

fn empty_program() -> PathBuf {
    let folder = std::env::temp_dir().join("lungful-empty-program");
    std::fs::create_dir_all(&folder).unwrap();
    let source = folder.join("empty.rs");
    std::fs::write(&source, "fn main() {}").unwrap();
    let program = folder.join("empty");
    let status = Command::new("rustc").arg("-O").arg("-o").arg(&program).arg(&source).status().unwrap();
    assert!(status.success());
    program
}

fn run(program: &PathBuf, arguments: &[&str]) {
    Command::new(program).args(arguments).stdout(Stdio::null()).status().unwrap();
}

#[divan::bench(sample_count = 500)]
fn empty(bencher: Bencher) {
    let program = empty_program();
    bencher.bench_local(|| run(&program, &[]));
}

#[divan::bench(sample_count = 500)]
fn check_demo(bencher: Bencher) {
    let program = PathBuf::from(env!("CARGO_BIN_EXE_lungful"));
    bencher.bench_local(|| run(&program, &["check"]));
}

#[divan::bench(sample_count = 500)]
fn check_demo_json(bencher: Bencher) {
    let program = PathBuf::from(env!("CARGO_BIN_EXE_lungful"));
    bencher.bench_local(|| run(&program, &["check", "--json"]));
}
