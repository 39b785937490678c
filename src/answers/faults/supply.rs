//! Pump, switch, relief valve, regulator.

use uom::si::f64::MassRate;
use uom::si::mass_rate::kilogram_per_second;

use super::load::{Strained, scaled, strained};
use super::rise::rising;
use super::{Case, Fault, Figure, figure, held_without_air, on_shut_in_air, plain};
use crate::Result;
use crate::answers::check::{CAUTION_MARGIN, judge_with, sentence};
use crate::answers::checks::order::{RELIEF_ABOVE_CUT_OUT, joined};
use crate::answers::checks::{as_free_air, at_least_bar, at_most, at_most_bar, bar, ends, full, spread};
use crate::answers::pressure_order::FULL_LIFT;
use crate::answers::stuck_open::{LineRelief, line_relief_for, set_point_below_relief, stuck_open};
use crate::answers::{Check, Piece, Sentence, Verdict};
use crate::rig::{AirSource, Rig};
use crate::sizing::compressor_fill_time::{Compressor, Delivery, Intake, Pump};
use crate::sizing::cylinder_force::piston_area;
use crate::sizing::tank_capacity::EndPressure;
use crate::units::{Dimension, GaugePressure, pressure::pascals};

/// Above this the gas equation ends, and so does the run of a pump.
const HIGHEST_PA: f64 = 348e5;

pub(super) fn faults(case: &Case<'_>, faults: &mut Vec<Fault>) -> Result<()> {
    faults.push(regulator_stuck_open(case)?);
    faults.push(regulator_stuck_closed(case));
    if case.rig.line.relief.is_some() {
        faults.push(line_relief_stuck_shut(case));
    }
    if let (AirSource::Bottle { filled_to }, Some(_)) = (&case.rig.source, case.rig.tank.relief) {
        faults.push(bottle_relief_stuck_shut(case, *filled_to));
    }
    if let AirSource::Compressor(compressor) = &case.rig.source {
        let compressor = &strongest(case.rig, compressor);
        let pump = Pump::new(compressor, case.air, case.rig.site.atmosphere)?;
        if let Some(relief) = case.rig.tank.relief {
            faults.push(switch_stuck_closed(case, compressor, &pump, relief)?);
            faults.push(relief_stuck_shut(case, compressor, &pump)?);
        }
        faults.push(check_valve_leaks(case));
    }
    Ok(())
}

/// A pump at the strong end of its stated delivery.
pub(in crate::answers) fn strongest(rig: &Rig, compressor: &Compressor) -> Compressor {
    let mut strong = compressor.clone();
    if let Delivery::OpenAndStall { open, stall, .. } = &mut strong.delivery {
        let more = rig.tolerance("compressor.delivery.open");
        match open {
            Intake::InletVolume(flow) => flow.value += more,
            Intake::Mass(flow) => flow.value += more,
        }
        *stall = GaugePressure::new(pascals(ends(rig, "compressor.delivery.stall", *stall).high));
    }
    strong
}

/// Pressure at which the tank's relief valve must pass what the pump brings, and how much that is: with the valve at
/// the end of its tolerance at which the pump brings more.
pub(in crate::answers) fn relief_duty(
    rig: &Rig,
    pump: &Pump<'_>,
    relief: GaugePressure,
) -> (GaugePressure, MassRate) {
    let opens = ends(rig, "tank.relief", relief);
    let [low, high] =
        [opens.low.max(0.0), opens.high].map(|end| pump.relief_duty(GaugePressure::new(pascals(end))));
    if high.1 > low.1 { high } else { low }
}

/// What the tank's relief valve passes at the low end, if it is stated.
pub(in crate::answers) fn relief_passes(rig: &Rig) -> Option<MassRate> {
    let spread = MassRate::new::<kilogram_per_second>(rig.tolerance("tank.relief-capacity"));
    rig.tank.relief_capacity.map(|capacity| capacity - spread)
}

