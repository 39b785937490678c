//! The working shown is truly the working: each step is done again from its own inputs, in plain arithmetic,
//! with the constants that its formula names. Expected values are analytic throughout.

use std::collections::BTreeMap;
use std::f64::consts::FRAC_PI_4;

use approx::assert_relative_eq;

use super::*;
use crate::air::flow::{Conductance, Restriction};
use crate::answers::evaluate;
use crate::answers::sample::{
    bar, dough_tipper, folding_riser, hive_cart, inclined_scissor, lever_tipper, lever_tipper_up_to,
    scissor_table, stage_riser,
};
use crate::formulas::of_check;
use crate::rig::AirSource;
use crate::sizing::cylinder_force::Action;
use crate::sizing::tank_capacity::{EndPressure, Fitting, Way};
use uom::si::angle::degree;
use uom::si::f64::{Angle, Force, Ratio};
use uom::si::force::newton;

mod session;
mod structure;

const G: f64 = 9.806_65;

fn result(step: &Step) -> f64 {
    step.result.unwrap().0
}

fn steps(rig: &Rig) -> Vec<Step> {
    working(rig, &evaluate(rig).unwrap()).unwrap()
}

/// The rig with valves, and with limits that its times are held to.
fn with_valves(mut rig: Rig) -> Rig {
    let valve =
        |si: f64, b: f64| Some(Restriction::new(Conductance::from_si(si).unwrap(), Ratio::from(b)).unwrap());
    rig.line.raise = valve(3e-9, 0.4);
    rig.line.lower = valve(5e-10, 0.3);
    rig.limits.raise_time = Some(uom::si::f64::Time::new::<uom::si::time::second>(8.0));
    rig.limits.lower_speed =
        Some(uom::si::f64::Velocity::new::<uom::si::velocity::millimeter_per_second>(20.0));
    rig
}

/// Rigs that reach every branch of the working.
fn rigs() -> Vec<Rig> {
    let mut double_open = hive_cart();
    double_open.cylinders.action = Action::Double;
    let mut stalls = hive_cart();
    if let AirSource::Compressor(compressor) = &mut stalls.source {
        compressor.cut_out = bar(15.0);
    }
    let mut too_heavy = hive_cart();
    too_heavy.load.mass *= 5.0;
    let mut light_single = hive_cart();
    light_single.cycle.end_pressure = EndPressure::Load;
    light_single.load.mass *= 0.5;
    let mut stocky_rod = lever_tipper();
    stocky_rod.rod.tube = None;
    stocky_rod.cylinders.rod *= 1.8;
    let mut double_lever = lever_tipper();
    let stopped_lever = lever_tipper_up_to(Some(Angle::new::<degree>(10.0)));
    double_lever.base = None;
    double_lever.cylinders.action = Action::Double;
    // The spring asks most just before the load becomes lighter.
    let mut steps_down = hive_cart();
    steps_down.cylinders.return_spring = Force::new::<newton>(150.0);
    steps_down.linkage.profile = scissor_table().linkage.profile;
    let mut moving = with_valves(hive_cart());
    moving.line.fittings = vec![Fitting {
        name: "elbow".to_owned(),
        way: Way::Both,
        count: 2,
        restriction: Restriction::new(Conductance::from_si(1e-9).unwrap(), Ratio::from(0.3))
            .unwrap()
            .with_subsonic_index(0.6)
            .unwrap(),
    }];
    let mut moving_double = with_valves(dough_tipper());
    moving_double.regulator.rated_flow =
        Some(uom::si::f64::MassRate::new::<uom::si::mass_rate::gram_per_second>(5.0));
    let mut stood = hive_cart();
    stood.breakaway = Some(Ratio::from(2.5));
    let mut stood_double = dough_tipper();
    stood_double.breakaway = Some(Ratio::from(1.8));
    stood_double.tolerances.extend([
        ("load.mass", 5.0),
        ("cylinders.bore", 0.0005),
        ("cylinders.friction", 0.02),
        ("cylinders.back-pressure", 0.1e5),
    ]);
    let leak = |b: f64| Restriction::new(Conductance::from_si(1e-11).unwrap(), Ratio::from(b)).ok();
    let mut leaks = hive_cart();
    leaks.tank.leak = leak(0.3);
    let mut bottle_leaks = stage_riser();
    bottle_leaks.tank.leak = leak(0.5);
    vec![
        steps_down,
        leaks,
        bottle_leaks,
        stood,
        stood_double,
        stopped_lever,
        hive_cart(),
        dough_tipper(),
        stage_riser(),
        double_open,
        stalls,
        too_heavy,
        light_single,
        lever_tipper(),
        folding_riser(),
        scissor_table(),
        inclined_scissor(),
        stocky_rod,
        double_lever,
        moving,
        moving_double,
        with_valves(lever_tipper()),
        with_valves(scissor_table()),
    ]
}

