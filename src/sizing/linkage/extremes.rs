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

/// Share of a step at which a function that falls away from an end is known to have its top there.
const BESIDE_THE_END: f64 = 1e-6;

/// Places at `steps` even steps, both ends among them.
pub(super) fn places(from: f64, to: f64, steps: u32) -> impl Iterator<Item = f64> {
    let last = steps.max(1);
    (0..=last).map(move |step| place(from, to, step, last))
}

fn place(from: f64, to: f64, step: u32, last: u32) -> f64 {
    if step == last { to } else { from + (to - from) * f64::from(step) / f64::from(last) }
}

/// Highest value of `function` between `from` and `to` with its `values` at the [`places`]: the best local maxima
/// are followed up by parabolas and golden sections. The place is good to about 1e-8 of the stretch and so the value, by its
/// flat top, to rounding. One step means that the highest value lies at an end.
pub(super) fn highest(from: f64, to: f64, values: &[f64], function: impl Fn(f64) -> f64) -> Peak {
    let last = u32::try_from(values.len()).unwrap_or(u32::MAX).saturating_sub(1).max(1);
    let at = |step: u32| place(from, to, step, last);
    let afters = values.iter().copied().skip(1).chain([f64::NEG_INFINITY]);
    let mut best = Peak { at: from, value: values.first().copied().unwrap_or(f64::NEG_INFINITY) };
    let mut followed: Vec<(u32, f64)> = Vec::new();
    let mut before = f64::NEG_INFINITY;
    for (step, (&value, after)) in (0..=last).zip(values.iter().zip(afters)) {
        best = best.higher(Peak { at: at(step), value });
        let stands_out = value > before || value > after;
        if value >= before && value >= after && stands_out && value.is_finite() {
            followed.push((step, value));
        }
        before = value;
    }
    if last > 1 {
        followed.sort_by(|one, other| other.1.total_cmp(&one.1).then(one.0.cmp(&other.0)));
        let beside = BESIDE_THE_END * (to - from) / f64::from(last);
        for &(step, value) in followed.iter().take(MOST_FOLLOWED) {
            let falls_away = match step {
                0 => function(from + beside) < value,
                _ if step == last => function(to - beside) < value,
                _ => false,
            };
            if !falls_away {
                best =
                    best.higher(top_between(at(step.saturating_sub(1)), at((step + 1).min(last)), &function));
            }
        }
    }
    best
}

/// Highest value of a smooth `function` between `from` and `to` for little work: its `values` at the [`places`],
/// then the top of the parabola through the highest and its neighbours. Both ends are looked at exactly; a peak
/// between them is met to the fourth power of the step.
pub(super) fn quickly_highest(from: f64, to: f64, values: &[f64], function: impl Fn(f64) -> f64) -> Peak {
    let last = u32::try_from(values.len()).unwrap_or(u32::MAX).saturating_sub(1).max(1);
    let mut best = Peak { at: from, value: f64::NEG_INFINITY };
    let mut sides = (f64::NAN, f64::NAN);
    let mut before = f64::NAN;
    let afters = values.iter().copied().skip(1).chain([f64::NAN]);
    for (step, (&value, after)) in (0..=last).zip(values.iter().zip(afters)) {
        let here = Peak { at: place(from, to, step, last), value };
        if best.higher(here) != best {
            best = here;
            sides = (before, after);
        }
        before = value;
    }
    let (left, right) = sides;
    let bend = left - 2.0 * best.value + right;
    let shift = 0.5 * (left - right) / bend;
    // Without a neighbour on either side, or on a level stretch, this is no number.
    if shift.abs() <= 1.0 {
        let at = best.at + shift * (to - from) / f64::from(last);
        best.higher(Peak { at, value: function(at) })
    } else {
        best
    }
}

/// Highest value of a function with one top between `low` and `high`: parabolas through the three best places,
/// golden sections where they do not help.
///
/// Source: Brent (1973), Algorithms for Minimization without Derivatives, chapter 5.
fn top_between(mut low: f64, mut high: f64, function: &impl Fn(f64) -> f64) -> Peak {
    /// Share of the width to which the place is found; the value, by its flat top, is then good to rounding.
    const WITHIN: f64 = 2e-8;
    /// The lesser part of a golden section.
    const GOLDEN: f64 = 0.381_966_011_250_105_1;
    const MOST_STEPS: u32 = 60;
    let sample = |at: f64| Peak { at, value: function(at) };
    let near = WITHIN * (high - low);
    let mut best = sample(low + GOLDEN * (high - low));
    // The next best places, once there are any.
    let (mut second, mut third): (Option<Peak>, Option<Peak>) = (None, None);
    let (mut step, mut step_before) = (0.0_f64, 0.0_f64);
    for _ in 0..MOST_STEPS {
        let middle = 0.5 * (low + high);
        if (best.at - middle).abs() <= 2.0 * near - 0.5 * (high - low) {
            break;
        }
        let golden = if best.at < middle { high - best.at } else { low - best.at };
        let parabola = second.zip(third).map_or(f64::NAN, |(second, third)| to_the_top(best, second, third));
        let helps = parabola.abs() < 0.5 * step_before.abs()
            && (low + 2.0 * near..=high - 2.0 * near).contains(&(best.at + parabola));
        (step_before, step) = if helps { (step, parabola) } else { (golden, GOLDEN * golden) };
        let here = sample(best.at + if step.abs() >= near { step } else { near.copysign(step) });
        if here.value >= best.value {
            if here.at < best.at {
                high = best.at;
            } else {
                low = best.at;
            }
            (third, second, best) = (second, Some(best), here);
        } else {
            if here.at < best.at {
                low = here.at;
            } else {
                high = here.at;
            }
            let beats = |known: Option<Peak>| known.is_none_or(|known| here.value >= known.value);
            if beats(second) {
                (third, second) = (second, Some(here));
            } else if beats(third) {
                third = Some(here);
            }
        }
    }
    best
}

/// From the best of three places to the top of the parabola through them; no number if they are in a line.
fn to_the_top(best: Peak, second: Peak, third: Peak) -> f64 {
    let (left, right) = (best.at - second.at, best.at - third.at);
    let (one, two) = (left * (best.value - third.value), right * (best.value - second.value));
    0.5 * (right * two - left * one) / (one - two)
}

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;

    use super::*;

    fn quickly_highest(from: f64, to: f64, steps: u32, function: impl Fn(f64) -> f64) -> Peak {
        let values: Vec<f64> = places(from, to, steps).map(&function).collect();
        super::quickly_highest(from, to, &values, function)
    }

    fn highest(from: f64, to: f64, steps: u32, function: impl Fn(f64) -> f64) -> Peak {
        let values: Vec<f64> = places(from, to, steps).map(&function).collect();
        super::highest(from, to, &values, function)
    }

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
