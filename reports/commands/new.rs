//! `shimcast new`.

use super::{Ended, Failure, print, starter};
use crate::args::New;

pub(crate) fn run(args: &New) -> Result<Ended, Failure> {
    let written = starter::write(&args.dir).map_err(Failure::CannotAccess)?;
    print(&written)?;
    Ok(Ended::Done)
}
