use statrs::distribution::{ContinuousCDF, LogNormal, Normal, Triangular, Uniform};

use super::{SIGMAS, close};
use crate::axle::tolerance::{BadTolerance, Tolerance};
use crate::chance::dice::{Address, Purpose};

const DRAWS: usize = 40_000;

fn draws(tolerance: &Tolerance, seed: u64) -> Vec<f64> {
    let mut dice = Address::new(seed, 0).stream(Purpose::Parts);
    (0..DRAWS).map(|_| tolerance.draw(&mut dice)).collect()
}

/// Kolmogorov and Smirnov's test; by chance alone it fails once in 100 000.
fn follows(mut figures: Vec<f64>, cdf: impl Fn(f64) -> f64) {
    figures.sort_by(f64::total_cmp);
    let n = figures.len() as f64;
    let distance = figures
        .iter()
        .zip(0..)
        .map(|(x, i)| {
            let p = cdf(*x);
            (p - f64::from(i) / n).max(f64::from(i + 1) / n - p)
        })
        .fold(0.0, f64::max);
    let limit = (0.5 * (2.0f64 / 1e-5).ln()).sqrt() / n.sqrt();
    assert!(distance < limit, "{distance} is over {limit}");
}

#[test]
fn normal() {
    let tolerance = Tolerance::normal_between(28.0, 28.2, 1.33).unwrap();
    let cdf = Normal::new(28.1, 0.1 / (3.0 * 1.33)).unwrap();
    follows(draws(&tolerance, 1), |x| cdf.cdf(x));
    close(tolerance.middle(), 28.1, 1e-12);
}

#[test]
fn the_far_tail_of_the_normal() {
    // more than 3.654 sigma out, where another method draws; 1 in 3875
    let mut dice = Address::new(2, 0).stream(Purpose::Bench);
    let far: Vec<f64> = (0..30_000_000)
        .map(|_| dice.normal())
        .filter(|z| z.abs() > 3.7)
        .map(f64::abs)
        .collect();
    let cdf = Normal::standard();
    let beyond = 2.0 * cdf.sf(3.7);
    let expected = 3e7 * beyond;
    close(far.len() as f64, expected, SIGMAS * expected.sqrt());
    follows(far, |z| 1.0 - 2.0 * cdf.sf(z) / beyond);
}

#[test]
fn uniform() {
    let tolerance = Tolerance::uniform(-0.06, 0.14).unwrap();
    let cdf = Uniform::new(-0.06, 0.14).unwrap();
    follows(draws(&tolerance, 3), |x| cdf.cdf(x));
    close(tolerance.middle(), 0.04, 1e-12);
}

#[test]
fn triangular() {
    let tolerance = Tolerance::triangular(1.0, 3.0).unwrap();
    let cdf = Triangular::new(1.0, 3.0, 2.0).unwrap();
    follows(draws(&tolerance, 4), |x| cdf.cdf(x));
}

#[test]
fn half_normal() {
    let tolerance = Tolerance::half_normal(0.01, 0.022).unwrap();
    let cdf = Normal::new(0.0, 0.022).unwrap();
    let figures = draws(&tolerance, 5);
    let mean = figures.iter().sum::<f64>() / DRAWS as f64;
    close(
        mean,
        tolerance.middle(),
        SIGMAS * 0.022 / (DRAWS as f64).sqrt(),
    );
    follows(figures, |x| 2.0 * cdf.cdf(x - 0.01) - 1.0);
}

#[test]
fn lognormal() {
    let tolerance = Tolerance::lognormal(0.28, 0.3).unwrap();
    let sigma = (1.0f64 + 0.09).ln().sqrt();
    let cdf = LogNormal::new(0.28f64.ln() - 0.5 * sigma * sigma, sigma).unwrap();
    let figures = draws(&tolerance, 6);
    let mean = figures.iter().sum::<f64>() / DRAWS as f64;
    close(mean, 0.28, SIGMAS * 0.28 * 0.3 / (DRAWS as f64).sqrt());
    follows(figures, |x| cdf.cdf(x));
}

#[test]
fn coefficient_of_variation_stays_above_zero() {
    let tolerance = Tolerance::normal_cv(0.3, 0.8).unwrap();
    let cdf = Normal::new(0.3, 0.24).unwrap();
    let below = cdf.cdf(0.0);
    follows(draws(&tolerance, 7), |x| {
        (cdf.cdf(x) - below) / (1.0 - below)
    });
}

#[test]
fn inspected() {
    let tolerance = Tolerance::normal_between(-0.1, 0.1, 0.5)
        .unwrap()
        .inspected(-0.1, 0.1)
        .unwrap();
    let cdf = Normal::new(0.0, 0.1 / 1.5).unwrap();
    let below = cdf.cdf(-0.1);
    follows(draws(&tolerance, 8), |x| {
        (cdf.cdf(x) - below) / (1.0 - 2.0 * below)
    });
}

#[test]
fn what_is_thrown_out_shifts_no_other_part() {
    let plain = Tolerance::normal_between(-0.1, 0.1, 0.3).unwrap();
    let inspected = plain.clone().inspected(-0.1, 0.1).unwrap();
    let after = |tolerance: &Tolerance| {
        let mut dice = Address::new(9, 0).stream(Purpose::Parts);
        let _: Vec<f64> = (0..20).map(|_| tolerance.draw(&mut dice)).collect();
        dice.normal()
    };
    assert_eq!(after(&plain), after(&inspected));
}

