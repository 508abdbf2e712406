//! The odds of a job: how often it lands in the windows, and what it takes.

pub mod figures;
pub(super) mod json;
pub mod rows;
mod tell;

use serde_json::Value;
use shimcast_sim::bench::setup::Setup;
use shimcast_sim::count::estimate::Estimate;

use super::assumed::{Headline, moved_most};
use super::check::doubts;
use super::context::{Failure, on_threads, read_sources, set_up, sources};
use super::{Answer, Exit, Form, Reply};
use crate::cli;
use crate::document::Document;
use crate::files::Loaded;
use crate::questions::json::Head;

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
    let form = Form::json_or_text(args.json);
    let sources = sources(&args.job.files)?;
    let loaded = read_sources(&sources, &args.job.files)?;
    let setup = set_up(&loaded, &args.job.renewed)?;
    let doubts = doubts(&setup, &loaded);
    let seed = args.job.effort.seed;
    let as_the_book = form == Form::Text;
    let as_the_book = as_the_book.then(|| setup.held_as_the_book()).flatten();
    let (odds, held_as_the_book, moved_most) = on_threads(&args.job.effort, |watch| {
        let until = args.job.effort.until();
        let mut ask =
            |setup: &Setup| shimcast_sim::odds::odds(setup, seed, until, &mut |p| watch.see(p));
        let odds = ask(&setup);
        let held_as_the_book = as_the_book.map(|setup| ask(&setup).handed_over.all);
        let moved_most = (form == Form::Text && !odds.partial)
            .then(|| moved_most(Headline::Right, &sources, &args.job, &loaded, &setup));
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
    Ok(reply.with_moved_most(moved_most))
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