/// What a reader gets from the inputs of a step, and to which share of itself it must agree; `None` where
/// the formula cannot be done by hand.
#[allow(clippy::too_many_lines, reason = "one arm a formula")]
fn by_hand(step: &Step) -> Option<(f64, f64)> {
    let inputs: BTreeMap<&str, f64> = step.inputs.iter().map(|input| (input.symbol, input.value)).collect();
    let v = |symbol: &str| inputs[symbol];
    let or = |symbol: &str, default: f64| inputs.get(symbol).copied().unwrap_or(default);
    let area = || FRAC_PI_4 * v("D").powi(2);
    // Rounding of a few operations.
    let exact = |value: f64| Some((value, 1e-12));
    // A place just before a step of the load is good to 1e-11 of the stroke.
    let by_place = |value: f64| Some((value, 1e-10));
    let simpson = |a: f64, b: f64, c: f64| v("V") * (v("rho2") - v("rho1")) / 6.0 * (a + 4.0 * b + c);
    let springs = || or("F_s", 0.0) * or("x", 0.0) / or("s", 1.0);
    // Mass for which a force from all cylinders is just enough.
    let mass_for = |force: f64| {
        let raised = (force - v("N") * springs()) * v("eta") / G;
        (raised - v("m_moving") * v("r") - or("F_arms", 0.0) / G) / (v("share") * v("borne") * v("r"))
    };
    match step.formula.topic {
        "atmosphere" => {
            let height = 6_356_766.0 * v("z") / (6_356_766.0 + v("z"));
            // The exponent is printed with seven digits.
            Some((101_325.0 * ((288.15 - 0.0065 * height) / 288.15).powf(5.255_876), 1e-8))
        }
        // The gas constant is printed with seven digits.
        "air-density" => Some(((v("p") + v("p_atm")) / (v("Z") * 287.0491 * v("T")), 1e-6)),
        "load-along-the-travel" => {
            let weight = G * (v("share") * v("m") * v("borne") + v("m_moving"));
            by_place((weight * v("r") + or("F_arms", 0.0)) / v("eta") + v("N") * springs())
        }
        "load-pressure" => exact(v("F") / (v("N") * area())),
        "needed-pressure" => {
            let ring = 1.0 - (or("d", 0.0) / or("D", 1.0)).powi(2);
            exact((v("p_load") + or("p_back", 0.0) * ring) / (1.0 - v("mu")))
        }
        "breaking-loose" => {
            let ring = 1.0 - (or("d", 0.0) / or("D", 1.0)).powi(2);
            exact((v("p_load") + or("p_back", 0.0) * ring) / (1.0 - v("k") * v("mu")))
        }
        "moving-pressure" => exact(v("p_set") - v("droop")),
        "thrust" => exact(v("N") * area() * v("p_set")),
        "load-ratio" => exact(v("p_load") / v("p_move")),
        "capacity" => {
            let ring = FRAC_PI_4 * (v("D").powi(2) - or("d", 0.0).powi(2));
            let useful = area() * v("p_move") * (1.0 - v("mu")) - ring * or("p_back", 0.0);
            by_place(mass_for(v("N") * useful).max(0.0))
        }
        "rated-capacity" => {
            by_place(mass_for(v("N") * area() * v("L") * v("p_move")).max(0.0).min(v("m_cap")))
        }
        "lift-height" => exact(v("s")),
        "set-point" if inputs.contains_key("p_load") => {
            exact((v("p_load") / v("L") + v("droop")).max(v("p_need") + v("droop")))
        }
        "set-point" if inputs.contains_key("t") => {
            let far = f64::INFINITY;
            let rated = v("p_cylinder").min(or("p_line", far)).min(or("p_line_relief", far));
            exact((rated / (1.0 + v("t"))).min(or("p_cut_in", far) - or("headroom", 0.0)))
        }
        "set-point" => exact((v("low") / 1e4).ceil() * 1e4),
        "bore" => {
            let for_ratio = v("F") / (v("N") * v("L") * v("p"));
            let for_motion = (v("F") / v("N") - v("p_back") * FRAC_PI_4 * v("d").powi(2))
                / (v("p") * (1.0 - v("mu")) - v("p_back"));
            exact((for_ratio.max(for_motion) / FRAC_PI_4).sqrt().max(v("d")))
        }
        "swept-volume" => exact(v("N") * FRAC_PI_4 * (v("D").powi(2) - or("d", 0.0).powi(2)) * v("s_used")),
        "dead-volume" => {
            let behind = match inputs.get("s") {
                None => FRAC_PI_4 * v("D").powi(2) * v("x_0"),
                Some(stroke) => {
                    FRAC_PI_4 * (v("D").powi(2) - v("d").powi(2)) * (stroke - v("x_0") - v("s_used"))
                }
            };
            exact(v("N") * (v("V_c") + behind) + FRAC_PI_4 * v("d_hose").powi(2) * v("L_hose"))
        }
        "air-per-stroke" => {
            let before = v("rho_atm") * v("V_dead");
            let back = inputs
                .get("V_r")
                .map_or(0.0, |ring| v("rho_set") * (ring + v("V_rest")) - v("rho_atm") * v("V_rest"));
            exact(v("rho_end") * (v("V_s") + v("V_dead")) - before + back)
        }
        "tank-leak" => {
            // The gas constant is printed with five digits.
            let rate = v("C") * 1.185 * 287.05 * (293.15 * v("T")).sqrt() / v("V");
            let by_hand = match inputs.get("t") {
                Some(t) => v("p_1") * t * rate * v("f"),
                None => (v("p_1") / v("p_2")).ln() / rate,
            };
            Some((by_hand, 2e-5))
        }
        "free-air" => exact(v("m") / 1.185),
        "tank-content" => exact(v("rho_full") * v("V")),
        "usable-air" => exact(((v("rho_full") - v("rho_low")) * v("V")).max(0.0)),
        "tank-for-strokes" => exact(v("n_wanted") * v("m_stroke") / (v("rho_full") - v("rho_low"))),
        "strokes-at-full-pressure" => Some(((v("m_usable") / v("m_stroke")).floor(), 0.0)),
        "strokes-until-stall" => Some((until_stall(&inputs), 0.0)),
        "volumetric-efficiency" => {
            let index = 1.0 / v("n");
            let clearance = 1.0 / (((v("p_stall") + 101_325.0) / 101_325.0).powf(index) - 1.0);
            let ratio = (v("p") + v("p_atm")) / v("p_atm");
            exact((1.0 + clearance - clearance * ratio.powf(index)).max(0.0))
        }
        "delivery" if inputs.contains_key("eta_v") => exact(v("rho_in") * v("Q_open") * v("eta_v")),
        "delivery" => {
            let (low, high) = (v("rho_in") * v("Q_a"), v("rho_in") * v("Q_b"));
            exact(low + (high - low) * (v("p") - v("p_a")) / (v("p_b") - v("p_a")))
        }
        "stall" => exact((v("p_stall") + 101_325.0) * v("p_atm") / 101_325.0 - v("p_atm")),
        // By hand it is Simpson's rule: its error grows with the span and with the bend of the delivery.
        "fill-time" => {
            let within = if v("p1") > 5e5 { 5e-3 } else { 0.05 };
            Some((simpson(1.0 / v("m1"), 1.0 / v("m_mid"), 1.0 / v("m2")), within))
        }
        "band-energy" => Some((simpson(v("P1") / v("m1"), v("P_mid") / v("m_mid"), v("P2") / v("m2")), 2e-3)),
        "kept-up-rate" => {
            let band = v("V") * (v("rho_cut_out") - v("rho_cut_in"));
            exact(3600.0 * v("duty") * (band / v("t_band")) / v("m_stroke"))
        }
        "delivery-needed" => exact(v("n_wanted") / v("n_hour")),
        "energy-per-stroke" => {
            let steady = inputs.get("P_steady").map_or(0.0, |power| power * 3600.0 / v("n_hour"));
            exact(v("E_band") * v("m_stroke") / v("m_band") + steady)
        }
        "strokes-per-charge" => exact(v("U") * v("Q") * v("usable") / v("E_stroke")),
        "stored-energy" => {
            let absolute = v("p") + v("p_atm");
            exact(absolute * v("V") / 0.4 * (1.0 - (v("p_atm") / absolute).powf(0.4 / 1.4)))
        }
        "hose-conductance" => exact(0.029 * v("D").powi(2) / (v("L") / v("D").powf(1.25) + 510.0).sqrt()),
        "valve-flow" => {
            let (ratio, b) = (v("p2") / v("p1"), v("b"));
            let f = if ratio <= b { 1.0 } else { (1.0 - ((ratio - b) / (1.0 - b)).powi(2)).powf(v("m")) };
            // The pressures between are found by trial to 1e-15 of the flow; of one that is followed in time the
            // regulator closes softly.
            let within = if step.figure.ends_with("past half way up") { 1e-6 } else { 1e-9 };
            Some((v("C") * 1.185 * v("p1") * (293.15 / v("T")).sqrt() * f, within))
        }
        // The gas constant is printed with five digits.
        "raise-time" if inputs.contains_key("x") => Some((v("t_delay") + v("x") / v("v"), 1e-8)),
        "raise-time" => Some((v("q") * 287.05 * v("T") / (v("p") * v("A")), 1e-5)),
        "raise-double-acting" => exact(v("t_0") + v("t_rod")),
        // The balance holds to the error of the integration.
        "load-movement" => {
            let load = (v("W") * v("r") + v("F_arms")) / v("eta") + v("springs");
            let back = v("N") * v("A_2") * v("p_2");
            Some(((load + back) / (v("N") * v("A_1") * (1.0 - v("mu"))), 1e-6))
        }
        "first-slow-lift" => exact(v("p_set").min(v("p_tank"))),
        "lowering-speed" if inputs.contains_key("F") => {
            let push = or("p_set", 0.0) * v("N") * or("A_r", 0.0) * (1.0 - v("mu"));
            exact((v("F") + push) / (v("N") * v("A_1") * (1.0 + v("mu"))))
        }
        "lowering-speed" => {
            Some((v("q") * 287.05 * v("T") / (v("p_sink") * v("A") + or("F_x", 0.0)) * v("r"), 1e-5))
        }
        "lowering-throttle" => {
            let flow = v("v") * (v("p_sink") * v("A") + v("F_x")) / (287.05 * v("T"));
            Some((flow * (v("T") / 293.15).sqrt() / (1.185 * v("p1") * v("f")), 1e-5))
        }
        "stop-energy" => exact((v("share") * v("m") + v("m_moving")) * v("v").powi(2) / 2.0),
        "stuck-regulator" => {
            let relief = or("p_line_relief", f64::INFINITY) + or("w_line_relief", 0.0);
            exact((v("p_full") + v("w_full")).min(relief))
        }
        _ => structure::by_hand(step, &inputs),
    }
}

