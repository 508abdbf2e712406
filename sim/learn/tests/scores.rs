//! Score, information and fall of the score against the likelihood written plainly.

use rayon::prelude::*;

use super::{dice, jobs};
use crate::causes::Input;
use crate::chance::dice::Dice;
use crate::demo;
use crate::learn::scores::{Scores, Unknowns};
use crate::next::{Column, Linear, linear};

/// Mean and covariance of the stated figures, dense.
struct Law {
    mean: Vec<f64>,
    covariance: Vec<Vec<f64>>,
}

/// By the definition alone: variables times factors, rows of the pattern changed, means moved.
fn law(job: &Linear, unknowns: &Unknowns, at: &[f64]) -> Law {
    let figures = job.off.len();
    let (spreads, rest) = at.split_at(unknowns.spreads.len());
    let (rows, shifts) = rest.split_at(unknowns.rows.len());
    let mut mean = vec![0.0; figures];
    let mut covariance = vec![vec![0.0; figures]; figures];
    let moved = |figure: usize, place: usize, of: &dyn Fn(usize) -> f64| -> f64 {
        let profiles = job
            .profiles
            .iter()
            .filter(|profile| profile.figure == figure);
        let each = profiles.map(|profile| {
            let row = unknowns
                .rows
                .iter()
                .position(|row| *row == (profile.flank, place));
            row.map_or(0.0, |row| rows[row] * of(profile.flank))
        });
        each.sum()
    };
    for (number, column) in job.columns.iter().enumerate() {
        let mut factors = vec![0.0; figures];
        column
            .terms
            .iter()
            .for_each(|(figure, factor)| factors[*figure] += factor);
        for profile in &job.profiles {
            for (place, (_, terms)) in profile.places.iter().enumerate() {
                let own = terms.iter().filter(|(of, _)| *of == number);
                let factor: f64 = own.map(|(_, factor)| factor).sum();
                factors[profile.figure] += moved(profile.figure, place, &|_| factor);
            }
        }
        let place = |all: &[Input]| all.iter().position(|of| Some(*of) == column.input);
        let shift = place(&unknowns.shifts).map_or(0.0, |q| shifts[q] * column.shift);
        let variance = place(&unknowns.spreads).map_or(1.0, |k| spreads[k].exp());
        for i in 0..figures {
            mean[i] += shift * factors[i];
            for j in 0..figures {
                covariance[i][j] += variance * factors[i] * factors[j];
            }
        }
    }
    for profile in &job.profiles {
        for (place, (constant, _)) in profile.places.iter().enumerate() {
            mean[profile.figure] += moved(profile.figure, place, &|_| *constant);
        }
    }
    Law { mean, covariance }
}

/// The logarithm of the determinant, and what solves covariance · x = a for each a, by elimination.
fn solved(matrix: &[Vec<f64>], of: &[Vec<f64>]) -> (f64, Vec<Vec<f64>>) {
    let size = matrix.len();
    let mut matrix = matrix.to_vec();
    let mut of = of.to_vec();
    let mut log = 0.0;
    for i in 0..size {
        log += matrix[i][i].ln();
        for j in i + 1..size {
            let times = matrix[j][i] / matrix[i][i];
            let (above, below) = matrix.split_at_mut(j);
            (i..size).for_each(|k| below[0][k] -= times * above[i][k]);
            of.iter_mut().for_each(|a| a[j] -= times * a[i]);
        }
    }
    for a in &mut of {
        for i in (0..size).rev() {
            let later: f64 = (i + 1..size).map(|j| matrix[i][j] * a[j]).sum();
            a[i] = (a[i] - later) / matrix[i][i];
        }
    }
    (log, of)
}

fn log_likelihood(job: &Linear, unknowns: &Unknowns, at: &[f64]) -> f64 {
    let law = law(job, unknowns, at);
    let off: Vec<f64> = job
        .off
        .iter()
        .zip(&law.mean)
        .map(|(off, mean)| off - mean)
        .collect();
    let (log, solved) = solved(&law.covariance, std::slice::from_ref(&off));
    let square: f64 = off.iter().zip(&solved[0]).map(|(a, b)| a * b).sum();
    -0.5 * (log + square)
}

