//! What the rig stands on.

use uom::si::f64::{Length, Mass};

use super::{Reported, Resolver};
use crate::rig::{Base, LoadSide};
use crate::sizing::tipping::Weight;
use crate::sizing::travel::Load;

impl Resolver<'_> {
    /// Side to which a lever's load lies; of no account for what rises straight.
    fn load_side(&mut self, is_lever: bool) -> Result<LoadSide, Reported> {
        let side = self.word("base.load-side")?;
        if side.is_none() && is_lever {
            self.note_default("base.load-side", "front");
        }
        Ok(match side {
            Some("rear") => LoadSide::Rear,
            Some("right") => LoadSide::Right,
            Some("left") => LoadSide::Left,
            _ => LoadSide::Front,
        })
    }

    /// What the rig stands on, if it is described. The load weighs what of it rests on the lifting points.
    pub(super) fn base(&mut self, load: Option<&Load>, is_lever: bool) -> Result<Option<Base>, Reported> {
        if !self.has_table("base") {
            return Ok(None);
        }
        let width = self.required("base.width");
        let depth = self.required("base.depth");
        let slope = self.with_default("base.slope");
        let side_force = self.with_default("base.side-force");
        // A push without a height would turn nothing over, and nobody would see why.
        let side_force_height = if self.is_stated("base.side-force") {
            self.required("base.side-force-height")
        } else {
            self.optional::<Length>("base.side-force-height").map(Option::unwrap_or_default)
        };
        let rig_mass = self.required("base.rig-mass");
        let rig_height = self.required("base.rig-height");
        let rig_right = self.with_default("base.rig-right");
        let rig_front = self.with_default("base.rig-front");
        let load_height = self.required("base.load-height");
        let load_right = self.with_default("base.load-right");
        let load_front = self.with_default("base.load-front");
        let load_side = self.load_side(is_lever);
        let weight =
            |mass: Mass, height: Length, right: Length, front: Length| Weight { mass, height, right, front };
        let load_mass = load.map_or_else(Mass::default, |load| load.share * load.mass + load.moving);
        Ok(Some(Base {
            width: width?,
            depth: depth?,
            slope: slope?,
            side_force: side_force?,
            side_force_height: side_force_height?,
            rig: weight(rig_mass?, rig_height?, rig_right?, rig_front?),
            load: weight(load_mass, load_height?, load_right?, load_front?),
            load_side: load_side?,
        }))
    }
}
