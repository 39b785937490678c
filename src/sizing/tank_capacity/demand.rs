//! The pressures that must be reached on the way for a stroke to complete.

use std::fmt;
use std::rc::Rc;

use uom::si::f64::{Pressure, Volume};

use crate::units::AbsolutePressure;

/// A pressure that must be reached by the time so much volume is swept.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Demand {
    /// Volume swept by all cylinders.
    pub swept: Volume,
    /// Pressure needed there.
    pub need: AbsolutePressure,
}

/// Part of the way of a stroke on which the need changes smoothly; a point has one place twice.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Span {
    /// Where it begins.
    pub from: Demand,
    /// Where it ends.
    pub to: Demand,
    /// The need between its ends is nowhere higher than this.
    pub most: AbsolutePressure,
    /// Number of the law that the need follows in it.
    pub law: usize,
}

impl Span {
    /// A single place.
    #[must_use]
    pub fn point(demand: Demand) -> Self {
        Self { from: demand, to: demand, most: demand.need, law: 0 }
    }

    /// A span in which the need rises above its higher end by no more than `above`.
    #[must_use]
    pub fn between(from: Demand, to: Demand, above: Pressure, law: usize) -> Self {
        let higher = from.need.max(to.need);
        Self { from, to, most: higher.raised_by(above), law }
    }
}

/// The need by the number of its law and the volume swept.
type Need<'a> = Rc<dyn Fn(usize, Volume) -> AbsolutePressure + 'a>;

/// All that must be reached on the way for a stroke to complete.
///
/// The pressure common to tank and cylinders falls as the pistons advance, so that a need is met wherever a
/// later one as high is met. Only what no later demand covers is kept.
///
/// ```
/// # use lungful::sizing::tank_capacity::{Demand, Demands};
/// # use lungful::units::{AbsolutePressure, pressure::pascals};
/// # use uom::si::{f64::Volume, volume::liter};
/// # let bar = |value: f64| AbsolutePressure::new(pascals(value * 1e5));
/// let at = |swept, need| Ok::<_, lungful::Error>(Demand { swept: Volume::new::<liter>(swept), need: bar(need)? });
/// let demands = Demands::from(vec![at(0.0, 3.0)?, at(0.5, 5.0)?, at(1.0, 4.0)?]);
/// assert_eq!(demands.highest(), Some(bar(5.0)?));
/// # Ok::<(), lungful::Error>(())
/// ```
#[derive(Clone, Default)]
pub struct Demands<'a> {
    spans: Vec<Span>,
    need: Option<Need<'a>>,
}

impl<'a> Demands<'a> {
    /// Spans in order of travel, and the need within them by law and volume swept.
    #[must_use]
    pub fn new(spans: Vec<Span>, need: impl Fn(usize, Volume) -> AbsolutePressure + 'a) -> Self {
        Self { spans: uncovered(spans), need: Some(Rc::new(need)) }
    }

    /// No need is higher than this; `None` if nothing is needed.
    #[must_use]
    pub fn highest(&self) -> Option<AbsolutePressure> {
        self.spans.first().map(|span| span.most)
    }

    /// The spans that no later demand covers, in order of travel. The highest need of each is that of all
    /// that follow it too.
    pub(super) fn spans(&self) -> &[Span] {
        &self.spans
    }

    /// Both halves of a span; `None` of a point.
    pub(super) fn halves(&self, span: &Span) -> Option<[Span; 2]> {
        let need = self.need.as_ref()?;
        if span.from.swept >= span.to.swept {
            return None;
        }
        let swept = 0.5 * (span.from.swept + span.to.swept);
        let middle = Demand { swept, need: need(span.law, swept) };
        // Off a line over half the span the need is an eighth of this at most, where its bend is even.
        let bend = (span.from.need - middle.need) - (middle.need - span.to.need);
        let above = 0.25 * bend.abs();
        Some([
            Span::between(span.from, middle, above, span.law),
            Span::between(middle, span.to, above, span.law),
        ])
    }
}

impl From<Vec<Demand>> for Demands<'_> {
    /// Needs at single places, in any order.
    fn from(mut points: Vec<Demand>) -> Self {
        points.sort_by(|one, other| one.swept.value.total_cmp(&other.swept.value));
        Self { spans: uncovered(points.into_iter().map(Span::point).collect()), need: None }
    }
}

impl fmt::Debug for Demands<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_tuple("Demands").field(&self.spans).finish()
    }
}

/// The spans that hold a need higher than all that come after them.
fn uncovered(spans: Vec<Span>) -> Vec<Span> {
    let mut kept: Vec<Span> = Vec::with_capacity(spans.len());
    let (mut later, mut most) = (None, None);
    for mut span in spans.into_iter().rev() {
        if later < Some(span.most) {
            if span.to.need >= span.most {
                span = Span::point(span.to);
            }
            span.most = higher(most, span.most);
            most = Some(span.most);
            kept.push(span);
        }
        later = Some(higher(later, span.from.need.max(span.to.need)));
    }
    kept.reverse();
    kept
}

fn higher(known: Option<AbsolutePressure>, other: AbsolutePressure) -> AbsolutePressure {
    known.map_or(other, |known| known.max(other))
}

#[cfg(test)]
mod tests {
    use uom::si::volume::liter;

    use super::*;
    use crate::units::pressure::pascals;

    fn bar(value: f64) -> AbsolutePressure {
        AbsolutePressure::new(pascals(value * 1e5)).unwrap()
    }

    fn demand(swept: f64, need: f64) -> Demand {
        Demand { swept: Volume::new::<liter>(swept), need: bar(need) }
    }

    #[test]
    fn only_what_no_later_need_covers_is_kept() {
        let rows = [(2.0, 3.0), (0.0, 4.0), (1.0, 2.5), (3.0, 1.0), (0.5, 3.0)];
        let points = Demands::from(rows.map(|(swept, need)| demand(swept, need)).to_vec());
        let kept: Vec<Demand> = points.spans().iter().map(|span| span.to).collect();
        assert_eq!(kept, [demand(0.0, 4.0), demand(2.0, 3.0), demand(3.0, 1.0)]);
    }

    #[test]
    fn a_rising_span_is_its_end() {
        let spans = vec![Span::between(demand(0.0, 2.0), demand(1.0, 3.0), pascals(0.0), 0)];
        let rising = Demands::new(spans, |_, _| bar(9.0));
        assert_eq!(rising.spans(), [Span::point(demand(1.0, 3.0))]);
    }

    #[test]
    fn a_span_may_rise_between_its_ends() {
        // 4 - (x - 0.5)^2 bar: bulges by 0.25 bar between two ends of 3.75 bar, and so by 0.0625 bar in each half
        let law = |_: usize, swept: Volume| bar(4.0 - (swept.get::<liter>() - 0.5).powi(2));
        let spans = vec![Span::between(demand(0.0, 3.75), demand(1.0, 3.75), pascals(0.3e5), 0)];
        let demands = Demands::new(spans, law);
        assert_eq!(demands.highest(), Some(bar(4.05)));
        let [near, far] = demands.halves(demands.spans().first().unwrap()).unwrap();
        assert_eq!((near.to, far.from), (demand(0.5, 4.0), demand(0.5, 4.0)));
        for half in [near, far] {
            let bulge = (half.most - bar(4.0)).value;
            assert!((0.0625e5..=0.13e5).contains(&bulge), "{bulge}");
        }
        assert!(demands.halves(&Span::point(demand(0.0, 1.0))).is_none());
    }
}
