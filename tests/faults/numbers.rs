//! Each number beside a calculation that shares nothing with the program but the inputs.

use std::f64::consts::PI;

use approx::assert_relative_eq;
use lungful::answers::Verdict;

use super::{BARE, edited, fault, figure, judged};

const ATM: f64 = 101_325.0;
const T: f64 = 293.15;
const R: f64 = 287.05;
const G: f64 = 9.806_65;
/// Two bores of 50 mm.
const AREA: f64 = 2.0 * PI / 4.0 * 0.05 * 0.05;
/// 100 kg and 20 kg of moving parts.
const WEIGHT: f64 = 120.0 * G;

/// Speed at which a choked hole of `area` (its discharge counted) lets the pistons down: mass balance with
/// `q = A p sqrt(k/(R T)) (2/(k+1))^((k+1)/(2(k-1)))`, so that the pressure drops out.
fn choked_speed(area: f64) -> f64 {
    area / AREA * (1.4 * R * T).sqrt() * (5.0_f64 / 6.0).powi(3)
}

fn hole(bore: f64) -> f64 {
    PI / 4.0 * bore * bore
}

#[test]
fn analytic_hose_off_at_the_cylinders() {
    let (_, _, found) = judged(BARE);
    let off = fault(&found, "hose off at the cylinders").check;
    // The air stands at 373.8 kPa abs, 3.7 times the site: choked. R and the law of the program: 2e-4.
    assert_relative_eq!(off.value.unwrap(), choked_speed(0.97 * hole(6e-3)), max_relative = 2e-4);
    assert_eq!(off.verdict, Verdict::Fail);
    assert_relative_eq!(off.limit.unwrap(), 0.25);
}

#[test]
fn analytic_no_fall_is_faster_than_a_free_one() {
    let (_, _, found) = judged(&edited(BARE, &[("hose-bore = \"6 mm\"", "hose-bore = \"20 mm\"")]));
    let off = fault(&found, "hose off at the cylinders");
    // sqrt(2 g 0.4 m)
    assert_relative_eq!(off.check.value.unwrap(), (2.0 * G * 0.4).sqrt(), max_relative = 1e-12);
    // 120 kg at that speed: m g h
    assert_relative_eq!(figure(&off, "blow at the end of the fall"), WEIGHT * 0.4, max_relative = 1e-12);
}

#[test]
fn analytic_lower_valve_stuck_open() {
    let (_, _, found) = judged(&edited(BARE, &[("hose-bore = \"6 mm\"\nhose-length = \"1 m\"\n", "")]));
    let stuck = fault(&found, "lower valve stuck open");
    let speed = choked_speed(0.65 * hole(4e-3));
    assert_relative_eq!(stuck.check.value.unwrap(), speed, max_relative = 2e-4);
    assert_relative_eq!(
        figure(&stuck, "blow at the end of the fall"),
        60.0 * speed * speed,
        max_relative = 5e-4
    );
    assert_relative_eq!(figure(&stuck, "time to come down, at least"), 0.4 / speed, max_relative = 2e-4);
    assert_eq!(fault(&found, "hose off at the cylinders").check.verdict, Verdict::NotJudged);
}

#[test]
fn analytic_throttles_in_both_ports() {
    let with = format!("{BARE}[protection]\nport-throttle = {{ bore = \"1 mm\" }}\n");
    let (_, _, found) = judged(&with);
    let off = fault(&found, "hose off at the cylinders").check;
    // Two sharp holes of 1 mm; the open hose behind them, 27 times as wide, takes less than 0.5 %.
    assert_relative_eq!(off.value.unwrap(), choked_speed(2.0 * 0.65 * hole(1e-3)), max_relative = 5e-3);
    // Slow, but by itself, and nothing stops it.
    assert_eq!(off.verdict, Verdict::Caution);
}

