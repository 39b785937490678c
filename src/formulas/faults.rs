//! What one fault does.

use super::Formula;

/// Pressure with the switch stuck closed.
pub static STUCK_SWITCH: Formula = Formula {
    topic: "stuck-switch",
    title: "Pressure switch stuck closed",
    asks: "To what pressure does the tank climb if the switch never stops the pump, and when?",
    expression: "p_end = least of p_stall, p_second and 1.10 (p_relief + w)\n\
p_end <= 1.10 p_tank while the relief valve blows, else p_end <= p_tank\n\
t = integral from p_cut_out to p_relief of V (drho / dp) / m_dot(p) dp",
    symbols: &[
        ("p_end", "pressure at which the tank stands in the end, gauge"),
        (
            "p_stall",
            "pressure at which the pump delivers nothing more, at its high end, if it is known; gauge",
        ),
        ("p_second", "second switch, at the high end of its tolerance, if there is one; gauge"),
        ("p_relief", "opening pressure of the relief valve, gauge; counted only if it passes the delivery"),
        ("w", "half width of its stated tolerance"),
        ("p_tank", "rating of the receiver at the low end of its tolerance, gauge"),
        ("t", "shortest time from cut-out to the relief valve, with its tolerance at the low end"),
        ("p_cut_out", "pressure at which the switch should have stopped the pump, at its high end; gauge"),
        ("V", "inside volume of the tank, at its low end"),
        ("drho", "step of density"),
        ("dp", "step of pressure"),
        ("m_dot", "mass delivered in a time, at the high end of what is stated: see delivery"),
        ("p", "tank pressure, gauge"),
    ],
    source: "mass balance; 10 % above the highest allowable pressure while a relief valve blows: 30 CFR 57.13011",
    validity: "isothermal tank. A curve of points ends where its data end: what the pump does above is not known, and \
then only the relief valve counts.",
    mistakes: "Trusting the relief valve's setting alone: it must also pass what the pump delivers.",
};

/// A load that comes down.
pub static FALLING_LOAD: Formula = Formula {
    topic: "falling-load",
    title: "A load that comes down by itself",
    asks: "How fast does the load come down if a hose comes off or a valve opens?",
    expression: "v = greatest along the travel of r q R T / (p A + V dp / dx)\n\
v no more than sqrt(2 g h + 2 F_return x_end / m)\n\
p = p_atm + p_sink, see lowering-speed; q by valve-flow, from p to the site\n\
a hole of bore d: C = Cd C_1 d^2",
    symbols: &[
        ("v", "highest speed of the load"),
        ("r", "height gained for travel of the cylinders, dh/dx; 1 for a direct push"),
        ("q", "mass flow through the way out: ISO 6358, elements in series"),
        ("p", "absolute pressure that the sinking load keeps up"),
        ("R", "gas constant of air, 287.05 J/(kg K)"),
        ("T", "temperature of the air"),
        ("A", "piston area of all cylinders"),
        ("V", "volume of cylinders and hoses there"),
        ("dp", "rise of p along dx there, as where a linkage changes its ratio; 0 for an open hose"),
        ("dx", "step of travel"),
        ("g", "9.80665 m/s2"),
        ("h", "height of the load at the end of the stroke"),
        ("F_return", "push of the return air at the set point, double-acting cylinders only"),
        ("x_end", "travel at the end"),
        ("m", "moving mass"),
        ("p_atm", "pressure of the site"),
        ("p_sink", "the same pressure as a gauge shows it, friction against the motion"),
        ("d", "bore of the hole: that of the hose, rounded edge, where a hose is off"),
        ("C", "sonic conductance"),
        ("Cd", "discharge coefficient, 0.97 for the rounded edge of a torn end"),
        ("C_1", "sonic conductance of a nozzle over its bore squared"),
    ],
    source: "mass balance of an ideal gas at one temperature; ISO 6358; free fall as the upper bound",
    validity: "quasi-static: the load is not sped up beyond what the air lets out. The limit `limits.fall-speed` is \
250 mm/s unless given, an estimate of our own. Of double-acting cylinders it is the fall with the return air \
behind them, as on the way down; held, their rod side is vented and the fall is no faster.",
    mistakes: "A hose that tears at the cylinders lets the load down through the whole port, however small the lower \
valve is. Only what sits in the port helps: a lock, a throttle, or a latch on the load.",
};

