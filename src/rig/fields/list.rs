//! The list itself, in the order of the rig file, which is the order in which the air flows.
//!
//! Ranges are wide: they keep slips of the pen and figures that no rig can have out of the calculations,
//! they are no advice. Gas states stay below 349 bar gauge, since the gas equation ends at 35 MPa.

use super::{Bound, Field, Kind, Measure, Need, Order, PressureKind, Table};
use crate::units::Dimension;

use Bound::{Excluded, Included};
use PressureKind::{Absolute, Difference, Gauge};

mod frame;
mod joint;
mod linkage;
mod passage;
mod protection;
mod task;

pub(in crate::rig) use frame::{SECTIONS, SectionKeys};
pub(in crate::rig) use linkage::{LINKAGE_WAYS, kinds_with};

const fn measure(dimension: Dimension, pressure: PressureKind, low: Bound, high: Bound) -> Measure {
    Measure { dimension, pressure, low, high }
}

const fn plain(dimension: Dimension, low: &'static str, high: &'static str) -> Measure {
    measure(dimension, Gauge, Included(low), Included(high))
}

const STATE: Measure = measure(Dimension::Pressure, Gauge, Included("0 bar"), Included("348 bar"));
const SETTING: Measure = measure(Dimension::Pressure, Gauge, Included("0.01 bar"), Included("348 bar"));
const RATING: Measure = measure(Dimension::Pressure, Gauge, Included("0.01 bar"), Included("1000 bar"));
const DIFFERENCE: Measure = measure(Dimension::Pressure, Difference, Included("0 bar"), Included("348 bar"));
const BAROMETER: Measure = measure(Dimension::Pressure, Absolute, Included("50 kPa"), Included("110 kPa"));
const LENGTH: Measure = plain(Dimension::Length, "0.01 mm", "1000 m");
const LENGTH_OR_NONE: Measure = plain(Dimension::Length, "0 mm", "1000 m");
const ORIFICE: Measure = plain(Dimension::Length, "0.01 mm", "1 m");
const ALTITUDE: Measure = plain(Dimension::Length, "-500 m", "11000 m");
const TEMPERATURE: Measure = plain(Dimension::Temperature, "-60 degC", "80 degC");
const VOLUME: Measure = plain(Dimension::Volume, "1 mL", "10000 m3");
const VOLUME_OR_NONE: Measure = plain(Dimension::Volume, "0 mL", "1 m3");
const MASS: Measure = plain(Dimension::Mass, "0.001 kg", "1000000 kg");
const FORCE: Measure = plain(Dimension::Force, "0.01 N", "10000000 N");
const MASS_OR_NONE: Measure = plain(Dimension::Mass, "0 kg", "1000000 kg");
const FORCE_OR_NONE: Measure = plain(Dimension::Force, "0 N", "10000000 N");
const FLOW: Measure = plain(Dimension::FreeAirFlow, "0.001 L/min", "1000000 L/min");
const FLOW_OR_NONE: Measure = plain(Dimension::FreeAirFlow, "0 L/min", "1000000 L/min");
const CURRENT: Measure = plain(Dimension::Current, "0.001 A", "10000 A");
const VOLTS: Measure = plain(Dimension::Voltage, "0.1 V", "1000 V");
const CHARGE: Measure = plain(Dimension::Charge, "0.001 Ah", "100000 Ah");
const POWER: Measure = plain(Dimension::Power, "0 W", "100000 W");
const TIME_LIMIT: Measure = plain(Dimension::Time, "0.01 s", "1000 h");
const SPEED: Measure = plain(Dimension::Speed, "0.01 mm/s", "100 m/s");
const ENERGY: Measure = plain(Dimension::Energy, "0.000001 J", "1000000 J");
const PAUSE: Measure = plain(Dimension::Time, "0 s", "1000 h");
const TIME: Measure = plain(Dimension::Time, "1 s", "1000 h");
const SHARE: Measure = plain(Dimension::Fraction, "0.1 %", "100 %");
const RATIO_OF_YIELD: Measure = plain(Dimension::Fraction, "1 %", "200 %");
const DEAD_POINT: Measure = plain(Dimension::Angle, "0 deg", "45 deg");
const SHARE_BELOW_ONE: Measure = measure(Dimension::Fraction, Gauge, Included("0 %"), Excluded("100 %"));
const HEAT_EXCHANGE: Measure = plain(Dimension::HeatExchange, "0 W/K", "10000 W/K");
const HEAT_TRANSFER: Measure = plain(Dimension::HeatTransfer, "0 W/(m2 K)", "10000 W/(m2 K)");
const OUTLET: Measure = plain(Dimension::Temperature, "-60 degC", "250 degC");
const AREA: Measure = plain(Dimension::Area, "0.0001 mm2", "1 m2");
const CONDUCTANCE: Measure = plain(Dimension::Conductance, "0.000001 L/(s bar)", "10000 L/(s bar)");

