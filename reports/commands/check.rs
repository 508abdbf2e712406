//! `shimcast check`.

use super::{Ended, Failure, fitted, print, read, set_up};
use crate::args::Check;
use crate::check::check;
use crate::terminal::{self, Ink};

pub(crate) fn run(args: &Check, ink: Ink) -> Result<Ended, Failure> {
    let loaded = read(&args.files)?;
    let setup = set_up(&loaded, &args.renewed)?;
    let units = loaded.axle_units;
    let found = check(&setup, units, loaded.shop_units);
    let text = terminal::check::render(&setup, units, &loaded.assumptions, &found, ink);
    print(&fitted(&text))?;
    Ok(Ended::Done)
}
