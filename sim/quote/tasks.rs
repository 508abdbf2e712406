//! Minutes of the tasks of a job, exactly, so that they add up.

use crate::bench::minutes::TICKS_A_MINUTE;
use crate::count::estimate::{Estimate, Moments};
use crate::count::sums::Powers;

/// Minutes of one task, first times or repeats.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct MinuteSums {
    /// Exact, so that the tasks add up.
    pub(super) ticks: i128,
    /// For the interval; only of rebuilds in which it occurred.
    pub(super) minutes: Powers,
}

impl MinuteSums {
    #[inline]
    pub(super) fn add(&mut self, ticks: i64) {
        if ticks != 0 {
            self.ticks += i128::from(ticks);
            self.minutes.add(ticks as f64 / TICKS_A_MINUTE);
        }
    }

    pub(super) fn merge(&mut self, later: &Self) {
        self.ticks += later.ticks;
        self.minutes.merge(&later.minutes);
    }

    /// Mean over all rebuilds; where the task never occurred, the interval allows for it to take
    /// `unseen` minutes.
    pub(super) fn estimate(&self, rebuilds: u64, unseen: f64) -> Estimate {
        let mut minutes = self.minutes.moments();
        minutes.merge(&Moments::from_sums(rebuilds - minutes.n(), 0.0, 0.0));
        let known = minutes.estimate_of_events(unseen);
        // minutes that only add up are not below zero
        let least = if self.ticks < 0 {
            f64::NEG_INFINITY
        } else {
            0.0
        };
        Estimate {
            value: mean_minutes(self.ticks, rebuilds),
            ..known.not_below(least)
        }
    }
}

/// The mean of exact ticks.
pub(super) fn mean_minutes(ticks: i128, n: u64) -> f64 {
    ticks as f64 / TICKS_A_MINUTE / n as f64
}
