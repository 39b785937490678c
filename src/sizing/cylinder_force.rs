//! What a set of cylinders gives at a pressure, and what pressure a force asks of it.

use std::f64::consts::FRAC_PI_4;

use uom::si::f64::{Area, Force, Length, Pressure, Ratio, Volume};

use crate::units::GaugePressure;

/// Which way the cylinders are driven by air.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Action {
    /// Air raises, the load (or a spring) lowers.
    Single,
    /// Air raises and air returns.
    Double,
}

/// A set of equal cylinders side by side, the cap side raising.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cylinders {
    /// How many share the load.
    pub count: u32,
    /// Bore D.
    pub bore: Length,
    /// Rod diameter d, below the bore.
    pub rod: Length,
    /// Full stroke s.
    pub stroke: Length,
    /// Single or double acting.
    pub action: Action,
    /// Highest pressure the cylinders are rated for.
    pub rating: GaugePressure,
    /// Seal friction as a share of thrust, 0 to below 1.
    pub friction: Ratio,
    /// Dead volume of each cylinder on the driven side.
    pub clearance: Volume,
    /// Return spring force of each cylinder at full stroke; it grows from zero in proportion.
    pub return_spring: Force,
    /// Pressure left on the rod side while raising (double acting only).
    pub back_pressure: Pressure,
}

/// Area of a piston: `A = pi/4 * D^2`, with `D` the bore.
///
/// Source: geometry.
///
/// ```
/// # use lungful::sizing::cylinder_force::piston_area;
/// # use uom::si::{area::square_millimeter, f64::Length, length::millimeter};
/// let area = piston_area(Length::new::<millimeter>(50.0));
/// assert!((area.get::<square_millimeter>() - 1963.495).abs() < 1e-3); // 0.7853982 * 2500
/// ```
#[must_use]
pub fn piston_area(bore: Length) -> Area {
    FRAC_PI_4 * bore * bore
}

/// Area of the ring between bore and rod: `Ar = pi/4 * (D^2 - d^2)`, with `D` the bore and `d` the rod.
///
/// Source: geometry. Valid for `d < D`.
///
/// ```
/// # use lungful::sizing::cylinder_force::rod_side_area;
/// # use uom::si::{area::square_millimeter, f64::Length, length::millimeter};
/// let area = rod_side_area(Length::new::<millimeter>(50.0), Length::new::<millimeter>(20.0));
/// assert!((area.get::<square_millimeter>() - 1649.336).abs() < 1e-3); // 0.7853982 * (2500 - 400)
/// ```
#[must_use]
pub fn rod_side_area(bore: Length, rod: Length) -> Area {
    FRAC_PI_4 * (bore * bore - rod * rod)
}

impl Cylinders {
    /// Cap-side area of all cylinders together: `N * A`.
    #[must_use]
    pub fn cap_area(&self) -> Area {
        f64::from(self.count) * piston_area(self.bore)
    }

    /// Rod-side area of all cylinders together: `N * Ar`.
    #[must_use]
    pub fn ring_area(&self) -> Area {
        f64::from(self.count) * rod_side_area(self.bore, self.rod)
    }

    /// Force of all return springs at travel `x`: `N * F_s * x / s`.
    ///
    /// `F_s` is the spring force of one cylinder at full stroke `s`. Source: linear spring, unloaded at
    /// zero travel.
    #[must_use]
    pub fn spring_force(&self, travel: Length) -> Force {
        f64::from(self.count) * self.return_spring * (travel / self.stroke)
    }

    /// Theoretical thrust: `F = N * A * p`, no friction, rod side vented.
    ///
    /// Gauge pressure is the right driver, since both sides of the piston see the atmosphere.
    /// Source: `p = F/A`, ISO 80000-4.
    ///
    /// ```
    /// # use lungful::sizing::cylinder_force::{Action, Cylinders};
    /// # use lungful::units::{GaugePressure, pressure::pascals};
    /// # use uom::si::{f64::{Force, Length, Pressure, Ratio, Volume}, force::newton, length::millimeter};
    /// # let millimeters = |value| Length::new::<millimeter>(value);
    /// let one = Cylinders {
    ///     count: 1,
    ///     bore: millimeters(63.0),
    ///     rod: millimeters(20.0),
    ///     stroke: millimeters(300.0),
    ///     action: Action::Single,
    ///     rating: GaugePressure::new(pascals(10e5)),
    ///     friction: Ratio::default(),
    ///     clearance: Volume::default(),
    ///     return_spring: Force::default(),
    ///     back_pressure: Pressure::default(),
    /// };
    /// let thrust = one.thrust(GaugePressure::new(pascals(6e5)));
    /// assert!((thrust.get::<newton>() - 1870.3).abs() < 0.1); // 6e5 Pa * 3117.2 mm2
    /// ```
    #[must_use]
    pub fn thrust(&self, pressure: GaugePressure) -> Force {
        self.cap_area() * pressure.above_atmosphere()
    }

