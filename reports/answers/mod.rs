//! What was asked together with what came of it: all that a rendering needs.

pub mod causes;
pub mod compare;
pub mod follow;
pub mod odds;
pub mod quote;
pub mod ratio;
pub mod report;
pub mod sweep;
