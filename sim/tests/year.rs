//! The luck of a year against years played out one by one.

use super::*;
use crate::axle::Condition;
use crate::bench::job::Ending;
use crate::bench::money::{PriceList, ShimsCharged};
use crate::bench::setup::Setup;
use crate::chance::dice::Address;
use crate::chance::run::Until;
use crate::demo;
use crate::quote::quote;
use crate::tests::held::{Held, seeds};
use std::ops::ControlFlow;

const TERMS: Terms = Terms {
    margin: 0.0,
    tax: 0.0,
    parts: 0.0,
    parts_margin: 0.0,
};

/// Jobs that are given up and jobs that return often, so that all of it matters.
fn harsh() -> Setup {
    let mut shop = demo::shop();
    shop.bench.most_assemblies = 4;
    shop.prices.comeback_share = 0.4;
    shop.prices.comeback = 3000.0;
    shop.prices.given_up = 700.0;
    Setup::new(demo::axle(), shop, Condition::New, Condition::New).unwrap()
}

fn ask(setup: &Setup, rebuilds: u64) -> Quote {
    ask_with(setup, rebuilds, 7)
}

fn ask_with(setup: &Setup, rebuilds: u64, seed: u64) -> Quote {
    let until = Until::Rebuilds(rebuilds);
    let charged = ShimsCharged::FinallyFitted;
    quote(setup, charged, seed, until, &mut |_| {
        ControlFlow::Continue(())
    })
}

/// Figures in 0 … 1, by a generator of this test's own (Marsaglia's xorshift).
struct Other(u64);

impl Other {
    fn uniform(&mut self) -> f64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// A Poisson figure, by the waiting times between its events.
    fn poisson(&mut self, mean: f64) -> u64 {
        let mut waited = 0.0;
        let mut events = 0;
        loop {
            waited -= (1.0 - self.uniform()).ln();
            if waited > mean {
                return events;
            }
            events += 1;
        }
    }
}

/// The jobs of a quote one by one: paid or not, its cost without a return, and whether it may return.
fn one_by_one(setup: &Setup, rebuilds: u64) -> Vec<(bool, f64, bool)> {
    jobs_of(setup, rebuilds, 7)
}

fn jobs_of(setup: &Setup, rebuilds: u64, seed: u64) -> Vec<(bool, f64, bool)> {
    let prices = PriceList::new(setup);
    let job = |index| {
        let address = Address::new(seed, index);
        let rebuild = setup.rebuild(address);
        let minutes = setup.timesheet(address, &rebuild).minutes;
        let outcome = Ending::of(setup, &rebuild).outcome;
        let bill = prices.bill(&rebuild, minutes, outcome);
        (
            outcome != Outcome::GivenUp,
            bill.cost() - bill.comeback,
            outcome.is_clearly_out(),
        )
    };
    (0..rebuilds).map(job).collect()
}

/// False-alarm rate: 4.5 standard errors of either side's share, once in 150 000 for each of ten
/// shares.
#[test]
#[cfg_attr(debug_assertions, ignore = "long without optimisation")]
fn a_year_is_what_years_played_out_come_to() {
    const JOBS: u64 = 20_000;
    const YEARS: usize = 40_000;
    for (setup, hours, mean) in [
        (demo::setup(), 8.25, 72.0),
        (demo::setup(), 8.5, 6.0),
        (harsh(), 14.0, 30.0),
    ] {
        let quote = ask(&setup, JOBS);
        let flat = quote.flat(hours, TERMS);
        let year = quote.year(&flat, mean).unwrap();
        let jobs = one_by_one(&setup, JOBS);
        let prices = &setup.shop.prices;
        let mut other = Other(0x1234_5678_9abc_def1);
        let mut gains: Vec<f64> = (0..YEARS)
            .map(|_| {
                let number = other.poisson(mean);
                let mut sum = 0.0;
                for _ in 0..number {
                    let (paid, cost, may_return) =
                        jobs[(other.uniform() * jobs.len() as f64) as usize];
                    sum += if paid { flat.earned - cost } else { -cost };
                    if may_return && other.uniform() < prices.comeback_share {
                        sum -= prices.comeback;
                    }
                }
                sum
            })
            .collect();
        gains.sort_by(f64::total_cmp);
        let below = |limit: f64| gains.partition_point(|gain| *gain < limit) as f64 / YEARS as f64;
        let near = |is: f64, share: f64, what: &str| {
            let error = 4.5 * (share * (1.0 - share) / YEARS as f64).sqrt();
            assert!(
                (is - share).abs() < error + 5e-4,
                "{hours} {what}: {is} {share}"
            );
        };
        near(below(0.0), year.losing.value, "losing");
        let wider = (1.0 + mean / JOBS as f64).sqrt();
        let end = |end: f64| year.gain.value + (end - year.gain.value) / wider;
        near(below(end(year.band[0])), OUTSIDE, "low");
        near(below(end(year.band[1])), 1.0 - OUTSIDE, "high");
        assert!(year.losing.low < year.losing.value && year.losing.value < year.losing.high);
    }
}

