//! Whether what shows in the order of jobs is found, and nothing else.

use super::{dice, jobs};
use crate::demo;
use crate::learn::{Drift, FinishedJob, JobFigure, Shows, drift};
use crate::tests::close;

fn least(found: &[Drift]) -> f64 {
    found.iter().map(|of| of.chance).fold(1.0, f64::min)
}

fn of(found: &[Drift], figure: JobFigure) -> [Drift; 2] {
    let of: Vec<Drift> = (found.iter().copied())
        .filter(|of| of.figure == figure)
        .collect();
    of.try_into().unwrap()
}

/// Jobs in no order: the oddest figure shows something at 5 % in one shop of twenty. Of 200 shops, 10 ± 3.1: more
/// than 23 or none at all once in ten thousand times.
#[test]
#[cfg_attr(debug_assertions, ignore = "long without optimisation")]
fn few_shops_drift_that_do_not() {
    let kinds = [demo::setup()];
    let odd: u32 = (0..200)
        .map(|seed| {
            let mut jobs = jobs(&kinds[0], 20, 40_000 + seed);
            // not everybody writes everything down
            for (at, (_, job)) in jobs.iter_mut().enumerate() {
                if at % 3 == 0 {
                    job.hours = None;
                    job.bench.known = Default::default();
                }
            }
            u32::from(least(&drift(&kinds, &jobs, seed)) <= 0.05)
        })
        .sum();
    println!("{odd} of 200 at 5 %");
    assert!((1..=23).contains(&odd), "{odd} of 200");
}

/// Each job takes 2 % longer than the one before it.
#[test]
fn hours_that_grow_are_a_trend() {
    let kinds = [demo::setup()];
    let mut all = jobs(&kinds[0], 40, 8);
    for (at, (_, job)) in all.iter_mut().enumerate() {
        job.hours = job.hours.map(|hours| hours * (1.0 + 0.02 * at as f64));
    }
    let found = drift(&kinds, &all, 1);
    let [trend, alike] = of(&found, JobFigure::Hours);
    assert!(trend.chance < 0.01, "{trend:?}");
    let half = |jobs: &[(usize, FinishedJob)]| {
        jobs.iter().filter_map(|(_, job)| job.hours).sum::<f64>() / 20.0
    };
    let Shows::Trend([first, second]) = trend.shows else {
        panic!("{trend:?}");
    };
    close(first, half(&all[..20]), 1e-9);
    close(second, half(&all[20..]), 1e-9);
    assert!(matches!(alike.shows, Shows::Alike(_)));
    assert_eq!(trend.jobs, 40);
    // nothing else is called odd, of 30 or so that are looked at
    let others = found.iter().filter(|of| of.figure != JobFigure::Hours);
    assert!(others.into_iter().all(|of| of.chance > 0.05), "{found:?}");
}

/// Head bearings of one lot in five jobs after each other: the lot has nine tenths of the variance.
#[test]
fn parts_of_one_lot_are_alike() {
    let kinds = [demo::setup()];
    let mut all = jobs(&kinds[0], 40, 8);
    let mut dice = dice(1);
    for lot in all.chunks_mut(5) {
        let common = dice.normal();
        for (_, job) in lot {
            let off = 0.9_f64.sqrt() * common + 0.1_f64.sqrt() * dice.normal();
            job.bench.known.head_height = Some([28.1, 28.1 + 0.025 * off]);
        }
    }
    let found = drift(&kinds, &all, 1);
    let [_, alike] = of(&found, JobFigure::HeadHeights);
    assert!(alike.chance < 0.01, "{alike:?}");
    let Shows::Alike(correlation) = alike.shows else {
        panic!("{alike:?}");
    };
    // four neighbours of five are of one lot
    assert!(correlation > 0.4 && correlation < 0.95, "{correlation}");
}

#[test]
fn few_jobs_show_no_order() {
    let kinds = [demo::setup()];
    assert!(drift(&kinds, &jobs(&kinds[0], 9, 1), 1).is_empty());
    assert!(drift(&kinds, &[], 1).is_empty());
    // all alike: no order either
    let mut alike = jobs(&kinds[0], 20, 1);
    let first = alike[0].clone();
    alike.iter_mut().for_each(|job| *job = first.clone());
    assert!(drift(&kinds, &alike, 1).is_empty());
}
