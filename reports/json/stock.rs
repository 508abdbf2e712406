//! The drawer and the box as JSON.

use serde_json::{Value, json};

use shimcast_sim::axle::Condition;
use shimcast_sim::estimate::Estimate;
use shimcast_sim::setup::Setup;
use shimcast_sim::shop::Shop;
use shimcast_sim::stock::{Advice, Kit, Levels, Point, Service, Shelf, Spared, Stock, Yearly};

use super::{FORMAT, estimate, joined};
use crate::files::Assumption;
use crate::list::{Row, rows};

/// What stands at the head of an answer about a whole shop.
#[derive(Debug, Clone, Copy)]
pub struct ShopHead<'a> {
    /// The command.
    pub answer: &'a str,
    /// Seed of the run.
    pub seed: u64,
    /// Rebuilds done.
    pub rebuilds: u64,
    /// The shop.
    pub shop: &'a Shop,
    /// Its lines of jobs with how many come a month.
    pub lines: &'a [(&'a Setup, f64)],
    /// The series in the drawer.
    pub shelves: &'a [Shelf],
    /// Defaults in use.
    pub assumptions: &'a [Assumption],
}

impl ShopHead<'_> {
    fn with(&self, fields: Value) -> Value {
        let jobs: Vec<Value> = self
            .lines
            .iter()
            .map(|(setup, per_month)| {
                json!({
                    "axle": setup.axle.name,
                    "per_month": per_month,
                    "gears": Condition::word(setup.gears),
                    "bearings": Condition::word(setup.bearings),
                })
            })
            .collect();
        let answer = json!({
            "shimcast": env!("CARGO_PKG_VERSION"),
            "answer": self.answer,
            "format": FORMAT,
            "seed": self.seed,
            "rebuilds": self.rebuilds,
            "partial": false,
            "shop": self.shop.name,
            "jobs": jobs,
            "assumptions": self.assumptions.iter().map(|a| a.text.as_str()).collect::<Vec<_>>(),
            "currency": self.shop.currency,
        });
        joined(answer, fields)
    }
}

/// How well each line of jobs is served, in the order of `jobs`.
fn by_line(service: &Service) -> Vec<Value> {
    service.by_line.iter().map(estimate).collect()
}

/// Money to a hundredth of a cent: sums of prices carry noise beyond.
fn money(amount: f64) -> f64 {
    (amount * 1e4).round() / 1e4
}

fn mm(size: f64) -> f64 {
    (size * 1e6).round() / 1e6
}

fn series(shelves: &[Shelf], levels: &Levels, used: &[Vec<Estimate>]) -> Value {
    let all = rows(shelves, levels, None, used);
    shelves
        .iter()
        .map(|shelf| {
            let own = all.iter().filter(|row| row.shelf.name == shelf.name);
            let sizes: Vec<Value> = own
                .map(|row| {
                    json!({
                        "size": mm(row.size),
                        "keep": row.keep,
                        "money": money(row.money()),
                        "used_per_year": row.used.value,
                        "used_per_year_low": row.used.low,
                        "used_per_year_high": row.used.high,
                    })
                })
                .collect();
            json!({ "series": shelf.name, "sizes": sizes })
        })
        .collect()
}

fn order(rows: &[Row<'_>]) -> Value {
    rows.iter()
        .filter(|row| row.packs() > 0)
        .map(|row| {
            json!({
                "series": row.shelf.name,
                "size": mm(row.size),
                "keep": row.keep,
                "have": row.have,
                "packs": row.packs(),
                "pack_of": row.shelf.pack_of,
                "pieces": row.pieces(),
                "money": money(row.order_money()),
            })
        })
        .collect()
}

fn yearly(yearly: &Yearly) -> Value {
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

fn point(point: &Point) -> Value {
    json!({ "money": money(point.money), "job_fill": estimate(&point.service.job_fill) })
}

fn spared(spared: &Spared) -> Value {
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
pub fn stock(head: &ShopHead<'_>, stock: &Stock, have: Option<&Levels>) -> Value {
    let drawer = &head.shop.drawer;
    let used = &stock.plan.service.used;
    let rows = rows(head.shelves, &stock.plan.levels, have, used);
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
                "money": money(f64::from(row.over()) * row.price),
            })
        })
        .collect();
    let counted = |(count, at): &(u32, Point)| {
        let mut counted = point(at);
        counted["count"] = json!(count);
        counted
    };
    let cheapest = &stock.cheapest;
    head.with(json!({
        "series": series(head.shelves, &stock.plan.levels, used),
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

/// The box.
pub fn kit(head: &ShopHead<'_>, kit: &Kit, jobs: u32, finish: f64) -> Value {
    let service = &kit.plan.service;
    let rows = rows(head.shelves, &kit.plan.levels, None, &service.used);
    let sizes = |shelf: &Shelf| -> Vec<Value> {
        let own = rows.iter().filter(|row| row.shelf.name == shelf.name);
        own.map(
            |row| json!({ "size": mm(row.size), "keep": row.keep, "money": money(row.money()) }),
        )
        .collect()
    };
    head.with(json!({
        "trip": jobs,
        "finish": finish,
        "held": kit.held,
        "series": head
            .shelves
            .iter()
            .map(|shelf| json!({ "series": shelf.name, "sizes": sizes(shelf) }))
            .collect::<Vec<_>>(),
        "job_fill": estimate(&service.job_fill),
        "job_fill_by_line": by_line(service),
        "all_done": estimate(&service.all_done),
        "money": money(kit.plan.money),
        "order": order(&rows),
    }))
}
