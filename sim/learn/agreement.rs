//! Whether a shop's jobs look like those that are simulated for it, figure by figure.
//!
//! Groups of simulated jobs, as many as the shop has and of the same kinds, with the same figures stated,
//! say how far a group strays by chance. So the test needs no law of any figure, and its level holds for
//! all of them together, however they hang together.
//!
//! # Source
//! Westfall and Young, "Resampling-based multiple testing" (1993), section 2.3: chances of the oddest of
//! many. Van der Waerden's normal scores: what is compared are the places of the shop's figures among the
//! simulated ones, so that a single wild figure does not decide.

use rayon::prelude::*;

use super::{FinishedJob, JobFigure, recorded};
use crate::bench::setup::Setup;
use crate::chance::dice::{Address, Dice, Purpose};
use crate::count::estimate::{Estimate, Moments};
use crate::count::normal::normal_score;

/// Figures of jobs that say something of a place or a scatter, at the least.
const LEAST: usize = 5;
/// Simulated jobs of each kind: so many, or so many for each of the shop's where that is more.
const SIMULATED: usize = 8_000;
const SIMULATED_EACH: usize = 40;
/// Groups of simulated jobs.
const GROUPS: u64 = 4_999;
/// Ends of a two-sided 95 % interval.
const ENDS: [f64; 2] = [0.025, 0.975];

/// What is asked.
#[derive(Debug, Clone, Copy)]
pub struct Question<'a> {
    /// Kinds of job: gears and bearings, new or kept.
    pub kinds: &'a [Setup],
    /// The shop's jobs, each with the number of its kind.
    pub jobs: &'a [(usize, FinishedJob)],
    /// Seed of the simulated jobs.
    pub seed: u64,
}

/// The shop's jobs beside the simulated ones.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Agreement {
    /// Every figure that a job states, in the order of [`JobFigure::ALL`].
    pub differences: Vec<Difference>,
    /// Chance that a shop whose jobs are as simulated shows anything as odd as the oddest here; `None`
    /// where no figure is stated by enough jobs.
    pub chance: Option<f64>,
    /// Jobs simulated.
    pub rebuilds: u64,
}

/// One figure of the shop's jobs beside that of simulated ones.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Difference {
    /// Which.
    pub figure: JobFigure,
    /// The shop's figures, smallest first.
    pub shop: Vec<f64>,
    /// Those of the simulated jobs, smallest first; each kind as often as the shop has it.
    pub simulated: Vec<f64>,
    /// Mean of the shop's.
    pub mean: Estimate,
    /// Mean of the simulated ones; `None` where none of them comes to state it.
    pub simulated_mean: Option<f64>,
    /// How far the shop's lie from the simulated ones, in standard deviations of these; `None` for few.
    pub place: Option<Tested>,
    /// How many times as wide they scatter; `None` for few and for counts.
    pub scatter: Option<Tested>,
}

/// A figure with its test.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Tested {
    /// The figure, with its interval.
    pub found: Estimate,
    /// Chance that a shop whose jobs are as simulated shows anything as odd as this, of all figures that
    /// are looked at.
    pub chance: f64,
}

/// Holds the shop's jobs against simulated ones of the same kinds.
///
/// # Example
/// Jobs that were simulated themselves agree:
/// ```
/// use shimcast_sim::chance::dice::Address;
/// use shimcast_sim::learn::{Question, agreement, recorded};
///
/// let kinds = [shimcast_sim::demo::setup()];
/// let jobs: Vec<_> = (0..20)
///     .map(|number| (0, recorded(&kinds[0], Address::new(7, number))))
///     .collect();
/// let found = agreement(&Question { kinds: &kinds, jobs: &jobs, seed: 1 });
/// assert!(found.chance.expect("20 jobs") > 0.01);
/// ```
pub fn agreement(asked: &Question<'_>) -> Agreement {
    let count = SIMULATED.max(SIMULATED_EACH * asked.jobs.len());
    beside(asked, &Pools::simulated(asked, count))
}

/// Simulated jobs of each kind that the shop has.
pub(super) struct Pools(Vec<Option<Pool>>);

impl Pools {
    pub(super) fn simulated(asked: &Question<'_>, count: usize) -> Self {
        let root = Address::new(asked.seed, 0x4a6f_6273);
        let kinds = asked.kinds.iter().enumerate().map(|(kind, setup)| {
            let used = asked.jobs.iter().any(|(of, _)| *of == kind);
            used.then(|| Pool::simulated(setup, root.within(kind as u64), count))
        });
        Self(kinds.collect())
    }
}

