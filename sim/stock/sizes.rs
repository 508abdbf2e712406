//! Sizes worth adding to a series, and sizes that could go.

use rayon::prelude::*;

use super::demand::series_of;
use super::reach::{BuildableSums, Reach};
use super::service::ratio;
use super::trials::Levels;
use crate::axle::shims::Series;
use crate::bench::setup::{Preload, Setup, SideStock};
use crate::bench::{PackPlace, Witness};
use crate::chance::dice::Address;
use crate::count::estimate::{Estimate, Moments};
use crate::shop::Shop;
use crate::units::{MM_PER_INCH, SLACK};

/// Rebuilds behind each figure, over all lines of a series.
const REBUILDS: u64 = 3_000;
/// Limit of the sizes added.
const MOST_ADDED: usize = 3;
/// The thinnest shim to add, mm, unless the series has a thinner one: the thinnest cold-rolled
/// strip of EN 10258.
const THINNEST: f64 = 0.05;
/// Least reduction of the missed share for which a size is added.
const WORTH_ADDING: f64 = 0.001;

/// How well a series builds the wanted thicknesses.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Advice {
    /// The series.
    pub series: String,
    /// Share of the wanted thicknesses that it misses by more than `near_enough`.
    pub missed: Estimate,
    /// Saving a job of a series that builds every step of its grid; `None` where nothing is missed.
    pub cost: Option<Saving>,
    /// Sizes worth adding, one after the other: each with all before it.
    pub add: Vec<Addition>,
    /// Sizes, mm, that the plan does not keep and without which no more is missed.
    pub could_go: Vec<f64>,
}

/// A size to add.
#[derive(Debug, Clone, Copy)]
#[non_exhaustive]
pub struct Addition {
    /// The size, mm.
    pub size: f64,
    /// Share still missed with it.
    pub missed: Estimate,
    /// Saving a job of this size and those before it.
    pub spared: Saving,
}

/// Saving of a job that uses the series, on the same jobs with and without.
#[derive(Debug, Clone, Copy)]
#[non_exhaustive]
pub struct Saving {
    /// Decrease of the share of jobs with a compromise.
    pub compromised: Estimate,
    /// Decrease of the hours.
    pub hours: Estimate,
}

/// Wanted thicknesses, job by job.
struct WantedThicknesses {
    jobs: Vec<Vec<f64>>,
}

impl WantedThicknesses {
    fn missed(&self, sums: &BuildableSums, near: f64) -> Estimate {
        let pairs: Vec<(u64, u64)> = self
            .jobs
            .iter()
            .map(|job| {
                let missed = job.iter().filter(|mm| !sums.reach(**mm, near)).count();
                (missed as u64, job.len() as u64)
            })
            .collect();
        ratio(&pairs)
    }
}

/// Notes the thicknesses wanted at the places of one series.
struct Notes<'a> {
    places: &'a [PackPlace],
    wanted: Vec<f64>,
}

impl Witness for Notes<'_> {
    fn wanted(&mut self, place: PackPlace, thickness: f64, _: i64) {
        if self.places.contains(&place) {
            self.wanted.push(thickness);
        }
    }
}

/// Advice for every series that lines of jobs use. `levels` are the plan's, series by series in the
/// order of `names`.
pub fn advice(
    lines: &[(&Setup, f64)],
    shop: &Shop,
    names: &[&str],
    levels: &Levels,
    seed: u64,
) -> Vec<Advice> {
    let root = Address::new(seed, 0x5369_7a65_7321);
    names
        .par_iter()
        .zip(levels)
        .enumerate()
        .filter_map(|(number, (name, levels))| {
            let series = shop.series(name)?;
            Some(look_at(
                lines,
                shop,
                series,
                levels,
                root.within(number as u64),
            ))
        })
        .collect()
}

/// The lines that use a series, with how many rebuilds of each.
fn shares<'a>(lines: &[(&'a Setup, f64)], name: &str) -> Vec<(&'a Setup, Vec<PackPlace>, u64)> {
    let using: Vec<(&Setup, Vec<PackPlace>, f64)> = lines
        .iter()
        .filter_map(|(setup, rate)| {
            let places: Vec<PackPlace> = series_of(setup)
                .into_iter()
                .filter(|(_, series)| *series == name)
                .map(|(place, _)| place)
                .collect();
            (!places.is_empty()).then_some((*setup, places, *rate))
        })
        .collect();
    let all: f64 = using.iter().map(|(_, _, rate)| rate).sum();
    using
        .into_iter()
        .map(|(setup, places, rate)| {
            let count = (REBUILDS as f64 * rate / all).round().max(1.0) as u64;
            (setup, places, count)
        })
        .collect()
}

