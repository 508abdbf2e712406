//! The drawer in words and tables: first what it serves and costs, then what to keep and to order,
//! then what other sums of money would do.

use shimcast_sim::count::estimate::Estimate;
use shimcast_sim::shop::Shop;
use shimcast_sim::stock::{Advice, Aim, Saving, Shelf};
use shimcast_sim::units::MM_PER_INCH;

use super::{Stock, book, curve, offer, rows, slip, stand_ins, used, whatif};
use crate::document::{Block, Cell, Column, Document, Table, wording};
use crate::figures::{counted, days, percent, rebuilds, said, said_mean, shims};
use crate::questions::drawer::list::{Row, printed, thickness, unit};
use crate::questions::drawer::tell::{PLAUSIBLE, add_lines, aimed, money, of_shop};

pub(super) fn tell(answer: &Stock) -> Document {
    let (shop, of) = (shop(answer), answer.planned());
    let rows = of.rows();
    let mut document = of_shop(answer.work.title("The shim drawer of"), &answer.work);
    // what may be the opposite of what a plan seems to say stands before it
    let notes = [
        offer::loses(answer),
        stand_ins::lose(&of),
        rows::given_up(&of),
        rows::mostly_missed(&of),
    ];
    let mut notes = notes.into_iter().flatten().map(Block::Note);
    if let Some(most) = notes.next() {
        document.section("", [most]).first();
    }
    let others: Vec<Block> = notes.collect();
    document
        .section("", [headline(answer, &rows).into()])
        .first();
    if !others.is_empty() {
        document.section("", others).first();
    }
    // asked for by name
    if let Some((book, covers)) = &answer.book {
        let table = book::table(&answer.work, book);
        let table = table.caption(format!(
            "Day book of {}; in brackets what is left of a size",
            days(*covers)
        ));
        document.table(table, [book::READING.into()]).first();
    }
    if !answer.stock.intervals.is_empty() {
        let (intervals, best) = whatif::intervals(answer);
        document.table(intervals, [best]).first();
    }
    if !answer.stock.nearness.is_empty() {
        let (others, best) = stand_ins::others(answer);
        document.table(others, [best]).first();
    }
    let (list, paid) = list(answer, &rows);
    let (missed, near) = missed(answer);
    let (costs, cheapest) = rows::costs(&of);
    // few lines are told of at the head
    let by_line = match many_lines(answer) {
        true => rows::by_line(&of),
        false => Table::default(),
    };
    document
        .table(list, paid)
        .first()
        .table(slip::by_supplier(shop, &rows), [])
        .table(used::table(&of, &rows), [used::NOTE.into()])
        .table(by_line, [])
        .first()
        .table(rows::equal_counts(&of), [])
        .first()
        .table(not_kept(answer), [])
        .table(missed, [near])
        .table(stand_ins::table(&of), [])
        .table(costs, [cheapest, whatif::surplus(&of)])
        .table(curve::table(shop, &answer.stock), []);
    let stock = &answer.stock;
    document.behind = format!(
        "{}, {:.0} years of the plan among them, seed {}; \"to\" gives 95 % intervals of \
         the simulation. {PLAUSIBLE}",
        rebuilds(stock.rebuilds),
        stock.plan.service.years,
        answer.seed
    );
    document
}

fn shop(answer: &Stock) -> &Shop {
    &answer.work.shop.shop
}

/// What the share of jobs served is called at the head.
pub(super) const SERVED: &str = "Jobs that never wait";

