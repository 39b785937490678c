//! Every pressure of a rig on one scale, and the gaps between neighbours.
//!
//! A stated tolerance and the error of the gauge by which a pressure is set add up; a gap is what is left
//! between the unfavourable ends.

use uom::si::f64::Mass;

use super::check::{CAUTION_MARGIN, judge_with, sentence};
use super::checks::order::RELIEF_ABOVE_CUT_OUT;
use super::checks::{at_least_bar, at_most_bar, bar, creep, crept_set, ends, full, spread};
use super::{Answers, Piece, Sentence, Verdict};
use crate::Result;
use crate::rig::{AirSource, Rig};
use crate::sizing::compressor_fill_time::Delivery;
use crate::sizing::travel::Load;
use crate::units::GaugePressure;

/// A relief valve passes its stated flow at this multiple of its setting. Source: 10 % above the highest
/// allowable pressure is what receiver rules grant (30 CFR 57.13011).
pub(super) const FULL_LIFT: f64 = 1.10;

/// Name of the lower end of the set-point window: shown rounded up.
pub(crate) const WINDOW_LOW: &str = "window, lower end";

/// Name of its upper end: shown rounded down.
pub(crate) const WINDOW_HIGH: &str = "window, upper end";

/// A pressure of the rig with the ends of its interval, gauge, in Pa.
#[derive(Debug, Clone, PartialEq)]
pub struct Rung {
    /// What stands there.
    pub name: &'static str,
    /// Field of the rig file that sets it; none where it follows from others.
    pub field: Option<&'static str>,
    /// Lowest it may be.
    pub low_pa: f64,
    /// As written.
    pub middle_pa: f64,
    /// Highest it may be.
    pub high_pa: f64,
    /// Whether it is a rating: a wall that nothing may pass.
    pub is_rating: bool,
}

/// Two pressures of which one must stand above the other.
#[derive(Debug, Clone, PartialEq)]
pub struct Gap {
    /// The lower of the two.
    pub lower: &'static str,
    /// The upper.
    pub upper: &'static str,
    /// Room between the unfavourable ends, what must lie between taken off; negative where they cross.
    pub room_pa: f64,
    /// What must lie between the two.
    pub wanted_pa: f64,
    /// Room as a share of the upper end.
    pub margin: f64,
    /// What it comes to.
    pub verdict: Verdict,
    /// Which pressure to change, and to what.
    pub advice: Sentence,
}

/// The ladder of pressures.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PressureOrder {
    /// Every pressure, the highest first.
    pub rungs: Vec<Rung>,
    /// Gaps, the worst first.
    pub gaps: Vec<Gap>,
}

/// One side of a gap: its unfavourable end and how far that lies from what is written in the file.
#[derive(Debug, Clone, Copy)]
struct Side {
    name: &'static str,
    field: &'static str,
    /// The end that counts.
    end: f64,
    /// Factor from the file's value with its spread to the end that counts.
    factor: f64,
    /// Half width of the spread.
    spread: f64,
}

impl Side {
    /// The value to write in the file for the end to lie at `end`.
    fn written(&self, end: f64, upwards: f64) -> f64 {
        end / self.factor + upwards * self.spread
    }
}

/// Pieces one after the other.
fn joined(parts: &[&[Piece]]) -> Sentence {
    Sentence(parts.iter().flat_map(|part| part.iter().cloned()).collect())
}

struct Ladder<'a> {
    rig: &'a Rig,
    order: PressureOrder,
    /// Lowest set point that moves the load.
    lowest_set: f64,
}

