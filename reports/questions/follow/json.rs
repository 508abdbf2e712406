//! One rebuild told, as JSON.

use serde_json::{Value, json};

use shimcast_sim::bench::minutes::Task;
use shimcast_sim::bench::outcome::Inside;
use shimcast_sim::bench::outcome::Outcome;
use shimcast_sim::bench::truth::Assembly;
use shimcast_sim::bench::{Basis, Decision, Event, Place};
use shimcast_sim::follow::Step;

use super::Followed;
use crate::parts::drawn;
use crate::questions::json::Head;
use crate::tasks;

/// One rebuild: its parts, every step in order, what came of it.
pub(super) fn json(asked: &Followed<'_>) -> Value {
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
    let parts: Vec<Value> = drawn(asked.setup, &story.parts)
        .iter()
        .map(|part| json!({ "key": part.key, "value": part.value, "middle": part.middle }))
        .collect();
    head.with(json!({
        "rebuild": story.number,
        "found": asked.found,
        "parts": parts,
        "marks": { "old": story.parts.old_pair.mark, "new": story.parts.pair.mark },
        "steps": story.steps.iter().map(step).collect::<Vec<_>>(),
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

fn step(step: &Step) -> Value {
    match step {
        Step::Operation(operation, minutes) => json!({
            "step": "operation",
            "operation": tasks::key(Task::of(*operation)),
            "minutes": minutes,
        }),
        Step::Event(event) => happened(event),
    }
}

fn happened(event: &Event) -> Value {
    match event {
        Event::PinionStart {
            basis,
            marks: [old, new],
            slipped,
            wanted,
        } => json!({
            "step": "pinion_start",
            "from": from(basis),
            "marks": { "old": old, "new": new },
            "wrong_way_round": slipped,
            "wanted": wanted,
        }),
        Event::Total {
            truth,
            found,
            wanted,
        } => json!({
            "step": "zero_end_play",
            "truth": truth,
            "reading": found,
            "wanted_total": wanted,
        }),
        Event::RingStart { basis, wanted } => json!({
            "step": "ring_start",
            "from": from(basis),
            "wanted": wanted,
        }),
        Event::Pack {
            place,
            wanted,
            printed,
            real,
            kept,
        } => json!({
            "step": "pack",
            "place": match place {
                Place::Pinion => "pinion",
                Place::RingSide => "ring_side",
                Place::FarSide => "far_side",
                Place::Spacer => "preload",
            },
            "wanted": wanted,
            "thickness": printed,
            "truth": real,
            "was_there": kept,
        }),
        Event::BoltedUp(truth) => assembly(truth),
        Event::Backlash { readings, truth } => json!({
            "step": "backlash",
            "truth": { "least": truth[0], "most": truth[1] },
            "readings": readings,
        }),
        Event::Learned { before, after } => json!({
            "step": "learned",
            "ring_belief": { "before": before, "after": after },
        }),
        Event::TorqueRise { truth, reading } => json!({
            "step": "torque_rise",
            "truth": truth,
            "reading": reading,
        }),
        Event::Pattern { truth, readings } => json!({
            "step": "pattern",
            "truth": { "drive_profile": truth[0], "coast_profile": truth[1] },
            "readings": { "drive_profile": readings[0], "coast_profile": readings[1] },
        }),
        Event::Decision(made) => decision(made),
        Event::Torque {
            closure,
            truth,
            reading,
        } => json!({
            "step": "pinion_torque",
            "closure": closure,
            "truth": truth,
            "reading": reading,
        }),
    }
}

fn assembly(truth: &Assembly) -> Value {
    let [drive_length, drive_profile, coast_length, coast_profile] = truth.pattern;
    json!({
        "step": "assembly",
        "truth": {
            "depth": truth.depth,
            "ring": truth.ring,
            "backlash": truth.backlash,
            "backlash_variation": 2.0 * truth.swing,
            "side_closure": truth.closure,
            "drive_length": drive_length,
            "drive_profile": drive_profile,
            "coast_length": coast_length,
            "coast_profile": coast_profile,
        },
    })
}

fn from(basis: &Basis) -> Value {
    match basis {
        Basis::OldPack {
            real,
            measured,
            heights,
        } => json!({
            "start": "old pack",
            "truth": real,
            "reading": measured,
            "height_difference": heights,
        }),
        Basis::Gauge { truth, reading } => json!({
            "start": "gauge",
            "truth": truth,
            "reading": reading,
        }),
        Basis::Usual { usual } => json!({ "start": "usual", "thickness": usual }),
        Basis::ZeroLash => json!({ "start": "zero lash" }),
    }
}

fn decision(made: &Decision) -> Value {
    let mut value = match made {
        Decision::Reseat { variation } => json!({ "do": "reseat", "variation": variation }),
        Decision::ChangeSides {
            mean,
            belief,
            backlash,
            preload,
        } => json!({
            "do": "change_sides",
            "mean": mean,
            "ring_belief": belief,
            "backlash_outside": backlash,
            "preload_outside": preload,
        }),
        Decision::SidesGoBack { mean } => json!({ "do": "sides_go_back", "mean": mean }),
        Decision::SidesCannotBeBettered { mean } => {
            json!({ "do": "leave_sides", "mean": mean })
        }
        Decision::ChangePinion {
            mean,
            wanted,
            taken,
        } => json!({
            "do": "change_pinion",
            "mean": mean,
            "wanted_deeper": wanted,
            "taken_deeper": taken,
        }),
        Decision::FlanksDisagree => json!({ "do": "leave_pinion", "mean": 0.0 }),
        Decision::MoveTooSmall { mean, move_there } => json!({
            "do": "leave_pinion",
            "mean": mean,
            "move_deeper": move_there,
        }),
        Decision::Accept => json!({ "do": "accept" }),
        Decision::GiveUp => json!({ "do": "give_up" }),
        Decision::SleeveTooFar => json!({ "do": "new_sleeve" }),
        Decision::TorqueAccepted => json!({ "do": "accept_torque" }),
        Decision::ChangeSpacer => json!({ "do": "change_spacer" }),
        Decision::SpacerGoesBack => json!({ "do": "spacer_goes_back" }),
        Decision::TorqueCannotBeBettered => json!({ "do": "leave_torque" }),
    };
    value["step"] = "decision".into();
    value
}
