//! What a drawer costs at the till: whole packs, beyond what is there.

use super::shelf::Shelf;
use super::trials::Levels;

/// What levels cost, and by which steps they are changed.
///
/// A level that a part of what is bought at least reaches costs as much as one that takes all of it, so
/// levels go by that from what is there.
#[derive(Debug, Clone)]
pub(super) struct Till<'a> {
    shelves: &'a [Shelf],
    /// What is there before anything is bought.
    there: Levels,
    /// For each series and size, least orders in a step.
    packs: Vec<Vec<u32>>,
}

impl<'a> Till<'a> {
    /// For a drawer in which so many are there.
    pub(super) fn with(shelves: &'a [Shelf], there: Levels) -> Self {
        let packs = there.iter().map(|sizes| vec![1; sizes.len()]).collect();
        Self {
            shelves,
            there,
            packs,
        }
    }

    /// For an empty drawer.
    pub(super) fn empty(shelves: &'a [Shelf]) -> Self {
        let none = shelves.iter().map(|s| vec![0; s.sizes.len()]).collect();
        Self::with(shelves, none)
    }

    /// The same by steps of more packs, or fewer.
    pub(super) fn by(&self, packs: Vec<Vec<u32>>) -> Self {
        Self {
            packs,
            ..self.clone()
        }
    }

    /// What is there before anything is bought.
    pub(super) fn there(&self) -> &Levels {
        &self.there
    }

    /// Pieces of a size in a step.
    pub(super) fn step(&self, series: usize, size: usize) -> u32 {
        self.packs[series][size] * self.shelves[series].least_bought()
    }

    /// What a step costs.
    pub(super) fn price(&self, series: usize, size: usize) -> f64 {
        f64::from(self.step(series, size)) * self.shelves[series].prices[size]
    }

    /// Steps that can be taken back from a level.
    pub(super) fn steps_above(&self, series: usize, size: usize, level: u32) -> u32 {
        level.saturating_sub(self.there[series][size]) / self.step(series, size)
    }

    /// What levels cost, all of it.
    pub(super) fn pays(&self, levels: &Levels) -> f64 {
        to_pay(self.shelves, levels, Some(&self.there))
    }
}

/// What it costs to fill a drawer up to its levels in whole packs: an empty one, or one with these
/// counts.
pub fn to_pay(shelves: &[Shelf], levels: &Levels, have: Option<&Levels>) -> f64 {
    let mut sum = 0.0;
    for (s, (shelf, levels)) in shelves.iter().zip(levels).enumerate() {
        for (i, level) in levels.iter().enumerate() {
            let there = have.map_or(0, |have| have[s][i]);
            let pieces = match level.saturating_sub(there) {
                0 => 0,
                missing => missing
                    .next_multiple_of(shelf.pack_of)
                    .max(shelf.least_bought()),
            };
            sum += f64::from(pieces) * shelf.prices[i];
        }
    }
    sum
}

/// Levels raised to what is bought anyway for an empty drawer.
pub(super) fn in_whole_packs(shelves: &[Shelf], levels: &Levels) -> Levels {
    let of = |(shelf, levels): (&Shelf, &Vec<u32>)| {
        let whole = levels
            .iter()
            .map(|n| n.next_multiple_of(shelf.least_bought()));
        whole.collect()
    };
    shelves.iter().zip(levels).map(of).collect()
}
