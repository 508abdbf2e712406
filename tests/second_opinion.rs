//! The engine against a slow, plain second implementation of the same model, which shares no code,
//! no random figures and no reader with it: every seat, start, habit and shape, in both units.

use std::ops::ControlFlow;

use rayon::prelude::*;
use shimcast::files::{Source, load};
use shimcast_sim::axle::Condition;
use shimcast_sim::bench::money::ShimsCharged;
use shimcast_sim::bench::setup::Setup;
use shimcast_sim::chance::run::Until;
use shimcast_sim::count::estimate::{Estimate, Moments};
use shimcast_sim::pictures::{Grain, whole};

use crate::given::{Folder, text_of};
use crate::plain::{self, count::Mean};
use cases::{Case, cases};

mod cases;
mod replay;

// decisions are held rebuild by rebuild in `replay`; here parts, minutes and money count as well
// nine tenths of a difference's standard error come from the plain one's few rebuilds
const ENGINE: u64 = 40_000;
const PLAIN: u64 = 8_000;
/// Standard errors of a difference: some 2000 comparisons, so by chance alone the whole test fails
/// once in 900.
const SIGMAS: f64 = 5.0;
/// Of pictures, which are not looked at here.
const GRAIN: Grain = Grain {
    length: 0.1,
    torque: 1.0,
};

impl Case {
    /// The job as the engine takes it.
    fn setup(&self) -> Setup {
        let (axle_text, shop_text) = self.texts();
        let folder = Folder::new("second-opinion");
        let axle: Source = folder.file("a.axle.toml", axle_text.as_bytes());
        let shop: Source = folder.file("a.shop.toml", shop_text.as_bytes());
        let loaded = load(&axle, &shop, &[]).unwrap_or_else(|e| panic!("{}: {e}", self.name));
        let condition = |kept| {
            if kept {
                Condition::Kept
            } else {
                Condition::New
            }
        };
        let (gears, bearings) = self.kept;
        Setup::new(
            loaded.axle,
            loaded.shop,
            condition(gears),
            condition(bearings),
        )
        .unwrap_or_else(|flaws| panic!("{}: {flaws:?}", self.name))
    }
}

/// A comparison: what, how far apart, in standard errors of the difference.
fn apart(case: &Case) -> Vec<(String, f64)> {
    let (axle_text, shop_text) = case.texts();
    let (keep_gears, keep_bearings) = case.kept;
    let plain = plain::simulate(
        &axle_text,
        &shop_text,
        !keep_gears,
        !keep_bearings,
        PLAIN,
        77,
    );

    let setup = case.setup();
    let charged = ShimsCharged::FinallyFitted;
    let whole = whole(
        &setup,
        charged,
        GRAIN,
        5,
        Until::Rebuilds(ENGINE),
        &mut |_| ControlFlow::Continue(()),
    );
    let engine = &whole.odds;

    let mut rows = Vec::new();
    let mut share = |what: &str, e: &Estimate, p: f64, n: u64| {
        let pooled = (e.value * e.n as f64 + p * n as f64) / (e.n + n) as f64;
        let variance = pooled * (1.0 - pooled) * (1.0 / e.n as f64 + 1.0 / n as f64);
        rows.push((what.to_owned(), scaled(e.value - p, variance.sqrt())));
    };
    let (f, h) = (&engine.first_assembly, &engine.handed_over);
    let n = plain.first_assembly.n;
    share(
        "first backlash",
        &f.backlash,
        plain.first_assembly.backlash,
        n,
    );
    share("first pattern", &f.pattern, plain.first_assembly.pattern, n);
    share(
        "first closure",
        &f.side_closure,
        plain.first_assembly.side_closure,
        n,
    );
    share("first depth", &f.depth, plain.first_assembly.depth, n);
    share("first all", &f.all, plain.first_assembly.all, n);
    let n = plain.handed_over.n;
    share("last backlash", &h.backlash, plain.handed_over.backlash, n);
    share("last pattern", &h.pattern, plain.handed_over.pattern, n);
    share(
        "last closure",
        &h.side_closure,
        plain.handed_over.side_closure,
        n,
    );
    share("last depth", &h.depth, plain.handed_over.depth, n);
    share(
        "last torque",
        &engine.pinion_torque,
        plain.handed_over.pinion_torque,
        n,
    );
    share("last all", &h.all, plain.handed_over.all, n);
    share(
        "last clearly out",
        &engine.clearly_out,
        plain.handed_over.clearly_out,
        n,
    );
    let effort = &engine.effort;
    share("finished", &effort.finished, plain.effort.finished, PLAIN);
    share(
        "compromised",
        &effort.compromised,
        plain.effort.compromised,
        PLAIN,
    );
    for (i, p) in plain.effort.assembly_shares.iter().enumerate().take(3) {
        let value = effort.assembly_shares.get(i).copied().unwrap_or(0.0);
        let e = Estimate::share((value * ENGINE as f64).round() as u64, ENGINE);
        share(&format!("{} assemblies", i + 1), &e, *p, PLAIN);
    }

    let both = 1.0 / PLAIN as f64 + 1.0 / ENGINE as f64;
    let mut mean = |what: &str, e: f64, p: &Mean| {
        // what the few plain rebuilds never met still varies, by about the root of its mean
        let sd = if p.sd > 0.0 { p.sd } else { e.abs().sqrt() };
        rows.push((what.to_owned(), scaled(e - p.mean, sd * both.sqrt())));
    };
    mean(
        "assemblies",
        effort.assemblies.value,
        &plain.effort.assemblies,
    );
    mean(
        "pinion changes",
        effort.pinion_changes.value,
        &plain.effort.pinion_changes,
    );
    mean(
        "side changes",
        effort.side_changes.value,
        &plain.effort.side_changes,
    );
    mean("reseats", effort.reseats.value, &plain.effort.reseats);
    mean(
        "preload tries",
        effort.preload_tries.value,
        &plain.effort.preload_tries,
    );
    let prices = &setup.shop.prices;
    let for_a_cone = setup.shop.bench.cone_spoiled * prices.cone;
    let money = &whole.quote.money;
    mean(
        "cones pulled",
        money.cones.value / for_a_cone,
        &plain.effort.cones_pulled,
    );
    mean("cost", money.cost.value, &plain.effort.cost);
    mean(
        "minutes",
        60.0 * effort.hours.mean.value,
        &plain.effort.minutes,
    );
    let mut moments = |what: &str, e: &Moments, p: &Mean| {
        mean(what, e.mean(), p);
        let sd = Mean {
            mean: p.sd,
            // of a sigma; the factor allows for tails heavier than the normal's
            sd: 1.5 * p.sd / 2f64.sqrt(),
        };
        mean(&format!("sigma of {what}"), e.deviation(), &sd);
    };
    moments(
        "first depth",
        &engine.spread.depth,
        &plain.spread.first_depth,
    );
    moments(
        "first backlash",
        &engine.spread.backlash,
        &plain.spread.first_backlash,
    );
    moments(
        "first closure",
        &engine.spread.closure,
        &plain.spread.first_closure,
    );

    // an order-statistic interval is two standard errors either way, nearly
    let p80 = &effort.hours.p80;
    let error = p80.half_width() / 2.0 * (ENGINE as f64 / PLAIN as f64 + 1.0).sqrt();
    rows.push((
        "p80 of the hours".into(),
        scaled(p80.value - plain.effort.hours.p80, error),
    ));
    for (what, e, p) in [
        ("pinion packs", &engine.packs.pinion, &plain.packs.pinion),
        (
            "ring-side packs",
            &engine.packs.ring_side,
            &plain.packs.ring_side,
        ),
        (
            "far-side packs",
            &engine.packs.far_side,
            &plain.packs.far_side,
        ),
        ("spacer packs", &engine.packs.preload, &plain.packs.preload),
    ] {
        let (mean, _) = middle_of(e);
        let (plain_mean, sd) = middle_of(p);
        rows.push((what.into(), scaled(mean - plain_mean, sd * both.sqrt())));
    }
    rows
}

