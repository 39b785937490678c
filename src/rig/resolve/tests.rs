//! What the parts of a rig become. Expected values follow from the texts by the definition of the units.

use approx::assert_relative_eq;

use crate::frame::beam::Support;
use crate::frame::reinforcement::Bond;
use crate::frame::section::{Axis, Corners, Shape};
use crate::rig::{AirSource, Carries, Document, Overrides, Problems, Resolver, Rig, Source};
use crate::sizing::compressor_fill_time::{Delivery, Intake};
use crate::sizing::cylinder_force::Action;
use crate::sizing::rod_column::Ends;
use crate::sizing::tank_capacity::{EndPressure, Way};

const SMALL: &str = r#"
[compressor]
delivery = { open = "30 L/min", stall = "12 bar" }
cut-in = "7 bar"
cut-out = "9 bar"

[tank]
volume = "10 L"
rating = "12 bar"
relief = "11 bar"

[regulator]
set = "5.5 bar"

[cylinders]
count = 2
bore = "50 mm"
rod = "20 mm"
stroke = "400 mm"
action = "single"
rating = "10 bar"

[load]
mass = "120 kg"
lift = "380 mm"
"#;

fn read_with(text: &str, flags: &[(&str, &str)]) -> Result<Rig, Problems> {
    let mut overrides = Overrides::none();
    for (path, value) in flags {
        overrides.set(path, value);
    }
    Document::read(Some(&Source::new("rig.toml", text)), &overrides).rig()
}

#[track_caller]
fn rig(text: &str) -> Rig {
    read_with(text, &[]).unwrap_or_else(|problems| panic!("{problems}"))
}

/// The small rig with one piece of its text replaced.
#[track_caller]
fn changed(from: &str, to: &str) -> String {
    assert!(SMALL.contains(from), "{from}");
    SMALL.replacen(from, to, 1)
}

#[track_caller]
fn messages(text: &str, flags: &[(&str, &str)]) -> Vec<String> {
    let problems = read_with(text, flags).expect_err("a problem");
    problems.iter().map(|problem| problem.message.clone()).collect()
}

#[test]
fn every_default_of_the_smallest_rig_is_listed() {
    let rig = rig(SMALL);
    let listed: Vec<_> = rig.defaults.iter().map(|used| (used.field, used.value)).collect();
    // The defaults are those that the rig file documents.
    let expected = [
        ("site.altitude", "0 m"),
        ("site.temperature", "20 degC"),
        ("compressor.duty", "100 %"),
        ("compressor.index", "1.2"),
        ("regulator.droop", "0.3 bar"),
        ("regulator.headroom", "0.5 bar"),
        ("regulator.tolerance", "5 %"),
        ("line.hose-length", "0 m"),
        ("cylinders.friction", "10 %"),
        ("cylinders.clearance", "0 mL"),
        ("cylinders.return-spring", "0 N"),
        ("linkage.kind", "direct"),
        ("linkage.efficiency", "100 %"),
        ("load.share", "100 %"),
        ("load.moving", "0 kg"),
        ("load.take-up", "0 mm"),
        ("load.ramp", "0 mm"),
        ("load.sink-and-play", "0 mm"),
        ("cycle.end-pressure", "set point"),
        ("limits.load-ratio", "70 %"),
        ("limits.fall-speed", "250 mm/s"),
    ];
    for default in expected {
        assert!(listed.contains(&default), "{default:?}");
    }
    assert_eq!(listed.len(), expected.len(), "{listed:?}");
    assert_relative_eq!(rig.site.atmosphere.pascals(), 101_325.0, max_relative = 1e-12);
    assert_relative_eq!(rig.site.temperature.value, 293.15, max_relative = 1e-12);
    assert_relative_eq!(rig.regulator.droop.value, 30_000.0, max_relative = 1e-12);
    assert_relative_eq!(rig.cylinders.friction.value, 0.1, max_relative = 1e-12);
    assert_eq!(rig.cycle.end_pressure, EndPressure::SetPoint);
    assert_eq!(rig.cycle.strokes_wanted, None);
    assert_eq!(rig.title, "Untitled rig");
}

#[test]
fn a_given_value_is_not_listed_as_a_default() {
    let rig = rig(&changed("[load]", "friction = \"8 %\"\n[load]"));
    assert!(rig.defaults.iter().all(|used| used.field != "cylinders.friction"));
    assert!(rig.is_given("cylinders.friction") && rig.is_given("cylinders"));
    assert!(!rig.is_given("cylinders.clearance") && !rig.is_given("cyl"));
}

