//! The plan: the levels that hold a share of jobs and cost least at the till, and the best ones for a
//! sum of money.
//!
//! On the first of three samples the levels are found; since levels fitted to one sample do worse
//! on any other, a second one checks them, and the target on the first is raised until the check
//! reaches it with its whole interval. The third, which had no part in the search, gives the
//! reported figure.

use super::drawer::Rules;
use super::pace::{Pace, down_from};
use super::service::service;
use super::shelf::Shelf;
use super::tape::Sample;
use super::targets::Targets;
use super::tighten::tighten;
use super::till::{Till, in_whole_packs};
use super::trials::{Counting, Levels, Standing, Trials};
use super::walk::{Goal, descend, walk};

/// Limit of how often the target is raised.
const MOST_RAISES: usize = 25;

/// Share of the drawer from which the best one for a sum of money is searched.
const STARTS_AT: f64 = 0.95;

/// Progress of a search.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct SearchProgress {
    /// The present step, in words.
    pub doing: &'static str,
    /// The share of jobs served so far, where shims are being added.
    pub served: Option<f64>,
}

/// Called between steps with the progress; false breaks the search off.
pub type Watch<'a> = &'a mut dyn FnMut(SearchProgress) -> bool;

/// The samples of a search.
pub(super) struct Samples<'a> {
    /// A small one, on which the search begins.
    pub rough: Sample,
    /// Levels are found on this one.
    pub fit: &'a Sample,
    /// Draws the one that they are checked on, far larger: it is held only while it is played.
    pub check: &'a dyn Fn() -> Sample,
}

/// Levels found, with the result of the check.
#[derive(Debug, Clone)]
pub(super) struct CheckedPlan {
    /// A level for each size of each series.
    pub levels: Levels,
    /// Whether the check reached the target.
    pub held: bool,
    /// Jobs drawn to check it.
    pub jobs: usize,
}

/// A search for the cheapest levels that hold a share of jobs: marginal analysis from an empty
/// drawer on, then drop and swap.
pub(super) struct Search<'a> {
    shelves: &'a [Shelf],
    rules: &'a Rules,
    samples: &'a Samples<'a>,
    till: Till<'a>,
    trials: Trials<'a>,
    standing: Standing,
    targets: &'a Targets,
    /// Targets on the first sample, raised so that other samples reach them.
    raised: Vec<f64>,
    begun: bool,
}

impl<'a> Search<'a> {
    /// Begins with what is there before anything is bought.
    pub fn new(
        shelves: &'a [Shelf],
        rules: &'a Rules,
        samples: &'a Samples<'a>,
        till: Till<'a>,
        targets: &'a Targets,
    ) -> Self {
        let fit = (samples.fit, &targets.own()[..]);
        let mut trials = Trials::new(shelves, till.clone(), *rules, fit);
        Self {
            standing: trials.standing(till.there().clone()),
            shelves,
            rules,
            samples,
            till,
            trials,
            targets,
            raised: targets.shares(),
            begun: false,
        }
    }

    /// Begins on the small sample, which leaves little to do on the large one.
    fn begin(&mut self, watch: Watch<'_>) -> Option<()> {
        let levels = quick(
            self.shelves,
            self.rules,
            &self.till,
            &self.samples.rough,
            (self.targets, &self.raised),
            watch,
        )?;
        self.standing = self.trials.standing(levels);
        self.begun = true;
        Some(())
    }

    /// Searches until the check reaches the target with its whole interval; `None` where it was
    /// broken off.
    pub fn find(&mut self, watch: Watch<'_>) -> Option<CheckedPlan> {
        if !self.begun {
            self.begin(watch)?;
        }
        let targets = self.targets.shares();
        let (mut held, mut check) = (false, None);
        for _ in 0..MOST_RAISES {
            let goal = Goal::Waits(self.targets.most_waits(self.samples.fit, &self.raised));
            let standing = self.standing.clone();
            self.standing = search(&mut self.trials, standing, &goal, watch)?;
            let levels = &self.standing.levels;
            let check = check.get_or_insert_with(self.samples.check);
            let checked = service(self.shelves, self.rules, check, levels, levels);
            let reached = self.targets.reached(&checked, check.unit);
            let missing: Vec<f64> = targets
                .iter()
                .zip(&reached)
                .map(|(target, reached)| target - reached.low)
                .collect();
            held = missing.iter().all(|missing| *missing <= 0.0);
            if held || self.standing.waits[0] == 0 {
                break;
            }
            self.raise(&missing);
        }
        let standing = without_idle(&mut self.trials, self.standing.clone());
        Some(CheckedPlan {
            levels: standing.levels,
            held,
            jobs: check.map_or(0, |check| check.played),
        })
    }

    /// Raises the targets on the first sample by the shortfalls on another.
    pub fn raise(&mut self, missing: &[f64]) {
        let counts = self.targets.counts(self.samples.fit);
        let own = self.standing.waits.iter().zip(counts);
        for ((raised, missing), (waits, jobs)) in self.raised.iter_mut().zip(missing).zip(own) {
            if *missing > 0.0 && jobs > 0 {
                let jobs = jobs as f64;
                let reached = 1.0 - *waits as f64 / jobs;
                // by at least one job, or the same levels result again
                *raised = (raised.max(reached) + missing.max(1.0 / jobs)).min(1.0);
            }
        }
    }
}

