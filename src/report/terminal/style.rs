//! Emphasis and line breaks.

use anstyle::{AnsiColor, Color, Style};

/// Style of headings.
#[must_use]
pub const fn emphasis() -> Style {
    Style::new().bold()
}

/// Style of a verdict.
#[must_use]
pub fn verdict_style(verdict: &str) -> Style {
    let colour = match verdict {
        "pass" => AnsiColor::Green,
        "caution" => AnsiColor::Yellow,
        "fail" => AnsiColor::Red,
        _ => return emphasis(),
    };
    emphasis().fg_color(Some(Color::Ansi(colour)))
}

/// Text broken into lines of at most `width` columns, each indented by `indent`.
///
/// A word longer than a line stands on a line of its own.
#[must_use]
pub fn wrapped(text: &str, width: usize, indent: usize) -> String {
    let room = width.saturating_sub(indent).max(20);
    let pad = " ".repeat(indent);
    let mut out = pad.clone();
    let mut used = 0;
    for phrase in phrases(text) {
        let width = plain_width(&phrase);
        if used > 0 && used + 1 + width > room {
            out.push('\n');
            out.push_str(&pad);
            used = 0;
        }
        if used > 0 {
            out.push(' ');
            used += 1;
        }
        out.push_str(&phrase);
        used += width;
    }
    out
}

/// The words of a text, a figure and its unit taken as one.
fn phrases(text: &str) -> Vec<String> {
    let mut phrases: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        let is_unit = word.starts_with(|first: char| first.is_alphabetic() || first == '%');
        match phrases.last_mut() {
            Some(last) if is_unit && last.ends_with(|end: char| end.is_ascii_digit()) => {
                last.push(' ');
                last.push_str(word);
            }
            _ => phrases.push(word.to_owned()),
        }
    }
    phrases
}

/// Columns that a text without colour codes takes.
#[must_use]
pub fn plain_width(text: &str) -> usize {
    text.chars().count()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_keep_within_the_width_and_lose_no_word() {
        let text = "never be under a load that only air holds, not even for a moment";
        let broken = wrapped(text, 30, 4);
        assert!(broken.lines().all(|line| line.starts_with("    ") && plain_width(line) <= 30));
        assert_eq!(broken.split_whitespace().collect::<Vec<_>>().join(" "), text);
    }
}
