//! Differences between two ways of working on the same parts: of shares, and of figures.

use crate::count::estimate::{Estimate, Moments, Z95};
use crate::count::sums::Sums;

/// What one rebuild is for a share.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Trial {
    /// Outside the share: of a share of finished jobs, one that was given up.
    NotCounted,
    /// Counted, without the property.
    Failure,
    /// Counted, with the property.
    Success,
}

impl Trial {
    pub(crate) fn of(success: bool) -> Self {
        if success {
            Self::Success
        } else {
            Self::Failure
        }
    }
}

/// Pairs of rebuilds, counted by what each is in the first way and in the other.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) struct SharePairs([[u64; 3]; 3]);

impl SharePairs {
    #[inline]
    pub(crate) fn add(&mut self, first: Trial, other: Trial) {
        self.0[first as usize][other as usize] += 1;
    }

    pub(crate) fn merge(&mut self, later: &Self) {
        let own = self.0.as_flattened_mut().iter_mut();
        for (own, more) in own.zip(later.0.as_flattened()) {
            *own += more;
        }
    }

    /// Share of the other way less that of the first, with the interval of paired observations.
    ///
    /// # Definition
    /// Each share is of the rebuilds that count. The interval is Wald's by linearisation, with one
    /// pair of either disagreement added; where every rebuild counts this is Bonett and Price's.
    ///
    /// # Source
    /// Bonett and Price, "Adjusted Wald confidence interval for a difference of binomial
    /// proportions based on paired data", Journal of Educational and Behavioral Statistics 37
    /// (2012) 479–488.
    pub(crate) fn difference(&self) -> Estimate {
        let plain = self.0.map(|row| row.map(|count| count as f64));
        let n = self.0.as_flattened().iter().sum();
        let mut adjusted = plain;
        adjusted[Trial::Failure as usize][Trial::Success as usize] += 1.0;
        adjusted[Trial::Success as usize][Trial::Failure as usize] += 1.0;
        let value = Margin::other(&plain).share() - Margin::first(&plain).share();
        let (first, other) = (Margin::first(&adjusted), Margin::other(&adjusted));
        let centre = other.share() - first.share();
        let total: f64 = adjusted.as_flattened().iter().sum();
        let mut squares = 0.0;
        for (i, row) in adjusted.iter().enumerate() {
            for (j, weight) in row.iter().enumerate() {
                let influence = total * (other.influence(j) - first.influence(i));
                squares += weight * influence * influence;
            }
        }
        let half = Z95 * squares.sqrt() / total;
        Estimate {
            value,
            low: (centre - half).max(-1.0),
            high: (centre + half).min(1.0),
            n,
        }
    }
}

/// The counts of one of the two ways.
struct Margin {
    failures: f64,
    successes: f64,
}

impl Margin {
    fn first(pairs: &[[f64; 3]; 3]) -> Self {
        let sum = |count: Trial| pairs[count as usize].iter().sum();
        Self {
            failures: sum(Trial::Failure),
            successes: sum(Trial::Success),
        }
    }

    fn other(pairs: &[[f64; 3]; 3]) -> Self {
        let sum = |count: Trial| pairs.iter().map(|row| row[count as usize]).sum();
        Self {
            failures: sum(Trial::Failure),
            successes: sum(Trial::Success),
        }
    }

    fn share(&self) -> f64 {
        self.successes / (self.failures + self.successes)
    }

    /// Influence of one such rebuild on the share.
    fn influence(&self, count: usize) -> f64 {
        let success = if count == Trial::Success as usize {
            1.0
        } else if count == Trial::Failure as usize {
            0.0
        } else {
            return 0.0;
        };
        (success - self.share()) / (self.failures + self.successes)
    }
}

/// Differences of a figure, pair by pair.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct FigurePairs {
    sums: Sums,
    /// Pairs that differ at all.
    differ: u64,
}

impl FigurePairs {
    #[inline]
    pub(crate) fn add(&mut self, first: f64, other: f64) {
        let difference = other - first;
        self.sums.add(difference);
        self.differ += u64::from(difference != 0.0);
    }

    pub(crate) fn merge(&mut self, later: &Self) {
        self.sums.merge(&later.sums);
        self.differ += later.differ;
    }

