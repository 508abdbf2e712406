//! The model behind `shimcast`: how a ring-and-pinion set-up will go before anyone picks up a
//! press.
//!
//! An [`axle::Axle`] and a [`shop::Shop`] describe the parts and the work; a [`study::Study`] of both
//! gives the answers. This library does no input or output, prints nothing, reads no clock or
//! environment, and never chooses a seed.
//!
//! # Example
//! ```
//! use shimcast_sim::prelude::*;
//!
//! let study = Study::of(demo::axle(), demo::shop());
//! let odds = study.seed(1).rebuilds(20_000).odds()?;
//! let right = odds.first_assembly.all;
//! assert!(right.low < 0.27 && 0.27 < right.high);
//! # Ok::<(), Vec<Flaw>>(())
//! ```
//!
//! # Where to look
//!
//! | question | names |
//! |---|---|
//! | What is described? | [`axle::Axle`], [`shop::Shop`], [`axle::tolerance::Tolerance`], [`units::Window`], [`demo`] |
//! | How will it go? | [`study::Study`], [`odds::Odds`], [`quote::Quote`], [`compare::Comparison`], [`causes::Causes`], [`follow::Story`] |
//! | How well is a figure known? | [`count::estimate::Estimate`], [`count::estimate::Moments`], [`compare::Verdict`] |
//! | One axle on the bench: what do its readings say, what next? | [`next::next`], [`next::BenchJob`] |
//! | How does the mesh move? | [`axle::gears::Geometry`], [`axle::gears::Rates`] |
//! | What does preload take? | [`axle::bearings::Pair`] |
//! | Which packs can be built? | [`axle::shims::Series`], [`axle::packs::PackTable`] |
//! | Which gear set? | [`ratio::Gearing`], [`ratio::Teeth`], [`ratio::Tyre`] |
//! | What to keep in the drawer, what in the box for the road? | [`stock::stock`], [`stock::kit`] |
//! | An experiment of one's own? | [`chance::run::run`], [`chance::dice::Address`] |
//!
//! Lengths are mm, forces N, torques N·m, times minutes or hours as named, money in the shop's
//! currency, shares 0 … 1. Every simulated figure is an [`count::estimate::Estimate`] with its
//! two-sided 95 % interval.

#![forbid(unsafe_code)]

pub mod axle;
#[doc(hidden)]
pub mod bench;
pub mod causes;
pub mod chance;
pub mod compare;
pub mod count;
pub mod demo;
pub mod follow;
pub mod learn;
pub mod next;
pub mod odds;
#[doc(hidden)]
pub mod pictures;
pub mod prelude;
pub mod quote;
pub mod ratio;
pub mod shop;
pub mod stock;
pub mod study;
pub mod units;

#[cfg(test)]
mod tests;
