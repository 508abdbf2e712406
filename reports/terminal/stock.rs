//! The drawer as text: first what it serves and costs, then what to keep and to order, then what
//! other sums of money would do.

use std::fmt::Write;

use shimcast_sim::estimate::Estimate;
use shimcast_sim::setup::Setup;
use shimcast_sim::shop::Shop;
use shimcast_sim::stock::{Aim, Levels, Point, Service, Shelf, Spared, Stock};
use shimcast_sim::units::MM_PER_INCH;

use super::shared::assumptions;
use super::{CAUTION, Ink, Table};
use crate::figures::{decimals, interval, number, percent, percent_interval};
use crate::files::Assumption;
use crate::list::{Row, rows};

/// A series that misses this share of the thicknesses wanted is spoken of at the head.
const MOSTLY_MISSED: f64 = 0.5;

/// What the answer was asked about.
#[derive(Debug, Clone, Copy)]
pub struct Asked<'a> {
    /// The shop.
    pub shop: &'a Shop,
    /// Its lines of jobs with how many come a month.
    pub lines: &'a [(&'a Setup, f64)],
    /// The series in the drawer.
    pub shelves: &'a [Shelf],
    /// What it is to be good for.
    pub aim: Aim,
    /// What is in it now.
    pub have: Option<&'a Levels>,
    /// Whether the sizes and prices are a supplier's.
    pub offered: bool,
    /// Seed of the run.
    pub seed: u64,
    /// Defaults in use.
    pub assumptions: &'a [Assumption],
}

/// An amount of money in the shop's currency.
pub(super) fn money(amount: f64, shop: &Shop) -> String {
    format!("{amount:.2} {}", shop.currency)
}

/// The lines of jobs.
pub(super) fn jobs(lines: &[(&Setup, f64)]) -> String {
    let mut table = Table::right(&[1]);
    for (setup, per_month) in lines {
        table.row([
            setup.axle.name.clone(),
            per_month.to_string(),
            format!(
                "a month, gears {}, bearings {}",
                setup.gears.word(),
                setup.bearings.word()
            ),
        ]);
    }
    table.text()
}

/// Where several lines of jobs are served, how well each is.
pub(super) fn by_line(lines: &[(&Setup, f64)], service: &Service) -> Vec<[String; 3]> {
    if lines.len() < 2 {
        return Vec::new();
    }
    lines
        .iter()
        .zip(&service.by_line)
        .map(|((setup, _), fill)| {
            let name = &setup.axle.name;
            let alike = lines.iter().filter(|(other, _)| other.axle.name == *name);
            let which = match alike.count() {
                1 => String::new(),
                _ => format!(
                    ", gears {}, bearings {}",
                    setup.gears.word(),
                    setup.bearings.word()
                ),
            };
            [
                format!("  of {name}{which}"),
                percent(fill),
                percent_interval(fill),
            ]
        })
        .collect()
}

/// The answer as text.
pub fn render(asked: Asked<'_>, stock: &Stock, ink: Ink) -> String {
    let mut text = String::new();
    let title = format!("The shim drawer of {}", asked.shop.name);
    let _ = writeln!(text, "{}", ink.heading(&title));
    text.push_str(&jobs(asked.lines));
    text.push('\n');
    let used = &stock.plan.service.used;
    let rows = rows(asked.shelves, &stock.plan.levels, asked.have, used);
    text.push_str(&headline(asked, stock, &rows));
    let mut section = |title: &str, body: String| {
        if !body.is_empty() {
            let _ = write!(text, "\n{}\n{body}", ink.heading(title));
        }
    };
    let order = match asked.have {
        Some(_) => "What to keep, and what to order now",
        None => "What to keep, and what to order for an empty drawer",
    };
    section(order, list(asked, &rows));
    section("Not kept", not_kept(asked, stock));
    section("Thicknesses missed, and sizes to add", missed(asked, stock));
    section("What it costs a year", costs(asked, stock));
    section("Service against money", curve(asked, stock));
    let _ = writeln!(
        text,
        "\n{} rebuilds, {:.0} years of the plan among them, seed {}; \"to\" gives 95 % intervals \
         of\nthe simulation. Prices, times between orders and chances of spoiling are what the \
         files say:\nthe built-in ones are plausible, not measured.",
        stock.rebuilds, stock.plan.service.years, asked.seed
    );
    text.push_str(&assumptions(asked.assumptions, ink));
    let _ = write!(text, "\n{CAUTION}");
    text
}

