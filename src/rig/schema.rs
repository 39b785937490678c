//! The rig file as a JSON Schema, for editors that complete keys and mark mistakes while one types.

use std::collections::BTreeMap;

use serde_json::{Map, Value, json};

use super::fields::{
    Bound, FIELDS, Field, Kind, Measure, Need, SECTIONS, TABLES, Table, described_as, kinds_with,
};
use super::resolve::SAID_BY_TASKS;
use crate::units::Dimension;
use crate::units::table::units_for;

/// The schema of a rig file (JSON Schema, draft 2020-12), from the same table of fields as the reader.
///
/// It says what a schema can say: keys, kinds, words, what belongs together. Whether a text is a quantity of
/// the right dimension and in its range, only the reader tells.
///
/// ```
/// let schema = lungful::rig::schema::schema();
/// assert_eq!(schema["properties"]["tank"]["required"][0], "volume");
/// ```
#[must_use]
pub fn schema() -> Value {
    let mut root = object("", "A rig as Lungful reads it, written in TOML");
    if let Value::Object(map) = &mut root {
        map.insert("$schema".into(), json!("https://json-schema.org/draft/2020-12/schema"));
        map.insert("title".into(), json!("Rig file of Lungful"));
        map.insert("if".into(), json!({ "required": ["compressor"] }));
        map.insert(
            "then".into(),
            json!({ "properties": { "tank": { "required": ["relief"], "properties": { "filled-to": false } } } }),
        );
        map.insert("else".into(), json!({ "properties": { "tank": { "required": ["filled-to"] } } }));
        let said = SAID_BY_TASKS.map(|(path, _)| {
            let key = path.rsplit_once('.').map_or(path, |(_, key)| key);
            json!({ "required": [key] })
        });
        map.insert(
            "not".into(),
            json!({ "required": ["task", "cycle"], "properties": { "cycle": { "anyOf": said } } }),
        );
    }
    root
}

/// A table: its fields, its inner tables and what belongs together in it.
fn object(path: &str, description: &str) -> Value {
    let path = described_as(path);
    let mut properties = Map::new();
    let mut required = Vec::new();
    for field in FIELDS.iter().filter(|field| field.table() == path) {
        properties.insert(field.key().to_owned(), of_field(field));
        if field.need == Need::Required {
            required.push(field.key());
        }
    }
    for table in TABLES {
        let (parent, key) = table.path.rsplit_once('.').unwrap_or(("", table.path));
        if parent == path {
            let inner = of_table(table);
            // A key that holds either a value or a table.
            let either = match properties.remove(key) {
                Some(value) => json!({ "anyOf": [value, inner] }),
                None => inner,
            };
            properties.insert(key.to_owned(), either);
            if table.required {
                required.push(key);
            }
        }
    }
    let mut map = Map::new();
    map.insert("type".into(), json!("object"));
    map.insert("description".into(), json!(description));
    map.insert("properties".into(), Value::Object(properties));
    map.insert("additionalProperties".into(), json!(false));
    if !required.is_empty() {
        map.insert("required".into(), json!(required));
    }
    if let Value::Object(rules) = belongs_together(path) {
        map.extend(rules);
    }
    Value::Object(map)
}

fn of_table(table: &Table) -> Value {
    let inner = object(table.path, table.doc);
    if table.repeated { json!({ "type": "array", "description": table.doc, "items": inner }) } else { inner }
}

