//! Flags for fields of the rig file, made from the field table, so that both read alike.

use std::marker::PhantomData;

use clap::{Arg, ArgMatches, Args, Command, FromArgMatches};

use crate::rig::Overrides;
use crate::rig::fields::{self, Field, Need};

/// A command that answers one question from some of the fields.
pub(super) trait Question: std::fmt::Debug + Clone + Copy {
    /// Tables and fields for which it has flags.
    const TAKES: &'static [&'static [&'static str]];
    /// What a flag-only call may leave out although it matters: field and the value taken, listed as a
    /// default.
    const ASSUMED: &'static [(&'static str, &'static str)];
    /// What a rig file needs but this question does not: any value will do, and none is shown.
    const IRRELEVANT: &'static [(&'static str, &'static str)];

    /// Whether the answer depends on a field.
    fn takes(path: &str) -> bool {
        let table = path.rsplit_once('.').map_or("", |(table, _)| table);
        Self::TAKES.iter().copied().flatten().any(|taken| *taken == path || *taken == table)
    }
}

/// Values of the flags of a command.
#[derive(Debug, Clone)]
pub(super) struct FieldFlags<Q: Question> {
    pub(super) overrides: Overrides,
    question: PhantomData<Q>,
}

impl<Q: Question> FieldFlags<Q> {
    fn fields() -> impl Iterator<Item = &'static Field> {
        fields::FIELDS.iter().filter(|field| field.flag.is_some() && Q::takes(field.path))
    }
}

impl<Q: Question> Args for FieldFlags<Q> {
    fn augment_args(mut command: Command) -> Command {
        for field in Self::fields() {
            if let Some(flag) = field.flag {
                command = command.arg(argument::<Q>(field, flag));
            }
        }
        command
    }

    fn augment_args_for_update(command: Command) -> Command {
        Self::augment_args(command)
    }
}

fn argument<Q: Question>(field: &'static Field, flag: &'static str) -> Arg {
    let assumed = Q::ASSUMED.iter().find(|(path, _)| *path == field.path).map(|(_, value)| *value);
    let default = match field.need {
        Need::Default(default) => Some(default),
        _ => assumed,
    };
    let default = default.map_or(String::new(), |default| format!(", {default} if left out"));
    let help = format!("{}, such as '{}'{default}", field.doc, field.example_text());
    Arg::new(field.path)
        .long(flag)
        .value_name(value_name(field))
        .help(help)
        .help_heading(heading(field.table()))
        // A value may start with a minus, such as an altitude below the sea.
        .allow_hyphen_values(true)
}

fn value_name(field: &Field) -> String {
    field.key().to_uppercase().replace('-', "_")
}

