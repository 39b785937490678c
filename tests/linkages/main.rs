//! What a check says of a linkage, against calculations of its own.

#![allow(clippy::unwrap_used, clippy::panic, reason = "what does not hold fails the test")]

use std::f64::consts::{FRAC_PI_4, PI};

use approx::assert_relative_eq;
use lungful::answers::{Answers, Check, Verdict, cautions, evaluate, notes};
use lungful::report::words;
use lungful::rig::{Document, Overrides, Problems, Rig, Source};
use lungful::units::UnitSystem;

const FOLDING_LEG: &str = include_str!("../../examples/folding-leg-riser.toml");

const LEVER: &str = include_str!("../../examples/lever-tipper.toml");

const SCISSOR: &str = include_str!("../../examples/scissor-table.toml");

const G: f64 = 9.806_65;

/// A rig file with whole lines replaced by their key; an empty line deletes.
#[track_caller]
fn edited(text: &str, edits: &[(&str, &str)]) -> String {
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    for (key, line) in edits {
        let found = lines.iter_mut().find(|old| old.starts_with(&format!("{key} =")));
        (*line).clone_into(found.unwrap_or_else(|| panic!("no `{key}` in the file")));
    }
    lines.join("\n")
}

fn read(text: &str) -> Result<Rig, Problems> {
    Document::read(Some(&Source::new("test.toml", text)), &Overrides::none()).rig()
}

#[track_caller]
fn judged(text: &str) -> (Rig, Answers) {
    let rig = read(text).unwrap_or_else(|problems| panic!("{problems}\n{text}"));
    let answers = evaluate(&rig).unwrap();
    (rig, answers)
}

#[track_caller]
fn check(answers: &Answers, id: &str) -> Check {
    answers.check(id).unwrap_or_else(|| panic!("no check `{id}`")).clone()
}

const LOW_STOP: [(&str, &str); 11] = [
    ("stop-angle", "stop-angle = \"195 deg\""),
    ("stroke", "stroke = \"313 mm\""),
    ("mass", "mass = \"130 kg\""),
    ("rod", "rod = \"50 mm\""),
    ("lift", "lift = \"200 mm\""),
    ("closed-length", ""),
    ("rod-steel", ""),
    ("tube-outside", ""),
    ("tube-wall", ""),
    ("tube-length", ""),
    ("tube-steel", ""),
];

/// Hand calculation: knee at 195 deg, links a = b = 450 mm, brackets at 330 mm along and 60 mm inward.
/// `H = sqrt(2 a^2 (1 - cos))`, `r = a^2 sin / H * L / (c d sin(psi))` with `psi = 195 deg - 2 atan(60/330)`; of each
/// link half goes with the knee at `H/2`, so that the links of one leg rise as one of them at `H`.
fn hand_pull(kappa_deg: f64, mass: f64) -> f64 {
    let kappa = kappa_deg * PI / 180.0;
    let (a, c) = (0.45_f64, 0.33_f64.hypot(0.06));
    let psi = kappa - 2.0 * (0.06_f64 / 0.33).atan();
    let height = (2.0 * a * a * (1.0 - kappa.cos())).sqrt();
    let length = (2.0 * c * c * (1.0 - psi.cos())).sqrt();
    let ratio = a * a * kappa.sin() / height * length / (c * c * psi.sin());
    // Two legs; centres of the links at H/4 and 3 H/4: 3 kg at a quarter and three quarters.
    let links = 2.0 * 3.0 * (0.25 + 0.75) * ratio;
    -G * ((mass + 25.0) * ratio + links) / 0.9
}

