//! Hints of a trial for the search: which jobs waited, and which sizes would have helped.

use super::books::{Books, Flow};
use super::lanes::{Lanes, sizes_in};
use super::shelf::Choices;

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
    /// An empty book for a number of jobs and sizes.
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
    fn went(&mut self, way: Flow, size: usize, count: i32) {
        if way == Flow::Delivered && count > 0 {
            self.lent &= !(1 << size);
        }
    }

    /// Credits the single size that would have completed the pack, or a part of it to each of
    /// several.
    fn missing<const W: usize>(&mut self, reach: Lanes<W>, choices: &Choices) {
        let (mut least, mut nearest) = (i32::MAX, 0_u64);
        for pack in choices.lanes::<W>() {
            let lacking = pack.over(reach);
            let lacks = lacking.sum();
            if lacks < least {
                (least, nearest) = (lacks, 0);
            }
            if lacks == least {
                nearest = lacking.up().fold(nearest, |sizes, (i, _)| sizes | 1 << i);
            }
        }
        let credit = 1.0 / f64::from(least * least);
        nearest &= !self.lent;
        for i in sizes_in(nearest) {
            self.hints[i] += credit;
        }
        if least == 1 {
            self.lent |= nearest;
        }
    }

    #[inline(always)]
    fn served(&mut self, _: u32, missing: u8) {
        self.missed.push(missing);
    }
}
