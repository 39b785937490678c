//! Lines and columns of a text.

use std::ops::Range;
use std::sync::Arc;

use super::problem::Place;

/// The places in a text at which its lines start.
#[derive(Debug, Clone)]
pub(super) struct TextIndex {
    text: Arc<str>,
    starts: Vec<usize>,
}

impl TextIndex {
    pub(super) fn new(text: &str) -> Self {
        let after_newlines = text.match_indices('\n').map(|(newline, _)| newline + 1);
        Self { text: text.into(), starts: std::iter::once(0).chain(after_newlines).collect() }
    }

    pub(super) fn text(&self) -> &str {
        &self.text
    }

    /// Line of a byte, from 1.
    pub(super) fn line(&self, byte: usize) -> usize {
        self.starts.partition_point(|start| *start <= byte)
    }

    /// First byte of the line on which a byte stands.
    pub(super) fn line_start(&self, byte: usize) -> usize {
        self.starts.get(self.line(byte) - 1).copied().unwrap_or(0)
    }

    /// The line on which a byte stands, without its end.
    pub(super) fn line_text(&self, byte: usize) -> &str {
        let rest = self.text.get(self.line_start(byte)..).unwrap_or("");
        rest.split('\n').next().unwrap_or("").trim_end_matches('\r')
    }

    pub(super) fn place(&self, span: Range<usize>) -> Place {
        let before = self.text.get(self.line_start(span.start)..span.start).unwrap_or("");
        Place::Text { line: self.line(span.start), column: before.chars().count() + 1, span }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_and_columns_count_from_one_and_in_characters() {
        let index = TextIndex::new("ab\nc\u{e4}d = 1\r\n");
        assert_eq!(index.place(0..1), Place::Text { line: 1, column: 1, span: 0..1 });
        // Byte 6 is `d`, the third character of line 2: the letter before it has two bytes.
        assert_eq!(index.place(6..7), Place::Text { line: 2, column: 3, span: 6..7 });
        assert_eq!(index.line_text(6), "c\u{e4}d = 1");
        assert_eq!(index.line(13), 3);
    }
}
