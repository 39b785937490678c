//! The rig file that a new rig starts from.

use std::fmt::Write as _;

use super::fields::{FIELDS, Field, Kind, Need, TABLES, Table, range_words, ways_to_write};

/// What stands above the first table.
const HEAD: &str = "\
# A rig file of Lungful: replace every value by that of your own rig.
#
# A value stands in quotes with its unit, metric or US: \"50 mm\", \"2 in\", \"6 bar\", \"90 psi\", \"12 L\".
# Pressures are gauge pressures, as a gauge shows them.
# A value may carry a tolerance: \"6 bar +- 0.2 bar\", \"140 kg +- 5 %\".
# A line that starts with # and a key is optional: delete the # to use it.
";

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

fn write_table(text: &mut String, table: &Table) {
    // Writing to a string cannot fail.
    let mark = if is_whole_optional(table) { "#" } else { "" };
    let heading = if table.repeated { format!("[[{}]]", table.path) } else { format!("[{}]", table.path) };
    let _ = write!(text, "\n# {}\n{mark}{heading}\n", table.doc);
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

fn write_field(text: &mut String, field: &Field, mark: &str) {
    let mut remark = field.doc.to_owned();
    match (field.kind, field.need) {
        (Kind::Words(words), _) => {
            let words: Vec<_> = words.iter().map(|word| format!("\"{word}\"")).collect();
            let _ = write!(remark, ": {}", words.join(", "));
        }
        (Kind::Number { low, high }, _) => {
            let _ = write!(remark, ", {}", range_words(low, high));
        }
        _ => {}
    }
    let optional = match field.need {
        Need::Required => "",
        Need::Optional => {
            remark.push_str("; optional");
            "#"
        }
        Need::Default(default) => {
            let _ = write!(remark, "; {default} unless given");
            "#"
        }
        Need::Depends(rule) => {
            let _ = write!(remark, "; {rule}");
            if matches!(field.path, "load.mass" | "tank.relief") { "" } else { "#" }
        }
    };
    let mark = if mark.is_empty() { optional } else { mark };
    let _ = write!(text, "# {remark}\n{mark}{} = {}\n", field.key(), field.example);
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
        assert!(optional.len() > 40, "{}", optional.len());
        for line in optional {
            let used = with_used(&lines, line);
            if let Err(problems) = read(&used) {
                // Only what stands instead of another value is refused beside it.
                let text = problems.to_string();
                let instead =
                    ["are both given", "is given without", "is for a bottle", "given twice", "acting"];
                assert!(
                    instead.iter().any(|words| text.contains(words)) && problems.len() == 1,
                    "{text}\n{used}"
                );
            }
        }
    }

    fn is_optional(line: &str) -> bool {
        line.starts_with('#') && !line.starts_with("# ") && line.len() > 1
    }

    /// The template with one optional line in use, and with its heading if that is optional as well.
    fn with_used(lines: &[&str], used: usize) -> String {
        let heading = (0..=used).rev().find(|line| lines[*line].trim_start_matches('#').starts_with('['));
        let block = heading.filter(|line| lines[*line].starts_with('#'));
        let wanted = |line: usize| {
            let in_block = block.is_some_and(|start| line >= start && line <= start + 20);
            let repeats = lines[line].contains("section = {") && !lines[line].contains("square");
            line == used
                || (in_block && !lines[line..].is_empty() && same_block(lines, block, line) && !repeats)
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

    fn same_block(lines: &[&str], block: Option<usize>, line: usize) -> bool {
        block.is_some_and(|start| lines[start..=line].iter().all(|text| !text.is_empty()))
    }
}