/// After so many jobs 19 of 20 sums are above nothing, and one job fewer does not do.
///
/// False-alarm rate: 4.5 standard errors, once in 150 000.
#[test]
fn the_mean_is_felt_after_so_many_jobs() {
    const JOBS: u64 = 10_000;
    const SUMS: usize = 20_000;
    let setup = demo::setup();
    let quote = ask(&setup, JOBS);
    let flat = quote.flat(9.0, TERMS);
    let felt = quote.felt_after(&flat).unwrap();
    assert!(felt.low <= felt.value && felt.value <= felt.high);
    assert!(felt.value > 3.0, "{felt:?}");
    let jobs = one_by_one(&setup, JOBS);
    let prices = &setup.shop.prices;
    let mut other = Other(0xfeed_5678_9abc_def1);
    let mut losing = |number: u64| {
        let losing = (0..SUMS).filter(|_| {
            let sum: f64 = (0..number)
                .map(|_| {
                    let place = (other.uniform() * jobs.len() as f64) as usize;
                    let (paid, cost, may_return) = jobs[place];
                    let returns = may_return && other.uniform() < prices.comeback_share;
                    let paid = if paid { flat.earned } else { 0.0 };
                    paid - cost - if returns { prices.comeback } else { 0.0 }
                })
                .sum();
            sum < 0.0
        });
        losing.count() as f64 / SUMS as f64
    };
    let error = 4.5 * (0.05_f64 * 0.95 / SUMS as f64).sqrt() + 1e-3;
    assert!(losing(felt.value as u64) < RARE + error);
    assert!(losing(felt.value as u64 - 1) > RARE - error);
    // where the mean is a loss it is never felt
    assert_eq!(quote.felt_after(&quote.flat(7.0, TERMS)), None);
}

#[test]
fn a_price_pays_on_average_before_it_pays_in_most_years() {
    let quote = ask(&demo::setup(), 20_000);
    let mean = quote.pays_from(TERMS).unwrap();
    let years = quote.pays_in_most_years_from(TERMS, 72.0).unwrap();
    assert!(mean < years, "{mean} {years}");
    let at = |hours: f64| quote.flat(hours, TERMS);
    assert!(at(mean).gain.low > 0.0 && at(mean - QUARTER).gain.low <= 0.0);
    let losing = |hours: f64| quote.year(&at(hours), 72.0).unwrap().losing.high;
    assert!(losing(years) < RARE && losing(years - QUARTER) >= RARE);
    // with few jobs it takes more, with many the mean is enough
    assert!(quote.pays_in_most_years_from(TERMS, 5.0).unwrap() > years);
    assert_eq!(quote.pays_in_most_years_from(TERMS, 20_000.0), Some(mean));
}

#[test]
fn few_rebuilds_and_no_jobs_have_no_year() {
    let quote = ask(&demo::setup(), FEW - 1);
    let flat = quote.flat(9.0, TERMS);
    assert_eq!(quote.year(&flat, 72.0), None);
    assert_eq!(quote.felt_after(&flat), None);
    let quote = ask(&demo::setup(), FEW);
    assert_eq!(quote.year(&quote.flat(9.0, TERMS), 0.0), None);
    assert!(quote.year(&quote.flat(9.0, TERMS), 72.0).is_some());
}

