//! Trials of levels on common demand: every drawer has the same jobs.
//!
//! The series are independent, so each is played alone; a job waited where any of them missed a
//! pack. Results are kept.

use std::collections::HashMap;
use std::sync::Arc;

use rayon::prelude::*;

use super::drawer::{Rules, play};
use super::hints::Hints;
use super::shelf::Shelf;
use super::tape::{Sample, UNCOUNTED};
use super::targets::Waits;
use super::till::Till;

/// A level for each size of each series.
pub type Levels = Vec<Vec<u32>>;

/// The result of levels of one series on a sample.
#[derive(Debug)]
pub(super) struct TrialResult {
    /// For each job that touches the series, packs missing.
    pub(super) missed: Vec<u8>,
    /// For each size, about how many missing packs one more of it would have built.
    pub(super) hints: Vec<f64>,
}

/// A sample on which levels are tried out.
pub(super) struct Trials<'a> {
    pub(super) shelves: &'a [Shelf],
    pub(super) till: Till<'a>,
    rules: Rules,
    sample: &'a Sample,
    /// For each job that counts, the place of its line among those with a target of their own, from
    /// 1; 0 for all others.
    groups: Vec<u16>,
    /// Lines with a target of their own.
    own: usize,
    kept: HashMap<(usize, Vec<u32>), Arc<TrialResult>>,
}

/// Levels with their results.
#[derive(Debug, Clone)]
pub(super) struct Standing {
    pub(super) levels: Levels,
    pub(super) outcomes: Vec<Arc<TrialResult>>,
    /// Packs missing in each job.
    total: Vec<u16>,
    /// How many waited.
    pub(super) waits: Waits,
    /// What it costs at the till.
    pub(super) money: f64,
}

/// Results kept before the store is emptied: bounds its memory.
const MOST_KEPT: usize = 6000;

/// Credit for a job by its number of missing packs: the first of several counts for something, and
/// the last one for most.
const CREDITS: [f64; 9] = [
    1.0, 0.5, 0.25, 0.125, 0.0625, 0.03125, 0.015625, 0.0078125, 0.00390625,
];

fn credit(missing: u16) -> f64 {
    CREDITS[usize::from(missing).min(CREDITS.len() - 1)]
}

