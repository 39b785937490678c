//! Keys and tables that the rig file does not have, and what was probably meant.

use std::collections::BTreeSet;

use super::fields::{self, FIELDS, TABLES};
use super::problem::{Problem, shown};
use super::text_index::TextIndex;
use super::tree::{Node, Value};

/// What people write for a field of another name: table, key, the path meant.
const OTHER_NAMES: &[(&str, &str, &str)] = &[
    ("", "receiver", "tank"),
    ("", "bottle", "tank"),
    ("", "pump", "compressor"),
    ("", "hose", "line"),
    ("", "valve", "line"),
    ("", "valves", "line"),
    ("", "piston", "cylinders"),
    ("", "name", "title"),
    ("", "location", "site"),
    ("site", "elevation", "site.altitude"),
    ("site", "height", "site.altitude"),
    ("site", "pressure", "site.barometer"),
    ("compressor", "open", "compressor.delivery"),
    ("compressor", "flow", "compressor.delivery"),
    ("compressor", "stall", "compressor.delivery"),
    ("compressor", "points", "compressor.delivery"),
    ("compressor", "voltage", "compressor.volts"),
    ("compressor", "amps", "compressor.current"),
    ("tank", "capacity", "tank.volume"),
    ("tank", "size", "tank.volume"),
    ("tank", "max-pressure", "tank.rating"),
    ("tank", "pressure", "tank.rating"),
    ("regulator", "pressure", "regulator.set"),
    ("regulator", "set-point", "regulator.set"),
    ("regulator", "setpoint", "regulator.set"),
    ("line", "bore", "line.hose-bore"),
    ("line", "length", "line.hose-length"),
    ("line", "max-pressure", "line.rating"),
    ("", "safety", "protection"),
    ("protection", "throttle", "protection.port-throttle"),
    ("protection", "check-valve", "protection.lock"),
    ("protection", "pilot-check", "protection.lock"),
    ("protection", "latch", "protection.support"),
    ("protection", "pin", "protection.support"),
    ("protection", "drain", "protection.dump"),
    ("cylinders", "diameter", "cylinders.bore"),
    ("cylinders", "rod-diameter", "cylinders.rod"),
    ("cylinders", "number", "cylinders.count"),
    ("cylinders", "length", "cylinders.stroke"),
    ("cylinders", "travel", "cylinders.stroke"),
    ("cylinders", "max-pressure", "cylinders.rating"),
    ("cylinders", "type", "cylinders.action"),
    ("linkage", "type", "linkage.kind"),
    ("linkage", "angle", "linkage.start-angle"),
    ("linkage", "arm", "linkage.load-arm"),
    ("linkage", "max-angle", "linkage.end-angle"),
    ("frame", "type", "frame.support"),
    ("frame", "length", "frame.span"),
    ("frame", "material", "frame.steel"),
    ("frame", "grade", "frame.steel"),
    ("frame", "profile", "frame.section"),
    ("frame", "share", "frame.load-share"),
    ("frame", "reinforcements", "frame.reinforcement"),
    ("frame.section", "type", "frame.section.kind"),
    ("frame.section", "shape", "frame.section.kind"),
    ("frame.section", "wall-thickness", "frame.section.wall"),
    ("frame.section", "outside-diameter", "frame.section.diameter"),
    ("", "pins", "pin"),
    ("", "bolt", "pin"),
    ("", "welds", "weld"),
    ("linkage", "section", "linkage.arm-section"),
    ("linkage", "steel", "linkage.arm-steel"),
    ("pin", "material", "pin.steel"),
    ("pin", "at", "pin.where"),
    ("pin", "count", "pin.shared-by"),
    ("pin", "middle", "pin.tongue"),
    ("weld", "material", "weld.steel"),
    ("weld", "distance", "weld.arm"),
    ("base", "length", "base.depth"),
    ("base", "mass", "base.rig-mass"),
    ("load", "sink", "load.sink-and-play"),
    ("load", "play", "load.sink-and-play"),
    ("limits", "safety", "limits.column-safety"),
    ("limits", "tipping", "limits.stability"),
    ("load", "weight", "load.mass"),
    ("load", "height", "load.lift"),
    ("battery", "voltage", "battery.volts"),
    ("cycle", "strokes", "cycle.strokes-wanted"),
    ("", "tasks", "task"),
    ("", "schedule", "task"),
    ("task", "action", "task.do"),
    ("task", "time", "task.for"),
    ("task", "repeat", "task.times"),
];

