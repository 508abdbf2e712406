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

pub mod axle;
pub mod bearings;
pub mod bench;
pub mod causes;
pub mod compare;
pub mod counts;
pub mod demo;
pub mod dice;
pub mod estimate;
mod events;
pub mod follow;
pub mod gears;
pub mod histogram;
pub mod job;
pub mod middle;
pub mod minutes;
mod moments;
pub mod money;
pub mod odds;
pub mod outcome;
pub mod packs;
mod paired;
pub mod parts;
pub mod pictures;
pub mod prelude;
pub mod quote;
pub mod ratio;
mod rounding;
pub mod run;
pub mod sensitivity;
pub mod setup;
pub mod shims;
pub mod shop;
mod spread;
pub mod stock;
mod student;
pub mod study;
mod sums;
pub mod tolerance;
pub mod truth;
pub mod units;
mod ziggurat;

#[cfg(test)]
mod tests;
