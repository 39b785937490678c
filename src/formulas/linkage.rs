//! The linkages: height and ratio from geometry, how the load comes on, and where a linkage jams.

use super::Formula;

const H_GAINED: (&str, &str) = ("h", "height of the load above its start");
const RATIO: (&str, &str) = ("r", "height gained for each length of travel, dh/dx");
const CYLINDER: (&str, &str) =
    ("L", "length of the cylinder from pin to pin: that at the start plus the travel");

/// Lever.
pub static LEVER: Formula = Formula {
    topic: "lever",
    title: "Lever",
    asks: "How far and at what ratio does a lever raise its load?",
    expression: "cos(gamma) = (p^2 + f^2 - L^2) / (2 p f)\n\
theta = theta0 + gamma - gamma0\n\
h = l (sin(theta) - sin(theta0))\n\
r = l cos(theta) L / (p f sin(gamma))",
    symbols: &[
        ("gamma", "angle at the pivot between cylinder foot and cylinder pin"),
        ("gamma0", "that angle at the start"),
        ("p", "distance from pivot to cylinder pin"),
        ("f", "distance from pivot to cylinder foot"),
        CYLINDER,
        ("theta", "angle of the load arm above horizontal"),
        ("theta0", "that angle at the start"),
        H_GAINED,
        ("l", "distance from pivot to load point"),
        RATIO,
    ],
    source: "law of cosines and its derivative",
    validity: "rigid parts; the load stays on its point and hangs straight down from it. Load arm between -90 deg \
and 90 deg; foot, pivot and pin never in one line (0.006 deg).",
    mistakes: "Taking the ratio of the arms for the ratio of the lever: it holds only where cylinder and load both stand \
square to their arms. The force is the load times r, not its inverse: a lever that gains height costs force.",
};

/// Folding leg.
pub static FOLDING_LEG: Formula = Formula {
    topic: "folding-leg",
    title: "Folding leg",
    asks: "How far and at what ratio does a leg of two links rise as its knee is straightened?",
    expression: "H = square root of (a^2 + b^2 - 2 a b cos(kappa) - e^2)\n\
h = H - H0, H0 being H at the knee angle kappa0 of the start\n\
cos(psi) = (c^2 + d^2 - L^2) / (2 c d)\n\
r = a b sin(kappa) / H * L / (c d sin(psi))",
    symbols: &[
        ("H", "height of the top above the foot"),
        ("a", "lower link, from foot to knee"),
        ("b", "upper link, from knee to top"),
        ("kappa", "angle between the links at the knee; 180 deg is straight"),
        ("e", "distance of the top's guide from the foot, level; 0 right above it"),
        H_GAINED,
        ("H0", "height of the top at the start"),
        ("kappa0", "knee angle at the start"),
        ("psi", "angle at the knee between the two brackets of the cylinder"),
        ("c", "straight line from knee to the bracket on the lower link, its offset counted"),
        ("d", "straight line from knee to the bracket on the upper link, its offset counted"),
        CYLINDER,
        RATIO,
    ],
    source: "law of cosines twice and its derivative",
    validity: "rigid links in one plane. Several legs share load and cylinders evenly: all of them together give \
this h and r. Past straight r is negative: the load comes down.",
    mistakes: "Setting the brackets on the lines of the links: the cylinder then comes into line with the knee just as \
the leg becomes straight, and cannot carry it over. Set off to the inside of the fold, the folded start asks most, \
and near straight there is force to spare that wants a stop.",
};

