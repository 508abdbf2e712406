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
mod simulated;
mod tell;

use serde_json::Value;

pub use self::choice::{Choice, terms};
pub use self::simulated::{Besides, Simulated};

use self::luck::Luck;
use super::context::Failure;
use super::odds::figures::Pictured;
use super::{Answer, Exit, Form, Reply};
use crate::cli;
use crate::document::Document;
use crate::files::Assumption;

/// The answer.
#[derive(Debug)]
pub struct Quotation {
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
    let form = Form::json_or_text(args.json);
    let besides = Besides {
        no_stock: args.no_stock,
        moved_most: form == Form::Text,
        pictures: false,
    };
    let simulated = Simulated::of(&args.job, besides)?;
    let answer = simulated.quoted(&args.terms, args.jobs_a_year, &args.job.files);
    let reply = Reply::new(answer, form).with_doubts(simulated.doubts);
    Ok(reply.with_moved_most(simulated.moved_most))
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

/// The quote with its pictures, as one page of a desk shows them.
pub fn pictured(
    of: &Simulated,
    terms: &cli::PriceTerms,
    jobs: Option<f64>,
    files: &cli::Files,
) -> Document {
    let quotation = of.quoted(terms, jobs, files);
    let mut document = quotation.tell();
    document.doubts.clone_from(&of.doubts);
    document.moved_most.clone_from(&of.moved_most);
    if let Some((odds, pictures)) = &of.pictures {
        let job = Pictured {
            setup: of.setup(),
            odds,
            pictures,
            print: of.loaded().printed(),
        };
        let quoted = figures::Quoted {
            choice: quotation.choice(),
            luck: &quotation.luck,
            risk: quotation.risk,
            assumptions: &quotation.assumptions,
        };
        let place = document.sections.len().min(1);
        document
            .sections
            .insert(place, figures::pictures(&job, quoted));
    }
    document
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
