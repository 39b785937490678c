//! The equation of state itself: reduced Helmholtz energy of dry air and its derivatives.
//!
//! Everything here is dimensionless, in `delta = rho/rho_red` and `tau = T_red/T`. The coefficients are
//! those of Lemmon, Jacobsen, Penoncello and Friend, J. Phys. Chem. Ref. Data 29(3), 331 (2000), for air
//! as a pseudo-pure fluid, in the order of their publication.
//!
//! Residual part: `alpha_r = sum_k N_k delta^i_k tau^j_k exp(-delta^l_k)`, without the exponential where
//! `l_k = 0`. Terms that share `i` and `l` share one function of density, so the nineteen terms fold into
//! fourteen [`Row`] entries: a density row times a temperature row, summed.

/// Molar gas constant of the equation, J/(mol K).
const MOLAR_GAS_CONSTANT_J_PER_MOL_K: f64 = 8.314_51;
/// Molar mass of dry air, kg/mol.
const MOLAR_MASS_KG_PER_MOL: f64 = 0.028_965_46;
/// Reducing temperature (of the maxcondentherm), K.
pub(super) const REDUCING_TEMPERATURE_K: f64 = 132.6312;
/// Reducing density (of the maxcondentherm), mol/m3.
const REDUCING_DENSITY_MOL_PER_M3: f64 = 10_447.7;

/// Gas constant per mass, J/(kg K).
pub(crate) const GAS_CONSTANT_J_PER_KG_K: f64 = MOLAR_GAS_CONSTANT_J_PER_MOL_K / MOLAR_MASS_KG_PER_MOL;
/// Reducing density per volume, kg/m3.
pub(super) const REDUCING_DENSITY_KG_PER_M3: f64 = REDUCING_DENSITY_MOL_PER_M3 * MOLAR_MASS_KG_PER_MOL;

/// `N_k` of the residual part.
const N: [f64; 19] = [
    0.118_160_747_229,
    0.713_116_392_079,
    -1.618_241_920_67,
    0.071_414_017_897_1,
    -0.086_542_139_664_6,
    0.134_211_176_704,
    0.011_262_670_421_8,
    -0.042_053_322_884_2,
    0.034_900_843_198_2,
    0.000_164_957_183_186,
    -0.101_365_037_912,
    -0.173_813_690_970,
    -0.047_210_318_373_1,
    -0.012_252_355_425_3,
    -0.146_629_609_713,
    -0.031_605_587_982_1,
    0.000_233_594_806_142,
    0.014_828_789_197_8,
    -0.009_387_828_846_67,
];

/// `j_k`, exponents of `tau`.
const J: [f64; 19] =
    [0.0, 0.33, 1.01, 0.0, 0.0, 0.15, 0.0, 0.2, 0.35, 1.35, 1.6, 0.8, 0.95, 1.25, 3.6, 6.0, 3.25, 3.5, 15.0];

/// One number for each distinct function of density `delta^i exp(-delta^l)`, in the order of [`POWERS`].
pub(super) type Row = [f64; 14];

/// `i` of each row entry; the entries have `l` = 0 (five), 1 (four), 2 (three), 3 (two).
const POWERS: Row = [1.0, 2.0, 3.0, 4.0, 6.0, 1.0, 3.0, 5.0, 6.0, 1.0, 3.0, 11.0, 1.0, 3.0];

/// `N_1..N_13` of the ideal part.
const IDEAL: [f64; 13] = [
    6.057_194e-8,
    -2.102_747_69e-5,
    -1.588_607_16e-4,
    -13.841_928_076,
    17.275_266_575,
    -1.953_634_2e-4,
    2.490_888_032,
    0.791_309_509,
    0.212_236_768,
    -0.197_938_904,
    25.363_65,
    16.907_41,
    87.312_79,
];

/// A function with its first and second derivative, each multiplied by that power of the variable, so
/// that all three are of one kind: `f`, `x f'`, `x^2 f''`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Scaled<T> {
    pub(super) value: T,
    pub(super) first: T,
    pub(super) second: T,
}

