//! Whether intervals of what moves come to hold what they claim: those of the same job by many seeds.

use std::collections::BTreeMap;

use super::belief::demo_job;
use crate::count::estimate::Estimate;
use crate::demo;
use crate::next::{Move, Question, next};
use crate::tests::held::{Held, against_a_run};

/// Seeds: each judges some thirty moves, in seconds.
const SEEDS: u64 = 100;

/// A figure of a move: its packs in 10⁻⁶ mm, whether it is to accept, the packs that it is held against, and its name.
type Told = ([i64; 3], bool, [i64; 3], &'static str);

/// Figures of a move by name.
fn figures(of: &Move) -> Vec<(&'static str, Estimate)> {
    let mut all = vec![
        ("right", of.right),
        ("clearly out", of.clearly_out),
        ("assemblies", of.assemblies),
        ("hours", of.hours),
        ("cost", of.cost),
        ("dearer", of.dearer),
    ];
    all.extend(of.reads_inside.map(|share| ("reads inside", share)));
    all
}

/// The true value is the mean of all answers, which is that of a run as many times as long. What a move costs beside
/// the best one is told of where the same one is best.
#[test]
#[ignore = "long: with SHIMCAST_LONG=1"]
fn moves_are_told_as_they_are() {
    let setup = demo::setup();
    let mut job = demo_job();
    job.assemblies.truncate(1);
    let mut all: BTreeMap<Told, Vec<Estimate>> = BTreeMap::new();
    let packs = |of: &Move| [of.pinion, of.ring, of.far].map(|mm| (mm * 1e6).round() as i64);
    for seed in 0..SEEDS {
        let found = next(&Question::of(&setup, &job, seed)).unwrap();
        let best = packs(&found.moves[0]);
        for of in &found.moves {
            for (name, estimate) in figures(of) {
                let beside = if name == "dearer" { best } else { [0; 3] };
                let told = all.entry((packs(of), of.accept, beside, name)).or_default();
                told.push(estimate);
            }
        }
    }
    let mut held: BTreeMap<&str, (Held, f64)> = BTreeMap::new();
    for ((.., name), told) in &all {
        // the best move costs nothing beside itself
        if told.len() < 80 || told[0].half_width() == 0.0 {
            continue;
        }
        let runs = told.len() as f64;
        let truth = told.iter().map(|of| of.value).sum::<f64>() / runs;
        let (sum, fewest) = held.entry(name).or_insert((Held::default(), runs));
        told.iter().for_each(|of| sum.count(of, truth));
        *fewest = runs.min(*fewest);
    }
    assert!(held.len() >= 6, "{held:?}");
    for (name, (held, runs)) in held {
        held.at_level(&format!("moves, {name}"), against_a_run(0.93, runs));
    }
}