#[test]
fn a_leg_that_the_rod_sides_cannot_pull_back_fails() {
    let text = edited(FOLDING_LEG, &LOW_STOP);
    let (_, answers) = judged(&text);
    let check_ = check(&answers, "pull back over straight");
    assert_eq!(check_.verdict, Verdict::Fail);
    assert_relative_eq!(check_.value.unwrap(), hand_pull(195.0, 130.0), max_relative = 1e-6);
    // 5 bar less 0.3 bar of droop, a tenth of friction, two rings of 63 and 50 mm.
    let there = 2.0 * FRAC_PI_4 * (0.063_f64.powi(2) - 0.05_f64.powi(2)) * 4.7e5 * 0.9;
    assert_relative_eq!(check_.limit.unwrap(), there, max_relative = 1e-9);
    // The bore that it asks for, as printed, is enough.
    for units in [UnitSystem::Metric, UnitSystem::Us] {
        let advice = words(&check_.advice, units);
        let figure: Vec<_> = advice.split("bore of at least ").nth(1).unwrap().split(' ').take(2).collect();
        let bore = format!("bore = \"{}\"", figure.join(" "));
        let (_, cured) = judged(&edited(&text, &[("bore", &bore), ("rating", "rating = \"12 bar\"")]));
        assert_ne!(check(&cured, "pull back over straight").verdict, Verdict::Fail, "{bore}");
        // No rod is thin enough in this bore: 2 * 0.7854 * 63^2 mm2 * 0.47 N/mm2 * 0.9 = 2637 N.
        assert!(!advice.contains("a rod of at most"), "{advice}");
        // Less past straight, a thinner rod is enough.
        let closer = edited(&text, &[("stop-angle", "stop-angle = \"185 deg\""), ("rod", "rod = \"56 mm\"")]);
        let advice = words(&check(&judged(&closer).1, "pull back over straight").advice, units);
        let figure: Vec<_> =
            advice.split("rod of at most ").nth(1).unwrap().split([' ', ',']).take(2).collect();
        let rod = format!("rod = \"{}\"", figure.join(" "));
        let (_, cured) = judged(&edited(&closer, &[("rod", &rod)]));
        assert_ne!(check(&cured, "pull back over straight").verdict, Verdict::Fail, "{rod}");
    }
    // As drawn, six degrees past straight with a thin rod, it comes back.
    let (_, answers) = judged(FOLDING_LEG);
    let good = check(&answers, "pull back over straight");
    assert_eq!(good.verdict, Verdict::Pass);
    assert_relative_eq!(good.value.unwrap(), hand_pull(186.0, 80.0), max_relative = 1e-6);
    // A cylinder that only pushes is cautioned by its lock.
    let single = edited(FOLDING_LEG, &[("action", "action = \"single\""), ("back-pressure", "")]);
    assert!(judged(&single).1.check("pull back over straight").is_none());
}

#[test]
fn a_bracket_beyond_its_link_is_refused() {
    let short = edited(FOLDING_LEG, &[("upper-link", "upper-link = \"250 mm\"")]);
    let problems = read(&short).unwrap_err().to_string();
    assert!(problems.contains("`linkage.upper-bracket` is 330 mm"), "{problems}");
    assert!(problems.contains("the link is only 250 mm long"), "{problems}");
    let other = edited(FOLDING_LEG, &[("lower-link", "lower-link = \"320 mm\"")]);
    assert!(read(&other).unwrap_err().to_string().contains("`linkage.lower-bracket` is 330 mm"));
    // At the very end of the link it may sit.
    let at_the_end = edited(
        FOLDING_LEG,
        &[
            ("lower-link", "lower-link = \"330 mm\""),
            ("upper-link", "upper-link = \"330 mm\""),
            ("lift", "lift = \"150 mm\""),
        ],
    );
    assert!(read(&at_the_end).is_ok());
}

