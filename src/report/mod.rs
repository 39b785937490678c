//! The report of a rig: one value that the terminal and JSON render. Nothing here computes.

pub mod document;
pub mod formula;
mod hazards;
pub mod parts;
mod plot;
mod structure;
pub mod terminal;
mod times;

use serde::Serialize;

pub use formula::StepRow;
pub use hazards::{FaultRow, FigureRow, GapRow, Order, ProtectorRow, RuleRow, RungRow, StateRow, StoreRow};
pub use structure::{Beam, Links, PinStresses, Rod, Stand, TravelRow, WeldStress};
pub use times::{GrowthRow, Times};

use crate::air::flow::Restriction;
use crate::answers::{
    Answers, Check, Growth, Hazards, Piece, Sentence, Starts, Step, StrokeCounts, TankLeak, cautions, notes,
    weakest,
};
use crate::rig::fields::{Kind, field};
use crate::rig::{DefaultUsed, Rig};
use crate::sizing::linkage::TravelPoint;
use crate::units::display::{UnitSystem, show, show_at_least, show_at_most};
use crate::units::table::System;
use crate::units::{Dimension, parse::parse};

/// Version of the JSON layout.
const SCHEMA: u32 = 1;

/// Everything that `check` says of a rig. Numbers are in SI base units, the unit in the name of the field;
/// `None` where the rig does not say.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(
    missing_docs,
    reason = "each field is named by its quantity and unit; `document` describes the layout"
)]
pub struct Report {
    pub schema: u32,
    pub title: String,
    pub verdict: &'static str,
    pub weakest: Option<String>,
    pub site: Site,
    pub lift: Lift,
    pub set_point: SetPoint,
    pub air: Air,
    pub strokes: Strokes,
    pub fill: Fill,
    pub times: Times,
    pub rod: Rod,
    /// The link nearest to buckling; `None` if it is not said what the links are made of.
    pub links: Option<Links>,
    /// The beams; `None` if none are described.
    pub frame: Option<Vec<Beam>>,
    /// The pins; `None` if none are described.
    pub pins: Option<Vec<PinStresses>>,
    /// The welds; `None` if none are described.
    pub welds: Option<Vec<WeldStress>>,
    pub stand: Option<Stand>,
    /// Points along the travel, if they were asked for.
    pub travel: Vec<TravelRow>,
    pub battery: Battery,
    pub energy: Energy,
    pub checks: Vec<CheckRow>,
    /// Every pressure on one scale; empty unless hazards were asked for, as are the four after it.
    pub pressure_order: Order,
    /// Single faults, the worst first.
    pub faults: Vec<FaultRow>,
    /// Each valve in each phase.
    pub states: Vec<StateRow>,
    /// What protects.
    pub protection: Vec<ProtectorRow>,
    /// Published thresholds for the receiver.
    pub rules: Vec<RuleRow>,
    pub defaults: Vec<Default>,
    pub notes: Vec<String>,
    pub cautions: Vec<String>,
    /// Working of each figure, if it was asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub working: Option<Vec<StepRow>>,
    /// Units in which sentences were put and in which the terminal shows figures.
    #[serde(skip)]
    pub units: UnitSystem,
    /// Set point to recommend in the steps of the units shown.
    #[serde(skip)]
    pub recommended_shown_pa_gauge: Option<f64>,
    /// Mass of the load, beside which the capacity is shown.
    #[serde(skip)]
    pub load_mass_kg: f64,
}

/// The site.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(missing_docs, reason = "named by quantity and unit")]
pub struct Site {
    pub atmosphere_pa_abs: f64,
    pub temperature_k: f64,
}

/// What the cylinders must give and can give.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(missing_docs, reason = "named by quantity and unit")]
pub struct Lift {
    pub load_force_n: f64,
    pub load_pressure_pa_gauge: f64,
    pub needed_pressure_pa_gauge: f64,
    pub worst_travel_m: f64,
    pub moving_pressure_pa_gauge: f64,
    pub thrust_n: f64,
    pub load_ratio: f64,
    pub capacity_kg: f64,
    pub rated_capacity_kg: f64,
    pub height_m: f64,
    pub net_height_m: Option<f64>,
    pub limiting_travel_m: f64,
    pub spare_force_at_end_n: f64,
    pub energy_at_stop_j: f64,
}

