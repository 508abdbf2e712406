//! Shares of shims spoiled, and of jobs that come back.

use statrs::distribution::{Beta, ContinuousCDF};

use super::{Held, TRUST, changed, dice, jobs, seeds};
use crate::chance::dice::Dice;
use crate::demo;
use crate::learn::shares::{comebacks, spoiled};
use crate::learn::shims_out::shims_out;
use crate::learn::{FinishedJob, Posterior};
use crate::tests::close;
use crate::units::Window;

fn is_beta(found: &Posterior, yes: f64, no: f64) {
    let law = Beta::new(yes, no).unwrap();
    close(found.learned.value, yes / (yes + no), 1e-6);
    close(law.cdf(found.learned.low), 0.025, 1e-4);
    close(law.cdf(found.learned.high), 0.975, 1e-4);
}

/// The file's share is worth the shims that come out in ten jobs such as these.
#[test]
fn spoiled_shims_are_beta() {
    let kinds = [demo::setup()];
    let all = jobs(&kinds[0], 40, 21);
    let found = spoiled(&kinds, &all, 10.0);
    assert_eq!(found.len(), 2);
    for (series, found) in found {
        let (mut out, mut hits) = (0.0, 0.0);
        for (_, job) in &all {
            let of = |counts: &[(String, u32)]| {
                let of = counts.iter().find(|(name, _)| *name == series);
                f64::from(of.map_or(0, |(_, count)| *count))
            };
            out += of(&shims_out(&kinds[0], &job.bench));
            hits += of(&job.spoiled);
        }
        let file = kinds[0].shop.series(&series).unwrap().spoiled;
        let prior = 10.0 * out / 40.0;
        is_beta(
            &found,
            prior * file + hits,
            prior * (1.0 - file) + out - hits,
        );
        close(found.alone.unwrap(), hits / out, 1e-12);
        close(found.worth, 40.0, 1e-12);
    }
}

/// Series that were not counted, and jobs on the bench, say nothing.
#[test]
fn what_was_not_counted_says_nothing() {
    let kinds = [demo::setup()];
    let mut all = jobs(&kinds[0], 3, 21);
    all[0].1.spoiled.retain(|(series, _)| series == "S-80");
    all[1].1.spoiled.clear();
    all[2].1.ended = false;
    let found = spoiled(&kinds, &all, 10.0);
    let names: Vec<&str> = found.iter().map(|(name, _)| name.as_str()).collect();
    assert_eq!(names, ["S-80"]);
    assert!(spoiled(&kinds, &all[1..], 10.0).is_empty());
}

/// So many jobs of which so many came back.
fn back(count: usize, hits: usize) -> Vec<(usize, FinishedJob)> {
    let job = |at: usize| FinishedJob {
        ended: true,
        comeback: Some(at < hits),
        ..FinishedJob::default()
    };
    (0..count).map(|at| (0, job(at))).collect()
}

/// Where every job is clearly out, each is a trial.
#[test]
fn comebacks_are_beta_where_all_is_visible() {
    let kinds = [changed(|axle, _| {
        axle.windows.side_closure = Window::new(5.0, 5.001)
    })];
    let share = kinds[0].shop.prices.comeback_share;
    let found = comebacks(&kinds, &back(40, 3), 10.0, 1).unwrap();
    is_beta(&found, 10.0 * share + 3.0, 10.0 * (1.0 - share) + 37.0);
    close(found.alone.unwrap(), 3.0 / 40.0, 1e-9);
    close(found.worth, 40.0, 1e-9);
}

/// Where few are clearly out, jobs are worth as few trials, and without a word of comebacks nothing is said.
#[test]
fn comebacks_count_as_far_as_they_can_show() {
    let kinds = [demo::setup()];
    let found = comebacks(&kinds, &back(1, 0), 10.0, 1).unwrap();
    let share = kinds[0].shop.prices.comeback_share;
    assert!(found.worth < 0.5);
    // a job that did not come back says next to nothing
    assert!(found.learned.value < share && share - found.learned.value < 0.02 * share + 0.02);
    let mut untold = back(5, 0);
    untold.iter_mut().for_each(|(_, job)| job.comeback = None);
    assert!(comebacks(&kinds, &untold, 10.0, 1).is_none());
}

/// A share from the prior of a file's that is worth so many trials.
fn share_like(file: f64, worth: f64, dice: &mut Dice) -> f64 {
    let mut of = |trials: f64| -> f64 {
        (0..(2.0 * trials).round() as u32)
            .map(|_| dice.normal().powi(2))
            .sum()
    };
    let [yes, no] = [of(worth * file), of(worth * (1.0 - file))];
    yes / (yes + no)
}

/// Shares drawn from the prior.
#[test]
#[cfg_attr(debug_assertions, ignore = "long without optimisation")]
fn shares_of_spoiled_shims_are_recovered() {
    let kinds = [demo::setup()];
    // what comes out in ten jobs, by series
    let out = jobs(&kinds[0], 1_000, 5);
    let worth = |series: &str| {
        let shims = out
            .iter()
            .flat_map(|(_, job)| shims_out(&kinds[0], &job.bench));
        let of_it = shims.filter(|(of, _)| of == series);
        of_it.map(|(_, count)| f64::from(count)).sum::<f64>() * TRUST / 1_000.0
    };
    let worth: Vec<f64> = (kinds[0].shop.shims.iter())
        .map(|series| worth(&series.name))
        .collect();
    for (count, shops) in [(10, 300), (30, 200), (100, 100), (1_000, 20)] {
        let mut held = Held::default();
        for seed in 0..if count < 1_000 { seeds(shops) } else { shops } {
            let other = changed(|_, shop| {
                for (series, worth) in shop.shims.iter_mut().zip(&worth) {
                    series.spoiled = share_like(series.spoiled, *worth, &mut dice(seed));
                }
            });
            for (series, of) in spoiled(&kinds, &jobs(&other, count, seed), TRUST) {
                held.count(&of.learned, other.shop.series(&series).unwrap().spoiled);
            }
        }
        println!("{count} jobs: {held:?}");
        held.at_level(&format!("{count} jobs"), 0.95);
    }
}

/// Shares of jobs handed over clearly out that come back, drawn from the prior: worth as many jobs as the file is,
/// of which so many are clearly out.
#[test]
#[cfg_attr(debug_assertions, ignore = "long without optimisation")]
fn shares_that_come_back_are_recovered() {
    let narrow = |share: Option<f64>| {
        changed(|axle, shop| {
            axle.windows.side_closure = Window::new(0.17, 0.19);
            let file = shop.prices.comeback_share;
            shop.prices.comeback_share = share.unwrap_or(file);
        })
    };
    let kinds = [narrow(None)];
    let file = kinds[0].shop.prices.comeback_share;
    let all = jobs(&kinds[0], 4_000, 5);
    let out = all
        .iter()
        .filter(|(_, job)| job.comeback == Some(true))
        .count();
    let shows = out as f64 / 4_000.0 / file;
    let prior = Beta::new(TRUST * shows * file, TRUST * shows * (1.0 - file)).unwrap();
    for count in [30, 100] {
        let mut held = Held::default();
        for seed in 0..seeds(12) {
            let share = prior.inverse_cdf(dice(seed).uniform());
            let told = jobs(&narrow(Some(share)), count, seed);
            let found = comebacks(&kinds, &told, TRUST, seed).unwrap();
            held.count(&found.learned, share);
        }
        held.at_level(&format!("{count} jobs, comebacks"), 0.95);
    }
}
