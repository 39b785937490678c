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

/// A published rule that the receiver brings up, and its threshold if it has one.
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
    /// The receiver's figure, in `unit`.
    pub value: f64,
    /// The threshold; none where it holds for every size.
    pub threshold: Option<f64>,
    /// `bar L`, `bar` or `L`.
    pub unit: &'static str,
    /// Whether the receiver stands above it, or there is none.
    pub above: bool,
    /// How its text was seen: empty for the text itself.
    pub standing: &'static str,
}

/// Standing of a figure that another text than the rule gives.
const SECOND_HAND: &str = "from a secondary source";

/// Standing of a figure that another text gives, with a clause that nobody has looked up.
const SECOND_HAND_FIGURE: &str = "figure from a secondary source, clause from memory";

/// Highest pressure, in bar, of the directive on simple vessels. Source: Directive 2014/29/EU, Article 1.
pub(super) const SIMPLE_VESSEL_BAR: f64 = 30.0;

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

/// A row of [`rules`] before the receiver is held to it.
struct Text {
    document: &'static str,
    jurisdiction: &'static str,
}

const PRESSURE_EQUIPMENT: Text =
    Text { document: "Directive 2014/68/EU (pressure equipment)", jurisdiction: "European Union" };
const SIMPLE_VESSELS: Text =
    Text { document: "Directive 2014/29/EU (simple pressure vessels)", jurisdiction: "European Union" };
const PRESSURE_SYSTEMS: Text = Text {
    document: "Pressure Systems Safety Regulations 2000 (SI 2000/128)",
    jurisdiction: "Great Britain, at work",
};
const GENERAL_INDUSTRY: Text =
    Text { document: "29 CFR 1910.169 (air receivers)", jurisdiction: "United States, at work" };
const MINES: Text = Text {
    document: "30 CFR 56.13011 and 57.13011 (air receiver tanks)",
    jurisdiction: "United States, mines",
};
const VESSEL_CODE: Text = Text {
    document: "ASME Boiler and Pressure Vessel Code, Section VIII, Division 1",
    jurisdiction: "United States and Canada, where a law calls for it",
};
const CALIFORNIA: Text =
    Text { document: "Labor Code, Division 5, Part 6; 8 CCR 461 (air tanks)", jurisdiction: "California" };
const QUEBEC: Text =
    Text { document: "Regulation respecting pressure vessels, A-20.01, r. 1", jurisdiction: "Quebec" };

/// 15 psi in bar.
const FIFTEEN_PSI: f64 = 1.034_213_59;

/// 150 psi in bar.
const HUNDRED_AND_FIFTY_PSI: f64 = 10.342_135_9;

/// 1.5 cubic feet in L.
const ONE_AND_A_HALF_CUBIC_FEET: f64 = 42.475_270;

/// The receiver's figures that rules are about.
struct Receiver {
    rating_bar: f64,
    litres: f64,
    product: f64,
}

impl Text {
    /// The rule, held against a receiver's figure.
    fn rule(
        &self,
        clause: &'static str,
        about: &'static str,
        value: f64,
        threshold: Option<f64>,
        unit: &'static str,
    ) -> Rule {
        Rule {
            document: self.document,
            clause,
            jurisdiction: self.jurisdiction,
            about,
            value,
            threshold,
            unit,
            above: threshold.is_none_or(|threshold| value > threshold * (1.0 + 1e-9)),
            standing: "",
        }
    }
}

/// Rules for the receiver's rating, its volume and the product of both. They are named for the reader to read;
/// none is held to be met.
pub(super) fn rules(rig: &Rig) -> Vec<Rule> {
    let (rating_bar, litres) = (rig.tank.rating.pascals() / 1e5, rig.tank.volume.value * 1e3);
    let receiver = Receiver { rating_bar, litres, product: rating_bar * litres };
    let is_metal = !matches!(rig.protection.material, Some(TankMaterial::Plastic | TankMaterial::Composite));
    let mut rules = in_the_union(&receiver, is_metal);
    rules.extend(in_britain(&receiver));
    rules.extend(in_america(&receiver));
    rules
}

