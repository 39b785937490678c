//! What is dangerous, or takes a person, or is not known, is no pass.

use approx::assert_relative_eq;
use lungful::answers::Verdict;
use lungful::report::words;
use lungful::units::UnitSystem;

use super::{BARE, edited, fault, figure, judged};

#[test]
fn a_load_that_rises_by_itself_is_held_to_the_speed_limit() {
    let with = |conductance: &str, protection: &str| {
        let valve = format!("raise = {{ C = \"{conductance} L/(s bar)\"");
        let text = edited(BARE, &[("raise = { C = \"1 L/(s bar)\"", &valve)]);
        fault(&judged(&format!("{text}[protection]\n{protection}\n")).2, "raise valve stuck open").check
    };
    // 4e-8 m3/(s Pa) let in 4e-8 * 571e3 Pa = 23 NL/s, 5 L/s at 435 kPa, over 39.3 cm2: 1.3 m/s less what the hose
    // takes. Forty times narrower the load is slower than 1.3/40 m/s; the empty platform, at 157 kPa in place of
    // 435 kPa, 2.8 times as fast as that: less than 0.1 m/s.
    let fast = with("4", "");
    assert!(fast.value.unwrap() > 0.25, "{:?}", fast.value);
    assert_eq!((fast.verdict, fast.limit), (Verdict::Fail, Some(0.25)));
    let slow = with("0.1", "");
    assert!(slow.value.unwrap() < 0.1, "{:?}", slow.value);
    assert_eq!(slow.verdict, Verdict::Caution);
    // 0.38 m at more than 0.25 m/s is up in less than 1.52 s: nobody reaches a hand valve within that.
    let by_hand = with("4", "shut-off = \"fitted\"");
    assert_eq!(by_hand.verdict, Verdict::Fail);
    let advice = words(&by_hand.advice, UnitSystem::Metric);
    assert!(
        advice.starts_with("throttle the raise valve or its line") && advice.contains("not vent it"),
        "{advice}"
    );
    assert_eq!(with("0.1", "shut-off = \"fitted\"").verdict, Verdict::Caution, "a person has to shut it off");
    // Past a limit of 20 mm/s, but 3.8 s or longer on the way at less than 0.1 m/s.
    let low = "[limits]\nfall-speed = \"20 mm/s\"";
    assert_eq!(with("0.1", low).verdict, Verdict::Fail);
    assert_eq!(with("0.1", &format!("shut-off = \"fitted\"\n{low}")).verdict, Verdict::Caution);
}

#[test]
fn a_hand_valve_that_lets_a_load_down_takes_a_person() {
    let by_hand = judged(&format!("{BARE}[protection]\ndump = \"both\"\n")).2;
    assert_eq!(fault(&by_hand, "lower valve stuck shut").check.verdict, Verdict::Caution);
}

const SPRINGS: &str = "raise-unpowered = \"shut\"\nlower-unpowered = \"open\"\n";

#[test]
fn one_valve_that_a_spring_opens_is_enough_to_know() {
    for (springs, verdict, load) in [
        ("raise-unpowered = \"open\"\n", Verdict::Fail, "a spring opens the raise valve"),
        ("lower-unpowered = \"open\"\n", Verdict::Fail, "a spring opens the lower valve"),
        ("raise-unpowered = \"shut\"\n", Verdict::NotJudged, "not known"),
        ("lower-unpowered = \"shut\"\n", Verdict::NotJudged, "not known"),
    ] {
        let found = judged(&edited(BARE, &[(SPRINGS, springs)])).2;
        assert_eq!(fault(&found, "electric power lost").check.verdict, verdict, "{springs}");
        let state = found.states.iter().find(|state| state.phase == "power off").unwrap();
        let said = words(&state.load, UnitSystem::Metric);
        assert!(said.starts_with(load), "{springs}: {said}");
    }
    let opens = edited(
        BARE,
        &[(SPRINGS, "raise-unpowered = \"open\"\n"), ("raise = { C = \"1 L/", "raise = { C = \"0.1 L/")],
    );
    let by_hand = judged(&format!("{opens}[protection]\nshut-off = \"fitted\"\n")).2;
    assert_eq!(fault(&by_hand, "electric power lost").check.verdict, Verdict::Caution);
}

