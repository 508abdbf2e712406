//! The cheapest box of shims for jobs on the road.

mod json;
mod tell;

use serde_json::Value;
use shimcast_sim::stock::SearchProgress;

use super::context::{Failure, csv_file, on_so_many_threads};
use super::drawer::list::{List, Row, bought_from, rows};
use super::drawer::{self, Work};
use super::{Answer, Exit, Form, Reply, made};
use crate::cli;
use crate::document::{Document, Made};
use crate::faces;
use crate::files::ReadFile;
use crate::spreadsheet::Decimal;

/// The answer.
#[derive(Debug)]
struct Kit {
    work: Work,
    /// Jobs on a trip.
    jobs: u32,
    /// Share of them to finish.
    finish: f64,
    seed: u64,
    kit: shimcast_sim::stock::Kit,
    made: Made,
}

/// `shimcast kit`.
pub fn ask(args: &cli::Kit) -> Result<Reply, Failure> {
    let decimal = args.run.decimal().map_err(Failure::BadInput)?;
    let work = drawer::read(&args.files)?;
    let doubts = work.doubts.clone();
    let (jobs, seed) = (args.jobs, args.run.seed);
    let finish = args.finish.unwrap_or(work.shop.shop.drawer.job_fill);
    let to_file = csv_file(args.run.csv.as_deref())?;
    let (lines, shelves) = (work.lines(), &work.shelves);
    let kit = on_so_many_threads(args.run.threads, |watch| {
        let mut see = |step: SearchProgress| watch.see_step(step.doing, step.served);
        shimcast_sim::stock::kit(&lines, shelves, (jobs, finish), seed, &mut see)
    })?;
    let Some(kit) = kit else {
        let said = "broken off before the box was complete";
        return Err(Failure::BrokenOff(said.into()));
    };
    let offer = args.files.sizes_from.as_deref();
    let made = made::of_drawer(
        tell::title(&work, jobs),
        &work,
        &args.files.set,
        offer
            .and_then(|path| ReadFile::on_disk("offer", path))
            .into_iter()
            .collect(),
        seed,
        &args.run.dated,
    );
    let answer = Kit {
        made,
        work,
        jobs,
        finish,
        seed,
        kit,
    };
    if let Some(place) = to_file {
        let list = answer.csv(decimal);
        place.fill_with(&list).map_err(Failure::CannotAccess)?;
    }
    let form = Form::asked(args.json, args.run.csv.as_deref(), decimal);
    Ok(Reply::new(answer, form).with_doubts(doubts))
}

impl Kit {
    fn rows(&self) -> Vec<Row<'_>> {
        let plan = &self.kit.plan;
        let rows = rows(&self.work.shelves, &plan.levels, None, &plan.service.used);
        bought_from(rows, &self.work.shop.supplies)
    }
}

impl Answer for Kit {
    fn tell(&self) -> Document {
        tell::tell(self)
    }

    fn json(&self) -> Value {
        json::json(self)
    }

    fn csv(&self, decimal: Decimal) -> String {
        let currency = &self.work.shop.shop.currency;
        let list = List::Road.table(&self.rows(), currency);
        faces::csv::file(&self.made, &list, decimal)
    }

    fn exit(&self) -> Exit {
        Exit::met_or(self.kit.held)
    }
}