/// Where the regulator belongs.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(missing_docs, reason = "named by quantity and unit")]
pub struct SetPoint {
    pub low_pa_gauge: f64,
    pub high_pa_gauge: f64,
    pub recommended_pa_gauge: Option<f64>,
    pub set_pa_gauge: f64,
    /// Bore that would open an empty window.
    pub opening_bore_m: Option<f64>,
}

/// What a stroke takes and the tank holds.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(missing_docs, reason = "named by quantity and unit")]
pub struct Air {
    pub per_stroke_kg: f64,
    pub per_stroke_anr_m3: f64,
    pub tank_full_kg: f64,
    pub usable_kg: f64,
}

/// How many strokes one fill gives.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(missing_docs, reason = "named by quantity and unit")]
pub struct Strokes {
    pub from_cut_out: Counts,
    pub from_cut_in: Option<Counts>,
    pub tank_pa_gauge: Vec<f64>,
}

/// Counts from one starting pressure.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[allow(missing_docs, reason = "named by what is counted")]
pub struct Counts {
    pub full_pressure: u32,
    pub until_stall: u32,
    pub full_pressure_quick: Option<u32>,
    pub until_stall_quick: Option<u32>,
}

/// How long filling takes.
#[derive(Debug, Clone, PartialEq, Serialize, std::default::Default)]
#[allow(missing_docs, reason = "named by quantity and unit")]
pub struct Fill {
    pub from_empty_s: Option<f64>,
    pub cut_in_to_cut_out_s: Option<f64>,
    pub after_strokes_s: Option<f64>,
    pub stalls_at_pa_gauge: Option<f64>,
    pub strokes_per_hour_kept_up: Option<f64>,
    /// The leak of the tank; `None` where none is stated.
    pub leak: Option<Leak>,
    #[serde(skip)]
    pub has_compressor: bool,
}

/// What the leak of the tank does with everything shut.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(missing_docs, reason = "named by quantity and unit")]
pub struct Leak {
    pub conductance_m3_per_s_pa: f64,
    pub critical_ratio: f64,
    /// How fast the full tank falls at first.
    pub fall_pa_per_s: f64,
    /// From the full tank to cut-in, or to set point and headroom of a bottle; `None` where that is not below it.
    pub stands_s: Option<f64>,
    /// Share of what the pump delivers in the middle of its band.
    pub share_of_delivery: Option<f64>,
}

impl Leak {
    fn new(leak: &Restriction, does: &TankLeak) -> Self {
        Self {
            conductance_m3_per_s_pa: leak.conductance().si(),
            critical_ratio: leak.critical_ratio().value,
            fall_pa_per_s: does.fall_rate_pa_per_s(),
            stands_s: does.stands.map(|time| time.value),
            share_of_delivery: does.share_of_delivery.map(|share| share.value),
        }
    }
}

/// What a stroke draws from the battery.
#[derive(Debug, Clone, PartialEq, Serialize, std::default::Default)]
#[allow(missing_docs, reason = "named by quantity and unit")]
pub struct Battery {
    pub strokes_per_charge: Option<f64>,
    pub energy_per_stroke_j: Option<f64>,
}

/// Energy stored in the full tank.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(missing_docs, reason = "named by quantity and unit")]
pub struct Energy {
    pub stored_j: f64,
    /// Energy in the air of each part; empty unless hazards were asked for.
    pub parts: Vec<StoreRow>,
}

/// One check.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[allow(missing_docs, reason = "described in `document`")]
pub struct CheckRow {
    pub id: String,
    pub verdict: &'static str,
    pub value: Option<f64>,
    pub limit: Option<f64>,
    pub margin: Option<f64>,
    pub unit: &'static str,
    pub advice: String,
    #[serde(skip)]
    pub dimension: Dimension,
}

/// A default that filled in for a field.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[allow(missing_docs, reason = "described in `document`")]
pub struct Default {
    pub field: &'static str,
    pub value: &'static str,
    /// The same value in the units of the reader, where those are others.
    #[serde(skip)]
    pub shown: Option<String>,
}

