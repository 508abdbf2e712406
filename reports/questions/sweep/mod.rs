//! Keys swept: what a job comes to at each of their values, on the very same parts.

mod csv;
pub mod figure;
mod grid;
mod json;
pub mod points;
mod tell;

use std::path::Path;

use serde_json::Value;
use shimcast_sim::compare::{Comparison, compare};

pub(crate) use self::grid::Grid;
use self::points::Points;
use super::check::doubts;
use super::context::{
    Failure, STDOUT, csv_file, new_file, on_threads, read_sources, set_up, sources,
};
use super::{Answer, Exit, Form, Reply, made};
use crate::cli;
use crate::document::{Document, Made};
use crate::faces::csv::head;
use crate::faces::svg;
use crate::progress::heed_interrupts;

/// The answer.
struct Sweep {
    grid: Grid,
    comparison: Comparison,
    seed: u64,
    made: Made,
}

/// `shimcast sweep`.
pub fn ask(args: &cli::Sweep) -> Result<Reply, Failure> {
    let ranges = args.ranges().map_err(Failure::BadInput)?;
    let files = args.files().map_err(Failure::BadInput)?;
    let sources = sources(&files)?;
    // what is wrong or odd with the files themselves is reported once, not at every point
    let plain = read_sources(&sources, &files)?;
    // what can't be a job without the swept value may be one with it
    let setup = set_up(&plain, &args.renewed).ok();
    let doubts = setup
        .map(|setup| doubts(&setup, &plain))
        .unwrap_or_default();
    let grid = Grid::lay(&sources, &files, &args.renewed, &plain, ranges)?;
    let (until, seed) = (args.effort.until(), args.effort.seed);
    heed_interrupts();
    let table = csv_file(args.csv.as_deref())?;
    if args.chart.as_deref() == Some(Path::new(STDOUT)) {
        return Err(Failure::BadInput(
            "--chart -: a figure is not printed; name a file, e.g. sweep.svg".into(),
        ));
    }
    let figure = args.chart.as_deref().map(new_file).transpose()?;
    let comparison = on_threads(&args.effort, |watch| {
        compare(&grid.setups, seed, until, &mut |progress| {
            watch.see(progress)
        })
    })?;
    let made = Made {
        rebuilds: Some(comparison.rebuilds),
        ..made::of_job(&grid.setups[0], &sources, &files, seed, &args.dated)
    };
    let answer = Sweep {
        made,
        grid,
        comparison,
        seed,
    };
    let table = table.map(|place| (place, answer.csv()));
    let figure = figure.map(|place| {
        (
            place,
            svg::file(&figure::figure(&answer.swept()), &answer.made),
        )
    });
    let form = Form::asked(args.json, args.csv.as_deref());
    let files = [table, figure].into_iter().flatten();
    Ok(Reply::new(answer, form)
        .with_doubts(doubts)
        .with_files(files))
}

impl Sweep {
    fn swept(&self) -> Points<'_> {
        self.grid.swept(&self.comparison, self.seed)
    }
}

impl Answer for Sweep {
    fn tell(&self) -> Document {
        tell::tell(&self.swept())
    }

    fn json(&self) -> Value {
        json::json(&self.swept())
    }

    fn csv(&self) -> String {
        head(&self.made) + &csv::csv(&self.swept())
    }

    fn exit(&self) -> Exit {
        Exit::whole_or(self.comparison.partial)
    }
}
