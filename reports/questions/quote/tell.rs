//! A quote in words and tables: the flat hours and the price first, then what stands behind them.

use shimcast_sim::estimate::Estimate;
use shimcast_sim::minutes::Task;
use shimcast_sim::quote::{Flat, Quote};

use super::{Choice, Quoted, costs};
use crate::document::{Block, Cell, Column, Document, Known, Table};
use crate::figures::{
    Rounded, decimals, interval, number, percent, percent_interval, plain, signed, signed_interval,
};
use crate::questions::frame;
use crate::questions::outside;
use crate::tasks;

pub(super) fn tell(asked: &Quoted) -> Document {
    let Choice { setup, quote, .. } = asked.choice();
    let partial = quote.partial.then_some(quote.rebuilds);
    let mut document = frame::of_job(setup, partial, &asked.assumptions);
    document
        .section("", [headline(asked)])
        .section("Hours of a job", [hours(quote).into()])
        .section("Where the minutes go, mean of a job", work(asked.choice()))
        .section(
            format!("What a job costs the shop, {}", asked.currency()),
            cost(asked),
        )
        .section("Flat hours against what they risk", flat(asked))
        .section("Kept or new, side by side", side_by_side(asked));
    document.behind = frame::behind(quote.rebuilds, asked.seed);
    document
}

fn nothing() -> Block {
    Block::Note("Nothing was simulated.".into())
}

fn headline(asked: &Quoted) -> Block {
    let Choice { quote, terms, .. } = asked.choice();
    let Some(flat) = asked.recommended(asked.choice()) else {
        return nothing();
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
        .name(
            "Risk",
            format!(
                "{} of jobs take longer ({}); {} % were allowed",
                percent(&flat.overrun),
                percent_interval(&flat.overrun),
                plain(100.0 * asked.risk)
            ),
        )
        .name(
            "Expected gain",
            format!(
                "{} {currency} a job over its cost ({})",
                signed(&flat.gain, 0),
                signed_interval(&flat.gain, 0)
            ),
        );
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
            "not told: it is not among the [[jobs]] of the shop; --jobs-a-year says how many",
        );
    }
    table.name(
        "Ring the customer",
        format!(
            "beyond {} h ({}): 1 job in 20 gets that far",
            number(&quote.hours.p95, 2),
            interval(&quote.hours.p95, 2)
        ),
    );
    table.into()
}

fn hours(quote: &Quote) -> Table {
    let hours = &quote.hours;
    let mut table = Table::named();
    table
        .name("mean", Cell::mean(&hours.mean, 2))
        .name("p50, 1 job in 2 within", Cell::mean(&hours.p50, 2))
        .name("p80, 4 jobs in 5 within", Cell::mean(&hours.p80, 2))
        .name("p90, 9 jobs in 10 within", Cell::mean(&hours.p90, 2))
        .name("p95, 19 jobs in 20 within", Cell::mean(&hours.p95, 2));
    table
}

/// Minutes by task. The columns add up as printed.
fn work(choice: &Choice) -> Vec<Block> {
    let Choice { setup, quote, .. } = choice;
    let mean = quote.hours.mean.times(60.0);
    if mean.value.is_nan() {
        return vec![Block::Note("-".into())];
    }
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
    ]);
    let minutes = |mean: &Estimate, rounded: Rounded| match mean.value {
        0.0 => Cell::none(),
        _ => Cell::known(Known::Part(*mean, rounded, 1)),
    };
    for (task, goes) in quote.tasks.iter().zip(rounded.chunks(2)) {
        table.row([
            tasks::words(task.task, setup).into(),
            Cell::known(Known::Part(task.first, goes[0], 1)),
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
    vec![table.into(), Block::Note(note)]
}

/// Whether a job that goes right the first time goes through this.
fn every_job_needs(task: Task) -> bool {
    !matches!(
        task,
        Task::SideChange | Task::PinionChange | Task::ReseatRing
    )
}

fn cost(asked: &Quoted) -> Vec<Block> {
    let choice = asked.choice();
    let quote = &choice.quote;
    let cells = costs::cells(choice, &asked.assumptions);
    if cells.is_empty() {
        return vec![nothing()];
    }
    let mut table = Table::new([Column::words(""), Column::intervals(""), Column::words("")]);
    for (name, cell, note) in cells {
        table.row([name.into(), cell, note.into()]);
    }
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
            percent(&quote.finished)
        ));
    }
    notes.push(price(asked));
    let notes = notes.into_iter().map(Block::Note);
    std::iter::once(table.into()).chain(notes).collect()
}

