use approx::assert_relative_eq;

use uom::si::time::second;

use super::*;
use crate::answers::evaluate;
use crate::answers::sample::hive_cart;
use crate::sizing::tank_capacity::{EndPressure, Fitting};

/// A valve with a conductance in L/(s bar), choked far down.
fn valve(liters_per_second_bar: f64, b: f64) -> Restriction {
    let conductance = Conductance::from_si(liters_per_second_bar * 1e-8).unwrap();
    Restriction::new(conductance, Ratio::from(b)).unwrap()
}

fn with_valves() -> Rig {
    let mut rig = hive_cart();
    rig.line.hose = None;
    rig.line.raise = Some(valve(0.2, 0.5));
    rig.line.lower = Some(valve(0.05, 0.4));
    rig.load.take_up = Length::default();
    rig
}

/// analytic: choked flow `C rho_0 p sqrt(T_0/T)` out of a volume `A dx` at the pressure p gives
/// `v = C rho_0 sqrt(T_0/T) R T / A`, whatever the pressure.
#[test]
fn a_choked_lower_valve_gives_a_speed_of_its_own() {
    let rig = with_valves();
    let Some(LowerAnswer::Arrives { fastest, .. }) = evaluate(&rig).unwrap().times.lower else {
        panic!("the load comes down")
    };
    let temperature = rig.site.temperature.value;
    let by_hand = 0.05e-8 * 1.185 * (293.15 / temperature).sqrt() * 287.049 * temperature
        / rig.cylinders.cap_area().value;
    assert_relative_eq!(fastest.value, by_hand, max_relative = 1e-6);
}

/// analytic: at one needed pressure the travel takes `m / q`, `m = p A s / (R T)`, with q from the set
/// point less droop through the valve, here above its critical ratio.
#[test]
fn a_raise_at_one_pressure_takes_mass_over_flow() {
    let rig = with_valves();
    let answers = evaluate(&rig).unwrap();
    let Some(RaiseAnswer::Arrives { delay, total, .. }) = answers.times.raise else {
        panic!("the load arrives")
    };
    let temperature = rig.site.temperature.value;
    let site = rig.site.atmosphere.pascals();
    let up = rig.regulator.moving_pressure().pascals() + site;
    let inside = answers.lift.worst.needed_pressure.pascals() + site;
    let share = (inside / up - 0.5) / 0.5;
    assert!(share > 0.0, "above the critical ratio");
    let flow = 0.2e-8 * 1.185 * up * (293.15 / temperature).sqrt() * (1.0 - share * share).sqrt();
    let mass = inside * rig.cylinders.cap_area().value * rig.cylinders.stroke.value / (287.049 * temperature);
    assert_relative_eq!((total - delay).value, mass / flow, max_relative = 1e-6);
}

#[test]
fn a_narrower_valve_keeps_to_the_speed_wanted() {
    let mut lever = crate::answers::sample::lever_tipper();
    lever.line.lower = Some(valve(0.05, 0.4));
    for mut rig in [with_valves(), lever] {
        rig.limits.lower_speed = Some(Velocity::new::<uom::si::velocity::millimeter_per_second>(20.0));
        let Some(LowerAnswer::Arrives { wanted: Some(wanted), .. }) = evaluate(&rig).unwrap().times.lower
        else {
            panic!("a valve is found")
        };
        rig.line.lower = Some(Restriction::new(wanted.conductance, Ratio::from(0.4)).unwrap());
        let Some(LowerAnswer::Arrives { fastest, .. }) = evaluate(&rig).unwrap().times.lower else {
            panic!("the load comes down")
        };
        assert_relative_eq!(fastest.value, 0.020, max_relative = 1e-6);
    }
}

/// analytic: two alike of `b = 0.5` in a row choke at the second, which sees 4/5 of the pressure, so two fittings
/// like the valve slow a choked lowering to 0.8 and then further; three of them: p2 = 1/(1 + 1/4) p1 for each
/// that is not choked, where the flow is that of the last.
#[test]
fn fittings_stand_in_the_way_of_the_air() {
    let mut rig = with_valves();
    rig.line.lower = Some(valve(0.05, 0.5));
    let speed = |rig: &Rig| match evaluate(rig).unwrap().times.lower {
        Some(LowerAnswer::Arrives { fastest, .. }) => fastest.value,
        other => panic!("{other:?}"),
    };
    let alone = speed(&rig);
    let fitting = |way| Fitting { name: "elbow".to_owned(), way, count: 1, restriction: valve(0.05, 0.5) };
    rig.line.fittings = vec![fitting(Way::Down)];
    assert_relative_eq!(speed(&rig), 0.8 * alone, max_relative = 1e-9);
    rig.line.fittings = vec![fitting(Way::Up)];
    assert_relative_eq!(speed(&rig), alone, max_relative = 1e-9);
    rig.line.fittings = vec![Fitting { restriction: valve(0.02, 0.5), ..fitting(Way::Both) }];
    let Some(RaiseAnswer::Arrives { held_back_by, .. }) = evaluate(&rig).unwrap().times.raise else {
        panic!("the load arrives")
    };
    assert_eq!((held_back_by, held_back_by.words(&rig).as_ref()), (HeldBackBy::Fitting(0), "the elbow"));
}