fn look_at(
    lines: &[(&Setup, f64)],
    shop: &Shop,
    series: &Series,
    levels: &[u32],
    root: Address,
) -> Advice {
    let near = shop.drawer.near_enough;
    let shares = shares(lines, &series.name);
    let mut wanted = WantedThicknesses { jobs: Vec::new() };
    let mut before = Vec::new();
    for (line, (setup, places, count)) in shares.iter().enumerate() {
        for number in 0..*count {
            let address = root.within(line as u64).within(number);
            let mut notes = Notes {
                places,
                wanted: Vec::new(),
            };
            let rebuild = setup.rebuild_observed(address, &mut notes);
            let hours = setup.minutes(address, &rebuild) / 60.0;
            before.push((rebuild.compromised, hours));
            wanted.jobs.push(notes.wanted);
        }
    }
    let spared = |change: &dyn Fn(&Setup) -> Option<Setup>| -> Option<Saving> {
        let (mut compromised, mut hours) = ([0.0; 2], [0.0; 2]);
        let mut old = before.iter();
        for (line, (setup, _, count)) in shares.iter().enumerate() {
            let changed = change(setup)?;
            for number in 0..*count {
                let address = root.within(line as u64).within(number);
                let rebuild = changed.rebuild(address);
                let (had, took) = old.next()?;
                let less = f64::from(u8::from(*had)) - f64::from(u8::from(rebuild.compromised));
                let faster = took - changed.minutes(address, &rebuild) / 60.0;
                for (sums, figure) in [(&mut compromised, less), (&mut hours, faster)] {
                    sums[0] += figure;
                    sums[1] += figure * figure;
                }
            }
        }
        let n = before.len() as u64;
        let mean = |sums: [f64; 2]| Moments::from_sums(n, sums[0], sums[1]).estimate();
        Some(Saving {
            compromised: mean(compromised),
            hours: mean(hours),
        })
    };
    let reach = Reach::of(series);
    let missed = wanted.missed(&reach.sums(), near);
    let grid = if series.unit == MM_PER_INCH {
        1e-3 * MM_PER_INCH
    } else {
        0.01
    };
    let cost = (missed.value > 0.0)
        .then(|| spared(&|setup| Some(filled(setup, &series.name, grid))))
        .flatten();
    let added = additions(series, &reach, &wanted, near, grid, missed);
    let mut sizes = series.sizes.clone();
    let mut add = Vec::new();
    for (size, missed) in added {
        sizes.push(size);
        sizes.sort_by(f64::total_cmp);
        if let Some(spared) = spared(&|setup| with_sizes(setup, &series.name, &sizes)) {
            add.push(Addition {
                size,
                missed,
                spared,
            });
        }
    }
    Advice {
        series: series.name.clone(),
        missed,
        cost,
        add,
        could_go: could_go(series, levels, &wanted, near, missed),
    }
}

/// Sizes of the grid to add, one after the other, each leaving the least share missed.
fn additions(
    series: &Series,
    reach: &Reach,
    wanted: &WantedThicknesses,
    near: f64,
    grid: f64,
    missed: Estimate,
) -> Vec<(f64, Estimate)> {
    let thickest = series.sizes.last().copied().unwrap_or(0.0);
    let steps = (thickest / grid).round() as u32;
    let candidates: Vec<f64> = (1..=steps)
        .map(|step| f64::from(step) * grid)
        .filter(|size| *size >= THINNEST.min(series.sizes[0]) - SLACK)
        .filter(|size| !series.sizes.iter().any(|own| (own - size).abs() < 1e-4))
        .collect();
    let mut reach = reach.clone();
    let mut missed = missed;
    let mut added: Vec<(f64, Estimate)> = Vec::new();
    while added.len() < MOST_ADDED && missed.value > WORTH_ADDING {
        let best = candidates
            .iter()
            .filter(|size| !added.iter().any(|(other, _)| other == *size))
            .map(|size| (*size, wanted.missed(&reach.and(*size).sums(), near)))
            .min_by(|a, b| a.1.value.total_cmp(&b.1.value));
        match best {
            Some((size, less)) if missed.value - less.value > WORTH_ADDING => {
                reach = reach.and(size);
                missed = less;
                added.push((size, less));
            }
            _ => break,
        }
    }
    added
}

/// Sizes without which nothing more is missed, thickest of those that the plan does not keep first.
fn could_go(
    series: &Series,
    levels: &[u32],
    wanted: &WantedThicknesses,
    near: f64,
    missed: Estimate,
) -> Vec<f64> {
    let mut left = series.clone();
    let mut gone = Vec::new();
    for (size, level) in series.sizes.iter().zip(levels).rev() {
        if *level > 0 || left.sizes.len() == 1 {
            continue;
        }
        let mut without = left.clone();
        without.sizes.retain(|other| other != size);
        let more = wanted.missed(&Reach::of(&without).sums(), near);
        if more.value <= missed.value {
            left = without;
            gone.push(*size);
        }
    }
    gone.reverse();
    gone
}

/// The same job with other sizes in one series; `None` where that builds too many packs.
fn with_sizes(setup: &Setup, name: &str, sizes: &[f64]) -> Option<Setup> {
    let mut shop = setup.shop.clone();
    let series = shop.shims.iter_mut().find(|s| s.name == name)?;
    series.sizes = sizes.to_vec();
    Setup::new(setup.axle.clone(), shop, setup.gears, setup.bearings).ok()
}

/// The same job where one series builds every step of a grid, mm.
fn filled(setup: &Setup, name: &str, grid: f64) -> Setup {
    let mut filled = setup.clone();
    for (place, series) in series_of(setup) {
        if series != name {
            continue;
        }
        match place {
            PackPlace::Pinion => filled.pinion_packs = setup.pinion_packs.filled(grid),
            PackPlace::RingSide | PackPlace::FarSide => {
                if let SideStock::Packs(table) = &setup.side_stock {
                    filled.side_stock = SideStock::Packs(table.filled(grid));
                }
            }
            PackPlace::Spacer => {
                if let Preload::Spacer { packs, .. } = &mut filled.preload {
                    *packs = packs.filled(grid);
                }
            }
        }
    }
    filled
}
