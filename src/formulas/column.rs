//! What bows out under a push: rods, stretched cylinders, links.

use super::Formula;

/// Rod column.
pub static ROD_COLUMN: Formula = Formula {
    topic: "rod-column",
    title: "Rod as a column",
    asks: "At what push does the extended rod bow out, and how many times over is it safe?",
    expression: "L = L_start + x_end\n\
I = pi/64 * d^4, P_y = pi/4 * d^2 Sy\n\
P_E = pi^2 E I / (K L)^2\n\
Euler, where P_E <= P_y / 2: P_crit = P_E\n\
Johnson, above: P_crit = P_y (1 - P_y / (4 P_E))\n\
the same in slenderness: Euler from K L / i = square root of (2 pi^2 E / Sy) on, with i = d / 4\n\
safety = P_crit / (pi/4 * D^2 p), at the set point and with the regulator stuck open\n\
safety >= limit",
    symbols: &[
        ("L", "length from pin to pin, rod out"),
        ("L_start", "that length at the start: by the linkage, else `cylinders.closed-length`"),
        ("x_end", "travel at the end"),
        ("I", "second moment of the rod"),
        ("d", "rod diameter"),
        ("P_y", "push at which the rod yields without bowing"),
        ("Sy", "yield strength of the rod"),
        ("P_E", "elastic critical force"),
        ("E", "modulus of elasticity of the rod"),
        ("K", "by the ends: pinned both 1, fixed and pinned 0.7, fixed both 0.5, fixed and free 2"),
        ("P_crit", "critical force of one rod"),
        ("i", "radius of gyration of the rod"),
        ("safety", "how many times the push of one cylinder it bears"),
        ("D", "bore"),
        (
            "p",
            "pressure on the piston, gauge: the set point, or what comes through a stuck regulator (the full tank, or a line relief that opens lower)",
        ),
        ("limit", "least safety allowed, `limits.column-safety`"),
    ],
    source: "Euler's column; Johnson's parabola tangent to it; any text on machine design. K by theory. A limit of 3 is \
common practice, no source",
    validity: "a straight rod under a central push, counted as rod over its whole length where the tube's data are \
not given: that is on the cautious side. Pressures without their tolerances. The built ends are never quite fixed: \
0.65 and 0.8 are the practical figures for 0.5 and 0.7.",
    mistakes: "Judging the rod at the set point alone: one grain of dirt in the regulator puts the tank on it. A side \
force on the rod, a bent rod and worn guides all come off the safety.",
};

/// Stepped column.
pub static STEPPED_COLUMN: Formula = Formula {
    topic: "stepped-column",
    title: "Tube and rod as one column",
    asks: "At what push does a stretched cylinder bow out, its stiffer tube counted?",
    expression: "k1 = square root of (P / (E1 I1)), k2 = square root of (P / (E2 I2))\n\
k1 / tan(k1 L1) + k2 / tan(k2 L2) = 0\n\
P_E is the least P above 0 that solves it; P_crit follows from P_E as for rod-column\n\
I1 = pi/64 * (D1^4 - (D1 - 2 t)^4), I2 = pi/64 * d^4",
    symbols: &[
        ("P", "push"),
        ("P_E", "elastic critical force of tube and rod"),
        ("P_crit", "critical force, yielding of the rod counted"),
        ("k1", "root for the tube"),
        ("k2", "root for the rod"),
        ("E1", "modulus of elasticity of the tube"),
        ("E2", "modulus of elasticity of the rod"),
        ("I1", "second moment of the tube"),
        ("I2", "second moment of the rod"),
        ("L1", "length of the tube, from its pin to where the rod leaves it"),
        ("L2", "length of the rod, from there to its pin"),
        ("D1", "outside diameter of the tube"),
        ("t", "wall of the tube"),
        ("d", "rod diameter"),
    ],
    source: "E I y'' = -P y in both parts, equal deflection and slope where they meet; texts on elastic stability. \
Johnson's parabola with the rod's area on top of it is an estimate of our own, on the cautious side",
    validity: "a pin at each outer end; tube and rod stay in line where they meet. Play in the guides lowers the force.",
    mistakes: "Counting the tube over the whole length: the rod within it adds nothing, and the rod beyond it decides.",
};

/// Slender links.
pub static SLENDER_LINKS: Formula = Formula {
    topic: "slender-links",
    title: "Slender links",
    asks: "Does a link or an arm of the linkage bow out under its thrust?",
    expression: "P_E = pi^2 E I / L^2\n\
P_y = A Sy\n\
P_crit = P_E where P_E <= P_y / 2, else P_y (1 - P_y / (4 P_E))\n\
safety = n P_crit / T",
    symbols: &[
        ("P_E", "elastic critical force"),
        ("E", "modulus of elasticity"),
        ("I", "least second moment of the link, about its weakest axis"),
        ("L", "free length between its end pins, as the check says"),
        ("P_y", "push at which it yields without bowing"),
        ("A", "area of the link"),
        ("Sy", "yield strength"),
        ("P_crit", "critical force of one link"),
        ("safety", "how many times the thrust they bear"),
        ("n", "equal links or arms side by side, `linkage.arms-side-by-side`"),
        ("T", "greatest thrust along the link over the travel, as the check says"),
    ],
    source: "Euler's column and Johnson's parabola, pinned ends; a safety of 3 is common practice, no source",
    validity: "judged once `linkage.arm-section` and `linkage.arm-steel` are given; P_crit counts for each of the arms \
side by side. The thrust is that of one leg, or of both sides of a scissor together, with the friction of the joints. Bending is not \
judged.",
    mistakes: "A flat bar bows about its thin way: I = h b^3 / 12 with b the thickness. A link with a bracket is bent \
too; that comes on top.",
};
