//! What air is pressed through: the ways to describe it are the same everywhere.

use super::{
    AREA, CONDUCTANCE, DIFFERENCE, Field, Kind, ORIFICE, SETTING, SHARE, TIME, count, field, joined, number,
    quantity,
};

/// Fields of a passage, with an example of each figure that measures it.
macro_rules! passage {
    ($table:literal, $conductance:literal, $cv:literal, $kv:literal, $area:literal, $bore:literal, $discharge:literal) => {
        [
            quantity(
                concat!($table, ".C"),
                CONDUCTANCE,
                "Sonic conductance (ISO 6358)",
                concat!("\"", $conductance, "\""),
            )
            .depends("with `b`; or one of `Cv`, `Kv`, `area`, `bore`"),
            number(concat!($table, ".b"), "0", "0.99", "Critical pressure ratio (ISO 6358)", "0.3")
                .depends("with `C`; unless given 0.5 for `Cv` and `Kv`, 0.528 for `area`"),
            number(concat!($table, ".m"), "0.2", "2", "Subsonic index (ISO 6358)", "0.5")
                .depends("0.5 unless it was measured"),
            number(concat!($table, ".Cv"), "0.000001", "10000", "Flow coefficient Cv", $cv)
                .depends("instead of `C`"),
            number(
                concat!($table, ".Kv"),
                "0.000001",
                "10000",
                "Flow factor Kv, m3/h of water at 1 bar",
                $kv,
            )
            .depends("instead of `C`"),
            quantity(concat!($table, ".area"), AREA, "Effective area", concat!("\"", $area, "\""))
                .depends("instead of `C`"),
            quantity(
                concat!($table, ".bore"),
                ORIFICE,
                "Diameter of the narrowest hole",
                concat!("\"", $bore, "\""),
            )
            .depends("instead of `C` and `b`"),
            quantity(
                concat!($table, ".discharge"),
                SHARE,
                "Share of the hole that the jet fills: 65 % sharp, 97 % rounded",
                concat!("\"", $discharge, "\""),
            )
            .or($discharge),
        ]
    };
}

/// Number of fields of a passage.
pub(super) const FIELDS_OF_ONE: usize = 8;

/// A seat is rounded and, counted as a sharp hole, would let through too little to be on the safe side.
pub(super) const REGULATOR_SEAT: [Field; FIELDS_OF_ONE] =
    passage!("regulator.seat", "3 L/(s bar)", "0.7", "0.6", "15 mm2", "5 mm", "97 %");
const RAISE: [Field; FIELDS_OF_ONE] =
    passage!("line.raise", "2.1 L/(s bar)", "0.5", "0.43", "12 mm2", "4 mm", "65 %");
const LOWER: [Field; FIELDS_OF_ONE] =
    passage!("line.lower", "0.2 L/(s bar)", "0.05", "0.043", "1 mm2", "1.2 mm", "65 %");
const LOWER_WIDE: [Field; FIELDS_OF_ONE] =
    passage!("line.lower-wide", "1.5 L/(s bar)", "0.4", "0.35", "8 mm2", "3 mm", "65 %");
const ROD_FILL: [Field; FIELDS_OF_ONE] =
    passage!("line.rod-fill", "2.1 L/(s bar)", "0.5", "0.43", "12 mm2", "4 mm", "65 %");
const ROD_VENT: [Field; FIELDS_OF_ONE] =
    passage!("line.rod-vent", "1.5 L/(s bar)", "0.4", "0.35", "8 mm2", "3 mm", "65 %");
const FITTING: [Field; FIELDS_OF_ONE] =
    passage!("line.fitting", "3 L/(s bar)", "0.6", "0.9", "15 mm2", "5 mm", "65 %");

const OF_FITTING: &[Field] = &[
    field("line.fitting.name", Kind::Text, "What you call it", r#""elbow""#).or("fitting"),
    field(
        "line.fitting.way",
        Kind::Words(&["both", "up", "down"]),
        "On which way the air passes it: up, down, or both",
        r#""both""#,
    )
    .or("both"),
    count("line.fitting.count", 100, "So many alike, one after the other; 1 unless given", "2").optional(),
    quantity(
        "line.fitting.cracking",
        DIFFERENCE,
        "Of a check valve: pressure drop that opens it; with `way` up or down",
        r#""0.1 bar""#,
    )
    .optional(),
];

/// Of the table `line`: its passages, in file order.
pub(super) const OF_LINE: &[Field] = &joined::<{ 6 * FIELDS_OF_ONE + OF_FITTING.len() }, 7>([
    &RAISE,
    &LOWER,
    &LOWER_WIDE,
    &ROD_FILL,
    &ROD_VENT,
    OF_FITTING,
    &FITTING,
]);

/// Where the tank leaks: a hole, or the fall of pressure that was measured.
pub(super) const TANK_LEAK: &[Field] = &joined::<{ FIELDS_OF_ONE + FALL.len() }, 2>([&LEAK, FALL]);

const LEAK: [Field; FIELDS_OF_ONE] =
    passage!("tank.leak", "0.0005 L/(s bar)", "0.0001", "0.0001", "0.003 mm2", "0.1 mm", "65 %");

const FALL: &[Field] = &[
    quantity(
        "tank.leak.fall",
        DIFFERENCE,
        "Instead of a passage: by how much the full, cooled tank fell, pump off and all behind it shut, since its own volume alone counts",
        r#""0.5 bar""#,
    )
    .depends("with `time`; instead of `C`"),
    quantity("tank.leak.time", TIME, "In which time it fell so far", r#""30 min""#).depends("with `fall`"),
    quantity(
        "tank.leak.from",
        SETTING,
        "Pressure at which that fall began; that of the full tank if left out",
        r#""9 bar""#,
    )
    .depends("with `fall`; cut-out or `tank.filled-to` if left out"),
];

/// Throttle in the port of each cylinder.
pub(super) const PORT_THROTTLE: [Field; FIELDS_OF_ONE] =
    passage!("protection.port-throttle", "0.5 L/(s bar)", "0.1", "0.1", "0.5 mm2", "1 mm", "65 %");
