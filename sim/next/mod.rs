//! What next: one real axle on the bench, what its readings say of it, and which packs to fit.

mod job;

pub use job::{BenchJob, Fitted, Known};
