//! Sessions with a solution on paper. Ideal gas, `k = 1.4`, `R = 287.049 J/(kg K)`.
//!
//! All figures are analytic: the derivation stands beside each.

use approx::assert_relative_eq;
use lungful::rehearsal::{Action, Mode, Rehearsal, Schedule, Settings, Task, Until};

use crate::rig::{Bench, s};

const R: f64 = 8.314_51 / 0.028_965_46;
const K: f64 = 1.4;
/// `rho_0 sqrt(T_0)` of ISO 6358.
const REFERENCE: f64 = 1.185 * 17.121_623_756_175_623;

/// Accumulated error allowed for runs with a step tolerance of 1e-10 and a few hundred steps.
const SOLVER: f64 = 1e-8;

fn fine(every: f64) -> Settings {
    Settings { tolerance: 1e-10, trace_every: Some(s(every)), ..Settings::default() }
}

fn only(action: Action, seconds: f64) -> Schedule {
    Schedule::repeated(vec![Task { action, until: Until::Elapsed(s(seconds)) }], 1)
}

/// A tank with a hole, nothing else at work.
fn leaking(heat: f64) -> Bench {
    Bench { tank: 0.01, start: 9e5, tank_heat: heat, leak: Some((1e-8, 0.2)), ..Bench::default() }
}

/// Choked from 10 bar down to 5 bar (b = 0.2, outside 1 bar).
fn blown_down(heat: f64) -> (Bench, Rehearsal) {
    let bench = leaking(heat);
    let done = bench.run(&only(Action::Rest, 20.0), &fine(0.25)).unwrap();
    (bench, done)
}

#[test]
fn analytic_isothermal_blow_down() {
    let (bench, done) = blown_down(f64::INFINITY);
    // V/(R T) dp/dt = -C rho_0 sqrt(T_0/T) p, so p = p_0 exp(-t/tau), tau = V/(C rho_0 R sqrt(T_0 T)).
    let tau = bench.tank / (1e-8 * REFERENCE * R * bench.temperature.sqrt());
    let mut seen = 0;
    for row in done.trace.iter().filter(|row| row.tank_pa_gauge > 4.01e5) {
        let expected = 1e6 * (-row.time_s / tau).exp();
        assert_relative_eq!(row.tank_pa_gauge + 1e5, expected, max_relative = SOLVER);
        assert_relative_eq!(row.tank_k, 293.15, max_relative = 1e-12);
        seen += 1;
    }
    assert!(seen > 20, "{seen}");
}

#[test]
fn analytic_adiabatic_blow_down() {
    let (bench, done) = blown_down(0.0);
    // What stays in the tank expands along p ~ m^k, T ~ m^(k-1). With q = c p/sqrt(T), c = C rho_0 sqrt(T_0):
    // T = T_0 (1 + (k-1)/2 t/tau)^-2, tau = V/(c R sqrt(T_0)), p = p_0 (T/T_0)^(k/(k-1)).
    let tau = bench.tank / (1e-8 * REFERENCE * R * bench.temperature.sqrt());
    let mut seen = 0;
    for row in done.trace.iter().filter(|row| row.tank_pa_gauge > 4.01e5) {
        let share = (1.0 + (K - 1.0) / 2.0 * row.time_s / tau).powi(-2);
        assert_relative_eq!(row.tank_k, 293.15 * share, max_relative = SOLVER);
        assert_relative_eq!(row.tank_pa_gauge + 1e5, 1e6 * share.powf(K / (K - 1.0)), max_relative = SOLVER);
        seen += 1;
    }
    assert!(seen > 20, "{seen}");
}

#[test]
fn analytic_filling_through_a_choked_path() {
    // A load that cannot be moved leaves a rigid volume V that fills from a huge tank. Without heat:
    // (p V)/(k-1) = (p_a V)/(k-1) + q cp T_0 t, with q constant while choked; no droop.
    let bench = Bench {
        tank: 1000.0,
        start: 9e5,
        set: 5e5,
        droop: 0.0,
        tank_heat: 0.0,
        cylinder_heat: 0.0,
        raise: (1e-9, 0.3),
        dead: 1e-3,
        mass: 1e5,
        ..Bench::default()
    };
    let done = bench.run(&only(Action::Raise, 60.0), &fine(0.05)).unwrap();
    let flow = 1e-9 * REFERENCE * 6e5 / bench.temperature.sqrt();
    let rise = K * flow * R * bench.temperature / bench.dead;
    let mut seen = 0;
    for row in done.trace.iter().filter(|row| row.cap_pa_gauge < 0.79e5) {
        let pressure = 1e5 + rise * row.time_s;
        // The tank sinks by less than 1e-6 of its pressure, and the soft seat of the regulator takes
        // (1e-5)^2 of a flow at these drops.
        assert_relative_eq!(row.cap_pa_gauge + 1e5, pressure, max_relative = 1e-6);
        let mass = 1e5 * bench.dead / (R * 293.15) + flow * row.time_s;
        assert_relative_eq!(row.cap_k, pressure * bench.dead / (mass * R), max_relative = 1e-6);
        seen += 1;
    }
    assert!(seen > 10, "{seen}");
    // In the end: from the start volume of air at T_0 and air that came in at k T_0 of its own:
    // m = m_a + (p - p_a) V/(k R T_0), T = p V/(m R), which for an empty start would be k T_0.
    let last = done.trace.last().unwrap();
    let pressure = last.cap_pa_gauge + 1e5;
    assert_relative_eq!(pressure, 6e5, max_relative = 1e-4);
    let mass = 1e5 * bench.dead / (R * 293.15) + (pressure - 1e5) * bench.dead / (K * R * 293.15);
    let expected = pressure * bench.dead / (mass * R);
    assert_relative_eq!(last.cap_k, expected, max_relative = 1e-6);
    // 6/(1 + 5/1.4) = 1.3125 of T_0.
    assert_relative_eq!(last.cap_k, 1.3125 * 293.15, max_relative = 1e-4);
}