/// A platform that goes up by itself.
pub static RISING_PLATFORM: Formula = Formula {
    topic: "rising-platform",
    title: "A platform that goes up by itself",
    asks: "How fast does the platform go up if a valve sticks open, and how hard does it hit its stop?",
    expression: "v = r q R T / (p A + V dp / dx) where the pistons are fastest, loaded and empty\n\
v no more than square root of (2 (F_push x_end - W) / m)\n\
p = p_atm + p_need; q by valve-flow, from the regulator to p\n\
E = m v^2 / 2\n\
springs open both valves: q_raise(p_1, p_line) = q_lower(p_line, p_atm); it rises where p_line >= p",
    symbols: &[
        ("v", "speed of the platform; the higher of loaded and empty is judged"),
        ("r", "height gained for travel of the cylinders, dh/dx; 1 for a direct push"),
        ("q", "mass flow through raise valve and hose: ISO 6358, elements in series"),
        ("R", "gas constant of air, 287.05 J/(kg K)"),
        ("T", "temperature of the air"),
        ("p", "absolute pressure that moves what is on the platform"),
        ("A", "piston area of all cylinders"),
        ("V", "volume of cylinders and hoses there"),
        ("dp", "rise of p along dx there"),
        ("dx", "step of travel"),
        ("p_atm", "pressure of the site"),
        ("p_1", "absolute pressure of the set point, without droop"),
        ("p_line", "absolute pressure of the line with the cylinders at rest"),
        ("q_raise", "mass flow through the raise valve, and the fittings on the way up: valve-flow"),
        ("q_lower", "mass flow through the lower valve, and the fittings on the way down: valve-flow"),
        (
            "F_push",
            "push of the cylinders at that set point, or behind the stuck regulator, without friction",
        ),
        ("x_end", "travel to the end"),
        ("W", "work that lifting takes along the way"),
        ("p_need", "pressure needed there, gauge: see needed-pressure"),
        ("E", "blow at the upper stop; the harder of loaded and empty is judged"),
        ("m", "mass in motion: the share of the load and the moving parts, or these alone"),
    ],
    source: "mass balance of an ideal gas at one temperature; ISO 6358; definition of kinetic energy",
    validity: "quasi-static, to the end of the stroke: nothing is spent on speeding up. A regulator that is stuck open \
gives its pressure without droop. Held to `limits.fall-speed` and, if it is given, `limits.stop-energy`. Of a valve \
that sticks open a hand valve (`protection.shut-off`) makes a caution only if the platform takes 3 s or longer to the \
top: so long it takes to see it and reach the valve, common practice, no source.",
    mistakes: "Looking at the loaded platform alone: empty it needs less pressure, so the same air drives it farther.",
};

/// The others without one of them.
pub static CYLINDER_LOST: Formula = Formula {
    topic: "cylinder-lost",
    title: "One of several cylinders lost",
    asks: "What pressure do the others need when a rod or pin breaks?",
    expression: "p_load = F / ((n - 1) A_1)\np_need by needed-pressure\np_need <= p_move\np_load <= p_part",
    symbols: &[
        ("p_load", "pressure with which the others hold the load, gauge"),
        ("p_need", "pressure that they need to raise it, gauge"),
        (
            "F",
            "greatest force along the travel, load at the heavy end of its tolerance, without the spring that is lost",
        ),
        ("n", "number of cylinders"),
        ("A_1", "piston area of one cylinder"),
        ("p_move", "set point at its low end less droop at its high end, gauge"),
        (
            "p_part",
            "least rating of cylinders, and of hoses unless a lock keeps the air out of them, at its low end; gauge",
        ),
    ],
    source: "p = F/A, ISO 80000-4",
    validity: "fail where the cylinders that are left stand above a rating, latch or not, as the shut valves keep that air \
in, or where their rods may buckle. Never better than a caution: how far the platform tilts, and whether it jams, depends on guides that no \
field describes.",
    mistakes: "",
};

