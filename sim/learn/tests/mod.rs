//! Tests of what is learned from jobs.
//!
//! # False alarms
//! What is drawn has fixed seeds. Where intervals are held against known truths, [`crate::tests::held`] says with
//! which chance a test would fail with other seeds if they hold exactly 95 %.

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
use crate::demo;
use crate::learn::spreads::{spread_of, widen};
use crate::learn::{FinishedJob, recorded};
use crate::shop::Shop;
pub(super) use crate::tests::held::{Held, seeds};

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
