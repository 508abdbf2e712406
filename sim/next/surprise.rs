//! How surprising the readings of each entry are, given all before it.

use rayon::prelude::*;

use super::answer::{SURPRISING, Surprise};
use super::approximation::Approximation;
use super::branches::{Branch, branches_with};
use super::history::has_sleeve;
use super::known_again::{figures_known, known_again};
use super::likelihood::Likelihood;
use super::model::{Model, Told};
use super::population::{Population, Wanted};
use super::sleeve::Nut;
use super::suspects::suspects;
use crate::chance::dice::{Address, Purpose};
use crate::count::estimate::Estimate;
use crate::next::{BenchJob, Known};

/// Draws of what is to be expected.
const EXPECTED: Wanted = Wanted {
    draws: 1024,
    effective: 500.0,
    most: 1 << 14,
};
/// Draws that tell how likely the stated figures are.
const STATED: Wanted = Wanted {
    draws: 1024,
    effective: 300.0,
    most: 1 << 12,
};
/// Draws that tell how likely other figures are.
const OTHER: Wanted = Wanted {
    draws: 64,
    effective: 0.0,
    most: 64,
};
/// Sleeves that tell how likely torques are.
const SLEEVES: usize = 512;
/// Other readings to hold the stated ones against: at first, and where next to none is less likely.
const FIRST: usize = 256;
const MOST: usize = 4096;
/// Stated readings less likely than all others by this logarithm are not to be met with among any number.
const BEYOND: f64 = 12.0;
/// This many less likely ones are enough.
const ENOUGH: usize = 8;
/// Passes over other readings.
const PASSES: u32 = 3;

/// The surprise of every entry.
pub(super) fn surprises(told: &Told<'_>, address: Address) -> Vec<Surprise> {
    let mut all = Vec::new();
    if figures_known(&told.job.known) >= 2 {
        let chance = of_known(told, address.within(0));
        all.push((0, chance));
    }
    for entry in 1..=told.entries {
        let fitted = &told.job.assemblies[entry - 1];
        if !super::history::stated(fitted).is_empty() {
            let chance = of_assembly(told, entry, address.within(entry as u64));
            all.push((entry, chance));
        }
    }
    let surprise = |(entry, chance): (usize, Estimate)| {
        let look = chance.value < SURPRISING;
        let place = address.within(1 << 20 | entry as u64);
        Surprise {
            entry,
            chance,
            suspects: if look {
                suspects(told, entry, place)
            } else {
                Vec::new()
            },
        }
    };
    all.into_iter().map(surprise).collect()
}

/// Logarithm of how likely everything is that is told, torques of a sleeve included.
pub(super) fn log_evidence(told: &Told<'_>, address: Address) -> f64 {
    let loops = Population::new(told, address.within(0), STATED).log_evidence;
    let read = told.job.assemblies.iter().take(told.read);
    let sleeves = read.enumerate().map(|(at, fitted)| {
        sleeve_evidence(
            told,
            &fitted.torque,
            address.within(1 + at as u64),
            8 * SLEEVES,
        )
    });
    loops + sleeves.sum::<f64>()
}

/// Logarithm of how likely torques of a sleeve are; 0 where none are stated of one.
fn sleeve_evidence(told: &Told<'_>, torques: &[f64], address: Address, count: usize) -> f64 {
    match Nut::of(told.setup) {
        Some(nut) if !torques.is_empty() => nut.after(torques, address, count).log_evidence,
        _ => 0.0,
    }
}

/// Share of other figures that are no likelier than the stated ones; `other` gives the logarithm for one
/// of them.
fn share(stated: f64, address: Address, other: impl Fn(usize, Address) -> f64 + Sync) -> Estimate {
    let (mut less, mut seen) = (0, 0);
    let mut least = f64::INFINITY;
    let mut goal = FIRST;
    while seen < goal {
        let found: Vec<f64> = (seen..goal)
            .into_par_iter()
            .map(|number| other(number, address.within(number as u64)))
            .collect();
        least = found.iter().fold(least, |least, log| least.min(*log));
        less += found.iter().filter(|log| **log <= stated + 1e-9).count();
        seen = goal;
        if less < ENOUGH && stated > least - BEYOND {
            goal = (4 * seen).min(MOST);
        }
    }
    Estimate::share(less as u64, seen as u64)
}

