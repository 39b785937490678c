//! The order of the pressures as a drawing on one vertical scale.

use std::fmt::Write as _;

use crate::report::{Order, RungRow};
use crate::units::UnitSystem;

/// Lines of the drawing.
const LINES: usize = 30;

/// From this ratio of highest to lowest pressure on, a straight scale would squeeze the lower half into a line
/// or two.
const WIDE: f64 = 12.0;

/// Columns of the bands.
const LANES: usize = 3;

/// The drawing: pressure to the left, a band `|` where a tolerance reaches, names to the right. `=` marks a
/// rating, `!` a pressure that stands too close to another.
pub(super) fn drawing(order: &Order, units: UnitSystem) -> String {
    let ends = order.rungs.iter().flat_map(|rung| [rung.low_pa_gauge, rung.high_pa_gauge]);
    let (lowest, highest) = ends
        .filter(|pressure| *pressure > 0.0 && pressure.is_finite())
        .fold((f64::INFINITY, 0.0_f64), |(low, high), pressure| (low.min(pressure), high.max(pressure)));
    if lowest >= highest {
        return String::new();
    }
    let scale = Scale { lowest, highest, is_wide: highest / lowest > WIDE };
    let mut lines: Vec<Line<'_>> = (0..LINES).map(|_| Line::default()).collect();
    for rung in &order.rungs {
        place(rung, &scale, &mut lines);
    }
    let tight = |rung: &RungRow| {
        let meant = |name: &str| rung.name == name || (name == "cut-out and 10 %" && rung.name == "cut-out");
        order.gaps.iter().any(|gap| gap.verdict != "pass" && (meant(gap.lower) || meant(gap.upper)))
    };
    let mut out = String::new();
    for line in &lines {
        let label =
            line.rungs.first().map_or_else(String::new, |rung| rung.shown(rung.middle_pa_gauge, units));
        let has_rating = line.rungs.iter().any(|rung| rung.is_rating);
        // The pressure of the first stands beside the scale; others on the line carry their own.
        let names: Vec<String> = line
            .rungs
            .iter()
            .map(|rung| {
                let own = rung.shown(rung.middle_pa_gauge, units);
                let own = if own == label { String::new() } else { format!(" {own}") };
                format!("{}{}{own}", if tight(rung) { "! " } else { "" }, rung.name)
            })
            .collect();
        // Two on one line that stand in the wrong order are said to, as the line cannot show it.
        let on_line = |name: &str| {
            line.rungs
                .iter()
                .any(|rung| rung.name == name || (name == "cut-out and 10 %" && rung.name == "cut-out"))
        };
        let crossed: Vec<String> = order
            .gaps
            .iter()
            .filter(|gap| gap.room_pa < 0.0 && on_line(gap.lower) && on_line(gap.upper))
            .map(|gap| format!(" ({} must stand below {})", gap.lower, gap.upper))
            .collect();
        let axis = match (line.rungs.is_empty(), has_rating) {
            (true, _) => "|",
            (false, true) => "+==",
            (false, false) => "+--",
        };
        let fill = if has_rating { '=' } else { '-' };
        let bands: String = line
            .bands
            .iter()
            .map(|band| match (band, line.rungs.is_empty()) {
                (true, _) => '|',
                (false, true) => ' ',
                (false, false) => fill,
            })
            .collect();
        let text = format!("  {label:>11} {axis:<3}{bands} {}{}", names.join(", "), crossed.concat());
        let _ = writeln!(out, "{}", text.trim_end());
    }
    if scale.is_wide {
        out.push_str("  The scale is logarithmic.\n");
    }
    out
}

/// One line of the drawing.
#[derive(Default)]
struct Line<'a> {
    rungs: Vec<&'a RungRow>,
    bands: [bool; LANES],
}

struct Scale {
    lowest: f64,
    highest: f64,
    is_wide: bool,
}

impl Scale {
    /// The line of a pressure, counted from the top.
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        clippy::cast_precision_loss,
        reason = "a share of 30 lines, clamped to them"
    )]
    fn line(&self, pressure: f64) -> usize {
        let pressure = pressure.clamp(self.lowest, self.highest);
        let share = if self.is_wide {
            (self.highest / pressure).ln() / (self.highest / self.lowest).ln()
        } else {
            (self.highest - pressure) / (self.highest - self.lowest)
        };
        ((share * (LINES - 1) as f64).round() as usize).min(LINES - 1)
    }
}

/// Puts a pressure on its line, and its band on the first column that is free all along it.
fn place<'a>(rung: &'a RungRow, scale: &Scale, lines: &mut [Line<'a>]) {
    let (top, bottom) = (scale.line(rung.high_pa_gauge), scale.line(rung.low_pa_gauge));
    if bottom > top {
        let is_free = |lane: &usize| {
            lines
                .iter()
                .take(bottom + 1)
                .skip(top)
                .all(|line| line.bands.get(*lane).is_some_and(|taken| !taken))
        };
        if let Some(lane) = (0..LANES).find(is_free) {
            for line in lines.iter_mut().take(bottom + 1).skip(top) {
                if let Some(band) = line.bands.get_mut(lane) {
                    *band = true;
                }
            }
        }
    }
    if let Some(line) = lines.get_mut(scale.line(rung.middle_pa_gauge)) {
        line.rungs.push(rung);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rung(name: &'static str, bar: f64, half: f64) -> RungRow {
        RungRow {
            name,
            field: None,
            low_pa_gauge: (bar - half) * 1e5,
            middle_pa_gauge: bar * 1e5,
            high_pa_gauge: (bar + half) * 1e5,
            is_rating: name.ends_with("rating"),
        }
    }

    #[test]
    fn pressures_stand_in_their_order_on_a_straight_scale() {
        let order = Order {
            rungs: vec![
                rung("receiver rating", 12.0, 0.0),
                rung("cut-out", 10.0, 0.2),
                rung("set point", 5.5, 0.0),
                rung("load", 3.0, 0.0),
            ],
            gaps: Vec::new(),
        };
        let text = drawing(&order, UnitSystem::Metric);
        let line = |name: &str| text.lines().position(|line| line.contains(name)).unwrap();
        assert_eq!(text.lines().count(), LINES);
        // 9 bar over 29 steps: 12 bar on line 0, 10 on 6.4, 5.5 on 20.9, 3 on 29.
        assert_eq!(["receiver rating", "cut-out", "set point", "load"].map(line), [0, 6, 21, 29]);
        assert!(text.lines().next().unwrap().contains("12 bar +==="), "{text}");
    }

    #[test]
    fn nothing_to_draw_is_no_drawing() {
        assert_eq!(drawing(&Order::default(), UnitSystem::Metric), "");
    }

    #[test]
    fn two_on_one_line_that_cross_are_said_to() {
        let gap = crate::report::GapRow {
            lower: "set point",
            upper: "cut-in",
            room_pa: -0.05e5,
            verdict: "fail",
            wanted_pa: 0.0,
            margin: -0.009,
            advice: String::new(),
        };
        let order = Order {
            rungs: vec![
                rung("receiver rating", 12.0, 0.0),
                rung("set point", 5.5, 0.0),
                rung("cut-in", 5.45, 0.0),
                rung("load", 3.0, 0.0),
            ],
            gaps: vec![gap],
        };
        // 5.5 bar and 5.45 bar lie on lines 20.94 and 21.11 of 29.
        let text = drawing(&order, UnitSystem::Metric);
        assert!(
            text.contains("! set point, ! cut-in 5.45 bar (set point must stand below cut-in)"),
            "{text}"
        );
    }
}