#[test]
fn a_ramp_that_never_ends_is_refused() {
    // By hand: 900 mm (sin(32 deg) + sin(5 deg)) = 476.93 + 78.44 = 555.4 mm.
    let with =
        |lines: &str| read(&LEVER.replace("lift = \"500 mm\"", &format!("lift = \"500 mm\"\n{lines}")));
    let problems = with("ramp = \"2 m\"").unwrap_err().to_string();
    assert!(problems.contains("`load.ramp` is 2000 mm: the load rises by 555.4 mm"), "{problems}");
    assert!(problems.contains("make it at most 555.3 mm"), "{problems}");
    let later = with("ramp = \"530 mm\"\ntake-up = \"30 mm\"").unwrap_err().to_string();
    assert!(later.contains("at most 525.3 mm, take-up and ramp together at most 555.3 mm"), "{later}");
    assert!(with("ramp = \"525.3 mm\"\ntake-up = \"30 mm\"").is_ok());
}

/// A sine of -5 deg and its angle back differ in the last digit: the load must not stand below the ground for it.
#[test]
fn a_load_on_the_ground_stands_on_it_at_the_start() {
    let (rig, _) = judged(&edited(LEVER, &[("load-height", "load-height = \"0 mm\"")]));
    let none = uom::si::f64::Length::default();
    assert!(rig.linkage.shape.height(none) == none);
    for text in [FOLDING_LEG, SCISSOR] {
        assert!(judged(text).0.linkage.shape.height(none) == none);
    }
}

/// The height offered for the foot is a height that works: 10 degrees off the line at the start, by the law of cosines.
#[test]
fn the_foot_that_is_offered_is_clear_of_its_dead_point() {
    for foot in [["350 mm", "450 mm"], ["-200 mm", "300 mm"], ["250 mm", "0 mm"]] {
        let line = |foot: [&str; 2]| format!("foot = [\"{}\", \"{}\"]", foot[0], foot[1]);
        let with = |foot: [&str; 2]| {
            edited(
                LEVER,
                &[
                    ("foot", &line(foot)),
                    ("stroke", "stroke = \"60 mm\""),
                    ("end-angle", ""),
                    ("closed-length", ""),
                ],
            )
        };
        let problems = read(&with(foot)).unwrap_err().to_string();
        let height: Vec<_> =
            problems.split("its second value at most ").nth(1).unwrap().split(' ').take(2).collect();
        let offered = format!("{} mm", height[0]);
        let text = with([foot[0], &offered]);
        let (rig, _) = judged(&text);
        let left = rig.linkage.shape.dead_points()[0].left;
        assert!(left.value.to_degrees() > 9.9, "{offered}: {left:?}");
    }
}

#[test]
fn a_weld_of_another_size_than_its_beam_is_refused() {
    let beam = |section: &str, tube: &str| {
        let text = format!(
            "{SCISSOR}\n[[frame]]\nname = \"fork\"\nsupport = \"cantilever\"\nspan = \"400 mm\"\nload-share = \"50 %\"\n\
             section = {{ {section} }}\nsteel = \"S235\"\n[[weld]]\nname = \"root\"\nleg = \"4 mm\"\n\
             tube = {{ {tube} }}\nbeam = \"fork\"\nsteel = \"S235\"\n"
        );
        read(&text).map_err(|problems| problems.to_string())
    };
    let flat = "kind = \"rectangular tube\", width = \"60 mm\", height = \"40 mm\", wall = \"3 mm\"";
    assert!(beam(flat, "width = \"60 mm\", height = \"40 mm\"").is_ok());
    let turned = beam(flat, "width = \"40 mm\", height = \"60 mm\"").unwrap_err();
    assert!(turned.contains("is 40 mm wide and 60 mm high"), "{turned}");
    assert!(turned.contains("is 60 mm wide and 40 mm high"), "{turned}");
    let square = "kind = \"square tube\", side = \"30 mm\", wall = \"3 mm\"";
    assert!(beam(square, "width = \"200 mm\", height = \"300 mm\"").is_err());
    // A round tube has no such sides; its weld is given by the rectangle that its builder takes for it.
    let round = "kind = \"round tube\", diameter = \"60.3 mm\", wall = \"3.2 mm\"";
    assert!(beam(round, "width = \"50 mm\", height = \"50 mm\"").is_ok());
}