#[test]
fn an_absolute_value_of_a_gauge_field_loses_the_pressure_of_the_site() {
    let text = changed("\"5.5 bar\"", "\"6.5 bar(a)\"");
    let text = format!("[site]\nbarometer = \"950 hPa\"\n{text}");
    // 6.5 bar - 0.95 bar
    assert_relative_eq!(rig(&text).regulator.set.pascals(), 555_000.0, max_relative = 1e-12);
}

#[test]
fn a_wrong_site_hides_nothing_else_and_adds_nothing() {
    let text = format!("[site]\nbarometer = \"30 kPa\"\n{}", changed("\"5.5 bar\"", "\"6.5 bar(a)\""));
    assert_eq!(messages(&text, &[]).len(), 1);
}

#[test]
fn deliveries_become_what_the_pump_swallows() {
    let intake = |text: &str| match rig(&changed("30 L/min", text)).source {
        AirSource::Compressor(compressor) => match compressor.delivery {
            Delivery::OpenAndStall { open, .. } => open,
            other @ Delivery::Points(_) => panic!("{other:?}"),
        },
        other @ AirSource::Bottle { .. } => panic!("{other:?}"),
    };
    let volume = |text| match intake(text) {
        Intake::InletVolume(volume) => volume.value,
        other @ Intake::Mass(_) => panic!("{other:?}"),
    };
    assert_relative_eq!(volume("30 L/min"), 0.0005, max_relative = 1e-12);
    // rho_ANR / rho(101325 Pa, 293.15 K) = 1.185/1.2046; the density to four digits by the gas law,
    // 101325 * 0.0289655 / (8.31447 * 293.15 * 0.99964).
    assert_relative_eq!(volume("30 L/min ANR"), 0.0005 * 1.185 / 1.2046, max_relative = 1e-4);
    match intake("0.6 g/s") {
        Intake::Mass(mass) => assert_relative_eq!(mass.value, 0.0006, max_relative = 1e-12),
        other @ Intake::InletVolume(_) => panic!("{other:?}"),
    }
}

#[test]
fn a_relief_capacity_without_a_state_is_anr() {
    let text = changed("relief = \"11 bar\"", "relief = \"11 bar\"\nrelief-capacity = \"60 L/min +- 10 %\"");
    let rig = rig(&text);
    // One litre a second of 1.185 kg/m3, and a tenth of it.
    assert_relative_eq!(rig.tank.relief_capacity.unwrap().value, 1.185e-3, max_relative = 1e-12);
    assert_relative_eq!(rig.tolerance("tank.relief-capacity"), 1.185e-4, max_relative = 1e-9);
}

#[test]
fn a_force_stands_for_a_mass_with_its_tolerance() {
    let rig = rig(&changed("mass = \"120 kg\"", "force = \"980.665 N +- 5 %\""));
    // 980.665 N / 9.80665 m/s2
    assert_relative_eq!(rig.load.mass.value, 100.0, max_relative = 1e-12);
    assert_relative_eq!(rig.tolerance("load.mass"), 5.0, max_relative = 1e-12);
    assert!(!rig.tolerances.contains_key("load.force"));
}

#[test]
fn a_rig_in_us_units_is_the_same_rig() {
    let metric = rig(SMALL);
    let us = changed("\"400 mm\"", "\"15.748031496062993 in\"").replace("120 kg", "264.55471462185307 lb");
    let us = rig(&us);
    assert_relative_eq!(us.cylinders.stroke.value, metric.cylinders.stroke.value, max_relative = 1e-12);
    assert_relative_eq!(us.load.mass.value, metric.load.mass.value, max_relative = 1e-12);
}

#[test]
fn a_bottle_needs_no_compressor_and_no_relief() {
    let text = SMALL.split("[tank]").nth(1).unwrap();
    let text = format!("[tank]{}", text.replace("relief = \"11 bar\"", "filled-to = \"200 bar\""));
    let rig = rig(&text.replace("rating = \"12 bar\"", "rating = \"300 bar\""));
    assert_relative_eq!(rig.full_pressure().pascals(), 20e6, max_relative = 1e-12);
    assert_eq!(rig.tank.relief, None);
    assert!(rig.defaults.iter().all(|used| !used.field.starts_with("compressor.")));
}

const LEVER: &str = r#"
[linkage]
kind = "lever"
foot = ["300 mm", "-450 mm"]
pin-arm = "300 mm"
load-arm = "900 mm"
start-angle = "0 deg"
end-angle = "40 deg"
[load]"#;

