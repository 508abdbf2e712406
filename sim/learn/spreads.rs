//! What jobs say of how much their parts and readings vary, and of how the pattern moves.
//!
//! # Definition
//! What an input varies by has a prior of the file's figure: as if it had been measured itself in so many
//! jobs, a scaled inverse χ² distribution of its variance. Means of parts are not learned but allowed for,
//! with a prior of as many jobs. Rows of the pattern have a normal prior worth what so many of these jobs
//! tell of them.
//!
//! # Source
//! Gelman et al., "Bayesian Data Analysis" (3rd edition), sections 3.2 and 3.3. Effective degrees of freedom:
//! Satterthwaite, "An approximate distribution of estimates of variance components", Biometrics Bulletin 2
//! (1946) 110–114. Rows: Zellner, "On assessing prior distributions … with g-prior distributions" (1986).

use rayon::prelude::*;

use super::FinishedJob;
use super::posterior::{Deviation, Posterior};
use super::scores::{Scores, Unknowns};
use crate::axle::Axle;
use crate::bench::setup::Setup;
use crate::causes::Input;
use crate::count::matrix::{Matrix, dot};
use crate::next::{Column, Linear, linear};
use crate::shop::Shop;

/// What jobs say of spreads and rows.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Spreads {
    /// Each input, with how many times as much it varies as the files say.
    pub inputs: Vec<(Input, Posterior)>,
    /// Rows of the pattern, share of the tooth per mm: flank (0 drive, 1 coast) and mover (0 depth, 1 ring
    /// position).
    pub rows: Vec<((usize, usize), Posterior)>,
}

/// Jobs whose scores are held at once, each about 0.1 MB.
const BLOCK: usize = 64;
/// Steps of the search at the most; the largest of one, as a logarithm of a variance; and a step that ends it, in
/// deviations of what is found.
const STEPS: u32 = 60;
const LARGEST_STEP: f64 = 0.7;
const SETTLED: f64 = 0.02;
/// A step that takes back so much of the one before it shows that they go too far.
const TURNS_BACK: f64 = -0.3;

/// A job that tells of a row of the pattern does so within a thousand teeth a mm: one over that, squared.
const LEAST_TOLD: f64 = 1e-6;
/// What jobs hardly tell of has next to no scatter: so much of what is largest beside it is added before it is
/// divided by.
const HARDLY: f64 = 1e-8;

/// What jobs say of spreads and rows.
pub fn spreads(kinds: &[Setup], jobs: &[(usize, FinishedJob)], trust: f64) -> Spreads {
    let told: Vec<Linear> = (jobs.par_iter())
        .map(|(kind, job)| linear(&kinds[*kind], &job.bench))
        .filter(|job| !job.off.is_empty())
        .collect();
    let Some(setup) = kinds.first().filter(|_| !told.is_empty()) else {
        return Spreads {
            inputs: Vec::new(),
            rows: Vec::new(),
        };
    };
    let mut unknowns = unknowns(setup, &told);
    let fit = Fit {
        told: &told,
        unknowns: &unknowns,
        trust,
    };
    // a row that next to nothing tells of has next to no prior either
    let first = fit.scores(&vec![0.0; unknowns.len()]);
    let mut places = unknowns.spreads.len()..;
    let least = LEAST_TOLD * told.len() as f64;
    let told_of = |place| first.information.at(place, place) > least;
    (unknowns.rows).retain(|_| places.next().is_some_and(told_of));
    let fit = Fit {
        told: &told,
        unknowns: &unknowns,
        trust,
    };
    fit.settled(setup)
}

/// What these jobs say something of.
fn unknowns(setup: &Setup, told: &[Linear]) -> Unknowns {
    let met = |input: Input| {
        let mut columns = told.iter().flat_map(|job| &job.columns);
        columns.any(|column| column.input == Some(input) && !column.terms.is_empty())
    };
    let spreads: Vec<Input> = Input::ALL
        .into_iter()
        .filter(|input| spread_of(*input, &setup.axle, &setup.shop).is_some() && met(*input))
        .collect();
    let is_part = |input: &Input| input.tolerance(&setup.axle).is_some();
    let shifts = spreads.iter().copied().filter(|input| {
        let mut columns = told.iter().flat_map(|job| &job.columns);
        is_part(input) && columns.any(|column| column.input == Some(*input) && column.shift != 0.0)
    });
    let read = |flank| {
        let mut profiles = told.iter().flat_map(|job| &job.profiles);
        profiles.any(|profile| profile.flank == flank)
    };
    let rows = [(0, 0), (0, 1), (1, 0), (1, 1)];
    Unknowns {
        shifts: shifts.collect(),
        rows: rows.into_iter().filter(|(flank, _)| read(*flank)).collect(),
        spreads,
    }
}

