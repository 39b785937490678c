//! How many strokes one fill gives.

use super::Formula;

/// Strokes at full pressure.
pub static STROKES_AT_FULL_PRESSURE: Formula = Formula {
    topic: "strokes-at-full-pressure",
    title: "Strokes at full pressure",
    asks: "How many strokes does one fill give before the regulator runs short of inlet pressure?",
    expression: "n_full = whole part of m_usable / m_stroke",
    symbols: &[
        ("n_full", "strokes after which the tank still stands at or above set point + headroom"),
        ("m_usable", "air between the starting pressure and set point + headroom"),
        ("m_stroke", "air of one stroke at full pressures"),
    ],
    source: "mass balance",
    validity: "compressor off; the tank comes back to the temperature of the site between strokes; no leaks; a \
pressure within one part in 1e9 of the mark counts as reached; counting stops at 100 000. If the cylinders \
do not move the load at this set point, the count is 0.",
    mistakes: "The next stroke is often still there, but slower and with less force: see strokes-until-stall.",
};

/// Strokes until stall.
pub static STROKES_UNTIL_STALL: Formula = Formula {
    topic: "strokes-until-stall",
    title: "Strokes until stall",
    asks: "How many strokes does one fill give before one gets stuck on its way?",
    expression: "for each stroke, m being the content of the tank before it (m = m_start at first):\n\
the stroke completes if (m + rho_atm V_dead) / (V + V_x + V_dead) >= rho_need all along\n\
n_stall counts those that do, and for them\n\
rho_common = (m + rho_atm V_dead) / (V + V_s + V_dead)\n\
then m becomes m - m_raise, or rho_common V if rho_common < rho_end\n\
double acting, for the return from that m:\n\
rho_common = (m + rho_atm V_rest) / (V + V_r + V_rest)\n\
then m becomes m - m_return, or rho_common V if rho_common < rho_set\n\
if that rho_common <= rho_atm, this stroke was the last",
    symbols: &[
        ("n_stall", "strokes that complete"),
        ("m", "content of the tank"),
        ("m_start", "content at the start of the count"),
        (
            "rho_common",
            "density when tank and cylinders stand at one pressure with the pistons at the end of the stroke",
        ),
        (
            "V_x",
            "volume swept up to a point of the travel; shown: the point that first holds a stroke up (direct load: its end)",
        ),
        ("rho_need", "density at the pressure needed at that point"),
        (
            "rho_end",
            "density at the end pressure: the set point, or the needed pressure if the valve is closed as the load arrives",
        ),
        ("rho_set", "density at the set point"),
        ("rho_atm", "density of the air of the site"),
        ("V", "inside volume of the tank"),
        ("V_s", "volume swept while raising, all cylinders"),
        ("V_r", "volume swept by the air return, all cylinders"),
        ("V_dead", "dead volume on the cap side"),
        ("V_rest", "dead volume on the rod side, see dead-volume"),
        ("m_raise", "air of the raise at full pressures"),
        ("m_return", "air of the return at full pressures"),
    ],
    source: "mass balance, step by step",
    validity: "all at the temperature of the site, at which density rises and falls with pressure; compressor off; no \
leaks; below the set point the regulator is taken to stand wide open, without droop or headroom. A pressure \
within one part in 1e9 of the mark counts as reached; counting stops at 100 000. Behind a linkage the start may \
ask more than the end: a stroke must have the pressure at every point.",
    mistakes: "Counting on it. The last strokes are slow, and the tank needs the longest fill afterwards.",
};

/// Quick gas.
pub static QUICK_GAS: Formula = Formula {
    topic: "quick-gas",
    title: "Quick gas",
    asks: "How many strokes are left if they follow so fast that the tank cannot warm up between them?",
    expression: "for each stroke find T_tank and rho_tank such that\n\
entropy(rho_tank, T_tank) = entropy at p_start and T\n\
rho_tank V + rho(p_end, T_tank) (V_s + V_dead) = m + rho_atm V_dead\n\
then m becomes rho_tank V\n\
at full pressure: counted while p_tank >= p_low; until stall: while p_need is reached at V_x\n\
an air return takes p_set, V_r and V_rest in place of p_end, V_s and V_dead\n\
near enough by hand: T_tank = T (p_tank / p_start)^0.2857",
    symbols: &[
        ("T_tank", "temperature of the air in the tank after the stroke"),
        ("rho_tank", "density of the air in the tank after the stroke"),
        ("p_tank", "absolute pressure of the tank after the stroke"),
        ("entropy", "entropy of real dry air"),
        ("p_start", "absolute pressure of the tank at the start of the count"),
        ("T", "temperature of the site, and of the tank at the start"),
        ("rho", "density of real dry air"),
        ("rho_atm", "density of the air of the site"),
        (
            "p_end",
            "absolute end pressure: the set point, or the needed pressure if the valve is closed as the load arrives",
        ),
        ("p_set", "absolute pressure of the set point"),
        ("p_low", "absolute pressure of set point + headroom"),
        ("p_need", "pressure needed at the point that first holds a stroke up, absolute"),
        ("V_x", "volume swept up to that point; there p_need and V_x take the place of p_end and V_s"),
        ("m", "content of the tank before the stroke"),
        ("V", "inside volume of the tank"),
        ("V_s", "volume swept while raising, all cylinders"),
        ("V_r", "volume swept by the air return, all cylinders"),
        ("V_dead", "dead volume on the cap side"),
        ("V_rest", "dead volume on the rod side, see dead-volume"),
    ],
    source: "mass balance and isentropic expansion; equation of state as for air-density",
    validity: "a cautious bound: no heat reaches the tank, and the air of a stroke counts at the temperature of the \
tank after that stroke. No figure where the tank would fall below 150 K.",
    mistakes: "A tank that was drawn down fast reads low, and climbs again as it warms. Real use lies between the \
quick and the slow count.",
};

/// Tank for the strokes wanted.
pub static TANK_FOR_STROKES: Formula = Formula {
    topic: "tank-for-strokes",
    title: "Tank for the strokes wanted",
    asks: "What tank gives the strokes wanted at full pressure?",
    expression: "V_wanted = n_wanted m_stroke / (rho_full - rho_low)",
    symbols: &[
        ("V_wanted", "inside volume of that tank"),
        ("n_wanted", "strokes wanted on one fill"),
        ("m_stroke", "air of one stroke at full pressures"),
        ("rho_full", "density at cut-out, or at the pressure to which a bottle is filled"),
        ("rho_low", "density at set point + headroom"),
    ],
    source: "mass balance",
    validity: "as strokes-at-full-pressure; a full tank above set point + headroom",
    mistakes: "A larger tank takes longer to fill: look at the compressor's duty.",
};