fn of_assembly(told: &Told<'_>, entry: usize, address: Address) -> Estimate {
    let upto = Told {
        entries: entry,
        read: entry,
        ..told.clone()
    };
    let all = branches_with(&upto, Some(entry - 1));
    let before: Vec<Branch> = all
        .iter()
        .map(|branch| without(&branch.model, entry))
        .collect();
    let place = |number: u64| address.within((1 << 30) + number);
    let stated_loops = Population::of(all.clone(), place(0), STATED).log_evidence;
    let torques = &told.job.assemblies[entry - 1].torque;
    let sleeve = has_sleeve(told.setup) && !torques.is_empty();
    let stated_sleeve = sleeve_evidence(told, torques, place(1), 8 * SLEEVES);
    let expected = Population::of(before.clone(), place(2), EXPECTED);
    let rows = expected.even(MOST, place(3));
    share(stated_loops + stated_sleeve, address, |number, address| {
        let row = expected.row(rows[number]);
        let other = read_again(&all, &before, entry, row, address);
        let loops = Population::of(other, address.within(1), OTHER).log_evidence;
        if !sleeve {
            return loops;
        }
        loops + other_sleeve(told, torques, address)
    })
}

/// Torques that another sleeve might read, as many as are stated, and how likely they are.
fn other_sleeve(told: &Told<'_>, torques: &[f64], address: Address) -> f64 {
    let Some(nut) = Nut::of(told.setup) else {
        return 0.0;
    };
    let mut dice = address.stream(Purpose::Readings);
    let mut played = nut.play(&mut dice);
    let done = torques.last().is_some_and(|last| *last >= nut.aim);
    if !done && played.len() > 1 {
        played.pop();
    }
    let from = played.len().saturating_sub(torques.len());
    sleeve_evidence(told, &played[from..], address.within(2), SLEEVES)
}

/// A model without what was read of an entry, and the normal distribution near its belief.
fn without(model: &Model, entry: usize) -> Branch {
    let mut without = model.clone();
    for site in &mut without.sites {
        if site.entry == entry && site.reading.is_some() {
            site.likelihood = Likelihood::unread();
        }
    }
    without.curved.retain(|curved| curved.entry != entry);
    let near = Approximation::new(&without);
    Branch {
        model: without,
        near,
    }
}

/// Branches with other readings of an entry, as these variables give them.
fn read_again(
    all: &[Branch],
    before: &[Branch],
    entry: usize,
    variables: &[f64],
    address: Address,
) -> Vec<Branch> {
    let of_branch = |(branch, before): (&Branch, &Branch)| {
        // the same figures in every branch
        let mut dice = address.stream(Purpose::Readings);
        let model = &branch.model;
        let mut other = model.clone();
        for site in &mut other.sites {
            if site.entry == entry && site.reading.is_some() {
                let truth = model.site_truth(site, &site.direct, variables);
                *site = site.read_again(truth, &mut dice);
            }
        }
        for curved in &mut other.curved {
            if curved.entry == entry {
                *curved = curved.read_again(curved.truth(variables), &mut dice);
            }
        }
        let mut near = before.near.clone();
        near.lines.resize(other.curved.len(), Default::default());
        near.settle(&other, entry, PASSES);
        Branch { model: other, near }
    };
    all.iter().zip(before).map(of_branch).collect()
}

fn of_known(told: &Told<'_>, address: Address) -> Estimate {
    let alone = Told {
        entries: 0,
        read: 0,
        assumed: &[],
        ..told.clone()
    };
    let stated = Population::new(&alone, address.within(1 << 30), STATED).log_evidence;
    let nothing = BenchJob {
        known: Known::default(),
        assemblies: told.job.assemblies.clone(),
    };
    let any = Told {
        job: &nothing,
        ..alone.clone()
    };
    let expected = Population::new(&any, address.within((1 << 30) + 1), EXPECTED);
    let rows = expected.even(MOST, address.within((1 << 30) + 2));
    share(stated, address, |number, address| {
        let row = expected.row(rows[number]);
        let mut dice = address.stream(Purpose::Readings);
        let job = BenchJob {
            known: known_again(told, &expected.model, row, &mut dice),
            assemblies: nothing.assemblies.clone(),
        };
        let other = Told {
            job: &job,
            ..alone.clone()
        };
        Population::new(&other, address.within(1), OTHER).log_evidence
    })
}
