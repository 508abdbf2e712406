//! Whether a kind of job can be quoted at all: how many jobs are finished, and which windows they meet.

use super::{FEW, Quote};
use crate::bench::job::Ending;
use crate::bench::outcome::Outcome;
use crate::count::estimate::Estimate;

/// A window of a right set-up.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WindowName {
    /// Backlash and its variation.
    Backlash,
    /// Contact pattern.
    Pattern,
    /// Side preload.
    SidePreload,
    /// Pinion torque.
    PinionTorque,
}

impl WindowName {
    /// All of them, as answers list them.
    pub const ALL: [Self; 4] = [
        Self::Backlash,
        Self::Pattern,
        Self::SidePreload,
        Self::PinionTorque,
    ];
}

/// The share of jobs whose last state lies in a window, given up or not.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct WindowMet {
    /// The window.
    pub window: WindowName,
    /// Share of all jobs that end inside it; of the pinion torque, of those that come to their preload.
    pub share: Estimate,
}

/// Why a kind of job is not quoted.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct NotQuoted {
    /// Share of all jobs that are finished.
    pub finished: Estimate,
    /// Share of all jobs that are handed over right in every window.
    pub right: Estimate,
    /// The windows that keep it from coming right: those that fewer than 1 in 100 jobs meet, or else
    /// the one that is met least.
    pub windows: Vec<WindowMet>,
}

/// Share of jobs that must be finished.
const LEAST_FINISHED: f64 = 0.5;
/// Share of jobs that must be handed over right, and that must meet a window.
const LEAST_RIGHT: f64 = 0.01;

impl Quote {
    /// Why this kind of job is not to be quoted; `None` where it may be.
    ///
    /// # Definition
    /// A job is quoted where at least half of such jobs are finished and at least 1 in 100 of all is
    /// handed over right in every window. Fewer than [`FEW`] rebuilds do not say.
    pub fn not_quoted(&self) -> Option<NotQuoted> {
        let right = self.met.right();
        let well = self.finished.value >= LEAST_FINISHED && right.value >= LEAST_RIGHT;
        if self.rebuilds < FEW || well {
            return None;
        }
        let mut windows = self.met.windows();
        windows.sort_by(|a, b| a.share.value.total_cmp(&b.share.value));
        let unmet = windows
            .iter()
            .filter(|window| window.share.value < LEAST_RIGHT)
            .count();
        windows.truncate(unmet.max(1));
        Some(NotQuoted {
            finished: self.finished,
            right,
            windows,
        })
    }
}

/// Counts of jobs whose last state lies in each window.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) struct MetCounts {
    rebuilds: u64,
    /// Backlash, pattern and side preload.
    inside: [u64; 3],
    torque: u64,
    /// Jobs that come to their pinion preload.
    preloaded: u64,
    right: u64,
}

impl MetCounts {
    #[inline]
    pub(super) fn add(&mut self, ending: &Ending) {
        self.rebuilds += 1;
        let last = ending.last;
        let inside = [last.backlash, last.pattern, last.closure];
        for (count, inside) in self.inside.iter_mut().zip(inside) {
            *count += u64::from(inside);
        }
        self.torque += u64::from(ending.torque == Some(true));
        self.preloaded += u64::from(ending.torque.is_some());
        self.right += u64::from(ending.outcome == Outcome::Right);
    }

    pub(super) fn merge(&mut self, later: &Self) {
        self.rebuilds += later.rebuilds;
        for (own, more) in self.inside.iter_mut().zip(later.inside) {
            *own += more;
        }
        self.torque += later.torque;
        self.preloaded += later.preloaded;
        self.right += later.right;
    }

    fn right(&self) -> Estimate {
        Estimate::share(self.right, self.rebuilds)
    }

    /// The windows that were looked at, each with its share.
    fn windows(&self) -> Vec<WindowMet> {
        let [backlash, pattern, side] = self.inside.map(|hits| (hits, self.rebuilds));
        let counts = [backlash, pattern, side, (self.torque, self.preloaded)];
        let named = WindowName::ALL.into_iter().zip(counts);
        named
            .filter(|(_, (_, looked_at))| *looked_at > 0)
            .map(|(window, (hits, looked_at))| WindowMet {
                window,
                share: Estimate::share(hits, looked_at),
            })
            .collect()
    }
}