/// The heavy end of the tolerance is the load that is checked; a raise of it is that of a load so heavy.
#[test]
fn the_heavy_end_of_the_load_is_judged() {
    let mut rig = with_valves();
    rig.limits.raise_time = Some(Time::new::<second>(20.0));
    let heavier = {
        let mut rig = rig.clone();
        rig.load.mass += Mass::new::<uom::si::mass::kilogram>(12.0);
        evaluate(&rig).unwrap().times.raise
    };
    rig.tolerances.insert("load.mass", 12.0);
    let answers = evaluate(&rig).unwrap();
    assert_eq!(answers.times.raise_heaviest, heavier);
    assert_ne!(answers.times.raise, heavier);
    let Some(RaiseAnswer::Arrives { total, .. }) = heavier else { panic!("it arrives") };
    assert_eq!(answers.check("raise time").and_then(|check| check.value), Some(total.value));
}

/// analytic: choked all along, so the speeds are as the conductances.
#[test]
fn a_valve_opened_wide_is_as_much_faster_as_it_is_wider() {
    let mut rig = with_valves();
    rig.line.lower_wide = Some(valve(0.2, 0.4));
    let times = evaluate(&rig).unwrap().times;
    let Some(LowerAnswer::Arrives { fastest, .. }) = times.lower else { panic!("it comes down") };
    assert_relative_eq!(times.lower_wide.unwrap().value, 4.0 * fastest.value, max_relative = 1e-6);
}

/// analytic: the raise at a share of the capacity is that of a load of that mass, and the whole capacity needs
/// the moving pressure, where nothing flows.
#[test]
fn the_time_grows_up_to_the_capacity() {
    let rig = with_valves();
    let answers = evaluate(&rig).unwrap();
    let growth = raise_growth(&rig, &answers).unwrap();
    assert!(growth.is_sorted_by(|one, two| one.time < two.time || two.time.is_none()));
    assert_eq!(growth.last().map(|row| row.time), Some(None));
    let mut light = rig.clone();
    light.load.mass = 0.5 * answers.lift.capacity;
    let Some(RaiseAnswer::Arrives { total, .. }) = evaluate(&light).unwrap().times.raise else {
        panic!("it arrives")
    };
    assert_eq!(growth[0].time, Some(total));
}

/// analytic: a light load leaves the valve choked, so a raise takes `m/(C rho_0 (p - droop) sqrt(T_0/T))`; the
/// tank by Boyle's law, which is within 1 % of real air here while the pressures lie 8 % and more apart.
#[test]
fn the_first_slow_lift_is_where_boyle_puts_it() {
    let mut rig = with_valves();
    rig.load.mass = Mass::new::<uom::si::mass::kilogram>(20.0);
    rig.load.moving = Mass::default();
    let (site, kelvin) = (rig.site.atmosphere.pascals(), rig.site.temperature.value);
    let (area, dead) = (rig.cylinders.cap_area().value, rig.dead_volume().value);
    let swept = area * rig.cylinders.stroke.value;
    let need = site + 20.0 * 9.806_65 / area / (1.0 - rig.cylinders.friction.value);
    let mass = (need * (dead + swept) - site * dead) / (287.049 * kelvin);
    let (set, tank) = (rig.regulator.set.pascals() + site, rig.tank.volume.value);
    let mut pressures = vec![];
    let mut now = rig.full_pressure().pascals() + site;
    while now > need {
        now = if now > set + 1e5 {
            now - (set * (dead + swept) - site * dead) / tank
        } else {
            (now * tank + site * dead) / (tank + dead + swept)
        };
        pressures.push(now);
    }
    // Below the set point by this rule; halfway between the pressures after two lifts.
    for place in [6, 7, 8] {
        let supply = 0.5 * (pressures[place - 1] + pressures[place]);
        assert!(supply < set && 0.5 * (supply - 0.3e5) > need, "choked, with {supply} Pa");
        let flow = 0.2e-8 * 1.185 * (supply - rig.regulator.droop.value) * (293.15 / kelvin).sqrt();
        rig.limits.raise_time = Some(Time::new::<second>(mass / flow));
        let quick = evaluate(&rig).unwrap().times.quick_lifts.unwrap();
        assert_eq!(usize::try_from(quick.count).unwrap(), place);
        assert!(quick.slow.unwrap().time > rig.limits.raise_time);
    }
    // The shorter of two limits counts.
    rig.cycle.rehearsal.raise_within = Some(Time::new::<second>(1e-3));
    assert_eq!(evaluate(&rig).unwrap().times.quick_lifts.unwrap().count, 0);
}

