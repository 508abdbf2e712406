//! One rebuild in order, as JSON.

use serde_json::{Value, json};

use shimcast_sim::bench::outcome::{Inside, Outcome};

use super::Account;
use crate::parts::drawn;
use crate::questions::json::{Head, list};

/// One rebuild: its parts, every step in order, what came of it.
pub(super) fn json(asked: &Account<'_>) -> Value {
    let story = asked.story;
    let rebuild = &story.rebuild;
    let head = Head {
        answer: "follow",
        seed: asked.seed,
        rebuilds: 1,
        partial: false,
        setup: asked.setup,
        assumptions: asked.assumptions,
    };
    let parts = list(
        drawn(asked.setup, story),
        |part| json!({ "key": part.key, "value": part.value, "middle": part.middle }),
    );
    head.with(json!({
        "rebuild": story.number,
        "found": asked.found,
        "parts": parts,
        "marks": { "old": story.parts.old_pair.mark, "new": story.parts.pair.mark },
        "steps": asked.steps(),
        "outcome": match story.outcome {
            Outcome::GivenUp => "given up",
            Outcome::WronglyPassed { .. } => "wrongly passed",
            Outcome::Right => "right",
        },
        "clearly_out": story.outcome.is_clearly_out(),
        "compromised": rebuild.compromised,
        "assemblies": rebuild.assemblies,
        "pinion_changes": rebuild.pinion_changes,
        "side_changes": rebuild.side_changes,
        "reseats": rebuild.reseats,
        "preload_tries": rebuild.preload_tries,
        "cones_pulled": rebuild.cones_pulled,
        "minutes": story.minutes,
        "first_assembly": inside(story.first, None),
        "handed_over": rebuild.finished.then(|| inside(story.last, story.torque_inside)),
        "pinion_torque": rebuild.pinion_torque,
    }))
}

fn inside(inside: Inside, torque: Option<bool>) -> Value {
    let mut value = json!({
        "backlash": inside.backlash,
        "pattern": inside.pattern,
        "side_closure": inside.closure,
        "depth": inside.depth,
        "all": inside.all() && torque.unwrap_or(true),
    });
    if let Some(torque) = torque {
        value["pinion_torque"] = torque.into();
    }
    value
}