/// The count as the expression of `strokes-until-stall` says it.
fn until_stall(inputs: &BTreeMap<&str, f64>) -> f64 {
    let v = |symbol: &str| inputs[symbol];
    let with = |mass: f64, swept: f64, dead: f64| (mass + v("rho_atm") * dead) / (v("V") + swept + dead);
    let common = |mass: f64, swept: f64| with(mass, swept, v("V_dead"));
    let (mut mass, mut strokes) = (v("m_start"), 0.0);
    while strokes < 100_000.0 {
        if common(mass, v("V_x")) < v("rho_need") {
            break;
        }
        let density = common(mass, v("V_s"));
        mass = if density < v("rho_end") { density * v("V") } else { mass - v("m_raise") };
        strokes += 1.0;
        if let Some(&ring) = inputs.get("V_r") {
            let density = with(mass, ring, v("V_rest"));
            mass = if density < v("rho_set") { density * v("V") } else { mass - v("m_return") };
            if density <= v("rho_atm") {
                break;
            }
        }
    }
    strokes
}

#[test]
fn every_step_can_be_done_again_from_its_inputs() {
    for (number, rig) in rigs().iter().enumerate() {
        for step in steps(rig) {
            let Some((value, share)) = by_hand(&step) else {
                assert_eq!(step.formula.topic, "quick-gas", "{} is not done again", step.figure);
                continue;
            };
            let off = (value - result(&step)).abs();
            assert!(
                off <= share * value.abs(),
                "rig {number}, {}: {value} by hand, {} shown",
                step.figure,
                result(&step)
            );
        }
    }
}

