//! What the drawer and the box for the road share: the shop's work, the list of sizes, and how both
//! are told.

pub(super) mod json;
pub mod list;
mod size;
pub(crate) mod tell;
mod used_up;
mod work;

pub(crate) use size::{large_shop, warn_of_time};
pub use used_up::ShimsFrom;
pub(crate) use used_up::{ShimCosts, work_beside, work_to_charge};
pub(crate) use work::{Work, lists, read, read_and_tell};
