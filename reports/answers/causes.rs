//! Causes, with what they were asked about.

use shimcast_sim::causes::{Causes, Loop, Question};
use shimcast_sim::setup::Setup;

use crate::files::{Assumption, Units};

/// The whole answer.
#[derive(Debug, Clone, Copy)]
pub struct Caused<'a> {
    /// The job.
    pub setup: &'a Setup,
    /// What was simulated.
    pub causes: &'a Causes,
    /// Seed of the run.
    pub seed: u64,
    /// Units of the axle file, in which lengths are shown.
    pub units: Units,
    /// Defaults in use.
    pub assumptions: &'a [Assumption],
}

/// A question's name in answers.
pub fn key(question: Question) -> &'static str {
    match question {
        Question::Landed => "first_assembly",
        Question::Right => "handed_over",
        Question::Hours => "hours",
        Question::Loop(Loop::Depth) => "depth",
        Question::Loop(Loop::Backlash) => "backlash",
        Question::Loop(Loop::Closure) => "side_closure",
    }
}
