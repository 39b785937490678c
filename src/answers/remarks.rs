//! The cautions and notes that fit a rig. Cautions can be chosen by the rig, never suppressed.

use uom::si::f64::{Length, Mass, Ratio};

use super::check::sentence;
use super::joint::weld_cautions;
use super::stored::SIMPLE_VESSEL_BAR;
use super::times::{hose_restriction, share_in_motion};
use super::{Answers, RaiseAnswer, Sentence, TankLeak};
use crate::frame::joint::Pin;
use crate::frame::material::Material;
use crate::rig::{AirSource, Lock, People, Rig, Support, TankMaterial};
use crate::sizing::compressor_fill_time::Delivery;
use crate::sizing::cylinder_force::Action;
use crate::sizing::linkage::Linkage;
use crate::sizing::tank_capacity::MOST_STROKES;
use crate::sizing::travel::Load;
use crate::sizing::{rod_column, tipping};
use crate::units::Dimension;

/// Above this altitude delivery points measured near sea level flatter the pump.
const HIGH_SITE_M: f64 = 500.0;

/// Above this pressure, in Pa, a bottle gets cautions of its own: above what receivers of small compressors
/// are made for. Estimate of our own.
const HIGH_PRESSURE_PA: f64 = 30e5;

/// Rods that stand out at the start by more than this share of the stroke are named. Estimate of our own.
const NAMED_DRAWN_OUT: f64 = 0.01;

/// Cautions for a rig.
#[must_use]
pub fn cautions(rig: &Rig, answers: &Answers) -> Vec<Sentence> {
    let mut cautions = Vec::new();
    if rig.protection.material == Some(TankMaterial::Plastic) {
        cautions.push(sentence![
            "The receiver is of plastic: it turns brittle in cold and light and bursts into splinters. Never use plastic pipe or bottles that are not made and marked for compressed air."
        ]);
    }
    cautions.extend([
        sentence![
            "Never be under, or let anybody be under, a load that only air holds. Support it mechanically first."
        ],
        sentence!["Not for lifting people."],
        sentence![
            "Stored air can kill. Use receivers made and marked for air only; never block the relief valve, never set it above the receiver's rating."
        ],
        sentence![
            "Before any work on the rig: switch off and lock out, lower the load, drain the tank, vent the cylinders. Restrain hoses."
        ],
    ]);
    cautions.extend(of_this_rig(rig, answers));
    if let AirSource::Bottle { filled_to } = &rig.source
        && filled_to.pascals() > HIGH_PRESSURE_PA
        && rig.is_given("tank.filled-to")
    {
        cautions.push(sentence![
            "A high-pressure bottle wants a regulator, hoses and fittings made for its pressure, a valve opened slowly, and filling and testing by people licensed for it."
        ]);
    }
    if let AirSource::Compressor(compressor) = &rig.source {
        if rig.defaults.iter().any(|default| default.field == "compressor.duty") {
            cautions.push(sentence![
                "No duty is stated, so the pump is taken to run without rest: small pumps are seldom built for that. Find its duty and enter `compressor.duty`."
            ]);
        }
        if matches!(compressor.delivery, Delivery::Points(_)) && is_high(rig) {
            cautions.push(sentence![
                "The delivery points are used as given. On a site above ",
                (HIGH_SITE_M, Dimension::Length),
                " a pump delivers less than points measured near sea level say: measure it on the site."
            ]);
        }
    }
    if answers.structure.rod.is_some() {
        cautions.push(sentence!["Rods: ", rod_column::CAUTION, "."]);
    }
    if rig.base.is_some() {
        cautions.push(sentence!["Stand: ", tipping::CAUTION, "."]);
    }
    let mut of_beams: Vec<&str> = Vec::new();
    for caution in rig.frame.iter().flat_map(|beam| beam.member.cautions()) {
        if !of_beams.contains(&caution) {
            of_beams.push(caution);
        }
    }
    for caution in of_beams {
        cautions.push(sentence!["Beams: ", caution, "."]);
    }
    cautions.extend(too_thick(rig));
    if rig.arms.is_some() {
        cautions.push(sentence![
            "Links and arms are judged against buckling alone. A bracket bends the link that it sits on: have that worked out."
        ]);
    }
    if matches!(rig.linkage.shape, Linkage::Scissor(_)) {
        cautions.push(sentence![
            "The arms of a scissor bend at their middle pins and where a cylinder holds on to them. That is not judged: have it worked out."
        ]);
        cautions.push(sentence![
            "The load of a scissor is taken to stand in the middle between platform pin and roller at every height, though the roller moves. Over one end it doubles the force on that pin."
        ]);
    }
    if !rig.pins.is_empty() {
        cautions.push(sentence!["Pins: ", Pin::CAUTION, "."]);
        if rig.meets_stop() {
            cautions.push(sentence![
                "The linkage meets its stop with the valve open and feels all that the set point gives. The pins of the cylinders are judged for that; the force on any other pin is that of the load: give that `force` where the stop makes it greater."
            ]);
        }
    }
    for caution in weld_cautions(rig) {
        cautions.push(sentence!["Welds: ", caution, "."]);
    }
    if !rig.frame.is_empty() {
        cautions.push(if rig.pins.is_empty() && rig.welds.is_empty() {
            sentence![
                "A frame is as strong as its welds, pins and the ground under it, which are not judged here. Prove it with a test load before it is used."
            ]
        } else {
            sentence![
                "A frame is as strong as all its welds, all its pins and the ground under it, of which only those described are judged. Prove it with a test load before it is used."
            ]
        });
    }
    cautions.push(sentence![
        "The figures are an aid, not an approval. Local rules for pressure equipment, lifting and electrics, and a qualified person, decide."
    ]);
    cautions
}

