//! One axle on the bench as it is worked on: the fields of its job file, what is written back, and what
//! the axle's readings say.

mod fields;
mod files;

pub use self::fields::{controls, fill_in};
pub use self::files::{axle_of, begin, new_job, new_job_controls, take_back};
pub use super::next::{OfJob, OnTheBench, ToFit, on_the_bench};
pub use super::report::filled_sheet;
use crate::asking::fields::Refused;

/// Why nothing was written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Unwritten {
    /// What was filled in can't be taken, field by field.
    Refused(Vec<Refused>),
    /// A file can't be written, in words.
    CannotWrite(String),
}
