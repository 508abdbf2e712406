use std::ops::ControlFlow;

use super::*;
use crate::axle::Condition;
use crate::demo;
use crate::odds::odds;
use crate::quote::quote;

const GRAIN: Grain = Grain {
    length: 0.001,
    torque: 0.01,
};

fn setup() -> Setup {
    Setup::new(demo::axle(), demo::shop(), Condition::New, Condition::New)
        .expect("the built-in job")
}

fn all(until: Until) -> Whole {
    whole(
        &setup(),
        ShimsCharged::FinallyFitted,
        GRAIN,
        1,
        until,
        &mut |_| ControlFlow::Continue(()),
    )
}

fn gathered(rebuilds: u64) -> Pictures {
    all(Until::Rebuilds(rebuilds)).pictures
}

#[test]
fn one_pass_gives_what_each_answer_gives_alone() {
    for until in [Until::Rebuilds(5000), Until::Within(0.01)] {
        let mut watch = |_| ControlFlow::Continue(());
        let whole = all(until);
        assert_eq!(whole.odds, odds(&setup(), 1, until, &mut watch));
        let quote = quote(&setup(), ShimsCharged::FinallyFitted, 1, until, &mut watch);
        assert_eq!(whole.quote, quote);
        assert_eq!(whole.pictures.rebuilds, whole.odds.rebuilds);
    }
}

#[test]
fn pictures_and_odds_count_the_same_rebuilds() {
    const N: u64 = 9000;
    let pictures = gathered(N);
    let odds = odds(&setup(), 1, Until::Rebuilds(N), &mut |_| {
        ControlFlow::Continue(())
    });
    let finished: u64 = pictures.assemblies.iter().map(|ended| ended.finished).sum();
    let right: u64 = pictures.assemblies.iter().map(|ended| ended.right).sum();
    assert_eq!(Estimate::share(finished, N), odds.effort.finished);
    assert_eq!(Estimate::share(right, finished), odds.handed_over.all);
    let clearly = pictures.assemblies.iter().map(|ended| ended.clearly_out);
    assert_eq!(Estimate::share(clearly.sum(), finished), odds.clearly_out);
    assert_eq!(pictures.first.backlash.total(), N);
    assert_eq!(pictures.handed_over.backlash.total(), finished);
    assert_eq!(pictures.pinion_torque.total(), finished);
    for (ended, share) in pictures.assemblies.iter().zip(&odds.effort.assembly_shares) {
        assert_eq!((ended.finished + ended.given_up) as f64 / N as f64, *share);
    }
    // bin by bin in exact steps: what lies in the closure window is what the odds count
    let window = setup().axle.windows.side_closure;
    let closure = pictures.first.closure.bins(window.low, window.width(), 1);
    let inside = Estimate::share(closure.counts[0], N);
    assert!((inside.value - odds.first_assembly.side_closure.value).abs() < 1e-9);
    // a window without limits along the tooth and up it at once is the pattern's on both flanks
    let [drive, coast] = pictures.first.flanks;
    let both = odds.first_assembly.pattern.value;
    assert!(drive.inside.value >= both && coast.inside.value >= both);
    assert!(drive.inside.value + coast.inside.value - 1.0 <= both);
    let hours = pictures.hours.quantile(0.5).value;
    assert!((hours - odds.effort.hours.p50.value).abs() < 0.02);
}

#[test]
fn the_same_rebuilds_are_shown_however_long_the_run() {
    let (short, long) = (gathered(900), gathered(9000));
    assert_eq!(short.points, long.points);
    assert_eq!(short.points.len() as u64, SHOWN);
    assert_eq!(gathered(3).points, long.points[..3]);
    let right = short.points.iter().filter(|point| point.right_first);
    // about 27 in 100, far from none and from all
    assert!((100..400).contains(&right.count()));
}

#[test]
fn threads_change_no_picture() {
    let on = |threads| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads);
        pool.build().expect("threads").install(|| gathered(20_000))
    };
    assert_eq!(on(1), on(2));
    assert_eq!(on(1), on(8));
}
