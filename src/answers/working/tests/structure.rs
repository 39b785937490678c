//! The steps of linkages, rods, frame and stand, done again as their formulas say.

use std::collections::BTreeMap;
use std::f64::consts::PI;

use super::*;
use crate::sizing::rod_column::Regime;

/// What a reader gets, and to which share of itself it must agree.
pub(super) fn by_hand(step: &Step, inputs: &BTreeMap<&str, f64>) -> Option<(f64, f64)> {
    let v = |symbol: &str| inputs[symbol];
    let or = |symbol: &str, default: f64| inputs.get(symbol).copied().unwrap_or(default);
    let has = |symbol: &str| inputs.contains_key(symbol);
    // Angles from cosines and small differences lose digits, as they do on paper.
    let near = |value: f64| Some((value, 1e-9));
    let exact = |value: f64| Some((value, 1e-12));
    match step.formula.topic {
        "lever" if has("p") => {
            let (p, f, length) = (v("p"), v("f"), v("L"));
            let gamma = ((p * p + f * f - length * length) / (2.0 * p * f)).acos();
            near(v("l") * v("theta").cos() * length / (p * f * gamma.sin()))
        }
        "lever" => near(v("l") * (v("theta").sin() - v("theta0").sin())),
        "folding-leg" => {
            let (a, b) = (v("a"), v("b"));
            let height = |kappa: f64| (a * a + b * b - 2.0 * a * b * kappa.cos() - v("e").powi(2)).sqrt();
            if has("kappa0") {
                return near(height(v("kappa")) - height(v("kappa0")));
            }
            let (c, d, length) = (v("c"), v("d"), v("L"));
            let psi = ((c * c + d * d - length * length) / (2.0 * c * d)).acos();
            near(a * b * v("kappa").sin() / height(v("kappa")) * length / (c * d * psi.sin()))
        }
        "scissor" if has("theta0") => near(v("n") * v("a") * (v("theta").sin() - v("theta0").sin())),
        "scissor" if has("v_x") => {
            let length = v("v_x").hypot(v("v_y"));
            let for_each_radian = (v("v_x") * v("w_x") + v("v_y") * v("w_y")) / length;
            near(v("n") * v("a") * v("theta").cos() / for_each_radian)
        }
        "scissor" => near(v("n") / v("theta").tan()),
        "lift-along-the-travel" if has("p_move") => {
            let area = FRAC_PI_4 * v("D").powi(2);
            let ring = area - FRAC_PI_4 * or("d", 0.0).powi(2);
            exact(v("N") * (area * v("p_move") * (1.0 - v("mu")) - ring * or("p_back", 0.0)))
        }
        "lift-along-the-travel" if has("F_end") => exact(v("F_avail") - v("F_end")),
        "lift-along-the-travel" => {
            let asked = (v("E_load") + v("E_arms")) / v("eta") + v("E_springs");
            let thrust = v("N") * FRAC_PI_4 * v("D").powi(2) * v("p_set");
            near((thrust * v("x_end") - asked).max(0.0))
        }
        // The work of the cylinders is a sum over the travel, what it is held to is heights alone.
        "work-balance" => near((v("E_load") + v("E_arms")) / v("eta")),
        "rod-column" if has("x_end") => exact(v("L_start") + v("x_end")),
        "rod-column" if has("P_crit") => exact(v("P_crit") / (FRAC_PI_4 * v("D").powi(2) * v("p"))),
        "rod-column" => {
            let second = PI / 64.0 * v("d").powi(4);
            let elastic =
                if has("P_E") { v("P_E") } else { PI * PI * v("E") * second / (v("K") * v("L")).powi(2) };
            let squash = FRAC_PI_4 * v("d").powi(2) * v("Sy");
            exact(if elastic <= squash / 2.0 { elastic } else { squash * (1.0 - squash / (4.0 * elastic)) })
        }
        "stepped-column" => near(stepped(inputs)),
        "section" => exact(second_moment(inputs)),
        "reinforcement" if has("A1") => {
            let (e1, e2) = (v("E1") * v("A1"), v("E2") * v("A2"));
            let middle = (e1 * v("y1") + e2 * v("y2")) / (e1 + e2);
            let part = |e: &str, i: &str, a: &str, y: &str| v(e) * (v(i) + v(a) * (v(y) - middle).powi(2));
            exact(part("E1", "I1", "A1", "y1") + part("E2", "I2", "A2", "y2"))
        }
        "reinforcement" => exact(v("E1") * v("I1") + or("E2", 0.0) * or("I2", 0.0)),
        "beam" if has("sigma") => exact(v("sigma") / v("Sy")),
        "beam" if has("M") => exact(v("M") * v("E") * v("c") / v("EI")),
        "beam" => {
            let (force, a, length, own) = (v("F"), v("a"), v("L"), or("W", 0.0));
            exact(
                v("phi")
                    * match inputs.get("b") {
                        Some(b) => force * a * b / length + own * a * b / (2.0 * length),
                        None => force * a + own * length / 2.0,
                    },
            )
        }
        "deflection" => Some((bent(step, inputs), 1e-10)),
        "net-height" if has("w_cyl") => near(v("x_end").min(v("s") - v("w_cyl"))),
        "net-height" => near(v("h") - v("take_up") - v("w_load") - v("sink")),
        "tipping" if has("restoring") => exact(v("restoring") / v("overturning")),
        "tipping" => {
            let (sin, cos) = v("theta").sin_cos();
            let masses = [(v("m_rig"), "d_rig", "h_rig"), (v("m_load"), "d_load", "h_load")];
            let sum = |each: &dyn Fn(&str, &str) -> f64| {
                masses.iter().map(|&(mass, d, h)| mass * each(d, h)).sum::<f64>() * G
            };
            if !has("h_rig") {
                return exact(cos * sum(&|d, _| v(d).max(0.0)));
            }
            let over = sin * sum(&|_, h| v(h)) + cos * sum(&|d, _| (-or(d, 0.0)).max(0.0));
            exact(over + v("F_side") * v("h_side"))
        }
        _ => joint_by_hand(step, inputs).map(|value| (value, 1e-12)),
    }
}

