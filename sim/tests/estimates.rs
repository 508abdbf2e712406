use super::{SIGMAS, close};
use crate::counts::{Counts, FineCounts};
use crate::dice::{Address, Purpose};
use crate::estimate::{Estimate, Moments, quantile_places};

fn between(estimate: Estimate, low: f64, high: f64, within: f64) {
    close(estimate.low, low, within);
    close(estimate.high, high, within);
}

#[test]
fn wilson() {
    // published and recomputed values of Wilson's interval
    between(Estimate::share(0, 10), 0.0, 0.277_533, 5e-7);
    between(Estimate::share(5, 10), 0.236_593, 0.763_407, 5e-7);
    between(Estimate::share(81, 263), 0.255_289, 0.366_210, 5e-7);
    let near_one = Estimate::share(999_990, 1_000_000);
    between(near_one, 0.999_981_59, 0.999_994_57, 5e-9);
    let nothing = Estimate::share(0, 0);
    assert!(nothing.value.is_nan() && nothing.low == 0.0 && nothing.high == 1.0);
}

/// Probability that a binomial count lies in `from..to`, summed from its largest term.
fn binomial_between(n: u64, p: f64, from: u64, to: u64) -> f64 {
    let mode = ((n + 1) as f64 * p).floor() as u64;
    let ratio = p / (1.0 - p);
    let (mut total, mut inside) = (0.0, 0.0);
    let mut add = |k: u64, term: f64| {
        total += term;
        if (from..to).contains(&k) {
            inside += term;
        }
    };
    let mut term = 1.0;
    for k in mode..=n {
        add(k, term);
        term *= ratio * (n - k) as f64 / (k + 1) as f64;
        if term < 1e-18 {
            break;
        }
    }
    term = 1.0;
    for k in (1..=mode).rev() {
        term *= k as f64 / ((n - k + 1) as f64 * ratio);
        if term < 1e-18 {
            break;
        }
        add(k - 1, term);
    }
    inside / total
}

#[test]
fn order_statistics_of_a_quantile() {
    assert_eq!(quantile_places(0.5, 100), Some((40, 61)));
    close(binomial_between(100, 0.5, 40, 61), 0.96480, 5e-6);
    assert_eq!(quantile_places(0.975, 1_000_000), Some((974_694, 975_307)));
    close(
        binomial_between(1_000_000, 0.975, 974_694, 975_307),
        0.95037,
        5e-6,
    );
    assert_eq!(quantile_places(0.95, 20), None);
}

#[test]
fn quantile_intervals_cover_what_they_say() {
    for n in [100, 400, 5000, 100_000] {
        for q in [0.5, 0.8, 0.9, 0.95] {
            if let Some((low, high)) = quantile_places(q, n) {
                let covers = binomial_between(n, q, low, high);
                assert!((0.94..0.98).contains(&covers), "{covers} at {q} of {n}");
            }
        }
    }
}

#[test]
fn wilson_covers_what_it_says() {
    // on average over p, Wilson's interval covers 95 %; exact sums, no chance in it
    let n = 500;
    let ps: Vec<f64> = (1..200).map(|i| f64::from(i) / 200.0).collect();
    let mean: f64 = ps
        .iter()
        .map(|p| {
            let covered = |k: &u64| {
                let e = Estimate::share(*k, n);
                e.low <= *p && *p <= e.high
            };
            let from = (0..=n).find(covered).unwrap();
            let to = (0..=n).rev().find(covered).unwrap() + 1;
            binomial_between(n, *p, from, to)
        })
        .sum::<f64>()
        / ps.len() as f64;
    close(mean, 0.95, 0.003);
}

#[test]
fn moments_of_blocks_are_those_of_the_whole() {
    let mut dice = Address::new(20, 0).stream(Purpose::Minutes);
    let figures: Vec<f64> = (0..10_000).map(|_| 500.0 + dice.normal()).collect();
    let mut blocks = Moments::default();
    for block in figures.chunks(777) {
        let sum = block.iter().sum();
        let squares = block.iter().map(|x| x * x).sum();
        blocks.merge(&Moments::from_sums(block.len() as u64, sum, squares));
    }
    let mean = figures.iter().sum::<f64>() / 1e4;
    let squares: f64 = figures.iter().map(|x| (x - mean).powi(2)).sum();
    close(blocks.mean(), mean, 1e-9);
    close(blocks.deviation(), (squares / 9999.0).sqrt(), 1e-9);
    assert!(Moments::default().mean().is_nan());
}

#[test]
fn counts() {
    let mut counts = Counts::default();
    for number in [5, -2, 5, 9, 5] {
        counts.add(number);
    }
    let mut more = Counts::default();
    more.add(-7);
    more.merge(&counts);
    let all: Vec<(i64, u64)> = more.iter().collect();
    assert_eq!(all, [(-7, 1), (-2, 1), (5, 3), (9, 1)]);
    assert_eq!(more.total(), 6);
    close(more.moments().mean(), 15.0 / 6.0, 1e-12);
    more.merge(&Counts::default());
    assert_eq!(more.total(), 6);
}

#[test]
fn fine_counts_find_quantiles() {
    let mut dice = Address::new(21, 0).stream(Purpose::Minutes);
    let mut figures: Vec<f64> = (0..20_000).map(|_| 8.0 + dice.normal()).collect();
    let mut fine = FineCounts::default();
    figures.iter().for_each(|x| fine.add(*x));
    figures.sort_by(f64::total_cmp);
    for q in [0.5, 0.8, 0.95] {
        let estimate = fine.quantile(q);
        let exact = figures[(q * 20_000.0) as usize - 1];
        close(estimate.value, exact, exact / 8000.0);
        let (low, high) = quantile_places(q, 20_000).unwrap();
        // to the edges of their steps, outwards
        let [low, high] = [low, high].map(|place| figures[place as usize - 1]);
        assert!(estimate.low <= low && low - estimate.low < exact / 4000.0);
        assert!(estimate.high >= high && estimate.high - high < exact / 4000.0);
    }
    let above = fine.share_above(9.0);
    let expected = 0.158_655;
    close(
        above.value,
        expected,
        SIGMAS * (expected * 0.84 / 2e4f64).sqrt(),
    );
    // nothing is lost at either end
    fine.add(0.0);
    fine.add(1e300);
    assert_eq!(fine.quantile(0.5).n, 20_002);
}
