//! Which shims to keep in the drawer, and how many of each.

mod book;
pub mod chapter;
pub mod curve;
pub mod figures;
mod json;
pub mod now;
mod offer;
mod planned;
mod rows;
pub mod slip;
mod stand_ins;
mod tell;
mod used;
mod whatif;

use serde_json::Value;
use shimcast_sim::stock::{Aim, Book, Present, Question, SearchProgress, Shelf, day_book};

pub use self::now::DrawerNow;
use self::offer::Offered;
pub use self::planned::Planned;
use super::context::{Failure, csv_file, on_so_many_threads};
use super::drawer::list::{List, Row, thickness};
use super::drawer::{self, Work, large_shop};
use super::{Answer, Exit, Reply, made};
use crate::cli;
use crate::document::{Document, Made};
use crate::faces;
use crate::spreadsheet::Decimal;

/// The answer.
#[derive(Debug)]
struct Stock {
    work: Work,
    /// What the drawer is to be good for.
    aim: Aim,
    /// What is in it and on order now.
    have: Option<Present>,
    /// What a supplier's sizes do against the shop's own, where they stand in for these.
    against_own: Option<Offered>,
    /// Whether a supplier's offer stands in for the shop's sizes.
    offered: bool,
    seed: u64,
    /// How many times as many jobs a busy month has, where one was asked for.
    times: Option<f64>,
    stock: shimcast_sim::stock::Stock,
    /// The day book, and days of it.
    book: Option<(Book, f64)>,
    made: Made,
    /// Whether the order slip is what is printed as CSV, and not the list.
    slip: bool,
}

/// `shimcast stock`.
pub fn ask(args: &cli::Stock) -> Result<Reply, Failure> {
    let decimal = args.decimal().map_err(Failure::BadInput)?;
    let form = slip::form(args, decimal).map_err(Failure::BadInput)?;
    let work = drawer::read(&args.files)?;
    let doubts = work.doubts.clone();
    let shop = &work.shop.shop;
    let have = work.counted(args.have.as_deref())?;
    let aim = match args.budget {
        Some(budget) => Aim::Budget(enough(budget, &work.shelves, &shop.currency)?),
        None => Aim::Fill(shop.drawer.job_fill),
    };
    let to_file = csv_file(args.run.csv.as_deref())?;
    let slip_to = csv_file(args.slip.as_deref())?;
    let (lines, seed) = (work.lines(), args.run.seed);
    let question = Question {
        aim,
        have,
        intervals: args.intervals,
        nearness: args.stand_ins,
        busy: args.busy,
        ..work.question(&lines, seed)
    };
    large_shop(&question, args.run.threads)?;
    let own = offer::own_work(&args.files)?;
    let stock = on_so_many_threads(args.run.threads, |watch| {
        let mut see = |step: SearchProgress| watch.see_step(step.doing, step.served);
        let stock = shimcast_sim::stock::stock(&question, &mut see)?;
        let against = match &own {
            Some(own) => {
                let other = (&question, &stock.plan.levels);
                Some(offer::held_against(
                    [own, &work],
                    &args.files,
                    other,
                    watch,
                )?)
            }
            None => None,
        };
        Some((stock, against))
    })?;
    let Some((stock, against_own)) = stock else {
        let said = "broken off before the plan was complete";
        return Err(Failure::BrokenOff(said.into()));
    };
    let have = question.have;
    let book = args.log.map(|days| {
        let levels = &stock.plan.levels;
        let (shelves, drawer) = (&work.shelves, &shop.drawer);
        let book = day_book(&lines, shelves, drawer, levels, have.as_ref(), days, seed);
        (book, days)
    });
    let made = made::of_drawer(
        work.title("The shim drawer of"),
        &work,
        &args.files.set,
        drawer::lists([
            (&args.have, "count of the drawer"),
            (&args.files.sizes_from, "offer"),
        ]),
        seed,
        &args.run.dated,
    );
    let answer = Stock {
        made,
        work,
        aim,
        have,
        against_own,
        offered: args.files.sizes_from.is_some(),
        seed,
        times: args.busy,
        stock,
        book,
        slip: slip::printed(args),
    };
    let files = [
        (to_file, Stock::listed as fn(&Stock, Decimal) -> String),
        (slip_to, Stock::slip),
    ];
    for (place, text) in files {
        if let Some(place) = place {
            let text = text(&answer, decimal);
            place.fill_with(&text).map_err(Failure::CannotAccess)?;
        }
    }
    Ok(Reply::new(answer, form).with_doubts(doubts))
}

/// Refuses a budget that buys nothing.
fn enough(budget: f64, shelves: &[Shelf], currency: &str) -> Result<f64, Failure> {
    let all = shelves.iter().flat_map(|shelf| {
        let priced = shelf.sizes.iter().zip(&shelf.prices);
        priced.map(move |priced| (shelf, priced))
    });
    let cheapest = all.min_by(|a, b| a.1.1.total_cmp(b.1.1));
    match cheapest {
        Some((shelf, (size, price))) if budget < *price => Err(Failure::BadInput(format!(
            "--budget {budget}: this buys no shim: the cheapest, {} {}, costs {price:.2} \
             {currency}\n  help: allow at least that much",
            shelf.name,
            thickness(*size, shelf),
        ))),
        _ => Ok(budget),
    }
}

impl Stock {
    fn planned(&self) -> Planned<'_> {
        Planned {
            work: &self.work,
            aim: self.aim,
            have: self.have.as_ref(),
            stock: &self.stock,
        }
    }

    fn rows(&self) -> Vec<Row<'_>> {
        self.planned().rows()
    }

    fn list(&self) -> List {
        match self.have {
            Some(_) => List::Counted,
            None => List::Drawer,
        }
    }

    /// What to order as CSV.
    fn slip(&self, decimal: Decimal) -> String {
        slip::csv(&self.planned(), &self.made, decimal)
    }

    /// Every size as CSV, and what is used of all of them.
    fn listed(&self, decimal: Decimal) -> String {
        let list = self
            .list()
            .table(&self.rows(), &self.work.shop.shop.currency);
        let remarks = [used::in_short(&self.planned(), decimal)];
        faces::csv::file_with(&self.made, &remarks, &list, decimal)
    }
}

impl Answer for Stock {
    fn tell(&self) -> Document {
        tell::tell(self)
    }

    fn json(&self) -> Value {
        json::json(self)
    }

    fn csv(&self, decimal: Decimal) -> String {
        match self.slip {
            true => self.slip(decimal),
            false => self.listed(decimal),
        }
    }

    fn exit(&self) -> Exit {
        Exit::met_or(self.stock.held)
    }
}
