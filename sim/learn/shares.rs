//! What counts say of shares: shims spoiled, and jobs clearly out that come back.
//!
//! # Source
//! Gelman et al., "Bayesian Data Analysis" (3rd edition), section 2.4: the beta distribution of a share.

use rayon::prelude::*;

use super::FinishedJob;
use super::posterior::Posterior;
use super::shims_out::shims_out;
use crate::bench::job::Ending;
use crate::bench::outcome::Outcome;
use crate::bench::setup::Setup;
use crate::chance::dice::Address;

/// What the jobs say of the share of shims spoiled, series by series, where they say how many were. The
/// file's share is worth the shims that came out in `trust` jobs.
pub fn spoiled(
    kinds: &[Setup],
    jobs: &[(usize, FinishedJob)],
    trust: f64,
) -> Vec<(String, Posterior)> {
    let mut counts: Vec<(String, Counts)> = Vec::new();
    for (kind, job) in jobs.iter().filter(|(_, job)| job.ended) {
        for (series, out) in shims_out(&kinds[*kind], &job.bench) {
            let Some((_, spoiled)) = job.spoiled.iter().find(|(of, _)| *of == series) else {
                continue;
            };
            let place = counts.iter().position(|(of, _)| *of == series);
            let place = place.unwrap_or_else(|| {
                counts.push((series, Counts::default()));
                counts.len() - 1
            });
            let of = &mut counts[place].1;
            of.jobs += 1.0;
            of.all += f64::from(out.max(*spoiled));
            of.hits += f64::from(*spoiled);
        }
    }
    let before = |series: &str| {
        kinds
            .first()?
            .shop
            .series(series)
            .map(|series| series.spoiled)
    };
    let told = counts.into_iter().filter(|(_, of)| of.all > 0.0);
    told.filter_map(|(series, of)| {
        let share = of.posterior(before(&series)?, 1.0, trust);
        Some((series, share))
    })
    .collect()
}

/// What the jobs say of the share of those handed over clearly out that come back, where they say whether
/// they did; `None` where none does, or none is ever clearly out. How many are clearly out is simulated.
pub fn comebacks(
    kinds: &[Setup],
    jobs: &[(usize, FinishedJob)],
    trust: f64,
    seed: u64,
) -> Option<Posterior> {
    let mut of = Counts::default();
    let mut clearly_out = 0.0;
    for (kind, setup) in kinds.iter().enumerate() {
        let told = jobs
            .iter()
            .filter(|(of, job)| *of == kind && job.comeback.is_some());
        let back: Vec<bool> = told.filter_map(|(_, job)| job.comeback).collect();
        if back.is_empty() {
            continue;
        }
        of.all += back.len() as f64;
        of.hits += back.iter().filter(|back| **back).count() as f64;
        let root = Address::new(seed, 0x4261_636b).within(kind as u64);
        clearly_out += back.len() as f64 * share_clearly_out(setup, root);
    }
    of.jobs = of.all;
    let reveals = clearly_out / of.all;
    let before = kinds.first()?.shop.prices.comeback_share;
    (clearly_out > 0.0).then(|| of.posterior(before, reveals, trust))
}

/// Share of the finished jobs that are clearly out.
fn share_clearly_out(setup: &Setup, root: Address) -> f64 {
    const REBUILDS: u64 = 20_000;
    let outcomes: Vec<Outcome> = (0..REBUILDS)
        .into_par_iter()
        .map(|number| Ending::of(setup, &setup.rebuild(root.within(number))).outcome)
        .collect();
    let finished = outcomes
        .iter()
        .filter(|outcome| **outcome != Outcome::GivenUp)
        .count();
    let out = outcomes
        .iter()
        .filter(|outcome| outcome.is_clearly_out())
        .count();
    out as f64 / finished.max(1) as f64
}

/// Hits of trials, in some jobs.
#[derive(Debug, Clone, Copy, Default)]
struct Counts {
    jobs: f64,
    all: f64,
    hits: f64,
}

impl Counts {
    /// What they say of a share of which so much shows, where the file's is worth what shows in so many jobs.
    fn posterior(&self, before: f64, shows: f64, trust: f64) -> Posterior {
        let each = trust * self.all / self.jobs * shows;
        // a share of none or all is believed to be nearly that
        let before = before.clamp(1e-3, 1.0 - 1e-3);
        let [yes, no] = [each * before, each * (1.0 - before)];
        let log_density = |share: f64, rest: f64| {
            let missed = self.all - self.hits;
            yes * libm::log(share)
                + no * libm::log(rest)
                + self.hits * libm::log(share * shows)
                + missed * libm::log1p(-share * shows)
        };
        let worth = self.jobs * shows;
        let alone = (self.hits / (self.all * shows)).min(1.0);
        Posterior::of_share(log_density, worth, alone)
    }
}
