//! The steel: sections, parts that help one another, beams, joints.

use super::Formula;

const EI: (&str, &str) = ("EI", "bending stiffness of the beam");
const SPAN: (&str, &str) = ("L", "span: free length");
const FORCE: (&str, &str) = (
    "F",
    "force on the beam at rest: its share of the greatest weight on the lifting points, or of the highest force of all cylinders; for the moment, where the linkage meets a stop with stroke left, of their whole thrust at the set point if that is more",
);
const PLACE: (&str, &str) =
    ("a", "distance of the force from the support of a cantilever, or from the left end");
const OTHER: (&str, &str) = ("b", "its distance from the right end, L - a");
const OWN: (&str, &str) = ("W", "weight of the beam itself; 0 if it is left out");

/// Section properties.
pub static SECTION: Formula = Formula {
    topic: "section",
    title: "Cross-section",
    asks: "What do the dimensions of a tube or bar make of it when it bends?",
    expression: "J(b, h, R) = b h^3 / 12 - 4 ((1 - pi/4) R^2 h^2 / 4 - (5/6 - pi/4) R^3 h + (1 - 5 pi/16) R^4)\n\
square or rectangular tube: I = J(b, h, R_o) - J(b - 2 t, h - 2 t, R_i)\n\
round tube: I = pi/64 * (D^4 - (D - 2 t)^4); round bar: I = pi/64 * D^4\n\
flat or square bar: I = b h^3 / 12\n\
angle, channel: I = sum of (I_part + A_part y^2) over the rectangles and corners that they are made of\n\
section modulus Wel = I / c; radius of gyration i = square root of (I / A)",
    symbols: &[
        ("J", "second moment of a rectangle with rounded corners about its own level middle"),
        ("b", "width; of a section that is laid on its side: what lies level in the beam"),
        ("h", "height; what stands upright in the beam"),
        ("R", "corner radius"),
        ("I", "second moment of area"),
        (
            "R_o",
            "outer corner radius: cold formed 2 t up to 6 mm of wall, 2.5 t up to 10 mm, 3 t above; hot finished 1.5 t",
        ),
        (
            "R_i",
            "inner corner radius: cold formed t up to 6 mm of wall, 1.5 t up to 10 mm, 2 t above; hot finished t",
        ),
        ("t", "wall"),
        ("D", "outside diameter"),
        ("I_part", "second moment of a part about its own middle"),
        ("A_part", "its area"),
        ("y", "distance of its middle from the common centroid"),
        ("Wel", "elastic section modulus"),
        ("c", "distance from the centroid to the farthest fibre"),
        ("i", "radius of gyration"),
        ("A", "area"),
    ],
    source: "geometry; corner radii: EN 10219-2:2006, annex B (cold formed), EN 10210-2:2006, annex A (hot finished)",
    validity: "exact for that outline. Real tubes may be lighter than nominal by their tolerance, and bought walls are \
not always what the label says: measure.",
    mistakes: "Sharp corners in place of rounded ones: a 40 x 3 tube is then counted 9 % too stiff. Height counts to \
the third power: on its flat side a 60 x 30 tube has a third of its stiffness.",
};

/// Reinforcement.
pub static REINFORCEMENT: Formula = Formula {
    topic: "reinforcement",
    title: "Reinforcement",
    asks: "What do a bar inside a tube, a second tube or plates add, unjoined or welded?",
    expression: "two parts, unjoined: EI = E1 I1 + E2 I2\n\
two parts, welded: EI = E1 (I1 + A1 (y1 - y_c)^2) + E2 (I2 + A2 (y2 - y_c)^2)\n\
y_c = (E1 A1 y1 + E2 A2 y2) / (E1 A1 + E2 A2)\n\
more parts: one more term each; one part: EI = E1 I1\n\
stress in a part: sigma = M E_part c / EI",
    symbols: &[
        EI,
        ("E1", "modulus of elasticity of the first part"),
        ("E2", "that of the second"),
        ("I1", "second moment of the first part about its own middle"),
        ("I2", "that of the second"),
        ("A1", "area of the first part"),
        ("A2", "that of the second"),
        ("y1", "height of the middle of the first part, counted from itself: 0"),
        ("y2", "height of the middle of the second above that of the first"),
        ("y_c", "height of the common neutral axis"),
        ("sigma", "greatest stress in the part"),
        ("M", "bending moment on the whole beam"),
        ("E_part", "modulus of elasticity of the part"),
        (
            "c",
            "distance of its farthest fibre, from its own middle if unjoined, from the common neutral axis if welded",
        ),
    ],
    source: "bending of composite beams without and with slip (transformed section), any text on mechanics of materials",
    validity: "parts that go over the whole beam and touch over its whole length. Welds must bear the shear between \
the parts; they are not judged.",
    mistakes: "Expecting a tube that lies loose on another to be more than two tubes side by side: nearly three times \
as stiff as that it is only when welded. A bar that stops short helps only where it is.",
};