/// A rehearsal without the pump, as the file has it, makes as many lifts in time, or one more.
#[test]
fn a_rehearsal_agrees_with_the_first_slow_lift() {
    use crate::answers::rehearsal::{Extent, plan, rehearse};
    use crate::rehearsal::Outcome;
    let text = include_str!("../../../examples/crate-lift.toml");
    let source = crate::rig::Source::new("crate-lift.toml", text);
    let file = crate::rig::Document::read(Some(&source), &crate::rig::Overrides::none());
    let mut rig = file.rig().unwrap();
    rig.source = crate::rig::AirSource::Bottle { filled_to: rig.full_pressure() };
    for (end, limit) in [
        (EndPressure::Load, 2.0),
        (EndPressure::Load, 3.0),
        (EndPressure::Load, 5.0),
        (EndPressure::SetPoint, 2.0),
        (EndPressure::SetPoint, 4.0),
    ] {
        rig.cycle.end_pressure = end;
        rig.limits.raise_time = Some(Time::new::<second>(limit));
        let counted = evaluate(&rig).unwrap().times.quick_lifts.unwrap();
        assert!(counted.slow.is_some());
        let plan = plan(&rig, Extent::Lifts(30)).unwrap();
        let lifts = rehearse(&rig, &plan, None, &mut |_, _| ()).unwrap().rehearsal.lifts;
        let good = lifts.iter().take_while(|lift| lift.outcome == Outcome::Arrived).count();
        let good = u32::try_from(good).unwrap();
        assert!(
            (counted.count..=counted.count + 1).contains(&good),
            "{end:?} {limit} s: {good}, {counted:?}"
        );
    }
}

/// The way down of a double-acting rig, its held air pressed together by the return air at first, against a
/// rehearsal, which follows every pressure in time: within 5 %, for the rod side takes a moment to fill.
#[test]
fn a_rehearsal_agrees_with_the_driven_way_down() {
    use crate::answers::rehearsal::{Extent, plan, rehearse};
    let mut rig = with_valves();
    rig.cylinders.action = Action::Double;
    rig.linkage.efficiency = Ratio::from(1.0);
    rig.regulator.rated_flow = Some(MassRate::new::<uom::si::mass_rate::gram_per_second>(5.0));
    rig.cycle.per_hour = Some(20.0);
    // Held at the set point. A cylinder that is shut off as the load arrives holds what the air on its rod side
    // asked for, which is more than the back-pressure stated where that side empties slowly.
    for conductance in [0.15, 0.05] {
        rig.line.raise = Some(valve(0.8, 0.3));
        rig.line.lower = Some(valve(conductance, 0.35));
        let Some(LowerAnswer::Arrives { total, fastest, drops, .. }) = evaluate(&rig).unwrap().times.lower
        else {
            panic!("it comes down")
        };
        assert!(drops.is_some());
        let plan = plan(&rig, Extent::Lifts(2)).unwrap();
        let worked = rehearse(&rig, &plan, None, &mut |_, _| ()).unwrap().rehearsal;
        let lower = worked.lifts[0].lower_time.unwrap();
        assert_relative_eq!(total.value, lower.value, max_relative = 0.05);
        assert!(fastest > rig.cylinders.stroke / lower, "{fastest:?} is no less than the mean speed");
    }
}

/// No lower valve changes the drop as the return air comes on: with the lower valve nearly shut the drop is the
/// same, so a limit below it has no lower valve that keeps to it.
#[test]
fn no_lower_valve_is_advised_against_a_drop() {
    let mut rig = with_valves();
    rig.cylinders.action = Action::Double;
    rig.line.raise = Some(valve(0.8, 0.3));
    let mut drops = [0.5, 0.001].map(|conductance| {
        rig.line.lower = Some(valve(conductance, 0.35));
        match evaluate(&rig).unwrap().times.lower {
            Some(LowerAnswer::Arrives { dropping, .. }) => dropping,
            other => panic!("{other:?}"),
        }
    });
    drops.sort_by(|one, two| one.value.total_cmp(&two.value));
    assert_eq!(drops[0], drops[1]);
    assert!(drops[0] > Velocity::default());
    // Wide, so that the way down after the drop is faster than the drop.
    rig.line.lower = Some(valve(50.0, 0.35));
    for (share, is_advised) in [(0.5, false), (1.01, true)] {
        rig.limits.lower_speed = Some(share * drops[0]);
        let answers = evaluate(&rig).unwrap();
        let Some(LowerAnswer::Arrives { wanted, steady, .. }) = answers.times.lower else {
            panic!("it comes down")
        };
        assert!(steady > drops[0], "{steady:?} {drops:?}");
        assert_eq!(wanted.is_some(), is_advised);
        let said = format!("{:?}", answers.check("lowering speed").unwrap().advice);
        assert_eq!(said.contains("return air"), !is_advised, "{said}");
    }
}

