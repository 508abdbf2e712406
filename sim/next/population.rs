//! The belief as weighted draws.

use rayon::prelude::*;

use super::approximation::Approximation;
use super::branches::{Branch, branches};
use super::form::Form;
use super::model::{Model, Told};
use super::proposal::Proposal;
use crate::chance::dice::{Address, Purpose};

/// Draws in one block.
const BLOCK: usize = 64;
/// Where so many draws are worth less than so few, what is stated contradicts itself: more of them say no
/// more.
const MANY: usize = 1 << 15;
const FEW: f64 = 100.0;

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

impl Population {
    /// Draws from the belief in what is told.
    pub(super) fn new(told: &Told<'_>, address: Address, wanted: Wanted) -> Self {
        Self::of(branches(told), address, wanted)
    }

    /// Draws from the belief of all branches together.
    pub(super) fn of(branches: Vec<Branch>, address: Address, wanted: Wanted) -> Self {
        let mut lanes: Vec<Lane<'_>> = branches
            .iter()
            .enumerate()
            .map(|(number, branch)| Lane::new(branch, address.within(number as u64)))
            .collect();
        if lanes.len() > 1 {
            lanes = worth_drawing(lanes);
        }
        let mut goal = wanted.draws;
        let mut sums;
        loop {
            share_out(&mut lanes, goal);
            sums = Sums::of(&logs(&lanes));
            let hopeless = goal >= MANY && sums.effective() < FEW;
            if sums.effective() >= wanted.effective || goal >= wanted.most || hopeless {
                break;
            }
            goal = (2 * goal).min(wanted.most);
        }
        let logs = logs(&lanes);
        let rows = lanes
            .iter_mut()
            .flat_map(|lane| std::mem::take(&mut lane.rows))
            .collect();
        drop(lanes);
        let mut branches = branches;
        let Branch { model, near } = branches.swap_remove(0);
        Self {
            rows,
            width: model.variables.all.len(),
            weights: sums.weights(&logs),
            effective: sums.effective(),
            log_evidence: sums.log_sum(),
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
        dice.shuffle(&mut chosen);
        chosen
    }
}

/// Draws from one branch.
struct Lane<'a> {
    proposal: Proposal<'a>,
    width: usize,
    address: Address,
    rows: Vec<f64>,
    /// Logarithms of weights.
    logs: Vec<f64>,
    /// Share of all draws.
    share: f64,
}

impl<'a> Lane<'a> {
    fn new(branch: &'a Branch, address: Address) -> Self {
        Self {
            proposal: Proposal::new(&branch.model, &branch.near),
            width: branch.model.variables.all.len(),
            address,
            rows: Vec::new(),
            logs: Vec::new(),
            share: 1.0,
        }
    }

    /// Goes on to so many draws.
    fn draw(&mut self, goal: usize) {
        let from = self.logs.len() / BLOCK;
        let blocks: Vec<(Vec<f64>, Vec<f64>)> = (from..goal.div_ceil(BLOCK))
            .into_par_iter()
            .map(|block| self.block(self.address.within(block as u64)))
            .collect();
        for (rows, logs) in blocks {
            self.rows.extend(rows);
            self.logs.extend(logs);
        }
    }

    fn block(&self, address: Address) -> (Vec<f64>, Vec<f64>) {
        let width = self.width;
        let mut rows = vec![0.0; BLOCK * width];
        let logs = (0..BLOCK).map(|i| {
            let mut dice = address.within(i as u64).stream(Purpose::Belief);
            let row = &mut rows[i * width..(i + 1) * width];
            let log = self.proposal.draw(&mut dice, row);
            if log.is_nan() { f64::NEG_INFINITY } else { log }
        });
        let logs = logs.collect();
        (rows, logs)
    }
}

/// Branches by a few draws of each: those that may hold, each with its share.
fn worth_drawing(mut lanes: Vec<Lane<'_>>) -> Vec<Lane<'_>> {
    /// Draws that tell.
    const FEW: usize = 256;
    /// A branch with less of the evidence than this does not matter.
    const LEAST: f64 = 1e-5;
    /// What a branch that matters is drawn at the least.
    const LEAST_SHARE: f64 = 0.05;
    let mut evidence = Vec::new();
    for lane in &mut lanes {
        lane.draw(FEW);
        let sums = Sums::of(&lane.logs);
        evidence.push(sums.log_sum() - libm::log(FEW as f64));
    }
    let largest = evidence
        .iter()
        .fold(f64::NEG_INFINITY, |most, log| most.max(*log));
    if largest == f64::NEG_INFINITY {
        return lanes;
    }
    let mut total = 0.0;
    let mut kept = Vec::new();
    for (mut lane, log) in lanes.into_iter().zip(evidence) {
        let part = libm::exp(log - largest);
        if part >= LEAST {
            lane.share = part.max(LEAST_SHARE);
            total += lane.share;
            kept.push(lane);
        }
    }
    kept.iter_mut().for_each(|lane| lane.share /= total);
    kept
}

/// Draws from every branch up to its share of so many.
fn share_out(lanes: &mut [Lane<'_>], goal: usize) {
    for lane in lanes {
        lane.draw((lane.share * goal as f64).ceil() as usize);
    }
}

/// Logarithms of the weights of all draws, each over the number of draws of its branch.
fn logs(lanes: &[Lane<'_>]) -> Vec<f64> {
    let of = |lane: &Lane<'_>| -> Vec<f64> {
        let count = libm::log(lane.logs.len() as f64);
        lane.logs.iter().map(|log| log - count).collect()
    };
    lanes.iter().flat_map(of).collect()
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

    fn log_sum(&self) -> f64 {
        if self.sum > 0.0 {
            self.largest + libm::log(self.sum)
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
