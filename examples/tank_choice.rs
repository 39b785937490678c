//! Which tank gives six lifts of the hive cart on one fill? The library without the command line.
//!
//! Run with `cargo run --example tank_choice`. The numbers of the rig are invented.

use std::error::Error;
use std::fmt::Write as _;

use lungful::answers::evaluate;
use lungful::rig::{Document, Overrides, Source};
use lungful::units::{Dimension, UnitSystem, display::show};
use uom::si::f64::Volume;
use uom::si::volume::liter;

fn main() -> Result<(), Box<dyn Error>> {
    let source = Source::new("hive-cart.toml", include_str!("hive-cart.toml"));
    let mut rig = Document::read(Some(&source), &Overrides::none()).rig()?;
    let wanted = 6;
    let mut out = String::new();
    for liters in [8.0, 12.0, 16.0, 20.0, 24.0] {
        rig.tank.volume = Volume::new::<liter>(liters);
        let answers = evaluate(&rig)?;
        let Some(time) = answers.fill.and_then(|fill| fill.from_empty) else { continue };
        let counts = answers.strokes.from_cut_out.slow;
        writeln!(
            out,
            "{}: {} lifts at full pressure, filled in {}{}",
            show(rig.tank.volume.value, Dimension::Volume, UnitSystem::Metric),
            counts.full_pressure,
            show(time.value, Dimension::Time, UnitSystem::Metric),
            if counts.full_pressure >= wanted { ", enough" } else { "" },
        )?;
    }
    std::io::Write::write_all(&mut std::io::stdout(), out.as_bytes())?;
    Ok(())
}