    /// Pressure that balances a force without friction: `p_load = F / (N A)`.
    #[must_use]
    pub fn load_pressure(&self, force: Force) -> GaugePressure {
        GaugePressure::new(force / self.cap_area())
    }

    /// Pressure on the piston that the rod-side back-pressure asks for: `p_back * Ar / A` when double acting.
    #[must_use]
    pub fn back_pressure_on_cap(&self) -> Pressure {
        match self.action {
            Action::Single => Pressure::default(),
            Action::Double => {
                self.back_pressure * (rod_side_area(self.bore, self.rod) / piston_area(self.bore))
            }
        }
    }

    /// Pressure needed to move against a force: `p_need = (p_load + p_back * Ar/A) / (1 - mu)`.
    ///
    /// `mu` is `friction`, the share of thrust that the seals take. The back-pressure term counts for
    /// double-acting cylinders only. Not covered: acceleration, stick-slip.
    ///
    /// Source: balance of forces on the piston; the friction share is common practice, no source
    /// (3 to 20 % of thrust).
    ///
    /// ```
    /// # use lungful::sizing::cylinder_force::{Action, Cylinders};
    /// # use lungful::units::{GaugePressure, pressure::pascals};
    /// # use uom::si::{f64::{Force, Length, Pressure, Ratio, Volume}, force::newton, length::millimeter, ratio::percent};
    /// # let millimeters = |value| Length::new::<millimeter>(value);
    /// # let one = Cylinders {
    /// #     count: 2, bore: millimeters(50.0), rod: millimeters(20.0), stroke: millimeters(400.0),
    /// #     action: Action::Single, rating: GaugePressure::new(pascals(10e5)),
    /// #     friction: Ratio::new::<percent>(10.0), clearance: Volume::default(),
    /// #     return_spring: Force::default(), back_pressure: Pressure::default(),
    /// # };
    /// // Two 50 mm bores, 10 % friction, 1413.7 N: 1413.7 N / 3927 mm2 = 3.6 bar; 3.6 / 0.9 = 4.0 bar.
    /// let need = one.needed_pressure(Force::new::<newton>(1413.72));
    /// assert!((need.pascals() - 4.0e5).abs() < 5.0);
    /// ```
    #[must_use]
    pub fn needed_pressure(&self, force: Force) -> GaugePressure {
        let load = self.load_pressure(force).above_atmosphere();
        GaugePressure::new((load + self.back_pressure_on_cap()) / (one() - self.friction))
    }

    /// The same cylinders at rest: their friction to start is `k mu`, with `k` the multiple `breakaway` of that in
    /// motion.
    ///
    /// Seals that have stood settle into the wall and squeeze their grease away, so that `k` is above 1. Valid for
    /// `k mu` below 1. Source: balance of forces; `k` is common practice, no source.
    ///
    /// ```
    /// # use lungful::sizing::cylinder_force::{Action, Cylinders};
    /// # use lungful::units::{GaugePressure, pressure::pascals};
    /// # use uom::si::f64::{Force, Length, Pressure, Ratio, Volume};
    /// # use uom::si::{force::newton, length::millimeter, ratio::percent};
    /// # let millimeters = |value| Length::new::<millimeter>(value);
    /// # let two = Cylinders {
    /// #     count: 2, bore: millimeters(50.0), rod: millimeters(20.0), stroke: millimeters(400.0),
    /// #     action: Action::Single, rating: GaugePressure::new(pascals(10e5)),
    /// #     friction: Ratio::new::<percent>(10.0), clearance: Volume::default(),
    /// #     return_spring: Force::default(), back_pressure: Pressure::default(),
    /// # };
    /// // 1413.7 N / 3927 mm2 = 3.6 bar; in motion 3.6 / 0.9 = 4 bar, to start with k = 2.8 it is 3.6 / 0.72 = 5 bar.
    /// let start = two.at_rest(Ratio::from(2.8)).needed_pressure(Force::new::<newton>(1413.72));
    /// assert!((start.pascals() - 5e5).abs() < 5.0);
    /// ```
    #[must_use]
    pub fn at_rest(&self, breakaway: Ratio) -> Self {
        Self { friction: breakaway * self.friction, ..*self }
    }

