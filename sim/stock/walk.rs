//! Marginal analysis: from an empty drawer on, the next pack bought is the one that helps most for
//! its money.

use std::sync::Arc;

use super::targets::Waits;
use super::trials::{Counting, Levels, Standing, TrialResult, Trials};

/// Sizes of a series that are tried out at each step, the most promising ones.
const TRIED: usize = 2;
/// Losses that are played again together on the way down.
const LOOKED_AT: usize = 4;
/// Tolerance for equal sums of money.
pub(super) const SAME_MONEY: f64 = 1e-6;

/// The goal of a walk.
#[derive(Debug, Clone)]
pub(super) enum Goal {
    /// At most so many wait.
    Waits(Waits),
    /// At most this money.
    Money(f64),
}

impl Goal {
    /// Whether no more wait than may.
    pub(super) fn is_met(&self, waits: &Waits) -> bool {
        match self {
            Self::Waits(most) => waits.iter().zip(most).all(|(waits, most)| waits <= most),
            Self::Money(_) => false,
        }
    }

    /// Whether this money may be spent.
    pub(super) fn allows(&self, money: f64) -> bool {
        match self {
            Self::Waits(_) => true,
            Self::Money(most) => money <= most + SAME_MONEY,
        }
    }

    /// Whose credit counts on the way there.
    fn counting(&self, waits: &Waits) -> Counting {
        match self {
            Self::Waits(most) => Counting::missing(waits, most),
            Self::Money(_) => Counting::everything(),
        }
    }
}

/// A drawer on the walk.
#[derive(Debug, Clone)]
pub(super) struct Waypoint {
    pub(super) levels: Levels,
}

impl Waypoint {
    fn of(standing: &Standing) -> Self {
        Self {
            levels: standing.levels.clone(),
        }
    }
}

type TriedLevels = (Vec<u32>, Arc<TrialResult>);

/// Adds shims, a step at a time, until the goal; each drawer on the way is noted in `path`. `go_on`
/// is asked between the steps.
///
/// The gain of a step is the growth of job fill on the sample, where a job that still misses k
/// packs counts as 2⁻ᵏ of a finished one: from an empty drawer no single shim finishes a job.
pub(super) fn walk(
    trials: &mut Trials<'_>,
    mut standing: Standing,
    goal: &Goal,
    path: &mut Vec<Waypoint>,
    go_on: &mut dyn FnMut(usize, usize) -> bool,
) -> Option<Standing> {
    let shelves = trials.shelves;
    let mut options: Vec<Option<Vec<TriedLevels>>> = vec![None; shelves.len()];
    if path.is_empty() {
        path.push(Waypoint::of(&standing));
    }
    loop {
        if !go_on(trials.jobs() - standing.waits[0] as usize, trials.jobs()) {
            return None;
        }
        if goal.is_met(&standing.waits) {
            return Some(standing);
        }
        fill_in(trials, &standing, &mut options, TRIED);
        let affordable = |money: f64| goal.allows(money);
        let counting = goal.counting(&standing.waits);
        let mut best = best_of(trials, &standing, &options, (&counting, &affordable));
        if best.is_none() {
            // the promising sizes may not help where others do
            options.fill(None);
            fill_in(trials, &standing, &mut options, usize::MAX);
            best = best_of(trials, &standing, &options, (&counting, &affordable))
                .or_else(|| most_promising(trials, &standing, &affordable));
        }
        let Some((series, levels)) = best else {
            return Some(standing);
        };
        let mut all = standing.levels.clone();
        all[series] = levels;
        standing = trials.standing(all);
        options[series] = None;
        path.push(Waypoint::of(&standing));
    }
}

/// Plays the most promising sizes of every series that has none played.
fn fill_in(
    trials: &mut Trials<'_>,
    standing: &Standing,
    options: &mut [Option<Vec<TriedLevels>>],
    most: usize,
) {
    let mut wanted = Vec::new();
    for (series, played) in options.iter().enumerate() {
        if played.is_none() {
            let one_more = promising(trials, standing, series).into_iter().take(most);
            wanted.extend(one_more.map(|i| (series, a_step_more(trials, standing, series, i))));
        }
    }
    let outcomes = trials.results(wanted.clone());
    for played in options.iter_mut() {
        played.get_or_insert_with(Vec::new);
    }
    for ((series, levels), outcome) in wanted.into_iter().zip(outcomes) {
        if let Some(played) = &mut options[series] {
            played.push((levels, outcome));
        }
    }
}

fn a_step_more(trials: &Trials<'_>, standing: &Standing, series: usize, size: usize) -> Vec<u32> {
    let mut levels = standing.levels[series].clone();
    levels[size] += trials.till.step(series, size);
    levels
}

/// Sizes of a series that missing packs lacked, the most lacking for their money first.
fn promising(trials: &Trials<'_>, standing: &Standing, series: usize) -> Vec<usize> {
    let hints = &standing.outcomes[series].hints;
    let worth = |i: &usize| hints[*i] / trials.till.price(series, *i).max(SAME_MONEY);
    let mut sizes: Vec<usize> = (0..hints.len()).filter(|i| hints[*i] > 0.0).collect();
    sizes.sort_by(|a, b| worth(b).total_cmp(&worth(a)).then(a.cmp(b)));
    sizes
}

