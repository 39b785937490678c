//! The flow into or out of cylinders against their pressure, without a search at each pressure.
//!
//! A flow through several elements is found by trial, and a path asks for it at hundreds of pressures. The other way
//! round, from the flow to the pressure, it takes one pass along the line. So the curve goes through points with a
//! given flow. While the line is choked, the flow is constant (into the cylinders) or in proportion to the pressure
//! (out of them); from that joint on to the pressure `p_end` at which it ends, it falls about as `w = ((p_end -
//! p)/(p_end - p_joint))^0.5`. What is left of it when it is divided by `w` is smooth, and a polynomial through a few
//! points meets it closely. Where it does not, as where an element turns laminar, the range is halved; what is left
//! over is solved at each pressure.

use std::f64::consts::PI;

use crate::air::flow::law::Law;
use crate::air::flow::series::{flow_from, inlet, mass_flow};

/// Relative error of a flow that is read from the curve.
const WITHIN: f64 = 1e-8;

/// Degrees that are tried.
const DEGREES: [usize; 2] = [8, 16];

/// Points of the highest degree.
const MOST_POINTS: usize = 17;

/// Halvings at most.
const HALVINGS: u32 = 8;

/// Share by which a flow is kept below the choked one to find where choking ends: enough for rounding.
const BELOW_CHOKED: f64 = 1e-12;

/// A flow in kg/s against the pressure of the cylinders in Pa.
#[derive(Debug)]
pub(crate) struct FlowCurve<F> {
    exact: F,
    shape: Option<Shape>,
}

/// Which way the air goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Course {
    /// In: choked up to the joint, at a constant flow.
    In,
    /// Out: choked from the joint on, at a flow in proportion to the pressure.
    Out,
}

/// Choked flow, joint and curves.
#[derive(Debug)]
struct Shape {
    course: Course,
    /// Choked flow at the joint.
    choked: f64,
    joint: f64,
    end: f64,
    curves: Vec<Curve>,
}

/// A polynomial through points, in barycentric form. Source: Berrut and Trefethen, SIAM Review 46(3), 2004.
#[derive(Debug, Clone, Copy)]
struct Curve {
    lowest: f64,
    highest: f64,
    degree: usize,
    points: [Point; MOST_POINTS],
}

#[derive(Debug, Clone, Copy, Default)]
struct Point {
    root: f64,
    value: f64,
    weight: f64,
}

impl<F: Fn(f64) -> f64> FlowCurve<F> {
    /// Flow into the cylinders, from a `source` whose pressure may fall with the flow, at pressures up to `highest`.
    /// `from_outlet` are the laws from the cylinders up; `exact` is the flow at a pressure.
    pub(crate) fn inwards<'a>(
        exact: F,
        from_outlet: &(impl DoubleEndedIterator<Item = &'a Law> + Clone),
        source: impl Fn(f64) -> f64,
        highest: f64,
        temperature: f64,
    ) -> Self {
        let end = source(0.0) - from_outlet.clone().map(Law::cracking).sum::<f64>();
        // Into a vacuum, or as good as one.
        let choked = flow_from(from_outlet, &source, 1e-6 * end.max(0.0), temperature);
        let pressure = |flow: f64| {
            from_outlet
                .clone()
                .rev()
                .try_fold(source(flow), |inlet, law| law.outlet(flow, inlet, temperature))
        };
        let joint = pressure(choked * (1.0 - BELOW_CHOKED));
        Self::new(exact, Course::In, (choked, joint), (end, highest), pressure)
    }

    /// Flow out of the cylinders through `laws`, from the cylinders on, into `outlet`, at pressures down to `lowest`.
    pub(crate) fn outwards(exact: F, laws: &[Law], outlet: f64, lowest: f64, temperature: f64) -> Self {
        // A cracking pressure does not grow with the pressures, so nothing is in proportion.
        if laws.iter().any(|law| law.cracking() > 0.0) {
            return Self { exact, shape: None };
        }
        let choked = mass_flow(laws, 1.0, 1e-6, temperature);
        let flow = choked * (1.0 - BELOW_CHOKED);
        let ratio = laws.iter().try_fold(1.0, |pressure, law| law.outlet(flow, pressure, temperature));
        let joint = ratio.map(|ratio| outlet / ratio);
        let pressure = |flow: f64| Some(inlet(laws.iter().rev(), flow, outlet, temperature));
        let choked = (choked * joint.unwrap_or(1.0), joint);
        Self::new(exact, Course::Out, choked, (outlet, lowest), pressure)
    }

