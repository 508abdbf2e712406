//! The order slip: what to order now, from whom, and what that comes to.

use std::path::Path;

use serde_json::{Value, json};

use super::Stock;
use crate::cli;
use crate::document::{Cell, Column, Table, in_full};
use crate::faces;
use crate::questions::Form;
use crate::questions::context::STDOUT;
use crate::questions::drawer::list::Row;
use crate::questions::drawer::{json, tell};
use crate::questions::json::list;
use crate::spreadsheet::Decimal;

/// Whether the slip is printed instead of the answer.
pub(super) fn printed(args: &cli::Stock) -> bool {
    args.slip.as_deref() == Some(Path::new(STDOUT))
}

/// What is printed.
///
/// # Errors
/// In words, where more is to be printed than one list for a spreadsheet.
pub(super) fn form(args: &cli::Stock, decimal: Decimal) -> Result<Form, String> {
    let form = match printed(args) {
        true => Form::Csv(decimal),
        false => Form::asked(args.json, args.run.csv.as_deref(), decimal),
    };
    if form != Form::Csv(decimal) {
        return Ok(form);
    }
    let list = args.run.csv.as_deref() == Some(Path::new(STDOUT));
    if printed(args) && list {
        return Err(
            "--slip: one list can be printed, and --csv prints one already\n  help: name a file \
             after --csv or --slip"
                .into(),
        );
    }
    if args.log.is_some() {
        return Err(format!(
            "--log: a day book is no part of a list for a spreadsheet\n  help: name a file after \
             {}, which prints the answer with its day book as well",
            if list { "--csv" } else { "--slip" }
        ));
    }
    Ok(form)
}

/// What is to be ordered, by supplier; what the shop names none for comes last.
fn ordered<'a>(rows: &'a [Row<'a>]) -> Vec<&'a Row<'a>> {
    let mut ordered: Vec<&Row<'_>> = rows.iter().filter(|row| row.packs() > 0).collect();
    ordered.sort_by_key(|row| (row.supplier().is_none(), row.supplier()));
    ordered
}

/// What is ordered from one supplier.
struct FromOne<'a> {
    supplier: Option<&'a str>,
    sizes: u32,
    packs: u32,
    pieces: u32,
    money: f64,
}

impl FromOne<'_> {
    fn name(&self) -> &str {
        self.supplier.unwrap_or("no supplier stated")
    }
}

/// The sums of the rows, supplier by supplier.
fn totals<'a>(rows: &'a [Row<'a>]) -> Vec<FromOne<'a>> {
    let mut all: Vec<FromOne<'_>> = Vec::new();
    for row in ordered(rows) {
        let supplier = row.supplier();
        if all.last().is_none_or(|one| one.supplier != supplier) {
            all.push(FromOne {
                supplier,
                sizes: 0,
                packs: 0,
                pieces: 0,
                money: 0.0,
            });
        }
        if let Some(one) = all.last_mut() {
            one.sizes += 1;
            one.packs += row.packs();
            one.pieces += row.pieces();
            one.money += row.order_money();
        }
    }
    all
}

/// The slip as a file: its rows, and behind its head what each supplier gets.
pub(super) fn csv(answer: &Stock, decimal: Decimal) -> String {
    let currency = &answer.work.shop.shop.currency;
    let rows = answer.rows();
    let mut table = Table::new([
        Column::names("supplier"),
        Column::names("part_number"),
        Column::names("series"),
        Column::data("size"),
        Column::names("unit"),
        Column::data("packs"),
        Column::data("pack_of"),
        Column::data("pieces"),
        Column::data(format!("price_{currency}")),
        Column::data(format!("to_pay_{currency}")),
    ]);
    for row in ordered(&rows) {
        table.row([
            row.supplier().unwrap_or_default().into(),
            row.part_number().unwrap_or_default().into(),
            row.shelf.name.as_str().into(),
            row.printed().into(),
            row.unit().into(),
            Cell::count(row.packs()),
            Cell::count(row.shelf.pack_of),
            Cell::count(row.pieces()),
            price(row.price).into(),
            format!("{:.2}", row.order_money()).into(),
        ]);
    }
    let to_pay = |to: &str, money: f64| {
        let money = decimal.figure(&format!("{money:.2}"));
        format!("to pay, {to}: {money} {currency}")
    };
    let totals = totals(&rows);
    let mut remarks: Vec<String> = totals
        .iter()
        .map(|one| to_pay(one.name(), one.money))
        .collect();
    remarks.push(to_pay(
        "all of it",
        totals.iter().map(|one| one.money).sum(),
    ));
    faces::csv::file_with(&answer.made, &remarks, &table, decimal)
}

/// A price to the cent, or in full where it is finer, so that pieces times price is what is to pay.
fn price(price: f64) -> String {
    let text = format!("{price:.2}");
    match text.parse() == Ok(price) {
        true => text,
        false => in_full(price),
    }
}

/// What each supplier gets, where the shop names any.
pub(super) fn by_supplier(answer: &Stock, rows: &[Row<'_>]) -> Table {
    let currency = &answer.work.shop.shop.currency;
    let mut table = Table::new([
        Column::words("supplier"),
        Column::figures("sizes"),
        Column::figures("packs"),
        Column::figures("shims"),
        Column::figures(format!("to pay, {currency}")),
    ])
    .caption("What to order, by supplier");
    let totals = totals(rows);
    if totals.iter().any(|one| one.supplier.is_some()) {
        for one in &totals {
            table.row([
                one.name().into(),
                Cell::count(one.sizes),
                Cell::count(one.packs),
                Cell::count(one.pieces),
                format!("{:.2}", one.money).into(),
            ]);
        }
    }
    table
}

/// The same as JSON.
pub(super) fn by_supplier_json(rows: &[Row<'_>]) -> Value {
    list(&totals(rows), |one| {
        json!({
            "supplier": one.supplier,
            "sizes": one.sizes,
            "packs": one.packs,
            "pieces": one.pieces,
            "money": json::money(one.money),
        })
    })
}

/// Whether anything is on order already.
fn coming(rows: &[Row<'_>]) -> bool {
    rows.iter().any(|row| row.on_order > Some(0))
}

/// What the look ahead begins with.
pub(super) fn begun_with(rows: &[Row<'_>]) -> &'static str {
    match coming(rows) {
        true => "from what is in the drawer and on order, ordering now",
        false => "from what is in the drawer, ordering now",
    }
}

/// How the order is paid: what makes it dearer than the shims that are missing.
pub(super) fn paid_how(answer: &Stock, rows: &[Row<'_>]) -> String {
    let beside = match (&answer.have, coming(rows)) {
        (Some(_), true) => "in whole packs, beside what is there and on order",
        (Some(_), false) => "in whole packs, beside what is there",
        (None, _) => "in whole packs, for an empty drawer",
    };
    let least: f64 = rows.iter().map(Row::least_order_money).sum();
    if least > 0.0 {
        let more = tell::money(least, &answer.work.shop.shop);
        format!("{beside}; {more} of it only for least_order")
    } else {
        beside.to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_price_is_told_as_finely_as_it_is() {
        let prices = [0.0, 3.6, 12.0, 0.125, 0.0333];
        let told = ["0.00", "3.60", "12.00", "0.125", "0.0333"];
        assert_eq!(prices.map(price), told);
    }
}
