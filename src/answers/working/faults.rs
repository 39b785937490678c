//! What one fault leads to: the numbers behind each.

use std::borrow::Cow;

use uom::si::f64::{Energy, Force, Length, MassRate, Velocity, Volume};
use uom::si::velocity::meter_per_second;

use super::amount::Amount;
use super::{Bench, Step};
use crate::Result;
use crate::air::flow::Restriction;
use crate::air::flow::series::Line;
use crate::air::gas::{GAS_CONSTANT_J_PER_KG_K, Isotherm, compressibility};
use crate::answers::checks::{crept_set, ends, full, spread};
use crate::answers::faults::{
    COLD_K, HALF_WAY, OVERLOAD as OVERLOAD_FACTOR, heavy, least_moving, lost_spring, speed_by_push, strongest,
};
use crate::answers::lift::at_least_open;
use crate::answers::stuck_open::{LineRelief, stuck_open};
use crate::answers::times::{
    STEPS, chamber, heaviest, hose_restriction, moving_mass, open_end, port_throttle, return_push,
    sinking_path,
};
use crate::answers::{Answers, Fault, Hazards};
use crate::formulas::{
    COLD_TANK, CYLINDER_LOST, FALLING_LOAD, LOAD_LOST, OVERLOAD, RISING_PLATFORM, ROD_COLUMN, STOP_ENERGY,
    STORED_ENERGY, STUCK_REGULATOR, STUCK_SWITCH, THRUST, TOLERANCES, TORN_HOSE, VALVE_FLOW,
};
use crate::rig::{AirSource, Rig};
use crate::sizing::compressor_fill_time::Pump;
use crate::sizing::cylinder_force::{Action, Cylinders, piston_area};
use crate::sizing::linkage::Travel;
use crate::sizing::piston_path::TravelPoint;
use crate::sizing::regulator_flow::{Droop, RegulatorFlow};
use crate::sizing::travel::Load;
use crate::units::{AbsolutePressure, Dimension, GaugePressure, pressure::pascals};

/// Halvings of a search for a flow: far below what seven digits show.
const HALVINGS: u32 = 60;

/// The working of every figure that a single fault is judged by, in the order in which `faults` lists them. A fault
/// without a figure, or whose data are missing, has no step.
///
/// # Errors
/// [`Error::OutOfRange`](crate::Error::OutOfRange) as [`hazards`](crate::answers::hazards).
pub fn fault_working(rig: &Rig, answers: &Answers, hazards: &Hazards) -> Result<Vec<Step>> {
    let bench = Bench { rig, answers, air: Isotherm::new(rig.site.temperature)? };
    let mut steps = Vec::with_capacity(64);
    for fault in &hazards.faults {
        bench.fault(fault, &mut steps)?;
    }
    for store in &hazards.stores {
        let energy = |figure: &'static str, energy: Energy| {
            Step::new(format!("{figure}, {}", store.part), &STORED_ENERGY, energy)
                .with("p", store.pressure)
                .with("p_atm", rig.site.atmosphere)
                .with("V", store.volume)
        };
        steps.push(energy("stored energy", store.isentropic));
        steps.push(energy("stored energy by the pressure-test formula", store.pressure_test));
    }
    Ok(steps)
}

/// Where the pistons are fastest.
#[derive(Debug, Clone, Copy)]
struct Place {
    travel: Length,
    /// Absolute, in Pa.
    pressure: f64,
    /// Rise of the pressure along a step of travel there, in Pa.
    rise: f64,
    step: Length,
    /// In kg/s.
    flow: f64,
    /// Of the load, in m/s.
    speed: f64,
}

/// How the speed of the pistons follows from the air.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Motion {
    /// The pressure changes along the way, and air is spent on that too.
    Along,
    /// As if the pressure stayed: an open hose.
    Steady,
}