/// Links, pins and welds.
fn joint_by_hand(step: &Step, inputs: &BTreeMap<&str, f64>) -> Option<f64> {
    let v = |symbol: &str| inputs[symbol];
    let has = |symbol: &str| inputs.contains_key(symbol);
    let exact = Some::<f64>;
    match step.formula.topic {
        "slender-links" if has("T") => exact(v("n") * v("P_crit") / v("T")),
        "slender-links" => {
            let elastic = PI * PI * v("E") * v("I") / v("L").powi(2);
            let squash = v("A") * v("Sy");
            exact(if elastic <= squash / 2.0 { elastic } else { squash * (1.0 - squash / (4.0 * elastic)) })
        }
        "pin-and-weld" if has("p_most") => {
            let together = (3.0 * v("tau").powi(2) + v("sigma").powi(2)).sqrt() / v("Sy");
            exact(together.max(v("p_most") / v("Sy_least")))
        }
        "pin-and-weld" if has("c") => {
            let moment = v("F") / 8.0 * (v("b") + 4.0 * v("c") + 2.0 * v("a"));
            exact(32.0 * moment / (PI * v("d").powi(3)))
        }
        "pin-and-weld" if has("b") => exact(v("F") / (v("d") * v("b"))),
        "pin-and-weld" if has("a") => exact(v("F") / (2.0 * v("d") * v("a"))),
        "pin-and-weld" if has("d") => exact(v("F") / (PI / 2.0 * v("d").powi(2))),
        "pin-and-weld" if has("l_w") => exact(v("F_w") / (v("a_w") * v("l_w"))),
        "pin-and-weld" if has("fu") => exact(v("fu") / (3.0_f64.sqrt() * v("beta_w") * 1.25)),
        "pin-and-weld" => {
            let (width, height) = (v("B"), v("H"));
            let shear = v("V") / (2.0 * v("a_w") * (width + height));
            let bending = v("M_w") / (v("a_w") * (width * height + height * height / 3.0));
            exact(shear.hypot(bending))
        }
        _ => None,
    }
}

