//! Running many rebuilds: fixed blocks on all threads, merged in order, up to a count or a
//! precision.

use std::ops::ControlFlow;

use rayon::prelude::*;

use crate::chance::dice::Address;

/// Rebuilds in one block.
#[doc(hidden)]
pub const BLOCK: u64 = 4096;
/// Minimum blocks before a precision target may end a run.
#[doc(hidden)]
pub const LEAST_BLOCKS: u64 = 10;
/// Most blocks computed at once: bounds the memory of a run.
const MOST_AT_ONCE: u64 = 16;

/// When a run ends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Until {
    /// This many rebuilds.
    Rebuilds(u64),
    /// Until every headline share is known to within this share either way at 95 %.
    Within(f64),
}

/// Sums that a run gathers, block by block.
pub trait Gather: Send {
    /// Adds what a later block gathered.
    fn merge(&mut self, later: Self);

    /// Half-width of the least certain headline share.
    fn half_width(&self) -> f64;
}

/// Progress of a run.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Progress {
    /// Rebuilds so far.
    pub rebuilds: u64,
    /// Rebuilds expected in all.
    pub expected: u64,
}

/// What a run gathered.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct RunResult<T> {
    /// Gathered over all rebuilds.
    pub gathered: T,
    /// Rebuilds done.
    pub rebuilds: u64,
    /// Whether it was broken off.
    pub partial: bool,
}

/// Runs rebuilds 0, 1, 2 … of a seed on rayon's current threads.
///
/// `rebuild` adds the rebuild at an address to a block's gathering; `watch` gets the progress
/// between blocks and may break the run off. The same seed gives the same bits on any number of
/// threads: blocks are of fixed size and merged in order, and a precision target is tested after
/// whole blocks in that order.
///
/// # Source
/// Stopping in the spirit of JCGM 101:2008, clause 7.9.
///
/// # Example
/// How much of a normal figure lies within one sigma: 68.27 %.
/// ```
/// use shimcast_sim::chance::dice::Purpose;
/// use shimcast_sim::chance::run::{Gather, Until, run};
/// use shimcast_sim::count::estimate::Estimate;
///
/// #[derive(Default)]
/// struct Hits(u64, u64);
///
/// impl Gather for Hits {
///     fn merge(&mut self, later: Self) {
///         (self.0, self.1) = (self.0 + later.0, self.1 + later.1);
///     }
///     fn half_width(&self) -> f64 {
///         Estimate::share(self.0, self.1).half_width()
///     }
/// }
///
/// let draw = |address: shimcast_sim::chance::dice::Address, hits: &mut Hits| {
///     hits.0 += u64::from(address.stream(Purpose::Parts).normal().abs() < 1.0);
///     hits.1 += 1;
/// };
/// let watch = &mut |_| std::ops::ControlFlow::Continue(());
/// let Hits(inside, all) = run(1, Until::Within(0.005), Hits::default, draw, watch).gathered;
/// assert!((Estimate::share(inside, all).value - 0.6827).abs() < 0.01);
/// ```
pub fn run<T: Gather>(
    seed: u64,
    until: Until,
    empty: impl Fn() -> T + Sync,
    rebuild: impl Fn(Address, &mut T) + Sync,
    watch: &mut dyn FnMut(Progress) -> ControlFlow<()>,
) -> RunResult<T> {
    let block = |number: u64, most: u64| {
        let mut gathered = empty();
        let from = number * BLOCK;
        for index in from..(from + BLOCK).min(most) {
            rebuild(Address::new(seed, index), &mut gathered);
        }
        gathered
    };
    let most = match until {
        Until::Rebuilds(n) => n,
        Until::Within(_) => u64::MAX - BLOCK,
    };
    let rebuilds_in = |blocks: u64| (blocks * BLOCK).min(most);
    let mut expected = match until {
        Until::Rebuilds(n) => n.div_ceil(BLOCK),
        Until::Within(_) => LEAST_BLOCKS,
    };
    let mut gathered = empty();
    let mut done = 0;
    let mut partial = false;
    while done < expected {
        let progress = Progress {
            rebuilds: rebuilds_in(done),
            expected: rebuilds_in(expected),
        };
        if watch(progress).is_break() {
            partial = true;
            break;
        }
        let wave = done..expected.min(done + MOST_AT_ONCE);
        let blocks: Vec<T> = wave
            .into_par_iter()
            .map(|number| block(number, most))
            .collect();
        for later in blocks {
            gathered.merge(later);
            done += 1;
            if let Until::Within(target) = until
                && done >= LEAST_BLOCKS
            {
                // blocks computed beyond the one that meets the target are dropped, so the answer
                // does not depend on how many ran at once
                expected = blocks_needed(done, gathered.half_width() / target);
                if expected == done {
                    break;
                }
            }
        }
    }
    RunResult {
        gathered,
        rebuilds: rebuilds_in(done),
        partial,
    }
}

/// Blocks after which the half-width is expected to meet its target, from its ratio to the target
/// after `done` blocks: it shrinks with the root of the count.
fn blocks_needed(done: u64, ratio: f64) -> u64 {
    if ratio <= 1.0 {
        done
    } else {
        (done as f64 * ratio * ratio).ceil() as u64 + 1
    }
}
