//! Whether the belief holds its level: of axles of known truth, how often lies the truth below its 5 % and
//! above its 95 % quantile?
//!
//! A figure fails where either happens more or less often than 5 % can mean, or where the mean square of
//! (truth − mean)/deviation is off 1 by more than 5 of its own standard errors: by chance once in some 100,000 times
//! each, with figures that are normal. The truth is known, since the axle is drawn first.

use rayon::prelude::*;

use super::truth::{Made, PLAIN, Plan, make};
use crate::axle::tolerance::Tolerance;
use crate::axle::{Axle, Condition, PinionSeat, PreloadBy, SideSeat};
use crate::bench::setup::Setup;
use crate::chance::dice::Address;
use crate::demo;
use crate::next::figures::{moments, quantiles};
use crate::next::history::zero_assumed;
use crate::next::model::Told;
use crate::next::population::{Population, Wanted};
use crate::shop::Shop;
use crate::tests::held::{Held, seeds};

pub(super) const NAMES: [&str; 7] = [
    "depth",
    "ring",
    "backlash",
    "variation",
    "closure",
    "drive",
    "coast",
];

pub(super) fn population(setup: &Setup, made: &Made, seed: u64, draws: usize) -> Population {
    let side = Tolerance::normal(0.0, 0.03).unwrap();
    let entries = made.job.assemblies.len();
    let told = Told {
        setup,
        old_side_closure: &side,
        job: &made.job,
        entries,
        read: entries,
        assumed: &zero_assumed(setup, &made.job),
        amiss: None,
    };
    let wanted = Wanted {
        draws,
        effective: 0.3 * draws as f64,
        most: 1 << 16,
    };
    Population::new(&told, Address::new(seed, 1), wanted)
}

/// For every figure: below, above, square of what it is off in deviations.
type Off = [(bool, bool, f64); 7];

fn off(setup: &Setup, plan: &Plan, number: u64) -> (Off, f64, usize) {
    let made = make(setup, plan, number);
    let found = population(setup, &made, number, 512);
    let truth = &made.truth;
    let [_, drive, _, coast] = truth.pattern;
    let truths = [
        truth.depth,
        truth.ring,
        truth.backlash,
        2.0 * truth.swing,
        truth.closure,
        drive,
        coast,
    ];
    let rows: Vec<[f64; 7]> = (0..found.len())
        .map(|i| found.model.truth(setup, found.row(i)).unwrap())
        .collect();
    let off = std::array::from_fn(|i| {
        let values: Vec<f64> = rows.iter().map(|row| row[i]).collect();
        let [mean, sd] = moments(&values, &found.weights);
        let ends = quantiles(&values, &found.weights);
        let square = ((truths[i] - mean) / sd).powi(2);
        (truths[i] < ends.p05, truths[i] > ends.p95, square)
    });
    (off, found.effective, found.len())
}