/// What is put on the parts is gained with every finished job, and tax is on it as well.
#[test]
fn parts_bring_what_is_put_on_them() {
    let setup = harsh();
    let quote = ask(&setup, 5000);
    let with = |parts, parts_margin| {
        let terms = Terms {
            tax: 0.2,
            parts,
            parts_margin,
            ..TERMS
        };
        quote.flat(10.0, terms)
    };
    let (none, at_cost, marked_up) = (with(0.0, 0.25), with(600.0, 0.0), with(600.0, 0.25));
    assert_eq!(none.gain, at_cost.gain);
    assert!((at_cost.price - none.price - 600.0).abs() < 1e-9);
    assert!((marked_up.price - none.price - 750.0).abs() < 1e-9);
    assert!((marked_up.price_with_tax - 1.2 * marked_up.price).abs() < 1e-9);
    let more = marked_up.gain.value - none.gain.value;
    assert!((more - 150.0 * quote.finished.value).abs() < 1e-9, "{more}");
    assert!(quote.finished.value < 0.99);
}

/// A window that can't be met, jobs that are given up, and few rebuilds.
#[test]
fn a_job_that_never_comes_right_is_not_quoted() {
    let with = |change: &dyn Fn(&mut crate::axle::Axle, &mut crate::shop::Shop), rebuilds| {
        let (mut axle, mut shop) = (demo::axle(), demo::shop());
        change(&mut axle, &mut shop);
        let setup = Setup::new(axle, shop, Condition::New, Condition::New).unwrap();
        ask(&setup, rebuilds)
    };
    assert_eq!(ask(&demo::setup(), 4000).not_quoted(), None);
    let narrow = |axle: &mut crate::axle::Axle, _: &mut crate::shop::Shop| {
        axle.windows.pattern_profile = 0.001;
    };
    let refused = with(&narrow, 4000)
        .not_quoted()
        .expect("it never comes right");
    assert_eq!(refused.windows.len(), 1);
    assert_eq!(refused.windows[0].window, super::super::WindowName::Pattern);
    assert!(refused.windows[0].share.value < 0.01 && refused.right.value < 0.01);
    assert!(refused.finished.value > 0.9);
    assert_eq!(with(&narrow, FEW - 1).not_quoted(), None);
    let soon = |_: &mut crate::axle::Axle, shop: &mut crate::shop::Shop| {
        shop.bench.most_assemblies = 1;
    };
    let given_up = with(&soon, 4000);
    assert!(given_up.finished.value < 0.5);
    let refused = given_up.not_quoted().expect("most are given up");
    assert!(!refused.windows.is_empty());
}

/// The band of a year holds 95 of 100 years of jobs that no run has seen, after few rebuilds and after many.
#[test]
#[cfg_attr(debug_assertions, ignore = "long without optimisation")]
fn bands_hold_as_many_years_as_they_say() {
    let mut other = Other(0x0bad_5678_9abc_def1);
    for (setup, hours, mean) in [(demo::setup(), 8.5, 72.0), (harsh(), 14.0, 30.0)] {
        let share = setup.shop.prices.comeback_share;
        for rebuilds in [300, 4096] {
            let mut held = Held::default();
            for seed in 0..seeds(if rebuilds < 1000 { 200 } else { 60 }) {
                let quote = ask_with(&setup, rebuilds, 2 * seed + 1000);
                // at one price, whatever the run
                let flat = Flat {
                    earned: 92.0 * hours,
                    gain: quote.gain_of(92.0 * hours),
                    ..quote.flat(hours, TERMS)
                };
                let [low, high] = quote.year(&flat, mean).expect("enough rebuilds").band;
                let jobs = jobs_of(&setup, other.poisson(mean), 2 * seed + 1001);
                let gains = jobs.into_iter().map(|(paid, cost, may_return)| {
                    let returns = may_return && other.uniform() < share;
                    let paid = if paid { flat.earned } else { 0.0 };
                    paid - cost
                        - if returns {
                            setup.shop.prices.comeback
                        } else {
                            0.0
                        }
                });
                held.add((low..=high).contains(&gains.sum()));
            }
            let what = format!("years of {mean} jobs after {rebuilds} rebuilds");
            held.at_level(&what, 0.95);
            assert!(held.neither_few_nor_many(0.95), "{what}: {held:?}");
        }
    }
}
