//! Causes: the effect of each input on the outcome of jobs, and the saving from improving it.

mod guest;
mod input;
mod part;
mod range;
mod stack;

pub use input::Input;
pub use stack::{Contributor, Link, Loop, Stack};

use std::ops::ControlFlow;

use crate::bench::Rebuild;
use crate::bench::job::{Ending, JobRecord, JobSums};
use crate::bench::money::PriceList;
use crate::bench::outcome::Outcome;
use crate::bench::parts::Parts;
use crate::bench::setup::Setup;
use crate::chance::dice::Address;
use crate::chance::run::{Gather, Progress, Until, run};
use crate::compare::{Differences, PairSums};
use crate::count::estimate::Estimate;
use crate::count::holm::{chance_of_none, holm};
use crate::count::sensitivity::{Edges, OutcomeBins, OutcomePairs, OutcomeTriples};

use guest::{Log, Rerun};
use range::Range;

/// The answer.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Causes {
    /// Rebuilds simulated, each repeated for every input.
    pub rebuilds: u64,
    /// Whether the run was broken off.
    pub partial: bool,
    /// Share right as first bolted up.
    pub first_assembly: Estimate,
    /// Share of finished jobs right when handed over.
    pub handed_over: Estimate,
    /// Share of finished jobs clearly outside a window.
    pub clearly_out: Estimate,
    /// Share finished.
    pub finished: Estimate,
    /// Mean hours.
    pub hours: Estimate,
    /// Mean cost of a job.
    pub money: Estimate,
    /// The loops of the first assembly, in the order of [`Loop::ALL`].
    pub loops: Vec<LoopResult>,
    /// Every input that varies and affects the job, with its shares of the variances.
    pub inputs: Vec<Shares>,
    /// The effect of halving each input, the largest saving first.
    pub halvings: Vec<Halving>,
}

/// A loop as stacked and as simulated.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct LoopResult {
    /// The textbook stack.
    pub stack: Stack,
    /// Mean, mm.
    pub mean: Estimate,
    /// One sigma, mm.
    pub deviation: f64,
    /// Half of the range that holds 99.73 % of the rebuilds, as ±3 sigma of a normal figure does,
    /// mm.
    pub half_range: Estimate,
}

/// An output of the model, whose variance the inputs share.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Output {
    /// Right at the first assembly, yes or no.
    RightFirst,
    /// Finished and right when handed over, yes or no; a job given up is not.
    Right,
    /// Hours.
    Hours,
    /// A loop of the first assembly, mm.
    Loop(Loop),
}

impl Output {
    /// All of them, in the order of the stored shares.
    pub const ALL: [Self; OUTPUTS] = [
        Self::RightFirst,
        Self::Right,
        Self::Hours,
        Self::Loop(Loop::Depth),
        Self::Loop(Loop::Backlash),
        Self::Loop(Loop::Closure),
    ];

    fn place(self) -> usize {
        match self {
            Self::RightFirst => 0,
            Self::Right => 1,
            Self::Hours => 2,
            Self::Loop(which) => 3 + which as usize,
        }
    }
}

/// Number of outputs.
const OUTPUTS: usize = 6;

/// An input's shares of the variance of each outcome.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Shares {
    /// Which.
    pub input: Input,
    alone: [Estimate; OUTPUTS],
    with_others: [Estimate; OUTPUTS],
}

impl Shares {
    /// First-order index: the share that would go, on average, if this input alone were known.
    pub fn alone(&self, question: Output) -> &Estimate {
        &self.alone[question.place()]
    }

    /// Total index: the share that would remain, on average, if everything else were known.
    pub fn with_others(&self, question: Output) -> &Estimate {
        &self.with_others[question.place()]
    }
}

/// The effect of halving the spread or the error of an input.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Halving {
    /// Which.
    pub input: Input,
    /// Halved less as it is, on the same parts.
    pub differences: Differences,
    /// Whether anything changed so clearly that among as many halvings chance alone would hardly show
    /// one.
    pub seen: bool,
}

