//! Surprise: even where nothing is amiss, told where something is.

use rayon::prelude::*;

use super::belief::demo_job;
use super::truth::{PLAIN, Plan, make};
use crate::demo;
use crate::next::{Question, SURPRISING, Slip, next};

fn chances(plan: &Plan, jobs: u64) -> Vec<f64> {
    let setup = demo::setup();
    (0..jobs)
        .into_par_iter()
        .flat_map_iter(|number| {
            let made = make(&setup, plan, 5000 + number);
            let found = next(&Question::of(&setup, &made.job, number)).unwrap();
            found.surprises.into_iter().map(|one| one.chance.value)
        })
        .collect()
}

/// Where nothing is amiss, a chance below any share comes up as often as that share, up to the steps of the
/// counts that it is taken from: the largest distance of the two is below Kolmogorov's limit at 1 in 1000.
#[test]
#[cfg_attr(debug_assertions, ignore = "long without optimisation")]
fn surprise_is_even_where_nothing_is_amiss() {
    let mut chances = chances(&PLAIN, 40);
    chances.sort_by(f64::total_cmp);
    let n = chances.len() as f64;
    let off = chances
        .iter()
        .enumerate()
        .map(|(i, chance)| (chance - (i as f64 + 0.5) / n).abs())
        .fold(0.0, f64::max);
    println!("{n} chances, off by {off:.3}");
    assert!(off < 1.95 / n.sqrt() + 0.01, "{off}");
}

#[test]
#[cfg_attr(debug_assertions, ignore = "long without optimisation")]
fn a_slip_is_told_and_named() {
    let setup = demo::setup();
    let ask = |job| next(&Question::of(&setup, &job, 1)).unwrap().surprises;
    let told = |surprises: &[crate::next::Surprise], entry: usize, slip: fn(&Slip) -> bool| {
        let one = surprises.iter().find(|one| one.entry == entry).unwrap();
        println!("{entry}: {:?} {:?}", one.chance.value, one.suspects);
        assert!(one.chance.value < SURPRISING, "{:?}", one.chance);
        assert!(
            one.suspects.iter().any(|suspect| slip(&suspect.slip)),
            "{:?}",
            one.suspects
        );
    };
    assert!(
        ask(demo_job())
            .iter()
            .all(|one| one.chance.value > SURPRISING && one.suspects.is_empty())
    );
    let demo_job = || {
        let mut job = demo_job();
        job.assemblies.truncate(2);
        job
    };
    // a decimal
    let mut job = demo_job();
    job.assemblies[1].backlash[2] = 0.02;
    told(
        &ask(job.clone()),
        2,
        |slip| matches!(slip, Slip::Decimal(crate::next::Reading::Backlash(2), x) if (x - 0.2).abs() < 1e-9),
    );
    // a pack off by its thinnest shim
    let mut job = demo_job();
    job.assemblies[1].ring += 0.10;
    told(
        &ask(job.clone()),
        2,
        |slip| matches!(slip, Slip::PackOff(crate::bench::PackPlace::RingSide, x) if *x < 0.0),
    );
    // side packs swapped
    let mut job = demo_job();
    (job.assemblies[1].ring, job.assemblies[1].far) = (2.14, 1.97);
    told(&ask(job), 2, |slip| *slip == Slip::SidePacksSwapped);
    // a mark with the other sign
    let mut job = demo_job();
    job.known.mark_old = Some(0.08);
    told(&ask(job), 0, |slip| *slip == Slip::OldMarkSign);
}
