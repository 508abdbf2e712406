//! What the answer about the drawer and the page both say of it: made once, told by both.

use shimcast_sim::compare::Verdict;
use shimcast_sim::count::estimate::Estimate;
use shimcast_sim::stock::{Advice, Aim, Stock};

use super::planned::Planned;
use crate::document::{Cell, Column, Known, Table, wording};
use crate::figures::said;
use crate::questions::drawer::tell::{add_lines, money, share};
use crate::sentences::listed;

/// A series that misses this share of the thicknesses wanted is spoken of at the head.
const MOSTLY_MISSED: f64 = 0.5;

/// How well each line of jobs is served; no rows where there is one.
pub(super) fn by_line(of: &Planned<'_>) -> Table {
    let mut table = Table::named().caption("Jobs that never wait, by kind of job");
    add_lines(&mut table, of.work, &of.stock.plan.service);
    table
}

/// Series that can't make most of what is wanted: a drawer of few sizes serves well, with packs that
/// nobody wanted.
pub(super) fn mostly_missed(of: &Planned<'_>) -> Option<String> {
    let advice = of.stock.advice.iter();
    let most = advice.filter(|advice| advice.missed.value >= MOSTLY_MISSED);
    let most: Vec<String> = most
        .map(|Advice { series, missed, .. }| format!("{series} {}", said(missed)))
        .collect();
    (!most.is_empty()).then(|| {
        format!(
            "Of the thicknesses wanted these miss by more than {}: {}. What is fitted then is a \
             compromise.",
            wording::key("near_enough", "what passes for right (near_enough)"),
            listed(&most)
        )
    })
}

/// A share of what is asked for below which a line of jobs is given up.
const GIVEN_UP: f64 = 0.5;

/// The lines that a plan leaves to wait since others are cheaper to serve.
pub(super) fn given_up(of: &Planned<'_>) -> Option<String> {
    let Aim::Fill(target) = of.aim else {
        return None;
    };
    let served = of.work.setups.iter().zip(&of.stock.plan.service.by_line);
    let left: Vec<String> = served
        .filter(|(_, fill)| fill.high < GIVEN_UP * target)
        .map(|(setup, _)| setup.axle.name.clone())
        .collect();
    (!left.is_empty()).then(|| {
        format!(
            "{} given up by this plan, since other jobs are cheaper to serve: {} holds it too.",
            match &left[..] {
                [one] => format!("{one} is"),
                _ => format!("{} are", listed(&left)),
            },
            wording::key(
                "a job_fill of its own under [[jobs]]",
                "a share of its own (job_fill) among the jobs of the shop file"
            )
        )
    })
}

/// What the same number of every size would do.
pub(super) fn equal_counts(of: &Planned<'_>) -> Table {
    let (stock, shop) = (of.stock, of.shop());
    let mut table = Table::named().caption("The same number of every size instead");
    let (count, _) = &stock.equal.same_money;
    table.name(
        "For that money",
        Cell::share(&stock.equal.fill_for_money)
            .and(format!("between {count} and {} of every size", count + 1)),
    );
    let same = stock.equal.same_service.as_ref();
    table.name(
        "For that service",
        match same.zip(stock.equal.money_for_service) {
            Some(((count, _), paid)) => {
                let times = match paid / stock.plan.money {
                    times if times.is_finite() => format!("{times:.1} times the money; "),
                    // an empty drawer costs nothing
                    _ => String::new(),
                };
                let fewer = count.saturating_sub(1);
                Cell::from(money(paid, shop))
                    .beside(format!("{times}between {fewer} and {count} of every size"))
            }
            None => Cell::none().beside("no count that was tried serves as many jobs"),
        },
    );
    table
}

/// What the cheapest drawer spares a year against the plan, where that is seen.
pub(super) fn spares(stock: &Stock) -> Option<String> {
    let spares = &stock.spares;
    (Verdict::of(spares) == Verdict::More).then(|| {
        format!(
            "spares {:.0} a year ({:.0} to {:.0})",
            spares.value, spares.low, spares.high
        )
    })
}

/// What a year costs, part by part, and the drawer that costs least in a sentence.
pub(super) fn costs(of: &Planned<'_>) -> (Table, String) {
    let (shop, stock) = (of.shop(), of.stock);
    let drawer = &shop.drawer;
    let yearly = drawer.yearly(&stock.plan.service);
    let sum = |e: &Estimate| Cell::known(Known::Money(*e)).of_unit(&shop.currency);
    let mut table = Table::new([
        Column::words(""),
        Column::intervals(""),
        Column::words("").may_go(),
    ])
    .caption("What it costs a year");
    let on_hand = share(drawer.holding_share);
    let a_job = money(drawer.wait_cost, shop);
    let an_order = money(drawer.delivery_cost, shop);
    for (name, cost, note) in [
        (
            "holding",
            &yearly.holding,
            format!("{on_hand} a year of the money on hand"),
        ),
        ("jobs that wait", &yearly.waiting, format!("{a_job} each")),
        (
            "deliveries",
            &yearly.deliveries,
            format!("{an_order} an order"),
        ),
        (
            "shims",
            &yearly.shims,
            "those ordered, and those that come specially".to_owned(),
        ),
        ("all of it", &yearly.total, String::new()),
    ] {
        table.row([name.into(), sum(cost), note.into()]);
    }
    let cheapest = &stock.cheapest;
    let total = sum(&drawer.yearly(&cheapest.service).total);
    let spares = spares(stock).map_or_else(String::new, |spares| format!("; {spares}"));
    let fill = said(&cheapest.service.job_fill);
    let note = format!(
        "cheapest: {} with {} in the drawer, at {} a year ({}){spares}",
        wording::key(
            &format!("a job_fill of {fill}"),
            &format!("{fill} of jobs never wait")
        ),
        money(cheapest.money, shop),
        total.value(),
        total.range(),
    );
    (table, note)
}