/// Above this product of rating and volume a receiver carries inscriptions and a CE marking. Source: Directive
/// 2014/29/EU, Annex III, 1.1.
const MARKED_PRODUCT_BAR_L: f64 = 50.0;

/// Cautions for what is special about a rig, or for what its file does not say. A question that is asked
/// without a rig gets none of them.
fn of_this_rig(rig: &Rig, answers: &Answers) -> Vec<Sentence> {
    let mut cautions = Vec::new();
    let protection = &rig.protection;
    if rig.is_given("tank.rating") && rig.is_given("load.lift") && protection.support != Support::Latch {
        cautions.push(if protection.support == Support::Pin {
            sentence![
                "Until its pin is set this rig holds its load by air alone: a torn hose or a valve that sticks lets it down. Nobody within its reach until then, nor while it moves."
            ]
        } else if answers.locks_itself() {
            sentence![
                "Until its leg is over centre, and on the way down, this rig holds its load by air alone: a torn hose or a valve that sticks lets it down. No latch or pin is stated (`protection.support`)."
            ]
        } else if protection.lock == Lock::None {
            sentence![
                "This rig holds its load by air alone: a torn hose or a valve that sticks lets it down. No latch, pin or lock is stated (`protection.support`, `protection.lock`)."
            ]
        } else {
            sentence![
                "The lock of this rig keeps air in, but air alone still holds the load: a seal that leaks lets it down. No latch or pin is stated (`protection.support`)."
            ]
        });
    }
    // The directive on simple vessels covers steel and aluminium.
    let simple = !matches!(protection.material, Some(TankMaterial::Plastic | TankMaterial::Composite));
    if rig.is_given("tank.rating") && rig.is_given("tank.volume") {
        let product = rig.tank.rating.pascals() / 1e5 * rig.tank.volume.value * 1e3;
        if rig.tank.rating.pascals() > SIMPLE_VESSEL_BAR * 1e5 {
            cautions.push(sentence![
                "The tank is rated ",
                (rig.tank.rating.pascals(), Dimension::Pressure),
                ", beyond the 30 bar up to which Directive 2014/29/EU (Article 1) covers simple vessels. Directive 2014/68/EU and the rules of your country for such bottles apply: read them; do not use one without its marks."
            ]);
        } else if product > MARKED_PRODUCT_BAR_L {
            let rule = if simple {
                " bar L, above the 50 bar L at which Directive 2014/29/EU (Annex III, 1.1) asks for marks on it. Read"
            } else {
                " bar L, above the 50 bar L at which Directive 2014/68/EU (Article 4(1)(a)(i), second indent; from memory) asks for a vessel built to its requirements and marked. Read"
            };
            cautions.push(sentence![
                "Rating times volume of the receiver is ",
                (product, Dimension::Number),
                rule,
                " the rules of your country; do not use a vessel without its plate."
            ]);
        }
    }
    match protection.people {
        Some(People::Public) => cautions.push(sentence![
            "Anybody may come near this rig. Fence off the reach of load, hoses and receiver, and let nobody work it who does not know what happens when a hose comes off."
        ]),
        Some(People::Workers) => cautions.push(sentence![
            "People are near this rig while it works. Nobody within reach of the load while it moves or while air holds it."
        ]),
        Some(People::None) | None => {}
    }
    cautions
}

