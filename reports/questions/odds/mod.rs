//! The odds of a job: how often it lands in the windows, and what it takes.

pub mod figures;
pub(super) mod json;
pub mod rows;
mod tell;

use serde_json::Value;
use shimcast_sim::bench::setup::Setup;

use super::check::doubts;
use super::context::{Failure, on_threads, read, set_up};
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
}

/// `shimcast odds`.
pub fn ask(args: &cli::Odds) -> Result<Reply, Failure> {
    let loaded = read(&args.job.files)?;
    let setup = set_up(&loaded, &args.job.renewed)?;
    let doubts = doubts(&setup, &loaded);
    let seed = args.job.effort.seed;
    let odds = on_threads(&args.job.effort, |watch| {
        let until = args.job.effort.until();
        shimcast_sim::odds::odds(&setup, seed, until, &mut |progress| watch.see(progress))
    })?;
    let answer = Odds {
        loaded,
        setup,
        seed,
        odds,
    };
    Ok(Reply::new(answer, Form::json_or_text(args.json)).with_doubts(doubts))
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
