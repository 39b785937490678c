//! The pressure window in which the regulator may be set.

use uom::si::f64::{Length, MassRate, Pressure, Ratio};

use super::cylinder_force::Cylinders;
use super::travel::WorstPoint;
use crate::units::GaugePressure;

/// Step to which the recommended set point is rounded up, in pascals: a tenth of a bar, about what the
/// knob and gauge of a small regulator can be set to (estimate of our own).
const RECOMMENDED_STEP_PA: f64 = 10_000.0;

/// A regulator and how it is set.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Regulator {
    /// Set point, no flow.
    pub set: GaugePressure,
    /// Fall of the outlet below the set point while air flows.
    pub droop: Pressure,
    /// How far the inlet must stay above the set point.
    pub headroom: Pressure,
    /// How far above the set point the outlet may creep, as a share of it.
    pub tolerance: Ratio,
    /// Highest inlet pressure, if known.
    pub max_inlet: Option<GaugePressure>,
    /// Flow at which the droop is stated, if known; without it the droop counts at any flow.
    pub rated_flow: Option<MassRate>,
}

impl Regulator {
    /// Pressure while the load moves: `p_move = set - droop`.
    #[must_use]
    pub fn moving_pressure(&self) -> GaugePressure {
        self.set - self.droop
    }

    /// The lowest inlet pressure at which the outlet holds the set point: `set + headroom`.
    #[must_use]
    pub fn lowest_inlet(&self) -> GaugePressure {
        self.set + self.headroom
    }

    /// The highest outlet pressure in normal work: `set * (1 + tolerance)`, on the gauge figure.
    #[must_use]
    pub fn highest_outlet(&self) -> GaugePressure {
        GaugePressure::new(self.set.above_atmosphere() * (Ratio::from(1.0) + self.tolerance))
    }
}

/// What bounds the set point from above.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum UpperBound {
    /// The rating of the cylinders.
    CylinderRating,
    /// The rating of the line.
    LineRating,
    /// The relief valve after the regulator.
    LineRelief,
    /// Cut-in less headroom.
    CutIn,
}

/// What bounds the set point from below.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LowerBound {
    /// The limit of the load ratio.
    LoadRatio,
    /// Bare motion: friction and back-pressure leave no more.
    Motion,
}

/// The window for the set point, gauge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Window {
    /// Lowest set point that lifts with the margin asked for.
    pub low: GaugePressure,
    /// What sets the lower end.
    pub low_from: LowerBound,
    /// Highest set point that every part bears, if anything bounds it.
    pub high: GaugePressure,
    /// What sets the upper end.
    pub high_from: UpperBound,
}

/// The pressures that bound a set point from above.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ceilings {
    /// Rating of the cylinders.
    pub cylinder_rating: GaugePressure,
    /// Rating of the line, if known.
    pub line_rating: Option<GaugePressure>,
    /// Relief valve after the regulator, if there is one.
    pub line_relief: Option<GaugePressure>,
    /// Cut-in of the compressor; none for a bottle, whose pressure falls through every set point.
    pub cut_in: Option<GaugePressure>,
}

/// Set-point window.
///
/// `low = max(p_load / limit + droop, p_need + droop)`,
/// `high = min(rating / (1 + t), line relief / (1 + t), cut-in - headroom)`, all gauge, where `p_load` and
/// `p_need` are the highest load and needed pressures along the travel, `limit` the highest load ratio and
/// `t` the setting tolerance of the regulator. Ratings and relief are those after the regulator.
///
/// Source: definitions of load ratio and droop; the limit of the load ratio is common practice, no source.
/// Valid for `0 < limit <= 1`.
///
/// ```
/// # use lungful::sizing::regulator_setpoint::{Ceilings, Regulator, window};
/// # use lungful::units::{GaugePressure, pressure::pascals};
/// # use uom::si::{f64::Ratio, ratio::percent};
/// let bar = |value: f64| GaugePressure::new(pascals(value * 1e5));
/// let regulator = Regulator {
///     set: bar(5.5),
///     droop: pascals(0.3e5),
///     headroom: pascals(0.5e5),
///     tolerance: Ratio::new::<percent>(5.0),
///     max_inlet: None,
///     rated_flow: None,
/// };
/// let ceilings =
///     Ceilings { cylinder_rating: bar(10.0), line_rating: None, line_relief: Some(bar(7.0)), cut_in: Some(bar(8.0)) };
/// let window = window(bar(3.5), bar(3.9), &regulator, Ratio::new::<percent>(70.0), &ceilings);
/// assert!((window.low.pascals() - 5.3e5).abs() < 1.0); // 3.5 / 0.7 + 0.3 = 5.3 bar
/// assert!((window.high.pascals() - 6.6667e5).abs() < 10.0); // 7 / 1.05 = 6.67 bar, below 8 - 0.5
/// ```
#[must_use]
pub fn window(
    load_pressure: GaugePressure,
    needed_pressure: GaugePressure,
    regulator: &Regulator,
    limit: Ratio,
    ceilings: &Ceilings,
) -> Window {
    let for_ratio = GaugePressure::new(load_pressure.above_atmosphere() / limit) + regulator.droop;
    let for_motion = needed_pressure + regulator.droop;
    let (low, low_from) = if for_motion > for_ratio {
        (for_motion, LowerBound::Motion)
    } else {
        (for_ratio, LowerBound::LoadRatio)
    };
    let (high, high_from) = ceilings.lowest(regulator);
    Window { low, low_from, high, high_from }
}

