//! The odds as JSON.

use serde_json::{Value, json};

use shimcast_sim::bench::setup::Setup;
use shimcast_sim::count::estimate::Moments;
use shimcast_sim::odds::{Hours, Odds, WindowShares};

use crate::questions::json::{Head, estimate};

/// The odds.
pub(super) fn json(head: &Head<'_>, odds: &Odds) -> Value {
    let effort = &odds.effort;
    let landed = |landed: &WindowShares| {
        json!({
            "backlash": estimate(&landed.backlash),
            "pattern": estimate(&landed.pattern),
            "side_closure": estimate(&landed.side_closure),
            "depth": estimate(&landed.depth),
            "all": estimate(&landed.all),
        })
    };
    let mut handed_over = landed(&odds.handed_over);
    handed_over["pinion_torque"] = estimate(&odds.pinion_torque);
    handed_over["clearly_out"] = estimate(&odds.clearly_out);
    head.with(json!({
        "geometry": geometry(head.setup),
        "first_assembly": landed(&odds.first_assembly),
        "handed_over": handed_over,
        "effort": {
            "finished": estimate(&effort.finished),
            "compromised": estimate(&effort.compromised),
            "accepted_at_once": estimate(&effort.accepted_at_once),
            "assemblies": {
                "mean": estimate(&effort.assemblies),
                "shares": effort.assembly_shares,
            },
            "pinion_changes": estimate(&effort.pinion_changes),
            "side_changes": estimate(&effort.side_changes),
            "reseats": estimate(&effort.reseats),
            "preload_tries": estimate(&effort.preload_tries),
            "hours": hours(&effort.hours),
        },
        "spread": {
            "first_depth": moments(&odds.spread.depth),
            "first_backlash": moments(&odds.spread.backlash),
            "first_closure": moments(&odds.spread.closure),
        },
        "packs": {
            "pinion": packs(&odds.packs.pinion),
            "ring_side": packs(&odds.packs.ring_side),
            "far_side": packs(&odds.packs.far_side),
            "preload": packs(&odds.packs.preload),
        },
    }))
}

/// Hours of a job.
pub fn hours(hours: &Hours) -> Value {
    json!({
        "mean": estimate(&hours.mean),
        "p50": estimate(&hours.p50),
        "p80": estimate(&hours.p80),
        "p90": estimate(&hours.p90),
        "p95": estimate(&hours.p95),
    })
}

fn geometry(setup: &Setup) -> Value {
    let (geometry, rates) = (&setup.geometry, &setup.rates);
    json!({
        "ratio": geometry.ratio,
        "pinion_pitch_angle": geometry.pinion_pitch_angle.to_degrees(),
        "ring_pitch_angle": geometry.ring_pitch_angle.to_degrees(),
        "ring_spiral_angle": geometry.ring_spiral_angle.to_degrees(),
        "drive_pressure_angle": geometry.drive_pressure_angle.to_degrees(),
        "coast_pressure_angle": geometry.coast_pressure_angle.to_degrees(),
        "backlash_per_ring_move": rates.per_ring_move,
        "backlash_per_depth": rates.per_depth,
        "backlash_per_offset": rates.per_offset,
        "backlash_per_arcminute": rates.per_arcminute,
    })
}

fn moments(moments: &Moments) -> Value {
    json!({ "mean": moments.mean(), "sd": moments.deviation() })
}

fn packs(packs: &[(f64, f64)]) -> Value {
    packs
        .iter()
        .map(|(thickness, share)| {
            json!({ "thickness": (thickness * 1e6).round() / 1e6, "share": share })
        })
        .collect()
}