impl Bench<'_> {
    fn fault(&self, fault: &Fault, steps: &mut Vec<Step>) -> Result<()> {
        match fault.check.id.as_ref() {
            "regulator stuck open" => self.regulator_stuck_open(fault, steps)?,
            "raise valve stuck open" => self.rise(fault, None, steps)?,
            "pressure switch stuck closed" => self.switch_stuck_closed(fault, steps)?,
            "relief valve stuck shut" => {
                let (name, field, full) = match &self.rig.source {
                    AirSource::Compressor(compressor) => {
                        ("cut-out at the high end", "compressor.cut-out", compressor.cut_out)
                    }
                    AirSource::Bottle { filled_to } => {
                        ("filling at the high end", "tank.filled-to", *filled_to)
                    }
                };
                steps.extend(
                    judged(fault, &TOLERANCES, name)
                        .map(|step| step.with("x", full).with("w", pascals(spread(self.rig, field)))),
                );
            }
            // A raise valve that stays open without power.
            "electric power lost" if figure(fault, "blow at the upper stop, at most").is_some() => {
                self.rise(fault, None, steps)?;
            }
            "lower valve stuck open" | "electric power lost" => {
                let valve = self.rig.line.lower.map(|valve| ("lower valve", valve));
                self.fall(fault, true, valve, Motion::Along, steps)?;
            }
            "hose off at the valve" => {
                let end = match (self.rig.line.hose, hose_restriction(self.rig)) {
                    (Some(hose), None) => Some(("open end", open_end(hose.bore)?)),
                    _ => None,
                };
                self.fall(fault, true, end, Motion::Steady, steps)?;
            }
            "hose off at the cylinders" => {
                let end = self.rig.line.hose.map(|hose| open_end(hose.bore)).transpose()?;
                let end = end.map(|end| ("open end", end));
                self.fall(fault, false, end, Motion::Steady, steps)?;
            }
            "torn hose whips" => {
                if let Some(hose) = self.rig.line.hose {
                    let inside = GaugePressure::new(pascals(crept_set(self.rig)))
                        .to_absolute(self.rig.site.atmosphere)?;
                    steps.extend(judged(fault, &TORN_HOSE, "push of the jet").map(|step| {
                        step.with("A_hose", piston_area(hose.bore))
                            .with("p_1", inside)
                            .with("p_atm", self.rig.site.atmosphere)
                    }));
                }
            }
            "one cylinder lost" => self.cylinder_lost(fault, steps)?,
            "load 25 % above plan" => self.overload(fault, steps)?,
            "load lost while raised" => self.load_lost(fault, steps)?,
            "tank gone cold" => self.cold_tank(fault, steps)?,
            "air left after all off" => self.air_left(fault, steps),
            _ => {}
        }
        Ok(())
    }

    fn regulator_stuck_open(&self, fault: &Fault, steps: &mut Vec<Step>) -> Result<()> {
        let (rig, stuck) = (self.rig, stuck_open(self.rig)?);
        let id = &fault.check.id;
        let step = Step::new(format!("{id}: pressure after it, p_blow"), &STUCK_REGULATOR, stuck.blows);
        steps.push(self.stuck_inputs(step, stuck.relief != LineRelief::Outrun));
        if let (Some(seat), Some(relief)) = (rig.protection.regulator_seat, rig.line.relief) {
            let after = GaugePressure::new(pascals(ends(rig, "line.relief", relief).low.max(0.0)));
            let before = GaugePressure::new(pascals(full(rig).high));
            let (before, after) =
                (before.to_absolute(rig.site.atmosphere)?, after.to_absolute(rig.site.atmosphere)?);
            let flow = seat.mass_flow(before, after, rig.site.temperature)?;
            steps.push(self.passage(format!("{id}: flow through the open seat"), seat, flow, before, after));
        }
        steps.push(
            Step::new(format!("{id}: push of the cylinders"), &THRUST, rig.cylinders.thrust(stuck.blows))
                .with("N", rig.cylinders.count)
                .with("D", rig.cylinders.bore)
                .with("p_set", stuck.blows),
        );
        if let (Some(rod), Some(safety)) =
            (&self.answers.structure.rod, figure(fault, "safety of the rods against buckling"))
        {
            steps.push(
                Step::new(format!("{id}: safety of the rods"), &ROD_COLUMN, safety)
                    .with("P_crit", rod.critical.force)
                    .with("D", rig.cylinders.bore)
                    .with("p", stuck.blows),
            );
        }
        self.rise(fault, Some(stuck.blows), steps)
    }

    fn switch_stuck_closed(&self, fault: &Fault, steps: &mut Vec<Step>) -> Result<()> {
        let rig = self.rig;
        let (AirSource::Compressor(compressor), Some(relief)) = (&rig.source, rig.tank.relief) else {
            return Ok(());
        };
        let compressor = &strongest(rig, compressor);
        let pump = Pump::new(compressor, &self.air, rig.site.atmosphere)?;
        let second = rig
            .protection
            .second_switch
            .map(|second| GaugePressure::new(pascals(ends(rig, "protection.second-switch", second).high)));
        let zero = GaugePressure::new(pascals(0.0));
        let stalls = pump.mass_rate(pump.stall()).value <= 1e-9 * pump.mass_rate(zero).value;
        steps.extend(judged(fault, &STUCK_SWITCH, "pressure in the end").map(|step| {
            step.with_some("p_stall", stalls.then(|| pump.stall()))
                .with_some("p_second", second)
                .with("p_relief", relief)
                .with("w", pascals(spread(rig, "tank.relief")))
        }));
        Ok(())
    }

    /// A fall: the air through each passage, then the speed.
    fn fall(
        &self,
        fault: &Fault,
        through_hose: bool,
        end: Option<(&'static str, Restriction)>,
        motion: Motion,
        steps: &mut Vec<Step>,
    ) -> Result<()> {
        let (Some(judged), true) = (fault.check.value, fault.check.dimension == Dimension::Speed) else {
            return Ok(());
        };
        let load = heaviest(self.rig);
        let travel = &self.rig.travel_of(&load)?;
        let mut way: Vec<(&'static str, Restriction)> = Vec::new();
        way.extend(port_throttle(self.rig)?.map(|throttle| ("throttles in the ports", throttle)));
        if through_hose {
            way.extend(hose_restriction(self.rig).map(|hose| ("hose", hose)));
        }
        way.extend(end);
        let line = Line::new(way.iter().map(|passage| passage.1).collect())?;
        let site = self.rig.site.atmosphere;
        let path = sinking_path(self.rig, travel, self.answers.lift.stroke_used, return_push(self.rig));
        let flow = |pressure: AbsolutePressure| {
            Ok(line.flow(pressure, site, self.rig.site.temperature)?.mass_flow.value)
        };
        let Some(place) = self.fastest(travel, &path, &flow, motion)? else { return Ok(()) };
        let id = &fault.check.id;
        let speed = Velocity::new::<meter_per_second>(judged);
        if place.speed > judged * (1.0 + 1e-6) {
            let push = return_push(self.rig);
            let step = Step::new(format!("{id}: speed of a free fall"), &FALLING_LOAD, speed)
                .with("h", self.answers.lift.height);
            steps.push(if push > Force::default() {
                step.with("F_return", push)
                    .with("x_end", self.answers.lift.stroke_used)
                    .with("m", moving_mass(self.rig.load))
            } else {
                step
            });
        } else {
            self.passages(id, &way, place, AbsolutePressure::new(pascals(place.pressure))?, site, steps)?;
            // Return air may make the load drop faster at first.
            let drops = self.rig.cylinders.action == Action::Double
                && motion == Motion::Along
                && place.speed < judged * (1.0 - 1e-6);
            let (figure, speed) = if drops {
                ("speed of the load once the air bears it", Velocity::new::<meter_per_second>(place.speed))
            } else {
                ("highest speed of the load", speed)
            };
            let step = Step::new(format!("{id}: {figure}"), &FALLING_LOAD, speed);
            steps.push(self.moved(step, travel, place));
        }
        if let Some(energy) = figure(fault, "blow at the end of the fall") {
            steps.push(blow(format!("{id}: blow at the end of the fall"), energy, load, speed));
        }
        Ok(())
    }

    /// A rise, loaded and empty: the air through each passage, then speed and blow.
    fn rise(&self, fault: &Fault, stuck: Option<GaugePressure>, steps: &mut Vec<Step>) -> Result<()> {
        let (rig, id) = (self.rig, &fault.check.id);
        let Some(valve) = rig.line.raise else { return Ok(()) };
        let way: Vec<_> = std::iter::once(("raise valve", valve))
            .chain(hose_restriction(rig).map(|hose| ("hose", hose)))
            .collect();
        let line = Line::new(way.iter().map(|passage| passage.1).collect())?;
        let droop = match (stuck, rig.regulator.rated_flow) {
            (Some(_), _) => Droop::Constant(pascals(0.0)),
            (None, Some(rated)) => Droop::Linear { droop: rig.regulator.droop, rated },
            (None, None) => Droop::Constant(rig.regulator.droop),
        };
        let regulator = RegulatorFlow { set: stuck.unwrap_or(rig.regulator.set), droop, seat: None };
        let (site, temperature) = (rig.site.atmosphere, rig.site.temperature);
        let supply = |flow: f64| regulator.outlet(kilograms(flow), site, temperature);
        // The flow at which what the regulator gives is what the line asks for.
        let flow = |pressure: AbsolutePressure| -> Result<f64> {
            let through = |flow: f64| -> Result<f64> {
                Ok(match supply(flow)? {
                    Some(outlet) if outlet > pressure => {
                        line.flow(outlet, pressure, temperature)?.mass_flow.value
                    }
                    _ => 0.0,
                })
            };
            let (mut low, mut high) = (0.0, through(0.0)?);
            if matches!(droop, Droop::Constant(_)) {
                return Ok(high);
            }
            for _ in 0..HALVINGS {
                let middle = 0.5 * (low + high);
                if through(middle)? > middle { low = middle } else { high = middle }
            }
            Ok(low)
        };
        let empty = Load { mass: rig.load.mass * 0.0, ..rig.load };
        let mut pushed = rig.clone();
        pushed.regulator.set = regulator.set;
        let shown = figure(fault, "speed up at most, loaded or empty");
        for (with, load) in [("loaded", rig.load), ("empty", empty)] {
            if moving_mass(load).value <= 0.0 || shown.is_none() {
                continue;
            }
            let travel = rig.travel_of(&load)?;
            let path: Vec<TravelPoint> = travel
                .needed_along(travel.end(), STEPS)
                .into_iter()
                .map(|point| TravelPoint { travel: point.travel, pressure: at_least_open(point.need) })
                .collect();
            let Some(place) = self.fastest(&travel, &path, &flow, Motion::Along)? else { continue };
            let Some(from) = supply(place.flow)? else { continue };
            let into = AbsolutePressure::new(pascals(place.pressure))?;
            self.passages(&Cow::Owned(format!("{id}, {with}")), &way, place, from, into, steps)?;
            let by_air = Velocity::new::<meter_per_second>(place.speed);
            let by_push = speed_by_push(&pushed, load)?;
            let speed = by_air.min(by_push);
            let step = Step::new(format!("{id}, {with}: highest speed"), &RISING_PLATFORM, speed);
            if by_push < by_air {
                let mass = moving_mass(load);
                let thrust = pushed.cylinders.thrust(pushed.regulator.set);
                steps.push(
                    step.with("F_push", thrust)
                        .with("x_end", travel.end())
                        .with("W", thrust * travel.end() - 0.5 * mass * by_push * by_push)
                        .with("m", mass),
                );
            } else {
                steps.push(self.moved(step, &travel, place));
            }
            let energy = 0.5 * moving_mass(load) * speed * speed;
            steps.push(blow(format!("{id}, {with}: blow at the upper stop"), energy.value, load, speed));
        }
        Ok(())
    }

    /// Where the pistons are fastest along a path whose air comes or goes with `flow`; for an open hose, where the
    /// load is.
    fn fastest(
        &self,
        travel: &Travel<'_>,
        path: &[TravelPoint],
        flow: &dyn Fn(AbsolutePressure) -> Result<f64>,
        motion: Motion,
    ) -> Result<Option<Place>> {
        let chamber = chamber(self.rig);
        let specific_rt = GAS_CONSTANT_J_PER_KG_K * self.rig.site.temperature.value;
        let site = self.rig.site.atmosphere;
        let mut best: Option<(f64, Place)> = None;
        for pair in path.windows(2) {
            let [from, to] = pair else { continue };
            let far = (to.travel - from.travel).value;
            if far <= 0.0 {
                continue;
            }
            for point in [from, to] {
                let gauge = GaugePressure::new(pascals(point.pressure.pascals().max(0.0)));
                if motion == Motion::Steady && gauge.pascals() <= 0.0 {
                    continue;
                }
                let rise = match motion {
                    Motion::Along => to.pressure.pascals().max(0.0) - from.pressure.pascals().max(0.0),
                    Motion::Steady => 0.0,
                };
                let pressure = gauge.to_absolute(site)?;
                let flow = flow(pressure)?;
                let spent =
                    pressure.pascals() * chamber.area.value + self.volume(point.travel).value * rise / far;
                if spent <= 0.0 {
                    continue;
                }
                let piston = flow * specific_rt / spent;
                let speed = piston * travel.linkage().ratio(point.travel).value.abs();
                let ranked = if motion == Motion::Along { piston } else { speed };
                if best.is_none_or(|known| ranked > known.0) {
                    let pressure = pressure.pascals();
                    let step = to.travel - from.travel;
                    best = Some((ranked, Place { travel: point.travel, pressure, rise, step, flow, speed }));
                }
            }
        }
        Ok(best.map(|best| best.1))
    }

    /// Air in cylinders and hoses at a travel.
    fn volume(&self, travel: Length) -> Volume {
        let chamber = chamber(self.rig);
        chamber.area * travel + chamber.dead_volume
    }

    /// The inputs of a speed that air gives.
    fn moved(&self, step: Step, travel: &Travel<'_>, place: Place) -> Step {
        step.with("r", travel.linkage().ratio(place.travel).value.abs())
            .with("q", kilograms(place.flow))
            .with("T", self.rig.site.temperature)
            .with("p", Amount::absolute(place.pressure))
            .with("A", self.rig.cylinders.cap_area())
            .with("V", self.volume(place.travel))
            .with("dp", pascals(place.rise))
            .with("dx", place.step)
    }

    /// One step for each passage on the way, which all pass the same flow.
    fn passages(
        &self,
        id: &str,
        way: &[(&'static str, Restriction)],
        place: Place,
        from: AbsolutePressure,
        to: AbsolutePressure,
        steps: &mut Vec<Step>,
    ) -> Result<()> {
        let line = Line::new(way.iter().map(|passage| passage.1).collect())?;
        let between = line.flow(from, to, self.rig.site.temperature)?.pressures;
        let mut before = from;
        for (index, (name, passage)) in way.iter().enumerate() {
            let after = between.get(index).copied().unwrap_or(to);
            let figure = format!("{id}: air through the {name}");
            steps.push(self.passage(figure, *passage, kilograms(place.flow), before, after));
            before = after;
        }
        Ok(())
    }

    fn passage(
        &self,
        figure: String,
        passage: Restriction,
        flow: MassRate,
        before: AbsolutePressure,
        after: AbsolutePressure,
    ) -> Step {
        Step::new(figure, &VALVE_FLOW, flow)
            .with("C", Amount::conductance(passage.conductance()))
            .with("b", passage.critical_ratio().value)
            .with("p1", before)
            .with("p2", after)
            .with("T", self.rig.site.temperature)
    }

    fn cylinder_lost(&self, fault: &Fault, steps: &mut Vec<Step>) -> Result<()> {
        let (rig, id) = (self.rig, &fault.check.id);
        let worst = rig.travel_of(&heavy(rig, 1.0))?.worst();
        let force: Force = worst.force - lost_spring(rig, worst.travel);
        let others = Cylinders { count: rig.cylinders.count - 1, ..rig.cylinders };
        let load = others.load_pressure(force);
        steps.push(
            Step::new(format!("{id}: pressure with which the others hold it"), &CYLINDER_LOST, load)
                .with("F", force)
                .with("n", rig.cylinders.count)
                .with("A_1", piston_area(rig.cylinders.bore)),
        );
        steps.push(self.needed(
            format!("{id}: pressure that they need"),
            load,
            others.needed_pressure(force),
        ));
        if let (Some(rod), Some(safety)) =
            (&self.answers.structure.rod, figure(fault, "safety of the rods that are left against buckling"))
        {
            steps.push(
                Step::new(format!("{id}: safety of the rods that are left"), &ROD_COLUMN, safety)
                    .with("P_crit", rod.critical.force)
                    .with("D", rig.cylinders.bore)
                    .with("p", load),
            );
        }
        Ok(())
    }

    fn overload(&self, fault: &Fault, steps: &mut Vec<Step>) -> Result<()> {
        let (rig, id) = (self.rig, &fault.check.id);
        let worst = rig.travel_of(&heavy(rig, OVERLOAD_FACTOR))?.worst();
        let load = rig.cylinders.load_pressure(worst.force);
        steps.push(
            Step::new(format!("{id}: load pressure"), &OVERLOAD, load)
                .with("F", worst.force)
                .with("A", rig.cylinders.cap_area()),
        );
        steps.push(self.needed(format!("{id}: pressure needed"), load, worst.needed_pressure));
        let moving = GaugePressure::new(pascals(least_moving(rig)));
        let highest = rig.regulator.set;
        let below = pascals(highest.pascals() - moving.pascals());
        steps.push(
            Step::new(
                format!("{}: set point at its low end less droop at its high end", fault.check.id),
                &TOLERANCES,
                moving,
            )
            .with("x", highest)
            .with("w", below),
        );
        Ok(())
    }

    fn load_lost(&self, fault: &Fault, steps: &mut Vec<Step>) -> Result<()> {
        let rig = self.rig;
        let lost_at = [
            ("blow at the stop, at most", self.answers.lift.stroke_used),
            (HALF_WAY, 0.5 * rig.travel()?.end()),
        ];
        let found = lost_at.into_iter().find_map(|(name, from)| Some((figure(fault, name)?, from)));
        let Some((energy, from)) = found else { return Ok(()) };
        let travel = rig.travel()?;
        let left = travel.end() - from;
        let pressure = at_least_open(rig.travel_of(&heavy(rig, 1.0))?.needed_pressure(from));
        let push = rig.cylinders.cap_area() * pressure.above_atmosphere();
        let mean = push - Energy::new::<uom::si::energy::joule>(energy) / left;
        let id = &fault.check.id;
        steps.push(
            Step::new(
                format!("{id}: blow at the stop"),
                &LOAD_LOST,
                Energy::new::<uom::si::energy::joule>(energy),
            )
            .with("p_end", pressure)
            .with("A", rig.cylinders.cap_area())
            .with("F_mean", mean)
            .with("x_left", left),
        );
        Ok(())
    }

    fn cold_tank(&self, fault: &Fault, steps: &mut Vec<Step>) -> Result<()> {
        let rig = self.rig;
        let (field, at) = match &rig.source {
            AirSource::Compressor(compressor) => ("compressor.cut-out", compressor.cut_out),
            AirSource::Bottle { filled_to } => ("tank.filled-to", *filled_to),
        };
        let warm = rig.site.temperature;
        let cold =
            warm - uom::si::f64::TemperatureInterval::new::<uom::si::temperature_interval::kelvin>(COLD_K);
        let Some(value) = fault.check.value else { return Ok(()) };
        let low = GaugePressure::new(pascals(full(rig).low.max(0.0))).to_absolute(rig.site.atmosphere)?;
        let fallen = GaugePressure::new(pascals(value)).to_absolute(rig.site.atmosphere)?;
        let (z, z_cold) = (compressibility(low, warm)?, compressibility(fallen, cold)?);
        steps.extend(judged(fault, &COLD_TANK, "pressure of the cold tank").map(|step| {
            step.with("p_full", at)
                .with("w", pascals(spread(rig, field)))
                .with("p_atm", rig.site.atmosphere)
                .with("Z_cold", z_cold.value)
                .with("T_cold", cold)
                .with("Z", z.value)
                .with("T", warm)
        }));
        if let Some(sinks) = figure(fault, "a held load sinks, in travel") {
            let sinks = Length::new::<uom::si::length::meter>(sinks);
            steps.push(
                Step::new(
                    format!("{}: travel by which a held load sinks", fault.check.id),
                    &COLD_TANK,
                    sinks,
                )
                .with("A", rig.cylinders.cap_area())
                .with("x", self.answers.lift.stroke_used)
                .with("V_dead", rig.dead_volume())
                .with("T", warm)
                .with("T_cold", cold),
            );
        }
        Ok(())
    }

    fn air_left(&self, fault: &Fault, steps: &mut Vec<Step>) {
        let (rig, id) = (self.rig, &fault.check.id);
        let lift = &self.answers.lift;
        let parts = [
            ("in the tank", rig.full_pressure(), rig.tank.volume),
            ("in cylinders and hose", lift.held_pressure(rig), self.volume(lift.stroke_used)),
        ];
        for (name, pressure, volume) in parts {
            if let Some(energy) = figure(fault, name) {
                steps.push(
                    Step::new(
                        format!("{id}: {name}"),
                        &STORED_ENERGY,
                        Energy::new::<uom::si::energy::joule>(energy),
                    )
                    .with("p", pressure)
                    .with("p_atm", rig.site.atmosphere)
                    .with("V", volume),
                );
            }
        }
    }
}

/// The energy of what moves at a speed.
fn blow(figure: String, energy: f64, load: Load, speed: Velocity) -> Step {
    Step::new(figure, &STOP_ENERGY, Energy::new::<uom::si::energy::joule>(energy))
        .with("share", load.share)
        .with("m", load.mass)
        .with("m_moving", load.moving)
        .with("v", speed)
}

fn kilograms(per_second: f64) -> MassRate {
    MassRate::new::<uom::si::mass_rate::kilogram_per_second>(per_second)
}

/// A figure that follows from a fault.
fn figure(fault: &Fault, name: &str) -> Option<f64> {
    fault.figures.iter().find(|figure| figure.name == name).map(|figure| figure.value)
}

/// A step for the figure by which a fault is judged.
fn judged(fault: &Fault, formula: &'static crate::formulas::Formula, name: &str) -> Option<Step> {
    let value = fault.check.value?;
    let kind = if fault.check.dimension == Dimension::Pressure { "gauge" } else { "" };
    let amount = Amount { value, dimension: fault.check.dimension, kind };
    Some(Step::new(format!("{}: {name}", fault.check.id), formula, amount))
}