/// More on the platform than was planned.
pub static OVERLOAD: Formula = Formula {
    topic: "overload",
    title: "Load 25 % above plan",
    asks: "Does it still rise, and what bears it, with a quarter more on the platform?",
    expression: "p_load = F / A\np_need by needed-pressure\np_need <= p_move",
    symbols: &[
        ("p_load", "load pressure, gauge"),
        ("p_need", "pressure needed, gauge"),
        ("F", "greatest force along the travel with 1.25 times the load at the heavy end of its tolerance"),
        ("A", "piston area of all cylinders"),
        ("p_move", "set point at its low end less droop at its high end, gauge"),
    ],
    source: "p = F/A, ISO 80000-4; a quarter above plan is an assumption of this program",
    validity: "fail: a rod or link may bow out, a beam, pin or weld gives way, or the rig tips. Caution: it does not \
rise, or a part is beyond its ordinary limit. Forces that the file gives for pins and welds grow by a quarter too. Not \
judged as long as beams, rods, links or the base are not described.",
    mistakes: "Turning the set point up until it rises: the regulator was what kept the frame from more.",
};

/// The load goes off the raised platform.
pub static LOAD_LOST: Formula = Formula {
    topic: "load-lost",
    title: "Load lost while raised",
    asks: "With what energy does the empty platform leap to its stop?",
    expression: "E = (p_end A - F_mean) x_left\nv = square root of (2 E / m_moving)",
    symbols: &[
        ("E", "energy with which the empty platform meets its stop, at most"),
        ("p_end", "gauge pressure in the cylinders when the load is up, at the heavy end of its tolerance"),
        ("A", "piston area of all cylinders"),
        ("F_mean", "mean along x_left of the force that the moving parts alone need"),
        ("x_left", "travel that is left"),
        ("v", "speed at the stop, at most"),
        ("m_moving", "mass of the moving parts"),
    ],
    source: "work and energy",
    validity: "the air is taken to keep its pressure, which in truth falls; friction is left out: both make E greater",
    mistakes: "",
};

/// The tank gone cold.
pub static COLD_TANK: Formula = Formula {
    topic: "cold-tank",
    title: "Tank gone cold",
    asks: "To what pressure does a full tank fall when it cools, and how far does a shut-in load sink?",
    expression: "p_cold + p_atm = (p_full - w + p_atm) Z_cold T_cold / (Z T)\n\
p_cold >= p_set + headroom\n\
x_sink = (A x + V_dead) (T - T_cold) / (T A)",
    symbols: &[
        ("p_cold", "pressure of the cold tank, gauge"),
        ("p_atm", "pressure of the site"),
        ("p_full", "pressure of the full tank, gauge"),
        ("w", "half width of its tolerance and of the gauge by which it is set"),
        ("Z", "compressibility factor at p_full and T"),
        ("Z_cold", "the same at p_cold and T_cold"),
        ("T", "temperature of the site"),
        ("T_cold", "15 K (27 degF) less"),
        ("p_set", "set point at its high end, gauge"),
        ("headroom", "how far the inlet of the regulator must stay above the set point"),
        ("x_sink", "travel by which a load on shut-in air sinks; no more than it was raised"),
        ("A", "piston area of all cylinders"),
        ("x", "travel when the load is up"),
        ("V_dead", "dead volume"),
    ],
    source: "the same mass in the same volume: gas equation of Lemmon and others (2000); the sinking load: ideal gas at \
the constant pressure of the load",
    validity: "all of the air at one temperature. 15 K is an assumption: from a warm workshop into a cold yard.",
    mistakes: "",
};

