//! Questions put one by one at a terminal, each answered by one key of a file.
//!
//! A question is data ([`question::Question`]); what it is put through is a [`prompt::Prompt`], of which
//! [`terminal::Terminal`] is the real one. Every answer is in the file before the next question, so that
//! they can be stopped and taken up at any time.

pub mod fields;
pub mod figure;
mod files;
mod job;
mod of_files;
pub(crate) mod of_job;
pub mod prompt;
pub mod question;
pub mod terminal;

pub use files::{Filled, files};
pub use job::{Asked, job};
pub(crate) use job::{HEAD, STANDS, axle_files};