/// Chance of showing any halving that changes nothing.
const SEEN_BY_CHANCE: f64 = 0.05;

/// Chance that nothing of these changed, whichever of them shows most.
fn chance_of_no_change(differences: &Differences) -> f64 {
    let all = [
        &differences.money,
        &differences.hours,
        &differences.first_assembly,
        &differences.handed_over,
        &differences.clearly_out,
        &differences.finished,
    ];
    let least = all.map(chance_of_none).into_iter().fold(1.0, f64::min);
    (all.len() as f64 * least).min(1.0)
}

/// Rebuilds that determine the bins.
const SURVEYED: u64 = 4096;

/// Simulates rebuilds and returns the causes of misses; see [`run`] for the further arguments.
///
/// # Definition
/// Inputs are taken to be independent. First-order indices of parts are from bins of the run
/// itself; of what is drawn repeatedly at the bench, from a second, independent job that is
/// repeated with this input taken from the first. Total indices are from the same job repeated with
/// this input drawn anew and everything else unchanged.
#[doc(hidden)]
pub fn causes(
    setup: &Setup,
    seed: u64,
    until: Until,
    watch: &mut dyn FnMut(Progress) -> ControlFlow<()>,
) -> Causes {
    let causes = CauseRun::new(setup, seed);
    let rebuild = |address: Address, sums: &mut CauseSums| causes.rebuild(address, sums);
    let ran = run(seed, until, || CauseSums::new(&causes), rebuild, watch);
    causes.answer(&ran.gathered, ran.rebuilds, ran.partial)
}

/// What is worked out once for a run.
struct CauseRun<'a> {
    setup: &'a Setup,
    prices: PriceList<'a>,
    inputs: Vec<Input>,
    /// Bins of each input that is drawn as a part.
    edges: Vec<Option<Edges>>,
    halves: Vec<(Input, Setup)>,
}

impl<'a> CauseRun<'a> {
    fn new(setup: &'a Setup, seed: u64) -> Self {
        let mut inputs: Vec<Input> = Input::ALL
            .into_iter()
            .filter(|input| input.matters(setup))
            .collect();
        let surveyed: Vec<Parts> = (0..SURVEYED)
            .map(|index| setup.parts(Address::new(seed, index).partner()))
            .collect();
        let halves = inputs
            .iter()
            .filter(|input| **input != Input::Minutes)
            .filter_map(|input| {
                let (mut axle, mut shop) = (setup.axle.clone(), setup.shop.clone());
                input.halve(&mut axle, &mut shop);
                // a job stays possible: only spreads have changed
                let half = setup.with(axle, shop).ok()?;
                Some((*input, half))
            })
            .collect();
        // what draws nothing has no share of a variance
        inputs.retain(|input| !input.rounds());
        let edges = inputs
            .iter()
            .map(|input| {
                let at = |parts: &Parts| input.coordinates(setup, parts);
                let many = at(surveyed.first()?)?.of().len();
                let samples: Vec<Vec<f64>> = (0..many)
                    .map(|i| {
                        let figures = surveyed.iter().filter_map(|parts| Some(at(parts)?.of()[i]));
                        figures.collect()
                    })
                    .collect();
                Some(Edges::of(&samples))
            })
            .collect();
        Self {
            setup,
            prices: PriceList::new(setup),
            inputs,
            edges,
            halves,
        }
    }

    /// The outputs of a rebuild that took a number of minutes.
    fn outcomes(&self, rebuild: &Rebuild, minutes: f64) -> [f64; OUTPUTS] {
        outcomes(rebuild, &Ending::of(self.setup, rebuild), minutes)
    }

