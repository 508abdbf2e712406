//! A quote in words and tables: the flat hours and the price first, then what they come from.

use shimcast_sim::bench::minutes::Task;
use shimcast_sim::count::estimate::Estimate;
use shimcast_sim::quote::Flat;

use super::{Choice, Quotation, costs, flats};
use crate::document::{Block, Cell, Column, Document, Known, Table};
use crate::figures::{Rounded, decimals, plain, said, said_mean, signed, signed_interval};
use crate::questions::frame;
use crate::questions::odds::rows::{WORTH_A_WORD, add_hours, hours};
use crate::questions::outside;
use crate::tasks;

pub(super) fn tell(asked: &Quotation) -> Document {
    let choice = asked.choice();
    let Choice { setup, quote, .. } = choice;
    let partial = quote.partial.then_some(quote.rebuilds);
    let mut document = frame::of_job(setup, partial, &asked.assumptions);
    document.section("", [headline(asked)]).first();
    if quote.rebuilds > 0 {
        let mut hours = Table::named().caption("Hours of a job");
        add_hours(&mut hours, &quote.hours);
        let (minutes, once) = work(choice);
        let cost = costs::table(choice, &asked.assumptions);
        document
            .table(hours, [])
            .table(minutes, [once])
            .table(cost, of_cost(asked))
            .table(flat(asked), not_in_jobs(asked));
    }
    document.table(side_by_side(asked), beside(asked));
    document.behind = frame::behind(quote.rebuilds, asked.seed);
    document
}

fn headline(asked: &Quotation) -> Block {
    let Choice { quote, terms, .. } = asked.choice();
    let Some(flat) = asked.choice().recommended(asked.risk) else {
        return Block::Note("Nothing was simulated.".into());
    };
    let currency = asked.currency();
    let mut table = Table::new([Column::words(""), Column::words("")]);
    let price = if terms.tax > 0.0 {
        format!(
            "{:.0} {currency} before tax, {:.0} {currency} with {} % tax",
            flat.price,
            flat.price_with_tax,
            plain(100.0 * terms.tax)
        )
    } else {
        format!("{:.0} {currency} before tax", flat.price)
    };
    table
        .name("Quote", format!("{:.2} flat hours, {price}", flat.hours))
        .name("Risk", flats::risk(&flat, asked.risk))
        .name("Expected gain", flats::gain(&flat, currency));
    let given_up = outside::rest(&quote.finished);
    if given_up.value > WORTH_A_WORD {
        table.name(
            "Given up",
            format!(
                "{} of such jobs, at a cost that is in the gain",
                said(&given_up)
            ),
        );
    }
    if let Some(jobs) = asked.jobs_a_year {
        let year = flat.gain.times(jobs);
        table.name(
            "Over a year",
            format!(
                "{} {currency} with {} such jobs ({})",
                signed(&year, 0),
                plain(jobs),
                signed_interval(&year, 0)
            ),
        );
    } else {
        table.name(
            "Over a year",
            "not known: it is not among the [[jobs]] of the shop; --jobs-a-year says how many",
        );
    }
    table.name(
        "Ring the customer",
        format!(
            "beyond {} hours: 1 job in 20 gets that far",
            said_mean(&quote.hours.p95, 2)
        ),
    );
    table.into()
}

/// Minutes by task, and how many every job needs. The columns add up as printed.
fn work(choice: &Choice) -> (Table, String) {
    let Choice { setup, quote, .. } = choice;
    let mean = quote.hours.mean.times(60.0);
    let tasks = quote.tasks.iter();
    let exact: Vec<f64> = tasks
        .flat_map(|task| [task.first.value, task.repeats.value])
        .collect();
    let rounded = Rounded::together(&exact, decimals(mean.half_width(), 1));
    let mut table = Table::new([
        Column::words(""),
        Column::intervals("first go"),
        Column::intervals("repeats"),
        Column::figures("together").may_go(),
        Column::figures("share").may_go(),
    ])
    .caption("Where the minutes go, mean of a job");
    let minutes = |mean: &Estimate, rounded: Rounded| match mean.value {
        0.0 => Cell::none(),
        _ => Cell::known(Known::Part(*mean, rounded)),
    };
    for (task, goes) in quote.tasks.iter().zip(rounded.chunks(2)) {
        table.row([
            tasks::words(task.task, setup).into(),
            Cell::known(Known::Part(task.first, goes[0])),
            minutes(&task.repeats, goes[1]),
            Rounded::sum(goes).into(),
            Cell::part_of_whole((task.first.value + task.repeats.value) / mean.value),
        ]);
    }
    let column = |side: usize| Rounded::sum(rounded.iter().skip(side).step_by(2));
    table.row([
        "the whole job".into(),
        column(0).into(),
        column(1).into(),
        Rounded::sum(&rounded).into(),
        "100 %".into(),
    ]);
    let once = quote.tasks.iter().filter(|task| every_job_needs(task.task));
    let once = once.map(|task| task.first.value).sum::<f64>() / mean.value;
    let note = format!(
        "What every job needs once is {:.0} % of the time; changes, reseating and repeats are {:.0} %.",
        100.0 * once,
        100.0 * (1.0 - once)
    );
    (table, note)
}

