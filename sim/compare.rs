//! Ways of working on the same parts, and their differences pair by pair.

use std::ops::ControlFlow;

use crate::bench::job::{JobRecord, JobSums};
use crate::bench::money::PriceList;
use crate::bench::setup::Setup;
use crate::chance::dice::Address;
use crate::chance::run::{Gather, Progress, Until, run};
use crate::count::counts::FineCounts;
use crate::count::estimate::Estimate;
use crate::count::paired::{FigurePairs, SharePairs};

/// The answer.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Comparison {
    /// Rebuilds simulated, each in every way.
    pub rebuilds: u64,
    /// Whether the run was broken off.
    pub partial: bool,
    /// The figures of each way, in the order asked.
    pub ways: Vec<Way>,
    /// How each further way differs from the first.
    pub differences: Vec<Differences>,
    /// How every way differs from one chosen as the base; empty where none was.
    pub from_base: Vec<Differences>,
}

/// The figures of one way.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Way {
    /// Share right as first bolted up.
    pub first_assembly: Estimate,
    /// Share of finished jobs right when handed over.
    pub handed_over: Estimate,
    /// Share of finished jobs clearly outside a window: some of these return.
    pub clearly_out: Estimate,
    /// Share finished.
    pub finished: Estimate,
    /// Mean assemblies.
    pub assemblies: Estimate,
    /// Mean hours.
    pub hours: Estimate,
    /// 80th percentile of the hours.
    pub hours_p80: Estimate,
    /// Mean cost of a job, in the way's own currency.
    pub money: Estimate,
    /// How its jobs ended, as counts.
    pub ends: Ends,
}

/// How jobs ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
#[non_exhaustive]
pub struct Ends {
    /// Jobs in all.
    pub jobs: u64,
    /// Finished after one assembly, and truly in every window.
    pub right_at_once: u64,
    /// Finished, and truly in every window.
    pub right: u64,
    /// Finished, and clearly out of a window.
    pub clearly_out: u64,
    /// Given up.
    pub given_up: u64,
}

/// Paired differences: the way less the first way.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Differences {
    /// Of the share right as first bolted up.
    pub first_assembly: Estimate,
    /// Of the share of finished jobs right when handed over; NaN where one way finished none.
    pub handed_over: Estimate,
    /// Of the share of finished jobs handed over clearly out; NaN where one way finished none.
    pub clearly_out: Estimate,
    /// Of the share finished.
    pub finished: Estimate,
    /// Of assemblies.
    pub assemblies: Estimate,
    /// Of hours.
    pub hours: Estimate,
    /// Of cost.
    pub money: Estimate,
    /// Whether assemblies, hours and cost were the same in every rebuild.
    pub alike: bool,
}

impl Differences {
    /// The differences of identical ways, which are exact.
    fn for_certain(self) -> Self {
        let exactly = |seen: Estimate| Estimate {
            low: seen.value,
            high: seen.value,
            ..seen
        };
        Self {
            first_assembly: exactly(self.first_assembly),
            handed_over: exactly(self.handed_over),
            clearly_out: exactly(self.clearly_out),
            finished: exactly(self.finished),
            assemblies: exactly(self.assemblies),
            hours: exactly(self.hours),
            money: exactly(self.money),
            alike: self.alike,
        }
    }
}

/// Whether a difference was seen.
///
/// # Example
/// ```
/// use shimcast_sim::prelude::*;
///
/// let seen = Estimate { value: -3.0, low: -5.0, high: -1.0, n: 1000 };
/// assert_eq!(Verdict::of(&seen), Verdict::Less);
/// assert_eq!(Verdict::of(&Estimate { high: 1.0, ..seen }), Verdict::NoneSeen);
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// The interval lies above zero.
    More,
    /// The interval lies below zero.
    Less,
    /// The interval holds zero.
    NoneSeen,
}

impl Verdict {
    /// From the interval of a difference.
    pub fn of(difference: &Estimate) -> Self {
        if difference.low > 0.0 {
            Self::More
        } else if difference.high < 0.0 {
            Self::Less
        } else {
            Self::NoneSeen
        }
    }
}

