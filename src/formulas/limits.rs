//! The order of the pressures, faults, and how a check is judged.

use super::Formula;

/// Pressure order.
pub static PRESSURE_ORDER: Formula = Formula {
    topic: "pressure-order",
    title: "Order of the pressures",
    asks: "Does every pressure of the rig stand in its place?",
    expression: "p_set + headroom <= p_cut_in < p_cut_out\n\
1.10 p_cut_out <= p_relief <= p_tank\n\
p_set (1 + t) <= p_part\n\
p_set (1 + t) A / A_r <= p_part around the rods of double-acting cylinders, their vent shut\n\
p_sink <= p_part under double-acting cylinders on the way down, p_sink by lowering-speed\n\
p_full <= p_inlet\n\
a bottle: p_full <= p_tank",
    symbols: &[
        ("p_set", "set point, gauge"),
        ("headroom", "how far the inlet of the regulator must stay above the set point"),
        ("p_cut_in", "pressure at which the switch starts the pump, gauge"),
        ("p_cut_out", "pressure at which the switch stops the pump, gauge"),
        ("p_relief", "pressure at which the relief valve of the receiver opens, gauge"),
        ("p_tank", "pressure that the receiver is rated for, gauge"),
        ("t", "share of the set point by which the outlet may stand above it"),
        ("p_part", "pressure that a part after the regulator is rated for: cylinders, line; gauge"),
        (
            "p_sink",
            "what load and return air press on the air under the pistons, the set point at p_set (1 + t)",
        ),
        ("A", "area of a piston"),
        ("A_r", "the same around its rod"),
        ("p_full", "cut-out, or the pressure to which a bottle is filled, gauge"),
        ("p_inlet", "highest inlet pressure of the regulator, gauge"),
    ],
    source: "relief valve not above the rating of the vessel: general rule of pressure-equipment codes; 10 % between \
cut-out and relief, and a headroom for the regulator: common practice, no source",
    validity: "each value counts at the worse end of its stated tolerance. A part whose rating is not stated is not \
judged. With less than 5 % to spare a check is a caution; a relief valve set at the rating passes.",
    mistakes: "Setting the relief valve above the rating because it weeps: lower cut-out instead. Never block it. The \
label of a pressure switch is not its tolerance.",
};

/// Relief capacity.
pub static RELIEF_CAPACITY: Formula = Formula {
    topic: "relief-capacity",
    title: "Relief capacity",
    asks: "Can the relief valve pass all that the pump delivers?",
    expression: "m_relief - w_relief >= m_dot(p_duty)",
    symbols: &[
        ("m_relief", "mass flow that the relief valve passes; a stated flow without a state is taken at ANR"),
        ("w_relief", "tolerance of that flow"),
        ("m_dot", "mass delivered in a time: see delivery; stated open flow and stall at their high ends"),
        (
            "p_duty",
            "opening pressure of the relief valve; the last point of the delivery if that is lower; where open flow and \
stall are stated and the pump stalls below the opening pressure, the lesser of that and cut-out as written. With a tolerance of \
the opening pressure, that of its two ends at which the pump delivers more",
        ),
    ],
    source: "mass balance with the pressure switch stuck; the pressures of comparison are a rule of this program",
    validity: "needs `tank.relief-capacity`; without it the check is not judged and says what the pump delivers",
    mistakes: "A valve with the right pressure and too small a seat: the receiver still climbs above its rating.",
};

/// Regulator stuck open.
pub static STUCK_REGULATOR: Formula = Formula {
    topic: "stuck-regulator",
    title: "Regulator stuck open",
    asks: "What pressure do hoses and cylinders see if the regulator fails open?",
    expression: "p_fault = lesser of p_full + w_full and p_line_relief + w_line_relief\n\
p_fault <= p_part\n\
q_relief >= q_open\n\
in the list of faults: p_blow = lesser of p_full + w_full and 1.10 (p_line_relief + w_line_relief)\n\
p_blow <= p_part",
    symbols: &[
        ("p_fault", "pressure after a regulator that is stuck open, gauge"),
        ("p_full", "cut-out, or the pressure to which a bottle is filled, gauge"),
        ("w_full", "half width of its stated tolerance; 0 if none is stated"),
        (
            "p_line_relief",
            "opening pressure of a relief valve after the regulator, gauge; left out if there is none, or if it is known to pass \
less than q_open",
        ),
        ("w_line_relief", "half width of its stated tolerance; 0 if none is stated"),
        (
            "p_part",
            "pressure that a part after the regulator is rated for, at the low end of its tolerance, gauge",
        ),
        ("q_relief", "flow that this relief valve passes, `line.relief-capacity`, at its low end"),
        (
            "q_open",
            "flow of the regulator wide open on a full tank: `regulator.wide-open-flow` at its high end, or by valve-flow \
through `regulator.seat` to the opening relief valve; the greater if both are given",
        ),
        ("p_blow", "pressure at which the relief valve stands while it passes its stated flow, gauge"),
    ],
    source: "one fault at a time: common practice in machine safety, no source; 10 % above its setting for a relief valve \
at its stated flow: the same rule as for a receiver, 30 CFR 57.13011",
    validity: "`check` asks whether the relief valve is set right: it must open at or below each rating, as the valve of a \
receiver must, and is a caution where blowing it may pass the rating. `faults` asks what the parts see: there the rating \
is held to the pressure at full lift, as no rule grants hoses and cylinders the 10 % that receivers are granted. Whether \
the valve passes the flow is not judged until both flows are known.",
    mistakes: "Rating the line for the set point alone. A grain of dirt in the seat is enough for the whole tank \
pressure to come through.",
};

/// Tolerances.
pub static TOLERANCES: Formula = Formula {
    topic: "tolerances",
    title: "Tolerances",
    asks: "How does a stated tolerance count?",
    expression: "x_low = x - w, x_high = x + w",
    symbols: &[
        ("x", "value as stated"),
        ("w", "half width of the tolerance behind `+-`, a share of x or a quantity of its own"),
        ("x_low", "lower end"),
        ("x_high", "upper end"),
    ],
    source: "read as a 95 % interval of a normal distribution: a convention of this program",
    validity: "in the pressure-order checks, in those of what relief valves pass and in the set-point check each value \
counts at the end that is worse; all other answers take the middle",
    mistakes: "No tolerance stated does not mean exact: pressure switches, gauges and relief valves are good to several \
per cent. Measure, or state it.",
};

/// Verdicts.
pub static VERDICTS: Formula = Formula {
    topic: "verdicts",
    title: "Verdicts and margins",
    asks: "What do pass, caution, fail, not judged and weakest link mean?",
    expression: "upper limit: margin = (limit - value) / limit\n\
lower limit: margin = (value - limit) / limit\n\
window: the smaller of the two\n\
fail: margin < 0; caution: margin < 5 %; else pass",
    symbols: &[
        ("margin", "room left, as a share of the limit"),
        ("limit", "what the value is held to"),
        ("value", "the answer"),
    ],
    source: "definition; the 5 % band of caution is an estimate of our own",
    validity: "1e-9 of rounding is forgiven. Some checks state a caution of their own; a relief valve set at the \
rating of the receiver passes. Not judged means that not enough is known: never a pass, never the weakest \
link. The verdict on the rig is that of its worst check; the weakest link is the check with the least margin \
among those of the worst verdict.",
    mistakes: "Reading silence, or `not judged`, as a pass.",
};