/// Scissor.
pub static SCISSOR: Formula = Formula {
    topic: "scissor",
    title: "Scissor",
    asks: "How far and at what ratio does a scissor raise its platform?",
    expression: "h = n a (sin(theta) - sin(theta0))\n\
r = n a cos(theta) / q\n\
level cylinder at the sliding foot: q = a sin(theta), and so r = n / tan(theta)\n\
cylinder between two points: q = (v_x w_x + v_y w_y) / L, L = square root of (v_x^2 + v_y^2)",
    symbols: &[
        H_GAINED,
        ("n", "stages: pairs of crossing arms, one above the other"),
        ("a", "length of an arm, from end pin to end pin"),
        ("theta", "angle of the arms above horizontal"),
        ("theta0", "that angle at the start"),
        RATIO,
        ("q", "travel of the cylinders for each radian that the arms turn"),
        ("v_x", "from cylinder foot to cylinder pin, level"),
        ("v_y", "from cylinder foot to cylinder pin, upright"),
        ("w_x", "change of v_x for each radian that the arms turn"),
        ("w_y", "change of v_y for each radian that the arms turn"),
        ("L", "length of the cylinder from pin to pin"),
    ],
    source: "virtual work, plane geometry",
    validity: "rigid arms that cross at mid length. A point on an arm of the first stage, u up from its fixed foot, \
stands at u cos(theta), u sin(theta): v and w follow from such points. Where the load stands on the platform \
changes the forces of the pins, not that of the cylinders. For the pins it stands in the middle between platform pin \
and roller at every height, though the roller moves: over one end it doubles the force on that pin.",
    mistakes: "Starting flat: at 5 deg a level cylinder must give eleven times the load for each stage, at 10 deg six. \
A second stage doubles height and force alike.",
};

/// Feet of a scissor.
pub static SCISSOR_FEET: Formula = Formula {
    topic: "scissor-feet",
    title: "Feet of a scissor",
    asks: "Do the feet of a scissor press on their tracks, or must they be held down?",
    expression: "S = ((W + 2 n m_arm g) / 2 - M_cyl / across) / eta\n\
fixed = (W + 2 n m_arm g - T_y) / eta - S\n\
M_cyl = T_y x_T - T_x y_T, across = a cos(theta)\n\
hold = greatest of -S and of -fixed along the travel; above 0 a foot lifts unless it is held down",
    symbols: &[
        ("S", "force of the track on the sliding foot, upwards"),
        ("fixed", "force of the base on the fixed foot, upwards"),
        ("W", "weight on the platform: load and moving parts"),
        ("n", "stages: pairs of crossing arms, one above the other"),
        ("m_arm", "mass of one arm, both sides of the table together"),
        ("g", "standard gravity, 9.80665 m/s2"),
        ("M_cyl", "moment about the fixed foot of the frictionless push of the cylinders on the arms"),
        ("T_x", "that push, level, towards the sliding foot; 0 if both ends of the cylinder are on arms"),
        ("T_y", "that push, upwards; 0 likewise"),
        ("x_T", "where it acts, level from the fixed foot"),
        ("y_T", "where it acts, above the feet"),
        ("across", "distance of the feet"),
        ("a", "length of an arm, from end pin to end pin"),
        ("theta", "angle of the arms above horizontal"),
        ("eta", "share of the cylinders' work that reaches the load"),
        ("hold", "greatest force with which a foot must be held down"),
    ],
    source: "balance of moments about the fixed foot",
    validity: "rigid arms; the load in the middle between platform pin and roller; the table itself stands firm. A \
cylinder level at the sliding foot, or between two arms, lifts no foot.",
    mistakes: "Setting a steep cylinder near the upper end of an arm: it carries the table like a prop, and the sliding \
foot hangs on it. A plain roller then leaves its track, and the table folds.",
};

/// Take-up, ramp and table of the load.
pub static TAKE_UP: Formula = Formula {
    topic: "take-up",
    title: "Take-up, ramps and tables of the load",
    asks: "How much of the load rests on the rig at each height?",
    expression: "borne = 0 while h < take_up, then, with y = h - take_up:\n\
all at once: borne = 1\n\
a ramp: borne = lesser of 1 and y / ramp\n\
a table: borne = M(y) / M_greatest, straight between its rows, level beyond them",
    symbols: &[
        ("borne", "share of the load that rests on the rig"),
        ("h", "height of the load point above its start"),
        ("take_up", "free height before the load is borne"),
        ("y", "height above the end of the take-up"),
        ("ramp", "height over which the load comes on evenly"),
        ("M", "mass borne by the table, at y"),
        ("M_greatest", "greatest mass of the table"),
    ],
    source: "definition",
    validity: "`load.share` is taken off besides. A height given twice is a step, borne from there on; just below it \
the row before counts.",
    mistakes: "The take-up is height, not travel: behind a linkage of ratio 3 a take-up of 30 mm costs 10 mm of stroke. \
A load that comes on late still comes on where the linkage may be at its worst.",
};

