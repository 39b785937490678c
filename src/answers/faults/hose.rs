//! A hose comes off.

use uom::si::f64::Length;

use super::{Case, Fall, Fault, figure, on_shut_in_air, plain, raised_load};
use crate::Result;
use crate::answers::check::sentence;
use crate::answers::checks::crept_set;
use crate::answers::times::{falling_through, heaviest, hose_restriction, open_end, way_down};
use crate::answers::{Sentence, Verdict};
use crate::rig::Lock;
use crate::sizing::cylinder_force::piston_area;
use crate::units::Dimension;

/// From this bore on rules ask for a restraint. Source: 30 CFR 77.412(d), 1 inch inside.
const RESTRAINED_BORE_M: f64 = 0.0254;

const AT_VALVE: &str = "hose off at the valve";
const AT_CYLINDERS: &str = "hose off at the cylinders";

pub(super) fn faults(case: &Case<'_>, faults: &mut Vec<Fault>) -> Result<()> {
    faults.push(at_the_valve(case)?);
    faults.push(at_the_cylinders(case));
    faults.push(whip(case));
    Ok(())
}

fn hose_bore(case: &Case<'_>) -> Option<Length> {
    case.rig.line.hose.map(|hose| hose.bore).filter(|bore| bore.value > 0.0)
}

fn unknown() -> Sentence {
    sentence!["give the hose: `line.hose-bore`, `line.hose-length`"]
}

fn advice() -> Sentence {
    sentence![
        "a lock in the ports of the cylinders (`protection.lock = \"in the port\"`), or throttles there (`protection.port-throttle`); a latch helps only while it is in"
    ]
}

/// The end at the valve comes off: the air leaves through the whole hose.
fn at_the_valve(case: &Case<'_>) -> Result<Fault> {
    if case.rig.protection.lock != Lock::None {
        return Ok(on_shut_in_air(
            case,
            AT_VALVE,
            sentence!["the lock keeps the air of the cylinders; the hose before it empties"],
            sentence!["shut off the supply, support the load, then mend the hose"],
        ));
    }
    let speed = match (hose_bore(case), hose_restriction(case.rig)) {
        (Some(bore), through) => {
            let mut way_out = way_down(case.rig)?;
            if through.is_none() {
                way_out.push(open_end(bore)?);
            }
            let heavy = heaviest(case.rig);
            Some(falling_through(case.rig, &case.rig.travel_of(&heavy)?, &case.answers.lift, way_out)?)
        }
        (None, _) => None,
    };
    let happens = sentence![raised_load(case), " comes down as the air leaves through the open hose"];
    Ok(Fall { id: AT_VALVE, happens, speed, unknown: unknown(), advice: advice(), never: false }.judged(case))
}

/// The end at the cylinders comes off: only what sits in the ports is left in the way.
fn at_the_cylinders(case: &Case<'_>) -> Fault {
    if case.rig.protection.lock == Lock::InPort {
        return on_shut_in_air(
            case,
            AT_CYLINDERS,
            sentence!["no hose stands between lock and cylinder: the load stays up, on the air shut in"],
            sentence![
                "see that the lock is screwed straight into the port; support the load before anybody comes near"
            ],
        );
    }
    let speed = case.answers.times.torn_hose;
    let happens = if case.rig.protection.lock == Lock::InLine {
        sentence!["the hose between lock and cylinders is off: ", raised_load(case), " comes down"]
    } else {
        sentence![raised_load(case), " comes down through the open port"]
    };
    Fall { id: AT_CYLINDERS, happens, speed, unknown: unknown(), advice: advice(), never: false }.judged(case)
}

/// Push of the jet on a torn end, frictionless: choked `F = A (p_1 (1 + k) (2/(k + 1))^(k/(k - 1)) - p_a)`,
/// and below that `F = A p_a 2 k/(k - 1) ((p_1/p_a)^((k - 1)/k) - 1)`.
///
/// Source: momentum balance of an isentropic nozzle, k = 1.4.
fn jet_push(area_m2: f64, inside_pa: f64, site_pa: f64) -> f64 {
    const K: f64 = 1.4;
    let critical = (2.0 / (K + 1.0)).powf(K / (K - 1.0));
    if inside_pa * critical >= site_pa {
        return area_m2 * (inside_pa * (1.0 + K) * critical - site_pa);
    }
    let ratio = (inside_pa / site_pa).max(1.0).powf((K - 1.0) / K);
    area_m2 * site_pa * 2.0 * K / (K - 1.0) * (ratio - 1.0)
}

fn whip(case: &Case<'_>) -> Fault {
    const ID: &str = "torn hose whips";
    let rig = case.rig;
    let happens = sentence!["the jet throws the torn end about until the supply is shut off"];
    let Some(bore) = hose_bore(case) else {
        return plain(ID, Verdict::NotJudged, Dimension::Force, happens, unknown());
    };
    let site = rig.site.atmosphere.pascals();
    let push = jet_push(piston_area(bore).value, crept_set(rig) + site, site);
    let (verdict, advice) = if rig.protection.hose_restraint {
        (Verdict::Pass, sentence!["the restraint holds the torn end"])
    } else if bore.value >= RESTRAINED_BORE_M * (1.0 - 1e-9) {
        (
            Verdict::Fail,
            sentence![
                "restrain the hose at both ends (`protection.hose-restraint`): rules ask for it from a bore of 1 in on"
            ],
        )
    } else {
        (Verdict::Caution, sentence!["restrain the hose at both ends (`protection.hose-restraint`)"])
    };
    let mut fault = plain(ID, verdict, Dimension::Force, happens, advice);
    fault.check.value = Some(push);
    if let Some(delivery) = rig.regulator.rated_flow {
        fault.figures.push(figure("the supply goes on to feed it with", delivery.value, Dimension::MassFlow));
    }
    fault
}

#[cfg(test)]
mod tests {
    use approx::assert_relative_eq;

    use super::jet_push;

    #[test]
    fn the_jet_pushes_with_its_momentum_and_its_pressure() {
        // analytic, k = 1.4: 1e-4 * (6e5 * 2.4 * 0.528282 - 1e5) = 66.07 N
        assert_relative_eq!(jet_push(1e-4, 6e5, 1e5), 66.0726, max_relative = 1e-5);
        // analytic: no pressure, no push; and both laws meet where the jet chokes
        assert_relative_eq!(jet_push(1e-4, 1e5, 1e5), 0.0);
        let choking = 1e5 * 1.2_f64.powf(3.5);
        let (below, above) =
            (jet_push(1e-4, choking * 0.999_999, 1e5), jet_push(1e-4, choking * 1.000_001, 1e5));
        assert_relative_eq!(below, above, max_relative = 1e-5);
    }
}
