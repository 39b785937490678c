//! Linkage and load: the way from the cylinders to what is lifted.

use super::{
    FORCE, FORCE_FOR_MASS, FORCE_FOR_MOVING, LENGTH, LENGTH_OR_NONE, MASS, MASS_FOR_FORCE, MASS_OR_NONE,
    SHARE, count, field, plain, quantity,
};
use crate::rig::fields::{Field, Kind, Measure, Order};
use crate::units::Dimension;

/// A length that may point the other way.
const EITHER_WAY: Measure = plain(Dimension::Length, "-1000 m", "1000 m");
/// An angle that may turn the other way.
const ANGLE: Measure = plain(Dimension::Angle, "-360 deg", "360 deg");
const START: Measure = plain(Dimension::Angle, "-90 deg", "180 deg");
const END: Measure = plain(Dimension::Angle, "-90 deg", "90 deg");
const STOP: Measure = plain(Dimension::Angle, "0 deg", "210 deg");

const LEVER: &str = "for a lever";
const LEG: &str = "for a folding leg";
const SCISSOR: &str = "for a scissor";

const fn pair(path: &'static str, fewest: usize, doc: &'static str, example: &'static str) -> Field {
    field(path, Kind::Pair { measure: EITHER_WAY, fewest }, doc, example)
}

const SIDES: Kind = Kind::Words(&["fixed side", "sliding side"]);

