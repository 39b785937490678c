//! The table of standard bores against the series as printed.

use toml::Table;

use super::figure::length;
use uom::si::length::millimeter;

#[test]
fn published_metric_bores() {
    // Bore series of ISO 3320 as a polytechnic teaching text prints it; the standard itself was not at hand.
    // Whole millimetres, to rounding.
    let printed = [
        8.0, 10.0, 12.0, 16.0, 20.0, 25.0, 32.0, 40.0, 50.0, 63.0, 80.0, 100.0, 125.0, 140.0, 160.0, 200.0,
        250.0, 320.0,
    ];
    let data: Table = include_str!("../../data/bores.toml").parse().unwrap();
    let series = data["series"].as_array().unwrap();
    let metric = series.iter().find(|series| series["name"].as_str() == Some("metric")).unwrap();
    let bores = metric["bores"].as_array().unwrap();
    assert_eq!(bores.len(), printed.len());
    for (bore, printed) in bores.iter().zip(printed) {
        let bore_mm = length(bore.as_str().unwrap()).get::<millimeter>();
        assert!((bore_mm - printed).abs() < 1e-9, "{bore} is in the table, {printed} mm is printed");
    }
}
