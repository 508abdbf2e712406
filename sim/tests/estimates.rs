use super::{SIGMAS, close};
use crate::chance::dice::{Address, Purpose};
use crate::count::counts::{Counts, FineCounts};
use crate::count::estimate::{Estimate, Moments, Z95};
use crate::count::quantile::interval_places;
use crate::count::sums::Powers;

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
    assert_eq!(interval_places(0.5, 100), Some((40, 61)));
    close(binomial_between(100, 0.5, 40, 61), 0.96480, 5e-6);
    assert_eq!(interval_places(0.975, 1_000_000), Some((974_694, 975_307)));
    close(
        binomial_between(1_000_000, 0.975, 974_694, 975_307),
        0.95037,
        5e-6,
    );
    assert_eq!(interval_places(0.95, 20), None);
}

/// At every number of observations; exact sums, no chance in it.
#[test]
fn quantile_intervals_cover_what_they_say() {
    for q in [0.2, 0.5, 0.8, 0.9, 0.95, 0.99] {
        let mut first = None;
        for n in (1..=800).chain([5000, 100_000]) {
            let Some((low, high)) = interval_places(q, n) else {
                assert!(first.is_none(), "{q} of {n} after {first:?}");
                continue;
            };
            first = first.or(Some(n));
            let covers = binomial_between(n, q, low, high);
            let most = if n < 100 { 0.999 } else { 0.995 };
            assert!((0.95..most).contains(&covers), "{covers} at {q} of {n}");
        }
        // as soon as there is something beyond the quantile to be expected, it has an interval
        let beyond = first.unwrap() as f64 * q.min(1.0 - q);
        assert!((3.5..6.0).contains(&beyond), "{q}: {first:?}");
    }
}

/// Wilson's interval, modified, whatever the true share: exact sums, no chance in it.
#[test]
fn shares_are_covered_wherever_they_lie() {
    for n in [10, 30, 100, 300, 4096] {
        let ends: Vec<Estimate> = (0..=n).map(|hits| Estimate::share(hits, n)).collect();
        // so many hits are to be expected: close together where they are few
        let few = (1..400).map(|i| f64::from(i) * 0.02);
        let many = (1..=60).map(|i| 8.0 + f64::from(i) * (0.5 * n as f64 - 8.0) / 60.0);
        let expected = few
            .chain(many)
            .filter(|expected| *expected <= 0.5 * n as f64);
        let covered: Vec<f64> = expected
            .map(|expected| {
                let p = expected / n as f64;
                let covers = |e: &&Estimate| e.low <= p && p <= e.high;
                let from = ends.iter().position(|e| covers(&e)).unwrap();
                let to = ends.iter().rposition(|e| covers(&e)).unwrap();
                binomial_between(n, p, from as u64, to as u64 + 1)
            })
            .collect();
        let least = covered.iter().copied().fold(1.0, f64::min);
        let mean = covered.iter().sum::<f64>() / covered.len() as f64;
        assert!(least > 0.917, "{least} of {n}");
        assert!((0.95..0.97).contains(&mean), "{mean} of {n}");
    }
    // by hand: one hit, two, three and four of 100
    for (hits, low) in [(1, 0.000_512_9), (2, 0.003_553_6), (3, 0.008_176_9)] {
        close(Estimate::share(hits, 100).low, low, 1e-7);
        close(Estimate::share(100 - hits, 100).high, 1.0 - low, 1e-7);
    }
    close(Estimate::share(4, 100).low, 0.015_663, 5e-7);
}

/// Central moments by two passes.
fn slowly(figures: &[f64]) -> [f64; 4] {
    let n = figures.len() as f64;
    let mean = figures.iter().sum::<f64>() / n;
    let central = |power| figures.iter().map(|x| (x - mean).powi(power)).sum::<f64>();
    [mean, central(2), central(3), central(4)]
}

fn gathered(figures: &[f64], block: usize) -> Moments {
    let mut all = Powers::default();
    for block in figures.chunks(block) {
        let mut later = Powers::default();
        block.iter().for_each(|x| later.add(*x));
        all.merge(&later);
    }
    all.moments()
}

