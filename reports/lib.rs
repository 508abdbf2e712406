//! The program `shimcast`: from two plain files to answers, as text and as JSON.
//!
//! Arguments as typed are in [`args`], files are read in [`files`], answers come from the library
//! `shimcast_sim` and are rendered by pure functions in [`terminal`], [`json`] and [`page`], whose
//! figures come from [`chart`]; [`commands`] puts these together.

pub mod answers;
pub mod args;
pub mod chart;
mod commands;
pub mod document;
pub mod faces;
pub mod figures;
pub mod files;
pub mod inputs;
pub mod json;
pub mod page;
mod progress;
pub mod questions;
mod run;
pub mod spreadsheet;
mod starter;
pub mod tasks;
pub mod terminal;
pub mod units;
mod written;

pub use run::run;