/// Heading under which the flags of a table stand in the help.
fn heading(table: &'static str) -> &'static str {
    match table {
        "site" => "Site",
        "compressor" | "compressor.delivery" => "Compressor",
        "tank" => "Tank",
        "regulator" => "Regulator",
        "line" => "Line",
        "cylinders" => "Cylinders",
        "linkage" => "Linkage",
        "load" => "Load",
        "cycle" => "Cycle",
        "limits" => "Limits",
        _ => "Other",
    }
}

impl<Q: Question> FromArgMatches for FieldFlags<Q> {
    fn from_arg_matches(matches: &ArgMatches) -> Result<Self, clap::Error> {
        let mut overrides = Overrides::none();
        for field in Self::fields() {
            if let Some(text) = matches.get_one::<String>(field.path) {
                overrides.set(field.path, text);
            }
        }
        Ok(Self { overrides, question: PhantomData })
    }

    fn update_from_arg_matches(&mut self, matches: &ArgMatches) -> Result<(), clap::Error> {
        *self = Self::from_arg_matches(matches)?;
        Ok(())
    }
}

/// One cylinder, single acting, is what a short question means.
const ONE_CYLINDER: (&str, &str) = ("cylinders.count", "1");
const SINGLE_ACTING: (&str, &str) = ("cylinders.action", "single");

/// What sets the force at the cylinders and the pressure that it asks for, their bore apart.
const FORCE: &[&str] = &[
    "regulator.set",
    "regulator.droop",
    "cylinders.count",
    "cylinders.rod",
    "cylinders.stroke",
    "cylinders.action",
    "cylinders.friction",
    "cylinders.return-spring",
    "cylinders.back-pressure",
    "linkage",
    "load.mass",
    "load.force",
    "load.share",
    "load.moving",
];

/// Which bore lifts the load?
#[derive(Debug, Clone, Copy)]
pub(super) struct Bore;

impl Question for Bore {
    const TAKES: &'static [&'static [&'static str]] = &[FORCE, &["site", "limits.load-ratio"]];
    const ASSUMED: &'static [(&'static str, &'static str)] = &[ONE_CYLINDER, SINGLE_ACTING];
    const IRRELEVANT: &'static [(&'static str, &'static str)] = &[
        ("cylinders.bore", "900 mm"),
        ("cylinders.rod", "1 mm"),
        ("cylinders.stroke", "999 m"),
        ("cylinders.rating", "300 bar"),
        ("load.lift", "1 mm"),
        ("tank.volume", "1 L"),
        ("tank.rating", "300 bar"),
        ("tank.filled-to", "300 bar"),
    ];
}

/// Where does the regulator belong?
#[derive(Debug, Clone, Copy)]
pub(super) struct Setpoint;

impl Question for Setpoint {
    const TAKES: &'static [&'static [&'static str]] = &[
        FORCE,
        &[
            "site",
            "compressor.cut-in",
            "regulator.headroom",
            "regulator.tolerance",
            "line.rating",
            "line.relief",
            "cylinders.bore",
            "cylinders.rating",
            "limits.load-ratio",
        ],
    ];
    const ASSUMED: &'static [(&'static str, &'static str)] = &[ONE_CYLINDER, SINGLE_ACTING];
    const IRRELEVANT: &'static [(&'static str, &'static str)] = &[
        ("compressor.cut-out", "348 bar"),
        ("compressor.delivery.open", "1 L/min"),
        ("compressor.delivery.stall", "348 bar"),
        ("regulator.set", "300 bar"),
        ("cylinders.rod", "0.01 mm"),
        ("cylinders.stroke", "999 m"),
        ("load.lift", "1 mm"),
        ("tank.volume", "1 L"),
        ("tank.rating", "300 bar"),
        ("tank.relief", "348 bar"),
        ("tank.filled-to", "300 bar"),
    ];
}

/// How many strokes does one fill give?
#[derive(Debug, Clone, Copy)]
pub(super) struct Strokes;

impl Question for Strokes {
    const TAKES: &'static [&'static [&'static str]] = &[
        FORCE,
        &[
            "site",
            "compressor.cut-in",
            "compressor.cut-out",
            "tank.volume",
            "tank.filled-to",
            "regulator.headroom",
            "line.hose-bore",
            "line.hose-length",
            "cylinders.bore",
            "cylinders.clearance",
            "load.lift",
            "load.take-up",
            "cycle.end-pressure",
            "cycle.strokes-wanted",
        ],
    ];
    const ASSUMED: &'static [(&'static str, &'static str)] = &[ONE_CYLINDER, SINGLE_ACTING];
    const IRRELEVANT: &'static [(&'static str, &'static str)] = &[
        ("cylinders.rod", "0.01 mm"),
        ("cylinders.rating", "300 bar"),
        ("load.lift", "1 mm"),
        ("tank.rating", "300 bar"),
        ("tank.relief", "300 bar"),
        ("compressor.delivery.open", "1 L/min"),
        ("compressor.delivery.stall", "340 bar"),
    ];
}

/// How long does filling take, and what rate is kept up?
#[derive(Debug, Clone, Copy)]
pub(super) struct Fill;

impl Question for Fill {
    const TAKES: &'static [&'static [&'static str]] = &[&[
        "site",
        "compressor",
        "compressor.delivery",
        "tank.volume",
        "regulator.set",
        "line.hose-bore",
        "line.hose-length",
        "cylinders.count",
        "cylinders.bore",
        "cylinders.rod",
        "cylinders.stroke",
        "cylinders.action",
        "cylinders.clearance",
        "cycle.per-hour",
    ]];
    const ASSUMED: &'static [(&'static str, &'static str)] = &[ONE_CYLINDER, SINGLE_ACTING];
    const IRRELEVANT: &'static [(&'static str, &'static str)] = &[
        ("cylinders.bore", "10 mm"),
        ("cylinders.rod", "0.01 mm"),
        ("cylinders.stroke", "10 mm"),
        ("cylinders.rating", "300 bar"),
        ("regulator.set", "1 bar"),
        ("load.mass", "1 kg"),
        ("load.lift", "1 mm"),
        ("tank.rating", "300 bar"),
        ("tank.relief", "300 bar"),
    ];
}
