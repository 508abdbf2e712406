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
pub mod bench;
pub mod causes;
pub mod chance;
pub mod compare;
pub mod count;
pub mod demo;
pub mod follow;
pub mod odds;
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