fn headline(answer: &Stock, rows: &[Row<'_>]) -> Table {
    let (stock, shop) = (&answer.stock, shop(answer));
    let plan = &stock.plan;
    let fill = &plan.service.job_fill;
    let mut table = Table::named();
    table.name(
        SERVED,
        match answer.aim {
            Aim::Fill(target) => aimed(fill, target, stock.held),
            Aim::Budget(_) => Cell::share(fill),
        },
    );
    if !many_lines(answer) {
        add_lines(&mut table, &answer.work, &plan.service);
    }
    let allowed = match answer.aim {
        Aim::Budget(most) => format!("of {} allowed, ", money(most, shop)),
        Aim::Fill(_) => String::new(),
    };
    let paid = rows.iter().map(Row::order_money).sum();
    let how = slip::paid_how(&answer.planned(), rows);
    table.name(
        "To pay now",
        Cell::from(money(paid, shop)).beside(format!("{allowed}{how}")),
    );
    offer::add(&mut table, answer);
    let then = rows
        .iter()
        .map(|row| (row, row.then()))
        .filter(|(_, count)| *count > 0);
    let pieces: u32 = then.clone().map(|(_, count)| count).sum();
    let worth: f64 = then
        .clone()
        .map(|(row, count)| f64::from(count) * row.price)
        .sum();
    table.name(
        "Then in the drawer",
        Cell::from(shims(pieces.into())).beside(format!(
            "of {}; list price {}",
            counted(then.count() as u64, ["size", "sizes"]),
            money(worth, shop)
        )),
    );
    if let Some((service, ahead)) = &stock.ahead {
        table.name(
            format!("The next {}", days(ahead.round())),
            Cell::share(&service.job_fill).and(slip::begun_with(rows)),
        );
    }
    if let Some((name, cell)) = whatif::busy(answer) {
        table.name(name, cell);
    }
    if let Some(spares) = rows::spares(stock) {
        let cheapest = &stock.cheapest;
        table.name(
            "Cheapest a year",
            Cell::from(percent(&cheapest.service.job_fill))
                .beside(format!("{}; {spares}", money(cheapest.money, shop))),
        );
    }
    table
}

/// Lines of jobs that are told of before what is to be paid.
const FEW_LINES: usize = 3;

fn many_lines(answer: &Stock) -> bool {
    answer.work.setups.len() > FEW_LINES
}

/// What to keep and to order, and what that comes to.
fn list(answer: &Stock, rows: &[Row<'_>]) -> (Table, Vec<String>) {
    let shown = rows.iter().filter(|row| row.keep > 0 || row.over() > 0);
    let table = answer
        .list()
        .table(shown, &shop(answer).currency)
        .caption(match answer.have {
            Some(_) => "What to keep, and what to order now",
            None => "What to keep, and what to order for an empty drawer",
        });
    let mut notes = vec![slip::to_pay(shop(answer), rows)];
    let over: f64 = rows.iter().map(Row::worth_over).sum();
    if over > 0.0 {
        let over = money(over, shop(answer));
        notes.push(format!("worth of what is beyond the levels: {over}"));
    }
    (table, notes)
}

/// Sizes that the plan does not keep: wanted by no job that was played, or left out.
fn not_kept(answer: &Stock) -> Table {
    let stock = &answer.stock;
    let mut table =
        Table::new([Column::words(""), Column::words(""), Column::words("")]).caption("Not kept");
    let left_out = if answer.offered {
        "offered; this plan does without"
    } else {
        "this plan does without"
    };
    let never = format!("wanted by none of {} jobs", stock.plan.service.jobs);
    for (s, shelf) in answer.work.shelves.iter().enumerate() {
        let sizes = |wanted: bool| -> Vec<f64> {
            let kept = &stock.plan.levels[s];
            (0..shelf.sizes.len())
                .filter(|i| kept[*i] == 0 && (stock.wanted[s][*i] > 0.0) == wanted)
                .map(|i| shelf.sizes[i])
                .collect()
        };
        for (why, sizes) in [(never.as_str(), sizes(false)), (left_out, sizes(true))] {
            if !sizes.is_empty() {
                let sizes = all_of(&sizes, shelf);
                table.row([shelf.name.as_str().into(), why.into(), sizes.into()]);
            }
        }
    }
    table
}

/// Sizes of a series: `0.10 0.25 mm`.
fn all_of(sizes: &[f64], shelf: &Shelf) -> String {
    let printed = sizes.iter().map(|mm| printed(*mm, shelf.unit));
    let printed: Vec<String> = printed.collect();
    format!("{} {}", printed.join(" "), unit(shelf))
}

/// How well each series builds what is wanted, and what would help.
fn missed(answer: &Stock) -> (Table, String) {
    let mut table = Table::new([Column::words(""), Column::words("")])
        .caption("Thicknesses missed, and sizes to add");
    for (advice, shelf) in answer.stock.advice.iter().zip(&answer.work.shelves) {
        for (line, said) in of_series(advice, shelf).into_iter().enumerate() {
            let series = if line == 0 { &advice.series } else { "" };
            table.row([series.into(), said.into()]);
        }
    }
    let near = shop(answer).drawer.near_enough;
    let words = wording::key("within near_enough of", "near enough to (near_enough)");
    let near = format!(
        "missed is what no pack comes {words}: {} mm, {:.4} in",
        printed(near, 1.0),
        near / MM_PER_INCH
    );
    (table, near)
}

fn of_series(advice: &Advice, shelf: &Shelf) -> Vec<String> {
    let mut lines = vec![format!(
        "misses {} of the thicknesses wanted",
        said(&advice.missed)
    )];
    if let Some(cost) = &advice.cost {
        let spared = spared(cost);
        lines.push(format!("a series without gaps would spare {spared}"));
    }
    for (i, add) in advice.add.iter().enumerate() {
        lines.push(format!(
            "{} {} it misses {}; spared: {}",
            if i == 0 { "with" } else { "and with" },
            thickness(add.size, shelf),
            said(&add.missed),
            spared(&add.spared)
        ));
    }
    if advice.add.is_empty() && advice.missed.value > 0.0 {
        lines.push("no single size of its grid would help".into());
    }
    if !advice.could_go.is_empty() {
        let sizes = all_of(&advice.could_go, shelf);
        lines.push(format!(
            "of what this plan does without, no more is missed: {sizes}"
        ));
    }
    lines
}

/// What would no longer be lost.
fn spared(spared: &Saving) -> String {
    let none = |e: &Estimate| e.low == 0.0 && e.high == 0.0;
    if none(&spared.compromised) && none(&spared.hours) {
        return "nothing".to_owned();
    }
    let (points, hours) = (spared.compromised.times(100.0), &spared.hours);
    let shows = |e: &Estimate| e.low > 0.0 || e.high < 0.0;
    let doubt = if shows(&points) || shows(hours) {
        ""
    } else {
        "nothing that shows: "
    };
    format!(
        "{doubt}{} points of jobs with a compromise, {} h a job",
        said_mean(&points, 2),
        said_mean(hours, 3)
    )
}