fn belongs_together(path: &str) -> Value {
    match path {
        "site" => json!({ "not": { "required": ["altitude", "barometer"] } }),
        "compressor.delivery" => json!({ "oneOf": [
            { "required": ["open", "stall"], "properties": { "points": false } },
            { "required": ["points"], "properties": { "open": false, "stall": false } },
        ] }),
        "line" => {
            json!({ "dependentRequired": { "hose-bore": ["hose-length"], "hose-length": ["hose-bore"] } })
        }
        "tank.leak"
        | "regulator.seat"
        | "line.raise"
        | "line.lower"
        | "line.lower-wide"
        | "line.rod-fill"
        | "line.rod-vent"
        | "line.fitting"
        | "protection.port-throttle" => {
            let mut ways = json!([
                { "required": ["C", "b"] },
                { "required": ["Cv"] },
                { "required": ["Kv"] },
                { "required": ["area"] },
                { "required": ["bore"], "properties": { "b": false } },
            ]);
            if let ("tank.leak", Some(ways)) = (path, ways.as_array_mut()) {
                ways.push(json!({ "required": ["fall", "time"] }));
            }
            if path == "line.fitting" {
                // A check valve stands on one way.
                let one_way =
                    json!({ "required": ["way"], "properties": { "way": { "enum": ["up", "down"] } } });
                json!({ "oneOf": ways, "if": { "required": ["cracking"] }, "then": one_way })
            } else {
                json!({ "oneOf": ways })
            }
        }
        "cylinders" => {
            let tube = ["tube-outside", "tube-wall", "tube-length", "tube-steel"];
            json!({ "dependentRequired": tube.map(|key| (key, tube)).into_iter().collect::<BTreeMap<_, _>>() })
        }
        "linkage" => json!({
            "oneOf": kinds_of_linkage(),
            "dependentRequired": {
                "arm-section": ["arm-steel"],
                "arm-steel": ["arm-section"],
                "arms-side-by-side": ["arm-section"],
            },
        }),
        "linkage.foot" | "linkage.pin" => json!({ "oneOf": [
            {
                "required": ["base"],
                "properties": { "arm": false, "stage": false, "distance": false, "offset": false },
            },
            { "required": ["arm", "stage", "distance"], "properties": { "base": false } },
        ] }),
        "load" => json!({ "oneOf": [
            { "required": ["mass"], "properties": { "force": false, "profile": false } },
            { "required": ["force"], "properties": { "mass": false, "profile": false } },
            { "required": ["profile"], "properties": { "mass": false, "force": false, "ramp": false } },
        ] }),
        "base" => json!({ "dependentRequired": { "side-force": ["side-force-height"] } }),
        "frame" => json!({
            "oneOf": [
                { "required": ["load-share"], "properties": { "loads": false } },
                { "required": ["loads"], "properties": { "load-share": false, "at": false } },
            ],
            "dependentRequired": { "bond": ["reinforcement"] },
            "if": { "properties": { "support": { "enum": ["overhanging"] } } },
            "then": { "required": ["overhang"] },
            "else": { "properties": { "overhang": false } },
        }),
        "pin" => json!({ "oneOf": [
            { "required": ["where"], "properties": { "force": false } },
            { "required": ["force"], "properties": { "where": false, "shared-by": false } },
        ] }),
        "weld" => json!({ "oneOf": ways_to_weld() }),
        "task" => {
            let pause = json!({ "enum": ["hold", "rest"] });
            json!({ "oneOf": [
                {
                    "properties": {
                        "do": { "enum": ["raise", "lower"] }, "for": false, "until": false, "times": false,
                    },
                },
                { "required": ["for"], "properties": { "do": pause, "until": false, "times": false } },
                { "required": ["until"], "properties": { "do": pause, "for": false, "times": false } },
                {
                    "required": ["times"],
                    "properties": { "do": { "enum": ["repeat"] }, "for": false, "until": false },
                },
            ] })
        }
        "frame.section" => json!({
            "dependentRequired": { "outer-radius": ["inner-radius"], "inner-radius": ["outer-radius"] },
            "not": { "required": ["corners", "outer-radius"] },
            "oneOf": kinds_of_section(),
        }),
        _ => Value::Null,
    }
}

/// What each kind of linkage needs and refuses.
fn kinds_of_linkage() -> Vec<Value> {
    let rule = |kind: &str, needs: &[&str], further: Value| {
        let mut properties = Map::new();
        for field in FIELDS.iter().filter(|field| field.table() == "linkage") {
            let kinds = kinds_with(field.key());
            if !kinds.is_empty() && !kinds.contains(&kind) {
                properties.insert(field.key().to_owned(), json!(false));
            }
        }
        for key in TABLES.iter().filter_map(|table| table.path.strip_prefix("linkage.")) {
            if !kinds_with(key).contains(&kind) {
                properties.insert(key.to_owned(), json!(false));
            }
        }
        properties.insert("kind".into(), json!({ "enum": [kind] }));
        if let Value::Object(further) = further {
            properties.extend(further);
        }
        json!({ "required": needs, "properties": properties })
    };
    vec![
        rule("direct", &[], Value::Null),
        rule(
            "lever",
            &["kind", "foot", "pin-arm", "load-arm", "start-angle"],
            json!({ "foot": { "type": "array" } }),
        ),
        rule(
            "folding-leg",
            &["kind", "lower-link", "upper-link", "lower-bracket", "upper-bracket", "start-angle"],
            Value::Null,
        ),
        rule(
            "scissor",
            &["kind", "stages", "arm-length", "start-angle", "drive"],
            json!({ "drive": { "enum": ["sliding foot"] }, "foot": false, "pin": false }),
        ),
        rule(
            "scissor",
            &["kind", "stages", "arm-length", "start-angle", "drive", "foot", "pin"],
            json!({ "drive": { "enum": ["between"] }, "foot": { "type": "object" } }),
        ),
    ]
}

