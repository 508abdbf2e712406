//! What each command does that is not a question yet of [`crate::questions`].

pub(crate) mod causes;
pub(crate) mod check;
mod drawer;
pub(crate) mod follow;
pub(crate) mod kit;
pub(crate) mod new;
pub(crate) mod ratio;
pub(crate) mod report;
mod starter;
pub(crate) mod stock;

use crate::questions::Ended;
use crate::questions::context::*;
use crate::run::{print, width};
use crate::terminal::fold;

/// An answer as it fits the terminal that it is printed on; elsewhere it stays as it is, so that it
/// can be searched and cut.
fn fitted(answer: &str) -> String {
    width().map_or_else(|| answer.to_owned(), |width| fold(answer, width))
}
