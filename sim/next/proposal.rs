//! Draws near the belief, each with its weight: what is not normal is drawn by tables of its own law and of
//! what the normal approximation leaves of it, then all that is normal jointly.

use super::approximation::{Approximation, Pseudo};
use super::form::Form;
use super::likelihood::Site;
use super::model::Model;
use super::table::{self, Block, Drawn};
use super::variables::Variable;
use crate::chance::dice::Dice;
use crate::count::matrix::Matrix;

/// How far a level may be from the figure that it stands for, mm: nothing beside any reading.
const HAIR: f64 = 2e-5;
/// Share of a normal likelihood that is left to a reading without a lower end, so that draws reach what lies
/// far below.
const ENDLESS_SHARE: f64 = 0.5;

/// A way of drawing from near the belief.
#[derive(Debug)]
pub(super) struct Proposal<'a> {
    model: &'a Model,
    sites: &'a [Site],
    pseudo: Vec<Pseudo>,
    lines: Vec<(Form, Pseudo)>,
    /// Variables in the order in which they are taken out: the last are drawn first.
    order: Vec<usize>,
    /// The upper factor, row by row, and the shift that goes with it.
    upper: Matrix,
    shift: Vec<f64>,
    log_constant: f64,
    /// Sites of each level, by variable.
    levels: Vec<Vec<usize>>,
}

impl<'a> Proposal<'a> {
    /// From a model and the normal distribution near it; where that can't be told from rounding, as wide as
    /// before anything was stated.
    pub(super) fn new(model: &'a Model, near: &'a Approximation) -> Self {
        let none = (vec![Pseudo::default(); near.sites.len()], 0.0);
        Self::near(model, near, (near.sites.clone(), 1.0))
            .or_else(|| Self::near(model, near, none))
            .expect("standard normal variables have a factor")
    }

    fn near(
        model: &'a Model,
        near: &'a Approximation,
        (mut pseudo, of_lines): (Vec<Pseudo>, f64),
    ) -> Option<Self> {
        let all = &model.variables.all;
        let order = order(all);
        let mut place = vec![0; order.len()];
        for (at, variable) in order.iter().enumerate() {
            place[*variable] = at;
        }
        let mut matrix = Matrix::zero(order.len());
        let mut shift = vec![0.0; order.len()];
        let mut log_constant = 0.0;
        for (at, variable) in order.iter().enumerate() {
            if matches!(all[*variable], Variable::Level(_)) {
                log_constant += LN_ROOT;
            } else {
                matrix.add(at, at, 1.0);
            }
        }
        let mut take = |form: &Form, pseudo: Pseudo| {
            let terms: Vec<(usize, f64)> = form
                .terms
                .iter()
                .map(|(i, factor)| (place[*i], *factor))
                .collect();
            matrix.add_square(&terms, pseudo.tau);
            for (at, factor) in &terms {
                shift[*at] += factor * pseudo.h;
            }
        };
        for (site, pseudo) in model.sites.iter().zip(&mut pseudo) {
            if site.likelihood.is_endless() {
                pseudo.tau *= ENDLESS_SHARE;
                pseudo.h *= ENDLESS_SHARE;
            }
            take(&site.form, *pseudo);
        }
        let lines: Vec<(Form, Pseudo)> = near
            .lines
            .iter()
            .map(|(line, pseudo)| {
                let (h, tau) = (of_lines * pseudo.h, of_lines * pseudo.tau);
                (line.clone(), Pseudo { h, tau })
            })
            .collect();
        for (line, pseudo) in &lines {
            take(line, *pseudo);
        }
        let mut levels = vec![Vec::new(); all.len()];
        for (number, variable) in all.iter().enumerate() {
            if let Variable::Level(form) = variable {
                let level = Form::variable(number, form.constant, form.deviation());
                let apart = level.less(form);
                let tau = 1.0 / (HAIR * HAIR);
                take(&apart, Pseudo { h: 0.0, tau });
                log_constant += libm::log(form.deviation() / HAIR) - LN_ROOT;
                let of_it = |site: &Site| {
                    site.form
                        .terms
                        .iter()
                        .any(|(variable, _)| *variable == number)
                };
                let sites = model.sites.iter().enumerate();
                let own = sites
                    .filter(|(_, site)| of_it(site))
                    .map(|(number, _)| number);
                levels[number] = own.collect();
            }
        }
        let lower = matrix.factor()?;
        let size = order.len();
        let mut upper = Matrix::zero(size);
        for i in 0..size {
            let row = lower.row(i);
            let before: f64 = (0..i).map(|j| row[j] * shift[j]).sum();
            shift[i] = (shift[i] - before) / row[i];
            log_constant += 0.5 * shift[i] * shift[i] - libm::log(row[i]);
            (0..=i).for_each(|j| upper.cells[j * size + i] = row[j]);
        }
        Some(Self {
            model,
            sites: &model.sites,
            pseudo,
            lines,
            order,
            upper,
            shift,
            log_constant,
            levels,
        })
    }

