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
mod pattern;
pub mod prompt;
pub mod question;
pub mod terminal;
pub mod typed;

use self::question::{Question, Wants};
use crate::files::Group;

pub(crate) use files::begun;
pub use files::{Filled, files};
pub use job::{Asked, job};
pub(crate) use job::{HEAD, STANDS, axle_files};

/// What there is to choose from for a dotted key of an axle or a shop file: as the file writes it, and as
/// it is put. Empty where it is no choice, or is not asked for.
pub fn options(key: &str) -> &'static [(&'static str, &'static str)] {
    let mut all = of_files::AXLE.iter().chain(&of_files::SHOP);
    let dotted = |question: &Question| match question.group {
        Group::Under(groups) => format!("{}.{}", groups.join("."), question.key),
        _ => question.key.to_owned(),
    };
    match all
        .find(|question| dotted(question) == key)
        .map(|of| of.wants)
    {
        Some(Wants::Choice(options)) => options,
        _ => &[],
    }
}
