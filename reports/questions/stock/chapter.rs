//! The drawer's chapter of the page: what it serves, what to keep and to order, what is used and what a
//! year costs.

use shimcast_sim::bench::setup::Setup;

use super::figures::{levels, service};
use super::planned::Planned;
use super::{rows, slip, stand_ins, used, whatif};
use crate::document::{Block, Section, Table};
use crate::figures::{days, plain, said, shims};
use crate::questions::drawer::list::Row;
use crate::questions::drawer::tell::PLAUSIBLE;
use crate::questions::frame::renewed;
use crate::sentences::{listed, sentence};

/// Which shims to keep; `setup` is the page's own job.
pub fn section(of: &Planned<'_>, setup: &Setup) -> Section {
    let rows = of.rows();
    // what may be the opposite of what a plan seems to say stands before it
    let notes = [
        rows::given_up(of),
        stand_ins::lose(of),
        rows::mostly_missed(of),
    ];
    let mut blocks: Vec<Block> = notes.into_iter().flatten().map(Block::Note).collect();
    blocks.extend([
        Block::Text(lead(of, setup)),
        service(of).into(),
        levels(of).into(),
    ]);
    add(&mut blocks, rows::by_line(of));
    add(&mut blocks, rows::equal_counts(of));
    order(&mut blocks, of, &rows);
    year(&mut blocks, of, &rows);
    Section::at("stock", "Which shims to keep?", blocks)
}

/// Adds a table that has rows.
fn add(blocks: &mut Vec<Block>, table: Table) {
    if !table.rows.is_empty() {
        blocks.push(table.into());
    }
}

fn lead(of: &Planned<'_>, setup: &Setup) -> String {
    let lines = of.work.lines();
    let lines = lines.iter().map(|(setup, per_month)| {
        format!(
            "{} {} a month ({})",
            plain(*per_month),
            setup.axle.name,
            renewed(setup)
        )
    });
    let drawer = &of.shop().drawer;
    format!(
        "The drawer is planned for all jobs that the shop's file expects: {}.{} It is ordered for \
         every {}, and a delivery takes {}. {PLAUSIBLE}",
        listed(&lines.collect::<Vec<_>>()),
        not_among(of, setup),
        days(drawer.order_every_days),
        days(drawer.lead_time_days),
    )
}

/// What to order, from whom, and what that comes to.
fn order(blocks: &mut Vec<Block>, of: &Planned<'_>, rows: &[Row<'_>]) {
    let shop = of.shop();
    let slip = slip::tables(shop, rows);
    if slip.is_empty() {
        return;
    }
    blocks.push(Block::Heading("What to order?".into()));
    blocks.extend(slip.into_iter().map(Block::Table));
    let to_pay = format!("{}, {}", slip::to_pay(shop, rows), slip::paid_how(of, rows));
    let notes = [&to_pay, BESIDE].map(sentence);
    blocks.push(Block::Note(notes.join(" ")));
}

/// What a year takes of the drawer, and what it costs.
fn year(blocks: &mut Vec<Block>, of: &Planned<'_>, rows: &[Row<'_>]) {
    let (costs, cheapest) = rows::costs(of);
    let others = [cheapest, whatif::surplus(of), stand_ins::in_words(of)];
    let others = others.map(|other| sentence(&other));
    blocks.extend([
        Block::Heading("What does a year take?".into()),
        costs.into(),
        Block::Note(others.join(" ")),
        Block::Note(sentence(&format!("{}; {}", used::in_words(of), used::NOTE))),
        Block::Folded(used::table(of, rows)),
    ]);
}

/// What the order leaves out.
const BESIDE: &str = "what is in the drawer already is not counted here";

/// What is said of the drawer before anything else on the page: how many jobs it serves, and whom not.
pub fn at_first(of: &Planned<'_>, setup: &Setup) -> String {
    let given_up = rows::given_up(of).map_or_else(String::new, |left| format!(" {left}"));
    format!("{}.{given_up}{}", in_words(of), not_among(of, setup))
}

/// Says so where the page's own axle is not among the jobs.
fn not_among(of: &Planned<'_>, setup: &Setup) -> String {
    let lines = of.work.lines();
    let mut names = lines.iter().map(|(line, _)| &line.axle.name);
    if names.any(|name| *name == setup.axle.name) {
        String::new()
    } else {
        format!(" {} itself is not among these jobs.", setup.axle.name)
    }
}

/// Jobs that never wait, in a sentence.
pub(super) fn in_words(of: &Planned<'_>) -> String {
    let plan = &of.stock.plan;
    let pieces: u32 = plan.levels.iter().flatten().sum();
    format!(
        "{:.0} {} at the till ({}) let {} of all jobs of the shop go \
         without waiting",
        plan.money,
        of.shop().currency,
        shims(pieces.into()),
        said(&plan.service.job_fill),
    )
}
