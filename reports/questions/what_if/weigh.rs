//! What moves the answer of the files most.

use shimcast_sim::bench::setup::Setup;
use shimcast_sim::chance::run::Until;
use shimcast_sim::compare::{Comparison, Differences, compare};
use shimcast_sim::count::estimate::Estimate;

use super::Base;
use super::knob::{Knob, knobs};
use super::tried::{Tried, job};
use crate::progress::{goes_on, unseen};
use crate::questions::context::each;

/// Rebuilds for each thing that is moved, on common parts.
const REBUILDS: u64 = 2048;
/// Moved together on the same parts.
const TOGETHER: usize = 8;

/// What matters, with how much: the largest first.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Weighed(Vec<(String, f64)>);

impl Weighed {
    /// The keys that matter most, so many at the most.
    pub fn first(&self, most: usize) -> impl Iterator<Item = &str> {
        self.0.iter().take(most).map(|(key, _)| key.as_str())
    }

    /// Every key that was seen to matter, with how much: the greatest of the changes that were seen of
    /// the share right as first bolted up, of the share right when handed over and of the cost (as a
    /// share of it), at the ends of their intervals nearest to nothing.
    pub fn all(&self) -> &[(String, f64)] {
        &self.0
    }
}

/// Moves everything that a bench can choose half way to either end of its rail, or to its other choices,
/// and sees what that does to the answer, each against the files on the very same parts. Where nobody waits
/// for it any more it ends early, and what was not seen by then counts for nothing.
pub fn weigh(base: &Base, seed: u64) -> Weighed {
    let knobs: Vec<Knob> = knobs(base)
        .into_iter()
        .filter(|knob| knob.part.is_weighed())
        .collect();
    let trials = knobs.iter().flat_map(|knob| {
        let trials = knob.trials().into_iter();
        trials.map(move |value| (knob, value))
    });
    // what no file may say is no neighbour
    let moved = |(knob, value): (&Knob, String)| {
        if !goes_on() {
            return None;
        }
        let changes = [Tried::moved(base, knob, &value)?];
        let (_, setup) = job(base, &changes).ok()?;
        Some((knob.key.clone(), setup))
    };
    let moved: Vec<(String, Setup)> = each(trials.collect(), moved)
        .into_iter()
        .flatten()
        .collect();
    let together: Vec<&[(String, Setup)]> = moved.chunks(TOGETHER).collect();
    let scores = each(together, |chunk| {
        let others = chunk.iter().map(|(_, setup)| setup);
        let ways: Vec<Setup> = std::iter::once(&base.setup)
            .chain(others)
            .cloned()
            .collect();
        let until = Until::Rebuilds(REBUILDS);
        let comparison = compare(&ways, seed, until, &mut unseen);
        let of = |differences| match comparison.partial {
            true => 0.0,
            false => score(&comparison, differences),
        };
        comparison.differences.iter().map(of).collect::<Vec<f64>>()
    });
    let mut weighed = Weighed::default();
    for ((key, _), score) in moved.into_iter().zip(scores.concat()) {
        match weighed.0.iter_mut().find(|(known, _)| *known == key) {
            Some((_, most)) => *most = most.max(score),
            None => weighed.0.push((key, score)),
        }
    }
    weighed.0.retain(|(_, score)| *score > 0.0);
    weighed.0.sort_by(|a, b| b.1.total_cmp(&a.1));
    weighed
}

/// The greatest change that was seen.
fn score(comparison: &Comparison, differences: &Differences) -> f64 {
    let cost = comparison.ways[0].money.value;
    let of_cost = match cost > 0.0 {
        true => seen(&differences.money) / cost,
        false => 0.0,
    };
    let shares = [&differences.first_assembly, &differences.handed_over].map(seen);
    // where a way finishes no job there is nothing to hold against each other
    shares.into_iter().chain([of_cost]).fold(0.0, f64::max)
}

/// A difference at the end of its interval nearest to nothing; nothing where that holds it.
fn seen(difference: &Estimate) -> f64 {
    difference.low.max(-difference.high).max(0.0)
}

#[cfg(test)]
mod tests {
    use shimcast_sim::axle::Condition;

    use super::*;
    use crate::files::Source;
    use crate::progress::Listener;
    use crate::questions::context::on_so_many_threads;

    #[test]
    fn what_nobody_waits_for_ends_early() {
        let (sources, new) = ([Source::BuiltIn, Source::BuiltIn], Condition::New);
        let base = Base::read(sources, new, new, false).expect("the demo");
        let gone = Listener::default();
        gone.leave();
        let weighed = gone.answer(|| on_so_many_threads(None, |_| weigh(&base, 1)));
        assert_eq!(weighed.expect("threads").all(), []);
    }
}