const LEG: &str = r#"
[linkage]
kind = "folding-leg"
lower-link = "900 mm"
upper-link = "900 mm"
lower-bracket = ["450 mm"]
upper-bracket = ["450 mm", "0 mm"]
start-angle = "60 deg"
stop-angle = "140 deg"
[load]"#;

const SCISSOR: &str = r#"
[linkage]
kind = "scissor"
stages = 2
arm-length = "0.8 m"
start-angle = "45 deg"
end-angle = "60 deg"
drive = "sliding foot"
efficiency = "80 %"
[load]"#;

fn mm(length: uom::si::f64::Length) -> f64 {
    length.get::<uom::si::length::millimeter>()
}

#[test]
fn each_linkage_is_laid_out() {
    let ratio = |rig: &Rig| rig.linkage.shape.ratio(uom::si::f64::Length::default()).value;
    let direct = rig(SMALL);
    assert_relative_eq!(ratio(&direct), 1.0, max_relative = 1e-12);
    // The cylinder stands upright under a level lever: the ratio of the arms, 900/300.
    let lever = rig(&changed("[load]", LEVER));
    assert_relative_eq!(ratio(&lever), 3.0, max_relative = 1e-12);
    assert_relative_eq!(lever.linkage.efficiency.value, 0.9, max_relative = 1e-12);
    // At 60 degrees H = 900 mm and L = 450 mm: (900 * 900/900) (450/(450 * 450)) = 2.
    assert_relative_eq!(ratio(&rig(&changed("[load]", LEG))), 2.0, max_relative = 1e-12);
    // Two stages at 45 degrees: 2/tan(45 deg).
    let scissor = rig(&changed("[load]", SCISSOR));
    assert_relative_eq!(ratio(&scissor), 2.0, max_relative = 1e-12);
    assert_relative_eq!(scissor.linkage.efficiency.value, 0.8, max_relative = 1e-12);
    for (rig, kind) in [(direct, "direct"), (lever, "lever"), (scissor, "scissor")] {
        assert_eq!(rig.linkage.kind, kind);
        rig.travel().unwrap();
    }
}

#[test]
fn the_defaults_of_a_linkage_are_listed() {
    let listed =
        |text: &str| rig(text).defaults.iter().map(|used| (used.field, used.value)).collect::<Vec<_>>();
    let lever = listed(&changed("[load]", LEVER));
    // What the rig file documents for a lever; the rod is known by the geometry, and so is what it needs.
    for default in [
        ("linkage.efficiency", "90 %"),
        ("linkage.pin-offset", "0 deg"),
        ("linkage.arm-mass", "0 kg"),
        ("cylinders.ends", "pinned both"),
        ("cylinders.rod-steel", "C45 normalised"),
        ("limits.column-safety", "3"),
        ("limits.dead-point", "5 deg"),
    ] {
        assert!(lever.contains(&default), "{default:?} {lever:?}");
    }
    let scissor = listed(&changed("[load]", SCISSOR));
    assert!(!scissor.iter().any(|(field, _)| *field == "cylinders.rod-steel"), "{scissor:?}");
    assert!(listed(&changed("[load]", LEG)).contains(&("linkage.legs", "1")));
}

#[test]
fn a_scissor_is_driven_between_two_points() {
    let text = SCISSOR.replace("stages = 2", "stages = 1").replace(
        "\"sliding foot\"",
        "\"between\"\nfoot = { base = [\"0 mm\", \"-100 mm\"] }\n\
         pin = { arm = \"sliding side\", stage = 1, distance = \"600 mm\" }",
    );
    let rig = rig(&changed("[load]", &text));
    // Pin at (800 - 600, 600)/sqrt(2) mm from the fixed foot, foot at (0, -100) mm.
    let side = std::f64::consts::FRAC_1_SQRT_2;
    let length = (200.0 * side).hypot(600.0 * side + 100.0);
    let start = rig.linkage.shape.cylinder_length(uom::si::f64::Length::default()).unwrap();
    assert_relative_eq!(mm(start), length, max_relative = 1e-12);
    assert!(rig.defaults.iter().any(|used| used.field == "linkage.pin.offset"));
}

#[test]
fn the_take_up_must_be_less_than_the_rise_of_any_linkage() {
    let with = |linkage: &str, take_up: &str| {
        let text = changed("[load]", linkage);
        text.replace("lift =", &format!("take-up = \"{take_up}\"\nlift ="))
    };
    // Rise of the direct push: the stroke, 400 mm. Of the lever: 900 mm sin(40 deg) = 578.5 mm.
    for (linkage, enough, too_much) in [("[load]", "399 mm", "400 mm"), (LEVER, "578 mm", "579 mm")] {
        rig(&with(linkage, enough));
        let found = messages(&with(linkage, too_much), &[]);
        assert_eq!(found.len(), 1, "{found:?}");
        assert!(found[0].starts_with("`load.take-up` is"), "{found:?}");
    }
}