#[test]
fn air_alone_sinks_when_both_valves_shut() {
    let shut = edited(BARE, &[(SPRINGS, "raise-unpowered = \"shut\"\nlower-unpowered = \"shut\"\n")]);
    for (protection, verdict) in [
        ("", Verdict::Caution),
        ("support = \"pin\"", Verdict::Caution),
        ("support = \"latch\"", Verdict::Pass),
        ("lock = \"in the port\"", Verdict::Caution),
    ] {
        let found = judged(&format!("{shut}[protection]\n{protection}\n")).2;
        assert_eq!(fault(&found, "electric power lost").check.verdict, verdict, "{protection}");
    }
}

/// analytic: a choked way out lets the pistons down at a speed that no pressure changes, so a double-acting cylinder
/// comes down as fast as a single-acting one, its return air or none.
#[test]
fn analytic_the_fall_of_a_double_acting_cylinder() {
    let double = edited(BARE, &[("action = \"single\"", "action = \"double\"")]);
    let of = |protection: &str, id: &str| {
        fault(&judged(&format!("{double}[protection]\n{protection}\n")).2, id).check
    };
    let area = 2.0 * std::f64::consts::FRAC_PI_4 * 0.05 * 0.05;
    // Cd A sqrt(k R T) (2/(k + 1))^3 over the area of the pistons, as 1.2^-3 is (2/2.4)^3.
    let choked = |hole: f64| hole / area * (1.4 * 287.05 * 293.15_f64).sqrt() / 1.2_f64.powi(3);
    let hole = |bore: f64| std::f64::consts::FRAC_PI_4 * bore * bore;
    let off = of("", "hose off at the cylinders");
    assert_relative_eq!(off.value.unwrap(), choked(0.97 * hole(6e-3)), max_relative = 2e-4);
    assert_eq!(off.verdict, Verdict::Fail);
    // Two sharp holes of 0.3 mm bound it, as they do with a single-acting one.
    for id in ["hose off at the cylinders", "hose off at the valve", "lower valve stuck open"] {
        let slow = of("port-throttle = { bore = \"0.3 mm\" }", id);
        // The ways behind them are 100 times as wide.
        let by_hand = choked(2.0 * 0.65 * hole(0.3e-3));
        if id == "lower valve stuck open" {
            // Load and return air ask for 6.2 bar, (1177 N + 0.9 * 5 bar * 3299 mm2) / 1.1 / 3927 mm2, of air at 5 bar:
            // the load drops first, and no throttle in the cap side stops that.
            assert!(slow.value.unwrap() > 0.25 && slow.verdict == Verdict::Fail, "{slow:?}");
            assert!(words(&slow.advice, UnitSystem::Metric).contains("regulator of its own"));
        } else {
            assert_relative_eq!(slow.value.unwrap(), by_hand, max_relative = 1e-3);
            assert_eq!(slow.verdict, Verdict::Caution, "{id}");
        }
        assert_eq!(of("support = \"latch\"", id).verdict, Verdict::Caution, "{id}");
        assert_eq!(of("lock = \"in the port\"", id).verdict, Verdict::Caution, "{id}");
    }
    assert_eq!(of("", "electric power lost").verdict, Verdict::Fail, "a held load comes down");
}

/// analytic: through a hose without end a load comes down with its weight and the push of the return air:
/// `v^2 = 2 g h + 2 W/m`.
#[test]
fn analytic_no_driven_fall_is_faster_than_its_work() {
    let wide = edited(
        BARE,
        &[("action = \"single\"", "action = \"double\""), ("hose-bore = \"6 mm\"", "hose-bore = \"50 mm\"")],
    );
    let off = fault(&judged(&wide).2, "hose off at the cylinders");
    let ring = 2.0 * std::f64::consts::FRAC_PI_4 * (0.05_f64.powi(2) - 0.02_f64.powi(2));
    let square = 2.0 * 9.806_65 * 0.4 + 2.0 * 5e5 * ring * 0.4 / 120.0;
    assert_relative_eq!(off.check.value.unwrap(), square.sqrt(), max_relative = 1e-9);
    assert_relative_eq!(figure(&off, "blow at the end of the fall"), 60.0 * square, max_relative = 1e-9);
}