/// Ideal part without its `ln delta`, with its derivatives in `tau`:
///
/// ```text
/// alpha_0 = sum_1..5 N_i tau^(i-4) + N_6 tau^1.5 + N_7 ln tau + N_8 ln(1 - exp(-N_11 tau))
///           + N_9 ln(1 - exp(-N_12 tau)) + N_10 ln(2/3 + exp(N_13 tau))
/// ```
pub(super) fn ideal(tau: f64, ln_tau: f64) -> Scaled<f64> {
    let inverse = tau.recip();
    let inverse_square = inverse * inverse;
    let [cube, square, reciprocal] =
        [IDEAL[0] * inverse_square * inverse, IDEAL[1] * inverse_square, IDEAL[2] * inverse];
    let linear = IDEAL[4] * tau;
    let three_halves = IDEAL[5] * tau * tau.sqrt();
    let slow = vibration(IDEAL[7], IDEAL[10] * tau);
    let fast = vibration(IDEAL[8], IDEAL[11] * tau);

    // ln(2/3 + exp(y)) as y + ln(1 + 2/3 exp(-y)), which cannot overflow.
    let y = IDEAL[12] * tau;
    let rest = 2.0 / 3.0 * (-y).exp();
    let share = (1.0 + rest).recip();

    Scaled {
        value: cube
            + square
            + reciprocal
            + IDEAL[3]
            + linear
            + three_halves
            + IDEAL[6] * ln_tau
            + slow.value
            + fast.value
            + IDEAL[9] * (y + rest.ln_1p()),
        first: -3.0 * cube - 2.0 * square - reciprocal
            + linear
            + 1.5 * three_halves
            + IDEAL[6]
            + slow.first
            + fast.first
            + IDEAL[9] * y * share,
        second: 12.0 * cube + 6.0 * square + 2.0 * reciprocal + 0.75 * three_halves - IDEAL[6]
            + slow.second
            + fast.second
            + IDEAL[9] * y * y * rest * share * share,
    }
}

/// `n ln(1 - exp(-x))` with `x` proportional to `tau`.
fn vibration(n: f64, x: f64) -> Scaled<f64> {
    let boltzmann = (-x).exp();
    let share = (1.0 - boltzmann).recip();
    Scaled {
        value: n * (-boltzmann).ln_1p(),
        first: n * x * boltzmann * share,
        second: -n * x * x * boltzmann * share * share,
    }
}

/// What the residual part has of temperature: `N_k tau^j_k` folded into a row, and its derivatives.
pub(super) fn temperature_rows(tau: f64, ln_tau: f64) -> Scaled<Row> {
    // The published exponents from four exponentials and two roots; products of few factors keep the
    // rounding at a few units in the last place.
    let to_001 = (0.01 * ln_tau).exp();
    let to_005 = (0.05 * ln_tau).exp();
    let to_020 = (0.2 * ln_tau).exp();
    let to_033 = (0.33 * ln_tau).exp();
    let to_050 = tau.sqrt();
    let to_025 = to_050.sqrt();
    let to_015 = to_005 * to_005 * to_005;
    let to_035 = to_020 * to_015;
    let to_040 = to_020 * to_020;
    let to_080 = to_040 * to_040;
    let to_2 = tau * tau;
    let to_3 = to_2 * tau;
    let to_6 = to_3 * to_3;
    let weights = [
        N[0],
        N[1] * to_033,
        N[2] * tau * to_001,
        N[3],
        N[4],
        N[5] * to_015,
        N[6],
        N[7] * to_020,
        N[8] * to_035,
        N[9] * tau * to_035,
        N[10] * to_080 * to_080,
        N[11] * to_080,
        N[12] * to_080 * to_015,
        N[13] * tau * to_025,
        N[14] * to_2 * to_080 * to_080,
        N[15] * to_6,
        N[16] * to_3 * to_025,
        N[17] * to_3 * to_050,
        N[18] * to_6 * to_6 * to_3,
    ];
    let (mut first, mut second) = (weights, weights);
    for ((first, second), j) in first.iter_mut().zip(&mut second).zip(J) {
        *first *= j;
        *second = *first * (j - 1.0);
    }
    Scaled { value: fold(weights), first: fold(first), second: fold(second) }
}

/// Adds the terms that share a function of density.
fn fold(terms: [f64; 19]) -> Row {
    let [a, b, c, d, e, f, g, h, i, j, k, l, m, n, o, p, q, r, s] = terms;
    [a + b + c, d, e + f, g + h + i, j, k, l, m, n, o, p, q, r, s]
}

