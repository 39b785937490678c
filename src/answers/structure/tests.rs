use approx::assert_relative_eq;
use uom::si::length::millimeter;

use super::*;
use crate::answers::evaluate;
use crate::answers::sample::one_cylinder;

/// Under the foot of the cylinder.
const BEARER: &str = "[[frame]]
name = \"bearer\"
support = \"cantilever\"
span = \"400 mm\"
carries = \"cylinder force\"
load-share = \"100 %\"
section = { kind = \"flat bar\", width = \"60 mm\", height = \"20 mm\" }
steel = \"S235\"
";

/// With one cylinder under a load of 200 kg, which weighs 1961.33 N.
fn net(further: &str) -> NetHeight {
    let rig = one_cylinder("200 kg", "10 mm", &format!("{BEARER}{further}"));
    evaluate(&rig).unwrap().structure.net_height.unwrap()
}

fn in_mm(length: Length) -> f64 {
    length.get::<millimeter>()
}

#[test]
fn what_holds_the_cylinder_gives_way_along_it() {
    // I = 60 * 20^3/12 = 40 000 mm4; F L^3/(3 E I) = 1961.33 * 400^3/(3 * 210 000 * 40 000) = 4.981 156 mm
    let net = net("");
    assert_relative_eq!(in_mm(net.lost_by_cylinders), 4.981_156, max_relative = 1e-6);
    assert_relative_eq!(in_mm(net.net), 100.0 - 4.981_156, max_relative = 1e-6);
}

#[test]
fn stroke_beyond_a_stop_makes_up_for_what_gives_way() {
    // The cylinder stands upright under the middle of a level arm of 800 mm and pushes with twice the weight over
    // 0.9, so that the bearer gives way by 4.981 156 * 2/0.9 = 11.07 mm. The stop at 7 deg is met after some 49 mm.
    let lever = |stop: &str| {
        format!(
            "[linkage]\nkind = \"lever\"\nfoot = [\"400 mm\", \"-600 mm\"]\npin-arm = \"400 mm\"\n\
             load-arm = \"800 mm\"\nstart-angle = \"0 deg\"\n{stop}"
        )
    };
    let stopped = net(&lever("end-angle = \"7 deg\"\n"));
    assert!((10.5..11.5).contains(&in_mm(stopped.lost_by_cylinders)), "{stopped:?}");
    assert_relative_eq!(in_mm(stopped.net), 800.0 * 7.0_f64.to_radians().sin(), max_relative = 1e-9);
    // Without a stop it is missing from the stroke.
    let free = net(&lever(""));
    assert_relative_eq!(in_mm(free.reached), 100.0 - in_mm(free.lost_by_cylinders), max_relative = 1e-9);
}
