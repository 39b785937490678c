//! What keeps a single fault from hurting somebody.

use super::{Field, Kind, SETTING, field, quantity};

const FITTED: Kind = Kind::Words(&["none", "fitted"]);

/// Of the table `protection`, after the throttle.
pub(super) const FIELDS: &[Field] = &[
    field(
        "protection.lock",
        Kind::Words(&["none", "in the port", "in the line"]),
        "Check valve at the cylinders that keeps their air until a signal of its own opens it",
        r#""in the port""#,
    )
    .optional(),
    field(
        "protection.lock-unpowered",
        Kind::Words(&["open", "shut", "stays"]),
        "What the lock does when the power of the signal that opens it is lost",
        r#""shut""#,
    )
    .optional(),
    field(
        "protection.support",
        Kind::Words(&["none", "pin", "latch"]),
        "What holds the load without air. pin: set by hand once the load is up; latch: falls in by itself all along the way",
        r#""pin""#,
    )
    .optional(),
    field("protection.hose-restraint", FITTED, "Sleeve or cable that keeps a torn hose from whipping", r#""fitted""#)
        .optional(),
    field(
        "protection.shut-off",
        FITTED,
        "Hand valve before the raise valve that shuts off the supply and can be locked",
        r#""fitted""#,
    )
    .optional(),
    field(
        "protection.dump",
        Kind::Words(&["none", "tank", "cylinders", "both"]),
        "What a hand valve with a gauge lets out; that of the cylinders stands on their side of any lock",
        r#""both""#,
    )
    .optional(),
    field("protection.second-check", FITTED, "Second check valve between pump and tank", r#""fitted""#).optional(),
    quantity(
        "protection.second-switch",
        SETTING,
        "Tank pressure at which a second switch stops the pump",
        r#""10.5 bar""#,
    )
    .optional(),
];
