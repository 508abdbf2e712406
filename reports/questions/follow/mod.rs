//! One rebuild in order: its parts, every step of the work with its readings, what came of it.

pub mod acts;
mod assembly;
mod decisions;
pub mod ends;
mod events;
mod json;
pub mod tell;

use serde_json::Value;
use shimcast_sim::bench::setup::Setup;
use shimcast_sim::follow::{SearchResult, Story, find, follow};

use self::acts::{Act, work};
use self::assembly::Row;
use super::check::doubts;
use super::context::{Failure, read, set_up};
use super::{Answer, Exit, Form, Reply};
use crate::cli;
use crate::document::{Document, Table};
use crate::figures::rebuilds;
use crate::files::{Assumption, Loaded};
use crate::printed::Printed;
use crate::progress::Watch;

/// One rebuild in order, with what was asked for.
#[derive(Debug, Clone, Copy)]
pub struct Account<'a> {
    /// The job.
    pub setup: &'a Setup,
    /// What happened.
    pub story: &'a Story,
    /// What was looked for, as typed.
    pub found: Option<&'a str>,
    /// Seed of the rebuild.
    pub seed: u64,
    /// How lengths and torques are printed.
    pub print: Printed,
    /// Defaults in use.
    pub assumptions: &'a [Assumption],
}

/// The answer.
#[derive(Debug)]
struct Follow {
    loaded: Loaded,
    setup: Setup,
    story: Story,
    found: Option<&'static str>,
    seed: u64,
}

/// `shimcast follow`.
pub fn ask(args: &cli::Follow) -> Result<Reply, Failure> {
    let loaded = read(&args.files)?;
    let setup = set_up(&loaded, &args.renewed)?;
    let doubts = doubts(&setup, &loaded);
    let number = match args.find {
        None => args.rebuild,
        Some(wanted) => search(&setup, args.seed, wanted)?,
    };
    let answer = Follow {
        story: follow(&setup, args.seed, number),
        loaded,
        setup,
        found: args.find.map(cli::Find::word),
        seed: args.seed,
    };
    Ok(Reply::new(answer, Form::json_or_text(args.json)).with_doubts(doubts))
}

/// The number of the first rebuild that is what is wanted.
fn search(setup: &Setup, seed: u64, wanted: cli::Find) -> Result<u64, Failure> {
    let mut watch = Watch::start();
    let found = find(setup, seed, wanted.telling(), &mut |progress| {
        watch.see(progress)
    });
    match found {
        SearchResult::Number(number) => Ok(number),
        SearchResult::BrokenOff(searched) => Err(Failure::BrokenOff(format!(
            "broken off: none among {}",
            rebuilds(searched)
        ))),
        SearchResult::None(searched) => Err(Failure::NotThere(none(wanted, searched, seed))),
    }
}

/// That there is no such rebuild.
pub(crate) fn none(wanted: cli::Find, searched: u64, seed: u64) -> String {
    format!(
        "--find {}: there is none among {} of seed {seed}; another --seed may have one",
        wanted.word(),
        rebuilds(searched)
    )
}

impl Account<'_> {
    /// Which rebuild it is.
    pub fn number(&self) -> String {
        let found = self.found.map(|what| format!(", found by --find {what}"));
        format!(
            "Rebuild {} of seed {}{}",
            self.story.number,
            self.seed,
            found.unwrap_or_default()
        )
    }

    /// The work in order.
    pub fn work(&self) -> Vec<Act> {
        work(self.setup, &self.story.steps, self.print).0
    }

    /// The assemblies of the work, one a row.
    fn assemblies(&self, work: &[Act]) -> Table {
        let rows: Vec<Row> = work.iter().filter_map(|act| act.assembly.clone()).collect();
        assembly::table(self.setup, self.print, &rows)
    }

    /// Every step of it as JSON.
    fn steps(&self) -> Vec<Value> {
        work(self.setup, &self.story.steps, self.print).1
    }
}

/// That it is no rebuild of its own.
pub const THE_VERY: &str =
    "This is the very rebuild that every answer counts by this number under this seed.";

impl Follow {
    fn followed(&self) -> Account<'_> {
        Account {
            setup: &self.setup,
            story: &self.story,
            found: self.found,
            seed: self.seed,
            print: self.loaded.printed(),
            assumptions: &self.loaded.assumptions,
        }
    }
}

impl Answer for Follow {
    fn tell(&self) -> Document {
        tell::tell(&self.followed())
    }

    fn json(&self) -> Value {
        json::json(&self.followed())
    }

    fn exit(&self) -> Exit {
        Exit::Done
    }
}
