//! The rig in numbers, and the rates at which its state changes.
//!
//! Every volume of air (tank, cap side, rod side) has a mass `m` and an energy `U = m cv T`:
//!
//! `dm/dt = q_in - q_out`, `dU/dt = q_in h_in - q_out h + Q - p dV/dt`, `h = (cv + R Z) T`, `Q = k (T_site - T)`
//!
//! Pistons have no inertia here: while they move, the forces on them balance,
//!
//! out: `A p_c (1 - mu) - Ar max(p_r, p_back) - F(x) = 0`
//! in: `F(x) - A p_c (1 + mu) + Ar p_r (1 - mu) = 0`
//!
//! (gauge pressures), and the derivative of that balance gives the speed. With `alpha` the rise of a pressure
//! that flow and heat would cause at rest, and `beta` its fall by travel,
//!
//! `v = num/den`, `num = A (1 -+ mu) alpha_c - Ar alpha_r`, `den = dF/dx + A (1 -+ mu) beta_c + Ar beta_r`
//!
//! Where a linkage lets the force fall faster than the air can follow, `den` reaches zero and the load runs
//! away to the next place of balance. To walk up to that place without harm the motion is followed in a
//! variable `s` with `dt/ds = g = den/(den - dF/dx)`, in which all rates stay finite.

use super::air_law::{AirLaw, GAS_CONSTANT};
use super::course::{Course, Force};
use super::integrator::Rates;
use super::state::{
    CAP_ENERGY, CAP_MASS, COMPRESSION, DRAWN, ELECTRIC, ENTHALPY_IN, ENTHALPY_OUT, FRICTION, HEAT_IN,
    MASS_IN, MASS_OUT, PISTON_WORK, ROD_ENERGY, ROD_MASS, STATES, State, TANK_ENERGY, TANK_MASS, TIME,
    TRAVEL,
};
use crate::air::flow::law::{Law, Path};

/// The rig. SI base units, pressures absolute unless they say otherwise.
#[derive(Debug, Clone)]
pub(super) struct Plant {
    pub(super) air: AirLaw,
    pub(super) atmosphere: f64,
    pub(super) temperature: f64,
    pub(super) tank_volume: f64,
    pub(super) tank_heat: Exchange,
    /// Opening pressure and flow by pressure above it.
    pub(super) relief: Option<(f64, f64)>,
    /// The same of the valve on the line to the cap side.
    pub(super) line_relief: Option<(f64, f64)>,
    pub(super) leak: Option<Law>,
    pub(super) pump: Option<Pump>,
    pub(super) set: f64,
    /// Fall of the regulator's outlet by flow.
    pub(super) droop: f64,
    pub(super) raise: Path,
    pub(super) lower: Path,
    pub(super) rod: Option<Rod>,
    pub(super) cap: Side,
    /// Walls of cylinders and hose.
    pub(super) cylinder_heat: Exchange,
    pub(super) course: Course,
    /// Travel at which a raise has arrived.
    pub(super) target: f64,
    pub(super) friction: f64,
    pub(super) breakaway: f64,
    /// Stated back-pressure of the rod side, as a force while moving out.
    pub(super) back_force: f64,
}

/// Rate of exchange of heat.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Exchange {
    /// By difference of temperature; for cylinders by wall area as well.
    Rate(f64),
    /// The air stays at the temperature of the site.
    Perfect,
}

/// One side of the pistons.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Side {
    /// Area on which the air acts.
    pub(super) area: f64,
    /// Volume with the piston against this side.
    pub(super) dead: f64,
    /// Wall area then, and what travel adds to it.
    pub(super) wall: f64,
    pub(super) wall_by_travel: f64,
}

/// The driven rod side.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Rod {
    pub(super) side: Side,
    /// Full stroke: the rod side is smallest there.
    pub(super) stroke: f64,
    pub(super) supply: Path,
    pub(super) exhaust: Path,
    /// Pressure at the start.
    pub(super) start: f64,
}

/// The pump with its switch.
#[derive(Debug, Clone)]
pub(super) struct Pump {
    pub(super) delivery: Delivery,
    /// Power by gauge pressure, if known.
    pub(super) power: Vec<(f64, f64)>,
    pub(super) cut_in: f64,
    pub(super) cut_out: f64,
    /// Temperature of the air delivered.
    pub(super) outlet: f64,
    /// Longest run and the rest that it asks for.
    pub(super) thermal: Option<(f64, f64)>,
}

