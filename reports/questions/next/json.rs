//! One axle on the bench as JSON.

use serde_json::{Value, json};
use shimcast_sim::bench::PackPlace;
use shimcast_sim::next::{Draw, Figure, Move, PreloadNext, Quantiles};

use super::OnTheBench;
use super::words::key;
use crate::questions::json::{Head, estimate, list};

pub(super) fn json(of: &OnTheBench) -> Value {
    let answer = &of.answer;
    let head = Head {
        answer: "next",
        seed: of.seed,
        rebuilds: answer.draws,
        partial: false,
        setup: &of.setup,
        assumptions: &of.assumptions,
    };
    let belief = &answer.belief;
    let surprise = list(&answer.surprises, |surprise| {
        let suspects = list(
            &surprise.suspects,
            |one| json!({ "what": of.slip(&one.slip), "times": one.times }),
        );
        let chance = &surprise.chance;
        json!({
            "entry": surprise.entry,
            "chance": chance.value,
            "chance_interval": [chance.low, chance.high],
            "suspects": suspects,
        })
    });
    head.with(json!({
        "job": {
            "name": of.job.name,
            "assemblies": of.job.bench.assemblies.len(),
            "done": of.job.done.as_ref().map(super::done::json),
        },
        "effective": answer.effective,
        "surprise": surprise,
        "belief": (of.best().is_some() || of.last().is_some()).then(|| json!({
            "depth": figure(&belief.depth),
            "ring": figure(&belief.ring),
            "backlash": figure(&belief.backlash),
            "variation": figure(&belief.variation),
            "closure": figure(&belief.closure),
            "drive": figure(&belief.drive),
            "coast": figure(&belief.coast),
        })),
        "path": list(&answer.path, |stood| {
            let [depth, ring] = [stood.depth, stood.ring]
                .map(|[mean, sd]| json!({ "mean": mean, "sd": sd }));
            json!({ "depth": depth, "ring": ring })
        }),
        "cloud": cloud(&answer.cloud),
        "pack_rates": {
            "depth_per_pinion": answer.pack_rates.depth_per_pinion,
            "ring_share": answer.pack_rates.ring_share,
        },
        "as_it_stands": answer.as_it_stands.as_ref().map(|sits| json!({
            "right": estimate(&sits.right),
            "clearly_out": estimate(&sits.clearly_out),
        })),
        "moves": list(in_order(of), |one| a_move(of, one)),
        "expected": answer.expected.as_ref().map(|expected| json!({
            "backlash": {
                "smallest": quantiles(&expected.smallest),
                "largest": quantiles(&expected.largest),
            },
            "drive": quantiles(&expected.drive),
            "coast": quantiles(&expected.coast),
        })),
        "preload": answer.preload.as_ref().map(preload),
        "would_narrow": answer.would_narrow.as_ref().map(|narrowing| json!({
            "key": key(narrowing.entry, narrowing.reading),
            "depth": narrowing.depth,
            "backlash": narrowing.backlash,
            "closure": narrowing.closure,
        })),
    }))
}

/// Draws of equal weight, figure by figure.
fn cloud(of: &[Draw]) -> Value {
    json!({
        "depth": list(of, |draw| json!(tidy(draw.depth))),
        "ring": list(of, |draw| json!(tidy(draw.ring))),
        "closure": list(of, |draw| json!(tidy(draw.closure))),
        "right": list(of, |draw| json!(draw.right)),
    })
}

/// The moves, the one that is advised first.
fn in_order(of: &OnTheBench) -> impl Iterator<Item = &Move> {
    let best = of.best();
    let is_best = move |one: &&Move| best.is_some_and(|best| std::ptr::eq(best, *one));
    let others = of.answer.moves.iter().filter(move |one| !is_best(one));
    best.into_iter().chain(others)
}

fn a_move(of: &OnTheBench, one: &Move) -> Value {
    let built = of.shims(one);
    let shims = built.as_ref().map_or_else(
        |_| Value::Null,
        |shims| {
            list(shims, |shim| {
                json!({
                    "series": shim.series,
                    "size": tidy(shim.size),
                    "count": shim.count,
                    "place": place(shim.place),
                })
            })
        },
    );
    json!({
        "pinion": tidy(one.pinion),
        "ring": tidy(one.ring),
        "far": tidy(one.far),
        "accept": one.accept,
        "takes_apart": one.takes_apart,
        "own": one.own,
        "shims": shims,
        "reads_inside": one.reads_inside.as_ref().map(estimate),
        "right": estimate(&one.right),
        "clearly_out": estimate(&one.clearly_out),
        "assemblies": estimate(&one.assemblies),
        "hours": estimate(&one.hours),
        "cost": estimate(&one.cost),
        "dearer": estimate(&one.dearer),
        "less_than_best": one.less_than_best,
    })
}

fn place(place: PackPlace) -> &'static str {
    match place {
        PackPlace::Pinion => "pinion",
        PackPlace::RingSide => "ring",
        PackPlace::FarSide => "far",
        PackPlace::Spacer => "preload",
    }
}

/// A sum without the noise of its addition.
fn tidy(mm: f64) -> f64 {
    (mm * 1e6).round() / 1e6
}

fn figure(of: &Figure) -> Value {
    let [mean, sd] = of.before;
    json!({
        "mean": of.mean,
        "sd": of.sd,
        "p05": of.p05,
        "p50": of.p50,
        "p95": of.p95,
        "before": { "mean": mean, "sd": sd },
    })
}

fn quantiles(of: &Quantiles) -> Value {
    json!({ "p05": of.p05, "p50": of.p50, "p95": of.p95 })
}

fn preload(of: &PreloadNext) -> Value {
    match of {
        PreloadNext::Spacer {
            pack,
            fitted,
            torque,
            inside,
        } => json!({
            "by": "spacer",
            "pack": tidy(*pack),
            "fitted": fitted,
            "torque": quantiles(torque),
            "inside": estimate(inside),
        }),
        PreloadNext::Sleeve {
            degrees,
            inside,
            goes,
        } => json!({
            "by": "sleeve",
            "degrees": quantiles(degrees),
            "inside": estimate(inside),
            "goes": list(goes, |go| json!({
                "degrees": go.degrees,
                "inside": estimate(&go.inside),
                "past": estimate(&go.past),
            })),
        }),
        _ => Value::Null,
    }
}
