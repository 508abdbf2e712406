//! Everything that jobs teach of the figures of the files, and files with these figures.

use super::FinishedJob;
use super::beliefs::{depth_belief, ring_belief};
use super::minutes::{Timed, times};
use super::posterior::Posterior;
use super::shares::{comebacks, spoiled};
use super::spreads::{row_of, spread_of, spreads, widen};
use crate::axle::Axle;
use crate::bench::setup::Setup;
use crate::causes::Input;
use crate::shop::Shop;

/// A figure of the files of which jobs say something.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Learnable {
    /// One sigma of an input, in the unit of what varies.
    Spread(Input),
    /// A row of the pattern, share of the tooth per mm: flank (0 drive, 1 coast), and what moves it (0 depth,
    /// 1 ring position).
    Row(usize, usize),
    /// `bench.ring_belief`.
    RingBelief,
    /// `bench.depth_belief`.
    DepthBelief,
    /// Mean minutes of one go.
    Minutes(Timed),
    /// `minutes.job_spread`.
    JobSpread,
    /// Share of the shims of a series that are spoiled when they come out.
    Spoiled(String),
    /// `prices.comeback_share`.
    ComebackShare,
}

/// What jobs say of one figure.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Lesson {
    /// Which figure.
    pub of: Learnable,
    /// What the files say.
    pub before: f64,
    /// What is believed now.
    pub now: Posterior,
}

/// What is asked.
#[derive(Debug, Clone, Copy)]
pub struct Taught<'a> {
    /// Kinds of job: gears and bearings, new or kept, of one axle and shop.
    pub kinds: &'a [Setup],
    /// The shop's jobs, each with the number of its kind.
    pub jobs: &'a [(usize, FinishedJob)],
    /// How many jobs each figure of the files is worth.
    pub trust: f64,
    /// Seed of what is simulated.
    pub seed: u64,
}

/// Everything that these jobs say something of.
///
/// # Example
/// ```
/// use shimcast_sim::chance::dice::Address;
/// use shimcast_sim::learn::{Taught, lessons, recorded};
///
/// let kinds = [shimcast_sim::demo::setup()];
/// let jobs: Vec<_> = (0..20)
///     .map(|number| (0, recorded(&kinds[0], Address::new(7, number))))
///     .collect();
/// let all = lessons(&Taught { kinds: &kinds, jobs: &jobs, trust: 10.0, seed: 1 });
/// assert!(all.len() > 20);
/// ```
pub fn lessons(asked: &Taught<'_>) -> Vec<Lesson> {
    let Taught {
        kinds,
        jobs,
        trust,
        seed,
    } = *asked;
    let Some(setup) = kinds.first() else {
        return Vec::new();
    };
    let (axle, shop) = (&setup.axle, &setup.shop);
    let mut all: Vec<Lesson> = Vec::new();
    let mut learn = |of: Learnable, now: Posterior| {
        let before = of.read(axle, shop).unwrap_or_default();
        let now = match of {
            // these are told as multiples of what the files say
            Learnable::Spread(_) | Learnable::Minutes(_) | Learnable::JobSpread => {
                now.times(before)
            }
            _ => now,
        };
        all.push(Lesson { of, before, now });
    };
    let told = spreads(kinds, jobs, trust);
    for (input, times) in told.inputs {
        learn(Learnable::Spread(input), times);
    }
    for ((flank, mover), row) in told.rows {
        learn(Learnable::Row(flank, mover), row);
    }
    if let Some(belief) = ring_belief(kinds, jobs, trust) {
        learn(Learnable::RingBelief, belief);
    }
    if let Some(belief) = depth_belief(kinds, jobs, trust) {
        learn(Learnable::DepthBelief, belief);
    }
    let of_time = times(kinds, jobs, trust);
    for (timed, times) in of_time.minutes {
        learn(Learnable::Minutes(timed), times);
    }
    if let Some(times) = of_time.job_spread {
        learn(Learnable::JobSpread, times);
    }
    for (series, share) in spoiled(kinds, jobs, trust) {
        learn(Learnable::Spoiled(series), share);
    }
    if let Some(share) = comebacks(kinds, jobs, trust, seed) {
        learn(Learnable::ComebackShare, share);
    }
    all
}

impl Learnable {
    /// The figure as an axle and a shop have it; `None` where they have none.
    pub fn read(&self, axle: &Axle, shop: &Shop) -> Option<f64> {
        Some(match self {
            Learnable::Spread(input) => spread_of(*input, axle, shop)?,
            Learnable::Row(flank, mover) => row_of(axle, (*flank, *mover)),
            Learnable::RingBelief => shop.bench.ring_belief,
            Learnable::DepthBelief => shop.bench.depth_belief,
            Learnable::Minutes(timed) => timed.span(axle, &shop.minutes).mean(),
            Learnable::JobSpread => shop.minutes.job_spread,
            Learnable::Spoiled(name) => shop.series(name)?.spoiled,
            Learnable::ComebackShare => shop.prices.comeback_share,
        })
    }
}

impl Lesson {
    /// Whether the files' figure lies outside what is believed now.
    pub fn changes(&self) -> bool {
        let now = &self.now.learned;
        self.before < now.low || now.high < self.before
    }

    /// Puts what is believed now into an axle and a shop.
    pub fn adopt(&self, axle: &mut Axle, shop: &mut Shop) {
        let now = self.now.learned.value;
        let times = now / self.before;
        match &self.of {
            Learnable::Spread(input) => widen(*input, times, axle, shop),
            Learnable::Row(flank, mover) => {
                let pattern = &mut axle.gears.pattern;
                let rows = [&mut pattern.drive_profile, &mut pattern.coast_profile];
                rows[*flank][*mover] = now;
            }
            Learnable::RingBelief => shop.bench.ring_belief = now,
            Learnable::DepthBelief => shop.bench.depth_belief = now,
            Learnable::Minutes(timed) => {
                let span = timed.span_mut(axle, &mut shop.minutes);
                for minutes in [&mut span.least, &mut span.usual, &mut span.most] {
                    *minutes *= times;
                }
            }
            Learnable::JobSpread => shop.minutes.job_spread = now,
            Learnable::Spoiled(name) => {
                let of_it = shop.shims.iter_mut().filter(|series| series.name == *name);
                of_it.for_each(|series| series.spoiled = now);
            }
            Learnable::ComebackShare => shop.prices.comeback_share = now,
        }
    }
}
