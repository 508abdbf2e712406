//! The drawer as JSON.

use serde_json::{Value, json};

use shimcast_sim::count::estimate::Estimate;
use shimcast_sim::stock::{Advice, DrawerOption, Saving, YearlyCost};

use super::Stock;
use crate::questions::drawer::json::{ShopHead, by_line, mm, money, order, series};
use crate::questions::json::estimate;

fn yearly(yearly: &YearlyCost) -> Value {
    let ends = |e: &Estimate| json!([e.low, e.high]);
    json!({
        "holding": yearly.holding.value,
        "waiting": yearly.waiting.value,
        "deliveries": yearly.deliveries.value,
        "total": yearly.total.value,
        "intervals": {
            "holding": ends(&yearly.holding),
            "waiting": ends(&yearly.waiting),
            "deliveries": ends(&yearly.deliveries),
            "total": ends(&yearly.total),
        },
    })
}

fn point(point: &DrawerOption) -> Value {
    json!({ "money": money(point.money), "job_fill": estimate(&point.service.job_fill) })
}

fn spared(spared: &Saving) -> Value {
    json!({ "compromised": estimate(&spared.compromised), "hours": estimate(&spared.hours) })
}

fn advice(advice: &Advice) -> Value {
    let add: Vec<Value> = advice
        .add
        .iter()
        .map(|add| {
            json!({
                "size": mm(add.size),
                "missed": estimate(&add.missed),
                "spared": spared(&add.spared),
            })
        })
        .collect();
    json!({
        "series": advice.series,
        "missed": estimate(&advice.missed),
        "cost": advice.cost.as_ref().map(spared),
        "add": add,
        "could_go": advice.could_go.iter().map(|size| mm(*size)).collect::<Vec<_>>(),
    })
}

/// The drawer.
pub(super) fn json(answer: &Stock) -> Value {
    let (stock, work) = (&answer.stock, &answer.work);
    let head = ShopHead {
        answer: "stock",
        seed: answer.seed,
        rebuilds: stock.rebuilds,
        work,
    };
    let drawer = &work.shop.shop.drawer;
    let rows = answer.rows();
    let too_many: Vec<Value> = rows
        .iter()
        .filter(|row| row.over() > 0)
        .map(|row| {
            json!({
                "series": row.shelf.name,
                "size": mm(row.size),
                "keep": row.keep,
                "have": row.have,
                "over": row.over(),
                "money": money(row.worth_over()),
            })
        })
        .collect();
    let counted = |(count, at): &(u32, DrawerOption)| {
        let mut counted = point(at);
        counted["count"] = json!(count);
        counted
    };
    let cheapest = &stock.cheapest;
    head.with(json!({
        "series": series(&work.shelves, &rows, true),
        "job_fill": estimate(&stock.plan.service.job_fill),
        "job_fill_by_line": by_line(&stock.plan.service),
        "held": stock.held,
        "money": money(stock.plan.money),
        "curve": stock.curve.iter().map(point).collect::<Vec<_>>(),
        "equal_counts": {
            "same_money": counted(&stock.equal.same_money),
            "same_service": stock.equal.same_service.as_ref().map(counted),
        },
        "yearly": yearly(&drawer.yearly(&stock.plan.service)),
        "cheapest": {
            "job_fill": estimate(&cheapest.service.job_fill),
            "money": money(cheapest.money),
            "yearly": yearly(&drawer.yearly(&cheapest.service)),
        },
        "sizes": stock.advice.iter().map(advice).collect::<Vec<_>>(),
        "order": order(&rows),
        "too_many": too_many,
        "ahead": stock.ahead.as_ref().map(|(service, days)| {
            json!({ "days": days, "job_fill": estimate(&service.job_fill) })
        }),
    }))
}
