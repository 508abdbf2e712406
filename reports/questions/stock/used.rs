//! What is used of each size in a quarter and in a year, in pieces and in money.

use serde_json::{Value, json};
use shimcast_sim::count::estimate::Estimate;

use super::planned::Planned;
use crate::document::{Cell, Column, Known, Table};
use crate::questions::drawer::list::{QUARTER, Row};
use crate::questions::json::estimate;
use crate::spreadsheet::Decimal;

/// Pieces and money of all sizes a year.
fn a_year(of: &Planned<'_>) -> [Estimate; 2] {
    let service = &of.stock.plan.service;
    [
        service.mean(|year| year.used),
        service.mean(|year| year.used_worth),
    ]
}

/// What is not in these figures.
pub(super) const NOTE: &str = "what comes specially for a job that waits is not in these figures";

/// Size by size, and all of them.
pub(super) fn table(planned: &Planned<'_>, rows: &[Row<'_>]) -> Table {
    let currency = &planned.shop().currency;
    let mut table = Table::new([
        Column::words("series"),
        Column::figures("size"),
        Column::halves("a quarter"),
        Column::halves(currency).may_go(),
        Column::halves("a year"),
        Column::halves(currency),
    ])
    .caption("Shims used, taken from the drawer less those put back");
    let cells = |pieces: Estimate, money: Estimate| {
        let of = |part: f64| {
            [
                Cell::mean(&pieces.times(part), 1),
                Cell::known(Known::Money(money.times(part))),
            ]
        };
        [of(QUARTER), of(1.0)].into_iter().flatten()
    };
    for row in rows.iter().filter(|row| row.keep > 0) {
        let used = row.used();
        let size = [row.shelf.name.as_str().into(), row.thickness().into()];
        table.row(size.into_iter().chain(cells(used, used.times(row.price))));
    }
    let [pieces, money] = a_year(planned);
    table.row(
        ["all of it".into(), Cell::empty()]
            .into_iter()
            .chain(cells(pieces, money)),
    );
    table
}

/// All sizes as JSON.
pub(super) fn json(planned: &Planned<'_>) -> Value {
    let [pieces, money] = a_year(planned);
    let of = |part: f64| json!({ "pieces": estimate(&pieces.times(part)), "money": estimate(&money.times(part)) });
    json!({ "per_quarter": of(QUARTER), "per_year": of(1.0) })
}

/// All sizes in a sentence.
pub(super) fn in_words(planned: &Planned<'_>) -> String {
    let [pieces, money] = a_year(planned);
    let of = |part: f64| {
        let pieces = Cell::mean(&pieces.times(part), 1).with_half();
        let money = Cell::known(Known::Money(money.times(part)));
        let money = money.of_unit(&planned.shop().currency).with_half();
        format!("{pieces} shims, {money}")
    };
    format!("used a quarter: {}; a year: {}", of(QUARTER), of(1.0))
}

/// All sizes in a line, for the head of the list.
pub(super) fn in_short(planned: &Planned<'_>, decimal: Decimal) -> String {
    let currency = &planned.shop().currency;
    let [pieces, money] = a_year(planned);
    let of = |part: f64| {
        let pieces = decimal.figure(&format!("{:.1}", part * pieces.value));
        let money = decimal.figure(&format!("{:.2}", part * money.value));
        format!("{pieces} shims, {money} {currency}")
    };
    format!("used a quarter: {}; a year: {}", of(QUARTER), of(1.0))
}
