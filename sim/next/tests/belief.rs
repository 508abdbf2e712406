//! The belief against closed forms, on any number of threads, and as readings come in.

use super::coverage::population;
use super::truth::{Made, PLAIN, Plan, make};
use crate::axle::tolerance::Tolerance;
use crate::axle::{Axle, Condition};
use crate::bench::parts::{BearingSet, Parts};
use crate::bench::setup::Setup;
use crate::bench::truth::{Assembly, Thicknesses};
use crate::chance::dice::Address;
use crate::demo;
use crate::next::figures::moments;
use crate::next::history::zero_assumed;
use crate::next::model::Told;
use crate::next::population::{Population, Wanted};
use crate::next::{BenchJob, Fitted, Known, Question, next};
use crate::shop::Shop;
use crate::tests::close;

/// The demo job: what was known, and three assemblies on set-up bearings.
pub(super) fn demo_job() -> BenchJob {
    let fitted = |packs: [f64; 3], backlash: [f64; 4], [drive, coast]: [f64; 2]| Fitted {
        on_setup_bearings: true,
        pinion: packs[0],
        ring: packs[1],
        far: packs[2],
        backlash: backlash.to_vec(),
        drive: Some(drive),
        coast: Some(coast),
        ..Fitted::default()
    };
    let mut job = BenchJob {
        known: Known {
            mark_old: Some(-0.02),
            mark_new: Some(0.05),
            pinion_pack: Some(0.94),
            ring_pack: Some(1.98),
            far_pack: Some(2.11),
            head_height: Some([28.08, 28.11]),
            gauge: Some(0.86),
            ..Known::default()
        },
        assemblies: vec![
            fitted([0.87, 1.99, 2.12], [0.15, 0.17, 0.18, 0.15], [0.15, 0.0]),
            fitted([0.92, 1.97, 2.14], [0.16, 0.18, 0.18, 0.16], [0.0, -0.05]),
            fitted([0.88, 1.97, 2.14], [0.17, 0.18, 0.19, 0.17], [0.0, 0.0]),
        ],
    };
    job.assemblies[0].zero_total = Some(3.93);
    job
}

#[test]
#[cfg_attr(debug_assertions, ignore = "long without optimisation")]
fn the_demo_job_is_worth_thousands_of_draws() {
    let setup = demo::setup();
    for entries in 0..=3 {
        let mut job = demo_job();
        job.assemblies.truncate(entries);
        let found = next(&Question::of(&setup, &job, 1)).unwrap();
        println!("{entries}: {} of {}", found.effective, found.draws);
        assert!(
            found.effective > 6000.0 && found.draws == 8192,
            "{}",
            found.effective
        );
    }
}

#[test]
#[cfg_attr(debug_assertions, ignore = "long without optimisation")]
fn the_same_bits_on_any_number_of_threads() {
    let setup = demo::setup();
    let job = demo_job();
    let on = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads);
        let ask = || next(&Question::of(&setup, &job, 7)).unwrap();
        pool.build().expect("threads").install(ask)
    };
    let one = on(1);
    assert_eq!(one, on(2));
    assert_eq!(one, on(8));
    let other = next(&Question::of(&setup, &job, 8)).unwrap();
    assert_ne!(one.belief.depth, other.belief.depth);
}

/// An axle and a shop in which everything is normal and nothing is rounded.
fn all_normal() -> (Axle, Shop) {
    let (mut axle, mut shop) = (demo::axle(), demo::shop());
    axle.gears.depth_deviation = Tolerance::normal(0.0, 0.035).unwrap();
    axle.gears.tooth_runout = Tolerance::exact(0.0);
    axle.carrier.face_runout = Tolerance::exact(0.0);
    axle.gears.mark.step = 0.0;
    let instruments = &mut shop.instruments;
    instruments.dial.step = 0.0;
    instruments.pattern.step = 0.0;
    instruments.depth_gauge.step = 0.0;
    (axle, shop)
}

/// One figure that varies, with its standard deviation.
type Figure = (f64, fn(&mut Varied) -> &mut f64);

/// Everything that two assemblies depend on.
#[derive(Clone)]
struct Varied {
    parts: Parts,
    cones: [f64; 3],
    packs: [f64; 6],
}

impl Varied {
    fn seated(&self) -> BearingSet {
        let real = self.parts.bearings;
        BearingSet {
            head: real.head + self.cones[0],
            ring: real.ring + self.cones[1],
            far: real.far + self.cones[2],
            ..real
        }
    }

    fn assembly(&self, setup: &Setup, packs: [usize; 3]) -> Assembly {
        let packs = packs.map(|at| self.packs[at]);
        let [pinion, ring, far] = packs;
        let thick = Thicknesses { pinion, ring, far };
        Assembly::of(setup, &self.parts, &self.seated(), [0.0; 2], thick)
    }

