//! A normal distribution near the belief: every stated figure in the place of its likelihood has a normal
//! one, so chosen that mean and variance come out right.
//!
//! # Source
//! Minka, "Expectation propagation for approximate Bayesian inference", Uncertainty in Artificial
//! Intelligence 17 (2001) 362–369.

use super::form::Form;
use super::likelihood::Likelihood;
use super::model::Model;
use crate::count::matrix::Matrix;

/// Passes over all stated figures, at the most.
const PASSES: u32 = 12;
/// Change of a variance, relative, below which passes end.
const SETTLED: f64 = 1e-3;
/// Places at which a likelihood is taken.
const PLACES: u32 = 48;
/// Deviations on either side within which it is.
const FAR: f64 = 7.0;

/// The normal likelihood exp(h·u − τ·u²/2) of a form less its constant.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(super) struct Pseudo {
    pub(super) h: f64,
    pub(super) tau: f64,
}

/// Mean and covariance of all variables, and the normal likelihood of each stated figure.
#[derive(Debug, Clone)]
pub(super) struct Approximation {
    pub(super) mean: Vec<f64>,
    pub(super) covariance: Matrix,
    /// Of the sites, in order.
    pub(super) sites: Vec<Pseudo>,
    /// Of the torques, each with the line it is taken along.
    pub(super) lines: Vec<(Form, Pseudo)>,
}

impl Approximation {
    pub(super) fn new(model: &Model) -> Self {
        let size = model.variables.all.len();
        let mut covariance = Matrix::zero(size);
        (0..size).for_each(|i| covariance.add(i, i, 1.0));
        let mut found = Self {
            mean: vec![0.0; size],
            covariance,
            sites: vec![Pseudo::default(); model.sites.len()],
            lines: vec![Default::default(); model.curved.len()],
        };
        found.settle(model, 0, PASSES);
        found
    }

    /// Passes over the figures stated from an entry on, until they settle.
    pub(super) fn settle(&mut self, model: &Model, from: usize, passes: u32) {
        for _ in 0..passes {
            let mut change = 0.0_f64;
            for (number, site) in model.sites.iter().enumerate() {
                if site.entry >= from && !site.direct.terms.is_empty() {
                    let off = self.refit(number, &site.direct, &site.likelihood);
                    change = change.max(off);
                }
            }
            for (number, curved) in model.curved.iter().enumerate() {
                if curved.entry >= from {
                    let (line, variance) = curved.line(|form| self.spread(form));
                    change = change.max(self.follow(number, line, curved.stated, variance));
                }
            }
            if change < SETTLED {
                break;
            }
        }
    }

    /// Mean and deviation of a form.
    pub(super) fn spread(&self, form: &Form) -> (f64, f64) {
        let variance: f64 = form
            .terms
            .iter()
            .map(|(i, factor)| {
                let row = self.covariance.row(*i);
                factor
                    * form
                        .terms
                        .iter()
                        .map(|(j, other)| other * row[*j])
                        .sum::<f64>()
            })
            .sum();
        (form.at(&self.mean), variance.max(0.0).sqrt())
    }

    /// Covariance of two forms.
    pub(super) fn together(&self, one: &Form, other: &Form) -> f64 {
        let terms = one.terms.iter().map(|(i, factor)| {
            let row = self.covariance.row(*i);
            factor
                * other
                    .terms
                    .iter()
                    .map(|(j, more)| more * row[*j])
                    .sum::<f64>()
        });
        terms.sum()
    }

