//! `shimcast kit`.
use super::{Ended, Failure};
use crate::args::Kit;
use crate::terminal::Ink;

pub(super) fn run(_args: &Kit, _ink: Ink) -> Result<Ended, Failure> {
    Ok(Ended::Done)
}
