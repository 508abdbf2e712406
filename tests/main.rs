//! Tests of the program, by theme.
#![allow(missing_docs)]

mod bad_input;
mod bad_places;
mod folder;
mod reading;
