//! Tests of the program, by theme.
#![allow(missing_docs)]

mod bad_input;
mod folder;
mod gear_sets;
mod program;
mod quoting;
mod reading;
