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

use super::state::{CORE, HELD, STATES, State, TIME};

/// The numbers that drive.
type Core = [f64; CORE];

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
    /// Estimated error of each state whose error is held.
    pub(super) error: [f64; HELD],
    /// Estimate of `width * (largest rate of decay)`.
    pub(super) stiffness: f64,
    start: State,
    start_rates: State,
    /// Rates of stages three to six of the explicit method.
    inner_rates: Option<[State; 4]>,
}

/// Adds `sum factor_i * term_i` to the first numbers of a state, as many as `sum` has.
fn add<const COUNT: usize, const OF: usize, const TERMS: usize>(
    sum: &mut [f64; COUNT],
    factors: [f64; TERMS],
    terms: [&[f64; OF]; TERMS],
) {
    for (factor, term) in factors.iter().zip(terms) {
        for (sum, term) in sum.iter_mut().zip(term) {
            *sum += factor * term;
        }
    }
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
        std::array::from_fn(|index| self.one_at(share, index))
    }

    /// One number of [`at`](Self::at): the cubic through the states and rates of both ends, and for the explicit
    /// method the quartic on top of it.
    pub(super) fn one_at(&self, share: f64, index: usize) -> f64 {
        const D: [f64; 6] = [
            -12_715_105_075.0 / 11_282_082_432.0,
            87_487_479_700.0 / 32_700_410_799.0,
            -10_690_763_975.0 / 1_880_347_072.0,
            701_980_252_875.0 / 199_316_789_632.0,
            -1_453_857_185.0 / 822_651_844.0,
            69_997_945.0 / 29_380_423.0,
        ];
        let (first, last) = (self.start_rates[index], self.end_rates[index]);
        let rise = self.end[index] - self.start[index];
        let bend = self.width * first - rise;
        let twist = rise - self.width * last - bend;
        let quartic = self.inner_rates.as_ref().map_or(0.0, |[k3, k4, k5, k6]| {
            let inner = D[1] * k3[index] + D[2] * k4[index] + D[3] * k5[index] + D[4] * k6[index];
            self.width * (D[0] * first + inner + D[5] * last)
        });
        let rest = 1.0 - share;
        self.start[index] + share * (rise + rest * (bend + share * (twist + rest * quartic)))
    }
}

fn explicit(system: &impl Rates, start: &State, k1: &State, h: f64) -> Step {
    const A2: [f64; 1] = [1.0 / 5.0];
    const A3: [f64; 2] = [3.0 / 40.0, 9.0 / 40.0];
    const A4: [f64; 3] = [44.0 / 45.0, -56.0 / 15.0, 32.0 / 9.0];
    const A5: [f64; 4] = [19_372.0 / 6_561.0, -25_360.0 / 2_187.0, 64_448.0 / 6_561.0, -212.0 / 729.0];
    const A6: [f64; 5] =
        [9_017.0 / 3_168.0, -355.0 / 33.0, 46_732.0 / 5_247.0, 49.0 / 176.0, -5_103.0 / 18_656.0];
    const B: [f64; 5] = [35.0 / 384.0, 500.0 / 1_113.0, 125.0 / 192.0, -2_187.0 / 6_784.0, 11.0 / 84.0];
    const E: [f64; 6] =
        [71.0 / 57_600.0, -71.0 / 16_695.0, 71.0 / 1_920.0, -17_253.0 / 339_200.0, 22.0 / 525.0, -1.0 / 40.0];
    let k2 = system.rates(&stage(start, scaled(h, A2), [k1]));
    let k3 = system.rates(&stage(start, scaled(h, A3), [k1, &k2]));
    let k4 = system.rates(&stage(start, scaled(h, A4), [k1, &k2, &k3]));
    let k5 = system.rates(&stage(start, scaled(h, A5), [k1, &k2, &k3, &k4]));
    let before_end = stage(start, scaled(h, A6), [k1, &k2, &k3, &k4, &k5]);
    let k6 = system.rates(&before_end);
    let mut end = *start;
    add(&mut end, scaled(h, B), [k1, &k3, &k4, &k5, &k6]);
    let k7 = system.rates(&end);
    let mut error = [0.0; HELD];
    add(&mut error, scaled(h, E), [k1, &k3, &k4, &k5, &k6, &k7]);
    // The sixth stage lies at the same time as the end: how far their rates differ for how far the states
    // differ tells the fastest decay.
    let (mut numerator, mut denominator) = (0.0_f64, 0.0_f64);
    for index in 0..CORE {
        let share = 1.0 / end[index].abs().max(f64::MIN_POSITIVE);
        numerator += ((k7[index] - k6[index]) * share).powi(2);
        denominator += ((end[index] - before_end[index]) * share).powi(2);
    }
    let stiffness = if denominator > 0.0 { h * (numerator / denominator).sqrt() } else { 0.0 };
    let inner_rates = Some([k3, k4, k5, k6]);
    Step { width: h, end, end_rates: k7, error, stiffness, start: *start, start_rates: *k1, inner_rates }
}

/// Factors of a method, each times the width.
fn scaled<const TERMS: usize>(width: f64, factors: [f64; TERMS]) -> [f64; TERMS] {
    factors.map(|factor| width * factor)
}