pub(super) fn holds(what: &str, setup: &Setup, plan: &Plan, jobs: u64) {
    let jobs = seeds(jobs);
    let all: Vec<(Off, f64, usize)> = (0..jobs)
        .into_par_iter()
        .map(|number| off(setup, plan, number))
        .collect();
    let n = jobs as f64;
    let worth = all
        .iter()
        .map(|(_, effective, draws)| effective / *draws as f64);
    let mut worths: Vec<f64> = worth.collect();
    worths.sort_by(f64::total_cmp);
    println!(
        "{what}: worth {:.3} median, {:.3} at 5 %, {:.4} least",
        worths[worths.len() / 2],
        worths[worths.len() / 20],
        worths[0]
    );
    let mut wrong = Vec::new();
    for (i, name) in NAMES.iter().enumerate() {
        let [mut not_below, mut not_above, mut inside] = [Held::default(); 3];
        for (off, ..) in &all {
            let (below, above, _) = off[i];
            not_below.add(!below);
            not_above.add(!above);
            inside.add(!(below || above));
        }
        let square = all.iter().map(|(off, ..)| off[i].2).sum::<f64>() / n;
        let [below, above] = [not_below, not_above].map(|of| 100.0 * (1.0 - of.share()));
        let line = format!(
            "belief, {what}, {name}: {:.1} % of {jobs}, {below:.1} below, {above:.1} above, {square:.3}",
            100.0 * inside.share()
        );
        println!("  {line}");
        let tails = [not_below, not_above]
            .iter()
            .all(|of| of.neither_few_nor_many(0.95));
        if !tails || (square - 1.0).abs() > 5.0 * (2.0 / n).sqrt() {
            wrong.push(line);
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
#[cfg_attr(debug_assertions, ignore = "long without optimisation")]
fn plain_jobs() {
    holds("plain", &demo::setup(), &PLAIN, 300);
}

#[test]
#[cfg_attr(debug_assertions, ignore = "long without optimisation")]
fn tight_jobs() {
    let plan = Plan {
        thicker: 0.15,
        ..PLAIN
    };
    holds("tight", &demo::setup(), &plan, 150);
}

#[test]
#[cfg_attr(debug_assertions, ignore = "long without optimisation")]
fn one_tight_assembly() {
    let plan = Plan {
        thicker: 0.25,
        assemblies: 1,
        ..PLAIN
    };
    holds("one tight", &demo::setup(), &plan, 150);
}

#[test]
#[cfg_attr(debug_assertions, ignore = "long without optimisation")]
fn loose_jobs() {
    let plan = Plan {
        loose: 0.18,
        zero: 1.0,
        ..PLAIN
    };
    holds("loose", &demo::setup(), &plan, 150);
}

#[test]
#[cfg_attr(debug_assertions, ignore = "long without optimisation")]
fn reseated_jobs() {
    let plan = Plan {
        reseated: 0.6,
        other_tooth: 0.3,
        assemblies: 3,
        real: true,
        ..PLAIN
    };
    holds("reseated", &demo::setup(), &plan, 150);
}

fn set_up(axle: Axle, shop: Shop, gears: Condition, bearings: Condition) -> Setup {
    Setup::new(axle, shop, gears, bearings).expect("no flaw")
}

pub(super) fn with_spacer() -> (Axle, Shop) {
    let mut axle = demo::axle();
    let shop = demo::shop();
    let wanted = axle.pinion_closure_wanted();
    axle.pinion_shim.seat = PinionSeat::BehindHeadCup;
    axle.pinion_preload.by = PreloadBy::Spacer {
        stock: "P-38".into(),
        usual: 1.0,
        gap: Tolerance::normal(60.0, 0.017).unwrap(),
        spacer: Tolerance::normal(59.0 - wanted, 0.008).unwrap(),
        as_built: Tolerance::normal(0.0, 0.015).unwrap(),
    };
    (axle, shop)
}

#[test]
#[cfg_attr(debug_assertions, ignore = "long without optimisation")]
fn kept_gears() {
    let setup = set_up(demo::axle(), demo::shop(), Condition::Kept, Condition::New);
    let plan = Plan {
        real: true,
        ..PLAIN
    };
    holds("kept gears", &setup, &plan, 150);
}

#[test]
#[cfg_attr(debug_assertions, ignore = "long without optimisation")]
fn kept_bearings() {
    let setup = set_up(demo::axle(), demo::shop(), Condition::New, Condition::Kept);
    let plan = Plan {
        thicker: 0.08,
        ..PLAIN
    };
    holds("kept bearings", &setup, &plan, 150);
}

#[test]
#[cfg_attr(debug_assertions, ignore = "long without optimisation")]
fn adjusters() {
    let mut axle = demo::axle();
    axle.side_shims.seat = SideSeat::ScrewAdjusters;
    axle.side_shims.stock = None;
    let setup = set_up(axle, demo::shop(), Condition::New, Condition::New);
    let plan = Plan {
        assemblies: 3,
        real: true,
        ..PLAIN
    };
    holds("adjusters", &setup, &plan, 150);
}

#[test]
#[cfg_attr(debug_assertions, ignore = "long without optimisation")]
fn spacers_with_torques() {
    let (axle, shop) = with_spacer();
    let setup = set_up(axle, shop, Condition::New, Condition::New);
    let plan = Plan {
        assemblies: 1,
        real: true,
        rise: true,
        stated: 0.5,
        ..PLAIN
    };
    holds("spacer", &setup, &plan, 150);
}

#[test]
#[cfg_attr(debug_assertions, ignore = "long without optimisation")]
fn coarse_dials_without_micrometer_on_real_bearings() {
    let mut shop = demo::shop();
    shop.instruments.dial.step = 0.05;
    shop.instruments.micrometer = None;
    shop.bench.setup_bearings = false;
    shop.instruments.pattern.step = 0.0;
    let mut axle = demo::axle();
    axle.pinion_shim.seat = PinionSeat::CartridgeFlange;
    let setup = set_up(axle, shop, Condition::New, Condition::New);
    let plan = Plan {
        assemblies: 3,
        thicker: 0.05,
        ..PLAIN
    };
    holds("coarse", &setup, &plan, 150);
}

#[test]
#[cfg_attr(debug_assertions, ignore = "long without optimisation")]
fn axles_of_other_laws() {
    let mut axle = demo::axle();
    let even = |middle: f64, half: f64| Tolerance::uniform(middle - half, middle + half).unwrap();
    axle.housing.head_seat = even(121.0, 0.06);
    axle.housing.ring_seat = Tolerance::triangular(95.93, 96.09).unwrap();
    axle.housing.far_seat = even(88.11, 0.08);
    axle.gears.ring_deviation = Tolerance::measured(vec![-0.06, -0.03, 0.0, 0.01, 0.05]).unwrap();
    axle.gears.tooth_runout = Tolerance::uniform(0.0, 0.05).unwrap();
    axle.gears.mark.error = even(0.0, 0.015);
    axle.carrier.face_runout = Tolerance::lognormal(0.012, 0.4).unwrap();
    let side = &mut axle.bearings.side.height;
    *side = Tolerance::normal_between(20.0, 20.2, 0.5)
        .and_then(|law| law.inspected(20.0, 20.2))
        .and_then(|law| law.with_lot_share(0.7))
        .unwrap();
    axle.as_built.depth = even(0.0, 0.03);
    let mut shop = demo::shop();
    shop.instruments.dial.sigma = 0.004;
    let setup = set_up(axle, shop, Condition::New, Condition::New);
    let plan = Plan {
        reseated: 0.3,
        ..PLAIN
    };
    holds("other laws", &setup, &plan, 150);
}