    /// Force that a pressure moves, friction and back-pressure taken off; the inverse of
    /// [`needed_pressure`](Self::needed_pressure): `F = N A (p (1 - mu) - p_back * Ar/A)`.
    #[must_use]
    pub fn moved_force(&self, pressure: GaugePressure) -> Force {
        let useful = pressure.above_atmosphere() * (one() - self.friction) - self.back_pressure_on_cap();
        self.cap_area() * useful
    }

    /// Force that a pressure on the rod side pulls with, friction taken off and the cap side vented:
    /// `F = N Ar p (1 - mu)`.
    ///
    /// Source: balance of forces, as in [`needed_pressure`](Self::needed_pressure).
    ///
    /// ```
    /// # use lungful::sizing::cylinder_force::{Action, Cylinders};
    /// # use lungful::units::{GaugePressure, pressure::pascals};
    /// # use uom::si::{f64::{Force, Length, Pressure, Ratio, Volume}, force::newton, length::millimeter, ratio::percent};
    /// # let millimeters = |value| Length::new::<millimeter>(value);
    /// # let two = Cylinders {
    /// #     count: 2, bore: millimeters(63.0), rod: millimeters(50.0), stroke: millimeters(300.0),
    /// #     action: Action::Double, rating: GaugePressure::new(pascals(10e5)),
    /// #     friction: Ratio::new::<percent>(10.0), clearance: Volume::default(),
    /// #     return_spring: Force::default(), back_pressure: Pressure::default(),
    /// # };
    /// // Two of 0.7854 (63^2 - 50^2) mm2 = 1153.7 mm2 at 0.47 N/mm2, less a tenth: 976 N.
    /// let pull = two.pulled_force(GaugePressure::new(pascals(4.7e5)));
    /// assert!((pull.get::<newton>() - 976.1).abs() < 0.1);
    /// ```
    #[must_use]
    pub fn pulled_force(&self, pressure: GaugePressure) -> Force {
        self.ring_area() * pressure.above_atmosphere() * (one() - self.friction)
    }

    /// Pressure that sinking pistons keep up: `p = (F + P (1 - mu)) / (N A (1 + mu))`.
    ///
    /// `F` is the force that the load presses with, `P` the push of the return air on the rod side, `mu` the
    /// seal friction as a share of thrust, which holds the pistons back and so relieves the air. Source: balance
    /// of forces, with the friction of [`needed_pressure`](Self::needed_pressure) turned round.
    ///
    /// ```
    /// # use lungful::sizing::cylinder_force::{Action, Cylinders};
    /// # use lungful::units::{GaugePressure, pressure::pascals};
    /// # use uom::si::{f64::{Force, Length, Pressure, Ratio, Volume}, force::newton, length::millimeter, ratio::percent};
    /// # let millimeters = |value| Length::new::<millimeter>(value);
    /// # let two = Cylinders {
    /// #     count: 2, bore: millimeters(50.0), rod: millimeters(20.0), stroke: millimeters(400.0),
    /// #     action: Action::Double, rating: GaugePressure::new(pascals(10e5)),
    /// #     friction: Ratio::new::<percent>(10.0), clearance: Volume::default(),
    /// #     return_spring: Force::default(), back_pressure: Pressure::default(),
    /// # };
    /// // Two 50 mm bores: 1295.9 N / 3927 mm2 = 3.3 bar; 3.3 bar / 1.1 = 3 bar.
    /// let held = two.sinking_pressure(Force::new::<newton>(1295.91), Force::default());
    /// assert!((held.pascals() - 3e5).abs() < 5.0);
    /// // 1000 N of return air: (1295.9 + 900) N / 3927 mm2 / 1.1 = 5.083 bar.
    /// let driven = two.sinking_pressure(Force::new::<newton>(1295.91), Force::new::<newton>(1000.0));
    /// assert!((driven.pascals() - 5.0835e5).abs() < 50.0);
    /// ```
    #[must_use]
    pub fn sinking_pressure(&self, force: Force, push: Force) -> GaugePressure {
        let driving = force + push * (one() - self.friction);
        GaugePressure::new(driving / self.cap_area() / (one() + self.friction))
    }

