//! The drawer in words and tables: first what it serves and costs, then what to keep and to order,
//! then what other sums of money would do.

use shimcast_sim::estimate::Estimate;
use shimcast_sim::shop::Shop;
use shimcast_sim::stock::{Advice, Aim, Shelf, Spared};
use shimcast_sim::units::MM_PER_INCH;

use super::{Stock, book};
use crate::document::{Block, Cell, Column, Document, Known, Table};
use crate::figures::{interval, number, percent, percent_interval};
use crate::questions::drawer::list::{Row, printed, thickness, unit};
use crate::questions::drawer::tell::{add_lines, aimed, money, of_shop, share};

/// A series that misses this share of the thicknesses wanted is spoken of at the head.
const MOSTLY_MISSED: f64 = 0.5;

pub(super) fn tell(answer: &Stock) -> Document {
    let shop = shop(answer);
    let rows = answer.rows();
    let mut document = of_shop(format!("The shim drawer of {}", shop.name), &answer.work);
    let order = match answer.have {
        Some(_) => "What to keep, and what to order now",
        None => "What to keep, and what to order for an empty drawer",
    };
    document
        .section("", [headline(answer, &rows).into()])
        .section(order, list(answer, &rows));
    let not_kept = not_kept(answer);
    if !not_kept.rows.is_empty() {
        document.section("Not kept", [not_kept.into()]);
    }
    document
        .section("Thicknesses missed, and sizes to add", missed(answer))
        .section("What it costs a year", costs(answer))
        .section("Service against money", [curve(answer).into()]);
    if let Some((book, days)) = &answer.book {
        let table = book::table(&answer.work, book);
        document.section(format!("Day book of {days:.0} days"), [table.into()]);
    }
    let stock = &answer.stock;
    document.behind = format!(
        "{} rebuilds, {:.0} years of the plan among them, seed {}; \"to\" gives 95 % intervals of \
         the simulation. Prices, times between orders and chances of spoiling are what the files \
         say: the built-in ones are plausible, not measured.",
        stock.rebuilds, stock.plan.service.years, answer.seed
    );
    document
}

fn shop(answer: &Stock) -> &Shop {
    &answer.work.shop.shop
}

