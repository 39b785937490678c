//! The methods by themselves, and the look-up of the load.

#![allow(clippy::indexing_slicing, clippy::cast_precision_loss, reason = "tests may fail by panic")]

use approx::assert_relative_eq;

use super::integrator::{Method, Rates, Step};
use super::state::{STATES, State, TIME};

/// Three problems with known solutions side by side: decay, a swing, and growth by time squared through the
/// swing; the ledger adds up the decay.
struct Known;

impl Rates for Known {
    fn drives(&self, _: usize) -> bool {
        true
    }

    fn rates(&self, state: &State) -> State {
        let mut rates = [0.0; STATES];
        rates[0] = -state[0];
        rates[1] = state[2];
        rates[2] = -state[1];
        // y = 1/(1 + t), not linear.
        rates[3] = -state[3] * state[3];
        rates[TIME] = 1.0;
        rates[TIME + 1] = state[0];
        rates
    }
}

fn start() -> State {
    let mut state = [0.0; STATES];
    (state[0], state[1], state[2], state[3]) = (1.0, 0.0, 1.0, 1.0);
    state
}

fn exact(time: f64) -> State {
    let mut state = [0.0; STATES];
    (state[0], state[1], state[2], state[3]) = ((-time).exp(), time.sin(), time.cos(), 1.0 / (1.0 + time));
    state[TIME] = time;
    state[TIME + 1] = 1.0 - (-time).exp();
    state
}

fn largest_error(state: &State, time: f64) -> f64 {
    state.iter().zip(&exact(time)).map(|(got, exact)| (got - exact).abs()).fold(0.0, f64::max)
}

/// Fixed steps up to 2 s; the largest error at the end, and within steps half way through each.
fn fixed(method: Method, steps: u32) -> (f64, f64) {
    let width = 2.0 / f64::from(steps);
    let (mut state, mut inside) = (start(), 0.0_f64);
    let scale = [1.0; STATES];
    for number in 0..steps {
        let rates = Known.rates(&state);
        let step = Step::take(&Known, method, &state, &rates, width, &scale);
        inside = inside.max(largest_error(&step.at(0.5), width * (f64::from(number) + 0.5)));
        state = step.end;
    }
    (largest_error(&state, 2.0), inside)
}

#[test]
fn error_falls_with_the_order_of_the_method() {
    // Halving the step divides the error by 2^5 and 2^4; measured on steps fine enough to be in that regime
    // and coarse enough to be above rounding. The cubic within stiff steps has order 4 too.
    for (method, order) in [(Method::Explicit, 5.0), (Method::Stiff, 4.0)] {
        let errors = [20, 40, 80].map(|steps| fixed(method, steps));
        for pair in errors.windows(2) {
            let observed = (pair[0].0 / pair[1].0).log2();
            assert!((observed - order).abs() < 0.35, "{method:?}: {observed}, {errors:?}");
            let observed = (pair[0].1 / pair[1].1).log2();
            assert!(observed > 3.6, "within steps, {method:?}: {observed}, {errors:?}");
        }
    }
}

#[test]
fn the_estimate_tells_the_size_of_the_error() {
    for method in [Method::Explicit, Method::Stiff] {
        let start = start();
        let step = Step::take(&Known, method, &start, &Known.rates(&start), 0.2, &[1.0; STATES]);
        let estimate = step.error.iter().fold(0.0_f64, |largest, error| largest.max(error.abs()));
        let error = largest_error(&step.end, 0.2);
        // The estimate is that of the lower order: above the error, but not by much more than 1/width.
        assert!(error < estimate && estimate < 1e3 * error, "{method:?}: {error} {estimate}");
    }
}

#[test]
fn a_step_keeps_what_is_linear() {
    // The ledger and what decays add up to what was there, to rounding, within a step as well.
    for method in [Method::Explicit, Method::Stiff] {
        let start = start();
        let step = Step::take(&Known, method, &start, &Known.rates(&start), 0.7, &[1.0; STATES]);
        for share in [0.0, 0.3, 0.9, 1.0] {
            let state = step.at(share);
            assert_relative_eq!(state[0] + state[TIME + 1], 1.0, epsilon = 1e-14);
            assert_relative_eq!(step.one_at(share, 1), state[1], epsilon = 0.0);
        }
        assert_relative_eq!(step.at(1.0)[1], step.end[1], epsilon = 1e-15);
    }
}

/// Decay a hundred thousand times faster than the step.
struct Fast;

impl Rates for Fast {
    fn drives(&self, index: usize) -> bool {
        index == 0
    }

    fn rates(&self, state: &State) -> State {
        let mut rates = [0.0; STATES];
        rates[0] = -1e5 * (state[0] - 1.0);
        rates
    }
}

#[test]
fn the_stiff_method_rests_where_the_explicit_one_cannot() {
    let scale = [1.0; STATES];
    let mut state = [0.0; STATES];
    for _ in 0..40 {
        state = Step::take(&Fast, Method::Stiff, &state, &Fast.rates(&state), 1.0, &scale).end;
    }
    // Each step divides what is left by three: 3^-40 is 1e-19.
    assert_relative_eq!(state[0], 1.0, epsilon = 1e-9);
    let step = Step::take(&Fast, Method::Explicit, &[0.0; STATES], &Fast.rates(&[0.0; STATES]), 1e-4, &scale);
    // Ten times the rate of decay by width: the estimate sees it within a factor of two.
    assert!(step.stiffness > 5.0 && step.stiffness < 20.0, "{}", step.stiffness);
}