#[test]
fn a_weld_that_is_too_short_says_how_long_it_must_be() {
    // By hand: 6 * 6 mm = 36 mm count at least, and 2 open ends take 2 * 6 mm.
    let weld = |length: &str| {
        let text = format!(
            "{SCISSOR}\n[[weld]]\nname = \"gusset\"\nthroat = \"6 mm\"\nlength = \"{length}\"\nforce = \"2 kN\"\nsteel = \"S235\"\n"
        );
        read(&text).map_err(|problems| problems.to_string())
    };
    let short = weld("40 mm").unwrap_err();
    assert!(short.contains("write length = \"48 mm\" or more"), "{short}");
    assert!(weld("48 mm").is_ok());
}

#[test]
fn both_points_beside_a_sliding_foot_are_named_in_one_run() {
    let text = edited(SCISSOR, &[("drive", "drive = \"sliding foot\"")]);
    let problems = read(&text).unwrap_err();
    assert_eq!(problems.len(), 2, "{problems}");
}

/// By hand: pivot at the origin, pin 400 mm out at -5 deg, foot at (350, -450) mm: the pins stand
/// `sqrt((398.48 - 350)^2 + (-34.86 + 450)^2)` = 417.96 mm apart at the start.
#[test]
fn a_cylinder_shorter_than_its_pins_ends_where_its_own_stroke_ends() {
    let pin = (0.4 * f64::to_radians(-5.0).cos(), 0.4 * f64::to_radians(-5.0).sin());
    let start = (pin.0 - 0.35).hypot(pin.1 + 0.45);
    let free = |closed: &str| {
        edited(
            LEVER,
            &[
                ("end-angle", ""),
                ("lift", "lift = \"400 mm\""),
                ("closed-length", &format!("closed-length = \"{closed}\"")),
            ],
        )
    };
    let (rig, answers) = judged(&free("400 mm"));
    assert_relative_eq!(rig.linkage.shape.end().value, 0.4 + 0.25 - start, max_relative = 1e-9);
    assert_relative_eq!(rig.drawn_out().value, start - 0.4, max_relative = 1e-9);
    assert!(!rig.meets_stop(), "it comes to rest in its cylinder");
    let said = |rig: &Rig, answers: &Answers| {
        notes(rig, answers)
            .iter()
            .any(|note| words(note, UnitSystem::Metric).contains("rods stand out by 17.96 mm"))
    };
    assert!(said(&rig, &answers));
    // Within a hair of the start: no stop is asked for, and nothing is said.
    let (rig, answers) = judged(&free("417.9 mm"));
    assert_relative_eq!(rig.linkage.shape.end().value, 0.4179 + 0.25 - start, max_relative = 1e-9);
    assert!(!said(&rig, &answers));
    // A little too long: digits enough to see it, and all that would fit.
    let problems = read(&free("417.96 mm")).unwrap_err().to_string();
    let apart = format!("is 417.96 mm: at the start only {:.4} mm lie", 1e3 * start);
    assert!(problems.contains(&apart), "{problems}");
    assert!(problems.contains("a closed length above 250 mm and up to 417.9 mm"), "{problems}");
    assert!(judged(LEVER).0.meets_stop());
}

