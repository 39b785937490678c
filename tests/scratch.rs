#![allow(missing_docs, clippy::all, clippy::pedantic)]
use lungful::rig::*;
#[test]
fn scratch() {
    for name in [
        "data/demo.toml",
        "examples/hive-cart.toml",
        "examples/stage-riser.toml",
        "examples/bottle-hoist.toml",
    ] {
        let source = Source::read(name.as_ref()).unwrap();
        let d = Document::read(Some(&source), &Overrides::none());
        match d.rig() {
            Ok(r) => println!("{name} OK {:?} {:?}", r.defaults, r.tolerances),
            Err(p) => println!("{p}"),
        }
    }
}