#[test]
fn analytic_piston_at_constant_load() {
    // At constant load pressure p the first law gives cp T_0 q = k/(k-1) p A v, so v = q R T_0/(p A); choked
    // at b = 0.9 from 6 bar, load at 4 bar absolute: p A = (A p_a + F/(1 - mu)).
    let bench = Bench {
        tank: 1000.0,
        set: 5e5,
        droop: 0.0,
        tank_heat: 0.0,
        cylinder_heat: 0.0,
        raise: (2e-9, 0.9),
        mass: 50.0,
        ..Bench::default()
    };
    let done = bench.run(&only(Action::Raise, 8.0), &fine(0.1)).unwrap();
    let flow = 2e-9 * REFERENCE * 6e5 / bench.temperature.sqrt();
    let force = 55.0 * 9.806_65 / (1.0 - bench.friction);
    let thrust = 1e5 * bench.area() + force;
    let speed = flow * R * 293.15 / thrust;
    // Before it moves, the dead volume fills: rise of pressure k q R T_0/V.
    let delay = force / bench.area() * bench.dead / (K * flow * R * 293.15);
    let lift = done.lifts[0];
    assert_relative_eq!(lift.delay.unwrap().value, delay, max_relative = 1e-6);
    assert_relative_eq!(lift.raise_time.unwrap().value, delay + bench.stroke / speed, max_relative = 1e-6);
    let mut seen = 0;
    for row in done.trace.iter().filter(|row| row.mode == Mode::Rising) {
        assert_relative_eq!(row.travel_m, speed * (row.time_s - delay), max_relative = 1e-5, epsilon = 1e-9);
        assert_relative_eq!(row.cap_pa_gauge, force / bench.area(), max_relative = SOLVER);
        seen += 1;
    }
    assert!(seen > 20, "{seen}");
    assert_relative_eq!(done.fastest_out.value, speed, max_relative = 1e-5);
}

#[test]
fn analytic_event_times_to_the_last_digits() {
    // The isothermal blow-down passes cut-in at t = tau ln(p_0/p_in).
    let mut bench = leaking(f64::INFINITY);
    bench.pump = Some(crate::rig::compressor(1e-4, 1.4e6, 7e5, 8.9e5));
    let settings = Settings { tolerance: 1e-11, ..Settings::default() };
    let tau = bench.tank / (1e-8 * REFERENCE * R * bench.temperature.sqrt());
    let at = tau * (10.0_f64 / 8.0).ln();
    let done = bench.run(&only(Action::Rest, at + 2.0), &settings).unwrap();
    let on = done.pump.unwrap();
    assert_eq!(on.starts, 1);
    assert_relative_eq!(on.on.value, 2.0, epsilon = 1e-9);
}

#[test]
fn analytic_cooling_of_a_closed_tank() {
    // Warm air delivered by a pump cools with tau = m cv/k once the pump stops; the sag is that to the site.
    let mut bench = Bench { tank_heat: 2.0, start: 7.9e5, ..Bench::default() };
    bench.pump = Some(crate::rig::compressor(2e-3, 2e6, 8e5, 9e5));
    bench.outlet = 330.0;
    let done = bench.run(&only(Action::Rest, 400.0), &fine(1.0)).unwrap();
    let stop = done.trace.iter().position(|row| row.time_s > 1.0 && !row.pump_on).unwrap();
    let first = done.trace[stop];
    let mass = (first.tank_pa_gauge + 1e5) * bench.tank / (R * first.tank_k);
    let tau = mass * 2.5 * R / 2.0;
    let mut seen = 0;
    for row in done.trace[stop..].iter().take_while(|row| !row.pump_on) {
        let excess = (first.tank_k - 293.15) * (-(row.time_s - first.time_s) / tau).exp();
        assert_relative_eq!(row.tank_k - 293.15, excess, epsilon = 1e-6);
        seen += 1;
    }
    assert!(seen > 100 && first.tank_k > 294.0, "{seen} {first:?}");
    // From cut-out, 10 bar absolute at T, to the same air at T_0.
    let cooled = mass * R * 293.15 / bench.tank;
    assert_relative_eq!(done.pump.unwrap().largest_sag.unwrap().value, 1e6 - cooled, max_relative = 1e-4);
}

#[test]
fn analytic_energy_of_a_lift() {
    // 85 kg raised by 0.4 m, twice: m g h each time; seals take mu/(1 - mu) of that going up.
    let cycle = [Action::Raise, Action::Rest].map(|action| Task { action, until: Until::Elapsed(s(5.0)) });
    let done = Bench::default().run(&Schedule::repeated(cycle.to_vec(), 2), &fine(1.0)).unwrap();
    assert_relative_eq!(done.energy.useful.value, 2.0 * 85.0 * 9.806_65 * 0.4, max_relative = 1e-10);
    // Up F/(1 - mu) against F, down F/(1 + mu): what the air gives, it loses to the seals.
    let weight = 85.0 * 9.806_65;
    let lost = 2.0 * weight * 0.4 * (0.1 / 0.9 + 0.1 / 1.1);
    assert_relative_eq!(done.energy.friction.value, lost, max_relative = 1e-6);
    assert!(done.balance.mass < 1e-12 && done.balance.energy < 1e-12 && done.balance.work < 1e-8);
}
