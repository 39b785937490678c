//! The load, and how it comes on.

use uom::si::f64::{Force, Length, Mass};

use super::value::FromSi;
use super::{Choice, Reported, Resolver};
use crate::rig::problem::Problem;
use crate::sizing::linkage::Profile;
use crate::sizing::travel::{Load, standard_gravity};

impl Resolver<'_> {
    /// The load.
    ///
    /// # Errors
    /// If a field is missing or wrong.
    pub fn load(&mut self) -> Result<Load, Reported> {
        self.load_and_profile().map(|(load, _)| load)
    }

    /// The load, and how it comes on as it rises.
    pub(super) fn load_and_profile(&mut self) -> Result<(Load, Profile), Reported> {
        let mass = self.load_mass();
        let share = self.with_default("load.share");
        let moving = self.with_default("load.moving");
        let lift = self.required("load.lift");
        let take_up = self.with_default("load.take-up");
        let ramp = match &mass {
            Ok((_, Some(_))) => Ok(Profile::whole()),
            _ => self.ramp(),
        };
        let (mass, profile) = mass?;
        let profile = profile.unwrap_or(ramp?);
        let load = Load { mass, share: share?, moving: moving?, lift: lift?, take_up: take_up? };
        Ok((load, profile))
    }

    /// The mass of the load; `force` stands for mass = force/g, and so does its tolerance. A profile has its
    /// mass in itself.
    fn load_mass(&mut self) -> Result<(Mass, Option<Profile>), Reported> {
        let reason = "the heaviest row of the profile is the mass";
        let beside_mass = self.either("load.mass", "load.profile", reason)?;
        let beside_force = self.either("load.force", "load.profile", reason)?;
        if (beside_mass, beside_force) == (Choice::Second, Choice::Second) {
            return self.profile().map(|(mass, profile)| (mass, Some(profile)));
        }
        let mass = match self.either("load.mass", "load.force", "the load is said by one of the two") {
            Ok(Choice::Second) => {
                let force: Force = self.required("load.force")?;
                if let Some(half_width) = self.tolerances.remove("load.force") {
                    self.tolerances.insert("load.mass", half_width / standard_gravity().value);
                }
                Ok(force / standard_gravity())
            }
            Ok(_) => self.required("load.mass"),
            Err(reported) => {
                let _ = self.optional::<Mass>("load.mass");
                let _ = self.optional::<Force>("load.force");
                Err(reported)
            }
        };
        Ok((mass?, None))
    }

    fn ramp(&mut self) -> Result<Profile, Reported> {
        let path = "load.ramp";
        let over: Length = match self.optional(path)? {
            Some(over) => over,
            None => self.default_of(path, "0 mm")?,
        };
        if over > Length::default() {
            Profile::ramp(over).map_err(|error| self.misfit(error))
        } else {
            Ok(Profile::whole())
        }
    }

    fn profile(&mut self) -> Result<(Mass, Profile), Reported> {
        let path = "load.profile";
        if self.is_stated("load.ramp") {
            let problem = Problem::new(
                self.place_of("load.ramp"),
                "`load.ramp` and `load.profile` are both given; each says by itself how the load comes on",
            );
            return Err(self.report(problem.hint("keep the one that you know better and delete the other")));
        }
        let Some(rows) = self.point_pairs(path)? else { return Err(self.missing_path(path)) };
        let rows: Vec<_> =
            rows.iter().map(|(height, mass)| (Length::from_si(height.si), Mass::from_si(mass.si))).collect();
        let profile = Profile::table(&rows).map_err(|error| self.misfit(error))?;
        Ok((profile.heaviest().unwrap_or_default(), profile))
    }
}