/// What comes through lifts what is on the platform faster, and presses on it harder, than the set point does.
fn regulator_stuck_open(case: &Case<'_>) -> Result<Fault> {
    const ID: &str = "regulator stuck open";
    let (rig, stuck) = (case.rig, stuck_open(case.rig)?);
    let (full, fault) = (full(rig).high, stuck.blows.pascals());
    let cylinders = ends(rig, "cylinders.rating", rig.cylinders.rating).low;
    let line = rig.line.rating.map(|rating| ends(rig, "line.rating", rating).low);
    let weakest = line.map_or(cylinders, |line| line.min(cylinders));
    // Every part that the full tank passes needs the higher rating.
    let field = match (line.is_some_and(|line| line < full), cylinders < full) {
        (true, true) => "`line.rating` and a `cylinders.rating`",
        (true, false) => "`line.rating`",
        _ => "`cylinders.rating`",
    };
    let mut check = at_most(ID, fault, weakest, Dimension::Pressure, Sentence::default());
    check.advice = match (check.verdict, stuck.relief) {
        (Verdict::Fail, LineRelief::Outrun) => sentence![
            "the relief valve after the regulator passes less than the open regulator: fit a wider one, a throttle before the regulator that lets less through, or parts rated ",
            at_least_bar(full)
        ],
        (Verdict::Fail, _) => match line_relief_for(rig, weakest) {
            None => no_relief_fits(case, weakest, field),
            Some(set_at) => sentence![
                "fit a relief valve after the regulator (`line.relief`) set at ",
                at_most_bar(set_at),
                " or lower, or parts with a ",
                field,
                " of ",
                at_least_bar(full)
            ],
        },
        (_, LineRelief::MayHold) => sentence![
            "find the flow of the regulator wide open (`regulator.wide-open-flow` or `regulator.seat`) and see that the relief valve after it passes it (`line.relief-capacity`)"
        ],
        (_, LineRelief::Holds) => {
            sentence!["the relief valve after the regulator holds it: prove it once a month"]
        }
        _ => sentence![
            "the parts after the regulator whose rating is stated bear the pressure of the full tank"
        ],
    };
    if stuck.relief == LineRelief::MayHold && check.verdict == Verdict::Pass {
        check.verdict = Verdict::Caution;
    }
    if line.is_none() && check.verdict != Verdict::Fail {
        check.verdict = Verdict::NotJudged;
        check.advice =
            sentence!["find the rating of the weakest hose or fitting after the regulator: `line.rating`"];
    }
    let thrust = rig.cylinders.thrust(stuck.blows);
    let beyond = (thrust - case.answers.lift.worst.force).value.max(0.0);
    let mut figures = vec![
        figure("push of the cylinders", thrust.value, Dimension::Force),
        figure("of that beyond what the load needs", beyond, Dimension::Force),
    ];
    figures.extend(rods_under(case, fault, &mut check));
    stop_under(case, stuck.blows, &mut check)?;
    let rising = rising(case, Some(stuck.blows))?;
    rising.judge_leap(case, &mut check);
    figures.extend(rising.figures());
    if let Some((relief, open)) = stuck.relief_passes.zip(stuck.lets_through) {
        figures.push(figure("wide-open regulator", open.value, Dimension::MassFlow));
        figures.push(figure("relief valve after it", relief.value, Dimension::MassFlow));
    }
    let happens = if stuck.is_relieved() {
        sentence![
            "the relief valve after the regulator blows; hoses and cylinders see ",
            bar(fault),
            ", and the next raise is faster and harder"
        ]
    } else {
        sentence![
            "hoses and cylinders see the pressure of the tank, ",
            bar(fault),
            ", and the next raise is faster and harder"
        ]
    };
    Ok(Fault::new(check, happens, figures))
}

/// What to do where no relief valve after the regulator fits below what the parts bear.
fn no_relief_fits(case: &Case<'_>, weakest: f64, field: &'static str) -> Sentence {
    let rig = case.rig;
    let mut advice = sentence![
        "no relief valve fits between the set point and what the parts bear: take parts with a ",
        field,
        " of ",
        at_least_bar(full(rig).high)
    ];
    let set_at = set_point_below_relief(rig, weakest);
    // Rounded down to 0.01 bar it must still move the load.
    let lifts = set_at - 1e3 >= case.answers.window.low.pascals() + spread(rig, "regulator.set");
    advice.0.extend(if lifts {
        let relief = weakest / FULL_LIFT - spread(rig, "line.relief");
        sentence![
            ", or lower `regulator.set` to ",
            at_most_bar(set_at),
            " and then fit one after the regulator (`line.relief`) set at ",
            at_most_bar(relief)
        ]
        .0
    } else {
        sentence!["; a set point low enough for one does not move the load"].0
    });
    advice
}

