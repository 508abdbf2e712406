//! The names that most studies need, in one line: `use shimcast_sim::prelude::*;`.

pub use crate::axle::tolerance::Tolerance;
pub use crate::axle::{Axle, Condition};
pub use crate::compare::Verdict;
pub use crate::count::estimate::Estimate;
pub use crate::demo;
pub use crate::odds::Odds;
pub use crate::quote::{Quote, Terms};
pub use crate::shop::Shop;
pub use crate::study::{Flaw, Setup, Study};
pub use crate::units::Window;
