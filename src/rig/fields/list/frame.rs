//! Frame and base: what holds the rig together and upright.

use super::{FORCE_OR_NONE, LENGTH, LENGTH_OR_NONE, MASS, ORIFICE, SHARE, field, number, plain, quantity};
use crate::rig::fields::{Field, Kind, Measure, Order};
use crate::units::Dimension;

const PLACE: Measure = plain(Dimension::Length, "-1000 m", "1000 m");
const SLOPE: Measure = plain(Dimension::Angle, "0 deg", "45 deg");
const RADIUS: Measure = plain(Dimension::Length, "0 mm", "1 m");
const HEIGHT_LOST: Measure = plain(Dimension::Fraction, "0 %", "1000 %");

const IN_SECTIONS: &str = "as the shape of the section needs";

/// Fields of `[[frame]]` and `[base]`.
pub(super) const FIELDS: &[Field] = &[
    field("frame.name", Kind::Text, "What you call the beam", r#""fork""#),
    field(
        "frame.support",
        Kind::Words(&["cantilever", "simply supported", "fixed both ends", "propped", "overhanging"]),
        "How the beam is held; a cantilever and a propped beam are built in at the left end",
        r#""cantilever""#,
    ),
    quantity("frame.span", LENGTH, "Free length of the beam, or the distance of its supports", r#""420 mm""#),
    quantity("frame.overhang", LENGTH, "Length beyond the right support", r#""200 mm""#)
        .depends("for support = \"overhanging\""),
    quantity("frame.load-share", SHARE, "Share of the force that this beam carries", r#""50 %""#)
        .depends("this or `loads`"),
    quantity("frame.at", LENGTH_OR_NONE, "Place of the load, from the left end", r#""420 mm""#)
        .depends("with `load-share`; unless given the free end, the end of an overhang, else the middle"),
    field(
        "frame.loads",
        Kind::Points { x: LENGTH_OR_NONE, y: SHARE, fewest: 1, order: Order::Any },
        "Pairs of place from the left end and share of the force there, for more than one place",
        r#"[["200 mm", "30 %"], ["400 mm", "20 %"]]"#,
    )
    .depends("this or `load-share`"),
    field(
        "frame.carries",
        Kind::Words(&["load", "cylinder force"]),
        "Of which force these are shares: of the weight on the lifting points, or of the push of all cylinders",
        r#""load""#,
    )
    .or("load"),
    number("frame.dynamic-factor", "1", "10", "Factor on the force for the jolt of starting and stopping", "1.2")
        .or("1"),
    field(
        "frame.own-weight",
        Kind::Words(&["left out", "counted"]),
        "Whether the weight of the beam itself bends it",
        r#""counted""#,
    )
    .or("left out"),
    quantity(
        "frame.height-lost",
        HEIGHT_LOST,
        "Share of its deflection under the load by which the load comes down",
        r#""100 %""#,
    )
    .or("100 %"),
    field("frame.steel", Kind::Text, "Grade of the metal, as in the list of grades", r#""S235""#),
    field(
        "frame.bond",
        Kind::Words(&["unjoined", "welded"]),
        "How the reinforcement holds to the beam: it only lies there, or is welded along its length",
        r#""unjoined""#,
    )
    .depends("with `reinforcement`; unjoined unless given"),
    // frame.section, and every other section
    field(
        "frame.section.kind",
        Kind::Words(&[
            "square tube",
            "rectangular tube",
            "round tube",
            "flat bar",
            "square bar",
            "round bar",
            "angle",
            "channel",
        ]),
        "Shape of the cross-section",
        r#""square tube""#,
    ),
    field("frame.section.size", Kind::Text, "Size of a tube from the list of tubes, instead of dimensions", r#""30 mm x 50 mm x 3 mm""#)
        .depends("for tubes, instead of dimensions"),
    quantity("frame.section.side", ORIFICE, "Outside width of a square section", r#""40 mm""#)
        .depends(IN_SECTIONS),
    quantity("frame.section.width", ORIFICE, "Outside width, level", r#""30 mm""#).depends(IN_SECTIONS),
    quantity("frame.section.height", ORIFICE, "Outside height, upright", r#""50 mm""#).depends(IN_SECTIONS),
    quantity("frame.section.diameter", ORIFICE, "Outside diameter", r#""42.4 mm""#).depends(IN_SECTIONS),
    quantity("frame.section.wall", ORIFICE, "Wall thickness of a tube", r#""3 mm""#).depends(IN_SECTIONS),
    quantity("frame.section.thickness", ORIFICE, "Thickness of the legs of an angle", r#""5 mm""#)
        .depends(IN_SECTIONS),
    quantity("frame.section.web", ORIFICE, "Thickness of the web of a channel", r#""6 mm""#).depends(IN_SECTIONS),
    quantity("frame.section.flange", ORIFICE, "Thickness of the flanges of a channel", r#""8.5 mm""#)
        .depends(IN_SECTIONS),
    quantity("frame.section.root-radius", RADIUS, "Radius of the inner corners of an angle or channel", r#""8.5 mm""#)
        .depends("0 mm unless given"),
    quantity("frame.section.toe-radius", RADIUS, "Radius at the edges of the legs of an angle", r#""3.5 mm""#)
        .depends("0 mm unless given"),
    field(
        "frame.section.corners",
        Kind::Words(&["cold formed", "hot finished", "sharp"]),
        "How the corners of a square or rectangular tube are rounded, by the usual rule of its making",
        r#""hot finished""#,
    )
    .depends("cold formed unless given"),
    quantity("frame.section.outer-radius", RADIUS, "Measured outer radius of the corners", r#""1/4 in""#)
        .depends("with `inner-radius`, instead of `corners`"),
    quantity("frame.section.inner-radius", RADIUS, "Measured inner radius of the corners", r#""1/8 in""#)
        .depends("with `outer-radius`, instead of `corners`"),
    field(
        "frame.section.orientation",
        Kind::Words(&["upright", "on its side"]),
        "upright: the load acts along the height; on its side: along the width",
        r#""on its side""#,
    )
    .depends("upright unless given"),
    // frame.reinforcement
    field(
        "frame.reinforcement.position",
        Kind::Words(&["inside", "on top", "below", "beside"]),
        "Where the part goes",
        r#""inside""#,
    ),
    field("frame.reinforcement.name", Kind::Text, "What you call the part", r#""strap""#).optional(),
    field("frame.reinforcement.steel", Kind::Text, "Grade of its metal; that of the beam unless given", r#""S355""#)
        .optional(),
    // [base]
    quantity("base.width", LENGTH, "From the leftmost to the rightmost point of support", r#""700 mm""#),
    quantity("base.depth", LENGTH, "From the rearmost to the foremost point of support", r#""900 mm""#),
    quantity("base.slope", SLOPE, "Slope of the ground, taken to fall to each side in turn", r#""3 deg""#)
        .or("0 deg"),
    quantity("base.side-force", FORCE_OR_NONE, "Push from the side, taken from each side in turn", r#""100 N""#)
        .or("0 N"),
    quantity("base.side-force-height", LENGTH_OR_NONE, "Height at which it pushes", r#""1.2 m""#).depends("with `side-force`"),
    quantity("base.rig-mass", MASS, "Mass of the rig without load and moving parts", r#""60 kg""#),
    quantity("base.rig-height", LENGTH_OR_NONE, "Height of its centre of gravity", r#""300 mm""#),
    quantity("base.rig-right", PLACE, "How far that lies right of the middle of the base", r#""0 mm""#).or("0 mm"),
    quantity("base.rig-front", PLACE, "How far that lies in front of the middle of the base", r#""0 mm""#)
        .or("0 mm"),
    quantity(
        "base.load-height",
        LENGTH_OR_NONE,
        "Height of the centre of gravity of load and moving parts at the start",
        r#""600 mm""#,
    ),
    quantity("base.load-right", PLACE, "How far that lies right of the middle of the base", r#""0 mm""#)
        .or("0 mm"),
    quantity("base.load-front", PLACE, "How far that lies in front of the middle of the base", r#""100 mm""#)
        .or("0 mm"),
    field(
        "base.load-side",
        Kind::Words(&["front", "rear", "right", "left"]),
        "Side to which a lever's load lies from its pivot: the way it moves level as the lever turns",
        r#""front""#,
    )
    .or("front"),
];

/// Keys of a section besides `kind`.
#[derive(Debug, Clone, Copy)]
pub(in crate::rig) struct SectionKeys {
    pub(in crate::rig) kind: &'static str,
    /// Dimensions that it needs, unless a size gives them.
    pub(in crate::rig) needs: &'static [&'static str],
    /// Keys that it may have.
    pub(in crate::rig) takes: &'static [&'static str],
}

const fn section(
    kind: &'static str,
    needs: &'static [&'static str],
    takes: &'static [&'static str],
) -> SectionKeys {
    SectionKeys { kind, needs, takes }
}

/// The keys of each kind of section.
pub(in crate::rig) const SECTIONS: &[SectionKeys] = &[
    section(
        "square tube",
        &["side", "wall"],
        &["size", "corners", "outer-radius", "inner-radius", "orientation"],
    ),
    section(
        "rectangular tube",
        &["width", "height", "wall"],
        &["size", "corners", "outer-radius", "inner-radius", "orientation"],
    ),
    section("round tube", &["diameter", "wall"], &["size", "orientation"]),
    section("flat bar", &["width", "height"], &["orientation"]),
    section("square bar", &["side"], &["orientation"]),
    section("round bar", &["diameter"], &["orientation"]),
    section("angle", &["width", "height", "thickness"], &["root-radius", "toe-radius", "orientation"]),
    section("channel", &["width", "height", "web", "flange"], &["root-radius", "orientation"]),
];