/// analytic: a choked lower valve lets a double-acting cylinder down at the same speed as a single-acting one,
/// `C rho_0 sqrt(T_0/T) R T/A`, whatever the return air adds to the pressure; a wide one with
/// `b = 0.5` at `r = p_atm/p` passes `2 (r (1 - r))^0.5` of it.
#[test]
fn return_air_drives_a_double_acting_cylinder_down() {
    let mut rig = with_valves();
    rig.cylinders.action = Action::Double;
    let kelvin = rig.site.temperature.value;
    let choked = |liters: f64| {
        liters * 1e-8 * 1.185 * (293.15 / kelvin).sqrt() * 287.049 * kelvin / rig.cylinders.cap_area().value
    };
    let Some(LowerAnswer::Arrives { steady: fastest, .. }) = evaluate(&rig).unwrap().times.lower else {
        panic!("it comes down")
    };
    assert_relative_eq!(fastest.value, choked(0.05), max_relative = 1e-6);
    // Empty, with light parts and little return air: subsonic, p by the balance of forces.
    let mut rig = rig.clone();
    rig.load.moving = Mass::new::<uom::si::mass::kilogram>(2.0);
    rig.regulator.set = GaugePressure::new(crate::units::pressure::pascals(0.7e5));
    let (cap, ring) = (rig.cylinders.cap_area().value, rig.cylinders.ring_area().value);
    let driving = 2.0 * 9.806_65 * rig.linkage.efficiency.value + 0.7e5 * ring * 0.92;
    let site = rig.site.atmosphere.pascals();
    let ratio = site / (site + driving / cap / 1.08);
    assert!(ratio > 0.5);
    rig.line.lower = Some(valve(0.05, 0.5));
    let Some(LowerAnswer::Arrives { steady: fastest, .. }) = evaluate(&rig).unwrap().times.lower_empty else {
        panic!("it comes down empty")
    };
    assert_relative_eq!(
        fastest.value,
        choked(0.05) * 2.0 * (ratio * (1.0 - ratio)).sqrt(),
        max_relative = 1e-6
    );
}

/// analytic: a choked valve moves the pistons at `C rho_0 sqrt(T_0/T) R T/A`, times `p A/(p A + V dp/dx)` where the
/// pressure changes along the way; times the height gained for a length of travel. On a scissor that is greatest low
/// down, so the load is not fastest where the pistons are.
#[test]
fn the_load_is_fastest_where_the_linkage_makes_it_so() {
    let mut rig = crate::answers::sample::scissor_table();
    rig.line.hose = None;
    rig.line.lower = Some(valve(0.02, 0.3));
    rig.load.mass *= 8.0;
    let travel = rig.travel().unwrap();
    let lift = crate::answers::lift::lift(&rig, &travel);
    let path = sinking_path(&rig, &travel, lift.stroke_used, Force::default());
    let site = rig.site.atmosphere.pascals();
    assert!(path.iter().all(|point| 0.3 * (point.pressure.pascals() + site) > site), "choked: {path:?}");
    let Some(LowerAnswer::Arrives { fastest, .. }) = evaluate(&rig).unwrap().times.lower else {
        panic!("it comes down")
    };
    let (kelvin, area) = (rig.site.temperature.value, rig.cylinders.cap_area().value);
    let choked = 0.02e-8 * 1.185 * (293.15 / kelvin).sqrt() * 287.049 * kelvin / area;
    let load_speed = |at: &TravelPoint, rise: f64| {
        let volume = rig.dead_volume().value + area * at.travel.value;
        let push = (at.pressure.pascals() + site) * area;
        choked * travel.linkage().ratio(at.travel).value * push / (push + volume * rise)
    };
    let legs = path.windows(2).filter(|leg| leg[1].travel > leg[0].travel);
    let by_hand = legs
        .flat_map(|leg| {
            let rise = (leg[1].pressure - leg[0].pressure).value / (leg[1].travel - leg[0].travel).value;
            [load_speed(&leg[0], rise), load_speed(&leg[1], rise)]
        })
        .fold(0.0, f64::max);
    assert_relative_eq!(fastest.value, by_hand, max_relative = 1e-6);
    assert!(by_hand > 1.5 * choked * travel.linkage().ratio(lift.stroke_used).value);
}