/// Standard errors apart; none where both are the same for certain.
fn scaled(difference: f64, error: f64) -> f64 {
    if difference.abs() < 1e-9 {
        0.0
    } else {
        difference / error
    }
}

/// Mean and standard deviation of the thickness of packs.
fn middle_of(packs: &[(f64, f64)]) -> (f64, f64) {
    let mean: f64 = packs.iter().map(|(t, share)| t * share).sum();
    let variance: f64 = packs
        .iter()
        .map(|(t, share)| share * (t - mean).powi(2))
        .sum();
    (mean, variance.sqrt())
}

#[test]
#[cfg_attr(
    debug_assertions,
    ignore = "takes minutes without optimisation: use --release"
)]
fn two_implementations_agree() {
    let cases = cases();
    let far: Vec<String> = cases
        .par_iter()
        .flat_map_iter(|case| {
            apart(case)
                .into_iter()
                .filter(|(_, sigmas)| sigmas.is_nan() || sigmas.abs() >= SIGMAS)
                .map(|(what, sigmas)| format!("{}: {what} {sigmas:.1} apart", case.name))
        })
        .collect();
    assert!(far.is_empty(), "{}", far.join("\n"));
}

#[test]
fn geometry_agrees_to_the_last_digits() {
    for name in [
        "rowan-215.axle.toml",
        "sorrel-71.axle.toml",
        "short.axle.toml",
    ] {
        let shop = text_of("north-bench.shop.toml");
        let plain = plain::simulate(text_of(name), shop, true, true, 1, 1).geometry;
        let loaded = load(&crate::given::example(name), &Source::BuiltIn, &[]).unwrap();
        let setup = Setup::new(loaded.axle, loaded.shop, Condition::New, Condition::New).unwrap();
        let (geometry, rates) = (&setup.geometry, &setup.rates);
        for (ours, theirs) in [
            (geometry.ring_pitch_angle, plain.big_gamma),
            (geometry.pinion_pitch_angle, plain.gamma),
            (geometry.ring_spiral_angle, plain.ring_spiral),
            (geometry.drive_pressure_angle, plain.drive_pressure),
            (rates.per_ring_move, plain.per_ring),
            (rates.per_depth, plain.per_depth),
            (rates.per_offset, plain.per_offset),
            (rates.per_arcminute, plain.per_arcminute),
        ] {
            assert!(
                (ours - theirs).abs() < 1e-9,
                "{name}: {ours} is not {theirs}"
            );
        }
    }
}
