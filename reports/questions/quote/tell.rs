//! A quote in words and tables: the flat hours and the price first, then what they come from.

use shimcast_sim::bench::minutes::Task;
use shimcast_sim::count::estimate::Estimate;
use shimcast_sim::quote::Flat;

use super::{Choice, Quotation, costs, flats, luck, price, refused, renew};
use crate::document::{Block, Cell, Column, Document, Known, Table, wording};
use crate::figures::{Rounded, decimals, plain, said, said_mean};
use crate::questions::frame;
use crate::questions::odds::rows::{WORTH_A_WORD, add_hours};
use crate::questions::outside;
use crate::tasks;

pub(super) fn tell(asked: &Quotation) -> Document {
    let choice = asked.choice();
    let Choice { setup, quote, .. } = choice;
    let partial = quote.partial.then_some(quote.rebuilds);
    let mut document = frame::of_job(setup, partial, &asked.assumptions);
    let recommended = choice.recommended(asked.risk);
    let headline = match (&recommended, quote.not_quoted()) {
        (Some(flat), _) => headline(asked, flat),
        (None, Some(reason)) => {
            let mut table = Table::new([Column::words(""), Column::words("")]);
            table.name("Quote", refused::words(&reason));
            vec![table.into(), Block::Note(refused::CRITERION.into())]
        }
        (None, None) => vec![Block::Note(choice.why_no_price())],
    };
    document.section("", headline).first();
    if quote.rebuilds > 0 {
        let mut hours = Table::named().caption("Hours of a job");
        add_hours(&mut hours, &quote.hours);
        let (minutes, once) = work(choice);
        let cost = costs::table(choice, &asked.assumptions);
        document
            .table(hours, [])
            .table(minutes, [once])
            .table(cost, of_cost(asked));
    }
    if let Some(chosen) = &recommended {
        let made = price::table(choice, chosen, &asked.assumptions);
        let mut matter = asked.luck.break_even();
        matter.push(chosen.hours);
        let shown = choice.few_flats(&matter);
        let flats = flats::table(choice, &shown, Some(chosen), &asked.luck);
        document.table(made, []).table(flats, of_flats(asked));
    }
    document.table(renew::table(asked), renew::notes(asked));
    document.behind = frame::behind(quote.rebuilds, asked.seed);
    document
}

fn headline(asked: &Quotation, flat: &Flat) -> Vec<Block> {
    let Choice { quote, terms, .. } = asked.choice();
    let currency = asked.currency();
    let mut table = Table::new([Column::words(""), Column::words("")]);
    let price = if terms.tax > 0.0 {
        format!(
            "{:.0} {currency} before tax, {:.0} {currency} with {} % tax",
            flat.price,
            asked.choice().with_tax(flat),
            plain(100.0 * terms.tax)
        )
    } else {
        format!("{:.0} {currency} before tax", flat.price)
    };
    table
        .name("Quote", format!("{:.2} flat hours, {price}", flat.hours))
        .name("Risk", flats::risk(flat, asked.risk))
        .name(
            "Expected gain",
            flats::gain(flat, currency, &asked.assumptions),
        );
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
    match (&asked.luck.year, asked.luck.jobs) {
        (Some(year), _) => {
            table
                .name("Over a year", luck::year(year, currency))
                .name("Losing years", luck::losing(year));
        }
        (None, Some(jobs)) if jobs > 0.0 => {
            table.name("Over a year", "too few rebuilds to say");
        }
        (None, Some(_)) => {
            table.name("Over a year", "no such jobs");
        }
        (None, None) => {
            let how = wording::hint(&format!(
                "; {} says how many",
                wording::option("jobs-a-year")
            ));
            table.name("Over a year", luck::not_known() + &how);
        }
    }
    table
        .name("Pays", asked.luck.pays())
        .name("Luck evens out", asked.luck.felt(flat))
        .name(
            "Ring the customer",
            format!(
                "beyond {} hours: 1 job in 20 gets that far",
                said_mean(&quote.hours.p95, 2)
            ),
        );
    vec![table.into()]
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
    let shares: Vec<f64> = quote
        .tasks
        .iter()
        .map(|task| 100.0 * (task.first.value + task.repeats.value) / mean.value)
        .collect();
    let shares = Rounded::together(&shares, 1);
    for ((task, goes), share) in quote.tasks.iter().zip(rounded.chunks(2)).zip(shares) {
        table.row([
            tasks::words(task.task, setup).into(),
            Cell::known(Known::Part(task.first, goes[0])),
            minutes(&task.repeats, goes[1]),
            Rounded::sum(goes).into(),
            format!("{} %", share.text()).into(),
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
        format!(
            "Hours and windows are those of packs as they are wanted{}.",
            wording::hint(&format!(
                "; what packs near enough (near_enough) do at the bench, and what waiting, deliveries \
                 and money in the drawer cost beside the shims, {} tells",
                wording::command("stock --all", "the room Drawer")
            ))
        ),
    ];
    if quote.finished.value < 1.0 {
        notes.push(format!(
            "{} of jobs are finished; one given up costs its hours and {}, and is not paid{}.",
            said(&quote.finished),
            wording::key(
                "prices.given_up",
                "what it costs beside them (prices.given_up)"
            ),
            match choice.terms.parts > 0.0 {
                true => "; its new parts are taken to serve another job",
                false => "",
            }
        ));
    }
    notes
}

/// What is said of flat hours.
fn of_flats(asked: &Quotation) -> Vec<String> {
    let mut notes: Vec<String> = costs::without_hours(&asked.assumptions)
        .into_iter()
        .collect();
    notes.push(match asked.luck.jobs {
        Some(_) => "Jobs come in as they come: a year has a Poisson number of them, and each is one of \
                    the simulated jobs. A year loses where all its jobs together cost more than they \
                    bring."
            .into(),
        None => format!(
            "{} names this job{}.",
            wording::key(
                "No [[jobs]] line of the shop",
                "No kind of job that the shop expects"
            ),
            wording::hint(&format!(
                "; {} gives a year's figures",
                wording::option("jobs-a-year")
            ))
        ),
    });
    notes
}