#[test]
fn a_load_comes_on_by_ramp_or_profile() {
    let borne = |text: &str, height: f64| {
        let rig = rig(text);
        (
            rig.load.mass.value,
            rig.linkage.profile.borne(uom::si::f64::Length::new::<uom::si::length::millimeter>(height)).value,
        )
    };
    let ramp = changed("mass = \"120 kg\"", "mass = \"120 kg\"\nramp = \"50 mm\"");
    assert_eq!(borne(&ramp, 25.0), (120.0, 0.5));
    let profile = changed(
        "mass = \"120 kg\"",
        "profile = [[\"0 mm\", \"20 kg\"], [\"100 mm\", \"80 kg\"], [\"100 mm\", \"40 kg\"]]",
    );
    // Half way between 20 kg and 80 kg, over the heaviest.
    let (mass, share) = borne(&profile, 50.0);
    assert_relative_eq!(mass, 80.0, max_relative = 1e-12);
    assert_relative_eq!(share, 0.625, max_relative = 1e-12);
    assert_relative_eq!(borne(&profile, 100.0).1, 0.5, max_relative = 1e-12);
    // A flag for the mass overrules the profile.
    assert_eq!(read_with(&profile, &[("load.mass", "10 kg")]).unwrap().linkage.profile.heaviest(), None);
}

#[test]
fn a_rod_has_its_tube_and_ends() {
    let text = changed(
        "rod = \"20 mm\"",
        "rod = \"20 mm\"\nclosed-length = \"550 mm\"\nends = \"pinned both\"\nrod-steel = \"s 355\"\n\
         tube-outside = \"56 mm\"\ntube-wall = \"3 mm\"\ntube-length = \"480 mm\"\ntube-steel = \"6060-T66\"",
    );
    let rod = rig(&text).rod;
    assert_relative_eq!(mm(rod.closed_length.unwrap()), 550.0, max_relative = 1e-12);
    assert_eq!(rod.ends, Ends::PinnedBoth);
    assert_eq!(rod.material.name, "S355");
    let tube = rod.tube.unwrap();
    assert_relative_eq!(mm(tube.outside), 56.0, max_relative = 1e-12);
    assert_eq!(tube.material.name, "6060-T66");
    let alone = changed("rod = \"20 mm\"", "rod = \"20 mm\"\nends = \"fixed and free\"");
    assert_eq!(rig(&alone).rod.ends, Ends::FixedAndFree);
}

/// The small rig with a beam; `lines` are its load, section and what else it has.
fn with_beam(lines: &str) -> String {
    format!("{SMALL}\n[[frame]]\nname = \"fork\"\nspan = \"400 mm\"\nsteel = \"S235\"\n{lines}\n")
}

const TUBE: &str = "section = { kind = \"square tube\", side = \"40 mm\", wall = \"3 mm\" }";

#[test]
fn a_beam_is_loaded_where_it_says() {
    let beam = |lines: &str| rig(&with_beam(&format!("{TUBE}\n{lines}"))).frame.remove(0);
    // The default places of the load: free end, middle, end of the overhang.
    for (support, at) in [
        ("support = \"cantilever\"", 400.0),
        ("support = \"simply supported\"", 200.0),
        ("support = \"fixed both ends\"", 200.0),
        ("support = \"propped\"", 200.0),
        ("support = \"overhanging\"\noverhang = \"100 mm\"", 500.0),
        ("support = \"cantilever\"\nat = \"150 mm\"", 150.0),
    ] {
        let beam = beam(&format!("{support}\nload-share = \"50 %\""));
        let [(place, share)] = beam.loads[..] else { panic!("{:?}", beam.loads) };
        assert_relative_eq!(mm(place), at, max_relative = 1e-12);
        assert_relative_eq!(share.value, 0.5, max_relative = 1e-12);
    }
    let beam = beam(
        "support = \"propped\"\nloads = [[\"300 mm\", \"20 %\"], [\"100 mm\", \"30 %\"]]\ncarries = \"cylinder force\"\n\
         dynamic-factor = 1.5\nown-weight = \"counted\"\nheight-lost = \"0 %\"",
    );
    assert_eq!(beam.support, Support::Propped);
    assert_eq!(beam.loads.len(), 2);
    assert_eq!((beam.carries, beam.own_weight), (Carries::CylinderForce, true));
    assert_relative_eq!(beam.dynamic_factor.value, 1.5, max_relative = 1e-12);
    assert_relative_eq!(beam.height_lost.value, 0.0, epsilon = 1e-12);
}

