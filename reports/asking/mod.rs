//! Questions at a terminal.
pub mod figure;