/// What a weld along a length and one round a tube need and refuse.
fn ways_to_weld() -> Vec<Value> {
    let rule = |size: &str, needs: &[&str], refuses: &[&str]| {
        let other = if size == "throat" { "leg" } else { "throat" };
        let needs: Vec<_> = needs.iter().chain([&size]).collect();
        let refused: Map<String, Value> =
            refuses.iter().chain([&other]).map(|key| ((*key).to_owned(), json!(false))).collect();
        json!({ "required": needs, "properties": refused })
    };
    let ways = |size| {
        [
            rule(size, &["length", "force"], &["tube", "beam", "arm"]),
            rule(size, &["tube", "force", "arm"], &["length", "beam", "open-ends"]),
            rule(size, &["tube", "beam"], &["length", "force", "arm", "open-ends"]),
        ]
    };
    ["throat", "leg"].into_iter().flat_map(ways).collect()
}

/// What each kind of section needs and refuses, by its dimensions or by a size.
fn kinds_of_section() -> Vec<Value> {
    let all = || FIELDS.iter().filter(|field| field.table() == "frame.section").map(Field::key);
    let rule = |kind: &str, needs: &[&str], takes: &[&str]| {
        let refused = all().filter(|key| *key != "kind" && !needs.contains(key) && !takes.contains(key));
        let mut properties: Map<String, Value> = refused.map(|key| (key.to_owned(), json!(false))).collect();
        properties.insert("kind".into(), json!({ "enum": [kind] }));
        json!({ "required": needs, "properties": properties })
    };
    let mut rules = Vec::new();
    for keys in SECTIONS {
        let without_size: Vec<_> = keys.takes.iter().copied().filter(|key| *key != "size").collect();
        rules.push(rule(keys.kind, keys.needs, &without_size));
        if without_size.len() < keys.takes.len() {
            rules.push(rule(keys.kind, &["size"], &["orientation"]));
        }
    }
    rules
}

fn of_field(field: &Field) -> Value {
    let mut map = Map::new();
    let mut description = field.doc.to_owned();
    match field.kind {
        Kind::Text => {
            map.insert("type".into(), json!("string"));
            map.insert("minLength".into(), json!(1));
            map.insert("maxLength".into(), json!(super::resolve::LONGEST_TEXT));
        }
        Kind::Words(words) => {
            map.insert("enum".into(), json!(words));
        }
        Kind::Count { low, high } => {
            map.insert("type".into(), json!("integer"));
            map.insert("minimum".into(), json!(low));
            map.insert("maximum".into(), json!(high));
        }
        Kind::Number { low, high } => {
            map.insert("type".into(), json!("number"));
            insert_bound(&mut map, "minimum", "exclusiveMinimum", low);
            insert_bound(&mut map, "maximum", "exclusiveMaximum", high);
        }
        Kind::Quantity(measure) => {
            map.extend(quantity());
            description = format!("{description}. {}", units_words(&measure));
        }
        Kind::Pair { measure, fewest } => {
            map.insert("type".into(), json!("array"));
            map.insert("minItems".into(), json!(fewest));
            map.insert("maxItems".into(), json!(2));
            map.insert("items".into(), Value::Object(quantity()));
            description = format!("{description}. {}", units_words(&measure));
        }
        Kind::Points { x, y, fewest, .. } => {
            map.insert("type".into(), json!("array"));
            map.insert("minItems".into(), json!(fewest));
            let pair = json!({
                "type": "array", "minItems": 2, "maxItems": 2, "items": Value::Object(quantity()),
            });
            map.insert("items".into(), pair);
            description = format!("{description}. {}; {}", units_words(&x), units_words(&y));
        }
    }
    if let Need::Default(default) = field.need {
        let value = match field.kind {
            Kind::Number { .. } => json!(default.parse::<f64>().ok()),
            _ => json!(default),
        };
        map.insert("default".into(), value);
    }
    if let Need::Depends(rule) = field.need {
        description = format!("{description} ({rule})");
    }
    map.insert("description".into(), json!(description));
    if let Some(example) = example(field) {
        map.insert("examples".into(), json!([example]));
    }
    Value::Object(map)
}

/// A number and a unit: which unit fits is beyond a schema that a person can read.
fn quantity() -> Map<String, Value> {
    let mut map = Map::new();
    map.insert("type".into(), json!("string"));
    map.insert("pattern".into(), json!("[0-9]"));
    map
}

fn units_words(measure: &Measure) -> String {
    let kind = match (measure.dimension, measure.pressure) {
        (Dimension::Pressure, super::fields::PressureKind::Gauge) => "Gauge pressure",
        (Dimension::Pressure, super::fields::PressureKind::Absolute) => "Absolute pressure",
        (Dimension::Pressure, super::fields::PressureKind::Difference) => "Pressure difference",
        _ => "Number",
    };
    format!("{kind} with unit: {}", units_for(measure.dimension).join(", "))
}

