//! The program.

pub mod files;
