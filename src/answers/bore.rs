//! Which standard bore lifts a load at a pressure.

use serde::Deserialize;
use uom::si::f64::{Length, Ratio};
use uom::si::length::meter;

use crate::Result;
use crate::rig::Rig;
use crate::sizing::cylinder_force::Cylinders;
use crate::units::{Dimension, GaugePressure, parse::parse};

/// The table of standard bores; origins in `data/SOURCES.md`.
const TABLE: &str = include_str!("../../data/bores.toml");

/// A series of standard bores.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub struct Series {
    /// `metric` or `inch`.
    pub name: String,
    /// Where the series comes from.
    pub document: String,
    /// Bores as the trade writes them, ascending.
    pub bores: Vec<String>,
}

#[derive(Debug, Deserialize)]
struct Tables {
    series: Vec<Series>,
}

/// The bore that a load asks for, and the standard bores around it.
#[derive(Debug, Clone, PartialEq)]
pub struct BoreAnswer {
    /// Smallest bore that does; `None` if none does at this pressure.
    pub exact: Option<Length>,
    /// The standard bores, by series: next smaller, smallest that does, next larger.
    pub choices: Vec<BoreChoice>,
}

/// A standard bore beside the exact one.
#[derive(Debug, Clone, PartialEq)]
pub struct BoreChoice {
    /// Series it belongs to.
    pub series: String,
    /// As the trade writes it.
    pub name: String,
    /// Bore.
    pub bore: Length,
    /// How it stands to the bore wanted.
    pub place: Place,
    /// Load pressure over moving pressure with this bore.
    pub load_ratio: Ratio,
    /// Pressure needed with this bore.
    pub needed_pressure: GaugePressure,
    /// Theoretical thrust of all cylinders at the set point.
    pub thrust: uom::si::f64::Force,
    /// Whether it does.
    pub suffices: bool,
}

/// How a standard bore stands to the bore wanted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Place {
    /// The next smaller, which does not do.
    NextSmaller,
    /// The smallest that does.
    Smallest,
    /// The next larger.
    NextLarger,
}

/// Series of standard bores.
#[must_use]
pub fn standard_bores() -> Vec<Series> {
    toml::from_str::<Tables>(TABLE).map(|tables| tables.series).unwrap_or_default()
}

/// The bore that moves the rig's load at its set point less droop and keeps its load ratio within the limit,
/// and the standard bores of the chosen series around it. The rig's own bore is not looked at.
///
/// # Errors
/// [`Error::Geometry`](crate::Error::Geometry) if the linkage does not fit its cylinders.
pub fn bore(rig: &Rig, series: impl Fn(&Series) -> bool) -> Result<BoreAnswer> {
    let moving = rig.regulator.moving_pressure();
    let worst = rig.travel()?.worst();
    let exact = rig.cylinders.bore_for(worst.force, moving, rig.limits.load_ratio);
    let mut choices = Vec::new();
    for series in standard_bores().into_iter().filter(series) {
        let sizes: Vec<(String, Length)> = series
            .bores
            .iter()
            .filter_map(|name| {
                let quantity = parse(name, Dimension::Length).ok()?;
                Some((name.clone(), Length::new::<meter>(quantity.si)))
            })
            .collect();
        // A hair is forgiven, so that a size that fits exactly is taken.
        let first = exact.and_then(|exact| {
            sizes.iter().position(|size| size.1 >= exact * (1.0 - 1e-9) && size.1 > rig.cylinders.rod)
        });
        let place_of = |index: usize| match first {
            Some(first) if index + 1 == first => Some(Place::NextSmaller),
            Some(first) if index == first => Some(Place::Smallest),
            Some(first) if index == first + 1 => Some(Place::NextLarger),
            None if index + 1 == sizes.len() => Some(Place::NextSmaller),
            _ => None,
        };
        for (index, (name, bore)) in sizes.iter().enumerate() {
            let Some(place) = place_of(index) else { continue };
            // A smaller size through which the rod does not fit is no cylinder.
            if *bore <= rig.cylinders.rod {
                continue;
            }
            let cylinders = Cylinders { bore: *bore, ..rig.cylinders };
            choices.push(BoreChoice {
                series: series.name.clone(),
                name: name.clone(),
                bore: *bore,
                place,
                load_ratio: cylinders.load_pressure(worst.force).above_atmosphere()
                    / moving.above_atmosphere(),
                needed_pressure: cylinders.needed_pressure(worst.force),
                thrust: cylinders.thrust(rig.regulator.set),
                suffices: place != Place::NextSmaller,
            });
        }
    }
    Ok(BoreAnswer { exact, choices })
}