#[test]
fn analytic_unfavourable_ends_of_load_and_pressures() {
    let loose = edited(
        BARE,
        &[
            ("mass = \"100 kg\"", "mass = \"100 kg +- 5 kg\""),
            ("set = \"5 bar\"", "set = \"5 bar +- 0.2 bar\""),
            ("cut-out = \"8 bar\"", "cut-out = \"8 bar +- 0.3 bar\""),
        ],
    );
    let found = judged(&loose).2;
    let one = std::f64::consts::FRAC_PI_4 * 0.05 * 0.05;
    let lost = fault(&found, "one cylinder lost").check;
    // 105 kg and 20 kg on one of two; 5 less 0.2 less 0.3 bar are there.
    assert_relative_eq!(lost.value.unwrap(), 125.0 * 9.806_65 / one / 0.9, max_relative = 1e-9);
    assert_relative_eq!(lost.limit.unwrap(), 4.5e5, max_relative = 1e-9);
    let over = fault(&found, "load 25 % above plan").check;
    assert_relative_eq!(
        over.value.unwrap(),
        (1.25 * 105.0 + 20.0) * 9.806_65 / (2.0 * one) / 0.9,
        max_relative = 1e-9
    );
    assert_relative_eq!(over.limit.unwrap(), 4.5e5, max_relative = 1e-9);
    let cold = fault(&found, "tank gone cold").check;
    // 7.7 bar at 20 degC, ideal gas, against 5.2 and 0.5 bar
    let site = 101_325.0;
    let ideal = (7.7e5 + site) * (293.15 - 15.0) / 293.15 - site;
    assert_relative_eq!(cold.value.unwrap(), ideal, epsilon = 2e-3 * (7.7e5 + site));
    assert_relative_eq!(cold.limit.unwrap(), 5.7e5, max_relative = 1e-9);
}

#[test]
fn analytic_a_leap_is_summed_along_the_linkage() {
    let text = edited(
        include_str!("../../examples/folding-leg-riser.toml"),
        &[
            ("lower-mass = \"3 kg\"", "lower-mass = \"0.001 g\""),
            ("upper-mass = \"3 kg\"", "upper-mass = \"0.001 g\""),
            ("lift = \"240 mm\"", "lift = \"120 mm\""),
            ("end-pressure = \"set point\"", "end-pressure = \"load\""),
        ],
    );
    let (rig, answers, found) = judged(&text);
    let lost = fault(&found, "load lost while raised");
    let travel = rig.travel().unwrap();
    let (from, to) = (answers.lift.stroke_used, travel.end());
    // Work of the push less what 25 kg take for their height: no sum along the way is needed.
    let push = rig.cylinders.cap_area().value * answers.lift.end_pressure.pascals();
    let height = (travel.height(to) - travel.height(from)).value;
    let expected = push * (to - from).value - 25.0 * 9.806_65 * height / rig.linkage.efficiency.value;
    assert!(expected > 0.0);
    assert_relative_eq!(figure(&lost, "blow at the stop, at most"), expected, max_relative = 2e-3);
}

#[test]
fn an_overload_is_held_to_all_that_bears_it() {
    let bare = fault(&judged(BARE).2, "load 25 % above plan").check;
    assert_eq!(bare.verdict, Verdict::NotJudged);
    assert!(words(&bare.advice, UnitSystem::Metric).contains("describe the beams"));
    // Slender rods: pi^2 * 200 GPa * pi/64 (6 mm)^4 / L^2 is about 45 N at 2.5 m, far below 711 N on each.
    let slender = edited(
        BARE,
        &[("rod = \"20 mm\"", "rod = \"6 mm\""), ("closed-length = \"550 mm\"", "closed-length = \"2.1 m\"")],
    );
    let rods = fault(&judged(&slender).2, "load 25 % above plan").check;
    assert_eq!(rods.verdict, Verdict::Fail);
    assert!(words(&rods.advice, UnitSystem::Metric).contains("the rod of a cylinder may bow out"));
}

#[test]
fn a_bottle_keeps_its_air_until_it_is_emptied() {
    let compressor = BARE.find("[compressor]").unwrap()..BARE.find("[tank]").unwrap();
    let mut bottle = BARE.to_owned();
    bottle.replace_range(compressor, "");
    let bottle = edited(&bottle, &[("volume = \"10 L\"", "volume = \"10 L\"\nfilled-to = \"8 bar\"")]);
    let left = |dump: &str| {
        fault(&judged(&format!("{bottle}[protection]\ndump = \"{dump}\"\n")).2, "air left after all off")
            .check
    };
    // Isentropic, 10 L at 8 bar gauge: 2.5 * 901325 * 0.010 * (1 - (1.01325/9.01325)^(2/7)) = 10.5 kJ
    assert_relative_eq!(left("cylinders").value.unwrap(), 10.48e3, max_relative = 2e-3);
    for dump in ["none", "cylinders", "both"] {
        assert_eq!(left(dump).verdict, Verdict::Caution, "{dump}");
    }
}

