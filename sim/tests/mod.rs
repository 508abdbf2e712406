//! Tests of this library in layers: closed forms and published figures, value stability, threads,
//! distributions, intervals. Statistical tests have fixed seeds and say how often they would fail
//! by chance alone with other ones.

mod bearings;
mod bench;
mod coverage;
mod ending;
mod estimates;
mod gears;
pub(crate) mod held;
mod loops;
mod memory;
mod packs;
pub(crate) mod properties;
mod shapes;
mod stability;

/// Standard errors that a statistic may be off: two-sided, by chance once in 150 000.
pub(crate) const SIGMAS: f64 = 4.5;

pub(crate) fn close(value: f64, expected: f64, within: f64) {
    assert!(
        (value - expected).abs() <= within,
        "{value} is not {expected} within {within}"
    );
}