impl Ladder<'_> {
    fn rung(&mut self, name: &'static str, field: Option<&'static str>, low: f64, middle: f64, high: f64) {
        let is_rating = is_wall(name);
        self.order.rungs.push(Rung { name, field, low_pa: low, middle_pa: middle, high_pa: high, is_rating });
    }

    /// A field of the file as a rung.
    fn field(&mut self, name: &'static str, field: &'static str, value: GaugePressure) {
        let (middle, half) = (value.pascals(), spread(self.rig, field));
        self.rung(name, Some(field), middle - half, middle, middle + half);
    }

    fn side(
        &self,
        name: &'static str,
        field: &'static str,
        value: GaugePressure,
        up: f64,
        factor: f64,
    ) -> Side {
        let spread = spread(self.rig, field);
        Side { name, field, end: factor * up.mul_add(spread, value.pascals()), factor, spread }
    }

    /// A value at the high end.
    fn high(&self, name: &'static str, field: &'static str, value: GaugePressure) -> Side {
        self.side(name, field, value, 1.0, 1.0)
    }

    /// A value at the low end.
    fn low(&self, name: &'static str, field: &'static str, value: GaugePressure) -> Side {
        self.side(name, field, value, -1.0, 1.0)
    }

    /// Lowest that a field may be set to before it runs into what stands below it.
    fn floor(&self, field: &str) -> f64 {
        let rig = self.rig;
        let set = ends(rig, "regulator.set", rig.regulator.set).high;
        let headroom = rig.regulator.headroom.value + rig.tolerance("regulator.headroom");
        let above = |pressure: f64| pressure + spread(rig, field);
        let high = |name: &str, value: GaugePressure| value.pascals() + spread(rig, name);
        let compressor = match &rig.source {
            AirSource::Compressor(compressor) => Some(compressor),
            AirSource::Bottle { .. } => None,
        };
        let cut_out = compressor.map_or(0.0, |pump| high("compressor.cut-out", pump.cut_out));
        match field {
            "regulator.set" => above(self.lowest_set),
            "line.relief" => above(crept_set(rig)),
            "compressor.cut-in" | "tank.filled-to" => above(set + headroom),
            "compressor.cut-out" => {
                above(compressor.map_or(0.0, |pump| high("compressor.cut-in", pump.cut_in)))
            }
            "protection.second-switch" => above(cut_out),
            "tank.relief" => above(RELIEF_ABOVE_CUT_OUT * cut_out),
            // What the load asks for cannot be lowered by a setting.
            "" => f64::INFINITY,
            _ => 0.0,
        }
    }

    /// Highest that a field may be set to before it runs into what stands above it.
    fn ceiling(&self, field: &str) -> f64 {
        let rig = self.rig;
        let below = |pressure: f64| pressure - spread(rig, field);
        let low = |name: &str, value: GaugePressure| value.pascals() - spread(rig, name);
        let receiver = low("tank.rating", rig.tank.rating);
        let relief = rig.tank.relief.map_or(receiver, |relief| low("tank.relief", relief));
        let line = rig.line.rating.map_or(f64::INFINITY, |rating| low("line.rating", rating));
        let parts = low("cylinders.rating", rig.cylinders.rating).min(line);
        let headroom = rig.regulator.headroom.value + rig.tolerance("regulator.headroom");
        let blows = rig.line.relief.map_or(parts, |relief| low("line.relief", relief).min(parts));
        match (field, &rig.source) {
            ("regulator.set", AirSource::Compressor(pump)) => {
                below((blows / creep(rig)).min(low("compressor.cut-in", pump.cut_in) - headroom))
            }
            ("regulator.set", AirSource::Bottle { filled_to }) => {
                below((blows / creep(rig)).min(low("tank.filled-to", *filled_to) - headroom))
            }
            // Blowing it must stay below the parts, unless the full tank does.
            ("line.relief", _) if full(rig).high <= parts => below(parts),
            ("line.relief", _) => below(parts / FULL_LIFT),
            ("compressor.cut-in", AirSource::Compressor(pump)) => {
                below(low("compressor.cut-out", pump.cut_out))
            }
            ("compressor.cut-out", _) => below((relief / RELIEF_ABOVE_CUT_OUT).min(receiver)),
            ("protection.second-switch", _) => below(relief.min(receiver)),
            ("tank.relief", _) => {
                let inlet = inlet_under_relief(rig).map_or(f64::INFINITY, |inlet| inlet / FULL_LIFT);
                below(receiver.min(inlet))
            }
            ("tank.filled-to", _) => below(receiver),
            _ => f64::INFINITY,
        }
    }

    /// Holds `lower` below `upper` by `wanted`. A rating or `caution` of 0 passes when the two just meet.
    fn gap(&mut self, lower: Side, upper: Side, wanted: f64, caution: Option<f64>) {
        let room = upper.end - lower.end - wanted;
        let scale = if upper.end > 0.0 { upper.end } else { 1.0 };
        let margin = room / scale;
        let verdict = judge_with(margin, caution.unwrap_or(CAUTION_MARGIN));
        // What to write in the file so that the gap is wide enough, its band of caution included.
        let share = caution.unwrap_or(CAUTION_MARGIN);
        let lower_to = lower.written(upper.end * (1.0 - share) - wanted, -1.0);
        let upper_to = upper.written((lower.end + wanted) / (1.0 - share), 1.0);
        let fixed = |field: &str| field.ends_with("rating") || field.ends_with("max-inlet");
        let crossed = if room < 0.0 { "too small by " } else { "room left is only " };
        let lead = [Piece::from(crossed), bar(room.abs()).into(), Piece::from(": ")];
        let lower_it = [Piece::from("lower `"), lower.field.into(), "` to ".into(), at_most_bar(lower_to)];
        let raise_it = [Piece::from("raise `"), upper.field.into(), "` to ".into(), at_least_bar(upper_to)];
        let fit_it = [
            Piece::from(if upper.field == "tank.rating" {
                "fit a receiver rated "
            } else {
                "fit a part rated "
            }),
            at_least_bar(upper_to),
            " (`".into(),
            upper.field.into(),
            "`)".into(),
        ];
        let or = [Piece::from(", or ")];
        let lighter = [Piece::from("take a larger bore, or a lighter load")];
        let with_it = [Piece::from(", and with it what stands below it")];
        // Advice that mends one gap must not open another.
        let (can_lower, can_raise) =
            (lower_to >= self.floor(lower.field), upper_to <= self.ceiling(upper.field));
        let part = fixed(upper.field);
        let advice = match (can_lower, can_raise) {
            _ if verdict == Verdict::Pass => sentence!["room left: ", bar(room)],
            (false, true) if lower.field.is_empty() => joined(&[&lead, &raise_it, &or, &lighter]),
            (false, false) if lower.field.is_empty() => joined(&[&lead, &lighter]),
            (true, true) if part => joined(&[&lead, &lower_it, &or, &fit_it]),
            (false, true) if part => joined(&[&lead, &fit_it, &or, &lower_it, &with_it]),
            (true, true) => joined(&[&lead, &lower_it, &or, &raise_it]),
            (false, true) => joined(&[&lead, &raise_it]),
            (true, false) => joined(&[&lead, &lower_it]),
            (false, false) => joined(&[&lead, &lower_it, &with_it]),
        };
        self.order.gaps.push(Gap {
            lower: lower.name,
            upper: upper.name,
            room_pa: room,
            wanted_pa: wanted,
            margin,
            verdict,
            advice,
        });
    }

    /// The last gap is that of a valve that blows only while something is stuck: a caution at the worst.
    fn only_while_blowing(&mut self) {
        if let Some(gap) = self.order.gaps.last_mut().filter(|gap| gap.verdict == Verdict::Fail) {
            gap.verdict = Verdict::Caution;
        }
    }
}