/// Rules of the European Union.
fn in_the_union(receiver: &Receiver, is_metal: bool) -> Vec<Rule> {
    let (rating_bar, product) = (receiver.rating_bar, receiver.product);
    let mut rules = vec![PRESSURE_EQUIPMENT.rule(
        "Article 1",
        "pressure above which the rules for pressure equipment begin",
        rating_bar,
        Some(0.5),
        "bar",
    )];
    // That on simple vessels covers steel and aluminium: Article 2.
    if is_metal {
        rules.push(SIMPLE_VESSELS.rule(
            "Article 1",
            "highest pressure of its scope",
            rating_bar,
            Some(SIMPLE_VESSEL_BAR),
            "bar",
        ));
        // What that directive says of products does not cover a tank beyond its pressure.
        if rules.last().is_some_and(|scope| !scope.above) {
            let class = SIMPLE_VESSELS.rule(
                "Article 13(2)",
                "product at which the next class begins",
                product,
                Some(if product > 200.0 { 3000.0 } else { 200.0 }),
                "bar L",
            );
            rules.extend([
                SIMPLE_VESSELS.rule(
                    "Article 1",
                    "largest product of its scope",
                    product,
                    Some(10_000.0),
                    "bar L",
                ),
                SIMPLE_VESSELS.rule(
                    "Annex III, 1.1",
                    "product above which a vessel carries the CE marking and inscriptions",
                    product,
                    Some(50.0),
                    "bar L",
                ),
                Rule { standing: SECOND_HAND_FIGURE, ..class },
            ]);
        }
    }
    if !is_metal || rating_bar > SIMPLE_VESSEL_BAR {
        let vessels = PRESSURE_EQUIPMENT.rule(
            "Article 4(1)(a)(i), second indent",
            "product above which its essential safety requirements hold for a vessel of more than 1 L",
            product,
            Some(50.0),
            "bar L",
        );
        let above = vessels.above && receiver.litres > 1.0;
        rules.push(Rule { above, standing: "figure and clause from memory", ..vessels });
    }
    rules
}

/// Rules of Great Britain.
fn in_britain(receiver: &Receiver) -> [Rule; 2] {
    let (rating_bar, product) = (receiver.rating_bar, receiver.product);
    let scheme = PRESSURE_SYSTEMS.rule(
        "Regulation 8 and Schedule 1",
        "product from which a written scheme of examination by a competent person is asked for",
        product,
        Some(250.0),
        "bar L",
    );
    [
        PRESSURE_SYSTEMS.rule(
            "Regulation 2, relevant fluid",
            "pressure of a gas above which the regulations begin",
            rating_bar,
            Some(0.5),
            "bar",
        ),
        Rule { standing: SECOND_HAND_FIGURE, ..scheme },
    ]
}

/// Rules of the United States and Canada.
fn in_america(receiver: &Receiver) -> [Rule; 7] {
    let (rating_bar, litres) = (receiver.rating_bar, receiver.litres);
    let receivers = GENERAL_INDUSTRY.rule(
        "(b)(2), (b)(3)",
        "every air receiver: a drain at its lowest point, a gauge in sight, spring-loaded safety valves, tested often",
        rating_bar,
        None,
        "bar",
    );
    let code = VESSEL_CODE.rule(
        "U-1(c)(2)",
        "pressure (15 psi) up to which a vessel is outside its scope; so is one of at most 6 in (152 mm) inside",
        rating_bar,
        Some(FIFTEEN_PSI),
        "bar",
    );
    let exempt = "volume (1.5 cubic feet) and pressure (150 psi) up to both of which a tank is exempt";
    [
        Rule { standing: "from a secondary source, paragraphs from memory", ..receivers },
        MINES.rule(
            "one paragraph each, not divided",
            "every air receiver: a gauge, and relief valves that keep it within 10 % above its highest allowed pressure",
            rating_bar,
            None,
            "bar",
        ),
        Rule { standing: SECOND_HAND, ..code },
        CALIFORNIA.rule(
            "Section 7624(e)",
            "pressure (15 psi) up to which a tank is not subject to it",
            rating_bar,
            Some(FIFTEEN_PSI),
            "bar",
        ),
        CALIFORNIA.rule(
            "Section 7624(c); 461(f)",
            exempt,
            litres,
            Some(ONE_AND_A_HALF_CUBIC_FEET),
            "L",
        ),
        CALIFORNIA.rule(
            "Section 7624(c); 461(f)",
            exempt,
            rating_bar,
            Some(HUNDRED_AND_FIFTY_PSI),
            "bar",
        ),
        QUEBEC.rule(
            "Section 3(1)",
            "volume (0.35 m3) up to which sections 14, 16 and 18 of the Act leave an air tank out; so does a diameter of at \
             most 0.61 m",
            litres,
            Some(350.0),
            "L",
        ),
    ]
}
