//! Posteriors against closed forms and against integrals written plainly.

use statrs::distribution::{Beta, ChiSquared, ContinuousCDF, Normal};

use crate::learn::Posterior;
use crate::learn::posterior::{Deviation, at_share};
use crate::tests::close;

/// A variance measured by itself: with a prior worth ν₀ measurements of 1 and a sum of squares S of n more, its
/// mode along the logarithm is (ν₀ + S)/(ν₀ + n), and (ν₀ + S)/variance is χ² with ν₀ + n degrees of freedom.
#[test]
fn a_variance_measured_by_itself_is_inverse_chi_squared() {
    for (trust, count, squares) in [
        (10.0, 1.0, 0.2),
        (10.0, 10.0, 40.0),
        (5.0, 30.0, 12.0),
        (10.0, 2_000.0, 2_500.0),
        (1_000.0, 40.0, 160.0),
    ] {
        let mode: f64 = (trust + squares) / (trust + count);
        let found = Posterior::of_deviation(&Deviation {
            log_variance: mode.ln(),
            trust,
            worth: count,
            met: count,
        });
        let law = ChiSquared::new(trust + count).unwrap();
        let end = |share| ((trust + squares) / law.inverse_cdf(share)).sqrt();
        close(found.learned.value, mode.sqrt(), 1e-12);
        close(found.learned.low, end(0.975), 2e-4 * end(0.975));
        close(found.learned.high, end(0.025), 2e-4 * end(0.025));
        close(found.alone.unwrap(), (squares / count).sqrt(), 1e-9);
        assert_eq!(found.worth, count);
    }
}

/// Nothing but the file: the prior itself, and no word of the jobs alone.
#[test]
fn a_variance_that_no_job_tells_of_is_as_the_file_has_it() {
    let trust = 10.0;
    let found = Posterior::of_deviation(&Deviation {
        log_variance: 0.0,
        trust,
        worth: 0.0,
        met: 0.0,
    });
    let law = ChiSquared::new(trust).unwrap();
    let end = |share| (trust / law.inverse_cdf(share)).sqrt();
    close(found.learned.low, end(0.975), 1e-3);
    close(found.learned.high, end(0.025), 2e-3);
    assert_eq!((found.worth, found.alone), (0.0, None));
}

/// Measurements of a variance v, each with another error of variance r, have squares of v + r times χ²: by sums on
/// an even lattice in v's logarithm.
#[test]
fn another_error_is_allowed_for() {
    for (trust, met, other, square) in [
        (10.0, 200.0, 3.0, 4.6),
        (10.0, 60.0, 0.5, 1.9),
        (10.0, 400.0, 9.0, 9.4),
        (10.0, 40.0, 1.0, 2.0),
    ] {
        let log_density = |log: f64| {
            let both = log.exp() + other;
            -0.5 * (trust * (log + (-log).exp()) + met * (both.ln() + square / both))
        };
        let lattice: Vec<f64> = (-40_000..=40_000).map(|i| f64::from(i) * 1e-4).collect();
        let most = |a: f64, b: &f64| {
            if log_density(*b) > log_density(a) {
                *b
            } else {
                a
            }
        };
        let mode = lattice.iter().fold(0.0, most);
        let variance = mode.exp();
        let share = variance / (variance + other);
        let found = Posterior::of_deviation(&Deviation {
            log_variance: mode,
            trust,
            worth: met * share * share,
            met,
        });
        let top = log_density(mode);
        let density: Vec<f64> = lattice
            .iter()
            .map(|x| (log_density(*x) - top).exp())
            .collect();
        let whole: f64 = density.iter().sum();
        let end = |share: f64| {
            let mut sum = 0.0;
            let below = density.iter().take_while(|more| {
                sum += **more;
                sum < share * whole
            });
            (0.5 * lattice[below.count()]).exp()
        };
        close(found.learned.low, end(0.025), 1e-3);
        close(found.learned.high, end(0.975), 1e-3);
        close(found.alone.unwrap(), (square - other).sqrt(), 1e-3);
    }
}

