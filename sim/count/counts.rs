//! Counts of whole numbers, and of figures in fine steps.

use crate::count::estimate::{Estimate, Moments};

/// How often each whole number occurred.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Counts {
    first: i64,
    counts: Vec<u64>,
}

impl Counts {
    /// Counts one more.
    #[inline]
    pub fn add(&mut self, number: i64) {
        let place = number.wrapping_sub(self.first) as usize;
        match self.counts.get_mut(place) {
            Some(count) => *count += 1,
            None => *self.grown_to(number) += 1,
        }
    }

    #[cold]
    fn grown_to(&mut self, number: i64) -> &mut u64 {
        if self.counts.is_empty() {
            self.first = number;
        }
        if number < self.first {
            let more = (self.first - number) as usize;
            self.counts.splice(0..0, std::iter::repeat_n(0, more));
            self.first = number;
        }
        let place = (number - self.first) as usize;
        if place >= self.counts.len() {
            self.counts.resize(place + 1, 0);
        }
        &mut self.counts[place]
    }

    /// Adds other counts.
    pub fn merge(&mut self, other: &Self) {
        let Some(more) = other.counts.len().checked_sub(1) else {
            return;
        };
        self.grown_to(other.first);
        self.grown_to(other.first + more as i64);
        let start = (other.first - self.first) as usize;
        for (own, count) in self.counts[start..].iter_mut().zip(&other.counts) {
            *own += count;
        }
    }

    /// Numbers that occurred with their counts, ascending.
    pub fn iter(&self) -> impl Iterator<Item = (i64, u64)> + '_ {
        (self.first..)
            .zip(self.counts.iter().copied())
            .filter(|(_, count)| *count > 0)
    }

    /// How many were counted.
    pub fn total(&self) -> u64 {
        self.counts.iter().sum()
    }

    /// Mean and spread of the numbers.
    pub fn moments(&self) -> Moments {
        let mut moments = Moments::default();
        for (number, count) in self.iter() {
            let (number, count) = (number as f64, count as f64);
            moments.merge(&Moments::from_sums(
                count as u64,
                number * count,
                number * number * count,
            ));
        }
        moments
    }

    /// The mean of the numbers with its interval, valid also where few of them differ from the
    /// rest.
    pub fn mean(&self) -> Estimate {
        self.moments().estimate_of_events(1.0)
    }

    /// The number at a place, from 1, in ascending order; `None` past the last.
    pub(crate) fn at(&self, place: u64) -> Option<i64> {
        let mut seen = 0;
        self.iter()
            .find(|(_, count)| {
                seen += count;
                seen >= place
            })
            .map(|(number, _)| number)
    }
}

/// Figures above zero counted in steps of one part in 4096 to 8192: quantiles of any number of
/// figures in bounded memory.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct FineCounts(Counts);

/// Bits of a figure's mantissa that are kept.
const KEPT: u32 = 12;
/// Figures are clamped to these: 2⁻²⁰ and 2⁴⁰.
const RANGE: (f64, f64) = (1.0 / 1_048_576.0, 1_099_511_627_776.0);

impl FineCounts {
    /// Counts one more figure.
    #[inline]
    pub fn add(&mut self, figure: f64) {
        let bits = figure.clamp(RANGE.0, RANGE.1).to_bits();
        self.0.add((bits >> (52 - KEPT)) as i64);
    }

    /// Adds other counts.
    pub fn merge(&mut self, other: &Self) {
        self.0.merge(&other.0);
    }

    /// The middle of each step with its count, ascending.
    pub fn iter(&self) -> impl Iterator<Item = (f64, u64)> + '_ {
        self.0.iter().map(|(step, count)| (middle(step), count))
    }

    /// The `q` quantile with its interval; no value where nothing was counted.
    ///
    /// # Accuracy
    /// One part in 8000; the interval extends to the outer edges of the steps that hold its ends.
    pub fn quantile(&self, q: f64) -> Estimate {
        self.0.quantile(q, 0.0, lower_edge, middle)
    }

    /// Share of the figures above a limit.
    pub fn share_above(&self, limit: f64) -> Estimate {
        let above = self.iter().filter(|(figure, _)| *figure > limit);
        Estimate::share(above.map(|(_, count)| count).sum(), self.0.total())
    }
}

/// Where a step begins.
fn lower_edge(step: i64) -> f64 {
    f64::from_bits((step as u64) << (52 - KEPT))
}

/// The middle of a step.
fn middle(step: i64) -> f64 {
    let bits = ((step as u64) << (52 - KEPT)) | (1 << (51 - KEPT));
    f64::from_bits(bits)
}
