//! What the assumptions do to an answer: those that move it most, and by how much.

use shimcast_sim::bench::setup::Setup;
use shimcast_sim::chance::run::Until;
use shimcast_sim::compare::{Differences, Verdict, compare};
use shimcast_sim::count::estimate::Estimate;

use super::context::{each, set_up_as};
use super::frame::key;
use crate::figures::signed_with_half;
use crate::files::{Loaded, Override, Source, Variation, load};
use crate::progress::{goes_on, unseen};

/// What of an answer the assumptions are held against.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Headline {
    /// The share of finished jobs right when handed over.
    Right,
    /// What a job costs the shop.
    Cost,
}

/// The files of a job, as they were read.
#[derive(Debug, Clone, Copy)]
pub struct Files<'a> {
    /// The axle file and the shop file.
    pub sources: &'a [Source; 2],
    /// The keys set in them.
    pub set: &'a [Override],
    /// What they say.
    pub loaded: &'a Loaded,
}

/// Rebuilds for each assumption that is varied, on common parts: to find those that move most, and to
/// say by how much.
const TO_FIND: u64 = 512;
const TO_SAY: u64 = 8192;
/// Assumptions varied together on the same parts.
const TOGETHER: usize = 8;
/// Those that are named, and those that may be among them.
const NAMED: usize = 3;
const LIKELY: usize = 6;
/// Those of which it is said by how much where all are sorted.
const TO_SORT: usize = 16;

/// A job in which an assumption is what it might be instead.
struct Neighbour<'a> {
    key: &'a str,
    said: String,
    setup: Setup,
}

/// What that does.
struct Moved<'a> {
    neighbour: Neighbour<'a>,
    change: Estimate,
}

impl Headline {
    fn change(self, differences: &Differences) -> Estimate {
        match self {
            Self::Right => differences.handed_over.times(100.0),
            Self::Cost => differences.money,
        }
    }

    fn name(self) -> &'static str {
        match self {
            Self::Right => "the share right when handed over",
            Self::Cost => "what a job costs",
        }
    }

    fn unit(self, setup: &Setup) -> &str {
        match self {
            Self::Right => "points",
            Self::Cost => &setup.shop.currency,
        }
    }

    /// Whether keys of this beginning can't move it.
    fn is_deaf_to(self, key: &str) -> bool {
        let beginning = key.split('.').next().unwrap_or(key);
        match self {
            Self::Right => ["prices", "minutes", "drawer"].contains(&beginning),
            Self::Cost => beginning == "drawer",
        }
    }
}

/// The assumptions of a job that move a headline most, in a sentence; `None` where none is seen to.
///
/// Each is varied by itself, somewhat less and somewhat more or by the other choices, on the same
/// parts.
pub fn moved_most(headline: Headline, job: Files<'_>, setup: &Setup, seed: u64) -> Option<String> {
    let mut found = likely(headline, job, setup, seed);
    found.truncate(LIKELY);
    let likely = found.into_iter().map(|moved| moved.neighbour).collect();
    let moved = sorted(headline, setup, likely, seed, TO_SAY);
    sentence(headline, &moved, setup)
}

/// What an assumption does to a headline when it is what it might be instead.
#[derive(Debug, Clone)]
pub struct Effect {
    /// The key of the [`crate::files::Assumption`].
    pub key: String,
    /// By what it differs: `a quarter more`.
    pub said: String,
    /// By how much the headline moves: in points of 100, or in money.
    pub change: Estimate,
    /// Whether a difference is seen at all.
    pub seen: bool,
}

/// What each assumption of a job does to a headline, those first that move it most: the larger of what the
/// ways do in which it might be otherwise, on the same parts. Those that can't move it are left out.
pub fn effects(headline: Headline, job: Files<'_>, setup: &Setup, seed: u64) -> Vec<Effect> {
    let mut found = likely(headline, job, setup, seed);
    let others = found.split_off(found.len().min(TO_SORT));
    let likely = found.into_iter().map(|moved| moved.neighbour).collect();
    let first = sorted(headline, setup, likely, seed, TO_SAY);
    let mut effects: Vec<Effect> = Vec::new();
    for Moved { neighbour, change } in first.into_iter().chain(others) {
        if effects.iter().all(|known| known.key != neighbour.key) {
            effects.push(Effect {
                key: neighbour.key.to_owned(),
                said: neighbour.said,
                change,
                seen: Verdict::of(&change) != Verdict::NoneSeen,
            });
        }
    }
    effects
}

/// What every assumption might be instead, sorted by a first look at what that does.
fn likely<'a>(headline: Headline, job: Files<'a>, setup: &Setup, seed: u64) -> Vec<Moved<'a>> {
    sorted(
        headline,
        setup,
        neighbours(headline, job, setup),
        seed,
        TO_FIND,
    )
}