    fn rebuild(&self, address: Address, sums: &mut CauseSums) {
        let setup = self.setup;
        let own = setup.parts(address);
        sums.log.clear();
        let rebuild = setup.rebuild_with_guest(&own, address, &mut (), &mut sums.log);
        let minutes = setup.minutes(address, &rebuild);
        let job = JobRecord::of(setup, &self.prices, &rebuild, minutes);
        let outcomes = outcomes(&rebuild, &job.ending, minutes);
        sums.add(&rebuild, &job);
        let away = address.partner();
        let others = setup.parts(away);
        sums.log_away.clear();
        let elsewhere = setup.rebuild_with_guest(&others, away, &mut (), &mut sums.log_away);
        let outcomes_away = self.outcomes(&elsewhere, setup.minutes(away, &elsewhere));
        for (i, input) in self.inputs.iter().enumerate() {
            // everything unchanged but this
            let (again, minutes) = if *input == Input::Minutes {
                (rebuild.clone(), setup.minutes_at(away, &rebuild))
            } else {
                let mut parts = own.clone();
                input.take(setup, &others, &mut parts);
                let reseats = *input == Input::FaceRunout;
                let mut guest = Rerun::anew(&sums.log, input.source(), reseats, away);
                let again = setup.rebuild_with_guest(&parts, address, &mut (), &mut guest);
                let minutes = setup.minutes(address, &again);
                (again, minutes)
            };
            let redone = self.outcomes(&again, minutes);
            for (pairs, (y, other)) in sums.total[i].iter_mut().zip(outcomes.iter().zip(redone)) {
                pairs.add(*y, other);
            }
            match (&mut sums.first[i], &self.edges[i]) {
                (FirstOrderSums::Bins(bins), Some(edges)) => {
                    if let Some(at) = input.coordinates(setup, &own) {
                        bins.add(edges, at.of(), &outcomes);
                    }
                }
                (FirstOrderSums::Triples(crossed), _) => {
                    // everything from the other job but this
                    let (put_in, minutes) = match input.source() {
                        Some(source) => {
                            let mut guest = Rerun::with(&sums.log_away, source, &sums.log, address);
                            let put_in =
                                setup.rebuild_with_guest(&others, away, &mut (), &mut guest);
                            let minutes = setup.minutes(away, &put_in);
                            (put_in, minutes)
                        }
                        None => (elsewhere.clone(), setup.minutes_at(address, &elsewhere)),
                    };
                    let redone = self.outcomes(&put_in, minutes);
                    for (question, crossed) in crossed.iter_mut().enumerate() {
                        crossed.add(
                            outcomes[question],
                            outcomes_away[question],
                            redone[question],
                        );
                    }
                }
                (FirstOrderSums::Bins(_), None) => unreachable!("bins are laid for what is binned"),
            }
        }
        for ((_, half), pairs) in self.halves.iter().zip(&mut sums.halves) {
            pairs.add(&job, &JobRecord::at(half, &self.prices, address));
        }
    }

    fn answer(&self, sums: &CauseSums, rebuilds: u64, partial: bool) -> Causes {
        let inputs = self
            .inputs
            .iter()
            .enumerate()
            .map(|(i, input)| {
                let place: [usize; OUTPUTS] = std::array::from_fn(|place| place);
                Shares {
                    input: *input,
                    alone: place.map(|question| match &sums.first[i] {
                        FirstOrderSums::Bins(bins) => bins.first_order(question),
                        FirstOrderSums::Triples(crossed) => crossed[question].first_order(),
                    }),
                    with_others: place.map(|question| sums.total[i][question].total()),
                }
            })
            .collect();
        let differences = sums
            .halves
            .iter()
            .map(|pairs| pairs.differences(&sums.jobs));
        let differences: Vec<Differences> = differences.collect();
        let chances: Vec<f64> = differences.iter().map(chance_of_no_change).collect();
        let seen = holm(&chances, SEEN_BY_CHANCE);
        let halvings = self.halves.iter().zip(differences).zip(seen);
        let mut halvings: Vec<Halving> = halvings
            .map(|(((input, _), differences), seen)| Halving {
                input: *input,
                differences,
                seen,
            })
            .collect();
        halvings.sort_by(|a, b| {
            let money = |buy: &Halving| buy.differences.money.value;
            money(a).total_cmp(&money(b))
        });
        let loops = Loop::ALL
            .into_iter()
            .map(|which| {
                let range = &sums.ranges[which as usize];
                LoopResult {
                    stack: Stack::of(self.setup, which),
                    mean: range.moments().estimate(),
                    deviation: range.moments().deviation(),
                    half_range: range.half_range(),
                }
            })
            .collect();
        Causes {
            rebuilds,
            partial,
            first_assembly: sums.jobs.endings.first_assembly(),
            handed_over: sums.jobs.endings.handed_over(),
            clearly_out: sums.jobs.endings.clearly_out(),
            finished: sums.jobs.endings.finished(),
            hours: sums.jobs.hours.moments().estimate(),
            money: sums.jobs.cost.moments().estimate(),
            loops,
            inputs,
            halvings,
        }
    }
}

