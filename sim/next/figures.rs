//! Mean, deviation and quantiles of weighted draws.

use super::answer::{Figure, Quantiles};

/// Mean and standard deviation of weighted figures; weights add up to one.
pub(super) fn moments(values: &[f64], weights: &[f64]) -> [f64; 2] {
    let weighted = || values.iter().zip(weights);
    let mean: f64 = weighted().map(|(value, weight)| value * weight).sum();
    let squares = weighted().map(|(value, weight)| weight * (value - mean) * (value - mean));
    [mean, squares.sum::<f64>().max(0.0).sqrt()]
}

/// Quantiles of weighted figures: the first at or below which so much of the weight lies.
pub(super) fn quantiles(values: &[f64], weights: &[f64]) -> Quantiles {
    let mut order: Vec<usize> = (0..values.len()).collect();
    order.sort_by(|a, b| values[*a].total_cmp(&values[*b]));
    let total: f64 = weights.iter().sum();
    let mut sum = 0.0;
    let mut found = [f64::NAN; 3];
    let mut at = 0;
    for number in order {
        sum += weights[number] / total;
        while at < 3 && sum >= SHARES[at] - 1e-12 {
            found[at] = values[number];
            at += 1;
        }
    }
    let [p05, p50, p95] = found;
    Quantiles { p05, p50, p95 }
}

const SHARES: [f64; 3] = [0.05, 0.5, 0.95];

/// A figure of the belief, with mean and deviation before anything was read.
pub(super) fn figure(values: &[f64], weights: &[f64], before: [f64; 2]) -> Figure {
    let [mean, sd] = moments(values, weights);
    let Quantiles { p05, p50, p95 } = quantiles(values, weights);
    Figure {
        mean,
        sd,
        p05,
        p50,
        p95,
        before,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_by_hand() {
        let (values, weights) = ([3.0, 1.0, 2.0], [0.5, 0.25, 0.25]);
        let found = figure(&values, &weights, [0.0, 1.0]);
        assert_eq!(
            (found.mean, found.p05, found.p50, found.p95),
            (2.25, 1.0, 2.0, 3.0)
        );
        // 0.5·0.75² + 0.25·1.25² + 0.25·0.25²
        assert!((found.sd * found.sd - 0.6875).abs() < 1e-12);
    }
}
