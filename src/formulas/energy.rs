//! The battery, and the energy that waits in the tank.

use super::Formula;

/// Energy of a run over the switch band.
pub static BAND_ENERGY: Formula = Formula {
    topic: "band-energy",
    title: "Electric energy over the switch band",
    asks: "What does the pump draw from cut-in to cut-out?",
    expression: "E_band = integral over the run of U I(p) dt\n\
by hand, near enough, with P = U I at cut-in, half way and cut-out:\n\
E_band = V (rho2 - rho1) / 6 * (P1 / m1 + 4 P_mid / m_mid + P2 / m2)",
    symbols: &[
        ("E_band", "electric energy from cut-in to cut-out"),
        ("U", "supply voltage of the pump"),
        ("I", "current of the pump at the tank pressure, linear between the points stated"),
        ("p", "tank pressure, gauge"),
        ("P", "electric power"),
        ("V", "inside volume of the tank"),
        ("rho1", "density at cut-in"),
        ("rho2", "density at cut-out"),
        ("P1", "electric power at cut-in"),
        ("P_mid", "electric power half way"),
        ("P2", "electric power at cut-out"),
        ("m1", "mass delivered in a time at cut-in"),
        ("m_mid", "mass delivered in a time half way"),
        ("m2", "mass delivered in a time at cut-out"),
    ],
    source: "definition of electric work; by hand: Simpson's rule",
    validity: "needs `compressor.volts` and `compressor.current`; below the first point and above the last the \
current keeps that point's value. The current at start is left out.",
    mistakes: "The current on the name plate is one figure at one pressure. A pump run at another voltage than its own \
draws another current and delivers another flow.",
};

/// Energy per stroke.
pub static ENERGY_PER_STROKE: Formula = Formula {
    topic: "energy-per-stroke",
    title: "Energy per stroke",
    asks: "What does one stroke draw from the battery?",
    expression: "E_stroke = E_band m_stroke / m_band + P_steady * 3600 s / n_hour\n\
the last term only where `cycle.per-hour` is stated",
    symbols: &[
        ("E_stroke", "energy drawn from the battery for one stroke"),
        ("E_band", "electric energy from cut-in to cut-out"),
        ("m_stroke", "air of one stroke at full pressures"),
        ("m_band", "air between cut-in and cut-out"),
        ("P_steady", "power of fans, valves and lamps while the rig is on"),
        ("n_hour", "strokes wanted an hour, `cycle.per-hour`"),
    ],
    source: "mass balance: each stroke's air is pumped again within the switch band",
    validity: "none if the pump stalls at or below cut-out, or its voltage or current is not stated",
    mistakes: "With few strokes an hour the steady load can draw more than the pump.",
};

/// Strokes per charge.
pub static STROKES_PER_CHARGE: Formula = Formula {
    topic: "strokes-per-charge",
    title: "Strokes per charge",
    asks: "How many strokes does one charge of the battery give?",
    expression: "n_charge = U Q usable / E_stroke",
    symbols: &[
        ("n_charge", "strokes on one charge, not rounded"),
        ("U", "voltage of the battery"),
        ("Q", "capacity of the battery, a charge: 1 Ah = 3600 C"),
        ("usable", "share of the capacity that may be used"),
        ("E_stroke", "energy drawn for one stroke"),
    ],
    source: "definition of electric work",
    validity: "a battery at its full capacity. Cold, age and high current take some of it.",
    mistakes: "Ampere-hours alone are not energy: 20 Ah hold twice as much at 24 V as at 12 V.",
};

/// Stored energy.
pub static STORED_ENERGY: Formula = Formula {
    topic: "stored-energy",
    title: "Stored energy",
    asks: "What would the air in the full tank give up if its vessel let go?",
    expression: "p_abs = p + p_atm\n\
E = p_abs V / (k - 1) * (1 - (p_atm / p_abs)^((k - 1) / k))\n\
pressure test: E_t = 2.5 p_abs V (1 - (p_a / p_abs)^0.286)",
    symbols: &[
        ("E", "energy"),
        ("p_abs", "absolute pressure in the full tank, hose or cylinders"),
        ("p", "gauge pressure in it"),
        ("p_atm", "absolute pressure of the atmosphere"),
        ("V", "inside volume of it"),
        ("k", "ratio of the heat capacities of air, 1.4"),
        ("E_t", "energy by the formula of the pressure-test standard"),
        ("p_a", "101 000 Pa, the pressure of the site in that formula"),
    ],
    source: "isentropic expansion of an ideal gas; ASME PCC-2, Article 501, Eq. II-2; k: handbook value for dry air",
    validity: "a rough guide only above some 100 bar, where air is no ideal gas; 0 for a tank at the pressure of the site",
    mistakes: "Taking a small tank for harmless. Ten litres at 10 bar hold some 13.6 kJ, as much as 140 kg have after a fall of ten metres.",
};