fn headline(asked: Asked<'_>, stock: &Stock, rows: &[Row<'_>]) -> String {
    let shop = asked.shop;
    let fill = &stock.plan.service.job_fill;
    let mut table = Table::right(&[1]);
    let note = match asked.aim {
        Aim::Fill(target) if stock.held => {
            format!("{}, asked for: {}", percent_interval(fill), share(target))
        }
        Aim::Fill(target) => format!(
            "{}, NOT the {} asked for",
            percent_interval(fill),
            share(target)
        ),
        Aim::Budget(_) => percent_interval(fill),
    };
    table.row(["Jobs that never wait".to_owned(), percent(fill), note]);
    for row in by_line(asked.lines, &stock.plan.service) {
        table.row(row);
    }
    let pieces: u32 = stock.plan.levels.iter().flatten().sum();
    let kept = stock.plan.levels.iter().flatten().filter(|n| **n > 0);
    let budget = match asked.aim {
        Aim::Budget(most) => format!(", of the {} allowed", money(most, shop)),
        Aim::Fill(_) => String::new(),
    };
    table.row([
        "Money in the drawer".to_owned(),
        money(stock.plan.money, shop),
        format!("for {pieces} shims of {} sizes{budget}", kept.count()),
    ]);
    table.row([
        "To pay for the order".to_owned(),
        money(rows.iter().map(Row::order_money).sum(), shop),
        match asked.have {
            Some(_) => "in whole packs, beside what is there".to_owned(),
            None => "in whole packs, for an empty drawer".to_owned(),
        },
    ]);
    // a drawer of few sizes serves well: with packs that are not what was wanted
    for advice in &stock.advice {
        if advice.missed.value >= MOSTLY_MISSED {
            table.row([
                format!("What {} can't make", advice.series),
                percent(&advice.missed),
                format!(
                    "of the thicknesses wanted ({}): what is fitted instead is a compromise",
                    percent_interval(&advice.missed)
                ),
            ]);
        }
    }
    if let Some((service, days)) = &stock.ahead {
        table.row([
            format!("The next {days:.0} days"),
            percent(&service.job_fill),
            format!(
                "{}, from what is in the drawer, ordering now",
                percent_interval(&service.job_fill)
            ),
        ]);
    }
    let (count, same) = &stock.equal.same_money;
    table.row([
        "For that money, equal counts".to_owned(),
        percent(&same.service.job_fill),
        format!(
            "{}, with {count} of every size: {}",
            percent_interval(&same.service.job_fill),
            money(same.money, shop)
        ),
    ]);
    match &stock.equal.same_service {
        Some((count, same)) => table.row([
            "For that service, equal counts".to_owned(),
            money(same.money, shop),
            format!(
                "{count} of every size serve {} ({}): {:.1} times the money",
                percent(&same.service.job_fill),
                percent_interval(&same.service.job_fill),
                same.money / stock.plan.money
            ),
        ]),
        None => table.row([
            "For that service, equal counts".to_owned(),
            "-".to_owned(),
            "no count that was tried serves as many jobs".to_owned(),
        ]),
    };
    table.text()
}

/// A share that someone asked for, as a person writes it.
pub(super) fn share(share: f64) -> String {
    let percent = format!("{:.4}", 100.0 * share);
    format!("{} %", percent.trim_end_matches('0').trim_end_matches('.'))
}