#[test]
fn a_cold_tank_is_told_in_the_units_of_the_reader() {
    let cold = fault(&judged(BARE).2, "tank gone cold");
    assert!(words(&cold.happens, UnitSystem::Metric).contains("from 20 degC to 5 degC"));
    // 20 degC and 15 K, 27 degF, less
    assert!(words(&cold.happens, UnitSystem::Us).contains("from 68 degF to 41 degF"));
}

#[test]
fn what_tilts_or_leaps_is_no_pass() {
    // Two of three bear 120 kg at 1176.8 N / 3926.99 mm2 / 0.9 = 3.33 bar: they lift it, but one side is dead.
    let three = fault(&judged(&edited(BARE, &[("count = 2", "count = 3")])).2, "one cylinder lost").check;
    assert_eq!(three.verdict, Verdict::Caution);
    assert_relative_eq!(three.value.unwrap(), 3.3296e5, max_relative = 1e-4);
    // The stops take the leap; who stands over the platform does not.
    let leaps = format!(
        "{}[cycle]\nend-pressure = \"load\"\n[limits]\nstop-energy = \"5 kJ\"\n",
        edited(BARE, &[("\"380 mm\"", "\"300 mm\"")])
    );
    assert_eq!(fault(&judged(&leaps).2, "load lost while raised").check.verdict, Verdict::Caution);
}

#[test]
fn a_relief_valve_counts_at_its_low_end() {
    // The pump delivers 0.5 g/s; 0.55 g/s and a tolerance of 0.1 g/s may be 0.45 g/s.
    let with = |capacity: &str| {
        let relief = format!("relief = \"9 bar\"\nrelief-capacity = \"{capacity}\"");
        fault(&judged(&edited(BARE, &[("relief = \"9 bar\"", &relief)])).2, "pressure switch stuck closed")
            .check
    };
    assert_eq!(with("0.55 g/s").verdict, Verdict::Pass);
    assert_eq!(with("0.55 g/s +- 0.1 g/s").verdict, Verdict::Fail);
}

/// A leg over centre bears a raised load, so what lets the air out is a caution; one that stops short of it fails.
#[test]
fn a_leg_over_centre_holds_what_the_air_lets_go() {
    let over = include_str!("../../examples/folding-leg-riser.toml");
    let short = edited(over, &[("stop-angle = \"186 deg\"", "stop-angle = \"172 deg\"")]);
    let hose = |text: &str| fault(&judged(text).2, "hose off at the cylinders").check;
    assert_eq!(hose(over).verdict, Verdict::Caution);
    assert!(words(&hose(over).advice, UnitSystem::Metric).contains("over centre"), "{:?}", hose(over));
    assert_eq!(hose(&short).verdict, Verdict::Fail);
}

/// What is said of a leg over centre is one thing all over: it stays, and no hand valve lets it down.
#[test]
fn a_leg_over_centre_is_told_the_same_all_over() {
    let over = edited(
        include_str!("../../examples/folding-leg-riser.toml"),
        &[
            ("[cylinders]", "raise-unpowered = \"shut\"\nlower-unpowered = \"open\"\n[cylinders]"),
            ("action = \"double\"", "action = \"single\""),
            ("back-pressure = \"0.2 bar\"\n", ""),
        ],
    );
    let valve = edited(&over, &[("raise-unpowered", "lower = { bore = \"3 mm\" }\nraise-unpowered")]);
    for text in [over, valve] {
        let found = judged(&format!("{text}[protection]\ndump = \"both\"\n")).2;
        for id in [
            "hose off at the cylinders",
            "hose off at the valve",
            "lower valve stuck open",
            "electric power lost",
        ] {
            let said = words(&fault(&found, id).happens, UnitSystem::Metric);
            assert!(said.contains("a load that is not over centre"), "{id}: {said}");
            assert!(said.contains("over centre the leg holds it"), "{id}: {said}");
        }
        let state = |phase: &str| {
            let state = found.states.iter().find(|state| state.phase == phase).unwrap();
            words(&state.load, UnitSystem::Metric)
        };
        assert!(state("hold").starts_with("held over centre by the leg itself"), "{}", state("hold"));
        assert!(state("lower").starts_with("stays over centre"), "{}", state("lower"));
        let said = super::text(&text);
        assert!(
            said.contains(
                "Until its leg is over centre, and on the way down, this rig holds its load by air"
            )
        );
        assert!(!said.contains("This rig holds its load by air alone"), "{said}");
        let shut = words(&fault(&found, "lower valve stuck shut").check.advice, UnitSystem::Metric);
        assert!(shut.contains("pull the leg back over straight"), "{shut}");
    }
}

