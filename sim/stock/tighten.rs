//! Drop and swap: removes what a plain walk bought too much.
//!
//! A walk never takes back a pack and so overpays. Here up to two steps are taken back and up to two
//! others made, as long as that saves money at the same goal.

use std::sync::Arc;

use super::targets::Waits;
use super::trials::{Counting, Levels, Standing, TrialResult, Trials};
use super::walk::{Goal, SAME_MONEY};

/// Sizes considered for taking out, and for adding, in an exchange: the most promising ones.
const LISTED: usize = 24;
/// Exchanges that are played before the search ends.
const PLAYED: usize = 32;
/// Exchanges played at once.
const AT_ONCE: usize = 8;
/// Most exchanges in a row.
const MOST_ROUNDS: usize = 200;

/// One step more or less, with its own effect.
#[derive(Clone)]
struct Single {
    series: usize,
    size: usize,
    price: f64,
    waits: Waits,
}

/// Steps back and on together.
#[derive(Clone)]
struct Exchange {
    out: Vec<Single>,
    into: Vec<Single>,
    money: f64,
}

/// Improves a drawer until no exchange helps; `go_on` is asked between the rounds.
pub(super) fn tighten(
    trials: &mut Trials<'_>,
    mut standing: Standing,
    goal: &Goal,
    go_on: &mut dyn FnMut() -> bool,
) -> Option<Standing> {
    for _ in 0..MOST_ROUNDS {
        if !go_on() {
            return None;
        }
        let exchanges = listed(trials, &standing, goal);
        let before = standing.levels.clone();
        // one exchange hardly changes the effects of others, so the list is used to its end
        let mut places = 0..exchanges.len();
        while !places.is_empty() {
            let some = &exchanges[places.start..(places.start + AT_ONCE).min(places.end)];
            match best_of(trials, &standing, goal, some) {
                Some(exchange) => {
                    let after = after(trials, &standing, exchange)?;
                    standing = trials.standing(after);
                }
                None => places.start += some.len(),
            }
        }
        if standing.levels == before {
            return Some(standing);
        }
    }
    Some(standing)
}

/// Whether money and waits are better than the present ones.
fn improves(standing: &Standing, goal: &Goal, money: f64, waits: &Waits) -> bool {
    let change = money - standing.money;
    let (before, after) = (standing.waits[0], waits[0]);
    match goal {
        Goal::Waits(_) => {
            goal.is_met(waits) && (change < -SAME_MONEY || (change < SAME_MONEY && after < before))
        }
        Goal::Money(_) => {
            goal.allows(money) && (after < before || (after == before && change < -SAME_MONEY))
        }
    }
}

/// The effects of a step less and a step more of each size: those that cost least, or help most, for
/// their money.
fn singles(trials: &mut Trials<'_>, standing: &Standing) -> (Vec<Single>, Vec<Single>) {
    let mut changes = Vec::new();
    for (series, levels) in standing.levels.iter().enumerate() {
        for (size, level) in levels.iter().enumerate() {
            if trials.till.steps_above(series, size, *level) > 0 {
                changes.push((series, size, -1));
            }
            // a size that no missing pack lacked helps none
            if standing.outcomes[series].hints[size] > 0.0 {
                changes.push((series, size, 1));
            }
        }
    }
    let wanted = changes.iter().map(|(series, size, by)| {
        let mut levels = standing.levels[*series].clone();
        let step = trials.till.step(*series, *size) as i32;
        levels[*size] = levels[*size].wrapping_add_signed(by * step);
        (*series, levels)
    });
    let wanted = wanted.collect();
    let outcomes = trials.results(wanted);
    let (mut out, mut into) = (Vec::new(), Vec::new());
    let everything = Counting::everything();
    for ((series, size, by), outcome) in changes.into_iter().zip(&outcomes) {
        let single = Single {
            series,
            size,
            price: trials.till.price(series, size),
            waits: trials.change(standing, series, outcome, &everything).0,
        };
        if by < 0 { &mut out } else { &mut into }.push(single);
    }
    // a free shim must not divide by a price of zero
    let rate = |s: &Single| s.waits.iter().sum::<i64>() as f64 / s.price.max(SAME_MONEY);
    out.sort_by(|a, b| rate(a).total_cmp(&rate(b)));
    into.sort_by(|a, b| rate(a).total_cmp(&rate(b)));
    out.truncate(LISTED);
    into.truncate(LISTED);
    (out, into)
}

/// The order of exchanges, most important first.
type Rank = (bool, i64, i64, usize);

