use approx::assert_relative_eq;
use uom::si::length::millimeter;

use super::*;
use crate::answers::sample::one_cylinder;
use crate::answers::{Answers, Verdict, evaluate};

const PIN: &str = "[[pin]]
name = \"eye\"
diameter = \"10 mm\"
steel = \"S355\"
plates = \"5 mm\"
tongue = \"8 mm\"
gap = \"0.5 mm\"
";

const LEG: &str = "[linkage]
kind = \"folding-leg\"
efficiency = \"80 %\"
lower-link = \"450 mm\"
upper-link = \"450 mm\"
lower-bracket = [\"330 mm\"]
upper-bracket = [\"330 mm\"]
start-angle = \"90 deg\"
";

const SCISSOR: &str = "[linkage]
kind = \"scissor\"
efficiency = \"80 %\"
stages = 1
arm-length = \"1 m\"
start-angle = \"30 deg\"
drive = \"sliding foot\"
";

/// One cylinder under a load of 100 kg, which weighs 980.665 N.
fn answers(further: &str) -> (Rig, Answers) {
    let rig = one_cylinder("100 kg", "50 mm", further);
    let answers = evaluate(&rig).unwrap();
    (rig, answers)
}

/// The only pin.
fn pin(further: &str) -> PinAnswer {
    let (_, answers) = answers(further);
    assert_eq!(answers.structure.pins.len(), 1);
    answers.structure.pins[0].clone()
}

/// The only weld.
fn weld(further: &str) -> WeldAnswer {
    let (_, answers) = answers(further);
    assert_eq!(answers.structure.welds.len(), 1);
    answers.structure.welds[0].clone()
}

#[track_caller]
fn close(value: f64, expected: f64) {
    // Expected figures are worked out by hand to six digits or more.
    assert_relative_eq!(value, expected, max_relative = 2e-6);
}

#[test]
fn a_pin_bears_its_share_of_the_push_over_the_efficiency() {
    let linkage = "[linkage]\nefficiency = \"80 %\"\n";
    let pin = pin(&format!("{linkage}{PIN}where = \"cylinder pin\"\nshared-by = 2\ndynamic-factor = 1.5\n"));
    // 980.665 N / 0.8 / 2 * 1.5
    close(pin.force.value, 919.373_438);
    // over 2 * pi/4 * (10 mm)2 = 157.0796 mm2
    close(pin.stress.shear.value, 5.852_91e6);
    // F/8 * (8 + 4 * 0.5 + 2 * 5) mm = 2.298434 N m over pi/32 * (10 mm)3 = 98.174770 mm3
    close(pin.stress.bending.value, 23.411_66e6);
    // over 10 mm * 8 mm; outside over 2 * 10 mm * 5 mm it is less
    close(pin.stress.middle_bearing.value, 11.492_168e6);
    close(pin.stress.outer_bearing.value, 9.193_734e6);
    // Pin of S355: shear 5.85291 * sqrt(3)/355 = 0.0285563, bending 23.41166/355 = 0.0659484; the root of their
    // squares. Plates of S235 unless said: 11.492168/235 = 0.0489 is less.
    close(pin.ratio.value, 0.071_865_5);
}

#[test]
fn soft_plates_count() {
    let pin = pin(&format!("{PIN}plate-steel = \"6060-T66\"\nforce = \"1000 N\"\n").replace("8 mm", "1 mm"));
    // 1000 N over 10 mm * 1 mm is 100 MPa; the metal yields at 160 MPa (data/steels.toml).
    close(pin.ratio.value, 100.0 / 160.0);
}

#[test]
fn a_force_that_is_given_counts_as_it_is_but_for_the_jolt() {
    let pin = pin(&format!("{PIN}force = \"1200 N\"\ndynamic-factor = 1.5\n"));
    close(pin.force.value, 1800.0);
    assert_eq!(pin.through, None);
}

#[test]
fn friction_of_a_scissor_loads_all_its_pins_below_the_platform() {
    // 980.665 N / tan(30 deg): the arms push the sliding foot out with that, at the start most.
    let through = |name: &str| pin(&format!("{SCISSOR}{PIN}where = \"{name}\"\n"));
    let centre = through("centre pin");
    close(centre.force.value, 1_698.561_6 / 0.8);
    close(through("centre pin of stage 1").force.value, 1_698.561_6 / 0.8);
    close(through("cylinder pin").force.value, 1_698.561_6 / 0.8);
    // Half of the weight, all along.
    close(through("platform roller").force.value, 980.665 / 2.0);
    assert_eq!(centre.through.unwrap().travel, Length::default());
}

#[test]
fn the_pivot_of_a_lever_bears_push_and_load() {
    // The cylinder stands upright under the middle of a level arm of 800 mm, which turns by 1 deg only: it pushes
    // with 2 * 980.665 N / 0.8 = 2451.6625 N, and the pivot holds the arm down with that less the weight.
    let lever = "[linkage]\nkind = \"lever\"\nefficiency = \"80 %\"\nfoot = [\"400 mm\", \"-600 mm\"]\n\
                 pin-arm = \"400 mm\"\nload-arm = \"800 mm\"\nstart-angle = \"0 deg\"\nend-angle = \"1 deg\"\n";
    let pivot = pin(&format!("{lever}{PIN}where = \"pivot\"\n"));
    assert_relative_eq!(pivot.force.value, 2_451.662_5 - 980.665, max_relative = 5e-4);
}

#[test]
fn a_cylinder_on_a_stop_loads_its_pins_with_all_its_thrust() {
    // pi/4 (80 mm)2 * 6 bar = 3015.93 N; the knee meets its stop within the stroke of 100 mm.
    let pin = |leg: &str| pin(&format!("{leg}{PIN}where = \"cylinder pin\"\n"));
    let stop = LEG.replace("start-angle", "stop-angle = \"100 deg\"\nstart-angle");
    let one = pin(&stop);
    close(one.force.value, 3_015.928_9);
    let through = one.through.unwrap();
    // The brackets are 660 mm * sin(50 deg) - 660 mm * sin(45 deg) = 38.899 mm further apart there.
    assert_relative_eq!(through.travel.get::<millimeter>(), 38.898_857, max_relative = 1e-6);
    // Without a stop the rod comes to rest in its own cylinder: at the start it pushes with
    // 980.665 N / 0.8 * (450^2/636.396) (466.690/330^2) = 1671.6 N.
    assert_relative_eq!(pin(LEG).force.value, 1_671.6, max_relative = 1e-4);
}

#[test]
fn a_pin_beyond_the_limit_fails_with_its_remedy() {
    // Ratio 0.0718655 at 919.373 N: 66 % is reached at 8443 N.
    let judged = |force: &str| {
        let (rig, answers) = answers(&format!("{PIN}force = \"{force}\"\n"));
        assert!(rig.defaults.iter().any(|default| default.field == "limits.yield-ratio"));
        answers.check("pin: eye").unwrap().clone()
    };
    assert_eq!(judged("8.4 kN").verdict, Verdict::Caution);
    let failed = judged("8.5 kN");
    assert_eq!(failed.verdict, Verdict::Fail);
    assert!(format!("{:?}", failed.advice).contains("the pin gives way first"));
}

#[test]
fn the_link_nearest_to_buckling_is_judged() {
    let arms =
        "arm-section = { kind = \"flat bar\", width = \"30 mm\", height = \"6 mm\" }\narm-steel = \"S235\"\n";
    let (_, one) = answers(&format!("{LEG}{arms}"));
    let links = one.structure.links.unwrap();
    // Between the brackets, 330 mm up each link from the knee, lie 660 mm * sin(45 deg) = 466.690 mm at the start
    // and 566.690 mm at the end; there sin(half the knee) = 566.690/660. Foot and knee bear no side force, since
    // the leg is its own mirror image, so that the link bears that share of 980.665 N.
    close(links.thrust.value, 980.665 * 0.858_621_8);
    // pi2 * 210000 MPa * (30 * 6^3/12) mm4 / (450 mm)2, below half of 180 mm2 * 235 MPa
    close(links.critical.force.value, 5_526.978);
    close(links.safety.value, 5_526.978 / 842.020_3);
    let (_, two) = answers(&format!("{LEG}{arms}arms-side-by-side = 2\n"));
    close(two.structure.links.unwrap().safety.value, 2.0 * 5_526.978 / 842.020_3);
    assert_eq!(two.check("slender links").unwrap().verdict, Verdict::Pass);
}

#[test]
fn links_of_an_unknown_or_too_thin_section_are_not_judged() {
    let (_, unknown) = answers(LEG);
    assert_eq!(unknown.check("slender links").unwrap().verdict, Verdict::NotJudged);
    // (60 - 3)/1 = 57 is more than 42.
    let thin =
        "arm-section = { kind = \"square tube\", side = \"60 mm\", wall = \"1 mm\" }\narm-steel = \"S235\"\n";
    let (_, judged) = answers(&format!("{LEG}{thin}"));
    assert_eq!(judged.check("slender links").unwrap().verdict, Verdict::NotJudged);
    // Yield alone gives 236 mm2 * 235 MPa = 55.5 kN, 66 times the thrust of 842 N: short of 100 whatever the wall.
    let (_, failed) = answers(&format!("{LEG}{thin}[limits]\ncolumn-safety = 100\n"));
    assert_eq!(failed.check("slender links").unwrap().verdict, Verdict::Fail);
}

#[test]
fn a_fillet_is_judged_by_its_throat() {
    let text = "[[weld]]\nname = \"gusset\"\nthroat = \"3 mm\"\nlength = \"120 mm\"\nforce = \"2500 N\"\nsteel = \"S235\"\n";
    let gusset = weld(text);
    // 2500 N over 3 mm * (120 - 2 * 3) mm
    close(gusset.stress.value, 7.309_942e6);
    // 360 MPa / (sqrt(3) * 0.8 * 1.25) = 207.8461 MPa
    close(gusset.strength.unwrap().1.value, 7.309_942 / 207.846_1);
    let carried_round = weld(&format!("{text}open-ends = 0\n"));
    close(carried_round.stress.value, 2500e6 / 360.0);
    let (_, aluminium) = answers(&text.replace("S235", "6061-T6"));
    assert_eq!(aluminium.check("weld: gusset").unwrap().verdict, Verdict::NotJudged);
}

#[test]
fn a_tube_weld_bears_the_root_of_its_beam() {
    let beam = "[[frame]]\nname = \"fork\"\nsupport = \"cantilever\"\nspan = \"400 mm\"\nload-share = \"50 %\"\n\
        section = { kind = \"square tube\", side = \"40 mm\", wall = \"3 mm\" }\nsteel = \"S235\"\ndynamic-factor = 1.2\n";
    let text = "[[weld]]\nname = \"root\"\nleg = \"4 mm\"\ntube = { width = \"40 mm\", height = \"40 mm\" }\nsteel = \"S235\"\n";
    let root = weld(&format!("{beam}{text}beam = \"fork\"\n"));
    // 980.665 N / 2 * 1.2, and that over 0.4 m
    close(root.force.value, 588.399);
    close(root.moment.value, 235.359_6);
    // Throat 4 mm/sqrt(2) = 2.828427 mm. Shear 588.399 N over 2 * 80 mm of it: 1.300192 MPa; moment over
    // 2.828427 mm * (40 * 40 + 40^2/3) mm2 = 6033.978 mm3: 39.00571 MPa; the root of their squares.
    close(root.stress.value, 39.027_37e6);
    let by_force = weld(&format!("{text}force = \"588.399 N\"\narm = \"400 mm\"\n"));
    close(by_force.stress.value, 39.027_37e6);
}

#[test]
fn metal_beyond_the_thickness_of_its_strength_is_named() {
    // S235 of the table holds its 235 MPa up to 16 mm.
    let said = |arms: &str| {
        let (rig, answers) = answers(&format!("{LEG}{arms}"));
        let cautions = crate::answers::cautions(&rig, &answers);
        let of_steel =
            |caution: &&crate::answers::Sentence| format!("{caution:?}").contains("Steel of the links");
        cautions.iter().filter(of_steel).count()
    };
    let bar = |size: &str| {
        format!("arm-section = {{ kind = \"square bar\", side = \"{size}\" }}\narm-steel = \"S235\"\n")
    };
    assert_eq!(said(&bar("16 mm")), 0);
    assert_eq!(said(&bar("17 mm")), 1);
}