/// Jobs after which an investment has paid for itself, from the difference of cost a job; `None`
/// where no saving was seen.
///
/// # Definition
/// Amount / saving a job; the ends of the interval come from those of the saving.
///
/// # Example
/// An investment of 600, and a saving of 8 to 12 a job:
/// ```
/// use shimcast_sim::compare::jobs_to_pay_back;
/// use shimcast_sim::prelude::*;
///
/// let saving = Estimate { value: -10.0, low: -12.0, high: -8.0, n: 1000 };
/// let jobs = jobs_to_pay_back(600.0, &saving).expect("a saving");
/// assert_eq!([jobs.low, jobs.value, jobs.high], [50.0, 60.0, 75.0]);
/// ```
pub fn jobs_to_pay_back(amount: f64, difference: &Estimate) -> Option<Estimate> {
    (Verdict::of(difference) == Verdict::Less).then(|| Estimate {
        value: amount / -difference.value,
        low: amount / -difference.low,
        high: amount / -difference.high,
        n: difference.n,
    })
}

/// Works on the same parts in every way; see [`run`] for the further arguments.
///
/// # Definition
/// In each rebuild every way has the same parts; figures at the bench and minutes come from the
/// same streams as well, as long as the ways proceed alike. A figure that was the same in every
/// rebuild still has an interval of some width, since further rebuilds might differ; a way
/// identical to the first differs by exactly zero.
///
/// # Panics
/// If there is no way.
#[doc(hidden)]
pub fn compare(
    ways: &[Setup],
    seed: u64,
    until: Until,
    watch: &mut dyn FnMut(Progress) -> ControlFlow<()>,
) -> Comparison {
    compare_with(ways, None, seed, until, watch)
}

/// The same, and every way held against a base as well: one of them, by its place.
///
/// # Panics
/// If there is no way, or none at the base's place.
#[doc(hidden)]
pub fn compare_with(
    ways: &[Setup],
    base: Option<usize>,
    seed: u64,
    until: Until,
    watch: &mut dyn FnMut(Progress) -> ControlFlow<()>,
) -> Comparison {
    assert!(!ways.is_empty());
    let prices: Vec<PriceList<'_>> = ways.iter().map(PriceList::new).collect();
    let rebuild = |address: Address, sums: &mut CompareSums| {
        let job = |way: usize| JobRecord::at(&ways[way], &prices[way], address);
        let of_base = base.map(|base| (base, job(base)));
        let mut first = None;
        for way in 0..ways.len() {
            let job = match &of_base {
                Some((base, of_base)) if *base == way => *of_base,
                _ => job(way),
            };
            sums.ways[way].add(&job);
            if let Some((_, of_base)) = &of_base {
                sums.from_base[way].add(of_base, &job);
            }
            match &first {
                None => first = Some(job),
                Some(first) => sums.pairs[way - 1].add(first, &job),
            }
        }
    };
    let empty = || CompareSums {
        ways: vec![WaySums::default(); ways.len()],
        pairs: vec![PairSums::default(); ways.len() - 1],
        from_base: vec![PairSums::default(); base.map_or(0, |_| ways.len())],
    };
    let ran = run(seed, until, empty, rebuild, watch);
    let sums = &ran.gathered;
    let differences = |from: usize, others: &[Setup], pairs: &[PairSums]| {
        let pairs = pairs.iter().zip(others);
        pairs
            .map(|(pairs, way)| {
                let differences = pairs.differences(&sums.ways[from].jobs);
                if same(&ways[from], way) {
                    differences.for_certain()
                } else {
                    differences
                }
            })
            .collect()
    };
    Comparison {
        rebuilds: ran.rebuilds,
        partial: ran.partial,
        ways: sums.ways.iter().map(WaySums::way).collect(),
        differences: differences(0, &ways[1..], &sums.pairs),
        from_base: differences(base.unwrap_or(0), ways, &sums.from_base),
    }
}

/// Whether two ways are identical.
fn same(first: &Setup, other: &Setup) -> bool {
    first.axle == other.axle
        && first.shop == other.shop
        && first.gears == other.gears
        && first.bearings == other.bearings
}

#[derive(Debug, Clone, PartialEq)]
struct CompareSums {
    ways: Vec<WaySums>,
    /// Of each further way with the first.
    pairs: Vec<PairSums>,
    /// Of every way with the base, where there is one.
    from_base: Vec<PairSums>,
}

