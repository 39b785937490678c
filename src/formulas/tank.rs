//! What the tank holds and what one stroke takes.

use super::Formula;

/// Swept volume.
pub static SWEPT_VOLUME: Formula = Formula {
    topic: "swept-volume",
    title: "Swept volume",
    asks: "What volume do the pistons sweep in one stroke?",
    expression: "V_s = N * pi/4 * D^2 * s_used\n\
V_r = N * pi/4 * (D^2 - d^2) * s_used, double acting only\n\
s_used = x_end where the valve is held open (end pressure: set point)\n\
s_used = lesser of x_end and x_lift where it is closed as the load arrives (end pressure: load)",
    symbols: &[
        ("V_s", "volume swept while raising, all cylinders"),
        ("V_r", "volume swept by the air return, all cylinders"),
        ("N", "number of cylinders"),
        ("D", "bore"),
        ("d", "rod diameter"),
        ("s_used", "travel that one stroke uses"),
        ("x_end", "full stroke, or less if a stop of the linkage comes first"),
        ("x_lift", "travel at which the load has risen by take-up and lift; of a direct load their sum"),
    ],
    source: "geometry",
    validity: "rigid parts: what bends takes some more travel",
    mistakes: "With the valve held open the piston runs to its stop, however little of the stroke the load needs.",
};

/// Dead volume.
pub static DEAD_VOLUME: Formula = Formula {
    topic: "dead-volume",
    title: "Dead volume",
    asks: "What volume is filled and vented at each stroke without moving anything?",
    expression: "V_dead = N (V_c + pi/4 * D^2 * x_0) + pi/4 * d_hose^2 * L_hose\n\
V_rest = N (V_c + pi/4 * (D^2 - d^2) (s - x_0 - s_used)) + pi/4 * d_hose^2 * L_hose, for an air return",
    symbols: &[
        ("V_dead", "dead volume on the cap side"),
        (
            "V_rest",
            "dead volume on the rod side, with the ring that the pistons leave beyond the stroke used",
        ),
        ("N", "number of cylinders"),
        ("V_c", "clearance volume of one cylinder"),
        ("D", "bore"),
        ("d", "diameter of the rod"),
        ("s", "stroke of the cylinders"),
        ("s_used", "travel that a stroke uses"),
        (
            "x_0",
            "how far the rod stands out at the start: length between the pins there less `cylinders.closed-length`; 0 if either is not known",
        ),
        ("d_hose", "inside diameter of the hose"),
        ("L_hose", "total length of hose between valve and cylinders (double acting: for each side)"),
    ],
    source: "geometry",
    validity: "a hose that is not stated counts as none; with an air return clearance and hose are taken alike for both sides",
    mistakes: "Left out. With short strokes and long hoses it is a good part of the air. Outside diameter for inside \
diameter is wrong by a factor of two or more.",
};

/// Air per stroke.
pub static AIR_PER_STROKE: Formula = Formula {
    topic: "air-per-stroke",
    title: "Air per stroke",
    asks: "How much air does one stroke take from the tank?",
    expression: "m_raise = rho_end (V_s + V_dead) - rho_atm V_dead\n\
m_return = rho_set (V_r + V_rest) - rho_atm V_rest, double acting only\n\
m_stroke = m_raise + m_return",
    symbols: &[
        ("m_stroke", "air of one stroke at full pressures"),
        ("m_raise", "air of the raise"),
        ("m_return", "air of the return"),
        (
            "rho_end",
            "density at the end pressure: the set point, or the pressure needed there if the valve is closed as the load arrives",
        ),
        ("rho_set", "density at the set point"),
        ("rho_atm", "density of the air of the site, which fills the dead volume before the stroke"),
        ("V_s", "volume swept while raising, all cylinders"),
        ("V_r", "volume swept by the air return, all cylinders"),
        ("V_dead", "dead volume on the cap side"),
        ("V_rest", "dead volume on the rod side, see dead-volume"),
    ],
    source: "mass balance",
    validity: "the air in the cylinders has come to the temperature of the site, as it does within seconds; each side \
is vented to the atmosphere between strokes; no leaks",
    mistakes: "Gauge pressure for absolute: at 1 bar gauge the cylinder holds twice the air of the room, not once. A \
cylinder whose valve stays open fills to the set point, however light the load.",
};

