//! One step of an ordinary differential equation, by two methods of our own make, and the interpolation
//! within it.
//!
//! The state is an array of `N` numbers in SI units. The first [`CORE`] of them drive everything; the rest
//! (time and ledgers) only add up, which the stiff method uses.
//!
//! * [`Method::Explicit`]: Dormand and Prince 5(4) with their fourth-order dense output. Source: Dormand and
//!   Prince, J. Comp. Appl. Math. 6, 19 (1980); dense output: Hairer, Noersett, Wanner, Solving Ordinary
//!   Differential Equations I, section II.6.
//! * [`Method::Stiff`]: the linearly implicit method of Kaps and Rentrop with the parameters of Shampine,
//!   order 4(3). Source: Shampine, ACM Trans. Math. Softw. 8, 93 (1982).
//!
//! A small hose behind a wide valve reaches its balance within microseconds and then rests for an hour. An
//! explicit method would have to go on in microseconds; the other one does not. Both keep every linear
//! invariant of the system to rounding, so that a ledger of mass or energy is never better or worse than the
//! bookkeeping of the right-hand side.

#![allow(
    clippy::indexing_slicing,
    reason = "arrays of fixed length with indices bounded by constants; checked access would cost the loop"
)]

use super::state::{CORE, STATES, State};
use crate::rehearsal::state;

/// How a step is taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Method {
    /// Dormand-Prince 5(4).
    Explicit,
    /// Kaps-Rentrop-Shampine 4(3).
    Stiff,
}

impl Method {
    /// Order with which the estimated error of a step falls.
    pub(super) const fn error_order(self) -> f64 {
        match self {
            Self::Explicit => 5.0,
            Self::Stiff => 4.0,
        }
    }
}

/// A right-hand side.
pub(super) trait Rates {
    /// Rates of change; they do not depend on the states from [`CORE`] on.
    fn rates(&self, state: &State) -> State;
    /// Whether a core state has any part in the rates.
    fn drives(&self, index: usize) -> bool;
}

/// A step taken, with all that is needed to look into it.
#[derive(Debug, Clone)]
pub(super) struct Step {
    /// Width in the independent variable.
    pub(super) width: f64,
    /// State at its end.
    pub(super) end: State,
    /// Rates at its end.
    pub(super) end_rates: State,
    /// Estimated error of each state.
    pub(super) error: State,
    /// Estimate of `width * (largest rate of decay)`.
    pub(super) stiffness: f64,
    dense: [State; 5],
}

/// `sum + factor * term`, element by element.
fn add(sum: &mut State, factor: f64, term: &State) {
    for (sum, term) in sum.iter_mut().zip(term) {
        *sum += factor * *term;
    }
}

fn combine(start: &State, width: f64, terms: &[(f64, &State)]) -> State {
    let mut sum = *start;
    for (factor, term) in terms {
        add(&mut sum, width * factor, term);
    }
    sum
}

impl Step {
    /// Takes a step of `width` from `start`, where the rates are `rates`.
    pub(super) fn take(
        system: &impl Rates,
        method: Method,
        start: &State,
        rates: &State,
        width: f64,
        scale: &State,
    ) -> Self {
        match method {
            Method::Explicit => explicit(system, start, rates, width),
            Method::Stiff => stiff(system, start, rates, width, scale),
        }
    }

    /// The state at a share `share` (0 to 1) of the step.
    pub(super) fn at(&self, share: f64) -> State {
        let rest = 1.0 - share;
        let mut state = [0.0; STATES];
        for (index, value) in state.iter_mut().enumerate() {
            let d = |order: usize| self.dense[order][index];
            *value = d(0) + share * (d(1) + rest * (d(2) + share * (d(3) + rest * d(4))));
        }
        state
    }

    /// One number of [`at`](Self::at).
    pub(super) fn one_at(&self, share: f64, index: usize) -> f64 {
        let rest = 1.0 - share;
        let d = |order: usize| self.dense[order][index];
        d(0) + share * (d(1) + rest * (d(2) + share * (d(3) + rest * d(4))))
    }
}

