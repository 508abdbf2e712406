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
const ROUGH: (u32, u32) = (4_000, 16);
const FIT: (u32, u32) = (16_000, 32);
const CHECK: (u32, u32) = (120_000, 64);
const VERIFY: (u32, u32) = (192_000, 64);
/// Jobs of a trip up to which the number of trips is that of all jobs by those of a trip.
const MOST_IN_ONE: u32 = 8;
/// Number of the first sample that verifies.
const FIRST_TO_VERIFY: u64 = 16;

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

impl Trip {
    /// Trips of a sample.
    fn played(&self, (jobs, least): (u32, u32)) -> u32 {
        // a trip says no more of itself than a job does
        let trips = match self.of {
            Unit::Job => jobs.div_ceil(self.jobs),
            Unit::Trip => jobs.div_ceil(self.jobs.min(MOST_IN_ONE)),
        };
        trips.max(least)
    }

    /// About how long it takes to find a box for it on one usual processor, seconds: as it was measured for
    /// trips of one to a thousand jobs, to a factor of two.
    pub fn seconds(&self, shelves: &[Shelf]) -> f64 {
        /// Of a job that is drawn.
        const DRAWN: f64 = 2e-5;
        /// Of a job that a box is found on, for one size in it: few jobs in a trip, and more for many.
        const SEARCHED: [f64; 2] = [5e-6, 19e-6];
        /// Jobs in a trip that are many.
        const MANY: f64 = 400.0;
        let sizes: usize = shelves.iter().map(|shelf| shelf.sizes.len()).sum();
        let jobs = |of| f64::from(self.played(of)) * f64::from(self.jobs);
        let [few, more] = SEARCHED;
        let many = (f64::from(self.jobs) / MANY).min(1.0);
        let drawn: f64 = [ROUGH, FIT, CHECK, VERIFY].into_iter().map(jobs).sum();
        DRAWN * drawn + (few + more * many) * sizes as f64 * jobs(FIT)
    }
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
    let sample = |number: u64, of: (u32, u32)| {
        let trips = trip.played(of) as usize;
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
        rough: sample(0, ROUGH),
        fit: &sample(1, FIT),
        check: &|| sample(2, CHECK),
    };
    let draw = |attempt| sample(FIRST_TO_VERIFY + attempt, VERIFY);
    let aim = (Aim::Fill(trip.finish), &[][..], till);
    let found = found(shelves, &rules, &samples, &draw, aim, watch)?;
    Some(Kit {
        plan: found.plan,
        held: found.held,
        rebuilds: found.jobs as u64,
    })
}
