//! `shimcast quote`.

use shimcast_sim::axle::Condition;
use shimcast_sim::quote::{Quote, Terms, quote};
use shimcast_sim::setup::Setup;

use super::jobs::jobs_a_year;
use super::{Ended, Failure, failure, fitted, on_threads, print, read, set_up_as, tell_doubts};
use crate::answers::quote::{Choice, Quoted};
use crate::args;
use crate::files::Problems;
use crate::json;
use crate::terminal::{self, Ink};

/// Kept and new, from the least that is renewed to the most.
const CHOICES: [(Condition, Condition); 4] = [
    (Condition::Kept, Condition::Kept),
    (Condition::Kept, Condition::New),
    (Condition::New, Condition::Kept),
    (Condition::New, Condition::New),
];

pub(crate) fn run(args: &args::Quote, ink: Ink) -> Result<Ended, Failure> {
    let loaded = read(&args.files)?;
    let until = args.effort.until();
    let seed = args.effort.seed;
    let asked = (args.renewed.gears.into(), args.renewed.bearings.into());
    let setups = CHOICES
        .into_iter()
        .map(|(gears, bearings)| set_up_as(&loaded, gears, bearings))
        .collect::<Result<Vec<Setup>, Problems>>()
        .map_err(|problems| failure(&problems))?;
    let chosen = CHOICES.iter().position(|choice| *choice == asked);
    let chosen = chosen.unwrap_or(CHOICES.len() - 1);
    tell_doubts(&setups[chosen], loaded.axle_units);
    let quotes = on_threads(&args.effort, |watch| {
        let mut ask =
            |setup: &Setup| quote(setup, seed, until, &mut |progress| watch.see(progress));
        // the one that was asked for comes first, so that whoever breaks off has that
        let first = ask(&setups[chosen]);
        let others = setups.iter().enumerate();
        others
            .map(|(i, setup)| {
                if i == chosen {
                    first.clone()
                } else {
                    ask(setup)
                }
            })
            .collect::<Vec<Quote>>()
    })?;
    let choices: Vec<Choice> = setups
        .into_iter()
        .zip(quotes)
        .map(|(setup, quote)| Choice {
            terms: terms(args, &setup),
            setup,
            quote,
        })
        .collect();
    let asked = Quoted {
        choices: &choices,
        chosen,
        seed,
        risk: args.risk / 100.0,
        jobs_a_year: args
            .jobs_a_year
            .or_else(|| jobs_a_year(&loaded.shop, &args.files, asked)),
        assumptions: &loaded.assumptions,
    };
    let text = if args.json {
        format!("{:#}\n", json::quote(&asked))
    } else {
        fitted(&terminal::quote::render(&asked, ink))
    };
    print(&text)?;
    Ok(if asked.partial() {
        Ended::Interrupted
    } else {
        Ended::Done
    })
}

fn terms(args: &args::Quote, setup: &Setup) -> Terms {
    let if_new = |condition, price| match condition {
        Condition::New => price,
        Condition::Kept => 0.0,
    };
    Terms {
        margin: args.margin / 100.0,
        tax: args.tax / 100.0,
        parts: if_new(setup.gears, args.gear_price) + if_new(setup.bearings, args.bearing_price),
    }
}
