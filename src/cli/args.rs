//! What can be typed.

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand, ValueEnum};

use super::flags::{self, FieldFlags};
use crate::answers::rehearsal::MOST_LIFTS;
use crate::units::UnitSystem;

/// How much does the rig lift, and how often on one tank of air?
///
/// Lungful follows the air of a self-contained compressed-air lifting rig from the battery to the load and
/// names the first thing to fail. Start with `lungful check`, which runs on an embedded demo rig, then write
/// your own rig file with `lungful new my-rig.toml`.
#[derive(Debug, Parser)]
#[command(name = "lungful", version, arg_required_else_help = true, after_help = CLOSING)]
pub(super) struct Cli {
    #[command(flatten)]
    pub(super) global: Global,
    #[command(subcommand)]
    pub(super) command: Command,
}

const CLOSING: &str = "\
Pressures are gauge unless marked, as in '100 psia'. Values carry their unit: '5.5 bar', '80 psi', '2 1/2 in'.
Exit code: 0 nothing fails (a caution and a check that is not judged do not count); 1 a check, a single fault or a
rehearsed lift fails, a lift is slow, or nothing does what is wanted; 2 the input could not be used.

Never be under a load that only air holds. The figures are an aid, not an approval.";

/// Options that every command accepts; one that answers no question pays no heed to them.
#[derive(Debug, Clone, Copy, Args)]
pub(super) struct Global {
    /// Units of the output; as most of the input if left out
    #[arg(long, global = true, value_enum, value_name = "SYSTEM")]
    pub(super) units: Option<Units>,
    /// Print JSON, in SI units with the unit in each key
    #[arg(long, global = true)]
    pub(super) json: bool,
    /// Show formula, numbers put in and source of each figure
    #[arg(long, global = true)]
    pub(super) working: bool,
}

/// Units of the output.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum Units {
    /// bar, mm, kg, L, degC
    Metric,
    /// psi, in, lb, gal, degF
    Us,
}

impl From<Units> for UnitSystem {
    fn from(units: Units) -> Self {
        match units {
            Units::Metric => Self::Metric,
            Units::Us => Self::Us,
        }
    }
}

/// What to do.
#[derive(Debug, Subcommand)]
pub(super) enum Command {
    /// Judge a whole rig: what it lifts, how often, and what fails first
    Check(RigFile),
    /// What happens if one thing fails: order of the pressures, single faults, state of every valve
    Faults(RigFile),
    /// Pick the standard bore for a load at a pressure
    Bore(BoreArgs),
    /// Find the window in which the regulator belongs
    Setpoint(PartArgs<flags::Setpoint>),
    /// Count the strokes of one tank fill, or find the tank for a number of strokes
    Strokes(PartArgs<flags::Strokes>),
    /// Time the compressor, and find the rate it keeps up or the delivery for a rate
    Fill(PartArgs<flags::Fill>),
    /// Work a session in time: lift after lift, with pump, tank, valves and battery
    Rehearse(RehearseArgs),
    /// Write a commented rig file to start from
    New(NewArgs),
    /// Explain a figure or a check: formula, symbols, source, range
    Explain {
        /// What to explain; all topics are listed if left out
        topic: Option<String>,
    },
    /// Print the JSON Schema of the rig file, for editors
    Schema,
    /// Print a completion script for a shell
    Completions {
        /// The shell
        shell: clap_complete::Shell,
    },
    /// Print the manual page
    Man,
}

/// A rig file.
#[derive(Debug, Args)]
pub(super) struct RigFile {
    /// Rig file, or - for standard input; the embedded demo rig if left out
    pub(super) rig: Option<PathBuf>,
}

/// A rig file, flags, or both.
#[derive(Debug, Args)]
pub(super) struct PartArgs<F: flags::Question> {
    /// Rig file, or - for standard input; flags stand before it
    pub(super) rig: Option<PathBuf>,
    #[command(flatten)]
    pub(super) flags: FieldFlags<F>,
}

/// As [`PartArgs`], with the series of bores to choose from.
#[derive(Debug, Args)]
pub(super) struct BoreArgs {
    #[command(flatten)]
    pub(super) part: PartArgs<flags::Bore>,
    /// Series of standard bores; that of the output's units if left out
    #[arg(long, value_enum, value_name = "SERIES")]
    pub(super) series: Option<Series>,
}

/// Series of standard bores.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum Series {
    /// ISO 3320, in mm
    Metric,
    /// Inch bores
    Inch,
    /// Both
    Both,
}

/// A rig file, how much of it to work, and where to keep the course of it.
#[derive(Debug, Args)]
pub(super) struct RehearseArgs {
    /// Rig file, or - for standard input; it must say valves, rated flow and pace
    pub(super) rig: PathBuf,
    /// Number of lifts; that of the rig file, else 10, if left out. Of the tasks of a rig file, the first so many
    #[arg(
        long,
        value_name = "N",
        value_parser = clap::value_parser!(u32).range(1..=i64::from(MOST_LIFTS)),
        allow_negative_numbers = true,
        conflicts_with = "time",
    )]
    pub(super) lifts: Option<u32>,
    /// Work for this time instead, at the `cycle.per-hour` of the rig, which it needs, as in '8 h'; not with tasks
    #[arg(long = "for", value_name = "TIME", allow_hyphen_values = true)]
    pub(super) time: Option<String>,
    /// Write pressures, temperatures and travel over time to a file, .csv or .json
    #[arg(long, value_name = "FILE")]
    pub(super) trace: Option<PathBuf>,
    /// Time between the rows of the trace, as in '0.1 s'; 1 s if left out
    #[arg(long, value_name = "TIME", requires = "trace", allow_hyphen_values = true)]
    pub(super) step: Option<String>,
    /// Let the trace replace a file that is there; never the rig file
    #[arg(long, requires = "trace")]
    pub(super) force: bool,
}

/// Where to write a new rig file.
#[derive(Debug, Args)]
pub(super) struct NewArgs {
    /// File to write; standard output if left out, or -
    pub(super) path: Option<PathBuf>,
    /// Replace a file that is there
    #[arg(long)]
    pub(super) force: bool,
}
