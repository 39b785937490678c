//! Where the regulator belongs, and the bore that makes room for it.

use super::Formula;

/// Set-point window.
pub static SET_POINT: Formula = Formula {
    topic: "set-point",
    title: "Set-point window",
    asks: "Between which pressures may the regulator be set?",
    expression: "low = greater of p_load / L + droop and p_need + droop\n\
high = least of p_cylinder / (1 + t), p_line / (1 + t), p_line_relief / (1 + t), p_cut_in - headroom\n\
recommended = low rounded up to a whole 0.1 bar, none if that is above high",
    symbols: &[
        ("low", "lowest set point that lifts with the margin asked for, gauge"),
        ("high", "highest set point that every part bears, gauge"),
        ("recommended", "set point to take, gauge"),
        ("p_load", "highest load pressure along the travel, gauge"),
        ("p_need", "highest needed pressure along the travel, gauge"),
        ("L", "highest load ratio allowed"),
        ("droop", "fall of the outlet below the set point while air flows"),
        ("p_cylinder", "pressure that the cylinders are rated for, gauge"),
        ("p_line", "pressure that hose and fittings are rated for, gauge; left out if not stated"),
        (
            "p_line_relief",
            "opening pressure of a relief valve after the regulator, gauge; left out if there is none",
        ),
        ("p_cut_in", "cut-in of the pressure switch, gauge; left out for a bottle"),
        ("t", "share of the set point by which the outlet may stand above it"),
        ("headroom", "how far the inlet of the regulator must stay above the set point"),
    ],
    source: "definitions of load ratio, droop and headroom; the limit of the load ratio, the headroom and the \
rounding step are common practice, no source",
    validity: "0 < L <= 1. The lower end is recommended since a lower set point takes less air for each stroke; where figures are shown in US units it is rounded up to a \
whole psi instead. The \
check holds the set point to the window with every stated tolerance at its worse end.",
    mistakes: "Turning the regulator up until it lifts. A set point at cut-in leaves the regulator nothing to work \
with just before the pump starts. An empty window is an answer: take the larger bore that is shown.",
};

/// Smallest bore.
pub static BORE: Formula = Formula {
    topic: "bore",
    title: "Smallest bore",
    asks: "What bore is just enough, all else left as it is?",
    expression: "A_ratio = F / (N L p)\n\
A_motion = (F / N - p_back * pi/4 * d^2) / (p (1 - mu) - p_back)\n\
D = square root of (4 / pi * greater of A_ratio and A_motion), never below d",
    symbols: &[
        ("D", "smallest bore"),
        ("A_ratio", "piston area that keeps the load ratio at its limit"),
        ("A_motion", "piston area that moves the load against friction and back-pressure"),
        ("F", "highest force needed from all cylinders"),
        ("N", "number of cylinders"),
        ("L", "highest load ratio allowed"),
        (
            "p",
            "gauge pressure while the load moves: set point - droop; for the bore that opens an empty window: high - droop",
        ),
        ("p_back", "pressure left on the rod side while raising; 0 for single-acting cylinders"),
        ("d", "rod diameter, left as it is"),
        ("mu", "seal friction as a share of thrust"),
    ],
    source: "load ratio and balance of forces on the piston, solved for the area",
    validity: "p (1 - mu) above p_back, p above 0; otherwise no bore is enough. Take the next standard bore up.",
    mistakes: "A larger bore lifts more and takes more air for each stroke, with the square of the bore: count the \
strokes again.",
};