/// Mass delivered by tank pressure (gauge).
#[derive(Debug, Clone)]
pub(super) enum Delivery {
    Points(Vec<(f64, f64)>),
    /// `open * (1 + c - c (p/p_atm)^(1/n))`
    OpenAndStall {
        open: f64,
        clearance: f64,
        inverse_index: f64,
    },
}

/// Where the pistons are in their motion.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Position {
    Bottom,
    Rising,
    Held,
    Falling,
    Top,
}

/// What stays the same during a step.
#[derive(Debug, Clone, Copy)]
pub(super) struct Setting {
    pub(super) position: Position,
    pub(super) valves: Valves,
    /// The pump runs.
    pub(super) running: bool,
    /// Which side of a corner of the law of friction the pistons are on: cap and rod side above their mark
    /// (the atmosphere, or the stated back-pressure).
    pub(super) cap_above: bool,
    pub(super) rod_above: bool,
    /// Stretch of the travel for motion outward and inward; the two differ where the load changes in a step.
    pub(super) outward: usize,
    pub(super) inward: usize,
}

/// Which paths are open.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[allow(clippy::struct_excessive_bools, reason = "four valves, each open or closed")]
pub(super) struct Valves {
    pub(super) cap_supply: bool,
    pub(super) cap_open: bool,
    pub(super) rod_supply: bool,
    pub(super) rod_open: bool,
}

/// A volume of air.
#[derive(Debug, Clone, Copy)]
pub(super) struct Gas {
    pub(super) volume: f64,
    pub(super) mass: f64,
    pub(super) pressure: f64,
    pub(super) temperature: f64,
    pub(super) z: f64,
    z_slope: f64,
    enthalpy: f64,
}

/// What flows into a volume.
#[derive(Debug, Clone, Copy, Default)]
struct Inflow {
    mass: f64,
    enthalpy: f64,
    heat: f64,
}

impl Gas {
    fn new(air: &AirLaw, mass: f64, energy: f64, volume: f64) -> Self {
        let temperature = energy / (mass * air.cv);
        let density = mass / volume;
        let (z, z_slope) = air.compressibility(density);
        Self {
            volume,
            mass,
            pressure: density * GAS_CONSTANT * temperature * z,
            temperature,
            z,
            z_slope,
            enthalpy: (air.cv + GAS_CONSTANT * z) * temperature,
        }
    }

    /// Rise of pressure at constant volume, times the volume.
    fn rise(&self, air: &AirLaw, flow: &Inflow, perfect: Option<f64>) -> f64 {
        // At constant temperature the energy follows the mass.
        let energy =
            perfect.map_or(flow.enthalpy + flow.heat, |temperature| flow.mass * air.cv * temperature);
        air.work_share() * (self.z * energy + air.cv * self.temperature * self.z_slope * flow.mass)
    }

    /// Fall of pressure by growing volume, times the volume.
    fn fall(&self, air: &AirLaw, perfect: bool) -> f64 {
        let adiabatic = if perfect { 0.0 } else { air.work_share() * self.z * self.pressure };
        adiabatic + self.pressure * (1.0 + self.z_slope / self.z)
    }
}

impl Exchange {
    fn is_perfect(self) -> bool {
        matches!(self, Self::Perfect)
    }

    fn heat(self, wall: f64, difference: f64) -> f64 {
        match self {
            Self::Rate(rate) => rate * wall * difference,
            Self::Perfect => 0.0,
        }
    }
}

/// All that a state means.
#[derive(Debug, Clone, Copy)]
pub(super) struct View {
    pub(super) tank: Gas,
    pub(super) cap: Gas,
    pub(super) rod: Option<Gas>,
}

/// Speed in the balance of forces.
#[derive(Debug, Clone, Copy)]
pub(super) struct Motion {
    /// `dx/ds`: the speed if the force did not change along the travel.
    pub(super) plain_speed: f64,
    /// `dt/ds`.
    pub(super) pace: f64,
}

impl Motion {
    /// The motion that is in the rates of a state.
    pub(super) fn of(rates: &State) -> Self {
        Self { plain_speed: rates[TRAVEL], pace: rates[TIME] }
    }
}