/// Lengths near 120 mm that spread by 0.05, a skewed figure, and one that is rarely not zero.
#[test]
fn moments_of_blocks_are_those_of_the_whole() {
    let mut dice = Address::new(20, 0).stream(Purpose::Minutes);
    let mut draw = |figure: &dyn Fn(f64) -> f64| -> Vec<f64> {
        (0..10_000).map(|_| figure(dice.normal())).collect()
    };
    for figures in [
        draw(&|z| 120.0 + 0.05 * z),
        draw(&|z| 500.0 + 60.0 * z * z),
        draw(&|z| if z > 2.5 { 40.0 + z } else { 0.0 }),
    ] {
        let [mean, squares, cubes, fourths] = slowly(&figures);
        for block in [777, 4096, 10_000] {
            let blocks = gathered(&figures, block);
            close(blocks.mean(), mean, 1e-12 * mean.abs());
            let [own_squares, own_cubes, own_fourths] = blocks.powers();
            close(own_squares, squares, 1e-7 * squares);
            let spread = (squares / 1e4).sqrt();
            close(
                own_cubes,
                cubes,
                1e-6 * (1e4 * spread.powi(3) + cubes.abs()),
            );
            close(own_fourths, fourths, 1e-6 * fourths);
        }
    }
    let mut plain = Moments::default();
    for block in [[1.0, 2.0], [4.0, 5.0]] {
        let [sum, squares] = [1, 2].map(|power| block.iter().map(|x: &f64| x.powi(power)).sum());
        plain.merge(&Moments::from_sums(2, sum, squares));
    }
    close(plain.mean(), 3.0, 1e-15);
    close(plain.deviation(), (10.0_f64 / 3.0).sqrt(), 1e-15);
    assert!(Moments::default().mean().is_nan());
}

/// Bonett's interval by hand for ten figures, and the textbook's for many normal ones.
#[test]
fn a_spread_is_as_well_known_as_its_fourth_moment_says() {
    let figures: Vec<f64> = (1..=10).map(f64::from).collect();
    let found = gathered(&figures, 10).deviation_estimate();
    // squares 82.5, fourths 1208.625: kurtosis 1.7758, corrected 1.8
    let n = 10.0;
    let few = n / (n - Z95);
    let error = few * ((1.8 - 0.7) / 9.0_f64).sqrt();
    let middle = few.sqrt() * (82.5_f64 / 9.0).sqrt();
    close(found.low, middle * (-0.5 * Z95 * error).exp(), 1e-9);
    close(found.high, middle * (0.5 * Z95 * error).exp(), 1e-9);

    let mut dice = Address::new(22, 0).stream(Purpose::Minutes);
    let normal: Vec<f64> = (0..100_000).map(|_| 120.0 + 0.05 * dice.normal()).collect();
    let found = gathered(&normal, 4096).deviation_estimate();
    let half = Z95 * 0.05 / 2e5_f64.sqrt();
    close(found.half_width(), half, 0.02 * half);

    let few = gathered(&figures[..3], 3).deviation_estimate();
    assert_eq!((few.low, few.high), (0.0, f64::INFINITY));
    let same = gathered(&[0.1; 50], 50).deviation_estimate();
    assert!(same.high < 1e-8, "{same:?}");
}

/// The mean of what every observation adds to: Student's, and the normal one in the end.
#[test]
fn a_mean_by_hand() {
    let found = Moments::from_sums(4, 12.0, 48.0).estimate();
    // mean 3, squares 12, spread 2
    between(found, 3.0 - 3.182_446, 3.0 + 3.182_446, 1e-5);
    let found = Moments::from_sums(1_000_000, 0.0, 1e6).estimate();
    close(found.high, Z95 * 1e-3, 1e-8);
    let one = Moments::from_sums(1, 3.0, 9.0).estimate();
    assert_eq!((one.low, one.high), (f64::NEG_INFINITY, f64::INFINITY));
}

/// What was not seen in thirty rebuilds may come, and what came once is known to come.
#[test]
fn a_mean_of_rare_counts() {
    let counted = |numbers: &[(i64, u64)]| {
        let mut counts = Counts::default();
        for (number, times) in numbers {
            (0..*times).for_each(|_| counts.add(*number));
        }
        counts.mean()
    };
    let none = counted(&[(0, 30)]);
    assert_eq!(none.value, 0.0);
    assert!((0.11..0.14).contains(&none.high), "{none:?}");
    let ones = counted(&[(1, 30)]);
    assert_eq!(ones.value, 1.0);
    close(ones.high, 1.0 + none.high, 1e-15);
    // near the exact limits of a Poisson count: of one event the mid-P limits 0.05 and 4.9
    let once = counted(&[(0, 29), (1, 1)]);
    assert!((0.000_5..0.002).contains(&once.low), "{once:?}");
    assert!((0.16..0.20).contains(&once.high), "{once:?}");
    // of 30 000 the usual interval
    let often = counted(&[(0, 20_000), (1, 10_000)]);
    let half = Z95 * (2.0_f64 / 9.0 / 30_000.0).sqrt();
    close(often.low, 1.0 / 3.0 - half, 1e-4 * half + 3e-5);
    close(often.high, 1.0 / 3.0 + half, 1e-4 * half + 3e-5);
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
        let (low, high) = interval_places(q, 20_000).unwrap();
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
