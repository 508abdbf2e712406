//! The demand on a shop: the jobs of a stretch of time, and the packs of every series that each
//! wants.
//!
//! A tape is drawn once and can be played against any drawer, so that two drawers are compared on
//! the same jobs. The demand of a job is that of its rebuild with an unlimited drawer.

use rayon::prelude::*;

use super::shelf::Shelf;
use super::spoiling::Spoiling;
use crate::chance::dice::{Address, Dice, Purpose};

/// Places on an axle where a pack is fitted.
pub const PLACES: usize = 4;

/// One step of a job, as far as one series is concerned.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum JobStep {
    /// An old pack of the axle comes out: its number among the series' packs.
    Old(u32),
    /// What was fitted at a place comes out.
    Out(u8),
    /// A pack is wanted at a place: its number among the series' packs.
    Want(u8, u32),
}

/// A step in four bytes, as tapes keep it: samples of some hundred thousand jobs are held at once.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct KeptStep(u32);

impl KeptStep {
    const OLD: u32 = 0;
    const OUT: u32 = 1;
    const WANT: u32 = 2;
    /// Bits of the kind, and of the place behind it; what is left is the pack's number.
    const KIND: u32 = 2;
    const PLACE: u32 = 2;

    fn of(kind: u32, place: u8, pack: u32) -> Self {
        let number = pack << (Self::KIND + Self::PLACE);
        debug_assert!(number >> (Self::KIND + Self::PLACE) == pack && usize::from(place) < PLACES);
        Self(kind | u32::from(place) << Self::KIND | number)
    }

    /// The step.
    #[inline]
    pub(super) fn step(self) -> JobStep {
        let place = (self.0 >> Self::KIND & ((1 << Self::PLACE) - 1)) as u8;
        let pack = self.0 >> (Self::KIND + Self::PLACE);
        match self.0 & ((1 << Self::KIND) - 1) {
            Self::OLD => JobStep::Old(pack),
            Self::OUT => JobStep::Out(place),
            _ => JobStep::Want(place, pack),
        }
    }
}

impl From<JobStep> for KeptStep {
    fn from(step: JobStep) -> Self {
        match step {
            JobStep::Old(pack) => Self::of(Self::OLD, 0, pack),
            JobStep::Out(place) => Self::of(Self::OUT, place, 0),
            JobStep::Want(place, pack) => Self::of(Self::WANT, place, pack),
        }
    }
}

/// The steps of one job, each with the series that it concerns.
pub type JobSteps = Vec<(usize, JobStep)>;

/// A source of jobs.
pub trait Jobs: Sync {
    /// Jobs a day of each line.
    fn per_day(&self) -> &[f64];

    /// How many series there are.
    fn series(&self) -> usize;

    /// Adds the steps of the job of a line at an address.
    fn steps(&self, line: usize, address: Address, steps: &mut JobSteps);
}

/// Days of a tape: first those in which the drawer settles, of which nothing counts, then spells of
/// equal length. A spell that is long against the drawer's memory, an order and its delivery, is as
/// good as independent of the one before.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Span {
    /// Days before anything counts.
    pub settling: f64,
    /// Days of a spell.
    pub spell: f64,
    /// How many spells there are.
    pub spells: u32,
}

impl Span {
    /// This many days, all of which count together.
    pub fn plain(days: f64) -> Self {
        Self {
            settling: 0.0,
            spell: days,
            spells: 1,
        }
    }

    /// All days.
    pub fn days(self) -> f64 {
        self.settling + self.counted()
    }

    /// The days that count.
    pub fn counted(self) -> f64 {
        self.spell * f64::from(self.spells)
    }

    /// The spell that a time belongs to; `None` while the drawer settles.
    pub(super) fn at(self, time: f64) -> Option<usize> {
        let since = time - self.settling;
        let last = self.spells.saturating_sub(1);
        (since >= 0.0).then(|| ((since / self.spell) as usize).min(last as usize))
    }
}

/// When the jobs come.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Stretch {
    /// At random over these days, each line a Poisson process.
    Days(Span),
    /// This many jobs, one a day, each of a line drawn by the lines' rates.
    Tour(u32),
}

impl Stretch {
    /// Its days.
    pub fn span(self) -> Span {
        match self {
            Self::Days(span) => span,
            Self::Tour(jobs) => Span::plain(f64::from(jobs) + 1.0),
        }
    }
}

/// The jobs of one stretch of time.
#[derive(Debug, Clone)]
pub struct Tape {
    pub(super) address: Address,
    /// Days that it runs.
    pub span: Span,
    /// When each job comes, days, and its line.
    pub jobs: Vec<(f64, usize)>,
    pub(super) series: Vec<SeriesTape>,
}

