//! The service of a drawer over many years: jobs served, money on hand, orders.

use rayon::prelude::*;

use super::accounts::{Accounts, SpellAccount};
use super::drawer::{Rules, play_from};
use super::pieces::Pieces;
use super::present::Present;
use super::shelf::Shelf;
use super::tape::{Sample, Tape};
use super::trials::Levels;
use crate::count::estimate::{Estimate, Moments, Z95};

/// Tapes whose books are held at once.
const TAPES_AT_ONCE: usize = 4096;

/// Days in a year.
pub const DAYS_IN_YEAR: f64 = 365.25;

/// The service of a drawer on a sample.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Service {
    /// Jobs simulated that count.
    pub jobs: u64,
    /// Years simulated that count.
    pub years: f64,
    /// Share of jobs that never waited.
    pub job_fill: Estimate,
    /// The same of each line of jobs that came.
    pub by_line: Vec<Estimate>,
    /// Share of spells in which no job waited.
    pub all_done: Estimate,
    /// Money on hand, averaged over time.
    pub on_hand: Estimate,
    /// For each spell, what a year costs.
    pub each: Vec<AYear>,
    /// For each series and size, shims taken from the drawer less shims put back, a year.
    pub used: Vec<Vec<Estimate>>,
    /// For each series, the flows of its pieces over all tapes.
    pub pieces: Vec<Pieces>,
}

/// What a drawer does in a year.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AYear {
    /// Money on hand, averaged over time.
    pub on_hand: f64,
    /// Jobs that waited.
    pub waited: f64,
    /// Orders.
    pub orders: f64,
    /// Price of what was ordered, and of what came specially.
    pub bought: f64,
    /// Pieces taken from the drawer less those put back.
    pub used: f64,
    /// Price of these.
    pub used_worth: f64,
}

impl Service {
    /// Mean over the spells of a figure of each; not below zero.
    pub fn mean(&self, figure: impl Fn(&AYear) -> f64) -> Estimate {
        let mut mean = Moments::of(self.each.iter().map(figure)).estimate();
        mean.low = mean.low.max(0.0);
        mean
    }
}

/// The result of one spell for all series.
struct Spell {
    /// For each line, jobs that never waited, and all.
    lines: Vec<(u64, u64)>,
    year: AYear,
    /// For each series and size, pieces used a year.
    used: Vec<Vec<f64>>,
}

/// The result of one tape for all series.
struct Played {
    spells: Vec<Spell>,
    pieces: Vec<Pieces>,
}

impl Played {
    /// Plays a tape of jobs of `lines` lines against levels.
    fn of(
        tape: &Tape,
        lines: usize,
        shelves: &[Shelf],
        rules: &Rules,
        levels: &Levels,
        (start, on_order): (&Levels, Option<&Levels>),
    ) -> Self {
        let played: Vec<Accounts<'_>> = (0..shelves.len())
            .map(|s| {
                let mut books = Accounts::new(&shelves[s], &start[s], tape.span);
                let coming = on_order.map_or(&[][..], |on_order| &on_order[s]);
                let (shelf, start) = (&shelves[s], (&start[s][..], coming));
                play_from(shelf, rules, tape.reel(s), &levels[s], start, &mut books);
                books
            })
            .collect();
        let mut waited = vec![false; tape.jobs.len()];
        for job in played.iter().flat_map(|p| &p.waited) {
            waited[*job as usize] = true;
        }
        let mut of_lines = vec![vec![(0, 0); lines]; tape.span.spells as usize];
        for ((at, line), waited) in tape.jobs.iter().zip(&waited) {
            if let Some(spell) = tape.span.at(*at) {
                let of_line = &mut of_lines[spell][*line];
                of_line.0 += u64::from(!waited);
                of_line.1 += 1;
            }
        }
        let spells = of_lines.into_iter().enumerate();
        Self {
            spells: spells
                .map(|(number, lines)| {
                    let of: Vec<&SpellAccount> =
                        played.iter().map(|books| &books.spells[number]).collect();
                    Spell::of(tape.span.spell, lines, &of)
                })
                .collect(),
            pieces: played.into_iter().map(|p| p.pieces).collect(),
        }
    }
}