#[test]
fn every_input_is_a_symbol_of_its_formula() {
    for step in rigs().iter().flat_map(steps) {
        for input in &step.inputs {
            let known = step.formula.symbols.iter().any(|&(symbol, _)| symbol == input.symbol);
            assert!(known, "{}: `{}`", step.figure, input.symbol);
            assert!(input.value.is_finite());
            assert_eq!(input.dimension == Dimension::Pressure, !input.kind.is_empty());
        }
        assert!(result(&step).is_finite(), "{}", step.figure);
    }
}

#[test]
fn figures_come_once_and_in_order() {
    let all = steps(&hive_cart());
    let place = |figure: &str| all.iter().position(|step| step.figure == figure).unwrap();
    let order = [
        "pressure of the atmosphere",
        "load force",
        "load pressure",
        "needed pressure",
        "moving pressure",
        "load ratio",
        "capacity",
        "rated capacity",
        "set-point window, lower end",
        "set-point window, upper end",
        "set point recommended",
        "tank content",
        "usable air",
        "dead volume",
        "air per stroke",
        "strokes at full pressure, from cut-out",
        "strokes until stall, from cut-out",
        "fill time from empty to cut-out",
        "fill time from cut-in to cut-out",
        "fill time after the strokes at full pressure",
        "strokes kept up",
        "energy per stroke",
        "strokes per charge",
        "energy stored in the full tank",
        "pressure after a stuck regulator",
    ];
    assert!(order.map(place).is_sorted());
    for rig in rigs() {
        let mut figures: Vec<_> = steps(&rig).into_iter().map(|step| step.figure).collect();
        figures.sort_unstable();
        let count = figures.len();
        figures.dedup();
        assert_eq!(figures.len(), count);
    }
}

