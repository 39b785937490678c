//! A session in time: tank, cylinders, load and regulator together.

use super::Formula;

const T: (&str, &str) = ("T", "absolute temperature of the air in a volume");
const T_SITE: (&str, &str) = ("T_site", "temperature of the site");
const V: (&str, &str) = ("V", "volume of tank, or of cylinders and hose");
const P: (&str, &str) = ("p", "pressure in a volume, absolute");
const M: (&str, &str) = ("m", "mass of air in a volume");

/// Air in a volume that takes and gives air.
pub static TANK_ENERGY: Formula = Formula {
    topic: "tank-energy",
    title: "Air in tank and cylinders over time",
    asks: "How do pressure and temperature change while air comes and goes?",
    expression: "rate of m = q_in - q_out\n\
rate of (m c R T) = q_in (c + Z_in) R T_in - q_out (c + Z) R T + Q - p A v\n\
p = m R T Z / V",
    symbols: &[
        M,
        ("q_in", "mass flow into the volume"),
        ("q_out", "mass flow out of it"),
        T,
        ("T_in", "temperature of the air that comes in"),
        ("c", "heat capacity of the air at constant volume over R, at the site"),
        ("Q", "heat flow into the air, see heat-exchange"),
        P,
        V,
        ("A", "area of all pistons on this side; a tank has none"),
        ("v", "speed of the pistons, so that the volume grows by A v"),
        ("R", "287.0491 J/(kg K)"),
        ("Z", "compressibility of dry air of this density, at the temperature of the site"),
        ("Z_in", "the same where the air comes from; of the tank for air from the pump"),
    ],
    source: "balance of mass and of energy of an open volume (first law of thermodynamics)",
    validity: "dry air, one temperature in each volume. Left out: moisture, cooling by throttling (some 0.2 K for \
each bar), pressure waves.",
    mistakes: "A tank that was emptied fast is cold: part of its pressure comes back while it warms. A tank that was \
filled fast is warm, and sags after the pump has stopped.",
};

/// Heat between air and surroundings.
pub static HEAT_EXCHANGE: Formula = Formula {
    topic: "heat-exchange",
    title: "Heat between the air and its surroundings",
    asks: "How fast do tank and cylinders come back to the temperature of the site?",
    expression: "Q = k (T_site - T)\n\
tank: k = U 6 V^(2/3), with the surface of a cube of that volume\n\
cap side: k = h A_wall, A_wall = N (pi / 2 D^2 + pi D (x_0 + x))",
    symbols: &[
        ("Q", "heat flow into the air"),
        ("k", "heat exchange, in W/K"),
        T_SITE,
        T,
        ("U", "6 W/(m2 K), bare steel in still air"),
        V,
        ("h", "40 W/(m2 K)"),
        ("A_wall", "wall that the air touches; that of the hose is left out"),
        ("N", "number of cylinders"),
        ("D", "bore"),
        ("x_0", "how far the rods stand out at the start, see dead-volume"),
        ("x", "travel"),
    ],
    source: "Newton's law of cooling; both coefficients are estimates of our own. Natural convection gives 5 to \
10 W/(m2 K); fits to cylinders that fill and empty lie between 20 and 150 W/(m2 K)",
    validity: "none at all gives the quick count of strokes, infinitely much the slow one; any figure lies between",
    mistakes: "A painted or a wet tank, one in the wind or in the sun, differs by a factor of two.",
};

/// Balance of the load on its air.
pub static LOAD_MOTION: Formula = Formula {
    topic: "load-movement",
    title: "The load on its air over time",
    asks: "How fast does the load move, and when does it start, stop and stand still?",
    expression: "up: (p_1 A_1 - p_2 A_2) N - mu p_1 A_1 N = (W r + F_arms) / eta + springs, gauge pressures\n\
down: (p_1 A_1 - p_2 A_2) N + mu (p_1 A_1 + p_2 A_2) N = (W r + F_arms) eta + springs\n\
between the two the load stands; the speed v is the one that keeps the balance while air flows\n\
from rest k mu takes the place of mu",
    symbols: &[
        ("p_1", "pressure on the cap side"),
        ("p_2", "pressure on the rod side, or back-pressure"),
        ("A_1", "area of one piston"),
        ("A_2", "area of one ring, piston less rod"),
        ("N", "number of cylinders"),
        ("mu", "seal friction as a share of thrust"),
        ("k", "friction to start as a multiple of that in motion, `cylinders.breakaway`; 1 unless given"),
        ("W", "weight on the lifting points, moving parts included"),
        ("r", "height gained for each length of travel"),
        ("F_arms", "what the arms of the linkage press besides"),
        ("eta", "efficiency of the linkage"),
        ("springs", "force of all return springs at this travel"),
        ("v", "speed of the pistons"),
    ],
    source: "balance of forces; virtual work for the linkage",
    validity: "slow motion: inertia is left out, so there is no bounce and no blow. Where no balance exists the load \
jumps to the next one, which is counted as a jerk.",
    mistakes: "A load that stands on its air is held by friction as well: it stays for a while as the air leaks, \
then comes down at once.",
};

/// What a regulator gives while air flows.
pub static REGULATOR_DROOP: Formula = Formula {
    topic: "regulator-droop",
    title: "Regulator while air flows",
    asks: "What does the regulator give while the load rises?",
    expression: "p_out = p_set - droop q / q_rated, never above p_tank\n\
valve and hose in a row count as one: C from choked flow, b from the flow at p2 / p1 = 0.8",
    symbols: &[
        ("p_out", "pressure behind the regulator"),
        ("p_set", "set point, no flow"),
        ("p_tank", "pressure in the tank"),
        ("droop", "fall below the set point at rated flow"),
        ("q", "mass flow"),
        ("q_rated", "flow for which the droop is stated, `regulator.rated-flow`"),
        ("C", "sonic conductance"),
        ("b", "critical pressure ratio"),
        ("p1", "pressure before valve and hose, absolute"),
        ("p2", "pressure behind them, absolute"),
    ],
    source: "straight line through the two figures that data sheets state; an approximation of our own",
    validity: "a seat that lets through what the line asks for. Real characteristics begin with a step and bend down at \
high flow.",
    mistakes: "A droop without its flow says nothing of how fast a load rises.",
};