/// Holds what a stop of the linkage rests on to the whole push at a pressure: only there the frame bears more than
/// the load, as stops within the cylinders keep the rest of the push to themselves.
fn stop_under(case: &Case<'_>, pressure: GaugePressure, check: &mut Check) -> Result<()> {
    if !case.rig.meets_stop() || check.verdict == Verdict::Fail {
        return Ok(());
    }
    let mut pressed = scaled(case.rig, pressure.pascals() / case.rig.regulator.set.pascals());
    pressed.regulator.set = pressure;
    match strained(&pressed, case.answers.lift.worst.force)? {
        Strained::GivesWay(part, does) => {
            check.verdict = Verdict::Fail;
            check.limit = None;
            check.margin = None;
            check.advice = sentence![
                part,
                does,
                " when the linkage comes to its stop: make it stronger, or fit a relief valve after the regulator (`line.relief`) set lower"
            ];
        }
        Strained::BeyondLimit(part) if check.verdict != Verdict::NotJudged => {
            check.verdict = Verdict::Caution;
            check.advice = sentence![
                part,
                " is beyond its limit when the linkage comes to its stop: make it stronger, or fit a relief valve after the regulator (`line.relief`) set lower"
            ];
        }
        Strained::NotKnown(why) if check.verdict == Verdict::Pass => {
            check.verdict = Verdict::NotJudged;
            check.advice = sentence!["what the frame does at the stop of the linkage is not judged: ", why];
        }
        _ => {}
    }
    Ok(())
}

/// Holds the rods, as columns, to the push at a pressure: fails if they may buckle, is not judged if their length
/// is not known.
fn rods_under(case: &Case<'_>, pressure: f64, check: &mut Check) -> Option<Figure> {
    let rig = case.rig;
    let Some(rod) = &case.answers.structure.rod else {
        if check.verdict != Verdict::Fail {
            check.verdict = Verdict::NotJudged;
            check.advice =
                sentence!["whether the rods bear the push is not known: enter `cylinders.closed-length`"];
        }
        return None;
    };
    let push = piston_area(rig.cylinders.bore) * pascals(pressure);
    let safety = (rod.critical.force / push).value;
    let limit = rig.limits.column_safety.value;
    let bears = rod.critical.force.value / (limit * piston_area(rig.cylinders.bore).value);
    if safety < limit && check.verdict != Verdict::Fail {
        check.verdict = Verdict::Fail;
        check.limit = Some(bears);
        check.margin = Some((bears - pressure) / bears);
        check.advice = match line_relief_for(rig, bears) {
            Some(set_at) => sentence![
                "the rods may buckle: fit a relief valve after the regulator (`line.relief`) set at ",
                at_most_bar(set_at),
                " or lower, or thicker rods"
            ],
            None => sentence!["the rods may buckle: take thicker rods, or cylinders that are shorter"],
        };
    }
    Some(figure("safety of the rods against buckling", safety, Dimension::Number))
}

fn regulator_stuck_closed(case: &Case<'_>) -> Fault {
    on_shut_in_air(
        case,
        "regulator stuck closed",
        sentence!["no air comes through: a raise stops where it is, a raised load stays on the air shut in"],
        sentence!["lower the load by the lower valve, then look for the cause"],
    )
}

/// Whether the pump is known to deliver nothing at its stall; the last point of a curve may be where the data
/// end.
fn stall_is_known(pump: &Pump<'_>) -> bool {
    let zero = GaugePressure::new(pascals(0.0));
    pump.mass_rate(pump.stall()).value <= 1e-9 * pump.mass_rate(zero).value
}

/// Where the points of a pump end, if that is below a pressure and it still delivers there.
fn points_end_below(pump: &Pump<'_>, pressure: f64) -> Option<f64> {
    let end = pump.stall().pascals();
    (!stall_is_known(pump) && end < pressure).then_some(end)
}