    /// Whether no pair differed.
    pub(crate) fn alike(&self) -> bool {
        self.differ == 0
    }

    /// Mean of the other way less that of the first, with the interval of paired observations.
    ///
    /// # Definition
    /// The pseudo-observations differ as two independent rebuilds do: by √2 times the standard
    /// deviation of one way's `figures`, but by at least `least`.
    pub(crate) fn difference(&self, figures: &Moments, least: f64) -> Estimate {
        let unrelated = (2.0_f64.sqrt() * figures.deviation()).max(least);
        let moments = self.sums.moments();
        moments.estimate_of_differences(self.differ, unrelated)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pairs(out: u64, both_no: u64, gained: u64, lost: u64, both_yes: u64) -> SharePairs {
        let mut pairs = SharePairs::default();
        pairs.0[0][0] = out;
        pairs.0[1][1] = both_no;
        pairs.0[1][2] = gained;
        pairs.0[2][1] = lost;
        pairs.0[2][2] = both_yes;
        pairs
    }

    #[test]
    fn the_interval_is_the_adjusted_one_by_hand() {
        // 100 pairs, 12 gained, 4 lost: centre (12 − 4)/102, half 1.96·√((18 − 102·(8/102)²)/102²)
        let difference = pairs(0, 50, 12, 4, 34).difference();
        let centre: f64 = 8.0 / 102.0;
        let half = Z95 * ((18.0 / 102.0 - centre * centre) / 102.0).sqrt();
        assert!((difference.value - 0.08).abs() < 1e-15);
        assert!((difference.low - (centre - half)).abs() < 1e-12);
        assert!((difference.high - (centre + half)).abs() < 1e-12);
        assert_eq!(difference.n, 100);
    }

    #[test]
    fn rebuilds_that_do_not_count_leave_the_shares_alone() {
        let with = pairs(900, 50, 12, 4, 34).difference();
        let without = pairs(0, 50, 12, 4, 34).difference();
        assert!((with.value - without.value).abs() < 1e-15);
        assert!((with.low - without.low).abs() < 1e-12);
    }

    #[test]
    fn no_disagreement_at_all_differs_by_exactly_zero_and_still_has_an_interval() {
        let same = pairs(3, 40, 0, 0, 60).difference();
        assert_eq!(same.value, 0.0);
        assert!(same.low < 0.0 && same.high > 0.0);
    }

    /// Two of 30 differ, by 3 and −1, among figures of standard deviation 1: the
    /// pseudo-observations have the mean square of 3, −1 less their mean and √2, by hand.
    #[test]
    fn figures_of_which_few_differ_by_hand() {
        let mut apart = FigurePairs::default();
        for other in [3.0, -1.0].into_iter().chain([0.0; 28]) {
            apart.add(5.0, 5.0 + other);
        }
        let figures = Moments::from_sums(1001, 0.0, 1000.0);
        let found = apart.difference(&figures, 0.0);
        let (squares, z2) = (10.0 - 4.0 / 30.0, Z95 * Z95);
        let variance: f64 = (squares + z2 * (squares + 2.0) / 3.0) / (30.0 + z2);
        let half = 2.045_230 * (variance / 30.0).sqrt();
        assert!((found.value - 2.0 / 30.0).abs() < 1e-15);
        assert!((found.half_width() - half).abs() < 1e-6, "{found:?}");
        assert!(!apart.alike());
    }

    #[test]
    fn pairs_that_never_differed_may_yet() {
        let mut apart = FigurePairs::default();
        for figure in 0..30 {
            apart.add(figure.into(), figure.into());
        }
        assert!(apart.alike());
        let figures = Moments::from_sums(30, 0.0, 0.0);
        let found = apart.difference(&figures, 1.0);
        assert_eq!(found.value, 0.0);
        assert!(found.low < -0.09 && found.high > 0.09, "{found:?}");
    }

    #[test]
    fn pairing_that_agrees_narrows_the_interval() {
        let unpaired = {
            // the same margins, 46 and 38 of 100, unpaired
            let share = |p: f64| p * (1.0 - p) / 100.0;
            Z95 * (share(0.46) + share(0.38)).sqrt()
        };
        let paired = pairs(0, 50, 12, 4, 34).difference();
        assert!(paired.half_width() < 0.65 * unpaired);
    }
}
