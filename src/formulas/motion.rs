//! How fast the load goes up, how fast it comes down.

use super::Formula;

const Q: (&str, &str) = ("q", "mass flow");
const C: (&str, &str) = ("C", "sonic conductance, as in L/(s bar)");
const B: (&str, &str) = ("b", "critical pressure ratio: at and below it the flow is choked");
const P1: (&str, &str) = ("p1", "pressure before the restriction, absolute");
const P2: (&str, &str) = ("p2", "pressure behind it, absolute");
const T: (&str, &str) = ("T", "temperature of the air");
const A: (&str, &str) = ("A", "area of all pistons together");
const P: (&str, &str) = ("p", "pressure in the cylinders, absolute");

/// Conductance from what else is known of a passage.
pub static CONDUCTANCE: Formula = Formula {
    topic: "conductance",
    title: "Conductance of valves and holes",
    asks: "What are C and b of a passage that is known by another figure?",
    expression: "from Cv or Kv: C = k ((1 - b) / 2)^0.5 / (rho_0 (R T_0)^0.5)\n\
k = 2.4015e-5 m2 Cv, or 2.7764e-5 m2 Kv; b = 0.5 unless it is given\n\
from an effective area: C = S psi / (rho_0 T_0^0.5); b = 0.528 unless it is given\n\
from a hole: S = Cd pi/4 d^2, b = 0.528",
    symbols: &[
        C,
        B,
        ("Cv", "US gallons of water a minute that 1 psi drives through it"),
        ("Kv", "cubic metres of water an hour that 1 bar drives through it"),
        ("k", "area that passes k (rho dp)^0.5 of water"),
        ("S", "effective area"),
        ("Cd", "discharge coefficient: 0.65 sharp edges, 0.97 rounded"),
        ("d", "diameter of the hole"),
        ("psi", "0.040415 s K^0.5/m, choked flow of an ideal gas with k = 1.4"),
        ("rho_0", "1.185 kg/m3, density of air ANR"),
        ("R", "287.05 J/(kg K)"),
        ("T_0", "293.15 K"),
    ],
    source: "Cv and Kv: IEC 60534-2-1, with water of 999 kg/m3, matched to ISO 6358 at small drops (derived here). Hole: \
choked isentropic flow, NACA Report 1135 (1953)",
    validity: "measured figures of b lie between 0.1 and 0.6",
    mistakes: "A valve's Cv alone does not tell at which ratio it chokes: C from it may be off by a fifth. Give `b` with \
it where it is known.",
};

/// Conductance of a hose.
pub static HOSE_CONDUCTANCE: Formula = Formula {
    topic: "hose-conductance",
    title: "Conductance of a hose",
    asks: "How much does a hose hold the air back?",
    expression: "C = 0.029 D^2 / (L / D^1.25 + 510)^0.5 in m3/(s Pa)\n\
b = 474 C / D^2",
    symbols: &[C, B, ("D", "bore of the hose, in m"), ("L", "length of the hose, in m")],
    source: "formula of Eckersten as textbooks of pneumatics quote it (Beater, Pneumatic Drives, Springer 2007), from \
memory",
    validity: "smooth hoses of 1 to 50 mm, entrance included, fittings and bends not. Adiabatic flow with friction in a \
smooth tube passes 2 to 16 % more for 2.5 to 13 mm and 0.2 to 10 m.",
    mistakes: "A long thin hose may hold back more than the valve: widening the valve then gains nothing.",
};

/// Flow through a valve or hose.
pub static VALVE_FLOW: Formula = Formula {
    topic: "valve-flow",
    title: "Flow through valves and hoses",
    asks: "How much air does a valve, a hole or a hose let through?",
    expression: "q = C rho_0 p1 (T_0 / T)^0.5 f\n\
f = 1 where p2 / p1 <= b\n\
f = (1 - ((p2 / p1 - b) / (1 - p_c / p1 - b))^2)^m above it\n\
several in a row: the same q through each, found by trial of the pressures between",
    symbols: &[
        Q,
        C,
        B,
        P1,
        P2,
        T,
        ("rho_0", "1.185 kg/m3, density of air ANR"),
        ("T_0", "293.15 K"),
        ("f", "share of the choked flow"),
        ("m", "subsonic index: 0.5 unless it was measured"),
        ("p_c", "cracking pressure of a check valve, else 0"),
    ],
    source: "ISO 6358, as quoted in documentation of simulation libraries; the standard was not at hand",
    validity: "dry air; steady flow; one narrowest passage for each valve. Linear above p2 / p1 = 0.999.",
    mistakes: "Conductances in a row do not add as reciprocals.",
};