/// Shortest time that the pump takes from cut-out to a pressure, if it gets there: from cut-out at its high end, in a
/// tank at the low end of its volume.
fn climb(case: &Case<'_>, compressor: &Compressor, pump: &Pump<'_>, to: f64) -> Result<Option<f64>> {
    let to = GaugePressure::new(pascals(to));
    let from = GaugePressure::new(pascals(ends(case.rig, "compressor.cut-out", compressor.cut_out).high));
    if to <= from {
        return Ok(Some(0.0));
    }
    if to.pascals() > HIGHEST_PA
        || pump.stalls_at().is_some()
        || pump.stall() <= to
        || pump.mass_rate(to).value <= 0.0
    {
        return Ok(None);
    }
    let mut volume = case.rig.tank.volume;
    volume.value -= case.rig.tolerance("tank.volume");
    Ok(Some(pump.run(volume, from, to)?.time.value))
}

/// What the pump delivers past cut-out, and how soon it gets where.
fn climbing(
    case: &Case<'_>,
    compressor: &Compressor,
    pump: &Pump<'_>,
    relief: GaugePressure,
) -> Result<Vec<Figure>> {
    let rig = case.rig;
    let rating = ends(rig, "tank.rating", rig.tank.rating).low;
    let opens = ends(rig, "tank.relief", relief);
    let (_, delivery) = relief_duty(rig, pump, relief);
    let mut figures = vec![figure("delivery at the relief valve", delivery.value, Dimension::MassFlow)];
    if let Some(capacity) = relief_passes(rig) {
        figures.push(figure("relief valve passes", capacity.value, Dimension::MassFlow));
    }
    if let Some(time) = climb(case, compressor, pump, opens.low)? {
        figures.push(figure("from cut-out to the relief valve", time, Dimension::Time));
    }
    if let Some(time) = climb(case, compressor, pump, rating)? {
        figures.push(figure(
            "from cut-out to the receiver's rating, were nothing to open",
            time,
            Dimension::Time,
        ));
    }
    Ok(figures)
}

fn switch_stuck_closed(
    case: &Case<'_>,
    compressor: &Compressor,
    pump: &Pump<'_>,
    relief: GaugePressure,
) -> Result<Fault> {
    const ID: &str = "pressure switch stuck closed";
    let rig = case.rig;
    let rating = ends(rig, "tank.rating", rig.tank.rating).low;
    let opens = ends(rig, "tank.relief", relief);
    let stall = stall_is_known(pump).then(|| pump.stall().pascals());
    let (at, delivery) = relief_duty(rig, pump, relief);
    let figures = climbing(case, compressor, pump, relief)?;
    let second =
        rig.protection.second_switch.map(|second| ends(rig, "protection.second-switch", second).high);
    // A receiver may see 10 % above its rating while its relief valve blows.
    let limit = FULL_LIFT * rating;
    // A pump delivers the more the lower the valve is set, and the most as it passes cut-out.
    let most = pump.relief_duty(compressor.cut_out).1.max(delivery);
    let passes = most.value + rig.tolerance("tank.relief-capacity");
    let judged = |pressure: f64, limit: f64, caution: f64, advice: Sentence, happens: Sentence| {
        let mut check = at_most(ID, pressure, limit, Dimension::Pressure, advice);
        check.verdict = judge_with(check.margin.unwrap_or(f64::NAN), caution);
        if check.verdict == Verdict::Fail {
            check.advice = joined([
                sentence![
                    "fit a relief valve set at ",
                    at_most_bar(rating - spread(rig, "tank.relief")),
                    " or lower that passes ",
                    Piece::AtLeast(passes, Dimension::MassFlow)
                ],
                as_free_air(passes),
                sentence!["; do not use the rig until then"],
            ]);
        }
        inlet_under(case, compressor, pressure, &mut check);
        Fault::new(check, happens, figures.clone())
    };
    // A second switch set above the relief valve does not act before it.
    let acts =
        |second: &f64| *second <= opens.low * (1.0 + 1e-9) && stall.is_none_or(|stall| *second < stall);
    if let Some(second) = second.filter(acts) {
        let happens = sentence!["the second switch stops the pump at ", bar(second)];
        let advice = sentence!["prove the second switch by hand as often as the relief valve"];
        return Ok(judged(second, rating, 0.0, advice, happens));
    }
    if let Some(stall) = stall.filter(|stall| *stall <= opens.low.min(rating)) {
        let happens = sentence!["the pump runs on until it stalls at ", bar(stall)];
        let advice =
            sentence!["the receiver bears it, but pump and battery run without end: fit a fuse or a timer"];
        return Ok(judged(stall, rating, 0.0, advice, happens));
    }
    let blown = stall.map_or(FULL_LIFT * opens.high, |stall| stall.min(FULL_LIFT * opens.high));
    match relief_passes(rig) {
        Some(capacity) if capacity >= delivery => {
            let happens = sentence![
                "the pump runs on, the relief valve blows; the tank stands at up to ",
                bar(blown),
                " (full lift, 10 % above its setting)"
            ];
            let advice = sentence![
                "the relief valve passes what the pump delivers at ",
                bar(at.pascals()),
                "; `protection.second-switch` would keep it from having to"
            ];
            let mut fault = judged(blown, limit, 0.0, advice, happens);
            if let Some(end) = points_end_below(pump, rating).filter(|_| fault.check.verdict == Verdict::Pass)
            {
                fault.check.verdict = Verdict::NotJudged;
                fault.check.advice = sentence![
                    "the points of `compressor.delivery` end at ",
                    bar(end),
                    ": what the pump delivers above that, and how soon it passes the rating, is not known: find its delivery up to ",
                    at_least_bar(rating),
                    ", or the pressure at which it stalls"
                ];
            }
            Ok(fault)
        }
        Some(_) => {
            let happens = sentence!["the pump runs on and outruns the relief valve"];
            // A relief valve that does not pass the delivery earns no overshoot above the rating.
            let advice = sentence![
                "the pump stalls within the rating of the receiver; fit a relief valve that passes its delivery all the same"
            ];
            let mut fault = judged(stall.unwrap_or(f64::INFINITY), rating, 0.0, advice, happens);
            // Where it ends is not known: a fail without a figure.
            fault.check.value = stall;
            Ok(fault)
        }
        None if blown > limit * (1.0 + 1e-9) => {
            let happens = sentence!["the pump runs on; the relief valve lets the tank come to ", bar(blown)];
            Ok(judged(blown, limit, 0.0, Sentence::default(), happens))
        }
        None => {
            let happens =
                sentence!["the pump runs on until the relief valve blows at ", bar(relief.pascals())];
            let advice = joined([
                sentence![
                    "find what the relief valve passes (`tank.relief-capacity`): the pump delivers ",
                    (delivery.value, Dimension::MassFlow)
                ],
                as_free_air(delivery.value),
                sentence![" at ", bar(at.pascals())],
            ]);
            let mut fault = plain(ID, Verdict::NotJudged, Dimension::Pressure, happens, advice);
            fault.figures = figures;
            Ok(fault)
        }
    }
}