fn double_acting() -> Rig {
    let mut rig = with_valves();
    rig.cylinders.action = Action::Double;
    rig.linkage.efficiency = Ratio::from(1.0);
    rig.regulator.rated_flow = Some(MassRate::new::<uom::si::mass_rate::gram_per_second>(5.0));
    rig.cycle.per_hour = Some(20.0);
    rig
}

fn raised(rig: &Rig) -> (Time, Time, HeldBackBy, RodSideHolds) {
    match evaluate(rig).unwrap().times.raise {
        Some(RaiseAnswer::Arrives { delay, total, held_back_by, rod_side: Some(holds), .. }) => {
            (delay, total, held_back_by, holds)
        }
        other => panic!("{other:?}"),
    }
}

/// analytic: a wide supply keeps the cap side at the set point, so the rod side stands at
/// `p_r = (A p_set (1 - mu) - F)/A_r` all the way and its choked vent passes `C rho_0 p_r sqrt(T_0/T)`: what was there at
/// the pressure of the site, less what stays in the dead volume, over that flow. To 2 %: the supply is not endless.
#[test]
fn a_choked_vent_of_the_rod_side_takes_its_time() {
    let mut rig = double_acting();
    rig.regulator.droop = Pressure::default();
    rig.line.hose = None;
    rig.line.raise = Some(valve(100.0, 0.3));
    rig.load.take_up = Length::default();
    let (site, kelvin) = (rig.site.atmosphere.pascals(), rig.site.temperature.value);
    let (cap, ring) = (rig.cylinders.cap_area().value, rig.cylinders.ring_area().value);
    let dead = rig.dead_volume().value;
    let force = 9.806_65 * (rig.load.share.value * rig.load.mass.value + rig.load.moving.value);
    let thrust = cap * rig.regulator.set.pascals() * (1.0 - rig.cylinders.friction.value);
    let rod = site + (thrust - force) / ring;
    let gone = site * (dead + ring * rig.cylinders.stroke.value) - rod * dead;
    for liters in [0.05, 0.1] {
        rig.line.rod_vent = Some(valve(liters, 0.3));
        let flow = liters * 1e-8 * 1.185 * rod * (293.15 / kelvin).sqrt();
        let by_hand = gone / (287.049 * kelvin) / flow;
        let (_, total, held_back_by, holds) = raised(&rig);
        assert_relative_eq!(total.value, by_hand, max_relative = 0.02);
        assert_eq!(held_back_by, HeldBackBy::RodSide);
        assert!(holds.adds > 0.9 * total);
        assert_relative_eq!(holds.arrives_at.pascals(), rig.regulator.set.pascals(), max_relative = 0.01);
    }
}

/// A rehearsal follows the heat of the air and the fall of the tank besides, which change little here.
#[test]
fn a_rehearsal_agrees_with_a_double_acting_raise() {
    use crate::answers::rehearsal::{Extent, plan, rehearse};
    for (supply, vent, end) in
        [(0.8, 0.1, EndPressure::SetPoint), (0.8, 0.1, EndPressure::Load), (0.2, 0.5, EndPressure::Load)]
    {
        let mut rig = double_acting();
        rig.line.raise = Some(valve(supply, 0.3));
        rig.line.rod_vent = Some(valve(vent, 0.35));
        rig.cycle.end_pressure = end;
        let (delay, total, _, holds) = raised(&rig);
        let plan = plan(&rig, Extent::Lifts(2)).unwrap();
        let worked = rehearse(&rig, &plan, None, &mut |_, _| ()).unwrap().rehearsal;
        let lift = &worked.lifts[0];
        assert_relative_eq!(total.value, lift.raise_time.unwrap().value, max_relative = 0.03);
        // Air that keeps its heat fills a volume up to 1.4 times faster.
        let in_time = lift.delay.unwrap();
        assert!((delay / 1.41..=delay).contains(&in_time), "{delay:?} {in_time:?}");
        assert!(vent > supply || holds.adds > 0.1 * total, "{holds:?}");
        if end == EndPressure::Load {
            let there = lift.cap_after_raise.pascals();
            assert_relative_eq!(holds.arrives_at.pascals(), there, max_relative = 0.02);
        }
    }
}