/// Levels that hold these shares on one sample, by large steps first where much is wanted of a size.
pub(super) fn quick(
    shelves: &[Shelf],
    rules: &Rules,
    till: &Till<'_>,
    sample: &Sample,
    (targets, shares): (&Targets, &[f64]),
    watch: Watch<'_>,
) -> Option<Levels> {
    let own = targets.own();
    let mut trials = Trials::new(shelves, till.clone(), *rules, (sample, &own[..]));
    let goal = Goal::Waits(targets.most_waits(sample, shares));
    let pace = Pace::of(shelves, rules, sample, till);
    let mut standing = trials.standing(pace.start);
    for packs in pace.steps {
        trials.till = till.by(packs);
        standing = search(&mut trials, standing, &goal, watch)?;
    }
    Some(standing.levels)
}

/// The levels that serve most jobs for a sum of money, as far as the search finds them.
///
/// From a drawer that serves [`STARTS_AT`], shims are taken out or added until the money is spent,
/// then dropped and swapped: from an empty drawer, where no single shim finishes a job, the gains
/// are too uncertain.
pub(super) fn best_for(
    shelves: &[Shelf],
    rules: &Rules,
    samples: &Samples<'_>,
    (till, budget): (&Till<'_>, f64),
    watch: Watch<'_>,
) -> Option<CheckedPlan> {
    let targets = Targets::all(STARTS_AT);
    let mut search_from = Search::new(shelves, rules, samples, till.clone(), &targets);
    search_from.begin(watch)?;
    let Search {
        mut trials,
        standing,
        ..
    } = search_from;
    let goal = Goal::Money(budget);
    let standing = descend(&mut trials, standing, &goal, &mut Vec::new(), &mut || {
        watch(SearchProgress {
            doing: "taking shims out until the money is enough",
            served: None,
        })
    })?;
    let standing = search(&mut trials, standing, &goal, watch)?;
    Some(CheckedPlan {
        levels: without_idle(&mut trials, standing).levels,
        held: true,
        jobs: 0,
    })
}

/// Takes back what was there and helps nobody: levels to which nothing was bought go down as far as
/// no more jobs wait, so that nothing is ordered one day that nobody wants.
fn without_idle(trials: &mut Trials<'_>, mut standing: Standing) -> Standing {
    for series in 0..standing.levels.len() {
        for size in 0..standing.levels[series].len() {
            let there = trials.till.there()[series][size];
            if there == 0 || standing.levels[series][size] > there {
                continue;
            }
            let (mut enough, mut too_low) = (there, None);
            while enough > too_low.map_or(0, |low: u32| low + 1) {
                let level = too_low.map_or(0, |low| low + (enough - low) / 2);
                let mut levels = standing.levels[series].clone();
                levels[size] = level;
                let tried = trials.results(vec![(series, levels)]);
                let everything = Counting::everything();
                let (waits, _) = trials.change(&standing, series, &tried[0], &everything);
                if waits.iter().any(|waits| *waits > 0) {
                    too_low = Some(level);
                } else {
                    enough = level;
                }
            }
            let mut levels = standing.levels.clone();
            levels[series][size] = enough;
            standing = trials.standing(levels);
        }
    }
    standing
}

/// Drawers from an empty one to one that serves a share of jobs, through given levels: shims are
/// taken out of these down to none, on the first sample, and added to them, on the second.
pub(super) fn through(
    shelves: &[Shelf],
    rules: &Rules,
    (below, above): (&Sample, &Sample),
    levels: &Levels,
    share: f64,
    watch: Watch<'_>,
) -> Option<Vec<Levels>> {
    let mut go_on = || {
        watch(SearchProgress {
            doing: "working out what more or less money would serve",
            served: None,
        })
    };
    let (mut down, mut up) = (Vec::new(), Vec::new());
    let till = Till::empty(shelves);
    let levels = &in_whole_packs(shelves, levels);
    let stages = down_from(shelves, levels);
    let mut trials = Trials::new(shelves, till.clone(), *rules, (below, &[]));
    let mut standing = trials.standing(levels.clone());
    for packs in &stages {
        trials.till = till.by(packs.clone());
        let goal = Goal::Money(0.0);
        standing = descend(&mut trials, standing, &goal, &mut down, &mut go_on)?;
    }
    let large = stages.first().map(|packs| till.by(packs.clone()));
    let mut trials = Trials::new(shelves, large.unwrap_or(till), *rules, (above, &[]));
    let standing = trials.standing(levels.clone());
    let goal = Goal::Waits(Targets::all(share).most_waits(above, &[share]));
    walk(&mut trials, standing, &goal, &mut up, &mut |_, _| go_on())?;
    down.reverse();
    let all = down.into_iter().chain(up.into_iter().skip(1));
    let mut all: Vec<Levels> = all.map(|point| point.levels).collect();
    // each stage of the way begins where the one before ends
    all.dedup();
    Some(all)
}

fn search(
    trials: &mut Trials<'_>,
    from: Standing,
    goal: &Goal,
    watch: Watch<'_>,
) -> Option<Standing> {
    let fewer = SearchProgress {
        doing: "looking for fewer or cheaper shims that serve as well",
        served: None,
    };
    // steps from before may have led past the goal
    let from = match goal.is_met(&from.waits) {
        true => descend(trials, from, goal, &mut Vec::new(), &mut || watch(fewer))?,
        false => from,
    };
    let mut walking = |served: usize, jobs: usize| {
        watch(SearchProgress {
            doing: "adding shims to the drawer",
            served: Some(served as f64 / jobs.max(1) as f64),
        })
    };
    let standing = walk(trials, from, goal, &mut Vec::new(), &mut walking)?;
    tighten(trials, standing, goal, &mut || watch(fewer))
}