/// Every length and stroke that a message offers, as printed, is taken.
#[test]
fn closed_lengths_and_strokes_that_are_offered_fit() {
    let with = |closed: &str, stroke: &str| {
        let closed = format!("closed-length = \"{closed}\"");
        let stroke = format!("stroke = \"{stroke}\"");
        read(&edited(LEVER, &[("closed-length", &closed), ("stroke", &stroke)]))
            .map_err(|all| all.to_string())
    };
    let figure = |text: &str, lead: &str| {
        let rest = text.split(lead).nth(1).unwrap_or_else(|| panic!("no `{lead}` in {text}"));
        rest.split([' ', ',']).next().map(|number| format!("{number} mm")).unwrap()
    };
    let short = with("390 mm", "250 mm").unwrap_err();
    for lead in ["a closed length from ", " mm to "] {
        assert!(with(&figure(&short, lead), "250 mm").is_ok(), "{short}");
    }
    assert!(with("390 mm", &figure(&short, "a stroke of at least ")).is_ok(), "{short}");
    // The rod of a cylinder is longer than its stroke: where no longer stroke fits, none is offered.
    let mut hopeless = short;
    for closed in ["300 mm", "260 mm"] {
        hopeless = with(closed, "250 mm").unwrap_err();
        assert!(!hopeless.contains("take a stroke of at least 4"), "{hopeless}");
    }
    assert!(!hopeless.contains("a stroke of at least"), "{hopeless}");
}

/// By hand, for one stage of arms of 1 m and 7 kg: a cylinder from (300, -60) mm to a point 700 mm up the arm from the
/// fixed foot and 60 mm off it. Virtual work gives its push, moments about the fixed foot give the sliding foot, the
/// sum of all forces the fixed one; all of it over the efficiency of 0.9.
fn feet_by_hand() -> (f64, f64) {
    let moving = 22.0;
    let borne = |height: f64| if height < 0.02 { 30.0 + 35.0 * height / 0.02 } else { 65.0 };
    let start = f64::to_radians(15.0);
    let (mut sliding, mut fixed) = (f64::INFINITY, f64::INFINITY);
    for step in 0..=20_000 {
        let theta = start + f64::to_radians(35.0) * f64::from(step) / 20_000.0;
        let (sin, cos) = theta.sin_cos();
        let weight = G * (moving + borne(sin - start.sin()));
        let (x, y) = (0.7 * cos - 0.06 * sin, 0.7 * sin + 0.06 * cos);
        let (v_x, v_y) = (x - 0.3, y + 0.06);
        let length = v_x.hypot(v_y);
        let turn = (v_x * -y + v_y * x) / length;
        let push = (weight * cos + 2.0 * 7.0 * G * 0.5 * cos) / turn;
        let (t_x, t_y) = (push * v_x / length, push * v_y / length);
        let all = weight + 2.0 * 7.0 * G;
        let at_slide = (0.5 * all - (t_y * x - t_x * y) / cos) / 0.9;
        sliding = sliding.min(at_slide);
        fixed = fixed.min((all - t_y) / 0.9 - at_slide);
    }
    (-sliding, -fixed)
}

#[test]
fn a_scissor_foot_that_lifts_off_is_named() {
    let (sliding, fixed) = feet_by_hand();
    assert!(sliding > 400.0, "{sliding}");
    let said = |text: &str| {
        let check = check(&judged(text).1, "feet of the scissor");
        (check.verdict, check.value.unwrap(), words(&check.advice, UnitSystem::Metric))
    };
    let (verdict, value, advice) = said(SCISSOR);
    assert_eq!(verdict, Verdict::Pass);
    assert_relative_eq!(value, sliding.max(fixed), max_relative = 1e-4);
    assert!(advice.contains("the sliding foot must be held down with up to"), "{advice}");
    assert_eq!(advice.contains("fixed foot must be held down"), fixed > 0.0, "{advice}");
    let (verdict, _, advice) = said(&edited(SCISSOR, &[("track", "")]));
    assert_eq!(verdict, Verdict::Caution);
    assert!(advice.contains("on a plain roller it lifts off and the table folds"), "{advice}");
    assert_eq!(said(&edited(SCISSOR, &[("track", "track = \"open\"")])).0, Verdict::Fail);
    // A level cylinder at the sliding foot lifts nothing, whatever the track.
    let level = edited(
        SCISSOR,
        &[
            ("track", "track = \"open\""),
            ("drive", "drive = \"sliding foot\""),
            ("foot", ""),
            ("pin", ""),
            ("end-angle", ""),
            ("stroke", "stroke = \"200 mm\""),
        ],
    );
    let (verdict, value, _) = said(&level);
    assert_eq!((verdict, value), (Verdict::Pass, 0.0));
}

