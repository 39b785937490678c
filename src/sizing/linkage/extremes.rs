//! The highest point of a function of one variable.

/// Most local maxima that are followed up.
const MOST_FOLLOWED: usize = 4;

/// A place and the value there.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Peak {
    pub(super) at: f64,
    pub(super) value: f64,
}

impl Peak {
    /// The higher of two; the first where they differ by no more than rounding.
    pub(super) fn higher(self, other: Self) -> Self {
        let rounding = if self.value.is_finite() { 1e-13 * self.value.abs() } else { 0.0 };
        if other.value > self.value + rounding { other } else { self }
    }
}

/// Highest value of `function` between `from` and `to`: samples at `steps` even steps, then the best local
/// maxima by golden section. The place is good to about 1e-8 of the stretch and so the value, by its flat
/// top, to rounding. One step means that the highest value lies at an end.
pub(super) fn highest(from: f64, to: f64, steps: u32, function: impl Fn(f64) -> f64) -> Peak {
    let last = steps.max(1);
    let at =
        |step: u32| if step == last { to } else { from + (to - from) * f64::from(step) / f64::from(last) };
    let sample = |step: u32| Peak { at: at(step), value: function(at(step)) };
    let mut best = sample(0);
    let mut followed: Vec<(u32, f64)> = Vec::new();
    let (mut before, mut here) = (f64::NEG_INFINITY, best);
    for step in 0..=last {
        let after = if step < last { sample(step + 1) } else { Peak { at: to, value: f64::NEG_INFINITY } };
        best = best.higher(here);
        let stands_out = here.value > before || here.value > after.value;
        if here.value >= before && here.value >= after.value && stands_out && here.value.is_finite() {
            followed.push((step, here.value));
        }
        (before, here) = (here.value, after);
    }
    if last > 1 {
        followed.sort_by(|one, other| other.1.total_cmp(&one.1).then(one.0.cmp(&other.0)));
        for &(step, _) in followed.iter().take(MOST_FOLLOWED) {
            best = best.higher(golden(at(step.saturating_sub(1)), at((step + 1).min(last)), &function));
        }
    }
    best
}

/// Highest value of a smooth `function` between `from` and `to` for little work: samples at `steps` even steps,
/// then the top of the parabola through the highest and its neighbours. Both ends are looked at exactly; a
/// peak between them is met to the fourth power of the step.
pub(super) fn quickly_highest(from: f64, to: f64, steps: u32, function: impl Fn(f64) -> f64) -> Peak {
    let last = steps.max(1);
    let step = (to - from) / f64::from(last);
    let at = |number: u32| if number == last { to } else { from + step * f64::from(number) };
    let sample = |at: f64| Peak { at, value: function(at) };
    let (mut best, mut sides) = (sample(from), (f64::NAN, f64::NAN));
    let mut before = f64::NAN;
    let mut here = best;
    for number in 0..=last {
        let after = if number < last { sample(at(number + 1)) } else { Peak { at: to, value: f64::NAN } };
        if number == 0 || best.higher(here) != best {
            best = here;
            sides = (before, after.value);
        }
        (before, here) = (here.value, after);
    }
    let (left, right) = sides;
    let bend = left - 2.0 * best.value + right;
    let shift = 0.5 * (left - right) / bend;
    // Without a neighbour on either side, or on a level stretch, this is no number.
    if shift.abs() <= 1.0 { best.higher(sample(best.at + shift * step)) } else { best }
}

/// Golden-section search. Source: Kiefer (1953), Proc. Amer. Math. Soc. 4, 502.
fn golden(mut low: f64, mut high: f64, function: &impl Fn(f64) -> f64) -> Peak {
    const SHARE: f64 = 0.618_033_988_749_894_9;
    let sample = |at: f64| Peak { at, value: function(at) };
    let inner = |low: f64, high: f64| high - SHARE * (high - low);
    let outer = |low: f64, high: f64| low + SHARE * (high - low);
    let mut one = sample(inner(low, high));
    let mut two = sample(outer(low, high));
    for _ in 0..36 {
        if one.value >= two.value {
            high = two.at;
            two = one;
            one = sample(inner(low, high));
        } else {
            low = one.at;
            one = two;
            two = sample(outer(low, high));
        }
    }
    one.higher(two)
}

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;

    use super::*;

    #[test]
    fn the_highest_of_several_peaks_is_found() {
        // analytic: 3 sin(x) + sin(5 x) on 0..pi; its slope is zero at pi/2, where both sines are 1
        let peak = highest(0.0, std::f64::consts::PI, 64, |x| 3.0 * x.sin() + (5.0 * x).sin());
        assert_relative_eq!(peak.value, 4.0, max_relative = 1e-14);
        assert_relative_eq!(peak.at, std::f64::consts::FRAC_PI_2, max_relative = 1e-7);
    }

    #[test]
    fn a_quick_look_meets_a_smooth_peak() {
        // analytic: the sine is 1 at pi/2, which no step of 0.125 meets
        let peak = quickly_highest(0.0, 3.0, 24, f64::sin);
        assert_relative_eq!(peak.value, 1.0, max_relative = 1e-9);
        assert_relative_eq!(peak.at, std::f64::consts::FRAC_PI_2, max_relative = 1e-4);
        assert_relative_eq!(quickly_highest(1.0, 3.0, 24, |x| -x).at, 1.0);
        assert_relative_eq!(quickly_highest(1.0, 3.0, 24, |x| x).value, 3.0);
        assert_relative_eq!(quickly_highest(1.0, 3.0, 24, |_| 7.0).at, 1.0);
        assert_relative_eq!(quickly_highest(1.0, 3.0, 1, |x| x).value, 3.0);
    }

    #[test]
    fn ends_and_level_stretches_count() {
        assert_relative_eq!(highest(1.0, 3.0, 64, |x| -x).at, 1.0);
        assert_relative_eq!(highest(1.0, 3.0, 64, |x| x).at, 3.0);
        assert_relative_eq!(highest(1.0, 3.0, 64, |_| 7.0).at, 1.0);
        assert_relative_eq!(highest(1.0, 3.0, 1, |x| x).value, 3.0);
    }

    #[test]
    fn a_peak_between_an_end_and_the_next_sample_is_found() {
        // analytic: parabola with its top at 0.003, within the first of 64 steps
        let peak = highest(0.0, 1.0, 64, |x| -(x - 0.003) * (x - 0.003));
        assert!(peak.value > -1e-15 && (peak.at - 0.003).abs() < 1e-8);
    }
}
