//! The contributors as a table for a spreadsheet.

use shimcast_sim::causes::{Contributor, Link, Loop, Output, Shares};

use super::Caused;
use super::rows::{OF_A_JOB, key};
use crate::document::{Cell, Column, Table};
use crate::faces;
use crate::inputs::words;
use crate::spreadsheet::Decimal;

/// A row for every outcome and contributor: what it adds to the textbook sums of a loop, mm, and its
/// shares of the variance, from 0 to 1. What is not known, or is no such thing, is left empty.
pub(super) fn csv(asked: &Caused<'_>, only: Option<Loop>, decimal: Decimal) -> String {
    let named = ["outcome", "key", "name"];
    let stacked = ["worst_case_mm", "root_sum_square_mm"];
    let shares = ["alone", "alone_low", "alone_high"];
    let together = ["with_others", "with_others_low", "with_others_high"];
    let figures = stacked.into_iter().chain(shares).chain(together);
    let columns = named.into_iter().map(Column::names);
    let mut table = Table::new(columns.chain(figures.map(Column::data)));
    let inputs = || {
        let inputs = asked.causes.inputs.iter();
        inputs.map(|of| Contributor::Input(of.input))
    };
    let told = |which: &Loop| only.is_none_or(|only| only == *which);
    for simulated in asked.causes.loops.iter().filter(|of| told(&of.stack.of)) {
        let question = Output::Loop(simulated.stack.of);
        let links = &simulated.stack.links;
        for link in links {
            table.row(cells(asked, question, link.contributor, Some(link)));
        }
        let stacked = |of: &Contributor| links.iter().any(|link| link.contributor == *of);
        for other in inputs().filter(|of| !stacked(of)) {
            table.row(cells(asked, question, other, None));
        }
    }
    if only.is_none() {
        for (question, _) in OF_A_JOB {
            for input in inputs() {
                table.row(cells(asked, question, input, None));
            }
        }
    }
    faces::csv::text(&table, decimal)
}

/// The cells of one row.
fn cells(
    asked: &Caused<'_>,
    question: Output,
    contributor: Contributor,
    link: Option<&Link>,
) -> Vec<Cell> {
    let (name, words) = match contributor {
        Contributor::Input(input) => (input.key(asked.setup), words(input, asked.setup)),
        Contributor::Rounding => ("rounding".into(), "nearest pack"),
    };
    let of = |shares: &&Shares| contributor == Contributor::Input(shares.input);
    let shares = asked.causes.inputs.iter().find(of);
    let mut cells: Vec<Cell> = vec![key(question).into(), name.into(), words.into()];
    let parts = link.map_or([f64::NAN; 2], |link| [link.worst, link.root_sum_square]);
    cells.extend(parts.map(Cell::data));
    for estimate in [
        shares.map(|shares| shares.alone(question)),
        shares.map(|shares| shares.with_others(question)),
    ] {
        let figures = estimate.map_or([f64::NAN; 3], |e| [e.value, e.low, e.high]);
        cells.extend(figures.map(Cell::data));
    }
    cells
}
