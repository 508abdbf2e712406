//! What jobs say of spreads.

use super::{TRUST, changed, jobs, otherwise};
use crate::causes::Input;
use crate::demo;
use crate::learn::FinishedJob;
use crate::learn::spreads::{row_of, spreads, widen};
use crate::next::{BenchJob, Known};
use crate::tests::close;

/// A job that tells of the tail bearings alone, old and new, as measured.
fn tail_bearings(heights: [f64; 2]) -> (usize, FinishedJob) {
    let known = Known {
        tail_height: Some(heights),
        ..Known::default()
    };
    let bench = BenchJob {
        known,
        ..BenchJob::default()
    };
    (
        0,
        FinishedJob {
            bench,
            ..FinishedJob::default()
        },
    )
}

/// Heights off the middle, in deviations of the file, read without error: each normal about a mean, which is
/// normal about the middle with a variance of one over the trust. With the mean integrated away all of it is a
/// law of one figure, the variance: its mode and its quantiles by sums on a lattice.
#[test]
fn a_spread_read_without_error_is_found_by_the_closed_form() {
    let kinds = [changed(|_, shop| shop.instruments.height = 0.0)];
    let law = Input::TailBearing.tolerance(&kinds[0].axle).unwrap();
    let (middle, sigma) = (22.1, law.deviation().unwrap());
    for (off, within) in [
        (vec![1.5, -2.0, 0.3, 2.5, -1.0, 1.8], 0.02),
        (
            vec![0.4, 0.6, 0.5, 0.3, 0.7, 0.5, 0.45, 0.6, 0.2, 0.9],
            0.02,
        ),
        ((0..200).map(|i| 0.02 * f64::from(i) - 1.5).collect(), 0.002),
    ] {
        let all: Vec<_> = (off.chunks(2))
            .map(|two| tail_bearings([middle + sigma * two[0], middle + sigma * two[1]]))
            .collect();
        let found = spreads(&kinds, &all, TRUST);
        let [(Input::TailBearing, found)] = found.inputs[..] else {
            panic!("{found:?}");
        };
        let count = off.len() as f64;
        let mean = off.iter().sum::<f64>() / count;
        let squares: f64 = off.iter().map(|x| (x - mean).powi(2)).sum();
        let log_density = |log: f64| {
            let variance = log.exp();
            let of_mean = variance + count / TRUST;
            let prior = TRUST * (log + 1.0 / variance);
            let jobs = (count - 1.0) * log
                + of_mean.ln()
                + squares / variance
                + count * mean * mean / of_mean;
            -0.5 * (prior + jobs)
        };
        let lattice: Vec<f64> = (-30_000..=30_000).map(|i| 1e-4 * f64::from(i)).collect();
        let mode = lattice.iter().fold(0.0, |a: f64, b| {
            if log_density(*b) > log_density(a) {
                *b
            } else {
                a
            }
        });
        let density: Vec<f64> = lattice
            .iter()
            .map(|x| (log_density(*x) - log_density(mode)).exp())
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
        close(found.learned.value.ln(), 0.5 * mode, 0.1 * within);
        close(found.learned.low.ln(), end(0.025).ln(), within);
        close(found.learned.high.ln(), end(0.975).ln(), within);
    }
}

/// The file's figures, worth ten jobs, hold against one job or two: of 60 shops that are as their files say, no
/// spread becomes half as much again or two thirds, and no interval of a row leaves the file's figure out.
#[test]
#[cfg_attr(debug_assertions, ignore = "long without optimisation")]
fn one_job_or_two_move_nothing_far() {
    let kinds = [demo::setup()];
    for count in [1, 2] {
        for seed in 0..60 {
            let found = spreads(&kinds, &jobs(&kinds[0], count, seed), TRUST);
            for (input, of) in found.inputs {
                let times = of.learned.value;
                assert!((1.0 / 1.5..1.5).contains(&times), "{input:?}: {of:?}");
            }
            for (row, of) in found.rows {
                let file = row_of(&kinds[0].axle, row);
                assert!(
                    (of.learned.low..=of.learned.high).contains(&file),
                    "{row:?}: {of:?}"
                );
            }
        }
    }
}

/// What no job tells of is not told.
#[test]
fn what_no_job_tells_of_stays_as_it_is() {
    let kinds = [demo::setup()];
    let found = spreads(
        &kinds,
        &[tail_bearings([22.1, 22.2]), tail_bearings([22.0, 22.1])],
        TRUST,
    );
    let inputs: Vec<Input> = found.inputs.iter().map(|(input, _)| *input).collect();
    assert_eq!(inputs, [Input::TailBearing, Input::Height]);
    assert!(found.rows.is_empty());
    let none = spreads(&kinds, &[(0, FinishedJob::default())], TRUST);
    assert!(none.inputs.is_empty() && none.rows.is_empty());
    assert!(spreads(&kinds, &[], TRUST).inputs.is_empty());
}

/// A file that is worth 1,000 jobs against 40 of shops that are otherwise: no spread moves by more than 6 %, and no
/// row by more than 0.01 of the tooth a millimetre.
#[test]
fn a_trusted_file_holds() {
    let kinds = [demo::setup()];
    for seed in 0..5 {
        let (other, _) = otherwise(seed);
        let found = spreads(&kinds, &jobs(&other, 40, seed), 1_000.0);
        for (input, of) in found.inputs {
            close(of.learned.value, 1.0, 0.06);
            assert!(of.learned.high < 1.15, "{input:?}: {of:?}");
        }
        for (row, of) in found.rows {
            close(of.learned.value, row_of(&kinds[0].axle, row), 0.01);
        }
    }
}

/// Of an axle that never varies, read without any error, jobs teach nothing: no spread and no row.
#[test]
fn exact_axles_teach_nothing() {
    let exact = changed(|axle, shop| {
        for input in Input::ALL {
            widen(input, 0.0, axle, shop);
        }
        shop.instruments.dial.step = 0.0;
        shop.instruments.pattern.step = 0.0;
    });
    let all = jobs(&exact, 6, 3);
    let found = spreads(&[exact], &all, TRUST);
    assert!(found.inputs.is_empty(), "{found:?}");
    assert!(found.rows.is_empty(), "{found:?}");
}