/// A default in the units of the reader.
fn default_row(used: &DefaultUsed, units: UnitSystem) -> Default {
    let metric_in_us = || {
        if units != UnitSystem::Us {
            return None;
        }
        let Kind::Quantity(measure) = field(used.field)?.kind else { return None };
        let quantity = parse(used.value, measure.dimension).ok()?;
        let foreign = quantity.unit.system == System::Metric;
        (foreign && quantity.si != 0.0).then(|| show(quantity.si, measure.dimension, units))
    };
    Default { field: used.field, value: used.value, shown: metric_in_us() }
}

/// A sentence in the units of the reader.
#[must_use]
pub fn words(sentence: &Sentence, units: UnitSystem) -> String {
    sentence
        .0
        .iter()
        .map(|piece| match piece {
            Piece::Words(words) => (*words).to_owned(),
            Piece::Name(name) => name.clone(),
            Piece::Figure(value, dimension) => show(*value, *dimension, units),
            Piece::AtLeast(value, dimension) => show_at_least(*value, *dimension, units),
            Piece::AtMost(value, dimension) => show_at_most(*value, *dimension, units),
        })
        .collect()
}

fn counts(starts: &Starts) -> Counts {
    let StrokeCounts { full_pressure, until_stall } = starts.slow;
    Counts {
        full_pressure,
        until_stall,
        full_pressure_quick: starts.quick.map(|quick| quick.full_pressure),
        until_stall_quick: starts.quick.map(|quick| quick.until_stall),
    }
}

fn row(check: &Check, units: UnitSystem) -> CheckRow {
    CheckRow {
        id: check.id.to_string(),
        verdict: check.verdict.word(),
        value: check.value,
        limit: check.limit,
        margin: check.margin,
        unit: check.dimension.si_unit(),
        advice: words(&check.advice, units),
        dimension: check.dimension,
    }
}

impl Report {
    /// The same with the working of its figures.
    #[must_use]
    pub fn with_working(mut self, steps: &[Step]) -> Self {
        self.working = Some(steps.iter().map(StepRow::new).collect());
        self
    }

    /// The same with further steps of working.
    #[must_use]
    pub fn with_more_working(mut self, steps: &[Step]) -> Self {
        self.working.get_or_insert_default().extend(steps.iter().map(StepRow::new));
        self
    }

    /// The same with points along the travel.
    #[must_use]
    pub fn with_travel(mut self, points: &[TravelPoint]) -> Self {
        self.travel = points.iter().map(TravelRow::new).collect();
        self
    }

    /// The same with the raise times of shares of the capacity.
    #[must_use]
    pub fn with_growth(mut self, growth: &[Growth]) -> Self {
        self.times.raise_by_load = growth.iter().map(GrowthRow::new).collect();
        self
    }

    /// The same with what can hurt somebody.
    #[must_use]
    pub fn with_hazards(mut self, hazards: &Hazards) -> Self {
        let units = self.units;
        self.pressure_order = Order::new(&hazards.order, units);
        self.faults = hazards.faults.iter().map(|fault| FaultRow::new(fault, hazards, units)).collect();
        self.states = hazards.states.iter().map(|state| StateRow::new(state, units)).collect();
        self.protection = hazards.protectors.iter().map(ProtectorRow::new).collect();
        self.rules = hazards.rules.iter().map(RuleRow::new).collect();
        self.energy.parts = hazards.stores.iter().map(StoreRow::new).collect();
        self
    }