/// One sigma that a file states for the input, or that follows from what it states; `None` where it states
/// none that could be another one.
pub fn spread_of(input: Input, axle: &Axle, shop: &Shop) -> Option<f64> {
    let instruments = &shop.instruments;
    let sigma = match input {
        Input::ScatterProfile => axle.gears.pattern.scatter_profile,
        Input::SetupBearing => instruments.setup_bearing,
        Input::Height => instruments.height,
        Input::Thickness => instruments.micrometer?,
        Input::DepthGauge => instruments.depth_gauge.sigma,
        Input::EndPlay => instruments.end_play,
        Input::Dial => instruments.dial.sigma,
        Input::Pattern => instruments.pattern.profile,
        part => part.tolerance(axle)?.deviation()?,
    };
    (sigma > 0.0).then_some(sigma)
}

/// Axle and shop with an input that varies so many times as much.
pub fn widen(input: Input, times: f64, axle: &mut Axle, shop: &mut Shop) {
    let instruments = &mut shop.instruments;
    match input {
        Input::ScatterProfile => axle.gears.pattern.scatter_profile *= times,
        Input::SetupBearing => instruments.setup_bearing *= times,
        Input::Height => instruments.height *= times,
        Input::Thickness => {
            if let Some(sigma) = &mut instruments.micrometer {
                *sigma *= times;
            }
        }
        Input::DepthGauge => instruments.depth_gauge.sigma *= times,
        Input::EndPlay => instruments.end_play *= times,
        Input::Dial => instruments.dial.sigma *= times,
        Input::Pattern => instruments.pattern.profile *= times,
        part => {
            if let Some(tolerance) = part.tolerance_mut(axle) {
                *tolerance = tolerance.scaled(times);
            }
        }
    }
}

/// A search for the likeliest unknowns.
struct Fit<'a> {
    told: &'a [Linear],
    unknowns: &'a Unknowns,
    trust: f64,
}

