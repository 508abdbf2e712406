//! What the drawer and the box for the road share: the shop's work, the list of sizes, and how both
//! are told.

pub(super) mod json;
pub mod list;
pub(crate) mod tell;
mod work;

use std::path::Path;

pub(crate) use work::{Work, read, read_and_tell};

use super::Form;
use super::context::STDOUT;

/// What an answer with a list of sizes is printed as: the list where `--csv` names no file.
pub(super) fn form(csv: Option<&Path>, json: bool) -> Form {
    if csv == Some(Path::new(STDOUT)) {
        Form::Csv
    } else {
        Form::json_or_text(json)
    }
}
