//! What must not fall when something grows.

use lungful::answers::{Answers, Fill, Starts};
use proptest::prelude::*;

use super::rigs::direct_rig;
use super::sample::{AirSource, Delivery, Sample};

/// Rounding that is forgiven between two evaluations.
const ROUNDING: f64 = 1e-12;

#[track_caller]
fn assert_not_less(what: &str, before: f64, after: f64) {
    assert!(after >= before - ROUNDING * before.abs(), "{what} falls from {before} to {after}");
}

/// The eight counts: at full pressure and until stall, slow and quick, from cut-out and from cut-in. A count
/// that is not known on either side is left out.
fn counts(answers: &Answers) -> Vec<Option<u32>> {
    let strokes = &answers.strokes;
    let of = |starts: Starts| {
        [
            Some(starts.slow.full_pressure),
            Some(starts.slow.until_stall),
            starts.quick.map(|quick| quick.full_pressure),
            starts.quick.map(|quick| quick.until_stall),
        ]
    };
    [Some(strokes.from_cut_out), strokes.from_cut_in].into_iter().flatten().flat_map(of).collect()
}

/// No count of `more` is below that of `less`.
#[track_caller]
fn assert_no_fewer_strokes(less: &Answers, more: &Answers) {
    let (less, more) = (counts(less), counts(more));
    assert_eq!(less.len(), more.len());
    for (less, more) in less.iter().zip(&more) {
        if let Some((less, more)) = less.zip(*more) {
            assert!(more >= less, "{less} strokes become {more}");
        }
    }
}

fn lifts_no_less(before: &Answers, after: &Answers) {
    let (before, after) = (before.lift, after.lift);
    assert_not_less("capacity", before.capacity.value, after.capacity.value);
    assert_not_less("rated capacity", before.rated_capacity.value, after.rated_capacity.value);
    assert_not_less("thrust", before.thrust.value, after.thrust.value);
    assert!(after.moves() || !before.moves());
}

fn with(rig: &Sample, change: impl FnOnce(&mut Sample)) -> Answers {
    let mut rig = rig.clone();
    change(&mut rig);
    rig.answers()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(128))]

    #[test]
    fn more_pressure_never_lifts_less(rig in direct_rig(), times in 1.0..1.5_f64) {
        lifts_no_less(&rig.answers(), &with(&rig, |rig| rig.set *= times));
    }

    /// The back-pressure of the rigs stays below what friction leaves of the moving pressure; above that a
    /// larger piston would in truth be held back by its larger ring.
    #[test]
    fn more_bore_never_lifts_less(rig in direct_rig(), times in 1.0..1.5_f64) {
        let (before, after) = (rig.answers(), with(&rig, |rig| rig.bore *= times));
        lifts_no_less(&before, &after);
        prop_assert!(after.lift.load_ratio <= before.lift.load_ratio);
    }

    /// What starts a load is never less than what moves it, nor less where more friction holds it.
    #[test]
    fn more_friction_at_rest_never_starts_sooner(rig in direct_rig(), few in 1.0..1.8_f64, times in 1.0..1.9_f64) {
        let starts = |breakaway| {
            let answers = with(&rig, |rig| rig.breakaway = Some(breakaway));
            let check = answers.check("breaks loose").unwrap();
            (check.value.unwrap(), check.margin.unwrap(), answers.lift.worst.needed_pressure.pascals())
        };
        let ((less, room, moves), (more, less_room, _)) = (starts(few), starts(few * times));
        assert_not_less("pressure that starts", moves, less);
        assert_not_less("pressure that starts", less, more);
        prop_assert!(less_room <= room);
    }

    #[test]
    fn more_tank_never_gives_fewer_strokes(rig in direct_rig(), times in 1.0..2.0_f64) {
        let (before, after) = (rig.answers(), with(&rig, |rig| rig.volume *= times));
        assert_no_fewer_strokes(&before, &after);
        let (before, after) = (before.air, after.air);
        assert_not_less("usable air", before.usable.value, after.usable.value);
        assert_not_less("content", before.tank_full.value, after.tank_full.value);
    }

    #[test]
    fn more_load_never_gives_more_strokes(rig in direct_rig(), times in 1.0..1.5_f64) {
        assert_no_fewer_strokes(&with(&rig, |rig| rig.mass *= times), &rig.answers());
    }

    /// A cylinder that ends above the atmosphere holds denser air than its dead volume did before.
    #[test]
    fn more_dead_volume_never_gives_more_strokes(rig in direct_rig(), added in 0.0..0.2_f64) {
        let swept = rig.bore * rig.bore * rig.stroke;
        assert_no_fewer_strokes(&with(&rig, |rig| rig.clearance += added * swept), &rig.answers());
    }

    /// Quick gas is colder than slow gas of the same density, so its pressure is lower and the air that a
    /// stroke takes at a given pressure is denser: stroke by stroke less is left, at a lower pressure.
    #[test]
    fn quick_gas_never_gives_more_strokes_than_slow_gas(rig in direct_rig()) {
        let counts = counts(&rig.answers());
        for start in counts.chunks(4) {
            let [full, stall, full_quick, stall_quick] = start else { panic!("four counts a start") };
            prop_assert!(full_quick.is_none() || full_quick <= full, "{:?}", start);
            prop_assert!(stall_quick.is_none() || stall_quick <= stall, "{:?}", start);
        }
    }

    #[test]
    fn a_lower_start_never_gives_more_strokes(rig in direct_rig()) {
        let counts = counts(&rig.answers());
        if let Some((from_cut_out, from_cut_in)) = counts.split_at_checked(4) {
            for (high, low) in from_cut_out.iter().zip(from_cut_in) {
                prop_assert!(high.is_none() || low.is_none() || low <= high, "{:?}", counts);
            }
        }
    }

    #[test]
    fn more_delivery_never_fills_slower_or_keeps_up_less(rig in direct_rig(), times in 1.0..3.0_f64) {
        prop_assume!(matches!(rig.source, AirSource::Compressor(_)));
        let after = with(&rig, |rig| {
            let AirSource::Compressor(compressor) = &mut rig.source else { return };
            match &mut compressor.delivery {
                Delivery::OpenAndStall { open, .. } => *open *= times,
                Delivery::Points(points) => points.iter_mut().for_each(|point| point.1 *= times),
            }
        });
        let (before, after) = (rig.answers().fill.unwrap(), after.fill.unwrap());
        prop_assert_eq!(before.stalls_at.is_some(), after.stalls_at.is_some());
        for (before, after) in [
            (before.from_empty, after.from_empty),
            (before.band, after.band),
            (before.after_strokes, after.after_strokes),
        ] {
            if let Some((before, after)) = before.zip(after) {
                assert_not_less("time", after.value, before.value);
            }
        }
        if let Some((before, after)) = before.strokes_per_hour_kept_up.zip(after.strokes_per_hour_kept_up) {
            assert_not_less("rate", before, after);
        }
    }

    #[test]
    fn fill_times_are_in_proportion_to_the_tank(rig in direct_rig(), times in 1.0..3.0_f64) {
        let (before, after) = (rig.answers().fill, with(&rig, |rig| rig.volume *= times).fill);
        let times_of = |fill: Option<Fill>| fill.map_or([None; 2], |fill| [fill.from_empty, fill.band]);
        for (before, after) in times_of(before).into_iter().zip(times_of(after)) {
            prop_assert_eq!(before.is_some(), after.is_some());
            if let Some((before, after)) = before.zip(after) {
                approx::assert_relative_eq!(after.value, times * before.value, max_relative = 1e-12);
            }
        }
    }
}
