//! What the pump delivers, how long it fills, what it keeps up.

use super::Formula;

/// Volumetric efficiency.
pub static VOLUMETRIC_EFFICIENCY: Formula = Formula {
    topic: "volumetric-efficiency",
    title: "Volumetric efficiency",
    asks: "What share of its open-flow delivery does a piston pump keep at a tank pressure?",
    expression: "eta_v = 1 + c - c r^(1/n), never below 0\n\
r = (p + p_atm) / p_atm\n\
c = 1 / (((p_stall + 101325 Pa) / 101325 Pa)^(1/n) - 1)",
    symbols: &[
        ("eta_v", "volumetric efficiency"),
        ("c", "clearance, as a share of the swept volume, with which the pump stalls where it is stated to"),
        ("r", "pressure ratio, outlet over inlet, absolute"),
        ("n", "index of compression, 1.2 unless stated"),
        ("p", "tank pressure, gauge"),
        ("p_atm", "absolute pressure of the atmosphere of the site"),
        ("p_stall", "stall pressure of the pump, gauge, at sea level (101 325 Pa)"),
    ],
    source: "re-expansion of the clearance volume, for instance Joel, Basic Engineering Thermodynamics, chapter 14; \
the index of 1.2 is common practice, no source",
    validity: "c stands for all that takes delivery away; it is not the clearance one would measure. Left out: \
leakage past the rings, warm inlet air. Measured points are better: enter `compressor.delivery` as points.",
    mistakes: "A compressor's open-flow figure is not its flow at pressure: near cut-out it is often less than half.",
};

/// Delivery.
pub static DELIVERY: Formula = Formula {
    topic: "delivery",
    title: "Delivery",
    asks: "What mass of air does the pump deliver at a tank pressure?",
    expression: "from open flow and stall: m_dot = rho_in Q_open eta_v\n\
from points: m_dot = m_a + (m_b - m_a) (p - p_a) / (p_b - p_a)\n\
where a point is an inlet volume: m_a = rho_in Q_a, m_b = rho_in Q_b\n\
where open flow is stated as a mass: m_dot = m_open eta_v",
    symbols: &[
        ("m_dot", "mass delivered in a time"),
        ("rho_in", "density of the air of the site, dry"),
        ("Q_open", "open-flow delivery, as a volume of inlet air"),
        ("m_open", "open-flow delivery, as a mass"),
        ("eta_v", "volumetric efficiency at the tank pressure"),
        ("p", "tank pressure, gauge"),
        ("p_a", "pressure of the point at or below p, gauge"),
        ("p_b", "pressure of the point above p, gauge"),
        ("m_a", "mass delivered at p_a"),
        ("m_b", "mass delivered at p_b"),
        ("Q_a", "volume of inlet air at p_a"),
        ("Q_b", "volume of inlet air at p_b"),
    ],
    source: "definition of free-air delivery at inlet state, ISO 1217; linear interpolation",
    validity: "Below the first point the delivery keeps the first value; above the last it is nil, since nothing is \
known there. Points are used as given at any altitude.",
    mistakes: "A plain L/min or cfm on a data sheet counts inlet air. One at ANR, normal or standard state is turned \
into inlet volume first: see free-air.",
};

/// Stall.
pub static STALL: Formula = Formula {
    topic: "stall",
    title: "Stall pressure on site",
    asks: "At what tank pressure does the pump deliver nothing more?",
    expression: "p_stall_site = (p_stall + 101325 Pa) p_atm / 101325 Pa - p_atm",
    symbols: &[
        ("p_stall_site", "stall pressure on site, gauge"),
        ("p_stall", "stall pressure of the pump, gauge, at sea level"),
        ("p_atm", "absolute pressure of the atmosphere of the site"),
    ],
    source: "the pump keeps its pressure ratio; follows from volumetric-efficiency",
    validity: "open flow and stall. From points the first one without delivery, else the last one, stands for the \
stall. A pump that stalls at or below cut-out never switches off: no fill time is given and the check fails.",
    mistakes: "On a mountain a pump stalls lower: 14 bar at sea level is 11 bar at 2000 m.",
};