    /// `pressure` is that at which a flow goes.
    fn new(
        exact: F,
        course: Course,
        (choked, joint): (f64, Option<f64>),
        (end, farthest): (f64, f64),
        pressure: impl Fn(f64) -> Option<f64>,
    ) -> Self {
        let is_sound = |joint: &f64| joint.is_finite() && *joint > 0.0 && choked > 0.0 && choked.is_finite();
        let Some(joint) = joint.filter(is_sound) else { return Self { exact, shape: None } };
        let mut shape = Shape { course, choked, joint, end, curves: Vec::new() };
        if shape.is_subsonic(farthest) {
            let most = choked * (1.0 - BELOW_CHOKED);
            shape.draw((exact(farthest), most), &pressure, HALVINGS);
        }
        Self { exact, shape: Some(shape) }
    }

    /// The flow at a pressure.
    pub(crate) fn at(&self, pressure: f64) -> f64 {
        self.shape.as_ref().and_then(|shape| shape.at(pressure)).unwrap_or_else(|| (self.exact)(pressure))
    }

    /// The pressure at which choking begins or ends, if it is known.
    pub(crate) fn joint(&self) -> Option<f64> {
        self.shape.as_ref().map(|shape| shape.joint)
    }
}

impl Shape {
    fn is_subsonic(&self, pressure: f64) -> bool {
        match self.course {
            Course::In => pressure > self.joint,
            Course::Out => pressure < self.joint,
        }
    }

    fn root(&self, pressure: f64) -> f64 {
        ((self.end - pressure) / (self.end - self.joint)).max(0.0).sqrt()
    }

    /// Flow at `root` if the choked law went on and fell as the root.
    fn guide(&self, root: f64, pressure: f64) -> f64 {
        match self.course {
            Course::In => self.choked * root,
            Course::Out => self.choked * root * pressure / self.joint,
        }
    }

    fn at(&self, pressure: f64) -> Option<f64> {
        if !self.is_subsonic(pressure) {
            return Some(self.guide(1.0, pressure));
        }
        let root = self.root(pressure);
        let curve = self.curves.iter().find(|curve| (curve.lowest..=curve.highest).contains(&root))?;
        Some(self.guide(root, pressure) * curve.at(root))
    }

    /// Draws curves between two flows, where polynomials meet them.
    fn draw(&mut self, (least, most): (f64, f64), pressure: &impl Fn(f64) -> Option<f64>, halvings: u32) {
        if !(least > 0.0 && least < most) {
            return;
        }
        let point = |place: usize, degree: usize| {
            #[allow(clippy::cast_precision_loss, reason = "a few dozen")]
            let angle = PI * place as f64 / degree as f64;
            let flow = 0.5 * (most + least) + 0.5 * (most - least) * angle.cos();
            let pressure = pressure(flow)?;
            let root = self.root(pressure);
            Some((root, flow / self.guide(root, pressure)))
        };
        let curve = DEGREES.into_iter().find_map(|degree| {
            let curve = Curve::through(degree, |place| point(place, degree))?;
            // Between the points: near either end, and in the middle.
            let is_met = [1, degree + 1, 2 * degree - 1].into_iter().all(|place| {
                point(place, 2 * degree)
                    .is_some_and(|(root, value)| (curve.at(root) - value).abs() <= WITHIN * value.abs())
            });
            is_met.then_some(curve)
        });
        if let Some(curve) = curve {
            self.curves.push(curve);
        } else if halvings > 0 {
            let middle = 0.5 * (least + most);
            self.draw((middle, most), pressure, halvings - 1);
            self.draw((least, middle), pressure, halvings - 1);
        }
    }
}

impl Curve {
    fn through(degree: usize, point: impl Fn(usize) -> Option<(f64, f64)>) -> Option<Self> {
        let mut points = [Point::default(); MOST_POINTS];
        for (place, slot) in points.iter_mut().enumerate().take(degree + 1) {
            let (root, value) = point(place)?;
            *slot = Point { root, value, weight: 1.0 };
        }
        let given = points;
        let (mut lowest, mut highest) = (f64::INFINITY, 0.0_f64);
        for one in given.iter().take(degree + 1) {
            (lowest, highest) = (lowest.min(one.root), highest.max(one.root));
        }
        // The distances in quarters of the width, so that their product neither over- nor underflows.
        let scale = 4.0 / (highest - lowest);
        for (place, one) in points.iter_mut().enumerate().take(degree + 1) {
            let others = given.iter().enumerate().take(degree + 1).filter(|(other, _)| *other != place);
            one.weight = others.map(|(_, other)| scale * (one.root - other.root)).product::<f64>().recip();
        }
        let is_sound = points.iter().all(|one| one.weight.is_finite() && one.value.is_finite());
        // A hair below, so that rounding leaves the farthest pressure inside.
        is_sound.then_some(Self { lowest: lowest * (1.0 - 1e-12), highest, degree, points })
    }