/// What the price is made of.
fn price(asked: &Quoted) -> String {
    let choice = asked.choice();
    let terms = choice.terms;
    let costs = costs::costs(choice, &asked.assumptions);
    let beside: Vec<&str> = costs[1..].iter().map(|cost| cost.in_price).collect();
    format!(
        "Price = (flat hours · {} + {}){}{}.",
        plain(choice.setup.shop.prices.hour),
        beside.join(" + "),
        if terms.margin > 0.0 {
            format!(" / (1 − {} % margin)", plain(100.0 * terms.margin))
        } else {
            String::new()
        },
        if terms.parts > 0.0 {
            format!(" + {} of parts, passed on", plain(terms.parts))
        } else {
            "; new gears and bearings not included".to_owned()
        }
    )
}

fn flat(asked: &Quoted) -> Vec<Block> {
    let choice = asked.choice();
    let recommended = asked.recommended(choice).map(|flat| flat.hours);
    let mut paying = false;
    let mut columns = vec![
        Column::figures("flat hours"),
        Column::figures(format!("price, {}", asked.currency())),
        Column::intervals("take longer"),
        Column::intervals("gain a job"),
    ];
    if let Some(jobs) = asked.jobs_a_year {
        columns.push(Column::intervals(format!("a year of {}", plain(jobs))).may_go());
    }
    columns.push(Column::words(""));
    let mut table = Table::new(columns);
    for hours in choice.quote.hours_to_show() {
        let flat = choice.quote.flat(hours, choice.terms);
        let mut row = vec![
            Cell::exact(hours, 2),
            Cell::exact(flat.price, 0),
            Cell::share(&flat.overrun),
            Cell::change(&flat.gain, 0),
        ];
        let a_year = asked.jobs_a_year.map(|jobs| flat.gain.times(jobs));
        row.extend(a_year.map(|gain| Cell::change(&gain, 0)));
        let mut marks = Vec::new();
        if flat.gain.low > 0.0 && !paying {
            paying = true;
            marks.push("pays from here");
        }
        if Some(hours) == recommended {
            marks.push("quote");
        }
        if !marks.is_empty() {
            row.push(format!("<- {}", marks.join(", ")).into());
        }
        table.row(row);
    }
    let mut blocks = vec![table.into()];
    if asked.jobs_a_year.is_none() {
        blocks.push(Block::Note(
            "No [[jobs]] line of the shop names this job; --jobs-a-year gives a year's figures."
                .into(),
        ));
    }
    blocks
}

fn side_by_side(asked: &Quoted) -> Vec<Block> {
    let currency = asked.currency();
    let choices = asked.choices.iter().map(|_| Column::halves(""));
    let mut table = Table::new(std::iter::once(Column::words("")).chain(choices));
    let mut row = |name: &str, cell: &dyn Fn(&Choice) -> Cell| {
        let cells = asked.choices.iter().map(cell);
        table.row(std::iter::once(name.into()).chain(cells));
    };
    row("gears", &|c| c.setup.gears.word().into());
    row("bearings", &|c| c.setup.bearings.word().into());
    for (name, pick) in [
        (
            "hours, mean",
            (|q| &q.hours.mean) as fn(&Quote) -> &Estimate,
        ),
        ("hours, p50", |q| &q.hours.p50),
        ("hours, p80", |q| &q.hours.p80),
        ("hours, p95: ring beyond", |q| &q.hours.p95),
    ] {
        row(name, &|c| Cell::mean(pick(&c.quote), 2));
    }
    row("right when handed over", &|c| {
        Cell::share(&c.quote.handed_over)
    });
    row("clearly out", &|c| Cell::share(&c.quote.clearly_out));
    let given_up = asked.choices.iter().any(|c| c.quote.finished.value < 1.0);
    if given_up {
        row("given up", &|c| {
            Cell::share(&outside::rest(&c.quote.finished))
        });
    }
    row(&format!("cost, {currency}"), &|c| {
        Cell::mean(&c.quote.money.cost, 0)
    });
    let quoted = |c: &Choice, show: &dyn Fn(&Flat) -> Cell| {
        asked.recommended(c).map_or_else(Cell::none, |f| show(&f))
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
    let mut notes = Vec::new();
    if asked.choices.iter().all(|choice| choice.terms.parts == 0.0) {
        notes.push(
            "New gears and bearings are not in these prices; --gear-price and --bearing-price put \
             them in.",
        );
    }
    if given_up {
        notes.push(
            "Costs are of all jobs: where more of them are given up, a lower cost is not all saved.",
        );
    }
    notes.push(
        "\"±\" is half the 95 % interval. Kept gears are held to the windows of new ones, though \
         worn pairs are often set to their old backlash; wear and damage are outside the model.",
    );
    let notes = notes.into_iter().map(|note| Block::Note(note.into()));
    std::iter::once(table.into()).chain(notes).collect()
}