/// Holds the inlet of the regulator to a pressure of the tank.
fn inlet_under(case: &Case<'_>, compressor: &Compressor, pressure: f64, check: &mut Check) {
    let rig = case.rig;
    let Some(inlet) = rig.regulator.max_inlet else {
        if check.verdict == Verdict::Pass {
            check.verdict = Verdict::NotJudged;
            check.advice = sentence![
                "find the highest inlet pressure of the regulator, `regulator.max-inlet`: it sees ",
                bar(pressure)
            ];
        }
        return;
    };
    let inlet = ends(rig, "regulator.max-inlet", inlet).low;
    if pressure > inlet * (1.0 + 1e-9) && check.verdict != Verdict::Fail {
        check.verdict = Verdict::Fail;
        check.limit = Some(inlet);
        check.margin = Some((inlet - pressure) / inlet);
        check.advice = sentence![
            "the regulator is not made for that at its inlet: take one made for ",
            at_least_bar(pressure + rig.tolerance("regulator.max-inlet"))
        ];
        if let Some(second) = second_switch_below(rig, compressor, inlet) {
            check.advice.0.extend(
                sentence![
                    ", or a second switch (`protection.second-switch`) set at ",
                    at_most_bar(second),
                    " or lower"
                ]
                .0,
            );
        }
    }
}

/// Lowest pressure at which a second switch leaves room above cut-out.
fn second_switch_from(rig: &Rig, compressor: &Compressor) -> f64 {
    let cut_out = ends(rig, "compressor.cut-out", compressor.cut_out).high;
    cut_out / (1.0 - CAUTION_MARGIN) + spread(rig, "protection.second-switch")
}