/// Beam: moment, stress, yield ratio.
pub static BEAM: Formula = Formula {
    topic: "beam",
    title: "Beam: moment, stress, yield ratio",
    asks: "How near does a beam come to yielding?",
    expression: "cantilever, one load: M = phi (F a + W L / 2)\n\
simply supported, one load, at the load: M = phi (F a b / L + W a b / (2 L))\n\
other supports, more loads: M(x) = M_0 + V_0 x - sum of phi F (x - a) - phi W x^2 / (2 L)\n\
sigma = M E c / EI; of one part that is M c / I\n\
ratio = sigma / Sy\n\
ratio <= limit",
    symbols: &[
        ("M", "greatest bending moment, its size"),
        ("phi", "dynamic factor, for the jolt of starting and stopping; 1 at rest"),
        FORCE,
        PLACE,
        OTHER,
        OWN,
        SPAN,
        ("x", "distance from the left end; the sum goes over the loads to the left of it"),
        ("M_0", "moment where the left end is built in, 0 at a rest"),
        ("V_0", "force of the left support"),
        ("sigma", "stress in the extreme fibre of the part that is worst off"),
        ("E", "modulus of elasticity of that part"),
        ("c", "distance of its farthest fibre, as for reinforcement"),
        EI,
        ("I", "second moment of area"),
        ("ratio", "yield ratio"),
        ("Sy", "yield strength of the part"),
        ("limit", "highest yield ratio allowed, `limits.yield-ratio`"),
    ],
    source: "Euler-Bernoulli beam, any text on mechanics of materials; a limit of 66 % is common practice, no source",
    validity: "slender beams (length above about ten heights), stress below yield, supports that do not give, loads \
through the middle. Left out: welds, holes, side forces, twist, fatigue, thin walls (see thin-walls).",
    mistakes: "A load that comes on at once counts twice, one that drops counts more: that is what the dynamic factor \
is for. Aluminium loses about half of its strength beside a weld.",
};

/// Deflection.
pub static DEFLECTION: Formula = Formula {
    topic: "deflection",
    title: "Deflection of a beam",
    asks: "How far does a beam bend under its load?",
    expression: "cantilever, at the load: w = F a^3 / (3 EI) + W a^2 (6 L^2 - 4 L a + a^2) / (24 EI L)\n\
cantilever, at its free end: w_most = F a^2 (3 L - a) / (6 EI) + W L^3 / (8 EI)\n\
simply supported, at the load: w = F a^2 b^2 / (3 EI L) + W a b (L^2 + a b) / (24 EI L)\n\
simply supported, without own weight: w_most = F e (L^2 - e^2)^(3/2) / (9 * square root of 3 * EI L)\n\
other supports, more loads: EI w'' = -M from the left end on, joined at each load",
    symbols: &[
        ("w", "deflection at the load, which the height is lost by"),
        ("w_most", "greatest deflection"),
        FORCE,
        PLACE,
        OTHER,
        ("e", "the lesser of a and b"),
        OWN,
        SPAN,
        EI,
        ("M", "bending moment along the beam, as for beam, with a dynamic factor of 1"),
    ],
    source: "Euler-Bernoulli beam, any text on mechanics of materials",
    validity: "as beam; a load at rest, so that the dynamic factor does not enter. Supports that give are not in it.",
    mistakes: "Length counts to the third power: a fork a quarter longer bends twice as far. Stronger steel is not \
stiffer: all steels bend alike.",
};

