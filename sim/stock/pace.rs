//! Where a search begins, and by which steps it goes: one that counts every shim of a drawer for
//! thousands of jobs would take for ever.

use super::drawer::{Review, Rules};
use super::service::{DAYS_IN_YEAR, service};
use super::shelf::Shelf;
use super::tape::Sample;
use super::till::Till;
use super::trials::Levels;

/// Shims of a size that are wanted in a cycle, from which on the search does not begin with none.
const MANY: f64 = 16.0;
/// Share of them with which it begins then: a drawer with that serves badly.
const SURELY: f64 = 0.7;
/// Standard deviations of what is wanted in the first steps.
const COARSE: f64 = 2.0;
/// Steps from an empty drawer to a full one, at the least.
const LEAST_STEPS: u32 = 16;
/// Levels that never run out.
const AMPLE: u32 = 1_000_000;

/// The pace of a search.
pub(super) struct Pace {
    /// Where it begins.
    pub(super) start: Levels,
    /// Bought packs in a step of each size, stage by stage: the last one goes pack by pack.
    pub(super) steps: Vec<Vec<Vec<u32>>>,
}

impl Rules {
    /// Days from one order to the delivery of the next: as long as that a level has to last. `None` where
    /// nothing is ever ordered.
    pub(super) fn cycle(&self) -> Option<f64> {
        let late = 3.0 * self.late_days;
        match self.review {
            Review::Every(days) => Some(days + self.lead_days + late),
            Review::AtOnce => Some(self.lead_days + late),
            Review::Never => None,
        }
    }
}

impl Pace {
    /// By what an ample drawer uses up in a cycle.
    pub(super) fn of(shelves: &[Shelf], rules: &Rules, sample: &Sample, till: &Till<'_>) -> Self {
        let ample = shelves.iter().map(|shelf| vec![AMPLE; shelf.sizes.len()]);
        let ample: Levels = ample.collect();
        let used = service(shelves, rules, sample, &ample, &ample).used;
        let spell = sample.tapes.first().map_or(0.0, |tape| tape.span.spell);
        let days = rules.cycle().unwrap_or(spell);
        let mut start = till.there().clone();
        let mut largest: Vec<Vec<u32>> = Vec::new();
        for (s, shelf) in shelves.iter().enumerate() {
            let of = |i: usize| (used[s][i].value * days / DAYS_IN_YEAR).max(0.0);
            let packs = |pieces: f64| (pieces / f64::from(shelf.least_bought())) as u32;
            for (i, level) in start[s].iter_mut().enumerate() {
                if of(i) >= MANY {
                    let missing = SURELY * of(i) - f64::from(*level);
                    *level += packs(missing.max(0.0)) * shelf.least_bought();
                }
            }
            // pack by pack where a size is wanted now and then
            let step = |i: usize| match of(i) {
                few if few < MANY => 1,
                many => packs(COARSE * many.sqrt()),
            };
            largest.push((0..shelf.sizes.len()).map(step).collect());
        }
        Self {
            start,
            steps: stages(&largest),
        }
    }
}

/// Steps on the way from levels down to none: few enough for levels of thousands.
pub(super) fn down_from(shelves: &[Shelf], levels: &Levels) -> Vec<Vec<Vec<u32>>> {
    let of = |(shelf, levels): (&Shelf, &Vec<u32>)| {
        let packs = levels
            .iter()
            .map(|level| level / shelf.least_bought() / LEAST_STEPS);
        packs.collect()
    };
    let largest: Vec<Vec<u32>> = shelves.iter().zip(levels).map(of).collect();
    stages(&largest)
}

/// From these packs in a step, in powers of two, down to one.
fn stages(largest: &[Vec<u32>]) -> Vec<Vec<Vec<u32>>> {
    let power = |packs: u32| packs.max(1).ilog2();
    let most = largest.iter().flatten().map(|packs| power(*packs)).max();
    let at_most = |most: u32| {
        let of = |sizes: &Vec<u32>| {
            let packs = sizes.iter().map(|packs| 1 << power(*packs).min(most));
            packs.collect()
        };
        largest.iter().map(of).collect()
    };
    (0..=most.unwrap_or(0)).rev().map(at_most).collect()
}
