//! The load along the travel: what the cylinders must give at each point of their stroke.

use uom::si::acceleration::meter_per_second_squared;
use uom::si::f64::{Acceleration, Force, Length, Mass, Ratio};

use super::cylinder_force::Cylinders;
use crate::units::GaugePressure;

/// Standard acceleration of free fall, m/s2. Source: 3rd CGPM (1901), exact by definition.
pub const STANDARD_GRAVITY_M_PER_S2: f64 = 9.806_65;

/// What has to be raised.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Load {
    /// Mass of the load, all of it.
    pub mass: Mass,
    /// Share of its weight that rests on the lifting points.
    pub share: Ratio,
    /// Mass of the moving parts of the rig, borne over the whole travel.
    pub moving: Mass,
    /// Height by which the load must rise.
    pub lift: Length,
    /// Free height before the load is borne.
    pub take_up: Length,
}

/// Cylinders that push the load themselves: the height gained is the travel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DirectTravel<'a> {
    /// The cylinders.
    pub cylinders: &'a Cylinders,
    /// The load.
    pub load: &'a Load,
    /// Share of the cylinders' work that reaches the load.
    pub efficiency: Ratio,
}

/// The point of the travel at which the cylinders must give most.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WorstPoint {
    /// Travel at which the force is first at its highest.
    pub travel: Length,
    /// Force needed there from all cylinders.
    pub force: Force,
    /// `F / (N A)` there.
    pub load_pressure: GaugePressure,
    /// Pressure needed there, with friction and back-pressure.
    pub needed_pressure: GaugePressure,
}

/// Standard acceleration of free fall.
#[must_use]
pub fn standard_gravity() -> Acceleration {
    Acceleration::new::<meter_per_second_squared>(STANDARD_GRAVITY_M_PER_S2)
}