/// Parts that are thicker than the strength of their metal holds for.
fn too_thick(rig: &Rig) -> Vec<Sentence> {
    let mut parts: Vec<(String, &Material, Length)> =
        vec![("the rods".to_owned(), &rig.rod.material, rig.cylinders.rod)];
    if let Some(arms) = &rig.arms {
        parts.push(("the links".to_owned(), &arms.material, arms.shape.thickness()));
    }
    for beam in &rig.frame {
        let of_beam = beam.member.parts();
        parts.extend(
            of_beam.map(|part| (format!("beam {}", beam.name), &part.material, part.shape.thickness())),
        );
    }
    for pin in &rig.pins {
        let joint = &pin.joint;
        let plate = if joint.middle > joint.outer { joint.middle } else { joint.outer };
        parts.push((format!("pin {}", pin.name), &joint.pin, joint.diameter));
        parts.push((format!("the plates of pin {}", pin.name), &joint.plates, plate));
    }
    parts
        .into_iter()
        .filter_map(|(part, material, thickness)| {
            let limit = material.up_to_thickness.filter(|&limit| thickness > limit * (1.0 + 1e-9))?;
            Some(sentence![
                format!("Steel of {part}: the strength of "),
                material.name.clone(),
                " holds up to ",
                (limit.value, Dimension::Length),
                " of thickness; at ",
                (thickness.value, Dimension::Length),
                " it is lower. Take it from the standard or the maker's certificate."
            ])
        })
        .collect()
}

/// What a reader should know of how the figures came about.
#[must_use]
pub fn notes(rig: &Rig, answers: &Answers) -> Vec<Sentence> {
    let mut notes = Vec::new();
    if matches!(rig.source, AirSource::Compressor(_)) {
        let bare: Vec<&str> = ["compressor.cut-in", "compressor.cut-out", "tank.relief"]
            .into_iter()
            .filter(|field| rig.tolerance(field) <= 0.0 && rig.is_given(field))
            .collect();
        if !bare.is_empty() {
            let bare = bare.iter().map(|field| format!("`{field}`")).collect::<Vec<_>>().join(", ");
            notes.push(sentence![
                bare,
                ": taken as written. Switches and valves scatter; with a stated tolerance, as in \"8 bar +- 0.3 bar\", each counts at its unfavourable end"
            ]);
        }
    }
    notes.push(sentence![
        "counts start from a tank at its pressure and at the temperature of the site. After a fast fill the tank is warm and settles lower"
    ]);
    let strokes = &answers.strokes;
    let missing = |starts: &super::Starts| starts.quick.is_none();
    if missing(&strokes.from_cut_out) || strokes.from_cut_in.as_ref().is_some_and(missing) {
        notes.push(sentence![
            "no quick-gas count: drawn down so far without rewarming, the tank would fall below ",
            (150.0, Dimension::Temperature),
            ", where the gas equation ends"
        ]);
    }
    if let Some(leak) = answers.leak {
        notes.push(tank_leak(rig, &leak));
    }
    if strokes.from_cut_out.slow.until_stall >= MOST_STROKES {
        notes.push(sentence![
            "the count stops at ",
            (f64::from(MOST_STROKES), Dimension::Number),
            " strokes"
        ]);
    }
    let steady = rig.battery.is_some_and(|battery| battery.steady_load.value > 0.0);
    if steady && rig.cycle.per_hour.is_none() {
        notes.push(sentence![
            "the steady load is not in the energy of a stroke, since `cycle.per-hour` does not say how long a stroke's turn lasts"
        ]);
    }
    if rig.frame.iter().filter(|beam| beam.height_lost > Ratio::default()).count() > 1 {
        notes.push(sentence![
            "the bends of all beams are added. Where beams lie side by side and share one load, let one count and enter `height-lost = 0` for the others"
        ]);
    }
    notes.extend(rod_side(rig, answers));
    notes.extend(converted(rig));
    if let Some(RaiseAnswer::Arrives { leaps: Some(from), fastest, .. }) = answers.times.raise {
        notes.push(sentence![
            "on the way up the load leaps at a travel of ",
            (from.value, Dimension::Length),
            ": the air held back until then drives it on, at up to ",
            (fastest.value, Dimension::Speed)
        ]);
    }
    let moving = Load { mass: Mass::default(), ..rig.load };
    let raises = [(answers.times.raise, rig.load), (answers.times.raise_empty, moving)];
    let shares = raises.into_iter().filter_map(|(raise, load)| match raise {
        Some(RaiseAnswer::Arrives { fastest, .. }) => share_in_motion(load, answers.lift.height, fastest),
        _ => None,
    });
    notes.extend(shares.reduce(Ratio::max).map(too_quick));
    if (rig.line.raise.is_some() || rig.line.lower.is_some())
        && rig.line.hose.is_some()
        && hose_restriction(rig).is_none()
    {
        notes.push(sentence![
            "the hose holds nothing back in raise and lower times, since its bore is outside the formula (1 mm to 50 mm); its volume counts"
        ]);
    }
    let drawn_out = rig.drawn_out();
    if drawn_out > NAMED_DRAWN_OUT * rig.cylinders.stroke {
        notes.push(sentence![
            "at the start the rods stand out by ",
            (drawn_out.value, Dimension::Length),
            ", since the closed cylinders are shorter than what lies between their pins: it comes off the stroke, and the air behind the pistons counts as dead volume"
        ]);
    }
    if rig.line.hose.is_none() {
        notes.push(sentence![
            "no hose is given, so its volume is left out of the air of a stroke: enter `line.hose-bore` and `line.hose-length`"
        ]);
    }
    notes
}

