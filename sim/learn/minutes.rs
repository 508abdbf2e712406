//! What jobs say of the minutes of each operation, and of how much the pace of a whole job varies.
//!
//! # Definition
//! The minutes of a job are those of its operations times one pace. Each of the file's triples, least, usual
//! and most, is taken to be so many times as long; the prior of that is 1, as if one go had been timed in so
//! many jobs. What is stated of a job, whole hours or tasks or both, is taken as jointly normal.
//!
//! # Source
//! Gelman et al., "Bayesian Data Analysis" (3rd edition), section 14.8: linear regression with a prior.

use super::FinishedJob;
use super::operations::operations;
use super::posterior::{Deviation, Posterior};
use crate::axle::Axle;
use crate::bench::minutes::{Operation, OperationCounts, Task, saved_at};
use crate::bench::setup::Setup;
use crate::count::matrix::{Matrix, dot};
use crate::shop::{Minutes, Span};

/// A triple of minutes in a shop file; of changes that of a seat.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Timed {
    /// That of a task, for a sleeve that of the first one.
    Task(Task),
    /// That of each further sleeve.
    SleeveAgain,
}

impl Timed {
    /// All of them, as a shop file has them.
    pub const ALL: [Self; 12] = [
        Self::Task(Task::Strip),
        Self::Task(Task::FirstAssembly),
        Self::Task(Task::ReadBacklash),
        Self::Task(Task::ReadPattern),
        Self::Task(Task::SideChange),
        Self::Task(Task::PinionChange),
        Self::Task(Task::ReseatRing),
        Self::Task(Task::Sleeve),
        Self::SleeveAgain,
        Self::Task(Task::SpacerChange),
        Self::Task(Task::FinalAssembly),
        Self::Task(Task::Refit),
    ];

    fn of(operation: Operation) -> Self {
        match operation {
            Operation::SleeveAgain => Self::SleeveAgain,
            operation => Self::Task(Task::of(operation)),
        }
    }

    /// The triple, for the seats of this axle.
    pub fn span(self, axle: &Axle, minutes: &Minutes) -> Span {
        *self.span_mut(axle, &mut minutes.clone())
    }

    pub(super) fn span_mut<'a>(self, axle: &Axle, minutes: &'a mut Minutes) -> &'a mut Span {
        let Self::Task(task) = self else {
            return &mut minutes.sleeve_again;
        };
        match task {
            Task::Strip => &mut minutes.strip,
            Task::FirstAssembly => &mut minutes.first_assembly,
            Task::ReadBacklash => &mut minutes.read_backlash,
            Task::SideChange => &mut minutes.side_change[axle.side_shims.seat as usize],
            Task::ReadPattern => &mut minutes.read_pattern,
            Task::PinionChange => &mut minutes.pinion_change[axle.pinion_shim.seat as usize],
            Task::ReseatRing => &mut minutes.reseat_ring,
            Task::FinalAssembly => &mut minutes.final_assembly,
            Task::Sleeve => &mut minutes.sleeve,
            Task::SpacerChange => &mut minutes.spacer_change,
            Task::Refit => &mut minutes.refit,
        }
    }
}

/// What jobs say of a shop's minutes.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Times {
    /// Each triple that was met, with how many times as long it is.
    pub minutes: Vec<(Timed, Posterior)>,
    /// How many times as much the pace of whole jobs varies; `None` where the file has it as even.
    pub job_spread: Option<Posterior>,
}

/// Steps of the search at the most, and a change that ends it.
const STEPS: u32 = 25;
const SETTLED: f64 = 1e-10;