/// The state of a stage: only its core has any part in its rates, so only the core is worked out and the rest is
/// left at zero.
fn stage<const OF: usize, const TERMS: usize>(
    start: &State,
    factors: [f64; TERMS],
    terms: [&[f64; OF]; TERMS],
) -> State {
    let mut core = core(start);
    add(&mut core, factors, terms);
    let mut state = [0.0; STATES];
    state[..CORE].copy_from_slice(&core);
    state
}

fn core(state: &State) -> Core {
    std::array::from_fn(|index| state[index])
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
            let inverse = 1.0 / shift;
            for row in 0..STATES {
                column[row] = (there[row] - rates[row]) * inverse;
            }
        }
    }
    slopes
}

/// A factored square matrix of the size of the core.
///
/// In the place of each pivot stands its inverse.
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
            let inverse = 1.0 / rows[column][column];
            rows[column][column] = inverse;
            let head = rows[column];
            for row in rows.iter_mut().skip(column + 1) {
                let factor = row[column] * inverse;
                row[column] = factor;
                for index in column + 1..CORE {
                    row[index] -= factor * head[index];
                }
            }
        }
        Self { rows, order }
    }

    fn solve(&self, mut right: Core) -> Core {
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
            right[row] *= self.rows[row][row];
        }
        right
    }
}

fn stiff(system: &impl Rates, start: &State, rates: &State, h: f64, scale: &State) -> Step {
    const GAMMA: f64 = 0.5;
    const A2: [f64; 1] = [2.0];
    const A3: [f64; 2] = [48.0 / 25.0, 6.0 / 25.0];
    const C2: [f64; 1] = [-8.0];
    const C3: [f64; 2] = [372.0 / 25.0, 12.0 / 5.0];
    const C4: [f64; 3] = [-112.0 / 125.0, -54.0 / 125.0, -2.0 / 5.0];
    const B: [f64; 4] = [19.0 / 9.0, 0.5, 25.0 / 108.0, 125.0 / 108.0];
    const E: [f64; 3] = [17.0 / 54.0, 7.0 / 36.0, 125.0 / 108.0];
    // States past the core have no column in J. With `g = gamma (h f + h J g_core + sum C g)` put into
    // `sum B g` and `sum E g`, these are the weights of each `h f + h J g_core`. The rates of the third stage
    // serve the fourth as well; the third has no weight of its own in the end.
    const B_PAST: [f64; 3] = [8.0 / 27.0, 1.0 / 8.0, 125.0 / 216.0];
    const E_PAST: [f64; 4] = [-8.0 / 27.0, -1.0 / 6.0, -25.0 / 216.0, 125.0 / 216.0];
    let slopes = slopes(system, start, rates, scale);
    let mut matrix = [[0.0; CORE]; CORE];
    for (row, line) in matrix.iter_mut().enumerate() {
        for (column, value) in line.iter_mut().enumerate() {
            *value = -slopes[column][row];
        }
        line[row] += 1.0 / (GAMMA * h);
    }
    let factored = Factored::new(matrix);
    let inverse = 1.0 / h;
    let g1 = factored.solve(core(rates));
    let second = system.rates(&stage(start, A2, [&g1]));
    let g2 = factored.solve(core(&stage(&second, scaled(inverse, C2), [&g1])));
    let third = system.rates(&stage(start, A3, [&g1, &g2]));
    let g3 = factored.solve(core(&stage(&third, scaled(inverse, C3), [&g1, &g2])));
    let g4 = factored.solve(core(&stage(&third, scaled(inverse, C4), [&g1, &g2, &g3])));
    let mut past = *start;
    add(&mut past, scaled(h, B_PAST), [rates, &second, &third]);
    let mut along = [0.0; CORE];
    add(&mut along, scaled(h, B_PAST), [&g1, &g2, &g4]);
    add(&mut past, along, slopes.each_ref());
    let mut end = stage(start, B, [&g1, &g2, &g3, &g4]);
    end[CORE..].copy_from_slice(&past[CORE..]);
    let [e1, e2, e3, e4] = E_PAST;
    let mut error = [0.0; HELD];
    add(&mut error, scaled(h, [e1, e2, e3 + e4]), [rates, &second, &third]);
    let mut along = [0.0; CORE];
    add(&mut along, scaled(h, E_PAST), [&g1, &g2, &g3, &g4]);
    add(&mut error, along, slopes.each_ref());
    let mut of_core = [0.0; CORE];
    add(&mut of_core, E, [&g1, &g2, &g4]);
    error[..CORE].copy_from_slice(&of_core);
    let end_rates = system.rates(&end);
    let mut largest: f64 = 0.0;
    for (index, column) in slopes.iter().enumerate() {
        largest = largest.max(column[index].abs());
    }
    Step {
        width: h,
        end,
        end_rates,
        error,
        stiffness: h * largest,
        start: *start,
        start_rates: *rates,
        inner_rates: None,
    }
}

/// Weighted size of an error: 1 where it just meets the tolerance. Not a number where a state is not one.
pub(super) fn size_of_error(
    error: &[f64; HELD],
    start: &State,
    end: &State,
    scale: &State,
    tolerance: f64,
) -> f64 {
    let mut sum = 0.0;
    for index in 0..HELD {
        // Time and work count from a start of no meaning: only the scale measures them.
        let relative = if index >= TIME { 0.0 } else { start[index].abs().max(end[index].abs()) };
        let weight = tolerance * (relative + scale[index]);
        sum += (error[index] / weight).powi(2);
    }
    #[allow(clippy::cast_precision_loss, reason = "a handful")]
    let count = HELD as f64;
    (sum / count).sqrt()
}