/// The option that gains most for its money, if any gains at all.
fn best_of(
    trials: &Trials<'_>,
    standing: &Standing,
    options: &[Option<Vec<TriedLevels>>],
    (counting, affordable): (&Counting, &dyn Fn(f64) -> bool),
) -> Option<(usize, Vec<u32>)> {
    let mut best: Option<(f64, usize, &Vec<u32>)> = None;
    for (series, options) in options.iter().enumerate() {
        for (levels, outcome) in options.iter().flatten() {
            let price = price_of(trials, standing, series, levels);
            if !affordable(standing.money + price) {
                continue;
            }
            let (_, gain) = trials.change(standing, series, outcome, counting);
            let rate = gain / price.max(SAME_MONEY);
            if gain > 0.0 && best.is_none_or(|(most, _, _)| rate > most) {
                best = Some((rate, series, levels));
            }
        }
    }
    best.map(|(_, series, levels)| (series, levels.clone()))
}

fn price_of(trials: &Trials<'_>, standing: &Standing, series: usize, levels: &[u32]) -> f64 {
    let prices = trials.shelves[series].prices.iter();
    let more = levels.iter().zip(&standing.levels[series]);
    // whole packs beyond what was bought, so that all of it is paid
    prices
        .zip(more)
        .map(|(price, (after, before))| price * (f64::from(*after) - f64::from(*before)))
        .sum()
}

/// Where no single step helps, the size that most packs lack along with others.
fn most_promising(
    trials: &Trials<'_>,
    standing: &Standing,
    affordable: &dyn Fn(f64) -> bool,
) -> Option<(usize, Vec<u32>)> {
    let mut best: Option<(f64, usize, usize)> = None;
    for series in 0..trials.shelves.len() {
        let price = |i: usize| trials.till.price(series, i);
        let first = promising(trials, standing, series)
            .into_iter()
            .find(|i| affordable(standing.money + price(*i)));
        if let Some(i) = first {
            let rate = standing.outcomes[series].hints[i] / price(i).max(SAME_MONEY);
            if best.is_none_or(|(most, _, _)| rate > most) {
                best = Some((rate, series, i));
            }
        }
    }
    best.map(|(_, series, i)| (series, a_step_more(trials, standing, series, i)))
}

/// Takes shims out, a step at a time, down to what is there or a goal: always those whose loss costs
/// fewest jobs for their money. Each drawer on the way is noted in `path`.
///
/// The cost of losing a shim hardly ever falls as the drawer empties, so an older figure is a lower
/// bound, and only the most promising ones are played again.
pub(super) fn descend(
    trials: &mut Trials<'_>,
    mut standing: Standing,
    until: &Goal,
    path: &mut Vec<Waypoint>,
    go_on: &mut dyn FnMut() -> bool,
) -> Option<Standing> {
    let shelves = trials.shelves;
    // cost for its money, and whether that is for the present drawer
    let mut losses: Vec<Vec<(f64, bool)>> = shelves
        .iter()
        .map(|shelf| vec![(f64::NEG_INFINITY, false); shelf.sizes.len()])
        .collect();
    path.push(Waypoint::of(&standing));
    loop {
        if !go_on() {
            return None;
        }
        let arrived = match until {
            Goal::Waits(most) => {
                let mut both = standing.waits.iter().zip(most);
                both.any(|(waits, most)| waits >= most)
            }
            Goal::Money(_) => until.allows(standing.money),
        };
        if arrived {
            return Some(standing);
        }
        let Some((series, size)) = cheapest_loss(trials, &standing, &mut losses) else {
            return Some(standing);
        };
        let mut levels = standing.levels.clone();
        levels[series][size] -= trials.till.step(series, size);
        standing = trials.standing(levels);
        for (_, fresh) in losses.iter_mut().flatten() {
            *fresh = false;
        }
        path.push(Waypoint::of(&standing));
    }
}

/// The size of which a step less costs least for its money.
fn cheapest_loss(
    trials: &mut Trials<'_>,
    standing: &Standing,
    losses: &mut [Vec<(f64, bool)>],
) -> Option<(usize, usize)> {
    loop {
        let mut stale: Vec<(f64, usize, usize)> = Vec::new();
        let mut fresh: Option<(f64, usize, usize)> = None;
        for (series, of) in losses.iter().enumerate() {
            for (size, (loss, known)) in of.iter().enumerate() {
                let level = standing.levels[series][size];
                if trials.till.steps_above(series, size, level) == 0 {
                    continue;
                }
                if !known {
                    stale.push((*loss, series, size));
                } else if fresh.is_none_or(|(least, _, _)| *loss < least) {
                    fresh = Some((*loss, series, size));
                }
            }
        }
        stale.sort_by(|a, b| a.0.total_cmp(&b.0));
        if let Some((least, series, size)) = fresh
            && stale.first().is_none_or(|(loss, _, _)| *loss >= least)
        {
            return Some((series, size));
        }
        if stale.is_empty() {
            return None;
        }
        // all of them at the start, later a few at a time
        let unknown = stale.iter().filter(|s| s.0 == f64::NEG_INFINITY).count();
        stale.truncate(unknown.max(LOOKED_AT));
        let wanted = stale.iter().map(|(_, series, size)| {
            let mut levels = standing.levels[*series].clone();
            levels[*size] -= trials.till.step(*series, *size);
            (*series, levels)
        });
        let wanted = wanted.collect();
        let outcomes = trials.results(wanted);
        for ((_, series, size), outcome) in stale.iter().zip(outcomes) {
            let everything = Counting::everything();
            let (waits, credits) = trials.change(standing, *series, &outcome, &everything);
            let price = trials.till.price(*series, *size).max(SAME_MONEY);
            // where no job is lost, credit decides
            let loss = (waits[0] as f64 - 1e-3 * credits) / price;
            losses[*series][*size] = (loss, true);
        }
    }
}