fn explicit(system: &impl Rates, start: &State, k1: &State, h: f64) -> Step {
    const A21: f64 = 1.0 / 5.0;
    const A3: [f64; 2] = [3.0 / 40.0, 9.0 / 40.0];
    const A4: [f64; 3] = [44.0 / 45.0, -56.0 / 15.0, 32.0 / 9.0];
    const A5: [f64; 4] = [19_372.0 / 6_561.0, -25_360.0 / 2_187.0, 64_448.0 / 6_561.0, -212.0 / 729.0];
    const A6: [f64; 5] =
        [9_017.0 / 3_168.0, -355.0 / 33.0, 46_732.0 / 5_247.0, 49.0 / 176.0, -5_103.0 / 18_656.0];
    const B: [f64; 5] = [35.0 / 384.0, 500.0 / 1_113.0, 125.0 / 192.0, -2_187.0 / 6_784.0, 11.0 / 84.0];
    const E: [f64; 6] =
        [71.0 / 57_600.0, -71.0 / 16_695.0, 71.0 / 1_920.0, -17_253.0 / 339_200.0, 22.0 / 525.0, -1.0 / 40.0];
    const D: [f64; 6] = [
        -12_715_105_075.0 / 11_282_082_432.0,
        87_487_479_700.0 / 32_700_410_799.0,
        -10_690_763_975.0 / 1_880_347_072.0,
        701_980_252_875.0 / 199_316_789_632.0,
        -1_453_857_185.0 / 822_651_844.0,
        69_997_945.0 / 29_380_423.0,
    ];
    let k2 = system.rates(&combine(start, h, &[(A21, k1)]));
    let k3 = system.rates(&combine(start, h, &[(A3[0], k1), (A3[1], &k2)]));
    let k4 = system.rates(&combine(start, h, &[(A4[0], k1), (A4[1], &k2), (A4[2], &k3)]));
    let k5 = system.rates(&combine(start, h, &[(A5[0], k1), (A5[1], &k2), (A5[2], &k3), (A5[3], &k4)]));
    let before_end =
        combine(start, h, &[(A6[0], k1), (A6[1], &k2), (A6[2], &k3), (A6[3], &k4), (A6[4], &k5)]);
    let k6 = system.rates(&before_end);
    let end = combine(start, h, &[(B[0], k1), (B[1], &k3), (B[2], &k4), (B[3], &k5), (B[4], &k6)]);
    let k7 = system.rates(&end);
    let zero = [0.0; STATES];
    let error =
        combine(&zero, h, &[(E[0], k1), (E[1], &k3), (E[2], &k4), (E[3], &k5), (E[4], &k6), (E[5], &k7)]);
    // The sixth stage lies at the same time as the end: how far their rates differ for how far the states
    // differ tells the fastest decay.
    let (mut numerator, mut denominator) = (0.0_f64, 0.0_f64);
    for index in 0..CORE {
        let size = end[index].abs().max(f64::MIN_POSITIVE);
        numerator += ((k7[index] - k6[index]) / size).powi(2);
        denominator += ((end[index] - before_end[index]) / size).powi(2);
    }
    let stiffness = if denominator > 0.0 { h * (numerator / denominator).sqrt() } else { 0.0 };
    let mut dense = cubic((start, k1), (&end, &k7), h);
    for index in 0..STATES {
        dense[4][index] = h
            * (D[0] * k1[index]
                + D[1] * k3[index]
                + D[2] * k4[index]
                + D[3] * k5[index]
                + D[4] * k6[index]
                + D[5] * k7[index]);
    }
    Step { width: h, end, end_rates: k7, error, stiffness, dense }
}

/// The cubic through the states and rates of both ends of a step of width `h`, in the terms of a dense output.
fn cubic((start, rates): (&State, &State), (end, end_rates): (&State, &State), h: f64) -> [State; 5] {
    let zero = [0.0; STATES];
    let mut dense = [*start, zero, zero, zero, zero];
    for index in 0..STATES {
        let rise = end[index] - start[index];
        let bend = h * rates[index] - rise;
        dense[1][index] = rise;
        dense[2][index] = bend;
        dense[3][index] = rise - h * end_rates[index] - bend;
    }
    dense
}

/// Rates by the core states, by differences.
fn slopes(system: &impl Rates, start: &State, rates: &State, scale: &State) -> [State; CORE] {
    // Square root of the rounding unit, the usual compromise between truncation and rounding.
    const SHIFT: f64 = 1.5e-8;
    let mut slopes = [[0.0; STATES]; CORE];
    for (index, column) in slopes.iter_mut().enumerate() {
        if !system.drives(index) {
            continue;
        }
        let mut moved = *start;
        moved[index] += SHIFT * start[index].abs().max(1e-3 * scale[index]);
        let shift = moved[index] - start[index];
        if shift > 0.0 {
            let there = system.rates(&moved);
            for row in 0..STATES {
                column[row] = (there[row] - rates[row]) / shift;
            }
        }
    }
    slopes
}

/// A factored square matrix of the size of the core.
struct Factored {
    rows: [[f64; CORE]; CORE],
    order: [usize; CORE],
}

