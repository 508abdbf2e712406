//! Whether the test of agreement keeps its level, and finds what is planted.

use super::jobs;
use crate::axle::{Axle, Condition};
use crate::bench::setup::Setup;
use crate::demo;
use crate::learn::agreement::{Pools, beside};
use crate::learn::{Agreement, FinishedJob, JobFigure, Question, agreement};
use crate::shop::Shop;

fn setup(change: impl FnOnce(&mut Axle, &mut Shop)) -> Setup {
    let (mut axle, mut shop) = (demo::axle(), demo::shop());
    change(&mut axle, &mut shop);
    Setup::new(axle, shop, Condition::New, Condition::New).unwrap()
}

fn question<'a>(kinds: &'a [Setup], jobs: &'a [(usize, FinishedJob)], seed: u64) -> Question<'a> {
    Question { kinds, jobs, seed }
}

fn asked(kinds: &[Setup], jobs: &[(usize, FinishedJob)], seed: u64) -> Agreement {
    agreement(&question(kinds, jobs, seed))
}

/// Of shops whose jobs are as simulated, one in twenty has an oddest figure below 5 %: of 400, 20 ± 4.4, so
/// more than 38 or fewer than 5 once in ten thousand times.
#[test]
#[cfg_attr(debug_assertions, ignore = "long without optimisation")]
fn few_shops_are_called_odd_that_are_not() {
    let kinds = [demo::setup()];
    let shop = |seed| jobs(&kinds[0], 12, 10_000 + seed);
    let any = shop(0);
    let pools = Pools::simulated(&question(&kinds, &any, 1), 20_000);
    let mut odd = 0;
    for seed in 0..400 {
        let mut jobs = shop(seed);
        // not everybody writes everything down
        for (at, (_, job)) in jobs.iter_mut().enumerate() {
            if at % 3 == 0 {
                job.hours = None;
                job.bench.known = Default::default();
            }
        }
        let found = beside(&question(&kinds, &jobs, seed), &pools);
        odd += u32::from(found.chance.unwrap() <= 0.05);
    }
    println!("{odd} of 400 odd at 5 %");
    assert!((5..=38).contains(&odd), "{odd} of 400");
}

/// The chance of a figure's place or scatter.
fn chance(found: &Agreement, figure: JobFigure, scatter: bool) -> f64 {
    let of = found.differences.iter().find(|of| of.figure == figure);
    let of = of.unwrap();
    let tested = if scatter { of.scatter } else { of.place };
    tested.unwrap().chance
}

/// What a shop does otherwise than its file says shows at the figure that it moves first.
#[test]
fn what_is_planted_is_found() {
    let kinds = [demo::setup()];
    let slow = setup(|_, shop| {
        for task in [&mut shop.minutes.strip, &mut shop.minutes.first_assembly] {
            (task.least, task.usual, task.most) =
                (1.8 * task.least, 1.8 * task.usual, 1.8 * task.most);
        }
    });
    let found = asked(&kinds, &jobs(&slow, 30, 1), 1);
    assert!(chance(&found, JobFigure::Hours, false) < 0.01);
    assert!(chance(&found, JobFigure::FirstBacklash, false) > 0.05);

    let runout = setup(|axle, _| {
        axle.gears.tooth_runout =
            crate::axle::tolerance::Tolerance::half_normal(0.0, 0.08).unwrap();
    });
    let found = asked(&kinds, &jobs(&runout, 30, 2), 1);
    assert!(chance(&found, JobFigure::Variation, false) < 0.01);

    let end_play = setup(|_, shop| shop.instruments.end_play = 0.06);
    let found = asked(&kinds, &jobs(&end_play, 40, 3), 1);
    assert!(chance(&found, JobFigure::ZeroAgain, true) < 0.01);
    let wider = found
        .differences
        .iter()
        .find(|of| of.figure == JobFigure::ZeroAgain)
        .unwrap();
    let wider = wider.scatter.unwrap().found;
    // three times as wide, as far as so many jobs can say
    assert!(wider.low < 3.0 && 3.0 < wider.high, "{wider:?}");
}

#[test]
fn with_few_jobs_nothing_is_tested() {
    let kinds = [demo::setup()];
    let found = asked(&kinds, &jobs(&kinds[0], 4, 1), 1);
    assert_eq!(found.chance, None);
    assert!(
        found
            .differences
            .iter()
            .all(|of| of.place.is_none() && of.scatter.is_none())
    );
    assert_eq!(asked(&kinds, &[], 1).differences.len(), 0);
}
