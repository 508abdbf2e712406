//! What else the drawer could do, in tables: other intervals between orders, surplus, a busy month.

use shimcast_sim::compare::Verdict;
use shimcast_sim::count::estimate::Estimate;
use shimcast_sim::stock::Interval;

use super::Stock;
use super::planned::Planned;
use super::stand_ins::APART;
use crate::document::{Cell, Column, Known, Table};
use crate::figures::{counted, days, plain};

/// The interval that costs least a year; `None` where it is not told apart from the shop's own.
pub(super) fn best(answer: &Stock) -> Option<&Interval> {
    let own = answer.work.shop.shop.drawer.order_every_days;
    let all = &answer.stock.intervals;
    let own = all.iter().find(|interval| interval.days == own)?;
    let cost = |interval: &&Interval| interval.yearly.value;
    let best = all.iter().min_by(|a, b| cost(a).total_cmp(&cost(b)))?;
    (best.yearly.high < own.yearly.low).then_some(best)
}

/// The same aim at other intervals between orders, and the best of them in a sentence.
pub(super) fn intervals(answer: &Stock) -> (Table, String) {
    let currency = answer.work.shop.shop.currency.as_str();
    let own = answer.work.shop.shop.drawer.order_every_days;
    let mut table = Table::new([
        Column::words("ordered every"),
        Column::figures(format!("to pay, {currency}")),
        Column::halves("never wait"),
        Column::intervals(format!("a year, {currency}")),
        Column::words(""),
    ])
    .caption("Other intervals between orders, each with a drawer planned for it");
    for interval in &answer.stock.intervals {
        table.row([
            days(interval.days).into(),
            Cell::exact(interval.plan.money, 2),
            Cell::share(&interval.plan.service.job_fill),
            Cell::known(Known::Money(interval.yearly)),
            if interval.days == own { "as it is" } else { "" }.into(),
        ]);
    }
    let said = match best(answer) {
        Some(best) => format!("cheapest a year: an order every {}", days(best.days)),
        None => "no interval that was tried is seen to cost less a year than the shop's own".into(),
    };
    let said = format!("{said}; {APART}");
    (table, said)
}

/// What surplus spares, in a sentence.
pub(super) fn surplus(of: &Planned<'_>) -> String {
    let currency = &of.shop().currency;
    let surplus = &of.stock.surplus;
    let pieces = counted(surplus.pieces.into(), ["piece", "pieces"]);
    let kept = of.shop().drawer.keep_surplus > 0;
    let (yes, no) = match kept {
        true => ("spare", "are not seen to spare anything in a year"),
        false => (
            "would spare",
            "would not be seen to spare anything in a year",
        ),
    };
    let what = format!(
        "{pieces} of each size kept above its level when a job leaves good ones (keep_surplus)"
    );
    let amount = |e: &Estimate, sign: f64| {
        let [low, high] = match sign > 0.0 {
            true => [e.low, e.high],
            false => [-e.high, -e.low],
        };
        format!(
            "{:.0} {currency} a year ({low:.0} to {high:.0})",
            sign * e.value
        )
    };
    match Verdict::of(&surplus.spares) {
        Verdict::More => format!("{what} {yes} {}", amount(&surplus.spares, 1.0)),
        Verdict::Less => {
            let cost = if kept { "cost" } else { "would cost" };
            format!(
                "{what} {cost} {} more than they spare",
                amount(&surplus.spares, -1.0)
            )
        }
        Verdict::NoneSeen => format!("{what} {no}"),
    }
}

/// A busy month, as a row of the headline.
pub(super) fn busy(answer: &Stock) -> Option<(String, Cell)> {
    let service = answer.stock.busy.as_ref()?;
    let name = format!("A month of {} times the jobs", plain(answer.times?));
    Some((
        name,
        Cell::share(&service.job_fill).and("of its jobs never wait"),
    ))
}
