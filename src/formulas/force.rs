//! From the load to the pressure it asks for, and back.

use super::Formula;

const G: (&str, &str) = ("g", "standard gravity, 9.80665 m/s2");
const N: (&str, &str) = ("N", "number of cylinders");
const D: (&str, &str) = ("D", "bore");
const ROD: (&str, &str) = ("d", "rod diameter");
const A: (&str, &str) = ("A", "piston area, cap side, of one cylinder");
const AR: (&str, &str) = ("Ar", "ring area, rod side, of one cylinder");
const MU: (&str, &str) = ("mu", "seal friction as a share of thrust");
const P_BACK: (&str, &str) =
    ("p_back", "pressure left on the rod side while raising; 0 for single-acting cylinders");
const F_S: (&str, &str) =
    ("F_s", "return spring force of one cylinder at full stroke; it grows from zero in proportion");
const SHARE: (&str, &str) = ("share", "share of the weight of the load that rests on the lifting points");
const M_MOVING: (&str, &str) = ("m_moving", "mass of the parts of the rig that move with the load");
const ETA: (&str, &str) = ("eta", "share of the cylinders' work that reaches the load");
const X: (&str, &str) = ("x", "travel of the cylinders");
const STROKE: (&str, &str) = ("s", "full stroke");
const R: (&str, &str) = ("r", "height gained for each length of travel, dh/dx; 1 for a direct load");
const F_ARMS: (&str, &str) = (
    "F_arms",
    "what the arms of the linkage ask before its efficiency, g * sum of m_i dh_i/dx; 0 if left out",
);
const BORNE: (&str, &str) = ("borne", "share of the load that rests on the rig there: 0 below the take-up");
const P_MOVE: (&str, &str) = ("p_move", "moving pressure, gauge");

/// Force needed along the travel.
pub static LOAD: Formula = Formula {
    topic: "load-along-the-travel",
    title: "Load along the travel",
    asks: "What force must all cylinders together give at each point of their travel?",
    expression: "W = g (share * m * borne + m_moving)\n\
F = (W r + F_arms) / eta + N F_s x / s\n\
the load force shown is the highest F along the travel",
    symbols: &[
        ("F", "force needed from all cylinders together at travel x"),
        ("W", "weight on the lifting points there"),
        G,
        SHARE,
        ("m", "mass of the load, all of it"),
        BORNE,
        M_MOVING,
        R,
        F_ARMS,
        ETA,
        N,
        F_S,
        X,
        STROKE,
    ],
    source: "virtual work; g: 3rd General Conference on Weights and Measures (1901), exact",
    validity: "slow motion: the load's inertia is left out. Rigid linkage, friction of its pins in eta.",
    mistakes: "Kilograms are not newtons: 100 kg weigh 981 N. A load that hinges or stands on other feet rests on \
the lifting points only in part. Moving parts of the rig weigh too. The hardest point need not be mid travel.",
};

/// Load pressure.
pub static LOAD_PRESSURE: Formula = Formula {
    topic: "load-pressure",
    title: "Load pressure",
    asks: "What gauge pressure balances the load, friction left out?",
    expression: "p_load = F / (N A)\nA = pi/4 * D^2",
    symbols: &[
        ("p_load", "load pressure, gauge"),
        ("F", "highest force needed from all cylinders along the travel"),
        N,
        A,
        D,
    ],
    source: "p = F/A, ISO 80000-4",
    validity: "the far side of the piston is vented to the atmosphere, so that gauge pressure drives it",
    mistakes: "The area goes with the square of the bore: twice the bore, a quarter of the pressure.",
};

/// Needed pressure.
pub static NEEDED_PRESSURE: Formula = Formula {
    topic: "needed-pressure",
    title: "Needed pressure",
    asks: "What gauge pressure moves the load, friction and back-pressure counted?",
    expression: "p_need = (p_load + p_back * Ar / A) / (1 - mu)\nAr / A = (D^2 - d^2) / D^2",
    symbols: &[
        ("p_need", "needed pressure, gauge"),
        ("p_load", "load pressure, gauge"),
        P_BACK,
        AR,
        A,
        MU,
        D,
        ROD,
    ],
    source: "balance of forces on the piston; friction as a share of thrust (3 to 20 %) is common practice, no source",
    validity: "steady slow motion. Left out: acceleration, stick-slip, friction that does not grow with pressure.",
    mistakes: "A balance is not motion: at the load pressure itself the load hangs where it is.",
};

/// Pressure that starts a load.
pub static BREAKING_LOOSE: Formula = Formula {
    topic: "breaking-loose",
    title: "Breaking loose",
    asks: "What gauge pressure starts pistons that have stood, and does the set point reach it?",
    expression: "p_loose = (p_load + p_back * Ar / A) / (1 - k mu)\n\
Ar / A = (D^2 - d^2) / D^2\n\
p_loose <= p_set - droop",
    symbols: &[
        ("p_loose", "pressure at which the pistons break loose from rest, gauge"),
        (
            "p_load",
            "highest load pressure along the travel, gauge: a load may be stopped and started anywhere",
        ),
        ("p_set", "set point of the regulator, gauge"),
        (
            "droop",
            "none where `regulator.rated-flow` says at which flow it droops, for nothing flows while the load stands",
        ),
        ("k", "friction to start as a multiple of that in motion, `cylinders.breakaway`"),
        P_BACK,
        AR,
        A,
        MU,
        D,
        ROD,
    ],
    source: "balance of forces on the piston; that friction to start is a multiple of that in motion is common \
practice, no source",
    validity: "k mu below 1. Stated tolerances count at their unfavourable end. Left out: how k grows with the time that \
the pistons stand, with cold and with age; pins of the linkage that stick.",
    mistakes: "What breaks loose needs less in motion: the load starts with a jerk. Try a rig that has stood without its \
load first, nobody within its reach.",
};

