//! Packs that stand in for those wanted: what they spare in the drawer, and what they do at the bench.

use serde_json::{Value, json};
use shimcast_sim::compare::Verdict;
use shimcast_sim::count::estimate::Estimate;
use shimcast_sim::stock::{AtBench, Nearness};

use super::Stock;
use super::offer::{bench_cell, money};
use super::planned::Planned;
use crate::document::{Cell, Column, Known, Table, wording};
use crate::figures::{said, signed_with_half};
use crate::questions::drawer::json;
use crate::questions::drawer::list::printed;
use crate::questions::json::{estimate, list};

/// As many fewer jobs right when handed over are worth a line before all others.
const WORTH_A_LINE: f64 = 0.01;

/// What they do with this plan, against exact packs.
pub(super) fn table(of: &Planned<'_>) -> Table {
    let currency = &of.shop().currency;
    let stand_ins = &of.stock.stand_ins;
    let mut table = Table::named()
        .caption("Packs that stand in for those wanted (near_enough), against exact ones");
    table
        .name("At the bench", bench_cell(&stand_ins.bench, currency))
        .name(
            "In the same drawer",
            Cell::from(money(&stand_ins.spares.negated(), currency)).beside(format!(
                "a year; with exact packs only {} of its jobs would never wait",
                said(&stand_ins.exact_fill)
            )),
        );
    table
}

/// The same in a sentence.
pub(super) fn in_words(of: &Planned<'_>) -> String {
    let currency = &of.shop().currency;
    let stand_ins = &of.stock.stand_ins;
    format!(
        "against exact packs those that stand in (near_enough) come to {} a year at the bench, and to {} in \
         this drawer",
        money(&stand_ins.bench.money, currency),
        money(&stand_ins.spares.negated(), currency),
    )
}

/// Said where many fewer axles are handed over right because of them.
pub(super) fn lose(of: &Planned<'_>) -> Option<String> {
    let bench = &of.stock.stand_ins.bench;
    let many = Verdict::of(&bench.right) == Verdict::Less && bench.right.value < -WORTH_A_LINE;
    many.then(|| {
        let see = match of.stock.nearness.is_empty() {
            true => wording::hint(&format!(
                " {} says what a smaller near_enough would cost.",
                wording::command("stock --stand-ins", "")
            )),
            false => String::new(),
        };
        format!(
            "Packs that stand in for those wanted (near_enough) hand over {} points fewer right axles.{see}",
            signed_with_half(&bench.right.negated().times(100.0), 1).trim_start_matches('+')
        )
    })
}

/// The same aim at other values of `near_enough`, and the best of them in a sentence.
pub(super) fn others(answer: &Stock) -> (Table, String) {
    let shop = &answer.work.shop.shop;
    let currency = &shop.currency;
    let mut table = Table::new([
        Column::figures("near_enough"),
        Column::words(""),
        Column::halves("drawer a year"),
        Column::halves("bench a year"),
        Column::figures("together"),
        Column::halves("right, points"),
        Column::halves("clearly out").may_go(),
        Column::figures(format!("to pay, {currency}")).may_go(),
    ])
    .caption(
        "Other values of near_enough, each with a drawer planned for it; at the bench against exact packs",
    );
    let points = |share: &Estimate| Cell::from(signed_with_half(&share.times(100.0), 1));
    let together = |tried: &Nearness| tried.yearly.value + tried.bench.money.value;
    for tried in &answer.stock.nearness {
        let bench = &tried.bench;
        let as_it_is = tried.near_enough == shop.drawer.near_enough;
        table.row([
            format!("{} mm", printed(tried.near_enough, 1.0)).into(),
            if as_it_is { "as it is" } else { "" }.into(),
            Cell::known(Known::Money(tried.yearly)),
            signed_with_half(&bench.money, 0).into(),
            Cell::exact(together(tried), 0),
            points(&bench.right),
            points(&bench.clearly_out),
            Cell::exact(tried.plan.money, 2),
        ]);
    }
    let all = answer.stock.nearness.iter();
    let best = all.min_by(|a, b| together(a).total_cmp(&together(b)));
    let said = best.map_or_else(String::new, |best| {
        format!(
            "least a year, drawer and bench together: near_enough = {} mm; {APART}",
            printed(best.near_enough, 1.0)
        )
    });
    (table, said)
}

/// What is said of drawers that are only held against each other.
pub(super) const APART: &str =
    "each found on fewer jobs than the plan, so to be held against each other";

/// All of it as JSON.
pub(super) fn json(answer: &Stock) -> Value {
    let bench = |bench: &AtBench| {
        json!({
            "right": estimate(&bench.right),
            "clearly_out": estimate(&bench.clearly_out),
            "hours_a_year": estimate(&bench.hours),
            "money_a_year": estimate(&bench.money),
        })
    };
    let stand_ins = &answer.stock.stand_ins;
    json!({
        "bench": bench(&stand_ins.bench),
        "job_fill_without": estimate(&stand_ins.exact_fill),
        "spares_a_year": estimate(&stand_ins.spares),
        "near_enough": list(&answer.stock.nearness, |tried| json!({
            "near_enough": tried.near_enough,
            "money": json::money(tried.plan.money),
            "job_fill": estimate(&tried.plan.service.job_fill),
            "yearly": estimate(&tried.yearly),
            "bench": bench(&tried.bench),
        })),
    })
}
