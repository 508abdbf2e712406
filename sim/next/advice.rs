//! Which move is best: chosen by some figures, told and held against the others by further ones.

use super::answer::GoesOn;
use super::candidates::Candidate;
use super::play::{Played, play};
use super::state::State;
use crate::bench::outcome::Outcome;
use crate::bench::resume::Step;
use crate::bench::setup::Setup;
use crate::chance::dice::Address;
use crate::count::estimate::{Estimate, Moments};
use crate::count::holm::{chance_of_none, holm};
use crate::count::paired::{FigurePairs, SharePairs, Trial};

/// Chance of calling any move different that is not.
const LEVEL: f64 = 0.05;
/// The least that costs of two moves differ by where they differ, in the shop's currency.
const LEAST_COST: f64 = 1.0;

/// A move with what it comes to.
#[derive(Debug, Clone)]
pub(super) struct Judged {
    pub(super) candidate: Candidate,
    pub(super) reads_inside: Option<Estimate>,
    pub(super) right: Estimate,
    pub(super) clearly_out: Estimate,
    pub(super) assemblies: Estimate,
    pub(super) hours: Estimate,
    pub(super) cost: Estimate,
    /// Cost less that of the best.
    pub(super) dearer: Estimate,
    pub(super) less_than_best: bool,
}

/// Judges moves, best first; gives what the best came to besides. `None` where nobody waits for it any more.
///
/// Accepting can be best only where everything reads inside, or where no other move is seen to raise the
/// chance of ending right.
pub(super) fn judge(
    goes_on: GoesOn<'_>,
    setup: &Setup,
    candidates: Vec<Candidate>,
    [choosing, telling]: [&[State]; 2],
    reads_inside: bool,
    address: Address,
) -> Option<(Vec<Judged>, Vec<Played>)> {
    let tried = candidates
        .iter()
        .map(|candidate| goes_on().then(|| play(setup, choosing, candidate, address.within(0))));
    let tried = tried.collect::<Option<Vec<Vec<Played>>>>()?;
    let accept = candidates.iter().position(|one| one.step == Step::Accept);
    let refused = accept.filter(|accept| !reads_inside && is_bettered(&tried, *accept));
    let cost = |played: &Vec<Played>| played.iter().map(|one| one.cost).sum::<f64>();
    let best = (0..candidates.len())
        .filter(|number| Some(*number) != refused)
        .min_by(|a, b| cost(&tried[*a]).total_cmp(&cost(&tried[*b])));
    let Some(best) = best else {
        return Some((Vec::new(), Vec::new()));
    };
    let told = |candidate: &Candidate| play(setup, telling, candidate, address.within(1));
    let of_best = told(&candidates[best]);
    let mut judged: Vec<(bool, Judged)> = Vec::new();
    for (number, candidate) in candidates.into_iter().enumerate() {
        if !goes_on() {
            return None;
        }
        let played = if number == best {
            of_best.clone()
        } else {
            told(&candidate)
        };
        let is_refused = Some(number) == refused;
        let found = tell(candidate, &played, &of_best, is_refused);
        judged.push((is_refused, found));
    }
    let first = judged.remove(best).1;
    judged.sort_by(|(a_refused, a), (b_refused, b)| {
        a_refused
            .cmp(b_refused)
            .then(a.cost.value.total_cmp(&b.cost.value))
    });
    let rest = judged.into_iter().map(|(_, judged)| judged);
    Some((std::iter::once(first).chain(rest).collect(), of_best))
}

fn is_right(played: &Played) -> Trial {
    Trial::of(played.outcome == Outcome::Right)
}

/// Whether any other move is seen to end right more often.
fn is_bettered(tried: &[Vec<Played>], accept: usize) -> bool {
    let differences: Vec<Estimate> = tried
        .iter()
        .enumerate()
        .filter(|(number, _)| *number != accept)
        .map(|(_, other)| {
            let mut pairs = SharePairs::default();
            for (first, other) in tried[accept].iter().zip(other) {
                pairs.add(is_right(first), is_right(other));
            }
            pairs.difference()
        })
        .collect();
    let chances: Vec<f64> = differences.iter().map(chance_of_none).collect();
    let seen = holm(&chances, LEVEL);
    differences
        .iter()
        .zip(seen)
        .any(|(difference, seen)| seen && difference.value > 0.0)
}

fn tell(candidate: Candidate, played: &[Played], best: &[Played], is_refused: bool) -> Judged {
    let count = |is: &dyn Fn(&Played) -> bool| played.iter().filter(|one| is(one)).count() as u64;
    let n = played.len() as u64;
    let mean = |figure: &dyn Fn(&Played) -> f64| Moments::of(played.iter().map(figure)).estimate();
    let followed = count(&|one| one.reads_inside.is_some());
    let inside = count(&|one| one.reads_inside == Some(true));
    let mut pairs = FigurePairs::default();
    for (best, one) in best.iter().zip(played) {
        pairs.add(best.cost, one.cost);
    }
    let costs = Moments::of(best.iter().map(|one| one.cost));
    let dearer = if pairs.alike() {
        Estimate {
            value: 0.0,
            low: 0.0,
            high: 0.0,
            n,
        }
    } else {
        pairs.difference(&costs, LEAST_COST)
    };
    let assemblies = mean(&|one| f64::from(one.assemblies));
    Judged {
        candidate,
        reads_inside: (followed > 0).then(|| Estimate::share(inside, followed)),
        right: Estimate::share(count(&|one| one.outcome == Outcome::Right), n),
        clearly_out: Estimate::share(count(&|one| one.outcome.is_clearly_out()), n),
        assemblies: assemblies.not_below(0.0),
        hours: mean(&|one| one.hours),
        cost: mean(&|one| one.cost),
        dearer,
        less_than_best: is_refused || dearer.low > 0.0,
    }
}
