//! What an axle file and a shop file mean, and where something looks wrong.

mod found;
mod stand_in;
mod tell;

use shimcast_sim::bench::setup::Setup;

use super::context::{Failure, read, set_up};
use super::{Answer, Exit, Form, Reply};
use crate::cli;
use crate::document::Document;
use crate::files::Loaded;
use crate::units::Units;
use found::Findings;

/// The answer.
#[derive(Debug)]
struct Check {
    loaded: Loaded,
    setup: Setup,
    found: Findings,
}

/// What looks wrong in the files of a job, a sentence each.
pub fn doubts(setup: &Setup, loaded: &Loaded) -> Vec<String> {
    found_in(setup, loaded).doubts
}

/// The same without what comes of a doubt: alike for jobs whose files are alike in what is doubted.
pub fn bare_doubts(setup: &Setup, loaded: &Loaded) -> Vec<String> {
    let mut doubts = doubts_in(setup, loaded.axle_units, loaded.shop_units);
    doubts.extend(found::closure_doubt(setup, loaded));
    doubts
}

/// What was found in the files of a job.
fn found_in(setup: &Setup, loaded: &Loaded) -> Findings {
    let mut found = found::look(setup, loaded.axle_units, loaded.shop_units);
    found
        .doubts
        .extend(found::dial_doubt(setup, found::otherwise));
    found.doubts.extend(found::closure_doubt(setup, loaded));
    found.doubts.extend(drawer_doubts(setup, loaded.shop_units));
    found
}

/// The same, by the units of both files.
pub(crate) fn doubts_in(setup: &Setup, axle: Units, shop: Units) -> Vec<String> {
    let mut doubts = found::look(setup, axle, shop).doubts;
    doubts.extend(found::dial_doubt(setup, |_| String::new()));
    doubts
}

/// Doubts of the drawer alone.
pub(crate) fn drawer_doubts(setup: &Setup, shop: Units) -> Vec<String> {
    stand_in::near_doubts(setup, shop)
}

/// `shimcast check`.
pub fn ask(args: &cli::Check) -> Result<Reply, Failure> {
    let loaded = read(&args.files)?;
    let setup = set_up(&loaded, &args.renewed)?;
    let found = found_in(&setup, &loaded);
    let answer = Check {
        loaded,
        setup,
        found,
    };
    Ok(Reply::new(answer, Form::Text))
}

impl Answer for Check {
    fn tell(&self) -> Document {
        tell::tell(self)
    }

    fn exit(&self) -> Exit {
        Exit::met_or(self.found.doubts.is_empty())
    }
}