const fn field(path: &'static str, kind: Kind, doc: &'static str, example: &'static str) -> Field {
    Field { path, kind, need: Need::Required, flag: None, doc, example, confused: &[] }
}

const fn quantity(path: &'static str, kind: Measure, doc: &'static str, example: &'static str) -> Field {
    field(path, Kind::Quantity(kind), doc, example)
}

const fn count(path: &'static str, high: u32, doc: &'static str, example: &'static str) -> Field {
    field(path, Kind::Count { low: 1, high }, doc, example)
}

const fn number(
    path: &'static str,
    low: &'static str,
    high: &'static str,
    doc: &'static str,
    example: &'static str,
) -> Field {
    field(path, Kind::Number { low: Included(low), high: Included(high) }, doc, example)
}

impl Field {
    const fn flag(mut self, flag: &'static str) -> Self {
        self.flag = Some(flag);
        self
    }

    const fn optional(mut self) -> Self {
        self.need = Need::Optional;
        self
    }

    const fn or(mut self, default: &'static str) -> Self {
        self.need = Need::Default(default);
        self
    }

    const fn depends(mut self, rule: &'static str) -> Self {
        self.need = Need::Depends(rule);
        self
    }

    const fn confused(mut self, confused: &'static [(Dimension, &'static str)]) -> Self {
        self.confused = confused;
        self
    }
}

const fn table(path: &'static str, required: bool, doc: &'static str) -> Table {
    Table { path, required, repeated: false, doc }
}

/// Every table of the rig file, in file order.
pub const TABLES: &[Table] = &[
    table("site", false, "Where the rig works"),
    table("compressor", false, "The compressor and its pressure switch; leave the table out for a bottle"),
    table("compressor.delivery", false, "Free air that the pump takes in, against the tank pressure"),
    table("tank", true, "The receiver, or the bottle"),
    table("tank.leak", false, "Where the tank and what hangs on it leak, for a rehearsal"),
    table("regulator", true, "The regulator between tank and valve"),
    table(
        "regulator.seat",
        false,
        "The seat of the regulator wide open, for what comes through when it sticks",
    ),
    table("line", false, "The line from the valve to the cylinders"),
    table("line.raise", false, "The narrowest passage while raising"),
    table("line.lower", false, "The narrowest passage while lowering"),
    table("line.lower-wide", false, "The same with its throttle opened as far as it goes"),
    table(
        "line.rod-fill",
        false,
        "What lets air into the rod side of double-acting cylinders; like `raise` if left out",
    ),
    table("line.rod-vent", false, "What lets it out again while they rise; like `lower` if left out"),
    Table {
        path: "line.fitting",
        required: false,
        repeated: true,
        doc: "What the air meets between valve and hose: fittings, silencer, check valve; one table in braces for each",
    },
    table("cylinders", true, "The cylinders, all alike and side by side"),
    table("linkage", false, "What stands between cylinders and load; leave the table out for a direct push"),
    table("linkage.foot", false, "Where the cylinder of a scissor starts"),
    table("linkage.pin", false, "Where the cylinder of a scissor pushes"),
    table("linkage.arm-section", false, "Cross-section of a link or arm, written as that of a beam"),
    table("load", true, "What is lifted"),
    Table { path: "frame", required: false, repeated: true, doc: "A beam of the frame; one table a beam" },
    table("frame.section", true, "Cross-section of the beam"),
    Table {
        path: "frame.reinforcement",
        required: false,
        repeated: true,
        doc: "What is added to the section over the whole beam; one table in braces for each part",
    },
    table("frame.reinforcement.section", true, "Cross-section of the part, written as that of the beam"),
    Table { path: "pin", required: false, repeated: true, doc: "A pin in double shear; one table a pin" },
    Table { path: "weld", required: false, repeated: true, doc: "A fillet weld; one table a weld" },
    table("weld.tube", false, "Outside of a tube that is welded to a plate all round"),
    table("base", false, "What the rig stands on, for tipping"),
    table(
        "protection",
        false,
        "What keeps a single fault from hurting somebody; what is not written is not there",
    ),
    table(
        "protection.port-throttle",
        false,
        "Throttle in the port of each cylinder, for the air on its way out",
    ),
    table("battery", false, "The battery that feeds the compressor"),
    table("cycle", false, "How the rig is worked"),
    table("limits", false, "Limits that the checks hold the rig to"),
    Table {
        path: "task",
        required: false,
        repeated: true,
        doc: "A task of a rehearsal, in place of the lifts, hold and rest of [cycle]; one table a task, in order",
    },
];