/// Push of the jet on a torn hose.
pub static TORN_HOSE: Formula = Formula {
    topic: "torn-hose",
    title: "Torn hose",
    asks: "With what force does the jet throw the torn end about?",
    expression: "F = A_hose (p_1 (1 + k) (2 / (k + 1))^(k / (k - 1)) - p_atm) where choked\n\
F = A_hose p_atm 2 k / (k - 1) ((p_1 / p_atm)^((k - 1) / k) - 1) below that\n\
choked: p_1 (2 / (k + 1))^(k / (k - 1)) >= p_atm",
    symbols: &[
        ("F", "push of the jet, without friction"),
        ("A_hose", "inside area of the hose"),
        ("p_1", "absolute pressure in the hose: the set point at its high end, crept up"),
        ("k", "ratio of the heat capacities of air, 1.4"),
        ("p_atm", "pressure of the site"),
    ],
    source: "momentum balance of an isentropic nozzle; restraints from a bore of 1 inch on: 30 CFR 77.412(d)",
    validity: "the first moment: a long hose gives less as soon as its own air is gone",
    mistakes: "",
};

/// The formula behind a fault, as far as its name tells. A loss of power may let the load fall or drive it up; the
/// [`Fault`](crate::answers::Fault) itself says which.
///
/// ```
/// # use lungful::formulas::of_fault;
/// assert_eq!(of_fault("hose off at the valve").topic, "falling-load");
/// ```
#[must_use]
pub fn of_fault(id: &str) -> &'static Formula {
    match id {
        "pressure switch stuck closed" | "relief valve stuck shut" => &STUCK_SWITCH,
        "regulator stuck open" => &super::STUCK_REGULATOR,
        "lower valve stuck open" | "hose off at the cylinders" | "hose off at the valve" => &FALLING_LOAD,
        "raise valve stuck open" => &RISING_PLATFORM,
        "one cylinder lost" => &CYLINDER_LOST,
        "load 25 % above plan" => &OVERLOAD,
        "load lost while raised" => &LOAD_LOST,
        "tank gone cold" => &COLD_TANK,
        "torn hose whips" => &TORN_HOSE,
        "air left after all off" => &super::STORED_ENERGY,
        _ => &SINGLE_FAULTS,
    }
}

/// Single faults.
pub static SINGLE_FAULTS: Formula = Formula {
    topic: "single-faults",
    title: "Single faults",
    asks: "Which faults are looked at, and what do their verdicts mean?",
    expression: "margin = (limit - value) / limit where the limit is the highest allowed\n\
margin = (value - limit) / limit where it is the lowest\n\
fail: margin < 0; caution: margin < 5 %\n\
air shut in: p_held = p_set, or p_need where the valve is shut as the load arrives",
    symbols: &[
        ("margin", "room left"),
        ("limit", "a rating, a speed, an energy, a pressure that the rig needs"),
        ("value", "what the fault leads to; each stated value counts at its unfavourable end"),
        ("p_held", "pressure in the cylinders of a raised load, gauge"),
        ("p_set", "set point, gauge"),
        ("p_need", "pressure needed at the top, gauge"),
    ],
    source: "one fault at a time: common practice in machine safety, no source",
    validity: "a regulator, a valve, a switch, a relief or check valve that sticks, power or a hose or a cylinder lost, a \
load lost or too heavy, a cold tank, air that stays behind; see stuck-regulator, stuck-switch, falling-load, \
rising-platform, cylinder-lost, load-lost, overload, cold-tank, torn-hose, stored-energy. Fail: a rating is passed, or a \
load comes down or goes up by itself faster than its limit; a loss of power that lets a held load down fails at any \
speed. Caution: something moves by itself, it needs a person, or a check that is not stated, or the load rests on air \
alone, a lock before it or not: a lock keeps air in, and the air leaks and cools. A latch is out while the load is \
lowered, so a fall stays a caution with it. A lock counts without power if `protection.lock-unpowered` says that it \
shuts then. Springs that open both valves count as the worse of rise and fall. The faults do not count in the verdict \
of `check`.",
    mistakes: "Two faults at once are not looked at, but a relief valve that sticks is not noticed until the switch \
sticks as well: prove it every month.",
};