/// Whether a pressure is a rating, which nothing may pass.
fn is_wall(name: &str) -> bool {
    name.ends_with("rating") || name.ends_with("inlet limit")
}

/// The ladder of pressures of a rig.
pub(super) fn pressure_order(rig: &Rig, answers: &Answers) -> Result<PressureOrder> {
    let mut ladder =
        Ladder { rig, order: PressureOrder::default(), lowest_set: answers.window.low.pascals() };
    let needed = load(rig, answers, &mut ladder)?;
    regulator(rig, answers, needed, &mut ladder);
    tank(rig, &mut ladder);
    let mut order = ladder.order;
    order.rungs.sort_by(|a, b| b.middle_pa.total_cmp(&a.middle_pa));
    // What passes a rating can burst, the receiver the hardest; it stands before what only works badly.
    let bursts = |gap: &Gap| {
        let fails = gap.verdict == Verdict::Fail;
        (fails && gap.upper == "receiver rating", fails && is_wall(gap.upper))
    };
    order.gaps.sort_by(|a, b| {
        b.verdict.cmp(&a.verdict).then(bursts(b).cmp(&bursts(a))).then(a.margin.total_cmp(&b.margin))
    });
    Ok(order)
}

/// The pressures that the load asks for; the highest needed comes back.
fn load(rig: &Rig, answers: &Answers, ladder: &mut Ladder<'_>) -> Result<f64> {
    let worst = answers.lift.worst;
    let half = rig.tolerance("load.mass");
    let at = |mass: f64| -> Result<_> {
        let load = Load { mass: Mass { value: mass.max(0.0), ..rig.load.mass }, ..rig.load };
        let worst = rig.travel_of(&load)?.worst();
        Ok((worst.load_pressure.pascals(), worst.needed_pressure.pascals()))
    };
    let middle = (worst.load_pressure.pascals(), worst.needed_pressure.pascals());
    let (low, high) = if half > 0.0 {
        (at(rig.load.mass.value - half)?, at(rig.load.mass.value + half)?)
    } else {
        (middle, middle)
    };
    ladder.rung("load", None, low.0, middle.0, high.0);
    ladder.rung("needed to move it", None, low.1, middle.1, high.1);
    Ok(high.1)
}

