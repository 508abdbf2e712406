//! The odds in figures: where the windows are met, and what a job takes.

pub mod bars;
mod coupling;
mod hundred;
mod pattern;
mod spans;
mod spread;
mod work;

use shimcast_sim::bench::setup::Setup;
use shimcast_sim::count::estimate::Estimate;
use shimcast_sim::follow::Story;
use shimcast_sim::odds::Odds;
use shimcast_sim::pictures::Pictures;

pub use coupling::{backlash_window, pattern_window};
pub use hundred::{hundred, hundred_beside};
pub use pattern::summary;

use super::rows;
use crate::document::{Block, Section};
use crate::printed::Printed;
use crate::questions::outside;

/// The odds of a job with what figures need of it.
#[derive(Debug, Clone, Copy)]
pub struct Pictured<'a> {
    /// The job.
    pub setup: &'a Setup,
    /// Its odds.
    pub odds: &'a Odds,
    /// Histograms and single rebuilds.
    pub pictures: &'a Pictures,
    /// How lengths and torques are printed.
    pub print: Printed,
}

/// Where the windows are met.
pub fn windows(of: &Pictured<'_>) -> Section {
    let lead = format!(
        "The first assembly is the truth as first bolted up, before anything was corrected. Handed \
         over is the truth of the finished jobs. {}",
        outside::told(&of.odds.handed_over.all, &of.odds.clearly_out)
    );
    let blocks = vec![
        Block::Text(lead),
        rows::windows(of.setup, of.odds, of.print).into(),
        spans::spans(of).into(),
    ];
    Section::at("windows", "Does it land in the windows?", blocks)
}

/// How each figure spreads, and how depth and ring position depend on each other, with one rebuild
/// on its way.
pub fn spreads(of: &Pictured<'_>, story: &Story) -> Section {
    let blocks = vec![
        spread::backlash(of).into(),
        spread::closure(of).into(),
        spread::torque(of).into(),
        coupling::coupling(of, story).into(),
        pattern::pattern(of).into(),
    ];
    Section::at("spreads", "How does each figure spread?", blocks)
}

/// What a job takes.
pub fn effort(of: &Pictured<'_>) -> Section {
    let blocks = vec![
        rows::effort(of.setup, &of.odds.effort).into(),
        work::assemblies(of).into(),
        work::packs(of).into(),
    ];
    Section::at("work", "What does it take?", blocks)
}

/// How well the parts of a figure are known that are shares of `n` jobs.
pub fn known_within(n: u64) -> String {
    let half = 100.0 * Estimate::share(n / 2, n).half_width();
    format!("Every share is known to {half:.1} points or better.")
}

/// The first rebuilds, in a sentence.
fn the_first(rebuilds: usize) -> String {
    match rebuilds {
        1 => "the first rebuild".into(),
        n => format!("the first {n} rebuilds"),
    }
}