impl Gather for CompareSums {
    fn merge(&mut self, later: Self) {
        for (own, more) in self.ways.iter_mut().zip(&later.ways) {
            own.merge(more);
        }
        let pairs = self.pairs.iter_mut().chain(&mut self.from_base);
        for (own, more) in pairs.zip(later.pairs.iter().chain(&later.from_base)) {
            own.merge(more);
        }
    }

    /// The least precise headline of all ways.
    fn half_width(&self) -> f64 {
        self.ways
            .iter()
            .map(|way| way.jobs.endings.half_width())
            .fold(0.0, f64::max)
    }
}

#[derive(Debug, Clone, PartialEq, Default)]
struct WaySums {
    jobs: JobSums,
    hours: FineCounts,
    right_at_once: u64,
}

impl WaySums {
    #[inline]
    fn add(&mut self, job: &JobRecord) {
        self.jobs.add(job);
        self.hours.add(job.hours);
        self.right_at_once += u64::from(job.right_at_once());
    }

    fn merge(&mut self, later: &Self) {
        self.jobs.merge(&later.jobs);
        self.hours.merge(&later.hours);
        self.right_at_once += later.right_at_once;
    }

    fn way(&self) -> Way {
        let JobSums {
            endings,
            assemblies,
            hours,
            cost,
        } = &self.jobs;
        Way {
            first_assembly: endings.first_assembly(),
            handed_over: endings.handed_over(),
            clearly_out: endings.clearly_out(),
            finished: endings.finished(),
            assemblies: assemblies.mean().not_below(1.0),
            hours: hours.moments().estimate(),
            hours_p80: self.hours.quantile(0.80),
            money: cost.moments().estimate(),
            ends: Ends {
                jobs: endings.rebuilds,
                right_at_once: self.right_at_once,
                right: endings.right,
                clearly_out: endings.clearly_out,
                given_up: endings.rebuilds - endings.finished,
            },
        }
    }
}

/// Differences of one way from the first, rebuild by rebuild.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct PairSums {
    first_assembly: SharePairs,
    handed_over: SharePairs,
    clearly_out: SharePairs,
    finished: SharePairs,
    assemblies: FigurePairs,
    hours: FigurePairs,
    cost: FigurePairs,
}

impl PairSums {
    #[inline]
    pub(crate) fn add(&mut self, first: &JobRecord, other: &JobRecord) {
        let (one, another) = (&first.ending, &other.ending);
        self.first_assembly
            .add(one.counts_first(), another.counts_first());
        self.handed_over
            .add(one.counts_handed_over(), another.counts_handed_over());
        self.clearly_out
            .add(one.counts_clearly_out(), another.counts_clearly_out());
        self.finished
            .add(one.counts_finished(), another.counts_finished());
        self.assemblies
            .add(first.assemblies.into(), other.assemblies.into());
        self.hours.add(first.hours, other.hours);
        self.cost.add(first.cost, other.cost);
    }

    pub(crate) fn merge(&mut self, later: &Self) {
        self.first_assembly.merge(&later.first_assembly);
        self.handed_over.merge(&later.handed_over);
        self.clearly_out.merge(&later.clearly_out);
        self.finished.merge(&later.finished);
        self.assemblies.merge(&later.assemblies);
        self.hours.merge(&later.hours);
        self.cost.merge(&later.cost);
    }

    /// Differences; pseudo-observations take their size from the spread of the first way.
    pub(crate) fn differences(&self, first: &JobSums) -> Differences {
        let figures_apart = [&self.assemblies, &self.hours, &self.cost];
        Differences {
            first_assembly: self.first_assembly.difference(),
            handed_over: self.handed_over.difference(),
            clearly_out: self.clearly_out.difference(),
            finished: self.finished.difference(),
            // assemblies differ by at least one
            assemblies: self.assemblies.difference(&first.assemblies.moments(), 1.0),
            hours: self.hours.difference(&first.hours.moments(), 0.0),
            money: self.cost.difference(&first.cost.moments(), 0.0),
            alike: figures_apart.into_iter().all(FigurePairs::alike),
        }
    }
}

#[cfg(test)]
#[path = "tests/compare.rs"]
mod tests;