/// Without power a raise valve that stays open is one that sticks open, and fails where that does.
#[test]
fn a_valve_that_stays_is_judged_as_one_that_sticks() {
    let with = |raise: &str, lower: &str, conductance: &str, more: &str| {
        let springs = format!("raise-unpowered = \"{raise}\"\nlower-unpowered = \"{lower}\"\n");
        let valve = format!("raise = {{ C = \"{conductance} L/(s bar)\"");
        let text = edited(BARE, &[(SPRINGS, &springs), ("raise = { C = \"1 L/(s bar)\"", &valve)]);
        judged(&format!("{text}{more}")).2
    };
    // 4 L/(s bar) is past 250 mm/s and 0.1 far below, as the test of the stuck raise valve works out.
    for (raise, lower, conductance, more, verdict) in [
        ("stays", "shut", "4", "", Verdict::Fail),
        ("stays", "shut", "0.1", "", Verdict::Caution),
        ("stays", "shut", "4", "[protection]\nshut-off = \"fitted\"\n", Verdict::Fail),
        // What is too hard for the stops is so with a hand valve too.
        (
            "stays",
            "shut",
            "4",
            "[protection]\nshut-off = \"fitted\"\n[limits]\nstop-energy = \"1 J\"\n",
            Verdict::Fail,
        ),
        (
            "open",
            "shut",
            "4",
            "[protection]\nshut-off = \"fitted\"\n[limits]\nstop-energy = \"1 J\"\n",
            Verdict::Fail,
        ),
        // The lower valve of 4 mm lets it down at less than 250 mm/s or more, as that fault says.
        ("shut", "stays", "0.1", "[limits]\nfall-speed = \"20 mm/s\"\n", Verdict::Fail),
        ("shut", "stays", "0.1", "[limits]\nfall-speed = \"2000 mm/s\"\n", Verdict::Caution),
        // With the hand valve a slow rise is a caution, a way down that goes on is not.
        (
            "open",
            "stays",
            "0.1",
            "[protection]\nshut-off = \"fitted\"\n[limits]\nfall-speed = \"20 mm/s\"\n",
            Verdict::Fail,
        ),
    ] {
        let found = with(raise, lower, conductance, more);
        let lost = fault(&found, "electric power lost").check;
        assert_eq!(lost.verdict, verdict, "{raise} {lower} {conductance} {more}: {lost:?}");
        if verdict == Verdict::Fail {
            let id = if lower == "stays" { "lower valve stuck open" } else { "raise valve stuck open" };
            let stuck = fault(&found, id).check;
            assert_eq!((lost.value, lost.limit), (stuck.value, stuck.limit));
        }
    }
}

/// analytic: subsonic through a wide sharp hole a heavier load falls faster, and its blow is that of the heavier mass.
#[test]
fn a_fall_is_that_of_the_heaviest_load() {
    let loose = edited(BARE, &[("mass = \"100 kg\"", "mass = \"100 kg +- 25 kg\"")]);
    let heavy = edited(BARE, &[("mass = \"100 kg\"", "mass = \"125 kg\"")]);
    for id in ["hose off at the cylinders", "hose off at the valve", "lower valve stuck open"] {
        let (loose, heavy) = (fault(&judged(&loose).2, id), fault(&judged(&heavy).2, id));
        assert_eq!(loose.check.value, heavy.check.value, "{id}");
        let speed = loose.check.value.unwrap();
        // 125 kg and 20 kg
        assert_relative_eq!(
            figure(&loose, "blow at the end of the fall"),
            145.0 * speed * speed / 2.0,
            max_relative = 1e-9
        );
    }
}

/// With springs that open both valves the platform may go up as by a raise valve that sticks open.
#[test]
fn both_valves_open_is_no_better_than_a_raise_valve_that_sticks() {
    let both = edited(
        BARE,
        &[
            (SPRINGS, "raise-unpowered = \"open\"\nlower-unpowered = \"open\"\n"),
            ("raise = { C = \"1 L/(s bar)\"", "raise = { C = \"4 L/(s bar)\""),
        ],
    );
    for protection in ["", "lock = \"in the port\"", "support = \"latch\"", "support = \"pin\""] {
        let lost = fault(&judged(&format!("{both}[protection]\n{protection}\n")).2, "electric power lost");
        assert_eq!(lost.check.verdict, Verdict::Fail, "{protection}");
    }
}

