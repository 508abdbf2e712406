//! A supplier's offer held against the shop's own sizes: at the till, and at the bench.

use shimcast_sim::compare::Verdict;
use shimcast_sim::count::estimate::Estimate;
use shimcast_sim::stock::{AtBench, BothWays, Question, SearchProgress, plan};

use super::Stock;
use crate::cli::ShopFiles;
use crate::document::{Cell, Known, Table};
use crate::figures::{plus_minus, signed_with_half};
use crate::progress::Watch;
use crate::questions::context::Failure;
use crate::questions::drawer::{self, Work};

/// What an offer does in place of the shop's own sizes.
#[derive(Debug)]
pub(super) struct Offered {
    /// What the same plan costs at the till with the shop's own sizes.
    pub(super) own_pays: f64,
    /// What the offer changes at the bench.
    pub(super) bench: AtBench,
}

/// The shop's own work, where an offer stands in for its sizes.
pub(super) fn own_work(files: &ShopFiles) -> Result<Option<Work>, Failure> {
    if files.sizes_from.is_none() {
        return Ok(None);
    }
    let own = ShopFiles {
        shop: files.shop.clone(),
        set: files.set.clone(),
        sizes_from: None,
        anyway: files.anyway,
    };
    // the shop's own oddities are told of the offer already
    drawer::read_and_tell(&own, &mut |_| {}).map(Some)
}

/// Holds an offer against the shop's own sizes; `None` where it was broken off.
pub(super) fn held_against(own: &Work, asked: &Question<'_>, watch: &mut Watch) -> Option<Offered> {
    let lines = own.lines();
    let question = Question {
        aim: asked.aim,
        ..own.question(&lines, asked.seed)
    };
    let mut see = |step: SearchProgress| watch.see_step(step.doing, step.served);
    let own_pays = plan(&question, &mut see)?.money;
    let both: Vec<BothWays<'_>> = lines
        .iter()
        .zip(asked.lines)
        .map(|((own, per_month), (other, _))| BothWays {
            own,
            other,
            per_month: *per_month,
        })
        .collect();
    let bench = AtBench::of(&both, asked.seed, &mut |progress| watch.see(progress));
    Some(Offered { own_pays, bench })
}

/// What it does, row by row.
pub(super) fn add(table: &mut Table, answer: &Stock) {
    let Some(Offered { own_pays, bench }) = &answer.against_own else {
        return;
    };
    let currency = &answer.work.shop.shop.currency;
    let plan = &answer.stock.plan;
    table.name(
        "Against the shop's sizes",
        Cell::from(format!("{:+.2} {currency}", plan.money - own_pays))
            .beside("at the till, for an empty drawer"),
    );
    let money = |e: &Estimate| {
        let half = format!("{:.0}", e.half_width());
        plus_minus(format!("{:+.0}", e.value), &half)
    };
    let points = Cell::known(Known::Seen(bench.right.times(100.0), 1)).with_half();
    table.name(
        "  and at the bench",
        Cell::from(format!("{} {currency}", money(&bench.money))).beside(format!(
            "a year; hours {}, right {points} points",
            signed_with_half(&bench.hours, 1),
        )),
    );
}

/// Said where an offer costs more at the bench than it spares.
pub(super) fn loses(answer: &Stock) -> Option<String> {
    let Offered { own_pays, bench } = answer.against_own.as_ref()?;
    let worse = [
        Verdict::of(&bench.money) == Verdict::More,
        Verdict::of(&bench.right) == Verdict::Less,
        Verdict::of(&bench.clearly_out) == Verdict::More,
    ];
    let cheaper = answer.stock.plan.money < *own_pays;
    let how = match worse {
        [true, ..] => "costs more at the bench every year than the shop's own sizes do",
        [_, true, _] | [.., true] => "hands over fewer right axles than the shop's own sizes",
        _ => return None,
    };
    let but = if cheaper {
        "is cheaper in the drawer, but "
    } else {
        ""
    };
    Some(format!("This offer {but}{how}."))
}
