//! The flow law on bare SI numbers, for solvers and the integrator.

/// Density of air at the reference state of conductance (ANR), kg/m3. Source: ISO 8778, ISO 6358-1:2013.
pub(crate) const REFERENCE_DENSITY_KG_PER_M3: f64 = 1.185;
/// Temperature of that state, K.
pub(crate) const REFERENCE_TEMPERATURE_K: f64 = 293.15;
/// Share of the pressure ratio, next to no flow, in which flow is taken as proportional to the drop.
///
/// The law's slope is infinite at equal pressures, where real flow turns laminar. Sanville's extension
/// of the law puts the joint at a pressure ratio of 0.995 to 0.999; the ratio nearest to 1 departs least
/// from the law.
pub(crate) const LINEAR_BAND: f64 = 0.001;

/// A restriction ready for calculation: no checks, no units, no allocation.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Law {
    /// `C rho_0 sqrt(T_0)`: mass flow is this times `p_1/sqrt(T_1)` when choked.
    choked_factor: f64,
    critical_ratio: f64,
    index: f64,
    cracking_pa: f64,
    /// A check valve passes nothing backwards.
    one_way: bool,
    /// Where the curve lies if no cracking pressure shifts it.
    unshifted: Span,
}

/// A law between check valves, of which each takes its cracking pressure off.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Path {
    pub(crate) law: Law,
    /// What those before and behind it take off; none where there are no check valves.
    pub(crate) drops: Option<(f64, f64)>,
}

impl Path {
    /// Pressures next to the law for those at the ends of the path.
    pub(crate) fn next_to_law(&self, pressure_1: f64, pressure_2: f64) -> (f64, f64) {
        let (before, behind) = self.drops.unwrap_or_default();
        (pressure_1 - before, pressure_2 + behind)
    }

    /// Mass flow from side 1 to side 2 in kg/s, negative when it runs back.
    pub(crate) fn mass_flow(&self, side_1: (f64, f64), side_2: (f64, f64)) -> f64 {
        if self.drops.is_none() {
            return self.law.mass_flow(side_1, side_2);
        }
        let (pressure_1, pressure_2) = self.next_to_law(side_1.0, side_2.0);
        if pressure_1 > pressure_2 { self.law.forward(pressure_1, pressure_2, side_1.1) } else { 0.0 }
    }
}

/// Where the curve of a law lies in the ratio of pressures.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Span {
    /// Ratio at which flow stops rising: `b`, or just below the closing ratio where a cracking pressure leaves
    /// no room for `b`.
    joint: f64,
    /// Ratio at which flow ends: 1, less with a cracking pressure.
    closed: f64,
    /// Size of the linear part, counted from no flow (0) to choking (1).
    linear_part: f64,
}

impl Span {
    fn new(critical_ratio: f64, closed: f64) -> Self {
        let joint = critical_ratio.min(closed - LINEAR_BAND);
        Self { joint, closed, linear_part: (LINEAR_BAND / (closed - joint)).min(1.0) }
    }
}

impl Law {
    /// A law from a conductance in m3/(s Pa). Conductance and index above zero, `0 <= critical_ratio < 1`.
    pub(crate) fn new(conductance: f64, critical_ratio: f64, index: f64, cracking_pa: Option<f64>) -> Self {
        Self {
            choked_factor: conductance * REFERENCE_DENSITY_KG_PER_M3 * REFERENCE_TEMPERATURE_K.sqrt(),
            critical_ratio,
            index,
            cracking_pa: cracking_pa.unwrap_or(0.0),
            one_way: cracking_pa.is_some(),
            unshifted: Span::new(critical_ratio, 1.0),
        }
    }

    /// Mass flow from side 1 to side 2 in kg/s, negative when it runs back.
    pub(crate) fn mass_flow(&self, side_1: (f64, f64), side_2: (f64, f64)) -> f64 {
        let ((pressure_1, temperature_1), (pressure_2, temperature_2)) = (side_1, side_2);
        if pressure_1 >= pressure_2 {
            self.forward(pressure_1, pressure_2, temperature_1)
        } else if self.one_way {
            0.0
        } else {
            -self.forward(pressure_2, pressure_1, temperature_2)
        }
    }

    /// Mass flow in kg/s for `pressure_1 >= pressure_2`, both above zero.
    pub(crate) fn forward(&self, pressure_1: f64, pressure_2: f64, temperature_1: f64) -> f64 {
        self.choked_flow(pressure_1, temperature_1) * self.share(pressure_1, pressure_2)
    }

    /// Mass flow in kg/s with the outlet below the critical pressure.
    pub(crate) fn choked_flow(&self, pressure_1: f64, temperature_1: f64) -> f64 {
        self.choked_factor * pressure_1 / temperature_1.sqrt()
    }

    /// Whether a lower outlet pressure would pass no more.
    pub(crate) fn is_choked(&self, pressure_1: f64, pressure_2: f64) -> bool {
        pressure_2 <= self.span(pressure_1).joint * pressure_1
    }

    /// Whether it closes against flow back.
    pub(crate) const fn is_one_way(&self) -> bool {
        self.one_way
    }

    /// Pressure drop in Pa that opens it.
    pub(crate) const fn cracking(&self) -> f64 {
        self.cracking_pa
    }

