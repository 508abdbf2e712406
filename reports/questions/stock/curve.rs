//! What other sums of money would do.

use shimcast_sim::shop::Shop;
use shimcast_sim::stock::Stock;

use crate::document::{Cell, Column, Known, Table};

/// What is paid for an empty drawer against service and cost, the plan and the cheapest a year among them.
pub fn table(shop: &Shop, stock: &Stock) -> Table {
    let currency = shop.currency.as_str();
    let mut table = Table::new([
        Column::figures(currency).key_in("money", currency),
        Column::intervals("never wait").key("job_fill_share"),
        Column::intervals("cost a year").key_in("cost_per_year", currency),
        Column::words(""),
    ])
    .caption(format!(
        "Paid for an empty drawer against jobs that never wait and cost, {currency}"
    ));
    let (plan, cheapest) = (&stock.plan, &stock.cheapest);
    let drawn = stock.curve.iter().any(|p| p.levels == cheapest.levels);
    for point in stock.curve.iter().chain((!drawn).then_some(cheapest)) {
        let is = |other: &[Vec<u32>], name| (point.levels == other).then_some(name);
        let notes = [
            is(&plan.levels, "the plan"),
            is(&cheapest.levels, "cheapest a year"),
        ];
        let notes: Vec<&str> = notes.into_iter().flatten().collect();
        table.row([
            Cell::exact(point.money, 2),
            Cell::share(&point.service.job_fill),
            Cell::known(Known::Money(shop.drawer.yearly(&point.service).total)),
            notes.join(", ").into(),
        ]);
    }
    table
}
