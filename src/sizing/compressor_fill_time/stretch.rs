//! A stretch of pressure over which the fill-time integral is taken in one piece.

use crate::quadrature::GAUSS_LEGENDRE_8;

/// Widest panel of the rule, in the variable of a stretch. The nearest singularity of any integrand here is
/// at least pi away from the panel, so that eight points leave an error of 1e-12 or less.
const WIDEST_PANEL: f64 = 2.0;

/// Below this change of ln m a linear delivery counts as level: ln m has no slope to divide by.
const LEVEL: f64 = 1e-3;

/// A stretch without break points, laid out along a variable in which dp/m has no singularity nearby.
///
/// Plain numbers in Pa (gauge) and kg/s, since this is the inside of an integrator.
#[derive(Debug, Clone, Copy)]
pub(super) enum Stretch {
    /// Delivery linear in pressure and nearly level, along p.
    Level { from_pa: f64, span_pa: f64, first: f64, last: f64 },
    /// Delivery linear in pressure, along ln m: `dp / m = (dp/dm) d(ln m)`.
    Linear { from_pa: f64, first: f64, log_span: f64, pa_per_rate: f64 },
    /// Delivery `m = m_0 w` with `w = 1 + c - c u` and `u = r^(1/n)`, along `t = ln(u / w)`, which goes to
    /// infinity both at the stall and at vacuum: `u = (1 + c) e^t / (1 + c e^t)` and
    /// `dp / m = n p / (m_0 (1 + c)) dt`, with p absolute.
    Clearance { site_pa: f64, open: f64, clearance: f64, index: f64, start: f64, span: f64 },
}

impl Stretch {
    /// Delivery that goes from `first` to `last` (both above zero) in a straight line.
    pub(super) fn linear([from_pa, to_pa]: [f64; 2], [first, last]: [f64; 2]) -> Self {
        let span_pa = to_pa - from_pa;
        // A difference of logarithms, since the ratio of two rates may overflow.
        let log_span = last.ln() - first.ln();
        if log_span.abs() > LEVEL {
            Self::Linear { from_pa, first, log_span, pa_per_rate: span_pa / (last - first) }
        } else {
            Self::Level { from_pa, span_pa, first, last }
        }
    }

    /// Delivery of a pump with clearance: `open` is its open flow, `rates` what it delivers at the ends.
    pub(super) fn clearance(
        [from_pa, to_pa]: [f64; 2],
        rates: [f64; 2],
        site_pa: f64,
        open: f64,
        clearance: f64,
        index: f64,
    ) -> Self {
        let variable =
            |gauge_pa: f64, rate: f64| (1.0 + gauge_pa / site_pa).ln() / index - (rate.ln() - open.ln());
        let [first, last] = rates;
        let start = variable(from_pa, first);
        Self::Clearance { site_pa, open, clearance, index, start, span: variable(to_pa, last) - start }
    }

    /// Length of the stretch in its own variable, in panels.
    fn panels(&self) -> f64 {
        let span = match self {
            Self::Level { .. } => 0.0,
            Self::Linear { log_span: span, .. } | Self::Clearance { span, .. } => *span,
        };
        (span.abs() / WIDEST_PANEL).ceil().max(1.0)
    }

    /// Gauge pressure at a share of the stretch, and dp/m for each unit of that share.
    fn at(&self, share: f64) -> (f64, f64) {
        match *self {
            Self::Level { from_pa, span_pa, first, last } => {
                (from_pa + span_pa * share, span_pa / (first + (last - first) * share))
            }
            Self::Linear { from_pa, first, log_span, pa_per_rate } => {
                let rate = first * (log_span * share).exp();
                (from_pa + (rate - first) * pa_per_rate, log_span * pa_per_rate)
            }
            Self::Clearance { site_pa, open, clearance, index, start, span } => {
                let growth = (start + span * share).exp();
                let root = (1.0 + clearance) * growth / (1.0 + clearance * growth);
                let ratio = root.powf(index);
                (site_pa * (ratio - 1.0), span * index * site_pa * ratio / (open * (1.0 + clearance)))
            }
        }
    }

    /// Nodes of the rule along the stretch: gauge pressure and dp/m of each.
    pub(super) fn nodes(self) -> impl Iterator<Item = (f64, f64)> {
        let panels = self.panels();
        let starts = std::iter::successors(Some(0.0), move |panel| Some(panel + 1.0).filter(|&n| n < panels));
        starts.flat_map(move |panel| {
            GAUSS_LEGENDRE_8.iter().flat_map(|&(x, weight)| [(-x, weight), (x, weight)]).map(
                move |(abscissa, weight)| {
                    let (gauge_pa, step) = self.at((panel + 0.5 * (1.0 + abscissa)) / panels);
                    (gauge_pa, 0.5 * weight / panels * step)
                },
            )
        })
    }
}