/// What the search found.
#[derive(Debug, Default)]
pub(super) struct Found {
    pub(super) problems: Vec<Problem>,
    /// Paths that were probably meant: to call them missing as well would only confuse.
    pub(super) meant: BTreeSet<String>,
}

/// Looks through the whole tree.
pub(super) fn search(root: &[Node], index: &TextIndex, most: usize) -> Found {
    let mut found = Found::default();
    search_table(root, "", index, most, &mut found);
    found
}

fn search_table(nodes: &[Node], path: &str, index: &TextIndex, most: usize, found: &mut Found) {
    for node in nodes {
        if found.problems.len() >= most {
            return;
        }
        let full = join(path, &node.key);
        if let Some(table) = fields::table(&full) {
            match (&node.value, table.repeated) {
                (Value::Table(inner), false) => {
                    search_table(inner, fields::described_as(&full), index, most, found);
                }
                (Value::List(items), true)
                    if items.iter().all(|item| matches!(item.value, Value::Table(_))) =>
                {
                    for item in items {
                        if let Value::Table(inner) = &item.value {
                            search_table(inner, &full, index, most, found);
                        }
                    }
                }
                (Value::Broken, _) => {}
                // A value may stand there as well; which of the two is right depends on other fields.
                (_, false) if fields::field(&full).is_some() => {}
                (value, repeated) => found.problems.push(wrong_shape(node, value, &full, repeated, index)),
            }
        } else if fields::field(&full).is_none() {
            unknown(node, path, index, found);
        }
    }
}

fn wrong_shape(node: &Node, value: &Value, path: &str, repeated: bool, index: &TextIndex) -> Problem {
    let place = index.place(node.key_span.clone());
    if repeated && path.contains('.') {
        let ways = fields::ways_to_write(path);
        Problem::new(place, format!("`{path}` is {}; it must be a list of tables in braces", value.words()))
            .hint(format!("write {}", ways.first().copied().unwrap_or_default()))
    } else if repeated {
        let thing = if path == "frame" { "beam" } else { path };
        Problem::new(place, format!("`{path}` is {}; it is written once for each {thing}", value.words()))
            .hint(format!("write the heading with two brackets: [[{path}]]"))
    } else if matches!(value, Value::List(_)) {
        Problem::new(place, format!("`{path}` is a list; a rig has one [{path}]"))
            .hint(format!("write one heading with single brackets: [{path}]"))
    } else {
        let ways = fields::ways_to_write(path);
        let shape = if ways.is_empty() {
            let keys: Vec<_> = fields::keys_in(path).take(4).collect();
            format!("write the heading [{path}] and under it its keys: {} ...", keys.join(", "))
        } else {
            // The first few ways tell the form; the template shows all.
            let first: Vec<_> = ways.iter().copied().take(3).collect();
            format!("write {}", first.join(" or "))
        };
        Problem::new(place, format!("`{path}` is {}; it must be a table", value.words())).hint(shape)
    }
}

