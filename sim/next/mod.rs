//! What next: one real axle on the bench, what its readings say of it, and which packs to fit.

mod answer;
mod job;

pub use answer::{
    AsItStands, Belief, CanBuild, Expected, Figure, Go, Move, Narrowing, Next, PreloadNext,
    Quantiles, Question, Reading, Remark, SURPRISING, ShimsOf, Slip, Surprise, Suspect,
};
pub use job::{BenchJob, Fitted, Known};

use crate::bench::setup::Flaw;

/// What the readings of an axle say of it, and which packs to fit next.
///
/// # Errors
/// A [`Flaw`] for every figure of the job with which no belief can be formed.
pub fn next(question: &Question<'_>) -> Result<Next, Vec<Flaw>> {
    let _ = question;
    unimplemented!("the belief is being built")
}