fn outcomes(rebuild: &Rebuild, ending: &Ending, minutes: f64) -> [f64; OUTPUTS] {
    let indicator = |success: bool| f64::from(u8::from(success));
    [
        indicator(ending.right_first()),
        indicator(ending.outcome == Outcome::Right),
        minutes / 60.0,
        rebuild.first.depth,
        rebuild.first.backlash,
        rebuild.first.closure,
    ]
}

/// What is gathered for the first-order index of an input.
#[allow(clippy::large_enum_variant, reason = "a few of them in a whole run")]
enum FirstOrderSums {
    Bins(OutcomeBins<OUTPUTS>),
    Triples([OutcomeTriples; OUTPUTS]),
}

/// Sums of one block, or of all of them.
struct CauseSums {
    jobs: JobSums,
    ranges: [Range; 3],
    first: Vec<FirstOrderSums>,
    total: Vec<[OutcomePairs; OUTPUTS]>,
    halves: Vec<PairSums>,
    /// Figures drawn at the bench in the current rebuild.
    log: Log,
    /// The same of the independent rebuild.
    log_away: Log,
}

impl CauseSums {
    fn new(of: &CauseRun<'_>) -> Self {
        let first = |edges: &Option<Edges>| match edges {
            Some(edges) => FirstOrderSums::Bins(OutcomeBins::new(edges)),
            None => FirstOrderSums::Triples([OutcomeTriples::default(); OUTPUTS]),
        };
        Self {
            jobs: JobSums::default(),
            ranges: Default::default(),
            first: of.edges.iter().map(first).collect(),
            total: vec![[OutcomePairs::default(); OUTPUTS]; of.inputs.len()],
            halves: vec![PairSums::default(); of.halves.len()],
            log: Log::default(),
            log_away: Log::default(),
        }
    }

    fn add(&mut self, rebuild: &Rebuild, job: &JobRecord) {
        self.jobs.add(job);
        let first = &rebuild.first;
        let loops = [first.depth, first.backlash, first.closure];
        for (range, figure) in self.ranges.iter_mut().zip(loops) {
            range.add(figure);
        }
    }
}

impl Gather for CauseSums {
    fn merge(&mut self, later: Self) {
        self.jobs.merge(&later.jobs);
        for (own, more) in self.ranges.iter_mut().zip(&later.ranges) {
            own.merge(more);
        }
        for (own, more) in self.first.iter_mut().zip(&later.first) {
            match (own, more) {
                (FirstOrderSums::Bins(own), FirstOrderSums::Bins(more)) => own.merge(more),
                (FirstOrderSums::Triples(own), FirstOrderSums::Triples(more)) => {
                    for (own, more) in own.iter_mut().zip(more) {
                        own.merge(more);
                    }
                }
                _ => unreachable!("blocks of one run are alike"),
            }
        }
        for (own, more) in self.total.iter_mut().zip(&later.total) {
            merge(own, more);
        }
        for (own, more) in self.halves.iter_mut().zip(&later.halves) {
            own.merge(more);
        }
    }

    fn half_width(&self) -> f64 {
        self.jobs.endings.half_width()
    }
}

fn merge(own: &mut [OutcomePairs; OUTPUTS], later: &[OutcomePairs; OUTPUTS]) {
    for (own, more) in own.iter_mut().zip(later) {
        own.merge(more);
    }
}

#[cfg(test)]
#[path = "../tests/causes.rs"]
mod tests;
