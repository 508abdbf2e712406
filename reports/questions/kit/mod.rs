//! The cheapest box of shims for jobs on the road.

mod json;
mod tell;

use serde_json::Value;
use shimcast_sim::stock::{Present, SearchProgress, Trip, Unit};

use super::context::{Failure, csv_file, on_so_many_threads};
use super::drawer::list::{List, Row, bought_from, rows};
use super::drawer::{self, Work, warn_of_time};
use super::{Answer, Exit, Form, Reply, made};
use crate::cli;
use crate::document::{Document, Made};
use crate::faces;
use crate::figures::counted;
use crate::spreadsheet::Decimal;

/// The answer.
#[derive(Debug)]
struct Kit {
    work: Work,
    /// What it is to be good for.
    trip: Trip,
    seed: u64,
    kit: shimcast_sim::stock::Kit,
    made: Made,
}

/// `shimcast kit`.
pub fn ask(args: &cli::Kit) -> Result<Reply, Failure> {
    let decimal = args.run.decimal().map_err(Failure::BadInput)?;
    let work = drawer::read(&args.files)?;
    let doubts = work.doubts.clone();
    let seed = args.run.seed;
    let shop = &work.shop.shop;
    let have = work.counted(args.have.as_deref())?;
    let trip = Trip {
        jobs: args.jobs,
        finish: (args.trips.or(args.finish)).unwrap_or(shop.drawer.job_fill),
        of: match args.trips {
            Some(_) => Unit::Trip,
            None => Unit::Job,
        },
        // what is on its way is in no box
        have: have.map(|have| have.counts),
    };
    let to_file = csv_file(args.run.csv.as_deref())?;
    let (lines, shelves) = (work.lines(), &work.shelves);
    let many = format!("{} on one trip", counted(trip.jobs.into(), ["job", "jobs"]));
    warn_of_time(trip.seconds(shelves), args.run.threads, &many);
    let kit = on_so_many_threads(args.run.threads, |watch| {
        let mut see = |step: SearchProgress| watch.see_step(step.doing, step.served);
        shimcast_sim::stock::kit(&lines, shelves, &trip, seed, &mut see)
    })?;
    let Some(kit) = kit else {
        let said = "broken off before the box was complete";
        return Err(Failure::BrokenOff(said.into()));
    };
    let made = made::of_drawer(
        tell::title(&work, trip.jobs),
        &work,
        &args.files.set,
        drawer::lists([
            (&args.have, "count of the box"),
            (&args.files.sizes_from, "offer"),
        ]),
        seed,
        &args.run.dated,
    );
    let answer = Kit {
        made,
        work,
        trip,
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
        let have = self.trip.have.clone().map(Present::in_drawer);
        let shelves = &self.work.shelves;
        let rows = rows(shelves, &plan.levels, have.as_ref(), &plan.service.used);
        bought_from(rows, &self.work.shop.supplies)
    }
}

impl Kit {
    fn list(&self) -> List {
        match self.trip.have {
            Some(_) => List::Counted,
            None => List::Road,
        }
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
        let list = self.list().table(&self.rows(), currency);
        faces::csv::file(&self.made, &list, decimal)
    }

    fn exit(&self) -> Exit {
        Exit::met_or(self.kit.held)
    }
}
