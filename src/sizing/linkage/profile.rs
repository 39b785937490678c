//! How much of the load is borne at each height.

use uom::si::f64::{Length, Mass};

use super::motion::{mass, mm, refuse};
use crate::Result;

/// Share of the load that is borne as it rises, counted from the height at which the take-up ends.
///
/// Below the take-up nothing is borne.
#[derive(Debug, Clone, PartialEq)]
pub struct Profile {
    /// Heights in m and shares at them; linear between, constant beyond. A height given twice is a step.
    points: Vec<(f64, f64)>,
    heaviest: Option<Mass>,
}

impl Default for Profile {
    /// See [`Profile::whole`].
    fn default() -> Self {
        Self::whole()
    }
}

/// A stretch of height over which the share is linear: `share + slope * (h - from)`.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Piece {
    pub(super) from: f64,
    pub(super) share: f64,
    pub(super) slope: f64,
}

impl Piece {
    pub(super) fn borne(&self, height: f64) -> f64 {
        self.share + self.slope * (height - self.from)
    }
}

impl Profile {
    /// The whole load comes on at once as the take-up ends; without take-up it rests on the rig from the
    /// start.
    #[must_use]
    pub fn whole() -> Self {
        Self { points: vec![(0.0, 1.0)], heaviest: None }
    }

    /// The load comes on evenly over a height once the take-up ends.
    ///
    /// # Errors
    /// [`Error::Geometry`](crate::Error::Geometry) unless the height is above zero.
    pub fn ramp(over: Length) -> Result<Self> {
        let over = super::motion::length("ramp", over)?;
        Ok(Self { points: vec![(0.0, 0.0), (over, 1.0)], heaviest: None })
    }

    /// The load by a table of heights above the end of the take-up and the masses borne there: linear
    /// between them, the first below and the last beyond. A height given twice is a step, borne from there
    /// on.
    ///
    /// The share borne is the mass over the [heaviest](Self::heaviest), which belongs into
    /// [`Load::mass`](crate::sizing::travel::Load::mass).
    ///
    /// # Errors
    /// [`Error::Geometry`](crate::Error::Geometry) if the table is empty, a height falls back or is given
    /// three times, a mass is negative, or all masses are zero.
    ///
    /// ```
    /// # use lungful::sizing::linkage::Profile;
    /// # use uom::si::{f64::{Length, Mass}, length::millimeter, mass::kilogram};
    /// # let mm = Length::new::<millimeter>;
    /// # let kg = Mass::new::<kilogram>;
    /// let dough = Profile::table(&[(mm(0.0), kg(20.0)), (mm(100.0), kg(80.0))])?;
    /// assert_eq!(dough.heaviest(), Some(kg(80.0)));
    /// // Half way between 20 kg and 80 kg: 50 kg of 80 kg.
    /// assert!((dough.borne(mm(50.0)).value - 0.625).abs() < 1e-12);
    /// # Ok::<(), lungful::Error>(())
    /// ```
    pub fn table(points: &[(Length, Mass)]) -> Result<Self> {
        let mut read = Vec::with_capacity(points.len());
        for (height, borne) in points {
            let height = super::motion::signed_length("profile", *height)?;
            if height < 0.0 {
                return refuse(
                    "profile",
                    mm(height),
                    "heights count from the end of the take-up",
                    "start at 0",
                );
            }
            read.push((height, mass("profile", *borne)?));
        }
        for pair in read.windows(2) {
            if let [(before, _), (after, _)] = pair
                && after < before
            {
                let problem = format!("it stands after {}", mm(*before));
                return refuse("profile", mm(*after), problem, "put the heights in rising order");
            }
        }
        let thrice =
            read.windows(3).find(|three| matches!(three, [(first, _), _, (last, _)] if first >= last));
        if let Some([(height, _), ..]) = thrice {
            let fix = "give a step as two rows, before and after";
            return refuse("profile", mm(*height), "this height is given three times", fix);
        }
        let heaviest = read.iter().map(|&(_, mass)| mass).fold(0.0, f64::max);
        if heaviest <= 0.0 {
            let fix = "give at least one row with a mass above zero";
            return refuse("profile", format!("{} rows", read.len()), "no mass is borne anywhere", fix);
        }
        let points = read.into_iter().map(|(height, mass)| (height, mass / heaviest)).collect();
        Ok(Self { points, heaviest: Some(Mass::new::<uom::si::mass::kilogram>(heaviest)) })
    }