impl Ceilings {
    /// The lowest of the pressures that bound the set point from above, and which one it is.
    fn lowest(&self, regulator: &Regulator) -> (GaugePressure, UpperBound) {
        let creep = Ratio::from(1.0) + regulator.tolerance;
        let below = |pressure: GaugePressure| GaugePressure::new(pressure.above_atmosphere() / creep);
        let others = [
            (self.line_rating.map(below), UpperBound::LineRating),
            (self.line_relief.map(below), UpperBound::LineRelief),
            (self.cut_in.map(|cut_in| cut_in - regulator.headroom), UpperBound::CutIn),
        ];
        let mut lowest = (below(self.cylinder_rating), UpperBound::CylinderRating);
        for (pressure, bound) in others {
            if let Some(pressure) = pressure
                && pressure < lowest.0
            {
                lowest = (pressure, bound);
            }
        }
        lowest
    }
}

impl Window {
    /// Whether any set point fits.
    #[must_use]
    pub fn is_open(&self) -> bool {
        self.low <= self.high
    }

    /// The set point to recommend: the lower end rounded up to a tenth of a bar, if that is still inside.
    ///
    /// The lower end is taken because a lower set point takes less air for each stroke. A hair (1e-9 of the
    /// step) is forgiven when rounding, so that an end that is a whole step stays there.
    #[must_use]
    pub fn recommended(&self) -> Option<GaugePressure> {
        self.rounded_up(RECOMMENDED_STEP_PA)
    }

    /// The lower end rounded up to a whole number of steps, if that is still inside.
    #[must_use]
    pub fn rounded_up(&self, step_pa: f64) -> Option<GaugePressure> {
        let steps = (self.low.pascals() / step_pa - 1e-9).ceil();
        let pressure = GaugePressure::new(crate::units::pressure::pascals(steps * step_pa));
        (pressure <= self.high).then_some(pressure)
    }

    /// Smallest bore, all else equal, for which the window opens: low end = high end.
    ///
    /// `None` if no bore does, that is if the upper end leaves nothing above the droop.
    #[must_use]
    pub fn opening_bore(
        &self,
        cylinders: &Cylinders,
        worst: &WorstPoint,
        regulator: &Regulator,
        limit: Ratio,
    ) -> Option<Length> {
        cylinders.bore_for(worst.force, self.high - regulator.droop, limit)
    }
}

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;
    use uom::si::f64::{Force, Volume};
    use uom::si::force::newton;
    use uom::si::length::millimeter;
    use uom::si::ratio::percent;

    use super::*;
    use crate::sizing::cylinder_force::Action;
    use crate::units::pressure::pascals;

    fn bar(value: f64) -> GaugePressure {
        GaugePressure::new(pascals(value * 1e5))
    }

    fn regulator() -> Regulator {
        Regulator {
            set: bar(5.0),
            droop: pascals(0.3e5),
            headroom: pascals(0.5e5),
            tolerance: Ratio::new::<percent>(5.0),
            max_inlet: None,
            rated_flow: None,
        }
    }

    #[test]
    fn friction_can_bind_before_the_load_ratio() {
        let ceilings =
            Ceilings { cylinder_rating: bar(10.0), line_rating: None, line_relief: None, cut_in: None };
        let limit = Ratio::new::<percent>(95.0);
        let window = window(bar(4.0), bar(5.0), &regulator(), limit, &ceilings);
        assert_eq!(window.low_from, LowerBound::Motion);
        assert_relative_eq!(window.low.pascals(), 5.3e5, max_relative = 1e-12); // analytic: 5.0 + 0.3
        assert_eq!(window.high_from, UpperBound::CylinderRating);
        assert_relative_eq!(window.high.pascals(), 10e5 / 1.05, max_relative = 1e-12);
    }

    #[test]
    fn recommended_is_the_next_tenth_of_a_bar_and_inside() {
        let at = |low: f64, high: f64| {
            let window = Window {
                low: bar(low),
                low_from: LowerBound::LoadRatio,
                high: bar(high),
                high_from: UpperBound::CutIn,
            };
            window.recommended().map(|pressure| (pressure.pascals() / 1e3).round())
        };
        assert_eq!(at(5.21, 6.0), Some(530.0));
        assert_eq!(at(5.3, 6.0), Some(530.0));
        assert_eq!(at(5.21, 5.29), None);
        assert_eq!(at(6.0, 5.0), None);
    }

    #[test]
    fn the_opening_bore_opens_the_window_exactly() {
        let mut cylinders = Cylinders {
            count: 1,
            bore: Length::new::<millimeter>(32.0),
            rod: Length::new::<millimeter>(12.0),
            stroke: Length::new::<millimeter>(200.0),
            action: Action::Single,
            rating: bar(7.0),
            friction: Ratio::new::<percent>(10.0),
            clearance: Volume::default(),
            return_spring: Force::default(),
            back_pressure: Pressure::default(),
        };
        let force = Force::new::<newton>(900.0);
        let limit = Ratio::new::<percent>(70.0);
        let ceilings = Ceilings {
            cylinder_rating: bar(7.0),
            line_rating: Some(bar(6.5)),
            line_relief: None,
            cut_in: Some(bar(8.0)),
        };
        let open = |cylinders: &Cylinders| {
            let worst = WorstPoint {
                travel: Length::default(),
                force,
                load_pressure: cylinders.load_pressure(force),
                needed_pressure: cylinders.needed_pressure(force),
            };
            (worst, window(worst.load_pressure, worst.needed_pressure, &regulator(), limit, &ceilings))
        };
        let (worst, shut) = open(&cylinders);
        assert!(!shut.is_open());
        cylinders.bore = shut.opening_bore(&cylinders, &worst, &regulator(), limit).unwrap();
        let (_, just) = open(&cylinders);
        assert_relative_eq!(just.low.pascals(), just.high.pascals(), max_relative = 1e-12);
    }
}
