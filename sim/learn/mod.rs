//! A shop's own jobs: whether they look like those that are simulated for it.
//!
//! A finished job is a [`BenchJob`] with what became of it. A rebuild of the ordinary simulation is told as
//! the same ([`recorded`]), so whatever is read off one is read off the other by the same words
//! ([`JobFigure::of`]), and figures of both are held against each other ([`agreement`]). What jobs teach of
//! the figures of the files is one list ([`lessons`]): each figure's file value is a prior worth so many jobs.

mod agreement;
mod beliefs;
mod drift;
mod figures;
mod lessons;
mod minutes;
mod operations;
mod posterior;
mod record;
mod scores;
mod shares;
mod shims_out;
mod spreads;

#[cfg(test)]
mod tests;

pub use agreement::{Agreement, Difference, Question, Tested, agreement};
pub use drift::{Drift, Shows, drift};
pub use figures::JobFigure;
pub use lessons::{Learnable, Lesson, Taught, lessons};
pub use minutes::Timed;
pub use posterior::Posterior;
pub use record::recorded;

use crate::bench::minutes::Task;
use crate::next::BenchJob;

/// A job that has ended, as far as it is stated.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct FinishedJob {
    /// What was known of the axle, fitted and read.
    pub bench: BenchJob,
    /// Hours that it took.
    pub hours: Option<f64>,
    /// Minutes of those tasks whose time is known.
    pub minutes: Vec<(Task, f64)>,
    /// Crush sleeves used, or goes at the solid spacer.
    pub tries: Option<u32>,
    /// Shims that came out and could not be used again, by series; a series that is not here was not counted.
    pub spoiled: Vec<(String, u32)>,
    /// Whether it came back; `None` where it was given up, or nobody knows.
    pub comeback: Option<bool>,
    /// Whether it was finished or given up; one that is still on the bench is told of by its readings alone.
    pub ended: bool,
}
