//! A quote: the flat hours and the price of a job for the risk that a shop takes.

pub mod costs;
pub mod figures;
pub mod flats;
mod json;
mod tell;

use serde_json::Value;
use shimcast_sim::axle::Condition;
use shimcast_sim::bench::setup::Setup;
use shimcast_sim::quote::{Flat, Quote, Terms, quote};

use super::assumed::{self, Headline, moved_most};
use super::check::doubts;
use super::context::{Failure, failure, on_threads, read_sources, set_up_as, sources};
use super::jobs::jobs_a_year;
use super::{Answer, Exit, Form, Reply};
use crate::cli;
use crate::document::Document;
use crate::files::{Assumption, Problems};

/// Kept and new, from the least that is renewed to the most.
const CHOICES: [(Condition, Condition); 4] = [
    (Condition::Kept, Condition::Kept),
    (Condition::Kept, Condition::New),
    (Condition::New, Condition::Kept),
    (Condition::New, Condition::New),
];

/// One of the jobs between which a customer chooses.
#[derive(Debug)]
pub struct Choice {
    /// The job.
    pub setup: Setup,
    /// What was simulated of it.
    pub quote: Quote,
    /// What its price is made of.
    pub terms: Terms,
}

/// The answer.
#[derive(Debug)]
struct Quotation {
    /// Every job between which the customer chooses.
    choices: Vec<Choice>,
    /// The one that was asked for.
    chosen: usize,
    seed: u64,
    /// Share of jobs that may overrun.
    risk: f64,
    /// Such jobs in a year, where that is known.
    jobs_a_year: Option<f64>,
    assumptions: Vec<Assumption>,
}

/// `shimcast quote`.
pub fn ask(args: &cli::Quote) -> Result<Reply, Failure> {
    let sources = sources(&args.job.files)?;
    let loaded = read_sources(&sources, &args.job.files)?;
    let until = args.job.effort.until();
    let seed = args.job.effort.seed;
    let asked = (
        args.job.renewed.gears.into(),
        args.job.renewed.bearings.into(),
    );
    let setups = CHOICES
        .into_iter()
        .map(|(gears, bearings)| set_up_as(&loaded, gears, bearings))
        .collect::<Result<Vec<Setup>, Problems>>()
        .map_err(|problems| failure(&problems))?;
    let chosen = CHOICES.iter().position(|choice| *choice == asked);
    let chosen = chosen.unwrap_or(CHOICES.len() - 1);
    let doubts = doubts(&setups[chosen], &loaded);
    let form = Form::json_or_text(args.json);
    let (quotes, moved_most) = on_threads(&args.job.effort, |watch| {
        let mut ask =
            |setup: &Setup| quote(setup, seed, until, &mut |progress| watch.see(progress));
        // the one that was asked for comes first, so that whoever breaks off has that
        let first = ask(&setups[chosen]);
        let others = setups.iter().enumerate();
        let quotes: Vec<Quote> = others
            .map(|(i, setup)| {
                if i == chosen {
                    first.clone()
                } else {
                    ask(setup)
                }
            })
            .collect();
        let whole = quotes.iter().all(|quote| !quote.partial);
        let moved_most = (form == Form::Text && whole).then(|| {
            let job = assumed::Files {
                sources: &sources,
                set: &args.job.files.set,
                loaded: &loaded,
            };
            moved_most(Headline::Cost, job, &setups[chosen], seed)
        });
        (quotes, moved_most.flatten())
    })?;
    let choices = setups.into_iter().zip(quotes).map(|(setup, quote)| Choice {
        terms: terms(&args.terms, &setup),
        setup,
        quote,
    });
    let answer = Quotation {
        choices: choices.collect(),
        chosen,
        seed,
        risk: args.terms.risk / 100.0,
        jobs_a_year: args
            .jobs_a_year
            .or_else(|| jobs_a_year(&loaded.shop, &args.job.files, asked)),
        assumptions: loaded.assumptions,
    };
    let reply = Reply::new(answer, form).with_doubts(doubts);
    Ok(reply.with_moved_most(moved_most))
}

/// The terms of a price for one job: what is kept costs no parts.
pub fn terms(args: &cli::PriceTerms, setup: &Setup) -> Terms {
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

impl Choice {
    /// The flat price for a risk; `None` where nothing was simulated.
    pub fn recommended(&self, risk: f64) -> Option<Flat> {
        let hours = self.quote.hours_for(risk)?;
        Some(self.quote.flat(hours, self.terms))
    }

    /// The flat hours worth showing, with their prices.
    pub fn flats(&self) -> Vec<Flat> {
        let hours = self.quote.hours_to_show().into_iter();
        hours
            .map(|hours| self.quote.flat(hours, self.terms))
            .collect()
    }
}

impl Quotation {
    /// The job that was asked for.
    fn choice(&self) -> &Choice {
        &self.choices[self.chosen]
    }

    /// Whether any of the runs was cut short.
    fn partial(&self) -> bool {
        self.choices.iter().any(|choice| choice.quote.partial)
    }

    /// Whether any of the jobs is ever given up.
    fn given_up(&self) -> bool {
        let mut all = self.choices.iter();
        all.any(|choice| choice.quote.finished.value < 1.0)
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
        Exit::whole_or(self.partial())
    }
}
