//! Moves as they follow from a job's own figures, by hand; what the job says of the technician.

use super::belief::demo_job;
use crate::axle::SideSeat;
use crate::demo;
use crate::next::history::History;
use crate::next::{BenchJob, Fitted, PreloadNext, Question, next};
use crate::tests::close;

/// Sums that packs of so many sizes give, in hundredths, thinnest first.
fn sums(sizes: &[f64], most: usize) -> Vec<i64> {
    let mut all = std::collections::BTreeSet::from([0_i64]);
    for _ in 0..most {
        let more: Vec<i64> = all
            .iter()
            .flat_map(|sum| {
                sizes
                    .iter()
                    .map(move |size| sum + (100.0 * size).round() as i64)
            })
            .collect();
        all.extend(more);
    }
    all.into_iter().filter(|sum| *sum > 0).collect()
}

/// The nearest sum to a thickness, the thinner of two, and two on either side.
fn near(sums: &[i64], wanted: f64) -> Vec<i64> {
    let off = |sum: i64| (sum as f64 / 100.0 - wanted).abs();
    let mut at = 0;
    for (place, sum) in sums.iter().enumerate() {
        if off(*sum) < off(sums[at]) - 1e-9 {
            at = place;
        }
    }
    sums[at.saturating_sub(2)..(at + 3).min(sums.len())].to_vec()
}

#[test]
fn moves_by_hand() {
    let setup = demo::setup();
    let mut job = demo_job();
    job.assemblies.truncate(1);
    // drive 0.15 and coast 0.00 on a pack of 0.87 ask for 0.075/1.45 more
    let shims = &setup.shop.shims;
    let (pinions, sides) = (sums(&shims[0].sizes, 3), sums(&shims[1].sizes, 4));
    let mut expected = std::collections::BTreeSet::new();
    let mut wanted_pinions = vec![87];
    wanted_pinions.extend(
        near(&pinions, 0.87 + 0.075 / 1.45)
            .into_iter()
            .filter(|p| (p - 87).abs() >= 3),
    );
    let mean: f64 = (0.15 + 0.17 + 0.18 + 0.15) / 4.0;
    let corrected = 1.99 - (0.165 - mean) / 0.85;
    for pinion in wanted_pinions {
        let gain = (pinion - 87) as f64 / 100.0;
        let follows = -gain * setup.rates.per_depth / setup.rates.per_ring_move;
        let mut rings = vec![199];
        rings.extend(near(&sides, corrected));
        rings.extend(near(&sides, corrected + follows));
        for ring in rings {
            let wanted = 3.93 + 0.18 - ring as f64 / 100.0;
            // the nearest is the first of those near, two on
            let off = |sum: &&i64| ((**sum as f64 / 100.0 - wanted).abs() * 1e6).round() as i64;
            let far = *sides.iter().min_by_key(off).unwrap();
            expected.insert([pinion, ring, far]);
        }
    }
    expected.remove(&[87, 199, 212]);
    let found = next(&Question::of(&setup, &job, 1)).unwrap();
    let hundredths = |x: f64| (100.0 * x).round() as i64;
    let moves: std::collections::BTreeSet<[i64; 3]> = found
        .moves
        .iter()
        .filter(|one| !one.accept)
        .map(|one| [one.pinion, one.ring, one.far].map(hundredths))
        .collect();
    assert_eq!(moves, expected);
    assert_eq!(found.moves.iter().filter(|one| one.accept).count(), 1);
}

#[test]
fn accepting_what_reads_outside_is_not_advised_where_another_move_is_better() {
    let setup = demo::setup();
    let mut job = demo_job();
    job.assemblies.truncate(1);
    job.assemblies[0].on_setup_bearings = false;
    job.assemblies[0].backlash = vec![0.09, 0.10, 0.11, 0.10];
    let found = next(&Question::of(&setup, &job, 1)).unwrap();
    let accept = found.moves.last().unwrap();
    assert!(accept.accept && accept.less_than_best, "{accept:?}");
    let best = &found.moves[0];
    assert!(best.ring < 1.99 && !best.accept && best.right.low > accept.right.high);
    // all further moves by what they cost
    let costs: Vec<f64> = found.moves[1..found.moves.len() - 1]
        .iter()
        .map(|one| one.cost.value)
        .collect();
    assert!(costs.windows(2).all(|pair| pair[0] <= pair[1]));
    assert_eq!((best.dearer.value, best.dearer.high), (0.0, 0.0));
}

fn fitted(pinion: f64, ring: f64, far: f64, mean: f64) -> Fitted {
    Fitted {
        on_setup_bearings: true,
        pinion,
        ring,
        far,
        backlash: vec![mean - 0.01, mean + 0.01],
        drive: Some(0.0),
        coast: Some(0.05),
        ..Fitted::default()
    }
}