/// Moving pressure.
pub static MOVING_PRESSURE: Formula = Formula {
    topic: "moving-pressure",
    title: "Moving pressure",
    asks: "What pressure does the regulator give while air flows?",
    expression: "p_move = p_set - droop",
    symbols: &[
        P_MOVE,
        ("p_set", "set point of the regulator, gauge, no flow"),
        ("droop", "fall of the outlet below the set point while air flows"),
    ],
    source: "definition of droop",
    validity: "the tank stands at or above set point and headroom",
    mistakes: "The gauge at rest shows the set point. Read it while the load moves.",
};

/// Theoretical thrust.
pub static THRUST: Formula = Formula {
    topic: "thrust",
    title: "Theoretical thrust",
    asks: "What would the cylinders push at the set point without friction?",
    expression: "F_th = N A p_set\nA = pi/4 * D^2",
    symbols: &[("F_th", "theoretical thrust of all cylinders"), N, A, ("p_set", "set point, gauge"), D],
    source: "p = F/A, ISO 80000-4",
    validity: "far side vented; friction, droop and springs not taken off",
    mistakes: "It is a figure to compare with, not a load to hang on: see capacity.",
};

/// Load ratio.
pub static LOAD_RATIO: Formula = Formula {
    topic: "load-ratio",
    title: "Load ratio",
    asks: "What share of its thrust does the load ask of the cylinders?",
    expression: "ratio = p_load / p_move\nratio <= L",
    symbols: &[
        ("ratio", "load ratio"),
        ("p_load", "highest load pressure along the travel, gauge"),
        P_MOVE,
        ("L", "highest load ratio allowed, `limits.load-ratio`"),
    ],
    source: "definition; a limit of 70 % for slow lifting is common practice, no source",
    validity: "moving pressure above zero",
    mistakes: "The rest is not waste: friction takes some of it and the speed comes from what is left. At a ratio \
near 100 % a cylinder creeps, jerks or stays where it is.",
};

/// Capacity.
pub static CAPACITY: Formula = Formula {
    topic: "capacity",
    title: "Capacity",
    asks: "At what load do the cylinders only just still move?",
    expression: "F_avail = N (A p_move (1 - mu) - Ar p_back)\n\
m_cap = ((F_avail - N F_s x / s) eta / g - m_moving r - F_arms / g) / (share borne r)\n\
at the travel x where that is least; never below 0\n\
A = pi/4 * D^2, Ar = pi/4 * (D^2 - d^2)",
    symbols: &[
        ("m_cap", "load mass, all of it, at which the needed pressure is the moving pressure"),
        ("F_avail", "force of all cylinders at the moving pressure, friction and back-pressure taken off"),
        N,
        A,
        AR,
        P_MOVE,
        MU,
        P_BACK,
        F_S,
        X,
        STROKE,
        ETA,
        G,
        M_MOVING,
        R,
        F_ARMS,
        SHARE,
        BORNE,
        D,
        ROD,
    ],
    source: "the needed pressure and the load along the travel, solved for the mass",
    validity: "as needed-pressure. The hardest point need not be where the load itself asks most: springs, arms and \
moving parts shift it. See lift-along-the-travel.",
    mistakes: "It is the point of failure, with nothing to spare. Work to the rated capacity.",
};

/// Rated capacity.
pub static RATED_CAPACITY: Formula = Formula {
    topic: "rated-capacity",
    title: "Rated capacity",
    asks: "What load keeps the load ratio within its limit?",
    expression: "m_rated = ((N A L p_move - N F_s x / s) eta / g - m_moving r - F_arms / g) / (share borne r)\n\
at the travel x where that is least; never above m_cap, never below 0\n\
A = pi/4 * D^2",
    symbols: &[
        ("m_rated", "rated capacity, as load mass before its share is taken"),
        ("m_cap", "capacity"),
        N,
        A,
        ("L", "highest load ratio allowed"),
        P_MOVE,
        F_S,
        X,
        STROKE,
        ETA,
        G,
        M_MOVING,
        R,
        F_ARMS,
        SHARE,
        BORNE,
        D,
    ],
    source: "the load ratio and the load along the travel, solved for the mass; the limit is common practice, no source",
    validity: "as capacity. It speaks for the cylinders alone: frame, rod and hoses have limits of their own.",
    mistakes: "",
};

/// Height gained.
pub static LIFT_HEIGHT: Formula = Formula {
    topic: "lift-height",
    title: "Lift height",
    asks: "Does the stroke raise the load as far as it must go?",
    expression: "h = s for a direct load; else as for lever, folding-leg, scissor\nspare = h - (lift + take_up)",
    symbols: &[
        ("h", "height gained over the full stroke, or up to a stop that comes first"),
        ("s", "full stroke"),
        ("spare", "height left over"),
        ("lift", "height by which the load must rise"),
        ("take_up", "free height before the load is borne"),
    ],
    source: "geometry",
    validity: "what frame, floor and joints give under load is not taken off: see net-height",
    mistakes: "Stroke is not height gained: the take-up is lost at the start, and everything that bends or sinks \
takes some more.",
};