/// The way up is so quick that what the times leave out counts.
fn too_quick(share: Ratio) -> Sentence {
    sentence![
        "on the way up the load or the empty platform moves so quickly that its energy of motion is ",
        (share.value, Dimension::Fraction),
        " of the work that lifts it, which the times leave out: it sets off later than said, arrives with more, and swings on its air. Throttle the way up"
    ]
}

/// That raise and lower times follow from a valve which is known by another figure than C and b. A fifth is common
/// practice, no source.
fn converted(rig: &Rig) -> Option<Sentence> {
    let said_by = |valve: &str| {
        let keys = [("Cv", "Cv"), ("Kv", "Kv"), ("area", "effective area"), ("bore", "bore")];
        let given = keys.into_iter().find(|(key, _)| rig.is_given(&format!("{valve}.{key}")));
        given.map(|(_, words)| format!("`{valve}` ({words})"))
    };
    let valves: Vec<String> = ["line.raise", "line.lower", "line.rod-fill", "line.rod-vent"]
        .into_iter()
        .filter_map(said_by)
        .collect();
    (!valves.is_empty()).then(|| {
        sentence![
            "C and b of ",
            valves.join(", "),
            " are converted: a measured C may differ by a fifth (common practice, no source), and the time with it"
        ]
    })
}

fn tank_leak(rig: &Rig, leak: &TankLeak) -> Sentence {
    let each = [(86_399.0, " a day"), (3599.0, " an hour"), (59.0, " a minute")]
        .into_iter()
        .find(|(more_than, _)| leak.within.value > *more_than)
        .map_or(" a second", |(_, words)| words);
    let mut note = sentence![
        "the counts leave the leak of the tank out; `lungful rehearse` follows it. With everything shut the full tank falls at first by ",
        (leak.first_fall.value, Dimension::Pressure),
        each
    ];
    if let Some(stands) = leak.stands {
        note.0.extend(
            sentence![
                ", and the leak alone brings it down to ",
                match rig.source {
                    AirSource::Compressor(_) => "cut-in",
                    AirSource::Bottle { .. } => "set point and headroom",
                },
                " in ",
                (stands.value, Dimension::Time)
            ]
            .0,
        );
    }
    if let Some(share) = leak.share_of_delivery {
        note.0.extend(
            sentence![
                ". It takes ",
                (share.value, Dimension::Fraction),
                " of what the pump delivers in the middle of its band"
            ]
            .0,
        );
    }
    note
}

fn is_high(rig: &Rig) -> bool {
    let limit = Length::new::<uom::si::length::meter>(HIGH_SITE_M);
    crate::air::atmosphere::pressure(limit).is_ok_and(|pressure| rig.site.atmosphere < pressure)
}
/// What the raise of double-acting cylinders takes the air on their rod side to do.
fn rod_side(rig: &Rig, answers: &Answers) -> Option<Sentence> {
    let raise = answers.times.raise.filter(|_| rig.cylinders.action == Action::Double)?;
    match raise {
        RaiseAnswer::Arrives { rod_side: Some(holds), .. } => {
            let mut said = sentence!["the raise begins with the rod side vented"];
            if let Some(time) = holds.after_return {
                said.0.extend(
                    sentence![
                        "; right after a lowering, with the return air still there, it takes up to ",
                        (time.value, Dimension::Time)
                    ]
                    .0,
                );
            }
            if rig.line.rod_vent.is_none() {
                said.0.extend(
                    sentence![
                        ". That air is taken to leave through a passage like `line.lower`: give `line.rod-vent` if it is another"
                    ]
                    .0,
                );
            }
            Some(said)
        }
        _ if rig.is_given("cylinders.back-pressure") => Some(sentence![
            "the raise time takes the rod side to stand at `cylinders.back-pressure`. Where its air leaves through a narrow passage the raise takes longer: `lungful rehearse` follows that"
        ]),
        _ => None,
    }
}