impl Plant {
    pub(super) fn view(&self, state: &State) -> View {
        let travel = state[TRAVEL];
        View {
            tank: Gas::new(&self.air, state[TANK_MASS], state[TANK_ENERGY], self.tank_volume),
            cap: Gas::new(
                &self.air,
                state[CAP_MASS],
                state[CAP_ENERGY],
                self.cap.area * travel + self.cap.dead,
            ),
            rod: self
                .rod
                .as_ref()
                .map(|rod| Gas::new(&self.air, state[ROD_MASS], state[ROD_ENERGY], rod.volume(travel))),
        }
    }

    /// Mass flow from the tank through the regulator and a path to `pressure`, in kg/s.
    fn supply(&self, path: &Path, tank: &Gas, pressure: f64) -> f64 {
        let (set, pressure) = path.next_to_law(self.set, pressure);
        let tank_pressure = tank.pressure - (self.set - set);
        regulated_flow((set, self.droop), &path.law, (tank_pressure, tank.temperature), pressure)
    }

    /// Gauge pressure force of the cap side.
    fn cap_thrust(&self, cap: &Gas) -> f64 {
        self.cap.area * (cap.pressure - self.atmosphere)
    }

    fn rod_thrust(&self, rod: Option<&Gas>) -> f64 {
        self.rod
            .as_ref()
            .zip(rod)
            .map_or(0.0, |(side, gas)| side.side.area * (gas.pressure - self.atmosphere))
    }

    /// Force left over to move outward; `friction` is the share of thrust that the seals take.
    pub(super) fn left_outward(&self, view: &View, travel: f64, stretch: usize, friction: f64) -> f64 {
        self.left_above(view, self.course.outward(stretch, travel).value, friction)
    }

    /// The same above a force that load and springs need.
    fn left_above(&self, view: &View, needed: f64, friction: f64) -> f64 {
        let cap = self.cap_thrust(&view.cap);
        let against = self.rod_thrust(view.rod.as_ref()).max(self.back_force);
        cap - friction * cap.max(0.0) - against - needed
    }

    /// Force left over to move inward.
    pub(super) fn left_inward(&self, view: &View, travel: f64, stretch: usize, friction: f64) -> f64 {
        self.left_below(view, self.course.inward(stretch, travel).value, friction)
    }

    /// The same below a force with which load and springs push.
    fn left_below(&self, view: &View, pushing: f64, friction: f64) -> f64 {
        let (cap, rod) = (self.cap_thrust(&view.cap), self.rod_thrust(view.rod.as_ref()));
        pushing - cap + rod - friction * (cap.max(0.0) + rod.max(0.0))
    }

    /// Pressure stated for the rod side while moving out, above the atmosphere.
    pub(super) fn stated_back_pressure(&self, setting: &Setting) -> f64 {
        let area = self.rod.as_ref().map_or(0.0, |side| side.side.area);
        if setting.position == Position::Rising && area > 0.0 {
            self.back_force / area
        } else {
            f64::NEG_INFINITY
        }
    }

    /// Friction to start, as a share of thrust.
    pub(super) fn starting_friction(&self) -> f64 {
        self.friction * self.breakaway
    }

    /// Thrusts above the corners of the law of friction, cap and rod side.
    pub(super) fn corners(&self, position: Position, view: &View) -> (f64, f64) {
        let mark = if position == Position::Rising { self.back_force } else { 0.0 };
        (self.cap_thrust(&view.cap), self.rod_thrust(view.rod.as_ref()) - mark)
    }

    /// Shares with which the thrusts of cap and rod side count while moving.
    fn friction_shares(&self, setting: &Setting) -> (f64, f64) {
        let friction = |above: bool| if above { self.friction } else { 0.0 };
        let cap = friction(setting.cap_above);
        match setting.position {
            Position::Rising => (1.0 - cap, if setting.rod_above { 1.0 } else { 0.0 }),
            _ => (1.0 + cap, 1.0 - friction(setting.rod_above)),
        }
    }

    /// Delivery and power of the running pump.
    fn pump(&self, setting: &Setting, tank_pressure: f64) -> (f64, f64) {
        let Some(pump) = self.pump.as_ref().filter(|_| setting.running) else { return (0.0, 0.0) };
        let gauge = tank_pressure - self.atmosphere;
        (pump.delivery.mass_rate(gauge, self.atmosphere), interpolate(&pump.power, gauge))
    }

