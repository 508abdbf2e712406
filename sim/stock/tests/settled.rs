//! Drawers are played long enough, whatever the shop's size, and only once they have settled.

use super::*;
use crate::stock::extent::VERIFIED;
use crate::stock::service::{DAYS_IN_YEAR, Service, service};

/// Jobs a day for so many a month.
fn daily(per_month: f64) -> f64 {
    12.0 * per_month / DAYS_IN_YEAR
}

/// A shop whose jobs each want one shim of one size, which never comes back.
fn one_size(per_month: f64) -> (Vec<Shelf>, ShimCounts) {
    let shelves = vec![shelf(&[1.0], 1.0, 1, 1.0)];
    let jobs = ShimCounts {
        per_day: vec![daily(per_month)],
        series: 1,
        of: vec![vec![Need::Fixed(0, 1)]],
    };
    (shelves, jobs)
}

/// Served as an answer plays it.
fn played(
    (shelves, jobs): &(Vec<Shelf>, ShimCounts),
    rules: &Rules,
    level: u32,
    seed: u64,
) -> Service {
    let (tapes, span) = VERIFIED.tapes(rules, jobs.per_day[0]);
    let stretch = Stretch::Days(span);
    let sample = Sample::draw(jobs, shelves, Address::new(seed, 0), tapes, stretch);
    let levels = vec![vec![level]];
    service(shelves, rules, &sample, &levels, &levels)
}

/// E min(D, S) of a Poisson figure D of this mean.
fn expected_least(mean: f64, most: u32) -> f64 {
    let mut chance = (-mean).exp();
    let (mut left, mut sum) = (1.0, 0.0);
    for n in 0..most {
        left -= chance;
        sum += left;
        chance *= mean / f64::from(n + 1);
    }
    sum
}

/// Delivered at once, a drawer begins every interval full: E min(D, S) / E D of an interval's demand.
#[test]
fn any_volume_and_interval_against_the_closed_form() {
    let mut tried = 0;
    for (number, per_month) in [1.0, 10.0, 60.0, 600.0, 10_000.0].into_iter().enumerate() {
        for interval in [1.0, 14.0, 182.0, 365.0] {
            let mean = daily(per_month) * interval;
            // beyond, e to the power of it is no figure
            if mean > 600.0 {
                continue;
            }
            tried += 1;
            let rules = rules(Review::Every(interval), 0.0, Shortage::ComesSpecially);
            for level in [
                (0.9 * mean).ceil() as u32,
                (mean + mean.sqrt()).ceil() as u32,
            ] {
                let shop = one_size(per_month);
                let served = played(&shop, &rules, level, 40 + number as u64);
                let exact = expected_least(mean, level) / mean;
                let fill = served.job_fill;
                let sigma = fill.half_width() / Z95;
                assert!(
                    (fill.value - exact).abs() < 4.5 * sigma && sigma < 0.01,
                    "{per_month} a month every {interval} days, {level}: {fill:?}, exactly {exact}"
                );
                // an order an interval in which anything was wanted
                let orders = served.mean(|year| year.orders);
                let exact = DAYS_IN_YEAR / interval * (1.0 - (-mean).exp());
                let off = (orders.value - exact).abs();
                assert!(
                    off < 0.02 * exact + 2.0 * orders.half_width(),
                    "{orders:?} {exact}"
                );
            }
        }
    }
    assert_eq!(tried, 14);
}

/// With days of delivery against a few long runs of a drawer that has had ten cycles to settle.
#[test]
#[cfg_attr(
    debug_assertions,
    ignore = "millions of jobs: long without optimisation"
)]
fn any_delivery_against_long_runs() {
    for (number, (per_month, interval, lead)) in [
        (1.0, 365.0, 180.0),
        (1.0, 1.0, 0.5),
        (20.0, 14.0, 180.0),
        (60.0, 182.0, 30.0),
        (600.0, 14.0, 30.0),
        (3_000.0, 14.0, 4.0),
        (10_000.0, 1.0, 20.0),
    ]
    .into_iter()
    .enumerate()
    {
        let rules = rules(Review::Every(interval), lead, Shortage::ComesSpecially);
        let mean = daily(per_month) * (interval + lead);
        let level = mean.ceil() as u32;
        let (shelves, jobs) = one_size(per_month);
        let cycle = interval + lead;
        let span = Span {
            settling: 10.0 * cycle,
            spell: 40.0 * interval * (cycle.max(100.0 / daily(per_month)) / interval).ceil(),
            spells: 10,
        };
        let levels = vec![vec![level]];
        let address = Address::new(900 + number as u64, 0);
        let long = Sample::draw(&jobs, &shelves, address, 4, Stretch::Days(span));
        let long = service(&shelves, &rules, &long, &levels, &levels);
        let own = played(&(shelves, jobs), &rules, level, 70 + number as u64);
        for (what, long, own) in [
            ("fill", long.job_fill, own.job_fill),
            ("on hand", long.on_hand, own.on_hand),
            ("orders", long.mean(|y| y.orders), own.mean(|y| y.orders)),
            ("bought", long.mean(|y| y.bought), own.mean(|y| y.bought)),
        ] {
            let sigma = long.half_width().hypot(own.half_width()) / Z95;
            let off = (long.value - own.value).abs();
            assert!(
                off < 4.5 * sigma + 1e-9 && sigma < 0.02 * long.value,
                "{what} of {per_month} a month, {interval} and {lead} days: {long:?} {own:?}"
            );
        }
    }
}
