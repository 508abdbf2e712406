//! Quantiles of the standard normal distribution.

use core::f64::consts::SQRT_2;

/// Steps after which a quantile is exact, from anywhere.
const STEPS: u32 = 40;
/// Logarithm of 2π, halved.
const HALF_LOG_TAU: f64 = 0.918_938_533_204_672_8;

/// The quantile of this share, above 0 and below 1.
///
/// # Definition
/// Newton's steps on the logarithm of the distribution function, which is concave: from below they never
/// pass the root.
pub(crate) fn normal_score(share: f64) -> f64 {
    if share > 0.5 {
        return -normal_score(1.0 - share);
    }
    let wanted = libm::log(share);
    // the distribution function at −t is below half of exp(−t²/2)
    let mut at = -(-2.0 * wanted).sqrt();
    for _ in 0..STEPS {
        let log = libm::log(0.5 * libm::erfc(-at / SQRT_2));
        let slope = libm::exp(-0.5 * at * at - HALF_LOG_TAU - log);
        let step = (wanted - log) / slope;
        at += step;
        if step.abs() < 1e-14 {
            break;
        }
    }
    at
}

#[cfg(test)]
mod tests {
    use statrs::distribution::{ContinuousCDF, Normal};

    use super::*;

    #[test]
    fn as_tables_say() {
        let normal = Normal::standard();
        for share in [1e-9, 1e-4, 0.025, 0.2, 0.5, 0.7, 0.975, 0.9999, 1.0 - 1e-9] {
            let (own, other) = (normal_score(share), normal.inverse_cdf(share));
            assert!((own - other).abs() < 1e-6, "{share}: {own}, {other}");
        }
        assert!((normal_score(0.975) - crate::count::estimate::Z95).abs() < 1e-12);
        assert!(normal_score(0.5).abs() < 1e-15);
    }
}