    /// Smallest bore, all else equal, that moves `force` at `pressure` (friction and back-pressure counted)
    /// and keeps the load ratio `F / (N A p)` within `limit`.
    ///
    /// `A >= F / (N limit p)` and `A (p (1 - mu) - p_back) >= F/N - p_back * pi/4 d^2`; the rod is left as
    /// it is, and the bore is never below it. `None` if no bore is large enough, that is if `p (1 - mu)` does not exceed the back-pressure
    /// or `p` is not above zero.
    #[must_use]
    pub fn bore_for(&self, force: Force, pressure: GaugePressure, limit: Ratio) -> Option<Length> {
        let each: Force = force / f64::from(self.count);
        let driving = pressure.above_atmosphere();
        let back = match self.action {
            Action::Single => Pressure::default(),
            Action::Double => self.back_pressure,
        };
        let useful = driving * (one() - self.friction) - back;
        if driving <= Pressure::default() || useful <= Pressure::default() {
            return None;
        }
        let for_ratio: Area = each / (driving * limit);
        let for_motion: Area = (each - back * piston_area(self.rod)) / useful;
        let area = for_motion.max(for_ratio).max(piston_area(self.rod));
        Some((area / FRAC_PI_4).sqrt())
    }
}

/// The plain number one as a ratio.
fn one() -> Ratio {
    Ratio::from(1.0)
}

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;
    use uom::si::force::newton;
    use uom::si::length::millimeter;
    use uom::si::ratio::ratio;

    use super::*;
    use crate::units::pressure::pascals;

    fn set(action: Action) -> Cylinders {
        let mm = Length::new::<millimeter>;
        Cylinders {
            count: 3,
            bore: mm(40.0),
            rod: mm(16.0),
            stroke: mm(250.0),
            action,
            rating: GaugePressure::new(pascals(10e5)),
            friction: Ratio::new::<ratio>(0.12),
            clearance: Volume::default(),
            return_spring: Force::new::<newton>(30.0),
            back_pressure: pascals(0.4e5),
        }
    }

    #[test]
    fn needed_pressure_and_moved_force_are_inverse() {
        for action in [Action::Single, Action::Double] {
            let set = set(action);
            let force = Force::new::<newton>(900.0);
            let back = set.moved_force(set.needed_pressure(force));
            assert_relative_eq!(back.value, force.value, max_relative = 1e-14);
        }
    }

    #[test]
    fn back_pressure_counts_for_double_acting_only() {
        let force = Force::new::<newton>(900.0);
        let single = set(Action::Single).needed_pressure(force);
        let double = set(Action::Double).needed_pressure(force);
        // analytic: 0.4 bar * (40^2 - 16^2)/40^2 / 0.88 = 0.381818 bar
        assert_relative_eq!((double - single).value, 0.4e5 * 0.84 / 0.88, max_relative = 1e-12);
    }

    #[test]
    fn the_bore_found_is_just_enough() {
        for action in [Action::Single, Action::Double] {
            for limit in [0.5, 0.7, 0.99] {
                let mut set = set(action);
                let force = Force::new::<newton>(1500.0);
                let pressure = GaugePressure::new(pascals(5e5));
                let limit = Ratio::new::<ratio>(limit);
                set.bore = set.bore_for(force, pressure, limit).unwrap();
                let load_ratio = set.load_pressure(force).pascals() / pressure.pascals();
                let need = set.needed_pressure(force);
                assert!(load_ratio <= limit.value * (1.0 + 1e-12));
                assert!(need.pascals() <= pressure.pascals() * (1.0 + 1e-12));
                let slack = (1.0 - load_ratio / limit.value).min(1.0 - need.pascals() / pressure.pascals());
                assert!(slack.abs() < 1e-12, "one of the two rules binds: {slack}");
            }
        }
    }

    #[test]
    fn no_bore_is_enough_against_a_back_pressure_above_the_driving_one() {
        let set = set(Action::Double);
        let force = Force::new::<newton>(10.0);
        assert_eq!(set.bore_for(force, GaugePressure::new(pascals(0.4e5)), Ratio::new::<ratio>(0.7)), None);
    }
}
