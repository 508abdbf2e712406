//! Whether jobs change with time, and whether those near each other are alike.
//!
//! # Definition
//! The jobs in the order of their days. A figure drifts where it goes up or down with that order; neighbours
//! are alike where each tends to be as the one before, as with parts of one lot. Both are judged by how often
//! the same figures in an order of chance show as much, over all figures at once.
//!
//! # Source
//! Westfall and Young, "Resampling-based multiple testing" (1993), section 2.3. Serial correlation of ranks:
//! Wald and Wolfowitz, Annals of Mathematical Statistics 14 (1943) 378–388.

use rayon::prelude::*;

use super::{FinishedJob, JobFigure};
use crate::bench::setup::Setup;
use crate::chance::dice::{Address, Purpose};
use crate::count::matrix::dot;
use crate::count::normal::normal_score;

/// Jobs in which an order shows, at the least.
const LEAST: usize = 10;
/// Orders of chance.
const ORDERS: u64 = 4_999;

/// Something of a figure that shows in the order of the jobs.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Drift {
    /// Which figure.
    pub figure: JobFigure,
    /// Jobs that state it.
    pub jobs: usize,
    /// What shows.
    pub shows: Shows,
    /// Chance that jobs in no order show anything as odd as this, of all that is looked at.
    pub chance: f64,
}

/// What shows in an order of jobs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Shows {
    /// The mean of the first half of the jobs, and that of the second.
    Trend([f64; 2]),
    /// The correlation of neighbours.
    Alike(f64),
}

/// What shows in jobs that are given in the order of their days, each with the number of its kind.
pub fn drift(kinds: &[Setup], jobs: &[(usize, FinishedJob)], seed: u64) -> Vec<Drift> {
    let series: Vec<Series> = (JobFigure::ALL.into_iter())
        .filter_map(|figure| Series::of(figure, kinds, jobs))
        .collect();
    let as_done: Vec<usize> = (0..jobs.len()).collect();
    let own: Vec<[f64; 2]> = series.iter().map(|series| series.shows(&as_done)).collect();
    let root = Address::new(seed, 0x0044_7269_6674);
    let orders: Vec<Vec<[f64; 2]>> = (0..ORDERS)
        .into_par_iter()
        .map(|order| {
            // all figures of a job stay together: what goes with each other does so by chance too
            let mut mixed: Vec<usize> = (0..jobs.len()).collect();
            root.within(order)
                .stream(Purpose::Beside)
                .shuffle(&mut mixed);
            series.iter().map(|series| series.shows(&mixed)).collect()
        })
        .collect();
    // both are about normal, with a variance of one over the number of jobs
    let size = |series: &Series, show: f64| show.abs() * (series.values.len() as f64).sqrt();
    let largest = |all: &[[f64; 2]]| {
        let each = series.iter().zip(all);
        each.flat_map(|(series, shows)| shows.map(|show| size(series, show)))
            .fold(0.0, f64::max)
    };
    let oddest: Vec<f64> = orders.iter().map(|order| largest(order)).collect();
    let chance = |size: f64| {
        let as_odd = oddest.iter().filter(|other| **other >= size).count();
        (1 + as_odd) as f64 / (1 + oddest.len()) as f64
    };
    let all = series.iter().zip(own).flat_map(|(series, own)| {
        let shows = [Shows::Trend(series.halves()), Shows::Alike(own[1])];
        shows.into_iter().zip(own).map(|(shows, show)| Drift {
            figure: series.figure,
            jobs: series.values.len(),
            shows,
            chance: chance(size(series, show)),
        })
    });
    all.collect()
}

/// A figure in the order of the jobs that state it.
struct Series {
    figure: JobFigure,
    values: Vec<f64>,
    /// For each job, the place of its figure among the others as a normal deviate, with a mean of 0 and a
    /// variance of 1; `None` where it does not state it.
    scores: Vec<Option<f64>>,
}

impl Series {
    fn of(figure: JobFigure, kinds: &[Setup], jobs: &[(usize, FinishedJob)]) -> Option<Self> {
        let stated: Vec<Option<f64>> = (jobs.iter())
            .map(|(kind, job)| figure.of(&kinds[*kind], job))
            .collect();
        let values: Vec<f64> = stated.iter().copied().flatten().collect();
        if values.len() < LEAST {
            return None;
        }
        let count = values.len() as f64;
        let score = |value: f64| {
            let below = values.iter().filter(|other| **other < value).count();
            let up_to = values.iter().filter(|other| **other <= value).count();
            normal_score(0.5 * (below + up_to) as f64 / count)
        };
        let scores: Vec<f64> = values.iter().map(|value| score(*value)).collect();
        let mean = scores.iter().sum::<f64>() / count;
        let squares: f64 = scores.iter().map(|score| (score - mean).powi(2)).sum();
        let deviation = (squares / count).sqrt();
        let standard = |value: f64| (score(value) - mean) / deviation;
        let scores = stated.iter().map(|value| value.map(standard)).collect();
        (deviation > 0.0).then_some(Self {
            figure,
            values,
            scores,
        })
    }

    /// The correlation with time, and with the neighbour, of jobs in this order.
    fn shows(&self, order: &[usize]) -> [f64; 2] {
        let scores: Vec<f64> = order.iter().filter_map(|job| self.scores[*job]).collect();
        let count = scores.len() as f64;
        let middle = 0.5 * (count - 1.0);
        let deviation = ((count * count - 1.0) / 12.0).sqrt();
        let along = scores.iter().enumerate();
        let trend: f64 = along
            .map(|(i, score)| (i as f64 - middle) / deviation * score)
            .sum();
        let alike = dot(&scores[1..], &scores[..scores.len() - 1]);
        [trend / count, alike / count]
    }

    /// Means of the first and the second half.
    fn halves(&self) -> [f64; 2] {
        let (first, second) = self.values.split_at(self.values.len() / 2);
        [first, second].map(|half| half.iter().sum::<f64>() / half.len() as f64)
    }
}
