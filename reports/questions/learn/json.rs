//! The shop's jobs beside the simulated ones, as JSON.

use serde_json::{Value, json};
use shimcast_sim::learn::{Difference, Tested};

use super::words::told;
use super::{LEVEL, Learned};
use crate::questions::json::{assumed, estimate, head, joined, list};

pub(super) fn json(of: &Learned) -> Value {
    let answer = head("learn", Some(of.seed), of.agreement.rebuilds, false);
    joined(
        answer,
        json!({
            "axle": of.loaded.axle.name,
            "shop": of.loaded.shop.name,
            "assumptions": assumed(&of.loaded.assumptions),
            "jobs": list(&of.jobs.read, |(file, job)| json!({ "file": file, "name": job.name })),
            "left_out": list(&of.jobs.left_out, |(file, why)| json!({ "file": file, "why": why })),
            "agreement": {
                "level": LEVEL,
                "chance": of.agreement.chance,
                "figures": list(&of.agreement.differences, |figure| difference(of, figure)),
            },
        }),
    )
}

fn difference(of: &Learned, figure: &Difference) -> Value {
    json!({
        "figure": told(figure.figure, &of.setup, of.loaded.printed()).key,
        "jobs": figure.shop.len(),
        "mean": estimate(&figure.mean),
        "simulated_mean": figure.simulated_mean,
        "place": figure.place.as_ref().map(tested),
        "scatter": figure.scatter.as_ref().map(tested),
    })
}

fn tested(of: &Tested) -> Value {
    joined(
        estimate(&of.found),
        json!({ "chance": of.chance, "odd": of.chance <= LEVEL }),
    )
}