#[test]
fn what_is_taken_for_granted_of_a_scissor_is_said() {
    let (rig, answers) = judged(SCISSOR);
    let said: String =
        cautions(&rig, &answers).iter().map(|one| words(one, UnitSystem::Metric) + "\n").collect();
    assert!(rig.arms.is_none());
    assert!(said.contains("bend at their middle pins"), "{said}");
    assert!(said.contains("in the middle between platform pin and roller"), "{said}");
    let (rig, answers) = judged(LEVER);
    let of_lever = cautions(&rig, &answers);
    assert!(!of_lever.iter().any(|one| words(one, UnitSystem::Metric).contains("scissor")));
}

/// The thickest cold-formed wall by EN 10219-2: the outer radius is 2 t up to 6 mm, 2.5 t up to 10 mm, 3 t above, and
/// goes into half of the side. 30 mm: 15/2 = 7.5, but 6 mm is the last that has 2 t. 40 mm: 20/2.5 = 8. 100 mm: 50/3 =
/// 16.67. Hot finished, 1.5 t and t inside: 15/2 = 7.5.
#[test]
fn the_thickest_wall_that_is_named_fits() {
    let with = |side: &str, wall: &str, corners: &str| {
        let section =
            format!("section = {{ kind = \"square tube\", side = \"{side}\", wall = \"{wall}\"{corners} }}");
        read(&edited(SCISSOR, &[("section", &section)])).map_err(|all| all.to_string())
    };
    let hot = ", corners = \"hot finished\"";
    for (side, wall, corners, limit) in [
        ("30 mm", "16 mm", "", "6 mm"),
        ("30 mm", "7 mm", "", "6 mm"),
        ("40 mm", "9 mm", "", "8 mm"),
        ("100 mm", "17 mm", "", "16.66 mm"),
        ("30 mm", "14 mm", hot, "7.5 mm"),
    ] {
        let problem = with(side, wall, corners).unwrap_err();
        assert!(problem.contains(&format!("{wall}, and the limit is {limit} here")), "{problem}");
        assert!(problem.contains("corners = \"sharp\""), "{problem}");
        assert!(with(side, limit, corners).is_ok(), "{side} x {limit}");
    }
    assert!(with("30 mm", "14 mm", ", corners = \"sharp\"").is_ok());
}

/// By hand: pin at 16 in and -5 deg, foot at (14, -18) in: `sqrt(1.9391^2 + 16.6055^2)` = 16.718 in at the start.
#[test]
fn a_file_in_inches_is_answered_in_inches() {
    let with = |closed: &str| {
        let text = format!(
            "[tank]\nvolume = \"1 gal\"\nrating = \"4400 psi\"\nfilled-to = \"2900 psi\"\n[regulator]\nset = \"87 psi\"\n\
             [cylinders]\ncount = 1\nbore = \"2 in\"\nrod = \"0.75 in\"\nstroke = \"10 in\"\naction = \"single\"\n\
             rating = \"145 psi\"\nclosed-length = \"{closed}\"\n[linkage]\nkind = \"lever\"\nfoot = [\"14 in\", \"-18 in\"]\n\
             pin-arm = \"16 in\"\nload-arm = \"36 in\"\nstart-angle = \"-5 deg\"\n[load]\nmass = \"130 lb\"\nlift = \"15 in\"\n"
        );
        read(&text).map_err(|problems| problems.to_string())
    };
    let problems = with("17 in").unwrap_err();
    assert!(problems.contains("is 17 in: at the start only 16.72 in lie"), "{problems}");
    assert!(problems.contains("a closed length above 10 in and up to 16.71 in"), "{problems}");
    assert!(!problems.contains(" mm"), "{problems}");
    assert!(with("16.71 in").is_ok());
}
