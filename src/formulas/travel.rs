//! What the cylinders can lift along the travel, where the work goes, and what height is left.

use super::Formula;

const E_LOAD: (&str, &str) =
    ("E_load", "work on the load and the moving parts: the sum of weight times height gained");
const E_ARMS: (&str, &str) = ("E_arms", "work on the arms of the linkage; 0 if they are left out");
const ETA: (&str, &str) = ("eta", "share of the cylinders' work that reaches the load");
const X_END: (&str, &str) = ("x_end", "travel at the end: full stroke, or less if a stop comes first");

/// Capacity along the travel, and what is left at its end.
pub static LIFT_ALONG_THE_TRAVEL: Formula = Formula {
    topic: "lift-along-the-travel",
    title: "Lift along the travel",
    asks: "What do the cylinders lift at each point, where is that least, and what is too much at the end?",
    expression: "F_avail = N (A p_move (1 - mu) - Ar p_back)\n\
m(x) = ((F_avail - N F_s x / s) eta / g - m_moving r - F_arms / g) / (share borne r), never below 0\n\
the limiting point is the x with the least m(x); m(x) there is the capacity\n\
spare = F_avail - F_end\n\
E_stop = N A p_set x_end - (E_load + E_arms) / eta - E_springs, never below 0\n\
A = pi/4 * D^2, Ar = pi/4 * (D^2 - d^2)",
    symbols: &[
        ("F_avail", "force of all cylinders at the moving pressure, friction and back-pressure taken off"),
        ("N", "number of cylinders"),
        ("A", "piston area, cap side, of one cylinder"),
        ("Ar", "ring area, rod side, of one cylinder"),
        ("D", "bore"),
        ("d", "rod diameter"),
        ("p_move", "moving pressure, gauge"),
        ("p_set", "set point of the regulator, gauge"),
        ("mu", "seal friction as a share of thrust"),
        ("p_back", "pressure left on the rod side while raising; 0 for single-acting cylinders"),
        ("m", "load mass, all of it, that is lifted at x"),
        ("x", "travel of the cylinders"),
        ("F_s", "return spring force of one cylinder at full stroke"),
        ("s", "full stroke"),
        ETA,
        ("g", "standard gravity, 9.80665 m/s2"),
        ("m_moving", "mass of the parts of the rig that move with the load"),
        ("r", "height gained for each length of travel, dh/dx"),
        ("F_arms", "what the arms of the linkage ask before its efficiency; 0 if left out"),
        ("share", "share of the weight of the load that rests on the lifting points"),
        ("borne", "share of the load that rests on the rig there"),
        ("spare", "force left over at the end of the travel; below 0 if it does not get there"),
        ("F_end", "force needed at the end of the travel"),
        ("E_stop", "energy with which load and linkage arrive at the end, at most"),
        X_END,
        E_LOAD,
        E_ARMS,
        ("E_springs", "work stored in the return springs"),
    ],
    source: "virtual work; conservation of energy",
    validity: "E_stop is an upper bound: the set point all along, no throttle, no end cushion, no \
seal friction. Where the load does not rest on the rig, or comes down, any mass would do and none is shown.",
    mistakes: "Sizing for the worst point and forgetting the best one: where little force is needed the load runs away \
and slams. Throttle the exhaust, or cushion the end for E_stop.",
};

/// Where the work of the cylinders goes.
pub static WORK_BALANCE: Formula = Formula {
    topic: "work-balance",
    title: "Balance of work",
    asks: "Does the work of the cylinders over the travel come back as work on the load?",
    expression: "E_cyl = integral over the travel of (F - N F_s x / s) dx\n\
E_cyl = (E_load + E_arms) / eta\n\
E_lost = (E_load + E_arms) (1 / eta - 1)\n\
E_springs = N F_s x_end^2 / (2 s), besides",
    symbols: &[
        ("E_cyl", "work of the cylinders, what goes into the springs left out"),
        ("F", "force needed from all cylinders at travel x"),
        ("N", "number of cylinders"),
        ("F_s", "return spring force of one cylinder at full stroke"),
        ("x", "travel of the cylinders"),
        ("s", "full stroke"),
        E_LOAD,
        E_ARMS,
        ETA,
        ("E_lost", "work lost in the linkage"),
        ("E_springs", "work stored in the return springs"),
        X_END,
    ],
    source: "conservation of energy",
    validity: "slow motion. A leg that passes straight gives work back near its end; the figure there is nominal.",
    mistakes: "Looking for a linkage that gains force and height alike. None does: what it gives in one it takes in the \
other, and its pins take a share.",
};