fn headline(answer: &Stock, rows: &[Row<'_>]) -> Table {
    let (stock, shop) = (&answer.stock, shop(answer));
    let plan = &stock.plan;
    let fill = &plan.service.job_fill;
    let mut table = Table::named();
    table.name(
        "Jobs that never wait",
        match answer.aim {
            Aim::Fill(target) => aimed(fill, target, stock.held),
            Aim::Budget(_) => Cell::share(fill),
        },
    );
    add_lines(&mut table, &answer.work, &plan.service);
    let sum = |amount: f64| Cell::from(money(amount, shop));
    let pieces: u32 = plan.levels.iter().flatten().sum();
    let kept = plan.levels.iter().flatten().filter(|n| **n > 0).count();
    let budget = match answer.aim {
        Aim::Budget(most) => format!(", of the {} allowed", money(most, shop)),
        Aim::Fill(_) => String::new(),
    };
    table
        .name(
            "Money in the drawer",
            sum(plan.money).beside(format!("for {pieces} shims of {kept} sizes{budget}")),
        )
        .name(
            "To pay for the order",
            sum(rows.iter().map(Row::order_money).sum()).beside(match answer.have {
                Some(_) => "in whole packs, beside what is there",
                None => "in whole packs, for an empty drawer",
            }),
        );
    // a drawer of few sizes serves well: with packs that are not what was wanted
    for Advice { series, missed, .. } in &stock.advice {
        if missed.value >= MOSTLY_MISSED {
            let what = format!(
                "of the thicknesses wanted ({}): what is fitted instead is a compromise",
                percent_interval(missed)
            );
            table.name(
                format!("What {series} can't make"),
                Cell::share(missed).beside(what),
            );
        }
    }
    if let Some((service, days)) = &stock.ahead {
        table.name(
            format!("The next {days:.0} days"),
            Cell::share(&service.job_fill).and("from what is in the drawer, ordering now"),
        );
    }
    let (count, same) = &stock.equal.same_money;
    table.name(
        "For that money, equal counts",
        Cell::share(&same.service.job_fill).and(format!(
            "with {count} of every size: {}",
            money(same.money, shop)
        )),
    );
    table.name(
        "For that service, equal counts",
        match &stock.equal.same_service {
            Some((count, same)) => sum(same.money).beside(format!(
                "{count} of every size serve {} ({}): {:.1} times the money",
                percent(&same.service.job_fill),
                percent_interval(&same.service.job_fill),
                same.money / plan.money
            )),
            None => Cell::none().beside("no count that was tried serves as many jobs"),
        },
    );
    table
}

fn list(answer: &Stock, rows: &[Row<'_>]) -> Vec<Block> {
    let counted = answer.have.is_some();
    let mut columns = vec![
        Column::words("series"),
        Column::figures("size"),
        Column::figures("keep"),
        Column::figures("money").may_go(),
        Column::figures("used a year").may_go(),
    ];
    if counted {
        columns.push(Column::figures("have"));
    }
    // "2 packs of 5"
    columns.push(Column::figures("order"));
    columns.push(Column::words("packs of"));
    columns.push(Column::figures("to pay"));
    if counted {
        columns.push(Column::figures("too many"));
        columns.push(Column::figures("worth").may_go());
    }
    let mut table = Table::new(columns);
    let unless_none = |n: u32, text: String| if n == 0 { Cell::none() } else { text.into() };
    let mut worth = 0.0;
    for row in rows.iter().filter(|r| r.keep > 0 || r.over() > 0) {
        let mut cells: Vec<Cell> = vec![
            row.shelf.name.as_str().into(),
            row.thickness().into(),
            row.keep.to_string().into(),
            format!("{:.2}", row.money()).into(),
            Cell::mean(&not_below_zero(&row.used), 1),
        ];
        if counted {
            cells.push(row.have.unwrap_or(0).to_string().into());
        }
        let packs = row.packs();
        cells.push(unless_none(packs, packs.to_string()));
        cells.push(row.shelf.pack_of.to_string().into());
        cells.push(unless_none(packs, format!("{:.2}", row.order_money())));
        if counted {
            let over = row.over();
            let money = f64::from(over) * row.price;
            worth += money;
            cells.push(unless_none(over, over.to_string()));
            cells.push(unless_none(over, format!("{money:.2}")));
        }
        table.row(cells);
    }
    let shop = shop(answer);
    let to_pay = rows.iter().map(Row::order_money).sum();
    let mut blocks = vec![
        table.into(),
        Block::Note(format!("to pay for the order: {}", money(to_pay, shop))),
    ];
    if worth > 0.0 {
        blocks.push(Block::Note(format!(
            "worth of what is beyond the levels: {}",
            money(worth, shop)
        )));
    }
    blocks
}

/// Some sizes are put back more often than taken, and the drawer only loses them by spoiling.
fn not_below_zero(used: &Estimate) -> Estimate {
    Estimate {
        value: used.value.max(0.0),
        ..*used
    }
}

/// Sizes that the plan does not keep: never wanted, or not worth their place.
fn not_kept(answer: &Stock) -> Table {
    let stock = &answer.stock;
    let mut table = Table::new([Column::words(""), Column::words(""), Column::words("")]);
    let not_worth = if answer.offered {
        "offered, but not worth holding"
    } else {
        "not worth holding"
    };
    for (s, shelf) in answer.work.shelves.iter().enumerate() {
        let sizes = |wanted: bool| -> Vec<f64> {
            let kept = &stock.plan.levels[s];
            (0..shelf.sizes.len())
                .filter(|i| kept[*i] == 0 && (stock.wanted[s][*i] > 0.0) == wanted)
                .map(|i| shelf.sizes[i])
                .collect()
        };
        for (why, sizes) in [("never needed", sizes(false)), (not_worth, sizes(true))] {
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
fn missed(answer: &Stock) -> [Block; 2] {
    let mut table = Table::new([Column::words(""), Column::words("")]);
    for (advice, shelf) in answer.stock.advice.iter().zip(&answer.work.shelves) {
        for (line, said) in of_series(advice, shelf).into_iter().enumerate() {
            let series = if line == 0 { &advice.series } else { "" };
            table.row([series.into(), said.into()]);
        }
    }
    let near = shop(answer).drawer.near_enough;
    let near = format!(
        "missed is what no pack comes within near_enough of: {} mm, {:.4} in",
        printed(near, 1.0),
        near / MM_PER_INCH
    );
    [table.into(), Block::Note(near)]
}

fn of_series(advice: &Advice, shelf: &Shelf) -> Vec<String> {
    let share = |e: &Estimate| match percent_interval(e) {
        range if e.value == 0.0 => format!("none ({range})"),
        range => format!("{} ({range})", percent(e)),
    };
    let mut said = vec![format!(
        "misses {} of the thicknesses wanted",
        share(&advice.missed)
    )];
    if let Some(cost) = &advice.cost {
        let spared = spared(cost);
        said.push(format!("a series without gaps would spare {spared}"));
    }
    for (i, add) in advice.add.iter().enumerate() {
        said.push(format!(
            "{} {} it misses {}; spared: {}",
            if i == 0 { "with" } else { "and with" },
            thickness(add.size, shelf),
            share(&add.missed),
            spared(&add.spared)
        ));
    }
    if advice.add.is_empty() && advice.missed.value > 0.0 {
        said.push("no single size of its grid would help".into());
    }
    if !advice.could_go.is_empty() {
        let sizes = all_of(&advice.could_go, shelf);
        said.push(format!("could go without loss: {sizes}"));
    }
    said
}

/// What would no longer be lost.
fn spared(spared: &Spared) -> String {
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
        "{doubt}{} points ({}) of jobs with a compromise, {} h a job ({})",
        number(&points, 2),
        interval(&points, 2),
        number(hours, 3),
        interval(hours, 3)
    )
}

fn costs(answer: &Stock) -> [Block; 2] {
    let (shop, stock) = (shop(answer), &answer.stock);
    let drawer = &shop.drawer;
    let yearly = drawer.yearly(&stock.plan.service);
    let sum = |e: &Estimate| Cell::known(Known::Money(*e)).of_unit(&shop.currency);
    let mut table = Table::new([
        Column::words(""),
        Column::intervals(""),
        Column::words("").may_go(),
    ]);
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
        ("all of it", &yearly.total, String::new()),
    ] {
        table.row([name.into(), sum(cost), note.into()]);
    }
    let cheapest = &stock.cheapest;
    let total = sum(&drawer.yearly(&cheapest.service).total);
    let note = format!(
        "cheapest: a job_fill of {} with {} in the drawer, at {} a year ({})",
        percent(&cheapest.service.job_fill),
        money(cheapest.money, shop),
        total.value(),
        total.range(),
    );
    [table.into(), Block::Note(note)]
}

fn curve(answer: &Stock) -> Table {
    let (shop, stock) = (shop(answer), &answer.stock);
    let mut table = Table::new([
        Column::figures(format!("money, {}", shop.currency)),
        Column::intervals("jobs that never wait"),
        Column::intervals("cost a year").may_go(),
        Column::words("").may_go(),
    ]);
    for point in &stock.curve {
        let same = |money: f64| (point.money - money).abs() < 1e-6;
        let mut note = Vec::new();
        if same(stock.plan.money) {
            note.push("the plan");
        }
        if same(stock.cheapest.money) {
            note.push("the cheapest");
        }
        table.row([
            format!("{:.2}", point.money).into(),
            Cell::share(&point.service.job_fill),
            Cell::known(Known::Money(shop.drawer.yearly(&point.service).total)),
            note.join(", ").into(),
        ]);
    }
    table
}