/// A job in which one assumption is what it might be instead, for each such way.
fn neighbours<'a>(headline: Headline, job: Files<'a>, setup: &Setup) -> Vec<Neighbour<'a>> {
    let Files {
        sources,
        set,
        loaded,
    } = job;
    let varied: Vec<(&str, Variation)> = loaded
        .assumptions
        .iter()
        .filter(|assumption| !headline.is_deaf_to(&assumption.key))
        .flat_map(|assumption| {
            let variations = assumption.variations().into_iter();
            variations.map(|variation| (assumption.key.as_str(), variation))
        })
        .collect();
    // what no file may say, or no axle can be, is no neighbour
    let neighbour = |(key, variation): (_, Variation)| {
        if !goes_on() {
            return None;
        }
        let set = [set, &variation.set].concat();
        let loaded = load(&sources[0], &sources[1], &set).ok()?;
        let setup = set_up_as(&loaded, setup.gears, setup.bearings).ok()?;
        Some(Neighbour {
            key,
            said: variation.said,
            setup,
        })
    };
    each(varied, neighbour).into_iter().flatten().collect()
}

/// What each neighbour does, the largest first.
fn sorted<'a>(
    headline: Headline,
    setup: &Setup,
    neighbours: Vec<Neighbour<'a>>,
    seed: u64,
    rebuilds: u64,
) -> Vec<Moved<'a>> {
    let mut moved = moved(headline, setup, neighbours, seed, rebuilds);
    moved.sort_by(|a, b| b.change.value.abs().total_cmp(&a.change.value.abs()));
    moved
}

/// What each neighbour does to the headline, on the same parts; nothing where nobody waits for it any more.
fn moved<'a>(
    headline: Headline,
    setup: &Setup,
    neighbours: Vec<Neighbour<'a>>,
    seed: u64,
    rebuilds: u64,
) -> Vec<Moved<'a>> {
    let together = neighbours.chunks(TOGETHER).collect();
    let changes = each(together, |chunk: &[Neighbour<'_>]| {
        let others = chunk.iter().map(|neighbour| &neighbour.setup);
        let ways: Vec<Setup> = std::iter::once(setup).chain(others).cloned().collect();
        let until = Until::Rebuilds(rebuilds);
        let comparison = compare(&ways, seed, until, &mut unseen);
        let changes = comparison.differences.into_iter();
        let changes = changes.map(|differences| headline.change(&differences));
        (!comparison.partial).then(|| changes.collect::<Vec<Estimate>>())
    });
    let changes: Option<Vec<Vec<Estimate>>> = changes.into_iter().collect();
    let changes = changes.unwrap_or_default().concat();
    let moved = neighbours.into_iter().zip(changes);
    moved
        .map(|(neighbour, change)| Moved { neighbour, change })
        .collect()
}

fn sentence(headline: Headline, moved: &[Moved<'_>], setup: &Setup) -> Option<String> {
    let mut named: Vec<&Moved<'_>> = Vec::new();
    for each in moved {
        let known = named
            .iter()
            .any(|known| known.neighbour.key == each.neighbour.key);
        let seen = Verdict::of(&each.change) != Verdict::NoneSeen;
        if seen && !known && named.len() < NAMED {
            named.push(each);
        }
    }
    let unit = headline.unit(setup);
    let said: Vec<String> = named
        .iter()
        .map(|Moved { neighbour, change }| {
            let change = signed_with_half(change, 1);
            format!(
                "{} ({}: {change} {unit})",
                key(neighbour.key),
                neighbour.said
            )
        })
        .collect();
    (!said.is_empty()).then(|| {
        format!(
            "Of what is assumed, {} moves most with {}.",
            headline.name(),
            said.join("; ")
        )
    })
}

#[cfg(test)]
mod tests {
    use shimcast_sim::axle::Condition;

    use super::*;
    use crate::progress::Listener;
    use crate::questions::context::on_so_many_threads;

    #[test]
    fn what_nobody_waits_for_ends_early() {
        let axle = concat!(env!("CARGO_MANIFEST_DIR"), "/examples/short.axle.toml");
        let sources = [Source::File(axle.into()), Source::BuiltIn];
        let loaded = load(&sources[0], &sources[1], &[]).expect("an axle and a shop");
        let new = Condition::New;
        let setup = set_up_as(&loaded, new, new).expect("a job");
        let job = Files {
            sources: &sources,
            set: &[],
            loaded: &loaded,
        };
        let gone = Listener::default();
        gone.leave();
        let found = || effects(Headline::Right, job, &setup, 1).len();
        let found = gone.answer(|| on_so_many_threads(None, |_| found()));
        assert_eq!(found.expect("threads"), 0);
    }
}
