//! Tests of the program, by theme.
#![allow(missing_docs)]

mod bad_input;
mod folder;
mod reading;
mod stock;
