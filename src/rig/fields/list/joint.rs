//! Pins and welds: where the parts of the rig meet.

use super::{FORCE, LENGTH, LENGTH_OR_NONE, ORIFICE, count, field, number, plain, quantity};
use crate::rig::fields::{Field, Kind, Measure};
use crate::units::Dimension;

const GAP: Measure = plain(Dimension::Length, "0 mm", "1 m");

/// Fields of `[[pin]]` and `[[weld]]`.
pub(super) const FIELDS: &[Field] = &[
    field("pin.name", Kind::Text, "What you call the pin", r#""pivot pin""#),
    quantity("pin.diameter", ORIFICE, "Diameter of the pin", r#""16 mm""#),
    field("pin.steel", Kind::Text, "Grade of the pin, as in the list of grades", r#""S355""#),
    quantity("pin.plates", ORIFICE, "Thickness of each of the two outer plates", r#""6 mm""#),
    quantity("pin.tongue", ORIFICE, "Thickness of the middle plate between them", r#""10 mm""#),
    quantity("pin.gap", GAP, "Clear gap between the middle plate and each outer one", r#""1 mm""#).or("0 mm"),
    field("pin.plate-steel", Kind::Text, "Grade of the weakest of the plates", r#""S235""#).or("S235"),
    field("pin.where", Kind::Text, "Pin of the linkage whose greatest force it bears", r#""cylinder pin""#)
        .depends("this or `force`"),
    count("pin.shared-by", 100, "Equal pins side by side that share that force", "2")
        .depends("with `where`; 1 unless given"),
    quantity("pin.force", FORCE, "Force across the pin, where it is known", r#""1200 N""#)
        .depends("this or `where`"),
    number(
        "pin.dynamic-factor",
        "1",
        "10",
        "Factor on the force for the jolt of starting and stopping",
        "1.2",
    )
    .or("1"),
    // [[weld]]
    field("weld.name", Kind::Text, "What you call the weld", r#""foot of the fork""#),
    quantity("weld.throat", ORIFICE, "Throat of the fillet, the height of its triangle", r#""3 mm""#)
        .depends("this or `leg`"),
    quantity("weld.leg", ORIFICE, "Leg of a fillet with two equal legs", r#""4 mm""#)
        .depends("this or `throat`"),
    quantity("weld.length", LENGTH, "Length of all fillets that share the force", r#""120 mm""#)
        .depends("this or `tube`"),
    field(
        "weld.open-ends",
        Kind::Count { low: 0, high: 100 },
        "Ends that are not carried round a corner, each of which takes a throat off the length",
        "2",
    )
    .depends("with `length`; 2 unless given"),
    quantity("weld.force", FORCE, "Greatest force that it bears, jolts included", r#""2500 N""#)
        .depends("this, or `beam` with a `tube`"),
    quantity(
        "weld.arm",
        LENGTH_OR_NONE,
        "How far from the weld that force acts across the tube",
        r#""300 mm""#,
    )
    .depends("with `tube` and `force`"),
    field("weld.beam", Kind::Text, "Name of the [[frame]] cantilever whose root it is", r#""fork""#)
        .depends("this or `force`, with `tube`"),
    field("weld.steel", Kind::Text, "Grade of the weaker part that it joins", r#""S235""#),
    quantity("weld.tube.width", ORIFICE, "Outside width of the tube, level", r#""40 mm""#),
    quantity("weld.tube.height", ORIFICE, "Outside height of the tube, along the force", r#""60 mm""#),
];