impl Factored {
    /// Gaussian elimination with pivots from the column. A pivot of zero cannot come about for a small
    /// enough step; the numbers that follow are then not finite and the step is refused.
    fn new(mut rows: [[f64; CORE]; CORE]) -> Self {
        let mut order = [0; CORE];
        for column in 0..CORE {
            let mut pivot = column;
            for row in column + 1..CORE {
                if rows[row][column].abs() > rows[pivot][column].abs() {
                    pivot = row;
                }
            }
            rows.swap(column, pivot);
            order[column] = pivot;
            let head = rows[column];
            for row in rows.iter_mut().skip(column + 1) {
                let factor = row[column] / head[column];
                row[column] = factor;
                for index in column + 1..CORE {
                    row[index] -= factor * head[index];
                }
            }
        }
        Self { rows, order }
    }

    fn solve(&self, right: &mut [f64; CORE]) {
        for column in 0..CORE {
            right.swap(column, self.order[column]);
        }
        for row in 1..CORE {
            for column in 0..row {
                right[row] -= self.rows[row][column] * right[column];
            }
        }
        for row in (0..CORE).rev() {
            for column in row + 1..CORE {
                right[row] -= self.rows[row][column] * right[column];
            }
            right[row] /= self.rows[row][row];
        }
    }
}

fn stiff(system: &impl Rates, start: &State, rates: &State, h: f64, scale: &State) -> Step {
    const GAMMA: f64 = 0.5;
    const A21: f64 = 2.0;
    const A31: f64 = 48.0 / 25.0;
    const A32: f64 = 6.0 / 25.0;
    const C21: f64 = -8.0;
    const C3: [f64; 2] = [372.0 / 25.0, 12.0 / 5.0];
    const C4: [f64; 3] = [-112.0 / 125.0, -54.0 / 125.0, -2.0 / 5.0];
    const B: [f64; 4] = [19.0 / 9.0, 0.5, 25.0 / 108.0, 125.0 / 108.0];
    const E: [f64; 3] = [17.0 / 54.0, 7.0 / 36.0, 125.0 / 108.0];
    let slopes = slopes(system, start, rates, scale);
    let mut matrix = [[0.0; CORE]; CORE];
    for (row, line) in matrix.iter_mut().enumerate() {
        for (column, value) in line.iter_mut().enumerate() {
            *value = -slopes[column][row];
        }
        line[row] += 1.0 / (GAMMA * h);
    }
    let factored = Factored::new(matrix);
    // Solves (1/(gamma h) - J) g = right; the states past the core have no column of their own in J.
    let solve = |right: &State| {
        let mut core = [0.0; CORE];
        core.copy_from_slice(&right[..CORE]);
        factored.solve(&mut core);
        let mut stage = [0.0; STATES];
        stage[..CORE].copy_from_slice(&core);
        for row in CORE..STATES {
            let mut value = right[row];
            for column in 0..CORE {
                value += slopes[column][row] * core[column];
            }
            stage[row] = GAMMA * h * value;
        }
        stage
    };
    let g1 = solve(rates);
    let second = system.rates(&combine(start, 1.0, &[(A21, &g1)]));
    let g2 = solve(&combine(&second, 1.0 / h, &[(C21, &g1)]));
    let third = system.rates(&combine(start, 1.0, &[(A31, &g1), (A32, &g2)]));
    let g3 = solve(&combine(&third, 1.0 / h, &[(C3[0], &g1), (C3[1], &g2)]));
    let g4 = solve(&combine(&third, 1.0 / h, &[(C4[0], &g1), (C4[1], &g2), (C4[2], &g3)]));
    let end = combine(start, 1.0, &[(B[0], &g1), (B[1], &g2), (B[2], &g3), (B[3], &g4)]);
    let zero = [0.0; STATES];
    let error = combine(&zero, 1.0, &[(E[0], &g1), (E[1], &g2), (E[2], &g4)]);
    let end_rates = system.rates(&end);
    let mut largest: f64 = 0.0;
    for (index, column) in slopes.iter().enumerate() {
        largest = largest.max(column[index].abs());
    }
    let dense = cubic((start, rates), (&end, &end_rates), h);
    Step { width: h, end, end_rates, error, stiffness: h * largest, dense }
}

/// States whose error is held.
const CONTROLLED: [usize; 10] = [0, 1, 2, 3, 4, 5, 6, state::TIME, state::PISTON_WORK, state::FRICTION];

/// Weighted size of an error: 1 where it just meets the tolerance. Not a number where a state is not one.
pub(super) fn size_of_error(error: &State, start: &State, end: &State, scale: &State, tolerance: f64) -> f64 {
    let mut sum = 0.0;
    for index in CONTROLLED {
        // Time and work count from a start of no meaning: only the scale measures them.
        let relative = if index >= state::TIME { 0.0 } else { start[index].abs().max(end[index].abs()) };
        let weight = tolerance * (relative + scale[index]);
        sum += (error[index] / weight).powi(2);
    }
    #[allow(clippy::cast_precision_loss, reason = "a handful")]
    let count = CONTROLLED.len() as f64;
    (sum / count).sqrt()
}