/// The first root of `k1 cot(k1 L1) + k2 cot(k2 L2)`, which falls from above zero to below it before either
/// `k L` reaches pi, by halving.
fn stepped(inputs: &BTreeMap<&str, f64>) -> f64 {
    let v = |symbol: &str| inputs[symbol];
    let tube = v("E1") * PI / 64.0 * (v("D1").powi(4) - (v("D1") - 2.0 * v("t")).powi(4));
    let rod = v("E2") * PI / 64.0 * v("d").powi(4);
    let alone = |stiffness: f64, length: f64| PI * PI * stiffness / (length * length);
    let (mut low, mut high) = (0.0, alone(tube, v("L1")).min(alone(rod, v("L2"))));
    for _ in 0..200 {
        let force = 0.5 * (low + high);
        let (k1, k2) = ((force / tube).sqrt(), (force / rod).sqrt());
        if k1 / (k1 * v("L1")).tan() + k2 / (k2 * v("L2")).tan() > 0.0 {
            low = force;
        } else {
            high = force;
        }
    }
    low
}

fn second_moment(inputs: &BTreeMap<&str, f64>) -> f64 {
    let v = |symbol: &str| inputs[symbol];
    let wall = inputs.get("t").copied();
    if inputs.contains_key("D") {
        let inner = wall.map_or(0.0, |wall| v("D") - 2.0 * wall);
        return PI / 64.0 * (v("D").powi(4) - inner.powi(4));
    }
    let rounded = |b: f64, h: f64, r: f64| {
        let corner = (1.0 - PI / 4.0) * r * r * h * h / 4.0 - (5.0 / 6.0 - PI / 4.0) * r.powi(3) * h
            + (1.0 - 5.0 * PI / 16.0) * r.powi(4);
        b * h.powi(3) / 12.0 - 4.0 * corner
    };
    match wall {
        Some(t) => rounded(v("b"), v("h"), v("R_o")) - rounded(v("b") - 2.0 * t, v("h") - 2.0 * t, v("R_i")),
        None => rounded(v("b"), v("h"), 0.0),
    }
}

fn bent(step: &Step, inputs: &BTreeMap<&str, f64>) -> f64 {
    let v = |symbol: &str| inputs[symbol];
    let (force, length, stiffness) = (v("F"), v("L"), v("EI"));
    let own = inputs.get("W").copied().unwrap_or(0.0);
    if let Some(e) = inputs.get("e") {
        let root = (length * length - e * e).powf(1.5);
        return force * e * root / (9.0 * 3.0_f64.sqrt() * stiffness * length);
    }
    let a = v("a");
    if let Some(b) = inputs.get("b") {
        return force * a * a * b * b / (3.0 * stiffness * length)
            + own * a * b * (length * length + a * b) / (24.0 * stiffness * length);
    }
    if step.figure.starts_with("greatest") {
        return force * a * a * (3.0 * length - a) / (6.0 * stiffness)
            + own * length.powi(3) / (8.0 * stiffness);
    }
    force * a.powi(3) / (3.0 * stiffness)
        + own * a * a * (6.0 * length * length - 4.0 * length * a + a * a) / (24.0 * stiffness * length)
}

fn figures(rig: &Rig) -> Vec<(String, f64)> {
    steps(rig).iter().map(|step| (step.figure.to_string(), result(step))).collect()
}

#[track_caller]
fn shown(rig: &Rig, figure: &str) -> f64 {
    figures(rig).into_iter().find(|(known, _)| known == figure).unwrap_or_else(|| panic!("no {figure}")).1
}

#[test]
fn the_sliding_scissor_by_pencil() {
    let rig = scissor_table();
    // analytic: arms at 20 deg, one stage: 1/tan(20 deg); 0.9 m (sin(end) - sin(20 deg)), the end where
    // 0.9 cos(end) = 0.9 cos(20 deg) - 0.4
    let start = 20.0_f64.to_radians();
    assert_relative_eq!(
        shown(&rig, "ratio of the linkage at the worst point"),
        1.0 / start.tan(),
        max_relative = 1e-9
    );
    let end = (start.cos() - 0.4 / 0.9).acos();
    assert_relative_eq!(shown(&rig, "height gained"), 0.9 * (end.sin() - start.sin()), max_relative = 1e-9);
}

