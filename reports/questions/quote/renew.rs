//! What to renew, and what it buys: every job between which a customer chooses, a row each.

use shimcast_sim::quote::Flat;

use super::preload::word;
use super::{Choice, Quotation};
use crate::document::{Cell, Column, Table, wording};
use crate::questions::outside::rest;

/// Gears and bearings kept or new, by sleeve or spacer.
pub(super) fn table(asked: &Quotation) -> Table {
    let currency = asked.currency();
    let parts = asked.all().any(|choice| choice.terms.parts > 0.0);
    let taxed = asked.choice().terms.tax > 0.0;
    let mut columns = vec![
        Column::words("gears"),
        Column::words("bearings"),
        Column::words("preload"),
    ];
    if parts {
        columns.push(Column::figures("parts"));
    }
    columns.extend([
        Column::halves("hours"),
        Column::halves("19 jobs in 20").may_go(),
        Column::halves("right"),
        Column::halves("clearly out"),
    ]);
    if asked.given_up() {
        columns.push(Column::halves("given up"));
    }
    columns.extend([
        Column::halves("cost").may_go(),
        Column::figures("flat hours").may_go(),
        Column::figures("price"),
    ]);
    if taxed {
        columns.push(Column::figures("with tax").may_go());
    }
    columns.push(Column::words(""));
    let mut table = Table::new(columns).caption(format!(
        "What to renew, and what it buys: mean hours, right when handed over, price before tax, {currency}"
    ));
    for (place, choice) in asked.all().enumerate() {
        table.row(row(asked, choice, place == asked.chosen, [parts, taxed]));
    }
    table
}

fn row(asked: &Quotation, choice: &Choice, chosen: bool, [parts, taxed]: [bool; 2]) -> Vec<Cell> {
    let Choice {
        setup,
        quote,
        terms,
        ..
    } = choice;
    let flat = choice.recommended(asked.risk);
    let priced = |show: &dyn Fn(&Flat) -> Cell| flat.as_ref().map_or_else(Cell::none, show);
    let mut row: Vec<Cell> = vec![
        setup.gears.word().into(),
        setup.bearings.word().into(),
        word(&setup.axle.pinion_preload.by).into(),
    ];
    if parts {
        row.push(Cell::exact(terms.parts_charged(), 0));
    }
    row.extend([
        Cell::mean(&quote.hours.mean, 2),
        Cell::mean(&quote.hours.p95, 2),
        Cell::share(&quote.handed_over),
        Cell::share(&quote.clearly_out),
    ]);
    if asked.given_up() {
        row.push(Cell::share(&rest(&quote.finished)));
    }
    row.extend([
        Cell::mean(&quote.money.cost, 0),
        priced(&|flat| Cell::exact(flat.hours, 2)),
        priced(&|flat| Cell::exact(flat.price, 0)),
    ]);
    if taxed {
        row.push(priced(&|flat| Cell::exact(choice.with_tax(flat), 0)));
    }
    let marks = [
        chosen.then_some("asked for"),
        quote.not_quoted().map(|_| "not quoted"),
    ];
    let marks: Vec<&str> = marks.into_iter().flatten().collect();
    row.push(marks.join(", ").into());
    row
}

/// What is said of the jobs side by side.
pub(super) fn notes(asked: &Quotation) -> Vec<String> {
    let mut notes = vec![asked.of_others.clone()];
    let parts = asked.all().any(|choice| choice.terms.parts > 0.0);
    notes.push(match parts {
        true => {
            "Parts are what the customer pays for new gears and bearings, and are in the price; a \
                 spacer bought in place of a sleeve is not."
                .into()
        }
        false => {
            let [gears, bearings] = ["gear-price", "bearing-price"].map(wording::option);
            let how = wording::hint(&format!("; {gears} and {bearings} put the first two in"));
            format!(
                "New gears and bearings, and a spacer bought in place of a sleeve, are not in these \
                 prices{how}."
            )
        }
    });
    if asked.given_up() {
        notes.push(
            "Costs are of all jobs: where more of them are given up, a lower cost is not all saved."
                .into(),
        );
    }
    notes.push(
        "\"±\" is half the 95 % interval. Kept gears are held to the windows of new ones, though \
         worn pairs are often set to their old backlash; wear and damage are outside the model."
            .into(),
    );
    notes
}