#[test]
fn analytic_pressure_switch_stuck_closed() {
    let capacity = edited(BARE, &[("relief = \"9 bar\"", "relief = \"9 bar\"\nrelief-capacity = \"1 g/s\"")]);
    let (_, _, found) = judged(&capacity);
    let stuck = fault(&found, "pressure switch stuck closed");
    // 10 % above 9 bar, against 10 % above the rating of 10 bar: 30 CFR 57.13011.
    assert_relative_eq!(stuck.check.value.unwrap(), 9.9e5, max_relative = 1e-12);
    assert_relative_eq!(stuck.check.limit.unwrap(), 11e5, max_relative = 1e-12);
    assert_eq!(stuck.check.verdict, Verdict::Pass);
    // Ideal gas: 10 L times 1 bar / (R T) at 0.5 g/s; real air is 0.6 % denser there.
    let ideal = 0.010 * 1e5 / (R * T) / 0.5e-3;
    assert_relative_eq!(figure(&stuck, "from cut-out to the relief valve"), ideal, max_relative = 8e-3);
    let to_rating = figure(&stuck, "from cut-out to the receiver's rating, were nothing to open");
    assert_relative_eq!(to_rating, 2.0 * ideal, max_relative = 8e-3);
    // The valve passes less than the pump delivers, and nobody knows where the pump stalls.
    let small = edited(&capacity, &[("\"1 g/s\"", "\"0.4 g/s\"")]);
    let outrun = fault(&judged(&small).2, "pressure switch stuck closed").check;
    assert_eq!((outrun.verdict, outrun.value), (Verdict::Fail, None));
    // Nothing is known of the valve.
    let unknown = fault(&judged(BARE).2, "pressure switch stuck closed").check;
    assert_eq!(unknown.verdict, Verdict::NotJudged);
}

#[test]
fn analytic_pump_that_stalls_first() {
    let weak = edited(
        BARE,
        &[(
            "{ points = [[\"0 bar\", \"0.5 g/s\"], [\"20 bar\", \"0.5 g/s\"]] }",
            "{ open = \"30 L/min\", stall = \"8.8 bar\" }",
        )],
    );
    let stuck = fault(&judged(&weak).2, "pressure switch stuck closed").check;
    // At sea level the stall is that of the plate.
    assert_relative_eq!(stuck.value.unwrap(), 8.8e5, max_relative = 1e-9);
    assert_relative_eq!(stuck.limit.unwrap(), 10e5, max_relative = 1e-12);
    assert_eq!(stuck.verdict, Verdict::Pass);
    assert_eq!(fault(&judged(&weak).2, "relief valve stuck shut").check.verdict, Verdict::Pass);
}

#[test]
fn analytic_regulator_stuck_open() {
    let (_, _, found) = judged(BARE);
    let stuck = fault(&found, "regulator stuck open");
    assert_relative_eq!(stuck.check.value.unwrap(), 8e5, max_relative = 1e-12);
    assert_relative_eq!(stuck.check.limit.unwrap(), 7.9e5, max_relative = 1e-12);
    assert_relative_eq!(figure(&stuck, "push of the cylinders"), 8e5 * AREA, max_relative = 1e-12);
    assert_eq!(stuck.check.verdict, Verdict::Fail);
    let relieved = edited(BARE, &[("lower = {", "relief = \"6.5 bar\"\nlower = {")]);
    let stuck = fault(&judged(&relieved).2, "regulator stuck open").check;
    // full lift, 1.10 times 6.5 bar
    assert_relative_eq!(stuck.value.unwrap(), 7.15e5, max_relative = 1e-12);
    assert_eq!(stuck.verdict, Verdict::Caution, "nobody knows what the open regulator passes");
}

#[test]
fn analytic_one_of_two_cylinders_lost() {
    let lost = fault(&judged(BARE).2, "one cylinder lost");
    assert_relative_eq!(lost.check.value.unwrap(), WEIGHT / (AREA / 2.0) / 0.9, max_relative = 1e-12);
    assert_relative_eq!(lost.check.limit.unwrap(), 4.7e5, max_relative = 1e-12);
    assert_relative_eq!(figure(&lost, "pressure that holds it"), WEIGHT / (AREA / 2.0), max_relative = 1e-12);
    assert_eq!(lost.check.verdict, Verdict::Fail);
}

#[test]
fn analytic_a_quarter_more_load() {
    let (_, _, found) = judged(BARE);
    let over = fault(&found, "load 25 % above plan");
    // 125 kg and 20 kg
    assert_relative_eq!(over.check.value.unwrap(), 145.0 * G / AREA / 0.9, max_relative = 1e-12);
    assert_relative_eq!(figure(&over, "force of all cylinders"), 145.0 * G, max_relative = 1e-12);
    assert_eq!(over.check.verdict, Verdict::NotJudged, "no frame is described");
}

