//! The service of a drawer over many years: jobs served, money on hand, orders.

use rayon::prelude::*;

use super::accounts::Accounts;
use super::drawer::{Rules, play};
use super::pieces::Pieces;
use super::shelf::Shelf;
use super::tape::{Sample, Tape};
use super::trials::Levels;
use crate::count::estimate::{Estimate, Moments, Z95};

/// Days in a year.
pub const DAYS_IN_YEAR: f64 = 365.25;

/// The service of a drawer on a sample.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Service {
    /// Jobs simulated.
    pub jobs: u64,
    /// Years simulated.
    pub years: f64,
    /// Share of jobs that never waited.
    pub job_fill: Estimate,
    /// The same of each line of jobs that came.
    pub by_line: Vec<Estimate>,
    /// Share of tapes on which no job waited.
    pub all_done: Estimate,
    /// Money on hand, averaged over time.
    pub on_hand: Estimate,
    /// For each tape: money on hand, averaged over time; jobs that waited a year; orders a year.
    pub each: Vec<[f64; 3]>,
    /// For each series and size, shims taken from the drawer less shims put back, a year.
    pub used: Vec<Vec<Estimate>>,
    /// For each series, the flows of its pieces.
    pub pieces: Vec<Pieces>,
}

impl Service {
    /// Mean over the tapes of a weighted sum of what [`Service::each`] holds; not below zero.
    pub fn weighted(&self, weights: [f64; 3]) -> Estimate {
        let figures = self.each.iter().map(|each| {
            let terms = each.iter().zip(weights).map(|(x, w)| x * w);
            terms.sum::<f64>()
        });
        let (sum, squares) = figures.fold((0.0, 0.0), |(s, q), x| (s + x, q + x * x));
        let mut mean = Moments::from_sums(self.each.len() as u64, sum, squares).estimate();
        mean.low = mean.low.max(0.0);
        mean
    }
}

/// The result of one tape for all series.
struct Year {
    /// For each line, jobs that never waited, and all.
    lines: Vec<(u64, u64)>,
    years: f64,
    money: f64,
    orders: u64,
    pieces: Vec<Pieces>,
}

impl Year {
    /// Plays a tape of jobs of `lines` lines against levels.
    fn of(
        tape: &Tape,
        lines: usize,
        shelves: &[Shelf],
        rules: &Rules,
        (levels, start): (&Levels, &Levels),
    ) -> Self {
        let played: Vec<Accounts<'_>> = (0..shelves.len())
            .map(|s| {
                let mut books = Accounts::new(&shelves[s], &start[s]);
                let (levels, start) = (&levels[s], &start[s]);
                play(&shelves[s], rules, tape.reel(s), levels, start, &mut books);
                books
            })
            .collect();
        let mut waited = vec![false; tape.jobs.len()];
        for job in played.iter().flat_map(|p| &p.waited) {
            waited[*job as usize] = true;
        }
        // one order covers all series
        let mut reviews: Vec<u64> = played.iter().flat_map(|p| &p.orders).copied().collect();
        reviews.sort_unstable();
        reviews.dedup();
        let mut of_lines = vec![(0, 0); lines];
        for ((_, line), waited) in tape.jobs.iter().zip(&waited) {
            of_lines[*line].0 += u64::from(!waited);
            of_lines[*line].1 += 1;
        }
        Self {
            lines: of_lines,
            years: tape.days / DAYS_IN_YEAR,
            money: played.iter().map(|p| p.money_days).sum::<f64>() / tape.days,
            orders: reviews.len() as u64,
            pieces: played.into_iter().map(|p| p.pieces).collect(),
        }
    }

    /// Jobs that never waited, and all.
    fn served(&self) -> (u64, u64) {
        let sum = |(served, all): (u64, u64), line: &(u64, u64)| (served + line.0, all + line.1);
        self.lines.iter().fold((0, 0), sum)
    }

