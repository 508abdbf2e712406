//! The kit: a box of shims for jobs on the road, filled up only at home.

use super::answer::Point;
use super::demand::BenchJobs;
use super::drawer::{Review, Rules, Shortage};
use super::plan::{Samples, Search, Watch};
use super::service::service;
use super::shelf::Shelf;
use super::tape::{Sample, Stretch};
use super::trials::money;
use crate::dice::Address;
use crate::setup::Setup;

/// Jobs on which a box is found, checked and verified; at least so many trips.
const ROUGH_JOBS: u32 = 4_000;
const FIT_JOBS: u32 = 16_000;
const CHECK_JOBS: u32 = 120_000;
const VERIFY_JOBS: u32 = 192_000;
const LEAST_TRIPS: u32 = 64;
/// Number of the sample that verifies; see there.
const VERIFY: u64 = 16;
const MOST_ATTEMPTS: u64 = 4;

/// The answer.
#[derive(Debug, Clone)]
pub struct Kit {
    /// The box, with what it did on trips of which nothing was asked before.
    pub plan: Point,
    /// Whether it finishes the share that was asked for.
    pub held: bool,
    /// Rebuilds simulated.
    pub rebuilds: u64,
}

/// Finds the cheapest box that finishes a share of the jobs of a trip, drawn from the lines by how
/// many come a month; `None` where it was broken off.
///
/// The rules are those of the drawer, only that nothing is ordered on the way: a job that misses a
/// pack can't be finished, good shims that come out of a job go back into the box.
///
/// # Panics
/// If there are no lines, or a line fits a series that is on no shelf.
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
    };
    let root = Address::new(seed, 0x4b69_7421);
    let sample = |number: u64, all: u32| {
        let trips = all.div_ceil(jobs).max(LEAST_TRIPS) as usize;
        Sample::draw(&source, root.within(number), trips, Stretch::Tour(jobs))
    };
    let samples = Samples {
        rough: sample(0, ROUGH_JOBS),
        fit: sample(1, FIT_JOBS),
        check: sample(2, CHECK_JOBS),
    };
    let mut rebuilds = samples.rough.jobs + samples.fit.jobs + samples.check.jobs;
    let mut search = Search::new(shelves, &rules, &samples, finish);
    let mut attempt = 0;
    loop {
        let found = search.find(watch)?;
        let verify = sample(VERIFY + attempt, VERIFY_JOBS);
        rebuilds += verify.jobs;
        let service = service(shelves, &rules, &verify, &found.levels, &found.levels);
        let missing = finish - service.job_fill.value;
        attempt += 1;
        if missing <= 0.0 || !found.held || attempt == MOST_ATTEMPTS {
            return Some(Kit {
                plan: Point {
                    money: money(shelves, &found.levels),
                    levels: found.levels,
                    service,
                },
                held: missing <= 0.0,
                rebuilds: rebuilds as u64,
            });
        }
        search.raise(missing);
    }
}
