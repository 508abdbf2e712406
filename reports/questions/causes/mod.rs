//! Why jobs differ, and what it would buy to halve each spread and error.

mod csv;
pub mod figures;
mod json;
mod loops;
pub mod rows;
mod tell;

use serde_json::Value;
use shimcast_sim::bench::setup::Setup;
use shimcast_sim::causes::{Causes, Loop, causes};

use super::assumed::{self, Headline, moved_most};
use super::check::doubts;
use super::context::{Failure, csv_file, on_threads, read_sources, set_up, sources};
use super::{Answer, Exit, Form, Reply, made};
use crate::cli;
use crate::document::{Document, Made};
use crate::faces::csv::head;
use crate::files::{Assumption, Loaded};
use crate::printed::Printed;
use crate::spreadsheet::Decimal;

/// Causes, with what they were asked about.
#[derive(Debug, Clone, Copy)]
pub struct Caused<'a> {
    /// The job.
    pub setup: &'a Setup,
    /// What was simulated.
    pub causes: &'a Causes,
    /// Seed of the run.
    pub seed: u64,
    /// How lengths and torques are printed.
    pub print: Printed,
    /// Defaults in use.
    pub assumptions: &'a [Assumption],
}

/// The answer.
#[derive(Debug)]
struct Why {
    made: Made,
    loaded: Loaded,
    setup: Setup,
    causes: Causes,
    seed: u64,
    /// The loop that is told of alone.
    only: Option<Loop>,
}

/// `shimcast causes`.
pub fn ask(args: &cli::Causes) -> Result<Reply, Failure> {
    let file = csv_file(args.csv.as_deref())?;
    let decimal = args.decimal.of_csv(args.csv.is_some(), "--csv FILE.csv");
    let decimal = decimal.map_err(Failure::BadInput)?;
    let form = Form::asked(args.json, args.csv.as_deref(), decimal);
    let Answered {
        why,
        doubts,
        moved_most,
    } = answer(args, form == Form::Text)?;
    let table = file.map(|place| (place, why.csv(decimal)));
    Ok(Reply::new(why, form)
        .with_doubts(doubts)
        .with_moved_most(moved_most)
        .with_files(table))
}

/// The answer with its figures, as one page of a desk shows them.
///
/// # Errors
/// Where the files can't be read, or there is no such job.
pub fn pictured(args: &cli::Causes) -> Result<Document, Failure> {
    let Answered {
        why,
        doubts,
        moved_most,
    } = answer(args, true)?;
    let mut document = why.tell();
    document.doubts = doubts;
    document.moved_most = moved_most;
    document
        .sections
        .push(figures::section(&why.caused(), None));
    Ok(document)
}

/// What was simulated, with what is said beside it.
struct Answered {
    why: Why,
    doubts: Vec<String>,
    moved_most: Option<String>,
}

fn answer(args: &cli::Causes, with_moved_most: bool) -> Result<Answered, Failure> {
    let sources = sources(&args.job.files)?;
    let loaded = read_sources(&sources, &args.job.files)?;
    let setup = set_up(&loaded, &args.job.renewed)?;
    let doubts = doubts(&setup, &loaded);
    let seed = args.job.effort.seed;
    let job = assumed::Files {
        sources: &sources,
        set: &args.job.files.set,
        loaded: &loaded,
    };
    let (causes, moved_most) = on_threads(&args.job.effort, |watch| {
        let until = args.job.effort.until();
        let causes = causes(&setup, seed, until, &mut |progress| watch.see(progress));
        let moved_most = (with_moved_most && !causes.partial)
            .then(|| moved_most(Headline::Right, job, &setup, seed));
        (causes, moved_most.flatten())
    })?;
    let made = Made {
        rebuilds: Some(causes.rebuilds),
        ..made::of_job(&setup, &sources, &args.job.files, seed, &args.dated)
    };
    let why = Why {
        made,
        loaded,
        setup,
        causes,
        seed,
        only: args.only.map(Loop::from),
    };
    Ok(Answered {
        why,
        doubts,
        moved_most,
    })
}

impl Why {
    fn caused(&self) -> Caused<'_> {
        Caused {
            setup: &self.setup,
            causes: &self.causes,
            seed: self.seed,
            print: self.loaded.printed(),
            assumptions: &self.loaded.assumptions,
        }
    }
}

impl Answer for Why {
    fn tell(&self) -> Document {
        tell::tell(&self.caused(), self.only)
    }

    fn json(&self) -> Value {
        json::json(&self.caused())
    }

    fn csv(&self, decimal: Decimal) -> String {
        head(&self.made) + &csv::csv(&self.caused(), self.only, decimal)
    }

    fn exit(&self) -> Exit {
        Exit::whole_or(self.causes.partial)
    }
}