#[test]
fn each_section_becomes_its_shape() {
    let shape = |section: &str| {
        let text =
            with_beam(&format!("support = \"cantilever\"\nload-share = \"50 %\"\nsection = {{ {section} }}"));
        let beam = rig(&text).frame.remove(0);
        let part = beam.member.parts().next().unwrap().clone();
        (part.shape, part.axis)
    };
    let length = uom::si::f64::Length::new::<uom::si::length::millimeter>;
    assert_eq!(
        shape(
            "kind = \"rectangular tube\", width = \"30 mm\", height = \"50 mm\", wall = \"3 mm\", orientation = \"on its side\""
        ),
        (
            Shape::RectangularTube {
                width: length(30.0),
                height: length(50.0),
                wall: length(3.0),
                corners: Corners::ColdFormed
            },
            Axis::Upright
        )
    );
    // The same by its size, whatever the spaces.
    let (by_size, _) = shape("kind = \"rectangular tube\", size = \"30mm x 50mm x 3mm\"");
    assert_eq!(by_size.name(), "rectangular tube");
    let (sharp, axis) =
        shape("kind = \"square tube\", side = \"40 mm\", wall = \"3 mm\", corners = \"sharp\"");
    assert_eq!(
        (sharp, axis),
        (Shape::SquareTube { side: length(40.0), wall: length(3.0), corners: Corners::Sharp }, Axis::Level)
    );
    for section in [
        "kind = \"round tube\", diameter = \"42.4 mm\", wall = \"3 mm\"",
        "kind = \"flat bar\", width = \"10 mm\", height = \"50 mm\"",
        "kind = \"square bar\", side = \"30 mm\"",
        "kind = \"round bar\", diameter = \"30 mm\"",
        "kind = \"angle\", width = \"50 mm\", height = \"50 mm\", thickness = \"5 mm\"",
        "kind = \"channel\", width = \"50 mm\", height = \"100 mm\", web = \"6 mm\", flange = \"8.5 mm\"",
    ] {
        let (shape, _) = shape(section);
        assert!(section.contains(shape.name()), "{section}");
    }
}

#[test]
fn a_beam_is_reinforced() {
    let text = with_beam(&format!(
        "support = \"cantilever\"\nload-share = \"50 %\"\n{TUBE}\nbond = \"welded\"\nreinforcement = [\n\
         {{ position = \"on top\", section = {{ kind = \"flat bar\", width = \"40 mm\", height = \"8 mm\" }}, steel = \"S355\" }},\n\
         {{ position = \"inside\", section = {{ kind = \"square bar\", side = \"30 mm\" }}, name = \"core\" }},\n]"
    ));
    let member = rig(&text).frame.remove(0).member;
    assert_eq!(member.bond(), Bond::Welded);
    let parts: Vec<_> =
        member.parts().map(|part| (part.name.as_str(), part.material.name.as_str())).collect();
    assert_eq!(parts, [("fork", "S235"), ("part on top", "S355"), ("core", "S235")]);
    // 40 mm of tube and 8 mm of flat.
    assert_relative_eq!(mm(member.height()), 48.0, max_relative = 1e-12);
}

#[test]
fn the_base_holds_the_weights() {
    let text = format!(
        "{SMALL}share = \"50 %\"\nmoving = \"10 kg\"\n[base]\nwidth = \"700 mm\"\ndepth = \"900 mm\"\nrig-mass = \"60 kg\"\n\
         rig-height = \"300 mm\"\nload-height = \"600 mm\"\nload-front = \"-20 mm\"\nslope = \"3 deg\"\n"
    );
    let rig = rig(&text);
    let base = rig.base.unwrap();
    assert_relative_eq!(base.slope.get::<uom::si::angle::degree>(), 3.0, max_relative = 1e-12);
    // Half of 120 kg, and 10 kg.
    assert_relative_eq!(base.load.mass.value, 70.0, max_relative = 1e-12);
    assert_relative_eq!(mm(base.load.front), -20.0, max_relative = 1e-12);
    assert!(rig.defaults.iter().any(|used| used.field == "limits.stability"));
}

#[test]
fn a_flag_stands_before_the_file() {
    let rig =
        read_with(SMALL, &[("cylinders.bore", "2 in"), ("load.force", "500 N"), ("cylinders.count", "3")]);
    let rig = rig.unwrap();
    assert_relative_eq!(rig.cylinders.bore.value, 0.0508, max_relative = 1e-12);
    assert_eq!(rig.cylinders.count, 3);
    // The force of the flag overrules the mass of the file.
    assert_relative_eq!(rig.load.mass.value, 500.0 / 9.80665, max_relative = 1e-12);
}