/// Net height.
pub static NET_HEIGHT: Formula = Formula {
    topic: "net-height",
    title: "Net height",
    asks: "How far does the load rise when all that gives way is taken off?",
    expression: "x_reached = min(x_end, s - w_cyl)\n\
h_net = h - take_up - w_load - sink, h being the height gained at x_reached\n\
h_net >= lift",
    symbols: &[
        ("x_reached", "travel that is left for the linkage"),
        X_END,
        ("s", "stroke of the cylinders, less what the rods stand out at the start"),
        (
            "w_cyl",
            "sum over the beams that carry the cylinders: deflection under their load times the share lost; 0 without such beams",
        ),
        ("h_net", "net height"),
        ("h", "height gained by the linkage"),
        ("take_up", "free height before the load is borne"),
        ("w_load", "sum over the beams that carry the load: deflection under it times the share lost"),
        ("sink", "by how much feet sink and joints play under load"),
        ("lift", "height by which the load must rise"),
    ],
    source: "geometry; deflections as for deflection",
    validity: "a load at rest. The deflection changes the travel, the travel the force, the force the deflection: \
they are searched together until they agree. The bends of all beams described are added: where \
beams lie side by side and share one load, let one count and enter `height-lost = 0` for the others.",
    mistakes: "Measuring the lift of the empty rig. Everything gives: measure it under load.",
};

/// Tipping.
pub static TIPPING: Formula = Formula {
    topic: "tipping",
    title: "Tipping",
    asks: "How firmly does the rig stand on a slope and under a side force?",
    expression: "restoring = g cos(theta) (m_rig d_rig + m_load d_load), for d above 0\n\
overturning = g sin(theta) (m_rig h_rig + m_load h_load) + F_side h_side\n\
a mass outside the edge, d below 0, adds g cos(theta) m |d| to overturning instead\n\
stability = restoring / overturning, for the worst edge at the worst point of the travel\n\
stability >= limit",
    symbols: &[
        ("restoring", "moment about the edge of what holds the rig down"),
        ("overturning", "moment about the edge of what turns it over"),
        ("stability", "how many times over it is held"),
        ("g", "standard gravity, 9.80665 m/s2"),
        ("theta", "slope of the ground, taken to fall towards the edge"),
        ("m", "the one mass or the other"),
        ("d", "its distance inside the edge"),
        ("m_rig", "mass of the rig without load and moving parts"),
        ("d_rig", "distance of its centre of gravity inside the edge, along the ground"),
        ("h_rig", "height of its centre of gravity"),
        (
            "m_load",
            "mass that rests on the rig at that point: load by its share, and moving parts; the moving parts alone where that stands worse",
        ),
        ("d_load", "distance of its centre of gravity inside the edge; what a lever carries moves level too"),
        ("h_load", "height of its centre of gravity at that point of the travel"),
        ("F_side", "side force, taken to push towards the edge"),
        ("h_side", "height at which it pushes"),
        ("limit", "least stability allowed, `limits.stability`"),
    ],
    source: "equilibrium of moments about the edge; a limit of 1.5 is common practice, no source",
    validity: "hard ground, a stiff base, nothing that slides or swings. The travel is looked at in 25 places.",
    mistakes: "Testing it lowered: the raised load is the one that tips. A wheel on soft ground moves the edge inward.",
};