    fn refit(&mut self, number: usize, form: &Form, likelihood: &Likelihood) -> f64 {
        let (mean, deviation) = self.spread(form);
        let (mean, variance) = (mean - form.constant, deviation * deviation);
        let old = self.sites[number];
        let new = match likelihood.normal() {
            Some((stated, error)) => Pseudo {
                h: (stated - form.constant) / error,
                tau: 1.0 / error,
            },
            None => {
                let precision = 1.0 / variance - old.tau;
                if precision <= 1e-9 / variance {
                    return 0.0;
                }
                let cavity = ((mean / variance - old.h) / precision, 1.0 / precision);
                let (tilted, narrowed) = tilted(likelihood, form.constant, cavity);
                let tau = (1.0 / narrowed - precision).clamp(0.0, likelihood.sharpest());
                Pseudo {
                    h: tilted * (precision + tau) - cavity.0 * precision,
                    tau,
                }
            }
        };
        self.sites[number] = new;
        self.replace(form, old, new);
        (new.tau - old.tau).abs() * variance + (new.h - old.h).abs() * deviation
    }

    fn follow(&mut self, number: usize, line: Form, stated: f64, variance: f64) -> f64 {
        let (before, old) = self.lines[number].clone();
        let new = Pseudo {
            h: (stated - line.constant) / variance,
            tau: 1.0 / variance,
        };
        let (_, deviation) = self.spread(&line);
        if old != Pseudo::default() {
            self.replace(&before, old, Pseudo::default());
        }
        self.replace(&line, Pseudo::default(), new);
        self.lines[number] = (line, new);
        (new.tau - old.tau).abs() * deviation * deviation + (new.h - old.h).abs() * deviation
    }

    /// Takes another normal likelihood of a form.
    fn replace(&mut self, form: &Form, old: Pseudo, new: Pseudo) {
        let size = self.mean.len();
        let mut moved = vec![0.0; size];
        for (place, factor) in &form.terms {
            for (sum, cell) in moved.iter_mut().zip(self.covariance.row(*place)) {
                *sum += factor * cell;
            }
        }
        let over = |values: &[f64]| -> f64 {
            form.terms
                .iter()
                .map(|(place, factor)| factor * values[*place])
                .sum()
        };
        let (tau, h) = (new.tau - old.tau, new.h - old.h);
        let shrunk = 1.0 + tau * over(&moved);
        let step = (h - tau * over(&self.mean)) / shrunk;
        for (mean, moved) in self.mean.iter_mut().zip(&moved) {
            *mean += step * moved;
        }
        let factor = tau / shrunk;
        for (i, row) in self.covariance.cells.chunks_mut(size).enumerate() {
            let own = factor * moved[i];
            if own != 0.0 {
                for (cell, other) in row.iter_mut().zip(&moved) {
                    *cell -= own * other;
                }
            }
        }
    }
}

/// Mean and variance of a normal figure times a likelihood of it with a constant added.
fn tilted(likelihood: &Likelihood, constant: f64, (mean, variance): (f64, f64)) -> (f64, f64) {
    let deviation = variance.sqrt();
    let (least, most) = likelihood.range();
    let (near, far) = (mean - FAR * deviation, mean + FAR * deviation);
    let (mut low, mut high) = (near.max(least - constant), far.min(most - constant));
    if low >= high {
        // a surprising figure: what is likeliest lies between the two
        (low, high) = if near > most - constant {
            (most - constant - deviation, near + deviation)
        } else {
            (far - deviation, least - constant + deviation)
        };
    }
    let step = (high - low) / f64::from(PLACES);
    let mut places = [(0.0, 0.0); PLACES as usize];
    let mut largest = f64::NEG_INFINITY;
    for (i, place) in places.iter_mut().enumerate() {
        let at = low + (i as f64 + 0.5) * step;
        let off = (at - mean) / deviation;
        let log = likelihood.log(at + constant) - 0.5 * off * off;
        *place = (at, log);
        largest = largest.max(log);
    }
    if largest == f64::NEG_INFINITY {
        return (mean, variance);
    }
    let mut sums = [0.0; 3];
    for (at, log) in places {
        let weight = libm::exp(log - largest);
        let off = at - mean;
        sums[0] += weight;
        sums[1] += weight * off;
        sums[2] += weight * off * off;
    }
    let off = sums[1] / sums[0];
    let narrowed = sums[2] / sums[0] - off * off + step * step / 12.0;
    (mean + off, narrowed)
}
