//! One rebuild step by step: the one that a run counts under the same seed and number.

use std::ops::ControlFlow;

use crate::bench::job::Ending;
use crate::bench::outcome::Inside;
use crate::bench::setup::Setup;
use crate::bench::{SetUpCones, Witness};
use crate::chance::dice::Address;
use crate::chance::run::Progress;

pub use crate::bench::minutes::Operation;
pub use crate::bench::outcome::Outcome;
pub use crate::bench::parts::Parts;
pub use crate::bench::truth::Assembly;
pub use crate::bench::{Decision, Event, Rebuild};

/// One rebuild, step by step.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Story {
    /// Its number, from 1: number n of a seed is the n-th rebuild of a run.
    pub number: u64,
    /// The parts as drawn, which the technician can't see.
    pub parts: Parts,
    /// The slip-fit cones of the trials; `None` where the trials are on the real bearings.
    pub set_up_cones: Option<SetUpCones>,
    /// What happened, in order.
    pub steps: Vec<StoryStep>,
    /// Its result.
    pub rebuild: Rebuild,
    /// Minutes that it took.
    pub minutes: f64,
    /// Windows that hold the truth of the first assembly.
    pub first: Inside,
    /// Windows that hold the truth of the last assembly.
    pub last: Inside,
    /// Whether the true pinion torque lies in its window; `None` where no preload was set.
    pub torque_inside: Option<bool>,
    /// Outcome for the customer.
    pub outcome: Outcome,
}

/// One step of a story.
#[derive(Debug, Clone, PartialEq)]
pub enum StoryStep {
    /// An operation, with the minutes it took.
    Operation(Operation, f64),
    /// A reading, a decision or another event.
    Event(Event),
}

/// A kind of rebuild to look for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[doc(hidden)]
pub enum StoryKind {
    /// Right at the first assembly, and at the end.
    FirstTime,
    /// Finished and right in the end, with the most assemblies of the first [`MANY_AMONG`].
    ManyTries,
    /// Handed over, though something is truly outside its window.
    WronglyPassed,
    /// Finished, with something out of its window accepted because no pack in stock improves it.
    Compromise,
    /// Given up.
    GivenUp,
}

/// Rebuilds among which the one with the most assemblies is looked for.
#[doc(hidden)]
pub const MANY_AMONG: u64 = 2000;
/// Rebuilds after which a search ends without result.
#[doc(hidden)]
pub const SEARCHED: u64 = 1_000_000;

/// Records operations and events.
#[derive(Default)]
struct StoryRecorder {
    steps: Vec<StoryStep>,
    cones: Option<SetUpCones>,
}

impl Witness for StoryRecorder {
    const LISTENS: bool = true;

    fn operation(&mut self, operation: Operation) {
        self.steps.push(StoryStep::Operation(operation, 0.0));
    }

    fn set_up_cones(&mut self, cones: impl FnOnce() -> SetUpCones) {
        self.cones = Some(cones());
    }

    fn hears(&mut self, event: impl FnOnce() -> Event) {
        self.steps.push(StoryStep::Event(event()));
    }
}

/// Follows rebuild `number`, from 1, of a seed.
///
/// # Panics
/// If `number` is zero.
#[doc(hidden)]
pub fn follow(setup: &Setup, seed: u64, number: u64) -> Story {
    assert!(number > 0, "rebuilds are counted from 1");
    let address = Address::new(seed, number - 1);
    let parts = setup.parts(address);
    let mut recorder = StoryRecorder::default();
    let rebuild = setup.rebuild_observed(address, &mut recorder);
    let mut steps = recorder.steps;
    // minutes are drawn operation by operation: the k-th time of an operation is that of its k-th
    // step
    let mut minutes_of = setup.minutes_of_operations(address, &rebuild);
    for step in &mut steps {
        if let StoryStep::Operation(operation, minutes) = step
            && let Some(place) = minutes_of.iter().position(|(of, _)| of == operation)
        {
            *minutes = minutes_of.remove(place).1;
        }
    }
    let ending = Ending::of(setup, &rebuild);
    Story {
        number,
        parts,
        set_up_cones: recorder.cones,
        steps,
        minutes: setup.minutes(address, &rebuild),
        first: ending.first,
        last: ending.last,
        torque_inside: ending.torque,
        outcome: ending.outcome,
        rebuild,
    }
}

/// Result of a search.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[doc(hidden)]
pub enum SearchResult {
    /// Number of the rebuild, from 1.
    Number(u64),
    /// None among this many rebuilds.
    None(u64),
    /// Broken off after this many rebuilds.
    BrokenOff(u64),
}

/// Looks for a rebuild of this kind, from number 1 of a seed on: the same one every time.
#[doc(hidden)]
pub fn find(
    setup: &Setup,
    seed: u64,
    telling: StoryKind,
    watch: &mut dyn FnMut(Progress) -> ControlFlow<()>,
) -> SearchResult {
    let expected = match telling {
        StoryKind::ManyTries => MANY_AMONG,
        _ => SEARCHED,
    };
    let mut most: Option<(u32, u64)> = None;
    for index in 0..expected {
        let progress = Progress {
            rebuilds: index,
            expected,
        };
        if index % 1024 == 0 && watch(progress).is_break() {
            return SearchResult::BrokenOff(index);
        }
        let rebuild = setup.rebuild(Address::new(seed, index));
        if telling == StoryKind::ManyTries {
            if Ending::of(setup, &rebuild).outcome == Outcome::Right
                && most.is_none_or(|(assemblies, _)| rebuild.assemblies > assemblies)
            {
                most = Some((rebuild.assemblies, index + 1));
            }
        } else if telling.is(setup, &rebuild) {
            return SearchResult::Number(index + 1);
        }
    }
    most.map_or(SearchResult::None(expected), |(_, number)| {
        SearchResult::Number(number)
    })
}

impl StoryKind {
    /// Whether a rebuild is of this kind, judged by itself.
    fn is(self, setup: &Setup, rebuild: &Rebuild) -> bool {
        let ending = || Ending::of(setup, rebuild);
        match self {
            Self::FirstTime => {
                let ending = ending();
                ending.right_first() && rebuild.assemblies == 1 && ending.outcome == Outcome::Right
            }
            Self::ManyTries => false,
            Self::WronglyPassed => {
                matches!(ending().outcome, Outcome::WronglyPassed { .. })
            }
            Self::Compromise => rebuild.finished && rebuild.compromised,
            Self::GivenUp => !rebuild.finished,
        }
    }
}

#[cfg(test)]
#[path = "tests/follow.rs"]
mod tests;