fn list(asked: Asked<'_>, rows: &[Row<'_>]) -> String {
    let counted = asked.have.is_some();
    let mut table = Table::right(if counted {
        &[1, 3, 4, 5, 6, 7, 9, 10, 11]
    } else {
        &[1, 3, 4, 5, 6, 8]
    });
    let mut heading = vec!["series", "size", "", "keep", "money", "used a year"];
    if counted {
        heading.push("have");
    }
    heading.extend(["order", "packs of", "to pay"]);
    if counted {
        heading.extend(["too many", "worth"]);
    }
    table.row(heading);
    let mut to_pay = 0.0;
    let mut worth = 0.0;
    for row in rows.iter().filter(|r| r.keep > 0 || r.over() > 0) {
        let mut cells = vec![
            row.shelf.name.clone(),
            row.printed(),
            row.unit().to_owned(),
            row.keep.to_string(),
            format!("{:.2}", row.money()),
            rate(&row.used),
        ];
        if counted {
            cells.push(row.have.unwrap_or(0).to_string());
        }
        let nothing = || "-".to_owned();
        let count = |n: u32| if n == 0 { nothing() } else { n.to_string() };
        cells.push(count(row.packs()));
        cells.push(row.shelf.pack_of.to_string());
        cells.push(match row.packs() {
            0 => nothing(),
            _ => format!("{:.2}", row.order_money()),
        });
        to_pay += row.order_money();
        if counted {
            let over = f64::from(row.over()) * row.price;
            worth += over;
            cells.push(count(row.over()));
            cells.push(match row.over() {
                0 => nothing(),
                _ => format!("{over:.2}"),
            });
        }
        table.row(cells);
    }
    let mut text = table.text();
    let _ = writeln!(
        text,
        "  to pay for the order: {}",
        money(to_pay, asked.shop)
    );
    if worth > 0.0 {
        let _ = writeln!(
            text,
            "  worth of what is beyond the levels: {}",
            money(worth, asked.shop)
        );
    }
    text
}

/// A rate a year, with no more digits than it is known to.
fn rate(rate: &Estimate) -> String {
    // some sizes are put back more often than taken, and the drawer only loses them by spoiling
    let places = decimals(rate.half_width(), 1);
    format!("{:.places$}", rate.value.max(0.0))
}

/// Sizes that the plan does not keep: never wanted, or not worth their place.
fn not_kept(asked: Asked<'_>, stock: &Stock) -> String {
    let mut table = Table::default();
    let not_worth = if asked.offered {
        "offered, but not worth holding"
    } else {
        "not worth holding"
    };
    for (s, shelf) in asked.shelves.iter().enumerate() {
        let sizes = |wanted: bool| {
            let kept = &stock.plan.levels[s];
            let not_kept = (0..shelf.sizes.len())
                .filter(|i| kept[*i] == 0 && (stock.wanted[s][*i] > 0.0) == wanted)
                .map(|i| crate::list::printed(shelf.sizes[i], shelf.unit));
            not_kept.collect::<Vec<String>>().join(" ")
        };
        for (why, sizes) in [("never needed", sizes(false)), (not_worth, sizes(true))] {
            if !sizes.is_empty() {
                let unit = crate::list::unit(shelf);
                table.row([
                    shelf.name.clone(),
                    why.to_owned(),
                    format!("{sizes} {unit}"),
                ]);
            }
        }
    }
    table.text()
}

