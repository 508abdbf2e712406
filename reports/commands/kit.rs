//! `shimcast kit`.

use std::path::Path;

use shimcast_sim::stock::kit;

use super::{Ended, Failure, STDOUT, csv_file, drawer, fitted, on_so_many_threads, print, warn};
use crate::args::Kit;
use crate::json;
use crate::list::{csv, rows};
use crate::terminal::{self, Ink};

pub(crate) fn run(args: &Kit, ink: Ink) -> Result<Ended, Failure> {
    let work = drawer::read(&args.files)?;
    let shop = &work.shop.shop;
    let lines = work.lines();
    let shelves = &work.shelves;
    let (jobs, seed) = (args.jobs, args.run.seed);
    let finish = args.finish.unwrap_or(shop.drawer.job_fill);
    let to_file = csv_file(args.csv.as_deref())?;
    let answer = on_so_many_threads(args.run.threads, |watch| {
        let mut see = |step: shimcast_sim::stock::Progress| watch.see_step(step.doing, step.served);
        kit(&lines, shelves, (jobs, finish), seed, &mut see)
    })?;
    let Some(answer) = answer else {
        warn("broken off before the box was complete");
        return Ok(Ended::Interrupted);
    };
    let as_csv = || {
        let plan = &answer.plan;
        csv(
            &rows(shelves, &plan.levels, None, &plan.service.used),
            false,
        )
    };
    if let Some(place) = to_file {
        place.fill_with(&as_csv()).map_err(Failure::CannotAccess)?;
    }
    let text = if args.json {
        let head = json::ShopHead {
            answer: "kit",
            seed,
            rebuilds: answer.rebuilds,
            shop,
            lines: &lines,
            shelves,
            assumptions: &work.assumptions,
        };
        format!("{:#}\n", json::kit(&head, &answer, jobs, finish))
    } else if args.csv.as_deref() == Some(Path::new(STDOUT)) {
        as_csv()
    } else {
        let asked = terminal::kit::Asked {
            shop,
            lines: &lines,
            shelves,
            jobs,
            finish,
            seed,
            assumptions: &work.assumptions,
        };
        fitted(&terminal::kit::render(asked, &answer, ink))
    };
    print(&text)?;
    Ok(if answer.held {
        Ended::Done
    } else {
        Ended::Missed
    })
}