    /// Marks, gauge, zero end play, backlash and pattern of two assemblies, and last the truths that are
    /// asked for.
    fn figures(&self, setup: &Setup) -> Vec<f64> {
        let seated = self.seated();
        let one = self.assembly(setup, [0, 1, 2]);
        // the second keeps its far pack
        let two = self.assembly(setup, [3, 4, 2]);
        let parts = &self.parts;
        let room = parts.ring_seat + parts.far_seat - seated.ring - seated.far - parts.shoulders;
        vec![
            parts.pair.depth,
            parts.head_seat - seated.head - setup.axle.gears.mounting_distance,
            room,
            one.backlash,
            one.backlash,
            one.pattern[1],
            one.pattern[3],
            two.backlash,
            two.backlash,
            two.pattern[1],
            two.depth,
            two.ring,
            two.backlash,
            two.closure,
            two.pattern[1],
            two.pattern[3],
        ]
    }
}

/// Two assemblies of such an axle.
fn normal_job() -> BenchJob {
    BenchJob {
        known: Known {
            mark_new: Some(0.037),
            gauge: Some(0.883),
            ..Known::default()
        },
        assemblies: vec![
            Fitted {
                on_setup_bearings: true,
                zero_total: Some(3.951),
                pinion: 0.87,
                ring: 1.95,
                far: 2.15,
                backlash: vec![0.2113, 0.2072],
                drive: Some(0.11),
                coast: Some(0.03),
                ..Fitted::default()
            },
            Fitted {
                on_setup_bearings: true,
                pinion: 0.92,
                ring: 1.98,
                far: 2.15,
                backlash: vec![0.1713, 0.1752],
                drive: Some(-0.02),
                ..Fitted::default()
            },
        ],
    }
}

/// Everything at its middle, and what varies with its deviation.
fn varied(setup: &Setup) -> (Varied, Vec<Figure>) {
    let spreads: [Figure; 21] = [
        (0.02, |v| &mut v.parts.head_seat),
        (0.08 / 3.0, |v| &mut v.parts.ring_seat),
        (0.08 / 3.0, |v| &mut v.parts.far_seat),
        (0.01, |v| &mut v.parts.offset),
        (0.5, |v| &mut v.parts.shaft_angle),
        (0.05 / 3.0, |v| &mut v.parts.shoulders),
        (0.04 / 3.0, |v| &mut v.parts.shoulder_ring),
        (0.1 / 3.99, |v| &mut v.parts.bearings.head),
        (0.1 / 3.99, |v| &mut v.parts.bearings.ring),
        (0.1 / 3.99, |v| &mut v.parts.bearings.far),
        (0.035, |v| &mut v.parts.pair.depth),
        (0.03, |v| &mut v.parts.pair.ring),
        (0.02, |v| &mut v.parts.scatter[1]),
        (0.02, |v| &mut v.parts.scatter[3]),
        (0.01, |v| &mut v.cones[0]),
        (0.01, |v| &mut v.cones[1]),
        (0.01, |v| &mut v.cones[2]),
        (0.0, |v| &mut v.packs[0]),
        (0.0, |v| &mut v.packs[1]),
        (0.0, |v| &mut v.packs[2]),
        (0.0, |v| &mut v.packs[3]),
    ];
    let pack = |printed: f64| &setup.pinion_packs.all()[setup.pinion_packs.nearest(printed)];
    let side = |printed: f64| match &setup.side_stock {
        crate::bench::setup::SideStock::Packs(table) => table.all()[table.nearest(printed)].sigma,
        _ => unreachable!(),
    };
    let middle = Varied {
        parts: Parts::middle(&setup.axle, Condition::New),
        cones: [0.0; 3],
        packs: [0.87, 1.95, 2.15, 0.92, 1.98, 0.0],
    };
    let mut figures: Vec<Figure> = spreads.to_vec();
    figures[17].0 = pack(0.87).sigma;
    figures[18].0 = side(1.95);
    figures[19].0 = side(2.15);
    figures[20].0 = pack(0.92).sigma;
    figures.push((side(1.98), |v| &mut v.packs[4]));
    (middle, figures)
}

/// A normal posterior: the figures in the middle, their slopes, means and covariance.
struct Posterior {
    start: Vec<f64>,
    slopes: Vec<Vec<f64>>,
    mean: Vec<f64>,
    covariance: Vec<Vec<f64>>,
}

impl Posterior {
    /// Of the figures of a setup before anything is read.
    fn new(setup: &Setup) -> Self {
        let (middle, figures) = varied(setup);
        let start = middle.figures(setup);
        let slopes: Vec<Vec<f64>> = figures
            .iter()
            .map(|(_, place)| {
                let mut moved = middle.clone();
                *place(&mut moved) += 1e-4;
                let there = moved.figures(setup);
                there
                    .iter()
                    .zip(&start)
                    .map(|(a, b)| (a - b) / 1e-4)
                    .collect()
            })
            .collect();
        let n = figures.len();
        let mut covariance = vec![vec![0.0; n]; n];
        for (i, (sigma, _)) in figures.iter().enumerate() {
            covariance[i][i] = sigma * sigma;
        }
        // the side bearings are of one lot
        let lot = 0.9 * (0.1_f64 / 3.99).powi(2);
        (covariance[8][9], covariance[9][8]) = (lot, lot);
        Self {
            start,
            slopes,
            mean: vec![0.0; n],
            covariance,
        }
    }

