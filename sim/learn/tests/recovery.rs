//! Whether intervals of spreads and rows hold the truth: shops in which every spread is drawn from the prior, and
//! the rows are the file's.

use std::collections::BTreeMap;

use super::{Held, TRUST, changed, jobs, otherwise, seeds};
use crate::axle::tolerance::Tolerance;
use crate::causes::Input;
use crate::demo;
use crate::learn::spreads::{row_of, spreads};

/// Intervals that held, by input, and of rows.
fn recovered(count: u64, shops: u64) -> (BTreeMap<Input, Held>, Held) {
    let kinds = [demo::setup()];
    let mut inputs = BTreeMap::<Input, Held>::new();
    let mut rows = Held::default();
    for seed in 0..shops {
        let (other, truth) = otherwise(seed);
        let found = spreads(&kinds, &jobs(&other, count, seed), TRUST);
        for (input, of) in &found.inputs {
            let (_, times) = truth.iter().find(|(of, _)| of == input).unwrap();
            inputs.entry(*input).or_default().count(&of.learned, *times);
        }
        for (row, of) in &found.rows {
            rows.count(&of.learned, row_of(&kinds[0].axle, *row));
        }
    }
    (inputs, rows)
}

/// All inputs together are judged as though those of one shop were independent. Rows lie at the middle of their prior, so that their intervals hold more often.
fn holds(count: u64, shops: u64) {
    // a thousand jobs take seconds a shop
    let shops = if count < 1_000 { seeds(shops) } else { shops };
    let (inputs, rows) = recovered(count, shops);
    let mut all = Held::default();
    inputs.values().for_each(|held| all.merge(*held));
    println!("{count} jobs: {all:?}, rows {rows:?}, {inputs:?}");
    assert!(inputs.len() >= 23, "{inputs:?}");
    for (input, held) in inputs {
        held.at_level(&format!("{count} jobs, {input:?}"), 0.95);
    }
    all.at_level(&format!("{count} jobs, all"), 0.95);
    rows.at_level(&format!("{count} jobs, rows"), 0.95);
}

#[test]
#[cfg_attr(debug_assertions, ignore = "long without optimisation")]
fn ten_jobs_say_how_little_they_say() {
    holds(10, 60);
}

#[test]
#[cfg_attr(debug_assertions, ignore = "long without optimisation")]
fn thirty_jobs_are_told_as_they_are() {
    holds(30, 30);
}

#[test]
#[cfg_attr(debug_assertions, ignore = "long without optimisation")]
fn a_hundred_jobs_are_told_as_they_are() {
    holds(100, 12);
}

#[test]
#[cfg_attr(debug_assertions, ignore = "long without optimisation")]
fn a_thousand_jobs_are_told_as_they_are() {
    holds(1_000, 3);
}

/// Rows that are others than the file's, and a seat whose mean lies elsewhere, which is no spread: with next to
/// no prior both are told apart.
#[test]
#[cfg_attr(debug_assertions, ignore = "long without optimisation")]
fn other_rows_and_another_mean_are_told() {
    let kinds = [demo::setup()];
    let other = changed(|axle, _| {
        let pattern = &mut axle.gears.pattern;
        (pattern.drive_profile[0], pattern.drive_profile[1]) = (1.60, 0.30);
        (pattern.coast_profile[0], pattern.coast_profile[1]) = (1.30, 0.05);
        let sigma = axle.housing.head_seat.deviation().unwrap();
        axle.housing.head_seat = Tolerance::normal(121.0 + 1.5 * sigma, sigma).unwrap();
    });
    let [mut rows, mut seat] = [Held::default(); 2];
    for seed in 0..12 {
        let found = spreads(&kinds, &jobs(&other, 120, seed), 1.0);
        for (row, of) in &found.rows {
            rows.count(&of.learned, row_of(&other.axle, *row));
        }
        let of_seat = (found.inputs.iter()).find(|(input, _)| *input == Input::HeadSeat);
        seat.count(&of_seat.unwrap().1.learned, 1.0);
    }
    println!("rows {rows:?}, seat {seat:?}");
    rows.at_level("rows", 0.95);
    seat.at_level("seat", 0.95);
}
