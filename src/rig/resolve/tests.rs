//! What the parts of a rig become. Expected values follow from the texts by the definition of the units.

use approx::assert_relative_eq;

use crate::rig::{AirSource, Document, Linkage, Overrides, Problems, Resolver, Rig, Source};
use crate::sizing::compressor_fill_time::{Delivery, Intake};
use crate::sizing::cylinder_force::Action;
use crate::sizing::tank_capacity::EndPressure;

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
        ("cycle.end-pressure", "set point"),
        ("limits.load-ratio", "70 %"),
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

#[test]
fn linkages_but_the_direct_one_are_kept_by_kind() {
    let lever = "[linkage]\nkind = \"lever\"\narm = \"2 m\"\npivot = [\"4 cm\", \"1 in\"]\n[load]";
    let rig_with_lever = rig(&changed("[load]", lever));
    assert_eq!(rig_with_lever.linkage, Linkage::NotFollowed { kind: "lever" });
    let default = rig_with_lever.defaults.iter().find(|used| used.field == "linkage.efficiency");
    assert_eq!(default.map(|used| used.value), Some("90 %"));
    let direct = rig(&changed("[load]", "[linkage]\nefficiency = \"95 %\"\n[load]"));
    assert!(
        matches!(direct.linkage, Linkage::Direct { efficiency } if (efficiency.value - 0.95).abs() < 1e-12)
    );
}

#[test]
fn the_take_up_of_a_linkage_is_not_held_to_the_stroke() {
    let text = changed("lift =", "take-up = \"500 mm\"\nlift =");
    assert_eq!(messages(&text, &[]).len(), 1);
    rig(&text.replacen("[load]", "[linkage]\nkind = \"scissor\"\n[load]", 1));
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
