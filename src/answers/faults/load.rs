//! The load is not what it was, or fewer cylinders bear it.

use uom::si::f64::{Energy, Force, Length, Mass};

use super::{Case, Fault, Figure, figure, plain};
use crate::Result;
use crate::answers::check::sentence;
use crate::answers::checks::{at_least_bar, at_most, bar, ends};
use crate::answers::lift::at_least_open;
use crate::answers::structure::structure;
use crate::answers::{Check, Piece, Sentence, Verdict};
use crate::rig::{Lock, PinForce, Rig, Support, TubeLoad, WeldJoint};
use crate::sizing::cylinder_force::{Cylinders, piston_area};
use crate::sizing::linkage::Travel;
use crate::sizing::travel::Load;
use crate::units::{Dimension, pressure::pascals};

/// By how much the load is above plan.
pub(in crate::answers) const OVERLOAD: f64 = 1.25;

/// Steps of the travel over which a leap is summed.
const LEAP_STEPS: u32 = 200;

pub(super) fn faults(case: &Case<'_>, faults: &mut Vec<Fault>) -> Result<()> {
    if case.rig.cylinders.count > 1 {
        faults.push(cylinder_lost(case)?);
    }
    faults.push(load_lost(case)?);
    faults.push(overload(case)?);
    Ok(())
}

/// The load at the heavy end of what is stated, times a factor.
pub(in crate::answers) fn heavy(rig: &Rig, factor: f64) -> Load {
    let load = rig.load;
    let kilograms = load.mass.value + rig.tolerance("load.mass");
    Load { mass: Mass { value: kilograms * factor, ..load.mass }, ..load }
}

/// Lowest pressure that moves the load, in Pa: set point and droop at their unfavourable ends.
pub(in crate::answers) fn least_moving(rig: &Rig) -> f64 {
    let regulator = &rig.regulator;
    let set = ends(rig, "regulator.set", regulator.set).low;
    let droop = regulator.droop.value + rig.tolerance("regulator.droop");
    (set - droop).max(1.0)
}

/// Force of the return spring that is lost with one cylinder.
pub(in crate::answers) fn lost_spring(rig: &Rig, travel: Length) -> Force {
    rig.cylinders.spring_force(travel) / f64::from(rig.cylinders.count)
}

/// A rod or pin breaks: the others bear the load, at `N/(N - 1)` times the pressure.
fn cylinder_lost(case: &Case<'_>) -> Result<Fault> {
    const ID: &str = "one cylinder lost";
    let rig = case.rig;
    let left = rig.cylinders.count - 1;
    let load = heavy(case.rig, 1.0);
    let worst = case.rig.travel_of(&load)?.worst();
    let others = Cylinders { count: left, ..rig.cylinders };
    let force = worst.force - lost_spring(rig, worst.travel);
    let need = others.needed_pressure(force);
    let borne = others.load_pressure(force);
    let there = least_moving(case.rig);
    let mut check = at_most(ID, need.pascals(), there, Dimension::Pressure, Sentence::default());
    let happens = if check.verdict == Verdict::Fail {
        sentence![
            "the others would need ",
            bar(need.pascals()),
            " to raise and ",
            bar(borne.pascals()),
            " to hold: the load tilts, and sinks if they do not hold it"
        ]
    } else {
        sentence![
            "the others bear the load at ",
            bar(need.pascals()),
            "; it tilts as far as its guides let it"
        ]
    };
    check.advice = match (check.verdict, rig.protection.support) {
        (Verdict::Fail, Support::Latch) => {
            // On the way down the latch is out.
            check.verdict = Verdict::Caution;
            check.margin = None;
            sentence![
                "the latch must be in to hold the load, at both sides; it is out on the way down: nobody within its reach then"
            ]
        }
        (Verdict::Fail, Support::Pin) => {
            check.verdict = Verdict::Caution;
            check.margin = None;
            sentence!["the pin holds the load once it is set; nobody within its reach until then"]
        }
        (Verdict::Fail, Support::None) => {
            sentence![MORE_CYLINDERS, ", or hold the load by a latch (`protection.support`)"]
        }
        _ => {
            // No field says how the platform is guided.
            check.verdict = Verdict::Caution;
            sentence!["guide the platform so that it cannot jam or tip when one side is dead"]
        }
    };
    let mut figures = vec![figure("pressure that holds it", borne.pascals(), Dimension::Pressure)];
    figures.extend(others_bear(case, borne.pascals(), &mut check));
    Ok(Fault::new(check, happens, figures))
}

