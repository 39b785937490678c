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

/// Flow through a valve or hose.
pub static VALVE_FLOW: Formula = Formula {
    topic: "valve-flow",
    title: "Flow through valves and hoses",
    asks: "How much air does a valve, a hole or a hose let through?",
    expression: "q = C rho_0 p1 (T_0 / T)^0.5 f\n\
f = 1 where p2 / p1 <= b\n\
f = (1 - ((p2 / p1 - b) / (1 - b))^2)^0.5 above it\n\
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
    ],
    source: "ISO 6358, as quoted in documentation of simulation libraries; the standard was not at hand. Cv and Kv \
by the definition for water with b = 0.5; a hole by choked isentropic flow; a hose by \
C = 0.029 D^2 / (L / D^1.25 + 510)^0.5 (from memory)",
    validity: "dry air; steady flow; one narrowest passage for each valve. Linear above p2 / p1 = 0.999.",
    mistakes: "Conductances in a row do not add as reciprocals. A valve's Cv alone does not tell at which ratio it \
chokes: figures from Cv may be off by a fifth.",
};

/// Time of a raise.
pub static RAISE_TIME: Formula = Formula {
    topic: "raise-time",
    title: "Raise time",
    asks: "How long from opening the valve until the load has arrived?",
    expression: "t = integral of dm / q(p), m = p V / (R T), V = V_dead + A x\n\
first to the pressure that starts the motion (the delay), then along the travel\n\
where the needed pressure stays the same: v = q(p) R T / (p A)",
    symbols: &[
        ("t", "time"),
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
point. Droop falls with the flow only if `regulator.rated-flow` is given.",
    mistakes: "Near its full load a cylinder slows to a crawl: the last few percent of load cost most of the time.",
};

/// Speed on the way down.
pub static LOWERING_SPEED: Formula = Formula {
    topic: "lowering-speed",
    title: "Lowering speed",
    asks: "How fast does the load come down through the lower valve?",
    expression: "p_sink = ((W r + F_arms) eta + springs) / (N A_1) / (1 + mu)\n\
v = q(p_sink) R T / (p_sink A), times r for the load\n\
a hose torn off at the cylinders is a hole of its bore; no faster than a free fall",
    symbols: &[
        ("p_sink", "pressure that the sinking load keeps up, friction against it"),
        ("W", "weight on the lifting points"),
        ("r", "height gained for each length of travel"),
        ("F_arms", "what the arms of the linkage press besides"),
        ("eta", "efficiency of the linkage"),
        ("springs", "force of the return springs"),
        ("N", "number of cylinders"),
        ("A_1", "area of one piston"),
        ("mu", "seal friction as a share of thrust"),
        ("v", "speed of the pistons"),
        Q,
        ("R", "287.05 J/(kg K)"),
        T,
        A,
    ],
    source: "balance of forces; mass balance of an ideal gas at one temperature",
    validity: "single-acting cylinders, slow motion. With less friction than stated the load comes down faster.",
    mistakes: "A lower valve opened wide lets a heavy load down much faster than the same valve lets it up.",
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