/// The load that is shut off on its way against air on the rod side holds more air, which has to leave.
#[test]
fn the_way_down_begins_with_the_air_that_the_raise_left() {
    use crate::answers::rehearsal::{Extent, plan, rehearse};
    let mut rig = double_acting();
    rig.cycle.end_pressure = EndPressure::Load;
    // A light return, so that the air under the load bears both.
    rig.line.raise = Some(valve(0.8, 0.3));
    rig.line.rod_vent = Some(valve(0.05, 0.35));
    let lower = |rig: &Rig| match evaluate(rig).unwrap().times.lower {
        Some(LowerAnswer::Arrives { total, .. }) => total,
        other => panic!("{other:?}"),
    };
    let worked = {
        let plan = plan(&rig, Extent::Lifts(1)).unwrap();
        rehearse(&rig, &plan, None, &mut |_, _| ()).unwrap().rehearsal
    };
    let followed = lower(&rig);
    assert_relative_eq!(followed.value, worked.lifts[0].lower_time.unwrap().value, max_relative = 0.07);
    rig.line.rod_vent = None;
    rig.given.insert("cylinders.back-pressure");
    assert!(lower(&rig) < 0.95 * followed, "{:?} {followed:?}", lower(&rig));
}

/// analytic: choked filling is linear in pressure, so the pistons start once `V_dead (p - p_0)/(R T)` has come in at
/// `C rho_0 p_set sqrt(T_0/T)`, `p` being what they need against `k mu`; a set point below that never starts them.
#[test]
fn pistons_that_stick_start_later() {
    let mut rig = with_valves();
    rig.regulator.droop = Pressure::default();
    rig.linkage.efficiency = Ratio::from(1.0);
    rig.load.take_up = Length::default();
    rig.load.mass *= 0.4;
    let kelvin = rig.site.temperature.value;
    let force = 9.806_65 * (rig.load.share.value * rig.load.mass.value + rig.load.moving.value);
    let supply = rig.regulator.set.pascals() + rig.site.atmosphere.pascals();
    let flow = 0.2e-8 * 1.185 * supply * (293.15 / kelvin).sqrt();
    let mu = rig.cylinders.friction.value;
    let needed = |k: f64| force / rig.cylinders.cap_area().value / (1.0 - k * mu);
    let delay = |k: f64| rig.dead_volume().value * needed(k) / (287.049 * kelvin) / flow;
    assert!(needed(2.5) + 1e5 < 0.5 * supply, "choked");
    for k in [1.0, 1.5, 2.5] {
        let rig = Rig { breakaway: Some(Ratio::from(k)), ..rig.clone() };
        match evaluate(&rig).unwrap().times.raise {
            Some(RaiseAnswer::Arrives { delay: found, leaps, rod_side: None, .. }) => {
                assert_relative_eq!(found.value, delay(k), max_relative = 1e-4);
                assert_eq!(leaps, (k > 1.0).then(Length::default));
            }
            other => panic!("{other:?}"),
        }
    }
    let sticks = Rig { breakaway: Some(Ratio::from(2.5)), ..rig.clone() };
    let set = |pascals: f64| GaugePressure::new(crate::units::pressure::pascals(pascals));
    for (pressure, starts) in [(1.01, true), (0.99, false)] {
        let mut rig = sticks.clone();
        rig.regulator.set = set(pressure * needed(2.5));
        let raise = evaluate(&rig).unwrap().times.raise;
        assert_eq!(matches!(raise, Some(RaiseAnswer::Arrives { .. })), starts, "{raise:?}");
    }
}

/// What can happen to a platform is worked without the air that slows it: that need not be there.
#[test]
fn a_fault_does_not_count_on_the_air_on_the_rod_side() {
    let rising = |vent: f64| {
        let mut rig = double_acting();
        rig.line.rod_vent = Some(valve(vent, 0.3));
        let answers = evaluate(&rig).unwrap();
        let hazards = crate::answers::hazards(&rig, &answers).unwrap();
        let speeds = hazards.faults.iter().flat_map(|fault| &fault.figures);
        let speeds = speeds.filter(|figure| figure.name == "speed up at most, loaded or empty");
        (raised(&rig).1, speeds.map(|figure| figure.value).collect::<Vec<_>>())
    };
    let (narrow, wide) = (rising(0.01), rising(1.0));
    assert!(narrow.0 > 2.0 * wide.0);
    assert!(!narrow.1.is_empty());
    assert_eq!(narrow.1, wide.1);
}