/// What jobs say of a shop's minutes; `trust` is what the file's figures are worth.
pub fn times(kinds: &[Setup], jobs: &[(usize, FinishedJob)], trust: f64) -> Times {
    let stated: Vec<Stated> = (jobs.iter())
        .filter_map(|(kind, job)| Stated::of(&kinds[*kind], job))
        .collect();
    let met: Vec<Timed> = (Timed::ALL.into_iter())
        .filter(|timed| stated.iter().any(|job| job.meets(*timed)))
        .collect();
    match kinds.first().filter(|_| !met.is_empty()) {
        Some(setup) => settled(setup, &stated, &met, trust),
        None => Times {
            minutes: Vec::new(),
            job_spread: None,
        },
    }
}

/// What a job states: some sums of operations, each with its minutes.
struct Stated(Vec<Sum>);

struct Sum {
    minutes: f64,
    /// Goes, with their mean before what set-up bearings save, the mean that these save, and the variance of
    /// a go.
    goes: Vec<Goes>,
}

struct Goes {
    timed: Timed,
    times: f64,
    mean: f64,
    saved: f64,
    variance: f64,
}

impl Stated {
    fn of(setup: &Setup, job: &FinishedJob) -> Option<Self> {
        let done = operations(setup, job)?;
        let timed = |task: Task| job.minutes.iter().find(|(of, _)| *of == task);
        let mut sums: Vec<Sum> = Vec::new();
        for (task, minutes) in &job.minutes {
            let goes = goes(setup, &done, |of| of == *task);
            if !goes.is_empty() {
                let minutes = *minutes;
                sums.push(Sum { minutes, goes });
            }
        }
        if let Some(hours) = job.hours {
            let known: f64 = sums.iter().map(|sum| sum.minutes).sum();
            let goes = goes(setup, &done, |task| timed(task).is_none());
            if !goes.is_empty() {
                let minutes = 60.0 * hours - known;
                sums.push(Sum { minutes, goes });
            }
        }
        (!sums.is_empty()).then_some(Self(sums))
    }

    fn meets(&self, timed: Timed) -> bool {
        let mut goes = self.0.iter().flat_map(|sum| &sum.goes);
        goes.any(|go| go.timed == timed)
    }
}

fn goes(setup: &Setup, done: &OperationCounts, of: impl Fn(Task) -> bool) -> Vec<Goes> {
    let minutes = &setup.shop.minutes;
    let met = Operation::ALL
        .into_iter()
        .filter(|operation| of(Task::of(*operation)) && done.at(*operation) > 0);
    met.map(|operation| {
        let timed = Timed::of(operation);
        let span = timed.span(&setup.axle, minutes);
        Goes {
            timed,
            times: f64::from(done.at(operation)),
            mean: span.mean(),
            saved: saved_at(&setup.axle, &setup.shop, operation),
            variance: variance(span),
        }
    })
    .collect()
}

/// Variance of a triangular distribution.
fn variance(span: Span) -> f64 {
    let Span { least, usual, most } = span;
    let squares = least * least + usual * usual + most * most;
    (squares - least * usual - least * most - usual * most) / 18.0
}

/// A job's figures at some unknowns, times the inverse of a factor of their covariance.
struct Whitened {
    off: Vec<f64>,
    /// For each triple, what is added where it is longer by its whole length.
    longer: Vec<Vec<f64>>,
    /// What one deviation of the pace adds.
    pace: Vec<f64>,
}

impl Whitened {
    fn new(job: &Stated, met: &[Timed], longer: &[f64], pace: f64) -> Option<Self> {
        let size = job.0.len();
        let place = |timed| met.iter().position(|of| *of == timed).unwrap_or(0);
        let mut off = Vec::with_capacity(size);
        let mut by = vec![vec![0.0; size]; met.len()];
        let mut means = Vec::with_capacity(size);
        let mut covariance = Matrix::zero(size);
        for (i, sum) in job.0.iter().enumerate() {
            let mut mean = 0.0;
            for go in &sum.goes {
                let k = place(go.timed);
                by[k][i] += go.times * go.mean;
                mean += go.times * (longer[k] * go.mean - go.saved);
                covariance.add(i, i, go.times * go.variance * longer[k] * longer[k]);
            }
            off.push(sum.minutes - mean);
            means.push(mean);
        }
        covariance.add_product(&means, &means, pace * pace);
        let factor = covariance.factor()?;
        let mut paced: Vec<f64> = means.iter().map(|mean| pace * mean).collect();
        for column in by.iter_mut().chain([&mut off, &mut paced]) {
            factor.divide(column);
        }
        Some(Self {
            off,
            longer: by,
            pace: paced,
        })
    }
}