/// Fields of `[linkage]` and `[load]`.
pub(super) const FIELDS: &[Field] = &[
    quantity(
        "linkage.efficiency",
        SHARE,
        "Share of the cylinders' work that reaches the load",
        r#""90 %""#,
    )
    .flag("linkage-efficiency")
    .depends("100 % for a direct push and 90 % for any other linkage unless given"),
    field(
        "linkage.kind",
        Kind::Words(&["direct", "lever", "folding-leg", "scissor"]),
        "How the cylinders reach the load",
        r#""direct""#,
    )
    .flag("linkage")
    .or("direct"),
    // lever
    pair(
        "linkage.foot",
        2,
        "Cylinder foot, seen from the pivot: towards the load's side, and up",
        r#"["300 mm", "-500 mm"]"#,
    )
    .depends("for a lever; for a scissor a table"),
    quantity("linkage.pin-arm", LENGTH, "From the pivot to the cylinder pin", r#""300 mm""#).depends(LEVER),
    quantity("linkage.pin-offset", ANGLE, "Angle from the load arm to the pin arm", r#""0 deg""#)
        .depends("for a lever; 0 deg unless given"),
    quantity("linkage.load-arm", LENGTH, "From the pivot to the load", r#""900 mm""#).depends(LEVER),
    quantity(
        "linkage.start-angle",
        START,
        "At the start: load arm or scissor arms above horizontal, or the knee between the links",
        r#""20 deg""#,
    )
    .depends("for a lever, a folding leg and a scissor"),
    quantity("linkage.end-angle", END, "The same angle at a stop, if there is one", r#""60 deg""#)
        .depends("for a lever and a scissor; the end of the stroke unless given"),
    quantity(
        "linkage.arm-mass",
        MASS_OR_NONE,
        "Mass of the lever, all its side plates together; of a scissor one arm, both sides of the table together",
        r#""6 kg""#,
    )
        .depends("for a lever and a scissor; 0 kg unless given"),
    quantity("linkage.arm-centre", EITHER_WAY, "From the pivot to the lever's centre of gravity", r#""450 mm""#)
        .depends("for a lever, with `arm-mass`"),
    quantity(
        "linkage.arm-centre-offset",
        ANGLE,
        "Angle from the load arm to that centre of gravity",
        r#""10 deg""#,
    )
    .depends("for a lever, with `arm-mass`; 0 deg unless given"),
    // folding leg
    quantity("linkage.lower-link", LENGTH, "Link from foot to knee", r#""500 mm""#).depends(LEG),
    quantity("linkage.upper-link", LENGTH, "Link from knee to top", r#""520 mm""#).depends(LEG),
    pair(
        "linkage.lower-bracket",
        1,
        "Cylinder bracket of the lower link: from the knee along the link, and off it to the inside of the fold",
        r#"["420 mm", "30 mm"]"#,
    )
    .depends(LEG),
    pair(
        "linkage.upper-bracket",
        1,
        "Cylinder bracket of the upper link: from the knee along the link, and off it to the inside of the fold",
        r#"["420 mm", "30 mm"]"#,
    )
    .depends(LEG),
    quantity(
        "linkage.guide-offset",
        EITHER_WAY,
        "From the foot to the upright guide of the top, to the side of the knee",
        r#""0 mm""#,
    )
    .depends("for a folding leg; 0 mm unless given"),
    quantity(
        "linkage.stop-angle",
        STOP,
        "Knee between the links at a stop; above 180 deg the leg stands over centre",
        r#""183 deg""#,
    )
    .depends("for a folding leg; the end of the stroke unless given"),
    count("linkage.legs", 100, "Equal legs that share the load, each with its cylinders across its own knee", "2")
        .depends("for a folding leg; 1 unless given"),
    quantity("linkage.lower-mass", MASS_OR_NONE, "Mass of the lower link of one leg, all its side plates together", r#""3 kg""#)
        .depends("for a folding leg; 0 kg unless given"),
    quantity("linkage.upper-mass", MASS_OR_NONE, "Mass of the upper link of one leg, all its side plates together", r#""3.5 kg""#)
        .depends("for a folding leg; 0 kg unless given"),
    // what links and arms are made of
    field("linkage.arm-steel", Kind::Text, "Grade of the links or arms, as in the list of grades", r#""S235""#)
        .depends("for a folding leg and a scissor, with `arm-section`"),
    count("linkage.arms-side-by-side", 20, "Equal links or arms side by side that share the thrust", "2")
        .depends("for a folding leg and a scissor, with `arm-section`; 1 unless given"),
    // scissor
    count("linkage.stages", 20, "Pairs of crossing arms, one above the other", "1").depends(SCISSOR),
    quantity("linkage.arm-length", LENGTH, "Length of an arm from end pin to end pin", r#""1 m""#).depends(SCISSOR),
    field(
        "linkage.drive",
        Kind::Words(&["sliding foot", "between"]),
        "sliding foot: a level cylinder pushes it; between: the cylinder stands between `foot` and `pin`",
        r#""between""#,
    )
    .depends(SCISSOR),
    field(
        "linkage.track",
        Kind::Words(&["open", "captive"]),
        "open: feet and roller only rest on base and track; captive: they are held down too",
        r#""captive""#,
    )
    .depends("for a scissor; open unless given"),
    pair("linkage.foot.base", 2, "Point of the base: from the fixed foot towards the sliding one, and up", r#"["100 mm", "0 mm"]"#)
        .depends("this or `arm`"),
    field("linkage.foot.arm", SIDES, "Side on which that arm has its lower end", r#""fixed side""#)
        .depends("this or `base`"),
    count("linkage.foot.stage", 20, "Its stage, counted from 1 at the base", "1").depends("with `arm`"),
    quantity("linkage.foot.distance", LENGTH_OR_NONE, "From the arm's lower end, along it", r#""300 mm""#)
        .depends("with `arm`"),
    quantity("linkage.foot.offset", EITHER_WAY, "Off the line of the arm, upwards", r#""0 mm""#)
        .depends("with `arm`; 0 mm unless given"),
    pair("linkage.pin.base", 2, "Point of the base: from the fixed foot towards the sliding one, and up", r#"["100 mm", "0 mm"]"#)
        .depends("this or `arm`"),
    field("linkage.pin.arm", SIDES, "Side on which that arm has its lower end", r#""sliding side""#)
        .depends("this or `base`"),
    count("linkage.pin.stage", 20, "Its stage, counted from 1 at the base", "1").depends("with `arm`"),
    quantity("linkage.pin.distance", LENGTH_OR_NONE, "From the arm's lower end, along it", r#""600 mm""#)
        .depends("with `arm`"),
    quantity("linkage.pin.offset", EITHER_WAY, "Off the line of the arm, upwards", r#""0 mm""#)
        .depends("with `arm`; 0 mm unless given"),
    // [load]
    quantity("load.mass", MASS, "Mass of the load, all of it", r#""120 kg""#)
        .flag("mass")
        .depends("this or `force`, or `profile` instead of both")
        .confused(FORCE_FOR_MASS),
    quantity("load.force", FORCE, "Weight of the load as a force, instead of the mass", r#""1200 N""#)
        .flag("force")
        .depends("this or `mass`")
        .confused(MASS_FOR_FORCE),
    quantity("load.share", SHARE, "Share of its weight that rests on the lifting points", r#""100 %""#)
        .flag("share")
        .or("100 %"),
    quantity("load.moving", MASS_OR_NONE, "Mass of platform and all else that moves with the load", r#""18 kg""#)
        .flag("moving")
        .or("0 kg")
        .confused(FORCE_FOR_MOVING),
    quantity("load.lift", LENGTH, "Height by which the load must rise", r#""370 mm""#).flag("lift"),
    quantity("load.take-up", LENGTH_OR_NONE, "Free height before the load is borne", r#""0 mm""#)
        .flag("take-up")
        .or("0 mm"),
    quantity(
        "load.ramp",
        LENGTH_OR_NONE,
        "Height after the take-up over which the load comes on evenly; 0 mm is all at once",
        r#""50 mm""#,
    )
    .depends("0 mm unless given; not with `profile`"),
    field(
        "load.profile",
        Kind::Points { x: LENGTH_OR_NONE, y: MASS_OR_NONE, fewest: 1, order: Order::Steps },
        "Pairs of height above the take-up and the mass borne there; the heaviest stands for `mass`",
        r#"[["0 mm", "0 kg"], ["80 mm", "120 kg"]]"#,
    )
    .depends("instead of `mass` and `ramp`"),
    quantity(
        "load.sink-and-play",
        LENGTH_OR_NONE,
        "How far feet sink and joints give under load, lost from the height",
        r#""3 mm""#,
    )
    .or("0 mm"),
];

/// The kinds of linkage that a key of `[linkage]` belongs to; none for `kind` and `efficiency`, which belong to
/// all.
pub(in crate::rig) fn kinds_with(key: &str) -> Vec<&'static str> {
    let of_kind = |keys: &[(&str, &str)]| keys.iter().any(|(own, _)| *own == key);
    LINKAGE_WAYS.iter().filter(|(_, keys)| of_kind(keys)).map(|(kind, _)| *kind).collect()
}

/// What the template shows for each kind of linkage but the direct push: key and value.
pub(in crate::rig) const LINKAGE_WAYS: &[(&str, &[(&str, &str)])] = &[
    (
        "lever",
        &[
            ("foot", r#"["300 mm", "-500 mm"]"#),
            ("pin-arm", r#""300 mm""#),
            ("pin-offset", r#""0 deg""#),
            ("load-arm", r#""900 mm""#),
            ("start-angle", r#""-10 deg""#),
            ("end-angle", r#""40 deg""#),
            ("arm-mass", r#""6 kg""#),
            ("arm-centre", r#""450 mm""#),
            ("arm-centre-offset", r#""10 deg""#),
        ],
    ),
    (
        "folding-leg",
        &[
            ("lower-link", r#""500 mm""#),
            ("upper-link", r#""520 mm""#),
            ("lower-bracket", r#"["420 mm", "30 mm"]"#),
            ("upper-bracket", r#"["420 mm", "30 mm"]"#),
            ("guide-offset", r#""0 mm""#),
            ("start-angle", r#""80 deg""#),
            ("stop-angle", r#""183 deg""#),
            ("legs", "2"),
            ("lower-mass", r#""3 kg""#),
            ("upper-mass", r#""3.5 kg""#),
            ("arm-section", r#"{ kind = "flat bar", width = "12 mm", height = "50 mm" }"#),
            ("arm-steel", r#""S235""#),
            ("arms-side-by-side", "2"),
        ],
    ),
    (
        "scissor",
        &[
            ("stages", "1"),
            ("arm-length", r#""1 m""#),
            ("start-angle", r#""20 deg""#),
            ("end-angle", r#""60 deg""#),
            ("drive", r#""between""#),
            ("foot", r#"{ base = ["50 mm", "-120 mm"] }"#),
            ("pin", r#"{ arm = "sliding side", stage = 1, distance = "600 mm", offset = "0 mm" }"#),
            ("track", r#""captive""#),
            ("arm-mass", r#""6 kg""#),
            ("arm-section", r#"{ kind = "flat bar", width = "12 mm", height = "50 mm" }"#),
            ("arm-steel", r#""S235""#),
            ("arms-side-by-side", "2"),
        ],
    ),
];
