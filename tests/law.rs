//! The law of the simulation: what rebuilds come to must not change when they are drawn in another
//! way. Figures recorded before a change of the random streams, with their errors, against those
//! of today.
//!
//! `RECORD_LAW=1 cargo test --release law` records anew: only for a meant change of the model, and
//! from the version before any change of streams.

use std::fmt::Write as _;
use std::ops::ControlFlow;

use shimcast::files::Source;
use shimcast_sim::axle::Condition;
use shimcast_sim::bench::setup::Setup;
use shimcast_sim::chance::run::Until;
use shimcast_sim::odds::{Odds, WindowShares, odds};

use crate::given::{example, read};

/// Rebuilds of one recorded run, and how many runs of seeds of their own.
const RECORDED: (u64, u64) = (65_536, 64);
/// Rebuilds today.
const TODAY: u64 = 1_000_000;
/// Standard errors of a difference: 145 comparisons, so by chance alone the test fails once in
/// 1000.
const SIGMAS: f64 = 4.5;

/// A job: its files, what is kept, and figures set by key.
struct Job {
    name: &'static str,
    axle: Source,
    shop: Source,
    kept: (Condition, Condition),
    set: &'static [&'static str],
}

/// Five jobs that between them meet every shape of a tolerance, seat, start and habit.
fn jobs() -> Vec<Job> {
    use Condition::{Kept, New};
    let north_bench = || example("north-bench.shop.toml");
    vec![
        Job {
            name: "sleeve, side shims outboard, as the files say",
            axle: example("rowan-215.axle.toml"),
            shop: north_bench(),
            kept: (New, New),
            set: &[],
        },
        Job {
            name: "spacer, side shims behind the bearings, heights measured, coarse spacer shims",
            axle: example("sorrel-71.axle.toml"),
            shop: north_bench(),
            kept: (New, New),
            set: &[
                "bench.bearing_heights=\"measured\"",
                "instruments.micrometer=\"none\"",
                "bench.smallest_move=0.05",
                "shims.T-11in.sizes=[0.005, 0.010, 0.020]",
                "windows.pinion_torque=[16, 22]",
            ],
        },
        Job {
            name: "every shape; gauge, zero lash, halving, guard, torque rise, pairs kept",
            axle: example("rowan-215.axle.toml"),
            shop: north_bench(),
            kept: (Kept, New),
            set: &[
                "housing.head_seat={ nominal = 121.00, tol = 0.06, shape = \"uniform\" }",
                "housing.ring_seat={ nominal = 96.01, tol = 0.08, shape = \"triangular\" }",
                "carrier.shoulders={ shape = \"measured\", values = [139.97, 140.0, 140.01, 140.02] }",
                "housing.offset={ shape = \"discrete\", values = [-0.03, 0.02], weights = [2, 3] }",
                "pinion_preload.torque_per_force={ nominal = 0.28, cv = 0.2, shape = \"lognormal\" }",
                "gears.ring_deviation={ minus = 0.05, plus = 0.09, cpk = 0.6, inspected = true }",
                "housing.shaft_angle={ sigma = 0.6, shape = \"half-normal\" }",
                "bench.pinion_start=\"gauge\"",
                "bench.side_start=\"zero lash\"",
                "bench.correction=\"halving\"",
                "bench.side_check=\"torque rise\"",
                "bench.guard=0.05",
            ],
        },
        Job {
            name: "screw adjusters, cartridge flange, usual packs, narrow windows, few assemblies",
            axle: example("rowan-215.axle.toml"),
            shop: north_bench(),
            kept: (New, New),
            set: &[
                "side_shims.seat=\"screw adjusters\"",
                "bench.notch=0.04",
                "pinion_shim.seat=\"cartridge flange\"",
                "housing.head_seat.nominal=119.20",
                "bench.pinion_start=\"usual\"",
                "bench.side_start=\"usual\"",
                "windows.backlash=[0.15, 0.19]",
                "windows.pattern.profile=0.09",
                "windows.indicator=\"square to the tooth\"",
                "instruments.dial.indicator=\"square to the tooth\"",
                "instruments.dial.step=0",
                "bench.backlash_points=6",
                "bench.most_assemblies=4",
                "bench.learns=false",
                "bench.mark_slip=0.3",
            ],
        },
        Job {
            name: "bearings kept, no set-up bearings, often reseated, the third axle",
            axle: example("tamarack-88.axle.toml"),
            shop: example("quay-lane.shop.toml"),
            kept: (New, Kept),
            set: &["windows.backlash_variation=0.0015"],
        },
    ]
}

impl Job {
    fn setup(&self) -> Setup {
        let loaded = read(&self.axle, &self.shop, self.set);
        let (gears, bearings) = self.kept;
        Setup::new(loaded.axle, loaded.shop, gears, bearings)
            .unwrap_or_else(|flaws| panic!("{}: {flaws:?}", self.name))
    }
}