/// The demand for one series.
#[derive(Debug, Clone, Default)]
pub(super) struct SeriesTape {
    pub(super) jobs: Vec<SeriesJob>,
    pub(super) steps: Vec<KeptStep>,
}

/// One job's part of a [`SeriesTape`].
#[derive(Debug, Clone)]
pub(super) struct SeriesJob {
    /// Its number on the tape, which knows when it comes.
    pub(super) number: u32,
    /// End of its steps; they begin where those of the job before end.
    pub(super) end: u32,
    pub(super) spoiling: Spoiling,
}

impl SeriesTape {
    /// Its jobs with the steps of each.
    #[inline]
    pub(super) fn jobs(&self) -> impl Iterator<Item = (&SeriesJob, &[KeptStep])> {
        let mut first = 0;
        self.jobs.iter().map(move |job| {
            let steps = &self.steps[first..job.end as usize];
            first = job.end as usize;
            (job, steps)
        })
    }
}

/// The demand of a tape for one series.
#[derive(Debug, Clone, Copy)]
pub(super) struct Reel<'a> {
    pub(super) series: &'a SeriesTape,
    /// When each job of the tape comes, days, and its line.
    pub(super) arrivals: &'a [(f64, usize)],
    /// The tape's own address.
    pub(super) address: Address,
    /// Days that it runs.
    pub(super) span: Span,
}

impl Tape {
    /// Its demand for one series.
    pub(super) fn reel(&self, series: usize) -> Reel<'_> {
        Reel {
            series: &self.series[series],
            arrivals: &self.jobs,
            address: self.address,
            span: self.span,
        }
    }

    /// This stretch, in which a drawer settles, and then another, which counts.
    #[must_use]
    pub(super) fn then(mut self, next: Self) -> Self {
        let (days, before) = (self.span.days(), self.jobs.len() as u32);
        self.span = Span {
            settling: days,
            ..Span::plain(next.span.days())
        };
        let jobs = next.jobs.into_iter();
        self.jobs.extend(jobs.map(|(at, line)| (days + at, line)));
        for (own, next) in self.series.iter_mut().zip(next.series) {
            let steps = own.steps.len() as u32;
            own.jobs.extend(next.jobs.into_iter().map(|job| SeriesJob {
                number: before + job.number,
                end: steps + job.end,
                ..job
            }));
            own.steps.extend(next.steps);
        }
        self
    }

    /// Jobs that come while the drawer settles: the first ones.
    pub(super) fn settling(&self) -> usize {
        self.jobs
            .partition_point(|(at, _)| *at < self.span.settling)
    }

    /// Draws a tape of jobs that fit the series of these shelves.
    ///
    /// # Panics
    /// If there are not as many shelves as series.
    pub fn draw(jobs: &impl Jobs, shelves: &[Shelf], address: Address, stretch: Stretch) -> Self {
        assert_eq!(shelves.len(), jobs.series());
        let arrivals = match stretch {
            Stretch::Days(span) => poisson(jobs.per_day(), address, span.days()),
            Stretch::Tour(count) => tour(jobs.per_day(), address, count),
        };
        let mut series = vec![SeriesTape::default(); jobs.series()];
        let mut steps = JobSteps::new();
        for (number, (_, line, job)) in arrivals.iter().enumerate() {
            steps.clear();
            jobs.steps(*line, *job, &mut steps);
            for (s, tape) in series.iter_mut().enumerate() {
                let before = tape.steps.len();
                let own = steps.iter().filter(|(of, _)| *of == s);
                tape.steps
                    .extend(own.map(|(_, step)| KeptStep::from(*step)));
                if tape.steps.len() > before {
                    let figures = job.within(s as u64).numbered(Purpose::Spoiling);
                    let about = most_out(&shelves[s], &tape.steps[before..]);
                    tape.jobs.push(SeriesJob {
                        number: number as u32,
                        end: tape.steps.len() as u32,
                        spoiling: Spoiling::draw(figures, shelves[s].spoiled, about),
                    });
                }
            }
        }
        // samples of many tapes are held at once
        for tape in &mut series {
            tape.jobs.shrink_to_fit();
            tape.steps.shrink_to_fit();
        }
        Self {
            address,
            span: stretch.span(),
            jobs: arrivals.iter().map(|(at, line, _)| (*at, *line)).collect(),
            series,
        }
    }
}

/// The most shims that can come out in a job's steps, for any packs fitted in place of those
/// wanted.
fn most_out(shelf: &Shelf, steps: &[KeptStep]) -> u32 {
    let of = |step: &KeptStep| match step.step() {
        JobStep::Old(pack) => shelf.ideal(pack).shims(),
        JobStep::Out(_) => shelf.most_in_pack,
        JobStep::Want(..) => 0,
    };
    steps.iter().map(of).sum()
}