/// Thin walls.
pub static THIN_WALLS: Formula = Formula {
    topic: "thin-walls",
    title: "Thin walls",
    asks: "Is a wall so thin that it buckles before the steel yields?",
    expression: "eps = square root of (235 MPa / Sy)\n\
wall under compression: c / t <= 42 eps; wall in bending: c / t <= 124 eps\n\
flange free at one edge: c / t <= 14 eps\n\
angle: h / t <= 15 eps and (b + h) / (2 t) <= 11.5 eps\n\
round tube: D / t <= 90 eps^2",
    symbols: &[
        ("eps", "factor for the grade of steel"),
        ("Sy", "yield strength"),
        (
            "c",
            "flat width: side less 3 t with rounded corners, less 2 t with sharp ones; of a flange outside web and root",
        ),
        ("t", "wall or thickness"),
        ("h", "longer leg of an angle"),
        ("b", "the other leg"),
        ("D", "outside diameter"),
    ],
    source: "EN 1993-1-1:2005, table 5.2, class 3 (figures from memory)",
    validity: "carbon steel. A wall beyond its limit makes the beam not judged: it may bear less than its yield \
strength says. Crushing under a load on a small spot is not judged.",
    mistakes: "A larger, thinner tube of the same weight looks ever better by its second moment, until its wall folds.",
};

/// Pins and fillet welds.
pub static PIN_AND_WELD: Formula = Formula {
    topic: "pin-and-weld",
    title: "Pins and fillet welds",
    asks: "What stress do a pin in double shear and a fillet weld see?",
    expression: "pin: tau = F / (pi/2 * d^2), M = F / 8 * (b + 4 c + 2 a), sigma = 32 M / (pi d^3)\n\
bearing: p_middle = F / (d b), p_outer = F / (2 d a); shear yields at Sy / square root of 3\n\
pin: greater of square root of (3 tau^2 + sigma^2) / Sy and p_most / Sy_least\n\
weld: tau_w = F_w / (a_w l_w), a_w = z / square root of 2\n\
tube welded all round: tau_V = V / (2 a_w (B + H)), tau_M = M_w / (a_w (B H + H^2 / 3))\n\
strength of a weld: f_w = fu / (square root of 3 * beta_w * 1.25)",
    symbols: &[
        ("tau", "shear stress in the pin, on two faces"),
        ("F", "force across the pin"),
        ("d", "pin diameter"),
        ("M", "bending moment in the pin"),
        ("b", "thickness of the middle plate"),
        ("c", "clear gap between the middle plate and each outer one"),
        ("a", "thickness of each outer plate"),
        ("sigma", "bending stress in the pin"),
        ("p_middle", "pressure on the middle plate"),
        ("p_outer", "pressure on the outer plates"),
        ("p_most", "the greater pressure on a plate"),
        ("Sy", "yield strength of the pin"),
        ("Sy_least", "the lower yield strength of pin and plates"),
        ("tau_w", "stress in the throat of the weld, whatever the direction of the force"),
        ("F_w", "force on the weld"),
        ("a_w", "throat"),
        (
            "l_w",
            "length of the weld that counts: less one throat for each open end, at least six throats and 30 mm",
        ),
        ("z", "leg of a weld with equal legs"),
        ("tau_V", "stress of the shear force on a tube; with tau_M as the square root of the sum of squares"),
        ("V", "shear force on the tube"),
        ("B", "width of the tube"),
        ("H", "height of the tube, along the shear force"),
        ("tau_M", "stress of the bending moment"),
        ("M_w", "bending moment on the weld"),
        ("f_w", "design strength of the weld"),
        ("fu", "tensile strength of the weaker part"),
        ("beta_w", "0.8 up to S235, 0.85 up to S275, 0.9 up to S355, 1 above"),
    ],
    source: "statics; EN 1993-1-8:2005, 3.13.2, 4.5.1, 4.5.3.3, table 4.1 (from memory); a weld as a line: texts on \
machine design",
    validity: "what [[pin]] and [[weld]] describe. A pin is held to `limits.yield-ratio` by the greater of bearing and \
the root of the squares of shear and bending, a weld to its strength. Not judged: tearing of a plate beyond the hole, \
wear, fatigue, the metal beside the weld.",
    mistakes: "No safety factor is in the strength of a weld: the load must carry it. A fine-looking fillet without root is half a weld.",
};