fn odds_of(setup: &Setup, seed: u64, rebuilds: u64) -> Odds {
    odds(setup, seed, Until::Rebuilds(rebuilds), &mut |_| {
        ControlFlow::Continue(())
    })
}

/// The figures that are held, by name.
fn figures(odds: &Odds) -> [(&'static str, f64); 29] {
    let landed = |l: &WindowShares| {
        [l.backlash, l.pattern, l.side_closure, l.depth, l.all].map(|estimate| estimate.value)
    };
    let first = landed(&odds.first_assembly);
    let last = landed(&odds.handed_over);
    let effort = &odds.effort;
    let spread = &odds.spread;
    [
        ("first: backlash", first[0]),
        ("first: pattern", first[1]),
        ("first: side closure", first[2]),
        ("first: depth", first[3]),
        ("first: all", first[4]),
        ("handed over: backlash", last[0]),
        ("handed over: pattern", last[1]),
        ("handed over: side closure", last[2]),
        ("handed over: depth", last[3]),
        ("handed over: pinion torque", odds.pinion_torque.value),
        ("handed over: all", last[4]),
        ("handed over: clearly out", odds.clearly_out.value),
        ("finished", effort.finished.value),
        ("compromised", effort.compromised.value),
        ("assemblies", effort.assemblies.value),
        ("pinion changes", effort.pinion_changes.value),
        ("side changes", effort.side_changes.value),
        ("reseats", effort.reseats.value),
        ("preload tries", effort.preload_tries.value),
        ("hours: mean", effort.hours.mean.value),
        ("hours: p50", effort.hours.p50.value),
        ("hours: p80", effort.hours.p80.value),
        ("hours: p95", effort.hours.p95.value),
        ("depth: mean", spread.depth.mean()),
        ("depth: sigma", spread.depth.deviation()),
        ("backlash: mean", spread.backlash.mean()),
        ("backlash: sigma", spread.backlash.deviation()),
        ("closure: mean", spread.closure.mean()),
        ("closure: sigma", spread.closure.deviation()),
    ]
}

/// A figure as recorded: its job, name, value and standard error.
type Recorded<'a> = (&'a str, &'a str, f64, f64);

fn recorded(text: &str) -> Vec<Recorded<'_>> {
    text.lines()
        .map(|line| {
            let cells: Vec<&str> = line.split('\t').collect();
            let [job, name, value, error] = cells[..] else {
                panic!("four cells in {line:?}");
            };
            (job, name, value.parse().unwrap(), error.parse().unwrap())
        })
        .collect()
}

const FILE: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/law.tsv");

fn record() {
    let (rebuilds, runs) = RECORDED;
    let mut text = String::new();
    for job in jobs() {
        let setup = job.setup();
        let all: Vec<_> = (0..runs)
            .map(|seed| figures(&odds_of(&setup, 1000 + seed, rebuilds)))
            .collect();
        let n = runs as f64;
        for (i, (name, _)) in all[0].iter().enumerate() {
            let mean = all.iter().map(|run| run[i].1).sum::<f64>() / n;
            let squares: f64 = all.iter().map(|run| (run[i].1 - mean).powi(2)).sum();
            let error = (squares / (n - 1.0) / n).sqrt();
            writeln!(text, "{}\t{name}\t{mean:.9}\t{error:.3e}", job.name).unwrap();
        }
    }
    std::fs::write(FILE, text).unwrap();
}

#[test]
#[cfg_attr(
    debug_assertions,
    ignore = "takes minutes without optimisation: use --release"
)]
fn the_law_is_as_recorded() {
    if std::env::var_os("RECORD_LAW").is_some() {
        record();
    }
    let text = std::fs::read_to_string(FILE).expect("tests/law.tsv is there");
    let recorded = recorded(&text);
    let (rebuilds, runs) = RECORDED;
    let wider = (1.0 + (rebuilds * runs) as f64 / TODAY as f64).sqrt();
    let mut compared = 0;
    let mut apart = Vec::new();
    for job in jobs() {
        let today = odds_of(&job.setup(), 7, TODAY);
        for (name, value) in figures(&today) {
            let (_, _, before, error) = recorded
                .iter()
                .find(|r| (r.0, r.1) == (job.name, name))
                .unwrap_or_else(|| panic!("{}: {name} was not recorded", job.name));
            // what never came up in so many rebuilds is not known to be nothing
            let sigmas = (value - before) / (error.max(1e-6) * wider);
            compared += 1;
            if sigmas.is_nan() || sigmas.abs() >= SIGMAS {
                apart.push(format!("{}: {name} {before} then, {value} now", job.name));
            }
        }
    }
    assert_eq!(compared, 5 * 29);
    assert!(apart.is_empty(), "{}", apart.join("\n"));
}
