//! What jobs say of spreads.

use rayon::prelude::*;

use crate::bench::setup::Setup;
use crate::chance::dice::Address;
use crate::demo;
use crate::learn::{FinishedJob, recorded, spreads};

fn jobs(of: &Setup, count: u64, seed: u64) -> Vec<(usize, FinishedJob)> {
    (0..count)
        .into_par_iter()
        .map(|number| (0, recorded(of, Address::new(seed, number))))
        .collect()
}

#[test]
fn look() {
    let kinds = [demo::setup()];
    for count in [40, 400] {
        let jobs = jobs(&kinds[0], count, 3);
        let l: Vec<_> = jobs
            .iter()
            .map(|(_, j)| crate::next::linear(&kinds[0], &j.bench))
            .collect();
        println!(
            "figures {} columns {}",
            l.iter().map(|l| l.off.len()).sum::<usize>() / l.len(),
            l.iter().map(|l| l.columns.len()).sum::<usize>() / l.len()
        );
        let start = std::time::Instant::now();
        let found = spreads(&kinds, &jobs, 10.0);
        println!("{count} {:?}", start.elapsed());
        for (input, of) in &found.inputs {
            println!(
                "{:32} {:.3} [{:.3} {:.3}] worth {:8.2} alone {:?}",
                input.key(&kinds[0]),
                of.learned.value,
                of.learned.low,
                of.learned.high,
                of.worth,
                of.alone
            );
        }
        for (row, of) in &found.rows {
            println!("{row:?} {:?}", of);
        }
    }
}

use crate::axle::Condition;
use crate::causes::Input;
use crate::chance::dice::Purpose;
use crate::learn::{spread_of, widen};

const TRUST: f64 = 10.0;

/// A shop that varies otherwise than its files say, as far as a prior worth ten jobs has it.
fn otherwise(seed: u64) -> (Setup, Vec<(Input, f64)>) {
    let (mut axle, mut shop) = (demo::axle(), demo::shop());
    let mut dice = Address::new(seed, 0x0073_6862).stream(Purpose::Records);
    let mut truth = Vec::new();
    for input in Input::ALL {
        if spread_of(input, &axle, &shop).is_none() {
            continue;
        }
        let squares: f64 = (0..TRUST as u32).map(|_| dice.normal().powi(2)).sum();
        let times = (TRUST / squares).sqrt();
        widen(input, times, &mut axle, &mut shop);
        truth.push((input, times));
    }
    let setup = Setup::new(axle, shop, Condition::New, Condition::New);
    (setup.unwrap(), truth)
}

#[test]
fn calibrated() {
    let kinds = [demo::setup()];
    for (count, shops) in [(30, 300), (100, 100), (1000, 30)] {
        let mut held = std::collections::BTreeMap::<Input, [f64; 5]>::new();
        let mut z = std::collections::BTreeMap::<(usize, usize), [f64; 4]>::new();
        for seed in 0..shops {
            let (setup, truth) = otherwise(seed);
            let found = spreads(&kinds, &jobs(&setup, count, seed), TRUST);
            for (input, of) in &found.inputs {
                let truth = truth.iter().find(|(of, _)| of == input).unwrap().1;
                let one = held.entry(*input).or_default();
                one[0] += 1.0;
                one[1] += f64::from(u8::from(
                    of.learned.low <= truth && truth <= of.learned.high,
                ));
                let off = (of.learned.value / truth).ln();
                one[2] += off;
                one[3] += off * off;
                one[4] += of.worth;
            }
            for (row, of) in &found.rows {
                let truth = crate::learn::spreads::row_of(&kinds[0].axle, *row);
                let one = z.entry(*row).or_default();
                one[0] += 1.0;
                one[1] += f64::from(u8::from(
                    of.learned.low <= truth && truth <= of.learned.high,
                ));
                one[2] += of.learned.value - truth;
                one[3] += of.worth;
            }
        }
        println!("--- {count} jobs");
        for (input, [n, held, off, squares, worth]) in held {
            println!(
                "{:32} {:.3} off {:+.3} ± {:.3} worth {:.1}",
                input.key(&kinds[0]),
                held / n,
                off / n,
                (squares / n).sqrt(),
                worth / n
            );
        }
        for (row, [n, held, off, worth]) in z {
            println!(
                "{row:?} {:.3} off {:+.4} worth {:.1}",
                held / n,
                off / n,
                worth / n
            );
        }
    }
}