/// A job with everything in it, what is asked of it, and a place away from the file's figures.
fn asked() -> (Linear, Unknowns, [f64; 12]) {
    let setup = demo::setup();
    let job = &jobs(&setup, 5, 7)[3].1;
    let unknowns = Unknowns {
        spreads: vec![
            Input::HeadBearing,
            Input::DepthDeviation,
            Input::ToothRunout,
            Input::Pattern,
            Input::Height,
        ],
        rows: vec![(0, 0), (0, 1), (1, 0), (1, 1)],
        shifts: vec![Input::HeadSeat, Input::DepthDeviation, Input::SideBearings],
    };
    let at = [
        0.2, -0.3, 0.1, 0.4, -0.2, 0.2, -0.1, 0.3, 0.4, 0.5, -0.2, 0.3,
    ];
    (linear(&setup, &job.bench), unknowns, at)
}

fn moved(at: &[f64], i: usize, by: f64) -> Vec<f64> {
    let mut at = at.to_vec();
    at[i] += by;
    at
}

#[test]
fn the_score_is_the_slope_of_the_likelihood() {
    let (job, unknowns, at) = asked();
    assert!(job.profiles.len() >= 2 && job.columns.iter().any(|column| column.shift != 0.0));
    let score = Scores::of(&job, &unknowns, &at).unwrap().score;
    let step = 1e-4;
    for (i, score) in score.iter().enumerate() {
        let [above, below] =
            [step, -step].map(|by| log_likelihood(&job, &unknowns, &moved(&at, i, by)));
        let slope = (above - below) / (2.0 * step);
        assert!(
            (slope - score).abs() < 1e-5 * (1.0 + score.abs()),
            "{i}: {slope} {score}"
        );
    }
}

/// Of a normal law ½·tr(V⁻¹·V′ᵢ·V⁻¹·V′ⱼ) + m′ᵢᵀ·V⁻¹·m′ⱼ, but that what is learned of means and what is learned of
/// anything else are kept apart where they are.
#[test]
fn the_information_is_that_of_a_normal_law() {
    let (job, unknowns, at) = asked();
    let information = Scores::of(&job, &unknowns, &at).unwrap().information;
    let here = law(&job, &unknowns, &at).covariance;
    let step = 1e-4;
    // V⁻¹·V′, V⁻¹·m′ and m′
    let slopes: Vec<_> = (0..unknowns.len())
        .map(|i| {
            let [above, below] = [step, -step].map(|by| law(&job, &unknowns, &moved(&at, i, by)));
            let slope = |a: &[f64], b: &[f64]| -> Vec<f64> {
                a.iter()
                    .zip(b)
                    .map(|(a, b)| (a - b) / (2.0 * step))
                    .collect()
            };
            let rows = above.covariance.iter().zip(&below.covariance);
            let mut change: Vec<Vec<f64>> = rows.map(|(a, b)| slope(a, b)).collect();
            change.push(slope(&above.mean, &below.mean));
            let (_, mut solved) = solved(&here, &change);
            let mean = solved.pop().unwrap();
            (solved, mean, change.pop().unwrap())
        })
        .collect();
    for (i, (one, mean, _)) in slopes.iter().enumerate() {
        for (j, (other, _, of_mean)) in slopes.iter().enumerate() {
            let size = one.len();
            let trace: f64 = (0..size)
                .map(|a| (0..size).map(|b| one[a][b] * other[b][a]).sum::<f64>())
                .sum();
            let along: f64 = mean.iter().zip(of_mean).map(|(a, b)| a * b).sum();
            let expected = 0.5 * trace + along;
            let found = information.at(i, j);
            assert!(
                (found - expected).abs() < 1e-4 * (1.0 + expected.abs()),
                "{i} {j}: {found} {expected}"
            );
        }
    }
}

