//! A smooth function of one variable from a few of its values.

/// Places of the values, in even steps.
const PLACES: [f64; 9] = [0.0, 1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0];
const LAST: f64 = 8.0;

/// The polynomial through nine values at even steps, by forward differences.
///
/// Source: Newton's formula, Abramowitz and Stegun (1964), 25.2.28.
#[derive(Debug, Clone, Copy)]
pub(super) struct Curve {
    from: (f64, f64),
    to: (f64, f64),
    /// The differences, each over the factorial of its order.
    differences: [f64; 9],
    /// Greatest second difference.
    bend: f64,
    /// Greatest of the last difference and a tenth of the one before.
    left: f64,
}

impl Curve {
    /// Through a `function` between `from` and `to`.
    pub(super) fn through(from: f64, to: f64, function: impl Fn(f64) -> f64) -> Self {
        let at = |place: f64| if place < LAST { from + (to - from) * (place / LAST) } else { to };
        let values = PLACES.map(|place| function(at(place)));
        let [first, .., last] = values;
        let bends = values.windows(3).map(|three| match three {
            [one, two, three] => (one - 2.0 * two + three).abs(),
            _ => 0.0,
        });
        let bend = bends.fold(0.0, f64::max);
        let mut row = values;
        let (mut factorial, mut before, mut left) = (1.0, 0.0, 0.0_f64);
        let differences = PLACES.map(|order| {
            let [difference, ..] = row;
            let after = row;
            for (one, next) in row.iter_mut().zip(after.into_iter().skip(1)) {
                *one = next - *one;
            }
            factorial *= order.max(1.0);
            left = difference.abs().max(0.1 * before);
            before = difference.abs();
            difference / factorial
        });
        Self { from: (from, first), to: (to, last), differences, bend, left }
    }

    /// Whether the curve is off by less than `allowed` in between: the next difference, of which a seventieth
    /// counts at most, is as a rule smaller than the last.
    pub(super) fn is_within(&self, allowed: f64) -> bool {
        self.left <= 10.0 * allowed
    }

    /// The two ends and the values there.
    pub(super) fn ends(&self) -> ((f64, f64), (f64, f64)) {
        (self.from, self.to)
    }

    /// Even points after the start up to and with the end, so many that a line between two of them is off by no
    /// more than `allowed`, but at most `most`.
    pub(super) fn points(&self, allowed: f64, most: u32) -> impl Iterator<Item = (f64, f64)> {
        /// Half as much again for a bend that grows beyond those seen.
        const SPARE: f64 = 1.5;
        // A line over one step is off by an eighth of the second difference, over a part by its square.
        let steps = LAST * (SPARE * 0.125 * self.bend / allowed).sqrt();
        let count = steps.ceil().max(2.0).min(f64::from(most));
        let each = LAST / count;
        let width = (self.to.0 - self.from.0) / count;
        let inner = std::iter::successors(Some(1.0), |number| Some(number + 1.0))
            .take_while(move |&number| number < count)
            .map(move |number| (self.from.0 + width * number, self.at_step(each * number)));
        inner.chain([self.to])
    }

    /// Value at a place counted in steps.
    fn at_step(&self, steps: f64) -> f64 {
        let terms = self.differences.iter().zip(PLACES).rev();
        terms.fold(0.0, |sum, (difference, order)| sum * (steps - order) + difference)
    }
}

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;

    use super::*;

    fn at(curve: &Curve, place: f64) -> f64 {
        curve.at_step(LAST * (place - curve.from.0) / (curve.to.0 - curve.from.0))
    }

    #[test]
    fn a_smooth_function_is_met_as_closely_as_said() {
        let curve = Curve::through(1.0, 1.5, f64::exp);
        assert!(curve.is_within(1e-9) && !Curve::through(1.0, 9.0, f64::exp).is_within(1e-4));
        assert_eq!(curve.ends(), ((1.0, 1.0_f64.exp()), (1.5, 1.5_f64.exp())));
        for place in (0..=100).map(|step| 1.0 + 0.005 * f64::from(step)) {
            assert_relative_eq!(at(&curve, place), place.exp(), epsilon = 1e-10);
        }
    }

    #[test]
    fn lines_between_points_are_as_close_as_said() {
        let curve = Curve::through(1.0, 1.5, f64::exp);
        let points: Vec<_> = std::iter::once((1.0, 1.0_f64.exp())).chain(curve.points(1e-6, 1000)).collect();
        // analytic: 0.5 sqrt(e^1.5 / 8e-6) = 374 lines would just do
        assert!(points.len() > 375 && points.len() < 500, "{}", points.len());
        assert_eq!(points.last(), Some(&(1.5, 1.5_f64.exp())));
        for pair in points.windows(2) {
            let (one, two) = (pair[0], pair[1]);
            assert!(one.0 < two.0);
            let off = (0.5 * (one.0 + two.0)).exp() - 0.5 * (one.1 + two.1);
            assert!(off.abs() <= 1e-6, "{off}");
        }
        assert_eq!(curve.points(1e-12, 50).count(), 50);
        assert_eq!(Curve::through(0.0, 1.0, |_| 0.0).points(0.0, 50).count(), 2);
    }

    #[test]
    fn a_polynomial_of_its_order_is_met_everywhere() {
        let eighth = |x: f64| ((x * x - 3.0) * x + 2.0) * x.powi(5) - x;
        let curve = Curve::through(-1.0, 2.0, eighth);
        for place in [-1.0, -0.9, 0.3, 1.234, 2.0] {
            assert_relative_eq!(at(&curve, place), eighth(place), epsilon = 1e-10);
        }
    }
}
