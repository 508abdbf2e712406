//! With everything normal and nothing rounded, the first assembly is normal: its moments and
//! probabilities follow in closed form, by root-sum-square of the loops' coefficients.

use std::ops::ControlFlow;

use statrs::distribution::{ContinuousCDF, Normal};

use super::{SIGMAS, close};
use crate::axle::Condition;
use crate::axle::shims::{Series, Thickness};
use crate::axle::tolerance::Tolerance;
use crate::bench::setup::Setup;
use crate::chance::run::Until;
use crate::demo::{self, about};
use crate::odds::{Odds, odds};

const REBUILDS: u64 = 200_000;
/// Step of the shims: fine enough that choosing one adds nothing that shows.
const STEP: f64 = 0.001;

fn nothing_rounded() -> Setup {
    let (mut axle, mut shop) = (demo::axle(), demo::shop());
    axle.gears.depth_deviation = about(0.0, 0.10);
    axle.gears.mark.step = 0.0;
    shop.bench.mark_slip = 0.0;
    for series in &mut shop.shims {
        *series = Series {
            sizes: (1..=6000).map(|i| f64::from(i) * STEP).collect(),
            most_in_pack: 1,
            tolerance: Thickness::Limit(0.0),
            ..series.clone()
        };
    }
    Setup::new(axle, shop, Condition::New, Condition::New).unwrap()
}

fn ask(setup: &Setup) -> Odds {
    odds(setup, 31, Until::Rebuilds(REBUILDS), &mut |_| {
        ControlFlow::Continue(())
    })
}

/// Means and sigmas within their standard error: fails by chance once in 25 000.
#[test]
fn moments_of_the_first_assembly() {
    let setup = nothing_rounded();
    let odds = ask(&setup);
    let (kg, kp) = (setup.rates.per_ring_move, setup.rates.per_depth);
    let bearing = (0.1f64 / (3.0 * 1.33)).powi(2);
    let (cone, measured, shim) = (0.010f64.powi(2), 0.003f64.powi(2), 0.003f64.powi(2));
    let (mark, old_depth, old_backlash) = (0.010f64.powi(2), 0.020f64.powi(2), 0.015f64.powi(2));
    let end_play = 0.020f64.powi(2);
    let ring = (0.09f64 / 3.0).powi(2);
    let share = setup.axle.housing.ring_share;
    // dP = (T_old − T) − cone + e − measured + mark error − shim
    let depth = 2.0 * bearing + cone + old_depth + measured + mark + shim;
    // c = added + end play + both shims
    let closure = end_play + 2.0 * shim;
    // ring position: old against new bearing, cone, old against new pair, measured, own shim less
    // the share of it that closes the housing, the rest of the closure
    let position = 2.0 * bearing
        + cone
        + 2.0 * ring
        + measured
        + (1.0 - share).powi(2) * shim
        + share * share * (end_play + shim);
    // the old depth error is in both dP and the old backlash, and drops out
    let with_depth = 2.0 * bearing + cone + measured + 2.0 * mark + shim;
    let backlash = kg * kg * position + old_backlash + kp * kp * with_depth;
    let n = REBUILDS as f64;
    let rounding = STEP * STEP / 12.0;
    for (moments, mean, variance) in [
        (&odds.spread.depth, 0.0, depth + rounding),
        (&odds.spread.closure, 0.18, closure + rounding),
        (&odds.spread.backlash, 0.165, backlash + kg * kg * rounding),
    ] {
        let sigma = variance.sqrt();
        close(
            moments.mean(),
            mean,
            SIGMAS * sigma / n.sqrt() + STEP / 50.0,
        );
        close(
            moments.deviation(),
            sigma,
            SIGMAS * sigma / (2.0 * n).sqrt() + rounding / sigma,
        );
    }
}

/// Probabilities as differences of two normal distribution functions: fails by chance once in
/// 70 000.
#[test]
fn probabilities_of_the_first_assembly() {
    let setup = nothing_rounded();
    let odds = ask(&setup);
    for (share, moments, low, high) in [
        (
            &odds.first_assembly.depth,
            &odds.spread.depth,
            -setup.axle.windows.depth,
            setup.axle.windows.depth,
        ),
        (
            &odds.first_assembly.side_closure,
            &odds.spread.closure,
            setup.axle.windows.side_closure.low,
            setup.axle.windows.side_closure.high,
        ),
    ] {
        let normal = Normal::new(moments.mean(), moments.deviation()).unwrap();
        let expected = normal.cdf(high) - normal.cdf(low);
        let error = (expected * (1.0 - expected) / REBUILDS as f64).sqrt();
        close(share.value, expected, SIGMAS * error + 2e-4);
    }
}

/// Means and extremes of a sum of uniform figures (Irwin and Hall): each bearing's height uniform.
#[test]
fn uniform_parts_add_their_variances() {
    let mut setup = nothing_rounded();
    let uniform = Tolerance::uniform(28.0, 28.2).unwrap();
    setup.axle.bearings.head.height = uniform;
    let odds = ask(&setup);
    let bearing = 0.2f64.powi(2) / 12.0;
    let rest = 0.010f64.powi(2) + 0.020f64.powi(2) + 2.0 * 0.003f64.powi(2) + 0.010f64.powi(2);
    let sigma = (2.0 * bearing + rest).sqrt();
    let n = REBUILDS as f64;
    close(
        odds.spread.depth.mean(),
        0.0,
        SIGMAS * sigma / n.sqrt() + STEP / 50.0,
    );
    close(
        odds.spread.depth.deviation(),
        sigma,
        SIGMAS * sigma / (2.0 * n).sqrt() + 1e-5,
    );
}