impl Fit<'_> {
    fn scores(&self, at: &[f64]) -> Scores {
        let mut sum = Scores::none(self.unknowns);
        for block in self.told.chunks(BLOCK) {
            let of: Vec<Scores> = (block.par_iter())
                .filter_map(|job| Scores::of(job, self.unknowns, at))
                .collect();
            of.iter().for_each(|job| sum.add(job));
        }
        sum
    }

    /// Precision of the prior of each unknown, in its own unit.
    fn prior(&self, first: &Scores) -> Vec<f64> {
        let (spreads, rows) = (self.unknowns.spreads.len(), self.unknowns.rows.len());
        let jobs = self.told.len() as f64;
        (0..self.unknowns.len())
            .map(|i| match i {
                i if i < spreads => 0.5 * self.trust,
                i if i < spreads + rows => self.trust * first.information.at(i, i) / jobs,
                _ => self.trust,
            })
            .collect()
    }

    fn settled(&self, setup: &Setup) -> Spreads {
        let spreads = self.unknowns.spreads.len();
        let mut at = vec![0.0; self.unknowns.len()];
        let mut scores = self.scores(&at);
        let prior = self.prior(&scores);
        let mut share = 1.0;
        let mut before = vec![0.0; self.unknowns.len()];
        for _ in 0..STEPS {
            let counted = counted(&scores, &prior);
            let pull = |i: usize| match i < spreads {
                true => prior[i] * (libm::exp(-at[i]) - 1.0),
                false => -prior[i] * at[i],
            };
            let score = self.counted_score(&scores, &prior, &counted);
            let slope: Vec<f64> = (score.iter().enumerate())
                .map(|(i, score)| score + pull(i))
                .collect();
            // it pulls harder the farther below it a variance lies
            let steeper: Vec<f64> = (prior.iter().enumerate())
                .map(|(i, prior)| match i < spreads {
                    true => prior * libm::exp(-at[i]).max(1.0),
                    false => *prior,
                })
                .collect();
            let spread = self.spread(&scores, &counted, &steeper);
            let by = spread.times(&slope);
            let largest = by[..spreads]
                .iter()
                .fold(LARGEST_STEP, |most, by| most.max(by.abs()));
            // between inputs that are hard to tell apart, jobs may tell more than is expected: steps by what is
            // expected are then too long there, and would go to and fro for ever
            let back = dot(&by, &before) / dot(&before, &before).max(f64::MIN_POSITIVE);
            if back < TURNS_BACK {
                share *= 0.5;
            }
            for (at, by) in at.iter_mut().zip(&by) {
                *at += share * LARGEST_STEP / largest * by;
            }
            before.clone_from(&by);
            scores = self.scores(&at);
            let off = by.iter().enumerate();
            let off = off.map(|(i, by)| by.abs() / spread.at(i, i).sqrt());
            if off.fold(0.0, f64::max) < SETTLED {
                break;
            }
        }
        let spread = self.spread(&scores, &counted(&scores, &prior), &prior);
        self.told_of(setup, &at, &prior, &spread)
    }

    /// The score of the jobs as much as it counts under the laws that parts truly have, and with what
    /// estimating the means takes from the spreads.
    fn counted_score(&self, scores: &Scores, prior: &[f64], counted: &Counted) -> Vec<f64> {
        let from = prior.len() - self.unknowns.shifts.len();
        let mut on_shifts = Matrix::zero(self.unknowns.shifts.len());
        for i in from..prior.len() {
            for j in from..prior.len() {
                on_shifts.add(i - from, j - from, scores.information.at(i, j));
            }
            on_shifts.add(i - from, i - from, prior[i]);
        }
        let mut score = scores.score.clone();
        if let Some(of_shifts) = on_shifts.inverse() {
            for (score, of) in score.iter_mut().zip(&scores.on_shifts) {
                *score += 0.5 * of_shifts.product(of);
            }
        }
        match &counted.scatter {
            Some(one_over) => scores.information.times(&one_over.times(&score)),
            None => score,
        }
    }

    /// The covariance of what is found. What is expected of the packs that were fitted is more than the rows
    /// of the pattern can be told from, since packs follow from readings: for these it is taken from how
    /// steeply the score of these very jobs falls.
    fn spread(&self, scores: &Scores, counted: &Counted, prior: &[f64]) -> Matrix {
        let first = self.unknowns.spreads.len();
        let rows = first..first + self.unknowns.rows.len();
        let mut expected = counted.information.clone();
        for (i, prior) in prior.iter().enumerate() {
            expected.add(i, i, *prior);
        }
        let mut seen = expected.clone();
        for i in 0..prior.len() {
            for j in 0..prior.len() {
                if rows.contains(&i) || rows.contains(&j) {
                    let more = scores.fall.at(i, j) - scores.information.at(i, j);
                    seen.add(i, j, more);
                }
            }
        }
        let inverse = seen.inverse().or_else(|| expected.inverse());
        inverse.expect("a prior for every unknown")
    }

    fn told_of(&self, setup: &Setup, at: &[f64], prior: &[f64], spread: &Matrix) -> Spreads {
        let precision = |i: usize| 1.0 / spread.at(i, i);
        let inputs = self.unknowns.spreads.iter().enumerate().map(|(i, input)| {
            let of = Deviation {
                log_variance: at[i],
                trust: self.trust,
                worth: (2.0 * precision(i) - self.trust).max(0.0),
                met: self.met(*input),
            };
            (*input, Posterior::of_deviation(&of))
        });
        let from = self.unknowns.spreads.len();
        let rows = self.unknowns.rows.iter().enumerate().map(|(r, row)| {
            let i = from + r;
            let before = row_of(&setup.axle, *row);
            let worth = (precision(i) / prior[i] - 1.0) * self.trust;
            let now = before + at[i];
            (
                *row,
                Posterior::of_mean(before, now, precision(i), [self.trust, worth]),
            )
        });
        Spreads {
            inputs: inputs.collect(),
            rows: rows.collect(),
        }
    }

    /// In how many figures an input is met, each as much as it tells of a variance under its own law.
    fn met(&self, input: Input) -> f64 {
        let own = |column: &&Column| column.input == Some(input) && !column.terms.is_empty();
        let mut second_of_two = false;
        let tells = |column: &Column| {
            // both parts of a runout tell of its one size
            let parts = if column.with_next != 0.0 { 2.0 } else { 1.0 };
            if std::mem::replace(&mut second_of_two, parts == 2.0) {
                second_of_two = false;
                return 0.0;
            }
            parts * 2.0 / (2.0 + column.excess + column.with_next).max(HARDLY)
        };
        let columns = self.told.iter().flat_map(|job| &job.columns);
        columns.filter(own).map(tells).sum()
    }
}

/// The information of jobs as much as it counts under the laws that parts truly have.
struct Counted {
    information: Matrix,
    /// One over the scatter of the score; `None` where it can't be told from normal laws'.
    scatter: Option<Matrix>,
}

fn counted(scores: &Scores, prior: &[f64]) -> Counted {
    let size = prior.len();
    let mut scatter = scores.information.clone();
    scatter.add_all(&scores.more);
    for (i, prior) in prior.iter().enumerate() {
        let largest = scatter.at(i, i).max(*prior);
        scatter.add(i, i, HARDLY * largest);
    }
    let scatter = scatter.inverse();
    let mut information = Matrix::zero(size);
    for j in 0..size {
        let column = scores.information.row(j);
        let column = match &scatter {
            Some(one_over) => scores.information.times(&one_over.times(column)),
            None => column.to_vec(),
        };
        for (i, cell) in column.into_iter().enumerate() {
            information.add(i, j, cell);
        }
    }
    Counted {
        information,
        scatter,
    }
}

/// A figure of the rows of an axle.
pub(super) fn row_of(axle: &Axle, (flank, mover): (usize, usize)) -> f64 {
    let pattern = &axle.gears.pattern;
    [pattern.drive_profile, pattern.coast_profile][flank][mover]
}
