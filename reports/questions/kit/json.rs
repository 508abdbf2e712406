//! The box for the road as JSON.

use serde_json::{Value, json};
use shimcast_sim::stock::Unit;

use super::Kit;
use crate::questions::drawer::json::{ShopHead, by_line, money, order, series};
use crate::questions::json::estimate;

/// The box.
pub(super) fn json(answer: &Kit) -> Value {
    let (kit, work) = (&answer.kit, &answer.work);
    let head = ShopHead {
        answer: "kit",
        seed: answer.seed,
        rebuilds: kit.rebuilds,
        work,
    };
    let service = &kit.plan.service;
    let rows = answer.rows();
    head.with(json!({
        "trip": answer.trip.jobs,
        "finish": answer.trip.finish,
        "of": match answer.trip.of {
            Unit::Job => "jobs",
            Unit::Trip => "trips",
        },
        "held": kit.held,
        "series": series(&work.shelves, &rows, false),
        "job_fill": estimate(&service.job_fill),
        "job_fill_by_line": by_line(service),
        "all_done": estimate(&service.all_done),
        "money": money(kit.plan.worth),
        "order": order(&rows),
    }))
}