    /// Draws all variables; gives the logarithm of their weight.
    pub(super) fn draw(&self, dice: &mut Dice, variables: &mut [f64]) -> f64 {
        let size = self.order.len();
        let all = &self.model.variables.all;
        let mut drawn = vec![0.0; size];
        let mut log_weight = self.log_constant;
        let mut at = size;
        while at > 0 {
            at -= 1;
            let row = self.upper.row(at);
            let rest: f64 = row[at + 1..]
                .iter()
                .zip(&drawn[at + 1..])
                .map(|(a, b)| a * b)
                .sum();
            let (scale, left) = (row[at], self.shift[at] - rest);
            let variable = self.order[at];
            let found = match &all[variable] {
                Variable::Normal => {
                    drawn[at] = (left + dice.normal()) / scale;
                    variables[variable] = drawn[at];
                    continue;
                }
                Variable::Listed(values) => table::listed(values, scale, left, dice),
                Variable::Otherwise(density) => table::density(density, scale, left, dice),
                Variable::Level(form) => {
                    variables[variable] = 0.0;
                    let slope = form.deviation();
                    let sites = self.levels[variable].iter().map(|number| {
                        let site = &self.sites[*number];
                        table::Along {
                            likelihood: &site.likelihood,
                            pseudo: self.pseudo[*number],
                            constant: site.form.constant,
                            at_zero: site.form.at(variables),
                            slope,
                        }
                    });
                    let sites: Vec<_> = sites.collect();
                    table::level(&sites, scale, left, dice)
                }
                Variable::Second => {
                    // both parts of a vector at once
                    let first = at - 1;
                    let before = self.upper.row(first);
                    let rest: f64 = before[at + 1..]
                        .iter()
                        .zip(&drawn[at + 1..])
                        .map(|(a, b)| a * b)
                        .sum();
                    let block = Block {
                        first: before[first],
                        across: before[at],
                        second: scale,
                        left: [self.shift[first] - rest, left],
                    };
                    let of_first = self.order[first];
                    let vector = match &all[of_first] {
                        Variable::Runout(size) => block.runout(size, dice),
                        Variable::Turned(runout, scale) => {
                            let whole = [0, 1].map(|i| runout[i].at(variables) / scale);
                            block.turned(whole, dice)
                        }
                        _ => unreachable!("a second part follows a first one"),
                    };
                    let ([x, y], more) = vector;
                    (drawn[first], drawn[at]) = (x, y);
                    (variables[of_first], variables[variable]) = (x, y);
                    log_weight += more;
                    at = first;
                    continue;
                }
                Variable::Runout(_) | Variable::Turned(..) => {
                    unreachable!("a vector is drawn with its second part")
                }
            };
            let Drawn {
                value,
                log_weight: more,
            } = found;
            drawn[at] = value;
            variables[variable] = value;
            log_weight += more;
        }
        log_weight + self.log_ratio(variables)
    }

    /// Logarithm of all likelihoods over the normal ones that stand for them.
    fn log_ratio(&self, variables: &[f64]) -> f64 {
        let mut sum = 0.0;
        let model = self.model;
        for (site, pseudo) in self.sites.iter().zip(&self.pseudo) {
            let line = site.form.at(variables);
            let off = line - site.form.constant;
            let truth = model.site_truth(site, &site.form, variables);
            sum += site.likelihood.log(truth) - (pseudo.h - 0.5 * pseudo.tau * off) * off;
        }
        for (curved, (line, pseudo)) in model.curved.iter().zip(&self.lines) {
            let off = line.at(variables) - line.constant;
            sum += curved.log(curved.truth(variables)) - (pseudo.h - 0.5 * pseudo.tau * off) * off;
        }
        for lot in &model.variables.lots {
            sum += lot.log_ratio(variables);
        }
        sum
    }
}

/// ln √(2π).
const LN_ROOT: f64 = 0.918_938_533_204_672_7;

/// What is drawn last stands first: normal variables, levels, runouts met from another tooth, runouts, and
/// what else is not normal.
fn order(all: &[Variable]) -> Vec<usize> {
    let mut class = 0;
    let mut classes: Vec<(u32, usize)> = all
        .iter()
        .enumerate()
        .map(|(place, variable)| {
            class = match variable {
                Variable::Normal => 0,
                Variable::Level(_) => 1,
                Variable::Turned(..) => 2,
                Variable::Runout(_) => 3,
                Variable::Second => class,
                Variable::Listed(_) | Variable::Otherwise(_) => 4,
            };
            (class, place)
        })
        .collect();
    // a vector's parts stay together: places go up within a class
    classes.sort_unstable();
    classes.into_iter().map(|(_, place)| place).collect()
}