/// Fill time.
pub static FILL_TIME: Formula = Formula {
    topic: "fill-time",
    title: "Fill time",
    asks: "How long does the pump take from one tank pressure to another?",
    expression: "t = V * integral from p1 to p2 of (drho / dp) / m_dot(p) dp\n\
by hand, near enough: t = V (rho2 - rho1) / 6 * (1 / m1 + 4 / m_mid + 1 / m2)",
    symbols: &[
        ("t", "time"),
        ("V", "inside volume of the tank"),
        ("p1", "tank pressure at the start, gauge"),
        ("p2", "tank pressure at the end, gauge"),
        (
            "drho",
            "step in the density of air that goes with a step dp in pressure, at the temperature of the site",
        ),
        ("p", "tank pressure"),
        ("m_dot", "mass delivered in a time at p"),
        ("rho1", "density at p1"),
        ("rho2", "density at p2"),
        ("m1", "mass delivered in a time at p1"),
        ("m_mid", "mass delivered in a time half way between p1 and p2"),
        ("m2", "mass delivered in a time at p2"),
    ],
    source: "mass balance of the tank; by hand: Simpson's rule",
    validity: "a tank that stays at the temperature of the site; a fast fill warms it, reaches cut-out sooner and \
settles lower. The way by hand is good to a few per cent while the delivery at p2 is above half of that at p1, \
and where no point of the delivery lies far off the line.",
    mistakes: "Tank volume times pressure over open flow: it takes the delivery without pressure for that at pressure.",
};

/// Kept-up rate.
pub static KEPT_UP_RATE: Formula = Formula {
    topic: "kept-up-rate",
    title: "Rate kept up",
    asks: "How many strokes an hour does the pump make good, all day?",
    expression: "m_band = V (rho_cut_out - rho_cut_in)\n\
n_hour = 3600 s * duty * (m_band / t_band) / m_stroke, an hour",
    symbols: &[
        ("n_hour", "strokes an hour"),
        ("m_band", "air between cut-in and cut-out"),
        ("V", "inside volume of the tank"),
        ("rho_cut_out", "density at cut-out"),
        ("rho_cut_in", "density at cut-in"),
        ("duty", "share of the time for which the pump may run"),
        ("t_band", "time from cut-in to cut-out"),
        ("m_stroke", "air of one stroke at full pressures"),
    ],
    source: "mass balance",
    validity: "the tank works within its switch band; no leaks; none if the pump stalls at or below cut-out",
    mistakes: "A duty of 50 % halves the rate. A duty that is not stated is taken as 100 %, which few small pumps bear.",
};

/// Delivery needed.
pub static DELIVERY_NEEDED: Formula = Formula {
    topic: "delivery-needed",
    title: "Delivery needed for a rate",
    asks: "How much more must the pump deliver to keep up the rate wanted?",
    expression: "times = n_wanted / n_hour\nQ_needed = Q_open * times",
    symbols: &[
        ("times", "the delivery needed as a multiple of the pump's own, at every pressure"),
        ("n_wanted", "strokes wanted an hour, `cycle.per-hour`"),
        ("n_hour", "strokes an hour that the pump keeps up"),
        ("Q_needed", "open-flow delivery of such a pump, as a volume of inlet air"),
        ("Q_open", "open-flow delivery of the pump, as a volume of inlet air"),
    ],
    source: "the rate kept up is in proportion to the delivery: see kept-up-rate",
    validity: "a pump with the same duty and the same stall pressure",
    mistakes: "Comparing pumps by their open flow alone: compare what they deliver at cut-out.",
};

/// Duty.
pub static DUTY: Formula = Formula {
    topic: "compressor-duty",
    title: "Longest run of the pump",
    asks: "Does the pump run longer at a stretch than it is made for?",
    expression: "t_longest = greatest of t_empty, t_band and t_after\nt_longest <= t_max",
    symbols: &[
        ("t_longest", "longest run"),
        ("t_empty", "time from an empty tank to cut-out"),
        ("t_band", "time from cut-in to cut-out"),
        ("t_after", "time back to cut-out after the strokes at full pressure"),
        ("t_max", "longest run that the pump may make, `compressor.max-run`"),
    ],
    source: "definition",
    validity: "needs `compressor.max-run`",
    mistakes: "Duty is a share of the time and says nothing on one run: a pump at 50 % may still be made for no more \
than ten minutes at a stretch.",
};