/// Measurements that tell next to nothing of a variance, and are as far off as if it were many times as large: the
/// likeliest variance lies in its interval all the same.
#[test]
fn the_likeliest_variance_lies_in_its_interval() {
    for log_variance in [-0.7_f64, -0.2, -0.01, 0.01, 0.1, 0.5, 1.1, 3.0] {
        for trust in [1.0, 10.0, 100.0] {
            for worth in [0.0_f64, 1e-6, 2e-4, 0.01, 0.3, 3.0, 40.0] {
                for met in [worth, 2.0, 17.0, 400.0] {
                    // not even squares of 0 make so small a variance the likeliest
                    let pull = trust * ((-log_variance).exp() - 1.0);
                    if pull > (worth * met.max(worth)).sqrt() {
                        continue;
                    }
                    let found = Posterior::of_deviation(&Deviation {
                        log_variance,
                        trust,
                        worth,
                        met,
                    });
                    let of = found.learned;
                    assert!(
                        of.low < of.value && of.value < of.high,
                        "{log_variance} {trust} {worth} {met}: {of:?}"
                    );
                }
            }
        }
    }
}

/// A mean of known variance 1: the file's worth 10 measurements, 30 of the jobs with a mean of 7.
#[test]
fn a_mean_is_weighed_by_what_either_is_worth() {
    let now = (10.0 * 5.0 + 30.0 * 7.0) / 40.0;
    let found = Posterior::of_mean(5.0, now, 40.0, [10.0, 30.0]);
    // of one job's variance 1: (40 + 10·30/40·(7 − 5)²)/40 where that is as unknown as the mean
    let variance = (40.0 + 10.0 * 30.0 / 40.0 * 4.0) / 40.0;
    let end = Normal::new(now, (variance / 40.0_f64).sqrt()).unwrap();
    close(found.learned.value, 6.5, 1e-12);
    close(found.learned.low, end.inverse_cdf(0.025), 1e-8);
    close(found.learned.high, end.inverse_cdf(0.975), 1e-8);
    close(found.alone.unwrap(), 7.0, 1e-12);
    // rounding may make what the jobs are worth less than nothing
    let nothing = Posterior::of_mean(5.0, 5.0, 10.0, [10.0, -1e-12]);
    assert_eq!((nothing.worth, nothing.alone), (0.0, None));
}

/// One over a figure has the reciprocal ends in the other order.
#[test]
fn one_over_a_figure_turns_its_interval_round() {
    let of = Posterior::of_mean(2.0, 2.5, 16.0, [10.0, 10.0]);
    let over = of.one_over(3.0);
    close(over.learned.value, 0.4, 1e-12);
    close(over.learned.low, 1.0 / of.learned.high, 1e-12);
    close(over.learned.high, 1.0 / of.learned.low, 1e-12);
    close(over.alone.unwrap(), 1.0 / 3.0, 1e-12);
    let times = over.times(50.0);
    close(times.learned.high, 50.0 / of.learned.low, 1e-9);
    close(times.alone.unwrap(), 50.0 / 3.0, 1e-9);
    assert_eq!(times.worth, of.worth);
}

#[test]
fn a_share_is_beta() {
    for (yes, no) in [
        (0.5, 3.5),
        (2.0, 2.0),
        (3.6, 56.4),
        (0.6 + 120.0, 9.4 + 1_900.0),
        (0.02, 40.0),
        (0.05, 0.15),
        (800.0, 9_000.0),
        (2e5, 1e6),
    ] {
        let found = Posterior::of_share(|share, rest| yes * share.ln() + no * rest.ln(), 5.0, 0.3);
        let law = Beta::new(yes, no).unwrap();
        close(found.learned.value, yes / (yes + no), 1e-6);
        for (end, share) in [(found.learned.low, 0.025), (found.learned.high, 0.975)] {
            close(law.cdf(end), share, 1e-4);
        }
    }
}

#[test]
fn a_quantile_of_a_density_on_steps_lies_where_its_share_is_below() {
    let steps: Vec<f64> = (0..=400).map(|i| -8.0 + 0.04 * f64::from(i)).collect();
    let density: Vec<f64> = steps.iter().map(|x| (-0.5 * x * x).exp()).collect();
    let law = Normal::standard();
    for share in [0.025, 0.3, 0.5, 0.975] {
        close(
            at_share(&steps, &density, share),
            law.inverse_cdf(share),
            1e-3,
        );
    }
    // each step stands for what is half a step to either side of it
    close(at_share(&[0.0, 1.0, 2.0, 3.0], &[1.0; 4], 0.25), 0.5, 1e-12);
    close(at_share(&[0.0, 1.0, 2.0, 3.0], &[1.0; 4], 1.0), 3.5, 1e-12);
}
