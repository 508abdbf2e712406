//! The model behind `shimcast`: how a ring-and-pinion set-up will go before anyone picks up a
//! press.
//!
//! An [`axle::Axle`] and a [`shop::Shop`] describe the parts and the work. This library does no
//! input or output, prints nothing, reads no clock or environment, and never chooses a seed.

pub mod axle;
pub mod dice;
pub mod shims;
pub mod shop;
pub mod tolerance;
pub mod units;