const MASS_FOR_FORCE: &[(Dimension, &str)] =
    &[(Dimension::Mass, "a mass goes into `load.mass` (flag `--mass`); give one of the two")];
const FORCE_FOR_MASS: &[(Dimension, &str)] =
    &[(Dimension::Force, "a force goes into `load.force` (flag `--force`); give one of the two")];
const AREA_FOR_BORE: &[(Dimension, &str)] =
    &[(Dimension::Area, "give the inside diameter of the cylinder, not its area")];
const FORCE_FOR_MOVING: &[(Dimension, &str)] = &[(
    Dimension::Force,
    "give the mass of the moving parts; a force in N divided by 9.81 is the mass in kg",
)];
const PRESSURE_FOR_FORCE: &[(Dimension, &str)] =
    &[(Dimension::Pressure, "give the force of the spring at full stroke")];
const VOLUME_FOR_FLOW: &[(Dimension, &str)] =
    &[(Dimension::Volume, "a flow has a time in it, such as L/min")];
const WATTS_FOR_CHARGE: &[(Dimension, &str)] =
    &[(Dimension::Energy, "give ampere-hours: watt-hours divided by the volts of the battery")];
const NOT_A_VOLUME: &[(Dimension, &str)] = &[
    (Dimension::Pressure, "give the inside volume; the pressures go into `rating` and `relief`"),
    (
        Dimension::Mass,
        "give the inside volume; the water capacity stamped on a tank in kg is about its litres",
    ),
];