#[test]
fn discrete_and_measured() {
    let tolerance = Tolerance::discrete(vec![1.0, 2.0, 4.0], &[2.0, 0.0, 6.0]).unwrap();
    let figures = draws(&tolerance, 10);
    let count = |x: f64| figures.iter().filter(|y| **y == x).count() as f64;
    let n = DRAWS as f64;
    close(count(1.0) / n, 0.25, SIGMAS * (0.25 * 0.75 / n).sqrt());
    assert_eq!(count(2.0), 0.0);
    assert_eq!(count(1.0) + count(4.0), n);
    close(tolerance.middle(), 3.25, 1e-12);
    let measured = Tolerance::measured(vec![5.0, 7.0]).unwrap();
    close(measured.middle(), 6.0, 1e-12);
}

#[test]
fn a_shared_lot() {
    let tolerance = Tolerance::normal(20.0, 0.025)
        .unwrap()
        .with_lot_share(0.9)
        .unwrap();
    let mut dice = Address::new(11, 0).stream(Purpose::Parts);
    let (mut one, mut difference) = (0.0, 0.0);
    for _ in 0..DRAWS {
        let [a, b] = tolerance.draw_pair(&mut dice);
        one += (a - 20.0).powi(2);
        difference += (a - b).powi(2);
    }
    let n = DRAWS as f64;
    let off = SIGMAS * (2.0 / n).sqrt();
    close(one / n / 0.025f64.powi(2), 1.0, off);
    // only the parts' own share is left: 2·(1 − 0.9)
    close(difference / n / 0.025f64.powi(2), 0.2, 0.2 * off);
}

#[test]
fn lots_of_which_little_passes() {
    for share in [0.0, 0.5, 1.0] {
        let tolerance = Tolerance::normal_between(-0.1, 0.1, 0.2)
            .unwrap()
            .with_lot_share(share)
            .unwrap()
            .inspected(-0.1, 0.1)
            .unwrap();
        let mut dice = Address::new(13, 0).stream(Purpose::Parts);
        let mut squares = 0.0;
        let n = 20_000;
        for _ in 0..n {
            let pair = tolerance.draw_pair(&mut dice);
            assert!(pair.iter().all(|part| part.abs() <= 0.1));
            if share == 1.0 {
                assert_eq!(pair[0], pair[1]);
            }
            squares += pair[0] * pair[0];
        }
        // nearly uniform between the limits, whatever is shared: a tenth of it is lost in the middle
        let sigma = (squares / f64::from(n)).sqrt();
        close(sigma, 0.2 / 12f64.sqrt(), 0.006);
    }
}

#[test]
fn what_must_be_above_zero() {
    let tolerance = Tolerance::normal(0.28, 0.2).unwrap().above_zero().unwrap();
    let cdf = Normal::new(0.28, 0.2).unwrap();
    let below = cdf.cdf(0.0);
    follows(draws(&tolerance, 14), |x| {
        (cdf.cdf(x) - below) / (1.0 - below)
    });
    let never = Tolerance::discrete(vec![0.0, -1.0], &[1.0, 1.0]).unwrap();
    assert_eq!(never.above_zero(), Err(BadTolerance::NothingPasses));
}

#[test]
fn the_sums_of_four() {
    // JCGM 101:2008, clause 9.2: 95 % interval of four N(0, 1) ±3.92; of four rectangular ±3.88
    let half = 3.0f64.sqrt();
    for (part, ends) in [
        (Tolerance::normal(0.0, 1.0).unwrap(), 3.92),
        (Tolerance::uniform(-half, half).unwrap(), 3.88),
    ] {
        let mut dice = Address::new(12, 0).stream(Purpose::Parts);
        let n = 400_000;
        let mut inside = 0;
        let mut squares = 0.0;
        for _ in 0..n {
            let sum: f64 = (0..4).map(|_| part.draw(&mut dice)).sum();
            squares += sum * sum;
            inside += u32::from(sum.abs() <= ends);
        }
        let n = f64::from(n);
        close((squares / n).sqrt(), 2.0, SIGMAS * 2.0 / (2.0 * n).sqrt());
        // the published ends are rounded to 0.005, worth 0.0003 of coverage
        close(
            f64::from(inside) / n,
            0.95,
            0.0004 + SIGMAS * (0.95f64 * 0.05 / n).sqrt(),
        );
    }
}

#[test]
fn refused() {
    use BadTolerance::*;
    let err = |t: Result<Tolerance, BadTolerance>| t.unwrap_err();
    assert_eq!(err(Tolerance::normal(f64::NAN, 1.0)), NotFinite);
    assert_eq!(err(Tolerance::normal(0.0, -1.0)), NegativeSpread);
    assert_eq!(err(Tolerance::normal_between(1.0, 0.0, 1.0)), LimitsCrossed);
    assert_eq!(err(Tolerance::normal_between(0.0, 1.0, 0.0)), BadCpk);
    assert_eq!(err(Tolerance::normal_cv(0.0, 0.1)), NominalNotPositive);
    assert_eq!(err(Tolerance::measured(vec![])), NoValues);
    assert_eq!(err(Tolerance::discrete(vec![1.0], &[0.0])), BadWeights);
    assert_eq!(err(Tolerance::discrete(vec![1.0], &[1.0, 1.0])), BadWeights);
    let endless = [f64::MAX, f64::MAX];
    assert_eq!(
        err(Tolerance::discrete(vec![1.0, 2.0], &endless)),
        BadWeights
    );
    let uniform = || Tolerance::uniform(0.0, 1.0).unwrap();
    assert_eq!(err(uniform().inspected(5.0, 6.0)), NothingPasses);
    assert_eq!(err(uniform().with_lot_share(0.5)), LotNeedsNormal);
    assert_eq!(err(uniform().with_lot_share(1.5)), BadLotShare);
}