#[test]
fn the_frame_of_the_tipper_by_pencil() {
    let rig = lever_tipper();
    // published: EN 10219-2, 50 x 50 x 3 cold formed, 19.5 cm4 to the printed digit
    assert_relative_eq!(shown(&rig, "second moment, fork"), 19.5e-8, epsilon = 0.05e-8);
    // (90 kg + 12 kg) g, all of it at the end of 0.4 m, factor 1.25, weight of the fork left out.
    let moment = 1.25 * 102.0 * G * 0.4;
    assert_relative_eq!(shown(&rig, "bending moment, fork"), moment, max_relative = 1e-12);
}

#[test]
fn every_kind_of_step_is_reached() {
    let all: Vec<String> = rigs().iter().flat_map(figures).map(|(figure, _)| figure).collect();
    for figure in [
        "ratio of the linkage at the worst point",
        "force available",
        "spare force at the end",
        "energy at the stop, at most",
        "work of the cylinders",
        "length of the rod column",
        "elastic critical force, tube and rod",
        "critical force of the rod",
        "safety of the rod at the set point",
        "safety of the rod, regulator stuck open",
        "second moment, fork",
        "bending stiffness, double rail",
        "stress, double rail",
        "yield ratio, stuffed tube",
        "deflection under the load, cross bar",
        "greatest deflection, cross bar",
        "greatest deflection, fork",
        "critical force of a link",
        "safety of the links",
        "shear stress of the pin, knee",
        "bending stress of the pin, knee",
        "greatest pressure on the plates, knee",
        "greatest pressure on the plates, eye",
        "stress over strength of the pin, knee",
        "stress in the throat, lug",
        "stress in the throat, root of the fork",
        "strength of the weld, lug",
        "travel left for the linkage",
        "net height",
        "restoring moment at the worst point",
        "overturning moment at the worst point",
        "stability",
    ] {
        assert!(all.iter().any(|known| known == figure), "{figure}");
    }
    let rigs_steps = || rigs().into_iter().flat_map(|rig| steps(&rig));
    let inputs = |figure: &str, symbol: &str| {
        rigs_steps()
            .any(|step| step.figure == figure && step.inputs.iter().any(|input| input.symbol == symbol))
    };
    assert!(inputs("overturning moment at the worst point", "d_load"), "a load that leans out");
    assert!(inputs("bending stiffness, double rail", "A2"));
    let apart = |step: &Step| {
        let of = |symbol| step.inputs.iter().find(|input| input.symbol == symbol).map(|input| input.value);
        step.formula.topic == "strokes-until-stall" && of("V_x") < of("V_s")
    };
    assert!(rigs_steps().any(|step| apart(&step)), "a stroke that is held up on its way");
    let johnson = |rig: &Rig| {
        let rod = evaluate(rig).unwrap().structure.rod;
        rod.is_some_and(|rod| rod.critical.regime == Regime::Johnson)
    };
    assert!(rigs().iter().any(johnson));
    let steps_down = evaluate(&rigs()[0]).unwrap().lift.worst;
    assert_relative_eq!(steps_down.travel.value, 0.21, max_relative = 1e-9); // take-up and 200 mm
    // Both ends built in: no closed form is shown, the stress is.
    assert!(all.iter().any(|figure| figure == "stress, sill"));
    assert!(!all.iter().any(|figure| figure == "bending moment, sill"));
}

#[test]
fn the_working_of_a_bore_gives_the_bore() {
    for rig in rigs() {
        let answer = crate::answers::bore(&rig, |_| true).unwrap();
        let steps = bore_working(&rig, &answer).unwrap();
        assert_eq!(steps.is_empty(), answer.exact.is_none());
        for step in &steps {
            let (value, share) = super::by_hand(step).unwrap();
            assert_relative_eq!(value, result(step), max_relative = share);
        }
        if let (Some(exact), Some(last)) = (answer.exact, steps.last()) {
            assert_relative_eq!(result(last), exact.value);
        }
    }
}

#[test]
fn angles_are_shown_as_angles() {
    // analytic: the knee starts at 100 deg, kept in radians
    let angle = steps(&folding_riser())
        .iter()
        .flat_map(|step| step.inputs.clone())
        .find(|input| input.symbol == "kappa0")
        .unwrap();
    assert_eq!(angle.dimension, Dimension::Angle);
    assert_relative_eq!(angle.value, 100.0_f64.to_radians(), max_relative = 1e-12);
}