/// Inner tables are written on one line each; the ways to write them, the first being the usual one.
pub(super) const ON_ONE_LINE: &[(&str, &[&str])] = &[
    (
        "compressor.delivery",
        &[
            r#"delivery = { open = "32 L/min", stall = "14 bar" }"#,
            r#"delivery = { points = [["0 bar", "32 L/min"], ["8 bar", "15 L/min"]] }"#,
        ],
    ),
    (
        "tank.leak",
        &[
            r#"leak = { fall = "0.5 bar", time = "30 min", from = "9 bar" }"#,
            r#"leak = { bore = "0.1 mm", discharge = "65 %" }"#,
            r#"leak = { C = "0.0005 L/(s bar)", b = 0.5, m = 0.5 }"#,
            "leak = { Cv = 0.0001 }",
            "leak = { Kv = 0.0001 }",
            r#"leak = { area = "0.003 mm2" }"#,
        ],
    ),
    (
        "regulator.seat",
        &[
            r#"seat = { bore = "5 mm", discharge = "97 %" }"#,
            r#"seat = { C = "3 L/(s bar)", b = 0.3 }"#,
            "seat = { Cv = 0.7 }",
            "seat = { Kv = 0.6 }",
            r#"seat = { area = "15 mm2" }"#,
        ],
    ),
    (
        "line.raise",
        &[
            r#"raise = { C = "2.1 L/(s bar)", b = 0.3 }"#,
            "raise = { Cv = 0.5 }",
            "raise = { Kv = 0.43, b = 0.3, m = 0.5 }",
            r#"raise = { area = "12 mm2" }"#,
            r#"raise = { bore = "4 mm", discharge = "65 %" }"#,
        ],
    ),
    (
        "line.lower",
        &[
            r#"lower = { bore = "1.2 mm", discharge = "65 %" }"#,
            r#"lower = { C = "0.2 L/(s bar)", b = 0.3 }"#,
            "lower = { Cv = 0.05 }",
            "lower = { Kv = 0.043, b = 0.3, m = 0.5 }",
            r#"lower = { area = "1 mm2" }"#,
        ],
    ),
    (
        "line.lower-wide",
        &[
            r#"lower-wide = { C = "1.5 L/(s bar)", b = 0.3 }"#,
            "lower-wide = { Cv = 0.4 }",
            "lower-wide = { Kv = 0.35, b = 0.3, m = 0.5 }",
            r#"lower-wide = { area = "8 mm2" }"#,
            r#"lower-wide = { bore = "3 mm", discharge = "65 %" }"#,
        ],
    ),
    (
        "line.rod-fill",
        &[
            r#"rod-fill = { C = "2.1 L/(s bar)", b = 0.3 }"#,
            "rod-fill = { Cv = 0.5 }",
            "rod-fill = { Kv = 0.43, b = 0.3, m = 0.5 }",
            r#"rod-fill = { area = "12 mm2" }"#,
            r#"rod-fill = { bore = "4 mm", discharge = "65 %" }"#,
        ],
    ),
    (
        "line.rod-vent",
        &[
            r#"rod-vent = { C = "1.5 L/(s bar)", b = 0.3 }"#,
            "rod-vent = { Cv = 0.4 }",
            "rod-vent = { Kv = 0.35, b = 0.3, m = 0.5 }",
            r#"rod-vent = { area = "8 mm2" }"#,
            r#"rod-vent = { bore = "3 mm", discharge = "65 %" }"#,
        ],
    ),
    (
        "line.fitting",
        &[
            r#"fitting = [{ name = "elbow", way = "both", count = 2, Kv = 0.9 }]"#,
            r#"fitting = [{ Kv = 0.9, b = 0.4, m = 0.5 }, { area = "15 mm2" }, { bore = "5 mm", discharge = "97 %" }]"#,
            r#"fitting = [{ name = "check valve", way = "up", C = "3 L/(s bar)", b = 0.3, cracking = "0.1 bar" }, { name = "silencer", way = "down", Cv = 0.6 }]"#,
        ],
    ),
    (
        "protection.port-throttle",
        &[
            r#"port-throttle = { bore = "1 mm", discharge = "65 %" }"#,
            r#"port-throttle = { C = "0.5 L/(s bar)", b = 0.3 }"#,
            "port-throttle = { Cv = 0.1 }",
            "port-throttle = { Kv = 0.1, b = 0.3, m = 0.5 }",
            r#"port-throttle = { area = "0.5 mm2" }"#,
        ],
    ),
    (
        "frame.section",
        &[
            r#"section = { kind = "square tube", side = "40 mm", wall = "3 mm" }"#,
            r#"section = { kind = "rectangular tube", width = "30 mm", height = "50 mm", wall = "3 mm", corners = "hot finished" }"#,
            r#"section = { kind = "rectangular tube", size = "30 mm x 50 mm x 3 mm", orientation = "on its side" }"#,
            r#"section = { kind = "square tube", side = "2 in", wall = "1/8 in", outer-radius = "1/4 in", inner-radius = "1/8 in" }"#,
            r#"section = { kind = "round tube", diameter = "42.4 mm", wall = "3 mm" }"#,
            r#"section = { kind = "flat bar", width = "10 mm", height = "50 mm" }"#,
            r#"section = { kind = "square bar", side = "30 mm" }"#,
            r#"section = { kind = "round bar", diameter = "30 mm" }"#,
            r#"section = { kind = "angle", width = "50 mm", height = "50 mm", thickness = "5 mm", root-radius = "7 mm", toe-radius = "3.5 mm" }"#,
            r#"section = { kind = "channel", width = "50 mm", height = "100 mm", web = "6 mm", flange = "8.5 mm", root-radius = "8.5 mm" }"#,
        ],
    ),
    (
        "frame.reinforcement",
        &[
            r#"reinforcement = [{ position = "inside", section = { kind = "square bar", side = "30 mm" } }]"#,
            r#"reinforcement = [{ position = "on top", section = { kind = "flat bar", width = "40 mm", height = "8 mm" }, steel = "S355", name = "strap" }]"#,
        ],
    ),
    (
        "linkage.foot",
        &[
            r#"foot = { base = ["100 mm", "0 mm"] }"#,
            r#"foot = { arm = "fixed side", stage = 1, distance = "300 mm", offset = "0 mm" }"#,
        ],
    ),
    (
        "linkage.pin",
        &[
            r#"pin = { arm = "sliding side", stage = 1, distance = "600 mm", offset = "0 mm" }"#,
            r#"pin = { base = ["100 mm", "0 mm"] }"#,
        ],
    ),
    (
        "linkage.arm-section",
        &[
            r#"arm-section = { kind = "flat bar", width = "12 mm", height = "50 mm" }"#,
            r#"arm-section = { kind = "rectangular tube", width = "30 mm", height = "50 mm", wall = "3 mm" }"#,
        ],
    ),
    ("weld.tube", &[r#"tube = { width = "40 mm", height = "60 mm" }"#]),
];

/// Every field of the rig file, in file order.
pub const FIELDS: &[Field] = &joined::<COUNT, 14>([
    AIR,
    passage::TANK_LEAK,
    REGULATOR,
    &passage::REGULATOR_SEAT,
    AFTER_SEAT,
    passage::OF_LINE,
    VALVES_AND_CYLINDERS,
    linkage::FIELDS,
    frame::FIELDS,
    joint::FIELDS,
    &passage::PORT_THROTTLE,
    protection::FIELDS,
    USE,
    task::FIELDS,
]);

const COUNT: usize = AIR.len()
    + passage::TANK_LEAK.len()
    + REGULATOR.len()
    + passage::FIELDS_OF_ONE
    + AFTER_SEAT.len()
    + passage::OF_LINE.len()
    + VALVES_AND_CYLINDERS.len()
    + linkage::FIELDS.len()
    + frame::FIELDS.len()
    + joint::FIELDS.len()
    + passage::FIELDS_OF_ONE
    + protection::FIELDS.len()
    + USE.len()
    + task::FIELDS.len();

/// Lists one after the other.
#[allow(clippy::indexing_slicing, reason = "a constant: an index beyond its end would not compile")]
const fn joined<const N: usize, const LISTS: usize>(lists: [&[Field]; LISTS]) -> [Field; N] {
    let mut all = [field("", Kind::Text, "", ""); N];
    let (mut list, mut from, mut to) = (0, 0, 0);
    while to < N {
        if from < lists[list].len() {
            all[to] = lists[list][from];
            from += 1;
            to += 1;
        } else {
            list += 1;
            from = 0;
        }
    }
    all
}

const TUBE: &str = "all four of the tube together, or none";

/// From the site to the hose.
const AIR: &[Field] = &[
    field("title", Kind::Text, "What you call the rig", r#""My rig""#).or("Untitled rig"),
    // [site]
    quantity("site.altitude", ALTITUDE, "Height above sea level", r#""250 m""#)
        .flag("altitude")
        .or("0 m")
        .confused(&[(Dimension::Pressure, "a pressure goes into `site.barometer`")]),
    quantity(
        "site.barometer",
        BAROMETER,
        "Absolute pressure at the place itself, instead of the altitude; not the sea-level figure of a forecast",
        r#""985 hPa""#,
    )
    .flag("barometer")
    .optional()
    .confused(&[(Dimension::Length, "a height goes into `site.altitude`")]),
    quantity("site.temperature", TEMPERATURE, "Temperature of the air and of the tank at rest", r#""25 degC""#)
        .flag("temperature")
        .or("20 degC"),
    field(
        "site.people",
        Kind::Words(&["none", "workers", "public"]),
        "Who is near the rig while it works",
        r#""workers""#,
    )
    .optional(),
    // [compressor]
    quantity(
        "compressor.delivery.open",
        FLOW,
        "Free air that the pump takes in when it pumps against no pressure",
        r#""32 L/min""#,
    )
    .flag("open")
    .depends("with `stall`, or `points` instead of both")
    .confused(VOLUME_FOR_FLOW),
    quantity(
        "compressor.delivery.stall",
        SETTING,
        "Pressure at which the pump delivers nothing more, at sea level",
        r#""14 bar""#,
    )
    .flag("stall")
    .depends("with `open`, or `points` instead of both"),
    field(
        "compressor.delivery.points",
        Kind::Points { x: STATE, y: FLOW_OR_NONE, fewest: 2, order: Order::Rising },
        "Measured pairs of tank pressure and free air, instead of open and stall",
        r#"[["0 bar", "32 L/min"], ["8 bar", "15 L/min"]]"#,
    )
    .flag("points")
    .depends("instead of `open` and `stall`"),
    quantity("compressor.cut-in", SETTING, "Tank pressure at which the switch starts the pump", r#""7.5 bar""#)
        .flag("cut-in"),
    quantity("compressor.cut-out", SETTING, "Tank pressure at which the switch stops the pump", r#""9.5 bar""#)
        .flag("cut-out"),
    quantity("compressor.duty", SHARE, "Share of the time for which the pump may run", r#""50 %""#)
        .flag("duty")
        .or("100 %"),
    quantity("compressor.volts", VOLTS, "Supply voltage of the pump", r#""24 V""#)
        .flag("compressor-volts")
        .optional(),
    field(
        "compressor.current",
        Kind::Points { x: STATE, y: CURRENT, fewest: 1, order: Order::Rising },
        "Pairs of tank pressure and the current that the pump draws",
        r#"[["0 bar", "6 A"], ["10 bar", "11 A"]]"#,
    )
    .optional(),
    number("compressor.index", "1", "1.67", "Index of compression n, used with open and stall", "1.2")
        .flag("index")
        .or("1.2"),
    quantity("compressor.max-run", TIME, "Longest run before the pump must rest", r#""15 min""#)
        .flag("max-run")
        .optional(),
    quantity(
        "compressor.outlet",
        OUTLET,
        "Temperature of the air as it enters the tank, for a rehearsal; that of the site if left out",
        r#""40 degC""#,
    )
    .optional(),
    // [tank]
    quantity("tank.volume", VOLUME, "Inside volume", r#""15 L""#)
        .flag("volume")
        .confused(NOT_A_VOLUME),
    quantity("tank.rating", RATING, "Highest pressure stamped on the tank", r#""12 bar""#).flag("tank-rating"),
    quantity("tank.relief", SETTING, "Opening pressure of the relief valve on the tank", r#""11 bar""#)
        .flag("relief")
        .depends("required with [compressor]"),
    quantity(
        "tank.relief-capacity",
        FLOW,
        "Free air that this relief valve passes at its opening pressure; ANR unless the unit says otherwise",
        r#""300 L/min""#,
    )
    .flag("relief-capacity")
    .optional()
    .confused(VOLUME_FOR_FLOW),
    quantity(
        "tank.heat-exchange",
        HEAT_EXCHANGE,
        "Heat between tank and surroundings, for a rehearsal; that of bare steel in still air if left out",
        r#""2 W/K""#,
    )
    .optional(),
    quantity(
        "tank.filled-to",
        SETTING,
        "Pressure that the bottle is filled to; only without [compressor]",
        r#""200 bar""#,
    )
    .flag("filled-to")
    .depends("required without [compressor], refused with it"),
    quantity("tank.gauge-error", DIFFERENCE, "How far the gauge on the tank may be wrong", r#""0.2 bar""#)
        .optional(),
    field(
        "tank.material",
        Kind::Words(&["steel", "stainless steel", "aluminium", "composite", "plastic"]),
        "What the receiver is made of",
        r#""steel""#,
    )
    .optional(),
];

const REGULATOR: &[Field] = &[
    // [regulator]
    quantity("regulator.set", SETTING, "Set point, with no air flowing", r#""5.5 bar""#).flag("set"),
    quantity("regulator.droop", DIFFERENCE, "Fall of the outlet pressure while air flows", r#""0.3 bar""#)
        .flag("droop")
        .or("0.3 bar"),
    quantity(
        "regulator.headroom",
        DIFFERENCE,
        "How far the inlet must stay above the set point",
        r#""0.5 bar""#,
    )
    .flag("headroom")
    .or("0.5 bar"),
    quantity(
        "regulator.tolerance",
        SHARE_BELOW_ONE,
        "How far the outlet may creep above the set point, as a share of it",
        r#""5 %""#,
    )
    .flag("set-tolerance")
    .or("5 %"),
    quantity("regulator.max-inlet", RATING, "Highest inlet pressure the regulator may see", r#""16 bar""#)
        .flag("max-inlet")
        .optional(),
    quantity(
        "regulator.rated-flow",
        FLOW,
        "Flow at which the droop is stated; free air, ANR unless said",
        r#""400 L/min""#,
    )
    .optional()
    .confused(VOLUME_FOR_FLOW),
    quantity(
        "regulator.wide-open-flow",
        FLOW_OR_NONE,
        "Flow of the regulator when it sticks wide open on a full tank; free air, ANR unless said",
        r#""900 L/min""#,
    )
    .optional()
    .confused(VOLUME_FOR_FLOW),
];

const AFTER_SEAT: &[Field] = &[
    quantity(
        "regulator.gauge-error",
        DIFFERENCE,
        "How far the gauge by which the set point is set may be wrong",
        r#""0.1 bar""#,
    )
    .optional(),
    // [line]
    quantity("line.hose-bore", ORIFICE, "Inside diameter of the hose", r#""6 mm""#)
        .flag("hose-bore")
        .depends("together with `hose-length`, or neither"),
    quantity(
        "line.hose-length",
        LENGTH,
        "Total length of hose between valve and cylinders; double acting: the hose of one side",
        r#""1.5 m""#,
    )
    .flag("hose-length")
    .depends("together with `hose-bore`, or neither"),
    quantity("line.rating", RATING, "Highest pressure that hose and fittings may see", r#""10 bar""#)
        .flag("line-rating")
        .optional(),
    quantity(
        "line.relief",
        SETTING,
        "Opening pressure of a second relief valve, after the regulator",
        r#""7 bar""#,
    )
    .flag("line-relief")
    .optional(),
    quantity(
        "line.relief-capacity",
        FLOW,
        "Free air that this relief valve passes at its opening pressure; ANR unless the unit says otherwise",
        r#""250 L/min""#,
    )
    .flag("line-relief-capacity")
    .optional()
    .confused(VOLUME_FOR_FLOW),
];

/// What the valves do without power, and the cylinders.
const VALVES_AND_CYLINDERS: &[Field] = &[
    field(
        "line.raise-unpowered",
        Kind::Words(&["open", "shut", "stays"]),
        "What the raise valve does when its power is lost",
        r#""shut""#,
    )
    .optional(),
    field(
        "line.lower-unpowered",
        Kind::Words(&["open", "shut", "stays"]),
        "What the lower valve does when its power is lost",
        r#""shut""#,
    )
    .optional(),
    // [cylinders]
    count("cylinders.count", 1000, "How many share the load", "2").flag("count"),
    quantity("cylinders.bore", ORIFICE, "Inside diameter of the cylinder", r#""50 mm""#)
        .flag("bore")
        .confused(AREA_FOR_BORE),
    quantity("cylinders.rod", ORIFICE, "Diameter of the piston rod", r#""20 mm""#).flag("rod"),
    quantity("cylinders.stroke", LENGTH, "Full travel of the rod", r#""400 mm""#).flag("stroke"),
    field(
        "cylinders.action",
        Kind::Words(&["single", "double"]),
        "single: air raises and the load lowers; double: air also returns",
        r#""single""#,
    )
    .flag("action"),
    quantity("cylinders.rating", RATING, "Highest pressure that the cylinders may see", r#""10 bar""#)
        .flag("cylinder-rating"),
    quantity("cylinders.friction", SHARE_BELOW_ONE, "Seal friction as a share of the thrust", r#""8 %""#)
        .flag("friction")
        .or("10 %"),
    number(
        "cylinders.breakaway",
        "1",
        "100",
        "Friction to start, as a multiple of that in motion; for cylinders that have stood for long",
        "1.5",
    )
    .optional(),
    quantity(
        "cylinders.clearance",
        VOLUME_OR_NONE,
        "Dead volume of each cylinder, with the piston against its end",
        r#""15 mL""#,
    )
    .flag("clearance")
    .or("0 mL"),
    quantity(
        "cylinders.return-spring",
        FORCE_OR_NONE,
        "Force of the return spring of each cylinder at full stroke",
        r#""0 N""#,
    )
    .flag("return-spring")
    .or("0 N")
    .confused(PRESSURE_FOR_FORCE),
    quantity(
        "cylinders.back-pressure",
        STATE,
        "Pressure left on the rod side while raising; double acting only",
        r#""0 bar""#,
    )
    .flag("back-pressure")
    .or("0 bar"),
    quantity(
        "cylinders.heat-transfer",
        HEAT_TRANSFER,
        "Heat between the air and the walls, for a rehearsal; 40 W/(m2 K) if left out",
        r#""40 W/(m2 K)""#,
    )
    .optional(),
    quantity(
        "cylinders.closed-length",
        LENGTH,
        "Pin to pin with the rod drawn in: for the buckling of the rod, and how much of its stroke a linkage uses",
        r#""550 mm""#,
    )
    .flag("closed-length")
    .optional(),
    field(
        "cylinders.ends",
        Kind::Words(&["pinned both", "fixed and free", "fixed and pinned", "fixed both"]),
        "How the two ends of the cylinder are held, for the buckling of a rod without the data of its tube",
        r#""pinned both""#,
    )
    .flag("ends")
    .or("pinned both"),
    field("cylinders.rod-steel", Kind::Text, "Grade of the rod, for its buckling", r#""C45 normalised""#)
        .or("C45 normalised"),
    quantity(
        "cylinders.tube-outside",
        ORIFICE,
        "Outside diameter of the tube, for the buckling of tube and rod",
        r#""56 mm""#,
    )
    .depends(TUBE),
    quantity("cylinders.tube-wall", ORIFICE, "Wall of the tube", r#""3 mm""#).depends(TUBE),
    quantity(
        "cylinders.tube-length",
        LENGTH,
        "From the tube's pin to where the rod leaves it",
        r#""500 mm""#,
    )
    .depends(TUBE),
    field("cylinders.tube-steel", Kind::Text, "Grade of the tube", r#""6060-T66""#).depends(TUBE),
];

/// How the rig is used and what it is held to.
const USE: &[Field] = &[
    // [battery]
    quantity("battery.volts", VOLTS, "Voltage", r#""24 V""#).flag("battery-volts"),
    quantity("battery.capacity", CHARGE, "Capacity", r#""20 Ah""#)
        .flag("battery-capacity")
        .confused(WATTS_FOR_CHARGE),
    quantity("battery.usable", SHARE, "Share of the capacity that may be used", r#""80 %""#)
        .flag("battery-usable"),
    quantity(
        "battery.steady-load",
        POWER,
        "What fans, valves and lamps draw while the rig is on",
        r#""10 W""#,
    )
    .flag("steady-load")
    .or("0 W"),
    count("battery.strokes-wanted", 1_000_000, "Strokes wanted on one charge", "40")
        .flag("strokes-on-charge")
        .optional(),
    // [cycle]
    field(
        "cycle.end-pressure",
        Kind::Words(&["set point", "load"]),
        "set point: the valve is held open at the top; load: it is closed as the load arrives",
        r#""set point""#,
    )
    .flag("end-pressure")
    .or("set point"),
    count("cycle.strokes-wanted", 100_000, "Strokes wanted on one fill of the tank", "3")
        .flag("strokes-wanted")
        .optional(),
    number("cycle.per-hour", "0.001", "100000", "Strokes wanted in an hour, all day", "20")
        .flag("per-hour")
        .optional(),
    count("cycle.lifts", 100_000, "Lifts of a rehearsal; 10 if left out", "10").optional(),
    quantity("cycle.hold", PAUSE, "How long a rehearsal holds each load; 5 s if left out", r#""5 s""#)
        .optional(),
    quantity(
        "cycle.rest",
        PAUSE,
        "Rest after each lowering of a rehearsal, where no per-hour sets the pace",
        r#""1 min""#,
    )
    .optional(),
    quantity(
        "cycle.raise-within",
        TIME_LIMIT,
        "When a rehearsal gives up a raise; 60 s if left out",
        r#""60 s""#,
    )
    .optional(),
    quantity(
        "cycle.lower-within",
        TIME_LIMIT,
        "When a rehearsal gives up a lowering; 60 s if left out",
        r#""60 s""#,
    )
    .optional(),
    // [limits]
    quantity(
        "limits.load-ratio",
        SHARE,
        "Highest load force as a share of the thrust while moving",
        r#""70 %""#,
    )
    .flag("load-ratio")
    .or("70 %"),
    number(
        "limits.column-safety",
        "1",
        "100",
        "Least safety of a rod or leg against buckling; 3 is common practice, no standard",
        "3",
    )
    .or("3"),
    quantity(
        "limits.yield-ratio",
        RATIO_OF_YIELD,
        "Highest stress in a beam as a share of the yield strength; 66 % is common practice",
        r#""66 %""#,
    )
    .or("66 %"),
    number(
        "limits.stability",
        "1",
        "100",
        "Least ratio of holding to tipping moment; 1.5 is common practice",
        "1.5",
    )
    .or("1.5"),
    quantity(
        "limits.dead-point",
        DEAD_POINT,
        "Least angle of the linkage to a dead point; 5 deg is an estimate of our own",
        r#""5 deg""#,
    )
    .or("5 deg"),
    quantity("limits.raise-time", TIME_LIMIT, "Longest time that a raise may take", r#""10 s""#).optional(),
    quantity("limits.lower-speed", SPEED, "Highest speed at which the load may come down", r#""100 mm/s""#)
        .optional(),
    quantity(
        "limits.fall-speed",
        SPEED,
        "Highest speed at which the load may come down, or the platform go up, by itself after a fault; 250 mm/s is an estimate of our own",
        r#""250 mm/s""#,
    )
    .or("250 mm/s"),
    quantity("limits.stop-energy", ENERGY, "Energy that the end stops take at each blow", r#""5 J""#)
        .optional(),
];