/// Time of a raise.
pub static RAISE_TIME: Formula = Formula {
    topic: "raise-time",
    title: "Raise time",
    asks: "How long from opening the valve until the load has arrived?",
    expression: "t = integral of dm / q(p), m = p V / (R T), V = V_dead + A x\n\
first to the pressure that starts the motion (the delay), then along the travel\n\
where the needed pressure stays the same: v = q(p) R T / (p A), t = t_delay + x / v",
    symbols: &[
        ("t", "time"),
        ("t_delay", "time before the first motion"),
        ("m", "mass of air in the cylinders and hoses"),
        ("V", "volume that it fills"),
        ("V_dead", "dead volume"),
        A,
        ("x", "travel"),
        ("v", "speed of the pistons"),
        Q,
        P,
        ("R", "287.05 J/(kg K)"),
        T,
    ],
    source: "mass balance of an ideal gas at one temperature",
    validity: "slow motion: nothing is spent on speeding up; the pressure in the cylinders is the one needed at each \
point. Droop falls with the flow only if `regulator.rated-flow` is given. A C that is converted from Cv, Kv, an area or a bore \
may be off by a fifth, and the time with it (common practice, no source).",
    mistakes: "Near its full load a cylinder slows to a crawl: the last few percent of load cost most of the time.",
};

/// Time of a raise of double-acting cylinders.
pub static RAISE_DOUBLE_ACTING: Formula = Formula {
    topic: "raise-double-acting",
    title: "Raise against the air on the rod side",
    asks: "How long does a raise take when double-acting cylinders must push out the air on their rod side?",
    expression: "R T q = growth of p V in time, V = V_dead + A x\n\
R T q_r = fall of p_r V_r in time, V_r = V_dead + A_r (s - x)\n\
A (p - p_0) (1 - mu) = F + A_r (p_r - p_0)\n\
t = t_0 + t_rod",
    symbols: &[
        ("t", "time from opening the valve to the arrival"),
        ("t_0", "time with the rod side open to the air"),
        ("t_rod", "what the air leaving the rod side adds"),
        ("p", "pressure on the cap side, absolute"),
        ("p_r", "the same on the rod side"),
        ("p_0", "pressure of the site"),
        ("q", "flow to the cap side through regulator, `line.raise`, fittings and hose"),
        ("q_r", "flow from the rod side through hose, fittings and `line.rod-vent`"),
        ("V", "volume on the cap side"),
        ("V_r", "volume on the rod side"),
        ("V_dead", "dead volume of a side"),
        ("A", "area of all pistons"),
        ("A_r", "the same around the rods"),
        ("x", "travel"),
        ("s", "stroke"),
        ("F", "force that the load needs"),
        ("mu", "seal friction as a share of thrust"),
        ("R", "287.05 J/(kg K)"),
        T,
    ],
    source: "mass balance of an ideal gas at one temperature, ISO 6358, balance of forces; solved in time as a \
rehearsal is, the supply kept up",
    validity: "slow motion, both sides at the pressure of the site when the valve opens: right after a lowering the \
return air still stands on the rod side, and the raise takes longer. A stated `cylinders.back-pressure` takes the \
place of the rod side, or is the least there if `line.rod-vent` is given too. Without `line.rod-vent` the air is taken \
to leave through a passage like `line.lower`.",
    mistakes: "A throttle for lowering that the rod side breathes through as well slows the way up.",
};

/// Lifts before the first slow one.
pub static FIRST_SLOW_LIFT: Formula = Formula {
    topic: "first-slow-lift",
    title: "First slow lift",
    asks: "How many lifts does a full tank give, the pump off, before one takes too long?",
    expression: "p_supply = min(p_set, p_tank after the lift)\n\
t = raise time with the regulator set to p_supply\n\
n = number of lifts, from the first, with t <= t_slow",
    symbols: &[
        ("p_supply", "pressure that the regulator gives without flow"),
        ("p_set", "set point"),
        ("p_tank", "pressure of the tank, as the count of strokes has it"),
        ("t", "time of the raise, from opening the valve"),
        ("t_slow", "`limits.raise-time` or `cycle.raise-within`, the shorter if both are given"),
        ("n", "lifts in time"),
    ],
    source: "the count of strokes (slow gas) and the raise time, put together here",
    validity: "cautious: the pressure after a lift is taken all through it, droop is taken off it as off a set point, \
and a lift that comes to a stop is slow. The load is the given one. A rehearsal follows the pressures in time and may \
make a lift more. Of double-acting cylinders each lift begins with the rod side vented; lifts that follow on a lowering \
at once are slower.",
    mistakes: "Long before the load stalls, lifts slow down: count the strokes that are quick enough.",
};