impl DirectTravel<'_> {
    /// Weight on the lifting points at height `h`: `W(h) = g (share * mass * borne(h) + moving)`.
    ///
    /// `borne` is 0 below the take-up and 1 from there on.
    #[must_use]
    pub fn weight(&self, height: Length) -> Force {
        let borne =
            if height < self.load.take_up { Mass::default() } else { self.load.share * self.load.mass };
        (borne + self.load.moving) * standard_gravity()
    }

    /// Force needed from all cylinders at travel `x`: `F(x) = W(h) r / eta + N F_s x / s`, here with `h = x`
    /// and `r = dh/dx = 1`.
    ///
    /// `eta` is the efficiency of the linkage, `F_s` the return spring of one cylinder at full stroke `s`.
    /// Source: virtual work.
    #[must_use]
    pub fn force(&self, travel: Length) -> Force {
        self.weight(travel) / self.efficiency + self.cylinders.spring_force(travel)
    }

    /// Pressure needed at travel `x`, with friction and back-pressure.
    #[must_use]
    pub fn needed_pressure(&self, travel: Length) -> GaugePressure {
        self.cylinders.needed_pressure(self.force(travel))
    }

    /// The point at which the cylinders must give most.
    ///
    /// Weight and spring force never fall along a direct travel, so the highest force is that at full
    /// stroke; without a spring it is there from the take-up on, and the first such point is named.
    #[must_use]
    pub fn worst(&self) -> WorstPoint {
        let stroke = self.cylinders.stroke;
        let springless = self.cylinders.return_spring == Force::default();
        let travel = if springless && self.load.take_up <= stroke { self.load.take_up } else { stroke };
        let force = self.force(travel);
        WorstPoint {
            travel,
            force,
            load_pressure: self.cylinders.load_pressure(force),
            needed_pressure: self.cylinders.needed_pressure(force),
        }
    }

    /// Load mass (all of it, before `share`) for which the highest force along the travel is `force`; never
    /// below zero: `m = ((F - N F_s) eta / g - moving) / share`.
    #[must_use]
    pub fn load_for(&self, force: Force) -> Mass {
        let spring = self.cylinders.spring_force(self.cylinders.stroke);
        let raised: Mass = (force - spring) * self.efficiency / standard_gravity();
        let mass = (raised - self.load.moving) / self.load.share;
        if mass > Mass::default() { mass } else { Mass::default() }
    }

    /// Height of the load above its start at travel `x`.
    #[must_use]
    pub fn height(&self, travel: Length) -> Length {
        travel
    }

    /// Travel at which the load has risen by `lift` after the take-up, at most the full stroke.
    #[must_use]
    pub fn travel_for_lift(&self) -> Length {
        let wanted = self.load.take_up + self.load.lift;
        if wanted < self.cylinders.stroke { wanted } else { self.cylinders.stroke }
    }
}

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;
    use uom::si::f64::{Pressure, Volume};
    use uom::si::force::newton;
    use uom::si::length::millimeter;
    use uom::si::mass::kilogram;
    use uom::si::ratio::ratio;

    use super::*;
    use crate::sizing::cylinder_force::Action;
    use crate::units::pressure::pascals;

    fn cylinders(spring_n: f64) -> Cylinders {
        Cylinders {
            count: 2,
            bore: Length::new::<millimeter>(50.0),
            rod: Length::new::<millimeter>(20.0),
            stroke: Length::new::<millimeter>(400.0),
            action: Action::Single,
            rating: GaugePressure::new(pascals(10e5)),
            friction: Ratio::new::<ratio>(0.1),
            clearance: Volume::default(),
            return_spring: Force::new::<newton>(spring_n),
            back_pressure: Pressure::default(),
        }
    }

    fn load(take_up_mm: f64) -> Load {
        Load {
            mass: Mass::new::<kilogram>(100.0),
            share: Ratio::new::<ratio>(0.6),
            moving: Mass::new::<kilogram>(15.0),
            lift: Length::new::<millimeter>(350.0),
            take_up: Length::new::<millimeter>(take_up_mm),
        }
    }

    #[test]
    fn load_comes_on_at_the_take_up() {
        let (cylinders, load) = (cylinders(0.0), load(20.0));
        let travel =
            DirectTravel { cylinders: &cylinders, load: &load, efficiency: Ratio::new::<ratio>(1.0) };
        let at = |mm| travel.force(Length::new::<millimeter>(mm)).get::<newton>();
        // analytic: 15 kg and 75 kg times 9.80665
        assert_relative_eq!(at(19.99), 147.099_75, max_relative = 1e-12);
        assert_relative_eq!(at(20.0), 735.498_75, max_relative = 1e-12);
        assert_eq!(travel.worst().travel, Length::new::<millimeter>(20.0));
    }

    #[test]
    fn a_spring_moves_the_worst_point_to_the_end() {
        let (cylinders, load) = (cylinders(40.0), load(0.0));
        let travel =
            DirectTravel { cylinders: &cylinders, load: &load, efficiency: Ratio::new::<ratio>(0.8) };
        let worst = travel.worst();
        assert_eq!(worst.travel, cylinders.stroke);
        // analytic: 75 * 9.80665 / 0.8 + 2 * 40
        assert_relative_eq!(worst.force.get::<newton>(), 999.373_437_5, max_relative = 1e-12);
    }

    #[test]
    fn the_mass_for_a_force_gives_that_force() {
        let cylinders = cylinders(25.0);
        let mut load = load(10.0);
        let force = Force::new::<newton>(1200.0);
        let travel =
            DirectTravel { cylinders: &cylinders, load: &load, efficiency: Ratio::new::<ratio>(0.9) };
        let mass = travel.load_for(force);
        load.mass = mass;
        let travel =
            DirectTravel { cylinders: &cylinders, load: &load, efficiency: Ratio::new::<ratio>(0.9) };
        assert_relative_eq!(travel.worst().force.value, force.value, max_relative = 1e-13);
        assert_eq!(travel.load_for(Force::new::<newton>(10.0)), Mass::default());
    }
}