fn regulator(rig: &Rig, answers: &Answers, needed: f64, ladder: &mut Ladder<'_>) {
    let (set, droop) = (rig.regulator.set, rig.regulator.droop.value);
    let half = spread(rig, "regulator.set");
    let creep = creep(rig);
    let (low, middle) = (set.pascals() - half, set.pascals());
    ladder.rung("set point less droop", None, low - droop, middle - droop, middle + half - droop);
    ladder.field("set point", "regulator.set", set);
    ladder.rung("set point, crept up", None, middle, middle * creep, (middle + half) * creep);
    let window = &answers.window;
    let (from, to) = (window.low.pascals(), window.high.pascals());
    ladder.rung(WINDOW_LOW, None, from, from, from);
    ladder.rung(WINDOW_HIGH, None, to, to, to);
    let set_high = ladder.side("set point, crept up", "regulator.set", set, 1.0, creep);
    let mut moving = ladder.low("set point less droop", "regulator.set", set);
    moving.end -= droop;
    moving.spread += droop;
    let need = Side { name: "needed to move it", field: "", end: needed, factor: 1.0, spread: 0.0 };
    ladder.gap(need, moving, 0.0, None);
    let parts = [
        ("cylinder rating", "cylinders.rating", Some(rig.cylinders.rating)),
        ("line rating", "line.rating", rig.line.rating),
    ];
    for (name, field, rating) in parts {
        let Some(rating) = rating else { continue };
        ladder.field(name, field, rating);
        let wall = ladder.low(name, field, rating);
        ladder.gap(set_high, wall, 0.0, None);
        if let Some(relief) = rig.line.relief {
            let opens = ladder.high("line relief opens", "line.relief", relief);
            ladder.gap(opens, wall, 0.0, Some(0.0));
            let blows = ladder.side("line relief, full lift", "line.relief", relief, 1.0, FULL_LIFT);
            if blows.end < full(rig).high {
                ladder.gap(blows, wall, 0.0, Some(0.0));
                ladder.only_while_blowing();
            }
        }
    }
    if let Some(relief) = rig.line.relief {
        ladder.field("line relief opens", "line.relief", relief);
        let half = spread(rig, "line.relief");
        let full = |value: f64| FULL_LIFT * value;
        ladder.rung(
            "line relief, full lift",
            None,
            full(relief.pascals() - half),
            full(relief.pascals()),
            full(relief.pascals() + half),
        );
        let opens = ladder.low("line relief opens", "line.relief", relief);
        ladder.gap(set_high, opens, 0.0, None);
    }
}