/// Speed on the way down.
pub static LOWERING_SPEED: Formula = Formula {
    topic: "lowering-speed",
    title: "Lowering speed",
    asks: "How fast does the load come down through the lower valve?",
    expression: "F = (W r + F_arms) eta + springs\n\
p_sink = (F + p_set N A_r (1 - mu)) / (N A_1 (1 + mu)), p_set for double-acting cylinders only\n\
v = q(p_sink) R T / (p_sink A + F_x), times r for the load\n\
the time as for a raise, from the pressure held; double acting: both sides followed in time\n\
a hose torn off at the cylinders: one hole of its bore, Cd = 0.97; never faster than a fall",
    symbols: &[
        ("p_sink", "pressure that the sinking load keeps up, friction against it; absolute where it gives v"),
        ("F", "force of the sinking load on the pistons"),
        ("W", "weight on the lifting points"),
        ("r", "height gained for each length of travel"),
        ("F_arms", "what the arms of the linkage press besides"),
        ("eta", "efficiency of the linkage"),
        ("springs", "force of the return springs"),
        ("F_x", "V dp_sink/dx, what the air in the cylinders takes up as its pressure changes on the way"),
        ("p_set", "set point: pressure of the return air, gauge"),
        ("N", "number of cylinders"),
        ("A_1", "area of one piston"),
        ("A_r", "area of one piston less that of its rod"),
        ("mu", "seal friction as a share of thrust"),
        ("v", "speed of the pistons"),
        Q,
        ("R", "287.05 J/(kg K)"),
        T,
        A,
    ],
    source: "balance of forces; mass balance of an ideal gas at one temperature",
    validity: "slow motion. For the speed the return air of double-acting cylinders stands at the set point all the way, \
which is the fastest that it can do: where its own passage holds it back, the load is slower. If it asks more of the air held than \
that has, the load drops at first, no faster than the return air comes through `line.rod-fill`. With less friction than stated the \
load comes down faster.",
    mistakes: "A lower valve opened wide lets a heavy load down much faster than the same valve lets it up.",
};

/// The valve for a speed.
pub static WANTED_VALVE: Formula = Formula {
    topic: "lowering-throttle",
    title: "Throttle for a lowering speed",
    asks: "How narrow must the lower valve be for the load to keep to a speed?",
    expression: "q = v (p_sink A + F_x) / (R T)\n\
C = q (T / T_0)^0.5 / (rho_0 p1 f)",
    symbols: &[
        C,
        Q,
        ("v", "speed of the pistons at the limit"),
        ("p_sink", "pressure that the sinking load keeps up where it is fastest, absolute"),
        ("F_x", "V dp_sink/dx, what the air in the cylinders takes up as its pressure changes on the way"),
        A,
        ("R", "287.05 J/(kg K)"),
        T,
        P1,
        ("f", "share of the choked flow at p_atm / p1, with the b of the lower valve"),
        ("rho_0", "1.185 kg/m3, density of air ANR"),
        ("T_0", "293.15 K"),
    ],
    source: "the lowering speed, solved for the conductance",
    validity: "as for the lowering speed; p1 is what hose, fittings and port throttles leave of p_sink",
    mistakes: "The passage that counts is the narrowest: a wide valve behind a throttle in the port does no harm.",
};

/// Energy at the stops.
pub static STOP_ENERGY: Formula = Formula {
    topic: "stop-energy",
    title: "Blow at the stops",
    asks: "How much energy must the end stops take?",
    expression: "E = (share * m + m_moving) v^2 / 2",
    symbols: &[
        ("E", "energy of the moving mass"),
        ("share", "share of the load on the lifting points"),
        ("m", "mass of the load"),
        ("m_moving", "mass of the moving parts"),
        ("v", "highest speed of the load"),
    ],
    source: "definition of kinetic energy",
    validity: "the air that goes on pushing while the stop gives way is left out",
    mistakes: "Twice the speed is four times the blow.",
};