/// Holds the shop's jobs against these.
pub(super) fn beside(asked: &Question<'_>, Pools(pools): &Pools) -> Agreement {
    let root = Address::new(asked.seed, 0x4265_7369_6465);
    let simulated: usize = pools.iter().flatten().map(|pool| pool.jobs.len()).sum();
    let pool_of = |kind: usize| pools[kind].as_ref().expect("a kind in use");
    let stated: Vec<(&Pool, Figures)> = (asked.jobs.iter())
        .map(|(kind, job)| (pool_of(*kind), figures(&asked.kinds[*kind], job)))
        .collect();
    let tests = Tests::of(&stated);
    let shop = tests.of_shop(&stated);
    let groups: Vec<Vec<f64>> = (0..GROUPS)
        .into_par_iter()
        .map(|group| {
            let mut dice = root.within(group).stream(Purpose::Beside);
            tests.of_group(&stated, &mut dice)
        })
        .collect();
    let null: Vec<Vec<f64>> = (0..shop.len())
        .map(|test| sorted(groups.iter().map(|group| group[test])))
        .collect();
    let chances = |of: &[f64]| -> Vec<f64> {
        let each = of.iter().zip(&null);
        each.map(|(value, null)| either_way(null, *value)).collect()
    };
    let least = |of: &[f64]| chances(of).into_iter().fold(1.0, f64::min);
    let oddest = sorted(
        groups
            .par_iter()
            .map(|group| least(group))
            .collect::<Vec<_>>(),
    );
    let over_all = |chance: f64| {
        let as_odd = oddest.partition_point(|other| *other <= chance + 1e-12);
        (1 + as_odd) as f64 / (1 + oddest.len()) as f64
    };
    let own: Vec<f64> = chances(&shop).into_iter().map(over_all).collect();
    let tested = |figure, of| tests.tested(figure, of, (&shop, &null, &own));
    let differences = JobFigure::ALL.into_iter().filter_map(|figure| {
        let shop = sorted(stated.iter().filter_map(|(_, job)| job[figure as usize]));
        let moments = Moments::of(shop.iter().copied());
        let simulated = as_often(&stated, figure);
        (!shop.is_empty()).then(|| Difference {
            figure,
            mean: moments.estimate(),
            simulated_mean: (!simulated.is_empty())
                .then(|| simulated.iter().sum::<f64>() / simulated.len() as f64),
            place: tested(figure, Of::Place),
            scatter: tested(figure, Of::Scatter),
            shop,
            simulated,
        })
    });
    Agreement {
        differences: differences.collect(),
        chance: own.into_iter().min_by(f64::total_cmp),
        rebuilds: simulated as u64,
    }
}

/// Figures of one job, in the order of [`JobFigure`].
type Figures = [Option<f64>; JobFigure::ALL.len()];

fn figures(setup: &Setup, job: &FinishedJob) -> Figures {
    let mut all = Figures::default();
    for figure in JobFigure::ALL {
        all[figure as usize] = figure.of(setup, job);
    }
    all
}

fn sorted(values: impl IntoIterator<Item = f64>) -> Vec<f64> {
    let mut all: Vec<f64> = values.into_iter().collect();
    all.sort_by(f64::total_cmp);
    all
}

/// Chance of a value as far out among sorted ones, to either side.
fn either_way(among: &[f64], value: f64) -> f64 {
    let below = among.partition_point(|other| *other <= value);
    let above = among.len() - among.partition_point(|other| *other < value);
    let side = 1 + below.min(above);
    (2.0 * side as f64 / (1 + among.len()) as f64).min(1.0)
}

/// Simulated jobs of one kind.
struct Pool {
    /// For each job its scores, as [`JobFigure`] orders them.
    jobs: Vec<Figures>,
    /// For each figure all that there are, smallest first.
    values: Vec<Vec<f64>>,
}

impl Pool {
    fn simulated(setup: &Setup, root: Address, count: usize) -> Self {
        let mut jobs: Vec<Figures> = (0..count as u64)
            .into_par_iter()
            .map(|number| figures(setup, &recorded(setup, root.within(number))))
            .collect();
        let of = |figure: usize| sorted(jobs.iter().filter_map(|job| job[figure]));
        let values: Vec<Vec<f64>> = (0..JobFigure::ALL.len()).map(of).collect();
        jobs.par_iter_mut().for_each(|job| {
            for (figure, values) in job.iter_mut().zip(&values) {
                *figure = figure.map(|value| score(values, value));
            }
        });
        Self { jobs, values }
    }
}

/// The place of a value among sorted ones, as a normal deviate.
fn score(among: &[f64], value: f64) -> f64 {
    let below = among.partition_point(|other| *other < value);
    let up_to = among.partition_point(|other| *other <= value);
    let rank = 0.5 * (below + up_to) as f64;
    let count = among.len() as f64;
    normal_score(rank.clamp(0.5, count - 0.5) / count)
}

