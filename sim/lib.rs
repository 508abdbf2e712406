//! The model behind `shimcast`: how a ring-and-pinion set-up will go before anyone picks up a
//! press.
//!
//! An [`axle::Axle`] and a [`shop::Shop`] describe the parts and the work. This library does no
//! input or output, prints nothing, reads no clock or environment, and never chooses a seed.

pub mod axle;
pub mod bearings;
pub mod bench;
pub mod causes;
pub mod compare;
pub mod counts;
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
mod sums;
pub mod tolerance;
pub mod truth;
pub mod units;
mod ziggurat;

#[cfg(test)]
mod fixture;
#[cfg(test)]
mod tests;