    pub(super) fn flows(&self, setting: &Setting, view: &View, travel: f64) -> Flows {
        let View { tank, cap, rod } = view;
        let valves = setting.valves;
        let outside = (self.atmosphere, self.temperature);
        let vent = |path: &Path, gas: &Gas| path.mass_flow((gas.pressure, gas.temperature), outside);
        let cap_in = if valves.cap_supply { self.supply(&self.raise, tank, cap.pressure) } else { 0.0 };
        let cap_out = if valves.cap_open { vent(&self.lower, cap) } else { 0.0 };
        let mut flows = Flows { cap_in, cap_out, ..Flows::default() };
        if let Some((side, gas)) = self.rod.as_ref().zip(rod.as_ref()) {
            if valves.rod_supply {
                flows.rod_in = self.supply(&side.supply, tank, gas.pressure);
            }
            if valves.rod_open {
                flows.rod_out = vent(&side.exhaust, gas);
            }
            let wall = side.side.wall + side.side.wall_by_travel * (side.stroke - travel);
            flows.rod_heat = self.cylinder_heat.heat(wall, self.temperature - gas.temperature);
        }
        flows.leak = self.leak.map_or(0.0, |law| law.mass_flow((tank.pressure, tank.temperature), outside));
        let blows = |relief: Option<(f64, f64)>, gas: &Gas| {
            relief.map_or(0.0, |(opens, rate)| rate * (gas.pressure - opens).max(0.0))
        };
        flows.relief = blows(self.relief, tank);
        flows.line_relief = blows(self.line_relief, cap);
        (flows.pump, flows.power) = self.pump(setting, tank.pressure);
        let wall = self.cap.wall_by_travel * travel + self.cap.wall;
        flows.cap_heat = self.cylinder_heat.heat(wall, self.temperature - cap.temperature);
        flows.tank_heat = self.tank_heat.heat(1.0, self.temperature - tank.temperature);
        flows
    }

    /// Enthalpy of what goes out (positive) or comes in from outside.
    fn carried(&self, out: f64, gas: &Gas) -> f64 {
        out * if out >= 0.0 { gas.enthalpy } else { self.outside_enthalpy() }
    }

    fn outside_enthalpy(&self) -> f64 {
        (self.air.cv + GAS_CONSTANT) * self.temperature
    }

    /// Inflow of cap and rod side.
    fn inflows(&self, flows: &Flows, view: &View) -> (Inflow, Inflow) {
        let cap = Inflow {
            mass: flows.cap_in - flows.cap_out - flows.line_relief,
            enthalpy: flows.cap_in * view.tank.enthalpy
                - self.carried(flows.cap_out, &view.cap)
                - flows.line_relief * view.cap.enthalpy,
            heat: flows.cap_heat,
        };
        let rod = view.rod.as_ref().map_or(Inflow::default(), |gas| Inflow {
            mass: flows.rod_in - flows.rod_out,
            enthalpy: flows.rod_in * view.tank.enthalpy - self.carried(flows.rod_out, gas),
            heat: flows.rod_heat,
        });
        (cap, rod)
    }

    /// Speed and pace of the motion of a setting that moves.
    pub(super) fn motion(&self, setting: &Setting, state: &State) -> Motion {
        let view = self.view(state);
        let flows = self.flows(setting, &view, state[TRAVEL]);
        let load = self.load(setting, state[TRAVEL]);
        self.motion_of(setting, &view, &self.inflows(&flows, &view), &load)
    }

    /// Force of load and springs by the law of the way on which the pistons move.
    fn load(&self, setting: &Setting, travel: f64) -> Force {
        match setting.position {
            Position::Rising => self.course.outward(setting.outward, travel),
            _ => self.course.inward(setting.inward, travel),
        }
    }