/// Simulated figures, each kind of job as often as the shop states it.
fn as_often(stated: &[(&Pool, Figures)], figure: JobFigure) -> Vec<f64> {
    /// So many for each of the shop's.
    const EACH: usize = 50;
    let of = |pool: &Pool| -> Vec<f64> {
        let values = &pool.values[figure as usize];
        let step = values.len() as f64 / EACH as f64;
        let at = |i: usize| values.get(((i as f64 + 0.5) * step) as usize).copied();
        (0..EACH).filter_map(at).collect()
    };
    let given = stated
        .iter()
        .filter(|(_, job)| job[figure as usize].is_some());
    sorted(given.flat_map(|(pool, _)| of(pool)))
}

/// What of a figure is tested.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Of {
    Place,
    Scatter,
}

/// All that is tested.
struct Tests(Vec<(JobFigure, Of)>);

impl Tests {
    fn of(stated: &[(&Pool, Figures)]) -> Self {
        let enough = |figure: &JobFigure| {
            let given = stated.iter().filter(|(pool, job)| {
                job[*figure as usize].is_some() && !pool.values[*figure as usize].is_empty()
            });
            given.count() >= LEAST
        };
        let both = |figure: JobFigure| match figure.is_count() {
            true => vec![(figure, Of::Place)],
            false => vec![(figure, Of::Place), (figure, Of::Scatter)],
        };
        let all = JobFigure::ALL.into_iter().filter(enough);
        Self(all.flat_map(both).collect())
    }

    /// The tested figures of the shop's own jobs.
    fn of_shop(&self, stated: &[(&Pool, Figures)]) -> Vec<f64> {
        self.told(|figure, sums| {
            for (pool, job) in stated {
                let among = &pool.values[figure as usize];
                if let (Some(value), false) = (job[figure as usize], among.is_empty()) {
                    sums.add(score(among, value));
                }
            }
        })
    }

    /// Those of as many simulated jobs with the same figures stated.
    fn of_group(&self, stated: &[(&Pool, Figures)], dice: &mut Dice) -> Vec<f64> {
        let chosen: Vec<&Figures> = (stated.iter())
            .map(|(pool, _)| any_of(&pool.jobs, dice))
            .collect();
        self.told(|figure, sums| {
            let number = figure as usize;
            for ((pool, job), chosen) in stated.iter().zip(&chosen) {
                if job[number].is_none() || pool.values[number].is_empty() {
                    continue;
                }
                // where nothing of the kind happened in the chosen job, another one's figure
                let mut found = chosen[number];
                while found.is_none() {
                    found = any_of(&pool.jobs, dice)[number];
                }
                sums.add(found.unwrap_or_default());
            }
        })
    }

    fn told(&self, mut add: impl FnMut(JobFigure, &mut Sums)) -> Vec<f64> {
        let mut all = Vec::with_capacity(self.0.len());
        let mut last = (None, Sums::default());
        for (figure, of) in &self.0 {
            if last.0 != Some(*figure) {
                last = (Some(*figure), Sums::default());
                add(*figure, &mut last.1);
            }
            all.push(match of {
                Of::Place => last.1.mean(),
                Of::Scatter => last.1.deviation(),
            });
        }
        all
    }

    /// A figure of the shop's with interval and chance: what groups of simulated jobs show is taken to be
    /// how the shop's would stray.
    fn tested(
        &self,
        figure: JobFigure,
        of: Of,
        (shop, null, chances): (&[f64], &[Vec<f64>], &[f64]),
    ) -> Option<Tested> {
        let place = |of: Of| self.0.iter().position(|test| *test == (figure, of));
        let at = place(of)?;
        let end = |test: usize, share: f64| null[test][(share * GROUPS as f64) as usize];
        let middle = |test: usize| end(test, 0.5);
        let [low, high] = ENDS.map(|share| end(at, share));
        let wider = place(Of::Scatter).map_or(1.0, |scatter| shop[scatter] / middle(scatter));
        let (value, low, high) = match of {
            Of::Place => {
                let by = shop[at] - middle(at);
                let strays = |end: f64| wider * (end - middle(at));
                (by, by - strays(high), by - strays(low))
            }
            Of::Scatter => (wider, shop[at] / high, shop[at] / low),
        };
        Some(Tested {
            found: Estimate {
                value,
                low,
                high,
                n: GROUPS,
            },
            chance: chances[at],
        })
    }
}

fn any_of<'a, T>(all: &'a [T], dice: &mut Dice) -> &'a T {
    &all[((dice.uniform() * all.len() as f64) as usize).min(all.len() - 1)]
}

/// Sums of scores.
#[derive(Debug, Clone, Copy, Default)]
struct Sums {
    count: f64,
    sum: f64,
    squares: f64,
}

impl Sums {
    fn add(&mut self, score: f64) {
        self.count += 1.0;
        self.sum += score;
        self.squares += score * score;
    }

    fn mean(&self) -> f64 {
        self.sum / self.count
    }

    fn deviation(&self) -> f64 {
        let own = self.squares - self.count * self.mean() * self.mean();
        (own.max(0.0) / (self.count - 1.0)).sqrt()
    }
}
