//! A curve in letters.

use std::fmt::Write as _;

use super::terminal::plain_width;

/// Lines between the highest and the lowest mark.
const HEIGHT: usize = 10;
/// Columns that a curve needs to be one.
const LEAST_COLUMNS: usize = 20;

/// A curve with a level to compare it to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Plot<'a> {
    /// Points, the first of each pair rising.
    pub(super) points: &'a [(f64, f64)],
    /// A level drawn across.
    pub(super) level: f64,
}

/// What the marks of the axes say.
pub(super) struct Marks<'a> {
    /// The value of a line, as text.
    pub(super) value: &'a dyn Fn(f64) -> String,
    /// The place of a column, as text.
    pub(super) place: &'a dyn Fn(f64) -> String,
}

impl Plot<'_> {
    /// The curve, at most `width` columns wide: in each column `#` from its lowest to its highest point, `-`
    /// the level. Empty if there are fewer than two points or one of them is not finite.
    #[must_use]
    pub(super) fn text(&self, width: usize, marks: &Marks<'_>) -> String {
        let (Some(first), Some(last)) = (self.points.first(), self.points.last()) else {
            return String::new();
        };
        let finite = self.points.iter().all(|(place, value)| place.is_finite() && value.is_finite());
        if last.0 <= first.0 || !finite || !self.level.is_finite() {
            return String::new();
        }
        let highest = self.points.iter().map(|point| point.1).fold(self.level, f64::max);
        let lowest = self.points.iter().map(|point| point.1).fold(self.level, f64::min);
        let span = if highest > lowest { highest - lowest } else { highest.abs().max(1.0) };
        let line_of = |value: f64| index((highest - value) / span, HEIGHT);
        #[allow(clippy::cast_precision_loss, reason = "a few lines")]
        let value_of = |line: usize| highest - span * line as f64 / (HEIGHT - 1) as f64;
        let labels: Vec<String> = (0..HEIGHT).map(|line| (marks.value)(value_of(line))).collect();
        let margin = labels.iter().map(|label| plain_width(label)).max().unwrap_or(0);
        let columns = width.saturating_sub(margin + 4).max(LEAST_COLUMNS);
        let level = line_of(self.level);
        let mut out = String::new();
        let bounds = self.bounds(columns, first.0, last.0);
        for (line, label) in labels.iter().enumerate() {
            let mut row = String::with_capacity(columns);
            for &(low, high) in &bounds {
                let filled = line_of(high) <= line && line <= line_of(low);
                row.push(if filled {
                    '#'
                } else if line == level {
                    '-'
                } else {
                    ' '
                });
            }
            let shown = if line % 3 == 0 { label.as_str() } else { "" };
            // Writing to a string cannot fail.
            let _ = writeln!(out, "  {shown:>margin$} |{}", row.trim_end());
        }
        let (from, to) = ((marks.place)(first.0), (marks.place)(last.0));
        let _ = writeln!(out, "  {:>margin$} +{}", "", "-".repeat(columns));
        let between = columns.saturating_sub(from.len() + to.len());
        let _ = writeln!(out, "  {:>margin$}  {from}{}{to}", "", " ".repeat(between));
        out
    }

    /// Lowest and highest value in each column; one without a point carries on the one before.
    fn bounds(&self, columns: usize, first: f64, last: f64) -> Vec<(f64, f64)> {
        let mut bounds: Vec<Option<(f64, f64)>> = vec![None; columns];
        for &(place, value) in self.points {
            let column = index((place - first) / (last - first), columns);
            if let Some(bound) = bounds.get_mut(column) {
                let (low, high) = bound.unwrap_or((value, value));
                *bound = Some((low.min(value), high.max(value)));
            }
        }
        let mut carried = self.points.first().map_or((0.0, 0.0), |point| (point.1, point.1));
        bounds
            .into_iter()
            .map(|bound| {
                carried = bound.unwrap_or(carried);
                carried
            })
            .collect()
    }
}

/// The place of a share from 0 to 1 among so many, rounded to the nearest.
fn index(share: f64, many: usize) -> usize {
    #[allow(clippy::cast_precision_loss, reason = "a few hundred")]
    let last = many.saturating_sub(1) as f64;
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped to the places")]
    let place = (share * last).round().clamp(0.0, last) as usize;
    place
}

#[cfg(test)]
mod tests {
    use super::*;

    const MARKS: Marks<'static> =
        Marks { value: &|value| format!("{value:.0}"), place: &|place| format!("{place:.0} s") };

    #[test]
    fn a_falling_line_goes_from_the_top_left_to_the_bottom_right() {
        let points: Vec<(f64, f64)> =
            (0..=100).map(|step| (f64::from(step), 100.0 - f64::from(step))).collect();
        let text = Plot { points: &points, level: 0.0 }.text(60, &MARKS);
        let lines: Vec<&str> = text.lines().collect();
        // Ten lines, the axis and its marks.
        assert_eq!(lines.len(), HEIGHT + 2);
        assert!(lines[0].starts_with("  100 |#"), "{text}");
        assert!(lines[9].starts_with("    0 |--") && lines[9].ends_with('#'), "{text}");
        assert!(lines[11].trim_start().starts_with("0 s") && lines[11].ends_with("100 s"), "{text}");
        assert!(lines.iter().all(|line| line.len() <= 60), "{text}");
    }

    #[test]
    fn what_cannot_be_drawn_is_left_out() {
        let text = |points: &[(f64, f64)]| Plot { points, level: 1.0 }.text(60, &MARKS);
        assert_eq!(text(&[]), "");
        assert_eq!(text(&[(1.0, 2.0)]), "");
        assert_eq!(text(&[(0.0, 2.0), (1.0, f64::NAN)]), "");
        // A flat line is drawn.
        assert!(text(&[(0.0, 1.0), (1.0, 1.0)]).contains('#'));
    }
}
