//! The kit: a box of shims for jobs on the road, filled up only at home.

use super::demand::BenchJobs;
use super::drawer::{Review, Rules, Shortage};
use super::found::{Aim, DrawerOption, found};
use super::plan::{Samples, Watch};
use super::shelf::Shelf;
use super::tape::{Sample, Stretch};
use crate::bench::setup::Setup;
use crate::chance::dice::Address;

/// Jobs on which a box is found, checked and verified, and the least number of trips.
const ROUGH_JOBS: u32 = 4_000;
const FIT_JOBS: u32 = 16_000;
const CHECK_JOBS: u32 = 120_000;
const VERIFY_JOBS: u32 = 192_000;
const LEAST_TRIPS: u32 = 64;
/// Number of the first sample that verifies.
const VERIFY: u64 = 16;

/// The answer.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Kit {
    /// The box, with its service on trips that had no part in the search.
    pub plan: DrawerOption,
    /// Whether it finishes the wanted share.
    pub held: bool,
    /// Rebuilds simulated.
    pub rebuilds: u64,
}

/// Finds the cheapest box that finishes a share of the jobs of a trip, drawn from the lines by how
/// many come a month; `None` where the search was broken off.
///
/// The rules are those of the drawer without orders: a job that misses a pack can't be finished,
/// and good shims that come out of a job go back into the box.
///
/// # Panics
/// If there are no lines, or a line fits a series that is on no shelf.
///
/// # Example
/// A box that finishes the job of a one-job trip seven times in ten:
/// ```
/// use shimcast_sim::stock::{kit, shelves};
///
/// let setup = shimcast_sim::demo::setup();
/// let shelves = shelves(&setup.shop, &[&setup], &|_| None).expect("few packs");
/// let found = kit(&[(&setup, 4.0)], &shelves, (1, 0.7), 1, &mut |_| true).expect("not broken off");
/// assert!(found.held && found.plan.service.job_fill.value >= 0.7);
/// ```
pub fn kit(
    lines: &[(&Setup, f64)],
    shelves: &[Shelf],
    (jobs, finish): (u32, f64),
    seed: u64,
    watch: Watch<'_>,
) -> Option<Kit> {
    assert!(!lines.is_empty());
    let names = shelves.iter().map(|s| s.name.clone()).collect();
    let source = BenchJobs::new(lines, names);
    let rules = Rules {
        review: Review::Never,
        lead_days: 0.0,
        late_days: 0.0,
        shortage: Shortage::ComesSpecially,
        keep_surplus: 0,
    };
    let root = Address::new(seed, 0x4b69_7421);
    let sample = |number: u64, all: u32| {
        let trips = all.div_ceil(jobs).max(LEAST_TRIPS) as usize;
        let stretch = Stretch::Tour(jobs);
        Sample::draw(&source, shelves, root.within(number), trips, stretch)
    };
    let samples = Samples {
        rough: sample(0, ROUGH_JOBS),
        fit: sample(1, FIT_JOBS),
        check: sample(2, CHECK_JOBS),
    };
    let draw = |attempt| sample(VERIFY + attempt, VERIFY_JOBS);
    let found = found(
        shelves,
        &rules,
        &samples,
        &draw,
        (Aim::Fill(finish), &[], None),
        watch,
    )?;
    let of_samples = [&samples.rough, &samples.fit, &samples.check];
    let simulated: usize = of_samples.iter().map(|sample| sample.played).sum();
    Some(Kit {
        plan: found.plan,
        held: found.held,
        rebuilds: (simulated + found.jobs) as u64,
    })
}
