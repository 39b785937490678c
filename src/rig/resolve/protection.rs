//! What protects, and what the parts do by themselves.

use uom::si::f64::Pressure;

use super::{Reported, Resolver};
use crate::rig::{Dump, Lock, People, Protection, Support, TankMaterial, Unpowered};

impl Resolver<'_> {
    /// Everything that bears on single faults and is not needed to lift.
    ///
    /// # Errors
    /// If a field is wrong.
    pub fn protection(&mut self) -> Result<Protection, Reported> {
        let port_throttle = self.passage("protection.port-throttle");
        let lock = self.word("protection.lock");
        let support = self.word("protection.support");
        let hose_restraint = self.fitted("protection.hose-restraint");
        let shut_off = self.fitted("protection.shut-off");
        let dump = self.word("protection.dump");
        let second_check = self.fitted("protection.second-check");
        let second_switch = self.optional("protection.second-switch");
        let raise_unpowered = self.unpowered("line.raise-unpowered");
        let lower_unpowered = self.unpowered("line.lower-unpowered");
        let lock_unpowered = self.unpowered("protection.lock-unpowered");
        let wide_open_flow = self.mass_flow("regulator.wide-open-flow");
        let regulator_seat = self.passage("regulator.seat");
        let tank_gauge_error = self.optional::<Pressure>("tank.gauge-error");
        let set_gauge_error = self.optional::<Pressure>("regulator.gauge-error");
        let material = self.word("tank.material");
        let people = self.word("site.people");
        Ok(Protection {
            port_throttle: port_throttle?,
            lock: match lock? {
                Some("in the port") => Lock::InPort,
                Some("in the line") => Lock::InLine,
                _ => Lock::None,
            },
            support: match support? {
                Some("pin") => Support::Pin,
                Some("latch") => Support::Latch,
                _ => Support::None,
            },
            hose_restraint: hose_restraint?,
            shut_off: shut_off?,
            dump: match dump? {
                Some("tank") => Dump::Tank,
                Some("cylinders") => Dump::Cylinders,
                Some("both") => Dump::Both,
                _ => Dump::None,
            },
            second_check: second_check?,
            second_switch: second_switch?,
            raise_unpowered: raise_unpowered?,
            lower_unpowered: lower_unpowered?,
            lock_unpowered: lock_unpowered?,
            wide_open_flow: wide_open_flow?,
            regulator_seat: regulator_seat?,
            tank_gauge_error: tank_gauge_error?.unwrap_or_default(),
            set_gauge_error: set_gauge_error?.unwrap_or_default(),
            material: match material? {
                Some("steel") => Some(TankMaterial::Steel),
                Some("stainless steel") => Some(TankMaterial::Stainless),
                Some("aluminium") => Some(TankMaterial::Aluminium),
                Some("composite") => Some(TankMaterial::Composite),
                Some("plastic") => Some(TankMaterial::Plastic),
                _ => None,
            },
            people: match people? {
                Some("none") => Some(People::None),
                Some("workers") => Some(People::Workers),
                Some("public") => Some(People::Public),
                _ => None,
            },
        })
    }

    fn fitted(&mut self, path: &'static str) -> Result<bool, Reported> {
        Ok(self.word(path)? == Some("fitted"))
    }

    fn unpowered(&mut self, path: &'static str) -> Result<Option<Unpowered>, Reported> {
        Ok(match self.word(path)? {
            Some("open") => Some(Unpowered::Open),
            Some("shut") => Some(Unpowered::Shut),
            Some("stays") => Some(Unpowered::Stays),
            _ => None,
        })
    }
}
