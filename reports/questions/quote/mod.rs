//! A quote: the flat hours and the price of a job for the risk that a shop takes.

mod choice;
pub mod costs;
pub mod figures;
pub mod flats;
mod json;
pub mod luck;
mod preload;
mod price;
mod refused;
mod renew;
mod tell;

use serde_json::Value;
use shimcast_sim::bench::money::ShimsCharged;
use shimcast_sim::bench::setup::Setup;
use shimcast_sim::quote::{Quote, quote};

pub use self::choice::{Choice, terms};

use self::choice::CHOICES;
use self::luck::Luck;
use super::assumed::{self, Headline, moved_most};
use super::check::doubts;
use super::context::{Failure, failure, on_threads, read_sources, set_up_as, sources};
use super::drawer::{ShimCosts, work_to_charge};
use super::jobs::jobs_a_year;
use super::{Answer, Exit, Form, Reply};
use crate::cli;
use crate::document::Document;
use crate::files::{Assumption, Loaded, Problems, Source};
use crate::progress::Watch;

/// The answer.
#[derive(Debug)]
struct Quotation {
    /// Every job between which the customer chooses, with the axle's own kind of preload.
    choices: Vec<Choice>,
    /// The one that was asked for.
    chosen: usize,
    /// The same with the other kind of preload; none where there is no such axle.
    others: Vec<Choice>,
    /// What these take that the files do not say, or why there are none.
    of_others: String,
    seed: u64,
    /// Share of jobs that may overrun.
    risk: f64,
    /// What the price to quote comes to over many jobs.
    luck: Luck,
    assumptions: Vec<Assumption>,
}

/// `shimcast quote`.
pub fn ask(args: &cli::Quote) -> Result<Reply, Failure> {
    let sources = sources(&args.job.files)?;
    let loaded = read_sources(&sources, &args.job.files)?;
    let asked = (
        args.job.renewed.gears.into(),
        args.job.renewed.bearings.into(),
    );
    let setups = set_ups(&loaded).map_err(|problems| failure(&problems))?;
    let (others, of_others) = with_other_preload(args, &sources, &loaded);
    let chosen = CHOICES.iter().position(|choice| *choice == asked);
    let chosen = chosen.unwrap_or(CHOICES.len() - 1);
    let doubts = doubts(&setups[chosen], &loaded);
    let form = Form::json_or_text(args.json);
    let seed = args.job.effort.seed;
    let threads = args.job.effort.threads;
    let work = work_to_charge(&args.job.files, &loaded, args.no_stock, threads);
    let shim_costs = ShimCosts::of(work.as_ref(), &loaded, args.no_stock);
    let (quotes, shims, moved_most) = on_threads(&args.job.effort, |watch| {
        let all: Vec<&Setup> = setups.iter().chain(&others).collect();
        let (charged, from) = shim_costs.charged(&all, seed, None, watch);
        let quotes = simulate(args, &all, &charged, chosen, watch);
        let whole = quotes.iter().all(|quote| !quote.partial);
        let moved_most = (form == Form::Text && whole).then(|| {
            let job = assumed::Files {
                sources: &sources,
                set: &args.job.files.set,
                loaded: &loaded,
            };
            moved_most(Headline::Cost, job, &setups[chosen], seed)
        });
        (quotes, from, moved_most.flatten())
    })?;
    let mut choices: Vec<Choice> = setups
        .into_iter()
        .chain(others)
        .zip(quotes)
        .map(|(setup, quote)| Choice {
            terms: terms(&args.terms, &setup),
            setup,
            quote,
            shims,
        })
        .collect();
    let others = choices.split_off(CHOICES.len());
    let risk = args.terms.risk / 100.0;
    let jobs_a_year = args
        .jobs_a_year
        .or_else(|| jobs_a_year(&loaded.shop, &args.job.files, asked));
    let answer = Quotation {
        luck: Luck::of(&choices[chosen], risk, jobs_a_year),
        choices,
        chosen,
        others,
        of_others,
        seed,
        risk,
        assumptions: loaded.assumptions,
    };
    let reply = Reply::new(answer, form).with_doubts(doubts);
    Ok(reply.with_moved_most(moved_most))
}

/// Every job between which a customer chooses.
fn set_ups(loaded: &Loaded) -> Result<Vec<Setup>, Problems> {
    CHOICES
        .into_iter()
        .map(|(gears, bearings)| set_up_as(loaded, gears, bearings))
        .collect()
}

/// The same jobs with the other kind of preload, and what is said of them; none where there is no such
/// axle.
fn with_other_preload(
    args: &cli::Quote,
    sources: &[Source; 2],
    loaded: &Loaded,
) -> (Vec<Setup>, String) {
    let no_axle = |reason: String| {
        let reason = reason.lines().next().unwrap_or_default().to_owned();
        let text = format!("The other kind of pinion preload is not among them: {reason}.");
        (Vec::new(), text)
    };
    match preload::other_kind(sources, &args.job.files.set, loaded) {
        Ok(other) => match set_ups(&other.loaded) {
            Ok(setups) => (setups, other.assumed),
            Err(problems) => no_axle(problems.to_string()),
        },
        Err(reason) => no_axle(reason),
    }
}

/// A quote of each job, on common figures.
fn simulate(
    args: &cli::Quote,
    all: &[&Setup],
    charged: &[ShimsCharged],
    chosen: usize,
    watch: &mut Watch,
) -> Vec<Quote> {
    let effort = &args.job.effort;
    let mut ask = |i: usize| {
        let (seed, until) = (effort.seed, effort.until());
        quote(all[i], charged[i], seed, until, &mut |progress| {
            watch.see(progress)
        })
    };
    // the one that was asked for comes first, so that whoever breaks off has that
    let first = ask(chosen);
    let each = 0..all.len();
    each.map(|i| match i == chosen {
        true => first.clone(),
        false => ask(i),
    })
    .collect()
}

impl Quotation {
    /// The job that was asked for.
    fn choice(&self) -> &Choice {
        &self.choices[self.chosen]
    }

    /// Every job, those with the axle's own preload first.
    fn all(&self) -> impl Iterator<Item = &Choice> {
        self.choices.iter().chain(&self.others)
    }

    /// Whether any of the runs was cut short.
    fn partial(&self) -> bool {
        self.all().any(|choice| choice.quote.partial)
    }

    /// Whether any of the jobs is ever given up.
    fn given_up(&self) -> bool {
        self.all().any(|choice| choice.quote.finished.value < 1.0)
    }

    /// The shop's currency.
    fn currency(&self) -> &str {
        &self.choice().setup.shop.currency
    }
}

impl Answer for Quotation {
    fn tell(&self) -> Document {
        tell::tell(self)
    }

    fn json(&self) -> Value {
        json::json(self)
    }

    fn exit(&self) -> Exit {
        match self.partial() {
            true => Exit::Interrupted,
            false => Exit::met_or(self.choice().quote.not_quoted().is_none()),
        }
    }
}
