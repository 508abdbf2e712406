//! What stands in the JSON of drawer and box alike.

use serde_json::{Value, json};

use shimcast_sim::stock::{Service, Shelf};

use super::Work;
use super::list::Row;
use crate::questions::json::{estimate, head, joined};

/// What stands at the head of an answer about a whole shop.
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
        let lines = self.work.lines().into_iter();
        let jobs: Vec<Value> = lines
            .map(|(setup, per_month)| {
                json!({
                    "axle": setup.axle.name,
                    "per_month": per_month,
                    "gears": setup.gears.word(),
                    "bearings": setup.bearings.word(),
                })
            })
            .collect();
        let shop = &self.work.shop.shop;
        let assumptions = self.work.assumptions.iter().map(|a| a.text.as_str());
        let head = head(self.answer, self.seed, self.rebuilds, false);
        let work = json!({
            "shop": shop.name,
            "jobs": jobs,
            "assumptions": assumptions.collect::<Vec<_>>(),
            "currency": shop.currency,
        });
        joined(joined(head, work), fields)
    }
}

/// How well each line of jobs is served, in the order of `jobs`.
pub(crate) fn by_line(service: &Service) -> Vec<Value> {
    service.by_line.iter().map(estimate).collect()
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
        }
        size
    };
    let of = |shelf: &Shelf| {
        let own = rows.iter().filter(|row| row.shelf.name == shelf.name);
        let sizes: Vec<Value> = own.map(size).collect();
        json!({ "series": shelf.name, "sizes": sizes })
    };
    shelves.iter().map(of).collect()
}

/// What to order.
pub(crate) fn order(rows: &[Row<'_>]) -> Value {
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