/// What the regulator bears at its inlet, at its low end, where the relief valve of the receiver may blow above it: no
/// second switch acts first, and the pump does not stall below.
fn inlet_under_relief(rig: &Rig) -> Option<f64> {
    let (AirSource::Compressor(compressor), Some(limit), None) =
        (&rig.source, rig.regulator.max_inlet, rig.protection.second_switch)
    else {
        return None;
    };
    let limit = ends(rig, "regulator.max-inlet", limit).low;
    let stalls_below =
        matches!(compressor.delivery, Delivery::OpenAndStall { stall, .. } if stall.pascals() <= limit);
    (!stalls_below).then_some(limit)
}

fn tank(rig: &Rig, ladder: &mut Ladder<'_>) {
    let headroom = rig.regulator.headroom.value + rig.tolerance("regulator.headroom");
    let set = ladder.high("set point", "regulator.set", rig.regulator.set);
    ladder.field("receiver rating", "tank.rating", rig.tank.rating);
    let receiver = ladder.low("receiver rating", "tank.rating", rig.tank.rating);
    let full = match &rig.source {
        AirSource::Compressor(compressor) => {
            ladder.field("cut-in", "compressor.cut-in", compressor.cut_in);
            ladder.field("cut-out", "compressor.cut-out", compressor.cut_out);
            let cut_in_low = ladder.low("cut-in", "compressor.cut-in", compressor.cut_in);
            let cut_in_high = ladder.high("cut-in", "compressor.cut-in", compressor.cut_in);
            let cut_out_low = ladder.low("cut-out", "compressor.cut-out", compressor.cut_out);
            ladder.gap(set, cut_in_low, headroom, None);
            ladder.gap(cut_in_high, cut_out_low, 0.0, None);
            ladder.high("cut-out", "compressor.cut-out", compressor.cut_out)
        }
        AirSource::Bottle { filled_to } => {
            ladder.field("filled to", "tank.filled-to", *filled_to);
            let lowest = ladder.low("filled to", "tank.filled-to", *filled_to);
            ladder.gap(set, lowest, headroom, None);
            ladder.high("filled to", "tank.filled-to", *filled_to)
        }
    };
    ladder.gap(full, receiver, 0.0, Some(0.0));
    if let Some(limit) = rig.regulator.max_inlet {
        ladder.field("regulator inlet limit", "regulator.max-inlet", limit);
        let wall = ladder.low("regulator inlet limit", "regulator.max-inlet", limit);
        ladder.gap(full, wall, 0.0, None);
    }
    if let Some(relief) = rig.tank.relief {
        ladder.field("relief opens", "tank.relief", relief);
        let ends = ends(rig, "tank.relief", relief);
        ladder.rung(
            "relief, full lift",
            None,
            FULL_LIFT * ends.low,
            FULL_LIFT * relief.pascals(),
            FULL_LIFT * ends.high,
        );
        let opens = ladder.low("relief opens", "tank.relief", relief);
        if matches!(rig.source, AirSource::Compressor(_)) {
            let above = Side { end: full.end * RELIEF_ABOVE_CUT_OUT, factor: RELIEF_ABOVE_CUT_OUT, ..full };
            ladder.gap(Side { name: "cut-out and 10 %", ..above }, opens, 0.0, None);
        }
        let highest = ladder.high("relief opens", "tank.relief", relief);
        ladder.gap(highest, receiver, 0.0, Some(0.0));
        if let Some(limit) = rig.regulator.max_inlet.filter(|_| inlet_under_relief(rig).is_some()) {
            let wall = ladder.low("regulator inlet limit", "regulator.max-inlet", limit);
            let blows = ladder.side("relief, full lift", "tank.relief", relief, 1.0, FULL_LIFT);
            ladder.gap(blows, wall, 0.0, Some(0.0));
            ladder.only_while_blowing();
        }
    }
    if let Some(second) = rig.protection.second_switch {
        ladder.field("second switch", "protection.second-switch", second);
        let stops = ladder.low("second switch", "protection.second-switch", second);
        ladder.gap(full, stops, 0.0, None);
        if let Some(relief) = rig.tank.relief {
            let stops = ladder.high("second switch", "protection.second-switch", second);
            let opens = ladder.low("relief opens", "tank.relief", relief);
            ladder.gap(stops, opens, 0.0, Some(0.0));
        }
    }
}