fn settled(setup: &Setup, stated: &[Stated], met: &[Timed], trust: f64) -> Times {
    let minutes = &setup.shop.minutes;
    let spread = minutes.job_spread;
    // one go timed in a job, against its mean
    let priors: Vec<f64> = (met.iter())
        .map(|timed| {
            let span = timed.span(&setup.axle, minutes);
            let one = variance(span) / (span.mean() * span.mean()) + spread * spread;
            trust / one
        })
        .collect();
    let mut longer = vec![1.0; met.len()];
    let mut wider = 0.0_f64;
    let mut precision = Matrix::zero(met.len());
    let mut told_of_pace = 0.0;
    for _ in 0..STEPS {
        let pace = spread * libm::exp(0.5 * wider);
        let jobs: Vec<Whitened> = (stated.iter())
            .filter_map(|job| Whitened::new(job, met, &longer, pace))
            .collect();
        precision = Matrix::zero(met.len());
        let mut slope: Vec<f64> = Vec::new();
        for (k, prior) in priors.iter().enumerate() {
            precision.add(k, k, *prior);
            slope.push(prior * (1.0 - longer[k]));
        }
        for job in &jobs {
            for (k, one) in job.longer.iter().enumerate() {
                slope[k] += dot(one, &job.off);
                for (l, other) in job.longer.iter().enumerate() {
                    precision.add(k, l, dot(one, other));
                }
            }
        }
        let Some(spreads) = precision.clone().inverse() else {
            break;
        };
        let mut largest = 0.0_f64;
        for (longer, by) in longer.iter_mut().zip(spreads.times(&slope)) {
            *longer = (*longer + by).max(SHORTEST);
            largest = largest.max(by.abs());
        }
        if spread > 0.0 {
            let mut slope = 0.5 * trust * (libm::exp(-wider) - 1.0);
            told_of_pace = 0.0;
            for job in &jobs {
                let (along, size) = (dot(&job.pace, &job.off), dot(&job.pace, &job.pace));
                let on_means: Vec<f64> = job.longer.iter().map(|one| dot(one, &job.pace)).collect();
                slope += 0.5 * (along * along - size + dot(&on_means, &spreads.times(&on_means)));
                told_of_pace += 0.5 * size * size;
            }
            let steeper = libm::exp(-wider).max(1.0);
            let by = (slope / (0.5 * trust * steeper + told_of_pace)).clamp(-0.7, 0.7);
            wider += by;
            largest = largest.max(by.abs());
        }
        if largest < SETTLED {
            break;
        }
    }
    let spreads = precision.inverse();
    let of = |k: usize| {
        let precision = spreads
            .as_ref()
            .map_or(priors[k], |spreads| 1.0 / spreads.at(k, k));
        let worth = (precision / priors[k] - 1.0) * trust;
        Posterior::of_mean(1.0, longer[k], precision, [trust, worth])
    };
    Times {
        minutes: met
            .iter()
            .enumerate()
            .map(|(k, timed)| (*timed, of(k)))
            .collect(),
        job_spread: (spread > 0.0).then(|| {
            Posterior::of_deviation(&Deviation {
                log_variance: wider,
                trust,
                worth: 2.0 * told_of_pace,
                met: stated.len() as f64,
            })
        }),
    }
}

/// No operation gets shorter than this share of what the file says.
const SHORTEST: f64 = 0.05;
