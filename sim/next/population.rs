//! The belief as weighted draws.

use rayon::prelude::*;

use super::approximation::Approximation;
use super::form::Form;
use super::model::{Model, Told};
use super::proposal::Proposal;
use crate::chance::dice::{Address, Purpose};

/// Draws in one block.
const BLOCK: usize = 64;
/// How many draws to make.
#[derive(Debug, Clone, Copy)]
pub(super) struct Wanted {
    /// At least.
    pub(super) draws: usize,
    /// Until they are worth this many of equal weight.
    pub(super) effective: f64,
    /// But no more than this.
    pub(super) most: usize,
}

/// Weighted draws of all variables of a model.
#[derive(Debug)]
pub(super) struct Population {
    pub(super) model: Model,
    pub(super) near: Approximation,
    rows: Vec<f64>,
    width: usize,
    /// Weights that add up to one.
    pub(super) weights: Vec<f64>,
    /// (Σw)²/Σw².
    pub(super) effective: f64,
    /// Logarithm of how likely all stated figures are.
    pub(super) log_evidence: f64,
}

/// The model of what is told, with the side bearings taken as open where that is what is to be expected, and
/// the normal distribution near its belief.
pub(super) fn near(told: &Told<'_>) -> (Model, Approximation) {
    let mut closed = vec![true; told.entries];
    let model = Model::new(told, &closed);
    let near = Approximation::new(&model);
    let mut open = false;
    for (closed, assembly) in closed.iter_mut().zip(&model.assemblies) {
        *closed = assembly.closure.at(&near.mean) > 0.0;
        open |= !*closed;
    }
    if !open {
        return (model, near);
    }
    let model = Model::new(told, &closed);
    let near = Approximation::new(&model);
    (model, near)
}

impl Population {
    /// Draws from the belief in what is told.
    pub(super) fn new(told: &Told<'_>, address: Address, wanted: Wanted) -> Self {
        let (model, near) = near(told);
        Self::of(model, near, address, wanted)
    }

    /// Draws from the belief of a model, near a normal distribution.
    pub(super) fn of(model: Model, near: Approximation, address: Address, wanted: Wanted) -> Self {
        let width = model.variables.all.len();
        let mut rows = Vec::new();
        let mut logs = Vec::new();
        let mut sums = Sums::default();
        if let Some(proposal) = Proposal::new(&model, &near) {
            let mut goal = wanted.draws;
            while logs.len() < goal {
                let from = logs.len() / BLOCK;
                let blocks: Vec<(Vec<f64>, Vec<f64>)> = (from..goal.div_ceil(BLOCK))
                    .into_par_iter()
                    .map(|block| draw_block(&proposal, width, address.within(block as u64)))
                    .collect();
                for (more, weights) in blocks {
                    rows.extend(more);
                    logs.extend(weights);
                }
                sums = Sums::of(&logs);
                if sums.effective() < wanted.effective {
                    goal = (2 * logs.len()).min(wanted.most);
                }
            }
        }
        let weights = sums.weights(&logs);
        Self {
            rows,
            width,
            weights,
            effective: sums.effective(),
            log_evidence: sums.log_mean(logs.len()),
            model,
            near,
        }
    }

    pub(super) fn len(&self) -> usize {
        self.weights.len()
    }

    /// The variables of one draw.
    pub(super) fn row(&self, number: usize) -> &[f64] {
        &self.rows[number * self.width..(number + 1) * self.width]
    }

    /// A form's value in every draw.
    pub(super) fn values(&self, form: &Form) -> Vec<f64> {
        (0..self.len()).map(|i| form.at(self.row(i))).collect()
    }

    /// Draws of equal weight: so many numbers of draws, each as often as its weight says, in an order that
    /// has nothing to do with them.
    pub(super) fn even(&self, count: usize, address: Address) -> Vec<usize> {
        let mut dice = address.stream(Purpose::Belief);
        let start = dice.uniform();
        let mut chosen = Vec::with_capacity(count);
        let mut sum = 0.0;
        for (number, weight) in self.weights.iter().enumerate() {
            sum += weight * count as f64;
            while chosen.len() < count && chosen.len() as f64 + start < sum {
                chosen.push(number);
            }
        }
        let last = chosen.last().copied().unwrap_or(0);
        chosen.resize(count, last);
        for at in (1..count).rev() {
            let other = ((dice.uniform() * (at + 1) as f64) as usize).min(at);
            chosen.swap(at, other);
        }
        chosen
    }
}

fn draw_block(proposal: &Proposal<'_>, width: usize, block: Address) -> (Vec<f64>, Vec<f64>) {
    let mut rows = vec![0.0; BLOCK * width];
    let logs = (0..BLOCK).map(|i| {
        let mut dice = block.within(i as u64).stream(Purpose::Belief);
        let row = &mut rows[i * width..(i + 1) * width];
        let log = proposal.draw(&mut dice, row);
        if log.is_nan() { f64::NEG_INFINITY } else { log }
    });
    let logs = logs.collect();
    (rows, logs)
}

/// Sums of weights, less their largest logarithm.
#[derive(Debug, Default)]
struct Sums {
    largest: f64,
    sum: f64,
    squares: f64,
}

impl Sums {
    fn of(logs: &[f64]) -> Self {
        let largest = logs
            .iter()
            .fold(f64::NEG_INFINITY, |most, log| most.max(*log));
        let mut sums = Self {
            largest,
            sum: 0.0,
            squares: 0.0,
        };
        if largest > f64::NEG_INFINITY {
            for log in logs {
                let weight = libm::exp(log - largest);
                sums.sum += weight;
                sums.squares += weight * weight;
            }
        }
        sums
    }

    fn effective(&self) -> f64 {
        if self.sum > 0.0 {
            self.sum * self.sum / self.squares
        } else {
            0.0
        }
    }

    fn log_mean(&self, count: usize) -> f64 {
        if self.sum > 0.0 {
            self.largest + libm::log(self.sum / count as f64)
        } else {
            f64::NEG_INFINITY
        }
    }

    fn weights(&self, logs: &[f64]) -> Vec<f64> {
        if self.sum > 0.0 {
            logs.iter()
                .map(|log| libm::exp(log - self.largest) / self.sum)
                .collect()
        } else {
            vec![1.0 / logs.len().max(1) as f64; logs.len()]
        }
    }
}