#[test]
fn a_flag_for_a_bottle_overrules_the_compressor_of_the_file() {
    let rig = read_with(SMALL, &[("tank.filled-to", "11 bar")]).unwrap();
    assert!(matches!(rig.source, AirSource::Bottle { .. }));
}

#[test]
fn a_wrong_flag_is_named_with_its_text() {
    let problems = read_with(SMALL, &[("cylinders.bore", "50 bar")]).unwrap_err();
    let text = problems.to_string();
    assert!(
        text.contains("--bore \"50 bar\"") && text.contains("is a pressure; a length is needed"),
        "{text}"
    );
}

#[test]
fn what_a_question_takes_for_granted_does_not_stand_against_the_file() {
    let mut overrides = Overrides::none();
    overrides.stand_in("load.mass", "1 kg");
    let text = changed("mass = \"120 kg\"", "force = \"980.665 N\"");
    let rig = Document::read(Some(&Source::new("rig.toml", &text)), &overrides).rig().unwrap();
    // 980.665 N / 9.80665 m/s2
    assert_relative_eq!(rig.load.mass.value, 100.0, max_relative = 1e-12);
}

#[test]
fn contrary_flags_are_refused() {
    let found = messages(SMALL, &[("load.mass", "1 kg"), ("load.force", "1 N")]);
    assert_eq!(found.len(), 1);
    assert!(found[0].contains("are both given"), "{found:?}");
}

#[test]
fn flags_alone_give_a_part() {
    let mut flags = Overrides::none();
    flags.set("load.mass", "80 kg");
    flags.set("load.lift", "400 mm");
    let document = Document::read(None, &flags);
    let part = document.resolve(Resolver::load).unwrap();
    assert_relative_eq!(part.value.mass.value, 80.0, max_relative = 1e-12);
    let missing = document.resolve(|resolver| {
        let regulator = resolver.regulator();
        let tank = resolver.tank();
        Ok((regulator?, tank?))
    });
    let text = missing.unwrap_err().to_string();
    for words in ["`regulator.set` is missing", "--set \"5.5 bar\"", "`tank.volume` is missing", "--volume"] {
        assert!(text.contains(words), "{words}\n{text}");
    }
}

#[test]
fn a_part_is_answered_although_another_is_wrong() {
    let source = Source::new("rig.toml", &changed("\"5.5 bar\"", "\"5.5 kg\""));
    let document = Document::read(Some(&source), &Overrides::none());
    assert!(document.resolve(Resolver::load).is_ok());
    assert!(document.resolve(Resolver::regulator).is_err());
}

#[test]
fn the_site_is_read_once() {
    let document = Document::read(None, &Overrides::none());
    let resolved = document.resolve(|resolver| {
        let first = resolver.site();
        assert_eq!(first, resolver.site());
        first
    });
    assert_eq!(resolved.unwrap().defaults.len(), 2);
}

#[test]
fn words_are_read_whatever_their_capitals() {
    let rig = rig(&changed("\"single\"", "\"Double\""));
    assert_eq!(rig.cylinders.action, Action::Double);
    assert!(rig.defaults.iter().any(|used| used.field == "cylinders.back-pressure"));
}

/// The rod side of double-acting cylinders has passages of its own, or ones like those of the cap side.
#[test]
fn the_passages_of_the_rod_side_are_read_or_listed() {
    let double = changed("\"single\"", "\"double\"");
    let with = |line: &str| rig(&format!("{double}\n[line]\n{line}\n"));
    let listed = |rig: &Rig| {
        let used = rig.defaults.iter().filter(|used| used.field.starts_with("line.rod-"));
        used.map(|used| (used.field, used.value)).collect::<Vec<_>>()
    };
    let silent = with("raise = { Cv = 0.5 }\nlower = { Cv = 0.1 }");
    let like = [("line.rod-fill", "like line.raise"), ("line.rod-vent", "like line.lower")];
    assert_eq!((listed(&silent), silent.line.rod_vent), (like.to_vec(), None));
    assert_eq!(listed(&with("raise = { Cv = 0.5 }")), [like[0]]);
    let said = with("lower = { Cv = 0.1 }\nrod-vent = { C = \"1.5 L/(s bar)\", b = 0.25 }");
    assert_eq!(listed(&said), []);
    assert_relative_eq!(said.line.rod_vent.unwrap().conductance().si(), 1.5e-8, max_relative = 1e-12);
    let said = with("rod-fill = { C = \"2 L/(s bar)\", b = 0.25 }");
    assert_relative_eq!(said.line.rod_fill.unwrap().conductance().si(), 2e-8, max_relative = 1e-12);
}

