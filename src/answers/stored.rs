//! Energy that waits in the air of a rig, and the rules that its pressure and volume bring up.

use uom::si::f64::{Energy, Volume};

use crate::Result;
use crate::rig::{Rig, TankMaterial};
use crate::sizing::cylinder_force::piston_area;
use crate::sizing::stored_energy::{pressure_test_energy, stored_energy};
use crate::sizing::travel::standard_gravity;
use crate::units::GaugePressure;

/// Mass, in kg, of the fall to which an energy is compared: a grown person.
const COMPARED_KG: f64 = 75.0;

/// Air in a part of the rig.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Store {
    /// The part.
    pub part: &'static str,
    /// Highest pressure in it, gauge.
    pub pressure: GaugePressure,
    /// Its volume.
    pub volume: Volume,
    /// Energy of an isentropic expansion to the pressure of the site.
    pub isentropic: Energy,
    /// Energy by the formula of the pressure-test standard.
    pub pressure_test: Energy,
    /// Height, in m, from which a grown person of 75 kg falls with the isentropic energy.
    pub fall_m: f64,
}

/// A published threshold that the receiver stands above or below.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rule {
    /// The document.
    pub document: &'static str,
    /// Where in it.
    pub clause: &'static str,
    /// Where it holds.
    pub jurisdiction: &'static str,
    /// What it sets.
    pub about: &'static str,
    /// The receiver's figure: bar L, or bar.
    pub value: f64,
    /// The threshold.
    pub threshold: f64,
    /// `bar L` or `bar`.
    pub unit: &'static str,
    /// Whether the receiver stands above it.
    pub above: bool,
}

/// Air in receiver, hose and cylinders, each at the highest pressure that it is worked at.
pub(super) fn stores(rig: &Rig) -> Result<Vec<Store>> {
    let store = |part, pressure: GaugePressure, volume: Volume| -> Result<Store> {
        let absolute = pressure.to_absolute(rig.site.atmosphere)?;
        let isentropic = stored_energy(absolute, volume, rig.site.atmosphere);
        Ok(Store {
            part,
            pressure,
            volume,
            isentropic,
            pressure_test: pressure_test_energy(absolute, volume),
            fall_m: isentropic.value / (COMPARED_KG * standard_gravity().value),
        })
    };
    let cylinders = rig.cylinders;
    let full = cylinders.cap_area() * cylinders.stroke + f64::from(cylinders.count) * cylinders.clearance;
    let mut stores = vec![store("receiver", rig.full_pressure(), rig.tank.volume)?];
    if let Some(hose) = rig.line.hose {
        stores.push(store("hose", rig.regulator.set, piston_area(hose.bore) * hose.length)?);
    }
    stores.push(store("cylinders", rig.regulator.set, full)?);
    Ok(stores)
}

/// Thresholds for the receiver's rating and its product with the volume.
pub(super) fn rules(rig: &Rig) -> Vec<Rule> {
    let rating_bar = rig.tank.rating.pascals() / 1e5;
    let product = rating_bar * rig.tank.volume.value * 1e3;
    let rule = |document, clause, jurisdiction, about, value: f64, threshold: f64, unit| Rule {
        document,
        clause,
        jurisdiction,
        about,
        value,
        threshold,
        unit,
        above: value > threshold * (1.0 + 1e-9),
    };
    let pressure_equipment = rule(
        "Directive 2014/68/EU (pressure equipment)",
        "Article 1",
        "European Union",
        "pressure above which the rules for pressure equipment begin",
        rating_bar,
        0.5,
        "bar",
    );
    if matches!(rig.protection.material, Some(TankMaterial::Plastic | TankMaterial::Composite)) {
        // That on simple vessels covers steel and aluminium (Article 2).
        return vec![pressure_equipment];
    }
    let simple = "Directive 2014/29/EU (simple pressure vessels)";
    let mut rules = vec![
        pressure_equipment,
        rule(simple, "Article 1", "European Union", "highest pressure of its scope", rating_bar, 30.0, "bar"),
    ];
    if rules.last().is_some_and(|scope| scope.above) {
        // What that directive says of products does not cover such a tank.
        return rules;
    }
    rules.extend([
        rule(
            simple,
            "Article 1",
            "European Union",
            "largest product of its scope",
            product,
            10_000.0,
            "bar L",
        ),
        rule(
            simple,
            "Annex III, 1.1",
            "European Union",
            "product above which a vessel carries the CE marking and inscriptions",
            product,
            50.0,
            "bar L",
        ),
        rule(
            simple,
            "classes of simple pressure vessels (a secondary source; read the directive)",
            "European Union",
            "product at which the next class begins",
            product,
            if product > 200.0 { 3000.0 } else { 200.0 },
            "bar L",
        ),
    ]);
    rules
}
