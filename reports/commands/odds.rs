//! `shimcast odds`.

use super::{Ended, Failure, fitted, on_threads, print, read, set_up, tell_doubts};
use crate::args::Odds;
use crate::json;
use crate::terminal::{self, Ink};

pub(super) fn run(args: &Odds, ink: Ink) -> Result<Ended, Failure> {
    let loaded = read(&args.files)?;
    let setup = set_up(&loaded, &args.renewed)?;
    tell_doubts(&setup, loaded.axle_units);
    let until = args.effort.until();
    let seed = args.effort.seed;
    let odds = on_threads(&args.effort, |watch| {
        shimcast_sim::odds::odds(&setup, seed, until, &mut |progress| watch.see(progress))
    })?;
    let text = if args.json {
        let head = json::Head {
            answer: "odds",
            seed,
            rebuilds: odds.rebuilds,
            partial: odds.partial,
            setup: &setup,
            assumptions: &loaded.assumptions,
        };
        format!("{:#}\n", json::odds(&head, &odds))
    } else {
        let asked = terminal::odds::Asked {
            setup: &setup,
            seed,
            units: loaded.axle_units,
            assumptions: &loaded.assumptions,
        };
        fitted(&terminal::odds::render(asked, &odds, ink))
    };
    print(&text)?;
    Ok(if odds.partial {
        Ended::Interrupted
    } else {
        Ended::Done
    })
}
