//! Many differences judged at once.

use crate::chance::dice::{Address, Purpose};
use crate::count::holm::{chance_of_none, holm};
use crate::count::paired::{FigurePairs, SharePairs, Trial};
use crate::count::sums::Sums;
use crate::tests::held::{Held, against_a_run, seeds};

/// Rows of a table, half of them differences of shares and half of figures.
const ROWS: usize = 20;

/// A table of differences of nothing, of so many pairs; gives whether any row is called a difference. One pair in
/// ten comes out otherwise, to either side as often as to the other.
fn any_seen(seed: u64, pairs: u64) -> bool {
    let chances: Vec<f64> = (0..ROWS as u64)
        .map(|row| {
            let mut dice = Address::new(seed, row).stream(Purpose::Parts);
            let (mut shares, mut figures) = (SharePairs::default(), FigurePairs::default());
            let mut first_alone = Sums::default();
            for _ in 0..pairs {
                let (first, differs) = (dice.uniform() < 0.4, dice.uniform() < 0.1);
                let (cost, other) = (dice.normal(), dice.normal());
                let turned = differs && dice.uniform() < if first { 0.6 } else { 0.4 };
                shares.add(Trial::of(first), Trial::of(first != turned));
                figures.add(cost, if differs { other } else { cost });
                first_alone.add(cost);
            }
            chance_of_none(&match row % 2 {
                0 => shares.difference(),
                _ => figures.difference(&first_alone.moments(), 0.0),
            })
        })
        .collect();
    holm(&chances, 0.05).contains(&true)
}

/// No row of differences of nothing is called one in 95 tables of 100, however many rows there are.
#[test]
#[cfg_attr(debug_assertions, ignore = "long without optimisation")]
fn tables_of_nothing_show_nothing() {
    for pairs in [300, 4096] {
        let mut quiet = Held::default();
        for seed in 0..seeds(100) {
            quiet.add(!any_seen(seed, pairs));
        }
        quiet.at_level(
            &format!("tables of {pairs} pairs"),
            against_a_run(0.95, f64::INFINITY),
        );
    }
}
