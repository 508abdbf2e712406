//! Several differences judged at once, so that chance alone shows none of them.

use super::estimate::{Estimate, Z95};

/// Chance that an estimate of nothing lies as far from zero as this one, either way.
///
/// # Accuracy
/// Its interval is taken as that of a normal figure; an interval that is not centred on the value
/// counts from its own middle, as far as it says.
pub(crate) fn chance_of_none(difference: &Estimate) -> f64 {
    let middle = 0.5 * (difference.low + difference.high);
    let sigmas = Z95 * middle.abs() / difference.half_width();
    if difference.half_width() == 0.0 {
        // known exactly
        return if middle == 0.0 { 1.0 } else { 0.0 };
    }
    if sigmas.is_nan() {
        return 1.0;
    }
    libm::erfc(sigmas / core::f64::consts::SQRT_2)
}

/// Which of several hypotheses "there is no difference" to give up, so that the chance of giving up
/// any that holds is at most `level`, however they hang together.
///
/// # Definition
/// Step down from the least chance: of n, the k-th least must be at most level / (n − k + 1); the
/// first that is not keeps all that follow.
///
/// # Source
/// Holm, "A simple sequentially rejective multiple test procedure", Scandinavian Journal of
/// Statistics 6 (1979) 65–70.
///
/// # Example
/// Four tests at 5 %: 0.005 ≤ 0.05/4 and 0.01 ≤ 0.05/3 are given up; 0.03 > 0.05/2 is not, and then
/// 0.04 isn't either, though by itself it would be.
/// ```
/// use shimcast_sim::count::holm::holm;
///
/// let seen = holm(&[0.01, 0.04, 0.03, 0.005], 0.05);
/// assert_eq!(seen, [true, false, false, true]);
/// ```
pub fn holm(chances: &[f64], level: f64) -> Vec<bool> {
    let mut order: Vec<usize> = (0..chances.len()).collect();
    order.sort_by(|a, b| chances[*a].total_cmp(&chances[*b]));
    let mut seen = vec![false; chances.len()];
    for (left, place) in (1..=chances.len()).rev().zip(order) {
        if chances[place] > level / left as f64 {
            break;
        }
        seen[place] = true;
    }
    seen
}

#[cfg(test)]
mod tests {
    use super::*;

    fn about(value: f64, half: f64) -> Estimate {
        Estimate {
            value,
            low: value - half,
            high: value + half,
            n: 1000,
        }
    }

    #[test]
    fn chances_are_those_of_the_normal_distribution() {
        assert!((chance_of_none(&about(-1.0, 1.0)) - 0.05).abs() < 1e-6);
        assert!((chance_of_none(&about(2.575_829, Z95)) - 0.01).abs() < 1e-6);
        assert_eq!(chance_of_none(&about(0.0, 1.0)), 1.0);
        assert_eq!(chance_of_none(&about(0.0, 0.0)), 1.0);
        assert_eq!(chance_of_none(&about(1.0, 0.0)), 0.0);
        assert_eq!(chance_of_none(&about(f64::NAN, 1.0)), 1.0);
        assert_eq!(chance_of_none(&about(1.0, f64::INFINITY)), 1.0);
    }

    /// Of 20 differences of nothing, none is seen in 19 runs of 20: with 4000 runs the share that sees
    /// any strays by more than 0.017 from 0.05 once in a million times.
    #[test]
    fn of_many_differences_of_nothing_hardly_any_run_sees_one() {
        let runs = 4000;
        let mut dice =
            crate::chance::dice::Address::new(3, 0).stream(crate::chance::dice::Purpose::Parts);
        let any = (0..runs).filter(|_| {
            let chances: Vec<f64> = (0..20)
                .map(|_| chance_of_none(&about(dice.normal(), Z95)))
                .collect();
            holm(&chances, 0.05).contains(&true)
        });
        let share = any.count() as f64 / f64::from(runs);
        assert!((share - 0.05).abs() < 0.017, "{share}");
    }
}