/// analytic: `m v^2/2` over `m g h` has no mass in it.
#[test]
fn a_load_too_quick_for_slow_motion_is_told() {
    let told = |rig: &Rig| {
        let answers = evaluate(rig).unwrap();
        let note = crate::answers::notes(rig, &answers).into_iter().map(|note| format!("{note:?}"));
        let speed = match (answers.times.raise, answers.times.raise_empty) {
            (
                Some(RaiseAnswer::Arrives { fastest, .. }),
                Some(RaiseAnswer::Arrives { fastest: empty, .. }),
            ) => fastest.max(empty).value,
            other => panic!("{other:?}"),
        };
        let height = answers.lift.height;
        let by_hand = speed * speed / 2.0 / 9.806_65 / height.value;
        let share =
            share_in_motion(rig.load, height, Velocity::new::<uom::si::velocity::meter_per_second>(speed));
        (note.into_iter().any(|note| note.contains("energy of motion")), share, by_hand)
    };
    let mut rig = with_valves();
    let (is_told, share, by_hand) = told(&rig);
    assert!(!is_told && share.is_none() && by_hand < 0.1);
    rig.line.raise = Some(valve(3.0, 0.5));
    let (is_told, share, by_hand) = told(&rig);
    assert!(is_told && by_hand > 0.1);
    assert_relative_eq!(share.unwrap().value, by_hand, max_relative = 1e-9);
}

fn lowered(lower: Option<LowerAnswer>) -> (Time, Velocity) {
    match lower {
        Some(LowerAnswer::Arrives { total, fastest, .. }) => (total, fastest),
        other => panic!("{other:?}"),
    }
}

/// The platform that comes down empty went up empty, and the heaviest load as heavy as it is: each as if it were the load
/// of the rig file.
#[test]
fn each_load_comes_down_from_the_pressure_that_held_it() {
    let mut single = with_valves();
    single.cycle.end_pressure = EndPressure::Load;
    let mut double = double_acting();
    double.cycle.end_pressure = EndPressure::Load;
    double.line.raise = Some(valve(0.8, 0.3));
    for mut rig in [single, double] {
        rig.load.moving = Mass::new::<uom::si::mass::kilogram>(30.0);
        rig.tolerances.insert("load.mass", 20.0);
        let times = evaluate(&rig).unwrap().times;
        let alone = |mass: Mass| {
            let mut rig = rig.clone();
            rig.tolerances.clear();
            rig.load.mass = mass;
            evaluate(&rig).unwrap().times
        };
        let empty = alone(Mass::default());
        assert_eq!(lowered(times.lower_empty), lowered(empty.lower));
        let heavy = alone(rig.load.mass + Mass::new::<uom::si::mass::kilogram>(20.0));
        assert_eq!(lowered(times.lower_heaviest), lowered(heavy.lower));
        assert_ne!(lowered(times.lower), lowered(times.lower_heaviest));
    }
}

/// An empty platform on which the return air makes it drop, while the loaded one bears it: the faster one is judged.
#[test]
fn the_faster_of_load_and_empty_platform_is_judged() {
    let mut rig = double_acting();
    rig.cycle.end_pressure = EndPressure::Load;
    rig.load.moving = Mass::new::<uom::si::mass::kilogram>(5.0);
    rig.line.raise = Some(valve(0.8, 0.3));
    let times = evaluate(&rig).unwrap().times;
    let (loaded, empty) = (lowered(times.lower).1, lowered(times.lower_empty).1);
    assert!(empty > loaded, "{empty:?} {loaded:?}");
    rig.limits.lower_speed = Some(0.5 * (empty + loaded));
    let answers = evaluate(&rig).unwrap();
    let check = answers.check("lowering speed").unwrap();
    assert_eq!(check.verdict, crate::answers::Verdict::Fail);
    assert_eq!(check.value, Some(empty.value));
    assert!(format!("{:?}", check.advice).contains("the empty platform"));
}

/// A check valve before the rod-side vent holds its cracking pressure there: where the set point does not bear that, the
/// load stops, in `check` as in a rehearsal.
#[test]
fn a_check_valve_before_the_vent_holds_a_load_back() {
    use crate::answers::rehearsal::{Extent, plan, rehearse};
    let mut rig = double_acting();
    rig.regulator.droop = Pressure::default();
    rig.load.take_up = Length::default();
    let cracking = crate::units::pressure::pascals(1e5);
    let fitting = Fitting {
        name: "check valve".to_owned(),
        way: Way::Down,
        count: 1,
        restriction: valve(1.0, 0.3).with_cracking_pressure(cracking).unwrap(),
    };
    rig.line.fittings = vec![fitting];
    rig.line.raise = Some(valve(0.8, 0.3));
    rig.line.rod_vent = Some(valve(0.5, 0.3));
    let (cap, ring) = (rig.cylinders.cap_area().value, rig.cylinders.ring_area().value);
    let thrust = rig.regulator.set.pascals() * (1.0 - rig.cylinders.friction.value) * cap;
    // Moving parts and load together, with the vent holding 1 bar.
    let most = (thrust - 1e5 * ring) / 9.806_65 - rig.load.moving.value;
    for (share, arrives) in [(0.97, true), (1.03, false)] {
        rig.load.mass = Mass::new::<uom::si::mass::kilogram>(share * most / rig.load.share.value);
        assert!(9.806_65 * moving_mass(rig.load).value < thrust, "it would rise without");
        let raise = evaluate(&rig).unwrap().times.raise;
        assert_eq!(matches!(raise, Some(RaiseAnswer::Arrives { .. })), arrives, "{raise:?}");
        let plan = plan(&rig, Extent::Lifts(1)).unwrap();
        let worked = rehearse(&rig, &plan, None, &mut |_, _| ()).unwrap().rehearsal;
        assert_eq!(worked.lifts[0].outcome.arrived(), arrives);
    }
}