#[test]
fn analytic_load_lost_short_of_the_stop() {
    let short =
        format!("{}[cycle]\nend-pressure = \"load\"\n", edited(BARE, &[("\"380 mm\"", "\"300 mm\"")]));
    let lost = fault(&judged(&short).2, "load lost while raised");
    // 120 kg need 1307.6 N with friction; 20 kg hold 196.1 N of it; 100 mm are left.
    let spare = WEIGHT / 0.9 - 20.0 * G;
    assert_relative_eq!(figure(&lost, "blow at the stop, at most"), spare * 0.1, max_relative = 1e-9);
    assert_relative_eq!(
        figure(&lost, "speed at the stop, at most"),
        (2.0 * spare * 0.1 / 20.0).sqrt(),
        max_relative = 1e-9
    );
    assert_eq!(lost.check.verdict, Verdict::Caution, "it leaps; nobody says what the stops take");
    let limit = format!("{short}[limits]\nstop-energy = \"50 J\"\n");
    assert_eq!(fault(&judged(&limit).2, "load lost while raised").check.verdict, Verdict::Fail);
    // On its stop nothing leaps, on the way there it would.
    assert_eq!(fault(&judged(BARE).2, "load lost while raised").check.verdict, Verdict::Caution);
}

#[test]
fn analytic_cold_tank() {
    let cold = fault(&judged(BARE).2, "tank gone cold").check;
    // Ideal gas at constant volume; real air loses 0.2 % of the absolute pressure more.
    let expected = (8e5 + ATM) * (T - 15.0) / T - ATM;
    assert_relative_eq!(cold.value.unwrap(), expected, epsilon = 2e-3 * (8e5 + ATM));
    assert_relative_eq!(cold.limit.unwrap(), 5.5e5, max_relative = 1e-12);
    let closed = format!("{BARE}[cycle]\nend-pressure = \"load\"\n");
    let sinks = figure(&fault(&judged(&closed).2, "tank gone cold"), "a held load sinks, in travel");
    // (A 0.38 m + hose) 15/293.15 / A
    assert_relative_eq!(sinks, (AREA * 0.38 + hole(6e-3)) * 15.0 / T / AREA, max_relative = 1e-9);
}

/// Isentropic expansion with k = 1.4.
fn energy(gauge: f64, volume: f64) -> f64 {
    let inside = gauge + ATM;
    2.5 * inside * volume * (1.0 - (ATM / inside).powf(2.0 / 7.0))
}

#[test]
fn analytic_air_left_and_energy_of_each_part() {
    let shut = edited(BARE, &[("lower-unpowered = \"open\"", "lower-unpowered = \"shut\"")]);
    let (_, _, found) = judged(&shut);
    let left = fault(&found, "air left after all off");
    let in_cylinders = energy(5e5, AREA * 0.4 + hole(6e-3));
    assert_relative_eq!(figure(&left, "in the tank"), energy(8e5, 0.010), max_relative = 1e-12);
    assert_relative_eq!(figure(&left, "in cylinders and hose"), in_cylinders, max_relative = 1e-12);
    assert_relative_eq!(left.check.value.unwrap(), energy(8e5, 0.010) + in_cylinders, max_relative = 1e-12);
    let parts: Vec<_> = found.stores.iter().map(|store| (store.part, store.isentropic.value)).collect();
    let expected = [
        ("receiver", energy(8e5, 0.010)),
        ("hose", energy(5e5, hole(6e-3))),
        ("cylinders", energy(5e5, AREA * 0.4)),
    ];
    for ((part, found), (wanted, expected)) in parts.iter().zip(expected) {
        assert_eq!(*part, wanted);
        assert_relative_eq!(*found, expected, max_relative = 1e-12);
    }
    // 75 kg fall with the receiver's energy
    assert_relative_eq!(found.stores[0].fall_m, energy(8e5, 0.010) / (75.0 * G), max_relative = 1e-12);
}

#[test]
fn analytic_push_of_a_torn_hose() {
    let whip = fault(&judged(BARE).2, "torn hose whips").check;
    // A (p1 (1 + k) (2/(k+1))^(k/(k-1)) - p0), p1 = 5.25 bar gauge
    let choked = 2.4 * (1.0_f64 / 1.2).powf(3.5);
    let expected = hole(6e-3) * ((5.25e5 + ATM) * choked - ATM);
    assert_relative_eq!(whip.value.unwrap(), expected, max_relative = 1e-12);
}