/// Highest setting of a second switch that acts before the relief valve opens and keeps the tank at or below a
/// limit; none if that leaves no room above cut-out.
fn second_switch_below(rig: &Rig, compressor: &Compressor, limit: f64) -> Option<f64> {
    let opens = rig.tank.relief.map_or(limit, |relief| ends(rig, "tank.relief", relief).low);
    let at = opens.min(limit) - spread(rig, "protection.second-switch");
    // Rounded down to 0.01 bar it must still leave that room.
    (at - 1e3 >= second_switch_from(rig, compressor)).then_some(at)
}

/// What a second switch needs that nothing else leaves room for: a relief valve set higher, if the rating of the
/// receiver allows it, else a lower cut-out.
fn room_for_second_switch(rig: &Rig, compressor: &Compressor, rating: f64) -> Sentence {
    let (valve, switch) = (spread(rig, "tank.relief"), spread(rig, "protection.second-switch"));
    let above_cut_out = RELIEF_ABOVE_CUT_OUT * ends(rig, "compressor.cut-out", compressor.cut_out).high;
    // With the band of caution of the order of the pressures, and 0.01 bar for rounding.
    let opens =
        (above_cut_out / (1.0 - CAUTION_MARGIN)).max(second_switch_from(rig, compressor) + switch + 2e3);
    let highest = rating - 2.0 * valve;
    if opens <= highest {
        return sentence![
            "; a second switch has no room between cut-out and the relief valve: set `tank.relief` to ",
            at_least_bar(opens + valve),
            " first, then `protection.second-switch` to ",
            at_most_bar(opens - switch),
            ", to guard against both at once"
        ];
    }
    let opens = rig.tank.relief.map_or(highest, |relief| ends(rig, "tank.relief", relief).low).min(rating);
    let cut_out = (1.0 - CAUTION_MARGIN) * (opens / RELIEF_ABOVE_CUT_OUT).min(opens - 2.0 * switch - 2e3)
        - spread(rig, "compressor.cut-out");
    sentence![
        "; a second switch has no room between cut-out and the relief valve: lower `compressor.cut-out` to ",
        at_most_bar(cut_out),
        " first, then set `protection.second-switch` to ",
        at_most_bar(opens - switch),
        ", to guard against both at once"
    ]
}

/// Nothing happens while the switch works, and so nobody notices.
fn relief_stuck_shut(case: &Case<'_>, compressor: &Compressor, pump: &Pump<'_>) -> Result<Fault> {
    const ID: &str = "relief valve stuck shut";
    let rig = case.rig;
    let rating = ends(rig, "tank.rating", rig.tank.rating).low;
    let cut_out = ends(rig, "compressor.cut-out", compressor.cut_out).high;
    let happens = sentence!["nothing, while the switch stops the pump at ", bar(cut_out), "; nobody notices"];
    let mut check = at_most(ID, cut_out, rating, Dimension::Pressure, Sentence::default());
    let second =
        rig.protection.second_switch.map(|second| ends(rig, "protection.second-switch", second).high);
    let ends_low = (stall_is_known(pump) && pump.stall().pascals() <= rating)
        || second.is_some_and(|second| second <= rating);
    let over = climb(case, compressor, pump, rating)?;
    check.advice = match (check.verdict, ends_low) {
        (Verdict::Fail, _) => sentence![
            "the switch alone lets the receiver above its rating: lower `compressor.cut-out` to ",
            at_most_bar(rating - spread(rig, "compressor.cut-out"))
        ],
        (_, true) => {
            sentence!["even then the tank stays within its rating; prove the relief valve once a month"]
        }
        (_, false) => joined([
            sentence!["only a test shows it: lift its ring once a month under pressure"],
            match second_switch_below(rig, compressor, rating) {
                Some(at) => sentence![
                    "; a second switch (`protection.second-switch`) set at ",
                    at_most_bar(at),
                    " or lower guards against both at once"
                ],
                None => room_for_second_switch(rig, compressor, rating),
            },
            match points_end_below(pump, rating) {
                Some(end) => sentence![
                    "; how soon both at once pass the rating is not known, as `compressor.delivery` ends at ",
                    bar(end)
                ],
                None => sentence![],
            },
        ]),
    };
    if check.verdict == Verdict::Pass && !ends_low {
        check.verdict = Verdict::Caution;
    }
    let name = "from cut-out to the receiver's rating, should the switch stick as well";
    let figures = over.map(|time| figure(name, time, Dimension::Time)).into_iter().collect();
    Ok(Fault::new(check, happens, figures))
}

