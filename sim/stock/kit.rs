//! The kit: a box of shims for jobs on the road, filled up only at home.

use super::demand::BenchJobs;
use super::drawer::{Review, Rules, Shortage};
use super::found::{Aim, DrawerOption, found};
use super::plan::{Samples, Watch};
use super::shelf::Shelf;
use super::tape::{Sample, Stretch, Unit};
use super::till::Till;
use super::trials::Levels;
use crate::bench::setup::Setup;
use crate::chance::dice::Address;

/// Jobs on which a box is found, checked and verified, and the least number of trips.
const ROUGH_JOBS: u32 = 4_000;
const FIT_JOBS: u32 = 16_000;
const CHECK_JOBS: u32 = 120_000;
const VERIFY_JOBS: u32 = 192_000;
const LEAST_TRIPS: u32 = 64;
/// Jobs of a trip up to which the number of trips is that of all jobs by those of a trip.
const MOST_IN_ONE: u32 = 8;
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

/// What a box is to be good for.
#[derive(Debug, Clone, PartialEq)]
pub struct Trip {
    /// Jobs before the box is filled up again.
    pub jobs: u32,
    /// Share that is to be finished.
    pub finish: f64,
    /// Of what: of the jobs, or of the trips, on each of which all jobs are.
    pub of: Unit,
    /// What is in the box already.
    pub have: Option<Levels>,
}

/// Finds the box that finishes a share of jobs or of trips and costs least beside what is there; the
/// jobs of a trip are drawn from the lines by how many come a month. `None` where the search was
/// broken off.
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
/// use shimcast_sim::stock::{Trip, Unit, kit, shelves};
///
/// let setup = shimcast_sim::demo::setup();
/// let shelves = shelves(&setup.shop, &[&setup], &|_| None).expect("few packs");
/// let trip = Trip { jobs: 1, finish: 0.7, of: Unit::Job, have: None };
/// let found = kit(&[(&setup, 4.0)], &shelves, &trip, 1, &mut |_| true).expect("not broken off");
/// assert!(found.held && found.plan.service.job_fill.value >= 0.7);
/// ```
pub fn kit(
    lines: &[(&Setup, f64)],
    shelves: &[Shelf],
    trip: &Trip,
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
        // a trip says no more of itself than a job does
        let trips = match trip.of {
            Unit::Job => all.div_ceil(trip.jobs),
            Unit::Trip => all.div_ceil(trip.jobs.min(MOST_IN_ONE)),
        };
        let trips = trips.max(LEAST_TRIPS) as usize;
        let stretch = Stretch::Tour(trip.jobs);
        let root = root.within(number);
        let sample = Sample::draw(&source, shelves, root, trips, stretch);
        match trip.of {
            Unit::Job => sample,
            Unit::Trip => sample.by_trips(),
        }
    };
    let till = match &trip.have {
        Some(there) => Till::with(shelves, there.clone()),
        None => Till::empty(shelves),
    };
    let samples = Samples {
        rough: sample(0, ROUGH_JOBS),
        fit: &sample(1, FIT_JOBS),
        check: &|| sample(2, CHECK_JOBS),
    };
    let draw = |attempt| sample(VERIFY + attempt, VERIFY_JOBS);
    let aim = (Aim::Fill(trip.finish), &[][..], till);
    let found = found(shelves, &rules, &samples, &draw, aim, watch)?;
    Some(Kit {
        plan: found.plan,
        held: found.held,
        rebuilds: found.jobs as u64,
    })
}
