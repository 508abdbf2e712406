//! Tests of the program, by theme.
#![allow(missing_docs)]

mod bad_input;
mod bad_places;
mod bad_sources;
mod given;
mod reading;
mod short_files;