/// No pump can raise a bottle above its filling, but whoever fills it can, and so can heat.
fn bottle_relief_stuck_shut(case: &Case<'_>, filled_to: GaugePressure) -> Fault {
    let rig = case.rig;
    let rating = ends(rig, "tank.rating", rig.tank.rating).low;
    let filled = ends(rig, "tank.filled-to", filled_to).high;
    let happens = sentence![
        "nothing, while nobody fills the bottle above ",
        bar(filled),
        " or leaves it in heat; nobody notices"
    ];
    let mut check =
        at_most("relief valve stuck shut", filled, rating, Dimension::Pressure, Sentence::default());
    check.advice = if check.verdict == Verdict::Fail {
        sentence![
            "the bottle is filled above its rating: fill it to ",
            at_most_bar(rating - spread(rig, "tank.filled-to")),
            " at the highest"
        ]
    } else {
        check.verdict = Verdict::Caution;
        sentence![
            "only a test shows it: have the valve tested whenever the bottle is; never fill it in haste or without a gauge, and keep it out of the sun"
        ]
    };
    Fault::new(check, happens, Vec::new())
}

/// Nothing happens while the regulator works, and so nobody notices: what it takes away is the guard against the
/// next fault. A pass only where the parts after it are known to bear the full tank.
fn line_relief_stuck_shut(case: &Case<'_>) -> Fault {
    let rig = case.rig;
    let tank = full(rig).high;
    let cylinders = ends(rig, "cylinders.rating", rig.cylinders.rating).low;
    let line = rig.line.rating.map(|rating| ends(rig, "line.rating", rating).low);
    let bear = line.is_some_and(|line| tank <= line.min(cylinders) * (1.0 + 1e-9));
    let (verdict, advice) = if bear {
        (
            Verdict::Pass,
            sentence![
                "line and cylinders are rated for the full tank, ",
                bar(tank),
                "; prove the relief valve once a month all the same: it also lets out what a load or the sun presses up"
            ],
        )
    } else if matches!(rig.source, AirSource::Bottle { .. }) {
        // No part for the use after a regulator is made for the pressure of a bottle.
        (
            Verdict::Caution,
            sentence![
                "only a test shows it: lift its ring once a month under pressure; should the regulator stick open, nothing but this valve stands between the ",
                bar(tank),
                " of the bottle and the parts after it"
            ],
        )
    } else {
        (
            Verdict::Caution,
            sentence![
                "only a test shows it: lift its ring once a month under pressure; parts rated ",
                at_least_bar(tank),
                " (`line.rating`, `cylinders.rating`) bear the full tank without it"
            ],
        )
    };
    plain(
        "line relief stuck shut",
        verdict,
        Dimension::Pressure,
        sentence![
            "nothing, while the regulator works; nobody notices that from then on nothing bounds the pressure after the regulator, should it creep or a load or heat press it up"
        ],
        advice,
    )
}

fn check_valve_leaks(case: &Case<'_>) -> Fault {
    const ID: &str = "check valve leaks back";
    let rig = case.rig;
    let sinks = rig.cycle.end_pressure == EndPressure::SetPoint && !held_without_air(case);
    let (verdict, happens, advice) = if rig.protection.second_check {
        (
            Verdict::Pass,
            sentence!["the second check valve keeps the air of the tank"],
            sentence!["listen at the pump's intake now and then: a hiss tells that the first one leaks"],
        )
    } else if sinks {
        (
            Verdict::Caution,
            sentence![
                "the tank empties through the pump; with the raise valve held open the air of the cylinders may follow it, and the load sinks"
            ],
            sentence![
                "fit a second check valve (`protection.second-check`), and time the fall of the full tank with the pump off"
            ],
        )
    } else {
        (
            Verdict::Caution,
            sentence!["the tank empties through the pump, which then starts against pressure"],
            sentence![
                "fit a second check valve (`protection.second-check`), and time the fall of the full tank with the pump off"
            ],
        )
    };
    let mut fault = plain(ID, verdict, Dimension::Pressure, happens, advice);
    if !rig.protection.second_check {
        // The tank ends at the pressure of the site.
        fault.check.value = Some(0.0);
        let lost = case.answers.strokes.from_cut_out.slow.full_pressure;
        fault.figures.push(figure("strokes lost with the full tank", f64::from(lost), Dimension::Number));
    }
    fault
}
