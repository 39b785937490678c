//! The load along the travel, tabled so that the loop can look it up in a few nanoseconds.

#![allow(
    clippy::indexing_slicing,
    reason = "every stretch has its cells and marks from `new`, and a look-up is clamped to them"
)]

use crate::sizing::linkage::{Linkage, Travel};

/// Cells of a stretch of a linkage whose ratio varies. The error of the cubic falls with the fourth power.
const CELLS: usize = 256;

/// Force that raises load and arms without loss, `W r + g sum m_i dh_i/dx`, on each stretch of the travel.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Course {
    stretches: Vec<Stretch>,
    /// Travel at which the motion ends.
    pub(super) end: f64,
    /// Return springs of all cylinders, N/m.
    pub(super) spring_rate: f64,
    /// Share of work that passes the linkage.
    pub(super) efficiency: f64,
    /// Largest force needed anywhere.
    pub(super) largest: f64,
}

#[derive(Debug, Clone, PartialEq)]
struct Stretch {
    from: f64,
    to: f64,
    cells: Vec<Cell>,
    cells_per_m: f64,
}

/// `value + slope u + ...` with `u` the distance from the start of the cell, and the work up to there.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Cell {
    from: f64,
    coefficients: [f64; 4],
    work: f64,
}

/// A force and its slope along the travel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Force {
    pub(super) value: f64,
    pub(super) slope: f64,
    /// What the linkage takes from the one who drives.
    pub(super) lost: f64,
}

impl Course {
    pub(super) fn new(travel: &Travel<'_>) -> Self {
        let spring_rate = travel.spring_rate();
        let efficiency = travel.efficiency();
        let mut work = 0.0;
        let mut stretches = Vec::new();
        let mut largest = 0.0_f64;
        let even = matches!(travel.linkage(), Linkage::Direct(_));
        for (index, (from, to)) in travel.smooth_stretches().into_iter().enumerate() {
            let count = if even { 4 } else { CELLS };
            #[allow(clippy::cast_precision_loss, reason = "a few hundred")]
            let width = (to - from) / count as f64;
            #[allow(clippy::cast_precision_loss, reason = "a few hundred")]
            let at = |node: usize| if node == count { to } else { from + width * node as f64 };
            let values: Vec<f64> = (0..=count).map(|node| travel.raising_force_on(index, at(node))).collect();
            let slopes: Vec<f64> = (0..=count).map(|node| slope(&values, node) / width).collect();
            let mut cells = Vec::with_capacity(count);
            for node in 0..count {
                let (start, end) = (values[node], values[node + 1]);
                let (left, right) = (slopes[node], slopes[node + 1]);
                let rise = (end - start) / width;
                let square = (3.0 * rise - 2.0 * left - right) / width;
                let cube = (left + right - 2.0 * rise) / (width * width);
                let cell = Cell { from: at(node), coefficients: [start, left, square, cube], work };
                work += cell.work_to(width);
                cells.push(cell);
                largest = largest.max(start.abs()).max(end.abs());
            }
            stretches.push(Stretch { from, to, cells, cells_per_m: 1.0 / width });
        }
        let end = stretches.last().map_or(0.0, |stretch| stretch.to);
        let largest = largest / efficiency + spring_rate * end;
        Self { stretches, end, spring_rate, efficiency, largest }
    }

    /// Stretches there are.
    pub(super) fn count(&self) -> usize {
        self.stretches.len()
    }

    /// Both ends of a stretch.
    pub(super) fn ends(&self, stretch: usize) -> (f64, f64) {
        let stretch = &self.stretches[stretch.min(self.stretches.len() - 1)];
        (stretch.from, stretch.to)
    }

    /// The stretches that lie inward and outward of a travel: two at a mark, else one and the same.
    pub(super) fn around(&self, travel: f64) -> (usize, usize) {
        let near = 1e-9 * self.end;
        let last = self.stretches.len() - 1;
        let inward = self.stretches.iter().position(|stretch| travel <= stretch.to + near).unwrap_or(last);
        let outward = self.stretches.iter().position(|stretch| travel < stretch.to - near).unwrap_or(last);
        (inward, outward)
    }

    fn cell(&self, stretch: usize, travel: f64) -> &Cell {
        let stretch = &self.stretches[stretch.min(self.stretches.len() - 1)];
        let place = (travel - stretch.from) * stretch.cells_per_m;
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped to the cells")]
        let index = place.max(0.0) as usize;
        &stretch.cells[index.min(stretch.cells.len() - 1)]
    }

    /// Force that raises load and arms without loss, by the law of one stretch.
    pub(super) fn raising(&self, stretch: usize, travel: f64) -> Force {
        let cell = self.cell(stretch, travel);
        let u = travel - cell.from;
        let [a, b, c, d] = cell.coefficients;
        Force { value: a + u * (b + u * (c + u * d)), slope: b + u * (2.0 * c + u * 3.0 * d), lost: 0.0 }
    }

    /// Force needed to move outward: load and arms over the efficiency, and the springs.
    ///
    /// Where the load drives (over centre), the linkage takes its share from it.
    pub(super) fn outward(&self, stretch: usize, travel: f64) -> Force {
        let force = self.raising(stretch, travel);
        let factor = if force.value >= 0.0 { 1.0 / self.efficiency } else { self.efficiency };
        self.with_spring(force, factor, travel)
    }

    /// Force with which load, arms and springs push the pistons back: what the linkage lets through.
    pub(super) fn inward(&self, stretch: usize, travel: f64) -> Force {
        let force = self.raising(stretch, travel);
        let factor = if force.value >= 0.0 { self.efficiency } else { 1.0 / self.efficiency };
        self.with_spring(force, factor, travel)
    }

    fn with_spring(&self, force: Force, factor: f64, travel: f64) -> Force {
        Force {
            value: factor * force.value + self.spring_rate * travel,
            slope: factor * force.slope + self.spring_rate,
            lost: (factor - 1.0).abs() * force.value.abs(),
        }
    }

    /// Work stored in load, arms and springs at a travel, from the start.
    pub(super) fn stored(&self, travel: f64) -> f64 {
        self.raised(travel) + 0.5 * self.spring_rate * travel * travel
    }

    /// Work on load and arms up to a travel.
    pub(super) fn raised(&self, travel: f64) -> f64 {
        let found = self.stretches.iter().position(|stretch| travel <= stretch.to);
        let cell = self.cell(found.unwrap_or(self.stretches.len() - 1), travel);
        cell.work + cell.work_to(travel - cell.from)
    }
}

impl Cell {
    fn work_to(&self, u: f64) -> f64 {
        let [a, b, c, d] = self.coefficients;
        u * (a + u * (b / 2.0 + u * (c / 3.0 + u * d / 4.0)))
    }
}

/// Slope by the node spacing, through five neighbouring values. There are at least five.
fn slope(values: &[f64], node: usize) -> f64 {
    const WEIGHTS: [[f64; 5]; 5] = [
        [-25.0, 48.0, -36.0, 16.0, -3.0],
        [-3.0, -10.0, 18.0, -6.0, 1.0],
        [1.0, -8.0, 0.0, 8.0, -1.0],
        [-1.0, 6.0, -18.0, 10.0, 3.0],
        [3.0, -16.0, 36.0, -48.0, 25.0],
    ];
    let first = node.saturating_sub(2).min(values.len() - 5);
    let weights = &WEIGHTS[node - first];
    weights.iter().zip(&values[first..]).map(|(weight, value)| weight * value).sum::<f64>() / 12.0
}
