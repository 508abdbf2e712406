//! The shop's jobs beside the simulated ones, as JSON.

use serde_json::{Value, json};
use shimcast_sim::learn::{Difference, Drift, Lesson, Shows, Tested};

use super::adopted::Moves;
use super::named::named;
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
            "trust": of.trust,
            "learned": list(&of.lessons, |lesson| learned(of, lesson)),
            "all_adopted": of.moves.last().map(moves),
            "over_time": list(&of.drift, |drift| over_time(of, drift)),
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

/// A figure in the model's units: mm, shares, minutes.
fn learned(of: &Learned, lesson: &Lesson) -> Value {
    let own = of.changed().find(|(changed, _)| *changed == lesson);
    json!({
        "key": named(&lesson.of, &of.setup, of.loaded.printed()).key,
        "files": lesson.before,
        "learned": estimate(&lesson.now.learned),
        "jobs_alone": lesson.now.alone,
        "worth_jobs": lesson.now.worth,
        "changes": lesson.changes(),
        "moves": own.map(|(_, of)| moves(of)),
    })
}

fn moves(of: &Moves) -> Value {
    json!({
        "handed_over": estimate(&of.job.handed_over),
        "hours": estimate(&of.job.hours),
        "cost": estimate(&of.job.money),
        "price": of.price,
        "drawer": of.drawer,
    })
}

fn over_time(of: &Learned, drift: &Drift) -> Value {
    let (shows, figures) = match drift.shows {
        Shows::Trend(halves) => ("trend", json!({ "halves": halves })),
        Shows::Alike(correlation) => ("alike", json!({ "correlation": correlation })),
    };
    joined(
        json!({
            "figure": told(drift.figure, &of.setup, of.loaded.printed()).key,
            "jobs": drift.jobs,
            "shows": shows,
            "chance": drift.chance,
            "odd": drift.chance <= LEVEL,
        }),
        figures,
    )
}
