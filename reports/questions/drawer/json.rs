//! What the JSON of drawer and box have in common.

use serde_json::{Value, json};

use shimcast_sim::stock::{Service, Shelf};

use super::Work;
use super::list::{QUARTER, Row};
use crate::questions::json::{assumed, estimate, head, joined, list};

/// The head of an answer about a whole shop.
#[derive(Debug, Clone, Copy)]
pub(crate) struct ShopHead<'a> {
    /// The command.
    pub(crate) answer: &'a str,
    /// Seed of the run.
    pub(crate) seed: u64,
    /// Rebuilds done.
    pub(crate) rebuilds: u64,
    /// The shop's work.
    pub(crate) work: &'a Work,
}

impl ShopHead<'_> {
    /// An answer of these fields after the head.
    pub(crate) fn with(&self, fields: Value) -> Value {
        let jobs = list(self.work.lines(), |(setup, per_month)| {
            json!({
                "axle": setup.axle.name,
                "per_month": per_month,
                "gears": setup.gears.word(),
                "bearings": setup.bearings.word(),
            })
        });
        let shop = &self.work.shop.shop;
        let head = head(self.answer, Some(self.seed), self.rebuilds, false);
        let work = json!({
            "shop": shop.name,
            "jobs": jobs,
            "assumptions": assumed(&self.work.assumptions),
            "currency": shop.currency,
        });
        joined(joined(head, work), fields)
    }
}

/// How well each line of jobs is served, in the order of `jobs`.
pub(crate) fn by_line(service: &Service) -> Value {
    list(&service.by_line, estimate)
}

/// Money to a hundredth of a cent: sums of prices carry noise beyond.
pub(crate) fn money(amount: f64) -> f64 {
    (amount * 1e4).round() / 1e4
}

/// A thickness without noise.
pub(crate) fn mm(size: f64) -> f64 {
    (size * 1e6).round() / 1e6
}

/// What to keep of each size of each series, and what is used of it where that is for a year.
pub(crate) fn series(shelves: &[Shelf], rows: &[Row<'_>], a_year: bool) -> Value {
    let size = |row: &Row<'_>| {
        let mut size = json!({
            "size": mm(row.size),
            "keep": row.keep,
            "money": money(row.money()),
        });
        if a_year {
            size["used_per_year"] = json!(row.used.value);
            size["used_per_year_low"] = json!(row.used.low);
            size["used_per_year_high"] = json!(row.used.high);
            let worth = row.used.value * row.price;
            size["used_per_quarter"] = json!(QUARTER * row.used.value);
            size["used_money_per_quarter"] = json!(money(QUARTER * worth));
            size["used_money_per_year"] = json!(money(worth));
        }
        size
    };
    list(shelves, |shelf| {
        let own = rows.iter().filter(|row| row.shelf.name == shelf.name);
        json!({ "series": shelf.name, "sizes": list(own, size) })
    })
}

/// A size with what to keep of it and what there is, then these fields.
pub(crate) fn kept(row: &Row<'_>, fields: Value) -> Value {
    let size = json!({
        "series": row.shelf.name, "size": mm(row.size), "keep": row.keep, "have": row.have,
        "on_order": row.on_order,
    });
    joined(size, fields)
}

/// What to order.
pub(crate) fn order(rows: &[Row<'_>]) -> Value {
    let missing = rows.iter().filter(|row| row.packs() > 0);
    list(missing, |row| {
        let packs = json!({
            "packs": row.packs(),
            "pack_of": row.shelf.pack_of,
            "pieces": row.pieces(),
            "money": money(row.order_money()),
            "supplier": row.supplier(),
            "part_number": row.part_number(),
            "least_order": row.least_order(),
        });
        kept(row, packs)
    })
}