#[test]
fn published_thresholds_of_the_receiver() {
    // Directive 2014/29/EU: Article 1 (30 bar, 10 000 bar L), Annex III 1.1 (50 bar L); 2014/68/EU Article 1 (0.5 bar).
    let (_, _, found) = judged(BARE);
    let union = found.rules.iter().filter(|rule| rule.jurisdiction == "European Union");
    let rules: Vec<_> = union.map(|rule| (rule.value, rule.threshold.unwrap(), rule.above)).collect();
    assert_eq!(
        rules,
        [
            (10.0, 0.5, true),
            (10.0, 30.0, false),
            (100.0, 10_000.0, false),
            (100.0, 50.0, true),
            (100.0, 200.0, false)
        ]
    );
}

#[test]
fn published_thresholds_of_other_places() {
    // SI 2000/128: 0.5 bar (regulation 2), 250 bar L. California Labor Code 7624: (e) 15 psi, (c) 1.5 cubic feet
    // under 150 psi. Quebec, r. 1, section 3(1): 0.35 m3. ASME VIII-1 U-1(c)(2): 15 psi.
    let psi = 6.894_757_293_168e-2;
    let cubic_foot = 0.3048_f64.powi(3) * 1e3;
    let expected = [
        ("Great Britain", "Regulation 2", 0.5),
        ("Great Britain", "Regulation 8", 250.0),
        ("United States and Canada", "U-1(c)(2)", 15.0 * psi),
        ("California", "Section 7624(e)", 15.0 * psi),
        ("California", "Section 7624(c)", 1.5 * cubic_foot),
        ("California", "Section 7624(c)", 150.0 * psi),
        ("Quebec", "Section 3(1)", 350.0),
    ];
    // Just below and just above each threshold, whatever its unit.
    let side = |rating_bar: f64, litres: f64| {
        let text = edited(
            BARE,
            &[
                ("volume = \"10 L\"", &format!("volume = \"{litres:.6} L\"")),
                ("rating = \"10 bar\"\nrelief", &format!("rating = \"{rating_bar:.6} bar\"\nrelief")),
            ],
        );
        judged(&text).2.rules
    };
    for (place, clause, threshold) in expected {
        let of = |rules: &[lungful::answers::Rule]| {
            *rules
                .iter()
                .find(|rule| {
                    rule.jurisdiction.starts_with(place)
                        && rule.clause.starts_with(clause)
                        && (rule.threshold.unwrap_or(0.0) / threshold - 1.0).abs() < 1e-6
                })
                .unwrap_or_else(|| panic!("{place} {clause} {threshold}"))
        };
        for (factor, above) in [(0.99, false), (1.01, true)] {
            let at = threshold * factor;
            let rules = match of(&side(10.0, 10.0)).unit {
                "bar" => side(at, 10.0),
                "L" => side(10.0, at),
                _ => side(10.0, at / 10.0),
            };
            let rule = of(&rules);
            assert_eq!((rule.above, rule.value > threshold), (above, above), "{place} {clause} {at}");
        }
    }
    // These hold for a receiver of any size; what is not the text itself says so.
    let rules = side(10.0, 10.0);
    for document in ["29 CFR 1910.169", "30 CFR 56.13011"] {
        let rule = rules.iter().find(|rule| rule.document.starts_with(document)).unwrap();
        assert_eq!((rule.threshold, rule.above), (None, true));
    }
    let said = super::text(BARE);
    assert!(said.contains("figure from a secondary source, clause from memory"));
    assert_eq!(said.matches("read this rule").count(), rules.len());
}

#[test]
fn analytic_what_stays_shut_in() {
    let (_, _, found) = judged(BARE);
    for id in ["regulator stuck closed", "raise valve stuck shut", "lower valve stuck shut"] {
        assert_relative_eq!(
            figure(&fault(&found, id), "air shut in the cylinders"),
            5e5,
            max_relative = 1e-12
        );
    }
    // Closed as the load arrives: what the load needs.
    let closed = format!("{BARE}[cycle]\nend-pressure = \"load\"\n");
    let shut_in = figure(&fault(&judged(&closed).2, "lower valve stuck shut"), "air shut in the cylinders");
    assert_relative_eq!(shut_in, WEIGHT / AREA / 0.9, max_relative = 1e-12);
    assert_eq!(fault(&found, "check valve leaks back").check.value, Some(0.0));
}