/// A stated back-pressure stands for the rod side, unless `rod-vent` says how it empties as well.
#[test]
fn a_described_vent_counts_beside_a_stated_back_pressure() {
    let mut rig = double_acting();
    rig.line.raise = Some(valve(0.8, 0.3));
    rig.given.insert("cylinders.back-pressure");
    let total = |rig: &Rig| match evaluate(rig).unwrap().times.raise {
        Some(RaiseAnswer::Arrives { total, left_out: false, .. }) => total,
        other => panic!("{other:?}"),
    };
    let stated = total(&rig);
    // Pistons that hardly stick take as long as those that do not, the back-pressure still alone.
    let sticks = Rig { breakaway: Some(Ratio::from(1.000_001)), ..rig.clone() };
    assert_relative_eq!(total(&sticks).value, stated.value, max_relative = 1e-4);
    let mut without_lower = sticks;
    without_lower.line.lower = None;
    assert_relative_eq!(total(&without_lower).value, stated.value, max_relative = 1e-4);
    rig.line.rod_vent = Some(valve(0.05, 0.3));
    assert!(total(&rig) > 1.5 * stated);
}

/// analytic: with much dead volume the trapped air keeps its pressure, so what breaks the load loose pushes all the way:
/// `F/(1 - k mu) - F` over the stroke, of which the seals take their part.
#[test]
fn a_leap_hits_the_stop() {
    let mut rig = with_valves();
    rig.load.take_up = Length::default();
    rig.linkage.efficiency = Ratio::from(1.0);
    rig.cylinders.clearance = uom::si::f64::Volume::new::<uom::si::volume::liter>(1e4);
    rig.breakaway = Some(Ratio::from(2.0));
    rig.limits.stop_energy = Some(Energy::new::<uom::si::energy::joule>(1.0));
    let answers = evaluate(&rig).unwrap();
    let force = answers.lift.worst.force.value;
    let mu = rig.cylinders.friction.value;
    let thrust = force / (1.0 - 2.0 * mu);
    let by_hand = (thrust - force) * rig.cylinders.stroke.value;
    match answers.times.raise {
        Some(RaiseAnswer::Arrives { end_energy, fastest, leaps: Some(_), .. }) => {
            assert_relative_eq!(end_energy.value, by_hand, max_relative = 1e-2);
            let mass = force / 9.806_65;
            assert_relative_eq!(fastest.value, (2.0 * by_hand / mass).sqrt(), max_relative = 1e-2);
        }
        other => panic!("{other:?}"),
    }
    let check = answers.check("blow at the stops").unwrap();
    assert_eq!(check.verdict, crate::answers::Verdict::Fail);
    assert!(crate::answers::notes(&rig, &answers).iter().any(|note| format!("{note:?}").contains("leaps")));
}

/// `check` solves the line element by element, a rehearsal puts one passage between check valves in its place.
#[test]
fn a_rehearsal_comes_down_through_check_valves_as_the_line_does() {
    use crate::answers::rehearsal::{Extent, plan, rehearse};
    let text = include_str!("../../../examples/crate-lift.toml");
    let file = crate::rig::Document::read(
        Some(&crate::rig::Source::new("rig.toml", text)),
        &crate::rig::Overrides::none(),
    );
    let mut rig = file.rig().unwrap();
    let mut before = Time::default();
    for bar in [0.2, 0.8, 1.6] {
        let cracking = crate::units::pressure::pascals(bar * 1e5);
        rig.line.fittings = vec![Fitting {
            name: "check valve".to_owned(),
            way: Way::Down,
            count: 1,
            restriction: valve(3.0, 0.3).with_cracking_pressure(cracking).unwrap(),
        }];
        let total = lowered(evaluate(&rig).unwrap().times.lower).0;
        let plan = plan(&rig, Extent::Lifts(1)).unwrap();
        let worked = rehearse(&rig, &plan, None, &mut |_, _| ()).unwrap().rehearsal;
        assert_relative_eq!(total.value, worked.lifts[0].lower_time.unwrap().value, max_relative = 0.06);
        assert!(total > 1.02 * before);
        before = total;
    }
}
