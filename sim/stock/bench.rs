//! What a drawer does at the bench: other sizes, or packs that stand in for others, may cost more there
//! than they spare in the drawer.

use std::ops::ControlFlow;

use super::answer::{Course, Question, spares};
use super::extent::CURVE;
use super::found::DrawerOption;
use super::kept::KeptDrawer;
use super::plan::{SearchProgress, Watch};
use super::shelf::Shelf;
use super::trials::Levels;
use crate::bench::job::{JobRecord, JobSums};
use crate::bench::money::{PriceList, ShimsCharged};
use crate::bench::setup::Setup;
use crate::chance::dice::Address;
use crate::chance::run::{Gather, Progress, Until, run};
use crate::compare::PairSums;
use crate::count::estimate::Estimate;

/// Rebuilds behind all lines of jobs, and behind each at the least.
const REBUILDS: f64 = 65_536.0;
const LEAST_OF_A_LINE: u64 = 4_096;
const MONTHS: f64 = 12.0;

/// What a year of jobs comes to with one drawer, less what it comes to with another, on the very same
/// parts.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct AtBench {
    /// Of the share of finished jobs right when handed over.
    pub right: Estimate,
    /// Of the share of finished jobs handed over clearly out.
    pub clearly_out: Estimate,
    /// Of the hours of a year.
    pub hours: Estimate,
    /// Of the cost of a year's jobs, without their shims: those are counted with the drawer.
    pub money: Estimate,
}

/// A kind of job with what it is given.
#[derive(Debug, Clone, Copy)]
pub struct Supplied<'a> {
    /// The job.
    pub setup: &'a Setup,
    /// The drawer, whose packs may stand in for those wanted; every pack is as wanted where there is none.
    pub drawer: Option<&'a KeptDrawer<'a>>,
}

/// A line of jobs both ways, and how many of them come a month.
#[derive(Debug, Clone, Copy)]
pub struct BothWays<'a> {
    /// One way.
    pub own: Supplied<'a>,
    /// The other.
    pub other: Supplied<'a>,
    /// Jobs a month.
    pub per_month: f64,
}

impl Supplied<'_> {
    /// Every job at its address, as it is recorded.
    fn jobs(&self) -> impl Fn(Address) -> JobRecord + Sync {
        let Self { setup, drawer } = *self;
        let prices = PriceList::new(setup).charging(ShimsCharged::WithTheDrawer);
        let jobs = drawer.map(|drawer| drawer.jobs_of(&[setup]));
        move |address| match drawer.zip(jobs.as_ref()) {
            Some((drawer, jobs)) => {
                let rebuild = drawer.rebuilt(jobs, 0, address);
                let minutes = setup.minutes(address, &rebuild);
                JobRecord::of(setup, &prices, &rebuild, minutes)
            }
            None => JobRecord::at(setup, &prices, address),
        }
    }
}

/// The sums of one way, and of the differences to it.
#[derive(Default)]
struct BothSums {
    own: JobSums,
    apart: PairSums,
}

impl Gather for BothSums {
    fn merge(&mut self, later: Self) {
        self.own.merge(&later.own);
        self.apart.merge(&later.apart);
    }

    fn half_width(&self) -> f64 {
        self.own.endings.half_width()
    }
}

impl AtBench {
    /// Plays every line both ways.
    ///
    /// # Panics
    /// If there are no lines.
    pub fn of(
        lines: &[BothWays<'_>],
        seed: u64,
        watch: &mut dyn FnMut(Progress) -> ControlFlow<()>,
    ) -> Self {
        assert!(!lines.is_empty());
        let all: f64 = lines.iter().map(|line| line.per_month).sum();
        let mut sums = [const { Vec::new() }; 4];
        for line in lines {
            let (own, other) = (line.own.jobs(), line.other.jobs());
            let rebuild = |address: Address, sums: &mut BothSums| {
                let first = own(address);
                sums.own.add(&first);
                sums.apart.add(&first, &other(address));
            };
            let (share, a_year) = (line.per_month / all, MONTHS * line.per_month);
            let until = Until::Rebuilds(((REBUILDS * share) as u64).max(LEAST_OF_A_LINE));
            let both = run(seed, until, BothSums::default, rebuild, watch).gathered;
            let differs = both.apart.differences(&both.own);
            sums[0].push(differs.handed_over.times(share));
            sums[1].push(differs.clearly_out.times(share));
            sums[2].push(differs.hours.times(a_year));
            sums[3].push(differs.money.times(a_year));
        }
        let [right, clearly_out, hours, money] = sums.map(|parts| sum(&parts));
        Self {
            right,
            clearly_out,
            hours,
            money,
        }
    }
}

/// What it comes to that packs near enough stand in for those wanted.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct StandIns {
    /// With them, less with every pack as it is wanted.
    pub bench: AtBench,
    /// Share of jobs that would never wait in the same drawer if every pack had to be exact.
    pub exact_fill: Estimate,
    /// What they spare a year in this drawer, on the same years.
    pub spares: Estimate,
}

impl AtBench {
    /// What packs that stand in do, in a drawer of these levels, against every pack as it is wanted; `None`
    /// where it was broken off.
    pub(super) fn of_stand_ins(
        asked: &Question<'_>,
        levels: &Levels,
        watch: Watch<'_>,
    ) -> Option<Self> {
        let drawer = KeptDrawer::of(asked, levels);
        let lines: Vec<BothWays<'_>> = asked
            .lines
            .iter()
            .map(|(setup, per_month)| {
                let supplied = |drawer| Supplied { setup, drawer };
                BothWays {
                    own: supplied(None),
                    other: supplied(Some(&drawer)),
                    per_month: *per_month,
                }
            })
            .collect();
        let mut whole = true;
        let bench = Self::of(&lines, asked.seed, &mut |_| {
            whole &= watch(SearchProgress {
                doing: "working on the same axles with packs as the drawer gives them",
                served: None,
            });
            match whole {
                true => ControlFlow::Continue(()),
                false => ControlFlow::Break(()),
            }
        });
        whole.then_some(bench)
    }
}

/// What packs that stand in for others do at the bench and in a drawer of these levels; `None` where it
/// was broken off.
pub(super) fn stand_ins(
    asked: &Question<'_>,
    levels: &Levels,
    watch: Watch<'_>,
) -> Option<StandIns> {
    let course = Course::new(asked);
    let sample = course.sample(11, &CURVE);
    let exact: Vec<Shelf> = asked
        .shelves
        .iter()
        .map(|s| s.with_near_enough(0.0))
        .collect();
    let on = |shelves| DrawerOption::on(shelves, &course.rules, &sample, levels.clone());
    let exact = on(&exact);
    Some(StandIns {
        bench: AtBench::of_stand_ins(asked, levels, watch)?,
        exact_fill: exact.service.job_fill,
        spares: spares(asked.drawer, &exact, &on(asked.shelves)),
    })
}

/// The sum of independent figures.
fn sum(parts: &[Estimate]) -> Estimate {
    let value: f64 = parts.iter().map(|part| part.value).sum();
    let start = Estimate {
        value,
        low: value,
        high: value,
        ..parts[0]
    };
    let ends = parts
        .iter()
        .map(|part| [part.value - part.low, part.high - part.value]);
    ends.fold(start, Estimate::widened)
}
