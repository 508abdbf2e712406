//! The same version, seed and files give the same bits, on any number of threads and alone or
//! inside the program.

use std::ops::ControlFlow;

use crate::bench::setup::Setup;
use crate::chance::dice::{Address, Purpose};
use crate::chance::run::{BLOCK, Until};
use crate::demo;
use crate::odds::{Odds, odds};

include!("vectors.rs");

fn ask(setup: &Setup, until: Until) -> Odds {
    odds(setup, SEED, until, &mut |_| ControlFlow::Continue(()))
}

#[test]
fn streams_keep_their_values() {
    for (index, purpose, expected) in STREAMS {
        let purpose = [Purpose::Parts, Purpose::Bench, Purpose::Minutes][purpose];
        let mut dice = Address::new(SEED, index).stream(purpose);
        let drawn = [dice.normal(), dice.uniform(), dice.normal(), dice.uniform()];
        assert_eq!(drawn.map(f64::to_bits), expected, "{drawn:?}");
    }
}

#[test]
fn odds_keep_their_values() {
    let odds = ask(&demo::setup(), Until::Rebuilds(REBUILDS));
    let figures = [
        odds.first_assembly.all.value,
        odds.handed_over.all.value,
        odds.effort.assemblies.value,
        odds.effort.hours.mean.value,
        odds.effort.hours.p80.value,
        odds.spread.depth.mean(),
        odds.spread.backlash.deviation(),
    ];
    assert_eq!(figures.map(f64::to_bits), ODDS, "{figures:?}");
}

#[test]
fn threads_do_not_matter() {
    let setup = demo::setup();
    for until in [
        Until::Rebuilds(3 * BLOCK + 77),
        Until::Within(0.006),
        Until::Within(0.02),
    ] {
        let [one, two, eight] = [1, 2, 8].map(|threads| {
            let pool = rayon::ThreadPoolBuilder::new()
                .num_threads(threads)
                .build()
                .unwrap();
            pool.install(|| ask(&setup, until))
        });
        assert_eq!(one, two);
        assert_eq!(one, eight);
    }
}

#[test]
fn a_run_goes_on_until_it_is_enough() {
    let setup = demo::setup();
    let odds = ask(&setup, Until::Within(0.005));
    assert!(odds.first_assembly.all.half_width() <= 0.005);
    assert!(odds.handed_over.all.half_width() <= 0.005);
    // not one block more than needed
    let before = ask(&setup, Until::Rebuilds(odds.rebuilds - BLOCK));
    assert!(odds.rebuilds == 10 * BLOCK || before.first_assembly.all.half_width() > 0.005);
    assert_eq!(ask(&setup, Until::Within(0.4)).rebuilds, 10 * BLOCK);
}

#[test]
fn a_run_can_be_broken_off() {
    let setup = demo::setup();
    let odds = odds(&setup, SEED, Until::Rebuilds(1_000_000), &mut |progress| {
        if progress.rebuilds > 0 {
            ControlFlow::Break(())
        } else {
            ControlFlow::Continue(())
        }
    });
    assert!(odds.partial);
    assert!(odds.rebuilds > 0 && odds.rebuilds < 1_000_000);
    // what there is, is what a run of just that length gives
    let whole = ask(&setup, Until::Rebuilds(odds.rebuilds));
    assert_eq!(whole.first_assembly, odds.first_assembly);
}

#[test]
fn any_rebuild_can_be_replayed_alone() {
    let setup = demo::setup();
    let all: Vec<_> = (0..50).map(|i| setup.rebuild(Address::new(9, i))).collect();
    assert_eq!(setup.rebuild(Address::new(9, 33)), all[33]);
    assert_ne!(all[32], all[33]);
}

#[test]
fn streams_of_neighbours_have_nothing_in_common() {
    // with few bits mixed, seeds or indices one apart would show equal or shifted draws
    let mut seen = std::collections::HashSet::new();
    for seed in 0..20 {
        for index in 0..20 {
            for purpose in [Purpose::Parts, Purpose::Bench, Purpose::Minutes] {
                let mut dice = Address::new(seed, index).stream(purpose);
                for _ in 0..20 {
                    assert!(seen.insert(dice.uniform().to_bits()));
                }
            }
        }
    }
}
