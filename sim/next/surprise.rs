//! How surprising the readings of each entry are, given all before it.

use rayon::prelude::*;

use super::answer::{SURPRISING, Surprise};
use super::approximation::Approximation;
use super::history::has_sleeve;
use super::known_again::{figures_known, known_again};
use super::likelihood::Likelihood;
use super::model::{Model, Told};
use super::population::{Population, Wanted, near};
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
    most: 1 << 13,
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
    let mut goal = FIRST;
    while seen < goal {
        let found: usize = (seen..goal)
            .into_par_iter()
            .filter(|number| other(*number, address.within(*number as u64)) <= stated + 1e-9)
            .count();
        less += found;
        seen = goal;
        if less < ENOUGH {
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
    let (model, near_stated) = near(&upto);
    let (before, near_before) = without(&model, entry);
    let stated_loops =
        Population::of(model.clone(), near_stated, address.within(1 << 30), STATED).log_evidence;
    let torques = &told.job.assemblies[entry - 1].torque;
    let sleeve = has_sleeve(told.setup) && !torques.is_empty();
    let apart = address.within((1 << 30) + 1);
    let stated_sleeve = sleeve_evidence(told, torques, apart, 8 * SLEEVES);
    let expected = Population::of(
        before,
        near_before.clone(),
        address.within((1 << 30) + 2),
        EXPECTED,
    );
    let rows = expected.even(MOST, address.within((1 << 30) + 3));
    share(stated_loops + stated_sleeve, address, |number, address| {
        let row = expected.row(rows[number]);
        let other = read_again(&model, entry, row, address);
        let mut near = near_before.clone();
        near.settle(&other, entry, PASSES);
        let loops = Population::of(other, near, address.within(1), OTHER).log_evidence;
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
fn without(model: &Model, entry: usize) -> (Model, Approximation) {
    let mut without = model.clone();
    for site in &mut without.sites {
        if site.entry == entry && site.reading.is_some() {
            site.likelihood = Likelihood::unread();
        }
    }
    without.curved.retain(|curved| curved.entry != entry);
    let mut near = Approximation::new(&without);
    near.lines.resize(model.curved.len(), Default::default());
    (without, near)
}

/// A model with other readings of an entry, as these variables give them.
fn read_again(model: &Model, entry: usize, variables: &[f64], address: Address) -> Model {
    let mut dice = address.stream(Purpose::Readings);
    let mut other = model.clone();
    for site in &mut other.sites {
        if site.entry == entry && site.reading.is_some() {
            let truth = model.site_truth(site, variables);
            *site = site.read_again(truth, &mut dice);
        }
    }
    for curved in &mut other.curved {
        if curved.entry == entry {
            *curved = curved.read_again(curved.truth(variables), &mut dice);
        }
    }
    other
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
