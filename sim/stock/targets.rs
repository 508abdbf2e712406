//! What a drawer is to be good for: shares of jobs, or of trips, that never wait.

use super::service::Service;
use super::tape::{Sample, Unit};
use crate::count::estimate::Estimate;

/// Shares that are not to wait: of all, and beside that of single lines of jobs.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Targets {
    /// Of all.
    pub(super) all: f64,
    /// Of the jobs of single lines, by their place.
    pub(super) lines: Vec<(usize, f64)>,
}

/// How many wait: of all, then of each line that has a target of its own.
pub(super) type Waits = Vec<i64>;

impl Targets {
    /// A share of all, whatever their line.
    pub(super) fn all(share: f64) -> Self {
        Self {
            all: share,
            lines: Vec::new(),
        }
    }

    /// The lines with a target of their own.
    pub(super) fn own(&self) -> Vec<usize> {
        self.lines.iter().map(|(line, _)| *line).collect()
    }

    /// All targets, in the order of [`Waits`].
    pub(super) fn shares(&self) -> Vec<f64> {
        let lines = self.lines.iter().map(|(_, share)| *share);
        std::iter::once(self.all).chain(lines).collect()
    }

    /// How many there are on a sample that each target is about.
    pub(super) fn counts(&self, sample: &Sample) -> Vec<usize> {
        let of_line = |line: usize| {
            (sample.lines.iter())
                .filter(|of| **of as usize == line)
                .count()
        };
        let lines = self.lines.iter().map(|(line, _)| of_line(*line));
        std::iter::once(sample.jobs).chain(lines).collect()
    }

    /// How many of them may wait where these shares are not to.
    pub(super) fn most_waits(&self, sample: &Sample, shares: &[f64]) -> Waits {
        let counts = self.counts(sample);
        let may_wait = |(share, jobs): (&f64, usize)| ((1.0 - share) * jobs as f64 + 1e-9).floor();
        shares
            .iter()
            .zip(counts)
            .map(|each| may_wait(each).max(0.0) as i64)
            .collect()
    }

    /// What a service comes to, target by target.
    pub(super) fn reached(&self, service: &Service, unit: Unit) -> Vec<Estimate> {
        let all = match unit {
            Unit::Job => service.job_fill,
            Unit::Trip => service.all_done,
        };
        let of_line = |line: usize| service.by_line.get(line).copied();
        let lines = self.lines.iter().filter_map(|(line, _)| of_line(*line));
        std::iter::once(all).chain(lines).collect()
    }
}
