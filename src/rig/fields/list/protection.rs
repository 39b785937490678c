//! What keeps a single fault from hurting somebody.

use super::{CONDUCTANCE, Field, Kind, ORIFICE, SETTING, SHARE, field, number, quantity};

const FITTED: Kind = Kind::Words(&["none", "fitted"]);

/// Of the table `protection`.
pub(super) const FIELDS: &[Field] = &[
    quantity(
        "protection.port-throttle.C",
        CONDUCTANCE,
        "Sonic conductance (ISO 6358) of one port, on the way out",
        r#""0.5 L/(s bar)""#,
    )
    .depends("with `b`; or one of `Cv`, `Kv`, `bore`"),
    number("protection.port-throttle.b", "0", "0.99", "Critical pressure ratio (ISO 6358)", "0.3")
        .depends("with `C`"),
    number("protection.port-throttle.Cv", "0.000001", "10000", "Flow coefficient Cv", "0.1")
        .depends("instead of `C` and `b`"),
    number("protection.port-throttle.Kv", "0.000001", "10000", "Flow factor Kv, m3/h of water at 1 bar", "0.1")
        .depends("instead of `C` and `b`"),
    quantity("protection.port-throttle.bore", ORIFICE, "Diameter of the narrowest hole", r#""1 mm""#)
        .depends("instead of `C` and `b`"),
    quantity(
        "protection.port-throttle.discharge",
        SHARE,
        "Share of the hole that the jet fills: 65 % sharp, 97 % rounded",
        r#""65 %""#,
    )
    .or("65 %"),
    field(
        "protection.lock",
        Kind::Words(&["none", "in the port", "in the line"]),
        "Check valve at the cylinders that keeps their air until a signal of its own opens it",
        r#""in the port""#,
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
