//! Tests of what is learned from jobs.

mod agreement;
mod beliefs;
mod minutes;
mod record;
mod shims_out;
mod spreads;

use rayon::prelude::*;

use crate::bench::setup::Setup;
use crate::chance::dice::Address;
use crate::learn::{FinishedJob, recorded};

/// Jobs of a shop that works as this set-up says.
fn jobs(of: &Setup, count: u64, seed: u64) -> Vec<(usize, FinishedJob)> {
    (0..count)
        .into_par_iter()
        .map(|number| (0, recorded(of, Address::new(seed, number))))
        .collect()
}
