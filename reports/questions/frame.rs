//! Title, seed and cautions of an answer about one job.

use shimcast_sim::bench::setup::Setup;

use super::what_if::name_of;
use crate::document::{CAUTION, Document, wording};
use crate::figures::rebuilds;
use crate::files::Assumption;

/// A document about a job; `partial` is after how many rebuilds it was broken off.
pub fn of_job(setup: &Setup, partial: Option<u64>, assumptions: &[Assumption]) -> Document {
    let mut document = Document::about(title(setup));
    document.partial = partial;
    document.assume(assumed(assumptions));
    document.cautions.push(CAUTION);
    document
}

/// A key of a file: as it is written there, or with what it is called.
pub fn key(key: &str) -> String {
    match name_of(key) {
        Some(name) => wording::key(key, &format!("{name} ({key})")),
        None => key.to_owned(),
    }
}

/// Assumptions, a line each.
pub fn assumed(assumptions: &[Assumption]) -> impl Iterator<Item = String> {
    assumptions
        .iter()
        .map(|of| match of.text.strip_prefix(&of.key) {
            Some(rest) => key(&of.key) + rest,
            None => of.text.clone(),
        })
}

/// Which job it is.
pub fn title(setup: &Setup) -> String {
    let (axle, shop) = (&setup.axle.name, &setup.shop.name);
    format!("{axle} at {shop}: {}", renewed(setup))
}

/// What a job renews.
pub fn renewed(setup: &Setup) -> String {
    let (gears, bearings) = (setup.gears.word(), setup.bearings.word());
    format!("gears {gears}, bearings {bearings}")
}

/// What the figures of one job come from.
pub fn behind(number: u64, seed: u64) -> String {
    format!(
        "{}, seed {seed}; \"to\" gives 95 % intervals of the simulation. {PLAUSIBLE}",
        rebuilds(number)
    )
}

/// Fewer rebuilds than this say nothing about differences and shares of a variance.
pub const FEW: u64 = 100;
/// What is said then.
pub const TOO_FEW: &str = "Too few rebuilds to say.";

/// How far to trust what was not measured.
pub const PLAUSIBLE: &str = "Minutes, spreads and prices are what the files say: the built-in ones are \
                             plausible, not measured.";
