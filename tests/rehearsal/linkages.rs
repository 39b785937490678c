//! Rigs with a lever, a folding leg or a scissor drawn at random: the strokes of one fill, worked in time, against
//! the slow and the quick count of `strokes`.

use lungful::answers::rehearsal::strokes_in_time;
use lungful::answers::{Answers, evaluate};
use lungful::rig::{Document, Overrides, Rig, Source};
use uom::si::mass::kilogram;

use crate::random::Draw;
use crate::rig::s;

/// What the tolerance of coming to rest is worth, 0.1 K and a ten-thousandth of the pressure at each stroke, which add
/// up: the slow count is that of a load lighter by this share, and of a mark lower by this share of 10 bar.
const AT_REST: f64 = 2e-3;
/// Most strokes of one count.
const MOST: u32 = 400;

fn lever(draw: &mut Draw) -> String {
    let start = draw.even(-40.0, 10.0);
    format!(
        "kind = \"lever\"\nfoot = [\"{} mm\", \"{} mm\"]\npin-arm = \"{} mm\"\nload-arm = \"{} mm\"\n\
         start-angle = \"{start} deg\"\nend-angle = \"{} deg\"\narm-mass = \"{} kg\"\narm-centre = \"{} mm\"\n",
        draw.even(100.0, 500.0),
        draw.even(-700.0, -350.0),
        draw.even(200.0, 500.0),
        draw.even(300.0, 1100.0),
        start + draw.even(15.0, 45.0),
        draw.even(0.0, 12.0),
        draw.even(100.0, 500.0),
    )
}

fn folding_leg(draw: &mut Draw) -> String {
    let (lower, upper) = (draw.even(350.0, 700.0), draw.even(350.0, 700.0));
    format!(
        "kind = \"folding-leg\"\nlower-link = \"{lower} mm\"\nupper-link = \"{upper} mm\"\n\
         lower-bracket = [\"{} mm\", \"{} mm\"]\nupper-bracket = [\"{} mm\", \"{} mm\"]\n\
         start-angle = \"{} deg\"\nstop-angle = \"{} deg\"\nlower-mass = \"{} kg\"\nupper-mass = \"{} kg\"\n",
        draw.even(0.5, 0.9) * lower,
        draw.even(0.0, 60.0),
        draw.even(0.5, 0.9) * upper,
        draw.even(0.0, 60.0),
        draw.even(50.0, 110.0),
        draw.even(125.0, 170.0),
        draw.even(0.0, 5.0),
        draw.even(0.0, 5.0),
    )
}

fn scissor(draw: &mut Draw) -> String {
    let drive = if draw.chance(0.3) {
        "drive = \"sliding foot\"\n".to_owned()
    } else {
        format!(
            "drive = \"between\"\nfoot = {{ base = [\"{} mm\", \"{} mm\"] }}\n\
             pin = {{ arm = \"fixed side\", stage = 1, distance = \"{} mm\", offset = \"{} mm\" }}\n",
            draw.even(150.0, 500.0),
            draw.even(-120.0, -20.0),
            draw.even(450.0, 900.0),
            draw.even(0.0, 80.0),
        )
    };
    let start = draw.even(12.0, 30.0);
    format!(
        "kind = \"scissor\"\nstages = {}\narm-length = \"{} mm\"\nstart-angle = \"{start} deg\"\n\
         end-angle = \"{} deg\"\narm-mass = \"{} kg\"\n{drive}",
        1 + draw.pick(2),
        draw.even(700.0, 1200.0),
        start + draw.even(8.0, 30.0),
        draw.even(0.0, 8.0),
    )
}

/// A rig file; `mass` of the load in kg, headroom in bar and the exchange of heat are filled in.
fn text(draw: &mut Draw, linkage: &str) -> String {
    let count = 1 + draw.pick(2);
    let count = if linkage.contains("folding-leg") { 1 } else { count };
    let double = draw.chance(0.3);
    let set = draw.even(2.5, 7.0);
    let start = draw.even(1.1, 2.0) * set;
    let spring = if draw.chance(0.3) { draw.even(0.0, 60.0) } else { 0.0 };
    format!(
        "[site]\nbarometer = \"{} kPa\"\ntemperature = \"{} degC\"\n\
         [tank]\nvolume = \"{} L\"\nrating = \"40 bar\"\nfilled-to = \"{start} bar\"\nheat-exchange = \"HEAT_TANK W/K\"\n\
         [regulator]\nset = \"{set} bar\"\ndroop = \"{} bar\"\nrated-flow = \"{} L/min\"\nheadroom = \"HEADROOM bar\"\n\
         [line]\nraise = {{ C = \"{} L/(s bar)\", b = 0.3 }}\nlower = {{ C = \"{} L/(s bar)\", b = 0.4 }}\n\
         [cylinders]\ncount = {count}\nbore = \"{} mm\"\nrod = \"16 mm\"\nstroke = \"{} mm\"\naction = \"{}\"\n\
         rating = \"16 bar\"\nfriction = \"{} %\"\nclearance = \"{} mL\"\nheat-transfer = \"HEAT_WALL W/(m2 K)\"\n\
         return-spring = \"{spring} N\"\n\
         [linkage]\nefficiency = \"{} %\"\n{linkage}\
         [load]\nmass = \"MASS kg\"\nlift = \"20 mm\"\n{}\
         [cycle]\nper-hour = 20\n",
        draw.even(75.0, 103.0),
        draw.even(-8.0, 36.0),
        draw.log(4.0, 60.0),
        draw.even(0.02, 0.1) * set,
        draw.log(200.0, 1500.0),
        draw.log(0.2, 2.0),
        draw.log(0.2, 2.0),
        draw.log(32.0, 80.0),
        draw.even(150.0, 500.0),
        if double { "double" } else { "single" },
        draw.even(2.0, 15.0),
        draw.even(5.0, 60.0),
        draw.even(75.0, 100.0),
        if draw.chance(0.3) { "ramp = \"15 mm\"\n" } else { "" },
    )
}