/// The promising exchanges, best first.
fn listed(trials: &mut Trials<'_>, standing: &Standing, goal: &Goal) -> Vec<Exchange> {
    let (out, into) = singles(trials, standing);
    let trials = &*trials;
    let are_there = |set: &[Single]| {
        set.len() < 2 || (set[0].series, set[0].size) != (set[1].series, set[1].size) || {
            let Single { series, size, .. } = set[0];
            let level = standing.levels[series][size];
            trials.till.steps_above(series, size, level) >= 2
        }
    };
    let out_sets: Vec<Vec<Single>> = sets(&out).into_iter().filter(|s| are_there(s)).collect();
    let into_sets = sets(&into);
    let groups = standing.waits.len();
    let sums = |sets: &[Vec<Single>]| -> Vec<(f64, Waits)> {
        let of = |set: &Vec<Single>| {
            let waits = |group: usize| set.iter().map(|s| s.waits[group]).sum();
            let waits = (0..groups).map(waits).collect();
            (set.iter().map(|s| s.price).sum(), waits)
        };
        sets.iter().map(of).collect()
    };
    let (out_sums, into_sums) = (sums(&out_sets), sums(&into_sets));
    // rank, then the sets of each
    let mut promising: Vec<(Rank, usize, usize)> = Vec::new();
    // money, and how many wait if the effects of single steps add up
    let money_of = |o: usize, i: usize| into_sums[i].0 - out_sums[o].0;
    let waits_of = |o: usize, i: usize, group: usize| {
        standing.waits[group] + out_sums[o].1[group] + into_sums[i].1[group]
    };
    for (o, out) in out_sets.iter().enumerate() {
        for (i, into) in into_sets.iter().enumerate() {
            let (money, waits) = (money_of(o, i), waits_of(o, i, 0));
            let promises = match goal {
                Goal::Waits(most) => {
                    // a tolerance for effects that do not add up
                    let forgiven = |most: i64| most + (most / 20).max(2);
                    let fits =
                        |(group, most): (usize, &i64)| waits_of(o, i, group) <= forgiven(*most);
                    money < SAME_MONEY
                        && most.iter().enumerate().all(fits)
                        && (money < -SAME_MONEY || waits < standing.waits[0])
                }
                Goal::Money(_) => goal.allows(standing.money + money) && waits <= standing.waits[0],
            };
            let same = |o: &Single| {
                into.iter()
                    .any(|i| (i.series, i.size) == (o.series, o.size))
            };
            let nothing = out.is_empty() && into.is_empty();
            if !promises || nothing || out.iter().any(same) {
                continue;
            }
            let cents = (money * 1e6).round() as i64;
            let rank = match goal {
                Goal::Waits(most) => (waits > most[0], cents, waits, out.len()),
                Goal::Money(_) => (false, waits, cents, out.len()),
            };
            promising.push((rank, o, i));
        }
    }
    if promising.len() > PLAYED {
        promising.select_nth_unstable(PLAYED);
        promising.truncate(PLAYED);
    }
    promising.sort_unstable();
    let exchange = |(_, o, i): (Rank, usize, usize)| Exchange {
        out: out_sets[o].clone(),
        into: into_sets[i].clone(),
        money: money_of(o, i),
    };
    promising.into_iter().map(exchange).collect()
}

/// No shim, one, or two.
fn sets(of: &[Single]) -> Vec<Vec<Single>> {
    let mut sets = vec![Vec::new()];
    for (i, one) in of.iter().enumerate() {
        sets.push(vec![one.clone()]);
        let pairs = of[i..].iter();
        sets.extend(pairs.map(|other| vec![one.clone(), other.clone()]));
    }
    sets
}

/// Levels after an exchange; `None` where a step back is not there any more.
fn after(trials: &Trials<'_>, standing: &Standing, exchange: &Exchange) -> Option<Levels> {
    let till = &trials.till;
    let mut levels = standing.levels.clone();
    for Single { series, size, .. } in &exchange.out {
        let level = &mut levels[*series][*size];
        if till.steps_above(*series, *size, *level) == 0 {
            return None;
        }
        *level -= till.step(*series, *size);
    }
    for Single { series, size, .. } in &exchange.into {
        levels[*series][*size] += till.step(*series, *size);
    }
    Some(levels)
}

/// Plays exchanges and finds the best one that improves the drawer.
fn best_of<'e>(
    trials: &mut Trials<'_>,
    standing: &Standing,
    goal: &Goal,
    exchanges: &'e [Exchange],
) -> Option<&'e Exchange> {
    let mut wanted = Vec::new();
    let mut changed = Vec::new();
    let exchanges: Vec<&Exchange> = exchanges
        .iter()
        .filter(|exchange| after(trials, standing, exchange).is_some())
        .collect();
    for exchange in &exchanges {
        let Some(levels) = after(trials, standing, exchange) else {
            continue;
        };
        let of: Vec<usize> = (0..levels.len())
            .filter(|s| levels[*s] != standing.levels[*s])
            .collect();
        wanted.extend(of.iter().map(|s| (*s, levels[*s].clone())));
        changed.push(of);
    }
    let mut outcomes = trials.results(wanted).into_iter();
    let mut best: Option<(i64, i64, &Exchange)> = None;
    for (exchange, series) in exchanges.iter().zip(changed) {
        let others: Vec<(usize, Arc<TrialResult>)> =
            series.into_iter().zip(outcomes.by_ref()).collect();
        let waits = trials.waits_with(standing, &others);
        if !improves(standing, goal, standing.money + exchange.money, &waits) {
            continue;
        }
        let (cents, waits) = ((exchange.money * 1e6).round() as i64, waits[0]);
        let better = match (goal, best) {
            (_, None) => true,
            (Goal::Waits(_), Some((money, w, _))) => (cents, waits) < (money, w),
            (Goal::Money(_), Some((money, w, _))) => (waits, cents) < (w, money),
        };
        if better {
            best = Some((cents, waits, exchange));
        }
    }
    best.map(|(_, _, exchange)| exchange)
}
