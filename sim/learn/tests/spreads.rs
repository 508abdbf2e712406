//! What jobs say of spreads.

use super::jobs;
use crate::bench::setup::Setup;
use crate::chance::dice::Address;
use crate::demo;
use crate::learn::spreads::{spread_of, spreads, widen};

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
    for (count, shops) in [(100, 100), (30, 200), (10, 300), (1000, 20)] {
        let mut held = std::collections::BTreeMap::<Input, [f64; 5]>::new();
        let mut z = std::collections::BTreeMap::<(usize, usize), [f64; 4]>::new();
        for seed in 0..shops {
            let (setup, truth) = otherwise(seed);
            let found = spreads(&kinds, &jobs(&setup, count, seed), TRUST);
            if let Some((_, of)) = found.inputs.iter().find(|(i, _)| *i == Input::Thickness) {
                println!(
                    "{:.3} {:?}",
                    truth
                        .iter()
                        .find(|(i, _)| *i == Input::Thickness)
                        .unwrap()
                        .1,
                    of
                );
            }
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

/// The fall of the score is its slope, by differences.
#[test]
fn the_score_falls_as_it_is_told() {
    use crate::learn::scores::{Scores, Unknowns};
    let setup = demo::setup();
    let job = &jobs(&setup, 5, 7)[3].1;
    let told = crate::next::linear(&setup, &job.bench);
    let unknowns = Unknowns {
        spreads: vec![
            Input::HeadBearing,
            Input::DepthDeviation,
            Input::ToothRunout,
            Input::Pattern,
        ],
        rows: vec![(0, 0), (0, 1), (1, 0)],
        shifts: vec![Input::HeadSeat, Input::DepthDeviation],
    };
    let at = [0.2, -0.3, 0.1, 0.4, 0.2, -0.1, 0.3, 0.5, -0.2];
    let here = Scores::of(&told, &unknowns, &at).unwrap();
    let step = 1e-5;
    for i in 0..unknowns.len() {
        let [above, below] = [step, -step].map(|by| {
            let mut at = at;
            at[i] += by;
            Scores::of(&told, &unknowns, &at).unwrap().score
        });
        for j in 0..unknowns.len() {
            let slope = (below[j] - above[j]) / (2.0 * step);
            let fall = here.fall.at(i, j);
            assert!(
                (slope - fall).abs() < 1e-4 * (1.0 + fall.abs()),
                "{i} {j}: {slope} {fall}"
            );
        }
    }
}

#[test]
fn odd_ones() {
    let kinds = [demo::setup()];
    let mut by = std::collections::BTreeMap::<Input, [f64; 5]>::new();
    for seed in 0..80 {
        let (setup, truth) = otherwise(seed);
        let found = spreads(&kinds, &jobs(&setup, 100, seed), TRUST);
        let of = |wanted: Input| truth.iter().find(|(i, _)| *i == wanted).unwrap().1;
        let (_, m) = found
            .inputs
            .iter()
            .find(|(i, _)| *i == Input::Thickness)
            .unwrap();
        let y = (m.learned.value / of(Input::Thickness)).ln();
        for (input, t) in &truth {
            let x = t.ln();
            let e = by.entry(*input).or_default();
            e[0] += 1.0;
            e[1] += x;
            e[2] += y;
            e[3] += x * x;
            e[4] += x * y;
        }
    }
    for (input, [n, x, y, xx, xy]) in by {
        let c = (xy - x * y / n) / (xx - x * x / n);
        println!("{:30} slope {c:+.3}", input.key(&kinds[0]));
    }
}