    fn motion_of(
        &self,
        setting: &Setting,
        view: &View,
        (cap_in, rod_in): &(Inflow, Inflow),
        load: &Force,
    ) -> Motion {
        let (cap_share, rod_share) = self.friction_shares(setting);
        let perfect = self.cylinder_heat.is_perfect();
        let temperature = perfect.then_some(self.temperature);
        let cap = &view.cap;
        let by_pressure = self.cap.area * cap_share / cap.volume;
        let mut drive = by_pressure * cap.rise(&self.air, cap_in, temperature);
        let mut stiffness = by_pressure * self.cap.area * cap.fall(&self.air, perfect);
        if let Some((side, gas)) = self.rod.as_ref().zip(view.rod.as_ref()) {
            let area = side.side.area;
            let by_pressure = area * rod_share / gas.volume;
            drive -= by_pressure * gas.rise(&self.air, rod_in, temperature);
            stiffness += by_pressure * area * gas.fall(&self.air, perfect);
        }
        // Errors of the integration would let the forces drift apart; what is left over drives a little more
        // or less, so that it dies within a hundredth of the travel.
        let left = match setting.position {
            Position::Rising => self.left_above(view, load.value, self.friction),
            _ => self.left_below(view, load.value, self.friction),
        };
        let yielding = 1.0 / stiffness;
        let correction = 1.0 + left * yielding / (0.01 * self.course.end);
        Motion { plain_speed: drive * yielding * correction, pace: 1.0 + load.slope * yielding }
    }

    /// The rates, once in the variable of the motion.
    fn all_rates(&self, setting: &Setting, state: &State) -> State {
        let travel = state[TRAVEL];
        let view = self.view(state);
        let flows = self.flows(setting, &view, travel);
        let inflows = self.inflows(&flows, &view);
        let moving = matches!(setting.position, Position::Rising | Position::Falling);
        let (Motion { pace, plain_speed: speed }, lost_force) = if moving {
            let load = self.load(setting, travel);
            (self.motion_of(setting, &view, &inflows, &load), self.lost_force(setting, &view, &load))
        } else {
            (Motion { plain_speed: 0.0, pace: 1.0 }, 0.0)
        };
        let (cap_in, rod_in) = inflows;
        let tank = &view.tank;
        let cap_work = view.cap.pressure * self.cap.area * speed;
        let rod_work = self
            .rod
            .as_ref()
            .zip(view.rod.as_ref())
            .map_or(0.0, |(side, gas)| gas.pressure * side.side.area * speed);
        let drawn = flows.cap_in + flows.rod_in;
        let tank_out = drawn + flows.leak + flows.relief;
        let outlet = self.pump.as_ref().map_or(self.temperature, |pump| pump.outlet);
        let pump_enthalpy = flows.pump * (self.air.cv + GAS_CONSTANT * tank.z) * outlet;
        let leak_enthalpy = self.carried(flows.leak, tank) + flows.relief * tank.enthalpy;
        let tank_enthalpy = pump_enthalpy - drawn * tank.enthalpy - leak_enthalpy;
        // Energy and heat of a volume: heat is what the exchange gives, or what keeps the temperature.
        let balance = |exchange: Exchange, inflow: &Inflow, work: f64| {
            if exchange.is_perfect() {
                let energy = pace * inflow.mass * self.air.cv * self.temperature;
                (energy, energy - pace * inflow.enthalpy + work)
            } else {
                (pace * (inflow.enthalpy + inflow.heat) - work, pace * inflow.heat)
            }
        };
        let tank_in = Inflow { mass: flows.pump - tank_out, enthalpy: tank_enthalpy, heat: flows.tank_heat };
        let (tank_energy, tank_heat) = balance(self.tank_heat, &tank_in, 0.0);
        let (cap_energy, cap_heat) = balance(self.cylinder_heat, &cap_in, cap_work);
        let (rod_energy, rod_heat) = balance(self.cylinder_heat, &rod_in, -rod_work);
        let mut rates = [0.0; STATES];
        rates[TANK_MASS] = pace * tank_in.mass;
        rates[TANK_ENERGY] = tank_energy;
        rates[CAP_MASS] = pace * cap_in.mass;
        rates[CAP_ENERGY] = cap_energy;
        rates[ROD_MASS] = pace * rod_in.mass;
        rates[ROD_ENERGY] = if view.rod.is_some() { rod_energy } else { 0.0 };
        rates[TRAVEL] = speed;
        rates[TIME] = pace;
        rates[ELECTRIC] = pace * flows.power;
        // What one path lets out is counted apart from what another lets in.
        let outs = [flows.cap_out, flows.rod_out, flows.leak, flows.relief, flows.line_relief];
        let back: f64 = outs.iter().map(|out| (-out).max(0.0)).sum();
        let out: f64 = outs.iter().map(|out| out.max(0.0)).sum();
        rates[MASS_IN] = pace * (flows.pump + back);
        rates[MASS_OUT] = pace * out;
        let back_enthalpy = back * self.outside_enthalpy();
        let vented = self.carried(flows.cap_out, &view.cap)
            + flows.line_relief * view.cap.enthalpy
            + view.rod.as_ref().map_or(0.0, |gas| self.carried(flows.rod_out, gas))
            + leak_enthalpy;
        rates[ENTHALPY_IN] = pace * (pump_enthalpy + back_enthalpy);
        rates[ENTHALPY_OUT] = pace * (vented + back_enthalpy);
        rates[HEAT_IN] = tank_heat + cap_heat + if view.rod.is_some() { rod_heat } else { 0.0 };
        rates[PISTON_WORK] = cap_work - rod_work;
        rates[FRICTION] = lost_force * speed.abs();
        if flows.pump > 0.0 {
            let isothermal =
                GAS_CONSTANT * self.temperature * (tank.pressure / self.atmosphere).max(1.0).ln();
            rates[COMPRESSION] = pace * flows.pump * isothermal;
        }
        rates[DRAWN] = pace * drawn;
        rates
    }

