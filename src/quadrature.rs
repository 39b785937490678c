//! Integrals along a line.

/// Abscissae and weights of the eight-point Gauss-Legendre rule on -1 to 1, the positive half.
/// Source: Abramowitz and Stegun, Handbook of Mathematical Functions, table 25.4.
pub(crate) const GAUSS_LEGENDRE_8: [(f64, f64); 4] = [
    (0.183_434_642_495_649_8, 0.362_683_783_378_362),
    (0.525_532_409_916_329, 0.313_706_645_877_887_3),
    (0.796_666_477_413_626_7, 0.222_381_034_453_374_48),
    (0.960_289_856_497_536_3, 0.101_228_536_290_376_26),
];

/// Halvings at most: each side of a joint or a singular end is then below 1e-12 of the whole.
const HALVINGS: u32 = 40;

/// Integral of `function` from `low` to `high`, to about the relative `tolerance`.
///
/// Halves the interval until the eight-point rule on the two halves agrees with that on the whole; joints
/// of the integrand are found that way. Ends are never evaluated, so an integrable pole there is allowed.
pub(crate) fn integral(function: &impl Fn(f64) -> f64, low: f64, high: f64, tolerance: f64) -> f64 {
    let whole = panel(function, low, high);
    refine(function, (low, high), whole, (tolerance, whole.abs()), HALVINGS)
}

fn refine(
    function: &impl Fn(f64) -> f64,
    (low, high): (f64, f64),
    whole: f64,
    (tolerance, size): (f64, f64),
    halvings: u32,
) -> f64 {
    let middle = 0.5 * (low + high);
    let (first, second) = (panel(function, low, middle), panel(function, middle, high));
    let halves = first + second;
    let size = size.max(halves.abs());
    if halvings == 0 || (halves - whole).abs() <= tolerance * size || !halves.is_finite() {
        return halves;
    }
    refine(function, (low, middle), first, (tolerance, size), halvings - 1)
        + refine(function, (middle, high), second, (tolerance, size), halvings - 1)
}

fn panel(function: &impl Fn(f64) -> f64, low: f64, high: f64) -> f64 {
    let (middle, half) = (0.5 * (low + high), 0.5 * (high - low));
    let pair =
        |(at, weight): (f64, f64)| weight * (function(middle - half * at) + function(middle + half * at));
    half * GAUSS_LEGENDRE_8.into_iter().map(pair).sum::<f64>()
}

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;

    use super::*;

    #[test]
    fn smooth_kinked_and_singular_integrands() {
        // analytic: e - 1; 0.3^2/2 + 0.7^2/2; 2
        assert_relative_eq!(integral(&f64::exp, 0.0, 1.0, 1e-12), 1.0_f64.exp() - 1.0, max_relative = 1e-14);
        assert_relative_eq!(integral(&|x| (x - 0.3).abs(), 0.0, 1.0, 1e-10), 0.29, max_relative = 1e-10);
        let pole = integral(&|x| 1.0 / (1.0 - x).sqrt(), 0.0, 1.0, 1e-10);
        assert_relative_eq!(pole, 2.0, max_relative = 1e-6);
    }
}