const MORE_CYLINDERS: &str = "take a larger bore or more cylinders until the others do it alone";

/// Holds the cylinders that are left, their hose and their rods to the pressure at which they bear the load. The
/// valves shut that air in, so that no relief valve in the line bounds it.
fn others_bear(case: &Case<'_>, pressure: f64, check: &mut Check) -> Option<Figure> {
    let rig = case.rig;
    let cylinders = ends(rig, "cylinders.rating", rig.cylinders.rating).low;
    // A lock keeps that air out of the line.
    let line = rig.line.rating.filter(|_| rig.protection.lock == Lock::None);
    let line = line.map_or(f64::INFINITY, |rating| ends(rig, "line.rating", rating).low);
    let (weakest, field) =
        if line < cylinders { (line, "line.rating") } else { (cylinders, "cylinders.rating") };
    let fails = |check: &mut Check, limit: f64, advice: Sentence| {
        check.verdict = Verdict::Fail;
        check.value = Some(pressure);
        check.limit = Some(limit);
        check.margin = Some((limit - pressure) / limit);
        check.advice = advice;
    };
    if pressure > weakest * (1.0 + 1e-9) {
        let advice = sentence![
            "the cylinders that are left and their hoses then stand above their rating: fit parts rated ",
            at_least_bar(pressure + rig.tolerance(field)),
            " (`",
            field,
            "`), or ",
            MORE_CYLINDERS
        ];
        fails(check, weakest, advice);
    }
    let Some(rod) = &case.answers.structure.rod else {
        check.advice.0.extend(
            sentence![
                "; whether the rods that are left bear it is not known: enter `cylinders.closed-length`"
            ]
            .0,
        );
        return None;
    };
    let area = piston_area(rig.cylinders.bore);
    let safety = (rod.critical.force / (area * pascals(pressure))).value;
    let limit = rig.limits.column_safety.value;
    if safety < limit * (1.0 - 1e-9) && check.verdict != Verdict::Fail {
        let bears = rod.critical.force.value / (limit * area.value);
        let advice = sentence!["the rods that are left may buckle: take thicker rods, or ", MORE_CYLINDERS];
        fails(check, bears, advice);
    }
    Some(figure("safety of the rods that are left against buckling", safety, Dimension::Number))
}

/// The load goes off the platform where it is held, short of the end of the stroke.
fn load_lost(case: &Case<'_>) -> Result<Fault> {
    let (rig, lift) = (case.rig, &case.answers.lift);
    let left = case.travel.end() - lift.stroke_used;
    if left.value <= 1e-6 {
        let energy = leap_without_load(rig, 0.5 * case.travel.end())?;
        let happens =
            sentence!["the pistons rest on their stops and nothing moves; half way up it would leap"];
        let mut fault = leaps(
            rig,
            energy,
            happens,
            sentence!["keep the load tied to the platform all the way up and down"],
        );
        fault.figures.push(figure(HALF_WAY, energy.value, Dimension::Energy));
        return Ok(fault);
    }
    let empty = Load { mass: Mass::default(), ..rig.load };
    let travel = case.rig.travel_of(&empty)?;
    let full = heavy(case.rig, 1.0);
    let pressure = at_least_open(case.rig.travel_of(&full)?.needed_pressure(lift.stroke_used));
    let push = rig.cylinders.cap_area() * pressure.above_atmosphere();
    let spare = push - travel.force(lift.stroke_used);
    let energy = leap_without_load(rig, lift.stroke_used)?;
    let height = case.travel.height(case.travel.end()) - case.travel.height(lift.stroke_used);
    let happens = sentence![
        "what is left leaps up by ",
        (height.value, Dimension::Length),
        ", pushed with ",
        (spare.value.max(0.0), Dimension::Force)
    ];
    let advice = if rig.limits.stop_energy.is_some() {
        sentence!["tie the load to the platform, or end its way on the stops of the cylinders"]
    } else {
        sentence![
            "find what the end stops take at each blow and enter `limits.stop-energy`: at most ",
            (energy.value, Dimension::Energy),
            " comes"
        ]
    };
    let mut fault = leaps(rig, energy, happens, advice);
    fault.figures.push(figure("blow at the stop, at most", energy.value, Dimension::Energy));
    if rig.load.moving.value > 0.0 {
        let speed = (2.0 * energy / rig.load.moving).sqrt();
        fault.figures.push(figure("speed at the stop, at most", speed.value, Dimension::Speed));
    }
    Ok(fault)
}

