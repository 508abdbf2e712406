//! The program `shimcast`: from two plain files to answers, as text and as JSON.
//!
//! Arguments as typed are in [`cli`], files are read in [`files`], a room of
//! [`questions`] asks the library `shimcast_sim` and gives the answer as a [`document`], which a face of
//! [`faces`] renders.

pub mod asking;
pub mod cli;
pub mod day;
mod desk;
pub mod document;
pub mod faces;
pub mod figures;
pub mod files;
pub mod inputs;
pub mod parts;
pub mod pattern;
pub mod printable;
pub mod printed;
mod progress;
pub mod questions;
pub mod reference;
mod run;
pub mod sentences;
pub mod spreadsheet;
mod standard_out;
mod starter;
pub mod tasks;
pub mod units;
mod written;

pub use run::{reply, run};
