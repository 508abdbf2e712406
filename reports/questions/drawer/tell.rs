//! What the answers about drawer and box have in common.

use shimcast_sim::count::estimate::Estimate;
use shimcast_sim::shop::Shop;
use shimcast_sim::stock::Service;

use super::Work;
use crate::document::{CAUTION, Cell, Column, Document, Table};
use crate::questions::frame::{assumed, renewed};

/// How far to trust what was not measured.
pub(crate) const PLAUSIBLE: &str = "Prices, times between orders and chances of spoiling are what the \
     files say: the built-in ones are plausible, not measured.";

/// A document about a shop, with its jobs first.
pub(crate) fn of_shop(title: String, work: &Work) -> Document {
    let mut document = Document::about(title);
    document.section("", [jobs(work).into()]);
    document.assume(assumed(&work.assumptions));
    document.cautions.push(CAUTION);
    document
}

/// The lines of jobs.
fn jobs(work: &Work) -> Table {
    let mut table = Table::new([Column::words(""), Column::figures(""), Column::words("")]);
    for (setup, per_month) in work.lines() {
        table.row([
            setup.axle.name.as_str().into(),
            per_month.to_string().into(),
            format!("a month, {}", renewed(setup)).into(),
        ]);
    }
    table
}

/// The share of jobs served, and what share was asked for.
pub(crate) fn aimed(fill: &Estimate, target: f64, held: bool) -> Cell {
    let target = share(target);
    Cell::share(fill).and(if held {
        format!("asked for: {target}")
    } else {
        format!("NOT the {target} asked for")
    })
}

/// Where several lines of jobs are served, how well each is.
pub(crate) fn add_lines(table: &mut Table, work: &Work, service: &Service) {
    let lines = work.lines();
    if lines.len() < 2 {
        return;
    }
    let own = work.shop.shop.jobs.iter().map(|job| job.job_fill);
    for (((setup, _), fill), own) in lines.iter().zip(&service.by_line).zip(own) {
        let name = &setup.axle.name;
        let alike = lines.iter().filter(|(other, _)| other.axle.name == *name);
        let which = match alike.count() {
            1 => String::new(),
            _ => format!(", {}", renewed(setup)),
        };
        let served = match own {
            Some(own) => Cell::share(fill).and(format!("asked for: {}", share(own))),
            None => Cell::share(fill),
        };
        table.name(format!("  of {name}{which}"), served);
    }
}

/// An amount of money in the shop's currency.
pub(crate) fn money(amount: f64, shop: &Shop) -> String {
    format!("{amount:.2} {}", shop.currency)
}

/// A share that someone asked for, as a person writes it.
pub(crate) fn share(share: f64) -> String {
    let percent = format!("{:.4}", 100.0 * share);
    format!("{} %", percent.trim_end_matches('0').trim_end_matches('.'))
}