    /// The report of a rig from its answers.
    #[must_use]
    pub fn new(rig: &Rig, answers: &Answers, units: UnitSystem) -> Self {
        let (lift, window, strokes) = (&answers.lift, &answers.window, &answers.strokes);
        let structure = &answers.structure;
        let fill = answers.fill.as_ref();
        let open = window.is_open().then_some(window);
        Self {
            schema: SCHEMA,
            title: rig.title.clone(),
            verdict: answers.verdict().word(),
            weakest: weakest(&answers.checks).map(|check| check.id.to_string()),
            site: Site {
                atmosphere_pa_abs: rig.site.atmosphere.pascals(),
                temperature_k: rig.site.temperature.value,
            },
            lift: Lift {
                load_force_n: lift.worst.force.value,
                load_pressure_pa_gauge: lift.worst.load_pressure.pascals(),
                needed_pressure_pa_gauge: lift.worst.needed_pressure.pascals(),
                worst_travel_m: lift.worst.travel.value,
                moving_pressure_pa_gauge: rig.regulator.moving_pressure().pascals(),
                thrust_n: rig.cylinders.thrust(rig.regulator.set).value,
                load_ratio: lift.load_ratio.value,
                capacity_kg: lift.capacity.value,
                rated_capacity_kg: lift.rated_capacity.value,
                height_m: lift.height.value,
                net_height_m: structure.net_height.map(|height| height.net.value),
                limiting_travel_m: lift.limiting_travel.value,
                spare_force_at_end_n: lift.spare_at_end.value,
                energy_at_stop_j: lift.energy_at_stop.value,
            },
            set_point: SetPoint {
                low_pa_gauge: window.low.pascals(),
                high_pa_gauge: window.high.pascals(),
                recommended_pa_gauge: open
                    .and_then(super::sizing::regulator_setpoint::Window::recommended)
                    .map(super::units::pressure::GaugePressure::pascals),
                set_pa_gauge: rig.regulator.set.pascals(),
                opening_bore_m: answers.opening_bore.map(|bore| bore.value),
            },
            air: Air {
                per_stroke_kg: answers.air.stroke.total().value,
                per_stroke_anr_m3: answers.air.stroke_free_air.volume().value,
                tank_full_kg: answers.air.tank_full.value,
                usable_kg: answers.air.usable.value,
            },
            strokes: Strokes {
                from_cut_out: counts(&strokes.from_cut_out),
                from_cut_in: strokes.from_cut_in.as_ref().map(counts),
                tank_pa_gauge: strokes
                    .tank_after
                    .iter()
                    .map(|pressure| pressure.to_gauge(rig.site.atmosphere).pascals())
                    .collect(),
            },
            fill: Fill {
                from_empty_s: fill.and_then(|fill| fill.from_empty).map(|time| time.value),
                cut_in_to_cut_out_s: fill.and_then(|fill| fill.band).map(|time| time.value),
                after_strokes_s: fill.and_then(|fill| fill.after_strokes).map(|time| time.value),
                stalls_at_pa_gauge: fill
                    .and_then(|fill| fill.stalls_at)
                    .map(super::units::pressure::GaugePressure::pascals),
                strokes_per_hour_kept_up: fill.and_then(|fill| fill.strokes_per_hour_kept_up),
                leak: rig.tank.leak.zip(answers.leak).map(|(leak, does)| Leak::new(&leak, &does)),
                has_compressor: fill.is_some(),
            },
            times: Times::new(rig, &answers.times),
            rod: Rod::new(structure),
            links: structure.links.as_ref().map(Links::new),
            frame: (!structure.beams.is_empty()).then(|| structure.beams.iter().map(Beam::new).collect()),
            pins: (!structure.pins.is_empty()).then(|| structure.pins.iter().map(PinStresses::new).collect()),
            welds: (!structure.welds.is_empty())
                .then(|| structure.welds.iter().map(WeldStress::new).collect()),
            stand: structure.stand.as_ref().map(Stand::new),
            travel: Vec::new(),
            battery: Battery {
                strokes_per_charge: answers.battery.strokes_per_charge,
                energy_per_stroke_j: answers.battery.energy_per_stroke.map(|energy| energy.value),
            },
            energy: Energy { stored_j: answers.stored.value, parts: Vec::new() },
            checks: answers.checks.iter().map(|check| row(check, units)).collect(),
            pressure_order: Order::default(),
            faults: Vec::new(),
            states: Vec::new(),
            protection: Vec::new(),
            rules: Vec::new(),
            defaults: rig.defaults.iter().map(|used| default_row(used, units)).collect(),
            notes: notes(rig, answers).iter().map(|note| words(note, units)).collect(),
            cautions: cautions(rig, answers).iter().map(|caution| words(caution, units)).collect(),
            working: None,
            units,
            recommended_shown_pa_gauge: open
                .and_then(|window| window.rounded_up(units.pressure_step_pa()))
                .map(super::units::pressure::GaugePressure::pascals),
            load_mass_kg: rig.load.mass.value,
        }
    }
}
