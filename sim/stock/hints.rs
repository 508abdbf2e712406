//! What a search wants to know of a trial: which jobs waited, and which sizes would have helped.

use super::at_hand::AtHand;
use super::books::{Books, Way};
use super::shelf::Choices;

/// Kinds of shims that are noted for one missing pack at the most.
const MOST_NOTED: u32 = 32;

/// The books of a trial of one series on one tape.
#[derive(Debug)]
pub(super) struct Hints {
    /// For each job that touched the series, how many packs were missing.
    pub(super) missed: Vec<u8>,
    /// For each size, about how many missing packs one more of it would have built.
    pub(super) hints: Vec<f64>,
    /// A bit for each size of which one more would have been used since its last delivery.
    lent: u64,
}

impl Hints {
    /// An empty book for so many jobs and sizes.
    pub(super) fn new(jobs: usize, sizes: usize) -> Self {
        Self {
            missed: Vec::with_capacity(jobs),
            hints: vec![0.0; sizes],
            lent: 0,
        }
    }
}

impl Books for Hints {
    #[inline(always)]
    fn went(&mut self, way: Way, size: usize, count: i32) {
        if way == Way::Delivered && count > 0 {
            self.lent &= !(1 << size);
        }
    }

    /// Notes which single size would have done, or what part each of several would have.
    fn missing(&mut self, at_hand: &AtHand, choices: &Choices) {
        // what is not there at all is lacking once at least
        let none = at_hand.none();
        let at_least = |sizes: u64| (sizes & none).count_ones() as i32;
        let mut least = i32::MAX;
        for (sizes, choice) in choices.iter() {
            if at_least(sizes) < least {
                least = least.min(at_hand.lacks(&choice.needs));
            }
        }
        let credit = 1.0 / f64::from(least * least);
        let mut noted = 0_u64;
        for (sizes, choice) in choices.iter() {
            if at_least(sizes) > least || at_hand.lacks(&choice.needs) > least {
                continue;
            }
            for (i, count) in choice.needs.iter() {
                let bit = 1 << i;
                let lacking = count > at_hand.of(i) && self.lent & bit == 0;
                if lacking && noted & bit == 0 && noted.count_ones() < MOST_NOTED {
                    noted |= bit;
                    self.hints[i] += credit;
                }
            }
        }
        if least == 1 {
            self.lent |= noted;
        }
    }

    #[inline(always)]
    fn served(&mut self, _: u32, missing: u8) {
        self.missed.push(missing);
    }
}