    fn at(&self, root: f64) -> f64 {
        let (mut above, mut below) = (0.0, 0.0);
        for point in self.points.iter().take(self.degree + 1) {
            let far = root - point.root;
            if far == 0.0 {
                return point.value;
            }
            let share = point.weight / far;
            above += share * point.value;
            below += share;
        }
        above / below
    }
}

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;

    use super::*;

    const TEMPERATURE: f64 = 290.0;

    fn laws(pairs: &[(f64, f64, f64)]) -> Vec<Law> {
        pairs.iter().map(|&(c, b, m)| Law::new(c * 1e-8, b, m, None)).collect()
    }

    const LINES: [&[(f64, f64, f64)]; 5] = [
        &[(2.1, 0.3, 0.5)],
        &[(2.1, 0.3, 0.5), (2.8, 0.41, 0.5)],
        &[(0.5, 0.3, 0.5), (2.8, 0.41, 0.5), (3.0, 0.5, 0.5)],
        &[(1.0, 0.2, 0.62), (1.1, 0.45, 0.45)],
        &[(3.0, 0.1, 0.5), (0.05, 0.5, 0.5)],
    ];

    /// The flow is the one that is solved at each pressure, here over the whole range of pressures.
    #[test]
    fn the_curve_in_is_the_flow() {
        for line in LINES {
            for fall in [0.0, 1.2e7] {
                let (laws, rest) = (laws(line), 6.5e5);
                let source = |flow: f64| rest - fall * flow;
                let exact = |pressure: f64| flow_from(&laws.iter().rev(), source, pressure, TEMPERATURE);
                for highest in [2e5, 4.5e5, 6e5, 6.4e5, 6.499e5] {
                    let curve = FlowCurve::inwards(exact, &laws.iter().rev(), source, highest, TEMPERATURE);
                    for step in 0..=200 {
                        let pressure = 1e5 + (highest - 1e5) * f64::from(step) / 200.0;
                        assert_relative_eq!(curve.at(pressure), exact(pressure), max_relative = 3e-8);
                    }
                }
            }
        }
    }

    #[test]
    fn the_curve_out_is_the_flow() {
        for line in LINES {
            let laws = laws(line);
            let exact = |pressure: f64| mass_flow(&laws, pressure, 0.98e5, TEMPERATURE);
            for lowest in [0.981e5, 1e5, 1.3e5, 2e5, 4e5] {
                let curve = FlowCurve::outwards(exact, &laws, 0.98e5, lowest, TEMPERATURE);
                for step in 0..=200 {
                    let pressure = lowest + (7e5 - lowest) * f64::from(step) / 200.0;
                    assert_relative_eq!(curve.at(pressure), exact(pressure), max_relative = 3e-8);
                }
            }
        }
    }

    /// analytic: of two alike of `b = 0.5` the second chokes, at 4/5 of the pressure, so the outlet may be 0.4 of it.
    #[test]
    fn the_joint_is_where_choking_ends() {
        let laws = laws(&[(1.0, 0.5, 0.5), (1.0, 0.5, 0.5)]);
        let exact = |pressure: f64| flow_from(&laws.iter().rev(), |_| 5e5, pressure, TEMPERATURE);
        let curve = FlowCurve::inwards(exact, &laws.iter().rev(), |_| 5e5, 4e5, TEMPERATURE);
        assert_relative_eq!(curve.joint().unwrap(), 2e5, max_relative = 1e-5);
        let out = FlowCurve::outwards(exact, &laws, 1e5, 1.2e5, TEMPERATURE);
        assert_relative_eq!(out.joint().unwrap(), 2.5e5, max_relative = 1e-5);
    }

    /// Solving is what takes the time.
    #[test]
    fn a_curve_takes_few_solutions() {
        let laws = laws(LINES[1]);
        let solved = std::cell::Cell::new(0);
        let exact = |pressure: f64| {
            solved.set(solved.get() + 1);
            flow_from(&laws.iter().rev(), |_| 6.5e5, pressure, TEMPERATURE)
        };
        let curve = FlowCurve::inwards(exact, &laws.iter().rev(), |_| 6.5e5, 5e5, TEMPERATURE);
        for step in 0..500 {
            curve.at(1e5 + 800.0 * f64::from(step));
        }
        assert!(solved.get() < 3, "{} solutions", solved.get());
    }
}
