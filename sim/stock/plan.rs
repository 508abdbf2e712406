//! The plan: the cheapest levels that hold a share of jobs, and the best ones for a sum of money.
//!
//! Three samples take part. On the first the levels are found; since levels fitted to one sample do
//! worse on any other, a second one checks them, and the target on the first is raised until the
//! check holds it with its whole interval. The third, of which nothing was ever asked before, gives
//! the figure that is reported.

use super::drawer::Rules;
use super::service::{Service, service};
use super::shelf::Shelf;
use super::tape::Sample;
use super::tighten::tighten;
use super::trials::{Levels, Standing, Trials};
use super::walk::{Goal, Point, walk};

/// Times that the target is raised before it is given up.
const MOST_RAISES: usize = 25;

/// How far a search has come.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Step {
    /// What is being done, in words.
    pub doing: &'static str,
    /// The share that is done.
    pub done: f64,
}

/// Told between steps; false breaks the search off.
pub type Watch<'a> = &'a mut dyn FnMut(Step) -> bool;

/// The samples that a search leans on.
#[derive(Debug)]
pub struct Samples {
    /// Levels are found on this one.
    pub fit: Sample,
    /// And checked on this one.
    pub check: Sample,
}

/// Levels with the walk that led to them.
#[derive(Debug, Clone)]
pub struct Plan {
    /// A level for each size of each series.
    pub levels: Levels,
    /// Whether the check held the target.
    pub held: bool,
    /// Drawers on the way from an empty one to beyond the plan, and what they cost.
    pub path: Vec<(Levels, f64)>,
}

/// The cheapest levels found that hold a share of jobs.
///
/// Marginal analysis from an empty drawer, then drop and swap; see the parts of this module for
/// both. `None` where it was broken off.
pub fn cheapest(
    shelves: &[Shelf],
    rules: &Rules,
    samples: &Samples,
    target: f64,
    watch: Watch<'_>,
) -> Option<Plan> {
    let mut trials = Trials::new(shelves, *rules, &samples.fit);
    let empty = trials.standing(empty(shelves));
    let mut path = Vec::new();
    let jobs = samples.fit.jobs;
    let most = |share: f64| ((1.0 - share) * jobs as f64 + 1e-9).floor().max(0.0) as usize;
    let mut raised = target;
    let mut standing = empty;
    let mut held = false;
    for raise in 0..MOST_RAISES {
        let goal = Goal::Waits(most(raised));
        let mut aside = Vec::new();
        let on_the_way = if raise == 0 { &mut path } else { &mut aside };
        standing = search(&mut trials, standing, goal, on_the_way, watch)?;
        let checked = service(
            shelves,
            rules,
            &samples.check,
            &standing.levels,
            &standing.levels,
        );
        held = checked.job_fill.low >= target;
        if held || standing.waits == 0 {
            break;
        }
        let missing = target - checked.job_fill.low;
        let reached = 1.0 - standing.waits as f64 / jobs as f64;
        // at least one job fewer, or the same levels come out again
        raised = (raised.max(reached) + missing.max(1.0 / jobs as f64)).min(1.0);
    }
    Some(Plan {
        levels: standing.levels,
        held,
        path: plain(path),
    })
}

/// The levels found that serve most jobs for a sum of money.
pub fn best_for(
    shelves: &[Shelf],
    rules: &Rules,
    samples: &Samples,
    budget: f64,
    watch: Watch<'_>,
) -> Option<Plan> {
    let mut trials = Trials::new(shelves, *rules, &samples.fit);
    let empty = trials.standing(empty(shelves));
    let mut path = Vec::new();
    let standing = search(&mut trials, empty, Goal::Money(budget), &mut path, watch)?;
    Some(Plan {
        levels: standing.levels,
        held: true,
        path: plain(path),
    })
}

/// The walk alone, from levels on until a share of jobs is served on the sample.
pub fn onward(
    shelves: &[Shelf],
    rules: &Rules,
    samples: &Samples,
    from: &Levels,
    share: f64,
    watch: Watch<'_>,
) -> Option<Vec<(Levels, f64)>> {
    let mut trials = Trials::new(shelves, *rules, &samples.fit);
    let standing = trials.standing(from.clone());
    let most = ((1.0 - share) * samples.fit.jobs as f64) as usize;
    let mut path = Vec::new();
    let mut go_on = |_: usize, _: usize| {
        watch(Step {
            doing: "following the curve",
            done: 1.0,
        })
    };
    walk(&mut trials, standing, Goal::Waits(most), &mut path, &mut go_on)?;
    Some(plain(path))
}

fn search(
    trials: &mut Trials<'_>,
    from: Standing,
    goal: Goal,
    path: &mut Vec<Point>,
    watch: Watch<'_>,
) -> Option<Standing> {
    let mut walking = |served: usize, jobs: usize| {
        watch(Step {
            doing: "filling the drawer",
            done: served as f64 / jobs.max(1) as f64,
        })
    };
    let standing = walk(trials, from, goal, path, &mut walking)?;
    tighten(trials, standing, goal, &mut || {
        watch(Step {
            doing: "dropping and swapping",
            done: 1.0,
        })
    })
}

fn plain(path: Vec<Point>) -> Vec<(Levels, f64)> {
    path.into_iter().map(|p| (p.levels, p.money)).collect()
}

/// No shim of any size.
pub fn empty(shelves: &[Shelf]) -> Levels {
    shelves.iter().map(|s| vec![0; s.sizes.len()]).collect()
}

/// The usual habit: so many of every size.
pub fn equal(shelves: &[Shelf], count: u32) -> Levels {
    shelves.iter().map(|s| vec![count; s.sizes.len()]).collect()
}

/// The smallest equal count that serves a share of jobs, and what it does; `None` beyond `most`.
pub fn equal_for(
    shelves: &[Shelf],
    rules: &Rules,
    sample: &Sample,
    share: f64,
    most: u32,
) -> Option<(u32, Service)> {
    let at = |count| {
        let levels = equal(shelves, count);
        service(shelves, rules, sample, &levels, &levels)
    };
    let (mut low, mut high) = (0, 1);
    loop {
        let served = at(high);
        if served.job_fill.value >= share {
            break;
        }
        if high >= most {
            return None;
        }
        low = high;
        high = (2 * high).min(most);
    }
    // low does not do, high does
    while high - low > 1 {
        let middle = low + (high - low) / 2;
        if at(middle).job_fill.value >= share {
            high = middle;
        } else {
            low = middle;
        }
    }
    Some((high, at(high)))
}