/// Whether a job that goes right the first time goes through this.
fn every_job_needs(task: Task) -> bool {
    !matches!(
        task,
        Task::SideChange | Task::PinionChange | Task::ReseatRing
    )
}

/// What is said of the costs.
fn of_cost(asked: &Quotation) -> Vec<String> {
    let choice = asked.choice();
    let quote = &choice.quote;
    let mut notes = vec![
        outside::told(&quote.handed_over, &quote.clearly_out),
        "How many are clearly out comes from the model; the share of these that return \
         (prices.comeback_share) is the shop's own assumption."
            .into(),
        costs::hours_in_it(choice, &asked.assumptions),
    ];
    if quote.finished.value < 1.0 {
        notes.push(format!(
            "{} of jobs are finished; one given up costs its hours and prices.given_up, and is not \
             paid.",
            said(&quote.finished)
        ));
    }
    notes.push(price(asked));
    notes
}

/// What the price is made of.
fn price(asked: &Quotation) -> String {
    let choice = asked.choice();
    let terms = choice.terms;
    let costs = costs::costs(choice, &asked.assumptions);
    let beside: Vec<&str> = costs[1..].iter().map(|cost| cost.in_price).collect();
    let sum = format!(
        "flat hours · {} + {}",
        plain(choice.setup.shop.prices.hour),
        beside.join(" + ")
    );
    format!(
        "Price = {}{}.",
        if terms.margin > 0.0 {
            format!("({sum}) / (1 − {} % margin)", plain(100.0 * terms.margin))
        } else {
            sum
        },
        if terms.parts > 0.0 {
            format!(" + {} of parts, passed on", plain(terms.parts))
        } else {
            "; new gears and bearings not included".to_owned()
        }
    )
}

fn flat(asked: &Quotation) -> Table {
    let choice = asked.choice();
    let chosen = choice.recommended(asked.risk);
    flats::table(choice, &choice.flats(), chosen.as_ref(), asked.jobs_a_year)
}

fn not_in_jobs(asked: &Quotation) -> Option<String> {
    asked.jobs_a_year.is_none().then(|| {
        "No [[jobs]] line of the shop names this job; --jobs-a-year gives a year's figures.".into()
    })
}

fn side_by_side(asked: &Quotation) -> Table {
    let currency = asked.currency();
    let choices = asked.choices.iter().map(|_| Column::halves(""));
    let mut table = Table::new(std::iter::once(Column::words("")).chain(choices))
        .caption("Kept or new, side by side");
    let mut row = |name: &str, cell: &dyn Fn(&Choice) -> Cell| {
        let cells = asked.choices.iter().map(cell);
        table.row(std::iter::once(name.into()).chain(cells));
    };
    row("gears", &|c| c.setup.gears.word().into());
    row("bearings", &|c| c.setup.bearings.word().into());
    for (i, (name, _)) in hours(&asked.choice().quote.hours).into_iter().enumerate() {
        row(name, &|c| Cell::mean(hours(&c.quote.hours)[i].1, 2));
    }
    row("right when handed over", &|c| {
        Cell::share(&c.quote.handed_over)
    });
    row("clearly out", &|c| Cell::share(&c.quote.clearly_out));
    if asked.given_up() {
        row("given up", &|c| {
            Cell::share(&outside::rest(&c.quote.finished))
        });
    }
    row(&format!("cost, {currency}"), &|c| {
        Cell::mean(&c.quote.money.cost, 0)
    });
    let quoted = |c: &Choice, show: &dyn Fn(&Flat) -> Cell| {
        c.recommended(asked.risk)
            .map_or_else(Cell::none, |f| show(&f))
    };
    row("flat hours", &|c| quoted(c, &|f| Cell::exact(f.hours, 2)));
    row("take longer", &|c| quoted(c, &|f| Cell::share(&f.overrun)));
    row(&format!("price, {currency}"), &|c| {
        quoted(c, &|f| Cell::exact(f.price, 0))
    });
    if asked.choice().terms.tax > 0.0 {
        row("price with tax", &|c| {
            quoted(c, &|f| Cell::exact(f.price_with_tax, 0))
        });
    }
    table
}

/// What is said of the jobs side by side.
fn beside(asked: &Quotation) -> Vec<String> {
    let mut notes = Vec::new();
    if asked.choices.iter().all(|choice| choice.terms.parts == 0.0) {
        notes.push(
            "New gears and bearings are not in these prices; --gear-price and --bearing-price put \
             them in.",
        );
    }
    if asked.given_up() {
        notes.push(
            "Costs are of all jobs: where more of them are given up, a lower cost is not all saved.",
        );
    }
    notes.push(
        "\"±\" is half the 95 % interval. Kept gears are held to the windows of new ones, though \
         worn pairs are often set to their old backlash; wear and damage are outside the model.",
    );
    notes.into_iter().map(str::to_owned).collect()
}