type Arrivals = Vec<(f64, usize, Address)>;

/// Jobs of all lines in order of time, each line from its own stream.
fn poisson(per_day: &[f64], address: Address, days: f64) -> Arrivals {
    let mut all = Arrivals::new();
    for (line, rate) in per_day.iter().enumerate() {
        let own = address.within(line as u64);
        let mut dice = own.stream(Purpose::Arrivals);
        let mut at = 0.0;
        for number in 0.. {
            at += exponential(&mut dice, 1.0 / rate);
            if at >= days {
                break;
            }
            all.push((at, line, own.within(number)));
        }
    }
    all.sort_by(|a, b| a.0.total_cmp(&b.0));
    all
}

fn tour(per_day: &[f64], address: Address, count: u32) -> Arrivals {
    let total: f64 = per_day.iter().sum();
    let mut dice = address.stream(Purpose::Arrivals);
    (1..=count)
        .map(|number| {
            let mut left = total * dice.uniform();
            let line = per_day.iter().position(|rate| {
                left -= rate;
                left < 0.0
            });
            let line = line.unwrap_or(per_day.len() - 1);
            (f64::from(number), line, address.within(number.into()))
        })
        .collect()
}

/// An exponential figure of this mean.
pub(super) fn exponential(dice: &mut Dice, mean: f64) -> f64 {
    -mean * libm::log(1.0 - dice.uniform())
}

/// Tapes that are played together.
#[derive(Debug)]
pub struct Sample {
    pub(super) tapes: Vec<Tape>,
    /// For each series, the numbers of its jobs among those that count, over all tapes; [`UNCOUNTED`]
    /// while a drawer settles.
    pub(super) numbers: Vec<Vec<u32>>,
    /// The line of each job that counts; none where trips are counted.
    pub(super) lines: Vec<u32>,
    /// What is counted.
    pub(super) unit: Unit,
    /// Jobs that count, on all tapes, or trips.
    pub jobs: usize,
    /// All jobs.
    pub played: usize,
}

/// What waits, or does not.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unit {
    /// A job.
    Job,
    /// A trip, which waits where any of its jobs does: all jobs of a tape.
    Trip,
}

/// The number of a job that does not count.
pub(super) const UNCOUNTED: u32 = u32::MAX;

impl Sample {
    /// Draws `tapes` tapes of jobs that fit the series of these shelves, on rayon's current threads.
    ///
    /// # Panics
    /// If there are not as many shelves as series.
    pub fn draw(
        jobs: &impl Jobs,
        shelves: &[Shelf],
        address: Address,
        tapes: usize,
        stretch: Stretch,
    ) -> Self {
        let tapes: Vec<Tape> = (0..tapes as u64)
            .into_par_iter()
            .map(|number| Tape::draw(jobs, shelves, address.within(number), stretch))
            .collect();
        Self::of(tapes)
    }

    /// These tapes together.
    pub(super) fn of(tapes: Vec<Tape>) -> Self {
        let series = tapes.first().map_or(0, |tape| tape.series.len());
        let mut numbers = vec![Vec::new(); series];
        let mut lines = Vec::new();
        let (mut before, mut played) = (0, 0);
        for tape in &tapes {
            let settling = tape.settling() as u32;
            let number = |job: &SeriesJob| match job.number.checked_sub(settling) {
                Some(number) => before + number,
                None => UNCOUNTED,
            };
            for (numbers, series) in numbers.iter_mut().zip(&tape.series) {
                numbers.extend(series.jobs.iter().map(number));
            }
            let counted = &tape.jobs[settling as usize..];
            lines.extend(counted.iter().map(|(_, line)| *line as u32));
            before += tape.jobs.len() as u32 - settling;
            played += tape.jobs.len();
        }
        Self {
            tapes,
            numbers,
            lines,
            unit: Unit::Job,
            jobs: before as usize,
            played,
        }
    }

    /// The same counted by trips.
    #[must_use]
    pub fn by_trips(mut self) -> Self {
        for (s, numbers) in self.numbers.iter_mut().enumerate() {
            let jobs = self.tapes.iter().map(|tape| tape.series[s].jobs.len());
            let trips = jobs.enumerate();
            *numbers = trips
                .flat_map(|(trip, jobs)| std::iter::repeat_n(trip as u32, jobs))
                .collect();
        }
        self.lines.clear();
        self.unit = Unit::Trip;
        self.jobs = self.tapes.len();
        self
    }

    /// Days of all tapes together, those of settling too.
    pub fn days(&self) -> f64 {
        self.tapes.iter().map(|tape| tape.span.days()).sum()
    }
}
