//! What a rebuild costs, against a fixed floor: drawing what a rebuild of the demo drew when this
//! was first measured, by the calls of `rand_distr`, and nothing else.
//!
//! `cargo bench` prints criterion's figures for each and, last, the ratios; those are taken turn
//! by turn, so that a busy machine slows both sides alike. See README.md beside this file.
#![allow(missing_docs)]

use std::hint::black_box;
use std::ops::ControlFlow;
use std::time::{Duration, Instant};

use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use rand::{RngExt, SeedableRng};
use rand_distr::{Distribution, StandardNormal, Triangular, UnitCircle};
use rand_xoshiro::Xoshiro256PlusPlus;
use shimcast::files::{Source, load};
use shimcast_sim::axle::Condition;
use shimcast_sim::bench::setup::Setup;
use shimcast_sim::chance::dice::Address;
use shimcast_sim::chance::run::{BLOCK, Until};
use shimcast_sim::next::{BenchJob, Fitted, Known, Question, next};
use shimcast_sim::odds::odds;

const REBUILDS: u64 = BLOCK;

/// Figures drawn, by kind.
#[derive(Clone, Copy)]
struct Drawn {
    normal: u64,
    uniform: u64,
    triangular: u64,
    direction: u64,
}

/// Figures that the floor draws: what [`REBUILDS`] rebuilds of the demo job drew when its floor was
/// first measured. They stay, so that ratios of different versions can be compared.
const FLOOR: Drawn = Drawn {
    normal: 864 * REBUILDS / 10,
    uniform: 65 * REBUILDS / 10,
    triangular: 125 * REBUILDS / 10,
    direction: 2 * REBUILDS,
};

fn demo() -> Setup {
    let loaded = load(&Source::BuiltIn, &Source::BuiltIn, &[]).expect("the demo reads");
    Setup::new(loaded.axle, loaded.shop, Condition::New, Condition::New).expect("the demo works")
}

fn engine(setup: &Setup) -> f64 {
    let mut sum = 0.0;
    for index in 0..REBUILDS {
        let address = Address::new(1, index);
        let rebuild = setup.rebuild(address);
        sum += rebuild.last.backlash + setup.minutes(address, &rebuild);
    }
    sum
}

/// Draws so many figures of each kind.
fn floor(drawn: Drawn) -> f64 {
    let mut rng = Xoshiro256PlusPlus::seed_from_u64(1);
    let mut sum = 0.0;
    for _ in 0..drawn.normal {
        let z: f64 = StandardNormal.sample(&mut rng);
        sum += z;
    }
    for _ in 0..drawn.uniform {
        sum += rng.random::<f64>();
    }
    for _ in 0..drawn.direction {
        let [x, y]: [f64; 2] = UnitCircle.sample(&mut rng);
        sum += x + y;
    }
    let minutes = Triangular::new(5.0, 15.0, 8.0).expect("a triangle");
    for _ in 0..drawn.triangular {
        sum += minutes.sample(&mut rng);
    }
    sum
}

fn all_threads(setup: &Setup, rebuilds: u64) -> f64 {
    let odds = odds(setup, 1, Until::Rebuilds(rebuilds), &mut |_| {
        ControlFlow::Continue(())
    });
    odds.first_assembly.all.value
}

fn on_threads(threads: usize) -> rayon::ThreadPool {
    rayon::ThreadPoolBuilder::new()
        .num_threads(threads)
        .build()
        .expect("threads")
}

fn rebuilds(c: &mut Criterion) {
    let setup = demo();
    let mut group = c.benchmark_group("rebuild");
    group
        .throughput(Throughput::Elements(REBUILDS))
        .sample_size(20)
        .measurement_time(Duration::from_secs(3));
    group.bench_function("one thread", |b| b.iter(|| black_box(engine(&setup))));
    group.bench_function("floor", |b| b.iter(|| black_box(floor(black_box(FLOOR)))));
    group.finish();

    let mut group = c.benchmark_group("odds");
    let many = 32 * BLOCK;
    group
        .throughput(Throughput::Elements(many))
        .sample_size(10)
        .measurement_time(Duration::from_secs(3));
    for threads in [1, 2] {
        let pool = on_threads(threads);
        group.bench_function(format!("{threads} threads"), |b| {
            b.iter(|| pool.install(|| black_box(all_threads(&setup, many))));
        });
    }
    group.finish();
}

/// The demo's job on the bench after three assemblies.
fn on_the_bench() -> BenchJob {
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
    BenchJob {
        known: Known {
            mark_old: Some(-0.02),
            mark_new: Some(0.05),
            pinion_pack: Some(0.94),
            gauge: Some(0.86),
            ..Known::default()
        },
        assemblies: vec![
            fitted([0.87, 1.99, 2.12], [0.15, 0.17, 0.18, 0.15], [0.15, 0.0]),
            fitted([0.92, 1.97, 2.14], [0.16, 0.18, 0.18, 0.16], [0.0, -0.05]),
            fitted([0.88, 1.97, 2.14], [0.17, 0.18, 0.19, 0.17], [0.0, 0.0]),
        ],
    }
}

/// What next, from question to answer.
fn what_next(c: &mut Criterion) {
    let (setup, job) = (demo(), on_the_bench());
    let mut group = c.benchmark_group("next");
    group
        .sample_size(10)
        .measurement_time(Duration::from_secs(5));
    for threads in [1, 2] {
        let pool = on_threads(threads);
        group.bench_function(format!("{threads} threads"), |b| {
            b.iter(|| pool.install(|| black_box(next(&Question::of(&setup, &job, 1)))));
        });
    }
    group.finish();
}

/// The shortest of some turns of each, in nanoseconds.
fn turn_by_turn<const N: usize>(sides: [&dyn Fn() -> f64; N]) -> [f64; N] {
    let mut best = [f64::INFINITY; N];
    for _ in 0..30 {
        for (side, best) in sides.iter().zip(&mut best) {
            let start = Instant::now();
            black_box(side());
            *best = best.min(start.elapsed().as_nanos() as f64);
        }
    }
    best
}

fn ratios(_: &mut Criterion) {
    let setup = demo();
    let per = REBUILDS as f64;
    let [ours, least] = turn_by_turn([&|| engine(&setup), &|| floor(black_box(FLOOR))]);
    println!(
        "one thread: {:.0} ns a rebuild, floor {:.0} ns, ratio {:.2}",
        ours / per,
        least / per,
        ours / least
    );
    let (one, two) = (on_threads(1), on_threads(2));
    let many = 32 * BLOCK;
    let [alone, both] = turn_by_turn([&|| one.install(|| all_threads(&setup, many)), &|| {
        two.install(|| all_threads(&setup, many))
    }]);
    println!(
        "the odds: {:.0} ns a rebuild on one thread, {:.0} ns on two, {:.2} times as fast",
        alone / many as f64,
        both / many as f64,
        alone / both
    );
}

criterion_group!(benches, rebuilds, what_next, ratios);
criterion_main!(benches);