#[test]
fn the_load_pressure_of_the_hive_cart_by_pencil() {
    let all = steps(&hive_cart());
    let of = |figure: &str| all.iter().find(|step| step.figure == figure).unwrap().result.unwrap().0;
    // analytic: 9.80665 * (0.9 * 100 + 12) / 0.9 N over 2 * 1963.495 mm2
    assert_relative_eq!(of("load force"), 1_111.420_333, max_relative = 1e-8);
    assert_relative_eq!(of("load pressure"), 1_111.420_333 / 3.926_990_817e-3, max_relative = 1e-8);
}

#[test]
fn a_figure_that_the_rig_has_not_got_has_no_step() {
    let figures = |rig: &Rig| steps(rig).into_iter().map(|step| step.figure.into_owned()).collect::<Vec<_>>();
    let bottle = figures(&stage_riser());
    assert!(!bottle.iter().any(|figure| figure.contains("fill time") || figure.contains("charge")));
    assert!(bottle.iter().any(|figure| figure == "bore that opens the set-point window"));
    assert!(!bottle.iter().any(|figure| figure == "set point recommended"));
    let mut stalls = hive_cart();
    if let AirSource::Compressor(compressor) = &mut stalls.source {
        compressor.cut_out = bar(15.0);
    }
    assert!(
        !figures(&stalls).iter().any(|figure| figure.contains("fill time") || figure.contains("kept up"))
    );
    assert!(!figures(&dough_tipper()).iter().any(|figure| figure == "pressure of the atmosphere"));
}

#[test]
fn what_the_working_shows_is_what_the_checks_hold() {
    for rig in rigs() {
        let answers = evaluate(&rig).unwrap();
        let all = working(&rig, &answers).unwrap();
        for (figure, id) in [
            ("pressure after a stuck regulator", "cylinders, regulator stuck open"),
            ("load ratio", "load ratio"),
            ("pressure that breaks the load loose", "breaks loose"),
            ("strokes per charge", "strokes per charge"),
            ("strokes kept up", "rate wanted"),
            ("raise time", "raise time"),
            ("lowering speed", "lowering speed"),
        ] {
            let shown = all.iter().find(|step| step.figure == figure).map(result);
            let held = answers.checks.iter().find(|check| check.id == id).and_then(|check| check.value);
            assert_eq!(id == "breaks loose" && shown.is_some(), id == "breaks loose" && held.is_some());
            if let (Some(shown), Some(held)) = (shown, held) {
                // Flows of the answers are read from a curve that keeps to 1e-8.
                assert_relative_eq!(shown, held, max_relative = 1e-8);
            }
        }
    }
}

#[test]
fn every_check_has_a_formula() {
    for rig in rigs() {
        for check in evaluate(&rig).unwrap().checks {
            assert!(of_check(&check.id).is_some(), "{}", check.id);
        }
    }
}