impl Spell {
    fn of(days: f64, lines: Vec<(u64, u64)>, series: &[&SpellAccount]) -> Self {
        let years = days / DAYS_IN_YEAR;
        // one order covers all series
        let mut reviews: Vec<u64> = series.iter().flat_map(|of| &of.orders).copied().collect();
        reviews.sort_unstable();
        reviews.dedup();
        let waited: u64 = lines.iter().map(|(served, all)| all - served).sum();
        let sum = |of: &dyn Fn(&SpellAccount) -> f64| series.iter().map(|s| of(s)).sum::<f64>();
        let used = |of: &&SpellAccount| of.used.iter().map(|n| *n as f64 / years).collect();
        Self {
            lines,
            year: AYear {
                on_hand: sum(&|of| of.money_days) / days,
                waited: waited as f64 / years,
                orders: reviews.len() as f64 / years,
                bought: sum(&|of| of.bought) / years,
                used: sum(&|of| of.used.iter().sum::<i64>() as f64) / years,
                used_worth: sum(&|of| of.used_worth) / years,
            },
            used: series.iter().map(used).collect(),
        }
    }

    /// Jobs that never waited, and all.
    fn served(&self) -> (u64, u64) {
        let sum = |(served, all): (u64, u64), line: &(u64, u64)| (served + line.0, all + line.1);
        self.lines.iter().fold((0, 0), sum)
    }
}

/// Plays a sample against levels, from the counts at the start.
///
/// # Accuracy
/// Intervals are from the spread between the spells, which are as good as independent; jobs within
/// one are not, since a shim taken by one job is missing for the next. They hold from some dozens of
/// spells on.
pub fn service(
    shelves: &[Shelf],
    rules: &Rules,
    sample: &Sample,
    levels: &Levels,
    start: &Levels,
) -> Service {
    played(shelves, rules, sample, levels, (start, None))
}

/// The same from a drawer as it is now, with what is on its way to it.
pub(super) fn service_from(
    shelves: &[Shelf],
    rules: &Rules,
    sample: &Sample,
    levels: &Levels,
    now: &Present,
) -> Service {
    let start = (&now.counts, Some(&now.on_order));
    played(shelves, rules, sample, levels, start)
}

fn played(
    shelves: &[Shelf],
    rules: &Rules,
    sample: &Sample,
    levels: &Levels,
    start: (&Levels, Option<&Levels>),
) -> Service {
    let of_jobs = sample.tapes.iter().flat_map(|tape| &tape.jobs);
    let lines = of_jobs.map(|(_, line)| line + 1).max().unwrap_or(0);
    let mut pieces: Vec<Pieces> = Vec::new();
    let mut spells: Vec<Spell> = Vec::new();
    // for each series and size, the sum over the spells and that of squares
    let of_sizes = |shelf: &Shelf| vec![(0.0, 0.0); shelf.sizes.len()];
    let mut used: Vec<Vec<(f64, f64)>> = shelves.iter().map(of_sizes).collect();
    // a sample of single jobs has some hundred thousand tapes, whose books are not held at once
    for tapes in sample.tapes.chunks(TAPES_AT_ONCE) {
        let played: Vec<Played> = tapes
            .par_iter()
            .map(|tape| Played::of(tape, lines, shelves, rules, levels, start))
            .collect();
        for mut tape in played {
            for spell in &mut tape.spells {
                let of_spell = std::mem::take(&mut spell.used);
                let sums = used.iter_mut().flatten();
                for ((sum, squares), used) in sums.zip(of_spell.into_iter().flatten()) {
                    *sum += used;
                    *squares += used * used;
                }
            }
            spells.extend(tape.spells);
            if pieces.is_empty() {
                pieces = tape.pieces;
                continue;
            }
            for (sum, more) in pieces.iter_mut().zip(&tape.pieces) {
                sum.add(more);
            }
        }
    }
    let n = spells.len() as u64;
    let mean_of = |(sum, squares): &(f64, f64)| Moments::from_sums(n, *sum, *squares).estimate();
    let mean = |figure: &dyn Fn(&Spell) -> f64| Moments::of(spells.iter().map(figure)).estimate();
    let served: Vec<(u64, u64)> = spells.iter().map(Spell::served).collect();
    let of_line =
        |line: usize| -> Vec<(u64, u64)> { spells.iter().map(|spell| spell.lines[line]).collect() };
    let counted: f64 = sample.tapes.iter().map(|tape| tape.span.counted()).sum();
    let none_waited = served.iter().filter(|(fine, all)| fine == all).count();
    Service {
        jobs: served.iter().map(|(_, all)| all).sum(),
        years: counted / DAYS_IN_YEAR,
        job_fill: ratio(&served),
        by_line: (0..lines).map(|line| ratio(&of_line(line))).collect(),
        all_done: Estimate::share(none_waited as u64, spells.len() as u64),
        on_hand: mean(&|spell| spell.year.on_hand),
        used: used
            .iter()
            .map(|sizes| sizes.iter().map(mean_of).collect())
            .collect(),
        each: spells.iter().map(|spell| spell.year).collect(),
        pieces,
    }
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
