//! The rig file that a new rig starts from.

use std::fmt::Write as _;

use super::fields::{FIELDS, Field, Kind, LINKAGE_WAYS, Need, TABLES, Table, range_words, ways_to_write};

/// What stands above the first table.
const HEAD: &str = "\
# A rig file of Lungful: replace every value by that of your own rig.
#
# A value stands in quotes with its unit, metric or US: \"50 mm\", \"2 in\", \"6 bar\", \"90 psi\", \"12 L\".
# Pressures are gauge pressures, as a gauge shows them.
# A value may carry a tolerance: \"6 bar +- 0.2 bar\", \"140 kg +- 5 %\".
# A line that starts with # and a key is optional: delete the # to use it.
";

/// Of fields that stand for each other, those that the template uses.
const USUAL: &[&str] = &[
    "load.mass",
    "tank.relief",
    "frame.load-share",
    "pin.where",
    "weld.throat",
    "weld.length",
    "weld.force",
];

/// The commented rig file that `new` writes. It can be checked as it is, and each optional line can be used
/// by deleting its `#`.
///
/// ```
/// use lungful::rig::{Document, Overrides, Source, template::template};
/// let source = Source::new("new.toml", &template());
/// assert!(Document::read(Some(&source), &Overrides::none()).rig().is_ok());
/// ```
#[must_use]
pub fn template() -> String {
    let mut text = HEAD.to_owned();
    for field in FIELDS.iter().filter(|field| field.table().is_empty()) {
        let _ = write!(text, "\n{} = {}\n", field.key(), field.example);
    }
    for table in TABLES.iter().filter(|table| !table.path.contains('.')) {
        write_table(&mut text, table);
    }
    text
}

/// The linkages, each with all its keys: they belong together.
fn write_linkages(text: &mut String) {
    for (kind, keys) in LINKAGE_WAYS {
        let _ = write!(text, "\n# All lines of a {}:\n#kind = \"{kind}\"\n", kind.replace('-', " "));
        for (key, value) in *keys {
            let path = format!("linkage.{key}");
            let remark = match (super::fields::field(&path), super::fields::table(&path)) {
                (_, Some(table)) if value.starts_with('{') => table.doc.to_owned(),
                (Some(field), _) => remark(field),
                _ => String::new(),
            };
            let _ = write!(text, "# {remark}\n#{key} = {value}\n");
            let unused =
                ways_to_write(&path).iter().filter(|way| value.starts_with('{') && !way.ends_with(value));
            for way in unused {
                let _ = writeln!(text, "# or {way}");
            }
        }
    }
}

fn write_table(text: &mut String, table: &Table) {
    // Writing to a string cannot fail.
    let mark = if is_whole_optional(table) { "#" } else { "" };
    let heading = if table.repeated { format!("[[{}]]", table.path) } else { format!("[{}]", table.path) };
    let _ = write!(text, "\n# {}\n{mark}{heading}\n", table.doc);
    if table.path == "linkage" {
        for path in ["linkage.kind", "linkage.efficiency"] {
            if let Some(field) = super::fields::field(path) {
                write_field(text, field, mark);
            }
        }
        write_linkages(text);
        return;
    }
    let keys = super::fields::keys_in(table.path).collect::<Vec<_>>();
    for key in in_file_order(table.path, &keys) {
        let path = format!("{}.{key}", table.path);
        if let Some(field) = super::fields::field(&path) {
            write_field(text, field, mark);
        } else if let Some(inner) = super::fields::table(&path) {
            write_inner(text, inner, mark);
        }
    }
}

/// Inner tables where the design of the file has them: before the fields for the compressor, after them else.
fn in_file_order<'k>(table: &str, keys: &[&'k str]) -> Vec<&'k str> {
    let mut ordered = keys.to_vec();
    if table == "compressor" {
        ordered.sort_by_key(|key| *key != "delivery");
    }
    ordered
}

/// A table that may be left out but has fields of its own that may not.
fn is_whole_optional(table: &Table) -> bool {
    let has_required = FIELDS.iter().any(|field| field.table() == table.path && field.need == Need::Required);
    !table.required && has_required && table.path != "compressor"
}

/// What stands above a field.
fn remark(field: &Field) -> String {
    let mut remark = field.doc.to_owned();
    match field.kind {
        Kind::Words(words) => {
            let words: Vec<_> = words.iter().map(|word| format!("\"{word}\"")).collect();
            let _ = write!(remark, ": {}", words.join(", "));
        }
        Kind::Number { low, high } => {
            let _ = write!(remark, ", {}", range_words(low, high));
        }
        _ => {}
    }
    match field.need {
        Need::Required => {}
        Need::Optional => remark.push_str("; optional"),
        Need::Default(default) => {
            let _ = write!(remark, "; {default} unless given");
        }
        Need::Depends(rule) => {
            let _ = write!(remark, "; {rule}");
        }
    }
    remark
}