#[test]
fn a_broken_line_is_not_called_missing_as_well() {
    for (from, to) in [
        ("volume = \"10 L\"", "volume \"10 L\""),
        ("volume = \"10 L\"", "volume = 10 L"),
        ("volume = \"10 L\"", "volumen = \"10 L\""),
        ("[tank]", "[tanks]"),
        ("[tank]", "[[tank]]"),
        ("[load]", "[load"),
        ("\"50 mm\"", "\"50 bar\""),
        ("rod = \"20 mm\"", "rod = 20"),
    ] {
        let found = messages(&changed(from, to), &[]);
        assert_eq!(found.len(), 1, "{to}: {found:?}");
    }
}

#[test]
fn a_broken_line_does_not_hide_a_wrong_value() {
    let text = changed("volume = \"10 L\"", "volume = 10 L").replace("\"50 mm\"", "\"50 bar\"");
    assert_eq!(messages(&text, &[]).len(), 2);
}

#[test]
fn the_ends_of_a_range_are_in_it_in_any_unit() {
    for barometer in ["50 kPa", "110 kPa", "500 hPa", "1.1 bar(a)", "500 mbar"] {
        rig(&format!("[site]\nbarometer = \"{barometer}\"\n{SMALL}"));
    }
    for barometer in ["49.99 kPa", "110.01 kPa", "1.0 bar(g)"] {
        assert_eq!(messages(&format!("[site]\nbarometer = \"{barometer}\"\n{SMALL}"), &[]).len(), 1);
    }
}

#[test]
fn both_ends_of_a_tolerance_are_held_to_the_range() {
    let friction = |text: &str| read_with(SMALL, &[("cylinders.friction", text)]);
    // From 0 % to below 100 %: an end on the included one is in, on the excluded one it is not.
    for good in ["8 % +- 8 %", "50 % +- 49 %", "97 % +- 2.9 %", "0.7 +- 0.2"] {
        assert!(friction(good).is_ok(), "{good}");
    }
    for (wrong, end) in [
        ("30 % +- 75 %", "down to -45 %"),
        ("60 % +- 40 %", "up to 100 %"),
        ("60 % +- 75 %", "down to -15 %"),
    ] {
        let message = friction(wrong).expect_err(wrong).to_string();
        assert!(message.contains(end), "{message}");
    }
    // Rounding keeps no end out that is on the mark: 0.95 + 0.05, 0.7 - 0.7 in two units, 6 in.
    for (path, text) in [
        ("load.share", "95 % +- 5 %"),
        ("load.take-up", "7 mm +- 0.7 cm"),
        ("load.take-up", "0.3 in +- 7.62 mm"),
    ] {
        assert!(read_with(SMALL, &[(path, text)]).is_ok(), "{text}");
    }
    assert!(read_with(SMALL, &[("site.temperature", "79 degC +- 2 K")]).is_err());
}

#[test]
fn points_of_a_flag_are_parted_by_commas_or_semicolons() {
    let points = |text: &str| {
        let flags = [("compressor.delivery.points", text)];
        let rig = read_with(SMALL, &flags).unwrap_or_else(|problems| panic!("{problems}"));
        let AirSource::Compressor(compressor) = rig.source else { panic!("no compressor") };
        compressor.delivery
    };
    let wanted = points("0 bar: 32 L/min, 8 bar: 15 L/min");
    assert!(matches!(&wanted, Delivery::Points(curve) if curve.len() == 2));
    for text in ["0 bar: 32 L/min; 8 bar: 15 L/min", "0 bar:32 L/min,8 bar:15 L/min"] {
        assert_eq!(points(text), wanted, "{text}");
    }
    let example = crate::rig::fields::field("compressor.delivery.points").unwrap().example_text();
    assert_eq!(points(example), wanted, "what the help gives as an example");
}