/// The fall of the score is its slope, by differences.
#[test]
fn the_score_falls_as_it_is_told() {
    let (job, unknowns, at) = asked();
    let here = Scores::of(&job, &unknowns, &at).unwrap();
    let step = 1e-5;
    for i in 0..unknowns.len() {
        let [above, below] = [step, -step].map(|by| {
            Scores::of(&job, &unknowns, &moved(&at, i, by))
                .unwrap()
                .score
        });
        for j in 0..unknowns.len() {
            let slope = (below[j] - above[j]) / (2.0 * step);
            let fall = here.fall.at(i, j);
            assert!(
                (slope - fall).abs() < 1e-4 * (1.0 + fall.abs()),
                "{i} {j}: {slope} {fall}"
            );
        }
    }
}

/// A variable in these figures, each with a factor.
fn column(input: Input, terms: &[(usize, f64)], [excess, with_next]: [f64; 2]) -> Column {
    Column {
        input: Some(input),
        terms: terms.to_vec(),
        shift: 0.0,
        excess,
        with_next,
    }
}

/// Three figures of a dial's even error, a listed part and a runout whose size is half-normal, and of normal ones.
fn made_up() -> Linear {
    let none = [0.0, 0.0];
    // the square of a half-normal size has a mean square of 3
    let runout = [1.5 * 3.0 - 3.0, 0.5 * 3.0 - 1.0];
    Linear {
        off: vec![0.0; 3],
        columns: vec![
            column(Input::Dial, &[(0, 1.0), (1, 0.4)], [-1.2, 0.0]),
            column(Input::Offset, &[(1, 0.8), (2, -0.5)], [-2.0, 0.0]),
            column(Input::ToothRunout, &[(0, 0.9), (2, 0.3)], runout),
            column(Input::ToothRunout, &[(1, 1.1), (2, 0.6)], none),
            column(Input::Height, &[(0, 0.5)], none),
            column(Input::Height, &[(1, 0.5)], none),
            column(Input::Height, &[(2, 0.5)], none),
        ],
        profiles: Vec::new(),
    }
}

fn drawn(dice: &mut Dice) -> Vec<f64> {
    let even = 12.0_f64.sqrt() * (dice.uniform() - 0.5);
    let listed = if dice.chance(0.5) { 1.0 } else { -1.0 };
    let size = 2.0_f64.sqrt() * dice.normal();
    let [x, y] = dice.direction();
    let normal = [(); 3].map(|()| dice.normal());
    [&[even, listed, size * x, size * y][..], &normal].concat()
}

/// The scatter of the score, over 100,000 draws of what is not normal, is its information and `more`: each within
/// 4.5 standard errors, so that one of ten fails once in 15,000 times.
#[test]
fn the_score_scatters_as_its_laws_have_it() {
    const DRAWS: u64 = 100_000;
    let unknowns = Unknowns {
        spreads: vec![
            Input::Dial,
            Input::Offset,
            Input::ToothRunout,
            Input::Height,
        ],
        rows: Vec::new(),
        shifts: Vec::new(),
    };
    let at = [0.0; 4];
    let scores: Vec<Vec<f64>> = (0..DRAWS)
        .into_par_iter()
        .map(|seed| {
            let mut job = made_up();
            let variables = drawn(&mut dice(seed));
            for (column, variable) in job.columns.iter().zip(variables) {
                for (figure, factor) in &column.terms {
                    job.off[*figure] += factor * variable;
                }
            }
            Scores::of(&job, &unknowns, &at).unwrap().score
        })
        .collect();
    let told = Scores::of(&made_up(), &unknowns, &at).unwrap();
    for i in 0..4 {
        for j in 0..=i {
            let products = scores.iter().map(|score| score[i] * score[j]);
            let mean = products.clone().sum::<f64>() / DRAWS as f64;
            let squares = products
                .map(|product| (product - mean).powi(2))
                .sum::<f64>();
            let error = squares.sqrt() / DRAWS as f64;
            let expected = told.information.at(i, j) + told.more.at(i, j);
            assert!(
                (mean - expected).abs() < 4.5 * error,
                "{i} {j}: {mean} ± {error} for {expected}"
            );
            // without the fourth moments it would be seen
            let normal = told.information.at(i, j);
            assert!(
                i != j || i == 3 || (mean - normal).abs() > 9.0 * error,
                "{i}: {mean} {normal}"
            );
        }
    }
}