/// The leap of a platform whose load goes off, held to what its stops take.
fn leaps(rig: &Rig, energy: Energy, happens: Sentence, advice: Sentence) -> Fault {
    const ID: &str = "load lost while raised";
    let Some(limit) = rig.limits.stop_energy else {
        // It leaps whatever the stops take.
        let verdict = if energy.value > 0.0 { Verdict::Caution } else { Verdict::NotJudged };
        return plain(ID, verdict, Dimension::Energy, happens, advice);
    };
    let mut check = at_most(ID, energy.value, limit.value, Dimension::Energy, advice);
    match check.verdict {
        Verdict::Fail => check.advice.0.extend(
            sentence![
                "; or fit stops that take ",
                Piece::AtLeast(energy.value, Dimension::Energy),
                " (`limits.stop-energy`)"
            ]
            .0,
        ),
        // The stops take it; who stands over the platform does not.
        Verdict::Pass if energy.value > 0.0 => check.verdict = Verdict::Caution,
        _ => {}
    }
    Fault::new(check, happens, Vec::new())
}

/// Name of the figure for a load that goes off half way up.
pub(in crate::answers) const HALF_WAY: &str = "blow at the upper stop if it goes half way up, at most";

/// Energy with which the empty platform meets its stop if the load goes off at a travel.
fn leap_without_load(rig: &Rig, from: Length) -> Result<Energy> {
    let empty = Load { mass: Mass::default(), ..rig.load };
    let pressure = at_least_open(rig.travel_of(&heavy(rig, 1.0))?.needed_pressure(from));
    let push = rig.cylinders.cap_area() * pressure.above_atmosphere();
    Ok(leap(&rig.travel_of(&empty)?, push, from).max(Energy::default()))
}

/// Energy that a push gains on a load from a travel to the end: the air is taken to keep its pressure, which
/// in truth falls.
pub(super) fn leap(travel: &Travel<'_>, push: Force, from: Length) -> Energy {
    let step = (travel.end() - from) / f64::from(LEAP_STEPS);
    let spare = |index: u32| push - travel.force(from + step * f64::from(index));
    (0..LEAP_STEPS).fold(Energy::default(), |sum, index| sum + 0.5 * (spare(index) + spare(index + 1)) * step)
}

/// More on the platform than was planned.
fn overload(case: &Case<'_>) -> Result<Fault> {
    const ID: &str = "load 25 % above plan";
    let rig = case.rig;
    let load = heavy(case.rig, OVERLOAD);
    let worst = case.rig.travel_of(&load)?.worst();
    let there = least_moving(case.rig);
    let need = worst.needed_pressure.pascals();
    let rises = need <= there * (1.0 + 1e-9);
    // What bears the load cannot be loaded by more than the overload, whether or not it rises.
    let strained = strained(&scaled(&Rig { load, ..rig.clone() }, OVERLOAD), worst.force)?;
    let mut check = at_most(ID, need, there, Dimension::Pressure, Sentence::default());
    let happens = if rises {
        sentence!["it still rises, at ", bar(need)]
    } else {
        sentence!["it stops on the way or does not leave the ground: it would need ", bar(need)]
    };
    if !rises {
        // The regulator is the limit: the rig just does not lift.
        check.verdict = Verdict::Caution;
    }
    check.advice = match strained {
        Strained::GivesWay(part, does) => {
            check.verdict = Verdict::Fail;
            sentence![part, does, ": make it stronger or steadier, and mark the rig with its load"]
        }
        Strained::BeyondLimit(part) => {
            check.verdict = Verdict::Caution;
            sentence![part, " is beyond its limit then: make it stronger, or mark the rig with its load"]
        }
        Strained::NotKnown(why) => {
            if rises {
                check.verdict = Verdict::NotJudged;
            }
            sentence!["what the frame does is not judged: ", why, "; mark the rig with its load"]
        }
        Strained::No if rises => sentence!["mark the rig with the load it is made for"],
        Strained::No => sentence!["mark the rig with its load"],
    };
    if !rises {
        check.advice.0.extend(
            sentence![
                "; never raise the set point to get it up: ",
                at_least_bar(need + rig.regulator.droop.value),
                " would be needed, which the parts and the frame must bear"
            ]
            .0,
        );
    }
    let figures = vec![figure("force of all cylinders", worst.force.value, Dimension::Force)];
    Ok(Fault::new(check, happens, figures))
}

