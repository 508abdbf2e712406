//! Whether intervals of a drawer's service hold what they claim.

use std::collections::BTreeMap;

use super::*;
use crate::count::estimate::Moments;
use crate::demo;
use crate::stock::answer::shelves;
use crate::stock::demand::BenchJobs;
use crate::stock::equal::of_each;
use crate::stock::extent::CURVE;
use crate::stock::service::{Service, service};
use crate::tests::held::{Held, against_a_run, long, seeds};

/// The figures of a drawer, and how much a year it buys beside another one that is played on the same jobs.
fn figures(of: &Service, other: &Service) -> Vec<(String, Estimate)> {
    let mut all = vec![
        ("job fill".to_owned(), of.job_fill),
        ("spells without a wait".to_owned(), of.all_done),
        ("money on hand".to_owned(), of.on_hand),
        ("waits a year".to_owned(), of.mean(|year| year.waited)),
        ("orders a year".to_owned(), of.mean(|year| year.orders)),
        ("bought a year".to_owned(), of.mean(|year| year.bought)),
        ("used a year".to_owned(), of.mean(|year| year.used)),
    ];
    for (line, fill) in of.by_line.iter().enumerate() {
        all.push((format!("job fill of line {line}"), *fill));
    }
    let years = of.each.iter().zip(&other.each);
    let apart = years.map(|(one, other)| other.bought - one.bought);
    let apart = Moments::of(apart).estimate();
    all.push(("bought a year, difference".to_owned(), apart));
    all
}

/// Intervals of a drawer with this many of each size, for two lines of so many jobs a month, on samples as a point
/// of the curve is made of. From their spells, some dozens, intervals hold 93 % and more; a share of all or none of
/// a few spells holds what [`Estimate::share`] does.
fn holds(per_month: [f64; 2], count: u32, runs: u64) {
    let (setup, shop) = (demo::setup(), demo::shop());
    let lines = per_month.map(|jobs| (&setup, jobs));
    let shelves = shelves(&shop, &[&setup], &|_| None).unwrap();
    let names = shelves.iter().map(|shelf| shelf.name.clone()).collect();
    let jobs = BenchJobs::new(&lines, names);
    let rules = rules(Review::Every(14.0), 4.0, Shortage::ComesSpecially);
    let (tapes, span) = CURVE.tapes(&rules, jobs.per_day().iter().sum());
    let ask = |seed, tapes| {
        let stretch = Stretch::Days(span);
        let sample = Sample::draw(&jobs, &shelves, Address::new(seed, 0), tapes, stretch);
        let of = |count| {
            let levels = of_each(&shelves, count);
            service(&shelves, &rules, &sample, &levels, &levels)
        };
        figures(&of(count), &of(count + 1))
    };
    let longer = if long() { 150 } else { 20 };
    let truth = ask(1_000_000, longer * tapes);
    let mut held: BTreeMap<&str, Held> = BTreeMap::new();
    for seed in 0..seeds(runs) {
        for ((name, truth), (_, found)) in truth.iter().zip(ask(seed, tapes)) {
            held.entry(name).or_default().count(&found, truth.value);
        }
    }
    for (name, held) in held {
        let level = if name.starts_with("spells") {
            0.917
        } else {
            0.93
        };
        let what = format!("drawer for {per_month:?} jobs a month, {name}");
        held.at_level(&what, against_a_run(level, longer as f64));
    }
}

#[test]
#[cfg_attr(debug_assertions, ignore = "long without optimisation")]
fn the_drawer_of_a_small_shop_is_told_as_it_is() {
    holds([5.0, 2.0], 2, 12);
}

#[test]
#[cfg_attr(debug_assertions, ignore = "long without optimisation")]
fn the_drawer_of_a_large_shop_is_told_as_it_is() {
    holds([200.0, 80.0], 12, 6);
}