    /// Greatest mass of a table; `None` where only shares are known.
    #[must_use]
    pub fn heaviest(&self) -> Option<Mass> {
        self.heaviest
    }

    /// Height above the end of the take-up beyond which nothing changes: of the last row of a table, or where a
    /// ramp ends.
    #[must_use]
    pub fn highest(&self) -> Length {
        super::plane::meters(self.points.last().map_or(0.0, |point| point.0))
    }

    /// Share of the load borne at a height above the end of the take-up.
    #[must_use]
    pub fn borne(&self, height: Length) -> uom::si::f64::Ratio {
        let height = height.value;
        let share = if height < 0.0 { 0.0 } else { self.piece(height, 0.0).borne(height) };
        uom::si::f64::Ratio::from(share)
    }

    /// Heights at which the share has a step or a corner, with the take-up in front.
    pub(super) fn corners(&self, take_up: f64) -> impl Iterator<Item = f64> + '_ {
        std::iter::once(take_up).chain(self.points.iter().map(move |point| take_up + point.0))
    }

    /// The piece that holds from a height on.
    pub(super) fn piece(&self, height: f64, take_up: f64) -> Piece {
        if height < take_up {
            return Piece::default();
        }
        let mut piece = Piece { share: self.points.first().map_or(0.0, |point| point.1), ..Piece::default() };
        for (index, &(from, share)) in self.points.iter().enumerate() {
            let from = take_up + from;
            if height < from {
                break;
            }
            let slope = match self.points.get(index + 1) {
                Some(&(to, next)) if take_up + to > from => (next - share) / (take_up + to - from),
                _ => 0.0,
            };
            piece = Piece { from, share, slope };
        }
        piece
    }
}

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;
    use uom::si::length::millimeter;
    use uom::si::mass::kilogram;

    use super::*;

    fn table(rows: &[(f64, f64)]) -> Result<Profile> {
        let rows: Vec<_> = rows
            .iter()
            .map(|&(height, mass)| (Length::new::<millimeter>(height), Mass::new::<kilogram>(mass)))
            .collect();
        Profile::table(&rows)
    }

    fn borne(profile: &Profile, height: f64) -> f64 {
        profile.borne(Length::new::<millimeter>(height)).value
    }

    #[test]
    fn a_table_is_linear_between_rows_and_level_beyond() {
        let profile = table(&[(50.0, 10.0), (150.0, 40.0), (150.0, 20.0), (250.0, 0.0)]).unwrap();
        // By hand, over the heaviest 40 kg: 10 below the first row, 25 half way, 20 after the step, 10, 0.
        for (height, kilograms) in
            [(0.0, 10.0), (100.0, 25.0), (150.0, 20.0), (200.0, 10.0), (250.0, 0.0), (900.0, 0.0)]
        {
            assert_relative_eq!(borne(&profile, height), kilograms / 40.0, epsilon = 1e-12);
        }
    }

    #[test]
    fn a_ramp_grows_evenly() {
        let ramp = Profile::ramp(Length::new::<millimeter>(40.0)).unwrap();
        for (height, share) in [(-1.0, 0.0), (0.0, 0.0), (10.0, 0.25), (40.0, 1.0), (80.0, 1.0)] {
            assert_relative_eq!(borne(&ramp, height), share, epsilon = 1e-12);
        }
    }

    #[test]
    fn wrong_tables_are_refused_in_words() {
        for (rows, said) in [
            (&[][..], "no mass is borne anywhere"),
            (&[(0.0, 0.0), (5.0, 0.0)], "no mass is borne anywhere"),
            (&[(10.0, 1.0), (5.0, 1.0)], "profile is 5 mm: it stands after 10 mm"),
            (&[(5.0, 1.0), (5.0, 2.0), (5.0, 3.0)], "three times"),
            (&[(0.0, -1.0)], "no mass of an arm"),
            (&[(f64::NAN, 1.0)], "no length"),
        ] {
            let error = table(rows).unwrap_err().to_string();
            assert!(error.contains(said), "{error}");
        }
    }
}
