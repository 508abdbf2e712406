//! `shimcast stock`.

use std::path::Path;

use shimcast_sim::stock::{Aim, Question, day_book, stock};

use super::{
    Ended, Failure, STDOUT, csv_file, drawer, failure, fitted, on_so_many_threads, print, warn,
};
use crate::args::Stock;
use crate::files::have;
use crate::list::{csv, rows};
use crate::terminal::{self, Ink};
use crate::{json, list};

pub(crate) fn run(args: &Stock, ink: Ink) -> Result<Ended, Failure> {
    let work = drawer::read(&args.files)?;
    let shop = &work.shop.shop;
    let lines = work.lines();
    let shelves = &work.shelves;
    let have = match &args.have {
        Some(path) => Some(have(path, shelves, shop).map_err(|problems| failure(&problems))?),
        None => None,
    };
    let aim = match args.budget {
        Some(budget) => Aim::Budget(enough(budget, shelves, &shop.currency)?),
        None => Aim::Fill(shop.drawer.job_fill),
    };
    let question = Question {
        lines: &lines,
        shelves,
        drawer: &shop.drawer,
        aim,
        have,
        seed: args.run.seed,
    };
    let to_file = csv_file(args.csv.as_deref())?;
    let answer = on_so_many_threads(args.run.threads, |watch| {
        stock(&question, &mut |step| {
            watch.see_step(step.doing, step.served)
        })
    })?;
    let Some(answer) = answer else {
        warn("broken off before the plan was complete");
        return Ok(Ended::Interrupted);
    };
    let have = question.have.as_ref();
    let levels = &answer.plan.levels;
    let as_csv = || {
        csv(
            &rows(shelves, levels, have, &answer.plan.service.used),
            true,
        )
    };
    if let Some(place) = to_file {
        place.fill_with(&as_csv()).map_err(Failure::CannotAccess)?;
    }
    let mut text = if args.json {
        let head = json::ShopHead {
            answer: "stock",
            seed: args.run.seed,
            rebuilds: answer.rebuilds,
            shop,
            lines: &lines,
            shelves,
            assumptions: &work.assumptions,
        };
        format!("{:#}\n", json::stock(&head, &answer, have))
    } else if args.csv.as_deref() == Some(Path::new(STDOUT)) {
        as_csv()
    } else {
        let asked = terminal::stock::Asked {
            shop,
            lines: &lines,
            shelves,
            aim,
            have,
            offered: args.files.sizes_from.is_some(),
            seed: args.run.seed,
            assumptions: &work.assumptions,
        };
        fitted(&terminal::stock::render(asked, &answer, ink))
    };
    if let Some(days) = args.log {
        let start = have.unwrap_or(levels);
        let seed = args.run.seed;
        let book = day_book(&lines, shelves, &shop.drawer, levels, start, days, seed);
        text.push_str(&fitted(&terminal::book::render(
            &lines, shelves, &book, days, ink,
        )));
    }
    print(&text)?;
    Ok(if answer.held {
        Ended::Done
    } else {
        Ended::Missed
    })
}

/// Refuses a budget that buys nothing.
fn enough(
    budget: f64,
    shelves: &[shimcast_sim::stock::Shelf],
    currency: &str,
) -> Result<f64, Failure> {
    let all = shelves.iter().flat_map(|shelf| {
        shelf
            .sizes
            .iter()
            .zip(&shelf.prices)
            .map(move |p| (shelf, p))
    });
    let cheapest = all.min_by(|a, b| a.1.1.total_cmp(b.1.1));
    match cheapest {
        Some((shelf, (size, price))) if budget < *price => Err(Failure::BadInput(format!(
            "--budget {budget}: this buys no shim: the cheapest, {} {} {}, costs {price:.2} \
             {currency}\n  help: allow at least that much",
            shelf.name,
            list::printed(*size, shelf.unit),
            list::unit(shelf),
        ))),
        _ => Ok(budget),
    }
}
