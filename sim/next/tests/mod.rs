//! Tests of the belief in one axle on the bench.

mod belief;
mod choices;
mod coverage;
mod narrower;
mod odd_jobs;
mod onwards;
mod path;
mod sleeves;
mod surprising;
mod told;
mod truth;
