//! Torsion of closed tubes.

use std::f64::consts::PI;

/// Torsion constant and modulus of a rectangular tube, raw m4 and m3.
///
/// `It = t3 h/3 + 2 K Ah`, `Ct = It/(t + K/t)`, with `Rc = (ro + ri)/2`, `h = 2((B - t) + (H - t)) - 2 Rc (4 - pi)`,
/// `Ah = (B - t)(H - t) - Rc2 (4 - pi)`, `K = 2 Ah t/h`.
///
/// Source: EN 10219-2:2006 and EN 10210-2:2006, annex B (formulas from memory; the printed It and Ct of
/// tubes in `tests/published/sections.rs` agree).
pub(super) fn rectangular(width: f64, height: f64, wall: f64, outer: f64, inner: f64) -> (f64, f64) {
    let radius = 0.5 * (outer + inner);
    let (level, upright) = (width - wall, height - wall);
    let perimeter = 2.0 * (level + upright) - 2.0 * radius * (4.0 - PI);
    let enclosed = level * upright - radius * radius * (4.0 - PI);
    let factor = 2.0 * enclosed * wall / perimeter;
    let constant = wall * wall * wall * perimeter / 3.0 + 2.0 * factor * enclosed;
    (constant, constant / (wall + factor / wall))
}
