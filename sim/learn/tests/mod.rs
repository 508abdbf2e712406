//! Tests of what is learned from jobs.

mod agreement;
mod record;
mod shims_out;
mod spreads;
