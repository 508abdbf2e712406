//! Keys swept: what a job comes to at each of their values, on the very same parts.

mod csv;
pub mod figure;
mod grid;
mod json;
mod output;
pub mod points;
mod tell;

use serde_json::Value;
use shimcast_sim::compare::{Comparison, compare_with};

pub(crate) use self::grid::Grid;
use self::output::{Kind, claim};
use self::points::Points;
use super::assumed::{self, Headline, moved_most};
use super::check::doubts;
use super::context::{Failure, on_threads, read_sources, set_up, sources};
use super::{Answer, Exit, Form, Reply, made};
use crate::cli;
use crate::document::{Document, Made};
use crate::faces::csv::head;
use crate::faces::svg;
use crate::questions::json::with_doubts;
use crate::spreadsheet::Decimal;

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
        .as_ref()
        .map(|setup| doubts(setup, &plain))
        .unwrap_or_default();
    let grid = Grid::lay(&sources, &files, &args.renewed, &plain, ranges)?;
    let (until, seed) = (args.effort.until(), args.effort.seed);
    let places = claim(args)?;
    let to_file = places.iter().any(|(_, kind)| *kind == Kind::Table);
    let decimal = args
        .decimal
        .of_csv(to_file || args.csv.is_some(), "--csv FILE.csv");
    let decimal = decimal.map_err(Failure::BadInput)?;
    let form = Form::asked(args.json, args.csv.as_deref(), decimal);
    let job = assumed::Files {
        sources: &sources,
        set: &files.set,
        loaded: &plain,
    };
    let (comparison, moved_most) = on_threads(&args.effort, |watch| {
        let mut see = |progress| watch.see(progress);
        let comparison = compare_with(&grid.setups, Some(grid.base()), seed, until, &mut see);
        let setup = setup.as_ref();
        let asked = form == Form::Text && !comparison.partial;
        let moved_most = setup
            .filter(|_| asked)
            .and_then(|setup| moved_most(Headline::Right, job, setup, seed));
        (comparison, moved_most)
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
    let files: Vec<_> = places
        .into_iter()
        .map(|(place, kind)| (place, answer.written_as(kind, &doubts, decimal)))
        .collect();
    Ok(Reply::new(answer, form)
        .with_doubts(doubts)
        .with_moved_most(moved_most)
        .with_files(files))
}

impl Sweep {
    fn swept(&self) -> Points<'_> {
        self.grid.swept(&self.comparison, self.seed)
    }

    /// What goes into a file of this kind.
    fn written_as(&self, kind: Kind, doubts: &[String], decimal: Decimal) -> String {
        match kind {
            Kind::Table => self.csv(decimal),
            Kind::Chart => svg::file(&figure::figure(&self.swept()), &self.made),
            Kind::Json => format!("{:#}\n", with_doubts(self.json(), doubts)),
        }
    }
}

impl Answer for Sweep {
    fn tell(&self) -> Document {
        tell::tell(&self.swept())
    }

    fn json(&self) -> Value {
        json::json(&self.swept())
    }

    fn csv(&self, decimal: Decimal) -> String {
        head(&self.made) + &csv::csv(&self.swept(), decimal)
    }

    fn exit(&self) -> Exit {
        Exit::whole_or(self.comparison.partial)
    }
}
