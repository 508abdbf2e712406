//! The order slip: what to order now, from whom, and what that comes to.

use std::path::Path;

use serde_json::{Value, json};
use shimcast_sim::shop::Shop;

use super::planned::Planned;
use crate::cli;
use crate::document::{Cell, Column, Made, Table, in_full};
use crate::faces;
use crate::figures::{counted, shims};
use crate::questions::Form;
use crate::questions::context::STDOUT;
use crate::questions::drawer::list::Row;
use crate::questions::drawer::{json, tell};
use crate::questions::json::list;
use crate::sentences::capital;
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

impl<'a> FromOne<'a> {
    /// The sums of these rows, all of one supplier.
    fn of(rows: &[&'a Row<'a>]) -> Self {
        Self {
            supplier: rows.first().and_then(|row| row.supplier()),
            sizes: rows.len() as u32,
            packs: rows.iter().map(|row| row.packs()).sum(),
            pieces: rows.iter().map(|row| row.pieces()).sum(),
            money: rows.iter().map(|row| row.order_money()).sum(),
        }
    }

    fn name(&self) -> &str {
        self.supplier.unwrap_or("no supplier stated")
    }
}

/// Rows in their order, cut where another supplier begins.
fn each_supplier<'o, 'a>(ordered: &'o [&'a Row<'a>]) -> impl Iterator<Item = &'o [&'a Row<'a>]> {
    ordered.chunk_by(|a, b| a.supplier() == b.supplier())
}

/// The sums of the rows, supplier by supplier.
fn totals<'a>(rows: &'a [Row<'a>]) -> Vec<FromOne<'a>> {
    each_supplier(&ordered(rows)).map(FromOne::of).collect()
}

/// These rows, size by size; who sells them is for spreadsheets.
fn table(shop: &Shop, ordered: &[&Row<'_>]) -> Table {
    let currency = &shop.currency;
    let part_number = Column::words("part number");
    let numbered = ordered.iter().any(|row| row.part_number().is_some());
    let mut table = Table::new([
        Column::names("supplier"),
        Column::names("part_number"),
        Column::words("series").key("series"),
        // shown behind what every row has
        match numbered {
            true => part_number,
            false => part_number.hidden(),
        },
        Column::figures("size").key("size"),
        Column::names("unit"),
        Column::figures("packs").key("packs"),
        Column::figures("packs of").key("pack_of"),
        Column::figures("shims").key("pieces"),
        Column::figures(format!("{currency} each")).key_in("price", currency),
        Column::figures(format!("to pay, {currency}")).key_in("to_pay", currency),
    ]);
    for row in ordered {
        table.row([
            row.supplier().unwrap_or_default().into(),
            row.part_number().unwrap_or_default().into(),
            row.shelf.name.as_str().into(),
            row.part_number().unwrap_or_default().into(),
            Cell::from(row.thickness()).as_data(row.printed()),
            row.unit().into(),
            Cell::count(row.packs()),
            Cell::count(row.shelf.pack_of),
            Cell::count(row.pieces()),
            price(row.price).into(),
            format!("{:.2}", row.order_money()).into(),
        ]);
    }
    table
}

/// What to order, a table for each supplier with what that comes to.
pub(super) fn tables(shop: &Shop, rows: &[Row<'_>]) -> Vec<Table> {
    let ordered = ordered(rows);
    let none_named = ordered.iter().all(|row| row.supplier().is_none());
    let each = each_supplier(&ordered).map(|rows| {
        let one = FromOne::of(rows);
        let from = match one.supplier {
            Some(supplier) => format!("From {supplier}"),
            None if none_named => "The order".to_owned(),
            None => capital(one.name()),
        };
        table(shop, rows).caption(format!(
            "{from}: {}, {}, to pay {}",
            counted(one.sizes.into(), ["size", "sizes"]),
            shims(one.pieces.into()),
            tell::money(one.money, shop)
        ))
    });
    each.collect()
}

/// The slip as a file: its rows, and behind its head what each supplier gets.
pub fn csv(of: &Planned<'_>, made: &Made, decimal: Decimal) -> String {
    let (shop, rows) = (of.shop(), of.rows());
    let to_pay = |to: &str, money: f64| {
        let money = decimal.figure(&format!("{money:.2}"));
        format!("to pay, {to}: {money} {}", shop.currency)
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
    faces::csv::file_with(made, &remarks, &table(shop, &ordered(&rows)), decimal)
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
pub(super) fn by_supplier(shop: &Shop, rows: &[Row<'_>]) -> Table {
    let mut table = Table::new([
        Column::words("supplier"),
        Column::figures("sizes"),
        Column::figures("packs"),
        Column::figures("shims"),
        Column::figures(format!("to pay, {}", shop.currency)),
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

/// What all of it comes to.
pub(super) fn to_pay(shop: &Shop, rows: &[Row<'_>]) -> String {
    let paid = rows.iter().map(Row::order_money).sum();
    format!("to pay for the order: {}", tell::money(paid, shop))
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
pub(super) fn paid_how(of: &Planned<'_>, rows: &[Row<'_>]) -> String {
    let beside = match (of.have, coming(rows)) {
        (Some(_), true) => "in whole packs, beside what is there and on order",
        (Some(_), false) => "in whole packs, beside what is there",
        (None, _) => "in whole packs, for an empty drawer",
    };
    let least: f64 = rows.iter().map(Row::least_order_money).sum();
    if least > 0.0 {
        let more = tell::money(least, of.shop());
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
