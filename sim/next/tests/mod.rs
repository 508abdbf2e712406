//! Tests of the belief in one axle on the bench.

mod belief;
mod coverage;
mod onwards;
mod sleeves;
mod surprising;
mod truth;