    fn waited(&self) -> u64 {
        let (served, all) = self.served();
        all - served
    }
}

/// Plays a sample against levels, from the counts at the start.
///
/// # Accuracy
/// Intervals are from the spread between the tapes, which are independent; jobs within one are not,
/// since a shim taken by one job is missing for the next. They hold from some dozens of tapes on.
pub fn service(
    shelves: &[Shelf],
    rules: &Rules,
    sample: &Sample,
    levels: &Levels,
    start: &Levels,
) -> Service {
    let of_jobs = sample.tapes.iter().flat_map(|tape| &tape.jobs);
    let lines = of_jobs.map(|(_, line)| line + 1).max().unwrap_or(0);
    let years: Vec<Year> = sample
        .tapes
        .par_iter()
        .map(|tape| Year::of(tape, lines, shelves, rules, (levels, start)))
        .collect();
    let jobs: u64 = years.iter().map(|y| y.served().1).sum();
    let all_years: f64 = years.iter().map(|y| y.years).sum();
    let mean = |figure: &dyn Fn(&Year) -> f64| {
        let (mut sum, mut squares) = (0.0, 0.0);
        for year in &years {
            let figure = figure(year);
            sum += figure;
            squares += figure * figure;
        }
        Moments::from_sums(years.len() as u64, sum, squares).estimate()
    };
    let used = (0..shelves.len())
        .map(|s| {
            (0..shelves[s].sizes.len())
                .map(|i| mean(&|y| y.pieces[s].used[i] as f64 / y.years))
                .collect()
        })
        .collect();
    let mut pieces: Vec<Pieces> = Vec::new();
    for year in &years {
        if pieces.is_empty() {
            pieces = year.pieces.clone();
        } else {
            for (sum, more) in pieces.iter_mut().zip(&year.pieces) {
                sum.add(more);
            }
        }
    }
    Service {
        jobs,
        years: all_years,
        job_fill: fill(&years),
        by_line: (0..lines)
            .map(|line| ratio(&years.iter().map(|y| y.lines[line]).collect::<Vec<_>>()))
            .collect(),
        all_done: Estimate::share(
            years.iter().filter(|y| y.waited() == 0).count() as u64,
            years.len() as u64,
        ),
        on_hand: mean(&|y| y.money),
        each: years
            .iter()
            .map(|y| {
                [
                    y.money,
                    y.waited() as f64 / y.years,
                    y.orders as f64 / y.years,
                ]
            })
            .collect(),
        used,
        pieces,
    }
}

/// Share of jobs that never waited.
fn fill(years: &[Year]) -> Estimate {
    let pairs: Vec<(u64, u64)> = years.iter().map(Year::served).collect();
    ratio(&pairs)
}

/// A share from independent groups, each with its successes and trials.
///
/// # Definition
/// Half-width z·√(Σ (hits − share·n)² · g/(g − 1)) / Σ n over g groups, at least Wilson's for
/// independent observations, which matters where all or almost all are equal.
///
/// # Source
/// Cochran, "Sampling Techniques", 3rd edition, section 2.11.
pub(super) fn ratio(groups: &[(u64, u64)]) -> Estimate {
    let hits: u64 = groups.iter().map(|(hits, _)| hits).sum();
    let all: u64 = groups.iter().map(|(_, n)| n).sum();
    let alone = Estimate::share(hits, all);
    if all == 0 || groups.len() < 2 {
        return alone;
    }
    let g = groups.len() as f64;
    let squares: f64 = groups
        .iter()
        .map(|(hits, n)| *hits as f64 - alone.value * *n as f64)
        .map(|apart| apart * apart)
        .sum();
    let half = Z95 * (squares * g / (g - 1.0)).sqrt() / all as f64;
    Estimate {
        low: alone.low.min(alone.value - half).max(0.0),
        high: alone.high.max(alone.value + half).min(1.0),
        ..alone
    }
}