/// How well each series builds what is wanted, and what would help.
fn missed(asked: Asked<'_>, stock: &Stock) -> String {
    let mut text = String::new();
    for (advice, shelf) in stock.advice.iter().zip(asked.shelves) {
        let size = |mm: f64| crate::list::printed(mm, shelf.unit);
        let unit = crate::list::unit(shelf);
        let share = |e: &Estimate| match percent_interval(e) {
            range if e.value == 0.0 => format!("none ({range})"),
            range => format!("{} ({range})", percent(e)),
        };
        let spared = |spared: &Spared| {
            let none = |e: &Estimate| e.low == 0.0 && e.high == 0.0;
            if none(&spared.compromised) && none(&spared.hours) {
                return "nothing".to_owned();
            }
            let e = spared.compromised.times(100.0);
            let hours = &spared.hours;
            let shows = |e: &Estimate| e.low > 0.0 || e.high < 0.0;
            let doubt = if shows(&e) || shows(hours) {
                ""
            } else {
                "nothing that shows: "
            };
            format!(
                "{doubt}{} points ({}) of jobs with a compromise, {} h a job ({})",
                number(&e, 2),
                interval(&e, 2),
                number(hours, 3),
                interval(hours, 3)
            )
        };
        let _ = writeln!(
            text,
            "  {:<8}misses {} of the thicknesses wanted",
            advice.series,
            share(&advice.missed)
        );
        if let Some(cost) = &advice.cost {
            let _ = writeln!(
                text,
                "          a series without gaps would spare {}",
                spared(cost)
            );
        }
        for (i, add) in advice.add.iter().enumerate() {
            let also = if i == 0 { "with" } else { "and with" };
            let _ = writeln!(
                text,
                "          {also} {} {unit} it misses {}; spared: {}",
                size(add.size),
                share(&add.missed),
                spared(&add.spared)
            );
        }
        if advice.add.is_empty() && advice.missed.value > 0.0 {
            let _ = writeln!(text, "          no single size of its grid would help");
        }
        if !advice.could_go.is_empty() {
            let gone: Vec<String> = advice.could_go.iter().map(|mm| size(*mm)).collect();
            let _ = writeln!(
                text,
                "          could go without loss: {} {unit}",
                gone.join(" ")
            );
        }
    }
    let near = asked.shop.drawer.near_enough;
    let _ = writeln!(
        text,
        "  missed is what no pack comes within near_enough of: {} mm, {:.4} in",
        crate::list::printed(near, 1.0),
        near / MM_PER_INCH
    );
    text
}

fn costs(asked: Asked<'_>, stock: &Stock) -> String {
    let drawer = &asked.shop.drawer;
    let yearly = drawer.yearly(&stock.plan.service);
    let mut table = Table::right(&[1]);
    let currency = &asked.shop.currency;
    let mut row = |name: &str, e: &Estimate, note: String| {
        let places = decimals(e.half_width(), 2);
        table.row([
            name.to_owned(),
            format!("{:.places$} {currency}", e.value),
            format!("{:.places$} to {:.places$}", e.low, e.high),
            note,
        ]);
    };
    row(
        "holding",
        &yearly.holding,
        format!(
            "{} a year of the money on hand",
            share(drawer.holding_share)
        ),
    );
    row(
        "jobs that wait",
        &yearly.waiting,
        format!("{} each", money(drawer.wait_cost, asked.shop)),
    );
    row(
        "deliveries",
        &yearly.deliveries,
        format!("{} an order", money(drawer.delivery_cost, asked.shop)),
    );
    row("all of it", &yearly.total, String::new());
    let cheapest = &stock.cheapest;
    let total = drawer.yearly(&cheapest.service).total;
    let mut text = table.text();
    let places = decimals(total.half_width(), 2);
    let _ = writeln!(
        text,
        "  cheapest: a job_fill of {} with {} in the drawer, at {:.places$} \
         {currency} a year ({:.places$} to {:.places$})",
        percent(&cheapest.service.job_fill),
        money(cheapest.money, asked.shop),
        total.value,
        total.low,
        total.high,
    );
    text
}

fn curve(asked: Asked<'_>, stock: &Stock) -> String {
    let drawer = &asked.shop.drawer;
    let mut table = Table::right(&[0, 1, 3]);
    table.row([
        &format!("money, {}", asked.shop.currency),
        "jobs that never wait",
        "",
        "cost a year",
        "",
        "",
    ]);
    let cheapest = stock.cheapest.money;
    for point in &stock.curve {
        let Point { money, service, .. } = point;
        let total = drawer.yearly(service).total;
        let places = decimals(total.half_width(), 2);
        let mut note = Vec::new();
        if (money - stock.plan.money).abs() < 1e-6 {
            note.push("the plan");
        }
        if (money - cheapest).abs() < 1e-6 {
            note.push("the cheapest");
        }
        table.row([
            format!("{money:.2}"),
            percent(&service.job_fill),
            percent_interval(&service.job_fill),
            format!("{:.places$}", total.value),
            format!("{:.places$} to {:.places$}", total.low, total.high),
            note.join(", "),
        ]);
    }
    table.text()
}