/// Leak of the tank.
pub static TANK_LEAK: Formula = Formula {
    topic: "tank-leak",
    title: "Leak of the tank",
    asks: "How fast does the tank fall with nothing drawn, how long does it stand, and how large is a leak that was \
timed?",
    expression: "while the leak chokes: t = V ln(p_1 / p_2) / (C rho_0 R sqrt(T_0 T))\n\
of a fall that was timed: C = V ln(p_1 / p_2) / (t rho_0 R sqrt(T_0 T))\n\
below that: t = V / (R T) * integral from p_2 to p_1 of dp / q(p), q by valve-flow\n\
at first, in a short time t: dp_1 = p_1 t C rho_0 R sqrt(T_0 T) f / V",
    symbols: &[
        ("t", "time of the fall"),
        ("V", "inside volume of the tank"),
        (
            "p_1",
            "pressure at which it begins, absolute: that of the full tank unless `tank.leak.from` says another",
        ),
        ("p_2", "pressure at which it ends, absolute"),
        ("p", "pressure in the tank, absolute"),
        ("dp_1", "fall of the full tank at first"),
        ("f", "share of the choked flow, see valve-flow: 1 while it chokes"),
        ("q", "mass flow of the leak"),
        ("C", "sonic conductance of the leak"),
        ("rho_0", "density of ANR air, 1.185 kg/m3"),
        ("R", "gas constant of dry air, 287.05 J/(kg K)"),
        ("T_0", "293.15 K"),
        ("T", "temperature of the site"),
    ],
    source: "content of a volume (ideal gas, one temperature) and the law of ISO 6358",
    validity: "pump off, nothing drawn, the tank cooled to the temperature of the site. A leak given by its fall is \
taken to choke as a hole does, b = 0.5, and to have emptied the volume of the tank alone: shut off what hangs on it \
while it is timed, or count that in with `tank.volume`. The counts of strokes leave it out; a rehearsal follows it.",
    mistakes: "Timing the fall just after a fill: most of it is the air that cools. Wait until the tank is as cool as \
the room.",
};

/// Tank content.
pub static TANK_CONTENT: Formula = Formula {
    topic: "tank-content",
    title: "Tank content",
    asks: "How much air does the full tank hold?",
    expression: "m_full = rho_full V",
    symbols: &[
        ("m_full", "content of the full tank"),
        ("rho_full", "density at cut-out, or at the pressure to which a bottle is filled"),
        ("V", "inside volume of the tank"),
    ],
    source: "definition of density",
    validity: "a tank that has come to the temperature of the site. Just after a fast fill it is warm and holds less \
at the same pressure: when it cools, the pressure settles lower.",
    mistakes: "The content is not what a rig can use: see usable-air.",
};

/// Usable air.
pub static USABLE_AIR: Formula = Formula {
    topic: "usable-air",
    title: "Usable air",
    asks: "How much of the tank's air can be had at full pressure?",
    expression: "m_usable = (rho_full - rho_low) V\nnever below 0",
    symbols: &[
        ("m_usable", "air between the starting pressure and set point + headroom"),
        (
            "rho_full",
            "density at the start: cut-out or the pressure of a full bottle (cut-in, where the count starts there)",
        ),
        ("rho_low", "density at set point + headroom"),
        ("V", "inside volume of the tank"),
    ],
    source: "mass balance",
    validity: "tank at the temperature of the site at both pressures",
    mistakes: "Taking the whole content for usable. Of a tank with cut-out 10 bar and set point 6 bar most of the air \
never leaves at full pressure.",
};
