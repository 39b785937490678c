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
        ("p_stall", "pressure at which the pump delivers nothing more, if it is known; gauge"),
        ("p_second", "second switch, at the high end of its tolerance, if there is one; gauge"),
        ("p_relief", "opening pressure of the relief valve, gauge; counted only if it passes the delivery"),
        ("w", "half width of its stated tolerance"),
        ("p_tank", "rating of the receiver at the low end of its tolerance, gauge"),
        ("t", "time from cut-out to the relief valve"),
        ("p_cut_out", "pressure at which the switch should have stopped the pump, gauge"),
        ("V", "inside volume of the tank"),
        ("drho", "step of density"),
        ("dp", "step of pressure"),
        ("m_dot", "mass delivered in a time: see delivery"),
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
    expression: "v = greatest along the travel of r q(p) R T / (p A), but no more than sqrt(2 g h)\n\
p = p_atm + p_load / (1 + mu)\n\
a hole of bore d: C = Cd C_1 d^2",
    symbols: &[
        ("v", "highest speed of the load"),
        ("r", "height gained for travel of the cylinders, dh/dx; 1 for a direct push"),
        ("q", "mass flow through the way out: ISO 6358, elements in series"),
        ("p", "absolute pressure that the sinking load keeps up"),
        ("R", "gas constant of air, 287.05 J/(kg K)"),
        ("T", "temperature of the air"),
        ("A", "piston area of all cylinders"),
        ("g", "9.80665 m/s2"),
        ("h", "height of the load at the end of the stroke"),
        ("p_atm", "pressure of the site"),
        ("p_load", "pressure that balances the load, gauge"),
        ("mu", "friction of the seals as a share of thrust"),
        ("d", "bore of the hole: that of the hose, rounded edge, where a hose is off"),
        ("C", "sonic conductance"),
        ("Cd", "discharge coefficient, 0.97 for the rounded edge of a torn end"),
        ("C_1", "sonic conductance of a nozzle over its bore squared"),
    ],
    source: "mass balance of an ideal gas at one temperature; ISO 6358; free fall as the upper bound",
    validity: "quasi-static: the load is not sped up beyond what the air lets out. The limit `limits.fall-speed` is \
250 mm/s unless given, an estimate of our own. The fall of a double-acting cylinder is not judged: the air on its \
rod side drives it and is not followed.",
    mistakes: "A hose that tears at the cylinders lets the load down through the whole port, however small the lower \
valve is. Only what sits in the port helps: a lock, a throttle, or a latch on the load.",
};

/// The formula behind a fault.
///
/// ```
/// # use lungful::formulas::of_fault;
/// assert_eq!(of_fault("hose off at the valve").topic, "falling-load");
/// ```
#[must_use]
pub fn of_fault(id: &str) -> &'static Formula {
    match id {
        "pressure switch stuck closed" | "relief valve stuck shut" => &STUCK_SWITCH,
        "electric power lost"
        | "lower valve stuck open"
        | "hose off at the cylinders"
        | "hose off at the valve" => &FALLING_LOAD,
        "air left after all off" => &super::STORED_ENERGY,
        _ => &SINGLE_FAULTS,
    }
}

/// Single faults.
pub static SINGLE_FAULTS: Formula = Formula {
    topic: "single-faults",
    title: "Single faults",
    asks: "Which faults are looked at, and what do their verdicts mean?",
    expression: "regulator stuck open: p_fault = lesser of p_full and 1.10 p_line_relief, p_fault <= p_part\n\
one cylinder of n lost: p_need = F / ((n - 1) A_1 (1 - mu)) <= p_move\n\
tank gone cold: rho(p_cold, T - 15 K) = rho(p_full, T), p_cold >= p_set + headroom\n\
torn hose, choked: F_jet = A_hose (1.268 p_1 - p_atm)\n\
load lost: E_leap = integral over x_left of (p_end A - F_empty) dx\n\
load 25 % above plan: p_need(1.25 m) <= p_move, and the structure bears 1.25 m",
    symbols: &[
        ("p_fault", "pressure after the regulator, gauge"),
        (
            "p_line_relief",
            "relief valve after the regulator at the high end of its tolerance, if there is one that passes the flow; gauge",
        ),
        ("p_part", "lowest rating after the regulator, gauge"),
        ("n", "number of cylinders"),
        ("p_need", "pressure that the others need, gauge"),
        ("F", "greatest force along the travel"),
        ("A_1", "piston area of one cylinder"),
        ("mu", "friction of the seals as a share of thrust"),
        ("p_move", "set point less droop, gauge"),
        ("rho", "density of air"),
        ("p_cold", "pressure of the tank 15 K (27 degF) colder"),
        ("T", "temperature of the site"),
        ("p_full", "pressure of the full tank"),
        ("p_set", "set point"),
        ("headroom", "how far the inlet of the regulator must stay above the set point"),
        ("F_jet", "push of the jet on the torn end, without friction"),
        ("A_hose", "inside area of the hose"),
        ("p_1", "absolute pressure in the hose"),
        ("p_atm", "pressure of the site"),
        ("E_leap", "energy with which the empty platform meets its stop, at most"),
        ("p_end", "gauge pressure in the cylinders when the load is up"),
        ("A", "piston area of all cylinders"),
        ("F_empty", "force that the moving parts alone need, along the travel"),
        ("x_left", "travel that is left"),
        ("dx", "step of travel"),
        ("m", "mass of the load at the heavy end of its tolerance"),
    ],
    source: "one fault at a time: common practice in machine safety, no source; jet: momentum balance of an isentropic \
nozzle, k = 1.4",
    validity: "fail: a rating is passed, or a load comes down or goes up by itself faster than its limit. A loss of power \
that lets a held load down fails at any speed. Caution: it needs a person, or a check that is not stated, or the load rests on air alone. A latch \
is out while the load is lowered: it passes only a fall that is slow without it. The faults \
do not count in the verdict of `check`.",
    mistakes: "Two faults at once are not looked at, but a relief valve that sticks is not noticed until the switch \
sticks as well: prove it every month.",
};
