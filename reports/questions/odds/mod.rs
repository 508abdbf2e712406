//! The odds of a job: how often it lands in the windows, and what it takes.

pub mod figures;
pub(super) mod json;
pub mod rows;
mod tell;

use std::io::{self, Write};
use std::path::Path;

use serde_json::Value;
use shimcast_sim::bench::setup::Setup;
use shimcast_sim::count::estimate::Estimate;

use super::assumed::{self, Headline, moved_most};
use super::check::doubts;
use super::context::{Failure, STDOUT, new_file, on_threads, read_sources, set_up, sources};
use super::rebuilds::{Rebuilds, key_beside};
use super::{Answer, Exit, Form, Reply, made};
use crate::cli;
use crate::document::{Document, Made};
use crate::files::Loaded;
use crate::questions::json::Head;
use crate::spreadsheet::Decimal;
use crate::units::Units;

/// The answer.
#[derive(Debug)]
struct Odds {
    loaded: Loaded,
    setup: Setup,
    seed: u64,
    odds: shimcast_sim::odds::Odds,
    /// The share right when handed over by a dial held as the book holds it, where the shop holds its
    /// own otherwise.
    held_as_the_book: Option<Estimate>,
}

/// `shimcast odds`.
pub fn ask(args: &cli::Odds) -> Result<Reply, Failure> {
    let decimal = args
        .decimal
        .of_csv(args.csv.is_some(), "--sample N --csv FILE");
    let decimal = decimal.map_err(Failure::BadInput)?;
    let form = Form::json_or_text(args.json);
    let files = &args.job.files;
    let sources = sources(files)?;
    let loaded = read_sources(&sources, files)?;
    let setup = set_up(&loaded, &args.job.renewed)?;
    let doubts = doubts(&setup, &loaded);
    let seed = args.job.effort.seed;
    let single = args.sampled.sample.map(|number| Single {
        made: Made {
            rebuilds: Some(number),
            ..made::of_job(&setup, &sources, files, seed, &args.dated)
        },
        setup: setup.clone(),
        units: loaded.axle_units,
        number,
        decimal,
    });
    let csv = args.csv.as_deref();
    let (single, places) = match (single, csv) {
        (Some(single), Some(path)) if path == Path::new(STDOUT) => {
            return Ok(Reply::new(single, Form::Csv(decimal)).with_doubts(doubts));
        }
        (Some(single), Some(path)) => {
            let places = [new_file(path)?, new_file(&key_beside(path))?];
            (Some(single), Some(places))
        }
        _ => (None, None),
    };
    let job = assumed::Files {
        sources: &sources,
        set: &files.set,
        loaded: &loaded,
    };
    let as_the_book = form == Form::Text;
    let as_the_book = as_the_book.then(|| setup.held_as_the_book()).flatten();
    let (odds, held_as_the_book, moved_most) = on_threads(&args.job.effort, |watch| {
        let until = args.job.effort.until();
        let mut ask =
            |setup: &Setup| shimcast_sim::odds::odds(setup, seed, until, &mut |p| watch.see(p));
        let odds = ask(&setup);
        let held_as_the_book = as_the_book.map(|setup| ask(&setup).handed_over.all);
        let moved_most = (form == Form::Text && !odds.partial)
            .then(|| moved_most(Headline::Right, job, &setup, seed));
        (odds, held_as_the_book, moved_most.flatten())
    })?;
    let answer = Odds {
        loaded,
        setup,
        seed,
        odds,
        held_as_the_book,
    };
    let reply = Reply::new(answer, form).with_doubts(doubts);
    let mut reply = reply.with_moved_most(moved_most);
    if let (Some(single), Some([rows, key])) = (single, places) {
        let text = single.rebuilds().key();
        reply = reply
            .with_file(rows, move |out| single.rebuilds().write(out))
            .with_files([(key, text)]);
    }
    Ok(reply)
}

/// Single rebuilds in place of the odds.
struct Single {
    setup: Setup,
    units: Units,
    number: u64,
    made: Made,
    decimal: Decimal,
}

impl Single {
    fn rebuilds(&self) -> Rebuilds<'_> {
        Rebuilds {
            setup: &self.setup,
            units: self.units,
            seed: self.made.seed,
            number: self.number,
            made: &self.made,
            decimal: self.decimal,
        }
    }
}

impl Answer for Single {
    fn tell(&self) -> Document {
        Document::default()
    }

    fn write_csv(&self, _: Decimal, out: &mut dyn Write) -> io::Result<()> {
        self.rebuilds().write(out)
    }

    fn exit(&self) -> Exit {
        Exit::Done
    }
}

impl Answer for Odds {
    fn tell(&self) -> Document {
        tell::tell(self)
    }

    fn json(&self) -> Value {
        let head = Head {
            answer: "odds",
            seed: self.seed,
            rebuilds: self.odds.rebuilds,
            partial: self.odds.partial,
            setup: &self.setup,
            assumptions: &self.loaded.assumptions,
        };
        json::json(&head, &self.odds)
    }

    fn exit(&self) -> Exit {
        Exit::whole_or(self.odds.partial)
    }
}