    /// Covariances of everything with a figure, and its mean and variance.
    fn of(&self, number: usize) -> (Vec<f64>, f64, f64) {
        let n = self.mean.len();
        let slope: Vec<f64> = self.slopes.iter().map(|all| all[number]).collect();
        let moved: Vec<f64> = (0..n)
            .map(|i| (0..n).map(|j| self.covariance[i][j] * slope[j]).sum())
            .collect();
        let dot = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(a, b)| a * b).sum::<f64>();
        let mean = self.start[number] + dot(&slope, &self.mean);
        let variance = dot(&slope, &moved);
        (moved, mean, variance)
    }

    /// Takes in what was read of a figure, with a normal error.
    fn read(&mut self, number: usize, figure: f64, sigma: f64) {
        let (moved, mean, variance) = self.of(number);
        let variance = variance + sigma * sigma;
        for (i, own) in moved.iter().enumerate() {
            self.mean[i] += own * (figure - mean) / variance;
            for (j, other) in moved.iter().enumerate() {
                self.covariance[i][j] -= own * other / variance;
            }
        }
    }
}

/// A job whose posterior is known: normal, by updating a covariance figure by figure, with slopes taken from
/// the simulation's own truth.
#[test]
#[cfg_attr(debug_assertions, ignore = "long without optimisation")]
fn a_normal_job_has_the_normal_posterior() {
    let (axle, shop) = all_normal();
    let setup = Setup::new(axle, shop, Condition::New, Condition::New).unwrap();
    let read = [
        (0.037, 0.010),
        (0.883, 0.015),
        (3.951, 0.020),
        (0.2113, 0.005),
        (0.2072, 0.005),
        (0.11, 0.05),
        (0.03, 0.05),
        (0.1713, 0.005),
        (0.1752, 0.005),
        (-0.02, 0.05),
    ];
    let mut posterior = Posterior::new(&setup);
    for (number, (figure, sigma)) in read.into_iter().enumerate() {
        posterior.read(number, figure, sigma);
    }
    let made = Made {
        job: normal_job(),
        truth: setup.middle().assembly,
        truths: Vec::new(),
    };
    let found = population(&setup, &made, 3, 40_000);
    assert!(
        found.effective > 0.98 * found.len() as f64,
        "{}",
        found.effective
    );
    let truths: Vec<[f64; 7]> = (0..found.len())
        .map(|i| found.model.truth(&setup, found.row(i)).unwrap())
        .collect();
    for (at, number) in [(0, 10), (1, 11), (2, 12), (4, 13), (5, 14), (6, 15)] {
        let (_, expected, variance) = posterior.of(number);
        let values: Vec<f64> = truths.iter().map(|truth| truth[at]).collect();
        let [middle, sd] = moments(&values, &found.weights);
        // five standard errors of 40,000 draws
        close(middle, expected, 0.025 * variance.sqrt());
        close(sd / variance.sqrt(), 1.0, 0.018);
    }
}

/// The variance that is left is on average what it was less what was learned: never more.
#[test]
#[cfg_attr(debug_assertions, ignore = "long without optimisation")]
fn readings_narrow_the_belief_on_average() {
    let setup = demo::setup();
    let side = Tolerance::normal(0.0, 0.03).unwrap();
    let plan = Plan {
        reseated: 0.3,
        thicker: 0.05,
        ..PLAIN
    };
    let mut sums = [[0.0; 2]; 7];
    for number in 0..60 {
        let made = make(&setup, &plan, 800 + number);
        for (at, read) in [1, 2].into_iter().enumerate() {
            let told = Told {
                setup: &setup,
                old_side_closure: &side,
                job: &made.job,
                entries: 2,
                read,
                assumed: &zero_assumed(&setup, &made.job),
                amiss: None,
            };
            let wanted = Wanted {
                draws: 1024,
                effective: 400.0,
                most: 1 << 15,
            };
            let found = Population::new(&told, Address::new(number, 0), wanted);
            let truths: Vec<[f64; 7]> = (0..found.len())
                .map(|i| found.model.truth(&setup, found.row(i)).unwrap())
                .collect();
            for (i, sums) in sums.iter_mut().enumerate() {
                let values: Vec<f64> = truths.iter().map(|truth| truth[i]).collect();
                let [_, sd] = moments(&values, &found.weights);
                sums[at] += sd * sd;
            }
        }
    }
    for [before, after] in sums {
        println!("{:.3}", after / before);
        assert!(after < 1.02 * before, "{after} {before}");
    }
    let [before, after] = sums[2];
    assert!(after < 0.8 * before, "backlash was read: {after} {before}");
}