fn read(text: &str, mass: f64, headroom: f64, heat: (f64, f64)) -> Option<Rig> {
    let text = text
        .replace("HEADROOM", &headroom.to_string())
        .replace("MASS", &mass.to_string())
        .replace("HEAT_TANK", &heat.0.to_string())
        .replace("HEAT_WALL", &heat.1.to_string());
    Document::read(Some(&Source::new("rig.toml", &text)), &Overrides::none()).rig().ok()
}

/// How many of how many rigs of a kind are worth counting; more by the environment for a long run.
fn rigs() -> u64 {
    std::env::var("BRACKETED_RIGS").ok().and_then(|text| text.parse().ok()).unwrap_or(24)
}

fn answers_of(rig: &Rig) -> Answers {
    evaluate(rig).unwrap()
}

fn assert_bracketed(kind: &str, describe: fn(&mut Draw) -> String) {
    let (mut counted, mut differ, mut inside) = (0, 0, 0);
    for number in 0..rigs() {
        let mut draw = Draw(31_000 + number);
        let linkage = describe(&mut draw);
        let text = text(&mut draw, &linkage);
        let share = draw.even(0.2, 0.95);
        let heat = (draw.log(0.05, 5.0), draw.log(20.0, 200.0));
        let headroom = draw.even(0.1, 0.5);
        let rest = s(draw.log(1.0, 600.0));
        // What it can lift says what is put on it.
        let Some(empty) = read(&text, 0.001, headroom, heat) else { continue };
        let capacity = answers_of(&empty).lift.capacity.get::<kilogram>();
        if capacity.is_nan() || capacity < 1.0 {
            continue;
        }
        let mass = (share * capacity).min(90_000.0);
        let see = |heat: (f64, f64), what: &str| {
            let rig = read(&text, mass, headroom, heat).unwrap();
            let counts = answers_of(&rig).strokes.from_cut_out;
            let low = counts.quick.map_or((0, 0), |quick| (quick.full_pressure, quick.until_stall));
            let eased = read(&text, mass * (1.0 - AT_REST), headroom - 10.0 * AT_REST, heat).unwrap();
            let eased = answers_of(&eased).strokes.from_cut_out.slow;
            let high = (eased.full_pressure, eased.until_stall);
            if high.1 > MOST {
                return None;
            }
            let got = strokes_in_time(&rig, rest, 2 * MOST).unwrap();
            let got = (got.full_pressure, got.until_stall);
            let fits = low.0 <= got.0 && got.0 <= high.0 && low.1 <= got.1 && got.1 <= high.1;
            assert!(fits, "{kind} {number}, {what}: quick {low:?}, in time {got:?}, slow {high:?}\n{text}");
            Some((low.1, got.1, high.1))
        };
        if see(heat, "some heat").is_none() {
            continue;
        }
        let Some((low, got, high)) = see((0.0, 0.0), "no heat") else { continue };
        counted += 1;
        differ += u32::from(low < high);
        inside += u32::from(low < high && got < high);
    }
    // The bounds would hold idly if they were always alike or nothing fitted.
    assert!(
        counted * 4 > rigs() && differ > 3,
        "{kind}: {counted} counted, {differ} differ, {inside} inside"
    );
}

#[test]
fn strokes_on_a_lever_lie_between_the_counts() {
    assert_bracketed("lever", lever);
}

#[test]
fn strokes_on_a_folding_leg_lie_between_the_counts() {
    assert_bracketed("folding leg", folding_leg);
}

#[test]
fn strokes_on_a_scissor_lie_between_the_counts() {
    assert_bracketed("scissor", scissor);
}
