//! What was asked together with what came of it: all that a rendering needs.

pub mod causes;
pub mod follow;
pub mod outside;
pub mod ratio;
pub mod report;

/// Fewer rebuilds than this say nothing about differences and shares of a variance.
pub const FEW: u64 = 100;
/// What is said then.
pub const TOO_FEW: &str = "Too few rebuilds to say.";
