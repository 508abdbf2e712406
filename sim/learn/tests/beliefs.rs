//! What the first moves of jobs say of a technician's beliefs.

use super::{Held, TRUST, changed, dice, jobs, seeds};
use crate::axle::SideSeat;
use crate::bench::setup::Setup;
use crate::demo;
use crate::learn::beliefs::{depth_belief, ring_belief};
use crate::learn::{FinishedJob, Posterior};
use crate::next::{BenchJob, Fitted};
use crate::shop::Correction;
use crate::tests::close;

/// A shop with these beliefs.
fn believing([ring, depth]: [f64; 2]) -> Setup {
    changed(|_, shop| {
        shop.bench.ring_belief = ring;
        shop.bench.depth_belief = depth;
    })
}

type Belief = fn(&[Setup], &[(usize, FinishedJob)], f64) -> Option<Posterior>;

/// A habit has no error: of 1,000 jobs the first moves alone give it within 2 %, which is what the smallest move
/// that is made at all, and rounding to packs, do to it.
#[test]
fn moves_alone_give_the_habit() {
    let kinds = [demo::setup()];
    for habit in [[0.85, 1.45], [0.9, 1.8], [0.6, 1.2], [1.1, 2.2]] {
        let all = jobs(&believing(habit), 1_000, 3);
        for (belief, habit) in [ring_belief as Belief, depth_belief].into_iter().zip(habit) {
            let found = belief(&kinds, &all, TRUST).unwrap().alone.unwrap();
            close(found, habit, 0.02 * habit);
        }
    }
}

/// Notches and the other sign of an adjuster's travel: the same habit.
#[test]
fn moves_of_adjusters_give_the_habit() {
    let with = |belief: f64| {
        changed(|axle, shop| {
            axle.side_shims.seat = SideSeat::ScrewAdjusters;
            axle.side_shims.stock = None;
            shop.bench.ring_belief = belief;
        })
    };
    let found = ring_belief(&[with(0.85)], &jobs(&with(1.1), 500, 3), TRUST).unwrap();
    close(found.alone.unwrap(), 1.1, 0.02 * 1.1);
}

/// Two assemblies with the same packs but for the ring-gear side, which moves.
fn one_move(backlash: f64, moved: f64) -> (usize, FinishedJob) {
    let entry = |ring: f64| Fitted {
        pinion: 0.9,
        ring,
        far: 2.1,
        backlash: vec![backlash; 4],
        ..Fitted::default()
    };
    let bench = BenchJob {
        assemblies: vec![entry(2.0), entry(2.0 - moved)],
        ..BenchJob::default()
    };
    (
        0,
        FinishedJob {
            bench,
            ..FinishedJob::default()
        },
    )
}

/// One over the belief is a normal mean of the slopes, each worth the square of what was asked for.
#[test]
fn one_over_a_belief_is_a_weighed_slope() {
    let kinds = [demo::setup()];
    let middle = kinds[0].axle.windows.backlash.middle();
    let moves = [[0.10, 0.10], [-0.06, -0.10], [0.16, 0.20]];
    let all: Vec<_> = moves
        .map(|[asked, made]| one_move(middle - asked, made))
        .into();
    let found = ring_belief(&kinds, &all, TRUST).unwrap();
    let of = |f: fn([f64; 2]) -> f64| moves.map(f).iter().sum::<f64>();
    let alone = of(|[asked, made]| asked * made) / of(|[asked, _]| asked * asked);
    close(found.alone.unwrap(), 1.0 / alone, 1e-9);
    let file = 1.0 / kinds[0].shop.bench.ring_belief;
    close(
        1.0 / found.learned.value,
        (TRUST * file + 3.0 * alone) / (TRUST + 3.0),
        1e-9,
    );
    close(found.worth, 3.0, 1e-12);
}

/// One move that happens to be just what the file has it is no proof of the file.
#[test]
fn one_move_moves_little_and_proves_nothing() {
    let kinds = [demo::setup()];
    let middle = kinds[0].axle.windows.backlash.middle();
    let file = kinds[0].shop.bench.ring_belief;
    let found = ring_belief(&kinds, &[one_move(middle - 0.1 * file, 0.1)], TRUST).unwrap();
    close(found.learned.value, file, 1e-9);
    let width = found.learned.high - found.learned.low;
    // one pack in a hundredth of a millimetre, asked for by a tenth, eleven times
    assert!(width > 0.01 && width < 0.1, "{width}");
    // and one that is far off moves it by an eleventh of it, as a slope
    let found = ring_belief(&kinds, &[one_move(middle - 0.1, 0.25)], TRUST).unwrap();
    close(
        1.0 / found.learned.value,
        1.0 / file + (2.5 - 1.0 / file) / 11.0,
        1e-9,
    );
}

/// What was not a move for backlash alone, or by halves, says nothing.
#[test]
fn other_moves_say_nothing() {
    let kinds = [demo::setup()];
    let middle = kinds[0].axle.windows.backlash.middle();
    let moved = || one_move(middle - 0.1, 0.1);
    let spoilt: [fn(&mut Fitted); 3] = [
        |after| after.reseated = true,
        |after| after.pinion = 0.95,
        |after| after.on_setup_bearings = true,
    ];
    for spoil in spoilt {
        let mut job = moved();
        spoil(&mut job.1.bench.assemblies[1]);
        assert_eq!(ring_belief(&kinds, &[job], TRUST), None);
    }
    assert!(ring_belief(&kinds, &[moved()], TRUST).is_some());
    assert_eq!(depth_belief(&kinds, &[moved()], TRUST), None);
    let halving = [changed(|_, shop| {
        shop.bench.correction = Correction::Halving
    })];
    assert_eq!(
        depth_belief(&halving, &jobs(&halving[0], 50, 1), TRUST),
        None
    );
}

/// Habits drawn from the prior: as far from the file's as ten such moves leave it open.
#[test]
#[cfg_attr(debug_assertions, ignore = "long without optimisation")]
fn habits_near_the_file_are_recovered() {
    let kinds = [demo::setup()];
    let bench = &kinds[0].shop.bench;
    let many = jobs(&kinds[0], 1_000, 3);
    let file = [bench.ring_belief, bench.depth_belief];
    let beliefs = [ring_belief as Belief, depth_belief];
    // a file that is worth so much more is left as it is: what it leaves open is that much less
    const MORE: f64 = 1e8;
    let priors = beliefs.map(|belief| {
        let found = belief(&kinds, &many, TRUST * MORE).unwrap();
        let half = 0.5 * (1.0 / found.learned.low - 1.0 / found.learned.high);
        half / 1.96 * MORE.sqrt()
    });
    for (count, shops) in [(10, 200), (30, 200), (100, 100)] {
        let mut held = [Held::default(); 2];
        for seed in 0..seeds(shops) {
            let mut dice = dice(seed);
            let habit = [0, 1].map(|i| 1.0 / (1.0 / file[i] + priors[i] * dice.normal()));
            let all = jobs(&believing(habit), count, seed);
            for (i, belief) in beliefs.into_iter().enumerate() {
                if let Some(found) = belief(&kinds, &all, TRUST) {
                    held[i].count(&found.learned, habit[i]);
                }
            }
        }
        println!("{count} jobs: ring {:?}, depth {:?}", held[0], held[1]);
        held[0].at_level(&format!("{count} jobs, ring"), 0.95);
        held[1].at_level(&format!("{count} jobs, depth"), 0.95);
    }
}