fn write_field(text: &mut String, field: &Field, mark: &str) {
    let needed = match field.need {
        Need::Required => true,
        Need::Depends(_) => USUAL.contains(&field.path),
        _ => false,
    };
    let mark = if needed { mark } else { "#" };
    let _ = write!(text, "# {}\n{mark}{} = {}\n", remark(field), field.key(), field.example);
}

fn write_inner(text: &mut String, table: &Table, mark: &str) {
    let _ = writeln!(text, "# {}; one of these ways", table.doc);
    for (number, way) in ways_to_write(table.path).iter().enumerate() {
        let used = number == 0 && mark.is_empty() && table.path == "compressor.delivery";
        let _ = writeln!(text, "{}{way}", if used { "" } else { "#" });
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rig::{Document, Overrides, Problems, Rig, Source};

    fn read(text: &str) -> Result<Rig, Problems> {
        Document::read(Some(&Source::new("new.toml", text)), &Overrides::none()).rig()
    }

    #[test]
    fn every_field_is_shown() {
        let text = template();
        for field in FIELDS {
            assert!(text.contains(&format!("{} = {}", field.key(), field.example)), "{}", field.path);
        }
    }

    #[test]
    fn every_optional_line_can_be_used() {
        let text = template();
        let lines: Vec<_> = text.lines().collect();
        let optional: Vec<_> = (0..lines.len()).filter(|line| is_optional(lines[*line])).collect();
        assert!(optional.len() > 90, "{}", optional.len());
        for line in optional.into_iter().filter(|line| !is_of_a_linkage(&lines, *line)) {
            let used = with_used(&lines, line);
            if let Err(problems) = read(&used) {
                // Only what stands instead of another value, or needs one, is refused.
                let text = problems.to_string();
                let instead = [
                    "are both given",
                    "is given without",
                    "is for a bottle",
                    "given twice",
                    "acting",
                    "each says by itself",
                    "but its support is",
                    "but no `reinforcement`",
                    "`base.side-force-height` is missing",
                    "must be more than `cylinders.stroke`",
                    "it lasts until the load has arrived",
                    "has no `times`",
                ];
                assert!(
                    instead.iter().any(|words| text.contains(words)) && problems.len() == 1,
                    "{text}\n{used}"
                );
            }
        }
    }

    #[test]
    fn the_lines_of_each_linkage_can_be_used() {
        let text = template();
        for (kind, _) in LINKAGE_WAYS {
            let start = text.find(&format!("#kind = \"{kind}\"")).unwrap();
            let length = text[start..].find("\n\n").unwrap();
            let block: Vec<_> = text[start..start + length]
                .lines()
                .map(|line| if is_optional(line) { &line[1..] } else { line })
                .collect();
            let used = format!("{}{}{}", &text[..start], block.join("\n"), &text[start + length..]);
            let rig = read(&used).unwrap_or_else(|problems| panic!("{problems}"));
            assert_eq!(rig.linkage.kind, *kind);
        }
    }

    fn is_optional(line: &str) -> bool {
        line.starts_with('#') && !line.starts_with("# ") && line.len() > 1
    }

    fn heading(lines: &[&str], line: usize) -> usize {
        (0..=line).rev().find(|line| lines[*line].trim_start_matches('#').starts_with('[')).unwrap_or(0)
    }

    /// They are of use only together.
    fn is_of_a_linkage(lines: &[&str], line: usize) -> bool {
        lines[heading(lines, line)] == "[linkage]" && !lines[line].starts_with("#efficiency")
    }

    /// The template with one optional line in use, and where its table is optional as well, with what the
    /// table needs.
    fn with_used(lines: &[&str], used: usize) -> String {
        let start = heading(lines, used);
        let table = lines[start].trim_matches(['#', '[', ']']);
        let key = |line: usize| lines[line].trim_start_matches('#').split(" = ").next().unwrap_or("");
        let mut has_section = false;
        let mut wanted = |line: usize| {
            let is_needed = super::super::fields::field(&format!("{table}.{}", key(line)))
                .is_some_and(|field| field.need == Need::Required || USUAL.contains(&field.path));
            let is_section = key(line) == "section" && key(used) != "section" && !has_section;
            let needed = lines[start].starts_with('#')
                && heading(lines, line) == start
                && key(line) != key(used)
                && (is_needed || is_section || line == start);
            has_section |= needed && is_section;
            line == used || needed
        };
        let text: Vec<_> = lines
            .iter()
            .enumerate()
            .map(
                |(number, line)| {
                    if is_optional(line) && wanted(number) { line.trim_start_matches('#') } else { line }
                },
            )
            .collect();
        text.join("\n")
    }
}