/// Dead points.
pub static DEAD_POINT: Formula = Formula {
    topic: "dead-point",
    title: "Dead points",
    asks: "How far does the linkage stay from where it jams or no longer moves the load?",
    expression: "lever: left = least of gamma0, 180 deg - gamma_end, 90 deg - theta_end\n\
folding leg: left = least of psi0, 180 deg - psi_end, 180 deg - kappa_end\n\
scissor: left = least of theta0, 90 deg - theta_end, theta_last - theta_end\n\
left >= limit",
    symbols: &[
        ("left", "angle left to the nearest dead point"),
        (
            "gamma0",
            "angle at the pivot between foot and pin at the start: cylinder folded into line with the pivot",
        ),
        ("gamma_end", "that angle at the end: cylinder stretched into line with the pivot"),
        ("theta_end", "angle of load arm or scissor arms at the end: upright"),
        ("psi0", "angle at the knee between the brackets at the start: brackets folded together"),
        ("psi_end", "that angle at the end: cylinder in line with the knee"),
        (
            "kappa_end",
            "knee angle at the end: knee straight; left out for a leg that is meant to pass straight and lock",
        ),
        ("theta0", "angle of the scissor arms at the start: flat"),
        (
            "theta_last",
            "arm angle from which an inclined cylinder no longer raises the platform; left out if there is none",
        ),
        ("limit", "least angle allowed, `limits.dead-point`"),
    ],
    source: "geometry; the limit of 5 deg is an estimate of our own",
    validity: "rigid parts. What pins, play and bending take comes off the angle left.",
    mistakes: "Trusting a stop that is not there: without one the full stroke decides. Close to a dead point play \
and bending decide which way the parts go.",
};

/// Lock of a leg over centre.
pub static OVER_CENTRE_LOCK: Formula = Formula {
    topic: "over-centre-lock",
    title: "Lock of a leg over centre",
    asks: "Does a leg that passes straight stay there under its load, and can it be pulled back?",
    expression: "past = kappa_end - 180 deg\n\
rise = H(180 deg) - H(kappa_end), H as for folding-leg\n\
past >= 2 deg\n\
pull = greatest of -(W r + F_arms) / eta past straight, double-acting cylinders\n\
pull <= N Ar p_move (1 - mu), Ar = pi/4 * (D^2 - d^2)",
    symbols: &[
        ("pull", "force with which all cylinders must pull to bring the leg back over straight"),
        ("W", "weight at the load point: load and moving parts"),
        ("r", "height gained for each length of travel, dh/dx; below 0 past straight"),
        ("F_arms", "what the links ask before the efficiency of the linkage; 0 if left out"),
        ("eta", "share of the cylinders' work that reaches the load"),
        ("N", "number of cylinders"),
        ("Ar", "ring area, rod side, of one cylinder"),
        ("D", "bore"),
        ("d", "rod diameter"),
        ("p_move", "moving pressure, gauge, on the rod side"),
        ("mu", "seal friction as a share of thrust"),
        ("past", "angle past straight at the stop"),
        ("kappa_end", "knee angle at the stop"),
        ("rise", "height by which the load must rise again before the leg can fold"),
        ("H", "height of the top above the foot at a knee angle"),
    ],
    source: "geometry; the least angle of 2 deg is an estimate of our own",
    validity: "the stop is stiff and the load keeps pressing down. The lock is only as good as the stop. The cap \
sides are vented while the leg is pulled back; what a throttle holds up there comes off the pull.",
    mistakes: "Setting the stop far over: the load is raised again on the way back, by the rod sides alone. \
Taking the lock for a safety device. A knock from below or a lighter load undoes it: put a pin or a latch through \
the knee besides.",
};
