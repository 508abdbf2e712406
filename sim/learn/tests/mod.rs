//! Tests of what is learned from jobs.
//!
//! # False alarms
//! What is drawn has fixed seeds. Where intervals are held against known truths, a test says with which chance
//! it would fail with other seeds if they hold exactly 95 %.

mod agreement;
mod beliefs;
mod drift;
mod lessons;
mod minutes;
mod planted;
mod posterior;
mod record;
mod recovery;
mod scores;
mod shares;
mod shims_out;
mod spreads;

use rayon::prelude::*;

use crate::axle::{Axle, Condition};
use crate::bench::setup::Setup;
use crate::causes::Input;
use crate::chance::dice::{Address, Dice, Purpose};
use crate::count::estimate::Estimate;
use crate::demo;
use crate::learn::spreads::{spread_of, widen};
use crate::learn::{FinishedJob, recorded};
use crate::shop::Shop;

/// What a file is worth, in jobs, where a test says nothing else.
const TRUST: f64 = 10.0;

/// Jobs of a shop that works as this set-up says.
fn jobs(of: &Setup, count: u64, seed: u64) -> Vec<(usize, FinishedJob)> {
    (0..count)
        .into_par_iter()
        .map(|number| (0, recorded(of, Address::new(seed, number))))
        .collect()
}

/// The demo's set-up with another axle or shop.
fn changed(change: impl FnOnce(&mut Axle, &mut Shop)) -> Setup {
    let (mut axle, mut shop) = (demo::axle(), demo::shop());
    change(&mut axle, &mut shop);
    Setup::new(axle, shop, Condition::New, Condition::New).unwrap()
}

/// Whatever is drawn for a shop that differs from its files.
fn dice(seed: u64) -> Dice {
    Address::new(seed, 0x0073_686f_7073).stream(Purpose::Records)
}

/// How many times as wide as in a file something is, as a prior worth `TRUST` measurements has it.
fn times_as_wide(dice: &mut Dice) -> f64 {
    let squares: f64 = (0..TRUST as u32).map(|_| dice.normal().powi(2)).sum();
    (TRUST / squares).sqrt()
}

/// A shop in which every spread is drawn from the prior, with how many times as wide each is.
fn otherwise(seed: u64) -> (Setup, Vec<(Input, f64)>) {
    let mut dice = dice(seed);
    let mut truth = Vec::new();
    let setup = changed(|axle, shop| {
        for input in Input::ALL {
            if spread_of(input, axle, shop).is_some() {
                let times = times_as_wide(&mut dice);
                widen(input, times, axle, shop);
                truth.push((input, times));
            }
        }
    });
    (setup, truth)
}

/// How many intervals of how many held the truth.
#[derive(Debug, Default, Clone, Copy)]
struct Held {
    held: u32,
    all: u32,
}

impl Held {
    fn count(&mut self, of: &Estimate, truth: f64) {
        self.all += 1;
        self.held += u32::from((of.low..=of.high).contains(&truth));
    }

    fn add(&mut self, other: Self) {
        self.all += other.all;
        self.held += other.held;
    }

    /// The chance that no more hold of intervals of 95 % that are independent of each other.
    fn chance(self) -> f64 {
        let Self { held, all } = self;
        let log_choose =
            |k: u32| (1..=k).map(move |i| (f64::from(all - k + i) / f64::from(i)).ln());
        let one = |k: u32| {
            let log: f64 = log_choose(k).sum();
            (log + f64::from(k) * 0.95_f64.ln() + f64::from(all - k) * 0.05_f64.ln()).exp()
        };
        (0..=held).map(one).sum()
    }

    /// Fails where fewer hold than would with this chance.
    fn at_level(self, what: &str, chance: f64) {
        let found = self.chance();
        assert!(
            found > chance,
            "{what}: {self:?}, with a chance of {found:.1e}"
        );
    }
}

#[test]
fn the_chance_of_few_is_binomial() {
    let chance = |held, all| Held { held, all }.chance();
    crate::tests::close(chance(1, 2), 1.0 - 0.95 * 0.95, 1e-12);
    crate::tests::close(chance(20, 20), 1.0, 1e-12);
    crate::tests::close(chance(0, 3), 0.05_f64.powi(3), 1e-12);
}