    /// Force of seals, linkage and stated back-pressure while moving.
    fn lost_force(&self, setting: &Setting, view: &View, load: &Force) -> f64 {
        let (cap, rod) = (self.cap_thrust(&view.cap), self.rod_thrust(view.rod.as_ref()));
        let lost = match setting.position {
            Position::Rising => self.friction * cap.max(0.0) + (self.back_force - rod).max(0.0),
            _ => self.friction * (cap.max(0.0) + rod.max(0.0)),
        };
        lost + load.lost
    }
}

/// Mass flow through a regulator and a path to `pressure`, in kg/s.
///
/// The regulator's outlet `p1` solves `p1 + droop q(p1) = set`, and is never above the tank.
fn regulated_flow(
    (set, droop): (f64, f64),
    path: &Law,
    (tank_pressure, temperature): (f64, f64),
    pressure: f64,
) -> f64 {
    // What secants have not found by then is halved down to.
    const MOST_SECANTS: u32 = 10;
    let highest = set.min(tank_pressure);
    if highest <= pressure {
        return 0.0;
    }
    let choked_by_inlet = path.choked_flow(1.0, temperature);
    let flow = |inlet: f64| {
        let drop = (inlet - pressure) / inlet;
        let seat = drop * drop / (drop * drop + SOFT_SEAT * SOFT_SEAT);
        choked_by_inlet * inlet * path.share(inlet, pressure) * seat
    };
    // A choked path passes flow in proportion to its inlet.
    let fall = droop * choked_by_inlet;
    let choked = set / (1.0 + fall);
    if choked <= highest && path.is_choked(choked, pressure) {
        return flow(choked);
    }
    if tank_pressure < set {
        let passed = flow(highest);
        if highest + droop * passed <= set {
            return passed;
        }
    }
    // The root lies between these two.
    let (mut low, mut high) = (pressure, highest);
    let (mut inlet, mut slope) = path.inlet_behind_droop(set, fall, pressure);
    let mut last: Option<(f64, f64)> = None;
    let mut passed = 0.0;
    for trial in 0..60 {
        if !(low..=high).contains(&inlet) || trial > MOST_SECANTS {
            inlet = 0.5 * (low + high);
        }
        passed = flow(inlet);
        let excess = inlet + droop * passed - set;
        if excess.abs() <= 1e-13 * set || high - low <= 1e-15 * high {
            break;
        }
        if excess > 0.0 {
            high = inlet;
        } else {
            low = inlet;
        }
        // Secant from the second look on.
        if let Some((other, other_excess)) = last {
            slope = (excess - other_excess) / (inlet - other);
        }
        last = Some((inlet, excess));
        inlet -= excess / slope;
    }
    passed
}

/// Mass flows, heat and power at one moment.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Flows {
    pub(super) cap_in: f64,
    pub(super) cap_out: f64,
    pub(super) rod_in: f64,
    pub(super) rod_out: f64,
    pub(super) leak: f64,
    pub(super) relief: f64,
    pub(super) line_relief: f64,
    pub(super) pump: f64,
    pub(super) power: f64,
    pub(super) tank_heat: f64,
    pub(super) cap_heat: f64,
    pub(super) rod_heat: f64,
}

