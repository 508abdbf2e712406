//! The drawer: which shims to stock, and how many of each.
//!
//! Jobs arrive as a Poisson process; each wants its packs in the order in which its rebuild, with
//! an unlimited drawer, fits them ([`BenchJobs`]). They are drawn once, as a [`Tape`], and played
//! against any drawer: on the bench are the job's old shims and every shim taken out, each reusable
//! with probability 1 − `spoiled`; a pack is built from drawer and bench together, nearest sum,
//! then thinner, then fewest shims, then most from the bench. If none is near enough the pack is
//! missing and the job counts as one that waited: it takes the available shims of the ideal pack,
//! and the missing ones are ordered specially, without passing through the drawer. When it leaves,
//! good shims fill the drawer up to its levels. Reviews order what is below its level, stock on
//! order included, in whole bought packs.
//!
//! Series are independent, so each is played alone, and a job waited where any of them missed a
//! pack. Levels come from [`stock`]: marginal analysis on the share of jobs that never wait, then
//! dropping and swapping, on one sample; they are checked on a second one, with the target on the
//! first raised until the check reaches it, and verified on a third.

mod accounts;
mod answer;
mod at_hand;
mod bench;
mod book;
mod books;
mod demand;
mod drawer;
mod equal;
mod events;
mod extent;
mod found;
mod hints;
mod kept;
mod kit;
mod lanes;
mod pace;
mod pieces;
mod plan;
mod present;
mod reach;
mod service;
mod shelf;
mod sizes;
mod spoiling;
mod tape;
mod targets;
mod tighten;
mod till;
mod trials;
mod walk;
mod whatif;

pub use answer::{Question, Stock, YearlyCost, plan, shelves, stock};
pub use bench::{AtBench, BothWays, StandIns, Supplied};
pub use equal::EqualCounts;
pub use found::{Aim, DrawerOption};
pub use kept::KeptDrawer;
pub use kit::{Kit, Trip, kit};
pub use plan::{SearchProgress, Watch};
pub use present::Present;
pub use service::{AYear, Service};
pub use shelf::Shelf;
pub use sizes::{Addition, Advice, Saving};
pub use tape::Unit;
pub use till::to_pay;
pub use trials::Levels;
pub use whatif::{Interval, Nearness, Surplus};

// for the program's day book and the tests of the rules
#[doc(hidden)]
pub use book::{Book, Counts, Entry, Happening, MissingPack, day_book};
#[doc(hidden)]
pub use demand::{BenchJobs, DAYS_IN_MONTH, series_of};
#[doc(hidden)]
pub use drawer::{Review, Rules, Shortage};
#[doc(hidden)]
pub use events::DrawerEvent;
#[doc(hidden)]
pub use pieces::Pieces;
#[doc(hidden)]
pub use service::{DAYS_IN_YEAR, service};
#[doc(hidden)]
pub use shelf::{MOST_IN_PACK, MOST_SIZES};
#[doc(hidden)]
pub use sizes::advice;
#[doc(hidden)]
pub use tape::{JobStep, JobSteps, Jobs, PLACES, Sample, Span, Stretch, Tape};

#[cfg(test)]
mod tests;
