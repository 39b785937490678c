//! Tables.

use comfy_table::{CellAlignment, ContentArrangement, LineStyle, Table, TableStyle};

/// Lines above, under the head and below; none between rows, whose blank columns keep them apart.
const STYLE: TableStyle = TableStyle::new()
    .header_separator(LineStyle::none().fill('-').junction('-'))
    .bottom_border(LineStyle::none().fill('-').junction('-'));

/// A table without rules, its head underlined, the columns `right` aligned to the right.
#[must_use]
pub fn grid(
    head: &[&str],
    rows: impl IntoIterator<Item = Vec<String>>,
    right: &[usize],
    width: usize,
) -> String {
    let mut table = Table::new();
    table
        .load_style(STYLE)
        .set_content_arrangement(ContentArrangement::Dynamic)
        .set_width(u16::try_from(width).unwrap_or(u16::MAX))
        .set_header(head.iter().map(|&word| word.to_owned()).collect::<Vec<String>>());
    for row in rows {
        table.add_row(row);
    }
    for column in table.column_iter_mut() {
        column.set_padding((0, 2));
    }
    for &column in right {
        if let Some(column) = table.column_mut(column) {
            column.set_cell_alignment(CellAlignment::Right);
        }
    }
    let mut text: String = table.lines().map(|line| line.trim_end().to_owned() + "\n").collect();
    if text.is_empty() {
        text.push('\n');
    }
    text
}