/// Reports a key that no table has under this name.
pub(super) fn unknown(node: &Node, path: &str, index: &TextIndex, found: &mut Found) {
    let key = shown(&node.key);
    let is_table = matches!(node.value, Value::Table(_)) || is_list_of_tables(&node.value);
    let what = if is_table && path.is_empty() {
        format!("there is no table [{key}]")
    } else if path.is_empty() {
        format!("`{key}` stands before the first table, where only `title` belongs")
    } else {
        format!("there is no key `{key}` in [{path}]")
    };
    let problem = Problem::new(index.place(node.key_span.clone()), what);
    let hint = match meant(&node.key, path) {
        Meant::Here(full) => {
            let hint = format!("did you mean {}?", shown_path(&full, path));
            found.meant.insert(full);
            hint
        }
        Meant::Elsewhere(tables) => {
            let places: Vec<_> = tables.iter().map(|table| format!("[{table}]")).collect();
            for table in tables {
                found.meant.insert(join(table, &node.key));
            }
            format!("`{key}` belongs in {}", places.join(" or "))
        }
        Meant::Unknown => {
            let keys: Vec<_> = if path.is_empty() {
                TABLES.iter().map(|table| table.path).filter(|path| !path.contains('.')).collect()
            } else {
                fields::keys_in(path).collect()
            };
            let kind = if path.is_empty() { "the tables are" } else { "its keys are" };
            format!("{kind} {}", keys.join(", "))
        }
    };
    found.problems.push(problem.hint(hint));
}

fn is_list_of_tables(value: &Value) -> bool {
    matches!(value, Value::List(items)
        if !items.is_empty() && items.iter().all(|item| matches!(item.value, Value::Table(_))))
}

enum Meant {
    Here(String),
    Elsewhere(Vec<&'static str>),
    Unknown,
}

fn meant(key: &str, path: &str) -> Meant {
    let plain = plain(key);
    if let Some((_, _, full)) = OTHER_NAMES.iter().find(|(table, name, _)| *table == path && *name == plain) {
        return Meant::Here((*full).to_owned());
    }
    let same_table: Vec<_> = fields::keys_in(path).collect();
    if let Some(exact) = same_table.iter().find(|candidate| candidate.eq_ignore_ascii_case(&plain)) {
        return Meant::Here(join(path, exact));
    }
    let elsewhere: Vec<_> =
        FIELDS.iter().filter(|field| field.key() == plain).map(fields::Field::table).collect();
    if !elsewhere.is_empty() && elsewhere.len() <= 3 && !elsewhere.contains(&"") {
        return Meant::Elsewhere(elsewhere);
    }
    closest(&plain, &same_table).map_or(Meant::Unknown, |close| Meant::Here(join(path, close)))
}

/// The word that is nearest to `word`, if one is near enough to be meant.
pub(super) fn closest<'w>(word: &str, words: &[&'w str]) -> Option<&'w str> {
    const LONGEST: usize = 40;
    if word.len() > LONGEST {
        return None;
    }
    let allowed = (word.chars().count() / 3).clamp(1, 3);
    words
        .iter()
        .map(|candidate| (strsim::damerau_levenshtein(word, candidate), *candidate))
        .filter(|(distance, _)| *distance <= allowed)
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, candidate)| candidate)
}

/// Lower case, with hyphens where people put spaces or underscores.
fn plain(key: &str) -> String {
    key.trim().to_lowercase().replace([' ', '_'], "-")
}

fn shown_path(full: &str, path: &str) -> String {
    match full.strip_prefix(path).and_then(|rest| rest.strip_prefix('.')) {
        Some(key) => format!("`{key}`"),
        None if fields::table(full).is_some() => format!("[{full}]"),
        None => format!("`{full}`"),
    }
}

fn join(path: &str, key: &str) -> String {
    if path.is_empty() { key.to_owned() } else { format!("{path}.{key}") }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn other_names_lead_to_something_that_exists() {
        for (table, name, path) in OTHER_NAMES {
            assert!(fields::field(path).is_some() || fields::table(path).is_some(), "{path}");
            assert!(fields::field(&join(table, name)).is_none(), "{table}.{name} is a field itself");
        }
    }

    #[test]
    fn the_closest_word_is_found_only_when_it_is_close() {
        assert_eq!(closest("volumne", &["volume", "rating"]), Some("volume"));
        assert_eq!(closest("colour", &["volume", "rating"]), None);
    }
}
