//! Sums of figures of one law, held against closed forms.

use super::*;

/// Probabilities of 0, 1, 2 … of a Poisson figure.
fn poisson(mean: f64, most: usize) -> Vec<f64> {
    let mut all = vec![libm::exp(-mean)];
    for number in 1..=most {
        let before = all[number - 1];
        all.push(before * mean / number as f64);
    }
    all
}

/// Wins less losses are the difference of two Poisson figures (Skellam 1946).
#[test]
fn a_poisson_number_of_wins_and_losses() {
    for (mean, win) in [(3.0, 0.7), (40.0, 0.55), (72.0, 0.5)] {
        let law = [(1.0, win), (-1.0, 1.0 - win)];
        let sum = SumLaw::of(&law, Number::Poisson(mean));
        let (wins, losses) = (poisson(mean * win, 200), poisson(mean * (1.0 - win), 200));
        let exact = |limit: f64| {
            let pairs = wins.iter().enumerate().flat_map(|(won, p)| {
                let lost = losses.iter().enumerate();
                lost.map(move |(lost, q)| (won as f64 - lost as f64, p * q))
            });
            let below = pairs.filter(|(sum, _)| *sum < limit);
            below.map(|(_, p)| p).sum::<f64>()
        };
        for limit in [-6.5, -2.5, -0.5, 0.5, 3.5, 9.5] {
            let (is, should) = (sum.below(limit), exact(limit));
            assert!((is - should).abs() < 1e-3, "{mean} {limit}: {is} {should}");
        }
    }
}

/// So many exponential figures: Erlang's law, 1 − exp(−x)·Σ xᵏ/k!.
#[test]
fn so_many_waiting_times() {
    // an exponential figure in 4000 equal parts of its probability, each at its mean
    let parts = 4000;
    let cut = |place: u32| 1.0 - f64::from(place) / f64::from(parts);
    let part = |place: u32| {
        let (from, to) = (cut(place), cut(place + 1));
        // ∫ −ln u du over the part
        let whole = |u: f64| if u > 0.0 { u - u * u.ln() } else { 0.0 };
        (whole(from) - whole(to)) * f64::from(parts)
    };
    let law: Vec<Atom> = (0..parts)
        .map(|place| (part(place), 1.0 / f64::from(parts)))
        .collect();
    for (number, within) in [(1_u64, 2e-3), (5, 2e-4), (30, 1e-4), (300, 1e-4)] {
        let sum = SumLaw::of(&law, Number::Fixed(number));
        let n = number as f64;
        for x in [0.6 * n, 0.9 * n, n, 1.2 * n, 1.5 * n] {
            let mut term = libm::exp(-x);
            let mut above = term;
            for k in 1..number {
                term *= x / k as f64;
                above += term;
            }
            let (is, should) = (sum.below(x), 1.0 - above);
            assert!((is - should).abs() < within, "{number} {x}: {is} {should}");
            let back = sum.quantile(is);
            assert!(
                !(1e-6..0.999).contains(&is) || (back - x).abs() < 1e-6 * n,
                "{number} {x}: {back}"
            );
        }
    }
}

/// Without a job a year comes to exactly nothing, and that is no loss.
#[test]
fn a_sum_of_no_figures_is_no_loss() {
    let law = [(-100.0, 0.5), (-90.0, 0.5)];
    let sum = SumLaw::of(&law, Number::Poisson(0.5));
    let none = libm::exp(-0.5);
    assert!((sum.below(0.0) - (1.0 - none)).abs() < 1e-9);
    assert!((sum.below(1e-6) - 1.0).abs() < 1e-9);
    assert_eq!(sum.quantile(0.9), 0.0);
    let [at_zero, above] = [0.0, 1.0].map(|limit| sum.below_each([limit].into_iter())[0]);
    assert!((at_zero - sum.below(0.0)).abs() < 1e-9 && (above - 1.0).abs() < 1e-9);
}

/// The mean and the variance of a sum are those of its figures, however coarse the lattice.
#[test]
fn a_million_figures_keep_their_mean_and_variance() {
    let law = [(731.3, 0.31), (-402.7, 0.59), (-3000.1, 0.10)];
    let number = 1e6;
    let sum = SumLaw::of(&law, Number::Poisson(number));
    let moment = |power| {
        law.iter()
            .map(|(x, p): &Atom| p * x.powi(power))
            .sum::<f64>()
    };
    let (mean, deviation) = (number * moment(1), (number * moment(2)).sqrt());
    // the 2.5 % quantile of the normal law that such a sum follows, with its skewness
    let skew = number * moment(3) / deviation.powi(3);
    let z = 1.959_963_984_540_054_f64;
    for (share, z) in [(0.025, -z), (0.975, z)] {
        let exact = mean + deviation * (z + skew * (z * z - 1.0) / 6.0);
        let is = sum.quantile(share);
        assert!(
            (is - exact).abs() < 1e-3 * deviation,
            "{share}: {is} {exact}"
        );
    }
}