fn insert_bound(map: &mut Map<String, Value>, included: &str, excluded: &str, bound: Bound) {
    let key = match bound {
        Bound::Included(_) => included,
        Bound::Excluded(_) => excluded,
    };
    if let Ok(number) = bound.text().parse::<f64>() {
        map.insert(key.to_owned(), json!(number));
    }
}

/// The example of a field as a JSON value.
fn example(field: &Field) -> Option<Value> {
    // Every example of the table is at once TOML and JSON.
    serde_json::from_str(field.example).ok()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rig::{Document, Overrides, Source};

    /// As much of JSON Schema as the schema above uses. Gives the first place that does not fit.
    fn misfit(schema: &Value, value: &Value, place: &str) -> Option<String> {
        let wrong = |what: &str| Some(format!("{place}: {what}"));
        let Value::Object(rules) = schema else {
            return if schema == &json!(false) { wrong("not allowed") } else { None };
        };
        for (rule, needs) in rules {
            let fits = |schema: &Value| misfit(schema, value, place).is_none();
            let list = needs.as_array().cloned().unwrap_or_default();
            let good = match rule.as_str() {
                "type" => match needs.as_str().unwrap() {
                    "object" => value.is_object(),
                    "array" => value.is_array(),
                    "string" => value.is_string(),
                    "integer" => value.is_u64(),
                    "number" => value.is_number(),
                    other => panic!("{other}"),
                },
                "enum" => list.contains(value),
                "required" => value
                    .as_object()
                    .is_none_or(|map| list.iter().all(|key| map.contains_key(key.as_str().unwrap()))),
                "dependentRequired" => value.as_object().is_none_or(|map| {
                    needs.as_object().unwrap().iter().all(|(key, others)| {
                        !map.contains_key(key)
                            || others
                                .as_array()
                                .unwrap()
                                .iter()
                                .all(|other| map.contains_key(other.as_str().unwrap()))
                    })
                }),
                "minLength" => value.as_str().is_none_or(|text| !text.is_empty()),
                "minItems" => {
                    value.as_array().is_none_or(|items| items.len() as u64 >= needs.as_u64().unwrap())
                }
                "maxItems" => {
                    value.as_array().is_none_or(|items| items.len() as u64 <= needs.as_u64().unwrap())
                }
                "minimum" => value.as_f64().is_none_or(|number| number >= needs.as_f64().unwrap()),
                "maximum" => value.as_f64().is_none_or(|number| number <= needs.as_f64().unwrap()),
                "pattern" => value.as_str().is_none_or(|text| text.contains(|c: char| c.is_ascii_digit())),
                "oneOf" => list.iter().filter(|schema| fits(schema)).count() == 1,
                "anyOf" => list.iter().any(fits),
                "not" => !fits(needs),
                "if" => {
                    let branch = if fits(needs) { "then" } else { "else" };
                    rules.get(branch).is_none_or(fits)
                }
                "propertyNames" => value
                    .as_object()
                    .is_none_or(|map| map.keys().all(|key| misfit(needs, &json!(key), place).is_none())),
                "items" => {
                    let mut items = value.as_array().into_iter().flatten();
                    if let Some(misfit) = items.find_map(|item| misfit(needs, item, place)) {
                        return Some(misfit);
                    }
                    true
                }
                "properties" => {
                    for (key, inner) in needs.as_object().unwrap() {
                        if let Some(given) = value.get(key)
                            && let Some(misfit) = misfit(inner, given, &format!("{place}.{key}"))
                        {
                            return Some(misfit);
                        }
                    }
                    true
                }
                "additionalProperties" => {
                    let known = rules["properties"].as_object().unwrap();
                    for (key, given) in value.as_object().into_iter().flatten() {
                        if !known.contains_key(key)
                            && let Some(misfit) = misfit(needs, given, &format!("{place}.{key}"))
                        {
                            return Some(misfit);
                        }
                    }
                    true
                }
                "$schema" | "title" | "description" | "default" | "examples" | "then" | "else"
                | "maxLength" => true,
                other => panic!("the check does not know `{other}`"),
            };
            if !good {
                return wrong(rule);
            }
        }
        None
    }

    /// Places of keys without a description, those of inner tables included.
    fn undescribed(schema: &Value, place: &str) -> Vec<String> {
        let is_described =
            |schema: &Value| schema["description"].as_str().is_some_and(|text| !text.is_empty());
        let mut places = Vec::new();
        if let Some(items) = schema.get("items") {
            places.extend(undescribed(items, place));
        }
        for one in schema["anyOf"].as_array().into_iter().flatten() {
            places.extend(undescribed(one, place));
        }
        for (key, inner) in schema["properties"].as_object().into_iter().flatten() {
            let place = format!("{place}.{key}");
            let either = inner["anyOf"].as_array();
            if !is_described(inner) && !either.is_some_and(|ways| ways.iter().all(is_described)) {
                places.push(place.clone());
            }
            places.extend(undescribed(inner, &place));
        }
        places
    }

    #[test]
    fn every_key_is_described() {
        assert_eq!(undescribed(&schema(), "rig"), Vec::<String>::new());
        let fitting = &schema()["properties"]["line"]["properties"]["fitting"];
        assert!(fitting["description"].as_str().unwrap().starts_with("What the air meets"), "{fitting}");
    }

    fn as_json(text: &str) -> Value {
        toml::from_str(text).unwrap()
    }

    fn reads(text: &str) -> bool {
        Document::read(Some(&Source::new("rig.toml", text)), &Overrides::none()).rig().is_ok()
    }

    /// A rig with every kind of field.
    const WHOLE: &str = include_str!("../../tests/fixtures/whole.toml");

    const SECTION: &str = "section = { kind = \"square tube\", side = \"40 mm\", wall = \"3 mm\" }";

    const REINFORCED: &str = "section = { kind = \"square tube\", side = \"40 mm\", wall = \"3 mm\" }
bond = \"unjoined\"
reinforcement = [{ position = \"on top\", section = { kind = \"flat bar\", width = \"40 mm\", height = \"8 mm\" } }]";

    const LEVER: &str = "[linkage]
kind = \"lever\"
foot = [\"300 mm\", \"-600 mm\"]
pin-arm = \"300 mm\"
load-arm = \"900 mm\"
start-angle = \"0 deg\"
end-angle = \"40 deg\"
arm-mass = \"6 kg\"
arm-centre = \"450 mm\"
[load]";

    const LEG: &str = "[linkage]
kind = \"folding-leg\"
lower-link = \"800 mm\"
upper-link = \"800 mm\"
lower-bracket = [\"550 mm\"]
upper-bracket = [\"550 mm\", \"0 mm\"]
start-angle = \"60 deg\"
legs = 2
[load]";

    const SLIDING: &str = "[linkage]
kind = \"scissor\"
stages = 2
arm-length = \"1 m\"
start-angle = \"20 deg\"
drive = \"sliding foot\"
[load]";

    const BETWEEN: &str = "[linkage]
kind = \"scissor\"
stages = 1
arm-length = \"1 m\"
start-angle = \"30 deg\"
end-angle = \"60 deg\"
drive = \"between\"
foot = { base = [\"0 mm\", \"-100 mm\"] }
pin = { arm = \"sliding side\", stage = 1, distance = \"900 mm\" }
[load]";

    const ARMS: &str = "arm-section = { kind = \"flat bar\", width = \"12 mm\", height = \"50 mm\" }
arm-steel = \"S235\"
[load]";

    const PIN: &str = "[[pin]]
name = \"eye\"
diameter = \"12 mm\"
steel = \"S355\"
plates = \"6 mm\"
tongue = \"10 mm\"
where = \"cylinder pin\"
[limits]";

    const TASKS: &str = "per-hour = 20
[[task]]
do = \"raise\"
[[task]]
do = \"hold\"
for = \"10 s\"
[[task]]
do = \"lower\"
[[task]]
do = \"rest\"
until = \"2 min\"
[[task]]
do = \"repeat\"
times = 5";

    const WELD: &str = "[[weld]]
name = \"gusset\"
throat = \"3 mm\"
length = \"120 mm\"
force = \"2500 N\"
steel = \"S235\"
[limits]";

    const ROOT: &str = "[[weld]]
name = \"root\"
leg = \"4 mm\"
tube = { width = \"40 mm\", height = \"40 mm\" }
beam = \"fork\"
steel = \"S235\"
[limits]";

    const BASE: &str = "[base]
width = \"700 mm\"
depth = \"900 mm\"
rig-mass = \"60 kg\"
rig-height = \"300 mm\"
load-height = \"600 mm\"
[limits]";

    /// Reader and schema must agree on a text.
    #[track_caller]
    fn agree(text: &str, good: bool) {
        let misfit = misfit(&schema(), &as_json(text), "rig");
        assert_eq!(misfit.is_none(), good, "schema: {misfit:?}\n{text}");
        assert_eq!(reads(text), good, "reader\n{text}");
    }

    #[test]
    fn reader_and_schema_take_a_rig_with_every_kind_of_field() {
        agree(WHOLE, true);
        agree(include_str!("../../data/demo.toml"), true);
    }

    #[test]
    fn reader_and_schema_take_every_example() {
        let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/examples");
        let files: Vec<_> = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
        let rigs = files.iter().filter(|file| file.extension().is_some_and(|extension| extension == "toml"));
        assert!(rigs.clone().count() >= 3);
        for file in rigs {
            agree(&std::fs::read_to_string(file).unwrap(), true);
        }
    }

    #[test]
    fn reader_and_schema_refuse_the_same_passages() {
        for instead in [
            "{}",
            "{ bore = \"1.2 mm\", Kv = 0.1 }",
            "{ bore = \"1.2 mm\", b = 0.3 }",
            "{ area = \"1 mm2\", m = 3 }",
            "{ Kv = 0.1 }\nlower-wide = { b = 0.3 }",
            "{ Kv = 0.1 }\nfitting = { Kv = 1 }",
            "{ Kv = 0.1 }\nfitting = [{ way = \"up\" }]",
            "{ Kv = 0.1 }\nfitting = [{ Kv = 1, count = 0 }]",
            "{ Kv = 0.1 }\nfitting = [{ Kv = 1, cracking = \"0.1 bar\" }]",
        ] {
            agree(&WHOLE.replace("{ bore = \"1.2 mm\" }", instead), false);
        }
    }

    #[test]
    fn reader_and_schema_refuse_the_same_shapes() {
        let changes = [
            ("volume = \"10 L\"", ""),
            ("volume = \"10 L\"", "volume = 10"),
            ("volume = \"10 L\"", "volume = \"10 L\"\ncolour = \"red\""),
            ("count = 2", "count = 0"),
            ("count = 2", "count = \"2\""),
            ("count = 2", "count = 2.5"),
            ("action = \"single\"", "action = \"triple\""),
            ("relief = \"11 bar\"", ""),
            ("volume = \"10 L\"", "volume = \"10 L\"\nfilled-to = \"200 bar\""),
            ("hose-length = \"1.5 m\"", ""),
            ("b = 0.3", "b = 1.5"),
            (", b = 0.3", ""),
            ("mass = \"120 kg\"", ""),
            ("mass = \"120 kg\"", "mass = \"120 kg\"\nforce = \"1200 N\""),
            ("altitude = \"250 m\"", "altitude = \"250 m\"\nbarometer = \"985 hPa\""),
            (", stall = \"14 bar\"", ""),
            ("open = \"32 L/min\", ", ""),
            ("span = \"420 mm\"", ""),
            ("[load]", "[linkage]\nload-arm = \"2 m\"\n[load]"),
            ("[load]", "[linkage]\nkind = \"lever\"\narm = true\n[load]"),
            ("[load]", &LEVER.replace("pin-arm = \"300 mm\"", "")),
            ("[load]", &LEVER.replace("kind = \"lever\"", "")),
            ("[load]", &LEVER.replace("kind = \"lever\"", "kind = \"scissor\"")),
            ("[load]", &LEVER.replace("[\"300 mm\", \"-600 mm\"]", "[\"300 mm\"]")),
            ("[load]", &LEVER.replace("[\"300 mm\", \"-600 mm\"]", "{ base = [\"300 mm\", \"-600 mm\"] }")),
            ("[load]", &LEVER.replace("[load]", "stages = 2\n[load]")),
            ("[load]", &LEG.replace("[load]", "end-angle = \"170 deg\"\n[load]")),
            ("[load]", &LEG.replace("lower-link", "lower-linke")),
            ("[load]", &LEG.replace("legs = 2", "legs = 0")),
            ("[load]", &SLIDING.replace("drive = \"sliding foot\"", "")),
            ("[load]", &SLIDING.replace("sliding foot", "between")),
            ("[load]", &BETWEEN.replace("between", "sliding foot")),
            ("[load]", &BETWEEN.replace("{ base = [\"0 mm\", \"-100 mm\"] }", "[\"0 mm\", \"-100 mm\"]")),
            ("[load]", &BETWEEN.replace(", stage = 1", "")),
            ("[load]", &BETWEEN.replace("{ base = [\"0 mm\", \"-100 mm\"] }", "{}")),
            ("[load]", &BETWEEN.replace("[\"0 mm\", \"-100 mm\"] }", "[\"0 mm\", \"-100 mm\"], stage = 1 }")),
            ("mass = \"120 kg\"", "mass = \"120 kg\"\nprofile = [[\"0 mm\", \"120 kg\"]]"),
            ("mass = \"120 kg\"", "ramp = \"10 mm\"\nprofile = [[\"0 mm\", \"120 kg\"]]"),
            ("load-share = \"50 %\"", ""),
            ("load-share = \"50 %\"", "load-share = \"50 %\"\nloads = [[\"200 mm\", \"30 %\"]]"),
            ("load-share = \"50 %\"", "at = \"10 mm\"\nloads = [[\"200 mm\", \"30 %\"]]"),
            ("load-share = \"50 %\"", "load-share = \"50 %\"\ndynamic-factor = 0.5"),
            ("\"cantilever\"", "\"overhanging\""),
            ("\"cantilever\"", "\"cantilever\"\noverhang = \"100 mm\""),
            (SECTION, ""),
            (SECTION, "section = { side = \"40 mm\", wall = \"3 mm\" }"),
            (SECTION, "section = { kind = \"square tube\", side = \"40 mm\" }"),
            (SECTION, "section = { kind = \"square tube\", size = \"40 mm x 3 mm\", wall = \"3 mm\" }"),
            (SECTION, "section = { kind = \"square bar\", side = \"40 mm\", wall = \"3 mm\" }"),
            (
                SECTION,
                "section = { kind = \"square tube\", side = \"40 mm\", wall = \"3 mm\", outer-radius = \"6 mm\" }",
            ),
            (SECTION, &format!("{SECTION}\nbond = \"welded\"")),
            (SECTION, &REINFORCED.replace("position = \"on top\", ", "")),
            (SECTION, &REINFORCED.replace("height = \"8 mm\"", "wall = \"8 mm\"")),
            (SECTION, &REINFORCED.replace("[{", "{").replace("}]", "}")),
            ("[limits]", &BASE.replace("depth = ", "side-force = \"100 N\"\ndepth = ")),
            ("[limits]", &BASE.replace("depth = \"900 mm\"", "")),
            ("[limits]", "[limits]\nstability = 0.5"),
            ("[load]", &LEG.replace("[load]", &ARMS.replace("arm-steel = \"S235\"", ""))),
            ("[load]", &LEG.replace("[load]", "arm-steel = \"S235\"\n[load]")),
            ("[load]", &LEG.replace("[load]", "arms-side-by-side = 2\n[load]")),
            ("[load]", &LEG.replace("[load]", &ARMS.replace("flat bar", "round bar"))),
            ("[load]", &LEVER.replace("[load]", ARMS)),
            ("[limits]", &PIN.replace("where = \"cylinder pin\"", "")),
            ("[limits]", &PIN.replace("where =", "force = \"1200 N\"\nwhere =")),
            ("[limits]", &PIN.replace("where = \"cylinder pin\"", "shared-by = 2\nforce = \"1200 N\"")),
            ("[limits]", &PIN.replace("tongue = \"10 mm\"", "")),
            ("[limits]", &PIN.replace("[[pin]]", "[pin]")),
            ("[limits]", &PIN.replace("name", "nome")),
            ("[limits]", &WELD.replace("throat = \"3 mm\"", "")),
            ("[limits]", &WELD.replace("throat =", "leg = \"4 mm\"\nthroat =")),
            ("[limits]", &WELD.replace("force = \"2500 N\"", "")),
            ("[limits]", &WELD.replace("force = \"2500 N\"", "beam = \"fork\"")),
            ("[limits]", &WELD.replace("force =", "arm = \"100 mm\"\nforce =")),
            ("[limits]", &WELD.replace("length = \"120 mm\"", "")),
            ("[limits]", &WELD.replace("steel = \"S235\"", "")),
            ("[limits]", &ROOT.replace("beam =", "length = \"120 mm\"\nbeam =")),
            ("[limits]", &ROOT.replace("beam =", "force = \"1200 N\"\nbeam =")),
            ("[limits]", &ROOT.replace("beam = \"fork\"", "force = \"1200 N\"")),
            ("[limits]", &ROOT.replace("beam =", "arm = \"100 mm\"\nbeam =")),
            ("[limits]", &ROOT.replace("beam =", "open-ends = 0\nbeam =")),
            ("[limits]", &ROOT.replace(", height = \"40 mm\"", "")),
            ("ends =", "tube-outside = \"56 mm\"\nends ="),
            ("[battery]", "[batteries]"),
            ("[tank]", "[[tank]]"),
            ("per-hour = 20", "per-hour = 0"),
            ("current = [[\"0 bar\", \"6 A\"], [\"10 bar\", \"11 A\"]]", "current = [[\"0 bar\"]]"),
        ];
        for (from, to) in changes {
            let changed = WHOLE.replace(from, to);
            assert_ne!(changed, WHOLE, "{from}");
            agree(&changed, false);
        }
    }

    #[test]
    fn reader_and_schema_refuse_the_same_tasks() {
        let changes = [
            format!("lifts = 5\n{TASKS}"),
            format!("hold = \"5 s\"\n{TASKS}"),
            TASKS.replace("\"hold\"", "\"wait\""),
            TASKS.replace("for = \"10 s\"", ""),
            TASKS.replace("for = \"10 s\"", "for = \"10 s\"\nuntil = \"20 s\""),
            TASKS.replace("\"raise\"", "\"raise\"\nfor = \"10 s\""),
            TASKS.replace("times = 5", ""),
            TASKS.replace("times = 5", "times = 5\nfor = \"10 s\""),
            TASKS.replace("do = \"lower\"", "do = \"lower\"\ntimes = 2"),
        ];
        for tasks in changes {
            assert_ne!(tasks, TASKS);
            agree(&WHOLE.replace("per-hour = 20", &tasks), false);
        }
    }

    #[test]
    fn reader_and_schema_take_the_same_variants() {
        let changes = [
            (
                "{ bore = \"1.2 mm\" }",
                "{ Cv = 0.1, b = 0.4, m = 0.6 }\nlower-wide = { area = \"8 mm2\", b = 0.3 }",
            ),
            (
                "{ bore = \"1.2 mm\" }",
                "{ Kv = 0.1 }\nfitting = [{ name = \"elbow\", count = 2, Kv = 0.9 }, { way = \"up\", Cv = 1, cracking = \"0.1 bar\" }]",
            ),
            ("[load]", LEVER),
            ("[load]", LEG),
            ("[load]", SLIDING),
            ("[load]", BETWEEN),
            ("[load]", &LEG.replace("[load]", ARMS)),
            ("[load]", &SLIDING.replace("[load]", &format!("arms-side-by-side = 2\n{ARMS}"))),
            ("[limits]", PIN),
            (
                "[limits]",
                &PIN.replace("where =", "shared-by = 2\ngap = \"1 mm\"\ndynamic-factor = 1.2\nwhere ="),
            ),
            (
                "[limits]",
                &PIN.replace("where = \"cylinder pin\"", "force = \"1200 N\"\nplate-steel = \"S275\""),
            ),
            ("[limits]", WELD),
            ("[limits]", &WELD.replace("throat =", "open-ends = 0\nleg =")),
            ("[limits]", ROOT),
            ("[limits]", &ROOT.replace("beam = \"fork\"", "force = \"1200 N\"\narm = \"300 mm\"")),
            ("mass = \"120 kg\"", "mass = \"120 kg\"\nramp = \"50 mm\"\nsink-and-play = \"3 mm\""),
            ("mass = \"120 kg\"", "profile = [[\"0 mm\", \"0 kg\"], [\"80 mm\", \"120 kg\"]]"),
            ("load-share = \"50 %\"", "loads = [[\"200 mm\", \"30 %\"], [\"100 mm\", \"20 %\"]]"),
            ("load-share = \"50 %\"", "load-share = \"50 %\"\nat = \"200 mm\"\ndynamic-factor = 1.2"),
            ("\"cantilever\"", "\"overhanging\"\noverhang = \"100 mm\""),
            (SECTION, "section = { kind = \"square tube\", size = \"40 mm x 3 mm\" }"),
            (
                SECTION,
                "section = { kind = \"flat bar\", width = \"10 mm\", height = \"40 mm\", orientation = \"upright\" }",
            ),
            (SECTION, REINFORCED),
            (
                "[limits]",
                "[limits]\ncolumn-safety = 3.5\nstability = 2\ndead-point = \"4 deg\"\nyield-ratio = \"60 %\"",
            ),
            ("[limits]", BASE),
            (
                "ends =",
                "tube-outside = \"56 mm\"\ntube-wall = \"3 mm\"\ntube-length = \"500 mm\"\ntube-steel = \"S235\"\nends =",
            ),
            ("mass = \"120 kg\"", "force = \"1200 N\""),
            ("altitude = \"250 m\"", "barometer = \"985 hPa\""),
            ("{ bore = \"1.2 mm\" }", "{ Kv = 0.1 }"),
            ("title = \"Hive cart\"", ""),
            ("per-hour = 20", ""),
            ("per-hour = 20", TASKS),
        ];
        for (from, to) in changes {
            let changed = WHOLE.replace(from, to);
            assert_ne!(changed, WHOLE, "{from}");
            agree(&changed, true);
        }
    }

    #[test]
    fn every_example_fits_its_own_field() {
        for field in FIELDS {
            let value = example(field).unwrap_or_else(|| panic!("{}: {}", field.path, field.example));
            assert_eq!(misfit(&of_field(field), &value, field.path), None);
            assert!(misfit(&of_field(field), &json!(true), field.path).is_some(), "{}", field.path);
        }
    }
}
