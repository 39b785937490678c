//! The air itself: kinds of pressure, the atmosphere, density, free air.

use super::Formula;

/// Gauge against absolute pressure.
pub static GAUGE_AND_ABSOLUTE: Formula = Formula {
    topic: "gauge-and-absolute",
    title: "Gauge and absolute pressure",
    asks: "What does a pressure gauge not show?",
    expression: "p_abs = p + p_atm",
    symbols: &[
        ("p_abs", "absolute pressure: above vacuum"),
        ("p", "gauge pressure: above the atmosphere of the place, what a gauge shows"),
        ("p_atm", "absolute pressure of the atmosphere of the place"),
    ],
    source: "definition; terms as in ISO 80000-4",
    validity: "always; in this program a pressure is gauge unless it is marked absolute",
    mistakes: "Force on a piston with a vented far side takes the gauge pressure. The mass of air in a volume takes the \
absolute one: a tank at 7 bar gauge holds about eight volumes of the air outside, not seven. An empty tank, \
at 0 bar gauge, still holds one.",
};

/// Pressure of the standard atmosphere.
pub static ATMOSPHERE: Formula = Formula {
    topic: "atmosphere",
    title: "Pressure of the atmosphere",
    asks: "How high is the air pressure at the altitude of the site?",
    expression: "H = r0 z / (r0 + z)\n\
T_std = 288.15 K - 0.0065 K/m * H\n\
p_atm = 101325 Pa * (T_std / 288.15 K)^5.255876",
    symbols: &[
        ("p_atm", "absolute pressure of the atmosphere"),
        ("z", "altitude: height above mean sea level, as on a map"),
        ("H", "geopotential height"),
        ("r0", "effective radius of the Earth, 6 356 766 m"),
        (
            "T_std",
            "temperature of the standard atmosphere there; the temperature of the site is stated apart",
        ),
    ],
    source: "U.S. Standard Atmosphere, 1976, equations (18), (23) and (33a)",
    validity: "-500 m to 11 000 m. It is the average of a year; the barometer of a day differs by some 3 %. Where \
the pressure of the place is measured, state it as `site.barometer`: it is then used as it stands.",
    mistakes: "The figure of a weather forecast is reduced to sea level. It is not the pressure at the place.",
};

/// Density of air.
pub static AIR_DENSITY: Formula = Formula {
    topic: "air-density",
    title: "Density of air",
    asks: "What does a litre of air weigh at a pressure and temperature?",
    expression: "p_abs = p + p_atm\n\
rho = p_abs / (Z R T), R = 287.0491 J/(kg K)",
    symbols: &[
        ("rho", "density"),
        ("p_abs", "absolute pressure"),
        ("p", "gauge pressure"),
        ("p_atm", "absolute pressure of the atmosphere"),
        (
            "Z",
            "compressibility of dry air at p_abs and T, from the equation of state; 1 for an ideal gas; within 2 % of 1 up to 100 bar at room temperature, 1.11 at 300 bar and 27 degC",
        ),
        ("R", "gas constant of dry air, 8.31451 J/(mol K) / 28.96546 g/mol"),
        ("T", "temperature above absolute zero: K, that is degC + 273.15"),
    ],
    source: "Z from Lemmon, Jacobsen, Penoncello and Friend, J. Phys. Chem. Ref. Data 29(3), 331 (2000), \
air as one pseudo-pure fluid; the rest is the definition of Z",
    validity: "dry air, 150 K to 600 K, up to 350 bar absolute; the publication gives 0.1 % uncertainty",
    mistakes: "Gauge pressure in a gas law. Degrees Celsius or Fahrenheit in a gas law. At 10 bar the ideal gas is \
good to half a per cent; at 300 bar a bottle holds a tenth less than it says.",
};

/// Free air.
pub static FREE_AIR: Formula = Formula {
    topic: "free-air",
    title: "Free air",
    asks: "How much room would the air take if it were let go, and in which state is that counted?",
    expression: "V_anr = m / rho_anr\n\
flow counted at a reference state: m_dot = Q rho_ref\n\
what a pump swallows: Q_in = Q rho_ref / rho_rated",
    symbols: &[
        ("V_anr", "volume of free air, ANR state (20 degC, 100 kPa, 65 % relative humidity)"),
        ("m", "mass of air"),
        ("rho_anr", "density of ANR air, 1.185 kg/m3"),
        ("m_dot", "mass flow"),
        ("Q", "stated flow of free air"),
        (
            "rho_ref",
            "density at the state of the statement: ANR 1.185 kg/m3; normal, dry air at 0 degC and 101 325 Pa; \
scfm, dry air at 68 degF and 14.696 psia; inlet, dry air of the site",
        ),
        ("Q_in", "volume of its own inlet air that the pump swallows"),
        ("rho_rated", "density of dry air at 20 degC and 101 325 Pa, in which a pump is taken to be rated"),
    ],
    source: "ISO 8778 (ANR), DIN 1343 (normal), ISO 1217 (inlet volume of a compressor); the state in which a pump \
is taken to be rated is a convention of this program",
    validity: "A plain L/min or cfm of a compressor is inlet volume at the site: Q_in = Q. Inside, air is counted as mass. \
The densities of the normal and the scfm state are those of the real gas, from the equation of state of \
air-density, not from the ideal gas law: 0.04 to 0.06 % more than the ideal law gives.",
    mistakes: "A litre of free air is not a litre of air at pressure. Nor are all free litres equal: a normal litre \
weighs 9 % more than an ANR litre, and a pump on a mountain swallows the same volume but less mass.",
};