    /// `f(p_2/p_1)`: the share of the choked flow.
    pub(crate) fn share(&self, pressure_1: f64, pressure_2: f64) -> f64 {
        let Span { joint, closed, linear_part } = self.span(pressure_1);
        let ratio = pressure_2 / pressure_1;
        if ratio <= joint {
            return 1.0;
        }
        let to_closed = (closed - ratio) / (closed - joint);
        if to_closed <= 0.0 {
            0.0
        } else if to_closed < linear_part {
            to_closed / linear_part * self.curve(linear_part)
        } else {
            self.curve(to_closed)
        }
    }

    /// Outlet pressure at which `flow` passes from `pressure_1`, the critical one when it just chokes;
    /// none when more than the choked flow is asked for.
    pub(crate) fn outlet(&self, flow: f64, pressure_1: f64, temperature_1: f64) -> Option<f64> {
        let share = flow / self.choked_flow(pressure_1, temperature_1);
        if share > 1.0 {
            return None;
        }
        let Span { joint, closed, linear_part } = self.span(pressure_1);
        let at_band = self.curve(linear_part);
        let to_closed = if share < at_band {
            share / at_band * linear_part
        } else {
            let from_joint = (1.0 - share.powf(1.0 / self.index)).max(0.0).sqrt();
            1.0 - from_joint
        };
        Some(pressure_1 * (closed - to_closed * (closed - joint)))
    }

    /// Inlet pressure that drives `flow` (not below zero) against `pressure_2`.
    pub(crate) fn inlet(&self, flow: f64, pressure_2: f64, temperature_1: f64) -> f64 {
        // Inlet pressure of the choked flow.
        let choked = flow * temperature_1.sqrt() / self.choked_factor;
        if self.is_choked(choked, pressure_2) {
            return choked;
        }
        if self.cracking_pa > 0.0 || (self.index - 0.5).abs() > 1e-12 {
            return self.inlet_by_bisection(flow, pressure_2, temperature_1, choked);
        }
        let critical_ratio = self.critical_ratio;
        // The linear part: q = q* s (1 - p2/p1) with q* = choked flow at p1.
        let slope = self.curve(self.unshifted.linear_part) / LINEAR_BAND;
        let linear = pressure_2 + choked / slope;
        if pressure_2 > (1.0 - LINEAR_BAND) * linear {
            return linear;
        }
        // f = sqrt(1 - u^2) makes q(p1) = q a quadratic in p1; this is its root in the form that keeps its
        // digits when 1 - 2b is small.
        let rest = 1.0 - critical_ratio;
        let root = (pressure_2 * pressure_2 + (1.0 - 2.0 * critical_ratio) * choked * choked).max(0.0).sqrt();
        let squares = pressure_2 * pressure_2 + (rest * choked).powi(2);
        squares / (critical_ratio * pressure_2 + rest * root)
    }

    /// Inlet pressure `p_1` behind a regulator whose outlet falls from `set` with the flow, `p_1 + k q = set` with
    /// `fall = k q*/p_1` the fall with the path choked, and the slope of the left side by `p_1` there.
    ///
    /// Exact for the index 0.5 without cracking pressure beyond the linear band; elsewhere a first guess.
    pub(crate) fn inlet_behind_droop(&self, set: f64, fall: f64, pressure_2: f64) -> (f64, f64) {
        // (set - p1)^2 = fall^2 (p1^2 - ((p2 - b p1)/(1 - b))^2) is a quadratic in p1; this is its lower root in
        // the form that keeps its digits when 1 - 2b is small.
        let b = self.critical_ratio;
        let fall_squared = fall * fall;
        let factor = fall_squared / ((1.0 - b) * (1.0 - b));
        let middle = set + factor * b * pressure_2;
        let apart = (set - pressure_2) * ((1.0 - 2.0 * b) * set + pressure_2);
        let root = (factor * (apart + fall_squared * pressure_2 * pressure_2)).max(0.0).sqrt();
        let inlet = (set * set + factor * pressure_2 * pressure_2) / (middle + root);
        (inlet, root / (set - inlet))
    }

    fn inlet_by_bisection(&self, flow: f64, pressure_2: f64, temperature_1: f64, choked: f64) -> f64 {
        let mut low = pressure_2.max(choked);
        let mut high = low + self.cracking_pa + pressure_2;
        // The share reaches 1 once the inlet is far above the outlet, so doubling ends.
        for _ in 0..200 {
            if self.forward(high, pressure_2, temperature_1) >= flow {
                break;
            }
            high *= 2.0;
        }
        for _ in 0..200 {
            let middle = 0.5 * (low + high);
            if middle <= low || middle >= high {
                break;
            }
            if self.forward(middle, pressure_2, temperature_1) < flow {
                low = middle;
            } else {
                high = middle;
            }
        }
        high
    }

    fn span(&self, pressure_1: f64) -> Span {
        if self.cracking_pa > 0.0 {
            Span::new(self.critical_ratio, 1.0 - self.cracking_pa / pressure_1)
        } else {
            self.unshifted
        }
    }

    /// `(1 - u^2)^m` with `u = 1 - to_closed`; `1 - u^2` in the form that keeps its digits near `u = 1`.
    fn curve(&self, to_closed: f64) -> f64 {
        let rest = to_closed * (2.0 - to_closed);
        if (self.index - 0.5).abs() <= 1e-12 { rest.sqrt() } else { rest.powf(self.index) }
    }
}