#[test]
fn what_a_job_says_of_the_technician() {
    let setup = demo::setup();
    let mut job = BenchJob {
        assemblies: vec![
            fitted(0.90, 2.00, 2.10, 0.10),
            fitted(0.90, 1.94, 2.16, 0.16),
            fitted(0.95, 1.93, 2.17, 0.16),
        ],
        ..BenchJob::default()
    };
    job.assemblies[2].drive = None;
    job.assemblies[2].coast = None;
    let of = |job: &BenchJob| History::of(&setup, job);
    let history = of(&job);
    assert_eq!(
        (history.assemblies, history.turns, history.reseats),
        (3, 0, 0)
    );
    // 0.06 more for 0.06: a rate of one
    close(history.ring_belief, 1.0, 1e-12);
    close(history.wanted_total.unwrap(), 4.10, 1e-12);
    assert_eq!(history.pattern, None, "none with this pack");
    assert!(!history.reads_inside && history.final_to_come);
    // real bearings go on with another far pack: the final assembly, and no assembly of the count
    let mut real = fitted(0.95, 1.93, 2.15, 0.16);
    real.on_setup_bearings = false;
    real.zero_total = Some(3.92);
    real.torque = vec![2.0];
    job.assemblies.push(real);
    let history = of(&job);
    assert_eq!(history.assemblies, 3);
    assert!(!history.final_to_come && history.reads_inside && !history.on_trial);
    close(history.wanted_total.unwrap(), 4.10, 1e-12);
    assert_eq!(history.torque, Some((4, false)));
    // another pinion pack leaves the preload to be made anew
    let mut changed = fitted(0.99, 1.92, 2.16, 0.16);
    changed.on_setup_bearings = false;
    changed.reseated = true;
    job.assemblies.push(changed);
    let history = of(&job);
    assert_eq!((history.assemblies, history.reseats), (4, 1));
    assert_eq!(history.torque, Some((4, true)));
}

#[test]
fn turns_of_adjusters_are_no_assemblies() {
    let mut axle = demo::axle();
    axle.side_shims.seat = SideSeat::ScrewAdjusters;
    axle.side_shims.stock = None;
    let new = crate::axle::Condition::New;
    let setup = crate::bench::setup::Setup::new(axle, demo::shop(), new, new).unwrap();
    let job = BenchJob {
        assemblies: vec![
            fitted(0.90, 0.0, 0.0, 0.10),
            fitted(0.90, -0.06, 0.06, 0.15),
            fitted(0.93, -0.06, 0.06, 0.15),
        ],
        ..BenchJob::default()
    };
    let history = History::of(&setup, &job);
    assert_eq!((history.assemblies, history.turns), (2, 1));
}

/// On real bearings with the preload made, to accept is to hand over what stands: both are told alike.
#[test]
fn to_accept_a_finished_axle_is_to_hand_it_over_as_it_stands() {
    let setup = demo::setup();
    for torque in [vec![0.3, 0.8, 1.2, 1.6, 2.1], vec![2.2]] {
        let mut job = demo_job();
        job.assemblies[2].on_setup_bearings = false;
        job.assemblies[2].torque = torque;
        let found = next(&Question::of(&setup, &job, 1)).unwrap();
        let accept = found.moves.iter().find(|one| one.accept).unwrap();
        let stands = found.as_it_stands.unwrap();
        assert_eq!(
            (accept.right, accept.clearly_out),
            (stands.right, stands.clearly_out)
        );
        assert_eq!((accept.assemblies.value, accept.reads_inside), (0.0, None));
        // nothing but putting it back is left to do
        assert!(
            accept.hours.low > 0.8 && accept.hours.high < 1.1,
            "{:?}",
            accept.hours
        );
        assert!(!accept.takes_apart && accept.shims.is_empty());
    }
    // a nut that is to be turned on: the torque stated is none that is handed over
    let mut job = demo_job();
    job.assemblies[2].on_setup_bearings = false;
    job.assemblies[2].torque = vec![0.3, 0.8, 1.2];
    let found = next(&Question::of(&setup, &job, 1)).unwrap();
    let accept = found.moves.iter().find(|one| one.accept).unwrap();
    assert!(accept.right.low > 0.7 && found.as_it_stands.unwrap().right.high < 0.2);
    let Some(PreloadNext::Sleeve { degrees, goes, .. }) = found.preload else {
        panic!("a sleeve");
    };
    assert!(
        degrees.p05 < degrees.p95 && degrees.p50 > 1.0,
        "{degrees:?}"
    );
    assert!(goes[0].past.value < goes[3].past.value);
}