/// A flow is also said as the field takes it: 0.5 g/s over 1.185 kg/m3 is 25.32 L/min, 0.894 cfm.
#[test]
fn analytic_flows_of_relief_valves_are_said_as_free_air() {
    let advice = fault(&judged(BARE).2, "pressure switch stuck closed").check.advice;
    let metric = words(&advice, UnitSystem::Metric);
    assert!(metric.contains("0.5 g/s (25.32 L/min of free air, ANR)"), "{metric}");
    let us = words(&advice, UnitSystem::Us);
    assert!(us.contains("(0.8941 cfm of free air, ANR)"), "{us}");
}

/// By the clearance model of the delivery with n = 1: `eta = 1 + c - c p/p_atm` with `c = 1/(p_stall/p_atm - 1)`, so that
/// the delivery falls in a straight line from the open flow at none to nothing at the stall, 12 bar +- 1 bar: at
/// 8.6 bar, the low end of the relief valve, `1.1 g/s (1 - 8.6/13)` = 0.372 308 g/s.
#[test]
fn a_relief_valve_is_held_to_the_strongest_pump() {
    let points = "delivery = { points = [[\"0 bar\", \"0.5 g/s\"], [\"20 bar\", \"0.5 g/s\"]] }";
    let with = |open: &str, stall: &str, relief: &str, capacity: &str| {
        let delivery = format!("delivery = {{ open = \"{open}\", stall = \"{stall}\" }}\nindex = 1");
        let relief = format!("relief = \"{relief}\"\nrelief-capacity = \"{capacity}\"");
        let (rig, answers, found) =
            judged(&edited(BARE, &[(points, &delivery), ("relief = \"9 bar\"", &relief)]));
        let check = answers.check("relief capacity").unwrap().clone();
        // The step that is shown is that of the same delivery.
        let steps = lungful::answers::working(&rig, &answers).unwrap();
        let step = steps.iter().find(|step| step.figure == "delivery that the relief valve must pass");
        assert_eq!(step.and_then(|step| step.result).map(|result| result.0), check.limit);
        (check, fault(&found, "pressure switch stuck closed"))
    };
    let (check, stuck) =
        with("1 g/s +- 0.1 g/s", "12 bar +- 1 bar", "9 bar +- 0.4 bar", "0.4 g/s +- 0.05 g/s");
    assert_relative_eq!(check.limit.unwrap(), 1.1e-3 * (1.0 - 8.6 / 13.0), max_relative = 1e-9);
    assert_relative_eq!(check.value.unwrap(), 0.35e-3, max_relative = 1e-9);
    assert_eq!((check.verdict, stuck.check.verdict), (Verdict::Fail, Verdict::Fail));
    // The list of faults goes by the same two figures.
    assert_relative_eq!(figure(&stuck, "delivery at the relief valve"), check.limit.unwrap());
    assert_relative_eq!(figure(&stuck, "relief valve passes"), check.value.unwrap());
    // What is to be written with that tolerance: 0.372 308 + 0.05 = 0.422 308, rounded up.
    let advice = words(&check.advice, UnitSystem::Metric);
    assert!(advice.contains("passes 0.4224 g/s"), "{advice}");
    let (check, _) =
        with("1 g/s +- 0.1 g/s", "12 bar +- 1 bar", "9 bar +- 0.4 bar", "0.4224 g/s +- 0.05 g/s");
    assert_ne!(check.verdict, Verdict::Fail);
    // None of them stated, the middles: 1 g/s (1 - 9/12) = 0.25 g/s.
    let (check, _) = with("1 g/s", "12 bar", "9 bar", "0.4 g/s");
    assert_relative_eq!(check.limit.unwrap(), 0.25e-3, max_relative = 1e-9);
    assert_eq!((check.verdict, check.value), (Verdict::Pass, Some(0.4e-3)));
    // Stalls within the spread of the valve: at its high end cut-out counts, 1 g/s (1 - 8/9.2) = 0.130 435 g/s, which
    // is more than the 1 g/s (1 - 8.6/9.2) at its low end.
    let (check, _) = with("1 g/s", "9.2 bar", "9 bar +- 0.4 bar", "0.4 g/s");
    assert_relative_eq!(check.limit.unwrap(), 1e-3 * (1.0 - 8.0 / 9.2), max_relative = 1e-9);
}