impl Rod {
    pub(super) fn volume(&self, travel: f64) -> f64 {
        self.side.dead + self.side.area * (self.stroke - travel)
    }
}

impl Delivery {
    pub(super) fn mass_rate(&self, gauge: f64, atmosphere: f64) -> f64 {
        match self {
            Self::Points(points) => {
                let beyond = points.last().map_or(0.0, |last| gauge - last.0) / (gauge + atmosphere);
                interpolate(points, gauge) * (1.0 - beyond.max(0.0) / BREAK_OFF_BAND).max(0.0)
            }
            Self::OpenAndStall { open, clearance, inverse_index } => {
                let ratio = ((gauge + atmosphere) / atmosphere).max(0.0);
                open * (1.0 + clearance - clearance * ratio.powf(*inverse_index)).max(0.0)
            }
        }
    }
}

/// Beyond the last point delivery falls to nothing within this share of the pressure, so that a tank kept
/// there does not switch the pump's delivery on and off at every step.
const BREAK_OFF_BAND: f64 = 0.01;
/// Drop, as a share of the inlet, by which the seat of the regulator closes softly: without it a small
/// volume level with its supply would open and close it at every step. It shifts the pressure at rest by
/// less than this.
const SOFT_SEAT: f64 = 1e-5;

/// Linear between points, constant beyond; 0 without points.
fn interpolate(points: &[(f64, f64)], at: f64) -> f64 {
    let after = points.partition_point(|point| point.0 <= at);
    match (after.checked_sub(1).and_then(|before| points.get(before)), points.get(after)) {
        (Some(before), Some(after)) => {
            before.1 + (after.1 - before.1) * (at - before.0) / (after.0 - before.0)
        }
        (Some(only), None) | (None, Some(only)) => only.1,
        (None, None) => 0.0,
    }
}

/// The plant in a setting.
#[derive(Debug, Clone, Copy)]
pub(super) struct Running<'a> {
    pub(super) plant: &'a Plant,
    pub(super) setting: Setting,
}

impl Rates for Running<'_> {
    fn drives(&self, index: usize) -> bool {
        self.plant.rod.is_some() || (index != ROD_MASS && index != ROD_ENERGY)
    }

    fn rates(&self, state: &State) -> State {
        self.plant.all_rates(&self.setting, state)
    }
}

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;

    use super::*;

    #[test]
    fn the_flow_of_a_regulator_agrees_with_bisection() {
        const SET: f64 = 6e5;
        let mut between = 0;
        for (critical_ratio, index, cracking) in
            [(0.0, 0.5, None), (0.3, 0.5, None), (0.7, 0.5, None), (0.3, 0.58, None), (0.3, 0.5, Some(0.4e5))]
        {
            let path = Law::new(1e-8, critical_ratio, index, cracking);
            let choked = path.choked_flow(SET, 293.15);
            for share in [0.0, 1e-12, 1e-6, 1e-3, 0.05, 0.4, 3.0] {
                let droop = share * SET / choked;
                for tank in [0.7 * SET, 0.999 * SET, SET, 1.5 * SET] {
                    for drop in [0.9, 0.5, 0.2, 0.1, 0.01, 1e-3, 1e-4, 1e-5, 1e-6] {
                        let pressure = tank.min(SET) * (1.0 - drop);
                        let flow = |inlet: f64| {
                            let drop = 1.0 - pressure / inlet;
                            let seat = drop.powi(2) / (drop.powi(2) + 1e-10);
                            path.forward(inlet, pressure, 293.15) * seat
                        };
                        let (mut low, mut high) = (pressure, tank.min(SET));
                        for _ in 0..200 {
                            let middle = 0.5 * (low + high);
                            if middle + droop * flow(middle) < SET { low = middle } else { high = middle }
                        }
                        between += u32::from(high < tank.min(SET));
                        let got = regulated_flow((SET, droop), &path, (tank, 293.15), pressure);
                        // Next to no drop the flow follows the last digits of the inlet.
                        let (expected, grain) = (flow(high), flow(high * (1.0 + 1e-12)) - flow(high));
                        assert_relative_eq!(got, expected, max_relative = 1e-9, epsilon = grain.max(1e-18));
                    }
                }
            }
        }
        assert!(between > 200, "{between}");
    }
}