/// A rig with the forces that its builder gives for pins and welds times a factor: how much of them is the load is
/// not known, so that all of it counts.
pub(super) fn scaled(rig: &Rig, factor: f64) -> Rig {
    let mut rig = rig.clone();
    for pin in &mut rig.pins {
        if let PinForce::Given(force) = &mut pin.force {
            *force *= factor;
        }
    }
    for weld in &mut rig.welds {
        match &mut weld.joint {
            WeldJoint::Fillet { force, .. } | WeldJoint::Tube { load: TubeLoad::Force { force, .. }, .. } => {
                *force *= factor;
            }
            WeldJoint::Tube { .. } => {}
        }
    }
    rig
}

/// What a load does to what bears it, the worst part first.
pub(super) enum Strained {
    /// A part, and how it gives way.
    GivesWay(String, &'static str),
    /// A part that is beyond its ordinary limit.
    BeyondLimit(String),
    /// What is missing.
    NotKnown(&'static str),
    /// Nothing of note.
    No,
}

/// Rods, links, frame, joints and stand of a rig; `force` is the greatest of all cylinders.
pub(super) fn strained(rig: &Rig, force: Force) -> Result<Strained> {
    let limits = &rig.limits;
    let travel = rig.travel()?;
    let bears = structure(rig, &travel, force)?;
    // Each part with what it carries over what it could, its ordinary limit of that, and how it gives way.
    let mut parts: Vec<(String, f64, f64, &'static str)> = Vec::new();
    let for_good = " may bend for good";
    for beam in &bears.beams {
        let name = format!("the beam `{}`", beam.name);
        parts.push((name, beam.yield_ratio.value, limits.yield_ratio.value, for_good));
    }
    for pin in &bears.pins {
        let name = format!("the pin `{}` or its plates", pin.name);
        parts.push((name, pin.ratio.value, limits.yield_ratio.value, for_good));
    }
    for weld in &bears.welds {
        if let Some((_, ratio)) = weld.strength {
            parts.push((format!("the weld `{}`", weld.name), ratio.value, 1.0, " may tear"));
        }
    }
    let slender = 1.0 / limits.column_safety.value;
    if let Some(links) = &bears.links {
        parts.push(("the link".to_owned(), 1.0 / links.safety.value, slender, " may bow out"));
    }
    if let Some(rod) = &bears.rod {
        // No rod pushes with more than its air gives it.
        let push = (force / f64::from(rig.cylinders.count)).min(rod.push_at_set);
        let name = "the rod of a cylinder".to_owned();
        parts.push((name, (push / rod.critical.force).value, slender, " may bow out"));
    }
    if let Some(factor) = bears.stand.and_then(|stand| stand.stability.factor) {
        let share = 1.0 / factor.value;
        // A rig that is over already has a factor below zero.
        let share = if share < 0.0 { f64::INFINITY } else { share };
        parts.push(("the rig".to_owned(), share, 1.0 / limits.stability.value, " tips over"));
    }
    let beyond = |share: f64, limit: f64| share.is_nan() || share > limit * (1.0 + 1e-9);
    if let Some((name, .., does)) = parts.iter().find(|part| beyond(part.1, 1.0)) {
        return Ok(Strained::GivesWay(name.clone(), does));
    }
    if let Some((name, ..)) = parts.iter().find(|part| beyond(part.1, part.2)) {
        return Ok(Strained::BeyondLimit(name.clone()));
    }
    Ok(if bears.beams.is_empty() {
        Strained::NotKnown("describe the beams that carry the load, one [[frame]] each")
    } else if bears.beams.iter().any(|beam| beam.thin_wall.is_some()) {
        Strained::NotKnown("a thin wall may buckle before it yields")
    } else if bears.welds.iter().any(|weld| weld.strength.is_none()) {
        Strained::NotKnown("no rule at hand gives the strength of a weld in this metal")
    } else if bears.links.is_none() && !bears.struts.is_empty() {
        Strained::NotKnown("say what the links are made of, `linkage.arm-section` and `linkage.arm-steel`")
    } else if bears.rod.is_none() {
        Strained::NotKnown("measure the closed cylinder from pin to pin, `cylinders.closed-length`")
    } else if bears.stand.is_none() {
        Strained::NotKnown("describe what the rig stands on, [base]")
    } else {
        Strained::No
    })
}
