//! What jobs say of minutes.

use super::shims_out::{with, with_spacer};
use super::{Held, TRUST, changed, dice, jobs, seeds, times_as_wide};
use crate::bench::minutes::Task;
use crate::chance::dice::Address;
use crate::demo;
use crate::learn::minutes::{Timed, times};
use crate::learn::operations::operations;
use crate::learn::{FinishedJob, Posterior, recorded};
use crate::next::{BenchJob, Fitted};
use crate::shop::Span;
use crate::tests::close;

/// Counts read off what was written down are those of the rebuild, with a sleeve and with a spacer.
#[test]
fn operations_are_counted_as_they_were_done() {
    for setup in [demo::setup(), with(with_spacer)] {
        for number in 0..300 {
            let address = Address::new(9, number);
            let rebuild = setup.rebuild(address);
            let counted = operations(&setup, &recorded(&setup, address)).unwrap();
            assert_eq!(counted, rebuild.operations, "rebuild {number}");
        }
    }
}

/// A job that has ended, of which some tasks were timed.
fn timed(minutes: &[(Task, f64)]) -> (usize, FinishedJob) {
    let job = FinishedJob {
        bench: BenchJob {
            assemblies: vec![Fitted::default()],
            ..BenchJob::default()
        },
        minutes: minutes.to_vec(),
        ended: true,
        ..FinishedJob::default()
    };
    (0, job)
}

fn of(found: &[(Timed, Posterior)], wanted: Timed) -> Posterior {
    let of = found.iter().find(|(timed, _)| *timed == wanted);
    of.unwrap_or_else(|| panic!("{wanted:?}")).1
}

/// Variance of one go over the square of its mean, by its own formula.
fn relative_variance(span: Span) -> f64 {
    let Span { least, usual, most } = span;
    let [a, b] = [usual - least, most - usual];
    (a * a + a * b + b * b) / 18.0 / span.mean().powi(2)
}

/// Tasks timed one by one at an even pace: n of them with a mean m times the file's. One go has a deviation in
/// proportion to the length L that is found, so that n of them are worth n/L²; with worths that sum to w, L is
/// (trust + n/L²·m)/w with a variance of the file's of one go over w.
#[test]
fn a_task_timed_by_itself_is_a_normal_mean() {
    let kinds = [changed(|_, shop| shop.minutes.job_spread = 0.0)];
    for (ratios, trust) in [
        (&[1.3, 1.5, 1.1, 1.4, 1.2][..], 10.0),
        (&[0.8], 10.0),
        (&[1.0, 1.0, 1.0], 5.0),
        (&[2.0; 40], 1_000.0),
    ] {
        let strip = kinds[0].shop.minutes.strip;
        let all: Vec<_> = (ratios.iter())
            .map(|ratio| timed(&[(Task::Strip, ratio * strip.mean())]))
            .collect();
        let found = times(&kinds, &all, trust);
        assert_eq!(found.minutes.len(), 1);
        assert!(found.job_spread.is_none());
        let found = of(&found.minutes, Timed::Task(Task::Strip));
        let (count, mean) = (
            ratios.len() as f64,
            ratios.iter().sum::<f64>() / ratios.len() as f64,
        );
        let length = found.learned.value;
        let worth = count / (length * length);
        close(found.worth, worth, 1e-6 * worth);
        close(length, (trust + worth * mean) / (trust + worth), 1e-9);
        close(found.alone.unwrap_or(mean), mean, 1e-6);
        // what contradicts the file widens it
        let both = trust + worth;
        let apart = (mean - 1.0).powi(2) * trust * worth / (both * both);
        let half = 1.959_964 * ((relative_variance(strip) + apart) / both).sqrt();
        close(found.learned.high - length, half, 1e-6);
        close(length - found.learned.low, half, 1e-6);
    }
}

/// Whole hours less what is known of single tasks are the rest: two tasks and hours say as much as three tasks.
#[test]
fn hours_are_what_is_left_of_them() {
    let kinds = [changed(|_, shop| shop.minutes.job_spread = 0.0)];
    let tasks = [
        (Task::Strip, 50.0),
        (Task::FirstAssembly, 90.0),
        (Task::Refit, 44.0),
    ];
    let all = [timed(&tasks)];
    let mut hours = timed(&tasks[..2]);
    hours.1.hours = Some((50.0 + 90.0 + 44.0) / 60.0);
    let [all, hours] = [all, [hours]].map(|jobs| times(&kinds, &jobs, TRUST).minutes);
    assert_eq!(all.len(), 3);
    for ((timed, one), (other, two)) in all.iter().zip(&hours) {
        assert_eq!(timed, other);
        close(one.learned.value, two.learned.value, 1e-9);
        close(one.learned.low, two.learned.low, 1e-9);
    }
}

/// Jobs that are not done, or say nothing of time, teach nothing of it.
#[test]
fn without_times_nothing_is_learned() {
    let kinds = [demo::setup()];
    let mut all = jobs(&kinds[0], 5, 1);
    for (at, (_, job)) in all.iter_mut().enumerate() {
        match at {
            0 => job.ended = false,
            1 => job.bench.assemblies.clear(),
            _ => (job.hours, job.minutes) = (None, Vec::new()),
        }
    }
    let found = times(&kinds, &all, TRUST);
    assert!(found.minutes.is_empty() && found.job_spread.is_none());
}

/// Shops whose minutes and pace are drawn from the prior. A row is a count of jobs, with tasks timed or hours
/// alone.
#[test]
#[cfg_attr(debug_assertions, ignore = "long without optimisation")]
fn minutes_and_pace_are_recovered() {
    let kinds = [demo::setup()];
    let (axle, minutes) = (&kinds[0].axle, &kinds[0].shop.minutes);
    for (count, shops, tasks) in [
        (10, 150, true),
        (10, 150, false),
        (30, 100, true),
        (100, 40, true),
        (100, 40, false),
        (1_000, 6, true),
    ] {
        let [mut lengths, mut paces] = [Held::default(); 2];
        for seed in 0..if count < 1_000 { seeds(shops) } else { shops } {
            let mut dice = dice(seed);
            let spread = minutes.job_spread;
            let truth = Timed::ALL.map(|timed| {
                let one = relative_variance(timed.span(axle, minutes)) + spread * spread;
                (timed, 1.0 + (one / TRUST).sqrt() * dice.normal())
            });
            let pace = times_as_wide(&mut dice);
            let other = changed(|axle, shop| {
                for (timed, longer) in truth {
                    let span = timed.span_mut(axle, &mut shop.minutes);
                    *span = Span {
                        least: longer * span.least,
                        usual: longer * span.usual,
                        most: longer * span.most,
                    };
                }
                shop.minutes.job_spread *= pace;
            });
            let mut all = jobs(&other, count, seed);
            if !tasks {
                all.iter_mut().for_each(|(_, job)| job.minutes.clear());
            }
            let found = times(&kinds, &all, TRUST);
            for (timed, longer) in truth {
                if let Some((_, of)) = found.minutes.iter().find(|(of, _)| *of == timed) {
                    lengths.count(&of.learned, longer);
                }
            }
            paces.count(&found.job_spread.unwrap().learned, pace);
        }
        let row = format!("{count} jobs, tasks {tasks}");
        println!("{row}: lengths {lengths:?}, pace {paces:?}");
        lengths.at_level(&format!("{row}, lengths"), 0.95);
        paces.at_level(&format!("{row}, pace"), 0.95);
    }
}