/// What the residual part has of density: `delta^i exp(-delta^l)`, and its derivatives.
pub(super) fn density_rows(delta: f64) -> Scaled<Row> {
    let square = delta * delta;
    let cube = square * delta;
    let to_5 = cube * square;
    let to_6 = cube * cube;
    let [damp_1, damp_2, damp_3] = [(-delta).exp(), (-square).exp(), (-cube).exp()];
    let value = [
        delta,
        square,
        cube,
        square * square,
        to_6,
        delta * damp_1,
        cube * damp_1,
        to_5 * damp_1,
        to_6 * damp_1,
        delta * damp_2,
        cube * damp_2,
        to_6 * to_5 * damp_2,
        delta * damp_3,
        cube * damp_3,
    ];
    // delta d/dn of delta^i exp(-delta^l) is (i - m) times itself with m = l delta^l, and delta dm/ddelta = l m.
    let (m_1, m_2, m_3) = (delta, 2.0 * square, 3.0 * cube);
    let (n_1, n_2, n_3) = (m_1, 2.0 * m_2, 3.0 * m_3);
    let m = [0.0, 0.0, 0.0, 0.0, 0.0, m_1, m_1, m_1, m_1, m_2, m_2, m_2, m_3, m_3];
    let n = [0.0, 0.0, 0.0, 0.0, 0.0, n_1, n_1, n_1, n_1, n_2, n_2, n_2, n_3, n_3];
    let (mut first, mut second) = (value, value);
    for ((((first, second), i), m), n) in first.iter_mut().zip(&mut second).zip(POWERS).zip(m).zip(n) {
        let slope = i - m;
        *first *= slope;
        *second *= slope * (slope - 1.0) - n;
    }
    Scaled { value, first, second }
}

/// A density row times a temperature row, summed.
pub(super) fn sum(density: &Row, temperature: &Row) -> f64 {
    density.iter().zip(temperature).map(|(d, t)| d * t).sum()
}

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;

    use super::*;

    /// `i_k` and `l_k` as published.
    const I: [i32; 19] = [1, 1, 1, 2, 3, 3, 4, 4, 4, 6, 1, 3, 5, 6, 1, 3, 11, 1, 3];
    const L: [i32; 19] = [0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 1, 1, 1, 1, 2, 2, 2, 3, 3];

    /// The residual part written as the publication has it, one term after the other.
    fn as_published(delta: f64, tau: f64) -> f64 {
        (0..19)
            .map(|k| {
                let damping = if L[k] == 0 { 1.0 } else { (-delta.powi(L[k])).exp() };
                N[k] * delta.powi(I[k]) * tau.powf(J[k]) * damping
            })
            .sum()
    }

    fn folded(delta: f64, tau: f64) -> f64 {
        sum(&density_rows(delta).value, &temperature_rows(tau, tau.ln()).value)
    }

    const POINTS: [(f64, f64); 5] = [(0.01, 0.45), (0.3, 0.22), (0.9, 0.88), (1.7, 0.88), (2.4, 0.5)];

    #[test]
    fn folding_changes_nothing() {
        for (delta, tau) in POINTS {
            // Sums of nineteen terms of order one: a few units in the last place.
            assert_relative_eq!(
                folded(delta, tau),
                as_published(delta, tau),
                epsilon = 1e-14,
                max_relative = 1e-13
            );
        }
    }

    #[track_caller]
    fn assert_slope(exact: f64, low: f64, high: f64, step: f64) {
        // Central difference: truncation about step^2, rounding about 1e-16/step.
        assert_relative_eq!(exact, (high - low) / (2.0 * step), epsilon = 1e-8, max_relative = 1e-7);
    }

    #[test]
    fn derivatives_agree_with_differences() {
        let step = 1e-5;
        for (delta, tau) in POINTS {
            let density = density_rows(delta);
            let temperature = temperature_rows(tau, tau.ln());
            let row = |d: f64| density_rows(d);
            let column = |t: f64| temperature_rows(t, t.ln());
            let (below, above) = (row(delta - step * delta), row(delta + step * delta));
            let t = &temperature.value;
            assert_slope(sum(&density.first, t), sum(&below.value, t), sum(&above.value, t), step);
            // delta d/ddelta of (delta f') is delta f' + delta^2 f''
            let twice = sum(&density.first, t) + sum(&density.second, t);
            assert_slope(twice, sum(&below.first, t), sum(&above.first, t), step);

            let (below, above) = (column(tau - step * tau), column(tau + step * tau));
            let d = &density.value;
            assert_slope(sum(d, &temperature.first), sum(d, &below.value), sum(d, &above.value), step);
            let twice = sum(d, &temperature.first) + sum(d, &temperature.second);
            assert_slope(twice, sum(d, &below.first), sum(d, &above.first), step);

            let here = ideal(tau, tau.ln());
            let [below, above] = [tau - step * tau, tau + step * tau].map(|t| ideal(t, t.ln()));
            assert_slope(here.first, below.value, above.value, step);
            assert_slope(here.first + here.second, below.first, above.first, step);
        }
    }
}
