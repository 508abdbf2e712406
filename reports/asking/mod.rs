//! Questions at a terminal.
pub mod figure;
pub mod prompt;
pub mod question;
pub mod terminal;