#[test]
fn air_behind_drawn_out_rods_is_dead_volume() {
    // 450 mm lie between the pins at the start: of a cylinder of 430 mm the rod stands out by 20 mm.
    let closed = |length: &str| {
        let text =
            changed("[load]", LEVER).replace("stroke =", &format!("closed-length = \"{length}\"\nstroke ="));
        rig(&text)
    };
    let (drawn_in, drawn_out) = (closed("450 mm"), closed("430 mm"));
    assert_relative_eq!(mm(drawn_out.drawn_out()), 20.0, max_relative = 1e-9);
    let area = std::f64::consts::FRAC_PI_4 * drawn_out.cylinders.bore.value.powi(2);
    let behind = f64::from(drawn_out.cylinders.count) * area * 0.020;
    assert_relative_eq!(
        (drawn_out.dead_volume() - drawn_in.dead_volume()).value,
        behind,
        max_relative = 1e-9
    );
    assert_relative_eq!(mm(rig(&changed("[load]", LEVER)).drawn_out()), 0.0);
}

/// analytic: an effective area has `C = S 0.040415/(1.185 T_0^0.5)`, 0.996 L/(s bar) for 5 mm2; Kv, with `b` the
/// critical ratio, `C = 2.7764e-5 Kv ((1 - b)/2)^0.5/(1.185 (R T_0)^0.5)`.
#[test]
fn passages_are_read_in_every_form() {
    let line = r#"
[line]
raise = { area = "5 mm2", m = 0.6 }
lower = { Kv = 0.04, b = 0.3 }
lower-wide = { C = "1.5 L/(s bar)", b = 0.25 }
fitting = [{ name = "elbow", count = 2, Cv = 0.9 }, { way = "up", bore = "4 mm", cracking = "0.1 bar" }]
"#;
    let rig = rig(&format!("{SMALL}{line}"));
    let raise = rig.line.raise.unwrap();
    assert_relative_eq!(raise.conductance().si(), 9.960e-9, max_relative = 1e-4);
    assert_relative_eq!(raise.critical_ratio().value, 0.528_28, max_relative = 1e-5);
    assert_relative_eq!(raise.subsonic_index().value, 0.6);
    let lower = rig.line.lower.unwrap();
    let by_hand = 2.7764e-5 * 0.04 * 0.35_f64.sqrt() / (1.185 * (287.05_f64 * 293.15).sqrt());
    assert_relative_eq!(lower.conductance().si(), by_hand, max_relative = 1e-4);
    assert_relative_eq!(rig.line.lower_wide.unwrap().conductance().si(), 1.5e-8, max_relative = 1e-12);
    let names = |way| rig.line.fittings_on(way).map(|fitting| fitting.name.as_str()).collect::<Vec<_>>();
    assert_eq!(
        (names(Way::Up), names(Way::Down)),
        (vec!["elbow", "elbow", "fitting"], vec!["elbow", "elbow"])
    );
    let check_valve = rig.line.fittings_on(Way::Up).last().unwrap().restriction;
    assert_relative_eq!(check_valve.cracking_pressure().unwrap().value, 1e4);
    let listed = |field| rig.defaults.iter().find(|used| used.field == field).map(|used| used.value);
    assert_eq!((listed("line.raise.b"), listed("line.lower.b")), (Some("0.528"), None));
    assert_eq!(listed("line.fitting.b"), Some("0.5"));
}

/// analytic: air that leaves a volume through a choked hole falls off exponentially, so
/// `C = V ln(p_1/p_2) / (t rho_0 R sqrt(T_0 T))`; here both pressures choke it.
#[test]
fn a_leak_is_read_as_a_timed_fall_or_as_a_passage() {
    let leak = |line: &str| {
        let text = changed("relief = \"11 bar\"", &format!("relief = \"11 bar\"\n{line}"));
        rig(&text)
    };
    let timed = |line: &str, from: f64| {
        let rig = leak(line);
        let atmosphere = rig.site.atmosphere.pascals();
        let (first, second) = (from * 1e5 + atmosphere, (from - 0.5) * 1e5 + atmosphere);
        let speed = 1.185 * 287.05 * (293.15 * rig.site.temperature.value).sqrt();
        let by_hand = rig.tank.volume.value * (first / second).ln() / (1800.0 * speed);
        assert_relative_eq!(rig.tank.leak.unwrap().conductance().si(), by_hand, max_relative = 2e-5);
    };
    let full = rig(&changed("relief = \"11 bar\"", "relief = \"11 bar\"")).full_pressure().pascals() / 1e5;
    timed("leak = { fall = \"0.5 bar\", time = \"30 min\" }", full);
    timed("leak = { fall = \"0.5 bar\", time = \"30 min\", from = \"8 bar\" }", 8.0);
    let hole = leak("leak = { C = \"0.001 L/(s bar)\", b = 0.4 }").tank.leak.unwrap();
    assert_relative_eq!(hole.conductance().si(), 1e-11, max_relative = 1e-12);
    assert!(leak("").tank.leak.is_none());
}
