//! One rebuild in words, for terminal and page alike.

pub mod acts;
mod assembly;
mod decisions;
pub mod ends;