impl<'a> Trials<'a> {
    pub(super) fn new(
        shelves: &'a [Shelf],
        till: Till<'a>,
        rules: Rules,
        (sample, own): (&'a Sample, &[usize]),
    ) -> Self {
        let group = |line: &u32| match own.iter().position(|of| *of == *line as usize) {
            Some(place) => place as u16 + 1,
            None => 0,
        };
        Self {
            groups: match own {
                [] => vec![0; sample.jobs],
                _ => sample.lines.iter().map(group).collect(),
            },
            own: own.len(),
            shelves,
            till,
            rules,
            sample,
            kept: HashMap::new(),
        }
    }

    /// Jobs in the sample.
    pub(super) fn jobs(&self) -> usize {
        self.sample.jobs
    }

    fn play(&self, series: usize, levels: &[u32]) -> TrialResult {
        let shelf = &self.shelves[series];
        let played: Vec<_> = self
            .sample
            .tapes
            .par_iter()
            .map(|tape| {
                let reel = tape.reel(series);
                let mut books = Hints::new(reel.series.jobs.len(), levels.len());
                play(shelf, &self.rules, reel, levels, levels, &mut books);
                books
            })
            .collect();
        let mut hints = vec![0.0; levels.len()];
        for tape in &played {
            for (sum, hint) in hints.iter_mut().zip(&tape.hints) {
                *sum += hint;
            }
        }
        TrialResult {
            missed: played.into_iter().flat_map(|tape| tape.missed).collect(),
            hints,
        }
    }

    /// Results of levels of single series, in order.
    pub(super) fn results(&mut self, wanted: Vec<(usize, Vec<u32>)>) -> Vec<Arc<TrialResult>> {
        if self.kept.len() > MOST_KEPT {
            self.kept.clear();
        }
        let mut new: Vec<&(usize, Vec<u32>)> = wanted
            .iter()
            .filter(|w| !self.kept.contains_key(*w))
            .collect();
        new.sort_unstable();
        new.dedup();
        let played: Vec<TrialResult> = new
            .par_iter()
            .map(|(series, levels)| self.play(*series, levels))
            .collect();
        let new: Vec<(usize, Vec<u32>)> = new.into_iter().cloned().collect();
        let played = played.into_iter().map(Arc::new);
        self.kept.extend(new.into_iter().zip(played));
        wanted.iter().map(|w| self.kept[w].clone()).collect()
    }

    /// Levels with their results.
    pub(super) fn standing(&mut self, levels: Levels) -> Standing {
        let outcomes = self.results(levels.iter().cloned().enumerate().collect());
        let mut total = vec![0; self.sample.jobs];
        for (numbers, outcome) in self.sample.numbers.iter().zip(&outcomes) {
            for (number, missed) in numbers.iter().zip(&outcome.missed) {
                if *number != UNCOUNTED {
                    total[*number as usize] += u16::from(*missed);
                }
            }
        }
        Standing {
            money: self.till.pays(&levels),
            waits: self.waits_of(&total),
            levels,
            outcomes,
            total,
        }
    }

    fn waits_of(&self, total: &[u16]) -> Waits {
        let mut waits = vec![0; 1 + self.own];
        for (missing, group) in total.iter().zip(&self.groups) {
            if *missing > 0 {
                waits[0] += 1;
                if *group > 0 {
                    waits[usize::from(*group)] += 1;
                }
            }
        }
        waits
    }

    /// The effect of another result of one series: the change of how many wait, and of the credit
    /// for those that count here.
    pub(super) fn change(
        &self,
        standing: &Standing,
        series: usize,
        outcome: &TrialResult,
        counting: &Counting,
    ) -> (Waits, f64) {
        let mut waits = vec![0; 1 + self.own];
        let mut credits = 0.0;
        let own = standing.outcomes[series].missed.iter().zip(&outcome.missed);
        for (number, (before, after)) in self.sample.numbers[series].iter().zip(own) {
            if before != after && *number != UNCOUNTED {
                let had = standing.total[*number as usize];
                let has = had - u16::from(*before) + u16::from(*after);
                let group = usize::from(self.groups[*number as usize]);
                let change = i64::from(has > 0) - i64::from(had > 0);
                waits[0] += change;
                if group > 0 {
                    waits[group] += change;
                }
                if counting.all || counting.groups[group] {
                    credits += credit(has) - credit(had);
                }
            }
        }
        (waits, credits)
    }

    /// How many wait with other results of several series.
    pub(super) fn waits_with(
        &self,
        standing: &Standing,
        others: &[(usize, Arc<TrialResult>)],
    ) -> Waits {
        if let [(series, outcome)] = others {
            let (change, _) = self.change(standing, *series, outcome, &Counting::everything());
            let both = standing.waits.iter().zip(&change);
            return both.map(|(waits, change)| waits + change).collect();
        }
        let mut total = standing.total.clone();
        for (series, outcome) in others {
            let own = standing.outcomes[*series]
                .missed
                .iter()
                .zip(&outcome.missed);
            for (number, (before, after)) in self.sample.numbers[*series].iter().zip(own) {
                if *number != UNCOUNTED {
                    let missing = &mut total[*number as usize];
                    *missing = *missing - u16::from(*before) + u16::from(*after);
                }
            }
        }
        self.waits_of(&total)
    }
}

/// Whose credit counts: everybody's, or that of lines by their group.
#[derive(Debug, Clone)]
pub(super) struct Counting {
    all: bool,
    groups: Vec<bool>,
}

impl Counting {
    /// Everybody's.
    pub(super) fn everything() -> Self {
        Self {
            all: true,
            groups: Vec::new(),
        }
    }

    /// That of the targets that are not reached yet.
    pub(super) fn missing(waits: &Waits, most: &Waits) -> Self {
        let missing = waits.iter().zip(most).map(|(waits, most)| waits > most);
        let mut groups: Vec<bool> = missing.collect();
        let all = std::mem::take(&mut groups[0]);
        Self { all, groups }
    }
}
