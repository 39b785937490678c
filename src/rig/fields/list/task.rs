//! Tasks of a rehearsal.

use super::{TIME_LIMIT, count, field, quantity};
use crate::rig::fields::{Field, Kind};

/// Fields of `[[task]]`.
pub(super) const FIELDS: &[Field] = &[
    field(
        "task.do",
        Kind::Words(&["raise", "hold", "lower", "rest", "repeat"]),
        "What is done; a hold keeps the load up, a rest leaves the rig alone with the load down",
        r#""raise""#,
    ),
    quantity("task.for", TIME_LIMIT, "How long a hold or a rest lasts", r#""20 s""#)
        .depends("of hold and rest: this or `until`"),
    quantity(
        "task.until",
        TIME_LIMIT,
        "When a hold or a rest ends, counted from the start of the list, or of what follows a repeat",
        r#""12 min""#,
    )
    .depends("of hold and rest: this or `for`"),
    count(
        "task.times",
        100_000,
        "How often in all a repeat works the tasks above it, up to the repeat before",
        "5",
    )
    .depends("of repeat alone"),
];
