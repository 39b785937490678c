//! The metals and tube sizes of the data folder.

use std::sync::LazyLock;

use serde::Deserialize;
use uom::si::f64::{Length, MassDensity, Pressure};
use uom::si::length::meter;
use uom::si::mass_density::kilogram_per_cubic_meter;

use crate::frame::material::{Family, Material};
use crate::frame::section::{Corners, Shape};
use crate::units::{Dimension, parse::parse, pressure::pascals};

/// Metals; origins in `data/SOURCES.md`.
const STEELS: &str = include_str!("../../data/steels.toml");

/// Sizes of tube; origins in `data/SOURCES.md`.
const TUBES: &str = include_str!("../../data/tubes.toml");

/// A tube of a usual size.
#[derive(Debug, Clone, PartialEq)]
pub struct StockTube {
    /// Series, such as `square tube, metric`.
    pub series: String,
    /// As the trade writes it: `40 mm x 3 mm`.
    pub name: String,
    /// Its shape.
    pub shape: Shape,
}

#[derive(Deserialize)]
struct Steels {
    grade: Vec<Grade>,
}

#[derive(Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
struct Grade {
    name: String,
    family: String,
    #[serde(rename = "yield")]
    yield_strength: String,
    tensile: Option<String>,
    modulus: String,
    density_kg_per_m3: f64,
    beside_weld: Option<String>,
    up_to: Option<String>,
    source: String,
}

#[derive(Deserialize)]
struct Tubes {
    series: Vec<Series>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Series {
    name: String,
    shape: String,
    corners: Option<String>,
    sizes: Vec<Size>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Size {
    side: Option<String>,
    width: Option<String>,
    height: Option<String>,
    diameter: Option<String>,
    walls: Vec<String>,
}

/// The metals of the table, read once.
static GRADES: LazyLock<Vec<Material>> = LazyLock::new(|| {
    let table = toml::from_str::<Steels>(STEELS).map(|table| table.grade).unwrap_or_default();
    table.iter().filter_map(material).collect()
});

/// The tubes of the table, read once.
static STOCK_TUBES: LazyLock<Vec<StockTube>> = LazyLock::new(|| {
    let table = toml::from_str::<Tubes>(TUBES).map(|table| table.series).unwrap_or_default();
    table.iter().flat_map(|series| series.sizes.iter().flat_map(|size| tubes(series, size))).collect()
});

/// All metals of the table.
#[must_use]
pub fn steel_grades() -> &'static [Material] {
    &GRADES
}

/// A metal by its name; capitals, spaces and hyphens do not matter.
///
/// ```
/// use lungful::answers::steel_grade;
/// assert_eq!(steel_grade("s 235").map(|steel| steel.name), Some("S235".to_owned()));
/// assert!(steel_grade("S999").is_none());
/// ```
#[must_use]
pub fn steel_grade(name: &str) -> Option<Material> {
    let wanted = plain(name);
    GRADES.iter().find(|material| plain(&material.name) == wanted).cloned()
}

/// All tubes of the table.
#[must_use]
pub fn stock_tubes() -> &'static [StockTube] {
    &STOCK_TUBES
}

fn plain(name: &str) -> String {
    name.chars().filter(|c| c.is_alphanumeric() || *c == '.').flat_map(char::to_lowercase).collect()
}

fn material(grade: &Grade) -> Option<Material> {
    let stress = |text: &String| Some(pascals(parse(text, Dimension::Pressure).ok()?.si));
    let maybe = |text: &Option<String>| -> Option<Option<Pressure>> {
        text.as_ref().map_or(Some(None), |text| stress(text).map(Some))
    };
    let material = Material {
        name: grade.name.clone(),
        family: match grade.family.as_str() {
            "carbon steel" => Family::CarbonSteel,
            "stainless steel" => Family::StainlessSteel,
            "aluminium" => Family::Aluminium,
            _ => return None,
        },
        yield_strength: stress(&grade.yield_strength)?,
        tensile_strength: maybe(&grade.tensile)?,
        weld_yield_strength: maybe(&grade.beside_weld)?,
        modulus: stress(&grade.modulus)?,
        density: MassDensity::new::<kilogram_per_cubic_meter>(grade.density_kg_per_m3),
        up_to_thickness: match &grade.up_to {
            Some(text) => Some(length(text)?),
            None => None,
        },
        source: grade.source.clone(),
    };
    material.check().is_ok().then_some(material)
}

fn length(text: &str) -> Option<Length> {
    Some(Length::new::<meter>(parse(text, Dimension::Length).ok()?.si))
}

fn tubes(series: &Series, size: &Size) -> Vec<StockTube> {
    let given = |text: &Option<String>| text.as_deref().and_then(length);
    let corners = match series.corners.as_deref() {
        Some("hot finished") => Corners::HotFinished,
        _ => Corners::ColdFormed,
    };
    let one = |wall_text: &String| {
        let wall = length(wall_text)?;
        let shape = match series.shape.as_str() {
            "square tube" => Shape::SquareTube { side: given(&size.side)?, wall, corners },
            "rectangular tube" => {
                let (width, height) = (given(&size.width)?, given(&size.height)?);
                Shape::RectangularTube { width, height, wall, corners }
            }
            "round tube" => Shape::RoundTube { diameter: given(&size.diameter)?, wall },
            _ => return None,
        };
        let sides = [&size.side, &size.width, &size.height, &size.diameter];
        let name: Vec<&str> = sides.into_iter().flatten().chain([wall_text]).map(String::as_str).collect();
        Some(StockTube { series: series.name.clone(), name: name.join(" x "), shape })
    };
    size.walls.iter().filter_map(one).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_row_of_a_table_is_lost() {
        assert_eq!(steel_grades().len(), STEELS.matches("[[grade]]").count());
        // One tube a quoted wall: quotes within the lists of walls, two a wall.
        let walls: usize = TUBES
            .split("walls = [")
            .skip(1)
            .map(|rest| rest.split(']').next().unwrap().matches('"').count() / 2)
            .sum();
        assert_eq!(stock_tubes().len(), walls);
        assert!(walls > 80, "{walls}");
    }

    #[test]
    fn every_tube_of_the_table_can_be_made() {
        for tube in stock_tubes() {
            assert!(tube.shape.section().is_ok(), "{} {}", tube.series, tube.name);
        }
    }
}
